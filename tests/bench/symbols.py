"""How unlike the symbols are, which ones are picked, and how well they are given to threads.

    symbols.py              least distances of the symbols, whole and small; how surely they are known again
                            in corners and under lines; what their assignment gains
    symbols.py --pick       picks symbols from all candidates and prints their names, for `symbols.py`
    symbols.py --table      prints the table of `symbol_likeness.py`
    symbols.py --sheet F    draws all of them to an image: large, and as printed, copied and seen small

The pick looks for symbols that keep apart in groups: the first twenty, thirty, forty and all. A group is a
set of candidates of which each two are far enough apart, a clique of that graph, found by adding what leaves
most others possible, and exchanging where nothing can be added (a tabu search with a fixed seed).
"""

import argparse
import sys
from collections.abc import Iterator
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

import numpy as np
from PIL import Image, ImageDraw

from svg2chart.colour import Colour
from svg2chart.symbol_assignment import assign_symbols
from svg2chart.symbol_drawing import Symbol
from svg2chart.symbol_shapes import CANDIDATES
from svg2chart.symbols import (
    DOTS_PER_INCH,
    LETTERS,
    SMALL_MM,
    SYMBOLS,
    WHOLE_MM,
    Array,
    as_seen,
    distances,
    least_alike_order,
    render,
)
from svg2chart.units import MM_PER_INCH
from tests.bench.symbols_in_use import in_corners, under_lines

# how many, how far apart they are to be, whole and small, and their surplus in corners and under lines
NEVER = -1.0  # below every surplus: fractions take the first thirty
GROUPS = (
    (20, 0.26, 0.17, 0.15, 0.03),
    (30, 0.20, 0.12, 0.10, 0.03),
    (40, 0.15, 0.0, NEVER, 0.07),
    (len(LETTERS), 0.10, 0.0, NEVER, 0.07),
)

# what reads as a letter in one of its turns, and turns beyond the second or third of one figure
PASSED_OVER = (
    "open-ring-up moon-up moon-down eye-right eye-down cup-dot-left cup-dot-up chevron-left umbrella-left",
    "umbrella-down sun-left sun-down bubbles-up fork-down arch-down bow-left bow-down double-chevron-left",
    "double-chevron-down comb-up comb-down notched-disc-left notched-disc-down",
)

# what fills up inside in a dark copy of a small print, where dots fall badly
FILLS_WHEN_SMALL = ("disc-post",)


def clique(close: Array, base: list[int], size: int, rng: np.random.Generator) -> list[int]:
    """Return a set that holds `base` in which all fit together, of `size` if one is found."""
    fits = close
    best = list(base)
    for _ in range(15):
        kept, banned = list(base), np.zeros(len(fits), int)
        for turn in range(400):
            free = fits[:, kept].all(axis=1) if kept else np.ones(len(fits), bool)
            free[kept] = False
            allowed = np.flatnonzero(free & (banned <= turn))
            if len(allowed):
                degrees = fits[np.ix_(allowed, np.flatnonzero(free))].sum(axis=1) + rng.random(len(allowed))
                kept.append(int(allowed[degrees.argmax()]))
            else:
                exchange(fits, base, kept, banned, turn, rng)
            best = list(kept) if len(kept) > len(best) else best
            if len(best) >= size:
                return best[:size]
    return best


def exchange(
    fits: Array, base: list[int], kept: list[int], banned: Array, turn: int, rng: np.random.Generator
) -> None:
    """Put in one that stands against a single other one, which goes; else take out any."""
    against = (~fits[:, kept]).sum(axis=1)
    against[kept] = len(fits)
    ways = []
    for new in np.flatnonzero((against == 1) & (banned <= turn)).tolist():
        out = next(old for old in kept if not fits[new, old])
        ways += [(new, out)] if out not in base else []
    loose = [old for old in kept if old not in base]
    if not ways and not loose:
        return
    new, out = ways[int(rng.integers(len(ways)))] if ways else (-1, loose[int(rng.integers(len(loose)))])
    kept.remove(out)
    banned[out] = turn + 7 + int(rng.integers(5))
    kept += [new] if new >= 0 else []


def pick() -> list[Symbol]:
    """Return the symbols, group by group, each group in the order of least likeness."""
    offered = [symbol for symbol in CANDIDATES if symbol.name not in " ".join(PASSED_OVER).split()]
    whole, small = distances(offered), distances(offered, size_mm=SMALL_MM)
    cornered, crossed = in_corners(offered), under_lines(offered)
    fills = [symbol.name in FILLS_WHEN_SMALL for symbol in offered]
    cornered[fills], cornered[:, fills] = NEVER, NEVER
    for stretch in (1.03, 1.0, 0.97):
        for seed in range(40):
            rng, chosen = np.random.default_rng(seed), list[int]()
            for size, least, least_small, in_corner, under_line in GROUPS:
                fits = (whole >= least * stretch) & (small >= least_small * stretch)
                fits &= (cornered >= in_corner) & (crossed >= under_line)
                np.fill_diagonal(fits, val=False)
                found = clique(fits, chosen, size, rng)
                if len(found) < size:
                    print(f"stretch {stretch}, seed {seed}: {len(found)} of {size}")
                    break
                chosen = found
            else:
                return [offered[index] for index in in_order(whole, chosen)]
    raise SystemExit("no such groups were found")


def in_order(apart: Array, chosen: list[int]) -> Iterator[int]:
    """Yield the chosen ones so that in each group the next is as far as can be from all before it."""
    done: list[int] = []
    for size, *_ in GROUPS:
        group = [index for index in chosen[:size] if index not in done]
        if not done:
            done = [group[index] for index in least_alike_order(apart[np.ix_(group, group)])]
            continue
        while group:
            done.append(max(group, key=lambda index: apart[index, done].min()))
            group.remove(done[-1])
    yield from done


def tell_distances() -> None:
    for name, size_mm in (("whole", WHOLE_MM), ("small", SMALL_MM)):
        apart = distances(SYMBOLS, size_mm=size_mm)
        for count in (20, 30, 40, 60, len(SYMBOLS)):
            pairs = apart[:count, :count][np.triu_indices(count, 1)]
            first, second = np.argwhere(np.triu(apart[:count, :count] == pairs.min(), 1))[0]
            names = f"{SYMBOLS[first].name} and {SYMBOLS[second].name}"
            middle = np.median(pairs)
            print(f"{name}, {size_mm} mm, first {count}: {pairs.min():.3f} ({names}), median {middle:.3f}")


def tell_surplus() -> None:
    """Print how much more symbols look like themselves than like others where they are used."""
    for name, surplus, counts in (
        ("in corners", in_corners(SYMBOLS[:30]), (20, 30)),
        ("under lines", under_lines(SYMBOLS), (30, len(SYMBOLS))),
    ):
        for count in counts:
            shown = surplus[:count, :count]
            first, second = np.argwhere(shown == shown.min())[0]
            names = f"{SYMBOLS[first].name} and {SYMBOLS[second].name}"
            print(f"{name}, first {count}: known again by {shown.min():.3f} at least ({names})")


def tell_assignment() -> None:
    """Print how far apart symbols of threads that meet are, against symbols in the order of the threads."""
    rng = np.random.default_rng(3)
    for count in (8, 20, 40, 60):
        sides = np.triu(rng.integers(1, 300, (count, count)) * (rng.random((count, count)) < 5 / count), 1)
        touching = sides + sides.T
        colours = [Colour(*channels) for channels in rng.random((count, 3))]
        first, second = np.nonzero(sides)
        for name, symbols in (
            ("in order", assign_symbols([True] * count)),
            ("assigned", assign_symbols([True] * count, touching=touching, colours=colours)),
        ):
            apart = distances(symbols)[first, second]
            print(f"{count} threads, {name}: where they meet {apart.min():.3f}, mean {apart.mean():.3f}")


def draw_sheet(path: str) -> None:
    """Draw each symbol large, then at 2.2 and 1.5 mm after two dark and two faint copies, enlarged."""
    side, across = 150, 8
    rows = -(-len(SYMBOLS) // across)
    sheet = Image.new("L", (side * 2 * across, rows * (side + 20)), 255)
    pen = ImageDraw.Draw(sheet)
    for number, symbol in enumerate(SYMBOLS):
        x, y = number % across * 2 * side, number // across * (side + 20)
        large = Image.fromarray(255 - np.uint8(render(symbol, 12.0) * 255)).resize((120, 120))
        sheet.paste(large, (x, y))
        for place, (size_mm, copies) in enumerate(
            (size, copies) for size in (WHOLE_MM, SMALL_MM) for copies in ((0.3, 0.3), (0.62, 0.62))
        ):
            dots = round(size_mm / MM_PER_INCH * DOTS_PER_INCH)
            printed = (render(symbol, size_mm)[None] >= 0.5).astype(float)
            seen = Image.fromarray(255 - np.uint8(np.clip(as_seen(printed, copies)[0], 0, 1) * 255))
            sheet.paste(seen.resize((dots * 2, dots * 2)), (x + 125 + place % 2 * 70, y + place // 2 * 60))
        pen.text((x + 4, y + 125), f"{number + 1} {LETTERS[number]} {symbol.name}", fill=0)
    sheet.save(path)


def main() -> None:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--pick", action="store_true")
    parser.add_argument("--table", action="store_true")
    parser.add_argument("--sheet", metavar="F")
    options = parser.parse_args()
    if options.pick:
        print(" ".join(symbol.name for symbol in pick()))
    elif options.table:
        alike = np.rint((1 - distances(SYMBOLS)) * 100).astype(int)
        for row, line in enumerate(alike[1:], start=1):
            print("".join(f"{value:02}" for value in line[:row]))
    elif options.sheet:
        draw_sheet(options.sheet)
    else:
        tell_distances()
        tell_surplus()
        tell_assignment()


if __name__ == "__main__":
    main()

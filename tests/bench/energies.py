"""Prints the energy of charts of real drawings: square by square, minimised, fitted and minimised, searched.

python tests/bench/energies.py             the table, in per cent of the best square-by-square choice
python tests/bench/energies.py --search    with a slow search by chance, to compare with: free, and symmetric

Charts are made of stitches that follow straight sides. What that costs is shown, too: square by square the
best is chosen among all stitches, and all are minimised and searched beside those that follow.
"""

import argparse
import sys
import time
from dataclasses import replace
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[2]))

from svg2chart.arranging.boards import Boards
from svg2chart.arranging.candidates import AREA_UNIT, Candidates, find_candidates, find_free_candidates
from svg2chart.arranging.descent import Settled, best_of_each, descend, energy_at, settle
from svg2chart.arranging.patterns import COST_UNIT, Fractions
from svg2chart.arranging.perimeter import edge_lengths
from svg2chart.artwork import Artwork, Stroke
from svg2chart.chart import Chart, Fabric
from svg2chart.colour import Colour
from svg2chart.convert import convert
from svg2chart.fit import Laid, lay_on_grid
from svg2chart.geometry.affine import Affine
from svg2chart.given import find_given, see_decided
from svg2chart.grid import MOVEMENT_SQUARES, Extent, Grid
from svg2chart.octants.areas import MIXED, VisibleAreas
from svg2chart.octants.stacks import BARE
from svg2chart.palette import Palette, choose_palette
from svg2chart.shortfall import shortfalls
from svg2chart.stitches import differences, work_stitches
from svg2chart.svg.read import read_artwork
from svg2chart.threads import MOST_THREADS
from svg2chart.visible import visible_areas
from tests import outside
from tests.bench.stitched import shown_by

WIDTHS = (40, 80)
SHAKES = 150
RUNS = 5


Problem = tuple[Candidates, np.ndarray, np.ndarray]
"""What `settle` takes: candidates, the decided squares and the drawing's own edge of each square."""


def boards(artwork: Artwork, grid: Grid) -> tuple[Problem, Problem]:
    """Return what is settled: with the candidates that follow straight sides, and with all."""
    laid = lay_on_grid(artwork, grid)
    areas = visible_areas(laid.shapes, groups=artwork.groups, rows=grid.rows, columns=grid.columns)
    palette = colours_of(laid, areas)
    areas = palette.areas.without_traces(1 / (2 * AREA_UNIT))
    solid = np.where(areas.solid == MIXED, BARE, areas.solid).astype(np.int64)
    own, wrong = edge_lengths(areas), differences(palette.looks)
    following, free = (
        (find(areas, differences=wrong, fractions=Fractions.ALL), solid, own)
        for find in (find_candidates, find_free_candidates)
    )
    return following, free


def colours_of(laid: Laid, areas: VisibleAreas) -> Palette:
    """Return the threads for all that a drawing shows."""
    decided = find_given(laid, rows=areas.solid.shape[0], columns=areas.solid.shape[1])
    cloth = Colour.from_hex(Fabric().colour)
    return choose_palette(areas, decided, cloth=cloth, card=(), most=MOST_THREADS, kept=())


def square_by_square(candidates: Candidates, solid: np.ndarray, allowance: np.ndarray) -> int:
    return energy_at(candidates, solid, allowance, best_of_each(candidates, candidates.cost))


def table() -> None:
    """Print a row for each drawing and size, and the medians."""
    gains, fitted_gains, free_gains = [], [], []
    worse, worse_of_all = 0, 0
    spent = 0.0
    for picture in outside.pictures("art-open"):
        artwork = read_artwork(picture.path)
        for wide in WIDTHS:
            plain = Grid.fit(artwork, wide=wide, movement=0.0)
            following, free = boards(artwork, plain)
            best = square_by_square(*free)
            alone = settle(*following).energy
            free_gains.append(1 - settle(*free).energy / max(best, 1))
            grid = Grid.fit(artwork, wide=wide)
            fitted, _ = boards(artwork, grid)
            start = time.process_time()
            end = settle(*fitted).energy
            spent += time.process_time() - start
            worse += alone > square_by_square(*following)
            worse_of_all += alone > best
            gains.append(1 - alone / max(best, 1))
            fitted_gains.append(1 - end / max(best, 1))
            print(
                f"{picture.name:45} {wide:3} squares: energy {best / COST_UNIT:8.2f},"
                f" minimised {-100 * gains[-1]:6.1f} % (among all {-100 * free_gains[-1]:6.1f} %),"
                f" fitted and minimised {-100 * fitted_gains[-1]:6.1f} %"
            )
    print(
        f"median: minimised {-100 * median(gains):.1f} % (among all {-100 * median(free_gains):.1f} %),"
        f" fitted {-100 * median(fitted_gains):.1f} %;"
        f" above square by square: {worse} of {len(gains)} (among all {worse_of_all}); {spent:.1f} s"
    )


def search() -> None:
    """Print how far a slow search comes below what settles: following straight sides, and of all stitches.

    Both among all such charts and among symmetric ones.

    Where a drawing looks the same mirrored or turned, its chart has to, too; a search that breaks that may
    come lower, corner by corner.
    """
    gaps: dict[str, list[float]] = {}
    print("columns as the rows at the end")
    for picture in outside.pictures("art-open"):
        artwork = read_artwork(picture.path)
        following, free = boards(artwork, Grid.fit(artwork, wide=WIDTHS[0]))
        if not len(following[0].squares):
            continue
        energy = settle(*following).energy
        above: dict[str, float] = {}
        best = alike = energy
        for name, problem in (("that follow straight sides", following), ("of all stitches", free)):
            images = symmetries(*problem)
            searched_freely = searched(problem, [])
            # what follows straight sides is among all stitches
            best = min(best, searched_freely)
            alike = min(alike, searched(problem, images) if images else searched_freely)
            above[f"charts {name}"] = energy / max(best, 1) - 1
            above[f"charts {name}, as symmetric as the drawing"] = energy / max(alike, 1) - 1
        told = ", ".join(f"{100 * value:.2f} %" for value in above.values())
        print(f"{picture.name:45} {WIDTHS[0]} squares: {told} above the best found", flush=True)
        for name, value in above.items():
            gaps.setdefault(name, []).append(value)
    for name, values in gaps.items():
        within = sum(value <= 0.01 for value in values)
        print(
            f"among {name}: median {100 * median(values):.2f} %, most {100 * max(values):.2f} %"
            f" above the best found, within 1 % on {within} of {len(values)}"
        )


def searched(problem: Problem, images: list[np.ndarray]) -> int:
    """Shake squares of a small window by chance, settle anew and keep what is lower; return the least energy.

    Args:
        problem: what `settle` takes.
        images: what is to stay symmetric, see `symmetries`.
    """
    candidates, solid, _ = problem
    chance = np.random.default_rng(1)
    row, column = np.divmod(candidates.squares, solid.shape[1])
    best = settle(*problem)
    for _ in range(SHAKES):
        at = chance.integers(len(row))
        shaken = best.chosen.copy()
        for square in np.flatnonzero((abs(row - row[at]) <= 2) & (abs(column - column[at]) <= 2)):
            options = np.arange(candidates.starts[square], candidates.starts[square + 1])
            for image in images:
                if candidates.owner[image[options[0]]] == square:
                    options = options[image[options] == options]
            entry = chance.choice(options)
            for image in [np.arange(len(candidates.owner)), *images]:
                shaken[candidates.owner[image[entry]]] = image[entry]
        best = min(best, settle_from(problem, shaken), key=lambda end: end.energy)
    return best.energy


def settle_from(problem: Problem, start: np.ndarray) -> Settled:
    """Return the arrangement that descent finds from one start, a candidate for each undecided square."""
    boards = Boards(*problem, (start,))
    descend(boards)
    return Settled(chosen=boards.chosen, energy=int(boards.energies()[0]))


def symmetries(candidates: Candidates, solid: np.ndarray, allowance: np.ndarray) -> list[np.ndarray]:
    """Return for each mirror and turn that changes nothing of this where it takes each candidate."""
    entries = np.arange(len(candidates.owner))
    shown, squares = candidates.shown(entries), candidates.squares[candidates.owner]
    place = {
        (square, tuple(octants), cost): entry
        for entry, (square, octants, cost) in enumerate(
            zip(squares.tolist(), shown.tolist(), candidates.cost.tolist(), strict=True)
        )
    }
    found = []
    for turns, is_mirrored in ((t, m) for m in (False, True) for t in range(4) if t or m):
        if turned(solid, turns, is_mirrored=is_mirrored).shape != solid.shape:
            continue
        if not all(
            np.array_equal(turned(part, turns, is_mirrored=is_mirrored), part) for part in (solid, allowance)
        ):
            continue
        octant = np.arange(8)[::-1] if is_mirrored else np.arange(8)
        came_from = turned(np.arange(solid.size).reshape(solid.shape), turns, is_mirrored=is_mirrored)
        goes = np.argsort(came_from.ravel())[squares]
        looks = np.roll(shown[:, octant], 2 * turns, axis=1)
        keys = zip(goes.tolist(), map(tuple, looks.tolist()), candidates.cost.tolist(), strict=True)
        image = [place.get(key, -1) for key in keys]
        if -1 not in image:
            found.append(np.array(image))
    return found


def turned(part: np.ndarray, turns: int, *, is_mirrored: bool) -> np.ndarray:
    """Return an array of squares mirrored left to right, if so, and then turned clockwise."""
    return np.rot90(part[:, ::-1] if is_mirrored else part, -turns)


def mirror() -> None:
    """Print which drawings do not give the mirrored chart when they are mirrored."""
    unlike = 0
    for picture in outside.pictures("art-open"):
        artwork = read_artwork(picture.path)
        artwork = replace(artwork, marks=tuple(artwork.laid()))
        here, there = (
            coloured(convert(each, Grid.fit(each, wide=WIDTHS[0]))) for each in (artwork, mirrored(artwork))
        )
        if not np.array_equal(here, there[:, ::-1, ::-1]):
            unlike += 1
            print(f"{picture.name} does not give the mirrored chart")
    print(f"{unlike} drawings do not give the mirrored chart")


def cost() -> None:
    """Print what fit, colours, stitches and telling cost on 200 by 200 squares in 30 colours."""
    chance = np.random.default_rng(1)
    turn = np.arange(60) * (2 * np.pi / 60)
    shapes = []
    for number in range(300):
        middle, radius = chance.uniform(0, 200, 2), chance.uniform(4, 24)
        wave = radius * (1 + 0.2 * np.sin(3 * turn + chance.uniform(0, 6)))
        points = middle + np.stack([wave * np.cos(turn), wave * np.sin(turn)], axis=1)
        path = " ".join(f"{x:.3f},{y:.3f}" for x, y in points)
        hue = number % 30
        shapes.append(f'<path fill="#{hue * 8:02x}{255 - hue * 7:02x}{hue % 5 * 50:02x}" d="M{path}z"/>')
    text = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 200 200">{"".join(shapes)}</svg>'
    with TemporaryDirectory() as folder:
        path = Path(folder) / "blobs.svg"
        path.write_text(text, encoding="utf-8")
        read, fit, colours, stitches, telling = np.min([_spent(path) for _ in range(RUNS)], axis=0)
    print(
        f"reading and measuring {read * 1e3:.0f} ms; fit {fit * 1e3:.0f} ms, colours {colours * 1e3:.0f} ms,"
        f" stitches {stitches * 1e3:.0f} ms, telling what they fall short of {telling * 1e3:.0f} ms:"
        f" the least of {RUNS} runs each"
    )
    print(
        f"from areas to the chart, colours and stitches: {(colours + stitches) / read:.2f} times"
        " reading and measuring"
    )
    print(
        f"with the fit, which comes before areas are measured: {(fit + colours + stitches) / read:.2f} times"
    )


def _spent(path: Path) -> tuple[float, float, float, float, float]:
    """Return the seconds for reading and measuring, for the fit, the colours, the stitches and telling."""
    marks = [time.process_time()]

    def since() -> float:
        marks.append(time.process_time())
        return marks[-1] - marks[-2]

    artwork = read_artwork(path)
    grid = Grid.fit(artwork, square=1.0, extent=Extent.PAGE, movement=0.0)
    read = since()
    laid = lay_on_grid(artwork, grid)
    plain = since()
    visible_areas(laid.shapes, rows=grid.rows, columns=grid.columns)
    measured = since()
    laid = lay_on_grid(artwork, replace(grid, movement=MOVEMENT_SQUARES))
    fitted = since()
    decided, areas = see_decided(laid, artwork.groups, rows=grid.rows, columns=grid.columns)
    since()
    palette = colours_of(laid, areas)
    colours = since()
    worked = work_stitches(palette.areas, palette.looks, fractions=Fractions.ALL, apart=laid.apart)
    stitches = since()
    shortfalls(worked, decided, areas, palette, artwork, grid)
    return read + plain + measured, fitted - plain, colours, stitches, since()


def mirrored(artwork: Artwork) -> Artwork:
    """Return a drawing, without words, seen in a mirror."""
    flip = Affine(-1.0, 0.0, 0.0, 1.0, artwork.viewport.left + artwork.viewport.right, 0.0)
    marks = []
    for mark in artwork.laid():
        turned = replace(mark, path=mark.path.transformed(flip))
        marks.append(replace(turned, pen=flip @ turned.pen) if isinstance(turned, Stroke) else turned)
    clips = [
        replace(clip, parts=tuple(replace(part, path=part.path.transformed(flip)) for part in clip.parts))
        for clip in artwork.clips
    ]
    return replace(artwork, marks=tuple(marks), clips=tuple(clips))


def coloured(chart: Chart) -> np.ndarray:
    """Return (rows, columns, 8) the colour that each octant shows, -1 for cloth."""
    colours = [*(int(thread.colour[1:], 16) for thread in chart.threads), -1]
    return np.array(colours)[shown_by(chart)]


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--search", action="store_const", dest="what", const=search, default=table)
    parser.add_argument("--mirror", action="store_const", dest="what", const=mirror)
    parser.add_argument("--cost", action="store_const", dest="what", const=cost)
    parser.parse_args().what()

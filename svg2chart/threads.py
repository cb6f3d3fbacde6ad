"""Colours to threads."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from svg2chart.colour import Colour, ciede2000, lab
from svg2chart.merging import merge_alike, merge_to

MOST_THREADS = 60
"""No more threads than there are symbols that can be told apart."""

# lightness and chroma bounds of the plain colour words, CIELAB; our choice, no source
_GREY_CHROMA = 9.0
_HUES = (
    (20.0, "rose"),
    (48.0, "red"),
    (72.0, "orange"),
    (105.0, "yellow"),
    (165.0, "green"),
    (215.0, "turquoise"),
    (310.0, "blue"),
    (335.0, "purple"),
    (360.0, "rose"),
)
_SHADES = ((22.0, "very dark"), (40.0, "dark"), (68.0, ""), (86.0, "light"), (101.0, "pale"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Skein:
    """A thread of a card: the maker's code and name, and its colour."""

    code: str
    name: str
    colour: Colour


@dataclass(frozen=True, slots=True, kw_only=True)
class Merge:
    """A colour that takes the thread of another one.

    area: what it covers, in squares. apart: their CIEDE2000 difference. is_alike: nobody can tell them
    apart; otherwise there were too many.
    """

    colour: Colour
    into: Colour
    area: float
    apart: float
    is_alike: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Chosen:
    """The threads for some colours: the skeins and, for each colour, the index of its skein.

    merges: the colours that share the thread of another, without those that a card has one thread for.
    """

    skeins: tuple[Skein, ...]
    of_colour: tuple[int, ...]
    merges: tuple[Merge, ...]


def choose_threads(
    colours: Sequence[Colour],
    amounts: Sequence[float],
    *,
    card: Sequence[Skein],
    most: int = MOST_THREADS,
    kept: Collection[Colour] = (),
) -> Chosen:
    """Return the threads for the colours, the one that covers most first.

    Args:
        colours: as they look on the cloth.
        amounts: how much each covers, in squares.
        card: threads to choose from by the least CIEDE2000 difference; where empty, each 8-bit colour
            that can be told from the others is a thread of its own, named in plain words.
        most: how many threads there may be; the choice loses least (`merging`).
        kept: 8-bit colours that stay threads of their own even if others look like them.
    """
    own = [Colour.from_hex(colour.hex) for colour in colours]
    areas = _totals(own, amounts)
    ranked = _ranked(areas)
    alike = {c: ranked[i] for c, i in zip(ranked, merge_alike(ranked, kept=kept), strict=True)}
    matched = _matched(list(dict.fromkeys(alike.values())), card)
    looks = [matched[alike[colour]] for colour in own]
    covers = _totals(looks, amounts)
    wanted = _ranked(covers)
    limited = (
        merge_to(wanted, [covers[c] for c in wanted], most) if len(wanted) > most else range(len(wanted))
    )
    few = {c: wanted[i] for c, i in zip(wanted, limited, strict=True)}
    final = sorted(set(few.values()), key=wanted.index)
    first = {skein.colour: skein for skein in reversed(card)}
    return Chosen(
        skeins=tuple(first[colour] for colour in final) if card else tuple(_named(final)),
        of_colour=tuple(final.index(few[look]) for look in looks),
        merges=(*_merges(alike, areas, is_alike=True), *_merges(few, covers, is_alike=False)),
    )


def _matched(colours: list[Colour], card: Sequence[Skein]) -> dict[Colour, Colour]:
    """Return how each colour looks in thread: as the nearest one of the card, itself where there is none."""
    if not card:
        return {colour: colour for colour in colours}
    apart = ciede2000(lab(colours)[:, None], lab([skein.colour for skein in card])[None])
    return {colour: card[int(i)].colour for colour, i in zip(colours, apart.argmin(axis=1), strict=True)}


def _merges(goes_to: dict[Colour, Colour], areas: dict[Colour, float], *, is_alike: bool) -> list[Merge]:
    merged = [(colour, into) for colour, into in goes_to.items() if colour != into]
    return [
        Merge(colour=colour, into=into, area=areas[colour], apart=_apart(colour, into), is_alike=is_alike)
        for colour, into in merged
    ]


def _apart(one: Colour, other: Colour) -> float:
    first, second = lab([one, other])
    return float(ciede2000(first, second))


def _ranked(areas: dict[Colour, float]) -> list[Colour]:
    """Return the colours, what covers most first; among equals in a fixed order."""
    return sorted(areas, key=lambda colour: (-areas[colour], colour))


def _totals(colours: Sequence[Colour], amounts: Sequence[float]) -> dict[Colour, float]:
    """Return what each colour covers, rounded as it would be printed: the last bit decides no order."""
    totals: dict[Colour, float] = dict.fromkeys(colours, 0.0)
    for colour, amount in zip(colours, amounts, strict=True):
        totals[colour] += amount
    return {colour: round(amount, 6) for colour, amount in totals.items()}


def _named(colours: list[Colour]) -> list[Skein]:
    """Return a thread for each colour, with a number for a code and a plain name, each name once."""
    coordinates = lab(colours) if colours else np.zeros((0, 3))
    names: list[str] = []
    for row in coordinates:
        plain = colour_name(row)
        same = [name for name in names if name == plain or name.startswith(f"{plain} ")]
        again = sum(name == plain or name.removeprefix(f"{plain} ").isdigit() for name in same)
        names.append(f"{plain} {again + 1}" if again else plain)
    numbered = zip(names, colours, strict=True)
    return [
        Skein(code=str(number), name=name, colour=colour)
        for number, (name, colour) in enumerate(numbered, start=1)
    ]


def colour_name(coordinates: NDArray[np.float64]) -> str:
    """Return a plain name for a CIELAB colour.

    >>> colour_name(lab([Colour.from_hex("#800000")])[0])
    'dark red'
    """
    lightness, a, b = (float(value) for value in coordinates)
    if np.hypot(a, b) < _GREY_CHROMA:
        bounds = (
            (15.0, "black"),
            (35.0, "dark grey"),
            (65.0, "grey"),
            (92.0, "light grey"),
            (101.0, "white"),
        )
        return next(name for bound, name in bounds if lightness < bound)
    hue = float(np.degrees(np.arctan2(b, a))) % 360.0
    word = next(name for bound, name in _HUES if hue <= bound)
    shade = next(name for bound, name in _SHADES if lightness < bound)
    if word in {"orange", "yellow"} and lightness < 55.0:
        word = "brown"
    return f"{shade} {word}".strip()

"""Colours to threads."""

import math
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from enum import Enum
from itertools import accumulate

import numpy as np
from numpy.typing import NDArray

from svg2chart.colour import Colour, ciede2000, lab
from svg2chart.merging import DIFFERENCE_UNIT, choose_most, merge_alike
from svg2chart.rivals import joined, rival_pairs, share_threads

Ints = NDArray[np.int64]

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


class Why(Enum):
    """Why a colour is not worked in the thread that is most like it."""

    ALIKE = "nobody can tell them apart"
    TOO_MANY = "there are as many threads as there may be (--most-threads)"
    TOUCHES = "a colour that it touches has the nearest one"


@dataclass(frozen=True, slots=True, kw_only=True)
class Merge:
    """A colour that takes another thread than its nearest.

    area: what it covers, in squares. apart: their CIEDE2000 difference.
    """

    colour: Colour
    into: Colour
    area: float
    apart: float
    why: Why


@dataclass(frozen=True, slots=True, kw_only=True)
class Difference:
    """How far the threads are from the colours of the drawing, by area (CIEDE2000).

    percentile_95: 95 % of the area that is seen differ by so much or less.
    """

    mean: float
    percentile_95: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Chosen:
    """The threads for some colours: the skeins and, for each colour, the index of its skein.

    merges: the colours that take another thread than their nearest. joined: colours that touch and can be
    told apart, and have one thread, because no other one is left that is near enough.
    """

    skeins: tuple[Skein, ...]
    of_colour: tuple[int, ...]
    merges: tuple[Merge, ...]
    joined: tuple[tuple[Colour, Colour], ...]
    difference: Difference


def choose_threads(
    colours: Sequence[Colour],
    amounts: Sequence[float],
    *,
    card: Sequence[Skein],
    most: int = MOST_THREADS,
    kept: Collection[Colour] = (),
    touching: Ints | None = None,
) -> Chosen:
    """Return the threads for the colours, the one that covers most first.

    Args:
        colours: as they look on the cloth.
        amounts: how much each covers, in squares.
        card: threads to choose from by the least CIEDE2000 difference; where empty, each 8-bit colour
            that can be told from the others is a thread of its own, named in plain words.
        most: how many threads there may be; the choice loses least (`merging`).
        kept: 8-bit colours that stay threads of their own even if others look like them.
        touching: (n, 2) indices of colours that touch: if they can be told apart (`rivals.TOLD_APART`),
            they do not get one thread while another one is left.
    """
    own = [Colour.from_hex(colour.hex) for colour in colours]
    areas = _totals(own, amounts)
    ranked = _ranked(areas)
    alike = {c: ranked[i] for c, i in zip(ranked, merge_alike(ranked, kept=kept), strict=True)}
    looks = [alike[colour] for colour in own]
    covers = _totals(looks, amounts)
    wanted = _ranked(covers)
    if not wanted:
        nothing = Difference(mean=0.0, percentile_95=0.0)
        return Chosen(skeins=(), of_colour=(), merges=(), joined=(), difference=nothing)
    first = {skein.colour: skein for skein in reversed(card)}
    there = [skein.colour for skein in card if first[skein.colour] is skein] or wanted
    squares = [covers[colour] for colour in wanted]
    chosen = choose_most(wanted, squares, most, card=there if card else ())
    pairs = rival_pairs(wanted, _places(looks, wanted, touching))
    goes_to = share_threads(wanted, squares, most, chosen=chosen, card=there, pairs=pairs)
    thread_of = dict(zip(wanted, goes_to, strict=True))
    worn = [thread_of[look] for look in looks]
    used = _ranked(_totals(worn, amounts))
    return Chosen(
        skeins=tuple(first[colour] for colour in used) if card else tuple(_named(used)),
        of_colour=tuple(used.index(colour) for colour in worn),
        merges=(*_alike_merges(alike, areas), *_moves(thread_of, covers, there, is_full=len(used) == most)),
        joined=tuple((wanted[one], wanted[other]) for one, other in joined(pairs, goes_to).tolist()),
        difference=_difference(own, worn, amounts),
    )


def _places(looks: Sequence[Colour], wanted: Sequence[Colour], touching: Ints | None) -> Ints:
    """Return the pairs that touch as indices of what is wanted; no colour touches itself."""
    if touching is None:
        return np.zeros((0, 2), np.int64)
    place = {colour: index for index, colour in enumerate(wanted)}
    pairs = np.array([place[look] for look in looks], np.int64)[touching]
    return np.asarray(pairs[pairs[:, 0] != pairs[:, 1]])


def _alike_merges(alike: Mapping[Colour, Colour], areas: Mapping[Colour, float]) -> list[Merge]:
    pairs = [(colour, into) for colour, into in alike.items() if colour != into]
    return [
        Merge(colour=colour, into=into, area=areas[colour], apart=apart, why=Why.ALIKE)
        for (colour, into), apart in zip(pairs, _apart(pairs), strict=True)
    ]


def _moves(
    thread_of: Mapping[Colour, Colour],
    covers: Mapping[Colour, float],
    there: Sequence[Colour],
    *,
    is_full: bool,
) -> list[Merge]:
    """Return the colours that do not get the nearest of all threads that there are."""
    why = Why.TOO_MANY if is_full else Why.TOUCHES
    itself, looked_at = set(there), lab(list(there))
    moves = []
    pairs = [(colour, into) for colour, into in thread_of.items() if colour != into]
    for (colour, into), apart in zip(pairs, _apart(pairs), strict=True):
        nearest = 0.0 if colour in itself else float(ciede2000(lab([colour])[0], looked_at).min())
        if apart > nearest + 1 / DIFFERENCE_UNIT:
            moves.append(Merge(colour=colour, into=into, area=covers[colour], apart=apart, why=why))
    return moves


def _difference(colours: Sequence[Colour], threads: Sequence[Colour], amounts: Sequence[float]) -> Difference:
    """Return how far the colours are from their threads; nothing where nothing is covered."""
    pairs = list(dict.fromkeys(zip(colours, threads, strict=True)))
    far = dict(zip(pairs, _apart(pairs), strict=True))
    worked = sorted((far[c, t], amount) for c, t, amount in zip(colours, threads, amounts, strict=True))
    whole = math.fsum(amount for _, amount in worked)
    if not whole:
        return Difference(mean=0.0, percentile_95=0.0)
    mean = math.fsum(apart * amount for apart, amount in worked) / whole
    reached = accumulate(amount for _, amount in worked)
    tail = next(a for (a, _), sum_ in zip(worked, reached, strict=True) if sum_ >= 0.95 * whole * (1 - 1e-9))
    return Difference(mean=mean, percentile_95=tail)


def _apart(pairs: Sequence[tuple[Colour, Colour]]) -> list[float]:
    """Return the CIEDE2000 difference of each pair, in whole parts of DIFFERENCE_UNIT."""
    if not pairs:
        return []
    one, other = (lab(list(colours)) for colours in zip(*pairs, strict=True))
    return [
        round(far / DIFFERENCE_UNIT, 6) for far in np.rint(ciede2000(one, other) * DIFFERENCE_UNIT).tolist()
    ]


def _ranked(areas: Mapping[Colour, float]) -> list[Colour]:
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
    coordinates = lab(colours)
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

"""Which colours touch in a drawing on the grid, and which threads in a chart.

Two colours touch where both are seen in one square or on the two sides of one side between squares. A
square shows a colour at one of its sides where one of the two octants along that side shows it:

     +--- 7 --- 0 ---+
     6               1        top 7 and 0, right 1 and 2,
     +    octants    +        bottom 3 and 4, left 5 and 6
     5               2
     +--- 4 --- 3 ---+

A line or a dot touches what is seen in the squares that it runs through.
"""

import math
from collections.abc import Sequence
from itertools import product

import numpy as np
from numpy.typing import NDArray

from svg2chart.chart import Arrangement, Backstitch, Corner, Stitch
from svg2chart.octants.areas import MIXED, VisibleAreas
from svg2chart.runs import begins, distinct, in_order

Ints = NDArray[np.int64]

TOP, RIGHT, BOTTOM, LEFT = range(4)
_OCTANTS = {TOP: (7, 0), RIGHT: (1, 2), BOTTOM: (3, 4), LEFT: (5, 6)}
_AT_CORNER = {
    Corner.TOP_LEFT: (TOP, LEFT),
    Corner.TOP_RIGHT: (TOP, RIGHT),
    Corner.BOTTOM_RIGHT: (BOTTOM, RIGHT),
    Corner.BOTTOM_LEFT: (BOTTOM, LEFT),
}
_ASIDE = 0.1  # squares: far enough off a line to lie in the squares beside it
_TRACE = 2.0**-13
"""What shows less than so many squares in every octant of a square is rounding."""


def touching_colours(areas: VisibleAreas, marks: Sequence[Ints]) -> Ints:
    """Return the pairs of colours that touch, (n, 2) ascending: those of the areas, then one for each mark.

    Args:
        areas: what is seen of each colour in each square; the first colour is bare cloth.
        marks: for each further colour the squares (row * columns + column) it runs through.
    """
    areas = areas.without_traces(_TRACE)
    rows, columns = areas.solid.shape
    squares = np.arange(rows * columns).reshape(rows, columns)
    pairs = [
        _within(areas, marks),
        _across(areas, squares[:-1].ravel(), squares[1:].ravel(), (BOTTOM, TOP)),
        _across(areas, squares[:, :-1].ravel(), squares[:, 1:].ravel(), (RIGHT, LEFT)),
    ]
    return np.unique(np.concatenate(pairs), axis=0)


def _within(areas: VisibleAreas, marks: Sequence[Ints]) -> Ints:
    """Return the pairs of colours that are seen together in a square."""
    run_through = distinct(np.concatenate([np.zeros(0, np.int64), *marks]))
    solid = areas.solid.ravel()[run_through]
    places = [areas.square, run_through[solid != MIXED], *marks]
    own = [np.full(len(mark), number) for number, mark in enumerate(marks, start=len(areas.colours))]
    return _together(np.concatenate(places), np.concatenate([areas.colour, solid[solid != MIXED], *own]))


def _across(areas: VisibleAreas, first: Ints, second: Ints, sides: tuple[int, int]) -> Ints:
    """Return the pairs that are seen at one side between the first and the second squares."""
    solid = areas.solid.ravel()
    edges = np.flatnonzero((solid[first] != solid[second]) | (solid[first] == MIXED))
    places, shown = [], []
    for squares, side in zip((first[edges], second[edges]), sides, strict=True):
        edge_of = np.full(len(solid), -1)
        edge_of[squares] = np.arange(len(squares))
        plain = solid[squares] != MIXED
        at_side = (areas.octants[:, _OCTANTS[side]] > _TRACE).any(axis=1) & (edge_of[areas.square] >= 0)
        places += [np.flatnonzero(plain), edge_of[areas.square[at_side]]]
        shown += [solid[squares[plain]], areas.colour[at_side]]
    return _together(np.concatenate(places), np.concatenate(shown))


def _together(places: Ints, shown: Ints) -> Ints:
    """Return the pairs of different colours that are shown at one place, (n, 2)."""
    order = in_order(places, shown)
    order = order[begins(places[order], shown[order])]
    places, shown = places[order], shown[order]
    colours = int(shown.max(initial=0)) + 1
    pairs = [np.zeros(0, np.int64)]
    step = 1
    while (same := np.flatnonzero(places[step:] == places[: len(places) - step])).size:
        pairs.append(distinct(shown[same] * colours + shown[same + step]))
        step += 1
    return np.stack(np.divmod(np.concatenate(pairs), colours), axis=1)


def touching_threads(squares: NDArray[np.int32], arrangements: Sequence[Arrangement], threads: int) -> Ints:
    """Return (threads, threads) in how many squares and at how many sides two threads of a chart touch.

    Args:
        squares: (rows, columns) for each square its index into `arrangements`.
        arrangements: what squares hold.
        threads: how many there are.
    """
    counts = np.zeros((threads, threads), np.int64)
    numbers, times = np.unique(squares, return_counts=True)
    for number, occurs in zip(numbers.tolist(), times.tolist(), strict=True):
        held = {stitch.thread for stitch in arrangements[number]}
        _count(counts, held, held, occurs)
    above, below, left, right = squares[:-1], squares[1:], squares[:, :-1], squares[:, 1:]
    for first, second, sides in ((above, below, (BOTTOM, TOP)), (left, right, (RIGHT, LEFT))):
        pairs = first.astype(np.int64) * len(arrangements) + second
        numbers, times = np.unique(pairs, return_counts=True)
        for number, occurs in zip(numbers.tolist(), times.tolist(), strict=True):
            one, other = divmod(number, len(arrangements))
            _count(counts, _at(arrangements[one], sides[0]), _at(arrangements[other], sides[1]), occurs)
    return counts + counts.T


def lines_beside(
    squares: NDArray[np.int32], arrangements: Sequence[Arrangement], lines: Sequence[Backstitch]
) -> list[tuple[int, int]]:
    """Return the pairs of a line's thread and a thread in the squares beside the middle of the line."""
    found = set()
    rows, columns = squares.shape
    for line in lines:
        (x1, y1), (x2, y2) = line.start, line.end
        length = math.dist(line.start, line.end)
        aside = ((y1 - y2) / length * _ASIDE, (x2 - x1) / length * _ASIDE)
        for side in (-1, 1):
            column = math.floor((x1 + x2) / 2 + side * aside[0])
            row = math.floor((y1 + y2) / 2 + side * aside[1])
            if 0 <= row < rows and 0 <= column < columns:
                held = arrangements[int(squares[row, column])]
                found |= {(line.thread, stitch.thread) for stitch in held}
    return sorted(pair for pair in found if pair[0] != pair[1])


def _count(counts: Ints, first: set[int], second: set[int], times: int) -> None:
    """Add how often threads of two places are side by side, each pair once."""
    for low, high in {(min(pair), max(pair)) for pair in product(first, second)}:
        counts[low, high] += times if low != high else 0


def _at(arrangement: Arrangement, side: int) -> set[int]:
    return {stitch.thread for stitch in arrangement if side in _sides(stitch)}


def _sides(stitch: Stitch) -> tuple[int, ...]:
    return (TOP, RIGHT, BOTTOM, LEFT) if stitch.corner is None else _AT_CORNER[stitch.corner]

r"""Which sizes small shapes with slanted sides take, so that these are stitched in clean steps up to the tip.

Both sizes are chosen together, for a slant hangs on both. One of slope 2 is clean where it runs through the
middles of squares. Where it runs through their corners, full stitches show it no worse than three-quarters
do, and the last row of its tip is too thin to be stitched:

      .-----------.        .-----------.
      |           |         \         /         left 4.5 squares wide and high,
       \         /           |       |          right 4 by 4
        |       |            |       |
         \     /             '-------'
          '._.'
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product

import numpy as np
from numpy.typing import NDArray

from svg2chart.coverage import octants
from svg2chart.geometry.polygon import FillRule, Polygon

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]
Tip = tuple[int, int]
"""The axis along which it points, and to which end: 0 to the first squares, -1 to the last."""

STEP = 0.5
"""Sizes are whole or half squares: all that slopes of 1 and 2 need. Our own choice."""

MOST_OTHER = 1.0
"""No size changes by more, in squares; our own choice."""

AREA_UNIT = 1 << 20
"""Areas are decided on as whole multiples of 2^-20 of a square."""

UNCLEAN = 6.0
"""What it costs, in squares moved, if a whole square is wrong for each square of length of the outline."""

BLUNT = 0.8
"""What it costs, in squares moved, if a tip is blunt by a square."""

RESIZED = 1.2
"""What it costs, in squares moved, to be stitched a square wider or narrower than drawn; half of it for the
size of the shape itself. All three are our own choice: triangles of 2 to 8 squares kept most tips so."""

LEAST_STITCHED = 0.75
"""The last row of a tip is stitched if so much of a square is covered there, or more: measured, too."""

LEAST_CORNER = 0.5
"""The same for a row that ends in other corners: a three-quarter stitch shows half a square."""

LEAST_SIDE = 1.0
"""Sides that meet in a tip are as long, in squares; else it is the end of something round."""

SAME = 1 / 64
"""Places that differ by less, in squares, are the same."""

HALVES = np.array([(5, 6, 7, 0), (7, 0, 1, 2), (1, 2, 3, 4), (3, 4, 5, 6)])
"""The octants that a three-quarter stitch shows, for each corner."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Lie:
    """How a shape may lie: how wide and high, how far its middle lies off holes, and what that costs."""

    size: tuple[float, ...]
    off: tuple[float, ...]
    cost: float


def lies_of(outline: Floats, is_heavy: Sequence[bool]) -> list[Lie]:
    """Return how a shape may lie, the cheapest first.

    What is the same on both sides has its middle on a hole line or half way between two, the rest has the
    first end there.

    Args:
        outline: (n, 2) its corners, in squares.
        is_heavy: across and down, whether it has more of its outline on the first side of its middle.
    """
    low, high = outline.min(axis=0), outline.max(axis=0)
    drawn, part = high - low, (outline - (low + high) / 2) / (high - low)
    pairs = [
        (size, off)
        for size in product(*(_sizes(each) for each in drawn.tolist()))
        for off in product(
            *((each / 2 % 1,) if one else (0.0, 0.5) for each, one in zip(size, is_heavy, strict=True))
        )
    ]
    sizes, offs = (np.array(each) for each in zip(*pairs, strict=True))
    amount, tips = _amounts(part, sizes, offs), _tips(part * drawn)
    resized = np.abs(sizes - drawn) / 2 + np.abs(_stitched(amount, tips) - drawn)
    cost = UNCLEAN * _wrong(amount) / _length(part, sizes) + RESIZED * resized.mean(axis=1)
    for axis, end in tips:
        cost = cost + BLUNT * _blunt(_rows(amount, axis, end), offs[:, 1 - axis] != 0)
    found = [
        Lie(size=size, off=off, cost=each)
        for (size, off), each in zip(pairs, (np.rint(cost * AREA_UNIT) / AREA_UNIT).tolist(), strict=True)
    ]
    return sorted(found, key=lambda lie: lie.cost)


def _sizes(drawn: float) -> list[float]:
    """Return the sizes that one drawn so may take."""
    least, most = np.ceil((drawn - MOST_OTHER) / STEP), np.floor((drawn + MOST_OTHER) / STEP)
    found = [n * STEP for n in range(max(int(least), round(1 / STEP)), int(most) + 1)]
    return found if min(abs(each - drawn) for each in found) <= SAME else [*found, drawn]


def _tips(outline: Floats) -> list[Tip]:
    """Return the tips in which straight sides meet in the middle, of corners from the middle of the box."""
    long = np.hypot(*(np.roll(outline, -1, axis=0) - outline).T) >= LEAST_SIDE
    is_tip = long & np.roll(long, 1) & (np.abs(outline) <= SAME).any(axis=1)
    found = []
    for axis, end in product((0, 1), (0, -1)):
        last = np.abs(outline[:, axis] - outline[:, axis].max() * (-1 if end == 0 else 1)) <= SAME
        if last.sum() == 1 and is_tip[last].all():
            found.append((axis, end))
    return found


def _length(part: Floats, sizes: Floats) -> Floats:
    """Return (lies,) the length of the outline."""
    outlines = part * sizes[:, None]
    way = outlines - np.roll(outlines, 1, axis=1)
    return np.asarray(np.hypot(way[..., 0], way[..., 1]).sum(axis=1))


def _amounts(part: Floats, sizes: Floats, offs: Floats) -> Ints:
    """Return (lies, rows, columns, 8) how much of each octant the shape covers, in AREA_UNIT.

    Args:
        part: (n, 2) its corners from the middle of its box, as parts of this.
        sizes: (lies, 2) how wide and high it is.
        offs: (lies, 2) how far its middle lies off holes.
    """
    margin = np.ceil(sizes.max(axis=0) / 2).astype(np.int64) + 1
    wide, high = (2 * margin + 1).tolist()
    count = len(sizes)
    middles = margin + offs + np.stack([np.arange(count) * wide, np.zeros(count)], axis=1)
    side_by_side = Polygon(
        points=(middles[:, None] + part * sizes[:, None]).reshape(-1, 2),
        starts=np.arange(count + 1) * len(part),
        rule=FillRule.NONZERO,
    )
    areas = octants(side_by_side, high, wide * count).reshape(high, count, wide, 8).swapaxes(0, 1)
    return np.asarray(np.rint(areas * AREA_UNIT).astype(np.int64))


def _wrong(amount: Ints) -> Floats:
    """Return (lies,) how much is wrong if each square holds what shows it best by itself, in squares."""
    covered, half = amount.sum(axis=3), amount[..., HALVES].sum(axis=4).max(axis=3)
    wrong = np.minimum(np.minimum(covered, AREA_UNIT - covered), AREA_UNIT // 2 + covered - 2 * half)
    return np.asarray(wrong.sum(axis=(1, 2)) / AREA_UNIT)


def _rows(amount: Ints, axis: int, end: int) -> Floats:
    """Return (lies, rows) how much is covered in each row of squares from one end on, in squares."""
    rows = amount.sum(axis=(1 + axis, 3)) / AREA_UNIT
    return np.asarray(rows if end == 0 else rows[:, ::-1])


def _stitched(amount: Ints, tips: Sequence[Tip]) -> Floats:
    """Return (lies, 2) how many squares wide and high it is stitched, about."""
    found = []
    for axis in (0, 1):
        bare = 0
        for end in (0, -1):
            rows = _rows(amount, axis, end)
            bare += (rows >= (LEAST_STITCHED if (axis, end) in tips else LEAST_CORNER)).argmax(axis=1)
        found.append(rows.shape[1] - bare)
    return np.stack(found, axis=1)


def _blunt(rows: Floats, is_odd: Bools) -> Floats:
    """Return (lies,) how far a tip is from ending in one square and going on without a step, in squares.

    Next to a square there is another, or with three-quarters on either side; next to two three-quarters that
    end in a hole there are two squares, or these with three-quarters.

    Args:
        rows: from its end on.
        is_odd: (lies,) whether the middle is that of a square, and no hole.
    """
    last = (rows >= LEAST_STITCHED).argmax(axis=1)[:, None]
    lost = np.where(np.arange(rows.shape[1]) < last, rows, 0).sum(axis=1)
    end, before = (np.take_along_axis(rows, last + each, axis=1)[:, 0] for each in (0, 1))
    step = np.abs(np.abs(before - np.where(is_odd, 1.5, 2.5)) - 0.5)
    return np.asarray(lost + np.abs(end - 1) + np.minimum(step, 0.5))

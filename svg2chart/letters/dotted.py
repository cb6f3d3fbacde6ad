"""The dots of letters that join, as in Arabic: they tell letters apart, so all are stitched alike."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations, product
from math import floor, log

import numpy as np
from numpy.typing import NDArray

from svg2chart.arranging.patterns import HALF_OCTANTS
from svg2chart.chart import Corner
from svg2chart.geometry.growing import parts_of
from svg2chart.geometry.polygon import Polygon
from svg2chart.letters.glyphs import FittedGlyph

Bools = NDArray[np.bool_]
Array = NDArray[np.float64]
Square = tuple[int, int]
"""A column and a row."""

_MOST_LONG = 1.5
"""A dot is so many times as long as wide at the most, a vowel sign is longer."""
_LEAST_FULL = 0.45
"""A dot fills this part of the box around it at the least: an upright diamond half of it, a hook less."""
_MOST_WIDE = 0.22
"""A dot is so many heights of a capital wide at the most."""
_NEAR = 2.2
"""Dots whose middles are nearer than so many of their widths belong to one letter."""
_MOST_DOTS = 3
_BETWEEN = 1
"""Dots of two letters are so many squares farther apart than those of one, at the least."""
_FAR = 2
"""Dots are put at most so many squares from where they are drawn, in either direction."""
_LEAST_AREA = 0.45
"""Dots of fewer squares have no room to be whole squares that stand apart."""


@dataclass(frozen=True, slots=True, eq=False)
class Dotted:
    """A letter and its dots apart: its body, and the middles of its dots, those of one letter together.

    form: (rows, columns, 8) which octants each dot stitches.
    """

    body: Polygon
    groups: tuple[Array, ...]
    form: Bools


def dots_apart(plain: Polygon, *, high: int, least: float) -> Dotted | None:
    """Return a letter without its dots, and these; None where it has none, or they are too small.

    Args:
        plain: the letter, in squares.
        high: of capitals, in squares.
        least: the least area of a part.
    """
    dots: list[Polygon] = []
    others: list[Polygon] = []
    for part in parts_of(plain, least=least):
        (dots if _is_dot(part, high) else others).append(part)
    area = float(np.median([dot.area() for dot in dots])) if dots else 0.0
    if not others or area < _LEAST_AREA:
        return None
    groups = tuple(_groups(dots))
    if any(len(group) > _MOST_DOTS for group in groups):
        return None
    body = Polygon.of_contours([one for part in others for one in part.contours()], rule=plain.rule)
    return Dotted(body, groups, _form(area))


def _is_dot(part: Polygon, high: int) -> bool:
    wide, tall = np.ptp(part.points, axis=0).tolist()
    return bool(
        len(part.starts) == 2
        and max(wide, tall) <= min(_MOST_LONG * min(wide, tall), _MOST_WIDE * high)
        and part.area() >= _LEAST_FULL * wide * tall
    )


def _groups(dots: Sequence[Polygon]) -> Iterator[Array]:
    """Yield the middles of dots that belong to one letter, (dots, 2), from the left."""
    middles = [_middle(dot) for dot in dots]
    near = _NEAR * max(float(np.ptp(dot.points, axis=0).max()) for dot in dots)
    left = sorted(middles, key=lambda at: (at[0], at[1]))
    while left:
        group = [left.pop(0)]
        while found := [at for at in left if min(np.hypot(*(at - other)) for other in group) < near]:
            group += found
            left = [at for at in left if not any(at is one for one in found)]
        yield np.array(group)


def _form(area: float) -> Bools:
    """Return the stitches of a dot, as round as squares allow, whose area is nearest to a given one."""
    forms = [_square(side) for side in range(1, floor(area) + 3)] + [np.ones((2, 2, 8), np.bool_)]
    return min(forms, key=lambda form: abs(log(form.sum() / 8 / area)))


def _square(side: int) -> Bools:
    """Return a square of stitches, its corners three-quarter stitches where it has others."""
    form = np.ones((side, side, 8), np.bool_)
    if side > 1:
        for corner, at in (
            (Corner.BOTTOM_RIGHT, (0, 0)),
            (Corner.BOTTOM_LEFT, (0, -1)),
            (Corner.TOP_LEFT, (-1, -1)),
            (Corner.TOP_RIGHT, (-1, 0)),
        ):
            form[at] = False
            form[at][list(HALF_OCTANTS[corner])] = True
    return form


def dots_placed(dotted: Dotted, body: FittedGlyph) -> list[FittedGlyph] | None:
    """Return where dots are stitched beside their letter.

    They go where they are drawn, as near as whole squares allow and a bare square around them, one more
    between those of two letters. None where some have no room.

    Args:
        dotted: the letter as drawn.
        body: what it stitches without its dots.
    """
    side = len(dotted.form)
    shift = _middle_of(body) - _middle(dotted.body)
    inked = np.argwhere(body.shown.any(axis=2)).tolist()
    taken = {(body.left + column, body.top + row) for row, column in inked}
    found: list[list[Square]] = []
    for group in dotted.groups:
        pattern = _pattern(group, dotted.form)
        wished = group.mean(axis=0) + shift - np.mean(pattern, axis=0) - side / 2
        apart = _BETWEEN + max((_gap(dots, side) for dots in (pattern, *found)), default=0)
        others = {square for dots in found for square in _squares(dots, side, around=apart)}
        own = next(
            (
                dots
                for x, y in _places(wished)
                if not _squares(dots := [(x + right, y + down) for right, down in pattern], side, around=1)
                & taken
                and not _squares(dots, side, around=0) & others
            ),
            None,
        )
        if own is None:
            return None
        found.append(own)
    return [FittedGlyph(shown=dotted.form, top=y, left=x) for dots in found for x, y in dots]


def _places(wished: Array) -> list[Square]:
    """Return the places for a first dot, those nearest to where it is wished first."""
    steps = range(-_FAR, _FAR + 2)
    near = product(*([floor(at) + step for step in steps] for at in wished.tolist()))
    off = {at: round(float(np.hypot(*np.subtract(at, wished))), 6) for at in near}
    return sorted(
        (at for at in off if abs(np.subtract(at, wished)).max() <= _FAR), key=lambda at: (off[at], at)
    )


def _gap(dots: Sequence[Square], side: int) -> int:
    """Return how many bare squares lie between the dots of one letter."""
    gaps = [max(abs(x1 - x0), abs(y1 - y0)) - side for (x0, y0), (x1, y1) in combinations(dots, 2)]
    return min(gaps, default=0)


def _squares(dots: Sequence[Square], side: int, *, around: int) -> set[Square]:
    """Return the squares of dots, and so many around them."""
    steps = range(-around, side + around)
    return {(x + right, y + down) for x, y in dots for right in steps for down in steps}


def _pattern(group: Array, form: Bools) -> list[Square]:
    """Return where the dots of a letter lie from each other: in a line, or three in a triangle."""
    if len(group) == 1:
        return [(0, 0)]
    side = len(form)
    apart = max(side + 1, floor(_nearest(group) + 0.5))
    if len(group) == 2:
        right, down = abs(group[1] - group[0]).tolist()
        return [(0, 0), (apart, 0) if right >= down else (0, apart)]
    level = min(combinations(range(3), 2), key=lambda pair: abs(float(np.subtract(*group[list(pair), 1]))))
    (other,) = {0, 1, 2} - set(level)
    apart += apart % 2  # so that the third is in the middle
    # where corners are cut, the sides between them come to lie over each other in large dots alone
    is_over = bool(form[0, 0].all()) or apart // 2 + 1 <= side - 1
    least = side + int(is_over)
    down = max(least, floor(abs(float(group[other, 1] - group[list(level), 1].mean())) + 0.5))
    if group[other, 1] < group[list(level), 1].mean():
        return [(0, down), (apart, down), (apart // 2, 0)]
    return [(0, 0), (apart, 0), (apart // 2, down)]


def _nearest(group: Array) -> float:
    return min(float(np.hypot(*(one - other))) for one, other in combinations(group, 2))


def _middle(polygon: Polygon) -> Array:
    """Return the middle of the box around a region."""
    low, high = polygon.points.min(axis=0), polygon.points.max(axis=0)
    return np.asarray((low + high) / 2)


def _middle_of(body: FittedGlyph) -> Array:
    """Return the middle of the box around stitches."""
    return np.array(((body.left + body.right) / 2, (body.top + body.bottom) / 2))

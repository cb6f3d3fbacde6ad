"""Punctuation: signs that are made of others, as a semicolon of a dot and a comma, are stitched as these.

1. Each part is taken for itself, put down on the baseline where it lies higher, and fitted. Only a small dot,
   hardly wider than a stem, is a box as wide as stems are: there is no room for it to be round.
2. Parts above each other are flush on the side on which the font has them so, a bare row between them.
   Parts beside each other are as far apart as in the font, to whole squares, a bare column between them.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from math import floor

import numpy as np
from numpy.typing import NDArray

from svg2chart.arranging.patterns import HALF_OCTANTS
from svg2chart.chart import Corner
from svg2chart.geometry.growing import symmetric_share
from svg2chart.geometry.polygon import Polygon
from svg2chart.letters.glyphs import FittedGlyph, put_together

SIGNS = frozenset(".,:;'\"\u2018\u2019\u201a\u201b\u201c\u201d\u201e\u201f\u2026")
"""Dots, commas and marks like them, one or more of them."""
_LEVEL = 0.05
"""What ends no more capitals over the baseline, or under it, stands on it."""
_FINE = 1 / 1024
"""Equal parts are equal to so many squares wherever they lie."""
_SAME = 0.95
"""Parts that share so much of their area are the same."""
_AS_HIGH, _FILLED = 0.85, 0.7
"""A dot is about as high as wide, and fills so much of its box at the least; a disc fills pi / 4 of it."""
_DOT = 1.6
"""A dot up to so many times as wide as a stem is stitched as wide as one."""
_ROOM = 3
"""Up to so many squares a dot has no room to be round."""
_MARK = 2.05
"""A comma with its tail is up to so many times as wide as a stem where its dot is stitched as wide as one."""
_HEAD = 0.7
"""The dot of a comma is so much of its width at the least; a slanted stroke is narrower."""
_SHORT = 5
"""Up to so many squares a comma has no room to bend."""
_LEAN = 0.15
"""A tail leans that ends so many stems beside the middle of its dot."""
_STEPS = 32
"""So many lines across a mark are looked at."""


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class _Part:
    """A part of a sign: the box around it, in squares, whether it hangs over the baseline, and its outline.

    The outline begins at 0, and ends at the baseline but for what ends under it.
    """

    left: float
    right: float
    top: float
    bottom: float
    hangs: bool
    outline: Polygon

    @classmethod
    def of(cls, drawn: Polygon, high: int) -> "_Part":
        """Return what there is to know of a part, capitals so many squares high."""
        (left, top), (right, bottom) = drawn.points.min(axis=0).tolist(), drawn.points.max(axis=0).tolist()
        hangs = bottom < -_LEVEL * high
        down = bottom if bottom <= _LEVEL * high else 0.0
        points = np.rint((drawn.points - (left, down)) / _FINE) * _FINE
        outline = replace(drawn, points=points)
        return cls(left=left, right=right, top=top, bottom=bottom, hangs=hangs, outline=outline)


def fitted_sign(
    drawn: Sequence[Polygon],
    high: int,
    *,
    stem: tuple[float, int],
    top_of: Callable[[float], int],
    fit: Callable[[Polygon], FittedGlyph],
) -> FittedGlyph:
    """Return a sign fitted part by part.

    Args:
        drawn: its parts, in squares.
        high: of capitals.
        stem: how wide stems are drawn and stitched, in squares.
        top_of: in which row a part begins that hangs over the baseline, by where it is drawn.
        fit: how a part by itself is fitted.
    """
    parts = sorted((_Part.of(one, high) for one in drawn), key=lambda one: (-one.bottom, one.left))
    fitted: list[tuple[Polygon, FittedGlyph]] = []
    placed: list[FittedGlyph] = []
    for index, part in enumerate(parts):
        same = (own for other, own in fitted if symmetric_share(part.outline, other) >= _SAME)
        glyph = next(same, None) or _mark(part.outline, *stem) or fit(part.outline)
        fitted.append((part.outline, glyph))
        if part.hangs:
            glyph = replace(glyph, top=top_of(part.top))
        if not placed:
            placed.append(replace(glyph, left=glyph.left + floor(part.left + 0.5)))
        else:
            placed.append(_beside(glyph, part, placed[-1], parts[index - 1]))
    return put_together(placed)


def _mark(outline: Polygon, drawn: float, stem: int) -> FittedGlyph | None:
    """Return a small dot or comma, None for other signs; stems are so wide, as drawn and as stitched."""
    dot = _dot(outline, drawn, stem)
    if dot is not None or stem > 1:
        return dot
    comma = _comma(outline, drawn)
    if comma is not None:
        return comma
    upside_down = _comma(replace(outline, points=-outline.points), drawn)
    if upside_down is None:
        return None
    turned = np.roll(upside_down.shown[::-1, ::-1], 4, axis=-1)
    return replace(upside_down, shown=turned, top=-len(turned), left=-upside_down.right)


def _comma(outline: Polygon, drawn: float) -> FittedGlyph | None:
    """Return a comma one square wide: a dot, and below it a tail that ends on the side to which it leans."""
    (left, top), (right, bottom) = outline.points.min(axis=0).tolist(), outline.points.max(axis=0).tolist()
    lines = _lines(outline, top, bottom)
    head = int(np.argmax(np.rint((lines[:, 1] - lines[:, 0]) / _FINE)))
    wide = float(lines[head, 1] - lines[head, 0])
    rows = 1 + max(1, floor(bottom - top - wide + 0.5))
    is_upright = bottom - top > (right - left) / _AS_HIGH and head < len(lines) / 2
    if not is_upright or rows > _SHORT or wide < _HEAD * (right - left) or right - left > _MARK * drawn:
        return None
    middle = float(lines[head].mean())
    lean = (float(lines[-1].mean()) - middle) / drawn
    shown = np.ones((rows, 1, 8), np.bool_)
    if abs(lean) > _LEAN:
        shown[-1, 0] = np.isin(range(8), HALF_OCTANTS[Corner.TOP_LEFT if lean < 0 else Corner.TOP_RIGHT])
    return FittedGlyph(shown=shown, top=-1, left=floor(middle))


def _lines(outline: Polygon, top: float, bottom: float) -> NDArray[np.float64]:
    """Return (lines, 2) where ink begins and ends on level lines across an outline, from its top down."""
    x0, y0, x1, y1 = outline.edges().T
    found = []
    for y in np.linspace(top, bottom, _STEPS + 1)[:-1] + (bottom - top) / (2 * _STEPS):
        met = (y0 <= y) != (y1 <= y)
        xs = x0[met] + (y - y0[met]) / (y1[met] - y0[met]) * (x1[met] - x0[met])
        found.append((xs.min(), xs.max()))
    return np.array(found)


def _dot(outline: Polygon, drawn: float, stem: int) -> FittedGlyph | None:
    """Return a dot hardly wider than a stem; None for what is no such dot."""
    wide, high = np.ptp(outline.points, axis=0).tolist()
    is_dot = min(wide, high) >= _AS_HIGH * max(wide, high) and outline.area() >= _FILLED * wide * high
    if not is_dot or stem > _ROOM or max(wide, high) > _DOT * drawn:
        return None
    return FittedGlyph(
        shown=np.ones((stem, stem, 8), np.bool_), top=-stem, left=floor((wide - stem) / 2 + 0.5)
    )


def _beside(glyph: FittedGlyph, part: _Part, before: FittedGlyph, part_before: _Part) -> FittedGlyph:
    """Return a part put above the one before, or right of it."""
    wide, high = glyph.right - glyph.left, glyph.bottom - glyph.top
    if part.left >= part_before.right:
        step = max(floor(part.left - part_before.left + 0.5), before.right - before.left + 1)
        return replace(glyph, left=before.left + step)
    left, right = part.left - part_before.left, part.right - part_before.right
    at = before.left + left if abs(left) <= abs(right) else before.right + right - wide
    return replace(glyph, left=floor(at + 0.5), top=min(glyph.top, before.top - 1 - high))

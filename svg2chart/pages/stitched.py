"""The picture of the stitched piece on a page: stitches as glyphs of a font of their own, one string a run.

Each glyph is what is seen of a stitch in one shade; the picture is sharp at any size and small in the file.
"""

from collections.abc import Iterator
from functools import cache

import numpy as np
from numpy.typing import NDArray

from svg2chart.chart import Arrangement, Chart, Corner, Stitch, StitchKind
from svg2chart.colour import Colour
from svg2chart.pages.areas import is_shared, placed
from svg2chart.pages.plan import BOX_WIDTH_MM
from svg2chart.pages.sheet import BLACK, Box, Dot, Face, Mark, Point, Region, Symbols, Text, Trail
from svg2chart.picture.shapes import (
    HOLE_RADIUS,
    HOLE_SHARE,
    LINE,
    Shade,
    knot_discs,
    line_ends,
    margin_squares,
    shaded,
    stitch_seen,
)
from svg2chart.runs import begins, ends
from svg2chart.symbol_drawing import Symbol, disc
from svg2chart.symbols import LETTERS

_GAP = 8  # squares without a thread that its string runs on over
_HOLE = LETTERS[0]

_Glyph = tuple[StitchKind, Corner | None, bool, Shade]


@cache
def _letters() -> dict[_Glyph, str]:
    """Return the letter of each glyph."""
    glyphs: list[_Glyph] = [(StitchKind.FULL, None, False, shade) for shade in (Shade.BODY, Shade.LIGHT)]
    for corner in Corner:
        for shade in Shade:
            glyphs.append((StitchKind.THREE_QUARTER, corner, False, shade))
            glyphs += [(StitchKind.QUARTER, corner, shared, shade) for shared in (False, True)]
    return dict(zip(glyphs, LETTERS[1:], strict=False))


def stitch_glyphs() -> dict[str, Symbol]:
    """Return what the letters of the stitch face look like."""
    glyphs = {_HOLE: Symbol("hole", (disc(HOLE_RADIUS, at=(0.0, 0.0)),))}
    for (kind, corner, shared, shade), letter in _letters().items():
        stitch = Stitch(kind=kind, corner=corner, thread=0)
        other = Stitch(kind=StitchKind.THREE_QUARTER, corner=corner.opposite, thread=1) if corner else stitch
        seen = stitch_seen(stitch, (other, stitch) if shared else (stitch,))
        glyphs[letter] = Symbol(letter, seen.of(shade))
    return glyphs


def stitched_marks(chart: Chart, *, top: float, wide_mm: float, high_mm: float) -> tuple[list[Mark], float]:
    """Return the picture, centred in a space, and where it ends, in mm."""
    margin = margin_squares(chart)
    side = min(wide_mm / (chart.columns + 2 * margin), high_mm / (chart.rows + 2 * margin))
    wide, high = (chart.columns + 2 * margin) * side, (chart.rows + 2 * margin) * side
    left = (BOX_WIDTH_MM - wide) / 2
    zero = (left + margin * side, top + margin * side)
    marks: list[Mark] = [Box(x=left, y=top, width=wide, height=high, fill=chart.fabric.colour)]
    marks += _holes(chart, zero, side, margin)
    for is_lower in (True, False):
        for thread in range(len(chart.threads)):
            marks += _stitches(chart, thread, zero, side, is_lower=is_lower)
    marks += _overlay(chart, zero, side)
    frame = Box(x=left, y=top, width=wide, height=high, edge=BLACK, edge_width=0.15)
    return [*marks, frame], top + high


def _holes(chart: Chart, zero: Point, side: float, margin: int) -> list[Mark]:
    cloth = Colour.from_hex(chart.fabric.colour)
    ink = Colour(*(c * (1 - HOLE_SHARE) for c in (cloth.red, cloth.green, cloth.blue))).hex
    text = _HOLE * (chart.columns + 2 * margin - 1)
    x = zero[0] + (1 - margin) * side
    return [
        # the glyph's hole lies at the upper left of its square, which stands on the baseline
        Text(x=x, y=zero[1] + (row + 1) * side, text=text, size=side, face=Face.STITCHES, ink=ink)
        for row in range(1 - margin, chart.rows + margin)
    ]


def _stitches(chart: Chart, thread: int, zero: Point, side: float, *, is_lower: bool) -> Iterator[Mark]:
    """Yield what a thread shows: its lower stitches of shared squares, or all others."""
    colour = chart.threads[thread].colour
    held = [_held(arrangement, thread, is_lower=is_lower) for arrangement in chart.arrangements]
    if not any(held):
        return
    runs = [
        (row, start, [held[index] for index in chart.squares[row, start:end].tolist()])
        for row, start, end in _runs(np.array([bool(one) for one in held])[chart.squares])
    ]
    full = [(row, start + i) for row, start, s in runs for i, g in enumerate(s) if g and g[0][1] is None]
    yield from _ground(full, zero, side, shaded(colour, Shade.DEEP))
    for shade in Shade:
        texts = [
            (text, (zero[0] + start * side, zero[1] + (row + 1) * side))
            for row, start, squares in runs
            for text in _texts(squares, shade)
        ]
        if texts:
            yield Symbols(texts=tuple(texts), size=side, face=Face.STITCHES, ink=shaded(colour, shade))


_Held = tuple[tuple[StitchKind, Corner | None, bool], ...]


def _held(arrangement: Arrangement, thread: int, *, is_lower: bool) -> _Held:
    shared = is_shared(arrangement)
    return tuple(
        (stitch.kind, stitch.corner, shared and place == 1)
        for place, stitch in enumerate(arrangement)
        if stitch.thread == thread and (shared and place == 1) == is_lower
    )


def _runs(has: NDArray[np.bool_]) -> list[tuple[int, int, int]]:
    """Return the runs of a thread's squares, across gaps of a few: row, first column, end column."""
    rows, columns = np.nonzero(has)
    begin = begins(rows)
    begin[1:] |= np.diff(columns) > _GAP + 1
    sides = (rows[begin], columns[begin], columns[ends(begin)] + 1)
    return list(zip(*(side.tolist() for side in sides), strict=True))


def _texts(squares: list[_Held], shade: Shade) -> Iterator[str]:
    """Yield the string of a run in a shade; a second one where a square holds several stitches."""
    for depth in range(max(map(len, squares))):
        letters = [
            _letters().get((*held[depth], shade), " ") if depth < len(held) else " " for held in squares
        ]
        text = "".join(letters).rstrip()
        if text:
            yield text


def _ground(full: list[tuple[int, int]], zero: Point, side: float, fill: str) -> Iterator[Region]:
    """Yield the shade under full stitches, rows of them as one rectangle."""
    rectangles: list[list[int]] = []
    for row, column in full:
        if rectangles and rectangles[-1][0] == row and rectangles[-1][2] == column:
            rectangles[-1][2] += 1
        else:
            rectangles.append([row, column, column + 1])
    polygons = tuple(((a, r), (b, r), (b, r + 1), (a, r + 1)) for r, a, b in rectangles)
    if polygons:
        yield placed(polygons, origin=zero, square_mm=side, fill=fill)


def _overlay(chart: Chart, zero: Point, side: float) -> Iterator[Mark]:
    """Yield backstitch and knots."""

    def place(hole: Point) -> Point:
        return zero[0] + hole[0] * side, zero[1] + hole[1] * side

    for stitch in chart.backstitch:
        start, end = line_ends(stitch.start, stitch.end)
        colour = chart.threads[stitch.thread].colour
        for shade, width in ((Shade.DEEP, LINE), (Shade.BODY, LINE * 0.7)):
            yield Trail(points=(place(start), place(end)), width=width * side, ink=shaded(colour, shade))
    for knot in chart.knots:
        for shade, radius, aside in knot_discs():
            x, y = place((knot.at[0] - aside, knot.at[1] - aside))
            fill = shaded(chart.threads[knot.thread].colour, shade)
            yield Dot(x=x, y=y, radius=radius * side, fill=fill, edge=fill, edge_width=0.0)

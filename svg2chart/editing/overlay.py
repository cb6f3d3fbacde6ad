"""The squares and stitches of a chart as a layer over the drawing that it was made from."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import Enum
from itertools import groupby

from svg2chart.artwork import Artwork
from svg2chart.chart import Chart, Stitch, StitchKind
from svg2chart.chartdrawing import grid_paths
from svg2chart.editing.layers import place_of_squares, with_layer
from svg2chart.grid import Grid
from svg2chart.remarks import Remark
from svg2chart.svg.document import OVERLAY
from svg2chart.svg.places import places_of
from svg2chart.xmltext import attribute_text

LABEL = "Squares and stitches"
_LEG = 0.3  # squares: how wide a leg of a cross is drawn; two strands on 14 count nearly fill their square
_INSET = 0.14  # squares: from a hole to the end of a leg, so that neighbouring crosses do not run together
_LINE = 0.16  # squares: how wide backstitch is drawn
_KNOT = 0.25  # squares: radius of knots
_MARK = "#c2185b"  # of the frames around what is remarked on
_LINES = "#5a5a5a"  # of the grid
_PREFIX = "squares-"  # of all ids: an editor gives others by chance to what has none


class Shown(Enum):
    """What the layer shows."""

    SQUARES = "squares"
    STITCHES = "stitches"
    BOTH = "both"


@dataclass(frozen=True, slots=True, kw_only=True)
class Overlay:
    """What is laid over the drawing: `strength` is its opacity, 0 to 1."""

    shown: Shown = Shown.BOTH
    strength: float = 0.8


def with_overlay(data: bytes, chart: Chart, artwork: Artwork, grid: Grid, overlay: Overlay) -> bytes:
    """Return a drawing with its chart as a locked layer on top, in place of the one that it may have.

    Args:
        data: the drawing, as `plain_bytes` gives it.
        chart: the chart of it.
        artwork: the drawing as it was read.
        grid: the squares that it was charted on.
        overlay: what is laid over it.
    """
    content: list[str] = []
    if overlay.shown is not Shown.SQUARES:
        content += _stitches(chart)
    if overlay.shown is not Shown.STITCHES:
        lines = grid_paths(chart.columns, chart.rows, prefix=_PREFIX)
        content += [f'<g id="{_PREFIX}grid" fill="none" stroke="{_LINES}">', *lines, "</g>"]
    content += _frames(data, chart.remarks, artwork, grid)
    told = f' sodipodi:insensitive="true" style="opacity:{overlay.strength:g}"'
    place = place_of_squares(data, grid.to_squares.inverse())
    return with_layer(data, OVERLAY, content, label=LABEL, place=place, told=told)


def _stitches(chart: Chart) -> Iterator[str]:
    """Yield cloth behind what is stitched, then the legs of crosses, lines and knots, a path a thread."""
    legs: list[list[str]] = [[] for _ in chart.threads]
    behind: list[str] = []
    for row, numbers in enumerate(chart.squares.tolist()):
        for column, number in enumerate(numbers):
            arrangement = chart.arrangements[number]
            for stitch in reversed(arrangement):
                legs[stitch.thread] += _legs(stitch, column, row)
        behind += _runs_of_squares([number != 0 for number in numbers], row)
    if behind:
        yield f'<path id="{_PREFIX}cloth" {_filled(chart.fabric.colour)} d="{"".join(behind)}"/>'
    for number, (thread, pieces) in enumerate(zip(chart.threads, legs, strict=True), start=1):
        yield from _path(f"crosses-{number}", thread.colour, pieces, _LEG)
    lines: list[list[str]] = [[] for _ in chart.threads]
    for line in chart.backstitch:
        (x1, y1), (x2, y2) = line.start, line.end
        lines[line.thread].append(f"M{x1:g} {y1:g}L{x2:g} {y2:g}")
    for number, (thread, pieces) in enumerate(zip(chart.threads, lines, strict=True), start=1):
        yield from _path(f"lines-{number}", thread.colour, pieces, _LINE)
    for number, knot in enumerate(chart.knots, start=1):
        (x, y), colour = knot.at, chart.threads[knot.thread].colour
        yield f'<circle id="{_PREFIX}knot-{number}" cx="{x:g}" cy="{y:g}" r="{_KNOT}" {_filled(colour)}/>'


def _filled(colour: str) -> str:
    return f'style="fill:{colour};stroke:none"'


def _runs_of_squares(is_stitched: Sequence[bool], row: int) -> Iterator[str]:
    """Yield the runs of stitched squares of a row as pieces of path data."""
    column = 0
    for stitched, run in groupby(is_stitched):
        wide = len(list(run))
        if stitched:
            yield f"M{column} {row}h{wide}v1h-{wide}z"
        column += wide


def _path(name: str, colour: str, pieces: Sequence[str], width: float) -> Iterator[str]:
    if pieces:
        yield (
            f'<path id="{_PREFIX}{name}" style="fill:none;stroke:{colour};stroke-width:{width};'
            f'stroke-linecap:round" d="{"".join(pieces)}"/>'
        )


def _legs(stitch: Stitch, column: int, row: int) -> list[str]:
    """Return the legs of a stitch as path data: from hole to hole, or to the middle of the square."""
    near, far = _INSET, 1 - _INSET
    if stitch.corner is None:
        legs = [(near, far, far, near), (near, near, far, far)]
    else:
        right, down = stitch.corner.place
        x, y = (far if right else near), (far if down else near)
        legs = [(x, y, 0.5, 0.5)]
        if stitch.kind is StitchKind.THREE_QUARTER:
            legs.append((1 - x, y, x, 1 - y))
    return [f"M{column + a:g} {row + b:g}L{column + c:g} {row + d:g}" for a, b, c, d in legs]


def _frames(data: bytes, remarks: Sequence[Remark], artwork: Artwork, grid: Grid) -> Iterator[str]:
    """Yield a frame around each element that is remarked on, with what is said of it, in squares."""
    said: dict[str, list[str]] = {}
    for remark in remarks:
        said.setdefault(remark.element, []).append(f"{remark.what} ({remark.severity.value})")
    for number, (element, box) in enumerate(places_of(data, artwork, said).items(), start=1):
        left, top = (box.left - grid.left) / grid.square, (box.top - grid.top) / grid.square
        wide, high = box.width / grid.square, box.height / grid.square
        name = f"{_PREFIX}remark-{number}"
        title = attribute_text(f"{element}: {'; '.join(said[element])}")
        yield (
            f'<rect id="{name}" x="{left - 0.3:g}" y="{top - 0.3:g}"'
            f' width="{wide + 0.6:g}" height="{high + 0.6:g}"'
            f' style="fill:none;stroke:{_MARK};stroke-width:0.2;stroke-dasharray:0.8 0.4">'
            f'<title id="{name}-title">{title}</title></rect>'
        )

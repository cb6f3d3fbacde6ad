"""A chart as an SVG drawing on the grid, one element a stitch, to be edited by hand and charted again.

One layer a thread holds its stitches, and above all of them one layer a thread holds its backstitch and its
knots. Each element says in `data-stitch` what it is, and is painted in its thread's colour; the page
keeps the fabric, the layers the threads. `docs/by-hand.md` tells how such a drawing is read. Paint stands in
`style`, which the style sheet of a drawing that the layers are put into does not overrule.
"""

from collections.abc import Iterator

from svg2chart.chart import Arrangement, Chart, Corner, Fabric, Stitch, StitchKind, Thread
from svg2chart.remarks import Remark, Severity
from svg2chart.units import MM_PER_INCH
from svg2chart.xmltext import attribute_text

_LINE = 0.25  # squares: how wide backstitch is drawn; thinner than what is charted as an area
_KNOT = 0.25  # squares: radius of knots
_GRID = 0.02  # squares: how wide the lines of the grid are drawn, those of ten three times
_INKSCAPE = "http://www.inkscape.org/namespaces/inkscape"
_SODIPODI = "http://sodipodi.sourceforge.net/DTD/sodipodi-0.dtd"

# half squares from their corner on, and quadrants, as path data after the first point
_HALVES = {
    Corner.TOP_LEFT: "h1l-1 1z",
    Corner.TOP_RIGHT: "v1l-1-1z",
    Corner.BOTTOM_RIGHT: "h-1l1-1z",
    Corner.BOTTOM_LEFT: "v-1l1 1z",
}
_QUADRANTS = {
    Corner.TOP_LEFT: "h.5v.5h-.5z",
    Corner.TOP_RIGHT: "v.5h-.5v-.5z",
    Corner.BOTTOM_RIGHT: "h-.5v-.5h.5z",
    Corner.BOTTOM_LEFT: "v-.5h.5v.5z",
}


def draw_chart(chart: Chart) -> bytes:
    """Return the chart as an SVG drawing whose user unit is a square, UTF-8, the same for the same chart.

    Threads are told apart by their colours: two of one colour become one when the drawing is charted,
    which `lost_in_drawing` tells.
    """
    lines = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        _start(chart),
        f"<title>{attribute_text(chart.title)}</title>",
        f'<rect id="cloth" data-stitch="leave-out" width="{chart.columns}" height="{chart.rows}"'
        f' fill="{chart.fabric.colour}"/>',
        *stitch_layers(chart),
        _grid(chart),
        "</svg>",
    ]
    return ("\n".join(lines) + "\n").encode("utf-8", "replace")


def stitch_layers(chart: Chart, *, prefix: str = "") -> Iterator[str]:
    """Yield the layers of the stitches and then those of lines and knots, in squares.

    Args:
        chart: what they show.
        prefix: put before all ids, so that they differ from those of another drawing.
    """
    yield from _cross_layers(chart, prefix)
    yield from _line_layers(chart, prefix)


def lost_in_drawing(chart: Chart) -> tuple[Remark, ...]:
    """Return a remark for each colour that several threads have: the drawing cannot tell them apart."""
    by_colour: dict[str, list[str]] = {}
    for thread in chart.threads:
        by_colour.setdefault(thread.colour, []).append(thread.letter)
    return tuple(
        Remark(
            element="",
            what=f"threads {', '.join(letters)} have one colour, {colour}: charted again they are one thread",
            severity=Severity.SIMPLIFIED,
        )
        for colour, letters in by_colour.items()
        if len(letters) > 1
    )


def _start(chart: Chart) -> str:
    fabric = chart.fabric
    wide, high = (size_mm(squares, fabric) for squares in (chart.columns, chart.rows))
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" xmlns:inkscape="{_INKSCAPE}" xmlns:sodipodi="{_SODIPODI}"'
        f' width="{wide}mm" height="{high}mm" viewBox="0 0 {chart.columns} {chart.rows}" data-square="1"'
        f' data-count="{fabric.count}" data-over="{fabric.over}" data-cloth="{fabric.colour}">'
    )


def size_mm(squares: int, fabric: Fabric) -> str:
    """Return how long so many squares are on a fabric, as it is written in a drawing."""
    # digits enough for a page of the same proportions as its view box
    return f"{squares * fabric.over / fabric.count * MM_PER_INCH:.9g}"


def _cross_layers(chart: Chart, prefix: str) -> Iterator[str]:
    held: list[list[str]] = [[] for _ in chart.threads]
    for row, numbers in enumerate(chart.squares.tolist()):
        for column, number in enumerate(numbers):
            arrangement = chart.arrangements[number]
            for stitch in arrangement:
                colour = chart.threads[stitch.thread].colour
                held[stitch.thread].append(_stitch(stitch, arrangement, row, column, colour, prefix))
    for number, (thread, elements) in enumerate(zip(chart.threads, held, strict=True), start=1):
        strands = f"{thread.cross_strands} {thread.back_strands}"
        about = {
            "letter": thread.letter,
            "code": thread.code,
            "name": thread.name,
            "colour": thread.colour,
            "symbol": thread.symbol,
            "strands": strands,
        }
        told = "".join(f' data-{name}="{attribute_text(value)}"' for name, value in about.items())
        yield _layer(f"{prefix}thread-{number}", _label(thread), elements, told)


def _line_layers(chart: Chart, prefix: str) -> Iterator[str]:
    held: list[list[str]] = [[] for _ in chart.threads]
    for number, line in enumerate(chart.backstitch, start=1):
        (x1, y1), (x2, y2) = line.start, line.end
        held[line.thread].append(
            f'<line id="{prefix}backstitch-{number}" x1="{x1:g}" y1="{y1:g}" x2="{x2:g}" y2="{y2:g}"'
            f' style="stroke:{chart.threads[line.thread].colour};stroke-width:{_LINE};stroke-linecap:round"'
            ' data-stitch="backstitch-as-drawn"/>'
        )
    for number, knot in enumerate(chart.knots, start=1):
        held[knot.thread].append(
            f'<circle id="{prefix}knot-{number}" cx="{knot.at[0]:g}" cy="{knot.at[1]:g}" r="{_KNOT}"'
            f' style="fill:{chart.threads[knot.thread].colour};stroke:none" data-stitch="knot"/>'
        )
    for number, (thread, elements) in enumerate(zip(chart.threads, held, strict=True), start=1):
        if elements:
            yield _layer(f"{prefix}lines-{number}", f"{_label(thread)}, lines", elements, "")


def _layer(name: str, label: str, elements: list[str], told: str) -> str:
    start = f'<g id="{name}" inkscape:groupmode="layer" inkscape:label="{attribute_text(label)}"{told}>'
    return "\n".join([start, *elements, "</g>"])


def _label(thread: Thread) -> str:
    return " ".join(filter(None, (thread.letter, thread.code, thread.name)))


def _stitch(stitch: Stitch, arrangement: Arrangement, row: int, column: int, colour: str, prefix: str) -> str:
    name = f"{prefix}r{row + 1}c{column + 1}"  # counted from 1, as the printed chart is
    rest = f'style="fill:{colour};stroke:none" data-stitch="{stitch.kind.value}"/>'
    if stitch.corner is None:
        return f'<rect id="{name}" x="{column}" y="{row}" width="1" height="1" {rest}'
    right, down = stitch.corner.place
    is_shared = any(other.kind is StitchKind.THREE_QUARTER for other in arrangement)
    outline = (_HALVES if is_shared else _QUADRANTS)[stitch.corner]
    data = f"M{column + right} {row + down}{outline}"
    return f'<path id="{name}-{stitch.corner.value}" d="{data}" {rest}'


def grid_paths(columns: int, rows: int, *, prefix: str = "") -> list[str]:
    """Return the lines of a grid of squares as paths without a colour, those of every tenth hole heavier.

    `prefix` is put before their ids.
    """
    thin = [f"M{x} 0V{rows}" for x in range(columns + 1) if x % 10] + [
        f"M0 {y}H{columns}" for y in range(rows + 1) if y % 10
    ]
    heavy = [f"M{x} 0V{rows}" for x in range(0, columns + 1, 10)] + [
        f"M0 {y}H{columns}" for y in range(0, rows + 1, 10)
    ]
    return [
        f'<path id="{prefix}{name}" d="{"".join(data)}" stroke-width="{width}"/>'
        for name, data, width in (("ones", thin, _GRID), ("tens", heavy, 3 * _GRID))
        if data
    ]


def _grid(chart: Chart) -> str:
    """Return a locked layer of grid lines over all."""
    locked = ' sodipodi:insensitive="true" data-stitch="leave-out" fill="none" stroke="#808080"'
    return _layer("grid", "Grid", grid_paths(chart.columns, chart.rows), locked)

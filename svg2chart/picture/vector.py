"""The picture of the stitched piece as SVG: one unit is one square, with a margin of bare cloth around."""

from collections.abc import Iterable
from html import escape

from svg2chart.chart import Chart, Stitch, StitchKind
from svg2chart.picture.shapes import (
    HOLE_RADIUS,
    HOLE_SHARE,
    LINE,
    Point,
    Polygon,
    Shade,
    in_paint_order,
    knot_discs,
    line_ends,
    margin_squares,
    shaded,
    stitch_seen,
)

_FINE = 100  # inner units to a square, so that coordinates are whole numbers
_PIXELS = 1200  # of the longer side, where the SVG is shown by itself
HOLE_INK = "#000000"


def picture_svg(chart: Chart) -> bytes:
    """Return a picture of the stitched chart as SVG.

    The view box is in squares, (0, 0) the chart's first hole; the cloth reaches `margin_squares` beyond
    the stitches on each side.
    """
    margin = margin_squares(chart)
    wide, high = chart.columns + 2 * margin, chart.rows + 2 * margin
    scale = _PIXELS / max(wide, high)
    title = escape(" ".join(chart.title.split()) or "A stitched chart")
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{wide * scale:.0f}" height="{high * scale:.0f}"'
        f' viewBox="{-margin} {-margin} {wide} {high}" role="img">',
        f"<title>{title}</title>",
        f'<g transform="scale({1 / _FINE:g})">',
        f"<defs>{_cloth_pattern()}{''.join(_thread_patterns(chart))}</defs>",
        *(
            f'<path fill="{fill}" d="{_rectangle(-margin, -margin, wide, high)}"/>'
            for fill in (chart.fabric.colour, "url(#cloth)")
        ),
        *_squares(chart),
        *_lines(chart),
        *_knots(chart),
        "</g>",
        "</svg>",
    ]
    return "\n".join(part for part in parts if part).encode() + b"\n"


def _pattern(name: str, inside: str) -> str:
    size = f'width="{_FINE}" height="{_FINE}" patternUnits="userSpaceOnUse"'
    return f'<pattern id="{name}" {size}>{inside}</pattern>'


def _cloth_pattern() -> str:
    """Return holes at the corners of squares, a quarter of each in each corner of the pattern."""
    radius = _whole(HOLE_RADIUS)
    holes = "".join(f'<circle cx="{x}" cy="{y}" r="{radius}"/>' for y in (0, _FINE) for x in (0, _FINE))
    return _pattern("cloth", f'<g fill="{HOLE_INK}" fill-opacity="{HOLE_SHARE}">{holes}</g>')


def _thread_patterns(chart: Chart) -> Iterable[str]:
    """Yield the legs of a full stitch in each thread that has one."""
    for number in sorted({a[0].thread for a in chart.arrangements if a and a[0].corner is None}):
        full = Stitch(kind=StitchKind.FULL, thread=number)
        inside = "".join(
            f'<path fill="{shaded(chart.threads[number].colour, shade)}"'
            f' d="{_path(stitch_seen(full, (full,)).of(shade), (0, 0))}"/>'
            for shade in (Shade.BODY, Shade.LIGHT)
        )
        yield _pattern(f"full{number}", inside)


def _squares(chart: Chart) -> Iterable[str]:
    """Yield the stitches: full ones as rectangles filled with their pattern, fractions as they are seen."""
    runs: dict[int, list[str]] = {}
    # what lies lower in its square comes first; fractions of other squares do not overlap
    fractions: dict[tuple[bool, int, int], str] = {}
    for row, line in enumerate(chart.squares.tolist()):
        column = 0
        while column < len(line):
            arrangement, end = chart.arrangements[line[column]], column + 1
            if arrangement and arrangement[0].corner is None:
                while end < len(line) and line[end] == line[column]:
                    end += 1
                runs.setdefault(arrangement[0].thread, []).append(_rectangle(column, row, end - column, 1))
            for stitch in in_paint_order(arrangement):
                if stitch.corner is not None:
                    seen = stitch_seen(stitch, arrangement)
                    is_upper = stitch is arrangement[0]
                    for place, shade in enumerate(Shade):
                        key = (is_upper, stitch.thread, place)
                        fractions[key] = fractions.get(key, "") + _path(seen.of(shade), (column, row))
            column = end
    for number, rectangles in sorted(runs.items()):
        d = "".join(rectangles)
        yield f'<path fill="{shaded(chart.threads[number].colour, Shade.DEEP)}" d="{d}"/>'
        yield f'<path fill="url(#full{number})" d="{d}"/>'
    for (_, number, place), d in sorted(fractions.items()):
        yield f'<path fill="{shaded(chart.threads[number].colour, list(Shade)[place])}" d="{d}"/>'


def _lines(chart: Chart) -> Iterable[str]:
    """Yield the backstitch in the order of the chart, each stitch from hole to hole."""
    for stitch in chart.backstitch:
        start, end = line_ends(stitch.start, stitch.end)
        d = f"M{_whole(start[0])} {_whole(start[1])}L{_whole(end[0])} {_whole(end[1])}"
        colour = chart.threads[stitch.thread].colour
        for shade, width in ((Shade.DEEP, LINE), (Shade.BODY, LINE * 0.7), (Shade.LIGHT, LINE * 0.2)):
            yield (
                f'<path fill="none" stroke="{shaded(colour, shade)}" stroke-width="{_whole(width)}"'
                f' stroke-linecap="round" d="{d}"/>'
            )


def _knots(chart: Chart) -> Iterable[str]:
    for knot in chart.knots:
        colour = chart.threads[knot.thread].colour
        for shade, radius, aside in knot_discs():
            x, y = (_whole(place - aside) for place in knot.at)
            yield f'<circle fill="{shaded(colour, shade)}" cx="{x}" cy="{y}" r="{_whole(radius)}"/>'


def _whole(squares: float) -> int:
    return round(squares * _FINE)


def _path(polygons: Iterable[Polygon], at: Point) -> str:
    return "".join(
        "M" + "L".join(f"{_whole(at[0] + x)} {_whole(at[1] + y)}" for x, y in polygon) + "z"
        for polygon in polygons
    )


def _rectangle(column: int, row: int, wide: int, high: int) -> str:
    return f"M{column * _FINE} {row * _FINE}h{wide * _FINE}v{high * _FINE}h{-wide * _FINE}z"

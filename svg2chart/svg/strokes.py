"""Stroke properties to pens."""

from dataclasses import dataclass

from svg2chart.geometry.affine import Affine
from svg2chart.geometry.outline import Cap, Join, StrokeStyle
from svg2chart.svg.lengths import Measures, length, number, split_list
from svg2chart.svg.scene import MAX_COORDINATE
from svg2chart.svg.style import Style

# px, for a line that has no width of its own: any width that is surely drawn as a line
HAIRLINE_PX = 0.1
MAX_MITER = 1e6  # stroke widths; a longer miter stands on a corner of less than a second of arc
LONGEST_DASH = 1e100  # user units; longer than any path, and sums of such lengths are still numbers
TOO_WIDE = "its stroke is too wide to be drawn"
_JOINS = {"round": Join.ROUND, "bevel": Join.BEVEL, "miter-clip": Join.MITER_CLIP, "arcs": Join.ARCS}
_CAPS = {"round": Cap.ROUND, "square": Cap.SQUARE}


@dataclass(frozen=True, slots=True)
class Pen:
    """A stroke style, None where nothing is drawn, and what of its dashes could not be read."""

    style: StrokeStyle | None
    problem: str = ""


def is_hairline(style: Style) -> bool:
    """Whether the stroke is the thinnest line there is, whatever its width says."""
    return style.get("-inkscape-stroke") == "hairline"


def keeps_width(style: Style) -> bool:
    """Whether the stroke is as wide at any size of the drawing."""
    return style.own.get("vector-effect") == "non-scaling-stroke"


def is_too_wide(style: StrokeStyle, nib: Affine) -> bool:
    """Whether a pen, which `nib` maps to root user units, reaches farther than coordinates may lie."""
    return not style.width * nib.largest_scale < MAX_COORDINATE


def pen(style: Style, measures: Measures, *, dash_scale: float = 1.0) -> Pen:
    """Return the pen that the stroke properties ask for, lengths in the element's user units.

    `dash_scale` is what one unit of the dashes measures there, where pathLength says so.
    """
    width = length(style.get("stroke-width", "1"), measures, whole=measures.diagonal)
    if not width or width < 0:
        return Pen(None)
    dashes, error = _dashes(style.get("stroke-dasharray", "none"), measures)
    offset = length(style.get("stroke-dashoffset", "0"), measures, whole=measures.diagonal) or 0.0
    return Pen(
        StrokeStyle(
            width=width,
            cap=_CAPS.get(style.get("stroke-linecap"), Cap.BUTT),
            join=_JOINS.get(style.get("stroke-linejoin"), Join.MITER),
            miter_limit=min(number(style.get("stroke-miterlimit", "4")) or 4.0, MAX_MITER),
            dashes=tuple(_kept_short(dash * dash_scale) for dash in dashes),
            dash_offset=_kept_short(offset * dash_scale) if dashes else 0.0,
        ),
        error,
    )


def _kept_short(dash: float) -> float:
    return min(max(dash, -LONGEST_DASH), LONGEST_DASH)


def _dashes(text: str, measures: Measures) -> tuple[tuple[float, ...], str]:
    """Return an even number of dash lengths, none for a solid line, and what was wrong (SVG 2, 13.5.6)."""
    if text == "none":
        return (), ""
    found = [length(item, measures, whole=measures.diagonal) for item in split_list(text)]
    lengths = [value for value in found if value is not None]
    if len(lengths) < len(found):
        return (), f'the dashes "{text}" cannot be read, the line is drawn solid'
    if any(value < 0 for value in lengths):
        return (), f'the dashes "{text}" have a negative length, the line is drawn solid'
    if sum(lengths) == 0:
        return (), ""
    return tuple(lengths * (1 + len(lengths) % 2)), ""

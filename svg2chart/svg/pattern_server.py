"""Pattern elements to the mean colour of their tile."""

from collections.abc import Callable
from dataclasses import replace
from xml.etree.ElementTree import Element

import numpy as np

from svg2chart.artwork import Fill, Stroke, Words, masking_groups
from svg2chart.geometry.affine import Affine
from svg2chart.geometry.box import Box
from svg2chart.geometry.dashes import dash_lines
from svg2chart.geometry.faces import faces
from svg2chart.geometry.flatten import flatten_paths
from svg2chart.geometry.polygon import Polygon, Polylines
from svg2chart.regions import painted_region
from svg2chart.remarks import Severity
from svg2chart.svg.document import template_chain, told
from svg2chart.svg.lengths import length
from svg2chart.svg.paint import Flat
from svg2chart.svg.ramp import flat_of
from svg2chart.svg.scene import MAX_COORDINATE, Gathered, Painted, Place, Source, measures_at
from svg2chart.svg.viewport import alignment, fitted, has_area, view_box

MAX_REGIONS = 500  # fills, strokes, dashes and parts of clips in one tile; they are cut at each other
_PARTS = 1000  # curves of a tile are flattened within its longer side over this


def pattern_paint(
    source: Source, element: Element, place: Place, name: str, *, box: Callable[[], Box | None] | None
) -> Painted:
    """Return the mean colour of a pattern's tile as a paint; nothing, with the reason, where it has none.

    Arguments as for `gradient_paint`. How the tile is moved does not matter. Shapes in it are counted by
    the area that is seen of them, what they leave free lets through; opacities of groups are taken as
    those of their shapes, masks and blend modes in it are not followed.
    """
    chain = template_chain(source.document, element, ("pattern",))
    what = f'its {name} is a pattern ("#{element.get("id", "")}")'
    around = box() if box is not None else Box(0.0, 0.0, 1.0, 1.0)
    tile = _tile(source, chain, place, around)
    link = next((link for link in chain if "viewBox" in link.attrib), chain[0])
    shown = view_box(link)
    if tile is None or (shown is not None and not has_area(shown)):
        return Painted(
            None, f"{what} whose tile is without area, too large or too far off", Severity.LEFT_OUT
        )
    if element in place.uses:
        return Painted(None, f"{what} that is drawn with itself", Severity.LEFT_OUT)
    content = next((link for link in chain if len(link)), element)
    drawn = Gathered(viewport=tile, tally=source.tally)
    inside = replace(
        place,
        to_user=_content_map(chain, tile, around, shown),
        style=source.styles.of(content),
        layer="",
        group=None,
        clip=None,
        name="",
        uses=(*place.uses, element),
        depth=place.depth + 1,
    )
    source.draw_children(source, drawn, content, inside)
    mean = _mean(drawn, tile)
    if mean is None:
        return Painted(None, f"{what} of too many shapes", Severity.LEFT_OUT)
    if mean.opacity == 0:
        return Painted(None, f"{what} that shows nothing", Severity.LEFT_OUT)
    return Painted(mean, f"{what}, drawn in the mean of its colours")


def _tile(source: Source, chain: list[Element], place: Place, around: Box | None) -> Box | None:
    """Return the tile in the pattern's coordinates, None where it has no area or cannot be placed."""
    measures = measures_at(source, place)
    scale, start = (1.0, 1.0), (0.0, 0.0)
    if told(chain, "patternUnits", "") != "userSpaceOnUse":
        if around is None:
            return None
        measures = replace(measures, wide=1.0, high=1.0)
        scale, start = (around.width, around.height), (around.left, around.top)
    sides = []
    for names, whole, times, shift in zip(
        (("x", "width"), ("y", "height")), (measures.wide, measures.high), scale, start, strict=True
    ):
        first, size = (length(told(chain, name, "0"), measures, whole=whole) or 0.0 for name in names)
        if not size * times > 0:
            return None
        sides.append((shift + first * times, size * times))
    (left, width), (top, height) = sides
    far = max(abs(left), abs(top), width, height)
    if far > MAX_COORDINATE or min(width, height) * MAX_COORDINATE < max(far, 1.0):
        return None
    return Box(left, top, left + width, top + height)


def _content_map(chain: list[Element], tile: Box, around: Box | None, shown: Box | None) -> Affine:
    """Return the map from the coordinates of a pattern's content, its view box, to those of its tile."""
    if shown is not None:
        return fitted(shown, tile, alignment(told(chain, "preserveAspectRatio", "")))
    if told(chain, "patternContentUnits", "") == "objectBoundingBox" and around is not None:
        scaled = Affine.scaling(around.width, around.height)
    else:
        scaled = Affine()
    return Affine.translation(tile.left, tile.top) @ scaled


def _mean(drawn: Gathered, tile: Box) -> Flat | None:
    """Return the mean colour over the tile, None where it holds too much."""
    marks = [
        piece
        for mark in drawn.marks
        for piece in (mark.outlines if isinstance(mark, Words) else (mark,))
        if piece.group not in masking_groups(drawn.groups)
    ]
    parts = [part for clip in drawn.clips for part in clip.parts]
    if len(marks) + len(parts) > MAX_REGIONS:
        return None
    tolerance = max(tile.width, tile.height) / _PARTS
    lines = [_lines(mark, tolerance) for mark in marks]
    if (
        sum(len(drawn.closed) for mark, drawn in zip(marks, lines, strict=True) if _is_dashed(mark))
        > MAX_REGIONS
    ):
        return None
    regions = [
        painted_region(mark, drawn, to_chains=Affine(), tolerance=tolerance)
        for mark, drawn in zip(marks, lines, strict=True)
    ]
    chains = flatten_paths([part.path for part in parts], tolerance=tolerance)
    regions += [
        Polygon(points=chain.points, starts=chain.starts, rule=part.rule)
        for chain, part in zip(chains, parts, strict=True)
    ]
    total, whole = np.zeros(4), 0.0
    for area, covers in faces(regions, tile):
        holds = _holding_clips(drawn, covers[len(marks) :])
        colour = np.zeros(4)
        for mark, is_there in zip(marks, covers, strict=False):
            if is_there and (mark.clip is None or holds[mark.clip]):
                colour = _over(mark, _opacity(drawn, mark), colour)
        total += area * colour
        whole += area
    return flat_of(total / whole).rounded() if whole > 0 else None


def _is_dashed(mark: Fill | Stroke) -> bool:
    return isinstance(mark, Stroke) and bool(mark.style.dashes)


def _lines(mark: Fill | Stroke, tolerance: float) -> Polylines:
    """Return the outline of a fill, the dashes of a stroke."""
    lines = flatten_paths([mark.path], tolerance=tolerance)[0]
    return dash_lines(lines, mark.style, pen=mark.pen) if isinstance(mark, Stroke) else lines


def _holding_clips(drawn: Gathered, covers: tuple[bool, ...]) -> list[bool]:
    """Return which clips let through where the given parts of all clips lie."""
    holds: list[bool] = []
    first = 0
    for clip in drawn.clips:
        own = zip(clip.parts, covers[first : first + len(clip.parts)], strict=True)
        is_in = any(is_there and (part.clip is None or holds[part.clip]) for part, is_there in own)
        holds.append(is_in and (clip.within is None or holds[clip.within]))
        first += len(clip.parts)
    return holds


def _opacity(drawn: Gathered, mark: Fill | Stroke) -> float:
    opacity, group = mark.opacity, mark.group
    while group is not None:
        opacity *= drawn.groups[group].opacity
        group = drawn.groups[group].parent
    return opacity


def _over(mark: Fill | Stroke, opacity: float, below: np.ndarray) -> np.ndarray:
    """Return a mark's colour over what is below, both times opacity (Porter and Duff, 1984, over)."""
    own = np.array([mark.colour.red, mark.colour.green, mark.colour.blue, 1.0]) * opacity
    return np.asarray(own + below * (1.0 - opacity))

"""clip-path to clips."""

from dataclasses import dataclass, replace
from xml.etree.ElementTree import Element

from svg2chart.artwork import Clip, ClipPart
from svg2chart.geometry.affine import Affine
from svg2chart.geometry.box import Box
from svg2chart.geometry.path import Path
from svg2chart.geometry.polygon import FillRule
from svg2chart.remarks import Severity
from svg2chart.svg.bounds import element_box
from svg2chart.svg.paint import target
from svg2chart.svg.placing import ANIMATED, is_hidden, placed, use_target
from svg2chart.svg.scene import MAX_COORDINATE, Gathered, Place, Source, is_sound, measures_at, name_of
from svg2chart.svg.shapes import is_shape, rounded_rectangle, shape_path


@dataclass(frozen=True, slots=True)
class Clipped:
    """The clip that an element is drawn in, None for none; `problem` says why it cannot be drawn at all."""

    clip: int | None
    problem: str = ""


def frame_clip(gathered: Gathered, frame: Box, to_user: Affine, within: int | None) -> int:
    """Add the clip of an upright rectangle and return its index."""
    far = MAX_COORDINATE
    seen = frame.within(Box(-far, -far, far, far)) or Box(0.0, 0.0, 0.0, 0.0)
    path = rounded_rectangle(seen.left, seen.top, seen.width, seen.height).transformed(to_user)
    return gathered.add_clip(Clip(parts=(ClipPart(path=path),), within=within))


def element_clip(source: Source, gathered: Gathered, element: Element, place: Place) -> Clipped:
    """Return the clip of an element at its own place, within the clip of that place."""
    return _clip(source, gathered, element, place, place.style.own.get("clip-path", "none"), ())


def _clip(
    source: Source,
    gathered: Gathered,
    element: Element,
    place: Place,
    text: str,
    under_way: tuple[Element, ...],
) -> Clipped:
    if text == "none":
        return Clipped(place.clip)
    link = target(text)
    holder = source.document.by_id.get(link[1:]) if link.startswith("#") else None
    name = name_of(source, element, place)
    if holder is None or holder.tag != "clipPath":
        what = f'its clip-path "{link or text}" is not there or not a clipPath, it is not clipped'
        gathered.remark(name, what, Severity.SIMPLIFIED, layer=place.layer)
        return Clipped(place.clip)
    if holder in under_way:
        what = f'its clip-path "{link}" refers to itself, only once followed'
        gathered.remark(name, what, Severity.SIMPLIFIED, layer=place.layer)
        return Clipped(place.clip)
    chain = (*under_way, holder)
    inside = _space(source, gathered, holder, element, place)
    if inside is None:
        return Clipped(None, f'its clip-path "{link}" has no area or a transform that cannot be read')
    outer = _clip(source, gathered, element, place, inside.style.own.get("clip-path", "none"), chain)
    if outer.problem:
        return outer
    parts: list[ClipPart] = []
    for child in holder:
        parts += _parts(source, gathered, child, inside, chain)
    if not parts:
        return Clipped(None, f'its clip-path "{link}" leaves nothing of it')
    return Clipped(gathered.add_clip(Clip(parts=tuple(parts), within=outer.clip)))


def _space(
    source: Source, gathered: Gathered, holder: Element, element: Element, place: Place
) -> Place | None:
    """Return the place of a clipPath's content for one clipped element, None where there is none."""
    parent = source.document.parents.get(holder, holder)
    found = placed(source, holder, replace(place, style=source.styles.of(parent)))
    if any("transform" in problem for problem in found.problems):
        return None
    to_user = found.place.to_user
    if holder.get("clipPathUnits") == "objectBoundingBox":
        box = element_box(source, gathered, element, place)
        if box is None or box.width == 0 or box.height == 0:
            return None
        to_user = to_user @ Affine(box.width, 0.0, 0.0, box.height, box.left, box.top)
    return replace(found.place, to_user=to_user, clip=None)


def _parts(
    source: Source, gathered: Gathered, child: Element, inside: Place, under_way: tuple[Element, ...]
) -> list[ClipPart]:
    """Return the parts that one child of a clipPath makes."""
    if not (is_shape(child) or child.tag in ("use", "text")):
        return []
    gathered.count(name_of(source, child, inside))
    here = placed(source, child, inside).place
    if child in source.document.animated:
        gathered.remark(name_of(source, child, inside), ANIMATED, Severity.SIMPLIFIED, layer=inside.layer)
    if here.style.own.get("display") == "none":
        return []
    if child.tag == "use":
        goal = use_target(source, child, here)
        if goal.element is None or goal.element.tag == "use":  # only shapes and text (SVG 1.1, 14.3.5)
            return []
        outer = _clip(source, gathered, child, here, here.style.own.get("clip-path", "none"), under_way)
        if outer.problem:
            return []
        parts = _parts(source, gathered, goal.element, replace(goal.place, clip=outer.clip), under_way)
        return parts
    if is_hidden(here.style):
        return []
    cut = _clip(source, gathered, child, here, here.style.own.get("clip-path", "none"), under_way)
    if cut.problem:
        return []
    rule = FillRule(here.style.get("clip-rule", "nonzero"))
    return [ClipPart(path=path, rule=rule, clip=cut.clip) for path in _regions(source, gathered, child, here)]


def _regions(source: Source, gathered: Gathered, child: Element, place: Place) -> list[Path]:
    if child.tag == "text":
        from svg2chart.svg.text import words_regions  # loaded only where there are words

        return words_regions(source, gathered, child, place)
    path = shape_path(child, place.style, measures_at(source, place)).path
    if path.is_empty or not is_sound(path, place.to_user):
        return []
    return [path.transformed(place.to_user)]

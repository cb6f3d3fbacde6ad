"""A shape element to its marks: its fill, its stroke and its markers, or the one thing it is told to be."""

from dataclasses import replace
from xml.etree.ElementTree import Element

from svg2chart.geometry.path import Path
from svg2chart.remarks import Severity
from svg2chart.svg.clip import frame_clip
from svg2chart.svg.document import SODIPODI
from svg2chart.svg.markers import markers
from svg2chart.svg.marks import add_fill, add_stroke, paint_order
from svg2chart.svg.pathdata import PathData
from svg2chart.svg.placing import HIDDEN, is_hidden
from svg2chart.svg.scene import Gathered, Place, Source, is_sound, measures_at, name_of
from svg2chart.svg.servers import context_of
from svg2chart.svg.shapes import shape_path
from svg2chart.svg.told import parts_of


def draw_shape(source: Source, gathered: Gathered, element: Element, place: Place) -> None:
    """Draw a shape element that stands at its own place, and remark on what of it cannot be drawn."""
    name = name_of(source, element, place)
    if is_hidden(place.style):
        gathered.remark(name, HIDDEN, Severity.LEFT_OUT, layer=place.layer)
        return
    read = shape_path(element, place.style, measures_at(source, place))
    if read.error:
        severity = Severity.LEFT_OUT if read.path.is_empty else Severity.SIMPLIFIED
        what = read.error if read.path.is_empty else f"drawn up to an error: {read.error}"
        gathered.remark(name, what, severity, layer=place.layer)
    elif read.path.is_empty and element.get(f"{SODIPODI}type"):
        what = "its shape is known only to the editor; turn it into a path there"
        gathered.remark(name, what, Severity.LEFT_OUT, layer=place.layer)
    if read.path.is_empty:
        return
    if not is_sound(read.path, place.to_user):
        gathered.remark(name, "its coordinates are too large", Severity.LEFT_OUT, layer=place.layer)
        return
    if parts_of(place.stitch_as):
        _draw_as_told(source, gathered, element, place, read.path)
        return
    for part in paint_order(place.style):
        if part == "fill":
            add_fill(source, gathered, element, place, read.path)
        elif part == "stroke":
            add_stroke(source, gathered, element, place, read.path)
        else:
            _markers(source, gathered, element, place, read)


def _draw_as_told(source: Source, gathered: Gathered, element: Element, place: Place, path: Path) -> None:
    """Draw the one part of a shape that makes what the shape is told to be."""
    before, told = len(gathered.marks), len(gathered.remarks)
    for part in parts_of(place.stitch_as):
        (add_fill if part == "fill" else add_stroke)(source, gathered, element, place, path)
        if len(gathered.marks) > before:
            return
    if parts_of(place.stitch_as) == ("fill",) and len(gathered.remarks) == told:
        what = "has no fill for a stitch to take its thread from"
        gathered.remark(name_of(source, element, place), what, Severity.LEFT_OUT, layer=place.layer)


def _markers(source: Source, gathered: Gathered, element: Element, place: Place, data: PathData) -> None:
    name = name_of(source, element, place)
    found, problems = markers(source, place, data)
    for problem in problems:
        gathered.remark(name, problem, Severity.LEFT_OUT, layer=place.layer)
    if not found:
        return
    context = context_of(source, place, box=data.path.box)
    for marker in found:
        gathered.count(name)
        clip = place.clip
        if marker.frame is not None:
            clip = frame_clip(gathered, marker.frame, marker.frame_to_user, clip)
        content = replace(marker.place, name=name, clip=clip, context=context, stitch_as=None)
        source.draw_children(source, gathered, marker.element, content)

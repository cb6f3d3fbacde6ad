"""The walk through the document: groups, layers, copies and what they hold, drawn in paint order."""

from collections.abc import Callable
from dataclasses import replace
from xml.etree.ElementTree import Element

from svg2chart.artwork import Fill
from svg2chart.errors import ArtworkError
from svg2chart.remarks import Severity
from svg2chart.svg.bounds import element_box
from svg2chart.svg.clip import element_clip, frame_clip
from svg2chart.svg.document import ANIMATION, INKSCAPE, local_name
from svg2chart.svg.embedded import embedded_drawing
from svg2chart.svg.figures import draw_shape
from svg2chart.svg.lengths import share
from svg2chart.svg.masks import add_mask, group_of
from svg2chart.svg.nested import inner_viewport
from svg2chart.svg.paint import colour
from svg2chart.svg.placing import (
    HIDDEN,
    NOT_DISPLAYED,
    Target,
    chosen,
    is_hidden,
    meets_conditions,
    placed,
    use_target,
)
from svg2chart.svg.scene import (
    MAX_DEPTH,
    Gathered,
    Place,
    Source,
    is_usable,
    measures_at,
    name_of,
)
from svg2chart.svg.servers import context_of
from svg2chart.svg.shapes import rounded_rectangle, unread
from svg2chart.svg.told import is_left_out
from svg2chart.svg.unfollowed import not_followed

# Elements that show nothing by themselves and need no word about it.
_SILENT = frozenset(
    [
        "defs",
        "symbol",
        "clipPath",
        "mask",
        "marker",
        "linearGradient",
        "radialGradient",
        "pattern",
        "filter",
        "title",
        "desc",
        "metadata",
        "style",
        "view",
        "cursor",
        "font",
        "font-face",
        "hatch",
        "solidcolor",
        "color-profile",
        "mesh",
        "meshgradient",
    ]
)
_EDITOR_NAMESPACES = (
    "inkscape",
    "sodipodi",
    "adobe.com",
    "w3.org/1999/02/22-rdf",
    "creativecommons",
    "purl.org",
)
_ADVICE = {
    "foreignObject": "content that is not SVG is left out",
    "script": "scripts are not run",
    "flowRoot": "flowRoot is not standard SVG; turn it into plain text in the editor",
}


def draw_element(source: Source, gathered: Gathered, element: Element, parent: Place) -> None:
    """Draw one element and what it holds.

    Raises:
        ArtworkError: the drawing is nested too deep or copies too much.
    """
    if not meets_conditions(element):
        what = "for other readers or programs (systemLanguage, requiredExtensions)"
        gathered.remark(name_of(source, element, parent), what, Severity.LEFT_OUT, layer=parent.layer)
        return
    if element.tag in _SILENT:
        return
    if is_left_out(element, parent.stitch_as):
        return
    name = name_of(source, element, parent)
    gathered.count(name)
    if element.tag in _DRAWN:
        _draw_rendered(source, gathered, element, parent)
    elif element.tag not in ANIMATION and not (
        element.tag.startswith("{") and any(word in element.tag for word in _EDITOR_NAMESPACES)
    ):
        what = _ADVICE.get(element.tag, f"<{local_name(element)}> is not known")
        gathered.remark(name, what, Severity.LEFT_OUT, layer=parent.layer)


def draw_root(source: Source, gathered: Gathered, place: Place) -> None:
    """Draw the whole document; `place` is that in which the root element stands."""
    root = source.document.root
    behind = colour(source.styles.child(root, place.style).style.own.get("background-color", ""))
    if behind is not None and behind.opacity > 0 and gathered.viewport is not None:
        page = gathered.viewport
        path = rounded_rectangle(page.left, page.top, page.width, page.height)
        name = source.document.names[root]
        gathered.add(Fill(element=name, path=path, colour=behind.colour, opacity=behind.opacity))
    _draw_rendered(source, gathered, root, place)


def draw_children(source: Source, gathered: Gathered, element: Element, place: Place) -> None:
    """Draw the children of an element that stands at the place."""
    for child in element:
        draw_element(source, gathered, child, place)


def _draw_rendered(source: Source, gathered: Gathered, element: Element, parent: Place) -> None:
    """Draw an element that can be seen: what holds for all of them, then its own kind."""
    found = placed(source, element, parent)
    place = _in_layer(source, element, found.place)
    name = name_of(source, element, place)
    if place.depth > MAX_DEPTH:
        raise ArtworkError(
            f"copies are nested more than {MAX_DEPTH} deep", element=name, way_out="Ungroup them"
        )

    for problem in found.problems:
        gathered.remark(name, problem, Severity.GUESSED, layer=place.layer)
    if why := _why_not(element, place):
        gathered.remark(name, why, Severity.LEFT_OUT, layer=place.layer)
        return
    for problem in unread(element, place.style):
        gathered.remark(name, problem, Severity.GUESSED, layer=place.layer)
    for what in not_followed(source, element, place):
        gathered.remark(name, what, Severity.SIMPLIFIED, layer=place.layer)
    if share(place.style.own.get("opacity", "1")) == 0:
        return
    clips, marks = len(gathered.clips), len(gathered.marks)
    cut = element_clip(source, gathered, element, place)
    if cut.problem:
        gathered.remark(name, cut.problem, Severity.LEFT_OUT, layer=place.layer)
    else:
        clipped = place if cut.clip == place.clip else replace(place, clip=cut.clip)
        _draw_grouped(source, gathered, element, clipped)
    if len(gathered.marks) == marks:
        gathered.drop_clips(clips)


def _draw_grouped(source: Source, gathered: Gathered, element: Element, place: Place) -> None:
    """Draw an element as its own kind, as a group where its opacity, blend mode or mask asks for one."""
    group = group_of(source, gathered, element, place)
    if group is None:
        _DRAWN[element.tag](source, gathered, element, place)
        return
    index, first = gathered.open_group(group), len(gathered.marks)
    inside = replace(place, group=index)
    _DRAWN[element.tag](source, gathered, element, inside)
    has_content = len(gathered.marks) > first
    if has_content and not add_mask(source, gathered, element, inside, index, space=place.to_user):
        del gathered.marks[first:]
        what = "its mask leaves nothing of it"
        gathered.remark(name_of(source, element, place), what, Severity.LEFT_OUT, layer=place.layer)
    gathered.close_group(index, first)


def _why_not(element: Element, place: Place) -> str:
    """Return why nothing of an element at its own place is drawn, "" where it is."""
    if place.style.own.get("display") == "none":
        return "a hidden layer" if _is_layer(element) else NOT_DISPLAYED
    return "" if is_usable(place.to_user) else "its transform leaves nothing that can be drawn"


def _is_layer(element: Element) -> bool:
    return element.get(f"{INKSCAPE}groupmode") == "layer"


def _in_layer(source: Source, element: Element, place: Place) -> Place:
    if not _is_layer(element):
        return place
    return replace(place, layer=element.get(f"{INKSCAPE}label") or source.document.names[element])


def _draw_use(source: Source, gathered: Gathered, element: Element, place: Place) -> None:
    target = use_target(source, element, place)
    if target.element is None:
        name = name_of(source, element, place)
        gathered.remark(name, target.problem, Severity.LEFT_OUT, layer=place.layer)
    elif target.element.tag in _SILENT and target.element.tag != "symbol":
        what = f"it draws a <{target.element.tag}>, which shows nothing by itself"
        gathered.remark(name_of(source, element, place), what, Severity.LEFT_OUT, layer=place.layer)
    elif target.element.tag == "symbol":
        gathered.count(name_of(source, element, place))
        _draw_rendered(source, gathered, target.element, _used(source, gathered, element, place, target))
    else:
        draw_element(source, gathered, target.element, _used(source, gathered, element, place, target))


def _used(source: Source, gathered: Gathered, element: Element, place: Place, target: Target) -> Place:
    """Return the place of what a `use` draws, with the paints of the `use` for context."""
    context = context_of(source, place, box=lambda: element_box(source, gathered, element, place))
    return replace(target.place, context=context)


def _draw_viewport(source: Source, gathered: Gathered, element: Element, place: Place) -> None:
    if element is source.document.root:  # its view box is that of the page
        draw_children(source, gathered, element, place)
        return
    inner = inner_viewport(element, place.style, place, measures_at(source, place))
    if inner is None:
        what = "its size or its view box has no area, so that it shows nothing"
        gathered.remark(name_of(source, element, place), what, Severity.LEFT_OUT, layer=place.layer)
        return
    clip = place.clip
    if inner.frame is not None:
        clip = frame_clip(gathered, inner.frame, place.to_user, clip)
    within = replace(
        place,
        to_user=place.to_user @ inner.placed,
        wide=inner.wide,
        high=inner.high,
        clip=clip,
        asked_wide="",
        asked_high="",
    )
    draw_children(source, gathered, element, within)


def _draw_image(source: Source, gathered: Gathered, element: Element, place: Place) -> None:
    if is_hidden(place.style):
        gathered.remark(name_of(source, element, place), HIDDEN, Severity.LEFT_OUT, layer=place.layer)
        return
    found = embedded_drawing(source, gathered, element, place)
    if found.source is None:
        what = found.problem
        gathered.remark(name_of(source, element, place), what, Severity.LEFT_OUT, layer=place.layer)
        return
    _draw_rendered(found.source, gathered, found.source.document.root, found.place)


def _draw_switch(source: Source, gathered: Gathered, element: Element, place: Place) -> None:
    child = chosen(element)
    if child is None:
        if len(element):
            what = "nothing in this switch is for these readers"
            gathered.remark(name_of(source, element, place), what, Severity.LEFT_OUT, layer=place.layer)
        return
    if child.get("systemLanguage"):
        what = "what is drawn here depends on the reader's language, English is assumed"
        gathered.remark(name_of(source, element, place), what, Severity.GUESSED, layer=place.layer)
    draw_element(source, gathered, child, place)


def _draw_text(source: Source, gathered: Gathered, element: Element, place: Place) -> None:
    from svg2chart.svg.text import draw_words  # with it come the libraries that read fonts and set words

    draw_words(source, gathered, element, place)


_DRAWN: dict[str, Callable[[Source, Gathered, Element, Place], None]] = {
    "g": draw_children,
    "a": draw_children,
    "svg": _draw_viewport,
    "symbol": _draw_viewport,
    "switch": _draw_switch,
    "use": _draw_use,
    "image": _draw_image,
    "text": _draw_text,
    **dict.fromkeys(("rect", "circle", "ellipse", "line", "polyline", "polygon", "path"), draw_shape),
}

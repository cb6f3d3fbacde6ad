"""How a child stands in its parent: style, transform, the target of a `use`."""

from dataclasses import dataclass, replace
from xml.etree.ElementTree import Element

from svg2chart.geometry.affine import Affine
from svg2chart.geometry.box import Box
from svg2chart.svg.document import reference
from svg2chart.svg.lengths import split_list
from svg2chart.svg.scene import Place, Source, measures_at
from svg2chart.svg.shapes import coordinate
from svg2chart.svg.style import Style
from svg2chart.svg.told import told, told_text
from svg2chart.svg.transforms import about_origin, transform

HIDDEN = "hidden (visibility)"
ANIMATED = "it is animated: drawn as it stands without the animation"
NOT_DISPLAYED = "hidden (display: none)"
FILL_BOX = ("fill-box", "content-box")  # CSS Transforms 1, 6: one and the same in a drawing
_DESCRIPTIVE = ("title", "desc", "metadata")


@dataclass(frozen=True, slots=True)
class Placed:
    """An element's place with its own style and transform, and what was wrong with them."""

    place: Place
    problems: tuple[str, ...]


def placed(source: Source, element: Element, parent: Place) -> Placed:
    """Return where an element stands whose parent stands at the given place."""
    styled = source.styles.child(element, parent.style)
    style = styled.style
    problems = [f'{name} "{value}" cannot be read' for name, value in styled.rejected]
    stitch_as, problem = told(element, parent.stitch_as)
    text_as, text_problem = told_text(element, parent.text_as)
    problems += filter(None, (problem, text_problem))
    place = parent.inside(style=style, to_user=parent.to_user, stitch_as=stitch_as, text_as=text_as)
    text = style.own.get("transform")
    if text:
        own = transform(text)
        if own is None:
            problems.append(f'its transform "{text}" cannot be read, it is not moved')
        else:
            place = replace(place, to_user=place.to_user @ _about_origin(source, element, place, own))
    return Placed(place, tuple(problems))


def _about_origin(source: Source, element: Element, place: Place, own: Affine) -> Affine:
    """Return a transform of an element about the origin that its style tells."""
    style, box = place.style.own, None
    if style.get("transform-box") in FILL_BOX:
        box = source.box_of(source, element, place) or Box(0.0, 0.0, 0.0, 0.0)
    return about_origin(own, style.get("transform-origin", ""), measures_at(source, place), box=box)


@dataclass(frozen=True, slots=True)
class Target:
    """What a `use` draws and where, or why it draws nothing."""

    element: Element | None
    place: Place
    problem: str = ""


def use_target(source: Source, element: Element, place: Place) -> Target:
    """Return what a `use` element at its place draws."""
    link = reference(element)
    target = source.document.by_id.get(link[1:]) if link.startswith("#") else None
    if not link:
        return Target(None, place, "it does not say what to draw")
    if not link.startswith("#"):
        return Target(None, place, f'it draws from another file ("{link}"), which is not read')
    if target is None:
        return Target(None, place, f'it draws "{link}", which is not there')
    uses = (*place.uses, element)
    if any(target in _with_ancestors(source, use) for use in uses):
        return Target(None, place, f'it draws "{link}", which holds it')
    measures = measures_at(source, place)
    x, y = (coordinate(element, place.style, name, measures=measures) or 0.0 for name in ("x", "y"))
    inner = replace(
        place,
        to_user=place.to_user @ Affine.translation(x, y),
        name=place.name or element.get("id", ""),
        uses=uses,
        asked_wide=element.get("width", ""),
        asked_high=element.get("height", ""),
    )
    return Target(target, inner)


def _with_ancestors(source: Source, element: Element) -> list[Element]:
    chain = [element]
    while chain[-1] in source.document.parents:
        chain.append(source.document.parents[chain[-1]])
    return chain


def is_hidden(style: Style) -> bool:
    """Whether the element itself is not to be seen, though its children may be."""
    return style.get("visibility", "visible") != "visible"


def chosen(switch: Element) -> Element | None:
    """Return the child that a `switch` shows: the first without conditions, or for English readers.

    What describes the switch, and what is not SVG, is no choice.
    """
    choices = (child for child in switch if child.tag not in _DESCRIPTIVE and not child.tag.startswith("{"))
    return next((child for child in choices if meets_conditions(child)), None)


def meets_conditions(element: Element) -> bool:
    """Whether an element is for English readers and needs no extension (SVG 2, 5.9)."""
    language = element.get("systemLanguage")
    is_read = language is None or any(word.lower().split("-")[0] == "en" for word in split_list(language))
    return is_read and not element.get("requiredExtensions")

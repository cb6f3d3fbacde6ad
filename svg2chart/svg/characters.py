"""A text element to its characters, each with its style and the place asked for."""

import unicodedata
from dataclasses import dataclass, field, replace
from xml.etree.ElementTree import Element

from svg2chart.svg.document import XML_SPACE
from svg2chart.svg.lengths import Measures, is_length, length, number, split_list
from svg2chart.svg.placing import is_hidden, meets_conditions, placed
from svg2chart.svg.scene import Place, Source, measures_at
from svg2chart.svg.style import Style

_PRESERVING = ("pre", "pre-wrap", "break-spaces", "pre-line")
_RISES = {"super": 1 / 3, "sub": -1 / 5}  # em; common practice, no source: fonts differ
_SILENT = ("title", "desc", "metadata", "animate", "animateTransform", "animateMotion", "animateColor", "set")
_BREAKS = str.maketrans("\n\r\t", "   ")


@dataclass(slots=True)
class Character:
    """One character of a text.

    x, y: where it is to stand, None for where the pen is. dx, dy: how far to move the pen first.
    turn: degrees clockwise. rise: how far above the baseline it stands, which `dy` takes
    in at the end. style: of the element that holds it. is_kept: whether white space
    counts as written.
    """

    text: str
    style: Style
    is_kept: bool
    x: float | None = None
    y: float | None = None
    dx: float = 0.0
    dy: float = 0.0
    turn: float = 0.0
    rise: float = 0.0

    @property
    def is_hidden(self) -> bool:
        """Whether it takes up room but is not seen."""
        return is_hidden(self.style)


@dataclass(slots=True)
class Spelling:
    """The characters of a text after white space was collapsed.

    simplified: what could not be followed. left_out: what is not set at all.
    """

    characters: list[Character] = field(default_factory=list)
    simplified: list[str] = field(default_factory=list)
    left_out: list[str] = field(default_factory=list)


def spelled(source: Source, element: Element, place: Place) -> Spelling:
    """Return the characters of a `text` element at its place.

    Place lists count what is left after white space was collapsed (SVG 2, 11.6);
    a mark that combines with the letter before it goes with that letter.
    """
    spelling = Spelling()
    _spell(source, element, place, spelling, is_kept=False)
    characters = spelling.characters
    while characters and characters[-1].text == " " and not characters[-1].is_kept:
        characters.pop()
    _take_in_rises(characters)
    return spelling


def _take_in_rises(characters: list[Character]) -> None:
    """Move the pen where characters begin to stand above or below the baseline, and back after them."""
    before = 0.0
    for character in characters:
        character.dy -= character.rise - (before if character.y is None else 0.0)
        before = character.rise


def _spell(source: Source, element: Element, place: Place, spelling: Spelling, *, is_kept: bool) -> None:
    """Add the characters of an element and its children, then place those that it holds."""
    first = len(spelling.characters)
    is_kept = _is_kept(element, place.style, of_parent=is_kept)
    _remark_on(element, place.style, spelling)
    _add(element.text or "", place.style, spelling, is_kept=is_kept)
    for child in element:
        if child.tag in ("tspan", "a") and meets_conditions(child):
            found = placed(source, child, place)
            spelling.simplified += found.problems
            if found.place.style.own.get("display") != "none":
                inner = replace(found.place, to_user=place.to_user)
                _spell(source, child, inner, spelling, is_kept=is_kept)
        elif child.tag in ("textPath", "tref", "altGlyph"):
            spelling.left_out.append(f"words in <{child.tag}> are not set")
        elif child.tag in ("tspan", "a"):
            spelling.left_out.append("words for other readers (systemLanguage, requiredExtensions)")
        elif child.tag not in _SILENT and not child.tag.startswith("{"):
            spelling.left_out.append(f"<{child.tag}> among words is not drawn")
        _add(child.tail or "", place.style, spelling, is_kept=is_kept)
    rise = _rise(place.style, measures_at(source, place), spelling)
    for character in spelling.characters[first:]:
        character.rise += rise
    spelling.characters[first:] = _placed(element, spelling.characters[first:], measures_at(source, place))


def _rise(style: Style, measures: Measures, spelling: Spelling) -> float:
    """Return how far the baseline-shift of one element lifts its characters (SVG 1.1, 10.9.2)."""
    text = style.own.get("baseline-shift", "baseline")
    if text in _RISES:
        spelling.simplified.append(f"it stands {text} by a common share of its size")
        return _RISES[text] * measures.em
    return length(text, measures, whole=measures.em) or 0.0


def _is_kept(element: Element, style: Style, *, of_parent: bool) -> bool:
    told = style.get("white-space")
    if told:
        return told in _PRESERVING
    spaces = element.get(XML_SPACE)
    return of_parent if spaces is None else spaces == "preserve"


def _add(text: str, style: Style, spelling: Spelling, *, is_kept: bool) -> None:
    characters = spelling.characters
    for letter in text.translate(_BREAKS):
        is_space_before = not characters or (characters[-1].text == " " and not characters[-1].is_kept)
        if letter == " " and not is_kept and is_space_before:
            continue
        if unicodedata.combining(letter) and characters:
            characters[-1].text += letter
        else:
            characters.append(Character(letter, style, is_kept))


def _placed(element: Element, characters: list[Character], measures: Measures) -> list[Character]:
    """Return characters with an element's lists of places; those of inner elements win."""
    xs = _lengths(element.get("x", ""), measures, whole=measures.wide)
    ys = _lengths(element.get("y", ""), measures, whole=measures.high)
    dxs = _lengths(element.get("dx", ""), measures, whole=measures.wide)
    dys = _lengths(element.get("dy", ""), measures, whole=measures.high)
    turns = [number(word) or 0.0 for word in split_list(element.get("rotate", ""))]
    return [
        replace(
            character,
            x=_nth(xs, k) if character.x is None else character.x,
            y=_nth(ys, k) if character.y is None else character.y,
            dx=character.dx or _nth(dxs, k) or 0.0,
            dy=character.dy or _nth(dys, k) or 0.0,
            # the last turn holds for all that follow
            turn=character.turn or (turns[min(k, len(turns) - 1)] if turns else 0.0),
        )
        for k, character in enumerate(characters)
    ]


def _lengths(text: str, measures: Measures, *, whole: float) -> list[float | None]:
    return [length(word, measures, whole=whole) for word in split_list(text)]


def _nth(values: list[float | None], k: int) -> float | None:
    return values[k] if k < len(values) else None


_NOT_FOLLOWED = (
    ("text-decoration", "lines above, below or through words are not drawn"),
    ("word-spacing", "its word-spacing is not followed"),
    ("alignment-baseline", "its alignment-baseline is not followed"),
    ("dominant-baseline", "its dominant-baseline is not followed"),
    ("font-stretch", "its font-stretch is not followed"),
    ("font-variant", "its font-variant is not followed"),
)
_PLAIN = ("", "none", "normal", "0", "0px", "auto", "baseline", "alphabetic")


def _remark_on(element: Element, style: Style, spelling: Spelling) -> None:
    for name, what in _NOT_FOLLOWED:
        if style.get(name) not in _PLAIN and what not in spelling.simplified:
            spelling.simplified.append(what)
    for name in ("x", "y", "dx", "dy"):
        unread = next((word for word in split_list(element.get(name, "")) if not is_length(word)), "")
        if unread:
            spelling.simplified.append(f'"{unread}" in its {name} cannot be read')
    if element.get("textLength"):
        spelling.simplified.append("its textLength is not followed")

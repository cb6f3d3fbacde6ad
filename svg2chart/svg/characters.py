"""A text element to its characters, each with its style and the place asked for."""

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from itertools import accumulate, pairwise
from unicodedata import combining
from xml.etree.ElementTree import Element

from svg2chart.artwork import Track
from svg2chart.remarks import Severity
from svg2chart.svg.document import XML_SPACE, reference
from svg2chart.svg.lengths import is_length, length, number, split_list
from svg2chart.svg.placing import ANIMATED, NOT_DISPLAYED, meets_conditions, placed
from svg2chart.svg.scene import MAX_COORDINATE, Place, Source, measures_at, name_of
from svg2chart.svg.steering import steering
from svg2chart.svg.style import Style
from svg2chart.svg.told import ATTRIBUTE, TEXT_ATTRIBUTE
from svg2chart.svg.tracks import track_of
from svg2chart.svg.typefaces import decoration_lines, in_case

_PRESERVING = ("pre", "pre-wrap", "break-spaces", "pre-line")
_SILENT = ("title", "desc", "metadata", "animate", "animateTransform", "animateMotion", "animateColor", "set")
_BREAKS = str.maketrans("\n\r\t", "   ")
_HOLDING = ("tspan", "a", "textPath", "tref")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Holder:
    """The element that holds characters, with what it takes over from those around it.

    name: what to call it in remarks. rise, scripts, baseline: as in a run. lines: the lines along its
    words, each with the place of the element that asks for it. is_lost: the path that they are to
    stand on is not there.
    """

    place: Place
    name: str = ""
    is_kept: bool = False
    rise: float = 0.0
    scripts: tuple[tuple[str, float], ...] = ()
    baseline: str = ""
    lines: tuple[tuple[str, Place], ...] = ()
    track: Track | None = None
    is_lost: bool = False


@dataclass(slots=True)
class Character:
    """One character of a text.

    x, y: where it is to stand, None for where the pen is. dx, dy: how far to move the pen first, None for
    not at all. turn: degrees clockwise. steering: what stands before it and is none of the drawing's own
    characters (module `steering`).
    """

    text: str
    holder: Holder
    steering: str = ""
    x: float | None = None
    y: float | None = None
    dx: float | None = None
    dy: float | None = None
    turn: float | None = None

    @property
    def is_mark(self) -> bool:
        """Whether it combines with the character before it."""
        return combining(self.text) != 0


@dataclass(frozen=True, slots=True)
class Lengths:
    """Characters from `first` to before `last` that take up a length."""

    first: int
    last: int
    length: float
    has_wider_letters: bool


@dataclass(slots=True)
class Spelling:
    """The characters of a text after white space was collapsed.

    steering: what stands before the next of them. fitted: which of them take up a given length, inner
    elements first. notices: what could not be followed or is not set at all, each once, with the name of
    the element that it is about.
    """

    characters: list[Character] = field(default_factory=list)
    steering: str = ""
    fitted: list[Lengths] = field(default_factory=list)
    notices: dict[tuple[str, str, Severity], None] = field(default_factory=dict)

    def add(self, letter: str, holder: Holder) -> None:
        """Add a character, after what steers it; nothing comes between a letter and the marks on it."""
        character = Character(letter, holder)
        if not character.is_mark:
            character.steering, self.steering = self.steering, ""
        self.characters.append(character)

    def drop_last(self) -> None:
        """Take the last character away, but not what steers those that follow."""
        self.steering = self.characters.pop().steering + self.steering

    def simplify(self, name: str, what: str) -> None:
        """Note what of an element is not followed."""
        self.notices.setdefault((name, what, Severity.SIMPLIFIED))

    def leave_out(self, name: str, what: str) -> None:
        """Note what of an element is not set."""
        self.notices.setdefault((name, what, Severity.LEFT_OUT))


def spelled(source: Source, element: Element, place: Place) -> Spelling:
    """Return the characters of a `text` element at its place.

    Place lists count what is left after white space was collapsed (SVG 2, 11.6).
    """
    spelling = Spelling()
    name = name_of(source, element, place)
    around = Holder(place=place, name=name, lines=tuple(_lines_around(source, element, place)))
    _spell(source, element, _holder(source, element, place, around), spelling)
    _drop_space_at_end(spelling)
    return _without_lost(spelling)


def _without_lost(spelling: Spelling) -> Spelling:
    """Return a spelling without the characters whose path is not there."""
    characters = spelling.characters
    places = list(accumulate((int(not one.holder.is_lost) for one in characters), initial=0))
    last = len(characters)
    for one, following in pairwise(characters):
        if one.holder.is_lost:
            following.steering = one.steering + following.steering
    fitted = [
        replace(one, first=places[one.first], last=places[min(one.last, last)]) for one in spelling.fitted
    ]
    return replace(spelling, characters=[one for one in characters if not one.holder.is_lost], fitted=fitted)


def _drop_space_at_end(spelling: Spelling) -> None:
    """Drop white space at the end of a line, or of a track, which is a line of its own."""
    characters = spelling.characters
    while characters and characters[-1].text == " " and not characters[-1].holder.is_kept:
        spelling.drop_last()


def _lines_around(source: Source, element: Element, place: Place) -> Iterator[tuple[str, Place]]:
    """Yield the lines that elements around a text ask for; painted like it (SVG 2, 11.10.1)."""
    chain = []
    while element in source.document.parents:
        element = source.document.parents[element]
        chain.append(element)
    style = Style()
    for outer in reversed(chain):
        style = source.styles.child(outer, style).style
        for line in decoration_lines(style):
            yield line, place


def _holder(source: Source, element: Element, place: Place, around: Holder) -> Holder:
    """Return what an element at its own place hands to its characters."""
    style = place.style
    lines = {line: place for line in decoration_lines(style)}
    shift = style.own.get("baseline-shift", "baseline")
    scripts = ((shift, style.font_size),) if shift in ("super", "sub") and element.tag != "text" else ()
    measures = measures_at(source, place)
    rise = length(shift, measures, whole=measures.em) if element.tag != "text" else None
    told = style.own.get("alignment-baseline", "auto")
    baseline = style.get("dominant-baseline") if told in ("auto", "baseline") else told
    if told in ("auto", "baseline") and around.place.style.own.get("alignment-baseline"):
        baseline = around.baseline
    return replace(
        around,
        place=place,
        name=_name_in(around, element),
        is_kept=_is_kept(element, place, around),
        rise=around.rise + (rise or 0.0),
        scripts=(*around.scripts, *scripts),
        baseline=baseline,
        lines=tuple({**dict(around.lines), **lines}.items()),
    )


def _name_in(around: Holder, element: Element) -> str:
    """Return what to call an element among words: like what holds it, unless it has an id to be found by."""
    return around.place.name or element.get("id") or around.name


def _is_kept(element: Element, place: Place, around: Holder) -> bool:
    """Whether white space counts as written."""
    told = place.style.get("white-space")
    if told:
        return told in _PRESERVING
    spaces = element.get(XML_SPACE)
    return around.is_kept if spaces is None else spaces == "preserve"


def _spell(source: Source, element: Element, holder: Holder, spelling: Spelling) -> None:
    """Add the characters of an element and its children, then place those that it holds."""
    first = len(spelling.characters)
    _remark_on(element, holder, spelling)
    opening, closing = steering(holder.place.style, is_whole=element.tag == "text")
    spelling.steering += opening
    if element.tag == "tref":
        _add(_referred(source, element, holder, spelling), holder, spelling)
    else:
        _add(element.text or "", holder, spelling)
        for child in element:
            if child.tag in _HOLDING:
                _spell_child(source, element, child, holder, spelling)
            elif child.tag not in _SILENT and not child.tag.startswith("{"):
                what = f"<{child.tag}> among words is not drawn"
                spelling.leave_out(_name_in(holder, child), what)
            _add(child.tail or "", holder, spelling)
    spelling.steering += closing
    if element.tag != "textPath":  # it has no places of its own (SVG 2, 11.8.2)
        _place(source, element, holder.place, spelling.characters[first:])
    _fit(source, element, holder.place, spelling, first)


def _spell_child(
    source: Source, element: Element, child: Element, holder: Holder, spelling: Spelling
) -> None:
    name = _name_in(holder, child)
    if not meets_conditions(child):
        spelling.leave_out(name, "words for other readers (systemLanguage, requiredExtensions)")
        return
    found = placed(source, child, holder.place)
    for problem in found.problems:
        spelling.simplify(name, problem)
    if found.place.style.own.get("display") == "none":
        spelling.leave_out(name, NOT_DISPLAYED)
        return
    if child in source.document.animated:
        spelling.simplify(name, ANIMATED)
    inner = _holder(source, child, replace(found.place, to_user=holder.place.to_user), holder)
    if child.tag == "textPath":
        if element.tag not in ("text", "a"):
            spelling.leave_out(name, "a <textPath> in a <textPath> or <tspan> is not set")
            return
        track, problems = track_of(source, child, inner.place)
        for problem in problems:
            spelling.simplify(name, problem)
        if track is None:
            spelling.leave_out(name, "words on a path that is not there")
        inner = replace(inner, track=track, is_lost=track is None)
    _spell(source, child, inner, spelling)
    if child.tag == "textPath":
        _drop_space_at_end(spelling)


def _referred(source: Source, element: Element, holder: Holder, spelling: Spelling) -> str:
    """Return the words of the text that a `tref` points at (SVG 1.1, 10.6)."""
    target = source.document.by_id.get(reference(element).removeprefix("#"))
    if target is None or target.tag not in ("text", "tspan"):
        spelling.leave_out(holder.name, "words that a <tref> points at are not there")
        return ""
    return "".join(_plain_words(target))


def _plain_words(element: Element) -> Iterator[str]:
    yield element.text or ""
    for child in element:
        if child.tag in ("tspan", "a"):
            yield from _plain_words(child)
        yield child.tail or ""


def _add(text: str, holder: Holder, spelling: Spelling) -> None:
    """Add characters; a space after a space counts only where white space is kept."""
    characters = spelling.characters
    if "\n" in text.strip() and holder.place.style.get("white-space") in _PRESERVING:
        spelling.simplify(holder.name, "line breaks in its words are spaces")
    for letter in in_case(text.translate(_BREAKS), holder.place.style):
        is_space_before = (
            not characters or characters[-1].text == " " or _begins_track(holder, characters[-1])
        )
        if letter == " " and not holder.is_kept and is_space_before:
            continue
        spelling.add(letter, holder)


def _begins_track(holder: Holder, before: Character) -> bool:
    is_on_track = holder.track is not None or holder.is_lost
    outer = before.holder
    return is_on_track and (holder.track is not outer.track or holder.is_lost != outer.is_lost)


def _place(source: Source, element: Element, place: Place, characters: list[Character]) -> None:
    """Give characters the places in an element's lists, but for those that inner elements gave."""
    measures = measures_at(source, place)
    for name, whole in (
        ("x", measures.wide),
        ("y", measures.high),
        ("dx", measures.wide),
        ("dy", measures.high),
    ):
        words = split_list(element.get(name, ""))
        for character, word in zip(characters, words, strict=False):
            if getattr(character, name) is None:
                setattr(character, name, length(word, measures, whole=whole))
    turns = [number(word) or 0.0 for word in split_list(element.get("rotate", ""))]
    if turns:
        for k, character in enumerate(characters):
            if character.turn is None:  # the last turn holds for all that follow
                character.turn = turns[min(k, len(turns) - 1)]


def _fit(source: Source, element: Element, place: Place, spelling: Spelling, first: int) -> None:
    """Note the length that an element's characters from `first` on are to take up."""
    measures = measures_at(source, place)
    asked = length(element.get("textLength", ""), measures, whole=measures.wide)
    if asked is not None and 0 <= asked < MAX_COORDINATE:
        is_wider = element.get("lengthAdjust") == "spacingAndGlyphs"
        spelling.fitted.append(Lengths(first, len(spelling.characters), asked, is_wider))


_NOT_FOLLOWED = (
    ("font-size-adjust", ("", "none")),
    ("text-orientation", ("", "mixed")),
)
_PLAIN_LINES = ("underline", "overline", "line-through", "none", "inherit", "solid", "auto", "currentcolor")


def _remark_on(element: Element, holder: Holder, spelling: Spelling) -> None:
    style, name = holder.place.style, holder.name
    for one, plain in _NOT_FOLLOWED:
        if style.get(one) not in plain:
            spelling.simplify(name, f"its {one} is not followed")
    for one in (ATTRIBUTE, TEXT_ATTRIBUTE):
        if element.tag != "text" and element.get(one, "").strip():
            spelling.simplify(name, f"its {one} is not followed, a text has one for all of its words")
    if any(word not in _PLAIN_LINES for word in style.own.get("text-decoration", "").lower().split()):
        spelling.simplify(name, "lines along its words are plain and have its paint")
    for one in ("x", "y", "dx", "dy"):
        unread = next((word for word in split_list(element.get(one, "")) if not is_length(word)), "")
        if unread:
            spelling.simplify(name, f'"{unread}" in its {one} cannot be read')

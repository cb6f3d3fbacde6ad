"""A text element to its characters."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import accumulate, pairwise
from xml.etree.ElementTree import Element

from svg2chart.svg.document import XML_SPACE, reference
from svg2chart.svg.lengths import is_length, length, number, split_list
from svg2chart.svg.placing import ANIMATED, NOT_DISPLAYED, meets_conditions, placed
from svg2chart.svg.scene import MAX_COORDINATE, Place, Source, measures_at, name_of
from svg2chart.svg.spelling import Character, Holder, Lengths, Spelling
from svg2chart.svg.steering import steering
from svg2chart.svg.style import Style
from svg2chart.svg.told import ATTRIBUTE, TEXT_ATTRIBUTE
from svg2chart.svg.tracks import track_of
from svg2chart.svg.typefaces import decoration_lines, in_case

_PRESERVING = ("pre", "pre-wrap", "break-spaces", "pre-line")
_SILENT = ("title", "desc", "metadata", "animate", "animateTransform", "animateMotion", "animateColor", "set")
_BREAKS = str.maketrans("\n\r\t", "   ")
_HOLDING = ("tspan", "a", "textPath", "tref")


def spelled(source: Source, element: Element, place: Place) -> Spelling:
    """Return the characters of a `text` element at its place.

    Place lists count what is left after white space was collapsed (SVG 2, 11.6).
    """
    spelling = Spelling()
    name = name_of(source, element, place)
    around = Holder(place=place, name=name, lines=tuple(_lines_around(source, element, place)))
    _spell(source, element, _holder(source, element, place, around), spelling)
    _drop_space_at_end(spelling)
    spelling = _without_lost(spelling)
    for character in _lost_breaks(spelling.characters):
        spelling.simplify(character.holder.name, "line breaks in its words are spaces")
    return spelling


def _lost_breaks(characters: Sequence[Character]) -> Iterator[Character]:
    """Yield the line breaks after which words go on where those before them end."""
    held: list[Character] = []
    before: Character | None = None
    for character in characters:
        if character.is_break and before is not None:
            held.append(character)
        if character.text.isspace():
            continue
        is_placed = character.x is not None or character.y is not None
        if before is not None and not is_placed and not _begins_track(character.holder, before):
            yield from held
        held, before = [], character


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
    is_broken = holder.place.style.get("white-space") in _PRESERVING
    for written in in_case(text, holder.place.style):
        letter = written.translate(_BREAKS)
        is_space_before = (
            not characters or characters[-1].text == " " or _begins_track(holder, characters[-1])
        )
        if letter == " " and not holder.is_kept and is_space_before:
            continue
        spelling.add(Character(letter, holder, is_break=written == "\n" and is_broken))


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
    ("text-shadow", ("", "none")),
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

"""What an element is told to be on the cloth: the attributes data-stitch and, for words, data-stitch-text."""

from xml.etree.ElementTree import Element

from svg2chart.artwork import StitchAs
from svg2chart.letterforms import TextAs

ATTRIBUTE, TEXT_ATTRIBUTE = "data-stitch", "data-stitch-text"
_NAMES = {kind.value: kind for kind in StitchAs}
_TEXT_NAMES = {kind.value: kind for kind in TextAs}


def told(element: Element, inherited: StitchAs | None) -> tuple[StitchAs | None, str]:
    """Return what an element is told to be, by itself or by what holds it, and what is wrong, if anything."""
    text = element.get(ATTRIBUTE, "").strip()
    if not text:
        return inherited, ""
    if text not in _NAMES:
        return inherited, f'its {ATTRIBUTE} "{text}" is not known, it is taken as not given'
    return _NAMES[text], ""


def told_text(element: Element, inherited: TextAs | None) -> tuple[TextAs | None, str]:
    """Return what the words in an element are told to become, and what is wrong, if anything."""
    text = element.get(TEXT_ATTRIBUTE, "").strip()
    if not text:
        return inherited, ""
    if text not in _TEXT_NAMES:
        return inherited, f'its {TEXT_ATTRIBUTE} "{text}" is not known, it is taken as not given'
    return _TEXT_NAMES[text], ""


def is_left_out(element: Element, inherited: StitchAs | None) -> bool:
    """Whether an element is told to be left out, and nothing in it is told otherwise."""
    if told(element, inherited)[0] is not StitchAs.LEAVE_OUT:
        return False
    return all(told(inner, StitchAs.LEAVE_OUT)[0] is StitchAs.LEAVE_OUT for inner in element.iter())


def parts_of(kind: StitchAs | None) -> tuple[str, ...]:
    """Return which part makes an element that is told to be one thing: the first of them that is painted.

    Empty where all parts are drawn.
    """
    return _PARTS.get(kind, ()) if kind else ()


def of_words(kind: StitchAs | None) -> StitchAs | None:
    """Return what words are told to be: many letters are no single stitch and no knot."""
    return kind if kind in (StitchAs.AREA, StitchAs.BACKSTITCH) else None


_PARTS = {
    StitchAs.BACKSTITCH: ("stroke", "fill"),
    StitchAs.BACKSTITCH_AS_DRAWN: ("stroke", "fill"),
    StitchAs.KNOT: ("fill", "stroke"),
    StitchAs.AREA_AS_DRAWN: ("fill",),
    StitchAs.FULL: ("fill",),
    StitchAs.THREE_QUARTER: ("fill",),
    StitchAs.QUARTER: ("fill",),
}

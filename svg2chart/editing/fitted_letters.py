"""Words of a drawing replaced by letters on its squares; the text stays in the drawing, to be edited.

<g id="name-letters" data-svg2chart="letters">        what stands for the text "name"
  <g data-svg2chart="overlay" style="display:none">   the text itself, hidden and never charted
  <g transform="...">                                  the letters, in squares
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from svg2chart.artwork import Artwork, Words
from svg2chart.editing.changes import Change, changed
from svg2chart.editing.layers import NAMESPACES, PAINTED_BY_ITSELF, matrix
from svg2chart.errors import ArtworkError
from svg2chart.geometry.affine import Affine
from svg2chart.grid import Grid
from svg2chart.letterdrawing import letter_element
from svg2chart.letterforms import TextAs
from svg2chart.letters.intended import drawn_capitals, why_unfit
from svg2chart.letters.setting import LEAST_HIGH, capitals_high, set_on_squares
from svg2chart.remarks import Remark, Severity
from svg2chart.svg.document import LETTERS, OURS, OVERLAY
from svg2chart.svg.spans import Span, element_spans
from svg2chart.svg.standing import inside_charted, inside_parents
from svg2chart.xmltext import attribute_text


@dataclass(frozen=True, slots=True)
class _Wording:
    """Words in the drawing: the text itself, or the group that stands for it and holds it hidden."""

    text: str
    span: Span
    hidden: Span | None = None


def with_texts_again(data: bytes, elements: Sequence[str]) -> tuple[bytes, tuple[str, ...]]:
    """Return a drawing with the texts again in place of letters, and the ids of the texts that are meant.

    Args:
        data: the drawing, as `plain_bytes` gives it.
        elements: ids of texts, of what stands for them, of parts of either, or of what holds them; all
            texts where there are none. What has nothing to do with a text stands for itself.
    """
    spans = element_spans(data)
    wordings = list(_wordings(spans))
    meant = {wording.text: wording for wording in wordings} if not elements else {}
    texts = dict.fromkeys(meant)
    for name in elements:
        chosen = [span for span in spans if span.attributes.get("id") == name]
        found = [each for each in wordings if any(_are_nested(span, each.span) for span in chosen)]
        meant |= {each.text: each for each in found}
        texts |= dict.fromkeys([each.text for each in found] or [name])
    changes = [
        Change(each.span.start, each.span.end, data[each.hidden.opened : each.hidden.content_end].strip())
        for each in meant.values()
        if each.hidden is not None
    ]
    return changed(data, changes), tuple(texts)


def _wordings(spans: Sequence[Span]) -> Iterator[_Wording]:
    """Yield all words of a drawing, in the order of the file."""
    groups, overlays = ([s for s in spans if s.attributes.get(OURS) == kind] for kind in (LETTERS, OVERLAY))
    for text in (span for span in spans if span.name == "text"):
        group = next((group for group in groups if _are_nested(text, group)), None)
        hidden = next((overlay for overlay in overlays if _are_nested(text, overlay)), None)
        yield _Wording(text.attributes.get("id", ""), group or text, hidden if group else None)


def _are_nested(one: Span, other: Span) -> bool:
    """Whether one of two elements lies in the other, or both are one."""
    return (one.start <= other.start and other.end <= one.end) or (
        other.start <= one.start and one.end <= other.end
    )


def with_letters(
    data: bytes, artwork: Artwork, grid: Grid, *, elements: Sequence[str], high: int | None
) -> tuple[bytes, tuple[Remark, ...]]:
    """Return a drawing whose words stand as letters on its squares, and why some words do not.

    Args:
        data: the drawing with its texts, as `plain_bytes` gives it.
        artwork: the drawing as it was read.
        grid: its squares.
        elements: ids of the texts; all texts where there are none.
        high: how many squares high capitals become; None for the nearest to how they are drawn.

    Raises:
        ArtworkError: one of the elements is no text, or there is none at all.
    """
    words = {mark.element: mark for mark in artwork.marks if isinstance(mark, Words) and mark.letters}
    spans = element_spans(data)
    chosen = [s for s in spans if s.name == "text" and s.attributes.get("id", "") in (elements or words)]
    named = {span.attributes.get("id", "") for span in chosen}
    missing = next((name for name in elements if name not in named), None)
    if missing is not None or not chosen:
        what = f'"{missing}" is no text' if missing is not None else "there is no text that has a name"
        raise ArtworkError(what, way_out="Select text objects, or nothing for all of them")
    to_page = inside_charted(data) @ grid.to_squares.inverse()
    places = inside_parents(data, words)
    changes: list[Change] = []
    remarks = [] if elements else list(_not_texts(words, spans))
    for span in chosen:
        name = span.attributes.get("id", "")
        scaled = _scaled(words[name], grid, high) if name in words else None
        why = "nothing of it is drawn" if scaled is None else _why_not(scaled, grid, is_meant=bool(elements))
        if scaled is None or why:
            remarks.append(_not_fitted(name, why))
            continue
        place = places[name].inverse() @ to_page
        prefix = _free_prefix(name, spans)
        changes.append(Change(span.start, span.end, _letters(data, span, scaled, grid, place, prefix)))
    return changed(data, changes), tuple(remarks)


def _why_not(words: Words, grid: Grid, *, is_meant: bool) -> str:
    """Return why words do not become letters, "" where they do; `is_meant` where just they were selected."""
    lowest = min(drawn_capitals(words, words.letters, grid.to_squares))
    if words.text_as in (TextAs.AS_DRAWN, TextAs.BACKSTITCH) and not is_meant:
        return f"it is told to be {words.text_as.value}; select it to fit it all the same"
    if capitals_high(lowest) < LEAST_HIGH:
        return f"its capitals are {lowest:.1f} squares high, too low for letters; ask for a height"
    return why_unfit(words, grid.to_squares)


def _not_texts(words: Iterable[str], spans: Sequence[Span]) -> Iterator[Remark]:
    """Yield why words are not fitted that are no text with an id."""
    tag_of = {span.attributes["id"]: span.name for span in spans if "id" in span.attributes}
    for name in words:
        if name not in tag_of:
            yield _not_fitted(name, "it has no id, by which it could be found again")
        elif tag_of[name] != "text":
            yield _not_fitted(name, "it is a copy of words that stand elsewhere")


def _not_fitted(name: str, why: str | None) -> Remark:
    return Remark(element=name, what=f"its letters are not fitted: {why}", severity=Severity.LEFT_OUT)


def _scaled(words: Words, grid: Grid, high: int | None) -> Words | None:
    """Return words with capitals so high, about where their first line stands; None without a letter."""
    drawn = [letter for letter in words.letters if not letter.outline.is_empty]
    if not drawn or high is None:
        return words if drawn else None
    em = (grid.to_squares @ words.to_user @ drawn[0].place).mean_scale
    factor = high / (drawn[0].heights.capital * em)
    x, y = words.runs[0].x or 0.0, words.runs[0].y or 0.0
    about = Affine.translation(x, y) @ Affine.scaling(factor) @ Affine.translation(-x, -y)
    return replace(words, to_user=words.to_user @ about)


def _free_prefix(name: str, spans: Sequence[Span]) -> str:
    """Return the id of a text, lengthened until no id of the drawing is one that begins with it here."""
    taken = [span.attributes.get("id", "") for span in spans]
    prefix = name
    while any(each.startswith((f"{prefix}-letter", f"{prefix}-text", f"{prefix}-squares")) for each in taken):
        prefix += "-fitted"
    return prefix


def _letters(data: bytes, text: Span, words: Words, grid: Grid, place: Affine, prefix: str) -> bytes:
    """Return what stands for a text: the text, hidden, and its letters; the prefix begins their ids."""
    name, label = attribute_text(prefix), attribute_text(text.attributes["id"])
    lines = [
        f'<g {NAMESPACES} id="{name}-letters" {OURS}="{LETTERS}" inkscape:label="{label}">',
        f'<g id="{name}-text" {OURS}="{OVERLAY}" style="display:none">',
        data[text.start : text.end].decode(),
        "</g>",
        f'<g id="{name}-squares" {PAINTED_BY_ITSELF} transform="{matrix(place)}">',
    ]
    for number, letter in enumerate(set_on_squares(words, grid.to_squares), start=1):
        colour = words.runs[letter.run].colour
        if colour is not None:
            lines.append(letter_element(f"{name}-letter-{number}", letter, colour.hex))
    return "\n".join([*lines, "</g>", "</g>"]).encode()

"""Where every glyph of a text stands."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import accumulate, groupby

from svg2chart.artwork import Run
from svg2chart.lettering.fonts import Face
from svg2chart.lettering.shape import Glyph, embedding_levels, scripts, shape, visual_order

BOX_ADVANCE = 0.6  # em; the room of a character that no font has, our own choice

_CONTEXT = 8  # characters on either side of what is shaped; HarfBuzz looks at up to 5

_SHARES = {"start": 0.0, "middle": 0.5, "end": 1.0}


@dataclass(frozen=True, slots=True, kw_only=True)
class Letter:
    """A character of a text: the run that it belongs to and the face that has it, None if none does."""

    character: str
    run: int
    face: Face | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """A glyph, or a box where `face` is None, at its place in the space of the words.

    letter: the index of the first letter that it stands for; run: that letter's.
    x, y: where it is drawn from, on the baseline; pen: where the pen was; advance: how far it went on.
    """

    letter: int
    run: int
    face: Face | None
    number: int
    size: float
    x: float
    y: float
    pen: float
    advance: float


@dataclass(frozen=True, slots=True)
class _Item:
    """Letters that are shaped together, of one face, size, level and script."""

    start: int
    end: int
    level: int
    script: str


def place_glyphs(runs: Sequence[Run], letters: Sequence[Letter]) -> list[Placed]:
    """Return the glyphs of a text in the order of its chunks, from left to right in each.

    A chunk begins with every run that has an x or a y. Its letters are put in visual order and set
    along a line; then the chunk is moved so that its left edge, its middle or its right edge is where
    it begins. Runs of one face and size are shaped together, so that kerning
    and joined letters go on where only the colour changes. Source: SVG 2, 11.5 "Text layout".

    Args:
        runs: in the order of the text.
        letters: of all runs, in the same order.
    """
    chunks = list(accumulate(int(run.x is not None or run.y is not None) for run in runs))
    pen_x = pen_y = 0.0
    placed: list[Placed] = []
    items = _items(runs, letters, chunks)
    for chunk, members in groupby(range(len(runs)), key=chunks.__getitem__):
        own = list(members)
        first = runs[own[0]]
        x = (pen_x if first.x is None else first.x) + first.dx
        y = (pen_y if first.y is None else first.y) + first.dy
        line, end = _set_line(runs, letters, items.get(chunk, []))
        pushed_x = dict(zip(own, accumulate((runs[k].dx for k in own[1:]), initial=0.0), strict=True))
        pushed_y = dict(zip(own, accumulate((runs[k].dy for k in own[1:]), initial=0.0), strict=True))
        line = [_moved(glyph, pushed_x[glyph.run], pushed_y[glyph.run]) for glyph in line]
        back = _aligned(line, _SHARES.get(first.anchor, 0.0))
        placed.extend(_moved(glyph, x - back, y) for glyph in line)
        pen_x, pen_y = x + end + pushed_x[own[-1]], y + pushed_y[own[-1]]
    return placed


def _items(runs: Sequence[Run], letters: Sequence[Letter], chunks: Sequence[int]) -> dict[int, list[_Item]]:
    """Return the stretches to be shaped of each chunk."""
    text = "".join(letter.character for letter in letters)
    levels, written = embedding_levels(text), scripts(text)

    def kind(index: int) -> tuple[object, ...]:
        letter = letters[index]
        run = runs[letter.run]
        is_spaced = run.letter_spacing != 0
        return chunks[letter.run], letter.face, levels[index], written[index], run.size, is_spaced

    items: dict[int, list[_Item]] = {}
    for _, stretch in groupby(range(len(letters)), key=kind):
        indices = list(stretch)
        start = indices[0]
        item = _Item(start, indices[-1] + 1, levels[start], written[start])
        items.setdefault(chunks[letters[start].run], []).append(item)
    return items


def _set_line(
    runs: Sequence[Run], letters: Sequence[Letter], items: Sequence[_Item]
) -> tuple[list[Placed], float]:
    """Return the glyphs of a chunk along a line from 0, and where the pen ends."""
    pen = 0.0
    line = []
    for index in visual_order([item.level for item in items]):
        item = items[index]
        glyphs = list(_glyphs(runs, letters, item))
        for k, glyph in enumerate(glyphs):
            run = runs[letters[glyph.cluster].run]
            is_last = k + 1 == len(glyphs) or glyphs[k + 1].cluster != glyph.cluster
            advance = glyph.advance * run.size + (run.letter_spacing if is_last else 0.0)
            line.append(
                Placed(
                    letter=glyph.cluster,
                    run=letters[glyph.cluster].run,
                    face=letters[item.start].face,
                    number=glyph.number,
                    size=run.size,
                    x=pen + glyph.x * run.size,
                    y=glyph.y * run.size,
                    pen=pen,
                    advance=advance,
                )
            )
            pen += advance
    # nothing is added at the end of a line. Source: CSS Text Level 3, 8.2 letter-spacing
    spare = runs[line[-1].run].letter_spacing if line else 0.0
    line[-1:] = [replace(glyph, advance=glyph.advance - spare) for glyph in line[-1:]]
    return line, pen - spare


def _glyphs(runs: Sequence[Run], letters: Sequence[Letter], item: _Item) -> Iterator[Glyph]:
    face = letters[item.start].face
    if face is None:
        for index in range(item.start, item.end):
            yield Glyph(number=0, cluster=index, advance=BOX_ADVANCE, x=0.0, y=0.0)
        return
    around = max(item.start - _CONTEXT, 0)
    text = "".join(letter.character for letter in letters[around : item.end + _CONTEXT])
    is_spaced = runs[letters[item.start].run].letter_spacing != 0
    start, end = item.start - around, item.end - around
    for glyph in shape(face, text, start, end, level=item.level, script=item.script, is_spaced=is_spaced):
        yield replace(glyph, cluster=glyph.cluster + around)


def _moved(glyph: Placed, x: float, y: float) -> Placed:
    return replace(glyph, x=glyph.x + x, y=glyph.y + y, pen=glyph.pen + x)


def _aligned(line: Sequence[Placed], share: float) -> float:
    """Return the place of the line that comes to where its chunk begins; 0 is its left edge, 1 its right."""
    edges = [edge for glyph in line for edge in (glyph.pen, glyph.pen + glyph.advance)]
    return (1 - share) * min(edges) + share * max(edges) if edges else 0.0

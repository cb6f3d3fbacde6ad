"""Letters to clusters: what is shaped together, in the order in which it stands on its line."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import accumulate, groupby, pairwise
from operator import attrgetter
from unicodedata import category, east_asian_width

from svg2chart.artwork import Run, Words
from svg2chart.lettering.fonts import Face
from svg2chart.lettering.levels import embedding_levels, visual_order
from svg2chart.lettering.shape import Glyph, scripts, shape

BOX_ADVANCE = 0.6  # em; the room of a character that no font has, our own choice

_CONTEXT = 8  # characters on either side of what is shaped; HarfBuzz looks at up to 5
_NO_LIGATURES = (("liga", 0), ("clig", 0))
_UPRIGHT = (("vert", 1),)
# Wide characters that lie on their side in a column all the same. Source: Unicode Standard Annex 50, class Tr
_LYING = frozenset("\u301c\u3030\u30a0\u30fc\uff0d\uff1a\uff1b\uff1c\uff1d\uff1e\uff3f\uff5c\uff5e\uffe3")


@dataclass(frozen=True, slots=True, kw_only=True)
class Letter:
    """A character of a text: the run that it belongs to and the face that has it, None if none does."""

    character: str
    run: int
    face: Face | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Cluster:
    """Glyphs that stand and turn together, lengths in the unit of the words.

    letter: the index of the first letter that they stand for; run: that letter's. face: None for a box.
    glyphs: their places in em from where the cluster starts. width: of the glyphs; advance: with
    the gap after them. stretch: how much wider than drawn.
    """

    letter: int
    run: int
    face: Face | None
    glyphs: tuple[Glyph, ...]
    width: float
    advance: float
    stretch: float = 1.0


@dataclass(frozen=True, slots=True)
class _Item:
    """Letters that are shaped together, of one face, level and script and with the same features.

    One without letters stands for a character that only steers: what it parts comes apart in the order, too.
    """

    start: int
    end: int
    level: int
    script: str
    features: tuple[tuple[str, int], ...]


def chunks_of(runs: Sequence[Run]) -> list[int]:
    """Return the chunk that each run belongs to, from 0 or 1 upwards.

    A chunk begins with every run that has an x or a y, and where a track begins or ends.
    """
    begins = []
    track = None
    for run in runs:
        begins.append(run.x is not None or run.y is not None or run.track is not track)
        track = run.track
    return list(accumulate(map(int, begins)))


def cluster_lines(words: Words, letters: Sequence[Letter]) -> dict[int, list[Cluster]]:
    """Return the clusters of each chunk, from the start of its line to the end.

    Letters are put in visual order. Those of one face are shaped together, so that kerning and joined
    letters go on where only the colour or the size changes. Source: SVG 2, 11.5 "Text layout".

    Args:
        words: the text.
        letters: of all its runs, in their order.
    """
    lines: dict[int, list[Cluster]] = {}
    runs = words.runs
    for chunk, items in _items(words, letters).items():
        order = visual_order([item.level for item in items])
        seen = [items[index] for index in order if items[index].start < items[index].end]
        lines[chunk] = [cluster for item in seen for cluster in _clusters(runs, letters, item)]
    return lines


def _items(words: Words, letters: Sequence[Letter]) -> dict[int, list[_Item]]:
    """Return the stretches to be shaped of each chunk."""
    levels, steering = _levels(words, letters)
    written = scripts("".join(letter.character for letter in letters))
    chunks = chunks_of(words.runs)
    features = [_features(words.runs[one.run], one, is_vertical=words.is_vertical) for one in letters]
    parts = list(accumulate(int(index in steering) for index in range(len(letters))))

    def kind(index: int) -> tuple[object, ...]:
        letter = letters[index]
        return chunks[letter.run], letter.face, levels[index], written[index], features[index], parts[index]

    items: dict[int, list[_Item]] = {}
    for _, stretch in groupby(range(len(letters)), key=kind):
        indices = list(stretch)
        start = indices[0]
        line = items.setdefault(chunks[letters[start].run], [])
        line += [_Item(start, start, level, "", ()) for level in steering.get(start, ())]
        line.append(_Item(start, indices[-1] + 1, levels[start], written[start], features[start]))
    return items


def _levels(words: Words, letters: Sequence[Letter]) -> tuple[list[int], dict[int, list[int]]]:
    """Return the level of each letter, and by the letter after them those of characters that only steer."""
    text = ""
    places = []
    for run, held in groupby(letters, key=attrgetter("run")):
        text += words.runs[run].steering
        for letter in held:
            places.append(len(text))
            text += letter.character
    levels = embedding_levels(text, base=int(words.is_leftward))
    between = [levels[last + 1 : place] for last, place in pairwise((-1, *places))]
    steering = {index: one for index, one in enumerate(between) if one}
    return [levels[place] for place in places], steering


def _features(run: Run, letter: Letter, *, is_vertical: bool) -> tuple[tuple[str, int], ...]:
    """Return the features that a letter is shaped with.

    Spaced letters make no ligatures (CSS Text Level 3, 8.2); upright ones in columns have shapes.
    """
    ligatures = _NO_LIGATURES if run.letter_spacing else ()
    upright = _UPRIGHT if is_vertical and is_upright(letter.character) else ()
    return (*ligatures, *upright, *run.features)


def is_upright(character: str) -> bool:
    """Return whether a character stands upright in a column, rather than lying on its right side.

    Wide ones do, but for brackets and strokes along the line. Source: close to Unicode Standard Annex 50,
    whose table of characters Python does not bring.
    """
    is_wide = east_asian_width(character) in ("W", "F")
    return is_wide and category(character) not in ("Ps", "Pe") and character not in _LYING


def _clusters(runs: Sequence[Run], letters: Sequence[Letter], item: _Item) -> Iterator[Cluster]:
    """Yield the clusters of an item from left to right."""
    face = letters[item.start].face
    for first, glyphs in groupby(_glyphs(letters, item), key=lambda glyph: glyph.cluster):
        run = letters[first].run
        pen = 0.0
        set_glyphs = []
        for glyph in glyphs:
            set_glyphs.append(replace(glyph, x=pen + glyph.x))
            pen += glyph.advance
        width = pen * runs[run].size
        yield Cluster(letter=first, run=run, face=face, glyphs=tuple(set_glyphs), width=width, advance=width)


def _glyphs(letters: Sequence[Letter], item: _Item) -> Iterator[Glyph]:
    face = letters[item.start].face
    if face is None:
        indices = range(item.start, item.end)
        for index in reversed(indices) if item.level % 2 else indices:
            yield Glyph(number=0, cluster=index, advance=BOX_ADVANCE, x=0.0, y=0.0)
        return
    around = max(item.start - _CONTEXT, 0)
    text = "".join(letter.character for letter in letters[around : item.end + _CONTEXT])
    start, end = item.start - around, item.end - around
    for glyph in shape(
        face, text, start, end, level=item.level, script=item.script, features=dict(item.features)
    ):
        yield replace(glyph, cluster=glyph.cluster + around)

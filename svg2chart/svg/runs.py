"""A text element to runs of letters, before they are painted."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from xml.etree.ElementTree import Element

from svg2chart.artwork import Fitted, Run, Words
from svg2chart.lettering.levels import starts_leftward
from svg2chart.remarks import Severity
from svg2chart.svg.characters import spelled
from svg2chart.svg.lengths import length
from svg2chart.svg.marks import paint_order
from svg2chart.svg.placing import HIDDEN, is_hidden
from svg2chart.svg.scene import MAX_COORDINATE, Gathered, Place, Source, measures_at, name_of
from svg2chart.svg.spelling import Character, Holder, Lengths, Spelling
from svg2chart.svg.steering import is_leftward, is_plaintext
from svg2chart.svg.style import Style
from svg2chart.svg.told import of_words
from svg2chart.svg.typefaces import axes, families, features, letters_width

_MIRRORED = {"start": "end", "end": "start"}
_COLUMNS = ("tb", "tb-rl", "vertical-rl", "vertical-lr", "sideways-rl", "sideways-lr")


@dataclass(frozen=True, slots=True)
class Unpainted:
    """Words whose runs have no paint yet, and the holder of each run."""

    words: Words
    holders: tuple[Holder, ...]


def is_seen(holder: Holder) -> bool:
    """Whether letters of a holder are painted at all."""
    style = holder.place.style
    return not is_hidden(style) and style.font_size > 0


def unpainted(source: Source, gathered: Gathered, element: Element, place: Place) -> Unpainted | None:
    """Return a `text` element at its own place as words without paint, None where it has none to set."""
    name = name_of(source, element, place)
    spelling = spelled(source, element, place)
    characters = spelling.characters
    _remark_on(gathered, name, place, spelling)
    if not any(character.text.strip() for character in characters):
        return None
    starts = _starts(characters, spelling.fitted)
    stretches = [characters[start:end] for start, end in pairwise(starts)]
    stretches[0][0].x = stretches[0][0].x or 0.0
    stretches[0][0].y = stretches[0][0].y or 0.0
    runs = tuple(_run(source, stretch) for stretch in stretches)
    if not all(_largest(run) * place.to_user.largest_scale < MAX_COORDINATE for run in runs):
        gathered.remark(name, "its coordinates are too large", Severity.LEFT_OUT, layer=place.layer)
        return None
    words = Words(
        element=name,
        layer=place.layer,
        runs=runs,
        fitted=tuple(_fitted(starts, spelling.fitted)),
        is_vertical=place.style.get("writing-mode") in _COLUMNS,
        is_leftward=_reads_leftward(place.style, characters),
        to_user=place.to_user,
        group=place.group,
        clip=place.clip,
        stitch_as=of_words(place.stitch_as),
        text_as=place.text_as,
    )
    return Unpainted(words, tuple(stretch[0].holder for stretch in stretches))


def _remark_on(gathered: Gathered, name: str, place: Place, spelling: Spelling) -> None:
    for character in spelling.characters:
        holder = character.holder
        if is_hidden(holder.place.style):
            spelling.leave_out(holder.name, HIDDEN)
        if holder.place.style.font_size == 0:
            spelling.leave_out(holder.name, "its letters have no size")
    for about, what, severity in spelling.notices:
        gathered.remark(about, what, severity, layer=place.layer)
    is_flowed = place.style.own.get("shape-inside") or place.style.own.get("inline-size")
    is_broken = any(character.y is not None for character in spelling.characters[1:])
    if spelling.characters and is_flowed and not is_broken:
        what = "words that flow in a shape are set on one line"
        gathered.remark(name, what, Severity.GUESSED, layer=place.layer)


def _largest(run: Run) -> float:
    """Return the largest of the lengths of a run."""
    told = (run.size, run.x or 0.0, run.y or 0.0, run.dx, run.dy, run.rise)
    return max(map(abs, (*told, run.letter_spacing, run.word_spacing, run.turn)))


def _starts(characters: Sequence[Character], fitted: Sequence[Lengths]) -> list[int]:
    """Return the index of the first character of each run, and then how many there are."""
    ends = {_past_marks(characters, end) for one in fitted for end in (one.first, one.last)}
    starts = [0]
    for k in range(1, len(characters)):
        if k in ends or _breaks(characters[starts[-1]], characters[k]):
            starts.append(k)
    return [*starts, len(characters)]


def _past_marks(characters: Sequence[Character], index: int) -> int:
    """Return the index of the first character from one on that is no mark: marks stay with their letter."""
    return next((k for k in range(index, len(characters)) if not characters[k].is_mark), len(characters))


def _breaks(first: Character, here: Character) -> bool:
    """Whether a character cannot be in the run that another begins."""
    if here.is_mark:  # it goes with its letter, whatever place it is given
        return False
    if here.steering:
        return True
    is_placed = here.x is not None or here.y is not None or bool(here.dx) or bool(here.dy)
    return is_placed or here.turn != first.turn or here.holder is not first.holder


def _fitted(starts: Sequence[int], fitted: Sequence[Lengths]) -> Iterator[Fitted]:
    """Yield lengths that are to be taken up in runs rather than characters."""
    for one in fitted:
        held = [k for k, start in enumerate(starts[:-1]) if one.first <= start < one.last]
        if held:
            yield Fitted(
                first=held[0],
                last=held[-1] + 1,
                length=one.length,
                has_wider_letters=one.has_wider_letters,
            )


def _run(source: Source, characters: Sequence[Character]) -> Run:
    first = characters[0]
    holder = first.holder
    place, style = holder.place, holder.place.style
    order = paint_order(style)
    return Run(
        text="".join(character.text for character in characters),
        steering=first.steering,
        families=families(style),
        size=style.font_size,
        weight=int(style.get("font-weight", "400")),
        italic=style.get("font-style", "normal").split()[0] in ("italic", "oblique"),
        width=letters_width(style),
        axes=axes(style),
        features=features(style),
        x=first.x,
        y=first.y,
        dx=first.dx or 0.0,
        dy=first.dy or 0.0,
        turn=first.turn or 0.0,
        track=holder.track,
        anchor=_anchor(style),
        letter_spacing=_gap(source, place, "letter-spacing"),
        word_spacing=_gap(source, place, "word-spacing"),
        baseline=holder.baseline,
        rise=holder.rise,
        scripts=holder.scripts,
        colour=None,
        is_stroke_first=order.index("stroke") < order.index("fill"),
    )


def _anchor(style: Style) -> str:
    """Return which part of a chunk, from left to right or from top to bottom, stands where it begins."""
    anchor = style.get("text-anchor", "start")
    is_mirrored = is_leftward(style) and style.get("writing-mode") not in _COLUMNS
    return _MIRRORED.get(anchor, anchor) if is_mirrored else anchor


def _reads_leftward(style: Style, characters: Sequence[Character]) -> bool:
    """Return whether the lines of a text are read from the right.

    Source: CSS Writing Modes Level 3, 2.4.1 "Bidi Paragraph Embedding Levels".
    """
    if not is_plaintext(style):
        return is_leftward(style)
    return starts_leftward("".join(one.steering + one.text for one in characters))


def _gap(source: Source, place: Place, name: str) -> float:
    """Return a gap in user units; percentages are of the viewport (SVG 1.1, 7.10)."""
    measures = measures_at(source, place)
    return length(place.style.get(name, "normal"), measures, whole=measures.diagonal) or 0.0

"""Text elements to words."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise
from xml.etree.ElementTree import Element

from svg2chart.artwork import Fill, Fitted, Run, Words
from svg2chart.geometry.affine import Affine
from svg2chart.geometry.path import Path
from svg2chart.lettering.words import set_words
from svg2chart.remarks import Severity
from svg2chart.svg.characters import Character, Lengths, spelled
from svg2chart.svg.inks import Ink, decoration_at, ink_at
from svg2chart.svg.lengths import length
from svg2chart.svg.marks import paint_order
from svg2chart.svg.scene import MAX_COORDINATE, Gathered, Place, Source, is_sound, measures_at, name_of
from svg2chart.svg.style import Style
from svg2chart.svg.told import of_words
from svg2chart.svg.typefaces import axes, families, features, letters_width

_MIRRORED = {"start": "end", "end": "start"}
_COLUMNS = ("tb", "tb-rl", "vertical-rl", "vertical-lr", "sideways-rl", "sideways-lr")


def draw_words(source: Source, gathered: Gathered, element: Element, place: Place) -> None:
    """Draw a `text` element at its own place as words, set in fonts."""
    words = _set(source, gathered, element, place)
    if words is not None:
        gathered.add(words)


def words_regions(source: Source, gathered: Gathered, element: Element, place: Place) -> list[Path]:
    """Return what the letters of a `text` element at its own place fill, for a clip."""
    black = replace(place.style, inherited={**place.style.inherited, "fill": "black", "stroke": "none"})
    words = _set(source, gathered, element, replace(place, style=black))
    if words is None:
        return []
    for remark in words.remarks:
        gathered.remarks.setdefault(remark)
    return [mark.path for mark in words.outlines if isinstance(mark, Fill)]


def _set(source: Source, gathered: Gathered, element: Element, place: Place) -> Words | None:
    """Return a text as words set in fonts, None where it has none or they go beyond all bounds."""
    words = _words(source, gathered, element, place)
    if words is None:
        return None
    if all(_largest(run) * place.to_user.largest_scale < MAX_COORDINATE for run in words.runs):
        done = set_words(words, source.fonts)
        if all(is_sound(mark.path, Affine()) for mark in done.outlines):
            return done
    gathered.remark(words.element, "its coordinates are too large", Severity.LEFT_OUT, layer=place.layer)
    return None


def _largest(run: Run) -> float:
    """Return the largest of the lengths of a run."""
    told = (run.size, run.x or 0.0, run.y or 0.0, run.dx, run.dy, run.rise)
    return max(map(abs, (*told, run.letter_spacing, run.word_spacing, run.turn)))


def _words(source: Source, gathered: Gathered, element: Element, place: Place) -> Words | None:
    """Return a text as words, None where it has none."""
    name = name_of(source, element, place)
    spelling = spelled(source, element, place)
    for what in spelling.left_out:
        gathered.remark(name, what, Severity.LEFT_OUT, layer=place.layer)
    for what in spelling.simplified:
        gathered.remark(name, what, Severity.SIMPLIFIED, layer=place.layer)
    characters = spelling.characters
    if not any(character.text.strip() for character in characters):
        return None
    if any(character.is_hidden for character in characters):
        gathered.remark(name, "hidden (visibility)", Severity.LEFT_OUT, layer=place.layer)
    if any(character.holder.place.style.font_size == 0 for character in characters):
        gathered.remark(name, "its letters have no size", Severity.LEFT_OUT, layer=place.layer)
    style = place.style
    is_flowed = style.own.get("shape-inside") or style.own.get("inline-size")
    if is_flowed and not any(character.y is not None for character in characters[1:]):
        what = "words that flow in a shape are set on one line"
        gathered.remark(name, what, Severity.GUESSED, layer=place.layer)
    starts = _starts(characters, spelling.fitted)
    stretches = [characters[start:end] for start, end in pairwise(starts)]
    stretches[0][0].x = stretches[0][0].x or 0.0
    stretches[0][0].y = stretches[0][0].y or 0.0
    return Words(
        element=name,
        layer=place.layer,
        runs=tuple(_run(source, gathered, name, stretch) for stretch in stretches),
        fitted=tuple(_fitted(starts, spelling.fitted)),
        is_vertical=style.get("writing-mode") in _COLUMNS,
        is_leftward=style.get("direction") == "rtl",
        to_user=place.to_user,
        group=place.group,
        clip=place.clip,
        stitch_as=of_words(place.stitch_as),
    )


def _starts(characters: Sequence[Character], fitted: Sequence[Lengths]) -> list[int]:
    """Return the index of the first character of each run, and then how many there are."""
    ends = {end for one in fitted for end in (one.first, one.last)}
    starts = [0]
    for k in range(1, len(characters)):
        if k in ends or _breaks(characters[starts[-1]], characters[k]):
            starts.append(k)
    return [*starts, len(characters)]


def _breaks(first: Character, here: Character) -> bool:
    """Whether a character cannot be in the run that another begins."""
    if here.is_mark:  # it goes with its letter, whatever place it is given
        return False
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


def _run(source: Source, gathered: Gathered, name: str, characters: Sequence[Character]) -> Run:
    first = characters[0]
    holder = first.holder
    place, style = holder.place, holder.place.style
    is_seen = not first.is_hidden and style.font_size > 0
    ink = ink_at(source, gathered, name, place) if is_seen else Ink()
    lines = holder.lines if is_seen else ()
    order = paint_order(style)
    return Run(
        text="".join(character.text for character in characters),
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
        colour=ink.colour,
        opacity=ink.opacity,
        stroke_colour=ink.stroke_colour,
        stroke_opacity=ink.stroke_opacity,
        stroke_style=ink.stroke_style,
        is_stroke_first=order.index("stroke") < order.index("fill"),
        decorations=tuple(decoration_at(source, gathered, name, line, around) for line, around in lines),
    )


def _anchor(style: Style) -> str:
    """Return which part of a chunk, from left to right or from top to bottom, stands where it begins."""
    anchor = style.get("text-anchor", "start")
    is_leftward = style.get("direction") == "rtl" and style.get("writing-mode") not in _COLUMNS
    return _MIRRORED.get(anchor, anchor) if is_leftward else anchor


def _gap(source: Source, place: Place, name: str) -> float:
    """Return a gap in user units; percentages are of the viewport (SVG 1.1, 7.10)."""
    measures = measures_at(source, place)
    return length(place.style.get(name, "normal"), measures, whole=measures.diagonal) or 0.0

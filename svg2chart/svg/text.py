"""Text elements to words."""

import re
from collections.abc import Iterator
from dataclasses import replace
from xml.etree.ElementTree import Element

from svg2chart.artwork import Fill, Run, Words
from svg2chart.geometry.affine import Affine
from svg2chart.geometry.path import Path
from svg2chart.lettering.words import set_words
from svg2chart.remarks import Severity
from svg2chart.svg.characters import Character, spelled
from svg2chart.svg.lengths import length
from svg2chart.svg.paint import Flat
from svg2chart.svg.scene import Gathered, Place, Source, measures_at, name_of
from svg2chart.svg.servers import Painted, fill_paint, stroke_paint
from svg2chart.svg.strokes import pen
from svg2chart.svg.style import Style
from svg2chart.svg.told import of_words

_FAMILY = re.compile(r"""\s*(?:"([^"]*)"|'([^']*)'|([^,]+))\s*(?:,|\Z)""")
_MIRRORED = {"start": "end", "end": "start"}


def draw_words(source: Source, gathered: Gathered, element: Element, place: Place) -> None:
    """Draw a `text` element at its own place as words, set in fonts."""
    for words in _words(source, gathered, element, place):
        gathered.add(set_words(words, source.fonts))


def words_regions(source: Source, gathered: Gathered, element: Element, place: Place) -> list[Path]:
    """Return what the letters of a `text` element at its own place fill, for a clip."""
    black = replace(place.style, inherited={**place.style.inherited, "fill": "black", "stroke": "none"})
    words = _words(source, gathered, element, replace(place, style=black))
    done = [set_words(one, source.fonts) for one in words]
    for remark in (remark for one in done for remark in one.remarks):
        gathered.remarks.setdefault(remark)
    return [mark.path for one in done for mark in one.outlines if isinstance(mark, Fill)]


def _words(source: Source, gathered: Gathered, element: Element, place: Place) -> list[Words]:
    """Return a text as words: apart where letters are turned or strokes lie below fills."""
    name = name_of(source, element, place)
    style = place.style
    if style.get("writing-mode", "horizontal-tb") not in ("horizontal-tb", "lr-tb", "lr", "rl-tb", "rl"):
        gathered.remark(name, "vertical words are not set", Severity.LEFT_OUT, layer=place.layer)
        return []
    spelling = spelled(source, element, place)
    for what in spelling.left_out:
        gathered.remark(name, what, Severity.LEFT_OUT, layer=place.layer)
    for what in spelling.simplified:
        gathered.remark(name, what, Severity.SIMPLIFIED, layer=place.layer)
    characters = spelling.characters
    if not any(character.text.strip() for character in characters):
        return []
    if any(character.is_hidden for character in characters):
        gathered.remark(name, "hidden (visibility)", Severity.LEFT_OUT, layer=place.layer)
    is_flowed = style.own.get("shape-inside") or style.own.get("inline-size")
    if is_flowed and not any(character.y is not None for character in characters[1:]):
        what = "words that flow in a shape are set on one line"
        gathered.remark(name, what, Severity.GUESSED, layer=place.layer)
    order = style.get("paint-order", "normal")
    if any(character.style.get("paint-order", "normal") != order for character in characters):
        what = "paint-order of a part of the words is not followed"
        gathered.remark(name, what, Severity.SIMPLIFIED, layer=place.layer)
    made = []
    for turn, part in _by_turn(gathered, name, place, characters):
        runs = tuple(_runs(source, gathered, name, place, part))
        whole = Words(
            element=name,
            layer=place.layer,
            runs=runs,
            to_user=place.to_user @ turn,
            group=place.group,
            clip=place.clip,
            stitch_as=of_words(place.stitch_as),
        )
        made += _in_paint_order(whole, style)
    return made


def _in_paint_order(words: Words, style: Style) -> list[Words]:
    """Return the words as one, or strokes first and fills second where the strokes lie below."""
    if style.get("paint-order", "normal").split()[0] != "stroke":
        return [words]
    strokes = tuple(replace(run, colour=None) for run in words.runs)
    fills = tuple(replace(run, stroke_colour=None, stroke_style=None) for run in words.runs)
    return [replace(words, runs=strokes), replace(words, runs=fills)]


def _by_turn(
    gathered: Gathered, name: str, place: Place, characters: list[Character]
) -> Iterator[tuple[Affine, list[Character]]]:
    """Yield stretches of characters with the turn of each; letters turn where each has an x and a y."""
    if not any(character.turn for character in characters):
        yield Affine(), characters
    elif all(character.x is not None and character.y is not None for character in characters):
        for character in characters:
            x, y = (character.x or 0.0) + character.dx, (character.y or 0.0) + character.dy
            about = Affine.translation(x, y) @ Affine.rotation(character.turn)
            yield about, [replace(character, x=0.0, y=0.0, dx=0.0, dy=0.0)]
    else:
        gathered.remark(name, "turned letters are set upright", Severity.SIMPLIFIED, layer=place.layer)
        yield Affine(), characters


def _runs(
    source: Source, gathered: Gathered, name: str, place: Place, characters: list[Character]
) -> Iterator[Run]:
    """Yield the runs of a stretch of characters."""
    start = 0
    for k in range(1, len(characters) + 1):
        if k == len(characters) or _breaks(characters[k - 1], characters[k]):
            text = "".join(character.text for character in characters[start:k])
            first = characters[start]
            if start == 0:
                first = replace(first, x=first.x or 0.0, y=first.y or 0.0)
            yield _run(source, gathered, name, replace(place, style=first.style), (first, text))
            start = k


def _breaks(before: Character, here: Character) -> bool:
    is_placed = here.x is not None or here.y is not None or here.dx != 0 or here.dy != 0
    return is_placed or here.style is not before.style


def _run(source: Source, gathered: Gathered, name: str, place: Place, spelt: tuple[Character, str]) -> Run:
    first, text = spelt
    style = place.style
    measures = measures_at(source, place)
    fill = stroke = None
    stroke_style = None
    if not first.is_hidden:
        fill = _flat(gathered, name, place, fill_paint(source, place))
        stroke = _flat(gathered, name, place, stroke_paint(source, place))
    if stroke is not None:
        found = pen(style, measures)
        stroke_style = found.style
        for problem in found.problems:
            gathered.remark(name, problem, Severity.SIMPLIFIED, layer=place.layer)
    anchor = style.get("text-anchor", "start")
    is_leftward = style.get("direction") == "rtl"
    spacing = style.get("letter-spacing", "normal")
    return Run(
        text=text,
        families=_families(style.get("font-family")),
        size=style.font_size,
        weight=int(style.get("font-weight", "400")),
        italic=style.get("font-style", "normal").split()[0] in ("italic", "oblique"),
        x=first.x,
        y=first.y,
        dx=first.dx,
        dy=first.dy,
        anchor=_MIRRORED.get(anchor, anchor) if is_leftward else anchor,
        letter_spacing=length(spacing, measures, whole=measures.em) or 0.0,
        colour=None if fill is None else fill.colour,
        opacity=1.0 if fill is None else fill.opacity,
        stroke_colour=None if stroke is None or stroke_style is None else stroke.colour,
        stroke_opacity=1.0 if stroke is None else stroke.opacity,
        stroke_style=stroke_style,
    )


def _flat(gathered: Gathered, name: str, place: Place, painted: Painted) -> Flat | None:
    if painted.what:
        gathered.remark(name, painted.what, painted.severity, layer=place.layer)
    return painted.flat if painted.flat is not None and painted.flat.opacity > 0 else None


def _families(text: str) -> tuple[str, ...]:
    """Return the names of a font-family list in its order."""
    found = ("".join(match.groups("")).strip() for match in _FAMILY.finditer(text))
    return tuple(" ".join(family.split()) for family in found if family)

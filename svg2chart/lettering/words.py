"""Words to painted outlines, as the drawing has them."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import cache
from unicodedata import category, normalize

import numpy as np
from numpy.typing import NDArray

from svg2chart.artwork import Fill, Run, Stroke, Words
from svg2chart.geometry.path import Path, line
from svg2chart.lettering.fonts import Face, Fonts
from svg2chart.lettering.layout import BOX_ADVANCE, Letter, Placed, place_glyphs
from svg2chart.lettering.match import Match, face_with, match_face
from svg2chart.lettering.shape import has_colours, outline
from svg2chart.remarks import Remark, Severity

Array = NDArray[np.float64]

# The box for a character that no font has, in em: an upright frame on the baseline. Our own choice.
_BOX_SIDES, _BOX_HEIGHT, _BOX_PEN = 0.05, 0.7, 0.06
_WEIGHT_NOTICED = 150  # a face so much lighter or heavier than asked for is remarked on


def set_words(words: Words, fonts: Fonts) -> Words:
    """Return the words with their outlines in root user units, and remarks on what is not as it asks.

    Every run that is painted gives one nonzero fill, one stroke, or the fill and then the stroke.
    A character that its face lacks is set in another face that has it; where none does, a box
    is drawn. Coloured pictures are left out. All of these are remarks, as is the font used.

    Raises:
        FontError: a font file can no longer be read.
    """
    matches = [match_face(fonts, run.families, weight=run.weight, italic=run.italic) for run in words.runs]
    letters = list(_letters(words.runs, matches, fonts))
    placed = place_glyphs(words.runs, letters)
    marks = tuple(_marks(words, placed))
    whats = dict.fromkeys(_whats(words.runs, matches, letters, placed))
    remarks = tuple(
        Remark(element=words.element, layer=words.layer, what=what, severity=severity)
        for what, severity in whats
    )
    return replace(words, outlines=marks, remarks=remarks)


def _letters(runs: Sequence[Run], matches: Sequence[Match], fonts: Fonts) -> Iterator[Letter]:
    """Yield every character with the face that it is set in."""
    for index, (run, match) in enumerate(zip(runs, matches, strict=True)):
        before = match.face
        for drawn in run.text:
            kind = category(drawn)
            character = " " if kind == "Cc" else drawn
            if kind == "Cf":  # joiners and the like belong to the letter before
                face: Face | None = before
            elif kind in ("Mn", "Me") and before.has(character):
                face = before
            elif kind in ("Cc", "Zs") or _can_write(match.face, character):
                face = match.face
            elif before.has(character):  # a word stays in one face
                face = before
            else:
                face = face_with(fonts, character, weight=run.weight, italic=run.italic)
            yield Letter(character=character, run=index, face=face)
            before = face or before


def _can_write(face: Face, character: str) -> bool:
    """Return whether a face has a character, or the parts that it is made of."""
    return face.has(character) or all(face.has(part) for part in normalize("NFD", character))


def _is_painted(run: Run) -> bool:
    return run.colour is not None or (run.stroke_colour is not None and run.stroke_style is not None)


def _marks(words: Words, placed: Sequence[Placed]) -> Iterator[Fill | Stroke]:
    drawn = cache(outline)
    contours: list[list[Array]] = [[] for _ in words.runs]
    for glyph in placed:
        for contour in _box() if glyph.face is None else drawn(glyph.face, glyph.number):
            contours[glyph.run].append(contour * glyph.size + (glyph.x, glyph.y))
    for run, own in zip(words.runs, contours, strict=True):
        if not own:
            continue
        path = Path.of_contours([(contour, True) for contour in own]).transformed(words.to_user)
        if run.colour is not None:
            yield Fill(
                element=words.element,
                layer=words.layer,
                path=path,
                colour=run.colour,
                opacity=run.opacity,
                group=words.group,
                clip=words.clip,
                stitch_as=words.stitch_as,
            )
        if run.stroke_colour is not None and run.stroke_style is not None:
            yield Stroke(
                element=words.element,
                layer=words.layer,
                path=path,
                style=run.stroke_style,
                pen=words.to_user,
                colour=run.stroke_colour,
                opacity=run.stroke_opacity,
                group=words.group,
                clip=words.clip,
                stitch_as=words.stitch_as,
            )


def _box() -> tuple[Array, Array]:
    """Return a frame, its inner contour the other way round."""

    def rectangle(margin: float) -> Array:
        left, right = _BOX_SIDES + margin, BOX_ADVANCE - _BOX_SIDES - margin
        top, bottom = margin - _BOX_HEIGHT, -margin
        corners = np.array([(left, top), (right, top), (right, bottom), (left, bottom)])
        return np.stack([line(corners[k], corners[(k + 1) % 4]) for k in range(4)])

    return rectangle(0.0), rectangle(_BOX_PEN)[::-1, ::-1]


def _whats(
    runs: Sequence[Run], matches: Sequence[Match], letters: Sequence[Letter], placed: Sequence[Placed]
) -> Iterator[tuple[str, Severity]]:
    """Yield what to remark, in the order of the text, with repetitions."""
    seen = [letter for letter in letters if _is_painted(runs[letter.run]) and not letter.character.isspace()]
    for letter in seen:
        if letter.face is None or letter.face.family == matches[letter.run].face.family:
            yield from _on_match(runs[letter.run], matches[letter.run])
    others: dict[tuple[Face, Face | None], dict[str, None]] = {}
    for letter in seen:
        match = matches[letter.run].face
        if letter.face is None or letter.face.family != match.family or not letter.face.is_drawn:
            others.setdefault((match, letter.face), {})[letter.character] = None
    for (match, face), characters in others.items():
        yield _on_others(match, face, tuple(characters))
    for glyph in placed:
        if glyph.face is not None and glyph.face.is_drawn and has_colours(glyph.face, glyph.number):
            what = f'"{letters[glyph.letter].character}" is drawn without the colours that its font gives it'
            yield what, Severity.SIMPLIFIED


def _on_match(run: Run, match: Match) -> Iterator[tuple[str, Severity]]:
    """Yield what to remark on the face of a run."""
    face = match.face
    if match.is_replaced:
        wanted = ", ".join(f'"{family}"' for family in run.families)
        yield f'font {wanted} is not there, replaced by "{face.family}"', Severity.GUESSED
    if face.is_drawn:
        yield f'set in "{face.family}" as drawn', Severity.SIMPLIFIED
    if abs(face.weight - run.weight) >= _WEIGHT_NOTICED:
        what = f'"{face.family}" has no weight of {run.weight}, set in {face.weight}'
        yield what, Severity.SIMPLIFIED
    if face.italic != run.italic:
        style = "italic" if run.italic else "upright"
        yield f'"{face.family}" has no {style} face', Severity.SIMPLIFIED


def _on_others(match: Face, face: Face | None, characters: Sequence[str]) -> tuple[str, Severity]:
    """Return what to remark on characters that are not set in the face that their run asks for."""
    quoted = ", ".join(f'"{character}"' for character in characters)
    if face is None:
        numbers = ", ".join(f"U+{ord(character):04X}" for character in characters)
        return f"no font has {quoted} ({numbers}), a box is drawn", Severity.LEFT_OUT
    if not face.is_drawn:
        return f'"{face.family}" has only coloured pictures for {quoted}', Severity.LEFT_OUT
    return f'"{match.family}" has no {quoted}, set in "{face.family}" as drawn', Severity.SIMPLIFIED

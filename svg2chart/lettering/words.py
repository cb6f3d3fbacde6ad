"""Words to painted outlines, as the drawing has them."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from svg2chart.artwork import Decoration, Fill, Run, Stroke, Words
from svg2chart.geometry.affine import Affine
from svg2chart.geometry.path import Path, sides
from svg2chart.letterforms import Letterform
from svg2chart.lettering.accented import bare_letter
from svg2chart.lettering.assigning import letters_of_runs
from svg2chart.lettering.clusters import BOX_ADVANCE, Cluster, Letter, chunks_of
from svg2chart.lettering.decorations import line_contours
from svg2chart.lettering.fonts import Face, Fonts
from svg2chart.lettering.heights import heights_of_font, is_handwriting
from svg2chart.lettering.layout import Placed, place_clusters
from svg2chart.lettering.match import Font, Match, font_of, match_face
from svg2chart.lettering.metrics import metrics_of
from svg2chart.lettering.notices import notices_of_fonts, notices_of_places
from svg2chart.lettering.shape import is_written_apart, outline
from svg2chart.remarks import Remark

Array = NDArray[np.float64]

# The box for a character that no font has, in em: an upright frame on the baseline. Our own choice.
_BOX_SIDES, _BOX_HEIGHT, _BOX_PEN = 0.05, 0.7, 0.06


def set_words(words: Words, fonts: Fonts) -> Words:
    """Return the words with their outlines in root user units, and remarks on what is not as it asks.

    Every run that is painted gives a nonzero fill, a stroke, or both in the order it asks for, and so does
    each of its lines.
    A character that its face lacks is set in another face that has it; where none does, a box
    is drawn. Coloured pictures are left out. All of these are remarks, as is the font used.

    Raises:
        FontError: a font file can no longer be read.
    """
    matches, letters, placed, beyond = _laid_out(words, fonts)
    faces = [match.face for match in matches]
    clusters = [one.cluster for one in placed]
    whats = dict.fromkeys(
        (
            *notices_of_fonts(words.runs, matches, letters),
            *notices_of_places(words.runs, letters, clusters, beyond),
        )
    )
    return replace(
        words,
        outlines=tuple(_marks(words, placed, faces)),
        letters=tuple(_letterforms(words, letters, placed, faces, _fonts_of(letters, matches, fonts))),
        remarks=tuple(
            Remark(element=words.element, layer=words.layer, what=what, severity=severity)
            for what, severity in whats
        ),
        font_files=tuple(dict.fromkeys(face.file for face in (*faces, *_faces_of(letters)))),
    )


def _letterforms(
    words: Words,
    letters: Sequence[Letter],
    placed: Sequence[Placed],
    faces: Sequence[Face],
    fonts: Mapping[Face, Font],
) -> Iterator[Letterform]:
    """Yield the clusters letter by letter; those on a path, in columns and without ink too."""
    starts = sorted({one.cluster.letter for one in placed})
    ends = dict(zip(starts, [*starts[1:], len(letters)][: len(starts)], strict=True))
    chunks = chunks_of(words.runs)
    for one in placed:
        cluster = one.cluster
        size = words.runs[cluster.run].size
        contours = [
            Affine.translation(glyph.x, glyph.y).apply(contour)
            for glyph in cluster.glyphs
            for contour in (_box() if cluster.face is None else outline(cluster.face, glyph.number))
        ]
        held = letters[cluster.letter : ends[cluster.letter]]
        text = "".join(letter.character for letter in held if letter.run == cluster.run)
        face = cluster.face or faces[cluster.run]
        font = fonts[face]
        yield Letterform(
            run=cluster.run,
            text=text,
            outline=Path.of_contours([(contour, True) for contour in contours]),
            heights=heights_of_font(font),
            place=one.glyphs_place @ Affine.scaling(size),
            line=chunks[cluster.run],
            joins=is_handwriting(face) or not is_written_apart(text),
            bare=None if cluster.face is None else bare_letter(face, font, cluster.glyphs, text),
        )


def _fonts_of(letters: Sequence[Letter], matches: Sequence[Match], fonts: Fonts) -> dict[Face, Font]:
    """Return the font of each face that letters are set in, and of those that runs ask for."""
    found = {face: match.font for match in matches for face in (match.face, *match.font)}
    for face in _faces_of(letters):
        if face not in found:
            found[face] = font_of(fonts, face)
    return found


def letter_cells(words: Words, fonts: Fonts) -> Path:
    """Return a rectangle for each letter or joined letters, painted or not, in the space of the words.

    It is as wide as the room that it takes up, and reaches from the descent to the ascent of its font.
    Source: SVG 2, 11.4 "glyph cells", of which the box around a text is made.

    Raises:
        FontError: a font file can no longer be read.
    """
    matches, _, placed, _ = _laid_out(words, fonts)
    contours = []
    for one in placed:
        run = one.cluster.run
        metrics = metrics_of(one.cluster.face or matches[run].face)
        size = words.runs[run].size
        low, high = -metrics.descent * size, -metrics.ascent * size
        if words.is_vertical:  # its place is in the middle of its column
            low, high = low + metrics.middle * size, high + metrics.middle * size
        corners = np.array([(0.0, high), (one.cluster.width, high), (one.cluster.width, low), (0.0, low)])
        contours.append(sides(one.place.apply(corners)))
    return Path.of_contours([(contour, True) for contour in contours])


def _faces_of(letters: Sequence[Letter]) -> list[Face]:
    return [letter.face for letter in letters if letter.face is not None]


def _laid_out(words: Words, fonts: Fonts) -> tuple[list[Match], list[Letter], list[Placed], list[Cluster]]:
    """Return the face of each run, the letters, and the clusters placed and left out.

    Raises:
        FontError: a font file can no longer be read.
    """
    matches = [_match(run, fonts) for run in words.runs]
    letters = list(letters_of_runs(words.runs, matches, fonts))
    placed, beyond = place_clusters(words, letters, [match.face for match in matches])
    return matches, letters, placed, beyond


def _match(run: Run, fonts: Fonts) -> Match:
    """Return the font that a run asks for, its axes set."""
    match = match_face(fonts, run.families, weight=run.weight, italic=run.italic, width=run.width)
    face, *font = (one.tuned(run.axes, size=run.size) for one in (match.face, *match.font))
    return replace(match, face=face, font=tuple(font))


def _marks(words: Words, placed: Sequence[Placed], faces: Sequence[Face]) -> Iterator[Fill | Stroke]:
    """Yield what is painted, run by run: lines under and over the letters, these, lines through them."""
    letters = _letter_contours(words, placed)
    kinds = dict.fromkeys(line.line for run in words.runs for line in run.decorations)
    lines = {kind: line_contours(words, placed, faces, kind=kind) for kind in kinds}
    for index, run in enumerate(words.runs):
        for kind in ("underline", "overline", "", "line-through"):
            if not kind:
                yield from _painted(words, run, letters[index], is_stroke_first=run.is_stroke_first)
            for decoration in run.decorations:
                if decoration.line == kind:
                    yield from _painted(words, decoration, lines[kind][index], is_stroke_first=False)


def _letter_contours(words: Words, placed: Sequence[Placed]) -> list[list[Array]]:
    """Return the outlines of the letters of each run in the space of the words."""
    contours: list[list[Array]] = [[] for _ in words.runs]
    for one in placed:
        size = words.runs[one.cluster.run].size
        for glyph in one.cluster.glyphs:
            place = one.glyphs_place @ Affine(size, 0.0, 0.0, size, glyph.x * size, glyph.y * size)
            face = one.cluster.face
            for contour in _box() if face is None else outline(face, glyph.number):
                contours[one.cluster.run].append(place.apply(contour))
    return contours


def _painted(
    words: Words, ink: Run | Decoration, contours: Sequence[Array], *, is_stroke_first: bool
) -> Iterator[Fill | Stroke]:
    """Yield the fill and the stroke of contours in the space of the words."""
    if not contours:
        return
    path = Path.of_contours([(contour, True) for contour in contours]).transformed(words.to_user)
    marks: list[Fill | Stroke] = []
    if ink.colour is not None:
        marks.append(
            Fill(
                element=words.element,
                layer=words.layer,
                path=path,
                colour=ink.colour,
                opacity=ink.opacity,
                group=words.group,
                clip=words.clip,
                stitch_as=words.stitch_as,
            )
        )
    if ink.stroke_colour is not None and ink.stroke_style is not None:
        marks.append(
            Stroke(
                element=words.element,
                layer=words.layer,
                path=path,
                style=ink.stroke_style,
                pen=words.to_user,
                colour=ink.stroke_colour,
                opacity=ink.stroke_opacity,
                group=words.group,
                clip=words.clip,
                stitch_as=words.stitch_as,
            )
        )
    yield from reversed(marks) if is_stroke_first else marks


def _box() -> tuple[Array, Array]:
    """Return the box for a character that no font has: a frame, its inner contour the other way round."""

    def rectangle(margin: float) -> Array:
        left, right = _BOX_SIDES + margin, BOX_ADVANCE - _BOX_SIDES - margin
        top, bottom = margin - _BOX_HEIGHT, -margin
        return sides(np.array([(left, top), (right, top), (right, bottom), (left, bottom)]))

    return rectangle(0.0), rectangle(_BOX_PEN)[::-1, ::-1]

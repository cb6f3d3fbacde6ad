"""Shaping and outlines against HarfBuzz and fontTools."""

import numpy as np
import pytest
import uharfbuzz
from fontTools.pens.boundsPen import BoundsPen
from fontTools.ttLib import TTFont

from svg2chart.geometry.path import Path
from svg2chart.lettering.fonts import Face, find_system_fonts, read_fonts
from svg2chart.lettering.match import match_face
from svg2chart.lettering.shape import outline, scripts, shape
from tests.lettering.samples import face_for, many, packaged


def regular() -> Face:
    return match_face(packaged(), ["Source Sans Pro"], weight=400, italic=False).face


def test_shared_characters_go_with_the_script_around_them() -> None:
    assert scripts("(a 1אב!") == ["Latn", "Latn", "Latn", "Latn", "Hebr", "Hebr", "Hebr"]
    assert scripts("1 2") == ["Zyyy"] * 3


@pytest.mark.parametrize(
    ("family", "text", "level", "script"),
    [
        ("Source Sans Pro", "AVATAR fi To", 0, "Latn"),
        ("Noto Sans Devanagari", "हिन्दी क्षत्रिय", 0, "Deva"),
        ("Noto Sans", "קונצרט", 1, "Hebr"),
    ],
)
def test_shape_is_harfbuzz_own(family: str, text: str, level: int, script: str) -> None:
    face = match_face(many(), [family], weight=400, italic=False).face
    font = uharfbuzz.Font(uharfbuzz.Face(uharfbuzz.Blob.from_file_path(face.file)))
    buffer = uharfbuzz.Buffer()
    buffer.add_str(text)
    buffer.guess_segment_properties()
    uharfbuzz.shape(font, buffer)
    glyphs = shape(face, text, 0, len(text), level=level, script=script, features={})
    assert [g.number for g in glyphs] == [info.codepoint for info in buffer.glyph_infos]
    assert [g.cluster for g in glyphs] == [info.cluster for info in buffer.glyph_infos]
    assert sum(g.advance for g in glyphs) * face.units_per_em == pytest.approx(
        sum(position.x_advance for position in buffer.glyph_positions)
    )


def test_a_kerned_pair_is_closer_than_its_advances() -> None:
    face = regular()
    widths = TTFont(face.file)["hmtx"]
    names = TTFont(face.file).getBestCmap()
    plain = sum(widths[names[ord(letter)]][0] for letter in "AV")
    kerned = (
        sum(g.advance for g in shape(face, "AV", 0, 2, level=0, script="Latn", features={}))
        * face.units_per_em
    )
    assert kerned < plain - 10


def test_ligatures_can_be_turned_off() -> None:
    face = match_face(many(), ["Yellowtail"], weight=400, italic=False).face
    joined, apart = (
        shape(face, "ffi", 0, 3, level=0, script="Latn", features=features)
        for features in ({}, {"liga": 0, "clig": 0})
    )
    assert len(apart) == 3
    assert len(joined) <= len(apart)


def test_context_joins_letters_across_a_cut() -> None:
    text = "مرحبا"
    face = face_for(text[0], read_fonts([], found=find_system_fonts()))
    if face is None:
        pytest.skip("no font of this computer has Arabic letters")
    whole = shape(face, text, 0, 5, level=1, script="Arab", features={})
    parts = [shape(face, text, a, b, level=1, script="Arab", features={}) for a, b in ((0, 3), (3, 5))]
    assert [g.number for g in whole] == [g.number for g in (*parts[1], *parts[0])]
    alone = shape(face, "ب", 0, 1, level=1, script="Arab", features={})
    assert alone[0].number not in [g.number for g in whole]


@pytest.mark.parametrize("family", ["Source Sans Pro", "Noto Serif", "Sedgwick Ave Display"])
def test_outline_boxes_are_fonttools_bounds(family: str) -> None:
    face = match_face(many(), [family], weight=400, italic=False).face
    font = TTFont(face.file)
    glyphs, names = font.getGlyphSet(), font.getBestCmap()
    for letter in "AOgfiQ8é@":
        pen = BoundsPen(glyphs)
        glyphs[names[ord(letter)]].draw(pen)
        left, bottom, right, top = pen.bounds
        drawn = Path.of_contours([(c, True) for c in outline(face, font.getGlyphID(names[ord(letter)]))])
        box = drawn.box()
        assert box is not None
        found = np.array([box.left, -box.bottom, box.right, -box.top]) * face.units_per_em
        assert found == pytest.approx([left, bottom, right, top], abs=1e-9 * face.units_per_em)


def test_contours_are_closed_and_joined() -> None:
    for contour in outline(regular(), 40):
        assert np.array_equal(contour[1:, 0], contour[:-1, 3])
        assert np.array_equal(contour[0, 0], contour[-1, 3])


def test_a_space_has_no_outline() -> None:
    face = regular()
    assert outline(face, face.engine.get_nominal_glyph(32)) == ()

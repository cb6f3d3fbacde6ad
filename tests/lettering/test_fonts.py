"""Font files: what is found in them, broken ones, collections, packed ones."""

import pickle
from functools import cache
from io import BytesIO
from pathlib import Path

import font_source_sans_pro
import numpy as np
import pytest
from fontTools.ttLib import TTCollection, TTFont
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from svg2chart.errors import FontError
from svg2chart.lettering.fonts import find_system_fonts, read_fonts
from svg2chart.lettering.match import match_face
from svg2chart.lettering.shape import outline
from tests.lettering.samples import many, packaged

REGULAR = Path(font_source_sans_pro.font_files_ttf["SourceSansPro"])
BOLD = Path(font_source_sans_pro.font_files_ttf["SourceSansProBold"])


def test_the_package_brings_source_sans_pro_in_its_weights() -> None:
    styles = {(face.weight, face.italic) for face in packaged().faces if face.family == "Source Sans Pro"}
    assert {(400, False), (400, True), (700, False), (700, True)} <= styles
    assert all(face.is_drawn and not face.has_colours for face in packaged().faces)


def test_given_fonts_come_before_the_packaged_ones() -> None:
    fonts = read_fonts([BOLD, str(REGULAR)])
    assert [face.file for face in fonts.faces[:2]] == [str(BOLD), str(REGULAR)]
    assert fonts.faces[2:] == packaged().faces


def test_a_folder_is_read_in_the_order_of_its_names(tmp_path: Path) -> None:
    (tmp_path / "deep").mkdir()
    for name in ("b.ttf", "a.TTF", "deep/c.ttf"):
        (tmp_path / name).write_bytes(REGULAR.read_bytes())
    (tmp_path / "readme.txt").write_text("no font")
    names = [Path(face.file).name for face in read_fonts([tmp_path]).faces]
    assert names[:3] == ["a.TTF", "b.ttf", "c.ttf"]


def test_missing_files_and_empty_folders_are_named(tmp_path: Path) -> None:
    with pytest.raises(FontError, match=r"lost\.ttf: there is no such font file"):
        read_fonts([tmp_path / "lost.ttf"])
    with pytest.raises(FontError, match="there is no font file in this folder"):
        read_fonts([tmp_path])


@pytest.mark.parametrize("content", [b"%!PS-AdobeFont-1.0: Boat", b"\x80\x01\x10\x00\x00\x00%!PS"])
def test_a_font_of_another_kind_is_told_apart_from_a_damaged_one(tmp_path: Path, content: bytes) -> None:
    font = tmp_path / "boat.pfb"
    font.write_bytes(content)
    with pytest.raises(
        FontError, match=r"boat\.pfb: Type 1 fonts are not read\. Give it as a \.ttf or \.otf"
    ):
        read_fonts([font])


@pytest.mark.parametrize("content", [b"", b"\0", b"no font at all", b"ttcf", b"ttcf" + b"\xff" * 40, b"OTTO"])
def test_what_is_no_font_is_named_or_passed_over(tmp_path: Path, content: bytes) -> None:
    broken = tmp_path / "broken.ttf"
    broken.write_bytes(content)
    with pytest.raises(FontError, match=r"broken\.ttf: this is not a font file, or it is damaged"):
        read_fonts([broken])
    fonts = read_fonts([], found=[str(broken), str(tmp_path / "gone.ttf"), str(BOLD)])
    assert [face.file for face in fonts.found_faces] == [str(BOLD)]


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture])  # the file is written anew each time
@given(length=st.integers(0, REGULAR.stat().st_size - 4))  # up to three bytes are padding
def test_a_font_cut_short_is_an_error(tmp_path: Path, length: int) -> None:
    cut = tmp_path / "cut.ttf"
    cut.write_bytes(REGULAR.read_bytes()[:length])
    with pytest.raises(FontError, match=r"cut\.ttf"):
        read_fonts([cut])


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture])  # the file is written anew each time
@given(changes=st.lists(st.tuples(st.integers(0, 1200), st.integers(0, 255)), min_size=1, max_size=8))
def test_a_font_with_wrong_bytes_is_an_error_or_a_font(
    tmp_path: Path, changes: list[tuple[int, int]]
) -> None:
    content = bytearray(REGULAR.read_bytes())
    for place, byte in changes:
        content[place] = byte
    changed = tmp_path / "changed.ttf"
    changed.write_bytes(content)
    named = str(changed)
    try:
        outline(read_fonts([changed]).faces[0], 40)
    except FontError as error:
        named = error.file
    assert named == str(changed)


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture])  # the file is written anew each time
@given(share=st.floats(0.0, 0.99))
def test_a_packed_font_cut_short_is_an_error(tmp_path: Path, share: float) -> None:
    cut = tmp_path / "cut.woff2"
    cut.write_bytes(_packed()[: int(len(_packed()) * share)])
    with pytest.raises(FontError, match=r"cut\.woff2: this is not a font file, or it is damaged"):
        read_fonts([cut])


@cache
def _packed() -> bytes:
    font, packed = TTFont(REGULAR), BytesIO()
    font.flavor = "woff2"
    font.save(packed)
    return packed.getvalue()


def test_every_face_of_a_collection_is_there(tmp_path: Path) -> None:
    collection = TTCollection()
    collection.fonts = [TTFont(REGULAR), TTFont(BOLD)]
    collection.save(tmp_path / "two.ttc")
    regular, bold, *_ = read_fonts([tmp_path / "two.ttc"]).faces
    assert (regular.index, regular.weight, bold.index, bold.weight) == (0, 400, 1, 700)
    [plain, heavy, *_] = read_fonts([REGULAR, BOLD]).faces
    for packed, single in ((regular, plain), (bold, heavy)):
        assert same_outline(outline(packed, 40), outline(single, 40))


def test_a_packed_font_has_the_same_outlines(tmp_path: Path) -> None:
    font = TTFont(REGULAR)
    font.flavor = "woff"
    font.save(tmp_path / "packed.woff")
    [packed, *_] = read_fonts([tmp_path / "packed.woff"]).faces
    [plain, *_] = read_fonts([REGULAR]).faces
    assert same_outline(outline(packed, 40), outline(plain, 40))


def same_outline(one: tuple[np.ndarray, ...], other: tuple[np.ndarray, ...]) -> bool:
    return len(one) == len(other) > 0 and all(map(np.array_equal, one, other))


def test_fonts_go_to_another_process_after_use() -> None:
    face = packaged().faces[0]
    outline(face, 40)
    copy = pickle.loads(pickle.dumps(face))
    assert copy == face
    assert same_outline(outline(copy, 40), outline(face, 40))


def test_a_variable_font_is_set_to_the_weight() -> None:
    light = match_face(many(), ["Roboto Flex"], weight=100, italic=False).face
    heavy = match_face(many(), ["roboto  flex"], weight=1000, italic=False).face
    assert (light.weight, heavy.weight) == (100, 1000)
    letter = light.engine.get_nominal_glyph(ord("l")) or 1
    assert not same_outline(outline(light, letter), outline(heavy, letter))


def test_pictures_are_told_from_outlines() -> None:
    emoji = match_face(many(), ["Noto Color Emoji"], weight=400, italic=False).face
    assert (emoji.is_drawn, emoji.has_colours) == (False, True)


def test_system_fonts_are_files_in_order(monkeypatch: pytest.MonkeyPatch) -> None:
    listed = find_system_fonts()
    monkeypatch.setenv("PATH", "")  # without fc-list
    walked = find_system_fonts()
    for files in (listed, walked):
        assert list(files) == sorted(files)
        assert all(Path(file).is_file() for file in files)
    assert isinstance(read_fonts([], found=listed).found_faces, tuple)

"""The designer's words: what a TOML file may say, and one clear error for each thing that it may not."""

import re
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from svg2chart.errors import InfoError
from svg2chart.info import Info, parse_info, read_info


def test_every_name_is_read_and_what_is_left_out_is_empty() -> None:
    found = parse_info(
        b'title = "Lamps"\nauthor = "A. Quayside"\ncontact = "post@example.org"\n'
        b'licence = "For your own use"\nversion = "2"\nwords = "Take your time."\n'
    )
    assert found == Info(
        title="Lamps",
        author="A. Quayside",
        contact="post@example.org",
        licence="For your own use",
        version="2",
        words="Take your time.",
    )
    assert parse_info(b"") == Info()
    assert parse_info(b'author = "A. Quayside"').licence == ""


def test_a_byte_order_mark_is_no_part_of_the_first_name() -> None:
    assert parse_info(b'\xef\xbb\xbftitle = "Lamps"').title == "Lamps"


def test_empty_lines_part_paragraphs_and_line_ends_do_not() -> None:
    info = parse_info(b'words = """\nFirst the lamp,\nthen the sea.\n\n  \n\nEnjoy it."""')
    assert info.paragraphs == ("First the lamp, then the sea.", "Enjoy it.")


@pytest.mark.parametrize(
    ("data", "wrong", "way_out"),
    [
        (b'title = "Lamps', "this is no TOML", 'Write lines like author = "Your name"'),
        (b"title = Lamps", "this is no TOML", 'Write lines like author = "Your name"'),
        (b'title = "a"\ntitle = "b"', "this is no TOML", 'Write lines like author = "Your name"'),
        (b"title = 'a'\n= 'b'", "this is no TOML", 'Write lines like author = "Your name"'),
        (b'title = "\xff"', "the text is not in UTF-8", "Save it in UTF-8"),
        (
            b'publisher = "me"',
            'there is no "publisher"',
            "Use title, author, contact, licence, version, words",
        ),
        (b'Title = "Lamps"', 'there is no "Title"', "Use title, author, contact, licence, version, words"),
        (b'[pages]\ntitle = "Lamps"', 'there is no "pages"', "Use title, author, contact"),
        (b"version = 2", '"version" is no text', "Put it in quotation marks"),
        (b"version = 2026-06-01", '"version" is no text', "Put it in quotation marks"),
        (b"title = true", '"title" is no text', "Put it in quotation marks"),
        (b'words = ["a", "b"]', '"words" is no text', "Put it in quotation marks"),
        (b'author = {name = "A."}', '"author" is no text', "Put it in quotation marks"),
        (b'[author]\nname = "A."', '"author" is no text', "Put it in quotation marks"),
        (b"title = " + b"[" * 50_000, "a value is no text", "Put it in quotation marks"),
        (b"title = " + b"{a=" * 20_000, "a value is no text", "Put it in quotation marks"),
        (b"version = " + b"1" * 5000, "a value is no text", "Put it in quotation marks"),
        (b"title" + b".a" * 50_000 + b' = "b"', "line 1 has more than 200 dots", "Break it into lines"),
        (b'words = "' + b"w" * 150_000 + b'"', "the file is larger than 150000 bytes", "Shorten its texts"),
        (b'words = "' + b"w" * 5001 + b'"', '"words" has 5001 characters', "Use at most 5000 of them"),
    ],
    ids=lambda value: repr(value[:20]) if isinstance(value, bytes) else "",
)
def test_each_fault_is_one_clear_error(tmp_path: Path, data: bytes, wrong: str, way_out: str) -> None:
    file = tmp_path / "info.toml"
    file.write_bytes(data)
    with pytest.raises(InfoError) as raised:
        read_info(file)
    message = str(raised.value)
    assert message.startswith(f"{file}: {wrong}")
    assert f". {way_out}" in message
    assert "\n" not in message


def test_a_file_that_is_not_there_is_named(tmp_path: Path) -> None:
    file = tmp_path / "nothing.toml"
    with pytest.raises(InfoError, match=re.escape(f"{file}: cannot be read")):
        read_info(file)
    with pytest.raises(InfoError, match=re.escape(f"{tmp_path}: cannot be read")):
        read_info(tmp_path)


@given(st.binary(max_size=60) | st.text("title=\"'[]{}#\n. 1", max_size=60).map(str.encode))
def test_any_bytes_are_words_or_one_error(data: bytes) -> None:
    try:
        found = parse_info(data)
    except InfoError:
        return
    assert isinstance(found.title, str)

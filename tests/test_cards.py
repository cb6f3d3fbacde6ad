"""Thread cards: tables and palettes, and errors that say where and what to do."""

import csv
import io
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from svg2chart.cards import harbour_card, parse_card, read_card
from svg2chart.colour import Colour
from svg2chart.errors import CardError
from svg2chart.threads import Skein

printed = st.text(st.characters(categories=["L", "N", "P", "S"]), min_size=1, max_size=12)
codes = printed.filter(lambda text: not text.startswith("#"))
channels = st.integers(0, 255)
rows = st.lists(
    st.tuples(codes, printed, channels, channels, channels),
    min_size=1,
    max_size=8,
    unique_by=lambda row: row[0],
)


@given(rows, st.sampled_from([",", ";", "\t"]), st.permutations(["code", "name", "hex", "shelf"]))
def test_a_table_written_by_another_writer_is_read_back(
    threads: list[tuple[str, str, int, int, int]], delimiter: str, columns: list[str]
) -> None:
    """Python's CSV writer, which follows RFC 4180; columns in any order, one more than needed."""
    written = io.StringIO()
    writer = csv.DictWriter(written, columns, delimiter=delimiter, quoting=csv.QUOTE_ALL)
    writer.writeheader()
    for code, name, red, green, blue in threads:
        text = f"#{red:02x}{green:02x}{blue:02X}"
        writer.writerow({"code": code, "name": name, "hex": text, "shelf": ""})
    expected = tuple(
        Skein(code=code, name=name, colour=Colour(red / 255, green / 255, blue / 255))
        for code, name, red, green, blue in threads
    )
    assert parse_card(written.getvalue().encode()) == expected
    assert parse_card(b"\xef\xbb\xbf# ours\r\n\r\n" + written.getvalue().encode()) == expected


@given(rows)
def test_a_palette_is_read_back(threads: list[tuple[str, str, int, int, int]]) -> None:
    lines = ["GIMP Palette", "Name: Harbour", "Columns: 4", "#"]
    lines += [f"{red:3} {green:3} {blue:3}\t{name}" for _, name, red, green, blue in threads]
    skeins = parse_card("\n".join(lines).encode())
    assert [skein.name for skein in skeins] == [name for _, name, _, _, _ in threads]
    assert [skein.code for skein in skeins] == [str(number + 1) for number in range(len(threads))]
    assert [skein.colour.hex for skein in skeins] == [f"#{r:02x}{g:02x}{b:02x}" for _, _, r, g, b in threads]


def test_a_colour_of_a_palette_without_a_name_gets_a_plain_one() -> None:
    assert parse_card(b"GIMP Palette\n128 0 0\n")[0].name == "dark red"


@pytest.mark.parametrize(
    ("content", "message"),
    [
        (b"", "it has no thread. Add a line for each thread."),
        (b"code,name,hex\n", "it has no thread. Add a line for each thread."),
        (
            b"code,title,hex\nH1,Rope,#aaaaaa\n",
            'line 1: no column name. Begin the table with a line "code,name,hex".',
        ),
        (
            b"H1,Rope,#aaaaaa\n",
            'line 1: no column code and name and hex. Begin the table with a line "code,name,hex".',
        ),
        (b"code,name,hex\n\nH1,Rope,#aaa\n", 'line 3: "#aaa" is no colour. Write colours like "#f2b705".'),
        (
            b"code,name,hex\nH1,#aaaaaa\n",
            "line 2: 2 of 3 cells are there. Put cells with a comma in quotation marks",
        ),
        (b"code,name,hex\nH1,,#aaaaaa\n", "line 2: the name is empty"),
        (
            b"code,name,hex\nH1,Ro\x07pe,#aaaaaa\n",
            "line 2: the name is empty or has characters that cannot be printed",
        ),
        (b'code,name,hex\nH1,"Rope,#aaaaaa\n', "line 2: unexpected end of data. Close each quotation mark"),
        (b"code,name,hex\nH1,A,#000000\nH1,B,#ffffff\n", 'line 3: code "H1" stands in line 2 already.'),
        (b"code,name,hex\nH1,R\xf6ver,#000000\n", "line 2: not in UTF-8. Save the card as UTF-8."),
        (b"GIMP Palette\n#\n12 13\n", 'line 3: "12 13" is no colour of a palette. Write red, green and blue'),
        (b"GIMP Palette\n12 13 256 Rope\n", 'line 2: "12 13 256 Rope" is no colour of a palette.'),
    ],
)
def test_errors_name_file_and_line_and_a_way_out(content: bytes, message: str, tmp_path: Path) -> None:
    card = tmp_path / "card.csv"
    card.write_bytes(content)
    with pytest.raises(CardError) as caught:
        read_card(card)
    assert str(caught.value).startswith(f"{card}: {message}")


@given(st.binary(max_size=60), st.sampled_from([b"", b"GIMP Palette\n", b"code,name,hex\n"]))
def test_whatever_the_bytes_there_are_threads_or_a_card_error(data: bytes, start: bytes) -> None:
    try:
        threads = parse_card(start + data)
    except CardError:
        return
    assert threads


def test_a_card_that_is_not_there(tmp_path: Path) -> None:
    with pytest.raises(CardError, match=r"none\.csv: cannot be read: No such file"):
        read_card(tmp_path / "none.csv")


def test_the_built_in_card_has_threads_of_every_kind_and_says_that_it_is_invented() -> None:
    card = harbour_card()
    assert len({skein.name for skein in card}) == len(card) > 100
    text = (Path(__file__).parents[1] / "svg2chart" / "harbour-card.csv").read_text("utf-8")
    assert "invented" in text.splitlines()[0]

"""The PDF read back by other readers: the same stitches, counts and places as the chart."""

import dataclasses
import io
import os
import re
import subprocess
import sys
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import numpy as np
import pypdfium2
import pytest
from pypdf import PdfReader

from svg2chart.alphabets.reading import packaged_alphabet
from svg2chart.chart import Backstitch, Chart, Corner, Knot, Stitch, StitchKind, stitch_counts
from svg2chart.convert import convert
from svg2chart.errors import PageError
from svg2chart.grid import Grid
from svg2chart.guiding.order import plan_work
from svg2chart.letterdrawing import draw_letters
from svg2chart.letters.alphabet_words import set_in_alphabet
from svg2chart.pages.charting import chart_pages, grounds, map_page
from svg2chart.pages.draw import draw_pages
from svg2chart.pages.edition import Edition
from svg2chart.pages.plan import A4, BOTH, LETTER, plan_chart
from svg2chart.pages.squares import KNOT_RADIUS
from svg2chart.pages.style import LARGE, USUAL, Style
from svg2chart.pages.write import chart_symbols, lay_out, pages_pdf, write_pages
from svg2chart.quantity import thread_uses
from svg2chart.remarks import Remark, Severity, gathered
from svg2chart.svg.read import parse_artwork
from tests.pages.reading import (
    ChartPage,
    header,
    lines_of_text,
    page_of,
    read_chart_page,
    strokes,
    symbol_glyphs,
)
from tests.pages.samples import harbour, threads

MM = 72 / 25.4


@pytest.fixture(scope="module")
def chart() -> Chart:
    """Two pages across and two down, with every kind of stitch, an odd number of rows and remarks."""
    return harbour(93, 72, colours=14, seed=5, lined=4, remarks=3)


@pytest.fixture(scope="module")
def pdf(chart: Chart) -> bytes:
    return pages_pdf(chart)


@pytest.fixture(scope="module")
def labels(pdf: bytes) -> list[str]:
    return PdfReader(io.BytesIO(pdf)).page_labels


@pytest.fixture(scope="module")
def pages(pdf: bytes, labels: list[str]) -> dict[str, ChartPage]:
    numbers = [i for i, label in enumerate(labels) if re.fullmatch(r"[TB]\d+", label)]
    return {labels[i]: read_chart_page(pdf, i) for i in numbers}


def expected_squares(chart: Chart) -> dict[tuple[int, int], set[tuple[str, str, str]]]:
    found = {}
    for row in range(chart.rows):
        for column in range(chart.columns):
            found[row, column] = {
                (s.kind.value, chart.threads[s.thread].letter, s.corner.value if s.corner else "")
                for s in chart.arrangement_at(row, column)
            }
    return found


def test_the_sample_has_every_kind_of_stitch(chart: Chart) -> None:
    assert {kind for _, kind in stitch_counts(chart)} == set(StitchKind)
    assert {s.corner for a in chart.arrangements for s in a} == {None, *Corner}
    assert any(len(a) == 2 for a in chart.arrangements)
    assert chart.backstitch
    assert chart.knots


def test_every_square_reads_back(chart: Chart, pages: dict[str, ChartPage]) -> None:
    """On every page, in tints and in black and white, the repeated squares too."""
    expected = expected_squares(chart)
    assert len(pages) == 8
    for page in pages.values():
        for row in range(*page.rows):
            for column in range(*page.columns):
                assert page.squares.get((row, column), set()) == expected[row, column], (row, column)
        assert set(page.squares) <= {(r, c) for r in range(*page.rows) for c in range(*page.columns)}


def test_both_sets_count_every_square_once(chart: Chart, pages: dict[str, ChartPage]) -> None:
    for letter in "TB":
        counted = np.zeros((chart.rows, chart.columns), dtype=int)
        for label, page in pages.items():
            if label.startswith(letter):
                counted[slice(*page.own_rows), slice(*page.own_columns)] += 1
        assert (counted == 1).all()


def test_squares_have_one_size_on_all_pages(pages: dict[str, ChartPage]) -> None:
    sides = [page.side for page in pages.values()]
    assert max(sides) - min(sides) < 0.001


def test_heavy_lines_stand_at_tens_and_at_the_chart_edges(chart: Chart, pages: dict[str, ChartPage]) -> None:
    for page in pages.values():
        for found, (first, end), last in (
            (page.heavy_columns, page.columns, chart.columns),
            (page.heavy_rows, page.rows, chart.rows),
        ):
            wanted = [line for line in range(first, end + 1) if line % 10 == 0 or line == last]
            assert sorted(found) == pytest.approx(wanted, abs=0.01)


def test_numbers_stand_at_the_lines_they_count(pdf: bytes, labels: list[str]) -> None:
    """The middle of each number above the grid is on its line; 10 is ten squares from the left."""
    number = labels.index("T1")
    document = pypdfium2.PdfDocument(pdf)
    page = document[number]
    text = page.get_textpage()
    lines = [line for line in strokes(pdf, number) if abs(line.width - 0.4) < 0.005]
    upright = sorted(line.points[0][0] for line in lines if abs(line.points[0][0] - line.points[1][0]) < 0.01)
    for count, x in enumerate(upright[1:], start=1):
        search = text.search(str(10 * count), match_whole_word=True)
        boxes = []
        while (match := search.get_next()) is not None:
            box_left, _, _, _ = text.get_charbox(match[0])
            _, _, box_right, _ = text.get_charbox(match[0] + match[1] - 1)
            boxes.append((box_left + box_right) / 2 / MM)
        assert min(abs(middle - x) for middle in boxes) < 0.2
    document.close()


def test_centre_marks_point_at_the_exact_middle() -> None:
    """25 columns: the middle of column 13; 12 rows: the line after row 6."""
    pdf = pages_pdf(harbour(12, 25, colours=3))
    number = PdfReader(io.BytesIO(pdf)).page_labels.index("B1")
    page = read_chart_page(pdf, number)
    document = pypdfium2.PdfDocument(pdf)
    sheet = document[number]
    triangles = []
    for item in sheet.get_objects():
        left, bottom, right, top = item.get_bounds()
        if {round((right - left) / MM, 1), round((top - bottom) / MM, 1)} == {2.2}:
            triangles.append(((left + right) / 2 / MM, (sheet.get_height() - (bottom + top) / 2) / MM))
    document.close()
    xs = sorted({round(p[0], 1) for line in strokes(pdf, number) if line.width < 0.11 for p in line.points})
    ys = sorted({round(p[1], 1) for line in strokes(pdf, number) if line.width < 0.11 for p in line.points})
    places = sorted(((x - xs[0]) / page.side, (y - ys[0]) / page.side) for x, y in triangles)
    places = [(x, y) for x, y in places if not (0 <= x <= 25 and 0 <= y <= 12)]
    assert len(places) == 4
    assert [x for x, y in places if not 0 < y < 12] == pytest.approx([12.5, 12.5], abs=0.05)
    assert [y for x, y in places if not 0 < x < 25] == pytest.approx([6.0, 6.0], abs=0.05)


def test_backstitch_and_knots_read_back(chart: Chart, pages: dict[str, ChartPage]) -> None:
    """Each line once on the page that owns it whole, in the dashes of its thread and no other's."""
    for label, page in pages.items():
        low = (page.columns[0], page.rows[0])
        high = (page.columns[1], page.rows[1])

        def inside(point: tuple[float, float], low=low, high=high) -> bool:
            return all(a <= p <= b for p, a, b in zip(point, low, high, strict=True))

        wanted = {
            frozenset((s.start, s.end)): s.thread
            for s in chart.backstitch
            if inside(s.start) and inside(s.end)
        }
        found = {}
        for points, width, dashes in page.lines:
            for start, end in pairwise(points):
                ends = frozenset((round(2 * x) / 2, round(2 * y) / 2) for x, y in (start, end))
                if len(ends) == 2:
                    found[ends] = (round(width, 2), dashes)
        assert set(wanted) == set(found), label
        styles = {(thread, found[ends]) for ends, thread in wanted.items()}
        assert len(styles) == len({thread for thread, _ in styles}) == len({style for _, style in styles})
        knots = sorted((chart.threads[k.thread].letter, k.at) for k in chart.knots if inside(k.at))
        assert sorted(page.knots) == knots


def test_a_row_is_read_from_left_to_right(pdf: bytes, labels: list[str]) -> None:
    """Whole symbols come in reading order: rows from the top, each from the left."""
    glyphs = symbol_glyphs(pdf, labels.index("B1"))
    largest = max(glyph.size for glyph in glyphs)
    whole = [glyph for glyph in glyphs if glyph.size > 0.9 * largest]
    rows: list[list[float]] = [[]]
    for before, glyph in pairwise([whole[0], *whole]):
        if glyph.y - before.y > 0.5 * largest:
            rows.append([])
        assert glyph.y > before.y - 0.6 * largest
        rows[-1].append(glyph.x)
    assert len(rows) > 40
    assert all(row == sorted(row) for row in rows)


def test_the_key_tells_every_thread_and_its_counts(chart: Chart, pdf: bytes, labels: list[str]) -> None:
    rows = [row for i, label in enumerate(labels) if label.startswith("Key") for row in lines_of_text(pdf, i)]
    counts, uses = stitch_counts(chart), thread_uses(chart, plan_work(chart))
    for number, (thread, use) in enumerate(zip(chart.threads, uses, strict=True)):
        [row] = [row for row in rows if row[:2] == [thread.letter, thread.code]]
        assert row[2] == thread.name
        assert row[4:7] == [str(counts.get((number, kind), "\N{EN DASH}")) for kind in StitchKind]
        assert row[9:] == [f"{use.metres:.1f}", str(use.skeins)]
    [row] = [row for row in rows if row[0] == "All"]
    totals = [str(sum(n for (_, k), n in counts.items() if k is kind)) for kind in StitchKind]
    assert [cell.replace(",", "") for cell in row[4:]] == [
        *totals,
        f"{sum(use.back_squares for use in uses):.1f}",
        str(len(chart.knots)),
        f"{sum(use.metres for use in uses):.1f}",
        str(sum(use.skeins for use in uses)),
    ]


def test_the_key_speaks_of_knots_only_where_there_are_some() -> None:
    chart = harbour(12, 12, colours=3)

    def key(pdf: bytes) -> str:
        reader = PdfReader(io.BytesIO(pdf))
        return reader.pages[page_of(reader, "Key")].extract_text()

    assert chart.knots
    assert "Knots" in key(pages_pdf(chart))
    assert "knots" in key(pages_pdf(chart))
    assert "knot" not in key(pages_pdf(dataclasses.replace(chart, knots=()))).lower()


@pytest.mark.parametrize("style", [USUAL, LARGE], ids=["usual", "large"])
def test_one_of_a_kind_is_told_in_the_singular(style: Style) -> None:
    """One thread and one of each stitch: no page says "1" of several."""
    corner = Corner.TOP_LEFT
    arrangements = [
        (Stitch(kind=kind, thread=0, corner=None if kind is StitchKind.FULL else corner),)
        for kind in StitchKind
    ]
    chart = Chart(
        threads=threads(1),
        arrangements=((), *arrangements),
        squares=np.array([[1, 0, 0, 0], [0, 0, 2, 0], [0, 0, 0, 0], [3, 0, 0, 0]], dtype=np.int32),
        backstitch=(Backstitch(thread=0, start=(1, 1), end=(2, 1)),),
        knots=(Knot(thread=0, at=(2, 2)),),
    )
    reader = PdfReader(io.BytesIO(pages_pdf(chart, edition=Edition(style=style))))
    text = " ".join(" ".join(page.extract_text() for page in reader.pages).split())
    assert "1 full, 1 three-quarter, 1 quarter, 1 backstitch, 1 French knot Difficulty" in text
    several = set(re.findall(r"(?<![\d.,\N{MULTIPLICATION SIGN}] )\b1 ([a-z]+s)\b", text))
    assert several <= {"is"}


def test_what_only_speaks_of_squares_is_left_out_where_none_is_stitched() -> None:
    """Backstitch alone: no heading without words, no bare square as an example, no page twice."""
    lined = Chart(
        threads=threads(1),
        arrangements=((),),
        squares=np.zeros((5, 9), np.int32),
        backstitch=(Backstitch(thread=0, start=(1, 1), end=(2, 1)),),
    )
    full = Stitch(kind=StitchKind.FULL, thread=0)
    filled = dataclasses.replace(lined, arrangements=((), (full,)), squares=np.eye(5, 9, dtype=np.int32))
    told = {}
    for name, chart in (("lined", lined), ("filled", filled)):
        reader = PdfReader(io.BytesIO(pages_pdf(chart)))
        told[name] = reader.pages[page_of(reader, "How to read this chart")].extract_text()
        assert ("L1" in reader.page_labels) == (name == "filled")
    for words in ("In a square", "An example", "Column 1, row 1", "Each square is one stitch"):
        assert words in told["filled"]
        assert words not in told["lined"]
    assert "On the lines" in told["lined"]


def test_the_key_has_a_dash_for_what_there_is_none_of() -> None:
    """Of all threads together too: only full stitches, so no fractions and no backstitch."""
    chart = Chart(
        threads=threads(1),
        arrangements=((), (Stitch(kind=StitchKind.FULL, thread=0),)),
        squares=np.eye(5, 9, dtype=np.int32),
    )
    reader = PdfReader(io.BytesIO(pages_pdf(chart)))
    text = " ".join(reader.pages[page_of(reader, "Key")].extract_text().split())
    assert "All \N{EN DASH} 1 thread \N{EN DASH} 5" + " \N{EN DASH}" * 3 in text


def test_symbols_in_the_key_are_those_of_the_chart(chart: Chart, pdf: bytes, labels: list[str]) -> None:
    keys = [i for i, label in enumerate(labels) if label.startswith("Key")]
    in_key = {glyph.letter for i in keys for glyph in symbol_glyphs(pdf, i)}
    charts = [i for i, label in enumerate(labels) if re.fullmatch(r"[TB]\d+", label)]
    in_chart = {glyph.letter for i in charts for glyph in symbol_glyphs(pdf, i)}
    assert in_key == in_chart == {thread.letter for thread in chart.threads}


def test_cover_says_what_one_needs_before_buying(chart: Chart, pdf: bytes) -> None:
    text = " ".join(PdfReader(io.BytesIO(pdf)).pages[0].extract_text().split())
    # 72 / 14 = 5.143 in = 13.06 cm; 93 / 14 = 6.643 in = 16.87 cm
    for words in (
        chart.title,
        "72 \N{MULTIPLICATION SIGN} 93 squares",
        "13.1 \N{MULTIPLICATION SIGN} 16.9 cm (5.14 \N{MULTIPLICATION SIGN} 6.64 in)",
        "14 count",
        "thread, white (#f8f4ea)",
        "7.6 cm (3 in) more on each side",
        f"Threads {len(chart.threads)}",
        f"{len(chart.backstitch)} backstitches",
        "Print at 100 %",
    ):
        assert words in text


def test_the_cover_tells_where_each_chapter_stands(pdf: bytes) -> None:
    """The pages are those of the bookmarks, and the links lead to them; short chapters share a page."""
    reader = PdfReader(io.BytesIO(pdf))
    cover = " ".join(reader.pages[0].extract_text().split())
    marked = [item for item in reader.outline if not isinstance(item, list)]
    firsts = [reader.get_destination_page_number(item) + 1 for item in marked]
    assert marked[0].title == "Cover"
    for item, first, end in zip(marked[1:], firsts[1:], [*firsts[2:], len(reader.pages) + 1], strict=True):
        pages = f"page {first}" if end - 1 <= first else f"pages {first} to {end - 1}"
        assert f"{item.title}: {pages} " in cover
    links = [annotation.get_object() for annotation in reader.pages[0]["/Annots"]]
    led = [reader.get_page_number(link["/Dest"][0].get_object()) + 1 for link in links]
    assert led == firsts[1:]


def test_every_page_ends_with_its_number_in_the_file(pdf: bytes) -> None:
    for number, page in enumerate(PdfReader(io.BytesIO(pdf)).pages, start=1):
        assert page.extract_text().split()[-1] == str(number)


def test_the_test_bar_is_50_mm_long(pdf: bytes) -> None:
    assert any(
        line.points[1][0] - line.points[0][0] == pytest.approx(50, abs=0.01)
        and line.points[1][1] == pytest.approx(line.points[0][1])
        for line in strokes(pdf, 0)
    )


def test_remarks_are_printed_and_without_them_there_is_no_such_page(chart: Chart, pdf: bytes) -> None:
    reader = PdfReader(io.BytesIO(pdf))
    [number] = [i for i, label in enumerate(reader.page_labels) if label == "Remarks"]
    text = " ".join(reader.pages[number].extract_text().split())
    for line in gathered(chart.remarks):
        assert line in text
    clean = lay_out(harbour(8, 8, colours=2))
    assert all(page.chapter != "Remarks on this chart" for page in clean)


def test_what_became_of_single_elements_and_options_is_not_for_who_stitches(chart: Chart) -> None:
    remarks = (
        Remark(element="smoke", layer="Harbour", what="filter not drawn", severity=Severity.LEFT_OUT),
        Remark(
            element="pennant", what="equal widths come out unequal (--wide)", severity=Severity.SIMPLIFIED
        ),
    )
    assert all("Remarks" not in page.chapter for page in lay_out(replace(chart, remarks=remarks)))
    whole = Remark(
        element="", what="too many threads (--most-threads): some are one", severity=Severity.GUESSED
    )
    reader = PdfReader(io.BytesIO(pages_pdf(replace(chart, remarks=(*remarks, whole)))))
    text = " ".join(" ".join(page.extract_text().split()) for page in reader.pages)
    assert "too many threads: some are one (guessed)." in text
    assert not any(word in text for word in ("smoke", "pennant", "(--"))


def test_document_properties(chart: Chart, pdf: bytes, labels: list[str]) -> None:
    reader = PdfReader(io.BytesIO(pdf))
    assert reader.metadata is not None
    assert reader.metadata.title == chart.title
    assert not reader.metadata.author
    assert reader.root_object["/Lang"] == "en"
    chapters = [entry.title for entry in reader.outline if not isinstance(entry, list)]
    assert chapters == [
        "Cover",
        "What you need",
        "Key",
        "How to read this chart",
        "How to work the stitches",
        "Page map",
        "Chart in tints",
        "Chart in black and white",
        "Work guide",
        "Chart in words",
        "Remarks on this chart",
        "Take care",
    ]
    assert labels[:7] == ["Cover", "Need", "Key", "Reading", "Stitches 1", "Stitches 2", "Map"]
    assert labels[7:15] == [f"{letter}{n}" for letter in "TB" for n in range(1, 5)]


def test_letters_of_backstitch_are_shown_once_and_told_once() -> None:
    """Nothing is tinted in a chart of lines, and dashes are the same in black and white."""
    letters = set_in_alphabet(["boats at the quay", "lamps"], alphabet=packaged_alphabet("backstitch-5"))
    artwork = parse_artwork(draw_letters(letters, colour="#1f3a5f"))
    reader = PdfReader(io.BytesIO(pages_pdf(convert(artwork, Grid.fit(artwork, square=1.0)))))
    labels = reader.page_labels
    assert {label[0] for label in labels if label[1:].isdigit()} == {"T"}
    told = [page.extract_text().count("row ") for page in reader.pages]
    assert told[labels.index("Guide 1")] > 20
    assert told[labels.index("In words")] == 0


def test_what_both_sets_show_alike_is_in_the_file_once(pdf: bytes, labels: list[str]) -> None:
    """Grid and symbols are the same in tints and in black and white: the pages share their streams."""
    reader = PdfReader(io.BytesIO(pdf))

    def streams(label: str) -> set[int]:
        return {part.idnum for part in reader.pages[labels.index(label)].get("/Contents")}

    for number in range(1, 5):
        tinted, plain = streams(f"T{number}"), streams(f"B{number}")
        shared = b"".join(reader.get_object(part).get_data() for part in tinted & plain)
        assert tinted - plain
        assert plain - tinted
        for layer in (b"/OC /GRID", b"/OC /SYMBOLS"):
            assert layer in shared


def test_every_font_is_embedded(pdf: bytes) -> None:
    reader = PdfReader(io.BytesIO(pdf))
    names = set()
    for page in reader.pages:
        for font in page["/Resources"].get("/Font", {}).values():
            descendant = font.get_object()["/DescendantFonts"][0].get_object()
            descriptor = descendant["/FontDescriptor"].get_object()
            assert "/FontFile2" in descriptor
            names.add(str(descriptor["/FontName"]).split("+")[-1])
    assert names == {
        "SourceSansPro-Regular",
        "SourceSansPro-Semibold",
        "svg2chart-stitches",
        "svg2chart-symbols",
    }


@pytest.mark.parametrize("paper", [A4, LETTER], ids=lambda paper: paper.name)
def test_one_layout_fits_both_sheets(paper) -> None:
    """The sheet changes, the squares and what they hold do not."""
    chart = harbour(40, 70, colours=3)
    pdf, other = pages_pdf(chart), pages_pdf(chart, paper=paper)
    labels = PdfReader(io.BytesIO(pdf)).page_labels
    box = PdfReader(io.BytesIO(other)).pages[0].mediabox
    size_mm = (float(box.width) / MM, float(box.height) / MM)
    assert size_mm == pytest.approx((paper.width_mm, paper.height_mm), abs=0.01)
    number = labels.index("T2")
    here, there = read_chart_page(pdf, number), read_chart_page(other, number)
    assert there.side == pytest.approx(here.side, abs=0.001)
    assert there.squares == here.squares


@pytest.mark.parametrize("style", [USUAL, LARGE], ids=["usual", "large"])
def test_nothing_leaves_the_margin(style: Style) -> None:
    """Office printers leave some 6 mm unprinted; common practice, no source. The sheet is the least one."""
    chart = harbour(64, 64, colours=12, remarks=1)
    for paper in (BOTH,):
        document = pypdfium2.PdfDocument(pages_pdf(chart, paper=paper, edition=Edition(style=style)))
        for page in document:
            for item in page.get_objects():
                left, bottom, right, top = (value / MM for value in item.get_bounds())
                assert left > 6
                assert bottom > 6
                assert right < paper.width_mm - 6
                assert top < paper.height_mm - 6
        document.close()


def test_neighbours_are_links_to_the_pages_they_name(pdf: bytes, labels: list[str]) -> None:
    reader = PdfReader(io.BytesIO(pdf))
    page = reader.pages[labels.index("B1")]
    targets = [link.get_object()["/Dest"][0] for link in page["/Annots"]]
    numbers = [reader.get_page_number(target.get_object()) for target in targets]
    assert sorted(labels[number] for number in numbers) == ["B2", "B3"]
    assert header(pdf, labels.index("B2"))[1][0] == header(pdf, labels.index("B1"))[1][1] + 1


def test_the_map_names_and_links_every_chart_page(pdf: bytes, labels: list[str]) -> None:
    reader = PdfReader(io.BytesIO(pdf))
    page = reader.pages[labels.index("Map")]
    chart_pages = sorted(label for label in labels if re.fullmatch(r"[TB]\d+", label))
    shown = [word for word in page.extract_text().split() if re.fullmatch(r"[TB]\d+", word)]
    assert set(chart_pages) <= set(shown)
    targets = [link.get_object()["/Dest"][0] for link in page["/Annots"]]
    assert sorted(labels[reader.get_page_number(t.get_object())] for t in targets) == chart_pages


def test_the_map_shows_every_line_and_knot_whole_on_the_cloth() -> None:
    """Those on the rim of the chart too: no frame runs along them, and the cloth goes on around them."""
    wide, high = 120, 40
    rim = [(0.0, 0.0), (float(wide), 0.0), (float(wide), float(high)), (0.0, float(high))]
    lines = [Backstitch(thread=0, start=one, end=other) for one, other in pairwise([*rim, rim[0]])]
    knots = [Knot(thread=0, at=at) for at in (*rim, (30.0, 20.0), (90.0, 20.0))]
    bare = Chart(
        threads=threads(1),
        arrangements=((),),
        squares=np.zeros((high, wide), np.int32),
        backstitch=tuple(lines),
        knots=tuple(knots),
    )
    edition, plan = Edition(), plan_chart(bare, Edition().style)
    pages = [*map_page(bare, plan, edition), *chart_pages(bare, plan, edition, grounds=grounds(bare))]
    document = pypdfium2.PdfDocument(draw_pages(pages, title="", paper=BOTH, symbols=chart_symbols(bare)))
    page = document[0].render(scale=300 / 72).to_numpy()[..., :3]  # blue, green, red
    document.close()
    ink = np.array([int(bare.threads[0].colour[at : at + 2], 16) for at in (5, 3, 1)])
    is_ink = (np.abs(page.astype(int) - ink) < 12).all(axis=2)
    rows, columns = np.flatnonzero(is_ink.any(axis=1)), np.flatnonzero(is_ink.any(axis=0))
    side = (columns[-1] - columns[0] + 1) / (wide + 2 * KNOT_RADIUS)
    left, top = columns[0] + KNOT_RADIUS * side, rows[0] + KNOT_RADIUS * side
    for x, y in [*rim, (30.0, 20.0), (90.0, 20.0)]:
        row, column = round(top + y * side), round(left + x * side)
        assert is_ink[row - 1 : row + 2, column - 1 : column + 2].all()
    cloth = np.array([int(bare.fabric.colour[at : at + 2], 16) for at in (5, 3, 1)])
    for x, y, down, across in ((0, 10, 0, -0.3), (wide, 10, 0, 0.3), (20, 0, -0.3, 0), (20, high, 0.3, 0)):
        row, column = round(top + (y + down) * side), round(left + (x + across) * side)
        assert (page[row, column] == cloth).all()


@pytest.mark.parametrize(("rows", "columns"), [(40, 40), (60, 80), (20, 300)])
def test_numbers_keep_clear_of_the_centre_marks(rows: int, columns: int) -> None:
    """Where the middle falls on a ten, as on every side here: half a millimetre of paper lies between."""
    pdf = pages_pdf(harbour(rows, columns, colours=2))
    labels = PdfReader(io.BytesIO(pdf)).page_labels
    document = pypdfium2.PdfDocument(pdf)
    near = 0
    for number, label in enumerate(labels):
        if not re.fullmatch(r"B\d+", label):
            continue
        page = document[number]
        text = page.get_textpage()
        figures = [
            box
            for i in range(text.count_chars())
            if text.get_text_range(i, 1).isdigit() and text.get_charbox(i) != (0, 0, 0, 0)
            for box in [text.get_charbox(i)]
        ]
        for item in page.get_objects():
            left, bottom, right, top = item.get_bounds()
            if {round((right - left) / MM, 1), round((top - bottom) / MM, 1)} != {2.2}:
                continue
            gaps = [max(left - box[2], box[0] - right, bottom - box[3], box[1] - top) / MM for box in figures]
            assert min(gaps) > 0.5
            near += min(gaps) < 1.5
    document.close()
    assert near >= 4


SCRIPT = """
import hashlib, sys
from tests.pages.samples import harbour
from svg2chart.pages.write import pages_pdf
sys.stdout.write(hashlib.sha256(pages_pdf(harbour(20, 20, colours=9, remarks=2))).hexdigest())
"""


def test_the_same_bytes_in_any_process(tmp_path: Path) -> None:
    """Whatever the order of sets and the settings of the PDF library in the environment."""
    root = Path(__file__).parents[2]
    found = set()
    for seed in ("0", "1"):
        library = {
            "RL_useA85": seed,
            "RL_pageCompression": seed,
            "RL_invariant": seed,
            "RL_ttfAsciiReadable": seed,
        }
        environment = os.environ | library | {"PYTHONHASHSEED": seed, "PYTHONPATH": str(root)}
        done = subprocess.run(
            [sys.executable, "-c", SCRIPT],
            env=environment,
            cwd=tmp_path,
            capture_output=True,
            text=True,
            check=True,
        )
        found.add(done.stdout)
    assert len(found) == 1


def test_the_same_bytes_twice() -> None:
    chart = harbour(20, 20, colours=5)
    assert pages_pdf(chart) == pages_pdf(chart)


def test_a_file_appears_whole_or_not_at_all(tmp_path: Path) -> None:
    chart = harbour(6, 6, colours=2)
    path = tmp_path / "boats.pdf"
    write_pages(chart, path)
    assert path.read_bytes() == pages_pdf(chart)
    with pytest.raises(PageError, match="cannot be written"):
        write_pages(chart, tmp_path / "missing" / "boats.pdf")
    blocked = tmp_path / "folder.pdf"
    blocked.mkdir()
    with pytest.raises(PageError, match="cannot be written"):
        write_pages(chart, blocked)
    assert sorted(p.name for p in tmp_path.iterdir()) == ["boats.pdf", "folder.pdf"]


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"letter": "北"}, 'the letter "北" cannot be printed'),
        ({"symbol": "anchor"}, 'no symbol "anchor"'),
        ({"symbol": threads(2)[1].symbol}, "two threads have the symbol"),
    ],
)
def test_threads_that_cannot_be_told_apart_are_refused(change: dict[str, str], message: str) -> None:
    first, second = threads(2)
    chart = Chart(
        threads=(dataclasses.replace(first, **change), second),
        arrangements=((),),
        squares=np.zeros((1, 1), dtype=np.int32),
    )
    with pytest.raises(PageError, match=message):
        pages_pdf(chart)


def test_hostile_words_do_not_break_the_pages() -> None:
    chart = harbour(5, 5, colours=2, title="<b>(Fête) \\ " + "W" * 300 + "\n\t북 \u200f 100 % &amp;")
    assert PdfReader(io.BytesIO(pages_pdf(chart))).page_labels[0] == "Cover"

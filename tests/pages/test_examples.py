"""Each example, 40, 120 and 220 squares wide, read back from its pages as a stitcher would."""

import io
import json
from collections import Counter, defaultdict
from itertools import pairwise
from pathlib import Path

import pytest
from pypdf import PdfReader

import svg2chart
from svg2chart.pages.charting import chart_pages, grounds
from svg2chart.pages.draw import draw_pages
from svg2chart.pages.edition import Edition
from svg2chart.pages.key import key_pages
from svg2chart.pages.plan import BOTH, plan_chart
from svg2chart.pages.write import chart_symbols
from svg2chart.quantity import thread_uses
from tests.pages.reading import ChartPage, lines_of_text, read_chart_page

EXAMPLES = Path(__file__).parents[2] / "examples"
WIDE = {"lantern": 40, "quay-market": 120, "night-regatta": 220}


class Read:
    """An example: its chart file, and what is read from the pages of its key and its squares."""

    def __init__(self, name: str) -> None:
        artwork = svg2chart.read_artwork(EXAMPLES / f"{name}.svg")
        grid = svg2chart.Grid.fit(artwork, square=1, extent=svg2chart.Extent.PAGE)
        chart = svg2chart.convert(artwork, grid)
        self.file = json.loads(svg2chart.chart_bytes(chart))
        edition = Edition()
        plan = plan_chart(chart, edition.style)
        pages = list(key_pages(chart, thread_uses(chart, ()), edition))
        pages += chart_pages(chart, plan, edition, grounds=grounds(chart))
        pdf = draw_pages(pages, title=chart.title, paper=BOTH, symbols=chart_symbols(chart))
        labels = PdfReader(io.BytesIO(pdf)).page_labels
        self.pages: dict[str, ChartPage] = {
            label: read_chart_page(pdf, i)
            for i, label in enumerate(labels)
            if label[0] in "TB" and label[1:].isdigit()
        }
        self.key = [
            row for i, label in enumerate(labels) if label.startswith("Key") for row in lines_of_text(pdf, i)
        ]


@pytest.fixture(scope="module", params=list(WIDE))
def read(request: pytest.FixtureRequest) -> Read:
    made = Read(request.param)
    assert made.file["size"]["wide"] == WIDE[request.param]
    return made


def told_squares(file: dict) -> dict[tuple[int, int], set[tuple[str, str, str]]]:
    """Return what the chart file says of each square that holds something."""
    letters = [thread["letter"] for thread in file["threads"]]
    found = {}
    for row, runs in enumerate(file["rows"]):
        column = 0
        for number, arrangement in runs:
            held = {
                (s["stitch"], letters[s["thread"]], s.get("corner", ""))
                for s in file["arrangements"][arrangement]
            }
            for _ in range(number):
                if held:
                    found[row, column] = held
                column += 1
    return found


def test_squares_of_every_page_are_those_of_the_file(read: Read) -> None:
    """Repeated squares too: where pages overlap they say the same."""
    told = told_squares(read.file)
    for sort in "TB":
        counted: Counter[tuple[int, int]] = Counter()
        for label, page in read.pages.items():
            if label[0] == sort:
                for row in range(*page.rows):
                    for column in range(*page.columns):
                        assert page.squares.get((row, column), set()) == told.get((row, column), set())
                counted.update(
                    (row, column) for row in range(*page.own_rows) for column in range(*page.own_columns)
                )
        assert len(counted) == read.file["size"]["wide"] * read.file["size"]["high"]
        assert set(counted.values()) == {1}


def test_lines_and_knots_are_those_of_the_file(read: Read) -> None:
    letters = [thread["letter"] for thread in read.file["threads"]]
    for sort in "TB":
        styles: dict[frozenset, set] = defaultdict(set)
        knots = set()
        for label, page in read.pages.items():
            if label[0] == sort:
                knots |= set(page.knots)
                for points, width, dashes in page.lines:
                    for start, end in pairwise(points):
                        ends = frozenset((round(2 * x) / 2, round(2 * y) / 2) for x, y in (start, end))
                        styles[ends].add((round(width, 2), dashes))
        told = defaultdict(set)
        for line in read.file.get("backstitch", ()):
            told[frozenset((tuple(line["from"]), tuple(line["to"])))].add(line["thread"])
        # a line cut at the edge of a page is whole on another
        assert set(told) <= set(styles)
        inks = {
            (thread, style) for ends, threads in told.items() for thread in threads for style in styles[ends]
        }
        assert len({thread for thread, _ in inks}) == len({style for _, style in inks}) == len(inks)
        assert knots == {(letters[k["thread"]], tuple(k["at"])) for k in read.file.get("knots", ())}


def test_the_key_counts_what_the_file_holds(read: Read) -> None:
    counts: Counter[tuple[str, str]] = Counter()
    for held in told_squares(read.file).values():
        counts.update((letter, stitch) for stitch, letter, _ in held)
    for thread in read.file["threads"]:
        letter = thread["letter"]
        [row] = [row for row in read.key if row[:2] == [letter, thread["code"]]]
        assert row[2] == thread["name"]
        wanted = [counts[letter, kind] or "\N{EN DASH}" for kind in ("full", "three-quarter", "quarter")]
        assert [cell.replace(",", "") for cell in row[4:7]] == [str(value) for value in wanted]
    assert sum(
        row[0] in {t["letter"] for t in read.file["threads"]} for row in read.key if len(row) > 8
    ) == len(read.file["threads"])


def test_squares_have_one_size_and_tens_are_heavy_and_numbered(read: Read) -> None:
    """Sizes within 0.03 pt; a number stands at the line after that many squares."""
    sides = [page.side * 72 / 25.4 for page in read.pages.values()]
    assert max(sides) - min(sides) < 0.03
    wide, high = read.file["size"]["wide"], read.file["size"]["high"]
    for page in read.pages.values():
        for heavy, (first, end), last in (
            (page.heavy_columns, page.columns, wide),
            (page.heavy_rows, page.rows, high),
        ):
            wanted = [line for line in range(first, end + 1) if line % 10 == 0 or line == last]
            assert sorted(heavy) == pytest.approx(wanted, abs=0.01)
        placed = 0
        for number, (x, y) in page.numbers:
            above = page.columns[0] - 1 < x < page.columns[1] + 1 and not page.rows[0] <= y <= page.rows[1]
            beside = page.rows[0] - 1 < y < page.rows[1] + 1 and not page.columns[0] <= x <= page.columns[1]
            if (above and abs(y - page.rows[0]) < 3) or (above and abs(y - page.rows[1]) < 3):
                assert x == pytest.approx(number, abs=0.15)
                placed += 1
            elif beside and min(abs(x - edge) for edge in page.columns) < 4:
                assert y == pytest.approx(number, abs=0.15)
                placed += 1
        assert placed >= 4

"""Sheets of alphabets as pages: all letters are there, none is cut, and there is little else."""

from pathlib import Path

import numpy as np
import pypdf
import pypdfium2
import pytest

from svg2chart.alphabets.reading import alphabet_names
from svg2chart.cli.main import main
from svg2chart.pages.specimens import SIDE_MM, Specimen, specimens_pdf
from tests.drawings import box, chart_of, drawing, shape, stroke

PIXELS_A_MM = 6


def ink(pdf: bytes) -> list[np.ndarray]:
    """Return which pixels of each page are red."""
    pages = pypdfium2.PdfDocument(pdf)
    pictures = [page.render(scale=PIXELS_A_MM * 25.4 / 72).to_pil().convert("RGB") for page in pages]
    red, green, blue = zip(*(np.moveaxis(np.asarray(one, int), 2, 0) for one in pictures), strict=True)
    return [(r - g > 20) & (r - b > 20) for r, g, b in zip(red, green, blue, strict=True)]


def test_a_sheet_of_alphabets_is_a_few_pages_that_name_them(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    target = tmp_path / "sheet.pdf"
    assert main(["letter", "--list", "-o", str(target)]) == 0
    assert capsys.readouterr().out.startswith(f"{', '.join(alphabet_names())}; wrote ")
    pages = [page.extract_text() for page in pypdf.PdfReader(target).pages]
    assert len(pages) <= 3 * len(alphabet_names())
    assert all(any(name in page for page in pages) for name in alphabet_names())


def test_pages_break_between_letters_and_show_all_of_them() -> None:
    # blocks 9 rows high with a bare row between, more than a page of them
    blocks = [box(1, 10 * row, 9, 10 * row + 9) for row in range(40)]
    chart = chart_of(drawing(shape("#d01010", *blocks), wide=10, high=400))
    pages = ink(specimens_pdf([Specimen("own", "stitched", chart)], title="Alphabets"))
    assert len(pages) > 1
    high = SIDE_MM * PIXELS_A_MM * 9
    counted = 0
    for page in pages:
        inked = np.flatnonzero(page.mean(axis=1) > 0.02)
        runs = np.split(inked, np.flatnonzero(np.diff(inked) > 4) + 1)
        assert all(abs(len(run) - high) <= 5 for run in runs)  # a line between squares may be half as wide
        counted += len(runs)
    assert counted == len(blocks)


def test_an_alphabet_wider_than_a_page_is_drawn_smaller() -> None:
    chart = chart_of(drawing(shape("#d01010", box(0, 0, 300, 5)), wide=300, high=5))
    (page,) = ink(specimens_pdf([Specimen("own", "stitched", chart)], title="Alphabets"))
    inked = np.flatnonzero(page.any(axis=0))
    assert abs(inked[0] - 10 * PIXELS_A_MM) <= 2  # from margin to margin
    assert abs(inked[-1] - 200 * PIXELS_A_MM) <= 2


def test_lines_below_all_squares_are_shown() -> None:
    """A baseline is, where no letter of the last line goes below it."""
    rims = [stroke("#d01010", [(1, row), (8, row)]) for row in (0, 3, 6)]
    chart = chart_of(drawing(*rims, wide=10, high=6))
    assert [line.start[1] for line in chart.backstitch if line.start[0] == 1] == [0, 3, 6]
    (page,) = ink(specimens_pdf([Specimen("own", "lines", chart)], title="Alphabets"))
    inked = np.flatnonzero(page.mean(axis=1) > 0.02)
    assert len(np.split(inked, np.flatnonzero(np.diff(inked) > 4) + 1)) == len(rims)

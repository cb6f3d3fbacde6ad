"""The tags of the pages, by two checkers of PDF accessibility: no error and no warning.

Both are young and look at a part of ISO 14289-1; what they pass is "tagged, checked with pdfua and outloud".
"""

import importlib.util
import json
import subprocess
import sys
from pathlib import Path

import pikepdf
import pytest

from svg2chart.convert import convert
from svg2chart.grid import Extent, Grid
from svg2chart.info import Info
from svg2chart.pages.edition import Edition
from svg2chart.pages.style import LARGE, USUAL, Style
from svg2chart.pages.write import pages_pdf
from svg2chart.svg.read import parse_artwork
from tests.pages.samples import harbour

EXAMPLES = Path(__file__).parents[2] / "examples"


@pytest.fixture(scope="module", params=[USUAL, LARGE], ids=["usual", "large"])
def path(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return pages with every kind of stitch, neighbours, remarks and the designer's words."""
    style: Style = request.param
    info = Info(
        author="A. Pilot",
        contact="post@example.org",
        licence="For your own use: https://example.org/licence.",
        words="A first word.\n\nA second.",
    )
    chart = harbour(14, 64, colours=5, remarks=1)
    made = tmp_path_factory.mktemp("access") / f"{style.is_large}.pdf"
    made.write_bytes(pages_pdf(chart, edition=Edition(style=style, info=info)))
    return made


def needs(module: str) -> None:
    if importlib.util.find_spec(module) is None:
        pytest.skip(f"{module} is not installed: pip install -e '.[access]'")


def test_outloud_finds_nothing(path: Path) -> None:
    needs("outloud")
    report = path.with_suffix(".json")
    command = Path(sys.executable).with_name("outloud")
    done = subprocess.run(
        [command, path, "--json", report, "--fail-on", "warning"], capture_output=True, text=True
    )
    assert done.returncode == 0, done.stdout
    assert json.loads(report.read_text())


def test_outloud_takes_no_step_of_a_long_guide_for_a_running_head(tmp_path: Path) -> None:
    needs("outloud")
    artwork = parse_artwork((EXAMPLES / "harbour-festival.svg").read_bytes())
    chart = convert(artwork, Grid.fit(artwork, square=1.0, extent=Extent.PAGE))
    made = tmp_path / "festival.pdf"
    made.write_bytes(pages_pdf(chart))
    command = Path(sys.executable).with_name("outloud")
    done = subprocess.run([command, made, "--fail-on", "warning"], capture_output=True, text=True)
    assert done.returncode == 0, done.stdout


def test_pdfua_finds_nothing(path: Path) -> None:
    needs("pdfua")
    command = Path(sys.executable).with_name("pdfua")
    done = subprocess.run([command, "check", path], capture_output=True, text=True)
    assert done.returncode == 0, done.stdout
    assert "errors=0 warnings=0" in done.stdout


def test_qpdf_finds_nothing(path: Path) -> None:
    """The checks of `qpdf --check`, by its library."""
    with pikepdf.open(path) as pdf:
        assert pdf.check_pdf_syntax() == []


def test_every_figure_is_told_in_words(path: Path) -> None:
    with pikepdf.open(path) as pdf:
        figures = [o for o in pdf.objects if isinstance(o, pikepdf.Dictionary) and o.get("/S") == "/Figure"]
        assert len(figures) > 5
        assert all(len(str(figure.Alt)) > 20 for figure in figures)

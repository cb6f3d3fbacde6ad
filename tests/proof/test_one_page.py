"""A chart file as one page: nothing from elsewhere, marks that stay, pages to print."""

import io
import json
import re
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from pypdf import PdfReader

from svg2chart import read_artwork, read_chart, write_chart
from svg2chart.arranging.patterns import Fractions
from svg2chart.chart import Chart
from svg2chart.cli.main import main
from svg2chart.proof.page import MODULES, page_of
from tests.drawings import RED, box, chart_of, drawing, shape
from tests.proof.browsing import await_text, go_to, pixel

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

ASSETS = Path(__file__).parents[2] / "svg2chart" / "proof" / "assets"


def boat_chart(boat: Path) -> Chart:
    return chart_of(read_artwork(boat), fractions=Fractions.ALL)


@pytest.fixture
def sheet(boat: Path) -> Path:
    """Return the page of the boat's chart."""
    path = boat.with_suffix(".html")
    path.write_bytes(page_of(boat_chart(boat)))
    return path


def test_command_writes_the_page_whole_and_keeps_what_is_there(
    boat: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(boat.parent)
    write_chart(boat_chart(boat), "boat.chart.json")
    assert main(["proof", "boat.chart.json", "--page", "out/boat.html"]) == 0
    assert capsys.readouterr().out == "wrote out/boat.html\n"
    first = Path("out/boat.html").read_bytes()
    assert first == page_of(read_chart("boat.chart.json"))
    assert main(["proof", "boat.chart.json", "--page", "out/boat.html"]) == 2
    assert capsys.readouterr().err.startswith("out/boat.html: is there already.")
    assert main(["proof", "boat.chart.json", "--page", "out/boat.html", "--overwrite"]) == 0
    assert Path("out/boat.html").read_bytes() == first


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (["boat.chart.json"], "give --page OUT.html"),
        (["boat.chart.json", "--page"], "give --page OUT.html"),
        (["boat.chart.json", "--page", "a.html", "--wide", "9"], "--wide is for drawings"),
        (["boat.svg", "--page", "a.html"], "makes one page of a chart file"),
        (["--page", "boat.svg"], "name it first: svg2chart proof boat.svg --page"),
        (["--page", "boat.chart.json"], "name it first: svg2chart proof boat.chart.json --page OUT.html"),
    ],
)
def test_what_does_not_go_together_is_wrong_use(
    boat: Path,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
    arguments: list[str],
    told: str,
) -> None:
    monkeypatch.chdir(boat.parent)
    write_chart(boat_chart(boat), "boat.chart.json")
    assert main(["proof", *arguments]) == 2
    error = capsys.readouterr().err
    assert told in error
    assert error.count("\n") == 1
    assert not Path("a.html").exists()


def test_scripts_import_from_those_before_them_only() -> None:
    assert {path.stem for path in ASSETS.glob("*.js")} == set(MODULES)
    for place, name in enumerate(MODULES):
        text = (ASSETS / f"{name}.js").read_text("utf-8")
        imports = re.findall(r'^import .* from "\./(\w+)\.js";$', text, re.MULTILINE)
        assert len(imports) == text.count("\nimport ") + text.startswith("import ")
        assert set(imports) <= set(MODULES[:place])
        assert len(text.splitlines()) <= 350


def test_text_of_a_chart_cannot_end_the_script_that_holds_it() -> None:
    from dataclasses import replace

    chart = replace(
        chart_of(drawing(shape(RED, box(0, 0, 3, 3)), wide=3, high=3)), title="</script><b>@SCRIPT@ & <!--"
    )
    page = page_of(chart).decode()
    content = re.search(r'<script type="application/json" id="content">(.*?)</script>', page, re.DOTALL)
    assert content is not None
    assert json.loads(content[1])["chart"]["title"] == chart.title
    assert "<title>&lt;/script&gt;&lt;b&gt;@SCRIPT@ &amp; &lt;!--</title>" in page


def test_page_fetches_nothing_and_works_offline(page: "Page", sheet: Path) -> None:
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.context.set_offline(True)
    page.goto(sheet.as_uri())
    assert page.inner_text("#title") == "Boat"
    assert page.inner_text("#size").startswith("24 \N{MULTIPLICATION SIGN} 16 squares")
    go_to(page, 9, 12)
    assert page.inner_text("#square-words") == "full red"
    for kept in ("#settings", "#files", "input[value=drawing]", "#blend"):
        assert page.locator(kept).count() == 0
    assert [url for url in asked if not url.startswith(("file:", "data:", "blob:"))] == []
    assert not re.search(r"(?:src|href)=[\"']?https?:", sheet.read_text("utf-8"))


def test_marks_are_kept_after_the_page_is_loaded_again(page: "Page", sheet: Path, tmp_path: Path) -> None:
    page.goto(sheet.as_uri())
    for column in (10, 11, 12):
        go_to(page, 9, column)
        page.keyboard.press("Space")
    go_to(page, 1, 1)
    page.keyboard.press("Space")  # bare cloth is never to do
    count = page.inner_text("#marks-count")
    assert count.startswith("3 of ")
    page.reload()
    assert page.inner_text("#marks-count") == count
    go_to(page, 9, 11)
    page.keyboard.press("Space")
    assert page.inner_text("#marks-count").startswith("2 of ")
    page.click("#marks-back")
    assert page.inner_text("#marks-count") == count

    other = tmp_path / "other.html"
    other.write_bytes(page_of(chart_of(drawing(shape(RED, box(0, 0, 24, 16)), wide=24, high=16))))
    page.goto(other.as_uri())
    assert page.inner_text("#marks-count") == "0 of 384 squares are done"


def test_marks_are_drawn_with_the_mouse_and_look_done(page: "Page", sheet: Path) -> None:
    """A drag is faster than the pointer is seen: all squares on its way are done, none is left between."""
    page.goto(sheet.as_uri())
    box = page.locator("#chart").bounding_box()
    assert box is not None
    # the strips of numbers are 34 pixels wide; the middle of the chart is in the middle of what they leave
    x, y = (box["width"] + 34) / 2 + 12, (box["height"] + 34) / 2 + 12
    before = pixel(page, x, y)
    page.check("#marking")
    page.mouse.move(box["x"] + x, box["y"] + y)
    first = re.findall(r"\d+", page.inner_text("#square-place"))
    page.mouse.down()
    page.mouse.move(box["x"] + x + 240, box["y"] + y, steps=2)
    last = re.findall(r"\d+", page.inner_text("#square-place"))
    page.mouse.up()
    squares = int(last[1]) - int(first[1]) + 1
    assert squares > 5
    assert page.inner_text("#marks-count").startswith(f"{squares} of ")
    page.mouse.move(box["x"] + 60, box["y"] + 60)
    after = pixel(page, x, y)
    assert all(new > old + 20 for new, old in zip(after, before, strict=True) if old < 200)


def test_marks_go_to_a_file_and_back_where_the_browser_keeps_none(
    browser: "Browser", sheet: Path, tmp_path: Path
) -> None:
    context = browser.new_context()
    context.add_init_script(
        "Object.defineProperty(window, 'localStorage', { get() { throw new Error('no'); } });"
    )
    page = context.new_page()
    page.goto(sheet.as_uri())
    assert "keep the squares in a file" in page.inner_text("#marks-note")
    go_to(page, 9, 11)
    page.keyboard.press("Space")
    with page.expect_download() as saved:
        page.click("#marks-save")
    kept = tmp_path / "done.json"
    saved.value.save_as(kept)
    page.reload()
    assert page.inner_text("#marks-count").startswith("0 of ")
    page.set_input_files("#marks-read", kept)
    await_text(page, "#marks-count", "^1 of ")
    page.set_input_files("#marks-read", {"name": "other.json", "mimeType": "", "buffer": b"{}"})
    await_text(page, "#marks-note", "other.json does not hold")
    for runs in ([3], [[-1, 9]], [[0.5, 2]], None):  # what nobody's browser has written
        bad = json.dumps({**json.loads(kept.read_text("utf-8")), "runs": runs}).encode()
        page.set_input_files("#marks-read", {"name": f"{runs}.json", "mimeType": "", "buffer": bad})
        await_text(page, "#marks-note", f"^{re.escape(str(runs))}.json does not hold")
    assert page.inner_text("#marks-count").startswith("1 of ")
    context.close()


def test_pages_to_print_hold_the_key_and_every_square_once(page: "Page", tmp_path: Path) -> None:
    """A chart of 70 by 65 squares takes two pages across and two down, after the page of the key."""
    wide = tmp_path / "wide.html"
    wide.write_bytes(page_of(chart_of(drawing(shape(RED, box(0, 0, 70, 65)), wide=70, high=65))))
    page.goto(wide.as_uri())
    page.click("#print")
    page.wait_for_selector("#sheets .sheet:nth-of-type(5) img")
    heads = page.locator("#sheets .sheet h2").all_inner_texts()
    assert heads[1:] == [
        "Columns 1 to 50, rows 1 to 60",
        "Columns 51 to 70, rows 1 to 60",
        "Columns 1 to 50, rows 61 to 65",
        "Columns 51 to 70, rows 61 to 65",
    ]
    printed = PdfReader(io.BytesIO(page.pdf(format="A4", prefer_css_page_size=True)))
    texts = [sheet.extract_text() for sheet in printed.pages]
    assert len(texts) == 5
    assert "4,550" in texts[0]
    assert ("full" in texts[0], "knots" in texts[0]) == (True, False)  # what this chart has none of
    assert all(head in text for head, text in zip(heads[1:], texts[1:], strict=True))
    page.click("text=Back to the chart")
    assert page.locator("#work").is_visible()

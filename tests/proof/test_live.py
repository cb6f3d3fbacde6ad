"""The live page in a real browser: what a designer does with it."""

import http.client
import re
import subprocess
import sys
from pathlib import Path
from typing import TYPE_CHECKING
from urllib.parse import urlsplit

import pytest

from svg2chart import Extent, Grid, read_artwork, read_chart
from svg2chart.chart import StitchKind, stitch_counts
from svg2chart.cli.main import main
from svg2chart.convert import Converted, Settings, convert_and_measure
from svg2chart.proof.explain import explain_square
from tests.proof.browsing import (
    BOAT,
    ON_GRID,
    await_redraw,
    await_text,
    go_to,
    middle_square,
    opened,
    pixel,
    revision,
    save,
    served,
    violations,
)

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

TIMES = "\N{MULTIPLICATION SIGN}"


def charted(art: Path) -> Converted:
    """Return what the command makes of a drawing with ON_GRID."""
    artwork = read_artwork(art)
    return convert_and_measure(artwork, Grid.fit(artwork, square=1.0, extent=Extent.PAGE), Settings())


def test_first_load_shows_chart_and_key(page: "Page", still: tuple[Path, str]) -> None:
    art, address = still
    chart = charted(art).chart
    opened(page, address)
    assert page.title() == page.inner_text("#title") == "Boat"
    assert page.inner_text("#size") == f"24 {TIMES} 16 squares, 44 {TIMES} 29 mm on 14 count"
    names = [re.sub(r"\s+", " ", text) for text in page.locator(".thread").all_inner_texts()]
    assert names == [f"{thread.code} {thread.name}" for thread in chart.threads]
    full = [row.locator("td").first.inner_text() for row in page.locator("#key tbody tr").all()]
    counts = stitch_counts(chart)
    wanted = [counts.get((i, StitchKind.FULL), 0) for i in range(len(chart.threads))]
    assert full == [str(count) if count else "" for count in wanted]
    box = page.locator("#chart").bounding_box()
    assert box is not None
    # beside the hole in the middle of the chart: water, of a thread that is drawn a little darker
    red, green, blue = pixel(page, (box["width"] + 34) / 2 + 9, (box["height"] + 34) / 2 + 150)
    assert abs(red - 0x5D) < 30
    assert abs(green - 0x6D) < 30
    assert abs(blue - 0x7E) < 30


def test_saves_of_drawing_and_card_are_charted_and_keep_place_and_size(page: "Page", boat: Path) -> None:
    card = boat.with_name("card.csv")
    card.write_text(
        "code,name,hex\nK1,Pennant red,#c0392b\nK2,Slate,#5d6d7e\nK3,Ink,#22324f\nK4,Lamp,#f2b705\n", "utf-8"
    )
    with served(boat, *ON_GRID, "--card", str(card)) as address:
        opened(page, address)
        page.focus("#chart")
        for key in ("ArrowRight", "+", "+", "+"):
            page.keyboard.press(key)
        before, size = middle_square(page), page.inner_text("#size")
        number = revision(page)
        save(boat, BOAT.replace("#c0392b", "#f2b705").replace("Boat", "Yellow boat"))
        await_redraw(page, number)
        assert page.inner_text("#title") == "Yellow boat"
        assert "K4 Lamp" in page.inner_text("#key")
        assert (middle_square(page), page.inner_text("#size")) == (before, size)
        number = revision(page)
        assert "K2 Slate" in page.inner_text("#key")
        save(card, card.read_text("utf-8").replace("Slate", "Harbour slate"))
        await_redraw(page, number)
        assert "K2 Harbour slate" in page.inner_text("#key")
        assert (middle_square(page), page.inner_text("#size")) == (before, size)


def test_place_stays_on_the_drawing_when_the_squares_become_others(page: "Page", boat: Path) -> None:
    """Four squares in place of one: what was in the middle is at twice its row and column."""
    with served(boat, "--page", "--wide", "24", "--fit", "0") as address:
        opened(page, address)
        page.focus("#chart")
        for key in ("ArrowRight", "+", "+", "+"):
            page.keyboard.press(key)
        row, column = map(int, re.findall(r"\d+", middle_square(page)))
        number = revision(page)
        page.fill("[name=wide]", "48")
        await_redraw(page, number)
        assert page.inner_text("#size").startswith(f"48 {TIMES} 32 squares")
        page.mouse.move(5, 5)
        finer = list(map(int, re.findall(r"\d+", middle_square(page))))
        assert finer[0] in (2 * row - 1, 2 * row)
        assert finer[1] in (2 * column - 1, 2 * column)


def test_broken_save_is_told_and_the_last_good_chart_stays(page: "Page", boat: Path) -> None:
    with served(boat, *ON_GRID) as address:
        opened(page, address)
        number = revision(page)
        save(boat, BOAT[: len(BOAT) // 2])
        page.wait_for_selector("#trouble:not([hidden])")
        assert page.inner_text("#trouble").startswith(f"{boat}: ")
        assert violations(page) == []
        assert page.inner_text("#status") == "Not charted"
        assert (revision(page), page.inner_text("#title")) == (number, "Boat")
        go_to(page, 9, 12)
        await_text(page, "#square-words", "red")
        save(boat, BOAT.replace("Boat", "Mended"))
        await_redraw(page, number)
        assert page.inner_text("#title") == "Mended"
        assert page.locator("#trouble").is_hidden()


def test_squares_are_explained_from_the_real_areas(page: "Page", still: tuple[Path, str]) -> None:
    art, address = still
    artwork, made = read_artwork(art), charted(art)
    opened(page, address)
    for row, column in ((6, 4), (7, 5), (8, 5), (8, 6), (12, 11), (3, 12), (0, 0)):
        told = explain_square(made, artwork, row, column)
        go_to(page, row + 1, column + 1)
        assert page.inner_text("#square-place") == f"Row {row + 1}, column {column + 1}"
        await_text(page, "#square-words", f"^{re.escape(told.sentence)}$")
        seen = page.locator("#square-seen li").all_inner_texts()
        assert len(seen) == len(told.seen)
        for text, part in zip(seen, told.seen, strict=True):
            assert f"{part.name}, {part.area:.2f} of the square" in text
            assert (f"element {part.element}" in text) == bool(part.element)
    go_to(page, 4, 12)
    await_text(page, "#square-notes", "lines or knots here")


def test_thread_is_seen_alone_and_all_again(page: "Page", still: tuple[Path, str]) -> None:
    _, address = still
    opened(page, address)
    box = page.locator("#chart").bounding_box()
    assert box is not None
    water = ((box["width"] + 34) / 2 + 9, (box["height"] + 34) / 2 + 150)
    before = pixel(page, *water)
    red = page.locator(".thread", has_text=re.compile(r"\bred$"))
    red.click()
    assert red.get_attribute("aria-pressed") == "true"
    faded = pixel(page, *water)
    assert min(faded) > max(before)
    red.click()
    assert red.get_attribute("aria-pressed") == "false"
    assert pixel(page, *water) == before


def test_settings_are_charted_at_once_and_bad_ones_leave_the_chart(page: "Page", boat: Path) -> None:
    with served(boat, *ON_GRID) as address:
        opened(page, address)
        number = revision(page)
        assert "¾" in page.inner_text("#key thead")
        page.select_option("[name=fractions]", "none")
        await_redraw(page, number)
        assert "¾" not in page.inner_text("#key thead")
        number = revision(page)
        page.fill("[name=most_threads]", "2")
        await_redraw(page, number)
        assert page.locator(".thread").count() == 2
        number = revision(page)
        page.fill("[name=thin]", "0.1")
        await_redraw(page, number)
        assert "line" not in page.inner_text("#key thead")
        number = revision(page)
        page.fill("[name=wide]", "0")  # the browser itself refuses it
        page.fill("[name=wide]", "4096")
        page.wait_for_selector("#trouble:not([hidden])")
        assert "at most 4000000 in all" in page.inner_text("#trouble")
        assert revision(page) == number
        page.fill("[name=wide]", "24")  # as wide as the chart that is shown
        await_redraw(page, number)
        assert page.locator("#trouble").is_hidden()
        number = revision(page)
        page.fill("[name=wide]", "30")
        await_redraw(page, number)
        assert page.inner_text("#size").startswith(f"30 {TIMES} ")
        assert page.locator("#trouble").is_hidden()
        # what was set before stays
        assert page.locator(".thread").count() == 2
    page.click("#write")
    await_text(page, "#written", "^No answer: the proof has been ended")
    page.select_option("[name=fractions]", "all")
    await_text(page, "#status", "^No answer: the proof has been ended")


def test_files_are_written_where_the_command_was_told_and_nowhere_else(page: "Page", boat: Path) -> None:
    out = boat.with_name("out")
    out.mkdir()
    (out / "boat.pdf").write_bytes(b"of an earlier day")
    with served(boat, *ON_GRID, "-o", "out") as address:
        opened(page, address)
        page.click("#write")
        await_text(page, "#written", "is there already")
        (out / "boat.pdf").unlink()
        page.click("#write")
        await_text(page, "#written", "^wrote")
        first = (out / "boat.chart.json").read_bytes()
        number = revision(page)
        save(boat, BOAT.replace("Boat", "Second"))
        await_redraw(page, number)
        page.click("#write")  # over its own files
        await_text(page, "#written", "^wrote")
        assert read_chart(out / "boat.chart.json").title == "Second"
        save(boat, BOAT)
    assert sorted(path.name for path in out.iterdir()) == ["boat.chart.json", "boat.pdf"]
    assert sorted(path.name for path in boat.parent.iterdir()) == ["boat.svg", "out"]
    same = [sys.executable, "-m", "svg2chart", "chart", str(boat), *ON_GRID, "--no-pdf", "-o", "again/"]
    subprocess.run(same, check=True, cwd=boat.parent, capture_output=True)
    assert (boat.parent / "again" / "boat.chart.json").read_bytes() == first


def test_remarks_show_their_places_even_of_what_is_left_out(page: "Page", remarked: tuple[Path, str]) -> None:
    """The picture is not on the chart at all: the browser tells where it lies in the drawing."""
    _, address = remarked
    opened(page, address)
    for element, rows, columns in (
        ("photo", range(2, 5), range(3, 8)),
        ("speck", range(4, 5), range(22, 23)),
    ):
        button = page.locator("#remarks-list button", has_text=element)
        button.click()
        assert button.get_attribute("aria-pressed") == "true"
        box = page.locator("#chart").bounding_box()
        assert box is not None
        page.mouse.move(box["x"] + (box["width"] + 34) / 2, box["y"] + (box["height"] + 34) / 2)
        row, column = map(int, re.findall(r"\d+", page.inner_text("#square-place")))
        assert row in rows
        assert column in columns
        page.mouse.move(5, 5)
    assert page.locator("iframe").count() == 0


def test_drawing_runs_no_script_and_fetches_nothing(page: "Page", remarked: tuple[Path, str]) -> None:
    _, address = remarked
    stopped: dict[str, str | None] = {}
    asked: list[str] = []
    page.on("requestfailed", lambda request: stopped.update({request.url: request.failure}))
    page.on("request", lambda request: asked.append(request.url))
    opened(page, address)
    page.check("input[value=drawing]")
    page.wait_for_selector("#remarks-list li")
    assert page.title() == "Boat"
    elsewhere = [url for url in asked if not url.startswith((address, "data:"))]
    # what the policy stops never leaves the browser
    assert [url for url in elsewhere if stopped.get(url) != "csp"] == []


def test_drawing_under_the_squares_fades_into_the_chart(page: "Page", still: tuple[Path, str]) -> None:
    _, address = still
    opened(page, address)
    box = page.locator("#chart").bounding_box()
    assert box is not None
    place = ((box["width"] + 34) / 2 + 9, (box["height"] + 34) / 2 + 150)
    page.check("input[value=drawing]")
    assert pixel(page, *place) == (0x5D, 0x6D, 0x7E)
    assert page.input_value("#blend") == "0"
    page.fill("#blend", "50")
    assert page.is_checked("input[value=stitches]")
    half = pixel(page, *place)
    page.fill("#blend", "100")
    whole = pixel(page, *place)
    for mixed, drawn, stitched in zip(half, (0x5D, 0x6D, 0x7E), whole, strict=True):
        assert abs(mixed - (drawn + stitched) / 2) <= 2


def test_fingers_move_and_pinch(browser: "Browser", still: tuple[Path, str]) -> None:
    _, address = still
    context = browser.new_context(viewport={"width": 800, "height": 900}, has_touch=True)
    page = context.new_page()
    opened(page, address)
    box = page.locator("#chart").bounding_box()
    assert box is not None
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    devices = context.new_cdp_session(page)

    def touch(kind: str, *fingers: tuple[float, float]) -> None:
        points = [{"x": at[0], "y": at[1], "id": number} for number, at in enumerate(fingers)]
        devices.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})

    page.touchscreen.tap(x + 5, y + 5)
    tapped = page.inner_text("#square-place")
    assert tapped.startswith("Row ")
    touch("touchStart", (x - 40, y), (x + 40, y))
    for step in range(1, 9):
        touch("touchMove", (x - 40 - 10 * step, y), (x + 40 + 10 * step, y))
    touch("touchEnd")
    # about three times as large about the middle
    page.touchscreen.tap(x + 5, y + 5)
    assert page.inner_text("#square-place") == tapped
    edge = re.findall(r"\d+", tapped)
    page.touchscreen.tap(x + 200, y + 5)
    far = re.findall(r"\d+", page.inner_text("#square-place"))
    assert far[0] == edge[0]
    assert 0 < int(far[1]) - int(edge[1]) <= 4
    touch("touchStart", (x, y))
    touch("touchMove", (x - 100, y))
    touch("touchMove", (x - 200, y))
    touch("touchEnd")
    page.touchscreen.tap(x, y + 5)
    assert re.findall(r"\d+", page.inner_text("#square-place")) == far
    context.close()


def asked(address: str, method: str, path: str, **headers: str) -> int:
    """Return the status of a request, with a body of JSON where it changes something."""
    connection = http.client.HTTPConnection(urlsplit(address).netloc, timeout=30)
    connection.putrequest(method, path, skip_host="Host" in headers)
    for name, value in headers.items():
        connection.putheader(name.replace("_", "-"), value)
    body = b'{"fractions": "all"}' if method == "POST" else b""
    if body:
        connection.putheader("Content-Length", str(len(body)))
    connection.endheaders(body)
    status = connection.getresponse().status
    connection.close()
    return status


def test_only_this_machine_and_only_the_page_itself_are_answered(still: tuple[Path, str]) -> None:
    art, address = still
    place, path = urlsplit(address), urlsplit(address).path
    assert place.hostname == "127.0.0.1"
    own, kind = f"http://{place.netloc}", "application/json"
    assert asked(address, "GET", path) == 200
    for host in ("harbour.example", f"harbour.example:{place.port}", "127.0.0.1:1", ""):
        assert asked(address, "GET", path, Host=host) == 421
    for wrong in (
        "/",
        "/state",
        "/x" + path[1:],
        path + "../boat.svg",
        path + "drawing/..%2f..%2fboat.svg",
    ):
        assert asked(address, "GET", wrong) == 404
    for headers in (
        {"Content_Type": kind},
        {"Content_Type": kind, "Origin": "http://harbour.example"},
        {"Content_Type": kind, "Origin": "null"},
        {"Content_Type": "text/plain", "Origin": own},
    ):
        assert asked(address, "POST", f"{path}settings", **headers) == 403
        assert asked(address, "POST", f"{path}write", **headers) == 403
    assert asked(address, "POST", f"{path}settings", Content_Type=kind, Origin=own) == 200
    assert asked(address, "GET", f"{path}write") == 405
    # a call for a WebSocket is a plain request here
    assert asked(address, "GET", path, Connection="Upgrade", Upgrade="websocket") == 200
    assert sorted(file.name for file in art.parent.iterdir()) == ["boat.svg"]


def test_missing_drawing_and_taken_port_are_one_line(
    still: tuple[Path, str], capsys: pytest.CaptureFixture[str]
) -> None:
    art, address = still
    port = str(urlsplit(address).port)
    for arguments, status, told in (
        ([str(art), "--port", port], 2, f"port {port} cannot be used"),
        (["no.svg"], 1, "no.svg: the file cannot be read"),
    ):
        assert main(["proof", *arguments, "--no-open"]) == status
        captured = capsys.readouterr()
        assert captured.out == ""
        assert told in captured.err
        assert captured.err.count("\n") == 1


def test_what_is_not_installed_is_told_with_the_way_out(
    boat: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delitem(sys.modules, "svg2chart.proof.serve", raising=False)
    monkeypatch.setitem(sys.modules, "watchfiles", None)  # as if it were not there
    assert main(["proof", str(boat), "--no-open"]) == 2
    captured = capsys.readouterr()
    assert captured.err == (
        'svg2chart proof: watchfiles is not installed. Install it with: pip install "svg2chart[proof]"\n'
    )


def test_keyboard_alone_does_all(page: "Page", remarked: tuple[Path, str]) -> None:
    """Every control is reached with Tab, and used with keys."""
    _, address = remarked
    opened(page, address)
    reached: list[str] = []
    while len(reached) == len(set(reached)):  # until it begins anew
        page.keyboard.press("Tab")
        name = page.evaluate("[document.activeElement].map((e) => e.id || e.name || e.textContent.trim())[0]")
        if name == "chart":
            page.keyboard.press("ArrowRight")
            page.keyboard.press("End")
            assert page.inner_text("#square-place").endswith("column 24")
            page.keyboard.press("Shift+ArrowLeft")
            assert page.inner_text("#square-place").endswith("column 14")
        elif name == "look":
            page.keyboard.press("ArrowRight")
            assert page.is_checked("input[value=symbols]")
        elif name == "blend":
            page.keyboard.press("Home")
            assert page.is_checked("input[value=drawing]")
        elif name == "Show photo":
            page.keyboard.press("Space")
            assert page.locator("#remarks-list button[aria-pressed=true]").count() == 1
        reached.append(name)
    for control in ("look", "blend", "smaller", "larger", "whole", "chart", "wide", "fractions", "write"):
        assert control in reached

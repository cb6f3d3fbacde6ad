"""The page for everyone: the rules that axe-core checks (WCAG 2.2 A and AA among them), and its sizes."""

from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from svg2chart import read_artwork
from svg2chart.proof.page import page_of
from tests.drawings import chart_of
from tests.proof.browsing import await_text, opened, violations

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

DESK, ENLARGED, PHONE = (
    (1280, 800),
    (640, 400),
    (360, 740),
)  # at 200 % a page has half as many pixels each way
LOOKS = [("light", ENLARGED), ("dark", DESK)]  # each scheme and each size: neither changes the other


def is_within_its_width(page: "Page") -> bool:
    """Return whether nothing is cut off at the sides, here and on a phone."""
    fits = "document.documentElement.scrollWidth <= document.documentElement.clientWidth"
    here = page.evaluate(fits)
    size = page.viewport_size
    page.set_viewport_size({"width": PHONE[0], "height": PHONE[1]})
    there = page.evaluate(fits)
    page.set_viewport_size(size or {"width": DESK[0], "height": DESK[1]})
    return bool(here and there)


@pytest.fixture
def sheet(boat: Path) -> str:
    """Return the address of the boat's chart as one page."""
    path = boat.with_suffix(".html")
    path.write_bytes(page_of(chart_of(read_artwork(boat))))
    return path.as_uri()


@pytest.mark.parametrize(("scheme", "size"), LOOKS)
def test_live_page(
    browser: "Browser", remarked: tuple[Path, str], scheme: str, size: tuple[int, int]
) -> None:
    context = browser.new_context(
        color_scheme="dark" if scheme == "dark" else "light", viewport={"width": size[0], "height": size[1]}
    )
    page = context.new_page()
    opened(page, remarked[1])
    page.wait_for_selector("#remarks-list li")
    page.click(".thread >> nth=0")
    page.focus("#chart")
    page.keyboard.press("ArrowRight")
    await_text(page, "#square-words", "1.00")
    assert is_within_its_width(page)
    assert violations(page) == []
    context.close()


@pytest.mark.parametrize(("scheme", "size"), LOOKS)
def test_one_page(browser: "Browser", sheet: str, scheme: str, size: tuple[int, int]) -> None:
    context = browser.new_context(
        color_scheme="dark" if scheme == "dark" else "light", viewport={"width": size[0], "height": size[1]}
    )
    page = context.new_page()
    page.goto(sheet)
    assert is_within_its_width(page)
    assert violations(page) == []
    page.click("#print")
    page.wait_for_selector("#sheets img")
    assert violations(page) == []
    context.close()


def test_nothing_moves_by_itself_where_that_is_not_wanted(browser: "Browser", sheet: str) -> None:
    context = browser.new_context(reduced_motion="reduce")
    page = context.new_page()
    page.goto(sheet)
    moves = "(e) => getComputedStyle(e).transitionDuration !== '0s'"
    assert page.evaluate(f"[...document.querySelectorAll('*')].filter({moves}).length") == 0
    assert page.evaluate("document.getAnimations().length") == 0
    context.close()

"""One browser for all tests of the page."""

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from tests.proof.browsing import BOAT, CHROMIUM, FLAGS, ON_GRID, REMARKED, need_browser, need_proof, served

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page


@pytest.fixture(scope="session")
def browser() -> "Iterator[Browser]":
    need_browser()
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:  # which makes a new folder for each browser's own files
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        yield browser
        browser.close()


@pytest.fixture
def page(browser: "Browser") -> "Iterator[Page]":
    """Yield a page of a new profile, in which no script may fail."""
    context = browser.new_context(viewport={"width": 1280, "height": 800})
    page = context.new_page()
    failures: list[str] = []
    page.on("pageerror", lambda error: failures.append(str(error)))
    yield page
    context.close()
    assert failures == []


@pytest.fixture
def boat(tmp_path: Path) -> Path:
    art = tmp_path / "boat.svg"
    art.write_text(BOAT, "utf-8")
    return art


@pytest.fixture(scope="session")
def still(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Path, str]]:
    """Yield a boat that nobody changes, and the address of its proof."""
    yield from _served(tmp_path_factory.mktemp("still"), BOAT)


@pytest.fixture(scope="session")
def remarked(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Path, str]]:
    """Yield a drawing of which parts are left out, and the address of its proof."""
    yield from _served(tmp_path_factory.mktemp("remarked"), REMARKED)


def _served(folder: Path, text: str) -> Iterator[tuple[Path, str]]:
    need_proof()
    art = folder / "boat.svg"
    art.write_text(text, "utf-8")
    with served(art, *ON_GRID, "-o", "out/") as address:
        yield art, address

"""A served proof, a real browser, and what a designer would see there."""

import os
import re
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from playwright.sync_api import Page

REPO = Path(__file__).parents[2]
AXE = Path(os.environ.get("AXE_CORE", "/nowhere/axe.min.js"))
CHROMIUM = Path("/usr/bin/chromium")
FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--renderer-process-limit=1",
    "--in-process-gpu",
]
WAIT_MS = 60_000  # a machine that does much else is slow; nothing is measured here

# One user unit a square: slate below, a red boat with a slanted side over it, bare cloth above.
BOAT = """<svg xmlns="http://www.w3.org/2000/svg" width="24" height="16" viewBox="0 0 24 16">
  <title>Boat</title>
  <rect id="water" x="0" y="8" width="24" height="8" fill="#5d6d7e"/>
  <path id="hull" fill="#c0392b" d="M 4 6 H 20 L 14 12 H 10 Z"/>
  <path id="rope" fill="none" stroke="#22324f" stroke-width="0.3" d="M 12 1 V 6"/>
</svg>
"""

ON_GRID = ("--square", "1", "--page")

# A picture that is left out, a speck that is too small, and what would run or fetch something.
REMARKED = BOAT.replace(
    "</svg>",
    """<script>parent.document.title = "taken"; fetch("http://harbour.example/script");</script>
    <image id="far" href="http://harbour.example/far.png" width="4" height="4"/>
    <g onload="parent.document.title = 'taken'"/>
    <g id="photos" transform="translate(2 1)"><image id="photo" x="0" y="0" width="5" height="3"
    href="data:image/png;base64,iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJAAAADUlEQVR42mNk+M9QDwADhgGAWjR9awAAAABJRU5ErkJggg=="/></g>
    <rect id="speck" x="21.1" y="3.1" width="0.3" height="0.3" fill="#0a7d38"/></svg>""",
)


def needed(what: str, *, is_there: bool) -> None:
    """Skip a test that needs something, and fail where everything has to be there."""
    if not is_there and os.environ.get("CI"):
        pytest.fail(f"{what} is missing: .ci/run installs it")
    if not is_there:
        pytest.skip(f"{what} is not installed")


def need_proof() -> None:
    needed('"svg2chart[proof]"', is_there=all(map(find_spec, ("starlette", "uvicorn", "watchfiles"))))


def need_browser() -> None:
    need_proof()
    needed("Playwright for Python", is_there=find_spec("playwright") is not None)
    needed(f"{CHROMIUM} (Debian's package chromium)", is_there=CHROMIUM.exists())


@contextmanager
def served(art: Path, *options: str) -> Iterator[str]:
    """Serve the proof of a drawing and yield its address."""
    command = [sys.executable, "-m", "svg2chart", "proof", str(art), "--no-open", *options]
    environment = {**os.environ, "PYTHONPATH": str(REPO)}
    with subprocess.Popen(
        command, stdout=subprocess.PIPE, text=True, env=environment, cwd=art.parent
    ) as process:
        assert process.stdout is not None
        try:
            line = process.stdout.readline()
            found = re.search(r"http://\S+", line)
            assert found, f"no address: {line!r}"
            yield found[0]
        finally:
            process.terminate()
            process.wait(timeout=30)


def opened(page: "Page", address: str) -> None:
    """Open a proof and wait until its chart is there."""
    page.set_default_timeout(WAIT_MS)
    page.goto(address)
    page.wait_for_selector("html[data-revision]")


def save(art: Path, text: str) -> None:
    """Put a drawing in place of another as editors do: written beside it and renamed."""
    beside = art.with_suffix(".saving")
    beside.write_text(text, "utf-8")
    beside.replace(art)


def await_redraw(page: "Page", before: int) -> None:
    page.wait_for_selector(f"html:not([data-revision='{before}'])")


def await_text(page: "Page", place: str, pattern: str) -> None:
    """Wait until the text of an element has what a regular expression describes."""
    page.locator(place, has_text=re.compile(pattern)).wait_for()


def revision(page: "Page") -> int:
    return int(page.evaluate("document.documentElement.dataset.revision"))


def go_to(page: "Page", row: int, column: int) -> None:
    """Go to a square with keys, numbered as the page does, from 1."""
    page.focus("#chart")
    page.keyboard.press("ArrowRight")
    for _ in range(5):
        here = page.inner_text("#square-place")
        at_row, at_column = map(int, re.findall(r"\d+", here))
        down, right = row - at_row, column - at_column
        if not (down or right):
            return
        for key, steps in (
            ("ArrowDown", down),
            ("ArrowUp", -down),
            ("ArrowRight", right),
            ("ArrowLeft", -right),
        ):
            for _ in range(max(0, steps)):
                page.keyboard.press(key)
    raise AssertionError(f"row {row}, column {column} is not reached")


def middle_square(page: "Page") -> str:
    """Return which square lies half a square beside the middle of the canvas."""
    box = page.locator("#chart").bounding_box()
    assert box is not None
    page.mouse.move(box["x"] + box["width"] / 2 + 20, box["y"] + box["height"] / 2 + 20)
    await_text(page, "#square-place", "^Row")
    return page.inner_text("#square-place")


def pixel(page: "Page", x: float, y: float) -> tuple[int, int, int]:
    """Return the colour of a point of the canvas, in CSS pixels from its top left, once it is still."""
    script = """async ([x, y]) => {
        await new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)));
        const canvas = document.getElementById("chart");
        const ratio = canvas.width / canvas.clientWidth;
        return [...canvas.getContext("2d").getImageData(x * ratio, y * ratio, 1, 1).data];
    }"""
    red, green, blue, _ = page.evaluate(script, [x, y])
    return red, green, blue


def violations(page: "Page") -> list[str]:
    """Return what axe-core finds against all its rules, by element."""
    needed("axe-core (npm), whose axe.min.js the variable AXE_CORE names", is_there=AXE.exists())
    page.evaluate(AXE.read_text("utf-8"))
    found = page.evaluate("axe.run(document, { resultTypes: ['violations'] })")["violations"]
    return [f"{one['id']}: {node['html'][:120]}" for one in found for node in one["nodes"]]

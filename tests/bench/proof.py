"""The live page: frames while a large chart is moved, and what a redraw after a save is made of.

A real Chromium without a graphics card draws everything in software: a desk machine is faster. Frame times
are those between the browser's own animation frames; beside them stands the CPU time that the page's own
thread took for each. The redraws are of an example of ours and of outside drawings, 200 squares wide.
"""

import argparse
import json
import re
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import numpy as np
from playwright.sync_api import Page, sync_playwright

REPO = Path(__file__).parents[2]
sys.path.insert(0, str(REPO))
import svg2chart
from tests.proof.browsing import CHROMIUM, FLAGS, await_redraw, opened, revision, save, served

LARGE = "invented, large"

FRAMES = """() => {
    const times = (window.frames_ms = []);
    let last = performance.now();
    const step = (now) => {
        times.push(now - last);
        last = now;
        if (window.frames_ms === times) requestAnimationFrame(step);
    };
    requestAnimationFrame(step);
}"""


def harbour(side: int) -> str:
    """Return an invented drawing that fills side by side squares: boats, lamps and bunting on the water."""
    rng = np.random.default_rng(5)
    colours = ["#c23a32", "#2f7f9f", "#f2b632", "#22324f", "#4d8b57", "#f6dfa4", "#8b8f97", "#7a4e2d"]
    parts = [f'<rect id="sea" width="{side}" height="{side}" fill="#8cc7d1"/>']
    for number in range(side * side // 640):
        x, y = rng.uniform(0, side, 2)
        size = rng.uniform(3, 14)
        colour = colours[number % len(colours)]
        parts.append(
            f'<path id="boat-{number}" fill="{colour}" d="M {x:.2f} {y:.2f} h {size:.2f} l {-size / 4:.2f}'
            f' {size / 3:.2f} h {-size / 2:.2f} Z"/>'
        )
        if number % 3 == 0:
            parts.append(
                f'<path id="rope-{number}" fill="none" stroke="#22324f" stroke-width="0.3"'
                f' d="M {x:.2f} {y:.2f} l {size / 2:.2f} {-size:.2f} l {size / 2:.2f} {size:.2f}"/>'
            )
    head = (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{side}" height="{side}" viewBox="0 0 {side} {side}">'
    )
    return f"{head}<title>Harbour</title>{''.join(parts)}</svg>"


def frames(page: Page, what: str, act: Callable[[int], None], steps: int) -> None:
    """Do something in steps and print the frames meanwhile."""
    devices = page.context.new_cdp_session(page)
    devices.send("Performance.enable", {"timeDomain": "threadTicks"})

    def busy_s() -> float:
        metrics = devices.send("Performance.getMetrics")["metrics"]
        return float(next(metric["value"] for metric in metrics if metric["name"] == "TaskDuration"))

    before = busy_s()
    page.evaluate(FRAMES)
    for step in range(steps):
        act(step)
    page.wait_for_timeout(100)
    times = np.array(page.evaluate("window.frames_ms"))[1:]
    busy_ms = (busy_s() - before) / len(times) * 1000
    middle, high, most = np.percentile(times, [50, 95, 100])
    slow = (times > 34).mean()
    print(
        f"  {what:28} {len(times):4} frames: median {middle:5.1f} ms, 95 % {high:5.1f}, longest {most:5.1f},"
        f" over 34 ms {slow:4.0%}; CPU {busy_ms:4.1f} ms each"
    )


def moving(page: Page, look: str) -> None:
    box = page.locator("#chart").bounding_box()
    assert box is not None
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.check(f"input[value={look}]")
    page.click("#whole")
    page.mouse.move(x, y)

    def drag(step: int) -> None:
        page.mouse.move(x - 5 * step, y - 3 * step)

    frames(page, f"{look}: zoom in", lambda _: page.mouse.wheel(0, -60), 40)
    for size in ("near", "far"):
        if size == "far":
            page.click("#whole")
            for _ in range(3):
                page.click("#larger")
        page.mouse.move(x, y)
        page.mouse.down()
        frames(page, f"{look}: pan {size}", drag, 60)
        page.mouse.up()
    page.mouse.move(x, y)
    frames(page, f"{look}: zoom out", lambda _: page.mouse.wheel(0, 60), 40)


def drawings() -> Iterator[tuple[str, str, tuple[str, ...]]]:
    """Yield names, drawings and how they are charted."""
    yield LARGE, harbour(400), ("--square", "1", "--page", "--fit", "0")
    example = (REPO / "examples" / "harbour-festival.svg").read_text("utf-8")
    yield "example", example, ("--wide", "200")
    outside = REPO.parent / "shared" / "data" / "art-open" / "tests"
    for path in sorted(outside.glob("*/couch-and-lamp.svg")) + sorted(outside.glob("*/japanese-dolls.svg")):
        yield f"outside, {path.stem}", path.read_text("utf-8"), ("--wide", "200")


def redraws(page: Page, art: Path, times: int) -> None:
    """Save so often and print how long it takes until the page shows the chart."""
    text = art.read_text("utf-8")
    rows = []
    for number in range(times):
        before = revision(page)
        start = time.perf_counter()
        save(art, f"{text}<!-- {number} -->")
        await_redraw(page, before)
        whole = time.perf_counter() - start
        state = json.loads(page.evaluate("fetch('state').then((answer) => answer.text())"))
        rows.append((whole, state["seconds"]["reading"], state["seconds"]["charting"]))
    whole, reading, charting = np.median(rows, axis=0)
    rest = whole - reading - charting
    print(
        f"  median of {times}: {whole:.2f} s from save to picture: reading {reading:.2f},"
        f" charting {charting:.2f}, noticing, sending and drawing {rest:.2f}"
        f" ({(reading + charting) / whole:.0%} is reading and charting)"
    )


def cpu(art: Path, times: int) -> None:
    """Print the CPU time of reading and charting, which other work on the machine does not lengthen."""
    rows = []
    for _ in range(times):
        start = time.process_time()
        artwork = svg2chart.read_artwork(art)
        read = time.process_time()
        svg2chart.convert(artwork, svg2chart.Grid.fit(artwork, wide=200))
        rows.append((read - start, time.process_time() - read))
    reading, charting = np.median(rows, axis=0)
    print(f"  CPU: reading {reading:.2f} s, charting {charting:.2f} s")


def main() -> None:
    """Print both."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--times", type=int, default=7, help="redraws to take the median of (7)")
    times = parser.parse_args().times
    with sync_playwright() as playwright, tempfile.TemporaryDirectory() as folder:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        print(f"Chromium {re.sub(' .*', '', browser.version)}, in software, 1280 by 800 pixels")
        art = Path(folder) / "harbour.svg"
        for name, text, options in drawings():
            art.write_text(text, "utf-8")
            page = browser.new_page(viewport={"width": 1280, "height": 800})
            with served(art, *options) as address:
                opened(page, address)
                print(f"{name}: {page.inner_text('#size')}, {len(text) / 1e3:.0f} kB")
                if name == LARGE:
                    for look in ("stitches", "symbols", "drawing"):
                        moving(page, look)
                else:
                    redraws(page, art, times)
                    cpu(art, times)
            page.close()
        browser.close()


if __name__ == "__main__":
    main()

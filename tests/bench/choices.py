"""What the choices of a chart come to on outside drawings: by hand and back, calm, few threads."""

import sys
import time
from itertools import combinations
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[2]))

from svg2chart.calm import CALM_COST
from svg2chart.chart import Chart, Stitch, StitchKind, Thread
from svg2chart.chartdrawing import draw_chart
from svg2chart.colour import Colour
from svg2chart.convert import Settings, convert_and_measure
from svg2chart.grid import Extent, Grid
from svg2chart.merging import choose_most, differences
from svg2chart.svg.read import parse_artwork, read_artwork
from tests import outside

WIDE = 60
SIDE = 200
PALETTES, COLOURS, THREADS = 200, 12, 4


def again(chart: Chart) -> Chart:
    """Return the chart that its own drawing gives."""
    artwork = parse_artwork(draw_chart(chart))
    grid = Grid.fit(artwork, square=1.0, extent=Extent.PAGE)
    return convert_and_measure(artwork, grid, Settings()).chart


def outside_drawings() -> None:
    """Print how many charts come back from their drawings, and what calm merges and costs."""
    same, merged, before, after, alike, files = 0, 0, 0.0, 0.0, 0, 0
    for picture in outside.pictures("art-open"):
        artwork = read_artwork(picture.path)
        grid = Grid.fit(artwork, wide=WIDE)
        plain = convert_and_measure(artwork, grid, Settings())
        calm = convert_and_measure(artwork, grid, Settings(calm=CALM_COST))
        back = again(plain.chart)
        lines = set(back.backstitch) == set(plain.chart.backstitch)
        squares = all(
            set(back.arrangement_at(r, c)) == set(plain.chart.arrangement_at(r, c))
            for r in range(back.rows)
            for c in range(back.columns)
        )
        same += squares and lines and back.threads == plain.chart.threads and back.knots == plain.chart.knots
        merged += sum(remark.what.startswith("lone stitch") for remark in calm.chart.remarks)
        alike += any("nobody can tell" in remark.what for remark in plain.chart.remarks)
        before, after, files = before + plain.energy.total, after + calm.energy.total, files + 1
    print(f"{files} drawings {WIDE} squares wide")
    print(f"  drawn as SVG and charted again: {same} the same")
    print(f"  with colours that nobody can tell apart: {alike}")
    print(f"  lone stitches merged by calm: {merged}; energy of all {before:.1f} before, {after:.1f} after")


def few_threads() -> None:
    """Print how near the chosen threads come to the very least loss, found by trying every choice."""
    random = np.random.default_rng(1)
    excess = []
    for _ in range(PALETTES):
        colours = [Colour(*rgb) for rgb in random.integers(0, 256, (COLOURS, 3)) / 255]
        areas = random.integers(1, 500, COLOURS).astype(float)
        loss = differences(colours, colours) * areas[:, None]
        chosen = choose_most(colours, list(areas), THREADS)
        ours = loss[:, [colours.index(colour) for colour in chosen]].min(axis=1).sum()
        least = min(loss[:, some].min(axis=1).sum() for some in combinations(range(COLOURS), THREADS))
        excess.append(ours / least - 1)
    found = sum(part < 1e-9 for part in excess)
    print(f"{THREADS} threads of {COLOURS} colours, {PALETTES} random palettes")
    print(f"  the very least loss in {found}; the worst is {max(excess):.1%} above it")


def large_drawing() -> None:
    """Print how long a chart of SIDE by SIDE full stitches takes to draw, read and chart again."""
    random = np.random.default_rng(1)
    threads = tuple(
        Thread(
            letter=chr(65 + i), code=str(i), name="", colour=f"#{12 * i:02x}{255 - 12 * i:02x}40", symbol=""
        )
        for i in range(20)
    )
    chart = Chart(
        threads=threads,
        arrangements=((), *((Stitch(kind=StitchKind.FULL, thread=i),) for i in range(20))),
        squares=random.integers(1, 21, (SIDE, SIDE)).astype(np.int32),
    )
    times = [time.process_time()]
    data = draw_chart(chart)
    times.append(time.process_time())
    artwork = parse_artwork(data)
    times.append(time.process_time())
    convert_and_measure(artwork, Grid.fit(artwork, square=1.0, extent=Extent.PAGE), Settings())
    times.append(time.process_time())
    drawn, read, charted = np.diff(times)
    print(f"{SIDE} by {SIDE} full stitches, {len(data) / 1e6:.1f} MB: CPU seconds, relative to reading")
    print(f"  reading {read:.1f} s; drawing {drawn / read:.2f}, charting {charted / read:.2f} of it")


if __name__ == "__main__":
    outside_drawings()
    few_threads()
    large_drawing()

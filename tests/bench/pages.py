"""What the printed pages cost: time beside bare pages of symbols, bytes, memory, and the same bytes twice.

    pages.py            200 x 200 squares with 60 threads, tagged and layered

Bare pages are what any program needs at least: a font of the same symbols, one string a row, and the lines of
the grid, for the same pages, written with reportlab. Beside them stand our chart pages (fractions, overlap,
backstitch, tints, layers, tags, links) and the whole document without the order of work, which is a part of
the chart and not of its pages.
"""

import argparse
import hashlib
import io
import subprocess
import sys
import time
from collections.abc import Callable, Sequence
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

import numpy as np

from svg2chart.chart import Backstitch, Chart, Corner, Stitch, StitchKind
from svg2chart.guiding.order import plan_work
from svg2chart.guiding.telling import ToldBlock, tell_work
from svg2chart.pages.charting import chart_pages, grounds
from svg2chart.pages.draw import draw_pages
from svg2chart.pages.edition import Edition
from svg2chart.pages.letters import symbol_font
from svg2chart.pages.plan import BOTH, ChartPlan, plan_chart
from svg2chart.pages.write import chart_symbols
from tests.pages.samples import threads

SIDE, THREADS, FRACTIONS, LINES = 200, 60, 2000, 600
RUNS = 10
MM = 72 / 25.4


def sample() -> Chart:
    """Return blocks of 60 threads with 2000 shared squares and 600 backstitches."""
    rng = np.random.default_rng(7)
    patches = rng.integers(1, THREADS + 1, (SIDE // 4, SIDE // 4))
    squares = np.kron(patches, np.ones((4, 4), dtype=np.int64)).astype(np.int32)
    arrangements: list[tuple[Stitch, ...]] = [()]
    arrangements += [(Stitch(kind=StitchKind.FULL, thread=n),) for n in range(THREADS)]
    corners = list(Corner)
    for n in range(100):
        corner, upper = corners[n % 4], n % THREADS
        three = Stitch(kind=StitchKind.THREE_QUARTER, thread=upper, corner=corner)
        quarter = Stitch(kind=StitchKind.QUARTER, thread=(upper + 7) % THREADS, corner=corner.opposite)
        arrangements.append((three, quarter))
    places = rng.choice(SIDE * SIDE, FRACTIONS, replace=False)
    squares.ravel()[places] = rng.integers(THREADS + 1, len(arrangements), FRACTIONS)
    starts = rng.integers(0, SIDE - 1, (LINES, 2)).tolist()
    lines = tuple(
        Backstitch(thread=i % 6, start=(x, y), end=(x + 1, y + i % 2)) for i, (x, y) in enumerate(starts)
    )
    return Chart(
        title="Sixty threads",
        threads=threads(THREADS),
        arrangements=tuple(arrangements),
        squares=squares,
        backstitch=lines,
    )


def bare_pages(chart: Chart, plan: ChartPlan, sets: int) -> bytes:
    """Return the symbols of full squares and the grid, page by page, with reportlab."""
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont
    from reportlab.pdfgen.canvas import Canvas

    pdfmetrics.registerFont(TTFont("bare", io.BytesIO(symbol_font(chart_symbols(chart)))))
    letters = [chart.threads[a[0].thread].letter if a else " " for a in chart.arrangements]
    written = io.BytesIO()
    canvas = Canvas(written, pagesize=(210 * MM, 279.4 * MM), invariant=1, pageCompression=1)
    side = plan.square_mm * MM
    for _ in range(sets):
        for window in plan.windows:
            wide = (window.end_column - window.first_column) * side
            high = (window.end_row - window.first_row) * side
            left, top = 40.0, 700.0
            canvas.setFont("bare", side)
            for i, row in enumerate(range(window.first_row, window.end_row)):
                line = chart.squares[row, window.first_column : window.end_column].tolist()
                canvas.drawString(left, top - (i + 1) * side, "".join(letters[index] for index in line))
            canvas.grid(
                [left + i * side for i in range(round(wide / side) + 1)],
                [top - i * side for i in range(round(high / side) + 1)],
            )
            canvas.showPage()
    canvas.save()
    return written.getvalue()


def our_pages(chart: Chart, plan: ChartPlan) -> bytes:
    """Return our chart pages, laid out and written."""
    edition = Edition()
    pages = chart_pages(chart, plan, edition, grounds=grounds(chart))
    return draw_pages(pages, title=chart.title, paper=BOTH, symbols=chart_symbols(chart))


def whole_document(chart: Chart, told: Sequence[ToldBlock]) -> bytes:
    """Return every page but those of the order of work, which are measured with the guide.

    The chart in words tells the lines that these blocks do not.
    """
    from svg2chart.pages.charting import map_page
    from svg2chart.pages.contents import list_chapters
    from svg2chart.pages.cover import cover_page
    from svg2chart.pages.howto import howto_pages
    from svg2chart.pages.worded import worded_pages
    from svg2chart.pages.working import working_pages

    edition, plan = Edition(), plan_chart(chart, Edition().style)
    pages = [
        *howto_pages(chart, plan, edition),
        *working_pages(chart, edition),
        *map_page(chart, plan, edition),
        *chart_pages(chart, plan, edition, grounds=grounds(chart)),
        *worded_pages(chart, told, edition),
    ]
    pages.insert(0, cover_page(chart, edition, list_chapters(pages, first=2)))
    return draw_pages(pages, title=chart.title, paper=BOTH, symbols=chart_symbols(chart))


def fastest(*works: Callable[[], bytes]) -> list[tuple[float, bytes]]:
    """Return for each work the least CPU time of some runs, in seconds, and what was made.

    They take turns, so that what else the machine does falls on all of them.
    """
    made = [work() for work in works]
    times: list[list[float]] = [[] for _ in works]
    for _ in range(RUNS):
        for work, taken in zip(works, times, strict=True):
            start = time.process_time()
            work()
            taken.append(time.process_time() - start)
    return [(min(taken), result) for taken, result in zip(times, made, strict=True)]


def memory_mb() -> float:
    """Return the most memory that this process had; what `getrusage` tells begins with its parent's."""
    status = Path("/proc/self/status").read_text()
    return int(next(line.split()[1] for line in status.splitlines() if line.startswith("VmHWM"))) / 1024


def main() -> None:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--once", action="store_true", help="make our chart pages once: bytes and memory")
    options = parser.parse_args()
    chart = sample()
    plan = plan_chart(chart, Edition().style)
    if options.once:
        before = memory_mb()
        made = our_pages(chart, plan)
        print(
            hashlib.sha256(made).hexdigest(), f"{memory_mb():.0f} MB, of them {before:.0f} before the pages"
        )
        return
    sets, told = len(grounds(chart)), tell_work(chart, plan_work(chart))
    (bare, _), (ours, made), (whole, document) = fastest(
        lambda: bare_pages(chart, plan, sets),
        lambda: our_pages(chart, plan),
        lambda: whole_document(chart, told),
    )
    print(f"{len(plan.windows)} pages in {sets} sets, squares of {plan.square_mm} mm")
    print(f"chart pages: {ours / bare:.2f} times the bare pages, {len(made) / 1000:.0f} kB")
    print(f"all pages without the order of work: {whole / bare:.2f} times, {len(document) / 1000:.0f} kB")
    print(f"same bytes twice: {our_pages(chart, plan) == made}")
    runs = [
        subprocess.run(
            [sys.executable, __file__, "--once"], capture_output=True, text=True, check=True
        ).stdout
        for _ in range(2)
    ]
    same = {run.split()[0] for run in runs} == {hashlib.sha256(made).hexdigest()}
    print(f"same bytes in two more processes: {same}; {' '.join(runs[0].split()[1:])}")


if __name__ == "__main__":
    main()

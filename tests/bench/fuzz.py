"""Feeds damaged drawings or chart files to svg2chart, led by the code that they reach; keeps what goes wrong.

A chart or a ChartError is right. Any other exception, more than 20 seconds or more than a gibibyte for a file
under 100 kB is kept in FOLDER, once for each place in the code, with the input that caused it. The search is
libFuzzer's (atheris); the inputs that it found to reach new code stay in FOLDER/corpus and are where the next
run begins.

    python -m venv /tmp/fuzz && /tmp/fuzz/bin/pip install atheris .
    /tmp/fuzz/bin/python tests/bench/fuzz.py drawings FOLDER --minutes 30
"""

import argparse
import re
import resource
import signal
import sys
import time
import traceback
from collections import Counter
from collections.abc import Callable
from pathlib import Path
from types import FrameType

import atheris

REPO = Path(__file__).parents[2]
sys.path.insert(0, str(REPO))

with atheris.instrument_imports(include=["svg2chart"]):
    from svg2chart.chartfile import chart_bytes, parse_chart
    from svg2chart.convert import convert
    from svg2chart.errors import ChartError
    from svg2chart.grid import Grid
    from svg2chart.svg.read import parse_artwork

DATA = REPO.parents[1] / "shared" / "data"
WIDE = 20  # squares: most of the code is reached on small charts too, and more inputs are tried
MOST_BYTES = 100_000  # of an input
MOST_SEED_BYTES = 20_000
MOST_SECONDS = 20
MOST_MEMORY = 2**30  # bytes, more than before the input: what is instrumented leaks 0.3 MB an input
NUMBER = re.compile(rb"[-+]?[0-9]*\.?[0-9]+(?:[eE][-+]?[0-9]+)?")
TROUBLE = (
    b"0 -1 1 2 100 1e9 -1e9 1e20 1e-20 1e308 -1e308 1e-300 5e-324 NaN inf -inf 1e999 .5 100% 3em 1e9mm"
    b" 4294967296 -2147483649 0.0000001 99999999999999999999"
).split()
PIECES = (
    b'transform="matrix(0 0 0 0 0 0)"',
    b'transform="rotate(45)scale(1e9)"',
    b'stroke="red"',
    b'stroke-width="1e9"',
    b'stroke-dasharray="1e-9"',
    b'stroke-linejoin="round"',
    b'opacity=".5"',
    b'style="mix-blend-mode:multiply"',
    b'fill-rule="evenodd"',
    b'viewBox="0 0 1e-9 1e9"',
    b'preserveAspectRatio="xMinYMax slice"',
    b'data-stitch="backstitch"',
    b'data-stitch="full"',
    b'data-stitch="knot"',
    b'<use href="#a"/>',
    b'<g id="a">',
    b"</g>",
    b"<text>Lamp</text>",
    b'<circle r="5"/>',
    b'<path d="M0 0C9 9 9-9 0 0Z"/>',
    b"<style>*{fill:url(#a) red}</style>",
    b'clip-path="url(#a)"',
    b'mask="url(#a)"',
    b'marker-mid="url(#a)"',
    b'fill="url(#a)"',
    b'{"stitch": "full", "thread": 0}',
    b"[1, 0]",
    b'"thread": 99',
    b"null",
    b"1e5",
)


class TooSlowError(BaseException):
    """An input took too long; no handler of ours catches it."""


def chart_drawing(data: bytes) -> None:
    """Chart a drawing, and read the chart back."""
    artwork = parse_artwork(data)
    key = artwork.key
    grid = Grid.fit(artwork, square=key.square) if key else Grid.fit(artwork, wide=WIDE)
    chart = convert(artwork, grid)
    if parse_chart(chart_bytes(chart)) != chart:
        raise AssertionError("the chart file gives another chart back")


def read_chart_file(data: bytes) -> None:
    """Read a chart file, write it and read it back."""
    chart = parse_chart(data)
    if parse_chart(chart_bytes(chart)) != chart:
        raise AssertionError("the chart file gives another chart back")


def drawings() -> list[bytes]:
    """Return the drawings to begin with, small ones first."""
    folders = [REPO / "examples", DATA / "art-open", DATA / "editor-samples", DATA / "svg-suite"]
    found = [path.read_bytes() for folder in folders for path in sorted(folder.rglob("*.svg"))]
    return sorted((data for data in found if len(data) <= MOST_SEED_BYTES), key=len)


def chart_files() -> list[bytes]:
    """Return the chart files to begin with: charts of small drawings."""
    files = []
    for data in drawings()[::12]:
        try:
            artwork = parse_artwork(data)
            files.append(chart_bytes(convert(artwork, Grid.fit(artwork, wide=8))))
        except ChartError:
            continue
    return files


class Keeper:
    """Runs one input after the other and keeps those that go wrong."""

    def __init__(self, work: Callable[[bytes], None], folder: Path) -> None:
        self._work = work
        self._folder = folder
        self.counts: Counter[str] = Counter()
        self.found: dict[str, int] = {}
        self.slowest = 0.0
        self._began = time.monotonic()

    def run(self, data: bytes) -> None:
        """Run one input."""
        if len(data) > MOST_BYTES:
            return
        start = time.monotonic()
        _limit_memory(MOST_MEMORY)
        signal.setitimer(signal.ITIMER_REAL, MOST_SECONDS)
        try:
            self._work(data)
            self.counts["charts"] += 1
        except ChartError:
            self.counts["errors"] += 1
        except (Exception, TooSlowError) as error:
            self._keep(error, data)
        finally:
            signal.setitimer(signal.ITIMER_REAL, 0)
            _limit_memory(None)
        self.slowest = max(self.slowest, time.monotonic() - start)
        if sum(self.counts.values()) % 100 == 0:
            self.report()

    def _keep(self, error: BaseException, data: bytes) -> None:
        frames = traceback.extract_tb(error.__traceback__)
        ours = [frame for frame in frames if "svg2chart/" in frame.filename] or frames
        name = f"{type(error).__name__}-{Path(ours[-1].filename).stem}-{ours[-1].lineno}"
        self.found[name] = self.found.get(name, 0) + 1
        self.counts["kept"] += 1
        if self.found[name] == 1:
            (self._folder / f"{name}.input").write_bytes(data)
            text = "".join(traceback.format_exception(error))
            (self._folder / f"{name}.txt").write_text(text, "utf-8")
            print("FOUND", name, flush=True)

    def report(self) -> None:
        """Print what was done so far."""
        minutes = (time.monotonic() - self._began) / 60
        peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
        told = ", ".join(f"{number} {what}" for what, number in sorted(self.counts.items()))
        print(
            f"{minutes:.1f} min: {told or 'nothing'}; slowest {self.slowest:.1f} s; peak {peak:.0f} MiB;"
            f" found {self.found}",
            flush=True,
        )


def _limit_memory(more: int | None) -> None:
    """Let the process grow by so many bytes from here, or as it likes."""
    most = resource.RLIM_INFINITY
    if more is not None:
        pages = int(Path("/proc/self/statm").read_text("ascii").split()[0])
        most = pages * resource.getpagesize() + more
    resource.setrlimit(resource.RLIMIT_AS, (most, resource.RLIM_INFINITY))


def mutated(data: bytes, most: int, seed: int) -> bytes:
    """Return an input changed: bytes as libFuzzer likes, or numbers, elements and attributes."""
    kind, place = seed % 4, seed // 4
    numbers = list(NUMBER.finditer(data)) if kind == 1 else []
    if numbers:
        number = numbers[place % len(numbers)]
        put = TROUBLE[place // len(numbers) % len(TROUBLE)]
        return (data[: number.start()] + put + data[number.end() :])[:most]
    spaces = [m.start() for m in re.finditer(rb"[ >\[,]", data)] if kind in (2, 3) else []
    if spaces and kind == 2:
        at = spaces[place % len(spaces)]
        return (data[:at] + b" " + PIECES[place // len(spaces) % len(PIECES)] + b" " + data[at:])[:most]
    if spaces:  # a piece of the file moved to another place of it
        at, start = spaces[place % len(spaces)], spaces[place // 7 % len(spaces)]
        return (data[:at] + data[start : start + 20 + place % 200] + data[at:])[:most]
    return atheris.Mutate(data, most)


def main() -> None:
    """Search for the time that is asked for."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("what", choices=["drawings", "charts"])
    parser.add_argument("folder", type=Path)
    parser.add_argument("--minutes", type=float, default=30)
    options = parser.parse_args()
    corpus = options.folder / "corpus"
    corpus.mkdir(parents=True, exist_ok=True)
    work, seeds = (
        (chart_drawing, drawings()) if options.what == "drawings" else (read_chart_file, chart_files())
    )
    for index, seed in enumerate(seeds):
        (corpus / f"seed-{index:04}").write_bytes(seed)
    keeper = Keeper(work, options.folder)

    def too_slow(_signal: int, _frame: FrameType | None) -> None:
        raise TooSlowError(f"more than {MOST_SECONDS} s")

    signal.signal(signal.SIGALRM, too_slow)
    arguments = [
        sys.argv[0],
        str(corpus),
        f"-max_total_time={options.minutes * 60:.0f}",
        f"-max_len={MOST_BYTES}",
        "-timeout=120",  # only for what does not come back from C
        "-rss_limit_mb=0",  # the limit above is on each input
        f"-artifact_prefix={options.folder}/",
    ]
    atheris.Setup(arguments, keeper.run, custom_mutator=mutated, internal_libfuzzer=True)
    try:
        atheris.Fuzz()
    finally:
        keeper.report()


if __name__ == "__main__":
    main()

"""Charts 1,000 drawings (the open ones under more names); prints rates and CPU time, beside svgelements.

One run for each row: with one worker and with two, with and without pages, once more where all stands. CPU
time is that of all processes. Rates are on the clock, so that nothing else should be running.
"""

import argparse
import io
import os
import resource
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import svgelements

REPO = Path(__file__).parents[2]
sys.path.insert(0, str(REPO))

from tests import outside

WIDE = 80


def fill(folder: Path, number: int) -> list[Path]:
    """Write so many drawings."""
    sources = [picture.path for picture in outside.pictures("art-open")]
    paths = []
    for index in range(number):
        source = sources[index % len(sources)]
        path = folder / f"{index // 100:02}" / f"{index:04}-{source.name}"
        path.parent.mkdir(parents=True, exist_ok=True)
        shutil.copy(source, path)
        paths.append(path)
    return paths


def cpu_of_children() -> float:
    """Return the CPU seconds of all processes that have ended."""
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def library(folder: Path, out: Path, *options: str) -> tuple[float, float]:
    """Run the command and return seconds on the clock and CPU seconds."""
    command = [sys.executable, "-m", "svg2chart", "library", str(folder), "-o", str(out), *options]
    clock, spent = time.perf_counter(), cpu_of_children()
    done = subprocess.run(command, capture_output=True, text=True, check=False, env={**os.environ})
    if not done.stdout:
        raise SystemExit(done.stderr)
    return time.perf_counter() - clock, cpu_of_children() - spent


def main() -> None:
    """Run all and print a table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--number", type=int, default=1000)
    parser.add_argument("--no-pages", action="store_true", help="chart files only: a tenth of the time")
    options = parser.parse_args()
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place, "in")
        paths = fill(folder, options.number)
        start = time.process_time()
        for path in paths:
            svgelements.SVG.parse(io.BytesIO(path.read_bytes()))
        peer = (time.process_time() - start) / options.number
        print(f"{options.number} drawings, {WIDE} squares wide; svgelements: {peer * 1e3:.1f} ms CPU a file")
        for pages in ("--no-pdf",) if options.no_pages else ("--no-pdf", ""):
            size = ["--wide", str(WIDE), *filter(None, [pages])]
            seconds = {}
            for workers in (1, 2):
                out = Path(place, f"out{workers}{pages}")
                clock, spent = library(folder, out, *size, "--workers", str(workers))
                seconds[workers] = clock
                _tell(
                    f"{'no pages' if pages else 'pages'}, {workers} workers",
                    clock,
                    spent,
                    peer,
                    options.number,
                )
            clock, spent = library(folder, out, *size, "--workers", "2")
            _tell("the same again, all stands", clock, spent, peer, options.number)
            print(f"2 workers {seconds[1] / seconds[2]:.2f} times 1 worker, again {seconds[1] / clock:.0f}")


def _tell(what: str, clock: float, spent: float, peer: float, number: int) -> None:
    each = spent / number
    print(
        f"{what:28} {number / clock:7.2f} files a second, {each * 1e3:7.1f} ms CPU a file,"
        f" {each / peer:6.1f} times svgelements",
        flush=True,
    )


if __name__ == "__main__":
    main()

"""The command `library`: a folder of drawings to a folder of charts, with a table and a contact sheet."""

import argparse
import json
import os
import sys
import time
from collections import Counter
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import svg2chart
from svg2chart.cli import options as shared
from svg2chart.cli.inputs import folder_at
from svg2chart.cli.outputs import write_outputs
from svg2chart.cli.pdf import add_pdf_options, check_pdf_options, edition_of, paper_of
from svg2chart.cli.progress import Progress, tell_progress
from svg2chart.cli.report import failure_line, print_json_failure
from svg2chart.cli.squares import add_size, add_stitching, fonts_of, request_of
from svg2chart.cli.version import version
from svg2chart.errors import ChartError
from svg2chart.files import PDF_ENDING, held, sweep
from svg2chart.library.crew import Crew, Workers
from svg2chart.library.drawings import Found, find_drawings
from svg2chart.library.keeper import Allowed
from svg2chart.library.rows import Row, State, table
from svg2chart.library.run import Run
from svg2chart.library.sheet import MOST_SHEETS, draw_sheet, is_sheet_of, sheet_stem, sheets_of
from svg2chart.library.work import Wanted

if TYPE_CHECKING:
    from svg2chart.pages.plan import Paper

MOST_WORKERS = 1024
MOST_SECONDS = 86_400.0
LEAST_MIB, MOST_MIB = 64, 2**20
SECONDS = 300.0  # most drawings take one or two; a chart of the largest grid takes minutes
MEBIBYTES = 2048
TABLE = "library.csv"
ALL_DONE, SOME_FAILED = 0, 1


def add_options(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    parser.add_argument("source", metavar="FOLDER", help="the folder of drawings, with the folders in it")
    parser.add_argument(
        "-o",
        "--output",
        metavar="OUT",
        required=True,
        help=f"the folder for the charts, in the same tree, {TABLE} and the contact sheet library.pdf",
    )
    parser.add_argument(
        "--overwrite", action="store_true", help="make all again, also what stands and what is in the way"
    )
    add_size(parser)
    add_stitching(parser)
    add_pdf_options(parser)
    shared.add_picture(parser)
    parser.add_argument("--no-pdf", action="store_true", help="write chart files only, and the contact sheet")
    parser.add_argument("--strict", action="store_true", help="a drawing with any remark fails")
    _add_crew(parser)
    shared.add_report(parser)


def _add_crew(parser: argparse.ArgumentParser) -> None:
    """Add who does the work, and what one file may take."""
    one = parser.add_mutually_exclusive_group()
    one.add_argument(
        "--workers",
        metavar="N",
        type=shared.whole_number(1, MOST_WORKERS),
        help="how many files are worked on at once (one for each core)",
    )
    one.add_argument(
        "--scheduler",
        metavar="ADDRESS",
        help="work on the Dask cluster of this scheduler, such as tcp://127.0.0.1:8786",
    )
    parser.add_argument(
        "--seconds-per-file",
        metavar="S",
        type=shared.length_up_to(MOST_SECONDS),
        default=SECONDS,
        help=f"end a file that takes longer than S seconds ({SECONDS:g})",
    )
    parser.add_argument(
        "--megabytes-per-file",
        metavar="M",
        type=shared.whole_number(LEAST_MIB, MOST_MIB),
        default=MEBIBYTES,
        help=f"end a file that takes more than M MiB of memory ({MEBIBYTES}); not everywhere",
    )


def run(options: argparse.Namespace) -> int:
    """Make the charts, the table and the contact sheets, and report."""
    try:
        return _run(options)
    except (ChartError, shared.UseError) as error:
        if options.report == "json":
            print_json_failure(failure_line(error, options.source), [])
        raise


def _run(options: argparse.Namespace) -> int:
    shared.check_fabric(options)
    check_pdf_options(options)
    folder, results = folder_at(options.source), Path(options.output)
    wanted = _wanted(options)
    _make_folder(results)
    with held(results) as is_ours:
        if not is_ours:
            raise shared.UseError(f"{results}: a library is being made there now. Wait, or give another -o.")
        sweep(results)
        tell_progress("looking for drawings")
        found = find_drawings(folder, results=results, reserved=map(sheet_stem, range(MOST_SHEETS)))
        _tell_passed_over(found, options.source)
        rows = _rows(folder, results, found, wanted, options)
        made = _write_overview(rows, results, title=folder.resolve().name, paper=paper_of(options))
    tell_progress("")
    return _report(rows, made, options)


def _wanted(options: argparse.Namespace) -> Wanted:
    request = request_of(options)
    fonts_of(request)  # what is wrong with those that are named is told once, before any work
    return Wanted(
        request=request,
        paper=None if options.no_pdf else paper_of(options),
        edition=edition_of(options),
        has_pictures=options.picture,
        is_strict=options.strict,
        version=version(),
        fonts_found=svg2chart.find_system_fonts(),
    )


def _make_folder(results: Path) -> None:
    try:
        results.mkdir(parents=True, exist_ok=True)
        if not os.access(results, os.W_OK | os.X_OK):
            raise PermissionError(13, "Permission denied")
    except OSError as error:
        what = f"cannot be written: {error.strerror}"
        if isinstance(error, FileExistsError):
            what = "is in the way, a folder is needed there"
        raise shared.UseError(f"{results}: {what}. Give another -o.") from error


def _tell_passed_over(found: Found, source: str) -> None:
    for name, why in found.passed_over:
        tell_progress("")
        print(shared.one_line(f"{source}: {name}: {why}"), file=sys.stderr)


def _rows(
    folder: Path, results: Path, found: Found, wanted: Wanted, options: argparse.Namespace
) -> Sequence[Row]:
    """Go through the drawings and return their rows; what is done is told even where it is broken off."""
    progress = Progress(len(found.drawings), time.monotonic)

    def tell(row: Row) -> None:
        why = f": {row.why}" if row.why else ""
        progress.tell(
            shared.one_line(f"{row.name}: {row.state.value}{why}"),
            is_loud=row.state is State.FAILED,
            is_work=row.state is not State.KEPT,
        )

    library = Run(
        folder=folder,
        results=results,
        drawings=found.drawings,
        wanted=wanted,
        overwrite=options.overwrite,
        on_row=tell,
    )
    try:
        library.with_crew(_crew(options), check=options.scheduler is not None)
    except (KeyboardInterrupt, ChartError):
        write_outputs([(results / TABLE, table(library.rows))])
        tell_progress("")
        done = sum(row.state is not State.NOT_REACHED for row in library.rows)
        what = f"{done} of {len(library.rows)} drawings are done; the same command goes on with the others"
        print(what, file=sys.stderr)
        raise
    return library.rows


def _crew(options: argparse.Namespace) -> Callable[[], Crew]:
    allowed = Allowed(seconds=options.seconds_per_file, memory=options.megabytes_per_file * 2**20)

    def start() -> Crew:
        if options.scheduler is None:
            return Workers(options.workers or len(os.sched_getaffinity(0)), allowed, time.monotonic)
        from svg2chart.library.cluster import Cluster  # of the optional packages of svg2chart[cluster]

        return Cluster(options.scheduler, allowed, time.monotonic)

    return start


def _write_overview(rows: Sequence[Row], results: Path, *, title: str, paper: "Paper") -> list[Path]:
    """Write the table and those contact sheets that are not there yet, and return where they are."""
    target = results / TABLE
    write_outputs([(target, table(rows))])
    paths = [target]
    for index, shown in enumerate(sheets_of(rows)):
        path = results / f"{sheet_stem(index)}{PDF_ENDING}"
        if not (path.is_file() and is_sheet_of(path.read_bytes(), shown, paper)):
            tell_progress("drawing the contact sheet")
            write_outputs([(path, draw_sheet(shown, results, title=title, paper=paper))])
        paths.append(path)
    return paths


def _report(rows: Sequence[Row], made: Sequence[Path], options: argparse.Namespace) -> int:
    counts = Counter(row.state for row in rows)
    if options.report == "json":
        told = {state.value: counts[state] for state in State if state is not State.NOT_REACHED}
        failed = {row.name: row.why for row in rows if row.state is State.FAILED}
        print(json.dumps({"drawings": told, "failed": failed, "files": list(map(str, made))}, indent=2))
    else:
        parts = [f"{counts[state]} {state.value}" for state in State if counts[state]]
        files = ", ".join(map(str, made))
        number = f"{len(rows)} drawing{'' if len(rows) == 1 else 's'}"
        print(shared.one_line(f"{number}: {', '.join(parts) or 'none'}; wrote {files}"))
    return SOME_FAILED if counts[State.FAILED] else ALL_DONE

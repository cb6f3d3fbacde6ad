"""The command `proof`: the live page beside a drawing, or a chart file as one page."""

import argparse
import secrets
import threading
import time
import webbrowser
from collections.abc import Callable, Mapping
from copy import copy
from functools import cache
from pathlib import Path

import svg2chart
from svg2chart.cards import HARBOUR
from svg2chart.cli import options as shared
from svg2chart.cli.chart import charted
from svg2chart.cli.inputs import chart_file_at, drawing_at
from svg2chart.cli.outputs import check_free, stem_of, with_ending, write_outputs
from svg2chart.cli.pdf import add_pdf_options, pdf_of
from svg2chart.cli.progress import tell_progress
from svg2chart.cli.report import failure_line
from svg2chart.cli.squares import MOST_THIN, add_squares, add_stitching, fonts_of, request_of
from svg2chart.files import CHART_ENDING, PDF_ENDING, file_start
from svg2chart.grid import MAX_SIDE
from svg2chart.proof.desk import DeskError, Drawn
from svg2chart.proof.page import page_of
from svg2chart.request import grid_of
from svg2chart.svg.read import drawing_bytes, parse_artwork
from svg2chart.threads import MOST_THREADS

_KEY_BYTES = 16  # 128 bits cannot be guessed
_WHOLE_PAGE = ""  # --page without a name
_FOR_ANY = {"source", "page", "overwrite"}


def add_options(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    parser.add_argument(
        "source",
        metavar="ART.svg",
        help="the drawing to chart after each save; or, with --page OUT.html, a chart file NAME.chart.json",
    )
    shared.add_output(
        parser,
        "where the page writes ART.chart.json and ART.pdf when it is asked to: a folder, or the path of both"
        " files without their endings (default: the current folder)",
    )
    add_squares(parser).add_argument(
        "--page",
        metavar="OUT.html",
        nargs="?",
        const=_WHOLE_PAGE,
        type=_page_name,
        help="of a drawing, without a name: chart the whole page, not only what is drawn; of a chart file:"
        " write it as one page that needs no network",
    )
    add_stitching(parser)
    add_pdf_options(parser)
    shared.add_title(parser)
    parser.add_argument(
        "--no-open", action="store_true", help="do not open the browser, only tell the address"
    )
    parser.add_argument(
        "--port",
        metavar="N",
        type=shared.whole_number(0, 65535),
        default=0,
        help="port on this machine's own address (default: any that is free)",
    )


def run(options: argparse.Namespace) -> int:
    """Serve the page until it is ended, or write one."""
    if _is_chart_file(options.source):
        return _write_page(options)
    if options.page not in (None, _WHOLE_PAGE):
        raise shared.UseError(
            f"svg2chart proof: --page {options.page} makes one page of a chart file, and {options.source} is"
            " none; its chart file is made by: svg2chart chart"
        )
    shared.check_fabric(options)
    options.page = options.page is not None
    return _serve(_Desk(options), options)


def _page_name(text: str) -> str:
    """Return the name of a page to write, which is none of a file that is read."""
    for ending, rest in ((CHART_ENDING, "--page OUT.html"), (".svg", "--page"), (".svgz", "--page")):
        if text.lower().endswith(ending):
            raise argparse.ArgumentTypeError(
                f"{text} stands where the page to write would; name it first: svg2chart proof {text} {rest}"
            )
    return text


def _is_chart_file(name: str) -> bool:
    """Return whether a file begins as a chart file does, or is called so where nothing can be read.

    Whoever reads it next tells what is wrong.
    """
    try:
        start = file_start(Path(name)).lstrip()
    except OSError:
        start = b""
    return start.startswith(b"{") or (not start and name.endswith(CHART_ENDING))


def _write_page(options: argparse.Namespace) -> int:
    source = chart_file_at(options.source)
    if not options.page:
        raise shared.UseError(
            f"svg2chart proof: {source} is a chart file; give --page OUT.html to make one page of it"
        )
    parser = shared.Parser()
    add_options(parser)
    plain = vars(parser.parse_args([options.source]))
    for name, value in plain.items():
        if name not in _FOR_ANY and getattr(options, name) != value:
            given = name.replace("_", "-")
            raise shared.UseError(f"svg2chart proof: --{given} is for drawings, {source} is charted already")
    target = Path(options.page)
    check_free([target], overwrite=options.overwrite)
    write_outputs([(target, page_of(svg2chart.read_chart(source)))])
    print(shared.one_line(f"wrote {target}"))
    return 0


def _serve(desk: "_Desk", options: argparse.Namespace) -> int:
    try:
        from svg2chart.proof.serve import listen, serve_proof
        from svg2chart.proof.session import Session
    except ModuleNotFoundError as error:
        raise shared.UseError(
            f'svg2chart proof: {error.name} is not installed. Install it with: pip install "svg2chart[proof]"'
        ) from error
    try:
        bound = listen(options.port)
    except OSError as error:
        raise shared.UseError(
            f"svg2chart proof: port {options.port} cannot be used: {error.strerror}. Give another --port."
        ) from error
    key = secrets.token_urlsafe(_KEY_BYTES)
    address = "http://{}:{}/{}/".format(*bound.getsockname(), key)
    print(f"the proof of {shared.one_line(options.source)} is at {address} (Ctrl+C ends it)", flush=True)
    if not options.no_open:
        threading.Thread(target=webbrowser.open, args=(address,), daemon=True).start()
    try:
        serve_proof(Session(desk), desk.watched, bound, key=key)
    except KeyboardInterrupt:
        tell_progress("")
    return 0


class _Desk:
    """Charts by the options of the command and the settings of the page; files only where the options say."""

    def __init__(self, options: argparse.Namespace) -> None:
        """Look for the drawing and the fonts. Raises ChartError and UseError."""
        self._options = options
        source = drawing_at(options.source)
        drawing_bytes(source)  # a name without a file is told at once
        has_card = options.card is not None and options.card != HARBOUR
        self.watched: tuple[Path, ...] = (source, Path(options.card)) if has_card else (source,)
        stem = stem_of(options.output, source)
        self.targets: tuple[Path, ...] = (with_ending(stem, CHART_ENDING), with_ending(stem, PDF_ENDING))
        fonts = fonts_of(request_of(options))
        self._fonts = cache(fonts) if callable(fonts) else fonts  # those of the system are looked for once
        self._has_written = False

    def draw(self, wanted: Mapping[str, str]) -> Drawn:
        """Return the chart of the drawing as it is now, with the settings wanted. Raises DeskError."""
        options = self._options
        try:
            options = _with_settings(options, wanted)
            start = time.perf_counter()
            drawing = drawing_bytes(options.source)
            request = request_of(options)
            artwork = parse_artwork(drawing, fonts=self._fonts, bands=request.bands)
            read = time.perf_counter()
            made = charted(artwork, request, options)
            end = time.perf_counter()
        except (svg2chart.ChartError, shared.UseError) as error:
            raise DeskError(failure_line(error, options.source)) from error
        finally:
            tell_progress("")
        return Drawn(
            made=made,
            artwork=artwork,
            grid=grid_of(artwork, request),
            drawing=drawing,
            settings=_settings_shown(options),
            reading=read - start,
            charting=end - read,
        )

    def write(self, drawn: Drawn) -> str:
        """Write the chart file and the PDF; what was there before this page is kept unless --overwrite."""
        options, chart = self._options, drawn.made.chart
        try:
            check_free(self.targets, overwrite=options.overwrite or self._has_written)
            contents = [svg2chart.chart_bytes(chart), pdf_of(chart, options)]
            write_outputs(list(zip(self.targets, contents, strict=True)))
        except (svg2chart.ChartError, shared.UseError) as error:
            raise DeskError(failure_line(error, options.source)) from error
        self._has_written = True
        return shared.one_line("wrote " + ", ".join(map(str, self.targets)))


def _with_settings(options: argparse.Namespace, wanted: Mapping[str, str]) -> argparse.Namespace:
    """Return the options with the settings of the page in place of theirs. Raises UseError."""
    readers: dict[str, Callable[[str], object]] = {
        "wide": shared.whole_number(1, MAX_SIDE),
        "fractions": _one_of({name.value: name.value for name in svg2chart.Fractions}),
        "most_threads": shared.whole_number(1, MOST_THREADS),
        "thin": shared.length_up_to(MOST_THIN),
        "calm": _one_of({"yes": True, "no": False}),
    }
    changed = copy(options)
    for name, text in wanted.items():
        if name not in readers:
            raise shared.UseError(f"{name!r} is no setting of this page")
        try:
            setattr(changed, name, readers[name](text))
        except argparse.ArgumentTypeError as error:
            raise shared.UseError(f"{name.replace('_', ' ')}: {error}") from error
    if "wide" in wanted:
        changed.high = changed.square = changed.count = None
    return changed


def _one_of(values: Mapping[str, object]) -> Callable[[str], object]:
    """Return a reader of one of some words."""

    def read(text: str) -> object:
        if text not in values:
            raise argparse.ArgumentTypeError(f"one of {', '.join(values)} is needed, not {text!r}")
        return values[text]

    return read


def _settings_shown(options: argparse.Namespace) -> dict[str, str]:
    """Return what the page can change, as it is now, and whose threads there are."""
    return {
        "fractions": options.fractions,
        "most_threads": str(options.most_threads),
        "thin": f"{options.thin:g}",
        "calm": "yes" if options.calm else "no",
        "card": "the drawing's colours" if options.card is None else Path(options.card).name,
    }

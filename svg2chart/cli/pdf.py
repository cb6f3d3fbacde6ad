"""The PDF of a command: its options, and its bytes."""

import argparse
from typing import TYPE_CHECKING

import svg2chart
from svg2chart.cli.options import UseError, length_up_to, whole_number
from svg2chart.cli.progress import tell_page
from svg2chart.fabrics import MARGIN_MM

if TYPE_CHECKING:
    from svg2chart.pages.plan import Paper

PAPERS = ("a4", "letter")
MOST_KITS = 10_000
MOST_MARGIN_MM = 1000
BUYING = ("kits", "margin")  # what a report in JSON tells too
OPTIONS = ("paper", "large_print", *BUYING, "info")


def add_pdf_options(parser: argparse.ArgumentParser) -> None:
    """Add what the PDF is to be like; each option is None or False if it is not given."""
    parser.add_argument(
        "--paper", choices=PAPERS, help="sheet of the PDF (default: a size that prints on both at 100 %%)"
    )
    parser.add_argument(
        "--large-print", action="store_true", help="squares of 5 mm and words of 18 point in the PDF"
    )
    _add_buying(parser)
    parser.add_argument(
        "--info",
        metavar="FILE",
        help="TOML with your title, author, contact, licence, version, words for the PDF",
    )


def _add_buying(parser: argparse.ArgumentParser) -> None:
    """Add for how many pieces to buy, and how much cloth; each is None if it is not given."""
    parser.add_argument(
        "--kits",
        metavar="N",
        type=whole_number(1, MOST_KITS),
        help=f"tell in the PDF what to buy for N kits, from 1 to {MOST_KITS} (1)",
    )
    parser.add_argument(
        "--margin",
        metavar="MM",
        type=length_up_to(MOST_MARGIN_MM),
        help=f"millimetres of cloth to cut beyond the stitches on each side, from 0 to {MOST_MARGIN_MM}"
        f" ({MARGIN_MM:g})",
    )


def margin_of(options: argparse.Namespace) -> float:
    """Return how much cloth to cut beyond the stitches on each side, in millimetres."""
    return MARGIN_MM if options.margin is None else float(options.margin)


def check_pdf_options(options: argparse.Namespace) -> None:
    """Raise UseError for options of the PDF where none is made."""
    for name in OPTIONS:
        is_told = getattr(options, name) is not None and getattr(options, name) is not False
        if options.no_pdf and is_told and not (name in BUYING and options.report == "json"):
            option = f"--{name.replace('_', '-')}"
            raise UseError(f"svg2chart {options.command}: {option} is for the PDF, --no-pdf makes none")


def edition_of(options: argparse.Namespace) -> svg2chart.Edition:
    """Return what is asked for of all pages together. Raises InfoError."""
    return svg2chart.Edition(
        style=svg2chart.LARGE if options.large_print else svg2chart.USUAL,
        info=svg2chart.read_info(options.info) if options.info else svg2chart.Info(),
        kits=options.kits or 1,
        margin_mm=margin_of(options),
    )


def paper_of(options: argparse.Namespace) -> "Paper":
    """Return the sheet."""
    return {"a4": svg2chart.A4, "letter": svg2chart.LETTER}.get(options.paper, svg2chart.BOTH)


def pdf_of(chart: svg2chart.Chart, options: argparse.Namespace) -> bytes:
    """Return the PDF as the options ask for it. Raises PageError and InfoError."""
    edition, paper = edition_of(options), paper_of(options)
    return svg2chart.pages_pdf(chart, paper=paper, edition=edition, on_page=tell_page)

"""The PDF of a command: its options, and its bytes."""

import argparse
from typing import TYPE_CHECKING

import svg2chart
from svg2chart.cli.options import UseError, add_kits
from svg2chart.cli.progress import tell_page

if TYPE_CHECKING:
    from svg2chart.pages.plan import Paper

PAPERS = ("a4", "letter")
OPTIONS = ("paper", "large_print", "kits", "info")


def add_pdf_options(parser: argparse.ArgumentParser) -> None:
    """Add what the PDF is to be like; each option is None or False if it is not given."""
    parser.add_argument(
        "--paper", choices=PAPERS, help="sheet of the PDF (default: a size that prints on both at 100 %%)"
    )
    parser.add_argument(
        "--large-print", action="store_true", help="squares of 5 mm and words of 18 point in the PDF"
    )
    add_kits(parser)
    parser.add_argument(
        "--info",
        metavar="FILE",
        help="TOML with your title, author, contact, licence, version, words for the PDF",
    )


def check_pdf_options(options: argparse.Namespace) -> None:
    """Raise UseError for options of the PDF where none is made."""
    for name in OPTIONS:
        if options.no_pdf and getattr(options, name) and (name, options.report) != ("kits", "json"):
            option = f"--{name.replace('_', '-')}"
            raise UseError(f"svg2chart {options.command}: {option} is for the PDF, --no-pdf makes none")


def edition_of(options: argparse.Namespace) -> svg2chart.Edition:
    """Return what is asked for of all pages together. Raises InfoError."""
    return svg2chart.Edition(
        style=svg2chart.LARGE if options.large_print else svg2chart.USUAL,
        info=svg2chart.read_info(options.info) if options.info else svg2chart.Info(),
        kits=options.kits or 1,
    )


def paper_of(options: argparse.Namespace) -> "Paper":
    """Return the sheet."""
    return {"a4": svg2chart.A4, "letter": svg2chart.LETTER}.get(options.paper, svg2chart.BOTH)


def pdf_of(chart: svg2chart.Chart, options: argparse.Namespace) -> bytes:
    """Return the PDF as the options ask for it. Raises PageError and InfoError."""
    edition, paper = edition_of(options), paper_of(options)
    return svg2chart.pages_pdf(chart, paper=paper, edition=edition, on_page=tell_page)

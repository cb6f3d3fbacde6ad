"""How a drawing is charted: the options that say so, and the request and the fonts that they make up."""

import argparse
from collections.abc import Callable
from functools import partial
from pathlib import Path

import svg2chart
from svg2chart.backstitch import LONGEST
from svg2chart.cards import HARBOUR
from svg2chart.cli import options as shared
from svg2chart.cli.inputs import card_at, drawing_at, fonts_named
from svg2chart.grid import MAX_SIDE, MOVEMENT_SQUARES, THIN_SQUARES
from svg2chart.request import COUNT_OVER, WIDE_UNLESS_TOLD, Request
from svg2chart.threads import MOST_THREADS

MOST_BANDS = 64  # steps of four in 8-bit colours, finer than threads can be told apart
FABRIC_COUNTS = (5, 60)  # threads or blocks to the inch, the least and the most that can be asked for
MOST_LONGEST = 10  # squares; longer ones lie loose on any cloth
MOST_FIT = 0.75  # squares; what lies farther from a hole line is nearer to the next one
MOST_THIN = 5.0  # squares; a line of thread in place of a band that wide is no picture of it any more


def add_size(parser: argparse.ArgumentParser) -> None:
    """Add the options of the size."""
    add_squares(parser).add_argument(
        "--page", action="store_true", help="chart the whole page, not only what is drawn"
    )


def add_squares(parser: argparse.ArgumentParser) -> argparse._ArgumentGroup:
    """Add the options of the size but for that of the whole page, and return their group."""
    size = parser.add_argument_group(
        "size",
        f"at most one of --wide, --high, --square and --count; if none, --wide {WIDE_UNLESS_TOLD}, or the"
        " squares and the page of a drawing that names its squares (help by-hand)",
    )
    one = size.add_mutually_exclusive_group()
    squares = shared.whole_number(1, MAX_SIDE)
    one.add_argument(
        "--wide", metavar="N", type=squares, help=f"make the drawing N squares wide (1 to {MAX_SIDE})"
    )
    one.add_argument(
        "--high", metavar="N", type=squares, help=f"make the drawing N squares high (1 to {MAX_SIDE})"
    )
    one.add_argument("--square", metavar="U", type=shared.length, help="one square is U user units")
    one.add_argument(
        "--count",
        metavar="N",
        type=shared.whole_number(*FABRIC_COUNTS),
        help="keep the drawing's own size in inches, on fabric with N threads or blocks to the inch",
    )
    size.add_argument(
        "--over",
        metavar="N",
        type=shared.whole_number(1, 2),
        help="threads of the fabric that one stitch spans, 1 or 2 (1)",
    )
    size.add_argument(
        "--fabric",
        metavar="N",
        type=shared.whole_number(*FABRIC_COUNTS),
        help="threads or blocks to the inch of the fabric for which sizes and amounts of thread are told"
        f" ({COUNT_OVER[1]}, or {COUNT_OVER[2]} with --over 2, or that of --count)",
    )
    return size


def add_stitching(parser: argparse.ArgumentParser) -> None:
    """Add what of the drawing becomes which stitch, and the fonts for its words."""
    parser.add_argument(
        "--fractions",
        choices=["all", "three-quarter", "none"],
        default="all",
        help="which parts of a cross may be used: three-quarter means three-quarter stitches, in squares that"
        " two colours share with the quarter of the other beside them, and no quarters else (all)",
    )
    _add_threads(parser)
    parser.add_argument(
        "--calm",
        action="store_true",
        help="merge lone stitches that cost little into what lies around them; each is a remark, and how many"
        " there are is told",
    )
    _add_lines(parser)
    parser.add_argument(
        "--fit",
        metavar="F",
        type=shared.length_up_to(MOST_FIT),
        default=MOVEMENT_SQUARES,
        help="move sides of the drawing by up to F squares in either direction to fit it to the squares,"
        " tips and small shapes by up to twice as far if F is a half or more,"
        " and parts that stand by themselves as a whole, too,"
        f" from 0 (not at all) to {MOST_FIT:g} ({MOVEMENT_SQUARES:g})",
    )
    parser.add_argument(
        "--bands",
        metavar="N",
        type=shared.whole_number(2, MOST_BANDS),
        help=f"draw each gradient in N flat bands, from 2 to {MOST_BANDS} (default: in its mean colour)",
    )
    parser.add_argument(
        "--font",
        metavar="FILE",
        action="append",
        default=[],
        help="font file or folder for the drawing's words, before the system's; may be given again",
    )


def _add_threads(parser: argparse.ArgumentParser) -> None:
    """Add which threads there may be."""
    parser.add_argument(
        "--card",
        metavar="FILE",
        type=shared.words,
        help="thread card to choose from, a CSV table with the columns code, name and hex, or a GIMP palette;"
        f" {HARBOUR} is a built-in one, invented to try things out (default: each colour is a thread)",
    )
    parser.add_argument(
        "--most-threads",
        metavar="N",
        type=shared.whole_number(1, MOST_THREADS),
        default=MOST_THREADS,
        help=f"use at most N threads, from 1 to {MOST_THREADS}, those that lose least ({MOST_THREADS})",
    )


def _add_lines(parser: argparse.ArgumentParser) -> None:
    """Add what becomes backstitch, and how it is worked."""
    parser.add_argument(
        "--thin",
        metavar="W",
        type=shared.length_up_to(MOST_THIN),
        default=THIN_SQUARES,
        help=f"strokes thinner than W squares become backstitch, from 0 to {MOST_THIN:g} ({THIN_SQUARES})",
    )
    parser.add_argument(
        "--longest-backstitch",
        metavar="N",
        type=shared.whole_number(1, MOST_LONGEST),
        default=LONGEST,
        help="the longest backstitch reaches over N squares in either direction, from 1 to"
        f" {MOST_LONGEST} ({LONGEST})",
    )


def request_of(options: argparse.Namespace) -> Request:
    """Return what is asked for of a chart. Raises CardError and UseError."""
    return Request(
        wide=options.wide,
        high=options.high,
        square=options.square,
        count=options.count,
        page=options.page,
        over=options.over,
        fabric=options.fabric,
        fractions=svg2chart.Fractions(options.fractions),
        thin=options.thin,
        fit=options.fit,
        calm=options.calm,
        bands=options.bands or 0,
        longest_backstitch=options.longest_backstitch,
        most_threads=options.most_threads,
        card="" if options.card is None else Path(options.card).name,
        threads=() if options.card is None else card_at(options.card),
        fonts=tuple(options.font),
    )


def read_drawing(name: str, request: Request) -> svg2chart.Artwork:
    """Return the drawing that is to be charted. Raises ArtworkError, FontError and UseError."""
    return svg2chart.read_artwork(drawing_at(name), fonts=fonts_of(request), bands=request.bands)


def fonts_of(request: Request) -> "svg2chart.Fonts | Callable[[], svg2chart.Fonts]":
    """Return the fonts for a drawing's words, or what finds them. Raises FontError."""
    # fonts of the system are looked for when there are words; what is asked for is read in any case
    return fonts_named(request.fonts) if request.fonts else partial(fonts_named, ())

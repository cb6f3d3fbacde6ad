"""What `editor` does to a drawing: layers put in and taken out, marks, the page. All else stays as it is."""

import argparse
import json
import sys
from collections.abc import Callable
from pathlib import Path

import svg2chart
from svg2chart.artwork import Artwork, StitchAs
from svg2chart.cli import options as shared
from svg2chart.cli.inputs import drawing_at
from svg2chart.cli.options import UseError, one_line
from svg2chart.cli.outputs import check_free, write_outputs
from svg2chart.cli.report import print_remarks
from svg2chart.cli.squares import FABRIC_COUNTS, add_size, add_stitching, fonts_of, read_drawing, request_of
from svg2chart.convert import Converted, convert_and_measure
from svg2chart.editing.fitted_letters import with_letters, with_texts_again
from svg2chart.editing.layers import without_layer
from svg2chart.editing.marking import told_by, with_told
from svg2chart.editing.overlay import Overlay, Shown, with_overlay
from svg2chart.editing.pagesetup import with_page
from svg2chart.editing.stitches import with_stitches
from svg2chart.grid import MAX_SIDE
from svg2chart.letters.composing import MOST_HIGH
from svg2chart.letters.setting import LEAST_HIGH
from svg2chart.remarks import Remark, Severity
from svg2chart.request import grid_of, settings_of
from svg2chart.svg.document import OVERLAY, STITCHES
from svg2chart.svg.read import drawing_bytes, parse_artwork
from svg2chart.svg.spans import plain_bytes

NOTHING = "nothing"
MARKS = ("backstitch", "area", "knot", "leave-out", NOTHING)
TAKEN_OUT = {"squares": OVERLAY, "stitches": STITCHES}
STRENGTH = 80  # per cent
SQUARES_MOVED = Remark(
    element="",
    what="words at the edge of what is drawn said where the squares lie, and the letters do not lie on those"
    " of the chart: set up the page, or draw something behind the words, and fit them again",
    severity=Severity.GUESSED,
)


def _add_drawing(parser: argparse.ArgumentParser) -> None:
    shared.add_drawing(parser)
    shared.add_output(parser, "the changed drawing (default: standard output)")


def _add_squares(parser: argparse.ArgumentParser) -> None:
    _add_drawing(parser)
    shown = [each.value for each in Shown]
    parser.add_argument("--show", choices=shown, default=Shown.BOTH.value, help="what the layer shows (both)")
    parser.add_argument(
        "--strength",
        metavar="P",
        type=shared.whole_number(10, 100),
        default=STRENGTH,
        help=f"how strongly it covers the drawing, 10 to 100 per cent ({STRENGTH})",
    )
    add_size(parser)
    add_stitching(parser)


def _add_stitches(parser: argparse.ArgumentParser) -> None:
    _add_drawing(parser)
    add_size(parser)
    add_stitching(parser)


def _add_clear(parser: argparse.ArgumentParser) -> None:
    _add_drawing(parser)
    parser.add_argument(
        "--layer", choices=TAKEN_OUT, default="squares", help="which layer is taken out (squares)"
    )


def _add_mark(parser: argparse.ArgumentParser) -> None:
    _add_drawing(parser)
    parser.add_argument(
        "--id", dest="ids", metavar="ID", action="append", default=[], help="an element; may be given again"
    )
    one = parser.add_mutually_exclusive_group(required=True)
    one.add_argument("--as", dest="stitch_as", choices=MARKS, help="what the elements are to be on the cloth")
    one.add_argument(
        "--tell",
        action="store_true",
        help="change nothing, and print as JSON what the elements, or all of the drawing, are told to be",
    )


def _add_page(parser: argparse.ArgumentParser) -> None:
    _add_drawing(parser)
    squares = shared.whole_number(1, MAX_SIDE)
    parser.add_argument("--wide", metavar="N", type=squares, required=True, help="squares across")
    parser.add_argument("--high", metavar="N", type=squares, required=True, help="squares down")
    parser.add_argument(
        "--fabric",
        metavar="N",
        type=shared.whole_number(*FABRIC_COUNTS),
        default=svg2chart.Fabric().count,
        help=f"threads or blocks to the inch of the fabric ({svg2chart.Fabric().count})",
    )
    parser.add_argument(
        "--over", metavar="N", type=shared.whole_number(1, 2), default=1, help="threads a stitch spans (1)"
    )


def _squares(options: argparse.Namespace) -> int:
    data = _data(options)
    made, artwork, grid = _charted(options)
    overlay = Overlay(shown=Shown(options.show), strength=options.strength / 100)
    return _write(options, with_overlay(data, made.chart, artwork, grid, overlay))


def _stitches(options: argparse.Namespace) -> int:
    data = _data(options)
    made, _, grid = _charted(options)
    return _write(options, with_stitches(data, made.chart, grid))


def _charted(options: argparse.Namespace) -> tuple[Converted, Artwork, svg2chart.Grid]:
    request = request_of(options)
    artwork = read_drawing(options.source, request)
    grid = grid_of(artwork, request)
    made = convert_and_measure(artwork, grid, settings_of(artwork, request))
    print_remarks(made.chart.remarks, options.source)
    return made, artwork, grid


def _clear(options: argparse.Namespace) -> int:
    return _write(options, without_layer(_data(options), TAKEN_OUT[options.layer]))


def _mark(options: argparse.Namespace) -> int:
    data = _data(options)
    if options.tell:
        told = [
            {"element": each.element, "label": each.label, "stitch": each.stitch_as}
            for each in told_by(data, options.ids)
        ]
        print(json.dumps(told, indent=2))
        return 0
    if not options.ids:
        raise UseError("svg2chart editor mark: no element is named. Give each after --id.")
    stitch_as = None if options.stitch_as == NOTHING else StitchAs(options.stitch_as)
    return _write(options, with_told(data, options.ids, stitch_as))


def _page(options: argparse.Namespace) -> int:
    data = _data(options)
    fabric = svg2chart.Fabric(count=options.fabric, over=options.over)
    return _write(options, with_page(data, wide=options.wide, high=options.high, fabric=fabric))


def _data(options: argparse.Namespace) -> bytes:
    source = drawing_at(options.source)
    if options.output:
        check_free([Path(options.output)], overwrite=options.overwrite)
    return plain_bytes(drawing_bytes(source))


def _write(options: argparse.Namespace, data: bytes) -> int:
    if not options.output:
        sys.stdout.buffer.write(data)
        return 0
    write_outputs([(Path(options.output), data)])
    print(one_line(f"wrote {options.output}"))
    return 0


def _add_letters(parser: argparse.ArgumentParser) -> None:
    _add_drawing(parser)
    parser.add_argument(
        "--id",
        dest="ids",
        metavar="ID",
        action="append",
        default=[],
        help="a text, or letters that stand for one; may be given again (default: all texts)",
    )
    parser.add_argument(
        "--capitals",
        metavar="N",
        type=shared.whole_number(LEAST_HIGH, MOST_HIGH),
        help=f"squares that capitals are high, {LEAST_HIGH} to {MOST_HIGH} (default: nearest to as drawn)",
    )
    add_size(parser)
    add_stitching(parser)


def _letters(options: argparse.Namespace) -> int:
    data, texts = with_texts_again(_data(options), options.ids)
    request = request_of(options)
    fonts = fonts_of(request)
    artwork = parse_artwork(data, fonts=fonts)
    grid = grid_of(artwork, request)
    chosen = texts if options.ids else ()
    made, remarks = with_letters(data, artwork, grid, elements=chosen, high=options.capitals)
    if grid_of(parse_artwork(made, fonts=fonts), request) != grid:
        remarks = (*remarks, SQUARES_MOVED)
    print_remarks(remarks, options.source)
    return _write(options, made)


Action = tuple[str, Callable[[argparse.ArgumentParser], None], Callable[[argparse.Namespace], int]]
ACTIONS: dict[str, Action] = {
    "squares": (
        "lay the squares and stitches of the chart over the drawing",
        _add_squares,
        _squares,
    ),
    "stitches": ("put the stitches of the chart into a layer, to be edited there", _add_stitches, _stitches),
    "clear": ("take such a layer out again", _add_clear, _clear),
    "letters": (
        "put letters on the squares in place of words, which stay to be edited",
        _add_letters,
        _letters,
    ),
    "mark": ("tell elements what to be on the cloth, or what they are told", _add_mark, _mark),
    "page": ("make the page so many squares large, with a grid of one square", _add_page, _page),
}

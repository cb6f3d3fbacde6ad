"""The command `letter`: words in letters on the squares, by their height."""

import argparse
import re
from pathlib import Path

import svg2chart
from svg2chart.cli import options as shared
from svg2chart.cli.inputs import alphabet_at, fonts_named, lines_of_input
from svg2chart.cli.outputs import SVG_ENDING, check_free, write_outputs
from svg2chart.cli.progress import tell_progress
from svg2chart.cli.report import print_remarks
from svg2chart.files import CHART_ENDING, PDF_ENDING
from svg2chart.letters.composing import MOST_HIGH
from svg2chart.letters.setting import LEAST_HIGH

MOST_WIDE, MOST_SPACING, MOST_STEP, MOST_ARCH = 4096, 50, 1000, 200
_COLOUR, _OUTLINE = "#1f3a5f", "#222222"
_PLAIN = {"width": None, "align": "left", "spacing": 0, "line_spacing": None, "arch": 0}
_WORDS_APART = (
    "stands apart from the other words: write all of them before or after the options, those of one line in"
    " one pair of quotes"
)
_OPTIONS_FIRST = "options stand first, then --, then the words"
_ENDINGS = (SVG_ENDING, CHART_ENDING, PDF_ENDING)


def add_options(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    parser.set_defaults(words_apart=_WORDS_APART, words_dashed=f"; if these are words, {_OPTIONS_FIRST}")
    parser.add_argument(
        "words",
        nargs="*",
        metavar="WORDS",
        type=shared.words,
        help="a line each; - reads lines from standard input, with --width a paragraph each",
    )
    parser.add_argument(
        "--high",
        type=shared.whole_number(LEAST_HIGH, MOST_HIGH),
        metavar="N",
        help="capitals N squares high (with a font)",
    )
    parser.add_argument(
        "--alphabet",
        metavar="NAME",
        help=f"letters of our own drawing: {', '.join(svg2chart.alphabet_names())}; or a file like theirs;"
        " below about 9 squares, these read better than a font",
    )
    parser.add_argument(
        "--list",
        action="store_true",
        help="name the alphabets; with -o, draw a sheet of their letters, or of those of --alphabet",
    )
    parser.add_argument(
        "--font",
        action="append",
        metavar="FILE",
        default=[],
        help="font file to set the words in; others help out (Source Sans Pro, its regular face)",
    )
    _add_layout(parser)
    parser.add_argument("--outline", action="store_true", help="backstitch round the letters")
    parser.add_argument("--colour", type=_colour, default=_COLOUR, help=f"of the letters ({_COLOUR})")
    parser.add_argument(
        "--outline-colour", type=_colour, help=f"of the outline that --outline makes ({_OUTLINE})"
    )
    shared.add_output(parser, "OUT.svg, OUT.chart.json or OUT.pdf (default: the SVG on standard output)")


def _add_layout(parser: argparse.ArgumentParser) -> None:
    whole = shared.whole_number
    parser.add_argument("--width", type=whole(1, MOST_WIDE), metavar="W", help="break lines at W squares")
    parser.add_argument(
        "--align", choices=["left", "centre", "right"], default="left", help="how lines stand (left)"
    )
    parser.add_argument(
        "--spacing",
        type=whole(0, MOST_SPACING),
        metavar="S",
        default=0,
        help="S more squares between letters (0)",
    )
    parser.add_argument(
        "--line-spacing", type=whole(1, MOST_STEP), metavar="L", help="L squares from baseline to baseline"
    )
    parser.add_argument(
        "--arch",
        type=whole(0, MOST_ARCH),
        metavar="R",
        default=0,
        help="raise the middle of a line by R squares",
    )
    parser.add_argument(
        "--monogram", action="store_true", help="set one to three letters, the middle one higher"
    )


def run(options: argparse.Namespace) -> int:
    """Set the words and write them."""
    _check(options)
    if options.list and not options.output:
        _tell_alphabets(options)
        return 0
    target = Path(options.output) if options.output else None
    if target is not None:
        if not target.name.endswith(_ENDINGS):
            raise shared.UseError(
                f"svg2chart letter: -o ends in one of {', '.join(_ENDINGS)}, not {options.output!r}"
            )
        check_free([target], overwrite=options.overwrite)
    lettering = _lettering(options)
    if options.outline and not any(letter.shown.any() for letter in lettering.letters):
        raise shared.UseError("svg2chart letter: --outline goes round stitches, backstitch has none")
    outline = (options.outline_colour or _OUTLINE) if options.outline else None
    drawing = svg2chart.draw_letters(lettering, colour=options.colour, outline=outline)
    print_remarks(lettering.remarks, " ".join(options.words))
    if target is None:
        print(drawing.decode(), end="")
        return 0
    is_sheet = options.list and target.name.endswith(PDF_ENDING)
    content = _specimens(options, outline) if is_sheet else _content(target, drawing)
    write_outputs([(target, content)])
    tell_progress("")
    # on pages each alphabet is laid out by itself
    names = ", ".join(alphabet.name for alphabet in _alphabets(options)) if is_sheet else ""
    told = names or f"{lettering.columns} x {lettering.rows} squares"
    print(shared.one_line(f"{told}; wrote {target}"))
    return 0


def _check(options: argparse.Namespace) -> None:
    """Raise UseError where the options do not say what to set in which letters."""
    is_laid_out = any(getattr(options, name) != value for name, value in _PLAIN.items())
    told = ", ".join("--" + name.replace("_", "-") for name in _PLAIN)
    if options.outline_colour and not options.outline:
        raise shared.UseError("svg2chart letter: --outline-colour is that of --outline, which is missing")
    if options.list:
        if options.words or options.font or options.high or options.monogram or is_laid_out:
            raise shared.UseError(
                f"svg2chart letter: --list goes with no words, --font, --high, --monogram, {told}"
            )
        if not options.output and (options.outline or options.colour != _COLOUR):
            raise shared.UseError("svg2chart letter: --outline and --colour are of the sheet that -o names")
    elif "-" in options.words and len(options.words) > 1:
        raise shared.UseError(
            "svg2chart letter: - is for the lines of standard input, and goes with no words"
        )
    elif not any(words.split() for words in options.words):
        raise shared.UseError("svg2chart letter: there are no words to set")
    elif options.alphabet and options.font:
        raise shared.UseError("svg2chart letter: --alphabet and --font are both letters; leave one out")
    elif not options.alphabet and options.high is None:
        dashed = [words for words in options.words if words.startswith("--")]  # after --, all are words
        why = f"; {dashed[0]} is one of the words here: {_OPTIONS_FIRST}" if dashed else ""
        raise shared.UseError(f"svg2chart letter: --high or --alphabet is needed{why}")
    elif options.monogram and is_laid_out:
        raise shared.UseError(f"svg2chart letter: --monogram has a layout of its own, it goes without {told}")


def _tell_alphabets(options: argparse.Namespace) -> None:
    for alphabet in _alphabets(options):
        print(shared.one_line(f"{alphabet.name}: {_told(alphabet)}"))
    print("For a sheet of all letters: svg2chart letter --list -o alphabets.svg")


def _told(alphabet: svg2chart.Alphabet) -> str:
    return f"{alphabet.stitches.value}, capitals {alphabet.capital} squares high"


def _alphabets(options: argparse.Namespace) -> list[svg2chart.Alphabet]:
    """Return those that a sheet is to show."""
    names = [options.alphabet] if options.alphabet else svg2chart.alphabet_names()
    return [alphabet_at(name) for name in names]


def _lettering(options: argparse.Namespace) -> svg2chart.Lettering:
    if options.list:
        return svg2chart.alphabet_sheet(_alphabets(options))
    own = (line for words in options.words for line in words.splitlines() or [words])
    lines = lines_of_input() if options.words == ["-"] else list(own)
    if options.monogram:
        return _monogram("".join(lines), options)
    layout = svg2chart.Layout(
        width=options.width,
        align=svg2chart.Align(options.align),
        spacing=options.spacing,
        line_step=options.line_spacing,
        arch=options.arch,
    )
    if options.alphabet:
        return svg2chart.set_in_alphabet(lines, alphabet=_alphabet(options), layout=layout)
    return svg2chart.set_letters(lines, high=options.high, fonts=fonts_named(options.font), layout=layout)


def _monogram(text: str, options: argparse.Namespace) -> svg2chart.Lettering:
    if options.alphabet:
        return svg2chart.set_monogram_in_alphabet(text, alphabet=_alphabet(options))
    return svg2chart.set_monogram(text, high=options.high, fonts=fonts_named(options.font))


def _alphabet(options: argparse.Namespace) -> svg2chart.Alphabet:
    """Return the alphabet that is named: one of the package, or a file."""
    alphabet = alphabet_at(options.alphabet)
    if options.high not in (None, alphabet.capital):
        raise shared.UseError(
            f"svg2chart letter: the capitals of {options.alphabet} are {alphabet.capital} squares high, not"
            f" {options.high}; leave --high out, or take a --font"
        )
    return alphabet


def _content(target: Path, drawing: bytes) -> bytes:
    """Return what the file is to hold: the drawing, its chart, or the pages of that."""
    if target.name.endswith(SVG_ENDING):
        return drawing
    chart = _chart(drawing)
    return svg2chart.chart_bytes(chart) if target.name.endswith(CHART_ENDING) else svg2chart.pages_pdf(chart)


def _chart(drawing: bytes) -> svg2chart.Chart:
    from svg2chart.svg.read import parse_artwork  # a third of the time of letters alone

    artwork = parse_artwork(drawing)
    return svg2chart.convert(artwork, svg2chart.Grid.fit(artwork, square=1.0))


def _specimens(options: argparse.Namespace, outline: str | None) -> bytes:
    """Return the alphabets as pages to look at: nobody stitches all letters, so there is no guide to that."""
    from svg2chart.pages.specimens import MOST_WIDE, Specimen, specimens_pdf

    specimens = []
    for alphabet in _alphabets(options):
        sheet = svg2chart.alphabet_sheet([alphabet], width=MOST_WIDE)
        drawing = svg2chart.draw_letters(sheet, colour=options.colour, outline=outline)
        specimens.append(Specimen(alphabet.name, _told(alphabet), _chart(drawing)))
    return specimens_pdf(specimens, title="Alphabets")


def _colour(text: str) -> str:
    if not re.fullmatch("#[0-9a-fA-F]{6}", text):
        raise argparse.ArgumentTypeError(f'a colour is written like "#1f3a5f", not {text!r}')
    return text.lower()

"""How good letters fitted to the squares are, for fonts of many kinds at six heights; and sheets of them.

    python tests/bench/lettering.py [--further] [--sheet FOLDER] [--kind KIND] [--high N] [--unread]
    python tests/bench/lettering.py --plain | --alphabets

Needs the fonts of tests/typefaces.py, Pillow, and for reading aloud what is stitched the program tesseract.
"""

import argparse
import sys
from collections.abc import Sequence
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np
from PIL import Image, ImageDraw

sys.path.insert(0, str(Path(__file__).parents[2]))

from svg2chart.alphabets.reading import alphabet_names, packaged_alphabet
from svg2chart.artwork import Run, Words
from svg2chart.colour import Colour
from svg2chart.geometry.affine import Affine
from svg2chart.lettering.fonts import Face, Fonts
from svg2chart.lettering.heights import heights_of
from svg2chart.lettering.words import set_words
from svg2chart.letters.alphabet_lines import alphabet_line
from svg2chart.letters.placed import SetLetter
from svg2chart.letters.setting import set_on_squares
from tests.bench.letter_measures import (
    aligned,
    diagonal_ink,
    even_stems,
    right_pieces,
    spacing,
    symmetric,
)
from tests.bench.letter_reading import CAPITAL, READ, Reading, outline_picture, read, reduced, side_of
from tests.typefaces import FURTHER, SCRIPT, UPRIGHT, Typeface

HEIGHTS = (5, 7, 9, 12, 16, 24)
MORE_HEIGHTS = (5, 6, 7, 8, 9, 12)
SIZES = (18, 20, 24, 28, 32, 36, 40, 44)
SHEET = (
    "ABCDEFGHIJKLMNOPQRSTUVWXYZ",
    "abcdefghijklmnopqrstuvwxyz",
    "0123456789 .,;:!?&-+ Hafenfest Tolly AVATAR",
)
INK = (20, 40, 90)
# the corners of each octant in a square
OCTANTS = [
    [(0.5, 0.5), first, then]
    for first, then in zip(
        *[
            [(0.5, 0), (1, 0), (1, 0.5), (1, 1), (0.5, 1), (0, 1), (0, 0.5), (0, 0)][k:]
            + [(0.5, 0), (1, 0), (1, 0.5), (1, 1), (0.5, 1), (0, 1), (0, 0.5), (0, 0)][:k]
            for k in (0, 1)
        ],
        strict=True,
    )
]


def words_of(face: Face, text: str, high: int) -> Words:
    """Return words in a font, their unit a square."""
    size = high / heights_of(face).capital
    run = Run(
        text=text,
        families=(face.family,),
        size=size,
        weight=face.weight,
        colour=Colour(0.0, 0.0, 0.0),
        x=0.0,
        y=0.0,
    )
    return Words(element="", runs=(run,))


def line(fonts: Fonts, face: Face, text: str, high: int) -> list[SetLetter]:
    """Return a line of letters fitted to the squares."""
    return set_on_squares(set_words(words_of(face, text, high), fonts), Affine())


def paint(draw: ImageDraw.ImageDraw, letters: list[SetLetter], left: int, base: int, side: int) -> None:
    """Paint letters on squares of so many pixels."""
    for one in letters:
        for row, column, octant in np.argwhere(one.shown):
            x, y = left + (one.column + column) * side, base + (one.row + row) * side
            if one.shown[row, column].all():
                draw.rectangle([x, y, x + side - 1, y + side - 1], fill=INK)
            else:
                draw.polygon([(x + a * side, y + b * side) for a, b in OCTANTS[octant]], fill=INK)
        at = np.array((left + one.column * side, base + one.row * side))
        for ends in one.lines:
            draw.line([tuple(at + np.array(hole) * side) for hole in ends], fill=INK, width=round(side / 3))
        for hole in one.knots:
            x, y = at + np.array(hole) * side
            draw.ellipse([x - 0.35 * side, y - 0.35 * side, x + 0.35 * side, y + 0.35 * side], fill=INK)


def picture(lines: list[list[SetLetter]], high: int, side: int, *, has_grid: bool) -> Image.Image:
    """Return lines of letters under each other."""
    step = int(1.9 * high)
    wide = max(one.column + one.shown.shape[1] for letters in lines for one in letters) + 4
    image = Image.new("RGB", (wide * side, (len(lines) * step + 2) * side), "white")
    draw = ImageDraw.Draw(image)
    if has_grid:
        for x in range(wide):
            draw.line([(x * side, 0), (x * side, image.height)], fill=(228, 228, 228))
        for y in range(len(lines) * step + 2):
            draw.line([(0, y * side), (image.width, y * side)], fill=(228, 228, 228))
    for index, letters in enumerate(lines):
        paint(draw, letters, 2 * side, (index * step + 1 + int(1.35 * high)) * side, side)
    return image


def plain_picture(fonts: Fonts, face: Face, capital: int) -> Image.Image:
    """Return the lines to be read as smooth outlines, capitals so many pixels high."""
    found = [set_words(words_of(face, text, capital), fonts).outlines[0].path for text in READ]
    return reduced(lambda side: outline_picture(found, capital, side), 1)


def measure(typeface: Typeface, high: int, folder: Path, *, ocr: bool) -> list[float]:
    """Return the measures of a font at a height, and print them."""
    fonts, face = typeface.fonts(), typeface.face()

    @cache
    def letter(text: str) -> list[SetLetter]:
        return line(fonts, face, text, high)

    lines = [letter(text) for text in READ] if ocr else []
    reading = read_stitched(lines, high, folder) if ocr else Reading(float("nan"), ())
    share, wrong = right_pieces(face, high, letter)
    ink = diagonal_ink(face, high, letter)
    row = [
        reading.share,
        even_stems(face, high, letter),
        aligned(face, high, letter),
        symmetric(face, high, letter),
        share,
        spacing(face, high, letter),
        max(abs(one - 1) for one in ink),
    ]
    cells = " ".join(f"{value:8.3f}" for value in row)
    print(f"{typeface.kind:14} {high:3} {cells}  {wrong} {' '.join(f'{one:.2f}' for one in ink)}", flush=True)
    if reading.misread:
        print(f"{'':18} misread: {', '.join(reading.misread)}", flush=True)
    return row


def read_stitched(lines: list[list[SetLetter]], high: int, folder: Path) -> Reading:
    """Return what is read of lines of stitched letters."""
    return read(reduced(lambda side: picture(lines, high, side, has_grid=False), side_of(high)), folder)


def read_plain(kinds: list[Typeface], capitals: Sequence[int], folder: Path) -> None:
    """Print how much is read of plain outlines with capitals of so many pixels: stitches show no more."""
    for capital in capitals:
        readings = {one.kind: read(plain_picture(one.fonts(), one.face(), capital), folder) for one in kinds}
        mean = np.mean([one.share for one in readings.values()])
        wrong = "; ".join(
            f"{kind}: {', '.join(one.misread)}" for kind, one in readings.items() if one.misread
        )
        print(f"plain outlines, enlarged to capitals of {capital} pixels: {mean:.3f}  {wrong}", flush=True)


def measure_alphabets(folder: Path) -> None:
    """Print how much of each of our own alphabets is read."""
    for name in alphabet_names():
        alphabet = packaged_alphabet(name)
        lines = [list(alphabet_line(alphabet, text).letters) for text in READ]
        print(f"{name:18} {read_stitched(lines, alphabet.capital, folder).share:8.3f}", flush=True)


def main() -> None:
    """Print the table, and draw the sheets if they are asked for."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--sheet", type=Path, help="folder for a sheet of each height")
    parser.add_argument("--further", action="store_true", help="more fonts, most of them bold, and heights")
    parser.add_argument("--kind", help="only this kind of font")
    parser.add_argument("--high", type=int, help="only this height")
    parser.add_argument("--unread", action="store_true", help="leave reading by machine out")
    parser.add_argument("--alphabets", action="store_true", help="only how our own alphabets are read")
    parser.add_argument("--plain", action="store_true", help="only how plain outlines of many sizes are read")
    options = parser.parse_args()
    if options.alphabets:
        with TemporaryDirectory() as folder:
            measure_alphabets(Path(folder))
        return
    all_kinds = FURTHER if options.further else (*UPRIGHT, SCRIPT)
    kinds = [one for one in all_kinds if options.kind in (None, one.kind)]
    upright = [one for one in kinds if one is not SCRIPT]
    if options.plain or not (options.unread or options.sheet):
        with TemporaryDirectory() as folder:
            read_plain(upright, SIZES if options.plain else (CAPITAL,), Path(folder))
    if options.plain:
        return
    all_heights = MORE_HEIGHTS if options.further else HEIGHTS
    heights = [high for high in all_heights if options.high in (None, high)]
    if options.sheet:
        options.sheet.mkdir(parents=True, exist_ok=True)
        for high in heights:
            sheet(kinds, high).save(options.sheet / f"letters-{high}.png")
        return
    names = ("read", "stems", "aligned", "symmetric", "pieces", "spacing", "ink off")
    print(f"{'':18} {' '.join(f'{name:>8}' for name in names)}")
    for high in heights:
        with TemporaryDirectory() as folder:  # another run may be reading its own pages at the same time
            rows = [measure(one, high, Path(folder), ocr=not options.unread) for one in upright]
        means = np.mean(rows, axis=0)
        print(f"{'mean':14} {high:3} {' '.join(f'{value:8.3f}' for value in means)}\n")


def sheet(kinds: list[Typeface], high: int) -> Image.Image:
    """Return all letters of all fonts at one height."""
    side = {5: 8, 6: 7, 7: 7, 8: 6, 9: 6, 12: 5, 16: 4, 24: 3}[high]
    images = []
    for typeface in kinds:
        fonts, face = typeface.fonts(), typeface.face()
        images.append(picture([line(fonts, face, text, high) for text in SHEET], high, side, has_grid=True))
    whole = Image.new("RGB", (max(i.width for i in images), sum(i.height for i in images)), "white")
    top = 0
    for image in images:
        whole.paste(image, (0, top))
        top += image.height
    return whole


if __name__ == "__main__":
    main()

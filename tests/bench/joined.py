"""How well a joined script is fitted: read by machine beside its plain outlines, and in as many parts.

    python tests/bench/joined.py [--high N]

Each word is a picture of its own, drawn in twelve sizes, so that no line is lost with all its words; fitted
and plain words are drawn and read in the same way. Printed are the mean share of characters that are read
rightly, how much more that is of fitted words than of plain ones, the mean word by word, and the standard
error of that mean. All heights take about half an hour.

Needs the fonts of tests/typefaces.py, Pillow and the program tesseract.
"""

import argparse
import subprocess
import sys
from collections.abc import Sequence
from dataclasses import replace
from math import sqrt
from pathlib import Path
from statistics import mean, stdev
from tempfile import TemporaryDirectory

import numpy as np
from PIL import Image

sys.path.insert(0, str(Path(__file__).parents[2]))

from svg2chart.coverage import octants
from svg2chart.geometry.growing import parts_and_hollows
from svg2chart.geometry.polygon import Polygon
from svg2chart.lettering.fonts import Face, Fonts
from svg2chart.lettering.heights import region_of
from svg2chart.lettering.words import set_words
from svg2chart.letters.choices import choices
from svg2chart.letters.connections import parts_and_counters
from svg2chart.letters.judging import LARGE
from svg2chart.letters.placed import SetLetter
from svg2chart.letters.squares import Outlines, choose
from tests.bench.letter_reading import FINER, OPTIONS, edits
from tests.bench.lettering import line, picture, words_of
from tests.typefaces import SCRIPT, Typeface

HEIGHTS = (5, 7, 9, 12, 16, 24)
CAPITALS = range(18, 42, 2)
"""Capitals are drawn so many pixels high, around the 24 of `letter_reading`: one size tells little."""
# our own list: what there is at the festival of a harbour town that does not exist
_LINES = (
    "lamp boat harbour festival Sphinx quartz judge quick jumps lazy Call before May vow minimum flute Hafen",
    "night regatta bunting anchor lantern sailor evening market music bridge ferry gull herring island jetty",
    "kettle lighthouse mussel net oar pier quay rope seaweed tide umbrella village wave yacht zephyr biscuit",
    "candle dance engine fiddle garland honey ice jolly kite lemon moon noon orange pancake queen ribbon",
    "supper tent unicorn violin waffle xylophone yellow zither April Brass Captain Drums Eel Fish Goose Hull",
    "Inn July Keel Lobster Mast North Ocean Pearl Quiz Rudder Storm Trumpet Upper Vessel Winter Yarn Zebra",
    "Abend Blume Kuchen Wimpel Segel Brise Musik Fahne Kapitel Nebel Insel Licht Sommer Tanz Wolke Ziel",
    "drift buoy compass skipper galley hammock plank tackle cabin deck",
)
WORDS = [word for words in _LINES for word in words.split()]


def outline(fonts: Fonts, face: Face, text: str, high: int) -> Polygon:
    """Return the plain outline of words, in squares, from where they start on the baseline."""
    return region_of(set_words(words_of(face, text, high), fonts).outlines[0].path)


def on_grid(fonts: Fonts, face: Face, text: str, high: int) -> list[SetLetter]:
    """Return the stitches that show the plain outline best, its origin on a hole."""
    plain = outline(fonts, face, text, high)
    low, end = np.floor(plain.points.min(axis=0)).astype(int), np.ceil(plain.points.max(axis=0)).astype(int)
    columns, rows = (end - low).tolist()
    areas = octants(replace(plain, points=plain.points - low), rows, columns)[None]
    allowed = np.ones((rows, columns, len(choices().shown)), bool)
    shown, _ = choose(Outlines.of(areas), np.zeros(1), allowed, LARGE.weights)
    return [SetLetter(run=0, text=text, shown=shown[0], row=int(low[1]), column=int(low[0]))]


def parts(letters: list[SetLetter]) -> int:
    """Return in how many parts letters are stitched."""
    left, top = min(one.column for one in letters), min(one.row for one in letters)
    shown = np.zeros((max(o.bottom for o in letters) - top, max(o.end for o in letters) - left, 8), bool)
    for one in letters:
        rows, columns = one.shown.shape[:2]
        at = shown[one.row - top :, one.column - left :]
        at[:rows, :columns] |= one.shown
    return int(parts_and_counters(shown[None])[0][0])


def drawn(letters: list[SetLetter], high: int) -> list[Image.Image]:
    """Return a word as it is read: drawn finer, and reduced to each size."""
    left = min(one.column for one in letters)
    side = FINER * round(max(CAPITALS) / high)
    image = picture([[one.moved(right=-left) for one in letters]], high, side, has_grid=False).convert("L")
    sizes = [capital / (high * side) for capital in CAPITALS]
    return [
        image.resize((round(image.width * by), round(image.height * by)), Image.Resampling.LANCZOS)
        for by in sizes
    ]


def read_words(words: Sequence[list[SetLetter]], high: int, folder: Path) -> list[float]:
    """Return the share of characters that are read rightly, of each word the mean of all sizes."""
    files = []
    for index, letters in enumerate(words):
        for size, image in enumerate(drawn(letters, high)):
            files.append(folder / f"{index}-{size}.png")
            image.save(files[-1])
    pages = folder / "pages.txt"
    pages.write_text("\n".join(map(str, files)) + "\n")
    command = ["tesseract", str(pages), "-", *OPTIONS]
    texts = subprocess.run(command, capture_output=True, text=True, check=True).stdout.split("\f")
    shares = []
    for index, letters in enumerate(words):
        wanted = "".join(one.text for one in letters)
        got = ["".join(text.split()) for text in texts[index * len(CAPITALS) :][: len(CAPITALS)]]
        shares.append(mean(max(0.0, 1 - len(edits(wanted, text)) / len(wanted)) for text in got))
    return shares


def measure(typeface: Typeface, high: int) -> None:
    """Print how well words of a script are read at a height, and which are in a wrong number of parts."""
    fonts, face = typeface.fonts(), typeface.face()
    ways = [[way(fonts, face, text, high) for text in WORDS] for way in (line, on_grid)]
    with TemporaryDirectory() as folder:
        fitted, plain = (read_words(words, high, Path(folder)) for words in ways)
    more = [one - other for one, other in zip(fitted, plain, strict=True)]
    wrong = [
        word
        for word, letters in zip(WORDS, ways[0], strict=True)
        if parts(letters) != parts_and_hollows(outline(fonts, face, word, high), least=0.02)[0]
    ]
    error = stdev(more) / sqrt(len(more))
    figures = f"{mean(fitted):8.3f} {mean(plain):8.3f} {mean(more):+8.3f} {error:8.3f}"
    print(f"{high:4} {figures}  {len(wrong)} of {len(WORDS)} {' '.join(wrong)}", flush=True)


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawTextHelpFormatter)
    parser.add_argument("--high", type=int, help="only this height")
    options = parser.parse_args()
    print("high   fitted    plain     more    error  words with another number of parts")
    for high in HEIGHTS if options.high is None else (options.high,):
        measure(SCRIPT, high)


if __name__ == "__main__":
    main()

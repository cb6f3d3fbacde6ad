"""How well a joined script is fitted: read by machine beside its plain outlines, and in as many parts.

    python tests/bench/joined.py

Needs the fonts of tests/typefaces.py, Pillow and the program tesseract.
"""

import sys
from dataclasses import replace
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[2]))

from svg2chart.coverage import octants
from svg2chart.geometry.growing import parts_and_hollows
from svg2chart.geometry.polygon import Polygon
from svg2chart.lettering.fonts import Face, Fonts
from svg2chart.lettering.heights import region_of
from svg2chart.lettering.words import set_words
from svg2chart.letters.choices import choices
from svg2chart.letters.connections import parts_and_counters
from svg2chart.letters.deciding import LARGE
from svg2chart.letters.placed import SetLetter
from svg2chart.letters.squares import choose
from tests.bench.letter_reading import READ
from tests.bench.lettering import line, read_stitched, words_of
from tests.typefaces import SCRIPT

HEIGHTS = (5, 7, 9, 12, 16)
WORDS = [
    "lamp",
    "boat",
    "harbour",
    "festival",
    "Sphinx",
    "quartz",
    "judge",
    "quick",
    "jumps",
    "lazy",
    "Call",
    "before",
    "May",
    "vow",
    "minimum",
    "flute",
    "Hafen",
    "night",
    "regatta",
    "bunting",
]


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
    shown, _ = choose(areas, np.zeros(1), allowed, LARGE.weights)
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


def main() -> None:
    """Print the table."""
    fonts, face = SCRIPT.fonts(), SCRIPT.face()
    print("high  read fitted  read plain on the grid  words with another number of parts")
    for high in HEIGHTS:
        ways = [[way(fonts, face, text, high) for text in READ] for way in (line, on_grid)]
        with TemporaryDirectory() as folder:
            shares = [read_stitched(lines, high, Path(folder)).share for lines in ways]
        wrong = [
            word
            for word in WORDS
            if parts(line(fonts, face, word, high))
            != parts_and_hollows(outline(fonts, face, word, high), least=0.02)[0]
        ]
        told = f"{len(wrong)} of {len(WORDS)} {' '.join(wrong)}"
        print(f"{high:4} {shares[0]:12.3f} {shares[1]:23.3f}  {told}", flush=True)


if __name__ == "__main__":
    main()

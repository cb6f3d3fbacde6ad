"""Prints how near we come to another renderer with text on paths, which it places more exactly if enlarged.

resvg measures paths within half a user unit of the drawing, unless a transform enlarges it: then the
half unit shrinks. So each drawing is given to it a second time, the same picture in coordinates a hundred
times as large. (A transform-origin in the viewport makes another picture of the first.)
"""

import argparse
import io
import re
import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

import numpy as np
import resvg_py
from PIL import Image

from svg2chart.lettering.fonts import read_fonts
from svg2chart.painting import square_colours
from svg2chart.svg.read import parse_artwork
from tests import outside

FONTS = outside.DATA / "svg-suite-fonts"
LARGER = 100
PIXELS = 40  # of a square's side


def enlarged(svg: str) -> str:
    """Return a drawing of the suite in coordinates that are so much larger."""
    box = re.search(r'viewBox="0 0 (\d+) (\d+)"', svg)
    assert box is not None
    wide, high = (LARGER * int(number) for number in box.groups())
    svg = svg.replace(box[0], f'viewBox="0 0 {wide} {high}"', 1)
    start, end = svg.index(">", svg.index("<svg")) + 1, svg.rindex("</svg>")
    return f'{svg[:start]}<g transform="scale({LARGER})">{svg[start:end]}</g></svg>'


def rendered(svg: str) -> np.ndarray:
    """Return the means of a square picture's squares as resvg paints it, premultiplied."""
    names = {"font_family": "Noto Sans", "sans_serif_family": "Noto Sans", "serif_family": "Noto Serif"}
    png = resvg_py.svg_to_bytes(
        svg_string=svg,
        width=outside.COLUMNS * PIXELS,
        skip_system_fonts=True,
        font_dirs=[str(FONTS)],
        **names,
    )
    rgba = np.asarray(Image.open(io.BytesIO(png)).convert("RGBA")) / 255
    rgba = np.concatenate([rgba[..., :3] * rgba[..., 3:], rgba[..., 3:]], axis=2)
    squares = rgba.reshape(outside.COLUMNS, PIXELS, outside.COLUMNS, PIXELS, 4)
    return np.asarray(squares.mean(axis=(1, 3)))


def apart(one: np.ndarray, other: np.ndarray) -> str:
    """Return the greatest difference of a channel, of 255, and the share of squares that are near."""
    far = np.abs(one - other).max(axis=2)
    return f"{far.max() * 255:5.0f} {(far <= outside.NEAR).mean():7.2%}"


def main() -> None:
    """Print, for each drawing, us against both pictures, and these against each other."""
    fonts = read_fonts([FONTS])
    print("greatest difference of 255 and near squares:  us, it     us, it enlarged   it, it enlarged")
    for picture in outside.pictures("svg-suite"):
        svg = picture.path.read_text(encoding="utf-8")
        if picture.scope == "text" and "<textPath" in svg:
            ours = square_colours(parse_artwork(svg.encode(), fonts=fonts), *picture.mean.shape[:2])
            plain, fine = rendered(svg), rendered(enlarged(svg))
            print(f"{picture.name:58}", apart(ours, plain), apart(ours, fine), apart(plain, fine))


if __name__ == "__main__":
    argparse.ArgumentParser(description=__doc__).parse_args()
    main()

"""Collections of drawings with the mean colours that another renderer gives them, beside the repo."""

import csv
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from svg2chart.lettering.fonts import Fonts
from svg2chart.painting import square_colours
from svg2chart.svg.read import read_artwork

DATA = Path(__file__).parents[2] / "shared" / "data"
COLUMNS = 40
BANDS = {"approximate": 64}
"""The drawings of that scope have gradients, which another renderer draws smoothly."""

NEAR, FAR, SHARE = 6 / 255, 40 / 255, 0.99
"""A drawing passes if 99 % of its squares are near on every channel and none is far off; the renderer that
gave the colours (resvg, 40 pixels a square) is within 0.005 of exact areas itself."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """One drawing; `scope` says what of SVG it needs, `mean` is (rows, 40, 4) premultiplied."""

    path: Path
    name: str
    scope: str
    mean: np.ndarray


def pictures(collection: str) -> Iterator[Picture]:
    """Yield the drawings of a collection that have colours to compare with."""
    folder = DATA / collection
    references = np.load(folder / "refs.npz")
    with (folder / "manifest.tsv").open(encoding="utf-8") as file:
        for row in csv.DictReader(file, delimiter="\t"):
            if row["path"] in references:
                mean = references[row["path"]].astype(np.float64) / 65535
                path = folder / "tests" / row["path"]
                yield Picture(path=path, name=row["path"], scope=row["scope"], mean=mean)


def is_painted_alike(picture: Picture, *, fonts: Fonts | None = None, bands: int = 0) -> bool:
    """Return whether our squares have the colours of the other renderer. Raises ChartError."""
    rows, columns = picture.mean.shape[:2]
    found = square_colours(read_artwork(picture.path, fonts=fonts, bands=bands), rows, columns)
    apart = np.abs(found - picture.mean).max(axis=2)
    return bool((apart <= NEAR + 1e-9).mean() >= SHARE and apart.max() <= FAR + 1e-9)

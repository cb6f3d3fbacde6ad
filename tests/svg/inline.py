"""Small drawings written in the tests, and what was read from them."""

from collections.abc import Sequence
from itertools import pairwise

import numpy as np
from shapely import Polygon as Region
from shapely import union_all
from shapely.geometry.base import BaseGeometry

from svg2chart.artwork import Artwork, Fill, Stroke
from svg2chart.geometry.path import Path
from svg2chart.svg.read import parse_artwork

INKSCAPE = 'xmlns:inkscape="http://www.inkscape.org/namespaces/inkscape"'
XLINK = 'xmlns:xlink="http://www.w3.org/1999/xlink"'


def read(content: str, *, root: str = 'viewBox="0 0 100 100"') -> Artwork:
    """Return the drawing with the given content in a root element with the given attributes."""
    return parse_artwork(f'<svg xmlns="http://www.w3.org/2000/svg" {root}>{content}</svg>'.encode())


def said(artwork: Artwork) -> list[tuple[str, str]]:
    """Return the element and the severity of each remark, in order."""
    return [(remark.element, remark.severity.value) for remark in artwork.remarks]


def painted(artwork: Artwork) -> list[tuple[str, str, str]]:
    """Return kind, element and colour of each mark in paint order."""
    return [(type(mark).__name__.lower(), mark.element, mark.colour.hex) for mark in artwork.painted()]


def only(artwork: Artwork) -> Fill | Stroke:
    """Return the only mark."""
    (mark,) = artwork.painted()
    return mark


def corners(path: Path) -> list[tuple[float, float]]:
    """Return where the segments of a path start, rounded to a millionth."""
    return [(round(float(x), 6) + 0.0, round(float(y), 6) + 0.0) for x, y in path.segments[:, 0]]


def points_along(path: Path, steps: int = 24) -> list[np.ndarray]:
    """Return points along each contour, by de Casteljau's construction."""
    t = (np.arange(steps) / steps)[None, :, None]
    chains = []
    for segments, _ in path.contours():
        layers = [segments[:, None, i] for i in range(4)]
        while len(layers) > 1:
            layers = [a + (b - a) * t for a, b in pairwise(layers)]
        chains.append(np.concatenate([layers[0].reshape(-1, 2), segments[-1:, 3]]))
    return chains


def region(paths: Sequence[Path]) -> BaseGeometry:
    """Return the union of simple contours as shapely has it."""
    return union_all([Region(chain).buffer(0) for path in paths for chain in points_along(path)])

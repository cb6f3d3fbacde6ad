"""How high and how wide the letters of a face are drawn: its zones and its standard strokes."""

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from svg2chart.geometry.cut import without_overlaps
from svg2chart.geometry.flatten import flatten_paths
from svg2chart.geometry.path import Path
from svg2chart.geometry.polygon import FillRule, Polygon
from svg2chart.geometry.serifs import without_serifs
from svg2chart.letterforms import Heights
from svg2chart.lettering.edges import Edge, level_edges, upright_edges
from svg2chart.lettering.fonts import Face
from svg2chart.lettering.match import Font
from svg2chart.lettering.metrics import metrics_of
from svg2chart.lettering.shape import outline, shape

_BOLD = 600
"""From this weight on faces are bold: 600 is "semi-bold". Source: OpenType, usWeightClass of table OS/2."""
TOLERANCE_EM = 1 / 2000
"""Outlines are flattened within this part of an em, a fiftieth of a square at the largest letters."""

# letters that stand for a zone or a stroke, the first that a face has: Latin, Greek, Cyrillic, Hebrew,
# Arabic; then some without an accent above, for files of only the letters that plain Latin lacks
_CAPITALS = "HEI\u0397\u041d\u05d4\u0627\u0110\u0118\u1eb8"
_SMALL = "xzv\u03c7\u0445\u0138\u0173\u1ee5"
_ASCENDING = "dlb\u03b4\u0431\u0142\u0111"
_DESCENDING = "pq\u03c1\u0440\u05e7\u0645\u0123\u014b"
_UPRIGHT = "lIH\u0399\u0406\u05d5\u0627\u0142\u0111\u0110"
_LEVEL = "HEtT\u0397\u041d\u05d4\u0110\u0118"
_STEM = 0.3
"""A stem is longer than this part of the height of a letter of two."""
_OF_TWO_STEMS = "n\u043f\u0146\u0144"


@lru_cache(maxsize=4096)
def glyph_polygon(face: Face, number: int) -> Polygon:
    """Return the outline of a glyph as a region without overlaps, in em, y down from the baseline."""
    return region_of(Path.of_contours([(contour, True) for contour in outline(face, number)]))


def region_of(path: Path) -> Polygon:
    """Return what a letter's outline in em fills, without overlaps."""
    if path.is_empty:
        return Polygon.of_contours([])
    chains = flatten_paths([path], tolerance=TOLERANCE_EM)[0]
    return without_overlaps(Polygon(points=chains.points, starts=chains.starts, rule=FillRule.NONZERO))


@lru_cache(maxsize=256)
def heights_of(face: Face) -> Heights:
    """Return the heights of a face, measured on its letters: what its tables say is often wrong.

    Raises:
        FontError: the file cannot be read any more.
    """
    metrics = metrics_of(face)
    capital = _reach(face, _CAPITALS, up=True) or metrics.ascent
    small = _reach(face, _SMALL, up=True) or metrics.x_height or capital * 0.7
    stem = _stroke(face, _UPRIGHT, upright=True) or capital / 8
    return Heights(
        capital=capital,
        small=min(small, capital),
        ascender=max(_reach(face, _ASCENDING, up=True), capital),
        descender=_reach(face, _DESCENDING, up=False) or capital / 4,
        stem=stem,
        bar=_stroke(face, _LEVEL, upright=False) or stem,
        is_bold=face.weight >= _BOLD,
        between_stems=_between_stems(face, capital),
    )


def heights_of_font(font: Font) -> Heights:
    """Return the heights of a font, measured in that of its files which has its plain capitals.

    Raises:
        FontError: a file cannot be read any more.
    """
    return heights_of(next((face for face in font if face.has(_CAPITALS[0])), font[0]))


@lru_cache(maxsize=256)
def is_handwriting(face: Face) -> bool:
    """Whether letters of a face that are written apart elsewhere run into each other: an n into the next.

    Raises:
        FontError: the file cannot be read any more.
    """
    if not face.engine.get_nominal_glyph(ord("n")):
        return False
    before, _ = shape(face, "nn", 0, 2, level=0, script="Latn", features={})
    reach = glyph_polygon(face, before.number).points[:, 0]
    return bool(len(reach)) and before.advance + float(reach.min()) <= float(reach.max())


def _first(face: Face, letters: str) -> Polygon | None:
    for letter in letters:
        number = face.engine.get_nominal_glyph(ord(letter))
        if number:
            polygon = glyph_polygon(face, number)
            if len(polygon.points):
                return polygon
    return None


def _reach(face: Face, letters: str, *, up: bool) -> float:
    """Return how far the first of the letters reaches above or below the baseline."""
    polygon = _first(face, letters)
    if polygon is None:
        return 0.0
    heights: NDArray[np.float64] = polygon.points[:, 1]
    return max(float(-heights.min() if up else heights.max()), 0.0)


def _stroke(face: Face, letters: str, *, upright: bool) -> float:
    """Return the width of the longest stroke of the first of the letters that the face has.

    A stroke is longer than it is wide: the top of an H and its feet lie above each other and bound none,
    though serifs make them longer than its bar.
    """
    polygon = _first(face, letters)
    if polygon is None:
        return 0.0
    edges = upright_edges(polygon) if upright else level_edges(polygon)
    pairs = [(a, b) for a, b in stroke_pairs(edges, most=np.inf) if a.shares(b) >= b.at - a.at]
    if not pairs:
        return 0.0
    begin, end = max(pairs, key=lambda pair: pair[0].shares(pair[1]))
    return end.at - begin.at


def _between_stems(face: Face, capital: float) -> float:
    """Return how much white lies between the stems of a letter of two that stands on serifs, inf without."""
    polygon = _first(face, _OF_TWO_STEMS)
    if polygon is None or is_handwriting(face) or without_serifs(polygon, capital=capital) is polygon:
        return np.inf
    high = float(np.ptp(polygon.points[:, 1]))
    pairs = stroke_pairs(upright_edges(polygon), most=np.inf)
    stems = sorted((begin.at, end.at) for begin, end in pairs if begin.shares(end) > _STEM * high)
    return stems[1][0] - stems[0][1] if len(stems) == 2 else np.inf


def stroke_pairs(edges: list[Edge], *, most: float, short: float = 0.0) -> list[tuple[Edge, Edge]]:
    """Return the pairs of edges that bound a stroke of at most a width, each edge in one pair at most.

    An edge up to the length `short` at which a stroke ends, as at the tip of a serif, bounds none by itself:
    only two of them do, those of a dot.
    """
    found = []
    for begin in (edge for edge in edges if edge.begins):
        for end in (edge for edge in edges if not edge.begins and begin.at < edge.at <= begin.at + most):
            shared = begin.shares(end)
            tips = [edge.is_end and edge.length <= short for edge in (begin, end)]
            if tips[0] == tips[1] and shared > 0.3 * min(begin.length, end.length):
                found.append((end.at - begin.at - 0.5 * shared, begin, end))
    pairs, taken = [], set()
    for _, begin, end in sorted(found, key=lambda one: (one[0], one[1].at, one[1].low)):
        if id(begin) not in taken and id(end) not in taken:
            taken |= {id(begin), id(end)}
            pairs.append((begin, end))
    return pairs

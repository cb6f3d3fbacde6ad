"""What good letters on the grid are, in numbers, measured on what is stitched and on the font's outlines."""

from collections import Counter
from collections.abc import Callable, Iterator
from itertools import pairwise
from statistics import pstdev

import numpy as np
import shapely

from svg2chart.geometry.growing import parts_and_hollows, symmetric_share, thickened
from svg2chart.geometry.polygon import Polygon
from svg2chart.geometry.serifs import without_serifs
from svg2chart.lettering.fonts import Face
from svg2chart.lettering.heights import glyph_polygon, heights_of
from svg2chart.letters.gaps import outline_profile, stitched_profile, white
from svg2chart.letters.placed import SetLetter
from svg2chart.letters.scales import scale_of
from svg2chart.letters.warping import cut_finely

CHARACTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789"
SYMMETRIC = "AHIMOTUVWXYovwxil08"
FLAT_CAPITALS, FLAT_SMALL = "BDEFHIKLMNPRTUVWXYZ", "mnruvwxz"
DIAGONAL = "AVWX"
# pairs that are frequent in English and German, and those that are kerned; our own list
PAIRS = [
    "th",
    "he",
    "in",
    "er",
    "an",
    "re",
    "on",
    "at",
    "en",
    "nd",
    "ti",
    "es",
    "or",
    "te",
    "of",
    "ed",
    "is",
    "it",
    "al",
    "ar",
    "st",
    "to",
    "nt",
    "ng",
    "se",
    "ha",
    "as",
    "ou",
    "io",
    "le",
    "ve",
    "co",
    "me",
    "de",
    "hi",
    "ri",
    "ro",
    "ic",
    "ne",
    "ea",
    "ra",
    "ce",
    "li",
    "ch",
    "AV",
    "To",
    "Ta",
    "Va",
    "We",
    "Yo",
    "LT",
]

# the corners of each octant, in half squares
RIM = ((1, 0), (2, 0), (2, 1), (2, 2), (1, 2), (0, 2), (0, 1), (0, 0), (1, 0))
CORNERS = [((1, 1), first, then) for first, then in pairwise(RIM)]

# where lines lie across a row of squares, for all of it
ACROSS_ROW = np.arange(0.05, 1.0, 0.1)

Letters = Callable[[str], list[SetLetter]]


def outline_of(face: Face, character: str, high: int) -> Polygon:
    """Return the outline of a character, in squares."""
    em = high / heights_of(face).capital
    polygon = glyph_polygon(face, face.engine.get_nominal_glyph(ord(character)))
    return cut_finely(Polygon(points=polygon.points * em, starts=polygon.starts, rule=polygon.rule))


def runs(row: np.ndarray) -> list[float]:
    """Return the ink of each unbroken run of a row of squares (columns, 8), from left to right."""
    inked = np.concatenate([[False], row.any(axis=1), [False]])
    starts, ends = np.flatnonzero(inked[1:] & ~inked[:-1]), np.flatnonzero(~inked[1:] & inked[:-1])
    return [float(row[start:end].sum()) / 8 for start, end in zip(starts, ends, strict=True)]


def crossings(outline: Polygon, y: float) -> list[tuple[float, float, bool]]:
    """Return the ink on a line across an outline: from where to where, whether both sides are upright."""
    found = []
    for x0, y0, x1, y1 in outline.edges():
        if (y0 <= y) != (y1 <= y):
            x = x0 + (y - y0) / (y1 - y0) * (x1 - x0)
            found.append((x, abs(x1 - x0) <= 0.01 * abs(y1 - y0)))
    found.sort()
    return [(a, b, up and also) for (a, up), (b, also) in zip(found[::2], found[1::2], strict=True)]


def stem_widths(face: Face, high: int, letter: Letters) -> Iterator[float]:
    """Yield how wide straight stems are stitched, in rows in which nothing joins them; not M and N.

    White of less than half a square beside a stem is part of a join: there is no bare square for it. A row is
    looked at in all of the outline that becomes it: bars and x-heights are moved, and may be thin there.
    """
    stem = heights_of(face).stem * scale_of(heights_of(face), high).em
    for character in CHARACTERS:
        if character in "MN":
            continue
        outline = outline_of(face, character, high)
        to, at = _zones(character, outline, face, high)
        for one in letter(character):
            for index, row in enumerate(one.shown):
                across = np.interp(one.row + index + ACROSS_ROW, to, at)
                lines = [crossings(outline, y) for y in across.tolist()]
                if len({len(line) for line in lines}) > 1:
                    continue
                stitched = runs(row)
                for k in range(len(lines[0])):
                    if any(min(_white_beside(line, k)) < 0.5 for line in lines):
                        continue
                    is_straight = all(line[k][2] for line in lines)
                    widths = [line[k][1] - line[k][0] for line in lines]
                    if is_straight and np.ptp(widths) < 0.02 and abs(widths[0] - stem) < 0.2 * stem:
                        yield stitched[k] if len(stitched) == len(lines[0]) else float("nan")


def _zones(character: str, outline: Polygon, face: Face, high: int) -> tuple[list[float], list[float]]:
    """Return to which rows the zones of a letter go, and where they are in its outline, in squares.

    Capitals and figures as high as these have no x-height, small letters have nothing at that of capitals.
    """
    heights, scale = heights_of(face), scale_of(heights_of(face), high)
    top, capital = (-scale.ascender, -heights.ascender), (-scale.high, -heights.capital)
    small, foot, tail = (-scale.small, -heights.small), (0, 0.0), (scale.descender, heights.descender)
    if character.islower():
        zones = [top, small, foot, tail]
    elif outline.points[:, 1].min() < -0.9 * high:
        zones = [capital, foot, tail]
    else:
        zones = [capital, small, foot, tail]
    return [to for to, _ in zones], [at * scale.em for _, at in zones]


def _white_beside(line: list[tuple[float, float, bool]], k: int) -> tuple[float, float]:
    """Return how much white lies left and right of a stretch of ink on a line across an outline."""
    before = line[k][0] - line[k - 1][1] if k else np.inf
    after = line[k + 1][0] - line[k][1] if k + 1 < len(line) else np.inf
    return before, after


def even_stems(face: Face, high: int, letter: Letters) -> float:
    """Return the share of stem samples that have the commonest width."""
    widths = list(stem_widths(face, high, letter))
    return Counter(widths).most_common(1)[0][1] / len(widths) if widths else 1.0


def aligned(face: Face, high: int, letter: Letters) -> float:
    """Return the share of tops and bottoms of flat letters that lie on their lines."""
    scale = scale_of(heights_of(face), high)
    tests = []
    for characters, top in ((FLAT_CAPITALS, scale.high), (FLAT_SMALL, scale.small)):
        for character in characters:
            (one,) = letter(character)
            tests += [one.row == -top, one.row + len(one.shown) == 0]
            tests += [one.shown[0].any(), one.shown[-1].any()]
    return sum(map(bool, tests)) / len(tests)


def symmetric(face: Face, high: int, letter: Letters) -> float:
    """Return the share of exactly symmetric letters among those that are symmetric in the font.

    That is, whose mirror image shares four fifths of the area.
    """
    good = []
    for character in SYMMETRIC:
        outline = outline_of(face, character, high)
        centre = outline.points[:, 0].min() + outline.points[:, 0].max()
        image = Polygon(
            points=outline.points * (-1, 1) + (centre, 0), starts=outline.starts, rule=outline.rule
        )
        if symmetric_share(outline, image) >= 0.8:
            (one,) = letter(character)
            good.append(np.array_equal(one.shown, one.shown[:, ::-1][..., ::-1]))
    return sum(good) / len(good)


def region(shown: np.ndarray) -> shapely.Geometry:
    """Return stitches as a region of shapely: what touches at a point only is joined."""
    triangles = [
        [(column + x / 2, row + y / 2) for x, y in CORNERS[octant]]
        for row, column, octant in np.argwhere(shown).tolist()
    ]
    return shapely.buffer(shapely.union_all(shapely.polygons(triangles)), 1e-3, join_style="mitre")


def pieces(shown: np.ndarray) -> tuple[int, int]:
    """Return parts and counters of stitches: what touches at a point only is joined."""
    if not shown.any():
        return 0, 0
    parts = shapely.get_parts(region(shown))
    return len(parts), sum(len(part.interiors) for part in parts)


def right_pieces(face: Face, high: int, letter: Letters) -> tuple[float, str]:
    """Return the share of letters with the font's number of parts and counters, and the others."""
    wrong = ""
    for character in CHARACTERS:
        outline = outline_of(face, character, high)
        shown = _joined(letter(character))
        if pieces(shown) != tuple(map(int, parts_and_hollows(outline, least=0.0))):
            wrong += character
    return 1 - len(wrong) / len(CHARACTERS), wrong


def _joined(letters: list[SetLetter]) -> np.ndarray:
    (one,) = letters
    return one.shown


def spacing(face: Face, high: int, letter: Letters) -> float:
    """Return the standard deviation of stitched white less the font's, over all pairs, in squares."""
    off = []
    em = high / heights_of(face).capital
    span, rows = {"top": -2 * high, "bottom": high}, range(-high, 0)
    for pair in PAIRS:
        found = letter(pair)
        if len(found) != 2:
            continue
        glyphs = _apart(face, pair)
        one, other = (outline_profile(outline_of(face, c, high), **span) for c in pair)
        plain = white(one, other, glyphs * em, rows=rows, high=high)
        stitched = [stitched_profile(f.shown, first=f.row, column=f.column, **span) for f in found]
        off.append(white(stitched[0], stitched[1], 0.0, rows=rows, high=high) - plain)
    return pstdev(off)


def _apart(face: Face, pair: str) -> float:
    from svg2chart.lettering.shape import shape

    return shape(face, pair, 0, 2, level=0, script="Latn", features={})[0].advance


def diagonal_ink(face: Face, high: int, letter: Letters) -> list[float]:
    """Return for A, V, W and X their ink by that of the plain outline with strokes of the stitched width.

    Stems become whole squares and hairlines nearly one, so that a light face becomes darker all over. What
    counts is that diagonals become neither darker nor lighter than all else: the outline is thickened as
    stems are, and where all letters are without serifs it is so, too.
    """
    heights, scale = heights_of(face), scale_of(heights_of(face), high)
    stem = heights.stem * scale.em
    more = scale.stem - stem
    found = []
    for character in DIAGONAL:
        plain = outline_of(face, character, high)
        if not scale.has_serifs:
            plain = without_serifs(plain, capital=high)
        outline = thickened(plain, stem=more, bar=more, least=0.9, hair=0.75 * stem, flare=np.inf)
        x0, y0, x1, y1 = outline.edges().T
        (one,) = letter(character)
        found.append(float(one.shown.sum()) / 8 / abs(float((x0 * y1 - x1 * y0).sum()) / 2))
    return found

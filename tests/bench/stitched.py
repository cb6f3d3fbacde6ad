"""What a chart shows, octant by octant: pictures of it, and the outline that it gives one colour."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import atan2, degrees

import numpy as np
from PIL import Image, ImageDraw

from svg2chart.arranging.patterns import HALF_OCTANTS, QUADRANT_OCTANTS
from svg2chart.chart import Chart, StitchKind

# the corners of octant i of a square, and of its middle, in half squares; clockwise from the top
RIM = ((1, 0), (2, 0), (2, 1), (2, 2), (1, 2), (0, 2), (0, 1), (0, 0))
CLOTH = (250, 246, 235)

Point = tuple[int, int]


def shown_by(chart: Chart) -> np.ndarray:
    """Return (rows, columns, 8) the thread that each octant shows, -1 for cloth."""
    table = np.full((len(chart.arrangements), 8), -1)
    for index, arrangement in enumerate(chart.arrangements):
        # the upper of a square's stitches comes first and hides what is below
        for stitch in reversed(arrangement):
            if stitch.kind is StitchKind.FULL:
                octants: Sequence[int] = range(8)
            elif stitch.kind is StitchKind.THREE_QUARTER:
                octants = HALF_OCTANTS[stitch.corner]
            elif len(arrangement) == 2 and arrangement[0].kind is StitchKind.THREE_QUARTER:
                octants = HALF_OCTANTS[stitch.corner]  # with the three-quarter over it, half the square
            else:
                octants = QUADRANT_OCTANTS[stitch.corner]
            table[index, list(octants)] = stitch.thread
    return table[chart.squares]


@dataclass(frozen=True, slots=True, kw_only=True)
class Outline:
    """One chain of the outline between what shows and what does not, points in half squares."""

    points: tuple[Point, ...]
    is_closed: bool

    def turns(self) -> list[tuple[Point, float]]:
        """Return the points where the chain turns, and by how many degrees, clockwise positive."""
        points = list(self.points)
        if self.is_closed:
            points = [points[-1], *points, points[0]]
        found = []
        for before, at, after in zip(points, points[1:], points[2:], strict=False):
            one = atan2(at[1] - before[1], at[0] - before[0])
            two = atan2(after[1] - at[1], after[0] - at[0])
            turn = (degrees(two - one) + 180) % 360 - 180
            if abs(turn) > 1:
                found.append((at, turn))
        return found

    def saws(self) -> list[Point]:
        """Return where two turns of 90 degrees or more, against each other, lie in one square."""
        sharp = self.turns()
        pairs = list(pairwise(sharp))
        if self.is_closed and len(sharp) > 2:
            pairs.append((sharp[-1], sharp[0]))
        return [
            one
            for (one, turn), (other, back) in pairs
            if min(abs(turn), abs(back)) > 89
            and turn * back < 0
            and max(abs(one[0] - other[0]), abs(one[1] - other[1])) <= 2
            and _share_a_square(one, other)
        ]


def _share_a_square(one: Point, other: Point) -> bool:
    return all(
        min(a, b) // 2 == max(a, b) // 2 or max(a, b) == min(a, b) // 2 * 2 + 2
        for a, b in zip(one, other, strict=True)
    )


def outlines(inside: np.ndarray) -> list[Outline]:
    """Return the outlines of the octants that are inside, (rows, columns, 8) bool, inside on the right."""
    rows, columns, _ = inside.shape
    padded = np.zeros((rows + 2, columns + 2, 8), bool)
    padded[1:-1, 1:-1] = inside
    following: dict[Point, list[Point]] = {}
    for row, column in np.ndindex(rows + 2, columns + 2):
        own = padded[row, column]
        if own.any():
            for start, end in _edges(padded, row, column):
                following.setdefault(start, []).append(end)
    return list(_chains(following))


def _edges(padded: np.ndarray, row: int, column: int) -> Iterator[tuple[Point, Point]]:
    own = padded[row, column]
    left, top = 2 * (column - 1), 2 * (row - 1)
    rim = [(left + x, top + y) for x, y in RIM]
    middle = (left + 1, top + 1)
    # the octant of a neighbour that lies on the other side of each octant's outer edge
    facing = ((-1, 0, 3), (0, 1, 6), (0, 1, 5), (1, 0, 0), (1, 0, 7), (0, -1, 2), (0, -1, 1), (-1, 0, 4))
    for octant in range(8):
        if not own[octant]:
            continue
        start, end = rim[octant], rim[(octant + 1) % 8]
        down, right, other = facing[octant]
        if not padded[row + down, column + right, other]:
            yield start, end
        if not own[(octant + 1) % 8]:
            yield end, middle
        if not own[octant - 1]:
            yield middle, start


def _chains(following: dict[Point, list[Point]]) -> Iterator[Outline]:
    while following:
        start = min(following)
        chain = [start]
        at = start
        came: Point | None = None
        while True:
            ends = following[at]
            # where pieces touch at a point, turn as sharply to the right as can be: each piece by itself
            end = ends[0] if came is None else min(ends, key=lambda e: _turn(came, at, e))
            ends.remove(end)
            if not ends:
                del following[at]
            came, at = at, end
            if at == start:
                break
            chain.append(at)
        yield Outline(points=tuple(_without_straight(chain)), is_closed=True)


def _turn(before: Point, at: Point, after: Point) -> float:
    one = atan2(at[1] - before[1], at[0] - before[0])
    two = atan2(after[1] - at[1], after[0] - at[0])
    return -((degrees(two - one) + 180) % 360)


def _without_straight(chain: list[Point]) -> list[Point]:
    kept = []
    for i, at in enumerate(chain):
        before, after = chain[i - 1], chain[(i + 1) % len(chain)]
        cross = (at[0] - before[0]) * (after[1] - at[1]) - (at[1] - before[1]) * (after[0] - at[0])
        if cross:
            kept.append(at)
    return kept


def picture(
    shown: np.ndarray, colours: Sequence[str], *, pixels: int = 16, art: Sequence[np.ndarray] = ()
) -> Image.Image:
    """Return a picture of what is shown, with the art's outlines (points in squares) over it."""
    rows, columns, _ = shown.shape
    image = Image.new("RGB", (columns * pixels + 1, rows * pixels + 1), CLOTH)
    pen = ImageDraw.Draw(image)
    half = pixels / 2
    for row, column in np.ndindex(rows, columns):
        for octant in range(8):
            thread = shown[row, column, octant]
            if thread >= 0:
                corners = [RIM[octant], RIM[(octant + 1) % 8], (1, 1)]
                points = [((2 * column + x) * half, (2 * row + y) * half) for x, y in corners]
                pen.polygon(points, fill=colours[thread])
    for line in range(columns + 1):
        pen.line([(line * pixels, 0), (line * pixels, rows * pixels)], fill=(190, 190, 190))
    for line in range(rows + 1):
        pen.line([(0, line * pixels), (columns * pixels, line * pixels)], fill=(190, 190, 190))
    for points in art:
        scaled = [(float(x) * pixels, float(y) * pixels) for x, y in points]
        pen.line([*scaled, scaled[0]], fill=(0, 0, 0), width=1)
    return image


def sheet(images: Sequence[Image.Image], *, across: int, gap: int = 6) -> Image.Image:
    """Return the pictures side by side, so many across."""
    wide = max(image.width for image in images) + gap
    high = max(image.height for image in images) + gap
    whole = Image.new("RGB", (across * wide, -(-len(images) // across) * high), "white")
    for index, image in enumerate(images):
        whole.paste(image, (index % across * wide, index // across * high))
    return whole

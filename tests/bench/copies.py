"""Prints how many copies of one shape come out alike: equal widths stay equal.

python tests/bench/copies.py            the examples and real drawings, at 40, 60, 80 and 100 squares
python tests/bench/copies.py FILE...    other drawings, every group of copies by name

What is seen of two shapes is congruent, moved or seen in a mirror: then they are copies. They come out alike
if the same octants show their colour, moved by whole squares or seen in a mirror.
"""

import sys
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import shapely
from shapely.affinity import scale, translate

sys.path.insert(0, str(Path(__file__).parents[2]))

from svg2chart.convert import PLAIN, convert_and_measure
from svg2chart.fit import Laid, lay_on_grid
from svg2chart.geometry.polygon import Polygon
from svg2chart.grid import Grid
from svg2chart.merging import differences
from svg2chart.svg.read import read_artwork
from tests import outside
from tests.bench.stitched import shown_by

WIDTHS = (40, 60, 80, 100)
LEAST_AREA = 1.0
"""In squares; smaller shapes are a stitch or two."""

CONGRUENT = 1 / 50
"""Of two regions so much of the area may differ: curves are flattened and points rounded."""

# where the middle of octant i lies in its square, clockwise from the top
TURNS = np.pi * (np.arange(8) / 4 - 3 / 8)
MIDDLES = 0.5 + np.stack([np.cos(TURNS), np.sin(TURNS)], axis=1) / 3
MIRRORED = 7 - np.arange(8)

Region = shapely.Geometry


@dataclass(frozen=True, slots=True, kw_only=True)
class Copy:
    """A shape, what is seen of it as drawn, and the octants (row, column, octant) that show it."""

    element: str
    seen: Region
    look: frozenset[tuple[int, int, int]]


def region(polygon: Polygon) -> Region:
    """Return the region of a polygon whose contours do not cross themselves."""
    whole = shapely.Polygon()
    for contour in polygon.contours():
        if len(contour) > 2:
            whole = whole.symmetric_difference(shapely.Polygon(contour).buffer(0))
    return whole


def seen_of(laid: Laid) -> list[Region]:
    """Return what later shapes leave of each."""
    left, cover = [], shapely.Polygon()
    for shape in reversed(laid.shapes):
        own = region(shape.polygon)
        left.append(own.difference(cover))
        cover = cover.union(own) if shape.paint.opacity == 1 else cover
    return left[::-1]


def copies_in(path: Path, wide: int) -> list[list[Copy]]:
    """Return the groups of copies in the chart of a drawing."""
    artwork = read_artwork(path)
    grid = Grid.fit(artwork, wide=wide)
    drawn = lay_on_grid(artwork, Grid.fit(artwork, wide=wide, movement=0.0))
    made = convert_and_measure(artwork, grid, PLAIN)
    if len(made.laid.shapes) != len(drawn.shapes):
        return []
    shown, owner = shown_by(made.worked), {}  # threads as the palette has them
    colours = differences([s.paint.colour for s in drawn.shapes], made.palette.looks[1:]).argmin(axis=1)
    fitted = seen_of(made.laid)
    for colour in np.unique(colours):
        own = np.flatnonzero(colours == colour)
        places = np.argwhere(shown == colour)
        points = shapely.points(places[:, 1::-1] + MIDDLES[places[:, 2]])
        tree = shapely.STRtree([fitted[i] for i in own])
        for point, shape in tree.query_nearest(points, max_distance=1.0, all_matches=False).T:
            owner.setdefault(own[shape], set()).add(tuple(places[point].tolist()))
    copies = [
        Copy(element=mark.element, seen=part, look=frozenset(owner.get(i, ())))
        for i, (mark, part) in enumerate(zip(drawn.marks, seen_of(drawn), strict=True))
        if part.area >= LEAST_AREA and 2 * part.area >= region(drawn.shapes[i].polygon).area
    ]
    return [group for group in gathered(copies) if len(group) > 1]


def gathered(copies: Sequence[Copy]) -> list[list[Copy]]:
    """Return the groups of congruent ones."""
    groups: list[list[Copy]] = []
    for copy in copies:
        for group in groups:
            if are_congruent(group[0].seen, copy.seen):
                group.append(copy)
                break
        else:
            groups.append([copy])
    return groups


def are_congruent(one: Region, other: Region) -> bool:
    """Whether regions are the same but for a move or a mirror."""
    a, b = np.array(one.bounds), np.array(other.bounds)
    if np.abs((a[2:] - a[:2]) - (b[2:] - b[:2])).max() > CONGRUENT:
        return False
    moved = translate(other, *(a[:2] - b[:2]))
    turned = scale(moved, xfact=-1)
    return any(one.symmetric_difference(it).area <= CONGRUENT * one.area for it in (moved, turned))


def placed(look: frozenset[tuple[int, int, int]]) -> tuple[tuple[int, int, int], ...]:
    """Return a look as if it began in the first row and column."""
    top = min((r for r, _, _ in look), default=0)
    left = min((c for _, c, _ in look), default=0)
    return tuple(sorted((r - top, c - left, o) for r, c, o in look))


def mirrored(look: frozenset[tuple[int, int, int]]) -> frozenset[tuple[int, int, int]]:
    """Return a look in a mirror."""
    return frozenset((r, -c, int(MIRRORED[o])) for r, c, o in look)


def looks(group: Sequence[Copy]) -> list[list[str]]:
    """Return the elements that show alike, look by look."""
    by_look: dict[tuple[tuple[int, int, int], ...], list[str]] = {}
    for copy in group:
        by_look.setdefault(min(placed(copy.look), placed(mirrored(copy.look))), []).append(copy.element)
    return list(by_look.values())


def main(paths: Sequence[Path], *, names: bool) -> None:
    """Print how many groups are alike, size by size."""
    alike, count, same, members = 0, 0, 0, 0
    for wide in WIDTHS:
        found = [(path, looks(group)) for path in paths for group in copies_in(path, wide)]
        for path, by_look in found if names else ():
            listed = " | ".join(" ".join(elements) for elements in by_look)
            print(f"{path.stem} {wide}: {'alike ' if len(by_look) == 1 else 'UNLIKE'} {listed}")
        own = sum(len(by_look) == 1 for _, by_look in found)
        alike, count = alike + own, count + len(found)
        same += sum(max(map(len, by_look)) for _, by_look in found)
        members += sum(sum(map(len, by_look)) for _, by_look in found)
        print(f"{wide:4} squares: {own} of {len(found)} groups of copies alike", flush=True)
    print(f"in all {alike} of {count} groups alike; {same} of {members} copies are as most of their group")


if __name__ == "__main__":
    given = [Path(name) for name in sys.argv[1:]]
    every = sorted((Path(__file__).parents[2] / "examples").glob("*.svg"))
    main(given or [*every, *(p.path for p in outside.pictures("art-open"))], names=bool(given))

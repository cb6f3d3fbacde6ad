"""Times exact areas against general-purpose peers on the same shapes and prints ratios of CPU time."""

import argparse
import io
import math
import resource
import sys
import time
from collections.abc import Callable
from pathlib import Path

import exactextract
import numpy as np
import resvg_py
import shapely
from exactextract.feature import JSONFeatureSource
from exactextract.raster import NumPyRasterSource
from PIL import Image

Image.MAX_IMAGE_PIXELS = None  # the largest picture has 256 million, and is our own
sys.path.insert(0, str(Path(__file__).parents[2]))

from svg2chart.colour import Colour
from svg2chart.coverage import measure_knots
from svg2chart.fit import lay_on_grid
from svg2chart.geometry.polygon import Polygon, edges_of_all
from svg2chart.grid import TOLERANCE_SQUARES, Grid
from svg2chart.octants.crossings import Places, cut_edges, in_half_squares
from svg2chart.octants.stacks import Paint
from svg2chart.octants.windings import measure, touch
from svg2chart.svg.read import parse_artwork
from svg2chart.visible import Shape, visible_areas
from tests import outside
from tests.bench.reading import ROUNDS, WIDE, all_at_once, one_by_one, peer_read_and_flatten

CASES = ((100, 200), (400, 2_000))
LARGE = (1_000, 10_000)
SHAPES_AT_ONCE = 30  # 3,000 edges: their arrays stay in the processor's cache
PALETTE = [Colour(*channels) for channels in np.random.default_rng(2).random((30, 3)).tolist()]


def blobs(side: int, count: int) -> list[Polygon]:
    """Return smooth shapes of 100 points, 2 to 12 squares in radius, on a grid of side by side squares."""
    random = np.random.default_rng(1)
    turn = np.linspace(0, 2 * math.pi, 100, endpoint=False)
    made = []
    for _ in range(count):
        centre, radius = random.uniform(0, side, 2), random.uniform(2, 12)
        waves = [random.uniform(-0.15, 0.15) * np.cos(k * turn + random.uniform(0, 6.3)) for k in (2, 3, 5)]
        reach = radius * (1 + sum(waves))
        points = centre + reach[:, None] * np.stack([np.cos(turn), np.sin(turn)], axis=1)
        made.append(Polygon.of_contours([np.rint(points * 2**20) / 2**20]))
    return made


def cpu(work: Callable[[], object]) -> float:
    """Return the CPU seconds of the best of three runs, of one where it takes long."""
    times = []
    while len(times) < 3 and sum(times) < 5:
        start = time.process_time()
        work()
        times.append(time.process_time() - start)
    return min(times)


def coverage(shapes: list[Polygon], side: int) -> None:
    """Measure the octants of every shape by itself, all that its outline touches and the runs inside."""
    even_odd = np.zeros(len(shapes), np.bool_)
    for low in range(0, len(shapes), SHAPES_AT_ONCE):
        edges, owner = edges_of_all(shapes[low : low + SHAPES_AT_ONCE])
        places = Places(rows=2 * side, columns=2 * side)
        pieces = cut_edges(in_half_squares(edges), low + owner, places)
        touched, _ = touch(pieces, places, even_odd=even_odd)
        halves = measure(touched, even_odd=even_odd)
        if halves.knotted.any():
            measure_knots(touched.taken(np.flatnonzero(halves.knotted)), even_odd=even_odd)


def visible(shapes: list[Polygon], side: int) -> None:
    """Find who is seen where."""
    painted = [Shape(polygon=p, paint=Paint(colour=PALETTE[i % 30])) for i, p in enumerate(shapes)]
    visible_areas(painted, rows=side, columns=side)


def with_exactextract(shapes: list[Polygon], side: int) -> None:
    """Share of every quadrant under every shape."""
    raster = NumPyRasterSource(
        np.zeros((2 * side, 2 * side), np.float32), xmin=0, ymin=0, xmax=side, ymax=side
    )
    features = [
        {
            "type": "Feature",
            "id": str(number),
            "properties": {},
            "geometry": {"type": "Polygon", "coordinates": [[*p.points.tolist(), p.points[0].tolist()]]},
        }
        for number, p in enumerate(shapes)
    ]
    exactextract.exact_extract(raster, JSONFeatureSource(features), ["coverage"], max_cells_in_memory=10**8)


def what_is_left(seen: list[shapely.Geometry], side: int) -> None:
    """Measure the octants of polygons of which others were cut away."""
    left = []
    for geometry in seen:
        parts = [p for p in shapely.get_parts(geometry) if p.geom_type == "Polygon" and not p.is_empty]
        rings = [shapely.get_coordinates(r)[:-1] for p in parts for r in (p.exterior, *p.interiors)]
        left.append(Polygon.of_contours(rings))
    coverage([p for p in left if len(p.points)], side)


def with_differences(shapes: list[Polygon], side: int) -> None:
    """Go from the top down: cut what is covered so far out of each shape, then add the shape to that."""
    seen, covered = [], shapely.Polygon()
    for polygon in reversed([shapely.make_valid(shapely.Polygon(p.points)) for p in shapes]):
        seen.append(shapely.difference(polygon, covered))
        covered = shapely.union(covered, polygon)
    what_is_left(seen, side)


def with_neighbours(shapes: list[Polygon], side: int) -> None:
    """Cut each later shape nearby out of each shape, one by one, until nothing is left."""
    polygons = [shapely.make_valid(shapely.Polygon(p.points)) for p in shapes]
    tree = shapely.STRtree(polygons)
    seen = []
    for number, polygon in enumerate(polygons):
        left = polygon
        for other in sorted(i for i in tree.query(polygon).tolist() if i > number):
            left = shapely.difference(left, polygons[other])
            if left.is_empty:
                break
        seen.append(left)
    what_is_left(seen, side)


def with_resvg(shapes: list[Polygon], side: int) -> None:
    """Draw 16 by 16 pixels a square and give each quadrant its commonest colour."""
    paths = "".join(
        f'<path fill="{PALETTE[i % 30].hex}" d="M{"L".join(f"{x:g},{y:g}" for x, y in p.points.tolist())}Z"/>'
        for i, p in enumerate(shapes)
    )
    svg = f'<svg xmlns="http://www.w3.org/2000/svg" width="{side}" height="{side}">{paths}</svg>'
    with Image.open(io.BytesIO(resvg_py.svg_to_bytes(svg_string=svg, width=side * 16))) as drawn:
        picture = np.asarray(drawn.convert("RGB"))
    for rows in np.split(picture, range(160, 16 * side, 160)):  # a whole packed picture takes gigabytes
        packed = rows.astype(np.int32) @ np.array([65536, 256, 1], np.int32)
        quadrants = packed.reshape(-1, 8, 2 * side, 8).swapaxes(1, 2).reshape(-1, 2 * side, 64)
        ordered = np.sort(quadrants, axis=2)
        ordered[..., 32].copy()  # the middle one wins wherever one colour has the majority


PEERS = {
    "shapely differences, from the top down": with_differences,
    "shapely differences, neighbour by neighbour": with_neighbours,
    "resvg and a vote": with_resvg,
}


def drawings() -> None:
    """Print what the areas of the real drawings cost beside reading and flattening them with svgelements."""
    spent = np.zeros(3)
    files = [picture.path.read_bytes() for picture in outside.pictures("art-open")]
    for data in files:
        artwork = parse_artwork(data)
        grid = Grid.fit(artwork, wide=WIDE)
        shapes, tolerance = lay_on_grid(artwork, grid).shapes, grid.square * TOLERANCE_SQUARES
        times = []
        for _ in range(ROUNDS):
            start = time.process_time()
            visible_areas(shapes, groups=artwork.groups, rows=grid.rows, columns=grid.columns)
            middle = time.process_time()
            peer_read_and_flatten(data, tolerance, all_at_once)
            times.append((middle - start, time.process_time() - middle))
        start = time.process_time()
        peer_read_and_flatten(data, tolerance, one_by_one)
        spent += [*np.min(times, axis=0), time.process_time() - start]
    ours, at_once, by_points = (spent / len(files) * 1000).tolist()
    print(f"{len(files)} drawings, {WIDE} squares wide: visible areas {ours:.1f} ms a file")
    print(f"  {ours / at_once:.2f} of reading and flattening them with svgelements, a segment in one call")
    print(f"  {ours / by_points:.2f} of the same with a call for each point")


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--large", action="store_true", help="also 1000 by 1000 squares, 10,000 shapes")
    cases = [*CASES, LARGE] if parser.parse_args().large else CASES
    peaks = []
    for side, count in cases:  # before any peer runs: what they take stays out of our peak
        visible(blobs(side, count), side)
        peaks.append(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024)
    for (side, count), memory in zip(cases, peaks, strict=True):
        shapes = blobs(side, count)
        ours, seen = cpu(lambda: coverage(shapes, side)), cpu(lambda: visible(shapes, side))
        twice = [Polygon.of_contours([2 * p.points]) for p in shapes]
        growth = cpu(lambda: visible(twice, 2 * side)) / seen
        print(f"{side} x {side} squares, {count} shapes: visible areas take {memory} MB at most")
        print(f"  coverage {ours * 1000:.1f} ms, visible {seen * 1000:.1f} ms of CPU")
        print(f"  twice the squares each way: {growth:.2f} times the time")
        other = cpu(lambda: with_exactextract(shapes, side))
        print(
            f"  exactextract: {other / ours:.1f} times our coverage, "
            f"{other / seen:.1f} times our visible areas"
        )
        for name, work in PEERS.items():
            print(f"  {name}: {cpu(lambda: work(shapes, side)) / seen:.1f} times our visible areas")
    drawings()


if __name__ == "__main__":
    main()

"""Times reading and flattening against svgelements on the same drawings and prints ratios of CPU time."""

import argparse
import io
import math
import sys
import time
from collections.abc import Callable, Sequence
from pathlib import Path

import numpy as np
import svgelements

sys.path.insert(0, str(Path(__file__).parents[2]))

from svg2chart.geometry.flatten import flatten_paths
from svg2chart.grid import TOLERANCE_SQUARES, Grid
from svg2chart.svg.read import parse_artwork
from tests import outside

WIDE = 80  # squares: both flatten within the same part of a square of that width
MANY = 45_000  # plain paths in one file
ROUNDS = 5


def cpu(work: Callable[[], object]) -> float:
    """Return the CPU seconds of one run."""
    start = time.process_time()
    work()
    return time.process_time() - start


def read_and_flatten(data: bytes, tolerance: float) -> int:
    """Read a drawing and flatten all its curves; return the number of points."""
    paths = [mark.path for mark in parse_artwork(data).painted()]
    return sum(len(lines.points) for lines in flatten_paths(paths, tolerance=tolerance))


def peer_read(data: bytes) -> svgelements.SVG:
    """Read a drawing with svgelements."""
    return svgelements.SVG.parse(io.BytesIO(data))


def all_at_once(segment: svgelements.PathSegment, places: np.ndarray) -> Sequence[object]:
    """Return the points of a segment in one call."""
    return np.asarray(segment.npoint(places))


def one_by_one(segment: svgelements.PathSegment, places: np.ndarray) -> Sequence[object]:
    """Return the points of a segment in a call for each."""
    return [segment.point(place) for place in places.tolist()]


def peer_read_and_flatten(
    data: bytes,
    tolerance: float,
    points: Callable[[svgelements.PathSegment, np.ndarray], Sequence[object]] = all_at_once,
) -> int:
    """Read a drawing with svgelements and flatten its segments, as many chords each as ours."""
    number = 0
    for element in peer_read(data).elements():
        if isinstance(element, svgelements.Shape):
            for segment in svgelements.Path(element).segments():
                chords = _chords(segment, tolerance)
                number += len(points(segment, np.linspace(0.0, 1.0, chords + 1))) if chords else 1
    return number


def _chords(segment: svgelements.PathSegment, tolerance: float) -> int:
    """Return how many chords follow a segment of svgelements, none for a straight one."""
    if isinstance(segment, svgelements.CubicBezier):
        a, b, c, d = (complex(point) for point in segment)
        bend = max(abs(a + c - 2 * b), abs(b + d - 2 * c))
        return max(1, math.ceil(math.sqrt(0.75 * bend / tolerance)))
    if isinstance(segment, svgelements.QuadraticBezier):
        a, b, c = (complex(point) for point in segment)
        return max(1, math.ceil(math.sqrt(abs(a + c - 2 * b) / 4 / tolerance)))
    if isinstance(segment, svgelements.Arc) and segment.sweep:
        radius = max(segment.rx, segment.ry)  # a chord over the angle h strays at most radius h^2 / 8
        return max(1, math.ceil(abs(segment.sweep) * math.sqrt(radius / 8 / tolerance)))
    return 0


def compare() -> None:
    """Print what reading costs in parts of what it costs with svgelements, over all real drawings."""
    drawings = [picture.path.read_bytes() for picture in outside.pictures("art-open")]
    tolerances = [Grid.fit(parse_artwork(data), wide=WIDE).square * TOLERANCE_SQUARES for data in drawings]
    cases: dict[str, Callable[[bytes, float], object]] = {
        "ours: read": lambda data, _: parse_artwork(data),
        "ours: read and flatten": read_and_flatten,
        "svgelements: read": lambda data, _: peer_read(data),
        "svgelements: read and flatten": peer_read_and_flatten,
    }
    best = dict.fromkeys(cases, 0.0)
    for data, tolerance in zip(drawings, tolerances, strict=True):
        rounds = [
            [cpu(lambda w=work, d=data, t=tolerance: w(d, t)) for work in cases.values()]
            for _ in range(ROUNDS)
        ]  # each drawing by itself and all cases in turn, so that what else runs disturbs few of them
        for name, spent in zip(cases, zip(*rounds, strict=True), strict=True):
            best[name] += min(spent)
    # by itself: in turn with the others it would leave none of their memory near the processor
    best["svgelements: point by point, one round"] = sum(
        cpu(lambda d=data, t=tolerance: peer_read_and_flatten(d, t, one_by_one))
        for data, tolerance in zip(drawings, tolerances, strict=True)
    )
    whole = best["svgelements: read and flatten"]
    print(f"{len(drawings)} drawings, {WIDE} squares wide, CPU, each the best of {ROUNDS} rounds")
    for name, spent in best.items():
        print(f"{name:38} {spent / len(drawings) * 1000:6.2f} ms a file {spent / whole:6.2f}")


def many() -> None:
    """Print what a file of very many plain paths costs."""
    shapes = "".join(
        f'<path id="p{k}" d="M{k % 300} {k // 300}h0.9c0 0.3 0.1 0.6 -0.2 0.9h-0.7z" fill="#2a6f97"/>'
        for k in range(MANY)
    )
    data = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 300 150">{shapes}</svg>'.encode()
    ours, theirs = cpu(lambda: parse_artwork(data)), cpu(lambda: peer_read(data))
    print(f"{MANY} paths in one file: read in {ours:.1f} s, by svgelements in {theirs:.1f} s")


if __name__ == "__main__":
    argparse.ArgumentParser(description=__doc__).parse_args()
    compare()
    many()

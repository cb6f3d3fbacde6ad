"""Prints how well backstitch follows outlines, beside the chain of nearest holes on the same strokes."""

import argparse
import sys
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[2]))

from svg2chart.artwork import Artwork, Fill
from svg2chart.backstitch import Traced, trace_lines
from svg2chart.convert import convert
from svg2chart.errors import ChartError
from svg2chart.fit import lay_on_grid
from svg2chart.grid import Grid
from svg2chart.lines.edges import HALVES, StitchedEdges
from svg2chart.svg.read import parse_artwork, read_artwork
from tests import outside
from tests.bench import outlined
from tests.frechet import dense, frechet, frechet_to_stretches


@dataclass
class Tally:
    """Sums over chains."""

    length: float = 0.0
    on_edges: float = 0.0
    stroke: float = 0.0
    segments: int = 0
    turns: int = 0
    paths: list[float] = field(default_factory=list)
    parts: list[float] = field(default_factory=list)

    def add(self, chain: np.ndarray, stroke: np.ndarray, edges: StitchedEdges) -> None:
        """Add a chain of points in half squares along a stroke in squares."""
        if len(chain) < 2:
            return
        steps = np.diff(chain, axis=0)
        lengths = np.hypot(*steps.T) / HALVES
        self.length += float(lengths.sum())
        self.on_edges += float((lengths * edges.shares(chain[:-1], chain[1:])).sum())
        self.stroke += float(np.hypot(*np.diff(stroke, axis=0).T).sum())
        self.segments += len(steps)
        unit = steps // np.gcd(steps[:, 0], steps[:, 1])[:, None]
        self.turns += int((unit[1:] != unit[:-1]).any(axis=1).sum())
        self.paths.append(frechet(chain / HALVES, stroke))
        self.parts += frechet_to_stretches(chain / HALVES, stroke)

    def join(self, other: "Tally") -> None:
        """Add the sums of another."""
        for name in ("length", "on_edges", "stroke", "segments", "turns", "paths", "parts"):
            setattr(self, name, getattr(self, name) + getattr(other, name))

    def row(self) -> str:
        """Return the figures as columns."""
        parts, paths = np.array(self.parts or [0.0]), np.array(self.paths or [0.0])
        return (
            f"{self.length:9.0f}{100 * self.on_edges / max(self.length, 1e-9):9.1f}"
            f"{self.segments / max(self.stroke, 1e-9):9.2f}{self.turns / max(self.stroke, 1e-9):8.2f}"
            f"{np.median(parts):9.3f}{parts.max():7.3f}{np.median(paths):9.3f}{paths.max():7.3f}"
            f"{(paths > 0.75).sum():6d}"
        )


HEAD = (
    f"{'':34}{'length':>9}{'on edge':>9}{'segments':>9}{'turns':>8}{'median':>9}{'most':>7}"
    f"{'median':>9}{'most':>7}{'>.75':>6}\n"
    f"{'':34}{'squares':>9}{'%':>9}{'a square':>9}{'a square':>8}{'of segments':>16}{'of paths':>16}"
)


def nearest_holes(stroke: np.ndarray) -> np.ndarray:
    """Return the chain through the hole nearest to each point of a stroke, in half squares."""
    holes = (np.floor(dense(stroke) + 0.5) * HALVES).astype(np.int64)
    changed = np.concatenate([[True], (np.diff(holes, axis=0) != 0).any(axis=1)])
    return holes[changed]


def traced(artwork: Artwork, *, wide: int, thin: float) -> tuple[Traced, StitchedEdges, list[bool]]:
    """Return the led paths of a drawing, its stitched edges, and which paths outline a filled shape."""
    grid = Grid.fit(artwork, wide=wide, thin=thin)
    chart = convert(artwork, grid)
    laid = lay_on_grid(artwork, grid)
    edges = StitchedEdges.of(chart.squares, chart.arrangements)
    colours = {thread: i for i, thread in enumerate(dict.fromkeys(line.colour for line in laid.lines))}
    found = trace_lines(laid.lines, [colours[line.colour] for line in laid.lines], edges=edges)
    filled = {mark.element for mark in laid.marks if isinstance(mark, Fill)}
    owners = [line.element for line in laid.lines for _ in line.lines.closed]
    outlining = [all(owners[piece] in filled for piece in path.pieces) for path in found.network.paths]
    return found, edges, outlining


def drawings(folder: str) -> Iterator[tuple[str, Artwork]]:
    """Yield the drawings of a set: our own, or those of a collection beside the repo."""
    if folder == "drawn":
        for name, text in outlined.DRAWINGS.items():
            yield name, parse_artwork(text.encode())
    else:
        for path in sorted((outside.DATA / "art-open" / "tests" / folder).glob("*.svg")):
            yield path.stem, read_artwork(path)


def measure(folder: str, *, wide: int, thin: float, each: bool) -> dict[tuple[str, str], Tally]:
    """Print the figures of a set of drawings at a width in squares, and return them."""
    sums = {(method, kind): Tally() for method in ("ours", "nearest") for kind in ("outlines", "all")}
    for name, artwork in drawings(folder):
        try:
            found, edges, outlining = traced(artwork, wide=wide, thin=thin)
        except ChartError:
            continue
        own = Tally()
        for path, chain, outline in zip(found.network.paths, found.chains, outlining, strict=True):
            stroke = path.points if path.ends is not None else np.vstack([path.points, path.points[:1]])
            chains = {"ours": np.array(chain, np.int64).reshape(-1, 2), "nearest": nearest_holes(stroke)}
            if path.ends is None and len(chain):
                stroke = turned(stroke, chains["ours"][0] / HALVES, chains["ours"])
            for method, points in chains.items():
                line = stroke
                if method == "nearest":
                    line = path.points if path.ends is not None else np.vstack([path.points, path.points[:1]])
                sums[method, "all"].add(points, line, edges)
                if outline:
                    sums[method, "outlines"].add(points, line, edges)
            if outline:
                own.add(chains["ours"], stroke, edges)
        if each:
            print(f"{name[:33]:34}{own.row()}")
    for (method, kind), tally in sums.items():
        print(f"{folder + ' ' + str(wide) + ' ' + kind + ' ' + method:34}{tally.row()}", flush=True)
    return sums


def turned(stroke: np.ndarray, start: np.ndarray, chain: np.ndarray) -> np.ndarray:
    """Return a closed stroke begun at the point nearest to a place, in the direction of the chain."""
    ring = dense(stroke)[:-1]
    first = int(((ring - start) ** 2).sum(axis=1).argmin())
    ring = np.roll(ring, -first, axis=0)
    if _area(ring) * _area(chain.astype(np.float64)) < 0:
        ring = np.roll(ring[::-1], 1, axis=0)
    return np.vstack([ring, ring[:1]])


def _area(ring: np.ndarray) -> float:
    x, y = ring.T
    return float((x * np.roll(y, -1) - y * np.roll(x, -1)).sum())


def main(arguments: Sequence[str]) -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--each", action="store_true", help="also each drawing by itself")
    parser.add_argument("--sets", nargs="*", default=["drawn", "openmoji"])
    parser.add_argument("--wide", nargs="*", type=int, default=[30, 40])
    options = parser.parse_args(arguments)
    print(HEAD)
    whole: dict[tuple[str, str], Tally] = {}
    for folder in options.sets:
        for wide in options.wide:
            for key, tally in measure(folder, wide=wide, thin=1.2, each=options.each).items():
                whole.setdefault(key, Tally()).join(tally)
    for (method, kind), tally in whole.items():
        print(f"{'together ' + kind + ' ' + method:34}{tally.row()}")


if __name__ == "__main__":
    main(sys.argv[1:])

"""Prints starts and carries of our order of work beside going to the nearest stitch, on the same charts."""

import argparse
import sys
import time
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))


from svg2chart.chart import Chart
from svg2chart.convert import convert
from svg2chart.errors import ChartError
from svg2chart.grid import Grid
from svg2chart.guiding.cloth import LENGTH_UNIT, Cloth, cloth_of, length
from svg2chart.guiding.legs import Leg, Square, work_square
from svg2chart.guiding.needle import lead_needle, step_costs
from svg2chart.guiding.order import Work, plan_work, touches
from svg2chart.guiding.strips import squares_of
from svg2chart.svg.read import read_artwork
from tests import outside

EXAMPLES = Path(__file__).parents[2] / "examples"


@dataclass
class Tally:
    """Sums over charts, crosses and fractions only; lengths in sides of a square."""

    starts: int = 0
    carried: float = 0.0
    bare: float = 0.0
    behind: float = 0.0
    seconds: float = 0.0

    def __add__(self, other: "Tally") -> "Tally":
        return Tally(
            self.starts + other.starts,
            self.carried + other.carried,
            self.bare + other.bare,
            self.behind + other.behind,
            self.seconds + other.seconds,
        )

    def row(self) -> str:
        return f"{self.starts:7d}{self.carried:9.1f}{self.bare:9.1f}{self.behind:10.1f}{self.seconds:8.1f}"


def ours(chart: Chart) -> Tally:
    """Return the figures of the guide's order."""
    begun = time.process_time()
    blocks = [block for block in plan_work(chart) if block.work is Work.CROSSES]
    seconds = time.process_time() - begun
    cloth = cloth_of(chart)
    return Tally(
        len(blocks),
        sum(carried(block.legs) for block in blocks),
        bare([list(block.legs) for block in blocks], cloth),
        sum(behind([list(block.legs)]) for block in blocks),
        seconds,
    )


def nearest(chart: Chart) -> Tally:
    """Return the figures of finishing each stitch, then going to the nearest one of its thread.

    Which way round each leg is worked is chosen as well as it can be, by the same rule of carries.
    """
    begun = time.process_time()
    cloth = cloth_of(chart)
    total = Tally()
    for thread in range(len(chart.threads)):
        held = squares_of(chart, thread)
        order = nearest_squares(list(held), (chart.rows // 2, chart.columns // 2))
        works = [work_square(square, held[square]) for square in order]
        choices = [choice for work in works for choice in (*work.first, *work.last)]
        _, blocks = lead_needle(choices, step_costs(cloth))
        total += Tally(len(blocks), sum(map(carried, blocks)), bare(blocks, cloth), behind(blocks))
    total.seconds = time.process_time() - begun
    return total


def nearest_squares(squares: list[Square], at: Square) -> list[Square]:
    """Return the squares, each the nearest to the one before."""
    ordered = []
    left = set(squares)
    while left:
        at = min(left, key=lambda s: ((s[0] - at[0]) ** 2 + (s[1] - at[1]) ** 2, s))
        left.remove(at)
        ordered.append(at)
    return ordered


def carried(legs: Sequence[Leg]) -> float:
    """Return how much thread goes behind the cloth between stitches that do not touch."""
    steps = [length(a.down, b.up) for a, b in pairwise(legs) if not touches(a, b)]
    return sum(steps) / LENGTH_UNIT


def bare(blocks: Sequence[Sequence[Leg]], cloth: Cloth) -> float:
    """Return how much thread goes behind bare cloth; between squares side by side it does not."""
    total = 0
    for legs in blocks:
        for a, b in pairwise(legs):
            (row, column), (to_row, to_column) = a.square or (0, 0), b.square or (0, 0)
            if abs(row - to_row) + abs(column - to_column) > 1:
                total += cloth.bare_length(a.down, b.up, ((row, column), (to_row, to_column))) or 0
    return total / LENGTH_UNIT


def behind(blocks: list[list[Leg]]) -> float:
    steps = [length(a.down, b.up) for legs in blocks for a, b in pairwise(legs)]
    return sum(steps) / LENGTH_UNIT


def main() -> None:
    """Print the figures of the examples and of the outside drawings."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--wide", type=int, default=40, help="squares across (40)")
    options = parser.parse_args()
    sets = {"examples": sorted(EXAMPLES.glob("*.svg"))}
    for folder in sorted((outside.DATA / "art-open" / "tests").glob("*")):
        sets[folder.name] = sorted(folder.glob("*.svg"))
    print(
        f"{'':34}{'starts':>7}{'carried':>9}{'bare':>9}{'behind':>10}{'s':>8}   lengths in sides of a square"
    )
    for name, paths in sets.items():
        sums = {"ours": Tally(), "nearest stitch": Tally()}
        charted = 0
        for path in paths:
            try:
                artwork = read_artwork(path)
                grid = Grid.fit(artwork, wide=options.wide)
                chart = convert(artwork, grid)
            except ChartError:
                continue
            charted += 1
            sums["ours"] += ours(chart)
            sums["nearest stitch"] += nearest(chart)
        for method, tally in sums.items():
            print(f"{f'{name}, {charted} drawings: {method}':34}{tally.row()}", flush=True)


if __name__ == "__main__":
    main()

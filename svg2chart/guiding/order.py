"""The order of work: all of a chart in blocks, each worked with one thread from a start to its finish.

Crosses come first, thread by thread, the one with the most squares first: it gives the others places to
count from and to run their ends under. Then backstitch, knots last. Within a thread the
next block is the one that begins nearest to where the needle is; blocks of fractions alone come after
the others.
"""

from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum

from svg2chart.chart import Chart
from svg2chart.guiding.cloth import LENGTH_UNIT, Cloth, cloth_of, length
from svg2chart.guiding.crosses import work_crosses
from svg2chart.guiding.legs import HALVES, Hole, Leg, Part
from svg2chart.guiding.lines import is_next_line, work_backstitch, work_knots


class Work(Enum):
    """What a block is made of."""

    CROSSES = "crosses"
    BACKSTITCH = "backstitch"
    KNOTS = "knots"


@dataclass(frozen=True, slots=True)
class Carry:
    """The thread behind the cloth from the end of one leg to the next, which does not touch it."""

    before: Leg
    after: Leg


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """What is worked with one thread from a start to its finish; `thread` is its number in the chart."""

    thread: int
    work: Work
    legs: tuple[Leg, ...]

    @property
    def path(self) -> tuple[Hole, ...]:
        """Every hole that the needle goes through, in half squares: up, down, up, down, ...

        The thread lies in front from each hole at an even place to the next, else behind.
        """
        return tuple(hole for leg in self.legs for hole in (leg.up, leg.down))

    @property
    def carries(self) -> tuple[Carry, ...]:
        """Where the thread is carried to a stitch that does not touch the one before."""
        pairs = zip(self.legs, self.legs[1:], strict=False)
        return tuple(Carry(before, after) for before, after in pairs if not touches(before, after))


def touches(before: Leg, after: Leg) -> bool:
    """Whether two stitches lie in squares that touch, or one line follows the other at a hole."""
    if before.square is not None and after.square is not None:
        (row, column), (other_row, other_column) = before.square, after.square
        return max(abs(row - other_row), abs(column - other_column)) <= 1
    return is_next_line(before, after)


def front_squares(block: Block) -> float:
    """Return how much thread lies in front of the cloth, in sides of a square."""
    return sum(length(leg.up, leg.down) for leg in block.legs) / LENGTH_UNIT


def behind_squares(block: Block) -> float:
    """Return how much thread lies behind the cloth, in sides of a square, without the ends."""
    pairs = zip(block.legs, block.legs[1:], strict=False)
    return sum(length(before.down, after.up) for before, after in pairs) / LENGTH_UNIT


def plan_work(chart: Chart) -> tuple[Block, ...]:
    """Return all blocks of a chart in order of work."""
    cloth = cloth_of(chart)
    blocks: list[Block] = []
    for thread in _threads_in_order(chart):
        blocks += _in_turn(chart, thread, Work.CROSSES, work_crosses(chart, thread, cloth))
    works: list[tuple[Work, Callable[[Chart, int, Cloth], list[list[Leg]]]]] = [
        (Work.BACKSTITCH, work_backstitch),
        (Work.KNOTS, work_knots),
    ]
    for work, find in works:
        for thread in range(len(chart.threads)):
            blocks += _in_turn(chart, thread, work, find(chart, thread, cloth))
    return tuple(blocks)


def _threads_in_order(chart: Chart) -> list[int]:
    """Return the numbers of the threads, the one that is in the most squares first."""
    counts = [0] * len(chart.threads)
    for number in chart.squares.ravel().tolist():
        for thread in {stitch.thread for stitch in chart.arrangements[number]}:
            counts[thread] += 1
    return sorted(range(len(counts)), key=lambda thread: (-counts[thread], thread))


def _in_turn(chart: Chart, thread: int, work: Work, blocks: list[list[Leg]]) -> list[Block]:
    """Return the blocks, the nearest next; one that finishes crosses comes after the one that begins them."""
    at: Hole = (chart.columns * HALVES // 2, chart.rows * HALVES // 2)
    squares = [{leg.square for leg in legs if leg.square is not None} for legs in blocks]
    left = list(range(len(blocks)))
    turned = []
    while left:
        ready = [n for n in left if all(squares[n].isdisjoint(squares[m]) for m in left if m < n)]

        def how_soon(n: int, at: Hole = at) -> tuple[bool, int, Hole]:
            return not _has_cross(blocks[n]), length(at, blocks[n][0].up), blocks[n][0].up

        following = min(ready, key=how_soon)
        left.remove(following)
        at = blocks[following][-1].down
        turned.append(Block(thread=thread, work=work, legs=tuple(blocks[following])))
    return turned


def _has_cross(legs: list[Leg]) -> bool:
    return any(leg.part is Part.LOWER for leg in legs)

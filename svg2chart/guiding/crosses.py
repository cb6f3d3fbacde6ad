"""Crosses and fractions of one thread in order of work: where to begin, and in how many blocks.

What hangs together, by touching or by carries, is one tree and mostly one block, and no order can need fewer
starts than that. Every strip at an end of the work is tried as the first one, from either side, and the
order kept that has the fewest starts, the least bare carries and the least thread.
"""

from collections.abc import Iterator

from svg2chart.chart import Chart
from svg2chart.guiding.cloth import Cloth
from svg2chart.guiding.legs import Leg, Square, work_square
from svg2chart.guiding.links import join_areas
from svg2chart.guiding.needle import lead_needle, step_cost
from svg2chart.guiding.strips import Link, areas_of, squares_of, strips_of, touching
from svg2chart.guiding.tree import Ground, grow_tree, legs_in_order

MOST_TRIES = 8
MOST_WORK = 60_000  # legs led through, over all tries in one tree: bounds the time on large charts


def work_crosses(chart: Chart, thread: int, cloth: Cloth) -> list[list[Leg]]:
    """Return the legs of a thread's crosses and fractions in blocks, each worked with one thread."""
    works = {square: work_square(square, held) for square, held in squares_of(chart, thread).items()}
    strips = strips_of(works)
    neighbours = touching(strips)
    areas = areas_of(neighbours)
    numbers = {(s.row, column): i for i, s in enumerate(strips) for column in range(s.first, s.last + 1)}
    linked: list[list[tuple[int, Link]]] = [[] for _ in strips]
    for link in join_areas(works, {square: areas[numbers[square]] for square in works}, cloth):
        one, other = numbers[link.square], numbers[link.other]
        linked[one].append((other, link))
        linked[other].append((one, link.reversed))
    ground = Ground(works=works, strips=strips, touching=neighbours, linked=linked)
    together = areas_of([[*neighbours[i], *(o for o, _ in linked[i])] for i in range(len(strips))])
    groups: dict[int, list[int]] = {}
    for i, group in enumerate(together):
        groups.setdefault(group, []).append(i)
    return [block for group in groups.values() for block in _work_group(ground, group, cloth)]


def _work_group(ground: Ground, group: list[int], cloth: Cloth) -> list[list[Leg]]:
    tried = []
    legs = 0
    for root, strip in _roots(ground, group):
        choices = legs_in_order(ground, grow_tree(ground, root, strip))
        tried.append(lead_needle(choices, step_cost(cloth)))
        legs += len(choices)
        if len(tried) == MOST_TRIES or legs > MOST_WORK:
            break
    return min(tried, key=lambda way: way[0])[1]


def _roots(ground: Ground, group: list[int]) -> Iterator[tuple[Square, int]]:
    """Yield squares to begin at: full stitches where there are any, at ends of strips that lie outermost."""

    def ways_on(i: int) -> int:
        return len(ground.touching[i]) + len(ground.linked[i])

    whole = {i: _whole_columns(ground, i) for i in group}
    begins = [i for i in group if whole[i]] or group
    for i in sorted(begins, key=lambda i: (ways_on(i), i)):
        strip = ground.strips[i]
        ends = whole[i] or [strip.first, strip.last]
        for column in sorted({ends[0], ends[-1]}):
            yield (strip.row, column), i


def _whole_columns(ground: Ground, i: int) -> list[int]:
    strip = ground.strips[i]
    return [column for column in range(strip.first, strip.last + 1) if ground.works[strip.row, column].last]

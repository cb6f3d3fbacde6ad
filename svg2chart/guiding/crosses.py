"""Crosses and fractions of one thread in order of work: where to begin, and in how many blocks.

What hangs together, by touching or by carries, is one tree and mostly one block. Strips at the ends of the
work are tried as the first one, from either side, and the order kept that has the fewest starts and the least
bare carries, of these the one that leaves a row least often before it is finished, then the least thread.
"""

import itertools
from collections import Counter
from collections.abc import Iterator, Sequence

from svg2chart.chart import Chart
from svg2chart.guiding.cloth import Cloth
from svg2chart.guiding.legs import Choice, Leg, Part, Square, work_square
from svg2chart.guiding.links import join_areas
from svg2chart.guiding.needle import BARE_COST, StepCosts, lead_needle, step_costs
from svg2chart.guiding.strips import Link, areas_of, squares_of, strips_of, touching
from svg2chart.guiding.tree import Ground, find_trunk, grow_tree, legs_in_order

MOST_TRIES = 6
MOST_WORK = 8_000  # legs led through, over all tries in one tree: bounds the time on large charts


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
    ends = _at_ends(ground)
    groups: dict[int, list[int]] = {}
    for i, group in enumerate(areas_of(_ways_on(ground, linked))):
        groups.setdefault(group, []).append(i)
    roots = [[i for i in group if i in ends] for group in groups.values()]
    costs = step_costs(cloth)
    blocks = [block for begins in roots for block in _work_group(ground, begins, costs)]
    return [part for block in blocks for part in _begun_on_full(block)]


def _at_ends(ground: Ground) -> set[int]:
    """Return the strips from which all links that are gone once lie on one way: the ends of each path."""
    often = [[way for way in ways if not way[1].is_gone_once] for ways in ground.linked]
    parts = areas_of(_ways_on(ground, often))
    once = Counter(parts[i] for i, ways in enumerate(ground.linked) for _ in range(len(ways) - len(often[i])))
    return {i for i, part in enumerate(parts) if once[part] <= 1}


def _ways_on(ground: Ground, linked: Sequence[Sequence[tuple[int, Link]]]) -> list[list[int]]:
    """Return for each strip the ones that touch it or are linked to it, in their order."""
    return [
        sorted([*touched, *(other for other, _ in ways)])
        for touched, ways in zip(ground.touching, linked, strict=True)
    ]


def _begun_on_full(block: list[Leg]) -> list[list[Leg]]:
    """Return a block, or two where fractions come before its first full stitch: no thread begins on them."""
    whole = [n for n, leg in enumerate(block) if leg.part in (Part.LOWER, Part.UPPER)]
    return [block[: whole[0]], block[whole[0] :]] if whole and whole[0] else [block]


def _work_group(ground: Ground, begins: list[int], costs: StepCosts) -> list[list[Leg]]:
    """Return the blocks of all strips that hang together, from one of these on."""
    best: tuple[tuple[int, int, int], list[list[Leg]]] | None = None
    legs = 0
    for root, strip in list(_roots(ground, begins))[:MOST_TRIES]:
        tree = grow_tree(ground, root, strip)
        choices = legs_in_order(ground, tree, find_trunk(ground, tree))
        cost, blocks = lead_needle(choices, costs)
        # of as few starts and as little bare thread, what changes rows least: then the least thread
        value = cost // BARE_COST, _changes_of_row(choices), cost
        if best is None or value < best[0]:
            best = value, blocks
        legs += len(choices)
        if legs > MOST_WORK:
            break
    return best[1] if best else []


def _changes_of_row(choices: Sequence[Choice]) -> int:
    """Return how often the needle goes to another row: least where it first finishes the one it is in."""
    rows = [choice.square[0] for choice in choices]
    return sum(one != other for one, other in itertools.pairwise(rows))


def _roots(ground: Ground, begins: list[int]) -> Iterator[tuple[Square, int]]:
    """Yield squares to begin at: full stitches where there are any, at ends of strips that lie outermost."""

    def ways_on(i: int) -> int:
        return len(ground.touching[i]) + len(ground.linked[i])

    whole = {i: _whole_columns(ground, i) for i in begins}
    for i in sorted([i for i in begins if whole[i]] or begins, key=lambda i: (ways_on(i), i)):
        strip = ground.strips[i]
        ends = whole[i] or [strip.first, strip.last]
        for column in sorted({ends[0], ends[-1]}):
            yield (strip.row, column), i


def _whole_columns(ground: Ground, i: int) -> list[int]:
    strip = ground.strips[i]
    return [column for column in range(strip.first, strip.last + 1) if ground.works[strip.row, column].last]

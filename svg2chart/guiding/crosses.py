"""Crosses and fractions of one thread in order of work: where to begin, and in how many blocks.

What hangs together, by touching or by carries, is one tree and mostly one block. Strips at the ends of the
work are tried as the first one, from either side, and the order kept that has the fewest starts, the least
bare carries and the least thread. Where it goes over bare cloth to a branch and back again, at more than
`MOST_TWICE`, the branch becomes a block of its own: a start costs less there than a thread that shows.
"""

from collections.abc import Iterator
from dataclasses import replace

from svg2chart.chart import Chart
from svg2chart.guiding.cloth import LENGTH_UNIT, Cloth
from svg2chart.guiding.legs import Leg, Part, Square, work_square
from svg2chart.guiding.links import join_areas
from svg2chart.guiding.needle import lead_needle, step_cost
from svg2chart.guiding.strips import Link, areas_of, squares_of, strips_of, touching
from svg2chart.guiding.tree import Ground, find_trunk, grow_tree, legs_in_order, links_gone_twice

MOST_TRIES = 6
MOST_TWICE = LENGTH_UNIT // 2  # over bare cloth on each of the two ways; our choice, no source
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
    blocks = _work_groups(ground, list(range(len(strips))), cloth)
    return [part for block in blocks for part in _begun_on_full(block)]


def _begun_on_full(block: list[Leg]) -> list[list[Leg]]:
    """Return a block, or two where fractions come before its first full stitch: no thread begins on them."""
    whole = [n for n, leg in enumerate(block) if leg.part in (Part.LOWER, Part.UPPER)]
    return [block[: whole[0]], block[whole[0] :]] if whole and whole[0] else [block]


def _work_groups(ground: Ground, strips: list[int], cloth: Cloth) -> list[list[Leg]]:
    """Return the blocks of some strips that are linked to no others."""
    together = areas_of(
        [[*ground.touching[i], *(o for o, _ in ground.linked[i])] for i in range(len(ground.strips))]
    )
    groups: dict[int, list[int]] = {}
    for i in strips:
        groups.setdefault(together[i], []).append(i)
    return [block for group in groups.values() for block in _work_group(ground, group, cloth)]


def _work_group(ground: Ground, group: list[int], cloth: Cloth) -> list[list[Leg]]:
    best: tuple[int, list[list[Leg]], list[Link]] | None = None
    legs = 0
    for root, strip in list(_roots(ground, group))[:MOST_TRIES]:
        tree = grow_tree(ground, root, strip)
        trunk = find_trunk(ground, tree)
        choices = legs_in_order(ground, tree, trunk)
        cost, blocks = lead_needle(choices, step_cost(cloth))
        if best is None or cost < best[0]:
            best = cost, blocks, [link for link in links_gone_twice(tree, trunk) if link.bare > MOST_TWICE]
        legs += len(choices)
        if legs > MOST_WORK:
            break
    if best is None:
        return []
    _, blocks, dear = best
    return _work_groups(_without(ground, dear), group, cloth) if dear else blocks


def _without(ground: Ground, links: list[Link]) -> Ground:
    cut = {*links, *(link.reversed for link in links)}
    kept = [[(other, link) for other, link in ways if link not in cut] for ways in ground.linked]
    return replace(ground, linked=kept)


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

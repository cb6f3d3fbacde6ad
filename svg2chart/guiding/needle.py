"""The needle's path through the legs of one thread: which way round each leg is worked, where threads start.

The legs come in their order. Each may be worked from either end (a quarter only into the centre), and
between two of them the thread goes behind the cloth, or is finished off and started anew where it may not go
there. Of all ways the one with the fewest starts is taken, of those the one with the least thread behind
bare cloth, then the one with the least thread behind; the best way up to each leg is kept
for each end that it may finish at (dynamic programming).
"""

import itertools
from collections.abc import Callable, Sequence

from svg2chart.guiding.cloth import Cloth, length
from svg2chart.guiding.legs import Choice, Leg

START_COST = 1 << 96
BARE_COST = 1 << 48
"""A start outweighs all thread behind bare cloth, and that all thread behind: both are whole numbers far
below 2^48 (a chart has at most 4 million squares, a length is below 2^23)."""

StepCost = Callable[[Leg, Leg], int | None]


def step_cost(cloth: Cloth) -> StepCost:
    """Return what going on from one leg of crosses to the next costs, None if the thread may not go there."""

    def cost(before: Leg, after: Leg) -> int | None:
        if before.down == after.up:
            return None
        behind = length(before.down, after.up)
        if before.square is None or after.square is None:
            bare = cloth.bare_length(before.down, after.up)
        elif _side_by_side(before.square, after.square):
            return behind  # behind the two squares alone
        else:
            bare = cloth.bare_length(before.down, after.up, (before.square, after.square))
        return None if bare is None else bare * BARE_COST + behind

    return cost


def _side_by_side(one: tuple[int, int], other: tuple[int, int]) -> bool:
    return abs(one[0] - other[0]) + abs(one[1] - other[1]) <= 1


def lead_needle(choices: Sequence[Choice], cost: StepCost) -> tuple[int, list[list[Leg]]]:
    """Return the cost of the best path and its legs, in one list for each start.

    >>> lead_needle([], lambda before, after: 0)
    (0, [])
    """
    best = [START_COST] * len(choices[0]) if choices else []
    came: list[list[tuple[int, bool]]] = []
    for before, after in itertools.pairwise(choices):
        ways = []
        for leg in after:
            reached = []
            for i, previous in enumerate(before):
                step = cost(previous, leg)
                reached.append((best[i] + (START_COST if step is None else step), i, step is None))
            ways.append(min(reached))
        best = [way[0] for way in ways]
        came.append([(i, starts) for _, i, starts in ways])
    if not choices:
        return 0, []
    at = min(range(len(best)), key=lambda i: best[i])
    return best[at], _led_back(choices, came, at)


def _led_back(choices: Sequence[Choice], came: list[list[tuple[int, bool]]], at: int) -> list[list[Leg]]:
    blocks: list[list[Leg]] = [[]]
    for n in range(len(choices) - 1, -1, -1):
        blocks[-1].append(choices[n][at])
        if n:
            at, starts = came[n - 1][at]
            if starts:
                blocks.append([])
    return [block[::-1] for block in reversed(blocks)]

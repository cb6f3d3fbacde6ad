"""The needle's path through the legs of one thread: which way round each leg is worked, where threads start.

The legs come in their order. Each may be worked from either end (a quarter only into the centre), and
between two of them the thread goes behind the cloth, or is finished off and started anew where it may not go
there or would show more than a start is worth. Of all ways the one is taken for which starts and thread
behind bare cloth cost least together, of those the one with the least thread behind; the best way up to each
leg is kept for each end that it may finish at (dynamic programming).
"""

import itertools
from collections.abc import Callable, Sequence

from svg2chart.guiding.cloth import START_BARE, Cloth, length
from svg2chart.guiding.legs import Choice, Leg, Square

BARE_COST = 1 << 48
"""Thread behind bare cloth outweighs all thread behind, which is a whole number far below 2^48: a chart has
at most 4 million squares, a length is below 2^23."""
START_COST = START_BARE * BARE_COST

Steps = tuple[tuple[int, ...], ...]
"""For each leg of a choice what it costs to come there from each leg of the choice before; `START_COST` where
a thread is started."""

StepCosts = Callable[[Choice, Choice], Steps]


def step_costs(cloth: Cloth) -> StepCosts:
    """Return what going on from one choice of crosses to the next costs, kept for those that lie alike."""
    beside: dict[tuple[int, int, int, int], Steps] = {}
    apart: dict[tuple[Square, Square, int, int], Steps] = {}

    def costs(before: Choice, after: Choice) -> Steps:
        one, other = before.square, after.square
        down, right = other[0] - one[0], other[1] - one[1]
        if abs(down) + abs(right) > 1:
            way = one, other, before.kind, after.kind
            if way not in apart:
                apart[way] = steps_between(
                    before, after, lambda a, b: cloth.bare_length(a.down, b.up, (one, other))
                )
            return apart[way]
        place = before.kind, after.kind, down, right
        if place not in beside:  # behind the two squares alone
            beside[place] = steps_between(before, after, lambda a, b: None if a.down == b.up else 0)
        return beside[place]

    return costs


def steps_between(before: Choice, after: Choice, bare_length: Callable[[Leg, Leg], int | None]) -> Steps:
    """Return what each step from a leg of one choice to a leg of the next costs.

    `bare_length` is how much thread between two legs is behind bare cloth, None if it may not go there.
    """

    def cost(leg: Leg, following: Leg) -> int:
        bare = bare_length(leg, following)
        if bare is None:
            return START_COST
        return min(START_COST, bare * BARE_COST + length(leg.down, following.up))

    return tuple(tuple(cost(leg, following) for leg in before.legs) for following in after.legs)


def lead_needle(choices: Sequence[Choice], costs: StepCosts) -> tuple[int, list[list[Leg]]]:
    """Return the cost of the best path and its legs, in one list for each start.

    >>> lead_needle([], lambda before, after: ())
    (0, [])
    """
    if not choices:
        return 0, []
    best = [START_COST] * len(choices[0].legs)
    came: list[tuple[Steps, list[int]]] = []
    for before, after in itertools.pairwise(choices):
        steps = costs(before, after)
        best, froms = _best_steps(best, steps)
        came.append((steps, froms))
    least = min(best)
    return least, _led_back(choices, came, best.index(least))


def _best_steps(best: list[int], steps: Steps) -> tuple[list[int], list[int]]:
    """Return the least cost to come to each leg, and from which leg before, the first of equal ones."""
    if len(best) == 1:
        return [best[0] + costs[0] for costs in steps], [0] * len(steps)
    first, second = best
    reached, froms = [], []
    for from_first, from_second in steps:
        if second + from_second < first + from_first:
            reached.append(second + from_second)
            froms.append(1)
        else:
            reached.append(first + from_first)
            froms.append(0)
    return reached, froms


def _led_back(choices: Sequence[Choice], came: list[tuple[Steps, list[int]]], at: int) -> list[list[Leg]]:
    blocks = [[choices[-1].legs[at]]]
    for choice, (steps, froms) in zip(reversed(choices[:-1]), reversed(came), strict=True):
        origin = froms[at]
        if steps[at][origin] == START_COST:
            blocks.append([])
        blocks[-1].append(choice.legs[origin])
        at = origin
    return [block[::-1] for block in reversed(blocks)]

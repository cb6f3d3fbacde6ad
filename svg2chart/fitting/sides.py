r"""The sides of shapes that run along the grid, the outermost points of round ones, and their widths.

The same step from colour to colour, line after line, makes a chain. Where a chain runs within
3 degrees of upright, or turns back, it has a side; all that lies within an eighth of a square of
it counts as its length:

      line 1      /          a chain of six steps: it turns back at x,
      line 2     (           and four of them lie within an eighth of
      line 3     x           a square of it: a side one square long
      line 4     (
      line 5      \
      line 6        \

Sides at the same place are one. Two sides that bound one colour on the same lines are a pair.
"""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from svg2chart.fitting.sightlines import AT_HOLE, LINES_PER_SQUARE, UNIT, Sights
from svg2chart.runs import in_order, numbered, spread

Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

UPRIGHT = round(0.0524 * UNIT / LINES_PER_SQUARE)
"""How far a step may move from line to line: 3 degrees."""

LINKED = UNIT // 8
"""Steps that move farther from line to line are no side, nor near one."""

NEAR = UNIT // 8
"""What lies so near to a side counts as its length."""

ROUND = 5 * UNIT // 64
"""A chain that turns back more suddenly has a corner there, and no side: a radius of 0.8 of a square."""

FARTHEST_LINES = 40
"""How many lines away from a side its length is followed: an eighth of a square on a radius of 400."""

LEAST_LINES = 3
"""Sides that fewer lines cross are no sides."""

SAME_PLACE = UNIT // 32
"""Sides that lie nearer to each other are one."""


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Sides:
    """Places of sides, ascending, in UNIT; (n,) each but for the pairs, (m,) each.

    weight: on how many lines each is seen.
    growing: on how many of them the upper shape lies to the left, less those where it lies to the right:
        its sign is where the upper shape would grow.
    first, second: two sides that bound one colour, the left one first.
    shared: on how many lines. is_gap: whether that colour lies under both its neighbours.
    """

    at: Ints
    weight: Ints
    growing: Ints
    first: Ints
    second: Ints
    shared: Ints
    is_gap: Bools

    def only(self, kept: Bools) -> "Sides":
        """Return some of them, and the pairs of these."""
        number = np.cumsum(kept) - 1
        both = kept[self.first] & kept[self.second]
        return Sides(
            at=self.at[kept],
            weight=self.weight[kept],
            growing=self.growing[kept],
            first=number[self.first[both]],
            second=number[self.second[both]],
            shared=self.shared[both],
            is_gap=self.is_gap[both],
        )


_EMPTY = np.zeros(0, np.int64)
_NONE = Sides(
    at=_EMPTY,
    weight=_EMPTY,
    growing=_EMPTY,
    first=_EMPTY,
    second=_EMPTY,
    shared=_EMPTY,
    is_gap=_EMPTY.astype(np.bool_),
)


def on_hole_lines(at: Ints) -> Bools:
    """Return which places lie on hole lines."""
    beyond = at % UNIT
    return np.asarray(np.minimum(beyond, UNIT - beyond) <= round(AT_HOLE * UNIT))


def find_sides(sights: Sights) -> Sides:
    """Return the sides of what is seen along lines."""
    if not len(sights.at):
        return _NONE
    order, chain = _chains(sights)
    at = sights.at[order]
    low, high, place = _seeds(at, chain)
    low, high = _reach(at, chain, low, high, place)
    seen_lines = high - low + 1
    kept = seen_lines >= LEAST_LINES
    low, seen_lines, place = low[kept], seen_lines[kept], place[kept]
    cluster, centre = _gathered(place, seen_lines)
    of_step = _side_of_each(at, low, seen_lines, place, cluster)
    own = np.full(len(at), -1, np.int64)
    own[order] = of_step
    seen = own >= 0
    count = len(centre)
    first, second, shared, is_gap = _pairs(sights, own)
    return Sides(
        at=centre,
        weight=np.bincount(own[seen], minlength=count),
        growing=np.bincount(own[seen], -sights.rise[seen], count).astype(np.int64),
        first=first,
        second=second,
        shared=shared,
        is_gap=is_gap,
    )


def _chains(sights: Sights) -> tuple[Ints, Ints]:
    """Return the order in which steps follow each other along chains, and the chain of each in that order."""
    count = len(sights.at)
    kinds = int(max(sights.before.max(initial=0), sights.after.max(initial=0))) + 1
    kind = numbered(sights.before * kinds + sights.after)[1]
    # lines of all kinds on one scale; the room between them is wider than any link
    low = int(sights.at.min(initial=0))
    scale = int(sights.at.max(initial=0)) - low + 4 * LINKED
    per_line = (int(kind.max(initial=0)) + 1) * scale
    key = sights.line * per_line + kind * scale + sights.at - low
    by_key = in_order(sights.line, kind, sights.at - low)
    key = key[by_key]
    after, before = _nearest(key, per_line), _nearest(key, -per_line)
    number = np.arange(count)
    linked = (after >= 0) & (before[after] == number)
    root = number.copy()
    root[after[linked]] = number[linked]
    while True:
        higher = root[root]
        if np.array_equal(higher, root):
            break
        root = higher
    order = in_order(root, sights.line[by_key])
    return by_key[order], root[order]


def _nearest(key: Ints, step: int) -> Ints:
    """Return for each key the index of the one that lies nearest to it, a step on; -1 if none is near."""
    wanted = key + step
    at = np.searchsorted(key, wanted)
    right, left = np.minimum(at, len(key) - 1), np.maximum(at - 1, 0)
    to_right, to_left = np.abs(key[right] - wanted), np.abs(key[left] - wanted)
    best = np.where(to_right < to_left, right, left)
    near = np.minimum(to_right, to_left) <= LINKED
    return np.where(near & ((to_right != to_left) | (right == left)), best, -1)


def _seeds(at: Ints, chain: Ints) -> tuple[Ints, Ints, Ints]:
    """Return first and last step and the place of all stretches that run upright or turn back."""
    joined = chain[1:] == chain[:-1]
    move = np.diff(at)
    upright = np.append(joined & (np.abs(move) <= UPRIGHT), False)
    begins = np.append(True, ~upright[:-1])[: len(at)]
    low = np.flatnonzero(begins)
    high = np.append(low[1:], len(at)) - 1
    has_before, has_after = np.append(False, joined)[low], np.append(joined, False)[high]
    coming = np.where(has_before, at[np.maximum(low - 1, 0)] - at[low], 0)
    going = np.where(has_after, at[np.minimum(high + 1, len(at) - 1)] - at[high], 0)
    side = np.sign(coming) + np.sign(going)  # where the chain lies on both sides of the stretch
    # two steps alike may lie on both sides of a corner
    gentle = (np.abs(side) == 2) & (np.abs(coming + going) <= ROUND * (high - low + 1))
    kept = (high > low + 1) | gentle
    low, high, side = low[kept], high[kept], side[kept]
    bounds = np.stack([low, high + 1], axis=1).ravel()
    padded = np.append(at, 0)
    least = np.minimum.reduceat(padded, bounds)[::2] if len(low) else low
    most = np.maximum.reduceat(padded, bounds)[::2] if len(low) else low
    middle = np.rint((least + most) / 2).astype(np.int64)
    return low, high, np.where(side > 0, least, np.where(side < 0, most, middle))


def _reach(at: Ints, chain: Ints, low: Ints, high: Ints, place: Ints) -> tuple[Ints, Ints]:
    """Return how far along the chain all lies near the place."""
    last = len(at) - 1
    first = low
    for _ in range(FARTHEST_LINES):
        lower, higher = np.maximum(low - 1, 0), np.minimum(high + 1, last)
        down = (lower < low) & (chain[lower] == chain[first]) & (np.abs(at[lower] - place) <= NEAR)
        up = (higher > high) & (chain[higher] == chain[first]) & (np.abs(at[higher] - place) <= NEAR)
        if not (down.any() or up.any()):
            break
        low, high = np.where(down, lower, low), np.where(up, higher, high)
    return low, high


def _side_of_each(at: Ints, low: Ints, length: Ints, place: Ints, cluster: Ints) -> Ints:
    """Return the cluster of each step: of the nearest side that holds it, of equals the longest, or -1."""
    step, side = spread(low, length), np.repeat(np.arange(len(low)), length)
    off = np.abs(at[step] - place[side])
    order = in_order(step, off, length.max(initial=0) - length[side])
    step, side, off = step[order], side[order], off[order]
    first = np.append(True, np.diff(step) != 0)[: len(step)]
    best = np.flatnonzero(first)
    runner_up = np.minimum(best + 1, max(len(step) - 1, 0))
    equal = (step[runner_up] == step[best]) & (runner_up != best) & (off[runner_up] == off[best])
    equal &= (length[side[runner_up]] == length[side[best]]) & (
        cluster[side[runner_up]] != cluster[side[best]]
    )
    result = np.full(len(at), -1, np.int64)
    result[step[best]] = np.where(equal, -1, cluster[side[best]])
    return result


def _gathered(place: Ints, length: Ints) -> tuple[Ints, Ints]:
    """Return the cluster of each side and the places of the clusters, the mean of their sides by length."""
    order = np.argsort(place, kind="stable")
    fresh = np.append(True, np.diff(place[order]) > SAME_PLACE)[: len(place)]
    cluster = np.empty(len(place), np.int64)
    cluster[order] = np.cumsum(fresh) - 1
    starts = np.flatnonzero(fresh)
    base = place[order][starts]
    weight = np.bincount(cluster, length, len(starts))
    beyond = np.bincount(cluster, length * (place - base[cluster]), len(starts)) if len(starts) else weight
    return cluster, base + np.rint(beyond / weight).astype(np.int64)


def _pairs(sights: Sights, own: Ints) -> tuple[Ints, Ints, Ints, Bools]:
    left, right = own[:-1], own[1:]
    both = (sights.line[1:] == sights.line[:-1]) & (left >= 0) & (right >= 0) & (left < right)
    at = np.flatnonzero(both)
    gap = (sights.rise[at] < 0) & (sights.rise[at + 1] > 0)
    # one number for each pair: numpy tells those apart faster than columns
    count = int(own.max(initial=0)) + 1
    found, shared = np.unique((left[at] * count + right[at]) * 2 + gap, return_counts=True)
    return found // 2 // count, found // 2 % count, shared, found % 2 == 1


def with_pairs_of(sides: Sides, sights: Sights, kept: Bools) -> Sides:
    """Return sides without the pairs that too few steps are seen of.

    Args:
        sides: of what is seen along lines.
        sights: what is seen along these.
        kept: (steps,) which steps count.
    """
    if not len(sides.first):
        return sides
    nearest = np.clip(np.searchsorted(sides.at, sights.at), 1, max(len(sides.at) - 1, 1)) - 1
    beyond = np.minimum(nearest + 1, len(sides.at) - 1)
    at = sides.at
    nearest = np.where(np.abs(at[beyond] - sights.at) < np.abs(at[nearest] - sights.at), beyond, nearest)
    near = kept & (np.abs(at[nearest] - sights.at) <= NEAR)
    first, second, shared, _ = _pairs(sights, np.where(near, nearest, -1))
    pair, wanted = first * len(at) + second, sides.first * len(at) + sides.second
    count = np.zeros(len(at) ** 2 + 1, np.int64)
    np.maximum.at(count, pair, shared)
    # curves of others may come near to both sides on a line or two
    seen = count[wanted] >= np.minimum(sides.shared, LEAST_LINES)
    return replace(
        sides,
        first=sides.first[seen],
        second=sides.second[seen],
        shared=sides.shared[seen],
        is_gap=sides.is_gap[seen],
    )

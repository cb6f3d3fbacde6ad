"""Networks that look the same after half a turn: nodes and paths in pairs, each the image of the other.

Of two ways to lead such a network that turn into each other neither is better, and a mirrored drawing could
get the other one. So only one node of each pair chooses, the other takes the image of its hole, and only one
path of each pair is led.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from svg2chart.grid import LATTICE
from svg2chart.lines.choosing import Factor
from svg2chart.lines.ground import COST_UNIT, Point
from svg2chart.lines.network import Network, Path

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

ROUNDED = COST_UNIT >> 14
"""Costs that differ by less are the same: each segment's is rounded to one unit, a path has far fewer."""


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Pairs:
    """Who chooses for whom.

    shift: a point p, in half squares, turns to shift - p.
    chooser: the node that chooses for each node; own: for each of its options the number of the node's own.
    leader: the path that is led for each path.
    """

    shift: Ints
    chooser: tuple[int, ...]
    own: tuple[Ints, ...]
    leader: tuple[int, ...]

    def image(self, chain: Sequence[Point]) -> list[Point]:
        """Return the chain after half a turn."""
        return [(int(self.shift[0]) - x, int(self.shift[1]) - y) for x, y in chain]

    def folded(self, factor: Factor) -> Factor:
        """Return a factor of one or two nodes as one of those that choose for them."""
        nodes, cost = factor
        things = [self.chooser[node] for node in nodes]
        cost = np.asarray(cost[np.ix_(*(self.own[node] for node in nodes))])
        if len(things) == 2 and things[0] == things[1]:
            return (things[0],), cost.diagonal()
        return (tuple(things), cost) if things == sorted(things) else (tuple(things[::-1]), cost.T)

    def chosen(self, choice: Sequence[int]) -> list[int]:
        """Return the option of each node where those that choose have chosen."""
        return [int(own[choice[chooser]]) for own, chooser in zip(self.own, self.chooser, strict=True)]


def no_pairs(options: Sequence[Ints], paths: int) -> Pairs:
    """Return the pairs of a network that looks otherwise after half a turn: each node chooses for itself."""
    return Pairs(
        shift=np.zeros(2, np.int64),
        chooser=tuple(range(len(options))),
        own=tuple(np.arange(len(points)) for points in options),
        leader=tuple(range(paths)),
    )


def pairs_of(
    network: Network, options: Sequence[Ints], factors: Sequence[Factor], *, middle: Floats
) -> Pairs:
    """Return the pairs of a network.

    Args:
        network: all lines of a drawing.
        options: the points (x, y) in half squares that each node may take.
        factors: of one or two nodes, what each choice costs: it has to turn into itself as well.
        middle: of all lines, (x, y) in half squares.
    """
    alone = no_pairs(options, len(network.paths))
    shift = np.rint(2 * middle).astype(np.int64)
    nodes = _twins([node[None] for node in network.nodes], middle)
    paths = _twins([path.points for path in network.paths], middle)
    if (2 * middle != shift).any() or (shift % 2).any() or nodes is None or paths is None:
        return alone
    images = [_images(own, options[twin], shift) for own, twin in zip(options, nodes, strict=True)]
    if any(image is None for image in images):
        return alone
    turned = [image for image in images if image is not None]
    if not _turn_into_themselves(factors, nodes, turned):
        return alone
    own = []
    for node, twin in enumerate(nodes):
        fixed = np.flatnonzero(turned[node] == np.arange(len(turned[node])))
        own.append(turned[twin] if twin < node else alone.own[node] if twin > node else fixed)
    if not all(len(numbers) for numbers in own):
        return alone  # a node in the middle that no hole lies on
    return Pairs(
        shift=shift,
        chooser=tuple(min(pair) for pair in enumerate(nodes)),
        own=tuple(own),
        leader=tuple(min(pair) for pair in enumerate(paths)),
    )


def runs_as_its_image(path: Path, leader: Path, pairs: Pairs) -> bool:
    """Whether a path runs in the direction of its leader's image."""
    start = pairs.shift / 2 - leader.points[0]
    return bool(((path.points[0] - start) ** 2).sum() <= ((path.points[-1] - start) ** 2).sum())


def _twins(lines: Sequence[Floats], middle: Floats) -> list[int] | None:
    """Return the line that each turns into, drawn either way; None if one turns into none."""
    numbers = {_key(points): number for number, points in enumerate(lines)}
    found = [numbers.get(_key(middle - points)) for points in lines]
    whole = [number for number in found if number is not None]
    return whole if len(whole) == len(lines) else None


def _key(points: Floats) -> bytes:
    on_lattice = np.rint(points * LATTICE).astype(np.int64)
    return min(on_lattice.tobytes(), on_lattice[::-1].tobytes())


def _images(points: Ints, others: Ints, shift: Ints) -> Ints | None:
    """Return the number among the others of each point's image; None if they are not the images."""
    numbers = {tuple(point): number for number, point in enumerate(others.tolist())}
    found = [numbers.get(tuple(point), -1) for point in (shift - points).tolist()]
    return None if -1 in found or len(points) != len(others) else np.array(found, dtype=np.int64)


def _turn_into_themselves(factors: Sequence[Factor], twins: Sequence[int], images: Sequence[Ints]) -> bool:
    """Whether all choices cost as much after half a turn."""
    sums: dict[tuple[int, ...], Ints] = {}
    for nodes, cost in factors:
        sums[nodes] = sums[nodes] + cost if nodes in sums else cost
    for nodes, cost in sums.items():
        there = tuple(twins[node] for node in nodes)
        found = sums.get(tuple(sorted(there)))
        if found is None:
            return False
        table = found if there == tuple(sorted(there)) else found.T
        if (np.abs(table[np.ix_(*(images[node] for node in nodes))] - cost) > ROUNDED).any():
            return False
    return True

"""Which ways over bare cloth a thread goes: areas put into as few paths as can be found, at the least cost.

Each path of areas is worked with one thread, and each way in it is gone once. Ways are first taken cheapest
first, while no area has more than two and no ring closes. Then each way that was left out is tried in place
of those that stand against it, with whatever fits beside it after that; what makes fewer paths, or as few
over less bare cloth, stays (local search until nothing gains). To find the best paths for sure takes time
without bound: it is the problem of the travelling salesman.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import product

Way = tuple[int, int, int]
"""What a way costs, and the two areas between which it goes, by number."""

MOST_ROUNDS = 8  # in which each way is tried; our choice, to bound the time


def choose_ways(ways: Sequence[Way]) -> list[int]:
    """Return which ways are gone, by number.

    >>> choose_ways([(1, 0, 1), (1, 1, 2), (1, 1, 3)])
    [0, 1]

    The cheapest ways first would be 0 and 1, which leave room for no third:

    >>> choose_ways([(1, 0, 1), (1, 0, 2), (2, 1, 2), (2, 0, 3)])
    [0, 2, 3]
    """
    paths = _Paths(ways)
    cheapest = sorted(range(len(ways)), key=lambda n: (ways[n][0], n))
    paths.fill(cheapest)
    for _ in range(MOST_ROUNDS):
        if not any([paths.improve(n) for n in cheapest if n not in paths.taken]):
            break
    return sorted(paths.taken)


@dataclass
class _Paths:
    """Ways that are taken: no area has more than two of them, and they make no ring."""

    ways: Sequence[Way]
    taken: set[int] = field(default_factory=set)
    at: dict[int, list[int]] = field(default_factory=dict)
    every: dict[int, list[int]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        for n in sorted(range(len(self.ways)), key=lambda n: (self.ways[n][0], n)):
            for area in self.ways[n][1:]:
                self.every.setdefault(area, []).append(n)
                self.at.setdefault(area, [])

    def fill(self, numbers: Sequence[int]) -> list[int]:
        """Take all of these ways that fit, in this order, and return them."""
        return [n for n in numbers if self._take_if_it_fits(n)]

    def improve(self, number: int) -> bool:
        """Take a way in place of others if that gains, and return whether it does."""
        _, one, other = self.ways[number]
        for out in product(self._in_the_way(one), self._in_the_way(other)):
            removed = sorted({n for n in out if n is not None})
            for n in removed:
                self._drop(n)
            ring = self._path_between(one, other)
            if ring:
                removed.append(max(ring, key=lambda n: (self.ways[n][0], n)))
                self._drop(removed[-1])
            added = self.fill([number, *self._freed(removed)])
            if self._worth(added) > self._worth(removed):
                return True
            for n in added:
                self._drop(n)
            for n in removed:
                self._take(n)
        return False

    def _freed(self, removed: Sequence[int]) -> list[int]:
        """Return the ways, cheapest first, that might fit now that these join no paths any more."""
        parted = {area for n in removed for area in self.ways[n][1:]}
        ends = {self._walk(area)[1] for area in parted}
        freed = {n for area in parted | ends for n in self.every[area]}
        return sorted(freed, key=lambda n: (self.ways[n][0], n))

    def _worth(self, numbers: Sequence[int]) -> tuple[int, int]:
        return len(numbers), -sum(self.ways[n][0] for n in numbers)

    def _in_the_way(self, area: int) -> list[int | None]:
        return list(self.at[area]) if len(self.at[area]) == 2 else [None]

    def _take_if_it_fits(self, number: int) -> bool:
        _, one, other = self.ways[number]
        if number in self.taken or one == other or max(len(self.at[one]), len(self.at[other])) > 1:
            return False
        if self._path_between(one, other):
            return False
        self._take(number)
        return True

    def _take(self, number: int) -> None:
        self.taken.add(number)
        for area in self.ways[number][1:]:
            self.at[area].append(number)

    def _drop(self, number: int) -> None:
        self.taken.remove(number)
        for area in self.ways[number][1:]:
            self.at[area].remove(number)

    def _path_between(self, one: int, other: int) -> list[int]:
        """Return the ways from one end of a path to another area if that is its other end, else none."""
        path, end = self._walk(one)
        return path if end == other else []

    def _walk(self, area: int) -> tuple[list[int], int]:
        """Return the ways from one end of a path to the other, and the area there."""
        path: list[int] = []
        while True:
            onward = [n for n in self.at[area] if not path or n != path[-1]]
            if not onward:
                return path, area
            path.append(onward[0])
            _, low, high = self.ways[onward[0]]
            area = high if area == low else low

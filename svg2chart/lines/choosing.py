"""The cheapest choice of one option for each of many things that depend on each other in pairs or more.

Things are taken out one by one, that with the fewest neighbours first: what it and its factors cost
at best becomes a factor of its neighbours (dynamic programming over a graph, known as variable or bucket
elimination; R. Dechter, Artificial Intelligence 113, 1999, from memory). Exact, unless a thing has so
many neighbours that the table would be huge: then it takes at once what looks best by itself.
"""

from collections.abc import Sequence
from heapq import heapify, heappop, heappush

import numpy as np
from numpy.typing import NDArray

Ints = NDArray[np.int64]
Factor = tuple[tuple[int, ...], Ints]
"""The things that it is about, ascending, and what each choice of theirs costs: an axis for each of them."""

MOST_ENTRIES = 1 << 16


def cheapest_choice(options: Sequence[int], factors: Sequence[Factor]) -> list[int]:
    """Return the number of an option for each thing so that all factors together cost least.

    Args:
        options: how many options each thing has, at least one.
        factors: sums of them must stay below 2^63.
    """
    pool = _Pool(options, factors)
    waiting = [(len(pool.neighbours(thing)), thing) for thing in range(len(options))]
    heapify(waiting)
    steps: list[tuple[int, tuple[int, ...], Ints]] = []
    done: set[int] = set()
    while waiting:
        degree, thing = heappop(waiting)
        if thing in done:
            continue
        others = pool.neighbours(thing)
        if len(others) != degree:  # it has changed since it was put there
            heappush(waiting, (len(others), thing))
            continue
        done.add(thing)
        own = pool.take(thing)
        if np.prod([options[other] for other in (*others, thing)], dtype=np.float64) > MOST_ENTRIES:
            best = int(sum((_alone(f, thing) for f in own), np.zeros(options[thing], np.int64)).argmin())
            steps.append((thing, (), np.array(best)))
            pool.add([_fixed(factor, thing, best) for factor in own if len(factor[0]) > 1])
        else:
            total = _sum(own, (*others, thing), options)
            steps.append((thing, others, total.argmin(axis=-1)))
            pool.add([(others, total.min(axis=-1))] if others else [])
    chosen = [0] * len(options)
    for thing, others, table in reversed(steps):
        chosen[thing] = int(table[tuple(chosen[other] for other in others)])
    return chosen


class _Pool:
    """The factors that are still open, and which thing each is about."""

    def __init__(self, options: Sequence[int], factors: Sequence[Factor]) -> None:
        self._factors: dict[int, Factor] = {}
        self._held: list[set[int]] = [set() for _ in options]
        self._next = 0
        self.add(factors)

    def add(self, factors: Sequence[Factor]) -> None:
        for factor in factors:
            self._factors[self._next] = factor
            for thing in factor[0]:
                self._held[thing].add(self._next)
            self._next += 1

    def take(self, thing: int) -> list[Factor]:
        """Return the factors about a thing, and forget them."""
        numbers = sorted(self._held[thing])
        for number in numbers:
            for other in self._factors[number][0]:
                self._held[other].discard(number)
        return [self._factors.pop(number) for number in numbers]

    def neighbours(self, thing: int) -> tuple[int, ...]:
        """Return the other things of its factors."""
        found = {other for number in self._held[thing] for other in self._factors[number][0]}
        return tuple(sorted(found - {thing}))


def _sum(factors: Sequence[Factor], axes: tuple[int, ...], options: Sequence[int]) -> Ints:
    """Return the sum of factors as a table with the axes."""
    total = np.zeros([options[thing] for thing in axes], np.int64)
    for things, table in factors:
        order = sorted(range(len(things)), key=lambda i: axes.index(things[i]))
        shape = [options[thing] if thing in things else 1 for thing in axes]
        total = total + table.transpose(order).reshape(shape)
    return np.asarray(total)


def _alone(factor: Factor, thing: int) -> Ints:
    """Return what each option of a thing costs at best in a factor."""
    axis = factor[0].index(thing)
    return np.asarray(np.moveaxis(factor[1], axis, 0).reshape(factor[1].shape[axis], -1).min(axis=1))


def _fixed(factor: Factor, thing: int, option: int) -> Factor:
    """Return a factor with the thing's option decided."""
    axis = factor[0].index(thing)
    others = tuple(other for other in factor[0] if other != thing)
    return others, np.asarray(factor[1].take(option, axis=axis))

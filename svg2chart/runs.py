"""Flat arrays that hold one run after another: put in order, told apart, numbered and spread out."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike, NDArray

Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

_BITS = 63  # of a whole number from 0


def in_order(*keys: Ints) -> Ints:
    """Return the indices that sort entries by whole numbers from 0, the first key before the second.

    Equal entries stay in their order. Keys and index are packed into one number each: numpy sorts those
    several times faster than it sorts indices by keys. Keys that do not fit are sorted by afterwards.
    """
    index_bits = len(keys[0]).bit_length()
    bits = [int(key.max(initial=0)).bit_length() for key in keys]
    first = len(keys) - 1
    while first and sum(bits[first - 1 :]) + index_bits <= _BITS:
        first -= 1
    if bits[-1] + index_bits > _BITS:
        order = np.argsort(keys[-1], kind="stable")
    else:
        order = _packed(keys[first:], bits[first:])
        order <<= index_bits
        order |= np.arange(len(order))
        order.sort()
        order &= (1 << index_bits) - 1
    return order[in_order(*(key[order] for key in keys[:first]))] if first else order


def sorted_together(*keys: Ints) -> tuple[Ints, ...]:
    """Return whole numbers from 0 sorted together, the first key first; packed as in `in_order`."""
    bits = [int(key.max(initial=0)).bit_length() for key in keys]
    if sum(bits) > _BITS:
        order = in_order(*keys)
        return tuple(key[order] for key in keys)
    packed = _packed(keys, bits)
    packed.sort()
    result = []
    for room in bits[:0:-1]:
        result.append(packed & ((1 << room) - 1))
        packed = packed >> room
    return (packed, *result[::-1])


def _packed(keys: Sequence[Ints], bits: Sequence[int]) -> Ints:
    """Return one number for each entry, which has so many bits of each key, the first key on top.

    Worked in place: fresh memory costs more time than the numbers in it.
    """
    packed = keys[0].astype(np.int64)
    for key, room in zip(keys[1:], bits[1:], strict=True):
        packed <<= room
        packed |= key
    return packed


def distinct(values: ArrayLike) -> NDArray[np.int64]:
    """Return the different whole numbers among some, ascending.

    numpy's `unique` looks them up one by one where nothing else is asked of it; a sort is many times faster.
    """
    ordered = np.sort(np.asarray(values), axis=None)
    return np.asarray(ordered[begins(ordered)])


def ranks(values: NDArray[np.float64]) -> Ints:
    """Return for each number how many different ones are smaller."""
    order = np.argsort(values)  # in whatever order equal ones come, they get one rank
    result = np.empty(len(values), np.int64)
    result[order] = np.cumsum(begins(values[order])) - 1
    return result


def numbered(values: Ints) -> tuple[Ints, Ints]:
    """Return the different whole numbers from 0 among some, ascending, and which of these each is."""
    order = in_order(values)
    ordered, result = values[order], np.empty(len(values), np.int64)
    fresh = begins(ordered)
    result[order] = np.cumsum(fresh) - 1
    return ordered[fresh], result


def begins(*values: ArrayLike) -> Bools:
    """Return where runs of equal entries begin; several arrays are compared together."""
    arrays = [np.asarray(value) for value in values]
    result = np.empty(len(arrays[0]), np.bool_)
    result[:1] = True
    np.not_equal(arrays[0][1:], arrays[0][:-1], out=result[1:])
    for array in arrays[1:]:
        result[1:] |= array[1:] != array[:-1]
    return result


def ends(begin: Bools) -> Bools:
    """Return where runs end, from where they begin."""
    result = np.ones(len(begin), np.bool_)
    result[:-1] = begin[1:]
    return result


def lengths(starts: Ints, count: int) -> Ints:
    """Return how long runs are, from where they start and how many entries all have."""
    result = np.empty(len(starts), np.int64)
    result[:-1] = starts[1:] - starts[:-1]
    result[-1:] = count - starts[-1:]
    return result


def totals(places: Ints, weights: NDArray[np.float64], count: int) -> NDArray[np.float64]:
    """Return the sum of the weights at each of the places 0 to count - 1."""
    return np.bincount(places, weights, count).astype(np.float64, copy=False)


def within_groups(counts: Ints) -> Ints:
    """Return 0, 1, … counts[0] - 1, 0, 1, … counts[1] - 1 and so on."""
    stops = np.cumsum(counts)
    return np.arange(int(stops[-1]) if len(stops) else 0) - np.repeat(stops - counts, counts)


def spread(starts: Ints, counts: Ints) -> Ints:
    """Return the whole numbers of several runs, one run after the other."""
    stops = np.cumsum(counts)
    return np.arange(int(stops[-1]) if len(stops) else 0) + np.repeat(starts - stops + counts, counts)


def places_in_runs(numbers: Ints) -> Ints:
    """Return 0, 1, 2 and so on within each run of equal numbers."""
    return within_groups(lengths(np.flatnonzero(begins(numbers)), len(numbers)))


def linked(first: Ints, second: Ints, count: int) -> Ints:
    """Return for each of so many entries the least that it is linked to, by pairs and pairs of those."""
    group = np.arange(count)
    while True:
        lower = group.copy()
        # the entry that a group is called by takes the lower number, then each the number that this one has
        one, other = group[first], group[second]
        np.minimum.at(lower, one, other)
        np.minimum.at(lower, other, one)
        lower = lower[lower]
        lower = lower[lower]
        if np.array_equal(lower, group):
            return group
        group = lower


def in_old_order(own: Ints, points: NDArray[np.float64], starts: Ints) -> tuple[NDArray[np.float64], Ints]:
    """Return runs of points in the order of their numbers, and where each starts.

    Args:
        own: (runs,) the number of each, all different.
        points: of all runs.
        starts: (runs + 1,) where each run starts, and the end of the last.
    """
    order, counts = np.argsort(own), np.diff(starts)
    return points[spread(starts[:-1][order], counts[order])], np.concatenate([[0], np.cumsum(counts[order])])

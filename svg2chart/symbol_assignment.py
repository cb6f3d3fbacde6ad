"""Which thread takes which symbol: those that could be mixed up get the least alike ones.

Two threads could be mixed up where they meet in the picture, and where their colours are alike. Two symbols
could be mixed up the more, the smaller their distance is. What is to be low is the sum, over all pairs of
threads, of the one times the other (a quadratic assignment). From the order of the threads, symbols are
exchanged between two threads as long as that lowers the sum, always by the exchange that lowers it most.
All weights are whole numbers, so that every machine decides alike.
"""

from collections.abc import Collection, Sequence
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from svg2chart.colour import Colour, ciede2000, lab
from svg2chart.symbol_drawing import Symbol
from svg2chart.symbol_likeness import DISTANCES
from svg2chart.symbols import SYMBOLS, symbols_for

Ints = NDArray[np.int64]

CLEAR_WHEN_SMALL = 30
"""So many of the first symbols are told apart in a fraction, where they are printed small."""

ALIKE_COLOURS = 20.0
"""Colours farther apart (CIEDE2000) are not mixed up at all. Our choice, no source."""

MEETING_WEIGHT = 4
"""Threads that meet once count so much; so much more each time that they meet twice as often."""


def assign_symbols(
    uses_fractions: Sequence[bool],
    *,
    touching: Ints | None = None,
    colours: Sequence[Colour] = (),
    taken: Collection[str] = (),
) -> tuple[Symbol, ...]:
    """Return a symbol for each thread, out of the first so many of `SYMBOLS`.

    Args:
        uses_fractions: whether a thread occurs in fractions: then it gets one of the first symbols,
            CLEAR_WHEN_SMALL if there are not more of these threads.
        touching: (threads, threads) in how many places two threads meet (`touching_threads`).
        colours: of the threads; none are compared where they are left out.
        taken: names of symbols that other threads have.

    Raises:
        PageError: there are fewer symbols than threads.
    """
    symbols = symbols_for(len(uses_fractions), taken=taken)
    threads = sorted(range(len(symbols)), key=lambda thread: not uses_fractions[thread])
    place = np.empty(len(symbols), np.int64)
    place[threads] = np.arange(len(symbols))
    if touching is None and not colours:
        return tuple(symbols[index] for index in place)
    weights = confusions(len(symbols), touching, colours)
    numbers = [SYMBOLS.index(symbol) for symbol in symbols]
    clear = max(sum(uses_fractions), CLEAR_WHEN_SMALL)
    costs = likeness(numbers)
    place = _exchanged(weights, costs, place, np.array(uses_fractions, np.bool_), clear)
    return tuple(symbols[index] for index in place)


def confusions(threads: int, touching: Ints | None, colours: Sequence[Colour]) -> Ints:
    """Return (threads, threads) how easily two threads could be mixed up, 0 for a thread with itself."""
    weights = np.zeros((threads, threads), np.int64)
    if touching is not None:
        bits = [[int(count).bit_length() for count in row] for row in touching.tolist()]
        weights += MEETING_WEIGHT * np.array(bits, np.int64).reshape(threads, threads)
    if colours:
        coordinates = lab(list(colours))
        apart = np.rint(ciede2000(coordinates[:, None], coordinates[None]) * 1000) / 1000
        weights += np.maximum(np.floor(ALIKE_COLOURS - apart), 0).astype(np.int64)
    np.fill_diagonal(weights, 0)
    return weights


def likeness(numbers: Sequence[int]) -> Ints:
    """Return how easily two symbols could be mixed up: it falls with the square of their distance."""
    apart = np.zeros((len(numbers), len(numbers)), np.int64)
    for (i, one), (j, other) in combinations(enumerate(numbers), 2):
        apart[i, j] = apart[j, i] = DISTANCES[max(one, other)][min(one, other)]
    return np.asarray(np.where(apart > 0, 1_000_000 // np.maximum(apart * apart, 1), 0))


def _exchanged(weights: Ints, costs: Ints, place: Ints, is_small: NDArray[np.bool_], clear: int) -> Ints:
    """Return the place of each thread's symbol after all exchanges that help.

    An exchange of the symbols of r and s changes the sum by twice the sum over all other k of
    (weights[s, k] - weights[r, k]) * (costs[p(r), p(k)] - costs[p(s), p(k)]).
    """
    place = place.copy()
    while True:
        shown = costs[np.ix_(place, place)]
        cross = weights @ shown
        own = np.diag(cross)
        gains = cross + cross.T - own[:, None] - own[None] + 2 * weights * shown
        allowed = ~(is_small[:, None] & (place[None] >= clear)) & ~(
            is_small[None] & (place[:, None] >= clear)
        )
        gains = np.where(allowed, gains, 0)
        least = int(gains.min(initial=0))
        if least >= 0:
            return place
        one, other = np.argwhere(gains == least)[0]
        place[[one, other]] = place[[other, one]]

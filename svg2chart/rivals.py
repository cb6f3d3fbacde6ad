"""Colours that touch in the drawing stay two: which thread each colour goes to.

Rivals are colours that touch and can be told apart. What covers most goes first, to its nearest thread, and
each next colour to the nearest that none of its rivals has, if that is worth it: an outline a little darker
than its cap is rather lost in it than worked in pink. Where there may be no more threads, chosen
ones are exchanged for what a colour would rather have, if that does less harm. Where two rivals still share
a thread, one of them moves to a thread that is free for it.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from svg2chart.colour import Colour, ciede2000, lab
from svg2chart.merging import AREA_UNIT, DIFFERENCE_UNIT, differences
from svg2chart.runs import distinct

Ints = NDArray[np.int64]

TOLD_APART = 2.0
"""Colours that differ by so much (CIEDE2000) are told apart by observers without experience. Source:
Mokrzycki and Tatol, Colour difference: a survey, 2011, as for `merging.ALIKE`."""

OTHER_COLOUR = 20.0
"""A thread that differs by so much more (CIEDE2000), and by more than the rivals do, makes another colour of
one: it is not worth it. Our choice, no source."""

HARM_STEP = DIFFERENCE_UNIT // 100
"""Differences are squared in steps of a hundredth, so that whole numbers of 64 bits hold the sum."""

SWAPS_TRIED = 8
"""So many colours that had to move, and so many threads for each, are tried in one round of exchanges."""

MOST_KNOWN = 1_000_000
"""Where colours times threads are more, no other threads than those chosen are looked at."""


def rival_pairs(colours: Sequence[Colour], touching: Ints) -> Ints:
    """Return the pairs that touch and can be told apart, (n, 2) ascending; `touching` are all that touch."""
    pairs = np.unique(np.sort(touching, axis=1), axis=0)
    coordinates = lab(list(colours))
    apart = ciede2000(coordinates[pairs[:, 0]], coordinates[pairs[:, 1]])
    return np.asarray(pairs[np.rint(apart * DIFFERENCE_UNIT) >= TOLD_APART * DIFFERENCE_UNIT])


def joined(pairs: Ints, threads: Sequence[Colour]) -> Ints:
    """Return the pairs of rivals that go to one thread."""
    return np.array([pair for pair in pairs.tolist() if threads[pair[0]] == threads[pair[1]]]).reshape(-1, 2)


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class _Case:
    """Colours, the one that covers most first, and threads.

    apart: (colours, threads) differences. areas: in AREA_UNIT. loss: both multiplied. pairs: rivals.
    rivals: of each colour, and by how much they differ.
    """

    apart: Ints
    areas: Ints
    loss: Ints
    pairs: Ints
    rivals: tuple[Mapping[int, int], ...]

    def standing(self, goes_to: Sequence[int]) -> tuple[int, int]:
        """Return what is to be low: the harm that is done, and what is lost.

        Harm are differences squared, by area: of each colour from its thread, and of rivals that share one,
        as far as the smaller of them reaches. Two blues are rather one than black is red.
        """
        place = np.arange(len(self.loss)), list(goes_to)
        harm = int((self.areas * (self.apart[place] // HARM_STEP) ** 2).sum())
        for one, other in self.together(goes_to).tolist():
            area = int(min(self.areas[one], self.areas[other]))
            harm += area * (self.rivals[one][other] // HARM_STEP) ** 2
        return harm, int(self.loss[place].sum())

    def together(self, goes_to: Sequence[int]) -> Ints:
        threads = np.array(goes_to)
        return self.pairs[np.flatnonzero(threads[self.pairs[:, 0]] == threads[self.pairs[:, 1]])]

    def taken(self, colour: int, goes_to: Sequence[int]) -> dict[int, int]:
        """Return the threads of its rivals, and how much the one that differs most from it there does so."""
        found: dict[int, int] = {}
        for rival, apart in self.rivals[colour].items():
            if rival < len(goes_to):
                found[goes_to[rival]] = max(found.get(goes_to[rival], 0), apart)
        return found

    def is_worth(self, colour: int, thread: int, *, instead: int, taken: Mapping[int, int]) -> bool:
        """Whether a colour is better in a thread than with the rivals that have another one."""
        more = self.apart[colour, thread] - self.apart[colour, instead]
        return bool(more <= max(taken[instead], OTHER_COLOUR * DIFFERENCE_UNIT))


def share_threads(
    colours: Sequence[Colour],
    areas: Sequence[float],
    most: int,
    *,
    chosen: Sequence[Colour],
    card: Sequence[Colour],
    pairs: Ints,
) -> list[Colour]:
    """Return the thread of each colour, at most `most` different ones.

    Args:
        colours: the one that covers most first.
        areas: what each covers, in squares.
        most: at least 1.
        chosen: the threads that lose least (`choose_most`).
        card: all threads that there are.
        pairs: the rivals (`rival_pairs`).

    Two rivals share a thread only where no other one is left for either of them, or none that is worth it.
    """
    known = list(card) if len(colours) * len(card) <= MOST_KNOWN else list(chosen)
    apart = differences(colours, known)
    near: list[dict[int, int]] = [{} for _ in colours]
    coordinates = lab(list(colours))
    between = ciede2000(coordinates[pairs[:, 0]], coordinates[pairs[:, 1]]) * DIFFERENCE_UNIT
    for (one, other), far in zip(pairs.tolist(), np.rint(between).astype(np.int64).tolist(), strict=True):
        near[one][other] = near[other][one] = far
    amounts = np.rint(np.array(areas) * AREA_UNIT).astype(np.int64)
    case = _Case(
        apart=apart,
        areas=amounts,
        loss=apart * amounts[:, None],
        pairs=pairs,
        rivals=tuple(near),
    )
    places = sorted(known.index(colour) for colour in chosen)
    goes_to = _settled(case, range(len(known)))
    if len(set(goes_to)) > most:
        goes_to = _settled(case, places)
        while better := _exchange(case, goes_to, places):
            places, goes_to = better, _settled(case, better)
    return [known[thread] for thread in _parted(case, goes_to, most)]


def _settled(case: _Case, chosen: Sequence[int]) -> list[int]:
    """Return for each colour its nearest chosen thread that no rival before it has, if that is worth it."""
    threads = np.array(chosen)
    nearest = threads[np.argsort(case.apart[:, threads], axis=1, kind="stable")]
    goes_to: list[int] = []
    for colour, row in enumerate(nearest):
        taken = case.taken(colour, goes_to)
        first = int(row[0])
        free = next((int(thread) for thread in row if int(thread) not in taken), first)
        is_better = first in taken and case.is_worth(colour, free, instead=first, taken=taken)
        goes_to.append(free if is_better else first)
    return goes_to


def _exchange(case: _Case, goes_to: Sequence[int], chosen: Sequence[int]) -> list[int]:
    """Return the threads after the best exchange for colours that rivals keep from theirs, if one helps.

    Tried are the colours that lose most by it, each with its nearest thread for one of those chosen
    threads that would be missed least.
    """
    place, threads = np.arange(len(case.loss)), np.array(chosen)
    free = np.setdiff1d(np.arange(case.loss.shape[1]), threads)
    extra = case.loss[place, goes_to] - case.loss[:, threads].min(axis=1)
    bumped = [c for c in np.argsort(-extra, kind="stable").tolist() if extra[c]]
    bumped += [c for c in distinct(case.together(goes_to)).tolist() if not extra[c]]
    best, result = case.standing(goes_to), list[int]()
    if len(chosen) < 2 or not len(free):
        return result
    for colour in bumped[:SWAPS_TRIED]:
        near = int(free[case.apart[colour, free].argmin()])
        for out in _least_missed(case, threads):
            swapped = sorted({*chosen, near} - {out})
            standing = case.standing(_settled(case, swapped))
            if standing < best:
                best, result = standing, swapped
    return result


def _least_missed(case: _Case, threads: Ints) -> list[int]:
    """Return the few threads without which least would be lost; at least two are given."""
    two = np.argsort(case.loss[:, threads], axis=1, kind="stable")[:, :2]
    costs = np.take_along_axis(case.loss[:, threads], two, axis=1)
    missed = np.zeros(len(threads), np.int64)
    np.add.at(missed, two[:, 0], costs[:, 1] - costs[:, 0])
    return [int(threads[index]) for index in np.argsort(missed, kind="stable")[:SWAPS_TRIED]]


def _parted(case: _Case, goes_to: Sequence[int], most: int) -> list[int]:
    """Return the threads after every move that parts rivals; each move leaves fewer that share one."""
    threads = list(goes_to)
    while len(together := case.together(threads)):
        used = sorted(set(threads))
        allowed = range(case.apart.shape[1]) if len(used) < most else used
        moves = []
        for colour in distinct(together).tolist():
            taken = case.taken(colour, threads)
            moves += [
                (int(case.apart[colour, t]), -colour, t)
                for t in allowed
                if t not in taken and case.is_worth(colour, t, instead=threads[colour], taken=taken)
            ]
        if not moves:
            break
        _, colour, thread = min(moves)
        threads[-colour] = thread
    return threads

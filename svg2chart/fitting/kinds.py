"""Kinds of motifs: those that are copies of each other, and those that are the same on both sides."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import compress

import numpy as np
from numpy.typing import NDArray

from svg2chart.fitting.contents import Content
from svg2chart.fitting.likeness import ALIKE, MOST_LEFT_OUT, SIGNS, in_steps
from svg2chart.geometry.boxes import middles_of

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

MOST_KINDS = 100
"""Of more kinds only the largest are fitted in frames: each takes as long as a small drawing."""

SAME = 2.0**-12
"""Places that differ by less, in squares, are the same but for rounding."""


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Copy:
    """A motif by number, how it is turned to lie as the first of its kind, and onto which of its points."""

    motif: int
    sign: Ints
    onto: Ints


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Kind:
    """Copies of the figure of one motif, those that are bound on one level or more."""

    first: Content
    copies: list[Copy]

    @property
    def signs(self) -> Ints:
        """(copies, 2) how each is turned."""
        return np.stack([copy.sign for copy in self.copies])

    def area(self, motifs: Sequence[Content]) -> int:
        """Return that of the largest box around a copy, in parts of a square; in any order the same."""
        return int(max(np.rint(motifs[copy.motif].figure.size.prod() / ALIKE) for copy in self.copies))

    def boxes(self, motifs: Sequence[Content]) -> Floats:
        """Return (copies, 4) the box around each, as drawn."""
        return np.stack([motifs[copy.motif].box for copy in self.copies])

    def levels(self, motifs: Sequence[Content]) -> Ints:
        """Return for each copy on which level of all it is bound; those that nothing binds are on one."""
        return in_steps(middles_of(self.boxes(motifs))[:, self.first.is_bound], SAME)


def find_kinds(motifs: Sequence[Content]) -> list[Kind]:
    """Return the motifs that are the same on both sides, or copies."""
    found: list[Kind] = []
    # in all mirrors the same, and they tell most apart
    sizes = np.array([motif.figure.size for motif in motifs]).reshape(-1, 2)
    means = np.array([np.abs(motif.figure.points.mean(axis=0)) for motif in motifs]).reshape(-1, 2)
    counts = np.array([len(motif.figure.points) for motif in motifs], np.int64)
    firsts: list[int] = []
    # a copy may lack points that the first has
    for number in np.argsort(-counts, kind="stable").tolist():
        motif = motifs[number]
        lacks = 1 - counts[number] / counts[firsts]
        near = (np.abs(sizes[firsts] - sizes[number]) <= 2 * ALIKE).all(axis=1) & (lacks <= MOST_LEFT_OUT)
        off = np.abs(means[firsts] - means[number])
        near &= (off <= ALIKE + lacks[:, None] * sizes[firsts]).all(axis=1)
        for kind in (found[k] for k in np.flatnonzero(near).tolist()):
            copy = _copy(number, motif, kind.first)
            if copy is not None:
                kind.copies.append(copy)
                break
        else:
            own = Copy(motif=number, sign=SIGNS[0], onto=np.arange(counts[number]))
            found.append(Kind(first=motif, copies=[own]))
            firsts.append(number)
    found.sort(key=lambda kind: min(copy.motif for copy in kind.copies))
    found = [kind for kind in found if len(kind.copies) > 1 or kind.first.figure.is_even.any()]
    areas = np.array([kind.area(motifs) for kind in found])
    each = np.repeat(areas, [kind.levels(motifs).max() + 1 for kind in found])
    least = np.sort(each)[-MOST_KINDS - 1] if len(each) > MOST_KINDS else -1
    return list(compress(found, areas > least))


def _copy(number: int, motif: Content, first: Content) -> Copy | None:
    """Return a motif as a copy of the first of a kind; None if it is none. What is bound stays as it lies."""
    if (motif.is_bound != first.is_bound).any():
        return None
    for sign in SIGNS:
        onto = motif.figure.turned_to(first.figure, sign)
        if onto is not None and not (motif.is_bound & (sign < 0)).any():
            return Copy(motif=number, sign=sign, onto=onto)
    return None

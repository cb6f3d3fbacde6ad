"""Straight stretches of a thread's backstitch, behind which the thread may be carried unseen."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from math import gcd

from svg2chart.guiding.cloth import BEHIND_SQUARES
from svg2chart.guiding.legs import HALVES, Hole

_Straight = tuple[int, int, int]
"""An endless straight line: its direction in least whole steps, and how far it lies beside hole 0, 0."""


@dataclass(frozen=True, slots=True)
class Stretches:
    """Where lines of backstitch run, by the straight line that they lie on: from where to where along it."""

    along: Mapping[_Straight, tuple[tuple[int, int], ...]]

    def hide(self, start: Hole, end: Hole) -> bool:
        """Return whether a thread from hole to hole lies behind lines all the way, and is not too long.

        >>> stem = stretches_of([((0, 0), (0, 2)), ((0, 2), (0, 4))])
        >>> stem.hide((0, 4), (0, 0)), stem.hide((0, 0), (0, 6)), stem.hide((0, 0), (2, 0))
        (True, False, False)
        """
        reach = max(abs(end[0] - start[0]), abs(end[1] - start[1]))
        if not 0 < reach <= BEHIND_SQUARES * HALVES:
            return False
        straight, low, high = _placed(start, end)
        return any(first <= low and high <= last for first, last in self.along.get(straight, ()))


def stretches_of(lines: Iterable[tuple[Hole, Hole]]) -> Stretches:
    """Return the stretches of lines from hole to hole; those that touch on one straight line are one."""
    held: dict[_Straight, list[tuple[int, int]]] = {}
    for start, end in lines:
        straight, low, high = _placed(start, end)
        held.setdefault(straight, []).append((low, high))
    return Stretches({straight: _merged(stretches) for straight, stretches in held.items()})


def _placed(start: Hole, end: Hole) -> tuple[_Straight, int, int]:
    """Return the straight line through two holes, and where they lie along it."""
    (x, y), (to_x, to_y) = sorted((start, end))
    least = gcd(to_x - x, to_y - y)
    right, down = (to_x - x) // least, (to_y - y) // least
    return (right, down, x * down - y * right), x * right + y * down, to_x * right + to_y * down


def _merged(stretches: list[tuple[int, int]]) -> tuple[tuple[int, int], ...]:
    merged: list[tuple[int, int]] = []
    for low, high in sorted(stretches):
        if merged and low <= merged[-1][1]:
            merged[-1] = (merged[-1][0], max(merged[-1][1], high))
        else:
            merged.append((low, high))
    return tuple(merged)

"""Which hole line each edge of a letter goes to, across the page or down it.

The edges of a letter along one direction, sorted, are its knots. Two that bound a stroke stay a whole
stroke apart, two with a gap between them a whole gap; everything else as near as can be to where it was.
The cheapest placings are found from the first knot to the last, the best few of each step kept.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from svg2chart.lettering.edges import Edge

_KEPT = 60
"""How many placings are followed from knot to knot."""
_NEAR = 0.6
"""A stroke that differs from the standard one by less than so many squares is one of those."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Knot:
    """An edge or several that fall together: place in squares, whether ink begins, and the edges.

    wish: where it would like to go. fixed: where it has to go, None for anywhere.
    """

    at: float
    begins: bool
    edges: tuple[Edge, ...]
    wish: float
    fixed: float | None = None

    @property
    def weight(self) -> float:
        """How much it counts: by the length of its edges."""
        return 0.25 + min(sum(edge.length for edge in self.edges), 4.0)

    def shares(self, other: "Knot") -> float:
        """Return the longest stretch that an edge of it lies beside one of the other."""
        return max(one.shares(two) for one in self.edges for two in other.edges)


@dataclass(frozen=True, slots=True, kw_only=True)
class Rules:
    """What strokes and gaps become, in squares: the standard stroke, the least stroke and the least gap.

    step: knots go to multiples of it, those that are fixed apart.
    """

    stroke: int
    least: float = 1.0
    gap: float = 1.0
    step: float = 1.0

    def widths(self, wide: float) -> list[float]:
        """Return what a stroke of a width may become, the best first."""
        is_standard = abs(wide - self.stroke) < _NEAR
        best = float(self.stroke) if is_standard else max(1.0, float(round(wide)))
        if self.step == 1.0:
            other = best + (1.0 if wide > best else -1.0)  # so that a wide dot can stand evenly over its stem
            return [best] if is_standard or other < 1.0 else [best, other]
        return [best, *(w for w in (best - 0.5,) if w >= self.least)]


@dataclass(frozen=True, slots=True, kw_only=True)
class Placing:
    """Where the knots go, and what that costs."""

    places: tuple[float, ...]
    cost: float


@dataclass(frozen=True, slots=True)
class _Partial:
    """The places of the first knots; sums of weights, moves and squared moves."""

    places: tuple[float, ...]
    weight: float
    first: float
    second: float
    extra: float

    @property
    def drift(self) -> float:
        return self.first / self.weight if self.weight else 0.0

    def cost(self, *, is_free: bool) -> float:
        mean = self.first * self.first / self.weight if is_free and self.weight else 0.0
        return self.second - mean + self.extra


def place_knots(
    knots: Sequence[Knot], strokes: Sequence[tuple[int, int]], rules: Rules, *, is_free: bool
) -> list[Placing]:
    """Return the placings of knots, the cheapest first; none where the rules cannot be kept.

    Args:
        knots: in the order of their places.
        strokes: pairs of them that bound a stroke.
        rules: what strokes and gaps become.
        is_free: whether all of them may move along together at no cost.
    """
    begins_of: dict[int, list[int]] = {}
    for begin, end in strokes:
        begins_of.setdefault(end, []).append(begin)
    partials = [_Partial((), 0.0, 0.0, 0.0, 0.0)]
    for index, knot in enumerate(knots):
        grown = []
        for partial in partials:
            for place, extra in _options(
                knots, index, begins_of.get(index, []), partial, rules, is_free=is_free
            ):
                if _is_allowed(knots, index, begins_of.get(index, []), partial, place, rules):
                    move = place - knot.wish
                    w = knot.weight
                    grown.append(
                        _Partial(
                            (*partial.places, place),
                            partial.weight + w,
                            partial.first + w * move,
                            partial.second + w * move * move,
                            partial.extra + extra,
                        )
                    )
        grown.sort(key=lambda one: (one.cost(is_free=is_free), one.places))
        partials = grown[:_KEPT]
    return [Placing(places=one.places, cost=one.cost(is_free=is_free)) for one in partials]


def _options(
    knots: Sequence[Knot],
    index: int,
    begins: Sequence[int],
    partial: _Partial,
    rules: Rules,
    *,
    is_free: bool,
) -> list[tuple[float, float]]:
    """Return places for a knot and what each costs beyond its move."""
    knot = knots[index]
    if knot.fixed is not None:
        return [(knot.fixed, 0.0)]
    if begins:
        wide = [knot.at - knots[begin].at for begin in begins]
        nearest = begins[int(np.argmin(wide))]
        widths = rules.widths(knot.at - knots[nearest].at)
        return [(partial.places[nearest] + w, 0.6 * abs(widths[0] - w)) for w in widths]
    if not partial.places and is_free:
        return [(0.0, 0.0)]
    wished = knot.wish + (partial.drift if is_free else 0.0)
    step = rules.step
    nearest_place = round(wished / step) * step
    return [(nearest_place + step * k, 0.0) for k in (-2, -1, 0, 1, 2)]


def _is_allowed(
    knots: Sequence[Knot], index: int, begins: Sequence[int], partial: _Partial, place: float, rules: Rules
) -> bool:
    """Whether a place keeps order, strokes and gaps to all knots before."""
    knot = knots[index]
    if partial.places and place < partial.places[-1]:
        return False
    for before, at in enumerate(partial.places):
        other = knots[before]
        if other.begins == knot.begins:
            continue
        if other.shares(knot) <= 0 and before not in begins:
            continue
        least = rules.gap if knot.begins else rules.least
        if place < at + least:
            return False
    return True

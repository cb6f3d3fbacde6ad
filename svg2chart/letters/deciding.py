"""Which of several outlines of a letter is stitched, and how: what costs least and has no faults."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from svg2chart.coverage import octants
from svg2chart.geometry.polygon import Polygon
from svg2chart.letters.changes import TRACE_OF_INK
from svg2chart.letters.choices import EDGE_COST
from svg2chart.letters.judging import Found, Wanted, faults_of, lean_of
from svg2chart.letters.mirrors import allowed_with, evened, mirrored
from svg2chart.letters.pairs import fastened
from svg2chart.letters.parting import parted
from svg2chart.letters.repairing import joined, repaired
from svg2chart.letters.squares import Outlines, choose, energies
from svg2chart.letters.stems import Stem, bare_beside

Bools = NDArray[np.bool_]
Floats = NDArray[np.float64]

_REPAIRED = 3
_NEAR = 1.0
"""Outlines that cost so much more than the best one may still become better than that."""
_DIGITS = 9
_SHUT_COST = 0.9
"""What it costs that a square holds anything that is better left bare, beside what it shows wrong. Our own
choice, no source."""
_FAVOURS = ((0.0,), (-0.15, 0.12, 0.24, 0.4))
"""How much stitching is favoured; the others only where a letter without favour has faults or is too dark or
too light."""


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class _Tried:
    """Outlines on the squares with what the moves cost: areas (n, rows, columns, 8), the boxes of each.

    of: (n,) which of the outlines each is. bare: (n, rows, columns) squares that are better left bare.
    """

    of: NDArray[np.int64]
    areas: Floats
    bare: Bools
    costs: Floats
    lows: list[tuple[int, int]]
    sizes: list[tuple[int, int]]


def _measured(outlines: list[Polygon], costs: list[float], stems: Sequence[Sequence[Stem]]) -> _Tried:
    """Return outlines on the squares, the areas of all measured in one go side by side."""
    boxes = [(o.points.min(axis=0), o.points.max(axis=0)) for o in outlines]
    lows = [np.floor(low + 1e-6).astype(int) for low, _ in boxes]
    sizes = [np.ceil(high - 1e-6).astype(int) - low for (_, high), low in zip(boxes, lows, strict=True)]
    columns, rows = (max(1, int(max(size[axis] for size in sizes))) for axis in (0, 1))
    strip = Polygon.of_contours(
        [
            contour - low + (index * (columns + 1), 0)
            for index, (outline, low) in enumerate(zip(outlines, lows, strict=True))
            for contour in outline.contours()
        ]
    )
    areas = octants(strip, rows, len(outlines) * (columns + 1))
    areas = areas.reshape(rows, len(outlines), columns + 1, 8)[:, :, :columns].swapaxes(0, 1)
    found = zip(areas, lows, stems, strict=True)
    bare = np.array([_bare(own, low, some) for own, low, some in found])
    around = [EDGE_COST * float(np.hypot(*(o.edges()[:, 2:] - o.edges()[:, :2]).T).sum()) for o in outlines]
    return _Tried(
        of=np.arange(len(outlines)),
        areas=areas,
        bare=bare,
        costs=np.array(costs) - np.array(around),
        lows=[(int(x), int(y)) for x, y in lows],
        sizes=[(max(int(x), 1), max(int(y), 1)) for x, y in sizes],
    )


def _bare(areas: Floats, low: NDArray[np.int64], stems: Sequence[Stem]) -> Bools:
    left, top = low.tolist()
    return bare_beside([Stem(stem.row - top, stem.middle - left) for stem in stems], areas)


def _with_emptied(tried: _Tried) -> _Tried:
    """Return outlines and, without it, those that have a little ink in squares that are better left bare.

    What they lose is shown wrong.
    """
    ink = np.round(tried.areas.sum(axis=-1), _DIGITS)
    lost = np.where(tried.bare, ink, 0.0).sum(axis=(1, 2))
    again = np.flatnonzero(lost > TRACE_OF_INK)
    of = np.concatenate([tried.of, again])
    areas = np.where(tried.bare[again, ..., None], 0.0, tried.areas[again])
    return _Tried(
        of=of,
        areas=np.concatenate([tried.areas, areas]),
        bare=tried.bare[of],
        costs=np.concatenate([tried.costs, tried.costs[again] + lost[again]]),
        lows=[tried.lows[i] for i in of],
        sizes=[tried.sizes[i] for i in of],
    )


def decide(
    outlines: list[Polygon],
    costs: list[float],
    wanted: Wanted,
    *,
    drawn: Sequence[Sequence[Polygon]],
    stems: Sequence[Sequence[Stem]],
) -> Found:
    """Return the best of outlines on the squares.

    Args:
        outlines: with strokes as wide as they become.
        costs: of moving each.
        wanted: what the letter has to have.
        drawn: the parts of each of the outlines, with strokes as they are drawn.
        stems: of each of them, in the rows in which they stand apart.
    """
    tried = _with_emptied(_measured(outlines, costs, stems))
    found: list[Found] = []
    for favours in _FAVOURS:
        for size in dict.fromkeys(tried.sizes):
            own = [i for i, other in enumerate(tried.sizes) if other == size]
            found += _chosen(tried, own, favours, size, wanted)
        found.sort(key=lambda one: round(one.cost, 6))
        found = [repaired(one, wanted) for one in found[:_REPAIRED]] + found[_REPAIRED:]
        found.sort(key=lambda one: round(one.cost, 6))
        if wanted.costs.joint:
            near = sum(one.cost < found[0].cost + _NEAR for one in found[:_REPAIRED])
            found = [fastened(one, wanted) for one in found[:near]] + found[near:]
            found.sort(key=lambda one: round(one.cost, 6))
        if found[0].faults == 0 and abs(found[0].ink - wanted.ink) <= wanted.costs.near * wanted.ink:
            break
    best = joined(found[0], wanted)
    return parted(best, drawn[best.outline], wanted)


def _chosen(
    tried: _Tried, own: list[int], favours: tuple[float, ...], size: tuple[int, int], wanted: Wanted
) -> list[Found]:
    """Return the stitches of the outlines of one size, each with each favour."""
    single = tried.areas[own, : size[1], : size[0]]
    each = np.repeat(np.arange(len(own)), len(favours))
    drawn, even = Outlines.of(single).at(each), Outlines.of(evened(single, wanted.mirrors)).at(each)
    shown, energy = choose(
        even, np.tile(favours, len(own)), allowed_with(size[1], size[0], wanted.mirrors), wanted.costs.weights
    )
    shown, _ = mirrored(even, shown, energy, wanted.mirrors, wanted.costs.weights)
    # of the outline as it is: one that lies unevenly is no good likeness
    areas = drawn.areas
    energy = energies(drawn, shown, wanted.costs.weights)
    faults = faults_of(areas, shown, wanted)
    energy = energy + lean_of(shown, wanted)
    found = []
    for k in range(len(shown)):
        index = own[k // len(favours)]
        left, top = tried.lows[index]
        shut = tried.bare[index, : size[1], : size[0]] & shown[k].any(axis=-1)
        move = float(tried.costs[index]) + _SHUT_COST * int(shut.sum())
        found.append(
            Found(
                cost=move + float(energy[k] + faults[k]),
                faults=float(faults[k]),
                move=move,
                outline=int(tried.of[index]),
                areas=areas[k],
                shown=shown[k],
                top=top,
                left=left,
            )
        )
    return found

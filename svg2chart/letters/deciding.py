"""Which of several outlines of a letter is stitched, and how: what costs least and has no faults."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from svg2chart.coverage import octants
from svg2chart.geometry.polygon import Polygon
from svg2chart.letters.choices import EDGE_COST, Weights, choices
from svg2chart.letters.connections import between_parts, parts_and_counters
from svg2chart.letters.mirrors import Mirrors, allowed_with, evened, mirrored, put_mirrored
from svg2chart.letters.squares import REACH, choose, energies
from svg2chart.letters.strokes import stitched_strokes

Bools = NDArray[np.bool_]
Floats = NDArray[np.float64]
T = TypeVar("T", bound=np.generic)
_Change = tuple[int, int, Bools]
"""A square and what it is to hold."""

_TOPOLOGY_COST = 3.0
_CLOGGED = 0.35
"""A stroke that runs together with the one beside it is so much of a wrong counter."""
_LEAST_INK = 0.4  # of a square
_TRACE_OF_INK = 0.02  # of a square, for it to be one that a repair may change
_INK_FREE = 0.15
_REPAIRED, _CHANGES = 3, 200
_MOST_TRIED = 4_000_000
"""So many squares are looked at where a letter with mirrors is repaired, all changes together."""
_AROUND = 2 * REACH + 1
_AT_ONCE = 200_000
"""So many squares are looked at in one go: more need much memory."""
_FAVOURS = ((0.0,), (-0.15, 0.12, 0.24, 0.4))
"""How much stitching is favoured; the others only where a letter without favour has faults or is too dark or
too light."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Costs:
    """What counts how much against a letter; our own choice, no source.

    weights: of its fractions and its saws. ink: of a letter's worth of ink lost or
    added, in squares shown wrong. lean: of a square of ink more or less, which is no fault. near: ink that is
    off by this part at the most is near enough, nothing else is tried for it.
    """

    weights: Weights
    ink: float
    lean: float = 0.3
    near: float = 0.06


_SAW_COST = 0.1
"""As much as one side of edge: an o that steps where it is to be round is read as an e or an a. If it were
more, thin slants would run together with their own steps. Our own choice, no source."""

LARGE = Costs(weights=Weights(work=1.0, saw=_SAW_COST), ink=14.0)
SMALL = Costs(weights=Weights(work=0.35, saw=_SAW_COST), ink=20.0)
"""In small letters a corner, an opening or a waist for which whole squares have no room is what they are read
by, and there are few squares to be as dark as the others by."""
LOWEST = Costs(weights=Weights(work=0.35, saw=0.05), ink=SMALL.ink, lean=0.0, near=np.inf)
"""In the lowest letters a square of ink is a stroke: what their ink is off is a fault or is left as it is. A
step may be a stroke too and costs less; were it free, slants would have lone quarters along them."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """What a fitted letter has to have.

    parts, counters: how many separate parts and counters. strokes: how many lie beside each other at the
    most, on level lines and on upright ones. mirrors: its symmetries. ink: its area in squares
    with strokes as wide as they become, before it is moved. costs: of fractions and of ink.
    """

    parts: int
    counters: int
    strokes: tuple[int, int]
    mirrors: Mirrors
    ink: float
    costs: Costs


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Found:
    """A way to stitch a letter: its cost, what of that is for faults and for moving, areas, stitches."""

    cost: float
    faults: float
    move: float
    areas: Floats
    shown: Bools
    top: int
    left: int

    @property
    def ink(self) -> float:
        """How many squares are stitched."""
        return float(self.shown.sum()) / 8

    @property
    def parts(self) -> int:
        """In how many parts it is stitched."""
        return int(parts_and_counters(self.shown[None])[0][0])


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class _Tried:
    """Outlines on the squares with what the moves cost: areas (n, rows, columns, 8), the boxes of each."""

    areas: Floats
    costs: Floats
    lows: list[tuple[int, int]]
    sizes: list[tuple[int, int]]


def _measured(outlines: list[Polygon], costs: list[float]) -> _Tried:
    """Return the areas of outlines, all measured in one go side by side."""
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
    around = [EDGE_COST * float(np.hypot(*(o.edges()[:, 2:] - o.edges()[:, :2]).T).sum()) for o in outlines]
    return _Tried(
        areas=areas,
        costs=np.array(costs) - np.array(around),
        lows=[(int(x), int(y)) for x, y in lows],
        sizes=[(max(int(x), 1), max(int(y), 1)) for x, y in sizes],
    )


def decide(outlines: list[Polygon], costs: list[float], wanted: Wanted) -> Found:
    """Return the best of outlines on the squares."""
    tried = _measured(outlines, costs)
    found: list[Found] = []
    for favours in _FAVOURS:
        for size in dict.fromkeys(tried.sizes):
            own = [i for i, other in enumerate(tried.sizes) if other == size]
            found += _chosen(tried, own, favours, size, wanted)
        found.sort(key=lambda one: round(one.cost, 6))
        found = [_repaired(one, wanted) for one in found[:_REPAIRED]] + found[_REPAIRED:]
        found.sort(key=lambda one: round(one.cost, 6))
        if found[0].faults == 0 and abs(found[0].ink - wanted.ink) <= wanted.costs.near * wanted.ink:
            break
    return _joined(found[0], wanted)


def _chosen(
    tried: _Tried, own: list[int], favours: tuple[float, ...], size: tuple[int, int], wanted: Wanted
) -> list[Found]:
    """Return the stitches of the outlines of one size, each with each favour."""
    areas = np.repeat(tried.areas[own, : size[1], : size[0]], len(favours), axis=0)
    even = evened(areas, wanted.mirrors)
    shown, energy = choose(
        even, np.tile(favours, len(own)), allowed_with(size[1], size[0], wanted.mirrors), wanted.costs.weights
    )
    shown, _ = mirrored(even, shown, energy, wanted.mirrors, wanted.costs.weights)
    # of the outline as it is: one that lies unevenly is no good likeness
    energy = energies(areas, shown, wanted.costs.weights)
    faults = _faults(areas, shown, wanted)
    energy = energy + _lean(shown, wanted)
    found = []
    for k in range(len(shown)):
        index = own[k // len(favours)]
        left, top = tried.lows[index]
        move = float(tried.costs[index])
        found.append(
            Found(
                cost=move + float(energy[k] + faults[k]),
                faults=float(faults[k]),
                move=move,
                areas=areas[k],
                shown=shown[k],
                top=top,
                left=left,
            )
        )
    return found


def _faults(areas: Floats, shown: Bools, wanted: Wanted) -> Floats:
    """Return what wrong numbers of parts and counters, bare sides, and ink lost or added, cost.

    There is a stitch in the first and the last row, and in the first and last column if the outline has
    enough for one there.
    """
    parts, counters = parts_and_counters(shown)
    wrong = abs(parts - wanted.parts) + abs(counters - wanted.counters)
    wrong = wrong + _bare_sides(areas, shown, least=0.0)  # the top and the foot lie on their lines
    wrong = wrong + _bare_sides(areas.swapaxes(1, 2), shown.swapaxes(1, 2), least=_LEAST_INK)
    clogged = np.zeros(len(shown))
    for got, needed in zip(stitched_strokes(shown), wanted.strokes, strict=True):
        clogged = clogged + np.maximum(needed - got, 0)
    inks = np.maximum(areas.sum(axis=(1, 2, 3)), 1e-6)
    off = abs(shown.sum(axis=(1, 2, 3)) / 8 / inks - 1)
    off = np.maximum(off, abs(shown.sum(axis=(1, 2, 3)) / 8 / wanted.ink - 1))
    missing = wrong + _CLOGGED * clogged
    return np.asarray(_TOPOLOGY_COST * missing + wanted.costs.ink * np.maximum(off - _INK_FREE, 0))


def _lean(shown: Bools, wanted: Wanted) -> Floats:
    """Return what it costs that letters have more or less ink than they are to have."""
    return np.asarray(wanted.costs.lean * abs(shown.sum(axis=(1, 2, 3)) / 8 - wanted.ink))


def _bare_sides(areas: Floats, shown: Bools, *, least: float) -> NDArray[np.int64]:
    """Return how many of the first and last rows of each letter are bare, of those that have so much ink."""
    ink = areas[:, [0, -1]].sum(axis=(2, 3)) >= least
    return np.asarray((ink & ~shown[:, [0, -1]].any(axis=(2, 3))).sum(axis=1))


def _joined(found: Found, wanted: Wanted) -> Found:
    """Return a letter repaired until it is in no more parts than wanted: a joined word may break often."""
    while found.parts > wanted.parts:
        better = _repaired(found, wanted)
        if better is found:
            break
        found = better
    return found


def _repaired(found: Found, wanted: Wanted) -> Found:
    """Return a letter with the one square changed, and its images, that rights its parts and counters.

    Where a letter is in too many parts, that is a square between two of them.
    """
    if found.faults < _TOPOLOGY_COST:
        return found
    table = choices()
    rows, columns = found.shown.shape[:2]
    places = found.areas.sum(axis=-1) > _TRACE_OF_INK
    if found.parts > wanted.parts:
        places &= between_parts(found.shown)
    allowed = allowed_with(rows, columns, wanted.mirrors)
    changes: list[_Change] = []
    for row, column in np.argwhere(places).tolist():
        for choice in table.shown[allowed[row, column]]:
            if not np.array_equal(choice, found.shown[row, column]):
                changes.append((row, column, choice))
    if not changes or (any(wanted.mirrors) and len(changes) * rows * columns > _MOST_TRIED):
        return found
    energy = _changed_energies(found, changes, wanted)
    order = np.argsort(np.rint(energy * 1e6), kind="stable")[:_CHANGES]
    shown = np.repeat(found.shown[None], len(order), axis=0)
    for k, index in enumerate(order.tolist()):
        row, column, pattern = changes[index]
        put_mirrored(shown[k], row, column, pattern, wanted.mirrors)
    faults = _faults(found.areas[None], shown, wanted)
    best = int(np.argmin(np.rint((energy[order] + faults) * 1e6)))
    cost = found.move + float(energy[order][best] + faults[best])
    if cost >= found.cost - 1e-9:
        return found
    return replace(found, cost=cost, faults=float(faults[best]), shown=shown[best])


def _changed_energies(found: Found, changes: Sequence[_Change], wanted: Wanted) -> Floats:
    """Return the energy of a letter with each change of a square, and its images, and what its ink costs.

    Only what lies around a square is looked at; of a letter with mirrors, and of a small one, all of it.
    """
    rows, columns, _ = found.shown.shape
    is_whole = any(wanted.mirrors) or rows * columns <= _AROUND * _AROUND
    size, margin = ((rows, columns), 0) if is_whole else ((_AROUND, _AROUND), REACH)
    lot = max(1, _AT_ONCE // (size[0] * size[1]))
    energy = []
    for part in (changes[first : first + lot] for first in range(0, len(changes), lot)):
        at = [(0, 0) if is_whole else (row, column) for row, column, _ in part]
        before, areas = _windows(found.shown, at, size, margin), _windows(found.areas, at, size, margin)
        after = before.copy()
        for k, (row, column, pattern) in enumerate(part):
            place = (row, column) if is_whole else (REACH, REACH)
            put_mirrored(after[k], place[0], place[1], pattern, wanted.mirrors)
        apart = energies(areas, after, wanted.costs.weights) - energies(areas, before, wanted.costs.weights)
        ink = found.ink + (after.sum(axis=(1, 2, 3)) - before.sum(axis=(1, 2, 3))) / 8
        lean = wanted.costs.lean * (abs(ink - wanted.ink) - abs(found.ink - wanted.ink))
        energy.append(found.cost - found.move - found.faults + apart + lean)
    return np.concatenate(energy)


def _windows(
    values: NDArray[T], at: Sequence[tuple[int, int]], size: tuple[int, int], margin: int
) -> NDArray[T]:
    """Return (places, rows, columns, 8) what squares hold that begin so many before some places."""
    padded = np.pad(values, ((margin, margin), (margin, margin), (0, 0)))
    views = np.lib.stride_tricks.sliding_window_view(padded, size, axis=(0, 1))
    return np.moveaxis(views[tuple(np.array(at).T)], 1, 3)

"""Slanted sides moved across themselves, so that stitches can follow them.

- What two of them bound becomes a whole number of squares wide, measured along the grid: then both
  are stitched alike, and a thin bar is one piece of one width.
- Sides at 45 degrees go to diagonals of holes. Where two of them meet in a corner the corner goes to a
  hole: for that all that meet must take even diagonals, or all odd ones. Thin bars of other usual
  slopes go where the same few stitches, repeated, follow them best.

Where both ways are as good the upper shape grows, and where that leaves a choice too all goes towards
the middle of the drawing; in the very middle nothing moves, only the sides of a bar part. No side moves if
both its ends are holes.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from svg2chart.fitting.alike import farthest_whole
from svg2chart.fitting.slack import STEP, Bench
from svg2chart.fitting.slants import Slants
from svg2chart.fitting.tips import DIAGONAL, FARTHEST_TIP, nearest_alike, nearest_as_wide
from svg2chart.runs import linked

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

WAY_STEP = 2.0**-16
"""Places and ways are decided on in steps of 2^-16 of a square."""

WHOLE = 1e-3
"""Places so near to a whole number, in squares, are whole: sides of a bar are not quite parallel."""

LEAST_WIDE, MOST_WIDE = 0.5, 3.0
"""Widths along the grid, in squares, that become whole."""

LEAST_TURNED = 1.5
"""A box turned by 45 degrees that is narrower along the grid, in squares, is a bar: it has room for no two
holes at its ends."""

ONE_WIDTH = 1 / 8
"""Widths that differ by less, in squares, become equal."""

MOST_RUN = 4
"""Usual slopes are one square in 1 to 4, and 1 to 4 squares in one."""

ROW_WIDER = 0.2
"""By how much a bar is drawn wider to be a row of full stitches, in squares along the grid."""

FARTHEST = 0.75
"""No other corner goes to a hole that is farther off in either direction, even if it stops on the way."""

FIRM = 2.0**24
"""How much firmer a width is than a place."""


def ways_of_slants(bench: Bench) -> tuple[Floats, Floats]:
    """Return how far each slant moves along its normal, not a number for those that stay as they are.

    Second comes how far the ends of its sides may move in all, in squares.
    """
    slants = bench.slants
    count = len(slants.weight)
    still = bench.on_holes()
    wide = np.rint(slants.wide / STEP) * STEP
    firm = (wide >= LEAST_WIDE) & (wide <= MOST_WIDE) & ~(still[slants.first] & still[slants.second])
    runs = _runs(slants.normal)
    run = np.where(still, 0, runs)
    firm &= ~_are_turned(bench, wide, runs)
    pairs = np.stack([slants.first[firm], slants.second[firm]], axis=1)
    grown = _whole_widths(wide[firm], 1.0) - wide[firm]
    bundle = linked(pairs[:, 0], pairs[:, 1], count)
    paired = np.bincount(bundle, minlength=count)[bundle] > 1
    one, other = (slants.slant[end // 2] for end in bench.corners())
    free = (runs == 1) & ~paired
    meet = free[one] & free[other]
    joined = linked(one[meet], other[meet], count)
    spans, apart = _spans(bench, free)
    way, most = np.full(count, np.nan), np.full(count, bench.farthest)
    for members in _members(np.where(paired, bundle, np.where(free, count + joined, -1))):
        if paired[members[0]]:
            own = np.isin(pairs[:, 0], members)
            moving = np.where(still[members], FIRM**2, slants.weight[members])
            widened = _widened(slants, members, pairs[own], grown[own], moving)
            way[members], most[members] = _of_bar(bench, members, widened, run[members])
        elif len(members) == 1:
            way[members] = _to_diagonal(bench, members)
        else:
            way[members] = _to_holes(bench, members, still[members], spans, apart)
    way[still] = np.nan
    for members in _members(np.where(paired | still, -1, bench.alike)):
        way[members] = _as_far(bench, members, way[members] * bench.outwards[members])
    return way, most


def _as_far(bench: Bench, members: Ints, growth: Floats) -> Floats:
    """Return the ways with which slants on both sides of an outline grow alike, as one of them would.

    Where none of these is near enough for all, they stay; but those that meet in tips go each its own way.

    Args:
        bench: all of them.
        members: these.
        growth: (n,) how far outwards each would move, not a number for those that stay.
    """
    outwards, goes = bench.outwards[members], np.isfinite(growth)
    if not goes.any() or (goes.all() and np.ptp(growth) <= WHOLE):
        return growth * outwards
    ways = [np.asarray(goal * outwards) for goal in np.unique(_rounded(growth[goes]))]
    fits, far = bench.tried(members, ways, np.where(bench.is_tip, FARTHEST_TIP, bench.farthest))
    kept = np.flatnonzero(fits).tolist()
    best = _cheapest(bench, members, [ways[k] for k in kept], [float(far[k]) for k in kept])
    if best is not None:
        return best
    has_tips = bench.is_tip[np.isin(bench.slants.slant, members)].any()
    return growth * outwards if has_tips else np.full(len(members), np.nan)


def _are_turned(bench: Bench, wide: Floats, run: Ints) -> Bools:
    """Return which pairs of slants are sides of a turned box: its width is even, for its corners' sake."""
    slants = bench.slants
    spans = bench.spans()
    spans = spans[(run[spans] == 1).all(axis=1)]
    count = len(run)
    numbers = np.minimum(slants.first, slants.second) * count + np.maximum(slants.first, slants.second)
    is_box = np.isin(numbers, spans[:, 0] * count + spans[:, 1])
    return np.asarray(is_box & (wide >= LEAST_TURNED))


def _whole_widths(wide: Floats, step: float) -> Floats:
    """Return the nearest multiple of a step for each, at least one, the same where they are nearly equal."""
    order = np.argsort(wide)
    result = np.zeros(len(wide))
    start = 0
    for end in range(1, len(order) + 1):
        if end == len(order) or wide[order[end]] - wide[order[start]] > ONE_WIDTH:
            mean = float(_rounded(np.full(1, wide[order[start:end]].mean()))[0])
            result[order[start:end]] = max(np.floor(mean / step + 0.5), 1.0) * step
            start = end
    return result


def _members(group: Ints) -> list[Ints]:
    """Return the members of each group; of number -1 is no group."""
    order = np.argsort(group, kind="stable")
    order = order[group[order] >= 0]
    return np.split(order, np.flatnonzero(np.diff(group[order])) + 1) if len(order) else []


def _runs(normal: Floats) -> Ints:
    """Return n for slants that rise one square in n, or n in one, up to MOST_RUN, nought for others."""
    ascent = np.sort(np.abs(normal), axis=1)
    angle = np.arctan2(ascent[:, 0], ascent[:, 1])
    run = np.rint(1 / np.tan(angle)).astype(np.int64)
    near = np.abs(np.arctan2(1, run) - angle) < DIAGONAL
    return np.where(near & (run <= MOST_RUN), run, 0)


def _places(slants: Slants, members: Ints, run: int) -> tuple[Floats, float]:
    """Return where slants lie, in units in which steps of n squares repeat, and how long one is.

    At whole numbers n - 1 squares along the grid and one along a diagonal follow a slant best.
    """
    normal = slants.normal[members]
    steep = np.abs(normal) >= np.abs(normal).max(axis=1, keepdims=True)
    whole = np.sign(normal) * np.where(steep, run, 1)
    return (slants.at[members] * whole).sum(axis=1) - (run - 1) / 2, 1 / float(np.hypot(run, 1))


def _rounded(values: Floats) -> Floats:
    return np.asarray(np.rint(values / WAY_STEP) * WAY_STEP)


def _of_bar(bench: Bench, members: Ints, way: Floats, runs: Ints) -> tuple[Floats, float]:
    """Return the ways with which slants that bound whole widths are stitched alike, if they can be.

    Second comes how far that lets ends move: as far as forms, if they are not stitched cleanly else.
    """
    if runs[0] and (runs == runs[0]).all():
        stepped = _bar_to_steps(bench, members, way, int(runs[0]))
        for most in (bench.farthest, farthest_whole(bench.farthest)):
            if bench.tried(members, [stepped], most)[0][0]:
                return stepped, most
    fits = bench.tried(members, [way], bench.farthest)[0][0]
    return way if fits else np.full(len(members), np.nan), bench.farthest


def _widened(slants: Slants, members: Ints, pairs: Ints, grown: Floats, weight: Floats) -> Floats:
    """Return the least ways with which widths grow so.

    Args:
        slants: all of them.
        members: those of one bar, or several that touch.
        pairs: (n, 2) slants that bound a width.
        grown: (n,) by how much it grows along the grid, in squares.
        weight: how firmly each of the members stays, a place that is seen on a line being 1.
    """
    one, other = np.searchsorted(members, pairs).T
    steep = np.abs(slants.normal[pairs].sum(axis=1)).max(axis=1) / 2
    matrix, right = np.diag(weight), np.zeros(len(members))
    np.add.at(matrix, (one, one), FIRM)
    np.add.at(matrix, (other, other), FIRM)
    np.add.at(matrix, (one, other), -FIRM)
    np.add.at(matrix, (other, one), -FIRM)
    np.add.at(right, one, -FIRM * grown * steep)
    np.add.at(right, other, FIRM * grown * steep)
    return _rounded(np.asarray(np.linalg.solve(matrix, right), np.float64))


def _bar_to_steps(bench: Bench, members: Ints, way: Floats, run: int) -> Floats:
    """Return the ways with which the sides of a bar of a whole width are stitched with the same steps."""
    before, unit = _places(bench.slants, members, run)
    place = before + way / unit
    off = place - np.rint(place - place[0])
    if np.abs(off - place[0]).max() > WHOLE:
        return way  # not all of its widths became whole
    middle = _rounded(np.full(len(members), off.mean()))
    ways = [np.floor(middle) + k - middle for k in (0, 1)]
    weight = bench.slants.weight[members]
    chosen = _cheapest(bench, members, ways, [float(weight @ way**2) for way in ways])
    if chosen is None:
        if len(members) > 2:
            return way
        chosen = _parted(place, run, float(np.ptp(before)) / run)
    goal = place + chosen
    nearest = np.rint(goal)
    # places are decided on rounded, but reached exactly
    return np.asarray((np.where(np.abs(goal - nearest) < WHOLE, nearest, goal) - before) * unit)


def _parted(place: Floats, run: int, wide: float) -> Floats:
    """Return the ways of the two sides of a bar that lies evenly between two places: each goes to its own.

    At 45 degrees, where that would make one square two, it becomes a row of full stitches that touch at
    corners: drawn a little wider it shows as one.

    Args:
        place: where they are, a whole number of squares apart.
        run: n, of steps of n squares.
        wide: how wide the bar was before, in squares.
    """
    apart = np.sign(place - place.mean())
    less, whole, more = np.rint(np.ptp(place)) / run + np.array([-1, 0, 1]) / run
    if run == whole == 1:
        return np.asarray(apart * ROW_WIDER / 2)
    return np.asarray(apart / 2 if less < 1 or wide**2 >= less * more else -apart / 2)


def _to_diagonal(bench: Bench, member: Ints) -> Floats:
    """Return the way with which one slant at 45 degrees lies on a diagonal of holes."""
    place, _ = _places(bench.slants, member, 1)
    way = _allowed(bench, member, [np.floor(_rounded(place)) + k for k in (-1, 0, 1, 2)], bench.farthest)
    return np.full(1, np.nan) if way is None else way


def _to_holes(bench: Bench, members: Ints, still: Bools, spans: Ints, wide: Floats) -> Floats:
    """Return the ways with which slants at 45 degrees lie on diagonals, and their corners on holes.

    Args:
        bench: all of them.
        members: those that hang together by corners.
        still: which of these stay where they are, on a diagonal.
        spans: (n, 2) slants with a side between them from corner to corner.
        wide: (n,) how far apart they come to lie, in steps of diagonals.
    """
    place, weight = _rounded(_places(bench.slants, members, 1)[0]), bench.slants.weight[members]
    own = np.isin(spans, members).all(axis=1)
    alike = nearest_as_wide(place, weight, np.searchsorted(members, spans[own]), wide[own])
    nearest = nearest_alike(place, np.sign(bench.slants.growing[members]))
    for goals, most in (
        (alike, np.where(bench.is_tip, FARTHEST_TIP, FARTHEST)),
        (nearest, FARTHEST),
    ):
        kept = [goal for goal in goals if (np.abs(goal - place)[still] < 1 / 2).all()]
        way = _allowed(bench, members, kept, most)
        if way is not None:
            return way
    # not all corners can be had: the sides at least are straight
    return np.concatenate([_to_diagonal(bench, member) for member in members[:, None]])


def _spans(bench: Bench, free: Bools) -> tuple[Ints, Floats]:
    """Return (n, 2) slants at 45 degrees with a side between them, in order, and an even width for each."""
    spans = bench.spans()
    spans = spans[free[spans].all(axis=1)]
    place, _ = _places(bench.slants, spans.ravel(), 1)
    place = place.reshape(-1, 2)
    spans = np.take_along_axis(spans, np.argsort(place, axis=1), axis=1)
    return spans, _whole_widths(np.ptp(place, axis=1), 2.0)


def _allowed(bench: Bench, members: Ints, goals: Sequence[Floats], most: Floats | float) -> Floats | None:
    """Return the ways to that of those places to which ends move least, None if none is near enough."""
    if not goals:
        return None
    place, unit = _places(bench.slants, members, 1)
    ways = [(goal - place) * unit for goal in goals]
    fits, far = bench.tried(members, ways, most)
    kept = np.flatnonzero(fits).tolist()
    return _cheapest(bench, members, [ways[k] for k in kept], [float(far[k]) for k in kept])


def _cheapest(bench: Bench, members: Ints, ways: Sequence[Floats], costs: Sequence[float]) -> Floats | None:
    """Return the ways that cost least, None at a tie.

    Among equals those with which the upper shapes grow, then those towards the middle of the drawing.
    """
    growing, inward = bench.slants.growing[members], bench.inward[members]
    rated = sorted(
        (
            (
                round(cost / WAY_STEP),
                -round(float(growing @ np.sign(_rounded(way)))),
                -round(float(inward @ way) / WAY_STEP),
            ),
            number,
        )
        for number, (way, cost) in enumerate(zip(ways, costs, strict=True))
    )
    if not rated or (len(rated) > 1 and rated[0][0] == rated[1][0]):
        return None
    return ways[rated[0][1]]

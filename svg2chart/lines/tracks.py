"""A line with the points that lie near it, in order along the line."""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from svg2chart.grid import LATTICE
from svg2chart.lines.ground import Ground
from svg2chart.lines.walks import sampled

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Track:
    """A line and the points near it.

    samples: (n, 2) evenly spaced points of the line, in squares; places: (n,) how far along it each lies.
    points: (k, 2) x, y in half squares, in their order along the line; at: (k,) the place of the line
        that is nearest to each. A point that the line passes several times occurs as often.
    """

    samples: Floats
    places: Floats
    points: Ints
    at: Floats

    @property
    def length(self) -> float:
        """How long the line is, in squares."""
        return float(self.places[-1])


def open_track(line: Floats, starts: Ints, ends: Ints, ground: Ground) -> Track:
    """Return the track of a line, (n, 2) in squares: first all starts, last all ends."""
    samples, places = sampled(line)
    points, at = _visits(samples, places, ground)
    first, last = np.zeros(len(starts)), np.full(len(ends), places[-1])
    return Track(
        samples=samples,
        places=places,
        points=np.concatenate([starts, points, ends]),
        at=np.concatenate([first, at, last]),
    )


def round_track(loop: Floats, ground: Ground) -> Track:
    """Return the track of twice round a closed line, (n, 2) in squares, whose first point follows its last.

    It is sampled evenly between its outermost points, which do not depend on where it was drawn from.
    """
    stretches = [sampled(stretch) for stretch in _between_extremes(loop)]
    lengths = np.cumsum([0.0, *(places[-1] for _, places in stretches)])
    samples = np.concatenate([samples[:-1] for samples, _ in stretches])
    places = np.concatenate(
        [places[:-1] + before for (_, places), before in zip(stretches, lengths, strict=False)]
    )
    lap = float(lengths[-1])
    # three times round, of which the visits that are nearest in the middle lap are whole
    thrice = np.concatenate([samples, samples, samples, samples[:1]])
    along = np.concatenate([places, places + lap, places + 2 * lap, [3 * lap]])
    points, at = _visits(thrice, along, ground)
    middle = (at >= lap) & (at < 2 * lap)
    points, at = points[middle], at[middle] - lap
    twice = len(places) * 2 + 1
    return Track(
        samples=thrice[:twice],
        places=along[:twice],
        points=np.concatenate([points, points]),
        at=np.concatenate([at, at + lap]),
    )


def _visits(samples: Floats, places: Floats, ground: Ground) -> tuple[Ints, Floats]:
    """Return the points near the line and the place of each, as often as the line comes near."""
    sample, point, squared = ground.around(samples)
    order = np.lexsort((sample, point[:, 1], point[:, 0]))
    sample, point, squared = sample[order], point[order], squared[order]
    if not len(sample):
        return np.zeros((0, 2), np.int64), np.zeros(0)
    another = (np.diff(point, axis=0) != 0).any(axis=1) | (np.diff(sample) > 1)
    starts = np.concatenate([[0], np.flatnonzero(another) + 1])
    visit = np.repeat(np.arange(len(starts)), np.diff(np.append(starts, len(sample))))
    nearest = squared == np.minimum.reduceat(squared, starts)[visit]
    # of several samples that are equally near, the middle of the first and the last
    first, last = np.full(len(starts), len(places)), np.full(len(starts), -1)
    np.minimum.at(first, visit[nearest], sample[nearest])
    np.maximum.at(last, visit[nearest], sample[nearest])
    point = point[starts]
    at = (_foot(samples, places, first, point) + _foot(samples, places, last, point)) / 2
    at = np.rint(at * LATTICE) / LATTICE
    order = np.lexsort((point[:, 0], point[:, 1], at))
    return point[order], at[order]


def _foot(samples: Floats, places: Floats, nearest: Ints, points: Ints) -> Floats:
    """Return the place nearest to each point on the two chords at the sample that is nearest to it."""
    before, after = (_on_chord(samples, places, nearest, step, points / 2) for step in (-1, 1))
    # the same distance to both chords is the sample between them
    place = np.where(
        before[0] < after[0], before[1], np.where(after[0] < before[0], after[1], places[nearest])
    )
    return np.asarray(place)


def _on_chord(
    samples: Floats, places: Floats, nearest: Ints, step: int, goals: Floats
) -> tuple[Floats, Floats]:
    """Return the squared distance to the chord to the next sample that way, and the place on it."""
    other = np.clip(nearest + step, 0, len(samples) - 1)
    way = samples[other] - samples[nearest]
    squared = np.maximum((way**2).sum(axis=1), LATTICE**-2)
    t = np.clip(((goals - samples[nearest]) * way).sum(axis=1) / squared, 0.0, 1.0)
    away = ((samples[nearest] + t[:, None] * way - goals) ** 2).sum(axis=1)
    return np.rint(away * LATTICE), places[nearest] + t * (places[other] - places[nearest])


def _between_extremes(loop: Floats) -> list[Floats]:
    """Return a closed line in stretches between its outermost points, as open lines."""
    walk = loop
    for axis in (0, 1):
        for way in (-1.0, 1.0):
            walk = _with_extreme(walk, axis, way)
    cuts = sorted({_extreme(walk, axis, way) for axis in (0, 1) for way in (-1.0, 1.0)})
    turned = np.roll(walk, -cuts[0], axis=0)
    bounds = [cut - cuts[0] for cut in cuts] + [len(walk)]
    closed = np.vstack([turned, turned[:1]])
    return [closed[low : high + 1] for low, high in pairwise(bounds)]


def _extreme(walk: Floats, axis: int, way: float) -> int:
    """Return the outermost point; of several, the one nearest to the middle between them."""
    values = walk[:, axis] * way
    ties = np.flatnonzero(values == values.max())
    along = walk[ties, 1 - axis]
    return int(ties[np.abs(along - (along.min() + along.max()) / 2).argmin()])


def _with_extreme(walk: Floats, axis: int, way: float) -> Floats:
    """Return the closed walk with a point in the middle of its outermost edge, where it has one."""
    values = walk[:, axis] * way
    top = values == values.max()
    edge = np.flatnonzero(top & np.roll(top, -1))
    if not len(edge):
        return walk
    ties = np.flatnonzero(top)
    middle = (walk[ties, 1 - axis].min() + walk[ties, 1 - axis].max()) / 2
    here, there = walk[edge, 1 - axis], np.roll(walk, -1, axis=0)[edge, 1 - axis]
    crossing = edge[(np.minimum(here, there) < middle) & (middle < np.maximum(here, there))]
    if not len(crossing):
        return walk
    point = np.empty(2)
    point[axis], point[1 - axis] = walk[crossing[0], axis], middle
    return np.insert(walk, crossing[0] + 1, point, axis=0)

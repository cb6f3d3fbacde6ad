"""The colours of a gradient along its way, from 0 where it starts to 1 where it ends."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from enum import Enum
from itertools import pairwise
from math import ceil, floor, inf

import numpy as np
from numpy.typing import NDArray

from svg2chart.colour import Colour
from svg2chart.svg.paint import BLACK, Flat

Array = NDArray[np.float64]
Ints = NDArray[np.int64]

MAX_BANDS = 300  # of one gradient over one shape

# Gauss-Legendre with three nodes on 0 to 1 is exact for polynomials up to the fifth degree.
_NODES, _WEIGHTS = (np.polynomial.legendre.leggauss(3)[0] + 1) / 2, np.polynomial.legendre.leggauss(3)[1] / 2


class Spread(Enum):
    """What a gradient shows beyond its ends (SVG 2, 14.2.2, spreadMethod)."""

    PAD = "pad"
    REFLECT = "reflect"
    REPEAT = "repeat"


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """A stretch of the way in one colour; `low` may be minus and `high` plus infinity."""

    low: float
    high: float
    flat: Flat


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Pieces:
    """A ramp over a part of the way, in pieces without a gap along which colour and opacity run evenly.

    start, end: (n,) where each begins and ends. first, last: (n, 4) red, green, blue, opacity there.
    """

    start: Array
    end: Array
    first: Array
    last: Array

    def integral(self, places: Array, *, about: float) -> Array:
        """Return the integral of (place - about) x colour from the first piece's start to each place.

        Shape (places, 4), red, green and blue times opacity; exact but for rounding.
        """

        def lever(place: Array) -> Array:
            return place - about

        whole = self._integrals(np.arange(len(self.start)), self.end, lever)
        before = np.concatenate([np.zeros((1, 4)), np.cumsum(whole, axis=0)])
        piece = np.minimum(np.searchsorted(self.end, places), len(self.end) - 1)
        return np.asarray(before[piece] + self._integrals(piece, places, lever))

    def mean(self, low: float, high: float) -> Flat:
        """Return the mean colour between two places, which differ."""
        start, end = np.clip(self.start, low, high), np.clip(self.end, low, high)
        kept = np.flatnonzero(start < end)
        cut = replace(
            self,
            start=start[kept],
            end=end[kept],
            first=self._at(kept, start[kept]),
            last=self._at(kept, end[kept]),
        )
        ends = np.concatenate([cut.first, cut.last])
        if (ends == ends[0]).all():  # to the last bit, which a mean is not
            return Flat(Colour(*ends[0, :3].tolist()), float(ends[0, 3]))
        total = cut._integrals(np.arange(len(kept)), cut.end, np.ones_like).sum(axis=0) / (high - low)
        return flat_of(total)

    def _integrals(self, piece: Ints, ends: Array, weight: Callable[[Array], Array]) -> Array:
        """Return the integral of weight x colour from the start of each piece to an end, (n, 4)."""
        start = self.start[piece]
        length = ends - start
        total = np.zeros((len(piece), 4))
        for node, share in zip(_NODES, _WEIGHTS, strict=True):
            place = start + length * node
            colour = self._at(piece, place)
            colour[:, :3] *= colour[:, 3:]
            total += (share * length * weight(place))[:, np.newaxis] * colour
        return total

    def _at(self, piece: Ints, place: Array) -> Array:
        share = ((place - self.start[piece]) / (self.end[piece] - self.start[piece]))[:, np.newaxis]
        return np.asarray(self.first[piece] + share * (self.last[piece] - self.first[piece]))


@dataclass(frozen=True, slots=True, kw_only=True)
class Ramp:
    """Stops, at least one, as (place, colour) with places rising within 0 to 1, and what lies beyond."""

    stops: tuple[tuple[float, Flat], ...]
    spread: Spread = Spread.PAD

    @property
    def is_flat(self) -> bool:
        """Whether it shows one colour everywhere."""
        return all(flat == self.stops[0][1] for _, flat in self.stops)

    @property
    def mean(self) -> Flat:
        """The mean colour from 0 to 1, each colour counted by its opacity."""
        return self.pieces(0.0, 1.0).mean(0.0, 1.0)

    def faded(self, opacity: float) -> "Ramp":
        """Return the ramp with its opacities times the given one."""
        return replace(self, stops=tuple((place, flat.faded(opacity)) for place, flat in self.stops))

    def pieces(self, low: float, high: float) -> Pieces:
        """Return the pieces of the ramp that hold all from `low` to `high`."""
        inner = [(0.0, self.stops[0][1]), *self.stops, (1.0, self.stops[-1][1])]
        runs = [(a, b, first, last) for (a, first), (b, last) in pairwise(inner) if a < b]
        if self.spread is Spread.PAD:
            before = [(low - 1.0, 0.0, inner[0][1], inner[0][1])] if low <= 0.0 else []
            after = [(1.0, high + 1.0, inner[-1][1], inner[-1][1])] if high >= 1.0 else []
            laid = [*before, *runs, *after]
        else:
            laid = []
            for turn in range(floor(low), max(ceil(high), floor(low) + 1)):
                own = runs
                if self.is_backward(turn):
                    own = [(1.0 - b, 1.0 - a, last, first) for a, b, first, last in reversed(runs)]
                laid += [(turn + a, turn + b, first, last) for a, b, first, last in own]
        return Pieces(
            start=np.array([run[0] for run in laid]),
            end=np.array([run[1] for run in laid]),
            first=np.array([_channels(run[2]) for run in laid]),
            last=np.array([_channels(run[3]) for run in laid]),
        )

    def is_backward(self, turn: int) -> bool:
        """Whether the ramp runs backward from the place `turn` to the next whole number."""
        return self.spread is Spread.REFLECT and turn % 2 != 0

    def bands(self, number: int) -> list[Band]:
        """Return flat bands from 0 to 1, each in the mean of its colours.

        As many as asked for, of one width, between the first and the last stop. A place where colours
        jump divides one more, unless there would be more than `MAX_BANDS`; what lies before and after
        the stops is flat as it is; neighbours of one colour are one band.
        """
        places = [place for place, _ in self.stops]
        first, last = places[0], places[-1]
        jumps = {a for a, b in pairwise(places) if a == b}
        if len(jumps) + number > MAX_BANDS:
            jumps = set()
        even = [first + (last - first) * k / number for k in range(1, number)]
        borders = sorted({0.0, first, *even, *jumps, last, 1.0})
        pieces = self.pieces(0.0, 1.0)
        return _merged([Band(low=a, high=b, flat=pieces.mean(a, b)) for a, b in pairwise(borders)])

    def bands_between(self, number: int, low: float, high: float) -> list[Band]:
        """Return the bands of the ramp and of what it shows beyond its ends that reach into a range."""
        bands = self.bands(number)
        laid: list[Band] = []
        if self.spread is Spread.PAD:
            before = Band(low=-inf, high=0.0, flat=self.stops[0][1])
            laid = [before, *bands, Band(low=1.0, high=inf, flat=self.stops[-1][1])]
        else:
            backward = [Band(low=1.0 - b.high, high=1.0 - b.low, flat=b.flat) for b in reversed(bands)]
            for turn in range(floor(low), ceil(high)):
                own = backward if self.is_backward(turn) else bands
                laid += [Band(low=turn + b.low, high=turn + b.high, flat=b.flat) for b in own]
        return [band for band in _merged(laid) if band.low < high and band.high > low]


def _merged(bands: list[Band]) -> list[Band]:
    """Return the bands with neighbours of one colour as one."""
    merged: list[Band] = []
    for band in bands:
        if merged and merged[-1].flat == band.flat:
            band = replace(band, low=merged.pop().low)
        merged.append(band)
    return merged


def flat_of(channels: Array) -> Flat:
    """Return the colour of red, green, blue (times opacity) and opacity; a clear one is black."""
    opacity = float(channels[3])
    if not opacity > 0.0:
        return Flat(BLACK.colour, 0.0)
    red, green, blue = (min(1.0, max(0.0, value)) for value in (channels[:3] / opacity).tolist())
    return Flat(Colour(red, green, blue), min(1.0, opacity))


def _channels(flat: Flat) -> tuple[float, float, float, float]:
    return flat.colour.red, flat.colour.green, flat.colour.blue, flat.opacity

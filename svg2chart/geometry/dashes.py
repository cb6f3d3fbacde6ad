"""Strokes to dashes."""

from math import ceil

import numpy as np
from numpy.typing import NDArray

from svg2chart.errors import ArtworkError
from svg2chart.geometry.affine import Affine
from svg2chart.geometry.outline import Cap, StrokeStyle, is_flat
from svg2chart.geometry.polygon import Polylines

Array = NDArray[np.float64]

MAX_DASHES = 100_000  # in one call of dash_lines; more is a mistake in the drawing

# The length, in stroke widths, that a dash of no length gets so that its square caps keep their direction.
_DOT = 1e-6
# A dash that ends this near to a corner ends at it, in parts of the line; rounding is 1e-16.
_NEAR = 1e-12


def dash_lines(lines: Polylines, style: StrokeStyle, *, pen: Affine) -> Polylines:
    """Return the dashes of the style along the chains, as chains.

    Lengths are measured in pen space. The pattern starts anew at each chain's first
    point, `dash_offset` into it. A closed chain is dashed from its first point round
    to it; dashes that meet there are one, as renderers have it, and a dash all the
    way round leaves the chain closed. A dash of no length becomes one of a millionth of
    the width where the cap makes a dot of it, and nothing where it does not. Without
    dashes, or with dashes that are all 0, the lines come back as they are; where gaps are 0, dashes
    meet without a join.

    Raises:
        ArtworkError: there are more than `MAX_DASHES` dashes.
    """
    period = sum(style.dashes)
    if not period > 0 or is_flat(pen):
        return lines
    into = pen.linear().inverse()
    rulers = []
    for points, closed in lines.chains():
        chain = np.concatenate([points, points[:1]]) if closed else points
        pieces = np.diff(into.apply(chain), axis=0)
        rulers.append((chain, np.concatenate([[0.0], np.cumsum(np.hypot(pieces[:, 0], pieces[:, 1]))])))
    if not sum(ruler[-1] for _, ruler in rulers) * len(style.dashes) / 2 <= MAX_DASHES * period:
        raise ArtworkError(
            f"a stroke has more than {MAX_DASHES:,} dashes",
            way_out="Make the dashes longer or the stroke solid",
        )
    dashes: list[tuple[Array, bool]] = []
    for (chain, ruler), closed in zip(rulers, lines.closed, strict=True):
        own = _chain_dashes(chain, ruler, style)
        dashes += _joined_at_seam(own, chain[0]) if closed else [(dash, False) for dash in own]
    return Polylines.of_chains(dashes)


def _joined_at_seam(dashes: list[Array], seam: Array) -> list[tuple[Array, bool]]:
    """Return the dashes of a closed chain and whether they are closed, the last joined to the first."""
    meets = bool(dashes) and (dashes[0][0] == seam).all() and (dashes[-1][-1] == seam).all()
    if not meets:
        return [(dash, False) for dash in dashes]
    if len(dashes) == 1:
        return [(dashes[0][:-1], True)]
    joined = np.concatenate([dashes[-1], dashes[0][1:]])
    return [(joined, False), *((dash, False) for dash in dashes[1:-1])]


def _chain_dashes(chain: Array, ruler: Array, style: StrokeStyle) -> list[Array]:
    """Return the points of each dash on one chain; `ruler` is the length from its start to each point."""
    length = ruler[-1]
    edges = np.concatenate([[0.0], np.cumsum(style.dashes)])
    period = edges[-1]
    begins = -(style.dash_offset % period) + period * np.arange(ceil(length / period) + 2)[:, np.newaxis]
    starts, ends = (begins + edges[:-1:2]).ravel(), (begins + edges[1::2]).ravel()
    if style.cap is not Cap.BUTT:
        dot = (starts == ends) & (starts >= 0) & (starts <= length)
        reach = _DOT * style.width / 2
        starts, ends = np.where(dot, starts - reach, starts), np.where(dot, ends + reach, ends)
    starts, ends = _on_points(np.maximum(starts, 0.0), ruler), _on_points(np.minimum(ends, length), ruler)
    shown = starts < ends
    dashes = []
    for start, end in zip(starts[shown], ends[shown], strict=True):
        inside = ruler[np.searchsorted(ruler, start, "right") : np.searchsorted(ruler, end, "left")]
        at = np.concatenate([[start], inside, [end]])
        dashes.append(np.stack([np.interp(at, ruler, chain[:, axis]) for axis in (0, 1)], axis=1))
    return dashes


def _on_points(places: Array, ruler: Array) -> Array:
    """Return places along a chain, moved onto its points where only rounding keeps them apart."""
    place = np.clip(np.searchsorted(ruler, places), 1, max(len(ruler) - 1, 1))
    before, after = ruler[place - 1], ruler[np.minimum(place, len(ruler) - 1)]
    nearest = np.where(places - before < after - places, before, after)
    return np.asarray(np.where(np.abs(nearest - places) <= _NEAR * ruler[-1], nearest, places))

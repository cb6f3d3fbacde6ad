"""Parts of a colour that nothing would show, given their stitches back."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from svg2chart.arranging.borders import Bytes, rows_as_bits
from svg2chart.arranging.candidates import AREA_UNIT, Candidates, best_rows
from svg2chart.arranging.patterns import COST_UNIT
from svg2chart.arranging.rims import NEIGHBOURS, POINTS_OF, across
from svg2chart.octants.areas import VisibleAreas
from svg2chart.runs import linked, numbered

Bools = NDArray[np.bool_]
Ints = NDArray[np.int64]

LEAST_KEPT = 0.2
"""A separate part of a colour that shows at least so many squares is never lost in silence, nor at all if it
is no hair. Our choice, no source."""

HAIR = 5 / 32
"""What shows less in the four squares around any hole is a hair, however long. Our choice, no source."""

TRACE = 1 / 128
"""Less of an octant is no place to touch at: a sixteenth of it."""

SHARE_WORKED = 0.25
"""Squares of which a lost part fills so much are worked. Our choice, no source."""


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Kept:
    """An arrangement that keeps parts, and the parts that it does not keep.

    chosen: a candidate for each undecided square. lost: entries of parts that stitches of their colour are
    near, but do not touch, and of hairs.
    """

    chosen: Ints
    lost: Ints


def keep_parts(areas: VisibleAreas, candidates: Candidates, chosen: Ints) -> Kept:
    """Return the arrangement with stitches for the parts that would be lost.

    A part that no stitch of its colour is near gets the least wrong candidate with its colour where it shows
    most, and wherever it fills SHARE_WORKED of a square.
    """
    parts = _find_parts(areas, candidates, chosen)
    most = np.zeros(len(parts.missing), np.int64)
    np.maximum.at(most, parts.part, parts.size)
    is_worked = parts.is_lost & ~parts.is_near & ~_are_hairs(areas, parts)
    worked = is_worked[parts.part] & (areas.order[parts.missing] >= 0)
    worked &= (parts.size == most[parts.part]) | (parts.size >= SHARE_WORKED * AREA_UNIT)
    place = np.searchsorted(candidates.squares, areas.square)
    wanted: dict[int, list[int]] = {}
    for entry in parts.missing[worked]:
        wanted.setdefault(int(place[entry]), []).append(int(areas.colour[entry]))
    chosen = chosen.copy()
    for at, colours in wanted.items():
        chosen[at] = _best_with(candidates, at, colours)
    return Kept(chosen=chosen, lost=parts.missing[(parts.is_lost & ~is_worked)[parts.part]])


def lost_entries(areas: VisibleAreas, candidates: Candidates, chosen: Ints) -> Ints:
    """Return the entries of all parts that nothing shows."""
    parts = _find_parts(areas, candidates, chosen)
    return np.asarray(parts.missing[parts.is_lost[parts.part]])


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class _Parts:
    """Parts of colours that their squares do not show; (n,) each, by entry or by part.

    missing: entries of which nothing is stitched in their square. part: the number of its part.
    size: how much it shows, in AREA_UNIT. is_lost: whether a part is large enough, and nothing that is
    stitched in its colour touches it. is_near: whether some is in the squares around.
    """

    missing: Ints
    part: Ints
    size: Ints
    is_lost: Bools
    is_near: Bools


def _find_parts(areas: VisibleAreas, candidates: Candidates, chosen: Ints) -> _Parts:
    made = candidates.made(areas, chosen, np.arange(len(areas.square)))
    missing = np.flatnonzero(made == 0)
    part, is_kept, is_near = linked_parts(areas, missing, made)
    # whole numbers, so that rounding decides nothing
    size = np.rint(areas.octants[missing] * AREA_UNIT).sum(axis=1).astype(np.int64)
    is_large = np.bincount(part, size, len(missing)) >= LEAST_KEPT * AREA_UNIT
    return _Parts(missing=missing, part=part, size=size, is_lost=is_large & ~is_kept, is_near=is_near)


def _are_hairs(areas: VisibleAreas, parts: _Parts) -> Bools:
    """Return which parts that are lost are hairs."""
    lost = np.flatnonzero(parts.is_lost[parts.part])
    part, size = parts.part[lost], parts.size[lost]
    rows, columns = areas.solid.shape
    row, column = np.divmod(areas.square[parts.missing[lost]], columns)
    holes = [(row + down) * (columns + 1) + column + right for down in (0, 1) for right in (0, 1)]
    count = (rows + 1) * (columns + 1)
    around, place = numbered(np.tile(part, 4) * count + np.concatenate(holes))
    is_plain = np.bincount(place, np.tile(size, 4), len(around)) >= HAIR * AREA_UNIT
    result = parts.is_lost.copy()
    result[around[is_plain] // count] = False
    return result


def linked_parts(areas: VisibleAreas, missing: Ints, made: Bytes) -> tuple[Ints, Bools, Bools]:
    """Return for each missing entry the number of its part.

    A part are entries of one colour that touch across sides and corners of squares. For each number follows
    whether what is seen of the part touches what is stitched of its colour, and whether any of that is in
    the squares around.

    Args:
        areas: what is seen of each colour.
        missing: entries of which nothing is stitched in their square.
        made: (entries,) which octants are stitched in their colour, in bits.
    """
    number = np.full(len(areas.square), -1)
    number[missing] = np.arange(len(missing))
    seen = POINTS_OF[rows_as_bits(areas.octants > TRACE)]
    reached = np.where(number < 0, POINTS_OF[made], seen)
    is_kept, is_near = _beside_solid(areas, missing, seen)
    # what touches solid squares is kept, and so is all that touches it: no need to look around it
    rest, is_done = np.flatnonzero(~is_kept), is_kept.copy()
    around, seen = missing[rest], seen[missing[rest]]
    pairs = [np.zeros((2, 0), np.int64)]
    for down, right in NEIGHBOURS:
        at = areas.beside(around, down, right)
        same = np.flatnonzero(at >= 0)
        one, at = rest[same], at[same]
        other = number[at]
        is_stitched = other < 0
        is_near[one] |= is_stitched
        touches = (across(down, right)[seen[same]] & reached[at]) > 0
        is_kept[one] |= touches & (is_stitched | is_done[other])
        both = touches & ~is_stitched & ~is_done[other]
        pairs.append(np.stack([one[both], other[both]]))
    first, second = np.concatenate(pairs, axis=1)
    part = linked(first, second, len(missing))
    kept, near = (np.bincount(part, some, len(missing)) > 0 for some in (is_kept, is_near))
    return part, kept, near


def _beside_solid(areas: VisibleAreas, entries: Ints, seen: Bytes) -> tuple[Bools, Bools]:
    """Return which entries touch squares that are wholly of their colour, and which have one around them.

    Args:
        areas: what is seen of each colour.
        entries: which entries.
        seen: the points that each entry of the areas reaches, in bits.
    """
    points = seen[entries]
    touches, is_near = np.zeros((2, len(entries)), np.bool_)
    for down, right in NEIGHBOURS:
        is_same = areas.is_filled_beside(entries, down, right)
        is_near |= is_same
        touches |= is_same & (across(down, right)[points] > 0)
    return touches, is_near


def _best_with(candidates: Candidates, place: int, colours: list[int]) -> int:
    """Return the square's candidate of least cost among those that show most of the colours."""
    rows = candidates.of(np.array([place]))
    shown = sum((candidates.shown(rows) == colour).any(axis=1).astype(np.int64) for colour in colours)
    # a candidate that misses a colour costs more than any that does not
    cost = candidates.cost[rows] + (len(colours) - np.asarray(shown)) * 4 * COST_UNIT
    return int(rows[best_rows(candidates.owner[rows], candidates.standing(rows, cost))[0]])

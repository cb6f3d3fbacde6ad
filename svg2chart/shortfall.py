"""What of a drawing its chart falls short of, and how that is told."""

from collections.abc import Iterable, Mapping
from dataclasses import replace

from svg2chart.arranging.keeping import LEAST_KEPT
from svg2chart.artwork import AS_DRAWN, Artwork, Stroke
from svg2chart.bluntcorners import find_blunted
from svg2chart.closeup import Faults, look_closely
from svg2chart.cornertouch import touching_across
from svg2chart.fit import Laid, by_element
from svg2chart.fittedaway import fitted_away, see_unfitted
from svg2chart.geometry.outline import Cap
from svg2chart.given import Decided
from svg2chart.grid import Grid
from svg2chart.octants.areas import VisibleAreas
from svg2chart.palette import Palette
from svg2chart.remarks import Remark, Severity, Square, at_places, of_each
from svg2chart.stitches import Lost, Worked
from svg2chart.unequal import unequal_widths

CHANGED = 0.1
"""The fit is named as a reason where it makes an element larger or smaller by more, as a part of what is
drawn. Our choice, no source."""

LEAST_APART = 0.5
"""Gaps between dashes that are narrower, in squares, are not widened and close. Our choice, no source."""

OVER_GIVEN = (
    "it hides no more than half of a stitch given by hand, which stands: data-stitch makes it another"
)
"""What is said of a shape over such stitches alone."""


def shortfalls(
    worked: Worked, decided: Decided, areas: VisibleAreas, palette: Palette, artwork: Artwork, grid: Grid
) -> tuple[Remark, ...]:
    """Return remarks on what is lost, comes apart, becomes unequal or closes.

    Args:
        worked: the stitches.
        decided: the drawing that they were decided on, and the stitches that it gives.
        areas: what is seen of it.
        palette: its threads.
        artwork: the drawing as it was read.
        grid: its squares.
    """
    laid = decided.laid
    given = {(stitch.row, stitch.column): stitch.order for stitch in decided.given}
    faults = look_closely(
        worked, palette.areas, laid.shapes, groups=artwork.groups, number_of=palette.number_of
    )
    of_marks = [*_lost(worked, laid, given), *_in_part(worked, faults, laid, given)]
    missing = {laid.marks[order] for order in _part_lost(worked, faults)}
    missing |= {laid.marks[lost.order] for lost in worked.lost}
    told = {(mark.element, mark.layer) for mark in missing}
    away, drawn, seen, number_of = list[Remark](), laid, palette.areas, palette.number_of
    if laid.before is not None:
        before = see_unfitted(laid.before, palette, artwork.groups)
        drawn, seen, number_of = before.decided.laid, before.seen, before.number_of
        if laid.largest_movement:
            away = fitted_away(worked, laid, areas, before, artwork.groups, told=told, stitched=palette.areas)
    blunted = find_blunted(
        worked,
        seen,
        drawn.shapes,
        groups=artwork.groups,
        number_of=number_of,
        moved=laid.largest_movement,
    )
    return (
        *unequal_widths(worked, laid, palette.areas, drawn, seen),
        *_with_ways_out(of_marks, laid, areas),
        *away,
        *_blunted(blunted, drawn),
        *_touching(worked, palette.areas, laid, drawn),
        *_closed_gaps(laid, grid),
    )


def _touching(worked: Worked, areas: VisibleAreas, laid: Laid, drawn: Laid) -> list[Remark]:
    """Return a remark for each two elements whose stitches touch at a hole, though they are drawn apart.

    It names the lower first, but no stitch that is given by hand: where both are, they are meant to touch.
    """
    found = touching_across(worked, areas, laid.shapes, drawn.shapes, moved=laid.largest_movement)
    of_pairs: dict[tuple[str, str, str], list[tuple[float, set[Square]]]] = {}
    for (one, other), each in sorted(found.items()):
        mark, beside = sorted(
            (drawn.marks[one], drawn.marks[other]), key=lambda each: each.stitch_as in AS_DRAWN
        )
        if mark.stitch_as in AS_DRAWN:
            continue
        name = "another part of it" if one == other else beside.element or "another shape"
        of_pairs.setdefault((mark.element, mark.layer, name), []).append(each)
    remarks = []
    for (element, layer, name), pairs in of_pairs.items():
        gap, places = min(gap for gap, _ in pairs), set[Square]().union(*(at for _, at in pairs))
        what = f"its stitches touch those of {name} at a hole, though drawn {gap:.1f} squares apart there"
        remarks.append(
            Remark(element=element, layer=layer, what=at_places(what, places), severity=Severity.SIMPLIFIED)
        )
    return remarks


def _blunted(places: Mapping[int, Square], drawn: Laid) -> list[Remark]:
    """Return a remark for each element that has right-angled corners which its stitches do not have."""
    what = "a right-angled corner of it is cut off in stitches, no hole lies near enough to it"
    found = [(drawn.marks[order], [place]) for order, place in sorted(places.items())]
    return of_each(what, Severity.SIMPLIFIED, (each for each in found if each[0].stitch_as not in AS_DRAWN))


def _lost(worked: Worked, laid: Laid, given: Mapping[Square, int]) -> list[Remark]:
    """Return a remark for each element that shows much more than is stitched, all its marks in one."""
    of_marks: dict[tuple[str, str, bool], list[Lost]] = {}
    for lost in worked.lost:
        mark = laid.marks[lost.order]
        of_marks.setdefault((mark.element, mark.layer, lost.is_worked), []).append(lost)
    remarks = []
    for (element, layer, is_worked), own in of_marks.items():
        area = sum(lost.area for lost in own)
        what = f"too small for a stitch, it shows {area:.2f} of a square"
        if area >= 1.0:
            what = f"too fine for a stitch, though it shows {area:.2f} squares"
        if is_worked:
            what = f"too fine for these squares: much of its {area:.2f} squares is not stitched"
        places = {lost.place for lost in own}
        what = at_places(
            OVER_GIVEN if all(_is_over(given, lost.order, [lost.place]) for lost in own) else what, places
        )
        severity = Severity.SIMPLIFIED if is_worked else Severity.LEFT_OUT
        remarks.append(Remark(element=element, layer=layer, what=what, severity=severity))
    return remarks


def _with_ways_out(remarks: list[Remark], laid: Laid, areas: VisibleAreas) -> list[Remark]:
    """Return the remarks, with a way out for elements that fitting to the squares has changed."""
    drawn, now = dict(laid.drawn), by_element(laid.marks, areas.shapes.tolist())
    told = []
    for remark in remarks:
        key = remark.element, remark.layer
        before = drawn.get(key, 0.0)
        # what is too small for a stitch is so with and without the fit
        is_changed = before >= LEAST_KEPT and abs(now.get(key, 0.0) - before) > CHANGED * before
        way_out = "; fitting to the squares changed its widths, --fit 0 leaves it as it is drawn"
        told.append(replace(remark, what=remark.what + way_out) if is_changed else remark)
    return told


def _in_part(worked: Worked, faults: Faults, laid: Laid, given: Mapping[Square, int]) -> list[Remark]:
    """Return a remark for each shape of which a part gets no stitch, or whose stitches come apart."""
    told = {lost.order for lost in worked.lost}
    told |= {order for order, mark in enumerate(laid.marks) if mark.stitch_as in AS_DRAWN}
    of_parts = "too fine for these squares: a part of it is left out"
    of_gaps = "too narrow for these squares: its stitches come apart where the drawing holds together"
    of_cloth = "cloth that shows in it or beside it is too narrow for these squares: stitches close over it"
    lost = _part_lost(worked, faults)
    over_given = {order: places for order, places in lost.items() if _is_over(given, order, places)}
    return [
        remark
        for found, what in (
            (over_given, OVER_GIVEN),
            ({order: lost[order] for order in lost.keys() - over_given.keys()}, of_parts),
            (faults.parted, of_gaps),
            (faults.closed, of_cloth),
        )
        for remark in of_each(
            what,
            Severity.SIMPLIFIED,
            ((laid.marks[order], found[order]) for order in sorted(found) if order not in told),
        )
    ]


def _is_over(given: Mapping[Square, int], order: int, places: Iterable[Square]) -> bool:
    """Return whether a shape lies over a stitch given by hand in each of some squares."""
    return all(given.get(place, order) < order for place in places)


def _part_lost(worked: Worked, faults: Faults) -> dict[int, set[Square]]:
    """Return the shapes, by paint order, of which a part is left out, and where."""
    found = {order: set(places) for order, places in worked.part_lost.items()}
    for order, places in faults.part_lost.items():
        found.setdefault(order, set()).update(places)
    return found


def _closed_gaps(laid: Laid, grid: Grid) -> list[Remark]:
    """Return a remark for each stroke in stitches whose dashes lie so near to each other that gaps close."""
    remarks = []
    for mark in laid.marks:
        if isinstance(mark, Stroke) and mark.style.dashes:
            caps = 0.0 if mark.style.cap is Cap.BUTT else mark.style.width
            scale = mark.pen.mean_scale / grid.square
            gaps = [(gap - caps) * scale for gap in mark.style.dashes[1::2] if gap > caps]
            if gaps and min(gaps) < LEAST_APART:
                what = f"its dashes are {min(gaps):.2f} of a square apart, too near to stay apart"
                remarks += of_each(what, Severity.SIMPLIFIED, [(mark, ())])
    return remarks

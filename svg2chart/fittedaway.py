"""What of a drawing is seen before it is fitted to the squares, and has no stitches after that."""

from collections.abc import Iterator, Mapping, Set
from dataclasses import dataclass
from math import ceil

import numpy as np

from svg2chart.arranging.keeping import LEAST_KEPT
from svg2chart.artwork import AS_DRAWN, Group
from svg2chart.closecells import FINE
from svg2chart.closeup import find_far
from svg2chart.colour import ciede2000, lab
from svg2chart.fit import Laid, by_element
from svg2chart.given import Decided, see_decided
from svg2chart.octants.areas import VisibleAreas
from svg2chart.octants.blending import Rgba
from svg2chart.octants.stacks import BARE, SEEN_OPACITY
from svg2chart.palette import Palette, on_cloth
from svg2chart.remarks import Remark, Severity, Square, at_places
from svg2chart.rivals import TOLD_APART
from svg2chart.stitches import Worked

LEAST_LEFT = 0.5
"""A shape of which the fit leaves less, as a part of what is drawn, is told of. Our choice, no source."""

Key = tuple[str, str]
"""An element and its layer."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Unfitted:
    """A drawing before anything was moved.

    decided: it, and what is given by hand. shapes: how much is seen of each shape, in squares.
    seen: what is seen of each thread. number_of: the number of each colour that is seen.
    """

    decided: Decided
    shapes: tuple[float, ...]
    seen: VisibleAreas
    number_of: Mapping[Rgba, int]


def see_unfitted(before: Laid, palette: Palette, groups: tuple[Group, ...]) -> Unfitted:
    """Return what is seen of a drawing before it is fitted.

    Args:
        before: that drawing.
        palette: its threads.
        groups: the groups that its paints name.
    """
    rows, columns = palette.areas.solid.shape
    decided, seen = see_decided(before, groups, rows=rows, columns=columns)
    number_of, colours = _numbers(seen, palette)
    of_threads = seen.recoloured(np.array([number_of[colour] for colour in seen.colours]), colours)
    shapes = tuple(seen.shapes.tolist())
    return Unfitted(decided=decided, shapes=shapes, seen=of_threads, number_of=number_of)


def fitted_away(
    worked: Worked,
    laid: Laid,
    areas: VisibleAreas,
    before: Unfitted,
    groups: tuple[Group, ...],
    *,
    told: Set[Key],
    stitched: VisibleAreas,
) -> list[Remark]:
    """Return a remark for each element that the fit hides, or a part of it.

    Args:
        worked: the stitches.
        laid: the fitted drawing.
        areas: what is seen of it.
        before: what was seen before that.
        groups: the groups that its paints name.
        told: elements of which it is told already that they are not all there.
        stitched: what is seen of each thread, as the stitches have them.
    """
    hidden = _in_part(worked, before, groups, reach=ceil(laid.largest_movement * FINE))
    what = "fitting to the squares hides a part of it"
    found = {
        **{key: at_places(what, places) for key, places in hidden.items()},
        **dict(_mostly(before, _left(worked, laid, areas, stitched))),
    }
    return [
        Remark(
            element=element,
            layer=layer,
            what=f"{what}: --fit 0 leaves all where it is drawn",
            severity=Severity.SIMPLIFIED,
        )
        for (element, layer), what in found.items()
        if (element, layer) not in told
    ]


def _left(worked: Worked, laid: Laid, areas: VisibleAreas, stitched: VisibleAreas) -> dict[Key, float]:
    """Return how much is left of each element, in squares: as it is fitted, or of stitches if that is more.

    A disc as wide as a square fills less of it than its stitch does.
    """
    squares, colours, orders = stitched.uppermost()
    octants = (worked.shown().reshape(-1, 8)[squares] == colours[:, None]).sum(axis=1)
    amounts = np.bincount(orders + 1, octants, len(laid.marks) + 1)[1:] / 8
    in_stitches = by_element(laid.marks, amounts.tolist())
    return {
        key: max(area, in_stitches[key])
        for key, area in by_element(laid.marks, areas.shapes.tolist()).items()
    }


def _mostly(before: Unfitted, now: Mapping[Key, float]) -> Iterator[tuple[Key, str]]:
    """Yield elements that would be stitched, had the fit left more than half of them."""
    for key, area in by_element(before.decided.laid.marks, before.shapes).items():
        if area >= LEAST_KEPT and now.get(key, 0.0) < LEAST_LEFT * area:
            yield key, f"fitting to the squares leaves less than half of its {area:.2f} squares"


def _in_part(
    worked: Worked, before: Unfitted, groups: tuple[Group, ...], *, reach: int
) -> dict[Key, set[Square]]:
    """Return the elements of which a part that is seen has no stitches near it, and where.

    `reach` as for `find_far`.
    """
    shapes, marks = before.decided.laid.shapes, before.decided.laid.marks
    far = find_far(worked, before.seen, shapes, groups=groups, number_of=before.number_of, reach=reach)
    found: dict[Key, set[Square]] = {}
    for order in sorted(far):
        mark = marks[order]
        if mark.stitch_as not in AS_DRAWN:
            found.setdefault((mark.element, mark.layer), set()).update(far[order])
    return found


def _numbers(seen: VisibleAreas, palette: Palette) -> tuple[dict[Rgba, int], tuple[Rgba, ...]]:
    """Return the number of each colour that is seen, and all by number.

    Those that the palette does not have go to a thread that looks like them, or follow: nothing shows them.
    """
    number_of, colours = dict(palette.number_of), list(palette.areas.colours)
    threads = lab(palette.looks[1:])
    for colour in seen.colours:
        if colour in number_of:
            continue
        apart = ciede2000(lab([on_cloth(colour, palette.cloth)]), threads)
        if colour[3] < SEEN_OPACITY:
            number_of[colour] = BARE
        elif len(threads) and apart.min() < TOLD_APART:
            number_of[colour] = 1 + int(apart.argmin())
        else:
            number_of[colour] = len(colours)
            colours.append(colour)
    return number_of, tuple(colours)

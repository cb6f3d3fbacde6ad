"""What of a drawing is seen before it is fitted to the squares, and has no stitches after that."""

from collections.abc import Iterator, Mapping, Set
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
from svg2chart.remarks import Remark, Severity
from svg2chart.rivals import TOLD_APART
from svg2chart.stitches import Worked

LEAST_LEFT = 0.5
"""A shape of which the fit leaves less, as a part of what is drawn, is told of. Our choice, no source."""

Key = tuple[str, str]
"""An element and its layer."""


def fitted_away(
    worked: Worked,
    laid: Laid,
    areas: VisibleAreas,
    palette: Palette,
    groups: tuple[Group, ...],
    *,
    told: Set[Key],
) -> list[Remark]:
    """Return a remark for each element that the fit hides, or a part of it.

    Args:
        worked: the stitches.
        laid: the fitted drawing.
        areas: what is seen of it.
        palette: its threads.
        groups: the groups that its paints name.
        told: elements of which it is told already that they are not all there.
    """
    if laid.before is None or not laid.largest_movement:
        return []
    rows, columns = areas.solid.shape
    decided, seen = see_decided(laid.before, groups, rows=rows, columns=columns)
    hidden = _in_part(worked, decided, seen, palette, groups, reach=ceil(laid.largest_movement * FINE))
    found = {
        **dict.fromkeys(hidden, "fitting to the squares hides a part of it"),
        **dict(_mostly(decided, seen, by_element(laid.marks, areas.shapes.tolist()))),
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


def _mostly(decided: Decided, seen: VisibleAreas, now: Mapping[Key, float]) -> Iterator[tuple[Key, str]]:
    """Yield elements that would be stitched, had the fit left more than half of them."""
    for key, area in by_element(decided.laid.marks, seen.shapes.tolist()).items():
        if area >= LEAST_KEPT and now.get(key, 0.0) < LEAST_LEFT * area:
            yield key, f"fitting to the squares leaves less than half of its {area:.2f} squares"


def _in_part(
    worked: Worked,
    decided: Decided,
    seen: VisibleAreas,
    palette: Palette,
    groups: tuple[Group, ...],
    *,
    reach: int,
) -> list[Key]:
    """Return the elements of which a part that is seen has no stitches near it; `reach` as for `find_far`."""
    number_of, colours = _numbers(seen, palette)
    seen = seen.recoloured(np.array([number_of[colour] for colour in seen.colours]), colours)
    shapes, marks = decided.laid.shapes, decided.laid.marks
    far = find_far(worked, seen, shapes, groups=groups, number_of=number_of, reach=reach)
    parts = [marks[order] for order in sorted(far) if marks[order].stitch_as not in AS_DRAWN]
    return [(mark.element, mark.layer) for mark in parts]


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

"""Copies that come out unequally wide or high are told, whatever stands beside them and lies over them.

What is seen of a drawing is told by shapely, and so is how wide the stitches of a copy are.
"""

from dataclasses import dataclass

import numpy as np
from hypothesis import example, given
from hypothesis import strategies as st
from shapely import Polygon, box, unary_union

from svg2chart.artwork import Fill
from svg2chart.convert import convert
from svg2chart.grid import Extent, Grid
from tests.drawings import BLUE, GREEN, RED, YELLOW, Points, drawing, shape, stitched

WIDE, HIGH = 36, 28
COPIES = (RED, BLUE, GREEN)
POST, PUPIL, WATER = "#37474f", "#111111", "#0288d1"
SEEN = 0.5  # squares by which sizes may differ without a word
A_HOLE = 0.01  # squares by which stitches are grown, so that those which meet at a hole are one

hundredths = st.integers(0, 99).map(lambda n: n / 100)


def regular(corners: int) -> Points:
    turn = (np.arange(corners) + 0.5) * 2 * np.pi / corners
    return [(float(x), float(y)) for x, y in np.stack([np.cos(turn), np.sin(turn)], axis=1)]


FORMS: dict[str, Points] = {
    "box": [(0, 0), (1, 0), (1, 1), (0, 1)],
    "eye": regular(48),
    "flag": [(0, 0), (1, 0), (0.5, 1)],
    "hull": [(0, 0), (1, 0), (0.7, 1), (0.3, 1)],
    "lantern": [(0.5, 0), (1, 0.5), (0.5, 1), (0, 0.5)],
    "house": [(0, 0.5), (0.5, 0), (1, 0.5), (1, 1), (0, 1)],
}


@dataclass(frozen=True)
class Scene:
    """A row of copies, each with a colour of its own, and what is painted before and after them."""

    marks: tuple[Fill, ...]

    def seen(self, element: str) -> tuple[Polygon, Polygon]:
        """Return an element, and what no later one hides of it."""
        order = next(k for k, mark in enumerate(self.marks) if mark.element == element)
        own, *later = (Polygon(mark.path.segments[:, 0]) for mark in self.marks[order:])
        return own, own.difference(unary_union(later))

    def is_seen_to_its_ends(self, element: str, axis: int) -> bool:
        """Return whether most of both its sides is seen along an axis."""
        own, seen = self.seen(element)
        low, high = own.bounds[:2], own.bounds[2:]
        for end in (low[axis], high[axis] - 0.1):
            strip = [0.0, 0.0, float(WIDE), float(HIGH)]
            strip[axis], strip[axis + 2] = end, end + 0.1
            if seen.intersection(box(*strip)).area < 0.5 * own.intersection(box(*strip)).area:
                return False
        return True


@st.composite
def scenes(draw: st.DrawFn) -> Scene:
    """Draw copies in a row, posts up to a square beside some, pupils in them or water over them."""
    form = np.array(FORMS[draw(st.sampled_from(sorted(FORMS)))])
    form = (form - form.min(axis=0)) / np.ptp(form, axis=0)
    size = np.array([draw(st.integers(160, 600)), draw(st.integers(160, 600))]) / 100
    start = np.array([4 + draw(hundredths), 6 + draw(hundredths)])
    gap = draw(st.integers(30, 300)) / 100
    number = draw(st.integers(2, 3))
    steps = [(k * (size[0] + gap), draw(hundredths) * draw(st.integers(0, 1))) for k in range(number)]
    lows = [start + np.array(step) for step in steps]
    marks = [_shape(YELLOW, [(1, 1), (WIDE - 1, 1), (WIDE - 1, HIGH - 1), (1, HIGH - 1)], "ground")]
    marks = marks if draw(st.booleans()) else []
    marks += [_shape(COPIES[k], low + form * size, COPIES[k]) for k, low in enumerate(lows)]
    for k, low in enumerate(lows):
        if draw(st.booleans()):
            far, broad = draw(st.integers(20, 100)) / 100, draw(st.integers(80, 300)) / 100
            left, top, right, bottom = *low, *(low + size)
            post = draw(
                st.sampled_from(
                    [
                        (left - far - broad, top, left - far, bottom),
                        (right + far, top, right + far + broad, bottom),
                        (left, top - far - broad, right, top - far),
                        (left, bottom + far, right, bottom + far + broad),
                    ]
                )
            )
            colour = draw(st.sampled_from([POST, POST, COPIES[k]]))
            marks.append(_shape(colour, np.array(box(*post).exterior.coords)[:-1], f"post {k}"))
    over = draw(st.sampled_from(["nothing", "pupils", "water"]))
    if over == "pupils":
        disc = np.array(regular(32)) * size * draw(st.integers(15, 30)) / 100
        marks += [_shape(PUPIL, low + size / 2 + disc, f"pupil {k}") for k, low in enumerate(lows)]
    if over == "water":
        y = float(start[1] + size[1] * draw(st.integers(50, 80)) / 100)
        marks.append(_shape(WATER, [(0, y), (WIDE, y), (WIDE, HIGH), (0, HIGH)], "water"))
    return Scene(tuple(marks))


def _shape(colour: str, points: Points | np.ndarray, element: str) -> Fill:
    return shape(colour, [(float(x), float(y)) for x, y in points], element=element)


def row(
    form: str, size: tuple[float, float], *lows: tuple[float, float], others: tuple[Fill, ...] = ()
) -> Scene:
    points = np.array(FORMS[form])
    points = (points - points.min(axis=0)) / np.ptp(points, axis=0)
    copies = [_shape(c, low + points * size, c) for c, low in zip(COPIES, lows, strict=False)]
    return Scene((*copies, *others))


EYES = tuple(_shape(PUPIL, np.array(regular(32)) * 0.7 + at, "pupil") for at in ((5.9, 6.6), (9.3, 6.6)))
SEA = (_shape(WATER, [(0, 8), (WIDE, 8), (WIDE, HIGH), (0, HIGH)], "water"),)


@given(scenes(), st.sampled_from([0.0, 0.5]))
@example(row("box", (2.5, 3), (4.3, 5), (9.7, 5)), 0.0)
@example(row("lantern", (3.4, 4), (4.2, 5), (9.7, 5)), 0.0)
@example(row("eye", (3.4, 4), (4.2, 4.6), (7.6, 4.6), others=EYES), 0.0)
@example(row("hull", (4.4, 5), (4.3, 5.2), (9.9, 5.2), others=SEA), 0.0)
def test_copies_that_come_out_unequal_are_told(scene: Scene, movement: float) -> None:
    artwork = drawing(*scene.marks, wide=WIDE, high=HIGH)
    chart = convert(artwork, Grid.fit(artwork, square=1, extent=Extent.PAGE, movement=movement))
    told = {remark.element for remark in chart.remarks if "equal widths" in remark.what}
    outlines = {mark.element: Polygon(mark.path.segments[:, 0]) for mark in scene.marks}
    for axis in (0, 1):
        sizes: dict[str, float] = {}
        for colour in COPIES:
            if colour not in outlines or not scene.is_seen_to_its_ends(colour, axis):
                continue
            stitches = unary_union([Polygon(one) for one in stitched(chart, colour)])
            grown = stitches.buffer(A_HOLE, join_style="mitre")
            parts = [
                part for part in getattr(grown, "geoms", [grown]) if part.intersection(outlines[colour]).area
            ]
            others = [
                outlines[mark.element]
                for mark in scene.marks
                if mark.colour.hex == colour and mark.element != colour
            ]
            # stitches that run on in those of another shape of their colour have no end
            if parts and not any(part.intersects(other) for part in parts for other in others):
                ends = stitches.intersection(unary_union(parts)).bounds
                sizes[colour] = ends[axis + 2] - ends[axis]
        least, most = min(sizes.values(), default=0.0), max(sizes.values(), default=0.0)
        if most - least > SEEN:
            assert told & {colour for colour, size in sizes.items() if size in (least, most)}, sizes


@st.composite
def hulls_and_posts(draw: st.DrawFn) -> list[tuple[str, Points]]:
    """Draw two hulls and posts of their colour beside some, on sixteenths: sides on the middles of cells."""

    def sixteenths(least: int, most: int) -> float:
        return draw(st.integers(least, most)) / 16

    x, y, wide, high = sixteenths(20, 60), sixteenths(40, 80), sixteenths(28, 80), sixteenths(28, 80)
    found: list[tuple[str, Points]] = []
    for number in range(2):
        end = x + wide
        found.append(
            (f"hull {number}", [(x, y), (end, y), (x + 0.75 * wide, y + high), (x + wide / 4, y + high)])
        )
        x = end + sixteenths(1, 11)
        if draw(st.booleans()):
            right, top = end + sixteenths(2, 29), y + sixteenths(-8, 8)
            found.append(
                (f"post {number}", [(end, top), (right, top), (right, y + high / 2), (end, y + high / 2)])
            )
            x += right - end
    return found


@given(hulls_and_posts())
@example(
    [
        ("hull 0", [(1.9375, 2.5625), (4.9375, 2.5625), (4.1875, 5.4375), (2.6875, 5.4375)]),
        ("post 0", [(4.9375, 3), (5.25, 3), (5.25, 4), (4.9375, 4)]),
        ("hull 1", [(5.625, 2.5625), (8.625, 2.5625), (7.875, 5.4375), (6.375, 5.4375)]),
    ]
)
def test_of_copies_in_a_mirror_the_same_is_told(outlines: list[tuple[str, Points]]) -> None:
    told = []
    for mirror in (lambda x: x, lambda x: WIDE - x):
        marks = [_shape(RED, [(mirror(x), y) for x, y in outline], element) for element, outline in outlines]
        artwork = drawing(*marks, wide=WIDE, high=HIGH)
        chart = convert(artwork, Grid.fit(artwork, square=1, extent=Extent.PAGE, movement=0.0))
        remarks = [remark for remark in chart.remarks if "equal widths" in remark.what]
        told.append({(remark.element, remark.what.split(", at")[0]) for remark in remarks})
    assert told[0] == told[1]

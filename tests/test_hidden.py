"""What lies wholly under other shapes neither leads the fit nor comes to light by it."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from svg2chart.artwork import Artwork, Blend, Fill, Group, Mask, StitchAs
from svg2chart.check import Becomes, check_artwork
from svg2chart.colour import Colour
from svg2chart.geometry.polygon import Polygon
from svg2chart.grid import Extent, Grid
from svg2chart.hidden import find_hidden, look_at_seen
from svg2chart.octants.stacks import Paint
from svg2chart.visible import Shape
from tests.drawings import BLUE, RED, YELLOW, Points, box, chart_of, diamond, drawing, drawn, shape, squares

# the sides of the upper one slide onto diagonals of holes, those of the lower one lie where no line sees them
LAMP = shape(RED, [(3.0625, 3.5), (1.25, 5.3125), (3.0625, 7.125), (4.875, 5.3125)], element="lamp")
GLASS = shape(BLUE, [(3.0625, 3.0625), (5.3125, 5.3125), (3.0625, 7.5625), (0.8125, 5.3125)], element="glass")


def lantern(*marks: Fill, groups: tuple[Group, ...] = ()) -> Artwork:
    return drawing(*marks, wide=8, high=10, groups=groups)


def test_a_shape_under_one_whose_slanted_sides_move_does_not_come_to_light() -> None:
    found = chart_of(lantern(LAMP, GLASS))
    assert [thread.colour for thread in found.threads] == [BLUE]
    assert drawn(found) == drawn(chart_of(lantern(GLASS)))


def test_what_is_hidden_is_told_as_unseen() -> None:
    artwork = lantern(LAMP, GLASS)
    (finding,) = check_artwork(artwork, Grid.fit(artwork, square=1.0, extent=Extent.PAGE)).findings
    assert (finding.element, finding.becomes) == ("lamp", Becomes.UNSEEN)


def test_what_is_hidden_within_a_group_that_lets_through_leaves_no_trace() -> None:
    faded = (Group(opacity=0.5),)
    lamp = replace(shape(RED, diamond(3.375, 3.625, 1.4375), element="lamp"), group=0)
    glass = replace(shape(BLUE, diamond(3.1875, 3.625, 1.875), element="glass"), group=0)
    wall = shape(YELLOW, box(0, 0, 8, 10), element="wall")
    with_it, without = (chart_of(lantern(wall, *marks, groups=faded)) for marks in ((lamp, glass), (glass,)))
    assert [thread.colour for thread in with_it.threads] == [thread.colour for thread in without.threads]
    assert drawn(with_it) == drawn(without)
    assert with_it.remarks == without.remarks


def test_what_stitches_given_by_hand_hide_does_not_lead_the_fit() -> None:
    # the sides of the speck would go to holes, and out from under the patch
    patch = replace(shape(BLUE, box(2, 2, 3, 3), element="patch"), stitch_as=StitchAs.FULL)
    speck = shape(RED, box(2.375, 2.125, 2.6875, 2.4375), element="speck")
    wall = shape(YELLOW, box(2.5625, 5.25, 5, 8.25), element="wall")
    with_it, without = (chart_of(lantern(*below, wall, patch)) for below in ((speck,), ()))
    assert drawn(with_it) == drawn(without)
    assert with_it.remarks == without.remarks


def test_a_shape_that_lies_between_the_lines_that_are_looked_along_is_not_hidden() -> None:
    # sparks too small for any line to meet, which are a square together
    marks = [
        shape(RED, box(x / 8 + 1 / 64, y / 8 + 1 / 64, x / 8 + 7 / 64, y / 8 + 7 / 64), element="spark")
        for x in range(8, 16)
        for y in range(8, 16)
    ]
    assert drawn(chart_of(drawing(*marks, wide=3, high=3))) == squares("""
        . . .
        . r .
        . . .
    """)


LOWER, UPPER = box(1, 1, 3, 3), box(0, 0, 4, 4)


def hidden(*shapes: Shape, groups: tuple[Group, ...] = ()) -> list[bool]:
    return find_hidden(shapes, groups, rows=6, columns=6).tolist()


def painted(outline: Points, *, opacity: float = 1.0, group: int | None = None) -> Shape:
    paint = Paint(colour=Colour.from_hex(RED), opacity=opacity, group=group)
    return Shape(polygon=Polygon.of_contours([outline]), paint=paint)


@pytest.mark.parametrize(
    ("lower", "upper", "groups", "is_hidden"),
    [
        ({}, {}, (), True),
        ({"opacity": 0.5}, {}, (), True),
        ({}, {"opacity": 0.5}, (), False),
        ({"group": 0}, {}, (Group(opacity=0.5),), True),
        ({}, {"group": 0}, (Group(opacity=0.5),), False),
        ({"group": 0}, {"group": 0}, (Group(opacity=0.5),), True),
        ({"group": 0}, {"group": 1}, (Group(opacity=0.5), Group(parent=0)), True),
        ({"group": 0}, {"group": 1}, (Group(opacity=0.5), Group(parent=0, opacity=0.5)), False),
        ({"group": 0}, {"group": 1}, (Group(), Group()), True),
        ({}, {"group": 0}, (Group(blend=Blend.MULTIPLY),), False),
        ({"group": 0}, {"group": 0}, (Group(blend=Blend.MULTIPLY),), True),
        ({"group": 0}, {"group": 1}, (Group(mask=Mask(group=1)), Group(parent=0)), False),
    ],
)
def test_what_hides_within_its_groups(
    lower: dict, upper: dict, groups: tuple[Group, ...], *, is_hidden: bool
) -> None:
    assert hidden(painted(LOWER, **lower), painted(UPPER, **upper), groups=groups)[0] is is_hidden
    assert hidden(painted(UPPER, **lower), painted(LOWER, **upper), groups=groups) == [False, False]


def test_several_shapes_hide_together() -> None:
    left, right = painted(box(0, 0, 2, 4)), painted(box(2, 0, 4, 4))
    assert hidden(painted(LOWER), left, right) == [True, False, False]
    assert hidden(left, painted(LOWER), right) == [False, False, False]


places = st.integers(0, 12).map(lambda n: n / 2)
patches = st.tuples(places, places, st.integers(1, 8), st.integers(1, 8)).map(
    lambda drawn: box(drawn[0], drawn[1], drawn[0] + drawn[2] / 2, drawn[1] + drawn[3] / 2)
)


@given(st.lists(st.tuples(patches, st.booleans()), min_size=1, max_size=6))
def test_of_what_is_hidden_and_was_to_be_fitted_nothing_is_left(drawn: list[tuple[Points, bool]]) -> None:
    """Whatever hides it: also what is given by hand, and is not looked at."""
    shapes = [
        Shape(
            polygon=Polygon.of_contours([np.array(outline)]),
            paint=Paint(colour=Colour.from_hex(f"#0000{40 * number:02x}")),
        )
        for number, (outline, _) in enumerate(drawn)
    ]
    fitted, given_by_hand = (
        [k for k, (_, is_given) in enumerate(drawn) if is_given is own] for own in (False, True)
    )
    sized = {"rows": 11, "columns": 11}
    left, still_fitted, looked = look_at_seen(shapes, fitted, given_by_hand, (), **sized)
    gone = [k for k in fitted if find_hidden(shapes, (), **sized)[k]]
    assert [k for k, each in enumerate(left) if not len(each.polygon.points)] == gone
    assert still_fitted == [k for k in fitted if k not in gone]
    assert len(looked.shapes) == len(still_fitted)

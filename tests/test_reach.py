"""How far drawings reach, by which of their strokes count as lines."""

from svg2chart.geometry.box import Box
from svg2chart.grid import Grid
from svg2chart.reach import Reach
from tests.drawings import RED, box, drawing, shape, stroke

HULL = shape(RED, box(10, 10, 20, 20))
ROPE = stroke(RED, [(5, 15), (25, 15)], width=2)
KEEL = stroke(RED, [(15, 30), (15, 22)], width=6)


def test_strokes_gain_their_width_from_the_widest_on() -> None:
    reach = Reach.of(drawing(ROPE, HULL, KEEL, wide=40, high=40))
    assert list(reach.boxes()) == [
        (6, Box(5, 10, 25, 30)),
        (2, Box(5, 10, 25, 30)),
        (0, Box(5, 10, 25, 30)),
    ]
    wider = Reach.of(drawing(stroke(RED, [(2, 4), (2, 36)], width=3), HULL, wide=40, high=40))
    assert list(wider.boxes()) == [(3, Box(2, 4, 20, 36)), (0, Box(0.5, 4, 20, 36))]


def test_no_stroke_is_thin_where_none_may_be() -> None:
    artwork = drawing(stroke(RED, [(2, 4), (2, 36)], width=3), HULL, wide=40, high=40)
    assert Grid.fit(artwork, square=0.5, thin=0.0).left == 0.5
    assert Grid.fit(artwork, square=0.5, thin=7.0).left == 2.0

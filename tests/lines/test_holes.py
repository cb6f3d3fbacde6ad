"""Which points of thin lines lie on which holes."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from svg2chart.lines.holes import nearest_hole, pin_chains

places = st.integers(-40, 40).map(lambda n: n / 8)


@given(places, places, places, places)
def test_the_nearest_hole_is_within_half_a_square(
    x: float, y: float, centre_x: float, centre_y: float
) -> None:
    column, row = nearest_hole(np.array([x, y]), np.array([centre_x, centre_y]))
    assert max(abs(column - x), abs(row - y)) <= 0.5


@given(places, places, places, places)
def test_ties_fall_towards_the_centre_whichever_way_the_drawing_is_mirrored(
    x: float, y: float, centre_x: float, centre_y: float
) -> None:
    if x == centre_x:
        return  # level with the centre the choice is free
    column, _ = nearest_hole(np.array([x, y]), np.array([centre_x, centre_y]))
    mirrored, _ = nearest_hole(np.array([-x, y]), np.array([-centre_x, centre_y]))
    assert mirrored == -column


def test_corners_ends_and_joints_are_pinned() -> None:
    mast = np.array([[2.1, 9.0], [2.1, 0.9]])
    sail = np.array([[2.1, 1.0], [6.2, 5.1], [2.2, 5.1]])
    yard = np.array([[2.15, 3.0], [3.1, 4.2]])
    pinned = pin_chains([(mast, False), (sail, False), (yard, False)])
    # the mast is met by both ends of the sail and by the yard
    assert pinned[0].holes == ((2, 9), (2, 5), (2, 3), (2, 1))
    assert pinned[1].holes == ((2, 1), (6, 5), (2, 5))
    assert pinned[2].holes == ((2, 3), (3, 4))


def test_a_round_line_is_pinned_at_its_extremes() -> None:
    angles = np.arange(64) * np.pi / 32 + 0.01
    circle = np.array([5.0, 5.0]) + 3.1 * np.stack([np.cos(angles), np.sin(angles)], axis=1)
    (ring,) = pin_chains([(circle, True)])
    assert sorted(set(ring.holes)) == [(2, 5), (5, 2), (5, 8), (8, 5)]

"""Copies beside others that are as large: the same in whatever order they are painted, and in a mirror."""

import numpy as np
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from svg2chart.fitting.sightlines import AT_HOLE
from tests.drawings import RED, Points, drawing, shape
from tests.fitting.test_fitted import laid

WIDE, HIGH = 36, 24
Row = list[tuple[float, float, float]]

# where each begins, how wide and how high it is; those of a kind are meant to be equal
ROWS_OF_TWO_KINDS: list[Row] = [
    [
        (3.765625, 6.155625, 5.36),
        (10.615, 6.124375, 5.375625),
        (17.401875, 6.14, 5.344375),
        (24.37625, 6.14, 5.344375),
    ],
    [
        (3.140625, 3.67, 5.424375),
        (7.46625, 3.67, 5.455625),
        (11.791875, 3.654375, 5.44),
        (16.351875, 3.67, 5.424375),
    ],
    [
        (3.015625, 6.51, 4.36),
        (10.330625, 6.525625, 4.344375),
        (17.614375, 6.51, 4.344375),
        (25.10125, 6.51, 4.344375),
    ],
]


def hulls_and_tents(row: Row) -> list[Points]:
    """Return outlines by turns, close to each other: which are larger hangs on how they were rounded."""
    found: list[Points] = []
    for number, (x, wide, high) in enumerate(row):
        at, y, end = [x + wide * part for part in (0, 0.2, 0.5, 0.8, 1)], 4.3, 4.3 + high
        hull = [(at[0], y), (at[4], y), (at[3], end), (at[1], end)]
        tent = [(at[2], y), (at[4], y + high / 2), (at[4], end), (at[0], end), (at[0], y + high / 2)]
        found.append(tent if number % 2 else hull)
    return found


def places(outlines: list[Points]) -> np.ndarray:
    """Return where each of outlines, painted in this order, comes to lie: left, top, right, bottom."""
    artwork = drawing(*(shape(RED, outline) for outline in outlines), wide=WIDE, high=HIGH)
    points = [each.polygon.points for each in laid(artwork, 0.5).shapes]
    return np.array([[*each.min(axis=0), *each.max(axis=0)] for each in points])


@pytest.mark.parametrize("row", ROWS_OF_TWO_KINDS)
@pytest.mark.parametrize("order", [[1, 0, 3, 2], [2, 3, 0, 1], [2, 1, 0, 3]])
def test_copies_lie_the_same_in_whatever_order_they_are_painted(row: Row, order: list[int]) -> None:
    outlines = hulls_and_tents(row)
    again = places([outlines[number] for number in order])
    assert np.abs(again - places(outlines)[order]).max() <= AT_HOLE


@pytest.mark.parametrize("row", ROWS_OF_TWO_KINDS)
def test_copies_lie_the_same_in_a_mirror(row: Row) -> None:
    outlines = hulls_and_tents(row)
    left, top, right, bottom = places([[(WIDE - x, y) for x, y in outline] for outline in outlines]).T
    assert np.array_equal(np.stack([WIDE - right, top, WIDE - left, bottom], axis=1), places(outlines))


def tent(x: float, y: float, wide: float, high: float) -> Points:
    middle, end = y + high / 2, y + high
    return [(x + wide / 2, y), (x + wide, middle), (x + wide, end), (x, end), (x, middle)]


TENTS = st.lists(st.tuples(*[st.integers(0, 3)] * 4), min_size=8, max_size=8)


@given(TENTS)
@example([*[(0, 0, 0, 0)] * 7, (2, 0, 1, 3)])  # made even, two come exactly half as near
@example(
    [
        *[(0, 37, 2, 0), (61, 0, 0, 1), (119, 41, 0, 0), (-17, 43, 2, 2)],
        *[(0, 98, 1, -1), (12, 72, -3, 0), (23, 0, -3, 0), (-14, 72, 1, -2)],
    ]
)
def test_two_rows_of_tents_lie_the_same_in_a_mirror(tents: list[tuple[int, int, int, int]]) -> None:
    """In hundredths: how much farther each begins than the first of its row, and how much larger it is."""
    outlines = [
        tent(
            2 + 7 * (number % 4) + x / 100,
            1 + 16 * (number // 4) + y / 100,
            6.86 + wide / 100,
            3.05 + high / 100,
        )
        for number, (x, y, wide, high) in enumerate(tents)
    ]
    left, top, right, bottom = places([[(WIDE - x, y) for x, y in outline] for outline in outlines]).T
    assert (
        np.abs(np.stack([WIDE - right, top, WIDE - left, bottom], axis=1) - places(outlines)).max() <= AT_HOLE
    )


@given(st.integers(0, 99), st.integers(150, 350), st.integers(0, 99))
def test_what_the_page_cuts_at_both_corners_stays_there(part: int, radius: int, off: int) -> None:
    """Two knobs on posts, the same on both sides: none of their corners goes to the other side."""
    wide, size = 30 + part / 100 * 1.1, radius / 100 / 1.0022
    angle = np.linspace(0, 2 * np.pi, 60, endpoint=False)
    round_ = size * np.stack([np.cos(angle), np.sin(angle)], axis=1)
    knobs = [round_ + np.array([x, 1.31 + off / 300]) for x in (0.77 * size, wide - 0.77 * size)]
    posts = [[(x, 3), (x + 1.3, 3), (x + 1.3, 14), (x, 14)] for x in (0.0, wide - 1.3)]
    marks = [shape(RED, post) for post in posts]
    marks += [shape(RED, [tuple(point) for point in knob.tolist()]) for knob in knobs]
    artwork = drawing(*marks, wide=wide, high=14)
    found, drawn = (laid(artwork, movement).shapes for movement in (0.5, 0.0))
    for now, before in zip(found[2:], drawn[2:], strict=True):
        assert (np.abs(np.ptp(now.polygon.points, axis=0) - np.ptp(before.polygon.points, axis=0)) <= 2).all()

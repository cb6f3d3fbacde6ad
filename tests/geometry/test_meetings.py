"""What lies near what: compared with exact distances, one pair at a time, and in mirrors and turned."""

import tracemalloc
from collections.abc import Callable
from fractions import Fraction
from itertools import combinations, combinations_with_replacement, permutations

import numpy as np
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from svg2chart.geometry.meetings import near_boxes, near_hulls, near_outlines

eighths = st.integers(0, 64).map(lambda n: n / 8)
places = st.tuples(eighths, eighths)
segments = st.tuples(places, places).map(lambda ends: (*ends[0], *ends[1]))
Edge = tuple[float, float, float, float]


def squared(x: Fraction, y: Fraction) -> Fraction:
    return x * x + y * y


def squared_to_edge(point: tuple[float, ...], edge: tuple[float, ...]) -> Fraction:
    """Return how far a point lies from an edge, squared and exactly."""
    x, y, ax, ay, bx, by = (Fraction(value) for value in (*point, *edge))
    long = squared(bx - ax, by - ay)
    along = (x - ax) * (bx - ax) + (y - ay) * (by - ay)
    part = min(max(along / long, Fraction(0)), Fraction(1)) if long else Fraction(0)
    return squared(x - ax - part * (bx - ax), y - ay - part * (by - ay))


def side_of(point: tuple[float, ...], edge: tuple[float, ...]) -> int:
    x, y, ax, ay, bx, by = point + edge
    turn = (bx - ax) * (y - ay) - (by - ay) * (x - ax)  # exact: eighths
    return (turn > 0) - (turn < 0)


def squared_between(one: tuple[float, ...], other: tuple[float, ...]) -> Fraction:
    """Return how far apart two edges lie, squared and exactly."""
    if all(side_of(a[:2], b) * side_of(a[2:], b) < 0 for a, b in ((one, other), (other, one))):
        return Fraction(0)
    return min(squared_to_edge(end, b) for a, b in ((one, other), (other, one)) for end in (a[:2], a[2:]))


@st.composite
def scenes(draw: st.DrawFn) -> tuple[list[Edge], list[int], list[Edge], list[int], list[float]]:
    """Draw parts, the shape that each may be near to, edges, the shape of each, and how near."""
    shapes = st.integers(0, 2)
    edges = draw(st.lists(segments, max_size=9))
    parts = draw(st.lists(segments, max_size=6))
    owner, shape = (draw(st.lists(shapes, min_size=len(own), max_size=len(own))) for own in (edges, parts))
    rooms = st.integers(1, 24).map(lambda n: n / 8)
    return parts, shape, edges, owner, draw(st.lists(rooms, min_size=len(parts), max_size=len(parts)))


def near(
    parts: list[Edge], shape: list[int], edges: list[Edge], owner: list[int], room: list[float]
) -> list[bool]:
    return near_outlines(
        np.array(parts).reshape(-1, 4),
        np.array(shape, np.int64),
        np.array(edges).reshape(-1, 4),
        np.array(owner, np.int64),
        np.array(room),
    ).tolist()


UNDER_A_SLOPE = ([(1.0, 7.0, 2.0, 7.0)], [0], [(0.0, 0.0, 8.0, 8.0)], [0], [0.5])
JUST_SO_FAR_OFF = ([(3.0, 4.0, 3.0, 4.0)], [1], [(0.0, 0.0, 0.0, 0.0), (8.0, 8.0, 8.0, 8.0)], [1, 0], [5.0])


@given(scenes())
@example(UNDER_A_SLOPE)  # in the box around the edge, and far from it
@example((*JUST_SO_FAR_OFF[:-1], [4.875]))
@example(JUST_SO_FAR_OFF)
def test_what_is_near_an_outline_is_so_by_its_distance(scene: tuple) -> None:
    parts, shape, edges, owner, room = scene
    wanted = [
        any(
            squared_between(part, edge) <= Fraction(far) ** 2
            for edge, own in zip(edges, owner, strict=True)
            if own == number
        )
        for part, number, far in zip(parts, shape, room, strict=True)
    ]
    assert near(*scene) == wanted


TURNS: list[Callable[[Edge], Edge]] = [
    lambda e: (-e[0], e[1], -e[2], e[3]),
    lambda e: (e[0], -e[1], e[2], -e[3]),
    lambda e: (e[1], e[0], e[3], e[2]),
    lambda e: (e[2], e[3], e[0], e[1]),
]


@pytest.mark.parametrize("turned", TURNS, ids=["mirrored", "upside down", "across a diagonal", "backwards"])
@given(scenes())
def test_what_is_near_an_outline_is_near_however_both_are_turned(
    turned: Callable[[Edge], Edge], scene: tuple
) -> None:
    parts, shape, edges, owner, room = scene
    again = [turned(e) for e in parts], shape, [turned(e) for e in edges][::-1], owner[::-1], room
    assert near(*again) == near(*scene)


def test_many_parts_beside_an_outline_of_many_edges_take_little_memory() -> None:
    turn = np.linspace(0, 2 * np.pi, 3001)
    corners = 20 * np.stack([np.cos(turn), np.sin(turn)], axis=1)
    edges = np.concatenate([corners[:-1], corners[1:]], axis=1)
    parts = np.tile([[0.0, 0.0, 1.0, 1.0]], (1000, 1))
    whole = np.zeros(1000, np.int64), edges, np.zeros(3000, np.int64), np.ones(1000)
    tracemalloc.start()
    assert not near_outlines(parts, *whole).any()
    most = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    # a byte for each of three million pairs would be more
    assert most < 1000 * 3000


boxes = st.tuples(places, places).map(lambda ends: (*map(min, *ends), *map(max, *ends)))


@given(st.lists(boxes, max_size=8), st.integers(0, 40).map(lambda n: n / 8))
@example([(0.0, 0.0, 1.0, 1.0), (4.0, 5.0, 6.0, 6.0)], 5.0)
@example([(0.0, 0.0, 1.0, 1.0), (4.0, 5.0, 6.0, 6.0)], 4.875)
def test_boxes_are_near_by_their_distance(found: list[Edge], reach: float) -> None:
    def squared_apart(one: Edge, other: Edge) -> float:
        """Exact: of eighths."""
        gaps = [max(one[k] - other[k + 2], other[k] - one[k + 2], 0.0) for k in (0, 1)]
        return gaps[0] ** 2 + gaps[1] ** 2

    wanted = [
        [one, other]
        for one, other in permutations(range(len(found)), 2)
        if squared_apart(found[one], found[other]) <= reach**2
    ]
    assert near_boxes(np.array(found).reshape(-1, 4), reach=reach).tolist() == wanted


@given(
    st.lists(st.tuples(places, st.integers(0, 1)), max_size=6),
    st.tuples(*[st.lists(places, min_size=1, max_size=5)] * 2),
    st.integers(1, 24).map(lambda n: n / 8),
)
def test_what_is_near_a_hull_is_within_it_or_near_by_its_distance(
    drawn: list[tuple[tuple[float, float], int]], shapes: tuple[list[tuple[float, float]], ...], reach: float
) -> None:
    def is_near(point: tuple[float, float], corners: list[tuple[float, float]]) -> bool:
        """Exact: of the triangles and lines between all corners the outermost are the hull."""
        for a, b, c in combinations(corners, 3):
            turns = {side_of(point, (*one, *other)) for one, other in ((a, b), (b, c), (c, a))}
            if side_of(a, (*b, *c)) and len(turns - {0}) == 1:
                return True
        ends = combinations_with_replacement(corners, 2)
        return any(squared_to_edge(point, (*a, *b)) <= Fraction(reach) ** 2 for a, b in ends)

    found = near_hulls(
        np.array([point for point, _ in drawn]).reshape(-1, 2),
        np.array([number for _, number in drawn], np.int64),
        np.array([corner for corners in shapes for corner in corners]),
        np.repeat([0, 1], [len(corners) for corners in shapes]),
        reach=reach,
    )
    assert found.tolist() == [is_near(point, shapes[number]) for point, number in drawn]

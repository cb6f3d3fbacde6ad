"""The edges that stitches show, against charts drawn in letters."""

import numpy as np
import pytest

from svg2chart.lines.edges import HALVES, StitchedEdges
from tests.drawings import BLUE, RED, box, chart_of, diamond, drawing, shape


def edges_of(*marks: object, side: int = 6) -> StitchedEdges:
    chart = chart_of(drawing(*marks, wide=side, high=side))
    return StitchedEdges.of(chart.squares, chart.arrangements)


def share(edges: StitchedEdges, start: tuple[float, float], end: tuple[float, float]) -> float:
    ends = [np.array([[round(HALVES * c) for c in point]]) for point in (start, end)]
    return float(edges.shares(*ends)[0])


def test_a_box_shows_its_four_sides_and_nothing_else() -> None:
    edges = edges_of(shape(RED, box(1, 2, 4, 5)))
    assert edges.pieces.sum() == 2 * (3 + 3 + 3 + 3)
    for corner, other in [((1, 2), (4, 2)), ((4, 2), (4, 5)), ((1, 5), (4, 5)), ((1, 2), (1, 5))]:
        assert share(edges, corner, other) == share(edges, other, corner) == 1.0
    assert share(edges, (0, 2), (2, 2)) == 0.5
    assert share(edges, (1, 2), (3, 3)) == 0.0


def test_a_diamond_shows_the_diagonals_of_its_squares() -> None:
    edges = edges_of(shape(BLUE, box(0, 0, 6, 6)), shape(RED, diamond(3, 3, 2)))
    ring = [(3, 1), (4, 2), (5, 3), (4, 4), (3, 5), (2, 4), (1, 3), (2, 2)]
    for start, end in zip(ring, ring[1:] + ring[:1], strict=True):
        assert share(edges, start, end) == 1.0
    # and the whole page shows its rim
    assert share(edges, (0, 0), (6, 0)) == 1.0
    assert edges.pieces.sum() == 8 * 2 + 4 * 6 * 2


@pytest.mark.parametrize("colour", [BLUE, RED])
def test_only_different_colours_have_an_edge_between_them(colour: str) -> None:
    edges = edges_of(shape(RED, box(0, 0, 3, 6)), shape(colour, box(3, 0, 6, 6)))
    assert share(edges, (3, 0), (3, 6)) == (colour == BLUE)


def test_points_that_an_edge_runs_to_are_touched() -> None:
    touched = edges_of(shape(RED, box(1, 2, 4, 5))).touched()
    wanted = np.zeros((13, 13), bool)
    wanted[4, 2:9] = wanted[10, 2:9] = wanted[4:11, 2] = wanted[4:11, 8] = True
    assert (touched == wanted).all()


def test_edges_bend_at_corners_and_where_they_fork() -> None:
    bent = edges_of(shape(RED, box(1, 2, 4, 5)), shape(BLUE, box(4, 3, 6, 5))).bent()
    holes = {(column / HALVES, row / HALVES) for row, column in zip(*np.nonzero(bent), strict=True)}
    assert holes == {(1, 2), (4, 2), (1, 5), (4, 5), (4, 3), (6, 3), (6, 5)}

"""Edges and bars of every usual slope come out the same all along and near the line; discs are symmetric."""

import numpy as np
import pytest

from tests.bench.sheets import SIDE as SHEET_SIDE
from tests.bench.sheets import WIDTHS, bar, is_periodic, lone_quarters, pieces, worked
from tests.breadth import crossed
from tests.drawings import RED, chart_of, drawing, drawn, shape

SIDE = 20
SLOPES = ((0, 1), (1, 4), (1, 3), (1, 2), (1, 1), (2, 1), (3, 1), (4, 1), (1, 0))  # rise, run


@pytest.mark.parametrize(("rise", "run"), SLOPES)
@pytest.mark.parametrize("eighths", range(8))
def test_an_edge_repeats_with_the_period_of_its_slope_and_keeps_near(
    rise: int, run: int, eighths: int
) -> None:
    direction = np.array([run, rise]) / np.hypot(run, rise)
    across = np.array([-direction[1], direction[0]])
    offset = [0, eighths / 8] if rise <= run else [eighths / 8, 0]
    at = np.array([SIDE / 2, SIDE / 2]) + offset
    far = 3 * SIDE
    corners = [at - far * direction, at + far * direction]
    corners += [at + far * (direction + across), at - far * (direction - across)]
    art = drawing(shape(RED, [(float(x), float(y)) for x, y in corners]), wide=SIDE, high=SIDE)
    squares = np.array(drawn(chart_of(art)))
    # away from the page's border
    inner = squares[3:-3, 3:-3]
    high, wide = inner.shape
    assert (inner[: high - rise, : wide - run] == inner[rise:, run:]).all()
    for row in range(3, SIDE - 3):
        for column in range(3, SIDE - 3):
            # a square whose middle is farther than its half diagonal and 0.75 more from the line is as drawn
            distance = float((np.array([column + 0.5, row + 0.5]) - at) @ across)
            if abs(distance) > 0.5**0.5 + 0.75:
                assert squares[row, column] == ("r" if distance > 0 else ".")


@pytest.mark.parametrize(("slope", "eighths"), crossed(SLOPES, range(8), times=2))
def test_a_bar_is_one_piece_as_wide_all_along(slope: tuple[int, int], eighths: int) -> None:
    rise, run = slope
    for width in WIDTHS[eighths % 3 :: 3]:
        art = drawing(
            shape(RED, bar(rise, run, eighths / 8, width).tolist()), wide=SHEET_SIDE, high=SHEET_SIDE
        )
        _, shown = worked(art)
        assert pieces(shown >= 0) == 1
        assert lone_quarters(shown >= 0) == 0
        # away from its ends
        assert is_periodic(shown, rise, run, rim=7)


@pytest.mark.parametrize("radius", [1, 2, 3, 5, 8])
@pytest.mark.parametrize("middle", [(11.0, 11.0), (11.5, 11.0), (11.5, 11.5), (11.25, 11.0)])
def test_a_disc_is_symmetric_wherever_it_lies(radius: int, middle: tuple[float, float]) -> None:
    turn = np.arange(256) * (2 * np.pi / 256)
    points = np.array(middle) + radius * np.stack([np.cos(turn), np.sin(turn)], axis=1)
    art = drawing(shape(RED, [(float(x), float(y)) for x, y in points]), wide=22, high=22)
    squares = np.array(drawn(chart_of(art)))
    rows, columns = np.nonzero(squares != ".")
    disc = squares[rows.min() : rows.max() + 1, columns.min() : columns.max() + 1]
    assert [list(row) for row in disc[::-1]] == with_corners(disc, str.maketrans("◤◥◢◣", "◣◢◥◤"))
    assert [list(row) for row in disc[:, ::-1]] == with_corners(disc, str.maketrans("◤◥◢◣", "◥◤◣◢"))


def with_corners(squares: np.ndarray, names: dict[int, int]) -> list[list[str]]:
    """Return the squares with their corners renamed; each holds one fraction of one colour at most."""
    return [[square.translate(names) for square in row] for row in squares.tolist()]

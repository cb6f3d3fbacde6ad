from dataclasses import replace

import pytest

from svg2chart.artwork import Artwork, Clip, ClipPart
from svg2chart.errors import GridError
from svg2chart.grid import MAX_SIDE, Extent, Grid
from tests.drawings import RED, box, contours_path, drawing, shape, stroke


def boat(left: float = 10, top: float = 20, right: float = 50, bottom: float = 40) -> Artwork:
    return drawing(shape(RED, box(left, top, right, bottom)), wide=100, high=100)


def test_so_many_squares_wide() -> None:
    grid = Grid.fit(boat(), wide=20)
    assert (grid.left, grid.top, grid.square, grid.rows, grid.columns) == (10, 20, 2, 10, 20)


def test_so_many_squares_high() -> None:
    grid = Grid.fit(boat(), high=5)
    assert (grid.left, grid.top, grid.square, grid.rows, grid.columns) == (10, 20, 4, 5, 10)


def test_what_is_over_is_shared_by_both_sides() -> None:
    grid = Grid.fit(boat(bottom=43), wide=20)
    assert (grid.rows, grid.top) == (12, 19.5)


def test_squares_counted_from_the_page() -> None:
    grid = Grid.fit(boat(left=11, right=50.5), square=5)
    assert (grid.left, grid.top, grid.rows, grid.columns) == (10, 20, 4, 9)


def test_the_page_is_kept_whole() -> None:
    grid = Grid.fit(boat(), square=5, extent=Extent.PAGE)
    assert (grid.left, grid.top, grid.rows, grid.columns) == (0, 0, 20, 20)
    assert Grid.fit(boat(), wide=50, extent=Extent.PAGE).square == 2


def test_squares_by_count() -> None:
    # 14 squares to the inch on a page whose unit is a millimetre: 25.4 / 14 mm each; the inch is exact
    grid = Grid.fit(boat(), count=14)
    assert grid.square == pytest.approx(25.4 / 14)


def test_art_on_the_grid_is_not_moved() -> None:
    grid = Grid.fit(drawing(shape(RED, box(0, 0, 80, 60)), wide=80, high=60), wide=80)
    assert (grid.left, grid.top, grid.square, grid.rows, grid.columns) == (0, 0, 1, 60, 80)


def test_thin_strokes_have_no_width_wide_ones_do() -> None:
    # 40 units in 40 squares: a stroke of 0.5 is thin, one of 4 reaches 2 units farther on each side
    outlined = boat()
    thin = replace(
        outlined, marks=(*outlined.marks, stroke(RED, box(10, 20, 50, 40), width=0.5, closed=True))
    )
    wide = replace(outlined, marks=(*outlined.marks, stroke(RED, box(10, 20, 50, 40), width=4, closed=True)))
    assert Grid.fit(thin, wide=40).left == 10
    assert Grid.fit(wide, wide=40).left == pytest.approx(8)
    assert Grid.fit(wide, wide=40).square == pytest.approx(44 / 40)


def test_what_a_clip_hides_does_not_count() -> None:
    clipped = boat()
    clip = Clip(parts=(ClipPart(path=contours_path([box(0, 0, 30, 100)])),))
    clipped = replace(clipped, clips=(clip,), marks=tuple(replace(m, clip=0) for m in clipped.marks))
    assert Grid.fit(clipped, wide=10).square == 2


def test_what_lies_off_the_page_does_not_count() -> None:
    assert Grid.fit(boat(right=300), wide=90).square == 1


@pytest.mark.parametrize(
    ("sizes", "words"),
    [
        ({}, "exactly one"),
        ({"wide": 10, "high": 10}, "exactly one"),
        ({"wide": 0}, "not above nought"),
        ({"square": -1.0}, "not above nought"),
        ({"square": float("nan")}, "not above nought"),
        ({"count": float("inf")}, "not above nought"),
        ({"wide": MAX_SIDE + 1}, "more than"),
        ({"square": 1e-6}, "would be"),
    ],
)
def test_sizes_that_cannot_be(sizes: dict, words: str) -> None:
    with pytest.raises(GridError, match=words):
        Grid.fit(boat(), **sizes)


def test_nothing_to_see() -> None:
    with pytest.raises(GridError, match="nothing is to be seen"):
        Grid.fit(drawing(wide=10, high=10), wide=10)
    with pytest.raises(GridError, match="nothing is to be seen"):
        Grid.fit(drawing(shape(RED, box(20, 20, 30, 30)), wide=10, high=10), wide=10)


def test_a_level_line_has_no_height() -> None:
    level = drawing(stroke(RED, [(1, 5), (9, 5)], width=0.01), wide=10, high=10)
    with pytest.raises(GridError, match="no extent"):
        Grid.fit(level, high=10)
    assert Grid.fit(level, wide=10).rows == 1

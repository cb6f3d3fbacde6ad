"""Parts that look alike on the squares are worked alike, whatever lies around them."""

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from svg2chart.arranging.copies import WORTH, work_copies_alike
from svg2chart.arranging.descent import energy_at
from svg2chart.convert import convert
from svg2chart.grid import Grid
from svg2chart.svg.read import parse_artwork
from tests.arranging.test_mending import Board
from tests.bench.stitched import shown_by
from tests.drawings import BLUE, GREEN, RED, YELLOW, Points, box, drawing, shape

WIDE, HIGH, SIDE = 22, 10, 5
FIRST, SECOND = (4, 3), (12, 3)  # left and top of two blocks
MIRRORED = 7 - np.arange(8)

eighths = st.integers(0, 8 * SIDE).map(lambda n: n / 8)
figures = st.lists(st.tuples(eighths, eighths), min_size=3, max_size=5, unique=True)
COLUMNS = [(0.0, 4.0), (9.0, 12.0), (17.0, 22.0)]  # beside the blocks


@st.composite
def neighbours(draw: st.DrawFn) -> list[Points]:
    """Draw triangles that lie beside the blocks, as near as they like."""
    found = []
    for left, right in draw(st.lists(st.sampled_from(COLUMNS), max_size=4)):
        x = st.integers(int(8 * left), int(8 * right)).map(lambda n: n / 8)
        y = st.integers(0, 8 * HIGH).map(lambda n: n / 8)
        found.append(draw(st.lists(st.tuples(x, y), min_size=3, max_size=3, unique=True)))
    return found


def placed(points: Points, block: tuple[int, int], *, is_mirrored: bool = False) -> Points:
    return [(block[0] + (SIDE - x if is_mirrored else x), block[1] + y) for x, y in points]


def shown(board: Board, chosen: np.ndarray) -> np.ndarray:
    octants = np.repeat(board.solid.reshape(-1, 1), 8, axis=1)
    octants[board.candidates.squares] = board.candidates.shown(chosen)
    return octants.reshape(HIGH, WIDE, 8)


def block_of(octants: np.ndarray, block: tuple[int, int]) -> np.ndarray:
    left, top = block
    return octants[top : top + SIDE, left : left + SIDE]


def mirrored(block: np.ndarray) -> np.ndarray:
    return block[:, ::-1][..., MIRRORED]


def energy_with(board: Board, chosen: np.ndarray, block: tuple[int, int], look: np.ndarray) -> int | None:
    """Return the energy of the whole chart if a block had a look; None where it cannot."""
    wanted, chosen = shown(board, chosen), chosen.copy()
    block_of(wanted, block)[:] = look
    wanted = wanted.reshape(-1, 8)
    for place, square in enumerate(board.candidates.squares):
        entries = board.candidates.of(np.array([place]))
        same = entries[(board.candidates.shown(entries) == wanted[square]).all(axis=1)]
        if not len(same):
            return None
        chosen[place] = same[board.candidates.cost[same].argmin()]
    if (shown(board, chosen).reshape(-1, 8) != wanted).any():
        return None
    return energy_at(board.candidates, board.solid, board.allowance, chosen)


@given(figure=figures, upper=figures, around=neighbours(), is_mirrored=st.booleans())
@settings(max_examples=60)
def test_copies_are_worked_alike_where_that_costs_little(
    *, figure: Points, upper: Points, around: list[Points], is_mirrored: bool
) -> None:
    """The energy of each way to make them alike is that of the whole chart."""
    marks = [shape(YELLOW, each) for each in around]
    for block, turn in ((FIRST, False), (SECOND, is_mirrored)):
        for colour, points in ((RED, figure), (BLUE, upper)):
            marks.append(shape(colour, placed(points, block, is_mirrored=turn)))
    board = Board(drawing(shape(GREEN, box(0, 0, WIDE, HIGH)), *marks, wide=WIDE, high=HIGH))
    problem = (board.areas, board.candidates, board.solid, board.allowance)
    boxes = np.array([[x, y, x + SIDE, y + SIDE] for x, y in (FIRST, SECOND)], np.float64)
    chosen = work_copies_alike(*problem, board.settled, boxes)

    turned = mirrored if is_mirrored else np.array
    before, after = shown(board, board.settled), shown(board, chosen)
    outside = np.ones((HIGH, WIDE), np.bool_)
    for block in (FIRST, SECOND):
        block_of(outside, block)[:] = False
    assert np.array_equal(before[outside], after[outside])
    settled = energy_at(*problem[1:], board.settled)
    if np.array_equal(block_of(after, FIRST), turned(block_of(after, SECOND))):
        assert energy_at(*problem[1:], chosen) <= settled + WORTH
    else:
        assert np.array_equal(chosen, board.settled)
        for one, other in ((FIRST, SECOND), (SECOND, FIRST)):
            energy = energy_with(board, chosen, one, turned(block_of(after, other)))
            assert energy is None or energy > settled + WORTH or look_alike(board)


def look_alike(board: Board) -> bool:
    """Whether a block is the same in a mirror: it can have a look, and the same mirrored."""
    seen = np.zeros((HIGH * WIDE, 8, len(board.areas.colours)))
    seen[np.arange(HIGH * WIDE), :, board.solid.ravel()] = 1 / 8
    seen[board.areas.square] = 0
    np.add.at(seen, (board.areas.square, slice(None), board.areas.colour), board.areas.octants)
    block = block_of(seen.reshape(HIGH, WIDE, 8, -1), FIRST)
    across, down = block[:, ::-1][:, :, 7 - np.arange(8)], block[::-1][:, :, (3 - np.arange(8)) % 8]
    both = down[:, ::-1][:, :, 7 - np.arange(8)]
    return any(np.abs(turned - block).max() < 1 / 128 for turned in (across, down, both))


def eye(x: float) -> str:
    """Return a white and a pupil that looks to the right."""
    white, pupil = (f'cx="{x + off}" cy="38.702" r="{r}"' for off, r in ((0, 8.787), (1.757, 4.686)))
    return f'<circle fill="#ffffff" {white}/><circle fill="#222222" {pupil}/>'


def test_two_eyes_a_square_apart_are_the_same() -> None:
    """Each has the other on one side only, which once left one pupil square and the other round."""
    face = '<circle fill="#f5c96b" cx="50" cy="50" r="50"/>'
    mouth = '<rect fill="#aa3333" x="40" y="75" width="20" height="4"/>'
    view = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 100">'
    artwork = parse_artwork(f"{view}{face}{eye(39.555)}{eye(60.445)}{mouth}</svg>".encode())
    chart = convert(artwork, Grid.fit(artwork, wide=28))
    dark = shown_by(chart) == [thread.colour for thread in chart.threads].index("#222222")
    looks = []
    for half in np.split(dark, 2, axis=1):
        rows, columns = np.flatnonzero(half.any(axis=(1, 2))), np.flatnonzero(half.any(axis=(0, 2)))
        looks.append(half[rows[0] : rows[-1] + 1, columns[0] : columns[-1] + 1])
    assert np.array_equal(*looks)

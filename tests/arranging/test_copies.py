"""Parts that look alike on the squares are worked alike, whatever lies around them."""

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from svg2chart.arranging.copies import WORTH, work_copies_alike
from svg2chart.arranging.descent import energy_at
from svg2chart.convert import convert
from svg2chart.grid import Grid
from svg2chart.svg.read import parse_artwork
from tests.arranging.test_mending import Board
from tests.bench.stitched import shown_by
from tests.breadth import examples
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
    return octants.reshape(*board.solid.shape, 8)


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


def with_colours_changed(board: Board, octants: np.ndarray) -> np.ndarray:
    """Return what is shown with what is red blue, and what is blue red."""
    colours = [tuple(np.rint(255 * np.array(colour[:3])).astype(int)) for colour in board.areas.colours]
    both = [tuple(bytes.fromhex(colour[1:])) for colour in (RED, BLUE)]
    if not set(both) <= set(colours):
        return octants
    red, blue = (colours.index(colour) for colour in both)
    return np.where(octants == red, blue, np.where(octants == blue, red, octants))


@given(
    figure=figures,
    upper=figures,
    around=neighbours(),
    is_mirrored=st.booleans(),
    is_recoloured=st.booleans(),
)
@settings(max_examples=60)
def test_copies_are_worked_alike_where_that_costs_little(
    *, figure: Points, upper: Points, around: list[Points], is_mirrored: bool, is_recoloured: bool
) -> None:
    """The energy of each way to make them alike is that of the whole chart; colours may change places."""
    marks = [shape(YELLOW, each) for each in around]
    others = (BLUE, RED) if is_recoloured else (RED, BLUE)
    for block, turn, colours in ((FIRST, False, (RED, BLUE)), (SECOND, is_mirrored, others)):
        for colour, points in zip(colours, (figure, upper), strict=True):
            marks.append(shape(colour, placed(points, block, is_mirrored=turn)))
    board = Board(drawing(shape(GREEN, box(0, 0, WIDE, HIGH)), *marks, wide=WIDE, high=HIGH))
    problem = (board.areas, board.candidates, board.solid, board.allowance)
    boxes = np.array([[x, y, x + SIDE, y + SIDE] for x, y in (FIRST, SECOND)], np.float64)
    chosen = work_copies_alike(*problem, board.settled, boxes)

    def turned(look: np.ndarray) -> np.ndarray:
        look = mirrored(look) if is_mirrored else look
        return with_colours_changed(board, look) if is_recoloured else look

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


def entries_showing(board: Board, octants: np.ndarray) -> np.ndarray:
    """Return the cheapest candidates that show this, (rows, columns, 8)."""
    found = []
    for place, square in enumerate(board.candidates.squares):
        entries = board.candidates.of(np.array([place]))
        wanted = octants.reshape(-1, 8)[square]
        same = entries[(board.candidates.shown(entries) == wanted).all(axis=1)]
        found.append(same[board.candidates.cost[same].argmin()])
    return np.array(found, np.int64)


def across(points: Points) -> Points:
    """Return points mirrored left and right on the whole cloth."""
    return [(WIDE - x, y) for x, y in points]


@given(
    figure=figures,
    around=neighbours(),
    apart=st.sampled_from([3, 4, 8]),
    is_mirrored=st.booleans(),
    picks=st.lists(st.integers(0, 2**20), min_size=1, max_size=6),
)
@settings(max_examples=examples(200))
def test_copies_in_a_mirror_are_mirrored_even_where_they_lie_over_each_other(
    *, figure: Points, around: list[Points], apart: int, is_mirrored: bool, picks: list[int]
) -> None:
    """Whatever they look like before: copies that share squares all become alike, or stay as they were."""
    blocks = (FIRST, (FIRST[0] + apart, FIRST[1]))
    red = [
        placed(figure, block, is_mirrored=turn)
        for block, turn in zip(blocks, (False, is_mirrored), strict=True)
    ]
    boards, boxes = [], []
    for turned in (list, across):
        marks = [
            shape(colour, turned(each)) for colour, own in ((YELLOW, around), (RED, red)) for each in own
        ]
        boards.append(Board(drawing(shape(GREEN, box(0, 0, WIDE, HIGH)), *marks, wide=WIDE, high=HIGH)))
        corners = [turned(box(x, y, x + SIDE, y + SIDE)) for x, y in blocks]
        boxes.append(np.array([[*np.min(each, axis=0), *np.max(each, axis=0)] for each in corners], float))
    board, start = boards[0], boards[0].settled.copy()
    for pick in picks if len(start) else []:
        own = board.candidates.of(np.array([pick % len(start)]))
        start[pick % len(start)] = own[pick // len(start) % len(own)]
    starts = [entries_showing(board, shown(board, start))]
    starts.append(entries_showing(boards[1], mirrored(shown(board, start))))
    after = [
        shown(each, work_copies_alike(each.areas, each.candidates, each.solid, each.allowance, first, own))
        for each, first, own in zip(boards, starts, boxes, strict=True)
    ]
    assert np.array_equal(after[1], mirrored(after[0]))
    if not np.array_equal(after[0], shown(board, start)):
        turned = mirrored if is_mirrored else np.array
        one, other = (block_of(after[0], block) for block in blocks)
        assert np.array_equal(one, turned(other)) or look_alike(board)


def test_of_two_looks_that_cost_the_same_no_order_of_copies_decides() -> None:
    """A bar half in this row and half in the next is drawn as well in either; one copy has it so, one so."""
    marks = [shape(RED, placed(box(1, 0.5, 4, 1.5), block)) for block in (FIRST, SECOND)]
    board = Board(drawing(*marks, wide=WIDE, high=HIGH))
    boxes = np.array([[x, y, x + SIDE, y + SIDE] for x, y in (FIRST, SECOND)], np.float64)
    looks = []
    for rows in ((0, 1), (1, 0)):
        start = [(block, row, 1) for block, row in zip((FIRST, SECOND), rows, strict=True)]
        chosen = worked_from(board, start, boxes)
        looks.append([block_of(chosen, block) for block in (FIRST, SECOND)])
    # the two blocks have changed places
    assert np.array_equal(looks[0], looks[1][::-1])


def worked_from(board: Board, bars: list[tuple[tuple[int, int], int, int]], boxes: np.ndarray) -> np.ndarray:
    """Return what is shown once copies are worked alike: of bars each was in one row, in its colour."""
    octants = shown(board, board.settled)
    for (left, top), row, colour in bars:
        octants[top : top + 2, left + 1 : left + 4] = 0
        octants[top + row, left + 1 : left + 4] = colour
    start = entries_showing(board, octants)
    problem = (board.areas, board.candidates, board.solid, board.allowance)
    return shown(board, work_copies_alike(*problem, start, boxes))


@pytest.mark.parametrize("column", [1, 3])
def test_a_part_all_but_the_same_in_a_mirror_has_the_look_of_one_that_is_not(column: int) -> None:
    """A fortieth of a square off, the first differs from its mirror, but not from the second."""
    blocks, bar = (FIRST, SECOND), box(1.25, 1, 3.75, 4)
    off = [[(x + 1 / 40, y) for x, y in bar], bar]
    marks = [shape(RED, placed(points, block)) for points, block in zip(off, blocks, strict=True)]
    board = Board(drawing(*marks, wide=WIDE, high=HIGH))
    start = shown(board, board.settled)
    for left, top in blocks:
        start[top + 1 : top + 4, left + 1 : left + 4 : 2] = 0
        start[top + 1 : top + 4, left + column] = start[top + 1, left + 2]
    boxes = np.array([[x, y, x + SIDE, y + SIDE] for x, y in blocks], np.float64)
    problem = (board.areas, board.candidates, board.solid, board.allowance)
    after = shown(board, work_copies_alike(*problem, entries_showing(board, start), boxes))
    assert np.array_equal(after, start)


def test_bars_of_many_colours_are_worked_alike() -> None:
    """Each lies as far over a hole line as all others, and all are in the same row of the two."""
    colours, blocks, marks = 60, [], []
    for number in range(colours):
        top = 4 * number + 2
        blocks.append([(FIRST[0], top), (SECOND[0], top)])
        colour = f"#{37 * number % 128:02x}{91 * number % 128:02x}{53 * number % 128:02x}"
        marks += [shape(colour, placed(box(1, 0.6, 4, 1.6), block)) for block in blocks[-1]]
    board = Board(drawing(*marks, wide=WIDE, high=4 * colours + 4))
    boxes = np.array([[x, y, x + SIDE, y + 2] for pair in blocks for x, y in pair], np.float64)
    settled = shown(board, board.settled)
    bars = []
    for pair in blocks:
        for row, (left, top) in enumerate(pair):
            bars.append(((left, top), row, int(settled[top + 1, left + 2, 0])))
    assert len({colour for *_, colour in bars} - {0}) == colours
    after = worked_from(board, bars, boxes)
    worked = [after[top : top + 2, left : left + SIDE] > 0 for (left, top), *_ in bars]
    assert all(np.array_equal(each, worked[0]) for each in worked)


def eye(x: float) -> str:
    """Return a white and a pupil that looks to the right."""
    white, pupil = (f'cx="{x + off}" cy="38.702" r="{r}"' for off, r in ((0, 8.787), (1.757, 4.686)))
    return f'<circle fill="#ffffff" {white}/><circle fill="#222222" {pupil}/>'


@given(figure=figures, around=neighbours(), is_down=st.booleans())
@example(figure=[(0.0, 3 / 8), (0.0, 2.375), (4.75, 0.0)], around=[], is_down=True)
@settings(max_examples=examples(60))
def test_what_looks_the_same_in_a_mirror_is_worked_the_same_on_both_sides(
    *, figure: Points, around: list[Points], is_down: bool
) -> None:
    """Or either half costs too much on both sides."""

    def other_side(points: Points) -> Points:
        return [(x, SIDE - y) if is_down else (SIDE - x, y) for x, y in points]

    def turned(look: np.ndarray) -> np.ndarray:
        return look[::-1][..., (3 - np.arange(8)) % 8] if is_down else mirrored(look)

    both = [shape(RED, placed(each, FIRST)) for each in (figure, other_side(figure))]
    marks = [*(shape(YELLOW, each) for each in around), *both]
    board = Board(drawing(shape(GREEN, box(0, 0, WIDE, HIGH)), *marks, wide=WIDE, high=HIGH))
    problem = (board.areas, board.candidates, board.solid, board.allowance)
    boxes = np.array([[*FIRST, FIRST[0] + SIDE, FIRST[1] + SIDE]], np.float64)
    chosen = work_copies_alike(*problem, board.settled, boxes)
    look, settled = block_of(shown(board, chosen), FIRST), energy_at(*problem[1:], board.settled)
    if np.array_equal(look, turned(look)):
        assert energy_at(*problem[1:], chosen) <= settled + WORTH
    else:
        assert np.array_equal(chosen, board.settled)
        place, octant = np.indices((SIDE, 8))
        first = np.where(2 * place + 1 == SIDE, octant > 3, 2 * place + 1 < SIDE)
        if is_down:
            first = np.where(2 * place + 1 == SIDE, (octant + 2) % 8 < 4, 2 * place + 1 < SIDE)
        first = first[:, None] if is_down else first[None]
        energies = [
            energy_with(board, board.settled, FIRST, np.where(first, *halves))
            for halves in ((look, turned(look)), (turned(look), look))
        ]
        assert None in energies or energies[0] == energies[1] or min(energies) > settled + WORTH


def face(wide: float, *parts: str) -> np.ndarray:
    """Return what is shown of a face with cheeks, in colours as they are drawn."""
    view = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 100">'
    head = '<circle cx="50" cy="50" r="46" fill="#f5c96b"/>'
    cheeks = "".join(f'<circle cx="{x}" cy="62" r="5" fill="#f0a0a0"/>' for x in (22, 78))
    artwork = parse_artwork(f"{view}{head}{cheeks}{''.join(parts)}</svg>".encode())
    chart = convert(artwork, Grid.fit(artwork, wide=wide))
    colours = np.array([int(thread.colour[1:], 16) for thread in chart.threads])
    return np.where(shown_by(chart) < 0, -1, colours[shown_by(chart)])


@pytest.mark.parametrize(
    ("wide", "x", "y", "across", "down"),
    [(62, 16.783, 49.124, 6.577, 8.192), (45, 18.426, 48.22, 8.797, 11.8)],
)
def test_eyes_above_cheeks_are_the_same(wide: int, x: float, y: float, across: float, down: float) -> None:
    """A corner of the box around each lies in that of a cheek, which bent one otherwise than the other."""
    eyes = [
        f'<ellipse cx="{50 + off}" cy="{y}" rx="{across}" ry="{down}" fill="#ffffff"/>'
        f'<circle cx="{50.5 + off}" cy="{y + 1.16}" r="3.176" fill="#222222"/>'
        for off in (-x, x)
    ]
    looks = []
    for half in np.split(face(wide, *eyes)[:, : wide // 2 * 2], 2, axis=1):
        white = np.isin(half, (0xFFFFFF, 0x222222))
        rows, columns = np.flatnonzero(white.any(axis=(1, 2))), np.flatnonzero(white.any(axis=(0, 2)))
        looks.append(white[rows[0] : rows[-1] + 1, columns[0] : columns[-1] + 1])
    assert np.array_equal(*looks)
    assert np.array_equal(looks[0], mirrored(looks[0]))


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


def test_a_pale_sail_has_the_tip_that_a_red_one_has() -> None:
    """Half of a square is missed less where it is pale."""
    blocks, sail = (FIRST, SECOND), [(0.0, 3.0), (3.0, 0.0), (3.0, 3.0)]
    marks = [shape(c, placed(sail, block)) for c, block in zip((RED, "#f6dfa4"), blocks, strict=True)]
    board = Board(drawing(*marks, wide=WIDE, high=HIGH))
    start = shown(board, board.settled)
    left, top = SECOND
    start[top + 2, left] = 0
    boxes = np.array([[x, y, x + 3, y + 3] for x, y in blocks], np.float64)
    problem = (board.areas, board.candidates, board.solid, board.allowance)
    after = shown(board, work_copies_alike(*problem, entries_showing(board, start), boxes))
    red, pale = (block_of(after, block) > 0 for block in blocks)
    assert red[2, 0].any()
    assert np.array_equal(red, pale)

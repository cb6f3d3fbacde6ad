"""What must hold for every drawing: shift, mirror, turn, scale, and habits of drawing."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
from hypothesis import example, given
from hypothesis import strategies as st

from svg2chart.artwork import Artwork, Fill, Group, Stroke
from svg2chart.colour import Colour
from svg2chart.convert import convert
from svg2chart.errors import GridError
from svg2chart.geometry.affine import Affine
from svg2chart.geometry.outline import StrokeStyle
from svg2chart.geometry.polygon import FillRule
from svg2chart.grid import MOVEMENT_SQUARES, Extent, Grid
from tests.drawings import BLUE, GREEN, RED, YELLOW, chart_of, contours_path, drawing, drawn, lines, shape

SIDE = 7
COLOURS = (RED, BLUE, YELLOW, GREEN)
MIRROR_WEDGES = str.maketrans("◤◥◢◣", "◥◤◣◢")
TURN_WEDGES = str.maketrans("◤◥◢◣", "◥◢◣◤")


@st.composite
def fills(draw: st.DrawFn, number: int) -> Fill:
    """Draw a region of any winding with points on holes, side middles, centres and quarters of squares."""
    lattice = draw(st.sampled_from([1, 2, 4]))
    place = st.integers(0, SIDE * lattice).map(lambda n: n / lattice)
    contours = draw(
        st.lists(st.lists(st.tuples(place, place), min_size=3, max_size=6), min_size=1, max_size=2)
    )
    return Fill(
        element=f"shape{number}",
        path=contours_path(contours),
        rule=draw(st.sampled_from(FillRule)),
        colour=Colour.from_hex(draw(st.sampled_from(COLOURS))),
        opacity=draw(st.sampled_from([1.0, 1.0, 1.0, 0.5])),
    )


@st.composite
def artworks(draw: st.DrawFn) -> Artwork:
    """Draw one to four shapes on a page of SIDE squares, the last two sometimes in a see-through group."""
    count = draw(st.integers(1, 4))
    marks = [draw(fills(number)) for number in range(count)]
    groups: tuple[Group, ...] = ()
    if count > 2 and draw(st.booleans()):
        groups = (Group(opacity=0.5),)
        marks[-2:] = [replace(mark, group=0) for mark in marks[-2:]]
    return drawing(*marks, wide=SIDE, high=SIDE, groups=groups)


def mapped(artwork: Artwork, affine: Affine) -> Artwork:
    return replace(
        artwork, marks=tuple(replace(mark, path=mark.path.transformed(affine)) for mark in artwork.marks)
    )


def letters(artwork: Artwork, *, square: float = 1.0, movement: float = MOVEMENT_SQUARES) -> list[list[str]]:
    """Return the chart in letters; a drawing too fine for any stitch is bare cloth."""
    try:
        return drawn(
            convert(artwork, Grid.fit(artwork, square=square, extent=Extent.PAGE, movement=movement))
        )
    except GridError:
        page = artwork.viewport
        return [["."] * round(page.width / square)] * round(page.height / square)


def backstitch(artwork: Artwork) -> set:
    try:
        return lines(chart_of(artwork))
    except GridError:
        return set()


def with_wedges(square: str, table: dict[int, int]) -> str:
    """Return a square with its corners renamed; of several quarters the letters stay sorted."""
    renamed = square.translate(table)
    if not renamed.startswith("("):
        return renamed
    inner = renamed[1:-1]
    return "(" + "".join(sorted(inner[i : i + 2] for i in range(0, len(inner), 2))) + ")"


@given(artworks(), st.integers(0, 3), st.integers(0, 3))
def test_whole_squares_move(artwork: Artwork, right: int, down: int) -> None:
    moved = mapped(artwork, Affine.translation(right, down))
    moved = replace(moved, viewport=replace(artwork.viewport, right=SIDE + 3.0, bottom=SIDE + 3.0))
    there = letters(moved)
    assert [row[right : right + SIDE] for row in there[down : down + SIDE]] == letters(artwork)


TWO_GAPS = drawing(
    shape(
        RED,
        [(0, 0), (3.25, 3.5), (0.75, 0)],
        [(1.25, 3.25), (4, 2.25), (0.5, 4.5), (0, 0), (0, 0), (0, 5)],
    ),
    replace(shape(RED, [(0, 1), (4, 3), (5, 5)], [(0, 1), (2, 2), (0, 0)]), opacity=0.5),
    wide=SIDE,
    high=SIDE,
)


def whole_page(colour: str, opacity: float) -> Artwork:
    page = shape(colour, [(0, 0), (SIDE, 0), (SIDE, SIDE), (0, SIDE)])
    return drawing(replace(page, opacity=opacity), wide=SIDE, high=SIDE)


def with_one_see_through(artwork: Artwork) -> Artwork:
    """Return a drawing with its first see-through mark alone so: all its colours can be told apart."""
    kept = next((mark for mark in artwork.marks if mark.opacity < 1), None)
    marks = (replace(m, opacity=m.opacity if m is kept else 1.0, group=None) for m in artwork.marks)
    return replace(artwork, groups=(), marks=tuple(marks))


def in_colours(artwork: Artwork) -> list[list[set[tuple]]]:
    """Return the stitches of each square, with their colours; a drawing too fine for any is bare cloth."""
    try:
        chart = convert(artwork, Grid.fit(artwork, square=1, extent=Extent.PAGE, movement=0.0))
    except GridError:
        return [[set() for _ in range(round(artwork.viewport.width))] for _ in range(SIDE)]
    return [
        [
            {(s.kind, s.corner, chart.threads[s.thread].colour) for s in chart.arrangement_at(row, column)}
            for column in range(chart.columns)
        ]
        for row in range(chart.rows)
    ]


@given(artworks(), artworks())
@example(TWO_GAPS, whole_page(RED, 0.5))  # which of two colours of one shape covers more lies elsewhere
def test_what_lies_elsewhere_decides_nothing(one: Artwork, other: Artwork) -> None:
    left, right = with_one_see_through(one), with_one_see_through(other)
    gap, away = 3, SIDE + 3
    moved = mapped(right, Affine.translation(away, 0))
    both = drawing(*left.marks, *moved.marks, wide=SIDE + away, high=SIDE)
    wanted = [[*a, *([set()] * gap), *b] for a, b in zip(in_colours(left), in_colours(right), strict=True)]
    assert in_colours(both) == wanted


@given(artworks())
def test_a_mirrored_drawing_gives_the_mirrored_chart(artwork: Artwork) -> None:
    mirrored = mapped(artwork, Affine(-1.0, 0.0, 0.0, 1.0, float(SIDE), 0.0))
    wanted = [[with_wedges(square, MIRROR_WEDGES) for square in row[::-1]] for row in letters(artwork)]
    assert letters(mirrored) == wanted


A_FIFTH = drawing(
    shape(RED, [(0, 0), (0, 2), (2, 6), (1, 0)]),
    shape(BLUE, [(0, 0), (0.5, 6), (4.5, 0)]),
    wide=SIDE,
    high=SIDE,
)

FIVE_EIGHTHS = drawing(  # blue fills half of a square of three colours, and exactly an eighth beside that
    shape(RED, [(0, 0), (0, 3.5), (1.5, 1.5)]),
    shape(BLUE, [(2, 3), (1, 2), (4, 6), (1, 0), (0, 0), (2, 4)], rule=FillRule.EVENODD),
    wide=SIDE,
    high=SIDE,
)


@given(artworks())
@example(A_FIFTH)  # a part of exactly the least area that is never lost
@example(TWO_GAPS)  # stitches of two colours that one see-through shape gives come apart in one square
@example(FIVE_EIGHTHS)
def test_a_quarter_turn_turns_the_chart(artwork: Artwork) -> None:
    turned = mapped(artwork, Affine(0.0, 1.0, -1.0, 0.0, float(SIDE), 0.0))
    here = letters(artwork)
    wanted = [[with_wedges(here[SIDE - 1 - c][r], TURN_WEDGES) for c in range(SIDE)] for r in range(SIDE)]
    assert letters(turned) == wanted


@given(artworks(), st.sampled_from([0.125, 3.0, 10.0, 1000.0]))
def test_art_and_squares_scaled_together_change_nothing(artwork: Artwork, factor: float) -> None:
    scaled = mapped(artwork, Affine.scaling(factor))
    page = artwork.viewport
    scaled = replace(scaled, viewport=replace(page, right=page.right * factor, bottom=page.bottom * factor))
    assert letters(scaled, square=factor) == letters(artwork)


@given(artworks())
def test_reversed_contours_change_nothing(artwork: Artwork) -> None:
    def backwards(mark: Fill) -> Fill:
        contours = [(segments[::-1, ::-1], closed) for segments, closed in mark.path.contours()]
        return replace(mark, path=type(mark.path).of_contours(contours))

    assert letters(replace(artwork, marks=tuple(map(backwards, artwork.marks)))) == letters(artwork)


@given(artworks(), st.integers(1, 5))
def test_another_start_and_a_point_on_an_edge_change_nothing(artwork: Artwork, start: int) -> None:
    def redrawn(mark: Fill) -> Fill:
        contours = []
        for segments, _ in mark.path.contours():
            points = segments[:, 0]
            middle = (points[0] + segments[0, 3]) / 2
            contours.append(np.roll(np.insert(points, 1, middle, axis=0), start, axis=0))
        return replace(mark, path=contours_path(contours))

    assert letters(replace(artwork, marks=tuple(map(redrawn, artwork.marks)))) == letters(artwork)


THROUGH_A_CORNER = drawing(
    shape(RED, [(0, 0), (1, 0), (1, 1)]), shape(BLUE, [(0, 0.5), (1.5, 2), (4, 2.5)]), wide=SIDE, high=SIDE
)

RIGHT_HALF_HIDDEN = drawing(
    shape(RED, [(0, 0), (1, 0), (1, 1)]),
    shape(RED, [(0, 5), (2, 0), (5, 5)]),
    shape(RED, [(0, 0), (0, 3), (6.5, 0.5)]),
    shape(RED, [(3, 6.5), (4, 6.5), (3.5, 0.5), (3.5, 1)]),
    wide=SIDE,
    high=SIDE,
)


def _in_halves(artwork: Artwork) -> tuple[Artwork, Artwork]:
    """Return a drawing with a box as its first shape, and the same with the box in two parts."""
    first = replace(artwork.marks[0], opacity=1.0, path=contours_path([[(1, 1), (6, 1), (6, 5), (1, 5)]]))
    left = replace(first, path=contours_path([[(1, 1), (3, 1), (3, 5), (1, 5)]]))
    right = replace(first, path=contours_path([[(3, 1), (6, 1), (6, 5), (3, 5)]]))
    others = tuple(replace(mark, group=None) for mark in artwork.marks[1:])
    whole, split = (
        replace(artwork, groups=(), marks=(*parts, *others)) for parts in ((first,), (left, right))
    )
    return whole, split


@given(artworks())
@example(THROUGH_A_CORNER)  # a slanted side that moves runs through a corner of the shape
@example(RIGHT_HALF_HIDDEN)  # what is seen of it and what is not are one
def test_a_shape_split_in_two_of_the_same_paint_changes_nothing(artwork: Artwork) -> None:
    whole, split = _in_halves(artwork)
    assert letters(whole) == letters(split)


@given(artworks(), st.permutations(COLOURS))
def test_what_is_hidden_leaves_no_trace(artwork: Artwork, colours: list[str]) -> None:
    cover = Fill(
        element="cover",
        path=contours_path([[(0, 0), (SIDE, 0), (SIDE, SIDE), (0, SIDE)]]),
        colour=Colour.from_hex(colours[0]),
    )
    chart = chart_of(replace(artwork, marks=(*artwork.marks, cover)))
    assert [thread.colour for thread in chart.threads] == [colours[0]]
    assert chart.remarks == ()


def _line(element: str, points: list[tuple[float, float]], colour: str = RED) -> Stroke:
    return Stroke(
        element=element,
        path=contours_path([points], closed=False),
        style=StrokeStyle(width=0.3),
        colour=Colour.from_hex(colour),
    )


@st.composite
def outlines(draw: st.DrawFn) -> Artwork:
    """Draw thin open chains whose points lie off every middle between holes, where rounding has no choice."""
    place = st.integers(0, 8 * SIDE).filter(lambda n: n % 8 != 4).map(lambda n: n / 8)
    point = st.tuples(place, place)
    chains = draw(st.lists(st.lists(point, min_size=2, max_size=5, unique=True), min_size=1, max_size=3))
    marks = [_line(f"line{number}", chain, COLOURS[number]) for number, chain in enumerate(chains)]
    return drawing(*marks, wide=SIDE, high=SIDE)


@given(outlines())
def test_backstitch_runs_from_hole_to_hole(artwork: Artwork) -> None:
    holes = [ends for _, ends in backstitch(artwork)]
    assert len(set(holes)) == len(holes)
    for (x0, y0), (x1, y1) in map(tuple, holes):
        assert {x0 % 1, y0 % 1, x1 % 1, y1 % 1} == {0}
        assert 0 < max(abs(x1 - x0), abs(y1 - y0)) <= 2


@given(outlines(), st.integers(0, 3), st.integers(0, 3))
def test_backstitch_moves_by_whole_squares(artwork: Artwork, right: int, down: int) -> None:
    moved = mapped(artwork, Affine.translation(right, down))
    moved = replace(moved, viewport=replace(artwork.viewport, right=SIDE + 3.0, bottom=SIDE + 3.0))
    assert backstitch(moved) == shifted(backstitch(artwork), lambda x, y: (x + right, y + down))


# two lines that run more and more closely together
CLOSING_IN = drawing(
    _line("stay", [(0.75, 2.625), (6.625, 4.875)]),
    _line("rope", [(2.875, 3.625), (6.75, 4.875)], BLUE),
    wide=SIDE,
    high=SIDE,
)


# two corners that are equally sharp and lie near each other
NARROW_TURN = drawing(
    _line("rope", [(2.125, 5.625), (4.625, 5), (4.375, 5.375), (5.375, 5.125)]), wide=SIDE, high=SIDE
)


@given(outlines())
@example(CLOSING_IN)
@example(NARROW_TURN)
def test_a_line_drawn_backwards_gives_the_same_backstitch(artwork: Artwork) -> None:
    marks = [
        replace(mark, path=type(mark.path).of_contours([(s[::-1, ::-1], c) for s, c in mark.path.contours()]))
        for mark in artwork.marks
    ]
    assert backstitch(replace(artwork, marks=tuple(marks))) == backstitch(artwork)


def shifted(found: set, move: Callable[[float, float], tuple[float, float]]) -> set:
    return {(colour, frozenset(move(*hole) for hole in ends)) for colour, ends in found}


def test_joined_ends_stay_joined() -> None:
    # three lines that meet at a point off the holes, and a fourth that ends on the inside of one of them
    meeting = (3.3, 2.8)
    ends = [(1.1, 0.9), (6.2, 1.3), (3.1, 6.2)]
    marks = [_line(f"stay{i}", [meeting, end]) for i, end in enumerate(ends)]
    touching = (3.3 + (3.1 - 3.3) * 0.5, 2.8 + (6.2 - 2.8) * 0.5)
    chart = chart_of(drawing(*marks, _line("yard", [touching, (6.1, 5.2)]), wide=SIDE, high=SIDE))
    holes = [hole for line in chart.backstitch for hole in (line.start, line.end)]
    assert holes.count((3, 3)) == 3
    assert chart.remarks == ()
    assert holes.count((3, 5)) + holes.count((3, 4)) >= 3

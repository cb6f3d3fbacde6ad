"""Lines on paper: cut against shapely, joined without loss, told apart without colour."""

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import LineString, box

from svg2chart.chart import Backstitch
from svg2chart.colour import Colour, contrast
from svg2chart.pages.lines import clipped, is_within, line_ink, line_style, trails
from svg2chart.pages.squares import tint

HOLES = st.tuples(st.integers(0, 12), st.integers(0, 12)).map(lambda p: (p[0] / 2, p[1] / 2))
COLOURS = st.integers(0, 0xFFFFFF).map(lambda n: f"#{n:06x}")
LOW, HIGH = (1.0, 2.0), (4.0, 5.0)


@given(HOLES, HOLES)
def test_cut_lines_are_the_part_in_the_box(start: tuple[float, float], end: tuple[float, float]) -> None:
    if start == end:
        return
    inside = LineString([start, end]).intersection(box(*LOW, *HIGH))
    piece = clipped(start, end, low=LOW, high=HIGH)
    if piece is None:
        assert inside.length == 0
    else:
        assert math.dist(*piece) == pytest.approx(inside.length)
        assert LineString(piece).hausdorff_distance(inside) < 1e-9
        # the direction is kept
        assert (piece[1][0] - piece[0][0]) * (end[0] - start[0]) >= 0


@given(st.lists(st.tuples(HOLES, HOLES, st.integers(0, 1)).filter(lambda t: t[0] != t[1]), max_size=12))
def test_joined_lines_lose_nothing(lines: list[tuple[tuple[float, float], tuple[float, float], int]]) -> None:
    stitches = [Backstitch(thread=thread, start=start, end=end) for start, end, thread in lines]
    joined = trails(stitches, low=(0, 0), high=(6, 6))
    pieces = [(thread, *pair) for thread, points in joined for pair in pairwise(points)]
    assert pieces == [(s.thread, s.start, s.end) for s in stitches]


def test_a_chain_is_one_line() -> None:
    chain = [Backstitch(thread=0, start=(i, 0), end=(i + 1, 0)) for i in range(4)]
    assert trails(chain, low=(0, 0), high=(9, 9)) == ((0, ((0, 0), (1, 0), (2, 0), (3, 0), (4, 0))),)


def test_sixteen_threads_have_lines_of_their_own() -> None:
    assert len({line_style(place) for place in range(16)}) == 16


@given(COLOURS)
def test_lines_are_seen_on_white(colour: str) -> None:
    """3 to 1 for graphics: WCAG 2.1, success criterion 1.4.11. A colour that is dark enough stays."""
    white = Colour(1, 1, 1)
    ink = line_ink(colour)
    assert contrast(Colour.from_hex(ink), white) >= 3.0
    if contrast(Colour.from_hex(colour), white) >= 3.0:
        assert ink == colour


@given(COLOURS)
def test_black_symbols_are_read_on_every_tint(colour: str) -> None:
    """4.5 to 1 for text: WCAG 2.1, success criterion 1.4.3."""
    assert contrast(Colour.from_hex(tint(colour)), Colour(0, 0, 0)) >= 4.5


def test_black_on_the_darkest_tint() -> None:
    assert contrast(Colour.from_hex(tint("#000000")), Colour(0, 0, 0)) >= 5.28


def test_a_hole_on_the_edge_is_within() -> None:
    assert is_within((1.0, 5.0), low=LOW, high=HIGH)
    assert not is_within((0.5, 5.0), low=LOW, high=HIGH)

"""Blocks from column to column and page to page: all of them, in order, none alone where it should not be."""

from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from svg2chart.pages.flowing import Section, flow
from svg2chart.pages.frame import (
    BOTTOM_MM,
    GUTTER_MM,
    LEFT_MM,
    Block,
    column_mm,
    heading,
    kept_together,
    paragraph,
    space,
)
from svg2chart.pages.sheet import Box, Mark, Page, Tagged, Text
from svg2chart.pages.style import USUAL

LINE_MM = USUAL.text * USUAL.leading


def numbered(number: int, height: float) -> Block:
    """Return a block that tells where it stands, by a box as wide as its number."""

    def draw(x: float, y: float) -> tuple[Mark, ...]:
        return (Box(x=x, y=y, width=float(number), height=height),)

    return Block(height=height, draw=draw)


def flowed(*sections: Section) -> tuple[Page, ...]:
    return flow(sections, chapter="A chapter", prefix="A", footer="", style=USUAL)


def boxes(pages: tuple[Page, ...]) -> list[tuple[int, Box]]:
    """Return the boxes with the number of their page."""
    return [(i, mark) for i, page in enumerate(pages) for mark in page.marks if isinstance(mark, Box)]


def words(page: Page) -> list[Text]:
    """Return the lines of a page below its heading."""
    found = [m for mark in page.marks if isinstance(mark, Tagged) for m in mark.marks if isinstance(m, Text)]
    return [text for text in found if text.size == USUAL.text]


HEIGHTS = st.lists(st.sampled_from([3.0, 4.86, 11.0, 40.0]), min_size=1, max_size=150)


@given(HEIGHTS, st.integers(1, 3))
def test_blocks_stand_in_order_below_each_other(heights: list[float], columns: int) -> None:
    """Each begins where the one before ends, or at the level of its columns; none reaches into the foot."""
    blocks = tuple(numbered(i + 1, height) for i, height in enumerate(heights))
    found = boxes(flowed(Section(blocks=blocks, columns=columns)))
    assert [box.width for _, box in found] == [i + 1 for i in range(len(heights))]
    top = found[0][1].y
    for (page, box), (next_page, after) in pairwise(found):
        assert after.y + after.height <= BOTTOM_MM + 1e-9
        if after.x == box.x and page == next_page:
            assert abs(after.y - box.y - box.height) < 1e-9
        else:
            assert after.y == top
            step = column_mm(columns) + GUTTER_MM
            assert next_page == page + 1 or abs(after.x - box.x - step) < 1e-9
        assert next_page == page or after.x == LEFT_MM


@given(HEIGHTS, st.integers(2, 3))
def test_columns_of_the_last_page_are_level(heights: list[float], columns: int) -> None:
    """The first is no deeper than an even share and what cannot be broken; what follows stands below all."""
    blocks = tuple(numbered(i + 1, height) for i, height in enumerate(heights))
    after = Section(blocks=(numbered(500, 5.0),))
    found = boxes(flowed(Section(blocks=blocks, columns=columns), after))
    *own, (last_page, below) = found
    own_page = own[-1][0]
    last = [box for page, box in own if page == own_page]
    deep = max(box.y + box.height for box in last) - found[0][1].y
    assert deep <= sum(box.height for box in last) / columns + max(box.height for box in last) + 1
    if last_page == own_page:
        assert abs(below.y - deep - found[0][1].y) < 1e-9


@given(st.integers(1, 60), st.integers(1, 3))
def test_a_heading_stands_with_what_it_heads(lines: int, columns: int) -> None:
    """Its own lines together, and the first line of the paragraph below them."""
    filler = [numbered(1, LINE_MM)] * lines
    title = heading("A heading so long that it takes a second line " * 2, USUAL, columns=columns, size=4.0)
    below = paragraph("What it heads.", USUAL, columns=columns)
    for page in flowed(Section(blocks=(*filler, *title, *below), columns=columns)):
        found = [m for mark in page.marks if isinstance(mark, Tagged) for m in mark.marks]
        texts = [text for text in found if isinstance(text, Text) and text.size in (4.0, USUAL.text)]
        assert len({text.x for text in texts}) <= 1
        if texts:
            assert [text.size for text in texts] == [4.0] * (len(title) - 1) + [USUAL.text]


@given(st.integers(30, 60))
def test_no_line_of_a_paragraph_stands_alone(lines: int) -> None:
    filler = [numbered(1, LINE_MM)] * lines
    text = paragraph("Words that fill some lines of a paragraph, again and again. " * 8, USUAL)
    assert len(text) > 3
    for page in flowed(Section(blocks=(*filler, *text))):
        assert len(words(page)) != 1


def test_air_is_left_out_at_the_top_of_columns() -> None:
    """So that columns begin level."""
    parts = [block for i in range(9) for block in kept_together([space(2.5), numbered(i + 1, 60.0)])]
    found = boxes(flowed(Section(blocks=tuple(parts), columns=3)))
    first = [box.y for _, box in found if box.width in (1, 4, 7)]
    assert len(set(first)) == 1

"""Blocks that flow from page to page and from column to column, each page under the same heading."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from svg2chart.pages.frame import (
    BOTTOM_MM,
    FOOT_INK,
    GUTTER_MM,
    LEFT_MM,
    RIGHT_MM,
    TOP_MM,
    Block,
    column_mm,
    foot,
    paragraph,
    tagged,
)
from svg2chart.pages.plan import BOX_HEIGHT_MM
from svg2chart.pages.sheet import Align, Face, Mark, Page, Role, Tagged, Text
from svg2chart.pages.style import Style

ALIKE_MM = (0.12 * BOX_HEIGHT_MM, 0.88 * BOX_HEIGHT_MM)
"""Where lines stand that are alike but for their numbers: nearer to the head or the foot of a page they
are taken for running heads. Source: the rule PAG-001 of outloud, a checker of PDF accessibility."""
_STEP_MM = 0.5  # in which even columns are looked for


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """Blocks in order; `repeated` stand before the first of them and again at the top of each new page.

    `columns` is in how many columns they are set.
    """

    blocks: tuple[Block, ...]
    repeated: tuple[Block, ...] = ()
    columns: int = 1


def _named(label: str, style: Style) -> Mark:
    """Return the label of a page of words, at its top right."""
    size = style.small
    y = TOP_MM + style.heading
    return tagged(Role.RUNNING, Text(x=RIGHT_MM, y=y, text=label, size=size, align=Align.RIGHT, ink=FOOT_INK))


def flow(
    sections: Sequence[Section],
    *,
    chapter: str,
    prefix: str,
    footer: str,
    style: Style,
    between: tuple[float, float] = (TOP_MM, BOTTOM_MM),
) -> tuple[Page, ...]:
    """Return pages that hold the sections in order, each page under the same heading.

    Args:
        sections: what is to be set; no block is higher than a page.
        chapter: the heading.
        prefix: what page labels start with; a number follows where there are several pages.
        footer: the words at the foot of each page.
        style: sizes of the type.
        between: from where to where on a page sections stand, in mm; the heading may reach lower.
    """
    top = paragraph(chapter, style, size=style.heading, face=Face.BOLD, after=2.5, role=Role.CHAPTER)
    flowing = _Flowing(top, between)
    for section in sections:
        flowing.add(section)
    pages = flowing.pages
    labels = [f"{prefix} {i + 1}" if len(pages) > 1 else prefix for i in range(len(pages))]
    return tuple(
        Page(
            label=label,
            chapter=chapter,
            marks=(*marks, _named(label, style)),
            foot=foot(footer, style=style),
            end_mm=flowing.end_mm if len(pages) == 1 else None,
        )
        for label, marks in zip(labels, pages, strict=True)
    )


class _Flowing:
    """Pages while sections are added to them; `y` is where the next block goes, `top` where columns begin."""

    def __init__(self, heading: list[Block], between: tuple[float, float]) -> None:
        self._heading = heading
        self._first_mm, self._foot_mm = between
        self.pages: list[list[Mark]] = []
        self._column = 0
        self._y = self._top = self._lowest = self._page_top = TOP_MM
        self._new_page(Section(blocks=()), is_first=True)

    @property
    def end_mm(self) -> float:
        """Where the last block ends."""
        return max(self._lowest, self._y)

    def add(self, section: Section) -> None:
        if section.columns > 1 and section.blocks and section.blocks[0].is_air:
            # the same above all columns, which leave their own out
            self._y += section.blocks[0].height
        self._begin_columns(section)
        foot = self._foot(section, section.blocks)
        for place, block in enumerate(section.blocks):
            if block.is_air and self._is_top(section):
                continue
            if self._y + block.height + block.keep > foot and self._y > self._page_top:
                pages = len(self.pages)
                self._next_column(section)
                if len(self.pages) > pages:
                    foot = self._foot(section, section.blocks[place:])
            if not (block.is_air and self._is_top(section)):
                self._put(block, section)
        self._y = max(self._lowest, self._y)

    def _is_top(self, section: Section) -> bool:
        """Whether the next block is the first of a column, which begins where others do."""
        return self._y == self._top and (section.columns > 1 or self._top == self._page_top)

    def _foot(self, section: Section, blocks: Sequence[Block]) -> float:
        """Return how far down columns go: evenly far if the blocks fit on this page, else to its end."""
        foot = self._foot_mm
        if section.columns > 1 and _columns(blocks, self._top, foot, section.columns) <= section.columns:
            lowest = self._top + sum(block.height for block in blocks) / section.columns
            while lowest < foot and _columns(blocks, self._top, lowest, section.columns) > section.columns:
                lowest += _STEP_MM
            foot = min(lowest, foot)
        return foot

    def _begin_columns(self, section: Section) -> None:
        for block in section.repeated:
            self._put(block, Section(blocks=()))
        self._column, self._top, self._lowest = 0, self._y, self._y

    def _next_column(self, section: Section) -> None:
        # where a column is empty, what does not fit it fits none beside it
        if self._column + 1 < section.columns and self._y > self._top:
            self._column += 1
            self._y = self._top
            return
        self._new_page(section, is_first=False)

    def _put(self, block: Block, section: Section) -> None:
        left = LEFT_MM + self._column * (column_mm(section.columns) + GUTTER_MM)
        self.pages[-1] += block.draw(left, self._y)
        self._y += block.height
        self._lowest = max(self._lowest, self._y)

    def _new_page(self, section: Section, *, is_first: bool) -> None:
        """Begin a page with the heading, and what is repeated: both are read aloud once."""
        self.pages.append([])
        self._column, self._y = 0, TOP_MM
        for block in (*self._heading, *section.repeated):
            self._put(block if is_first else replace(block, draw=_untagged(block.draw)), Section(blocks=()))
        self._y = max(self._y, self._first_mm)
        self._top = self._lowest = self._page_top = self._y


def _columns(blocks: Sequence[Block], top: float, foot: float, most: int) -> int:
    """Return how many columns these blocks fill from `top` to `foot`; counts to one more than `most`."""
    y, columns = top, 1
    for block in blocks:
        if block.is_air and y == top:
            continue
        if y + block.height + block.keep > foot:
            columns = columns + 1 if y > top else most + 1
            y = top
        if columns > most:
            break
        if not (block.is_air and y == top):
            y += block.height
    return columns


def _untagged(
    draw: Callable[[float, float], tuple[Mark, ...]],
) -> Callable[[float, float], tuple[Mark, ...]]:
    """Return a drawing of the same marks as decoration: what is repeated is read aloud once."""

    def plain(marks: Sequence[Mark]) -> tuple[Mark, ...]:
        return tuple(
            inner for mark in marks for inner in (plain(mark.marks) if isinstance(mark, Tagged) else (mark,))
        )

    return lambda x, y: plain(draw(x, y))

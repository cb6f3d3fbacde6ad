"""What pages of text have in common: heading, foot, paragraphs that flow from page to page."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace

from svg2chart.pages.letters import fitted, wrapped
from svg2chart.pages.plan import BOX_HEIGHT_MM, BOX_WIDTH_MM, MARGIN_MM
from svg2chart.pages.sheet import Align, Element, Face, Mark, Page, Role, Tagged, Text
from svg2chart.pages.style import Style

BY = " \N{MULTIPLICATION SIGN} "  # between a width and a height

LEFT_MM = MARGIN_MM
RIGHT_MM = BOX_WIDTH_MM - MARGIN_MM
WIDE_MM = RIGHT_MM - LEFT_MM
TOP_MM = MARGIN_MM
BOTTOM_MM = BOX_HEIGHT_MM - MARGIN_MM - 6  # above the foot
GUTTER_MM = 6.0  # between columns
FOOT_INK = "#505050"


def titled(title: str) -> str:
    """Return a chart's title, or words for a chart without one."""
    return title.strip() or "Untitled chart"


def tagged(role: Role, *marks: Mark, words: str = "") -> Tagged:
    """Return marks as an element of their own; `words` tell it to who cannot see it."""
    return Tagged(Element(role, words), marks)


def foot(words: str, *, style: Style) -> tuple[Mark, ...]:
    """Return the line at the foot of a page: the chart's title and what else the designer says of it."""
    size = style.small
    text = fitted(words, size, width=WIDE_MM)
    line = Text(x=LEFT_MM, y=BOX_HEIGHT_MM - MARGIN_MM, text=text, size=size, ink=FOOT_INK)
    return (tagged(Role.RUNNING, line),)


def _named(label: str, style: Style) -> Mark:
    """Return the label of a page of words, at its top right."""
    size = style.small
    y = TOP_MM + style.heading
    return tagged(Role.RUNNING, Text(x=RIGHT_MM, y=y, text=label, size=size, align=Align.RIGHT, ink=FOOT_INK))


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """A piece of a page that is not broken: its marks start at y = 0 and take up `height` mm.

    `draw` gets the left edge and the top, in mm. `keep` is how many mm must follow on the same page, so
    that no heading stands alone at its foot.
    """

    height: float
    draw: Callable[[float, float], tuple[Mark, ...]] = field(repr=False)
    keep: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """Blocks in order; `repeated` stand before the first of them and again at the top of each new page.

    `columns` is in how many columns they are set.
    """

    blocks: tuple[Block, ...]
    repeated: tuple[Block, ...] = ()
    columns: int = 1


def column_mm(columns: int) -> float:
    """Return the width of a column."""
    return (WIDE_MM - (columns - 1) * GUTTER_MM) / columns


def paragraph(
    text: str,
    style: Style,
    *,
    size: float | None = None,
    face: Face = Face.BODY,
    indent: float = 0.0,
    after: float = 1.6,
    role: Role = Role.PARAGRAPH,
    columns: int = 1,
) -> list[Block]:
    """Return a paragraph as one block a line, with `after` mm of air below the last.

    It is as wide as one of so many columns. `size` is that of the style's text if it is not given.
    """
    em = style.text if size is None else size
    lines = wrapped(text, em, width=column_mm(columns) - indent, face=face)
    element = Element(role)

    def line_block(line: str, height: float) -> Block:
        def draw(x: float, y: float) -> tuple[Mark, ...]:
            mark = Text(x=x + indent, y=y + em, text=line, size=em, face=face)
            return (Tagged(element, (mark,)),)

        return Block(height=height, draw=draw)

    heights = [em * style.leading] * (len(lines) - 1) + [em * style.leading + after]
    return [line_block(line, height) for line, height in zip(lines, heights, strict=True)]


def heading(
    text: str, style: Style, *, keep: float = 15.0, columns: int = 1, size: float | None = None
) -> list[Block]:
    """Return a heading within a page, kept with the `keep` mm that follow; `size` as in `paragraph`."""
    em = style.subheading if size is None else size
    words = paragraph(text, style, size=em, face=Face.BOLD, role=Role.HEADING, columns=columns)
    return [replace(block, keep=keep) for block in (space(2.5), *words)]


def space(height: float) -> Block:
    """Return empty height."""
    return Block(height=height, draw=lambda _x, _y: ())


def flow(
    sections: Sequence[Section], *, chapter: str, prefix: str, footer: str, style: Style
) -> tuple[Page, ...]:
    """Return pages that hold the sections in order, each page under the same heading.

    Args:
        sections: what is to be set; no block is higher than a page.
        chapter: the heading.
        prefix: what page labels start with; a number follows where there are several pages.
        footer: the words at the foot of each page.
        style: sizes of the type.
    """
    top = paragraph(chapter, style, size=style.heading, face=Face.BOLD, after=2.5, role=Role.CHAPTER)
    flowing = _Flowing(top)
    for section in sections:
        flowing.add(section)
    pages = flowing.pages
    labels = [f"{prefix} {i + 1}" if len(pages) > 1 else prefix for i in range(len(pages))]
    return tuple(
        Page(label=label, chapter=chapter, marks=(*marks, _named(label, style), *foot(footer, style=style)))
        for label, marks in zip(labels, pages, strict=True)
    )


class _Flowing:
    """Pages while sections are added to them; `y` is where the next block goes, `top` where columns begin."""

    def __init__(self, heading: list[Block]) -> None:
        self._heading = heading
        self.pages: list[list[Mark]] = []
        self._column = 0
        self._y = self._top = self._lowest = TOP_MM
        self._new_page(is_first=True)

    def add(self, section: Section) -> None:
        self._start(section)
        for block in section.blocks:
            if self._y + block.height + block.keep > BOTTOM_MM:
                self._next_column(section)
            self._put(block, section)
        self._y = max(self._lowest, self._y)

    def _start(self, section: Section) -> None:
        for block in section.repeated:
            self._put(block, Section(blocks=()))
        self._column, self._top, self._lowest = 0, self._y, self._y

    def _next_column(self, section: Section) -> None:
        if self._column + 1 < section.columns:
            self._column += 1
            self._y = self._top
            return
        self._new_page(is_first=False)
        for block in section.repeated:
            self._put(replace(block, draw=_untagged(block.draw)), Section(blocks=()))
        self._column, self._top, self._lowest = 0, self._y, self._y

    def _put(self, block: Block, section: Section) -> None:
        left = LEFT_MM + self._column * (column_mm(section.columns) + GUTTER_MM)
        self.pages[-1] += block.draw(left, self._y)
        self._y += block.height
        self._lowest = max(self._lowest, self._y)

    def _new_page(self, *, is_first: bool) -> None:
        self.pages.append([])
        self._column, self._y = 0, TOP_MM
        for block in self._heading:
            self._put(block if is_first else replace(block, draw=_untagged(block.draw)), Section(blocks=()))


def _untagged(
    draw: Callable[[float, float], tuple[Mark, ...]],
) -> Callable[[float, float], tuple[Mark, ...]]:
    """Return a drawing of the same marks as decoration: what is repeated is read aloud once."""

    def plain(marks: Sequence[Mark]) -> tuple[Mark, ...]:
        return tuple(
            inner for mark in marks for inner in (plain(mark.marks) if isinstance(mark, Tagged) else (mark,))
        )

    return lambda x, y: plain(draw(x, y))

"""What pages of text are put together from: paragraphs, headings, the line at the foot."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace

from svg2chart.pages.addresses import with_links
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
_NUMBER_EM = 3.0  # room for a page's number beside the foot
AIR_MM = 2.5  # above a heading
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
    text = fitted(words, size, width=WIDE_MM - _NUMBER_EM * size)
    line = Text(x=LEFT_MM, y=BOX_HEIGHT_MM - MARGIN_MM, text=text, size=size, ink=FOOT_INK)
    return (tagged(Role.RUNNING, line),)


def numbered(page: Page, number: int, *, style: Style) -> Page:
    """Return a page with its number in the file at the right of its foot: the cover names chapters by it."""
    line = Text(
        x=RIGHT_MM,
        y=BOX_HEIGHT_MM - MARGIN_MM,
        text=str(number),
        size=style.small,
        align=Align.RIGHT,
        ink=FOOT_INK,
    )
    return replace(page, foot=(*page.foot, tagged(Role.RUNNING, line)))


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """A piece of a page that is not broken: its marks start at y = 0 and take up `height` mm.

    `draw` gets the left edge and the top, in mm. `keep` is how many mm must follow in the same column, so
    that no heading stands alone at its foot. Air is left out at the top of a column.
    """

    height: float
    draw: Callable[[float, float], tuple[Mark, ...]] = field(repr=False)
    keep: float = 0.0
    is_air: bool = False


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
            text = Text(x=x + indent, y=y + em, text=line, size=em, face=face)
            return (Tagged(element, with_links(text)),)

        return Block(height=height, draw=draw)

    heights = [em * style.leading] * (len(lines) - 1) + [em * style.leading + after]
    blocks = [line_block(line, height) for line, height in zip(lines, heights, strict=True)]
    if len(blocks) > 1:  # neither the first line nor the last stands alone
        for place in (0, -2):
            blocks[place] = replace(blocks[place], keep=heights[place + 1])
    return blocks


def heading(
    text: str, style: Style, *, keep: float = 15.0, columns: int = 1, size: float | None = None
) -> list[Block]:
    """Return a heading within a page, kept with the `keep` mm that follow; `size` as in `paragraph`."""
    em = style.subheading if size is None else size
    words = paragraph(text, style, size=em, face=Face.BOLD, role=Role.HEADING, columns=columns)
    return kept_together([space(AIR_MM), *words], keep)


def kept_together(blocks: Sequence[Block], keep: float = 0.0) -> list[Block]:
    """Return blocks of which none is parted from the next, nor the last from the `keep` mm that follow."""
    kept: list[Block] = []
    for block in reversed(blocks):
        kept.insert(0, replace(block, keep=keep))
        keep += block.height
    return kept


def space(height: float) -> Block:
    """Return empty height."""
    return Block(height=height, draw=lambda _x, _y: (), is_air=True)

"""What pages of text have in common: heading, foot, paragraphs that flow from page to page."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace

from svg2chart.pages.letters import fitted, wrapped
from svg2chart.pages.plan import BOX_HEIGHT_MM, BOX_WIDTH_MM, MARGIN_MM
from svg2chart.pages.sheet import Align, Face, Mark, Page, Text

BY = " \N{MULTIPLICATION SIGN} "  # between a width and a height

LEFT_MM = MARGIN_MM
RIGHT_MM = BOX_WIDTH_MM - MARGIN_MM
WIDE_MM = RIGHT_MM - LEFT_MM
TOP_MM = MARGIN_MM
BOTTOM_MM = BOX_HEIGHT_MM - MARGIN_MM - 6  # above the foot

HEADING_MM = 6.4
TEXT_MM = 3.6  # 10 point
SMALL_MM = 3.1
LEADING = 1.35  # line spacing in ems


def titled(title: str) -> str:
    """Return a chart's title, or words for a chart without one."""
    return title.strip() or "Untitled chart"


def foot(title: str, label: str) -> tuple[Mark, ...]:
    """Return the line at the foot of a page: the chart's title and the page's label."""
    y = BOX_HEIGHT_MM - MARGIN_MM
    ink = "#505050"
    return (
        Text(
            x=LEFT_MM, y=y, text=fitted(titled(title), SMALL_MM, width=WIDE_MM - 30), size=SMALL_MM, ink=ink
        ),
        Text(x=RIGHT_MM, y=y, text=label, size=SMALL_MM, align=Align.RIGHT, ink=ink),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """A piece of a page that is not broken: its marks start at y = 0 and take up `height` mm.

    `keep` is how many mm must follow on the same page, so that no heading stands alone at its foot.
    """

    height: float
    draw: Callable[[float], tuple[Mark, ...]] = field(repr=False)
    keep: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """Blocks in order; `repeated` stand before the first of them and again at the top of each new page."""

    blocks: tuple[Block, ...]
    repeated: tuple[Block, ...] = ()


def paragraph(
    text: str, *, size: float = TEXT_MM, face: Face = Face.BODY, indent: float = 0.0, after: float = 1.6
) -> list[Block]:
    """Return a paragraph as one block a line, with `after` mm of air below the last."""
    lines = wrapped(text, size, width=WIDE_MM - indent, face=face)

    def line_block(line: str, height: float) -> Block:
        return Block(
            height=height,
            draw=lambda y: (Text(x=LEFT_MM + indent, y=y + size, text=line, size=size, face=face),),
        )

    heights = [size * LEADING] * (len(lines) - 1) + [size * LEADING + after]
    return [line_block(line, height) for line, height in zip(lines, heights, strict=True)]


def heading(text: str, *, keep: float = 15.0) -> list[Block]:
    """Return a heading within a page, kept with the `keep` mm that follow."""
    return [replace(block, keep=keep) for block in (space(2.5), *paragraph(text, size=4.4, face=Face.BOLD))]


def space(height: float) -> Block:
    """Return empty height."""
    return Block(height=height, draw=lambda _: ())


def flow(sections: Sequence[Section], *, chapter: str, prefix: str, title: str) -> tuple[Page, ...]:
    """Return pages that hold the sections in order, each page under the same heading.

    Args:
        sections: what is to be set; no block is higher than a page.
        chapter: the heading.
        prefix: what page labels start with; a number follows where there are several pages.
        title: the chart's title, for the foot.
    """
    top = paragraph(chapter, size=HEADING_MM, face=Face.BOLD, after=2.5)
    pages: list[list[Block]] = [[*top]]
    for section in sections:
        pages[-1] += section.repeated
        for block in section.blocks:
            if _height(pages[-1]) + block.height + block.keep > BOTTOM_MM - TOP_MM:
                pages.append([*top, *section.repeated])
            pages[-1].append(block)
    labels = [f"{prefix} {i + 1}" if len(pages) > 1 else prefix for i in range(len(pages))]
    return tuple(
        Page(label=label, chapter=chapter, marks=(*_stacked(blocks), *foot(title, label)))
        for label, blocks in zip(labels, pages, strict=True)
    )


def _height(blocks: Sequence[Block]) -> float:
    return sum(block.height for block in blocks)


def _stacked(blocks: Sequence[Block]) -> list[Mark]:
    marks: list[Mark] = []
    y = TOP_MM
    for block in blocks:
        marks += block.draw(y)
        y += block.height
    return marks

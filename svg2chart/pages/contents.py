"""What is in the file, on its cover: each chapter with its pages, so that one prints those one wants."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby
from operator import itemgetter

from svg2chart.pages.frame import Block, column_mm, tagged
from svg2chart.pages.letters import text_width
from svg2chart.pages.sheet import Element, Face, Link, Mark, Page, Role, Text
from svg2chart.pages.style import Style

_COLUMNS = 2


@dataclass(frozen=True, slots=True)
class Chapter:
    """A chapter: its name, the label of its first page; its first and last page, counted in the file."""

    name: str
    label: str
    first: int
    last: int


def list_chapters(pages: Sequence[Page], *, first: int) -> tuple[Chapter, ...]:
    """Return the chapters of pages that follow each other, the first of them being so many in the file."""
    named = [(*one, number) for number, page in enumerate(pages, start=first) for one in page.named]
    found = []
    for name, group in groupby(named, key=itemgetter(1)):
        own = list(group)
        found.append(Chapter(name, own[0][0], own[0][2], own[-1][2]))
    return tuple(found)


def contents_block(chapters: Sequence[Chapter], style: Style) -> Block:
    """Return the list, in columns below a heading."""
    size, leading = style.small, style.small * style.leading
    rows = -(-len(chapters) // _COLUMNS)

    def draw(x: float, y: float) -> tuple[Mark, ...]:
        top = y + style.text * 1.5
        head = Text(x=x, y=y + style.text, text="In this file", size=style.text, face=Face.BOLD)
        marks: list[Mark] = [tagged(Role.PARAGRAPH, head)]
        for place, chapter in enumerate(chapters):
            column, row = divmod(place, rows)
            left, base = x + column * column_mm(_COLUMNS), top + row * leading + size
            marks.append(tagged(Role.PARAGRAPH, _entry(chapter, left, base, size)))
        return tuple(marks)

    return Block(height=style.text * 1.5 + rows * leading, draw=draw)


def _entry(chapter: Chapter, x: float, y: float, size: float) -> Link:
    pages = f"page {chapter.first}"
    if chapter.last > chapter.first:
        pages = f"pages {chapter.first} to {chapter.last}"
    words = f"{chapter.name}: {pages}"
    return Link(
        x=x,
        y=y - size,
        width=text_width(words, size),
        height=size * 1.3,
        target=chapter.label,
        element=Element(Role.LINK, words),
        marks=(Text(x=x, y=y, text=words, size=size),),
    )

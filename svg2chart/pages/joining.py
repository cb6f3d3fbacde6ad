"""Short chapters that follow each other, put on one page where they have room.

What is needed, the key and the page map of a small chart fill a third of a page each, and less.
"""

from collections.abc import Iterable
from dataclasses import replace

from svg2chart.pages.frame import BOTTOM_MM, TOP_MM
from svg2chart.pages.sheet import (
    Box,
    Dot,
    Layered,
    Lines,
    Link,
    Mark,
    Page,
    Point,
    Region,
    Symbols,
    Tagged,
    Text,
    Trail,
)

_BETWEEN_MM = 9.0
"""White between chapters: more than above any heading within one."""


def joined(pages: Iterable[Page]) -> list[Page]:
    """Return pages in their order, chapters of a page that have room below the one before moved there."""
    done: list[Page] = []
    for page in pages:
        down = _room(done[-1], page) if done else None
        if down is None:
            done.append(page)
        else:
            done[-1] = _with_below(done[-1], page, down)
    return done


def _room(upper: Page, page: Page) -> float | None:
    """Return how far down a page moves to stand below another, None where it has no room there."""
    if upper.end_mm is None or page.end_mm is None:
        return None
    down = upper.end_mm + _BETWEEN_MM - TOP_MM
    return down if page.end_mm + down <= BOTTOM_MM else None


def _with_below(upper: Page, page: Page, down: float) -> Page:
    moved = tuple(lowered(mark, down) for mark in page.marks)
    end = None if page.end_mm is None else page.end_mm + down
    return replace(upper, marks=(*upper.marks, *moved), end_mm=end, below=(*upper.below, *page.named))


def lowered(mark: Mark, down: float) -> Mark:
    """Return a mark so many mm farther down; what it belongs to stays the same."""

    def point(at: Point) -> Point:
        return at[0], at[1] + down

    match mark:
        case Text() | Box() | Dot():
            return replace(mark, y=mark.y + down)
        case Symbols():
            return replace(mark, texts=tuple((text, point(at)) for text, at in mark.texts))
        case Region():
            return replace(mark, polygons=tuple(tuple(map(point, one)) for one in mark.polygons))
        case Lines():
            return replace(mark, segments=tuple((point(a), point(b)) for a, b in mark.segments))
        case Trail():
            return replace(mark, points=tuple(map(point, mark.points)))
        case Link():
            inner = tuple(lowered(one, down) for one in mark.marks)
            return replace(mark, y=mark.y + down, marks=inner)
        case Tagged() | Layered():
            return replace(mark, marks=tuple(lowered(one, down) for one in mark.marks))

"""Tables on pages of words: rows of cells at given places, their head again on each page."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from svg2chart.pages.frame import LEFT_MM, RIGHT_MM, Block
from svg2chart.pages.letters import fitted
from svg2chart.pages.sheet import Align, Element, Face, Lines, Mark, Role, Tagged, Text

RULE_INK = "#a0a0a0"


def _nothing(_y: float) -> Sequence[Mark]:
    return ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """A column: its head, where its texts begin or end, and how wide they may be, in mm."""

    head: str
    x: float
    wide: float
    align: Align = Align.LEFT


@dataclass(frozen=True, slots=True)
class Table:
    """Columns, and the element that all rows belong to."""

    columns: tuple[Column, ...]
    element: Element
    size: float

    def head(self) -> Block:
        """Return the row of heads, with a line below."""
        return self._row([column.head for column in self.columns], Role.COLUMN_HEAD, self.size * 2, 0.3)

    def row(
        self,
        cells: Sequence[str],
        height: float,
        *,
        under: Callable[[float], Sequence[Mark]] = _nothing,
        is_bold: bool = False,
    ) -> Block:
        """Return a row with a thin line below; `under` draws, below a y, what is no words."""
        return self._row(cells, Role.CELL, height, 0.1, under=under, is_bold=is_bold)

    def _row(
        self,
        cells: Sequence[str],
        role: Role,
        height: float,
        rule: float,
        *,
        under: Callable[[float], Sequence[Mark]] = _nothing,
        is_bold: bool = False,
    ) -> Block:
        row = Element(Role.ROW)
        face = Face.BOLD if role is Role.COLUMN_HEAD or is_bold else Face.BODY

        def draw(_x: float, y: float) -> tuple[Mark, ...]:
            base = y + (height - 0.5) / 2 + 0.35 * self.size
            texts = tuple(
                Tagged(Element(role), (self._cell(column, cell, base, face),))
                for column, cell in zip(self.columns, cells, strict=True)
            )
            edge = ((LEFT_MM, y + height - 0.5), (RIGHT_MM, y + height - 0.5))
            ink = RULE_INK if role is Role.CELL else "#000000"
            return (
                *under(y),
                Lines(segments=(edge,), width=rule, ink=ink),
                Tagged(self.element, (Tagged(row, texts),)),
            )

        return Block(height=height, draw=draw)

    def _cell(self, column: Column, cell: str, base: float, face: Face) -> Text:
        words = fitted(cell, self.size, width=column.wide, face=face)
        return Text(x=column.x, y=base, text=words, size=self.size, face=face, align=column.align)

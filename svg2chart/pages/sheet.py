"""What a page is made of: plain marks at positions in millimetres, x to the right and y down.

Positions count from the top left of the box that A4 and Letter have in common.
Colours are "#rrggbb". Marks are painted in the order of the page. Marks that
are tagged are read aloud in that order too; others are decoration.
"""

from dataclasses import dataclass
from enum import Enum

Point = tuple[float, float]

BLACK = "#000000"
WHITE = "#ffffff"


class Face(Enum):
    """A typeface of the pages."""

    BODY = "body"
    BOLD = "bold"
    SYMBOLS = "symbols"
    STITCHES = "stitches"


class Align(Enum):
    """Which end of a text its x names."""

    LEFT = "left"
    MIDDLE = "middle"
    RIGHT = "right"


@dataclass(frozen=True, slots=True, kw_only=True)
class Text:
    """One line of text; `x`, `y` is on the baseline, `size` is the em, both in mm."""

    x: float
    y: float
    text: str
    size: float
    face: Face = Face.BODY
    align: Align = Align.LEFT
    ink: str = BLACK


@dataclass(frozen=True, slots=True, kw_only=True)
class Symbols:
    """Texts of one size, face and ink, each with the start of its baseline: rows of symbols."""

    texts: tuple[tuple[str, Point], ...]
    size: float
    face: Face = Face.SYMBOLS
    ink: str = BLACK


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """A rectangle, filled, edged or both; "" for none."""

    x: float
    y: float
    width: float
    height: float
    fill: str = ""
    edge: str = ""
    edge_width: float = 0.2


@dataclass(frozen=True, slots=True, kw_only=True)
class Region:
    """Areas that only touch each other, filled together so that no seam shows between them."""

    fill: str
    polygons: tuple[tuple[Point, ...], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Lines:
    """Straight lines of one width and ink, each a start and an end."""

    segments: tuple[tuple[Point, Point], ...]
    width: float
    ink: str = BLACK


@dataclass(frozen=True, slots=True, kw_only=True)
class Trail:
    """A bent line; `dashes` are lengths of ink and gap in turn, none for an unbroken line."""

    points: tuple[Point, ...]
    width: float
    ink: str = BLACK
    dashes: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Dot:
    """A disc, filled and edged."""

    x: float
    y: float
    radius: float
    fill: str
    edge: str
    edge_width: float = 0.2


class Role(Enum):
    """What an element of the document is. Source: ISO 32000-1, 14.8.4, standard structure types."""

    TITLE = "H1"
    CHAPTER = "H2"
    HEADING = "H3"
    PARAGRAPH = "P"
    FIGURE = "Figure"
    TABLE = "Table"
    ROW = "TR"
    COLUMN_HEAD = "TH"
    CELL = "TD"
    LINK = "Link"
    RUNNING = "Artifact"  # a running head or foot: said by the page itself, not read aloud


@dataclass(frozen=True, slots=True, eq=False)
class Element:
    """An element of the document as it is read aloud; `words` tell a figure or link to who cannot see it.

    Two elements are never the same, but one may go on in several places, and on several pages.
    """

    role: Role
    words: str = ""


@dataclass(frozen=True, slots=True)
class Tagged:
    """Marks that belong to an element; elements inside are its parts."""

    element: Element
    marks: "tuple[Mark, ...]"


class Layer(Enum):
    """What a reader of the file can show or hide by itself; the value is its name there."""

    TINTS = "Tints"
    GRID = "Grid"
    SYMBOLS = "Symbols"
    LINES = "Backstitch and knots"


@dataclass(frozen=True, slots=True, eq=False)
class Layered:
    """Marks of a layer, none of them tagged or a link.

    Two of them are never the same, but one may stand on several pages, and is then drawn once.
    """

    layer: Layer
    marks: "tuple[Mark, ...]"


@dataclass(frozen=True, slots=True)
class Address:
    """A place outside the document, by its URI."""

    uri: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Link:
    """An area that leads to another page, named by its label, or out, with what is to be seen there.

    `element` is a `Role.LINK`; its words tell where it leads.
    """

    x: float
    y: float
    width: float
    height: float
    target: str | Address
    element: Element
    marks: "tuple[Mark, ...]"


Mark = Text | Symbols | Box | Region | Lines | Trail | Dot | Link | Tagged | Layered


@dataclass(frozen=True, slots=True, kw_only=True)
class Page:
    """One page. `label` is printed on it and names it to links; `chapter` is the bookmark it falls under.

    foot: the marks of its foot. end_mm: where its words end, None where no other chapter may follow them.
    below: the labels and the names of further chapters that stand whole on it.
    """

    label: str
    chapter: str
    marks: tuple[Mark, ...]
    foot: tuple[Mark, ...] = ()
    end_mm: float | None = None
    below: tuple[tuple[str, str], ...] = ()

    @property
    def named(self) -> tuple[tuple[str, str], ...]:
        """The label and the name of each of its chapters, in order."""
        return ((self.label, self.chapter), *self.below)

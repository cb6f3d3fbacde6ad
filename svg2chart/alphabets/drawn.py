"""Letters of an alphabet as frozen values: what is stitched, and where above the base line."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import Enum

from svg2chart.chart import Corner

Hole = tuple[int, int]
"""x, y of a hole in squares; y is 0 on the base line and grows downwards."""


class Stitches(Enum):
    """What the letters of an alphabet are made of, in the words of its file."""

    BACKSTITCH = "backstitch"
    STITCHED = "stitched"


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawn:
    """A letter or an accent, its first column 0 if it is by itself.

    squares: row, column, and the corner that a three-quarter stitch fills, None for a full one; row -1
    stands on the base line. lines: the ends of each backstitch. knots: the holes of French knots.
    """

    squares: tuple[tuple[int, int, Corner | None], ...] = ()
    lines: tuple[tuple[Hole, Hole], ...] = ()
    knots: tuple[Hole, ...] = ()

    def _xs(self) -> list[int]:
        return [
            *(column + step for _, column, _ in self.squares for step in (0, 1)),
            *(x for line in self.lines for x, _ in line),
            *(x for x, _ in self.knots),
        ]

    def _ys(self) -> list[int]:
        return [
            *(row + step for row, _, _ in self.squares for step in (0, 1)),
            *(y for line in self.lines for _, y in line),
            *(y for _, y in self.knots),
        ]

    @property
    def left(self) -> int:
        """The x of its left side."""
        return min(self._xs(), default=0)

    @property
    def right(self) -> int:
        """The x of its right side."""
        return max(self._xs(), default=0)

    @property
    def top(self) -> int:
        """The y of its top."""
        return min(self._ys(), default=0)

    @property
    def bottom(self) -> int:
        """The y of its bottom."""
        return max(self._ys(), default=0)

    @property
    def shoulder(self) -> Hole:
        """Where its right side begins, as `shoulder_of` has it."""
        sides = [
            (row, column)
            for row, column, corner in self.squares
            if corner not in (Corner.TOP_LEFT, Corner.BOTTOM_LEFT)
        ]
        holes = [hole for line in self.lines for hole in line]
        return shoulder_of(sides, holes, top=self.top, bottom=self.bottom, right=self.right)

    def moved(self, right: int, down: int) -> "Drawn":
        """Return it so many squares farther right and down."""
        return Drawn(
            squares=tuple((row + down, column + right, corner) for row, column, corner in self.squares),
            lines=tuple(
                ((x0 + right, y0 + down), (x1 + right, y1 + down)) for (x0, y0), (x1, y1) in self.lines
            ),
            knots=tuple((x + right, y + down) for x, y in self.knots),
        )

    def with_other(self, other: "Drawn") -> "Drawn":
        """Return it together with another one."""
        return Drawn(
            squares=(*self.squares, *other.squares),
            lines=(*self.lines, *other.lines),
            knots=(*self.knots, *other.knots),
        )


def shoulder_of(
    sides: Iterable[tuple[int, int]], holes: Iterable[Hole], *, top: int, bottom: int, right: int
) -> Hole:
    """Return where the right side of a letter begins: the highest place of its upper half farthest right.

    Args:
        sides: the row and column of each square that is stitched on its right; of these it is the foot.
        holes: where its lines end.
        top: of the letter, as bottom and right.
        bottom: the row after its last one.
        right: the column after its last one.
    """
    middle = (top + bottom) / 2
    places = [(column + 1, row + 1) for row, column in sides if row + 0.5 <= middle]
    places += [(x, y) for x, y in holes if y <= middle]
    return min(places, key=lambda at: (-at[0], at[1]), default=(right, top))


class Seat(Enum):
    """Where an accent goes, in the words of the file.

    On the top, on the base line, at the right of that, or where the right side begins.
    """

    ABOVE = "above"
    BELOW = "below"
    RIGHT = "right"
    BESIDE = "beside"


@dataclass(frozen=True, slots=True, kw_only=True)
class Accent:
    """An accent: where it goes, and its pictures, of which one is taken that can be centred."""

    seat: Seat
    pictures: tuple[Drawn, ...]


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Alphabet:
    """An alphabet, its heights and gaps in squares.

    capital, small: heights of capitals and of an x. apart: bare squares between letters; nearer: by how many
    they come nearer where what faces each other is farther apart. space: between words.
    letters: by their character. accents: by the combining character.
    """

    name: str
    stitches: Stitches
    capital: int
    small: int
    apart: int
    nearer: int
    space: int
    letters: Mapping[str, Drawn]
    accents: Mapping[str, Accent]

"""The chart as plain values: stitches, backstitch, knots, threads, fabric."""

import re
from collections.abc import Iterable
from dataclasses import dataclass, field
from enum import Enum

import numpy as np
from numpy.typing import NDArray

from svg2chart.remarks import Remark
from svg2chart.runs import distinct

MOST_STRANDS = 12  # common practice, no source: two lengths of six-stranded thread together


class Corner(Enum):
    """A corner of a square, clockwise from the top left.

    A quarter or a three-quarter stitch is named after the corner in which its quarter lies.
    """

    TOP_LEFT = "top-left"
    TOP_RIGHT = "top-right"
    BOTTOM_RIGHT = "bottom-right"
    BOTTOM_LEFT = "bottom-left"

    @property
    def opposite(self) -> "Corner":
        """The corner across the square's centre."""
        corners = list(Corner)
        return corners[(corners.index(self) + 2) % 4]

    @property
    def place(self) -> tuple[int, int]:
        """Where it lies in a square whose side is 1: how far right and how far down.

        >>> Corner.BOTTOM_LEFT.place
        (0, 1)
        """
        return int(self.value.endswith("right")), int(self.value.startswith("bottom"))


class StitchKind(Enum):
    """How much of a cross is worked."""

    FULL = "full"
    THREE_QUARTER = "three-quarter"
    QUARTER = "quarter"


@dataclass(frozen=True, slots=True, kw_only=True)
class Stitch:
    """One stitch of a square. `thread` is an index into the chart's threads; a full stitch has no corner."""

    kind: StitchKind
    thread: int
    corner: Corner | None = None

    def __post_init__(self) -> None:
        if (self.kind is StitchKind.FULL) != (self.corner is None):
            raise ValueError("a fraction has a corner, a full stitch has none")


Arrangement = tuple[Stitch, ...]
"""What one square holds, the upper stitch first: nothing, a full stitch, a three-quarter stitch with or
without a quarter in the opposite corner, or one to four quarters."""


def check_arrangement(arrangement: Arrangement) -> None:
    """Raise ValueError unless the stitches fit in one square together."""
    kinds = [stitch.kind for stitch in arrangement]
    corners = [stitch.corner for stitch in arrangement]
    quarters_only = all(kind is StitchKind.QUARTER for kind in kinds) and len(kinds) <= 4
    alone = len(kinds) == 1
    shared = (
        kinds == [StitchKind.THREE_QUARTER, StitchKind.QUARTER]
        and corners[0] is not None
        and corners[1] is corners[0].opposite
        and arrangement[0].thread != arrangement[1].thread
    )
    if not (quarters_only or alone or shared) or len(set(corners)) != len(corners):
        raise ValueError("these stitches do not fit in one square")


EVENWEAVE_COUNT = 25
"""Fabric of so many threads to the inch is woven evenly and worked by threads; coarser fabric has blocks, and
a needle can pierce their middle. Counts in trade, several how-to pages: blocks to 22, even weave from 25."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Fabric:
    """The cloth: threads or blocks to the inch, how many of them one stitch spans, its colour."""

    count: int = 14
    over: int = 1
    colour: str = "#f8f4ea"

    def __post_init__(self) -> None:
        if not 5 <= self.count <= 60:
            raise ValueError(f"a fabric has 5 to 60 threads or blocks to the inch, not {self.count}")
        if self.over not in (1, 2):
            raise ValueError(f"a stitch spans 1 or 2 threads of the fabric, not {self.over}")
        _check_colour(self.colour)

    @property
    def has_middles(self) -> bool:
        """Whether a needle can go in at the middle of a square: not over one thread, which lies there.

        Source: a needlework FAQ on over one and silk gauze, no quarter stitches are possible.
        """
        return self.over == 2 or self.count < EVENWEAVE_COUNT


@dataclass(frozen=True, slots=True, kw_only=True)
class Thread:
    """One thread of the key.

    `letter` stands for the symbol in text: the PDF's text layer, the chart in words, a search. `symbol`
    names the drawn mark. `colour` is "#rrggbb", lower case. Strands: for crosses and fractions, and for
    backstitch.
    """

    letter: str
    code: str
    name: str
    colour: str
    symbol: str
    cross_strands: int = 2
    back_strands: int = 1

    def __post_init__(self) -> None:
        if len(self.letter) != 1 or not self.letter.isprintable() or self.letter.isspace():
            raise ValueError(f"one visible character stands for a symbol, not {self.letter!r}")
        _check_colour(self.colour)
        for strands in (self.cross_strands, self.back_strands):
            if not 1 <= strands <= MOST_STRANDS:
                raise ValueError(f"a stitch has 1 to {MOST_STRANDS} strands, not {strands}")


def _check_colour(colour: str) -> None:
    if not re.fullmatch("#[0-9a-f]{6}", colour):
        raise ValueError(f'a colour is written like "#f2b705", not {colour!r}')


@dataclass(frozen=True, slots=True, kw_only=True)
class Backstitch:
    """A line on the cloth between two holes, each (column, row); halves are centres and side middles."""

    thread: int
    start: tuple[float, float]
    end: tuple[float, float]

    def __post_init__(self) -> None:
        if self.start == self.end:
            raise ValueError("a backstitch has a length")
        _check_hole(self.start)
        _check_hole(self.end)


@dataclass(frozen=True, slots=True, kw_only=True)
class Knot:
    """A French knot at a hole (column, row)."""

    thread: int
    at: tuple[float, float]

    def __post_init__(self) -> None:
        _check_hole(self.at)


def _check_hole(hole: tuple[float, float]) -> None:
    if any(position < 0 or position * 2 % 1 for position in hole):
        raise ValueError(f"{hole[0]:g}, {hole[1]:g} is no hole, centre or side middle")


@dataclass(frozen=True, slots=True, kw_only=True)
class MadeFrom:
    """What a chart was made from: the drawing's bytes, the settings (name, value) and our version."""

    sha256: str = ""
    settings: tuple[tuple[str, str | int | float | bool], ...] = ()
    version: str = ""

    def __post_init__(self) -> None:
        if len(dict(self.settings)) != len(self.settings):
            raise ValueError("a setting has one value")


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Chart:
    """A counted chart.

    squares: (rows, columns) int32, for each square its index into `arrangements`; row 0 is the top.
    arrangements: every arrangement that occurs, the first always bare (no stitch).
    """

    title: str = ""
    fabric: Fabric = field(default_factory=Fabric)
    threads: tuple[Thread, ...]
    arrangements: tuple[Arrangement, ...]
    squares: NDArray[np.int32]
    backstitch: tuple[Backstitch, ...] = ()
    knots: tuple[Knot, ...] = ()
    remarks: tuple[Remark, ...] = ()
    made_from: MadeFrom = field(default_factory=MadeFrom)

    def __post_init__(self) -> None:
        self.squares.setflags(write=False)
        if self.squares.ndim != 2 or 0 in self.squares.shape:
            raise ValueError("a chart has at least one row and one column")
        if not self.arrangements or self.arrangements[0] != ():
            raise ValueError("the first arrangement is bare")
        if self.squares.min() < 0 or self.squares.max() >= len(self.arrangements):
            raise ValueError("a square names an arrangement that is not there")
        for arrangement in self.arrangements:
            check_arrangement(arrangement)
        used = [s.thread for a in self.arrangements for s in a]
        used += [line.thread for line in self.backstitch] + [knot.thread for knot in self.knots]
        if any(not 0 <= thread < len(self.threads) for thread in used):
            raise ValueError("a stitch names a thread that is not there")
        if len({thread.letter for thread in self.threads}) != len(self.threads):
            raise ValueError("two threads have the same letter")
        holes = [hole for line in self.backstitch for hole in (line.start, line.end)]
        holes += [knot.at for knot in self.knots]
        if any(x > self.columns or y > self.rows for x, y in holes):
            raise ValueError("a backstitch or knot lies outside the chart")

    @property
    def rows(self) -> int:
        """The number of rows."""
        return int(self.squares.shape[0])

    @property
    def columns(self) -> int:
        """The number of columns."""
        return int(self.squares.shape[1])

    def arrangement_at(self, row: int, column: int) -> Arrangement:
        """Return what the square holds."""
        return self.arrangements[int(self.squares[row, column])]

    def __eq__(self, other: object) -> bool:
        """Whether every part is the same."""
        if not isinstance(other, Chart):
            return NotImplemented
        return np.array_equal(self.squares, other.squares) and _rest(self) == _rest(other)

    def __hash__(self) -> int:
        """Return a hash of every part."""
        return hash((self.squares.tobytes(), _rest(self)))


def _rest(chart: Chart) -> tuple[object, ...]:
    return (
        chart.title,
        chart.fabric,
        chart.threads,
        chart.arrangements,
        chart.backstitch,
        chart.knots,
        chart.remarks,
        chart.made_from,
    )


def occurring(chart: Chart) -> tuple[Arrangement, ...]:
    """Return the arrangements that some square holds."""
    return tuple(chart.arrangements[index] for index in distinct(chart.squares).tolist())


def is_pierced(chart: Chart) -> bool:
    """Whether some stitch goes down where the cloth has no hole: into the middle of a block."""
    return chart.fabric.over == 1 and any(s.corner is not None for a in occurring(chart) for s in a)


def stitch_counts(chart: Chart) -> dict[tuple[int, StitchKind], int]:
    """Return how often each thread is worked as each kind of stitch; kinds that do not occur are left out."""
    occurrences = np.bincount(chart.squares.ravel(), minlength=len(chart.arrangements))
    return _tally(zip(chart.arrangements, occurrences.tolist(), strict=True))


def _tally(counted: Iterable[tuple[Arrangement, int]]) -> dict[tuple[int, StitchKind], int]:
    counts: dict[tuple[int, StitchKind], int] = {}
    for arrangement, times in counted:
        for stitch in arrangement if times else ():
            key = (stitch.thread, stitch.kind)
            counts[key] = counts.get(key, 0) + times
    return dict(sorted(counts.items(), key=lambda item: (item[0][0], list(StitchKind).index(item[0][1]))))

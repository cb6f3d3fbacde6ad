"""Why a square is what it is: what is seen of each colour in it, what it holds, and what decided."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from svg2chart.arranging.measure import octants_shown
from svg2chart.artwork import Artwork, Fill, Stroke, masking_groups
from svg2chart.chart import Arrangement, Chart, StitchKind
from svg2chart.convert import Converted
from svg2chart.geometry.cut import is_inside, windings
from svg2chart.guiding.words import arrangement_words
from svg2chart.octants.areas import MIXED
from svg2chart.octants.stacks import BARE
from svg2chart.threads import Skein

LEAST_TOLD = 0.005
"""Less of a square than this is told as 0.00, and so not at all."""

BARE_CLOTH = "bare cloth"


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """A colour that is seen in a square: its thread's name and colour, how much of the square, and by whom.

    `element` and `layer` are those of the uppermost shape that shows it there, "" for bare cloth.
    """

    name: str
    colour: str
    area: float
    element: str = ""
    layer: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Explained:
    """Why a square is what it is.

    seen: the colours, the uppermost first. holds: its stitches in words. as_drawn: how much of the square
    shows its own colour, in squares. notes: what else decided.
    """

    row: int
    column: int
    seen: tuple[Seen, ...]
    holds: str
    as_drawn: float
    notes: tuple[str, ...]

    @property
    def sentence(self) -> str:
        """All colours and the stitches on one line."""
        colours = " above ".join(f"{seen.name} {seen.area:.2f}" for seen in self.seen)
        return f"{colours}: {self.holds}" if colours else self.holds


def explain_square(made: Converted, artwork: Artwork, row: int, column: int) -> Explained:
    """Return why a square of the chart is what it is, from the areas that it was decided on.

    Args:
        made: the chart and what it was decided on.
        artwork: the drawing.
        row: from 0, the top.
        column: from 0, the left.

    Raises:
        IndexError: there is no such square.
    """
    if not (0 <= row < made.chart.rows and 0 <= column < made.chart.columns):
        raise IndexError(f"there is no square in row {row}, column {column}")
    arrangement = made.chart.arrangement_at(row, column)
    return Explained(
        row=row,
        column=column,
        seen=tuple(seen for seen in _seen(made, artwork, row, column) if seen.area >= LEAST_TOLD),
        holds=stitches_in_words(arrangement, thread_names(made.chart)),
        as_drawn=_as_drawn(made, row, column),
        notes=tuple(_notes(made, row, column)),
    )


def stitches_in_words(arrangement: Arrangement, names: list[str]) -> str:
    """Return what a square holds, as the chart in words tells it, and that a full stitch is one.

    >>> stitches_in_words((), [])
    'bare cloth'
    """
    if not arrangement:
        return BARE_CLOTH
    words = arrangement_words(arrangement, names)
    return f"full {words}" if arrangement[0].kind is StitchKind.FULL else words


def thread_names(chart: Chart) -> list[str]:
    """Return the threads' own names, with the code where two have one name."""
    names = [thread.name for thread in chart.threads]
    return [
        name if names.count(name) == 1 else f"{name} {thread.code}"
        for name, thread in zip(names, chart.threads, strict=True)
    ]


def _seen(made: Converted, artwork: Artwork, row: int, column: int) -> Iterator[Seen]:
    """Yield the colours of a square, the uppermost first."""
    areas = made.palette.areas
    solid = int(areas.solid[row, column])
    if solid == BARE:
        yield _bare(made, 1.0)
    elif solid != MIXED:
        yield _of_thread(made, solid, 1.0, _uppermost(made, artwork, column + 0.5, row + 0.5))
    else:
        square = row * made.chart.columns + column
        first, end = np.searchsorted(areas.square, [square, square + 1]).tolist()
        for k in sorted(range(first, end), key=lambda k: -int(areas.level[k])):
            colour, order = int(areas.colour[k]), int(areas.order[k])
            area = float(areas.octants[k].sum())
            mark = made.laid.marks[order] if order >= 0 else None
            yield _bare(made, area) if colour == BARE else _of_thread(made, colour, area, mark)


def _bare(made: Converted, area: float) -> Seen:
    return Seen(name=BARE_CLOTH, colour=made.chart.fabric.colour, area=area)


def _of_thread(made: Converted, colour: int, area: float, mark: Fill | Stroke | None) -> Seen:
    skein = made.palette.chosen.skeins[colour - 1]
    element, layer = (mark.element, mark.layer) if mark else ("", "")
    name = _name_of(made, skein)
    return Seen(name=name, colour=skein.colour.hex, area=area, element=element, layer=layer)


def _name_of(made: Converted, skein: Skein) -> str:
    """Return what a colour of the areas is called: a thread of the key as it is there."""
    named = zip(made.chart.threads, thread_names(made.chart), strict=True)
    return next((name for thread, name in named if thread.colour == skein.colour.hex), skein.name)


def _uppermost(made: Converted, artwork: Artwork, x: float, y: float) -> Fill | Stroke | None:
    """Return the uppermost mark that paints a point, in squares, None where only thin lines do."""
    masking, point = masking_groups(artwork.groups), np.array([[x, y]])
    for shape, mark in zip(reversed(made.laid.shapes), reversed(made.laid.marks), strict=True):
        if shape.paint.group in masking:
            continue
        if is_inside(windings(point, shape.polygon.edges()), shape.polygon.rule)[0]:
            return mark
    return None


def _as_drawn(made: Converted, row: int, column: int) -> float:
    """Return how much of a square is shown in its own colour."""
    areas = made.palette.areas
    shown = np.array(octants_shown(made.worked.arrangements[int(made.worked.squares[row, column])]))
    solid = int(areas.solid[row, column])
    if solid != MIXED:
        return float((shown == solid).mean())
    square = row * made.chart.columns + column
    first, end = np.searchsorted(areas.square, [square, square + 1]).tolist()
    own = areas.colour[first:end, None] == shown
    return float(areas.octants[first:end][own].sum())


def _notes(made: Converted, row: int, column: int) -> Iterator[str]:
    """Yield what decided but the areas of the square itself."""
    if (row, column) in made.given:
        yield "given by hand: it stands as drawn"
    for one in made.calmed:
        if (one.row, one.column) == (row, column):
            name = _name_of(made, made.palette.chosen.skeins[one.thread])
            yield f"a lone stitch of {name} was merged here"

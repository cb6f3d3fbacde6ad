"""The colours of a drawing as threads: areas, lines, dots and given stitches."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from svg2chart.colour import Colour
from svg2chart.dots import Dot
from svg2chart.fit import ThinLine
from svg2chart.given import Decided, Given
from svg2chart.octants.areas import MIXED, VisibleAreas
from svg2chart.octants.blending import Rgba
from svg2chart.octants.stacks import CLEAR, SEEN_OPACITY
from svg2chart.remarks import Remark, Severity
from svg2chart.runs import distinct
from svg2chart.threads import Chosen, Merge, Skein, Why, choose_threads
from svg2chart.touching import touching_colours

LINE_WIDE = 1 / 3
"""How wide a line of backstitch covers the cloth, in squares. Common practice, no source."""

_STEP = 0.5  # squares between the points at which a line is followed
# a line on a side touches the squares of both
_AROUND = np.array([(-0.01, -0.01), (0.01, -0.01), (0.01, 0.01), (-0.01, 0.01)])
_BESIDE = np.array([(0, 0), (0, -1), (1, 0), (0, 1), (-1, 0)])  # a square and those it has a side with


@dataclass(frozen=True, slots=True, kw_only=True)
class Palette:
    """The threads of a chart.

    chosen: the threads. cloth: the colour of the fabric. areas: what is seen of each thread, bare first.
    thread_of: the thread of each colour of lines, dots and given stitches.
    number_of: of each colour that is seen, its number among those of the areas.
    """

    chosen: Chosen
    cloth: Colour
    areas: VisibleAreas
    thread_of: Mapping[Colour, int]
    number_of: Mapping[Rgba, int]

    @property
    def looks(self) -> list[Colour]:
        """The colours of the areas as they look on the cloth, the cloth's own first."""
        return [self.cloth, *(skein.colour for skein in self.chosen.skeins)]

    def remarks(self) -> tuple[Remark, ...]:
        """Return a remark for each thread that colours share, with all of them."""
        groups: dict[tuple[Colour, Why], list[Merge]] = {}
        for merge in self.chosen.merges:
            groups.setdefault((merge.into, merge.why), []).append(merge)
        joined = (_on_joined(one, other) for one, other in self.chosen.joined)
        return (*map(_on_merges, groups.values()), *joined)


def choose_palette(
    areas: VisibleAreas,
    decided: Decided,
    *,
    cloth: Colour,
    card: Sequence[Skein],
    most: int,
    kept: Collection[Colour],
) -> Palette:
    """Return the threads for all that a drawing shows.

    Args:
        areas: what is seen of each colour.
        decided: the drawing on the grid, for the colours of its lines, dots and given stitches.
        cloth: the colour of the fabric.
        card: the threads to choose from; where empty, each colour is a thread of its own.
        most: how many threads there may be.
        kept: colours that stay threads of their own even if others look like them.
    """
    seen = [index for index, colour in enumerate(areas.colours) if colour[3] >= SEEN_OPACITY]
    amounts = np.bincount(areas.colour, areas.octants.sum(axis=1), len(areas.colours))
    amounts += np.bincount(areas.solid[areas.solid != MIXED], minlength=len(areas.colours))
    colours = [_on_cloth(areas.colours[index], cloth) for index in seen]
    marks: list[ThinLine | Dot | Given] = [*decided.laid.lines, *decided.laid.dots, *decided.given]
    alone = dict.fromkeys((mark.colour for mark in marks), 0.0)
    for line in decided.laid.lines:
        alone[line.colour] += line.lines.length * LINE_WIDE
    places = squares_of_marks(marks, rows=areas.solid.shape[0], columns=areas.solid.shape[1])
    touching = touching_colours(areas, [places[colour] for colour in alone])
    number = np.full(len(areas.colours) + len(alone), -1)
    number[[*seen, *range(len(areas.colours), len(number))]] = np.arange(len(seen) + len(alone))
    chosen = choose_threads(
        [*colours, *alone],
        [*(float(amounts[index]) for index in seen), *alone.values()],
        card=card,
        most=most,
        kept=kept,
        touching=number[touching][(number[touching] >= 0).all(axis=1)],
    )
    mapping = np.zeros(len(areas.colours), np.int64)
    mapping[seen] = [1 + thread for thread in chosen.of_colour[: len(seen)]]
    flat = tuple((s.colour.red, s.colour.green, s.colour.blue, 1.0) for s in chosen.skeins)
    thread_of = dict(zip(alone, chosen.of_colour[len(seen) :], strict=True))
    return Palette(
        chosen=chosen,
        cloth=cloth,
        areas=areas.recoloured(mapping, (CLEAR, *flat)),
        thread_of=thread_of,
        number_of=dict(zip(areas.colours, mapping.tolist(), strict=True)),
    )


def squares_of_marks(
    marks: Sequence[ThinLine | Dot | Given], *, rows: int, columns: int
) -> dict[Colour, NDArray[np.int64]]:
    """Return for each colour of the marks the squares (row * columns + column) that they touch."""
    found: dict[Colour, list[NDArray[np.float64]]] = {}
    for mark in marks:
        if isinstance(mark, ThinLine):
            points = (mark.lines.spaced(_STEP)[:, None] + _AROUND).reshape(-1, 2)
        elif isinstance(mark, Dot):
            points = np.array([mark.middle])
        else:
            points = np.array([(mark.column + 0.5, mark.row + 0.5)]) + _BESIDE
        found.setdefault(mark.colour, []).append(points)
    places = {}
    for colour, parts in found.items():
        column, row = np.floor(np.concatenate(parts)).astype(np.int64).T
        inside = (row >= 0) & (row < rows) & (column >= 0) & (column < columns)
        places[colour] = distinct(row[inside] * columns + column[inside])
    return places


def _on_merges(merges: Sequence[Merge]) -> Remark:
    """Return the remark on colours that go to one thread for one reason."""
    names = ", ".join(merge.colour.hex for merge in merges)
    are = f"colour {names} is" if len(merges) == 1 else f"colours {names} are"
    apart = max(merge.apart for merge in merges)
    most = "" if len(merges) == 1 else "at most "
    what = (
        f"{are} worked in {merges[0].into.hex} ({sum(merge.area for merge in merges):.1f} squares,"
        f" {most}{apart:.1f} apart, CIEDE2000): {merges[0].why.value}"
    )
    return Remark(element="", what=what, severity=Severity.SIMPLIFIED)


def _on_joined(one: Colour, other: Colour) -> Remark:
    what = f"colours {one.hex} and {other.hex} touch and are worked in one thread: no other one is left"
    return Remark(element="", what=what, severity=Severity.SIMPLIFIED)


def _on_cloth(colour: Rgba, cloth: Colour) -> Colour:
    """Return how a colour that lets through looks on the cloth."""
    red, green, blue, alpha = colour
    channels = zip((red, green, blue), (cloth.red, cloth.green, cloth.blue), strict=True)
    return Colour(*(min(max(c * alpha + under * (1.0 - alpha), 0.0), 1.0) for c, under in channels))

"""The colours of a drawing as threads: areas, lines, dots and given stitches."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from svg2chart.artwork import Fill, Stroke
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
    shown_by: by colour that shares a thread, element and layer of each mark that shows it.
    """

    chosen: Chosen
    cloth: Colour
    areas: VisibleAreas
    thread_of: Mapping[Colour, int]
    number_of: Mapping[Rgba, int]
    shown_by: Mapping[Colour, Sequence[tuple[str, str]]]

    @property
    def looks(self) -> list[Colour]:
        """The colours of the areas as they look on the cloth, the cloth's own first."""
        return [self.cloth, *(skein.colour for skein in self.chosen.skeins)]

    def remarks(self) -> tuple[Remark, ...]:
        """Return a remark for each element with a colour that shares a thread, which names all that do."""
        groups: dict[tuple[Colour, Why], list[Merge]] = {}
        for merge in self.chosen.merges:
            groups.setdefault((merge.into, merge.why), []).append(merge)
        told = [([merge.colour for merge in merges], _on_merges(merges)) for merges in groups.values()]
        told += [([one, other], _on_joined(one, other)) for one, other in self.chosen.joined]
        return tuple(
            Remark(element=element, layer=layer, what=what, severity=Severity.SIMPLIFIED)
            for colours, what in told
            for element, layer in dict.fromkeys(
                mark for colour in colours for mark in self.shown_by.get(colour, ())
            )
            or [("", "")]
        )


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
    colours = [on_cloth(areas.colours[index], cloth) for index in seen]
    laid = decided.laid
    marks: list[ThinLine | Dot | Given] = [*laid.lines, *laid.dots, *decided.given, *decided.halved]
    alone = dict.fromkeys((mark.colour for mark in marks), 0.0)
    for line in laid.lines:
        alone[line.colour] += line.lines.length * LINE_WIDE
    places = squares_of_marks(marks, rows=areas.solid.shape[0], columns=areas.solid.shape[1])
    touching = touching_colours(areas, [places[colour] for colour in alone])
    number = np.full(len(areas.colours) + len(alone), -1)
    number[[*seen, *range(len(areas.colours), len(number))]] = np.arange(len(seen) + len(alone))
    covers = [*(float(amounts[index]) for index in seen), *alone.values()]
    both = number[touching][(number[touching] >= 0).all(axis=1)]
    chosen = choose_threads([*colours, *alone], covers, card=card, most=most, kept=kept, touching=both)
    shown_by = _shown_by(chosen, areas, dict(zip(seen, colours, strict=True)), decided)
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
        shown_by=shown_by,
    )


def _shown_by(
    chosen: Chosen, areas: VisibleAreas, colours: Mapping[int, Colour], decided: Decided
) -> dict[Colour, list[tuple[str, str]]]:
    """Return element and layer of the marks that show colours which share a thread, by colour.

    Args:
        chosen: the threads.
        areas: what is seen of each colour.
        colours: those of the areas as they look on the cloth, by number.
        decided: the drawing.
    """
    told = {merge.colour for merge in chosen.merges}.union(*chosen.joined)
    if not told:
        return {}
    laid = decided.laid
    marks: list[tuple[Colour, Fill | Stroke | ThinLine | Dot]] = []
    marks += [(line.colour, line) for line in laid.lines]
    marks += [(dot.colour, dot) for dot in laid.dots]
    # where several shapes show one colour only the uppermost is told, but each one's own paint is known
    marks += [(mark.colour, mark) for mark, seen in zip(laid.marks, areas.shapes, strict=True) if seen > 0]
    orders = len(laid.marks) + 1
    _, shown, uppermost = areas.uppermost()
    number, order = np.divmod(distinct(shown * orders + uppermost + 1), orders)
    marks += [
        (Colour.from_hex(colours[n].hex), laid.marks[k - 1])
        for n, k in zip(number.tolist(), order.tolist(), strict=True)
        if k and n in colours
    ]
    found: dict[Colour, dict[tuple[str, str], None]] = {}
    for colour, mark in marks:
        if colour in told:
            found.setdefault(colour, {})[mark.element, mark.layer] = None
    return {colour: list(elements) for colour, elements in found.items()}


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


def _on_merges(merges: Sequence[Merge]) -> str:
    """Return what is to be told of colours that go to one thread for one reason."""
    names = ", ".join(merge.colour.hex for merge in merges)
    are = f"colour {names} is" if len(merges) == 1 else f"colours {names} are"
    apart = max(merge.apart for merge in merges)
    most = "" if len(merges) == 1 else "at most "
    return (
        f"{are} worked in {merges[0].into.hex} ({sum(merge.area for merge in merges):.1f} squares,"
        f" {most}{apart:.1f} apart, CIEDE2000): {merges[0].why.value}"
    )


def _on_joined(one: Colour, other: Colour) -> str:
    return (
        f"colours {one.hex} and {other.hex} touch and are worked in one thread: no other one is left that is"
        " near enough; more threads may part them"
    )


def on_cloth(colour: Rgba, cloth: Colour) -> Colour:
    """Return how a colour that lets through looks on the cloth."""
    red, green, blue, alpha = colour
    channels = zip((red, green, blue), (cloth.red, cloth.green, cloth.blue), strict=True)
    return Colour(*(min(max(c * alpha + under * (1.0 - alpha), 0.0), 1.0) for c, under in channels))

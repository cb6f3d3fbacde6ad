"""The colours of a drawing as threads: areas, lines, dots and given stitches."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from svg2chart.colour import Colour
from svg2chart.dots import Dot
from svg2chart.fit import ThinLine
from svg2chart.given import Decided, Given
from svg2chart.octants.areas import MIXED, VisibleAreas
from svg2chart.octants.blending import Rgba
from svg2chart.octants.stacks import CLEAR, SEEN_OPACITY
from svg2chart.remarks import Remark, Severity
from svg2chart.threads import Chosen, Merge, Skein, choose_threads

LINE_WIDE = 1 / 3
"""How wide a line of backstitch covers the cloth, in squares. Common practice, no source."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Palette:
    """The threads of a chart.

    chosen: the threads. cloth: the colour of the fabric. areas: what is seen of each thread, bare first.
    thread_of: the thread of each colour of lines, dots and given stitches.
    """

    chosen: Chosen
    cloth: Colour
    areas: VisibleAreas
    thread_of: Mapping[Colour, int]

    @property
    def looks(self) -> list[Colour]:
        """The colours of the areas as they look on the cloth, the cloth's own first."""
        return [self.cloth, *(skein.colour for skein in self.chosen.skeins)]

    def remarks(self) -> tuple[Remark, ...]:
        """Return a remark for each thread that colours share, with all of them."""
        groups: dict[tuple[Colour, bool], list[Merge]] = {}
        for merge in self.chosen.merges:
            groups.setdefault((merge.into, merge.is_alike), []).append(merge)
        return tuple(map(_on_merges, groups.values()))


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
    covers = [*(float(amounts[index]) for index in seen), *alone.values()]
    chosen = choose_threads([*colours, *alone], covers, card=card, most=most, kept=kept)
    mapping = np.zeros(len(areas.colours), np.int64)
    mapping[seen] = [1 + thread for thread in chosen.of_colour[: len(seen)]]
    flat = tuple((s.colour.red, s.colour.green, s.colour.blue, 1.0) for s in chosen.skeins)
    thread_of = dict(zip(alone, chosen.of_colour[len(seen) :], strict=True))
    return Palette(
        chosen=chosen, cloth=cloth, areas=areas.recoloured(mapping, (CLEAR, *flat)), thread_of=thread_of
    )


def _on_merges(merges: Sequence[Merge]) -> Remark:
    """Return the remark on colours that go to one thread for one reason."""
    names = ", ".join(merge.colour.hex for merge in merges)
    are = f"colour {names} is" if len(merges) == 1 else f"colours {names} are"
    apart = max(merge.apart for merge in merges)
    most = "" if len(merges) == 1 else "at most "
    why = "nobody can tell them apart" if merges[0].is_alike else "there are as many threads as there may be"
    what = (
        f"{are} worked in {merges[0].into.hex} ({sum(merge.area for merge in merges):.1f} squares,"
        f" {most}{apart:.1f} apart, CIEDE2000): {why}"
    )
    return Remark(element="", what=what, severity=Severity.SIMPLIFIED)


def _on_cloth(colour: Rgba, cloth: Colour) -> Colour:
    """Return how a colour that lets through looks on the cloth."""
    red, green, blue, alpha = colour
    channels = zip((red, green, blue), (cloth.red, cloth.green, cloth.blue), strict=True)
    return Colour(*(min(max(c * alpha + under * (1.0 - alpha), 0.0), 1.0) for c, under in channels))

"""A chart put together from its parts: only threads that are used, each with a symbol and its strands."""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from svg2chart.backstitch import Outlined
from svg2chart.chart import Backstitch, Chart, Fabric, Knot, StitchKind, Thread
from svg2chart.colour import Colour, ciede2000, lab
from svg2chart.errors import GridError
from svg2chart.fabrics import strands
from svg2chart.remarks import Remark, Severity
from svg2chart.stitches import Worked
from svg2chart.symbol_assignment import assign_symbols
from svg2chart.symbol_drawing import Symbol
from svg2chart.symbols import LETTERS
from svg2chart.threads import Skein
from svg2chart.touching import lines_beside, touching_threads

CLOSE = 3.0
"""Threads that meet and differ less (CIEDE2000) are remarked. Common practice, no source."""

Ints = NDArray[np.int64]
_Mark = TypeVar("_Mark", Backstitch, Knot)


def assemble(
    worked: Worked,
    outlined: Outlined,
    knots: Sequence[Knot],
    skeins: Sequence[Skein],
    *,
    title: str,
    fabric: Fabric,
    remarks: tuple[Remark, ...],
    known: Sequence[Thread] = (),
) -> Chart:
    """Return the chart of stitches, backstitch and knots whose threads are numbered as the skeins.

    A skein of the colour of one of the `known` threads is that thread, with its symbol; these come first.

    Raises:
        GridError: there is no stitch at all.
    """
    used = {s.thread for a in worked.arrangements for s in a}
    used |= {line.thread for line in outlined.backstitch} | {knot.thread for knot in knots}
    if not used:
        raise GridError(
            "nothing in the drawing is large enough for a stitch", way_out="Ask for more or smaller squares"
        )
    touching = touching_threads(worked.squares, worked.arrangements, len(skeins))
    kept, threads = _key(used, worked, touching, skeins, known, fabric)
    number = {thread: index for index, thread in enumerate(kept)}
    arrangements = tuple(
        tuple(replace(stitch, thread=number[stitch.thread]) for stitch in arrangement)
        for arrangement in worked.arrangements
    )
    chart = Chart(
        title=title,
        fabric=fabric,
        threads=threads,
        arrangements=arrangements,
        squares=np.array(worked.squares),
        backstitch=_by_thread(replace(line, thread=number[line.thread]) for line in outlined.backstitch),
        knots=_by_thread(replace(knot, thread=number[knot.thread]) for knot in knots),
        remarks=remarks,
    )
    return replace(chart, remarks=(*remarks, *_close_threads(chart, touching[np.ix_(kept, kept)] > 0)))


def _by_thread(marks: Iterable[_Mark]) -> tuple[_Mark, ...]:
    """Return lines or knots in the order of the key, those of a thread as they were."""
    return tuple(sorted(marks, key=lambda mark: mark.thread))


def _close_threads(chart: Chart, touching: NDArray[np.bool_]) -> list[Remark]:
    """Return a remark for each two threads that meet in the picture and are hard to tell apart.

    Args:
        chart: the chart.
        touching: (threads, threads) which touch in its squares.
    """
    for line, other in lines_beside(chart.squares, chart.arrangements, chart.backstitch):
        touching[line, other] = touching[other, line] = True
    coordinates = lab([Colour.from_hex(thread.colour) for thread in chart.threads])
    remarks = []
    for first, second in np.argwhere(np.triu(touching, 1)).tolist():
        apart = float(ciede2000(coordinates[first], coordinates[second]))
        if round(apart, 3) < CLOSE:
            names = [f"{chart.threads[i].code} ({chart.threads[i].name})" for i in (first, second)]
            what = (
                f"threads {names[0]} and {names[1]} meet in the picture and differ by {apart:.1f}"
                " (CIEDE2000), which is hard to tell apart: they are taken for two"
            )
            remarks.append(Remark(element="", what=what, severity=Severity.GUESSED))
    return remarks


def _key(
    used: set[int],
    worked: Worked,
    touching: Ints,
    skeins: Sequence[Skein],
    known: Sequence[Thread],
    fabric: Fabric,
) -> tuple[list[int], tuple[Thread, ...]]:
    """Return the skeins that are used in the order of the key, and their threads."""
    of_colour = {thread.colour: index for index, thread in reversed(list(enumerate(known)))}
    place = {skein: of_colour.get(skeins[skein].colour.hex, len(known)) for skein in used}
    kept = sorted(used, key=lambda skein: (place[skein], skein))
    old = [known[place[skein]] for skein in kept if place[skein] < len(known)]
    new = kept[len(old) :]
    fractional = {s.thread for a in worked.arrangements for s in a if s.kind is not StitchKind.FULL}
    symbols = assign_symbols(
        [skein in fractional for skein in new],
        touching=touching[np.ix_(new, new)],
        colours=[skeins[skein].colour for skein in new],
        taken=[thread.symbol for thread in old],
    )
    letters = [letter for letter in LETTERS if letter not in {thread.letter for thread in old}]
    named = zip((skeins[skein] for skein in new), symbols, letters, strict=False)
    return kept, (*old, *(_thread(skein, symbol, letter, fabric) for skein, symbol, letter in named))


def _thread(skein: Skein, symbol: Symbol, letter: str, fabric: Fabric) -> Thread:
    cross, back = strands(fabric)
    return Thread(
        letter=letter,
        code=skein.code,
        name=skein.name,
        colour=skein.colour.hex,
        symbol=symbol.name,
        cross_strands=cross,
        back_strands=back,
    )

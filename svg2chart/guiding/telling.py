"""The work guide in words: the rules that this chart needs, and each block with its start and its steps."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from svg2chart.chart import Chart
from svg2chart.guiding.cloth import BARE_SQUARES, BEHIND_SQUARES
from svg2chart.guiding.legs import Part, Square
from svg2chart.guiding.names import counted, hole_words, listed, span_words, spoken_names
from svg2chart.guiding.order import Block, Work
from svg2chart.guiding.starts import Start, StartKind, find_starts
from svg2chart.guiding.steps import tell_steps
from svg2chart.guiding.ways import Ways

_NOUNS = {
    Part.UPPER: ("full stitch", "full stitches"),
    Part.HALF: ("three-quarter", "three-quarters"),
    Part.QUARTER: ("quarter", "quarters"),
    Part.BACK: ("line of backstitch", "lines of backstitch"),
    Part.KNOT: ("knot", "knots"),
}

_THREAD = (
    "A block is worked with one thread, from its start to where it is finished off. When the needleful runs"
    " short within a block, finish off and begin anew under the stitches behind."
)
_COUNTING = (
    "Rows and columns count from 1 at the top left. Ways from the centre count squares from the middle lines"
    " of the chart: 1 right is the first square to the right of the line, or of the middle square. Ways from"
    " a block already stitched count from the last square of its row: 1 right is the square beside it."
)
_OUT_AND_BACK = (
    "Out and back: lower legs going, like /, upper legs coming, like \\. A step may leave lower legs open; a"
    " later one closes them. A cross is worked whole. Never come up where you have just gone down: that would"
    " undo the leg. Work this leg from its other end."
)
_LOOP = (
    "Loop start: fold the strands, thread the cut ends, and let the first leg catch the loop behind. Never"
    " begin a loop on a fraction: blocks begin on a full stitch where they have one."
)
_FRACTIONS = (
    "Three-quarter stitch: first the quarter, from its corner down into the centre, then the half across."
    " A quarter goes down into the centre too."
)
_PIERCING = (
    "Centres of squares have no hole: pierce them with a sharp needle first, on a pad, fingers clear. Put it"
    " back at once and sew with a blunt one; count both when you stop."
)
_CARRIES = (
    f"Carry the thread only where a step says so: at most {BARE_SQUARES} squares behind bare cloth, never"
    f" along a row, a column or a diagonal of holes, and at most {BEHIND_SQUARES} squares behind stitches."
    " Finish off under 3 to 5 stitches behind."
)
_BACKSTITCH = (
    "Backstitch: come up at the second hole and go down at the first; then up one line ahead, down where the"
    " last line begins. A hole is told by the row above it and the column on its left; where a line goes on"
    " along one of them, only the other is told."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class ToldBlock:
    """One block in words: its title, how it is begun, and its steps, each without a full stop."""

    thread: int
    title: str
    start: str
    steps: tuple[str, ...]


def tell_work(chart: Chart, blocks: Sequence[Block]) -> tuple[ToldBlock, ...]:
    """Return every block of a chart in words, in order of work (`plan_work`)."""
    names = spoken_names(chart)
    ways = Ways(chart)
    told = []
    for number, (block, start) in enumerate(zip(blocks, find_starts(chart, blocks), strict=True), start=1):
        thread = f"{names[block.thread]} ({chart.threads[block.thread].letter})"
        told.append(
            ToldBlock(
                thread=block.thread,
                title=f"block {number}, {thread}: {_amounts(block)}",
                start=_start_words(ways, block, start),
                steps=tuple(tell_steps(block)),
            )
        )
        ways.add_block(number, [leg.square for leg in block.legs if leg.square is not None])
    return tuple(told)


def _amounts(block: Block) -> str:
    parts = Counter(leg.part for leg in block.legs)
    parts[Part.QUARTER] -= parts[Part.HALF]  # the quarter of a three-quarter stitch is part of it
    amounts = [counted(parts[part], *nouns) for part, nouns in _NOUNS.items() if parts[part] > 0]
    if not amounts:  # crosses count where they are finished
        amounts = [counted(parts[Part.LOWER], "lower leg", "lower legs")]
    squares = [leg.square for leg in block.legs if leg.square is not None]
    if not squares:
        return listed(amounts)
    rows, columns = ([square[axis] + 1 for square in squares] for axis in (0, 1))
    place = [
        span_words(one, several, range(min(numbers), max(numbers) + 1))
        for one, several, numbers in (("row", "rows", rows), ("column", "columns", columns))
    ]
    return f"{listed(amounts)}, {', '.join(place)}"


def _start_words(ways: Ways, block: Block, start: Start) -> str:
    thread = ways.chart.threads[block.thread]
    strands = thread.back_strands if block.work is Work.BACKSTITCH else thread.cross_strands
    if start.square is None:
        place = f"the hole {hole_words(start.hole)} ({ways.to_hole(start.hole)})"
    else:
        place = _square_words(ways, start.square)
    how = {
        StartKind.LOOP: f"Loop start at {place}",
        StartKind.TAIL: f"Begin at {place}, holding the end behind and stitching over it",
    }
    if start.under is None:
        return f"{how[start.kind]}. {counted(strands, 'strand', 'strands')}."
    return (
        f"Run the end under the full stitch at {_square_words(ways, start.under)}, then come up at {place}."
        f" {counted(strands, 'strand', 'strands')}."
    )


def _square_words(ways: Ways, square: Square) -> str:
    row, column = square
    return f"row {row + 1} column {column + 1} ({ways.to_square(square)})"


def tell_rules(chart: Chart) -> tuple[str, ...]:
    """Return what one needs to know before the first block; only what this chart needs."""
    stitches = [stitch for arrangement in chart.arrangements for stitch in arrangement]
    rules = [_THREAD, _COUNTING, _OUT_AND_BACK]
    if any(chart.threads[stitch.thread].cross_strands % 2 == 0 for stitch in stitches):
        rules.append(_LOOP)
    if any(stitch.corner is not None for stitch in stitches):
        rules.append(_FRACTIONS)
        if chart.fabric.over == 1:
            rules.append(_PIERCING)
    rules.append(_CARRIES)
    if chart.backstitch:
        rules.append(_BACKSTITCH)
    return tuple(rules)

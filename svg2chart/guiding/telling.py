"""The work guide in words: the rules that this chart needs, and each block with its start and its steps."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby

from svg2chart.chart import Chart, is_pierced, occurring
from svg2chart.guiding.cloth import BARE_SQUARES, BEHIND_SQUARES
from svg2chart.guiding.legs import HALVES, Leg, Part, Square
from svg2chart.guiding.names import counted, hole_words, listed, span_words, spoken_names, way_words
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
_ALONG_LINES = (
    f"Lines of backstitch hide their own thread too: it may be carried straight along behind them, at most"
    f" {BEHIND_SQUARES} squares, as from the foot of a letter to where its next part begins."
)
_BACKSTITCH = (
    "Backstitch: come up at the second hole and go down at the first; then up one line ahead, down where the"
    " last line begins. A hole is told by the row above it and the column on its left; where a line goes on"
    " along one of them, only the other is told."
)
_LEAST_LINES = 3  # of a block that is told by another like it
_BEGIN_EACH = {
    Work.BACKSTITCH: "Begin the others alike, each at the second hole of its way. In brackets stands how to"
    " count from the last hole of a block to the first of the next.",
    Work.KNOTS: "Begin the others alike. In brackets stands how to count from knot to knot.",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class ToldBlock:
    """A block in words, or several that are begun alike, by the numbers from `first` to `last`.

    Its title, how it is begun, and its steps, each without a full stop.
    """

    thread: int
    first: int
    last: int
    title: str
    start: str
    steps: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _Numbered:
    """A block with its number in order of work and its start."""

    number: int
    block: Block
    start: Start

    @property
    def manner(self) -> tuple[int, int, Work]:
        """What blocks have in common that are told as one: lines or knots of a thread, all on bare cloth."""
        is_bare = self.start.square is None and self.start.under is None
        return self.block.thread, 0 if is_bare else self.number, self.block.work


def tell_work(chart: Chart, blocks: Sequence[Block]) -> tuple[ToldBlock, ...]:
    """Return every block of a chart in words, in order of work (`plan_work`).

    Lines, and knots, that need many threads on bare cloth, as letters of backstitch do, are told together.
    """
    starts = find_starts(chart, blocks)
    numbered = [_Numbered(i + 1, block, starts[i]) for i, block in enumerate(blocks)]
    names = [
        f"{name} ({thread.letter})" for name, thread in zip(spoken_names(chart), chart.threads, strict=True)
    ]
    ways = Ways(chart)
    told = []
    for _, alike in groupby(numbered, key=lambda one: one.manner):
        own = tuple(alike)
        told.append(_told(ways, own, names[own[0].block.thread]))
        for one in own:
            ways.add_block(one.number, [leg.square for leg in one.block.legs if leg.square is not None])
    return tuple(told)


def _told(ways: Ways, alike: Sequence[_Numbered], thread: str) -> ToldBlock:
    first, last = alike[0], alike[-1]
    legs = [leg for one in alike for leg in one.block.legs]
    start = _start_words(ways, first.block, first.start)
    steps = tell_steps(first.block)
    number = f"block {first.number}"
    if len(alike) > 1:
        number = f"blocks {first.number} to {last.number}"
        start = f"{start} {_BEGIN_EACH[first.block.work]}"
        models = _models(alike)
        befores = (None, *alike[:-1])
        steps = [_short(before, one, models) for before, one in zip(befores, alike, strict=True)]
    return ToldBlock(
        thread=first.block.thread,
        first=first.number,
        last=last.number,
        title=f"{number}, {thread}: {_amounts(legs)}",
        start=start,
        steps=tuple(steps),
    )


def _models(alike: Sequence[_Numbered]) -> dict[int, int]:
    """Return for each block the number of the first one that is worked in the same way elsewhere, or its own.

    A letter comes again and again in words of backstitch. Blocks of few lines are told as they are.
    """
    first: dict[tuple[tuple[int, int], ...], int] = {}
    models = {}
    for one in alike:
        x, y = one.block.legs[0].down
        holes = [hole for leg in one.block.legs for hole in (leg.down, leg.up)]
        form = tuple((right - x, down - y) for right, down in holes)
        is_long = len(one.block.legs) >= _LEAST_LINES
        models[one.number] = first.setdefault(form, one.number) if is_long else one.number
    return models


def _short(before: _Numbered | None, one: _Numbered, models: Mapping[int, int]) -> str:
    """Return a block on a line, and how to count to its first hole from the last one of the block before.

    Where it is worked like another, its model, only its first hole is told.
    """
    way = ""
    if before is not None:
        (x, y), (to_x, to_y) = before.block.legs[-1].up, one.block.legs[0].down
        way = way_words((to_x - x) / HALVES, (to_y - y) / HALVES)
    steps = "; ".join(step[0].lower() + step[1:] for step in tell_steps(one.block))
    if models[one.number] != one.number:
        steps = f"as block {models[one.number]}, from {hole_words(one.block.legs[0].down)}"
    return f"Block {one.number}{f' ({way})' if way else ''}: {steps}"


def _amounts(legs: Sequence[Leg]) -> str:
    parts = Counter(leg.part for leg in legs)
    parts[Part.QUARTER] -= parts[Part.HALF]  # the quarter of a three-quarter stitch is part of it
    amounts = [counted(parts[part], *nouns) for part, nouns in _NOUNS.items() if parts[part] > 0]
    if not amounts:  # crosses count where they are finished
        amounts = [counted(parts[Part.LOWER], "lower leg", "lower legs")]
    squares = [leg.square for leg in legs if leg.square is not None]
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
    stitches = [stitch for arrangement in occurring(chart) for stitch in arrangement]
    rules = [_THREAD, _COUNTING]
    if stitches:
        rules.append(_OUT_AND_BACK)
    if any(chart.threads[stitch.thread].cross_strands % 2 == 0 for stitch in stitches):
        rules.append(_LOOP)
    if any(stitch.corner is not None for stitch in stitches):
        rules.append(_FRACTIONS)
        if is_pierced(chart):
            rules.append(_PIERCING)
    rules.append(_CARRIES)
    if chart.backstitch:
        rules += [_ALONG_LINES, _BACKSTITCH]
    return tuple(rules)

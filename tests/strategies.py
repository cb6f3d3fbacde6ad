"""Hypothesis strategies that several tests share."""

import numpy as np
from hypothesis import strategies as st

from svg2chart.chart import (
    Arrangement,
    Backstitch,
    Chart,
    Corner,
    Fabric,
    Knot,
    MadeFrom,
    Stitch,
    StitchKind,
    Thread,
)
from svg2chart.remarks import Remark, Severity

words = st.text(st.characters(exclude_categories=["Cs"]), max_size=8)
colours = st.integers(0, 0xFFFFFF).map(lambda number: f"#{number:06x}")
remarks = st.builds(Remark, element=words, what=words, severity=st.sampled_from(Severity), layer=words)
settings = st.one_of(
    words,
    st.integers(-(2**53), 2**53),
    st.booleans(),
    st.floats(allow_nan=False, allow_infinity=False),
)
visible_characters = st.characters(categories=["L", "N", "P", "S"])


def halves(squares: int) -> st.SearchStrategy[float]:
    return st.integers(0, 2 * squares).map(lambda number: number / 2)


def threads(letter: str) -> st.SearchStrategy[Thread]:
    return st.builds(
        Thread,
        letter=st.just(letter),
        code=words,
        name=words,
        colour=colours,
        symbol=words,
        cross_strands=st.integers(1, 12),
        back_strands=st.integers(1, 12),
    )


@st.composite
def arrangements(draw: st.DrawFn, thread_count: int) -> Arrangement:
    """Draw what one square may hold, each kind of arrangement as likely as the others."""
    thread = st.integers(0, thread_count - 1)
    corner = draw(st.sampled_from(Corner))
    first = draw(thread)
    match draw(st.sampled_from(["full", "alone", "shared", "quarters"])):
        case "full":
            return (Stitch(kind=StitchKind.FULL, thread=first),)
        case "alone":
            return (Stitch(kind=StitchKind.THREE_QUARTER, thread=first, corner=corner),)
        case "shared" if thread_count > 1:
            second = (first + draw(st.integers(1, thread_count - 1))) % thread_count
            return (
                Stitch(kind=StitchKind.THREE_QUARTER, thread=first, corner=corner),
                Stitch(kind=StitchKind.QUARTER, thread=second, corner=corner.opposite),
            )
        case _:
            corners = draw(st.lists(st.sampled_from(Corner), min_size=1, max_size=4, unique=True))
            return tuple(Stitch(kind=StitchKind.QUARTER, thread=draw(thread), corner=c) for c in corners)


@st.composite
def charts(draw: st.DrawFn) -> Chart:
    """Draw charts of up to 12 by 12 squares with everything that a chart can hold."""
    rows, columns = draw(st.integers(1, 12)), draw(st.integers(1, 12))
    letters = draw(st.lists(visible_characters, max_size=4, unique=True))
    held: list[Arrangement] = draw(st.lists(arrangements(len(letters)), max_size=6)) if letters else []
    numbers = st.lists(st.integers(0, len(held)), min_size=rows * columns, max_size=rows * columns)
    hole = st.tuples(halves(columns), halves(rows))
    thread = st.integers(0, max(0, len(letters) - 1))
    two_ends = st.lists(hole, min_size=2, max_size=2, unique=True)
    lines = two_ends.flatmap(
        lambda ends: st.builds(Backstitch, thread=thread, start=st.just(ends[0]), end=st.just(ends[1]))
    )
    return Chart(
        title=draw(words),
        fabric=Fabric(
            count=draw(st.integers(5, 60)), over=draw(st.sampled_from([1, 2])), colour=draw(colours)
        ),
        threads=tuple(draw(threads(letter)) for letter in letters),
        arrangements=((), *held),
        squares=np.array(draw(numbers), dtype=np.int32).reshape(rows, columns),
        backstitch=tuple(draw(st.lists(lines, max_size=4))) if letters else (),
        knots=tuple(draw(st.lists(st.builds(Knot, thread=thread, at=hole), max_size=4))) if letters else (),
        remarks=tuple(draw(st.lists(remarks, max_size=3))),
        made_from=MadeFrom(
            sha256=draw(st.sampled_from(["", "0123456789abcdef" * 4])),
            settings=tuple(draw(st.dictionaries(words, settings, max_size=3)).items()),
            version=draw(words),
        ),
    )

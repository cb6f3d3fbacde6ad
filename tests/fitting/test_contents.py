"""How well motifs fit the squares: the same in whatever order they are painted, in mirrors and turned."""

from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from svg2chart.fitting.contents import Content, contents_of
from svg2chart.fitting.motifs import Motifs

HIGH = 8.0
eighths = st.integers(0, 64).map(lambda n: n / 8)
spans = (
    st.tuples(eighths, eighths).filter(lambda ends: ends[0] != ends[1]).map(lambda ends: tuple(sorted(ends)))
)
Box = tuple[float, float, float, float]


@st.composite
def bands(draw: st.DrawFn) -> list[Box]:
    """Draw boxes about one upright line, x = 0, or beside it with their like beyond it; one over another."""
    tops = draw(st.lists(spans, min_size=1, max_size=4))
    starts = [top for top, _ in tops]
    found: list[Box] = []
    for top, bottom in tops:
        near, far = draw(spans)
        # many begin where others do
        top = draw(st.sampled_from([top, *(start for start in starts if start < bottom)]))
        found += draw(
            st.sampled_from(
                [
                    [(-far, top, far, bottom)],
                    [(-far, top, -near, bottom), (near, top, far, bottom)],
                    [(near, top, far, bottom), (-far, top, -near, bottom)],
                ]
            )
        )
    return found


def content_of(boxes: list[Box]) -> Content:
    corners = np.array([[(a, b), (c, b), (c, d), (a, d)] for a, b, c, d in boxes]).reshape(-1, 2)
    around = np.concatenate([corners.min(axis=0), corners.max(axis=0)])[None]
    motifs = Motifs(box=around, is_bound=np.zeros((1, 2), np.bool_))
    (found,) = contents_of(motifs, corners, np.arange(0, len(corners) + 1, 4))
    return found


def misfits(boxes: list[Box], *, axis: int = 0) -> list[float]:
    """Return by how much it misses the squares on a hole line, and half way between two."""
    return [content_of(boxes).misfit(axis, off) for off in (0.0, 0.5)]


# of two that begin at one height one ends below the other
TWO_LENGTHS: list[Box] = [(-2.25, 0, 2.25, 8), (-2.25, 0, -1, 2), (1, 0, 2.25, 2)]
OTHERS_FIRST: list[Box] = [(-2.25, 0, -1, 2), (-2.25, 0, 2.25, 8), (1, 0, 2.25, 2)]


@given(bands().flatmap(lambda found: st.tuples(st.just(found), st.permutations(found))))
@example((TWO_LENGTHS, TWO_LENGTHS[::-1]))
@example((TWO_LENGTHS, OTHERS_FIRST))
def test_in_whatever_order_parts_are_painted_they_fit_as_well(orders: tuple[list[Box], list[Box]]) -> None:
    one, other = orders
    assert misfits(other) == pytest.approx(misfits(one), abs=1e-12)


MIRRORS: list[tuple[int, Callable[[Box], Box]]] = [
    (0, lambda b: (-b[2], b[1], -b[0], b[3])),
    (0, lambda b: (b[0], HIGH - b[3], b[2], HIGH - b[1])),
    (1, lambda b: (b[1], b[0], b[3], b[2])),
]


@pytest.mark.parametrize(("axis", "turned"), MIRRORS, ids=["mirrored", "upside down", "across a diagonal"])
@given(boxes=bands())
@example(boxes=TWO_LENGTHS)
@example(boxes=OTHERS_FIRST)
def test_in_mirrors_parts_fit_as_well(axis: int, turned: Callable[[Box], Box], boxes: list[Box]) -> None:
    again = [turned(box) for box in boxes]
    assert misfits(again, axis=axis) == pytest.approx(misfits(boxes), abs=1e-12)


@given(bands())
@example(TWO_LENGTHS)
@example(OTHERS_FIRST)
def test_all_sides_of_what_is_the_same_on_both_sides_tell_how_it_fits(boxes: list[Box]) -> None:
    """By their lengths, and the box around all once: each by how far whole squares are off, on both sides."""
    sides = [(abs(x), bottom - top) for left, top, right, bottom in boxes for x in (left, right)]
    sides.append((max(far for far, _ in sides), 1.0))
    for off, found in zip((0.0, 0.5), misfits(boxes), strict=True):
        missed = 0.0
        for far, weight in sides:
            at_least = 1.0 if far and not off else 0.0
            missed += 2 * abs(far - off - max(round(far - off), at_least)) * weight
        assert found == pytest.approx(missed / sum(weight for _, weight in sides), abs=1e-12)

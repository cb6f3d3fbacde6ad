"""Strokes of fitted letters hang together by more than a hole, low slants are of no quarters."""

import numpy as np
import pytest
import shapely
from hypothesis import example, given
from hypothesis import strategies as st

from svg2chart.geometry.growing import parts_and_hollows
from svg2chart.letters.choices import HALF_COST, choices
from svg2chart.letters.holes import bytes_of
from tests.bench.letter_measures import CHARACTERS, outline_of, region
from tests.bench.lettering import line
from tests.typefaces import FURTHER, UPRIGHT, Typeface, need_typefaces

PLAIN = [one for one in (*UPRIGHT, *FURTHER) if one.kind in ("default", "sans", "rounded")]
DEFAULT, DEFAULT_BOLD = (
    next(one for one in FURTHER if one.kind == kind) for kind in ("default", "default bold")
)


def joints(shown: np.ndarray) -> list[tuple[int, int]]:
    """Return the holes at which stitches are in several parts, seen close to."""
    stitched = shapely.buffer(region(shown), -0.01, join_style="mitre")
    rows, columns = shown.shape[:2]
    holes = [(column, row) for row in range(rows + 1) for column in range(columns + 1)]
    near = shapely.intersection(stitched, [shapely.box(x - 0.2, y - 0.2, x + 0.2, y + 0.2) for x, y in holes])
    return [hole for hole, part in zip(holes, near, strict=True) if shapely.get_num_geometries(part) > 1]


@given(
    st.sampled_from([*UPRIGHT, DEFAULT, DEFAULT_BOLD]),
    st.sampled_from(CHARACTERS),
    st.sampled_from(range(8, 13)),
)
@example(DEFAULT, "W", 10)  # its middle strokes met in the hole under their top
@example(DEFAULT, "h", 10)  # its arch met the stem in a hole
@example(DEFAULT, "n", 10)
@example(DEFAULT, "n", 12)
@example(DEFAULT, "y", 12)
@example(DEFAULT, "6", 12)
def test_no_strokes_hang_together_by_a_hole_alone(typeface: Typeface, character: str, high: int) -> None:
    need_typefaces()
    (one,) = line(typeface.fonts(), typeface.face(), character, high)
    assert joints(one.shown) == []


@pytest.mark.parametrize("typeface", PLAIN, ids=lambda one: one.kind)
@pytest.mark.parametrize("character", "AVWXYKMNZvyz")
def test_low_slants_are_of_no_quarters(typeface: Typeface, character: str) -> None:
    need_typefaces()
    (one,) = line(typeface.fonts(), typeface.face(), character, 7)
    of_quarters = bytes_of(choices().shown[choices().work > HALF_COST])
    assert not np.isin(bytes_of(one.shown), of_quarters).any()


@given(
    st.sampled_from([*UPRIGHT, DEFAULT]),
    st.sampled_from("ABDOPQRabdegopq0689"),
    st.sampled_from(range(9, 13)),
)
@example(DEFAULT, "d", 12)  # its bowl must not come open with a quarter closed in instead
@example(DEFAULT, "p", 12)
def test_counters_are_no_specks(typeface: Typeface, character: str, high: int) -> None:
    need_typefaces()
    (one,) = line(typeface.fonts(), typeface.face(), character, high)
    _, roomy = parts_and_hollows(outline_of(typeface.face(), character, high), least=1.0)
    rings = [ring for part in shapely.get_parts(region(one.shown)) for ring in part.interiors]
    assert sum(shapely.area(shapely.polygons(ring)) >= 0.4 for ring in rings) >= roomy


@pytest.mark.parametrize("high", [5, 6])
@pytest.mark.parametrize("typeface", [*UPRIGHT, DEFAULT, DEFAULT_BOLD], ids=lambda one: one.kind)
@pytest.mark.parametrize("character", "bdpq")
def test_the_lowest_bowls_have_a_bare_square_beside_their_stem(
    typeface: Typeface, character: str, high: int
) -> None:
    need_typefaces()
    (one,) = line(typeface.fonts(), typeface.face(), character, high)
    ink = one.shown.any(axis=2)
    before = np.maximum.accumulate(ink, axis=1)
    after = np.maximum.accumulate(ink[:, ::-1], axis=1)[:, ::-1]
    assert (before & after & ~ink).any()


@pytest.mark.parametrize("typeface", [DEFAULT, *(one for one in UPRIGHT if one.kind == "bold")])
@pytest.mark.parametrize("high", [8, 9, 10])
def test_the_arch_of_an_n_is_that_of_an_h(typeface: Typeface, high: int) -> None:
    need_typefaces()
    (arch,), (with_ascender,) = (line(typeface.fonts(), typeface.face(), letter, high) for letter in "nh")
    assert np.array_equal(arch.shown, with_ascender.shown[-len(arch.shown) :])

"""Outlines of stitches, against the exact areas that they enclose."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra import numpy as arrays

from svg2chart.coverage import octants
from svg2chart.geometry.polygon import Polygon
from svg2chart.letters.choices import choices
from svg2chart.letters.connections import parts_and_counters
from svg2chart.letters.outlining import outlines_of
from tests.bench.letter_measures import pieces

PATTERNS = arrays.arrays(np.int64, (3, 4), elements=st.integers(0, len(choices().shown) - 1))


@given(PATTERNS)
def test_outlines_enclose_what_is_stitched(patterns: np.ndarray) -> None:
    shown = choices().shown[patterns]
    contours = [np.array(outline) / 2 for outline in outlines_of(shown)]
    assert np.allclose(octants(Polygon.of_contours(contours), 3, 4), shown / 8, atol=1e-9)


@given(PATTERNS)
def test_parts_and_counters_are_those_that_another_library_finds(patterns: np.ndarray) -> None:
    shown = choices().shown[patterns]
    parts, counters = parts_and_counters(shown[None])
    assert (int(parts[0]), int(counters[0])) == pieces(shown)

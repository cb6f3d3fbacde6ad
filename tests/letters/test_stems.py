"""Stems that stand apart from all else in a row: beside them squares are bare, and they are all as wide."""

import numpy as np
import pytest

import svg2chart
from svg2chart.coverage import octants
from svg2chart.geometry.polygon import Polygon
from svg2chart.letters.placed import SetLetter
from svg2chart.letters.stems import Stem, bare_beside, stems_apart
from svg2chart.letters.warping import Zone
from tests.bench import letter_measures
from tests.typefaces import UPRIGHT, Typeface, need_typefaces

ZONES = (Zone(at=-6.0, to=-6.0, begins=True, slack=0.3), Zone(at=0.0, to=0.0, begins=False, slack=0.3))
STEM = [(0.0, -6.0), (1.0, -6.0), (1.0, 0.0), (0.0, 0.0)]


def letter(*contours: list[tuple[float, float]]) -> Polygon:
    return Polygon.of_contours([np.array(contour) for contour in contours])


def rows_apart(*contours: list[tuple[float, float]], zones: tuple[Zone, ...] = ZONES) -> list[int]:
    return [stem.row for stem in stems_apart(letter(*contours), zones) if stem.middle == 0.5]


def test_a_stem_stands_apart_where_half_a_square_beside_it_is_white() -> None:
    assert rows_apart(STEM) == [-6, -5, -4, -3, -2, -1]
    # an arm that comes nearer row by row
    assert rows_apart(STEM, [(2.6, -6.0), (3.6, -6.0), (1.1, -3.0), (1.1, -4.2)]) == [-6, -3, -2, -1]
    assert rows_apart(STEM, [(1.4, -6.0), (2.4, -6.0), (2.4, -4.0), (1.4, -4.0)]) == [-4, -3, -2, -1]


def test_slants_are_no_stems() -> None:
    assert rows_apart([(0.0, -6.0), (1.0, -6.0), (1.5, 0.0), (0.5, 0.0)]) == []


def test_rows_are_those_that_the_zones_are_moved_to() -> None:
    """A letter of six squares becomes seven high; a zone at which it has no edge moves nothing."""
    zones = (
        Zone(at=-6.0, to=-7.0, begins=True, slack=0.3),
        Zone(at=-4.0, to=-6.0, begins=True, slack=0.3),
        ZONES[1],
    )
    bar = [(1.0, -6.0), (3.0, -6.0), (3.0, -5.2), (1.0, -5.2)]
    assert rows_apart(STEM, bar, zones=zones) == [-6, -5, -4, -3, -2, -1]


def test_squares_beside_a_stem_are_to_be_bare_in_its_rows() -> None:
    wide = letter([(1.0, 0.0), (3.0, 0.0), (3.0, 4.0), (1.0, 4.0)])
    found = bare_beside([Stem(1, 2.0), Stem(2, 1.9), Stem(7, 2.0)], octants(wide, 4, 4))
    assert np.argwhere(found).tolist() == [[1, 0], [1, 3], [2, 0], [2, 3]]


def test_a_stem_that_fills_no_whole_squares_says_nothing_of_those_beside_it() -> None:
    between = letter([(1.5, 0.0), (2.5, 0.0), (2.5, 4.0), (1.5, 4.0)])
    assert not bare_beside([Stem(1, 2.0)], octants(between, 4, 4)).any()


@pytest.mark.parametrize(
    ("kind", "high", "text"),
    [
        ("high contrast", 9, "Pbpq"),  # bowls that leave hairlines
        ("high contrast", 12, "Rb"),
        ("serif", 12, "k"),  # a slant that runs into a stem
        ("wide sans", 12, "nu"),  # arches that spring from a stem
    ],
)
def test_stems_are_as_wide_wherever_they_stand_apart(
    kind: str, high: int, text: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    need_typefaces()
    typeface = next(one for one in UPRIGHT if one.kind == kind)
    monkeypatch.setattr(letter_measures, "CHARACTERS", text)
    assert letter_measures.even_stems(typeface.face(), high, lambda one: letters(typeface, one, high)) == 1.0


def letters(typeface: Typeface, text: str, high: int) -> list[SetLetter]:
    found = svg2chart.set_letters([text], high=high, fonts=typeface.fonts(), face=typeface.face())
    return list(found.letters)

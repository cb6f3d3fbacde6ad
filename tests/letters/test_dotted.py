"""The dots of Arabic letters: all of one form, as many as the letters have, each letter's by themselves."""

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

import svg2chart
from svg2chart.geometry.polygon import Polygon
from svg2chart.letters.dotted import dots_apart, dots_placed
from svg2chart.letters.glyphs import FittedGlyph, put_together
from svg2chart.letters.placed import SetLetter
from tests.breadth import examples
from tests.typefaces import ARABIC, need_typefaces

DOTS = {"ب": 1, "ت": 2, "ث": 3, "ج": 1, "خ": 1, "ز": 1, "ش": 3, "ف": 1, "ق": 2, "ن": 1, "ي": 2, "ة": 2}
"""How many dots letters have, as any primer of the script tells; from memory."""
BARE = "حدرسلموصا"
Octant = tuple[int, int, int]
CORNERS = {(0, 0): (6, 7), (0, 1): (0, 1), (1, 1): (2, 3), (1, 0): (4, 5)}  # octants at each, row and column


def parts(letter: SetLetter) -> list[set[Octant]]:
    """Return the octants (row, column, octant) of each part of a letter; those at one hole are of one."""
    meeting: dict[tuple[float, float], set[Octant]] = {}
    points: dict[Octant, list[tuple[float, float]]] = {}
    for row, column, octant in np.argwhere(letter.shown).tolist():
        (hole,) = [(row + down, column + right) for (down, right), own in CORNERS.items() if octant in own]
        points[row, column, octant] = [hole, (row + 0.5, column + 0.5)]  # all meet in the middle
        for point in points[row, column, octant]:
            meeting.setdefault(point, set()).add((row, column, octant))
    found, left = [], set(points)
    while left:
        part: set[Octant] = set()
        border = [left.pop()]
        while border:
            one = border.pop()
            part.add(one)
            beside = {other for point in points[one] for other in meeting[point]} & left
            left -= beside
            border += beside
        found.append(part)
    return found


def moved_up(part: set[Octant]) -> frozenset[Octant]:
    top, left = min(row for row, _, _ in part), min(column for _, column, _ in part)
    return frozenset((row - top, column - left, octant) for row, column, octant in part)


def dots_of(words: str, high: int) -> list[frozenset[Octant]]:
    """Return the small parts of words, those of a single square or of two by two, moved to one place."""
    found = svg2chart.set_letters([words], high=high, fonts=ARABIC.fonts(), face=ARABIC.face())
    small = [part for letter in found.letters for part in parts(letter) if len(part) <= 32]
    return [moved_up(part) for part in small]


@settings(max_examples=examples(25))
@given(
    st.lists(st.text("".join(DOTS) + BARE, min_size=2, max_size=5), min_size=1, max_size=2),
    st.sampled_from([9, 12, 16]),
)
@example(["بيت", "ثلاث", "يوم"], 12)
@example(["شجرة", "زيتون", "خفيف"], 7)
def test_dots_are_all_alike_and_none_is_lost(words: list[str], high: int) -> None:
    need_typefaces()
    text = " ".join(words)
    dots = dots_of(text, high)
    assert len(dots) == sum(DOTS.get(letter, 0) for letter in text)
    assert len(set(dots)) <= 1


@pytest.mark.parametrize("high", [7, 9, 12, 16])
def test_dots_of_one_letter_are_nearer_to_each_other_than_to_those_of_the_next(high: int) -> None:
    """Under the first two letters of this word lie one dot and two: evenly spaced, they would be three."""
    need_typefaces()
    (letter,) = svg2chart.set_letters(["بيت"], high=high, fonts=ARABIC.fonts(), face=ARABIC.face()).letters
    below = sorted(
        min(column for _, column, _ in part)
        for part in parts(letter)
        if min(row for row, _, _ in part) > high // 2
    )
    assert len(below) == 3
    assert below[1] - below[0] < below[2] - below[1]


@settings(max_examples=examples(60))
@given(
    st.floats(1, 9),
    st.floats(1.15, 1.6),
    st.floats(1.1, 1.3),
    st.sampled_from([-1, 1]),
)
@example(7.0, 1.15, 1.1, -1)
def test_three_dots_of_any_size_stand_apart(side: float, apart: float, down: float, way: int) -> None:
    """In a triangle, as drawn in the letters of three dots; those of large letters are large."""
    places = [(0.0, 0.0), (apart, 0.0), (apart / 2, way * down)]
    boxes = [(20 + side * x, 20 + side * y, side, side) for x, y in places]
    bar = (5.0, 50.0, 60.0, 6.0)
    plain = Polygon.of_contours(
        [np.array([(x, y), (x + w, y), (x + w, y + h), (x, y + h)]) for x, y, w, h in (bar, *boxes)]
    )
    dotted = dots_apart(plain, high=60, least=0.1)
    assert dotted is not None
    body = FittedGlyph(shown=np.ones((6, 60, 8), np.bool_), left=5, top=50)
    found = dots_placed(dotted, body)
    assert found is not None
    shown = put_together([body, *found]).shown
    assert len(parts(SetLetter(run=0, text="", shown=shown, row=0, column=0))) == 4

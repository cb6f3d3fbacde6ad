"""Words of joined letters: parts stay apart as in the font, and small letters keep their height."""

import numpy as np
import pytest
import shapely

from svg2chart.geometry.growing import parts_and_hollows, parts_of
from svg2chart.lettering.heights import heights_of
from tests.bench.joined import outline, parts
from tests.bench.letter_measures import region
from tests.bench.lettering import line
from tests.breadth import crossed
from tests.typefaces import ARABIC, SCRIPT, need_typefaces

WORDS = ["judge", "island", "jolly", "lighthouse", "Licht", "violin", "fiji", "jij", "illi", "filling"]
WORDS += ["Ziel", "élève", "nîlé", "löjä"]


@pytest.mark.parametrize(
    ("word", "high"),
    [
        *crossed(WORDS, (5, 7, 9, 12)),
        *crossed(("violin", "fiji", "élève"), (16, 24)),
    ],
)
def test_parts_of_a_joined_word_stay_apart(word: str, high: int) -> None:
    need_typefaces()
    drawn, _ = parts_and_hollows(outline(SCRIPT.fonts(), SCRIPT.face(), word, high), least=0.02)
    assert parts(line(SCRIPT.fonts(), SCRIPT.face(), word, high)) == drawn


@pytest.mark.parametrize(
    ("word", "high"),
    crossed(["judge", "island", "violin", "fiji", "jij", "filling", "löjä", "élève"], [5, 7, 9]),
)
def test_dots_and_accents_of_a_joined_word_stand_where_they_are_drawn(word: str, high: int) -> None:
    need_typefaces()
    drawn = parts_of(outline(SCRIPT.fonts(), SCRIPT.face(), word, high), least=0.02)
    (one,) = line(SCRIPT.fonts(), SCRIPT.face(), word, high)
    stitched = sorted(shapely.get_parts(region(one.shown)), key=shapely.area)[:-1]
    boxes = [(part.points[:, 0].min(), part.points[:, 0].max()) for part in drawn]
    marks = sorted(sum(box) / 2 for box in boxes if box[1] - box[0] < high)
    found = sorted(one.column + shapely.centroid(part).x for part in stitched)
    assert len(found) == len(marks)
    # the word moves by .75 at the most, and a square with some of a mark lies within a square of its middle
    assert np.abs(np.subtract(found, marks)).max() <= 1.75


@pytest.mark.parametrize("high", [5, 7, 9, 12])
@pytest.mark.parametrize("word", ["البحر", "طالب", "المال", "سلم", "عليم"])
def test_upright_stems_of_a_joined_word_are_whole_columns(word: str, high: int) -> None:
    need_typefaces()
    letters = line(ARABIC.fonts(), ARABIC.face(), word, high)
    left, right = min(one.column for one in letters), max(one.end for one in letters)
    shown = np.zeros((high, right - left, 8), np.bool_)
    for one in letters:
        above = one.shown[: -one.row]  # the baseline
        shown[high + one.row :, one.column - left : one.end - left][: len(above)] |= above
    stems = shown[: high // 4 + 1]  # all else of these words is lower
    assert stems[0].any()
    assert (stems.all(axis=-1) == stems.any(axis=-1)).all()
    assert (stems == stems[0]).all()


@pytest.mark.parametrize("high", range(8, 17))
def test_small_letters_of_joined_words_lose_little_of_their_height(high: int) -> None:
    need_typefaces()
    heights = heights_of(SCRIPT.face())
    rows = max(one.shown.shape[0] for one in line(SCRIPT.fonts(), SCRIPT.face(), "noon", high))
    # a twentieth of it at the most: at 12 squares that is less than half a row
    assert rows >= 0.95 * high * heights.small / heights.capital

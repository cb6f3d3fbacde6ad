"""Words of joined letters: parts stay apart as in the font, and small letters keep their height."""

import pytest

from svg2chart.geometry.growing import parts_and_hollows
from svg2chart.lettering.heights import heights_of
from tests.bench.joined import outline, parts
from tests.bench.lettering import line
from tests.typefaces import SCRIPT, need_typefaces

WORDS = ["lighthouse", "Licht", "violin", "fiji", "jij", "illi", "filling", "Ziel", "élève", "nîlé", "löjä"]


@pytest.mark.parametrize(
    ("word", "high"),
    [
        *((word, high) for word in WORDS for high in (7, 9, 12)),
        *((word, high) for word in ("violin", "fiji", "élève") for high in (5, 16, 24)),
    ],
)
def test_parts_of_a_joined_word_stay_apart(word: str, high: int) -> None:
    need_typefaces()
    drawn, _ = parts_and_hollows(outline(SCRIPT.fonts(), SCRIPT.face(), word, high), least=0.02)
    assert parts(line(SCRIPT.fonts(), SCRIPT.face(), word, high)) == drawn


@pytest.mark.parametrize("high", range(8, 17))
def test_small_letters_of_joined_words_lose_little_of_their_height(high: int) -> None:
    need_typefaces()
    heights = heights_of(SCRIPT.face())
    rows = max(one.shown.shape[0] for one in line(SCRIPT.fonts(), SCRIPT.face(), "noon", high))
    # a twentieth of it at the most: at 12 squares that is less than half a row
    assert rows >= 0.95 * high * heights.small / heights.capital

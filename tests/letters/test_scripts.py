"""Words of other scripts: glyphs in the order that HarfBuzz gives, accents on their letters."""

import pytest
import uharfbuzz

import svg2chart
from tests.typefaces import ARABIC, CYRILLIC, GREEK, HEBREW, VIETNAMESE, Typeface, need_typefaces

WORDS = {
    "ميناء": ARABIC,
    "נמל": HEBREW,
    "Λιμάνι": GREEK,
    "Гавань": CYRILLIC,
    "ấửệ": VIETNAMESE,
}


@pytest.mark.parametrize(("word", "typeface"), WORDS.items(), ids=lambda one: getattr(one, "kind", one))
def test_letters_stand_in_the_order_of_their_glyphs(word: str, typeface: Typeface) -> None:
    need_typefaces()
    buffer = uharfbuzz.Buffer()
    buffer.add_str(word)
    buffer.guess_segment_properties()
    uharfbuzz.shape(typeface.face().engine, buffer)
    clusters = list(dict.fromkeys(info.cluster for info in buffer.glyph_infos))
    ends = {
        start: end for start, end in zip(sorted(clusters), [*sorted(clusters)[1:], len(word)], strict=True)
    }
    wanted = "".join(word[start : ends[start]] for start in clusters)
    found = svg2chart.set_letters([word], high=12, fonts=typeface.fonts(), face=typeface.face())
    assert "".join(one.text for one in found.letters) == wanted
    assert found.remarks == ()
    assert [one.column for one in found.letters] == sorted(one.column for one in found.letters)


def test_accents_stand_above_their_letters_and_apart() -> None:
    need_typefaces()
    for accented, plain, parts in (("ế", "e", 3), ("ử", "u", 2)):
        tall = svg2chart.set_letters([accented], high=16, fonts=VIETNAMESE.fonts(), face=VIETNAMESE.face())
        low = svg2chart.set_letters([plain], high=16, fonts=GREEK.fonts(), face=VIETNAMESE.face())
        assert tall.rows > low.rows, parts

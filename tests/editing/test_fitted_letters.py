"""Letters in place of words: on the squares, so high as asked for, and the words can be had again."""

import re
from xml.etree import ElementTree as ET

import pytest

from svg2chart.artwork import Fill
from svg2chart.convert import convert
from svg2chart.editing.fitted_letters import with_letters, with_texts_again
from svg2chart.errors import ArtworkError
from svg2chart.grid import Extent, Grid
from svg2chart.svg.read import parse_artwork

BANNER = b"""<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 120 60" font-family="Source Sans Pro">
<rect id="cloth" width="120" height="60" fill="#9c3a30"/>
<g id="upper" transform="translate(10 4)">
<text id="words" x="50" y="20" font-size="18" text-anchor="middle" fill="#fffaf0">LANTERN</text>
</g>
<text id="turned" transform="rotate(20)" x="40" y="30" font-size="12" fill="#123">QUAY</text>
</svg>
"""


def fitted(data: bytes, *, high: int | None, elements: tuple[str, ...] = ()) -> tuple[bytes, list[str]]:
    data, texts = with_texts_again(data, elements)
    artwork = parse_artwork(data)
    grid = Grid.fit(artwork, square=1.0, extent=Extent.PAGE)
    made, remarks = with_letters(data, artwork, grid, elements=texts if elements else (), high=high)
    return made, [remark.element for remark in remarks]


def rows_of_letters(data: bytes) -> set[int]:
    """Return the rows in which the chart has stitches in the colour of the words."""
    artwork = parse_artwork(data)
    chart = convert(artwork, Grid.fit(artwork, square=1.0, extent=Extent.PAGE))
    (thread,) = (n for n, t in enumerate(chart.threads) if t.colour == "#fffaf0")
    return {
        row
        for row in range(chart.rows)
        for column in range(chart.columns)
        if any(stitch.thread == thread for stitch in chart.arrangement_at(row, column))
    }


@pytest.mark.parametrize("high", [7, 9, 12])
def test_capitals_are_charted_so_many_rows_high_above_their_baseline(high: int) -> None:
    made, _ = fitted(BANNER, high=high, elements=("words",))
    assert rows_of_letters(made) == set(range(24 - high, 24))  # the baseline lies 20 + 4 squares down


@pytest.mark.parametrize(
    ("opening", "closing"),
    [
        ('<svg x="10" y="4" width="60" height="30" viewBox="0 0 120 60" overflow="visible">', "</svg>"),
        ('<svg x="10" y="4" overflow="visible"><g transform="scale(.5)">', "</g></svg>"),
        ('<g style="transform: translate(10px, 4px) scale(0.5)">', "</g>"),
    ],
    ids=["a viewport with a view box", "a viewport without", "a transform of a style"],
)
def test_letters_lie_on_the_squares_inside_of_whatever_their_words_lie_in(opening: str, closing: str) -> None:
    inside = BANNER.replace(b'<g id="upper" transform="translate(10 4)">', opening.encode(), 1)
    inside = inside.replace(b"</text>\n</g>", b"</text>\n" + closing.encode(), 1)
    made, _ = fitted(inside, high=9, elements=("words",))
    assert rows_of_letters(made) == set(range(14 - 9, 14))  # the baseline lies 20 / 2 + 4 squares down


def test_a_letter_is_an_element_named_by_its_character() -> None:
    made, _ = fitted(BANNER, high=9, elements=("words",))
    assert re.findall(r'<path id="words-letter-\d"[^>]*inkscape:label="(.)"', made.decode()) == list(
        "LANTERN"
    )


def test_again_starts_from_the_words_whichever_part_is_selected() -> None:
    made, _ = fitted(BANNER, high=9, elements=("words",))
    again, _ = fitted(made, high=9, elements=("words-letter-3",))
    assert again == made
    assert with_texts_again(made, ()) == (BANNER, ("words", "turned"))
    edited = made.replace(b">LANTERN</text>", b">NIGHT</text>")
    other, _ = fitted(edited, high=9, elements=("words-letters",))
    assert re.findall(r'inkscape:label="(.)"', other.decode()) == list("NIGHT")


@pytest.mark.parametrize(
    "chosen", ["words", "last", "upper"], ids=["a text", "a part of it", "what holds it"]
)
def test_the_text_that_is_meant_is_fitted_and_no_other(chosen: str) -> None:
    banner = BANNER.replace(b"LANTERN", b'LANTE<tspan id="last">RN</tspan>')
    banner = banner.replace(b"</svg>", b'<text id="other" x="70" y="50" font-size="18">QUAY</text></svg>')
    made, left = fitted(banner, high=9, elements=(chosen,))
    assert re.findall(rb'id="([a-z]*)-letters"', made) == [b"words"]
    assert left == []
    assert with_texts_again(made, (chosen,)) == (banner, ("words",))


def test_words_that_cannot_be_fitted_stay_and_are_named() -> None:
    made, left = fitted(BANNER, high=None)
    assert left == ["turned"]
    assert b'<text id="turned"' in made
    assert b'id="turned-letters"' not in made


def test_words_without_an_id_and_copies_of_words_are_named() -> None:
    banner = BANNER.replace(
        b"</svg>", b'<text x="70" y="50" font-size="18">QUAY</text><use id="twin" href="#words"/></svg>'
    )
    made, left = fitted(banner, high=9)
    assert sorted(left) == ["text 3", "turned", "twin"]
    assert b'<text x="70" y="50" font-size="18">QUAY</text>' in made
    made, left = fitted(banner, high=9, elements=("words",))
    assert left == []
    assert [remark.element for remark in parse_artwork(made).remarks] == ["twin"]


def test_letters_have_no_stroke_of_what_their_words_lie_in() -> None:
    stroked = BANNER.replace(b'<g id="upper"', b'<g id="upper" stroke="#00ff00" stroke-width="2"')
    stroked = stroked.replace(b'<text id="words"', b'<text id="words" stroke="none"')
    made, _ = fitted(stroked, high=9, elements=("words",))
    # as an editor shows them: what is told to be an area is charted without its stroke in any case
    shown = re.sub(rb' data-stitch="[^"]*"', b"", made)
    assert {type(mark) for mark in parse_artwork(shown).painted() if "words" in mark.element} == {Fill}


def test_letters_keep_their_colour_where_a_drawing_has_rules_for_all_paths() -> None:
    ruled = BANNER.replace(b"<rect", b"<style>path { fill: #00ff00 }</style><rect", 1)
    made, _ = fitted(ruled, high=9, elements=("words",))
    assert rows_of_letters(made) == set(range(24 - 9, 24))


def test_letters_take_no_id_that_is_there_already() -> None:
    taken = BANNER.replace(
        b"</svg>", b'<path id="words-text" d="M0 0"/><g id="words-fitted-letter-1"/></svg>'
    )
    made, _ = fitted(taken, high=9, elements=("words",))
    ids = [name for e in ET.fromstring(made).iter() if (name := e.get("id"))]
    assert len(ids) == len(set(ids))
    again, _ = fitted(made, high=9, elements=("words-fitted-fitted-letter-1",))
    assert again == made


def test_what_is_no_text_is_an_error() -> None:
    with pytest.raises(ArtworkError, match="no text"):
        fitted(BANNER.replace(b"text", b"g"), high=9)
    with pytest.raises(ArtworkError, match='"cloth" is no text'):
        fitted(BANNER, high=9, elements=("cloth",))
    artwork = parse_artwork(BANNER)
    with pytest.raises(ArtworkError, match='"cloth" is no text'):
        with_letters(BANNER, artwork, Grid.fit(artwork, wide=60), elements=["cloth"], high=9)


@pytest.mark.parametrize(("told", "size"), [("backstitch", 18), ("as-drawn", 18), ("fitted", 3)])
def test_words_told_otherwise_and_words_too_low_for_letters_stay_with_a_remark(told: str, size: int) -> None:
    data = BANNER.replace(b'font-size="18"', f'font-size="{size}" data-stitch-text="{told}"'.encode())
    made, named = fitted(data, high=None)
    assert made == data
    assert "words" in named
    made, named = fitted(data, high=7, elements=("words",))
    assert b'id="words-letters"' in made
    assert named == []

"""Letters that are charted as drawn, placed off the squares: each is told of, with the way back onto them."""

import pytest

from svg2chart.alphabets.reading import packaged_alphabet
from svg2chart.convert import convert
from svg2chart.grid import Extent, Grid
from svg2chart.letterdrawing import draw_letters
from svg2chart.letters.alphabet_words import set_in_alphabet
from svg2chart.remarks import Remark
from svg2chart.svg.read import parse_artwork

WORDS = "Lamps & Ægir"
LINES = ("backstitch-5", "backstitch-7")
TOLD = "told to be charted as drawn, but "
MOVE = "; move it onto whole squares"


def remarks_on(words: str, transform: str, alphabet: str = "stitched-7") -> list[Remark]:
    """Return the remarks on letters of an alphabet of ours, an element each, placed so in a drawing."""
    lettering = set_in_alphabet([words], alphabet=packaged_alphabet(alphabet))
    svg = draw_letters(lettering, colour="#1f3a5f").decode()
    letters = svg[svg.index("</title>") + len("</title>") : svg.rindex("</svg>")]
    drawing = (
        '<svg xmlns="http://www.w3.org/2000/svg" xmlns:inkscape="http://www.inkscape.org/namespaces/inkscape"'
        f' viewBox="0 0 120 40"><g transform="{transform}">{letters}</g></svg>'
    )
    artwork = parse_artwork(drawing.encode())
    return list(convert(artwork, Grid.fit(artwork, square=1.0, extent=Extent.PAGE)).remarks)


@pytest.mark.parametrize(
    ("transform", "by"),
    [
        ("translate(4.5,5.5)", "0.50 across and 0.50 down"),
        ("translate(4,5.5)", "0.50 down"),
        ("translate(4.5,5)", "0.50 across"),
        ("translate(4.25,5)", "0.25 across"),
        ("translate(4.9,5.25)", "0.10 across and 0.25 down"),
    ],
)
def test_every_letter_off_the_squares_is_told_of_with_its_way_back(transform: str, by: str) -> None:
    """An L half a square off is whole quarter squares, others are none: both are off by the same."""
    remarks = [remark for remark in remarks_on(WORDS, transform) if remark.what.startswith(TOLD)]
    assert {remark.element for remark in remarks} == {f"letter-{number}" for number in range(1, 11)}
    for remark in remarks:
        assert remark.what.startswith(f"{TOLD}lies off the squares, by {by} of a square: charted ")
        assert remark.what.endswith(MOVE)


@pytest.mark.parametrize(
    ("transform", "why"),
    [
        ("translate(4,5) scale(1.4)", "is scaled"),
        ("translate(4.3,5.2) scale(0.7)", "is scaled"),
        ("translate(4,5) rotate(10)", "is turned"),
        ("translate(20,5) rotate(-4)", "is turned"),
    ],
)
def test_scaled_and_turned_letters_are_told_to_be_so(transform: str, why: str) -> None:
    remarks = [remark for remark in remarks_on(WORDS, transform) if TOLD in remark.what]
    assert {remark.element for remark in remarks} == {f"letter-{number}" for number in range(1, 11)}
    assert all(remark.what.startswith(TOLD + why) for remark in remarks)


@pytest.mark.parametrize(
    "transform", ["translate(4,5)", "translate(90,5) scale(-1,1)", "translate(4,5) scale(2)"]
)
def test_letters_on_the_squares_are_not_told_of(transform: str) -> None:
    """Mirrored ones are whole stitches, too, and so are those twice as large."""
    assert remarks_on(WORDS, transform) == []


@pytest.mark.parametrize("alphabet", LINES)
@pytest.mark.parametrize(
    ("transform", "by", "how"),
    [
        (
            "translate(4.5,9.5)",
            "0.50 across and 0.50 down",
            "between the middles of squares or of their sides",
        ),
        ("translate(4,9.5)", "0.50 down", "between the middles of squares or of their sides"),
        ("translate(4.3,9)", "0.30 across", "at the nearest holes"),
        ("translate(4.75,9.25)", "0.25 across and 0.25 down", "at the nearest holes"),
    ],
)
def test_letters_of_backstitch_off_the_holes_are_told_of(
    alphabet: str, transform: str, by: str, how: str
) -> None:
    remarks = [remark for remark in remarks_on("Lamps", transform, alphabet) if TOLD in remark.what]
    assert [remark.element for remark in remarks] == [f"letter-{number}" for number in range(1, 6)]
    assert {remark.what for remark in remarks} == {
        f"{TOLD}lies off the holes, by {by} of a square: charted {how}{MOVE}"
    }


@pytest.mark.parametrize("alphabet", LINES)
@pytest.mark.parametrize("transform", ["translate(9,9) rotate(20)", "translate(4,9) scale(1.3)"])
def test_letters_of_backstitch_turned_or_scaled_off_the_holes_are_told_of(
    alphabet: str, transform: str
) -> None:
    remarks = [remark for remark in remarks_on("Lamps", transform, alphabet) if TOLD in remark.what]
    assert [remark.element for remark in remarks] == [f"letter-{number}" for number in range(1, 6)]
    assert all(
        "its ends lie off the holes, each otherwise, the farthest by 0." in one.what for one in remarks
    )


@pytest.mark.parametrize("alphabet", LINES)
@pytest.mark.parametrize(
    "transform", ["translate(4,9)", "translate(4.1,8.95)", "translate(90,9) scale(-1,1)"]
)
def test_letters_of_backstitch_at_the_holes_are_not_told_of(alphabet: str, transform: str) -> None:
    assert remarks_on("Lamps", transform, alphabet) == []


def test_a_single_line_between_the_middles_of_squares_is_not_told_of() -> None:
    """As a chart is drawn that has such a line."""
    svg = (
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"><path d="M1.5 2.5L4.5 5.5" fill="none"'
        ' stroke="#1f3a5f" stroke-width="0.25" data-stitch="backstitch-as-drawn"/></svg>'
    )
    artwork = parse_artwork(svg.encode())
    chart = convert(artwork, Grid.fit(artwork, square=1.0, extent=Extent.PAGE))
    assert [(line.start, line.end) for line in chart.backstitch] == [((1.5, 2.5), (4.5, 5.5))]
    assert chart.remarks == ()

"""Laws of the alphabets of the package, letter by letter: readable files, good letters, all accents."""

from itertools import combinations

import pytest

import svg2chart
from svg2chart.alphabets.composing import drawn_letter, letters_of
from svg2chart.alphabets.drawn import Alphabet, Drawn, Stitches
from svg2chart.alphabets.pictures import PictureError, read_picture
from svg2chart.alphabets.reading import parse_alphabet
from svg2chart.chart import Corner

NAMES = svg2chart.alphabet_names()
CAPITALS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
SMALL = CAPITALS.lower()
FIGURES = "0123456789"
SYMMETRIC = "AHIMOTUVWXYovwx08Ŧº•¥±♥"  # left and right
TURNED = "INOSXZosxz"  # after half a turn; the bar of an H lies above the middle where that is no hole line
HANGING = "gjpqy"
BESIDE = "Q"  # its tail may hang
ASCII = "".join(chr(code) for code in range(0x21, 0x7F))

# The letters beyond a to z that languages are written with. Source: Unicode CLDR 48.2, the main exemplar
# characters of each locale (cldr-misc-full, main/*/characters.json); capitals by Python's upper().
LANGUAGES = {
    "Albanian": "çë",
    "Basque": "çñ",
    "Bosnian, Croatian, Serbian": "ćčđšž",
    "Breton": "êñùʼ",
    "Catalan": "·àçèéíïòóúü",
    "Czech": "áéíóúýčďěňřšťůž",
    "Danish": "åæø",
    "Dutch": "áäéëíïóöúü",
    "Estonian": "äõöüšž",
    "Faroese": "áæíðóøúý",
    "Finnish": "äåöšž",
    "French": "àâæçèéêëîïôùûüÿœ",
    "Frisian": "àâäèéêëíïóôöúûüý",
    "Galician": "áéíïñóúü",
    "German": "ßäöü",
    "Hungarian": "áéíóöúüőű",
    "Icelandic": "áæéíðóöúýþ",
    "Irish": "áéíóú",
    "Italian, Romansh, Scottish Gaelic": "àèéìòù",
    "Latvian": "āčēģīķļņšūž",
    "Lithuanian": "ąčėęįšūųž",
    "Lower Sorbian": "óćčěłńŕśšźž",
    "Luxembourgish": "äéë",
    "Maltese": "àèìòùċġħż",
    "Northern Sami": "áčđńŋšŧž",
    "Norwegian": "àåæéòóôø",
    "Polish": "óąćęłńśźż",
    "Portuguese": "àáâãçéêíòóôõú",
    "Romanian": "âîășț",
    "Slovak": "áäéíóôúýčďĺľňŕšťž",
    "Slovenian": "čšž",
    "Spanish": "áéíñóúü",
    "Swedish": "àäåéö",
    "Turkish": "çöüğİış",
    "Upper Sorbian": "óćčěłńřšźž",
    "Welsh": "àáâäèéêëìíîïòóôöùúûüýÿŵŷẁẃẅỳ",
}
# CLDR 48.2, punctuation of English, German, French and Spanish.
PUNCTUATION = "‐‑–—…‘’“”„‚«»‹›§†‡′″¡¿‰−"
# of ISO 8859-1 and 8859-15 and the symbols of Unicode, as far as they are of use among words; our own choice
SIGNS = "€£¢¥©®™°±×÷ªº¹²³½¼¾µ•←→♥"


def alphabet_of(name: str) -> Alphabet:
    return svg2chart.packaged_alphabet(name)


def drawn(alphabet: Alphabet, letter: str) -> Drawn:
    found = drawn_letter(alphabet, letter)
    assert found is not None, f"{alphabet.name}: {letter}"
    return found


def mirrored(one: Drawn) -> Drawn:
    """Return a letter with left and right changed, its stitches in order."""
    wide, flipped = one.right, [1, 0, 3, 2]
    corners = list(Corner)
    return in_order(
        Drawn(
            squares=tuple(
                (row, wide - 1 - column, corner and corners[flipped[corners.index(corner)]])
                for row, column, corner in one.squares
            ),
            lines=tuple(((wide - a, b), (wide - c, d)) for (a, b), (c, d) in one.lines),
            knots=tuple((wide - x, y) for x, y in one.knots),
        )
    )


def turned(one: Drawn) -> Drawn:
    """Return a letter after half a turn about its middle, its stitches in order."""
    corners = list(Corner)
    wide, around = one.right, one.top + one.bottom
    return in_order(
        Drawn(
            squares=tuple(
                (around - 1 - row, wide - 1 - column, corner and corners[(corners.index(corner) + 2) % 4])
                for row, column, corner in one.squares
            ),
            lines=tuple(((wide - a, around - b), (wide - c, around - d)) for (a, b), (c, d) in one.lines),
            knots=tuple((wide - x, around - y) for x, y in one.knots),
        )
    )


def in_order(one: Drawn) -> Drawn:
    return Drawn(
        squares=tuple(sorted(one.squares, key=lambda s: (s[0], s[1], s[2].value if s[2] else ""))),
        lines=tuple(sorted((min(line), max(line)) for line in one.lines)),
        knots=tuple(sorted(one.knots)),
    )


@pytest.mark.parametrize("name", NAMES)
def test_every_language_of_western_and_central_europe_can_be_written(name: str) -> None:
    alphabet = alphabet_of(name)
    wanted = set(ASCII + PUNCTUATION + SIGNS + "ĳĲŀĿ")
    for letters in LANGUAGES.values():
        wanted |= set(letters) | {one for letter in letters for one in letter.upper()}
    assert [one for one in sorted(wanted) if drawn_letter(alphabet, one) is None] == []


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize(
    ("one", "several"), [("ĳ", "ij"), ("Ĳ", "IJ"), ("ŀ", "l·"), ("ŉ", "ʼn"), ("ﬃ", "ffi")]
)
def test_a_character_of_several_letters_is_these_side_by_side(name: str, one: str, several: str) -> None:
    """Source: the Unicode Character Database, compatibility decompositions."""
    alphabet = alphabet_of(name)
    whole = drawn(alphabet, one)
    right = 0
    parts = Drawn()
    for letter in several:
        part = drawn(alphabet, letter).moved(right, 0)
        parts, right = parts.with_other(part), part.right + alphabet.apart
    assert in_order(whole) == in_order(parts)
    assert list(letters_of(one)) == [one]


@pytest.mark.parametrize("name", NAMES)
def test_no_two_letters_are_alike(name: str) -> None:
    alphabet = alphabet_of(name)
    accented = sorted({one for letters in LANGUAGES.values() for one in letters + letters.upper()} - set("ʼ"))
    found = {one: in_order(drawn(alphabet, one)) for one in [*ASCII, *accented, *PUNCTUATION, *SIGNS]}
    # these are one sign for the eye, and are drawn as one
    same = [{"'", "′"}, {'"', "″"}, {",", "‚"}, {"-", "‐", "‑"}, {"–", "−"}, {"Đ", "Ð"}]
    alike = [
        {one, other}
        for one, other in combinations(found, 2)
        if found[one] == found[other] and not any({one, other} <= signs for signs in same)
    ]
    assert alike == []


@pytest.mark.parametrize("name", NAMES)
def test_letters_stand_on_the_base_line_and_have_their_heights(name: str) -> None:
    alphabet = alphabet_of(name)
    for letter in CAPITALS + FIGURES:
        one = drawn(alphabet, letter)
        assert (one.left, one.top) == (0, -alphabet.capital), letter
        assert one.bottom == 0 or letter in BESIDE, letter
    for letter in SMALL:
        one = drawn(alphabet, letter)
        assert (one.bottom > 0) == (letter in HANGING), letter
        assert letter in HANGING or one.bottom == 0, letter
    for letter in "acemnorsuvwxzgpqy":
        assert drawn(alphabet, letter).top == -alphabet.small, letter
    for letter in "bdhkl":
        assert drawn(alphabet, letter).top == -alphabet.capital, letter


@pytest.mark.parametrize("name", NAMES)
def test_symmetric_letters_are_symmetric(name: str) -> None:
    alphabet = alphabet_of(name)
    for letter in SYMMETRIC:
        one = drawn(alphabet, letter)
        assert mirrored(one) == in_order(one), letter
    for letter in TURNED:
        one = drawn(alphabet, letter)
        assert turned(one) == in_order(one), letter


@pytest.mark.parametrize("name", NAMES)
def test_pairs_of_signs_are_mirror_images(name: str) -> None:
    alphabet = alphabet_of(name)
    for one, other in ("()", "[]", "{}", "<>", "«»", "‹›", "/\\", "←→", "bd", "pq"):
        assert mirrored(drawn(alphabet, one)) == in_order(drawn(alphabet, other)), one


@pytest.mark.parametrize("name", NAMES)
def test_accents_stand_apart_above_their_letters_in_the_middle(name: str) -> None:
    alphabet = alphabet_of(name)
    for letter in "áàâäãåāčőöüÁÀÂÄÃÅĀČŐÖÜñéèêëŵŷ":
        base, one = drawn(alphabet, plain(letter)), drawn(alphabet, letter)
        above = [line for line in one.lines if max(line[0][1], line[1][1]) < base.top]
        squares = [row for row, _, _ in one.squares if row < base.top]
        knots = [knot for knot in one.knots if knot[1] < base.top]
        assert len(above) + len(squares) + len(knots) > 0, letter
        assert base.top - 1 not in squares, letter  # a bare row between
        assert len(one.lines) == len(base.lines) + len(above), letter


@pytest.mark.parametrize("name", NAMES)
def test_horns_begin_where_the_right_side_does(name: str) -> None:
    alphabet = alphabet_of(name)
    for letter in "ơưƠƯ":
        base, one = drawn(alphabet, plain(letter)), drawn(alphabet, letter)
        assert one.left == base.left
        assert one.right > base.right
        assert one.bottom == base.bottom
        horn = Drawn(squares=one.squares[len(base.squares) :], lines=one.lines[len(base.lines) :])
        assert (horn.left, horn.bottom) == base.shoulder
        assert 2 * horn.bottom <= base.top + base.bottom, letter
        beside = [(row, column - 1) for row, column, _ in horn.squares if column == base.right]
        held = {(row, column) for row, column, _ in base.squares}
        assert alphabet.stitches is Stitches.BACKSTITCH or held & set(beside), letter


VIETNAMESE = "aăâbcdđeêghiklmnoôơpqrstuưvxy"
TONES = ["", "\u0300", "\u0301", "\u0303", "\u0309", "\u0323"]


@pytest.mark.parametrize("name", NAMES)
def test_every_letter_of_vietnamese_is_drawn(name: str) -> None:
    alphabet = alphabet_of(name)
    for letter in VIETNAMESE + VIETNAMESE.upper():
        for tone in TONES if plain(letter).lower() in "aeiouy" else [""]:
            assert drawn_letter(alphabet, letter + tone) is not None, letter + tone


def plain(letter: str) -> str:
    from unicodedata import normalize

    return normalize("NFD", letter)[0]


@pytest.mark.parametrize("name", NAMES)
def test_letters_with_the_same_accent_twice_composed_are_the_same(name: str) -> None:
    alphabet = alphabet_of(name)
    assert drawn(alphabet, "\u00e4") == drawn(alphabet, "a\u0308")
    assert list(letters_of("a\u0308e")) == ["ä", "e"]
    assert drawn(alphabet, "ǘ").top < drawn(alphabet, "ü").top
    assert drawn_letter(alphabet, "Ω") is None
    assert drawn_letter(alphabet, "a\u0489") is None  # an accent that there is not


@pytest.mark.parametrize("name", NAMES)
def test_stitches_are_of_one_kind_and_none_is_worked_twice(name: str) -> None:
    alphabet = alphabet_of(name)
    for letter, one in alphabet.letters.items():
        if alphabet.stitches is Stitches.STITCHED:
            assert not one.lines, letter
            assert not one.knots, letter
        else:
            assert not one.squares, letter
        assert len({square[:2] for square in one.squares}) == len(one.squares), letter
        assert len(set(one.lines)) == len(one.lines), letter


def test_a_picture_is_read_as_it_looks() -> None:
    squares = read_picture(["  ◢◣", "_ ##"], Stitches.STITCHED)
    assert squares.squares == (
        (-2, 0, Corner.BOTTOM_RIGHT),
        (-2, 1, Corner.BOTTOM_LEFT),
        (-1, 0, None),
        (-1, 1, None),
    )
    lines = read_picture(["  o . .", r"   /|\ ".rstrip(), "_ .-. ."], Stitches.BACKSTITCH)
    assert lines.knots == ((0, -1),)
    assert set(lines.lines) == {((0, 0), (1, -1)), ((1, -1), (1, 0)), ((1, -1), (2, 0)), ((0, 0), (1, 0))}
    steep = read_picture(["  . .", "", "  ./.", "", "_ . ."], Stitches.BACKSTITCH)
    assert steep.lines == (((0, 0), (1, -2)),)
    flat = read_picture(["  . . .", r"   \ ".rstrip(), "_ . . ."], Stitches.BACKSTITCH)
    assert flat.lines == (((0, -1), (1, 0)),)


@pytest.mark.parametrize(
    ("rows", "what"),
    [
        (["  ##"], "0 rows do"),
        (["_ ##", "_ ##"], "2 rows do"),
        (["x ##", "_ ##"], "begins with a space"),
        (["_ #x"], '"x" is none of'),
        (["_ .."], "no stitch"),
    ],
)
def test_pictures_that_cannot_be_read_say_why(rows: list[str], what: str) -> None:
    with pytest.raises(PictureError, match=what):
        read_picture(rows, Stitches.STITCHED)
    with pytest.raises(PictureError, match="cannot stand there"):
        read_picture(["  -", "_ ."], Stitches.BACKSTITCH)


@pytest.mark.parametrize(
    ("text", "what"),
    [
        ("", "what the letters are made of"),
        ("stitches stitched\ncapital 5\nsmall x", '"small" is not told'),
        ("stitches stitched\ncapital 0", '"capital" is not told'),
        ("HEAD\nletter A\n  ##", "line 8: one row begins"),
        ("HEAD\nletter A\n_ #?", "line 8: .* is none of"),
        ("HEAD\nletter A\n_ #\nletter A\n_ #", 'line 9: "A" has a picture already'),
        ("HEAD\nletter\n_ #", "is followed by"),
        ("HEAD\nabove grave\n_ #", "named like U"),
    ],
)
def test_files_that_are_no_alphabet_say_why(text: str, what: str) -> None:
    head = "stitches stitched\ncapital 5\nsmall 3\napart 1\nnearer 1\nspace 3"
    with pytest.raises(svg2chart.LettersError, match=what):
        parse_alphabet(text.replace("HEAD", head), "own")

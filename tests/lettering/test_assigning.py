"""Which face each letter is set in: fonts in several files, letters with accents, marks."""

from functools import cache
from unicodedata import normalize

import pytest
from hypothesis import given
from hypothesis import strategies as st

from svg2chart.artwork import Run
from svg2chart.lettering.assigning import letters_of_runs
from svg2chart.lettering.fonts import Face, Fonts, read_fonts
from svg2chart.lettering.match import match_face
from svg2chart.lettering.words import set_words
from tests.lettering.samples import run, simplified, words
from tests.typefaces import LATIN, LATIN_EXTENDED, VIETNAMESE, Typeface, need_typefaces

LATO = [
    Typeface("split", "lato", f"latin{rest}-{w}-normal") for rest in ("", "-ext") for w in (300, 400, 700)
]
SPLIT = (LATIN, LATIN_EXTENDED, VIETNAMESE)


@cache
def files_of(*typefaces: Typeface) -> Fonts:
    return read_fonts([typeface.file for typeface in typefaces])


def faces(fonts: Fonts, asked: Run) -> list[Face | None]:
    """Return the face of each character of a run."""
    match = match_face(fonts, asked.families, weight=asked.weight, italic=asked.italic)
    return [letter.face for letter in letters_of_runs([asked], [match], fonts)]


@pytest.mark.parametrize("weight", [400, 700])
def test_the_files_of_one_font_come_before_other_styles_of_its_family(weight: int) -> None:
    need_typefaces()
    fonts = files_of(*LATO)
    found = faces(fonts, run("Żółć", families=("Lato",), weight=weight))
    assert {(face.family, face.weight) for face in found if face} == {("Lato", weight)}
    assert set_words(words(run("Żółć", families=("Lato",), weight=weight)), fonts).remarks == ()


def test_another_style_of_the_family_comes_before_other_families_and_is_told() -> None:
    need_typefaces()
    fonts = files_of(LATO[1], LATO[-1])  # plain Latin in its regular weight, the rest in bold
    asked = run("aż", families=("Lato",))
    first, second = faces(fonts, asked)
    assert first
    assert second
    assert [(face.family, face.weight) for face in (first, second)] == [("Lato", 400), ("Lato", 700)]
    what = '"Lato" in weight 400 has no "ż", set in weight 700'
    assert set_words(words(asked), fonts).remarks == (simplified(what),)


def test_a_letter_and_its_accented_form_are_of_one_font_where_one_has_both() -> None:
    need_typefaces()
    fonts = files_of(VIETNAMESE)  # it has ệ and no e
    asked = run("ệe", families=("Open Sans",))
    assert {face.family for face in faces(fonts, asked) if face} == {"Source Sans Pro"}
    assert set_words(words(asked), fonts).remarks == (
        simplified('"Open Sans" has no "ệ" without accents, set in "Source Sans Pro"'),
        simplified('"Open Sans" has no "e", set in "Source Sans Pro"'),
    )


def test_a_letter_and_a_mark_go_to_a_font_that_has_both() -> None:
    # CSS Fonts Level 4, 5.3: the whole cluster is matched; Lato's file has q, but no combining accents
    need_typefaces()
    fonts = files_of(LATO[1])
    asked = run("qq\u0301q", families=("Lato",))
    families = [face.family for face in faces(fonts, asked) if face]
    assert families == ["Lato", "Source Sans Pro", "Source Sans Pro", "Lato"]
    what = '"Lato" has no "q\u0301", set in "Source Sans Pro"'
    assert set_words(words(asked), fonts).remarks == (simplified(what),)


def test_a_mark_that_no_font_has_with_its_letter_leaves_the_letter_alone() -> None:
    need_typefaces()
    fonts = files_of(LATIN)
    letter, mark = faces(fonts, run("q\U0001e8d0", families=("Open Sans",)))  # a mark of another script
    assert letter
    assert (letter.family, mark) == ("Open Sans", None)


def test_selectors_of_variants_are_not_looked_for() -> None:
    need_typefaces()
    fonts = files_of(LATIN)
    done = set_words(words(run("A\ufe0e\u034fB", families=("Open Sans",))), fonts)
    assert done.remarks == ()


@given(
    text=st.text(st.sampled_from("aeiouyAEIOUYnszcłđ Żćęőũạấệửýñéàü"), min_size=1, max_size=8),
    files=st.permutations(SPLIT),
)
def test_a_letter_has_one_face_however_it_is_spelled(text: str, files: list[Typeface]) -> None:
    """Canonically equivalent texts are one text. Source: the Unicode Standard, 3.2, C6."""
    need_typefaces()
    fonts = files_of(*files)

    def by_letter(form: str) -> list[Face | None]:
        spelled = [normalize(form, letter) for letter in text]
        found = faces(fonts, run("".join(spelled), families=("Open Sans",)))
        starts = [sum(map(len, spelled[:index])) for index in range(len(spelled))]
        return [found[start] for start in starts]

    assert by_letter("NFC") == by_letter("NFD")


@given(text=st.text(st.sampled_from("aceńż ÁŻłóệử"), min_size=1, max_size=6), files=st.permutations(SPLIT))
def test_all_files_of_a_font_are_one_in_whatever_order(text: str, files: list[Typeface]) -> None:
    need_typefaces()
    one, other = (
        set_words(words(run(text, families=("Open Sans",))), files_of(*order)) for order in (SPLIT, files)
    )
    assert one.letters == other.letters
    assert one.remarks == other.remarks == ()

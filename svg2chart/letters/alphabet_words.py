"""Words in the alphabets of the package: lines, paragraphs, arches, monograms, and a sheet of all letters."""

from collections.abc import Sequence

from svg2chart.alphabets.drawn import Alphabet, Stitches
from svg2chart.alphabets.reading import alphabet_names, packaged_alphabet
from svg2chart.letters.alphabet_lines import alphabet_line, lacks, remarks_on
from svg2chart.letters.laying import (
    MOST_INITIALS,
    Layout,
    Lettering,
    initials_of,
    lay_out,
    lay_out_monogram,
    placed_at_origin,
)
from svg2chart.letters.placed import SetLetter, SetLine

_PLAIN = Layout()
_SHEET_GAP = 4
_SHEET_ACCENTS = "Àà Éé Êê Ññ Üü Åå Çç Čč Ăă Őő Żż Āā Ęę Șș Ķķ Ģģ"
SHEET_WIDTH = 200


def set_in_alphabet(lines: Sequence[str], *, alphabet: Alphabet, layout: Layout = _PLAIN) -> Lettering:
    """Return lines of words in an alphabet.

    Args:
        lines: of text; with a width, each is a paragraph.
        alphabet: its letters are as high as they are drawn.
        layout: how the lines stand.

    Raises:
        LettersError: there is nothing to set, the width is too small, or lines lie over each other.
    """

    def line_of(text: str, _: str) -> SetLine:
        return alphabet_line(alphabet, text, spacing=layout.spacing)

    remarks = remarks_on(alphabet, " ".join(lines))
    return lay_out(lines, line_of, high=alphabet.capital, layout=layout, remarks=remarks)


def set_monogram_in_alphabet(text: str, *, alphabet: Alphabet) -> Lettering:
    """Return one to three letters as a monogram; of three, the middle one is higher.

    The outer ones are from the next lower alphabet of that kind. Where there is none they are from this one,
    and the middle one is from the next higher.

    Raises:
        LettersError: there are not one to three letters.
    """
    packaged = [packaged_alphabet(name) for name in alphabet_names()]
    same_kind = sorted(
        (one for one in packaged if one.stitches is alphabet.stitches), key=lambda one: one.capital
    )
    lower = [one for one in same_kind if one.capital < alphabet.capital]
    higher = [one for one in same_kind if one.capital > alphabet.capital]
    outer = lower[-1] if lower else alphabet
    initials = initials_of(text)
    are_three = len(initials) == MOST_INITIALS
    is_raised = not lower and higher and are_three
    inner = higher[0] if is_raised else alphabet

    def middle(letter: str, _: str) -> SetLine:
        return alphabet_line(inner, letter)

    def sides(letter: str, _: str) -> SetLine:
        return alphabet_line(outer, letter)

    of_inner, of_outer = (initials[1:2], initials[::2]) if are_three else (initials, [])
    remarks = (*remarks_on(inner, "".join(of_inner)), *remarks_on(outer, "".join(of_outer)))
    raised = (inner.capital - outer.capital) // 2
    return lay_out_monogram(text, middle, sides, raised=raised, remarks=remarks)


def alphabet_sheet(alphabets: Sequence[Alphabet], *, width: int = SHEET_WIDTH) -> Lettering:
    """Return all letters of alphabets, each alphabet under its name as far as it has the letters for it.

    Args:
        alphabets: one under the other.
        width: lines are no wider than so many squares, or than their widest word.
    """
    letters: list[SetLetter] = []
    down = 0
    for alphabet in alphabets:
        words = [
            [word for word in line.split() if not lacks(alphabet, word)] for line in _sheet_lines(alphabet)
        ]
        lines = [" ".join(line) for line in words if line]
        widest = max((alphabet_line(alphabet, word).width for line in words for word in line), default=0)
        layout = Layout(width=max(width, widest))
        own = set_in_alphabet(lines, alphabet=alphabet, layout=layout)
        letters += [one.moved(down=down) for one in own.letters]
        down += own.rows + _SHEET_GAP
    return placed_at_origin(letters, (), text=", ".join(one.name for one in alphabets))


def _sheet_lines(alphabet: Alphabet) -> list[str]:
    """Return the lines of a sheet: letters, figures, all other characters, and letters with accents."""
    first = {
        drawn: one for one, drawn in reversed(list(alphabet.letters.items()))
    }  # of those that look alike
    rest = [one for one in first.values() if not (one.isascii() and one.isalnum())][::-1]
    capitals = "".join(chr(code) for code in range(ord("A"), ord("Z") + 1))
    kind = "backstitch" if alphabet.stitches is Stitches.BACKSTITCH else "stitches"
    title = f"{alphabet.name}: {kind}, {alphabet.capital} high"
    return [
        title,
        " ".join(capitals),
        " ".join(capitals.lower()),
        "0 1 2 3 4 5 6 7 8 9",
        " ".join(rest),
        _SHEET_ACCENTS,
    ]

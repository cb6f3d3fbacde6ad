"""Characters to letters of an alphabet: drawn as they are, or composed of a letter and its accents."""

import re
from collections.abc import Iterator
from unicodedata import combining, normalize

from svg2chart.alphabets.drawn import Accent, Alphabet, Drawn, Hole, Seat

DOTLESS = {"i": "\u0131", "j": "\u0237"}
"""What stands under an accent in place of a letter with a dot."""

_CEDILLA, _COMMA_BELOW, _TURNED_COMMA_ABOVE = "\u0327", "\u0326", "\u0312"
_WITH_COMMA = frozenset("GKkLlNnRr")
"""Letters whose cedilla is written as a comma below, as in Latvian; that of g stands above. Source: The
Unicode Standard, chapter 7.1, and the code charts' notes on U+0122 to U+0157; from memory."""

_UNSEEN = re.compile("[\u00ad\u061c\u200b-\u200f\u202a-\u202e\u2060-\u206f\ufeff]")
"""Soft hyphens, joiners, marks of direction. Source: the Unicode Character Database, those of the property
Default_Ignorable_Code_Point that are common in text; from memory."""

_SEVERAL = re.compile("[\u0132\u0133\u013f\u0140\u0149\u01c4-\u01cc\u01f1-\u01f3\ufb00-\ufb06]")
"""Dutch ij, Catalan l with a dot, Afrikaans 'n, digraphs of Croatian, ligatures of f and s. Source: the
Unicode Character Database, what NFKC takes apart into letters of Latin."""


def letters_of(text: str) -> Iterator[str]:
    """Yield the letters of a text, each with the accents that follow it; soft hyphens and the like are none.

    >>> list(letters_of("a\u0308b"))
    ['ä', 'b']
    """
    held = ""
    for character in normalize("NFC", _UNSEEN.sub("", text)):
        if held and not combining(character):
            yield held
            held = ""
        held += character
    if held:
        yield held


def drawn_letter(alphabet: Alphabet, letter: str) -> Drawn | None:
    """Return a letter with its accents; None where the alphabet lacks it or one of them."""
    if letter in alphabet.letters:
        return alphabet.letters[letter]
    base, *accents = list(normalize("NFD", letter))
    known = [accent_of(alphabet, base, accent) for accent in accents]
    if any(accent is not None and accent.seat is Seat.ABOVE for accent in known):
        base = DOTLESS.get(base, base)
    drawn = alphabet.letters.get(base) or _of_several(alphabet, base)
    if drawn is None:
        return None
    body = drawn
    for accent in known:
        if accent is None:
            return None
        ends = body.left, body.right
        drawn = drawn.with_other(seated(accent, ends, top=drawn.top, shoulder=body.shoulder))
    return drawn.moved(-drawn.left, 0)


def _of_several(alphabet: Alphabet, letter: str) -> Drawn | None:
    """Return a character that stands for several letters, these side by side; None where it does not."""
    if not _SEVERAL.fullmatch(letter):
        return None
    parts = [drawn_letter(alphabet, one) for one in letters_of(normalize("NFKC", letter))]
    drawn = Drawn()
    for part in parts:
        if part is None:
            return None
        drawn = drawn.with_other(part.moved(drawn.right + alphabet.apart if drawn != Drawn() else 0, 0))
    return drawn


def accent_of(alphabet: Alphabet, base: str, accent: str) -> Accent | None:
    """Return how an alphabet draws an accent of a letter, None where it does not."""
    if accent == _CEDILLA and base == "g":
        accent = _TURNED_COMMA_ABOVE
    elif accent == _CEDILLA and base in _WITH_COMMA:
        accent = _COMMA_BELOW
    return alphabet.accents.get(accent)


def seated(accent: Accent, ends: tuple[int, int], *, top: int, shoulder: Hole) -> Drawn:
    """Return an accent at its place.

    Args:
        accent: to be set.
        ends: of the letter without accents, left and right.
        top: of what is below the accent.
        shoulder: where the right side of the letter without accents begins.
    """
    if accent.seat is Seat.BESIDE:
        (picture, *_) = accent.pictures
        return picture.moved(shoulder[0] - picture.left, shoulder[1])
    left, right = ends
    wide = right - left
    fitting = [one for one in accent.pictures if (wide - (one.right - one.left)) % 2 == 0]
    picture = fitting[0] if fitting else accent.pictures[0]
    free = wide - (picture.right - picture.left)
    across = free if accent.seat is Seat.RIGHT else free // 2
    return picture.moved(left + across - picture.left, top if accent.seat is Seat.ABOVE else 0)

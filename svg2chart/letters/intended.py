"""What the words of a drawing are to be on its squares: fitted, letters of backstitch, or as drawn."""

from collections.abc import Sequence
from dataclasses import dataclass

from svg2chart.alphabets.drawn import Alphabet
from svg2chart.artwork import Words
from svg2chart.geometry.affine import Affine
from svg2chart.letterforms import Letterform, TextAs
from svg2chart.letters.backstitched import lacking, nearest_alphabet, set_in_backstitch
from svg2chart.letters.placed import SetLetter
from svg2chart.letters.setting import LEAST_HIGH, capitals_high, set_on_squares

LEAST_FITTED = 5
"""Letters whose capitals are lower, in squares, are not fitted unless they are told to be, but backstitch."""
LEAST_BACKSTITCHED = 3.5
"""Letters lower than so many squares are not made larger to be read, unless they are told to be: the lowest
alphabet would be half as high again."""
_UPRIGHT = 0.01
"""How much of a letter's height its foot may lean, and its width differ."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Intended:
    """What words are to be.

    alphabet: of backstitch, None for letters fitted to the squares. lacking, lacked: the alphabet that was to
    be used, and the letters that it does not have, so that the words are fitted. high: of capitals as drawn,
    in squares. why: why they cannot be so, "" where they can.
    """

    alphabet: Alphabet | None = None
    lacking: Alphabet | None = None
    lacked: tuple[str, ...] = ()
    high: float
    why: str = ""


def intended(words: Words, to_squares: Affine) -> Intended | None:
    """Return what words are to be on the squares, None where they stay as they are and need no remark."""
    if words.stitch_as is not None or words.text_as is TextAs.AS_DRAWN or not words.outlines:
        return None
    capitals = drawn_capitals(words, words.letters, to_squares)
    if not capitals:
        return None
    high = min(capitals)
    is_asked = words.text_as is TextAs.BACKSTITCH
    is_small = words.text_as is None and capitals_high(high) < LEAST_FITTED
    if is_small and high < LEAST_BACKSTITCHED:
        return None
    why = why_unfit(words, to_squares)
    if not (is_small or is_asked):
        return _fitted(high, why)
    alphabet = nearest_alphabet(high)
    if why:
        return Intended(alphabet=alphabet, high=high, why=why) if is_asked else None
    lacked = tuple(lacking(words, alphabet))
    return _fitted(high, "", alphabet, lacked) if lacked else Intended(alphabet=alphabet, high=high)


def _fitted(high: float, why: str, lacking: Alphabet | None = None, lacked: tuple[str, ...] = ()) -> Intended:
    if capitals_high(high) < LEAST_HIGH:
        why = f"capitals {high:.1f} squares high are too low for letters of stitches"
    return Intended(high=high, why=why, lacking=lacking, lacked=lacked)


def letters_intended(words: Words, what: Intended, to_squares: Affine) -> list[SetLetter]:
    """Return the letters that words are to be, row 0 the first of the grid; some may lie beyond it."""
    if what.alphabet is not None:
        return set_in_backstitch(words, to_squares, what.alphabet)
    return set_on_squares(words, to_squares)


def drawn_capitals(words: Words, letters: Sequence[Letterform], to_squares: Affine) -> list[float]:
    """Return how high capitals are drawn in the font of each of some letters that has ink, in squares."""
    drawn = [letter for letter in letters if not letter.outline.is_empty]
    return [one.heights.capital * _em(words, one.place, to_squares) for one in drawn]


def _em(words: Words, place: Affine, to_squares: Affine) -> float:
    return (to_squares @ words.to_user @ place).mean_scale


def why_unfit(words: Words, to_squares: Affine) -> str:
    """Return why words cannot be fitted, "" where they can."""
    if words.is_vertical:
        return "they run downwards"
    if words.stays:
        return words.stays
    if any(run.stroke_colour is not None and run.stroke_style is not None for run in words.runs):
        return "their letters have strokes"
    if any(run.decorations for run in words.runs):
        return "they have lines under, over or through them"
    if any(run.track is not None for run in words.runs):
        return "they stand on a path"
    for letter in words.letters:
        place = to_squares @ words.to_user @ letter.place
        if place.d <= 0 or place.a <= 0 or max(abs(place.b), abs(place.c)) > _UPRIGHT * place.d:
            return "they are not upright"
        if abs(place.a - place.d) > _UPRIGHT * place.d:
            return "they are wider or narrower than their font"
    return ""

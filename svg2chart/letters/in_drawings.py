"""The words of a drawing fitted to its grid: each letter becomes the stitches that it is charted as."""

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from svg2chart.artwork import Artwork, Fill, StitchAs, Words
from svg2chart.geometry.affine import Affine
from svg2chart.geometry.box import box_around
from svg2chart.geometry.path import Path, sides
from svg2chart.grid import Grid
from svg2chart.letterforms import TextAs
from svg2chart.lettering.notices import with_numbers
from svg2chart.letters.backstitched import lacking, marks_of, nearest_alphabet, set_in_backstitch
from svg2chart.letters.outlining import outlines_of
from svg2chart.letters.placed import SetLetter
from svg2chart.letters.setting import LEAST_HIGH, capitals_high, set_on_squares
from svg2chart.remarks import Remark, Severity

LEAST_FITTED = 5
"""Letters whose capitals are lower, in squares, are not fitted unless they are told to be, but backstitch."""
LEAST_BACKSTITCHED = 3.5
"""Letters lower than so many squares are not made larger to be read, unless they are told to be: the lowest
alphabet would be half as high again."""
_HIGH_OFF = 0.75
"""Letters of backstitch that are so many squares higher or lower than drawn are remarked on."""
_UPRIGHT = 0.01
"""How much of a letter's height its foot may lean, and its width differ."""
_NO_ROOM = "would not have room on the chart; --page charts the whole page, which may have it"


def with_fitted_words(artwork: Artwork, grid: Grid, *, stands: bool) -> Artwork:
    """Return a drawing whose words are fitted to the squares of a grid, where they can be.

    Words stay as they are drawn where they are told to be, where `data-stitch` says what they are, or where
    they are too small; those that cannot be fitted stay so with a remark.

    Args:
        artwork: the drawing.
        grid: its squares.
        stands: whether the stitches of letters are what is charted; else they are areas like all others.
    """
    told = StitchAs.AREA_AS_DRAWN if stands else None
    marks = [_fitted(mark, grid, told) if isinstance(mark, Words) else mark for mark in artwork.marks]
    return replace(artwork, marks=tuple(marks))


def _fitted(words: Words, grid: Grid, told: StitchAs | None) -> Words:
    if words.stitch_as is not None or words.text_as is TextAs.AS_DRAWN or not words.outlines:
        return words
    capitals = drawn_capitals(words, grid.to_squares)
    if not capitals:
        return words
    is_small = words.text_as is None and capitals_high(min(capitals)) < LEAST_FITTED
    if is_small and min(capitals) < LEAST_BACKSTITCHED:
        return words
    if is_small or words.text_as is TextAs.BACKSTITCH:
        return _backstitched(words, grid, told, high=min(capitals))
    return _told_if_not(words, _stitched(words, grid, told))


def _backstitched(words: Words, grid: Grid, told: StitchAs | None, *, high: float) -> Words:
    """Return words in letters of backstitch, or fitted where their alphabet lacks one of them.

    Where neither can be they stay as they are, with a remark if backstitch was asked for.
    """
    why = why_unfit(words, grid.to_squares)
    if why:
        is_asked = words.text_as is TextAs.BACKSTITCH
        return _remarked(words, f"not in letters of backstitch: {why}") if is_asked else words
    alphabet = nearest_alphabet(high)
    lacked = lacking(words, alphabet)
    if lacked:
        found = _stitched(words, grid, told)
        instead = "" if isinstance(found, str) else ", so they are fitted to the squares"
        what = f"not in letters of backstitch: {alphabet.name} has no {with_numbers(lacked)}{instead}"
        return _told_if_not(_remarked(words, what), found)
    letters = _within(set_in_backstitch(words, grid.to_squares, alphabet), grid)
    if letters is None:
        return _remarked(words, f"not in letters of backstitch: they {_NO_ROOM}")
    if abs(alphabet.capital - high) > _HIGH_OFF:
        what = f"letters of backstitch {alphabet.capital} squares high; they are drawn {high:.1f} high"
        words = _remarked(words, what)
    return replace(words, outlines=tuple(marks_of(words, letters, grid)))


def _told_if_not(words: Words, found: tuple[Fill, ...] | str) -> Words:
    """Return words with the outlines of their stitches, or as drawn with a remark that says why."""
    if isinstance(found, str):
        return _remarked(words, f"not fitted to the squares: {found}")
    return replace(words, outlines=found)


def _stitched(words: Words, grid: Grid, told: StitchAs | None) -> tuple[Fill, ...] | str:
    """Return the outlines of fitted words, or why they cannot be fitted."""
    capitals = min(drawn_capitals(words, grid.to_squares))
    if capitals_high(capitals) < LEAST_HIGH:
        return f"capitals {capitals:.1f} squares high are too low for letters of stitches"
    why = why_unfit(words, grid.to_squares)
    if why:
        return why
    letters = _within(set_on_squares(words, grid.to_squares), grid) if _may_have_room(words, grid) else None
    if letters is None:
        return f"its letters {_NO_ROOM}"
    return tuple(_marks(words, letters, grid, told))


def drawn_capitals(words: Words, to_squares: Affine) -> list[float]:
    """Return how high capitals are drawn in the font of each letter that has ink, in squares."""
    drawn = [letter for letter in words.letters if not letter.outline.is_empty]
    return [one.heights.capital * _em(words, one.place, to_squares) for one in drawn]


def _em(words: Words, place: Affine, to_squares: Affine) -> float:
    return (to_squares @ words.to_user @ place).mean_scale


def why_unfit(words: Words, to_squares: Affine) -> str:
    """Return why words cannot be fitted, "" where they can."""
    if words.is_vertical:
        return "they run downwards"
    if words.clip is not None:
        return "they are cut by a clip"
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


def _may_have_room(words: Words, grid: Grid) -> bool:
    """Whether the words as drawn are not so much larger than the grid that fitting them is work in vain.

    Each letter and the white beside it are rounded to whole squares.
    """
    box = box_around(mark.path.transformed(grid.to_squares).box() for mark in words.outlines)
    rounded = len(words.letters)
    return box is None or (box.width - rounded <= grid.columns and box.height - rounded <= grid.rows)


def _within(letters: list[SetLetter], grid: Grid) -> list[SetLetter] | None:
    """Return letters moved together onto the grid, None where they are larger than it."""
    left = min(one.column for one in letters)
    top = min(one.row for one in letters)
    right = max(one.end for one in letters)
    bottom = max(one.bottom for one in letters)
    if right - left > grid.columns or bottom - top > grid.rows:
        return None
    across = max(0, -left) - max(0, right - grid.columns)
    down = max(0, -top) - max(0, bottom - grid.rows)
    return [replace(one, column=one.column + across, row=one.row + down) for one in letters]


def _marks(words: Words, letters: list[SetLetter], grid: Grid, told: StitchAs | None) -> Iterator[Fill]:
    """Yield one fill for the letters of each run that is painted, in paint order."""
    to_user = Affine.translation(grid.left, grid.top) @ Affine.scaling(grid.square / 2)
    for index, run in enumerate(words.runs):
        own = [one for one in letters if one.run == index]
        if run.colour is None or not own:
            continue
        contours = [
            (sides(np.add(outline, (2.0 * one.column, 2.0 * one.row))), True)
            for one in own
            for outline in outlines_of(one.shown)
        ]
        yield Fill(
            element=words.element,
            layer=words.layer,
            path=Path.of_contours(contours).transformed(to_user),
            colour=run.colour,
            opacity=run.opacity,
            group=words.group,
            stitch_as=told,
        )


def _remarked(words: Words, what: str) -> Words:
    remark = Remark(element=words.element, layer=words.layer, what=what, severity=Severity.SIMPLIFIED)
    return replace(words, remarks=(*words.remarks, remark))

"""The words of a drawing fitted to its grid: each letter becomes the stitches that it is charted as."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from math import ceil, floor

import numpy as np

from svg2chart.artwork import Artwork, Fill, StitchAs, Words
from svg2chart.geometry.affine import Affine
from svg2chart.geometry.box import Box, box_around
from svg2chart.geometry.path import Path, sides
from svg2chart.grid import TOLERANCE_SQUARES, Grid
from svg2chart.lettering.notices import with_numbers
from svg2chart.lettering.small import BOLD_IN_BACKSTITCH, BOLD_IN_LOW, SERIFS_IN_LOW
from svg2chart.letters.backstitched import marks_of
from svg2chart.letters.intended import Intended, drawn_capitals, intended, letters_intended
from svg2chart.letters.outlining import outlines_of
from svg2chart.letters.placed import SetLetter
from svg2chart.letters.scales import has_serifs_left_out, is_weight_lost
from svg2chart.letters.setting import capitals_high
from svg2chart.remarks import Remark, Severity

_HIGH_OFF = 0.75
"""Letters of backstitch that are so many squares higher or lower than drawn are remarked on."""
_MUCH = 1.5
"""Words drawn so many times as large as the grid, and a square more, do not fit on it as letters either."""
_SHOWN = 0.7
"""Words of which the page shows this part of their width and height are wholly meant."""
_WIDER, _WIDER_PART = 3.0, 0.15
"""Words on the squares that are wider than drawn by so many squares, and this part of their width, are
remarked on. Our own choice, no source."""
_MOST_MOVED = 2
"""Letters that are moved farther onto the chart than so many squares are remarked on."""


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
    page = artwork.viewport
    marks = [_fitted(mark, page, grid, told) if isinstance(mark, Words) else mark for mark in artwork.marks]
    return replace(artwork, viewport=_page(artwork, grid), marks=tuple(marks))


def _page(artwork: Artwork, grid: Grid) -> Box:
    """Return what a drawing shows: of nothing but words also what the grid has of room for them beyond it."""
    if not all(isinstance(mark, Words) for mark in artwork.marks):
        return artwork.viewport
    right, bottom = grid.left + grid.columns * grid.square, grid.top + grid.rows * grid.square
    return box_around([artwork.viewport, Box(grid.left, grid.top, right, bottom)]) or artwork.viewport


def _fitted(words: Words, page: Box, grid: Grid, told: StitchAs | None) -> Words:
    what = intended(words, grid.to_squares)
    if what is None:
        return words
    why = what.why or _why_beyond(words, what, page, grid)
    letters = [] if why else letters_intended(words, what, grid.to_squares)
    if letters:
        why = _why_no_room(_box(letters), page, grid)
    words = _remarked(words, *_told(words, replace(what, why=why)))
    if why:
        return words
    words = _remarked(words, *_lost_strokes(words, what, grid))
    letters, moved = _within(letters, grid)
    words = _remarked(words, *_much_wider(words, letters, grid))
    if moved > _MOST_MOVED:
        words = _remarked(words, f"its letters are moved {moved} squares, to lie on the chart wholly")
    marks = _marks(words, letters, grid, told) if what.alphabet is None else marks_of(words, letters, grid)
    return replace(words, outlines=tuple(marks))


def _why_beyond(words: Words, what: Intended, page: Box, grid: Grid) -> str:
    """Return why words are not set for where they are drawn, "" where nothing speaks against it."""
    box = _drawn_box(words)
    if box is None:
        return ""
    if what.alphabet is None and not _may_have_room(box, grid):
        size = 1 / grid.square
        return _why_no_room(Box(0, 0, size * box.width, size * box.height), page, grid)
    return "" if _is_shown(box, page) else "the page shows only a part of them"


def _why_no_room(needed: Box, page: Box, grid: Grid) -> str:
    """Return that letters in a box are larger than the chart, or the page, and by how much; "" if not."""
    over = _over(needed, grid.columns, grid.rows)
    if not over:
        return ""
    columns, rows = (floor(size / grid.square + TOLERANCE_SQUARES) for size in (page.width, page.height))
    over_page, no_room = _over(needed, columns, rows), "their letters would not have room on the"
    if over_page:
        return f"{no_room} page, it is {over_page}: make it larger, or the words smaller"
    return f"{no_room} chart, it is {over}: --page charts the whole page, which may have it"


def _over(needed: Box, columns: int, rows: int) -> str:
    """Return by how much so many squares are too few for a box, "" where they are not."""
    missing = ((ceil(needed.width) - columns, "narrow"), (ceil(needed.height) - rows, "low"))
    return " and ".join(f"{many} square{'s' * (many > 1)} too {how}" for many, how in missing if many > 0)


def _told(words: Words, what: Intended) -> Iterator[str]:
    """Yield what is to be remarked on about letters that are intended."""
    is_set = not what.why
    if what.lacking is not None:
        instead = ", so they are fitted to the squares" if is_set else ""
        lacked = with_numbers(what.lacked)
        yield f"not in letters of backstitch: {what.lacking.name} has no {lacked}{instead}"
    if what.alphabet is not None:
        if not is_set:
            yield f"not in letters of backstitch: {what.why}"
        elif abs(what.alphabet.capital - what.high) > _HIGH_OFF:
            yield (
                f"letters of backstitch {what.alphabet.capital} squares high;"
                f" they are drawn {what.high:.1f} high"
            )
    elif not is_set:
        yield f"not fitted to the squares: {what.why}"


def _lost_strokes(words: Words, what: Intended, grid: Grid) -> Iterator[str]:
    """Yield what is to be remarked on where bold letters become regular ones, or serifs are left out."""
    inked = [one for one in words.letters if not one.outline.is_empty]
    if what.alphabet is not None:
        if any(one.heights.is_bold for one in inked):
            yield BOLD_IN_BACKSTITCH
        return
    highs = map(capitals_high, drawn_capitals(words, inked, grid.to_squares))
    drawn = {(one.heights, high) for one, high in zip(inked, highs, strict=True)}
    if any(is_weight_lost(heights, high) for heights, high in drawn):
        yield BOLD_IN_LOW
    if any(has_serifs_left_out(heights, high) for heights, high in drawn):
        yield SERIFS_IN_LOW


def _much_wider(words: Words, letters: Sequence[SetLetter], grid: Grid) -> Iterator[str]:
    """Yield that words on the squares are much wider than drawn: they may reach over what is beside them."""
    drawn = _drawn_box(words)
    if drawn is None:
        return
    set_wide, wide = int(_box(letters).width), drawn.width / grid.square
    if set_wide - wide > max(_WIDER, _WIDER_PART * wide):
        yield (
            f"set {set_wide} squares wide, drawn {wide:.0f} wide: what is close beside them may be covered;"
            " they are less so drawn larger, or in more squares (--wide, --high, --square)"
        )


def rooms_of_words(artwork: Artwork, grid: Grid) -> list[Box | None]:
    """Return for each mark that is painted the box around the letters that it becomes, in squares of a grid.

    Letters may reach beyond the grid. It is None for those of which the page shows a part only, and for marks
    that do not become letters.
    """
    return [
        _room(mark, artwork, grid) if isinstance(mark, Words) else None
        for mark in artwork.marks
        if not isinstance(mark, Words) or mark.outlines
    ]


def _room(words: Words, artwork: Artwork, grid: Grid) -> Box | None:
    box = _drawn_box(words)
    what = intended(words, grid.to_squares)
    if box is None or not _is_shown(box, artwork.viewport) or what is None or what.why:
        return None
    letters = letters_intended(words, what, grid.to_squares)
    return _box(letters) if letters else None


def _drawn_box(words: Words) -> Box | None:
    return box_around(mark.path.box() for mark in words.outlines)


def _is_shown(box: Box, page: Box) -> bool:
    """Whether a page shows a box but for what hangs over its edges, as the tail of a y may."""
    seen = box.within(page)
    return seen is not None and (seen.width >= _SHOWN * box.width and seen.height >= _SHOWN * box.height)


def _may_have_room(drawn: Box, grid: Grid) -> bool:
    """Whether words that are drawn in a box are not so much larger than the grid that to fit them is vain."""
    columns, rows = grid.columns + 1, grid.rows + 1
    most = _MUCH * grid.square
    return drawn.width <= most * columns and drawn.height <= most * rows


def _within(letters: Sequence[SetLetter], grid: Grid) -> tuple[list[SetLetter], int]:
    """Return letters that have room on the grid moved together onto it, and how far."""
    box = _box(letters)
    across = max(0, -int(box.left)) - max(0, int(box.right) - grid.columns)
    down = max(0, -int(box.top)) - max(0, int(box.bottom) - grid.rows)
    return [one.moved(down=down, right=across) for one in letters], max(abs(across), abs(down))


def _box(letters: Sequence[SetLetter]) -> Box:
    """Return the box around letters, in squares."""
    return Box(
        min(one.column for one in letters),
        min(one.row for one in letters),
        max(one.end for one in letters),
        max(one.bottom for one in letters),
    )


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


def _remarked(words: Words, *whats: str) -> Words:
    remarks = [
        Remark(element=words.element, layer=words.layer, what=what, severity=Severity.SIMPLIFIED)
        for what in whats
    ]
    return replace(words, remarks=(*words.remarks, *remarks))

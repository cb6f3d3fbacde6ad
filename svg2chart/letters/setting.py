"""Letters at their places in words to lines of letters on the squares."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from svg2chart.artwork import Words
from svg2chart.geometry.affine import Affine
from svg2chart.geometry.path import Path, sides
from svg2chart.geometry.slits import with_slits_closed
from svg2chart.letterforms import Letterform
from svg2chart.lettering.heights import region_of
from svg2chart.letters.clearing import Placed, anchored, cleared
from svg2chart.letters.following import follows, from_the_left, is_level
from svg2chart.letters.gaps import nearest, outline_profile
from svg2chart.letters.lines import Source, fit_line
from svg2chart.letters.placed import SetLetter, nearest_hole

_TOUCHING = 0.02
"""Letters of a font nearer than so many heights of a capital are joined."""
_SLIT = 0.035
"""Bowls of handwriting that are open by no more heights of a capital are meant to be closed: a hand ends them
so near their stem. Our own choice, no source."""
LEAST_HIGH = 4
"""Lower capitals cannot be fitted: an E has five bars and gaps."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Piece:
    """A letter on the squares: where it starts, its baseline and the em of its font as drawn; in squares.

    level: the baseline of the letter from which on those of its line are as high as it.
    """

    source: Source
    x: float
    baseline: float
    level: float
    em: float


def set_on_squares(words: Words, to_squares: Affine) -> list[SetLetter]:
    """Return the letters of words fitted to the squares, row 0 the first of the grid.

    Baselines go to the nearest hole line. Each line begins, or ends or has its middle as it is anchored, as
    near as whole squares allow to where it would be.

    Args:
        words: set in fonts, upright, not turned and not along a path.
        to_squares: from root user units to squares.
    """
    found: list[Placed] = []
    for line in _lines(words, to_squares):
        letters = fit_line([piece.source for piece in line])
        row, anchor = nearest_hole(line[0].baseline), words.runs[line[0].source.run].anchor
        reach = np.array([_reach(piece) for piece in line])
        begin, end = float(reach[:, 0].min()), float(reach[:, 1].max())
        high = max(piece.source.high for piece in line)
        down = [one.moved(down=row) for one in letters]
        found.append(anchored(down, row=row, begin=begin, end=end, high=high, anchor=anchor))
    return cleared(found)


def capitals_high(drawn: float) -> int:
    """Return how many whole squares capitals become that are drawn so high: the nearest, half up."""
    return int(drawn + 0.5)


def _lines(words: Words, to_squares: Affine) -> list[list[_Piece]]:
    """Return the letters that have ink, by line, from left to right, joined ones together.

    Letters of one line may be of several heights: of another font, or another size.
    """
    to_line = to_squares @ words.to_user
    lines: list[list[_Piece]] = []
    space_at: float | None = None
    before: Letterform | None = None
    for letter in from_the_left(words, to_line):
        place = to_line @ letter.place
        if letter.outline.is_empty:
            if space_at is None and letter.text.isspace():
                space_at = place.e
            continue
        is_spaced = space_at is not None
        if before is None or not follows(words, before, letter, to_line, is_spaced=is_spaced):
            lines.append([_piece(letter, place, None, space_at)])
        else:
            piece = _piece(letter, place, lines[-1][-1], space_at)
            lines[-1].append(_lowered(piece, lines[-1][-1], first=lines[-1][0]))
        space_at, before = None, letter
    return [_joined(line) for line in lines]


def _lowered(piece: _Piece, last: _Piece, *, first: _Piece) -> _Piece:
    """Return a letter as far below the baseline of its line as it is drawn."""
    if is_level(first.baseline, piece.baseline):
        return replace(piece, level=first.baseline)
    if is_level(last.level, piece.baseline):
        return replace(piece, source=replace(piece.source, drop=last.source.drop), level=last.level)
    drop = nearest_hole(piece.baseline) - nearest_hole(first.baseline)
    return replace(piece, source=replace(piece.source, drop=drop))


def _piece(letter: Letterform, place: Affine, last: _Piece | None, space_at: float | None) -> _Piece:
    """Return a letter on the squares, after the last one of its line.

    Args:
        letter: has ink.
        place: from its outline's space to squares.
        last: None where it begins the line.
        space_at: where the space before it starts, None where there is none.
    """
    high = max(1, capitals_high(letter.heights.capital * place.d))
    # from one start to the next it is the width of the letter before, which grows as that one does
    scale = high / (letter.heights.capital * place.d) if last is None else last.source.em / last.em
    source = Source(
        run=letter.run,
        text=letter.text,
        outline=_closed(letter.outline, _SLIT * letter.heights.capital) if letter.joins else letter.outline,
        heights=letter.heights,
        high=high,
        x=place.e * scale if last is None else last.source.x + (place.e - last.x) * scale,
        space=0.0 if space_at is None else (place.e - space_at) * scale,
        joins=letter.joins,
        bare=letter.bare,
    )
    return _Piece(source=source, x=place.e, baseline=place.f, level=place.f, em=place.d)


@lru_cache(maxsize=1024)
def _closed(outline: Path, wide: float) -> Path:
    """Return a letter whose strokes meet where they end so near each other that they are meant to."""
    region = region_of(outline)
    closed = with_slits_closed(region, wide=wide)
    return (
        outline if closed is region else Path.of_contours([(sides(one), True) for one in closed.contours()])
    )


def _joined(line: Sequence[_Piece]) -> list[_Piece]:
    """Return a line in which letters that run into each other in their font are one."""
    joined: list[_Piece] = []
    last: Source | None = None  # a joined piece is compared by its last letter alone
    for piece in line:
        if last is not None and not piece.source.space and _touch(last, piece.source):
            joined[-1] = replace(joined[-1], source=_together(joined[-1].source, piece.source))
        else:
            joined.append(piece)
        last = piece.source
    return joined


def _touch(before: Source, after: Source) -> bool:
    """Whether two letters that may be joined touch in their font, where they are of one size."""
    if not (before.joins and after.joins and before.em == after.em and before.drop == after.drop):
        return False
    apart = after.x - before.x
    one, other = before.region(), after.region()
    if one.points[:, 0].max() < other.points[:, 0].min() + apart:
        return False
    span = {"top": -2 * before.high, "bottom": before.high}
    return nearest(outline_profile(one, **span), outline_profile(other, **span), apart) <= (
        _TOUCHING * before.high
    )


def _together(before: Source, after: Source) -> Source:
    move = Affine.translation((after.x - before.x) / before.em, 0.0)
    contours = [*before.outline.contours(), *after.outline.transformed(move).contours()]
    return replace(before, text=before.text + after.text, outline=Path.of_contours(contours), is_joined=True)


def _reach(piece: _Piece) -> tuple[float, float]:
    """Return from where to where the ink of a letter reaches, as it is drawn."""
    points = piece.source.region().points[:, 0] * (piece.em / piece.source.em)
    return piece.x + float(points.min()), piece.x + float(points.max())

"""Words to lines of letters on the squares, as a font has them and fitted."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from math import floor

import numpy as np

from svg2chart.geometry.path import Path
from svg2chart.geometry.polygon import Polygon
from svg2chart.letterforms import Bare, Heights
from svg2chart.lettering.heights import region_of
from svg2chart.letters.accents import MOST_HIGH, are_drawn, with_accents
from svg2chart.letters.fitting import fit_outline
from svg2chart.letters.gaps import (
    Profile,
    least_apart,
    outline_profile,
    stitched_profile,
    white,
    whole_apart,
)
from svg2chart.letters.glyphs import FittedGlyph
from svg2chart.letters.placed import LEAST_SPACE, LEAST_WORD_GAP, SetLetter
from svg2chart.letters.scales import scale_of
from svg2chart.letters.warping import cut_finely

_NEAR = 3
"""A letter is kept off so many before it: one as low as a comma lets the one before that come near."""
_DIGITS = 6
"""Widths in squares are rounded to so many digits before they become whole: places may be a hair off."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """A letter to be set: its run, its characters, its outline in em and the heights of its font.

    high: of capitals, in whole squares. x: where it starts, in squares, after letters each as wide as at its
    height. drop: how many rows its baseline lies below that of its line. space: how wide the space before it
    is, 0 where there is none. joins: it is meant to run into letters that it touches. is_joined: it is
    several letters that do, which keep their widths. bare: it without its accents.
    """

    run: int
    text: str
    outline: Path
    heights: Heights
    high: int
    x: float
    drop: int = 0
    space: float = 0.0
    joins: bool = False
    is_joined: bool = False
    bare: Bare | None = None

    @property
    def em(self) -> float:
        """How many squares make an em."""
        return self.high / self.heights.capital

    def region(self) -> Polygon:
        """Return what it fills in squares from where it starts, its edges cut finely."""
        return _region(self.outline, self.em)


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class _Shape:
    """A letter as the font has it and fitted, each with its profile from where the letter starts."""

    source: Source
    outline: Polygon
    plain: Profile
    fitted: FittedGlyph
    stitched: Profile

    @property
    def top(self) -> int:
        """Its first row, 0 the first below the baseline of the line."""
        return self.fitted.top + self.source.drop


def fit_line(sources: Sequence[Source]) -> list[SetLetter]:
    """Return letters of one line fitted and set apart by whole squares.

    Args:
        sources: from left to right, spaces left out; x as far as they are apart in the font.

    Raises:
        FontError: a font file can no longer be read.
    """
    if not sources:
        return []
    highest = max(source.high for source in sources)
    drops = [source.drop for source in sources]
    span = range(min(drops) - 2 * highest, max(drops) + highest)
    shapes = [_shape(source, span) for source in sources]
    starts = [round(sources[0].x)]
    for index, shape in enumerate(shapes[1:], start=1):
        starts.append(_start(shapes[:index], starts, shape))
    return [
        SetLetter(
            run=shape.source.run,
            text=shape.source.text,
            shown=shape.fitted.shown,
            row=shape.top,
            column=start + shape.fitted.left,
            begins_word=shape.source.space > 0,
        )
        for shape, start in zip(shapes, starts, strict=True)
    ]


def _start(before: Sequence[_Shape], starts: Sequence[int], shape: _Shape) -> int:
    """Return where a letter starts after those before it: a space adds its width to their white.

    Words come no nearer than they are drawn, to a whole square.
    """
    last = before[-1]
    high = min(last.source.high, shape.source.high)
    rows = _beside(last.source, shape.source)
    apart = shape.source.x - last.source.x - shape.source.space
    wanted = white(last.plain, shape.plain, apart, rows=rows, high=high)
    least = _least_start(before, starts, shape) - starts[-1]
    whole = whole_apart(
        last.stitched, shape.stitched, wanted, least=least, around=apart, rows=rows, high=high
    )
    if shape.source.space > 0:
        drawn = _ink_left(shape.outline) + apart + shape.source.space - _ink_right(last.outline)
        ends = last.fitted.left + int(last.fitted.shown.shape[1])
        clear = ends + max(LEAST_WORD_GAP, floor(round(drawn, _DIGITS))) - shape.fitted.left
        whole = max(clear, whole + max(LEAST_SPACE, round(round(shape.source.space, _DIGITS))))
    return starts[-1] + whole


def _beside(before: Source, after: Source) -> range:
    """Return the rows in which the white between two letters is taken: where both may be.

    They are those between their baselines and their cap lines. Above the lower one all is white.
    """
    tops = (before.drop - before.high, after.drop - after.high)
    baselines = (before.drop, after.drop)
    if max(tops) < min(baselines):
        return range(max(tops), min(baselines))
    return range(min(tops), max(baselines))


def _least_start(before: Sequence[_Shape], starts: Sequence[int], shape: _Shape) -> int:
    """Return from where on a letter touches none of the last ones before it, nor of the last as low as it."""
    low = [index for index, other in enumerate(before) if other.source.drop == shape.source.drop]
    free: list[int] = [
        starts[index]
        + least_apart(
            np.asarray(before[index].fitted.shown.any(axis=2)),
            np.asarray(shape.fitted.shown.any(axis=2)),
            rows=(before[index].top, shape.top),
            columns=(before[index].fitted.left, shape.fitted.left),
        )
        for index in {*range(len(before))[-_NEAR:], *low[-_NEAR:]}
    ]
    return max(free)


def _ink_left(outline: Polygon) -> float:
    return float(outline.points[:, 0].min())


def _ink_right(outline: Polygon) -> float:
    return float(outline.points[:, 0].max())


def _shape(source: Source, span: range) -> _Shape:
    """Return the shape of a letter, its profiles over the rows that all letters of its line have."""
    fitted = _fitted(source)
    region = source.region()
    lowered = replace(region, points=np.add(region.points, (0.0, source.drop))) if source.drop else region
    ends = {"top": span.start, "bottom": span.stop}
    return _Shape(
        source=source,
        outline=region,
        plain=outline_profile(lowered, **ends),
        fitted=fitted,
        stitched=stitched_profile(fitted.shown, first=fitted.top + source.drop, column=fitted.left, **ends),
    )


def _fitted(source: Source) -> FittedGlyph:
    heights, high, bare = source.heights, source.high, source.bare
    if bare is not None and high <= MOST_HIGH and not source.is_joined and are_drawn(bare):
        glyph = _fit(bare.outline, heights, high, bare.text, is_joined=False)
        return with_accents(glyph, bare, stem=scale_of(heights, high).stem)
    return _fit(source.outline, heights, high, source.text, is_joined=source.is_joined)


@lru_cache(maxsize=4096)
def _fit(outline: Path, heights: Heights, high: int, text: str, *, is_joined: bool) -> FittedGlyph:
    """Return a letter fitted to the squares: each is fitted once, whatever line it stands on."""
    scale = scale_of(heights, high)
    return fit_outline(region_of(outline), heights, scale, text=text, keeps_widths=is_joined)


@lru_cache(maxsize=4096)
def _region(outline: Path, em: float) -> Polygon:
    region = region_of(outline)
    return cut_finely(replace(region, points=region.points * em))

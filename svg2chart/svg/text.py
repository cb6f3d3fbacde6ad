"""Text elements to words, painted.

Words are painted run by run. Where a run is painted with a gradient, it gets the mean of that over its own
letters; or, in bands, the words are cut in pieces of which each holds one band of one paint of one run:

    fill of run 0    fill of run 1, band 0    fill of run 1, band 1    ...    stroke of run 1, fill of run 2

The letters of all runs stand in every piece, those of other pieces unpainted.
"""

from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from typing import NamedTuple
from xml.etree.ElementTree import Element

from svg2chart.artwork import Clip, ClipPart, Decoration, Run, Words
from svg2chart.colour import Colour
from svg2chart.geometry.affine import Affine
from svg2chart.geometry.box import Box, box_around
from svg2chart.geometry.path import Path
from svg2chart.geometry.polygon import FillRule
from svg2chart.letterforms import TextAs
from svg2chart.lettering.words import letter_cells, set_words
from svg2chart.remarks import Severity
from svg2chart.svg.gradients import Gradient
from svg2chart.svg.inked import Ink, mean_ink, reach
from svg2chart.svg.inks import NO_INKS, Inks, decoration, filled, inks_at, stroked
from svg2chart.svg.runs import Unpainted, is_seen, unpainted
from svg2chart.svg.scene import Gathered, Place, Source, is_sound
from svg2chart.svg.uncut import shows_whole

_BLACK = Colour(0.0, 0.0, 0.0)
_BANDED = "they are painted in bands of a gradient"


class _Part(NamedTuple):
    """One paint of one run: `kind` is "fill", "stroke", or "below" and "above" for lines along it."""

    run: int
    kind: str


def draw_words(source: Source, gathered: Gathered, element: Element, place: Place) -> None:
    """Draw a `text` element at its own place as words, set in fonts."""
    bare = unpainted(source, gathered, element, place)
    if bare is None:
        return
    inks, words = _painted(source, gathered, bare)
    words = _freed(gathered, _set(words, source))
    if not all(is_sound(mark.path, Affine()) for mark in words.outlines):
        what = "its coordinates are too large"
        gathered.remark(words.element, what, Severity.LEFT_OUT, layer=words.layer)
    elif not any(isinstance(ink, Gradient) for one in inks for ink in (one.fill, one.stroke)):
        gathered.add(words)
    elif source.bands and words.stitch_as is None:
        gathered.add(*_in_bands(source, gathered, words, inks))
    else:
        gathered.add(_set(_in_means(source, words, inks), source))


def _freed(gathered: Gathered, words: Words) -> Words:
    """Return words that are set out of a clip that cuts nothing off them, and why others stay as drawn."""
    if gathered.is_masking(words.group):
        return replace(words, stays="they are part of a mask")
    around = box_around(reach(mark) for mark in words.outlines)
    if words.clip is None or around is None:
        return words
    if shows_whole(gathered.clips, words.clip, around):
        return replace(words, clip=None)
    return replace(words, stays="they are cut by a clip")


def _set(words: Words, source: Source) -> Words:
    """Return words set in the fonts, whose files are noted."""
    done = set_words(words, source.fonts)
    source.tally.font_files.update(dict.fromkeys(done.font_files))
    return done


def words_regions(source: Source, gathered: Gathered, element: Element, place: Place) -> list[Path]:
    """Return what the letters of a `text` element at its own place fill, for a clip."""
    bare = unpainted(source, gathered, element, place)
    if bare is None:
        return []
    runs = tuple(
        replace(run, colour=_BLACK) if is_seen(holder) else run
        for run, holder in zip(bare.words.runs, bare.holders, strict=True)
    )
    done = _set(replace(bare.words, runs=runs), source)
    for remark in done.remarks:
        gathered.remarks.setdefault(remark)
    if done.text_as is not TextAs.AS_DRAWN:
        what = "words that cut others are as drawn, not fitted to the squares"
        gathered.remark(done.element, what, Severity.SIMPLIFIED, layer=done.layer)
    return [mark.path for mark in done.outlines if is_sound(mark.path, Affine())]


def words_box(source: Source, gathered: Gathered, element: Element, place: Place) -> Box | None:
    """Return the box around the letters of a `text` element, in the space that its place maps to."""
    bare = unpainted(source, gathered, element, place)
    return None if bare is None else _cells(source, bare.words).transformed(place.to_user).box()


def _cells(source: Source, words: Words) -> Path:
    cells = letter_cells(words, source.fonts)
    return cells if is_sound(cells, Affine()) else Path.of_contours([])


def _painted(source: Source, gathered: Gathered, bare: Unpainted) -> tuple[list[Inks], Words]:
    """Return the inks of each run, and the words painted with them, gradients as their mean colours."""
    name = bare.words.element

    @cache
    def box() -> Box | None:
        return _cells(source, bare.words).box()

    inks, runs = [], []
    for run, holder in zip(bare.words.runs, bare.holders, strict=True):
        own = inks_at(source, gathered, name, holder.place, box=box) if is_seen(holder) else NO_INKS
        lines = tuple(
            decoration(line, inks_at(source, gathered, name, place, box=None))
            for line, place in (holder.lines if is_seen(holder) else ())
        )
        run = stroked(filled(run, own.fill), own.stroke, own.style)
        inks.append(own)
        runs.append(replace(run, decorations=lines))
    return inks, replace(bare.words, runs=tuple(runs))


def _gradients(inks: list[Inks]) -> Iterator[tuple[_Part, Gradient]]:
    for index, own in enumerate(inks):
        for kind, ink in (("fill", own.fill), ("stroke", own.stroke)):
            if isinstance(ink, Gradient):
                yield _Part(index, kind), ink


def _in_means(source: Source, words: Words, inks: list[Inks]) -> Words:
    """Return words with the mean of each gradient over what it paints."""
    runs = list(words.runs)
    for part, gradient in _gradients(inks):
        for mark in _only(source, words, [part]).outlines:
            runs[part.run] = _in_ink(runs[part.run], part, mean_ink(mark, gradient))
    return replace(words, runs=tuple(runs))


def _in_bands(source: Source, gathered: Gathered, words: Words, inks: list[Inks]) -> Iterator[Words]:
    """Yield the pieces of words in bands, in paint order."""
    gradients = dict(_gradients(inks))
    plain: list[_Part] = []
    for part in _parts(words):
        if part not in gradients:
            plain.append(part)
            continue
        if plain:
            yield _only(source, words, plain)
            plain = []
        piece = _only(source, words, [part])
        around = box_around(reach(mark) for mark in piece.outlines)
        bands = gradients[part].bands_in(around, source.bands) if around is not None else []
        for flat, region in bands:
            if flat.opacity == 0:
                continue
            clip = gathered.add_clip(
                Clip(parts=(ClipPart(path=region, rule=FillRule.EVENODD),), within=words.clip)
            )
            runs = list(piece.runs)
            runs[part.run] = _in_ink(runs[part.run], part, flat)
            yield _set(replace(piece, runs=tuple(runs), clip=clip, stays=_BANDED), source)
    if plain:
        yield _only(source, words, plain)


def _parts(words: Words) -> Iterator[_Part]:
    """Yield the paints of words in the order in which they are painted."""
    for index, run in enumerate(words.runs):
        kinds = ["below", *(("stroke", "fill") if run.is_stroke_first else ("fill", "stroke")), "above"]
        painted = {_side(line) for line in run.decorations}
        painted |= {"fill"} if run.colour is not None else set()
        painted |= {"stroke"} if run.stroke_colour is not None else set()
        yield from (_Part(index, kind) for kind in kinds if kind in painted)


def _side(line: Decoration) -> str:
    return "above" if line.line == "line-through" else "below"


def _only(source: Source, words: Words, parts: list[_Part]) -> Words:
    """Return words of which only some paints are left, set in fonts."""
    runs = list(words.runs)
    for index, run in enumerate(runs):
        if (index, "fill") not in parts:
            run = replace(run, colour=None)
        if (index, "stroke") not in parts:
            run = replace(run, stroke_colour=None, stroke_style=None)
        lines = tuple(line for line in run.decorations if (index, _side(line)) in parts)
        runs[index] = replace(run, decorations=lines)
    return _set(replace(words, runs=tuple(runs)), source)


def _in_ink(run: Run, part: _Part, ink: Ink) -> Run:
    return filled(run, ink) if part.kind == "fill" else stroked(run, ink, run.stroke_style)

"""What to remark on words that were set: their fonts, and letters that found no place."""

from collections.abc import Iterable, Iterator, Sequence
from difflib import SequenceMatcher
from functools import lru_cache
from unicodedata import category

from svg2chart.artwork import Run
from svg2chart.lettering.assigning import can_write
from svg2chart.lettering.clusters import Cluster, Letter
from svg2chart.lettering.fonts import Face
from svg2chart.lettering.match import Match
from svg2chart.lettering.shape import has_colours, shape
from svg2chart.remarks import Severity

Notice = tuple[str, Severity]

_WEIGHT_NOTICED = 150  # a face so much lighter or heavier than asked for is remarked on
_WIDTH_NOTICED = 12.0  # per cent of normal; a step of font-stretch
_MOST_NAMED = 5
"""So many of the families that were given are named in one remark."""


def notices_of_fonts(
    runs: Sequence[Run], matches: Sequence[Match], letters: Iterable[Letter]
) -> Iterator[Notice]:
    """Yield what to remark on the fonts of letters that are painted, in their order; some of it again."""
    seen = [letter for letter in letters if _is_seen(letter, runs)]
    families = ((letter.run, letter.face.family if letter.face else None) for letter in seen)
    for run, family in dict.fromkeys(families):
        match = matches[run]
        if match.missing:
            yield _on_missing(match)
        if family in (None, match.face.family):
            yield from _on_match(runs[run], match.face)
    others: dict[tuple[Face, Face | None, bool], dict[str, None]] = {}
    for run, face, text in _with_marks(seen):
        match = matches[run]
        if face not in match.font or not face.is_drawn:
            is_there = any(can_write(one, text) for one in match.font)
            others.setdefault((match.face, face, is_there), {})[text] = None
    for (wanted, other, is_there), texts in others.items():
        yield _on_others(wanted, other, tuple(texts), is_there=is_there)


def _with_marks(letters: Iterable[Letter]) -> Iterator[tuple[int, Face | None, str]]:
    """Yield the run and the face of each letter, and the letter with the marks on it of the same face."""
    held: tuple[int, Face | None, str] | None = None
    for letter in letters:
        place = letter.run, letter.face
        if held is not None and place == held[:2] and category(letter.character) in ("Mn", "Me", "Cf"):
            held = (*place, held[2] + letter.character)
            continue
        if held is not None:
            yield held
        held = (*place, letter.character)
    if held is not None:
        yield held


def notices_of_places(
    runs: Sequence[Run], letters: Sequence[Letter], placed: Iterable[Cluster], beyond: Iterable[Cluster]
) -> Iterator[Notice]:
    """Yield what to remark on clusters that were placed, and on those beyond the ends of their path."""
    for cluster in placed:
        letter = letters[cluster.letter]
        if not cluster.glyphs and _is_seen(letter, runs):
            yield "letters for which its letter-spacing leaves no room are not drawn", Severity.LEFT_OUT
        if cluster.face is None or not cluster.face.is_drawn:
            continue
        if any(has_colours(cluster.face, glyph.number) for glyph in cluster.glyphs):
            what = f'"{letter.character}" is drawn without the colours that its font gives it'
            yield what, Severity.SIMPLIFIED
    lost = [letters[one.letter] for one in beyond if _is_seen(letters[one.letter], runs)]
    if lost:
        text = "".join(letter.character for letter in lost)
        yield f'the path is too short for "{text}"', Severity.LEFT_OUT


def _is_seen(letter: Letter, runs: Sequence[Run]) -> bool:
    run = runs[letter.run]
    is_painted = run.colour is not None or (run.stroke_colour is not None and run.stroke_style is not None)
    return is_painted and not letter.character.isspace()


@lru_cache(maxsize=64)
def _has_small_capitals(face: Face) -> bool:
    """Return whether the font has small letters drawn as small capitals."""
    plain, small = (
        [glyph.number for glyph in shape(face, "aemt", 0, 4, level=0, script="Latn", features=features)]
        for features in ({}, {"smcp": 1})
    )
    return plain != small


def _on_missing(match: Match) -> Notice:
    """Return what to remark on families that are not there."""
    what = f'font {_listed(match.missing)} is not there, replaced by "{match.face.family}"'
    return what + _way_out(match), Severity.GUESSED


def _on_match(run: Run, face: Face) -> Iterator[Notice]:
    """Yield what to remark on the face of a run."""
    if abs(face.weight - run.weight) >= _WEIGHT_NOTICED:
        what = f'"{face.family}" has no weight of {run.weight}, set in {face.weight}'
        yield what, Severity.SIMPLIFIED
    if abs(face.width - run.width) >= _WIDTH_NOTICED:
        what = f'"{face.family}" has no width of {run.width:g} %, set in {face.width:g} %'
        yield what, Severity.SIMPLIFIED
    if ("smcp", 1) in run.features and not _has_small_capitals(face):
        yield f'"{face.family}" has no small capitals, set without', Severity.SIMPLIFIED
    if face.italic != run.italic:
        style = "italic" if run.italic else "upright"
        yield f'"{face.family}" has no {style} face', Severity.SIMPLIFIED


def _way_out(match: Match) -> str:
    """Return which families may have been meant, those with names like the ones that were asked for first."""
    wanted = " ".join(match.missing).lower()
    likeness = {one: SequenceMatcher(None, one.lower(), wanted).ratio() for one in match.others}
    others = sorted(match.others, key=lambda one: -likeness[one])
    if not others:
        return ""
    left = f" and {len(others) - _MOST_NAMED} more" if len(others) > _MOST_NAMED else ""
    meant = "that if it is" if len(others) == 1 else "the one that is"
    return f"; the font files given hold {_listed(others[:_MOST_NAMED])}{left}: write {meant} meant"


def _listed(families: Iterable[str]) -> str:
    return ", ".join(f'"{family}"' for family in families)


def _on_others(match: Face, face: Face | None, texts: Sequence[str], *, is_there: bool) -> Notice:
    """Return what to remark on letters that are not set in the font that their run asks for.

    `is_there`: the font has them, but not their plain letters.
    """
    if face is None:
        return f"no font has {with_numbers(texts)}, a box is drawn", Severity.SIMPLIFIED
    quoted = ", ".join(f'"{text}"' for text in texts)
    if not face.is_drawn:
        return f'"{face.family}" has only coloured pictures for {quoted}', Severity.LEFT_OUT
    lacked = f"{quoted} without accents" if is_there else quoted
    if face.family == match.family:
        what = f'"{match.family}" in {_style_of(match)} has no {lacked}, set in {_style_of(face)}'
    else:
        what = f'"{match.family}" has no {lacked}, set in "{face.family}"'
    return what, Severity.SIMPLIFIED


def with_numbers(texts: Iterable[str]) -> str:
    """Return letters with the numbers of their characters, and the numbers alone of what cannot be printed.

    >>> with_numbers(["é", chr(7)])
    '"é" (U+00E9), U+0007'
    """
    named = [(text, " ".join(f"U+{ord(one):04X}" for one in text)) for text in texts]
    return ", ".join(f'"{text}" ({numbers})' if text.isprintable() else numbers for text, numbers in named)


def _style_of(face: Face) -> str:
    slant = " italic" if face.italic else ""
    width = "" if face.width == 100.0 else f", width {face.width:g} %"
    return f"weight {face.weight}{slant}{width}"

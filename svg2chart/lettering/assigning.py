"""Characters to letters: the face that each is set in."""

from collections.abc import Iterator, Sequence
from functools import partial
from unicodedata import category, combining, normalize

from svg2chart.artwork import Run
from svg2chart.lettering.clusters import Letter
from svg2chart.lettering.fonts import Face, Fonts
from svg2chart.lettering.match import Font, Match, font_of, fonts_in_order

_EXTENDING = ("Mn", "Me", "Mc", "Cf")
"""Categories of what belongs to the character before. Source: close to Unicode Standard Annex 29, extended
grapheme clusters, whose table of characters Python does not bring."""
_UNDRAWN = frozenset((*map(chr, range(0xFE00, 0xFE10)), *map(chr, range(0xE0100, 0xE01F0)), "\u034f"))
"""Variation selectors and the grapheme joiner: marks that a font need not have. Source: the Unicode Character
Database, property Default_Ignorable_Code_Point; from memory."""


def letters_of_runs(runs: Sequence[Run], matches: Sequence[Match], fonts: Fonts) -> Iterator[Letter]:
    """Yield every character of runs with the face that it is set in.

    A letter and the marks on it are set in one face where one has them all, else mark by mark. Source: CSS
    Fonts Level 4, 5.3 "Cluster matching". The font that the run asks for comes first, in all of its files,
    then its family, then the font of the letter before, then all others.

    Control characters, other than spaces, have no face, for they are to be seen: the Unicode Standard, 5.21.

    Of a letter with accents we ask more: a font that has its plain letter as well comes before those that
    have not, so that e and é are of one font where there is one. In the family that the run asks for it is
    enough that its own font has the plain letter.
    """
    for index, (run, match) in enumerate(zip(runs, matches, strict=True)):
        last, before = match.face, match.font
        for cluster in _clusters(run.text):
            for character, face in _faces(cluster, run, match, fonts, last, before):
                yield Letter(character=character, run=index, face=face)
                last = face or last
            if last not in before:
                before = font_of(fonts, last)


def plain_letter(text: str) -> str:
    """Return a letter without all of its accents, "" for what is none or has none.

    >>> plain_letter("\u1eed"), plain_letter("u"), plain_letter("\ud55c")
    ('u', '', '')
    """
    parts = normalize("NFD", _drawn(text))
    is_accented = len(parts) > 1 and category(parts[0])[0] == "L" and all(map(combining, parts[1:]))
    return parts[0] if is_accented else ""


def _clusters(text: str) -> Iterator[str]:
    """Yield each character with the marks and joiners after it."""
    held = ""
    for character in text:
        if held and category(character) not in _EXTENDING:
            yield held
            held = ""
        held += character
    if held:
        yield held


def _faces(
    cluster: str, run: Run, match: Match, fonts: Fonts, last: Face, before: Font
) -> Iterator[tuple[str, Face | None]]:
    """Yield the characters of a cluster, each with its face; `last` is that of the character before."""
    first = cluster[0]
    whole: Face | None
    if first.isspace():
        whole = match.face
    elif category(first) == "Cc":
        whole = None
    elif not _drawn(cluster):
        whole = last
    else:
        whole = _face(cluster, run, match, fonts, before)
    if whole is not None or len(cluster) == 1:
        for character in cluster:
            yield " " if character.isspace() and category(character) == "Cc" else character, whole
        return
    for character in cluster:
        is_with_last = not _drawn(character) or (category(character) in _EXTENDING and last.has(character))
        face = last if is_with_last else _face(character, run, match, fonts, before)
        yield character, face
        last = face or last


def _face(text: str, run: Run, match: Match, fonts: Fonts, before: Font) -> Face | None:
    """Return the face of the first font that has a letter, at best its plain letter too; None if none has."""
    able = (font for font in _candidates(text, run, match, fonts, before) if _has(font, text))
    plain = plain_letter(text)
    first: Font = ()
    for font in able:
        is_family = font[0].family == match.face.family
        if not plain or _has(font, plain) or (is_family and _has(match.font, plain)):
            return _set_to(run, _file(font, text))
        first = first or font
    return _set_to(run, _file(first, text)) if first else None


def _set_to(run: Run, face: Face) -> Face:
    """Return a face set as a run asks for, if it is not yet."""
    if face.variation:
        return face
    face = face.styled(weight=run.weight, italic=run.italic, width=run.width)
    return face.tuned(run.axes, size=run.size)


def _candidates(text: str, run: Run, match: Match, fonts: Fonts, before: Font) -> Iterator[Font]:
    """Yield fonts in the order in which a letter is looked for; those with coloured pictures alone last."""
    yield match.font
    in_order = partial(
        fonts_in_order,
        fonts,
        match.face,
        lambda face: can_write(face, text),
        weight=run.weight,
        italic=run.italic,
        width=run.width,
    )
    is_own = True
    for font in in_order():
        if is_own and font[0].family != match.face.family:
            is_own = False
            yield before
        yield tuple(face for face in font if face.is_drawn)
    for font in in_order():
        yield tuple(face for face in font if not face.is_drawn)


def _file(font: Font, text: str) -> Face:
    """Return the file of a font that has a letter as one character, else the first that has its parts."""
    able = [face for face in font if can_write(face, text)]
    composed = normalize("NFC", _drawn(text))
    return next((face for face in able if all(map(face.has, composed))), able[0])


def _has(font: Font, text: str) -> bool:
    return any(can_write(face, text) for face in font)


def can_write(face: Face, text: str) -> bool:
    """Return whether a face has characters: as they are written, composed, or the parts they are made of."""
    drawn = _drawn(text)
    return any(all(map(face.has, normalize(form, drawn))) for form in ("NFC", "NFD")) or all(
        map(face.has, drawn)
    )


def _drawn(text: str) -> str:
    """Return what a font needs glyphs for."""
    return "".join(one for one in text if one not in _UNDRAWN and category(one) != "Cf")

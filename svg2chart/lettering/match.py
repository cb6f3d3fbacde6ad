"""Which face serves for the families, the weight and the characters that a drawing asks for."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from svg2chart.lettering.fonts import Face, Fonts

# What the generic families mean here, open families: the first of these that was given, else
# the first that is on the system. Source Sans Pro always is there.
_SANS_SERIF = ("Noto Sans", "Source Sans Pro", "DejaVu Sans")
GENERIC_FAMILIES = {
    "sans-serif": _SANS_SERIF,
    "serif": ("Noto Serif", "Source Serif 4", "Source Serif Pro", "DejaVu Serif"),
    "monospace": ("Noto Sans Mono", "Noto Mono", "Source Code Pro", "DejaVu Sans Mono"),
    "cursive": ("Yellowtail", "Dancing Script", "Caveat"),
    "fantasy": ("Sedgwick Ave Display", "Lobster", "Pacifico"),
    "system-ui": _SANS_SERIF,
    "sans": _SANS_SERIF,  # as some editors write it
}


Font = tuple[Face, ...]
"""The files that hold one font together."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Match:
    """The face for a run, and the families that were asked for before its own but are not there.

    font: all files of its font. others: the other families of the files given.
    """

    face: Face
    font: Font
    missing: tuple[str, ...]
    others: tuple[str, ...] = ()


def match_face(
    fonts: Fonts, families: Sequence[str], *, weight: int, italic: bool, width: float = 100.0
) -> Match:
    """Return the face for a family list, compared without regard to case.

    The first family that is there serves, generic ones as in `GENERIC_FAMILIES`; if none is, a
    serif family that was given, as in browsers, else a sans-serif one. Without a family
    sans-serif is meant. Within the family the face is chosen by `_closest`.
    """
    missing = tuple(families)
    faces: list[Face] = []
    for number, family in enumerate(families or ("sans-serif",)):
        faces = _of_any(fonts, GENERIC_FAMILIES.get(family.lower(), (family,)))
        if faces:
            missing = missing[:number]
            break
    else:
        given = Fonts(faces=fonts.faces)
        faces = _of_any(given, (*GENERIC_FAMILIES["serif"], *_SANS_SERIF, fonts.faces[0].family))
    face = _closest(faces, weight=weight, italic=italic, width=width)
    others = tuple(family for family in fonts.given if family != face.family)
    return Match(face=face, font=font_of(fonts, face), missing=missing, others=others)


def plain_face(fonts: Fonts) -> Face:
    """Return the face for words that name none: the most regular of the first file or folder given."""
    return _closest(fonts.first or fonts.faces[:1], weight=400, italic=False, width=100.0)


def font_of(fonts: Fonts, face: Face) -> Font:
    """Return the files that hold the font of a face, in the order of preference, set as it is.

    A font may come in several files, one for plain Latin and one for the rest: they are of one family,
    weight, slant and width.
    """
    files: dict[tuple[str, int], Face] = {}
    for one in _family_of(fonts, face):
        like = one.styled(weight=face.weight, italic=face.italic, width=face.width)
        if _style(like) == _style(face):
            files.setdefault((one.file, one.index), like.varied(face.variation))
    return tuple(files.values()) or (face,)


def fonts_in_order(
    fonts: Fonts,
    face: Face,
    is_able: Callable[[Face], bool],
    *,
    weight: int,
    italic: bool,
    width: float,
) -> Iterator[Font]:
    """Yield fonts: those of the family of a face, then the others by families in the order of preference.

    Of each family the nearest style comes first; families without a face that is able are left out. Variable
    faces are not set to the style yet.
    """
    for faces in _families(fonts, face):
        if any(map(is_able, faces)):
            yield from _by_style(faces, weight=weight, italic=italic, width=width)


def _families(fonts: Fonts, face: Face) -> Iterator[tuple[Face, ...]]:
    yield _family_of(fonts, face)
    yield from (faces for name, faces in fonts.families.items() if name != face.family)
    known = {face.family, *fonts.families}
    yield from (faces for name, faces in fonts.found_families.items() if name not in known)


def _family_of(fonts: Fonts, face: Face) -> tuple[Face, ...]:
    """Return the faces of the family of a face: those given where it was, else those found."""
    given = fonts.families.get(face.family, ())
    if any((one.file, one.index) == (face.file, face.index) for one in given):
        return given
    return fonts.found_families.get(face.family, ())


def _by_style(faces: Sequence[Face], *, weight: int, italic: bool, width: float) -> Iterator[Font]:
    """Yield the fonts of a family, the nearest in style first."""
    left = list(faces)
    while left:
        nearest = _closest(left, weight=weight, italic=italic, width=width)
        set_to = [face.styled(weight=weight, italic=italic, width=width) for face in left]
        same = [_style(face) == _style(nearest) for face in set_to]
        yield tuple(face for face, is_same in zip(left, same, strict=True) if is_same)
        left = [face for face, is_same in zip(left, same, strict=True) if not is_same]


def _style(face: Face) -> tuple[int, bool, float]:
    return face.weight, face.italic, face.width


def _named(faces: Sequence[Face], name: str) -> list[Face]:
    wanted = " ".join(name.lower().split())
    return [face for face in faces if wanted in face.names]


def _of_any(fonts: Fonts, names: Sequence[str]) -> list[Face]:
    """Return the faces of the first of the families that was given, else of the first that was found."""
    for name in names:
        if faces := _named(fonts.faces, name):
            return faces
    for name in names:
        if faces := _named(fonts.found_faces, name):
            return faces
    return []


def _closest(faces: Sequence[Face], *, weight: int, italic: bool, width: float) -> Face:
    """Return the face that is nearest in width, then slant, then weight; of equals the first.

    Source: CSS Fonts Level 4, 5.2 "Matching font styles": for widths up to normal the narrower first, above
    it the wider; for weights of 400 to 500 the heavier up
    to 500, then the lighter, then the rest; below 400 the lighter first, above 500 the heavier.
    """
    styled = [face.styled(weight=weight, italic=italic, width=width) for face in faces]

    def distance(face: Face) -> tuple[bool, float, bool, int, int]:
        away = face.weight - weight
        if 400 <= weight <= 500:
            group = 0 if away >= 0 and face.weight <= 500 else 1 if away < 0 else 2
        else:
            group = int(away > 0) if weight < 400 else int(away < 0)
        is_farther = face.width > width if width <= 100 else face.width < width
        return is_farther, abs(face.width - width), face.italic != italic, group, abs(away)

    return min(styled, key=distance)

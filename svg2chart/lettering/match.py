"""Which face serves for the families, the weight and the characters that a drawing asks for."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from svg2chart.lettering.fonts import Face, Fonts

# What the generic families mean here: the first of these that is there. Source Sans Pro always is.
GENERIC_FAMILIES = {
    "sans-serif": ("Source Sans Pro", "Noto Sans", "DejaVu Sans"),
    "serif": ("Source Serif 4", "Source Serif Pro", "Noto Serif", "DejaVu Serif"),
    "monospace": ("Source Code Pro", "Noto Sans Mono", "Noto Mono", "DejaVu Sans Mono"),
    "system-ui": ("Source Sans Pro",),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Match:
    """The face for a run; `is_replaced` if none of the families asked for was there."""

    face: Face
    is_replaced: bool


def match_face(fonts: Fonts, families: Sequence[str], *, weight: int, italic: bool) -> Match:
    """Return the face for a family list, compared without regard to case.

    The first family that is there serves, generic ones as in `GENERIC_FAMILIES`; if none is,
    the first face of `fonts` that has outlines gives the family. Without a family
    sans-serif is meant. Within the family the face is chosen by `_closest`.
    """
    for family in families or ("sans-serif",):
        for name in GENERIC_FAMILIES.get(family.lower(), (family,)):
            faces = _named(fonts.faces, name) or _named(fonts.found_faces, name)
            if faces:
                return Match(face=_closest(faces, weight=weight, italic=italic), is_replaced=False)
    [first, *_] = _named(fonts.faces, GENERIC_FAMILIES["sans-serif"][0]) or fonts.faces
    faces = _named(fonts.faces, first.family)
    return Match(face=_closest(faces, weight=weight, italic=italic), is_replaced=True)


def face_with(fonts: Fonts, character: str, *, weight: int, italic: bool) -> Face | None:
    """Return a face that has the character, of the first family that does; None if no font has it.

    Faces with outlines come before those that only have coloured pictures.
    """
    for is_drawn in (True, False):
        for face in _in_order(fonts):
            if face.is_drawn == is_drawn and face.has(character):
                family = [other for other in _named((*fonts.faces, *fonts.found_faces), face.family)]
                able = [other for other in family if other.is_drawn == is_drawn and other.has(character)]
                return _closest(able, weight=weight, italic=italic)
    return None


def _in_order(fonts: Fonts) -> Iterator[Face]:
    yield from fonts.faces
    yield from fonts.found_faces


def _named(faces: Sequence[Face], name: str) -> list[Face]:
    wanted = " ".join(name.lower().split())
    return [face for face in faces if wanted in face.names]


def _closest(faces: Sequence[Face], *, weight: int, italic: bool) -> Face:
    """Return the face that is nearest in width, then slant, then weight; of equals the first.

    Source: CSS Fonts Level 4, 5.2 "Matching font styles": for weights of 400 to 500 the heavier up
    to 500, then the lighter, then the rest; below 400 the lighter first, above 500 the heavier.
    """
    styled = [face.styled(weight=weight, italic=italic) for face in faces]

    def distance(face: Face) -> tuple[bool, bool, int, int]:
        away = face.weight - weight
        if 400 <= weight <= 500:
            group = 0 if away >= 0 and face.weight <= 500 else 1 if away < 0 else 2
        else:
            group = int(away > 0) if weight < 400 else int(away < 0)
        return not face.is_normal_width, face.italic != italic, group, abs(away)

    return min(styled, key=distance)

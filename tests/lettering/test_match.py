"""Which face serves: families, generic families, weights and slants as CSS has them."""

import pytest

from svg2chart.lettering.fonts import Face, Fonts
from svg2chart.lettering.match import GENERIC_FAMILIES, match_face
from tests.lettering.samples import many, packaged


def face(family: str, weight: int = 400, *, italic: bool = False, width: float = 100.0) -> Face:
    return Face(
        file=f"{family}-{weight}",
        index=0,
        family=family,
        names=(family.lower(),),
        weight=weight,
        italic=italic,
        width=width,
    )


@pytest.mark.parametrize(
    ("there", "wanted", "used"),
    [
        # CSS Fonts Level 4, 5.2: the closest weight
        ([300, 500, 700], 400, 500),
        ([300, 700], 400, 300),
        ([600, 700], 400, 600),
        ([400, 600], 500, 400),
        ([300, 600], 450, 300),
        ([100, 200, 500], 300, 200),
        ([500, 400], 300, 400),
        ([400, 800, 900], 700, 800),
        ([400, 500], 700, 500),
        ([400, 700], 700, 700),
    ],
)
def test_weight(there: list[int], wanted: int, used: int) -> None:
    fonts = Fonts(faces=tuple(face("Harbour", weight) for weight in there))
    match = match_face(fonts, ["harbour"], weight=wanted, italic=False)
    assert (match.face.weight, match.missing) == (used, ())


def test_width_comes_before_slant_and_slant_before_weight() -> None:
    narrow = face("Harbour", 400, italic=True, width=75.0)
    light_italic = face("Harbour", 100, italic=True)
    fonts = Fonts(faces=(narrow, light_italic, face("Harbour", 400)))
    assert match_face(fonts, ["Harbour"], weight=400, italic=True).face == light_italic


@pytest.mark.parametrize(
    ("there", "wanted", "used"),
    # CSS Fonts Level 4, 5.2: up to normal the narrower first, above it the wider
    [
        ([75, 100, 125], 100, 100),
        ([75, 125], 100, 75),
        ([50, 75, 112.5], 87.5, 75),
        ([75, 150], 125, 150),
        ([100, 112.5], 125, 112.5),
    ],
)
def test_width(there: list[float], wanted: float, used: float) -> None:
    fonts = Fonts(faces=tuple(face("Harbour", width=width) for width in there))
    assert match_face(fonts, ["Harbour"], weight=400, italic=False, width=wanted).face.width == used


def test_generic_families_given_come_before_those_found() -> None:
    fonts = Fonts(faces=(face("Source Sans Pro"),))
    fonts.__dict__["found_faces"] = (face("Noto Sans"),)  # as if it were on the system
    assert match_face(fonts, ["sans-serif"], weight=400, italic=False).face.family == "Source Sans Pro"


def test_a_family_that_is_not_there_is_replaced_by_a_serif_that_was_given() -> None:
    match = match_face(many(), ["Harbour Lights"], weight=400, italic=False)
    assert (match.face.family, match.missing) == ("Noto Serif", ("Harbour Lights",))


def test_the_first_family_that_is_there_serves() -> None:
    fonts = Fonts(faces=(face("Source Sans Pro"), face("Lantern"), face("Bunting")))
    match = match_face(fonts, ["Lost", "Bunting", "Lantern"], weight=400, italic=False)
    assert (match.face.family, match.missing) == ("Bunting", ("Lost",))


def test_a_family_that_is_not_there_is_replaced() -> None:
    match = match_face(packaged(), ["Harbour Lights"], weight=700, italic=True)
    assert (match.face.family, match.face.weight, match.face.italic) == ("Source Sans Pro", 700, True)
    assert match.missing == ("Harbour Lights",)


def test_generic_families_are_the_stated_ones() -> None:
    for generic, family in (
        ("serif", "Noto Serif"),
        ("Monospace", "Noto Mono"),
        ("sans-serif", "Noto Sans"),
        ("cursive", "Yellowtail"),
        ("fantasy", "Sedgwick Ave Display"),
    ):
        match = match_face(many(), [generic], weight=400, italic=False)
        assert (match.face.family, match.missing) == (family, ())
        assert family in GENERIC_FAMILIES[generic.lower()]
    assert match_face(packaged(), ["serif"], weight=400, italic=False).missing
    assert not match_face(packaged(), [], weight=400, italic=False).missing


def test_a_face_is_found_by_its_full_name() -> None:
    match = match_face(packaged(), ["Source Sans Pro Semibold"], weight=400, italic=False)
    assert (match.face.weight, match.face.italic, match.missing) == (600, False, ())

"""Colours of wider spaces against the examples of CSS Color 4 and white, black and grey in each."""

import pytest

from svg2chart.svg.paint import colour

# CSS Color Module Level 4, sections 9.3 to 9.5, 10.2 and 15.2, examples that name the sRGB colour
# they equal (rounded to a few thousandths; from memory: pure sRGB colours in other spaces)
EQUAL = (
    ("lab(54.29 80.80 69.89)", "#ff0000"),
    ("lch(54.29 106.84 40.86)", "#ff0000"),
    ("lab(87.82 -79.27 80.99)", "#00ff00"),
    ("oklab(0.62796 0.22486 0.12585)", "#ff0000"),
    ("oklch(0.45201 0.31321 264.05)", "#0000ff"),
    ("color(srgb-linear 0.21404 0.21404 0.21404)", "#808080"),
    ("color(xyz 0.95046 1 1.08906)", "#ffffff"),
    ("color(xyz-d50 0.96430 1 0.82510)", "#ffffff"),
)


@pytest.mark.parametrize(("text", "expected"), EQUAL)
def test_a_colour_of_a_wider_space_is_the_srgb_colour_that_looks_the_same(text: str, expected: str) -> None:
    read, known = colour(text), colour(expected)
    assert read is not None
    assert known is not None
    for channel in ("red", "green", "blue"):
        assert getattr(read.colour, channel) == pytest.approx(getattr(known.colour, channel), abs=0.005)


@pytest.mark.parametrize("white", ["lab(100 0 0)", "lch(100 0 0)", "oklab(1 0 0)", "oklch(1 0 0)"])
def test_white_is_white_in_every_space(white: str) -> None:
    read = colour(white)
    assert read is not None
    assert read.colour.hex == "#ffffff"


def test_what_no_screen_shows_is_cut_off() -> None:
    read = colour("oklch(0.7 0.4 140 / 50%)")
    assert read is not None
    assert read.opacity == 0.5
    assert 0.0 <= min(read.colour.red, read.colour.blue) <= read.colour.green <= 1.0


@pytest.mark.parametrize("space", ["display-p3", "rec2020", "a98-rgb", "prophoto-rgb"])
def test_a_space_that_is_not_followed_is_no_colour(space: str) -> None:
    assert colour(f"color({space} 1 0 0)") is None

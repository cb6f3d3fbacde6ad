import numpy as np
import pytest
from coloraide import Color
from hypothesis import given
from hypothesis import strategies as st

from svg2chart.colour import Colour, ciede2000, contrast, lab, luminance

BLUE = (50.0, 0.0, -82.7485)

# CIEDE2000 test pairs published by Sharma, Wu and Dalal, 2005
PAIRS = [
    ((50, 2.6772, -79.7751), BLUE, 2.0425),
    ((50, 3.1571, -77.2803), BLUE, 2.8615),
    ((50, 2.8361, -74.0200), BLUE, 3.4412),
    ((50, -1.3802, -84.2814), BLUE, 1.0000),
    ((50, -1.1848, -84.8006), BLUE, 1.0000),
    ((50, -0.9009, -85.5211), BLUE, 1.0000),
    ((50, 0, 0), (50, -1, 2), 2.3669),
    ((50, 2.49, -0.001), (50, -2.49, 0.0009), 7.1792),
    ((50, 2.49, -0.001), (50, -2.49, 0.0010), 7.1792),
    ((50, 2.49, -0.001), (50, -2.49, 0.0011), 7.2195),
    ((50, 2.49, -0.001), (50, -2.49, 0.0012), 7.2195),
    ((50, 2.5, 0), (73, 25, -18), 27.1492),
    ((50, 2.5, 0), (61, -5, 29), 22.8977),
    ((50, 2.5, 0), (56, -27, -3), 31.9030),
    ((50, 2.5, 0), (58, 24, 15), 19.4535),
    ((6.7747, -0.2908, -2.4247), (5.8714, -0.0985, -2.2286), 0.6377),
    ((2.0776, 0.0795, -1.1350), (0.9033, -0.0636, -0.5514), 0.9082),
]


@pytest.mark.parametrize(("first", "second", "difference"), PAIRS)
def test_ciede2000_published_pairs(first: tuple, second: tuple, difference: float) -> None:
    one, other = np.array(first, dtype=float), np.array(second, dtype=float)
    assert ciede2000(one, other) == pytest.approx(difference, abs=1e-4)
    assert ciede2000(other, one) == pytest.approx(difference, abs=1e-4)


@given(st.integers(0, 0xFFFFFF), st.integers(0, 0xFFFFFF))
def test_ciede2000_against_another_library(first: int, second: int) -> None:
    """coloraide, from sRGB on; its matrix has more digits than ours, which moves CIELAB by up to 0.03."""
    one, other = (f"#{number:06x}" for number in (first, second))
    ours = ciede2000(*lab([Colour.from_hex(one), Colour.from_hex(other)]))
    assert ours == pytest.approx(Color(one).delta_e(other, method="2000"), abs=0.06)


lab_axis = st.floats(-100, 100, allow_subnormal=False)
lab_colours = st.tuples(st.floats(0, 100, allow_subnormal=False), lab_axis, lab_axis)


@given(lab_colours, lab_colours)
def test_ciede2000_of_any_lab_colours_against_another_library(first: tuple, second: tuple) -> None:
    one, other = (Color("lab-d65", [round(v, 4) for v in lab]) for lab in (first, second))
    ours = ciede2000(np.array(one[:3]), np.array(other[:3]))
    assert ours == pytest.approx(one.delta_e(other, method="2000"), abs=1e-4)


@pytest.mark.parametrize(
    ("text", "coordinates"),
    # CIELAB under D65 as two colour libraries give it; they differ by 0.02 in the matrix's last digit
    [
        ("#ff0000", (53.2371, 80.0901, 67.2033)),
        ("#00ff00", (87.7355, -86.1816, 83.1866)),
        ("#0000ff", (32.3009, 79.1953, -107.8555)),
        ("#808080", (53.5850, 0, 0)),
    ],
)
def test_lab_of_primaries(text: str, coordinates: tuple) -> None:
    assert lab([Colour.from_hex(text)])[0] == pytest.approx(coordinates, abs=0.03)


@pytest.mark.parametrize(
    ("first", "second", "ratio"),
    # WCAG 2.1: black on white is 21; the others computed from its formula
    [("#000000", "#ffffff", 21.0), ("#767676", "#ffffff", 4.5422), ("#ff0000", "#ffffff", 3.9985)],
)
def test_contrast(first: str, second: str, ratio: float) -> None:
    assert contrast(Colour.from_hex(first), Colour.from_hex(second)) == pytest.approx(ratio, abs=1e-4)


@given(st.integers(0, 0xFFFFFF))
def test_black_or_white_always_stands_out(number: int) -> None:
    # the worst ground has luminance sqrt(1.05 * 0.05) - 0.05; there both give 4.5826
    ground = Colour.from_hex(f"#{number:06x}")
    assert max(contrast(ground, Colour(0, 0, 0)), contrast(ground, Colour(1, 1, 1))) >= 4.5825
    assert 0 <= luminance(ground) <= 1
    assert Colour.from_hex(ground.hex) == ground


@pytest.mark.parametrize("text", ["", "red", "#fff", "#gggggg", "#+1+2+3", "ff00ff0"])
def test_what_is_no_hex_colour(text: str) -> None:
    with pytest.raises(ValueError, match="not a colour of the form #rrggbb"):
        Colour.from_hex(text)

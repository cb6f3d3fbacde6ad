"""With few threads what is much alike is worked as one before a colour becomes another one."""

from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from svg2chart.colour import Colour, ciede2000, lab
from svg2chart.convert import Settings, convert, convert_and_measure
from svg2chart.grid import Extent, Grid
from tests.drawings import box, drawing, shape

SEA, CALM, SAIL, NIGHT = "#2f6690", "#34689f", "#d9a441", "#1d1a1a"


def apart(one: str, other: str) -> float:
    return float(ciede2000(lab([Colour.from_hex(one)])[0], lab([Colour.from_hex(other)])[0]))


@given(st.integers(2, 6), st.integers(2, 6), st.integers(8, 30))
def test_two_blues_of_the_sea_are_one_before_black_lanterns_are_yellow(
    high: int, lantern: int, sail: int
) -> None:
    """Each colour touches others: that the blues do may not keep both of their threads."""
    marks = [
        shape(SEA, box(0, 0, 40, 30), element="sea"),
        shape(CALM, box(0, 24, 40, 24 + high), element="calm"),
        shape(SAIL, box(4, 4, 4 + sail, 12), element="sail"),
        shape(NIGHT, box(6, 14, 6 + lantern, 15 + lantern), element="lantern"),
        shape(NIGHT, box(20, 22, 20 + lantern, 26), element="buoy"),
    ]
    artwork = drawing(*marks, wide=40, high=30)
    made = convert_and_measure(
        artwork, Grid.fit(artwork, square=1, extent=Extent.PAGE), Settings(most_threads=3)
    )
    assert NIGHT in {thread.colour for thread in made.chart.threads}
    assert made.difference.mean <= apart(SEA, CALM)


@given(
    st.lists(st.sampled_from([SEA, SAIL, NIGHT, "#c62828", "#f4e9d2"]), min_size=2, max_size=4, unique=True),
    st.integers(3, 9).map(lambda n: n / 10),
    st.integers(4, 30).map(lambda n: n / 4),
    st.integers(1, 4),
)
def test_each_colour_that_is_replaced_is_told_by_an_element_that_shows_it(
    stripes: list[str], opacity: float, radius: float, most: int
) -> None:
    """A glow over stripes: what it makes of them is a colour of no paint, and fills whole squares."""
    under = [
        shape(colour, box(0, 6 * k, 24, 6 * k + 6), element=f"stripe {k}") for k, colour in enumerate(stripes)
    ]
    lamp = box(12 - radius, 12 - radius, 12 + radius, 12 + radius)
    glow = replace(shape("#fff3b0", lamp, element="glow"), opacity=opacity)
    artwork = drawing(*under, glow, wide=24, high=24)
    chart = convert(artwork, Grid.fit(artwork, square=1, extent=Extent.PAGE), most_threads=most)
    replaced = [remark for remark in chart.remarks if "worked in" in remark.what]
    assert all(remark.element for remark in replaced)

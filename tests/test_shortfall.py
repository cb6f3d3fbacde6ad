"""What a chart falls short of is told by element, with the reason and a way out."""

import pytest

from svg2chart.chart import Chart
from svg2chart.convert import convert
from svg2chart.grid import Extent, Grid
from svg2chart.svg.read import parse_artwork
from tests.drawings import BLUE, GREEN, RED, box, chart_of, drawing, shape

SVG = 'xmlns="http://www.w3.org/2000/svg" width="24" height="24" viewBox="0 0 24 24"'


def test_equal_widths_that_come_out_unequal_name_their_elements() -> None:
    """Three stripes of a third of forty squares each; the mast beside them has no part in it."""
    third = 40 / 3
    stripes = [
        shape(colour, box(number * third, 0, (number + 1) * third, 12), element=f"stripe {number}")
        for number, colour in enumerate([GREEN, BLUE, RED])
    ]
    mast = shape(GREEN, box(20, 13, 21, 20), element="mast")
    chart = chart_of(drawing(*stripes, mast, wide=40, high=20))
    elements = {remark.element for remark in chart.remarks if "equal widths" in remark.what}
    assert elements
    assert elements <= {stripe.element for stripe in stripes}


def ring(width: float, *, movement: float, beside: str = "") -> Chart:
    stroke = f'fill="none" stroke="{RED}" stroke-width="{width}"'
    artwork = parse_artwork(
        f'<svg {SVG}><circle id="ring" {stroke} cx="11.1" cy="12.2" r="6.3"/>{beside}</svg>'.encode()
    )
    return convert(artwork, Grid.fit(artwork, square=1, extent=Extent.PAGE, movement=movement, thin=0))


BAR = f'<path d="M17.3 11h4v2.2h-4z" fill="{BLUE}"/>'
"""It touches the ring, which goes with it to the squares."""


@pytest.mark.parametrize("width", [0.2, 0.25, 0.3, 0.35])
def test_a_ring_too_fine_once_it_is_fitted_is_told_with_the_way_out(width: float) -> None:
    chart = ring(width, movement=0.5, beside=BAR)
    fitted = [remark.what for remark in chart.remarks if remark.element == "ring"]
    assert fitted
    assert all("--fit 0" in what for what in fitted)
    still = [remark.what for remark in ring(width, movement=0.0, beside=BAR).remarks]
    assert not any("--fit" in what for what in still)


@pytest.mark.parametrize("width", [0.2, 0.25, 0.3, 0.35])
def test_a_ring_that_keeps_its_width_is_told_without_a_way_out_that_is_none(width: float) -> None:
    for movement in (0.5, 0.0):
        told = [remark.what for remark in ring(width, movement=movement).remarks]
        assert told
        assert not any("--fit" in what for what in told)

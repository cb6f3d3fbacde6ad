"""Gradients: where they lie, their means against numerical integration, and their bands."""

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from svg2chart.artwork import Fill
from svg2chart.colour import Colour
from svg2chart.geometry.affine import Affine
from svg2chart.geometry.box import Box
from svg2chart.geometry.flatten import flatten_paths
from svg2chart.geometry.polygon import FillRule, Polygon
from svg2chart.painting import square_colours
from svg2chart.svg.gradients import Gradient
from svg2chart.svg.paint import Flat
from svg2chart.svg.ramp import Ramp, Spread
from svg2chart.svg.read import parse_artwork
from tests.breadth import examples
from tests.geometry.regions import holds
from tests.svg.inline import only, read, said

HALF_STEP = 0.5 / 255 + 1e-9  # means are rounded to eight bits
shares = st.integers(0, 8).map(lambda k: k / 8)
flats = st.builds(Flat, st.builds(Colour, shares, shares, shares), shares)
ramps = st.builds(
    lambda places, flats, spread: Ramp(stops=tuple(zip(sorted(places), flats, strict=False)), spread=spread),
    st.lists(shares, min_size=1, max_size=4),
    st.lists(flats, min_size=4, max_size=4),
    st.sampled_from(Spread),
)
maps = st.builds(Affine, *[st.sampled_from([-0.4, -0.15, 0.1, 0.2, 0.3]) for _ in range(6)]).filter(
    lambda affine: abs(affine.determinant) > 0.01
)
focuses = st.tuples(*[st.sampled_from([-0.6, -0.1, 0.0, 0.3]) for _ in range(2)])
gradients = st.one_of(
    st.builds(lambda ramp, to_unit: Gradient(ramp=ramp, to_unit=to_unit), ramps, maps),
    st.builds(
        lambda ramp, to_unit, focus, start: Gradient(ramp=ramp, to_unit=to_unit, focus=focus, start=start),
        ramps,
        maps,
        focuses,
        st.sampled_from([0.0, -0.25]),
    ),
)


def colours(ramp: Ramp, way: np.ndarray) -> np.ndarray:
    """Return the colours along a ramp, times their opacity, as SVG 2, 14.2.4 tells."""
    way = {
        Spread.PAD: way,  # the first and the last colour go on, also where several stops lie at an end
        Spread.REPEAT: way - np.floor(way),
        Spread.REFLECT: 1 - np.abs(way % 2 - 1),
    }[ramp.spread]
    places = [place for place, _ in ramp.stops]
    told = [(f.colour.red, f.colour.green, f.colour.blue, f.opacity) for _, f in ramp.stops]
    found = np.stack([np.interp(way, places, channel) for channel in zip(*told, strict=True)], axis=-1)
    found[..., :3] *= found[..., 3:]
    return found


def premultiplied(flat: Flat) -> np.ndarray:
    colour = flat.colour
    return np.array(
        [*(channel * flat.opacity for channel in (colour.red, colour.green, colour.blue)), flat.opacity]
    )


@given(
    gradient=gradients,
    corners=st.lists(st.tuples(st.integers(-4, 4), st.integers(-4, 4)), min_size=3, max_size=6),
)
@settings(max_examples=examples(30))
def test_mean_is_that_of_numerical_integration(gradient: Gradient, corners: list[tuple[int, int]]) -> None:
    hull = shapely.convex_hull(shapely.MultiPoint(corners))
    if hull.geom_type != "Polygon" or hull.area < 2:
        hull = shapely.box(-1, -2, 3, 2)
    side = 250
    x, y = np.meshgrid(*[(np.arange(side) + 0.5) / side * 8 - 4] * 2)
    inside = shapely.contains_xy(hull, x, y)
    points = np.stack([x[inside], y[inside]], axis=-1)
    expected = colours(gradient.ramp, gradient.along(points)).mean(axis=0)
    mean = gradient.mean_over(Polygon.of_contours([shapely.get_coordinates(hull)[:-1]]))
    # samples lie 1/30 apart: what jumps is off by about that over the width of the region
    assert premultiplied(mean) == pytest.approx(expected, abs=0.03)


@given(gradient=gradients, number=st.sampled_from([1, 3, 8]))
@settings(max_examples=examples(25))
def test_bands_share_out_the_box_and_keep_near_the_colours(gradient: Gradient, number: int) -> None:
    rng = np.random.default_rng(7)
    points = rng.uniform(-3, 3, (100, 2))
    way = gradient.along(points)
    held = np.zeros(len(points), dtype=np.int64)
    for flat, region in gradient.bands_in(Box(-3, -3, 3, 3), number):
        chains = flatten_paths([region], tolerance=1e-2)[0]  # neighbours share their points
        within = holds(points, Polygon(points=chains.points, starts=chains.starts, rule=FillRule.EVENODD))
        held += within
        if within.any():
            # a band is at most 1 / number long, and holds its mean somewhere
            reach = np.linspace(-1, 1, 41) / number
            near = colours(gradient.ramp, way[within][:, np.newaxis] + reach)
            low, high = near.min(axis=1) - 0.02, near.max(axis=1) + 0.02
            assert ((low <= premultiplied(flat)) & (premultiplied(flat) <= high)).all()
    assert (held == 1).all()


def test_many_bands_have_the_mean_of_the_ramp() -> None:
    stops = ((0.0, Flat(Colour(1, 0, 0), 0.5)), (0.25, Flat(Colour(0, 1, 0))), (0.25, Flat(Colour(0, 0, 1))))
    ramp = Ramp(stops=stops)
    for number in (1, 2, 7):
        bands = ramp.bands(number)
        mean = sum((band.high - band.low) * premultiplied(band.flat) for band in bands)
        assert mean == pytest.approx(premultiplied(ramp.mean))
    # the last colour is flat, and the jump to it divides no band
    assert [(band.low, band.high) for band in ramp.bands(2)] == [(0, 0.125), (0.125, 0.25), (0.25, 1)]


@pytest.mark.parametrize("way", [0.0, 0.3, 1.0, 1.7])
@pytest.mark.parametrize("fr", [0.0, 0.5])
def test_radial_way_is_that_of_the_circles_of_the_specification(way: float, fr: float) -> None:
    # SVG 2, 14.2.3: the circle at t has its centre at f + t (c - f) and the radius fr + t (r - fr)
    c, f, r = np.array([5.0, 4.0]), np.array([4.0, 4.5]), 3.0
    small = fr / r
    gradient = Gradient(
        ramp=Ramp(stops=((0.0, Flat(Colour(0, 0, 0))),)),
        to_unit=Affine(1 / r, 0, 0, 1 / r, -c[0] / r, -c[1] / r),
        focus=tuple(((f - c) / r / (1 - small)).tolist()),
        start=-small / (1 - small),
    )
    angles = np.arange(12)
    on_circle = f + way * (c - f) + (fr + way * (r - fr)) * np.stack([np.cos(angles), np.sin(angles)], axis=1)
    assert gradient.along(on_circle) == pytest.approx(way, abs=1e-12)


def banded(gradient: str, shape: str, bands: int) -> np.ndarray:
    svg = (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 8 4">{gradient}'
        '<g fill="url(#dusk)">' + shape + "</g></svg>"
    )
    return square_colours(parse_artwork(svg.encode(), bands=bands), 4, 8)


STOPS = '<stop stop-color="black"/><stop offset="1" stop-color="red"/>'


@pytest.mark.parametrize(
    ("attributes", "start", "end"),
    [
        ("", 2.0, 6.0),  # on the box of the rectangle
        ('x1="50%" x2="1"', 4.0, 6.0),
        ('gradientUnits="userSpaceOnUse"', 0.0, 8.0),  # on the view box
        ('gradientUnits="userSpaceOnUse" x1="1" x2="5"', 1.0, 5.0),
        ('gradientUnits="userSpaceOnUse" x1="1" x2="3" gradientTransform="scale(2)"', 2.0, 6.0),
        ('gradientTransform="translate(.25)"', 3.0, 7.0),
        ('gradientTransform="scale(2)" transform-origin=".5 .5"', 0.0, 8.0),
    ],
)
def test_linear_gradients_lie_where_their_units_say(attributes: str, start: float, end: float) -> None:
    gradient = f'<linearGradient id="dusk" {attributes}>{STOPS}</linearGradient>'
    painted = banded(gradient, '<rect x="2" width="4" height="4"/>', 64)
    expected = np.clip((np.arange(2, 6) + 0.5 - start) / (end - start), 0, 1)
    # a square is the mean of its bands; where the ramp ends inside one, its mean is not its middle
    assert painted[0, 2:6, 0] == pytest.approx(expected, abs=1 / 64 if start % 1 == 0 else 0.1)
    assert (painted[:, 2:6, 3] == 1).all()


def test_two_bands_are_two_flat_halves() -> None:
    artwork = parse_artwork(
        b'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 8 4"><linearGradient id="dusk">'
        + STOPS.encode()
        + b'</linearGradient><rect id="sky" width="8" height="4" fill="url(#dusk)"/></svg>',
        bands=2,
    )
    painted = square_colours(artwork, 4, 8)
    assert (painted[..., 0] == [0.25] * 4 + [0.75] * 4).all()
    assert [remark.what for remark in artwork.remarks] == ["its fill is a gradient, drawn in 2 flat bands"]


def test_a_stroke_and_its_fill_have_bands_of_their_own() -> None:
    gradient = f'<linearGradient id="dusk">{STOPS}</linearGradient>'
    painted = banded(gradient, '<path d="M0 2H8" stroke="url(#dusk)" stroke-width="2"/>', 4)
    assert painted.sum() == 0  # a line has no height for a gradient to lie on
    lower = banded(gradient, '<path d="M1 1H7V3" fill="none" stroke="url(#dusk)" stroke-width="2"/>', 3)
    assert lower[0, 1:7, 0] == pytest.approx(np.repeat([1 / 6, 3 / 6, 5 / 6], 2))


def test_mean_of_a_hollow_shape_leaves_the_hollow_out() -> None:
    gradient = f'<linearGradient id="dusk">{STOPS}</linearGradient>'
    hollow = '<path fill="url(#dusk)" fill-rule="evenodd" d="M0 0H8V4H0Z M4 0H8V4H4Z"/>'
    assert only(read(gradient + hollow)).colour.red == pytest.approx(0.25, abs=HALF_STEP)
    twice = '<path fill="url(#dusk)" d="M0 0H8V4H0Z M4 0H8V4H4Z"/>'
    assert only(read(gradient + twice)).colour.red == pytest.approx(0.5, abs=HALF_STEP)


def test_mean_over_a_disc_in_closed_form() -> None:
    # red grows as the distance: the mean over the disc is 2/3
    gradient = f'<radialGradient id="dusk">{STOPS}</radialGradient>'
    disc = only(read(f'{gradient}<circle cx="4" cy="5" r="3" fill="url(#dusk)"/>'))
    assert disc.colour.red == pytest.approx(2 / 3, abs=HALF_STEP + 1e-3)


def test_a_copy_takes_the_gradient_of_its_use_where_that_lies() -> None:
    content = (
        f'<linearGradient id="dusk">{STOPS}</linearGradient><defs><g id="pair"><rect width="4" height="4" '
        'fill="context-fill"/><rect x="4" width="4" height="4" fill="context-fill"/></g></defs>'
        '<use href="#pair" fill="url(#dusk)"/>'
    )
    artwork = read(content)
    reds = [mark.colour.red for mark in artwork.painted()]
    assert reds == pytest.approx([0.25, 0.75], abs=HALF_STEP)
    assert {severity for _, severity in said(artwork)} == {"simplified"}


@pytest.mark.parametrize("kind", ["linearGradient x1='0' x2='1e-7'", "radialGradient r='1e-7'"])
@pytest.mark.parametrize("bands", [0, 9])
def test_a_gradient_that_repeats_too_often_has_its_mean(kind: str, bands: int) -> None:
    tag = kind.split()[0]
    svg = (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"><{kind} id="dusk" spreadMethod="repeat">'
        f'{STOPS}</{tag}><rect width="9" height="9" fill="url(#dusk)"/></svg>'
    )
    mark = only(parse_artwork(svg.encode(), bands=bands))
    assert isinstance(mark, Fill)
    assert mark.colour.red == pytest.approx(0.5, abs=HALF_STEP)


@pytest.mark.parametrize(("jumps", "bands"), [(100, 100), (1000, 64)])
def test_jumps_divide_bands_unless_there_are_very_many(jumps: int, bands: int) -> None:
    # 100 jumps at hundredths, among which the borders of 50 bands are; 1000 would be more bands than squares
    number = 50 if jumps == 100 else 64
    stops = "".join(
        f'<stop offset="{(k + side) / jumps}" stop-color="rgb({k % 251} 0 {k // 4})"/>'
        for k in range(jumps)
        for side in (0, 1)
    )
    content = f'<linearGradient id="g">{stops}</linearGradient><rect width="9" height="9" fill="url(#g)"/>'
    data = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9">{content}</svg>'.encode()
    assert len(list(parse_artwork(data, bands=number).painted())) == bands

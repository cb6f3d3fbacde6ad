"""How large the page is, and where its units lie.

The numbers of the view box cases are those of SVG 2, 8.2 (and of the example in MDN's page on
preserveAspectRatio): a viewBox 0 0 100 100 laid into 20 x 10 is scaled by 0.1 and shifted by
5 (xMid), 0 (xMin) or 10 (xMax); sliced by 0.2 and shifted by -5 in y.
"""

import numpy as np
import pytest

from svg2chart.errors import ArtworkError
from svg2chart.geometry.affine import Affine
from svg2chart.geometry.box import Box
from svg2chart.svg.read import parse_artwork
from svg2chart.svg.viewport import alignment, fitted
from svg2chart.units import MM_PER_PX
from tests.svg.inline import corners, only, read, said

SQUARE = '<rect id="deck" width="10" height="10"/>'


@pytest.mark.parametrize(
    ("box", "into", "how", "scale", "shift"),
    [
        (Box(0, 0, 100, 100), Box(0, 0, 20, 10), "", (0.1, 0.1), (5, 0)),
        (Box(0, 0, 100, 100), Box(0, 0, 20, 10), "xMinYMid", (0.1, 0.1), (0, 0)),
        (Box(0, 0, 100, 100), Box(0, 0, 20, 10), "xMaxYMid meet", (0.1, 0.1), (10, 0)),
        (Box(0, 0, 100, 100), Box(0, 0, 20, 10), "xMidYMid slice", (0.2, 0.2), (0, -5)),
        (Box(0, 0, 1500, 1000), Box(0, 0, 300, 200), "", (0.2, 0.2), (0, 0)),  # SVG 1.1, 7.7
        (Box(0, 0, 100, 50), Box(0, 0, 200, 200), "xMidYMid meet", (2, 2), (0, 50)),
        (Box(0, 0, 100, 50), Box(0, 0, 200, 200), "xMidYMid slice", (4, 4), (-100, 0)),
        (Box(0, 0, 100, 50), Box(0, 0, 200, 200), "none", (2, 4), (0, 0)),
    ],
)
def test_a_view_box_is_laid_into_a_rectangle_as_the_specification_says(
    box: Box, into: Box, how: str, scale: tuple[float, float], shift: tuple[float, float]
) -> None:
    found = fitted(box, into, alignment(how))
    assert found == Affine(scale[0], 0.0, 0.0, scale[1], *shift)


@pytest.mark.parametrize(
    ("root", "viewport", "unit_mm"),
    [
        ('viewBox="0 0 40 30"', Box(0, 0, 40, 30), MM_PER_PX),
        ('width="100%" height="100%" viewBox="0 0 40 30"', Box(0, 0, 40, 30), MM_PER_PX),
        ('width="200" height="100"', Box(0, 0, 200, 100), MM_PER_PX),
        ('width="140mm" height="70mm" viewBox="0 0 140 70"', Box(0, 0, 140, 70), 1.0),
        ('width="14cm" viewBox="0 0 140 70"', Box(0, 0, 140, 70), 1.0),
        ('width="2in" height="1in" viewBox="0 0 2 1"', Box(0, 0, 2, 1), 25.4),
        # letterboxed: the page is wider than the view box, units stay those of the view box
        ('width="20mm" height="10mm" viewBox="0 0 100 100"', Box(-50, 0, 150, 100), 0.1),
        (
            'width="20mm" height="10mm" viewBox="0 0 100 100" preserveAspectRatio="xMinYMid"',
            Box(0, 0, 200, 100),
            0.1,
        ),
        (
            'width="20mm" height="10mm" viewBox="0 0 100 100" preserveAspectRatio="xMidYMid slice"',
            Box(0, 25, 100, 75),
            0.2,
        ),
    ],
)
def test_the_page_is_measured_in_the_units_of_the_root_view_box(
    root: str, viewport: Box, unit_mm: float
) -> None:
    artwork = read(SQUARE, root=root)
    found = artwork.viewport
    assert (found.left, found.top, found.right, found.bottom) == pytest.approx(
        (viewport.left, viewport.top, viewport.right, viewport.bottom), abs=1e-9
    )
    assert artwork.unit_mm == pytest.approx(unit_mm, rel=1e-11)
    if viewport.top < 10:  # nothing of the square lies off the page
        assert corners(only(artwork).path) == [(0, 0), (10, 0), (10, 10), (0, 10)]
        assert said(artwork) == []


def test_a_stretched_view_box_is_stretched_along_y() -> None:
    artwork = read(SQUARE, root='width="20mm" height="40mm" viewBox="0 0 10 10" preserveAspectRatio="none"')
    assert artwork.viewport == Box(0, 0, 10, 20)
    assert artwork.unit_mm == 2
    assert corners(only(artwork).path) == [(0, 0), (10, 0), (10, 20), (0, 20)]


@pytest.mark.parametrize(
    ("length", "px"),
    # CSS Values and Units 3: 1 in = 2.54 cm = 96 px = 72 pt = 6 pc; the others by definition
    [
        ("1in", 96),
        ("2.54cm", 96),
        ("25.4mm", 96),
        ("101.6Q", 96),
        ("72pt", 96),
        ("6pc", 96),
        ("96px", 96),
        ("96", 96),
        ("2em", 40),
        ("2ex", 20),
        ("2rem", 20),
        ("50%", 100),
        ("10vw", 20),
        ("10vh", 10),
        ("1e1", 10),
    ],
)
def test_units_are_worth_what_the_specifications_say(length: str, px: float) -> None:
    content = f'<g font-size="20"><rect id="deck" width="{length}" height="1"/></g>'
    artwork = read(content, root='viewBox="0 0 200 100" font-size="10"')
    box = only(artwork).path.box()
    assert box is not None
    assert box.width == pytest.approx(px, rel=1e-12)
    assert said(artwork) == []


@pytest.mark.parametrize(
    ("content", "page"),
    [
        ('<rect x="5" y="6" width="10" height="20"/>', Box(0, 0, 15, 26)),
        ('<rect x="-5" y="6" width="10" height="20"/>', Box(-5, 0, 5, 26)),
        ('<rect x="5" y="6" width="10" height="20" stroke="red" stroke-width="2"/>', Box(0, 0, 15, 26)),
        ('<path d="M2 6H9" stroke="red" stroke-linejoin="round"/>', Box(0, 0, 9 + 0.5**0.5, 6 + 0.5**0.5)),
    ],
)
def test_a_drawing_without_any_size_reaches_from_the_origin_to_its_ends(content: str, page: Box) -> None:
    artwork = read(content, root="")
    assert artwork.viewport == page
    assert said(artwork) == [("", "guessed")]


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"   ",
        b"harbour",
        b"<svg",
        b'<svg xmlns="http://www.w3.org/2000/svg"><g></svg>',
        b'<html xmlns="http://www.w3.org/1999/xhtml"/>',
        b'<svg xmlns="http://www.w3.org/2000/svg"/>',
        b'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 0 10"/>',
        b'<svg xmlns="http://www.w3.org/2000/svg" width="0" height="10"/>',
        b'<svg xmlns="http://www.w3.org/2000/svg" width="-1" height="10"/>',
        b'<?xml version="1.0" encoding="harbour"?><svg xmlns="http://www.w3.org/2000/svg"/>',
        b"\x1f\x8bnot really packed",
    ],
)
def test_what_is_no_drawing_is_an_error_with_a_way_out(data: bytes) -> None:
    with pytest.raises(ArtworkError) as caught:
        parse_artwork(data)
    assert caught.value.way_out


def test_old_sizes_and_a_missing_namespace_are_guessed_at_aloud() -> None:
    old = 'xmlns:inkscape="http://www.inkscape.org/namespaces/inkscape" inkscape:version="0.91 r1"'
    assert said(read(SQUARE, root=f'{old} viewBox="0 0 10 10"')) == [("", "guessed")]
    new = old.replace("0.91", "0.92")
    assert said(read(SQUARE, root=f'{new} viewBox="0 0 10 10"')) == []
    bare = parse_artwork(b'<svg viewBox="0 0 10 10"><rect width="5" height="5"/></svg>')
    assert said(bare) == [("", "guessed")]
    assert np.array_equal(only(bare).path.segments[0, 0], [0, 0])


@pytest.mark.parametrize(("root", "element"), [('id="poster" ', "poster"), ("", "svg")])
def test_a_page_whose_view_box_has_no_area_is_refused_by_name(root: str, element: str) -> None:
    with pytest.raises(ArtworkError, match=f'^element "{element}": the viewBox has no area'):
        read("", root=f'{root}viewBox="0 0 9 0"')


def test_an_inset_whose_view_box_has_no_area_is_left_out_by_itself() -> None:
    """SVG 2, 8.6: a width or height of 0 disables rendering of the element."""
    inset = '<svg id="inset" viewBox="0 0 0 9"><rect id="in" width="2" height="2"/></svg>'
    artwork = read(inset + '<rect id="out" width="2" height="2"/>')
    assert [mark.element for mark in artwork.painted()] == ["out"]
    assert said(artwork) == [("inset", "left out")]

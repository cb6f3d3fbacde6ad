"""Masks, blend modes and isolation as they are read and as they show."""

import numpy as np
import pytest

from svg2chart.convert import convert
from svg2chart.grid import Grid
from svg2chart.painting import square_colours
from svg2chart.svg.read import parse_artwork
from tests.svg.inline import read, said

SEA = '<rect id="sea" width="8" height="4" fill="blue" {}/>'
LEFT = '<rect id="left" width="4" height="4" fill="{}"/>'
ROOT = 'viewBox="0 0 8 4"'
URL = 'mask="url(#m)"'


def opacities(content: str, *, bands: int = 0) -> list[float]:
    """Return the opacity of each square of the top row."""
    svg = f'<svg xmlns="http://www.w3.org/2000/svg" {ROOT}>{content}</svg>'
    return [float(v) for v in square_colours(parse_artwork(svg.encode(), bands=bands), 4, 8)[0, :, 3]]


@pytest.mark.parametrize(
    ("mask", "left"),
    [
        ('<mask id="m">' + LEFT.format("white") + "</mask>", 1),
        ('<mask id="m">' + LEFT.format("red") + "</mask>", 0.2125),  # CSS Masking 1, 7.10.1
        ('<mask id="m">' + LEFT.format("rgba(255,255,255,.25)") + "</mask>", 0.25),
        ('<mask id="m" mask-type="alpha">' + LEFT.format("black") + "</mask>", 1),
        ('<mask id="m" style="mask-type:alpha">' + LEFT.format("black") + "</mask>", 1),
        ('<mask id="m"><g opacity=".5">' + LEFT.format("white") + "</g></mask>", 0.5),
        ('<mask id="m" x="0" width=".5"><rect width="8" height="4" fill="white"/></mask>', 1),
        (
            '<mask id="m" maskUnits="userSpaceOnUse" x="0" y="0" width="50%" height="4">'
            '<rect width="8" height="4" fill="white"/></mask>',
            1,
        ),
        (
            '<mask id="m" maskContentUnits="objectBoundingBox">'
            '<rect width=".5" height="1" fill="white"/></mask>',
            1,
        ),
        ('<mask id="m" transform="scale(9)">' + LEFT.format("white") + "</mask>", 1),  # has no effect
        (
            '<clipPath id="c"><rect width="4" height="4"/></clipPath>'
            '<mask id="m" clip-path="url(#c)"><rect width="8" height="4" fill="white"/></mask>',
            1,
        ),
        (
            '<mask id="n">' + LEFT.format("white") + '</mask><mask id="m" mask="url(#n)">'
            '<rect width="8" height="4" fill="white" fill-opacity=".5"/></mask>',
            0.5,
        ),
    ],
)
def test_a_mask_shows_the_left_half(mask: str, left: float) -> None:
    assert opacities(mask + SEA.format(URL)) == pytest.approx([left] * 4 + [0] * 4)
    assert said(read(mask + SEA.format(URL), root=ROOT)) == []


def test_a_mask_moves_with_what_it_masks() -> None:
    mask = '<mask id="m">' + LEFT.format("white") + "</mask>"
    moved = f'<g transform="translate(2)" {URL}>{SEA.format("")}</g>'
    assert opacities(mask + moved) == [0, 0, 1, 1, 1, 1, 0, 0]


def test_a_mask_in_bands_fades() -> None:
    mask = (
        '<linearGradient id="dusk"><stop stop-color="black"/><stop offset="1" stop-color="white"/>'
        '</linearGradient><mask id="m"><rect width="8" height="4" fill="url(#dusk)"/></mask>'
    )
    assert opacities(mask + SEA.format(URL), bands=8) == pytest.approx((np.arange(8) + 0.5) / 8)
    assert opacities(mask + SEA.format(URL)) == pytest.approx([0.5] * 8, abs=1 / 255)


@pytest.mark.parametrize(
    "mask",
    [
        '<mask id="m"/>',
        '<mask id="m"><rect id="r"/></mask>',
        '<mask id="m" width="0">' + LEFT.format("white") + "</mask>",
    ],
)
def test_what_a_mask_leaves_nothing_of_is_not_drawn(mask: str) -> None:
    artwork = read(
        mask + SEA.format(URL) + '<g opacity=".5"><path d="M0 0H1V1"/><path d="M0 0H1V1"/></g>', root=ROOT
    )
    assert [mark.element for mark in artwork.painted()] == ["path 1", "path 2"]
    assert [group.mask for group in artwork.groups] == [None]
    assert ("sea", "left out") in said(artwork)


@pytest.mark.parametrize("link", ["#no", "#sea", "other.svg#m"])
def test_a_mask_that_is_none_is_remarked_on(link: str) -> None:
    artwork = read(SEA.format(f'mask="url({link})"'), root=ROOT)
    assert len(artwork.marks) == 1
    assert said(artwork) == [("sea", "simplified")]


def test_a_mask_that_holds_itself_is_followed_once() -> None:
    mask = '<mask id="m"><rect id="r" width="4" height="4" fill="white" mask="url(#m)"/></mask>'
    assert opacities(mask + SEA.format(URL)) == [1] * 4 + [0] * 4
    assert said(read(mask + SEA.format(URL), root=ROOT)) == [("r", "simplified"), ("sea", "simplified")]


def test_marks_of_a_mask_are_neither_painted_nor_charted() -> None:
    mask = '<mask id="m"><rect width="8" height="4" fill="white"/><path d="M0 2H8" stroke="black"/></mask>'
    artwork = read(mask + SEA.format(URL), root=ROOT)
    assert [mark.element for mark in artwork.painted()] == ["sea"]
    chart = convert(artwork, Grid.fit(artwork, wide=16))
    assert [thread.colour for thread in chart.threads] == ["#0000ff"]
    assert chart.backstitch == ()


def test_thin_lines_end_where_their_mask_does() -> None:
    mask = (
        '<mask id="m" maskUnits="userSpaceOnUse" x="0" y="0" width="9" height="9">'
        '<rect x="2" width="4" height="4" fill="white"/><rect x="3" width="1" height="4"/></mask>'
    )
    rope = '<path d="M0 2H8" stroke="red" stroke-width=".1" mask="url(#m)"/>'
    artwork = read(mask + rope + SEA.format('opacity=".01"'), root=ROOT)
    grid = Grid(left=0, top=0, square=1, rows=4, columns=8)
    lines = convert(artwork, grid).backstitch
    ends = [sorted((line.start[0], line.end[0])) for line in lines]
    assert sorted(column for first, last in ends for column in np.arange(first, last)) == [2, 4, 5]


BACK = '<rect width="8" height="4" fill="#808000"/>'


@pytest.mark.parametrize(
    ("content", "colour"),
    [
        # multiply: (.5, .5, 0) times (1, 0, 1); on nothing a colour stays as it is
        (BACK + '<rect width="8" height="4" fill="#f0f" style="mix-blend-mode:multiply"/>', (0.502, 0, 0, 1)),
        ('<rect width="8" height="4" fill="#f0f" style="mix-blend-mode:multiply"/>', (1, 0, 1, 1)),
        # half of it over the rest
        (
            BACK + '<rect width="8" height="4" fill="#f0f" opacity=".5" style="mix-blend-mode:multiply"/>',
            (0.502, 0.251, 0, 1),
        ),
        # a plain group is none: its content blends with what is below; an isolated one keeps it to itself
        (
            BACK + '<g><rect width="8" height="4" fill="#f0f" style="mix-blend-mode:multiply"/></g>',
            (0.502, 0, 0, 1),
        ),
        (
            BACK + '<g style="isolation:isolate"><rect width="8" height="4" fill="#f0f" '
            'style="mix-blend-mode:multiply"/></g>',
            (1, 0, 1, 1),
        ),
        # neither is an attribute
        (BACK + '<rect width="8" height="4" fill="#f0f" mix-blend-mode="multiply"/>', (1, 0, 1, 1)),
    ],
)
def test_blend_modes_meet_what_is_below_in_their_group(content: str, colour: tuple[float, ...]) -> None:
    artwork = read(content, root=ROOT)
    assert square_colours(artwork, 4, 8)[2, 3] == pytest.approx(colour, abs=1e-3)
    assert said(artwork) == []

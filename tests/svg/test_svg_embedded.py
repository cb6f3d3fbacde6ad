"""Drawings inside drawings: where they lie, what they take over, and that nothing of them is read twice."""

import base64
import gzip
from urllib.parse import quote

import pytest

from svg2chart.geometry.box import Box
from svg2chart.svg.read import parse_artwork
from tests.svg.inline import only, painted, read, said

BOAT = '<rect id="hull" x="10" y="5" width="10" height="5" fill="currentColor"/>'


def url(content: str, root: str = 'viewBox="0 0 40 20"') -> str:
    text = f'<svg xmlns="http://www.w3.org/2000/svg" {root}>{content}</svg>'
    return f"data:image/svg+xml,{quote(text)}"


def picture(link: str, attributes: str = 'x="10" y="20" width="80" height="40"') -> str:
    return f'<image id="print" {attributes} href="{link}"/>'


def box_of(attributes: str, root: str = 'viewBox="0 0 40 20"') -> Box | None:
    box = only(read(picture(url(BOAT, root), attributes))).path.box()
    return box


@pytest.mark.parametrize(
    ("attributes", "expected"),
    [
        ('x="10" y="20" width="80" height="40"', Box(30, 30, 50, 40)),
        ('width="40" height="60"', Box(10, 25, 20, 30)),  # xMidYMid meet: 20 spare above
        ('width="40" height="60" preserveAspectRatio="xMidYMin"', Box(10, 5, 20, 10)),
        ('width="40" height="60" preserveAspectRatio="none"', Box(10, 15, 20, 30)),
        ('width="80"', Box(20, 10, 40, 20)),  # the other side follows, 2 to 1
        ('height="40"', Box(20, 10, 40, 20)),
        ('style="width: 80px; height: auto"', Box(20, 10, 40, 20)),
    ],
)
def test_it_is_laid_into_its_box_as_preserve_aspect_ratio_says(attributes: str, expected: Box) -> None:
    # SVG 2, 12.3 and 8.2
    assert box_of(attributes) == expected


def test_without_sizes_it_is_as_large_as_it_says_itself() -> None:
    assert box_of("", 'width="80" height="40" viewBox="0 0 40 20"') == Box(20, 10, 40, 20)


def test_it_is_cut_at_its_box() -> None:
    artwork = read(picture(url('<rect width="90" height="90"/>')))
    clip = only(artwork).clip
    assert clip is not None
    assert artwork.clips[clip].parts[0].path.box() == Box(10, 20, 90, 60)


def test_no_style_or_id_passes_in_or_out() -> None:
    inner = url('<use href="#mast"/>' + BOAT)
    artwork = read(
        '<style>rect { fill: red }</style><rect id="mast" width="9" height="9"/>'
        f'<g color="teal" fill="lime" stroke="navy">{picture(inner)}</g>'
    )
    assert painted(artwork) == [("fill", "mast", "#ff0000"), ("fill", "print", "#000000")]
    assert said(artwork) == [("print", "left out")]  # its use finds no mast


def test_opacity_transform_and_clip_of_the_picture_hold_for_all_in_it() -> None:
    artwork = read(f'<g transform="translate(5)">{picture(url(BOAT))[:-2]} opacity=".5"/></g>')
    mark = only(artwork)
    assert mark.path.box() == Box(35, 30, 55, 40)
    assert mark.opacity == 0.5


@pytest.mark.parametrize("pack", [lambda data: data, gzip.compress])
def test_base64_and_packed_drawings_are_read_too(pack: object) -> None:
    text = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 40 20">{BOAT}</svg>'.encode()
    data = base64.b64encode(pack(text)).decode()  # type: ignore[operator]
    assert only(read(picture(f"data:image/svg+xml;base64,{data}"))).path.box() == Box(30, 30, 50, 40)


def test_a_drawing_in_a_drawing_in_a_drawing() -> None:
    inner = url(picture(url(BOAT), 'width="40" height="20"').replace("&", "&amp;"))
    assert only(read(picture(inner))).path.box() == Box(30, 30, 50, 40)


def test_words_in_it_are_set() -> None:
    artwork = read(picture(url('<text y="15">boats</text>')))
    assert {mark.element for mark in artwork.painted()} == {"print"}


def test_many_copies_of_one_picture_are_opened_once() -> None:
    # 2,000 copies of a drawing of 200 kB: read again for each of them it would take minutes
    inner = url(BOAT + "<!--" + "x" * 200_000 + "-->")
    copies = '<use href="#print"/>' * 2_000
    content = f"<defs>{picture(inner)}</defs>{copies}"
    data = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 100">{content}</svg>'.encode()
    assert len(list(parse_artwork(data).painted())) == 2_000


def test_a_mask_that_is_a_drawing_is_followed() -> None:
    mask = f'<mask id="m">{picture(url(BOAT.replace("currentColor", "white")))}</mask>'
    artwork = read(mask + '<rect id="sail" width="50" height="50" mask="url(#m)"/>')
    assert artwork.groups[0].mask is not None
    assert said(artwork) == []

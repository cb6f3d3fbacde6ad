"""What a drawing on the grid says of its chart, and what becomes of it when it is spoilt."""

import pytest

from svg2chart.artwork import Key
from svg2chart.chart import Fabric
from svg2chart.remarks import Severity
from svg2chart.svg.read import parse_artwork

LAYER = (
    '<g id="reds" data-letter="{letter}" data-code="H07" data-name="Lamp red" data-colour="{colour}"'
    ' data-symbol="disc" data-strands="{strands}"><rect width="1" height="1" fill="#c23a32"/></g>'
)
WHOLE = LAYER.format(letter="Q", colour="#c23a32", strands="2 1")


def read(root: str, content: str = WHOLE) -> tuple[Key | None, list[tuple[str, Severity]]]:
    text = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9" {root}>{content}</svg>'
    artwork = parse_artwork(text.encode())
    return artwork.key, [(remark.element, remark.severity) for remark in artwork.remarks]


def test_a_drawing_that_names_its_squares_fabric_and_threads() -> None:
    key, remarks = read('data-square="0.5" data-count="32" data-over="2" data-cloth="#ddeeff"')
    assert remarks == []
    assert key is not None
    assert (key.square, key.fabric) == (0.5, Fabric(count=32, over=2, colour="#ddeeff"))
    (thread,) = key.threads
    assert (thread.letter, thread.code, thread.name, thread.symbol) == ("Q", "H07", "Lamp red", "disc")
    assert (thread.colour, thread.cross_strands, thread.back_strands) == ("#c23a32", 2, 1)


def test_a_drawing_tells_whether_its_whole_page_is_the_chart() -> None:
    path = "<path d='M1 1H2V2Z'/>"
    assert read('data-square="1" data-extent="page"', path) == (Key(square=1.0), [])
    assert read('data-square="1" data-extent="drawing"', path) == (Key(square=1.0, is_whole=False), [])
    assert read('data-square="1" data-extent="some"', path) == (Key(square=1.0), [("", Severity.GUESSED)])


def test_squares_alone_are_enough_and_threads_alone_are_not() -> None:
    assert read('data-square="1"', "<path d='M1 1H2V2Z'/>") == (Key(square=1.0), [])
    assert read("") == (None, [])


@pytest.mark.parametrize("square", ["", "0", "-1", "nan", "1e999", "one", "1 px"])
def test_squares_of_no_size_are_a_remark(square: str) -> None:
    assert read(f'data-square="{square}"') == (None, [("", Severity.GUESSED)])


@pytest.mark.parametrize(
    "fabric",
    [
        'data-count="many"',
        'data-count="4"',
        'data-count="14" data-over="3"',
        'data-count="14" data-cloth="red"',
    ],
)
def test_a_fabric_that_cannot_be_is_a_remark(fabric: str) -> None:
    key, remarks = read(f'data-square="1" {fabric}')
    assert key is not None
    assert key.fabric is None
    assert len(key.threads) == 1
    assert remarks == [("", Severity.GUESSED)]


@pytest.mark.parametrize(
    "spoilt", [{"letter": "QQ"}, {"letter": ""}, {"colour": "red"}, {"strands": "2"}, {"strands": "0 1"}]
)
def test_a_thread_that_cannot_be_is_a_remark_at_its_layer(spoilt: dict[str, str]) -> None:
    layer = LAYER.format(**{"letter": "Q", "colour": "#c23a32", "strands": "2 1", **spoilt})
    key, remarks = read('data-square="1"', layer)
    assert key == Key(square=1.0)
    assert remarks == [("reds", Severity.GUESSED)]


def test_of_two_layers_with_one_letter_the_first_names_the_thread() -> None:
    other = LAYER.format(letter="Q", colour="#1a3a8f", strands="3 1").replace('id="reds"', 'id="copy"')
    key, remarks = read('data-square="1"', WHOLE + other)
    assert key is not None
    assert [thread.colour for thread in key.threads] == ["#c23a32"]
    assert remarks == []

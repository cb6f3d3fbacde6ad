"""What the table beside the drawings of a real editor says of each, line by line, in shapes and colours.

`test_svg_editor_samples` has which elements are shown and which are remarked on; here is how they look.
The places and sizes in the tests are those in the files, in millimetres.
"""

from math import pi
from pathlib import Path

import numpy as np
import pytest

from svg2chart.artwork import Artwork, Fill
from svg2chart.grid import TOLERANCE_SQUARES
from svg2chart.painting import square_colours
from svg2chart.svg.read import read_artwork
from tests.svg.inline import region

SAMPLES = Path(__file__).resolve().parents[3] / "shared" / "data" / "editor-samples"
WIDE, HIGH = 120, 90  # millimetres, of every sample

pytestmark = pytest.mark.skipif(not SAMPLES.is_dir(), reason="the editor's samples are not there")


def sample(name: str) -> Artwork:
    return read_artwork(SAMPLES / f"{name}.svg")


def colour_at(artwork: Artwork, x: int, y: int) -> str:
    """Return the colour of the square millimetre right of and below a point, "" where it is bare."""
    *channels, opacity = square_colours(artwork, HIGH, WIDE)[y, x].tolist()
    return "" if opacity == 0 else "#" + "".join(f"{round(c / opacity * 255):02x}" for c in channels)


def fills(artwork: Artwork, element: str) -> list[Fill]:
    return [mark for mark in artwork.painted() if isinstance(mark, Fill) and mark.element == element]


def said_of(artwork: Artwork, element: str) -> list[tuple[str, str, str]]:
    """Return what, severity and layer of the remarks on an element."""
    return [(r.what, r.severity.value, r.layer) for r in artwork.remarks if r.element == element]


def test_layers_give_their_labels_to_what_they_hold() -> None:
    layers = {mark.element: mark.layer for mark in sample("01-layers").painted()}
    boats = dict.fromkeys(("hull", "mast", "sail", "dinghy"), "boats")
    assert layers == {"sky": "sky", "sea": "Sea & shore", **boats, "lamp1": "lamps"}


def test_a_locked_layer_is_drawn_and_a_hidden_one_is_not() -> None:
    artwork = sample("01-layers")
    assert colour_at(artwork, 10, 80) == "#2b5f7d"  # the sea, and not the sketch that starts there
    assert colour_at(artwork, 90, 23) == "#f4d9a8"  # the sky where the sketch runs
    assert said_of(artwork, "l-sketch") == [("a hidden layer", "left out", "sketch (hidden)")]


def test_a_layer_at_four_fifths_mixes_with_what_is_below() -> None:
    lamp, sky = (0xFF, 0xD2, 0x3F), (0xF4, 0xD9, 0xA8)
    mixed = "#" + "".join(f"{round(0.8 * a + 0.2 * b):02x}" for a, b in zip(lamp, sky, strict=True))
    assert colour_at(sample("01-layers"), 57, 13) == mixed


def test_an_invisible_element_is_left_out_though_its_editor_draws_it() -> None:
    artwork = sample("01-layers")
    assert colour_at(artwork, 30, 48) == "#f4d9a8"
    assert said_of(artwork, "lamp2") == [("hidden (visibility)", "left out", "lamps")]


def test_two_layers_of_one_label_are_told_apart_by_their_ids() -> None:
    ((what, severity, layer),) = said_of(sample("01-layers"), "l-boats-2")
    assert '"boats"' in what
    assert (severity, layer) == ("guessed", "boats")


def test_clones_look_like_their_pennant_wherever_they_are_put() -> None:
    artwork = sample("05-clones")
    (pennant,) = fills(artwork, "pennant")
    moves = {"c1": (17, 4), "c2": (34, 6), "c3": (51, 6), "c4": (68, 4), "c5": (85, 0)}
    for clone, (x, y) in moves.items():
        (mark,) = fills(artwork, clone)
        assert mark.colour == pennant.colour
        assert mark.path.segments == pytest.approx(pennant.path.segments + np.array([x, y]))
    (nested,) = fills(artwork, "nested")  # a use of c2, larger
    (c2,) = fills(artwork, "c2")
    assert nested.path.segments == pytest.approx(c2.path.segments * 1.2 + np.array([20, 30]))
    assert nested.colour == pennant.colour


def test_a_symbol_is_laid_into_the_size_that_its_use_asks_for() -> None:
    (flag,) = fills(sample("05-clones"), "sym")
    around = flag.path.box()
    assert around is not None
    assert (around.left, around.top, around.width, around.height) == (20, 50, 20, 24)
    assert flag.colour.hex == "#d1495b"


def test_a_use_of_what_is_not_there_is_named() -> None:
    assert said_of(sample("05-clones"), "broken") == [
        ('it draws "#gone", which is not there', "left out", "bunting")
    ]


def test_yellow_knots_stand_at_the_four_points_of_the_string() -> None:
    artwork = sample("06-markers-pattern")
    middles = [mark.path.segments.reshape(-1, 2) for mark in fills(artwork, "string")]
    found = [tuple(np.round((points.min(axis=0) + points.max(axis=0)) / 2, 6)) for points in middles]
    assert found == [(10, 30), (40, 15), (75, 30), (110, 12)]
    assert {mark.colour.hex for mark in fills(artwork, "string")} == {"#ffd23f"}


def test_only_the_page_in_the_view_box_is_drawn() -> None:
    artwork = sample("07-pages-grid")
    assert (artwork.viewport.width, artwork.viewport.height) == (WIDE, HIGH)
    assert colour_at(artwork, 5, 5) == ""  # neither grid nor guide nor the colour of the page
    assert (colour_at(artwork, 20, 20), colour_at(artwork, 60, 55)) == ("#2b5f7d", "#ffd23f")
    for outside in ("p2art", "stray"):
        assert said_of(artwork, outside) == [("lies outside the page", "left out", "page art")]
    ((what, severity, _),) = said_of(artwork, "")
    assert "2 pages" in what
    assert severity == "left out"


def test_strokes_look_as_the_editor_shows_them() -> None:
    artwork = sample("08-strokes")
    opacity = square_colours(artwork, HIGH, WIDE)[..., 3]
    # scaled: 2 wide, three times as wide by its group, from 52 to 66: 6 by 14 around x = 12
    assert opacity[51:67, 8:16].sum() == pytest.approx(6 * 14, abs=1e-4)
    # nss: 4 px whatever its group does, 4 / 96 inch, from 12 to 108
    assert opacity[37:43].sum() == pytest.approx(96 * 4 * 25.4 / 96, abs=1e-3)
    # po: the disc lies over its own stroke: all of radius 12, and a rim from there to 16
    assert [colour_at(artwork, x, 61) for x in (60, 70, 73, 74)] == ["#ffd23f"] * 2 + ["#9c3b2e"] * 2


def test_live_effects_are_drawn_as_the_editor_wrote_them_out() -> None:
    artwork = sample("09-live-effects")
    areas = {mark.element: region([mark.path]).area for mark in artwork.painted()}
    assert areas["hut"] == pytest.approx(40 * 28 - (4 - pi) * 5**2, abs=0.05)  # rounded by 5
    (twin,) = fills(artwork, "twin")
    assert len(twin.path.contours()) == 2
    assert areas["twin"] == pytest.approx(2 * (30 + 16) / 2 * 18)
    (star,) = fills(artwork, "star")
    tips = star.path.segments[::2, 0] - np.array([85, 26])
    assert len(star.path.segments) == 10
    assert np.hypot(*tips.T) == pytest.approx(16, abs=0.1)  # written with one digit
    assert artwork.remarks == ()


def test_a_clipped_group_shows_in_its_circle_only_and_a_blurred_lamp_is_a_plain_disc() -> None:
    artwork = sample("10-clip-mask")
    opacity = square_colours(artwork, HIGH, WIDE)[..., 3]
    # the porthole is a circle of radius 26 around (35, 45); the sky in it ends at x = 5 and y = 15
    assert opacity[19:72, 8:62].sum() == pytest.approx(pi * 26**2, abs=2 * pi * 26 * TOLERANCE_SQUARES)
    assert [colour_at(artwork, x, y) for x, y in ((35, 30), (35, 60), (30, 47))] == [
        "#f4d9a8",
        "#2b5f7d",
        "#9c3b2e",
    ]
    assert opacity[5:19, 53:67].sum() >= pi * 6**2 - 2 * pi * 6 * TOLERANCE_SQUARES
    assert said_of(artwork, "glowlamp")[0][1:] == ("simplified", "mist")

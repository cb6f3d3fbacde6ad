"""Drawings as a real vector editor saved them: what must be shown, and what must be said.

The expectations are those of the table that comes with the samples.
"""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from svg2chart.artwork import Artwork, Fill, Stroke
from svg2chart.painting import square_colours
from svg2chart.svg.read import read_artwork

SAMPLES = Path(__file__).resolve().parents[3] / "shared" / "data" / "editor-samples"

pytestmark = pytest.mark.skipif(not SAMPLES.is_dir(), reason="the editor's samples are not there")

# file: elements shown in paint order (a mark for fill and one for stroke), elements remarked on but for fonts
EXPECTED = {
    "01-layers": ("sky sea hull mast sail lamp1 dinghy", "l-boats-2 l-sketch lamp2"),
    "02-text-lines": ("ribbon words kerned spaced", ""),
    "03-text-flowed": ("panel panel shaped inlined", "oldflow"),
    "04-text-on-path": ("band archtext quay", ""),
    "05-clones": ("rope pennant c1 c2 c3 c4 c5 sym nested", "broken"),
    "07-pages-grid": ("p1art p1boat", " p2art stray"),
    "08-strokes": ("hair nss scaled po po pot dash", "hair"),
    "09-live-effects": ("hut twin star", ""),
}


def sample(name: str) -> Artwork:
    """Return a sample as read."""
    return read_artwork(SAMPLES / f"{name}.svg")


@pytest.mark.parametrize("name", EXPECTED)
def test_samples_show_and_say_what_they_must(name: str) -> None:
    shown, remarked = EXPECTED[name]
    artwork = sample(name)
    assert [mark.element for mark in artwork.marks] == shown.split()
    others = [r.element for r in artwork.remarks if "font" not in r.what and "set in" not in r.what]
    assert others == (remarked.split(" ") if remarked else [])
    assert artwork.unit_mm == 1  # each is 120 mm wide with a view box of 120


def test_markers_are_drawn_and_patterns_and_gradients_remarked_on() -> None:
    artwork = sample("06-markers-pattern")
    knots = [mark for mark in artwork.marks if mark.element == "string" and isinstance(mark, Fill)]
    assert len(knots) == 4
    assert [remark.element for remark in artwork.remarks] == ["dusksky", "deck", "deck2"]


def test_a_layer_at_less_than_full_opacity_is_a_lone_mark() -> None:
    (lamp,) = (mark for mark in sample("01-layers").marks if mark.element == "lamp1")
    assert isinstance(lamp, Fill)
    assert lamp.opacity == 0.8


def test_strokes_keep_their_width_as_the_editor_shows_it() -> None:
    marks = {mark.element: mark for mark in sample("08-strokes").marks if isinstance(mark, Stroke)}
    # an even line of 4 px, 4 / 96 inch; a stroke that its group makes three times as wide
    assert marks["nss"].style.width * marks["nss"].pen.largest_scale == pytest.approx(4 * 25.4 / 96)
    assert marks["scaled"].pen.largest_scale == pytest.approx(3)
    assert marks["scaled"].pen.determinant == pytest.approx(3)


def test_clips_are_kept_and_masks_and_filters_remarked_on() -> None:
    artwork = sample("10-clip-mask")
    # the mask's gradient becomes one grey, said of its rectangle and of what it masks
    assert [remark.element for remark in artwork.remarks] == ["rect10", "foggy", "glowlamp"]
    assert sum(mark.clip == 0 for mark in artwork.marks) == 3


def test_a_mask_fades_in_bands() -> None:
    artwork = read_artwork(SAMPLES / "10-clip-mask.svg", bands=8)
    only = replace(artwork, marks=tuple(m for m in artwork.marks if m.element in ("foggy", "rect10")))
    opacity = square_colours(only, 20, 40)[..., 3].max(axis=0)
    shown = opacity[opacity > 0]
    assert len({round(float(value), 9) for value in shown}) >= 8
    assert (np.diff(shown[1:]) <= 1e-12).all()

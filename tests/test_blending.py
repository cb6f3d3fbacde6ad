"""Blend modes and masks: the formulas of the recommendations, another library, and laws."""

from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image, ImageChops

from svg2chart.artwork import Blend, Group, Mask, MaskKind
from svg2chart.colour import Colour
from svg2chart.octants.blending import Rgb, Rgba, blended, faded, mask_share, over
from svg2chart.octants.stacks import BARE, Paint, Stacks, hides

channels = st.integers(0, 16).map(lambda k: k / 16)
colours = st.tuples(channels, channels, channels)
rgbas = st.tuples(channels, channels, channels, channels).map(lambda c: faded((*c[:3], 1.0), c[3]))
blends = st.sampled_from(Blend)
WHOLE = (Blend.HUE, Blend.SATURATION, Blend.COLOR, Blend.LUMINOSITY)
BLACK, WHITE = (0.0, 0.0, 0.0), (1.0, 1.0, 1.0)


def lum(colour: Rgb) -> float:
    # Compositing and Blending Level 1, 10.2
    return 0.3 * colour[0] + 0.59 * colour[1] + 0.11 * colour[2]


@pytest.mark.parametrize(
    ("blend", "chop"),
    [
        (Blend.MULTIPLY, ImageChops.multiply),
        (Blend.SCREEN, ImageChops.screen),
        (Blend.DARKEN, ImageChops.darker),
        (Blend.LIGHTEN, ImageChops.lighter),
        (Blend.DIFFERENCE, ImageChops.difference),
        (Blend.HARD_LIGHT, ImageChops.hard_light),
        (Blend.OVERLAY, ImageChops.overlay),
    ],
)
def test_blend_modes_are_those_of_another_library(
    blend: Blend, chop: Callable[[Image.Image, Image.Image], Image.Image]
) -> None:
    levels = np.arange(0, 256, 5, dtype=np.uint8)
    below, above = (np.ascontiguousarray(a) for a in np.meshgrid(levels, levels))
    found = np.array(chop(Image.fromarray(below), Image.fromarray(above)), dtype=np.float64) / 255
    ours = [
        [blended((b / 255,) * 3, (s / 255,) * 3, blend)[0] for b, s in zip(row, other, strict=True)]
        for row, other in zip(below.tolist(), above.tolist(), strict=True)
    ]
    assert np.abs(found - np.array(ours)).max() < 2.5 / 255  # theirs are eight bits


@given(below=colours, above=colours, blend=blends)
def test_blended_colours_are_colours(below: Rgb, above: Rgb, blend: Blend) -> None:
    assert all(0.0 <= channel <= 1.0 for channel in blended(below, above, blend))


@given(colour=colours, other=colours)
def test_neutral_and_symmetric_colours(colour: Rgb, other: Rgb) -> None:
    # read off the formulas of 10.1
    assert blended(colour, WHITE, Blend.MULTIPLY) == blended(colour, BLACK, Blend.SCREEN) == colour
    assert blended(colour, BLACK, Blend.COLOR_DODGE) == blended(colour, WHITE, Blend.COLOR_BURN) == colour
    assert blended(colour, (0.5,) * 3, Blend.SOFT_LIGHT) == pytest.approx(colour)
    assert blended(colour, BLACK, Blend.EXCLUSION) == colour
    assert blended(colour, WHITE, Blend.EXCLUSION) == pytest.approx([1 - c for c in colour])
    assert blended(colour, other, Blend.OVERLAY) == blended(other, colour, Blend.HARD_LIGHT)
    for blend in (Blend.MULTIPLY, Blend.SCREEN, Blend.DIFFERENCE, Blend.EXCLUSION, Blend.DARKEN):
        assert blended(colour, other, blend) == pytest.approx(blended(other, colour, blend))


@given(below=colours, above=colours)
def test_whole_colour_modes_take_their_luminosity_from_one(below: Rgb, above: Rgb) -> None:
    for blend in WHOLE:
        source = above if blend is Blend.LUMINOSITY else below
        assert lum(blended(below, above, blend)) == pytest.approx(lum(source))
    grey = blended(below, (0.5,) * 3, Blend.SATURATION)
    assert max(grey) - min(grey) == pytest.approx(0)
    assert blended(above, above, Blend.COLOR) == pytest.approx(above)


@pytest.mark.parametrize(
    ("blend", "result"),
    # green (0, .5, 0) below yellow (1, 1, 0), by hand: Lum .295 and .89. Yellow less .595 is
    # (.405, .405, -.595), clipped towards .295 by .295 / .89 it is (.3315, .3315, 0)
    [(Blend.COLOR, (0.3315, 0.3315, 0)), (Blend.SOFT_LIGHT, (0, 0.7071, 0)), (Blend.COLOR_BURN, (0, 0.5, 0))],
)
def test_worked_examples(blend: Blend, result: Rgb) -> None:
    assert blended((0.0, 0.5, 0.0), (1.0, 1.0, 0.0), blend) == pytest.approx(result, abs=1e-4)


@given(lower=rgbas, upper=rgbas, blend=blends)
def test_over_is_the_general_formula(lower: Rgba, upper: Rgba, blend: Blend) -> None:
    result = over(upper, lower, blend)
    s, b = upper[3], lower[3]
    assert result[3] == pytest.approx(s + b - s * b)
    mixed = BLACK
    if s and b:
        plain = [(c[0] / c[3], c[1] / c[3], c[2] / c[3]) for c in (lower, upper)]
        mixed = blended(plain[0], plain[1], blend)
    for channel in range(3):
        # 5.1 and 9.1.4: co = cs (1 - ab) + cb (1 - as) + as ab B(cb, cs), the first two times their opacity
        expected = upper[channel] * (1 - b) + lower[channel] * (1 - s) + s * b * mixed[channel]
        assert result[channel] == pytest.approx(expected, abs=1e-12)


@pytest.mark.parametrize(
    ("colour", "kind", "share"),
    [
        (WHITE, MaskKind.LUMINANCE, 1),
        (BLACK, MaskKind.LUMINANCE, 0),
        ((1.0, 0.0, 0.0), MaskKind.LUMINANCE, 0.2125),  # CSS Masking 1, 7.10.1
        ((0.0, 1.0, 0.0), MaskKind.LUMINANCE, 0.7154),
        ((0.5, 0.5, 0.5), MaskKind.LINEAR_LUMINANCE, 0.2140),  # IEC 61966-2-1: ((.5 + .055) / 1.055) ^ 2.4
        (BLACK, MaskKind.ALPHA, 1),
    ],
)
@pytest.mark.parametrize("opacity", [1, 0.25])
def test_masks_show_by_luminance_or_opacity(
    colour: Rgb, kind: MaskKind, share: float, opacity: float
) -> None:
    assert mask_share(faded((*colour, 1.0), opacity), kind) == pytest.approx(share * opacity, abs=1e-4)


RED, GREY = Colour(1, 0, 0), Colour(0.5, 0.5, 0.5)


def stack_of(paints: list[Paint], groups: tuple[Group, ...]) -> tuple[Stacks, int]:
    """Return the paints laid over each other in their order."""
    stacks = Stacks(paints, groups)
    stack = np.array([BARE])
    for shape in range(len(paints)):
        stack = stacks.lay(stack, np.array([shape]))
    return stacks, int(stack[0])


def test_a_mask_shows_a_group_in_part_and_hides_it_where_it_is_not() -> None:
    groups = (Group(opacity=0.5, mask=Mask(group=1)), Group(parent=0))
    sea = Paint(colour=Colour(0, 0, 1))
    masked, mask = Paint(colour=RED, group=0), Paint(colour=GREY, group=1)
    stacks, stack = stack_of([sea, masked, mask], groups)
    # half of the mask's half of red
    assert stacks.colour(stack) == pytest.approx((0.25, 0, 0.75, 1))
    assert stacks.tops()[stack] == 1
    first, stack = stack_of([sea, mask, masked], groups)  # in whatever order
    assert (first.colour(stack), first.tops()[stack]) == (pytest.approx((0.25, 0, 0.75, 1)), 2)
    without, stack = stack_of([sea, masked], groups)
    assert without.colour(stack) == (0, 0, 1, 1)
    assert without.tops()[stack] == 0
    assert not hides(masked, groups)
    assert not hides(mask, groups)


def test_a_mask_of_a_mask_takes_its_share() -> None:
    groups = (Group(mask=Mask(group=1)), Group(parent=0, mask=Mask(group=2)), Group(parent=1))
    paints = [Paint(colour=RED, group=0), *(Paint(colour=GREY, group=group) for group in (1, 2))]
    stacks, stack = stack_of(paints, groups)
    assert stacks.colour(stack) == pytest.approx((1, 0, 0, 0.25))


@pytest.mark.parametrize(("parent", "red"), [(None, 0.0), (0, 1.0)])
def test_a_blend_mode_looks_no_farther_than_its_group(parent: int | None, red: float) -> None:
    groups = (Group(), Group(parent=parent, blend=Blend.MULTIPLY))
    stacks, stack = stack_of([Paint(colour=Colour(0, 0, 1)), Paint(colour=RED, group=1)], groups)
    assert stacks.colour(stack) == (red, 0, 0, 1)

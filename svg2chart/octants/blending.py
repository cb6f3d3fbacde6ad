"""Colours over each other: groups, opacity, blend modes and the luminance of masks.

Source: W3C Compositing and Blending Level 1, 5.1 (Porter and Duff's "over"), 10.1 (separable blend modes) and
10.2 (the others), on gamma-encoded sRGB as SVG has it.
"""

from collections.abc import Callable
from math import sqrt

import numpy as np

from svg2chart.artwork import Blend, MaskKind
from svg2chart.colour import linear

Rgb = tuple[float, float, float]
Rgba = tuple[float, float, float, float]

# SVG 1.1, 14.4 and Filter Effects 1, luminanceToAlpha
_MASK_WEIGHTS = (0.2125, 0.7154, 0.0721)


def over(upper: Rgba, lower: Rgba, blend: Blend = Blend.NORMAL) -> Rgba:
    """Return a colour laid over another; all with red, green and blue times their opacity.

    co = cs (1 - ab) + as ab B(cb, cs) + cb (1 - as), the colours s and b without their opacity in B.
    """
    if blend is not Blend.NORMAL and upper[3] > 0.0 and lower[3] > 0.0:
        mixed = blended(_plain(lower), _plain(upper), blend)
        apart, both = 1.0 - lower[3], upper[3] * lower[3]
        red, green, blue = (u * apart + both * m for u, m in zip(upper[:3], mixed, strict=True))
        upper = (red, green, blue, upper[3])
    through = 1.0 - upper[3]
    red, green, blue, alpha = (u + through * b for u, b in zip(upper, lower, strict=True))
    return red, green, blue, alpha


def faded(colour: Rgba, share: float) -> Rgba:
    """Return a colour, times its opacity, with its opacity times a share."""
    return colour[0] * share, colour[1] * share, colour[2] * share, colour[3] * share


def mask_share(colour: Rgba, kind: MaskKind) -> float:
    """Return how much a mask of a colour, times its opacity, lets be seen (CSS Masking 1, 7.10)."""
    if kind is MaskKind.ALPHA or colour[3] == 0.0:
        return colour[3]
    light: Rgb = _plain(colour)
    if kind is MaskKind.LINEAR_LUMINANCE:
        red, green, blue = linear(np.array(light)).tolist()
        light = (red, green, blue)
    return colour[3] * sum(weight * channel for weight, channel in zip(_MASK_WEIGHTS, light, strict=True))


def blended(below: Rgb, above: Rgb, blend: Blend) -> Rgb:
    """Return what a blend mode makes of two colours, B(cb, cs) of the recommendation."""
    if blend in _WHOLE:
        return _WHOLE[blend](below, above)
    mix = _BY_CHANNEL[blend]
    red, green, blue = (mix(b, s) for b, s in zip(below, above, strict=True))
    return red, green, blue


def _plain(colour: Rgba) -> Rgb:
    return colour[0] / colour[3], colour[1] / colour[3], colour[2] / colour[3]


def _multiply(b: float, s: float) -> float:
    return b * s


def _screen(b: float, s: float) -> float:
    return b + s - b * s


def _hard_light(b: float, s: float) -> float:
    return _multiply(b, 2 * s) if s <= 0.5 else _screen(b, 2 * s - 1)


def _color_dodge(b: float, s: float) -> float:
    if b == 0:
        return 0.0
    return 1.0 if s >= 1 else min(1.0, b / (1 - s))


def _color_burn(b: float, s: float) -> float:
    if b >= 1:
        return 1.0
    return 0.0 if s <= 0 else 1 - min(1.0, (1 - b) / s)


def _soft_light(b: float, s: float) -> float:
    if s <= 0.5:
        return b - (1 - 2 * s) * b * (1 - b)
    d = ((16 * b - 12) * b + 4) * b if b <= 0.25 else sqrt(b)
    return b + (2 * s - 1) * (d - b)


_BY_CHANNEL: dict[Blend, Callable[[float, float], float]] = {
    Blend.NORMAL: lambda _b, s: s,
    Blend.MULTIPLY: _multiply,
    Blend.SCREEN: _screen,
    Blend.OVERLAY: lambda b, s: _hard_light(s, b),
    Blend.DARKEN: min,
    Blend.LIGHTEN: max,
    Blend.COLOR_DODGE: _color_dodge,
    Blend.COLOR_BURN: _color_burn,
    Blend.HARD_LIGHT: _hard_light,
    Blend.SOFT_LIGHT: _soft_light,
    Blend.DIFFERENCE: lambda b, s: abs(b - s),
    Blend.EXCLUSION: lambda b, s: b + s - 2 * b * s,
}


def _lum(colour: Rgb) -> float:
    return 0.3 * colour[0] + 0.59 * colour[1] + 0.11 * colour[2]


def _sat(colour: Rgb) -> float:
    return max(colour) - min(colour)


def _with_lum(colour: Rgb, lum: float) -> Rgb:
    """Return a colour with another luminosity, clipped towards grey (SetLum and ClipColor)."""
    shift = lum - _lum(colour)
    moved = [channel + shift for channel in colour]
    grey, low, high = lum, min(moved), max(moved)
    if low < 0.0:
        moved = [grey + (channel - grey) * grey / (grey - low) for channel in moved]
    if high > 1.0:
        moved = [grey + (channel - grey) * (1 - grey) / (high - grey) for channel in moved]
    red, green, blue = (min(1.0, max(0.0, channel)) for channel in moved)
    return red, green, blue


def _with_sat(colour: Rgb, sat: float) -> Rgb:
    """Return a colour with another saturation and nought for its least channel (SetSat)."""
    low, span = min(colour), _sat(colour)
    if span == 0.0:
        return 0.0, 0.0, 0.0
    red, green, blue = ((channel - low) * sat / span for channel in colour)
    return red, green, blue


_WHOLE: dict[Blend, Callable[[Rgb, Rgb], Rgb]] = {
    Blend.HUE: lambda b, s: _with_lum(_with_sat(s, _sat(b)), _lum(b)),
    Blend.SATURATION: lambda b, s: _with_lum(_with_sat(b, _sat(s)), _lum(b)),
    Blend.COLOR: lambda b, s: _with_lum(s, _lum(b)),
    Blend.LUMINOSITY: lambda b, s: _with_lum(b, _lum(s)),
}

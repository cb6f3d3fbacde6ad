"""Colours: sRGB, CIELAB, the CIEDE2000 difference, contrast."""

from dataclasses import dataclass
from string import hexdigits

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

# linear sRGB to CIE XYZ, D65. Source: IEC 61966-2-1.
_XYZ_FROM_LINEAR = np.array([[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]])
_WHITE = _XYZ_FROM_LINEAR.sum(axis=1)


@dataclass(frozen=True, slots=True, order=True)
class Colour:
    """An sRGB colour; each channel 0 to 1, gamma-encoded."""

    red: float
    green: float
    blue: float

    @staticmethod
    def from_hex(text: str) -> "Colour":
        """Return the colour of "#rrggbb".

        >>> Colour.from_hex("#ff0080").hex
        '#ff0080'
        """
        if len(text) != 7 or text[0] != "#" or not set(text[1:]) <= set(hexdigits):
            raise ValueError(f"not a colour of the form #rrggbb: {text!r}")
        return Colour(*(int(text[i : i + 2], 16) / 255 for i in (1, 3, 5)))

    @property
    def hex(self) -> str:
        """The nearest 8-bit colour as "#rrggbb"."""
        return "#" + "".join(f"{round(channel * 255):02x}" for channel in (self.red, self.green, self.blue))


def linear(encoded: Array) -> Array:
    """Return linear light of gamma-encoded sRGB channels, both 0 to 1. Source: IEC 61966-2-1."""
    low = encoded / 12.92
    return np.asarray(np.where(encoded <= 0.04045, low, ((encoded + 0.055) / 1.055) ** 2.4))


def luminance(colour: Colour) -> float:
    """Return the relative luminance, 0 to 1. Source: WCAG 2.1, relative luminance."""
    return float(linear(np.array([colour.red, colour.green, colour.blue])) @ _XYZ_FROM_LINEAR[1])


def contrast(first: Colour, second: Colour) -> float:
    """Return the contrast ratio, 1 to 21. Source: WCAG 2.1, contrast ratio."""
    low, high = sorted((luminance(first), luminance(second)))
    return (high + 0.05) / (low + 0.05)


def lab(colours: list[Colour]) -> Array:
    """Return CIELAB coordinates under D65, (n, 3). Source: CIE 15, 8.2.1."""
    rgb = np.array([[c.red, c.green, c.blue] for c in colours], dtype=np.float64).reshape(-1, 3)
    ratios = linear(rgb) @ _XYZ_FROM_LINEAR.T / _WHITE
    delta = 6 / 29
    f = np.where(ratios > delta**3, np.cbrt(ratios), ratios / (3 * delta**2) + 4 / 29)
    return np.stack([116 * f[:, 1] - 16, 500 * (f[:, 0] - f[:, 1]), 200 * (f[:, 1] - f[:, 2])], axis=1)


def ciede2000(first: Array, second: Array) -> Array:
    """Return the CIEDE2000 differences of CIELAB colours, shapes (..., 3) broadcast together.

    Source: CIE 142-2001; the steps and the test pairs as published by Sharma, Wu and Dalal, 2005.
    """
    l1, a1, b1 = np.moveaxis(first, -1, 0)
    l2, a2, b2 = np.moveaxis(second, -1, 0)
    mean_c7 = ((np.hypot(a1, b1) + np.hypot(a2, b2)) / 2) ** 7
    g = 0.5 * (1 - np.sqrt(mean_c7 / (mean_c7 + 25.0**7)))
    a1, a2 = (1 + g) * a1, (1 + g) * a2
    c1, c2 = np.hypot(a1, b1), np.hypot(a2, b2)
    h1, h2 = np.degrees(np.arctan2(b1, a1)) % 360, np.degrees(np.arctan2(b2, a2)) % 360
    grey = c1 * c2 == 0
    turn = np.where(grey, 0.0, (h2 - h1 + 180) % 360 - 180)
    # a difference of exactly half a turn keeps the sign of h2 - h1
    turn = np.where((turn == -180) & (h2 > h1), 180.0, turn)
    d_l, d_c = l2 - l1, c2 - c1
    d_h = 2 * np.sqrt(c1 * c2) * np.sin(np.radians(turn) / 2)
    mean_l, mean_c = (l1 + l2) / 2, (c1 + c2) / 2
    total = h1 + h2
    mean_h = np.where(
        np.abs(h1 - h2) <= 180, total / 2, np.where(total < 360, total / 2 + 180, total / 2 - 180)
    )
    mean_h = np.where(grey, total, mean_h)
    t = (
        1
        - 0.17 * np.cos(np.radians(mean_h - 30))
        + 0.24 * np.cos(np.radians(2 * mean_h))
        + 0.32 * np.cos(np.radians(3 * mean_h + 6))
        - 0.20 * np.cos(np.radians(4 * mean_h - 63))
    )
    off = (mean_l - 50) ** 2
    s_l = 1 + 0.015 * off / np.sqrt(20 + off)
    s_c = 1 + 0.045 * mean_c
    s_h = 1 + 0.015 * mean_c * t
    r_c = 2 * np.sqrt(mean_c**7 / (mean_c**7 + 25.0**7))
    r_t = -np.sin(np.radians(60 * np.exp(-(((mean_h - 275) / 25) ** 2)))) * r_c
    l_part, c_part, h_part = d_l / s_l, d_c / s_c, d_h / s_h
    return np.asarray(np.sqrt(l_part**2 + c_part**2 + h_part**2 + r_t * c_part * h_part))

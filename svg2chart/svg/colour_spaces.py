"""Colours of wider spaces brought to sRGB, as one sees them on a screen.

Source: CSS Color Module Level 4, 10 (the spaces) and IEC 61966-2-1 (sRGB: primaries, white and curve).
A colour that no screen of sRGB can show is cut off channel by channel, the simplest gamut mapping.
"""

import numpy as np
from numpy.typing import NDArray
from tinycss2.color4 import D50, D65, Color

Array = NDArray[np.float64]

_PRIMARIES = np.array([[0.64, 0.30, 0.15], [0.33, 0.60, 0.06], [0.03, 0.10, 0.79]])
_LINEAR_FROM_XYZ = np.linalg.inv(_PRIMARIES * np.linalg.solve(_PRIMARIES, np.array(D65)))

# what an eye's three kinds of cone see, by Bradford (Lam, 1985; values from memory, the tests hold
# white to white)
_CONES = np.array([[0.8951, 0.2664, -0.1614], [-0.7502, 1.7135, 0.0367], [0.0389, -0.0685, 1.0296]])
_D65_FROM_D50 = np.linalg.solve(_CONES, np.diag(_CONES @ D65 / (_CONES @ D50)) @ _CONES)

_XYZ_D50, _XYZ_D65 = "xyz-d50", "xyz-d65"
_BY_WAY_OF = {
    "lab": _XYZ_D50,
    "lch": _XYZ_D50,
    "xyz-d50": _XYZ_D50,
    "oklab": _XYZ_D65,
    "oklch": _XYZ_D65,
    "xyz": _XYZ_D65,
    "xyz-d65": _XYZ_D65,
}


def in_srgb(colour: Color) -> tuple[float, float, float] | None:
    """Return red, green and blue, 0 to 1, None where the space is not followed."""
    if colour.space in ("srgb", "hsl", "hwb"):
        channels = np.array(colour.to("srgb").coordinates)
    elif colour.space == "srgb-linear":
        channels = _encoded(np.array([value or 0.0 for value in colour.coordinates]))
    elif colour.space in _BY_WAY_OF:
        way = _BY_WAY_OF[colour.space]
        xyz = np.array(colour.to(way).coordinates)
        channels = _encoded(_LINEAR_FROM_XYZ @ (_D65_FROM_D50 @ xyz if way == _XYZ_D50 else xyz))
    else:
        return None
    red, green, blue = (min(1.0, max(0.0, value)) for value in channels.tolist())
    return red, green, blue


def _encoded(linear: Array) -> Array:
    """Return gamma-encoded channels of linear light."""
    light = np.clip(linear, 0.0, 1.0)
    return np.where(light <= 0.0031308, 12.92 * light, 1.055 * light ** (1 / 2.4) - 0.055)

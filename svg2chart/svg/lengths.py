"""Numbers and lengths as SVG writes them, to user units."""

import re
from dataclasses import dataclass
from functools import lru_cache
from math import hypot, isfinite, sqrt

from svg2chart.units import MM_PER_INCH, PX_PER_INCH

# Quantifiers that never give back (`++`) keep the time even for hostile text.
NUMBER = r"[-+]?(?:[0-9]++(?:\.[0-9]*+)?|\.[0-9]++)(?:[eE][-+]?[0-9]++)?"
_NUMBER = re.compile(rf"\s*+({NUMBER})\s*+\Z")
_LENGTH = re.compile(rf"\s*+({NUMBER})\s*+([a-zA-Z]*+|%)\s*+\Z")
_SEPARATOR = re.compile(r"\s*+,\s*+|\s++")

# px in one unit. Source: CSS Values and Units 3, absolute lengths.
PX_PER_UNIT = {
    "": 1.0,
    "px": 1.0,
    "in": PX_PER_INCH,
    "cm": PX_PER_INCH * 10 / MM_PER_INCH,
    "mm": PX_PER_INCH / MM_PER_INCH,
    "q": PX_PER_INCH / MM_PER_INCH / 4,
    "pt": PX_PER_INCH / 72,
    "pc": PX_PER_INCH / 6,
}
RELATIVE_UNITS = ("%", "em", "ex", "ch", "rem", "vw", "vh", "vmin", "vmax")
EX_PER_EM = 0.5  # CSS Values and Units 3: where the x-height cannot be measured
DEFAULT_FONT_SIZE = 16.0  # px; CSS Fonts 4, `medium` as browsers have it


@dataclass(frozen=True, slots=True, kw_only=True)
class Measures:
    """What relative lengths refer to, in user units.

    wide, high: of the nearest viewport. root_wide, root_high: of the page.
    em, root_em: font sizes of the element and of the root.
    """

    wide: float
    high: float
    root_wide: float
    root_high: float
    em: float = DEFAULT_FONT_SIZE
    root_em: float = DEFAULT_FONT_SIZE

    @property
    def diagonal(self) -> float:
        """What percentages of lengths without a direction refer to (SVG 2, 8.9)."""
        return hypot(self.wide, self.high) / sqrt(2)


@lru_cache(maxsize=4096)
def number(text: str) -> float | None:
    """Return the number, None where the text is none."""
    match = _NUMBER.match(text)
    value = float(match[1]) if match else None
    return value if value is not None and isfinite(value) else None


@lru_cache(maxsize=4096)
def number_and_unit(text: str) -> tuple[float, str] | None:
    """Return a length's number and its unit in lower case, None where it is no length."""
    match = _LENGTH.match(text)
    if not match or not isfinite(float(match[1])):
        return None
    return float(match[1]), match[2].lower()


def is_length(text: str) -> bool:
    """Whether the text is a length in a unit that is known."""
    parts = number_and_unit(text)
    return parts is not None and (parts[1] in PX_PER_UNIT or parts[1] in RELATIVE_UNITS)


def length(text: str, measures: Measures, *, whole: float) -> float | None:
    """Return a length in user units, None where the text is no length.

    Args:
        text: a number with or without a unit.
        measures: what relative units refer to.
        whole: what 100 % is.
    """
    parts = number_and_unit(text)
    if parts is None:
        return None
    value, unit = parts
    if unit in PX_PER_UNIT:
        return value * PX_PER_UNIT[unit]
    relative = {
        "%": whole / 100,
        "em": measures.em,
        "ex": measures.em * EX_PER_EM,
        "ch": measures.em * EX_PER_EM,
        "rem": measures.root_em,
        "vw": measures.root_wide / 100,
        "vh": measures.root_high / 100,
        "vmin": min(measures.root_wide, measures.root_high) / 100,
        "vmax": max(measures.root_wide, measures.root_high) / 100,
    }
    return value * relative[unit] if unit in relative else None


@lru_cache(maxsize=4096)
def share(text: str) -> float | None:
    """Return a number or a percentage as a share, kept within 0 and 1; None where it is neither."""
    parts = number_and_unit(text)
    if parts is None or parts[1] not in ("", "%"):
        return None
    return min(1.0, max(0.0, parts[0] / 100 if parts[1] == "%" else parts[0]))


def split_list(text: str) -> list[str]:
    """Return the items of a list separated by white space or commas."""
    stripped = text.strip()
    return _SEPARATOR.split(stripped) if stripped else []

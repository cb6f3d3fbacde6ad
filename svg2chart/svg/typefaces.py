"""Font and decoration properties to what runs of letters ask for."""

import re

from svg2chart.svg.lengths import number, number_and_unit
from svg2chart.svg.style import Style

_FAMILY = re.compile(r"""\s*(?:"([^"]*)"|'([^']*)'|([^,]+))\s*(?:,|\Z)""")
_SETTING = re.compile(r"""\s*["'](.{4})["']\s*([^\s,]*)\s*(?:,|\Z)""")
# per cent of normal. Source: CSS Fonts Level 4, 2.3
_WIDTHS = {
    "ultra-condensed": 50.0,
    "extra-condensed": 62.5,
    "condensed": 75.0,
    "narrower": 75.0,
    "semi-condensed": 87.5,
    "semi-expanded": 112.5,
    "expanded": 125.0,
    "wider": 125.0,
    "extra-expanded": 150.0,
    "ultra-expanded": 200.0,
}
# Source: CSS Fonts Level 4, 6.6 font-variant-caps
_CAPITALS = {
    "small-caps": ("smcp",),
    "all-small-caps": ("smcp", "c2sc"),
    "petite-caps": ("pcap",),
    "all-petite-caps": ("pcap", "c2pc"),
    "unicase": ("unic",),
    "titling-caps": ("titl",),
}
_WORD_START = re.compile(r"(?<![\w'\u2019])\w")
_LINES = ("underline", "overline", "line-through")


def families(style: Style) -> tuple[str, ...]:
    """Return the names of the font-family list in their order."""
    found = ("".join(match.groups("")).strip() for match in _FAMILY.finditer(style.get("font-family")))
    return tuple(" ".join(family.split()) for family in found if family)


def letters_width(style: Style) -> float:
    """Return the width that font-stretch asks for, per cent of normal."""
    text = style.get("font-stretch", "normal")
    parts = number_and_unit(text)
    if parts is not None and parts[1] == "%" and parts[0] > 0:
        return parts[0]
    return _WIDTHS.get(text, 100.0)


def axes(style: Style) -> tuple[tuple[str, float], ...]:
    """Return the settings of font-variation-settings, the last of each axis (CSS Fonts Level 4, 7.2)."""
    found = ((tag, number(value)) for tag, value in _SETTING.findall(style.get("font-variation-settings")))
    return tuple({tag: value for tag, value in found if value is not None}.items())


def features(style: Style) -> tuple[tuple[str, int], ...]:
    """Return the OpenType features that the font properties turn on or off (CSS Fonts Level 4, 6)."""
    found: dict[str, int] = {}
    words = f"{style.get('font-variant')} {style.get('font-variant-caps')}".split()
    for word in words:
        found |= dict.fromkeys(_CAPITALS.get(word, ()), 1)
    if "none" in (*words, style.get("font-variant-ligatures")):
        found |= {"liga": 0, "clig": 0, "calt": 0}
    if style.get("font-kerning") == "none" or number(style.get("kerning")) == 0:
        found["kern"] = 0
    for tag, value in _SETTING.findall(style.get("font-feature-settings")):
        told = {"": 1.0, "on": 1.0, "off": 0.0}.get(value, number(value))
        if told is not None and told >= 0:
            found[tag] = int(told)
    return tuple(found.items())


def decoration_lines(style: Style) -> tuple[str, ...]:
    """Return the lines that an element itself asks for along its words."""
    told = f"{style.own.get('text-decoration', '')} {style.own.get('text-decoration-line', '')}".split()
    return tuple(line for line in _LINES if line in told)


def in_case(text: str, style: Style) -> str:
    """Return words in the case that text-transform asks for (CSS Text Level 3, 2.1)."""
    how = style.get("text-transform")
    if how == "uppercase":
        return text.upper()
    if how == "lowercase":
        return text.lower()
    return _WORD_START.sub(lambda match: match[0].upper(), text) if how == "capitalize" else text

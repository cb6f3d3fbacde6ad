"""Characters that steer which way words run, as an element's `unicode-bidi` and `direction` ask for them.

Source: CSS Writing Modes Level 3, 2.4.2 "CSS-Unicode Bidi Control Translation, Text Reordering"; the
characters are those of Unicode Standard Annex 9, 2.1 to 2.5.
"""

from svg2chart.svg.style import Style

_LRE, _RLE, _PDF, _LRO, _RLO = "\u202a\u202b\u202c\u202d\u202e"
_LRI, _RLI, _FSI, _PDI = "\u2066\u2067\u2068\u2069"

_AROUND = {
    "normal": (("", ""), ""),
    "embed": ((_LRE, _RLE), _PDF),
    "isolate": ((_LRI, _RLI), _PDI),
    "bidi-override": ((_LRO, _RLO), _PDF),
    "isolate-override": ((_FSI + _LRO, _FSI + _RLO), _PDF + _PDI),
    "plaintext": ((_FSI, _FSI), _PDI),
}
"""What stands before words that run right and left, and after them."""
_OF_BLOCKS = {"isolate-override": "bidi-override", "bidi-override": "bidi-override"}
"""What of it holds for the lines of a whole text, which are not within others."""


def is_leftward(style: Style) -> bool:
    """Return whether `direction` says that words are read from the right."""
    return style.get("direction") == "rtl"


def is_plaintext(style: Style) -> bool:
    """Return whether the letters of an element themselves say which way they run."""
    return style.get("unicode-bidi") == "plaintext"


def steering(style: Style, *, is_whole: bool) -> tuple[str, str]:
    """Return what stands before and after the words of an element; `is_whole`: of a whole text."""
    asked = style.get("unicode-bidi", "normal")
    openings, closing = _AROUND[_OF_BLOCKS.get(asked, "normal") if is_whole else asked]
    return openings[is_leftward(style)], closing

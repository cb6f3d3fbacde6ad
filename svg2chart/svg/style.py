"""The cascade: what each property is worth at an element."""

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from types import MappingProxyType
from xml.etree.ElementTree import Element

from svg2chart.svg.document import Document
from svg2chart.svg.lengths import (
    DEFAULT_FONT_SIZE,
    Measures,
    length,
    number,
    number_and_unit,
    share,
)
from svg2chart.svg.paint import colour, paint
from svg2chart.svg.pathdata import css_path
from svg2chart.svg.properties import ATTRIBUTES, INHERITED, KEYWORDS, KNOWN, OWN
from svg2chart.svg.sheet import NOTHING, Sheet, overlay, style_attribute

# px. Source: CSS Fonts 4, absolute sizes, with `medium` at 16 px.
_FONT_SIZES = {
    "xx-small": 9.6,
    "x-small": 12.0,
    "small": 14.2222,
    "medium": 16.0,
    "large": 19.2,
    "x-large": 24.0,
    "xx-large": 32.0,
}
_FONT_STEP = 1.2  # CSS Fonts 4, the usual ratio of `larger` and `smaller`
_FONT = re.compile(
    r"^(?P<words>(?:[a-z0-9-]+\s+)*?)"
    r"(?P<size>[\d.+][\w.%+-]*|(?:xx?-)?(?:small|large)(?:er)?|medium)"
    r"(?:\s*/\s*[\w.%+-]+)?\s+(?P<family>\D.*)$",
    re.IGNORECASE,
)


_WORDS_OF_ALL = ("none", "normal", "auto", "inherit", "initial", "unset", "revert")
_INITIAL = {"overflow": "visible"}  # where it is not what is done if nothing was said


def _is_length(text: str) -> bool:
    return number_and_unit(text) is not None


def _is_positive_length(text: str) -> bool:
    parts = number_and_unit(text)
    return parts is not None and parts[0] >= 0


def _one_of(*words: str) -> Callable[[str], bool]:
    return lambda text: text in words


def _is_paint_order(text: str) -> bool:
    words = text.split()
    known = set(words) <= {"fill", "stroke", "markers"} and len(set(words)) == len(words)
    return text == "normal" or (known and bool(words))


_IS_VALID: dict[str, Callable[[str], bool]] = {
    "fill": lambda text: paint(text) is not None,
    "stroke": lambda text: paint(text) is not None,
    "color": lambda text: colour(text) is not None or text.lower() == "currentcolor",
    "stop-color": lambda text: colour(text) is not None or text.lower() == "currentcolor",
    "fill-opacity": lambda text: share(text) is not None,
    "stroke-opacity": lambda text: share(text) is not None,
    "stop-opacity": lambda text: share(text) is not None,
    "opacity": lambda text: share(text) is not None,
    "stroke-width": _is_positive_length,
    "stroke-dashoffset": _is_length,
    "stroke-miterlimit": lambda text: (number(text) or 0.0) >= 1,
    "stroke-linecap": _one_of("butt", "round", "square"),
    "stroke-linejoin": _one_of("miter", "round", "bevel", "miter-clip", "arcs"),
    "fill-rule": _one_of("nonzero", "evenodd"),
    "clip-rule": _one_of("nonzero", "evenodd"),
    "visibility": _one_of("visible", "hidden", "collapse"),
    "paint-order": _is_paint_order,
    "direction": _one_of("ltr", "rtl"),
    "unicode-bidi": _one_of("normal", "embed", "isolate", "bidi-override", "isolate-override", "plaintext"),
    "text-anchor": _one_of("start", "middle", "end"),
    "d": lambda text: css_path(text) is not None,
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Style:
    """The computed properties of an element, as text; lengths not yet resolved except the font size.

    inherited: properties that children take over. own: the others. `currentColor` is left in
    place, `colour` of the paint module resolves it. font_size: in user units.
    """

    inherited: Mapping[str, str] = field(default_factory=dict)
    own: Mapping[str, str] = field(default_factory=dict)
    font_size: float = DEFAULT_FONT_SIZE

    def get(self, name: str, default: str = "") -> str:
        """Return what a property says, or the default where nothing was said."""
        source = self.inherited if name in INHERITED else self.own
        return source.get(name, default)


@dataclass(frozen=True, slots=True)
class Styled:
    """An element's style, and the declarations that made no sense as (property, value)."""

    style: Style
    rejected: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Styles:
    """The styles of a document's elements."""

    document: Document
    sheet: Sheet
    measures: Measures

    def child(self, element: Element, parent: Style) -> Styled:
        """Return the style of an element whose parent has the given one."""
        declared = self._declared(element)
        if not declared:
            return Styled(replace(parent, own=NOTHING_OWN) if parent.own else parent)
        return _computed(declared, parent, self.measures)

    def of(self, element: Element) -> Style:
        """Return the style of an element where it stands in the document."""
        chain = [element]
        while chain[-1] in self.document.parents:
            chain.append(self.document.parents[chain[-1]])
        style = Style()
        for link in reversed(chain):
            style = self.child(link, style).style
        return style

    def _declared(self, element: Element) -> dict[str, str]:
        attributes = element.attrib
        declared = {name: value for name, value in attributes.items() if name in ATTRIBUTES}
        from_sheet = self.sheet.by_element.get(element, NOTHING)
        inline = style_attribute(attributes["style"]) if "style" in attributes else NOTHING
        if from_sheet and inline:
            both = dict(from_sheet)
            overlay(both, inline)
        else:
            both = dict(inline or from_sheet)
        for name, (value, _) in both.items():
            if name in KNOWN:
                declared[name] = value
                declared.update(_spread(name, value))
        return declared


NOTHING_OWN: Mapping[str, str] = MappingProxyType({})


def _spread(name: str, value: str) -> dict[str, str]:
    """Return what a shorthand property stands for."""
    if name == "marker":
        return {"marker-start": value, "marker-mid": value, "marker-end": value}
    match = _FONT.match(value) if name == "font" else None
    if match is None:
        return {}
    spread = {"font-size": match["size"], "font-family": match["family"]}
    spread |= {"font-style": "normal", "font-weight": "normal"}
    for word in match["words"].lower().split():
        if word in ("italic", "oblique"):
            spread["font-style"] = word
        elif word in ("bold", "bolder", "lighter") or word.isdigit():
            spread["font-weight"] = word
    return spread


def _computed(declared: Mapping[str, str], parent: Style, measures: Measures) -> Styled:
    inherited: dict[str, str] | None = None
    own: dict[str, str] = {}
    rejected: list[tuple[str, str]] = []
    for name, raw in declared.items():
        value = _in_lower_case(name, raw.strip())
        target = own
        if name in INHERITED:
            inherited = dict(parent.inherited) if inherited is None else inherited
            target = inherited
        elif name not in OWN:
            continue
        if value == "inherit" or (name == "color" and value.lower() == "currentcolor"):
            _set(target, name, parent.get(name) or _INITIAL.get(name, ""))
        elif value in ("initial", "unset", "revert"):
            if name in OWN or value == "initial":
                target.pop(name, None)
        elif name in _IS_VALID and not _IS_VALID[name](value):
            rejected.append((name, value))
        elif name == "font-weight":
            target[name] = _font_weight(value, parent.get(name, "400"))
        else:
            target[name] = value
    style = Style(
        inherited=parent.inherited if inherited is None else inherited, own=own, font_size=parent.font_size
    )
    if inherited is not None and "font-size" in declared:
        size = _font_size(declared["font-size"].strip().lower(), parent.font_size, measures)
        if size is None:
            rejected.append(("font-size", declared["font-size"]))
        else:
            style = replace(style, font_size=size)
    return Styled(style, tuple(rejected))


def _in_lower_case(name: str, value: str) -> str:
    """Return a value as the rest of the house compares it: words of CSS may be written in capitals."""
    is_word = name in KEYWORDS or value.lower() in _WORDS_OF_ALL
    return value.lower() if is_word else value


def _set(target: dict[str, str], name: str, value: str) -> None:
    if value:
        target[name] = value
    else:
        target.pop(name, None)


def _font_size(text: str, of_parent: float, measures: Measures) -> float | None:
    if text in ("inherit", "unset"):
        return of_parent
    if text == "initial":
        return DEFAULT_FONT_SIZE
    if text in _FONT_SIZES:
        return _FONT_SIZES[text]
    if text in ("larger", "smaller"):
        return of_parent * (_FONT_STEP if text == "larger" else 1 / _FONT_STEP)
    size = length(text, replace(measures, em=of_parent), whole=of_parent)
    return (
        None if size is None else max(size, 0.0)
    )  # letters of a negative size are not drawn (SVG 1.1, 10.10)


def _font_weight(text: str, of_parent: str) -> str:
    """Return the weight as a number. Source of the steps of `bolder` and `lighter`: CSS Fonts 4, 2.2.1."""
    old = int(of_parent) if of_parent.isdigit() else 400
    if text == "bolder":
        return "400" if old < 350 else "700" if old < 550 else "900"
    if text == "lighter":
        return "100" if old < 550 else "400" if old < 750 else "700"
    named = {"normal": "400", "bold": "700"}.get(text, text)
    return named if named.isdigit() and 1 <= int(named) <= 1000 else of_parent

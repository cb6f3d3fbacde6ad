"""Style sheets and style attributes to declarations, by element."""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from types import MappingProxyType
from xml.etree.ElementTree import Element

import cssselect2
import tinycss2

from svg2chart.remarks import Remark, Severity
from svg2chart.svg.document import SVG, Document

Declarations = Mapping[str, tuple[str, bool]]  # property: value, whether it is !important
NOTHING: Declarations = MappingProxyType({})
MAX_BRACKETS = 50  # nested; the CSS parser works on them one inside the other
_ENDLESS_NUMBER = re.compile(r"\d{1000}")
_BRACKET = re.compile(r"[()\[\]{}]")
_MEDIA = ("", "all", "screen", "print")


@dataclass(frozen=True, slots=True)
class Sheet:
    """What the style elements of a document say about each of its elements, and what could not be read."""

    by_element: Mapping[Element, Declarations]
    remarks: tuple[Remark, ...]


def read_sheet(document: Document) -> Sheet:
    """Return the declarations of all `style` elements, cascaded by importance, specificity and order."""
    remarks: list[Remark] = []
    matcher = cssselect2.Matcher()
    namespaces: dict[str | None, str] = {}
    found = False
    for element in document.root.iter("style"):
        kind = element.get("type", "text/css").strip()
        if kind not in ("", "text/css"):
            remarks.append(_left_out(document, element, f"a style sheet of type {kind} is not read"))
            continue
        text = "".join(element.itertext())
        if not _is_tame(text):
            remarks.append(
                _left_out(document, element, "a style sheet that nests too many brackets is not read")
            )
            continue
        for node in _rules(tinycss2.parse_stylesheet(text, skip_comments=True, skip_whitespace=True)):
            problem = _add_rule(matcher, node, namespaces)
            found = True
            if problem:
                remarks.append(_left_out(document, element, problem))
    by_element = _matched(document, matcher) if found else {}
    return Sheet(by_element, tuple(remarks))


@lru_cache(maxsize=4096)
def style_attribute(text: str) -> Declarations:
    """Return the declarations of a style attribute; what is no declaration is passed over (CSS Syntax 3)."""
    if not any(mark in text for mark in "'\"\\({/!"):  # most often plain: no need of a full parser
        plain: dict[str, tuple[str, bool]] = {}
        for declaration in text.split(";"):
            name, colon, value = declaration.partition(":")
            if colon and value.strip():
                plain[name.strip().lower()] = (value.strip(), False)
        return MappingProxyType(plain)
    if not _is_tame(text):
        return NOTHING
    return _declarations(tinycss2.parse_blocks_contents(text))


def _is_tame(text: str) -> bool:
    """Whether the CSS parser can be trusted with a text: no deep brackets, no endless numbers."""
    depth = deepest = 0
    for bracket in _BRACKET.findall(text):
        depth += 1 if bracket in "([{" else -1
        deepest = max(deepest, depth)
    return deepest <= MAX_BRACKETS and not _ENDLESS_NUMBER.search(text)


def _left_out(document: Document, element: Element, what: str) -> Remark:
    return Remark(element=document.names[element], what=what, severity=Severity.LEFT_OUT)


def _rules(nodes: list[tinycss2.ast.Node]) -> Iterator[tinycss2.ast.Node]:
    """Yield the rules, those for a screen or for print included."""
    for node in nodes:
        if node.type == "at-rule" and node.lower_at_keyword == "media" and node.content is not None:
            media = tinycss2.serialize(node.prelude).lower().split(",")
            if any(medium.strip() in _MEDIA for medium in media):
                yield from _rules(
                    tinycss2.parse_rule_list(node.content, skip_comments=True, skip_whitespace=True)
                )
                continue
        yield node


def _add_rule(matcher: cssselect2.Matcher, node: tinycss2.ast.Node, namespaces: dict[str | None, str]) -> str:
    """Add one rule of a style sheet to the matcher; return what is wrong with it, "" for nothing."""
    if node.type == "at-rule":
        if node.lower_at_keyword == "namespace":
            _declare_namespace(node, namespaces)
            return ""
        return "" if node.lower_at_keyword == "charset" else f"the rule @{node.at_keyword} is not followed"
    if node.type != "qualified-rule":
        return "the style sheet has something that is no rule"
    selector_text = " ".join(tinycss2.serialize(node.prelude).split())
    try:
        selectors = cssselect2.compile_selector_list(node.prelude, namespaces=namespaces)
    except cssselect2.SelectorError:
        return f'the selector "{selector_text}" is not understood'
    content = tinycss2.parse_blocks_contents(node.content)
    declarations = _declarations(content)
    for selector in selectors:
        matcher.add_selector(selector, declarations)
    has_rules = any(inner.type in ("qualified-rule", "at-rule") for inner in content)
    return f'the rules inside "{selector_text}" are not followed' if has_rules else ""


def _declare_namespace(node: tinycss2.ast.Node, namespaces: dict[str | None, str]) -> None:
    parts = [part for part in node.prelude if part.type not in ("whitespace", "comment")]
    prefix = parts[0].value if parts and parts[0].type == "ident" else None
    url = parts[-1].value if parts and parts[-1].type in ("string", "url") else ""
    namespaces[prefix] = "" if url == SVG else url  # elements of SVG have no namespace in our tree


def _declarations(nodes: list[tinycss2.ast.Node]) -> Declarations:
    found: dict[str, tuple[str, bool]] = {}
    for node in nodes:
        if node.type != "declaration":
            continue
        value = tinycss2.serialize([token for token in node.value if token.type != "comment"]).strip()
        if value and not (node.lower_name in found and found[node.lower_name][1] and not node.important):
            found[node.lower_name] = (value, node.important)
    return MappingProxyType(found)


def _matched(document: Document, matcher: cssselect2.Matcher) -> dict[Element, Declarations]:
    by_element: dict[Element, Declarations] = {}
    for wrapper in cssselect2.ElementWrapper.from_xml_root(document.root).iter_subtree():
        matches = [payload for _, _, pseudo, payload in matcher.match(wrapper) if pseudo is None]
        if len(matches) == 1:
            by_element[wrapper.etree_element] = matches[0]
        elif matches:
            merged: dict[str, tuple[str, bool]] = {}
            for declarations in matches:
                overlay(merged, declarations)
            by_element[wrapper.etree_element] = merged
    return by_element


def overlay(below: dict[str, tuple[str, bool]], above: Declarations) -> None:
    """Lay later declarations over earlier ones; what is important stays unless the later is so too."""
    for name, (value, is_important) in above.items():
        if is_important or not below.get(name, ("", False))[1]:
            below[name] = (value, is_important)

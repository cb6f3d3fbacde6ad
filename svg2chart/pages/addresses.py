"""Addresses in a line of words, electronic mail and web pages, as links over the words."""

import re
from collections.abc import Iterator

from svg2chart.pages.letters import text_width
from svg2chart.pages.sheet import Address, Element, Link, Mark, Role, Text

# what ends a sentence is no part of an address. Sources: RFC 5321, 4.1.2 (dots between atoms); RFC 3986, 2
_ADDRESS = re.compile(
    r"(?P<mail>[A-Za-z0-9_+-]+(?:\.[A-Za-z0-9_+-]+)*@[A-Za-z0-9-]+(?:\.[A-Za-z0-9-]+)+)"
    r"|(?P<page>https?://[A-Za-z0-9._~:/?#\[\]@!$&'*+,;=%-]*[A-Za-z0-9/])"
)


def with_links(text: Text) -> tuple[Mark, ...]:
    """Return a line that begins at its left as it is, its addresses as links."""
    if "@" not in text.text and "://" not in text.text:
        return (text,)
    return tuple(_pieces(text))


def _pieces(text: Text) -> Iterator[Mark]:
    x, end = text.x, 0
    for found in _ADDRESS.finditer(text.text):
        before, words = text.text[end : found.start()], found[0]
        if before:
            yield _at(text, x, before)
        x += _wide(text, before)
        yield Link(
            x=x,
            y=text.y - text.size,
            width=_wide(text, words),
            height=text.size * 1.3,
            target=Address(f"mailto:{words}" if found["mail"] else words),
            element=Element(Role.LINK, f"Mail to {words}" if found["mail"] else f"Web page {words}"),
            marks=(_at(text, x, words),),
        )
        x, end = x + _wide(text, words), found.end()
    if end < len(text.text):
        yield _at(text, x, text.text[end:])


def _wide(text: Text, words: str) -> float:
    return text_width(words, text.size, face=text.face)


def _at(text: Text, x: float, words: str) -> Text:
    return Text(x=x, y=text.y, text=words, size=text.size, face=text.face, ink=text.ink)

"""Changes of the bytes of a drawing, each a piece of it that is replaced; all other bytes stay."""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from svg2chart.svg.spans import Span
from svg2chart.xmltext import attribute_text


@dataclass(frozen=True, slots=True, order=True)
class Change:
    """Bytes from `start` to before `end` become others; both are equal where something is put in."""

    start: int
    end: int
    by: bytes


def changed(data: bytes, changes: Iterable[Change]) -> bytes:
    """Return the bytes with all changes made; no two of them overlap."""
    pieces, at = [], 0
    for change in sorted(changes):
        pieces += [data[at : change.start], change.by]
        at = change.end
    return b"".join([*pieces, data[at:]])


def taken_out(data: bytes, span: Span) -> Change:
    """Return the change that takes an element out, with the line break and the indent before it."""
    start = span.start
    while data[start - 1 : start] in (b" ", b"\t"):
        start -= 1
    for line_break in (b"\r\n", b"\n"):
        if data.endswith(line_break, 0, start):
            return Change(start - len(line_break), span.end, b"")
    return Change(span.start, span.end, b"")


def put_last(data: bytes, parent: Span, xml: str) -> Change:
    """Return the change that puts XML into an element, after all that it holds, on lines of its own."""
    content = f"\n{xml}".encode()
    if parent.is_empty_tag:
        name = tag_name(data, parent)
        return Change(parent.opened - 2, parent.end, b">" + content + b"\n</" + name + b">")
    at = len(data[: parent.content_end].rstrip())
    return Change(at, at, content)


def tag_name(data: bytes, span: Span) -> bytes:
    """Return the name of an element as it is written, with its prefix."""
    return data[span.start + 1 : span.opened].split(None, 1)[0].rstrip(b"/>")


_ATTRIBUTE = re.compile(rb"""\s+([^\s=/>]+)\s*=\s*("[^"]*"|'[^']*')""")


def with_attributes(data: bytes, span: Span, values: Mapping[str, str | None]) -> list[Change]:
    """Return the changes that give an element attributes, those of None taken away.

    The names are as they are written, with their prefix. What is there already stays where it stands.
    """
    written = {
        match[1].decode(): match.span() for match in _ATTRIBUTE.finditer(data, span.start, span.opened)
    }
    at_end = span.opened - (2 if span.is_empty_tag else 1)
    at_end = len(data[:at_end].rstrip())
    changes = []
    for name, value in values.items():
        if value is None and name not in written:
            continue
        start, end = written.get(name, (at_end, at_end))
        changes.append(
            Change(start, end, b"" if value is None else f' {name}="{attribute_text(value)}"'.encode())
        )
    return changes

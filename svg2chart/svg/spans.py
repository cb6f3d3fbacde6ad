r"""Where the elements of an SVG file stand in its bytes, so that a change leaves all other bytes as they are.

    <g id="boats" fill="red">   ...   </g>
    ^start                  ^opened   ^content ends
                                          ^end

The bytes are UTF-8; entities stay as they are written.
"""

import re
from dataclasses import dataclass
from xml.parsers import expat

from svg2chart.errors import ArtworkError
from svg2chart.svg.document import SVG, clark_name, read_document, unpacked

_MARK = b"\xef\xbb\xbf"
_UTF_16 = (b"\xff\xfe", b"\xfe\xff", b"<\0", b"\0<")  # XML 1.0, appendix F
_DECLARED = re.compile(rb"""^<\?xml[^>]*?encoding\s*=\s*["']([A-Za-z0-9._-]+)["']""")


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """One element in the bytes of a file.

    name: "{namespace}name", elements of SVG by their bare name. attributes: by name in the same way.
    depth: 0 for the outermost element. start, end: before its first and after its last byte.
    opened: after its start tag. content_end: before its end tag; `opened` where it has none.
    """

    name: str
    attributes: dict[str, str]
    depth: int
    start: int
    opened: int
    content_end: int
    end: int

    @property
    def is_empty_tag(self) -> bool:
        """Whether it is written as one tag, <g/>."""
        return self.opened == self.end


def plain_bytes(data: bytes) -> bytes:
    """Return a drawing as UTF-8 without packing.

    What says that it is ASCII says UTF-8 then: what is put in may need it.

    Raises:
        ArtworkError: it is no drawing, or written in another encoding.
    """
    data = unpacked(data)
    read_document(data)
    data = data.removeprefix(_MARK)
    declared = _DECLARED.match(data)
    encoding = declared[1].lower() if declared else b"utf-8"
    if data.startswith(_UTF_16) or encoding not in (b"utf-8", b"us-ascii"):
        raise ArtworkError("the drawing is not written in UTF-8", way_out="Save it again in a vector editor")
    if declared and encoding == b"us-ascii":
        return data[: declared.start(1)] + b"UTF-8" + data[declared.end(1) :]
    return data


def element_spans(data: bytes) -> list[Span]:
    """Return all elements of a drawing in the order of their start tags; `data` as `plain_bytes` gives it."""
    found: list[Span | None] = []
    open_now: list[tuple[int, str, dict[str, str], int]] = []  # its place among those found, and what it is
    parser = expat.ParserCreate(namespace_separator="}")

    def start(name: str, attributes: dict[str, str]) -> None:
        named = {clark_name(key): value for key, value in attributes.items()}
        open_now.append(
            (len(found), clark_name(name).removeprefix(f"{{{SVG}}}"), named, parser.CurrentByteIndex)
        )
        found.append(None)

    def end(_name: str) -> None:
        place, name, attributes, begin = open_now.pop()
        after_start = _after_tag(data, begin)
        is_empty_tag = data[after_start - 2 : after_start] == b"/>"
        content_end = after_start if is_empty_tag else parser.CurrentByteIndex
        found[place] = Span(
            name=name,
            attributes=attributes,
            depth=len(open_now),
            start=begin,
            opened=after_start,
            content_end=content_end,
            end=after_start if is_empty_tag else data.index(b">", content_end) + 1,
        )

    parser.StartElementHandler = start
    parser.EndElementHandler = end
    is_all = True
    parser.Parse(data, is_all)
    # what an entity holds stands nowhere in the file by itself
    return [span for span in found if span is not None and data[span.start : span.start + 1] == b"<"]


_TAG_PIECE = re.compile(rb""""[^"]*"|'[^']*'|>""")


def _after_tag(data: bytes, begin: int) -> int:
    """Return the place after the tag that begins there; quoted values may hold a ">"."""
    for piece in _TAG_PIECE.finditer(data, begin):
        if piece[0] == b">":
            return piece.end()
    return len(data)

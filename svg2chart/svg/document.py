"""Bytes to a tree of elements: XML read with limits, without the network and without other files."""

import zlib
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from xml.etree.ElementTree import Element, TreeBuilder
from xml.parsers import expat

from svg2chart.errors import ArtworkError
from svg2chart.remarks import Remark, Severity

MAX_BYTES = 64_000_000  # of the XML text, unpacked
MAX_ELEMENTS = 500_000
MAX_NESTING = 120  # elements inside each other; our own choice, drawings rarely reach 30
MAX_TEMPLATES = 50  # paint servers that take over from each other; it also ends a ring of them
MAX_ENTITY_CHARACTERS = 100_000  # one entity, with the entities in it written out
MAX_TEXT_CHARACTERS = 2 * MAX_BYTES  # all text and attributes, entities written out

SVG = "http://www.w3.org/2000/svg"
XLINK_HREF = "{http://www.w3.org/1999/xlink}href"
XML_SPACE = "{http://www.w3.org/XML/1998/namespace}space"
INKSCAPE = "{http://www.inkscape.org/namespaces/inkscape}"
SODIPODI = "{http://sodipodi.sourceforge.net/DTD/sodipodi-0.dtd}"
OURS = "data-svg2chart"
OVERLAY = "overlay"  # what is marked so is no part of the drawing and never read
LETTERS = "letters"  # what stands for a text, with the text in it
STITCHES = "stitches"  # what is marked so stands for the whole drawing
ANIMATION = frozenset(["animate", "animateTransform", "animateMotion", "animateColor", "set", "discard"])
"""Elements that change another over time: their parent, or the one that their href names."""
GZIP_MAGIC = b"\x1f\x8b"


@dataclass(frozen=True, slots=True, kw_only=True)
class Document:
    """A parsed drawing.

    root: its `svg` element. Elements of SVG have their bare name as tag, others "{namespace}name".
    parents: the parent of every element but the root.
    by_id: the first element of each id.
    names: what to call each element: its id, or its place, "path 7" for the
        seventh `path` of the file, counted from its top with those that have ids
        or stand in `defs`.
    animated: the elements that change over time.
    """

    root: Element
    parents: dict[Element, Element]
    by_id: dict[str, Element]
    names: dict[Element, str]
    animated: frozenset[Element]
    remarks: tuple[Remark, ...]


def read_document(data: bytes) -> Document:
    """Return the tree of an SVG file, plain or packed with gzip.

    Raises:
        ArtworkError: it is not well-formed XML, not SVG, or beyond a limit.
    """
    data = unpacked(data)
    if len(data) > MAX_BYTES:
        raise ArtworkError(
            f"the drawing is larger than {MAX_BYTES:,} bytes", way_out="Save it without embedded pictures"
        )
    if not data.strip():
        raise ArtworkError("the file is empty", way_out="Save the drawing again")
    root, remarks = _parsed(data)
    if root.tag != "svg":
        raise ArtworkError(
            f"this is XML but not an SVG drawing (its outermost element is <{local_name(root)}>)",
            way_out="Save the drawing as SVG",
        )
    parents = {child: parent for parent in root.iter() for child in parent}
    by_id: dict[str, Element] = {}
    names: dict[Element, str] = {}
    counts: Counter[str] = Counter()
    animations: list[Element] = []
    for element in root.iter():
        counts[element.tag] += 1
        given = element.get("id", "")
        if given:
            by_id.setdefault(given, element)
        names[element] = given or f"{local_name(element)} {counts[element.tag]}"
        if element.tag in ANIMATION:
            animations.append(element)
    changed = (_changed_by(animation, parents, by_id) for animation in animations)
    animated = frozenset(element for element in changed if element is not None)
    return Document(root=root, parents=parents, by_id=by_id, names=names, animated=animated, remarks=remarks)


def _changed_by(
    animation: Element, parents: dict[Element, Element], by_id: dict[str, Element]
) -> Element | None:
    """Return what an animation changes, None for nothing (SVG Animations 2, 2.3, target element)."""
    link = reference(animation)
    return by_id.get(link.removeprefix("#")) if link else parents.get(animation)


def local_name(element: Element) -> str:
    """Return the element's name without its namespace."""
    return element.tag.rpartition("}")[2]


def reference(element: Element) -> str:
    """Return what the element's href points at, "" for nothing; `href` wins over `xlink:href` (SVG 2)."""
    return (element.get("href") or element.get(XLINK_HREF) or "").strip()


def template_chain(document: Document, element: Element, tags: tuple[str, ...]) -> list[Element]:
    """Return a paint server and those whose attributes it takes over by href, nearest first (SVG 2, 14.1)."""
    chain = [element]
    while True:
        following = document.by_id.get(reference(chain[-1]).removeprefix("#"))
        if following is None or following.tag not in tags or len(chain) == MAX_TEMPLATES:
            return chain
        chain.append(following)


def told(chain: list[Element], name: str, default: str) -> str:
    """Return an attribute of the nearest element of a chain that has it."""
    return next((link.attrib[name] for link in chain if name in link.attrib), default)


def unpacked(data: bytes) -> bytes:
    """Return the XML of a file that may be packed with gzip, not much more than MAX_BYTES of it."""
    if not data.startswith(GZIP_MAGIC):
        return data
    unpacker = zlib.decompressobj(wbits=31)  # 31: with a gzip header
    try:
        return unpacker.decompress(data, MAX_BYTES + 1)
    except zlib.error as error:
        raise ArtworkError(f"the packed drawing is damaged ({error})", way_out="Save it again") from error


def _parsed(data: bytes) -> tuple[Element, tuple[Remark, ...]]:
    tree = _Tree()
    parser = expat.ParserCreate(namespace_separator="}")
    parser.buffer_text = True
    parser.ordered_attributes = True
    parser.StartElementHandler = tree.start
    parser.EndElementHandler = tree.end
    parser.CharacterDataHandler = tree.text
    parser.EntityDeclHandler = lambda name, _parameter, value, *_: tree.declare_entity(name, value)
    parser.ExternalEntityRefHandler = tree.refuse_external
    parser.SkippedEntityHandler = lambda name, _parameter: tree.skipped_entity(name)
    parser.ProcessingInstructionHandler = tree.instruction
    is_all = True
    try:
        parser.Parse(data, is_all)
    except expat.ExpatError as error:
        what = expat.errors.messages.get(error.code, "unknown error")
        raise ArtworkError(
            f"this is not well-formed XML: {what} at line {error.lineno}, column {error.offset + 1}",
            way_out="Open the drawing in a vector editor and save it again as SVG",
        ) from error
    except (LookupError, ValueError) as error:  # from the codec of an 8-bit encoding
        raise ArtworkError(
            f"the text encoding cannot be read ({error})", way_out="Save the drawing as UTF-8"
        ) from error
    return tree.builder.close(), tuple(tree.remarks)


@dataclass(slots=True)
class _Tree:
    """What the XML parser calls: builds the tree and keeps the limits."""

    builder: TreeBuilder = field(default_factory=TreeBuilder)
    remarks: list[Remark] = field(default_factory=list)
    depth: int = 0
    elements: int = 0
    characters: int = 0
    svg_namespace: str = SVG
    skipped: int = 0  # elements open in something laid over the drawing, itself counted
    entity_sizes: dict[str, int] = field(default_factory=dict)

    def start(self, name: str, attributes: list[str]) -> None:
        if self.elements == 0 and name == "svg":
            self.svg_namespace = ""
            self.remarks.append(
                Remark(
                    element="",
                    what="the file does not say that it is SVG (xmlns is missing), it is read as SVG",
                    severity=Severity.GUESSED,
                )
            )
        self.elements += 1
        self.depth += 1
        if self.elements > MAX_ELEMENTS:
            raise ArtworkError(
                f"the drawing has more than {MAX_ELEMENTS:,} elements", way_out="Simplify or split it"
            )
        if self.depth > MAX_NESTING:
            raise ArtworkError(
                f"elements are nested more than {MAX_NESTING} deep", way_out="Ungroup the drawing"
            )
        pairs = iter(attributes)
        named = {clark_name(key): value for key, value in zip(pairs, pairs, strict=True)}
        self._count(sum(map(len, named.values())))
        if self.skipped or (named.get(OURS) == OVERLAY and self.depth > 1):
            self.skipped += 1
            return
        self.builder.start(self._tag(name), named)

    def end(self, name: str) -> None:
        self.depth -= 1
        if self.skipped:
            self.skipped -= 1
            return
        self.builder.end(self._tag(name))

    def text(self, text: str) -> None:
        self._count(len(text))
        if not self.skipped:
            self.builder.data(text)

    def declare_entity(self, name: str, value: str | None) -> None:
        if value is None:  # external: refused where it is used
            return
        size = len(value) + sum(self.entity_sizes.get(inner, 0) for inner in _entities_in(value))
        self.entity_sizes.setdefault(name, size)
        if size > MAX_ENTITY_CHARACTERS:
            raise ArtworkError(
                f"the entity &{name}; grows to more than {MAX_ENTITY_CHARACTERS:,} characters",
                way_out="Save the drawing again from a vector editor",
            )

    def refuse_external(
        self, _context: str, _base: str | None, system: str | None, _public: str | None
    ) -> int:
        raise ArtworkError(
            f"the drawing wants to read another file ({system}) as part of its XML",
            way_out="Save the drawing as one plain SVG file",
        )

    def skipped_entity(self, name: str) -> None:
        raise ArtworkError(
            f"the entity &{name}; is not defined in the file",
            way_out="Save the drawing as one plain SVG file",
        )

    def instruction(self, target: str, _data: str) -> None:
        if target == "xml-stylesheet":
            self.remarks.append(
                Remark(
                    element="", what="a style sheet in another file is not read", severity=Severity.LEFT_OUT
                )
            )

    def _count(self, characters: int) -> None:
        self.characters += characters
        if self.characters > MAX_TEXT_CHARACTERS:
            raise ArtworkError("entities make the drawing too large", way_out="Save it as plain SVG")

    def _tag(self, name: str) -> str:
        namespace, _, local = name.rpartition("}")
        return local if namespace == self.svg_namespace else f"{{{namespace}}}{local}"


def clark_name(name: str) -> str:
    """Return "{namespace}name" of what expat calls "namespace}name"."""
    return "{" + name if "}" in name else name


def _entities_in(value: str) -> Iterator[str]:
    for piece in value.split("&")[1:]:
        name, semicolon, _ = piece.partition(";")
        if semicolon and not name.startswith("#"):
            yield name

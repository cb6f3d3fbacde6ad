"""The structure tree of a PDF: what is read aloud, in order, and where on which page it stands.

Sources: ISO 32000-1, 14.7 (logical structure), 14.8.4 (standard structure types).
"""

from collections.abc import Sequence

import pikepdf

from svg2chart.pages.content import Content
from svg2chart.pages.sheet import Element, Link, Mark, Role, Tagged


class Structure:
    """The tree while pages are added to it."""

    def __init__(self, pdf: pikepdf.Pdf) -> None:
        """Start a tree with a document and nothing in it."""
        self._pdf = pdf
        self._root = pdf.make_indirect(pikepdf.Dictionary(Type=pikepdf.Name.StructTreeRoot))
        self._document = self._struct("Document", self._root)
        self._objects: dict[Element, pikepdf.Object] = {}
        self._inside: dict[Element, list[object]] = {}
        self._top: list[object] = []
        self._parents: list[pikepdf.Object] = []

    def add_page(self, page: pikepdf.Object, marks: Sequence[Mark], content: Content) -> None:
        """Add what a page shows; its dictionary gets its place in the tree, and its links."""
        self._declare(marks, None)
        annotations = self._add_links(page, content)
        parents = pikepdf.Array()
        for number, element in enumerate(content.elements):
            self._inside[element].append(
                pikepdf.Dictionary(Type=pikepdf.Name.MCR, Pg=page, MCID=number)
                if "/Pg" in self._objects[element] and self._objects[element].Pg.objgen != page.objgen
                else number
            )
            if "/Pg" not in self._objects[element]:
                self._objects[element].Pg = page
            parents.append(self._objects[element])
        page.StructParents = len(self._parents)
        self._parents.append(parents)
        for annotation, element in annotations:
            annotation.StructParent = len(self._parents)
            self._parents.append(self._objects[element])
            self._inside[element].append(pikepdf.Dictionary(Type=pikepdf.Name.OBJR, Pg=page, Obj=annotation))
        if annotations:
            page.Annots = pikepdf.Array([annotation for annotation, _ in annotations])
            page.Tabs = pikepdf.Name.S

    def finish(self) -> pikepdf.Object:
        """Return the root of the tree."""
        for element, kids in self._inside.items():
            self._objects[element].K = kids[0] if len(kids) == 1 else pikepdf.Array(kids)
        self._document.K = pikepdf.Array(self._top)
        numbers = pikepdf.Array()
        for number, parent in enumerate(self._parents):
            numbers.append(number)
            numbers.append(parent)
        self._root.K = self._document
        self._root.ParentTree = self._pdf.make_indirect(pikepdf.Dictionary(Nums=numbers))
        self._root.ParentTreeNextKey = len(self._parents)
        return self._root

    def _struct(self, role: str, parent: pikepdf.Object) -> pikepdf.Object:
        return self._pdf.make_indirect(
            pikepdf.Dictionary(Type=pikepdf.Name.StructElem, S=pikepdf.Name(f"/{role}"), P=parent)
        )

    def _declare(self, marks: Sequence[Mark], parent: Element | None) -> None:
        """Put new elements into the tree, in the order of the marks."""
        for mark in marks:
            if isinstance(mark, Tagged | Link) and mark.element.role is not Role.RUNNING:
                self._put(mark.element, parent)
                self._declare(mark.marks, mark.element)

    def _put(self, element: Element, parent: Element | None) -> None:
        if element in self._objects:
            return
        above = self._document if parent is None else self._objects[parent]
        made = self._struct(element.role.value, above)
        if element.words:
            made.Alt = pikepdf.String(element.words)
        if element.role is Role.COLUMN_HEAD:
            made.A = pikepdf.Dictionary(O=pikepdf.Name.Table, Scope=pikepdf.Name.Column)
        self._objects[element], self._inside[element] = made, []
        (self._top if parent is None else self._inside[parent]).append(made)

    def _add_links(self, page: pikepdf.Object, content: Content) -> list[tuple[pikepdf.Object, Element]]:
        """Return the links of a page; where they lead is told when all pages are there."""
        made: list[tuple[pikepdf.Object, Element]] = []
        for link, rectangle in content.links:
            annotation = pikepdf.Dictionary(
                Type=pikepdf.Name.Annot,
                Subtype=pikepdf.Name.Link,
                Rect=pikepdf.Array([round(value, 2) for value in rectangle]),
                Border=pikepdf.Array([0, 0, 0]),
                F=4,
                Contents=pikepdf.String(link.element.words),
                P=page,
            )
            made.append((self._pdf.make_indirect(annotation), link.element))
        return made

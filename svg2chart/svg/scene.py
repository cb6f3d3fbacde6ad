"""What the drawing of a document carries along: where an element stands, and what has been gathered."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from math import hypot, isfinite
from typing import TYPE_CHECKING
from xml.etree.ElementTree import Element

import numpy as np

from svg2chart.artwork import Blend, Clip, Fill, Group, StitchAs, Stroke, Words
from svg2chart.geometry.affine import Affine
from svg2chart.geometry.box import Box, box_around
from svg2chart.geometry.outline import Join
from svg2chart.geometry.path import Path
from svg2chart.letterforms import TextAs
from svg2chart.remarks import Remark, Severity
from svg2chart.svg.document import Document
from svg2chart.svg.gradients import Gradient, one_colour
from svg2chart.svg.lengths import Measures
from svg2chart.svg.opening import Opened
from svg2chart.svg.paint import Flat
from svg2chart.svg.style import Style, Styles
from svg2chart.svg.tally import Tally
from svg2chart.svg.viewport import Page

if TYPE_CHECKING:
    from svg2chart.lettering.fonts import Fonts

MAX_DEPTH = 150  # elements inside each other, copies included
MAX_SCALE = 1e60  # of a map between coordinates that are multiplied with each other
MAX_COORDINATE = 1e9  # root user units; beyond it a square's share of digits is lost

Mark = Fill | Stroke | Words


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """What is being drawn: the document, its styles and its page.

    find_fonts: returns the fonts for its words; drawings without words need none of what sets them.
    bands: into how many flat bands a gradient is divided, 0 for its mean colour.
    draw_children: draws what an element holds, for paints that are drawings themselves.
    box_of: measures what an element at its own place fills, for transforms about that box.
    images: the drawings in its `image` elements, once they have been opened.
    """

    document: Document
    styles: Styles
    page: Page
    find_fonts: "Callable[[], Fonts]"
    tally: Tally
    bands: int
    draw_children: Callable[["Source", "Gathered", Element, "Place"], None]
    box_of: Callable[["Source", Element, "Place"], Box | None]
    images: dict[Element, Opened] = field(default_factory=dict)

    @property
    def fonts(self) -> "Fonts":
        """The fonts for its words."""
        return self.find_fonts()


@dataclass(frozen=True, slots=True)
class Painted:
    """What to paint with, None for nothing, and what the drawing has in its place ("" for just that)."""

    ink: Flat | Gradient | None = None
    what: str = ""
    severity: Severity = Severity.SIMPLIFIED

    @property
    def flat(self) -> Flat | None:
        """One colour for the ink, where nothing else can be drawn."""
        return one_colour(self.ink)

    def faded(self, opacity: float) -> "Painted":
        """Return the paint with its opacity times the given one."""
        return self if self.ink is None or opacity == 1 else replace(self, ink=self.ink.faded(opacity))


NO_PAINT = Painted()


@dataclass(frozen=True, slots=True)
class Context:
    """The paints of the element that draws what stands here: of a `use`, or of a path with markers."""

    fill: Painted = NO_PAINT
    stroke: Painted = NO_PAINT


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Where an element stands.

    to_user: from its coordinates to root user units. style: of the element, or
    of its parent before its own is known. wide, high: the nearest viewport in
    the element's coordinates. name: of the `use` that draws it, "" for none.
    uses: the `use` and `marker` elements that it is drawn through, outermost
    first. asked_wide, asked_high: the size that a `use` asks of what it draws, as written.
    depth: how many elements it is in, copies included. stitch_as, text_as: what it and
    its words are told to be on the cloth.
    """

    to_user: Affine
    style: Style
    wide: float
    high: float
    layer: str = ""
    group: int | None = None
    clip: int | None = None
    name: str = ""
    uses: tuple[Element, ...] = ()
    asked_wide: str = ""
    asked_high: str = ""
    depth: int = 0
    context: Context = Context()
    stitch_as: StitchAs | None = None
    text_as: TextAs | None = None

    def inside(
        self, *, style: Style, to_user: Affine, stitch_as: StitchAs | None, text_as: TextAs | None
    ) -> "Place":
        """Return the place of an element that stands in this one.

        Spelt out, for every element needs it and `replace` takes several times as long.
        """
        return Place(
            to_user=to_user,
            style=style,
            wide=self.wide,
            high=self.high,
            layer=self.layer,
            group=self.group,
            clip=self.clip,
            name=self.name,
            uses=self.uses,
            asked_wide=self.asked_wide,
            asked_high=self.asked_high,
            depth=self.depth + 1,
            context=self.context,
            stitch_as=stitch_as,
            text_as=text_as,
        )


def measures_at(source: Source, place: Place) -> Measures:
    """Return what relative lengths refer to at a place."""
    page = source.styles.measures
    return Measures(
        wide=place.wide,
        high=place.high,
        root_wide=page.root_wide,
        root_high=page.root_high,
        em=place.style.font_size,
        root_em=page.root_em,
    )


def name_of(source: Source, element: Element, place: Place) -> str:
    """Return what to call an element: after the `use` that draws it, where that has an id."""
    return place.name or source.document.names[element]


@dataclass(slots=True)
class Gathered:
    """What has been drawn so far, in paint order."""

    viewport: Box | None
    tally: Tally
    marks: list[Mark] = field(default_factory=list)
    groups: list[Group] = field(default_factory=list)
    clips: list[Clip] = field(default_factory=list)
    clip_boxes: list[Box | None] = field(default_factory=list)  # around each, None where it leaves nothing
    masking: set[int] = field(default_factory=set)  # groups whose marks are the mask of another
    remarks: dict[Remark, None] = field(default_factory=dict)  # in order, each once

    def remark(self, element: str, what: str, severity: Severity, *, layer: str = "") -> None:
        """Add a remark, once."""
        self.remarks.setdefault(Remark(element=element, what=what, severity=severity, layer=layer))

    def count(self, name: str) -> None:
        """Count an element that is about to be drawn, as `Tally.count` does."""
        self.tally.count(name)

    def add_clip(self, clip: Clip) -> int:
        """Add a clip and return its index."""
        around = box_around(part.path.box() for part in clip.parts)
        outer = None if clip.within is None else self.clip_boxes[clip.within]
        if clip.within is not None:
            around = None if around is None or outer is None else around.within(outer)
        self.clips.append(clip)
        self.clip_boxes.append(around)
        return len(self.clips) - 1

    def drop_clips(self, first: int) -> None:
        """Forget the clips from an index on."""
        del self.clips[first:]
        del self.clip_boxes[first:]

    def add(self, *marks: Mark) -> None:
        """Add the marks of one element, but those that lie off the page or outside their clip."""
        why = ""
        before = len(self.marks)
        for mark in marks:
            self.tally.count_segments(mark)
            why = self._unseen(mark)
            if not why:
                self.marks.append(mark)
        if why and len(self.marks) == before and not self.is_masking(mark.group):
            self.remark(mark.element, why, Severity.LEFT_OUT, layer=mark.layer)

    def _unseen(self, mark: Mark) -> str:
        """Return why nothing of a mark can be seen, "" where something may be."""
        pieces = mark.outlines if isinstance(mark, Words) else (mark,)
        if not pieces:
            return ""
        if self.viewport is not None and _are_off(pieces, self.viewport):
            return "lies outside the page"
        seen = None if mark.clip is None else self.clip_boxes[mark.clip]
        if mark.clip is not None and (seen is None or _are_off(pieces, seen)):
            return "lies outside what its clip lets through"
        return ""

    def open_group(self, group: Group) -> int:
        """Begin a group and return its index."""
        self.groups.append(group)
        return len(self.groups) - 1

    def close_group(self, index: int, first: int) -> None:
        """End a group whose marks start at `first`: an empty one goes, a lone mark takes its opacity over."""
        held = self.marks[first:]
        if not held:
            self.drop_groups(index)
            return
        group, lone = self.groups[index], held[0]
        is_plain = group.mask is None and group.blend is Blend.NORMAL
        if is_plain and len(held) == 1 and not isinstance(lone, Words) and lone.group == index:
            self.marks[first] = replace(lone, opacity=lone.opacity * group.opacity, group=group.parent)
            self.drop_groups(index)

    def drop_groups(self, first: int) -> None:
        """Forget the groups from an index on."""
        del self.groups[first:]
        self.masking = {group for group in self.masking if group < first}

    def is_masking(self, group: int | None) -> bool:
        """Whether marks of a group belong to a mask that is being drawn."""
        while group is not None and group not in self.masking:
            group = self.groups[group].parent
        return group is not None


def pen_reach(stroke: Stroke) -> float:
    """Return how far from its path a stroke may reach at most, in root user units."""
    style = stroke.style
    corner = 1.0
    if style.join is Join.MITER:
        corner = style.miter_limit
    elif style.join is Join.MITER_CLIP:  # its two corners
        corner = hypot(style.miter_limit, 1.0)
    elif style.join is Join.ARCS:  # its sides may bulge on their way to the tip
        corner = 2 * style.miter_limit + 1.0
    return style.width / 2 * max(corner, 2**0.5) * stroke.pen.largest_scale


def is_usable(to_user: Affine) -> bool:
    """Whether a map keeps the plane a plane, and within numbers."""
    return to_user.determinant != 0 and isfinite(to_user.determinant + to_user.e + to_user.f)


def is_tame(to_user: Affine) -> bool:
    """Whether a map and its inverse stay far within what numbers can hold, so that it may be squared."""
    if not is_usable(to_user):
        return False
    both = (to_user, to_user.inverse())
    return all(abs(v) < MAX_SCALE for map_ in both for v in (map_.a, map_.b, map_.c, map_.d, map_.e, map_.f))


def is_sound(path: Path, to_user: Affine) -> bool:
    """Whether the image of a path stays within `MAX_COORDINATE`."""
    if path.is_empty:
        return True
    largest = float(np.abs(path.segments).max())
    return largest * to_user.largest_scale + abs(to_user.e) + abs(to_user.f) < MAX_COORDINATE


def has_inside(path: Path) -> bool:
    """Return whether the controls of a path do not all lie on one straight line, so that a fill may show."""
    first_x, first_y = path.segments[0, 0].tolist()
    along_x = along_y = 0.0
    for segment in path.segments:  # most often the first ones tell
        for x, y in segment.tolist():
            step_x, step_y = x - first_x, y - first_y
            if step_x * along_y != step_y * along_x:
                return True
            if along_x == along_y == 0:
                along_x, along_y = step_x, step_y
    return False


def _are_off(pieces: Sequence[Fill | Stroke], viewport: Box) -> bool:
    return all(_is_off(piece, viewport) for piece in pieces)


def _is_off(mark: Fill | Stroke, viewport: Box) -> bool:
    """Whether the controls of a mark's path all lie beyond one side of the viewport, its pen's reach away."""
    x, y = mark.path.segments[0, 0].tolist()
    if viewport.left < x < viewport.right and viewport.top < y < viewport.bottom:  # as for most
        return False
    reach = pen_reach(mark) if isinstance(mark, Stroke) else 0.0
    points = mark.path.segments.reshape(-1, 2)
    left, top = points.min(axis=0).tolist()
    right, bottom = points.max(axis=0).tolist()
    return bool(
        left - reach >= viewport.right
        or right + reach <= viewport.left
        or top - reach >= viewport.bottom
        or bottom + reach <= viewport.top
    )

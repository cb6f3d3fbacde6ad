"""The drawing as plain values: what is painted, in paint order, in root user units.

Whoever reads a drawing ends here; whoever makes a chart starts here. There is
no XML, no style sheet and no relative unit left. Root user units are those of
the document's outermost view box; y grows downwards.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import Enum
from typing import Final

from svg2chart.chart import Fabric, Thread
from svg2chart.colour import Colour
from svg2chart.geometry.affine import Affine
from svg2chart.geometry.box import Box
from svg2chart.geometry.outline import StrokeStyle
from svg2chart.geometry.path import Path
from svg2chart.geometry.polygon import FillRule
from svg2chart.letterforms import Letterform, TextAs
from svg2chart.remarks import Remark


class StitchAs(Enum):
    """What a mark is told to be on the cloth, in the words of the drawing's attribute data-stitch."""

    AREA = "area"
    AREA_AS_DRAWN = "area-as-drawn"
    BACKSTITCH = "backstitch"
    BACKSTITCH_AS_DRAWN = "backstitch-as-drawn"
    KNOT = "knot"
    LEAVE_OUT = "leave-out"
    FULL = "full"
    THREE_QUARTER = "three-quarter"
    QUARTER = "quarter"


LINES: Final = frozenset([StitchAs.BACKSTITCH, StitchAs.BACKSTITCH_AS_DRAWN])
AS_DRAWN: Final = frozenset(
    [
        StitchAs.AREA_AS_DRAWN,
        StitchAs.BACKSTITCH_AS_DRAWN,
        StitchAs.KNOT,
        StitchAs.FULL,
        StitchAs.THREE_QUARTER,
        StitchAs.QUARTER,
    ]
)
"""What gives single stitches, each at its own place."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Fill:
    """A region painted in one colour.

    `group` and `clip` are indices into the artwork's groups and clips, None for none.
    `element` is the element's id, or its place in the document where it has none;
    `layer` is the label of the layer that holds it, or "". `stitch_as` is what it is told to be, None
    where its width and its area decide.
    """

    element: str
    layer: str = ""
    path: Path
    rule: FillRule = FillRule.NONZERO
    colour: Colour
    opacity: float = 1.0
    group: int | None = None
    clip: int | None = None
    stitch_as: StitchAs | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Stroke:
    """A path drawn along with a pen.

    `path` is in root user units. `pen` maps the pen's own space, in which the
    style's lengths are measured and the nib is round, to root user units (its
    shift does not matter): a scaled group squeezes the nib. `is_hairline` says that the width means
    nothing on the cloth: it does not grow with the drawing. Other fields as in `Fill`.
    """

    element: str
    layer: str = ""
    path: Path
    style: StrokeStyle
    pen: Affine = Affine()
    colour: Colour
    opacity: float = 1.0
    group: int | None = None
    clip: int | None = None
    stitch_as: StitchAs | None = None
    is_hairline: bool = False

    @property
    def width(self) -> float:
        """The stroke's width in root user units; the mean width where the nib is squeezed."""
        return self.style.width * self.pen.mean_scale

    def is_thin(self, least: float) -> bool:
        """Whether it is a hairline or narrower than `least` root user units, and not told to be an area."""
        return self.stitch_as is not StitchAs.AREA and (self.is_hairline or self.width < least)


@dataclass(frozen=True, slots=True, kw_only=True)
class Decoration:
    """A line along a run: `line` is "underline", "overline" or "line-through"; its paint as in `Run`."""

    line: str
    colour: Colour | None
    opacity: float = 1.0
    stroke_colour: Colour | None = None
    stroke_opacity: float = 1.0
    stroke_style: StrokeStyle | None = None


@dataclass(frozen=True, slots=True)
class Track:
    """A path that letters stand on, in the space of the words, and how far along it they start."""

    path: Path
    offset: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """A stretch of text in one style, lengths in the space of its words.

    A run with an x or a y starts there; a run without starts where the one
    before it ended. Runs that start by x, or on a track, form a chunk with those that follow, which
    `anchor` ("start", "middle" or "end") aligns as a whole.

    steering: characters before those of the text that are not seen and say which way it runs, from the
    drawing's `unicode-bidi`. width: of the letters, per cent of normal. axes: settings of a variable font,
    (tag, value). features: of OpenType, (tag, value). turn: of each letter about its own start, degrees
    clockwise. baseline: what of the letters stands on the line, as dominant-baseline has it, "" for their
    own. rise: above the line; scripts: "super" or "sub" for each time that they are set so, with the size
    there. is_stroke_first: the fill is painted over the stroke.
    """

    text: str
    steering: str = ""
    families: tuple[str, ...]
    size: float
    weight: int = 400
    italic: bool = False
    width: float = 100.0
    axes: tuple[tuple[str, float], ...] = ()
    features: tuple[tuple[str, int], ...] = ()
    x: float | None = None
    y: float | None = None
    dx: float = 0.0
    dy: float = 0.0
    turn: float = 0.0
    track: Track | None = None
    anchor: str = "start"
    letter_spacing: float = 0.0
    word_spacing: float = 0.0
    baseline: str = ""
    rise: float = 0.0
    scripts: tuple[tuple[str, float], ...] = ()
    colour: Colour | None
    opacity: float = 1.0
    stroke_colour: Colour | None = None
    stroke_opacity: float = 1.0
    stroke_style: StrokeStyle | None = None
    is_stroke_first: bool = False
    decorations: tuple[Decoration, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Fitted:
    """Runs from `first` to before `last` that take up a given length, by wider gaps or by wider letters."""

    first: int
    last: int
    length: float
    has_wider_letters: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Words:
    """A text element: what it says and, once it has been set in fonts, its outlines.

    `to_user` maps the space of the runs to root user units. `fitted` is in the order in which it is done.
    `is_vertical`: lines run down the page. `is_leftward`: they are read from the right.
    text_as: what its letters are told to be. stays: why they can be nothing but what is drawn, "" where they
    can. `outlines` is what `lettering.set_words` made of the runs,
    `letters` the same letter by letter, `remarks` what it could not do as asked,
    `font_files` the files of all faces that had a say.
    """

    element: str
    layer: str = ""
    runs: tuple[Run, ...]
    fitted: tuple[Fitted, ...] = ()
    is_vertical: bool = False
    is_leftward: bool = False
    to_user: Affine = Affine()
    group: int | None = None
    clip: int | None = None
    stitch_as: StitchAs | None = None
    text_as: TextAs | None = None
    stays: str = ""
    outlines: tuple[Fill | Stroke, ...] = ()
    letters: tuple[Letterform, ...] = ()
    remarks: tuple[Remark, ...] = ()
    font_files: tuple[str, ...] = ()


class Blend(Enum):
    """How a colour meets what is below it. Source: W3C Compositing and Blending Level 1, chapter 10."""

    NORMAL = "normal"
    MULTIPLY = "multiply"
    SCREEN = "screen"
    OVERLAY = "overlay"
    DARKEN = "darken"
    LIGHTEN = "lighten"
    COLOR_DODGE = "color-dodge"
    COLOR_BURN = "color-burn"
    HARD_LIGHT = "hard-light"
    SOFT_LIGHT = "soft-light"
    DIFFERENCE = "difference"
    EXCLUSION = "exclusion"
    HUE = "hue"
    SATURATION = "saturation"
    COLOR = "color"
    LUMINOSITY = "luminosity"


class MaskKind(Enum):
    """What of a mask's marks counts: their luminance times their opacity, or their opacity alone."""

    LUMINANCE = "luminance"
    LINEAR_LUMINANCE = "luminance of linear light"
    ALPHA = "alpha"


@dataclass(frozen=True, slots=True, kw_only=True)
class Mask:
    """How much of a group is seen: what the marks of another group in it say, nothing where they are not.

    `group` is the index of that group; it lies in the masked one, and its marks are not seen themselves.
    """

    group: int
    kind: MaskKind = MaskKind.LUMINANCE


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """Marks that are painted together and then laid over what is below at one opacity.

    `parent` is the index of the group that holds it, a lower one. The marks of a group, those of its mask
    included, follow each other in paint order.
    """

    opacity: float = 1.0
    parent: int | None = None
    blend: Blend = Blend.NORMAL
    mask: Mask | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ClipPart:
    """One shape of a clip: a region, cut by a clip of its own where `clip` is an index."""

    path: Path
    rule: FillRule = FillRule.NONZERO
    clip: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Clip:
    """Where marks may show: the union of the parts, within the clip `within` where that is an index.

    A clip refers only to clips before it in the artwork.
    """

    parts: tuple[ClipPart, ...]
    within: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Key:
    """What a drawing on the grid says of its chart: the side of a square in root user units, fabric, threads.

    `fabric` is None where it does not say it. A colour that is that of one of the threads is that thread.
    is_whole: the whole page is the chart; else only the squares that the drawing touches.
    """

    square: float
    is_whole: bool = True
    fabric: Fabric | None = None
    threads: tuple[Thread, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Artwork:
    """A drawing, flat: marks in paint order, the lowest first.

    viewport: what the drawing shows, in root user units; nothing outside is seen.
    unit_mm: millimetres in one root user unit, from the document's physical size.
    remarks: what was not read as it stands; those on fonts are with the words.
    font_files: those that had a say in how its words are set, words in clips and patterns included.
    sha256: of the bytes it was read from, "" where there were none.
    key: what it says of its chart, None where it does not say that it is drawn on a grid.
    """

    viewport: Box
    unit_mm: float
    title: str = ""
    marks: tuple[Fill | Stroke | Words, ...]
    groups: tuple[Group, ...] = ()
    clips: tuple[Clip, ...] = ()
    remarks: tuple[Remark, ...] = ()
    font_files: tuple[str, ...] = ()
    sha256: str = ""
    key: Key | None = None

    def painted(self) -> Iterator[Fill | Stroke]:
        """Yield every fill and stroke that is painted, in paint order, those of words included."""
        masking = masking_groups(self.groups)
        return (mark for mark in self.laid() if mark.group not in masking)

    def laid(self) -> Iterator[Fill | Stroke]:
        """Yield every fill and stroke in paint order, those of words and of masks included."""
        for mark in self.marks:
            if isinstance(mark, Words):
                yield from mark.outlines
            else:
                yield mark

    def every_remark(self) -> tuple[Remark, ...]:
        """Return the remarks of the reader and then those of the words in paint order, each once."""
        of_words = (remark for mark in self.marks if isinstance(mark, Words) for remark in mark.remarks)
        return tuple(dict.fromkeys((*self.remarks, *of_words)))


def masking_groups(groups: Sequence[Group]) -> frozenset[int]:
    """Return the groups whose marks are not seen, as they only say how much is seen of others."""
    masks = {group.mask.group for group in groups if group.mask is not None}
    for index, group in enumerate(groups):
        if group.parent in masks:
            masks.add(index)
    return frozenset(masks)

"""How far a drawing reaches: the box around what it shows."""

from collections.abc import Iterator
from dataclasses import dataclass

from svg2chart.artwork import LINES, Artwork, Clip, StitchAs, Stroke
from svg2chart.geometry.affine import Affine
from svg2chart.geometry.box import Box, box_around
from svg2chart.geometry.flatten import flatten_paths
from svg2chart.regions import painted_region

OUTLINE_PARTS = 1 << 14
"""Strokes are outlined within the viewport's longer side over this number to measure their reach."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Reach:
    """How far all that is painted reaches, in root user units.

    viewport: nothing reaches farther. fills: the box around all fills, strokes told to be areas or lines,
    hairlines, which are as thin at any size, and the middles of marks told to be knots.
    strokes: the others, each with the box that it is seen in.
    """

    viewport: Box
    fills: Box | None
    strokes: tuple[tuple[Stroke, Box], ...]

    @staticmethod
    def of(artwork: Artwork) -> "Reach":
        """Return the reach of a drawing. A clip counts as the box around it."""
        clips = _clip_boxes(artwork)
        fills, strokes = [], []
        for mark in artwork.painted():
            seen = artwork.viewport if mark.clip is None else clips[mark.clip]
            if seen is None:
                continue
            told = mark.stitch_as
            if isinstance(mark, Stroke) and told is None and not mark.is_hairline:
                strokes.append((mark, seen))
            elif isinstance(mark, Stroke) and told is not None and told not in LINES:
                fills.append(_cut(_painted_box(mark, artwork.viewport), seen))
            else:
                box = mark.path.box()
                if box is not None and told is StitchAs.KNOT:
                    box = _middle(box)
                fills.append(_cut(box, seen))
        return Reach(viewport=artwork.viewport, fills=box_around(fills), strokes=tuple(strokes))

    def boxes(self) -> Iterator[tuple[float, Box | None]]:
        """Yield the box around all, first with all strokes counting as lines without a width, last with none.

        Before each box stands the width of the widest strokes that count as lines in it.
        """
        by_width = sorted(self.strokes, key=lambda stroke: -stroke[0].width)
        lines = [_cut(stroke.path.box(), seen) for stroke, seen in by_width]
        around = self.fills
        for index, (stroke, seen) in enumerate(by_width):
            if index == 0 or stroke.width < by_width[index - 1][0].width:
                yield stroke.width, box_around([around, *lines[index:]])
            around = box_around([around, _cut(_painted_box(stroke, self.viewport), seen)])
        yield 0.0, around


def _middle(box: Box) -> Box:
    """Return the point in the middle of a box: a knot takes the room of its hole."""
    x, y = (box.left + box.right) / 2, (box.top + box.bottom) / 2
    return Box(x, y, x, y)


def _painted_box(stroke: Stroke, viewport: Box) -> Box | None:
    tolerance = max(viewport.width, viewport.height) / OUTLINE_PARTS
    lines = flatten_paths([stroke.path], tolerance=tolerance)[0]
    polygon = painted_region(stroke, lines, to_chains=Affine(), tolerance=tolerance)
    if not len(polygon.points):
        return None
    (left, top), (right, bottom) = polygon.points.min(axis=0), polygon.points.max(axis=0)
    return Box(float(left), float(top), float(right), float(bottom))


def _clip_boxes(artwork: Artwork) -> list[Box | None]:
    boxes: list[Box | None] = []
    for clip in artwork.clips:
        whole = artwork.viewport if clip.within is None else boxes[clip.within]
        boxes.append(None if whole is None else _cut(_parts_box(clip, boxes), whole))
    return boxes


def _parts_box(clip: Clip, boxes: list[Box | None]) -> Box | None:
    held = []
    for part in clip.parts:
        box = part.path.box()
        if part.clip is not None:
            inner = boxes[part.clip]
            box = None if inner is None else _cut(box, inner)
        held.append(box)
    return box_around(held)


def _cut(box: Box | None, seen: Box) -> Box | None:
    return None if box is None else box.within(seen)

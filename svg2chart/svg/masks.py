"""mask, mix-blend-mode and isolation to groups."""

from dataclasses import replace
from math import isfinite
from xml.etree.ElementTree import Element

from svg2chart.artwork import Blend, Group, Mask, MaskKind
from svg2chart.geometry.affine import Affine
from svg2chart.geometry.box import Box
from svg2chart.remarks import Severity
from svg2chart.svg.bounds import element_box
from svg2chart.svg.clip import element_clip, frame_clip
from svg2chart.svg.embedded import holds_drawing
from svg2chart.svg.lengths import length, share
from svg2chart.svg.paint import target
from svg2chart.svg.scene import Gathered, Place, Source, measures_at, name_of
from svg2chart.svg.style import Style

_REGION = {"x": "-10%", "y": "-10%", "width": "120%", "height": "120%"}  # CSS Masking 1, 8.1, initial values

_GROUPING = frozenset(("opacity", "mix-blend-mode", "isolation", "mask"))


def group_of(source: Source, gathered: Gathered, element: Element, place: Place) -> Group | None:
    """Return the group that an element at its own place makes, without its mask; None for none."""
    own = place.style.own
    if _GROUPING.isdisjoint(own):
        return None
    opacity = share(own.get("opacity", "1"))
    mode = own.get("mix-blend-mode", "normal")
    known = [blend for blend in Blend if blend.value == mode]
    if not known:
        what = f'its blend mode "{mode}" is not known, it is drawn plainly'
        name = name_of(source, element, place)
        gathered.remark(name, what, Severity.SIMPLIFIED, layer=place.layer)
    group = Group(
        opacity=1.0 if opacity is None else opacity,
        parent=place.group,
        blend=known[0] if known else Blend.NORMAL,
    )
    is_whole = own.get("isolation") == "isolate" or mask_holder(source, place) is not None
    return group if is_whole or group != Group(parent=place.group) else None


def mask_holder(source: Source, place: Place) -> Element | None:
    """Return the mask of an element at its own place, None for none and for one that cannot be followed."""
    link = target(place.style.own.get("mask", "none"))
    holder = source.document.by_id.get(link[1:]) if link.startswith("#") else None
    return holder if holder is not None and holder.tag == "mask" and holder not in place.uses else None


def add_mask(
    source: Source, gathered: Gathered, element: Element, place: Place, group: int, *, space: Affine
) -> bool:
    """Draw the mask of an element into its group; return whether it leaves anything of it.

    Args:
        source: what is being drawn.
        gathered: what has been drawn, the content of the group being the last.
        element: what is masked, measured for the mask's region and units.
        place: its own, or for a mask that is masked itself that of the element in the mask's style.
        group: the group of its marks.
        space: the map from the masked element's coordinates to root user units.
    """
    holder = mask_holder(source, place)
    if holder is None:
        return True
    if any(not holds_drawing(picture) for picture in holder.iter("image")):
        what = "its mask is a picture that is not read, it is drawn whole"
        gathered.remark(name_of(source, element, place), what, Severity.SIMPLIFIED, layer=place.layer)
        return True
    style = source.styles.of(holder)
    outer = replace(place, to_user=space, style=style, clip=None, layer="", uses=(*place.uses, holder))
    box = element_box(source, gathered, element, replace(place, to_user=space))
    region = _region(source, holder, outer, box)
    if region is None:
        return False
    inner = gathered.open_group(Group(parent=group))
    gathered.masking.add(inner)
    cut = element_clip(
        source, gathered, element, replace(outer, clip=frame_clip(gathered, region, space, None))
    )
    if cut.problem:
        return False
    inside = space
    if holder.get("maskContentUnits") == "objectBoundingBox":
        if box is None:
            return False
        inside = space @ Affine(box.width, 0.0, 0.0, box.height, box.left, box.top)
    drawn, remarked = len(gathered.marks), len(gathered.remarks)
    content = replace(outer, to_user=inside, group=inner, clip=cut.clip, name="", stitch_as=None)
    source.draw_children(source, gathered, holder, content)
    if len(gathered.remarks) > remarked:
        what = "its mask is drawn only as far as the remarks on its parts tell"
        gathered.remark(name_of(source, element, place), what, Severity.SIMPLIFIED, layer=place.layer)
    if len(gathered.marks) == drawn or not add_mask(source, gathered, element, outer, inner, space=space):
        return False
    mask = Mask(group=inner, kind=_kind(style))
    gathered.groups[group] = replace(gathered.groups[group], mask=mask)
    return True


def _kind(style: Style) -> MaskKind:
    if style.get("mask-type") == "alpha":
        return MaskKind.ALPHA
    is_linear = style.get("color-interpolation") == "linearRGB"
    return MaskKind.LINEAR_LUMINANCE if is_linear else MaskKind.LUMINANCE


def _region(source: Source, holder: Element, place: Place, box: Box | None) -> Box | None:
    """Return outside of what box nothing is seen, in the masked element's coordinates; None for all."""
    measures = measures_at(source, place)
    is_own = holder.get("maskUnits") == "userSpaceOnUse"
    if not is_own and (box is None or box.width == 0 or box.height == 0):
        return None
    wholes = (measures.wide, measures.high) if is_own else (1.0, 1.0)
    values = []
    for name, default in _REGION.items():
        whole = wholes[name in ("y", "height")]
        value = length(holder.get(name, default), measures, whole=whole)
        values.append(length(default, measures, whole=whole) or 0.0 if value is None else value)
    left, top, width, height = values
    if width <= 0 or height <= 0 or not all(map(isfinite, (left + width, top + height, left, top))):
        return None
    if is_own or box is None:
        return Box(left, top, left + width, top + height)
    return Box(
        box.left + left * box.width,
        box.top + top * box.height,
        box.left + (left + width) * box.width,
        box.top + (top + height) * box.height,
    )

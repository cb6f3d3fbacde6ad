"""Upright rectangles."""

from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle with its sides along the axes; y grows downwards."""

    left: float
    top: float
    right: float
    bottom: float

    @property
    def width(self) -> float:
        """The length of the top side."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """The length of the left side."""
        return self.bottom - self.top

    def grown(self, margin: float) -> "Box":
        """Return the box with every side moved outwards by the margin."""
        return Box(self.left - margin, self.top - margin, self.right + margin, self.bottom + margin)

    def within(self, other: "Box") -> "Box | None":
        """Return what the two boxes share, None where that is nothing."""
        shared = Box(
            max(self.left, other.left),
            max(self.top, other.top),
            min(self.right, other.right),
            min(self.bottom, other.bottom),
        )
        return shared if shared.width >= 0 and shared.height >= 0 else None


def box_around(boxes: Iterable[Box | None]) -> Box | None:
    """Return the smallest box that holds all of them, None where there is none."""
    held = [box for box in boxes if box is not None]
    if not held:
        return None
    return Box(
        min(box.left for box in held),
        min(box.top for box in held),
        max(box.right for box in held),
        max(box.bottom for box in held),
    )

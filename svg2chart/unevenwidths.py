"""What is equally wide or high as drawn and comes out unequal, as a value."""

from collections.abc import Mapping
from dataclasses import dataclass

from svg2chart.remarks import Square

SIDEWAYS = ("wide", "high")
"""What a width along rows and one along columns is called."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Uneven:
    """Equal widths or heights that come out unequal.

    drawn, least, most: how wide as drawn, and at the least and the most on the chart, in squares.
    axes: of the least and the most, 0 for a width and 1 for a height.
    places: the shapes that are so wide, by paint order, and the squares where.
    between: for the least and the most the axis, and from where to where, where that is known.
    """

    drawn: float
    least: float
    most: float
    axes: tuple[int, int]
    places: Mapping[int, set[Square]]
    between: tuple[tuple[int, float, float], ...] = ()

    def __str__(self) -> str:
        """Return both in words.

        >>> str(Uneven(drawn=4.5, least=4, most=5, axes=(1, 1), places={}))
        '4.5 squares high as 4 to 5'
        """
        first, second = (SIDEWAYS[axis] for axis in self.axes)
        if first == second:
            return f"{self.drawn:.3g} squares {first} as {self.least:.3g} to {self.most:.3g}"
        return f"{self.drawn:.3g} squares as {self.least:.3g} {first} to {self.most:.3g} {second}"

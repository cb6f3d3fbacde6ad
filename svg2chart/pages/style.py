"""How large the words of the pages are: as usual, and in large print.

Large print: text of at least 18 point in lines of 1.5 ems. Source: guidelines of the American Council of
the Blind. Squares of 5 mm hold a symbol of 3.7 mm, over twice the 1.86 mm that ISO 9241-3 asks for at 40 cm.
"""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Style:
    """Sizes in mm, of type in ems. `leading` is the line spacing in ems.

    `grid_*` is the room for squares on a page: what heading, numbers and notes leave of it. `columns` is in
    how many columns long lists are set, `panel` the side of a square in which a stitch is drawn.
    """

    text: float
    small: float
    heading: float
    subheading: float
    title: float
    leading: float
    number: float
    grid_top: float
    grid_wide: float
    grid_high: float
    least_square: float
    columns: int
    panel: float
    is_large: bool


USUAL = Style(
    text=3.6,  # 10 point
    small=3.1,
    heading=6.4,
    subheading=4.4,
    title=9.0,
    leading=1.35,
    number=2.7,
    grid_top=32.0,
    grid_wide=174.0,
    grid_high=223.4,
    least_square=0.0,
    columns=3,
    panel=16.0,
    is_large=False,
)
LARGE = Style(
    text=6.36,  # 18 point and a little, against rounding down
    small=6.36,
    heading=9.0,
    subheading=7.4,
    title=12.0,
    leading=1.5,
    number=6.36,
    grid_top=50.0,
    grid_wide=160.0,
    grid_high=200.0,
    least_square=5.0,
    columns=1,
    panel=24.0,
    is_large=True,
)

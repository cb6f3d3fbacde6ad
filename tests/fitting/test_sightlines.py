"""What is seen along lines, against looking at single points of shapely's polygons."""

from itertools import pairwise

import numpy as np
import shapely
from hypothesis import given
from hypothesis import strategies as st

from svg2chart.fitting.sightlines import UNIT, Outlines, look_along_lines
from svg2chart.geometry.polygon import Polygon, edges_of_all

SIDE = 5
PLACES = st.integers(0, 4 * SIDE).map(lambda n: n / 4)
TRIANGLES = st.lists(st.tuples(PLACES, PLACES), min_size=3, max_size=3)


@st.composite
def stacks(draw: st.DrawFn) -> tuple[list[list[tuple[float, float]]], list[int], list[bool]]:
    """Draw triangles in paint order, each with a look and whether it hides what is below."""
    triangles = draw(st.lists(TRIANGLES, min_size=1, max_size=4))
    looks = draw(st.lists(st.integers(1, 3), min_size=len(triangles), max_size=len(triangles)))
    hides = draw(
        st.lists(st.sampled_from([True, True, False]), min_size=len(triangles), max_size=len(triangles))
    )
    return triangles, looks, hides


@given(stacks())
def test_steps_lie_where_what_is_seen_changes(
    stack: tuple[list[list[tuple[float, float]]], list[int], list[bool]],
) -> None:
    triangles, looks, hides = stack
    edges, owner = edges_of_all([Polygon.of_contours([triangle]) for triangle in triangles])
    outlines = Outlines(
        edges=edges,
        owner=owner,
        even_odd=np.zeros(len(triangles), bool),
        hides=np.array(hides),
        look=np.array(looks),
    )
    sights = look_along_lines(outlines, lines=SIDE, length=SIDE)
    regions = [shapely.Polygon(triangle) for triangle in triangles]

    def seen(x: float, y: float) -> tuple:
        """Return the look of the uppermost hiding triangle and which others veil it."""
        veils = []
        for index in range(len(regions) - 1, -1, -1):
            if regions[index].contains(shapely.Point(x, y)):
                if hides[index]:
                    return looks[index], *veils
                veils.append(index + 10)
        return 0, *veils

    for line in range(4 * SIDE):
        y = (line + 0.5) / 4  # a millionth beside the line that is looked along
        own = sights.line == line
        places = [0.0, *(sights.at[own] / UNIT), float(SIDE)]
        beside = 1e-7 if line % 4 < 2 else -1e-7
        wide = [(a, b) for a, b in pairwise(places) if b - a > 1e-4]
        # neighbouring stretches differ (where no sliver lies between), and each looks alike all along
        for (a, b), (c, d) in pairwise(wide):
            assert b != c or seen((a + b) / 2, y + beside) != seen((c + d) / 2, y + beside)
        for a, b in pairwise(places):
            if b - a > 1e-2:
                inner = np.linspace(a + 1e-3, b - 1e-3, 5)
                assert len({seen(x, y + beside) for x in inner}) == 1


def test_a_crack_in_one_colour_is_not_seen_but_a_narrow_gap_is() -> None:
    def steps(gap: float) -> list[float]:
        halves = [[(1.0, 0.0), (2.0, 0.0), (2.0, 5.0), (1.0, 5.0)]]
        halves += [[(2.0 + gap, 0.0), (3.0, 0.0), (3.0, 5.0), (2.0 + gap, 5.0)]]
        edges, owner = edges_of_all([Polygon.of_contours([half]) for half in halves])
        outlines = Outlines(
            edges=edges,
            owner=owner,
            even_odd=np.zeros(2, bool),
            hides=np.ones(2, bool),
            look=np.ones(2, np.int64),
        )
        sights = look_along_lines(outlines, lines=SIDE, length=SIDE)
        return (sights.at[sights.line == 0] / UNIT).tolist()

    assert steps(2.0**-20) == steps(2.0**-14) == [1.0, 3.0]
    assert steps(0.125) == [1.0, 2.0, 2.125, 3.0]

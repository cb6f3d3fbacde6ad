"""Moves of outlines onto the hole lines: what lies left of something stays left of it."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from svg2chart.lettering.edges import Edge
from svg2chart.letters.knots import Rules
from svg2chart.letters.warping import Zone, placings

RULES = [Rules(stroke=1), Rules(stroke=1, least=0.5, gap=0.5, step=0.5), Rules(stroke=1, least=0.5, gap=0.0)]
ZONES = (Zone(at=0.2, to=0.0, begins=True, slack=0.5), Zone(at=7.7, to=8.0, begins=False, slack=0.5))
# places that often coincide, or nearly, as edges of one line do
PLACES = st.builds(
    lambda half, by: half / 2 + by, st.integers(0, 16), st.sampled_from([0.0, 0.0, 0.1, -0.2, 1e-9])
)
EDGES = st.lists(
    st.builds(
        lambda at, begins, low, length: Edge(at=at, begins=begins, low=low, high=low + length),
        PLACES,
        st.booleans(),
        st.integers(0, 8).map(float),
        st.integers(1, 6).map(float),
    ),
    max_size=12,
)


@given(EDGES, st.sampled_from([(), ZONES]))
def test_no_move_changes_the_order(edges: list[Edge], zones: tuple[Zone, ...]) -> None:
    for line in placings(edges, (-0.3, 8.3), RULES, wide=1.2, zones=zones, short=0.1, tip=0.5):
        assert (np.diff(line.places) > 0).all()
        assert (np.diff(line.to) >= 0).all()
        assert (np.diff(line.moved(np.linspace(-2.0, 10.0, 97))) >= 0).all()


@given(st.floats(0.8, 1.5), st.floats(-0.8, 0.4))
def test_a_stroke_at_a_zone_is_as_wide_as_others(wide: float, off: float) -> None:
    """The foot of a tail goes down to the line of all tails: its upper side goes along."""
    foot = 7.6 + off
    begin, end = (Edge(at=at, begins=at < foot, low=0.0, high=2.0) for at in (foot - wide, foot))
    zones = (ZONES[0], Zone(at=7.6, to=8.0, begins=False, slack=0.85))
    best = placings([begin, end], (begin.at, end.at), RULES, wide=1.2, zones=zones, short=0.1, tip=0.5)[0]
    assert best.moved(np.array([begin.at, end.at])).tolist() == [7.0, 8.0]

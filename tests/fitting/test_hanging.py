"""Thin lines that hang on what is moved by itself: they go with it, and lean no more than they were drawn."""

import numpy as np
from hypothesis import example, given
from hypothesis import strategies as st

from svg2chart.artwork import Artwork, Fill, Stroke
from svg2chart.fit import lay_on_grid
from svg2chart.geometry.affine import Affine
from svg2chart.grid import Extent, Grid
from tests.drawings import BLUE, GREEN, RED, YELLOW, box, drawing, shape, stroke
from tests.test_laws import mapped

HUNDREDTHS = st.integers(0, 99).map(lambda n: n / 100)
ROPE = 3.0  # row that the lanterns hang on


def round_(x: float, y: float, radius: float) -> list[tuple[float, float]]:
    angle = np.linspace(0, 2 * np.pi, 96, endpoint=False)
    return [(x + radius * np.cos(a), y + radius * np.sin(a)) for a in angle]


def lantern(number: int, x: float, y: float, *, tassel: float, overlap: float = 0.0) -> list[Fill | Stroke]:
    """Return a cap, a body and a foot, a string from the rope, and three threads below the foot."""
    foot = y + 6.6
    return [
        shape(RED, box(x - 1.3, y, x + 1.3, y + 1), element=f"cap {number}"),
        shape(YELLOW, round_(x, y + 3.3, 2.6), element=f"body {number}"),
        shape(RED, box(x - 1.3, y + 5.6, x + 1.3, foot), element=f"foot {number}"),
        stroke(GREEN, [(x, ROPE), (x, y)], element=f"string {number}"),
        *(
            stroke(
                GREEN, [(x + off, foot - overlap), (x + off, foot + tassel)], element=f"thread {number} {k}"
            )
            for k, off in enumerate((-1.0, 0.0, 1.0))
        ),
    ]


@st.composite
def lines_of_lanterns(draw: st.DrawFn) -> Artwork:
    marks = [
        shape(BLUE, box(0, 0, 40, 24), element="sky"),
        stroke(GREEN, [(0, ROPE), (40, ROPE)], element="rope"),
    ]
    tassel, overlap = 1 + 2 * draw(HUNDREDTHS), draw(st.sampled_from([0.0, 0.4]))
    for number in range(3):
        x, y = 7 + 12 * number + draw(HUNDREDTHS), 5.5 + draw(HUNDREDTHS)
        marks += lantern(number, x, y, tassel=tassel, overlap=overlap)
    return drawing(*marks, wide=40, high=24)


def laid(artwork: Artwork) -> tuple[dict[str, np.ndarray], dict[str, np.ndarray]]:
    """Return the points of shapes and of lines, by element, fitted to the grid."""
    found = lay_on_grid(artwork, Grid.fit(artwork, square=1, extent=Extent.PAGE))
    shapes = {mark.element: each.polygon.points for mark, each in zip(found.marks, found.shapes, strict=True)}
    return shapes, {line.element: line.lines.points for line in found.lines}


@given(lines_of_lanterns())
def test_threads_below_a_lantern_hang_straight_below_its_middle(artwork: Artwork) -> None:
    shapes, lines = laid(artwork)
    for number in range(3):
        body = shapes[f"body {number}"][:, 0]
        threads = [lines[f"thread {number} {k}"] for k in range(3)]
        middles = [thread[:, 0].mean() for thread in threads]
        assert all(np.ptp(thread[:, 0]) < 1 / 64 for thread in threads)
        assert abs(middles[1] - (body.min() + body.max()) / 2) < 1 / 16
        assert abs(middles[0] + middles[2] - 2 * middles[1]) < 1 / 16


@given(lines_of_lanterns())
def test_threads_of_a_lantern_stay_as_long_as_they_are(artwork: Artwork) -> None:
    drawn = lay_on_grid(artwork, Grid.fit(artwork, square=1, extent=Extent.PAGE, movement=0.0)).lines
    _, lines = laid(artwork)
    for thread in drawn:
        if thread.element.startswith("thread"):
            long, now = np.ptp(thread.lines.points, axis=0), np.ptp(lines[thread.element], axis=0)
            assert np.abs(long - now).max() < 1 / 64


@given(lines_of_lanterns())
def test_a_string_from_a_rope_to_a_lantern_stays_upright_and_on_both(artwork: Artwork) -> None:
    shapes, lines = laid(artwork)
    rope = lines["rope"][:, 1]
    assert np.ptp(rope) == 0
    for number in range(3):
        string, cap = lines[f"string {number}"], shapes[f"cap {number}"]
        assert np.ptp(string[:, 0]) < 1 / 64
        assert abs(string[:, 1].min() - rope[0]) < 1 / 64
        assert abs(string[:, 1].max() - cap[:, 1].min()) < 1 / 64


@given(HUNDREDTHS, HUNDREDTHS, st.integers(10, 40).map(lambda n: n / 10), st.integers(150, 300))
def test_the_stick_of_a_balloon_goes_with_it(x: float, y: float, long: float, size: int) -> None:
    """It stands by itself, round, and the stick hangs below its middle."""
    x, y, radius = 8 + x, 6 + y, size / 100
    stick = stroke(GREEN, [(x, y + radius), (x, y + radius + long)], element="stick")
    shapes, lines = laid(
        drawing(shape(RED, round_(x, y, radius), element="balloon"), stick, wide=16, high=16)
    )
    balloon, line = shapes["balloon"], lines["stick"]
    assert abs(line[:, 0] - (balloon[:, 0].min() + balloon[:, 0].max()) / 2).max() < 1 / 16
    assert abs(line[:, 1].min() - balloon[:, 1].max()) < 1 / 32
    assert abs(np.ptp(line[:, 1]) - long) < 1 / 64


@given(HUNDREDTHS, HUNDREDTHS, HUNDREDTHS)
def test_what_a_lantern_is_moored_to_keeps_the_line(x: float, y: float, down: float) -> None:
    """A slanted line from the foot of a lantern to a wall: it is no thread that goes with the lantern."""
    x, y, end = 8 + x, 4 + y, 14 + down
    wall = shape(BLUE, box(16.3, 1, 19, 18), element="wall")
    line = stroke(GREEN, [(x + 1.3, y + 6.6), (16.3, end)], element="line")
    marks = [mark for mark in lantern(0, x, y, tassel=1.0) if isinstance(mark, Fill)]
    shapes, lines = laid(drawing(*marks, wall, line, wide=20, high=20))
    assert lines["line"][:, 0].max() == shapes["wall"][:, 0].min()


@given(HUNDREDTHS, HUNDREDTHS, st.integers(1, 6))
def test_a_line_that_passes_behind_a_lantern_stays_level(x: float, y: float, down: int) -> None:
    """What comes out on the other side is no thread of the lantern: it goes on to what is fastened to it."""
    x, y = 8 + x, 4 + y
    line = stroke(GREEN, [(1, y + down), (15, y + down)], element="line")
    post = stroke(GREEN, [(2, y + down), (2, 18)], element="post")
    marks = [mark for mark in lantern(0, x, y, tassel=1.0) if isinstance(mark, Fill)]
    _, lines = laid(drawing(shape(BLUE, box(0, 0, 20, 20)), line, post, *marks, wide=20, high=20))
    ends = lines["line"][np.argsort(lines["line"][:, 0], kind="stable")][[0, -1], 1]
    assert abs(ends[0] - ends[1]) < 1 / 64


@given(HUNDREDTHS, HUNDREDTHS, HUNDREDTHS)
def test_a_string_between_two_that_go_ways_of_their_own_stays_straight(
    x: float, y: float, gap: float
) -> None:
    """A lamp hangs from a lantern, and what is cut by sides far to the right of both is one piece."""
    x, y, below = 8 + x, 3 + y, 2 + gap
    marks = [mark for mark in lantern(0, x, y, tassel=1.0) if isinstance(mark, Fill)]
    foot = y + 6.6
    lamp = shape(YELLOW, round_(x, foot + below + 2.1, 2.1), element="lamp")
    steps = [shape(BLUE, box(26, 2.3 + 2.7 * k, 29, 3.6 + 2.7 * k), element=f"step {k}") for k in range(6)]
    string = stroke(GREEN, [(x, foot), (x, foot + below)], element="string")
    _, lines = laid(drawing(*marks, lamp, *steps, string, wide=32, high=22))
    line = lines["string"]
    way = line[-1] - line[0]
    off = (line - line[0]) @ np.array([way[1], -way[0]]) / np.hypot(*way)
    assert np.abs(off).max() < 1 / 64


@given(HUNDREDTHS, HUNDREDTHS, HUNDREDTHS)
@example(0.75, 0.3, 0.75)  # the pennant's tip tells how high a lantern lies that is no longer free to
def test_a_thread_on_a_lantern_hangs_alike_upside_down(x: float, y: float, down: float) -> None:
    x, y = 8 + x, 8 + y
    pennant = shape(BLUE, [(18, 16 + down), (21, 16 + down), (19.5, 19.5 + down)], element="pennant")
    marks = [
        shape(YELLOW, round_(x, y + 3, 2.6), element="body"),
        shape(RED, box(x - 1.3, y + 5.3, x + 1.3, y + 6.3), element="foot"),
        stroke(GREEN, [(x - 1, y + 6.3), (x - 1, y + 7.5)], element="thread"),
        pennant,
    ]
    one = drawing(*marks, wide=32, high=32)
    other = mapped(one, Affine(1.0, 0.0, 0.0, -1.0, 0.0, 32.0))
    thread, turned = (laid(each)[1]["thread"] for each in (one, other))
    assert np.abs(thread - turned * [1, -1] - [0, 32]).max() < 1 / 1024

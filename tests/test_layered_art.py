"""What must hold for drawings of several layers, wherever their points lie."""

from dataclasses import replace

from hypothesis import example, given
from hypothesis import strategies as st

from svg2chart.artwork import Artwork
from svg2chart.errors import GridError
from tests.drawings import (
    BLUE,
    GREEN,
    LETTERS,
    RED,
    YELLOW,
    Points,
    box,
    chart_of,
    diamond,
    drawing,
    drawn,
    shape,
)

SIDE = 9
COLOURS = (RED, BLUE, YELLOW, GREEN)
"""Each differs so much from the others and from the cloth that all cost the same where they are wrong."""

PARTS = st.sampled_from([1, 2, 16, 1000])
"""Points lie on holes and middles, between them, or off every lattice."""


@st.composite
def outlines(draw: st.DrawFn) -> Points:
    """Draw a convex outline within the page, of 1 to 5 squares in size."""
    parts = draw(PARTS)
    radius = draw(st.integers(parts, 5 * parts // 2)) / parts
    x, y = (
        draw(st.integers(round(radius * parts), round((SIDE - radius) * parts))) / parts for _ in range(2)
    )
    low = draw(st.integers(1, 4)) / 4 * radius
    kind = draw(st.sampled_from(["box", "diamond", "triangle", "octagon"]))
    match kind:
        case "box":
            return box(x - radius, y - low, x + radius, y + low)
        case "diamond":
            return diamond(x, y, radius)
        case "triangle":
            return [(x - radius, y + low), (x, y - low), (x + radius, y + radius)]
    cut = radius - radius / 2
    return [
        (x - cut, y - radius),
        (x + cut, y - radius),
        (x + radius, y - cut),
        (x + radius, y + cut),
        (x + cut, y + radius),
        (x - cut, y + radius),
        (x - radius, y + cut),
        (x - radius, y - cut),
    ]


@st.composite
def layers(draw: st.DrawFn, most: int = 4) -> Artwork:
    """Draw opaque convex shapes over each other."""
    count = draw(st.integers(1, most))
    marks = [
        shape(draw(st.sampled_from(COLOURS)), draw(outlines()), element=f"shape{number}")
        for number in range(count)
    ]
    return drawing(*marks, wide=SIDE, high=SIDE)


def letters(artwork: Artwork) -> list[list[str]] | None:
    """Return the squares in letters; None where nothing is large enough for a stitch."""
    try:
        return drawn(chart_of(artwork))
    except GridError:
        return None


def told(artwork: Artwork) -> list[tuple[str, str]]:
    """Return the remarks of its chart by element."""
    try:
        return [(remark.element, remark.what) for remark in chart_of(artwork).remarks]
    except GridError:
        return []


@st.composite
def within(draw: st.DrawFn, outline: Points) -> Points:
    """Draw an outline inside a convex one, often along parts of it; exact where that is on a lattice."""
    place = st.integers(0, 8).map(lambda n: n / 8)
    points = []
    for (x0, y0), (x1, y1) in zip(outline, [*outline[1:], outline[0]], strict=True):
        part = draw(place)
        points.append((x0 + part * (x1 - x0), y0 + part * (y1 - y0)))
    if draw(st.booleans()):
        return points
    x, y = sum(x for x, _ in points) / len(points), sum(y for _, y in points) / len(points)
    return [((p + x) / 2, (q + y) / 2) for p, q in points]


@st.composite
def with_hidden(draw: st.DrawFn) -> tuple[Artwork, Artwork]:
    """Draw layers, and the same with one more shape somewhere under one that covers it."""
    artwork = draw(layers())
    cover = draw(st.integers(0, len(artwork.marks) - 1))
    below = draw(st.integers(0, cover))
    (contour,) = artwork.marks[cover].path.contours()
    outline = [tuple(point) for point in contour[0][:, 0].tolist()]
    hidden = shape(draw(st.sampled_from(COLOURS)), draw(within(outline)), element="hidden")
    marks = (*artwork.marks[:below], hidden, *artwork.marks[below:])
    return artwork, replace(artwork, marks=marks)


@given(with_hidden())
def test_a_shape_wholly_hidden_can_be_deleted_without_trace(pair: tuple[Artwork, Artwork]) -> None:
    without, with_it = pair
    assert letters(with_it) == letters(without)
    assert told(with_it) == told(without)


@given(layers(), st.permutations(COLOURS))
def test_permuted_paints_permute_the_threads_and_nothing_else(artwork: Artwork, others: list[str]) -> None:
    becomes = dict(zip(COLOURS, others, strict=True))
    marks = [
        replace(mark, colour=type(mark.colour).from_hex(becomes[mark.colour.hex])) for mark in artwork.marks
    ]
    table = str.maketrans({LETTERS[colour]: LETTERS[other] for colour, other in becomes.items()})
    permuted = replace(artwork, marks=tuple(marks))
    found = letters(artwork)
    assert letters(permuted) == (found and [[_sorted(s.translate(table)) for s in row] for row in found])
    assert told(permuted) == told(artwork)


def _sorted(square: str) -> str:
    if not square.startswith("("):
        return square
    inner = square[1:-1]
    return "(" + "".join(sorted(inner[i : i + 2] for i in range(0, len(inner), 2))) + ")"


def cut(outline: Points, axis: int, at: float) -> tuple[Points, Points]:
    """Return a convex outline in two parts, cut along a column (axis 0) or a row (axis 1)."""
    before, after = [], []
    for start, end in zip(outline, [*outline[1:], outline[0]], strict=True):
        before += [start] if start[axis] <= at else []
        after += [start] if start[axis] >= at else []
        if (start[axis] - at) * (end[axis] - at) < 0:
            part = (at - start[axis]) / (end[axis] - start[axis])
            beside = start[1 - axis] + part * (end[1 - axis] - start[1 - axis])
            point = (at, beside) if axis == 0 else (beside, at)
            before.append(point)
            after.append(point)
    return before, after


DIAMOND = [(3.5625, 3.5625), (5.375, 5.375), (3.5625, 7.1875), (1.75, 5.375)]


@given(
    outlines(), st.sampled_from([0, 1]), st.integers(1, 63).map(lambda n: n / 64), st.sampled_from([1, -1])
)
@example(DIAMOND, 0, 65 / 128, 1)  # leaves stubs of both its sides
def test_a_slanted_shape_split_in_two_changes_nothing(
    outline: Points, axis: int, part: float, way: int
) -> None:
    places = [point[axis] for point in outline]
    one, other = cut(outline, axis, min(places) + part * (max(places) - min(places)))
    wall = shape(YELLOW, box(1, 1, SIDE - 1, SIDE - 1))
    parts = [shape(RED, one), shape(RED, other[::way])]
    whole, split = (drawing(wall, *marks, wide=SIDE, high=SIDE) for marks in ([shape(RED, outline)], parts))
    assert letters(split) == letters(whole)

"""What must hold for drawings of several layers, wherever their points lie."""

from collections.abc import Callable
from dataclasses import replace
from math import cos, radians, sin

from hypothesis import example, given
from hypothesis import strategies as st

from svg2chart.artwork import Artwork
from svg2chart.chart import StitchKind
from svg2chart.colour import Colour
from svg2chart.errors import GridError
from svg2chart.svg.read import parse_artwork
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


STRAIGHT = ("box", "diamond", "triangle")


@st.composite
def outlines(draw: st.DrawFn, kinds: tuple[str, ...] = (*STRAIGHT, "octagon")) -> Points:
    """Draw a convex outline within the page, of 1 to 5 squares in size."""
    parts = draw(PARTS)
    radius = draw(st.integers(parts, 5 * parts // 2)) / parts
    x, y = (
        draw(st.integers(round(radius * parts), round((SIDE - radius) * parts))) / parts for _ in range(2)
    )
    low = draw(st.integers(1, 4)) / 4 * radius
    kind = draw(st.sampled_from(kinds))
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


def charted(artwork: Artwork) -> tuple[list[list[str]] | None, list[tuple[str, str]]]:
    """Return the squares in letters, None where nothing is large enough for a stitch; and the remarks."""
    try:
        chart = chart_of(artwork)
    except GridError:
        return None, []
    return drawn(chart), [(remark.element, remark.what) for remark in chart.remarks]


def letters(artwork: Artwork) -> list[list[str]] | None:
    return charted(artwork)[0]


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
    assert charted(with_it) == charted(without)


@given(layers(), st.permutations(COLOURS))
def test_permuted_paints_permute_the_threads_and_nothing_else(artwork: Artwork, others: list[str]) -> None:
    becomes = dict(zip(COLOURS, others, strict=True))
    marks = [
        replace(mark, colour=type(mark.colour).from_hex(becomes[mark.colour.hex])) for mark in artwork.marks
    ]
    table = str.maketrans({LETTERS[colour]: LETTERS[other] for colour, other in becomes.items()})
    permuted = replace(artwork, marks=tuple(marks))
    squares, remarks = charted(artwork)
    wanted = squares and [[_sorted(square.translate(table)) for square in row] for row in squares]
    assert charted(permuted) == (wanted, remarks)


def _sorted(square: str) -> str:
    if not square.startswith("("):
        return square
    inner = square[1:-1]
    return "(" + "".join(sorted(inner[i : i + 2] for i in range(0, len(inner), 2))) + ")"


def cut(outline: Points, across: tuple[float, float], at: float) -> tuple[Points, Points]:
    """Return a convex outline in two parts, cut where x times across[0] + y times across[1] is `at`."""
    before, after = [], []
    for start, end in zip(outline, [*outline[1:], outline[0]], strict=True):
        here, there = (x * across[0] + y * across[1] - at for x, y in (start, end))
        before += [start] if here <= 0 else []
        after += [start] if here >= 0 else []
        if here * there < 0:
            part = here / (here - there)
            point = (start[0] + part * (end[0] - start[0]), start[1] + part * (end[1] - start[1]))
            before.append(point)
            after.append(point)
    return before, after


CUTS = ((1.0, 0.0), (0.0, 1.0), (1.0, 1.0), (1.0, -1.0), (2.0, 1.0))
DIAMOND = [(3.5625, 3.5625), (5.375, 5.375), (3.5625, 7.1875), (1.75, 5.375)]


# not octagons: the parts of small round shapes do not keep the form of the whole
@given(
    outlines(STRAIGHT),
    st.sampled_from(CUTS),
    st.integers(1, 63).map(lambda n: n / 64),
    st.sampled_from([1, -1]),
)
@example(DIAMOND, CUTS[0], 65 / 128, 1)  # leaves stubs of both its sides
@example([(1.751, 2.719), (3.501, 4.469), (1.751, 6.219), (0.001, 4.469)], CUTS[0], 1 / 64, 1)  # nearly even
@example([(1.0, 1.5), (2.0, 0.5), (3.0, 2.0)], CUTS[3], 2 / 64, 1)  # stays where it is
def test_a_shape_with_straight_sides_split_in_two_changes_nothing(
    outline: Points, across: tuple[float, float], part: float, way: int
) -> None:
    places = [x * across[0] + y * across[1] for x, y in outline]
    one, other = cut(outline, across, min(places) + part * (max(places) - min(places)))
    wall = shape(YELLOW, box(1, 1, SIDE - 1, SIDE - 1))
    parts = [shape(RED, one), shape(RED, other[::way])]
    whole, split = (drawing(wall, *marks, wide=SIDE, high=SIDE) for marks in ([shape(RED, outline)], parts))
    assert letters(split) == letters(whole)


def swap(square: str) -> str:
    """Return a square that red and blue share with the three-quarter stitch of the other."""
    is_shared = len(square) == 3 and {square[0], square[2]} == {"r", "b"}
    return square[2] + OPPOSITE[square[1]] + square[0] if is_shared else square


OPPOSITE = {"◤": "◢", "◢": "◤", "◥": "◣", "◣": "◥"}


@given(
    st.tuples(st.integers(0, 4), st.integers(0, 4), st.integers(2, 5), st.integers(2, 5)),
    st.sampled_from(CUTS[:4]),
    st.integers(1, 8),
)
def test_two_shapes_that_only_touch_swap_who_gets_the_three_quarter_stitch(
    place: tuple[int, int, int, int], across: tuple[float, float], at: int
) -> None:
    left, top, wide, high = place
    outline = box(left, top, left + wide, top + high)
    places = sorted(x * across[0] + y * across[1] for x, y in outline)
    one, other = cut(outline, across, min(places[0] + at, places[-1] - 1))
    parts = [shape(RED, one, element="one"), shape(BLUE, other, element="other")]
    there, swapped = (letters(drawing(*marks, wide=SIDE, high=SIDE)) for marks in (parts, parts[::-1]))
    assert there is not None
    assert swapped == [[swap(square) for square in row] for row in there]


@given(outlines(), st.sampled_from(CUTS), st.integers(1, 63).map(lambda n: n / 64))
def test_the_upper_of_two_shapes_that_touch_gets_all_three_quarter_stitches(
    outline: Points, across: tuple[float, float], part: float
) -> None:
    places = [x * across[0] + y * across[1] for x, y in outline]
    one, other = cut(outline, across, min(places) + part * (max(places) - min(places)))
    parts = [shape(RED, one, element="one"), shape(BLUE, other, element="other")]
    for upper, marks in (("b", parts), ("r", parts[::-1])):
        squares = letters(drawing(*marks, wide=SIDE, high=SIDE)) or []
        assert {square[0] for row in squares for square in row if swap(square) != square} <= {upper}


def half(one: str, other: str) -> str:
    """Return what a colour shows through another one that lets half of it through."""
    colours = [Colour.from_hex(colour) for colour in (one, other)]
    return Colour(*(sum(c) / 2 for c in zip(*((c.red, c.green, c.blue) for c in colours), strict=True))).hex


@given(outlines(), st.sampled_from(CUTS), st.integers(1, 63).map(lambda n: n / 64))
def test_so_it_does_under_a_shape_that_lets_both_through(
    outline: Points, across: tuple[float, float], part: float
) -> None:
    places = [x * across[0] + y * across[1] for x, y in outline]
    one, other = cut(outline, across, min(places) + part * (max(places) - min(places)))
    parts = [shape(RED, one, element="one"), shape(BLUE, other, element="other")]
    veil = replace(shape(YELLOW, box(0, 0, SIDE, SIDE), element="veil"), opacity=0.5)
    for upper, lower, marks in ((BLUE, RED, parts), (RED, BLUE, parts[::-1])):
        chart = chart_of(drawing(*marks, veil, wide=SIDE, high=SIDE))
        held = ([chart.threads[s.thread].colour for s in each] for each in chart.arrangements)
        wanted = [half(upper, YELLOW), half(lower, YELLOW)]
        halved = [
            colours
            for colours, each in zip(held, chart.arrangements, strict=True)
            if len(each) == 2 and each[0].kind is StitchKind.THREE_QUARTER
        ]
        assert all(colours == wanted for colours in halved if set(colours) == set(wanted))


Place = tuple[float, float]


@st.composite
def transforms(draw: st.DrawFn) -> tuple[str, Callable[[Place], Place]]:
    """Draw a transform as SVG writes it, and what it does to a point. Source: SVG 2, chapter 8.5."""
    one, other = (draw(st.integers(-8, 8).map(lambda n: n / 16)) for _ in range(2))
    size = draw(st.integers(8, 16).map(lambda n: n / 16))
    turn = draw(st.integers(-45, 45))
    cosine, sine = cos(radians(turn)), sin(radians(turn))
    middle = SIDE / 2
    match draw(st.sampled_from(["translate", "scale", "rotate", "mirror", "matrix"])):
        case "translate":
            return f"translate({one} {other})", lambda p: (p[0] + one, p[1] + other)
        case "scale":
            return f"scale({size} {-size}) translate(0 {-SIDE})", lambda p: (
                p[0] * size,
                (SIDE - p[1]) * size,
            )
        case "rotate":
            return f"rotate({turn} {middle} {middle})", lambda p: (
                middle + cosine * (p[0] - middle) - sine * (p[1] - middle),
                middle + sine * (p[0] - middle) + cosine * (p[1] - middle),
            )
        case "mirror":
            return f"matrix(-1 0 0 1 {SIDE} 0)", lambda p: (SIDE - p[0], p[1])
    return f"matrix({size} {one / 4} {other / 4} {size} 0.5 0.25)", lambda p: (
        size * p[0] + other / 4 * p[1] + 0.5,
        one / 4 * p[0] + size * p[1] + 0.25,
    )


@given(
    st.lists(st.tuples(st.sampled_from(COLOURS), outlines(), transforms()), min_size=1, max_size=3),
    transforms(),
)
def test_transforms_written_into_the_points_and_groups_around_shapes_change_nothing(
    parts: list[tuple[str, Points, tuple[str, Callable[[Place], Place]]]],
    outer: tuple[str, Callable[[Place], Place]],
) -> None:
    grouped, plain = "", ""
    for colour, outline, (written, moved) in parts:
        grouped += f'<g><path fill="{colour}" transform="{written}" d="{path_data(outline)}"/></g>'
        plain += f'<path fill="{colour}" d="{path_data([outer[1](moved(point)) for point in outline])}"/>'
    assert letters(page(f'<g transform="{outer[0]}"><g>{grouped}</g></g>')) == letters(page(plain))


def path_data(outline: Points) -> str:
    return "M" + " ".join(f"{x!r},{y!r}" for x, y in outline) + "z"


def page(content: str) -> Artwork:
    svg = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {SIDE} {SIDE}">{content}</svg>'
    return parse_artwork(svg.encode())

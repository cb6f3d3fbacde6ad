"""What holds for all thin lines: nets, curves, rings; joined stays joined, closed stays closed."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise
from math import atan2, cos, degrees, pi, sin

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from svg2chart.arranging.patterns import Fractions
from svg2chart.artwork import Artwork, Fill, Stroke
from svg2chart.backstitch import trace_lines
from svg2chart.chart import Chart
from svg2chart.colour import Colour
from svg2chart.convert import convert
from svg2chart.fit import lay_on_grid
from svg2chart.geometry.affine import Affine
from svg2chart.geometry.outline import StrokeStyle
from svg2chart.geometry.path import Path
from svg2chart.grid import Extent, Grid
from svg2chart.lines.edges import HALVES, StitchedEdges
from tests.breadth import examples
from tests.drawings import BLUE, RED, box, chart_of, contours_path, drawing, lines, shape
from tests.frechet import frechet_within

PITCH = 3  # squares between the posts of a net
Points = list[tuple[float, float]]
# off the middle between two holes, where rounding has a choice
astray = st.integers(-4, 4).filter(lambda n: abs(n) != 4).map(lambda n: n / 8)


def line_of(points: Points, *, closed: bool = False, colour: str = RED, element: str = "rope") -> Stroke:
    path = contours_path([points], closed=closed)
    return Stroke(element=element, path=path, style=StrokeStyle(width=0.3), colour=Colour.from_hex(colour))


@st.composite
def nets(draw: st.DrawFn) -> tuple[Points, list[tuple[int, int]]]:
    """Draw posts about PITCH squares apart and ropes between neighbours: nothing else within 1.5 squares."""
    wide, high = draw(st.integers(2, 4)), draw(st.integers(1, 3))
    posts = [
        (PITCH * (column + 1) + draw(astray), PITCH * (row + 1) + draw(astray))
        for row in range(high)
        for column in range(wide)
    ]
    ropes = [(i, i + 1) for i in range(len(posts)) if (i + 1) % wide]
    ropes += [(i, i + wide) for i in range(len(posts) - wide)]
    kept = draw(st.lists(st.sampled_from(ropes), min_size=1, unique=True))
    return posts, kept


def drawn_net(net: tuple[Points, list[tuple[int, int]]]) -> Artwork:
    posts, ropes = net
    marks = [line_of([posts[i], posts[j]], element=f"rope{i}-{j}") for i, j in ropes]
    return drawing(*marks, wide=PITCH * 5 + 2, high=PITCH * 4 + 2)


def shape_of(edges: Sequence[tuple[object, object]]) -> tuple[int, int, Counter[int]]:
    """Return of a graph the components, the independent rings, and how often each degree but 2 occurs."""
    neighbours: dict[object, list[object]] = {}
    for one, other in edges:
        neighbours.setdefault(one, []).append(other)
        neighbours.setdefault(other, []).append(one)
    seen: set[object] = set()
    components = 0
    for start in neighbours:
        components += start not in seen
        front = [start]
        while front:
            node = front.pop()
            if node not in seen:
                seen.add(node)
                front += neighbours[node]
    degrees_of = Counter(len(others) for others in neighbours.values())
    del degrees_of[2]
    return components, len(edges) - len(neighbours) + components, degrees_of


def holes_of(chart: Chart) -> list[tuple[object, object]]:
    return [(line.start, line.end) for line in chart.backstitch]


APART = 1.5  # squares between whatever is not joined
LEAST_ANGLE = pi / 3  # between ropes at one post: APART from it along both, they are APART from each other


def away(point: tuple[float, float], start: tuple[float, float], end: tuple[float, float]) -> float:
    """Return how far a point is from a straight rope."""
    way, to = np.subtract(end, start), np.subtract(point, start)
    return float(np.hypot(*(to - min(max(float(to @ way) / float(way @ way), 0.0), 1.0) * way)))


def may_join(posts: Points, ropes: list[tuple[int, int]], one: int, other: int) -> bool:
    """Whether one more straight rope keeps APART from all that it is not joined to."""
    if one == other or {one, other} in map(set, ropes):
        return False
    line = posts[one], posts[other]
    if any(away(post, *line) < APART for i, post in enumerate(posts) if i not in (one, other)):
        return False
    for rope in ropes:
        ends = [posts[i] for i in rope]
        if shared := {one, other} & set(rope):
            post = posts[shared.pop()]
            ways = [np.subtract(end, post) for pair in (line, ends) for end in pair if end != post]
            if float(ways[0] @ ways[1]) > cos(LEAST_ANGLE) * float(np.hypot(*ways[0]) * np.hypot(*ways[1])):
                return False
        elif min(away(end, *line) for end in ends) < APART or crosses(line, ends):
            return False
    return True


def crosses(one: Sequence[tuple[float, float]], other: Sequence[tuple[float, float]]) -> bool:
    def side(a: tuple[float, float], b: tuple[float, float], c: tuple[float, float]) -> float:
        return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])

    return side(*one, other[0]) * side(*one, other[1]) < 0 and side(*other, one[0]) * side(*other, one[1]) < 0


@st.composite
def narrow_nets(draw: st.DrawFn) -> tuple[Points, list[tuple[int, int]]]:
    """Draw posts anywhere and straight ropes between them, what is not joined just APART or more."""
    places = st.integers(8, 8 * 7).map(lambda n: n / 8)
    posts: Points = []
    for post in draw(st.lists(st.tuples(places, places), min_size=8, max_size=24)):
        if all(np.hypot(*np.subtract(post, other)) >= APART for other in posts):
            posts.append(post)
    pairs = [(i, j) for j in range(len(posts)) for i in range(j)]
    pairs.sort(key=lambda pair: float(np.hypot(*np.subtract(posts[pair[0]], posts[pair[1]]))))
    left_out = draw(st.sets(st.integers(0, 40)))
    ropes: list[tuple[int, int]] = []
    for number, pair in enumerate(pairs):
        if number not in left_out and may_join(posts, ropes, *pair):
            ropes.append(pair)
    return posts, ropes


@given(narrow_nets().filter(lambda net: net[1]))
@settings(max_examples=examples(40))
def test_a_net_keeps_its_components_rings_and_junctions(net: tuple[Points, list[tuple[int, int]]]) -> None:
    posts, ropes = net
    marks = [line_of([posts[i], posts[j]], element=f"rope{i}-{j}") for i, j in ropes]
    chart = chart_of(drawing(*marks, wide=8, high=8))
    assert shape_of(holes_of(chart)) == shape_of(ropes)
    assert chart.remarks == ()


@given(st.integers(0, 63), st.integers(0, 15), st.integers(0, 64))
@settings(max_examples=examples(20))
def test_a_piece_of_line_a_square_long_is_worked(direction: int, right: int, down: int) -> None:
    angle = 2 * pi * direction / 64
    start = 3 + right / 16, 3 + down / 64
    rope = line_of([start, (start[0] + 1.01 * cos(angle), start[1] + 1.01 * sin(angle))])
    chart = chart_of(drawing(rope, wide=7, high=7))
    assert len(chart.backstitch) >= 1
    assert chart.remarks == ()


@pytest.mark.parametrize("apart", [0.0, 0.2])
def test_a_corner_that_touches_a_line_is_joined_to_it(apart: float) -> None:
    flag = line_of([(4.4, 3 + apart), (6.1, 6.2), (2.8, 6.3)], closed=True, element="flag")
    string = line_of([(0, 3), (9, 3)], element="string")
    chart = chart_of(drawing(string, flag, wide=9, high=9))
    assert shape_of(holes_of(chart)) == (1, 1, Counter({1: 2, 4: 1}))


@given(nets())
@settings(max_examples=examples(25))
def test_no_path_is_farther_from_its_chain_than_three_quarters(
    net: tuple[Points, list[tuple[int, int]]],
) -> None:
    for path, chain in led(drawn_net(net)):
        assert frechet_within(chain, path, 0.75)


@given(nets(), st.integers(1, 4))
@settings(max_examples=examples(25))
def test_segments_are_holes_apart_once_and_not_too_long(
    net: tuple[Points, list[tuple[int, int]]], longest: int
) -> None:
    artwork = drawn_net(net)
    grid = Grid.fit(artwork, square=1.0, extent=Extent.PAGE)
    found = holes_of(convert(artwork, grid, longest_backstitch=longest))
    assert len({frozenset(ends) for ends in found}) == len(found)
    for start, end in found:
        steps = [abs(round(a - b)) for a, b in zip(start, end, strict=True)]
        assert all(position % 1 == 0 for position in (*start, *end))
        assert 0 < max(steps) <= longest
        assert np.gcd(*steps) == 1  # it passes over no hole, so that no two lie on each other


@given(nets(), st.data())
@settings(max_examples=examples(25))
def test_ropes_reversed_and_cut_in_two_give_the_same(
    net: tuple[Points, list[tuple[int, int]]], data: st.DataObject
) -> None:
    posts, ropes = net
    marks = []
    for i, j in ropes:
        ends = [posts[i], posts[j]]
        middle = tuple((a + b) / 2 for a, b in zip(*ends, strict=True))
        match data.draw(st.sampled_from(["as it was", "reversed", "in two", "in two, one reversed"])):
            case "as it was":
                parts = [ends]
            case "reversed":
                parts = [ends[::-1]]
            case "in two":
                parts = [[ends[0], middle], [middle, ends[1]]]
            case _:
                parts = [[middle, ends[0]], [middle, ends[1]]]
        marks += [line_of(part, element=f"rope{i}-{j}-{k}") for k, part in enumerate(parts)]
    artwork = drawn_net(net)
    again = drawing(*marks, wide=artwork.viewport.right, high=artwork.viewport.bottom)
    assert lines(chart_of(again)) == lines(chart_of(artwork))


@given(nets(), st.integers(0, 3), st.integers(0, 3))
@example(([(3.25, 3.375), (5.75, 2.625)], [(0, 1)]), 1, 2)  # a lone straight rope
@settings(max_examples=examples(25))
def test_a_net_moved_or_mirrored_gives_the_same_moved_or_mirrored(
    net: tuple[Points, list[tuple[int, int]]], right: int, down: int
) -> None:
    posts, ropes = net
    artwork = drawn_net(net)
    wide, high = artwork.viewport.right, artwork.viewport.bottom
    here = {ends for _, ends in lines(chart_of(artwork))}
    moved = drawn_net(([(x + right, y + down) for x, y in posts], ropes))
    moved = replace(moved, viewport=replace(moved.viewport, right=wide + 3, bottom=high + 3))
    there = {frozenset((x + right, y + down) for x, y in ends) for ends in here}
    assert {ends for _, ends in lines(chart_of(moved))} == there
    mirrored = drawn_net(([(wide - x, y) for x, y in posts], ropes))
    flipped = {frozenset((wide - x, y) for x, y in ends) for ends in here}
    assert {ends for _, ends in lines(chart_of(mirrored))} == flipped


@st.composite
def turned_nets(draw: st.DrawFn) -> tuple[Points, list[tuple[int, int]]]:
    """Draw a net that looks the same after half a turn."""
    wide, high = draw(st.integers(2, 4)), draw(st.integers(1, 3))
    last = wide * high - 1
    posts = []
    for post in range(wide * high):
        row, column = divmod(post, wide)
        if 2 * post < last:
            posts.append((PITCH * (column + 1) + draw(astray), PITCH * (row + 1) + draw(astray)))
        else:
            x, y = posts[last - post] if 2 * post > last else (PITCH * (column + 1), PITCH * (row + 1))
            posts.append((PITCH * (wide + 1) - x, PITCH * (high + 1) - y))
    ropes = [(i, i + 1) for i in range(last) if (i + 1) % wide]
    ropes += [(i, i + wide) for i in range(len(posts) - wide)]
    kept = draw(st.lists(st.sampled_from(ropes), min_size=1, unique=True))
    return posts, sorted({*kept, *((last - j, last - i) for i, j in kept)})


@given(turned_nets())
@example(([(3.25, 3.375), (5.75, 2.625)], [(0, 1)]))  # a lone straight rope
@settings(max_examples=examples(15))
def test_a_net_that_is_the_same_after_half_a_turn_is_worked_so(
    net: tuple[Points, list[tuple[int, int]]],
) -> None:
    posts, ropes = net
    artwork = drawn_net(net)
    found = {ends for _, ends in lines(chart_of(artwork))}
    xs, ys = zip(*(posts[end] for rope in ropes for end in rope), strict=True)
    across, down = min(xs) + max(xs), min(ys) + max(ys)
    assert {frozenset((across - x, down - y) for x, y in ends) for ends in found} == found
    wide = artwork.viewport.right
    mirrored = drawn_net(([(wide - x, y) for x, y in posts], ropes))
    flipped = {frozenset((wide - x, y) for x, y in ends) for ends in found}
    assert {ends for _, ends in lines(chart_of(mirrored))} == flipped


@st.composite
def rings(draw: st.DrawFn) -> Points:
    """Draw a closed line round a middle, its points on the lattice of eighths."""
    count = draw(st.integers(3, 12))
    middle = 10 + draw(astray), 10 + draw(astray)
    radii = [draw(st.integers(24, 56)) / 8 for _ in range(count)]
    return [
        (
            round(8 * (middle[0] + r * cos(2 * pi * i / count))) / 8,
            round(8 * (middle[1] + r * sin(2 * pi * i / count))) / 8,
        )
        for i, r in enumerate(radii)
    ]


@given(rings(), st.integers(0, 11), st.sampled_from([1, -1]))
@settings(max_examples=examples(15))
def test_a_ring_begun_elsewhere_or_drawn_backwards_gives_the_same(ring: Points, start: int, way: int) -> None:
    first = start % len(ring)
    turned = ring[first:] + ring[:first]
    page = {"wide": 20, "high": 20}
    again = line_of(turned[::way], closed=True)
    whole = lines(chart_of(drawing(line_of(ring, closed=True), **page)))
    assert lines(chart_of(drawing(again, **page))) == whole
    # and as two open lines that meet end to end
    half = len(turned) // 2
    parts = [line_of(turned[: half + 1]), line_of([*turned[half:], turned[0]])]
    assert lines(chart_of(drawing(*parts, **page))) == whole


def led(artwork: Artwork) -> list[tuple[np.ndarray, np.ndarray]]:
    """Return each path of a drawing and its chain, both in squares and in one direction."""
    grid = Grid.fit(artwork, square=1.0, extent=Extent.PAGE)
    laid = lay_on_grid(artwork, grid)
    traced = trace_lines(laid.lines, [0] * len(laid.lines), edges=StitchedEdges.none(grid.rows, grid.columns))
    found = []
    for path, chain in zip(traced.network.paths, traced.chains, strict=True):
        assert path.ends is not None
        found.append((path.points, np.array(chain) / HALVES))
    return found


@st.composite
def curves(draw: st.DrawFn) -> Path:
    """Draw an open line of cubic curves that wave gently."""
    return curve([draw(st.integers(24, 72)) / 8 for _ in range(draw(st.integers(2, 4)))])


def curve(heights: list[float]) -> Path:
    """Return an open line of cubic curves from height to height."""
    segments = [
        np.array([(4 * i + 2, a), (4 * i + 4, a), (4 * i + 4, b), (4 * i + 6, b)])
        for i, (a, b) in enumerate(pairwise(heights))
    ]
    return Path.of_contours([(np.array(segments), False)])


@given(rings() | curves(), st.integers(0, 3), st.integers(0, 3))
@settings(max_examples=examples(20))
def test_rings_and_curves_moved_or_mirrored_give_the_same_moved_or_mirrored(
    line: Points | Path, right: int, down: int
) -> None:
    rope = line_of([(0, 0), (1, 1)]) if isinstance(line, Path) else line_of(line, closed=True)
    path = line if isinstance(line, Path) else rope.path

    def worked(placed: Affine) -> set[frozenset[tuple[float, float]]]:
        mark = replace(rope, path=path.transformed(placed))
        return {ends for _, ends in lines(chart_of(drawing(mark, wide=23, high=23)))}

    here = worked(Affine(1, 0, 0, 1, 0, 0))
    moved = {frozenset((x + right, y + down) for x, y in ends) for ends in here}
    assert worked(Affine(1, 0, 0, 1, right, down)) == moved
    assert worked(Affine(-1, 0, 0, 1, 23, 0)) == {frozenset((23 - x, y) for x, y in ends) for ends in here}


@given(curves())
@example(curve([4.625, 5.875, 8.75, 3.125]))  # bends away between two samples
@settings(max_examples=examples(25))
def test_a_curve_is_followed_within_three_quarters(path: Path) -> None:
    rope = line_of([(0, 0), (1, 1)])
    artwork = drawing(
        Stroke(element="rope", path=path, style=rope.style, colour=rope.colour), wide=20, high=12
    )
    for points, chain in led(artwork):
        assert frechet_within(chain, points, 0.75)


QUARTER = 0.5522847498307936  # of a circle as a cubic curve: 4/3 (sqrt(2) - 1)


def circle(x: float, y: float, radius: float) -> Path:
    ways = [(1, 0), (0, 1), (-1, 0), (0, -1), (1, 0)]
    centre = np.array([x, y])
    segments = []
    for one, other in pairwise(np.array(ways) * radius):
        points = [one, one + QUARTER * other, other + QUARTER * one, other]
        segments.append([centre + point for point in points])
    return Path.of_contours([(np.array(segments), True)])


@given(st.integers(3 * 64, 12 * 64).map(lambda n: n / 64), st.sampled_from([13.0, 13.5]))
@settings(max_examples=examples(25))
def test_a_circle_is_closed_and_symmetric_and_turns_gently(radius: float, middle: float) -> None:
    rope = line_of([(0, 0), (1, 1)])
    ring = Stroke(element="hoop", path=circle(middle, middle, radius), style=rope.style, colour=rope.colour)
    chart = chart_of(drawing(ring, wide=27, high=27))
    found = {
        frozenset((x - middle, y - middle) for x, y in (line.start, line.end)) for line in chart.backstitch
    }
    assert shape_of([tuple(ends) for ends in found]) == (1, 1, Counter())
    for image in (lambda x, y: (-x, y), lambda x, y: (y, x)):  # these two make all eight
        assert {frozenset(image(*hole) for hole in ends) for ends in found} == found
    nexts: dict[tuple[float, float], list[tuple[float, float]]] = {}
    for one, other in map(tuple, found):
        nexts.setdefault(one, []).append(other)
        nexts.setdefault(other, []).append(one)
    for hole, (before, after) in nexts.items():
        first, second = np.subtract(hole, before), np.subtract(after, hole)
        turn = atan2(abs(first[0] * second[1] - first[1] * second[0]), first @ second)
        assert degrees(turn) <= 45 + 1e-9


def test_an_arch_between_level_ends_does_not_lean() -> None:
    smile = np.array([[(3.0, 4.0), (5.0, 9.3), (12.0, 9.3), (14.0, 4.0)]])
    rope = line_of([(0, 0), (1, 1)])
    path = Path.of_contours([(smile, False)])
    chart = chart_of(
        drawing(Stroke(element="smile", path=path, style=rope.style, colour=rope.colour), wide=17, high=12)
    )
    found = {ends for _, ends in lines(chart)}
    assert {frozenset((17 - x, y) for x, y in ends) for ends in found} == found


@given(
    st.integers(0, 1).map(lambda n: 10 + n / 2),
    st.integers(0, 19).map(lambda n: 8 + n / 20),
    st.integers(32, 80).map(lambda n: n / 20),
    st.integers(10, 60).map(lambda n: n / 20),
)
@example(10.0, 11.6, 2.0, 0.7)
@settings(max_examples=examples(60))
def test_a_smile_in_the_middle_of_a_face_does_not_lean(x: float, y: float, half: float, deep: float) -> None:
    smile = np.array([[(x - half, y), (x - half / 3, y + deep), (x + half / 3, y + deep), (x + half, y)]])
    path = Path.of_contours([(smile, False)])
    marks = (
        shape(BLUE, box(x - 8, 1, x + 8, 19)),
        replace(line_of([(0, 0), (1, 1)]), path=path),
    )
    found = {ends for _, ends in lines(chart_of(drawing(*marks, wide=20, high=20)))}
    assert {frozenset((2 * x - a, b) for a, b in ends) for ends in found} == found


@pytest.mark.parametrize("along", [0.0, 0.25, 0.5])
@pytest.mark.parametrize("beyond", [0.1, 0.5, 0.7])
def test_a_line_that_hangs_over_the_last_holes_ends_on_them(along: float, beyond: float) -> None:
    """Half way between two holes it ends farther from both than lines may stray."""
    rope = line_of([(4 + along, 5.0), (4 + along, 9 + beyond)])
    artwork = drawing(shape(BLUE, box(0, 0, 9, 9)), rope, wide=9, high=10)
    grid = Grid(left=0.0, top=0.0, square=1.0, columns=9, rows=9)
    chart = convert(artwork, grid)
    assert max(y for _, ends in lines(chart) for _, y in ends) == 9


@pytest.mark.parametrize(
    "corners", [box(2, 2, 9, 7), [(2, 9), (6, 5), (10, 9)], [(6, 1), (11, 6), (6, 11), (1, 6)]]
)
def test_an_outline_lies_on_the_stitched_edge_of_its_shape(corners: Points) -> None:
    sail = Fill(element="sail", path=contours_path([corners]), colour=Colour.from_hex(BLUE))
    chart = chart_of(drawing(sail, line_of(list(corners), closed=True, element="sail"), wide=12, high=12))
    edges = StitchedEdges.of(chart.squares, chart.arrangements)
    for line in chart.backstitch:
        ends = [np.array([[round(HALVES * c) for c in hole]]) for hole in (line.start, line.end)]
        assert edges.shares(*ends)[0] == 1.0


@given(st.integers(0, 7), st.integers(0, 7))
@settings(max_examples=examples(10))
def test_between_holes_only_where_fractions_are_sewn_and_edges_run(right: int, down: int) -> None:
    x, y = 2 + right / 8, 2 + down / 8
    lamp = shape(BLUE, box(x, y, x + 2.5, y + 1.5), element="lamp")
    outline = line_of(list(box(x, y, x + 2.5, y + 1.5)), closed=True, element="lamp")
    artwork = drawing(lamp, outline, wide=8, high=8)
    for fractions in Fractions:
        chart = chart_of(artwork, fractions=fractions)
        bent = StitchedEdges.of(chart.squares, chart.arrangements).bent()
        for line in chart.backstitch:
            for column, row in (line.start, line.end):
                if column % 1 or row % 1:
                    assert fractions is Fractions.ALL
                    assert bent[round(HALVES * row), round(HALVES * column)]


def test_a_rope_that_ends_on_a_straight_side_ends_in_a_hole() -> None:
    # the middle of a side is nearer, but nothing there shows why it should be pierced
    lamp = shape(BLUE, box(2, 2, 6, 6), element="lamp")
    chart = chart_of(drawing(lamp, line_of([(6, 4.5), (10, 4.5)]), wide=12, high=8))
    assert all(position % 1 == 0 for line in chart.backstitch for position in (*line.start, *line.end))


def test_the_gaps_of_a_dashed_line_stay_gaps() -> None:
    style = StrokeStyle(width=0.3, dashes=(2.0, 2.0))
    rope = Stroke(
        element="rope",
        path=contours_path([[(1, 3), (11, 3)]], closed=False),
        style=style,
        colour=Colour.from_hex(RED),
    )
    chart = chart_of(drawing(rope, wide=12, high=6))
    wanted = {frozenset(((c, 3), (c + 1, 3))) for c in (1, 2, 5, 6, 9, 10)}
    assert {ends for _, ends in lines(chart)} == wanted


@settings(max_examples=examples(25))
@given(st.integers(3, 9), st.floats(2.0, 5.0), astray, astray, st.integers(0, 8))
def test_a_ring_drawn_twice_is_worked_as_once(
    corners: int, radius: float, x: float, y: float, start: int
) -> None:
    """The second element begins elsewhere: the holes are shared all round, and no line is worked twice."""
    turns = [2 * pi * corner / corners for corner in range(corners)]
    ring = [(7 + x + radius * cos(turn), 7 + y + radius * sin(turn)) for turn in turns]
    start %= corners
    again = ring[start:] + ring[:start]
    once = drawing(line_of(ring, closed=True), wide=14, high=14)
    twice = drawing(
        line_of(ring, closed=True), line_of(again, closed=True, element="second"), wide=14, high=14
    )
    assert lines(chart_of(twice)) == lines(chart_of(once))

"""Strips grown into a tree, and the order in which the needle goes through it.

The needle comes to a strip at one square, its entry. From there the strip is worked out and back: lower
legs going, upper legs coming. So a tree of squares can be worked with one thread, whatever its shape: the
lower leg where the needle first comes to a square, then all branches, then the upper leg on the way back.

    row 4      . e < < .        The trunk is the way from the first strip to the last one, of which no way
    row 5      . | > > >        back is needed: its squares (e, |) are finished before the needle goes on,
    row 6      < |              so that what is left half worked is never more than a row and its branches.

Strips are taken depth first, the ones with the fewest ways on before others, as one walks a maze without
turning back: that makes long trunks. Fractions beside the full stitch that the whole work begins on are
worked after it is finished, so that a row whose end is a fraction is still gone out and back.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from svg2chart.guiding.legs import Choice, Square
from svg2chart.guiding.links import Works
from svg2chart.guiding.strips import Link, Strip


@dataclass(frozen=True, slots=True, kw_only=True)
class Ground:
    """The strips of one thread: which touch, and which are linked over cloth between them."""

    works: Works
    strips: Sequence[Strip]
    touching: Sequence[Sequence[int]]
    linked: Sequence[Sequence[tuple[int, Link]]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Tree:
    """Strips by number in the order in which they were reached, each with its entry and the ways on."""

    order: list[int]
    entry: dict[int, int]
    ways: dict[int, list[tuple[int, Link]]]


def grow_tree(ground: Ground, root: Square, strip: int) -> Tree:
    """Return the tree of all strips that can be reached from a strip, which is entered at the root."""
    tree = Tree(order=[strip], entry={strip: root[1]}, ways={strip: []})
    path = [strip]
    while path:
        here = path[-1]
        onward = [(other, None) for other in ground.touching[here] if other not in tree.entry]
        carried = [(other, link) for other, link in ground.linked[here] if other not in tree.entry]
        if not onward and not carried:
            path.pop()
            continue
        ways = []
        for other, link in (*onward, *carried):
            link = link or _step(ground.strips[here], ground.strips[other], tree.entry[here])
            further = sum(next_one not in tree.entry for next_one in ground.touching[other])
            away = abs(link.square[1] - tree.entry[here])
            ways.append(((link.bare, further, away, other), other, link))
        _, taken, link = min(ways, key=lambda way: way[0])
        tree.ways[here].append((taken, link))
        tree.ways[taken] = []
        tree.entry[taken] = link.other[1]
        tree.order.append(taken)
        path.append(taken)
    return tree


def _step(strip: Strip, other: Strip, entry: int) -> Link:
    """Return the step between strips that touch which lies nearest to the entry of the first."""
    low, high = max(strip.first, other.first), min(strip.last, other.last)
    column = min(max(entry, low), high) if low <= high else strip.nearest(other.first)
    return Link((strip.row, column), (other.row, other.nearest(column)))


def legs_in_order(ground: Ground, tree: Tree, trunk: Sequence[Square]) -> list[Choice]:
    """Return the legs of all stitches of a tree with a trunk, in order."""
    branches: dict[Square, list[Square]] = {}
    earlier: dict[Square, Square] = {}
    later: dict[Square, Square] = {}
    on_trunk = set(trunk)
    carried = {link.other for ways in tree.ways.values() for _, link in ways if link.is_carry}
    for number in tree.order:
        strip, entry = ground.strips[number], tree.entry[number]
        sides = _branch_strip(branches, strip, entry)
        square = strip.row, entry
        # where the needle comes to the middle of a strip, one side is worked before it: no hop over it
        if len(sides) < 2 or sides[0] in on_trunk:
            branches.setdefault(square, []).extend(sides[:-1])
        elif number == tree.order[0] and sides[1] not in on_trunk and _are_fractions(ground, strip, sides[0]):
            later[square] = sides[0]
        elif number != tree.order[0] and square not in carried:
            earlier[square] = sides[0]
        else:
            branches.setdefault(square, []).extend(sides[:-1])
        branches.setdefault(square, []).extend(sides[-1:])
        for _, link in tree.ways[number]:
            branches.setdefault(link.square, []).append(link.other)
    walk = _Walk(ground.works, branches, earlier, later, on_trunk)
    return [choice for square in trunk for choice in walk.worked(square)]


def _branch_strip(branches: dict[Square, list[Square]], strip: Strip, entry: int) -> list[Square]:
    """Let each square of a strip branch off the one nearer to the entry; return those beside the entry.

    The one on the shorter side comes first.
    """
    sides = sorted([(entry - strip.first, -1), (strip.last - entry, 1)])
    for count, way in sides:
        for n in range(1, count):
            branches[strip.row, entry + n * way] = [(strip.row, entry + (n + 1) * way)]
    return [(strip.row, entry + way) for count, way in sides if count]


def _are_fractions(ground: Ground, strip: Strip, square: Square) -> bool:
    """Return whether a strip has no full stitch at a square nor from there to its nearer end."""
    row, column = square
    is_left = column - strip.first < strip.last - column
    columns = range(strip.first, column + 1) if is_left else range(column, strip.last + 1)
    return not any(ground.works[row, column].last for column in columns)


@dataclass(frozen=True, slots=True)
class _Walk:
    """How squares are gone through: what branches off each, what is worked before it and what after it."""

    works: Works
    branches: dict[Square, list[Square]]
    earlier: dict[Square, Square]
    later: dict[Square, Square]
    trunk: set[Square]

    def worked(self, root: Square) -> list[Choice]:
        """Return the legs of a square and all that branches off it but the trunk."""
        legs: list[Choice] = []
        waiting = [(root, _REACHED)]
        while waiting:
            square, turn = waiting.pop()
            if turn == _LEFT:
                legs += self.works[square].last
                waiting += [(self.later[square], _REACHED)] if square in self.later else []
            elif turn == _REACHED and square in self.earlier:
                waiting += [(square, _BEGUN), (self.earlier[square], _REACHED)]
            else:
                legs += self.works[square].first
                waiting.append((square, _LEFT))
                for branch in reversed(self.branches.get(square, ())):
                    if branch not in self.trunk:
                        waiting.append((branch, _REACHED))
        return legs


_REACHED, _BEGUN, _LEFT = range(3)  # when the needle is at a square


def find_trunk(ground: Ground, tree: Tree) -> list[Square]:
    """Return the squares of the trunk: the way with all links gone once, then most bare, then longest."""
    value: dict[int, tuple[int, int, int]] = {}
    onward: dict[int, tuple[int, Link]] = {}
    for number in reversed(tree.order):
        value[number] = (0, 0, 1)
        for other, link in tree.ways[number]:
            once, bare, strips = value[other]
            through = (once + link.is_gone_once, bare + link.bare, strips + 1)
            if through > value[number]:
                value[number] = through
                onward[number] = (other, link)
    squares: list[Square] = []
    number = tree.order[0]
    while True:
        row, entry = ground.strips[number].row, tree.entry[number]
        leaving = onward[number][1].square[1] if number in onward else entry
        step = 1 if leaving >= entry else -1
        squares += [(row, column) for column in range(entry, leaving + step, step)]
        if number not in onward:
            return squares
        number = onward[number][0]

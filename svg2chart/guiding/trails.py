"""Lines of backstitch put into trails: each line once, in as few trails as can be.

A net of lines needs one trail for each two holes where an odd number of its lines meet, one if there are none
(Euler). Trails are walked from such holes until they are stuck, which is at another one. What is left
closes on itself, and is put into a trail that passes it (Hierholzer).
"""

from collections.abc import Sequence

from svg2chart.chart import Backstitch
from svg2chart.guiding.legs import Hole, Leg, Part, hole_of

Step = tuple[int, Hole, Hole]
"""A line by its number, and from which hole to which it is gone along."""


def find_trails(lines: Sequence[Backstitch]) -> list[tuple[Leg, ...]]:
    """Return the lines in trails of legs, each worked backwards: up at its far end, down at its near end."""
    ends = [(hole_of(line.start), hole_of(line.end)) for line in lines]
    at: dict[Hole, list[int]] = {}
    for i, (start, end) in enumerate(ends):
        at.setdefault(start, []).append(i)
        at.setdefault(end, []).append(i)
    unused = set(range(len(lines)))
    trails = []
    for hole in sorted(at):
        if len(at[hole]) % 2 and not unused.isdisjoint(at[hole]):
            trails.append(_walk(hole, at, ends, unused))
    for i, (start, _) in enumerate(ends):
        if i in unused:
            trails.append(_walk(start, at, ends, unused))
    return [
        tuple(Leg(part=Part.BACK, of=lines[i], up=far, down=near) for i, near, far in trail)
        for trail in _spliced(trails)
    ]


def _walk(
    hole: Hole, at: dict[Hole, list[int]], ends: Sequence[tuple[Hole, Hole]], unused: set[int]
) -> list[Step]:
    trail: list[Step] = []
    while True:
        onward = [i for i in at[hole] if i in unused]
        if not onward:
            return trail
        # straight on before any turn, so that trails follow what looks like one line
        taken = min(onward, key=lambda i: (trail and _bend(trail[-1], hole, ends[i]), i))
        start, end = ends[taken]
        following = end if start == hole else start
        trail.append((taken, hole, following))
        unused.remove(taken)
        hole = following


def _bend(before: Step, hole: Hole, ends: tuple[Hole, Hole]) -> int:
    """Return 0 for straight on, 1 for a turn, 2 for back where the trail comes from."""
    following = ends[1] if ends[0] == hole else ends[0]
    if following == before[1]:
        return 2
    dx, dy = hole[0] - before[1][0], hole[1] - before[1][1]
    right, down = following[0] - hole[0], following[1] - hole[1]
    return int(dx * down != dy * right or dx * right + dy * down < 0)


def _spliced(trails: list[list[Step]]) -> list[list[Step]]:
    """Return the trails with each closed one put into another that passes it."""
    kept = [trail for trail in trails if trail[0][1] != trail[-1][2]]
    closed = [trail for trail in trails if trail[0][1] == trail[-1][2]]
    while closed:
        passed = [i for i, trail in enumerate(closed) if any(_meeting(other, trail) for other in kept)]
        if not passed:
            kept.append(closed.pop(0))
            continue
        loop = closed.pop(passed[0])
        host = next(i for i, other in enumerate(kept) if _meeting(other, loop))
        place, turn = _meeting(kept[host], loop) or (0, 0)
        kept[host] = [*kept[host][:place], *loop[turn:], *loop[:turn], *kept[host][place:]]
    return kept


def _meeting(trail: list[Step], loop: list[Step]) -> tuple[int, int] | None:
    """Return before which step of the trail the loop can be gone round, and its step to begin with."""
    first_at: dict[Hole, int] = {}
    for turn, (_, near, _) in enumerate(loop):
        first_at.setdefault(near, turn)
    for place, (_, near, _) in enumerate(trail):
        if near in first_at:
            return place, first_at[near]
    return (len(trail), first_at[trail[-1][2]]) if trail[-1][2] in first_at else None

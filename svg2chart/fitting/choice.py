"""The best of two values for each of many variables that pull on each other, found exactly.

The cost is a sum of costs of single variables and of pairs, where a pair never gains by being
unlike in both ways (it is submodular). Then the least cost is the least cut that parts source from sink in a
network. Source: Kolmogorov and Zabih, What Energy Functions can be Minimized via Graph Cuts?, 2004 (the
construction); Dinic, 1970 (the flow).
"""

from collections import deque
from collections.abc import Iterator, Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Pull:
    """What a pair costs if both are low, the second alone is high, the first alone, both."""

    first: int
    second: int
    low: int
    second_high: int
    first_high: int
    high: int

    def cost(self, first: int, second: int) -> int:
        """Return what it costs where each is 0 (low) or 1 (high)."""
        return ((self.low, self.second_high), (self.first_high, self.high))[first][second]


def choose(costs: Sequence[tuple[int, int]], pulls: Sequence[Pull]) -> list[int | None]:
    """Return for each variable 0 (low) or 1 (high) at the least cost, None where both are as good.

    Args:
        costs: what each variable costs when low and when high.
        pulls: what pairs cost.
    """
    network = _Network(len(costs))
    rise = [high - low for low, high in costs]
    for pull in pulls:
        rise[pull.first] += pull.first_high - pull.low
        rise[pull.second] += pull.high - pull.first_high
        # paid where the first is low and the second high
        network.join(pull.second, pull.first, pull.second_high + pull.first_high - pull.low - pull.high)
    for index, cost in enumerate(rise):
        # the source side is high: what being high costs is cut off on the way to the sink
        if cost < 0:
            network.join(network.source, index, -cost)
        else:
            network.join(index, network.sink, cost)
    network.fill()
    surely_high, surely_low = network.from_source(), network.to_sink()
    return [1 if index in surely_high else 0 if index in surely_low else None for index in range(len(costs))]


class _Network:
    """Pipes between variables, a source and a sink, and what still fits through each of them."""

    def __init__(self, count: int) -> None:
        self.source, self.sink = count, count + 1
        self.room: list[dict[int, int]] = [{} for _ in range(count + 2)]

    def join(self, start: int, end: int, width: int) -> None:
        self.room[start][end] = self.room[start].get(end, 0) + width
        self.room[end].setdefault(start, 0)

    def fill(self) -> None:
        """Let flow as much as can."""
        while self.sink in (depth := self._depths()):
            untried = [iter(tuple(pipes)) for pipes in self.room]
            while path := self._path(depth, untried):
                most = min(self.room[start][end] for start, end in path)
                for start, end in path:
                    self.room[start][end] -= most
                    self.room[end][start] += most

    def _depths(self) -> dict[int, int]:
        depth = {self.source: 0}
        waiting = deque([self.source])
        while waiting:
            at = waiting.popleft()
            for end, width in self.room[at].items():
                if width > 0 and end not in depth:
                    depth[end] = depth[at] + 1
                    waiting.append(end)
        return depth

    def _path(self, depth: dict[int, int], untried: list[Iterator[int]]) -> list[tuple[int, int]]:
        """Return pipes from source to sink, each a step deeper; none if there are no more."""
        path: list[tuple[int, int]] = []
        at = self.source
        while at != self.sink:
            for end in untried[at]:
                if self.room[at][end] > 0 and depth.get(end, -1) == depth[at] + 1:
                    path.append((at, end))
                    at = end
                    break
            else:
                if not path:
                    return []
                at, _ = path.pop()  # a dead end: its pipe has been tried
        return path

    def from_source(self) -> set[int]:
        return set(self._depths())

    def to_sink(self) -> set[int]:
        """Return from where there is still a way to the sink."""
        found = {self.sink}
        waiting = deque([self.sink])
        while waiting:
            at = waiting.popleft()
            for start in self.room[at]:
                if start not in found and self.room[start].get(at, 0) > 0:
                    found.add(start)
                    waiting.append(start)
        return found

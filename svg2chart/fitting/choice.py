"""The best of two values for each of many variables that pull on each other, found exactly.

The cost is a sum of costs of single variables and of pairs, where a pair never gains by being
unlike in both ways (it is submodular). Then the least cost is the least cut that parts source from sink in a
network, which is as much as can flow through it. Where a few pairs change, the flow that is there is kept as
far as it still fits, and only the rest is found anew. Sources: Kolmogorov and Zabih, What Energy Functions
can be Minimized via Graph Cuts?, 2004 (the construction); Dinic, 1970 (the flow); Kohli and Torr, Efficiently
Solving Dynamic Markov Random Fields Using Graph Cuts, 2005 (the change).
"""

from collections.abc import Mapping, Sequence
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

    @property
    def width(self) -> int:
        """What is paid where the first is low and the second high, beside what each costs by itself."""
        return self.second_high + self.first_high - self.low - self.high

    @property
    def first_rise(self) -> int:
        """How much more the first costs by itself when high."""
        return self.first_high - self.low

    @property
    def second_rise(self) -> int:
        """How much more the second costs by itself when high."""
        return self.high - self.first_high


class Choice:
    """The values at the least cost. Nobody changes one: `changed` gives another.

    cost: the least.
    """

    def __init__(self, costs: Sequence[tuple[int, int]], pulls: Sequence[Pull]) -> None:
        """Find the best values.

        Args:
            costs: what each variable costs when low and when high.
            pulls: what pairs cost.
        """
        count = len(costs)
        self._pulls = list(pulls)
        # pipes come in twos, one back; of each pipe: its end, and what still fits
        self._pipes: list[list[int]] = [[] for _ in range(count)]
        self._end: list[int] = []
        self._room: list[int] = []
        # and what fits from the source to each variable, and on to the sink
        self._from_source, self._to_sink = [0] * count, [0] * count
        self.cost = sum(low for low, _ in costs) + sum(pull.low for pull in pulls)
        for index, (low, high) in enumerate(costs):
            self._rise(index, high - low)
        for pull in pulls:
            number = len(self._end)
            self._pipes[pull.second].append(number)
            self._pipes[pull.first].append(number + 1)
            self._end += [pull.first, pull.second]
            self._room += [pull.width, 0]
            self._rise(pull.first, pull.first_rise)
            self._rise(pull.second, pull.second_rise)
        self._fill()

    def changed(self, pulls: Mapping[int, Pull]) -> "Choice":
        """Return the best values with some pulls, by number, replaced by others between the same two."""
        other = Choice.__new__(Choice)
        other._pulls, other._pipes, other._end = self._pulls.copy(), self._pipes, self._end
        other._room, other.cost = self._room.copy(), self.cost
        other._from_source, other._to_sink = self._from_source.copy(), self._to_sink.copy()
        for number, pull in pulls.items():
            before, other._pulls[number] = other._pulls[number], pull
            other.cost += pull.low - before.low
            # one after the other: all that can flow anew flows through what has just changed
            for index, rise in (
                (pull.first, pull.first_rise - before.first_rise),
                (pull.second, pull.second_rise - before.second_rise),
            ):
                if rise:
                    other._rise(index, rise)
                    other._flow_through(index)
            if pull.width != before.width:
                other._widen(number, pull.width - before.width)
        return other

    def values(self) -> list[int | None]:
        """Return for each variable 0 (low) or 1 (high) at the least cost, None where both are as good."""
        high, low = self._after_source(), self._distances()
        return [1 if is_high else 0 if far >= 0 else None for is_high, far in zip(high, low, strict=True)]

    def _rise(self, index: int, rise: int) -> None:
        """Let a variable cost so much more when high, or less."""
        if rise >= 0:
            self._to_sink[index] += rise
        else:
            self._from_source[index] -= rise
            self.cost += rise

    def _widen(self, number: int, more: int) -> None:
        """Let so much more flow from the second of a pair to the first, or less."""
        pipe, pull = 2 * number, self._pulls[number]
        self._room[pipe] += more
        short = -self._room[pipe]
        if short > 0:
            # what no longer fits goes on to the sink, and comes from the source, by themselves
            self._room[pipe] = 0
            self._room[pipe + 1] -= short
            self.cost -= short
            self._from_source[pull.second] += short
            self._flow_through(pull.second)
            self._to_sink[pull.first] += short
        self._flow_through(pull.first)

    def _fill(self) -> None:
        """Let flow as much as can, first straight through each variable."""
        for index in range(len(self._from_source)):
            self._pass(index, index, [])
        while True:
            far = self._distances()
            starts = [i for i, room in enumerate(self._from_source) if room and far[i] >= 0]
            if not starts:
                return
            tried = [0] * len(far)
            for start in starts:
                while self._from_source[start] and (path := self._path(start, far, tried)) is not None:
                    self._pass(start, self._end[path[-1]] if path else start, path)

    def _flow_through(self, index: int) -> None:
        """Let flow as much as can through one variable, where nothing more could before it changed."""
        while (before := self._way(index, self._from_source, self._to_sink, 1)) is not None:
            after = self._way(index, self._to_sink, self._from_source, 0)
            if after is None:
                return
            self._pass(before[0], after[0], before[1] + after[1])

    def _way(
        self, index: int, wanted: list[int], shunned: list[int], back: int
    ) -> tuple[int, list[int]] | None:
        """Return the nearest variable with something wanted and the pipes between; None if there is none.

        Not by one that is shunned: what leads on from there would lead there without this variable.

        back: 1 for pipes that lead from there, 0 for those that lead to there.
        """
        room, end = self._room, self._end
        came, waiting = {index: -1}, [index]
        for at in waiting:  # grows on the way
            if wanted[at]:
                path, here = [], at
                while here != index:
                    path.append(came[here] ^ back)
                    here = end[came[here] ^ 1]
                return at, path
            for pipe in self._pipes[at]:
                if room[pipe ^ back] and not shunned[end[pipe]] and end[pipe] not in came:
                    came[end[pipe]] = pipe
                    waiting.append(end[pipe])
        return None

    def _pass(self, start: int, last: int, path: list[int]) -> None:
        """Let as much flow as can from the source along a path to the sink."""
        amount = min([self._from_source[start], self._to_sink[last], *(self._room[pipe] for pipe in path)])
        self._from_source[start] -= amount
        self._to_sink[last] -= amount
        self.cost += amount
        for pipe in path:
            self._room[pipe] -= amount
            self._room[pipe ^ 1] += amount

    def _distances(self) -> list[int]:
        """Return how many pipes from each variable lead to one next to the sink, -1 where none do."""
        room, end = self._room, self._end
        far = [0 if going else -1 for going in self._to_sink]
        waiting = [i for i, going in enumerate(self._to_sink) if going]
        for at in waiting:  # grows on the way
            farther = far[at] + 1
            for pipe in self._pipes[at]:
                if room[pipe ^ 1] and far[end[pipe]] < 0:
                    far[end[pipe]] = farther
                    waiting.append(end[pipe])
        return far

    def _path(self, start: int, far: list[int], tried: list[int]) -> list[int] | None:
        """Return pipes from a start to next to the sink, each a step nearer; None if there are no more.

        far: as `_distances` found it. tried: how many pipes of each variable lead nowhere.
        """
        path: list[int] = []
        at = start
        while not self._to_sink[at]:
            pipes = self._pipes[at]
            while tried[at] < len(pipes):
                pipe = pipes[tried[at]]
                if self._room[pipe] and far[self._end[pipe]] == far[at] - 1:
                    path.append(pipe)
                    at = self._end[pipe]
                    break
                tried[at] += 1
            else:
                if not path:
                    return None
                at = self._end[path.pop() ^ 1]
                tried[at] += 1
        return path

    def _after_source(self) -> list[bool]:
        """Return to which variables there is still a way from the source."""
        found = [room > 0 for room in self._from_source]
        waiting = [i for i, is_found in enumerate(found) if is_found]
        for at in waiting:  # grows on the way
            for pipe in self._pipes[at]:
                if self._room[pipe] and not found[self._end[pipe]]:
                    found[self._end[pipe]] = True
                    waiting.append(self._end[pipe])
        return found

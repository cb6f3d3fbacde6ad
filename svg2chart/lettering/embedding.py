"""How deep characters are embedded or isolated, and which of them are read together.

Source: Unicode Standard Annex 9, "Unicode Bidirectional Algorithm", whose rules are named here.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby
from operator import attrgetter
from typing import NamedTuple

_DEEPEST = 125  # rule BD2
_EMBEDDING = ("LRE", "RLE", "LRO", "RLO")
_ISOLATING = ("LRI", "RLI", "FSI")
_REMOVED = (*_EMBEDDING, "PDF", "BN")  # rule X9


@dataclass(frozen=True, slots=True)
class Embedded:
    """A character: its place in the text, its level, its class as an override around it has it."""

    index: int
    level: int
    kind: str


@dataclass(frozen=True, slots=True)
class Stretch:
    """Characters of one level that are read as neighbours; before, after: directions around them, "L" or "R".

    They are what rule BD13 calls an isolating run sequence: what is isolated within them is left out.
    """

    characters: tuple[Embedded, ...]
    before: str
    after: str


class _Status(NamedTuple):
    """What holds for characters: a level, the class that they get, "" for their own."""

    level: int
    override: str = ""
    is_isolated: bool = False


def first_is_leftward(kinds: Iterable[str]) -> bool:
    """Return whether the first class with a direction is that of letters read from the right.

    Those of isolated letters do not count. Source: rules P2 and P3.

    >>> first_is_leftward(["RLI", "R", "PDI", "EN", "L", "R"])
    False
    """
    depth = 0
    for kind in kinds:
        if kind in _ISOLATING:
            depth += 1
        elif kind == "PDI":
            depth = max(depth - 1, 0)  # one too many closes nothing, rule BD9
        elif depth == 0 and kind in ("L", "R", "AL"):
            return kind != "L"
    return False


def embedded(kinds: Sequence[str], *, base: int) -> list[Embedded]:
    """Return the characters of a paragraph, by their classes, but for those that rule X9 removes.

    Source: rules X1 to X9. Those that isolate others are neutral, of class "ON".
    """
    found: list[Embedded] = []
    statuses = _Statuses(base)
    for index, kind in enumerate(kinds):
        if kind == "PDI":
            statuses.end_isolate()
        status = _Status(base) if kind == "B" else statuses.last  # rule X8
        if kind not in _REMOVED:
            own = "ON" if kind in (*_ISOLATING, "PDI") else kind
            found.append(Embedded(index, status.level, status.override or own))
        if kind in _EMBEDDING:
            statuses.begin(kind, is_isolated=False)
        elif kind in _ISOLATING:
            statuses.begin(_isolate(kinds, index, statuses), is_isolated=True)
        elif kind == "PDF":
            statuses.end_embedding()
    return found


def _isolate(kinds: Sequence[str], index: int, statuses: "_Statuses") -> str:
    """Return the class of what begins an isolate, by the letters in it where those decide: rule X5c."""
    if kinds[index] != "FSI" or statuses.is_too_deep:
        return kinds[index]
    return ("LRI", "RLI")[first_is_leftward(_isolated(kinds, index + 1))]


def _isolated(kinds: Sequence[str], begin: int) -> Iterator[str]:
    """Yield the classes from a place to the end of what an isolate before it began. Source: rule BD9."""
    depth = 1
    for index in range(begin, len(kinds)):
        depth += (kinds[index] in _ISOLATING) - (kinds[index] == "PDI")
        if depth == 0:
            return
        yield kinds[index]


class _Statuses:
    """The stack of rule X1, with what was begun too deep and is counted alone."""

    def __init__(self, base: int) -> None:
        self.held = [_Status(base)]
        self.isolates_too_deep = self.embeddings_too_deep = 0

    @property
    def last(self) -> _Status:
        return self.held[-1]

    @property
    def is_too_deep(self) -> bool:
        """Whether nothing more can be begun."""
        return bool(self.isolates_too_deep or self.embeddings_too_deep)

    def begin(self, kind: str, *, is_isolated: bool) -> None:
        """Begin an embedding, an override or an isolate: rules X2 to X5c."""
        level = self.last.level + (2 if self.last.level % 2 == (kind[0] == "R") else 1)
        if level <= _DEEPEST and not self.is_too_deep:
            self.held.append(_Status(level, kind[0] if kind[2] == "O" else "", is_isolated))
        elif is_isolated:
            self.isolates_too_deep += 1
        elif not self.isolates_too_deep:
            self.embeddings_too_deep += 1

    def end_isolate(self) -> None:
        """End an isolate with all that was begun within it: rule X6a."""
        if self.isolates_too_deep:
            self.isolates_too_deep -= 1
        elif any(status.is_isolated for status in self.held):
            self.embeddings_too_deep = 0
            while not self.held.pop().is_isolated:
                pass

    def end_embedding(self) -> None:
        """End an embedding or an override, but none outside of an isolate: rule X7."""
        if self.isolates_too_deep:
            return
        if self.embeddings_too_deep:
            self.embeddings_too_deep -= 1
        elif len(self.held) > 1 and not self.last.is_isolated:
            self.held.pop()


def stretches(characters: Sequence[Embedded], kinds: Sequence[str], *, base: int) -> list[Stretch]:
    """Return what of a paragraph is read together. Source: rules BD13 and X10.

    Args:
        characters: as `embedded` returns them.
        kinds: the classes of the whole paragraph, as they are without overrides.
        base: the level of the paragraph.
    """
    places = {character.index: place for place, character in enumerate(characters)}
    done: list[list[Embedded]] = []
    interrupted: list[list[Embedded]] = []
    for _, level_run in groupby(characters, key=attrgetter("level")):
        run = list(level_run)
        is_going_on = kinds[run[0].index] == "PDI" and bool(interrupted)
        held = interrupted.pop() if is_going_on else []
        held += run
        (interrupted if kinds[run[-1].index] in _ISOLATING else done).append(held)

    def side(level: int, beside: int) -> str:
        return "LR"[max(level, characters[beside].level if 0 <= beside < len(characters) else base) % 2]

    found = []
    for held in (*done, *interrupted):
        first, last = held[0], held[-1]
        is_open = kinds[last.index] in _ISOLATING
        beside = len(characters) if is_open else places[last.index] + 1
        before, after = side(first.level, places[first.index] - 1), side(last.level, beside)
        found.append(Stretch(tuple(held), before, after))
    return found

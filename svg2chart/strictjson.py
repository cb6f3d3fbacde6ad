"""JSON that may come from anywhere: read strictly, taken apart with the place of every fault named."""

import json
import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum
from typing import NoReturn, TypeVar

from svg2chart.errors import ChartFileError

LONGEST_NUMBER = 25  # characters; every number of ours is far shorter

_MAYBE_LONG = re.compile(rf"\d{{{LONGEST_NUMBER}}}")
"""Where this is nowhere in a text, no whole number in it is too long."""

_HALF_A_PAIR = re.compile("[\ud800-\udfff]")

Choice = TypeVar("Choice", bound=Enum)


@dataclass(frozen=True, slots=True)
class Node:
    """A JSON value and its place in the file, such as `rows[12]`; "" is the whole file.

    Every method returns the value as what it should be, or raises ChartFileError that names the place.
    """

    value: object
    place: str = ""

    def fail(self, what: str) -> NoReturn:
        """Raise ChartFileError: `what` is wrong here."""
        raise ChartFileError(f"{self.place}: {what}" if self.place else what)

    def members(self, *, required: tuple[str, ...], optional: tuple[str, ...] = ()) -> dict[str, "Node"]:
        """Return the members of an object that has all of the required names and no unknown one."""
        if not isinstance(self.value, dict):
            self.fail(f"an object is expected here, not {_kind(self.value)}")
        for name in required:
            if name not in self.value:
                self.fail(f'"{name}" is missing')
        for name in self.value:
            if name not in required and name not in optional:
                self.fail(f'"{name}" is not known here')
        return {name: self._at(f".{name}" if self.place else name, name) for name in self.value}

    def named_values(self) -> Iterator[tuple[str, "Node"]]:
        """Yield the members of an object with any names, in the order of the file."""
        if not isinstance(self.value, dict):
            self.fail(f"an object is expected here, not {_kind(self.value)}")
        for name in self.value:
            Node(name, self.place).text()
            yield name, self._at(f".{name}", name)

    def items(self) -> list["Node"]:
        """Return the items of a list."""
        if not isinstance(self.value, list):
            self.fail(f"a list is expected here, not {_kind(self.value)}")
        return [Node(item, f"{self.place}[{index}]") for index, item in enumerate(self.value)]

    def pair(self) -> tuple["Node", "Node"]:
        """Return the two items of a list of two."""
        items = self.items()
        if len(items) != 2:
            self.fail(f"a list of two is expected here, not of {len(items)}")
        return items[0], items[1]

    def text(self) -> str:
        """Return a string that UTF-8 can hold."""
        if not isinstance(self.value, str):
            self.fail(f"a text is expected here, not {_kind(self.value)}")
        if not self.value.isascii() and _HALF_A_PAIR.search(self.value):
            self.fail("half a surrogate pair is not a character")
        return self.value

    def whole(self, low: int, high: int) -> int:
        """Return a whole number from `low` to `high`, both allowed."""
        if not isinstance(self.value, int) or isinstance(self.value, bool):
            self.fail(f"a whole number is expected here, not {_kind(self.value)}")
        if not low <= self.value <= high:
            self.fail(f"a whole number from {low} to {high} is expected here, not {self.value}")
        return self.value

    def half(self) -> float:
        """Return a number that is a whole number of halves."""
        if not isinstance(self.value, int | float) or isinstance(self.value, bool):
            self.fail(f"a number is expected here, not {_kind(self.value)}")
        if self.value * 2 % 1:
            self.fail(f"a whole or a half is expected here, not {self.value}")
        return float(self.value)

    def scalar(self) -> str | int | float | bool:
        """Return a text, a number, true or false."""
        if isinstance(self.value, str):
            return self.text()
        if not isinstance(self.value, bool | int | float):
            self.fail(f"a text, a number, true or false is expected here, not {_kind(self.value)}")
        return self.value

    def choice(self, choices: type[Choice]) -> Choice:
        """Return the member of an enum whose value this is."""
        text = self.text()
        try:
            return choices(text)
        except ValueError:
            names = ", ".join(f'"{choice.value}"' for choice in choices)
            self.fail(f"one of {names} is expected here, not {json.dumps(text[:40])}")

    def _at(self, step: str, key: str) -> "Node":
        assert isinstance(self.value, dict)
        return Node(self.value[key], self.place + step)


def parse_json(data: bytes) -> Node:
    """Return the value that the bytes hold.

    Stricter than JSON asks for: UTF-8 only, no name twice in one object, no
    numbers that are not finite or longer than `LONGEST_NUMBER` characters.
    Raises ChartFileError.
    """
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as error:
        raise ChartFileError(f"no chart file, or a damaged one: not UTF-8 at byte {error.start}") from error
    try:
        return Node(
            json.loads(
                text,
                object_pairs_hook=_members_once,
                parse_int=_whole if _MAYBE_LONG.search(text) else int,  # the second is many times faster
                parse_float=_finite,
                parse_constant=_refuse_constant,
            )
        )
    except json.JSONDecodeError as error:
        what = f"not JSON: line {error.lineno}, column {error.colno}: {error.msg}"
        raise ChartFileError(what) from error
    except RecursionError as error:
        raise ChartFileError("lists or objects are nested too deeply") from error


def _members_once(members: list[tuple[str, object]]) -> dict[str, object]:
    result = dict(members)
    if len(result) < len(members):
        times = Counter(name for name, _ in members)
        twice = next(name for name, count in times.items() if count > 1)
        raise ChartFileError(f"{json.dumps(twice[:40])} stands twice in one object")
    return result


def _whole(digits: str) -> int:
    _check_length(digits)
    return int(digits)


def _finite(digits: str) -> float:
    _check_length(digits)
    number = float(digits)
    if number in (float("inf"), float("-inf")):
        raise ChartFileError(f"the number {digits} is too large")
    return number


def _check_length(digits: str) -> None:
    if len(digits) > LONGEST_NUMBER:
        raise ChartFileError(f"the number {digits[:8]}... has too many digits")


def _refuse_constant(name: str) -> NoReturn:
    raise ChartFileError(f"{name} is not a number")


def _kind(value: object) -> str:
    """Say what a JSON value is."""
    if value is None:
        return "null"
    if isinstance(value, bool):
        return "true" if value else "false"
    kinds = {dict: "an object", list: "a list", str: "a text", int: "the number", float: "the number"}
    kind = kinds[type(value)]
    return f"{kind} {value}" if kind == "the number" else kind

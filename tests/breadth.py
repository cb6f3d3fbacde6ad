"""How far a run of the tests goes: through everything where CI is set, through a spread of it otherwise.

A spread leaves out no value that a law is held for, only some of those that it is held for together. Tests
that take long say by these functions what they go through; all others go through everything, always.
"""

import os
from collections.abc import Iterable
from itertools import product
from typing import Any

IS_FULL = bool(os.environ.get("CI"))

USUAL_EXAMPLES = 300 if IS_FULL else 15
"""How many examples a property is tried with that takes no longer than most."""


def crossed(*kinds: Iterable[Any], times: int = 1) -> list[tuple[Any, ...]]:
    """Return values of several kinds together: each with each, in a spread each so many times at least.

    A spread goes along all kinds at once, from the start again where one ends; each time by one more place
    off, for every kind before.
    """
    values = [list(kind) for kind in kinds]
    if IS_FULL:
        return list(product(*values))
    longest = max(map(len, values))
    return [
        tuple(kind[(index + number * turn) % len(kind)] for number, kind in enumerate(values))
        for turn in range(times)
        for index in range(longest)
    ]


def examples(number: int) -> int:
    """Return how many examples a property is tried with that takes long: so many, in a spread a quarter."""
    return number if IS_FULL else max(3, number // 4)


def shared(cases: int) -> int:
    """Return how many examples each of so many cases of a property is tried with: in a spread 30 in all."""
    return USUAL_EXAMPLES if IS_FULL else max(3, 2 * USUAL_EXAMPLES // cases)

"""Which letters run to the right and which to the left, and the order in which they are seen."""

from collections.abc import Iterator, Sequence
from itertools import groupby
from operator import itemgetter
from typing import Any

from bidi import algorithm
from fontTools import unicodedata

from svg2chart.lettering.brackets import with_brackets
from svg2chart.lettering.embedding import Stretch, embedded, first_is_leftward, stretches

_PARTING = ("B", "S")  # classes of what parts paragraphs and segments of lines
_SEEN = ("L", "R", "AL", "EN", "AN", "ES", "ET", "CS", "NSM", "ON")
"""Classes of what rule L1 leaves where it is: neither white space nor what steers the text."""


def embedding_levels(text: str, *, base: int = 0) -> list[int]:
    """Return the level of each character: even ones run right, odd ones left. `base` is the paragraph's.

    Source: Unicode Standard Annex 9, "Unicode Bidirectional Algorithm". Characters that only
    steer it get the level of the one before, at the end of a line that of the paragraph.
    """
    levels: list[int] = []
    for paragraph in _paragraphs(text):
        levels += _levels(paragraph, base)
    return levels


def starts_leftward(text: str) -> bool:
    """Return whether the first letter with a direction of its own is read from the right.

    Source: Unicode Standard Annex 9, rules P2 and P3.

    >>> starts_leftward("24 אבג boats"), starts_leftward("boats אבג")
    (True, False)
    """
    return first_is_leftward(_kinds(text))


def visual_order(levels: Sequence[int]) -> list[int]:
    """Return the indices of neighbouring stretches from left to right. Source: UAX 9, rule L2.

    >>> visual_order([0, 1, 2, 1, 0])
    [0, 3, 2, 1, 4]
    """
    order = list(range(len(levels)))
    for level in range(max(levels, default=0), 0, -1):
        deep = [(levels[index] >= level, index) for index in order]
        order = []
        for is_deep, stretch in groupby(deep, key=itemgetter(0)):
            indices = [index for _, index in stretch]
            order += reversed(indices) if is_deep else indices
    return order


def _kinds(text: str) -> list[str]:
    """Return the classes of characters; those that Unicode has not assigned run to the right."""
    return [unicodedata.bidirectional(character) or "L" for character in text]


def _paragraphs(text: str) -> Iterator[str]:
    """Yield the paragraphs of a text, each with what ends it. Source: rule P1."""
    start = 0
    for index, kind in enumerate(_kinds(text)):
        if kind == "B":
            yield text[start : index + 1]
            start = index + 1
    if start < len(text):
        yield text[start:]


def _levels(text: str, base: int) -> list[int]:
    """Return the levels of a paragraph."""
    kinds = _kinds(text)
    resolved: dict[int, int] = {}
    for stretch in stretches(embedded(kinds, base=base), kinds, base=base):
        resolved.update(_resolved(text, kinds, stretch))
    levels: list[int] = []
    for index in range(len(text)):
        levels.append(resolved.get(index, levels[-1] if levels else base))
    is_at_end = True  # rule L1
    for index in range(len(text) - 1, -1, -1):
        is_parting = kinds[index] in _PARTING
        is_at_end = is_parting or (is_at_end and kinds[index] not in _SEEN)
        if is_at_end:
            levels[index] = base
    return levels


def _resolved(text: str, kinds: Sequence[str], stretch: Stretch) -> dict[int, int]:
    """Return the levels that characters of a stretch end at, by their index. Source: rules W1 to I2."""
    characters: list[dict[str, Any]] = [  # as the library keeps them
        {"ch": text[one.index], "level": one.level, "type": one.kind, "orig": kinds[one.index]}
        for one in stretch.characters
    ]
    whole = {"sor": stretch.before, "eor": stretch.after, "start": 0, "length": len(characters)}
    storage = {"chars": characters, "runs": [whole]}
    algorithm.resolve_weak_types(storage)
    types = with_brackets(
        "".join(one["ch"] for one in characters),
        [one["type"] for one in characters],
        marks=[one["orig"] == "NSM" for one in characters],
        embedding="LR"[stretch.characters[0].level % 2],
        before=stretch.before,
    )
    for character, kind in zip(characters, types, strict=True):
        character["type"] = kind
    algorithm.resolve_neutral_types(storage, debug=False)
    algorithm.resolve_implicit_levels(storage, debug=False)
    return {one.index: done["level"] for one, done in zip(stretch.characters, characters, strict=True)}

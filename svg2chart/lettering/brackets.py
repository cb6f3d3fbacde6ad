"""Which way brackets run among letters of both directions.

Source: Unicode Standard Annex 9, rules BD14 to BD16 and N0, which are younger than the library for the rest
of that annex.
"""

from collections.abc import Sequence

from bidi.mirror import MIRRORED
from fontTools import unicodedata

_MOST_OPEN = 63  # rule BD16
_SAME = {"\u2329": "\u3008", "\u232a": "\u3009"}  # rule BD16: brackets that are canonically the same
_OTHER = {"L": "R", "R": "L"}


def with_brackets(
    text: str, types: Sequence[str], *, marks: Sequence[bool], embedding: str, before: str
) -> list[str]:
    """Return the bidirectional types of a level run after rule N0.

    A pair of brackets runs as the run does where anything within it does. Where all within runs the other
    way, it runs as what stands before it does. A pair with neither within is left to the rules that follow.

    Args:
        text: the characters of the run.
        types: theirs, after rules W1 to W7.
        marks: which of them are marks on the character before.
        embedding: the direction of the run, "L" or "R".
        before: the direction at the start of the run, "L" or "R".
    """
    found = list(types)
    for opening, closing in _pairs(text, types):
        inside = {_direction(one) for one in found[opening + 1 : closing]}
        if embedding in inside:
            direction = embedding
        elif _OTHER[embedding] in inside:
            earlier = (_direction(one) for one in reversed(found[:opening]))
            direction = next((one for one in earlier if one), before)
        else:
            continue
        for bracket in (opening, closing):
            found[bracket] = direction
            for index in range(bracket + 1, len(text)):
                if not marks[index]:
                    break
                found[index] = direction
    return found


def _direction(kind: str) -> str:
    """Return the direction that brackets see in a type, "" for none: numbers count as read from the right."""
    return {"L": "L", "R": "R", "AN": "R", "EN": "R"}.get(kind, "")


def _pairs(text: str, types: Sequence[str]) -> list[tuple[int, int]]:
    """Return the places of brackets that make pairs, in the order in which they open."""
    pairs: list[tuple[int, int]] = []
    opened: list[tuple[int, str]] = []  # the place, and the bracket that closes it
    for index, character in enumerate(text):
        bracket = _SAME.get(character, character)
        partner = MIRRORED.get(bracket)
        if types[index] != "ON" or partner is None:
            continue
        if unicodedata.category(bracket) == "Ps":
            if len(opened) == _MOST_OPEN:
                break
            opened.append((index, partner))
        elif unicodedata.category(bracket) == "Pe":
            place = next((at for at in range(len(opened) - 1, -1, -1) if opened[at][1] == bracket), None)
            if place is not None:
                pairs.append((opened[place][0], index))
                del opened[place:]
    return sorted(pairs)

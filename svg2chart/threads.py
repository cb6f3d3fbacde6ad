"""Colours to threads."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from svg2chart.colour import Colour, ciede2000, lab

MOST_THREADS = 60
"""No more threads than there are symbols that can be told apart."""

# lightness and chroma bounds of the plain colour words, CIELAB; our choice, no source
_GREY_CHROMA = 9.0
_HUES = (
    (20.0, "rose"),
    (48.0, "red"),
    (72.0, "orange"),
    (105.0, "yellow"),
    (165.0, "green"),
    (215.0, "turquoise"),
    (310.0, "blue"),
    (335.0, "purple"),
    (360.0, "rose"),
)
_SHADES = ((22.0, "very dark"), (40.0, "dark"), (68.0, ""), (86.0, "light"), (101.0, "pale"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Skein:
    """A thread of a card: the maker's code and name, and its colour."""

    code: str
    name: str
    colour: Colour


@dataclass(frozen=True, slots=True, kw_only=True)
class Chosen:
    """The threads for some colours: the skeins and, for each colour, the index of its skein.

    merged: how many colours had to share the thread of another because there were too many.
    """

    skeins: tuple[Skein, ...]
    of_colour: tuple[int, ...]
    merged: int


def choose_threads(colours: Sequence[Colour], amounts: Sequence[float], *, card: Sequence[Skein]) -> Chosen:
    """Return the threads for the colours, the one that covers most first.

    Args:
        colours: as they look on the cloth.
        amounts: how much each covers, in squares.
        card: threads to choose from by the least CIEDE2000 difference; where empty, each
            distinct 8-bit colour is a thread of its own, named in plain words.
    """
    if card:
        apart = ciede2000(lab(list(colours))[:, None], lab([skein.colour for skein in card])[None])
        keys = [int(index) for index in apart.argmin(axis=1)]
        looks = {key: card[key].colour for key in keys}
    else:
        keys = [int(colour.hex[1:], 16) for colour in colours]
        looks = {key: Colour.from_hex(f"#{key:06x}") for key in keys}
    totals: dict[int, float] = dict.fromkeys(looks, 0.0)
    for key, amount in zip(keys, amounts, strict=True):
        totals[key] += amount
    # amounts are compared as they would be printed, so that rounding decides no order
    ranked = sorted(totals, key=lambda key: (-round(totals[key], 6), key))
    kept, goes_to = _merge(ranked, looks, totals)
    skeins = [card[key] for key in kept] if card else _named([looks[key] for key in kept])
    return Chosen(
        skeins=tuple(skeins),
        of_colour=tuple(kept.index(goes_to[key]) for key in keys),
        merged=len(ranked) - len(kept),
    )


def _merge(
    ranked: list[int], looks: dict[int, Colour], totals: dict[int, float]
) -> tuple[list[int], dict[int, int]]:
    """Return at most MOST_THREADS keys and where each key goes: always the nearest pair first."""
    goes_to = {key: key for key in ranked}
    kept = list(ranked)
    if len(kept) <= MOST_THREADS:
        return kept, goes_to
    coordinates = lab([looks[key] for key in kept])
    apart = ciede2000(coordinates[:, None], coordinates[None])
    weights = np.array([totals[key] for key in kept])
    # joining costs the lesser amount times the difference
    cost = apart * np.minimum(weights[:, None], weights[None])
    np.fill_diagonal(cost, np.inf)
    while len(kept) - int(np.isinf(cost).all(axis=1).sum()) > MOST_THREADS:
        one, other = sorted(int(i) for i in np.unravel_index(cost.argmin(), cost.shape))
        cost[other, :] = cost[:, other] = np.inf
        for key, target in goes_to.items():
            if target == kept[other]:
                goes_to[key] = kept[one]
    left = [key for key in kept if goes_to[key] == key]
    return left, goes_to


def _named(colours: list[Colour]) -> list[Skein]:
    """Return a thread for each colour, with a number for a code and a plain name, each name once."""
    coordinates = lab(colours) if colours else np.zeros((0, 3))
    names: list[str] = []
    for row in coordinates:
        plain = colour_name(row)
        same = [name for name in names if name == plain or name.startswith(f"{plain} ")]
        again = sum(name == plain or name.removeprefix(f"{plain} ").isdigit() for name in same)
        names.append(f"{plain} {again + 1}" if again else plain)
    numbered = zip(names, colours, strict=True)
    return [
        Skein(code=str(number), name=name, colour=colour)
        for number, (name, colour) in enumerate(numbered, start=1)
    ]


def colour_name(coordinates: NDArray[np.float64]) -> str:
    """Return a plain name for a CIELAB colour.

    >>> colour_name(lab([Colour.from_hex("#800000")])[0])
    'dark red'
    """
    lightness, a, b = (float(value) for value in coordinates)
    if np.hypot(a, b) < _GREY_CHROMA:
        bounds = (
            (15.0, "black"),
            (35.0, "dark grey"),
            (65.0, "grey"),
            (92.0, "light grey"),
            (101.0, "white"),
        )
        return next(name for bound, name in bounds if lightness < bound)
    hue = float(np.degrees(np.arctan2(b, a))) % 360.0
    word = next(name for bound, name in _HUES if hue <= bound)
    shade = next(name for bound, name in _SHADES if lightness < bound)
    if word in {"orange", "yellow"} and lightness < 55.0:
        word = "brown"
    return f"{shade} {word}".strip()

"""Lines of letters read by machine, stitched ones and plain outlines, both drawn in the same way.

Both are drawn eight times finer and reduced, so that slanted edges are grey alike. Capitals are about 24
pixels high, a square being whole pixels: the network of tesseract takes a line scaled to 36 pixels from
ascender to descender (`combine_tessdata -l eng.traineddata` prints it: 1,36,0,1), one and a half capitals in
these fonts, so letters reach it as they were drawn. Of plain outlines it misreads nothing at that size, nor
at those around it (`lettering.py --plain` prints it): what is misread in stitched letters is their own fault.
"""

import subprocess
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from PIL import Image, ImageDraw

from svg2chart.geometry.flatten import flatten_paths
from svg2chart.geometry.path import Path as Outline

READ = (
    "Sphinx of black quartz judge my vow",
    "PACK MY BOX WITH FIVE DOZEN LIQUOR JUGS",
    "The quick brown fox jumps over the lazy dog",
    "HARBOUR FESTIVAL LAMPS AND BOATS",
    "Call 2670 or 8453 before 19 May",
)
CAPITAL = 24
"""So many pixels high are capitals about."""
FINER = 8
OPTIONS = ("--psm", "6", "-c", "load_system_dawg=0", "-c", "load_freq_dawg=0")  # one block, no word lists


@dataclass(frozen=True, slots=True)
class Reading:
    """What was read of the lines: the share of characters read rightly, and what was misread as what."""

    share: float
    misread: tuple[str, ...]


def side_of(high: int) -> int:
    """Return how many pixels a square has where capitals are so many squares high."""
    return max(1, round(CAPITAL / high))


def reduced(draw: Callable[[int], Image.Image], side: int) -> Image.Image:
    """Return what `draw` draws with squares of so many pixels, drawn finer and reduced."""
    fine = draw(side * FINER).convert("L")
    return fine.resize((fine.width // FINER, fine.height // FINER), Image.Resampling.LANCZOS)


def outline_picture(outlines: list[Outline], high: int, side: int) -> Image.Image:
    """Return lines of outlines under each other, in squares from the start of their baselines."""
    step = int(1.9 * high)
    wide = int(max(path.box().right for path in outlines)) + 6
    image = Image.new("L", (wide * side, (len(outlines) * step + 2) * side), 255)
    draw = ImageDraw.Draw(image)
    for index, path in enumerate(outlines):
        base = index * step + 1 + int(1.35 * high)
        chains = sorted(flatten_paths([path], tolerance=0.01)[0].chains(), key=lambda c: -abs(_area(c[0])))
        for points, _ in chains:
            fill = 0 if _area(points) * _area(chains[0][0]) > 0 else 255
            draw.polygon([tuple((p + np.array((2, base))) * side) for p in points], fill=fill)
    return image


def _area(points: np.ndarray) -> float:
    x, y = points.T
    return float((x * np.roll(y, -1) - np.roll(x, -1) * y).sum())


def read(image: Image.Image, folder: Path) -> Reading:
    """Return what is read of a picture of the lines, spaces left out."""
    file = folder / "read.png"
    image.save(file)
    command = ["tesseract", str(file), "-", *OPTIONS]
    text = subprocess.run(command, capture_output=True, text=True, check=True).stdout
    wanted, got = "".join("".join(READ).split()), "".join(text.split())
    changes = edits(wanted, got)
    return Reading(1 - len(changes) / len(wanted), tuple(_in_runs(changes)))


def edits(one: str, other: str) -> list[tuple[int, str, str]]:
    """Return the fewest changes that make one text the other: where, what is there, what it becomes.

    Edit distance by a table; source: any text on algorithms.
    """
    costs = np.add.outer(np.arange(len(one) + 1), np.arange(len(other) + 1))
    for i, a in enumerate(one, start=1):
        for j, b in enumerate(other, start=1):
            costs[i, j] = min(costs[i - 1, j] + 1, costs[i, j - 1] + 1, costs[i - 1, j - 1] + (a != b))
    i, j, found = len(one), len(other), []
    while i or j:
        if i and j and costs[i, j] == costs[i - 1, j - 1] + (one[i - 1] != other[j - 1]):
            i, j, change = i - 1, j - 1, (i - 1, one[i - 1], other[j - 1])
        elif i and costs[i, j] == costs[i - 1, j] + 1:
            i, change = i - 1, (i - 1, one[i - 1], "")
        else:
            j, change = j - 1, (i, "", other[j - 1])
        if change[1] != change[2]:
            found.append(change)
    return found[::-1]


def _in_runs(changes: list[tuple[int, str, str]]) -> list[str]:
    """Return changes in words, those that follow each other as one."""
    found: list[tuple[int, str, str]] = []
    for at, was, became in changes:
        if found and at <= found[-1][0] + len(found[-1][1]):
            first, before, after = found[-1]
            found[-1] = (first, before + was, after + became)
        else:
            found.append((at, was, became))
    return [f"{was or 'nothing'} as {became or 'nothing'}" for _, was, became in found]

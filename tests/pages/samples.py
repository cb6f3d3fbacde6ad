"""Invented charts for the tests of the pages: patches of colour with fractions where they meet."""

import colorsys

import numpy as np
from numpy.typing import NDArray

from svg2chart.chart import (
    Arrangement,
    Backstitch,
    Chart,
    Corner,
    Fabric,
    Knot,
    Stitch,
    StitchKind,
    Thread,
)
from svg2chart.remarks import Remark, Severity
from svg2chart.symbols import LETTERS, symbols_for

CORNERS = list(Corner)


def threads(number: int) -> tuple[Thread, ...]:
    """Threads in colours all round the hue circle, light and dark in turn."""
    made = []
    for i, symbol in enumerate(symbols_for(number)):
        red, green, blue = colorsys.hsv_to_rgb(i * 0.381966 % 1, 0.35 + 0.2 * (i % 4), 0.45 + 0.18 * (i % 4))
        made.append(
            Thread(
                letter=LETTERS[i],
                code=f"H{i + 1:02}",
                name=f"Harbour {('lamp', 'rope', 'sail', 'wave', 'bunting')[i % 5]} {i + 1}",
                colour=f"#{round(red * 255):02x}{round(green * 255):02x}{round(blue * 255):02x}",
                symbol=symbol.name,
            )
        )
    return tuple(made)


def harbour(
    rows: int, columns: int, *, colours: int, seed: int = 1, lined: int = 3, remarks: int = 0, title: str = ""
) -> Chart:
    """Return patches of thread on cloth; the first `lined` threads are outlined in backstitch."""
    rng = np.random.default_rng(seed)
    labels = _labels(rng, rows, columns, colours)
    arrangements: list[Arrangement] = [()]
    squares = np.zeros((rows, columns), dtype=np.int32)
    for row in range(rows):
        for column in range(columns):
            quadrants = [labels[2 * row + d, 2 * column + r] for d, r in ((0, 0), (0, 1), (1, 1), (1, 0))]
            arrangement = _arrangement([int(label) for label in quadrants])
            if arrangement not in arrangements:
                arrangements.append(arrangement)
            squares[row, column] = arrangements.index(arrangement)
    holes = rng.integers((1, 1), (columns, rows), (4, 2)).tolist()
    return Chart(
        title=title or "Lamps over the old harbour",
        fabric=Fabric(),
        threads=threads(colours),
        arrangements=tuple(arrangements),
        squares=squares,
        backstitch=_outlines(labels, lined),
        knots=tuple(Knot(thread=i % min(2, colours), at=(x, y)) for i, (x, y) in enumerate(holes)),
        remarks=tuple(
            Remark(element="", what=f"threads {i + 1} and {i + 2} are close", severity=Severity.GUESSED)
            for i in range(remarks)
        ),
    )


def _labels(rng: np.random.Generator, rows: int, columns: int, colours: int) -> NDArray[np.int64]:
    """For each quadrant of the grid the nearest of some random points: -1 is cloth."""
    points = rng.uniform((0, 0), (rows, columns), (max(6, colours * 3), 2))
    owners = np.arange(len(points)) % (colours + 1) - 1
    y, x = np.mgrid[0 : 2 * rows, 0 : 2 * columns] / 2 + 0.25
    away = np.stack([np.abs(y - py) + np.abs(x - px) for py, px in points])
    return np.asarray(owners[away.argmin(axis=0)])


def _arrangement(quadrants: list[int]) -> Arrangement:
    for i, label in enumerate(quadrants):
        others = {quadrants[j] for j in range(4) if j != i}
        if len(others) == 1 and label not in others:
            return _cut_corner(CORNERS[i], label, others.pop())
    if len(set(quadrants)) == 4:
        return tuple(
            Stitch(kind=StitchKind.QUARTER, corner=CORNERS[i], thread=label)
            for i, label in enumerate(quadrants)
            if label >= 0
        )
    label = max(sorted(set(quadrants)), key=quadrants.count)
    return (Stitch(kind=StitchKind.FULL, thread=label),) if label >= 0 else ()


def _cut_corner(corner: Corner, label: int, rest: int) -> Arrangement:
    stitches = []
    if rest >= 0:
        stitches.append(Stitch(kind=StitchKind.THREE_QUARTER, corner=corner.opposite, thread=rest))
    if label >= 0:
        stitches.append(Stitch(kind=StitchKind.QUARTER, corner=corner, thread=label))
    return tuple(stitches)


def _outlines(labels: NDArray[np.int64], lined: int) -> tuple[Backstitch, ...]:
    """Backstitch along the upper edges of the patches of the first threads."""
    whole = labels[::2, ::2]
    lines = []
    for row in range(1, whole.shape[0]):
        for column in range(whole.shape[1]):
            thread = int(whole[row, column])
            if 0 <= thread < lined and whole[row - 1, column] != thread:
                lines.append(Backstitch(thread=thread, start=(column, row), end=(column + 1, row)))
    return tuple(lines)

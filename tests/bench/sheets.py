"""Draws sheets of edges, bars, discs and corners as stitched, and prints what is wrong with each.

python tests/bench/sheets.py FOLDER     edges.png, bars.png, discs.png, corners.png go there
"""

import argparse
import sys
from collections import Counter
from pathlib import Path as FilePath

import numpy as np
from PIL import Image

sys.path.insert(0, str(FilePath(__file__).parents[2]))

from svg2chart.artwork import Artwork
from svg2chart.chart import Chart
from svg2chart.errors import GridError
from tests.bench.stitched import RIM, Outline, outlines, picture, sheet, shown_by
from tests.drawings import RED, chart_of, drawing, shape

SIDE = 24
SLOPES = ((0, 1), (1, 4), (1, 3), (1, 2), (1, 1), (2, 1), (3, 1), (4, 1), (1, 0))
"""Rise and run; the last is upright."""
OFFSETS = [k / 8 for k in range(8)]
WIDTHS = [round(0.5 + k / 10, 1) for k in range(12)]
FARTHEST = 0.75


def along(rise: int, run: int) -> tuple[np.ndarray, np.ndarray]:
    """Return the unit vectors along a line and across it, to the right of it."""
    direction = np.array([run, rise], float) / np.hypot(run, rise)
    return direction, np.array([-direction[1], direction[0]])


def start_of(rise: int, run: int, offset: float) -> np.ndarray:
    """Return a point of the line through the middle of the page, shifted along the axis it is steep to."""
    middle = np.array([SIDE / 2, SIDE / 2])
    return middle + (np.array([0.0, offset]) if rise <= run else np.array([offset, 0.0]))


def half_plane(rise: int, run: int, offset: float) -> np.ndarray:
    direction, across = along(rise, run)
    at = start_of(rise, run, offset)
    return np.array(
        [
            at - 60 * direction,
            at + 60 * direction,
            at + 60 * direction + 60 * across,
            at - 60 * direction + 60 * across,
        ]
    )


def bar(rise: int, run: int, offset: float, width: float, *, length: float = 16.0) -> np.ndarray:
    direction, across = along(rise, run)
    at = start_of(rise, run, offset)
    one, other = at - length / 2 * direction, at + length / 2 * direction
    side = across * width / 2
    return np.array([one - side, other - side, other + side, one + side])


def worked(artwork: Artwork) -> tuple[Chart | None, np.ndarray]:
    try:
        chart = chart_of(artwork)
    except GridError:
        return None, np.full((SIDE, SIDE, 8), -1)
    return chart, shown_by(chart)


def is_periodic(shown: np.ndarray, rise: int, run: int, *, rim: int) -> bool:
    """Return whether the chart is the same one period on, away from the border."""
    inner = shown[rim:-rim, rim:-rim]
    high, wide = inner.shape[:2]
    return bool((inner[: high - rise, : wide - run] == inner[rise:, run:]).all())


def farthest(found: list[Outline], rise: int, run: int, offset: float, *, rim: float) -> float:
    """Return how far the outline goes from the line, away from the page's border, in squares."""
    _, across = along(rise, run)
    at = start_of(rise, run, offset)
    far = 0.0
    for outline in found:
        points = np.array(outline.points) / 2
        inner = ((points > rim) & (points < SIDE - rim)).all(axis=1)
        if inner.any():
            far = max(far, float(np.abs((points[inner] - at) @ across).max()))
    return far


def inner_saws(found: list[Outline], rim: float) -> int:
    return sum(
        rim < x / 2 < SIDE - rim and rim < y / 2 < SIDE - rim for outline in found for x, y in outline.saws()
    )


def pieces(inside: np.ndarray) -> int:
    """Return the number of pieces of what shows; pieces may touch at corners."""
    return len(_labels(inside))


def _labels(inside: np.ndarray) -> list[set]:
    groups: list[set] = []
    for row, column, octant in zip(*np.nonzero(inside), strict=True):
        own = {(2 * column + x, 2 * row + y) for x, y in (RIM[octant], RIM[(octant + 1) % 8], (1, 1))}
        touching = [g for g in groups if g & own]
        merged = own.union(*touching)
        groups = [g for g in groups if not any(g is t for t in touching)] + [merged]
    return groups


def edges() -> Image.Image:
    images, faults = [], Counter()
    for rise, run in SLOPES:
        for offset in OFFSETS:
            polygon = half_plane(rise, run, offset)
            _, shown = worked(drawing(shape(RED, polygon), wide=SIDE, high=SIDE))
            found = outlines(shown >= 0)
            periodic = is_periodic(shown, rise, run, rim=4)
            far, saws = farthest(found, rise, run, offset, rim=4), inner_saws(found, 4)
            if not periodic or far > FARTHEST + 1e-9 or saws:
                faults["edges"] += 1
                print(
                    f"edge {rise}/{run} offset {offset}: periodic {periodic}, farthest {far:.2f}, saws {saws}"
                )
            images.append(
                picture(
                    shown,
                    [RED],
                    pixels=8,
                    art=[np.clip(polygon, -5, SIDE + 5)] if run * rise == 0 else [polygon],
                )
            )
    print(f"edges: {len(images) - faults['edges']} of {len(images)} right")
    return sheet(images, across=len(OFFSETS))


def bars() -> Image.Image:
    images, wrong = [], 0
    for rise, run in SLOPES:
        for offset in OFFSETS:
            for width in WIDTHS:
                polygon = bar(rise, run, offset, width)
                _, shown = worked(drawing(shape(RED, polygon), wide=SIDE, high=SIDE))
                inside = shown >= 0
                count = pieces(inside)
                rim = 7
                periodic = is_periodic(shown, rise, run, rim=rim)
                lone = lone_quarters(inside)
                if count != 1 or not periodic or lone:
                    wrong += 1
                    print(
                        f"bar {rise}/{run} offset {offset} width {width}: pieces {count},"
                        f" periodic {periodic}, quarters {lone}"
                    )
                images.append(picture(shown[3:-3, 3:-3], [RED], pixels=5, art=[polygon - 3]))
    print(f"bars: {len(images) - wrong} of {len(images)} right")
    return sheet(images, across=len(WIDTHS) * 2)


def lone_quarters(inside: np.ndarray) -> int:
    """Return the number of squares, away from the bar's ends, of which only quarters show."""
    counts = inside[7:-7, 7:-7].sum(axis=2)
    return int(((counts > 0) & (counts < 4)).sum())


def discs() -> Image.Image:
    images, wrong, total = [], 0, 0
    turn = np.arange(256) * (2 * np.pi / 256)
    for name, x, y in (("hole", 0.0, 0.0), ("side", 0.5, 0.0), ("centre", 0.5, 0.5)):
        for radius in range(1, 21):
            side = 2 * radius + 6
            at = np.array([radius + 3 + x, radius + 3 + y])
            polygon = at + radius * np.stack([np.cos(turn), np.sin(turn)], axis=1)
            chart = chart_of(drawing(shape(RED, polygon), wide=side, high=side))
            inside = shown_by(chart) >= 0
            uneven = _unevenness(inside, at)
            saws = sum(len(o.saws()) for o in outlines(inside))
            total += 1
            if uneven or saws:
                wrong += 1
                print(f"disc {name} radius {radius}: uneven {uneven}, saws {saws}")
            images.append(picture(shown_by(chart), [RED], pixels=6, art=[polygon]))
    print(f"discs: {total - wrong} of {total} right")
    return sheet(images, across=10)


def _unevenness(inside: np.ndarray, at: np.ndarray) -> int:
    """Return how many octants differ after a mirror at one of the axes through the disc."""
    at = np.round(2 * _middle(inside)).astype(int)
    where = np.argwhere(inside)

    def centre(r, c, o):
        (x0, y0), (x1, y1) = RIM[o], RIM[(o + 1) % 8]
        return (6 * 2 * c + 2 * (x0 + x1 + 1), 6 * 2 * r + 2 * (y0 + y1 + 1))

    shown = {centre(r, c, o) for r, c, o in where.tolist()}
    mx, my = 12 * at[0], 12 * at[1]  # twice the middle, in twelfths of a square
    across = {(mx - x, y) for x, y in shown}
    down = {(x, my - y) for x, y in shown}
    turned = {((mx - my) // 2 + y, (my - mx) // 2 + x) for x, y in shown}
    if at[0] % 2 != at[1] % 2:
        return len(shown ^ across) + len(shown ^ down)
    return len(shown ^ across) + len(shown ^ down) + len(shown ^ turned)


def _middle(inside: np.ndarray) -> np.ndarray:
    rows, columns = np.nonzero(inside.any(axis=2))
    return np.array([columns.min() + columns.max() + 1, rows.min() + rows.max() + 1]) / 2


def corners() -> Image.Image:
    images = []
    for k in range(8):
        for j in range(0, 8, 2):
            x, y = 4 + k / 8, 4 + j / 8
            box = np.array([[x, y], [x + 9, y], [x + 9, y + 6], [x, y + 6]])
            _, shown = worked(drawing(shape(RED, box), wide=SIDE, high=SIDE))
            images.append(picture(shown[:16, :18], [RED], pixels=8, art=[box]))
            for size in (4.0, 4.3, 5.5):
                c = np.array([9 + k / 8, 8 + j / 8])
                diamond = c + size * np.array([[0, -1], [1, 0], [0, 1], [-1, 0]])
                _, shown = worked(drawing(shape(RED, diamond), wide=SIDE, high=SIDE))
                images.append(picture(shown[:16, :18], [RED], pixels=8, art=[diamond]))
    return sheet(images, across=8)


SHEETS = {"edges": edges, "bars": bars, "discs": discs, "corners": corners}

if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folder", type=FilePath)
    parser.add_argument("--only", choices=list(SHEETS))
    options = parser.parse_args()
    for name, draw in SHEETS.items():
        if options.only in (None, name):
            draw().save(options.folder / f"{name}.png")

"""Prints the energy of charts of real drawings: square by square, minimised, fitted and minimised, searched.

python tests/bench/energies.py             the table, in per cent of the best square-by-square choice
python tests/bench/energies.py --search    with a slow search by chance (annealing), to compare with
"""

import argparse
import sys
import time
from pathlib import Path
from statistics import median

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[2]))

from svg2chart.arranging.candidates import AREA_UNIT, Candidates, find_candidates
from svg2chart.arranging.descent import _State, best_of_each, settle
from svg2chart.arranging.patterns import COST_UNIT, Fractions
from svg2chart.arranging.perimeter import edge_lengths
from svg2chart.artwork import Artwork
from svg2chart.chart import Fabric
from svg2chart.colour import Colour
from svg2chart.fit import lay_on_grid
from svg2chart.given import find_given
from svg2chart.grid import Grid
from svg2chart.octants.areas import MIXED
from svg2chart.octants.stacks import BARE
from svg2chart.palette import choose_palette
from svg2chart.stitches import differences
from svg2chart.svg.read import read_artwork
from svg2chart.threads import MOST_THREADS
from svg2chart.visible import visible_areas
from tests import outside

WIDTHS = (40, 80)


def board(artwork: Artwork, grid: Grid) -> tuple[Candidates, np.ndarray, np.ndarray]:
    """Return the candidates, the decided squares and the drawing's own edge of each square."""
    laid = lay_on_grid(artwork, grid)
    areas = visible_areas(laid.shapes, groups=artwork.groups, rows=grid.rows, columns=grid.columns)
    decided = find_given(laid, rows=grid.rows, columns=grid.columns)
    palette = choose_palette(
        areas, decided, cloth=Colour.from_hex(Fabric().colour), card=(), most=MOST_THREADS, kept=()
    )
    areas = palette.areas.without_traces(1 / (2 * AREA_UNIT))
    candidates = find_candidates(areas, differences=differences(palette.looks), fractions=Fractions.ALL)
    solid = np.where(areas.solid == MIXED, BARE, areas.solid).astype(np.int64)
    return candidates, solid, edge_lengths(areas)


def square_by_square(candidates: Candidates, solid: np.ndarray, allowance: np.ndarray) -> int:
    chosen = best_of_each(candidates, candidates.cost)
    return _State.of(candidates, solid, allowance, chosen).energy()


def table() -> None:
    """Print a row for each drawing and size, and the medians."""
    gains, fitted_gains, worse = [], [], 0
    spent = 0.0
    for picture in outside.pictures("art-open"):
        artwork = read_artwork(picture.path)
        for wide in WIDTHS:
            plain = Grid.fit(artwork, wide=wide, movement=0.0)
            problem = board(artwork, plain)
            best = square_by_square(*problem)
            alone = settle(*problem).energy
            grid = Grid.fit(artwork, wide=wide)
            fitted = board(artwork, grid)
            start = time.process_time()
            end = settle(*fitted).energy
            spent += time.process_time() - start
            worse += alone > best
            gains.append(1 - alone / max(best, 1))
            fitted_gains.append(1 - end / max(best, 1))
            print(
                f"{picture.name:45} {wide:3} squares: energy {best / COST_UNIT:8.2f},"
                f" minimised {-100 * gains[-1]:6.1f} %, fitted and minimised {-100 * fitted_gains[-1]:6.1f} %"
            )
    print(
        f"median: minimised {-100 * median(gains):.1f} %, fitted {-100 * median(fitted_gains):.1f} %;"
        f" above square by square: {worse} of {len(gains)}; {spent:.1f} s"
    )


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__)
    table()

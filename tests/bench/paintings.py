"""Prints how many outside drawings we paint as another renderer does, and what each step costs."""

import argparse
import sys
import time
from collections import Counter
from itertools import pairwise
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from svg2chart.convert import convert
from svg2chart.errors import ChartError
from svg2chart.fit import lay_on_grid
from svg2chart.grid import Grid
from svg2chart.lettering.fonts import read_fonts
from svg2chart.svg.read import read_artwork
from svg2chart.visible import visible_areas
from tests import outside

STEPS = ("read", "grid", "lay", "areas", "convert")


def scores() -> None:
    """Print the drawings painted alike by collection and scope, and by the suite's folders."""
    fonts = read_fonts([outside.DATA / "svg-suite-fonts"])
    for collection in ("art-open", "svg-suite"):
        alike: Counter[tuple[str, ...]] = Counter()
        counts: Counter[tuple[str, ...]] = Counter()
        for picture in outside.pictures(collection):
            groups = [(picture.scope,), (picture.scope, picture.name.rpartition("/")[0])]
            counts.update(groups)
            bands = outside.BANDS.get(picture.scope, 0)
            try:
                if outside.is_painted_alike(picture, fonts=fonts, bands=bands):
                    alike.update(groups)
            except ChartError:
                continue
        for group, count in sorted(counts.items()):
            if all(group):
                print(f"{collection} {' '.join(group)}: {alike[group]} of {count} painted alike")


def costs() -> None:
    """Print the CPU time of each step for the real drawings at 80 squares, in ms a file."""
    spent: Counter[str] = Counter()
    drawings = list(outside.pictures("art-open"))
    for picture in drawings:
        marks = [time.process_time()]
        artwork = read_artwork(picture.path)
        marks.append(time.process_time())
        grid = Grid.fit(artwork, wide=80)
        marks.append(time.process_time())
        laid = lay_on_grid(artwork, grid)
        marks.append(time.process_time())
        visible_areas(laid.shapes, groups=artwork.groups, rows=grid.rows, columns=grid.columns)
        marks.append(time.process_time())
        convert(artwork, grid)
        marks.append(time.process_time())
        for step, (start, end) in zip(STEPS, pairwise(marks), strict=True):
            spent[step] += (end - start) / len(drawings) * 1000
    print(", ".join(f"{step} {value:.1f}" for step, value in spent.items()), "ms of CPU a file")


if __name__ == "__main__":
    argparse.ArgumentParser(description=__doc__).parse_args()
    scores()
    costs()

"""Draws a sheet of the outlined drawings as charted, to look at: stitches, backstitch, knots, holes."""

import argparse
import sys
from collections.abc import Sequence
from math import ceil
from pathlib import Path

from PIL import Image, ImageDraw

sys.path.insert(0, str(Path(__file__).parents[2]))

from svg2chart.chart import Chart
from svg2chart.convert import convert
from svg2chart.grid import Grid
from svg2chart.pages.areas import thread_areas
from svg2chart.svg.read import parse_artwork, read_artwork
from tests.bench import outlined

ACROSS = 6  # drawings in a row
MARGIN = 1  # squares around each


def draw_chart(chart: Chart, *, side: int) -> Image.Image:
    """Return a chart as a picture, so many pixels a square."""

    def at(x: float, y: float) -> tuple[float, float]:
        return (x + MARGIN) * side, (y + MARGIN) * side

    size = tuple((count + 2 * MARGIN) * side for count in (chart.columns, chart.rows))
    image = Image.new("RGB", size, "#f8f4ea")
    pen = ImageDraw.Draw(image)
    for thread, polygons in thread_areas(chart, rows=range(chart.rows), columns=range(chart.columns)):
        for polygon in polygons:
            pen.polygon([at(x, y) for x, y in polygon], fill=chart.threads[thread].colour)
    for column in range(chart.columns + 1):
        pen.line([at(column, 0), at(column, chart.rows)], fill="#c9c4b8")
    for row in range(chart.rows + 1):
        pen.line([at(0, row), at(chart.columns, row)], fill="#c9c4b8")
    wide = max(2, side // 5)
    for line in chart.backstitch:
        ends = [at(*line.start), at(*line.end)]
        pen.line(ends, fill=chart.threads[line.thread].colour, width=wide)
        for x, y in ends:
            half = wide * 0.8
            pen.ellipse([x - half, y - half, x + half, y + half], fill=chart.threads[line.thread].colour)
    for knot in chart.knots:
        (x, y), half = at(*knot.at), 0.3 * side
        colour = chart.threads[knot.thread].colour
        pen.ellipse([x - half, y - half, x + half, y + half], fill=colour, outline="#000000")
    return image


def main(arguments: Sequence[str]) -> None:
    """Write the sheet."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("output", type=Path, help="PNG to write")
    parser.add_argument("drawings", nargs="*", type=Path, help="SVG files (our outlined drawings)")
    parser.add_argument("--wide", type=int, default=30)
    parser.add_argument("--thin", type=float, default=1.2, help="squares (1.2)")
    parser.add_argument("--side", type=int, default=14, help="pixels a square")
    options = parser.parse_args(arguments)
    artworks = [read_artwork(path) for path in options.drawings]
    artworks = artworks or [parse_artwork(text.encode()) for text in outlined.DRAWINGS.values()]
    images = []
    for artwork in artworks:
        grid = Grid.fit(artwork, wide=options.wide, thin=options.thin)
        images.append(draw_chart(convert(artwork, grid), side=options.side))
    cell = max(max(image.size) for image in images)
    across = min(ACROSS, len(images))
    sheet = Image.new("RGB", (across * cell, ceil(len(images) / across) * cell), "#ffffff")
    for index, image in enumerate(images):
        sheet.paste(image, (index % across * cell, index // across * cell))
    sheet.save(options.output)


if __name__ == "__main__":
    main(sys.argv[1:])

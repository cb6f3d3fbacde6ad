"""Make the pictures of the README: the pages of the example's PDF as PNG, in examples/pictures/.

Needs the test extra (pypdfium2 and Pillow). Run it from anywhere:

    .venv/bin/python examples/make_pictures.py
"""

import io
from pathlib import Path

import pypdfium2

import svg2chart

HERE = Path(__file__).parent
DOTS_PER_INCH = 110
POINTS_PER_INCH = 72


def pages_of(drawing: Path) -> bytes:
    """Return the PDF of a drawing whose user units are squares."""
    fonts = svg2chart.read_fonts([])
    artwork = svg2chart.read_artwork(drawing, fonts=fonts)
    grid = svg2chart.Grid.fit(artwork, square=1, extent=svg2chart.Extent.PAGE)
    chart = svg2chart.convert(artwork, grid, fonts=fonts)
    return svg2chart.pages_pdf(chart, paper=svg2chart.A4)


def page_pictures(pdf: bytes) -> list[bytes]:
    """Return each page as the bytes of a PNG."""
    pictures = []
    with pypdfium2.PdfDocument(pdf) as document:
        for page in document:
            image = page.render(scale=DOTS_PER_INCH / POINTS_PER_INCH).to_pil()
            stream = io.BytesIO()
            image.convert("P", palette=1, colors=64).save(stream, "PNG", optimize=True)
            pictures.append(stream.getvalue())
    return pictures


def main() -> None:
    """Write one picture for each page."""
    folder = HERE / "pictures"
    folder.mkdir(exist_ok=True)
    for number, picture in enumerate(page_pictures(pages_of(HERE / "harbour-festival.svg")), 1):
        path = folder / f"harbour-festival-{number}.png"
        path.write_bytes(picture)
        print(path)


if __name__ == "__main__":
    main()

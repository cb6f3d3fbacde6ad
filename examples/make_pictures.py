"""Make pictures of the README: pages of the example's PDF as PNG, in examples/pictures/.

Needs the test extra (pypdfium2 and Pillow). Run it from anywhere:

    .venv/bin/python examples/make_pictures.py

The picture of the editor is made by make_editor_picture.py.
"""

import io
from pathlib import Path

import pypdfium2
from PIL import Image

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


def picture(page: pypdfium2.PdfPage) -> bytes:
    """Return a page as the bytes of a PNG."""
    image = page.render(scale=DOTS_PER_INCH / POINTS_PER_INCH).to_pil()
    stream = io.BytesIO()
    few = image.convert("RGB").quantize(256, method=Image.Quantize.MAXCOVERAGE)  # keeps small flags green
    few.save(stream, "PNG", optimize=True)
    return stream.getvalue()


def main() -> None:
    """Write the cover and the first chart page."""
    folder = HERE / "pictures"
    folder.mkdir(exist_ok=True)
    with pypdfium2.PdfDocument(pages_of(HERE / "harbour-festival.svg")) as document:
        charted = next(page for page in document if "columns 1 to " in page.get_textpage().get_text_range())
        for name, page in (("cover", document[0]), ("chart", charted)):
            path = folder / f"harbour-festival-{name}.png"
            path.write_bytes(picture(page))
            print(path)


if __name__ == "__main__":
    main()

"""Letters as an SVG drawing on the grid: one element a letter, to be placed in art and charted as it is."""

from collections.abc import Iterator
from html import escape

from svg2chart.chart import Fabric
from svg2chart.chartdrawing import size_mm
from svg2chart.errors import GridError, LettersError
from svg2chart.grid import check_size
from svg2chart.letters.laying import Lettering
from svg2chart.letters.outlining import Point, outlines_of
from svg2chart.letters.placed import SetLetter
from svg2chart.xmltext import attribute_text

_INKSCAPE = "http://www.inkscape.org/namespaces/inkscape"
_LINE = 0.25  # squares: how wide backstitch is drawn
_KNOT = 0.3  # squares: from the middle of a knot to its rim, as it is drawn


def draw_letters(
    lettering: Lettering, *, colour: str, outline: str | None = None, fabric: Fabric | None = None
) -> bytes:
    """Return the letters as an SVG drawing whose user unit is a square, UTF-8, the same for the same letters.

    Args:
        lettering: the letters.
        colour: of their thread, as "#1f3a5f".
        outline: the colour of backstitch around them on their stitched edges; without, there is none.
        fabric: tells the size of the drawing; without, 14 count.

    Raises:
        LettersError: it would have more squares than a chart can have.
    """
    fabric = fabric or Fabric()
    bare = _bare_around(lettering, outline)
    columns, rows = lettering.columns + 2 * bare, lettering.rows + 2 * bare
    try:
        check_size(columns, rows)
    except GridError as error:
        raise LettersError(
            error.what, way_out="Break the lines at a width, or ask for lower letters"
        ) from error
    wide, high = (size_mm(squares, fabric) for squares in (columns, rows))
    lines = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        f'<svg xmlns="http://www.w3.org/2000/svg" xmlns:inkscape="{_INKSCAPE}" width="{wide}mm"'
        f' height="{high}mm" viewBox="{-bare} {-bare} {columns} {rows}" data-square="1"'
        ' data-extent="drawing">',
        f"<title>{attribute_text(lettering.text)}</title>",
        *(
            letter_element(f"letter-{number}", letter, colour)
            for number, letter in enumerate(lettering.letters, start=1)
        ),
        *(() if outline is None else _outlines(lettering, outline)),
        "</svg>",
    ]
    return ("\n".join(lines) + "\n").encode("utf-8", "replace")


def _bare_around(lettering: Lettering, outline: str | None) -> int:
    """Return how many bare squares lie around: the page would cut lines and knots on its rim in half."""
    has_lines = outline is not None or any(letter.lines or letter.knots for letter in lettering.letters)
    return 1 if has_lines else 0


def letter_element(element: str, letter: SetLetter, colour: str) -> str:
    """Return a letter as an element of that id, in squares, charted as exactly its stitches.

    Its title has an id as well: an editor gives others by chance to what has none. A letter with several
    kinds of stitches is a group.
    """
    name, paint = attribute_text(letter.text), escape(colour)
    shapes = [*_stitched(letter, paint), *_lined(letter, paint), *_knotted(letter, paint)]
    title = f'<title id="{element}-title">{name}</title>'
    label = f'id="{element}" inkscape:label="{name}"'
    if len(shapes) == 1:
        tag, attributes = shapes[0]
        return f"<{tag} {label} {attributes}>{title}</{tag}>"
    parts = "".join(
        f'<{tag} id="{element}-{number}" {attributes}/>'
        for number, (tag, attributes) in enumerate(shapes, start=1)
    )
    return f"<g {label}>{title}{parts}</g>"


def _stitched(letter: SetLetter, paint: str) -> Iterator[tuple[str, str]]:
    if letter.shown.any():
        data = "".join(_data(points) + "z" for points in _placed(letter))
        yield "path", f'd="{data}" style="fill:{paint};stroke:none" data-stitch="area-as-drawn"'


def _lined(letter: SetLetter, paint: str) -> Iterator[tuple[str, str]]:
    if letter.lines:
        data = "".join(
            f"M{x0 + letter.column} {y0 + letter.row}L{x1 + letter.column} {y1 + letter.row}"
            for (x0, y0), (x1, y1) in letter.lines
        )
        yield (
            "path",
            f'd="{data}" style="fill:none;stroke:{paint};stroke-width:{_LINE};stroke-linecap:round"'
            ' data-stitch="backstitch-as-drawn"',
        )


def _knotted(letter: SetLetter, paint: str) -> Iterator[tuple[str, str]]:
    for x, y in letter.knots:
        place = f'cx="{x + letter.column}" cy="{y + letter.row}" r="{_KNOT}"'
        yield "circle", f'{place} style="fill:{paint};stroke:none" data-stitch="knot"'


def _outlines(lettering: Lettering, colour: str) -> Iterator[str]:
    for number, letter in enumerate(lettering.letters, start=1):
        if not letter.shown.any():
            continue
        data = "".join(_data(_in_steps(points)) + "z" for points in _placed(letter))
        yield (
            f'<path id="outline-{number}" inkscape:label="{attribute_text(letter.text)}" d="{data}"'
            f' style="fill:none;stroke:{escape(colour)};stroke-width:{_LINE}"'
            ' data-stitch="backstitch-as-drawn"/>'
        )


def _placed(letter: SetLetter) -> list[list[Point]]:
    """Return the outlines of a letter at its place, in half squares."""
    return [
        [(x + 2 * letter.column, y + 2 * letter.row) for x, y in outline]
        for outline in outlines_of(letter.shown)
    ]


def _in_steps(points: list[Point]) -> list[Point]:
    """Return an outline with a point at every square of its long sides: each piece is one backstitch."""
    found = []
    for (x0, y0), (x1, y1) in zip(points, [*points[1:], points[0]], strict=True):
        halves = max(abs(x1 - x0), abs(y1 - y0))
        right, down = (x1 - x0) // halves, (y1 - y0) // halves
        found += [(x0 + right * step, y0 + down * step) for step in range(0, halves, 2)]
    return found


def _data(points: list[Point]) -> str:
    (x, y), *rest = points
    data = [f"M{x / 2:g} {y / 2:g}"]
    for following in rest:
        data.append(f"L{following[0] / 2:g} {following[1] / 2:g}")
    return "".join(data)

"""Pictures of letters in characters to what is stitched."""

from collections.abc import Iterator, Sequence

from svg2chart.alphabets.drawn import Drawn, Hole, Stitches
from svg2chart.chart import Corner

BASE = "_"
"""Begins the row on the base line."""

_MARGIN = 2
_CORNERS = {
    "◤": Corner.TOP_LEFT,
    "◥": Corner.TOP_RIGHT,
    "◢": Corner.BOTTOM_RIGHT,
    "◣": Corner.BOTTOM_LEFT,
}
# the ends of a slanted stitch from its middle, in half squares, by whether the middle lies on a row and on
# a column of holes; the other end lies opposite
_SLANTS = {(False, False): (1, -1), (True, False): (1, -2), (False, True): (2, -1)}


class PictureError(ValueError):
    """A picture cannot be read; the row is counted from 0."""

    def __init__(self, what: str, row: int = 0) -> None:
        super().__init__(what)
        self.what = what
        self.row = row


def read_picture(rows: Sequence[str], stitches: Stitches) -> Drawn:
    """Return what a picture shows.

    Args:
        rows: the lines of the picture, with the margin that tells the base line.
        stitches: what the letter is made of.

    Raises:
        PictureError: a row or a character is not as it should be.
    """
    bases = [index for index, row in enumerate(rows) if row.startswith(BASE)]
    if len(bases) != 1:
        raise PictureError(f'one row begins with "{BASE}", the one on the base line; {len(bases)} rows do')
    for index, row in enumerate(rows):
        if row[1:_MARGIN].strip() or row[:1] not in ("", " ", BASE):
            raise PictureError("a row begins with a space or _ and one space more", index)
    read = _read_squares if stitches is Stitches.STITCHED else _read_lines
    drawn = read([row[_MARGIN:] for row in rows], bases[0])
    if drawn == Drawn():
        raise PictureError("the picture shows no stitch")
    return drawn.moved(-drawn.left, 0)


def _read_squares(rows: Sequence[str], base: int) -> Drawn:
    squares = []
    for index, column, character in _characters(rows):
        if character != "#" and character not in _CORNERS:
            raise PictureError(f'"{character}" is none of # . ◤ ◥ ◢ ◣', index)
        squares.append((index - base - 1, column, _CORNERS.get(character)))
    return Drawn(squares=tuple(squares))


def _read_lines(rows: Sequence[str], base: int) -> Drawn:
    lines: list[tuple[Hole, Hole]] = []
    knots = []
    for index, place, character in _characters(rows):
        x, y = place, index - base
        on_row, on_column = y % 2 == 0, x % 2 == 0
        if character == "o" and on_row and on_column:
            knots.append((x // 2, y // 2))
        elif character == "-" and on_row and not on_column:
            lines.append(_line(x, y, (1, 0)))
        elif character == "|" and on_column and not on_row:
            lines.append(_line(x, y, (0, 1)))
        elif character in "/\\X" and (on_row, on_column) in _SLANTS:
            across, up = _SLANTS[on_row, on_column]
            lines += [_line(x, y, (across, up))] if character in "/X" else []
            lines += [_line(x, y, (across, -up))] if character in "\\X" else []
        else:
            raise PictureError(f'"{character}" cannot stand there', index)
    return Drawn(lines=tuple(lines), knots=tuple(knots))


def _line(x: int, y: int, half: tuple[int, int]) -> tuple[Hole, Hole]:
    """Return a stitch from its middle and the way to an end, both in half squares; the left end first."""
    across, down = half
    start, end = ((x - across) // 2, (y - down) // 2), ((x + across) // 2, (y + down) // 2)
    return min(start, end), max(start, end)


def _characters(rows: Sequence[str]) -> Iterator[tuple[int, int, str]]:
    for index, row in enumerate(rows):
        for column, character in enumerate(row):
            if character not in " .":
                yield index, column, character

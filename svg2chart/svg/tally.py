"""What all of a drawing has in common while it is read: how much of it there is, which is limited."""

from dataclasses import dataclass, field

from svg2chart.artwork import Fill, Stroke, Words
from svg2chart.errors import ArtworkError

MAX_DRAWN = 200_000  # elements drawn, each copy that a `use` makes counted
MAX_SEGMENTS = 2_000_000  # of all marks, those of copies and of letters counted


@dataclass(slots=True)
class Tally:
    """What all of a drawing has in common, with what only a paint or a mask draws.

    drawn: how many elements have been drawn. font_files: those that words were set in, in paint order.
    """

    drawn: int = 0
    segments: int = 0
    font_files: dict[str, None] = field(default_factory=dict)

    def count(self, name: str) -> None:
        """Count an element that is about to be drawn.

        Raises:
            ArtworkError: there have been too many.
        """
        self.drawn += 1
        if self.drawn > MAX_DRAWN:
            raise ArtworkError(
                f"more than {MAX_DRAWN:,} elements are to be drawn, copies of copies counted",
                element=name,
                way_out="Simplify it or draw fewer copies",
            )

    def count_segments(self, mark: Fill | Stroke | Words) -> None:
        """Count the lines and curves that a mark consists of.

        Raises:
            ArtworkError: there have been too many.
        """
        pieces = mark.outlines if isinstance(mark, Words) else (mark,)
        self.segments += sum(len(piece.path.segments) for piece in pieces)
        if self.segments > MAX_SEGMENTS:
            raise ArtworkError(
                f"more than {MAX_SEGMENTS:,} lines and curves are to be drawn, those of copies counted",
                element=mark.element,
                way_out="Simplify its paths or draw fewer copies",
            )

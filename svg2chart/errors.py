"""The errors that end a conversion, each with what went wrong, where, and the way out."""


class ChartError(Exception):
    """No right chart can be made.

    The message has up to four parts, in this order: file, element, what is
    wrong, way out. A caller that knows the file adds it with `in_file`.

    >>> str(ArtworkError("the d attribute is empty", element="hull", way_out="Delete this element"))
    'element "hull": the d attribute is empty. Delete this element.'
    """

    def __init__(self, what: str, *, way_out: str = "", element: str = "", file: str = "") -> None:
        super().__init__(what)
        self.what = what
        self.way_out = way_out
        self.element = element
        self.file = file

    def in_file(self, file: str) -> "ChartError":
        """Return the same error, naming the file it was met in; a file already named stays."""
        return type(self)(self.what, way_out=self.way_out, element=self.element, file=self.file or file)

    def __str__(self) -> str:
        """Return the whole message on one line."""
        places = [self.file] if self.file else []
        if self.element:
            places.append(f'element "{self.element}"')
        way_out = f" {self.way_out}." if self.way_out else ""
        text = ": ".join([*places, self.what]) + "." + way_out
        return " ".join(text.split())


class ArtworkError(ChartError):
    """The drawing cannot be read."""


class GridError(ChartError):
    """The drawing cannot be laid on such a grid."""


class FontError(ChartError):
    """A font cannot be read."""


class LettersError(ChartError):
    """Words cannot be set in letters of such a size."""


class CardError(ChartError):
    """A thread card cannot be read."""


class InfoError(ChartError):
    """A file of a designer's own words cannot be read."""


class ChartFileError(ChartError):
    """A chart file cannot be read or written."""


class PageError(ChartError):
    """The pages cannot be laid out or written."""


class EditorError(ChartError):
    """The extensions of a vector editor cannot be put in place."""

"""Whether what is there already was made of the same drawing, in the same way, by the same svg2chart."""

import hashlib

from svg2chart.artwork import Artwork
from svg2chart.chart import Chart
from svg2chart.geometry.box import Box
from svg2chart.library.work import PAGES_MARK, Wanted, fonts_of, pages_mark
from svg2chart.request import FONTS_SETTING, told_settings
from svg2chart.svg.document import GZIP_MAGIC
from svg2chart.svg.read import parse_artwork

_SAYS_ITS_SQUARES = b"data-square"
_PLAIN = Artwork(viewport=Box(0, 0, 1, 1), unit_mm=1.0, marks=())
"""A drawing that has no say in the settings."""

_END = 1024  # bytes of a PDF in which its last lines lie


def is_made_of(chart: Chart, drawing: bytes, wanted: Wanted) -> bool:
    """Return whether a chart is what the drawing's bytes would give again.

    Only a drawing that names its own squares, and one whose words were set in
    fonts, which may have changed, is read for this. Raises ChartError where it cannot be.
    """
    made = chart.made_from
    if made.version != wanted.version or made.sha256 != hashlib.sha256(drawing).hexdigest():
        return False
    settings = dict(made.settings)
    has_say = FONTS_SETTING in settings or _names_squares(drawing) or drawing.startswith(GZIP_MAGIC)
    return settings == told_settings(_read(drawing, wanted) if has_say else _PLAIN, wanted.request)


def _names_squares(drawing: bytes) -> bool:
    """Return whether a drawing, in UTF-8 or UTF-16, may name its own squares."""
    return _SAYS_ITS_SQUARES in drawing.replace(b"\0", b"")


def is_ours(chart: Chart) -> bool:
    """Return whether a chart was made of a drawing, so that a newer one may take its place."""
    return bool(chart.made_from.sha256)


def are_pages_of(pdf: bytes, chart_file: bytes, wanted: Wanted) -> bool:
    """Return whether a PDF is what the chart file would give again."""
    return pages_mark(chart_file, wanted) in pdf[-_END:]


def is_our_pdf(pdf: bytes) -> bool:
    """Return whether a PDF was made in a library, so that a newer one may take its place."""
    return PAGES_MARK in pdf[-_END:]


def _read(drawing: bytes, wanted: Wanted) -> Artwork:
    fonts = fonts_of(wanted.request.fonts, wanted.fonts_found)
    return parse_artwork(drawing, fonts=fonts, bands=wanted.request.bands)

"""The picture of the stitched piece, as the files of a command."""

import svg2chart
from svg2chart.cli.progress import tell_progress


def picture_files(chart: svg2chart.Chart) -> list[bytes]:
    """Return the picture in the formats of `PICTURE_ENDINGS`."""
    tell_progress("drawing the picture")
    return [svg2chart.picture_svg(chart), svg2chart.picture_png(chart)]

"""Which strokes become backstitch: by their width in squares, or at any size."""

import pytest

from svg2chart.chart import Chart
from svg2chart.convert import convert
from svg2chart.grid import Extent, Grid
from svg2chart.svg.read import parse_artwork

SIDE = 8


def charted(content: str, *, thin: float) -> Chart:
    text = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {SIDE} {SIDE}">{content}</svg>'
    artwork = parse_artwork(text.encode())
    return convert(artwork, Grid.fit(artwork, square=1.0, extent=Extent.PAGE, thin=thin))


def worked(chart: Chart) -> tuple[int, int]:
    """Return how many backstitches and how many squares with stitches there are."""
    return len(chart.backstitch), int((chart.squares > 0).sum())


def rope(attributes: str) -> str:
    return f'<path id="rope" d="M1 4H7" fill="none" stroke="navy" {attributes}/>'


@pytest.mark.parametrize(
    ("width", "thin", "is_line"),
    [(0.66, 0.67, True), (0.67, 0.67, False), (1.19, 1.2, True), (1.2, 1.2, False), (0.6, 0.0, False)],
)
def test_strokes_thinner_than_told_become_lines_and_others_areas(
    width: float, thin: float, *, is_line: bool
) -> None:
    backstitches, squares = worked(charted(rope(f'stroke-width="{width}"'), thin=thin))
    assert backstitches == (6 if is_line else 0)
    assert (squares == 0) == is_line


@pytest.mark.parametrize(
    "attributes",
    ['style="-inkscape-stroke:hairline"', 'stroke-width="3" vector-effect="non-scaling-stroke"'],
)
def test_hairlines_and_strokes_that_keep_their_width_are_lines_at_any_size(attributes: str) -> None:
    assert worked(charted(rope(attributes), thin=0.0)) == (6, 0)


def test_the_strokes_of_markers_are_lines_as_well() -> None:
    barb = '<path d="M0 0L2 2" fill="none" stroke="navy" stroke-width=".3"/>'
    marker = (
        f'<marker id="m" markerUnits="userSpaceOnUse" refX="2" refY="2" overflow="visible">{barb}</marker>'
    )
    chart = charted(marker + rope('stroke-width=".3" marker-end="url(#m)"'), thin=0.67)
    found = {frozenset((line.start, line.end)) for line in chart.backstitch}
    assert {frozenset(((5, 2), (6, 3))), frozenset(((6, 3), (7, 4)))} <= found
    assert len(found) == 6 + 2

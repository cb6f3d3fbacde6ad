"""What a chart of a drawing would not show as drawn, by element: a check before charting."""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import Enum

from svg2chart.artwork import Artwork, Stroke
from svg2chart.convert import PLAIN, Settings, convert_and_measure
from svg2chart.fit import Laid
from svg2chart.grid import Grid
from svg2chart.octants.stacks import hides
from svg2chart.remarks import Remark, Severity
from svg2chart.stitches import LEAST_REPORTED
from svg2chart.visible import visible_areas


class Becomes(Enum):
    """What becomes of an element on the chart.

    The first three are the severities of remarks. A stroke that becomes backstitch is replaced; what
    later shapes cover wholly is unseen, on the chart as in the drawing.
    """

    LEFT_OUT = Severity.LEFT_OUT.value
    SIMPLIFIED = Severity.SIMPLIFIED.value
    GUESSED = Severity.GUESSED.value
    REPLACED = "replaced"
    UNSEEN = "unseen"


HARMLESS = frozenset([Becomes.REPLACED, Becomes.UNSEEN])
"""What designers mean by thin strokes, and what changes nothing to be seen."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One thing about one element; `element`, `layer` and `what` as in `Remark`."""

    element: str
    layer: str
    becomes: Becomes
    what: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Check:
    """What was found about a drawing on so many squares: first what is about the whole, then by element."""

    columns: int
    rows: int
    findings: tuple[Finding, ...]

    @property
    def is_clean(self) -> bool:
        """Whether the chart shows all as the drawing has it, strokes as lines of backstitch included."""
        return all(finding.becomes in HARMLESS for finding in self.findings)

    def counts(self) -> dict[Becomes, int]:
        """Return how many findings there are of each kind."""
        found = Counter(finding.becomes for finding in self.findings)
        return {kind: found[kind] for kind in Becomes}


def check_artwork(artwork: Artwork, grid: Grid, settings: Settings = PLAIN) -> Check:
    """Return what the chart of a drawing would leave out, simplify, guess or replace, and what is unseen.

    All remarks that the chart would have are among the findings. It takes as long as the chart.

    Args:
        artwork: the drawing.
        grid: the squares it would be laid on.
        settings: how it would be worked.

    Raises:
        GridError: nothing in the drawing is large enough for a stitch.
    """
    made = convert_and_measure(artwork, grid, settings)
    found = dict.fromkeys(
        [*as_findings(made.chart.remarks), *_thin_strokes(artwork, grid), *_unseen(made.laid, artwork, grid)]
    )
    return Check(columns=grid.columns, rows=grid.rows, findings=tuple(_by_element(list(found))))


def as_findings(remarks: Sequence[Remark]) -> list[Finding]:
    """Return remarks as findings, in their order."""
    return [
        Finding(element=r.element, layer=r.layer, becomes=Becomes(r.severity.value), what=r.what)
        for r in remarks
    ]


def _by_element(findings: Sequence[Finding]) -> list[Finding]:
    """Return the findings by element, in the order in which each is first found; the whole comes first."""
    place = {element: k for k, element in enumerate(dict.fromkeys(["", *(f.element for f in findings)]))}
    return sorted(findings, key=lambda finding: place[finding.element])


def _thin_strokes(artwork: Artwork, grid: Grid) -> Iterator[Finding]:
    """Yield the strokes that become backstitch because they are thin, not those that are told to."""
    for mark in artwork.painted():
        if isinstance(mark, Stroke) and mark.stitch_as is None and mark.is_thin(grid.thin * grid.square):
            wide = mark.width / grid.square
            why = (
                "it is told to keep its width at any size"
                if mark.is_hairline
                else f"under {grid.thin:g} is thin"
            )
            digits = 2 if 0.01 <= round(wide, 2) < grid.thin else 4  # told apart from nothing and from `thin`
            what = f"a stroke {wide:.{digits}f} squares wide becomes backstitch, {why}"
            yield Finding(element=mark.element, layer=mark.layer, becomes=Becomes.REPLACED, what=what)


def _unseen(laid: Laid, artwork: Artwork, grid: Grid) -> Iterator[Finding]:
    """Yield the elements of which next to nothing is seen.

    Only what lets nothing through covers, and is told of: the rest mixes with what it lies on or under.
    """
    solid = [k for k, shape in enumerate(laid.shapes) if hides(shape.paint, artwork.groups)]
    shapes = [laid.shapes[k] for k in solid]
    areas = visible_areas(shapes, groups=artwork.groups, rows=grid.rows, columns=grid.columns)
    seen: Counter[tuple[str, str]] = Counter()
    for k, area in zip(solid, areas.shapes.tolist(), strict=True):
        seen[laid.marks[k].element, laid.marks[k].layer] += area
    others = [laid.marks[k] for k in set(range(len(laid.marks))) - set(solid)]
    seen_otherwise = {(mark.element, mark.layer) for mark in (*others, *laid.lines, *laid.dots)}
    for (element, layer), area in seen.items():
        if area < LEAST_REPORTED and (element, layer) not in seen_otherwise:
            what = f"under other shapes: less than {LEAST_REPORTED} of a square of it is to be seen"
            yield Finding(element=element, layer=layer, becomes=Becomes.UNSEEN, what=what)

"""What a command says about a finished chart: remarks on stderr, one line or JSON on stdout."""

import json
import sys
from collections.abc import Sequence
from pathlib import Path

from svg2chart.chart import Chart, StitchKind, stitch_counts
from svg2chart.remarks import Remark
from svg2chart.units import square_mm


def print_remarks(remarks: Sequence[Remark], source: str) -> None:
    """Print each remark on a line of its own, on stderr."""
    for remark in remarks:
        print(" ".join(f"{source}: {remark}".split()), file=sys.stderr)


def print_summary(chart: Chart, files: Sequence[Path]) -> None:
    """Print size, stitches, threads and files on one line."""
    kinds = ", ".join(f"{number} {kind}" for kind, number in _totals(chart).items())
    wide, high = _size_mm(chart)
    fabric = f"{chart.fabric.count} count" + (" over two" if chart.fabric.over == 2 else "")
    size = f"{chart.columns} x {chart.rows} squares ({wide:.0f} x {high:.0f} mm on {fabric})"
    made = ", ".join(map(str, files))
    print(f"{size}; {kinds}; {len(chart.threads)} threads; wrote {made}")


def print_json(chart: Chart, files: Sequence[Path]) -> None:
    """Print the same and the remarks as JSON."""
    wide, high = _size_mm(chart)
    report = {
        "files": list(map(str, files)),
        "size": {"wide": chart.columns, "high": chart.rows},
        "size_mm": {"wide": round(wide, 1), "high": round(high, 1)},
        "stitches": _totals(chart),
        "threads": len(chart.threads),
        "remarks": [
            {"element": r.element, "layer": r.layer, "what": r.what, "severity": r.severity.value}
            for r in chart.remarks
        ],
    }
    print(json.dumps(report, indent=2))


def _totals(chart: Chart) -> dict[str, int]:
    """Return how many stitches of each kind the chart has."""
    counts = stitch_counts(chart)
    totals = {kind.value: sum(n for (_, k), n in counts.items() if k is kind) for kind in StitchKind}
    return {**totals, "backstitch": len(chart.backstitch), "knots": len(chart.knots)}


def _size_mm(chart: Chart) -> tuple[float, float]:
    side = square_mm(chart.fabric.count, chart.fabric.over)
    return chart.columns * side, chart.rows * side

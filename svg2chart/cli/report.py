"""What a command says about a chart, finished or not: remarks on stderr, one line or JSON on stdout."""

import json
import sys
from collections.abc import Sequence
from pathlib import Path

from svg2chart.arranging.measure import Energy
from svg2chart.chart import Chart, StitchKind, stitch_counts
from svg2chart.cli.options import UseError, one_line
from svg2chart.convert import Converted
from svg2chart.errors import ChartError
from svg2chart.fabrics import cloth_to_cut, finished_size, needle
from svg2chart.guiding.order import plan_work
from svg2chart.quantity import thread_uses
from svg2chart.remarks import Remark, gathered
from svg2chart.threads import Difference


def print_remarks(remarks: Sequence[Remark], source: str) -> None:
    """Print remarks on stderr, those that say the same of many elements on one line."""
    for line in gathered(remarks):
        print(one_line(f"{source}: {line}"), file=sys.stderr)


def print_summary(made: Converted, files: Sequence[Path], *, is_calm: bool) -> None:
    """Print size, stitches, threads, how many lone stitches calm merged, and files on one line."""
    chart = made.chart
    kinds = ", ".join(
        f"{number} {kind.removesuffix('s') if number == 1 else kind}"
        for kind, number in _totals(chart).items()
    )
    finished = finished_size(chart.columns, chart.rows, chart.fabric)
    fabric = f"{chart.fabric.count} count" + (" over two" if chart.fabric.over == 2 else "")
    size_mm = f"{finished.width_mm:.0f} x {finished.height_mm:.0f} mm"
    size = f"{chart.columns} x {chart.rows} squares ({size_mm} on {fabric})"
    written = ", ".join(map(str, files))
    threads = f"{len(chart.threads)} thread" + ("" if len(chart.threads) == 1 else "s")
    threads += _difference_words(made.difference)
    merged = f"; {_merged_words(len(made.calmed))}" if is_calm else ""
    print(one_line(f"{size}; {kinds}; {threads}{merged}; wrote {written}"))


def _merged_words(number: int) -> str:
    return f"{number or 'no'} lone stitch{'es' if number > 1 else ''} merged"


def _difference_words(difference: Difference) -> str:
    """Return how far the threads are from the drawing's colours, nothing where they are the same."""
    mean, tail = round(difference.mean, 1), round(difference.percentile_95, 1)
    if not (mean or tail):
        return ""
    most = f"by {tail} at most on 95 % of the area" if tail else "by less than 0.1 on 95 % of the area"
    return f", off the drawing's colours by {mean} on average, {most} (CIEDE2000)"


def print_json(made: Converted, files: Sequence[Path], *, kits: int, margin_mm: float) -> None:
    """Print the same, what to buy for so many kits, the energy of the stitches and the remarks as JSON."""
    chart = made.chart
    finished = finished_size(chart.columns, chart.rows, chart.fabric)
    report = {
        "files": list(map(str, files)),
        "size": {"wide": chart.columns, "high": chart.rows},
        "size_mm": {"wide": round(finished.width_mm, 1), "high": round(finished.height_mm, 1)},
        "stitches": _totals(chart),
        "threads": len(chart.threads),
        "to_buy": _buying_values(chart, kits, margin_mm),
        "thread_difference": {
            "mean": _rounded(made.difference.mean),
            "percentile_95": _rounded(made.difference.percentile_95),
        },
        "energy": _energy_values(made.energy),
        "edge_length": _rounded(made.energy.edge_length),
        "largest_movement": _rounded(made.laid.largest_movement),
        "remarks": _remark_values(chart.remarks),
    }
    print(json.dumps(report, indent=2))


def _buying_values(chart: Chart, kits: int, margin_mm: float) -> dict[str, object]:
    """Return cloth and needle for each piece, and thread: metres for a piece, skeins for all pieces."""
    finished = finished_size(chart.columns, chart.rows, chart.fabric)
    cloth = cloth_to_cut(finished, margin_mm=margin_mm)
    uses = thread_uses(chart, plan_work(chart))
    return {
        "kits": kits,
        "cloth_mm": {"wide": round(cloth.width_mm, 1), "high": round(cloth.height_mm, 1)},
        "needle": needle(chart.fabric),
        "threads": [
            {
                "letter": thread.letter,
                "code": thread.code,
                "name": thread.name,
                "metres": round(use.metres, 2),
                "skeins": use.skeins_for(kits),
            }
            for thread, use in zip(chart.threads, uses, strict=True)
        ],
    }


def _energy_values(energy: Energy) -> dict[str, float]:
    """Return the energy and its parts, in wholly wrong squares."""
    parts = ("total", "misfit", "work", "edge", "saw")
    return {name: _rounded(getattr(energy, name)) for name in parts}


def _rounded(value: float) -> float:
    return round(value, 4)


def failure_line(error: ChartError | UseError, source: str) -> str:
    """Return why a command failed on one line; what is wrong with a drawing names its file."""
    return one_line(str(error.in_file(source) if isinstance(error, ChartError) else error))


def print_json_failure(message: str, remarks: Sequence[Remark]) -> None:
    """Print as JSON why there is no chart, and the remarks up to there."""
    print(json.dumps({"error": message, "files": [], "remarks": _remark_values(remarks)}, indent=2))


def _remark_values(remarks: Sequence[Remark]) -> list[dict[str, str]]:
    return [
        {"element": r.element, "layer": r.layer, "what": r.what, "severity": r.severity.value}
        for r in remarks
    ]


def _totals(chart: Chart) -> dict[str, int]:
    """Return how many stitches of each kind the chart has."""
    counts = stitch_counts(chart)
    totals = {kind.value: sum(n for (_, k), n in counts.items() if k is kind) for kind in StitchKind}
    return {**totals, "backstitch": len(chart.backstitch), "knots": len(chart.knots)}

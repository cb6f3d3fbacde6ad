"""The command `check`: what the chart of a drawing would not show as drawn, by element."""

import argparse
import json
import re
from collections.abc import Sequence
from dataclasses import replace

import svg2chart
from svg2chart.check import Becomes, Check, Finding, as_findings
from svg2chart.cli.options import UseError, add_drawing, add_report, one_line
from svg2chart.cli.progress import tell_progress
from svg2chart.cli.report import failure_line
from svg2chart.cli.squares import add_size, add_stitching, read_drawing, request_of
from svg2chart.request import card_remarks, grid_of, settings_of

CLEAN, NOT_CLEAN = 0, 1
HEADINGS = ("ELEMENT", "LAYER", "BECOMES", "WHAT")
WHOLE = "(whole drawing)"
MEASURE = re.compile(r"\b\d+\.\d+\b")
MOST_NAMED = 4  # elements in one line of the table; the report as JSON names them all
MOST_WIDE = 32  # characters; longer ids and labels push the rest of their line to the right


def add_options(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    add_drawing(parser)
    add_size(parser)
    add_stitching(parser)
    add_report(parser)


def run(options: argparse.Namespace) -> int:
    """Print what was found; the status tells whether the chart would show all as drawn."""
    found: list[Finding] = []  # what is known when it fails: it may say why
    try:
        check = _check(options, found)
    except (svg2chart.ChartError, UseError) as error:
        tell_progress("")
        if options.report == "json":
            _print_json({"error": failure_line(error, options.source), "findings": _values(found)})
        elif found:
            print("\n".join(_table(found)))
        raise
    tell_progress("")
    counts = {kind.value: number for kind, number in check.counts().items()}
    if options.report == "json":
        size = {"wide": check.columns, "high": check.rows}
        _print_json({"size": size, "counts": counts, "findings": _values(check.findings)})
    else:
        told = ", ".join(f"{number} {kind}" for kind, number in counts.items() if number)
        summary = f"{check.columns} x {check.rows} squares: {told or 'all is charted as drawn'}"
        print("\n".join([*_table(check.findings), summary]))
    return CLEAN if check.is_clean else NOT_CLEAN


def _check(options: argparse.Namespace, found: list[Finding]) -> Check:
    """Return the check; `found` holds what was found on reading, also on failure."""
    tell_progress("reading")
    request = request_of(options)
    artwork = read_drawing(options.source, request)
    found += as_findings(artwork.every_remark())
    grid = grid_of(artwork, request)
    tell_progress(f"checking {grid.columns} x {grid.rows} squares")
    check = svg2chart.check_artwork(artwork, grid, settings_of(artwork, request))
    return replace(check, findings=(*as_findings(card_remarks(request)), *check.findings))


def _print_json(report: dict[str, object]) -> None:
    print(json.dumps(report, indent=2))


def _values(findings: Sequence[Finding]) -> list[dict[str, str]]:
    return [
        {"element": f.element, "layer": f.layer, "becomes": f.becomes.value, "what": f.what} for f in findings
    ]


def _table(findings: Sequence[Finding]) -> list[str]:
    """Return a table of what was found, nothing where nothing was.

    What is alike, or differs only by a measure such as 0.13, is told in one line.
    """
    if not findings:
        return []
    alike: dict[tuple[str, Becomes, str], list[Finding]] = {}
    for finding in findings:
        kind = (finding.layer, finding.becomes, MEASURE.sub("#", finding.what))
        alike.setdefault(kind, []).append(finding)
    rows = [HEADINGS, *map(_cells, alike.values())]
    widths = [min(max(map(len, column)), MOST_WIDE) for column in zip(*rows, strict=True)][:-1]
    return [
        "  ".join([*(cell.ljust(width) for cell, width in zip(row[:-1], widths, strict=True)), row[-1]])
        for row in rows
    ]


def _cells(alike: list[Finding]) -> tuple[str, str, str, str]:
    """Return the line of findings that differ only by element and measures."""
    elements = list(dict.fromkeys(finding.element or WHOLE for finding in alike))
    named = ", ".join(elements[:MOST_NAMED])
    if len(elements) > MOST_NAMED:
        named += f" and {len(elements) - MOST_NAMED} more"
    first = alike[0]
    ranges = map(_range, zip(*(MEASURE.findall(finding.what) for finding in alike), strict=True))
    what = MEASURE.sub(lambda _: next(ranges), first.what)
    return one_line(named), one_line(first.layer), first.becomes.value, one_line(what)


def _range(measures: Sequence[str]) -> str:
    least, most = min(measures, key=float), max(measures, key=float)
    return least if least == most else f"{least} to {most}"

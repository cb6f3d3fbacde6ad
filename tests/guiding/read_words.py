"""A reader of the chart in words: the rows back to squares; knows the text, not how it is written."""

import itertools
import math
import re

from svg2chart.chart import Arrangement, Corner, Stitch, StitchKind

Squares = list[list[Arrangement]]
Line = tuple[int, frozenset[tuple[float, float]]]


def thread_names(text: str) -> dict[str, int]:
    found = re.findall(r"^Thread (\d+) is called (.*?)\. Key: ", text, re.MULTILINE)
    return {name: int(number) - 1 for number, name in found}


def read_rows(text: str) -> Squares:
    """Return what each square of each row holds."""
    names = thread_names(text)
    wide = int(re.findall(r"^([\d,]+) squares? wide", text, re.MULTILINE)[0].replace(",", ""))
    section = text.split("\n\nRow by row\n")[1].split("\n\n")[0]
    rows: Squares = []
    for line in section.strip().splitlines():
        place, held = line.rstrip(".").split(":", 1)
        count = len(read_numbers(place.removesuffix(", from the left").split(" ", 1)[1]))
        items = [(wide, "bare")]
        if held.strip() != "bare":
            split = [item.strip().split(" ", 1) for item in held.split(",")]
            items = [(int(number), words) for number, words in split]
        row = [arrangement for number, words in items for arrangement in [read_square(words, names)] * number]
        rows += [row] * count
    return rows


def read_square(words: str, names: dict[str, int]) -> Arrangement:
    if words == "bare":
        return ()
    if words in names:
        return (Stitch(kind=StitchKind.FULL, thread=names[words]),)
    if words.startswith("three-quarter "):
        matched = re.fullmatch(r"three-quarter (.*) with corner (\S+)(?: over a quarter of (.*))?", words)
        assert matched is not None
        name, corner, below = matched.groups()
        upper = Stitch(kind=StitchKind.THREE_QUARTER, thread=names[name], corner=Corner(corner))
        if below is None:
            return (upper,)
        lower = Stitch(kind=StitchKind.QUARTER, thread=names[below], corner=Corner(corner).opposite)
        return upper, lower
    found = re.findall(r"quarter (.*?) with corner (\S+)(?: and |$)", words)
    return tuple(Stitch(kind=StitchKind.QUARTER, thread=names[n], corner=Corner(c)) for n, c in found)


def read_numbers(words: str) -> list[int]:
    numbers: list[int] = []
    for part in re.split(", | and ", words):
        low, _, high = part.partition(" to ")
        numbers += range(int(low), int(high or low) + 1)
    return numbers


def read_threads(text: str) -> set[tuple[int, int, Stitch]]:
    """Return every stitch of the sections of the threads with its row and column."""
    names = thread_names(text)
    found = set()
    for section in text.split("\n\nThread by thread: ")[1:]:
        name, *lines = section.split("\n\n")[0].strip().splitlines()
        for line in lines:
            matched = re.fullmatch(r"Row (\d+): (.*)\.", line)
            assert matched is not None
            for part in matched[2].split("; "):
                kind, at = re.split(" in columns? ", part)
                word, _, corner = kind.partition(" with corner ")
                stitch = Stitch(
                    kind=StitchKind(word), thread=names[name], corner=Corner(corner) if corner else None
                )
                found |= {(int(matched[1]), column, stitch) for column in read_numbers(at)}
    return found


def read_backstitch(text: str) -> list[Line]:
    """Return every line of backstitch: its thread and its two holes."""
    names = thread_names(text)
    lines = []
    for name, way in re.findall(r"^Backstitch in (.*?): (.*)\.$", text, re.MULTILINE):
        holes = read_holes(way)
        lines += [(names[name], frozenset(pair)) for pair in itertools.pairwise(holes)]
    return lines


def read_knots(text: str) -> list[tuple[int, tuple[float, float]]]:
    names = thread_names(text)
    found = re.findall(r"^Knot in (.*?): (.*)\.$", text, re.MULTILINE)
    return [(names[name], *read_holes(at)) for name, at in found]


def read_holes(words: str) -> list[tuple[float, float]]:
    """Return the holes of a way as (column, row); what is not told of a hole is as it was before."""
    x, y = math.nan, math.nan
    holes = []
    for part in words.split(", to "):
        for place, line, number in re.findall(
            r"(above|below|left of|right of|middle of) (row|column) (\d+)", part
        ):
            at = int(number) - {"above": 1, "left of": 1, "middle of": 0.5}.get(place, 0)
            x, y = (at, y) if line == "column" else (x, at)
        holes.append((x, y))
    return holes

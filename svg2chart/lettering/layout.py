"""Where every cluster of a text stands: along lines, down columns and along paths.

A chunk is laid out on a line of its own, from 0 along it and with 0 on it; then the line is
laid on the page. Lengths along the line grow forwards, those across it to the right of the walk:

    horizontal: o--> along      vertical: across <--o       on a path: along is the way on the path,
                |                                   |       each cluster turns with it about the
                v across                            v along     middle of its foot
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate, groupby

import numpy as np

from svg2chart.artwork import Run, Track, Words
from svg2chart.geometry.affine import Affine
from svg2chart.geometry.distance import distances_along
from svg2chart.letterforms import ANCHORED
from svg2chart.lettering.clusters import Cluster, Letter, chunks_of, cluster_lines, is_upright
from svg2chart.lettering.fonts import Face
from svg2chart.lettering.metrics import baseline_height, letters_rise, metrics_of
from svg2chart.lettering.spacing import fit_lines, space_lines


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """A cluster at its place.

    place: from its own space, whose origin is where it starts on its baseline, to that of the words.
    glyphs_place: the same for its glyphs, which may be widened or upright in a column.
    """

    cluster: Cluster
    place: Affine
    glyphs_place: Affine


@dataclass(frozen=True, slots=True)
class _Line:
    """A chunk on its line: its clusters and the start of each (along, across); where the pen ends."""

    clusters: Sequence[Cluster]
    starts: Sequence[tuple[float, float]]
    end: tuple[float, float]


def place_clusters(
    words: Words, letters: Sequence[Letter], faces: Sequence[Face]
) -> tuple[list[Placed], list[Cluster]]:
    """Return the clusters of a text in the order of its chunks, along the line in each; and those left out.

    A chunk is moved so that its left edge, its middle or its right edge is where it begins. On a path,
    clusters whose middle lies beyond its ends are left out. Source: SVG 2, 11.5 "Text layout".

    Args:
        words: the text.
        letters: of all runs, in the same order.
        faces: that each run asks for.
    """
    runs = words.runs
    lines = fit_lines(space_lines(cluster_lines(words, letters), runs, letters), words.fitted)
    pen = (0.0, 0.0)
    walked = 0.0
    track: Track | None = None
    placed: list[Placed] = []
    beyond: list[Cluster] = []
    for chunk, members in groupby(range(len(runs)), key=chunks_of(runs).__getitem__):
        own = list(members)
        first = runs[own[0]]
        line = _laid_out(runs, own, lines.get(chunk, []), is_vertical=words.is_vertical)
        if first.track is None:
            pen = (pen[0] if first.x is None else first.x, pen[1] if first.y is None else first.y)
            frame = Affine.translation(*pen) @ Affine.rotation(90.0 if words.is_vertical else 0.0)
            spots: list[Affine | None] = [frame @ Affine.translation(*start) for start in line.starts]
            end = frame @ Affine.translation(*line.end)
            pen = (end.e, end.f)
        else:
            begin = first.y if words.is_vertical else first.x
            if first.track is not track or begin is not None:
                walked = begin or 0.0
            spots = _on_track(first.track, line, walked, anchor=first.anchor)
            walked += line.end[0]
            last = first.track.path.segments[-1, 3]
            pen = (float(last[0]), float(last[1]))
        track = first.track
        for cluster, spot in zip(line.clusters, spots, strict=True):
            if spot is None:
                beyond.append(cluster)
            else:
                placed.append(_placed(words, letters, faces, cluster, spot))
    return placed, beyond


def _laid_out(
    runs: Sequence[Run], own: Sequence[int], clusters: Sequence[Cluster], *, is_vertical: bool
) -> _Line:
    """Return a chunk on its line, aligned; `own` are the indices of its runs."""
    moves = [(runs[k].dy, -runs[k].dx) if is_vertical else (runs[k].dx, runs[k].dy) for k in own]
    alongs = dict(zip(own, accumulate((move[0] for move in moves[1:]), initial=0.0), strict=True))
    acrosses = dict(zip(own, accumulate((move[1] for move in moves[1:]), initial=0.0), strict=True))
    pens = list(accumulate((cluster.advance for cluster in clusters), initial=0.0))
    places = [pens[k] + alongs[cluster.run] for k, cluster in enumerate(clusters)]
    end = pens[-1] + alongs[own[-1]]
    back = ANCHORED.get(runs[own[0]].anchor, 0.0) * end
    along, across = moves[0]
    starts = [(at + along - back, across + acrosses[c.run]) for at, c in zip(places, clusters, strict=True)]
    return _Line(clusters, starts, (end + along - back, across + acrosses[own[-1]]))


def _on_track(track: Track, line: _Line, walked: float, *, anchor: str) -> list[Affine | None]:
    """Return the spot on a track where each cluster starts, None beyond its ends.

    A closed track has no ends, the letters go once round it: from where the text is anchored forwards,
    half the way to either side, or backwards (SVG 2, 11.8.3).
    """
    halves = [cluster.width / 2 for cluster in line.clusters]
    alongs = np.array([along + half for (along, _), half in zip(line.starts, halves, strict=True)]) + walked
    distances = distances_along(track.path)
    places = track.offset + alongs
    if track.path.closed.tolist() == [True] and distances.length > 0:
        behind = ANCHORED.get(anchor, 0.0) * distances.length
        is_once_round = (alongs >= -behind) & (alongs <= distances.length - behind)
        places = np.where(is_once_round, places % distances.length, np.nan)
    found = distances.at(places)
    spots: list[Affine | None] = []
    for (x, y), (right, down), is_there, half, (_, across) in zip(
        *(array.tolist() for array in found), halves, line.starts, strict=True
    ):
        turned = Affine(right, down, -down, right, x, y)
        spots.append(turned @ Affine.translation(-half, across) if is_there else None)
    return spots


def _placed(
    words: Words, letters: Sequence[Letter], faces: Sequence[Face], cluster: Cluster, spot: Affine
) -> Placed:
    """Return a cluster that its line has start at a spot: raised, turned, widened and upright as asked."""
    run = words.runs[cluster.run]
    face = cluster.face or faces[cluster.run]
    rise = letters_rise(run, faces[cluster.run])
    if not words.is_vertical:  # columns are aligned by the middle of their letters
        rise -= baseline_height(metrics_of(faces[cluster.run]), run.baseline) * run.size
    place = spot @ Affine.translation(0.0, -rise) @ Affine.rotation(run.turn)
    inner = Affine.scaling(cluster.stretch, 1.0)
    if words.is_vertical:
        middle = metrics_of(face).middle * run.size
        inner = Affine.translation(0.0, middle) @ inner
        if is_upright(letters[cluster.letter].character):
            centre = Affine.translation(cluster.width / 2, -middle)
            inner = inner @ centre @ Affine.rotation(-90.0) @ centre.inverse()
    return Placed(cluster=cluster, place=place, glyphs_place=place @ inner)

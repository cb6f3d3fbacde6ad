"""Gaps between letters and words, and words that take up a given length."""

from collections.abc import Mapping, Sequence
from dataclasses import replace

from fontTools import unicodedata

from svg2chart.artwork import Fitted, Run
from svg2chart.lettering.clusters import Cluster, Letter

# Scripts whose letters join: they are not set apart. Source: CSS Text Level 3, 8.2.2
_JOINING = frozenset(("Arab", "Mand", "Mong", "Nkoo", "Phag", "Rohg", "Syrc"))
# Source: CSS Text Level 3, 8.1 "word-separator characters"
_SEPARATORS = frozenset("\u0020\u00a0\u1361\U00010100\U00010101\U0001039f\U0001091f")

Lines = Mapping[int, Sequence[Cluster]]


def space_lines(lines: Lines, runs: Sequence[Run], letters: Sequence[Letter]) -> dict[int, list[Cluster]]:
    """Return lines with the gaps between letters and words that their runs ask for.

    No gap is added after the last letter of a line. A letter after which the pen would go back by more than
    the size of the letters is left without glyphs and room: CSS lets each program set such a limit.
    Source: CSS Text Level 3, 8.
    """
    return {
        chunk: [
            _spaced(cluster, runs[cluster.run], letters, is_last=k + 1 == len(line))
            for k, cluster in enumerate(line)
        ]
        for chunk, line in lines.items()
    }


def _spaced(cluster: Cluster, run: Run, letters: Sequence[Letter], *, is_last: bool) -> Cluster:
    character = letters[cluster.letter].character
    is_apart = not is_last and unicodedata.script(character) not in _JOINING
    advance = cluster.advance + (run.letter_spacing if is_apart else 0.0)
    if advance < -run.size:
        return replace(cluster, glyphs=(), width=0.0, advance=0.0)
    return replace(cluster, advance=advance + (run.word_spacing if character in _SEPARATORS else 0.0))


def fit_lines(lines: Lines, fitted: Sequence[Fitted]) -> dict[int, list[Cluster]]:
    """Return lines whose stretches take up the lengths that they were given.

    Either every gap but the last becomes wider by the same, or all letters become wider. Source: SVG 2,
    11.5.2 "resolve text length". A stretch of one letter has no gap, one without any width cannot be widened.
    """
    done = {chunk: list(line) for chunk, line in lines.items()}
    for stretch in fitted:
        held = [
            (chunk, k)
            for chunk, line in done.items()
            for k, cluster in enumerate(line)
            if stretch.first <= cluster.run < stretch.last
        ]
        taken = sum(done[chunk][k].advance for chunk, k in held)
        if stretch.has_wider_letters and taken > 0 and stretch.length > 0:
            for chunk, k in held:
                done[chunk][k] = _widened(done[chunk][k], stretch.length / taken)
        elif not stretch.has_wider_letters and len(held) > 1:
            gap = (stretch.length - taken) / (len(held) - 1)
            for chunk, k in held[:-1]:
                done[chunk][k] = replace(done[chunk][k], advance=done[chunk][k].advance + gap)
    return done


def _widened(cluster: Cluster, factor: float) -> Cluster:
    return replace(
        cluster,
        width=cluster.width * factor,
        advance=cluster.advance * factor,
        stretch=cluster.stretch * factor,
    )

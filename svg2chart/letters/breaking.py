"""Words broken into lines: the breaks of a whole paragraph together, so that its lines are evenly full."""

from collections.abc import Sequence


def break_lines(widths: Sequence[int], *, space: int, width: int) -> list[list[int]]:
    """Return the indices of the words of each line.

    Of all ways to break, the one with the least sum of squared free squares at the ends of lines, that of the
    last line left out; of equals the one whose first lines are fuller. Source: the method of total fit of
    Knuth and Plass, "Breaking paragraphs into lines" (1981), for lines without stretch.

    Args:
        widths: of the words in squares, none above `width`.
        space: least squares between words.
        width: of the lines.

    >>> break_lines([3, 2, 2, 5], space=1, width=6)
    [[0], [1, 2], [3]]
    """
    count = len(widths)
    best: list[tuple[int, int]] = [(0, 0)] * (
        count + 1
    )  # from each word on: cost, and the word after the line
    for first in reversed(range(count)):
        tries = []
        held = -space
        for last in range(first, count):
            held += space + widths[last]
            if held > width:
                break
            slack = 0 if last + 1 == count else (width - held) ** 2
            tries.append((slack + best[last + 1][0], -(last + 1)))
        cost, after = min(tries)
        best[first] = cost, -after
    lines, at = [], 0
    while at < count:
        after = best[at][1]
        lines.append(list(range(at, after)))
        at = after
    return lines

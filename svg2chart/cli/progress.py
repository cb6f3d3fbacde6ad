"""What is going on during long work: one line on a terminal, nothing or plain lines anywhere else."""

import sys
from collections.abc import Callable

_WIPE = "\r\x1b[2K"  # to the start of the line, which is erased; ECMA-48, 8.3.41


def tell_progress(what: str) -> None:
    """Show what is going on in place of what was shown before; "" shows nothing."""
    if _is_terminal():
        print(f"{_WIPE}{what}", end="", file=sys.stderr, flush=True)


def tell_page(number: int, of: int) -> None:
    """Show which page is being drawn."""
    tell_progress(f"page {number} of {of}")


class Progress:
    """How far many files have come: on a terminal count, rate, time left, elsewhere a line a file."""

    def __init__(self, number: int, clock: Callable[[], float]) -> None:
        self._number = number
        self._clock = clock
        self._start = clock()
        self._done = 0
        self._worked = 0

    def tell(self, line: str, *, is_loud: bool, is_work: bool) -> None:
        """Tell that a file is done; a loud line stays on a terminal too, only work counts for the rate."""
        self._done += 1
        self._worked += is_work
        if not _is_terminal():
            if sys.stderr is not None:
                print(f"{self._done} of {self._number}: {line}", file=sys.stderr, flush=True)
            return
        if is_loud:
            tell_progress("")
            print(line, file=sys.stderr)
        tell_progress(self._how_far())

    def _how_far(self) -> str:
        told = f"{self._done} of {self._number}"
        seconds = self._clock() - self._start
        if not self._worked or seconds <= 0:
            return told
        rate = self._worked / seconds
        return f"{told}, {rate:.1f} a second, {_time((self._number - self._done) / rate)} left"


def _time(seconds: float) -> str:
    """Return a length of time in words.

    >>> _time(42.4), _time(125), _time(7500)
    ('42 s', '2 min', '2 h 5 min')
    """
    if seconds < 100:
        return f"{seconds:.0f} s"
    minutes = round(seconds / 60)
    return f"{minutes} min" if minutes < 100 else f"{minutes // 60} h {minutes % 60} min"


def _is_terminal() -> bool:
    return sys.stderr is not None and sys.stderr.isatty()

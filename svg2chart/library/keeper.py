"""One child process and what it is allowed: a file that takes too much is ended, the next one goes on."""

import pickle
import signal
import subprocess
import sys
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass, replace
from pathlib import Path
from threading import Lock, Timer

from svg2chart.library.child import Outcome
from svg2chart.library.work import Job

_ROOT = str(Path(__file__).resolve().parents[2])
_START = "import sys; sys.path.insert(0, sys.argv.pop(1)); from svg2chart.library.child import main; main()"

Clock = Callable[[], float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Allowed:
    """What one file may take: seconds on the clock, bytes of memory beyond what the process has anyway."""

    seconds: float
    memory: int


class Keeper:
    """A child process that is started when it is needed, and again when it is gone.

    Used by one thread; only `end` may be called by another.
    """

    def __init__(self, allowed: Allowed, clock: Clock) -> None:
        self._allowed = allowed
        self._clock = clock
        self._child: subprocess.Popen[bytes] | None = None
        self._lock = Lock()
        self._is_working = False
        self._is_late = False
        self._has_ended = False

    def outcome(self, job: Job) -> Outcome:
        """Return what comes of a job; never raises for what the job does to its process."""
        child = self._ready_child()
        self._is_working, self._is_late = True, False
        timer = Timer(self._allowed.seconds, self._end_late, [child])
        timer.daemon = True
        start = self._clock()
        timer.start()
        outcome = _asked(child, job)
        with self._lock:
            self._is_working = False
        timer.cancel()
        if outcome is None or self._is_late:
            self._child = None
            status = _reaped(child)
            outcome = outcome or Outcome(failure=self._why_gone(status))
        return replace(outcome, seconds=self._clock() - start)

    def end(self) -> None:
        """End the process, whatever it is doing, for good."""
        with self._lock:
            self._has_ended = True
            child = self._child
        if child is not None:
            child.kill()
            child.wait()

    def _ready_child(self) -> "subprocess.Popen[bytes]":
        """Return the process, started if there is none or something else has ended it."""
        with self._lock:
            child = self._child
            if child is not None and child.poll() is None:
                return child
            child = self._child = _start(self._allowed)
            if self._has_ended:
                child.kill()
        _told(child)  # that it is ready; where it is gone instead, the next question shows it
        return child

    def _end_late(self, child: "subprocess.Popen[bytes]") -> None:
        with self._lock:
            if self._is_working:
                self._is_late = True
                child.kill()

    def _why_gone(self, status: int) -> str:
        if self._is_late:
            return f"took more than {self._allowed.seconds:g} seconds and was ended"
        return f"its process ended at once ({_status_words(status)})"


def _reaped(child: "subprocess.Popen[bytes]") -> int:
    """End a process and return its status."""
    child.kill()
    for stream in (child.stdin, child.stdout):
        if stream is not None:
            with suppress(OSError):  # what could not be sent is lost with it
                stream.close()
    return child.wait()


def _start(allowed: Allowed) -> "subprocess.Popen[bytes]":
    arguments = [_START, _ROOT, str(allowed.memory), str(allowed.seconds)]
    return subprocess.Popen(
        [sys.executable, "-P", "-c", *arguments],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
    )


def _asked(child: "subprocess.Popen[bytes]", job: Job) -> Outcome | None:
    """Return the outcome of a job, None where the process is gone before it is told."""
    assert child.stdin is not None
    try:
        pickle.dump(job, child.stdin)
        child.stdin.flush()
    except OSError:
        return None
    outcome = _told(child)
    return outcome if isinstance(outcome, Outcome) else None


def _told(child: "subprocess.Popen[bytes]") -> object:
    """Return what a process says next, None where it is gone."""
    assert child.stdout is not None
    try:
        return pickle.load(child.stdout)
    except (OSError, EOFError, ValueError, pickle.UnpicklingError):
        return None


def _status_words(status: int) -> str:
    if status >= 0:
        return f"status {status}"
    try:
        return f"signal {signal.Signals(-status).name}"
    except ValueError:
        return f"signal {-status}"

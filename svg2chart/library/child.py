"""The process that works on one file after the other, and may be ended at any moment.

It says that it is ready, reads jobs from its standard input and writes outcomes
to its standard output, all pickled; where its parent is gone it ends.
"""

import contextlib
import os
import pickle
import signal
import sys
import traceback
from dataclasses import dataclass

from svg2chart.errors import ChartError
from svg2chart.library.work import Job, Results, results_of

try:
    import resource
except ImportError:  # Windows has no limits of this kind
    resource = None  # type: ignore[assignment]

READY = "ready"
"""What it says when it has started, which takes longer than most files."""

GIVE_UP_AFTER = 2.0
"""A process whose parent is gone ends when it has taken so many times the CPU time that a file may take."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """What came of a file: its results, or why there are none.

    seconds: on the clock of whoever asked for it.
    """

    results: Results | None = None
    failure: str = ""
    seconds: float = 0.0


def main() -> None:
    """Work until there are no more jobs. Arguments: bytes of memory and seconds for each file."""
    memory, seconds = int(sys.argv[1]), float(sys.argv[2])
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C is for the parent, who ends this process
    jobs, outcomes = os.fdopen(os.dup(0), "rb"), os.fdopen(os.dup(1), "wb")
    os.dup2(2, 1)  # whatever a library prints is no outcome
    with contextlib.suppress(EOFError, BrokenPipeError):
        pickle.dump(READY, outcomes)
        outcomes.flush()
        while True:
            job = pickle.load(jobs)
            _limit_memory(memory)
            _limit_cpu(seconds)
            outcome = _outcome(job, memory)
            pickle.dump(outcome, outcomes)
            outcomes.flush()


def _outcome(job: Job, memory: int) -> Outcome:
    try:
        return Outcome(results=results_of(job))
    except ChartError as error:
        return Outcome(failure=str(error))
    except Exception as error:  # a mistake of ours must not end the run of a whole library
        if isinstance(error, MemoryError) or "bad_alloc" in str(error):  # the second is from C++
            failure = f"takes more than {memory // 2**20} MiB of memory and was ended"
            return Outcome(failure=failure)
        frame = traceback.extract_tb(error.__traceback__)[-1]
        place = f"{os.path.basename(frame.filename)} line {frame.lineno}"
        what = (
            f"a mistake in svg2chart, please report it with the drawing ({type(error).__name__} in {place})"
        )
        return Outcome(failure=what)


def _limit_memory(more: int) -> None:
    """Let the process take so many bytes more than it has now, where the system can say so."""
    if resource is None:
        return
    try:
        with open("/proc/self/statm", "rb") as file:
            pages = int(file.read().split()[0])
    except OSError:  # not Linux
        return
    most = pages * resource.getpagesize() + more
    resource.setrlimit(resource.RLIMIT_AS, (most, resource.getrlimit(resource.RLIMIT_AS)[1]))


def _limit_cpu(seconds: float) -> None:
    """End the process by the system after far more time than it should take, should its parent be gone."""
    if resource is not None:
        used = resource.getrusage(resource.RUSAGE_SELF)
        most = int(used.ru_utime + used.ru_stime + GIVE_UP_AFTER * seconds) + 1
        resource.setrlimit(resource.RLIMIT_CPU, (most, resource.getrlimit(resource.RLIMIT_CPU)[1]))

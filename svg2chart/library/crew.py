"""Those who do the jobs: processes of this machine, one for each worker."""

from concurrent.futures import ThreadPoolExecutor
from queue import SimpleQueue
from threading import Lock, local
from types import TracebackType
from typing import Protocol

from svg2chart.library.child import Outcome
from svg2chart.library.keeper import Allowed, Clock, Keeper
from svg2chart.library.work import Job


class Crew(Protocol):
    """Does jobs in any order. `room` is how many it should have in hand to be busy."""

    room: int

    def give(self, number: int, job: Job) -> None:
        """Hand over a job, numbered by the caller."""

    def take(self) -> tuple[int, Outcome]:
        """Wait for a job to be done and return its number and what came of it."""

    def end(self) -> None:
        """Stop whatever is going on."""


class Workers:
    """A crew of processes of this machine."""

    def __init__(self, workers: int, allowed: Allowed, clock: Clock) -> None:
        self.room = 2 * workers  # one more for each, so that none waits for the next
        self._allowed, self._clock = allowed, clock
        self._threads = ThreadPoolExecutor(workers)
        self._own = local()
        self._keepers: list[Keeper] = []
        self._lock = Lock()
        self._has_ended = False
        self._done: SimpleQueue[tuple[int, Outcome | BaseException]] = SimpleQueue()

    def __enter__(self) -> "Workers":
        return self

    def __exit__(
        self, _kind: type[BaseException] | None, _error: BaseException | None, _trace: TracebackType | None
    ) -> None:
        self.end()

    def give(self, number: int, job: Job) -> None:
        """Hand over a job, numbered by the caller."""
        self._threads.submit(self._do, number, job)

    def take(self) -> tuple[int, Outcome]:
        """Wait for a job to be done and return its number and what came of it."""
        number, outcome = self._done.get()
        if isinstance(outcome, BaseException):
            raise outcome
        return number, outcome

    def end(self) -> None:
        """End all processes, whatever they are doing."""
        with self._lock:
            self._has_ended = True
        self._threads.shutdown(wait=False, cancel_futures=True)
        for keeper in self._keepers:
            keeper.end()
        self._threads.shutdown(wait=True)

    def _do(self, number: int, job: Job) -> None:
        try:
            self._done.put((number, self._keeper().outcome(job)))
        except BaseException as error:  # told by the thread that takes what is done
            self._done.put((number, error))

    def _keeper(self) -> Keeper:
        """Return the keeper of this thread."""
        with self._lock:
            if not hasattr(self._own, "keeper"):
                self._own.keeper = Keeper(self._allowed, self._clock)
                self._keepers.append(self._own.keeper)
            keeper: Keeper = self._own.keeper
            if self._has_ended:  # while this thread took its first job
                keeper.end()
            return keeper

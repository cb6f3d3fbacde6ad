"""A crew past one machine: the same jobs on the workers of a Dask cluster.

Bytes go there and come back, so that no folder need be shared. On its machine
each thread of a worker keeps a process of its own, with the same limits as here.
"""

from concurrent.futures import CancelledError
from threading import local
from types import TracebackType

from distributed import Client, Future, KilledWorker, as_completed
from distributed.comm import CommClosedError

from svg2chart.errors import ChartError
from svg2chart.library.child import Outcome
from svg2chart.library.keeper import Allowed, Clock, Keeper
from svg2chart.library.work import Job

ANSWER_SECONDS = 10.0
"""How long a scheduler may take to answer."""

_own = local()


def do_job(job: Job, allowed: Allowed, clock: Clock) -> Outcome:
    """Return what comes of a job, done by the process that this thread keeps."""
    if not hasattr(_own, "keeper"):
        _own.keeper = Keeper(allowed, clock)
    keeper: Keeper = _own.keeper
    return keeper.outcome(job)


class Cluster:
    """A crew of the workers of a scheduler."""

    def __init__(self, address: str, allowed: Allowed, clock: Clock) -> None:
        """Connect to the scheduler at an address such as tcp://127.0.0.1:8786. Raises ChartError."""
        self._allowed, self._clock = allowed, clock
        try:
            self._client = Client(address, timeout=ANSWER_SECONDS, set_as_default=False)
            self._client.wait_for_workers(1, timeout=3 * ANSWER_SECONDS)
        except (OSError, ValueError, TimeoutError, CommClosedError) as error:
            raise ChartError(
                f"no scheduler with workers answers at {address} ({error or type(error).__name__})",
                way_out="Start one as the manual says: svg2chart help library",
            ) from error
        threads = sum(self._client.nthreads().values())
        self.room = 2 * max(threads, 1)
        self._done = as_completed(loop=self._client.loop, raise_errors=False)
        self._numbers: dict[str, int] = {}

    def __enter__(self) -> "Cluster":
        return self

    def __exit__(
        self, _kind: type[BaseException] | None, _error: BaseException | None, _trace: TracebackType | None
    ) -> None:
        self.end()

    def give(self, number: int, job: Job) -> None:
        """Hand over a job, numbered by the caller."""
        future = self._client.submit(do_job, job, self._allowed, self._clock, pure=False)
        self._numbers[future.key] = number
        self._done.add(future)

    def take(self) -> tuple[int, Outcome]:
        """Wait for a job to be done and return its number and what came of it. Raises ChartError."""
        future: Future = next(self._done)
        number = self._numbers.pop(future.key)
        try:
            outcome = future.result()
        except KilledWorker:
            return number, Outcome(failure="every worker of the cluster that tried it was lost")
        except (CancelledError, CommClosedError, OSError, TimeoutError) as error:
            raise ChartError(
                f"the cluster is gone ({error or type(error).__name__})",
                way_out="What is made is kept: start the cluster and the library again",
            ) from error
        finally:
            future.release()
        assert isinstance(outcome, Outcome)
        return number, outcome

    def end(self) -> None:
        """Leave the cluster; jobs that it still has in hand are dropped."""
        self._client.close(timeout=5)

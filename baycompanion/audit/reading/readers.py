"""Reading many jobs at once: here, and once it takes long in as many processes as help."""

import os
import signal
import time
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager
from multiprocessing import get_context
from types import FrameType, TracebackType
from typing import ParamSpec, TypeVar

from baycompanion.audit.reading.job_reading import JobAsked, JobGiven, read_jobs, read_one

ALONE = 0.5
"""Seconds of reading here before other processes are begun; it goes on here until they are there,
which takes them about a second of their own."""

P = ParamSpec("P")
T = TypeVar("T")

MOST = 16
"""Processes; beyond, the disk is what is waited for. Own choice."""

Given = Callable[[], list[JobGiven]]
"""Gives what was read, and waits for it where it must."""


class Readers:
    """Reads jobs, the results in the order in which they are asked for."""

    def __init__(self, processes: int | None = None, alone: float = ALONE) -> None:
        """Read in so many `processes`, by default one for each core; `alone` is as `ALONE`."""
        self.processes = min(processes or _cores(), MOST)
        self._left = alone
        self._pool: ProcessPoolExecutor | None = None
        self._coming: list[Future[None]] = []
        """Done as soon as the other processes are there."""
        self._broken = False

    def __enter__(self) -> "Readers":
        """Return them, to be sent home in the end."""
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        """Send the other processes home; what they were asked and nobody waits for is dropped."""
        if self._pool is not None:
            self._pool.shutdown(wait=False, cancel_futures=True)

    def read(self, jobs: Sequence[JobAsked]) -> Given:
        """Return what gives the results of `jobs`, in their order."""
        if jobs and self.processes > 1 and self._left <= 0 and not self._broken:
            try:
                if self._are_there():
                    future = self._submit(_read_unless_stopped, jobs)
                    return lambda: self._there(future, jobs)
            except (OSError, ImportError, NotImplementedError, BrokenProcessPool):
                self._broken = True  # a system without what processes share
        return lambda: self._here(jobs)

    def _are_there(self) -> bool:
        """Begin the other processes, the first time, and return whether they are there by now."""
        if self._pool is None:
            context = get_context("spawn")  # the one way that every system has
            self._pool = ProcessPoolExecutor(self.processes, context, _begin)
            self._coming = [self._submit(_be_there) for _ in range(self.processes)]
        return all(each.done() for each in self._coming)

    def _submit(self, act: Callable[P, T], *args: P.args, **kwargs: P.kwargs) -> "Future[T]":
        assert self._pool is not None
        with _interrupts_wait():
            return self._pool.submit(act, *args, **kwargs)

    def _here(self, jobs: Sequence[JobAsked]) -> list[JobGiven]:
        begun = time.monotonic()
        given = read_jobs(jobs)
        self._left -= time.monotonic() - begun
        return given

    def _there(self, future: "Future[list[JobGiven]]", jobs: Sequence[JobAsked]) -> list[JobGiven]:
        try:
            return future.result()
        except BrokenProcessPool:  # the system ended one of them
            self._broken = True
            return self._here(jobs)


def _cores() -> int:
    """Return on how many cores this process may run."""
    try:
        return len(os.sched_getaffinity(0))
    except AttributeError:  # only some systems say
        return os.cpu_count() or 1


@contextmanager
def _interrupts_wait() -> Iterator[None]:
    """Let Ctrl-C wait, here and in a process that begins meanwhile, which would die of it loudly.

    Windows gives a new process no mask of its parent, and goes without.
    """
    if not hasattr(signal, "pthread_sigmask"):
        yield
        return
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


def _be_there() -> None:
    """Do nothing: a process that has done it has loaded all that it needs."""


_stopped = False


def _begin() -> None:
    """Begin one of the other processes: after Ctrl-C, which reaches all, it reads no more jobs."""
    signal.signal(signal.SIGINT, _stop)
    if hasattr(signal, "pthread_sigmask"):
        signal.pthread_sigmask(signal.SIG_UNBLOCK, {signal.SIGINT})


def _stop(signal_: int, frame: FrameType | None) -> None:
    global _stopped
    _stopped = True


def _read_unless_stopped(jobs: Sequence[JobAsked]) -> list[JobGiven]:
    """Return what `jobs` give; what nobody waits for after Ctrl-C is left out."""
    given = []
    for job in jobs:
        if _stopped:
            break
        given.append(read_one(job))
    return given

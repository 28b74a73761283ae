"""Work off the window's thread: one writer for the logbook, two workers for all else.

A worker gets plain data and a ``Progress``, and returns plain data.  Its result, its error and its
progress reach the main thread through one signal.  Nothing here touches a widget from a worker.
"""

from __future__ import annotations

import sys
import threading
import time
from collections.abc import Callable
from concurrent.futures import CancelledError, Future, ThreadPoolExecutor
from typing import Any, NamedTuple

import shiboken6
from PySide6.QtCore import QCoreApplication, QEvent, QObject, Qt, Signal

Work = Callable[["Progress"], Any]
Done = Callable[[Any], object]
Failed = Callable[[BaseException], object]


class Cancelled(Exception):
    """The person pressed Cancel; the worker stopped between two steps."""


class Progress:
    """What a worker tells and asks while it works.

    Call it between steps: it says how far the work is, and raises ``Cancelled`` when it should end.
    """

    def __init__(self, tell: Callable[[int, int], None]) -> None:
        self._tell = tell
        self._stop = threading.Event()

    def __call__(self, done: int, of: int) -> None:
        """Say that ``done`` of ``of`` steps are done.  Raises Cancelled."""
        self.check()
        self._tell(done, of)

    def check(self) -> None:
        """Raise Cancelled when Cancel was pressed."""
        if self._stop.is_set():
            raise Cancelled

    @property
    def cancelled(self) -> bool:
        """Whether Cancel was pressed."""
        return self._stop.is_set()

    def cancel(self) -> None:
        """Ask the worker to stop at its next step."""
        self._stop.set()


class Job(QObject):
    """One piece of work under way, seen from the main thread."""

    progressed = Signal(int, int)
    succeeded = Signal(object)
    failed = Signal(object)
    ended = Signal()

    def __init__(self, parent: QObject, tell: Callable[[Job, int, int], None]) -> None:
        super().__init__(parent)
        self.running = True
        self.progress = Progress(lambda done, of: tell(self, done, of))

    def cancel(self) -> None:
        """Ask it to stop; ``failed`` then brings ``Cancelled``."""
        self.progress.cancel()


class _Step(NamedTuple):
    job: Job
    done: int
    of: int


class _End(NamedTuple):
    job: Job
    future: Future[Any]
    done: Done | None
    failed: Failed | None
    owner: QObject | None


class Tasks(QObject):
    """The executors of the window.  Make one, and close it last.

    ``owner`` of a piece of work is the object whose life its callbacks depend on: when it is gone,
    they are not called.  An error that nobody takes goes to ``sys.excepthook``.
    """

    busy_changed = Signal(bool)
    _arrived = Signal(object)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._writer = ThreadPoolExecutor(1, "hulllog-writer")
        self._workers = ThreadPoolExecutor(2, "hulllog-worker")
        self._jobs: set[Job] = set()
        self._closed = False
        self._arrived.connect(self._deliver, Qt.ConnectionType.QueuedConnection)

    def write(
        self,
        work: Work,
        done: Done | None = None,
        failed: Failed | None = None,
        *,
        owner: QObject | None = None,
    ) -> Job:
        """Do work that writes the logbook; such works run one after the other."""
        return self._start(self._writer, work, done, failed, owner)

    def run(
        self,
        work: Work,
        done: Done | None = None,
        failed: Failed | None = None,
        *,
        owner: QObject | None = None,
    ) -> Job:
        """Do work that writes no logbook: pictures, files, reading."""
        return self._start(self._workers, work, done, failed, owner)

    @property
    def busy(self) -> bool:
        """Whether anything is under way."""
        return bool(self._jobs)

    def settle(self, seconds: float = 30.0) -> bool:
        """Turn the event loop until nothing is under way; False when that took too long."""
        until = time.monotonic() + seconds
        while self._jobs and time.monotonic() < until:
            QCoreApplication.processEvents()
            time.sleep(0.001)
        QCoreApplication.processEvents()
        return not self._jobs

    def close(self) -> None:
        """Finish what writes, stop what does not, and deliver what is left."""
        if self._closed:
            return
        self._closed = True
        self._writer.shutdown(wait=True)
        for job in self._jobs:
            job.cancel()
        self._workers.shutdown(wait=True, cancel_futures=True)
        QCoreApplication.sendPostedEvents(self, QEvent.Type.MetaCall.value)

    def _start(
        self,
        executor: ThreadPoolExecutor,
        work: Work,
        done: Done | None,
        failed: Failed | None,
        owner: QObject | None,
    ) -> Job:
        job = Job(self, self._tell)
        if not self._jobs:
            self.busy_changed.emit(True)
        self._jobs.add(job)
        future = executor.submit(work, job.progress)
        future.add_done_callback(
            lambda ended: self._arrived.emit(_End(job, ended, done, failed, owner))
        )
        return job

    def _tell(self, job: Job, done: int, of: int) -> None:
        self._arrived.emit(_Step(job, done, of))

    def _deliver(self, news: _Step | _End) -> None:
        if isinstance(news, _Step):
            news.job.progressed.emit(news.done, news.of)
            return
        job = news.job
        self._jobs.discard(job)
        job.running = False
        try:
            if news.owner is None or shiboken6.isValid(news.owner):
                _hand_over(news)
        finally:
            job.ended.emit()
            job.deleteLater()
            if not self._jobs:
                self.busy_changed.emit(False)


def _hand_over(news: _End) -> None:
    future, job = news.future, news.job
    problem = CancelledError() if future.cancelled() else future.exception()
    if problem is None:
        job.succeeded.emit(future.result())
        if news.done is not None:
            news.done(future.result())
        return
    job.failed.emit(problem)
    if news.failed is not None:
        news.failed(problem)
    elif not isinstance(problem, Cancelled | CancelledError):
        sys.excepthook(type(problem), problem, problem.__traceback__)

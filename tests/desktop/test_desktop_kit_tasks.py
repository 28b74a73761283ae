from __future__ import annotations

import sys
import threading

import pytest
from PySide6.QtCore import QObject

from hulllog.desktop.tasks import Cancelled, Tasks


def test_a_result_comes_back_on_the_main_thread(tasks):
    seen = []
    tasks.run(
        lambda _progress: threading.current_thread().name,
        lambda name: seen.append((name, threading.current_thread())),
    )
    assert tasks.settle()
    ((worker, delivered),) = seen
    assert worker.startswith("hulllog-worker")
    assert delivered is threading.main_thread()


def test_an_error_comes_back_instead_of_a_result(tasks):
    seen: list[object] = []

    def fail(_progress):
        raise OSError(28, "No space left on device")

    tasks.write(fail, seen.append, lambda problem: seen.append(type(problem)))
    assert tasks.settle()
    assert seen == [OSError]


def test_what_writes_runs_one_after_the_other_in_the_order_asked(tasks):
    begun = threading.Event()
    order = []
    tasks.write(lambda _progress: (begun.wait(5), order.append("first")))
    tasks.write(lambda _progress: order.append("second"))
    tasks.run(lambda _progress: begun.set())
    assert tasks.settle()
    assert order == ["first", "second"]


def test_cancel_stops_between_steps_and_leaves_the_rest_undone(tasks, qtbot):
    done, seen = [], []
    at_two = threading.Event()
    go_on = threading.Event()

    def work(progress):
        for number in range(5):
            progress(number, 5)
            done.append(number)
            if number == 1:
                at_two.set()
                go_on.wait(5)

    job = tasks.run(work, failed=seen.append)
    steps = []
    job.progressed.connect(lambda at, of: steps.append((at, of)))
    assert at_two.wait(5)
    job.cancel()
    go_on.set()
    assert tasks.settle()
    assert done == [0, 1]
    assert isinstance(seen[0], Cancelled)
    assert steps == [(0, 5), (1, 5)]
    assert not job.running


def test_an_error_that_nobody_takes_reaches_the_hook(tasks, monkeypatch):
    caught = []
    monkeypatch.setattr(sys, "excepthook", lambda kind, *_rest: caught.append(kind))

    def fail(_progress):
        raise ZeroDivisionError

    tasks.run(fail)
    assert tasks.settle()
    assert caught == [ZeroDivisionError]


def test_a_cancelled_job_that_nobody_watches_is_no_error(tasks, monkeypatch):
    caught = []
    monkeypatch.setattr(sys, "excepthook", lambda *what: caught.append(what))

    def work(progress):
        progress.cancel()
        progress.check()

    tasks.run(work)
    assert tasks.settle()
    assert caught == []


def test_nobody_is_told_when_the_owner_is_gone(tasks, qtbot):
    import shiboken6

    owner, seen, hold = QObject(), [], threading.Event()
    tasks.run(lambda _progress: hold.wait(5), seen.append, owner=owner)
    shiboken6.delete(owner)
    hold.set()
    assert tasks.settle()
    assert seen == []


def test_closing_finishes_what_writes_and_delivers_it(qtbot):
    tasks, seen = Tasks(), []
    for number in range(20):
        tasks.write(lambda _progress, number=number: number, seen.append)
    tasks.close()
    assert seen == list(range(20))
    assert not tasks.busy


def test_busy_is_told_once_for_many_jobs(tasks):
    told = []
    tasks.busy_changed.connect(told.append)
    for _ in range(3):
        tasks.write(lambda _progress: None)
    assert tasks.settle()
    assert told == [True, False]


@pytest.mark.parametrize("way", ["run", "write"])
def test_work_after_closing_is_refused(qtbot, way):
    tasks = Tasks()
    tasks.close()
    with pytest.raises(RuntimeError):
        getattr(tasks, way)(lambda _progress: None)

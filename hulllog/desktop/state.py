"""What the window shows: the open logbook, the edge it is read from, and how it is changed."""

from __future__ import annotations

import contextlib
import threading
from typing import TYPE_CHECKING, Any, TypeVar

from PySide6.QtCore import QObject, Qt, Signal

from hulllog.desktop.drafts import Drafts, NoDrafts
from hulllog.insight.occasions import Edge, last_edge, visits
from hulllog.insight.preference import preference
from hulllog.records.errors import Refused
from hulllog.records.logbook import Logbook
from hulllog.records.operations.typed import read
from hulllog.records.values import PartialDate
from hulllog.words import UnknownCode, knows, say, say_code
from hulllog.words.errors import said
from hulllog.words.formats import partial_date
from hulllog.words.preference import prefer, preferred

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

    from hulllog.desktop.preferences import Preferences
    from hulllog.desktop.tasks import Failed, Job, Tasks
    from hulllog.records.book import Book
    from hulllog.records.logbook import ChangeNote
    from hulllog.records.operations.typed import Fields

T = TypeVar("T")
Kinds = frozenset[str]
_DATES = frozenset({"begins", "ends", "at"})
ALL: Kinds = frozenset({"*"})
"""Stands for every kind of record: another logbook, another edge."""


def action_said(action: str, details: dict[str, Any]) -> str:
    """Say an action of the journal; one from a newer version is shown by its code.

    A record without a name of its own is called by what it is.
    """
    code = f"action.{action}"
    details = {name: _date_said(name, value) for name, value in details.items()}
    if "table" in details and not details.get("name"):
        details = {**details, "name": say_code("table", details["table"])}
    with contextlib.suppress(UnknownCode):
        if knows(code):
            return say(code, **details)
    return action.replace("_", " ").replace(".", " ")


def _date_said(name: str, value: Any) -> Any:
    """Return a date of the journal as dates are written; what is none, as it was typed."""
    if name not in _DATES or not isinstance(value, str):
        return value
    with contextlib.suppress(Refused):
        return partial_date(PartialDate.parse(value))
    return value


class State(QObject):
    """The open logbook and what is looked at in it.  All signals come on the main thread.

    ``records_changed`` brings the names of the tables that an entry touched, and who asked for it.
    """

    logbook_changed = Signal()
    closing = Signal()
    """The logbook is about to be closed: what is being typed must be committed now."""
    edge_changed = Signal()
    records_changed = Signal(object, object)
    told = Signal(str)
    failed = Signal(str)
    _noted = Signal(object)

    def __init__(
        self, preferences: Preferences, tasks: Tasks, parent: QObject | None = None
    ) -> None:
        super().__init__(parent)
        self.preferences = preferences
        self.tasks = tasks
        self.drafts: Drafts = NoDrafts()
        self._logbook: Logbook | None = None
        self._stop_listening: Callable[[], None] | None = None
        self._as_at: Edge | None = None
        self._last: Edge | None = None
        self._book: Book | None = None
        """The reading that answers all questions of one moment, while there is one."""
        self._compared: Edge | None = None
        self._initiator: object = None
        self._noted.connect(self._after_change, Qt.ConnectionType.QueuedConnection)

    # The logbook

    @property
    def logbook(self) -> Logbook:
        """The open logbook.  Raises RuntimeError when none is open."""
        if self._logbook is None:
            raise RuntimeError("no logbook is open")
        return self._logbook

    @property
    def is_open(self) -> bool:
        """Whether a logbook is open."""
        return self._logbook is not None

    @property
    def read_only(self) -> str | None:
        """Why nothing can be written, as a code; None when it can."""
        return self._logbook.read_only if self._logbook else None

    def open(self, folder: Path, *, read_only: bool = False) -> None:
        """Open a logbook in place of the one that is open.  Raises LogbookProblem."""
        if self._logbook and self._logbook.folder == folder.absolute() and not self.read_only:
            return
        self.use(Logbook.open(folder, read_only=read_only))

    def open_again(self, *, as_it_is: bool = False) -> None:
        """Close the logbook and open it again, so that its own lock is not in the way.

        ``as_it_is`` takes an older copy for the right one first.  Raises LogbookProblem.
        """
        logbook = self.logbook
        if as_it_is:
            logbook.go_on_from_here()
        self.close()
        self.open(logbook.folder)

    def use(self, logbook: Logbook) -> None:
        """Show a logbook that was opened or made, in place of the one that is open."""
        self.close()
        self._logbook = logbook
        self._stop_listening = logbook.on_change(self._hear)
        self.drafts = logbook.drafts
        self._speak()
        self.preferences.opened(logbook.folder)
        self._find_last()
        self.logbook_changed.emit()

    def close(self) -> None:
        """Close the logbook after what is being written is written."""
        if self._logbook is None:
            return
        self.closing.emit()
        self.tasks.settle()
        if self._stop_listening is not None:
            self._stop_listening()
        logbook, self._logbook = self._logbook, None
        logbook.close()
        self.drafts = NoDrafts()
        self._as_at = self._compared = self._last = None
        self.logbook_changed.emit()

    def _speak(self) -> bool:
        """Write values and words as the owner of this logbook wants them; tell whether anew."""
        before, wanted = preferred(), self.read(preference)
        prefer(wanted)
        return wanted != before

    # The edge

    @property
    def edge(self) -> Edge | None:
        """The edge that all pages are read from; None while there is no visit."""
        return self._as_at or self._last

    @property
    def as_at(self) -> Edge | None:
        """The edge as picked; None means the far end, whatever is added there."""
        return self._as_at

    @property
    def compared(self) -> Edge | None:
        """The edge that is compared with, or None."""
        return self._compared

    def pick(self, edge: Edge | None) -> None:
        """Read all pages from an edge; None and the last edge mean the far end."""
        self._as_at = None if edge == self._last else edge
        if self._compared == self.edge:
            self._compared = None
        self.edge_changed.emit()

    def compare(self, edge: Edge | None) -> None:
        """Compare with an edge; the picked one and None end comparing."""
        same = edge in {self.edge, self._compared}
        self._compared = None if same else edge
        self.edge_changed.emit()

    def _find_last(self) -> None:
        with self.logbook.read() as book:
            self._last = last_edge(book)
            known = {visit.id for visit in visits(book)}
        for edge in (self._as_at, self._compared):
            if edge is not None and edge.visit_id not in known:
                self._as_at = self._compared = None

    # Reading and changing

    def read(self, question: Callable[[Book], T]) -> T:
        """Answer a question from the records, now."""
        if self._book is not None and threading.current_thread() is threading.main_thread():
            return question(self._book)
        with self.logbook.read() as book:
            return question(book)

    @contextlib.contextmanager
    def together(self) -> Iterator[None]:
        """Answer all questions that are asked within from one reading: many rest on the same."""
        if self._book is not None:
            yield
            return
        with self.logbook.read() as book:
            self._book = book
            try:
                yield
            finally:
                self._book = None

    def checker(
        self, fields: Fields, name: str, *, zone: str | None = None
    ) -> Callable[[Any], object]:
        """Return a check for a field: it reads by the table of an operation, as that will."""

        def check(typed: Any) -> object:
            with self.logbook.read() as book:
                return read(book, fields, {name: typed}, zone=zone)[name]

        return check

    def run(
        self,
        operation: Callable[[Logbook], T],
        *,
        done: Callable[[T], object] | None = None,
        refused: Failed | None = None,
        initiator: object = None,
        owner: QObject | None = None,
    ) -> Job:
        """Run an operation on the writer's thread; they run one after the other.

        ``done`` gets what it returned, ``refused`` what went wrong; without it the window's status
        line says it.  ``initiator`` comes with the change it makes.
        """
        logbook = self.logbook

        def run(_progress: object) -> T:
            self._initiator = initiator
            try:
                return operation(logbook)
            finally:
                self._initiator = None

        return self.tasks.write(run, done, refused or self.fail, owner=owner)

    def _hear(self, note: ChangeNote) -> None:
        """Hear of a change, on the thread that made it, and hand it to the main thread."""
        self._noted.emit((note.tables, self._initiator or note.initiator))

    def fail(self, problem: BaseException) -> None:
        """Say in the status line what went wrong."""
        self.failed.emit(said(problem))

    def tell(self, sentence: str) -> None:
        """Say something in the status line."""
        self.told.emit(sentence)

    # Undo

    @property
    def undo_text(self) -> str:
        """What undo would take back, said; empty when there is nothing."""
        step = self._logbook.can_undo if self._logbook else None
        return action_said(*step) if step else ""

    @property
    def undo_ended(self) -> str:
        """Why there is nothing to undo, said; empty where nothing ended it."""
        if self._logbook is None or self.undo_text:
            return ""
        ended = self._logbook.undo_ended_by
        if ended == "history.issue":
            return say("desktop.undo_ended.issued")
        return say("desktop.undo_ended.other" if ended else "desktop.undo_ended.opened")

    @property
    def redo_text(self) -> str:
        """What redo would do again, said; empty when there is nothing."""
        step = self._logbook.can_redo if self._logbook else None
        return action_said(*step) if step else ""

    def undo(self) -> None:
        """Take back the last action."""
        what = self.undo_text
        self.run(Logbook.undo, done=lambda _none: self.tell(say("desktop.undone", what=what)))

    def redo(self) -> None:
        """Do again what was undone last."""
        what = self.redo_text
        self.run(Logbook.redo, done=lambda _none: self.tell(say("desktop.redone", what=what)))

    def _after_change(self, change: tuple[Kinds, object]) -> None:
        if self._logbook is None:
            return
        before = self.edge
        if "setting" in change[0] and self._speak():
            self.logbook_changed.emit()
            return
        self._find_last()
        self.records_changed.emit(*change)
        if self.edge != before:
            self.edge_changed.emit()

"""Fields for the trade: a label, an input, and below it the sentence that refused what was typed.

A field commits when it is left.  What was typed and not accepted is kept as a draft, and is shown
again beside the sentence.  ``committed`` brings what was typed, as operations take it; whoever
stores it calls ``accept`` when it is stored, or ``refuse`` with what went wrong
(``Page.edit(..., field=...)`` does both).
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from functools import partial
from typing import Any

from PySide6.QtCore import QObject, Qt, QTimer, Signal
from PySide6.QtWidgets import (
    QCompleter,
    QHBoxLayout,
    QLabel,
    QVBoxLayout,
    QWidget,
)

from hulllog.desktop.buttons import link
from hulllog.desktop.drafts import Drafts, FieldKey, NoDrafts
from hulllog.desktop.folds import bring_in_sight
from hulllog.desktop.inputs import Area, Line
from hulllog.desktop.labels import Prose, label, unmarked
from hulllog.desktop.layout import Flow, clear, icon_mark, line
from hulllog.desktop.theme import BODY, SMALL, levelled, step, typed
from hulllog.records.errors import RecordsError, Refused
from hulllog.records.values import PartialDate
from hulllog.trade.refusal import Refusal
from hulllog.words import say
from hulllog.words.errors import said
from hulllog.words.formats import partial_date, reading_label

DRAFT_AFTER = 100
"""Milliseconds after a key until all that was typed by then is kept as a draft."""
LABEL_WIDTH = 128

EXPECTED = (RecordsError, Refusal)
"""What says no with a code: shown beside the field, and no fault of the program."""

Check = Callable[[Any], object]
"""Raises Refused or Refusal when what was typed cannot be kept."""


class Field(QWidget):
    """A label, an input of text and the sentence below.

    ``check`` raises Refused or Refusal for what cannot be kept (``State.checker`` makes one from
    the table of an operation).  ``key`` and ``drafts`` say where typed text is kept until it is
    accepted.
    """

    committed = Signal(object)
    touched = Signal()

    def __init__(
        self,
        text: str,
        entry: Line | Area,
        *,
        check: Check | None = None,
        key: FieldKey | None = None,
        drafts: Drafts | None = None,
        hint: str = "",
        label_width: int = LABEL_WIDTH,
        after: Sequence[QWidget] = (),
    ) -> None:
        super().__init__()
        if not text.strip():
            raise ValueError("a field needs a label")
        self.entry = entry
        self._check = check
        self._key = key or FieldKey("", "")
        self._drafts: Drafts = drafts if drafts is not None and key is not None else NoDrafts()
        self._refused = False
        self._offered: tuple[str, ...] = ()
        self._shut = False
        self._accepted = ""
        self._waiting: str | None = None
        self._after = tuple(after)
        self._label = _field_label(text, entry, label_width)
        self._build(hint, label_width)
        entry.setAccessibleName(text)
        if key is not None:
            self.setObjectName(f"{key.record}/{key.field}")
        self._pause = QTimer(self)
        self._pause.setSingleShot(True)
        self._pause.setInterval(DRAFT_AFTER)
        self._pause.timeout.connect(self.keep_draft)
        entry.textChanged.connect(self._typed)
        entry.left.connect(self.commit)
        entry.given_up.connect(self.give_up)
        entry.entered.connect(self._entered)
        self.setFocusProxy(entry)

    # What stands in it

    def text(self) -> str:
        """Return what stands in the field."""
        return self.entry.text()

    def typed(self) -> Any:
        """Return what was typed, as operations take it."""
        return self.text().strip()

    def whole(self) -> str:
        """Return all that stands in the field, as it is kept in a draft."""
        return self.text()

    def said_whole(self, whole: str) -> str:
        """Return how what is kept is said in a sentence."""
        return whole

    @property
    def dirty(self) -> bool:
        """Whether something stands in it that was not accepted."""
        return self.whole() != self._accepted

    @property
    def refused(self) -> bool:
        """Whether a sentence stands below that refused what was typed."""
        return self._refused

    @property
    def sentence(self) -> str:
        """The sentence below the input, empty when there is none."""
        return "" if self._below.isHidden() else self._below.text()

    def show_value(self, text: str) -> None:
        """Show what is kept in the logbook, or the draft over it, with the sentence beside it.

        What a person is typing in the field is never overwritten.
        """
        busy = self.dirty
        self._take_accepted(text)
        if busy:
            return
        draft = self._drafts.get(self._key.record, self._key.field)
        if draft is None or draft == text:
            self._put(text)
            self._quiet()
            return
        self._put(draft)
        self._show_draft(text)

    def type_text(self, text: str) -> None:
        """Put a text in as if it had been typed, and commit it."""
        self.entry.setText(text)
        self.commit()

    # Commit

    def commit(self) -> bool:
        """Take what was typed; False when it was refused."""
        self._pause.stop()
        if self._shut:
            return False
        if not self.dirty:
            self._forget()
            self._quiet()
            return True
        if self.whole() == self._waiting:
            return True
        try:
            self._try()
        except EXPECTED as problem:
            self.refuse(problem)
            return False
        if self._refused:
            self._quiet()
        self._waiting = self.whole()
        self.committed.emit(self.typed())
        return not self._refused

    def set_read_only(self, read_only: bool) -> None:
        """Show what is kept, and take nothing."""
        self.entry.setReadOnly(read_only)

    def shut(self) -> None:
        """Take nothing more: the logbook is closed."""
        self._pause.stop()
        self._shut = True

    def accept(self) -> None:
        """Say that what was committed is stored."""
        stored, self._waiting = self._waiting, None
        if stored is None:
            return
        self._take_accepted(stored)
        if self.dirty:
            return
        self._forget()
        self._quiet()

    def refuse(self, problem: BaseException) -> None:
        """Show why it cannot be kept, keep the typed text, and offer what it can mean."""
        self._show_refusal(problem)
        bring_in_sight(self)

    def _show_refusal(self, problem: BaseException) -> None:
        self._waiting = None
        self.keep_draft()
        readings = getattr(problem, "values", {}).get("readings")
        offered = tuple(str(one) for one in readings) if isinstance(readings, list | tuple) else ()
        sentence = said(problem)
        if self._refused and (sentence, offered) == (self.sentence, self._offered):
            return  # the field is left for one of its offers: they stay under the finger
        self._say(sentence, refused=True)
        self._offer(offered)

    def give_up(self) -> None:
        """Go back to what is kept."""
        self._pause.stop()
        self._waiting = None
        self._put(self._accepted)
        self._forget()
        self._quiet()

    def keep_draft(self) -> None:
        """Keep what was typed, now."""
        self._pause.stop()
        if self.dirty:
            self._drafts.put(self._key.record, self._key.field, self.whole())

    # Parts

    def _build(self, hint: str, label_width: int) -> None:
        row = QHBoxLayout()
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(step(1))
        row.addWidget(self.entry, 1)
        for widget in self._after:
            row.addWidget(widget)
        self._below = Prose("", SMALL)
        self._caution = icon_mark("caution")
        self._below.hide()
        self._caution.hide()
        self._hint = Prose(hint, SMALL, role="muted")
        if not hint:  # shown before it has a parent, it would be a window of its own for a moment
            self._hint.hide()
        self._offers = Flow(1)
        inner = QVBoxLayout()
        inner.setContentsMargins(0, 0, 0, 0)
        inner.setSpacing(step(1))
        inner.addLayout(row)
        inner.addWidget(self._hint)
        told = line(space=1)
        told.addWidget(self._caution, 0, Qt.AlignmentFlag.AlignTop)
        told.addWidget(self._below, 1)
        inner.addLayout(told)
        inner.addLayout(self._offers)
        outer: QHBoxLayout | QVBoxLayout = QHBoxLayout() if label_width else QVBoxLayout()
        outer.setContentsMargins(0, 0, 0, 0)
        outer.setSpacing(step(1))
        outer.addWidget(self._label, 0, Qt.AlignmentFlag.AlignTop)
        outer.addLayout(inner, 1)
        self.setLayout(outer)

    def _typed(self) -> None:
        self.touched.emit()
        # Not begun again by each key: who types on and on would keep nothing.
        if self.dirty and not self._pause.isActive():
            self._pause.start()

    def _entered(self) -> None:
        if not self.commit():
            return
        for _ in range(1 + len(self._after)):  # past the unit, which few change
            self.focusNextPrevChild(True)
            here = self.window().focusWidget()
            if here is None or not self.isAncestorOf(here):
                return

    def _try(self) -> None:
        if self._check is not None:
            self._check(self.typed())

    def _put(self, text: str) -> None:
        self.entry.blockSignals(True)
        if self.entry.text() != text:
            self.entry.setText(text)
        self.entry.blockSignals(False)

    def _take_accepted(self, whole: str) -> None:
        self._accepted = whole
        self.entry.accepted = whole

    def _forget(self) -> None:
        self._pause.stop()
        self._drafts.drop(self._key.record, self._key.field)

    def _show_draft(self, kept: str) -> None:
        try:
            self._try()
        except EXPECTED as problem:
            self._show_refusal(problem)
            return
        said_kept = self.said_whole(kept) or say("word.none")
        code = "desktop.field.draft" if isinstance(self.entry, Line) else "desktop.field.draft_area"
        self._say(say(code, kept=said_kept), refused=False)

    def _say(self, sentence: str, *, refused: bool) -> None:
        self._refused = refused
        self._below.setText(sentence)
        typed(self._below, SMALL, bold=refused, role="ink" if refused else "muted")
        self._caution.setVisible(refused)
        self._below.show()
        self._offer(())
        self._mark(refused)
        self.entry.setAccessibleDescription(sentence)

    def _quiet(self) -> None:
        self._refused = False
        self._below.hide()
        self._caution.hide()
        self._offer(())
        self._mark(False)
        self.entry.setAccessibleDescription("")

    def _mark(self, refused: bool) -> None:
        if bool(self.entry.property("refused")) != refused:
            self.entry.setProperty("refused", refused)
            self.entry.style().unpolish(self.entry)
            self.entry.style().polish(self.entry)

    def _offer(self, readings: tuple[str, ...]) -> None:
        clear(self._offers)
        self._offered = readings
        before: QWidget = self._after[-1] if self._after else self.entry
        for reading in readings:
            made = link(self.shown(reading), partial(self._pick, reading))
            self._offers.addWidget(made)
            QWidget.setTabOrder(before, made)
            before = made

    def _pick(self, reading: str) -> None:
        # First: the offers go, and the keyboard would go wherever Qt finds a next widget.
        self.entry.setFocus(Qt.FocusReason.OtherFocusReason)
        self.type_text(self.shown(reading))

    def shown(self, reading: str) -> str:
        """Return how an offered reading is written on its button."""
        return reading


def refuse_named(fields: Mapping[str, Field], problem: BaseException) -> Field | None:
    """Show a problem below the field that it names, and return that field; None if there is none.

    ``fields`` are those of a form by the name that a refusal gives.
    """
    named = fields.get(getattr(problem, "field", ""))
    if named is None or not isinstance(problem, EXPECTED):
        return None
    named.refuse(problem)
    return named


def _field_label(text: str, entry: QWidget, width: int) -> QLabel:
    made = label(unmarked(text), BODY, role="muted")
    made.setBuddy(entry)
    made.setWordWrap(True)
    if width:
        made.setFixedWidth(width)
        levelled(made)
    return made


class TextField(Field):
    """One line of text; ``known`` are texts used before, offered while typing."""

    def __init__(self, text: str, *, known: Sequence[str] = (), **rest: Any) -> None:
        entry = Line()
        if known:
            entry.setCompleter(_completer(known, entry))
        super().__init__(text, entry, **rest)


def _completer(known: Sequence[str], parent: QObject) -> QCompleter:
    made = QCompleter(list(known), parent)
    made.setCaseSensitivity(Qt.CaseSensitivity.CaseInsensitive)
    made.setFilterMode(Qt.MatchFlag.MatchStartsWith)
    made.setCompletionMode(QCompleter.CompletionMode.InlineCompletion)
    return made


class AreaField(Field):
    """Several lines of text."""

    def __init__(self, text: str, *, rows: int = 3, **rest: Any) -> None:
        super().__init__(text, Area(rows), **rest)


class DateField(Field):
    """A partial date: 2014, 2014-04, Apr 2014, about 2014, 14 Apr 2014, with or without time.

    Without a ``check`` of its own it refuses what is no date.
    """

    def __init__(self, text: str, *, check: Check | None = None, **rest: Any) -> None:
        super().__init__(text, Line(), check=check or _is_date, **rest)
        self.entry.setPlaceholderText(say("desktop.field.date_hint"))

    def show_value(self, text: str) -> None:
        """Show what is kept as the program writes dates, however it was typed."""
        super().show_value(_as_written(text))

    def shown(self, reading: str) -> str:
        """Return an offered day with its month in letters."""
        return reading_label(reading)


def _as_written(text: str) -> str:
    """Return a date as the program writes it, where that reads as the same date; else as it is."""
    try:
        kept = PartialDate.parse(text)
        shown = partial_date(kept)
        again = PartialDate.parse(shown)
    except Refused:
        return text
    return shown if replace(again, text=kept.text) == kept else text


def _is_date(typed_text: str) -> None:
    if typed_text:
        PartialDate.parse(typed_text)

"""The pages: their list, and what each of them is made of.

A page is a folder ``desktop/<code>/`` whose module ``page`` has a class ``Page`` of its own; the
list below names it.  A whole page, with a field that keeps its draft and a door:

    from hulllog.desktop.drafts import FieldKey
    from hulllog.desktop.fields import TextField
    from hulllog.desktop.layout import Card
    from hulllog.desktop.pages import Page
    from hulllog.records.operations import queries
    from hulllog.records.operations.vessel import ABOUT, set_vessel
    from hulllog.words import say

    class BoatPage(Page):
        code = "boat"
        kinds = frozenset({"vessel"})          # tables whose change it wants to hear of

        def build(self) -> None:               # once, when first shown
            self.name = TextField(
                say("vessel.name"),
                check=self.state.checker(ABOUT, "name"),
                key=FieldKey("vessel", "name"),
                drafts=self.state.drafts,
            )
            self.name.committed.connect(
                lambda text: self.edit(set_vessel, "name", text, field=self.name)
            )
            self.body.addWidget(Card(say("desktop.boat.particulars")).add(self.name))

        def refresh(self) -> None:             # when shown, and when records or the edge changed
            self.name.show_value(self.state.read(queries.vessel).name)

Keys that no widget takes come to ``Page.press``.  Everything that takes over 100 ms goes through
``Page.background``.  Texts come from ``hulllog.words.say`` alone.
"""

from __future__ import annotations

import importlib
import importlib.util
from contextlib import contextmanager
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, ClassVar, TypeVar

import shiboken6
from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QScrollArea, QVBoxLayout, QWidget

from hulllog.desktop.choice import ChoiceRow
from hulllog.desktop.fields import EXPECTED, Field
from hulllog.desktop.inputs import Area, Line
from hulllog.desktop.jobs import JobLine
from hulllog.desktop.labels import Elided, Few, Prose
from hulllog.desktop.layout import SIDE_WIDTH, clear_item, column, line, scrolled, upright_rule
from hulllog.desktop.reasons import ask_reason
from hulllog.desktop.state import ALL, Kinds, State
from hulllog.desktop.theme import BODY, TITLE, step
from hulllog.records.errors import Refused
from hulllog.words import say

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping, Sequence

    from PySide6.QtGui import QKeyEvent

    from hulllog.desktop.commands import PageCommand
    from hulllog.desktop.tasks import Done, Failed, Job, Work

T = TypeVar("T")


class Page(QWidget):
    """One page: a heading, a line under it, and a body that is built when first shown."""

    code: ClassVar[str] = ""
    kinds: ClassVar[Kinds] = ALL
    """Names of the tables that it shows; ``ALL`` for any."""
    scrolls: ClassVar[bool] = True
    """Whether the body scrolls; a page with one large drawing does not."""

    go = Signal(str, str)
    """Ask the window for another page: its code, and the key of a record to show there."""

    def __init__(self, state: State) -> None:
        super().__init__()
        self.state = state
        self._built = False
        self._stale = True
        self._title = Elided("", TITLE, bold=True)
        self._subtitle = Few(BODY, role="muted")
        self.tools = line(space=2)
        self.body: QVBoxLayout = column(space=3, margin=0)
        self.foot: QVBoxLayout = column(space=0)
        """What stays in sight below the body, however long that is: the main act of a page."""
        self._jobs = column(space=1)
        self._lay_out()

    # What a page gives

    def title(self) -> str:
        """Return the heading; the page's name unless a page says more."""
        return say(f"page.{self.code}")

    def subtitle(self) -> str:
        """Return the line under the heading: as at when, and how it was seen."""
        return ""

    def build(self) -> None:
        """Make the widgets and put them into ``body``; called once, when first shown."""
        raise NotImplementedError

    def refresh(self) -> None:
        """Show what the records say now."""
        raise NotImplementedError

    def press(self, key: str) -> bool:
        """Take a key that no widget took, as text; False when it means nothing here."""
        return False

    def commands(self) -> Sequence[PageCommand]:
        """Return what can be done here, for the menu *Page*, with keys where it is done often."""
        return ()

    def first_focus(self) -> QWidget | None:
        """Return the widget that the keyboard starts at, or None for the page itself."""
        return None

    def go_to(self, key: str) -> None:
        """Show a record first, by its key; pages that have one override this."""

    # What the window calls

    def take_keyboard(self) -> None:
        """Put the keyboard where the page starts, once it is built."""
        start = self.first_focus() if self._built else None
        if start is not None:
            start.setFocus(Qt.FocusReason.OtherFocusReason)

    def show_now(self) -> None:
        """Build if need be, and refresh what is out of date."""
        if not self._built:
            self._built = True
            self.build()
        if self._stale:
            self.update_now()

    def update_now(self) -> None:
        """Refresh, keeping the keyboard and the place in the text where they are."""
        self._stale = False
        self._title.setText(self.title())
        self._subtitle.setText(self.subtitle())
        self._subtitle.setVisible(bool(self._subtitle.text()))
        with keeping_place(self):
            self.refresh()
        if self.state.read_only:
            self._only_read()

    def _only_read(self) -> None:
        for field in self.findChildren(Field):
            field.set_read_only(True)
        for row in self.findChildren(ChoiceRow):
            row.set_read_only(True)
        for widget in self.findChildren(QWidget):
            if widget.property("writes"):
                widget.setEnabled(False)

    def records_changed(self, tables: Kinds, initiator: object) -> None:
        """Note that records changed; refresh when shown, unless this page itself asked for it."""
        concerned = ALL & tables or ALL & self.kinds or tables & self.kinds
        if not concerned or initiator is self:
            return
        self._stale = True
        if self._built and self.isVisible():
            self.update_now()

    def edge_changed(self) -> None:
        """Read everything from another edge, now or when shown."""
        self.records_changed(ALL, None)

    # What a page may call

    def edit(
        self,
        operation: Callable[..., T],
        *about: Any,
        field: Field | None = None,
        fields: Mapping[str, Field] | None = None,
        done: Callable[[T], object] | None = None,
        quietly: bool = False,
        **typed: Any,
    ) -> Job:
        """Run ``operation(logbook, *about, **typed)`` off the window's thread.

        ``field`` is told that its value is stored, or what refused it; ``fields`` are those of a
        form by the name that a refusal gives.  ``quietly`` spares this page the refresh that
        follows.  A closed haul-out asks for a reason first.
        """
        told = _Told(self, field, fields or {})

        def stored(result: T) -> None:
            told.accept()
            if done is not None:
                done(result)

        def refused(problem: BaseException) -> None:
            if _wants_reason(problem) and "reason" not in typed:
                ask_reason(self, again, told.give_up)
            else:
                told.refuse(problem)

        def again(reason: str) -> None:
            self.edit(
                operation,
                *about,
                field=field,
                fields=fields,
                done=done,
                quietly=quietly,
                **{**typed, "reason": reason},
            )

        return self.state.run(
            lambda logbook: operation(logbook, *about, **typed),
            done=stored,
            refused=refused,
            initiator=self if quietly else None,
            owner=self,
        )

    def writes(self, *widgets: QWidget) -> None:
        """Mark buttons that change the logbook: they are dimmed where it is only read."""
        for widget in widgets:
            widget.setProperty("writes", True)

    def background(
        self, title: str, work: Work, done: Done | None = None, failed: Failed | None = None
    ) -> Job:
        """Do longer work with a progress line and a Cancel at the top of the page."""
        job = self.state.tasks.run(work, done, failed or self.state.fail, owner=self)
        return self._watch(title, job)

    def background_writing(
        self, title: str, work: Work, done: Done | None = None, failed: Failed | None = None
    ) -> Job:
        """Do longer work that writes the logbook, such as an import of photos."""
        job = self.state.tasks.write(work, done, failed or self.state.fail, owner=self)
        return self._watch(title, job)

    def _watch(self, title: str, job: Job) -> Job:
        self._jobs.addWidget(JobLine(title, job))
        self._jobs.setContentsMargins(step(3), 0, step(3), step(3))
        job.ended.connect(self._jobs_ended)
        return job

    def _jobs_ended(self) -> None:
        left = any(shown.isVisible() for shown in self.findChildren(JobLine))
        self._jobs.setContentsMargins(step(3), 0, step(3), step(3) if left else 0)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Hand keys that no widget took to ``press``, once for each time they are pressed."""
        if event.isAutoRepeat() and event.text():
            return
        plain = not event.modifiers() & ~(
            Qt.KeyboardModifier.ShiftModifier | Qt.KeyboardModifier.KeypadModifier
        )
        if not (plain and event.text() and self.press(event.text())):
            super().keyPressEvent(event)

    def _lay_out(self) -> None:
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        words = column(self._title, self._subtitle, space=0)
        head = line(space=3)
        head.setContentsMargins(step(7), step(2.5), step(4), step(1.5))
        head.addLayout(words, 1)
        head.addLayout(self.tools)
        self._jobs.setContentsMargins(step(3), 0, step(3), 0)
        self._jobs.setSpacing(step(2))
        held = QWidget()
        held.setLayout(self.body)
        self.body.setContentsMargins(step(3), 0, step(3), step(3))
        main = column(space=0)
        main.addLayout(head)
        main.addLayout(self._jobs)
        main.addWidget(scrolled(held) if self.scrolls else held, 1)
        self.foot.setContentsMargins(step(3), 0, step(3), 0)
        main.addLayout(self.foot)
        self._across = line(space=0)
        self._across.addLayout(main, 1)
        self.setLayout(self._across)

    def set_side(self, sheet: QWidget, *, width: int = SIDE_WIDTH) -> None:
        """Put a sheet at the right, as high as the page, in place of the one that is there."""
        while self._across.count() > 1:
            clear_item(self._across, 1)
        edge = upright_rule()
        sheet.setProperty("ground", "sheet")
        area = scrolled(sheet)
        area.setProperty("ground", "sheet")
        area.setFixedWidth(width)
        self._across.addWidget(edge)
        self._across.addWidget(area)


@dataclass(frozen=True, slots=True)
class _Told:
    """The fields that wait for the answer of an operation."""

    page: Page
    field: Field | None
    fields: Mapping[str, Field]

    def accept(self) -> None:
        for one in self._all():
            one.accept()

    def give_up(self) -> None:
        for one in self._all():
            one.give_up()

    def refuse(self, problem: BaseException) -> None:
        named = self.fields.get(getattr(problem, "field", "")) or self.field
        if named is not None and isinstance(problem, EXPECTED):
            named.refuse(problem)
            self._go_back_to(named)
        else:
            self.page.state.fail(problem)

    def _go_back_to(self, refused: Field) -> None:
        """Give the keyboard back to a refused field where nothing was typed since it was left."""
        focus = refused.window().focusWidget()
        if focus is None or focus is refused.entry or not self.page.isAncestorOf(focus):
            return
        if isinstance(focus, Line | Area) and focus.text() == focus.accepted:
            refused.entry.setFocus(Qt.FocusReason.OtherFocusReason)

    def _all(self) -> list[Field]:
        """Return those that are still there: a refresh may come before the answer."""
        told = [*self.fields.values(), *([self.field] if self.field else [])]
        return [one for one in told if shiboken6.isValid(one)]


def _wants_reason(problem: BaseException) -> bool:
    return isinstance(problem, Refused) and problem.code == "reason_wanted"


@contextmanager
def keeping_place(widget: QWidget) -> Iterator[None]:
    """Keep the keyboard focus (by object name) and the scroll position over a refresh."""
    # Of the window, not of the application: while a sheet goes, no window has the keyboard.
    focus = widget.window().focusWidget()
    inside = focus is not None and widget.isAncestorOf(focus)
    name = _name_of(focus) if inside and focus is not None else ""
    areas = [(area, area.verticalScrollBar().value()) for area in widget.findChildren(QScrollArea)]
    yield
    for area, value in areas:
        area.verticalScrollBar().setValue(value)
    if focus is not None and shiboken6.isValid(focus) and widget.window().focusWidget() is focus:
        return  # it stayed where it was
    if name and (found := widget.findChild(QWidget, name)) is not None and not found.hasFocus():
        found.setFocus(Qt.FocusReason.OtherFocusReason)


def _name_of(widget: QWidget | None) -> str:
    """Return the name of a widget, or of the nearest around it that has one of ours."""
    while widget is not None:
        if widget.objectName() and not widget.objectName().startswith("qt_"):
            return widget.objectName()
        widget = widget.parentWidget()
    return ""


@dataclass(frozen=True, slots=True)
class PageEntry:
    """A page of the list: its code, where its class is, and whether it leads while she is out."""

    code: str
    place: str
    while_out: bool = False

    def load(self) -> type[Page]:
        """Import the class of the page."""
        module, name = self.place.split(":")
        found: type[Page] = getattr(importlib.import_module(module), name)
        return found

    @property
    def exists(self) -> bool:
        """Whether the page's module is there."""
        try:
            return importlib.util.find_spec(self.place.split(":")[0]) is not None
        except ModuleNotFoundError:
            return False


def _entry(code: str, name: str, *, while_out: bool = False) -> PageEntry:
    return PageEntry(code, f"hulllog.desktop.{code}.page:{name}", while_out)


PAGES: tuple[PageEntry, ...] = (
    _entry("haul_out", "HaulOutPage", while_out=True),
    _entry("today", "TodayPage"),
    _entry("hull", "HullPage"),
    _entry("anodes", "AnodesPage"),
    _entry("paint", "PaintPage"),
    _entry("gear", "GearPage"),
    _entry("findings", "FindingsPage"),
    _entry("plan", "PlanPage"),
    _entry("papers", "PapersPage"),
    _entry("boat", "BoatPage"),
)

BEHIND: tuple[PageEntry, ...] = (_entry("old_notes", "OldNotesPage"),)
"""Pages that stand in no list: they are reached through doors of others."""


def behind_door(code: str) -> PageEntry | None:
    """Return a page that stands in no list, by its code."""
    return next((entry for entry in BEHIND if entry.code == code), None)


def pages_of(*, out: bool) -> list[PageEntry]:
    """Return the pages that are listed; ``out`` says whether a haul-out is open.

    What leads while one is open stands last while none is: there the next one is begun.
    """
    entries = [entry for entry in PAGES if entry.exists]
    return sorted(entries, key=lambda entry: entry.while_out, reverse=out)


def page_name(code: str, *, out: bool) -> str:
    """Return the name of a page in the list."""
    return say("page.haul_out_new") if code == "haul_out" and not out else say(f"page.{code}")


def empty_page(sentence: str) -> Prose:
    """Return a line for a part of a page that has nothing to show."""
    return Prose(sentence, BODY, role="muted")

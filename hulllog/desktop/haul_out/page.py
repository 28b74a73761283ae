"""The page *This haul-out*: begun or entered in short, then led in the order of the evidence."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from hulllog.desktop.buttons import link
from hulllog.desktop.commands import PageCommand
from hulllog.desktop.haul_out.anodes import AnodesSection
from hulllog.desktop.haul_out.closed import ClosedPanel
from hulllog.desktop.haul_out.notes import NotesSection
from hulllog.desktop.haul_out.paint import PaintSection
from hulllog.desktop.haul_out.photos import PhotosSection
from hulllog.desktop.haul_out.section import KEYS, SECTIONS, Section, SectionBar
from hulllog.desktop.haul_out.sheet import SheetSection
from hulllog.desktop.haul_out.short import ShortForm
from hulllog.desktop.haul_out.steps import StepsSection
from hulllog.desktop.haul_out.turning import Turning
from hulllog.desktop.haul_out.walk import WalkSection
from hulllog.desktop.pages import Page
from hulllog.desktop.photos.doubtful import Doubtful
from hulllog.desktop.photos.intake import PhotoIntake, Shows, local_files
from hulllog.desktop.photos.leftout import LeftOut
from hulllog.desktop.printing import write_cards, write_sheet
from hulllog.desktop.reasons import ask_reason
from hulllog.records.model import Visit
from hulllog.records.operations import queries, visits
from hulllog.words import say, say_code
from hulllog.words.formats import span

if TYPE_CHECKING:
    from collections.abc import Sequence

    from PySide6.QtGui import QDragEnterEvent, QDropEvent
    from PySide6.QtWidgets import QWidget

    from hulllog.records.book import Book


class HaulOutPage(Page):
    """The open haul-out; while there is none, the short form that enters one."""

    code = "haul_out"

    def build(self) -> None:
        """Make the short form, the bar and the parts that come when they are first asked for."""
        self.setAcceptDrops(True)
        self._visit: Visit | None = None
        self._another = False
        self._entered = ""
        self._shut = ""
        self._now = "steps"
        self._left_out_in = ""
        self._sections: dict[str, Section] = {}
        self.intake = PhotoIntake(self, self._shows)
        self.intake.left_out.connect(self._list_left_out)
        self.intake.closed.connect(self._refocus)
        self.left_out = LeftOut()
        self.doubtful = Doubtful(self)
        self.intake.doubtful.connect(self.doubtful.ask)
        self.bar = SectionBar()
        self.bar.chosen.connect(self.show_section)
        self.back = link(say("haul_out.back_to_open"), self._end_another)
        self.reopen = link(say("haul_out.reopen"), self._ask_reopen)
        self.writes(self.reopen)
        self.print_sheet = link(say("sheet.write"), partial(write_sheet, self))
        for widget in (self.bar, self.back, self.reopen, self.print_sheet):
            self.tools.addWidget(widget)
        self.short = ShortForm(self.state)
        self.short.kept.connect(self._kept)
        self.short.walk.connect(self._walk_begun)
        self.stack = Turning()
        self.stack.addWidget(self.short)
        self.closed = ClosedPanel(self.state)
        self.closed.begin.connect(self._begin_new)
        self.stack.addWidget(self.closed)
        self.body.addWidget(self.left_out)
        self.body.addWidget(self.doubtful)
        self.body.addWidget(self.stack, 1)
        self.foot.addWidget(self.short.acts)

    # What it says

    def title(self) -> str:
        """Return the name of what is shown."""
        if self.opened:
            return say("page.haul_out")
        return say("haul_out.closed.title" if self._shut else "haul_out.new_title")

    def subtitle(self) -> str:
        """Say when she was out, where and how."""
        visit = self._visit
        if self._shut and not self.opened:
            visit = self.state.read(lambda book: book.get(Visit, self._shut))
        elif self._another:
            visit = None
        if visit is None:
            return say("haul_out.short.under")
        way = say_code("way", visit.way) if visit.way else ""
        parts = [span(visit.begins, visit.ends, visit.time_zone), visit.yard or "", way]
        return ", ".join(part for part in parts if part)

    @property
    def opened(self) -> bool:
        """Whether an open haul-out is shown, and not the short form."""
        return self._visit is not None and not self._another

    def update_now(self) -> None:
        """Read which haul-out is open before the heading is said.

        One that was closed just now stays in sight until a new one is begun: a blank form in its
        place would look as if she were still out.
        """
        before, self._visit = self._visit, self.state.read(self._open_visit)
        if self._visit is None:
            self._another = False
            if before is not None:
                self._shut = before.id
            self._shut = self.state.read(lambda book: _if_closed(book, self._shut))
        else:
            self._shut = ""
        super().update_now()
        if before is not None and self._shut and self.isVisible():
            self._refocus()

    def refresh(self) -> None:
        """Show the open haul-out, or the short form."""
        self.bar.setVisible(self.opened)
        self.back.setVisible(self._another)
        self.print_sheet.setVisible(not self.opened and self.state.read(queries.vessel) is not None)
        self.left_out.setVisible(self._lists_left_out())
        self.doubtful.show_in(self._visit.id if self.opened and self._visit else "")
        self.reopen.setVisible(self._visit is None and self.state.read(_last_closed) is not None)
        self.short.acts.setVisible(not self.opened and not self._shut)
        if not self.opened and self._shut:
            shut = self.state.read(lambda book: book.get(Visit, self._shut))
            if shut is not None:
                self.closed.show_visit(shut)
            self.stack.setCurrentWidget(self.closed)
            return
        if not self.opened:
            self.short.refresh()
            self.stack.setCurrentWidget(self.short)
            return
        assert self._visit is not None
        section = self._section(self._now)
        self.bar.show_chosen(self._now)
        self.stack.setCurrentWidget(section)
        section.show_visit(self._visit)

    def commands(self) -> Sequence[PageCommand]:
        """Return the parts of the page and the taking in of photographs."""
        parts = [
            PageCommand(
                say(f"haul_out.section.{code}"),
                partial(self.show_section, code),
                KEYS[code],
            )
            for code in SECTIONS
        ]
        files = PageCommand(say("photos.choose"), self._ask_files, "Ctrl+I", writes=True)
        folder = PageCommand(say("photos.choose_a_folder"), self._ask_folder, "", writes=True)
        paste = PageCommand(say("photos.paste"), self._paste, "Ctrl+V", writes=True)
        sheet = PageCommand(say("sheet.write"), partial(write_sheet, self), "")
        printed = PageCommand(say("zone_cards.write"), partial(write_cards, self), "")
        return [*parts, files, folder, paste, sheet, printed]

    def first_focus(self) -> QWidget | None:
        """Start in the first field, or where the part that is shown starts."""
        if self.opened:
            return self._section(self._now).start()
        return self.closed.start() if self._shut else self.short.start()

    def press(self, key: str) -> bool:
        """Hand a key to the part that is shown."""
        return self.opened and self._section(self._now).press(key)

    def go_to(self, key: str) -> None:
        """Show a part by its code."""
        if key in SECTIONS:
            self.show_section(key)

    # Parts

    def show_section(self, code: str) -> None:
        """Show a part of the open haul-out; after a colon may stand what it is to begin at."""
        if not self.opened:
            return
        code, _, at = code.partition(":")
        if code != self._now:
            self._took_at = ""
        self._now = code
        self.update_now()
        self._section(code).begin_at = at
        self._refocus()

    def _refocus(self) -> None:
        start = self.first_focus()
        if start is not None:
            start.setFocus()

    def _section(self, code: str) -> Section:
        if code not in self._sections:
            made = self._make_section(code)
            made.go.connect(self.show_section)
            self._sections[code] = made
            self.stack.addWidget(made)
        return self._sections[code]

    def _make_section(self, code: str) -> Section:
        if code == "walk":
            return WalkSection(self, self.intake.ask_files)
        if code == "photos":
            return PhotosSection(self, self.intake)
        if code == "steps":
            steps = StepsSection(self)
            steps.walk_to.connect(self._walk_to)
            steps.another.connect(self._begin_another)
            return steps
        if code == "sheet":
            sheet = SheetSection(self)
            sheet.print_it.connect(partial(write_sheet, self))
            return sheet
        made: dict[str, type[Section]] = {
            "anodes": AnodesSection,
            "paint": PaintSection,
            "notes": NotesSection,
        }
        return made[code](self)

    def _walk_to(self, plan: str) -> None:
        walk = self._section("walk")
        self.show_section("walk")
        if isinstance(walk, WalkSection):
            walk.take_up(plan)

    # The short form

    def _open_visit(self, book: Book) -> Visit | None:
        """Return the open haul-out that was entered last in short, else the newest open one."""
        entered = book.get(Visit, self._entered) if self._entered else None
        if entered is not None and entered.closed_at is None and not entered.withdrawn:
            return entered
        return queries.open_haul_out(book)

    def _kept(self, visit_id: str) -> None:
        self._another = False
        self._entered = visit_id
        self._now = "steps"
        self.update_now()
        self._refocus()

    def _walk_begun(self, visit_id: str) -> None:
        self._another = False
        self._entered = visit_id
        self._now = "walk"
        self.update_now()
        self._refocus()

    def _begin_another(self) -> None:
        self._another = True
        self.update_now()
        self._refocus()

    def _begin_new(self) -> None:
        self._shut = ""
        self.update_now()
        self._refocus()

    def _end_another(self) -> None:
        self._another = False
        self.update_now()
        self._refocus()

    def _ask_reopen(self) -> None:
        last = self.state.read(_last_closed)
        if last is not None:
            ask_reason(
                self, lambda reason: self.edit(visits.reopen, last.id, reason=reason), lambda: None
            )

    # Photographs

    def _shows(self) -> Shows:
        if not self.opened or self._visit is None:
            return Shows(None)
        zone, state = self._section(self._now).photos_of()
        return Shows(self._visit.id, state, zone, sorts=zone is None)

    def _ask_files(self) -> None:
        if self.opened:
            self.intake.ask_files()

    def _ask_folder(self) -> None:
        if self.opened:
            self.intake.ask_folder()

    def _paste(self) -> None:
        if self.opened:
            self.intake.paste()

    def _list_left_out(self, sentences: Sequence[str]) -> None:
        self._left_out_in = self._now
        self.left_out.show_sentences(sentences)

    def _lists_left_out(self) -> bool:
        """Tell whether this part is where they were taken in, or where they are listed for good."""
        return self.left_out.holds and self.opened and self._now in ("photos", self._left_out_in)

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        """Take files of this computer while a haul-out is open."""
        if self.opened and local_files(event.mimeData()) and self.state.read_only is None:
            event.acceptProposedAction()

    def dropEvent(self, event: QDropEvent) -> None:
        """Take the dropped files and folders in."""
        event.acceptProposedAction()
        self.intake.take(local_files(event.mimeData()))


def _last_closed(book: Book) -> Visit | None:
    """Return the last haul-out, when it is closed."""
    found = queries.visits(book, ("haul_out", "drying_out"))
    return found[-1] if found and found[-1].closed_at is not None else None


def _if_closed(book: Book, visit_id: str) -> str:
    """Return the key of a visit that is closed and kept, else nothing."""
    visit = book.get(Visit, visit_id) if visit_id else None
    return visit_id if visit and visit.closed_at is not None and not visit.withdrawn else ""

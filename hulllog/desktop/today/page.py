"""The page *Today*: at most seven lines, each a door; her state in short below them.

Keys: the figure on a line opens its door; N notes something for the next haul-out, A enters a look
afloat, B makes a backup.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QFrame, QWidget

from hulllog.desktop import counts
from hulllog.desktop.buttons import button, link
from hulllog.desktop.canvas import Canvas
from hulllog.desktop.commands import PageCommand
from hulllog.desktop.figures import worded, working_link
from hulllog.desktop.labels import Prose
from hulllog.desktop.layout import Card, clear, column, rule
from hulllog.desktop.pages import Page, behind_door, page_name, pages_of
from hulllog.desktop.sheets import Sheet
from hulllog.desktop.theme import LEAD
from hulllog.desktop.today import backing
from hulllog.desktop.today.bigline import BigLine
from hulllog.drawing import telling
from hulllog.drawing.disagreeing import contradiction_text
from hulllog.drawing.scene import Scene
from hulllog.insight.aftermath import aftermaths
from hulllog.insight.anodes import positions
from hulllog.insight.condition import zone_versions
from hulllog.insight.contradictions import contradictions
from hulllog.insight.gear import gear_stories
from hulllog.insight.judging import judged_zones
from hulllog.insight.matters import asked, matters, notes_for_next_time
from hulllog.insight.occasions import visits
from hulllog.insight.overview import growth_alone, last_line, lines_from, unseen
from hulllog.insight.summary import looked_since, summary
from hulllog.insight.today import Line, today
from hulllog.records.model import Visit
from hulllog.records.proven import last_proven_backup
from hulllog.words import formats, say, say_n

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import datetime
    from pathlib import Path

    from hulllog.desktop.state import State
    from hulllog.insight.summary import Said
    from hulllog.records.book import Book

BEGINNINGS = (
    ("haul_out", "short"),
    ("old_notes", "table"),
    ("old_notes", "photos"),
    ("boat", "particulars"),
)
"""Page and what to show there, for the doors of a vessel without a past."""
SHORT_HISTORY = 3
"""Visits up to which the way to older ones is shown.  Our own rule."""


@dataclass(frozen=True, slots=True)
class Told:
    """What the page shows, read in one go.  ``out`` says whether a haul-out is open."""

    lines: tuple[Line, ...]
    short: tuple[Said, ...]
    visits: int
    out: bool


def read_today(book: Book, now: datetime, last_backup: datetime | None) -> Told:
    """Return the lines and her state in short, from all that is on record."""
    judged, anodes = judged_zones(book), positions(book)
    lines = today(book, now, last_backup, judged=judged, anodes=anodes)
    seen = visits(book)
    last = last_line(book, "haul_out")
    lately = lines_from(book, last.visit_id) if last is not None else []
    short = (
        summary(
            last,
            matters(book),
            asked(book),
            judged,
            unseen(book),
            anodes,
            now,
            later=looked_since(lately, last),
            after=aftermaths(book),
            growth=growth_alone(book),
            gear=gear_stories(book, None, now),
        )
        if seen
        else []
    )
    return Told(tuple(lines), tuple(short), len(seen), counts.haul_out_is_open(book))


class TodayPage(Page):
    """Says what wants attention now, whatever edge is picked."""

    code = "today"

    def __init__(self, state: State) -> None:
        super().__init__(state)
        self.told = Told((), (), 0, False)
        self.lines: list[BigLine] = []

    def title(self) -> str:
        """Return what day it is."""
        return say("today_page.title", day=formats.day(self._now().date()))

    def subtitle(self) -> str:
        """Say from what the lines are read."""
        self._read()
        if not self.told.visits:
            return say("today_page.subtitle_new")
        return say_n("today_page.subtitle", self.told.visits)

    def commands(self) -> Sequence[PageCommand]:
        """Offer the backup."""
        return (
            PageCommand(say("season.note"), self.ask_note, writes=True),
            PageCommand(say("season.look"), self.ask_look, writes=True),
            PageCommand(say("today_page.backup_now"), self.ask_backup, "Ctrl+B"),
        )

    def _now(self) -> datetime:
        return self.state.logbook.around.now()

    def _read(self) -> None:
        last = last_proven_backup(self.state.logbook)
        at = last.at if last is not None else None
        self.told = self.state.read(lambda book: read_today(book, self._now(), at))

    # Parts

    def build(self) -> None:
        """Make the frame of the lines, and the card below."""
        frame = QFrame()
        frame.setProperty("card", True)
        self._rows = column(space=0, margin=0)
        frame.setLayout(self._rows)
        self.short = Card(say("today_page.short"))
        self.short.setObjectName("today/short")
        self.backup_button = button(say("today_page.backup_now"), self.ask_backup, icon="backup")
        self.backup_button.setObjectName("today/backup")
        self._place_for_button = QWidget(self)
        self._place_for_button.hide()
        self.form = Card(say("today_page.form"), quiet=True)
        self.view = Canvas(say("today_page.form"), zoomable=False)
        self.view.setMinimumHeight(220)
        self.view.draw_by(self._draw_form)
        self.form.add(self.view)
        note = button(say("season.note"), self.ask_note, icon="add")
        note.setObjectName("today/note_it")
        look = button(say("season.look"), self.ask_look)
        look.setObjectName("today/look_it")
        self.writes(note, look)
        self.tools.addWidget(look)
        self.tools.addWidget(note)
        self.body.addWidget(frame)
        self.body.addWidget(self.short)
        self.body.addWidget(self.form, 50)
        self.body.addStretch(1)

    def first_focus(self) -> QWidget | None:
        """Start at the first line that leads somewhere."""
        return next((made for made in self.lines if made.key), self.backup_button)

    def refresh(self) -> None:
        """Show the lines, or the doors of a vessel without a past."""
        self.backup_button.setParent(self._place_for_button)
        clear(self._rows)
        self.lines = []
        listed = {entry.code for entry in pages_of(out=self.told.out)}
        if not self.told.visits:
            for number, (page, key) in enumerate(BEGINNINGS, 1):
                there = page in listed or behind_door(page) is not None
                self._add_beginning(str(number), page, key, there=there)
        for line in self.told.lines:
            self._add(line, listed)
        self._fill_short()
        self.form.setVisible(not self.told.visits)
        self.view.remake()

    def _draw_form(self, width: float, height: float) -> Scene:
        """Draw a vessel without a past: all her zones are still to be looked at."""
        # NumPy comes with the hull; the page of a vessel with a past does without.
        from hulllog.drawing.hullparts import ZoneDrawing
        from hulllog.drawing.hullviews import hull_scene
        from hulllog.insight.shape import form_of, outline

        found = self.state.read(lambda book: (form_of(book), zone_versions(book, None)))
        form, kept = found
        if form is None:
            return Scene(width, height)
        zones = [
            ZoneDrawing(zone.code, outline(version.outline), zone.name, "not_looked")
            for zone, version in kept
        ]
        described = say("today_page.form")
        drawn = hull_scene(
            form, "port", zones=zones, width=width, height=height, described=described
        )
        return drawn.scene

    def _add_beginning(self, number: str, page: str, key: str, *, there: bool) -> None:
        where = page_name(page, out=self.told.out)
        on = (lambda: self.go.emit(page, key)) if there else None
        self._show(BigLine(say(f"today_page.begin_{key}"), where, number, on))

    def _add(self, line: Line, listed: set[str]) -> None:
        sentence = telling.line_text(line)
        number = str(len(self.lines) + 1)
        if line.page == "backup":
            made = BigLine(sentence, "", after=self.backup_button)
            self.backup_button.show()
        elif line.page == "look":
            close = partial(self.ask_close, line.key)
            made = BigLine(sentence, say("season.close_it"), number, close)
        elif line.page == "notes":
            made = BigLine(sentence, say("today_page.notes"), number, self.show_notes)
        elif line.page == "contradictions":
            where = say("today_page.contradictions")
            made = BigLine(sentence, where, number, self.show_contradictions)
        else:
            where = page_name(line.page, out=self.told.out)
            on = (lambda: self.go.emit(line.page, line.key)) if line.page in listed else None
            door = working_link(self, *line.workings) if line.workings else None
            made = BigLine(sentence, where, number, on, after=door)
        self._show(made)

    def _show(self, made: BigLine) -> None:
        if self.lines:
            self._rows.addWidget(rule())
        made.setObjectName(f"today/line{len(self.lines) + 1}")
        self.lines.append(made)
        self._rows.addWidget(made)

    def _fill_short(self) -> None:
        self.short.clear()
        self.short.setVisible(bool(self.told.short))
        for said in self.told.short:
            self.short.add(worded(telling.summary_text(said), *said.workings))
        if 0 < self.told.visits <= SHORT_HISTORY:
            older = link(say("old_notes.door_short"), lambda: self.go.emit("old_notes", ""))
            older.setObjectName("today/older")
            self.short.add(older)

    # What can be done

    def press(self, key: str) -> bool:
        """Open the door with this figure, note something, enter a look, or make a backup."""
        deeds = {"b": self.ask_backup}
        if not self.state.read_only:
            deeds |= {"n": self.ask_note, "a": self.ask_look}
        if key.lower() in deeds:
            deeds[key.lower()]()
            return True
        found = next((made for made in self.lines if made.key and made.key == key), None)
        if found is not None:
            found.click()
        return found is not None

    def go_to(self, key: str) -> None:
        """Go to the backup."""
        if key == "backup":
            self.backup_button.setFocus()

    def show_notes(self) -> Sheet:
        """Show the notes that wait for the next haul-out in full."""
        waiting = self.state.read(lambda book: notes_for_next_time(book, open_only=True))
        sheet = Sheet(self, say("today_page.notes"))
        for note in waiting:
            raised = formats.partial_date(note.raised) if note.raised else ""
            sheet.add(Prose(note.text, LEAD), Prose(raised, role="muted"))
        sheet.open()
        return sheet

    def ask_note(self) -> None:
        """Ask for a note for the next haul-out."""
        from hulllog.desktop.today.season import NoteSheet

        NoteSheet(self).ask()

    def ask_look(self) -> None:
        """Ask for a look afloat."""
        from hulllog.desktop.today.season import AfloatSheet

        AfloatSheet(self).ask()

    def ask_close(self, visit_id: str) -> None:
        """Offer to close a look afloat."""
        visit = self.state.read(lambda book: book.get(Visit, visit_id))
        if visit is not None:
            from hulllog.desktop.today.season import CloseLookSheet

            CloseLookSheet(self, visit).open()

    def show_contradictions(self) -> Sheet:
        """Show everything on record that does not fit together, a sentence each."""
        sheet = Sheet(self, say("today_page.contradictions"))
        sheet.add(*(Prose(contradiction_text(one)) for one in self.state.read(contradictions)))
        sheet.open()
        return sheet

    def ask_backup(self) -> None:
        """Ask where to, and make a backup there."""
        chosen = backing.ask_where(self)
        if chosen is not None:
            self.make_backup(chosen)

    def make_backup(self, chosen: Path) -> None:
        """Make a backup into a folder; the button waits meanwhile."""
        self.backup_button.setEnabled(False)
        job = backing.make_backup(self, chosen, lambda _said: self.update_now())
        job.ended.connect(lambda: self.backup_button.setEnabled(True))

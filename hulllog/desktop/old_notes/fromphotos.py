"""Old haul-outs from a folder of pictures: proposed by capture day, ticked, named, kept."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QRect, QSize, Qt, Signal
from PySide6.QtGui import QPainter, QPaintEvent, QPixmap
from PySide6.QtWidgets import QFileDialog, QSizePolicy, QWidget

from hulllog.desktop.buttons import button
from hulllog.desktop.choice import Choice, Option
from hulllog.desktop.fields import DateField, TextField
from hulllog.desktop.haul_out.short import new_time_zone
from hulllog.desktop.labels import Prose
from hulllog.desktop.layout import Card, boxed, clear, column, line, scrolled
from hulllog.desktop.photos.intake import told
from hulllog.desktop.photos.leftout import LeftOut
from hulllog.desktop.tasks import Cancelled
from hulllog.desktop.theme import BODY, step, theme
from hulllog.insight.photoroll import sort_roll
from hulllog.records.errors import Refused
from hulllog.records.media import ImportReport, files_in
from hulllog.records.operations import queries
from hulllog.records.operations.oldnotes import FIELDS
from hulllog.records.roll import Pick, Roll, keep_roll, look_through
from hulllog.words import formats, say, say_n
from hulllog.words.errors import sentence_for

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from hulllog.desktop.fields import Field
    from hulllog.desktop.pages import Page
    from hulllog.desktop.tasks import Progress
    from hulllog.insight.photoroll import Group, Sorting
    from hulllog.records.book import Book
    from hulllog.records.roll import Shot

KEEP, LEAVE = "keep", "leave"
TILE = 96
MOST_NAMES = 8
"""Names of pictures without a day that are listed; the rest is told by number."""


class Tiles(QWidget):
    """A few pictures beside each other; what they are stands beside them in words."""

    def __init__(self, shots: Sequence[Shot]) -> None:
        super().__init__()
        self._pictures: list[QPixmap] = []
        for shot in shots:
            picture = QPixmap()
            picture.loadFromData(shot.small, "JPEG")
            self._pictures.append(picture)
        self.setAccessibleName(say("old_notes.photos.tiles", names=[s.file.name for s in shots]))
        self.setFixedSize(QSize(4 * (TILE + step(1)), TILE))
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
        for number, picture in enumerate(self._pictures):
            side = min(picture.width(), picture.height())
            middle = QRect(
                (picture.width() - side) // 2, (picture.height() - side) // 2, side, side
            )
            place = QRect(number * (TILE + step(1)), 0, TILE, TILE)
            painter.drawPixmap(place, picture, middle)
            painter.setPen(theme().colour("line"))
            painter.drawRect(place.adjusted(0, 0, -1, -1))
        painter.end()


class GroupCard(Card):
    """A proposed haul-out, or a visit on record: its days, its pictures, and whether to keep it."""

    changed = Signal()

    def __init__(self, page: Page, group: Group, known_yards: Sequence[str]) -> None:
        super().__init__(margin=3)
        self.group = group
        self.fields: dict[str, Field] = {}
        count = say_n("photo.count", len(group.shots))
        span = formats.days_from(group.first, group.last)
        text = say("old_notes.photos.group", days=span, count=count)
        self.tick = Choice(
            text,
            [
                Option(KEEP, self._keep_text(), "k", self._keep_text()),
                Option(LEAVE, say("old_notes.photos.leave"), "l"),
            ],
            label_width=0,
        )
        self.tick.show_value(LEAVE)
        self.tick.chosen.connect(lambda _code: self._ticked())
        right = column(self.tick, space=2)
        if group.visit_id is None:
            self._make_fields(page, known_yards)
            named = line(*self.fields.values(), space=3)
            named.setStretch(2, 1)
            self._named = boxed(named)
            self._named.hide()
            right.addWidget(self._named)
        right.addStretch(1)
        across = line(space=4)
        across.addWidget(Tiles(group.tiles), 0, Qt.AlignmentFlag.AlignTop)
        across.addLayout(right, 1)
        self.body.addLayout(across)

    @property
    def kept(self) -> bool:
        """Whether it is ticked."""
        return self.tick.value == KEEP

    def pick(self) -> Pick:
        """Return what is to be kept."""
        files = tuple(shot.file for shot in self.group.shots)
        typed = {name: field.text().strip() for name, field in self.fields.items()}
        return Pick(files=files, visit_id=self.group.visit_id, typed=typed)

    def _keep_text(self) -> str:
        group = self.group
        if group.visit_id is None:
            return say("old_notes.photos.keep_new")
        when = formats.span(group.begins, group.ends or group.begins)
        if group.yard:
            return say("old_notes.photos.keep_inside_at", when=when, yard=group.yard)
        return say("old_notes.photos.keep_inside", when=when)

    def _make_fields(self, page: Page, known_yards: Sequence[str]) -> None:
        for name, text in (("begins", self.group.out), ("ends", self.group.back)):
            made = DateField(
                say(f"old_notes.column.{name}"),
                label_width=32,
                check=page.state.checker(FIELDS, name),
            )
            made.show_value(text)
            made.setFixedWidth(230)
            self.fields[name] = made
        self.fields["yard"] = TextField(
            say("old_notes.column.yard"),
            label_width=44,
            known=known_yards,
            check=page.state.checker(FIELDS, "yard"),
        )

    def _ticked(self) -> None:
        if self.group.visit_id is None:
            self._named.setVisible(self.kept)
            if self.kept:
                self.fields["yard"].setFocus(Qt.FocusReason.OtherFocusReason)
        self.changed.emit()


class FromPhotos(QWidget):
    """The preview of a folder of pictures.  ``shut`` tells that it is done or given up."""

    shut = Signal()

    def __init__(self, page: Page) -> None:
        super().__init__()
        self._page = page
        self.roll: Roll | None = None
        self.cards: list[GroupCard] = []
        self._build()

    def ask(self) -> Path | None:
        """Ask for a folder; None for none."""
        from pathlib import Path

        name = QFileDialog.getExistingDirectory(self, say("old_notes.photos.choose"))
        return Path(name) if name else None

    def open(self, folder: Path) -> None:
        """Look through a folder in the background, then show what it speaks of."""
        self._clear()
        self._head.setText(say("old_notes.photos.looking"))
        logbook = self._page.state.logbook

        def work(progress: Progress) -> Roll:
            return look_through(logbook, files_in(folder), progress)

        title = say("old_notes.photos.looking")
        self._page.background(title, work, self._looked, self._failed)

    # Parts

    def _build(self) -> None:
        self._head = Prose("", BODY, bold=True)
        self.near = self._question("near", ("all", "one"))
        self.doubtful = self._question("doubtful", ("apart", "trust"))
        self.left_out = LeftOut()
        self._groups = column(space=2)
        self._apart = Card(say("old_notes.photos.apart"), margin=3)
        self.keep = button(say("old_notes.photos.keep_none"), self.store, primary=True)
        self._page.writes(self.keep)
        self.give_up = button(say("do.cancel"), self.shut.emit)
        asked = line(self.near, self.doubtful, space=6)
        asked.setStretch(1, 1)
        rest = column(space=2)
        rest.addLayout(asked)
        rest.addLayout(self._groups)
        rest.addWidget(self._apart)
        rest.addWidget(self.left_out)
        rest.addStretch(1)
        outer = column(self._head, scrolled(boxed(rest)), space=2)
        outer.setStretch(1, 1)
        outer.addLayout(line(None, self.give_up, self.keep))
        self.setLayout(outer)
        self._clear()

    def _question(self, name: str, codes: tuple[str, str]) -> Choice:
        made = Choice(
            say(f"old_notes.photos.{name}"),
            [Option(code, say(f"old_notes.photos.{name}_{code}")) for code in codes],
            label_width=0,
        )
        made.show_value(codes[0])
        made.chosen.connect(lambda _code: self._sort())
        return made

    def _clear(self) -> None:
        clear(self._groups)
        self.roll, self.cards = None, []
        for widget in (self.near, self.doubtful, self._apart):
            widget.hide()
        self.left_out.put_away()
        self.keep.setEnabled(False)

    def _looked(self, roll: Roll) -> None:
        self.roll = roll
        self._sort()
        if roll.refused:
            self.left_out.show_sentences(
                [sentence_for("refused", one.code, one.values) for one in roll.refused]
            )
        first = self.cards[0].tick if self.cards else self.give_up
        first.setFocus(Qt.FocusReason.OtherFocusReason)

    def _failed(self, problem: BaseException) -> None:
        if isinstance(problem, Cancelled):
            self._page.state.tell(say("photos.cancelled"))
            self.shut.emit()
        else:
            self._page.state.fail(problem)

    def _sort(self) -> None:
        if self.roll is None:
            return
        shots, now = self.roll.shots, self._page.state.logbook.around.now()
        keep_near, trust = self.near.value != "one", self.doubtful.value == "trust"
        found = self._page.state.read(
            lambda book: sort_roll(book, shots, now, keep_near=keep_near, trust_doubtful=trust)
        )
        self.near.setVisible(bool(found.near))
        self.doubtful.setVisible(bool(found.doubtful))
        self._show_groups(found)
        self._show_apart(found)
        self._show_head(found)
        self._count()

    def _show_groups(self, found: Sorting) -> None:
        kept = {_name(card.group): card for card in self.cards}
        for card in self.cards:
            card.setParent(None)
        self.cards = []
        yards = self._page.state.read(_yards)
        for group in (*found.new, *found.inside):
            name = _name(group)
            if name in kept:
                card = kept.pop(name)
            else:
                card = GroupCard(self._page, group, yards)
                card.changed.connect(self._count)
            self.cards.append(card)
            self._groups.addWidget(card)
            card.show()
        for gone in kept.values():
            gone.deleteLater()

    def _show_apart(self, found: Sorting) -> None:
        self._apart.clear()
        self._apart.setVisible(bool(found.undated))
        names = [shot.file.name for shot in found.undated]
        for name in names[:MOST_NAMES]:
            self._apart.add(Prose(name, BODY))
        if len(names) > MOST_NAMES:
            self._apart.add(Prose(say_n("word.more", len(names) - MOST_NAMES), role="muted"))

    def _show_head(self, found: Sorting) -> None:
        assert self.roll is not None
        if not self.roll.shots:
            self._head.setText(say("old_notes.photos.no_picture"))
            return
        parts = [
            say_n("old_notes.photos.seen", len(self.roll.shots)),
            say_n("old_notes.photos.proposed", len(found.new)),
        ]
        if found.on_record:
            parts.append(say_n("photos.already", len(found.on_record)))
        self._head.setText(" ".join(parts))

    def _count(self) -> None:
        picked = [card for card in self.cards if card.kept]
        new = sum(card.group.visit_id is None for card in picked)
        pictures = say_n("photo.count", sum(len(card.group.shots) for card in picked))
        if not picked:
            text = say("old_notes.photos.keep_none")
        elif new:
            text = say_n("old_notes.photos.keep_all", new, pictures=pictures)
        else:
            text = say("old_notes.photos.keep_pictures", pictures=pictures)
        self.keep.setText(text)
        self.keep.setAccessibleName(text)
        self.keep.setEnabled(bool(picked) and self._page.state.read_only is None)

    # Keeping

    def store(self) -> None:
        """Keep what is ticked, as one entry, with progress and Cancel."""
        picked = [card for card in self.cards if card.kept]
        for card in picked:
            for field in card.fields.values():
                if not field.commit():
                    field.entry.setFocus(Qt.FocusReason.OtherFocusReason)
                    return
        picks = [card.pick() for card in picked]
        logbook, zone = self._page.state.logbook, self._page.state.read(new_time_zone)
        self.keep.setEnabled(False)

        def work(progress: Progress) -> ImportReport:
            return keep_roll(logbook, picks, time_zone=zone, progress=progress)

        self._page.background_writing(
            say("photos.taking_in"),
            work,
            self._stored,
            lambda problem: self._refused(picked, problem),
        )

    def _stored(self, report: ImportReport) -> None:
        self._page.state.tell(told(report))
        if report.refused:
            self._sort()
            self.left_out.show_sentences(
                [sentence_for("refused", one.code, one.values) for one in report.refused]
            )
            return
        self._clear()
        self.shut.emit()

    def _refused(self, picked: Sequence[GroupCard], problem: BaseException) -> None:
        self._count()
        if isinstance(problem, Cancelled):
            self._page.state.tell(say("photos.cancelled"))
            return
        number, _, name = getattr(problem, "field", "").partition(".")
        if isinstance(problem, Refused) and number.isdigit():
            field = picked[int(number)].fields.get(name)
            if field is not None:
                field.refuse(problem)
                field.entry.setFocus(Qt.FocusReason.OtherFocusReason)
                return
        self._page.state.fail(problem)


def _yards(book: Book) -> list[str]:
    found = [visit.yard for visit in reversed(queries.visits(book)) if visit.yard]
    return list(dict.fromkeys(found))


def _name(group: Group) -> tuple[str | None, tuple[str, ...]]:
    return group.visit_id, tuple(shot.sha256 for shot in group.shots)

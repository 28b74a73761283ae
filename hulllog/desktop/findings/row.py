"""One finding as a row: its pictures, what it is and what must happen; it opens to its history."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import QRect, QSize, Qt, Signal
from PySide6.QtGui import QKeyEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QFrame, QSizePolicy, QWidget

from hulllog.desktop.buttons import Drawn
from hulllog.desktop.canvas import Canvas
from hulllog.desktop.findings.listed import Told, last_seen, shown_of
from hulllog.desktop.hull.pair import PhotoPair
from hulllog.desktop.hull.thumbs import VIEWS
from hulllog.desktop.inputs import ENTER
from hulllog.desktop.labels import Prose, elided, label, tip
from hulllog.desktop.layout import boxed, clear, column, line, rule
from hulllog.desktop.owncopies import OwnCopies
from hulllog.desktop.theme import BODY, LEAD, SMALL, step, theme
from hulllog.drawing.hullparts import ZoneDrawing
from hulllog.drawing.hullviews import hull_scene
from hulllog.drawing.ownviews import own_scene
from hulllog.drawing.scene import Scene
from hulllog.hull.handdrawn import is_own
from hulllog.hull.outlines import zone_shapes
from hulllog.hull.zones import ZoneOutline
from hulllog.words import say
from hulllog.words.formats import partial_date

if TYPE_CHECKING:
    from hulllog.desktop.findings.listed import Board, Listed
    from hulllog.desktop.state import State
    from hulllog.insight.ownviews import OwnSeen
    from hulllog.insight.placed import PhotoSeen

PICTURES = 248
HEIGHT = 92
_MUST = 176
_MARK = 20
_FLAT = int(Qt.AlignmentFlag.AlignVCenter | Qt.TextFlag.TextSingleLine)


class Head(Drawn):
    """The closed row: a press, Enter or Space opens it, the arrows go to the next one."""

    stepped = Signal(int)

    def __init__(self, row: Listed) -> None:
        matter = row.matter
        self._title = matter.title
        self._number = say("finding.numbered", number=matter.number)
        must = say(f"must.{matter.must}")
        self._must = (
            (say("findings_page.overdue", must=must) if row.late else must)
            if row.status == "open"
            else say(f"finding_status.{row.status}")
        )
        self._severity = say(f"severity.{matter.severity}")
        raised = partial_date(matter.raised) if matter.raised else say("word.not_recorded")
        self._when = say("findings_page.dates", raised=raised, last=last_seen(matter))
        self._where = row.where or say("findings_page.no_place")
        told = (self._number, self._title, self._must, self._severity, self._where, self._when)
        super().__init__(", ".join(told))
        self.setObjectName(f"finding/{matter.finding_id}")
        self.setProperty("row", False)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.opened = False
        tip(self, "\n".join((self._title, self._where)) if len(self._title) > 60 else "")

    def show_opened(self, opened: bool) -> None:
        """Turn the mark, and say whether the history is shown."""
        self.opened = opened
        self.setAccessibleDescription(
            say("findings_page.shown" if opened else "findings_page.hidden")
        )
        self.update()

    def sizeHint(self) -> QSize:
        """Ask for four lines of text."""
        sizes = (SMALL, LEAD, SMALL, SMALL)
        lines = sum(theme().metrics(size, bold=size == LEAD).lineSpacing() + 2 for size in sizes)
        return QSize(360, max(HEIGHT, lines + step(4)))

    def minimumSizeHint(self) -> QSize:
        """Be content with less width."""
        return QSize(200, self.sizeHint().height())

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Step with the arrows; Enter and Space open."""
        if event.key() in {Qt.Key.Key_Up, Qt.Key.Key_Down}:
            self.stepped.emit(-1 if event.key() == Qt.Key.Key_Up else 1)
        elif event.key() in ENTER:
            self.click()
        else:
            super().keyPressEvent(event)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw number, title, place and dates, and at the end what must happen."""
        painter = QPainter(self)
        self.ground(painter, theme().colour("select") if self._hovered else None, None)
        area = self.rect().adjusted(step(3), step(1.5), -step(2), -step(1.5))
        self._paint_mark(painter, area)
        area.setRight(area.right() - _MARK - step(2))
        end = QRect(area.right() - _MUST, area.top(), _MUST, area.height())
        self._paint_must(painter, end)
        area.setRight(end.left() - step(4))
        self._paint_lines(painter, area)
        painter.end()

    def _paint_lines(self, painter: QPainter, area: QRect) -> None:
        top = area.top()
        for text, size, bold, role in (
            (self._number, SMALL, False, "muted"),
            (self._title, LEAD, True, "ink"),
            (self._where, SMALL, False, "ink"),
            (self._when, SMALL, False, "muted"),
        ):
            painter.setFont(theme().font(size, bold=bold))
            painter.setPen(theme().colour(role))
            metrics = painter.fontMetrics()
            here = QRect(area.left(), top, area.width(), metrics.lineSpacing())
            painter.drawText(here, _FLAT, elided(text, metrics, here))
            top += metrics.lineSpacing() + 2

    def _paint_must(self, painter: QPainter, area: QRect) -> None:
        painter.setPen(theme().colour("ink"))
        top = area.top() + theme().metrics(SMALL).lineSpacing() + 2
        for text, size, bold in ((self._must, BODY, True), (self._severity, SMALL, False)):
            painter.setFont(theme().font(size, bold=bold))
            metrics = painter.fontMetrics()
            here = QRect(area.left(), top, area.width(), metrics.lineSpacing())
            painter.drawText(here, _FLAT, elided(text, metrics, here))
            top += metrics.lineSpacing() + 2

    def _paint_mark(self, painter: QPainter, area: QRect) -> None:
        icon = theme().icon("shut" if self.opened else "open", "muted")
        place = QRect(area.right() - _MARK, (self.height() - _MARK) // 2, _MARK, _MARK)
        icon.paint(painter, place)


class ZonePicture(Canvas):
    """Where a finding is: the view that shows most of its zones, these outlined."""

    def __init__(self, board: Board, row: Listed, state: State) -> None:
        super().__init__(say("findings_page.place", where=row.where), zoomable=False)
        self._copies = OwnCopies(state, self, self.remake)
        self._board, self._row = board, row
        self._view = _best_view(board, row)
        self.draw_by(self._make)

    def _make(self, width: float, height: float) -> Scene:
        form, own = self._board.form, self._own()
        if own is not None:
            return self._on_own(own, width, height)
        if form is None:
            return Scene(width, height)
        wanted = set(self._row.seen_in)
        zones = [
            ZoneDrawing(
                zone.code, ZoneOutline.from_json(zone.outline or {}), zone.name,
                "graded" if zone.code in wanted else "not_rated", 0,
            )
            for zone in self._board.zones
            if zone.outline
        ]  # fmt: skip
        picked = f"zone:{self._row.seen_in[0]}"
        return hull_scene(
            form, self._view, zones=zones, width=width, height=height, small=True, picked=picked
        ).scene

    def _own(self) -> OwnSeen | None:
        """Return the own view of a zone that no form shows."""
        code = self._row.seen_in[0]
        if self._board.form is not None and not is_own(code):
            return None
        shown = [view for view in self._board.own if any(s.code == code for s in view.shapes)]
        return shown[0] if shown else None

    def _on_own(self, view: OwnSeen, width: float, height: float) -> Scene:
        wanted = set(self._row.seen_in)
        zones = [
            ZoneDrawing(
                shape.code, ZoneOutline(shape.code, ()), shape.name,
                "graded" if shape.code in wanted else "not_rated", 0,
            )
            for shape in view.shapes
        ]  # fmt: skip
        data = self._copies.data(view)
        picked = f"zone:{self._row.seen_in[0]}"
        return own_scene(
            view, data, zones=zones, width=width, height=height, small=True, picked=picked
        ).scene


def _best_view(board: Board, row: Listed) -> str:
    """Return the first view in which the first zone of a finding is seen."""
    first = next((zone for zone in board.zones if zone.code == row.seen_in[0]), None)
    if board.form is None or first is None or not first.outline:
        return VIEWS[0]
    outline = ZoneOutline.from_json(first.outline)
    seen = [view for view in VIEWS if zone_shapes(board.form, view, outline)]
    return seen[0] if seen else VIEWS[0]


class Row(QFrame):
    """A card with a finding.  ``toggled`` tells that it wants to be opened or shut."""

    toggled = Signal(str)

    def __init__(
        self, state: State, board: Board, row: Listed, on_photo: Callable[[PhotoSeen], object]
    ) -> None:
        super().__init__()
        self.setProperty("card", True)
        self.listed = row
        self.head = Head(row)
        self.head.clicked.connect(lambda _checked: self.toggled.emit(row.matter.finding_id))
        pictures = _pictures(state, board, row, on_photo)
        pictures.setFixedWidth(PICTURES)
        top = line(pictures, self.head, space=2)
        top.setContentsMargins(step(2), step(2), step(2), step(2))
        self._more = column(space=2)
        held = boxed(self._more)
        held.setContentsMargins(PICTURES + step(7), 0, step(4), step(3))
        self._held = held
        box = column(space=0)
        box.addLayout(top)
        box.addWidget(held)
        self.setLayout(box)
        held.hide()

    @property
    def opened(self) -> bool:
        """Whether the history is shown."""
        return not self._held.isHidden()

    def open(self, *below: QWidget) -> None:
        """Show the history, and what can be done below it."""
        clear(self._more)
        self._more.addWidget(rule())
        if len(self.listed.matter.title) > 60:
            self._more.addWidget(Prose(self.listed.matter.title, BODY, bold=True))
        for told in self.listed.history:
            self._more.addWidget(_told_line(told))
        for widget in below:
            self._more.addWidget(widget)
        self._held.show()
        self.head.show_opened(True)

    def shut(self) -> None:
        """Hide the history again."""
        self._held.hide()
        clear(self._more)
        self.head.show_opened(False)


def _told_line(told: Told) -> QWidget:
    when = partial_date(told.when) if told.when else say("word.not_recorded")
    said = label(when, role="muted")
    said.setFixedWidth(112)
    words = column(Prose(told.what, BODY), space=0)
    if told.text:
        words.addWidget(Prose(told.text, BODY, role="muted"))
    row = line(space=2)
    row.addWidget(said, 0, Qt.AlignmentFlag.AlignTop)
    row.addLayout(words, 1)
    return boxed(row)


def _pictures(
    state: State, board: Board, row: Listed, on_photo: Callable[[PhotoSeen], object]
) -> QWidget:
    if row.photos:
        return PhotoPair(state, shown_of(row), {}, on_photo, height=HEIGHT)
    if row.seen_in:
        drawn = ZonePicture(board, row, state)
        drawn.setFixedHeight(HEIGHT)
        return drawn
    told = label("\n".join(row.things) or say("findings_page.no_place"), SMALL, role="muted")
    told.setAlignment(Qt.AlignmentFlag.AlignCenter)
    told.setWordWrap(True)
    told.setProperty("card", True)
    told.setFixedHeight(HEIGHT)
    return told

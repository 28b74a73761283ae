"""Zones graded by two keys: a letter picks the zone, a digit grades it."""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtCore import QRect, QSize, Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QGridLayout, QSizePolicy, QWidget

from hulllog.desktop.buttons import Drawn
from hulllog.desktop.cards.pictures import caption
from hulllog.desktop.labels import Prose, elided
from hulllog.desktop.layout import column
from hulllog.desktop.sceneview import SceneView
from hulllog.desktop.theme import BODY, SMALL, step, theme
from hulllog.drawing.hullparts import ZoneDrawing
from hulllog.drawing.hullviews import hull_scene
from hulllog.insight import shades
from hulllog.insight.shape import outline
from hulllog.trade import kinds
from hulllog.words import say
from hulllog.words.telling import grade

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hulllog.drawing.scene import Scene
    from hulllog.hull.form import HullForm
    from hulllog.insight.walking import Stop

_LETTERS = "abcdefghijklmnopqrstuvwxyz"
_CAP = 20
_COLUMNS = 3


@dataclass(frozen=True, slots=True)
class _Letter:
    stop: Stop
    letter: str


class ZoneRow(Drawn):
    """A zone in the list: its letter, its name, its grade."""

    def __init__(self, item: _Letter) -> None:
        super().__init__(item.stop.name)
        self._item = item
        self._grade = ""
        self._step = 0
        self._picked = False
        self.setProperty("row", False)
        self.setMinimumHeight(0)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def show_state(self, shown: str, shade: int | None, *, picked: bool) -> None:
        """Show the grade, how dark it is, and whether the zone is picked."""
        self._grade, self._step, self._picked = shown, shade or 0, picked
        self.setAccessibleName(
            f"{self._item.stop.name}: {shown}" if shown else self._item.stop.name
        )
        self.update()

    def sizeHint(self) -> QSize:
        """Ask for a low row; in the yard for a high one."""
        name = theme().metrics(SMALL, bold=True).horizontalAdvance(self._item.stop.name)
        return QSize(name + _CAP + step(5), max(theme().row - step(2), 24))

    def minimumSizeHint(self) -> QSize:
        """Be content with a narrow column."""
        return QSize(96, self.sizeHint().height())

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw letter, name and grade."""
        painter = QPainter(self)
        lit = self._picked or self._hovered
        edge = theme().colour("action") if self._picked else None
        self.ground(painter, theme().colour("select") if lit else None, edge)
        area = self.rect().adjusted(step(1), 0, -step(1), 0)
        painter.setPen(theme().colour("ink"))
        area.setLeft(self._draw_letter(painter, area) + step(2))
        if self._grade:
            area.setRight(self._draw_grade(painter, area) - step(1))
        painter.setPen(theme().colour("ink"))
        painter.setFont(theme().font(SMALL, bold=bool(self._grade)))
        shown = elided(self._item.stop.name, painter.fontMetrics(), area)
        painter.drawText(area, int(Qt.AlignmentFlag.AlignVCenter), shown)
        painter.end()

    def _draw_letter(self, painter: QPainter, area: QRect) -> int:
        cap = QRect(area.left(), (self.height() - _CAP) // 2, _CAP, _CAP)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawRoundedRect(cap, 3, 3)
        painter.setFont(theme().font(SMALL, bold=True))
        painter.drawText(cap, Qt.AlignmentFlag.AlignCenter, self._item.letter.upper())
        return cap.right()

    def _draw_grade(self, painter: QPainter, area: QRect) -> int:
        painter.setFont(theme().font(BODY, bold=True))
        wide = max(painter.fontMetrics().horizontalAdvance(self._grade) + step(2), 24)
        chip = QRect(area.right() - wide, (self.height() - _CAP) // 2, wide, _CAP)
        nothing = self._step < 0
        painter.setPen(theme().colour("edge"))
        painter.setBrush(theme().colour("sheet" if nothing else f"condition.{self._step}"))
        painter.drawRoundedRect(chip, 3, 3)
        painter.setPen(theme().colour("ink" if nothing else f"on_condition.{self._step}"))
        painter.drawText(chip, Qt.AlignmentFlag.AlignCenter, self._grade)
        return chip.left()


class ZoneGrades(QWidget):
    """The zones of the boat, graded for one kind; ``changed`` after every key that tells.

    Letter: picks a zone.  Digit: grades it.  Backspace: takes its grade away.  Arrows: the zone
    before or after.  Enter and Tab leave.
    """

    changed = Signal()

    def __init__(self, name: str) -> None:
        super().__init__()
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName(name)
        self._items: list[_Letter] = []
        self._rows: list[ZoneRow] = []
        self._grades: dict[str, str] = {}
        self._picked = -1
        self._columns = 0
        self._kind = ""
        self._form: HullForm | None = None
        self.view = SceneView(say("view.expansion"), zoomable=False)
        self.view.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.view.setFixedHeight(164)
        self.view.picked.connect(lambda key, _modifiers: self.pick_code(key.partition(":")[2]))
        self.told = Prose("", SMALL, role="muted")
        self._grid = QGridLayout()
        self._grid.setSpacing(0)
        box = column(self.view, self.told, space=1)
        box.addLayout(self._grid)
        self.setLayout(box)

    # What is graded

    def show_zones(self, form: HullForm | None, stops: Sequence[Stop], kind: str) -> None:
        """Show the zones of a boat for a kind whose grades are single digits."""
        self._form, self._kind = form, kind
        letters = [*_LETTERS, *([""] * len(stops))]
        self._items = [_Letter(stop, letter) for stop, letter in zip(stops, letters, strict=False)]
        known = {stop.zone_id for stop in stops}
        allowed = set(self._allowed())
        self._grades = {z: g for z, g in self._grades.items() if z in known and g in allowed}
        self._list()
        self.view.draw_by(self._draw)
        self._show()

    def grades(self) -> dict[str, str]:
        """Return zone id -> grade, in walking order."""
        order = [item.stop.zone_id for item in self._items]
        return {zone: self._grades[zone] for zone in order if zone in self._grades}

    @property
    def component(self) -> str:
        """The component that the digits grade."""
        return kinds.require(self._kind).components[0].code

    def text(self) -> str:
        """Return the grades as a text that ``show_text`` reads."""
        return json.dumps(self.grades()) if self._grades else ""

    def show_text(self, text: str) -> None:
        """Show grades kept as text."""
        self._grades = json.loads(text) if text else {}
        self._show()

    def pick_code(self, code: str) -> None:
        """Pick a zone by its code."""
        codes = [item.stop.code for item in self._items]
        if code in codes:
            self.setFocus(Qt.FocusReason.OtherFocusReason)
            self._pick(codes.index(code))

    # Keys

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Pick, grade, take away, travel."""
        event.setAccepted(self._take(event))

    def _take(self, event: QKeyEvent) -> bool:
        key, text = event.key(), event.text().lower()
        if key in {Qt.Key.Key_Down, Qt.Key.Key_Right, Qt.Key.Key_Up, Qt.Key.Key_Left}:
            back = key in {Qt.Key.Key_Up, Qt.Key.Key_Left}
            self._pick(max(0, min(self._picked + (-1 if back else 1), len(self._items) - 1)))
        elif key in {Qt.Key.Key_Backspace, Qt.Key.Key_Delete} and self._picked >= 0:
            self._set(None)
        elif text.isdigit() and text in self._allowed() and self._picked >= 0:
            self._set(text)
        elif text and (found := self._lettered(text)) is not None:
            self._pick(found)
        else:
            return False
        return True

    def _lettered(self, text: str) -> int | None:
        return next((n for n, item in enumerate(self._items) if item.letter == text), None)

    def _allowed(self) -> tuple[str, ...]:
        first = kinds.require(self._kind).components[0]
        return first.pictured or first.grades

    def _pick(self, index: int) -> None:
        self._picked = index
        self._show()

    def _set(self, code: str | None) -> None:
        zone = self._items[self._picked].stop.zone_id
        if code is None:
            self._grades.pop(zone, None)
        else:
            self._grades[zone] = code
        self._show()
        self.changed.emit()

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Show which zone is picked."""
        super().focusInEvent(event)
        self._show()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Show none as picked."""
        super().focusOutEvent(event)
        self._show()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw the ring of the keyboard."""
        if self.hasFocus():
            painter = QPainter(self)
            painter.setPen(theme().colour("action"))
            painter.drawRoundedRect(self.rect().adjusted(0, 0, -1, -1), 4, 4)
            painter.end()

    # Parts

    def _list(self) -> None:
        for row in self._rows:
            row.setParent(None)
            row.deleteLater()
        self._rows = [ZoneRow(item) for item in self._items]
        for n, row in enumerate(self._rows):
            row.clicked.connect(lambda _on, n=n: self.pick_code(self._items[n].stop.code))
        self._columns = 0
        self._place()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """List the zones in as many columns as hold their names."""
        super().resizeEvent(event)
        self._place()

    def _place(self) -> None:
        wide = max((row.sizeHint().width() for row in self._rows), default=1)
        columns = min(max(self.width() // wide, 1), _COLUMNS)
        if columns == self._columns:
            return
        self._columns = columns
        deep = -(-len(self._rows) // columns)
        for n, row in enumerate(self._rows):
            self._grid.addWidget(row, n % deep, n // deep)

    def _show(self) -> None:
        for n, (item, row) in enumerate(zip(self._items, self._rows, strict=True)):
            code = self._grades.get(item.stop.zone_id)
            shown = grade(self._kind, self.component, code) if code else ""
            row.show_state(shown, self._shade(code), picked=n == self._picked and self.hasFocus())
        self._say()
        self.view.remake()

    def _shade(self, code: str | None) -> int:
        found = shades.step(self._kind, {self.component: code}) if code else None
        return -1 if found is None else found

    def _say(self) -> None:
        if self._picked < 0 or not self._items:
            self.told.setText(say("haul_out.zones.how"))
            return
        stop = self._items[self._picked].stop
        code = self._grades.get(stop.zone_id)
        meant = caption(self._kind, self.component, code) if code else say("haul_out.zones.digit")
        said = say("haul_out.zones.picked", zone=stop.name, grade=meant)
        self.told.setText(said)
        self.setAccessibleDescription(said)

    def _draw(self, width: float, height: float) -> Scene:
        from hulllog.drawing.scene import Scene

        if self._form is None:
            return Scene(width, height)
        picked = self._items[self._picked].stop.code if self._picked >= 0 else ""
        return hull_scene(
            self._form,
            "expansion",
            zones=[self._zone(item) for item in self._items],
            width=width,
            height=height,
            picked=f"zone:{picked}" if picked and self.hasFocus() else "",
            described=say("haul_out.zones.described"),
        ).scene

    def _zone(self, item: _Letter) -> ZoneDrawing:
        code = self._grades.get(item.stop.zone_id)
        letter, shade = item.letter.upper(), self._shade(code)
        appearance = "graded" if shade >= 0 else "none_found" if code else "not_looked"
        label = f"{letter} {grade(self._kind, self.component, code)}" if code else letter
        return ZoneDrawing(
            item.stop.code,
            outline(dict(item.stop.outline)),
            item.stop.name,
            appearance,  # type: ignore[arg-type]
            max(shade, 0),
            label,
            letter,
        )

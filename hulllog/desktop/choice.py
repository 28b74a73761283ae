"""One of few, or some of few, as a row of buttons that each have a key.

The key stands on the button.  It works while the row or the page around it has the keyboard: a
page hands its key presses to ``Choice.press``.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar

from PySide6.QtCore import QRect, QSize, Qt, Signal
from PySide6.QtGui import QKeyEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QVBoxLayout, QWidget

from hulllog.desktop.buttons import Drawn
from hulllog.desktop.labels import elided, label, tip
from hulllog.desktop.layout import Flow
from hulllog.desktop.theme import BODY, SMALL, levelled, step, theme
from hulllog.words import say

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

_CAP = 20
_BACK = {Qt.Key.Key_Left, Qt.Key.Key_Up}
_ON = {Qt.Key.Key_Right, Qt.Key.Key_Down}


@dataclass(frozen=True, slots=True)
class Option:
    """One thing to choose: its code, how it is said, its key, and a line that says more."""

    code: str
    said: str
    key: str = ""
    more: str = ""


class KeyedButton(Drawn):
    """A big button that shows its key, and in the yard is 48 px high."""

    def __init__(self, option: Option) -> None:
        super().__init__(option.said)
        self.option = option
        self.setCheckable(True)
        self.setSizePolicy(QSizePolicy.Policy.Minimum, QSizePolicy.Policy.Fixed)
        if option.key:
            self.setAccessibleDescription(say("desktop.choice.key", key=option.key.upper()))
        tip(self, option.more)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Leave the arrows to the row."""
        if event.key() in _BACK | _ON:
            event.ignore()
        else:
            super().keyPressEvent(event)

    def nextCheckState(self) -> None:
        """Leave it to the row what is chosen."""

    def sizeHint(self) -> QSize:
        """Ask for the text and its key."""
        self.ensurePolished()
        metrics = theme().metrics(BODY, bold=True)
        width = min(metrics.horizontalAdvance(self.option.said), 320) + step(6.5)
        return QSize(width + (_CAP + step(1) if self.option.key else 0), theme().row + step(1))

    def minimumSizeHint(self) -> QSize:
        """Be content with a few letters."""
        return QSize(min(self.sizeHint().width(), 64), self.sizeHint().height())

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw ground, key and text."""
        painter = QPainter(self)
        chosen = self.isChecked()
        fill = theme().colour("action" if chosen else "select" if self._hovered else "sheet")
        self.ground(painter, fill, theme().colour("action" if chosen else "edge"))
        area = self.rect().adjusted(step(3), 0, -step(3), 0)
        ink = theme().colour("on_action" if chosen else "ink" if self.isEnabled() else "muted")
        painter.setPen(ink)
        if self.option.key:
            area.setLeft(self._draw_key(painter, area) + step(2))
        painter.setFont(theme().font(BODY, bold=chosen))
        shown = elided(self.option.said, painter.fontMetrics(), area)
        painter.drawText(area, int(Qt.AlignmentFlag.AlignVCenter), shown)
        painter.end()

    def _draw_key(self, painter: QPainter, area: QRect) -> int:
        cap = QRect(area.left() - step(1), (self.height() - _CAP) // 2, _CAP, _CAP)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawRoundedRect(cap, 3, 3)
        painter.setFont(theme().font(SMALL, bold=True))
        painter.drawText(cap, Qt.AlignmentFlag.AlignCenter, self.option.key.upper())
        return cap.right()


class ChoiceRow(QWidget):
    """The buttons, their keys and the travel between them."""

    button_class: ClassVar[type[KeyedButton]] = KeyedButton

    def __init__(self, text: str, options: Sequence[Option], *, label_width: int) -> None:
        super().__init__()
        if not text.strip():
            raise ValueError("a choice needs a label")
        self.setAccessibleName(text)
        self.buttons = [self.button_class(option) for option in options]
        flow = Flow(1)
        for made in self.buttons:
            made.setAccessibleName(f"{text}: {made.option.said}")
            made.clicked.connect(self._clicked)
            flow.addWidget(made)
        held = QWidget()
        held.setLayout(flow)
        said = label(text, role="muted")
        said.setWordWrap(bool(label_width))
        outer: QHBoxLayout | QVBoxLayout = QHBoxLayout() if label_width else QVBoxLayout()
        outer.setContentsMargins(0, 0, 0, 0)
        outer.setSpacing(step(1))
        if label_width:
            said.setFixedWidth(label_width)
            levelled(said, step(1))
        outer.addWidget(said, 0, Qt.AlignmentFlag.AlignTop)
        outer.addWidget(held, 1)
        self.setLayout(outer)
        self._stop_at(0)

    def set_read_only(self, read_only: bool) -> None:
        """Show what is kept, and take nothing."""
        for made in self.buttons:
            made.setEnabled(not read_only)

    def press(self, key: str) -> bool:
        """Choose what has this key; False when nothing has."""
        for made in self.buttons:
            if key and made.option.key.lower() == key.lower() and made.isEnabled():
                self.choose(made.option.code)
                return True
        return False

    def choose(self, code: str) -> None:
        """Choose an option as if it had been pressed."""
        raise NotImplementedError

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Travel with the arrows, choose with a key."""
        at = next((i for i, made in enumerate(self.buttons) if made.hasFocus()), 0)
        if event.key() in _BACK:
            self._go(at - 1)
        elif event.key() in _ON:
            self._go(at + 1)
        elif not self.press(event.text()):
            event.ignore()

    def _clicked(self) -> None:
        made = self.sender()
        if isinstance(made, KeyedButton):
            self.choose(made.option.code)

    def _go(self, index: int) -> None:
        index %= len(self.buttons)
        self._stop_at(index)
        self.buttons[index].setFocus(Qt.FocusReason.TabFocusReason)

    def _stop_at(self, index: int) -> None:
        """Make one button the stop of the Tab key, so that a row is one step."""
        for at, made in enumerate(self.buttons):
            strong = Qt.FocusPolicy.StrongFocus
            made.setFocusPolicy(strong if at == index else Qt.FocusPolicy.ClickFocus)
        if self.buttons:
            self.setFocusProxy(self.buttons[index])

    def _show(self, codes: Iterable[str]) -> None:
        wanted = set(codes)
        for made in self.buttons:
            made.setChecked(made.option.code in wanted)


class Choice(ChoiceRow):
    """One of few.  ``chosen`` brings the code; ``label_width`` 0 puts the label above."""

    chosen = Signal(str)

    def __init__(self, text: str, options: Sequence[Option], *, label_width: int = 128) -> None:
        super().__init__(text, options, label_width=label_width)
        self._value: str | None = None

    @property
    def value(self) -> str | None:
        """The code that is chosen, or None."""
        return self._value

    def show_value(self, code: str | None) -> None:
        """Show what is kept, without telling anybody."""
        self._value = code
        self._show([] if code is None else [code])
        codes = [made.option.code for made in self.buttons]
        if code in codes:
            self._stop_at(codes.index(code))

    def choose(self, code: str) -> None:
        """Choose an option and tell."""
        self.show_value(code)
        self.chosen.emit(code)


class Choices(ChoiceRow):
    """Some of few.  ``chosen`` brings the codes as a tuple, in the order of the options."""

    chosen = Signal(object)

    def __init__(self, text: str, options: Sequence[Option], *, label_width: int = 128) -> None:
        super().__init__(text, options, label_width=label_width)

    @property
    def value(self) -> tuple[str, ...]:
        """The codes that are chosen."""
        return tuple(made.option.code for made in self.buttons if made.isChecked())

    def show_value(self, codes: Iterable[str]) -> None:
        """Show what is kept, without telling anybody."""
        self._show(codes)

    def choose(self, code: str) -> None:
        """Choose an option, or take it back, and tell."""
        self._show(set(self.value) ^ {code})
        self.chosen.emit(self.value)

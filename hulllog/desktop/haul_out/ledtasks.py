"""The tasks of one step: what to see and do now, what is done, what can no longer be had."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from hulllog.desktop.buttons import Door, TallDoor
from hulllog.desktop.layout import clear, column
from hulllog.desktop.theme import step
from hulllog.words import formats, say

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hulllog.insight.leading import Led


class LedTasks(QWidget):
    """Rows of tasks; ``wanted`` brings the part of the page where one is entered."""

    wanted = Signal(str)

    def __init__(self) -> None:
        super().__init__()
        self._rows = column(space=0)
        self._rows.setContentsMargins(step(5), 0, 0, step(1))
        self.setLayout(self._rows)
        self.doors: dict[str, Door] = {}

    def show_tasks(self, tasks: Sequence[Led]) -> None:
        """Show the tasks of a step in their order.

        Where they are the same as before their rows stay, and with them the keyboard.
        """
        self.setVisible(bool(tasks))
        if [task.code for task in tasks] == list(self.doors):
            for task in tasks:
                self.doors[task.code].show_end(state_text(task))
            return
        clear(self._rows)
        self.doors = {}
        for task in tasks:
            door = TallDoor(say(f"led.{task.code}"), "", state_text(task))
            door.setObjectName(f"led.{task.code}")
            door.clicked.connect(lambda _on, leads_to=task.leads_to: self.wanted.emit(leads_to))
            self.doors[task.code] = door
            self._rows.addWidget(door)

    def first_open(self, tasks: Sequence[Led]) -> QWidget | None:
        """Return the row of the first task that waits."""
        code = next((task.code for task in tasks if task.state == "open"), "")
        return self.doors.get(code)


def state_text(task: Led) -> str:
    """Say how a task stands."""
    if task.state == "early" and task.not_before is not None:
        return say("led_state.early", day=formats.day(task.not_before.date()))
    if task.state == "open" and task.lost:
        return say("led_state.open_lost")
    return say(f"led_state.{task.state}")


def step_text(tasks: Sequence[Led]) -> str:
    """Say of a step how many of its tasks wait, and how many can no longer be had."""
    waiting = sum(task.state in ("open", "early") for task in tasks)
    gone = sum(task.state == "gone" for task in tasks)
    said = [say("led.waiting", n=waiting)] if waiting else []
    if gone:
        said.append(say("led.gone", n=gone))
    return ", ".join(said)

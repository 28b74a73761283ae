"""What can be done with what is picked: buttons that show their key."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from PySide6.QtWidgets import QWidget

from hulllog.desktop.choice import KeyedButton, Option
from hulllog.desktop.labels import Prose, tip
from hulllog.desktop.layout import column, flowing
from hulllog.desktop.theme import SMALL


@dataclass(frozen=True, slots=True)
class Action:
    """One thing to do: its name in the window, what it says, its key, and what it runs."""

    name: str
    said: str
    key: str
    run: Callable[[], object]


class ActionButton(KeyedButton):
    """A button that does something and shows its key."""

    def __init__(self, action: Action, why_not: str) -> None:
        super().__init__(Option(action.name, action.said, action.key, why_not))
        self.setCheckable(False)
        self.setObjectName(f"do/{action.name}")
        self.setEnabled(not why_not)
        self.clicked.connect(lambda _checked: action.run())


class Actions(QWidget):
    """Buttons in lines.  ``why_not`` says why none of them can be used; empty when they can."""

    def __init__(self, actions: Sequence[Action], why_not: str = "") -> None:
        super().__init__()
        self._actions = {} if why_not else {action.key.lower(): action for action in actions}
        buttons = [ActionButton(action, why_not) for action in actions]
        box = column(flowing(*buttons, space=1.5), space=1)
        if why_not:
            said = Prose(why_not, SMALL, role="muted")
            tip(said, "")
            box.addWidget(said)
        self.setLayout(box)

    def press(self, key: str) -> bool:
        """Do what has this key; False when nothing has."""
        action = self._actions.get(key.lower())
        if action is None:
            return False
        action.run()
        return True

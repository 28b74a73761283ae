"""What a screen reader finds inside a drawing: each part by its name and where it is."""

from __future__ import annotations

import atexit
from typing import TYPE_CHECKING

import shiboken6
from PySide6.QtCore import QObject, QRect
from PySide6.QtGui import QAccessible, QAccessibleEvent, QAccessibleInterface, QWindow
from PySide6.QtWidgets import QAccessibleWidget

if TYPE_CHECKING:
    from hulllog.desktop.sceneview import SceneView

_views: dict[int, _View] = {}
"""Python owns the interfaces: without this they would be gone while Qt still asks them."""
_parts: dict[int, list[_Part]] = {}
_installed: list[bool] = []


class _Part(QAccessibleInterface):
    """One part of a drawing, as a list item."""

    def __init__(self, view: SceneView, index: int) -> None:
        super().__init__()
        self._view = view
        self._index = index

    def isValid(self) -> bool:
        return self._index < len(self._view.regions)

    def object(self) -> QObject | None:  # type: ignore[override]
        return None

    def window(self) -> QWindow | None:  # type: ignore[override]
        return self._view.window().windowHandle()

    def parent(self) -> QAccessibleInterface:
        return QAccessible.queryAccessibleInterface(self._view)

    def child(self, _index: int) -> QAccessibleInterface | None:  # type: ignore[override]
        return None

    def childAt(self, _x: int, _y: int) -> QAccessibleInterface | None:  # type: ignore[override]
        return None

    def childCount(self) -> int:
        return 0

    def indexOfChild(self, _child: QAccessibleInterface) -> int:
        return -1

    def rect(self) -> QRect:
        if not self.isValid():
            return QRect()
        area = self._view.area_of(self._view.regions[self._index][0]).toAlignedRect()
        return QRect(self._view.mapToGlobal(area.topLeft()), area.size())

    def role(self) -> QAccessible.Role:
        return QAccessible.Role.ListItem

    def state(self) -> QAccessible.State:
        state = QAccessible.State()
        state.focusable = True
        state.selectable = True
        if self.isValid():
            key = self._view.regions[self._index][0]
            state.focused = self._view.hasFocus() and self._view.current == key
            state.selected = key in self._view.marked
        return state

    def text(self, kind: QAccessible.Text) -> str:
        named = kind == QAccessible.Text.Name and self.isValid()
        return self._view.regions[self._index][1] if named else ""

    def setText(self, _kind: QAccessible.Text, _text: str) -> None:
        return


class _View(QAccessibleWidget):
    """A drawing, as a list of its parts."""

    def __init__(self, view: SceneView) -> None:
        super().__init__(view, QAccessible.Role.List)
        self._view = view

    def childCount(self) -> int:
        return len(self._view.regions)

    def child(self, index: int) -> QAccessibleInterface | None:  # type: ignore[override]
        return part_of(self._view, index)

    def indexOfChild(self, child: QAccessibleInterface) -> int:
        known = _parts.get(id(self._view), [])
        return next((at for at, part in enumerate(known) if part == child), -1)

    def childAt(self, x: int, y: int) -> QAccessibleInterface | None:  # type: ignore[override]
        for index in reversed(range(self.childCount())):
            part = part_of(self._view, index)
            if part is not None and part.rect().contains(x, y):
                return part
        return None

    def focusChild(self) -> QAccessibleInterface | None:  # type: ignore[override]
        return part_of(self._view, self._view.index_of(self._view.current))


def part_of(view: SceneView, index: int) -> _Part | None:
    """Return the interface of a part by its place in the travel order, made when first asked."""
    if not 0 <= index < len(view.regions):
        return None
    known = _parts.setdefault(id(view), [])
    while len(known) <= index:
        made = _Part(view, len(known))
        QAccessible.registerAccessibleInterface(made)
        known.append(made)
    return known[index]


def tell_focus(view: SceneView) -> None:
    """Tell a screen reader which part the keyboard is on."""
    index = view.index_of(view.current)
    if index >= 0 and QAccessible.isActive():
        event = QAccessibleEvent(view, QAccessible.Event.Focus)
        event.setChild(index)
        QAccessible.updateAccessibility(event)


def install() -> None:
    """Make drawings speak; once for the process."""
    if not _installed:
        QAccessible.installFactory(_make)
        atexit.register(forget_all)
        _installed.append(True)


def forget(view_id: int) -> None:
    """Let go of the interfaces of a drawing that is gone.

    Qt keeps a table of them: one that Python freed first would be asked after its end.
    """
    for part in _parts.pop(view_id, []):
        _delete(part)
    _views.pop(view_id, None)


def forget_all() -> None:
    """Let go of all, before the interpreter ends."""
    for view_id in list(_parts):
        forget(view_id)
    for view in _views.values():
        _delete(view)
    _views.clear()


def _delete(known: QAccessibleInterface) -> None:
    if shiboken6.isValid(known):
        QAccessible.deleteAccessibleInterface(QAccessible.uniqueId(known))


def _make(_class: str, made_for: QObject) -> QAccessibleInterface | None:
    from hulllog.desktop.sceneview import SceneView

    if not isinstance(made_for, SceneView):
        return None
    known = _views.get(id(made_for))
    if known is None:
        known = _View(made_for)
        _views[id(made_for)] = known
    return known

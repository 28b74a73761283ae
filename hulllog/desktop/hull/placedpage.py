"""A page of things that sit on the hull: one large drawing, the other views, and cards beside it.

Keys: 1 to 9 put a view in the large place; a card's own keys do something with what is picked.
"""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, ClassVar

from PySide6.QtWidgets import QFrame, QWidget

from hulllog.desktop.hull.actions import Action
from hulllog.desktop.hull.asking import placed
from hulllog.desktop.hull.drawing import HullView, Pane
from hulllog.desktop.hull.pictures import place_of
from hulllog.desktop.hull.taping import TapeSheet
from hulllog.desktop.hull.thumbs import MOST_KEYS, VIEWS, Thumbnails
from hulllog.desktop.layout import EmptyState, clear, column
from hulllog.desktop.owncopies import OwnCopies
from hulllog.desktop.pages import Page
from hulllog.drawing.ownviews import is_own_place
from hulllog.hull.outlines import is_seen
from hulllog.records.model import Visit
from hulllog.words import formats, say

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hulllog.desktop.hull.actions import Actions
    from hulllog.desktop.hull.pictures import Draw
    from hulllog.desktop.state import State
    from hulllog.drawing.hullparts import HullPicture
    from hulllog.hull.form import HullForm
    from hulllog.hull.patches import Place
    from hulllog.insight.ownviews import OwnSeen
    from hulllog.records.model import Zone, ZoneVersion
    from hulllog.records.values import Where

SIDE = 424


class PlacedCard(QFrame):
    """A card of the sheet: its head takes the keyboard, its deeds are done by key."""

    head: QWidget
    deeds: Actions


class PlacedPage(Page):
    """Shows things with a place on the hull, one of them picked.

    ``mark`` is the prefix of their keys in the drawing.
    """

    mark: ClassVar[str] = ""
    scrolls = False

    def __init__(self, state: State) -> None:
        super().__init__(state)
        self.form: HullForm | None = None
        self.own: Sequence[OwnSeen] = ()
        self.zones: Sequence[tuple[Zone, ZoneVersion]] = ()
        self.copies = OwnCopies(state, self, self._redraw)
        self.view = VIEWS[0]
        self.picked = ""
        self.cards: dict[str, PlacedCard] = {}
        self._placing = ""

    # What a page of this sort gives

    def picture(self, view: str, width: float, height: float, *, small: bool) -> HullPicture:
        """Draw one view of the hull, or an own view, with the things that have a place."""
        raise NotImplementedError

    def drawing_name(self, view: str) -> str:
        """Name the large drawing."""
        raise NotImplementedError

    def known(self) -> dict[str, tuple[str, Where | None]]:
        """Return name and place of each thing that is shown, by its key."""
        raise NotImplementedError

    def fill_cards(self, column_of_cards: CardColumn) -> None:
        """Put the cards into the sheet, or say that there is nothing."""
        raise NotImplementedError

    def set_place(self, key: str, place: Where | dict[str, object], name: str) -> None:
        """Store where a thing sits."""
        raise NotImplementedError

    # Parts

    def lay_out_drawing(self, *, no_form: str, sheet: str) -> None:
        """Make the drawing, the thumbnails and the sheet of cards.

        ``no_form`` stands where she has no form and no own view, ``sheet`` names the cards.
        """
        self.main = HullView(self.title())
        self.main.setObjectName(f"{self.code}/drawing")
        self.pane = Pane(self.main)
        self.thumbnails = Thumbnails()
        self.thumbnails.chosen.connect(self.show_view)
        card = QFrame()
        card.setProperty("card", True)
        inside = column(self.pane, space=0)
        inside.setContentsMargins(1, 1, 1, 0)
        card.setLayout(inside)
        self._whole = QWidget()
        self._whole.setLayout(column(card, self.thumbnails, space=2))
        self._empty = EmptyState(no_form, say("own.use"), lambda: self.go.emit("boat", "own_view"))
        if self._empty.action is not None:
            self.writes(self._empty.action)
        self.body.addWidget(self._whole, 1)
        self.body.addWidget(self._empty, 1)
        self.column = CardColumn(sheet)
        self.set_side(self.column, width=SIDE)
        self.main.taken.connect(self._taken)
        self.main.draggable = self._may_move
        self.main.placed_at.connect(self._placed)
        self.main.moved_to.connect(self._moved)

    def refresh(self) -> None:
        """Draw what was read."""
        self.copies.look_again()
        self._whole.setVisible(self.drawn)
        self._empty.setVisible(not self.drawn)
        if self.drawn:
            if self.view not in self.views():
                self.view = self.views()[0]
            if not self.cards:
                self._bring_in_sight()
            self._draw()
        self._fill()

    @property
    def drawn(self) -> bool:
        """Whether there is a view: of her form, or one of the owner's own."""
        return self.form is not None or bool(self.own)

    def views(self) -> tuple[str, ...]:
        """Return the views there are: those of her form, then the owner's own."""
        of_form = VIEWS if self.form is not None else ()
        return (*of_form, *(view.key for view in self.own))

    def own_view(self, key: str) -> OwnSeen | None:
        """Return the own view of a key such as ``own:…``."""
        return next((view for view in self.own if view.key == key), None)

    def _view_name(self, view: str) -> str:
        own = self.own_view(view)
        return own.name if own is not None else say(f"view.{view}")

    def _redraw(self) -> None:
        if self.drawn:
            self._draw()

    def _fill(self) -> None:
        self.column.clear()
        self.cards = {}
        self.fill_cards(self.column)

    def _draw(self) -> None:
        named, own = self._view_name(self.view), self.own_view(self.view)
        self.pane.name(named)
        name = self.drawing_name(named)
        if own is not None:
            self.main.show_own(name, own, self._drawer(self.view))
        elif self.form is not None:
            self.main.show_hull(name, self.form, self.view, self._drawer(self.view))
        self.thumbnails.offer([(view, self._view_name(view)) for view in self.views()])
        self.thumbnails.hide_view(self.view)
        for view in self.views():
            if view != self.view:
                self.thumbnails.show_drawing(view, self._drawer(view, small=True))
        self.main.mark([f"{self.mark}:{self.picked}"] if self.picked else [])

    def _drawer(self, view: str, *, small: bool = False) -> Draw:
        return lambda width, height: self.picture(view, width, height, small=small)

    # What is picked

    def pick(self, key: str) -> None:
        """Show a thing in full and mark it on the drawing."""
        self.picked = key
        self._bring_in_sight()
        self._redraw()
        self._fill()
        card = self.cards.get(key)
        if card is not None:
            card.head.setFocus()

    def go_to(self, key: str) -> None:
        """Show a thing first, by its key."""
        if key in self.known():
            self.pick(key)

    def _taken(self, key: str) -> None:
        if key.startswith(f"{self.mark}:"):
            self.pick(key.removeprefix(f"{self.mark}:"))

    def _bring_in_sight(self) -> None:
        _name, where = self.known().get(self.picked, ("", None))
        if where is None:
            return
        place, form = place_of(where), self.form
        if is_own_place(place):
            self.view = place.part if place.part in self.views() else self.view
        elif form is not None and not (
            self.own_view(self.view) is None and is_seen(form, self.view, place)
        ):
            self.view = next((view for view in VIEWS if is_seen(form, view, place)), self.view)

    def show_view(self, view: str) -> None:
        """Put a view in the large place."""
        self.view = view
        self._redraw()

    def press(self, key: str) -> bool:
        """Turn to a view, or do something with what is picked."""
        views = self.views()[:MOST_KEYS]
        if key in {str(n + 1) for n in range(len(views))}:
            self.show_view(views[int(key) - 1])
            return True
        card = self.cards.get(self.picked)
        return card is not None and card.deeds.press(key)

    # Where it sits

    def visit_day(self) -> str:
        """Return the day of the visit that is picked, in words; empty for none."""
        edge = self.state.edge
        visit = self.state.read(lambda book: book.get(Visit, edge.visit_id)) if edge else None
        return formats.anything(visit.begins) if visit else ""

    def place(self) -> None:
        """Let the pointer or the arrows say where what is picked sits."""
        name = self.known().get(self.picked, ("", None))[0]
        if not name or not self.drawn:
            return
        self._placing = self.picked
        self.main.setFocus()
        self.main.carry()
        self.state.tell(say("desktop.placed.placing", name=name))

    def tape(self) -> None:
        """Ask by tape where what is picked sits."""
        name, key = self.known().get(self.picked, ("", None))[0], self.picked
        if name and self.form is not None:
            TapeSheet(self, self.form, name, partial(self._set_place, key)).ask()

    def tape_action(self) -> Action:
        """Return what asks by tape."""
        return Action("tape", say("desktop.placed.tape"), "t", self.tape)

    def _placed(self, place: Place | None) -> None:
        if not self._placing:
            return
        if place is None:
            self.state.tell(say("desktop.placed.beside"))
            self.main.carry()
            return
        key, self._placing = self._placing, ""
        self._set_place(key, place)

    def _may_move(self, key: str) -> bool:
        return key.startswith(f"{self.mark}:") and not self.state.read_only

    def _moved(self, key: str, place: Place | None) -> None:
        if place is None:
            self.state.tell(say("desktop.placed.beside"))
        else:
            self._set_place(key.removeprefix(f"{self.mark}:"), place)

    def _set_place(self, key: str, place: Place | Where) -> None:
        name = self.known().get(key, ("", None))[0]
        self.set_place(key, placed(place), name)

    def told_placed(self, name: str) -> None:
        """Say that a thing has its place."""
        self.state.tell(say("desktop.placed.done", name=name))


class CardColumn(QWidget):
    """The sheet of cards beside the drawing."""

    def __init__(self, name: str) -> None:
        super().__init__()
        self.setAccessibleName(name)
        self.box = column(space=3, margin=3)
        self.setLayout(self.box)

    def clear(self) -> None:
        """Take all cards out."""
        clear(self.box)

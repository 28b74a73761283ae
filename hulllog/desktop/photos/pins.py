"""Where a photograph was taken: a pin put on the drawing, dragged, or a whole zone named."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from hulllog.desktop.choice import Choice, Option
from hulllog.desktop.hull.drawing import HullView
from hulllog.desktop.hull.thumbs import MOST_KEYS
from hulllog.desktop.layout import clear_item, column
from hulllog.desktop.owncopies import OwnCopies
from hulllog.drawing.hullparts import Mark, ZoneDrawing
from hulllog.drawing.hullviews import hull_scene
from hulllog.drawing.ownviews import own_scene, plain_zones
from hulllog.drawing.zonepictures import VIEWS
from hulllog.hull.patches import Place
from hulllog.hull.zones import zone_at
from hulllog.words import say

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hulllog.desktop.state import State
    from hulllog.drawing.hullparts import HullPicture
    from hulllog.hull.form import HullForm
    from hulllog.hull.zones import ZoneOutline
    from hulllog.insight.ownviews import OwnSeen
    from hulllog.insight.placed import PhotoSeen


class PinBoard(QWidget):
    """The drawing with the pins of photographs.

    ``zone_pressed`` brings the code of a zone, ``pin_pressed`` the key of a photo's place;
    ``pin_put`` brings where a new pin was put, ``pin_moved`` a key and a place.  Places are
    ``(place as operations take it, zone code or None)``, or None beside her.
    """

    zone_pressed = Signal(str)
    pin_pressed = Signal(str)
    pin_put = Signal(object)
    pin_moved = Signal(str, object)

    def __init__(self, state: State) -> None:
        super().__init__()
        self._copies = OwnCopies(state, self, self._show)
        self._own: Sequence[OwnSeen] = ()
        self._form: HullForm | None = None
        self._zones: Sequence[tuple[str, str, ZoneOutline]] = ()
        self._marks: list[Mark] = []
        self._picked = ""
        self._side = "port"
        self._named: dict[str, str] = {view: say(f"photos.view.{view}") for view in VIEWS}
        self.sides = self._make_sides()
        self.view = HullView(say("photos.drawing"))
        self.view.setMinimumHeight(200)
        self.view.draggable = lambda key: key.startswith("photo:")
        self.view.taken.connect(self._taken)
        self.view.placed_at.connect(lambda place: self.pin_put.emit(self._told(place)))
        self.view.moved_to.connect(self._moved)
        self._column = column(self.sides, self.view, space=1)
        self.setLayout(self._column)

    def show_boat(
        self,
        form: HullForm | None,
        zones: Sequence[tuple[str, str, ZoneOutline]],
        photos: Sequence[PhotoSeen],
        picked: str = "",
        own: Sequence[OwnSeen] = (),
    ) -> None:
        """Show her with the pins of ``photos``; zones are (code, name, outline)."""
        self._own = own
        self._copies.look_again()
        self._offer(form)
        self._form, self._zones, self._picked = form, zones, picked
        self._marks = [
            Mark(
                f"photo:{photo.place_id}",
                "",
                Place(photo.place.part, photo.place.face, photo.place.u, photo.place.v),
                "photo",
                say("photos.pin", caption=photo.caption or say("photos.no_caption")),
            )
            for photo in photos
            if photo.place is not None
        ]
        self._show()

    def put_pin(self) -> None:
        """Take up a new pin: pointer or arrows move it, a press or Enter leaves it."""
        self.view.setFocus()
        self.view.carry()

    def _make_sides(self) -> Choice:
        keys = [str(n) if n <= MOST_KEYS else "" for n in range(1, len(self._named) + 1)]
        options = [
            Option(view, name, key)
            for (view, name), key in zip(self._named.items(), keys, strict=True)
        ]
        made = Choice(say("photos.view"), options, label_width=0)
        made.show_value(self._side)
        made.chosen.connect(self._turn)
        return made

    def _offer(self, form: HullForm | None) -> None:
        """Offer the views of her form and the owner's own."""
        of_form = VIEWS if form is not None or not self._own else ()
        named = {view: say(f"photos.view.{view}") for view in of_form}
        named |= {view.key: view.name for view in self._own}
        if named == self._named:
            return
        self._named = named
        if self._side not in named:
            self._side = next(iter(named))
        clear_item(self._column, 0)
        self.sides = self._make_sides()
        self._column.insertWidget(0, self.sides)

    def _own_view(self) -> OwnSeen | None:
        return next((view for view in self._own if view.key == self._side), None)

    def _show(self) -> None:
        own = self._own_view()
        if own is not None:
            name = say("photos.drawing_of", view=own.name)
            self.view.show_own(name, own, self._draw)
        elif self._form is not None:
            name = say("photos.drawing_of", view=say(f"view.{self._side}"))
            self.view.show_hull(name, self._form, self._side, self._draw)
        self.view.mark([self._picked] if self._picked else [])

    def _draw(self, width: float, height: float) -> HullPicture:
        own = self._own_view()
        if own is not None:
            return own_scene(
                own,
                self._copies.data(own),
                zones=plain_zones(own),
                marks=self._marks,
                width=width,
                height=height,
                described=say("photos.drawing_of", view=own.name),
            )
        assert self._form is not None
        zones = [ZoneDrawing(code, outline, name) for code, name, outline in self._zones]
        return hull_scene(
            self._form,
            self._side,
            zones=zones,
            marks=self._marks,
            width=width,
            height=height,
            described=say("photos.drawing_of", view=say(f"view.{self._side}")),
        )

    def _turn(self, view: str) -> None:
        self._side = view
        self.view.give_up()  # what was taken up on one side is not let go on another
        self._show()

    def _taken(self, key: str) -> None:
        kind, _, which = key.partition(":")
        if kind == "zone":
            self.zone_pressed.emit(which)
        elif kind == "photo":
            self.pin_pressed.emit(which)

    def _moved(self, key: str, place: Place | None) -> None:
        self.pin_moved.emit(key.removeprefix("photo:"), self._told(place))

    def _told(self, place: Place | None) -> tuple[dict[str, Any], str | None] | None:
        if place is None:
            return None
        own = self._own_view()
        outlines = [outline for _, _, outline in self._zones]
        kept = {
            "part": place.part, "face": place.face, "u": place.u, "v": place.v,
            "given": {"by": "click"},
        }  # fmt: skip
        if own is not None:
            shape = own.zone_at(place.u, place.v)
            return kept, shape.code if shape else None
        return (kept, zone_at(self._form, place, outlines)) if self._form is not None else None

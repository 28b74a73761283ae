"""Where a photograph was taken: a pin put on the drawing, dragged, or a whole zone named."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from hulllog.desktop.choice import Choice, Option
from hulllog.desktop.hull.drawing import HullView
from hulllog.desktop.layout import column
from hulllog.drawing.hullparts import Mark, ZoneDrawing
from hulllog.drawing.hullviews import hull_scene
from hulllog.drawing.zonepictures import VIEWS
from hulllog.hull.patches import Place
from hulllog.hull.zones import zone_at
from hulllog.words import say

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hulllog.drawing.hullparts import HullPicture
    from hulllog.hull.form import HullForm
    from hulllog.hull.zones import ZoneOutline
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

    def __init__(self) -> None:
        super().__init__()
        self._form: HullForm | None = None
        self._zones: Sequence[tuple[str, str, ZoneOutline]] = ()
        self._marks: list[Mark] = []
        self._picked = ""
        self._side = "port"
        self.sides = Choice(
            say("photos.view"),
            [Option(view, say(f"photos.view.{view}"), str(n)) for n, view in enumerate(VIEWS, 1)],
            label_width=0,
        )
        self.sides.show_value(self._side)
        self.sides.chosen.connect(self._turn)
        self.view = HullView(say("photos.drawing"))
        self.view.setMinimumHeight(200)
        self.view.draggable = lambda key: key.startswith("photo:")
        self.view.taken.connect(self._taken)
        self.view.placed_at.connect(lambda place: self.pin_put.emit(self._told(place)))
        self.view.moved_to.connect(self._moved)
        self.setLayout(column(self.sides, self.view, space=1))

    def show_boat(
        self,
        form: HullForm | None,
        zones: Sequence[tuple[str, str, ZoneOutline]],
        photos: Sequence[PhotoSeen],
        picked: str = "",
    ) -> None:
        """Show her with the pins of ``photos``; zones are (code, name, outline)."""
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

    def _show(self) -> None:
        if self._form is None:
            return
        name = say("photos.drawing_of", view=say(f"view.{self._side}"))
        self.view.show_hull(name, self._form, self._side, self._draw)
        self.view.mark([self._picked] if self._picked else [])

    def _draw(self, width: float, height: float) -> HullPicture:
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
        if place is None or self._form is None:
            return None
        outlines = [outline for _, _, outline in self._zones]
        kept = {
            "part": place.part, "face": place.face, "u": place.u, "v": place.v,
            "given": {"by": "click"},
        }  # fmt: skip
        return kept, zone_at(self._form, place, outlines)

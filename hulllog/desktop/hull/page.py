"""The page *Hull*: one large drawing for one kind, the other views, and what is picked.

Keys: 1 to 9 put a view in the large place, K opens the kinds, C turns the comparing, Esc lets go of
what is picked; the letters of what can be done stand on its buttons.
"""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING, TypeVar

from PySide6.QtWidgets import QFrame, QWidget

from hulllog.desktop.choice import Choice, Option
from hulllog.desktop.commands import PageCommand
from hulllog.desktop.edges import edge_said
from hulllog.desktop.hull import pictures, subject, wording
from hulllog.desktop.hull.actions import Actions
from hulllog.desktop.hull.asking import SpotSheet, placed
from hulllog.desktop.hull.drawing import HullView, Legend, Pane
from hulllog.desktop.hull.menus import MenuButton
from hulllog.desktop.hull.pair import show_photo
from hulllog.desktop.hull.shown import Shown, read_compared, read_hull
from hulllog.desktop.hull.side import Side, bare
from hulllog.desktop.hull.taping import TapeSheet
from hulllog.desktop.hull.thumbs import MOST_KEYS, VIEWS, Thumbnails
from hulllog.desktop.labels import unmarked
from hulllog.desktop.layout import EmptyState, column
from hulllog.desktop.owncopies import OwnCopies
from hulllog.desktop.pages import Page
from hulllog.desktop.theme import step
from hulllog.drawing.zonepictures import legend
from hulllog.hull.outlines import is_seen
from hulllog.hull.patches import Place
from hulllog.hull.zones import ZoneOutline, zone_at
from hulllog.records.operations import photos, spots
from hulllog.words import say, say_code, telling

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from PySide6.QtWidgets import QMenu

    from hulllog.desktop.state import State
    from hulllog.drawing.hullparts import Mark
    from hulllog.insight.condition import ZoneState
    from hulllog.insight.occasions import Edge
    from hulllog.insight.placed import PhotoSeen
    from hulllog.records.values import Where

T = TypeVar("T")

TABLES = frozenset(
    {
        "vessel", "form_version", "zone", "zone_version", "visit", "stage_time", "inspection",
        "measurement_set", "rating", "reading", "spot", "spot_observation", "photo", "photo_place",
        "finding", "finding_link", "coat", "coat_zone", "removal", "treatment", "measuring_point",
        "own_view", "own_outline", "setting",
    }
)  # fmt: skip
"""What the page shows."""


class HullPage(Page):
    """Shows the hull at the edge that is picked, for one kind."""

    code = "hull"
    kinds = TABLES
    scrolls = False

    def __init__(self, state: State) -> None:
        super().__init__(state)
        self.shown = Shown(None, None, (), frozenset(), "", (), None, (), (), (), None, False)
        self.view = VIEWS[0]
        self.picked = ""
        self.mode = "change"
        self._kind = ""
        self._component = ""
        self._kept: dict[str, object] = {}
        self._actions: Actions | None = None
        self._copies = OwnCopies(state, self, lambda: self.show_view(self.view))

    # What stands above

    def title(self) -> str:
        """Return the kind and which of its figures stand in the zones."""
        self._read()
        return wording.heading(self.shown.kind) if self.shown.kind else super().title()

    def subtitle(self) -> str:
        """Say as at when and how she was seen, and what is not known."""
        shown = self.shown
        if shown.compared is not None:
            first, second = shown.compared.first, shown.compared.second
            return say(
                "hull_page.comparing",
                first=edge_said(self.state, first),
                second=edge_said(self.state, second),
            )
        if shown.edge is None or shown.how is None:
            return say("hull_page.no_visit")
        return wording.seen_line(edge_said(self.state, shown.edge), shown.how, shown.zones)

    def _read(self) -> None:
        """Read everything that is shown, in one go."""
        edge, other = self.state.edge, self.state.compared
        self._kept.clear()
        self._copies.look_again()
        self.shown = self.state.read(lambda book: read_hull(book, edge, other, self._kind))
        self._kind = self.shown.kind

    # Parts

    def build(self) -> None:
        """Make the drawing, the thumbnails and the sheet."""
        self._build_tools()
        self.main = HullView(say("page.hull"))
        self.main.setObjectName("hull/drawing")
        self.other = HullView(say("hull_page.earlier"))
        self.other.setObjectName("hull/earlier")
        self._panes = (Pane(self.other), Pane(self.main))
        self.legend = Legend()
        self.thumbnails = Thumbnails()
        self.thumbnails.chosen.connect(self.show_view)
        card = QFrame()
        card.setProperty("card", True)
        inside = column(*self._panes, self.legend, space=0)
        inside.setStretch(0, 1)
        inside.setStretch(1, 1)
        inside.setContentsMargins(1, 1, 1, step(1))
        card.setLayout(inside)
        self._empty = EmptyState(
            say("own.draw_first"), say("own.use"), lambda: self.go.emit("boat", "own_view")
        )
        self._whole = QWidget()
        self._whole.setLayout(column(card, self.thumbnails, space=2))
        self.body.addWidget(self._whole, 1)
        self.body.addWidget(self._empty, 1)
        self.side = Side()
        self.set_side(self.side)
        for view in (self.main, self.other):
            view.taken.connect(self.pick)
        self.main.draggable = self._may_move
        self.main.placed_at.connect(self._placed)
        self.main.moved_to.connect(self._moved)

    def _build_tools(self) -> None:
        self.kind_menu = MenuButton()
        self.kind_menu.setObjectName("hull/kind")
        self.kind_menu.setText(say("hull_page.kind_menu"))
        modes = [Option(code, say(f"hull_page.mode_{code}")) for code in ("change", "beside")]
        self.modes = Choice(say("hull_page.mode"), modes)
        self.modes.chosen.connect(self._choose_mode)
        bare(self.modes)
        self.tools.addWidget(self.modes)
        self.tools.addWidget(self.kind_menu)

    def first_focus(self) -> QWidget | None:
        """Start at the drawing."""
        return self.main

    # Showing

    def refresh(self) -> None:
        """Draw what was read."""
        shown = self.shown
        there = bool(shown.own) or (shown.form is not None and bool(shown.zones))
        if there and self.view not in self.views():
            self.view = self.views()[0]
        self._whole.setVisible(there)
        self._empty.setVisible(not there)
        edge, other = self.state.edge, self.state.compared
        if edge is not None and other is not None:
            kind = self.shown.kind
            compared = self.state.read(lambda book: read_compared(book, edge, other, kind))
            self.shown = replace(self.shown, compared=compared)
            self._subtitle.setText(self.subtitle())
        self._fill_kinds()
        self.modes.setVisible(self.shown.compared is not None)
        self.modes.show_value(self.mode)
        if there:
            self._draw()
        self._fill_side()

    def views(self) -> tuple[str, ...]:
        """Return the views there are: those of her form, then the owner's own."""
        of_form = VIEWS if self.shown.form is not None else ()
        return (*of_form, *(view.key for view in self.shown.own))

    def _view_name(self, view: str) -> str:
        own = self.shown.own_view(view)
        return own.name if own is not None else say(f"view.{view}")

    def _show_in(self, place: HullView, edge: Edge | None, drawer: pictures.Draw) -> None:
        own, form = self.shown.own_view(self.view), self.shown.form
        if own is not None:
            place.show_own(self._named(edge), own, drawer)
        elif form is not None:
            place.show_hull(self._named(edge), form, self.view, drawer)

    def _draw(self) -> None:
        shown = self.shown
        beside = shown.compared is not None and self.mode == "beside"
        self._panes[0].setVisible(beside)
        name = self._view_name(self.view)
        if beside and shown.compared is not None:
            self._panes[0].name(self._at(shown.compared.first))
            drawer = self._state_drawer(self.view, shown.compared.zones)
            self._show_in(self.other, shown.compared.first, drawer)
        self._panes[1].name(self._at(shown.edge) if beside else name)
        marks = pictures.marks_of(shown)
        self._show_in(self.main, shown.edge, self._drawer(self.view, marks=marks))
        changing = shown.compared is not None and not beside
        self.legend.show_entries(pictures.change_legend() if changing else legend(shown.kind))
        self.thumbnails.offer([(view, self._view_name(view)) for view in self.views()])
        self.thumbnails.hide_view(self.view)
        for view in self.views():
            if view != self.view:
                self.thumbnails.show_drawing(view, self._drawer(view, small=True))
        self._mark()

    def _drawer(
        self, view: str, *, small: bool = False, marks: Sequence[Mark] = ()
    ) -> pictures.Draw:
        shown, own = self.shown, self.shown.own_view(view)
        if shown.compared is None or self.mode != "change":
            return self._state_drawer(view, shown.zones, marks, small=small)
        changes, kind = shown.compared.changes, shown.kind
        if own is not None:
            return pictures.own_change_drawer(
                own, self._copies.data(own), changes, kind, marks, small=small
            )
        assert shown.form is not None
        return pictures.change_drawer(shown.form, view, changes, kind, marks, small=small)

    def _state_drawer(
        self,
        view: str,
        zones: Sequence[ZoneState],
        marks: Sequence[Mark] = (),
        *,
        small: bool = False,
    ) -> pictures.Draw:
        own, form, kind = self.shown.own_view(view), self.shown.form, self.shown.kind
        if own is not None:
            return pictures.own_state_drawer(
                own, self._copies.data(own), zones, kind, marks, small=small
            )
        assert form is not None
        return pictures.state_drawer(form, view, zones, kind, marks, small=small)

    def _named(self, edge: Edge | None) -> str:
        view = self._view_name(self.view)
        return say("hull_page.drawing", view=view, edge=edge_said(self.state, edge))

    def _at(self, edge: Edge | None) -> str:
        view = self._view_name(self.view)
        return say("hull_page.pane", view=view, edge=edge_said(self.state, edge))

    def _fill_kinds(self) -> None:
        menu, first = self.kind_menu.menu(), {*self.shown.usual, self.shown.kind}
        menu.clear()
        others = [kind for kind in self.shown.kinds if kind not in first]
        self._add_kinds(menu, [kind for kind in self.shown.kinds if kind in first])
        if others:
            menu.addSeparator()
            self._add_kinds(menu.addMenu(say("hull_page.other_kinds", n=len(others))), others)
        said = telling.kind_name(self.shown.kind) if self.shown.kind else say("word.none")
        self.kind_menu.setAccessibleName(say("hull_page.kind_menu_of", kind=said))
        self.kind_menu.setEnabled(len(self.shown.kinds) > 1)

    def _add_kinds(self, menu: QMenu, kinds: Sequence[str]) -> None:
        for kind in kinds:
            action = menu.addAction(unmarked(telling.kind_name(kind)))
            action.setCheckable(True)
            action.setChecked(kind == self.shown.kind)
            action.triggered.connect(lambda _checked, kind=kind: self.choose_kind(kind))

    def show_view(self, view: str) -> None:
        """Put a view in the large place."""
        self.view = view
        if self.shown.form is not None or self.shown.own:
            self._draw()

    def choose_kind(self, kind: str) -> None:
        """Show another kind."""
        self._kind, self._component = kind, ""
        self.update_now()

    def _choose_mode(self, mode: str) -> None:
        self.mode = mode
        self._draw()

    # What is picked

    def pick(self, key: str) -> None:
        """Show a zone (``zone:code``) or spot (``spot:number``) in the sheet; empty lets go."""
        photo = next((p for p in self.shown.photos if key == f"photo:{p.place_id}"), None)
        if photo is not None:
            self.show_photo(photo)
            return
        self.picked = key
        self._bring_in_sight(key)
        self._mark()
        self._fill_side()

    def go_to(self, key: str) -> None:
        """Show a kind, a zone or a spot first, by its key in the drawing or in the records."""
        if key.startswith("kind:"):
            self.choose_kind(key.removeprefix("kind:"))
            return
        for zone in self.shown.zones:
            if key in (zone.zone_id, zone.code):
                key = f"zone:{zone.code}"
        for spot in self.shown.spots:
            if key == spot.spot_id:
                key = f"spot:{spot.number}"
        self.pick(key)

    def _bring_in_sight(self, key: str) -> None:
        """Turn to a view in which a part is seen, unless it is seen already."""
        if key and not self._seen_in(self.view, key):
            view = next((view for view in self.views() if self._seen_in(view, key)), None)
            if view is not None:
                self.show_view(view)

    def _seen_in(self, view: str, key: str) -> bool:
        form, spot, own = self.shown.form, self.shown.spot(key), self.shown.own_view(view)
        if form is None and own is None:
            return False
        if spot is not None:
            if own is not None or form is None:
                return spot.place is not None and spot.place.part == view
            return spot.place is not None and is_seen(form, view, pictures.place_of(spot.place))
        scene = self._drawer(view, small=True)(40.0, 20.0).scene
        return any(known == key for known, _said in scene.regions)

    def _mark(self) -> None:
        for view in (self.main, self.other):
            view.mark([self.picked] if self.picked else [])
        if self.picked:
            self.main.stand_at(self.picked)

    def _fill_side(self) -> None:
        zone, spot = self.shown.zone(self.picked), self.shown.spot(self.picked)
        if zone is not None:
            title, under = zone.name, subject.zone_under(self, zone)
            widgets = subject.zone_widgets(self, zone)
        elif spot is not None:
            title = say("spot.numbered_label", number=spot.number, label=spot.label)
            under = subject.spot_under(self, spot)
            widgets = subject.spot_widgets(self, spot)
        else:
            self.picked = ""
            title, under = say("hull_page.whole_hull"), self._overview_under()
            widgets = subject.overview_widgets(self)
        found = [widget for widget in widgets if isinstance(widget, Actions)]
        self._actions = found[-1] if found else None
        self.side.fill(title, under, widgets)

    def _overview_under(self) -> str:
        kind = self.shown.kind
        return telling.kind_name(kind) if kind else ""

    def component_of(self, offered: Sequence[str]) -> str:
        """Return the figure that is followed, one of those offered; empty when there is none."""
        if self._component in offered:
            return self._component
        return subject.first_component(self.shown.kind, offered)

    def choose_component(self, component: str) -> None:
        """Follow another figure of the kind."""
        self._component = component
        self._fill_side()
        found = self.side.findChild(QWidget, "hull/component")
        if found is not None:
            found.setFocus()

    def remembered(self, name: str, find: Callable[[], T]) -> T:
        """Return what was found under a name since the last reading, or find it now."""
        if name not in self._kept:
            self._kept[name] = find()
        return self._kept[name]  # type: ignore[return-value]

    def show_photo(self, photo: PhotoSeen) -> None:
        """Show a photograph large."""
        show_photo(self, self.state, photo)

    # What can be done

    def why_not(self) -> str:
        """Say why nothing can be entered here; empty when it can."""
        if self.state.read_only:
            return say("desktop.read_only", why=say_code("why", self.state.read_only))
        if self.shown.edge is None:
            return say("hull_page.needs_visit")
        return ""

    # Marks placed and moved

    def carry(self, key: str) -> None:
        """Take up the mark of a key, or a new one for an empty key, to be placed by hand."""
        self.state.tell(say("hull_page.carry"))
        self.main.setFocus()
        self.main.carry(key)

    def _may_move(self, key: str) -> bool:
        return key.startswith(("spot:", "photo:")) and not self.why_not()

    def _zone_at(self, marked: Place | Where) -> ZoneState | None:
        form, own = self.shown.form, self.shown.own_view(marked.part)
        if own is not None:
            found = own.zone_at(marked.u, marked.v)
            return self.shown.zone(f"zone:{found.code}") if found else None
        place = Place(marked.part, marked.face, marked.u, marked.v)
        outlines = {
            zone.code: ZoneOutline.from_json(zone.outline or {})
            for zone in self.shown.zones
            if zone.outline
        }
        code = zone_at(form, place, outlines.values()) if form else None
        return next((zone for zone in self.shown.zones if zone.code == code), None)

    def tape(self, key: str = "", name: str = "") -> None:
        """Ask for the place of a mark, or of a new one, by tape."""
        if self.shown.form is not None:
            then = self._placed if not key else partial(self._moved, key)
            TapeSheet(self, self.shown.form, name, then).ask()

    def _placed(self, place: Place | Where | None) -> None:
        self.state.tell("")
        if place is None:
            self.state.tell(say("hull_page.beside_her"))
            return
        SpotSheet(self, self.shown.edge, place, self._zone_at(place), self._followed).ask()

    def _followed(self, spot_id: str) -> None:
        """Show a spot that was just begun."""
        self._read()
        self.go_to(spot_id)

    def _moved(self, key: str, place: Place | Where | None) -> None:
        self.state.tell("")
        if place is None:
            self.state.tell(say("hull_page.beside_her"))
            return
        zone = self._zone_at(place)
        zone_id, spot = zone.zone_id if zone else None, self.shown.spot(key)
        if spot is not None:
            self.edit(spots.move_spot, spot.spot_id, placed(place), zone_id=zone_id)
        elif key.startswith("photo:"):
            place_id = key.removeprefix("photo:")
            self.edit(photos.move_photo_place, place_id, placed(place), zone_id=zone_id)

    # Keys

    def press(self, key: str) -> bool:
        """Take the keys of views, kinds, comparing and of what can be done."""
        if key in {str(n + 1) for n in range(min(len(self.views()), MOST_KEYS))}:
            self.show_view(self.views()[int(key) - 1])
        elif key.lower() == "k":
            self.kind_menu.showMenu()
        elif key.lower() == "c" and self.shown.compared is not None:
            self._choose_mode("beside" if self.mode == "change" else "change")
            self.modes.show_value(self.mode)
        elif key == "\x1b" and self.picked:
            self.pick("")
        else:
            return self._actions is not None and self._actions.press(key)
        return True

    def commands(self) -> list[PageCommand]:
        """Return the views and what can be placed, for the menu of the page."""
        views = [
            PageCommand(
                say("hull_page.show_view", key=n, view=self._view_name(view)),
                lambda view=view: self.show_view(view),  # type: ignore[misc]
            )
            for n, view in enumerate(self.views()[:MOST_KEYS], 1)
        ]
        return [
            *views,
            PageCommand(say("hull_page.do.follow"), lambda: self.carry(""), writes=True),
            PageCommand(say("hull_page.do.tape"), self.tape, writes=True),
        ]

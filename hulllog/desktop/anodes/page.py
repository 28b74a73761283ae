"""The page *Anodes*: the hull with her anodes on it, and a card for each position.

Keys: 1 to 5 put a view in the large place, A adds a position; L enters a look at the one that is
picked, N fits a new anode, P places it, E changes its name, O takes it off.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtWidgets import QFrame, QWidget

from hulllog.desktop.anodes.asking import CheckSheet, FitSheet, PositionSheet, TakeOffSheet
from hulllog.desktop.anodes.card import AnodeCard
from hulllog.desktop.buttons import button
from hulllog.desktop.commands import PageCommand
from hulllog.desktop.edges import edge_said
from hulllog.desktop.hull.actions import Action
from hulllog.desktop.hull.asking import placed
from hulllog.desktop.hull.drawing import HullView, Pane
from hulllog.desktop.hull.pictures import place_of
from hulllog.desktop.hull.thumbs import VIEWS, Thumbnails
from hulllog.desktop.layout import EmptyState, clear, column
from hulllog.desktop.pages import Page
from hulllog.drawing.anodeviews import anode_picture
from hulllog.hull.outlines import is_seen
from hulllog.insight.anodes import positions
from hulllog.insight.condition import zone_versions
from hulllog.insight.shape import form_of
from hulllog.records.model import Visit
from hulllog.records.operations import anodes
from hulllog.words import formats, say

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hulllog.desktop.hull.pictures import Draw
    from hulllog.desktop.state import State
    from hulllog.drawing.hullparts import HullPicture
    from hulllog.hull.form import HullForm
    from hulllog.hull.patches import Place
    from hulllog.insight.anodes import CheckSeen, PieceStory, PositionStory
    from hulllog.records.model import Zone, ZoneVersion

SIDE = 424
TABLES = frozenset(
    {
        "vessel", "form_version", "zone", "zone_version", "visit", "berth_period",
        "anode_position", "anode_piece", "anode_check",
    }
)  # fmt: skip


class AnodesPage(Page):
    """Shows the anodes at the edge that is picked."""

    code = "anodes"
    kinds = TABLES
    scrolls = False

    def __init__(self, state: State) -> None:
        super().__init__(state)
        self.stories: list[PositionStory] = []
        self.then: dict[str, PositionStory] = {}
        self.form: HullForm | None = None
        self.zones: Sequence[tuple[Zone, ZoneVersion]] = ()
        self.view = VIEWS[0]
        self.picked = ""
        self.cards: dict[str, AnodeCard] = {}
        self._placing = ""

    def subtitle(self) -> str:
        """Say as at when."""
        self._read()
        edge = edge_said(self.state, self.state.edge)
        if self.state.compared is not None:
            against = edge_said(self.state, self.state.compared)
            return say("anodes_page.comparing", edge=edge, against=against)
        return say("anodes_page.subtitle", edge=edge)

    def _read(self) -> None:
        # At the far end all counts that was done, also at a haul-out that is still open.
        edge = self.state.as_at
        self.stories, self.form, self.zones = self.state.read(
            lambda book: (positions(book, edge), form_of(book, edge), zone_versions(book, edge))
        )
        other = self.state.compared
        earlier = self.state.read(lambda book: positions(book, other)) if other else []
        self.then = {story.position_id: story for story in earlier}
        known = {story.position_id for story in self.stories}
        if self.picked not in known:
            told = [story for story in self.stories if story.present is not None]
            first = next(iter([*told, *self.stories]), None)
            self.picked = first.position_id if first else ""

    def commands(self) -> Sequence[PageCommand]:
        """Offer what can be done with the anodes."""
        return (
            PageCommand(say("anodes_page.add"), self.add_position, writes=True),
            PageCommand(say("anodes_page.look"), self.enter_look, writes=True),
            PageCommand(say("anodes_page.fit"), self.fit, writes=True),
        )

    # Parts

    def build(self) -> None:
        """Make the drawing, the thumbnails and the sheet of cards."""
        self.adding = button(say("anodes_page.add"), self.add_position, icon="add")
        self.adding.setObjectName("anodes/add")
        self.writes(self.adding)
        self.tools.addWidget(self.adding)
        self.main = HullView(say("page.anodes"))
        self.main.setObjectName("anodes/drawing")
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
        self._empty = EmptyState(say("anodes_page.no_form"))
        self.body.addWidget(self._whole, 1)
        self.body.addWidget(self._empty, 1)
        side = QWidget()
        side.setAccessibleName(say("anodes_page.positions"))
        self._column = column(space=3, margin=3)
        side.setLayout(self._column)
        self.set_side(side, width=SIDE)
        self.main.taken.connect(self._taken)
        self.main.draggable = self._may_move
        self.main.placed_at.connect(self._placed)
        self.main.moved_to.connect(self._moved)

    def first_focus(self) -> QWidget | None:
        """Start at the drawing."""
        return self.main if self.form is not None else self.adding

    def refresh(self) -> None:
        """Draw what was read."""
        self._whole.setVisible(self.form is not None)
        self._empty.setVisible(self.form is None)
        if self.form is not None:
            if not self.cards:
                self._bring_in_sight()
            self._draw()
        self._fill_cards()

    def _draw(self) -> None:
        assert self.form is not None
        name = say("anodes_page.drawing", view=say(f"view.{self.view}"))
        self.pane.title.setText(say(f"view.{self.view}"))
        self.main.show_hull(name, self.form, self.view, self._drawer(self.view))
        self.thumbnails.hide_view(self.view)
        for view in VIEWS:
            if view != self.view:
                self.thumbnails.show_drawing(view, self._drawer(view, small=True))
        self._mark()

    def _drawer(self, view: str, *, small: bool = False) -> Draw:
        form, zones, stories = self.form, self.zones, self.stories
        assert form is not None

        def draw(width: float, height: float) -> HullPicture:
            return anode_picture(
                form, view, zones, stories, width=width, height=height, small=small
            )

        return draw

    def _mark(self) -> None:
        self.main.mark([f"anode:{self.picked}"] if self.picked else [])

    def _fill_cards(self) -> None:
        clear(self._column)
        self.cards = {}
        if not self.stories:
            empty = EmptyState(say("anodes_page.none"), say("anodes_page.add"), self.add_position)
            if empty.action is not None:
                self.writes(empty.action)
            self._column.addWidget(empty, 1)
            return
        for story in self.stories:
            picked = story.position_id == self.picked
            card = AnodeCard(
                story,
                picked=picked,
                actions=self._actions(story) if picked else (),
                why_not=say("anodes_page.reading") if self.state.read_only else "",
                then=self._compared_with(story),
            )
            card.wanted.connect(self.pick)
            card.to_edge.connect(self.state.pick)
            card.to_look.connect(self._correct)
            self.cards[story.position_id] = card
            self._column.addWidget(card)
        self._column.addStretch(1)

    def _compared_with(self, story: PositionStory) -> tuple[str, PositionStory | None] | None:
        if self.state.compared is None:
            return None
        return edge_said(self.state, self.state.compared), self.then.get(story.position_id)

    def _actions(self, story: PositionStory) -> list[Action]:
        found = []
        if story.present is not None and self.state.edge is not None:
            found.append(Action("look", say("anodes_page.look"), "l", self.enter_look))
        found.append(Action("fit", say("anodes_page.fit"), "n", self.fit))
        if self.form is not None:
            found.append(Action("place", say("anodes_page.place"), "p", self.place))
        found.append(Action("edit", say("anodes_page.more"), "e", self.edit_position))
        if story.present is not None:
            found.append(Action("take_off", say("anodes_page.take_off"), "o", self.take_off))
        return found

    # What is picked

    @property
    def story(self) -> PositionStory | None:
        """The position that is picked."""
        return next((one for one in self.stories if one.position_id == self.picked), None)

    def pick(self, position_id: str) -> None:
        """Show a position in full and mark it on the drawing."""
        self.picked = position_id
        self._bring_in_sight()
        if self.form is not None:
            self._draw()
        self._fill_cards()
        card = self.cards.get(position_id)
        if card is not None:
            card.head.setFocus()

    def go_to(self, key: str) -> None:
        """Show a position first, by its key."""
        if any(story.position_id == key for story in self.stories):
            self.pick(key)

    def _taken(self, key: str) -> None:
        if key.startswith("anode:"):
            self.pick(key.removeprefix("anode:"))

    def _bring_in_sight(self) -> None:
        story = self.story
        if story is None or story.place is None or self.form is None:
            return
        place = place_of(story.place)
        form = self.form
        if not is_seen(form, self.view, place):
            self.view = next((view for view in VIEWS if is_seen(form, view, place)), self.view)

    def show_view(self, view: str) -> None:
        """Put a view in the large place."""
        self.view = view
        if self.form is not None:
            self._draw()

    def press(self, key: str) -> bool:
        """Turn to a view, add a position, or do something with the one that is picked."""
        if key in "12345" and key:
            self.show_view(VIEWS[int(key) - 1])
        elif key.lower() == "a" and not self.state.read_only:
            self.add_position()
        else:
            card = self.cards.get(self.picked)
            return card is not None and card.deeds.press(key)
        return True

    # What can be done

    def _at(self) -> str:
        """Return the day of the visit that is picked."""
        edge = self.state.edge
        visit = self.state.read(lambda book: book.get(Visit, edge.visit_id)) if edge else None
        return formats.anything(visit.begins) if visit else ""

    def enter_look(self) -> None:
        """Ask for a look at the piece that is fitted."""
        story, edge = self.story, self.state.edge
        if story is None or story.present is None:
            self.state.tell(say("anodes_page.not_seen"))
        elif edge is None:
            self.state.tell(say("anodes_page.no_visit"))
        else:
            CheckSheet(self, story, story.present, edge.visit_id, self._at()).ask()

    def _correct(self, piece: PieceStory, look: CheckSeen) -> None:
        story = self.story
        if story is not None and not self.state.read_only:
            CheckSheet(self, story, piece, look.visit_id, formats.anything(look.when), look).ask()

    def fit(self) -> None:
        """Ask for the new anode of the position that is picked."""
        if self.story is not None:
            FitSheet(self, self.story, self.state.edge, self._at()).ask()

    def take_off(self) -> None:
        """Ask when the anode came off."""
        if self.story is not None and self.story.present is not None:
            TakeOffSheet(self, self.story, self.state.edge, self._at()).ask()

    def add_position(self) -> None:
        """Ask for a new position, then for its place."""
        PositionSheet(self, self._added).ask()

    def edit_position(self) -> None:
        """Ask for name and parts of the position that is picked."""
        PositionSheet(self, lambda _none: None, self.story).ask()

    def _added(self, position_id: str) -> None:
        self.picked = position_id
        self.update_now()
        self.place()

    def place(self) -> None:
        """Let the pointer or the arrows say where the picked position is."""
        story = self.story
        if story is None or self.form is None:
            return
        self._placing = story.position_id
        self.main.setFocus()
        self.main.carry()
        self.state.tell(say("anodes_page.placing", name=story.name))

    def _placed(self, place: Place | None) -> None:
        if not self._placing:
            return
        if place is None:
            self.state.tell(say("anodes_page.beside"))
            self.main.carry()
            return
        self._set_place(self._placing, place)
        self._placing = ""

    def _may_move(self, key: str) -> bool:
        return key.startswith("anode:") and not self.state.read_only

    def _moved(self, key: str, place: Place | None) -> None:
        if place is None:
            self.state.tell(say("anodes_page.beside"))
        else:
            self._set_place(key.removeprefix("anode:"), place)

    def _set_place(self, position_id: str, place: Place) -> None:
        story = next((one for one in self.stories if one.position_id == position_id), None)
        name = story.name if story else ""

        def told(_none: object) -> None:
            self.state.tell(say("anodes_page.placed", name=name))

        self.edit(anodes.set_position, position_id, "place", placed(place), done=told)

"""The page *Anodes*: the hull with her anodes on it, and a card for each position.

Keys: 1 to 9 put a view in the large place, A adds a position; L enters a look at the one that is
picked, N fits a new anode, M one from another place, P places it, E changes its name, O takes it
off.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from hulllog.desktop.anodes.around import MethodsCard, MethodsSheet, PotentialCard
from hulllog.desktop.anodes.asking import (
    CheckSheet,
    FitSheet,
    MoveSheet,
    PositionSheet,
    TakeOffSheet,
)
from hulllog.desktop.anodes.card import AnodeCard, piece_text
from hulllog.desktop.buttons import button
from hulllog.desktop.commands import PageCommand
from hulllog.desktop.edges import edge_said
from hulllog.desktop.hull.actions import Action
from hulllog.desktop.hull.placedpage import PlacedPage
from hulllog.desktop.layout import EmptyState
from hulllog.drawing.anodeviews import anode_picture, own_anode_picture
from hulllog.insight.anodes import positions
from hulllog.insight.condition import zone_versions
from hulllog.insight.ownviews import own_views
from hulllog.insight.potentials import potentials_seen
from hulllog.insight.protecting import MetalHere, metal_here
from hulllog.insight.shape import form_of
from hulllog.records.operations import anodes
from hulllog.words import formats, say

if TYPE_CHECKING:
    from collections.abc import Sequence

    from PySide6.QtWidgets import QWidget

    from hulllog.desktop.hull.placedpage import CardColumn
    from hulllog.desktop.state import State
    from hulllog.drawing.hullparts import HullPicture
    from hulllog.insight.anodes import CheckSeen, PieceStory, PositionStory
    from hulllog.insight.potentials import PotentialSeen
    from hulllog.records.values import Where

TABLES = frozenset(
    {
        "vessel", "form_version", "zone", "zone_version", "own_view", "own_outline", "visit",
        "berth_period",
        "anode_position", "anode_piece", "anode_check", "owner_limit",
        "event", "gear", "measurement_set", "reading", "removal", "coat", "product",
    }
)  # fmt: skip


class AnodesPage(PlacedPage):
    """Shows the anodes at the edge that is picked."""

    code = "anodes"
    kinds = TABLES
    mark = "anode"

    def __init__(self, state: State) -> None:
        super().__init__(state)
        self.stories: list[PositionStory] = []
        self.then: dict[str, PositionStory] = {}
        self.potentials: Sequence[PotentialSeen] = ()
        self.metal_here = MetalHere("unknown", coated=False, area=None)
        self.typed_methods: tuple[float, float, str] | None = None

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
        self.own = self.state.read(lambda book: own_views(book, edge))
        self.potentials, self.metal_here = self.state.read(
            lambda book: (potentials_seen(book, edge), metal_here(book, edge))
        )
        other = self.state.compared
        earlier = self.state.read(lambda book: positions(book, other)) if other else []
        self.then = {story.position_id: story for story in earlier}
        if self.picked not in self.known():
            told = [story for story in self.stories if story.present is not None]
            first = next(iter([*told, *self.stories]), None)
            self.picked = first.position_id if first else ""

    def known(self) -> dict[str, tuple[str, Where | None]]:
        """Return name and place of each position."""
        return {story.position_id: (story.name, story.place) for story in self.stories}

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
        self.lay_out_drawing(no_form=say("anodes_page.no_form"), sheet=say("anodes_page.positions"))

    def first_focus(self) -> QWidget | None:
        """Start at the drawing."""
        return self.main if self.drawn else self.adding

    def drawing_name(self, view: str) -> str:
        """Name the large drawing."""
        return say("anodes_page.drawing", view=view)

    def picture(self, view: str, width: float, height: float, *, small: bool) -> HullPicture:
        """Draw one view of the hull with her anodes."""
        own = self.own_view(view)
        if own is not None:
            data = self.copies.data(own)
            return own_anode_picture(
                own, data, self.stories, width=width, height=height, small=small
            )
        assert self.form is not None
        return anode_picture(
            self.form, view, self.zones, self.stories, width=width, height=height, small=small
        )

    def fill_cards(self, column_of_cards: CardColumn) -> None:
        """Put a card for each position into the sheet."""
        box = column_of_cards.box
        if not self.stories:
            empty = EmptyState(say("anodes_page.none"), say("anodes_page.add"), self.add_position)
            if empty.action is not None:
                self.writes(empty.action)
            box.addWidget(empty, 1)
            self._add_around(column_of_cards)
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
            box.addWidget(card)
        self._add_around(column_of_cards)
        box.addStretch(1)

    def _add_around(self, column_of_cards: CardColumn) -> None:
        """Put what holds for the whole hull below the positions."""
        read = PotentialCard(self.potentials)
        read.to_edge.connect(self.state.pick)
        asked = MethodsCard(self.metal_here, self._metal(), self.typed_methods, self.ask_methods)
        for card in (read, asked):
            column_of_cards.box.addWidget(card)

    def _metal(self) -> str:
        """Return the metal of the anodes: of the one that is picked."""
        present = self.story.present if self.story is not None else None
        return present.metal if present is not None else "zinc"

    def ask_methods(self) -> None:
        """Ask for other figures for the two design methods."""
        MethodsSheet(self, self._metal(), self._take_methods).ask()

    def _take_methods(self, typed: tuple[float, float, str]) -> None:
        self.typed_methods = typed
        self._fill()

    def _compared_with(self, story: PositionStory) -> tuple[str, PositionStory | None] | None:
        if self.state.compared is None:
            return None
        return edge_said(self.state, self.state.compared), self.then.get(story.position_id)

    def _actions(self, story: PositionStory) -> list[Action]:
        found = []
        if story.present is not None and self.state.edge is not None:
            found.append(Action("look", say("anodes_page.look"), "l", self.enter_look))
        found.append(Action("fit", say("anodes_page.fit"), "n", self.fit))
        if self._offered(story):
            found.append(Action("move", say("anodes_page.move"), "m", self.move_here))
        if self.drawn:
            found.append(Action("place", say("anodes_page.place"), "p", self.place))
        if self.form is not None:
            found.append(self.tape_action())
        found.append(Action("edit", say("anodes_page.more"), "e", self.edit_position))
        if story.present is not None:
            found.append(Action("take_off", say("anodes_page.take_off"), "o", self.take_off))
        return found

    @property
    def story(self) -> PositionStory | None:
        """The position that is picked."""
        return next((one for one in self.stories if one.position_id == self.picked), None)

    def press(self, key: str) -> bool:
        """Turn to a view, add a position, or do something with the one that is picked."""
        if key.lower() == "a" and not self.state.read_only:
            self.add_position()
            return True
        return super().press(key)

    # What can be done

    def enter_look(self) -> None:
        """Ask for a look at the piece that is fitted."""
        story, edge = self.story, self.state.edge
        if story is None or story.present is None:
            self.state.tell(say("anodes_page.not_seen"))
        elif edge is None:
            self.state.tell(say("anodes_page.no_visit"))
        else:
            CheckSheet(self, story, story.present, edge.visit_id, self.visit_day()).ask()

    def _correct(self, piece: PieceStory, look: CheckSeen) -> None:
        story = self.story
        if story is not None and not self.state.read_only:
            CheckSheet(self, story, piece, look.visit_id, formats.anything(look.when), look).ask()

    def fit(self) -> None:
        """Ask for the new anode of the position that is picked."""
        if self.story is not None:
            FitSheet(self, self.story, self.state.edge, self.visit_day()).ask()

    def _offered(self, story: PositionStory) -> list[tuple[str, str]]:
        """Return the pieces that may be fitted here: the last ones of the other positions."""
        moved_on = {
            piece.moved.piece_id for one in self.stories for piece in one.pieces if piece.moved
        }
        return [
            (piece.piece_id, say("anodes_page.move_one", name=one.name, piece=piece_text(piece)))
            for one in self.stories
            if one.position_id != story.position_id
            for piece in reversed(one.pieces[-2:])
            if piece.piece_id not in moved_on
        ]

    def move_here(self) -> None:
        """Ask which piece from another position is fitted here."""
        if self.story is not None and (offered := self._offered(self.story)):
            MoveSheet(self, self.story, offered, self.state.edge, self.visit_day()).ask()

    def take_off(self) -> None:
        """Ask when the anode came off."""
        if self.story is not None and self.story.present is not None:
            TakeOffSheet(self, self.story, self.state.edge, self.visit_day()).ask()

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

    def set_place(self, key: str, place: Where | dict[str, object], name: str) -> None:
        """Store where a position sits."""
        self.edit(
            anodes.set_position, key, "place", place, done=lambda _none: self.told_placed(name)
        )

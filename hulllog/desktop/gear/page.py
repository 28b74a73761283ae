"""The page *Gear*: the hull with her fittings on it, and a card for each of them.

Keys: 1 to 9 put a view in the large place, A adds a fitting; L enters a look at the one that is
picked, N a new one in its place, P places it, D says when it is due, E changes its name.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from hulllog.desktop.buttons import button
from hulllog.desktop.commands import PageCommand
from hulllog.desktop.edges import edge_said
from hulllog.desktop.gear.asking import DueSheet, FittingSheet, LookSheet, RenewSheet
from hulllog.desktop.gear.card import GearCard
from hulllog.desktop.hull.actions import Action
from hulllog.desktop.hull.placedpage import PlacedPage
from hulllog.desktop.layout import Caution, EmptyState
from hulllog.drawing.gearviews import gear_picture, own_gear_picture
from hulllog.insight.condition import zone_versions
from hulllog.insight.gear import gear_stories
from hulllog.insight.ownviews import own_views
from hulllog.insight.shape import form_of
from hulllog.records.operations import around
from hulllog.words import say

if TYPE_CHECKING:
    from collections.abc import Sequence

    from PySide6.QtWidgets import QWidget

    from hulllog.desktop.hull.placedpage import CardColumn
    from hulllog.desktop.state import State
    from hulllog.drawing.hullparts import HullPicture
    from hulllog.insight.gear import GearStory
    from hulllog.records.values import Where

TABLES = frozenset(
    {
        "vessel", "form_version", "zone", "zone_version", "own_view", "own_outline", "visit",
        "gear", "gear_check",
        "measurement_set", "reading", "rating", "due_rule", "finding", "finding_link",
    }
)  # fmt: skip


class GearPage(PlacedPage):
    """Shows the fittings at the edge that is picked."""

    code = "gear"
    kinds = TABLES
    mark = "gear"

    def __init__(self, state: State) -> None:
        super().__init__(state)
        self.stories: list[GearStory] = []

    def subtitle(self) -> str:
        """Say as at when."""
        self._read()
        return say("gear_page.subtitle", edge=edge_said(self.state, self.state.edge))

    def _read(self) -> None:
        # At the far end all counts that was done, also at a haul-out that is still open.
        edge, now = self.state.as_at, self.state.logbook.around.now()
        self.stories, self.form, self.zones = self.state.read(
            lambda book: (
                gear_stories(book, edge, now), form_of(book, edge), zone_versions(book, edge),
            )
        )  # fmt: skip
        self.own = self.state.read(lambda book: own_views(book, edge))
        if self.picked not in self.known():
            self.picked = self.stories[0].gear_id if self.stories else ""

    def known(self) -> dict[str, tuple[str, Where | None]]:
        """Return name and place of each fitting."""
        return {story.gear_id: (story.name, story.place) for story in self.stories}

    def commands(self) -> Sequence[PageCommand]:
        """Offer what can be done with the fittings."""
        return (
            PageCommand(say("gear_page.add"), self.add_fitting, writes=True),
            PageCommand(say("gear_page.look"), self.enter_look, writes=True),
            PageCommand(say("gear_page.renew"), self.renew, writes=True),
        )

    # Parts

    def build(self) -> None:
        """Make the drawing, the thumbnails and the sheet of cards."""
        self.adding = button(say("gear_page.add"), self.add_fitting, icon="add")
        self.adding.setObjectName("gear/add")
        self.writes(self.adding)
        self.tools.addWidget(self.adding)
        self.lay_out_drawing(no_form=say("gear_page.no_form"), sheet=say("gear_page.sheet"))

    def first_focus(self) -> QWidget | None:
        """Start at the drawing."""
        return self.main if self.drawn else self.adding

    def drawing_name(self, view: str) -> str:
        """Name the large drawing."""
        return say("gear_page.drawing", view=view)

    def picture(self, view: str, width: float, height: float, *, small: bool) -> HullPicture:
        """Draw one view of the hull with her gear."""
        own = self.own_view(view)
        if own is not None:
            data = self.copies.data(own)
            return own_gear_picture(
                own, data, self.stories, width=width, height=height, small=small
            )
        assert self.form is not None
        return gear_picture(
            self.form, view, self.zones, self.stories, width=width, height=height, small=small
        )

    def fill_cards(self, column_of_cards: CardColumn) -> None:
        """Put a card for each fitting into the sheet."""
        box = column_of_cards.box
        if not self.stories:
            empty = EmptyState(say("gear_page.none"), say("gear_page.add"), self.add_fitting)
            if empty.action is not None:
                self.writes(empty.action)
            box.addWidget(empty, 1)
            return
        for story in self.stories:
            picked = story.gear_id == self.picked
            card = GearCard(
                story,
                picked=picked,
                now=self.state.logbook.around.now(),
                actions=self._actions() if picked else (),
                why_not=say("anodes_page.reading") if self.state.read_only else "",
            )
            card.wanted.connect(self.pick)
            card.to_finding.connect(lambda key: self.go.emit("findings", key))
            self.cards[story.gear_id] = card
            box.addWidget(card)
        box.addWidget(Caution(say("gear_page.caution"), say("gear_page.caution_more")))
        box.addStretch(1)

    def _actions(self) -> list[Action]:
        found = []
        if self.state.edge is not None:
            found.append(Action("look", say("gear_page.look"), "l", self.enter_look))
        found.append(Action("renew", say("gear_page.renew"), "n", self.renew))
        if self.drawn:
            found.append(Action("place", say("gear_page.place"), "p", self.place))
        if self.form is not None:
            found.append(self.tape_action())
        found.append(Action("due", say("gear_page.due"), "d", self.set_due))
        found.append(Action("edit", say("gear_page.edit"), "e", self.edit_fitting))
        return found

    @property
    def story(self) -> GearStory | None:
        """The fitting that is picked."""
        return next((one for one in self.stories if one.gear_id == self.picked), None)

    def press(self, key: str) -> bool:
        """Turn to a view, add a fitting, or do something with the one that is picked."""
        if key.lower() == "a" and not self.state.read_only:
            self.add_fitting()
            return True
        return super().press(key)

    # What can be done

    def enter_look(self) -> None:
        """Ask for a look at the fitting that is picked."""
        story, edge = self.story, self.state.edge
        if story is None:
            return
        if edge is None:
            self.state.tell(say("anodes_page.no_visit"))
        else:
            LookSheet(self, story, edge.visit_id, self.visit_day(), self._looked).ask()

    def _looked(self) -> None:
        """Pick the next fitting that was not looked at at this visit, as it is done in a row."""
        edge, keys = self.state.edge, [story.gear_id for story in self.stories]
        if edge is None or self.picked not in keys:
            return
        self._read()
        at = keys.index(self.picked)
        for story in [*self.stories[at + 1 :], *self.stories[:at]]:
            if all(look.visit_id != edge.visit_id for look in story.looks):
                self.pick(story.gear_id)
                return

    def renew(self) -> None:
        """Ask when a new one was fitted in its place."""
        if self.story is not None:
            RenewSheet(self, self.story).ask()

    def set_due(self) -> None:
        """Ask how often the owner wants it looked at or renewed."""
        if self.story is not None:
            DueSheet(self, self.story).ask()

    def add_fitting(self) -> None:
        """Ask for a new fitting, then for its place."""
        FittingSheet(self, self._added).ask()

    def edit_fitting(self) -> None:
        """Ask for the particulars of the fitting that is picked."""
        if self.story is not None:
            FittingSheet(self, lambda _none: None, self.story).ask()

    def _added(self, gear_id: str) -> None:
        self.picked = gear_id
        self.update_now()
        self.place()

    def set_place(self, key: str, place: Where | dict[str, object], name: str) -> None:
        """Store where a fitting sits."""
        self.edit(around.change_gear, key, place=place, done=lambda _none: self.told_placed(name))

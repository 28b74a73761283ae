"""Pages for tests of the window: one that shows the vessel's name, one that shows nothing."""

from __future__ import annotations

from hulllog.desktop.buttons import button
from hulllog.desktop.commands import PageCommand
from hulllog.desktop.drafts import FieldKey
from hulllog.desktop.fields import TextField
from hulllog.desktop.labels import Prose
from hulllog.desktop.pages import Page, PageEntry
from hulllog.records.operations import queries
from hulllog.records.operations.vessel import ABOUT, set_about


class NamePage(Page):
    """Shows the vessel's name in a field."""

    code = "boat"
    kinds = frozenset({"vessel"})

    def __init__(self, state):
        super().__init__(state)
        self.refreshed = 0
        self.pressed = []

    def subtitle(self):
        """Say how often it was refreshed."""
        return f"seen {self.refreshed} times"

    def build(self):
        """Make the field."""
        self.name = TextField(
            "Name",
            check=self.state.checker(ABOUT, "name"),
            key=FieldKey("vessel", "name"),
            drafts=self.state.drafts,
        )
        self.name.committed.connect(self.rename)
        self.store = button("Store")
        self.writes(self.store)
        self.body.addWidget(self.name)
        self.body.addWidget(self.store)

    def rename(self, text):
        """Store the name."""
        self.edit(set_about, "name", text, field=self.name)

    def refresh(self):
        """Show the name that is kept."""
        self.refreshed += 1
        self.name.show_value(self.state.read(queries.vessel).name)

    def commands(self):
        """Offer one thing with a key."""
        return (
            PageCommand("Press & hold", lambda: self.pressed.append("held"), "Ctrl+H"),
            PageCommand("Store", lambda: None, writes=True),
        )

    def press(self, key):
        """Take the key x."""
        self.pressed.append(key)
        return key == "x"

    def first_focus(self):
        """Start in the field."""
        return self.name.entry


class PlainPage(Page):
    """Shows one line."""

    code = "hull"
    kinds = frozenset({"zone"})

    def __init__(self, state):
        super().__init__(state)
        self.refreshed = 0

    def build(self):
        """Make the line."""
        self.body.addWidget(Prose("one line"))

    def refresh(self):
        """Count."""
        self.refreshed += 1


class OutPage(PlainPage):
    """A page that is listed while a haul-out is open."""

    code = "haul_out"


ENTRIES = (
    PageEntry("haul_out", "kitpages:OutPage", while_out=True),
    PageEntry("hull", "kitpages:PlainPage"),
    PageEntry("boat", "kitpages:NamePage"),
    PageEntry("plan", "kitpages_not_there:PlanPage"),
)

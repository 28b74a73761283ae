"""The page *Plan*: when she should come out next, what to buy for it, what she cost.

Keys: A adds a cost, I an invoice; C writes the calendar, P the pocket card.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QFileDialog

from hulllog.desktop.buttons import button
from hulllog.desktop.commands import PageCommand
from hulllog.desktop.dropping import TakesOneFile
from hulllog.desktop.folds import Fold
from hulllog.desktop.pages import Page
from hulllog.desktop.plan.buying import BuyingCard
from hulllog.desktop.plan.costs import CostCard
from hulllog.desktop.plan.due import DueCard
from hulllog.desktop.plan.fitsection import FitSection
from hulllog.desktop.plan.forms import CostForm, InvoiceForm
from hulllog.insight.buying import PLAN, Wish, to_buy
from hulllog.insight.costs import costs
from hulllog.insight.nextlift import next_lift
from hulllog.insight.occasions import visits
from hulllog.insight.prices import last_currency
from hulllog.records.operations import around
from hulllog.words import formats, say, say_code, say_n

if TYPE_CHECKING:
    from collections.abc import Sequence

    from PySide6.QtWidgets import QWidget

    from hulllog.desktop.state import State
    from hulllog.output.pocketcard import Card
    from hulllog.records.book import Book

TABLES = frozenset(
    {
        "vessel", "form_version", "zone", "zone_version", "visit", "berth_period", "product", "tin",
        "coat", "coat_zone", "removal", "treatment", "anode_position", "anode_piece", "anode_check",
        "gear", "gear_check", "due_rule", "owner_limit", "survey", "recommendation", "proof",
        "work", "document", "cost_line", "setting",
    }
)  # fmt: skip


class PlanPage(TakesOneFile, Page):
    """Plans the next haul-out from all that is on record."""

    code = "plan"
    kinds = TABLES | FitSection.tables

    def __init__(self, state: State) -> None:
        super().__init__(state)
        self._dues = False
        self.setAcceptDrops(True)

    def subtitle(self) -> str:
        """Say what the page holds."""
        return say("plan.subtitle")

    def commands(self) -> Sequence[PageCommand]:
        """Offer what can be written and entered."""
        return (
            PageCommand(say("plan.add_cost"), self.add_cost, writes=True),
            PageCommand(say("plan.add_invoice"), self.add_invoice, writes=True),
            PageCommand(say("plan.calendar"), self.ask_calendar),
            PageCommand(say("plan.card"), self.ask_card),
        )

    def build(self) -> None:
        """Make the cards."""
        self.calendar = button(say("plan.calendar"), self.ask_calendar, icon="calendar")
        self.calendar.setObjectName("plan/calendar")
        self.card = button(say("plan.card"), self.ask_card, icon="print")
        self.card.setObjectName("plan/card")
        for made in (self.card, self.calendar):
            self.tools.addWidget(made)
        self.due, self.buying, self.costs = DueCard(), BuyingCard(), CostCard()
        self.fit = FitSection(self)
        self.fit_fold = Fold("plan/fit", say("plan.fit"), [self.fit])
        self.fit_fold.summarise(say("plan.fit_under"))
        for card in (self.due, self.buying, self.fit_fold, self.costs):
            self.body.addWidget(card)
        self.body.addStretch(1)
        self.fit.kept.listed.connect(self._offer_calendar)
        self.buying.wished.connect(self._wish)
        self.costs.add_cost.connect(self.add_cost)
        self.costs.add_invoice.connect(self.add_invoice)
        self.writes(self.costs.adding, self.costs.invoice, self.buying.product)

    def first_focus(self) -> QWidget | None:
        """Start at what falls due first, else at the calendar."""
        return self.due.axis if self.due.axis.isVisible() else self.calendar

    def refresh(self) -> None:
        """Show what is on record, as at now."""
        now = self.state.logbook.around.now()
        found, wanted, spent = self.state.read(
            lambda book: (next_lift(book, now), to_buy(book), costs(book, now))
        )
        self.due.show_dues(found, now)
        self._dues = bool(found.dues)
        self.buying.show_buying(wanted)
        self.costs.show_costs(spent)
        self.fit.refresh()

    def _offer_calendar(self) -> None:
        """Offer the calendar where something falls due or is planned."""
        self.calendar.setEnabled(self._dues or bool(self.fit.kept.found))

    def press(self, key: str) -> bool:
        """Add a cost or an invoice, write the calendar or the pocket card."""
        does = {"c": self.ask_calendar, "p": self.ask_card}
        if self.state.read_only is None:
            does |= {"a": self.add_cost, "i": self.add_invoice}
        do = does.get(key.lower())
        if do is None:
            return False
        do()
        return True

    # What can be entered

    def _wish(self, wanted: Wish) -> None:
        self.edit(around.set_setting, PLAN, wanted.stored())

    def add_cost(self) -> None:
        """Ask for a cost."""
        CostForm(self, *self.state.read(_known)).open()

    def add_invoice(self, file: Path | None = None) -> None:
        """Ask for an invoice and its sum."""
        InvoiceForm(self, *self.state.read(_known), file).open()

    def take_file(self, file: Path) -> None:
        """Ask for the sum of the invoice that was dropped."""
        self.add_invoice(file)

    # What leaves

    def choose_file(self, title: str, proposed: str, kinds: str) -> str:
        """Ask where to write; empty for nowhere."""
        chosen, _ = QFileDialog.getSaveFileName(self, title, proposed, kinds)
        return chosen

    def _proposed(self, name: str) -> str:
        folder = self.state.logbook.folder
        return str(folder.parent / f"{folder.name}-{name}")

    def ask_calendar(self) -> None:
        """Ask where to write the calendar, and write it."""
        if not self.calendar.isEnabled():
            self.state.tell(say("plan.none_due"))
            return
        chosen = self.choose_file(
            say("plan.calendar_where"), self._proposed("due.ics"), say("plan.calendar_files")
        )
        if chosen:
            self._write_calendar(Path(chosen))

    def _write_calendar(self, path: Path) -> None:
        from hulllog.output.calendar import write_calendar

        logbook = self.state.logbook
        self.background(
            say("plan.writing_calendar"),
            lambda _progress: write_calendar(logbook, path),
            lambda number: self.state.tell(say_n("plan.calendar_written", number, file=str(path))),
        )

    def ask_card(self) -> None:
        """Ask where to write the pocket card, and write it for paper and phone."""
        chosen = self.choose_file(
            say("plan.card_where"), self._proposed("card.pdf"), say("plan.card_files")
        )
        if chosen:
            self._write_card(Path(chosen))

    def _write_card(self, path: Path) -> None:
        from hulllog.output.pocketcard import write_card

        logbook = self.state.logbook
        self.background(
            say("plan.writing_card"), lambda _progress: write_card(logbook, path), self._card_done
        )

    def _card_done(self, card: Card) -> None:
        self.state.tell(say("plan.card_written", pdf=str(card.paper), html=card.phone.name))


def _known(book: Book) -> tuple[list[tuple[str, str]], str]:
    """Return the visits, the newest first, and the currency that was typed last."""
    named = [
        (one.id, f"{formats.anything(one.begins)}, {say_code('visit_kind', one.kind)}")
        for one in reversed(visits(book))
    ]
    return named, last_currency(book)

"""The card of what to buy: each paint and anode, how its amount came, and what the owner wants."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from hulllog.desktop.anodes.rows import row
from hulllog.desktop.buttons import link
from hulllog.desktop.choice import Choice, Choices, Option
from hulllog.desktop.figures import worded
from hulllog.desktop.hull.menus import MenuButton
from hulllog.desktop.labels import Prose
from hulllog.desktop.labels import label as text_label
from hulllog.desktop.layout import Card, Caution, boxed, column, line, rule, scrolled
from hulllog.desktop.sheets import Sheet
from hulllog.desktop.theme import BODY, LEAD, SMALL
from hulllog.drawing.planwords import (
    anode_text,
    copper_text,
    factor_text,
    job_text,
    litres_text,
    paint_title,
    part_text,
    past_text,
    price_text,
    thinner_text,
    tins_text,
    untold_text,
)
from hulllog.drawing.telling import suits_text
from hulllog.insight.buying import EXTRAS
from hulllog.words import formats, say

if TYPE_CHECKING:
    from hulllog.insight.buying import Buying, PaintWanted, Wish
    from hulllog.insight.litres import PastLitres

COATS = 4
"""The most coats that are offered with a key; more stand on record only by other ways."""
_LABEL = 128
_WIDE = 640


class BuyingCard(Card):
    """What to buy.  ``wished`` brings what the owner wants now."""

    wished = Signal(object)

    def __init__(self) -> None:
        super().__init__(say("plan.buy"))
        self._wish: Wish | None = None
        self.product = MenuButton()
        self.product.setObjectName("plan/product")
        self.product.setAccessibleName(say("plan.product"))
        self.coats = Choice(
            say("plan.coats_wanted"),
            [Option(str(n), formats.anything(n)) for n in range(1, COATS + 1)],
        )
        self.coats.setObjectName("plan/coats")
        self.coats.chosen.connect(lambda code: self._want(coats=int(code)))
        self.extra = Choices(
            say("plan.extra"), [Option(code, say(f"plan.extra.{code}")) for code in EXTRAS]
        )
        self.extra.setObjectName("plan/extra")
        self.extra.chosen.connect(lambda codes: self._want(extra=codes))
        said = text_label(say("plan.product"), role="muted")
        said.setFixedWidth(_LABEL)
        self._asked = boxed(
            column(boxed(line(said, self.product, None)), self.coats, self.extra, space=2)
        )
        self._inside = QWidget()
        self._inside.setLayout(column())
        self.add(
            self._asked,
            self._inside,
            Caution(say("plan.buy_caution"), say("plan.buy_caution_more")),
        )

    def _want(self, **wanted: object) -> None:
        if self._wish is not None:
            self.wished.emit(replace(self._wish, **wanted))  # type: ignore[arg-type]

    def show_buying(self, found: Buying) -> None:
        """Show what to buy, and what is wanted."""
        self._wish = found.wish
        top = next((one for one in found.paints if one.role == "antifouling"), None)
        self._asked.setVisible(bool(found.choices))
        self._fill_products(found, top)
        number = found.wish.coats or (top.parts[0].coats if top else None)
        self.coats.show_value(str(number) if number else None)
        self.extra.show_value(found.wish.extra)
        old, self._inside = self._inside, self._filled(found)
        self.body.replaceWidget(old, self._inside)
        old.hide()
        old.deleteLater()

    def _past(self, found: Buying) -> QWidget:
        """Say what her jobs took so far; a door leads to each of them."""
        past = found.past
        share = (past.share,) if past.share is not None else ()
        box = column(row(say("plan.label.past"), past_text(past), *share), space=1)
        if past.jobs:
            door = link(say("plan.past_open"), lambda: PastSheet(self, past).open())
            door.setObjectName("plan/past")
            box.addWidget(boxed(line(door, None)))
        return boxed(box)

    def _fill_products(self, found: Buying, top: PaintWanted | None) -> None:
        self.product.menu().clear()
        names = dict(found.choices)
        for key, name in found.choices:
            action = self.product.menu().addAction(name.replace("&", "&&"))
            action.triggered.connect(partial(self._chosen, key))
        first = next(iter(names.values()), "")
        name = names.get(found.wish.product_id or "", first)
        self.product.setText((top.product if top else name).replace("&", "&&"))
        self.product.setAccessibleDescription(name)

    def _chosen(self, key: str, _checked: bool = False) -> None:
        self._want(product_id=key)

    def _filled(self, found: Buying) -> QWidget:
        box = column(space=2)
        for paint in found.paints:
            box.addWidget(rule())
            _fill_paint(box, paint)
        if found.choices:
            box.addWidget(rule())
            box.addWidget(self._past(found))
        if found.anodes:
            box.addWidget(rule())
            box.addWidget(Prose(say("plan.anodes"), LEAD, bold=True))
            for anode in found.anodes:
                box.addWidget(Prose(anode.name, BODY, bold=True))
                box.addWidget(Prose(anode_text(anode), BODY))
                if anode.suits is not None:
                    box.addWidget(row(say("anodes_page.water"), suits_text(anode.suits)))
                box.addWidget(row(say("plan.label.price"), price_text(anode.price)))
        if found.untold:
            box.addWidget(rule())
            for untold in found.untold:
                box.addWidget(Prose(untold_text(untold), BODY, role="muted"))
        return boxed(box)


class PastSheet(Sheet):
    """Job by job: the litres computed for it, and those that it took."""

    def __init__(self, over: QWidget, past: PastLitres) -> None:
        super().__init__(over, say("plan.past_title"), under=past_text(past), width=_WIDE)
        inside = column(space=2)
        for job in reversed(past.jobs):
            inside.addWidget(worded(job_text(job), job.computed, job.used, job.share))
        inside.addWidget(Prose(say("plan.past_hint"), SMALL, role="muted"))
        inside.addStretch(1)
        self.add(scrolled(boxed(inside)))


def _fill_paint(box: QVBoxLayout, paint: PaintWanted) -> None:
    box.addWidget(Prose(paint_title(paint), LEAD, bold=True))
    tins = tins_text(paint.tins)
    if paint.common:
        tins = say("plan.common_sizes", tins=tins)
    factor = (paint.factor,) if paint.factor is not None else ()
    box.addWidget(
        row(say("plan.label.litres"), litres_text(paint), paint.wanted, *factor, bold=True)
    )
    box.addWidget(row(say("plan.label.tins"), tins, paint.tins.held, bold=True))
    for number, part in enumerate(paint.parts):
        name = say("plan.label.parts") if number == 0 else ""
        box.addWidget(row(name, part_text(part), part.litres, part.area))
    if paint.zones:
        box.addWidget(row(say("plan.label.zones"), formats.joined(paint.zones)))
    if paint.role == "antifouling":
        box.addWidget(row(say("plan.label.factor"), factor_text(paint), *factor))
    if paint.thinner is not None:
        most = (paint.thinner.at_most,) if paint.thinner.at_most is not None else ()
        box.addWidget(row(say("plan.label.thinner"), thinner_text(paint.thinner), *most))
    if paint.copper is not None:
        box.addWidget(Caution(copper_text(paint.copper)))
    box.addWidget(row(say("plan.label.price"), price_text(paint.price)))

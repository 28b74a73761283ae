"""The sheets of the page *Paint*: coats, taking off, treatments."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from hulllog.desktop.anodes.questions import Questions
from hulllog.desktop.buttons import link
from hulllog.desktop.choice import Choice, Choices, Option
from hulllog.desktop.drafts import FieldKey
from hulllog.desktop.fields import AreaField, DateField, TextField
from hulllog.desktop.hull.storing import store
from hulllog.desktop.layout import Caution
from hulllog.desktop.numbers import NumberField
from hulllog.desktop.paint.airline import AirEntry
from hulllog.desktop.paint.product import ProductEntry
from hulllog.insight.paintwork import products
from hulllog.insight.shades import below_water
from hulllog.records.model import Coat
from hulllog.records.operations import choices, coatings
from hulllog.records.operations.keeping import withdraw
from hulllog.words import say

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hulllog.desktop.fields import Field
    from hulllog.desktop.pages import Page
    from hulllog.insight.paint import CoatSeen
    from hulllog.records.model import Product, Zone

LITRES = ("L", "mL", "gal_us", "gal_imp")


class ZonesEntry(Choices):
    """Which zones: buttons for all of them."""

    def __init__(self, label: str, zones: Sequence[Zone]) -> None:
        super().__init__(label, [Option(zone.id, zone.name) for zone in zones])


class CoatSheet(Questions):
    """Asks for coats of one paint; a name that is not on record unfolds its data sheet."""

    def __init__(
        self, page: Page, visit_id: str, at: str, zones: Sequence[Zone], picked: str
    ) -> None:
        super().__init__(
            page,
            say("paint_page.put_on"),
            under=say("paint_page.at_visit", at=at),
            accept_text=say("paint_page.put_on_it"),
            on_accept=self._store,
        )
        self.setObjectName("paint/coats")
        self._page, self._visit_id = page, visit_id
        self._known: dict[str, Product] = {
            one.name.casefold(): one for one in page.state.read(products)
        }
        self._build(f"coat/{visit_id}", zones)
        self.whole.show_value("whole")
        self.zones.show_value([picked] if picked else [])
        self.show_drafts()
        self.tool.show_value(None)
        self._unfold()

    def _build(self, record: str, zones: Sequence[Zone]) -> None:
        state = self._page.state

        def keyed(field: str) -> dict[str, Any]:
            return {"key": FieldKey(record, field), "drafts": state.drafts}

        self.product = TextField(
            say("coat.product"),
            known=[one.name for one in self._known.values()],
            check=state.checker(coatings.PRODUCT, "name"),
            hint=say("paint_page.product_hint"),
            **keyed("product"),
        )
        self.product.touched.connect(self._unfold)
        self.fresh = ProductEntry(state, record)
        self.coats = TextField(say("paint_page.coats_label"), **keyed("coats"))
        self.litres = NumberField(
            say("paint_page.litres"),
            LITRES,
            check=state.checker(coatings.COAT, "litres"),
            hint=say("paint_page.litres_hint"),
            **keyed("litres"),
        )
        whole = [Option(c, say(f"paint_page.where_{c}"), c[0]) for c in ("whole", "zones")]
        self.whole = Choice(say("paint_page.where"), whole)
        self.whole.chosen.connect(lambda _code: self._unfold())
        self.zones = ZonesEntry(say("paint_page.zones"), zones)
        self.at = DateField(
            say("paint_page.on_day"), check=state.checker(coatings.COAT, "at"), **keyed("at")
        )
        self.tool = Choice(
            say("paint_page.tool"), [Option(c, say(f"tool.{c}")) for c in choices.TOOLS]
        )
        self.air = AirEntry(state, record)
        self.by = TextField(
            say("coat.applied_by"), check=state.checker(coatings.COAT, "applied_by"), **keyed("by")
        )
        self.note = AreaField(say("paint_page.note"), rows=2, **keyed("note"))
        self.add(
            self.product, self.fresh, self.coats, self.litres, self.whole, self.zones, self.at,
            self.tool, self.air, self.by, self.note,
            Caution(say("paint_page.caution"), say("paint_page.caution_more")),
        )  # fmt: skip

    @property
    def known(self) -> Product | None:
        """The product on record with the name that is typed."""
        return self._known.get(self.product.typed().casefold())

    def _unfold(self) -> None:
        known, typed = self.known, bool(self.product.typed())
        self.fresh.setVisible(typed and known is None)
        self.zones.setVisible(self.whole.value == "zones")
        self.air.about(known.id if known else "")

    def ask(self) -> CoatSheet:
        """Show the questions."""
        self.open()
        self.product.entry.setFocus()
        return self

    @property
    def fields(self) -> dict[str, Field]:
        """The fields by the name that a refusal gives."""
        return {
            "name": self.product, "product_id": self.product, "coats": self.coats,
            "litres": self.litres, "at": self.at, "applied_by": self.by, **self.air.fields,
            **self.fresh.fields,
        }  # fmt: skip

    def _store(self) -> bool:
        known = self.known
        fresh = None if known else {"name": self.product.typed(), **self.fresh.values()}
        store(
            self._page, self, coatings.add_coats, self._visit_id, fields=self.fields,
            product_id=known.id if known else None, product=fresh,
            coats=self.coats.typed() or "1", litres=self.litres.typed() or None,
            zones=self.zones.value if self.whole.value == "zones" else (),
            at=self.at.typed() or None, tool=self.tool.value,
            applied_by=self.by.typed() or None, note=self.note.typed() or None,
            **self.air.values(),
        )  # fmt: skip
        return False


class OneCoatSheet(Questions):
    """Corrects one coat, or takes it back."""

    def __init__(self, page: Page, coat: CoatSeen, title: str) -> None:
        super().__init__(
            page,
            say("paint_page.correct_coat"),
            under=title,
            accept_text=say("do.correct"),
            on_accept=self._store,
        )
        self.setObjectName("paint/coat")
        self._page, self._coat = page, coat
        state, record = page.state, f"coat/{coat.coat_id}"
        kept = state.read(lambda book: book.get(Coat, coat.coat_id))

        def keyed(field: str) -> dict[str, Any]:
            return {
                "key": FieldKey(record, field),
                "drafts": state.drafts,
                "check": state.checker(coatings.COAT, field),
            }

        self.litres = NumberField(say("coat.litres"), LITRES, **keyed("litres"))
        self.at = DateField(say("paint_page.on_day"), **keyed("at"))
        self.tool = Choice(
            say("paint_page.tool"), [Option(c, say(f"tool.{c}")) for c in choices.TOOLS]
        )
        self.air = AirEntry(state, record)
        self.air.about(coat.product_id)
        self.by = TextField(say("coat.applied_by"), **keyed("applied_by"))
        self.note = AreaField(say("paint_page.note"), rows=2, **keyed("note"))
        self.add(self.litres, self.at, self.tool, self.air, self.by, self.note)
        self.add(link(say("paint_page.take_back"), self._take_back))
        if kept is not None:
            self._show(kept)

    def _show(self, kept: Coat) -> None:
        self.litres.show_measured(kept.litres)
        self.at.show_value(kept.at.text if kept.at else "")
        self.tool.show_value(kept.tool)
        self.by.show_value(kept.applied_by or "")
        self.note.show_value(kept.note or "")
        for name, value in (("air", kept.air), ("hull", kept.hull), ("humidity", kept.humidity)):
            self.air.fields[name].show_measured(value)
        self.air.tell()

    def ask(self) -> OneCoatSheet:
        """Show the questions."""
        self.open()
        self.litres.entry.setFocus()
        return self

    @property
    def fields(self) -> dict[str, Field]:
        """The fields by the name that a refusal gives."""
        return {
            "litres": self.litres, "at": self.at, "applied_by": self.by, "note": self.note,
            **self.air.fields,
        }  # fmt: skip

    def _store(self) -> bool:
        store(
            self._page, self, coatings.edit_coat, self._coat.coat_id, fields=self.fields,
            litres=self.litres.typed() or None, at=self.at.typed() or None, tool=self.tool.value,
            applied_by=self.by.typed() or None, note=self.note.typed() or None,
            **self.air.values(),
        )  # fmt: skip
        return False

    def _take_back(self) -> None:
        store(self._page, self, withdraw, Coat, self._coat.coat_id)


class RemovalSheet(Questions):
    """Asks what was taken off, down to what, and where."""

    def __init__(
        self, page: Page, visit_id: str, at: str, zones: Sequence[Zone], picked: str
    ) -> None:
        super().__init__(
            page,
            say("paint_page.take_off"),
            under=say("paint_page.at_visit", at=at),
            accept_text=say("paint_page.keep_work"),
            on_accept=self._store,
        )
        self.setObjectName("paint/removal")
        self._page, self._visit_id = page, visit_id
        state, record = page.state, f"removal/{visit_id}"
        self.down_to = Choice(
            say("paint_page.down_to"),
            [Option(c, say(f"removal.{c}"), str(n)) for n, c in enumerate(choices.DOWN_TO, 1)],
        )
        whole = [Option(c, say(f"paint_page.where_{c}"), c[0]) for c in ("whole", "zones")]
        self.whole = Choice(say("paint_page.where"), whole)
        self.zones: ZonesEntry = ZonesEntry(say("paint_page.zones"), zones)
        self.whole.chosen.connect(lambda code: self.zones.setVisible(code == "zones"))
        self.how = TextField(
            say("paint_page.how"),
            check=state.checker(coatings.REMOVAL, "how"),
            key=FieldKey(record, "how"),
            drafts=state.drafts,
        )
        self.note = AreaField(
            say("paint_page.note"), rows=2, key=FieldKey(record, "note"), drafts=state.drafts
        )
        self.add(
            Caution(say("paint_page.caution_off"), say("paint_page.caution_off_more")),
            self.down_to, self.whole, self.zones, self.how, self.note,
        )  # fmt: skip
        self.whole.show_value("zones" if picked else "whole")
        self.zones.show_value([picked] if picked else [])
        self.show_drafts()
        self.zones.setVisible(bool(picked))

    def ask(self) -> RemovalSheet:
        """Show the questions."""
        self.open()
        self.down_to.setFocus()
        return self

    def _store(self) -> bool:
        store(
            self._page, self, coatings.add_removal, self._visit_id, fields={"how": self.how},
            down_to=self.down_to.value,
            zones=self.zones.value if self.whole.value == "zones" else (),
            how=self.how.typed() or None, note=self.note.typed() or None,
        )  # fmt: skip
        return False


class TreatmentSheet(Questions):
    """Asks for a treatment: drying, peeling, a barrier …"""

    def __init__(
        self, page: Page, visit_id: str, at: str, zones: Sequence[Zone], picked: str
    ) -> None:
        super().__init__(
            page,
            say("paint_page.treat"),
            under=say("paint_page.at_visit", at=at),
            accept_text=say("paint_page.keep_work"),
            on_accept=self._store,
        )
        self.setObjectName("paint/treatment")
        self._page, self._visit_id = page, visit_id
        state, record = page.state, f"treatment/{visit_id}"

        def keyed(field: str) -> dict[str, Any]:
            return {
                "key": FieldKey(record, field),
                "drafts": state.drafts,
                "check": state.checker(coatings.TREATMENT, field),
            }

        self.sort = Choice(
            say("paint_page.treatment"),
            [Option(c, say(f"treatment.{c}"), str(n)) for n, c in enumerate(choices.TREATMENTS, 1)],
        )
        self.zones = ZonesEntry(say("paint_page.zones"), zones)
        self.contractor = TextField(say("paint_page.contractor"), **keyed("contractor"))
        self.begins = DateField(say("paint_page.begins"), **keyed("begins"))
        self.ends = DateField(say("paint_page.ends"), **keyed("ends"))
        self.warranty = DateField(say("paint_page.warranty_until"), **keyed("warranty_until"))
        self.text = AreaField(say("paint_page.note"), rows=2, **keyed("text"))
        self.add(
            Caution(say("paint_page.caution_blister"), say("paint_page.caution_blister_more")),
            self.sort, self.zones, self.contractor, self.begins, self.ends, self.warranty,
            self.text,
        )  # fmt: skip
        self.zones.show_value([picked] if picked else [])
        self.show_drafts()

    def ask(self) -> TreatmentSheet:
        """Show the questions."""
        self.open()
        self.sort.setFocus()
        return self

    @property
    def fields(self) -> dict[str, Field]:
        """The fields by the name that a refusal gives."""
        return {
            "contractor": self.contractor, "begins": self.begins, "ends": self.ends,
            "warranty_until": self.warranty, "text": self.text,
        }  # fmt: skip

    def _store(self) -> bool:
        store(
            self._page, self, coatings.add_treatment, self._visit_id, fields=self.fields,
            sort=self.sort.value, zones=self.zones.value,
            **{name: field.typed() or None for name, field in self.fields.items()},
        )  # fmt: skip
        return False


def bottom_first(zones: Sequence[Zone]) -> list[Zone]:
    """Return the zones below the water before the others, each in walking order."""
    return sorted(zones, key=lambda zone: not below_water(zone.code))

"""A paint by its data sheet: asked for where it is new, corrected on a sheet of its own."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from PySide6.QtWidgets import QWidget
from sqlalchemy import select

from hulllog.desktop.anodes.questions import Questions
from hulllog.desktop.buttons import button
from hulllog.desktop.choice import Choice, Choices, Option
from hulllog.desktop.drafts import FieldKey
from hulllog.desktop.fields import TextField
from hulllog.desktop.hull.storing import store
from hulllog.desktop.labels import Prose
from hulllog.desktop.layout import column, line
from hulllog.desktop.numbers import NumberField
from hulllog.desktop.paint.pasted import PastedSheet, offer_text
from hulllog.desktop.theme import SMALL
from hulllog.records.model import Product, ProductWindow
from hulllog.records.operations import choices, coatings
from hulllog.records.operations.typed import measured
from hulllog.trade.coatclasses import ANTIFOULINGS
from hulllog.words import formats, say, say_code

if TYPE_CHECKING:
    from collections.abc import Callable

    from hulllog.desktop.fields import Field
    from hulllog.desktop.pages import Page
    from hulllog.desktop.state import State
    from hulllog.records.book import Book
    from hulllog.trade.datasheet import Offer

COLOURS = (
    ("red", "#7a2b2b"), ("blue", "#25407a"), ("black", "#1d2124"), ("green", "#2f5a3c"),
    ("grey", "#8b9093"), ("white", "#e8e4da"), ("copper", "#a2633b"),
)  # fmt: skip
"""Colours of antifouling as they are drawn; our own choice, near enough to tell them apart."""
BIOCIDES = (
    "cuprous_oxide", "cuprous_thiocyanate", "metallic_copper", "copper_pyrithione",
    "zinc_pyrithione", "zineb", "dcoit", "tralopyril", "medetomidine", "organotin",
)  # fmt: skip


_OF_ROLE = {
    "primer": ("epoxy_primer", "one_pack_primer", "zinc_rich_primer"),
    "barrier": ("epoxy_barrier", "epoxy_barrier_high_build", "solvent_free_epoxy"),
    "tie": ("tie_coat", "epoxy_tie_coat", "silicone_tie_coat"),
    "filler": ("filler", "solvent_free_epoxy"),
    "topside": ("topside",),
}


def classes_of(role: str) -> tuple[str, ...]:
    """Return the kinds of coating that a role can have."""
    if role == "antifouling":
        own = tuple(code for code in choices.COATING_CLASSES if code in ANTIFOULINGS)
    else:
        own = _OF_ROLE.get(role, choices.COATING_CLASSES)
    return (*own, "other", "unknown")


class ProductEntry(QWidget):
    """What a data sheet says of a paint, as far as the page computes with it."""

    def __init__(self, state: State, record: str) -> None:
        super().__init__()

        def keyed(field: str) -> dict[str, Any]:
            return {
                "key": FieldKey(record, f"product_{field}"),
                "drafts": state.drafts,
                "check": state.checker(coatings.PRODUCT, field),
            }

        self.role = Choice(
            say("paint_page.role"),
            [Option(c, say(f"coating_role.{c}")) for c in choices.COATING_ROLES],
        )
        self.coating_class = Choice(
            say("paint_page.class"),
            [Option(c, say(f"coating_class.{c}")) for c in choices.COATING_CLASSES],
        )
        self.name_of_colour = TextField(say("coat.colour"), **keyed("colour"))
        self.colour = Choice(
            say("paint_page.drawn_as"),
            [Option(c, say(f"paint_page.colour.{c}")) for c, _ in COLOURS],
        )
        self.solids = NumberField(
            say("paint_page.solids"), ("percent",), hint=say("paint_page.solids_hint"),
            **keyed("volume_solids"),
        )  # fmt: skip
        self.film = NumberField(say("paint_page.film"), ("um", "mil"), **keyed("film"))
        self.sheet = TextField(
            say("paint_page.sheet"), hint=say("paint_page.sheet_hint"), **keyed("sheet")
        )
        self.biocides = Choices(
            say("paint_page.biocides"), [Option(c, say(f"biocide.{c}")) for c in BIOCIDES]
        )
        self.role.show_value("antifouling")
        self.coating_class.show_value("unknown")
        self.role.chosen.connect(self._fit_classes)
        self._fit_classes("antifouling")
        self.setLayout(
            column(
                self.role,
                self.coating_class,
                self.name_of_colour,
                self.colour,
                self.solids,
                self.film,
                self.sheet,
                self.biocides,
                space=3,
            )
        )

    def _fit_classes(self, role: str) -> None:
        """Offer the kinds of coating that a role can have, and what stands there already."""
        fitting = {*classes_of(role), self.coating_class.value}
        for made in self.coating_class.buttons:
            made.setVisible(made.option.code in fitting)
        self.coating_class.updateGeometry()

    @property
    def fields(self) -> dict[str, Field]:
        """The fields by the name that a refusal gives."""
        return {
            "colour": self.name_of_colour, "volume_solids": self.solids, "film": self.film,
            "sheet": self.sheet,
        }  # fmt: skip

    def values(self) -> dict[str, Any]:
        """Return what was answered, as the operation takes it."""
        found = {
            "role": self.role.value,
            "coating_class": self.coating_class.value,
            "biocides": self.biocides.value,
            **{name: field.typed() or None for name, field in self.fields.items()},
        }
        drawn = self.colour.value
        if drawn is not None:
            found["colour_hex"] = dict(COLOURS)[drawn]
            found["colour"] = found["colour"] or say(f"paint_page.colour.{drawn}")
        return found

    def show_product(self, product: Product) -> None:
        """Show what is on record."""
        self.role.show_value(product.role)
        self.coating_class.show_value(product.coating_class)
        self._fit_classes(product.role)
        self.name_of_colour.show_value(product.colour or "")
        by_hex = {code: name for name, code in COLOURS}
        self.colour.show_value(by_hex.get(product.colour_hex or ""))
        self.solids.show_measured(product.volume_solids)
        self.film.show_measured(product.film)
        self.sheet.show_value(product.sheet or "")
        self.biocides.show_value(product.biocides)


class ProductSheet(Questions):
    """Corrects what is on record of a paint, and takes rows of its table of times."""

    def __init__(self, page: Page, product_id: str) -> None:
        kept = page.state.read(lambda book: _read(book, product_id))
        assert kept is not None
        product, rows = kept
        super().__init__(
            page,
            product.name,
            under=say("paint_page.product_under"),
            accept_text=say("anodes_page.keep"),
            on_accept=self._store,
        )
        self.setObjectName("paint/product")
        self._page, self._product_id = page, product_id
        self.entry = ProductEntry(page.state, f"product/{product_id}")
        self.add(self.entry)
        self.entry.show_product(product)
        self.times = TimesEntry(page, product_id, rows)
        self.pasted = PastedSheet(self._take)
        self.add(self.pasted, self.times)

    def ask(self) -> ProductSheet:
        """Show the questions."""
        self.open()
        self.entry.solids.entry.setFocus()
        return self

    def _take(self, offer: Offer, taken: Callable[[], object]) -> None:
        """Put an offer that was taken where it belongs: a figure into its field, a time as a row.

        A figure is kept with the rest of the sheet, a row of times at once, as one typed would be.
        """
        if offer.code == "time":
            self.times.keep_offer(offer, taken)
            return
        field = self.entry.solids if offer.code == "volume_solids" else self.entry.film
        field.show_measured(measured(offer.value, offer.value[1], ""))
        taken()

    def _store(self) -> bool:
        store(
            self._page, self, coatings.edit_product, self._product_id, self.entry.values(),
            fields=self.entry.fields,
        )  # fmt: skip
        return False


def _read(book: Book, product_id: str) -> tuple[Product, list[ProductWindow]] | None:
    product = book.get(Product, product_id)
    rows = select(ProductWindow).where(
        ProductWindow.product_id == product_id, ProductWindow.withdrawn.is_(False)
    )
    return (product, list(book.scalars(rows))) if product else None


def temperature_units() -> tuple[str, ...]:
    """Return the units of a temperature, the one first that the owner picked."""
    first = formats.shown_unit("degC")
    return tuple(sorted(coatings.TEMPERATURE, key=lambda unit: unit != first))


class TimesEntry(QWidget):
    """The rows of a data sheet's table of times, and one more to be typed."""

    def __init__(self, page: Page, product_id: str, rows: list[ProductWindow]) -> None:
        super().__init__()
        self._page, self._product_id = page, product_id
        state, record = page.state, f"product_window/{product_id}"

        def keyed(field: str) -> dict[str, Any]:
            return {
                "key": FieldKey(record, field),
                "drafts": state.drafts,
                "check": state.checker(coatings.WINDOW, field),
                "label_width": 0,
            }

        self.step = Choice(
            say("paint_page.times"),
            [Option(c, say(f"window_step.{c}")) for c in choices.WINDOW_STEPS],
        )
        self.step.show_value(choices.WINDOW_STEPS[0])
        self.temperature = NumberField(
            say("paint_page.temperature"), temperature_units(), **keyed("temperature")
        )
        self.shortest = NumberField(say("paint_page.shortest"), coatings.HOURS, **keyed("shortest"))
        self.longest = NumberField(say("paint_page.longest"), coatings.HOURS, **keyed("longest"))
        adding = button(say("paint_page.add_row"), self.keep_row)
        fields = line(self.temperature, self.shortest, self.longest, adding, space=3)
        self._told = column(space=0)
        for row in rows:
            self._told.addWidget(Prose(_row_text(row), SMALL, role="muted"))
        box = column(self.step, space=2)
        box.addLayout(fields)
        box.addLayout(self._told)
        self.setLayout(box)

    def keep_row(self) -> None:
        """Store the row that is typed and show it among the others."""
        fields = {
            "temperature": self.temperature, "shortest": self.shortest, "longest": self.longest,
        }  # fmt: skip
        step, typed = self.step.value, {name: f.typed() or None for name, f in fields.items()}

        def stored(_key: object) -> None:
            told = say(
                "paint_page.row_kept", step=say_code("window_step", str(step)),
                temperature=formats.anything(self.temperature.text()),
            )  # fmt: skip
            self._told.addWidget(Prose(told, SMALL, role="muted"))
            for field in fields.values():
                field.show_value("")
                field.give_up()

        self._page.edit(
            coatings.add_window, self._product_id, fields=fields, done=stored, quietly=True,
            step=step, **typed,
        )  # fmt: skip

    def keep_offer(self, offer: Offer, taken: Callable[[], object]) -> None:
        """Store a row of times that was read and taken, and show it among the others."""

        def stored(_key: object) -> None:
            self._told.addWidget(Prose(offer_text(offer), SMALL, role="muted"))
            taken()

        self._page.edit(
            coatings.add_window, self._product_id, done=stored, quietly=True, step=offer.step,
            temperature=offer.temperature, shortest=offer.shortest, longest=offer.longest,
        )  # fmt: skip


def _row_text(row: ProductWindow) -> str:
    return say(
        "paint_page.row",
        step=say_code("window_step", row.step),
        temperature=formats.anything(row.temperature),
        shortest=formats.anything(row.shortest),
        longest=formats.anything(row.longest),
    )

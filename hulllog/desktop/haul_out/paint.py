"""Paint put on at this haul-out: a product on record or a new one, litres, coats, the weather."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, ClassVar

from PySide6.QtWidgets import QWidget

from hulllog.desktop.buttons import button
from hulllog.desktop.choice import Choice, Option
from hulllog.desktop.drafts import FieldKey
from hulllog.desktop.fields import TextField, refuse_named
from hulllog.desktop.haul_out.answers import BigRow
from hulllog.desktop.haul_out.dates import ShortDateField
from hulllog.desktop.haul_out.section import EnterGoesOn, Section, focus_on
from hulllog.desktop.labels import Prose
from hulllog.desktop.layout import Card, Caution, boxed, column, evenly, facts, line
from hulllog.desktop.numbers import NumberField
from hulllog.desktop.theme import BODY, SMALL
from hulllog.insight.paint import coats_of
from hulllog.records.model import Product
from hulllog.records.operations import choices, queries
from hulllog.records.operations import typed as t
from hulllog.records.operations.coatings import COAT, LITRES, PRODUCT
from hulllog.records.operations.visits import WEATHER
from hulllog.records.operations.yardwork import PutOn, put_on
from hulllog.words import say, say_code
from hulllog.words.errors import said
from hulllog.words.formats import partial_date, quantity, shown_unit

if TYPE_CHECKING:
    from datetime import date

    from hulllog.desktop.fields import Field
    from hulllog.desktop.pages import Page
    from hulllog.insight.paint import CoatSeen
    from hulllog.records.book import Book

NEW = "new"
_DIGITS = "123456789"
_ROLE_KEYS = dict(zip(choices.COATING_ROLES, "apbtfso", strict=True))
_FIELDS: t.Fields = {
    **COAT, "litres": LITRES, "coats": t.whole(1, 20), "name": PRODUCT["name"],
    "colour": PRODUCT["colour"], "air": WEATHER["air"], "hull": WEATHER["hull"],
    "humidity": WEATHER["humidity"],
}  # fmt: skip


class PaintSection(EnterGoesOn, Section):
    """A form for coats at the left, what was put on so far at the right."""

    code: ClassVar[str] = "paint"

    def __init__(self, page: Page) -> None:
        super().__init__(page)
        self._made_for = ""
        self.fields: dict[str, Field] = {}
        self.product: BigRow | None = None
        self._form = Card(say("haul_out.paint.put_on"), margin=4)
        self._listed = Card(say("haul_out.paint.so_far"), margin=4)
        self._told = Prose("", SMALL, bold=True)
        self._told.hide()
        self.keep = button(say("haul_out.paint.keep"), self.store, primary=True)
        page.writes(self.keep)
        left = column(
            Caution(say("haul_out.caution.dust"), say("haul_out.caution.dust_more")),
            Caution(say("haul_out.caution.paint"), say("haul_out.caution.paint_more")),
            self._form,
            space=2,
        )
        left.addStretch(1)
        right = column(self._listed)
        right.addStretch(1)
        both = line(space=3)
        both.addWidget(boxed(left), 5)
        both.addWidget(boxed(right), 4)
        self.setLayout(both)

    def refresh(self) -> None:
        """Show the paints on record and what was put on at this haul-out."""
        if self._made_for != self.visit_id:
            self._made_for = self.visit_id
            self._make()
        self._show_products()
        for field in self.fields.values():
            field.show_value("")
        self._listed.clear()
        coats = self.state.read(lambda book: _coats(book, self.visit_id))
        if coats:
            self._listed.add(facts([_coat_said(coat) for coat in coats]))
        else:
            self._listed.add(Prose(say("haul_out.held.no_paint"), BODY, role="muted"))

    def start(self) -> QWidget | None:
        """Start with the product."""
        return self.product

    def press(self, key: str) -> bool:
        """Choose a product by its digit."""
        return self.product is not None and self.product.press(key)

    def store(self) -> None:
        """Keep the coats as one entry."""
        if not all(field.commit() for field in self.fields.values()):
            return
        paint = self.paint()
        self.state.run(
            lambda logbook: put_on(logbook, self.visit_id, paint),
            done=lambda _none: self._stored(),
            refused=self._refused,
            owner=self,
        )

    def paint(self) -> PutOn:
        """Return what was entered."""
        chosen = self.product.value if self.product is not None else None
        typed = {name: field.typed() or None for name, field in self.fields.items()}
        new = {
            "name": typed["name"], "colour": typed["colour"], "role": self.role.value,
            "coating_class": self.coating_class.value or "unknown",
        }  # fmt: skip
        return PutOn(
            product_id=None if chosen in (None, NEW) else chosen,
            product={name: value for name, value in new.items() if value} if chosen == NEW else {},
            litres=typed["litres"],
            coats=typed["coats"],
            at=typed["at"],
            weather={name: typed[name] for name in ("air", "hull", "humidity")},
        )

    def _stored(self) -> None:
        for field in self.fields.values():
            field.accept()
            field.show_value("")
        if self.product is not None:
            self.product.show_value(None)
        self._told.hide()
        self._show_new(False)

    def _refused(self, problem: BaseException) -> None:
        if (named := refuse_named(self.fields, problem)) is not None:
            focus_on(named.entry)
        else:
            self._told.setText(said(problem))
            self._told.show()

    # Parts

    def _make(self) -> None:
        self._form.clear()
        self.product = None
        self._products = column()
        self._form.body.addLayout(self._products)
        self._make_new()
        litres = NumberField(
            say("haul_out.short.litres"), (shown_unit("L"),), **self._rest("litres")
        )
        coats = TextField(say("haul_out.short.coats"), **self._rest("coats", 56))
        at = ShortDateField(
            say("haul_out.paint.at"), today=self._today, not_before=self._begun, **self._rest("at")
        )
        self._form.body.addLayout(evenly(litres, coats, space=3))
        self._form.add(at)
        weather = {
            "air": NumberField(say("weather.air"), (shown_unit("degC"),), **self._rest("air", 56)),
            "hull": NumberField(
                say("haul_out.paint.hull"), (shown_unit("degC"),), **self._rest("hull", 56)
            ),
            "humidity": NumberField(
                say("haul_out.paint.humidity"), ("percent",), **self._rest("humidity", 72)
            ),
        }
        self._form.body.addLayout(evenly(*weather.values(), space=2))
        self._form.add(self._told)
        self._form.body.addLayout(line(None, self.keep))
        self.fields |= {"litres": litres, "coats": coats, "at": at, **weather}

    def _make_new(self) -> None:
        name = TextField(say("haul_out.paint.name"), **self._rest("name"))
        colour = TextField(say("coat.colour"), **self._rest("colour"))
        self.role = Choice(
            say("haul_out.paint.role"),
            [Option(code, say(f"coating_role.{code}"), key) for code, key in _ROLE_KEYS.items()],
            label_width=88,
        )
        self.coating_class = Choice(
            say("haul_out.paint.class"),
            [Option(code, say_code("coating_class", code)) for code in choices.COATING_CLASSES],
            label_width=88,
        )
        for row in (self.role, self.coating_class):
            row.chosen.connect(lambda _code, row=row: self._leave(row))
        self._new = boxed(column(name, colour, self.role, self.coating_class, space=2))
        self._form.add(self._new)
        self.fields = {"name": name, "colour": colour}

    def _leave(self, row: Choice) -> None:
        row.setFocus()  # at the chosen one, which is the only stop of the row
        self.focusNextPrevChild(True)

    def _rest(self, name: str, label_width: int = 88) -> dict[str, Any]:
        return {
            "label_width": label_width,
            "check": self.state.checker(_FIELDS, name),
            "key": FieldKey(f"coat:{self.visit_id}", name),
            "drafts": self.state.drafts,
        }

    def _show_products(self) -> None:
        chosen = self.product.value if self.product is not None else None
        if self.product is not None:
            self._products.removeWidget(self.product)
            self.product.deleteLater()
        known = self.state.read(_products)
        options = [
            Option(key, name, digit) for (key, name), digit in zip(known, _DIGITS, strict=False)
        ]
        options.append(Option(NEW, say("haul_out.paint.new"), "n"))
        self.product = BigRow(say("coat.product"), options, stays=True)
        self.product.chosen.connect(self._chosen)
        self._products.addWidget(self.product)
        if chosen in [option.code for option in options]:
            self.product.show_value(chosen)
        elif not known:
            self.product.show_value(NEW)
        self._show_new(self.product.value == NEW)
        QWidget.setTabOrder(self.product, self.fields["name"])

    def _chosen(self, code: str) -> None:
        self._show_new(code == NEW)
        focus_on(self.fields["name" if code == NEW else "litres"].entry)

    def _show_new(self, shown: bool) -> None:
        self._new.setVisible(shown)

    def _today(self) -> date:
        return self.state.logbook.around.now().astimezone().date()

    def _begun(self) -> date | None:
        begins = self.visit.begins if self.visit else None
        if begins is None or begins.precision not in ("day", "time") or begins.about:
            return None
        return begins.middle.date()


def _products(book: Book) -> list[tuple[str, str]]:
    """Return key and name of the paints on record, the one put on last first."""
    known = list(queries.kept(book, Product))
    last = [coat.product_id for visit in queries.visits(book) for coat in coats_of(book, visit)]
    order = {key: n for n, key in enumerate(last)}
    known.sort(key=lambda product: order.get(product.id, -1), reverse=True)
    return [(product.id, product.name) for product in known]


def _coats(book: Book, visit_id: str) -> list[CoatSeen]:
    visit = next((one for one in queries.visits(book) if one.id == visit_id), None)
    return coats_of(book, visit) if visit is not None else []


def _coat_said(coat: CoatSeen) -> tuple[str, str]:
    """Say a coat: its number, then product, litres and day."""
    parts = [coat.product]
    if coat.litres is not None:
        parts.append(quantity(coat.litres, "L"))
    if coat.when is not None:
        parts.append(partial_date(coat.when))
    return say("coat.numbered", number=coat.number), ", ".join(parts)

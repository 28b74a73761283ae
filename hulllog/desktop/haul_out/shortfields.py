"""What the short form is made of: its fields, its rows, and the keys of the rows."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from hulllog.desktop.choice import Option
from hulllog.desktop.drafts import FieldKey
from hulllog.desktop.fields import TextField
from hulllog.desktop.haul_out.dates import ShortDateField
from hulllog.desktop.haul_out.kept import KeptChoice, lettered
from hulllog.desktop.haul_out.lasttime import LastTimeField
from hulllog.desktop.numbers import NumberField
from hulllog.insight import walking
from hulllog.records.model import Product
from hulllog.records.operations import queries
from hulllog.records.operations import typed as t
from hulllog.records.operations.coatings import LITRES
from hulllog.records.operations.visits import VISIT
from hulllog.words import say
from hulllog.words.formats import shown_unit

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping
    from datetime import date

    from hulllog.desktop.state import State
    from hulllog.records.book import Book

LABEL = 76
"""Width of the labels of the form: short words, so that all of it fits one page."""
RECORD = "visit:new"
"""The record under which drafts of a haul-out that is not stored yet are kept."""
WAY_KEYS = {
    "hoist": "h", "crane": "c", "slipway": "s", "floating_dock": "f", "drying_grid": "d",
    "trailer": "t", "mover": "m",
}  # fmt: skip
BASIS_KEYS = {
    "at_the_time": "t", "later_from_notes": "n", "from_survey_or_invoice": "i", "from_memory": "m",
    "from_former_owner": "o", "from_photos": "p",
}  # fmt: skip
FIELDS: t.Fields = {
    **VISIT,
    "anode_name": t.place_name(wanted=False),
    "product": t.name(wanted=False),
    "litres": LITRES,
    "coats": t.whole(1, 20),
}


@dataclass(frozen=True, slots=True)
class Grading:
    """What the digits of the short form grade: a kind, and the conditions it is seen under."""

    code: str
    key: str
    kind: str
    conditions: Mapping[str, str] = field(default_factory=dict)


GRADINGS = (
    Grading("fouling_before", "b", walking.FOULING, {"washed": "not_washed"}),
    Grading("fouling_after", "a", walking.FOULING, {"washed": "washed"}),
    Grading("paint_blisters", "p", "iso-4628-2-2016", {"washed": "washed"}),
    Grading("flaking", "f", "iso-4628-5-2016", {"washed": "washed"}),
    Grading("rust", "r", "iso-4628-3-2016", {"washed": "washed"}),
)


class Maker:
    """Makes the fields and rows of the short form, each with its draft and its check."""

    def __init__(self, state: State) -> None:
        self.state = state

    def rest(self, name: str, label_width: int = LABEL) -> dict[str, Any]:
        """Return what every field of the form is given."""
        return {
            "label_width": label_width,
            "check": self.state.checker(FIELDS, name),
            "key": FieldKey(RECORD, name),
            "drafts": self.state.drafts,
        }

    def dates(
        self, today: Callable[[], date], after: Callable[[], date | None]
    ) -> tuple[ShortDateField, ShortDateField]:
        """Make the fields of the two dates."""
        return (
            ShortDateField(say("haul_out.short.out"), today=today, **self.rest("begins")),
            ShortDateField(
                say("haul_out.short.in"), today=today, not_before=after, **self.rest("ends", 56)
            ),
        )

    def text(self, label: str, name: str, label_width: int = LABEL) -> TextField:
        """Make a field of one line."""
        return TextField(say(label), **self.rest(name, label_width))

    def last(self, label: str, name: str, **more: Any) -> LastTimeField:
        """Make a field that offers what was so last time."""
        return LastTimeField(say(label), **more, **self.rest(name))

    def product(self) -> LastTimeField:
        """Make the field of the paint; products on record are offered while typing."""
        known = self.state.read(product_names)
        return self.last("haul_out.short.product", "product", known=known)

    def litres(self) -> NumberField:
        """Make the field of the litres in all."""
        # One unit, so that Enter goes straight on; another may be typed with the figure.
        return NumberField(say("haul_out.short.litres"), (shown_unit("L"),), **self.rest("litres"))

    def row(
        self, label: str, name: str, options: list[Option], *, label_width: int = LABEL
    ) -> KeptChoice:
        """Make a row of buttons."""
        return KeptChoice(
            say(label),
            options,
            key=FieldKey(RECORD, name),
            drafts=self.state.drafts,
            label_width=label_width,
        )

    def coded(self, label: str, name: str, family: str, keys: Mapping[str, str]) -> KeptChoice:
        """Make a row of the codes of a family."""
        return self.row(label, name, lettered(family, keys, keys))

    def gradings(self) -> KeptChoice:
        """Make the row that says what the zones are graded for."""
        offered = self.state.read(gradings_of)
        options = [
            Option(one.code, say(f"haul_out.grading.{one.code}"), one.key) for one in offered
        ]
        return self.row("haul_out.short.graded", "graded", options)


def gradings_of(book: Book) -> list[Grading]:
    """Return the gradings that make sense for this boat."""
    material, keel = walking.boat_of(book)
    return [
        one
        for one in GRADINGS
        if any(walking.applies(one.kind, zone, material, keel) for zone in ("bottom", "keel"))
    ]


def grading(code: str | None) -> Grading:
    """Return a grading by its code; the first one for None."""
    return next((one for one in GRADINGS if one.code == code), GRADINGS[0])


def product_names(book: Book) -> list[str]:
    """Return the names of the paints on record, the newest first."""
    return [product.name for product in reversed(queries.kept(book, Product))]

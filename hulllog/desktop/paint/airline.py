"""The weather of a coat as it is typed: dew point and margin, and what is quoted of them."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from PySide6.QtWidgets import QWidget

from hulllog.desktop.drafts import FieldKey
from hulllog.desktop.figures import working_link
from hulllog.desktop.labels import Prose
from hulllog.desktop.layout import boxed, clear, column, evenly, line
from hulllog.desktop.numbers import NumberField
from hulllog.desktop.paint.product import temperature_units
from hulllog.desktop.theme import SMALL
from hulllog.drawing.paintwords import rules_text, sheet_text, weather_text
from hulllog.insight.overcoating import Air, air, sheet_times
from hulllog.records.errors import Refused
from hulllog.records.operations.coatings import COAT
from hulllog.records.operations.typed import measured
from hulllog.trade.refusal import Refusal
from hulllog.words import say

if TYPE_CHECKING:
    from hulllog.desktop.state import State
    from hulllog.insight.overcoating import SheetTime
    from hulllog.insight.paint import CoatSeen


_LABELS = {"air": "air_label", "hull": "hull", "humidity": "humidity"}


class AirEntry(QWidget):
    """Asks for air, hull and humidity, and says at once what they mean; it never judges."""

    def __init__(self, state: State, record: str) -> None:
        super().__init__()
        self._state = state
        self._product = ""

        def number(field: str, units: tuple[str, ...]) -> NumberField:
            made = NumberField(
                say(f"paint_page.{_LABELS[field]}"),
                units,
                check=state.checker(COAT, field),
                key=FieldKey(record, field),
                drafts=state.drafts,
                label_width=0,
            )
            made.touched.connect(self.tell)
            return made

        self.air = number("air", temperature_units())
        self.hull = number("hull", temperature_units())
        self.humidity = number("humidity", ("percent",))
        self._told = column(space=0)
        box = column(space=1)
        box.addLayout(evenly(self.air, self.hull, self.humidity, space=3))
        box.addLayout(self._told)
        self.setLayout(box)

    @property
    def fields(self) -> dict[str, NumberField]:
        """The fields by the name that a refusal gives."""
        return {"air": self.air, "hull": self.hull, "humidity": self.humidity}

    def values(self) -> dict[str, Any]:
        """Return what was typed."""
        return {name: field.typed() or None for name, field in self.fields.items()}

    def about(self, product_id: str) -> None:
        """Say which product is put on, so that its own sheet can be quoted."""
        self._product = product_id
        self.tell()

    def tell(self) -> None:
        """Say dew point, margin, the rules quoted, and the times of the product's own sheet."""
        clear(self._told)
        read = {name: self._read(field) for name, field in self.fields.items()}
        celsius, humidity, hull = read["air"], read["humidity"], read["hull"]
        if celsius is not None and humidity is not None:
            try:
                told = air(celsius, humidity, hull)
            except Refusal:
                return
            self._told.addWidget(air_rows(self, celsius, humidity, hull, told))
        if hull is not None and self._product:
            times = self._state.read(lambda book: sheet_times(book, self._product, hull))
            for time in times:
                self._told.addWidget(_sheet_row(self, time))

    def _read(self, field: NumberField) -> float | None:
        typed = field.typed()
        if not typed:
            return None
        try:
            found = measured(typed, field.unit, "")
            return found.in_unit("percent" if field is self.humidity else "degC")
        except (Refused, Refusal):
            return None


def air_rows(
    over: QWidget,
    celsius: float,
    humidity: float,
    hull: float | None,
    told: Air,
    *,
    quoted: bool = True,
) -> QWidget:
    """Return the weather line with its working, and below it the rules that painters quote."""
    box = column(space=0)
    workings = [one for one in (told.margin, told.dew_point) if one is not None]
    said = Prose(weather_text(celsius, humidity, hull, told))
    row = line(said, working_link(over, *workings), space=1)
    row.setStretch(0, 1)
    box.addLayout(row)
    for rule in rules_text(told) if quoted else ():
        box.addWidget(Prose(rule, SMALL, role="muted"))
    held = QWidget()
    held.setLayout(box)
    return held


def _sheet_row(over: QWidget, time: SheetTime) -> QWidget:
    """Return a time of the product's own sheet, with how it was had from the rows of the sheet."""
    ends = [one for one in (time.window.shortest, time.window.longest) if one is not None]
    row = line(Prose(sheet_text(time), SMALL), *([working_link(over, *ends)] if ends else []))
    row.setStretch(0, 1)
    return boxed(row)


def air_of(coat: CoatSeen) -> Air | None:
    """Return what the air of a coat says, or None where it is not on record."""
    if coat.air is None or coat.humidity is None:
        return None
    try:
        return air(coat.air, coat.humidity, coat.hull)
    except Refusal:
        return None

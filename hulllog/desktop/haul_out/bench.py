"""One anode on the bench: its mass clean and dry or the share left by eye, and what replaces it.

Enter goes from question to question; the last one keeps all of it as one entry.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from PySide6.QtCore import Signal

from hulllog.desktop.buttons import button
from hulllog.desktop.drafts import FieldKey
from hulllog.desktop.fields import refuse_named
from hulllog.desktop.haul_out.answers import BigRow
from hulllog.desktop.haul_out.kept import lettered
from hulllog.desktop.haul_out.section import EnterGoesOn, focus_on
from hulllog.desktop.labels import Prose
from hulllog.desktop.layout import column, line
from hulllog.desktop.numbers import NumberField
from hulllog.desktop.theme import BODY, SMALL, TITLE
from hulllog.insight.yardsheet import CONTACT_KEYS, EYE_KEYS, YES_KEYS
from hulllog.records.operations.anodes import CHECK, PIECE
from hulllog.records.operations.yardwork import Bench, bench
from hulllog.words import say, say_code
from hulllog.words.errors import said
from hulllog.words.formats import measured, partial_date

if TYPE_CHECKING:
    from hulllog.desktop.choice import Option
    from hulllog.desktop.fields import Field
    from hulllog.desktop.pages import Page
    from hulllog.insight.yard import BenchRow

MASSES = ("kg", "g", "lb")
METAL_KEYS = {"zinc": "z", "aluminium": "a", "magnesium": "m", "unknown": "u"}


class BenchPanel(EnterGoesOn):
    """Asks about the anode of one position.  ``stored`` tells when it is kept."""

    stored = Signal()

    def __init__(self, page: Page, visit_id: str, row: BenchRow) -> None:
        super().__init__()
        self.page, self.state = page, page.state
        self.visit_id, self.position_id = visit_id, row.position_id
        self._told_of: BenchRow | None = None
        self._make(row)
        self._lay_out(row)
        self.show_row(row)

    def show_row(self, row: BenchRow) -> None:
        """Show what was entered at this visit; while that is the same, what is typed stays."""
        if row == self._told_of:
            return
        self._told_of = row
        self.piece.setText(piece_said(row))
        seen = row.check
        self.mass.show_measured(seen.mass if seen else None)
        if seen is not None:
            self.eye.show_value(seen.left)
            self.contact.show_value(seen.contact)
            self.painted.show_value("yes" if seen.painted_over else "no")
        if row.renewed is not None:
            self.renewed.show_value("yes")
            self.metal.show_value(row.new_metal)
            self.new_mass.show_measured(None if isinstance(row.renewed, bool) else row.renewed)
        self._show_new()

    def press(self, key: str) -> bool:
        """Take a key that no field and no row took."""
        return False

    def store(self) -> None:
        """Keep all of it as one entry."""
        if not all(field.commit() for field in self.fields.values()):
            return
        self.state.run(
            lambda logbook: bench(logbook, self.visit_id, self.position_id, self.seen()),
            done=lambda _none: self._stored(),
            refused=self._refused,
            owner=self,
        )

    def seen(self) -> Bench:
        """Return what was entered."""
        renewed = self.renewed.value == "yes"
        return Bench(
            mass=self.mass.typed() or None,
            left=None if self.mass.typed() else self.eye.value,
            contact=self.contact.value,
            painted_over=self.painted.value == "yes",
            renewed=renewed,
            metal=self.metal.value if renewed else None,
            mass_new=(self.new_mass.typed() or None) if renewed else None,
        )

    def _stored(self) -> None:
        for field in self.fields.values():
            field.accept()
        self._told_of = None  # what is kept is shown as it is kept, and not as it was typed
        self.stored.emit()

    def _refused(self, problem: BaseException) -> None:
        if (named := refuse_named(self.fields, problem)) is not None:
            focus_on(named.entry)
        else:
            self._told.setText(said(problem))
            self._told.show()

    def _make(self, row: BenchRow) -> None:
        masses = _units_of(row)
        self._told = Prose("", SMALL, bold=True)
        self._told.hide()
        self.mass = NumberField(
            say("haul_out.anodes.mass"), masses, check=self.state.checker(CHECK, "mass"),
            **self._kept("mass"),
        )  # fmt: skip
        self.eye = self._row("haul_out.anodes.eye", "haul_out.eye", EYE_KEYS)
        self.contact = self._row("haul_out.anodes.contact", "contact", CONTACT_KEYS)
        yes_no = YES_KEYS
        self.painted = self._row("haul_out.anodes.painted", "word", yes_no)
        self.renewed = self._row("haul_out.anodes.renew", "word", yes_no)
        self.metal = self._row("haul_out.anodes.metal", "anode", METAL_KEYS)
        self.new_mass = NumberField(
            say("haul_out.anodes.mass_new"), masses,
            check=self.state.checker(PIECE, "mass_new"), **self._kept("mass_new"),
        )  # fmt: skip
        self.fields: dict[str, Field] = {"mass": self.mass, "mass_new": self.new_mass}
        self.keep = button(say("haul_out.anodes.keep"), self.store, primary=True)
        self.page.writes(self.keep)
        for field in self.fields.values():
            # Kept later with all the rest: until then the draft is what stands there now.
            field.committed.connect(lambda _typed, field=field: field.keep_draft())
        self.mass.entry.entered.connect(self._after_mass)
        self.new_mass.entry.entered.connect(self.keep.setFocus)
        self.eye.chosen.connect(lambda _code: focus_on(self.contact))
        self.contact.chosen.connect(lambda _code: focus_on(self.painted))
        self.painted.chosen.connect(lambda _code: focus_on(self.renewed))
        self.renewed.chosen.connect(self._renewed_chosen)
        for row_of in (self.eye, self.renewed):
            row_of.chosen.connect(lambda _code: self._told.hide())
        self.mass.touched.connect(self._told.hide)
        self.metal.chosen.connect(lambda _code: focus_on(self.new_mass.entry))

    def _kept(self, name: str) -> dict[str, Any]:
        record = f"bench:{self.visit_id}:{self.position_id}"
        return {"key": FieldKey(record, name), "drafts": self.state.drafts}

    def _row(self, label: str, family: str, keys: dict[str, str]) -> BigRow:
        options: list[Option] = lettered(family, keys, keys)
        return BigRow(say(label), options, stays=True)

    def _after_mass(self) -> None:
        """Skip the question by eye where a mass was typed."""
        if not self.mass.refused:
            focus_on(self.contact if self.mass.text() else self.eye)

    def _renewed_chosen(self, code: str) -> None:
        self._show_new()
        focus_on(self.metal if code == "yes" else self.keep)

    def _show_new(self) -> None:
        new = self.renewed.value == "yes"
        self.metal.setVisible(new)
        self.new_mass.setVisible(new)

    def _lay_out(self, row: BenchRow) -> None:
        self.piece = Prose("", BODY, role="muted")
        box = column(Prose(row.name, TITLE, bold=True), self.piece, space=3)
        for widget in (
            self.mass, self.eye, self._told, self.contact, self.painted, self.renewed, self.metal,
            self.new_mass,
        ):  # fmt: skip
            box.addWidget(widget)
        box.addLayout(line(None, self.keep))
        box.addStretch(1)
        self.setLayout(box)


def _units_of(row: BenchRow) -> tuple[str, ...]:
    """Return the units of a mass, that of the piece on record first."""
    known = row.mass_new.unit if row.mass_new else MASSES[0]
    return (known, *(unit for unit in MASSES if unit != known))


def piece_said(row: BenchRow) -> str:
    """Say what piece was there when she came out."""
    if row.metal is None:
        return say("haul_out.anodes.no_piece")
    mass = say("mass_from.unknown")
    if row.mass_new:
        mass = say("haul_out.anodes.mass_when_new", mass=measured(row.mass_new))
    fitted = partial_date(row.fitted) if row.fitted else say("word.not_recorded")
    return say(
        "haul_out.anodes.piece", metal=say_code("anode", row.metal), mass=mass, fitted=fitted
    )

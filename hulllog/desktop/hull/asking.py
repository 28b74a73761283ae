"""The sheets of the page *Hull*: follow a place, rate a zone, look at a spot."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from PySide6.QtWidgets import QScrollArea, QWidget

from hulllog.desktop.cards.entry import CardEntry, keys_of
from hulllog.desktop.choice import Choice, Choices, Option
from hulllog.desktop.fields import AreaField, Field, TextField
from hulllog.desktop.findings.asking import options
from hulllog.desktop.haul_out.section import focus_on
from hulllog.desktop.hull.storing import fitted, store
from hulllog.desktop.layout import boxed, column, scrolled
from hulllog.desktop.sheets import Sheet
from hulllog.desktop.theme import step
from hulllog.insight.walking import conditions_now
from hulllog.records.operations import choices, looks, spots
from hulllog.records.operations.measuring import Rated
from hulllog.records.values import Where
from hulllog.trade import kinds
from hulllog.words import knows, say, telling

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from hulllog.desktop.pages import Page
    from hulllog.hull.patches import Place
    from hulllog.insight.condition import Figure, ZoneState
    from hulllog.insight.occasions import Edge
    from hulllog.insight.placed import SpotLook, SpotSeen
    from hulllog.trade.kinds import Condition

_WIDTH, _HEIGHT = 760, 640


class SpotSheet(Sheet):
    """Asks what is to be followed at a place."""

    def __init__(
        self,
        page: Page,
        edge: Edge | None,
        place: Place | Where,
        zone: ZoneState | None,
        done: Callable[[str], object],
    ) -> None:
        where = zone.name if zone else say("hull_page.no_zone")
        super().__init__(
            page,
            say("hull_page.follow"),
            under=say("hull_page.follow_where", zone=where),
            accept_text=say("hull_page.follow_it"),
            on_accept=self._store,
        )
        self.setObjectName("follow")
        self._page, self._done = page, done
        self._typed = {
            "place": placed(place),
            "zone_id": zone.zone_id if zone else None,
            "visit_id": edge.visit_id if edge else None,
        }
        self.label = TextField(say("hull_page.follow_label"))
        self.add(self.label)

    def ask(self) -> SpotSheet:
        """Show the question."""
        self.open()
        fitted(self)
        self.label.entry.setFocus()
        return self

    def _store(self) -> bool:
        store(
            self._page, self, spots.add_spot, fields={"label": self.label}, then=self._done,
            label=self.label.typed(), **self._typed,
        )  # fmt: skip
        return False


def placed(place: Place | Where) -> Where | dict[str, object]:
    """Return a place that was clicked or taped, as operations take it."""
    if isinstance(place, Where):
        return place
    return {"part": place.part, "face": place.face, "u": place.u, "v": place.v}


class ConditionsEntry(QWidget):
    """How the thing was seen: what a kind declares as conditions, those of today filled in."""

    def __init__(self, kind: str) -> None:
        super().__init__()
        found = kinds.kind(kind)
        self._rows: dict[str, Choice | Field] = {}
        self._needed = [one.code for one in found.conditions if one.needed] if found else []
        box = column(space=2)
        for condition in found.conditions if found else ():
            row = _condition_row(condition)
            self._rows[condition.code] = row
            box.addWidget(row)
        self.setLayout(box)

    def wanted(self) -> Choice | Field | None:
        """Return the first condition that is blank and without which figures never compare."""
        given = self.values()
        blank = (code for code in self._needed if code not in given)
        return next((self._rows[code] for code in blank), None)

    @property
    def fields(self) -> dict[str, Field]:
        """The fields by the name that a refusal gives."""
        return {
            f"conditions.{code}": row for code, row in self._rows.items() if isinstance(row, Field)
        }

    def values(self) -> dict[str, Any]:
        """Return the conditions that were given."""
        found = {
            code: row.value if isinstance(row, Choice) else row.typed()
            for code, row in self._rows.items()
        }
        return {code: value for code, value in found.items() if value}

    def show_values(self, values: Mapping[str, object]) -> None:
        """Show conditions that are known."""
        for code, row in self._rows.items():
            value = values.get(code)
            if value is None:
                continue
            row.show_value(f"{value:g}" if isinstance(value, float) else str(value))


def _condition_row(condition: Condition) -> Choice | Field:
    name = _condition_name(condition.code)
    if condition.sort == "code":
        told = [
            Option(code, _condition_value(condition.code, code), key)
            for code, key in zip(condition.codes, keys_of(condition.codes), strict=True)
        ]
        return Choice(name, told)
    return TextField(name)


def _condition_name(code: str) -> str:
    for known in (f"hull_page.condition.{code}", f"condition.{code}"):
        if knows(known):
            text = say(known)
            return text[:1].upper() + text[1:]
    return code.replace("_", " ")


def _condition_value(condition: str, code: str) -> str:
    for family in (f"condition.{condition}", condition):
        if knows(f"{family}.{code}"):
            return say(f"{family}.{code}")
    return code.replace("_", " ")


def go_on(sheet: Sheet, to: QWidget | None) -> None:
    """Bring the keyboard to a question that is still open, else to what stores the sheet."""
    there = to or sheet.do
    if there is not None:
        focus_on(there)


class LookSheet(Sheet):
    """Enters a look at a zone or spot: how much was seen, the figures, the conditions, a note."""

    def __init__(self, page: Page, edge: Edge, kind: str, title: str, under: str) -> None:
        super().__init__(
            page,
            title,
            under=under,
            accept_text=say("hull_page.keep_look"),
            on_accept=self._store,
            width=_WIDTH,
        )
        self.setObjectName("look")
        self.page, self.edge, self.kind = page, edge, kind
        self.coverage = Choice(
            say("inspection.coverage"), options("coverage", ("whole", "part", "not_seen"), "wpc")
        )
        self.share = TextField(say("hull_page.share"))
        self.hidden = Choice(say("hull_page.hidden_by"), options("hidden_by", choices.HIDDEN_BY))
        self.outcome = Choice(say("hull_page.no_figures"), options("result", choices.RESULTS, "ns"))
        self.methods = Choices(
            say("inspection.methods"), options("method", choices.METHODS, "glhtmuoc")
        )
        self.entry = CardEntry(kind)
        self.conditions = ConditionsEntry(kind)
        self.note = AreaField(say("hull_page.note"), rows=2)
        held = column(
            self.coverage, self.share, self.hidden, self.outcome, self.entry, self.conditions,
            self.methods, self.note, space=3,
        )  # fmt: skip
        held.addStretch(1)
        held.setContentsMargins(0, 0, step(4), 0)
        self.area: QScrollArea = scrolled(boxed(held))
        self.add(self.area)
        self.resize(_WIDTH, _HEIGHT)
        self.coverage.chosen.connect(lambda _code: self._follow_coverage())
        self.entry.done.connect(lambda: go_on(self, self.conditions.wanted()))
        self._take_coverage("whole")

    @property
    def fields(self) -> dict[str, Field]:
        """The fields by the name that a refusal gives."""
        return {
            "share": self.share,
            "note": self.note,
            "text": self.note,
            **self.entry.fields,
            **self.conditions.fields,
        }

    def ask(self) -> LookSheet:
        """Show what is known, and begin at the figures."""
        self.open()
        self.entry.start()
        return self

    def today(self, conditions: Mapping[str, object] | None) -> None:
        """Fill in the conditions of this look, else those of the day."""
        state, now = self.page.state, self.page.state.logbook.around.now()
        day = state.read(
            lambda book: conditions_now(book, self.edge.visit_id, self.edge.state, now)
        )
        self.conditions.show_values({**day, **(conditions or {})})

    def _take_coverage(self, code: str) -> None:
        self.coverage.show_value(code)
        self._follow_coverage()

    def _follow_coverage(self) -> None:
        """Ask only what goes with the coverage."""
        code = self.coverage.value
        seen = code in choices.SEEN_COVERAGES
        self.share.setVisible(code == "part")
        self.hidden.setVisible(code != "whole")
        for part in (self.outcome, self.entry, self.conditions, self.methods):
            part.setVisible(seen)

    def typed(self) -> dict[str, Any]:
        """Return what was entered besides the rating."""
        seen = self.coverage.value in choices.SEEN_COVERAGES
        found: dict[str, Any] = {"coverage": self.coverage.value, "note": self.note.typed()}
        if self.coverage.value == "part":
            found["share"] = self.share.typed()
        if self.coverage.value != "whole":
            found["hidden_by"] = self.hidden.value
        if seen:
            found["methods"] = self.methods.value
            # With figures the result follows from them.
            if not self.entry.figures():
                found["result"] = self.outcome.value
        return found

    def ratings(self) -> list[Rated]:
        """Return the rating that was entered, if one was."""
        figures = self.entry.figures() or self._none()
        seen = self.coverage.value in choices.SEEN_COVERAGES
        return [Rated(self.kind, figures, self.conditions.values())] if figures and seen else []

    def _none(self) -> dict[str, Any]:
        """Return the figures that take the place of those which were entered wrongly."""
        return {}

    def show_figures(self, figures: Mapping[str, Figure] | None) -> None:
        """Show figures that are kept."""
        if figures:
            self.entry.show_figures(figures)

    def _store(self) -> bool:
        raise NotImplementedError


class ZoneSheet(LookSheet):
    """Rates a zone, or corrects the rating that it has."""

    def __init__(self, page: Page, edge: Edge, kind: str, zone: ZoneState) -> None:
        self._zone = zone
        rated = zone.set_id is not None or kind in zone.looked_for
        self._corrects = rated and zone.inspection_id is not None and not zone.from_found
        code = "hull_page.correct_look" if self._corrects else "hull_page.rate_zone"
        super().__init__(page, edge, kind, say(code, zone=zone.name), telling.kind_name(kind))
        self._show()

    def _show(self) -> None:
        zone = self._zone
        if not self._corrects:
            self.today(None)
            return
        self.today(zone.conditions)
        self._take_coverage(zone.coverage if zone.coverage != "not_looked" else "whole")
        self.share.show_value(f"{zone.share * 100:g} %" if zone.share is not None else "")
        self.hidden.show_value(zone.hidden_by)
        self.methods.show_value(zone.methods)
        self.outcome.show_value(zone.result if zone.set_id is None else None)
        self.note.show_value(zone.note or "")
        self.show_figures(zone.figures if zone.spot is None else None)

    def _none(self) -> dict[str, Any]:
        nothing = self._zone.set_id is not None and self.outcome.value == "nothing_found"
        found = kinds.nothing(self.kind) if nothing else {}
        return {code: f"{n:g}" if isinstance(n, float) else n for code, n in found.items()}

    def _store(self) -> bool:
        about: tuple[str, ...]
        more: dict[str, Any] = {}
        if self._corrects:
            about, operation = (self._zone.inspection_id or "",), looks.correct
        else:
            about, operation = (self.edge.visit_id, self._zone.zone_id), looks.log_inspection  # type: ignore[assignment]
            more["state"] = self.edge.state
            more["looked_for"] = [self.kind]
        store(
            self.page, self, operation, *about, fields=self.fields, ratings=self.ratings(),
            **self.typed(), **more,
        )  # fmt: skip
        return False


class SpotLookSheet(LookSheet):
    """Enters what is seen of a spot, or corrects it."""

    def __init__(
        self, page: Page, edge: Edge, kind: str, spot: SpotSeen, look: SpotLook | None
    ) -> None:
        self._spot, self._look = spot, look
        super().__init__(
            page,
            edge,
            kind,
            say("hull_page.look_at_spot", number=spot.number, label=spot.label),
            telling.kind_name(kind),
        )
        self.methods.hide()
        self.today(look.conditions.get(kind) if look else None)
        if look is not None:
            self._take_coverage(look.coverage)
            self.note.show_value(look.text or "")
            self.show_figures(look.figures.get(kind))

    def _follow_coverage(self) -> None:
        super()._follow_coverage()
        for part in (self.share, self.hidden, self.methods):
            part.hide()

    def _store(self) -> bool:
        typed = {
            "coverage": self.coverage.value, "text": self.note.typed(), "ratings": self.ratings(),
            "state": self.edge.state, "result": self.typed().get("result"),
        }  # fmt: skip
        if self._look is not None:
            store(
                self.page, self, spots.correct_observation, self._look.observation_id,
                fields=self.fields, **typed,
            )  # fmt: skip
        else:
            store(
                self.page, self, spots.observe_spot, self._spot.spot_id, self.edge.visit_id,
                fields=self.fields, **typed,
            )  # fmt: skip
        return False

"""Ratings and measurements: one act is a set, checked against what its kind declares."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from hulllog.records.errors import Refused
from hulllog.records.model import (
    GearCheck,
    Inspection,
    Instrument,
    MeasurementSet,
    MeasuringPoint,
    Rating,
    Reading,
    SpotObservation,
    Visit,
)
from hulllog.records.operations import choices
from hulllog.records.operations import typed as t
from hulllog.records.values import Measured
from hulllog.trade import kinds, units
from hulllog.trade.refusal import Refusal

if TYPE_CHECKING:
    from hulllog.records.book import Book
    from hulllog.records.logbook import Logbook
    from hulllog.trade.kinds import Component, Kind

SHARES_SLACK = 0.005
"""Shares typed in whole percents may miss 1 by this much."""

Figure = t.Typed
"""A grade's code, grades by share [("2", 0.7), ("3", 0.3)], a number as typed, or several."""


@dataclass(frozen=True, slots=True)
class Rated:
    """One act of rating or measuring as typed: a kind, its figures and their conditions."""

    kind: str
    figures: Mapping[str, Figure]
    conditions: Mapping[str, Any] = field(default_factory=dict)
    instrument_id: str | None = None
    observed: t.When | None = None
    basis: str = "at_the_time"


def rate(
    logbook: Logbook,
    kind: str,
    figures: Mapping[str, Figure],
    *,
    inspection_id: str | None = None,
    spot_observation_id: str | None = None,
    measuring_point_id: str | None = None,
    gear_check_id: str | None = None,
    visit_id: str | None = None,
    state: str = "found",
    conditions: Mapping[str, Any] | None = None,
    instrument_id: str | None = None,
    observed: t.When | None = None,
    basis: str = "at_the_time",
) -> str:
    """Rate or measure one subject: an inspection, a spot observation, a point, gear, or a visit.

    ``figures`` are component -> figure, checked against the kind: grades on its scale, shares that
    sum to 1, numbers in their range and unit.  ``visit_id`` is wanted with a measuring point, or
    alone.  A rating of an inspection sets its result.
    """
    rated = Rated(kind, figures, conditions or {}, instrument_id, observed, basis)
    with logbook.change("set.rate", rated=kind) as book:
        if inspection_id:
            look = t.needed(book, Inspection, inspection_id, "inspection")
            made = new_set(book, rated, state=look.state, visit=_visit(book, look), inspection=look)
            _follow(look, rated)
        elif spot_observation_id:
            seen = t.needed(book, SpotObservation, spot_observation_id, "spot_observation")
            made = new_set(
                book, rated, state=seen.state, visit=_visit(book, seen), observation=seen
            )
        elif gear_check_id:
            check = t.needed(book, GearCheck, gear_check_id, "gear_check")
            made = new_set(book, rated, state=check.state, visit=_visit(book, check), gear=check)
        else:
            visit = t.needed(book, Visit, visit_id or "", "visit")
            point = measuring_point_id and t.needed(book, MeasuringPoint, measuring_point_id)
            made = new_set(book, rated, state=state, visit=visit, point=point or None)
    return made.id


def _visit(book: Book, record: Inspection | SpotObservation | GearCheck) -> Visit:
    return t.needed(book, Visit, record.visit_id, "visit")


def _follow(look: Inspection, rated: Rated) -> None:
    """Set the result that a rating gives; a look that found something goes on having found it."""
    if look.coverage not in choices.SEEN_COVERAGES:
        raise Refused("rating_of_unseen", field="coverage")
    if result_of([rated]) == "something_found":
        look.result = "something_found"


def new_set(
    book: Book,
    rated: Rated,
    *,
    state: str,
    visit: Visit,
    inspection: Inspection | None = None,
    observation: SpotObservation | None = None,
    point: MeasuringPoint | None = None,
    gear: GearCheck | None = None,
) -> MeasurementSet:
    """Add a set inside a change."""
    kind = known_kind(rated.kind)
    if rated.instrument_id:
        t.needed(book, Instrument, rated.instrument_id, "instrument_id")
    fields: dict[str, t.Reader] = {"observed": t.date(future=False), "basis": t.BASIS}
    typed = {"observed": rated.observed, "basis": rated.basis}
    ratings, readings = _components(book, kind, rated.figures)
    made = MeasurementSet(
        visit_id=visit.id,
        inspection_id=inspection.id if inspection else None,
        spot_observation_id=observation.id if observation else None,
        measuring_point_id=point.id if point else None,
        gear_check_id=gear.id if gear else None,
        kind=kind.id,
        state=state,
        conditions=_conditions(kind, rated.conditions),
        instrument_id=rated.instrument_id,
        ratings=ratings,
        readings=readings,
        **t.read(book, fields, typed, zone=visit.time_zone),
    )
    book.add(made)
    book.flush()
    return made


def known_kind(kind_id: str) -> Kind:
    """Return a kind.  Raises Refused ``unknown_kind``."""
    kind = kinds.kind(kind_id)
    if kind is None:
        raise Refused("unknown_kind", field="kind", typed=kind_id)
    return kind


def _components(
    book: Book, kind: Kind, figures: Mapping[str, Figure]
) -> tuple[list[Rating], list[Reading]]:
    """Read every figure by the component it belongs to; Refused names ``figures.<component>``."""
    ratings: list[Rating] = []
    readings: list[Reading] = []
    plain: dict[str, str | float] = {}
    for code, figure in figures.items():
        part = kind.component(code)
        at = t.Reading(book, "UTC", f"figures.{code}")
        if part is None:
            raise Refused("component_unknown", field=at.field, kind=kind.id)
        if figure is None or figure == "":
            continue
        if part.sort == "grade":
            found = _grades(kind, part, figure, at)
            ratings += found
            plain[code] = max(found, key=lambda one: part.position(one.code) or 0).code
        else:
            values = [_number(part, one, at) for one in _several(figure)]
            readings += [
                Reading(component=code, number=n, value=value) for n, value in enumerate(values, 1)
            ]
            plain[code] = values[0].in_unit(part.unit or "1")
    for code, why in kinds.objections(kind.id, plain):
        raise Refused(why, field=f"figures.{code}", kind=kind.id)
    return ratings, readings


def _several(figure: Figure) -> Sequence[Figure]:
    return figure if isinstance(figure, list) else [figure]


def _grades(kind: Kind, part: Component, figure: Figure, at: t.Reading) -> list[Rating]:
    pairs = [(figure, None)] if isinstance(figure, str) else [tuple(pair) for pair in figure]
    if len(pairs) > 1 and not kind.by_area:
        raise Refused("grade_by_area", field=at.field, kind=kind.id)
    for code, _ in pairs:
        if not part.allows(str(code)):
            raise Refused("grade_unknown", field=at.field, typed=str(code), kind=kind.id)
    shares = [None if share is None else t.share()(at, share) for _, share in pairs]
    if len(pairs) > 1 or shares[0] is not None:
        _refuse_shares(shares, at.field)
    return [
        Rating(component=part.code, code=str(code), share=share)
        for (code, _), share in zip(pairs, shares, strict=True)
    ]


def _refuse_shares(shares: Sequence[float | None], field_name: str) -> None:
    """Refuse shares of the area seen that do not sum to 1."""
    total = sum(share or 0.0 for share in shares)
    if None in shares or abs(total - 1) > SHARES_SLACK:
        raise Refused("shares_sum", field=field_name, percent=round(total * 100, 1))


def _number(part: Component, figure: Figure, at: t.Reading) -> Measured:
    unit = part.unit or "1"
    same = [code for code, one in units.UNITS.items() if one.quantity == units.quantity(unit)]
    if isinstance(figure, int | float):
        figure = (f"{figure:g}", unit)
    read = t.amount(unit, *same, low=part.low, high=part.high, wanted=True)
    found: Measured = read(at, figure)
    if part.whole and found.in_unit(unit) != int(found.in_unit(unit)):
        raise Refused("number_whole", field=at.field, typed=found.text)
    return found


def _conditions(kind: Kind, typed: Mapping[str, Any]) -> dict[str, Any]:
    """Read the conditions that the kind declares; blank ones are left out."""
    found: dict[str, Any] = {}
    for code, value in typed.items():
        declared = kind.condition(code)
        where = f"conditions.{code}"
        if declared is None:
            raise Refused("condition_unknown", field=where, kind=kind.id)
        if value is None or value == "":
            continue
        if declared.sort == "number":
            value = float(value) if isinstance(value, int | float) else _plain(value, where)
        elif declared.sort == "code" and value not in declared.codes:
            raise Refused("unknown_choice", field=where, typed=str(value))
        found[code] = value
    return found


def _plain(typed: str, where: str) -> float:
    try:
        return float(units.read_number(str(typed)))
    except Refusal as problem:
        raise Refused("number_unread", field=where, typed=str(typed)) from problem


def result_of(ratings: Sequence[Rated]) -> str:
    """Return what a look with these ratings found: nothing only where every figure says so.

    A figure for which its kind has no "nothing", a meter's reading among them, counts as found:
    a look is never called clean for want of a rule.
    """
    for rated in ratings:
        none = kinds.nothing(rated.kind)
        for code, figure in rated.figures.items():
            part = kinds.component(rated.kind, code)
            if figure in (None, "") or part is None or not part.followed:
                continue
            if code not in none or not _is_nothing(none[code], figure):
                return "something_found"
    return "nothing_found"


def _is_nothing(none: str | float, figure: Figure) -> bool:
    if isinstance(none, str):
        codes = [figure] if isinstance(figure, str) else [pair[0] for pair in figure]
        return all(code == none for code in codes)
    return all(_si_is(one, none) for one in _several(figure))


def _si_is(figure: Figure, none: float) -> bool:
    try:
        value = figure.si if isinstance(figure, Measured) else t.measured(figure, "1", "").si
    except Refused:
        return False
    return bool(value == none)


def repeat_set(
    book: Book, before: MeasurementSet, look: Inspection, conditions: Mapping[str, Any]
) -> None:
    """Copy a set to a new look, with the conditions of today where they are given."""
    kind = kinds.kind(before.kind)
    fresh = _conditions(kind, conditions) if kind else dict(conditions)
    made = MeasurementSet(
        visit_id=look.visit_id,
        inspection_id=look.id,
        kind=before.kind,
        state=look.state,
        conditions={**before.conditions, **fresh},
        instrument_id=before.instrument_id,
        ratings=[
            Rating(component=one.component, code=one.code, share=one.share)
            for one in before.ratings
            if not one.withdrawn
        ],
        readings=[
            Reading(component=one.component, number=one.number, value=one.value)
            for one in before.readings
            if not one.withdrawn
        ],
    )
    book.add(made)

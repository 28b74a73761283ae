"""Visits: begun, dated, relaunched, closed, and what frames them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hulllog.records.errors import Refused
from hulllog.records.model import PadPosition, StageTime, Visit, Weather
from hulllog.records.operations import choices, queries
from hulllog.records.operations import typed as t
from hulllog.records.operations.keeping import make

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hulllog.records.book import Book
    from hulllog.records.logbook import Logbook
    from hulllog.records.values import PartialDate

VISIT: t.Fields = {
    "kind": t.one_of(choices.VISIT_KINDS, wanted=True),
    "begins": t.date(wanted=True, future=False),
    "ends": t.date(future=False),
    "time_zone": t.time_zone(),
    "location": t.name(wanted=False),
    "yard": t.name(wanted=False),
    "way": t.one_of(choices.WAYS),
    "support": t.one_of(choices.SUPPORTS),
    "engine_hours": t.amount("h", low=0, high=200_000),
    "log_miles": t.amount("nmi", low=0, high=2_000_000),
    "lift_weight": t.amount("t", "kg", "lb", low=0.03, high=1000),
    "scum_line": t.amount("mm", "cm", "m", "in", low=-3000, high=3000),
    "sea_temperature": t.amount("degC", "degF", low=-3, high=45),
    "looked_for": t.some_of(),
    "methods": t.some_of(choices.METHODS),
    "note": t.NOTE,
    "basis": t.BASIS,
}
STAGE: t.Fields = {
    "stage": t.one_of(choices.STAGES, wanted=True),
    "at": t.date(wanted=True, future=False),
    "basis": t.BASIS,
}
WEATHER: t.Fields = {
    "at": t.date(wanted=True, future=False),
    "air": t.amount("degC", "degF", low=-40, high=60),
    "hull": t.amount("degC", "degF", low=-40, high=80),
    "humidity": t.amount("percent", low=0, high=100),
    "note": t.NOTE,
}
PAD: t.Fields = {
    "sort": t.one_of(choices.PADS, wanted=True),
    "place": t.place(),
    "note": t.NOTE,
}


def start_haul_out(logbook: Logbook, *, begins: t.When, **typed: t.Typed) -> str:
    """Begin a haul-out; ``typed`` may hold the fields of VISIT.  Only the date is wanted.

    What is looked for and how is taken from the haul-out before where it is not given.
    """
    return start_visit(logbook, kind="haul_out", begins=begins, **typed)


def start_visit(logbook: Logbook, *, kind: str, begins: t.When, **typed: t.Typed) -> str:
    """Begin a visit of any kind."""
    with logbook.change("visit.start", visit_kind=kind, begins=written(begins)) as book:
        visit = new_visit(book, {"kind": kind, "begins": begins, **typed})
    return visit.id


def new_visit(book: Book, typed: dict[str, t.Typed]) -> Visit:
    """Add a visit inside a change."""
    zone = str(typed.get("time_zone") or queries.time_zone(book))
    values = {"time_zone": zone, **typed}
    before = queries.visits(book, (typed["kind"],))
    for field, default in (("looked_for", []), ("methods", ["general"])):
        if values.get(field) is None:
            values[field] = getattr(before[-1], field) if before else default
    t.read(book, {"time_zone": t.time_zone()}, {"time_zone": zone})
    visit = Visit(**t.read(book, VISIT, values, zone=zone))
    book.add(visit)
    book.flush()
    _refuse_dates(book, visit)
    return visit


def written(when: t.When | None) -> str:
    """Return a date as typed."""
    if when is None or isinstance(when, str):
        return when or ""
    return when.text


def _refuse_dates(book: Book, visit: Visit) -> None:
    """Refuse an end that certainly lies before the beginning, and a stay that overlaps another."""
    begins, ends = visit.begins, visit.ends
    if begins is None:
        return
    if ends is not None and ends.latest < begins.earliest:
        raise Refused("relaunch_before_lift", field="ends", begins=begins.text, typed=ends.text)
    if visit.kind not in choices.OUT_OF_WATER or ends is None:
        return
    for other in queries.visits(book, choices.OUT_OF_WATER):
        if other.id == visit.id or other.begins is None or other.ends is None:
            continue
        if begins.latest < other.ends.earliest and other.begins.latest < ends.earliest:
            raise Refused("visits_overlap", field="begins", other=other.begins.text)


def _named(logbook: Logbook, visit_id: str) -> str:
    with logbook.read() as book:
        visit = t.needed(book, Visit, visit_id)
        return written(visit.begins)


def set_visit(
    logbook: Logbook, visit_id: str, field: str, typed: t.Typed, *, reason: str | None = None
) -> None:
    """Set a field of VISIT from what was typed; blank takes it away."""
    begins = _named(logbook, visit_id)
    with logbook.change("visit.set", reason=reason, field=field, begins=begins) as book:
        visit = t.needed(book, Visit, visit_id)
        values = t.read(book, VISIT, {field: typed}, zone=visit.time_zone)
        setattr(visit, field, values[field])
        _refuse_dates(book, visit)
        # Only dates: a note of a haul-out kept long ago is not held up by its stages.
        if field in ("begins", "ends"):
            _refuse_stages_left_outside(book, visit)


def set_looked_for(
    logbook: Logbook,
    visit_id: str,
    looked_for: Sequence[str],
    methods: Sequence[str] | None = None,
    *,
    reason: str | None = None,
) -> None:
    """Set what the visit looks for, and how; inspections made before keep their own copy."""
    typed: dict[str, t.Typed] = {"looked_for": looked_for}
    if methods is not None:
        typed["methods"] = methods
    begins = _named(logbook, visit_id)
    with logbook.change("visit.look_for", reason=reason, begins=begins) as book:
        visit = t.needed(book, Visit, visit_id)
        for field, value in t.read(book, VISIT, typed).items():
            setattr(visit, field, value)


def set_dates(
    logbook: Logbook,
    visit_id: str,
    *,
    begins: t.When,
    ends: t.When | None = None,
    reason: str | None = None,
) -> None:
    """Set both dates of a visit."""
    with logbook.change("visit.dates", reason=reason, begins=written(begins)) as book:
        visit = t.needed(book, Visit, visit_id)
        typed = {"begins": begins, "ends": ends}
        values = t.read(book, VISIT, typed, zone=visit.time_zone)
        visit.begins, visit.ends = values["begins"], values["ends"]
        _refuse_dates(book, visit)
        _refuse_stages_left_outside(book, visit)


def relaunch(logbook: Logbook, visit_id: str, ends: t.When, *, reason: str | None = None) -> None:
    """Say when she went back in.  Raises Refused ``relaunch_before_lift``."""
    begins = _named(logbook, visit_id)
    with logbook.change("visit.relaunch", reason=reason, begins=begins, ends=written(ends)) as book:
        visit = t.needed(book, Visit, visit_id)
        fields = {"ends": t.date(wanted=True, future=False)}
        visit.ends = t.read(book, fields, {"ends": ends}, zone=visit.time_zone)["ends"]
        _refuse_dates(book, visit)
        _refuse_stages_left_outside(book, visit)


def close(logbook: Logbook, visit_id: str) -> None:
    """Close a visit: later changes to it are corrections."""
    with logbook.change("visit.close", begins=_named(logbook, visit_id)) as book:
        visit = t.needed(book, Visit, visit_id)
        if visit.closed_at is not None:
            raise Refused("visit_closed_already")
        visit.closed_at = book.now()


def reopen(logbook: Logbook, visit_id: str, *, reason: str) -> None:
    """Open a closed visit again; that is a correction and wants a reason."""
    if not reason.strip():
        raise Refused("text_wanted", field="reason")
    begins = _named(logbook, visit_id)
    with logbook.change("visit.reopen", reason=reason, begins=begins) as book:
        visit = t.needed(book, Visit, visit_id)
        if visit.closed_at is None:
            raise Refused("visit_open_already")
        visit.closed_at = None


def add_stage(
    logbook: Logbook, visit_id: str, stage: str, at: t.When, *, basis: str = "at_the_time"
) -> str:
    """Say when a haul-out reached a stage."""
    with logbook.change("stage.add", stage=stage) as book:
        visit = t.needed(book, Visit, visit_id)
        typed = {"stage": stage, "at": at, "basis": basis}
        values = t.read(book, STAGE, typed, zone=visit.time_zone)
        refuse_stage(book, visit, stage, values["at"])
        return make(book, StageTime, {"visit_id": visit_id, **values})


def refuse_stage(book: Book, visit: Visit, stage: str, at: PartialDate) -> None:
    """Refuse a stage that certainly lies outside the haul-out, or out of the order of stages."""
    if visit.begins and at.latest < visit.begins.earliest:
        raise Refused("stage_before_lift", field="at", begins=visit.begins.text)
    if visit.ends and visit.ends.latest < at.earliest:
        raise Refused("stage_after_relaunch", field="at", ends=visit.ends.text)
    place = choices.STAGES.index(stage)
    for told in _stages(book, visit):
        when, other = told.at, choices.STAGES.index(told.stage)
        if when is None:
            continue
        if other < place and at.latest < when.earliest:
            raise Refused("stage_too_early", field="at", stage=told.stage, when=when.text)
        if other > place and when.latest < at.earliest:
            raise Refused("stage_too_late", field="at", stage=told.stage, when=when.text)


def _stages(book: Book, visit: Visit) -> Sequence[StageTime]:
    return queries.kept(book, StageTime, StageTime.visit_id == visit.id)


def _refuse_stages_left_outside(book: Book, visit: Visit) -> None:
    """Refuse dates that no longer hold a stage which is on record."""
    for told in _stages(book, visit):
        if told.at is None:
            continue
        before = visit.begins is not None and told.at.latest < visit.begins.earliest
        after = visit.ends is not None and visit.ends.latest < told.at.earliest
        if before or after:
            field = "begins" if before else "ends"
            raise Refused("stage_outside", field=field, stage=told.stage, when=told.at.text)


def add_weather(logbook: Logbook, visit_id: str, *, at: t.When, **typed: t.Typed) -> str:
    """Enter the weather of a day ashore: air, hull, humidity, note."""
    with logbook.change("weather.add", at=written(at)) as book:
        visit = t.needed(book, Visit, visit_id)
        values = t.read(book, WEATHER, {"at": at, **typed}, zone=visit.time_zone)
        return make(book, Weather, {"visit_id": visit_id, **values})


def add_pad(
    logbook: Logbook,
    visit_id: str,
    *,
    sort: str,
    place: t.Typed = None,
    note: str | None = None,
) -> str:
    """Enter where a prop, pad, block or sling bore on her."""
    with logbook.change("pad.add", sort=sort) as book:
        t.needed(book, Visit, visit_id)
        values = t.read(book, PAD, {"sort": sort, "place": place, "note": note})
        return make(book, PadPosition, {"visit_id": visit_id, **values})


def add_pads(logbook: Logbook, visit_id: str, *, sort: str, places: Sequence[t.Typed]) -> list[str]:
    """Enter where several slings, pads or blocks bore on her, as one entry."""
    with logbook.change("pad.add", sort=sort):
        return [add_pad(logbook, visit_id, sort=sort, place=place) for place in places]

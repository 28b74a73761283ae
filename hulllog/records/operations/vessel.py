"""The boat: made from six answers, her particulars corrected or converted, names and numbers."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, cast

from sqlalchemy import select

from hulllog.hull import particulars as hull
from hulllog.hull.form import HullForm
from hulllog.hull.handdrawn import is_own
from hulllog.hull.particulars import Particulars, ParticularsError, assume
from hulllog.hull.zones import default_zones
from hulllog.records.errors import Refused
from hulllog.records.model import (
    FormerName,
    FormVersion,
    Registration,
    Setting,
    Vessel,
    Visit,
    Zone,
    ZoneVersion,
)
from hulllog.records.operations import choices, placing, queries
from hulllog.records.operations import typed as t
from hulllog.records.operations.keeping import change_fields, make
from hulllog.records.values import Measured

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from hulllog.hull.zones import ZoneOutline
    from hulllog.records.book import Book
    from hulllog.records.logbook import Logbook

LENGTH_UNITS = ("m", "ft", "cm", "mm")
MEASURES: t.Fields = {
    "length": t.amount(*LENGTH_UNITS, low=hull.LENGTHS[0], high=hull.LENGTHS[1], wanted=True),
    "beam": t.amount(*LENGTH_UNITS, low=0.2, high=30, wanted=True),
    "draught": t.amount(*LENGTH_UNITS, low=0.05, high=10, wanted=True),
    "lwl": t.amount(*LENGTH_UNITS, low=1, high=60),
    "freeboard_bow": t.amount(*LENGTH_UNITS, low=0.1, high=10),
    "freeboard_middle": t.amount(*LENGTH_UNITS, low=0.1, high=10),
    "freeboard_stern": t.amount(*LENGTH_UNITS, low=0.1, high=10),
    "waterline_beam": t.amount(*LENGTH_UNITS, low=0.2, high=30),
    "displacement": t.amount("t", "kg", "lb", low=0.03, high=1000),
}
CHOICES: t.Fields = {
    "kind": t.one_of(hull.KINDS, wanted=True),
    "keel": t.one_of(hull.KEELS, wanted=True),
    "bow": t.one_of(hull.BOWS, wanted=True),
    "stern": t.one_of(hull.STERNS, wanted=True),
    "rudder": t.one_of(hull.RUDDERS, wanted=True),
    "drive": t.one_of(hull.DRIVES, wanted=True),
    "planking": t.one_of(hull.PLANKINGS, wanted=True),
}
PARTICULARS: t.Fields = {**MEASURES, **CHOICES}
KEPT_AS_TYPED = ("length", "beam", "draught", "displacement")
AS_TYPED = "as_typed"
"""Under this name the particulars keep all other measures as typed: field -> number and unit."""
ABOUT: t.Fields = {
    "name": t.name(),
    "material": t.one_of(hull.MATERIALS, wanted=True),
    "rig": t.name(wanted=False),
    "builder": t.name(wanted=False),
    "design": t.name(wanted=False),
    "built": t.date(future=False),
    "craft_number": t.name(wanted=False),
    "home": t.name(wanted=False),
    "note": t.NOTE,
}


def create_vessel(
    logbook: Logbook,
    *,
    name: str,
    kind: str,
    material: str,
    keel: str,
    length: t.Amount,
    beam: t.Amount,
    draught: t.Amount,
    sample: bool = False,
    **about: t.Typed,
) -> str:
    """Enter the boat from six answers; all else is assumed by type, and her zones are drawn.

    ``about`` may hold the fields of ABOUT and further PARTICULARS, which then are not assumed.
    """
    answers = {"kind": kind, "keel": keel, "length": length, "beam": beam, "draught": draught}
    more = {field: about.pop(field) for field in tuple(about) if field in PARTICULARS}
    about |= {"name": name, "material": material}
    with logbook.change("vessel.create", name=name) as book:
        if queries.vessel(book):
            raise Refused("vessel_there_already")
        told = t.read(book, ABOUT, about)
        values = t.read(book, PARTICULARS, {**answers, **more})
        form, assumed = _assumed(values, material)
        vessel_id = make(book, Vessel, {"kind": kind, "sample": sample, **told})
        version = _new_form(book, form, assumed, values, number=1)
        _new_zones(book, version, default_zones(HullForm.build(form)), from_visit_id=None)
    return vessel_id


_LEADING = ("bow", "stern", "drive")
"""What leads other assumptions once it is known."""


def _assumed(values: Mapping[str, Any], material: str) -> tuple[Particulars, list[str]]:
    """Complete the six answers; what was given besides them leads."""
    try:
        guess, assumed = assume(
            values["kind"],
            material,
            values["keel"],
            values["length"].si,
            values["beam"].si,
            values["draught"].si,
            **{end: values[end] for end in _LEADING if values.get(end)},
        )
        return _with(guess, values), [field for field in assumed if values.get(field) is None]
    except ParticularsError as problem:
        raise _refused(problem) from problem


def _plain(values: Mapping[str, Any]) -> dict[str, Any]:
    """Return what was given, measures in metres and kilograms."""
    return {
        field: value if isinstance(value, str) else value.si
        for field, value in values.items()
        if value is not None
    }


def _with(form: Particulars, values: Mapping[str, Any]) -> Particulars:
    changed = _plain(values)
    cleared = {field for field, value in values.items() if value is None}
    kept = {field: value for field, value in form.to_json().items() if field not in cleared}
    return Particulars.from_json({**kept, **changed})


def _refused(problem: ParticularsError) -> Refused:
    field = str(problem.values.get("field", ""))
    value, low, high = (problem.values.get(name) for name in ("value", "low", "high"))
    if not isinstance(value, int | float):
        return Refused("unknown_choice", field=field, typed=str(value))
    if isinstance(high, int | float) and value > high:
        return Refused("measure_high", field=field, value=value, unit="m", high=high)
    least = low if isinstance(low, int | float) else 0.0
    return Refused("measure_low", field=field, value=value, unit="m", low=least)


def _new_form(
    book: Book,
    form: Particulars,
    assumed: Sequence[str],
    values: Mapping[str, Any],
    **more: Any,
) -> FormVersion:
    typed = {field: values[field] for field in KEPT_AS_TYPED if values.get(field) is not None}
    stored = _stored(form, {}, values)
    version = FormVersion(particulars=stored, assumed=list(assumed), **typed, **more)
    book.add(version)
    book.flush()
    return version


def _stored(
    form: Particulars, before: Mapping[str, Any], values: Mapping[str, Any]
) -> dict[str, Any]:
    """Return the particulars as they are kept: in metres and kilograms, and as they were typed."""
    typed = dict(before.get(AS_TYPED, {}))
    for field in (field for field in MEASURES if field in values and field not in KEPT_AS_TYPED):
        typed.pop(field, None)
        if values[field] is not None:
            typed[field] = [values[field].text, values[field].unit]
    return {**form.to_json(), **({AS_TYPED: typed} if typed else {})}


def typed_measure(version: FormVersion, field: str) -> Measured | None:
    """Return a measure of her form as it was typed; None where it was not given."""
    if field in KEPT_AS_TYPED:
        return cast("Measured | None", getattr(version, field))
    found, value = version.particulars.get(AS_TYPED, {}).get(field), version.particulars.get(field)
    if value is None or field in version.assumed:
        return None
    text, unit = found or (f"{value:g}", "m")
    return Measured(text, unit, value)


def _new_zones(
    book: Book,
    version: FormVersion,
    outlines: Sequence[ZoneOutline],
    *,
    from_visit_id: str | None,
) -> None:
    """Give every outline a new version of its zone.

    Zones whose outline is gone are withdrawn where the form always was so; where a new form begins
    they stay with the older one.
    """
    known = {zone.code: zone for zone in queries.kept(book, Zone)}
    present = {
        zone.id for zone, drawn in queries.zones_at(book) if drawn.form_version_id == version.id
    }
    for n, outline in enumerate(outlines, 1):
        zone = known.pop(outline.code, None)
        if zone is None:
            zone = Zone(code=outline.code, name=zone_name(outline.code), walk_order=n)
            book.add(zone)
            book.flush()
        zone.walk_order = n
        made = queries.next_number(book, ZoneVersion, ZoneVersion.zone_id == zone.id)
        book.add(
            ZoneVersion(
                zone_id=zone.id,
                form_version_id=version.id,
                from_visit_id=from_visit_id,
                number=made,
                outline=outline.to_json(),
            )
        )
    for zone in known.values():
        if zone.id in present and not is_own(zone.code):
            zone.withdrawn = True


def zone_name(code: str) -> str:
    """Return the name that a zone gets when it is made; its owner may change it."""
    from hulllog.words import knows, say

    words = code.split("-")
    if knows(f"zone_name.{code}"):
        return say(f"zone_name.{code}")
    hand = words[1] if words[0] in ("keel", "bulb", "wing") and len(words) > 2 else ""
    what = f"{words[0]}_{hand}" if hand else words[0]
    rest = words[2:] if hand else words[1:]
    along = [word for word in rest if word in ("forward", "middle", "aft", "outer", "inner")]
    sides = [word for word in rest if word not in along]
    area = " ".join([say(f"zone_name.{what}"), *(say(f"zone_name.{word}") for word in along)])
    return ", ".join([area, *(say(f"zone_name.{word}") for word in sides)])


# Later


def set_about(logbook: Logbook, field: str, typed: t.Typed, *, reason: str | None = None) -> None:
    """Set a field of ABOUT: name, builder, home, note …"""
    with logbook.read() as book:
        vessel = _vessel(book)
    change_fields(
        logbook, "vessel.set", Vessel, vessel.id, ABOUT, {field: typed}, reason=reason, field=field
    )


def _vessel(book: Book) -> Vessel:
    found = queries.vessel(book)
    if found is None:
        raise Refused("no_vessel")
    return found


def correct_particulars(logbook: Logbook, *, reason: str | None = None, **typed: t.Typed) -> None:
    """Correct measures of the present form: they were wrong, she was always so.

    What is given is no longer assumed, a length of waterline left blank is assumed again, and what
    is still assumed follows the rest.  Zones are drawn anew only where her parts change.  Places
    given by tape keep their metres, others their shares of the skin.
    """
    with logbook.change("particulars.correct", reason=reason, fields=sorted(typed)) as book:
        version = queries.form_version(book)
        if version is None or not version.particulars:
            raise Refused("no_vessel")
        before = Particulars.from_json(version.particulars)
        values = t.read(book, PARTICULARS, typed)
        assumed = [field for field in version.assumed if values.get(field) is None]
        assumed += [field for field in ("lwl",) if field in values and values[field] is None]
        assumed = list(dict.fromkeys(assumed))
        form = corrected(before, values, assumed, _vessel(book).material)
        version.particulars = _stored(form, version.particulars, values)
        version.assumed = assumed
        for field in KEPT_AS_TYPED:
            if field in values:
                setattr(version, field, values[field])
        _kind_follows(book, values)
        placing.follow(book, _redraw(book, version, before, form, None))


def enter_particulars(
    logbook: Logbook,
    *,
    keel: str,
    length: t.Amount,
    beam: t.Amount,
    draught: t.Amount,
    reason: str | None = None,
) -> None:
    """Give a boat that her owner draws a form after all; she was always so.

    All else is assumed by type, as in ``create_vessel``.  Zones of her form come first in walking
    order; those drawn by hand stay as they are, and follow.
    """
    answers = {"keel": keel, "length": length, "beam": beam, "draught": draught}
    with logbook.change("particulars.enter", reason=reason, fields=sorted(answers)) as book:
        vessel, version = _vessel(book), queries.form_version(book)
        if version is None:
            raise Refused("no_vessel")
        if version.particulars:
            raise Refused("particulars_there_already")
        values = t.read(book, PARTICULARS, {"kind": vessel.kind, **answers})
        form, assumed = _assumed(values, vessel.material)
        version.particulars = _stored(form, {}, values)
        version.assumed = assumed
        for field in KEPT_AS_TYPED:
            setattr(version, field, values.get(field))
        by_hand = [zone for zone, _ in queries.zones_at(book)]
        outlines = default_zones(HullForm.build(form))
        _new_zones(book, version, outlines, from_visit_id=None)
        for n, zone in enumerate(by_hand, len(outlines) + 1):
            zone.walk_order = n


def convert(
    logbook: Logbook,
    *,
    begins: t.When,
    from_visit_id: str | None = None,
    reason: str | None = None,
    **typed: t.Typed,
) -> str:
    """Begin a new form at a date: a new keel, a new rudder.  Older visits keep the older one."""
    with logbook.change("particulars.convert", reason=reason, fields=sorted(typed)) as book:
        version = queries.form_version(book)
        if version is None or not version.particulars:
            raise Refused("no_vessel")
        before = Particulars.from_json(version.particulars)
        values = t.read(book, PARTICULARS, typed)
        form = _checked(before, values)
        when = t.read(book, {"begins": t.date(wanted=True)}, {"begins": begins})
        if from_visit_id:
            t.needed(book, Visit, from_visit_id, "from_visit_id")
        as_typed = {field: typed_measure(version, field) for field in MEASURES} | values
        assumed = [field for field in version.assumed if values.get(field) is None]
        made = _new_form(book, form, assumed, as_typed, number=version.number + 1, **when)
        _kind_follows(book, values)
        _redraw(book, made, before, form, from_visit_id)
    return made.id


def corrected(
    before: Particulars, values: Mapping[str, Any], assumed: Sequence[str], material: str
) -> Particulars:
    """Return particulars with other values, what is ``assumed`` by type following them.

    ``values`` are as read by PARTICULARS.  Raises Refused ``measure_low`` or ``measure_high``.
    """
    known = {**before.to_json(), **_plain(values)}
    six = (known[name] for name in ("kind", "keel", "length", "beam", "draught"))
    kind, keel, length, beam, draught = six
    try:
        told = {end: known[end] for end in _LEADING if end not in assumed}
        guess = assume(kind, material, keel, length, beam, draught, **told)[0].to_json()
        follow = {field: guess[field] for field in assumed}
        cleared = {field for field, value in values.items() if value is None}
        kept = {field: value for field, value in known.items() if field not in cleared}
        return Particulars.from_json({**kept, **follow})
    except ParticularsError as problem:
        raise _refused(problem) from problem


def _checked(before: Particulars, values: Mapping[str, Any]) -> Particulars:
    try:
        return _with(before, values)
    except ParticularsError as problem:
        raise _refused(problem) from problem


def _kind_follows(book: Book, values: Mapping[str, Any]) -> None:
    if values.get("kind"):
        _vessel(book).kind = values["kind"]


def _redraw(
    book: Book,
    version: FormVersion,
    before: Particulars,
    after: Particulars,
    from_visit_id: str | None,
) -> HullForm:
    old, new = HullForm.build(before), HullForm.build(after)
    if old.parts != new.parts or before.kind != after.kind:
        _new_zones(book, version, default_zones(new), from_visit_id=from_visit_id)
    return new


def rename_zone(logbook: Logbook, zone_id: str, name: str) -> None:
    """Give a zone another name; its code stays."""
    change_fields(logbook, "zone.rename", Zone, zone_id, {"name": t.name()}, {"name": name})


AREA_FACTOR: t.Fields = {"factor": t.amount("1", low=0.5, high=2), "reason": t.text()}


def correct_areas(logbook: Logbook, *, factor: t.Amount | None, reason: str | None) -> None:
    """Correct the areas that antifouling covers by a factor; blank lets them stand as drawn.

    Raises Refused ``text_wanted`` without a reason.
    """
    if not reason or not reason.strip():
        raise Refused("text_wanted", field="reason")
    with logbook.change("areas.correct", reason=reason) as book:
        found = t.read(book, AREA_FACTOR, {"factor": factor, "reason": reason})
        value = {
            "factor": found["factor"].text if found["factor"] else None,
            "reason": found["reason"],
        }
        held = book.scalars(select(Setting).where(Setting.name == choices.AREAS)).first()
        if held is None:
            make(book, Setting, {"name": choices.AREAS, "value": value})
        else:
            held.value = value


FORMER_NAME: t.Fields = {"name": t.name(), "until": t.date(future=False), "basis": t.BASIS}
REGISTRATION: t.Fields = {"register": t.name(), "number": t.name(), "begins": t.date()}


def add_former_name(
    logbook: Logbook, *, name: str, until: t.When | None = None, basis: str = "at_the_time"
) -> str:
    """Enter a name she bore before."""
    with logbook.change("former_name.add", name=name) as book:
        typed = {"name": name, "until": until, "basis": basis}
        return make(book, FormerName, t.read(book, FORMER_NAME, typed))


def change_former_name(logbook: Logbook, key: str, **typed: t.Typed) -> None:
    """Change fields of FORMER_NAME."""
    change_fields(logbook, "former_name.set", FormerName, key, FORMER_NAME, typed)


def add_registration(
    logbook: Logbook, *, register: str, number: str, begins: t.When | None = None
) -> str:
    """Enter a number under which she is registered."""
    with logbook.change("registration.add", register=register, number=number) as book:
        typed = {"register": register, "number": number, "begins": begins}
        return make(book, Registration, t.read(book, REGISTRATION, typed))


def change_registration(logbook: Logbook, key: str, **typed: t.Typed) -> None:
    """Change fields of REGISTRATION."""
    change_fields(logbook, "registration.set", Registration, key, REGISTRATION, typed)

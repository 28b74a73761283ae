"""What of the yard sheet is on record already, written as it would be typed into its rows."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from hulllog.insight import walking
from hulllog.insight.bearing import bore
from hulllog.insight.condition import figures_of
from hulllog.insight.shape import built
from hulllog.insight.yard import bench
from hulllog.insight.yardsheet import CLEAR, CONTACT_KEYS, EYE_KEYS, HIDDEN_KEYS, SEEN_KEYS, UNSEEN
from hulllog.records.model import FindingObservation, GearCheck, MeasurementSet, StageTime
from hulllog.records.operations import queries

if TYPE_CHECKING:
    from hulllog.insight.walking import Seen
    from hulllog.insight.yardsheet import Box, Row, Sheet
    from hulllog.records.book import Book
    from hulllog.records.model import Visit
    from hulllog.records.values import Measured


@dataclass(frozen=True, slots=True)
class Entered:
    """What stands in a row, and the look that an answer given again takes the place of."""

    text: str
    inspection_id: str | None = None


def entered(book: Book, sheet: Sheet) -> dict[int, Entered]:
    """Return row number -> what the open haul-out has of it; rows without anything are left out."""
    if sheet.visit is None:
        return {}
    visit_id = sheet.visit.id
    looks = {
        state: walking.looks_of(book, visit_id, state) for state in ("found", "during", "left")
    }
    plain = {
        **_stages(book, visit_id), **_fields(sheet), **_anodes(book, visit_id),
        **_hows(book, sheet), **_gear(book, sheet), **_findings(book, visit_id),
        **_bore(book, sheet.visit),
    }  # fmt: skip
    found: dict[int, Entered] = {}
    for row in sheet.rows:
        if row.sort in ("zone", "reading"):
            look = _look(row, looks[row.state].get(row.subject_id, ()))
            if look is not None:
                found[row.number] = Entered(_zone(row, look), look.inspection_id)
        elif text := plain.get((row.sort, row.subject_id)):
            found[row.number] = Entered(text)
    return found


Plain = dict[tuple[str, str], str]


def _stages(book: Book, visit_id: str) -> Plain:
    times = queries.kept(book, StageTime, StageTime.visit_id == visit_id)
    return {("stage", one.stage): one.at.text for one in times if one.at}


def _fields(sheet: Sheet) -> Plain:
    held = {
        row.subject_id: getattr(sheet.visit, row.subject_id)
        for row in sheet.rows
        if row.sort == "visit"
    }
    return {("visit", name): _measured(value) for name, value in held.items() if value is not None}


def _anodes(book: Book, visit_id: str) -> Plain:
    found = {}
    for row in bench(book, visit_id):
        seen = row.check
        if seen is None and row.renewed is None:
            continue
        mass = _measured(seen.mass).replace(" ", "") if seen and seen.mass else "-"
        eye = EYE_KEYS.get(seen.left or "", "-") if seen else "-"
        contact = CONTACT_KEYS.get(seen.contact or "", "-") if seen else "-"
        fitted = row.renewed
        new = "-"
        if fitted is not None and not isinstance(fitted, bool):
            new = _measured(fitted).replace(" ", "")
        parts = [mass, eye, contact, "n" if fitted is None else "y", new]
        found["anode", row.position_id] = _trimmed(parts)
    return found


def _gear(book: Book, sheet: Sheet) -> Plain:
    """Return what the rows of fittings hold: words alone, or all boxes with a mark between."""
    found: Plain = {}
    assert sheet.visit is not None
    checks = queries.kept(book, GearCheck, GearCheck.visit_id == sheet.visit.id)
    rows = {row.subject_id: row for row in sheet.rows if row.sort == "gear"}
    for look in checks:
        row = rows.get(look.gear_id)
        if row is not None:
            told = [_of_fitting(look, box) for box in row.boxes]
            words = told[-1] if not any(told[:-1]) else "; ".join(one or "-" for one in told)
            found["gear", look.gear_id] = words.removesuffix("; -")
    return found


def _of_fitting(look: GearCheck, box: Box) -> str:
    if box.field in ("result", "text"):
        value = getattr(look, box.field) or ""
        return (box.letters or {}).get(value, value)
    for made in look.sets:
        figure = figures_of(made).get(box.field) if made.kind == box.kind else None
        if figure is None and not box.kind:
            figure = made.conditions.get(box.field)
        if figure is not None:
            said = figure if isinstance(figure, str) else f"{figure:.12g}"
            return (box.letters or {}).get(said, said)
    return ""


def _hows(book: Book, sheet: Sheet) -> Plain:
    """Return how readings were taken, from the newest set of the kind in the state of a row."""
    found: Plain = {}
    assert sheet.visit is not None
    sets = queries.kept(book, MeasurementSet, MeasurementSet.visit_id == sheet.visit.id)
    for row in sheet.rows:
        if row.sort != "how":
            continue
        state = "during" if row.subject_id == "second_sweep" else row.state
        newest = next(
            (s for s in reversed(sets) if (s.kind, s.state) == (row.subject, state)), None
        )
        told = newest.conditions if newest is not None else {}
        parts = [told.get(box.field) for box in row.boxes]
        said = [
            one if isinstance(one, str) else f"{one:g}" if one is not None else "" for one in parts
        ]
        given = [(b.letters or {}).get(v, v) or "-" for b, v in zip(row.boxes, said, strict=True)]
        if any(said):
            found["how", row.subject_id] = "; ".join(given)
    return found


def _findings(book: Book, visit_id: str) -> Plain:
    seen = queries.kept(book, FindingObservation, FindingObservation.visit_id == visit_id)
    return {("finding", one.finding_id): SEEN_KEYS[one.seen] for one in seen}


def _bore(book: Book, visit: Visit) -> Plain:
    form = queries.form_version(book, visit.begins)
    if form is None:
        return {}
    found = bore(book, built(form.particulars), visit.id)
    return {
        ("bore", row): " ".join(f"{round(one, 2):.12g}" for one in metres)
        for row, metres in found.items()
    }


def _look(row: Row, looks: tuple[Seen, ...]) -> Seen | None:
    """Return the newest look that looked for any of what a row asks."""
    wanted = set(row.looked_for)
    fitting = [look for look in looks if wanted & {*look.looked_for, *look.figures}]
    return fitting[-1] if fitting else None


def _zone(row: Row, look: Seen) -> str:
    if look.coverage == "not_seen":
        return HIDDEN_KEYS.get(look.hidden_by or "", HIDDEN_KEYS["other"])
    parts = []
    for box in row.boxes:
        if box.field == CLEAR and look.result == "nothing_found":
            return "0"
        if box.field in (CLEAR, UNSEEN):
            continue
        figure = look.figures.get(box.kind, {}).get(box.field)
        if figure is not None:
            parts.append(figure if isinstance(figure, str) else f"{figure:.12g}")
        else:
            none = look.result == "nothing_found" and box.kind in look.looked_for
            parts.append("0" if none else "-")
    return _trimmed(parts)


def _trimmed(parts: list[str]) -> str:
    while parts and parts[-1] == "-":
        parts.pop()
    return " ".join(parts)


def _measured(value: Measured) -> str:
    return f"{value.text} {value.unit}"

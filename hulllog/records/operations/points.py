"""Measuring points: laid as a grid on zones, and read along it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from sqlalchemy import select

from hulllog.hull.form import HullForm
from hulllog.hull.particulars import Particulars
from hulllog.hull.pointgrid import MOST, laid
from hulllog.hull.zones import ZoneOutline
from hulllog.records.errors import Refused
from hulllog.records.model import MeasurementSet, MeasuringPoint, Visit
from hulllog.records.operations import choices, queries
from hulllog.records.operations import typed as t
from hulllog.records.operations.measuring import Rated, known_kind, new_set
from hulllog.records.types import canonical_json
from hulllog.records.values import Where

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from hulllog.hull.patches import Place
    from hulllog.records.book import Book
    from hulllog.records.logbook import Logbook
    from hulllog.trade.kinds import Component, Kind

GRID: t.Fields = {
    "bands": t.whole(1, MOST, wanted=True),
    "frames": t.whole(1, MOST, wanted=True),
    "original_source": t.name(wanted=False),
}


def read_at_points(kind: Kind) -> Component | None:
    """Return the figure of a kind that is read at a measuring point; None where none is."""
    figures = [part for part in kind.components if part.sort == "number" and not part.optional]
    return figures[0] if "measuring_point" in kind.subjects and len(figures) == 1 else None


def _figure(kind_id: str) -> Component:
    part = read_at_points(known_kind(kind_id))
    if part is None:
        raise Refused("unknown_kind", field="kind", typed=kind_id)
    return part


def original(kind_id: str) -> t.Fields:
    """Return the field of an original value of a kind: 5 mm of plate as built."""
    part = _figure(kind_id)
    return {"original": t.amount(part.unit or "1", low=part.low, high=part.high)}


def grid_places(book: Book, zone_id: str, bands: int, frames: int) -> list[list[Place]]:
    """Return where the points of a grid on a zone would stand; nothing is stored."""
    for zone, version in queries.zones_at(book):
        if zone.id == zone_id:
            form = queries.form_version(book)
            assert form is not None
            built = HullForm.build(Particulars.from_json(form.particulars))
            return laid(built, ZoneOutline.from_json(version.outline), bands, frames)
    raise Refused("no_such_record", field="zones")


def lay_points(
    logbook: Logbook,
    zone_ids: Sequence[str],
    *,
    kind: str,
    bands: t.Typed,
    frames: t.Typed,
    original_value: t.Typed = None,
    original_source: str | None = None,
) -> list[str]:
    """Lay a grid of measuring points on zones as one entry, their numbers in order.

    On each zone band by band from its lower edge, each from forward aft.  Returns their keys.
    """
    with logbook.change("points.lay", rated=kind) as book:
        if not zone_ids:
            raise Refused("choice_wanted", field="zones")
        typed = {"bands": bands, "frames": frames, "original_source": original_source}
        told = t.read(book, GRID, typed)
        value = t.read(book, original(kind), {"original": original_value})["original"]
        number = queries.next_number(book, MeasuringPoint)
        made: list[MeasuringPoint] = []
        for zone_id in zone_ids:
            rows = grid_places(book, zone_id, told["bands"], told["frames"])
            for band, row in enumerate(rows):
                for frame, place in enumerate(row):
                    given = {"by": "grid", "zone": zone_id, "band": band, "frame": frame}
                    made.append(
                        MeasuringPoint(
                            number=number + len(made),
                            kind=kind,
                            place=Where(
                                place.part, place.face, place.u, place.v, canonical_json(given)
                            ),
                            original=value,
                            original_source=told["original_source"],
                        )
                    )
        book.add_all(made)
        book.flush()
        return [point.id for point in made]


def read_points(
    logbook: Logbook,
    visit_id: str,
    kind: str,
    figures: Mapping[str, t.Typed],
    *,
    state: str = "found",
    conditions: Mapping[str, Any] | None = None,
    reason: str | None = None,
) -> int:
    """Enter what was read at points at a visit, as one entry; blank ones are left out.

    ``figures`` are by the key of the point, refused under ``point.<key>``.  A figure for a point
    that was read there already takes the place of that one, which is withdrawn.  Returns how many.
    """
    part, given = _figure(kind), {key: one for key, one in figures.items() if one not in (None, "")}
    with logbook.change("points.read", reason=reason, rated=kind) as book:
        visit = t.needed(book, Visit, visit_id, "visit")
        t.read(book, {"state": t.one_of(choices.STATES, wanted=True)}, {"state": state})
        if not given:
            raise Refused("number_wanted", field=f"point.{next(iter(figures), '')}")
        for key, figure in given.items():
            point = t.needed(book, MeasuringPoint, key)
            _withdraw(book, key, visit_id, state)
            rated = Rated(kind, {part.code: figure}, conditions or {})
            try:
                new_set(book, rated, state=state, visit=visit, point=point)
            except Refused as problem:
                if not problem.field.startswith("figures."):
                    raise
                field = f"point.{key}"
                raise Refused(problem.code, field=field, **problem.values) from problem
    return len(given)


def _withdraw(book: Book, point_id: str, visit_id: str, state: str) -> None:
    kept = select(MeasurementSet).where(
        MeasurementSet.measuring_point_id == point_id,
        MeasurementSet.visit_id == visit_id,
        MeasurementSet.state == state,
        MeasurementSet.withdrawn.is_(False),
    )
    for held in book.scalars(kept):
        held.withdrawn = True

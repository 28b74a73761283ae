"""Own views: a drawing or photograph of the owner's as a view, its scale, zones drawn on it."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

from sqlalchemy import select

from hulllog.hull import handdrawn
from hulllog.hull import particulars as hull
from hulllog.records.errors import Refused
from hulllog.records.model import (
    FormVersion,
    OwnOutline,
    OwnView,
    Setting,
    Vessel,
    Zone,
    ZoneVersion,
)
from hulllog.records.operations import queries
from hulllog.records.operations import typed as t
from hulllog.records.operations.keeping import change_fields, make, name_of
from hulllog.records.operations.vessel import ABOUT, LENGTH_UNITS

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hulllog.records.book import Book
    from hulllog.records.logbook import Logbook

SHOWS = ("port", "starboard", "bottom", "stern", "other")
FACTORS = "own_view_factors"
"""Setting: key of a view -> how many times the skin is as large as it is drawn, as typed."""
FACTOR_BOUNDS = (1.0, 3.0)
"""Between these a factor is taken; our own rule."""
MOST_CORNERS = 200
_NEAREST = 0.002
"""Share of the width and height by which marks and corners must lie apart."""

VIEW: t.Fields = {
    "name": t.name(),
    "shows": t.one_of(SHOWS, wanted=True),
    "sha256": t.text(64),
    "media_type": t.name(),
    "size": t.whole(0, 2**53),
    "width": t.whole(1, 1_000_000),
    "height": t.whole(1, 1_000_000),
    "file_name": t.text(255),
}
SCALE: t.Fields = {
    "scale_length": t.amount(*LENGTH_UNITS, low=0.05, high=60, wanted=True),
}
ZONE: t.Fields = {"name": t.name()}


def create_vessel_without_form(
    logbook: Logbook, *, name: str, kind: str, material: str, sample: bool = False
) -> str:
    """Enter a boat that is drawn by her owner: no particulars, no form, and no zones yet."""
    with logbook.change("vessel.create", name=name) as book:
        if queries.vessel(book):
            raise Refused("vessel_there_already")
        about = t.read(book, ABOUT, {"name": name, "material": material})
        sort = t.read(book, {"kind": t.one_of(hull.KINDS, wanted=True)}, {"kind": kind})
        made = make(book, Vessel, {**about, **sort, "sample": sample})
        _form_for(book)
    return made


def _form_for(book: Book) -> FormVersion:
    """Return the form that zones are drawn for; where she has none, one without particulars."""
    found = queries.form_version(book)
    if found is None:
        found = FormVersion(number=1, particulars={}, assumed=[])
        book.add(found)
        book.flush()
    return found


# Views


def enter_own_view(logbook: Logbook, *, name: str, shows: str, **file: t.Typed) -> str:
    """Enter a picture whose file lies in its place already; ``media.add_own_view`` puts it there.

    ``file`` holds the remaining fields of VIEW.
    """
    with logbook.change("own_view.add", name=name) as book:
        values = t.read(book, VIEW, {"name": name, "shows": shows, **file})
        return make(book, OwnView, {**values, "scale_marks": []})


def set_own_view(logbook: Logbook, view_id: str, **typed: t.Typed) -> None:
    """Change the name of a view, or say that it shows something else."""
    fields = {name: VIEW[name] for name in ("name", "shows")}
    change_fields(logbook, "own_view.set", OwnView, view_id, fields, typed)


def set_scale(
    logbook: Logbook, view_id: str, marks: Sequence[Sequence[float]], length: t.Amount
) -> None:
    """Set the scale of a view by two marks, in shares of width and height, and their distance."""
    with logbook.change("own_view.scale", name=name_of(logbook, OwnView, view_id)) as book:
        view = t.needed(book, OwnView, view_id, "own_view")
        points = _points(marks, "scale_marks")
        if len(points) != 2 or math.dist(*points) < _NEAREST:
            raise Refused("own_marks_close", field="scale_marks")
        values = t.read(book, SCALE, {"scale_length": length})
        view.scale_marks = [list(point) for point in points]
        view.scale_length = values["scale_length"]


def set_factor(logbook: Logbook, view_id: str, factor: t.Typed) -> None:
    """Say how many times the skin is as large as a view draws it; None takes that back."""
    low, high = FACTOR_BOUNDS
    with logbook.change("own_view.factor", name=name_of(logbook, OwnView, view_id)) as book:
        t.needed(book, OwnView, view_id, "own_view")
        reader = {"factor": t.amount("1", low=low, high=high)}
        read = t.read(book, reader, {"factor": factor})["factor"]
        setting = next(iter(queries.kept(book, Setting, Setting.name == FACTORS)), None)
        known = dict(setting.value) if setting else {}
        known.pop(view_id, None)
        if read is not None:
            known[view_id] = read.text
        if setting is None:
            book.add(Setting(name=FACTORS, value=known))
        else:
            setting.value = known


def withdraw_own_view(logbook: Logbook, view_id: str) -> None:
    """Hide a view and what was drawn on it; the file stays, and so do looks at her zones.

    A zone that is drawn nowhere else goes with it from what is still to be walked.
    """
    with logbook.change("own_view.withdraw", name=name_of(logbook, OwnView, view_id)) as book:
        view = t.needed(book, OwnView, view_id, "own_view")
        if view.withdrawn:
            raise Refused("withdrawn_already")
        view.withdrawn = True
        for outline in queries.kept(book, OwnOutline, OwnOutline.own_view_id == view_id):
            _hide(book, outline)


# Outlines


def draw_zone(
    logbook: Logbook,
    view_id: str,
    points: Sequence[Sequence[float]],
    *,
    name: str | None = None,
    below: bool = True,
    zone_id: str | None = None,
) -> str:
    """Draw a zone on a view and return the key of its outline.

    With ``zone_id`` it is the outline of a zone that is there; else a new zone of that ``name``,
    ``below`` the waterline or above it, which only own views show.
    """
    about = name or name_of(logbook, Zone, zone_id, "zone_id")
    with logbook.change("own_outline.add", name=about) as book:
        view = t.needed(book, OwnView, view_id, "own_view")
        corners = outline_of(points, view.width, view.height)
        version = _version(book, zone_id) if zone_id else _new_zone(book, name, below=below)
        for drawn in queries.kept(
            book,
            OwnOutline,
            OwnOutline.own_view_id == view_id,
            OwnOutline.zone_version_id == version.id,
        ):
            drawn.withdrawn = True
        values = {"own_view_id": view.id, "zone_version_id": version.id, "points": corners}
        return make(book, OwnOutline, values)


def move_corners(logbook: Logbook, outline_id: str, points: Sequence[Sequence[float]]) -> None:
    """Give an outline other corners."""
    with logbook.read() as book:
        drawn = t.needed(book, OwnOutline, outline_id, "own_outline")
        about = _zone_of(book, drawn).name
    with logbook.change("own_outline.move", name=about) as book:
        drawn = t.needed(book, OwnOutline, outline_id)
        view = t.needed(book, OwnView, drawn.own_view_id)
        drawn.points = outline_of(points, view.width, view.height)


def withdraw_outline(logbook: Logbook, outline_id: str) -> None:
    """Hide an outline; a zone of its own that is drawn nowhere else is hidden with it."""
    with logbook.read() as book:
        about = _zone_of(book, t.needed(book, OwnOutline, outline_id, "own_outline")).name
    with logbook.change("own_outline.withdraw", name=about) as book:
        _hide(book, t.needed(book, OwnOutline, outline_id))


def outline_of(points: Sequence[Sequence[float]], width: int, height: int) -> list[list[float]]:
    """Return a closed outline as it is kept; Refused says in one sentence why it is none."""
    corners = _points(points, "points")
    if len(corners) < 3:
        raise Refused("own_too_few_corners", field="points")
    if len(corners) > MOST_CORNERS:
        raise Refused("own_too_many_corners", field="points", most=MOST_CORNERS)
    if handdrawn.crosses_itself(handdrawn.in_pixels(corners, width, height)):
        raise Refused("own_crosses_itself", field="points")
    return [list(point) for point in corners]


def _points(points: Sequence[Sequence[float]], field: str) -> list[tuple[float, float]]:
    """Read points in shares; one that lies on the point before it is left out."""
    found: list[tuple[float, float]] = []
    for u, v in points:
        point = float(u), float(v)
        if not (0 <= point[0] <= 1 and 0 <= point[1] <= 1):
            raise Refused("place_outside", field=field)
        if not found or point != found[-1]:
            found.append(point)
    if len(found) > 1 and found[0] == found[-1]:
        found.pop()
    return found


def _version(book: Book, zone_id: str) -> ZoneVersion:
    for zone, version in queries.zones_at(book):
        if zone.id == zone_id:
            return version
    raise Refused("no_such_record", field="zone_id")


def _new_zone(book: Book, name: str | None, *, below: bool) -> ZoneVersion:
    """Make a zone that the form has not; its stored outline has no piece of any part."""
    values: dict[str, Any] = t.read(book, ZONE, {"name": name})
    number = 1 + sum(handdrawn.is_own(code) for code in book.scalars(select(Zone.code)))
    last = max((zone.walk_order for zone in queries.kept(book, Zone)), default=0)
    code = handdrawn.code_of(number, below=below)
    zone = Zone(code=code, walk_order=last + 1, **values)
    book.add(zone)
    book.flush()
    version = ZoneVersion(
        zone_id=zone.id,
        form_version_id=_form_for(book).id,
        from_visit_id=None,
        number=1,
        outline={"code": code, "pieces": []},
    )
    book.add(version)
    book.flush()
    return version


def _zone_of(book: Book, drawn: OwnOutline) -> Zone:
    return t.needed(book, Zone, t.needed(book, ZoneVersion, drawn.zone_version_id).zone_id)


def _hide(book: Book, drawn: OwnOutline) -> None:
    """Withdraw an outline, and its zone where nothing else shows it."""
    if drawn.withdrawn:
        raise Refused("withdrawn_already")
    drawn.withdrawn = True
    book.flush()
    zone = _zone_of(book, drawn)
    if handdrawn.is_own(zone.code) and not any(
        _zone_of(book, other).id == zone.id for other in queries.kept(book, OwnOutline)
    ):
        zone.withdrawn = True

"""Zones cut in two and joined: from which visit on, what is undone, what is refused."""

from __future__ import annotations

import pytest

from hulllog.hull import zones as shapes
from hulllog.hull.form import HullForm
from hulllog.hull.particulars import Particulars
from hulllog.hull.zones import ZoneOutline
from hulllog.records.operations import looks, queries, redrawing, visits

AFT, MIDDLE = "bottom-aft-port", "bottom-middle-port"


def drawn(boat, visit=None):
    """Return code -> outline as drawn at a visit, the newest for None."""
    with boat.logbook.read() as book:
        return {
            zone.code: ZoneOutline.from_json(version.outline)
            for zone, version in queries.zones_at(book, visit)
        }


def total(boat, outlines):
    with boat.logbook.read() as book:
        stored = queries.form_version(book).particulars
    form = HullForm.build(Particulars.from_json(stored))
    return sum(shapes.area(form, one) for one in outlines.values()) / shapes.whole_area(form)


def cut(boat, code=AFT, **more):
    typed = {"way": "across", "share": "30 %", "name": "Aft, port", "other_name": "Run, port"}
    return redrawing.split_zone(boat.logbook, boat.zones[code], **{**typed, **more})


def closed_and_next(boat):
    visits.close(boat.logbook, boat.visit)
    return visits.start_haul_out(boat.logbook, begins="2025-05-20", time_zone="Europe/Lisbon")


def test_a_zone_is_cut_from_the_open_visit_on(boat):
    before = drawn(boat)
    cut(boat)
    now = drawn(boat, boat.visit)
    assert set(now) == {*before, f"{AFT}-2"}
    assert list(now).index(f"{AFT}-2") == list(now).index(AFT) + 1
    assert now[AFT].pieces[0].u1 == now[f"{AFT}-2"].pieces[0].u0
    assert total(boat, now) == pytest.approx(1, rel=1e-3)
    assert now == drawn(boat)


def test_a_visit_that_saw_the_zone_keeps_it_whole(boat):
    before = drawn(boat)
    looks.log_inspection(
        boat.logbook, boat.visit, boat.zones[AFT], coverage="whole", result="nothing_found",
        looked_for=["laminate-blisters"],
    )  # fmt: skip
    cut(boat)
    assert drawn(boat, boat.visit) == before
    assert f"{AFT}-2" in drawn(boat)
    following = closed_and_next(boat)
    assert f"{AFT}-2" in drawn(boat, following)
    assert drawn(boat, boat.visit) == before


def test_between_visits_the_cut_holds_from_the_next_one_on(boat):
    before = drawn(boat)
    visits.close(boat.logbook, boat.visit)
    cut(boat)
    following = visits.start_haul_out(boat.logbook, begins="2025-05-20", time_zone="Europe/Lisbon")
    assert drawn(boat, boat.visit) == before
    assert drawn(boat, following) == drawn(boat)
    assert f"{AFT}-2" in drawn(boat, following)


def test_joined_zones_are_one_and_older_visits_keep_both(boat):
    visits.close(boat.logbook, boat.visit)
    redrawing.join_zones(boat.logbook, boat.zones[AFT], boat.zones[MIDDLE], name="After body, port")
    now, before = drawn(boat), drawn(boat, boat.visit)
    assert {AFT, MIDDLE} <= set(before)
    assert MIDDLE not in now
    assert [(piece.u0, piece.u1) for piece in now[AFT].pieces] == [(0.34, 1.0)]
    assert total(boat, now) == pytest.approx(1, rel=1e-3)


def test_a_cut_and_a_join_are_undone_whole(boat):
    before, entries = drawn(boat), boat.entries
    other = cut(boat)
    redrawing.join_zones(boat.logbook, boat.zones[AFT], other, name="Aft")
    assert boat.entries == entries + 2
    assert drawn(boat)[AFT] == before[AFT]
    boat.logbook.undo()
    boat.logbook.undo()
    assert drawn(boat) == before
    with boat.logbook.read() as book:
        names = {zone.code: zone.name for zone, _ in queries.zones_at(book)}
    assert names[AFT] == "Bottom aft, port"


def test_a_sole_stays_a_sole_and_codes_are_never_given_twice(boat):
    cut(boat, "keel-port-under", way="along")
    assert "keel-port-2-under" in drawn(boat)
    boat.zones["second"] = cut(boat)
    redrawing.join_zones(boat.logbook, boat.zones[AFT], boat.zones["second"], name="Aft")
    cut(boat)
    assert f"{AFT}-3" in drawn(boat)


@pytest.mark.parametrize(
    ("code", "field", "more"),
    [
        ("cut_nothing", "share", {"share": "100 %"}),
        ("cut_nothing", "share", {"share": ""}),
        ("unknown_choice", "way", {"way": "faces"}),
        ("text_wanted", "other_name", {"other_name": " "}),
    ],
)
def test_a_cut_that_cannot_be_is_refused(boat, refuses, code, field, more):
    typed = {"way": "across", "share": "50 %", "name": "Aft", "other_name": "Run", **more}
    refuses(code, field, redrawing.split_zone, boat.zones[AFT], **typed)


def test_zones_that_paint_tells_apart_are_not_joined(boat, refuses):
    for other in ("topsides-port", "keel-port-under"):
        refuses(
            "join_unlike", "other_id", redrawing.join_zones, boat.zones[AFT], boat.zones[other],
            name="Side",
        )  # fmt: skip
    refuses(
        "choice_wanted", "other_id", redrawing.join_zones, boat.zones[AFT], boat.zones[AFT],
        name="Aft",
    )  # fmt: skip

"""Measuring points laid as a grid, and read along it."""

from __future__ import annotations

import pytest

from hulllog.hull import zones as shapes
from hulllog.hull.form import HullForm
from hulllog.hull.particulars import Particulars
from hulllog.hull.patches import Place
from hulllog.hull.zones import ZoneOutline
from hulllog.records.model import MeasurementSet, MeasuringPoint
from hulllog.records.operations import points, queries

KIND = "plate-thickness"


def lay(boat, *codes, **more):
    typed = {"kind": KIND, "bands": "2", "frames": "3", **more}
    zones = [boat.zones[code] for code in codes or ("bottom-aft-port",)]
    return points.lay_points(boat.logbook, zones, **typed)


def test_a_grid_is_laid_as_one_entry_with_its_numbers_in_order(boat):
    entries = boat.entries
    keys = lay(
        boat, "bottom-aft-port", "bottom-aft-starboard", original_value="6 mm",
        original_source="builder's drawing",
    )  # fmt: skip
    assert boat.entries == entries + 1
    made = [boat.get(MeasuringPoint, key) for key in keys]
    assert [point.number for point in made] == list(range(1, 13))
    assert {point.original.text for point in made} == {"6"}
    assert {point.original_source for point in made} == {"builder's drawing"}
    assert [point.place.how["frame"] for point in made[:6]] == [0, 1, 2, 0, 1, 2]
    assert made[0].place.u < made[1].place.u < made[2].place.u
    assert made[0].place.v < made[3].place.v
    assert lay(boat, "transom")
    assert boat.all(MeasuringPoint)[-1].number == 18
    boat.logbook.undo()
    boat.logbook.undo()
    assert boat.all(MeasuringPoint) == []


@pytest.mark.parametrize("code", ["bottom-aft-port", "topsides-port", "transom", "rudder"])
def test_every_point_of_a_grid_lies_in_its_zone(boat, code):
    keys = lay(boat, code, bands="4", frames="5")
    with boat.logbook.read() as book:
        form = HullForm.build(Particulars.from_json(queries.form_version(book).particulars))
        drawn = [ZoneOutline.from_json(version.outline) for _, version in queries.zones_at(book)]
    for key in keys:
        where = boat.get(MeasuringPoint, key).place
        place = Place(where.part, where.face, where.u, where.v)
        assert shapes.zone_at(form, place, drawn) == code


@pytest.mark.parametrize(
    ("code", "field", "more"),
    [
        ("number_high", "bands", {"bands": "21"}),
        ("number_wanted", "frames", {"frames": ""}),
        ("unknown_kind", "kind", {"kind": "laminate-blisters"}),
        ("number_high", "original", {"original_value": "9000 mm"}),
    ],
)
def test_a_grid_that_cannot_be_is_refused(boat, refuses, code, field, more):
    typed = {"kind": KIND, "bands": "2", "frames": "2", **more}
    refuses(code, field, points.lay_points, [boat.zones["transom"]], **typed)


def test_readings_of_a_grid_are_one_entry_and_blank_ones_are_left_out(boat):
    keys, entries = lay(boat), boat.entries
    figures = {keys[0]: "5.9", keys[1]: ("5.6", "mm"), keys[2]: ""}
    assert points.read_points(boat.logbook, boat.visit, KIND, figures) == 2
    assert boat.entries == entries + 1
    sets = {one.measuring_point_id: one for one in boat.all(MeasurementSet)}
    assert set(sets) == set(keys[:2])
    points.read_points(boat.logbook, boat.visit, KIND, {keys[0]: "5.8"})
    held = [one for one in boat.all(MeasurementSet) if one.measuring_point_id == keys[0]]
    assert len(held) == 1


def test_a_figure_out_of_range_is_refused_at_its_point_and_nothing_is_stored(boat, refuses):
    keys = lay(boat)
    figures = {keys[0]: "5.9", keys[1]: "5900"}
    refuses("number_high", f"point.{keys[1]}", points.read_points, boat.visit, KIND, figures)

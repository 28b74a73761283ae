"""Does it fit, read from the records: sheets, rules that forbid, tides, what fewer coats cost."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from hulllog.insight import fitting
from hulllog.insight.buying import edges_area
from hulllog.insight.fitting import Given, Wanted
from hulllog.records.operations import coatings, vessel
from hulllog.trade.refusal import Refusal
from hulllog.trade.slothours import Day, Grid, HighWater

FINE = Day(18, 14, 50, 8, 18)
"""A day that lets paint dry: 18 and 14 °C, dew point 7.4 °C."""
TIMES = {"touch_dry": "1 h", "overcoat_self": "4 h", "launch": "8 h"}


def sheet(made, product, **times):
    for step, shortest in (TIMES | times).items():
        if shortest:
            coatings.add_window(
                made.logbook, product, step=step, temperature="5", shortest=shortest
            )


def given(**other):
    asked = {
        "sort": "yard", "first": date(2026, 5, 4), "days": (FINE,) * 4, "first_light": 6,
        "last_light": 20, "lift": 8, "back": 96, "drying": 2,
    }  # fmt: skip
    return Given(**(asked | other))


def bottom(made, *paints, zones=("bottom-aft-port",), **other):
    keys = tuple(made.zones[code] for code in zones)
    told = {"abrading": 1} | other
    return Wanted("bottom", keys, paints or (made.paints["red"],) * 2, **told)


def fitted(made, *works, **slot):
    with made.logbook.read() as book:
        return fitting.fit(fitting.ask(book, given(**slot), works))


def when(moment):
    return f"{moment:%d %H:%M}"


def test_zones_are_parted_as_they_are_reached(made):
    with made.logbook.read() as book:
        found = fitting.groups(book)
    named = {key: code for code, key in made.zones.items()}
    assert {named[key] for key in found["under"]} == {
        "keel-port-under", "keel-starboard-under",
    }  # fmt: skip
    assert {named[key] for key in found["line"]} == {"waterline-port", "waterline-starboard"}
    assert "rudder" in {named[key] for key in found["bottom"]}
    assert not any(named[key].startswith("topsides") for keys in found.values() for key in keys)


def test_what_no_sheet_says_is_unknown_and_not_promised(made):
    told = fitted(made, bottom(made))
    assert told.verdict == "unknown"
    assert {one.step for one in told.plan.unknown} == {"touch_dry", "next_coat", "launch"}
    assert dict(told.plan.coats) == {"bottom": 0}
    sheet(made, made.paints["red"], launch="")
    told = fitted(made, bottom(made))
    assert [(one.step, one.number) for one in told.plan.unknown] == [("launch", 2)]
    assert dict(told.plan.coats) == {"bottom": 0}


def test_it_fits_by_the_sheet_on_record(made):
    sheet(made, made.paints["red"])
    told = fitted(made, bottom(made))
    assert told.verdict == "fits"
    tasks = fitting.planned(told)
    assert [task.code for task in tasks] == ["wash", "abrade", "coat", "coat", "launch"]
    # Washed 8-9, dry at 11, two coats of 2 h with 4 h between; launch 8 h later is at night.
    assert when(tasks[2].begins) == "04 11:00"
    assert (when(tasks[3].begins), when(tasks[3].ends)) == ("05 08:00", "05 10:00")
    assert when(tasks[-1].begins) == "06 08:00"
    assert tasks[-1].begins.tzinfo is not None


def test_one_coat_is_told_with_what_it_costs(made):
    sheet(made, made.paints["red"])
    told = fitted(made, bottom(made), back=42)
    assert told.verdict == "part"
    (cost,) = told.costs
    assert (cost.left.value, cost.wanted.value) == (10, 12)
    assert cost.left.source.tag == "common practice"


def test_a_dock_goes_down_at_its_hour(made):
    # Up at 8, down at 8 the next day: one coat.
    sheet(made, made.paints["red"], overcoat_self="10 h")
    told = fitted(made, bottom(made), sort="dock", back=32)
    assert told.plan.launch == 32
    assert dict(told.plan.coats) == {"bottom": 1}


TIDES = (HighWater(6, 5.0), HighWater(18.4, 4.4), HighWater(30.9, 4.9))


def test_a_grid_without_a_later_tide_is_refused(made):
    sheet(made, made.paints["red"])
    for waters, margin in ((TIDES[:2], 0.3), (TIDES, 0.65), (TIDES[:1], 0.3), ((), 0.3)):
        with pytest.raises(Refusal) as refused:
            fitted(made, bottom(made), sort="grid", grid=Grid(waters, 4.3, margin, 2.5, 3))
        assert refused.value.code in {"no_tide_floats_her", "no_tide_to_come_on"}


def test_on_a_grid_a_coat_must_be_ready_for_the_tide(made):
    # On at 6, dry 9 to 15: washed 9-10, a coat 11-12, after abrading; three hours until the tide.
    red = made.paints["red"]
    sheet(made, red, launch="3 h")
    grid = Grid((TIDES[0], TIDES[1]._replace(metres=4.9)), 4.2, 0.3, 2.5, 3)
    work = bottom(made, red, coat_hours=1)
    told = fitted(made, work, sort="grid", grid=grid, drying=0)
    assert (told.plan.launch, dict(told.plan.coats)) == (18, {"bottom": 1})
    assert [round(one.value, 2) for one in told.asked.tides] == [0.5, 0.4]
    told = fitted(made, work, sort="grid", grid=grid._replace(floods_before=4), drying=0)
    assert dict(told.plan.coats) == {"bottom": 0}
    assert told.plan.short[0].why == "launch"


def test_nobody_moves_props_or_hangs_her_on_a_grid(made):
    red = made.paints["red"]
    sheet(made, red, launch="1 h")
    grid = Grid((TIDES[0], TIDES[1]._replace(metres=4.9)), 4.2, 0.3, 2.5, 3)
    for reach in ("pads", "under"):
        work = bottom(made, red, coat_hours=1, reach=reach)
        told = fitted(made, work, sort="grid", grid=grid, drying=0, hanging=6)
        assert told.verdict == "none"
        assert told.plan.short[0].why == "underside"


def test_due_back_before_she_is_out_is_refused(made):
    for lift, back in ((8, 8), (9, 8), (8, 97)):
        with pytest.raises(Refusal, match="slot_upside_down"):
            fitted(made, bottom(made), lift=lift, back=back)


def paint(made, name, coating_class, **other):
    key = coatings.add_product(
        made.logbook, name=name, coating_class=coating_class,
        role=other.pop("role", "antifouling"), **other,
    )  # fmt: skip
    sheet(made, key)
    return key


def test_what_a_rule_forbids_is_never_planned(made):
    # She wears a self-polishing copolymer: a silicone wants it off, a vinyl too.
    silicone = paint(made, "Silkhull", "silicone")
    told = fitted(made, bottom(made, silicone))
    (one,) = told.asked.forbidden
    assert (one.rule, one.firm, one.product) == ("remove", True, "Silkhull")
    assert dict(told.plan.coats) == {"bottom": 0}
    assert told.verdict == "none"
    told = fitted(made, bottom(made, silicone, removing=3))
    assert not told.asked.forbidden
    assert dict(told.plan.coats) == {"bottom": 1}


def test_two_packs_do_not_go_over_one_pack(made):
    primer = paint(made, "Greyground", "epoxy_primer", role="primer")
    told = fitted(made, bottom(made, primer))
    assert [one.rule for one in told.asked.forbidden] == ["two_pack"]
    assert not fitted(made, bottom(made, primer, removing=2)).asked.forbidden


def test_copper_is_not_planned_beside_an_aluminium_drive(made):
    red = paint(made, "Copperwall", "self_polishing_antifouling", biocides=["cuprous_oxide"])
    assert not fitted(made, bottom(made, red)).asked.forbidden
    vessel.correct_particulars(made.logbook, drive="saildrive", reason="looked at")
    assert [one.rule for one in fitted(made, bottom(made, red)).asked.forbidden] == ["copper"]


def test_rows_for_what_goes_over_come_before_those_for_anything(made):
    primer = paint(made, "Greyground", "epoxy_primer", role="primer")
    red = made.paints["red"]
    sheet(made, red)
    work = bottom(made, primer, red, removing=1)
    assert "next_coat" in {one.step for one in fitted(made, work).plan.unknown}
    add = {"step": "overcoat_by", "temperature": "5"}
    coatings.add_window(made.logbook, primer, over="something else", shortest="1 h", **add)
    assert "next_coat" in {one.step for one in fitted(made, work).plan.unknown}
    coatings.add_window(made.logbook, primer, shortest="7 h", **add)
    assert fitted(made, work).asked.areas[0].coats[0].next_coat[0].shortest == pytest.approx(7)
    coatings.add_window(made.logbook, primer, over="Antifouling", shortest="5 h", **add)
    assert fitted(made, work).asked.areas[0].coats[0].next_coat[0].shortest == pytest.approx(5)


def test_the_sheets_that_were_planned_by_are_named(made):
    sheet(made, made.paints["red"])
    assert [name for name, _ in fitted(made, bottom(made)).asked.sheets] == ["Tidewall 40"]


def test_work_without_zones_or_paint_is_left_out(made):
    told = fitted(made, bottom(made, zones=()), replace(bottom(made), paints=()))
    assert told.plan.coats == ()
    assert told.verdict == "fits"


def test_leading_edges_are_a_strip_with_its_litres_where_they_get_more_coats(made):
    sheet(made, made.paints["red"])
    red = (made.paints["red"],)
    line = Wanted("line", (made.zones["waterline-port"],), red * 3, leading=True)
    edges = fitted(made, line, bottom(made, *red * 2)).asked.edges
    assert edges.coats == 1
    # One coat on the strip of both sides: as the sum of what to buy counts the edges.
    with made.logbook.read() as book:
        area = edges_area(book)
    assert edges.area.value == area.value > 0
    three = fitted(made, line).asked.edges
    assert three.coats == 3
    assert three.litres.value == pytest.approx(3 * edges.litres.value)
    assert fitted(made, replace(line, paints=red * 2), bottom(made, *red * 2)).asked.edges is None
    assert fitted(made, bottom(made, *red * 2)).asked.edges is None

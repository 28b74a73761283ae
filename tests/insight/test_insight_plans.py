"""Plans that were kept, read back, and held against what was really done."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest

from hulllog.insight import plans
from hulllog.records.model import Plan
from hulllog.records.operations import anodes, coatings, keeping, visits
from hulllog.records.operations import plans as kept
from hulllog.records.operations.plans import Step

CELLS = {
    "line_coats": "3", "bottom_coats": "2", "pads_coats": "2", "under_first_coats": "1",
    "under_coats": "1",
}  # fmt: skip


def at(day, hour):
    return datetime(2024, 4, day, hour, tzinfo=UTC)


def steps():
    return [
        Step("wash", "", 0, at(15, 8), at(15, 9)),
        Step("coat", "line", 1, at(16, 8), at(16, 9)),
        Step("coat", "line", 2, at(17, 8), at(17, 9)),
        Step("coat", "bottom", 1, at(16, 9), at(16, 12)),
        Step("anodes", "", 0, at(18, 8), at(18, 9)),
        Step("launch", "", 0, at(19, 23), at(20, 0)),
    ]


@pytest.fixture
def zones(made):
    return {
        "line": ["waterline-port", "waterline-starboard"],
        "bottom": ["bottom-aft-port", "rudder"],
        "pads": ["bottom-mid-port"]
        if "bottom-mid-port" in made.zones
        else ["bottom-aft-starboard"],
        "under": ["keel-port-under", "keel-starboard-under"],
    }


@pytest.fixture
def plan(made, zones):
    keyed = {group: [made.zones[code] for code in codes] for group, codes in zones.items()}
    asked = {"cells": CELLS, "zones": keyed, "time_zone": "Europe/Lisbon"}
    return kept.keep_plan(made.logbook, name="May", asked=asked, verdict="part", steps=steps())


def only(made):
    with made.logbook.read() as book:
        (found,) = plans.kept_plans(book)
    return found


def held(made):
    with made.logbook.read() as book:
        return plans.compared(book, plans.kept_plans(book)[0])


def test_a_plan_is_read_back_with_its_parts_and_what_stays_uncoated(made, plan):
    found = only(made)
    assert (found.plan_id, found.name, found.verdict, found.visit_id) == (plan, "May", "part", None)
    assert [(one.area, one.got, one.wanted) for one in found.parts] == [
        ("line", 2, 3), ("bottom", 1, 2), ("pads", 0, 2), ("under", 0, 2),
    ]  # fmt: skip
    assert found.uncoated == ("pads", "under")
    assert found.cells == CELLS
    # The launch at 23 h UTC is on the day after by the clock of the place.
    assert found.days == (date(2024, 4, 15), date(2024, 4, 20))
    assert [one.code for one in found.tasks] == [
        "wash", "coat", "coat", "coat", "anodes", "launch",
    ]  # fmt: skip


def test_the_newest_comes_first_and_what_was_withdrawn_is_gone(made, plan):
    later = datetime.now(UTC) + timedelta(minutes=1)  # a moment is kept to the second
    made.logbook.around = replace(made.logbook.around, now=lambda: later)
    other = kept.keep_plan(
        made.logbook, name="June", asked={"cells": 7, "zones": None}, verdict="fits",
        steps=steps()[:1],
    )  # fmt: skip
    with made.logbook.read() as book:
        found = plans.kept_plans(book)
    assert [one.name for one in found] == ["June", "May"]
    # What cannot be read of it counts as not written; the clock is that of the logbook.
    assert (found[0].parts, found[0].cells, found[0].time_zone) == ((), {}, "Europe/Lisbon")
    keeping.withdraw(made.logbook, Plan, other)
    assert only(made).name == "May"


def test_a_plan_that_became_no_haul_out_is_not_compared(made, plan):
    assert held(made) is None


def haul_out(made, zones):
    """Two coats on all of the waterline, two on one zone of the bottom, and a new anode."""
    book, red = made.logbook, made.paints["red"]
    visit = visits.start_haul_out(book, begins="2024-04-16", time_zone="Europe/Lisbon")
    line = [made.zones[code] for code in zones["line"]]
    for extra in ([made.zones["bottom-aft-port"]], [made.zones["bottom-aft-port"]]):
        coatings.add_coat(book, visit, red, zones=[*line, *extra])
    anodes.fit_piece(book, made.shaft, metal="zinc", visit_id=visit)
    visits.relaunch(book, visit, "2024-04-21")
    return visit


def test_a_plan_is_held_against_what_was_done(made, plan, zones):
    visit = haul_out(made, zones)
    kept.link_plan(made.logbook, plan, visit)
    told = held(made)
    assert {one.area: (one.planned, one.least, one.most) for one in told.coats} == {
        "line": (2, 2, 2), "bottom": (1, 0, 2), "pads": (0, 0, 0), "under": (0, 0, 0),
    }  # fmt: skip
    assert [one.area for one in told.coats if one.as_planned] == ["line", "pads", "under"]
    assert told.out[0] == date(2024, 4, 15)
    assert told.out[1].text == "2024-04-16"
    assert (told.back[0], told.back[1].text) == (date(2024, 4, 20), "2024-04-21")
    assert (told.anodes_planned, told.anodes) == (True, 1)
    assert not told.closed


def test_paint_on_the_whole_bottom_is_on_no_sole_that_nobody_saw(made, plan, zones):
    visit = visits.start_haul_out(made.logbook, begins="2024-04-16")
    coatings.add_coat(made.logbook, visit, made.paints["red"])
    kept.link_plan(made.logbook, plan, visit)
    done = {one.area: (one.least, one.most) for one in held(made).coats}
    assert done["bottom"] == (1, 1)
    assert done["under"] == (0, 0)


def test_what_stayed_uncoated_is_carried_over_unless_it_was_coated_after_all(made, plan, zones):
    visit = visits.start_haul_out(made.logbook, begins="2024-04-16")
    kept.link_plan(made.logbook, plan, visit)

    def carried():
        with made.logbook.read() as book:
            return [area for _, area in plans.left_uncoated(book, visit)]

    assert carried() == ["pads", "under"]
    pads = [made.zones[code] for code in zones["pads"]]
    coatings.add_coat(made.logbook, visit, made.paints["red"], zones=pads)
    assert carried() == ["under"]
    with made.logbook.read() as book:
        assert plans.left_uncoated(book, made.visits[2020]) == ()

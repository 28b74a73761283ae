"""Fittings and readings: how old, when looked at, by what measured, and what is not covered."""

from __future__ import annotations

from datetime import UTC, datetime

from hulllog.insight.gear import gear_stories
from hulllog.insight.parts import covered, metered
from hulllog.output.parts import metered_how, metered_text, metered_where
from hulllog.records.model import Zone
from hulllog.records.operations import around, gear, looks, matters, measuring, points, visits
from hulllog.records.operations.measuring import Rated

NOW = datetime(2024, 9, 1, tzinfo=UTC)


def told(made):
    with made.logbook.read() as book:
        return [metered_text(one) for one in metered(book)]


def test_a_reading_says_its_unit_meter_and_days_ashore(made):
    visit = visits.start_haul_out(made.logbook, begins="2024-04-01")
    rated = Rated("moisture", {"reading": ["24", "22"]}, {}, None, "2024-04-11")
    looks.log_inspection(made.logbook, visit, made.zones["rudder"], state="during",
                         looked_for=["moisture"], methods=["metered"], ratings=[rated])  # fmt: skip
    (said,) = told(made)
    assert said.startswith("moisture by the meter’s own relative scale 24, 22 (")
    assert said.endswith("meter not recorded, days ashore 10)")


def test_play_says_its_unit_and_how_it_was_measured(made):
    bearing = around.add_gear(made.logbook, sort="bearing", name="Shaft bearing")
    visit = visits.start_haul_out(made.logbook, begins="2024-04-01")
    tool = around.add_instrument(made.logbook, name="Dial", sort="other", serial="7")
    check = around.check_gear(made.logbook, bearing, visit, result="something_found")
    measuring.rate(
        made.logbook, "play", {"play": "1.2 mm"}, gear_check_id=check,
        conditions={"method": "dial"}, instrument_id=tool,
    )  # fmt: skip
    with made.logbook.read() as book:
        (story,) = gear_stories(book, None, NOW)
        assert len(story.looks) == 1
        (read,) = [one for one in metered(book) if one.gear_check_id == story.last.check_id]
        assert metered_text(read).replace("\u202f", " ").replace("\u00a0", " ") == (
            "play 1.2 mm (Dial, no. 7, dial gauge)"
        )


def test_a_fitting_that_the_last_visit_left_out_is_named_with_its_own_day(made):
    port, starboard, joint = (
        around.add_gear(made.logbook, sort=sort, name=name)
        for sort, name in (("keel_bolt", "Port bolts"), ("keel_bolt", "Starboard bolts"),
                           ("keel_joint", "Joint"))
    )  # fmt: skip
    old = visits.start_haul_out(made.logbook, begins="2022-03-05", ends="2022-03-20")
    gear.look_at_gear(made.logbook, starboard, old, result="nothing_found", looked="2022-03-10")
    new = visits.start_haul_out(made.logbook, begins="2025-08-05", ends="2025-08-19")
    for part, day in ((joint, "2025-08-05"), (port, "2025-08-15")):
        gear.look_at_gear(made.logbook, part, new, result="nothing_found", looked=day)
    with made.logbook.read() as book:
        (other,) = [one for one in covered(gear_stories(book, None, NOW)) if one.group == "other"]
    assert (other.looked, other.when.text) == (3, "2025-08-15")
    assert [(name, when.text) for name, when in other.earlier] == [
        ("Starboard bolts", "2022-03-10")
    ]


def test_what_is_covered_beside_the_zones_follows_from_the_looks(made):
    cock = around.add_gear(made.logbook, sort="seacock", name="Seacock")
    around.add_gear(made.logbook, sort="shaft", name="Shaft")
    visit = visits.start_haul_out(made.logbook, begins="2024-04-01")
    around.check_gear(made.logbook, cock, visit, result="nothing_found")
    finding = matters.raise_finding(
        made.logbook, title="Worn", sort="wear", must="watch", severity="slight",
        visit_id=visit, gear=[cock],
    )  # fmt: skip
    work = matters.add_work(
        made.logbook, text="New one", done="2024-04-03", visit_id=visit, findings=[finding]
    )
    matters.close_by_work(made.logbook, finding, work, visit_id=visit)
    with made.logbook.read() as book:
        found = sorted(gear_stories(book, None, NOW), key=lambda story: story.sort)
        skin, stern, other = covered(found)
        assert (skin.names, skin.looked, skin.when.text) == (("Seacock",), 1, "2024-04-01")
        assert (stern.names, stern.looked, stern.when) == (("Shaft",), 0, None)
        assert (skin.unlooked, stern.unlooked) == ((), ("Shaft",))
        assert other.names == ()
        assert found[0].worked.text == "New one"


def test_a_reading_at_a_point_says_where_it_is_and_what_stood_there_at_first(made):
    zone = made.zones["bottom-aft-port"]
    _first, second, *_ = points.lay_points(
        made.logbook, [zone], kind="plate-thickness", bands="1", frames="3",
        original_value="6 mm", original_source="builder's drawing",
    )  # fmt: skip
    visit = visits.start_haul_out(made.logbook, begins="2024-04-01")
    points.read_points(made.logbook, visit, "plate-thickness", {second: "5.4 mm"})
    with made.logbook.read() as book:
        [read] = metered(book)
        name = book.get(Zone, zone).name
    assert (read.point, read.name) == (2, name)
    assert metered_where(read) == f"Point 2: {name}"
    assert "original 6 mm, by builder's drawing" in metered_how(read).replace("\u202f", " ")

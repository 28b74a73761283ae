"""The sample shelf is the same at every build, and its stories stand in the figures."""

from __future__ import annotations

import io
import itertools
import shutil
import sqlite3
from collections import Counter
from datetime import UTC, datetime, timedelta

import pytest
import stories
from icalendar import Calendar
from PIL import Image
from sqlalchemy import select

from hulllog import assets
from hulllog.hull import zones
from hulllog.hull.form import HullForm
from hulllog.hull.particulars import Particulars
from hulllog.hull.patches import Place
from hulllog.insight.contradictions import contradictions
from hulllog.insight.litres import past_litres
from hulllog.insight.matters import asked, matters, notes_for_next_time
from hulllog.insight.overview import unseen
from hulllog.insight.plans import kept_plans
from hulllog.insight.series import spot_series, zone_series
from hulllog.output.calendar import write_calendar
from hulllog.records import media, shelf
from hulllog.records.check import check
from hulllog.records.journal import Entry, LogbookMark
from hulllog.records.logbook import Logbook, Surroundings
from hulllog.records.model import (
    AnodePosition,
    BerthPeriod,
    Coat,
    Document,
    MeasurementSet,
    Photo,
    PhotoPlace,
    Product,
    ProductWindow,
    Spot,
    Survey,
    Treatment,
    Vessel,
)
from hulllog.records.operations import queries

FREE_TEXT = ("note", "text", "caption", "answer")


# The same at every build


def test_two_builds_hold_the_same_records_and_files(ketch, reading, tmp_path):
    again = assets.sample().build(tmp_path / "again")
    with reading(ketch) as one, reading(again) as other:
        assert one.head == other.head
        with one.read() as first, other.read() as second:
            marks = [
                {mark.name: mark.value for mark in side.scalars(select(LogbookMark))}
                for side in (first, second)
            ]
    name = assets.sample().DAYBOAT
    with reading(ketch.parent / name) as one, reading(again.parent / name) as other:
        assert one.head == other.head
    for part in ("photos", "documents"):
        assert names(ketch / part) == names(again / part)
    # Two copies on one computer must not be taken for one another.
    assert marks[0]["logbook_id"] != marks[1]["logbook_id"]


def names(folder):
    return sorted(file.name for file in folder.iterdir())


def test_the_shelf_knows_where_the_ketch_is(ketch):
    assert assets.sample().logbook_folder(ketch.parent) == ketch


def test_the_boat_is_marked_as_a_sample(book):
    vessel = book.scalars(select(Vessel)).one()
    assert vessel.sample
    assert vessel.name == "Ruddy Shore"


def test_a_deep_check_finds_nothing_wrong(ketch, tmp_path):
    around = Surroundings(state_folder=tmp_path / "state", cache_folder=tmp_path / "cache")
    assert check(ketch, deep=True, around=around).problems == []


# The day-boat


@pytest.fixture
def dayboat(ketch, reading):
    with reading(ketch.parent / assets.sample().DAYBOAT) as logbook, logbook.read() as found:
        yield found


def test_a_small_wooden_boat_stands_beside_the_ketch(ketch, dayboat, tmp_path):
    vessel = dayboat.scalars(select(Vessel)).one()
    assert vessel.sample
    form = queries.form_version(dayboat)
    assert form.particulars["kind"] == "small"
    assert 4.5 < form.particulars["length"] < 5.5
    around = Surroundings(state_folder=tmp_path / "state", cache_folder=tmp_path / "cache")
    listed = {entry.name for entry in shelf.shelf(ketch.parent)}
    assert listed == {"Ruddy Shore", vessel.name}
    folder = ketch.parent / assets.sample().DAYBOAT
    assert check(folder, deep=True, around=around).problems == []


def test_her_history_is_short_and_most_of_her_pages_are_empty(dayboat):
    out = queries.visits(dayboat)
    assert [visit.begins.middle.year for visit in out] == [2023, 2024, 2025]
    assert {visit.way for visit in out} == {"trailer"}
    for model in (Photo, Document, Survey, AnodePosition):
        assert not queries.kept(dayboat, model)
    (open_one,) = [m for m in matters(dayboat) if m.status == "open"]
    assert open_one.spot_ids
    assert contradictions(dayboat) == []


def test_wood_is_metered_and_sounded_in_her(dayboat):
    zone = stories.zone_id(dayboat, "bottom-aft-port")
    series = zone_series(dayboat, zone, "timber-moisture", "moisture_percent", None)
    assert series.unit == "percent"
    assert [point.value for point in series.comparable] == pytest.approx([22, 28])
    spot = dayboat.scalars(select(Spot)).one()
    depth = spot_series(dayboat, spot.id, "soft-wood", "depth_mm", None)
    assert [point.value for point in depth.points] == [3]


def test_her_open_seams_are_a_finding_that_was_closed_and_tried_again(dayboat):
    (seams,) = [m for m in matters(dayboat) if m.sort == "leak"]
    assert seams.status == "closed"
    assert seams.closed_by.text
    last = queries.visits(dayboat)[-1]
    assert [(look.visit_id, look.seen) for look in seams.seen] == [(last.id, "not_found")]
    (note,) = notes_for_next_time(dayboat)
    assert note.answer
    (berth,) = queries.kept(dayboat, BerthPeriod)
    assert berth.immersed_share == 1.0


def test_the_soft_place_lies_in_the_strake_that_its_finding_names(dayboat):
    spot = dayboat.scalars(select(Spot)).one()
    assert spot.zone_id == stories.zone_id(dayboat, "garboard-port")
    form = HullForm.build(Particulars.from_json(queries.form_version(dayboat).particulars))
    zoned = queries.zones_at(dayboat)
    outlines = [zones.ZoneOutline.from_json(version.outline) for _, version in zoned]
    at = Place(spot.place.part, spot.place.face, spot.place.u, spot.place.v)
    assert zones.zone_at(form, at, outlines) == "garboard-port"
    assert "garboard-port" not in {one.code for one in unseen(dayboat)}


# Thirteen haul-outs


def test_there_are_thirteen_haul_outs_in_thirteen_years_by_five_ways(book):
    found = stories.haul_outs(book)
    years = [visit.begins.middle.year for visit in found]
    assert years == list(range(2013, 2026))
    assert {visit.way for visit in found} == {
        "hoist", "crane", "slipway", "floating_dock", "drying_grid",
    }  # fmt: skip
    assert all(visit.closed_at for visit in found)


def test_most_are_short_ones_and_two_were_typed_in_later(book):
    actions = Counter(book.scalars(select(Entry.action)))
    assert actions["visit.short"] == 8
    later = [v for v in stories.haul_outs(book) if v.basis == "later_from_notes"]
    assert [(v.begins.precision, v.begins.about) for v in later] == [
        ("month", False),
        ("day", True),
    ]
    assert all((v.entered_at - v.begins.latest).days > 250 for v in later)


def test_the_others_were_entered_within_days(book):
    for visit in stories.haul_outs(book):
        if visit.basis == "at_the_time":
            assert timedelta(0) < visit.closed_at - visit.ends.latest < timedelta(days=2)
            assert visit.entered_at > visit.begins.earliest


def test_what_was_seen_ten_days_after_the_lift_is_dated_by_the_look(book):
    visit = stories.haul_outs(book)[2017 - 2013]
    sets = queries.kept(book, MeasurementSet, MeasurementSet.visit_id == visit.id)
    assert {one.observed.middle.day for one in sets} == {18}
    photos = queries.kept(book, Photo, Photo.visit_id == visit.id)
    assert {photo.captured.middle.day for photo in photos} == {18}


def test_no_coat_is_dated_before_the_photographs_as_found(book):
    for visit in stories.haul_outs(book):
        photos = queries.kept(book, Photo, Photo.visit_id == visit.id, Photo.state == "found")
        taken = [photo.captured.latest for photo in photos if photo.captured]
        coats = queries.kept(book, Coat, Coat.visit_id == visit.id)
        if visit.basis == "at_the_time":
            assert all(coat.at.latest > max(taken) for coat in coats)


def test_every_work_by_a_firm_has_its_paper(book):
    closed = [matter.closed_by for matter in matters(book) if matter.closed_by]
    own = [work for work in closed if not work.documents]
    assert len(closed) == 4
    assert [work.by for work in own] == [assets.sample().clock.OWNER]


def test_the_warranty_ends_on_the_day_that_its_certificate_names(book):
    (barrier,) = queries.kept(book, Treatment, Treatment.sort == "barrier")
    assert barrier.warranty_until.middle.date().isoformat() == "2027-06-04"
    told = " ".join(assets.sample().papers.WARRANTY)
    assert "five years from the end of the work on 4 June 2022" in told
    assert "until 4 June 2027" in told
    assert barrier.ends.middle.date().isoformat() == "2022-06-04"


# The stories


def test_blisters_grow_in_three_zones(told):
    grown = {code for code, component in told["growing"] if component == "count"}
    assert grown == set(stories.BLISTERED)
    assert set(told["growing"].values()) == {"up"}


def test_after_the_treatment_they_stay_away(told):
    assert all(set(seen) == {"none_found"} for seen in told["blisters now"].values())


def test_one_dry_look_breaks_the_series(told):
    assert [year for year, comparable in told["dry look"] if not comparable] == [2017]


def test_rust_returns_in_one_place(told):
    assert told["rust"] == [40, 0, 25, 60, 95, 0, 0, 6, 18]


def test_the_anode_wears_three_times_as_fast_with_shore_power_and_falls_back(told):
    ratio, unusual, causes = told["anode"][2021]
    assert 2.7 <= ratio <= 3.4
    assert unusual == "fast"
    assert "shore_power_began" in causes
    assert told["anode"][2020][1] is None
    for year in (2022, 2023):
        assert 0.7 <= told["anode"][year][0] <= 1.3


def test_the_antifouling_changes_colour_each_year(told):
    colours = [colour for colour, _ in told["paint"]]
    assert len(colours) == 13
    assert all(one != other for one, other in itertools.pairwise(colours))


def test_the_single_coat_fouls_early(told):
    assert [coats for _, coats in told["paint"]].index(1) == 6
    assert max(told["fouling"], key=told["fouling"].get) == 2020
    assert all(level <= 2 for year, level in told["fouling"].items() if year != 2020)


def test_the_insurers_list_is_closed_with_proof(told):
    assert told["asked"] == [
        ("1", ("work", "document")),
        ("2", ("document",)),
        ("3", ("work", "document", "photo")),
        ("4", ("work", "document", "photo")),
    ]
    assert told["accepted"]


def test_a_photograph_that_proves_is_told_with_what_it_shows_and_when(book):
    shown = [proof for one in asked(book) for proof in one.proofs if proof.sort == "photo"]
    assert [proof.when.middle.year for proof in shown] == [2021, 2022]
    assert all(proof.text for proof in shown)


def test_her_record_does_not_contradict_itself(told):
    assert told["contradictions"] == []


def test_faces_of_the_keels_were_blasted_and_no_sole_has_a_coat(told):
    for side in ("port", "starboard"):
        assert told["sections"][f"keel-{side}-under"] == (None, ())
        for face in ("outboard", "inboard"):
            down_to, coats = told["sections"][f"keel-{side}-{face}"]
            assert down_to == "bare_metal"
            assert coats[:4] == (("primer", 1.0),) * 4


def test_the_primer_of_the_last_cure_lies_on_a_part_of_one_face(told):
    parts = {
        code: [role for role, share in coats if share < 0.1]
        for code, (_, coats) in told["sections"].items()
    }
    assert {code: roles for code, roles in parts.items() if roles} == {
        "keel-starboard-outboard": ["primer"] * 3
    }


def test_the_bottom_was_taken_down_to_the_laminate_and_lies_under_a_barrier(told):
    for code in stories.BLISTERED:
        down_to, coats = told["sections"][code]
        assert down_to == "laminate"
        assert [role for role, _ in coats[:5]] == ["barrier"] * 4 + ["antifouling"]


def test_all_readings_of_the_drying_are_there_and_the_wettest_stands(told):
    assert told["drying"] == [(24, True), (12, False), (6, False)]


def test_the_keel_that_touched_was_looked_at_afloat_and_then_ashore(told):
    assert told["after the grounding"] == [
        (2023, "diver"),
        (2024, "haul_out"),
        (2025, "haul_out"),
    ]


def test_one_keel_underside_was_never_seen(told):
    assert told["unseen"]["keel-port-under"] == (False, 13, ("support",))


def test_the_touch_of_bottom_was_answered_by_a_diver(told):
    assert told["event"] == ("grounding", "diver")


def test_three_matters_are_open(told):
    assert {sort for sort, _, _ in told["open"]} == {"rust", "crack", "wear"}


def test_with_all_notes_emptied_the_stories_are_the_same(ketch, reading, told, tmp_path):
    silent = tmp_path / "silent"
    shutil.copytree(ketch, silent)
    emptied = empty_notes(silent / "logbook.sqlite")
    assert emptied > 60
    with reading(silent) as logbook, logbook.read() as book:
        assert stories.told(book) == told


def empty_notes(file):
    """Empty every free text of the records; returns how many there were."""
    count = 0
    with sqlite3.connect(file) as connection:
        tables = [row[0] for row in connection.execute("SELECT name FROM sqlite_schema")]
        for table in tables:
            columns = {row[1] for row in connection.execute(f'PRAGMA table_info("{table}")')}
            if table.startswith("journal"):
                continue
            for column in columns & set(FREE_TEXT):
                done = connection.execute(
                    f"UPDATE \"{table}\" SET {column} = '' WHERE {column} > ''"
                )
                count += done.rowcount
    connection.close()
    return count


# Places


def test_every_spot_lies_in_its_zone(book):
    form = HullForm.build(Particulars.from_json(queries.form_version(book).particulars))
    zoned = queries.zones_at(book)
    outlines = [zones.ZoneOutline.from_json(version.outline) for _, version in zoned]
    codes = {zone.id: zone.code for zone, _ in zoned}
    spots = list(book.scalars(select(Spot)))
    assert len(spots) == 7
    for spot in spots:
        at = Place(spot.place.part, spot.place.face, spot.place.u, spot.place.v)
        assert zones.zone_at(form, at, outlines) == codes[spot.zone_id]


# Pictures and papers


def test_pictures_are_small_and_go_in_through_the_program(ketch, book):
    photos = list(book.scalars(select(Photo)))
    assert 60 <= len(photos) <= 80
    assert Counter(photo.media_type for photo in photos)["image/png"] == 1
    for photo in photos:
        assert photo.size < 60_000
        file = media.media_path(ketch, photo)
        with Image.open(io.BytesIO(file.read_bytes())) as image:
            assert image.size == (1200, 900)


def test_every_picture_says_what_it_shows_and_most_when_it_was_taken(book):
    shown = {place.photo_id for place in book.scalars(select(PhotoPlace))}
    photos = list(book.scalars(select(Photo)))
    assert {photo.id for photo in photos} == shown
    assert [photo.media_type for photo in photos if photo.captured is None] == ["image/png"]
    assert all("serial" not in (photo.camera or "") for photo in photos)


def test_the_slow_clock_of_one_camera_is_corrected_beside_its_time(book):
    slow = [photo for photo in book.scalars(select(Photo)) if photo.clock_correction]
    assert {photo.clock_correction for photo in slow} == {61}
    assert {photo.captured.middle.year for photo in slow} == {2018}
    assert all(photo.clock_reason for photo in slow)


def test_papers_are_there_as_files(ketch, book):
    papers = list(book.scalars(select(Document)))
    assert len(papers) >= 5
    for paper in papers:
        assert media.media_path(ketch, paper).stat().st_size == paper.size


def test_thirteen_years_of_litres_lie_near_what_is_computed(ketch, reading):
    """Computed 56.7 L, used 53.3 L: each job took from 0.81 to 1.06 times what is computed."""
    with reading(ketch) as logbook, logbook.read() as book:
        found = past_litres(book)
    assert len(found.jobs) == 13
    assert found.not_told == 0
    assert sum(one.used.value for one in found.jobs) == pytest.approx(53.3)
    assert sum(one.computed.value for one in found.jobs) == pytest.approx(56.7, abs=0.5)
    assert found.share.value == pytest.approx(0.94, abs=0.01)
    assert 0.8 < found.share.interval.low < 0.82
    assert 1.05 < found.share.interval.high < 1.07


def test_every_paint_has_a_whole_sheet_so_that_a_plan_promises_something(book):
    """Three temperatures for touch-dry, the next coat and the launch."""
    sheets = {}
    for row in queries.kept(book, ProductWindow):
        at = row.temperature.in_unit("degC")
        sheets.setdefault(row.product_id, {}).setdefault(row.step, []).append(at)
    for product in queries.kept(book, Product):
        for step in ("touch_dry", "overcoat_self", "launch"):
            assert sheets[product.id][step] == pytest.approx([5, 15, 25]), product.name


def test_the_next_haul_out_is_planned_for_the_last_spring_of_the_warranty(book):
    (plan,) = kept_plans(book)
    assert plan.verdict == "part"  # she stands on what gets no coat
    assert [(one.area, one.got, one.wanted) for one in plan.parts] == [
        ("line", 3, 3), ("bottom", 2, 2), ("under", 0, 1),
    ]  # fmt: skip
    first, last = plan.days
    assert (last - first).days == 4
    (barrier,) = queries.kept(book, Treatment, Treatment.sort == "barrier")
    assert first < last < barrier.warranty_until.earliest.date()


def test_the_plan_stands_in_the_calendar_of_the_sample(ketch, tmp_path):
    around = Surroundings(
        now=lambda: datetime(2026, 1, 15, tzinfo=UTC),
        state_folder=tmp_path / "state",
        cache_folder=tmp_path / "cache",
    )
    with Logbook.open(ketch, around, read_only=True) as logbook, logbook.read() as book:
        (plan,) = kept_plans(book)
        write_calendar(logbook, tmp_path / "due.ics")
    found = Calendar.from_ical((tmp_path / "due.ics").read_bytes())
    hours = [one["dtstart"].dt for one in found.walk("VEVENT") if "status" in one]
    assert sorted(hours) == [one.begins for one in plan.tasks]

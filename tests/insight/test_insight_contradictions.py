"""What does not fit together on record is noticed, said in a sentence, and never refused."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest
from PIL import Image

from hulllog.drawing.disagreeing import contradiction_text
from hulllog.drawing.telling import line_text
from hulllog.insight.contradictions import contradictions, of_visit
from hulllog.insight.today import today
from hulllog.records import media
from hulllog.records.model import Photo
from hulllog.records.operations import (
    afloat,
    anodes,
    around,
    coatings,
    gear,
    looks,
    matters,
    photos,
    queries,
    visits,
)
from hulllog.records.operations.measuring import Rated

NOW = datetime(2026, 6, 1, tzinfo=UTC)


@pytest.fixture
def zones(ketch):
    with ketch.read() as book:
        return {zone.code: zone.id for zone, _ in queries.zones_at(book)}


@pytest.fixture
def visit(ketch):
    return visits.start_haul_out(ketch, begins="2024-04-10", ends="2024-04-20", time_zone="UTC")


@pytest.fixture
def paint(ketch):
    return coatings.add_product(
        ketch, name="Tidewall 40", coating_class="unknown", role="antifouling"
    )


def found(logbook):
    with logbook.read() as book:
        return contradictions(book)


def codes(logbook):
    return [one.code.removeprefix("contradiction.") for one in found(logbook)]


def sentence(logbook):
    (one,) = found(logbook)
    return contradiction_text(one)


def take(logbook, folder, visit, at, *, state="found", zone=None, shade=0):
    """Take in a picture whose camera gave a time."""
    path = folder / f"{at.replace(':', '').replace(' ', '-')}-{shade}.jpg"
    exif = Image.Exif()
    exif.get_ifd(0x8769)[0x9003] = at.replace("-", ":")
    Image.new("RGB", (60, 40), (60 * shade, 90, 120)).save(path, "JPEG", exif=exif)
    (taken,) = media.import_photos(logbook, [path], visit, state=state).done
    if zone:
        photos.place_photo(logbook, taken.photo_id, zone_id=zone)
    return taken.photo_id


# Photographs


def test_a_photo_as_found_that_is_later_than_the_paint_is_noticed(
    ketch, zones, visit, paint, tmp_path
):
    coatings.add_coat(ketch, visit, paint, at="2024-04-15 11:00")
    take(ketch, tmp_path, visit, "2024-04-15 09:00:00", zone=zones["bottom-aft-port"])
    take(ketch, tmp_path, visit, "2024-04-16 09:00:00", zone=zones["topsides-port"])
    assert codes(ketch) == []
    take(ketch, tmp_path, visit, "2024-04-16 10:00:00", zone=zones["bottom-aft-port"])
    assert codes(ketch) == ["photo_found_after"]
    told = sentence(ketch)
    assert "Tidewall 40" in told
    assert "16 Apr" in told
    assert "15 Apr" in told


def test_photos_of_one_step_are_told_together(ketch, zones, visit, paint, tmp_path):
    coatings.add_coat(ketch, visit, paint, at="2024-04-15")
    one = None
    for shade in range(3):
        take(ketch, tmp_path, visit, "2024-04-16 09:00:00", zone=zones["skeg"], shade=shade)
        told = sentence(ketch)
        one = one or told
    assert told != one
    assert told.startswith("3 photographs")


def test_a_photo_as_left_of_the_day_of_a_coat_without_a_time_is_let_pass(
    ketch, zones, visit, paint, tmp_path
):
    coatings.add_coat(ketch, visit, paint, at="2024-04-15")
    take(ketch, tmp_path, visit, "2024-04-15 07:00:00", state="left", zone=zones["skeg"])
    assert codes(ketch) == []


def test_a_photo_as_left_that_is_earlier_than_the_last_coat_is_noticed(
    ketch, zones, visit, paint, tmp_path
):
    coatings.add_coat(ketch, visit, paint, zones=[zones["bottom-aft-port"]], at="2024-04-15 11:00")
    take(ketch, tmp_path, visit, "2024-04-14 09:00:00", state="left", zone=zones["skeg"])
    assert codes(ketch) == []
    take(
        ketch, tmp_path, visit, "2024-04-14 09:10:00", state="left",
        zone=zones["bottom-aft-port"],
    )  # fmt: skip
    assert codes(ketch) == ["photo_left_before"]


def test_a_corrected_clock_settles_it(ketch, zones, visit, paint, tmp_path):
    coatings.add_coat(ketch, visit, paint, at="2024-04-15 11:00")
    photo = take(ketch, tmp_path, visit, "2024-04-15 11:30:00", zone=zones["skeg"])
    assert codes(ketch) == ["photo_found_after"]
    with ketch.change("test.camera") as book:
        book.get(Photo, photo).camera = "Box"
    photos.correct_clock(ketch, "Box", -61, reason="an hour fast", visit_id=visit)
    assert codes(ketch) == []


@pytest.mark.parametrize(
    ("at", "code"),
    [
        ("2024-04-09 23:00:00", "photo_before_lift"),
        ("2024-04-21 10:00:00", "photo_after_relaunch"),
        ("2031-04-12 10:00:00", "photo_after_import"),
    ],
)
def test_a_photo_of_another_time_is_noticed(ketch, visit, tmp_path, at, code):
    take(ketch, tmp_path, visit, at)
    assert codes(ketch) == [code]
    assert sentence(ketch).endswith("?")


# Papers


def test_a_paper_dated_after_it_was_taken_in_is_noticed(ketch, visit, tmp_path):
    (tmp_path / "bill.txt").write_text("bill")
    tomorrow = str(datetime.now(UTC).date() + timedelta(days=1))
    for day in ("2024-04-20", tomorrow):
        media.add_document(
            ketch, tmp_path / "bill.txt", title=f"Bill {day}", sort="invoice", paper_date=day
        )
    assert codes(ketch) == ["paper_after_entry"]
    assert f"Bill {tomorrow}" in sentence(ketch)


# Paint


def test_a_coat_on_a_zone_out_of_reach_is_asked_about_and_kept(ketch, zones, visit, paint):
    under = zones["keel-port-under"]
    looks.could_not_see(ketch, visit, under, hidden_by="support")
    coatings.add_coats(ketch, visit, product_id=paint, coats=2, zones=[under, zones["skeg"]])
    assert codes(ketch) == ["coat_unreached"]
    told = sentence(ketch)
    assert told.startswith("2 coats")
    assert "Skeg" not in told
    looks.nothing_found(ketch, visit, under, state="during")
    assert codes(ketch) == []


def test_weed_hides_the_skin_and_keeps_no_brush_off(ketch, zones, visit, paint):
    looks.could_not_see(ketch, visit, zones["skeg"], hidden_by="growth")
    coatings.add_coat(ketch, visit, paint, zones=[zones["skeg"]])
    assert codes(ketch) == []


def test_a_coat_before_its_tin_was_bought_is_noticed(ketch, visit, paint):
    tin = coatings.add_tin(ketch, paint, bought="2024-04-16")
    coatings.add_coat(ketch, visit, paint, tin_id=tin, at="2024-04-16")
    assert codes(ketch) == []
    coatings.add_coat(ketch, visit, paint, tin_id=tin, at="2024-04-15")
    assert codes(ketch) == ["coat_before_tin"]


def test_a_coat_left_outside_by_new_dates_of_its_haul_out_is_noticed(ketch, visit, paint):
    coat = coatings.add_coat(ketch, visit, paint, at="2024-04-18")
    coatings.set_coat(ketch, coat, "at", "2024-04-28")
    assert codes(ketch) == ["coat_outside"]


# Orders of dates


def test_an_anode_off_or_looked_at_before_it_was_on_is_noticed(ketch, visit):
    shaft = anodes.add_position(ketch, name="Shaft")
    piece = anodes.fit_piece(
        ketch, shaft, metal="zinc", fitted="2024-06-01", mass_new_from="unknown"
    )
    anodes.check_anode(ketch, piece, visit_id=visit, way="by_eye", left="half")
    assert codes(ketch) == ["checked_before_fitted"]
    assert "Shaft" in sentence(ketch)


def test_a_reading_dated_outside_its_visit_is_noticed(ketch, zones, visit):
    for day in ("2024-04-12", "2024-05-12"):
        rated = Rated("crack", {"length_mm": "40 mm"}, {}, None, day)
        looks.log_inspection(
            ketch, visit, zones["skeg"], state="during", looked_for=["crack"], ratings=[rated]
        )
    assert codes(ketch) == ["reading_outside"]


def test_a_finding_mended_before_it_was_raised_is_noticed(ketch, visit):
    crack = matters.raise_finding(ketch, title="Crack", sort="crack", visit_id=visit)
    matters.add_work(ketch, text="Filled", visit_id=visit, done="2024-03-01", closes=[crack])
    assert codes(ketch) == ["mended_before_raised"]


def test_what_the_precision_of_a_date_leaves_open_is_no_contradiction(ketch, visit, paint):
    tin = coatings.add_tin(ketch, paint, bought="2024")
    coatings.add_coat(ketch, visit, paint, tin_id=tin, at="2024-04-15")
    assert codes(ketch) == []


# Where it is said


def test_today_says_one_and_counts_more(ketch, zones, visit, paint, tmp_path):
    def told():
        with ketch.read() as book:
            lines = [one for one in today(book, NOW) if "contradiction" in one.code]
        return [(one.page, line_text(one)) for one in lines]

    assert told() == []
    take(ketch, tmp_path, visit, "2024-04-09 10:00:00")
    ((page, first),) = told()
    assert page == "hull"
    tin = coatings.add_tin(ketch, paint, bought="2024-04-16")
    coatings.add_coat(ketch, visit, paint, tin_id=tin, at="2024-04-15")
    ((page, both),) = told()
    assert page == "contradictions"
    assert both != first
    assert "One more" in both


def test_those_of_a_visit_are_its_own(ketch, visit, tmp_path):
    other = visits.start_haul_out(ketch, begins="2025-04-10", time_zone="UTC")
    take(ketch, tmp_path, visit, "2024-04-09 10:00:00")
    with ketch.read() as book:
        assert len(of_visit(book, visit)) == 1
        assert of_visit(book, other) == []


def test_a_look_afloat_while_she_stood_ashore_is_asked_about(ketch, visit):
    afloat.look_afloat(ketch, kind="diver", begins="2024-04-12")
    assert codes(ketch) == ["afloat_ashore"]


def test_a_look_afloat_on_the_day_of_the_lift_may_be_so(ketch, visit):
    afloat.look_afloat(ketch, kind="diver", begins="2024-04-10")
    assert codes(ketch) == []


def test_a_recommendation_due_before_its_survey_is_asked_about(ketch):
    survey = matters.add_survey(ketch, at="2024-06-02")
    matters.add_recommendation(ketch, survey, number="1", wording="Renew it", due="2020-03-01")
    assert codes(ketch) == ["due_first"]


def test_a_fitting_that_was_photographed_and_not_looked_at_is_asked_about(ketch, visit, tmp_path):
    seacock = around.add_gear(ketch, sort="seacock", name="Galley seacock")
    photo = take(ketch, tmp_path, visit, "2024-04-10 11:00:00")
    photos.place_photo(ketch, photo, gear_id=seacock)
    assert sentence(ketch) == (
        "A photograph of 10–20 Apr 2024 shows Galley seacock, and no look at it then is on record:"
        " it was photographed, not examined. Is a look missing?"
    )
    gear.look_at_gear(ketch, seacock, visit, result="nothing_found")
    assert codes(ketch) == []


def test_a_coat_dated_to_the_day_of_a_photo_as_found_is_asked_about_as_same_day(
    ketch, zones, visit, paint, tmp_path
):
    coat = coatings.add_coat(ketch, visit, paint, at="2024-04-10")
    take(ketch, tmp_path, visit, "2024-04-10 09:00:00", zone=zones["bottom-aft-port"])
    assert codes(ketch) == []
    coatings.set_coat(ketch, coat, "at", "2024-04-15")
    take(ketch, tmp_path, visit, "2024-04-15 08:00:00", zone=zones["topsides-port"], shade=1)
    assert codes(ketch) == []
    take(ketch, tmp_path, visit, "2024-04-15 09:00:00", zone=zones["bottom-aft-port"], shade=2)
    assert codes(ketch) == ["photo_found_same_day"]
    told = sentence(ketch)
    assert "taken 15 Apr 2024, 09:00, on the same day as a coat of Tidewall 40" in told
    assert "hour is not on record" in told
    coatings.set_coat(ketch, coat, "at", "2024-04-15 11:00")
    assert codes(ketch) == []

"""Every sentence that *Today* can show: a logbook where it stands, and an input that changes it."""

from __future__ import annotations

import re
from contextlib import suppress
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from PIL import Image

from hulllog.drawing.telling import line_text
from hulllog.insight.today import MOST, today
from hulllog.records import media
from hulllog.records.errors import Refused
from hulllog.records.logbook import Logbook, Surroundings
from hulllog.records.model import (
    AnodePiece,
    BerthPeriod,
    Document,
    Photo,
    Recommendation,
    StageTime,
)
from hulllog.records.operations import (
    afloat,
    anodes,
    around,
    berths,
    coatings,
    gear,
    keeping,
    looks,
    matters,
    photos,
    queries,
    vessel,
    visits,
)
from hulllog.records.operations.measuring import Rated
from hulllog.records.values import PartialDate
from hulllog.words import codes

if TYPE_CHECKING:
    from seasonbook import Seasons

NOW = datetime(2023, 6, 1, tzinfo=UTC)
SHOWN = {code for code in codes() if re.fullmatch(r"(today|contradiction)\.[a-z_.]+", code)}
"""The lines of *Today*, and what does not fit together, of which one alone stands there itself."""
CASES: dict[str, Any] = {}


@dataclass
class At:
    """A logbook, the clock, when the last backup was made, and the seasons where it has some."""

    logbook: Logbook
    made: Seasons | None = None
    now: datetime = NOW
    backup: datetime | None = None

    def said(self, code):
        with self.logbook.read() as book:
            lines = today(book, self.now, self.backup)
        return [line_text(one) for one in lines if one.code == code]

    def zone(self, code="bottom-aft-port"):
        with self.logbook.read() as book:
            return next(found.id for found, _ in queries.zones_at(book) if found.code == code)

    def visit(self, begins="2023-05-01", ends=None):
        return visits.start_haul_out(self.logbook, begins=begins, ends=ends)

    def finding(self, title, must="before_relaunch"):
        with self.logbook.read() as book:
            known = queries.visits(book)
        visit = known[-1].id if known else self.visit()
        return matters.raise_finding(
            self.logbook, title=title, sort="crack", must=must, severity="severe", visit_id=visit
        )

    def rated(self, kind, conditions, *seen):
        """Rate a zone at one haul-out a year, the last of them in 2022; return the looks."""
        key, found = self.zone(), []
        for year, figures in enumerate(seen, 2023 - len(seen)):
            visit = self.visit(f"{year}-05-01")
            visits.set_looked_for(self.logbook, visit, looked_for=[kind], methods=["close"])
            rated = Rated(kind, figures, conditions)
            found.append(looks.log_inspection(self.logbook, visit, key, ratings=[rated]))
            visits.relaunch(self.logbook, visit, f"{year}-05-20")
        return found

    def correct(self, look, kind, figures, conditions):
        """Put another figure in the place of one that was rated."""
        looks.correct(self.logbook, look, ratings=[Rated(kind, figures, conditions)])


def case(code, *, seasons=False):
    """Register a case: it enters what brings the line, and returns what changes an input."""

    def keep(enter):
        CASES[code] = (enter, seasons)
        return enter

    return keep


def test_every_sentence_of_the_catalogue_has_a_case_and_no_other():
    assert set(CASES) == SHOWN


@pytest.mark.parametrize("code", sorted(SHOWN))
def test_a_sentence_changes_or_goes_with_an_input(code, request):
    enter, seasons = CASES[code]
    if seasons:
        made = request.getfixturevalue("made")
        at = At(made.logbook, made)
    else:
        at = At(request.getfixturevalue("ketch"))
    change = enter(at)
    before = at.said(code)
    assert before
    change()
    assert at.said(code) != before


# The open haul-out and looks


@case("today.haul_out_open")
def _(at):
    key = at.visit()
    return lambda: visits.set_dates(at.logbook, key, begins="2023-05-03", ends=None)


@case("today.haul_out_not_closed")
def _(at):
    key = at.visit(ends="2023-05-09")
    return lambda: visits.close(at.logbook, key)


@case("today.look_open")
def _(at):
    key = afloat.look_afloat(at.logbook, kind="diver", begins="2023-05-12")
    return lambda: visits.close(at.logbook, key)


# Findings


@case("today.matter")
def _(at):
    key = at.finding("Crack at the skeg")
    return lambda: matters.set_finding(at.logbook, key, "must", "this_season")


@case("today.matter_overdue")
def _(at):
    first = at.visit("2021-05-01", "2021-05-09")
    key = at.finding("Crack at the skeg", "this_season")
    visits.close(at.logbook, first)
    return lambda: matters.set_finding(at.logbook, key, "must", "watch")


@case("today.matters")
def _(at):
    key = at.finding("Crack at the skeg", "watch")
    return lambda: matters.set_finding(at.logbook, key, "title", "Crack at the rudder")


@case("today.matters_more")
def _(at):
    at.finding("Crack at the skeg")
    at.finding("Rust at the joint", "watch")
    return lambda: at.finding("Stain", "watch")


@case("today.next_lift")
def _(at):
    key = at.finding("Crack at the skeg", "next_lift")
    return lambda: matters.set_finding(at.logbook, key, "must", "watch")


@case("today.next_lift_more")
def _(at):
    at.finding("Crack at the skeg")
    key = at.finding("Rust at the joint", "next_lift")
    return lambda: matters.withdraw_finding(at.logbook, key, reason="entered twice")


# What was measured

BLISTERS, WET = "laminate-blisters", {"wetness": "wet"}
VOLTS, HOW = "hull-potential", {"electrode": "ag_agcl", "shore_power": "none"}


@case("today.changed.worse")
def _(at):
    *_, last = at.rated(BLISTERS, WET, {"count": "10"}, {"count": "90"})
    return lambda: at.correct(last, BLISTERS, {"count": "95"}, WET)


@case("today.changed.better")
def _(at):
    first, _last = at.rated(BLISTERS, WET, {"count": "90"}, {"count": "10"})
    return lambda: at.correct(first, BLISTERS, {"count": "11"}, WET)


@case("today.changed.up")
def _(at):
    *_, last = at.rated(VOLTS, HOW, {"potential": "-950 mV"}, {"potential": "-700 mV"})
    return lambda: at.correct(last, VOLTS, {"potential": "-690 mV"}, HOW)


@case("today.changed.down")
def _(at):
    *_, last = at.rated(VOLTS, HOW, {"potential": "-700 mV"}, {"potential": "-950 mV"})
    return lambda: at.correct(last, VOLTS, {"potential": "-705 mV"}, HOW)


@case("today.trend_up")
def _(at):
    seen = [{"count": str(10 + 6 * n)} for n in range(8)]
    *_, last = at.rated(BLISTERS, WET, *seen)
    return lambda: at.correct(last, BLISTERS, {"count": "2"}, WET)


@case("today.trend_down")
def _(at):
    film, gauge = "film-thickness", {"gauge": "ultrasonic"}
    *_, last = at.rated(film, gauge, *({"film": f"{500 - 30 * n} um"} for n in range(8)))
    return lambda: at.correct(last, film, {"film": "900 um"}, gauge)


@case("today.beyond_limit")
def _(at):
    at.rated(BLISTERS, WET, {"count": "12"})
    key = around.set_limit(
        at.logbook, kind=BLISTERS, component="count", value="10", set_by="the owner"
    )
    return lambda: around.change_limit(at.logbook, key, value="11")


# Anodes


def _weighed(at, mass):
    """Weigh the piece of 2023 at the next lift."""
    at.now = datetime(2024, 5, 1, tzinfo=UTC)
    later = visits.start_haul_out(at.logbook, begins="2024-04-14")
    return anodes.check_anode(
        at.logbook, at.made.pieces[2023], visit_id=later, way="weighed", mass=f"{mass} g",
        contact="tight",
    )  # fmt: skip


@case("today.anode_slow", seasons=True)
def _(at):
    key = _weighed(at, 600)
    return lambda: anodes.set_check(at.logbook, key, {"contact": "loose"})


@case("today.anode_fast", seasons=True)
def _(at):
    key = _weighed(at, 60)
    return lambda: anodes.set_check(at.logbook, key, {"mass": "100 g"})


def _fitted_earlier(at):
    anodes.set_piece(at.logbook, at.made.pieces[2023], "fitted", "2022-12-24", reason="misread")


@case("today.anode_half", seasons=True)
def _(at):
    at.now = datetime(2024, 10, 1, tzinfo=UTC)
    return lambda: _fitted_earlier(at)


@case("today.anode_half_likely", seasons=True)
def _(at):
    at.now = datetime(2025, 2, 1, tzinfo=UTC)
    return lambda: _fitted_earlier(at)


@case("today.anode_half_past", seasons=True)
def _(at):
    at.now = datetime(2035, 2, 1, tzinfo=UTC)
    return lambda: _fitted_earlier(at)


def _limited(at):
    around.set_limit(at.logbook, kind="anode", component="used", value="60 %", set_by="A. Keeper")


@case("today.anode_limit", seasons=True)
def _(at):
    _limited(at)
    at.now = datetime(2025, 1, 10, tzinfo=UTC)
    return lambda: _fitted_earlier(at)


@case("today.anode_limit_likely", seasons=True)
def _(at):
    _limited(at)
    at.now = datetime(2025, 6, 1, tzinfo=UTC)
    return lambda: _fitted_earlier(at)


@case("today.anode_limit_past", seasons=True)
def _(at):
    _limited(at)
    at.now = datetime(2035, 2, 1, tzinfo=UTC)
    return lambda: _fitted_earlier(at)


@case("today.anode_limit_seen", seasons=True)
def _(at):
    _limited(at)
    later = visits.start_haul_out(at.logbook, begins="2024-04-14")
    at.now = datetime(2024, 5, 1, tzinfo=UTC)
    anodes.check_anode(
        at.logbook, at.made.pieces[2023], visit_id=later, way="by_eye", left="quarter"
    )
    return lambda: visits.set_dates(at.logbook, later, begins="2024-04-12", ends=None)


@case("today.anode_half_seen", seasons=True)
def _(at):
    later = visits.start_haul_out(at.logbook, begins="2024-04-14")
    at.now = datetime(2024, 5, 1, tzinfo=UTC)
    anodes.check_anode(
        at.logbook, at.made.pieces[2023], visit_id=later, way="by_eye", left="quarter"
    )
    return lambda: visits.set_dates(at.logbook, later, begins="2024-04-12", ends=None)


# What is asked for, and what is due


@case("today.unproved")
def _(at):
    survey = matters.add_survey(at.logbook, at="2023-03-01", asked_by="insurer")
    key = matters.add_recommendation(
        at.logbook, survey, number="1", wording="Renew the seacock", due="2023-09"
    )
    return lambda: matters.add_proof(at.logbook, key, work_id=_done(at))


def _done(at):
    return matters.add_work(at.logbook, text="Seacock renewed", visit_id=at.visit())


def _due(at, every):
    key = around.add_gear(at.logbook, sort="seacock", name="Galley seacock", fitted="2020-07-01")
    gear.set_due_rule(at.logbook, key, "look", every=(every, "month"))
    return key


@case("today.gear_due")
def _(at):
    key = _due(at, "37")
    return lambda: gear.set_due_rule(at.logbook, key, "look", every=("38", "month"))


@case("today.gear_past")
def _(at):
    key = _due(at, "24")
    return lambda: around.check_gear(at.logbook, key, at.visit(), text="Works")


@case("today.check_asked")
def _(at):
    key = berths.add_event(
        at.logbook, sort="grounding", at="2023-04", text="bump", asks_for_check=True
    )
    return lambda: berths.set_event(at.logbook, key, "at", "2023-03")


@case("today.warranty_ends")
def _(at):
    key = coatings.add_treatment(
        at.logbook, at.visit("2022-05-01"), sort="peeled", zones=[at.zone()],
        warranty_until="2023-12",
    )  # fmt: skip
    return lambda: coatings.set_treatment(at.logbook, key, "warranty_until", "2023-11")


# What was not seen, and what does not fit together


def _see(at, begins, but=()):
    visit = at.visit(begins, begins[:-2] + "09")
    with at.logbook.read() as book:
        found = {zone.code: zone.id for zone, _ in queries.zones_at(book)}
    for code, key in found.items():
        if code not in but:
            looks.nothing_found(at.logbook, visit, key)
    return visit


@case("today.not_seen")
def _(at):
    _see(at, "2020-05-01")
    visit = [_see(at, f"{year}-05-01", ("keel-port-under",)) for year in (2021, 2022)][-1]
    return lambda: looks.nothing_found(at.logbook, visit, at.zone("keel-port-under"))


@case("today.never_seen")
def _(at):
    for year in (2021, 2022):
        _see(at, f"{year}-05-01", ("keel-port-under",))
    return lambda: _see(at, "2023-05-01", ("keel-port-under",))


@case("today.contradictions_more")
def _(at):
    keys = [at.visit(f"{year}-05-10", f"{year}-05-20") for year in (2021, 2022)]
    paint = coatings.add_product(
        at.logbook, name="Tidewall", coating_class="unknown", role="antifouling"
    )
    tin = coatings.add_tin(at.logbook, paint, bought="2023-05-01")
    for key, day in zip(keys, ("2021-05-12", "2022-05-12"), strict=True):
        coatings.add_coat(at.logbook, key, paint, tin_id=tin, at=day)
    survey = matters.add_survey(at.logbook, at="2023-03-01")
    return lambda: matters.add_recommendation(
        at.logbook, survey, number="1", wording="Renew it", due="2020-03-01"
    )


def _ashore(at):
    return at.visit("2023-04-10", "2023-04-20")


def _product(at):
    return coatings.add_product(
        at.logbook, name="Tidewall 40", coating_class="unknown", role="antifouling"
    )


def _taken(at, visit, when, state="found"):
    """Take in a picture of the bottom whose camera gave a time."""
    path = at.logbook.folder.parent / "yard.jpg"
    exif = Image.Exif()
    exif.get_ifd(0x8769)[0x9003] = when.replace("-", ":")
    Image.new("RGB", (60, 40), (60, 90, 120)).save(path, "JPEG", exif=exif)
    (taken,) = media.import_photos(at.logbook, [path], visit, state=state).done
    photos.place_photo(at.logbook, taken.photo_id, zone_id=at.zone())


@case("contradiction.photo_found_after")
def _(at):
    visit = _ashore(at)
    coat = coatings.add_coat(at.logbook, visit, _product(at), at="2023-04-15")
    _taken(at, visit, "2023-04-16 09:00:00")
    return lambda: coatings.set_coat(at.logbook, coat, "at", "2023-04-14")


@case("contradiction.photo_found_same_day")
def _(at):
    visit = _ashore(at)
    coat = coatings.add_coat(at.logbook, visit, _product(at), at="2023-04-15")
    _taken(at, visit, "2023-04-15 09:00:00")
    return lambda: coatings.set_coat(at.logbook, coat, "at", "2023-04-16")


@case("contradiction.not_examined")
def _(at):
    visit = _ashore(at)
    key = around.add_gear(at.logbook, sort="seacock", name="Galley seacock")
    path = at.logbook.folder.parent / "cock.jpg"
    Image.new("RGB", (60, 40), (60, 90, 120)).save(path, "JPEG")
    (taken,) = media.import_photos(at.logbook, [path], visit, state="found").done
    photos.place_photo(at.logbook, taken.photo_id, gear_id=key)
    return lambda: gear.look_at_gear(at.logbook, key, visit, result="nothing_found")


@case("contradiction.photo_left_before")
def _(at):
    visit = _ashore(at)
    coat = coatings.add_coat(at.logbook, visit, _product(at), at="2023-04-15")
    _taken(at, visit, "2023-04-14 09:00:00", "left")
    return lambda: coatings.set_coat(at.logbook, coat, "at", "2023-04-16")


@case("contradiction.photo_before_lift")
def _(at):
    visit = _ashore(at)
    _taken(at, visit, "2023-04-08 09:00:00")
    return lambda: visits.set_dates(at.logbook, visit, begins="2023-04-09", ends="2023-04-20")


@case("contradiction.photo_after_relaunch")
def _(at):
    visit = _ashore(at)
    _taken(at, visit, "2023-04-22 09:00:00")
    return lambda: visits.set_dates(at.logbook, visit, begins="2023-04-10", ends="2023-04-23")


@case("contradiction.photo_after_import")
def _(at):
    visit = _ashore(at)
    _taken(at, visit, "2099-04-12 09:00:00")
    with at.logbook.read() as book:
        (photo,) = queries.kept(book, Photo)
    return lambda: keeping.withdraw(at.logbook, Photo, photo.id)


@case("contradiction.paper_after_entry")
def _(at):
    key = around.add_document(at.logbook, title="Bill", sort="invoice", paper_date="2023-04-20")
    later = PartialDate.parse("2099-04-20")
    with at.logbook.change("test.paper") as book:
        book.get(Document, key).paper_date = later
    return lambda: around.set_document(at.logbook, key, "paper_date", "2023-04-21")


@case("contradiction.paper_not_linked")
def _(at):
    visit = _ashore(at)
    survey = matters.add_survey(at.logbook, at="2023-03-01")
    key = matters.add_recommendation(at.logbook, survey, number="1", wording="Renew the seacock")
    work = matters.add_work(at.logbook, text="Renewed", visit_id=visit, done="2023-04-15")
    matters.add_proof(at.logbook, key, work_id=work)
    bill = at.logbook.folder.parent / "bill.txt"
    bill.write_text("bill")
    paper = media.add_document(at.logbook, bill, title="Bill", sort="invoice", visit_id=visit)
    return lambda: matters.link_work(at.logbook, work, document_id=paper)


@case("contradiction.coat_unreached")
def _(at):
    visit, under = _ashore(at), at.zone("keel-port-under")
    looks.could_not_see(at.logbook, visit, under, hidden_by="support")
    coatings.add_coat(at.logbook, visit, _product(at), zones=[under])
    return lambda: looks.nothing_found(at.logbook, visit, under, state="during")


@case("contradiction.coat_outside")
def _(at):
    coat = coatings.add_coat(at.logbook, _ashore(at), _product(at), at="2023-04-15")
    coatings.set_coat(at.logbook, coat, "at", "2023-04-28")
    return lambda: coatings.set_coat(at.logbook, coat, "at", "2023-04-29")


@case("contradiction.coat_before_tin")
def _(at):
    paint = _product(at)
    tin = coatings.add_tin(at.logbook, paint, bought="2023-04-16")
    coat = coatings.add_coat(at.logbook, _ashore(at), paint, tin_id=tin, at="2023-04-15")
    return lambda: coatings.set_coat(at.logbook, coat, "at", "2023-04-14")


@case("contradiction.removed_before_fitted")
def _(at):
    shaft = anodes.add_position(at.logbook, name="Shaft")
    piece = anodes.fit_piece(
        at.logbook, shaft, metal="zinc", fitted="2023-04-11", mass_new_from="unknown"
    )
    with at.logbook.change("test.piece") as book:
        book.get(AnodePiece, piece).removed = PartialDate.parse("2022-04-11")
    return lambda: anodes.set_piece(at.logbook, piece, "fitted", "2022-04-10", reason="misread")


@case("contradiction.checked_before_fitted")
def _(at):
    visit, shaft = _ashore(at), anodes.add_position(at.logbook, name="Shaft")
    piece = anodes.fit_piece(
        at.logbook, shaft, metal="zinc", fitted="2023-05-11", mass_new_from="unknown"
    )
    anodes.check_anode(at.logbook, piece, visit_id=visit, way="by_eye", left="half")
    return lambda: anodes.set_piece(at.logbook, piece, "fitted", "2023-05-12", reason="misread")


@case("contradiction.stages")
def _(at):
    visit = _ashore(at)
    visits.add_stage(at.logbook, visit, "lifted", "2023-04-12")
    visits.add_stage(at.logbook, visit, "washed", "2023-04-13")
    with at.logbook.change("test.stage") as book:
        (washed,) = queries.kept(book, StageTime, StageTime.stage == "washed")
        washed.at = PartialDate.parse("2023-04-11")
    return lambda: keeping.withdraw(at.logbook, StageTime, washed.id)


@case("contradiction.ends_first")
def _(at):
    key = berths.add_berth_period(at.logbook, begins="2022-05-01", ends="2022-09-01", location="Q")
    with at.logbook.change("test.berth") as book:
        book.get(BerthPeriod, key).ends = PartialDate.parse("2022-04-01")
    return lambda: berths.set_berth_period(at.logbook, key, "ends", "2022-10-01")


@case("contradiction.reading_outside")
def _(at):
    rated = Rated("crack", {"length_mm": "40 mm"}, {}, None, "2023-05-12")
    visit = _ashore(at)
    looks.log_inspection(
        at.logbook, visit, at.zone(), state="during", looked_for=["crack"], ratings=[rated]
    )
    return lambda: visits.set_dates(at.logbook, visit, begins="2023-04-10", ends="2023-05-20")


@case("contradiction.mended_before_raised")
def _(at):
    visit = _ashore(at)
    key = matters.raise_finding(at.logbook, title="Crack", sort="crack", visit_id=visit)
    matters.add_work(at.logbook, text="Filled", visit_id=visit, done="2023-03-01", closes=[key])
    return lambda: matters.set_finding(at.logbook, key, "title", "Crack at the skeg")


@case("contradiction.accepted_before_done")
def _(at):
    survey = matters.add_survey(at.logbook, at="2023-03-01")
    key = matters.add_recommendation(at.logbook, survey, number="1", wording="Renew the seacock")
    work = matters.add_work(at.logbook, text="Renewed", done="2023-04-15")
    proof = matters.add_proof(at.logbook, key, work_id=work)
    matters.accept_proof(at.logbook, proof, by="insurer", on="2023-04-01")
    return lambda: matters.accept_proof(at.logbook, proof, by="insurer", on="2023-04-02")


@case("contradiction.afloat_ashore")
def _(at):
    visit = _ashore(at)
    afloat.look_afloat(at.logbook, kind="diver", begins="2023-04-12")
    return lambda: visits.set_dates(at.logbook, visit, begins="2023-04-10", ends="2023-04-21")


@case("contradiction.due_first")
def _(at):
    survey = matters.add_survey(at.logbook, at="2023-03-02")
    key = matters.add_recommendation(
        at.logbook, survey, number="1", wording="Renew it", due="2020-03-01"
    )
    return lambda: keeping.withdraw(at.logbook, Recommendation, key)


# Notes and the backup


@case("today.notes")
def _(at):
    note = around.note_for_next_time(at.logbook, "Bring the long ladder")
    around.note_for_next_time(at.logbook, "Photograph the bearing")
    return lambda: around.answer_note(at.logbook, note, at.visit(), "Brought")


@case("today.no_backup")
def _(at):
    def change():
        at.backup = at.now

    return change


@case("today.backup_fresh")
def _(at):
    at.backup = at.now - timedelta(hours=2)

    def change():
        at.now += timedelta(days=1)

    return change


@case("today.backup")
def _(at):
    at.backup = at.now - timedelta(days=3)

    def change():
        at.now += timedelta(days=1)

    return change


# How much is said

MIXED = sorted(
    code
    for code in SHOWN
    if code.startswith("today.") and "anode" not in code and "backup" not in code
)
"""What can be entered into one logbook beside the other."""


@settings(
    max_examples=10, deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)  # fmt: skip
@given(wanted=st.sets(st.sampled_from(MIXED), min_size=3))
def test_there_are_never_more_than_seven_lines_whatever_is_on_record(tmp_path_factory, wanted):
    folder = tmp_path_factory.mktemp("many")
    with Logbook.create(folder / "book", Surroundings(state_folder=folder / "state")) as logbook:
        vessel.create_vessel(
            logbook, name="Test", kind="yacht", material="grp", keel="twin",
            length="8.7 m", beam="2.85 m", draught="1.05 m",
        )  # fmt: skip
        at = At(logbook)
        for code in sorted(wanted):
            enter, _seasons = CASES[code]
            with suppress(Refused):  # a haul-out of another case stands there already
                enter(at)
        with logbook.read() as book:
            lines = today(book, at.now, at.backup)
    assert 2 <= len(lines) <= MOST
    assert lines[-1].page == "backup"
    assert len({(one.code, one.key) for one in lines}) == len(lines)

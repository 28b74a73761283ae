from __future__ import annotations

import sys
from datetime import timedelta
from pathlib import Path

import pytest
from PySide6.QtWidgets import QFileDialog

sys.path.insert(0, str(Path(__file__).parent))
from yardwindow import Yard

from hulllog.insight.yard import walked
from hulllog.insight.yardsheet import yard_sheet
from hulllog.records.model import (
    AnodeCheck,
    AnodePiece,
    Coat,
    GearCheck,
    Inspection,
    MeasurementSet,
    NoteForNextTime,
    PadPosition,
    StageTime,
    Visit,
    ZoneVersion,
)
from hulllog.records.operations import anodes, around, visits

GEAR = ("seacock", "bearing", "rudder", "propeller", "keel_bolt")


@pytest.fixture
def yard(look, qtbot, tmp_path):
    made = Yard(qtbot, tmp_path, keel="fin")
    position = anodes.add_position(made.logbook, name="Shaft")
    anodes.fit_piece(made.logbook, position, metal="zinc", mass_new="0.68 kg", fitted="2025-04")
    visits.start_haul_out(made.logbook, begins="2026-04-17", yard="Inlet Boatyard")
    made.settle()
    made.open("sheet")
    yield made
    made.close()


def rows(yard):
    with yard.logbook.read() as book:
        return yard_sheet(book).rows


def number(yard, sort, stage, subject=""):
    return next(
        row.number
        for row in rows(yard)
        if (row.sort, row.stage) == (sort, stage) and (not subject or row.subject == subject)
    )


def field(yard, *about):
    return yard.section("sheet").fields[number(yard, *about)]


def go(yard, *about):
    field(yard, *about).entry.setFocus()


def looks(yard, zone):
    """Return the looks at a zone that hold, in the order of entry."""
    with yard.logbook.read() as book:
        return [
            look
            for look in yard.all(Inspection)
            if book.get(ZoneVersion, look.zone_version_id).zone_id == yard.zones()[zone]
        ]


def figures(yard, look):
    from hulllog.insight.condition import figures_of

    with yard.logbook.read() as book:
        sets = book.get(Inspection, look.id).sets
        return {one.kind: figures_of(one) for one in sets if not one.withdrawn}


FITTINGS = {
    "seacock": "n;f", "bearing": "n;.4;f", "rudder": "n;2;f", "propeller": "n",
    "keel bolt": "n;19;u",
}  # fmt: skip
"""What a led haul-out enters of the fittings, and the diameter of a bolt."""


def written(row, afloat="2026-05-19 18:00"):
    """Return what a hand writes into a row: the content of a led haul-out but its photographs."""
    if row.sort == "zone":
        if (row.subject, row.plan) in FOUND:
            return "15" if "soft-wood" in row.looked_for else FOUND[row.subject, row.plan]
        return {"before_wash": "2", "as_left": "0"}.get(row.plan, "n")
    if row.sort == "gear":
        return FITTINGS[row.subject]
    told = {
        ("stage", "lifted"): "9:20", ("stage", "washed"): "10:30", ("stage", "relaunched"): afloat,
        ("visit", "scum_line"): "40", ("bore", "sling"): "2,4 6.1", ("bore", "pad_port"): "3 5",
        ("paint", "1"): "Redweed; 2.5; 2; 18 apr; 12; 11; 65", ("note", "1"): "Look at the skeg",
        ("how", "second_sweep"): "15", ("how", "moisture.prepared"): "pin meter; deep; g; 6",
        ("how", "seam-gap.opened_up"): "1", ("how", "film-thickness.ready"): "m",
    }  # fmt: skip
    if row.sort == "reading":
        first = row.zone_number == 1 or row.subject == "Bottom aft, port"
        return READINGS[row.looked_for[0]] if first else ""
    if row.sort == "anode":
        return "0.53 - t y 0.68"
    return told.get((row.sort, row.subject_id), "")


FOUND = {
    ("Bottom aft, port", "after_wash"): "12 8 - 0",
    ("Bottom aft, port", "second_sweep"): "3 2",
    ("Transom", "sounded"): "300",
    ("Bottom aft, starboard", "as_left"): "s",
}
READINGS = {"moisture": "17 15", "seam-gap": "2.5", "film-thickness": "240"}


def typed_in(yard):
    """Type a whole sheet by Enter alone, asking of each row where the keyboard is."""
    asked = rows(yard)
    yard.page.show_section("steps")
    yard.page.show_section("sheet")
    yard.settle()
    yard.presses = 0
    for row in asked:
        assert yard.focus is yard.section("sheet").fields[row.number].entry, row
        yard.type(written(row) + "\n")
        yard.settle()
        field = yard.section("sheet").fields[row.number]
        assert not field.refused, (row, field.sentence)
    return asked


def measured(yard):
    """Return (kind, state) -> figures and conditions of the sets, one of each."""
    from hulllog.insight.condition import figures_of

    with yard.logbook.read() as book:
        sets = [book.get(MeasurementSet, one.id) for one in yard.all(MeasurementSet)]
        return {(one.kind, one.state): (figures_of(one), dict(one.conditions)) for one in sets}


def test_a_whole_sheet_holds_what_a_led_haul_out_does_but_its_photographs(yard):
    for sort in ("moisture_meter", "film_gauge"):
        around.add_instrument(yard.logbook, name=sort.replace("_", " "), sort=sort)
    for sort in GEAR:
        around.add_gear(yard.logbook, sort=sort, name=sort.replace("_", " "))
    yard.settle()
    yard.day += timedelta(days=40)
    asked = typed_in(yard)
    (visit,) = yard.all(Visit)
    with yard.logbook.read() as book:
        assert {plan for plan, (done, of) in walked(book, visit.id).items() if done == of} == {
            "before_wash", "sounded", "second_sweep", "as_left",
        }, "one box of the washed hull was left empty"  # fmt: skip
    (found,) = (one for one in looks(yard, "bottom-aft-port") if "crack" not in one.looked_for
                and "laminate-blisters" in one.looked_for and one.state == "found")  # fmt: skip
    assert figures(yard, found)["laminate-blisters"] == {"count": 12, "largest_mm": 8}
    (dull,) = (one for one in looks(yard, "transom") if one.methods == ["tapped"])
    assert figures(yard, dull) == {"dull-sound": {"length_mm": 300}}
    sets = measured(yard)
    assert sets["laminate-blisters", "during"] == (
        {"count": 3, "largest_mm": 2},
        {"wetness": "dry", "days_ashore": 15},
    )
    assert sets["moisture", "found"] == (
        {"reading": 17, "reference": 15},
        {"meter": "pin meter", "mode": "deep", "surface": "gelcoat", "days_ashore": 6},
    )
    assert sets["film-thickness", "left"] == ({"film": 240}, {"gauge": "magnetic"})
    assert sets["valve-action", "found"] == ({"action": "free"}, {})
    assert sets["play", "found"][1] == {"method": "feeler"}
    assert sets["bolt-diameter", "found"] == ({"diameter": 19}, {"seen_how": "ultrasonic"})
    with_meter = {one.kind for one in yard.all(MeasurementSet) if one.instrument_id}
    assert with_meter == {"moisture", "film-thickness"}
    (check,) = yard.all(AnodeCheck)
    assert (check.mass.text, check.contact) == ("0.53", "tight")
    assert [piece.mass_new.text for piece in yard.all(AnodePiece)] == ["0.68", "0.68"]
    coats = yard.all(Coat)
    assert [(c.air.text, c.hull.text, c.humidity.text) for c in coats] == [("12", "11", "65")] * 2
    assert [note.text for note in yard.all(NoteForNextTime)] == ["Look at the skeg"]
    assert {one.stage for one in yard.all(StageTime)} == {"lifted", "washed", "relaunched"}
    assert visit.scum_line.text == "40"
    assert [look.result for look in yard.all(GearCheck)] == ["nothing_found"] * len(GEAR)
    bore = [(one.sort, one.place.how["metres"]) for one in yard.all(PadPosition)]
    assert bore == [("sling", "2.4"), ("sling", "6.1"), ("pad", "3"), ("pad", "5")]
    # A key and Enter for most rows, Enter alone for the others; not to grow unseen.
    assert yard.presses <= 520, f"{yard.presses} keys for {len(asked)} rows"


def test_a_whole_sheet_of_a_wooden_boat_holds_what_her_led_haul_out_does(qtbot, tmp_path):
    boat = Yard(qtbot, tmp_path, keel="long", material="wood")
    try:
        around.add_instrument(boat.logbook, name="pin meter", sort="moisture_meter")
        visits.start_haul_out(boat.logbook, begins="2026-04-17", yard="Inlet Boatyard")
        boat.settle()
        boat.open("sheet")
        boat.day += timedelta(days=40)
        asked = typed_in(boat)
        sets = measured(boat)
        assert sets["seam-gap", "found"] == ({"gap": 2.5}, {"days_ashore": 1})
        assert sets["moisture", "found"][0] == {"reading": 17, "reference": 15}
        assert {"soft-wood", "dull-sound", "level-of-fouling"} <= {kind for kind, _ in sets}
        assert boat.presses <= 420, f"{boat.presses} keys for {len(asked)} rows"
    finally:
        boat.close()


@pytest.mark.parametrize(
    ("sort", "kind"),
    [("moisture_meter", "moisture"), ("film_gauge", "film-thickness"),
     ("plate_gauge", "plate-thickness")],
)  # fmt: skip
def test_a_reading_is_asked_where_its_instrument_is_on_record(yard, sort, kind):
    assert not [row for row in rows(yard) if row.sort == "reading"]
    around.add_instrument(yard.logbook, name="Gauge", sort=sort)
    yard.settle()
    assert {row.looked_for for row in rows(yard) if row.sort == "reading"} == {(kind,)}
    assert len(yard.section("sheet").fields) == len(rows(yard))


def test_how_a_reading_was_taken_outlives_the_rows_and_stands_there_again(yard):
    around.add_instrument(yard.logbook, name="Meter", sort="moisture_meter")
    yard.settle()

    def how():
        number = next(row.number for row in rows(yard) if row.subject_id == "moisture.prepared")
        return yard.section("sheet").fields[number]

    how().entry.setFocus()
    yard.type("pin meter; deep; l; 7\n")
    yard.settle()
    assert not how().refused
    assert yard.all(MeasurementSet) == []
    go(yard, "reading", "prepared", "Bottom aft, port")
    yard.type("17 15\n")
    yard.settle()
    yard.page.show_section("steps")
    yard.page.show_section("sheet")
    assert how().text() == "pin meter; deep; l; 7"
    assert not how().dirty
    assert field(yard, "reading", "prepared", "Bottom aft, port").text() == "17 15"
    how().entry.setFocus()
    how().entry.selectAll()
    yard.type("pin meter; deep; z; 7\n")
    assert how().refused


def test_a_fitting_shows_again_what_was_typed_of_it(yard):
    around.add_gear(yard.logbook, sort="bearing", name="bearing")
    yard.settle()
    go(yard, "gear", "opened_up", "bearing")
    yard.type("n; 0.4; f; a little worn\n")
    yard.settle()
    (look,) = yard.all(GearCheck)
    assert (look.result, look.text) == ("nothing_found", "a little worn")
    yard.page.show_section("steps")
    yard.page.show_section("sheet")
    assert field(yard, "gear", "opened_up", "bearing").text() == "n; 0.4; f; a little worn"


def test_words_alone_of_a_fitting_are_its_words(yard):
    around.add_gear(yard.logbook, sort="seacock", name="seacock")
    yard.settle()
    go(yard, "gear", "opened_up", "seacock")
    yard.type("stiff, greased\n")
    yard.settle()
    assert [(one.result, one.text) for one in yard.all(GearCheck)] == [(None, "stiff, greased")]


def test_what_is_left_empty_is_not_looked_at(yard):
    for _ in rows(yard):
        yard.type("\n")
    yard.settle()
    assert yard.all(Inspection) == []
    assert yard.all(StageTime) == []


def test_an_empty_box_is_not_looked_for(yard):
    go(yard, "zone", "washed", "Bottom aft, port")
    yard.type("0 - 40\n")
    (look,) = looks(yard, "bottom-aft-port")
    assert sorted(look.looked_for) == ["crack", "laminate-blisters"]
    assert figures(yard, look)["crack"] == {"length_mm": 40}


def test_nothing_found_is_one_key_and_is_for_all_boxes(yard):
    go(yard, "zone", "washed", "Bottom aft, port")
    yard.type("n\n")
    (look,) = looks(yard, "bottom-aft-port")
    assert (look.coverage, look.result) == ("whole", "nothing_found")
    assert sorted(look.looked_for) == ["crack", "damage", "laminate-blisters"]


def test_a_letter_says_why_a_zone_was_not_seen(yard):
    go(yard, "zone", "lifted", "Bottom aft, port")
    yard.type("h\n")
    (look,) = looks(yard, "bottom-aft-port")
    assert (look.coverage, look.hidden_by) == ("not_seen", "hanging")


def test_growth_before_the_wash_keeps_how_it_was_seen(yard):
    go(yard, "zone", "lifted", "Bottom aft, port")
    yard.type("3\n")
    (rated,) = yard.all(MeasurementSet)
    assert rated.kind == "level-of-fouling"
    assert rated.conditions == {"washed": "not_washed"}


def test_an_answer_given_again_takes_the_place_of_the_one_before(yard):
    go(yard, "zone", "washed", "Bottom aft, port")
    yard.type("5 3\n")
    yard.settle()
    shown = field(yard, "zone", "washed", "Bottom aft, port")
    shown.entry.setFocus()
    shown.entry.selectAll()
    yard.type("7 3\n")
    yard.settle()
    (look,) = looks(yard, "bottom-aft-port")
    assert figures(yard, look)["laminate-blisters"] == {"count": 7, "largest_mm": 3}


def test_what_is_on_record_stands_in_the_rows(yard):
    go(yard, "zone", "washed", "Bottom aft, port")
    yard.type("5 3 - 0\n")
    yard.settle()
    yard.page.show_section("steps")
    yard.page.show_section("sheet")
    yard.settle()
    assert field(yard, "zone", "washed", "Bottom aft, port").text() == "5 3 - 0"
    assert not field(yard, "zone", "washed", "Bottom aft, port").refused


@pytest.mark.parametrize(
    ("typed", "told"), [("z", "no answer"), ("1 2 3 4 5 6", "boxes"), ("1.5 -", "whole")]
)
def test_what_cannot_be_kept_is_said_beside_its_row_and_stays(yard, typed, told):
    go(yard, "zone", "washed", "Bottom aft, port")
    if typed == "z":
        go(yard, "zone", "lifted", "Bottom aft, port")
    yard.type(typed + "\n")
    yard.settle()
    stage = "lifted" if typed == "z" else "washed"
    here = field(yard, "zone", stage, "Bottom aft, port")
    assert here.refused
    assert told in here.sentence
    assert here.text() == typed
    assert looks(yard, "bottom-aft-port") == []


def test_slings_beside_her_are_refused_and_those_on_record_cannot_be_typed_twice(yard):
    def slings():
        made = next(row.number for row in rows(yard) if row.subject_id == "sling")
        return yard.section("sheet").fields[made]

    slings().entry.setFocus()
    yard.type("2.4 12\n")
    yard.settle()
    assert slings().refused
    assert yard.all(PadPosition) == []
    slings().entry.setText("2.4 6.1")
    yard.type("\n")
    yard.settle()
    assert len(yard.all(PadPosition)) == 2
    yard.page.show_section("steps")
    yard.page.show_section("sheet")
    slings().entry.setFocus()
    yard.type("1\n")
    yard.settle()
    assert slings().text() == "2.4 6.1"
    yard.undo()
    assert yard.all(PadPosition) == []


def test_a_row_typed_the_day_after_is_from_notes_and_one_of_its_own_day_is_not(yard):
    go(yard, "zone", "washed", "Bottom aft, port")
    yard.type("n\n")
    go(yard, "paint", "coated")
    yard.type("Redweed; 2.5; 1; 18 apr\n")
    yard.settle()
    (look,) = looks(yard, "bottom-aft-port")
    assert look.basis == "later_from_notes"
    assert [coat.basis for coat in yard.all(Coat)] == ["at_the_time"]


def test_a_paint_row_that_was_kept_is_not_kept_twice(yard):
    go(yard, "paint", "coated")
    yard.type("Redweed; 2.5; 1\n")
    yard.settle()
    yard.page.show_section("steps")
    yard.page.show_section("sheet")
    go(yard, "paint", "coated")
    yard.type("x\n")
    yard.settle()
    assert len(yard.all(Coat)) == 1


def test_each_row_is_taken_back_by_itself(yard):
    go(yard, "zone", "washed", "Bottom aft, port")
    yard.type("n\n")
    yard.settle()
    yard.undo()
    assert looks(yard, "bottom-aft-port") == []
    assert len(yard.all(Visit)) == 1


def test_the_rows_of_the_next_haul_out_are_its_own(yard):
    (first,) = yard.all(Visit)
    field(yard, "zone", "washed", "Bottom aft, port").entry.setText("half typed")
    field(yard, "zone", "washed", "Bottom aft, port").keep_draft()
    visits.relaunch(yard.logbook, first.id, "2026-04-17")
    visits.close(yard.logbook, first.id)
    second = visits.start_haul_out(yard.logbook, begins="2026-04-18")
    yard.settle()
    yard.open("sheet")
    here = field(yard, "zone", "washed", "Bottom aft, port")
    assert here.text() == ""
    assert here.objectName().startswith(f"sheet:{second}/")


@pytest.mark.parametrize("page", ["haul_out", "papers"])
def test_the_sheet_is_printed_from_the_page(yard, monkeypatch, tmp_path, page):
    target = tmp_path / "sheet.pdf"
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(target), ""))
    yard.window.show_page(page)
    yard.settle()
    if page == "papers":
        yard.page.write_sheet.click()
    else:
        yard.section("sheet").print_it.emit()
    yard.settle()
    assert target.read_bytes().startswith(b"%PDF")


def test_an_answer_of_the_walk_is_no_row_that_nobody_looked_at(yard):
    def left():
        return int(yard.section("sheet")._left.text().split()[0])

    before = left()
    assert before == sum(row.sort in ("zone", "anode", "gear", "bore") for row in rows(yard))
    yard.open("walk")
    yard.type("2\n")
    yard.settle()
    yard.type("fsoft here\n")
    yard.section("walk").found._must.must.choose("no_finding")
    yard.settle()
    (look,) = yard.all(Inspection)
    assert (look.result, look.note) == ("something_found", "soft here")
    yard.open("sheet")
    assert left() == before - 1

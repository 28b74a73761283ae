"""Where slings, pads and blocks bore: metres along the printed rule, and places on her form."""

from __future__ import annotations

import pytest

from hulllog.hull.outlines import along
from hulllog.hull.patches import Place
from hulllog.insight.bearing import BORE, bore, bore_at, metres_aft
from hulllog.insight.shape import form_of
from hulllog.insight.sheetentries import entered
from hulllog.insight.yardsheet import yard_sheet
from hulllog.records.errors import Refused
from hulllog.records.model import PadPosition
from hulllog.records.operations import queries, vessel, visits

BOATS = [("yacht", "fin"), ("yacht", "twin"), ("catamaran", "fin"), ("planing", "none")]


def launched(logbook, kind="yacht", keel="fin"):
    vessel.create_vessel(
        logbook, name="Test", kind=kind, material="grp", keel=keel,
        length="8.7 m", beam="2.85 m", draught="1.05 m",
    )  # fmt: skip
    with logbook.read() as book:
        return form_of(book)


@pytest.mark.parametrize("row", sorted(BORE))
@pytest.mark.parametrize(("kind", "keel"), BOATS)
def test_a_place_lies_as_far_aft_along_the_rule_as_was_measured(logbook, kind, keel, row):
    form = launched(logbook, kind, keel)
    for metres in (3.4, 5.1):
        given = bore_at(form, row, str(metres))
        there = Place(given["part"], given["face"], given["u"], given["v"])
        x, _ = form.view_point("port", there)
        assert x - along(form, "port")[0] == pytest.approx(metres, abs=1e-6)
        assert ("starboard" in (there.face, there.part.partition("-")[2])) == (
            row == "pad_starboard"
        )


def test_a_block_stands_under_the_keel_where_there_is_one(logbook):
    form = launched(logbook)
    under = bore_at(form, "block", "4.6")
    assert (under["part"], under["face"]) == ("keel", "under")
    assert bore_at(form, "block", "7.5")["part"] == "hull"


@pytest.mark.parametrize("typed", ["0.2", "9.5", "x"])
def test_what_lies_beside_her_is_refused(logbook, typed):
    form = launched(logbook)
    with pytest.raises(Refused):
        bore_at(form, "sling", typed)


def test_what_was_measured_leads_and_a_click_is_read_off_the_form(logbook):
    form = launched(logbook)
    visit = visits.start_haul_out(logbook, begins="2024-04-14")
    place = bore_at(form, "sling", "2.5")
    visits.add_pads(logbook, visit, sort="sling", places=[place])
    visits.add_pad(
        logbook, visit, sort="pad", place={"part": "hull", "face": "port", "u": 0.5, "v": 0.6}
    )
    with logbook.read() as book:
        kept = {one.sort: one for one in queries.kept(book, PadPosition)}
        told = bore(book, form, visit)
    assert kept["sling"].place.how["metres"] == "2.5"
    assert told["sling"] == (2.5,)
    x, _ = form.view_point("port", Place("hull", "port", 0.5, 0.6))
    assert told["pad_port"] == (pytest.approx(x - along(form, "port")[0]),)
    assert metres_aft(form, kept["sling"].place) == 2.5


def test_the_sheet_asks_for_them_with_what_was_last_and_shows_what_is_on_record(logbook):
    form = launched(logbook)
    first = visits.start_haul_out(logbook, begins="2023-04-14")
    places = [bore_at(form, "sling", typed) for typed in ("6.2", "2.5")]
    visits.add_pads(logbook, first, sort="sling", places=places)
    visits.relaunch(logbook, first, "2023-04-20")
    visits.close(logbook, first)
    second = visits.start_haul_out(logbook, begins="2024-04-14")
    with logbook.read() as book:
        sheet = yard_sheet(book)
    asked = {row.subject_id: row for row in sheet.rows if row.sort == "bore"}
    assert set(asked) == set(BORE)
    assert [box.last for box in asked["sling"].boxes] == [2.5, 6.2, None, None]
    assert [box.last for box in asked["block"].boxes] == [None] * 4
    places = [bore_at(form, "pad_starboard", typed) for typed in ("3", "5.25")]
    visits.add_pads(logbook, second, sort="pad", places=places)
    with logbook.read() as book:
        sheet = yard_sheet(book)
        on_record = entered(book, sheet)
    number = next(row.number for row in sheet.rows if row.subject_id == "pad_starboard")
    assert on_record[number].text == "3 5.25"

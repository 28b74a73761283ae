"""The short haul-out: one entry, all or nothing."""

from __future__ import annotations

import pytest

from hulllog.records.model import (
    AnodeCheck,
    AnodePiece,
    AnodePosition,
    Coat,
    Inspection,
    IssuedHistory,
    MeasurementSet,
    Product,
    Visit,
)
from hulllog.records.operations import anodes, coatings, issuing, short, visits
from hulllog.records.operations.short import ShortHaulOut, ShortLook


def whole(boat, **changes):
    fields = {
        "begins": "2025-05-10", "ends": "2025-05-14", "yard": "Alder Yard", "way": "crane",
        "looks": (
            ShortLook(zone_id=boat.zones["bottom-aft-port"], kind="level-of-fouling",
                      figures={"level": "2"}),
            ShortLook(zone_id=boat.zones["bottom-aft-starboard"], kind="laminate-blisters",
                      figures={"count": "3", "largest_mm": "8"}, conditions={"wetness": "wet"}),
            ShortLook(zone_id=boat.zones["rudder"]),
        ),
        "anode_name": "Shaft", "anode_left": "half", "anode_renewed": True,
        "product": "Tideguard Red", "litres": "2,5", "coats": "2",
        "note": "Cold and windy.",
    }  # fmt: skip
    return ShortHaulOut(**{**fields, **changes})


def test_the_whole_form_is_one_entry(boat):
    before = boat.entries
    key = short.short_haul_out(boat.logbook, whole(boat))
    assert boat.entries == before + 1
    visit = boat.get(Visit, key)
    assert (visit.yard, visit.way, visit.note) == ("Alder Yard", "crane", "Cold and windy.")
    assert len(boat.all(Inspection)) == 3
    assert {s.kind for s in boat.all(MeasurementSet)} == {"level-of-fouling", "laminate-blisters"}
    assert boat.all(AnodeCheck)[0].left_low == pytest.approx(0.4)
    old, fresh = boat.all(AnodePiece)
    assert (old.removed_visit_id, fresh.fitted_visit_id) == (key, key)
    assert [c.litres.text for c in boat.all(Coat)] == ["1.25", "1.25"]
    assert boat.all(Product)[0].coating_class == "unknown"
    boat.logbook.undo()
    assert boat.all(Inspection) == []


def test_the_short_form_can_say_what_was_looked_for(boat):
    key = short.short_haul_out(boat.logbook, whole(boat, looked_for=("crack",)))
    assert boat.get(Visit, key).looked_for == ["crack", "level-of-fouling", "laminate-blisters"]
    later = short.short_haul_out(boat.logbook, ShortHaulOut(begins="2025-05-28"))
    assert boat.get(Visit, later).looked_for == boat.get(Visit, key).looked_for


def test_the_date_alone_is_enough(boat):
    key = short.short_haul_out(boat.logbook, ShortHaulOut(begins="2019", basis="from_memory"))
    visit = boat.get(Visit, key)
    assert (visit.begins.precision, visit.basis) == ("year", "from_memory")
    assert boat.all(Inspection) == []
    assert boat.all(Coat) == []


def test_what_is_on_record_is_used_again(boat):
    position = anodes.add_position(boat.logbook, name="Shaft anode")
    piece = anodes.fit_piece(boat.logbook, position, visit_id=boat.visit, mass_new="1.2 kg")
    coatings.add_product(
        boat.logbook, name="Tideguard Red", coating_class="hard_antifouling", role="antifouling"
    )
    form = whole(boat, anode_name=None, anode_renewed=False, coats=None)
    short.short_haul_out(boat.logbook, form)
    assert [p.id for p in boat.all(AnodePiece)] == [piece]
    assert len(boat.all(AnodePosition)) == 1
    assert len(boat.all(Product)) == 1


@pytest.mark.parametrize(
    ("changes", "code", "field"),
    [
        ({"begins": ""}, "date_wanted", "begins"),
        ({"begins": "03/04/2020"}, "date_two_ways", "begins"),
        ({"ends": "2025-05-01"}, "relaunch_before_lift", "ends"),
        ({"way": "balloon"}, "unknown_choice", "way"),
        ({"litres": "much"}, "number_unread", "litres"),
        ({"product": None}, "text_wanted", "product"),
        ({"anode_name": None}, "choice_wanted", "anode_position_id"),
        ({"anode_left": "some"}, "unknown_choice", "left"),
        ({"coats": "0"}, "number_low", "coats"),
    ],
)
def test_one_wrong_field_stores_nothing(boat, refuses, changes, code, field):
    refuses(code, field, short.short_haul_out, whole(boat, **changes))
    assert len(boat.all(Visit)) == 1


def test_a_wrong_grade_names_its_line(boat, refuses):
    looks = (
        ShortLook(zone_id=boat.zones["rudder"]),
        ShortLook(zone_id=boat.zones["transom"], kind="level-of-fouling", figures={"level": "9"}),
    )
    refuses(
        "grade_unknown", "looks.1.figures.level", short.short_haul_out, whole(boat, looks=looks)
    )


def test_an_issued_history_is_a_record_and_ends_undo(boat):
    head = boat.logbook.head
    key = issuing.record_issue(
        boat.logbook, reader="insurer", to_whom="The insurer", head=head, file_sha256="a" * 64,
        file_name="history.pdf", options={"annexes": ["visits"]},
        issued_at=boat.logbook.around.now(),
    )  # fmt: skip
    issued = boat.get(IssuedHistory, key)
    assert (issued.head, issued.options) == (head, {"annexes": ["visits"]})
    assert boat.logbook.can_undo is None
    assert boat.logbook.head != head


def test_what_an_issued_history_told_is_changed_only_with_a_reason(boat, refuses):
    visits.set_visit(boat.logbook, boat.visit, "yard", "Alder Yard")
    issuing.record_issue(
        boat.logbook, reader="buyer", head=boat.logbook.head, file_sha256="b" * 64,
        file_name="h.pdf", options={}, issued_at=boat.logbook.around.now(),
    )  # fmt: skip
    refuses("reason_wanted", "", visits.set_visit, boat.visit, "yard", "Fen Yard")
    visits.relaunch(boat.logbook, boat.visit, "2025-04-25")
    visits.close(boat.logbook, boat.visit)
    assert boat.get(Visit, boat.visit).closed_at

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

import pytest

from hulllog.records.errors import Refused
from hulllog.records.model import (
    AnodeCheck,
    AnodePiece,
    Coat,
    NoteForNextTime,
    Product,
    StageTime,
    Visit,
    Weather,
)
from hulllog.records.operations import anodes, around, coatings, queries
from hulllog.records.operations.yardwork import Bench, PutOn, bench, from_sheet, put_on, set_stage
from hulllog.records.values import PartialDate


@pytest.fixture
def shaft(boat):
    position = anodes.add_position(boat.logbook, name="shaft")
    anodes.fit_piece(boat.logbook, position, metal="zinc", mass_new="1.2 kg", fitted="2024-04-10")
    return position


def present(boat, position):
    with boat.logbook.read() as book:
        return queries.present_piece(book, position)


def test_a_stage_is_said_once_and_may_be_said_again_or_taken_back(boat):
    set_stage(boat.logbook, boat.visit, "washed", "2025-04-14 10:30")
    set_stage(boat.logbook, boat.visit, "washed", "2025-04-14 11:00")
    (told,) = boat.all(StageTime)
    assert told.at.text == "2025-04-14 11:00"
    set_stage(boat.logbook, boat.visit, "washed", "")
    assert boat.all(StageTime) == []


def test_a_stage_before_the_lift_is_refused(boat, refuses):
    refuses("stage_before_lift", "at", set_stage, boat.visit, "washed", "2025-04-13")


def test_weighed_and_renewed_is_one_entry(boat, shaft):
    before = boat.entries
    bench(
        boat.logbook, boat.visit, shaft,
        Bench(mass="830 g", contact="tight", renewed=True, mass_new="1.15 kg"),
    )  # fmt: skip
    (check,) = boat.all(AnodeCheck)
    assert boat.entries == before + 1
    assert (check.way, check.mass.text, check.mass.unit, check.contact) == (
        "weighed", "830", "g", "tight",
    )  # fmt: skip
    new = present(boat, shaft)
    assert (new.metal, new.mass_new.text, new.fitted_visit_id) == ("zinc", "1.15", boat.visit)
    assert boat.get(AnodePiece, check.piece_id).removed_visit_id == boat.visit


def test_a_second_look_at_the_bench_changes_the_first(boat, shaft):
    bench(boat.logbook, boat.visit, shaft, Bench(left="half"))
    bench(boat.logbook, boat.visit, shaft, Bench(mass="830 g"))
    (check,) = boat.all(AnodeCheck)
    assert (check.way, check.left_low, check.mass.text) == ("weighed", None, "830")


def test_heavier_than_new_is_refused_and_nothing_is_fitted(boat, shaft, refuses):
    refuses(
        "heavier_than_new", "mass", bench, boat.visit, shaft, Bench(mass="1.4 kg", renewed=True)
    )
    assert len(boat.all(AnodePiece)) == 1


def test_an_anode_never_recorded_is_entered_as_unknown(boat):
    position = anodes.add_position(boat.logbook, name="rudder")
    bench(boat.logbook, boat.visit, position, Bench(left="quarter"))
    (check,) = boat.all(AnodeCheck)
    assert boat.get(AnodePiece, check.piece_id).metal == "unknown"


def test_a_look_without_mass_share_or_new_piece_is_refused(boat, shaft, refuses):
    refuses("anode_look_wanted", "left", bench, boat.visit, shaft, Bench(contact="loose"))


def test_the_mass_of_a_new_piece_is_refused_by_its_own_name(boat, shaft):
    with pytest.raises(Refused) as refused:
        bench(boat.logbook, boat.visit, shaft, Bench(renewed=True, mass_new="0"))
    assert refused.value.field == "mass_new"


def test_coats_share_the_litres_and_keep_the_weather(boat):
    before = boat.entries
    put_on(
        boat.logbook, boat.visit,
        PutOn(
            product={"name": "Tidewall 40", "coating_class": "hard_antifouling", "colour": "red"},
            litres="2.5", coats="2", at="2025-04-16", weather={"air": "14", "humidity": "65"},
        ),
    )  # fmt: skip
    assert boat.entries == before + 1
    first, second = boat.all(Coat)
    assert (first.litres.text, second.litres.text) == ("1.25", "1.25")
    assert (first.number, second.number, second.air.text) == (1, 2, "14")
    (product,), (weather,) = boat.all(Product), boat.all(Weather)
    assert (product.colour, weather.humidity.text) == ("red", "65")


def test_a_known_paint_is_put_on_without_a_second_product(boat):
    product = coatings.add_product(
        boat.logbook, name="Tidewall 40", coating_class="unknown", role="antifouling"
    )
    put_on(boat.logbook, boat.visit, PutOn(product_id=product, coats=1))
    assert len(boat.all(Product)) == 1
    assert boat.logbook.can_undo == ("coat.several", {"product": "Tidewall 40"})


@pytest.mark.parametrize(
    ("paint", "code", "field"),
    [
        (PutOn(), "choice_wanted", "product"),
        (PutOn(product={"name": " "}), "text_wanted", "name"),
        (PutOn(product={"name": "x"}, litres="0"), "number_low", "litres"),
        (PutOn(product={"name": "x"}, coats="0"), "number_low", "coats"),
        (PutOn(product={"name": "x"}, at="2025-04-01"), "coat_before_lift", "at"),
        (PutOn(product={"name": "x"}, weather={"humidity": "120"}), "number_high", "humidity"),
    ],
)
def test_paint_that_cannot_be_kept_is_refused_by_field(boat, refuses, paint, code, field):
    refuses(code, field, put_on, boat.visit, paint)
    assert boat.all(Product) == []


@pytest.mark.parametrize(
    ("now", "zone", "basis"),
    [
        # 23:30 in Auckland is still the day of the visit, half an hour later is not.
        (datetime(2025, 4, 14, 11, 30, tzinfo=UTC), "Pacific/Auckland", "at_the_time"),
        (datetime(2025, 4, 14, 12, 0, tzinfo=UTC), "Pacific/Auckland", "later_from_notes"),
        (datetime(2025, 4, 14, 12, 0, tzinfo=UTC), "Europe/London", "at_the_time"),
        (datetime(2025, 4, 15, 12, 0, tzinfo=UTC), "Europe/London", "later_from_notes"),
    ],
)
def test_a_row_of_the_sheet_typed_on_a_later_day_is_from_notes(boat, shaft, now, zone, basis):
    with boat.logbook.change("visit.change") as book:
        visit = book.get(Visit, boat.visit)
        visit.time_zone, visit.begins = zone, PartialDate.parse("2025-04-14", zone)
    boat.logbook.around = replace(boat.logbook.around, now=lambda: now)
    weighed = Bench(mass="830 g", contact="tight")
    from_sheet(boat.logbook, boat.visit, "opened_up", bench, boat.visit, shaft, weighed)
    (check,) = boat.all(AnodeCheck)
    assert check.basis == basis
    # What is entered by another way on the same day is not touched by it.
    set_stage(boat.logbook, boat.visit, "washed", "2025-04-14")
    assert [one.basis for one in boat.all(StageTime)] == ["at_the_time"]


def test_the_time_of_its_stage_tells_when_a_row_was_written(boat, shaft):
    late = datetime(2025, 4, 16, 12, tzinfo=UTC)
    boat.logbook.around = replace(boat.logbook.around, now=lambda: late)
    stage = (boat.visit, "opened_up", set_stage, boat.visit, "opened_up")
    from_sheet(boat.logbook, *stage, "2025-04-16", at="2025-04-16")
    assert [one.basis for one in boat.all(StageTime)] == ["at_the_time"]
    about = (boat.visit, "opened_up", bench, boat.visit, shaft)
    from_sheet(boat.logbook, *about, Bench(mass="830 g"))
    assert [one.basis for one in boat.all(AnodeCheck)] == ["at_the_time"]
    from_sheet(boat.logbook, *stage, "2025-04-15", at="2025-04-15")
    assert [one.basis for one in boat.all(StageTime)] == ["later_from_notes"]


def test_a_basis_that_is_stated_stays(boat):
    late = datetime(2025, 4, 16, 12, tzinfo=UTC)
    boat.logbook.around = replace(boat.logbook.around, now=lambda: late)
    note = (boat.visit, "lifted", around.note_for_next_time, "Ladder")
    from_sheet(boat.logbook, *note, visit_id=boat.visit, basis="from_memory")
    assert [one.basis for one in boat.all(NoteForNextTime)] == ["from_memory"]

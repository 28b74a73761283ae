"""Old haul-outs, many at a time: what is kept, what is refused, and one undo for all."""

from __future__ import annotations

import pytest
from sqlalchemy import event

from hulllog.insight.anodes import positions
from hulllog.records.errors import Refused
from hulllog.records.model import AnodePiece, AnodePosition, Coat, Product, Visit
from hulllog.records.operations import anodes, oldnotes, queries, visits
from hulllog.words.errors import said

TEN = [{"begins": f"{year}-04", "yard": "Inlet Boatyard"} for year in range(2010, 2020)]


def kept(logbook, model=Visit):
    with logbook.read() as book:
        return list(queries.kept(book, model))


def wrong(logbook, *rows):
    with logbook.read() as book:
        return [(one.row, one.column, one.refused.code) for one in oldnotes.problems(book, rows)]


def test_ten_rows_are_one_entry_that_undo_takes_back_whole(logbook):
    rows = [{**row, "product": "Tidewall 40", "litres": "2,5", "anodes": "yes"} for row in TEN]
    keys = oldnotes.keep_old_haul_outs(logbook, rows, unnamed_anode="Anodes")
    assert len(set(keys)) == 10
    assert logbook.can_undo == ("visit.old_notes", {"count": 10})
    assert [one.litres.text for one in kept(logbook, Coat)] == ["2.5"] * 10
    assert len(kept(logbook, Product)) == 1
    logbook.undo()
    for model in (Visit, Coat, Product, AnodePosition, AnodePiece):
        assert kept(logbook, model) == []


def test_an_old_haul_out_is_closed_and_says_how_it_is_known(logbook):
    rows = [
        {"begins": "about 2014-04", "way": "hoi", "found": "blisters on the rudder",
         "note": "yard was full"},
        {"begins": "2016", "basis": "from memory"},
    ]  # fmt: skip
    oldnotes.keep_old_haul_outs(logbook, rows, basis="from_former_owner")
    first, second = kept(logbook)
    assert (first.basis, second.basis) == ("from_former_owner", "from_memory")
    assert first.begins.about
    assert first.begins.precision == "month"
    assert (first.way, first.note) == ("hoist", "blisters on the rudder\nyard was full")
    assert first.closed_at
    assert second.closed_at
    assert first.looked_for == []


def test_nothing_is_taken_over_from_a_later_haul_out(logbook):
    visits.start_haul_out(logbook, begins="2024", looked_for=["astm-d610-2008"], methods=["close"])
    (key,) = oldnotes.keep_old_haul_outs(logbook, [{"begins": "2010"}])
    with logbook.read() as book:
        assert (book.get_one(Visit, key).looked_for, book.get_one(Visit, key).methods) == ([], [])


def test_blank_rows_are_left_out(logbook):
    keys = oldnotes.keep_old_haul_outs(logbook, [{}, {"begins": "2012"}, {"yard": "  "}])
    assert len(keys) == 1


@pytest.mark.parametrize(
    ("row", "column", "code"),
    [
        ({"yard": "Inlet"}, "begins", "date_wanted"),
        ({"begins": "soon"}, "begins", "date_unread"),
        ({"begins": "03/04/2014"}, "begins", "date_two_ways"),
        ({"begins": "2099"}, "begins", "date_ahead"),
        ({"begins": "2014-05", "ends": "2014-04"}, "ends", "relaunch_before_lift"),
        ({"begins": "2014", "way": "balloon"}, "way", "label_unknown"),
        ({"begins": "2014", "litres": "3"}, "product", "text_wanted"),
        ({"begins": "2014", "product": "Tidewall", "litres": "many"}, "litres", "number_unread"),
        ({"begins": "2014", "basis": "hearsay"}, "basis", "label_unknown"),
        ({"begins": "2014", "yard": "x" * 121}, "yard", "text_long"),
    ],
)
def test_each_cell_that_cannot_be_kept_is_named(logbook, row, column, code):
    assert wrong(logbook, {"begins": "2001"}, row) == [(1, column, code)]
    with pytest.raises(Refused) as refused:
        oldnotes.keep_old_haul_outs(logbook, [{"begins": "2001"}, row])
    assert refused.value.field == f"rows.1.{column}"
    assert said(refused.value)
    assert kept(logbook) == []


def test_the_same_haul_out_twice_is_refused_in_the_table_and_on_record(logbook):
    assert wrong(logbook, {"begins": "2014-04-14"}, {"begins": "14 Apr 2014"}) == [
        (1, "begins", "haul_out_twice")
    ]
    oldnotes.keep_old_haul_outs(logbook, [{"begins": "2014"}])
    assert wrong(logbook, {"begins": "2014"}) == [(0, "begins", "haul_out_twice")]
    assert wrong(logbook, {"begins": "2014-10"}) == []


def test_two_stays_that_certainly_overlap_are_refused(logbook):
    rows = (
        {"begins": "2014-03", "ends": "2014-06"},
        {"begins": "2014-04-10", "ends": "2014-05-02"},
    )
    assert wrong(logbook, *rows) == [(1, "begins", "visits_overlap")]


def test_anodes_of_the_past_are_put_between_those_on_record(logbook):
    position = anodes.add_position(logbook, name="Shaft")
    late = visits.start_haul_out(logbook, begins="2022-04-01")
    anodes.fit_piece(logbook, position, metal="zinc", visit_id=late)
    rows = [{"begins": "2014-04", "anodes": "y"}, {"begins": "2010-04", "anodes": "shaft"}]
    y2014, y2010 = oldnotes.keep_old_haul_outs(logbook, rows)
    fitted = {one.fitted_visit_id: one.removed_visit_id for one in kept(logbook, AnodePiece)}
    assert fitted == {y2010: y2014, y2014: late, late: None}
    with logbook.read() as book:
        (story,) = positions(book)
        assert story.present.metal == "zinc"


def test_an_anode_that_is_not_on_record_is_refused_and_the_names_are_told(logbook):
    anodes.add_position(logbook, name="Shaft")
    row = {"begins": "2014", "anodes": "shaft, bow thruster"}
    with pytest.raises(Refused) as refused:
        oldnotes.keep_old_haul_outs(logbook, [row])
    assert "bow thruster" in said(refused.value)
    assert "Shaft" in said(refused.value)


def test_names_make_positions_where_none_is_on_record(logbook):
    rows = [{"begins": "2014", "anodes": "shaft; rudder"}, {"begins": "2016", "anodes": "Rudder"}]
    oldnotes.keep_old_haul_outs(logbook, rows)
    assert sorted(one.name for one in kept(logbook, AnodePosition)) == ["rudder", "shaft"]
    assert len(kept(logbook, AnodePiece)) == 3


@pytest.mark.parametrize("typed", ["no", "-", "0", ""])
def test_no_anodes_changed(logbook, typed):
    oldnotes.keep_old_haul_outs(logbook, [{"begins": "2014", "anodes": typed}])
    assert kept(logbook, AnodePiece) == []


def test_many_rows_ask_the_records_a_fixed_number_of_times(logbook):
    def asked(count):
        rows = [
            {"begins": f"{1900 + n // 12}-{n % 12 + 1:02}", "litres": "2,5", "product": "T",
             "anodes": "y"}
            for n in range(count)
        ]  # fmt: skip
        with logbook.read() as book:
            statements = []
            connection = book.connection()
            event.listen(connection, "before_cursor_execute", lambda *told: statements.append(told))
            assert oldnotes.problems(book, rows) == []
        return len(statements)

    assert asked(200) == asked(2) > 0

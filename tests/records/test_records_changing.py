"""Changing a logbook: only inside a change, whole or not at all, and back by undo."""

from __future__ import annotations

import threading
from collections.abc import Callable
from typing import TYPE_CHECKING

import pytest
from recordskit import begin, count, set_yard, yard_of
from sqlalchemy import delete, insert, select, text, update

from hulllog.records.base import Kept
from hulllog.records.errors import LogbookProblem, Refused, WriteOutside
from hulllog.records.journal import Entry
from hulllog.records.model import (
    Coat,
    CoatZone,
    IssuedHistory,
    MeasurementSet,
    Product,
    Rating,
    Visit,
    Zone,
)

if TYPE_CHECKING:
    from hulllog.records.logbook import ChangeNote, Logbook

NewVisit = Callable[..., Visit]


# Writing only inside a change


def test_a_write_in_a_reading_session_is_refused(logbook: Logbook, new_visit: NewVisit) -> None:
    key = begin(logbook, new_visit(yard="Quay"))
    with logbook.read() as book:
        book.keep(new_visit())
        with pytest.raises(WriteOutside):
            book.flush()
        book.expunge_all()
    with pytest.raises(WriteOutside), logbook.read() as book:
        book.get_one(Visit, key).yard = "altered, and never flushed"
    with pytest.raises(WriteOutside), logbook.read() as book:
        book.delete(book.get_one(Visit, key))
    assert yard_of(logbook, key) == "Quay"
    assert count(logbook, Visit) == 1


@pytest.mark.parametrize(
    "statement",
    [
        update(Visit).values(yard="x"),
        delete(Visit),
        insert(Visit).values(id="x"),
        text("UPDATE visit SET yard = 'x'"),
        text("DELETE FROM visit"),
    ],
)
def test_no_statement_writes_past_the_journal(
    logbook: Logbook, new_visit: NewVisit, statement: object
) -> None:
    key = begin(logbook, new_visit(yard="Quay"))
    with pytest.raises(WriteOutside, match="bulk_write"), logbook.change("visit.set") as book:
        book.execute(statement)
    assert yard_of(logbook, key) == "Quay"


def test_no_bulk_call_writes_past_the_journal(logbook: Logbook, new_visit: NewVisit) -> None:
    with pytest.raises(WriteOutside), logbook.change("visit.set") as book:
        book.bulk_save_objects([new_visit()])
    with pytest.raises(WriteOutside), logbook.change("visit.set") as book:
        book.bulk_insert_mappings(Visit, [{"id": "x"}])


def test_a_change_while_reading_is_refused_at_once(logbook: Logbook) -> None:
    wanted = pytest.raises(WriteOutside, match="change_inside_read")
    with logbook.read(), wanted, logbook.change("visit.set"):
        pass
    with logbook.change("visit.set"):
        pass


def test_undo_inside_a_change_is_refused(logbook: Logbook, new_visit: NewVisit) -> None:
    begin(logbook, new_visit())
    with pytest.raises(WriteOutside, match="undo_inside_change"), logbook.change("visit.set"):
        logbook.undo()


# What a change leaves


def test_what_goes_wrong_inside_a_change_leaves_nothing(
    logbook: Logbook, new_visit: NewVisit
) -> None:
    key = begin(logbook, new_visit(yard="Quay"))
    head = logbook.head
    with pytest.raises(ZeroDivisionError), logbook.change("visit.set") as book:  # noqa: PT012
        book.get_one(Visit, key).yard = "Creek"
        book.keep(new_visit("2020"))
        book.flush()
        raise ZeroDivisionError
    assert yard_of(logbook, key) == "Quay"
    assert count(logbook, Visit) == 1
    assert logbook.head == head
    set_yard(logbook, key, "Creek")
    assert yard_of(logbook, key) == "Creek"


def test_a_broken_rule_of_the_database_leaves_nothing(
    logbook: Logbook, new_visit: NewVisit
) -> None:
    from sqlalchemy.exc import IntegrityError

    with pytest.raises(IntegrityError), logbook.change("coat.add") as book:
        book.keep(Coat(visit_id="nowhere", product_id="nothing", number=1))
    assert count(logbook, Coat) == 0
    assert logbook.head == ""


def test_a_change_inside_a_change_is_part_of_it(logbook: Logbook, new_visit: NewVisit) -> None:
    with logbook.change("outer", name="x") as outer:
        outer.keep(new_visit("2019"))
        with logbook.change("inner") as inner:
            assert inner is outer
            inner.keep(new_visit("2020"))
        with logbook.read() as reading:
            assert reading is outer
    assert count(logbook, Visit) == 2
    assert count(logbook, Entry) == 1
    assert logbook.can_undo == ("outer", {"name": "x"})


def test_a_change_inside_that_fails_takes_back_its_own_part_only(
    logbook: Logbook, new_visit: NewVisit
) -> None:
    with logbook.change("outer") as book:
        kept = book.keep(new_visit("2019"))
        with pytest.raises(Refused), logbook.change("inner"):  # noqa: PT012
            book.keep(new_visit("2020"))
            kept.yard = "altered inside"
            raise Refused("text_wanted")
        assert kept.yard is None
        book.keep(new_visit("2021"))
    with logbook.read() as book:
        begun = sorted(visit.begins.text for visit in book.scalars(select(Visit)) if visit.begins)
    assert begun == ["2019", "2021"]
    logbook.undo()
    assert count(logbook, Visit) == 0


def test_a_record_in_hand_equals_the_one_read_back(logbook: Logbook, new_visit: NewVisit) -> None:
    with logbook.change("visit.start") as book:
        kept = book.keep(new_visit())
    with logbook.read() as book:
        read = book.get_one(Visit, kept.id)
    assert (kept.entered_at, kept.entered_by) == (read.entered_at, read.entered_by)
    assert isinstance(read, Kept)


def test_listeners_hear_what_kind_of_thing_changed(logbook: Logbook, new_visit: NewVisit) -> None:
    heard: list[ChangeNote] = []
    stop = logbook.on_change(heard.append)
    with logbook.change("visit.start", initiator="page", begins="2019") as book:
        book.keep(new_visit())
    logbook.undo(initiator="key")
    stop()
    logbook.redo()
    assert [(note.kind, note.initiator) for note in heard] == [("edit", "page"), ("undo", "key")]
    assert all(note.tables == {"visit"} for note in heard)
    assert all(note.action == "visit.start" for note in heard)
    assert all(note.details == {"begins": "2019"} for note in heard)


def test_a_full_disk_is_told_as_such_and_loses_nothing(
    logbook: Logbook, new_visit: NewVisit
) -> None:
    key = begin(logbook, new_visit(yard="Quay"))
    full = pytest.raises(OSError, match="No space left")
    with full as caught, logbook.change("visit.set") as book:
        pages = book.connection().exec_driver_sql("PRAGMA page_count").scalar_one()
        book.connection().exec_driver_sql(f"PRAGMA max_page_count = {pages}")
        book.get_one(Visit, key).note = "x" * 500_000
    assert caught.value.filename == str(logbook.file)
    assert yard_of(logbook, key) == "Quay"


def test_a_reader_aside_holds_nobody_up(logbook: Logbook, new_visit: NewVisit) -> None:
    key = begin(logbook, new_visit(yard="Quay"))
    head = logbook.head
    with logbook.read_aside() as aside:
        assert aside.get_one(Visit, key).yard == "Quay"
        set_yard(logbook, key, "Creek")
        assert (aside.head, logbook.head != head) == (head, True)
        assert aside.scalar(select(Visit.yard)) == "Quay"
    assert yard_of(logbook, key) == "Creek"
    with pytest.raises(WriteOutside), logbook.read_aside() as aside:
        aside.keep(new_visit())


def test_threads_write_one_after_the_other(logbook: Logbook, new_visit: NewVisit) -> None:
    key = begin(logbook, new_visit(engine_hours=None))

    def write(number: int) -> None:
        for turn in range(5):
            set_yard(logbook, key, f"{number}-{turn}")

    threads = [threading.Thread(target=write, args=(number,)) for number in range(3)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert count(logbook, Entry) == 16


# Undo and redo


def test_undo_and_redo_go_back_and_forth(logbook: Logbook, new_visit: NewVisit) -> None:
    key = begin(logbook, new_visit(yard="Quay"))
    set_yard(logbook, key, "Creek", field="yard")
    assert logbook.can_undo == ("visit.set", {"field": "yard"})
    logbook.undo()
    assert yard_of(logbook, key) == "Quay"
    assert logbook.can_redo == ("visit.set", {"field": "yard"})
    logbook.undo()
    assert count(logbook, Visit) == 0
    logbook.redo()
    logbook.redo()
    assert yard_of(logbook, key) == "Creek"
    assert logbook.can_redo is None
    assert count(logbook, Entry) == 6, "undo appends, never removes"


def test_a_new_edit_ends_what_could_be_done_again(logbook: Logbook, new_visit: NewVisit) -> None:
    key = begin(logbook, new_visit(yard="Quay"))
    set_yard(logbook, key, "Creek")
    logbook.undo()
    set_yard(logbook, key, "Dock")
    assert logbook.can_redo is None
    with pytest.raises(LogbookProblem, match="nothing_to_redo"):
        logbook.redo()


def test_there_is_nothing_to_undo_before_the_first_edit(logbook: Logbook) -> None:
    with pytest.raises(LogbookProblem, match="nothing_to_undo"):
        logbook.undo()


def test_an_issued_history_ends_undo(logbook: Logbook, new_visit: NewVisit) -> None:
    begin(logbook, new_visit())
    with logbook.change("history.issue", kind="issue") as book:
        book.keep(issued(book.now()))
    assert logbook.can_undo is None


def test_a_cascade_comes_back_whole(logbook: Logbook, new_visit: NewVisit) -> None:
    with logbook.change("fill") as book:
        visit, product = book.keep(new_visit()), book.keep(paint())
        zone = book.keep(Zone(code="p1", name="Port bow", walk_order=1))
        coat = book.keep(Coat(visit_id=visit.id, product_id=product.id, number=1))
        coat.zones = [CoatZone(zone_id=zone.id, share=share) for share in (0.5, 1.0)]
    with logbook.change("coat.drop") as book:
        book.delete(book.get_one(Coat, coat.id))
    assert count(logbook, CoatZone) == 0
    logbook.undo()
    with logbook.read() as book:
        assert sorted(one.share for one in book.get_one(Coat, coat.id).zones) == [0.5, 1.0]


def test_an_orphan_is_recorded_and_comes_back(logbook: Logbook, new_visit: NewVisit) -> None:
    with logbook.change("fill") as book:
        visit = book.keep(new_visit())
        measured = book.keep(
            MeasurementSet(visit_id=visit.id, kind="rust", state="found", conditions={})
        )
        measured.ratings = [Rating(component="grade", code=code) for code in ("1", "2")]
    with logbook.change("set.change") as book:
        again = book.get_one(MeasurementSet, measured.id)
        again.ratings = [again.ratings[0]]
    assert count(logbook, Rating) == 1
    logbook.undo()
    assert count(logbook, Rating) == 2


def issued(at: object, **told: object) -> IssuedHistory:
    return IssuedHistory(
        issued_at=at, reader="buyer", options={}, head="", file_sha256="", file_name="x", **told
    )


def paint() -> Product:
    return Product(name="Red", coating_class="ablative", role="antifouling", biocides=[])

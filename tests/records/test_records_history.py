"""Corrections want a reason; the past of a record is told; issued histories are listed."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

import pytest
from sqlalchemy import select

from hulllog.records.errors import Refused
from hulllog.records.history import corrections_made, issued, record_history
from hulllog.records.journal import RowDigest
from hulllog.records.model import (
    AnodeCheck,
    AnodePiece,
    AnodePosition,
    ContactReading,
    Finding,
    IssuedHistory,
    MeasurementSet,
    NoteForNextTime,
    Photo,
    Rating,
    Visit,
    Work,
)
from hulllog.records.values import PartialDate

if TYPE_CHECKING:
    from hulllog.records.logbook import Logbook

NewVisit = Callable[..., Visit]


def begin(logbook: Logbook, visit: Visit) -> str:
    with logbook.change("visit.start", begins="2019") as book:
        return book.keep(visit).id


def close(logbook: Logbook, key: str) -> None:
    with logbook.change("visit.close") as book:
        visit = book.get_one(Visit, key)
        visit.closed_at = book.now()


def issue(logbook: Logbook) -> str:
    with logbook.change("history.issue", kind="issue") as book:
        return book.keep(
            IssuedHistory(
                issued_at=book.now(), reader="buyer", to_whom="A buyer", options={},
                head=logbook.head, file_sha256="0" * 64, file_name="history.pdf",
            )
        ).id  # fmt: skip


def alter(
    logbook: Logbook, model: type[Any], key: str, reason: str | None = None, **to: Any
) -> None:
    with logbook.change("record.set", reason=reason) as book:
        record = book.get_one(model, key)
        for name, value in to.items():
            setattr(record, name, value)


def graded(logbook: Logbook, visit_id: str) -> str:
    with logbook.change("set.add") as book:
        measured = book.keep(
            MeasurementSet(visit_id=visit_id, kind="rust", state="found", conditions={})
        )
        return book.keep(Rating(set_id=measured.id, component="grade", code="1")).id


# What wants a reason


def test_a_record_of_an_open_visit_is_changed_freely(logbook: Logbook, new_visit: NewVisit) -> None:
    key = begin(logbook, new_visit(yard="Quay"))
    alter(logbook, Visit, key, yard="Creek")


def test_a_record_of_a_closed_visit_wants_a_reason(logbook: Logbook, new_visit: NewVisit) -> None:
    key = begin(logbook, new_visit(yard="Quay"))
    rating = graded(logbook, key)
    close(logbook, key)
    with pytest.raises(Refused) as caught:
        alter(logbook, Visit, key, yard="Creek")
    assert caught.value.code == "reason_wanted"
    with pytest.raises(Refused, match="reason_wanted"):
        alter(logbook, Rating, rating, code="2")
    with pytest.raises(Refused, match="reason_wanted"):
        alter(logbook, Visit, key, note="filled in afterwards")
    alter(logbook, Rating, rating, reason="read wrongly", code="2")
    with logbook.read() as book:
        assert book.get_one(Rating, rating).code == "2"
        assert book.get_one(Visit, key).yard == "Quay"


def test_a_reading_hung_on_something_of_a_closed_visit_wants_a_reason(
    logbook: Logbook, new_visit: NewVisit
) -> None:
    key = begin(logbook, new_visit())
    with logbook.change("anode.check") as book:
        position = book.keep(AnodePosition(name="Shaft", protects=[]))
        piece = book.keep(
            AnodePiece(position_id=position.id, metal="zinc", mass_new_from="unknown")
        )
        looked = book.keep(AnodeCheck(piece_id=piece.id, visit_id=key, state="found", way="by_eye"))
        contact = book.keep(ContactReading(check_id=looked.id, part="shaft"))
    close(logbook, key)
    with pytest.raises(Refused, match="reason_wanted"):
        alter(logbook, ContactReading, contact.id, part="strut")


def test_what_lives_on_after_a_visit_is_changed_freely(
    logbook: Logbook, new_visit: NewVisit
) -> None:
    key = begin(logbook, new_visit())
    with logbook.change("fill") as book:
        finding = book.keep(
            Finding(number=1, title="Rust", sort="rust", must="watch", severity="slight",
                    raised_visit_id=key)
        )  # fmt: skip
        note = book.keep(NoteForNextTime(text="Look at it", raised_visit_id=key))
    close(logbook, key)
    alter(logbook, Finding, finding.id, status="closed")
    alter(logbook, NoteForNextTime, note.id, answer="Done")


def test_what_is_added_to_a_closed_visit_wants_none(logbook: Logbook, new_visit: NewVisit) -> None:
    key = begin(logbook, new_visit())
    close(logbook, key)
    with logbook.change("work.add") as book:
        book.keep(Work(visit_id=key, text="Found in an old invoice"))


def test_opening_a_closed_visit_again_wants_a_reason(logbook: Logbook, new_visit: NewVisit) -> None:
    key = begin(logbook, new_visit())
    close(logbook, key)
    with pytest.raises(Refused, match="reason_wanted"):
        alter(logbook, Visit, key, closed_at=None)
    alter(logbook, Visit, key, reason="closed too early", closed_at=None)
    alter(logbook, Visit, key, yard="Creek")


def test_what_an_issued_history_printed_wants_a_reason(
    logbook: Logbook, new_visit: NewVisit
) -> None:
    key = begin(logbook, new_visit(yard="Quay"))
    issue(logbook)
    with pytest.raises(Refused, match="reason_wanted"):
        alter(logbook, Visit, key, yard="Creek")
    with pytest.raises(Refused, match="reason_wanted"), logbook.change("visit.drop") as book:
        book.delete(book.get_one(Visit, key))
    alter(logbook, Visit, key, reason="wrong yard", yard="Creek")


def test_an_open_visit_goes_on_after_a_history_was_issued(
    logbook: Logbook, new_visit: NewVisit
) -> None:
    key = begin(logbook, new_visit(yard="Quay"))
    issue(logbook)
    alter(logbook, Visit, key, ends=PartialDate.parse("2019-05"), note="relaunched")
    close(logbook, key)
    later = begin(logbook, new_visit("2021", yard="Creek"))
    alter(logbook, Visit, later, yard="Quay")


def test_a_reason_given_inside_a_change_counts(logbook: Logbook, new_visit: NewVisit) -> None:
    key = begin(logbook, new_visit(yard="Quay"))
    close(logbook, key)
    with logbook.change("outer"), logbook.change("inner", reason="typo") as book:
        book.get_one(Visit, key).yard = "Creek"
    with logbook.read() as book:
        assert [change.reason for change in corrections_made(book)] == ["typo"]


# The past of a record


def test_the_past_of_a_record_is_told_field_by_field(logbook: Logbook, new_visit: NewVisit) -> None:
    key = begin(logbook, new_visit("2019", yard="Quay"))
    begins = PartialDate.parse("Apr 2019", "Europe/London")
    alter(logbook, Visit, key, begins=begins, looked_for=["rust"])
    logbook.undo()
    with logbook.change("visit.drop") as book:
        book.delete(book.get_one(Visit, key))
    with logbook.read() as book:
        first, second, third, last = record_history(book, "visit", key)
    assert (first.operation, first.action, first.person) == ("insert", "visit.start", "owner")
    assert first.after["yard"] == "Quay"
    assert first.after["withdrawn"] is False
    assert set(first.before.values()) == {None}
    assert "entered_at" not in first.after
    assert second.after == {"begins": begins, "looked_for": ["rust"]}
    assert second.before == {"begins": PartialDate.parse("2019"), "looked_for": []}
    assert (third.kind, third.before, third.after) == ("undo", second.after, second.before)
    assert (last.operation, last.before["yard"], last.after["yard"]) == ("delete", "Quay", None)
    assert first.at < second.at < third.at < last.at


def test_a_reference_is_told_by_the_name_of_what_it_points_at(
    logbook: Logbook, new_visit: NewVisit
) -> None:
    first, second = begin(logbook, new_visit("2019")), begin(logbook, new_visit("2019"))
    third = begin(logbook, new_visit("2020"))
    with logbook.change("photo.import") as book:
        photo = book.keep(
            Photo(visit_id=first, sha256="0" * 64, media_type="image/jpeg", size=1, width=1,
                  height=1, file_name="1.jpg", imported_at=book.now())
        )  # fmt: skip
    alter(logbook, Photo, photo.id, visit_id=second)
    alter(logbook, Photo, photo.id, visit_id=third)
    with logbook.read() as book:
        _, same, other = record_history(book, "photo", photo.id)
    assert set(same.after) == {"visit_id"}, "another visit of the same year is another visit"
    assert (other.before["visit_id"].text, other.after["visit_id"].text) == ("2019", "2020")


def test_what_is_withheld_is_said_to_be(logbook: Logbook, new_visit: NewVisit) -> None:
    key = begin(logbook, new_visit())
    with logbook._engine.begin() as connection:
        connection.exec_driver_sql("UPDATE journal_image SET salt = NULL, image = NULL")
    with logbook.read() as book:
        (change,) = record_history(book, "visit", key)
    assert change.withheld
    assert (change.before, change.after, change.details) == ({}, {}, {})


def test_a_row_of_an_unknown_table_is_told_without_its_fields(
    logbook: Logbook, new_visit: NewVisit
) -> None:
    key = begin(logbook, new_visit())
    with logbook._engine.begin() as connection:
        connection.exec_driver_sql("UPDATE journal_row SET table_name = 'from_the_future'")
    with logbook.read() as book:
        assert book.scalars(select(RowDigest)).one().table_name == "from_the_future"
        (change,) = record_history(book, "from_the_future", key)
    assert change.withheld


# Corrections and issued histories


def test_only_corrections_are_listed_as_such(logbook: Logbook, new_visit: NewVisit) -> None:
    key = begin(logbook, new_visit(yard="Quay"))
    alter(logbook, Visit, key, reason="a reason nobody asked for", yard="Dock")
    close(logbook, key)
    alter(logbook, Visit, key, reason="typo", yard="Creek")
    with logbook.read() as book:
        (correction,) = corrections_made(book)
    assert (correction.reason, correction.table, correction.key) == ("typo", "visit", key)
    assert (correction.before, correction.after) == ({"yard": "Dock"}, {"yard": "Creek"})
    assert correction.details["corrects"] == [key]


def test_a_correction_taken_back_is_not_listed(logbook: Logbook, new_visit: NewVisit) -> None:
    key = begin(logbook, new_visit(yard="Quay"))
    close(logbook, key)
    alter(logbook, Visit, key, reason="typo", yard="Creek")
    for turn, listed in ((logbook.undo, 0), (logbook.redo, 1), (logbook.undo, 0)):
        turn()
        with logbook.read() as book:
            assert len(corrections_made(book)) == listed
            assert len(corrections_made(book, with_taken_back=True)) == 1


def test_a_text_that_looks_like_the_mark_of_a_correction_is_none(
    logbook: Logbook, new_visit: NewVisit
) -> None:
    with logbook.change("visit.start", name='"corrects":["x"]') as book:
        book.keep(new_visit())
    with logbook.read() as book:
        assert corrections_made(book) == []


def test_issued_histories_are_listed_in_order(logbook: Logbook, new_visit: NewVisit) -> None:
    begin(logbook, new_visit())
    keys = [issue(logbook), issue(logbook)]
    with logbook.read() as book:
        found = issued(book)
    assert [one.id for one in found] == keys
    assert found[0].head != found[1].head

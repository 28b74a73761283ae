"""A session that only reads is answered from memory; one that writes never is."""

from __future__ import annotations

import pytest
from sqlalchemy import event, select

from hulllog.insight.limits import limits
from hulllog.insight.matters import matters
from hulllog.insight.occasions import visits
from hulllog.insight.overview import coverage_of_looks, last_line, visit_lines
from hulllog.records.model import Visit


def counted(book, question):
    """Ask, and return the answer with how many statements it took."""
    asked = []
    engine = book.connection().engine
    note = lambda *_about: asked.append(1)  # noqa: E731
    event.listen(engine, "before_cursor_execute", note)
    try:
        return question(book), len(asked)
    finally:
        event.remove(engine, "before_cursor_execute", note)


def test_the_same_question_is_read_once_and_its_answer_is_nobodys_to_spoil(made):
    with made.logbook.read() as book:
        first, asked = counted(book, visits)
        assert asked
        first.clear()
        again, asked = counted(book, visits)
    assert asked == 0
    assert len(again) == len(made.visits)


def test_other_values_are_another_question(made):
    with made.logbook.read() as book:
        assert len(matters(book, with_withdrawn=True)) >= len(matters(book))
        _found, asked = counted(book, lambda book: matters(book, with_withdrawn=True))
    assert asked == 0


def test_a_value_given_as_it_would_be_anyway_is_the_same_question(made):
    with made.logbook.read() as book:
        matters(book)
        _found, asked = counted(book, lambda book: matters(book, None))
    assert asked == 0


@pytest.mark.parametrize("question", [limits, coverage_of_looks])
def test_what_every_zone_and_visit_asks_is_read_once(made, question):
    with made.logbook.read() as book:
        first, _asked = counted(book, question)
        again, asked = counted(book, question)
    assert asked == 0
    assert again == first


def test_a_session_that_writes_sees_what_it_wrote(made):
    with made.logbook.change("visit.set", reason="never was") as book:
        before = len(visits(book))
        visit = book.scalars(select(Visit)).first()
        visit.withdrawn = True
        book.flush()
        assert len(visits(book)) == before - 1


def test_another_session_reads_anew(made):
    with made.logbook.read() as book:
        before = len(visits(book))
    key = next(iter(made.visits.values()))
    with made.logbook.change("record.withdraw", reason="never was") as book:
        book.get(Visit, key).withdrawn = True
    with made.logbook.read() as book:
        assert len(visits(book)) == before - 1


def test_the_last_line_is_that_of_all_lines(made):
    with made.logbook.read() as book:
        lines = [line for line in visit_lines(book) if line.kind == "haul_out"]
        assert last_line(book, "haul_out") == lines[-1]
        assert last_line(book, "diver") is None

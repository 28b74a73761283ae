"""A logbook driven at random, compared after every step with what it should hold.

Two models are kept beside it: a shadow of plain dictionaries that each step alters by itself, and
the whole contents of all tables but the journal's at each point that undo and redo can reach.
"""

from __future__ import annotations

import copy
import shutil
import tempfile
from collections import defaultdict
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    initialize,
    invariant,
    precondition,
    rule,
)
from recordskit import repeatable
from sqlalchemy import select

from hulllog.records.base import Base
from hulllog.records.check import check
from hulllog.records.errors import Refused
from hulllog.records.journal import JOURNAL_TABLES, each_image
from hulllog.records.logbook import Logbook
from hulllog.records.model import (
    Coat,
    CoatZone,
    MeasurementSet,
    Product,
    Rating,
    Reading,
    Visit,
    Zone,
)
from hulllog.records.values import Measured, PartialDate

if TYPE_CHECKING:
    from collections.abc import Iterator

    from hulllog.records.book import Book

Rows = dict[str, dict[str, dict[str, Any]]]
"""Table -> key -> fields."""
RECORD_TABLES = [table for table in Base.metadata.sorted_tables if table.name not in JOURNAL_TABLES]
YARDS = st.sampled_from(["Quay", "Creek", "e\u0301tang", "<b>&\"'", "", "🚤"])
PLACES = st.integers(0, 30)
GRADES = st.lists(st.sampled_from("012345"), max_size=3)
DATES = st.sampled_from(["2014", "2014-04", "14 Apr 2014", "about 2019", "2014-04-14 09:30"])


class Deliberate(Exception):
    """Raised inside a change, which must then leave nothing."""


def contents(logbook: Logbook) -> Rows:
    """Return every row of every table but the journal's."""
    with logbook.read() as book:
        return {table.name: dict(each_image(book.connection(), table)) for table in RECORD_TABLES}


class LogbookMachine(RuleBasedStateMachine):
    """Adds, changes, deletes, undoes, redoes, closes, opens again."""

    def __init__(self) -> None:
        super().__init__()
        self.folder = Path(tempfile.mkdtemp())
        self.around = repeatable(self.folder)
        self.logbook = Logbook.create(self.folder / "book", self.around)
        self.shadow: Rows = defaultdict(dict)
        self.past: list[tuple[Rows, Rows]] = []
        self.future: list[tuple[Rows, Rows]] = []
        self.now = contents(self.logbook)

    def teardown(self) -> None:
        self.logbook.close()
        report = check(self.folder / "book", around=self.around)
        shutil.rmtree(self.folder)
        assert not report.problems, report.problems

    @initialize()
    def begin_with_something(self) -> None:
        with self.step("begin") as book:
            visit = self.put(book, visit_of("2014"), yard=None)
            self.put(book, Product(name="Red", coating_class="x", role="antifouling", biocides=[]))
            self.put(book, Zone(code="p1", name="Port bow", walk_order=1), name="Port bow")
            self.put(book, Zone(code="s1", name="Starboard bow", walk_order=2))
        assert visit

    # Steps

    @contextmanager
    def step(self, action: str, *, reason: str | None = None) -> Iterator[Book]:
        """Run one change; the state before it is what undo must bring back."""
        before = (copy.deepcopy(self.shadow), self.now)
        try:
            with self.logbook.change(action, reason=reason, name="x") as book:
                yield book
        except BaseException:
            self.shadow = before[0]
            raise
        after = contents(self.logbook)
        if after != self.now:
            self.past.append(before)
            self.future.clear()
        self.now = after

    def put(self, book: Book, record: Any, **fields: Any) -> str:
        """Add a record, and its shadow."""
        book.keep(record)
        self.shadow[record.__tablename__][record.id] = fields
        return str(record.id)

    def pick(self, table: str, place: int) -> str | None:
        """Return the key of some row."""
        keys = sorted(self.shadow[table])
        return keys[place % len(keys)] if keys else None

    def reason_for(self, visit_id: str) -> str | None:
        return "typo" if self.shadow["visit"][visit_id].get("closed") else None

    @rule(when=DATES, yard=YARDS)
    def add_visit(self, when: str, yard: str) -> None:
        with self.step("visit.start") as book:
            self.put(book, visit_of(when, yard=yard), yard=normal(yard))

    @rule(place=PLACES, yard=YARDS, when=DATES)
    def change_visit(self, place: int, yard: str, when: str) -> None:
        key = self.pick("visit", place)
        if key is None:
            return
        with self.step("visit.set", reason=self.reason_for(key)) as book:
            visit = book.get_one(Visit, key)
            visit.yard, visit.begins = yard, PartialDate.parse(when)
            self.shadow["visit"][key]["yard"] = normal(yard)

    @rule(
        place=PLACES, codes=st.lists(st.sampled_from("012345"), max_size=3), hours=st.floats(0, 9)
    )
    def add_set(self, place: int, codes: list[str], hours: float) -> None:
        visit_id = self.pick("visit", place)
        if visit_id is None:
            return
        with self.step("set.add") as book:
            measured = MeasurementSet(visit_id=visit_id, kind="rust", state="found", conditions={})
            key = self.put(book, measured, visit_id=visit_id)
            for code in codes:
                self.put(book, Rating(set_id=key, component="grade", code=code), code=code)
            value = Measured(str(hours), "h", hours)
            self.put(book, Reading(set_id=key, component="time", value=value), value_si=hours)

    @rule(place=PLACES, code=st.sampled_from("012345"))
    def exchange_children(self, place: int, code: str) -> None:
        """Take all grades off a set and put another on, through the relationship."""
        key = self.pick("measurement_set", place)
        if key is None:
            return
        visit_id = self.shadow["measurement_set"][key]["visit_id"]
        with self.step("set.change", reason=self.reason_for(visit_id)) as book:
            measured = book.get_one(MeasurementSet, key)
            for old in measured.ratings:
                del self.shadow["rating"][old.id]
            new = Rating(component="grade", code=code)
            measured.ratings = [new]
            book.flush()
            self.shadow["rating"][new.id] = {"code": code}

    @rule(place=PLACES)
    def drop_set(self, place: int) -> None:
        key = self.pick("measurement_set", place)
        if key is None:
            return
        visit_id = self.shadow["measurement_set"][key]["visit_id"]
        with self.step("set.drop", reason=self.reason_for(visit_id)) as book:
            self.drop(book, book.get_one(MeasurementSet, key))

    def drop(self, book: Book, record: MeasurementSet | Coat) -> None:
        """Delete a record with what hangs on it."""
        children = record.zones if isinstance(record, Coat) else [*record.ratings, *record.readings]
        for child in children:
            del self.shadow[child.__tablename__][child.id]
        del self.shadow[record.__tablename__][record.id]
        book.delete(record)

    @rule(place=PLACES, share=st.floats(0, 1))
    def add_coat(self, place: int, share: float) -> None:
        visit_id, product_id = self.pick("visit", place), self.pick("product", 0)
        if visit_id is None or product_id is None:
            return
        with self.step("coat.add") as book:
            coat = Coat(visit_id=visit_id, product_id=product_id, number=1)
            key = self.put(book, coat, visit_id=visit_id)
            for zone_id in sorted(self.shadow["zone"]):
                self.put(book, CoatZone(coat_id=key, zone_id=zone_id, share=share), share=share)

    @rule(place=PLACES)
    def drop_visit(self, place: int) -> None:
        """Delete a visit and all that was recorded at it, in one change."""
        key = self.pick("visit", place)
        if key is None:
            return
        with self.step("visit.drop", reason=self.reason_for(key)) as book:
            for model in (MeasurementSet, Coat):
                for record in book.scalars(select(model).where(model.visit_id == key)).all():
                    self.drop(book, record)
            del self.shadow["visit"][key]
            book.delete(book.get_one(Visit, key))

    @rule(place=PLACES)
    def drop_and_put_back(self, place: int) -> None:
        """Delete a row and add another under the same key in one change."""
        key = self.pick("coat_zone", place)
        if key is None:
            return
        with self.logbook.read() as book:
            old = book.get_one(CoatZone, key)
            visit_id = book.get_one(Coat, old.coat_id).visit_id
        with self.step("zone.again", reason=self.reason_for(visit_id)) as book:
            old = book.get_one(CoatZone, key)
            again = CoatZone(id=key, coat_id=old.coat_id, zone_id=old.zone_id, share=0.125)
            book.delete(old)
            book.flush()
            self.put(book, again, share=0.125)

    @rule(place=PLACES)
    def close_or_open_visit(self, place: int) -> None:
        key = self.pick("visit", place)
        if key is None:
            return
        with self.step("visit.close", reason=self.reason_for(key)) as book:
            visit = book.get_one(Visit, key)
            visit.closed_at = None if visit.closed_at else book.now()
            self.shadow["visit"][key]["closed"] = visit.closed_at is not None

    # Steps that must leave nothing

    @rule(place=PLACES)
    def change_a_closed_visit_without_a_reason(self, place: int) -> None:
        key = self.pick("visit", place)
        if key is None or not self.reason_for(key):
            return
        with pytest.raises(Refused, match="reason_wanted"), self.step("visit.set") as book:
            book.get_one(Visit, key).note = "changed in passing"

    @rule(place=PLACES)
    def fail_inside(self, place: int) -> None:
        with pytest.raises(Deliberate), self.step("fail") as book:  # noqa: PT012
            self.put(book, visit_of("2020"))
            for coat in book.scalars(select(Coat)).all():
                book.delete(coat)
            book.flush()
            raise Deliberate

    @rule(yard=YARDS)
    def fail_in_the_inner_part(self, yard: str) -> None:
        with self.step("outer") as book:
            self.put(book, visit_of("2021", yard=yard), yard=normal(yard))
            with pytest.raises(Deliberate), self.logbook.change("inner"):  # noqa: PT012
                for coat in book.scalars(select(Coat)).all():
                    book.delete(coat)
                book.keep(visit_of("2022"))
                raise Deliberate

    @rule()
    def change_nothing(self) -> None:
        with self.step("nothing") as book:
            book.scalars(select(Visit)).all()

    # Undo, redo, the file

    @precondition(lambda self: self.past)
    @rule()
    def undo(self) -> None:
        self.logbook.undo()
        self.future.append((self.shadow, self.now))
        self.shadow, self.now = self.past.pop()

    @precondition(lambda self: self.future)
    @rule()
    def redo(self) -> None:
        self.logbook.redo()
        self.past.append((self.shadow, self.now))
        self.shadow, self.now = self.future.pop()

    @rule()
    def open_again(self) -> None:
        head = self.logbook.head
        self.logbook.close()
        self.logbook = Logbook.open(self.folder / "book", self.around)
        assert self.logbook.read_only is None
        assert self.logbook.head == head
        self.past.clear()
        self.future.clear()

    # What always holds

    @invariant()
    def all_tables_are_as_they_should_be(self) -> None:
        assert contents(self.logbook) == self.now

    @invariant()
    def the_shadow_agrees(self) -> None:
        for table, rows in self.now.items():
            shadow = self.shadow.get(table, {})
            assert set(rows) == set(shadow), table
            for key, fields in shadow.items():
                told = {name: value for name, value in fields.items() if name != "closed"}
                assert {name: rows[key][name] for name in told} == told
                if "closed" in fields:
                    assert (rows[key]["closed_at"] is not None) == fields["closed"]

    @invariant()
    def undo_reaches_as_far_as_it_should(self) -> None:
        assert (self.logbook.can_undo is not None) == bool(self.past)
        assert (self.logbook.can_redo is not None) == bool(self.future)


def visit_of(when: str, **fields: Any) -> Visit:
    """Return a visit with a date and little else."""
    given = {"kind": "haul_out", "time_zone": "Europe/London", "looked_for": [], "methods": []}
    return Visit(begins=PartialDate.parse(when), **given, **fields)


def normal(text: str) -> str:
    """Return a text as it is kept."""
    return text.replace("e\u0301", "é")


TestLogbookMachine = LogbookMachine.TestCase
TestLogbookMachine.settings = settings(max_examples=15, stateful_step_count=25, deadline=None)

"""Corrections told as a reader wants them: the old figure, the new one, the reason."""

from __future__ import annotations

import pytest

from hulllog.drawing.correcting import altered_text
from hulllog.insight.corrected import corrected
from hulllog.records.operations import looks, queries, vessel, visits
from hulllog.records.operations.measuring import Rated

REASON = "read the rule wrong"


@pytest.fixture
def closed(logbook):
    """A closed haul-out with one look at blisters: its key and the look's."""
    vessel.create_vessel(
        logbook, name="Test", kind="yacht", material="grp", keel="fin",
        length="8.7 m", beam="2.85 m", draught="1.05 m",
    )  # fmt: skip
    visit = visits.start_haul_out(logbook, begins="2024-04-05", yard="Vesk Haven Yard")
    with logbook.read() as book:
        zone = next(z.id for z, _ in queries.zones_at(book) if z.code.startswith("bottom"))
    figures = {"count": "12", "largest_mm": "3 mm"}
    look = looks.log_inspection(
        logbook, visit, zone, ratings=[Rated("laminate-blisters", figures, {"wetness": "wet"})]
    )
    visits.relaunch(logbook, visit, "2024-04-20")
    visits.close(logbook, visit)
    return visit, look


def told(logbook):
    with logbook.read() as book:
        return [
            (one.subject, [altered_text(part) for part in one.altered], one.reason)
            for one in corrected(book)
        ]


def test_a_figure_is_told_as_it_was_and_as_it_is(logbook, closed):
    _visit, look = closed
    figures = {"count": "12", "largest_mm": "8 mm"}
    looks.correct(
        logbook, look, ratings=[Rated("laminate-blisters", figures, {"wetness": "wet"})],
        reason=REASON,
    )  # fmt: skip
    ((subject, altered, reason),) = told(logbook)
    assert reason == REASON
    assert subject.startswith("Bottom")
    (line,) = altered
    assert "largest" in line
    assert line.index("3\u202fmm") < line.index("8\u202fmm")


def test_a_field_of_the_visit_is_told_by_its_word(logbook, closed):
    visit, _look = closed
    visits.set_visit(logbook, visit, "yard", "Drystone Yard", reason=REASON)
    ((_subject, altered, _reason),) = told(logbook)
    assert altered == ["yard was Vesk Haven Yard, is Drystone Yard"]


def test_nothing_of_the_inside_is_told(logbook, closed):
    visit, look = closed
    looks.correct(logbook, look, note="seen by torch", reason=REASON)
    visits.set_visit(logbook, visit, "note", "rain all day", reason=REASON)
    lines = " ".join(line for _, altered, _ in told(logbook) for line in altered)
    assert "seen by torch" in lines
    assert "rain all day" in lines
    for inside in ("_id", "withdrawn", "{", visit, look):
        assert inside not in lines


def test_what_undo_took_back_is_no_correction(logbook, closed):
    visit, _look = closed
    visits.set_visit(logbook, visit, "yard", "Drystone Yard", reason=REASON)
    logbook.undo()
    assert told(logbook) == []

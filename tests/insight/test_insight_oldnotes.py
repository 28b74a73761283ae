"""What old haul-outs from notes say in a history."""

from __future__ import annotations

from hulllog.insight.overview import last_line
from hulllog.records.operations.oldnotes import keep_old_haul_outs
from hulllog.words import formats


def test_a_closed_haul_out_without_a_relaunch_is_not_said_to_go_on(tmp_path):
    from hulllog.records.logbook import Logbook, Surroundings

    with Logbook.create(tmp_path / "book", Surroundings(state_folder=tmp_path / "s")) as logbook:
        keep_old_haul_outs(logbook, [{"begins": "2014-04"}])
        with logbook.read() as book:
            line = last_line(book, "haul_out")
    assert line.ends is None
    assert formats.span(line.begins, line.until) == "Apr 2014"


def test_empty_years_lie_between_visits_and_never_where_one_may_lie(tmp_path):
    from datetime import UTC, datetime

    from hulllog.insight.timeline import empty_years, timeline
    from hulllog.records.logbook import Logbook, Surroundings

    now = datetime(2025, 6, 1, tzinfo=UTC)
    with Logbook.create(tmp_path / "book", Surroundings(state_folder=tmp_path / "s")) as logbook:
        with logbook.read() as book:
            assert empty_years(timeline(book), now) == []
        rows = [{"begins": "2010"}, {"begins": "about 2014"}, {"begins": "2020", "ends": "2022"}]
        keep_old_haul_outs(logbook, rows)
        with logbook.read() as book:
            found = empty_years(timeline(book), now)
    assert found == [(2011, 2012), (2016, 2019), (2023, 2024)]


def test_old_notes_are_no_chances_that_today_calls_missed(tmp_path):
    from hulllog.insight.overview import unseen
    from hulllog.insight.today import today
    from hulllog.records.logbook import Logbook, Surroundings
    from hulllog.records.operations import vessel, visits

    def told(logbook):
        with logbook.read() as book:
            lines = today(book, logbook.around.now())
        return [dict(one.values)["n"] for one in lines if one.code == "today.never_seen"]

    with Logbook.create(tmp_path / "book", Surroundings(state_folder=tmp_path / "s")) as logbook:
        vessel.create_vessel(
            logbook, name="Ruddy Shore", kind="yacht", material="grp", keel="fin",
            length="9 m", beam="3 m", draught="1.5 m",
        )  # fmt: skip
        keep_old_haul_outs(logbook, [{"begins": str(year)} for year in range(2010, 2015)])
        assert told(logbook) == []
        with logbook.read() as book:
            assert {zone.since for zone in unseen(book)} == {None}, "never seen all the same"
        for year in ("2018", "2019"):
            visits.start_haul_out(logbook, begins=year, ends=f"{year}-12-31")
        assert told(logbook) == [2]

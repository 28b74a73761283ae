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

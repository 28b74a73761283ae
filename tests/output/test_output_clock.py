"""What the annex of evidence says of a camera whose clock was wrong."""

from __future__ import annotations

from hulllog.output.annexes import captured, clock_notes, clock_text
from hulllog.records.model import Photo
from hulllog.records.values import PartialDate


def test_a_corrected_clock_is_told_with_what_was_read_and_why() -> None:
    read = PartialDate.parse("2024-04-14 09:30", "Europe/Helsinki")
    photo = Photo(captured=read, clock_correction=-60, clock_reason="Still on summer time")
    clocks = clock_notes([photo, photo])
    said = captured(photo, "Europe/Helsinki", clocks)
    assert "08:30" in said
    assert "09:30" in said
    assert "note 1" in said
    assert "Still on summer time" not in said
    assert clocks == [(-60, "Still on summer time")]
    assert "−60 min: Still on summer time" in clock_text(1, *clocks[0])


def test_a_clock_that_was_right_is_told_as_read() -> None:
    photo = Photo(captured=PartialDate.parse("2024-04-14 09:30", "Europe/Helsinki"))
    assert captured(photo, "Europe/Helsinki", []) == "14 Apr 2024, 09:30"

"""Figures of a set in few words: with their unit, whole where they were typed whole."""

from __future__ import annotations

from hulllog.words import telling


def test_a_share_typed_whole_is_told_whole_and_in_percent() -> None:
    assert 0.28 * 100 != 28
    told = telling.short("timber-moisture", {"moisture_percent": 0.28 * 100})
    assert told.replace("\u202f", " ").replace("\u00a0", " ").replace("\u2009", " ") == "28 %"

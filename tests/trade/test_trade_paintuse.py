"""What a kind of antifouling brings with it, by use."""

from __future__ import annotations

import pytest

from hulllog.trade.compatibility import DRIVES, NEW_COATINGS
from hulllog.trade.paintuse import consequences
from hulllog.trade.refusal import Refusal
from hulllog.words import knows


def codes(*about):
    return [one.code for one in consequences(*about)]


def test_eroding_and_hard_differ_by_speed_and_time_ashore():
    assert codes("ablative_antifouling", "none") == ["eroding_up_to_a_speed"]
    assert codes("hard_antifouling", "none") == [
        "hard_for_speed_and_scrubbing", "hard_film_ages_in_air", "hard_film_builds_up",
    ]  # fmt: skip


def test_long_life_systems_say_that_they_are_systems():
    assert codes("silicone", "none") == ["silicone_is_a_system"]
    assert codes("copper_epoxy", "none") == ["copper_epoxy_is_a_system"]


def test_propeller_leg_and_aluminium_are_told_where_they_are_there():
    assert "leg_wants_its_own" in codes("silicone", "saildrive")
    assert "leg_wants_its_own" not in codes("silicone", "shaft")
    assert "propeller_wants_its_own" in codes("silicone", "shaft")
    assert "propeller_wants_its_own" not in codes("silicone", "jet")
    assert "aluminium_over_whole_primer" in codes("silicone", "jet", "aluminium")


@pytest.mark.parametrize("new", NEW_COATINGS)
def test_every_reason_is_said_and_has_a_source(new):
    for drive in DRIVES:
        for one in consequences(new, drive, "aluminium"):
            assert knows(f"paint_use.{one.code}")
            assert one.source.tag


def test_what_is_not_listed_is_refused():
    with pytest.raises(Refusal):
        consequences("epoxy_primer")
    with pytest.raises(Refusal):
        consequences("silicone", "oars")

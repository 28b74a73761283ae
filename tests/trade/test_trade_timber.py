"""Moisture of timber in percent by a table for the species: a kind of its own."""

from __future__ import annotations

import pytest

from hulllog.trade import change, kinds


def test_percent_of_timber_is_not_the_meters_own_scale():
    timber, other = (
        kinds.component("timber-moisture", "moisture_percent"),
        kinds.component("moisture", "reading"),
    )
    assert (timber.unit, other.unit) == ("percent", "1")


def test_another_table_breaks_the_series():
    breaks = {c.code for c in kinds.require("timber-moisture").conditions if c.breaks}
    assert breaks == {"table", "days_ashore"}


def test_only_wood_is_metered_in_percent_by_a_table():
    listed = {m for m in ("wood", "grp", "steel") if _offers(m)}
    assert listed == {"wood"}


def _offers(material):
    return any(kind.id == "timber-moisture" for kind in kinds.kinds_for(material))


@pytest.mark.parametrize(
    ("kind", "component"), [("timber-moisture", "moisture_percent"), ("moisture", "reading")]
)
def test_more_moisture_is_more_and_not_worse(kind, component):
    assert change.sense(kind, component, 6.0) == "up"
    assert change.sense(kind, component, -6.0) == "down"
    assert change.sense("soft-wood", "depth_mm", 6.0) == "worse"

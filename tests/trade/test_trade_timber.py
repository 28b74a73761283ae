"""Moisture of timber in percent by a table for the species: a kind of its own."""

from __future__ import annotations

from hulllog.trade import kinds


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

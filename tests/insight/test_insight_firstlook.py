"""Of several looks of one state in one visit the first is the one of the series."""

from __future__ import annotations

from types import SimpleNamespace

from hulllog.insight.series import ZoneLooks, _Raw, _zone_raw


def _look(millimetres: float) -> SimpleNamespace:
    rated = SimpleNamespace(
        kind="moisture",
        withdrawn=False,
        conditions={},
        basis="at_the_time",
        figures=[],
        value=millimetres,
    )
    return SimpleNamespace(
        visit_id="v",
        state="during",
        coverage="whole",
        sets=[rated],
        looked_for=(),
        result=None,
        zone_version_id="z",
        basis="at_the_time",
    )


def test_the_first_of_three_readings_while_drying_is_kept(monkeypatch) -> None:
    monkeypatch.setattr("hulllog.insight.series.figures_of", lambda rated: {"x": rated.value})
    looks = ZoneLooks({"v": (0, SimpleNamespace())}, {"a": [_look(n) for n in (24, 11, 6)]}, [])
    (kept,) = _zone_raw(looks, "a", "moisture")
    assert isinstance(kept, _Raw)
    assert kept.figures == {"x": 24}

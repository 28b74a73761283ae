"""Columns are as high as what they stand for."""

from __future__ import annotations

from pathlib import Path

import pytest

from hulllog.drawing import scene as drawn
from hulllog.drawing.bars import Bars, Column, Part, bars
from hulllog.drawing.recorder import record
from hulllog.drawing.shapes import bounds

GOLDEN = Path(__file__).parent / "golden" / "bars.txt"
LITRES = Bars(
    (
        Column(
            "2018", (Part(4, "#7a2a2a", "Red"), Part(6, "series.1", "Primer")), "10", "2018: 10"
        ),
        Column("2019", (Part(5, "#27407a", "Blue"),), "5"),
        Column("2020", (), "0", key="visit:none"),
    ),
    "Antifouling and primer",
    "as bought",
    "L",
)


def filled(scene, role):
    return [i for i in scene.items if isinstance(i, drawn.Path) and i.style.fill == role]


def high(path):
    return bounds(path)[3] - bounds(path)[1]


def texts(scene):
    return [item.text for item in scene.items if isinstance(item, drawn.Text)]


def test_the_columns_are_drawn_as_before():
    """Change the golden file only after looking at the picture."""
    assert record(bars(LITRES, 84, 50)) == GOLDEN.read_text(encoding="utf-8")


def test_parts_stack_and_heights_tell_the_amounts():
    scene = bars(LITRES, 84, 50)
    red, primer = filled(scene, "#7a2a2a")[-1], filled(scene, "series.1")[-1]
    blue = filled(scene, "#27407a")[-1]
    assert high(primer) == pytest.approx(1.5 * high(red))
    assert high(blue) == pytest.approx(1.25 * high(red))
    assert bounds(primer)[3] == pytest.approx(bounds(red)[1])
    assert bounds(red)[3] == pytest.approx(bounds(blue)[3])


def test_each_kind_is_named_once_and_each_column_can_be_reached():
    scene = bars(LITRES, 84, 50)
    assert [texts(scene).count(name) for name in ("Red", "Primer", "Blue")] == [1, 1, 1]
    assert scene.regions == (
        ("column:0", "2018: 10"),
        ("column:1", "2019"),
        ("visit:none", "2020"),
    )


def test_labels_thin_out_and_columns_stay():
    many = Bars(tuple(Column(str(1980 + n), (Part(4, "series.1"),), "4") for n in range(46)))
    scene = bars(many, 84, 50)
    assert len(filled(scene, "series.1")) == 46
    years = [text for text in texts(scene) if len(text) == 4]
    assert 5 < len(years) < 46
    assert years[-1] == "2025"


def test_no_columns_are_said_in_words():
    scene = bars(Bars((), "Litres", empty="No coat recorded."), 60, 30)
    assert texts(scene) == ["Litres", "No coat recorded."]

"""Charts show every look, join only what can be compared, and say why a series breaks."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hulllog.drawing import scene as drawn
from hulllog.drawing.charts import (
    Break,
    Chart,
    Fan,
    Fit,
    Limit,
    Point,
    Series,
    Span,
    anodes,
    grades,
    plain,
    stretches,
    trend,
)
from hulllog.drawing.placing import inked, overlap
from hulllog.drawing.recorder import record
from hulllog.drawing.shapes import bounds

GOLDEN = Path(__file__).parent / "golden"
NAMES = ("none", "few", "some", "many")


def point(x, y, spread=1.0, **more):
    low, high = (None, None) if y is None or not spread else (y - spread, y + spread)
    return Point(x, y, f"{x}: {y}", low, high, **more)


BLISTERS = Chart(
    (
        Series(
            (
                point(2017.3, 3, text="3"),
                point(2019.3, 4, text="4"),
                point(2021.3, 5, text="5"),
                point(2023.4, 4.8, 0, open=True, note="seen dry"),
                point(2024.3, 7, text="7"),
                point(2025.3, 8, text="8", key="visit:v9"),
            )
        ),
    ),
    "Largest blister",
    "seen wet only",
    "mm",
    breaks=(Break(2023.9, "zone redrawn"),),
    described="grew from 3 to 8 mm",
)
PLATE = Chart(
    (Series((point(2015, 6.0, 0.08), point(2020, 5.7, 0.08), point(2025, 5.5, 0.08))),),
    zero=False,
    limit=Limit(5.1, "5.1 mm, set by the owner, 12 May 2021"),
    fit=Fit(2015, 6.0, 2025, 5.48),
    fan=Fan(((2025, 5.48, 5.4, 5.56), (2030, 5.2, 5.0, 5.4)), "90 %"),
    spans=(Span(2016, 2018, "shore power"), Span(2019, None, "with isolator", "series.1")),
)
ANODE = Chart(
    (
        Series((point(2019, 100, 0, fresh=True), point(2020, 80, 2), point(2021, 55, 2))),
        Series((point(2021, 100, 0, fresh=True), point(2022, 20, 2))),
    ),
    unit="%",
)
RUST = Chart(
    (
        Series(
            (
                point(2019, 0, 0),
                point(2020, None, 0, note="tarpaulin", blank="not_seen"),
                point(2021, 1, 0, tint=0),
                point(2022, 3, 1, tint=3),
                point(2023, None, 0),
                point(2024, 2, 0, tint=2, open=True),
            )
        ),
    ),
    "Rust",
    breaks=(Break(2022.5, "blasted"),),
)


def paths(scene, **style):
    return [
        item
        for item in scene.items
        if isinstance(item, drawn.Path)
        and all(getattr(item.style, name) == value for name, value in style.items())
    ]


def texts(scene):
    return [item.text for item in scene.items if isinstance(item, drawn.Text)]


def joined(scene, role="series.1"):
    return paths(scene, stroke=role, width=0.45, fill=None)


@pytest.mark.parametrize(
    ("name", "scene"),
    [
        ("trend", trend(BLISTERS, 84, 46)),
        ("plate", trend(PLATE, 120, 60)),
        ("anodes", anodes(ANODE, 84, 46)),
        ("grades", grades(RUST, NAMES, 84, 46)),
    ],
)
def test_a_chart_is_drawn_as_before(name, scene):
    """Change a golden file only after looking at the picture."""
    assert record(scene) == (GOLDEN / f"{name}.txt").read_text(encoding="utf-8")


def test_lines_stop_at_a_break_and_pass_what_cannot_be_compared():
    lengths = [len(path.ops) for path in joined(trend(BLISTERS, 84, 46))]
    assert lengths == [3, 2]
    whole = joined(trend(replace(BLISTERS, breaks=()), 84, 46))
    assert [len(path.ops) for path in whole] == [5]


def test_a_point_at_the_break_itself_belongs_to_what_follows():
    parted = stretches((point(1, 1), point(2, 2), point(3, 3)), (Break(2, "why"),))
    assert [[p.x for p in part] for part in parted] == [[1], [2, 3]]


@given(
    st.lists(st.tuples(st.floats(2000, 2030), st.floats(0, 9), st.booleans()), max_size=20),
    st.lists(st.floats(2000, 2030), max_size=4),
)
@settings(max_examples=80)
def test_stretches_keep_every_comparable_point_and_span_no_break(raw, cuts):
    points = tuple(point(x, y, open=hollow) for x, y, hollow in raw)
    parted = stretches(points, [Break(cut, "") for cut in cuts])
    assert sorted(p.x for part in parted for p in part) == sorted(
        x for x, _, hollow in raw if not hollow
    )
    for part in parted:
        assert not any(part[0].x < cut <= part[-1].x for cut in cuts)


def test_every_point_is_drawn_and_said():
    scene = trend(BLISTERS, 84, 46)
    assert [said for _, said in scene.regions] == [p.said for p in BLISTERS.points()]
    assert scene.regions[-1][0] == "visit:v9"
    keys = {path.key for path in paths(scene, stroke=None, fill=None)}
    assert keys == {key for key, _ in scene.regions}
    assert len(paths(scene, fill="series.1", stroke="sheet")) == 5
    assert len(paths(scene, fill="sheet", stroke="series.1")) == 1
    assert scene.described == "grew from 3 to 8 mm"


def test_a_break_says_why():
    assert "zone redrawn" in texts(trend(BLISTERS, 84, 46))


def test_the_grid_is_open_at_a_break():
    rules = paths(trend(BLISTERS, 84, 46), stroke="line")
    without = paths(trend(replace(BLISTERS, breaks=()), 84, 46), stroke="line")
    assert len(rules) == 2 * len(without)


def test_a_limit_is_drawn_only_if_the_owner_set_one():
    scene = trend(PLATE, 120, 60)
    assert "5.1 mm, set by the owner, 12 May 2021" in texts(scene)
    (rule,) = [p for p in paths(scene, stroke="ink", dash=(2.2, 1.1)) if bounds(p)[2] > 100]
    bare = trend(replace(PLATE, limit=None), 120, 60)
    assert not paths(bare, dash=(2.2, 1.1))
    assert bounds(rule)[0] < 20


def test_a_long_limit_is_wrapped_not_cut():
    said = "20 %, set by the owner on 3 Mar 2019, from the maker's sheet of that year"
    scene = trend(replace(PLATE, limit=Limit(5.1, said)), 60, 60)
    assert "".join(texts(scene)).replace(" ", "").find(said.replace(" ", "")) >= 0


def test_a_fan_starts_at_the_fitted_value_with_its_own_interval():
    scene = trend(PLATE, 120, 60)
    (fan,) = [p for p in paths(scene, fill="series.1") if p.style.opacity < 1]
    start, end = fan.ops[0], fan.ops[1]
    last = next(p for p in paths(scene, stroke="series.1", width=0.25) if p.style.dash).ops[1]
    assert start[1] == pytest.approx(last[1])
    assert bounds(fan)[0] == pytest.approx(last[1])
    low, high = fan.ops[0][2], fan.ops[-2][2]
    assert high < last[2] < low
    assert end[1] > start[1]


def test_times_worth_knowing_have_a_row_each():
    scene = trend(PLATE, 120, 60)
    assert {"shore power", "with isolator"} <= set(texts(scene))
    shore, guarded = paths(scene, stroke="shore")[0], paths(scene, stroke="series.1", width=0.5)[0]
    assert bounds(shore)[1] < bounds(guarded)[1]


def test_a_new_anode_starts_at_its_own_mass_and_is_not_joined_to_the_old():
    scene = anodes(ANODE, 84, 46)
    assert [len(path.ops) for path in joined(scene)] == [3, 2]
    (step,) = paths(scene, stroke="muted", dash=(0.5, 0.8))
    assert step.ops[0][1] == pytest.approx(step.ops[1][1])


def test_grades_have_columns_and_no_slope():
    scene = grades(RUST, NAMES, 84, 46)
    assert not joined(scene)
    assert [p.style.fill for p in paths(scene) if (p.style.fill or "").startswith("cond")] == [
        "condition.0",
        "condition.3",
        "condition.2",
    ]
    tall = {p.style.fill: bounds(p)[3] - bounds(p)[1] for p in paths(scene) if p.style.fill}
    assert tall["condition.3"] == pytest.approx(3 * tall["condition.0"], rel=0.01)


def test_looked_for_and_none_differs_from_not_looked_and_not_seen():
    scene = grades(RUST, NAMES, 84, 46)
    ticks = [p for p in paths(scene, stroke="ink", width=0.4) if len(p.ops) == 3]
    assert len(ticks) == 1
    assert len(paths(scene, stroke="hatch")) == 1
    assert len(paths(scene, stroke="edge", fill="sheet", dash=(0.6, 0.5))) == 1
    assert "tarpaulin" in texts(scene)


def test_a_grade_without_a_tint_is_drawn_in_the_series_colour():
    bare = Chart((Series((point(2020, 2, 0),)),))
    assert paths(grades(bare, NAMES, 60, 40), fill="series.1", stroke="edge")


@pytest.mark.parametrize("draw", [trend, anodes])
def test_an_empty_chart_says_so_and_does_not_look_good(draw):
    scene = draw(Chart(title="Rust", empty="Not looked for yet."), 60, 40)
    assert texts(scene) == ["Rust", "Not looked for yet."]
    assert paths(scene, stroke="edge")[0].style.dash


def test_a_series_of_looks_without_a_value_is_not_empty():
    scene = trend(Chart((Series((point(2020, None), point(2021, None))),)), 60, 40)
    assert len(scene.regions) == 2


def test_a_long_note_is_wrapped_whole():
    note = "too few to say if it grows; two wet looks are needed to compare with one another"
    scene = trend(replace(BLISTERS, note=note), 60, 60)
    assert note in " ".join(texts(scene))


@given(
    st.lists(st.floats(0, 100), min_size=1, max_size=14),
    st.integers(0, 3),
    st.floats(45, 160),
    st.booleans(),
)
@settings(max_examples=60, deadline=None)
def test_texts_never_cover_texts_and_nothing_leaves_the_picture(values, cuts, width, limited):
    points = [
        point(2010.3 + n, y, 4, text=plain(round(y, 1)), note="dry" if n % 4 == 3 else "")
        for n, y in enumerate(values)
    ]
    chart = Chart(
        (Series(tuple(points), "bottom, aft"), Series(tuple(points[:2]), "keel", "series.2")),
        "A title",
        "a note",
        "%",
        breaks=tuple(Break(2011.1 + 2.5 * n, f"reason number {n} in words") for n in range(cuts)),
        limit=Limit(50, "limit 50 %") if limited else None,
    )
    scene = trend(chart, width, 80)
    said = [item for item in scene.items if isinstance(item, drawn.Text)]
    for one, other in combinations(said, 2):
        assert not overlap(inked(one), inked(other)), (one.text, other.text)
    for item in scene.items:
        left, top, right, bottom = bounds(item)
        assert left >= -0.5
        assert right <= width + 0.5
        assert top >= -0.6
        assert bottom <= 80.5


def test_a_tick_has_a_true_minus_and_no_idle_digits():
    assert plain(-0.5) == "−0.5"
    assert plain(20.0) == "20"


def test_the_line_is_dashed_to_and_from_what_an_eye_alone_told():
    chart = Chart((Series(tuple(point(x, 100 - 10 * x, by_eye=x == 2) for x in range(5))),))
    joined = [
        bool(item.style.dash)
        for item in anodes(chart, 120, 60).items
        if isinstance(item, drawn.Path)
        and item.style.width == 0.45
        and item.style.stroke == "series.1"
    ]
    assert joined == [False, True, False]

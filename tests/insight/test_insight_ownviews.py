"""Own views as the records have them: what is drawn on them, and how large it is."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from PIL import Image

from hulllog.hull import handdrawn
from hulllog.insight import walking
from hulllog.insight.boat import boat_form, skin
from hulllog.insight.buying import to_buy
from hulllog.insight.ownviews import OwnSeen, OwnShape, own_area, own_areas, own_views
from hulllog.insight.paint import BY_HAND, areas_of
from hulllog.insight.shape import form_of, form_version
from hulllog.insight.yardsheet import yard_sheet
from hulllog.records.logbook import Logbook
from hulllog.records.media import add_own_view
from hulllog.records.operations import ownviews, vessel, visits
from hulllog.records.values import Measured
from hulllog.words.working import said

SQUARE = ((0.25, 0.25), (0.75, 0.25), (0.75, 0.75), (0.25, 0.75))


@pytest.fixture
def drawn(tmp_path: Path):
    """A boat without particulars, 8 m over 800 of 1000 pixels, with one zone below the water."""
    file = tmp_path / "side.png"
    Image.new("RGB", (1000, 500), "white").save(file)
    with Logbook.create(tmp_path / "book") as logbook:
        ownviews.create_vessel_without_form(logbook, name="Odd Duck", kind="small", material="wood")
        view = add_own_view(logbook, file, name="Side", shows="port")
        ownviews.set_scale(logbook, view, [(0.1, 0.9), (0.9, 0.9)], "8 m")
        ownviews.draw_zone(logbook, view, SQUARE, name="Planks")
        yield logbook, view


def test_zones_and_areas_of_a_boat_without_a_form(drawn):
    logbook, view_id = drawn
    with logbook.read() as book:
        assert form_of(book) is None
        assert form_version(book) is None
        [view] = own_views(book)
        [area] = own_areas(book).values()
        areas = areas_of(book)
    assert (view.name, view.key, view.breadth) == ("Side", f"own:{view_id}", pytest.approx(10))
    assert [one.name for one in view.shapes] == ["Planks"]
    # 5 m by 2.5 m of a picture that is 10 m by 5 m
    assert area.value == pytest.approx(12.5)
    assert areas.bottom == pytest.approx(12.5)
    assert said(area)


def test_a_factor_makes_the_skin_larger(drawn):
    logbook, view_id = drawn
    ownviews.set_factor(logbook, view_id, "1.2")
    with logbook.read() as book:
        [area] = own_areas(book).values()
    assert area.value == pytest.approx(15.0)
    assert "drawn_flat" in area.cautions


def test_paint_on_zones_drawn_by_hand_does_not_claim_a_form(drawn):
    logbook, _ = drawn
    with logbook.read() as book:
        areas = areas_of(book)
    covered = areas.over(dict.fromkeys(areas.zones, 1.0))
    assert covered.value == pytest.approx(12.5)
    assert covered.cautions == ("skin_zone_numbers", "drawn_flat")
    assert covered.source == BY_HAND
    assert "flat picture" in said(covered).source


def test_what_grows_is_not_asked_for_above_the_water(drawn):
    logbook, view_id = drawn
    ownviews.draw_zone(logbook, view_id, SQUARE, name="Sheer strake", below=False)
    visit = visits.start_haul_out(logbook, begins="2025-04-02")
    with logbook.read() as book:
        found = walking.stops(book, visit, "found", ["level-of-fouling", "damage"])
    assert [(stop.name, stop.looked_for) for stop in found] == [
        ("Planks", ("level-of-fouling", "damage")),
        ("Sheer strake", ("damage",)),
    ]


def test_the_yard_sheet_asks_for_growth_where_the_walk_does(drawn):
    logbook, view_id = drawn
    ownviews.draw_zone(logbook, view_id, SQUARE, name="Sheer strake", below=False)
    visit = visits.start_haul_out(logbook, begins="2025-04-02")
    with logbook.read() as book:
        asked = {
            row.subject: row.looked_for
            for stage in yard_sheet(book).stages
            for row in stage.rows
            if row.plan == "before_wash"
        }
        [plan] = [one for one in walking.plans("wood", "none") if one.code == "before_wash"]
        walked = {
            stop.name: stop.looked_for
            for stop in walking.stops(book, visit, plan.state, plan.looked_for)
        }
    assert asked == walked
    assert "level-of-fouling" in asked["Planks"]
    assert "level-of-fouling" not in asked.get("Sheer strake", ())


def test_a_bottom_that_is_not_all_of_known_size_says_so(drawn, tmp_path):
    logbook, _ = drawn
    other = add_own_view(logbook, tmp_path / "side.png", name="Other", shows="other")
    ownviews.draw_zone(logbook, other, SQUARE, name="Skeg")
    with logbook.read() as book:
        bottom = to_buy(book).bottom
    assert bottom.value == pytest.approx(12.5)
    assert "some_without_scale" in bottom.cautions
    assert said(bottom).cautions


def test_boat_and_paint_agree_on_the_area_under_antifouling(tmp_path):
    file = tmp_path / "side.png"
    Image.new("RGB", (1000, 500), "white").save(file)
    with Logbook.create(tmp_path / "formed") as logbook:
        vessel.create_vessel(
            logbook, name="Both", kind="yacht", material="grp", keel="fin",
            length="9", beam="3", draught="1.5",
        )  # fmt: skip
        view = add_own_view(logbook, file, name="Side", shows="port")
        ownviews.set_scale(logbook, view, [(0.1, 0.9), (0.9, 0.9)], "8 m")
        with logbook.read() as book:
            before = areas_of(book).bottom
        ownviews.draw_zone(logbook, view, SQUARE, name="Sponson")
        with logbook.read() as book:
            bottom, told = areas_of(book).bottom, skin(boat_form(book))[0]
    assert bottom == pytest.approx(before + 12.5)
    assert told.value == pytest.approx(bottom)
    assert "drawn_flat" in told.cautions


def test_what_lies_above_the_water_is_no_bottom(drawn):
    logbook, view_id = drawn
    ownviews.draw_zone(logbook, view_id, SQUARE, name="Sheer strake", below=False)
    with logbook.read() as book:
        assert areas_of(book).bottom == pytest.approx(12.5)
        assert len(areas_of(book).zones) == 2


def test_without_a_scale_there_is_no_area(drawn, tmp_path):
    logbook, _ = drawn
    other = add_own_view(logbook, tmp_path / "side.png", name="Other", shows="other")
    ownviews.draw_zone(logbook, other, SQUARE, name="Skeg")
    with logbook.read() as book:
        assert len(own_areas(book)) == 1
        unscaled = next(view for view in own_views(book) if view.view_id == other)
        assert own_area(unscaled, unscaled.shapes[0]) is None
        assert unscaled.breadth is None


CORNER = st.tuples(st.floats(0, 1), st.floats(0, 1))


@settings(suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much])
@given(
    st.lists(CORNER, min_size=3, max_size=6).filter(lambda ps: not handdrawn.crosses_itself(ps)),
    st.floats(1, 20),
    st.floats(1.1, 3),
)
def test_areas_scale_with_the_square_of_the_length_of_the_scale(corners, length, times):
    shape = OwnShape("o", "z", "own-below-1", "Zone", tuple(corners))

    def area(metres: float) -> float:
        view = OwnSeen(
            "v", "View", "port", "0" * 64, "image/png", 1600, 900, "a.png",
            ((0.1, 0.2), (0.9, 0.3)), Measured(str(metres), "m", metres), "", (shape,),
        )  # fmt: skip
        return own_area(view, shape).value

    assert math.isclose(area(length * times), area(length) * times**2, rel_tol=1e-9, abs_tol=1e-12)


ON_A_GRID = st.tuples(st.integers(0, 12), st.integers(0, 12))


@given(st.lists(ON_A_GRID, min_size=3, max_size=7))
def test_an_outline_crosses_itself_whichever_way_round_and_wherever_it_begins(corners):
    crosses = handdrawn.crosses_itself(corners)
    assert handdrawn.crosses_itself(corners[::-1]) == crosses
    assert handdrawn.crosses_itself([*corners[2:], *corners[:2]]) == crosses


def test_crossing_is_told_from_touching_at_a_corner():
    assert not handdrawn.crosses_itself(SQUARE)
    assert handdrawn.crosses_itself([SQUARE[0], SQUARE[2], SQUARE[1], SQUARE[3]])
    concave = [(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.5, 0.2), (0.0, 1.0)]
    assert not handdrawn.crosses_itself(concave)
    assert handdrawn.crosses_itself([*concave[:3], (0.5, 0.0), concave[4]])

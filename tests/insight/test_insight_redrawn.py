"""Zones that were cut or joined: their series, their paint and their spots before and after."""

from __future__ import annotations

import pytest

from hulllog.hull import zones as shapes
from hulllog.insight.boat import boat_form
from hulllog.insight.comparing import compare
from hulllog.insight.condition import hull_state
from hulllog.insight.occasions import Edge
from hulllog.insight.paint import areas_of, bared, build_up, coats_of
from hulllog.insight.placed import spots_at
from hulllog.insight.series import zone_series
from hulllog.records.model import Visit
from hulllog.records.operations import coatings, looks, queries, redrawing, spots, vessel, visits
from hulllog.records.operations.measuring import Rated

KIND, AFT, MIDDLE = "laminate-blisters", "bottom-aft-port", "bottom-middle-port"
NEAR, FAR = (
    {"part": "hull", "face": "port", "u": u, "v": 0.3, "given": {"by": "click"}}
    for u in (0.70, 0.86)
)


def zone(book, code):
    with book.read() as session:
        return next(z.id for z, _ in queries.zones_at(session) if z.code == code)


def haul_out(book, begins, ends=None, count=None):
    """Enter a haul-out; with a count of blisters aft."""
    visit = visits.start_haul_out(book, begins=begins, looked_for=[KIND], methods=["close"])
    if count is not None:
        figures = {"count": str(count), "largest_mm": "8 mm"}
        rated = [Rated(KIND, figures, {"wetness": "wet"})]
        looks.log_inspection(book, visit, zone(book, AFT), ratings=rated)
    if ends:
        visits.relaunch(book, visit, ends)
        visits.close(book, visit)
    return visit


def cut(book, share, code=AFT):
    typed = {"way": "along", "name": "Lower", "other_name": "Upper"}
    return redrawing.split_zone(book, zone(book, code), share=share, **typed)


def share_kept(book, share):
    """Return what the first part would cover of the zone, by area."""
    with book.read() as session:
        shown = boat_form(session)
    whole = next(one for one in shown.zones if one.code == AFT).outline
    return shapes.covered(shown.form, whole, shapes.split(whole, "along", share, "x")[0])


@pytest.mark.parametrize(("share", "goes_on"), [(0.88, False), (0.92, True)])
def test_a_series_goes_on_only_where_the_new_outline_covers_nine_tenths(ketch, share, goes_on):
    first = haul_out(ketch, "2024-04-10", "2024-04-20", 10)
    assert (share_kept(ketch, share) >= 0.9) is goes_on
    cut(ketch, share)
    second = haul_out(ketch, "2025-04-10", "2025-04-20", 12)
    with ketch.read() as book:
        series = zone_series(book, zone(ketch, AFT), KIND, "count", None)
        edges = Edge(first, "found"), Edge(second, "found")
        told = next(one for one in compare(book, *edges, KIND) if one.now.code == AFT)
    old, new = series.points
    assert new.comparable
    assert old.comparable is goes_on
    assert ("zone_redrawn" in old.why_not) is not goes_on
    assert ("zone_redrawn" in told.why_not) is not goes_on


def test_a_joined_zone_goes_on_with_the_series_of_the_first(ketch):
    haul_out(ketch, "2024-04-10", "2024-04-20", 10)
    redrawing.join_zones(ketch, zone(ketch, AFT), zone(ketch, MIDDLE), name="After body")
    haul_out(ketch, "2025-04-10", "2025-04-20", 12)
    with ketch.read() as book:
        series = zone_series(book, zone(ketch, AFT), KIND, "count", None)
    assert [point.comparable for point in series.points] == [True, True]


def test_a_conversion_that_leaves_the_outline_does_not_break_its_series(ketch):
    haul_out(ketch, "2024-04-10", "2024-04-20", 10)
    vessel.convert(ketch, begins="2024-09", rudder="spade", reason="new rudder")
    haul_out(ketch, "2025-04-10", "2025-04-20", 12)
    with ketch.read() as book:
        series = zone_series(book, zone(ketch, AFT), KIND, "count", None)
    assert [point.comparable for point in series.points] == [True, True]


def painted(book, *codes):
    visit = visits.start_haul_out(book, begins="2024-04-10")
    paint = coatings.add_product(
        book, name="Redweed", coating_class="ablative_antifouling", role="antifouling"
    )
    keys = [zone(book, code) for code in codes]
    coatings.add_removal(book, visit, down_to="gelcoat", zones=keys)
    coatings.add_coat(book, visit, paint, litres="1 L", zones=keys)
    visits.close(book, visit)
    return visit


def test_both_parts_of_a_cut_zone_keep_the_paint_that_went_on_the_whole(ketch):
    visit = painted(ketch, AFT)
    with ketch.read() as book:
        (coat,) = coats_of(book, book.get(Visit, visit))
        before = areas_of(book).of(coat).value
    other = cut(ketch, 0.4)
    with ketch.read() as book:
        (coat,) = coats_of(book, book.get(Visit, visit))
        for key in (zone(ketch, AFT), other):
            section = build_up(book, key)
            assert [layer.product for layer in section.layers] == ["Redweed"]
            assert section.down_to == "gelcoat"
        assert areas_of(book).of(coat).value == pytest.approx(before, rel=1e-6)
        assert {one.code for one in bared(book)} == {AFT, f"{AFT}-2"}
        then = build_up(book, zone(ketch, AFT), Edge(visit, "left"))
    assert [layer.share for layer in then.layers] == [1.0]


def test_a_joined_zone_wears_the_paint_of_a_part_on_its_share(ketch):
    visit = painted(ketch, MIDDLE)
    with ketch.read() as book:
        sizes = {key: areas_of(book).zones[zone(ketch, key)][1] for key in (AFT, MIDDLE)}
    redrawing.join_zones(ketch, zone(ketch, AFT), zone(ketch, MIDDLE), name="After body")
    with ketch.read() as book:
        (layer,) = build_up(book, zone(ketch, AFT)).layers
        (coat,) = coats_of(book, book.get(Visit, visit))
        area = areas_of(book).of(coat).value
    assert layer.share == pytest.approx(sizes[MIDDLE] / (sizes[AFT] + sizes[MIDDLE]))
    assert area == pytest.approx(sizes[MIDDLE], rel=1e-6)


def test_a_spot_lies_in_the_part_that_its_place_is_in_and_in_the_whole_before(ketch):
    haul_out(ketch, "2024-04-10")
    last = queries_last(ketch)
    for label, place in (("near", NEAR), ("far", FAR)):
        spots.add_spot(ketch, label=label, place=place, zone_id=zone(ketch, AFT), visit_id=last)
    visits.close(ketch, last)
    whole = zone(ketch, AFT)
    other = redrawing.split_zone(
        ketch, whole, way="across", share=0.5, name="Fore part", other_name="After part"
    )
    with ketch.read() as book:
        now = {one.label: one.zone_id for one in spots_at(book, None)}
        then = {one.label: one.zone_id for one in spots_at(book, Edge(last, "found"))}
    assert now == {"near": whole, "far": other}
    assert then == {"near": whole, "far": whole}


def test_what_a_spot_shows_is_shown_in_its_part(ketch):
    first = haul_out(ketch, "2024-04-10")
    spot = spots.add_spot(ketch, label="far", place=FAR, zone_id=zone(ketch, AFT), visit_id=first)
    visits.close(ketch, first)
    redrawing.split_zone(
        ketch, zone(ketch, AFT), way="across", share=0.5, name="Fore", other_name="After"
    )
    second = haul_out(ketch, "2025-04-10")
    rated = Rated(KIND, {"count": "30", "largest_mm": "20 mm"}, {"wetness": "wet"})
    spots.observe_spot(ketch, spot, second, ratings=[rated])
    with ketch.read() as book:
        states = {one.code: one for one in hull_state(book, Edge(second, "found"), KIND)}
    assert states[f"{AFT}-2"].spot == 1
    assert states[AFT].spot is None


def queries_last(book):
    with book.read() as session:
        return queries.visits(session)[-1].id

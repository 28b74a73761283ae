"""Antifouling by season, the section through the paint, and what may go over it."""

from __future__ import annotations

import pytest

from hulllog.drawing.paintwords import did_lines, few_text, layer_text
from hulllog.insight.occasions import Edge
from hulllog.insight.overcoating import air, may_go_over, sheet_times
from hulllog.insight.paint import areas_of, build_up, threads, worn_once
from hulllog.insight.seasons import by_paint, seasons
from hulllog.records.operations import coatings, looks, queries, vessel, visits
from hulllog.records.operations.measuring import Rated
from hulllog.trade import films
from hulllog.trade.coatclasses import CLASSES
from hulllog.trade.refusal import Refusal

BOTTOM, KEEL, TOPSIDES = "bottom-aft-port", "keel-port-outboard", "topsides-port"


def read(logbook, question, *about, **more):
    with logbook.read() as book:
        return question(book, *about, **more)


def test_each_season_wears_what_went_on_at_its_start(made):
    worn = read(made.logbook, threads)
    assert [one.colour for one in worn] == ["blue", "red"] * 4
    assert [one.ends.text[:4] for one in worn[:-1]] == [str(year) for year in range(2017, 2024)]
    assert worn[-1].ends is None
    assert (worn[0].coats, worn[0].litres, worn[0].measured) == (2, pytest.approx(4.6), 2)
    assert (worn[2].coats, worn[2].litres) == (1, pytest.approx(2.3))


def test_the_thread_is_read_from_an_edge(made):
    found = read(made.logbook, threads, Edge(made.visits[2020], "found"))
    assert found[-1].ends.text == "2020-04-14"
    assert found[-1].colour == "red"
    left = read(made.logbook, threads, Edge(made.visits[2020], "left"))
    assert (left[-1].colour, left[-1].ends) == ("blue", None)


def test_a_lift_without_paint_goes_on_in_the_same(made):
    visit = visits.start_haul_out(made.logbook, begins="2024-04-14")
    visits.relaunch(made.logbook, visit, "2024-04-16")
    before, after = read(made.logbook, threads)[-2:]
    assert before.ends.text == "2024-04-14"
    assert (after.again, after.product, after.visit_id) == (True, before.product, before.visit_id)
    last = read(made.logbook, seasons)[-1]
    assert (last.coats, last.needed, last.why_not) == ((), None, "no_coats")


def test_antifouling_taken_off_everywhere_is_worn_no_longer(made):
    visit = visits.start_haul_out(made.logbook, begins="2024-04-14")
    coatings.add_removal(made.logbook, visit, down_to="gelcoat")
    visits.relaunch(made.logbook, visit, "2024-06-16")
    worn = read(made.logbook, threads)
    assert worn[-1].ends.text == "2024-04-14"


def test_painting_on_a_drying_grid_begins_another_season(made):
    visit = visits.start_visit(made.logbook, kind="drying_out", begins="2023-08-14")
    coatings.add_coat(made.logbook, visit, made.paints["blue"])
    before, after = read(made.logbook, threads)[-2:]
    assert before.ends.text == after.begins.text == "2023-08-14"


def reached(made):
    """The bottom without the soles on which she stands."""
    areas = read(made.logbook, areas_of)
    soles = [areas.zones[made.zones[f"keel-{side}-under"]][1] for side in ("port", "starboard")]
    assert min(soles) > 0
    return areas.bottom - sum(soles)


def test_litres_needed_are_of_the_class_until_the_sheet_is_known(made):
    typical = read(made.logbook, seasons)[-1]
    of_class = CLASSES["self_polishing_antifouling"]
    area = reached(made)
    by_hand = area * of_class.film_um * 2 / (10 * of_class.solids * 0.88)
    assert typical.needed.value == pytest.approx(by_hand)
    assert "class_value" in typical.needed.cautions
    notes = {one.note for one in typical.needed.inputs}
    assert "typical_not_this_product" in notes
    red = made.paints["red"]
    coatings.set_product(made.logbook, red, "volume_solids", "40", reason="sheet")
    coatings.set_product(made.logbook, red, "film", "60", reason="sheet")
    own = read(made.logbook, seasons)[-1]
    assert own.needed.cautions == ()
    assert own.needed.value == pytest.approx(area * 60 * 2 / (10 * 40 * 0.88))
    assert own.film.value == pytest.approx(10 * 40 * 4.6 * 0.88 / area)


def test_what_is_missing_for_the_litres_is_named(made):
    coatings.set_product(made.logbook, made.paints["red"], "coating_class", "unknown", reason="x")
    assert read(made.logbook, seasons)[-1].why_not == "class_not_known"
    visit = visits.start_haul_out(made.logbook, begins="2024-04-14")
    coatings.add_coat(made.logbook, visit, made.paints["blue"])
    coatings.add_coat(made.logbook, visit, made.paints["blue"], zones=[made.zones[BOTTOM]])
    assert read(made.logbook, seasons)[-1].why_not == "areas_differ"


def test_each_paint_tells_its_fouling_with_the_number_of_seasons(made):
    found = read(made.logbook, seasons)
    assert [one.fouling and one.fouling.level for one in found] == [
        "2", "2", "4", "2", "2", "1", "2", None,
    ]  # fmt: skip
    red, blue = by_paint(found)
    assert (red.product, red.seasons, red.rated) == ("Tidewall 40", 4, 3)
    assert red.levels == (("1", 1), ("2", 2))
    assert blue.levels[-1] == ("4", 1)


def test_fouling_seen_after_the_wash_is_not_told_of_the_paint(made):
    visit = visits.start_haul_out(made.logbook, begins="2024-04-14")
    for washed, level, zone in (("washed", "5", BOTTOM), ("not_washed", "3", KEEL)):
        rated = Rated("level-of-fouling", {"level": level}, {"washed": washed})
        looks.log_inspection(made.logbook, visit, made.zones[zone], ratings=[rated])
    (ended,) = [s for s in read(made.logbook, seasons) if s.thread.next_visit_id == visit]
    assert (ended.fouling.level, ended.fouling.zones) == ("3", 1)


# The section through the paint


def test_coats_lie_on_one_another_below_the_water_only(made):
    section = read(made.logbook, build_up, made.zones[BOTTOM])
    assert len(section.layers) == 15
    assert section.down_to is None
    assert {layer.film_from for layer in section.layers} == {"typical"}
    assert read(made.logbook, build_up, made.zones[TOPSIDES]).layers == ()


def test_a_film_is_known_from_the_litres_where_the_sheet_gives_solids(made):
    coatings.set_product(made.logbook, made.paints["red"], "volume_solids", "50", reason="sheet")
    layer = read(made.logbook, build_up, made.zones[BOTTOM]).layers[-1]
    area = reached(made)
    assert layer.film_from == "litres"
    assert layer.film_um == pytest.approx(films.mean_film(2.3, 50, area, "roller").value)


def test_a_removal_tells_what_lies_below(made):
    visit = visits.start_haul_out(made.logbook, begins="2024-04-14")
    primer = coatings.add_product(
        made.logbook, name="Greyshore", coating_class="epoxy_primer", role="primer"
    )
    zone = made.zones[BOTTOM]
    coatings.add_removal(made.logbook, visit, down_to="gelcoat", zones=[zone])
    coatings.add_coat(made.logbook, visit, primer, zones=[zone])
    section = read(made.logbook, build_up, zone)
    assert (section.down_to, [layer.product for layer in section.layers]) == (
        "gelcoat", ["Greyshore"],
    )  # fmt: skip
    assert len(read(made.logbook, build_up, made.zones[KEEL]).layers) == 15


# What may go over


@pytest.mark.parametrize(
    ("new", "treatment"),
    [
        ("self_polishing_antifouling", "direct"),
        ("hard_antifouling", "tie_coat"),
        ("silicone", "remove"),
    ],
)
def test_what_goes_over_follows_the_outermost_layer(made, new, treatment):
    over = read(made.logbook, may_go_over, made.zones[BOTTOM], new)
    assert over.outermost.product == "Tidewall 40"
    assert over.verdict.treatment == treatment
    assert over.verdict.reasons
    assert "data_sheets_lead" in over.verdict.cautions
    assert over.copper is None


def test_old_tin_paint_on_record_is_sealed_and_never_sanded_dry(made):
    visit = visits.start_haul_out(made.logbook, begins="2026-04-01")
    tin = coatings.add_product(
        made.logbook, name="Grey Shore", coating_class="tin_copolymer", role="antifouling"
    )
    coatings.add_coat(made.logbook, visit, tin, zones=[made.zones[BOTTOM]])
    over = read(made.logbook, may_go_over, made.zones[BOTTOM], "hard_antifouling")
    assert over.outermost.coating_class == "tin_copolymer"
    assert over.verdict.treatment == "tie_coat"
    assert "tin_remove_or_seal" in [one.code for one in over.verdict.reasons]
    assert {"old_film_may_hold_tin", "no_dry_sanding"} <= set(over.verdict.cautions)


def test_what_is_not_on_record_is_isolated_and_named_as_missing(made):
    over = read(made.logbook, may_go_over, made.zones[TOPSIDES], "hard_antifouling")
    assert over.outermost is None
    assert over.verdict.treatment == "tie_coat"
    assert "old_coating_class" in over.verdict.missing


@pytest.mark.parametrize("drive", ["shaft", "tunnel"])
def test_a_shaft_in_a_tunnel_is_no_aluminium_leg(made, drive):
    vessel.correct_particulars(made.logbook, drive=drive, reason="looked again")
    over = read(made.logbook, may_go_over, made.zones[BOTTOM], "hard_antifouling")
    assert over.copper is None


def test_copper_is_told_of_beside_aluminium(made):
    vessel.set_about(made.logbook, "material", "aluminium", reason="surveyed")
    over = read(made.logbook, may_go_over, made.zones[BOTTOM], "hard_antifouling")
    assert over.copper.verdict == "not_known"
    assert "copper_form" in over.copper.missing


# The air


def test_the_air_is_told_and_never_judged():
    told = air(20.0, 60.0, 17.0)
    assert told.dew_point.value == pytest.approx(12.0, abs=0.1)
    assert told.margin.value == pytest.approx(5.0, abs=0.1)
    assert {rule.source.title for rule in told.rules} == {"ISO 12944-7, with ISO 8502-4"}
    assert air(20.0, 60.0).margin is None
    with pytest.raises(Refusal, match="out_of_range"):
        air(20.0, 0.0)


def test_times_come_from_the_products_own_sheet_only(made):
    red = made.paints["red"]
    assert read(made.logbook, sheet_times, red, 15.0) == []
    coatings.add_window(
        made.logbook, red, step="launch", temperature="5", shortest="24 h", longest="60 d"
    )
    coatings.add_window(made.logbook, red, step="launch", temperature="15", shortest="12 h")
    (told,) = read(made.logbook, sheet_times, red, 15.0)
    assert told.window.shortest.value == pytest.approx(12.0)
    assert read(made.logbook, sheet_times, red, 2.0) == []


# What paint on the whole bottom reached


def zone_key(logbook, code):
    with logbook.read() as book:
        return next(zone.id for zone, _ in queries.zones_at(book) if zone.code == code)


def layers(logbook, code):
    return read(logbook, build_up, zone_key(logbook, code)).layers


def test_the_whole_bottom_is_what_could_be_reached_of_it(made):
    skeg = zone_key(made.logbook, "skeg")
    before = len(layers(made.logbook, "skeg"))
    visit = made.visits[2023]
    looks.could_not_see(made.logbook, visit, skeg, hidden_by="support")
    assert len(layers(made.logbook, "skeg")) == before - len(made.coats[2023])
    looks.nothing_found(made.logbook, visit, skeg, state="during")
    assert len(layers(made.logbook, "skeg")) == before


def test_a_sole_has_the_coats_of_the_years_in_which_it_was_looked_at(made):
    assert layers(made.logbook, "keel-port-under") == ()
    sole = zone_key(made.logbook, "keel-port-under")
    looks.nothing_found(made.logbook, made.visits[2020], sole, state="during")
    found = layers(made.logbook, "keel-port-under")
    assert {layer.when.text for layer in found} == {"2020-04-28"}


def test_a_coat_named_for_a_sole_is_kept_as_recorded(made):
    sole = zone_key(made.logbook, "keel-port-under")
    coatings.add_coat(made.logbook, made.visits[2023], made.paints["red"], zones=[sole])
    assert len(layers(made.logbook, "keel-port-under")) == 1


def test_a_coat_on_a_part_of_a_zone_says_so_and_its_film_is_of_that_part(made):
    key = zone_key(made.logbook, "skeg")
    primer = coatings.add_product(
        made.logbook, name="Grip", coating_class="epoxy_primer", role="primer",
        volume_solids="50 %",
    )  # fmt: skip
    films = []
    for share in (None, "10 %"):
        coatings.add_coat(
            made.logbook,
            made.visits[2023],
            primer,
            zones=[key],
            share=share,
            litres="0.1",
            at="2023-04-30",
        )
        films.append(layers(made.logbook, "skeg")[-1])
    whole, part = films
    assert (whole.share, part.share) == (1.0, pytest.approx(0.1))
    assert part.film_um == pytest.approx(10 * whole.film_um)
    assert "10" in layer_text(part).removeprefix(layer_text(whole))
    assert "of the zone" in layer_text(part)


def test_coats_worn_on_after_a_lift_are_listed_once(made):
    before = worn_once(read(made.logbook, threads))
    visit = visits.start_haul_out(made.logbook, begins="2024-04-14")
    visits.relaunch(made.logbook, visit, "2024-04-20")
    worn = worn_once(read(made.logbook, threads))
    assert len(read(made.logbook, threads)) == len(before) + 1
    assert len(worn) == len(before)
    assert worn[-1].ends is None
    ((out, back),) = worn[-1].ashore
    assert (out.text, back.text) == ("2024-04-14", "2024-04-20")
    assert before[-1].ashore == ()


def test_each_season_of_a_paint_tells_what_was_found_beside_its_time_in_water(made):
    visit = visits.start_haul_out(made.logbook, begins="2024-04-14")
    for cover, zone in (("70 %", BOTTOM), ("40 %", KEEL)):
        rated = Rated("antifouling-cover", {"cover": cover}, {"washed": "washed"})
        looks.log_inspection(made.logbook, visit, made.zones[zone], ratings=[rated])
    red = next(one for one in by_paint(read(made.logbook, seasons)) if one.product == "Tidewall 40")
    newest = red.ended[0]
    assert newest.cover.text == "40"
    assert newest.idle.value + newest.immersed.days == pytest.approx(348, abs=2)
    told = did_lines(red)
    assert len(told) == 4
    assert "40" in told[0]
    assert "fouling not rated" in told[0]
    assert "immersed" in told[0]
    assert "level 1" in " ".join(told)


def test_no_order_is_claimed_among_paints_under_five_looks(made):
    paints = by_paint(read(made.logbook, seasons))
    assert all(paint.few for paint in paints)
    assert "nothing is said of which did better" in few_text(paints)
    assert few_text(paints[:1]) == ""

"""What to buy for the next haul-out, read from seasons of paint and anodes."""

from __future__ import annotations

import pytest

from hulllog.insight.buying import Wish, to_buy
from hulllog.insight.occasions import visits as all_visits
from hulllog.insight.paint import areas_of, coats_of
from hulllog.records.operations import anodes, around, coatings, visits
from hulllog.trade.coatclasses import CLASSES


def read(logbook, question=to_buy):
    with logbook.read() as book:
        return question(book)


def wish(logbook, **wanted):
    around.set_setting(logbook, "plan", Wish(**wanted).stored())


def area_by_hand(logbook, *beginnings):
    """Sum the areas of zones by the beginnings of their codes."""
    from hulllog.insight.condition import zone_versions

    with logbook.read() as book:
        areas = areas_of(book)
        return sum(
            areas.zones[zone.id][1]
            for zone, _ in zone_versions(book, None)
            if zone.code.startswith(beginnings)
        )


def test_as_much_as_last_time_times_her_own_factor(made):
    (paint,) = read(made.logbook).paints
    of_class = CLASSES["self_polishing_antifouling"]
    with made.logbook.read() as book:
        areas = areas_of(book)
        put_on = [coat for visit in all_visits(book) for coat in coats_of(book, visit)]
        covered = [areas.of(coat).value for coat in put_on if coat.role == "antifouling"]
    litres_of = of_class.film_um / (10 * of_class.solids * 0.88)
    # Fifteen coats of 2.3 L in eight jobs, each on what could be reached, by the same sheet.
    assert paint.compared == len(covered) == 15
    factor = 15 * 2.3 / (sum(covered) * litres_of)
    assert paint.factor.value == pytest.approx(factor)
    assert [part.coats for part in paint.parts] == [2]
    assert paint.wanted.value == pytest.approx(2 * areas.bottom * litres_of * factor)
    assert paint.tins.held.value >= paint.wanted.value
    assert paint.common


def test_paint_of_another_class_has_no_own_factor_yet(made):
    hard = coatings.add_product(
        made.logbook, name="Stillwater", coating_class="hard_antifouling", role="antifouling"
    )
    wish(made.logbook, product_id=hard)
    (paint,) = read(made.logbook).paints
    assert (paint.product, paint.factor, paint.compared) == ("Stillwater", None, 0)
    assert "no_own_factor" in paint.wanted.cautions
    assert paint.wanted.interval is not None


def test_an_extra_coat_goes_where_the_owner_wants_it(made):
    plain = read(made.logbook).paints[0]
    wish(made.logbook, coats=3, extra=("waterline", "leading_edges", "rudder"))
    paint = read(made.logbook).paints[0]
    assert [(part.where, part.coats) for part in paint.parts] == [
        ("all_over", 3), ("waterline", 1), ("leading_edges", 1), ("rudder", 1),
    ]  # fmt: skip
    band = area_by_hand(made.logbook, "waterline")
    assert paint.parts[1].area.value == pytest.approx(band)
    assert paint.parts[1].litres.value / paint.parts[0].litres.value == pytest.approx(
        band / (3 * paint.parts[0].area.value)
    )
    assert 0 < paint.parts[2].area.value < 1.5
    assert paint.wanted.value > 1.5 * plain.wanted.value


def test_tins_on_record_give_the_sizes(made):
    worn = read(made.logbook).choices[0][0]
    coatings.add_tin(made.logbook, worn, content="3 L", bought="2023-03")
    paint = read(made.logbook).paints[0]
    assert (paint.tins.counts, paint.common) == (((3.0, 2),), False)


def test_a_thinner_only_where_the_sheet_names_one(made):
    worn = read(made.logbook).choices[0][0]
    assert read(made.logbook).paints[0].thinner is None
    coatings.set_product(made.logbook, worn, "thinner", "Thinner Nine", reason="sheet")
    paint = read(made.logbook).paints[0]
    assert paint.thinner.name == "Thinner Nine"
    assert paint.thinner.at_most.value == pytest.approx(paint.wanted.value * 0.05)


def test_primer_for_zones_that_were_bared_and_not_primed(made):
    visit, zone = made.visits[2023], made.zones["keel-port-outboard"]
    coatings.add_removal(made.logbook, visit, down_to="bare_metal", zone_ids=[zone])
    found = read(made.logbook)
    assert [(one.code, one.values["zones"]) for one in found.untold] == [
        ("no_primer", ("Port keel, outboard",))
    ]
    grip = coatings.add_product(
        made.logbook, name="Grip", coating_class="epoxy_primer", role="primer"
    )
    primer = read(made.logbook).paints[1]
    assert (primer.product, primer.zones) == ("Grip", ("Port keel, outboard",))
    (part,) = primer.parts
    # Two coats of 60 µm at 50 % solids, 12 % lost, by hand.
    assert part.litres.value == pytest.approx(part.area.value * 60 * 2 / (10 * 50 * 0.88))
    coatings.add_coat(made.logbook, visit, grip, zones=[zone])
    assert len(read(made.logbook).paints) == 1


def test_the_anode_that_is_fitted_is_bought_again(made):
    (anode,) = read(made.logbook).anodes
    assert (anode.name, anode.metal, anode.mass.text, anode.mass.unit, anode.mass_from) == (
        "Shaft", "zinc", "620", "g", "weighed",
    )  # fmt: skip
    anodes.add_position(made.logbook, name="Rudder", protects=["rudder"])
    found = read(made.logbook)
    assert [one.name for one in found.anodes] == ["Shaft"]
    assert [(one.code, one.values) for one in found.untold] == [
        ("no_anode_fitted", {"position": "Rudder"})
    ]


def test_the_newest_price_stands_in_its_own_currency(made):
    product = read(made.logbook).paints[0].product
    for year, amount, currency in ((2022, "61.50", "EUR"), (2023, "58,00", "GBP")):
        around.add_cost(
            made.logbook, what=f"Two tins {product.upper()}", amount=amount, currency=currency,
            visit_id=made.visits[year],
        )  # fmt: skip
    price = read(made.logbook).paints[0].price
    assert (price.amount, price.currency, price.when.text) == ("58.00", "GBP", "2023-04-14")


def test_what_is_not_known_is_refused_with_its_reason(logbook):
    assert [one.code for one in read(logbook).untold] == ["no_antifouling"]
    coatings.add_product(
        logbook, name="Tidewall", coating_class="hard_antifouling", role="antifouling"
    )
    found = read(logbook)
    assert ([one.code for one in found.untold], found.bottom) == (["no_area"], None)


def test_a_class_without_figures_needs_the_sheet(made):
    old = coatings.add_product(
        made.logbook, name="Old Blacking", coating_class="bitumen", role="antifouling"
    )
    wish(made.logbook, product_id=old)
    found = read(made.logbook)
    assert [(one.code, one.values) for one in found.untold] == [
        ("figures_not_known", {"product": "Old Blacking"})
    ]
    coatings.set_product(made.logbook, old, "film", "100", reason="sheet")
    coatings.set_product(made.logbook, old, "volume_solids", "50", reason="sheet")
    (paint,) = read(made.logbook).paints
    assert "class_value" not in paint.wanted.cautions


def test_a_wish_that_cannot_be_read_is_none(made):
    around.set_setting(made.logbook, "plan", {"coats": "many", "extra": 7, "product_id": 3})
    assert read(made.logbook).wish == Wish()


def test_paint_worn_again_counts_no_job_twice(made):
    before = read(made.logbook).paints[0].compared
    visit = visits.start_haul_out(made.logbook, begins="2024-04-14")
    visits.relaunch(made.logbook, visit, "2024-04-16")
    assert read(made.logbook).paints[0].compared == before

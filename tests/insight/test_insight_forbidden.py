"""The plan never proposes what a rule forbids; what was really done is another matter."""

from __future__ import annotations

import pytest

from hulllog.drawing.planwords import copper_text, untold_text
from hulllog.insight.buying import Wish, to_buy
from hulllog.records.operations import around, coatings, vessel


def proposed(logbook, **typed):
    """Enter a paint, wish for it, and return what is bought of it and what is not told."""
    paint = {"coating_class": "self_polishing_antifouling", "role": "antifouling", **typed}
    key = coatings.add_product(logbook, name="Proof", **paint)
    around.set_setting(logbook, "plan", Wish(product_id=key).stored())
    with logbook.read() as book:
        found = to_buy(book)
    paints = [one for one in found.paints if one.product == "Proof"]
    return paints[0] if paints else None, found.untold


@pytest.fixture
def tin_boat(logbook):
    """An aluminium hull with a shaft."""
    vessel.create_vessel(
        logbook, name="Bright Kettle", kind="motor", material="aluminium", keel="none",
        length="9 m", beam="3 m", draught="0.8 m", drive="shaft",
    )  # fmt: skip
    return logbook


@pytest.mark.parametrize(
    "biocide", ["Copper(I) oxide 40 %", "cuprous oxide", "1317-39-1", "copper powder"]
)
def test_copper_on_aluminium_is_never_planned(tin_boat, biocide):
    # Facts on copper: class rules for aluminium craft; the plan never proposes it.
    paint, untold = proposed(tin_boat, biocides=["zineb", biocide])
    assert paint is None
    assert [one.code for one in untold] == ["never_planned"]
    assert "Class rules for aluminium craft" in untold_text(untold[0])


def test_mild_copper_on_aluminium_goes_only_over_a_barrier(tin_boat):
    paint, untold = proposed(tin_boat, biocides=["cuprous thiocyanate"])
    assert paint.copper.verdict == "only_over_barrier"
    assert "barrier" in copper_text(paint.copper)
    assert untold == ()


def test_on_aluminium_a_paint_of_unknown_copper_says_so(tin_boat):
    paint, _ = proposed(tin_boat)
    assert paint.copper.verdict == "not_known"
    free, _ = proposed(tin_boat, biocides=["tralopyril"])
    assert free.copper is None


def test_copper_epoxy_holds_metal_whatever_was_typed(tin_boat):
    paint, untold = proposed(tin_boat, coating_class="copper_epoxy")
    assert (paint, [one.code for one in untold]) == (None, ["never_planned"])


def test_copper_on_glass_fibre_with_a_shaft_stands(made):
    paint, untold = proposed(made.logbook, biocides=["cuprous oxide"])
    assert paint.copper is None
    assert untold == ()


@pytest.mark.parametrize(
    ("typed", "named"),
    [
        ({"biocides": ["Cybutryne"]}, "cybutryne"),
        ({"coating_class": "tin_copolymer", "film": "50 um", "volume_solids": "50 %"}, "organotin"),
    ],
)
def test_what_the_convention_forbids_is_not_proposed(made, typed, named):
    paint, untold = proposed(made.logbook, **typed)
    assert paint is None
    assert {one.code for one in untold} == {"forbidden"}
    assert named in untold_text(untold[0])


def test_what_was_really_put_on_stays_on_record(tin_boat):
    from hulllog.insight.paint import threads
    from hulllog.records.operations import visits

    key = coatings.add_product(
        tin_boat, name="Old Red", coating_class="hard_antifouling", role="antifouling",
        biocides=["cuprous oxide"],
    )  # fmt: skip
    visit = visits.start_haul_out(tin_boat, begins="2020-04-01")
    coatings.add_coat(tin_boat, visit, key)
    visits.relaunch(tin_boat, visit, "2020-04-09")
    with tin_boat.read() as book:
        assert threads(book)[-1].product == "Old Red"

"""New over old, copper near aluminium, forbidden biocides."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hulllog.trade import biocides, coatclasses, compatibility
from hulllog.trade.compatibility import NEW_COATINGS, OLD_COATINGS, PRIMERS
from hulllog.trade.refusal import Refusal

PAIRS = [(old, new) for old in OLD_COATINGS for new in NEW_COATINGS]


@pytest.mark.parametrize(("old", "new"), PAIRS)
def test_every_cell_has_a_reason(old: str, new: str) -> None:
    told = compatibility.compatible(old, new, sound=True)
    assert told.reasons
    assert told.treatment in compatibility.TREATMENTS
    assert len({one.code for one in told.reasons}) == len(told.reasons)


@pytest.mark.parametrize(
    ("old", "new", "treatment"),
    [
        ("silicone", "ablative_antifouling", "remove"),
        ("hard_antifouling", "self_polishing_antifouling", "abrade"),
        ("unknown", "ablative_antifouling", "tie_coat"),
        ("soft_antifouling", "soft_antifouling", "direct"),
        ("ablative_antifouling", "hard_antifouling", "tie_coat"),
        ("thin_film_antifouling", "thin_film_antifouling", "direct"),
        ("hard_antifouling", "thin_film_antifouling", "remove"),
        ("tin_copolymer", "hard_antifouling", "tie_coat"),
        ("copper_epoxy", "copper_epoxy", "abrade"),
    ],
)
def test_cells_of_the_matrix(old: str, new: str, treatment: str) -> None:
    assert compatibility.compatible(old, new, sound=True).treatment == treatment


def test_an_unknown_film_is_isolated_and_the_fact_named() -> None:
    told = compatibility.compatible("other", "ablative_antifouling")
    assert told.treatment == "tie_coat"
    assert told.missing == ("old_coating_class", "old_film_tested")
    assert told.reasons[0].code == "old_film_unknown_isolate"
    assert "old_film_may_hold_tin" in told.cautions


@given(st.sampled_from(PAIRS))
def test_a_loose_film_comes_off_whatever_the_cell(pair: tuple[str, str]) -> None:
    told = compatibility.compatible(*pair, sound=False)
    assert told.treatment == "remove"
    assert told.reasons[0].code == "old_film_not_sound"


def test_two_packs_lift_one_packs() -> None:
    told = compatibility.compatible("hard_antifouling", "copper_epoxy", sound=True)
    assert [one.code for one in told.reasons] == ["two_pack_over_one_pack"]


@pytest.mark.parametrize("primer", sorted(PRIMERS))
def test_over_a_primer_its_window_counts(primer: str) -> None:
    told = compatibility.compatible(primer, "hard_antifouling", sound=True)
    assert told.treatment == "by_the_sheet"
    assert told.missing == ("hours_since_primer",)


def test_what_is_no_antifouling_is_refused() -> None:
    for new in ("unknown", "topside", "epoxy_primer"):
        with pytest.raises(Refusal, match="new_coating_unknown"):
            compatibility.compatible("hard_antifouling", new)
    with pytest.raises(Refusal, match="old_coating_unlisted"):
        compatibility.compatible("topside", "hard_antifouling")


@pytest.mark.parametrize("copper", ["cuprous_oxide", "metallic_copper"])
@pytest.mark.parametrize(
    ("hull", "drive"), [("aluminium", "shaft"), ("grp", "saildrive"), ("grp", "outdrive")]
)
def test_the_plan_never_proposes_copper_on_aluminium(copper: str, hull: str, drive: str) -> None:
    told = compatibility.copper_near_aluminium(copper, hull, drive, barrier_intact=True)
    assert told.verdict == "never_planned"
    assert told.reasons


def test_both_views_of_copper_oxide_are_told() -> None:
    told = compatibility.copper_near_aluminium("cuprous_oxide", "aluminium")
    assert [one.code for one in told.reasons] == [
        "copper_on_aluminium_hull",
        "study_saw_no_harm_from_oxide",
    ]


def test_milder_copper_wants_a_whole_barrier() -> None:
    def near(barrier: bool | None) -> compatibility.CopperNear:
        return compatibility.copper_near_aluminium(
            "cuprous_thiocyanate", "aluminium", barrier_intact=barrier
        )

    assert near(True).verdict == "only_over_barrier"
    assert near(True).missing == ()
    assert near(None).missing == ("barrier_intact",)
    assert near(False).verdict == "never_planned"


def test_what_is_not_known_is_no_leave() -> None:
    told = compatibility.copper_near_aluminium("cuprous_oxide", "unknown", "unknown")
    assert told.verdict == "not_known"
    assert told.missing == ("hull_material", "drive")
    assert compatibility.copper_near_aluminium("unknown", "aluminium").missing == ("copper_form",)
    safe = compatibility.copper_near_aluminium("cuprous_oxide", "grp", "shaft")
    assert safe.verdict == "no_objection"
    open_copper = compatibility.copper_near_aluminium("unknown", "grp", "shaft")
    assert (open_copper.verdict, open_copper.missing) == ("no_objection", ())
    for hull, drive in (("unknown", "shaft"), ("grp", "unknown")):
        assert compatibility.copper_near_aluminium("unknown", hull, drive).verdict == "not_known"
    assert compatibility.copper_near_aluminium("none", "aluminium").verdict == "no_objection"


def test_copper_and_drive_by_their_lists() -> None:
    with pytest.raises(Refusal, match="copper_form_unknown"):
        compatibility.copper_near_aluminium("gold", "grp")
    with pytest.raises(Refusal, match="drive_unknown"):
        compatibility.copper_near_aluminium("none", "grp", "oars")


def test_bans_come_with_date_and_territory() -> None:
    before = biocides.known_bans("cybutryne", "imo", date(2022, 12, 31))
    after = biocides.known_bans("cybutryne", "imo", date(2023, 1, 1))
    assert (before.facts, len(before.coming)) == ((), 2)
    assert [one.fact for one in after.facts] == ["not_to_be_applied", "renew_or_seal"]
    assert after.known_on == biocides.KNOWN_ON
    assert after.territory == "imo"


def test_nothing_known_is_said_so() -> None:
    assert biocides.known_bans("zineb", "eu", date(2026, 1, 1)).nothing_known
    with pytest.raises(Refusal, match="biocide_unknown"):
        biocides.known_bans("salt", "eu", date(2026, 1, 1))
    with pytest.raises(Refusal, match="territory_unknown"):
        biocides.known_bans("zineb", "moon", date(2026, 1, 1))


@pytest.mark.parametrize(
    ("applied", "renewal", "due"),
    [
        (date(2021, 6, 1), date(2027, 3, 1), date(2026, 6, 1)),
        (date(2021, 6, 1), date(2024, 4, 15), date(2024, 4, 15)),
        (date(2021, 6, 1), None, date(2026, 6, 1)),
        (date(2020, 2, 29), None, date(2025, 2, 28)),
        (date(2021, 12, 31), None, date(2026, 12, 31)),
    ],
)
def test_cybutryne_is_due(applied: date, renewal: date | None, due: date) -> None:
    assert biocides.cybutryne_due(applied, renewal) == due


@given(st.dates(date(1990, 1, 1), date(2022, 12, 31)))
def test_sixty_months_are_five_years(applied: date) -> None:
    due = biocides.cybutryne_due(applied)
    assert due.year == applied.year + 5
    assert due.month == applied.month


def test_a_cap_that_is_not_on_file_is_no_leave() -> None:
    assert biocides.leach_rate_cap("cuprous_oxide", "california").value == 9.5
    with pytest.raises(Refusal, match="no_cap_known"):
        biocides.leach_rate_cap("cuprous_oxide", "eu")


def test_copper_in_a_biocide() -> None:
    shares = [biocides.copper_share(code).value for code in biocides.COPPER_SHARES]
    assert all(0 < one <= 1 for one in shares)
    with pytest.raises(Refusal, match="no_copper_in_it"):
        biocides.copper_share("zineb")


def test_every_coating_that_is_judged_can_be_recorded() -> None:
    judged = {*OLD_COATINGS, *PRIMERS} - {"unknown"}
    assert judged <= set(coatclasses.COATING_CLASSES)
    assert {"bitumen", "zinc_rich_primer", "filler"} <= set(coatclasses.COATING_CLASSES)


def test_a_class_without_figures_is_never_given_any() -> None:
    for code in coatclasses.WITHOUT_FIGURES:
        with pytest.raises(Refusal) as caught:
            coatclasses.coating_class(code)
        assert caught.value.code == "class_unknown"

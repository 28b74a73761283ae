"""The area that the litres used would make, and one factor only in what to buy."""

from __future__ import annotations

import pytest

from hulllog.insight.boat import area_told
from hulllog.insight.buying import to_buy
from hulllog.insight.paint import areas_of
from hulllog.records.errors import Refused
from hulllog.records.operations import vessel
from hulllog.trade import buying, films
from hulllog.trade.refusal import Refusal


def read(logbook):
    with logbook.read() as book:
        return area_told(book), to_buy(book), areas_of(book)


def test_the_litres_used_make_an_area_by_her_own_factor(made):
    told, buying_, areas = read(made.logbook)
    (paint,) = buying_.paints
    drawn = sum(areas.zones[key][1] for key in areas.below)
    assert paint.factor.value != pytest.approx(1, abs=0.01)
    assert told.by_litres.value == pytest.approx(paint.factor.value * drawn)
    assert (told.factor, told.corrected) == (None, None)


def test_corrected_areas_lead_and_no_other_factor_is_taken(made):
    before = read(made.logbook)
    vessel.correct_areas(made.logbook, factor="1.15", reason="two tins more than reckoned")
    told, after, areas = read(made.logbook)
    drawn = sum(areas.zones[key][1] for key in areas.below)
    assert told.corrected.value == pytest.approx(1.15 * drawn)
    assert told.reason == "two tins more than reckoned"
    (paint,) = after.paints
    assert paint.factor is None
    plain = sum(part.litres.value for part in before[1].paints[0].parts)
    assert paint.wanted.value == pytest.approx(1.15 * plain)
    assert "areas_corrected" in paint.wanted.cautions
    assert "no_own_factor" not in paint.wanted.cautions


def test_the_area_by_litres_does_not_run_away_with_the_correction(made):
    before = read(made.logbook)[0].by_litres.value
    vessel.correct_areas(made.logbook, factor="1.3", reason="tried")
    assert read(made.logbook)[0].by_litres.value == pytest.approx(before)


def test_correcting_by_her_own_factor_buys_what_that_factor_bought(made):
    (paint,) = read(made.logbook)[1].paints
    vessel.correct_areas(made.logbook, factor=f"{paint.factor.value:.6f}", reason="litres used")
    assert read(made.logbook)[1].paints[0].wanted.value == pytest.approx(paint.wanted.value)


def test_blank_lets_the_areas_stand_as_drawn_and_undo_brings_the_factor_back(made):
    drawn = read(made.logbook)[2].bottom
    vessel.correct_areas(made.logbook, factor="1.2", reason="tried")
    vessel.correct_areas(made.logbook, factor=None, reason="no better")
    assert read(made.logbook)[2].bottom == pytest.approx(drawn)
    made.logbook.undo()
    assert read(made.logbook)[2].bottom == pytest.approx(1.2 * drawn)


def test_dry_skin_is_not_corrected_with_the_bottom(made):
    vessel.correct_areas(made.logbook, factor="1.2", reason="tried")
    areas = read(made.logbook)[2]
    keys = [made.zones[code] for code in ("bottom-aft-port", "topsides-port")]
    wet, dry = (areas.zones[key][1] for key in keys)
    found = areas.over(dict.fromkeys(keys, 1.0))
    assert found.value == pytest.approx(1.2 * wet + dry)
    assert found.formula == "A = f·ΣA_n + ΣB_m"


@pytest.mark.parametrize(
    ("code", "field", "typed"),
    [
        ("text_wanted", "reason", {"factor": "1.1", "reason": " "}),
        ("number_high", "factor", {"factor": "11", "reason": "typed wrongly"}),
    ],
)
def test_a_correction_that_cannot_be_is_refused(made, code, field, typed):
    with pytest.raises(Refused) as found:
        vessel.correct_areas(made.logbook, **typed)
    assert (found.value.code, found.value.field) == (code, field)


def test_both_factors_at_once_are_refused():
    part = films.litres(20.0, 50.0, 2.0, 50.0, "roller", typical=True)
    factor = buying.own_factor([(5.0, 4.0)], 2.0)
    with pytest.raises(Refusal, match="two_factors"):
        buying.litres_wanted([part], factor, corrected=True)

"""When she should come out next, and what cannot be told."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest

from hulllog.insight.nextlift import next_lift
from hulllog.records.operations import around, coatings, gear, matters, visits

NOW = datetime(2023, 9, 1, 12, tzinfo=UTC)


def read(logbook, now=NOW):
    with logbook.read() as book:
        return next_lift(book, now)


def due(logbook, code, now=NOW):
    (found,) = [one for one in read(logbook, now).dues if one.code == code]
    return found


def untold(logbook):
    return {one.code: one.values for one in read(logbook).untold}


def test_paint_by_months_names_water_and_berth(made):
    paint = due(made.logbook, "paint_months")
    assert (paint.values["water"], paint.values["location"]) == ("brackish", "Inlet Quay")
    assert paint.values["since"].text == "2023-05-02"
    life, film = paint.workings
    assert life.value == pytest.approx(film.value / 45**0.5)
    # A film of some 100 µm at 15 and at 3 µm a month.
    first, last = paint.days("Europe/Lisbon")
    assert (first - date(2023, 5, 2)).days == pytest.approx(film.value / 15 * 30.44, abs=2)
    assert (last - date(2023, 5, 2)).days == pytest.approx(film.value / 3 * 30.44, abs=2)
    assert not paint.to_the_day


def test_paint_worn_again_counts_from_when_it_went_on(made):
    visit = visits.start_haul_out(made.logbook, begins="2024-04-14")
    visits.relaunch(made.logbook, visit, "2024-04-16")
    assert due(made.logbook, "paint_months").values["since"].text == "2023-05-02"


def test_hard_paint_has_no_life_by_its_film(made):
    hard = coatings.add_product(
        made.logbook, name="Stillwater", coating_class="hard_antifouling", role="antifouling"
    )
    visit = visits.start_haul_out(made.logbook, begins="2024-04-14")
    coatings.add_coat(made.logbook, visit, hard)
    visits.relaunch(made.logbook, visit, "2024-04-20")
    assert untold(made.logbook)["life_not_known"] == {"product": "Stillwater"}


def test_by_miles_only_where_the_log_was_read_twice(made):
    assert "no_log_miles" in untold(made.logbook)
    for year, miles in ((2018, "4000"), (2022, "40000")):
        visits.set_visit(
            made.logbook, made.visits[year], "log_miles", f"{miles} nmi", reason="read late"
        )
    found = due(made.logbook, "paint_miles")
    reach, pace, film = found.workings
    assert pace.value == pytest.approx(9000, rel=0.001)
    assert reach.value == pytest.approx(152_808 / 180.8 * film.value)
    years = (found.earliest - datetime(2023, 5, 2, tzinfo=UTC)).days / 365.25
    assert years == pytest.approx(reach.value / pace.value, abs=0.02)


def test_half_an_anode_until_the_owner_sets_a_limit(made):
    half = due(made.logbook, "anode_half")
    around.set_limit(made.logbook, kind="anode", component="used", value="30 %", set_by="the owner")
    limit = due(made.logbook, "anode_limit")
    assert (limit.values["limit"].text, limit.values["set_by"]) == ("30", "the owner")
    assert limit.earliest < half.earliest
    assert limit.workings[0].given("g") == pytest.approx(0.3)


def test_a_rule_for_gear_falls_on_its_day(made):
    key = gear_of(made.logbook)
    gear.set_due_rule(made.logbook, key, "renew", every="18 month", source="the maker")
    found = due(made.logbook, "gear_renew")
    assert found.to_the_day
    # Winter to summer time and back moves no day.
    assert found.days("Europe/Lisbon") == (date(2024, 10, 19), date(2024, 10, 19))
    assert (found.values["source"], found.values["every"].text) == ("the maker", "18")
    (working,) = found.workings
    assert working.value == pytest.approx((date(2024, 10, 19) - date(2023, 4, 19)).days, abs=1)


def gear_of(logbook, fitted="2023-04-19"):
    return around.add_gear(logbook, sort="shaft_seal", name="Shaft seal", fitted=fitted)


def test_a_rule_without_a_day_to_count_from_says_so(made):
    key = gear_of(made.logbook, None)
    gear.set_due_rule(made.logbook, key, "renew", every="7 year")
    assert untold(made.logbook)["gear_not_counted"] == {"gear": "Shaft seal"}


def test_what_a_survey_asked_for_stays_until_it_is_proved(made):
    survey = matters.add_survey(made.logbook, at="2023-04-15", asked_by="insurer")
    item = matters.add_recommendation(
        made.logbook, survey, number="2", wording="Renew the hose", due="2023-08"
    )
    found = due(made.logbook, "recommendation")
    assert found.days("UTC") == (date(2023, 8, 1), date(2023, 8, 31))
    assert (found.to_the_day, found.values["asked_by"]) == (False, "insurer")
    work = matters.add_work(made.logbook, text="Hose renewed")
    matters.add_proof(made.logbook, item, work_id=work)
    assert all(one.code != "recommendation" for one in read(made.logbook).dues)


def test_a_warranty_counts_while_it_runs(made):
    coatings.add_treatment(
        made.logbook, made.visits[2022], sort="barrier", zones=[made.zones["rudder"]],
        warranty_until="2027-06-17",
    )  # fmt: skip
    found = due(made.logbook, "warranty")
    assert (found.to_the_day, found.days("UTC")) == (True, (date(2027, 6, 17),) * 2)
    after = datetime(2028, 1, 1, tzinfo=UTC)
    assert all(one.code != "warranty" for one in read(made.logbook, after).dues)


def test_the_earliest_leads(made):
    found = read(made.logbook)
    assert found.first is found.dues[0]
    assert found.first.earliest == min(one.earliest for one in found.dues)


def test_nothing_on_record_falls_due(logbook):
    found = read(logbook)
    assert (found.dues, found.first) == ((), None)
    assert [one.code for one in found.untold] == ["no_paint_worn"]

"""Gear from the records: its age, looks at it and the one before, what the owner's rules say."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest
from PIL import Image

from hulllog.drawing.geartelling import age_short, due_text, last_text, look_text
from hulllog.drawing.telling import limit_text, line_text, never_found
from hulllog.insight.due import dues
from hulllog.insight.gear import gear_stories
from hulllog.insight.occasions import Edge
from hulllog.insight.overview import visit_lines
from hulllog.insight.today import today
from hulllog.records.errors import Refused
from hulllog.records.media import import_photos
from hulllog.records.model import DueRule, GearCheck
from hulllog.records.operations import around, choices, gear, matters, vessel, visits
from hulllog.records.operations.measuring import Rated
from hulllog.records.operations.photos import place_photo
from hulllog.trade.duehabits import DUE_HABITS, due_habits
from hulllog.words import say

NOW = datetime(2024, 6, 1, tzinfo=UTC)


@pytest.fixture
def ketch(logbook):
    vessel.create_vessel(
        logbook, name="Test", kind="yacht", material="grp", keel="fin",
        length="8.7 m", beam="2.85 m", draught="1.05 m",
    )  # fmt: skip
    return logbook


def visit_of(logbook, begins, ends):
    visit = visits.start_haul_out(logbook, begins=begins)
    visits.relaunch(logbook, visit, ends)
    visits.close(logbook, visit)
    return visit


@pytest.fixture
def bearing(ketch):
    """A bearing of 2014 with its play taken at four haul-outs."""
    key = around.add_gear(ketch, sort="bearing", name="Shaft bearing", fitted="2014-05")
    for year, play in (("2016", "0.4"), ("2018", "0.5"), ("2020", "0.8"), ("2022", "1.2")):
        visit = visit_of(ketch, f"{year}-04-05", f"{year}-04-20")
        measured = [Rated("play", {"play": f"{play} mm"}, {"method": "dial"})]
        gear.look_at_gear(ketch, key, visit, measured=measured)
    return key


def story(logbook, key, edge=None, now=NOW):
    with logbook.read() as book:
        return next(one for one in gear_stories(book, edge, now) if one.gear_id == key)


def test_the_age_follows_the_date_as_well_as_it_is_known(ketch):
    day = around.add_gear(ketch, sort="seacock", name="Galley", fitted="2014-06-01")
    year = around.add_gear(ketch, sort="seacock", name="Heads", fitted="2014")
    unknown = around.add_gear(ketch, sort="seacock", name="Cockpit drain")
    found = story(ketch, day).age
    assert found is not None
    # Ten years of 365.25 days, to the day.
    assert found.value == pytest.approx(10.0, abs=2 / 365)
    assert found.interval is None
    vague = story(ketch, year).age
    assert vague is not None
    assert vague.interval is not None
    assert vague.interval.low == pytest.approx(9.41, abs=0.02)
    assert vague.interval.high == pytest.approx(10.41, abs=0.02)
    assert story(ketch, unknown).age is None
    assert age_short(story(ketch, unknown)) != age_short(story(ketch, day))


def test_play_over_the_years_is_one_series_and_judged_by_its_kind(ketch, bearing):
    (course,) = story(ketch, bearing).courses
    assert [point.value for point in course.judged.series.points] == [0.4, 0.5, 0.8, 1.2]
    assert course.judged.changed is not None
    assert course.judged.changed.direction == "worse"


def test_a_new_one_begins_a_series_of_its_own_and_keeps_the_looks_at_the_one_before(ketch, bearing):
    gear.renew_gear(ketch, bearing, fitted="2022-04-12", material="composite")
    renewed = story(ketch, bearing)
    assert renewed.courses == ()
    assert [look.before for look in renewed.looks] == [True] * 4
    assert renewed.last is None
    assert renewed.material == "composite"
    visit = visit_of(ketch, "2024-04-05", "2024-04-20")
    measured = [Rated("play", {"play": "0.2 mm"}, {"method": "dial"})]
    gear.look_at_gear(ketch, bearing, visit, measured=measured)
    (course,) = story(ketch, bearing).courses
    assert [point.value for point in course.judged.series.points] == [0.2]
    assert "0.2" in look_text(story(ketch, bearing).looks[-1])


def test_seen_from_an_earlier_edge_what_came_later_is_not_there(ketch, bearing):
    with ketch.read() as book:
        looks = list(book.query(GearCheck).order_by(GearCheck.entered_at))
    second = looks[1].visit_id
    then = story(ketch, bearing, Edge(second, "left"))
    assert len(then.looks) == 2
    assert then.age is not None
    assert then.age.value == pytest.approx(3.9, abs=0.1)


def test_nothing_is_due_until_the_owner_says_so_and_then_from_the_last_look(ketch, bearing):
    with ketch.read() as book:
        assert not [due for due in dues(book, NOW) if due.code.startswith("gear")]
    gear.set_due_rule(ketch, bearing, "look", every="2 year", source="the maker's handbook")
    (due,) = story(ketch, bearing).dues
    assert due.since is not None
    assert due.since.text == "2022-04-05"
    assert due.latest is not None
    assert (due.latest.year, due.latest.month) == (2024, 4)
    said = due_text(due, NOW)
    assert "the maker's handbook" in said
    assert said != due_text(due, datetime(2023, 1, 1, tzinfo=UTC))
    gear.set_due_rule(ketch, bearing, "look", every="3 year")
    (later,) = story(ketch, bearing).dues
    assert later.latest is not None
    assert later.latest.year == 2025
    with ketch.read() as book:
        assert [rule.withdrawn for rule in book.query(DueRule)].count(False) == 1


def test_a_renewal_is_counted_from_the_fitting_and_unknown_where_that_is(ketch):
    known = around.add_gear(ketch, sort="bellows", name="Bellows", fitted="2019")
    vague = around.add_gear(ketch, sort="bellows", name="Other bellows")
    for key in (known, vague):
        gear.set_due_rule(ketch, key, "renew", every="7 year")
    (due,) = story(ketch, known).dues
    assert due.earliest is not None
    assert due.latest is not None
    assert (due.earliest.year, due.latest.year) == (2026, 2026)
    (open_end,) = story(ketch, vague).dues
    assert open_end.latest is None


def test_today_tells_what_a_rule_makes_due_and_changes_with_the_look(ketch, bearing):
    gear.set_due_rule(ketch, bearing, "look", every="2 year")

    def told(now=NOW):
        with ketch.read() as book:
            return [line_text(one) for one in today(book, now) if one.page == "gear"]

    (past,) = told()
    (ahead,) = told(datetime(2024, 3, 1, tzinfo=UTC))
    assert "Shaft bearing" in past
    assert past != ahead
    visit = visit_of(ketch, "2024-05-05", "2024-05-10")
    gear.look_at_gear(ketch, bearing, visit, result="nothing_found")
    assert told() == []


def test_an_open_finding_about_it_is_told_until_it_is_closed(ketch, bearing):
    finding = matters.raise_finding(
        ketch, title="Bearing has play", sort="wear", must="next_lift", severity="moderate",
        gear=[bearing],
    )  # fmt: skip
    assert story(ketch, bearing).open_findings == ((finding, "Bearing has play"),)
    matters.withdraw_finding(ketch, finding, reason="measured wrongly")
    assert story(ketch, bearing).open_findings == ()


def test_a_look_that_says_nothing_is_refused_and_nothing_is_left_of_it(ketch, bearing):
    visit = visit_of(ketch, "2024-04-05", "2024-04-20")
    with pytest.raises(Refused, match="gear_look_empty"):
        gear.look_at_gear(ketch, bearing, visit)
    with pytest.raises(Refused):
        gear.look_at_gear(
            ketch, bearing, visit, measured=[Rated("play", {"play": "much"}, {"method": "dial"})]
        )
    with ketch.read() as book:
        assert book.query(GearCheck).count() == 4


def test_the_owners_limit_is_told_with_who_set_it_and_only_once_it_is_set(ketch, bearing):
    (course,) = story(ketch, bearing).courses
    assert course.beyond_limit is None
    assert limit_text(course) == ""
    key = around.set_limit(
        ketch, kind="play", component="play", value="1 mm", set_by="the surveyor",
        source="his report", set_on="2021",
    )  # fmt: skip
    (course,) = story(ketch, bearing).courses
    assert course.beyond_limit is True
    past = limit_text(course)
    assert "the surveyor" in past
    assert "his report" in past
    assert "2021" in past
    around.change_limit(ketch, key, value="1.5 mm")
    (course,) = story(ketch, bearing).courses
    assert course.beyond_limit is False
    assert limit_text(course) != past


def test_only_fittings_of_which_an_interval_is_known_are_offered_one():
    assert set(DUE_HABITS) < set(choices.GEARS)
    assert due_habits("stern_gland") == ()


@pytest.mark.parametrize("sort", sorted(DUE_HABITS))
def test_an_offered_interval_is_a_rule_that_can_be_set_and_is_told_with_its_source(ketch, sort):
    key = around.add_gear(ketch, sort=sort, name="It", fitted="2020-05-01")
    assert story(ketch, key).dues == ()
    for habit in due_habits(sort):
        word = say(f"gear_page.due_word_{habit.code}")
        every = (habit.number, habit.unit)
        gear.set_due_rule(ketch, key, habit.due, every=every, source=word)
        (due,) = story(ketch, key).dues
        assert word in due_text(due, NOW)
        assert habit.source.tag in ("common practice", "our own rule")


def test_a_picture_alone_is_told_as_no_look(ketch, tmp_path):
    key = around.add_gear(ketch, sort="seacock", name="Galley seacock")
    first = visit_of(ketch, "2021-04-05", "2021-04-20")
    second = visit_of(ketch, "2022-04-05", "2022-04-20")
    for n, visit in enumerate((first, second)):
        path = tmp_path / f"{n}.png"
        Image.new("RGB", (60, 40), (n * 60, 90, 120)).save(path)
        (taken,) = import_photos(ketch, [path], visit, state="found").done
        place_photo(ketch, taken.photo_id, gear_id=key)
    told = "No look at it is on record; photographed 5 Apr 2022, not examined"
    assert last_text(story(ketch, key)) == told
    gear.look_at_gear(ketch, key, first, result="nothing_found")
    told = "5 Apr 2021: nothing found; photographed 5 Apr 2022, not examined"
    assert last_text(story(ketch, key)) == told
    assert story(ketch, key, Edge(first, "left")).pictured == ()
    gear.look_at_gear(ketch, key, second, result="nothing_found")
    assert last_text(story(ketch, key)) == "5 Apr 2022: nothing found"


def test_a_look_has_its_own_day_in_history_series_and_lag(ketch):
    key = around.add_gear(ketch, sort="bearing", name="Shaft bearing")
    days = ("2021-04-09", "2022-04-11")
    for day, play in zip(days, ("0.4", "1.2"), strict=True):
        visit = visit_of(ketch, f"{day[:4]}-04-05", f"{day[:4]}-04-20")
        measured = [Rated("play", {"play": f"{play} mm"}, {"method": "dial"})]
        gear.look_at_gear(ketch, key, visit, measured=measured, looked=day)
    told = story(ketch, key)
    assert [look.when.text for look in told.looks] == list(days)
    (course,) = told.courses
    assert [point.when.text for point in course.judged.series.points] == list(days)
    with ketch.read() as book:
        assert [line.looked_at.text for line in visit_lines(book)] == list(days)


def test_a_look_of_a_day_to_come_is_refused(ketch):
    key = around.add_gear(ketch, sort="bearing", name="Shaft bearing")
    visit = visit_of(ketch, "2021-04-05", "2021-04-20")
    with pytest.raises(Refused):
        gear.look_at_gear(ketch, key, visit, result="nothing_found", looked="2999-01-01")


def test_a_valve_that_went_stiff_is_no_find(ketch):
    key = around.add_gear(ketch, sort="seacock", name="Galley seacock")
    for year, action in enumerate(("free", "free", "stiff"), 2018):
        rated = Rated("valve-action", {"action": action})
        visit = visit_of(ketch, f"{year}-04-05", f"{year}-04-20")
        gear.look_at_gear(ketch, key, visit, measured=[rated])
    (course,) = story(ketch, key).courses
    assert course.judged.series.standing[-1].value == 1
    assert course.first_found is None


@pytest.mark.parametrize(
    ("text", "told"),
    [("Greased it", "nothing found. Greased it"), ("greased it", "nothing found; greased it")],
)
def test_words_of_a_look_that_begin_as_a_sentence_are_one(ketch, text, told):
    key = around.add_gear(ketch, sort="seacock", name="Galley seacock")
    visit = visit_of(ketch, "2021-04-05", "2021-04-20")
    gear.look_at_gear(ketch, key, visit, result="nothing_found", text=text)
    assert look_text(story(ketch, key).looks[-1]).endswith(told)


def test_a_valve_that_turns_freely_is_no_find_that_was_never_made(ketch):
    key = around.add_gear(ketch, sort="seacock", name="Galley seacock")
    free = [Rated("valve-action", {"action": "free"})]
    gear.look_at_gear(
        ketch, key, visit_of(ketch, "2021-04-05", "2021-04-20"), measured=free,
        result="nothing_found",
    )  # fmt: skip
    courses = story(ketch, key).courses
    assert [course.kind for course in courses] == ["valve-action"]
    assert never_found(courses) == []

"""What fits a slot: hand-made slots, each rule broken once, and an independent search."""

from __future__ import annotations

import itertools
import random
import time
from dataclasses import replace

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from hulllog.trade import fitting, windows
from hulllog.trade.coathours import ENDLESS
from hulllog.trade.coatlaying import Laying
from hulllog.trade.fitting import best_plan
from hulllog.trade.refusal import Refusal
from hulllog.trade.slotbounds import Bounds, Piece
from hulllog.trade.slothours import Hour, air_allows
from hulllog.trade.slotwork import Area, Coat, Plan, Slot
from hulllog.trade.windows import WindowRow


def rows(hours, longest=None, at=(5, 25)):
    """Rows of a sheet that says the same at every temperature from the coldest to the hottest."""
    return tuple(WindowRow(t, hours, longest) for t in at)


def coat(hours=2, dry=1, over=4, launch=6, **other):
    """A coat whose times are the same at all temperatures of its sheet."""
    given = {"touch_dry": rows(dry), "next_coat": rows(over), "launch": rows(launch)}
    return Coat("red", hours, **(given | other))


def days(count, first=8, last=18, celsius=15.0, humidity=50.0, nights=None):
    """Hours of so many days, open from ``first`` to ``last``, with one temperature or two."""
    night = celsius if nights is None else nights
    return tuple(
        Hour(t, t, humidity, open_, open_)
        for at in range(24 * count)
        for open_ in [first <= at % 24 < last]
        for t in [celsius if open_ else night]
    )


def slot(hours=None, **other):
    hours = days(2) if hours is None else hours
    given = {
        "hours": hours, "lift": 8, "washing": 1, "drying": 2,
        "launches": tuple(at for at, hour in enumerate(hours) if hour.yard),
    }  # fmt: skip
    return Slot(**(given | other))


def bottom(count=2, **other):
    made = coat(**{k: other.pop(k) for k in list(other) if k in CHANGED})
    return Area("bottom", (made,) * count, **other)


CHANGED = ("hours", "dry", "over", "launch", "touch_dry", "next_coat")


def coats(plan: Plan):
    return dict(plan.coats)


def begun(plan: Plan, code="coat"):
    return [
        (task.area, task.number, task.begins, task.ends) for task in plan.tasks if task.code == code
    ]


# By hand


def test_one_day_and_a_morning_by_hand():
    # Washed 8-9, dry at 11.  Coat one 11-13, over it from 17; coat two would end at 19, after the
    # yard has shut at 18, so it waits for 8 the next day: 32-34.  Launch 6 h later, hour 40.
    plan = best_plan(slot(), [bottom()])
    assert begun(plan) == [("bottom", 1, 11, 13), ("bottom", 2, 32, 34)]
    assert plan.launch == 40
    assert plan.fits
    assert plan.proven


def test_a_shorter_wait_lets_both_coats_go_on_in_a_day():
    # Over it after 3 h, at 16: 16-18.  Launch after 6 h is at night: at 8 the next day, hour 32.
    plan = best_plan(slot(), [bottom(over=3)])
    assert begun(plan) == [("bottom", 1, 11, 13), ("bottom", 2, 16, 18)]
    assert plan.launch == 32


def test_the_shortest_time_is_read_at_the_coldest_hour_of_the_wait():
    # 4 h at 15 °C and 16 h at 5 °C, ln linear.  At 10 °C it is √(4·16) = 8 h.
    slow = (WindowRow(5, 16), WindowRow(15, 4))
    plan = best_plan(slot(days(2, celsius=10)), [bottom(next_coat=slow)])
    bracket = next(one for one in plan.brackets if one.step == "next_coat")
    assert bracket.shortest.value == pytest.approx(8)
    assert bracket.begins == 13 + 8


def test_what_was_over_before_the_cold_is_not_undone_by_it():
    # Ready at 17 after 4 warm hours; the night at 0 °C is colder than the sheet, and too late.
    plan = best_plan(slot(days(2, nights=0)), [bottom()])
    assert coats(plan) == {"bottom": 2}


def test_a_cold_night_refuses_what_had_not_dried_before_it():
    # From 8 to 10 at the soonest; 9 h more are 19, in a night of 0 °C: the sheet begins at 5.
    plan = best_plan(slot(days(3, nights=0)), [bottom(over=9, launch=4)])
    assert coats(plan) == {"bottom": 1}
    (short,) = plan.short
    assert (short.why, short.got, short.wanted) == ("cold", 1, 2)
    # The hour that decides, its air, and the row of the sheet that it is held against.
    told = short.cold
    given_hours = days(3, nights=0)
    assert told.row == 5
    assert told.air == given_hours[told.at].coldest < 5
    assert all(hour.coldest >= 5 for hour in given_hours[short.begins : told.at])


def test_a_launch_in_the_cold_is_refused_altogether():
    plan = best_plan(slot(days(3, nights=0)), [bottom(1, launch=12)])
    assert coats(plan) == {"bottom": 0}
    assert plan.short[0].why == "launch_cold"
    assert plan.short[0].cold.air < plan.short[0].cold.row == 5


def test_damp_air_keeps_paint_off():
    # At 15 °C the 3 °C rule asks for at most 82.3 %.
    plan = best_plan(slot(days(3, humidity=83)), [bottom()])
    assert coats(plan) == {"bottom": 0}
    assert plan.short[0].why == "air"
    assert coats(best_plan(slot(days(3, humidity=82)), [bottom()])) == {"bottom": 2}


def test_the_air_counts_until_touch_dry():
    # Dry at 11; a coat of 2 h and 2 h to touch-dry needs air from 11 to 15.  It is damp from 14.
    fine = days(2)
    damp = tuple(h._replace(humidity=95.0) if at >= 14 else h for at, h in enumerate(fine))
    assert coats(best_plan(slot(damp), [bottom(1, dry=2)])) == {"bottom": 0}
    assert coats(best_plan(slot(damp), [bottom(1, dry=1)])) == {"bottom": 1}


def test_a_window_that_shuts_overnight_costs_the_second_coat():
    # The yard shuts at 13.  Open from 17 to 13 + 12 = 25, and so it is after every other morning.
    plan = best_plan(slot(days(3, last=13)), [bottom(next_coat=rows(4, 12), hours=2)])
    assert coats(plan) == {"bottom": 1}
    short = plan.short[0]
    assert (short.why, short.begins, short.ends) == ("closed", 25, 32)
    assert short.window is not None
    assert short.window.value == 12


def test_she_goes_back_before_the_launch_window_shuts():
    # One day is enough and the longest wait is 20 h: launch from 19 to 33; at 32, not later.
    hours = days(4)
    late = slot(hours, launches=(80,))
    short_lived = Area("bottom", (coat(launch=6)._replace(launch=rows(6, 20)),))
    # Launched only at 80, the coat waits: no sooner than 80 - 20 = 60.
    plan = best_plan(late, [short_lived])
    assert begun(plan)[0][3] >= 60
    assert best_plan(slot(hours), [short_lived]).launch == 32


def test_bare_metal_is_primed_on_the_day_it_is_bared():
    # 6 h to bare the keel from 9 on end at 15; dry at 11; the first coat of 2 h ends at 17.
    keel = Area("keel", (coat(),), removing=6, bares=True)
    plan = best_plan(slot(days(3)), [keel])
    assert begun(plan, "remove")[0][2:] == (9, 15)
    assert begun(plan)[0][2:] == (15, 17)
    # 9 h do not leave two that day; from 8 on the next, neither; nothing is bared then.
    long = replace(keel, removing=9)
    plan = best_plan(slot(days(4)), [long])
    assert coats(plan) == {"keel": 0}
    assert not begun(plan, "remove")
    assert plan.short[0].why == "bare"
    # Where no metal is bared it may go on the next day.
    assert coats(best_plan(slot(days(4)), [replace(long, bares=False)])) == {"keel": 1}


def test_waterline_and_leading_edges_come_first():
    # A slot for one coat: dry at 11, a coat of 4 h, launch 2 h later at 17, the last hour.
    hours = days(1)
    one = coat(hours=4, launch=2)
    areas = [Area("deep", (one,), zones=9), Area("line", (one,), leading=True)]
    assert coats(best_plan(slot(hours), areas)) == {"deep": 0, "line": 1}
    areas[1] = replace(areas[1], leading=False)
    assert coats(best_plan(slot(hours), areas)) == {"deep": 1, "line": 0}


def test_pads_are_moved_when_what_is_at_hand_is_done():
    areas = [bottom(1), Area("pads", (coat(hours=1),), reach="pads")]
    plan = best_plan(slot(days(3)), areas)
    (_, _, begins, ends) = begun(plan, "pads_moved")[0]
    # Bottom 11-13, a further coat would be due at 17: then the pads, 17-18, then 8 the next day.
    assert (begins, ends) == (17, 18)
    assert begun(plan)[1] == ("pads", 1, 32, 33)


def test_nothing_is_moved_for_what_is_not_painted():
    plan = best_plan(
        slot(days(1)), [bottom(1, launch=2), Area("pads", (coat(launch=90),), reach="pads")]
    )
    assert coats(plan) == {"bottom": 1, "pads": 0}
    assert not begun(plan, "pads_moved")


def test_the_underside_stays_uncoated_unless_she_may_hang():
    areas = [bottom(1, launch=2), Area("sole", (coat(hours=1, launch=2),), reach="under")]
    plan = best_plan(slot(), areas)
    assert coats(plan) == {"bottom": 1, "sole": 0}
    assert plan.short[0].why == "underside"
    # An hour to paint and two until launch: three hours of hanging, and two are not enough.
    assert coats(best_plan(slot(hanging=2), areas))["sole"] == 0
    plan = best_plan(slot(hanging=3), areas)
    assert coats(plan)["sole"] == 1
    (hang,) = [task for task in plan.tasks if task.code == "hanging"]
    assert hang.ends == plan.launch


def test_nobody_works_on_her_while_she_hangs():
    areas = [bottom(2, launch=2), Area("sole", (coat(hours=1, launch=2),), reach="under")]
    plan = best_plan(slot(days(3), hanging=4, anodes=1), areas)
    (hang,) = [task for task in plan.tasks if task.code == "hanging"]
    others = [
        task
        for task in plan.tasks
        if task.area != "sole" and task.code not in {"hanging", "launch"}
    ]
    assert all(task.ends <= hang.begins for task in others)


def test_what_no_sheet_says_is_named_and_never_promised():
    for step in ("touch_dry", "next_coat", "launch"):
        blind = coat()._replace(**{step: ()})
        plan = best_plan(slot(days(4)), [Area("bottom", (blind, blind))])
        assert step in {one.step for one in plan.unknown}
        assert coats(plan)["bottom"] == {"touch_dry": 0, "next_coat": 1, "launch": 0}[step]
        assert plan.short[0].why == "sheet"


def test_anodes_come_after_the_paint_is_touch_dry():
    plan = best_plan(slot(anodes=1), [bottom(1)])
    # 11-13, touch-dry at 14.
    assert begun(plan, "anodes")[0][2:] == (14, 15)


def test_she_goes_back_on_the_first_day_that_all_is_done():
    assert best_plan(slot(days(5)), [bottom(1, launch=2)]).launch < 24


def test_no_slot_for_a_wash_is_refused():
    with pytest.raises(Refusal) as refused:
        best_plan(slot(days(1), washing=11), [bottom()])
    assert refused.value.code == "slot_too_short"


def test_the_tide_is_as_good_as_a_launch():
    # Dry from 8 to 14, then the tide; washed 8-9.  A coat 9-10 is ready for it 4 h later, not 5.
    hours = tuple(Hour(15, 15, 50, wet=not 8 <= at < 14) for at in range(24))
    grid = slot(hours, drying=0, launches=(20,))
    assert coats(best_plan(grid, [bottom(1, hours=1, launch=4)])) == {"bottom": 1}
    plan = best_plan(grid, [bottom(1, hours=1, launch=5)])
    assert coats(plan) == {"bottom": 0}
    assert plan.short[0].why == "launch"


# Each rule by itself changes the answer

SLOT, WORK = slot(days(2)), bottom(2)
BROKEN = {
    "shorter over": (SLOT, [bottom(2, over=30)]),
    "colder than the sheet": (slot(days(2, celsius=4)), [WORK]),
    "damp": (slot(days(2, humidity=90)), [WORK]),
    "later launch": (SLOT, [bottom(2, launch=20)]),
    "no daylight": (slot(tuple(h._replace(light=False) for h in days(2))), [WORK]),
    "yard shut": (slot(days(1) + tuple(h._replace(yard=False) for h in days(1))), [WORK]),
    "longest over": (SLOT, [bottom(2, next_coat=rows(4, 10))]),
    "slow to dry": (replace(SLOT, drying=30), [WORK]),
    "no sheet": (SLOT, [bottom(2, next_coat=())]),
}  # fmt: skip


@pytest.mark.parametrize("rule", BROKEN)
def test_each_rule_takes_a_coat(rule):
    assert coats(best_plan(SLOT, [WORK])) == {"bottom": 2}
    assert coats(best_plan(*BROKEN[rule]))["bottom"] < 2


# Held against a search that tries everything


def _hours_taken(hours, start, length):
    """Return the end of so many hours of work from a start, or None."""
    at = start
    while length and at < len(hours):
        length -= hours[at].hands
        at += 1
    return None if length else at


def _waited(hours, rows_, end, start, *, least):
    """Tell whether a wait is long enough (by some moment of it), or not too long."""
    if least:
        told = [(row.celsius, row.shortest) for row in rows_]
        for at in range(end + 1, start + 1):
            coldest = min(hour.coldest for hour in hours[end:at])
            if coldest >= told[0][0] and at - end >= windows.shortest_time(told, coldest).value:
                return True
        return False
    told = [(row.celsius, row.longest) for row in rows_ if row.longest is not None]
    if not told or start == end:
        return True
    hottest = max(hour.hottest for hour in hours[end:start])
    if hours[end].hottest < told[0][0]:
        return False
    return start - end <= windows.longest_time(told, hottest).value


def _all_ways(given_slot, areas, counts):
    """Give (start of preparing, starts of coats) of every way to do so much, one after another."""
    steps = [
        [*(["prepare"] if area.removing else []), *range(count)]
        for area, count in zip(areas, counts, strict=True)
        if count
    ]
    named = [(i, step) for i, one in enumerate(steps) for step in one]
    who = [area for area, count in zip(areas, counts, strict=True) if count]
    for order in set(itertools.permutations([i for i, _ in named])):
        lists = [iter(one) for one in steps]
        line = [(who[i], next(lists[i])) for i in order]
        for starts in itertools.combinations(
            [at for at, hour in enumerate(given_slot.hours) if hour.hands], len(line)
        ):
            yield list(zip(line, starts, strict=True))


def _allowed(given_slot, line, launch):
    hours, free, done, bared = given_slot.hours, 0, {}, {}
    washed = _hours_taken(hours, given_slot.lift, given_slot.washing)
    for (area, step), start in line:
        if start < max(free, washed):
            return False
        if step == "prepare":
            free = _hours_taken(hours, start, area.removing)
            if free is None or (area.bares and (free - 1) // 24 != start // 24):
                return False
            bared[area.code] = start // 24
            continue
        one = area.coats[step]
        free = start + one.hours
        if free > len(hours) or not all(hour.hands for hour in hours[start:free]):
            return False
        if step == 0 and start < washed + given_slot.drying:
            return False
        if step == 0 and area.bares and (free - 1) // 24 != bared.get(area.code, start // 24):
            return False
        if step and not (
            _waited(hours, area.coats[step - 1].next_coat, done[area.code], start, least=True)
            and _waited(hours, area.coats[step - 1].next_coat, done[area.code], start, least=False)
        ):
            return False
        dry = next(
            (
                at
                for at in range(free + 1, len(hours) + 1)
                if _waited(hours, one.touch_dry, free, at, least=True)
            ),
            None,
        )
        if dry is None or not all(air_allows(hour) for hour in hours[start:dry]):
            return False
        if step and start < _dry(hours, area.coats[step - 1], done[area.code]):
            return False
        done[area.code] = free
        last = (area, step)
        done[area.code, "last"] = last
    if free > launch:
        return False
    for key, ended in done.items():
        if isinstance(key, tuple):
            continue
        area, step = done[key, "last"]
        launch_rows = area.coats[step].launch
        if not _waited(hours, launch_rows, ended, launch, least=True):
            return False
        if not _waited(hours, launch_rows, ended, launch, least=False):
            return False
        if launch < _dry(hours, area.coats[step], ended):
            return False
    return True


def _dry(hours, one, ended):
    return next(
        at
        for at in range(ended + 1, len(hours) + 1)
        if _waited(hours, one.touch_dry, ended, at, least=True)
    )


def by_trying_all(given_slot, areas):
    """Return the best (coats on leading edges, coats elsewhere, -day of launch)."""
    best = (-1, -1, -99)
    for counts in itertools.product(*(range(len(area.coats) + 1) for area in areas)):
        leading = sum(n * a.zones for n, a in zip(counts, areas, strict=True) if a.leading)
        other = sum(n * a.zones for n, a in zip(counts, areas, strict=True)) - leading
        if (leading, other) < best[:2]:
            continue
        for line in _all_ways(given_slot, areas, counts):
            for launch in given_slot.launches:
                worth = (leading, other, -(launch // 24))
                if worth > best and _allowed(given_slot, line, launch):
                    best = worth
    return best


@st.composite
def tiny(draw):
    """A slot of a few hours of work a day, and one or two areas."""
    count = draw(st.sampled_from([2, 2, 2, 2, 1]))
    work = draw(st.integers(4, 6))
    temps = [
        draw(st.integers(4, 20) if draw(st.integers(0, 5)) == 5 else st.integers(9, 20))
        for _ in range(2 * count)
    ]
    hours = tuple(
        Hour(t, t + draw(st.sampled_from([0, 2])), draw(st.sampled_from([60] * 29 + [90])), o, o)
        for at in range(24 * count)
        for o in [8 <= at % 24 < 8 + work]
        for t in [temps[2 * (at // 24) + (not o)]]
    )
    made = slot(hours, drying=draw(st.integers(0, 1)))

    def one():
        low = draw(st.sampled_from([1, 1, 2, 3]))
        over = (
            WindowRow(5, 3 * low, None),
            WindowRow(20, low, draw(st.sampled_from([None, None, None, 4, 30]))),
        )
        afloat = draw(st.sampled_from([1, 1, 1, 1, 2, 3, 8]))
        away = draw(st.sampled_from([None, None, 25]))
        return Coat(
            "red", draw(st.sampled_from([1, 1, 2])), rows(1), over,
            (WindowRow(5, 2 * afloat, away), WindowRow(20, afloat, away)),
        )  # fmt: skip

    areas = []
    for index in range(draw(st.integers(1, 2))):
        coats_ = tuple(one() for _ in range(draw(st.integers(1, 2 - index))))
        areas.append(
            Area(
                f"area{index}", coats_, removing=draw(st.integers(0, 1 if index else 2)),
                bares=draw(st.booleans()), leading=draw(st.booleans()),
            )
        )  # fmt: skip
    return made, areas


@settings(max_examples=60, deadline=None)
@given(tiny())
def test_the_planner_agrees_with_trying_everything(case):
    given_slot, areas = case
    plan = best_plan(given_slot, areas)
    assert plan.proven
    counts = coats(plan)
    leading = sum(counts[a.code] * a.zones for a in areas if a.leading)
    found = (leading, sum(counts[a.code] * a.zones for a in areas) - leading, -(plan.launch // 24))
    assert found == by_trying_all(given_slot, areas)


def test_of_the_slots_that_are_tried_many_fit_and_many_do_not():
    """Else the search above would hold its own against refusals alone.  None has over six tasks."""
    fits = []

    @settings(max_examples=200, derandomize=True, deadline=None, database=None)
    @given(tiny())
    def look(case):
        given_slot, areas = case
        assert sum(len(area.coats) + bool(area.removing) for area in areas) + 1 <= 6
        fits.append(best_plan(given_slot, areas).fits)

    look()
    assert 0.4 <= sum(fits) / len(fits) <= 0.8


def _lifted(why, given_slot, area):
    """Return the slot and the work without the one rule that a refusal names."""
    hours, made = given_slot.hours, area.coats
    if why == "air":
        hours = tuple(hour._replace(humidity=40.0) for hour in hours)
    elif why in {"cold", "launch_cold"}:
        hours = tuple(hour._replace(coldest=20.0, hottest=20.0) for hour in hours)
    elif why == "closed":
        made = tuple(one._replace(next_coat=_endless(one.next_coat)) for one in made)
    elif why == "launch_closed":
        made = tuple(one._replace(launch=_endless(one.launch)) for one in made)
    elif why in {"late", "launch"}:
        hours = (*hours, *days(2, celsius=20.0))
    elif why == "bare":
        area = replace(area, bares=False)
    else:
        raise AssertionError(why)
    launches = tuple(at for at, hour in enumerate(hours) if hour.yard)
    return replace(given_slot, hours=hours, launches=launches), replace(area, coats=made)


def _endless(told):
    return tuple(row._replace(longest=None) for row in told)


@settings(max_examples=150, deadline=None)
@given(tiny())
def test_what_stands_against_a_coat_is_no_more_than_is_needed(case):
    """No area is blamed that is not in the way, and without the rule that is named it is gone."""
    given_slot, areas = case
    for short in best_plan(given_slot, areas).short:
        area = next(one for one in areas if one.code == short.area)
        alone = best_plan(given_slot, [area])
        if short.why == "hands":
            # Two areas: without the other it gets more, so that both are needed to refuse it.
            assert len(areas) == 2
            assert coats(alone)[area.code] > short.got
            continue
        assert coats(alone)[area.code] == short.got
        longer, other = _lifted(short.why, given_slot, area)
        after = best_plan(longer, [other])
        more = coats(after)[area.code] > short.got
        assert more or after.short[0].why != short.why


@st.composite
def crowded(draw):
    """One pair of hands, few hours, and three or four areas of which not all can be painted."""
    areas = [
        Area(
            f"area {number}",
            (coat(hours=draw(st.integers(1, 3)), over=draw(st.sampled_from([2, 20]))),)
            * draw(st.integers(1, 2)),
            abrading=draw(st.integers(0, 3)),
        )
        for number in range(draw(st.integers(3, 4)))
    ]
    return slot(days(2, last=draw(st.integers(12, 16)))), areas


@settings(max_examples=60, deadline=None)
@given(crowded())
def test_the_work_that_takes_the_hands_is_named_and_lies_in_those_hours(case):
    given_slot, areas = case
    plan = best_plan(given_slot, areas)
    codes = {area.code for area in areas}
    for short in plan.short:
        if short.why != "hands":
            assert short.others == ()
            continue
        inside = {
            task.area
            for task in plan.tasks
            if any(short.begins <= at < short.ends for at in range(task.begins, task.ends))
        }
        assert set(short.others) == (inside & codes) - {short.area}
        assert short.others
        # Without those that are named the area gets more: they are what stands against it.
        left = [area for area in areas if area.code not in short.others]
        assert coats(best_plan(given_slot, left))[short.area] >= short.got
        alone = [area for area in areas if area.code == short.area]
        assert coats(best_plan(given_slot, alone))[short.area] > short.got


@settings(max_examples=40, deadline=None)
@given(tiny(), st.integers(1, 2))
def test_a_longer_slot_never_gives_fewer_coats(case, more):
    given_slot, areas = case
    longer = given_slot.hours + days(more)
    launches = tuple(at for at, hour in enumerate(longer) if hour.yard)
    before, after = (
        best_plan(given_slot, areas),
        best_plan(replace(given_slot, hours=longer, launches=launches), areas),
    )

    def worth(plan):
        counts = coats(plan)
        leading = sum(counts[a.code] for a in areas if a.leading)
        return leading, sum(counts.values()) - leading

    assert worth(after) >= worth(before)


@settings(max_examples=40, deadline=None)
@given(tiny())
def test_the_same_slot_gives_the_same_plan_and_nothing_lies_over_another(case):
    given_slot, areas = case
    plan = best_plan(given_slot, areas)
    assert plan == best_plan(given_slot, areas)
    assume(len(plan.tasks) > 2)
    for before, after in itertools.pairwise(plan.tasks):
        assert before.ends <= after.begins


# A week in a yard


def week():
    anti = coat(hours=3, over=6, launch=12)
    prime = coat(hours=2, over=5)._replace(launch=(), next_coat=rows(4, 48))
    areas = [
        Area("line", (anti,) * 3, abrading=3, leading=True, zones=4),
        Area("bottom", (anti,) * 2, abrading=6, zones=8),
        Area("keel", (prime, prime, anti, anti), removing=4, bares=True, zones=2),
        Area("pads", (anti,) * 2, abrading=1, reach="pads", zones=2),
        Area("sole", (anti,), reach="under"),
    ]
    return slot(days(8), anodes=2, hanging=0, drying=12), areas


def test_a_week_takes_under_two_seconds_and_all_fits_but_the_sole():
    given_slot, areas = week()
    begins = time.process_time()
    plan = best_plan(given_slot, areas)
    assert time.process_time() - begins < 4  # twice what is promised: machines differ
    assert [one.area for one in plan.short] == ["sole"]


def test_a_search_that_was_cut_short_says_so_and_keeps_what_it_found(monkeypatch):
    given_slot, areas = week()
    assert best_plan(given_slot, areas).proven
    for name, most in (("MOST_TRIED", 40), ("MOST_EACH", 8), ("FEW_EACH", 8)):
        monkeypatch.setattr(fitting, name, most)
    plan = best_plan(given_slot, areas)
    assert not plan.proven
    assert plan.tasks[-1].code == "launch"


def test_coats_wait_so_that_the_launch_window_of_the_first_is_not_lost():
    # Two areas, each in the water within 20 h of its last coat; the slow one takes three days.
    quick = Area("quick", (coat()._replace(launch=rows(6, 20)),))
    slow = Area("slow", (coat(over=20)._replace(launch=rows(6, 20)),) * 3)
    plan = best_plan(slot(days(5)), [quick, slow])
    assert coats(plan) == {"quick": 1, "slow": 3}
    assert all(one.ends is None or one.used <= one.ends for one in plan.brackets)


def test_a_search_can_be_stopped():
    class Stopped(Exception):
        pass

    def stop(_done, _of):
        raise Stopped

    given_slot, areas = week()
    with pytest.raises(Stopped):
        best_plan(given_slot, areas, stop)


# Two weeks


def fortnight(seed):
    """Two weeks with shut days and damp afternoons; the usual four areas, some primed first."""
    rng = random.Random(seed)
    low, longest = rng.choice([4, 6, 8, 12, 16]), rng.choice([None, 24, 36, 48, 72, 120])
    wait, away = rng.choice([12, 24, 48]), rng.choice([None, 72, 24 * 7, 24 * 30])

    def top(hours):
        over = (
            WindowRow(5, low * 1.5, longest and longest * 1.5),
            WindowRow(25, low / 2, longest),
        )
        afloat = (WindowRow(5, wait, away), WindowRow(25, wait / 2, away))
        return Coat("red", hours, rows(rng.choice([1, 2, 3])), over, afloat)

    first = rng.choice([0, 0, 2])

    def under(hours):
        return Coat("grey", hours, rows(1), (WindowRow(5, 8, 48), WindowRow(25, 3, 24)))

    areas = [
        Area("line", (under(1),) * first + (top(1),) * 3, abrading=2, leading=True, zones=2),
        Area(
            "bottom", (under(3),) * first + (top(3),) * 2, abrading=rng.choice([4, 8]),
            removing=rng.choice([0, 0, 12]), zones=10,
        ),
        Area("pads", (under(1),) * first + (top(1),) * 2, abrading=1, reach="pads", zones=2),
        Area("under", (top(1),), reach="under", zones=2),
    ]  # fmt: skip
    hours = []
    for _day in range(14):
        shut, damp, damp_from = rng.random() < 0.15, rng.random() < 0.3, rng.choice([13, 15, 17])
        warm, night = rng.randint(10, 20), rng.randint(4, 10)
        for clock in range(24):
            open_ = 8 <= clock < 17 and not shut
            celsius = float(warm if open_ else night)
            humidity = 92.0 if damp and clock >= damp_from else 60.0
            hours.append(Hour(celsius, celsius, humidity, open_, open_))
    launches = tuple(at for at, hour in enumerate(hours) if hour.yard and at > 8)
    return slot(tuple(hours), anodes=1, drying=12, launches=launches), areas


FOUND_HARD = (13, 46, 76, 103)
"""Of the first 120 fortnights, four of the five that a search without bounds on the work gave up;
the fifth, 100, is solved too, in some seconds."""


@pytest.mark.parametrize("seed", [*FOUND_HARD, *range(30, 36)])
def test_two_weeks_with_the_usual_four_areas_are_solved(seed):
    plan = best_plan(*fortnight(seed))
    assert plan.proven


# The bounds themselves


def test_no_plan_that_could_be_gone_on_with_is_given_up():
    """Every beginning of a plan that was found holds its bounds."""
    for seed in (3, 13, 30):
        given_slot, areas = fortnight(seed)
        plan = best_plan(given_slot, areas)
        laying = Laying(given_slot, tuple(areas), washed=plan.tasks[0].ends)
        bounds = Bounds(laying, [plan.launch])
        for index, area in enumerate(areas):
            done = [t for t in plan.tasks if t.code == "coat" and t.area == area.code]
            count = len(done)
            pieces = count and bounds.pieces(index, count, -1, laying.washed, ENDLESS, plan.launch)
            for piece, task in zip((p for p in pieces or () if p.coat), done, strict=True):
                assert piece.begins <= task.begins
                assert task.ends <= piece.ends
                assert piece.hours == task.ends - task.begins


def test_too_much_work_between_two_hours_is_seen():
    # One day from 8 to 18: washed 8-9; ten coats of an hour in nine hours that are left.
    laying = Laying(slot(days(1), drying=0), (bottom(1),), washed=9)
    bounds = Bounds(laying, [17])
    piece = Piece(9, 17, 1, coat=False)
    assert bounds.hold([piece] * 8, 17)
    assert not bounds.hold([piece] * 9, 17)
    # What may lie elsewhere does not count between two hours that it need not lie in.
    assert bounds.hold([*[piece] * 7, Piece(8, 18, 2, coat=False)], 18)

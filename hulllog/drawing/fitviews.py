"""The answer to "does it fit", in words and as a picture."""

from __future__ import annotations

import itertools
from datetime import datetime, time, timedelta
from typing import TYPE_CHECKING

from hulllog.drawing.houraxis import Bar, HourAxis, Tide, Window, hour_axis
from hulllog.trade.weather import MARGIN
from hulllog.words import formats, say, say_code, say_n

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from hulllog.drawing.houraxis import Sort
    from hulllog.drawing.scene import Scene
    from hulllog.insight.fitting import Cost, Edges, Fit, Forbidden
    from hulllog.trade.slothours import Hour
    from hulllog.trade.slotwork import Bracket, Short, Task, Unknown
    from hulllog.trade.working import Working

_PREPARED = frozenset({"remove", "abrade"})
_OF_ALL = frozenset({"wash", "pads_moved", "anodes", "hanging", "launch"})


def at_text(told: Fit, hour: float) -> str:
    """Say an hour of the plan by its day and its clock."""
    moment = _moment(told, hour)
    return say("fit.at", day=formats.weekday(moment), clock=formats.clock(moment))


def _moment(told: Fit, hour: float) -> datetime:
    midnight = datetime.combine(told.asked.given.first, time())
    return midnight + timedelta(hours=hour)


def span_text(told: Fit, begins: float, ends: float) -> str:
    """Say from when to when; the day once where it is the same."""
    first, last = _moment(told, begins), _moment(told, ends)
    until = formats.clock(last) if first.date() == last.date() else at_text(told, ends)
    return say("fit.span", begins=at_text(told, begins), ends=until)


def verdict_text(told: Fit) -> str:
    """Say the answer in one sentence."""
    launch = at_text(told, told.plan.launch)
    return say(f"fit.verdict.{told.verdict}", launch=launch)


def coats_text(told: Fit, area: str, got: int, names: Mapping[str, str]) -> str:
    """Say how many of the coats that were asked for are in the plan."""
    wanted = next(len(one.coats) for one in told.asked.areas if one.code == area)
    return say("fit.coats", area=names[area], got=got, coats=say_n("fit.coat_count", wanted))


def task_text(told: Fit, task: Task, names: Mapping[str, str]) -> str:
    """Say a task with its hours."""
    area = names.get(task.area, "")
    what = say(f"fit.task.{task.code}", area=area, number=task.number)
    if task.code == "launch":
        return say("fit.task_at", what=what, when=at_text(told, task.begins))
    return say("fit.task_during", what=what, when=span_text(told, task.begins, task.ends))


def window_text(told: Fit, window: Bracket, names: Mapping[str, str]) -> str:
    """Say a window that the plan keeps, and where in it the plan goes on."""
    said = {
        "area": names[window.area],
        "number": window.number,
        "begins": at_text(told, window.begins),
        "used": at_text(told, window.used),
    }
    if window.ends is None:
        return say(f"fit.window.{window.step}", **said)
    # The planner sees no farther than the days that were typed.
    last = len(told.asked.slot.hours)
    if window.ends >= last:
        return say(f"fit.window.{window.step}_beyond", **said)
    return say(f"fit.window.{window.step}_until", ends=at_text(told, window.ends), **said)


def short_text(told: Fit, short: Short, names: Mapping[str, str]) -> str:
    """Say what stands against further coats: which window against which hours."""
    time_ = formats.quantity(short.window.value, "h") if short.window else ""
    code = f"{short.why}_others" if short.others else short.why
    if short.cold is not None:
        return say(
            f"fit.short.{short.why}_hour",
            area=names[short.area],
            next=short.got + 1,
            begins=at_text(told, short.begins),
            at=at_text(told, short.cold.at),
            air=formats.quantity(short.cold.air, "degC"),
            row=formats.quantity(short.cold.row, "degC"),
        )
    return say(
        f"fit.short.{code}",
        area=names[short.area],
        next=short.got + 1,
        begins=at_text(told, short.begins),
        ends=at_text(told, short.ends),
        time=time_,
        over=over_text(),
        others=formats.joined([names[one] for one in short.others]),
    )


def over_text() -> str:
    """Say how far the skin must be over the dew point, as the owner reads differences."""
    unit = formats.shown_unit("degC_difference")
    value = formats.convert(MARGIN, "degC_difference", unit)
    return formats.number(value, unit, 0 if round(value, 6) == int(value) else 1)


def rules_text() -> str:
    """Say by which rules a plan is placed."""
    return say("fit.rules", over=over_text())


def cost_text(cost: Cost, names: Mapping[str, str]) -> str:
    """Say what fewer coats cost."""
    return say(
        "fit.cost",
        area=names[cost.area],
        left=formats.quantity(cost.left.value, cost.left.unit),
        wanted=formats.quantity(cost.wanted.value, cost.wanted.unit),
    )


def edges_text(edges: Edges) -> str:
    """Say what the leading edges get, which have no zones of their own."""
    area = formats.quantity(edges.area.value, edges.area.unit)
    coats = say_n("fit.coat_count", edges.coats)
    if edges.litres is None:
        return say("fit.edges", area=area, coats=coats)
    litres = formats.quantity(edges.litres.value, edges.litres.unit, show="L")
    return say("fit.edges_litres", area=area, coats=coats, litres=litres)


def unknown_text(one: Unknown, names: Mapping[str, str]) -> str:
    """Say which fact no data sheet on record states."""
    return say(f"fit.unknown.{one.step}", paint=one.paint, area=names[one.area], number=one.number)


def forbidden_text(one: Forbidden, names: Mapping[str, str]) -> str:
    """Say which rule keeps a paint off, or which fact is missing to know."""
    if not one.firm:
        return say("fit.not_on_record", area=names[one.area], product=one.product)
    rule = f"fit.forbidden.{one.rule}"
    return say(rule, area=names[one.area], product=one.product, over=one.over)


def spare_text(tide: Working) -> str:
    """Say whether a high water floats her, and by how much."""
    height = formats.quantity(tide.given("H") or 0.0, "m")
    spare = formats.quantity(abs(tide.value), "m")
    floats = "fit.tide_floats" if tide.value >= 0 else "fit.tide_leaves"
    return say(floats, height=height, spare=spare)


def sheets_text(told: Fit) -> list[str]:
    """Say by which data sheet each paint was planned."""
    return [
        say("fit.sheet", paint=name, sheet=sheet) if sheet else say("fit.sheet_unnamed", paint=name)
        for name, sheet in told.asked.sheets
    ]


def described(told: Fit, names: Mapping[str, str]) -> str:
    """Say the whole plan in the order of time."""
    return " ".join(
        [verdict_text(told), *(task_text(told, task, names) for task in told.plan.tasks)]
    )


def plan_scene(told: Fit, names: Mapping[str, str], width: float) -> Scene:
    """Draw the plan on its hours."""
    return hour_axis(axis_of(told, names), width)


def axis_of(told: Fit, names: Mapping[str, str]) -> HourAxis:
    """Return what is drawn of a plan."""
    slot, plan = told.asked.slot, told.plan
    rows = ["", *(area.code for area in told.asked.areas)]
    begins = max(slot.lift - 2, 0)
    shown = [plan.launch + 1, *(one.ends for one in plan.short), slot.launches[-1] + 1]
    ends = min(max(shown) + 2, len(slot.hours))
    hours = range(begins, ends)
    curve = [(at, slot.hours[at].coldest) for at in hours]
    tides = _tides(told)
    return HourAxis(
        begins,
        ends,
        (say("fit.row_boat"), *(names[code] for code in rows[1:])),
        tuple(_bar(told, n, task, rows, names) for n, task in enumerate(plan.tasks)),
        tuple(
            Window(
                f"window:{n}",
                rows.index(one.area),
                one.begins,
                one.ends,
                one.used,
                window_text(told, one, names),
            )
            for n, one in enumerate(plan.brackets)
        ),
        _runs(told, lambda hour: not hour.light),
        tuple(
            (24.0 * day, formats.weekday_short(_moment(told, 24 * day)))
            for day in range(len(told.asked.given.days))
        ),
        tuple((float(at), t) for at, t in curve),
        formats.quantity(max(t for _, t in curve), "degC"),
        formats.quantity(min(t for _, t in curve), "degC"),
        say("fit.curve"),
        _key(tides=bool(tides)),
        _runs(told, lambda hour: hour.hands),
        say("fit.no_coat"),
        tides,
        described(told, names),
    )


def _bar(told: Fit, number: int, task: Task, rows: list[str], names: Mapping[str, str]) -> Bar:
    sort: Sort = "coat" if task.code == "coat" else "yard"
    if task.code in _PREPARED:
        sort = "prepare"
    label = str(task.number) if task.code == "coat" else ""
    if task.code in _OF_ALL:
        label = say(f"fit.short_name.{task.code}")
    row = rows.index(task.area) if task.area else 0
    said = task_text(told, task, names)
    return Bar(f"task:{number}", row, task.begins, task.ends, sort, label, said)


def _runs(told: Fit, kept: Callable[[Hour], bool]) -> tuple[tuple[float, float], ...]:
    """Return from when to when the hours are such."""
    found = []
    numbered = enumerate(told.asked.slot.hours)
    for inside, hours in itertools.groupby(numbered, lambda one: kept(one[1])):
        listed = [at for at, _ in hours]
        if inside:
            found.append((float(listed[0]), float(listed[-1] + 1)))
    return tuple(found)


def _tides(told: Fit) -> tuple[Tide, ...]:
    grid = told.asked.given.grid
    if told.asked.given.sort != "grid" or grid is None:
        return ()
    return tuple(
        Tide(
            f"tide:{number}",
            water.at,
            formats.quantity(water.metres, "m"),
            say(
                "fit.tide",
                when=at_text(told, water.at),
                height=formats.quantity(water.metres, "m"),
            ),
        )
        for number, water in enumerate(sorted(grid.waters))
    )


def _key(*, tides: bool) -> tuple[tuple[Sort, str], ...]:
    sorts: list[Sort] = ["yard", "prepare", "coat", "window", "work", "night"]
    if tides:
        sorts.append("tide")
    return tuple((sort, say_code("fit.key", sort)) for sort in sorts)

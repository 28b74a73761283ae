"""What a plan that was kept says: in a line, task by task, and beside what was really done."""

from __future__ import annotations

from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from hulllog.words import formats, say, say_code, say_n
from hulllog.words.catalogue import knows

if TYPE_CHECKING:
    from hulllog.insight.plans import CoatsDone, Compared, PlanKept
    from hulllog.records.model import PlanTask
    from hulllog.records.values import PartialDate


def area_name(area: str) -> str:
    """Say a part of the work."""
    return say_code("fit.group", area)


def uncoated_text(area: str) -> str:
    """Say of a part that stayed uncoated what is to be done next time."""
    return say("fit.note_underside", area=area_name(area))


def days_text(plan: PlanKept) -> str:
    """Say on which days a plan lies."""
    first, last = plan.days
    if first == last:
        return formats.day(first)
    return say("fit.plan.days", first=formats.day(first), last=formats.day(last))


def plan_text(plan: PlanKept) -> str:
    """Say whether a plan fits, and how many coats each part of the work gets in it."""
    parts = [
        say("fit.coats", area=area_name(one.area), got=one.got, coats=_coats(one.wanted))
        for one in plan.parts
    ]
    verdict = say_code("fit.plan.verdict", plan.verdict)
    return say("fit.plan.line", verdict=verdict, parts=formats.joined(parts)) if parts else verdict


def _coats(number: int) -> str:
    return say_n("fit.coat_count", number)


def step_name(task: PlanTask) -> str:
    """Say what a task is."""
    if not knows(f"fit.task.{task.code}"):
        return say_code("fit.task", task.code)
    area = area_name(task.area) if task.area else ""
    return say(f"fit.task.{task.code}", area=area, number=task.number)


def step_text(plan: PlanKept, task: PlanTask) -> str:
    """Say a task with its hours, by the clock of the place."""
    zone = ZoneInfo(plan.time_zone)
    begins, ends = task.begins.astimezone(zone), task.ends.astimezone(zone)
    first = say("fit.plan.at", day=formats.day(begins.date()), clock=formats.clock(begins))
    if task.code == "launch":
        return say("fit.task_at", what=step_name(task), when=first)
    last = formats.clock(ends)
    if begins.date() != ends.date():
        last = say("fit.plan.at", day=formats.day(ends.date()), clock=last)
    when = say("fit.span", begins=first, ends=last)
    return say("fit.task_during", what=step_name(task), when=when)


def compared_texts(told: Compared) -> list[str]:
    """Say what was planned beside what was done."""
    lines = [
        say("fit.plan.out", planned=formats.day(told.out[0]), done=_day(told.out[1])),
        say("fit.plan.back", planned=formats.day(told.back[0]), done=_day(told.back[1])),
        *(_coats_done(one) for one in told.coats),
    ]
    if told.anodes_planned or told.anodes:
        planned = say("word.yes" if told.anodes_planned else "word.no")
        lines.append(say_n("fit.plan.anodes", told.anodes, planned=planned))
    if not told.closed:
        lines.append(say("fit.plan.still_open"))
    return lines


def _day(when: PartialDate | None) -> str:
    return formats.anything(when) if when is not None else say("fit.plan.not_on_record")


def _coats_done(one: CoatsDone) -> str:
    area, planned = area_name(one.area), _coats(one.planned)
    if one.as_planned:
        return say("fit.plan.as_planned", area=area, planned=planned)
    if one.least == one.most:
        return say("fit.plan.coats", area=area, planned=planned, done=_coats(one.most))
    return say(
        "fit.plan.uneven", area=area, planned=planned, least=one.least, most=_coats(one.most)
    )

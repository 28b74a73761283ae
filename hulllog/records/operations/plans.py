"""Plans of a slot: kept with their tasks, opened again, renamed, laid to the haul-out they became.

What was asked is kept as it was typed, so that a plan can be worked out again.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from sqlalchemy import select

from hulllog.records.errors import Refused
from hulllog.records.model import Plan, PlanTask, Visit
from hulllog.records.operations import typed as t
from hulllog.records.operations.around import note_for_next_time
from hulllog.records.operations.keeping import change_fields, make, name_of, withdraw

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from datetime import datetime

    from hulllog.records.book import Book
    from hulllog.records.logbook import Logbook

VERDICTS = ("fits", "part", "none", "unknown")
PLAN: t.Fields = {
    "name": t.name(),
    "verdict": t.one_of(VERDICTS, wanted=True),
    "visit_id": t.link(Visit),
}


@dataclass(frozen=True, slots=True)
class Step:
    """A task to keep: what, on which part of the work, which coat, from when to when."""

    code: str
    area: str
    number: int
    begins: datetime
    ends: datetime

    @property
    def key(self) -> tuple[str, str, int]:
        """What makes it the same task when the plan is worked out anew."""
        return self.code, self.area, self.number


def keep_plan(
    logbook: Logbook,
    *,
    name: str,
    asked: Mapping[str, Any],
    verdict: str,
    steps: Sequence[Step],
    notes: Sequence[str] = (),
) -> str:
    """Keep a plan, and with it notes for next time.  Raises Refused ``no_tasks``."""
    with logbook.change("plan.keep", name=name.strip()[:60]) as book:
        values = t.read(book, PLAN, {"name": name, "verdict": verdict})
        key = make(book, Plan, {**values, "asked": dict(asked)})
        _put_steps(book, key, steps)
        for text in notes:
            note_for_next_time(logbook, text)
    return key


def keep_plan_anew(
    logbook: Logbook,
    plan_id: str,
    *,
    asked: Mapping[str, Any],
    verdict: str,
    steps: Sequence[Step],
    notes: Sequence[str] = (),
) -> None:
    """Keep what was worked out anew in place of what a plan said; its tasks keep their keys."""
    about = name_of(logbook, Plan, plan_id, "plan")
    with logbook.change("plan.anew", name=about) as book:
        plan = t.needed(book, Plan, plan_id)
        plan.verdict = t.read(book, PLAN, {"verdict": verdict})["verdict"]
        plan.asked = dict(asked)
        _put_steps(book, plan_id, steps)
        for text in notes:
            note_for_next_time(logbook, text)


def _put_steps(book: Book, plan_id: str, steps: Sequence[Step]) -> None:
    """Move the tasks that are still wanted, enter new ones, withdraw the others."""
    if not steps:
        raise Refused("no_tasks")
    here = book.scalars(select(PlanTask).where(PlanTask.plan_id == plan_id))
    known = {(one.code, one.area, one.number): one for one in here}
    for step in steps:
        found = known.pop(step.key, None)
        if found is None:
            values = {"code": step.code, "area": step.area, "number": step.number}
            times = {"begins": step.begins, "ends": step.ends}
            make(book, PlanTask, {"plan_id": plan_id, **values, **times})
        else:
            found.begins, found.ends, found.withdrawn = step.begins, step.ends, False
    for gone in known.values():
        gone.withdrawn = True


def rename_plan(logbook: Logbook, plan_id: str, name: str) -> None:
    """Give a plan another name."""
    change_fields(logbook, "plan.rename", Plan, plan_id, PLAN, {"name": name})


def link_plan(logbook: Logbook, plan_id: str, visit_id: str | None) -> None:
    """Say which haul-out a plan became; None for none yet."""
    change_fields(logbook, "plan.link", Plan, plan_id, PLAN, {"visit_id": visit_id})


def withdraw_plan(logbook: Logbook, plan_id: str) -> None:
    """Hide a plan and keep it."""
    withdraw(logbook, Plan, plan_id)


def carry_over(logbook: Logbook, visit_id: str, texts: Sequence[str]) -> list[str]:
    """Keep what a haul-out left uncoated as notes for next time, as one entry."""
    with logbook.change("plan.carry", number=len(texts)):
        return [note_for_next_time(logbook, text, visit_id=visit_id) for text in texts]

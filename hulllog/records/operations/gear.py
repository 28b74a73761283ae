"""Looks at gear with what was measured, and the owner's rules of when it is due."""

from __future__ import annotations

from typing import TYPE_CHECKING

from sqlalchemy import select

from hulllog.records.errors import Refused
from hulllog.records.model import DueRule, Gear, GearCheck, Visit
from hulllog.records.operations import choices
from hulllog.records.operations import typed as t
from hulllog.records.operations.around import GEAR, GEAR_CHECK
from hulllog.records.operations.keeping import make, name_of
from hulllog.records.operations.measuring import new_set, result_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hulllog.records.logbook import Logbook
    from hulllog.records.operations.measuring import Rated

RULE: t.Fields = {
    "sort": t.one_of(choices.DUE_SORTS, wanted=True),
    "every": t.amount("year", "month", low=1 / 12, high=100, wanted=True),
    "source": t.name(wanted=False),
}


def look_at_gear(
    logbook: Logbook,
    gear_id: str,
    visit_id: str,
    *,
    measured: Sequence[Rated] = (),
    state: str = "found",
    **typed: t.Typed,
) -> str:
    """Enter a look at a piece of gear with all that was measured, as one entry.

    The result is that of the figures where none was said.  A look that says nothing is refused.
    """
    name = name_of(logbook, Gear, gear_id, "gear")
    with logbook.change("gear.check", name=name) as book:
        visit = t.needed(book, Visit, visit_id, "visit")
        values = t.read(book, GEAR_CHECK, {"result": None, "text": None, "state": state, **typed})
        if not values["result"] and measured:
            values["result"] = result_of(measured)
        if not values["result"] and not values["text"]:
            raise Refused("gear_look_empty", field="text")
        check_id = make(book, GearCheck, {"gear_id": gear_id, "visit_id": visit_id, **values})
        check = t.needed(book, GearCheck, check_id)
        for rated in measured:
            new_set(book, rated, state=state, visit=visit, gear=check)
        return check_id


def renew_gear(logbook: Logbook, gear_id: str, *, fitted: t.When, **typed: t.Typed) -> None:
    """Enter that a new one was fitted; looks from before that day stay with the one before."""
    name = name_of(logbook, Gear, gear_id, "gear")
    with logbook.change("gear.renew", name=name) as book:
        values = t.read(book, GEAR, {"fitted": fitted, **typed})
        if values["fitted"] is None:
            raise Refused("date_wanted", field="fitted")
        gear = t.needed(book, Gear, gear_id)
        for field, value in values.items():
            setattr(gear, field, value)


def set_due_rule(logbook: Logbook, gear_id: str, sort: str, **typed: t.Typed) -> str:
    """Set how often gear is to be looked at or renewed; the rule that stood before is withdrawn.

    ``sort`` is one of DUE_SORTS, ``typed`` the fields of RULE.
    """
    name = name_of(logbook, Gear, gear_id, "gear")
    with logbook.change("due_rule.set", name=name, sort=sort) as book:
        values = t.read(book, RULE, {"sort": sort, **typed})
        del values["sort"]
        rules = select(DueRule).where(DueRule.subject == "gear", DueRule.withdrawn.is_(False))
        for rule in book.scalars(rules):
            if rule.details.get("gear_id") == gear_id and rule.details.get("sort") == sort:
                rule.withdrawn = True
        details = {"gear_id": gear_id, "sort": sort}
        return make(book, DueRule, {"subject": "gear", "details": details, **values})

"""Whether a finding outlived the time by which something had to happen."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence
    from datetime import datetime

    from hulllog.records.model import Visit, Work
    from hulllog.records.values import PartialDate

SEASON = timedelta(days=365)
"""How long "this season" lasts after the lift at which it was named.  Our own rule."""


@dataclass(frozen=True, slots=True)
class Term:
    """When a finding was last named or worked on, and what came after.

    ``relaunch`` is the end of that visit, ``lift`` the beginning of the haul-out that followed and
    is over; None while there is none.
    """

    named: PartialDate | None = None
    relaunch: PartialDate | None = None
    lift: PartialDate | None = None


@dataclass(frozen=True, slots=True)
class Overdue:
    """By what it is overdue: a ``relaunch``, a ``lift`` that passed, a ``season``; and since."""

    code: str
    since: PartialDate


def term(
    seen: Mapping[str, Visit], ended: Iterable[str], raised: str | None, works: Iterable[Work]
) -> Term:
    """Return the term of a finding from the visits up to an edge, oldest first.

    ``ended`` are the visits of which the edge shows the end.  Work counts as a new naming: what
    is still open after it waits for the lift that follows.
    """
    order = list(seen.values())
    over = {key for key in ended if seen[key].closed_at or seen[key].ends}
    if raised is None or raised not in seen:
        return Term()
    named = [order.index(seen[raised])]
    named += [
        place for work in works for place in [place_of_work(order, work)] if place is not None
    ]
    start = order[max(named)]
    later = (visit for visit in order[max(named) + 1 :] if visit.kind == "haul_out")
    lift = next((visit.begins for visit in later if visit.id in over), None)
    return Term(start.begins, (start.ends or start.begins) if start.id in over else None, lift)


def place_of_work(order: Sequence[Visit], work: Work) -> int | None:
    """Return at which visit work was done: by its link, else the last one begun before it."""
    for place, visit in reversed(list(enumerate(order))):
        if work.visit_id is not None:
            if visit.id == work.visit_id:
                return place
        elif work.done and visit.begins and visit.begins.earliest <= work.done.latest:
            return place
    return None


def overdue(status: str, must: str, term: Term, now: datetime) -> Overdue | None:
    """Return by what an open finding is overdue, None while it is not."""
    if status != "open":
        return None
    if must == "before_relaunch" and term.relaunch:
        return Overdue("relaunch", term.relaunch)
    if must in ("this_season", "next_lift") and term.lift:
        return Overdue("lift", term.lift)
    if must == "this_season" and term.named and now - term.named.latest > SEASON:
        return Overdue("season", term.named)
    return None

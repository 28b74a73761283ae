"""Litres of antifouling as computed before a job, held against those that it really took."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from hulllog.insight.seasons import seasons
from hulllog.trade.buying import own_factor
from hulllog.trade.refusal import Refusal

if TYPE_CHECKING:
    from hulllog.records.book import Book
    from hulllog.records.values import PartialDate
    from hulllog.trade.working import Working


@dataclass(frozen=True, slots=True)
class Job:
    """One job: the litres computed for its coats, those used, and how many times that was.

    Only jobs whose every coat has its litres on record can be held against what was computed.
    """

    visit_id: str
    when: PartialDate
    product: str
    coating_class: str
    coats: int
    computed: Working
    used: Working
    share: Working


@dataclass(frozen=True, slots=True)
class PastLitres:
    """The jobs of her past, the oldest first, and how many times the computed they took in all.

    ``not_told`` counts those of which a sum is missing.
    """

    jobs: tuple[Job, ...]
    share: Working | None
    not_told: int


def past_litres(book: Book) -> PastLitres:
    """Return every job of antifouling with its litres as computed and as used."""
    found, missing = [], 0
    for one in seasons(book):
        thread = one.thread
        if thread.again:
            continue
        if one.needed is None or thread.used is None or not thread.measured == len(one.coats) > 0:
            missing += 1
            continue
        try:
            share = own_factor([(thread.used.value, one.needed.value)], float(thread.coats))
        except Refusal:
            missing += 1
            continue
        found.append(
            Job(
                thread.visit_id,
                thread.begins,
                thread.product,
                thread.coating_class,
                thread.coats,
                one.needed,
                thread.used,
                share,
            )
        )
    return PastLitres(tuple(found), factor_of(found), missing)


def factor_of(jobs: list[Job]) -> Working | None:
    """Return how many times the computed litres some jobs took in all; None for no job."""
    if not jobs:
        return None
    pairs = [(one.used.value, one.computed.value) for one in jobs]
    return own_factor(pairs, float(sum(one.coats for one in jobs)))

"""What she cost: by visit and line, by the way she was lifted, and for each year afloat.

Amounts stand as on their papers.  Currencies are kept apart and never converted.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from decimal import Decimal
from typing import TYPE_CHECKING

from sqlalchemy import select

from hulllog.insight.occasions import afloat, visits
from hulllog.records.model import CostLine, Document
from hulllog.trade.working import Input, Source, Working

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from hulllog.records.book import Book
    from hulllog.records.model import Visit
    from hulllog.records.values import PartialDate

_YEAR = timedelta(days=365.25)
_DAY = timedelta(days=1)
SHORTEST = 1.0
"""Years afloat below which no cost by the year is told.  Our own rule."""


@dataclass(frozen=True, slots=True)
class Line:
    """A sum as on its paper; ``paper`` is the title of the document, None without one."""

    cost_id: str
    what: str
    amount: str
    currency: str
    document_id: str | None
    paper: str | None
    when: PartialDate | None


@dataclass(frozen=True, slots=True)
class VisitCosts:
    """The lines of a visit, and their sum in each currency; no visit for what belongs to none.

    ``total_only`` says that one line is all there is.
    """

    visit_id: str | None
    when: PartialDate | None
    kind: str | None
    way: str | None
    yard: str | None
    lines: tuple[Line, ...]
    sums: tuple[Working, ...]

    @property
    def total_only(self) -> bool:
        """Whether one line is all there is."""
        return len(self.lines) == 1


@dataclass(frozen=True, slots=True)
class WayCosts:
    """What one way of lifting cost in one currency: at how many visits, in all and at each."""

    way: str
    times: int
    total: Working
    mean: Working


@dataclass(frozen=True, slots=True)
class Costs:
    """All costs on record: the newest visit first, the sums in each currency."""

    visits: tuple[VisitCosts, ...]
    ways: tuple[WayCosts, ...]
    totals: tuple[Working, ...]
    by_year: tuple[Working, ...]


def costs(book: Book, now: datetime) -> Costs:
    """Return what is on record of her costs, as at ``now``."""
    by_visit = _by_visit(book)
    told = [_visit(None, by_visit.get(None, ()))] if by_visit.get(None) else []
    told += [_visit(one, by_visit[one.id]) for one in reversed(visits(book)) if one.id in by_visit]
    lines = [line for one in told for line in one.lines]
    totals = tuple(_sums(lines))
    return Costs(tuple(told), tuple(_ways(told)), totals, tuple(_by_year(book, lines, totals, now)))


def _by_visit(book: Book) -> dict[str | None, list[Line]]:
    papers = {one.id: one for one in book.scalars(select(Document))}
    known = {one.id: one for one in visits(book)}
    kept = select(CostLine).where(CostLine.withdrawn.is_(False)).order_by(CostLine.entered_at)
    found: dict[str | None, list[Line]] = {}
    for one in book.scalars(kept):
        paper = papers.get(one.document_id or "")
        visit = known.get(one.visit_id or (paper.visit_id if paper else None) or "")
        when = (paper.paper_date if paper else None) or (visit.begins if visit else None)
        line = Line(
            one.id,
            one.what,
            one.amount,
            one.currency,
            paper.id if paper else None,
            paper.title if paper else None,
            when,
        )
        found.setdefault(visit.id if visit else None, []).append(line)
    return found


def _visit(visit: Visit | None, lines: Sequence[Line]) -> VisitCosts:
    return VisitCosts(
        visit.id if visit else None,
        visit.begins if visit else None,
        visit.kind if visit else None,
        visit.way if visit else None,
        visit.yard or visit.location if visit else None,
        tuple(lines),
        tuple(_sums(lines)),
    )


def _sums(lines: Iterable[Line]) -> list[Working]:
    """Return the sum in each currency, in the order in which they first come."""
    amounts: dict[str, list[Decimal]] = {}
    for line in lines:
        amounts.setdefault(line.currency, []).append(Decimal(line.amount))
    return [
        Working(
            name="cost_sum",
            value=float(sum(each, Decimal(0))),
            unit=currency,
            formula="C = ΣC_n",
            inputs=(Input("C_n", tuple(float(one) for one in each), currency),),
            source=Source("recorded"),
        )
        for currency, each in amounts.items()
    ]


def _ways(told: Sequence[VisitCosts]) -> list[WayCosts]:
    by_way: dict[tuple[str, str], list[Working]] = {}
    for one in told:
        for total in one.sums:
            if one.way:
                by_way.setdefault((one.way, total.unit), []).append(total)
    found = [_way(way, each) for (way, _), each in by_way.items()]
    return sorted(found, key=lambda one: -one.times)


def _way(way: str, each: Sequence[Working]) -> WayCosts:
    amounts = tuple(one.value for one in each)
    whole, unit = float(sum(map(_exact, amounts), Decimal(0))), each[0].unit
    inputs = (Input("C_n", amounts, unit),)
    recorded = Source("recorded")
    return WayCosts(
        way,
        len(each),
        Working(
            name="cost_sum", value=whole, unit=unit, formula="C = ΣC_n", inputs=inputs,
            source=recorded,
        ),
        Working(
            name="cost_each", value=whole / len(each), unit=unit, formula="c = ΣC_n/n",
            inputs=(*inputs, Input("n", len(each))), source=recorded,
        ),
    )  # fmt: skip


def _exact(amount: float) -> Decimal:
    return Decimal(repr(amount))


def _by_year(
    book: Book, lines: Sequence[Line], totals: Sequence[Working], now: datetime
) -> list[Working]:
    """Return the costs in each currency by the year afloat, since the first that has a date."""
    ashore = afloat(book).ashore
    found = []
    for total in totals:
        dated = [line for line in lines if line.currency == total.unit and line.when is not None]
        if len(dated) < sum(line.currency == total.unit for line in lines) or not dated:
            continue
        first = min(line.when.middle for line in dated if line.when)
        dry = sum((max(min(b, now) - max(a, first), timedelta(0)) for a, b in ashore), timedelta(0))
        days = (now - first - dry) / _DAY
        if days * _DAY < SHORTEST * _YEAR:
            continue
        found.append(
            Working(
                name="cost_by_year",
                value=total.value / (days * _DAY / _YEAR),
                unit=total.unit,
                formula="c = 365.25·C/d",
                inputs=(
                    Input("C", total.value, total.unit),
                    Input("d", days, "d", "days_afloat"),
                    Input("T_1", first.date()),
                    Input("T_2", now.date()),
                ),
                source=Source("recorded"),
                cautions=("only_costs_on_record",),
            )
        )
    return found

"""What the plan says: what to buy, what falls due, what she cost, in window and on paper."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from hulllog.drawing.paintwords import reasons_text
from hulllog.words import formats, say, say_code, say_n
from hulllog.words.working import figure_of, source_sentence

if TYPE_CHECKING:
    from hulllog.insight.buying import AnodeWanted, PaintWanted, Part, Thinner, Untold
    from hulllog.insight.costs import Line, VisitCosts, WayCosts
    from hulllog.insight.litres import Job, PastLitres
    from hulllog.insight.nextlift import NextDue
    from hulllog.insight.prices import Price
    from hulllog.trade.buying import Tins
    from hulllog.trade.compatibility import CopperNear


# What to buy


def paint_title(paint: PaintWanted) -> str:
    """Say a paint and what it is."""
    return f"{paint.product}, {say_code('coating_class', paint.coating_class)}"


def litres_text(paint: PaintWanted) -> str:
    """Say the litres to buy."""
    return figure_of(paint.wanted)


def tins_text(tins: Tins) -> str:
    """Say how many whole tins of which size."""
    return formats.joined(
        [
            say("plan.tins", count=count, size=formats.number(size, "L"))
            for size, count in tins.counts
        ]
    )


def part_text(part: Part) -> str:
    """Say a part of a job: where, how many coats, on how much skin, how much paint."""
    return say(
        "plan.part",
        where=say_code("plan.where", part.where),
        coats=say_n("plan.coats", part.coats),
        area=formats.quantity(part.area.value, "m2"),
        litres=formats.quantity(part.litres.value, "L"),
    )


def factor_text(paint: PaintWanted) -> str:
    """Say the boat's own factor and on how many coats it rests, or that there is none yet."""
    if paint.corrected is not None:
        return say("plan.area_factor", factor=formats.figure(paint.corrected))
    if paint.factor is None:
        return say("plan.no_factor")
    return say_n("plan.factor", paint.compared, factor=figure_of(paint.factor))


def past_text(past: PastLitres) -> str:
    """Say how many litres her jobs took, beside those that were computed for them."""
    if past.share is None:
        return say("plan.past_none")
    told = say_n("plan.past", len(past.jobs), share=figure_of(past.share))
    missing = say_n("plan.past_missing", past.not_told) if past.not_told else ""
    return " ".join(part for part in (told, missing) if part)


def job_text(job: Job) -> str:
    """Say of a job what was computed for it, what it took, and how many times that is."""
    return say(
        "plan.past_job",
        when=formats.anything(job.when),
        product=job.product,
        coats=say_n("plan.coats", job.coats),
        computed=formats.quantity(job.computed.value, "L"),
        used=formats.quantity(job.used.value, "L"),
        share=figure_of(job.share),
    )


def thinner_text(thinner: Thinner) -> str:
    """Say the thinner that the sheet names."""
    if thinner.at_most is None:
        return thinner.name
    litres = formats.quantity(thinner.at_most.value, "L")
    return say("plan.thinner_at_most", name=thinner.name, litres=litres)


def price_text(price: Price | None) -> str:
    """Say what it cost last, in its own currency."""
    if price is None:
        return say("plan.no_price")
    amount = formats.money(price.amount, price.currency)
    if price.when is None:
        return say("plan.price_undated", amount=amount, what=price.what)
    return say("plan.price", amount=amount, what=price.what, when=price.when)


def anode_text(anode: AnodeWanted) -> str:
    """Say pattern, metal and mass of an anode."""
    parts = [
        anode.pattern or say("plan.no_pattern"),
        say_code("anode", anode.metal),
        formats.measured(anode.mass) if anode.mass else say("plan.no_mass"),
    ]
    return ", ".join(parts)


def untold_text(untold: Untold) -> str:
    """Say what cannot be told, and why."""
    values = {name: _value(name, value) for name, value in untold.values.items()}
    return say(f"plan.untold.{untold.code}", **values)


def _value(name: str, value: Any) -> object:
    if name == "reasons":
        return " ".join(reasons_text("copper_reason", value))
    if name == "biocide":
        return say_code("biocide", value)
    if name == "of":
        return source_sentence(value)
    return figure_of(value) if hasattr(value, "formula") else value


def copper_text(copper: CopperNear) -> str:
    """Say what is said of a paint's copper on or near aluminium."""
    verdict = say("paint_page.copper", verdict=say_code("copper_verdict", copper.verdict))
    return " ".join([verdict, *reasons_text("copper_reason", copper.reasons)])


# What falls due


def due_title(due: NextDue) -> str:
    """Say what falls due."""
    name = say_code("treatment", due.name) if due.code == "warranty" else due.name
    return say(f"plan.due.{due.code}", name=name)


def due_when(due: NextDue, zone: str) -> str:
    """Say the day, or between which days."""
    first, last = due.days(zone)
    if first == last:
        return formats.day(first)
    return say("plan.between", first=formats.day(first), last=formats.day(last))


def due_detail(due: NextDue) -> str:
    """Say what it counts from, in which water, by whose rule."""
    told = [_detail(name, value) for name, value in due.values.items() if value]
    if due.workings and due.code.startswith("paint"):
        told.append(source_sentence(due.workings[0].source))
    if due.code == "anode_half":
        told.append(say("plan.detail.half"))
    return " ".join(told)


def _detail(name: str, value: object) -> str:
    code = f"plan.detail.{name}"
    if name in ("water", "asked_by"):
        return say(code, value=say_code(name, str(value)))
    return say(code, value=value)


# What she cost


def visit_name(costs: VisitCosts) -> str:
    """Say at which visit costs arose."""
    if costs.visit_id is None or costs.kind is None:
        return say("plan.no_visit")
    parts = [
        formats.anything(costs.when) if costs.when else "",
        say_code("visit_kind", costs.kind),
        say_code("way", costs.way) if costs.way else "",
        costs.yard or "",
    ]
    return ", ".join(part for part in parts if part)


def sums_text(costs: VisitCosts) -> str:
    """Say the sum of a visit in each currency."""
    return formats.joined([figure_of(one) for one in costs.sums])


def line_text(line: Line) -> str:
    """Say a line of costs, with its paper where there is one."""
    amount = formats.money(line.amount, line.currency)
    if line.paper is None:
        return say("plan.cost_line", what=line.what, amount=amount)
    return say("plan.cost_line_paper", what=line.what, amount=amount, paper=line.paper)


def way_text(way: WayCosts) -> str:
    """Say what a way of lifting cost at how many visits."""
    code = "plan.way_once" if way.times == 1 else "plan.way"
    name = say_code("way", way.way)
    return say(code, way=name, n=way.times, total=figure_of(way.total), mean=figure_of(way.mean))

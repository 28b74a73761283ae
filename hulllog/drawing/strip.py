"""The tide strip of insight's answers, with its words.  Drawn at every start, so kept light."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING

from hulllog.drawing import tidestrip
from hulllog.drawing.timeline import Moment, fraction
from hulllog.words import formats, say, say_code, say_n

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from hulllog.insight.due import Due
    from hulllog.insight.occasions import Edge
    from hulllog.insight.timeline import Timeline, VisitSpan
    from hulllog.records.values import PartialDate


def moment(when: PartialDate) -> Moment:
    """Return a partial date as the drawing's interval of years."""
    return Moment(fraction(when.earliest), fraction(when.latest))


def _end_of(visit: VisitSpan) -> Moment | None:
    """Return when a visit ended: one that is closed without an end is not still going on."""
    if visit.ends is not None:
        return moment(visit.ends)
    return None if visit.open else moment(visit.begins)


def dues_said(found: Iterable[Due]) -> str:
    """Name what is due ahead with its days: what a print has no room for above a box."""
    told = []
    for due in found:
        low, high = due.earliest.date(), due.latest.date()
        days = formats.day(low) if low == high else f"{formats.day(low)} – {formats.day(high)}"
        told.append(say("strip.due_named", what=say(f"due.{due.code}.short"), days=days))
    return "; ".join(told)


def dues_of(found: Iterable[Due]) -> tuple[tidestrip.Due, ...]:
    """Return what is due ahead as the strip draws it, with its interval in words."""
    return tuple(
        tidestrip.Due(
            f"{due.code}:{due.key}",
            Moment.between(due.earliest, due.latest),
            say(
                f"due.{due.code}",
                name=due.name,
                share="" if due.share is None else formats.share(due.share),
                low=formats.day(due.earliest.date()),
                high=formats.day(due.latest.date()),
            ),
            say(f"due.{due.code}.short"),
        )
        for due in found
    )


def gaps_of(
    empty: Sequence[tuple[int, int]], now: datetime, *, any_visit: bool
) -> tuple[tidestrip.Gap, ...]:
    """Return the years without a visit as the strip draws them; all of it while there is none."""
    if not any_visit:
        year = fraction(now)
        return (tidestrip.Gap("", year - 1, year, say("old_notes.door")),)
    return tuple(
        tidestrip.Gap(
            str(first),
            float(first),
            last + 1.0,
            say("old_notes.years_one", first=str(first))
            if first == last
            else say("old_notes.years", first=str(first), last=str(last)),
        )
        for first, last in empty
    )


def strip_of(
    timeline: Timeline,
    now: datetime,
    picked: Edge | None = None,
    compared: Edge | None = None,
    dues: Sequence[tidestrip.Due] = (),
    gaps: Sequence[tidestrip.Gap] = (),
) -> tidestrip.Strip:
    """Return what the tide strip shows, in words and years."""
    return tidestrip.Strip(
        today=fraction(now),
        visits=tuple(
            tidestrip.Visit(
                visit.visit_id,
                moment(visit.begins),
                _end_of(visit),
                formats.year(visit.begins),
                say("strip.found", when=visit.begins),
                say("strip.left", when=visit.ends) if visit.ends else "",
                "haul-out"
                if visit.kind == "haul_out"
                else "drying"
                if visit.out_of_water
                else "afloat",
                not visit.open,
            )
            for visit in timeline.visits
        ),
        threads=tuple(
            tidestrip.Thread(
                thread.visit_id,
                moment(thread.begins),
                moment(thread.ends) if thread.ends else None,
                thread.colour_hex or "",
                say(
                    "strip.wore",
                    product=thread.product,
                    span=formats.span(thread.begins, thread.ends),
                ),
            )
            for thread in timeline.threads
        ),
        shore=tuple(
            tidestrip.Shore(
                moment(span.begins) if span.begins else Moment(1900.0, 1900.0),
                moment(span.ends) if span.ends else None,
                span.isolator,
            )
            for span in timeline.shore
        ),
        events=tuple(
            tidestrip.Event(
                event.event_id,
                moment(event.at),
                say("strip.event", what=say_code("event", event.sort), when=event.at),
                say_code("event", event.sort),
            )
            for event in timeline.events
        ),
        dues=tuple(dues),
        gaps=tuple(gaps),
        picked=tidestrip.Edge(picked.visit_id, picked.state) if picked else None,
        compared=tidestrip.Edge(compared.visit_id, compared.state) if compared else None,
        today_text=say("strip.today"),
        shore_text=say("strip.shore"),
        empty_text=say("strip.empty"),
        described=say_n("strip.described", len(timeline.visits)),
    )

"""What the sample's record says, told in codes and values alone: no word that anybody wrote."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from sqlalchemy import select

from hulllog.insight.anodes import positions
from hulllog.insight.condition import hull_state
from hulllog.insight.contradictions import contradictions
from hulllog.insight.judging import SURE, judged_zones
from hulllog.insight.matters import asked, matters
from hulllog.insight.occasions import Edge
from hulllog.insight.overview import unseen
from hulllog.insight.paint import build_ups, threads
from hulllog.insight.series import spot_series, zone_series
from hulllog.records.model import Event, Inspection, Spot, Visit, Zone, ZoneVersion
from hulllog.records.operations import queries

if TYPE_CHECKING:
    from hulllog.records.book import Book

BLISTERED = ("bottom-middle-port", "bottom-aft-port", "bottom-aft-starboard")


def haul_outs(book: Book) -> list[Visit]:
    return queries.visits(book, ("haul_out",))


def edge(book: Book, number: int, state: str = "found") -> Edge:
    """Return an edge of the haul-out of a year, counted from 2013."""
    return Edge(haul_outs(book)[number - 2013].id, state)  # type: ignore[arg-type]


def zone_id(book: Book, code: str) -> str:
    return book.scalars(select(Zone.id).where(Zone.code == code)).one()


def growing(book: Book, year: int) -> dict[tuple[str, str], str]:
    """Return (zone, component) -> direction of what has a sure trend as found in a year."""
    codes = {zone.id: zone.code for zone in book.scalars(select(Zone))}
    return {
        (codes[item.subject_id], item.component): item.judged.trend.direction
        for item in judged_zones(book, edge(book, year))
        if item.kind == "laminate-blisters"
        and item.judged.trend is not None
        and item.judged.adjusted_p is not None
        and item.judged.adjusted_p < SURE
    }


def blisters_now(book: Book) -> dict[str, tuple[str, ...]]:
    """Return how the three zones look for blisters at each edge since the treatment."""
    edges = [
        edge(book, 2022, "left"),
        *(edge(book, year) for year in (2023, 2024, 2025)),
    ]
    seen = [
        {state.code: state.appearance for state in hull_state(book, at, "laminate-blisters")}
        for at in edges
    ]
    return {code: tuple(state[code] for state in seen) for code in BLISTERED}


def dry_look(book: Book) -> list[tuple[int, bool]]:
    """Return (year, comparable) of the looks at one zone that are held against that of 2021."""
    series = zone_series(
        book, zone_id(book, BLISTERED[0]), "laminate-blisters", "largest_mm", edge(book, 2021)
    )
    return [(point.when.middle.year, point.comparable) for point in series.points]


def rust(book: Book) -> list[float]:
    """Return the rusty area at the one corner over the years, in cm²."""
    spot = book.scalars(select(Spot).where(Spot.place_part == "keel-starboard")).one()  # type: ignore[attr-defined]
    series = spot_series(book, spot.id, "rust-spots", "area_cm2", None)
    return [round(point.value) for point in series.points]


def anode(book: Book) -> dict[int, tuple[float | None, str | None, tuple[str, ...]]]:
    """Return year -> how fast the shaft anode wore against its past, and what may explain it."""
    found = {}
    for year in (2020, 2021, 2022, 2023):
        (story,) = positions(book, edge(book, year))
        causes = tuple(cause.code for cause in story.causes)
        ratio = None if story.ratio is None else round(story.ratio, 1)
        found[year] = ratio, story.unusual, causes
    return found


def fouling(book: Book) -> dict[int, int]:
    """Return year -> the worst level of fouling found on any zone."""
    worst = {}
    for visit in haul_outs(book):
        levels = [
            int(state.figures["level"])
            for state in hull_state(book, Edge(visit.id, "found"), "level-of-fouling")
            if state.figures
        ]
        worst[visit.begins.middle.year if visit.begins else 0] = max(levels)
    return worst


def sections(book: Book) -> dict[str, tuple[str | None, tuple[tuple[str, float], ...]]]:
    """Return of each zone what it was last taken down to, and (role, share) of each coat since."""
    return {
        zone.code: (found.down_to, tuple((coat.role, coat.share) for coat in found.layers))
        for zone, found in build_ups(book)
    }


def drying(book: Book) -> list[tuple[float, bool]]:
    """Return the moisture readings of the treated zone, and which one stands for the visit."""
    series = zone_series(book, zone_id(book, BLISTERED[0]), "moisture", "reading", None)
    return [(point.value, point in series.standing) for point in series.points]


def after_the_grounding(book: Book) -> list[tuple[int, str]]:
    """Return (year, kind of visit) of the looks at the keel that touched since it touched."""
    event = book.scalars(select(Event).where(Event.asks_for_check)).one()
    query = (
        select(Visit)
        .join(Inspection, Inspection.visit_id == Visit.id)
        .join(ZoneVersion, ZoneVersion.id == Inspection.zone_version_id)
        .where(
            ZoneVersion.zone_id == zone_id(book, "keel-port-outboard"),
            Inspection.coverage.in_(("whole", "part")),
        )
    )
    assert event.at is not None
    seen = {
        (visit.begins.middle.year, visit.kind)
        for visit in book.scalars(query)
        if visit.begins and event.at < visit.begins
    }
    return sorted(seen)


def told(book: Book) -> dict[str, Any]:
    """Return all stories of the sample."""
    event = book.scalars(select(Event).where(Event.asks_for_check)).one()
    answered = book.get(Visit, event.answered_visit_id or "")
    return {
        "growing": growing(book, 2022),
        "blisters now": blisters_now(book),
        "dry look": dry_look(book),
        "rust": rust(book),
        "anode": anode(book),
        "paint": [(t.colour, t.coats) for t in threads(book)],
        "fouling": fouling(book),
        "asked": [(a.number, tuple(proof.sort for proof in a.proofs)) for a in asked(book)],
        "accepted": all(p.accepted_by for a in asked(book) for p in a.proofs),
        "sections": sections(book),
        "drying": drying(book),
        "after the grounding": after_the_grounding(book),
        "contradictions": [one.code for one in contradictions(book)],
        "unseen": {u.code: (u.since is not None, u.chances, u.reasons) for u in unseen(book)},
        "open": [(m.sort, m.must, m.severity) for m in matters(book) if m.status == "open"],
        "event": (event.sort, answered.kind if answered else None),
    }

"""What cannot be true together in the records: noticed and asked about, never refused.

Dates are held against one another by the far ends of their intervals, so that nothing is noticed
that their precision leaves open.
"""

from __future__ import annotations

import itertools
from collections import defaultdict
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import TYPE_CHECKING, TypeVar

from sqlalchemy import select
from sqlalchemy.orm import selectinload

from hulllog.insight.examined import pictured_alone
from hulllog.insight.matters import asked
from hulllog.insight.occasions import OUT_OF_WATER, visits
from hulllog.insight.once import once_a_reading
from hulllog.insight.overview import zone_names
from hulllog.insight.reached import out_of_reach
from hulllog.insight.shades import below_water
from hulllog.records.model import (
    AnodeCheck,
    AnodePiece,
    AnodePosition,
    BerthPeriod,
    Coat,
    Document,
    Finding,
    Gear,
    MeasurementSet,
    Photo,
    Product,
    Proof,
    Removal,
    Spot,
    StageTime,
    Tin,
    Treatment,
    Visit,
    Work,
    Zone,
)
from hulllog.records.operations.afloat import AFLOAT
from hulllog.records.operations.choices import STAGES
from hulllog.records.values import PartialDate

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from hulllog.records.book import Book

K = TypeVar("K", Document, Coat, MeasurementSet, AnodePiece, StageTime, Work, Proof)
Values = tuple[tuple[str, object], ...]
DONE_WITH = frozenset({"coated", "ready", "relaunched"})
"""Stages after which nothing is as it was found."""


@dataclass(frozen=True, slots=True)
class Contradiction:
    """Two records that disagree: a code with values, and the page and record to look at.

    ``at`` is when it happened by the records, for their order.
    """

    code: str
    values: Values
    page: str
    key: str
    visit_id: str | None
    at: datetime


@once_a_reading
def contradictions(book: Book) -> list[Contradiction]:
    """Return what the records say that cannot all be so, the latest first."""
    known = {visit.id: visit for visit in visits(book)}
    found = [
        *_photos(book, known),
        *_papers(book),
        *_unlinked(book),
        *_coats(book, known),
        *_anodes(book, known),
        *_stages(book, known),
        *_reversed(book, known),
        *_readings(book, known),
        *_matters(book, known),
        *_afloat_ashore(known),
        *_due_first(book),
        *_not_examined(book, known),
    ]
    return sorted(found, key=lambda one: (one.at, one.code, one.key), reverse=True)


COMPARED = ("photo", "paper", "coat", "reading", "anode", "stage", "work", "proof")
"""What is held against other records, in the order in which it is told."""


@once_a_reading
def compared(book: Book) -> list[tuple[str, int]]:
    """Return how many records of each sort have a date that could be held against others."""
    known = {visit.id: visit for visit in visits(book)}
    kept = {
        "photo": sum(1 for _ in _all_taken(book, known)),
        "paper": _count(book, Document, lambda one: one.paper_date),
        "coat": _count(book, Coat, lambda one: one.at),
        "reading": _count(book, MeasurementSet, lambda one: one.observed),
        "anode": _count(book, AnodePiece, lambda one: _fitted(one, known)),
        "stage": _count(book, StageTime, lambda one: one.at),
        "work": _count(book, Work, lambda one: one.done),
        "proof": _count(book, Proof, lambda one: one.accepted),
    }
    return [(sort, kept[sort]) for sort in COMPARED if kept[sort]]


def _count(book: Book, model: type[K], date_of: Callable[[K], object]) -> int:
    query = select(model).where(model.withdrawn.is_(False))
    return sum(1 for one in book.scalars(query) if date_of(one))


def of_visit(book: Book, visit_id: str) -> list[Contradiction]:
    """Return those that belong to one visit."""
    return [one for one in contradictions(book) if one.visit_id == visit_id]


def before(one: PartialDate | None, other: PartialDate | None) -> bool:
    """Tell whether a date lies before another for certain."""
    return one is not None and other is not None and one.latest < other.earliest


# Photographs


@dataclass(frozen=True, slots=True)
class _Step:
    """Work that changed what is seen.  ``zones`` None is the whole bottom, "*" is all of her."""

    sort: str
    what: str
    begins: PartialDate
    ends: PartialDate
    zones: frozenset[str] | None

    def touches(self, shown: frozenset[str], bottom: frozenset[str]) -> bool:
        """Tell whether it changed what a photograph shows; one without zones may show any."""
        if self.zones is None:
            return not shown or bool(shown & bottom)
        return "*" in self.zones or bool(self.zones & shown)


@dataclass(frozen=True, slots=True)
class _Taken:
    photo: Photo
    at: PartialDate
    visit: Visit
    shown: frozenset[str]


def _photos(book: Book, known: Mapping[str, Visit]) -> Iterator[Contradiction]:
    steps = _steps(book)
    bottom = frozenset(zone.id for zone in book.scalars(select(Zone)) if below_water(zone.code))
    told: dict[tuple[str, str, _Step | None], list[_Taken]] = defaultdict(list)
    for taken in _all_taken(book, known):
        code, step = _wrong(taken, steps.get(taken.visit.id, ()), bottom)
        if code:
            told[code, taken.visit.id, step].append(taken)
    for (code, visit_id, step), photos in told.items():
        first = min(photos, key=lambda taken: taken.at)
        yield _of_photos(code, visit_id, step, first, len(photos))


def _of_photos(
    code: str, visit_id: str, step: _Step | None, first: _Taken, n: int
) -> Contradiction:
    values: Values = (
        ("n", n),
        ("file", first.photo.file_name),
        ("taken", first.at),
        ("begins", first.visit.begins),
        ("ends", first.visit.ends),
        ("imported", first.photo.imported_at),
        ("state", first.photo.state),
    )
    if step is not None:
        when = step.begins if code.startswith("photo_found") else step.ends
        values = (*values, ("step", step.sort), ("what", step.what), ("when", when))
    return Contradiction(
        f"contradiction.{code}", values, "hull", first.photo.id, visit_id, first.at.earliest
    )


def _all_taken(book: Book, known: Mapping[str, Visit]) -> Iterator[_Taken]:
    spots = dict(book.execute(select(Spot.id, Spot.zone_id)).all())
    query = (
        select(Photo)
        .where(Photo.withdrawn.is_(False), Photo.purged_reason.is_(None))
        .options(selectinload(Photo.places))
    )
    for photo in book.scalars(query):
        visit = known.get(photo.visit_id or "")
        at = corrected(photo, visit.time_zone) if visit else None
        if visit is None or at is None:
            continue
        places = [place for place in photo.places if not place.withdrawn]
        shown = {place.zone_id or spots.get(place.spot_id or "") for place in places}
        if any(place.anode_position_id for place in places):
            shown.add("anode")
        if any(place.gear_id for place in places):
            shown.add("gear")
        yield _Taken(photo, at, visit, frozenset(zone for zone in shown if zone))


def corrected(photo: Photo, zone: str) -> PartialDate | None:
    """Return when a photograph was taken by the corrected clock; None where that is not known."""
    read = photo.captured
    if read is None or not photo.clock_correction:
        return read
    return PartialDate.of(read.earliest + timedelta(minutes=photo.clock_correction), zone)


def _wrong(
    taken: _Taken, steps: Iterable[_Step], bottom: frozenset[str]
) -> tuple[str, _Step | None]:
    """Return the code of what is wrong with the time of a photograph; empty where nothing is."""
    at, visit, state = taken.at, taken.visit, taken.photo.state
    if at.earliest > taken.photo.imported_at:
        return "photo_after_import", None
    if state is None or visit.kind not in OUT_OF_WATER:
        return "", None
    if before(at, visit.begins):
        return "photo_before_lift", None
    if before(visit.ends, at):
        return "photo_after_relaunch", None
    touching = [step for step in steps if step.touches(taken.shown, bottom)]
    if state == "found":
        over = [step for step in touching if before(step.begins, at)]
        if over:
            return "photo_found_after", min(over, key=lambda step: step.begins)
        same = [step for step in touching if _same_day(step.begins, taken)]
        if same:
            return "photo_found_same_day", min(same, key=lambda step: step.begins)
    if state == "left":
        later = [step for step in touching if before(at, step.ends) and step.sort != "stage"]
        if later:
            return "photo_left_before", max(later, key=lambda step: step.ends)
    return "", None


def _same_day(work: PartialDate, taken: _Taken) -> bool:
    """Tell whether work dated to a day fell on that of a photograph, so that either came first.

    On the day of the lift what is as found comes first by the course of things.
    """
    begins = taken.visit.begins
    lifted = (
        begins is not None and begins.earliest <= work.latest and work.earliest <= begins.latest
    )
    return (
        work.precision == "day"
        and taken.at.precision == "time"
        and not lifted
        and work.earliest <= taken.at.earliest < work.latest
    )


def _steps(book: Book) -> dict[str, list[_Step]]:
    """Return by visit the dated works that changed what is seen."""
    found: dict[str, list[_Step]] = defaultdict(list)
    for coat, product in _dated_coats(book):
        zones = None if coat.whole_bottom else _zones_of(coat)
        if coat.at:
            found[coat.visit_id].append(_Step("coat", product.name, coat.at, coat.at, zones))
    for removal in book.scalars(select(Removal).where(Removal.withdrawn.is_(False))):
        zones = frozenset(removal.zone_ids) if removal.zone_ids else None
        if removal.at:
            step = _Step("removal", removal.down_to, removal.at, removal.at, zones)
            found[removal.visit_id].append(step)
    for done in book.scalars(select(Treatment).where(Treatment.withdrawn.is_(False))):
        begins, ends = done.begins or done.ends, done.ends or done.begins
        if begins and ends:
            step = _Step("treatment", done.sort, begins, ends, frozenset(done.zone_ids))
            found[done.visit_id].append(step)
    for stage in book.scalars(select(StageTime).where(StageTime.withdrawn.is_(False))):
        if stage.at and stage.stage in DONE_WITH:
            step = _Step("stage", stage.stage, stage.at, stage.at, frozenset("*"))
            found[stage.visit_id].append(step)
    return found


@once_a_reading
def _dated_coats(book: Book) -> list[tuple[Coat, Product]]:
    query = (
        select(Coat, Product)
        .join(Product, Product.id == Coat.product_id)
        .where(Coat.withdrawn.is_(False))
        .options(selectinload(Coat.zones))
        .order_by(Coat.entered_at, Coat.id)
    )
    return [(coat, product) for coat, product in book.execute(query)]


def _zones_of(coat: Coat) -> frozenset[str]:
    return frozenset(zone.zone_id for zone in coat.zones if not zone.withdrawn)


def _not_examined(book: Book, known: Mapping[str, Visit]) -> Iterator[Contradiction]:
    """Ask about fittings that a picture of a visit shows and that have no look there."""
    names = {one.id: one.name for one in book.scalars(select(Gear).where(~Gear.withdrawn))}
    for gear_id, by_visit in pictured_alone(book).items():
        for visit_id, count in by_visit.items():
            visit = known.get(visit_id)
            if gear_id in names and visit is not None and visit.begins is not None:
                values: Values = (
                    ("n", count), ("name", names[gear_id]), ("begins", visit.begins),
                    ("ends", visit.ends or visit.begins),
                )  # fmt: skip
                yield Contradiction(
                    "contradiction.not_examined", values, "gear", gear_id, visit_id,
                    visit.begins.earliest,
                )  # fmt: skip


# Papers


def _papers(book: Book) -> Iterator[Contradiction]:
    for paper in book.scalars(select(Document).where(Document.withdrawn.is_(False))):
        dated = paper.paper_date
        if dated and dated.earliest > paper.entered_at:
            values: Values = (
                ("title", paper.title), ("dated", dated), ("entered", paper.entered_at),
            )  # fmt: skip
            yield Contradiction(
                "contradiction.paper_after_entry", values, "papers", paper.id, paper.visit_id,
                dated.earliest,
            )  # fmt: skip


def _unlinked(book: Book) -> Iterator[Contradiction]:
    """Ask about papers on file that may prove what a survey asked for and are linked to nothing."""
    for item in asked(book):
        for proof in item.proofs:
            when = proof.when
            for title in item.unlinked:
                if when is None or title not in proof.unlinked:
                    continue
                values: Values = (("title", title), ("work", proof.text), ("when", when))
                yield Contradiction(
                    "contradiction.paper_not_linked", values, "papers", item.recommendation_id,
                    None, when.earliest,
                )  # fmt: skip


# Paint


def _coats(book: Book, known: Mapping[str, Visit]) -> Iterator[Contradiction]:
    tins = {tin.id: tin for tin in book.scalars(select(Tin).where(Tin.withdrawn.is_(False)))}
    hidden: dict[tuple[str, str], list[Coat]] = defaultdict(list)
    products: dict[str, Product] = {}
    for coat, product in _dated_coats(book):
        visit = known.get(coat.visit_id)
        if visit is None:
            continue
        products[product.id] = product
        about: Values = (("product", product.name), ("when", coat.at))
        if coat.at and (before(coat.at, visit.begins) or before(visit.ends, coat.at)):
            values = (*about, ("begins", visit.begins), ("ends", visit.ends))
            yield _of_coat("coat_outside", values, coat, coat.at.earliest)
        tin = tins.get(coat.tin_id or "")
        if tin is not None and tin.bought and before(coat.at or visit.ends, tin.bought):
            values = (*about, ("when", coat.at or visit.ends), ("bought", tin.bought))
            yield _of_coat("coat_before_tin", values, coat, tin.bought.earliest)
        if not coat.whole_bottom:
            hidden[visit.id, product.id].append(coat)
    yield from _unreached(book, known, hidden, products)


def _of_coat(code: str, values: Values, coat: Coat, at: datetime) -> Contradiction:
    return Contradiction(f"contradiction.{code}", values, "paint", coat.id, coat.visit_id, at)


def _unreached(
    book: Book,
    known: Mapping[str, Visit],
    coats: Mapping[tuple[str, str], list[Coat]],
    products: Mapping[str, Product],
) -> Iterator[Contradiction]:
    """Ask about coats on zones that the same haul-out says could not be reached.

    A coat on the whole bottom is on what could be reached of it, so that it is not asked about.
    """
    kept, names = out_of_reach(book), zone_names(book)
    for (visit_id, product_id), put_on in coats.items():
        hidden = kept.get(visit_id, {})
        zones = {key for coat in put_on for key in _zones_of(coat)} & set(hidden)
        begins = known[visit_id].begins
        if zones and begins:
            values: Values = (
                ("n", sum(bool(_zones_of(coat) & zones) for coat in put_on)),
                ("product", products[product_id].name),
                ("begins", begins),
                ("zones", tuple(sorted(names[zone] for zone in zones))),
                ("reasons", tuple(sorted({hidden[zone] for zone in zones if hidden[zone]}))),
            )
            yield _of_coat("coat_unreached", values, put_on[0], begins.earliest)


# Anodes


def _anodes(book: Book, known: Mapping[str, Visit]) -> Iterator[Contradiction]:
    names = {one.id: one.name for one in book.scalars(select(AnodePosition))}
    pieces = {p.id: p for p in book.scalars(select(AnodePiece).where(~AnodePiece.withdrawn))}
    for piece in pieces.values():
        fitted, removed = _fitted(piece, known), _removed(piece, known)
        if fitted and removed and before(removed, fitted):
            values: Values = (
                ("name", names[piece.position_id]), ("fitted", fitted), ("removed", removed),
            )  # fmt: skip
            yield Contradiction(
                "contradiction.removed_before_fitted", values, "anodes", piece.position_id,
                piece.removed_visit_id, removed.earliest,
            )  # fmt: skip
    for check in book.scalars(select(AnodeCheck).where(AnodeCheck.withdrawn.is_(False))):
        piece_seen, visit = pieces.get(check.piece_id), known.get(check.visit_id)
        if piece_seen is None or visit is None or check.visit_id == piece_seen.fitted_visit_id:
            continue
        fitted, seen = _fitted(piece_seen, known), visit.ends or visit.begins
        if fitted and seen and before(seen, fitted):
            values = (("name", names[piece_seen.position_id]), ("seen", seen), ("fitted", fitted))
            yield Contradiction(
                "contradiction.checked_before_fitted", values, "anodes", piece_seen.position_id,
                visit.id, seen.earliest,
            )  # fmt: skip


def _fitted(piece: AnodePiece, known: Mapping[str, Visit]) -> PartialDate | None:
    visit = known.get(piece.fitted_visit_id or "")
    return piece.fitted or (visit.begins if visit else None)


def _removed(piece: AnodePiece, known: Mapping[str, Visit]) -> PartialDate | None:
    visit = known.get(piece.removed_visit_id or "")
    return piece.removed or ((visit.ends or visit.begins) if visit else None)


# Orders of dates


def _stages(book: Book, known: Mapping[str, Visit]) -> Iterator[Contradiction]:
    by_visit: dict[str, list[StageTime]] = defaultdict(list)
    for stage in book.scalars(select(StageTime).where(StageTime.withdrawn.is_(False))):
        if stage.at and stage.stage in STAGES and stage.visit_id in known:
            by_visit[stage.visit_id].append(stage)
    for visit_id, stages in by_visit.items():
        stages.sort(key=lambda stage: STAGES.index(stage.stage))
        for earlier, later in itertools.pairwise(stages):
            if earlier.at and later.at and before(later.at, earlier.at):
                values: Values = (
                    ("stage", later.stage), ("when", later.at), ("other", earlier.stage),
                    ("then", earlier.at),
                )  # fmt: skip
                yield Contradiction(
                    "contradiction.stages", values, "haul_out", visit_id, visit_id,
                    later.at.earliest,
                )  # fmt: skip


def _reversed(book: Book, known: Mapping[str, Visit]) -> Iterator[Contradiction]:
    treatments = book.scalars(select(Treatment).where(Treatment.withdrawn.is_(False)))
    berths = book.scalars(select(BerthPeriod).where(BerthPeriod.withdrawn.is_(False)))
    spans: list[tuple[str, str, str, str | None, PartialDate | None, PartialDate | None]] = [
        *(("visit", "hull", v.id, v.id, v.begins, v.ends) for v in known.values()),
        *(("treatment", "paint", d.id, d.visit_id, d.begins, d.ends) for d in treatments),
        *(("berth", "boat", berth.id, None, berth.begins, berth.ends) for berth in berths),
    ]
    for what, page, key, visit_id, begins, ends in spans:
        if begins and ends and before(ends, begins):
            values: Values = (("span", what), ("begins", begins), ("ends", ends))
            yield Contradiction(
                "contradiction.ends_first", values, page, key, visit_id, ends.earliest
            )


def _afloat_ashore(known: Mapping[str, Visit]) -> Iterator[Contradiction]:
    """Tell of looks afloat on days on which she certainly stood ashore."""
    stays = [v for v in known.values() if v.kind in OUT_OF_WATER and v.begins and v.ends]
    for look in known.values():
        if look.kind not in AFLOAT or look.begins is None:
            continue
        for stay in stays:
            if before(stay.begins, look.begins) and before(look.begins, stay.ends):
                values: Values = (
                    ("visit_kind", look.kind), ("look", look.begins), ("begins", stay.begins),
                    ("ends", stay.ends),
                )  # fmt: skip
                yield Contradiction(
                    "contradiction.afloat_ashore", values, "hull", look.id, look.id,
                    look.begins.earliest,
                )  # fmt: skip


def _due_first(book: Book) -> Iterator[Contradiction]:
    """Tell of recommendations that were due before their survey was made."""
    for item in asked(book):
        if item.due and item.survey_date and before(item.due, item.survey_date):
            values: Values = (
                ("wording", item.wording), ("due", item.due), ("surveyed", item.survey_date),
            )  # fmt: skip
            yield Contradiction(
                "contradiction.due_first", values, "papers", item.recommendation_id, None,
                item.due.earliest,
            )  # fmt: skip


def _readings(book: Book, known: Mapping[str, Visit]) -> Iterator[Contradiction]:
    for rated in book.scalars(select(MeasurementSet).where(MeasurementSet.withdrawn.is_(False))):
        visit, seen = known.get(rated.visit_id), rated.observed
        if visit and seen and (before(seen, visit.begins) or before(visit.ends, seen)):
            values: Values = (
                ("kind", rated.kind), ("when", seen), ("begins", visit.begins),
                ("ends", visit.ends),
            )  # fmt: skip
            yield Contradiction(
                "contradiction.reading_outside", values, "hull", rated.id, visit.id, seen.earliest
            )


def _matters(book: Book, known: Mapping[str, Visit]) -> Iterator[Contradiction]:
    works = {work.id: work for work in book.scalars(select(Work).where(~Work.withdrawn))}
    papers = {paper.id: paper for paper in book.scalars(select(Document))}
    for finding in book.scalars(select(Finding).where(Finding.withdrawn.is_(False))):
        work = works.get(finding.closed_by_work_id or "")
        raised = known.get(finding.raised_visit_id or "")
        if finding.status != "closed" or work is None or raised is None:
            continue
        if work.done and before(work.done, raised.begins):
            values: Values = (
                ("title", finding.title), ("done", work.done), ("raised", raised.begins),
            )  # fmt: skip
            yield Contradiction(
                "contradiction.mended_before_raised", values, "findings", finding.id, raised.id,
                work.done.earliest,
            )  # fmt: skip
    for proof in book.scalars(select(Proof).where(Proof.withdrawn.is_(False))):
        work, paper = works.get(proof.work_id or ""), papers.get(proof.document_id or "")
        done = work.done if work else paper.paper_date if paper else None
        named = work.text if work else paper.title if paper else ""
        if proof.accepted and done and before(proof.accepted, done):
            values = (("proof", named), ("accepted", proof.accepted), ("done", done))
            yield Contradiction(
                "contradiction.accepted_before_done", values, "papers", proof.recommendation_id,
                work.visit_id if work else None, proof.accepted.earliest,
            )  # fmt: skip

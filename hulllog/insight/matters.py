"""Findings across visits, notes for next time, and what surveys asked for with its proof."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import TYPE_CHECKING

from sqlalchemy import select
from sqlalchemy.orm import selectinload

from hulllog.insight.occasions import Edge, up_to
from hulllog.insight.once import once_a_reading
from hulllog.insight.overdue import Overdue, Term, overdue, term
from hulllog.records.history import record_history
from hulllog.records.model import (
    Document,
    Finding,
    FindingLink,
    FindingObservation,
    Firm,
    Gear,
    GearCheck,
    NoteForNextTime,
    Person,
    Photo,
    Proof,
    Recommendation,
    SpotObservation,
    Survey,
    Visit,
    Work,
    WorkLink,
)

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from sqlalchemy import Row

    from hulllog.records.book import Book
    from hulllog.records.values import PartialDate

MUST_ORDER = ("before_relaunch", "this_season", "next_lift", "watch")
SEVERITY_ORDER = ("severe", "moderate", "slight")


@dataclass(frozen=True, slots=True)
class Seen:
    """One observation of a finding."""

    visit_id: str
    when: PartialDate | None
    state: str
    seen: str
    severity: str | None
    text: str | None


@dataclass(frozen=True, slots=True)
class Done:
    """A piece of work: what, when, by whom, and how many papers and pictures prove it."""

    work_id: str
    text: str
    when: PartialDate | None
    by: str | None
    documents: tuple[str, ...]
    photos: int


@dataclass(frozen=True, slots=True)
class Matter:
    """A finding as it stands at an edge, with everything seen and done about it."""

    finding_id: str
    number: int
    title: str
    sort: str
    must: str
    severity: str
    status: str
    raised: PartialDate | None
    closed: PartialDate | None
    closed_by: Done | None
    seen: tuple[Seen, ...]
    done: tuple[Done, ...]
    zone_ids: tuple[str, ...]
    spot_ids: tuple[str, ...]
    gear_ids: tuple[str, ...]
    anode_position_ids: tuple[str, ...]
    note: str | None
    term: Term
    raised_visit_id: str | None = None
    found_before: tuple[PartialDate, ...] = ()
    """The days before it was raised on which something was found at its fittings or spots."""

    def overdue(self, now: datetime) -> Overdue | None:
        """Return by what it is overdue at a moment, None while it is not."""
        return overdue(self.status, self.must, self.term, now)


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A number that no finding on the page bears, and why.

    ``title`` is None where the logbook has no finding of that number at all.
    """

    number: int
    title: str | None = None
    raised: PartialDate | None = None
    withdrawn: datetime | None = None
    reason: str = ""


def left_out(book: Book) -> list[LeftOut]:
    """Return the numbers that `matters` skips: withdrawn findings, and such as never stayed."""
    findings = {one.number: one for one in book.scalars(select(Finding))}
    found = []
    for number in range(1, max(findings, default=0) + 1):
        finding = findings.get(number)
        if finding is None:
            found.append(LeftOut(number))
        elif finding.withdrawn or finding.status == "withdrawn":
            found.append(_left_out(book, finding))
    return found


def _left_out(book: Book, finding: Finding) -> LeftOut:
    visit = book.get(Visit, finding.raised_visit_id) if finding.raised_visit_id else None
    changes = [
        change
        for change in record_history(book, Finding.__tablename__, finding.id)
        if change.after.get("status") == "withdrawn" or change.after.get("withdrawn") is True
    ]
    last = changes[-1] if changes else None
    return LeftOut(
        finding.number,
        finding.title,
        visit.begins if visit else None,
        last.at if last else None,
        last.reason if last else "",
    )


@once_a_reading
def matters(book: Book, edge: Edge | None = None, *, with_withdrawn: bool = False) -> list[Matter]:
    """Return the findings raised up to the edge: open ones first, the most pressing first."""
    _known(book)
    visits = up_to(book, edge)
    seen = {visit.id: visit for visit, _ in visits}
    ended = tuple(visit.id for visit, states in visits if "left" in states)
    query = select(Finding).options(selectinload(Finding.links)).order_by(Finding.number)
    found = [
        _matter(book, finding, seen, ended)
        for finding in book.scalars(query)
        if (with_withdrawn or not (finding.withdrawn or finding.status == "withdrawn"))
        and (finding.raised_visit_id is None or finding.raised_visit_id in seen)
    ]
    return sorted(found, key=_pressing)


def _pressing(matter: Matter) -> tuple[bool, int, int, datetime, int]:
    """Order by what must happen, then by severity, then by how long it has been open."""
    must = MUST_ORDER.index(matter.must) if matter.must in MUST_ORDER else len(MUST_ORDER)
    severity = (
        SEVERITY_ORDER.index(matter.severity)
        if matter.severity in SEVERITY_ORDER
        else len(SEVERITY_ORDER)
    )
    raised = matter.raised.earliest if matter.raised else datetime.max.replace(tzinfo=UTC)
    return matter.status != "open", must, severity, raised, matter.number


def _matter(book: Book, finding: Finding, seen: dict[str, Visit], ended: tuple[str, ...]) -> Matter:
    order = {visit_id: n for n, visit_id in enumerate(seen)}
    looks = sorted(
        (o for o in _observations(book) if o.finding_id == finding.id and o.visit_id in seen),
        key=lambda o: order[o.visit_id],
    )
    links = [link for link in finding.links if not link.withdrawn]
    closed = finding.status == "closed" and (
        finding.closed_visit_id is None or finding.closed_visit_id in seen
    )
    closing = book.get(Visit, finding.closed_visit_id) if finding.closed_visit_id else None
    closed_work = book.get(Work, finding.closed_by_work_id) if finding.closed_by_work_id else None
    raised = seen.get(finding.raised_visit_id or "")
    works = _work_on(book, finding.id)
    return Matter(
        finding.id,
        finding.number,
        finding.title,
        finding.sort,
        finding.must,
        finding.severity,
        "closed" if closed else "open",
        raised.begins if raised else None,
        (
            closed_work.done
            if closed_work and closed_work.done
            else closing.begins
            if closing
            else None
        )
        if closed
        else None,
        _done(book, closed_work) if closed and closed_work else None,
        tuple(
            Seen(o.visit_id, seen[o.visit_id].begins, o.state, o.seen, o.severity, o.text)
            for o in looks
        ),
        tuple(_done(book, work) for work in works),
        tuple(link.zone_id for link in links if link.zone_id),
        tuple(link.spot_id for link in links if link.spot_id),
        tuple(link.gear_id for link in links if link.gear_id),
        tuple(link.anode_position_id for link in links if link.anode_position_id),
        finding.note,
        term(seen, ended, finding.raised_visit_id, works),
        finding.raised_visit_id,
        _found_before(book, finding, links, seen, order),
    )


def _found_before(
    book: Book,
    finding: Finding,
    links: Sequence[FindingLink],
    seen: Mapping[str, Visit],
    order: Mapping[str, int],
) -> tuple[PartialDate, ...]:
    """Return when something was found at the fittings and spots of a finding before it was raised.

    What was found at a fitting that stood there before the present one is not told of this one.
    """
    raised = order.get(finding.raised_visit_id or "", 0)
    about = {link.gear_id or link.spot_id for link in links} - {None}
    days = []
    for key, visit_id, fitted in _finds(book):
        visit = seen.get(visit_id)
        if key in about and visit and visit.begins and order[visit_id] < raised:
            past = fitted is not None and visit.begins.earliest < fitted.earliest
            days += [] if past else [visit.begins]
    return tuple(sorted(set(days)))


@once_a_reading
def _finds(book: Book) -> list[tuple[str, str, PartialDate | None]]:
    """Return (fitting or spot, visit, when fitted) of the looks that found something."""
    parts = {gear.id: gear.fitted for gear in book.scalars(select(Gear))}
    checks = select(GearCheck.gear_id, GearCheck.visit_id).where(
        GearCheck.withdrawn.is_(False), GearCheck.result == "something_found"
    )
    looks = select(SpotObservation.spot_id, SpotObservation.visit_id).where(
        SpotObservation.withdrawn.is_(False), SpotObservation.state != "left"
    )
    found = [(gear_id, visit_id, parts.get(gear_id)) for gear_id, visit_id in book.execute(checks)]
    return [*found, *((spot_id, visit_id, None) for spot_id, visit_id in book.execute(looks))]


# All of a kind is read in one go, and not again for each finding.


@once_a_reading
def _observations(book: Book) -> list[FindingObservation]:
    query = select(FindingObservation).where(FindingObservation.withdrawn.is_(False))
    return list(book.scalars(query))


@once_a_reading
def _links(book: Book) -> list[tuple[Work, WorkLink]]:
    query = select(Work, WorkLink).join(WorkLink, WorkLink.work_id == Work.id)
    return [(work, link) for work, link in book.execute(query)]


@once_a_reading
def _known(book: Book) -> list[object]:
    """Read persons, firms and papers: while they are held, ``get`` finds them without a query."""
    return [one for model in (Person, Firm, Document) for one in book.scalars(select(model))]


def _work_on(book: Book, finding_id: str) -> list[Work]:
    found = (work for work, link in _links(book) if link.finding_id == finding_id)
    return [work for work in dict.fromkeys(found) if not work.withdrawn]


def _done(book: Book, work: Work) -> Done:
    links = [link for linked, link in _links(book) if linked.id == work.id]
    documents = [book.get(Document, link.document_id) for link in links if link.document_id]
    return Done(
        work.id,
        work.text,
        work.done,
        _who(book, work.person_id, work.firm_id),
        tuple(paper.title for paper in documents if paper),
        sum(link.photo_id is not None for link in links),
    )


def _who(book: Book, person_id: str | None, firm_id: str | None) -> str | None:
    person = book.get(Person, person_id) if person_id else None
    firm = book.get(Firm, firm_id) if firm_id else None
    names = [named.name for named in (person, firm) if named]
    return ", ".join(names) or None


PROOF_KINDS = ("third_party", "paper", "photo", "owner")
"""What stands behind a proof, the strongest first: a paper that others write, a paper of another
sort, a photograph, the owner's entry alone."""
_OF_OTHERS = frozenset({"invoice", "survey", "letter", "certificate"})


@dataclass(frozen=True, slots=True)
class Asked:
    """A recommendation of a survey, with its proof: met, or not yet proved."""

    recommendation_id: str
    survey_id: str
    asked_by: str | None
    surveyor: str | None
    survey_date: PartialDate | None
    number: str
    wording: str
    survey_class: str | None
    due: PartialDate | None
    finding_id: str | None
    proofs: tuple[ProofSeen, ...]
    asked_before: PartialDate | None = None
    """When an earlier survey asked for the same; None where none did."""
    reference: str | None = None
    """The number of the survey's report."""

    @property
    def proved(self) -> bool:
        """Tell whether at least one proof is on record."""
        return bool(self.proofs)

    @property
    def unlinked(self) -> tuple[str, ...]:
        """Return the papers on file that may prove it, where no linked paper of others does."""
        if self.best_proof == "third_party":
            return ()
        found = (title for proof in self.proofs for title in proof.unlinked)
        return tuple(dict.fromkeys(found))

    @property
    def letter(self) -> bool:
        """Tell whether a letter is among its proofs."""
        return any(proof.letter for proof in self.proofs)

    @property
    def best_proof(self) -> str | None:
        """Return the kind of its strongest proof; None without one."""
        return min((proof.kind for proof in self.proofs), key=PROOF_KINDS.index, default=None)


@dataclass(frozen=True, slots=True)
class ProofSeen:
    """A proof: a work with its date, a paper, a photograph; and who accepted it, when.

    ``kind`` is what it is worth: one of ``PROOF_KINDS``.
    """

    sort: str
    kind: str
    text: str
    when: PartialDate | None
    accepted_by: str | None
    accepted: PartialDate | None
    letter: bool = False
    """Whether it is a letter that is on file."""
    papers: tuple[str, ...] = ()
    """The papers on file that hang on a work; its own entry is no paper."""
    invoice: bool = False
    """Whether an invoice is among them."""
    unlinked: tuple[str, ...] = ()
    """Papers on file of the same visit or day as the work that nobody linked to anything."""


@once_a_reading
def asked(book: Book) -> list[Asked]:
    """Return all recommendations, newest survey last, each with its proofs.

    One is the same as an earlier survey's where both stand for the same finding, or are worded
    alike but for case and stops (our own rule).
    """
    _known(book)
    query = (
        select(Recommendation, Survey)
        .join(Survey, Survey.id == Recommendation.survey_id)
        .where(Recommendation.withdrawn.is_(False), Survey.withdrawn.is_(False))
        .options(selectinload(Recommendation.proofs))
    )
    rows = sorted(book.execute(query).all(), key=_asked_order)
    return [
        Asked(
            item.id,
            survey.id,
            survey.asked_by,
            _who(book, survey.person_id, survey.firm_id),
            survey.at,
            item.number,
            item.wording,
            item.survey_class,
            item.due,
            item.finding_id,
            tuple(
                seen
                for proof in item.proofs
                if not proof.withdrawn
                for seen in [_proof(book, proof)]
            ),
            _asked_before(item, survey, rows),
            survey.reference,
        )
        for item, survey in rows
    ]


def _asked_before(
    item: Recommendation, survey: Survey, rows: Sequence[Row[Recommendation, Survey]]
) -> PartialDate | None:
    """Return the day of the latest earlier survey that asked for the same."""
    found = [
        earlier.at
        for other, earlier in rows
        if earlier.id != survey.id
        and earlier.at is not None
        and survey.at is not None
        and earlier.at < survey.at
        and (
            (item.finding_id is not None and item.finding_id == other.finding_id)
            or _plain(item.wording) == _plain(other.wording)
        )
    ]
    return max(found, default=None)


def _plain(wording: str) -> str:
    return " ".join(re.findall(r"\w+", wording.casefold()))


def _asked_order(row: Row[Recommendation, Survey]) -> tuple[datetime, str]:
    item, survey = row
    return survey.at.earliest if survey.at else survey.entered_at, item.number


def _proof(book: Book, proof: Proof) -> ProofSeen:
    work = book.get(Work, proof.work_id) if proof.work_id else None
    paper = book.get(Document, proof.document_id) if proof.document_id else None
    accepted = proof.accepted_by, proof.accepted
    if work:
        behind = _behind(book, work)
        loose = () if behind == "third_party" else _unlinked(book, work)
        held = _papers_of(book, work)
        return ProofSeen(
            "work",
            behind,
            work.text,
            work.done,
            *accepted,
            papers=tuple(paper.title for paper in held),
            invoice=any(paper.sort == "invoice" for paper in held),
            unlinked=loose,
        )
    if paper:
        letter = paper.sort == "letter" and paper.sha256 is not None
        return ProofSeen(
            "document", _kind_of(paper), paper.title, paper.paper_date, *accepted, letter
        )
    photo = book.get(Photo, proof.photo_id) if proof.photo_id else None
    title = (photo.caption or photo.file_name) if photo else ""
    return ProofSeen("photo", "photo", title, photo.captured if photo else None, *accepted)


def _unlinked(book: Book, work: Work) -> tuple[str, ...]:
    """Return the papers on file of a work's visit or day that hang on no work and no proof."""
    hung = {link.document_id for _, link in _links(book) if not link.withdrawn}
    hung |= set(book.scalars(select(Proof.document_id).where(Proof.withdrawn.is_(False))))
    return tuple(
        paper.title
        for paper in book.scalars(select(Document).where(Document.withdrawn.is_(False)))
        if paper.id not in hung
        and _kind_of(paper) == "third_party"
        and paper.sort != "survey"
        and (_same_visit(paper, work) or _same_day(paper, work))
    )


def _same_visit(paper: Document, work: Work) -> bool:
    return paper.visit_id is not None and paper.visit_id == work.visit_id


def _same_day(paper: Document, work: Work) -> bool:
    if paper.paper_date is None or work.done is None or paper.paper_date.precision != "day":
        return False
    return paper.paper_date.earliest <= work.done.middle <= paper.paper_date.latest


def _kind_of(paper: Document) -> str:
    """Return what a paper is worth: one that is only named is the owner's word."""
    if paper.sha256 is None:
        return "owner"
    return "third_party" if paper.sort in _OF_OTHERS else "paper"


def _papers_of(book: Book, work: Work) -> list[Document]:
    """Return the papers on file that hang on an entry of work."""
    found = [
        book.get(Document, link.document_id)
        for linked, link in _links(book)
        if linked.id == work.id and link.document_id and not link.withdrawn
    ]
    return [paper for paper in found if paper and not paper.withdrawn and paper.sha256]


def _behind(book: Book, work: Work) -> str:
    """Return the kind of the strongest thing that hangs on an entry of work."""
    kinds = ["owner"]
    for linked, link in _links(book):
        paper = book.get(Document, link.document_id) if link.document_id else None
        if linked.id != work.id or link.withdrawn:
            continue
        kinds += [_kind_of(paper)] if paper and not paper.withdrawn else []
        kinds += ["photo"] if link.photo_id else []
    return min(kinds, key=PROOF_KINDS.index)


@dataclass(frozen=True, slots=True)
class NoteSeen:
    """A note for next time and how it was answered."""

    note_id: str
    text: str
    raised: PartialDate | None
    answer: str | None
    answered: PartialDate | None


def notes_for_next_time(book: Book, *, open_only: bool = False) -> list[NoteSeen]:
    """Return the notes raised, the oldest first."""
    query = select(NoteForNextTime).where(NoteForNextTime.withdrawn.is_(False))
    found = []
    for note in book.scalars(query.order_by(NoteForNextTime.entered_at)):
        visit = book.get(Visit, note.answered_visit_id) if note.answered_visit_id else None
        raised = book.get(Visit, note.raised_visit_id) if note.raised_visit_id else None
        if open_only and (visit or note.answer):
            continue
        found.append(
            NoteSeen(
                note.id,
                note.text,
                note.raised or (raised.begins if raised else None),
                note.answer,
                visit.begins if visit else None,
            )
        )
    return found

"""Matters: findings, the work that closes them, surveys and what they asked for."""

from __future__ import annotations

from typing import TYPE_CHECKING

from sqlalchemy import select

from hulllog.records.errors import Refused
from hulllog.records.model import (
    AnodePosition,
    Document,
    Finding,
    FindingLink,
    FindingObservation,
    Firm,
    Gear,
    Person,
    Photo,
    Proof,
    Recommendation,
    Spot,
    Survey,
    Visit,
    Work,
    WorkLink,
    Zone,
)
from hulllog.records.operations import choices, queries
from hulllog.records.operations import typed as t
from hulllog.records.operations.keeping import change_fields, make, name_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hulllog.records.book import Book
    from hulllog.records.logbook import Logbook

FINDING: t.Fields = {
    "title": t.name(),
    "sort": t.one_of(choices.FINDING_SORTS, wanted=True),
    "must": t.one_of(choices.MUSTS, wanted=True),
    "severity": t.one_of(choices.SEVERITIES, wanted=True),
    "raised_visit_id": t.link(Visit),
    "note": t.NOTE,
    "basis": t.BASIS,
}
OBSERVATION: t.Fields = {
    "state": t.one_of(choices.STATES, wanted=True),
    "seen": t.one_of(choices.FINDING_SEEN, wanted=True),
    "severity": t.one_of(choices.SEVERITIES),
    "text": t.text(),
    "basis": t.BASIS,
}
WORK: t.Fields = {
    "visit_id": t.link(Visit),
    "text": t.text(wanted=True),
    "done": t.date(future=False),
    "person_id": t.link(Person),
    "firm_id": t.link(Firm),
    "basis": t.BASIS,
}
SURVEY: t.Fields = {
    "visit_id": t.link(Visit),
    "person_id": t.link(Person),
    "firm_id": t.link(Firm),
    "asked_by": t.one_of(choices.ASKED_BY),
    "at": t.date(wanted=True, future=False),
    "reference": t.name(wanted=False),
    "document_id": t.link(Document),
    "basis": t.BASIS,
}
RECOMMENDATION: t.Fields = {
    "number": t.name(),
    "wording": t.text(wanted=True),
    "survey_class": t.name(wanted=False),
    "due": t.date(),
    "finding_id": t.link(Finding),
}
PROOF: t.Fields = {
    "work_id": t.link(Work),
    "document_id": t.link(Document),
    "photo_id": t.link(Photo),
    "accepted_by": t.name(wanted=False),
    "accepted": t.date(future=False),
}
ABOUT = {
    "spot_id": Spot,
    "zone_id": Zone,
    "gear_id": Gear,
    "anode_position_id": AnodePosition,
}
"""What a finding may be about."""


def raise_finding(
    logbook: Logbook,
    *,
    title: str,
    sort: str,
    must: str = "watch",
    severity: str = "slight",
    visit_id: str | None = None,
    spots: Sequence[str] = (),
    zones: Sequence[str] = (),
    gear: Sequence[str] = (),
    anode_positions: Sequence[str] = (),
    note: str | None = None,
    basis: str = "at_the_time",
) -> str:
    """Raise a finding: something that wants watching or action."""
    typed = {
        "title": title, "sort": sort, "must": must, "severity": severity,
        "raised_visit_id": visit_id, "note": note, "basis": basis,
    }  # fmt: skip
    about = {
        "spot_id": spots, "zone_id": zones, "gear_id": gear,
        "anode_position_id": anode_positions,
    }  # fmt: skip
    with logbook.change("finding.raise", title=title) as book:
        return _new_finding(book, typed, about).id


def _new_finding(book: Book, typed: dict[str, t.Typed], about: dict[str, Sequence[str]]) -> Finding:
    finding = Finding(
        number=queries.next_number(book, Finding), status="open", **t.read(book, FINDING, typed)
    )
    for field, keys in about.items():
        for key in keys:
            t.needed(book, ABOUT[field], key, field)
            finding.links.append(FindingLink(**{field: key}))
    book.add(finding)
    book.flush()
    return finding


def set_finding(
    logbook: Logbook, finding_id: str, field: str, typed: t.Typed, *, reason: str | None = None
) -> None:
    """Set a field of FINDING."""
    change_fields(
        logbook, "finding.set", Finding, finding_id, FINDING, {field: typed},
        reason=reason, field=field,
    )  # fmt: skip


def link_finding(logbook: Logbook, finding_id: str, **about: str) -> str:
    """Say that a finding is about a spot_id, zone_id, gear_id or anode_position_id."""
    title = name_of(logbook, Finding, finding_id, "finding")
    with logbook.change("finding.link", title=title) as book:
        t.needed(book, Finding, finding_id)
        for field, key in about.items():
            t.needed(book, ABOUT[field], key, field)
        return make(book, FindingLink, {"finding_id": finding_id, **about})


def observe_finding(
    logbook: Logbook,
    finding_id: str,
    visit_id: str,
    *,
    seen: str,
    state: str = "found",
    severity: str | None = None,
    text: str | None = None,
    basis: str = "at_the_time",
) -> str:
    """Enter what was seen of a finding at a visit; a severity given becomes the finding's own."""
    title = name_of(logbook, Finding, finding_id, "finding")
    typed = {"seen": seen, "state": state, "severity": severity, "text": text, "basis": basis}
    with logbook.change("finding.observe", title=title, seen=seen) as book:
        finding = t.needed(book, Finding, finding_id)
        t.needed(book, Visit, visit_id, "visit")
        values = t.read(book, OBSERVATION, typed)
        if values["severity"]:
            finding.severity = values["severity"]
        return make(
            book, FindingObservation, {"finding_id": finding_id, "visit_id": visit_id, **values}
        )


def close_by_work(
    logbook: Logbook, finding_id: str, work_id: str, *, visit_id: str | None = None
) -> None:
    """Close a finding by the work that put it right."""
    title = name_of(logbook, Finding, finding_id, "finding")
    with logbook.change("finding.close", title=title) as book:
        finding = t.needed(book, Finding, finding_id)
        work = t.needed(book, Work, work_id, "work")
        _refuse_not_open(finding)
        finding.status = "closed"
        finding.closed_by_work_id = work.id
        finding.closed_visit_id = visit_id or work.visit_id
        if all(link.finding_id != finding.id for link in work.links):
            work.links.append(WorkLink(finding_id=finding.id))


def _refuse_not_open(finding: Finding) -> None:
    if finding.status != "open":
        raise Refused("finding_not_open", title=finding.title)


def withdraw_finding(logbook: Logbook, finding_id: str, *, reason: str) -> None:
    """Withdraw a finding that was none, with the reason."""
    if not reason.strip():
        raise Refused("text_wanted", field="reason")
    title = name_of(logbook, Finding, finding_id, "finding")
    with logbook.change("finding.withdraw", reason=reason, title=title) as book:
        finding = t.needed(book, Finding, finding_id)
        _refuse_not_open(finding)
        finding.status = "withdrawn"


def reopen_finding(logbook: Logbook, finding_id: str, *, reason: str) -> None:
    """Open a closed or withdrawn finding again: it came back."""
    if not reason.strip():
        raise Refused("text_wanted", field="reason")
    title = name_of(logbook, Finding, finding_id, "finding")
    with logbook.change("finding.reopen", reason=reason, title=title) as book:
        finding = t.needed(book, Finding, finding_id)
        if finding.status == "open":
            raise Refused("finding_open_already", title=finding.title)
        finding.status = "open"
        finding.closed_visit_id = finding.closed_by_work_id = None


def split_finding(
    logbook: Logbook,
    finding_id: str,
    *,
    title: str,
    spots: Sequence[str] = (),
    zones: Sequence[str] = (),
) -> str:
    """Make a second finding out of one, with the spots and zones that go with it."""
    with logbook.change("finding.split", title=title) as book:
        first = t.needed(book, Finding, finding_id, "finding")
        _refuse_not_open(first)
        typed = {
            "title": title, "sort": first.sort, "must": first.must, "severity": first.severity,
            "raised_visit_id": first.raised_visit_id, "basis": first.basis,
        }  # fmt: skip
        second = _new_finding(book, typed, {"spot_id": spots, "zone_id": zones})
        second.split_from_id = first.id
        for link in first.links:
            if link.spot_id in spots or link.zone_id in zones:
                link.withdrawn = True
        return second.id


def merge_findings(logbook: Logbook, into_id: str, other_id: str) -> None:
    """Make one finding of two that are the same: the other's places, looks and work go along.

    The other is withdrawn with the reason, and its number is never used again.
    """
    title = name_of(logbook, Finding, into_id, "finding")
    with logbook.read() as book:
        number = t.needed(book, Finding, into_id, "finding").number
    with logbook.change("finding.merge", reason=f"No. {number}", title=title) as book:
        into = t.needed(book, Finding, into_id, "finding")
        other = t.needed(book, Finding, other_id, "other")
        if into.id == other.id:
            raise Refused("same_finding", field="other")
        for finding in (into, other):
            _refuse_not_open(finding)
        places = ("spot_id", "zone_id", "gear_id", "anode_position_id")
        held = {tuple(getattr(link, name) for name in places) for link in into.links}
        for link in other.links:
            place = tuple(getattr(link, name) for name in places)
            if not link.withdrawn and place not in held:
                into.links.append(FindingLink(**dict(zip(places, place, strict=True))))
        for look in book.scalars(select(FindingObservation).filter_by(finding_id=other.id)):
            look.finding_id = into.id
        for done in book.scalars(select(WorkLink).filter_by(finding_id=other.id)):
            done.finding_id = into.id
        for item in book.scalars(select(Recommendation).filter_by(finding_id=other.id)):
            item.finding_id = into.id
        other.status = "withdrawn"


# Work


def add_work(
    logbook: Logbook,
    *,
    text: str,
    visit_id: str | None = None,
    done: t.When | None = None,
    person_id: str | None = None,
    firm_id: str | None = None,
    findings: Sequence[str] = (),
    documents: Sequence[str] = (),
    photos: Sequence[str] = (),
    closes: Sequence[str] = (),
    basis: str = "at_the_time",
) -> str:
    """Enter what was done, by whom, when; ``closes`` are findings that it puts right."""
    typed = {
        "text": text, "visit_id": visit_id, "done": done, "person_id": person_id,
        "firm_id": firm_id, "basis": basis,
    }  # fmt: skip
    with logbook.change("work.add", text=text[:60]) as book:
        work = Work(**t.read(book, WORK, typed))
        linked = [*((Finding, "finding_id", key) for key in dict.fromkeys((*findings, *closes)))]
        linked += [(Document, "document_id", key) for key in documents]  # type: ignore[misc]
        linked += [(Photo, "photo_id", key) for key in photos]  # type: ignore[misc]
        for model, field, key in linked:
            t.needed(book, model, key, field)
            work.links.append(WorkLink(**{field: key}))
        book.add(work)
        book.flush()
        for finding_id in closes:
            close_by_work(logbook, finding_id, work.id, visit_id=visit_id)
    return work.id


def link_work(logbook: Logbook, work_id: str, **target: str) -> str:
    """Link work to a finding_id, document_id or photo_id."""
    models = {"finding_id": Finding, "document_id": Document, "photo_id": Photo}
    about = name_of(logbook, Work, work_id, "work")
    with logbook.change("work.link", text=about) as book:
        t.needed(book, Work, work_id)
        for field, key in target.items():
            t.needed(book, models[field], key, field)
        return make(book, WorkLink, {"work_id": work_id, **target})


# Surveys


def add_survey(logbook: Logbook, *, at: t.When, **typed: t.Typed) -> str:
    """Enter a survey: when, by whom, for whom, its paper."""
    with logbook.change("survey.add", asked_by=str(typed.get("asked_by") or "")) as book:
        return make(book, Survey, t.read(book, SURVEY, {"at": at, **typed}))


def add_recommendation(
    logbook: Logbook, survey_id: str, *, number: str, wording: str, **typed: t.Typed
) -> str:
    """Enter what a survey asked for, in its own wording and class."""
    with logbook.change("recommendation.add", number=number) as book:
        t.needed(book, Survey, survey_id, "survey")
        values = t.read(book, RECOMMENDATION, {"number": number, "wording": wording, **typed})
        return make(book, Recommendation, {"survey_id": survey_id, **values})


def add_proof(logbook: Logbook, recommendation_id: str, **typed: t.Typed) -> str:
    """Enter what proves that a recommendation was met: work, document or photo."""
    with logbook.read() as book:
        number = t.needed(book, Recommendation, recommendation_id, "recommendation").number
    with logbook.change("proof.add", number=number) as book:
        values = t.read(book, PROOF, typed)
        if not any(values.get(field) for field in ("work_id", "document_id", "photo_id")):
            raise Refused("choice_wanted", field="work_id")
        return make(book, Proof, {"recommendation_id": recommendation_id, **values})


def accept_proof(logbook: Logbook, proof_id: str, *, by: str, on: t.When) -> None:
    """Say who accepted a proof, and when."""
    fields = {"accepted_by": t.name(), "accepted": t.date(wanted=True, future=False)}
    change_fields(
        logbook, "proof.accept", Proof, proof_id, fields,
        {"accepted_by": by, "accepted": on}, by=by,
    )  # fmt: skip

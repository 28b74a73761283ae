"""Matters: findings, work, surveys and what they asked for, limits and due rules."""

from __future__ import annotations

from typing import Any

from sqlalchemy.orm import Mapped, mapped_column, relationship

from hulllog.records.base import Base, Kept, dated, measured, refers
from hulllog.records.values import Measured, PartialDate


class Finding(Kept, Base):
    """Something that wants watching or action, alive across visits."""

    __tablename__ = "finding"

    number: Mapped[int]
    title: Mapped[str]
    sort: Mapped[str]
    """blisters, rust, crack, damage, coating, wear, leak, corrosion, other."""
    must: Mapped[str]
    """before_relaunch, this_season, next_lift, watch."""
    severity: Mapped[str]
    """slight, moderate, severe."""
    status: Mapped[str] = mapped_column(default="open")
    """open, closed, withdrawn."""
    raised_visit_id: Mapped[str | None] = refers("visit", optional=True)
    closed_visit_id: Mapped[str | None] = refers("visit", optional=True)
    closed_by_work_id: Mapped[str | None] = refers("work", optional=True)
    split_from_id: Mapped[str | None] = refers("finding", optional=True)
    note: Mapped[str | None]
    links: Mapped[list[FindingLink]] = relationship(cascade="all, delete-orphan")


class FindingLink(Kept, Base):
    """A spot, zone or piece of gear that a finding is about."""

    __tablename__ = "finding_link"

    finding_id: Mapped[str] = refers("finding")
    spot_id: Mapped[str | None] = refers("spot", optional=True)
    zone_id: Mapped[str | None] = refers("zone", optional=True)
    gear_id: Mapped[str | None] = refers("gear", optional=True)
    anode_position_id: Mapped[str | None] = refers("anode_position", optional=True)


class FindingObservation(Kept, Base):
    """What was seen of a finding at one visit."""

    __tablename__ = "finding_observation"

    finding_id: Mapped[str] = refers("finding")
    visit_id: Mapped[str] = refers("visit")
    state: Mapped[str]
    seen: Mapped[str]
    """present, not_found, not_seen."""
    severity: Mapped[str | None]
    text: Mapped[str | None]


class Work(Kept, Base):
    """What was done, by whom, when."""

    __tablename__ = "work"

    visit_id: Mapped[str | None] = refers("visit", optional=True)
    text: Mapped[str]
    done: Mapped[PartialDate | None] = dated("done")
    person_id: Mapped[str | None] = refers("person", optional=True)
    firm_id: Mapped[str | None] = refers("firm", optional=True)
    links: Mapped[list[WorkLink]] = relationship(cascade="all, delete-orphan")


class WorkLink(Kept, Base):
    """What a piece of work belongs to: a finding, a document, a photo."""

    __tablename__ = "work_link"

    work_id: Mapped[str] = refers("work")
    finding_id: Mapped[str | None] = refers("finding", optional=True)
    document_id: Mapped[str | None] = refers("document", optional=True)
    photo_id: Mapped[str | None] = refers("photo", optional=True)


class Survey(Kept, Base):
    """A survey: its visit, who made it, for whom."""

    __tablename__ = "survey"

    visit_id: Mapped[str | None] = refers("visit", optional=True)
    person_id: Mapped[str | None] = refers("person", optional=True)
    firm_id: Mapped[str | None] = refers("firm", optional=True)
    asked_by: Mapped[str | None]
    """insurer, buyer, owner, lender."""
    at: Mapped[PartialDate | None] = dated("at")
    reference: Mapped[str | None]
    document_id: Mapped[str | None] = refers("document", optional=True)


class Recommendation(Kept, Base):
    """What a survey asked for, in its own wording and class."""

    __tablename__ = "recommendation"

    survey_id: Mapped[str] = refers("survey")
    number: Mapped[str]
    wording: Mapped[str]
    survey_class: Mapped[str | None]
    due: Mapped[PartialDate | None] = dated("due")
    finding_id: Mapped[str | None] = refers("finding", optional=True)
    proofs: Mapped[list[Proof]] = relationship(cascade="all, delete-orphan")


class Proof(Kept, Base):
    """What proves that a recommendation was met."""

    __tablename__ = "proof"

    recommendation_id: Mapped[str] = refers("recommendation")
    work_id: Mapped[str | None] = refers("work", optional=True)
    document_id: Mapped[str | None] = refers("document", optional=True)
    photo_id: Mapped[str | None] = refers("photo", optional=True)
    accepted_by: Mapped[str | None]
    accepted: Mapped[PartialDate | None] = dated("accepted")


class Limit(Kept, Base):
    """A value the owner set for a kind, with who set it, source and date."""

    __tablename__ = "owner_limit"

    kind: Mapped[str]
    component: Mapped[str]
    value: Mapped[Measured | None] = measured("value")
    set_by: Mapped[str]
    source: Mapped[str | None]
    set_on: Mapped[PartialDate | None] = dated("set_on")


class DueRule(Kept, Base):
    """A rule the owner set: what comes due, how often, from what source."""

    __tablename__ = "due_rule"

    subject: Mapped[str]
    every: Mapped[Measured | None] = measured("every")
    source: Mapped[str | None]
    details: Mapped[dict[str, Any]]

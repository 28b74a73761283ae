"""What stands around the boat: persons, firms, documents, costs, issued histories, plans."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from sqlalchemy.orm import Mapped

from hulllog.records.base import Base, Kept, dated, refers
from hulllog.records.values import PartialDate


class Person(Kept, Base):
    """A person and the role in which they appear."""

    __tablename__ = "person"

    name: Mapped[str]
    role: Mapped[str]
    """owner, former_owner, yard_hand, surveyor, friend, other."""
    firm_id: Mapped[str | None] = refers("firm", optional=True)


class Firm(Kept, Base):
    """A yard, a chandler, an insurer."""

    __tablename__ = "firm"

    name: Mapped[str]
    sort: Mapped[str]


class Document(Kept, Base):
    """A paper kept as a file: invoice, survey report, data sheet, letter."""

    __tablename__ = "document"

    title: Mapped[str]
    sort: Mapped[str]
    sha256: Mapped[str | None]
    media_type: Mapped[str | None]
    size: Mapped[int | None]
    file_name: Mapped[str | None]
    paper_date: Mapped[PartialDate | None] = dated("paper_date")
    visit_id: Mapped[str | None] = refers("visit", optional=True)


class CostLine(Kept, Base):
    """A sum of money as on the paper; never converted."""

    __tablename__ = "cost_line"

    visit_id: Mapped[str | None] = refers("visit", optional=True)
    document_id: Mapped[str | None] = refers("document", optional=True)
    what: Mapped[str]
    amount: Mapped[str]
    currency: Mapped[str]


class IssuedHistory(Kept, Base):
    """A condition history that left the owner's hands: to whom, how, at which head."""

    __tablename__ = "issued_history"

    issued_at: Mapped[datetime]
    to_whom: Mapped[str | None]
    reader: Mapped[str]
    """insurer, buyer, surveyor."""
    options: Mapped[dict[str, Any]]
    head: Mapped[str]
    """Head of the journal before this record was entered."""
    file_sha256: Mapped[str]
    file_name: Mapped[str]


class Plan(Kept, Base):
    """Work that is meant to be done in a slot: what the owner typed, and the tasks that fit."""

    __tablename__ = "slot_plan"

    name: Mapped[str]
    visit_id: Mapped[str | None] = refers("visit", optional=True)
    """The haul-out that it became."""
    asked: Mapped[dict[str, Any]]
    """The slot and the work as typed."""
    verdict: Mapped[str]
    """fits, part, none."""


class PlanTask(Kept, Base):
    """One task of a plan, by the clock of the place."""

    __tablename__ = "plan_task"

    plan_id: Mapped[str] = refers("slot_plan")
    code: Mapped[str]
    area: Mapped[str]
    number: Mapped[int]
    begins: Mapped[datetime]
    ends: Mapped[datetime]

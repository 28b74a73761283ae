"""Spots: places followed over the years, and what was seen of them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from hulllog.records.errors import Refused
from hulllog.records.model import Spot, SpotObservation, Visit, Zone
from hulllog.records.operations import choices, measuring, queries
from hulllog.records.operations import typed as t

if TYPE_CHECKING:
    from hulllog.records.book import Book
    from hulllog.records.logbook import Logbook

SPOT: t.Fields = {
    "label": t.name(),
    "place": t.place(),
    "zone_id": t.link(Zone),
    "opened_visit_id": t.link(Visit),
    "basis": t.BASIS,
}
OBSERVATION: t.Fields = {
    "state": t.one_of(choices.STATES, wanted=True),
    "coverage": t.one_of(choices.COVERAGES, wanted=True),
    "result": t.one_of(choices.RESULTS),
    "text": t.text(),
    "basis": t.BASIS,
}


def add_spot(
    logbook: Logbook,
    *,
    label: str,
    place: t.Typed = None,
    zone_id: str | None = None,
    visit_id: str | None = None,
    basis: str = "at_the_time",
) -> str:
    """Begin to follow a place, under the next number; a number is never given twice."""
    typed = {
        "label": label, "place": place, "zone_id": zone_id, "opened_visit_id": visit_id,
        "basis": basis,
    }  # fmt: skip
    with logbook.read() as book:
        number = queries.next_number(book, Spot)
    with logbook.change("spot.add", number=number, label=label) as book:
        return _new_spot(book, typed).id


def _new_spot(book: Book, typed: dict[str, t.Typed]) -> Spot:
    spot = Spot(number=queries.next_number(book, Spot), **t.read(book, SPOT, typed))
    book.add(spot)
    book.flush()
    return spot


def _numbered(logbook: Logbook, spot_id: str) -> int:
    with logbook.read() as book:
        return t.needed(book, Spot, spot_id, "spot").number


def observe_spot(
    logbook: Logbook,
    spot_id: str,
    visit_id: str,
    *,
    state: str = "found",
    coverage: str = "whole",
    result: str | None = None,
    ratings: Sequence[measuring.Rated] = (),
    text: str | None = None,
    basis: str = "at_the_time",
) -> str:
    """Enter what was seen of a spot at a visit, with the ratings made of it."""
    typed = {
        "state": state, "coverage": coverage, "result": result, "text": text, "basis": basis,
    }  # fmt: skip
    with logbook.change("spot.observe", number=_numbered(logbook, spot_id)) as book:
        return new_observation(book, spot_id, visit_id, typed, ratings).id


def correct_observation(
    logbook: Logbook,
    observation_id: str,
    *,
    ratings: Sequence[measuring.Rated] = (),
    reason: str | None = None,
    **typed: t.Typed,
) -> str:
    """Put another look at a spot in the place of one that was entered wrongly; it stays, hidden."""
    with logbook.read() as book:
        wrong = t.needed(book, SpotObservation, observation_id, "spot_observation")
    number = _numbered(logbook, wrong.spot_id)
    with logbook.change("spot.observe", reason=reason, number=number) as book:
        wrong = t.needed(book, SpotObservation, observation_id)
        wrong.withdrawn = True
        kept = {field: getattr(wrong, field) for field in ("state", "coverage", "text", "basis")}
        fields = {**kept, "result": None, **typed}
        return new_observation(book, wrong.spot_id, wrong.visit_id, fields, ratings).id


def new_observation(
    book: Book,
    spot_id: str,
    visit_id: str,
    typed: dict[str, t.Typed],
    ratings: Sequence[measuring.Rated] = (),
) -> SpotObservation:
    """Add an observation with its ratings inside a change."""
    visit = t.needed(book, Visit, visit_id, "visit")
    t.needed(book, Spot, spot_id, "spot")
    values = t.read(book, OBSERVATION, typed, zone=visit.time_zone)
    seen = values["coverage"] in choices.SEEN_COVERAGES
    if seen and not values["result"]:
        values["result"] = measuring.result_of(ratings) if ratings else "something_found"
    if not seen and values["result"]:
        raise Refused("result_of_unseen", field="result")
    made = SpotObservation(spot_id=spot_id, visit_id=visit_id, **values)
    book.add(made)
    book.flush()
    for rated in ratings:
        measuring.new_set(book, rated, state=made.state, visit=visit, observation=made)
    return made


def move_spot(
    logbook: Logbook,
    spot_id: str,
    place: t.Typed,
    *,
    zone_id: str | None = None,
    reason: str | None = None,
) -> None:
    """Put a spot in another place; what was seen of it stays."""
    with logbook.change("spot.move", reason=reason, number=_numbered(logbook, spot_id)) as book:
        spot = t.needed(book, Spot, spot_id)
        values = t.read(book, SPOT, {"place": place, "zone_id": zone_id or spot.zone_id})
        spot.place, spot.zone_id = values["place"], values["zone_id"]


def set_label(logbook: Logbook, spot_id: str, label: str) -> None:
    """Give a spot another label; its number stays."""
    with logbook.change("spot.label", number=_numbered(logbook, spot_id)) as book:
        spot = t.needed(book, Spot, spot_id)
        spot.label = t.read(book, SPOT, {"label": label})["label"]


def withdraw_spot(logbook: Logbook, spot_id: str, *, reason: str | None = None) -> None:
    """Hide a spot and keep it; its number is not given again."""
    number = _numbered(logbook, spot_id)
    with logbook.change("spot.withdraw", reason=reason, number=number) as book:
        t.needed(book, Spot, spot_id).withdrawn = True

"""Folders of photographs sorted by the zone cards in them: read, placed, and what is left to ask.

Reading runs on a worker with a progress line and a Cancel; nothing is taken in before it is done.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from hulllog.insight.cardsorting import Seen, Sorted, sort_by_cards
from hulllog.records.errors import Refused
from hulllog.records.media import ImportReport, import_photos
from hulllog.records.operations import queries
from hulllog.records.operations.photos import sort_photos
from hulllog.records.pictures import LARGEST_FILE, taken_by

if TYPE_CHECKING:
    from hulllog.desktop.photos.intake import Shows
    from hulllog.desktop.tasks import Progress
    from hulllog.records.logbook import Logbook


@dataclass(frozen=True, slots=True)
class Held:
    """A card that could not be read: its photograph, and those after it that wait for its zone."""

    card_id: str
    photo_ids: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ClockSeen:
    """A photograph of the clock card: of which camera, and what that camera's clock showed."""

    photo_id: str
    camera: str


@dataclass(frozen=True, slots=True)
class Placed:
    """What became of a folder: the import, and what is left to ask."""

    report: ImportReport
    placed: int
    zones: int
    held: tuple[Held, ...]
    clocks: tuple[ClockSeen, ...]
    strangers: tuple[str, ...]
    """Names of the files that show a card of another boat."""


def read_pictures(files: Sequence[Path], progress: Progress) -> list[Seen]:
    """Look for a card in every picture; what is no picture is left to the import.

    Raises Cancelled.
    """
    from hulllog.records.cardreading import read_card

    found = []
    for number, file in enumerate(files):
        progress(number, len(files))
        try:
            if file.stat().st_size > LARGEST_FILE:
                continue
            data = file.read_bytes()
            found.append(Seen(file, *taken_by(data), read_card(data, progress.check)))
        except (OSError, Refused):
            continue
    progress(len(files), len(files))
    return found


def sort_here(logbook: Logbook, seen: Sequence[Seen]) -> Sorted:
    """Sort pictures by the zones that this boat has now."""
    with logbook.read() as book:
        zones = [zone.id for zone, _ in queries.zones_at(book)]
    return sort_by_cards(seen, zones)


def take_sorted(
    logbook: Logbook, files: Sequence[Path], shows: Shows, by_card: Sorted, progress: Progress
) -> Placed:
    """Take photographs in and put each to the zone of its card, all as one entry."""
    with logbook.change("photo.import", kind="import", count=len(files)):
        report = import_photos(logbook, files, shows.visit_id, state=shows.state, progress=progress)
        key = {one.file: one.photo_id for one in [*report.done, *report.already]}
        zones = {key[file]: zone for file, zone in by_card.zones.items() if file in key}
        scales = {
            key[file]: card.rule
            for file, card in by_card.cards.items()
            if file in key and card.rule
        }
        if zones:
            sort_photos(logbook, zones, scales)
    return Placed(
        report,
        len(zones),
        len(set(zones.values())),
        tuple(
            Held(key[card], tuple(key[file] for file in after if file in key))
            for card, after in by_card.unread
            if card in key
        ),
        tuple(
            ClockSeen(key[one.file], one.camera)
            for one in by_card.clocks
            if one.file in key and one.camera
        ),
        tuple(file.name for file in by_card.strangers),
    )

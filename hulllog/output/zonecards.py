"""Zone cards as a file to print and cut out: one card a zone, and one to check a camera's clock."""

from __future__ import annotations

import io
from dataclasses import dataclass
from typing import TYPE_CHECKING

from hulllog.drawing.zonecards import card_scene
from hulllog.insight.preference import preference
from hulllog.output import blocks
from hulllog.output.history import archive
from hulllog.output.paper import Document
from hulllog.output.yardsheet import midnight, page_texts, shown
from hulllog.records.errors import Refused
from hulllog.records.folder import put_whole
from hulllog.records.operations import queries
from hulllog.records.zonecards import CLOCK, payload
from hulllog.words import say
from hulllog.words.formats import prefer

if TYPE_CHECKING:
    from datetime import date
    from pathlib import Path

    from hulllog.drawing.scene import Scene
    from hulllog.records.book import Book
    from hulllog.records.logbook import Logbook

ACROSS = 2


@dataclass(frozen=True, slots=True)
class Printed:
    """Cards that were written.  ``archival`` tells whether the file passed PDF/A validation."""

    path: Path
    pages: int
    cards: int
    archival: bool


def write_cards(logbook: Logbook, path: Path, day: date | None = None) -> Printed:
    """Write the cards of all zones to ``path``; Refused ``no_vessel`` while there is no boat."""
    with logbook.read_aside() as book:
        prefer(preference(book))
        vessel = queries.vessel(book)
        if vessel is None:
            raise Refused("no_vessel")
        cards = card_scenes(book, vessel.name)
        printed_on = day or queries.day_there(book, logbook.around.now())
        texts = page_texts(vessel.name, vessel.sample, say("zone_cards.title"), printed_on)
    target = io.BytesIO()
    document = Document(target, texts, "a4_across")
    width = document.inner_width
    story = []
    for n in range(0, len(cards), ACROSS):
        pair = [shown(card) for card in cards[n : n + ACROSS]]
        row = [*pair, *([[]] * (ACROSS - len(pair)))]
        story.append(blocks.side_by_side(row, width))
    document.write(story)
    data, archival = archive(target.getvalue(), title=texts.title, at=midnight(printed_on))
    put_whole(path, data)
    return Printed(path, document.page, len(cards), archival)


def card_scenes(book: Book, boat: str) -> list[Scene]:
    """Return the cards of the zones in walking order, then the clock card."""
    made = [
        card_scene(payload(zone.id), str(number), zone.name, boat)
        for number, (zone, _) in enumerate(queries.zones_at(book), 1)
    ]
    made.append(card_scene(CLOCK, say("zone_cards.clock"), say("zone_cards.clock_how"), boat))
    return made

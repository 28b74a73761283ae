"""Zone cards: what is printed on them and where, and what a photograph of one says.

The format is our own.  Millimetres from the upper left corner of a card.
"""

from __future__ import annotations

import hashlib
import re
from dataclasses import dataclass

WIDTH, HEIGHT = 128.0, 58.0
CODE = (14.0, 7.0, 36.0)
"""Left, top and side of the code."""
MARKS = ((5.0, 5.0), (123.0, 5.0), (123.0, 53.0), (5.0, 53.0))
"""Middles of the four corner marks, from the upper left one clockwise."""
MARK = 2.4
"""Radius of a corner mark."""
RULE = ((14.0, 50.0), (114.0, 50.0))
"""Ends of the rule of 100 mm."""
BEGINS = "HLZ1"
CLOCK = f"{BEGINS}CLOCK"
_DIGITS = 10
_ZONE = re.compile(f"{BEGINS}([0-9A-F]{{{_DIGITS}}})")


def payload(zone_id: str) -> str:
    """Return what the code of a zone's card says: the beginning of a digest of its key."""
    return BEGINS + _short(zone_id)


def zone_of(said: str, zone_ids: tuple[str, ...]) -> str | None:
    """Return the zone that a code names; None for the card of another boat, or no card."""
    found = _ZONE.fullmatch(said)
    if found is None:
        return None
    return next((zone_id for zone_id in zone_ids if _short(zone_id) == found[1]), None)


def is_card(said: str) -> bool:
    """Tell whether a code is one of ours, of whatever boat."""
    return said == CLOCK or _ZONE.fullmatch(said) is not None


def _short(zone_id: str) -> str:
    return hashlib.sha256(zone_id.encode()).hexdigest()[:_DIGITS].upper()


@dataclass(frozen=True, slots=True)
class Card:
    """A card in a photograph: what it says, None where it could not be read, and how it lies.

    ``scale`` is in pixels of the photograph for a millimetre that faces the camera at the distance
    of the card, ``tilt`` the degrees that the card is turned away from it, ``rule`` the ends of its
    100 mm in shares of width and height.
    """

    said: str | None
    scale: float | None = None
    tilt: float | None = None
    rule: tuple[tuple[float, float], tuple[float, float]] | None = None

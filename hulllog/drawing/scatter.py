"""Marks scattered over a field: the same for the same seed, and of a true share of its area."""

from __future__ import annotations

import math
import random
from dataclasses import dataclass
from functools import lru_cache

_GAP = 0.12
"""The least distance between marks, in mm."""
_TRIES = 14
"""How many places are looked at for each mark; more pack tighter."""
_LIMIT = 4_000
"""After so many marks that found no room the field counts as full."""


@dataclass(frozen=True, slots=True)
class Spot:
    """A round mark: its middle and radius in mm."""

    x: float
    y: float
    r: float

    @property
    def area(self) -> float:
        """The area in mm²."""
        return math.pi * self.r * self.r


def _clearance(x: float, y: float, field: tuple[float, float], spots: list[Spot]) -> float:
    """Return the radius that a mark at (x, y) may have before it meets an edge or another."""
    room = min(x, y, field[0] - x, field[1] - y)
    for spot in spots:
        if room <= 0:
            break
        room = min(room, math.hypot(spot.x - x, spot.y - y) - spot.r - _GAP)
    return room


@lru_cache(maxsize=64)
def share_of(
    field: tuple[float, float], share: float, largest: float, smallest: float, seed: int = 3
) -> tuple[Spot, ...]:
    """Scatter marks that cover exactly ``share`` (0-0.6) of a field of width × height mm.

    Radii lie between ``smallest`` and ``largest``, the last one being what is missing.  Marks
    neither touch nor leave the field.  Raises ValueError where the share does not fit in.
    """
    rng = random.Random(seed)
    wanted = share * field[0] * field[1]
    spots: list[Spot] = []
    covered, failed = 0.0, 0
    while covered < wanted:
        radius = smallest * (largest / smallest) ** (rng.random() ** 1.6)
        spot = _roomiest(rng, field, spots, radius)
        if spot is None or spot.r < smallest:
            failed += 1
            if failed > _LIMIT:
                raise ValueError(share)
            continue
        missing = wanted - covered
        if spot.area > missing:
            spot = Spot(spot.x, spot.y, math.sqrt(missing / math.pi))
        spots.append(spot)
        covered += spot.area
        if wanted - covered < wanted * 1e-9:
            break
    return tuple(spots)


def _roomiest(
    rng: random.Random, field: tuple[float, float], spots: list[Spot], radius: float
) -> Spot | None:
    """Return a mark at the first place with room for it, else as large as the best place allows."""
    best: Spot | None = None
    for _ in range(_TRIES):
        x, y = rng.random() * field[0], rng.random() * field[1]
        room = _clearance(x, y, field, spots)
        if room >= radius:
            return Spot(x, y, radius)
        if room > 0 and (best is None or room > best.r):
            best = Spot(x, y, room)
    return best


@lru_cache(maxsize=64)
def counted(
    field: tuple[float, float], radii: tuple[float, ...], seed: int = 3
) -> tuple[Spot, ...]:
    """Scatter one mark for each radius, the largest first; where none fits they run together."""
    rng = random.Random(seed)
    spots: list[Spot] = []
    for radius in sorted(radii, reverse=True):
        held = min(radius, min(field) / 2)
        best, most = (field[0] / 2, field[1] / 2), -math.inf
        for _ in range(60):
            x = held + rng.random() * (field[0] - 2 * held)
            y = held + rng.random() * (field[1] - 2 * held)
            room = min(
                (math.hypot(s.x - x, s.y - y) - s.r - radius for s in spots), default=math.inf
            )
            if room > most:
                best, most = (x, y), room
            if room > 4 * _GAP:
                break
        spots.append(Spot(*best, radius))
    return tuple(spots)

"""The pen of the sample: enters what happened through the program's own operations."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from typing import TYPE_CHECKING

from hulllog.records.operations import queries
from hulllog.records.operations.measuring import Rated

from .clock import OWNER, Clock
from .years import COLOURS

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from hulllog.hull.form import HullForm
    from hulllog.records.logbook import Logbook

WET_LOOK = ("laminate-blisters", "crack", "damage")
KEEL_LOOK = ("rust-spots", "crack", "damage")
ABOVE_LOOK = ("crack", "damage")
FOULING_LOOK = ("level-of-fouling",)
COVER_LOOK = ("antifouling-cover",)

PLACES = {
    "spot A": {"part": "hull", "face": "port", "u": 0.50, "v": 0.48},
    "spot B": {"part": "hull", "face": "port", "u": 0.80, "v": 0.55},
    "spot C": {"part": "hull", "face": "starboard", "u": 0.79, "v": 0.52},
    "rust": {"part": "keel-starboard", "face": "outboard", "u": 0.84, "v": 0.90},
    "skeg root": {"part": "skeg", "face": "port", "u": 0.55, "v": 0.06},
    "crack": {"part": "hull", "face": "starboard", "u": 0.62, "v": 1.60},
    "waterline": {"part": "hull", "face": "port", "u": 0.50, "v": 1.05},
    "stain": {"part": "transom", "face": "aft", "u": 0.30, "v": 0.62},
    "port side": {"part": "hull", "face": "port", "u": 0.50, "v": 1.30},
    "starboard side": {"part": "hull", "face": "starboard", "u": 0.50, "v": 1.30},
    "stern": {"part": "rudder", "face": "port", "u": 0.45, "v": 0.40},
}
"""Where the things lie that are followed, on the boat's own faces."""


@dataclass(slots=True)
class Teller:
    """Logbook, clock and the keys of what was entered so far, by short names."""

    logbook: Logbook
    clock: Clock
    workshop: Path
    """A folder for pictures and papers on their way in."""
    shape: list[HullForm] = field(default_factory=list)
    keys: dict[str, str] = field(default_factory=dict)
    zones: dict[str, str] = field(default_factory=dict)

    @property
    def form(self) -> HullForm:
        """Her shape, once she is entered."""
        return self.shape[0]

    def learn_zones(self) -> None:
        """Take the zones of the boat by their codes."""
        with self.logbook.read() as book:
            self.zones = {zone.code: zone.id for zone, _ in queries.zones_at(book)}

    def on(self, day: str | date) -> None:
        """Go to the evening after a day."""
        self.clock.evening_after(day if isinstance(day, date) else date.fromisoformat(day[:10]))

    def keep(self, name: str, key: str) -> str:
        """Remember a key under a short name, and let a little time pass."""
        self.keys[name] = key
        self.clock.move()
        return key

    def primer(self, year: int) -> str:
        """Return the primer for iron of a year, entered when it is first bought."""
        from hulllog.records.operations import coatings

        name = "Tamsel Grip" if year < 2021 else "Tamsel Grip 2"
        if name in self.keys:
            return self.keys[name]
        key = coatings.add_product(
            self.logbook, name=name, maker="Tamsel Paintworks", role="primer",
            coating_class="epoxy_primer", colour="grey", colour_hex="#9aa3a6",
            volume_solids="52 %", film="60 um", sheet=f"{name}, sheet of {year - 1}",
        )  # fmt: skip
        self.keep(name, key)
        self.times(key, "touch_dry", ("3 h", "2 h", "1 h"))
        self.times(key, "overcoat_self", ("6 h", "3 h", "2 h"), ("60 d", "30 d", "14 d"))
        self.times(key, "overcoat_by", ("8 h", "4 h", "3 h"), ("60 d", "30 d", "14 d"),
                   "antifouling")  # fmt: skip
        self.times(key, "launch", ("48 h", "24 h", "16 h"))
        self.clock.move()
        return key

    def product(self, colour: str, year: int) -> str:
        """Return the antifouling of a year, entered when it is first bought."""
        from hulllog.records.operations import coatings

        brand = "Brindle Seven" if year < 2021 else "Brindle Nine"
        label, hex_code = COLOURS[colour]
        name = f"{brand} {label}"
        if name in self.keys:
            return self.keys[name]
        later = year >= 2021
        key = coatings.add_product(
            self.logbook, name=name, maker="Tamsel Paintworks", role="antifouling",
            coating_class="self_polishing_antifouling" if later else "ablative_antifouling",
            colour=label, colour_hex=hex_code, volume_solids="54 %" if later else "50 %",
            film="50 um", biocides=["copper(I) oxide"] if not later else
            ["copper(I) oxide", "copper pyrithione"],
            sheet=f"{brand}, sheet of {year - 1}", thinner="Tamsel T4",
        )  # fmt: skip
        self.keep(name, key)
        self.times(key, "touch_dry", ("3 h", "2 h", "1 h"))
        self.times(key, "overcoat_self", ("16 h", "8 h", "5 h"))
        self.times(key, "launch", ("16 h", "12 h", "8 h"), ("60 d", "60 d", "60 d"))
        self.clock.move()
        return key

    def times(
        self,
        key: str,
        step: str,
        shortest: Sequence[str],
        longest: Sequence[str | None] = (None, None, None),
        over: str | None = None,
    ) -> None:
        """Enter the rows of a data sheet for one step: at 5, 15 and 25 °C."""
        from hulllog.records.operations import coatings

        for temperature, least, most in zip(("5", "15", "25"), shortest, longest, strict=True):
            coatings.add_window(
                self.logbook, key, step=step, temperature=temperature, shortest=least,
                longest=most, over=over,
            )  # fmt: skip


def blisters(count: int, largest: float, wetness: str, days: int) -> Rated:
    """Return a rating of blisters in laminate as the owner types it."""
    figures = {"count": str(count), "largest_mm": f"{largest:g} mm"}
    if count > 1:
        figures["typical_mm"] = f"{max(largest / 2, 2):.0f} mm"
    return Rated("laminate-blisters", figures, {"wetness": wetness, "days_ashore": str(days)})


def fouling(level: int) -> Rated:
    """Return a rating of fouling before the wash."""
    return Rated("level-of-fouling", {"level": str(level)}, {"washed": "not_washed"})


def rust(area_cm2: float) -> Rated:
    """Return a rating of one rusty place after the wash."""
    figures = {"count": "1" if area_cm2 else "0", "area_cm2": f"{area_cm2:g} cm2"}
    return Rated("rust-spots", figures, {"washed": "washed"})


def crack(length_mm: float) -> Rated:
    """Return a rating of the crack at the scupper after the wash."""
    return Rated("crack", {"length_mm": f"{length_mm:g} mm"}, {"washed": "washed"})


def cover(percent: int) -> Rated:
    """Return a rating of how much of its paint a zone still wears, after the wash."""
    return Rated("antifouling-cover", {"cover": f"{percent} %"}, {"washed": "washed"})


__all__ = ["OWNER", "PLACES", "Teller", "blisters", "cover", "crack", "fouling", "rust"]

"""What the shape of a boat is built from, and what is assumed where only six answers are known."""

from __future__ import annotations

import dataclasses
import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Mapping

KINDS = ("yacht", "planing", "motor", "inland", "small", "catamaran")
MATERIALS = ("grp", "steel", "aluminium", "wood", "ferrocement")
BOWS = ("plumb", "raked", "spoon", "clipper")
STERNS = ("upright", "reverse", "counter", "canoe")
KEELS = ("fin", "bulb", "wing", "long", "twin", "lifting", "none")
RUDDERS = ("spade", "skeg", "keel", "transom", "twin", "none")
DRIVES = ("shaft", "tunnel", "saildrive", "outdrive", "none")
PLANKINGS = ("none", "clinker", "carvel")

LENGTHS = (2.0, 60.0)
"""Length over all in metres between which the form is drawn.  Our own rule."""
SHARES: Mapping[str, tuple[float, float]] = {
    "lwl": (0.55, 1.0),
    "beam": (0.10, 0.75),
    "draught": (0.02, 0.45),
    "freeboard_bow": (0.01, 0.40),
    "freeboard_middle": (0.01, 0.40),
    "freeboard_stern": (0.01, 0.40),
    "waterline_beam": (0.04, 0.75),
}
"""Shares of the length over all between which a form is drawn.  Our own rule."""

_LWL_SHARE = {
    "yacht": 0.82,
    "motor": 0.92,
    "inland": 0.92,
    "planing": 0.85,
    "small": 0.85,
    "catamaran": 0.95,
}
_LWL_BY_END = {"plumb": 0.08, "spoon": -0.03, "clipper": -0.03, "counter": -0.05}
"""What a bow or stern adds to the share of the length that lies in the water.  Our own rule."""
_CHOICES = {
    "kind": KINDS,
    "bow": BOWS,
    "stern": STERNS,
    "keel": KEELS,
    "rudder": RUDDERS,
    "drive": DRIVES,
    "planking": PLANKINGS,
}


class ParticularsError(ValueError):
    """Particulars of which no form can be built; ``code`` and ``values`` say which and why."""

    def __init__(self, code: str, **values: str | float) -> None:
        """Take the code of the sentence and its values."""
        super().__init__(code)
        self.code = code
        self.values = values


@dataclass(frozen=True, slots=True)
class Particulars:
    """The measures and kinds a form is built from.  Metres and kilograms; None where not known."""

    kind: str
    length: float
    lwl: float
    beam: float
    draught: float
    bow: str = "raked"
    stern: str = "upright"
    keel: str = "fin"
    rudder: str = "spade"
    drive: str = "shaft"
    planking: str = "none"
    freeboard_bow: float | None = None
    freeboard_middle: float | None = None
    freeboard_stern: float | None = None
    waterline_beam: float | None = None
    displacement: float | None = None

    def __post_init__(self) -> None:
        """Refuse what no form can be built of.  Raises ParticularsError."""
        for name, choices in _CHOICES.items():
            if getattr(self, name) not in choices:
                raise ParticularsError("hull.unknown", field=name, value=str(getattr(self, name)))
        _within("length", self.length, *LENGTHS)
        for name, (low, high) in SHARES.items():
            value = getattr(self, name)
            if value is not None:
                _within(name, value, low * self.length, high * self.length)
        if self.waterline_beam is not None:
            _within("waterline_beam", self.waterline_beam, 0.3 * self.beam, self.beam)
        for field in dataclasses.fields(self):
            value = getattr(self, field.name)
            if isinstance(value, float) and not (math.isfinite(value) and value > 0):
                raise ParticularsError("hull.range", field=field.name, value=value)

    def to_json(self) -> dict[str, Any]:
        """Return the particulars as plain values for JSON; what is not known is left out."""
        return {k: v for k, v in dataclasses.asdict(self).items() if v is not None}

    @classmethod
    def from_json(cls, data: Mapping[str, Any]) -> Particulars:
        """Read what ``to_json`` wrote.  Fields of a newer version are passed over."""
        known = {field.name for field in dataclasses.fields(cls)}
        kept: dict[str, Any] = {
            k: float(v) if isinstance(v, int) else v for k, v in data.items() if k in known
        }
        return cls(**kept)


def _within(name: str, value: float, low: float, high: float) -> None:
    if not low <= value <= high:
        raise ParticularsError("hull.range", field=name, value=value, low=low, high=high)


def assume(
    kind: str,
    material: str,
    keel: str,
    length: float,
    beam: float,
    draught: float,
    *,
    bow: str = "raked",
    stern: str = "upright",
    drive: str = "",
) -> tuple[Particulars, tuple[str, ...]]:
    """Complete the six answers of a new vessel and name the fields that were assumed.

    Metres.  ``bow``, ``stern`` and ``drive`` where they are known lead what else is assumed.
    Raises ParticularsError.  Source: our own rule.
    """
    if kind not in KINDS:
        raise ParticularsError("hull.unknown", field="kind", value=kind)
    drive = drive or _drive(kind)
    share = _LWL_SHARE[kind] + sum(_LWL_BY_END.get(end, 0.0) for end in (bow, stern))
    guessed = {
        "lwl": min(share, 0.98) * length,
        "bow": bow,
        "stern": stern,
        "rudder": _rudder(kind, keel, drive),
        "drive": drive,
        "planking": "clinker" if kind == "small" and material == "wood" else "none",
    }
    made = Particulars(kind, length, beam=beam, draught=draught, keel=keel, **guessed)  # type: ignore[arg-type]
    return made, tuple(name for name in guessed if name != "planking" or kind == "small")


def _rudder(kind: str, keel: str, drive: str) -> str:
    if kind == "planing":
        return "spade" if drive in ("shaft", "tunnel") else "none"
    if kind == "motor":
        return "spade"
    if kind == "small":
        return "transom"
    return {"long": "keel", "twin": "skeg"}.get(keel, "spade")


def _drive(kind: str) -> str:
    return {"planing": "outdrive", "small": "none", "catamaran": "saildrive"}.get(kind, "shaft")

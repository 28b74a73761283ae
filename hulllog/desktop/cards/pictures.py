"""What the cards of a kind show: our own pictures of a share or a size, and their captions."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hulllog.drawing.cards import BLISTER_SIZES, Blisters, Look, blister_card, share_card
from hulllog.trade import scales
from hulllog.trade.refusal import Refusal
from hulllog.trade.scaletables import SLIME_ONLY
from hulllog.words import knows, say
from hulllog.words.formats import figure, with_unit
from hulllog.words.telling import grade

if TYPE_CHECKING:
    from hulllog.drawing.scene import Scene
    from hulllog.trade.scales import Band

_RUST = frozenset({"astm-d610-2008", "iso-4628-3-2016", "european-rust"})
_GROWTH = frozenset({"level-of-fouling", "imo-fouling-2023"})
_MOST = 0.5
_ACROSS = {3.0: 100.0, 10.0: 160.0, 25.0: 250.0, 50.0: 360.0}
"""Size of a blister in mm -> the width of hull in mm that its card shows."""
_BAR = {3.0: 20.0, 10.0: 50.0, 25.0: 50.0, 50.0: 100.0}
SIZES = BLISTER_SIZES


def grade_scene(kind: str, component: str, code: str, width: float, height: float) -> Scene | None:
    """Draw the card of a grade; None where the scale says no share that could be drawn."""
    if kind not in _RUST | _GROWTH:
        return None
    if SLIME_ONLY.get(kind) == code:
        return share_card(_MOST, "slime", width, height)
    band = _band(kind, component, code)
    if band is None or band.low >= 100 * _MOST:
        return None
    return share_card(_share(band), _look(kind, band), width, height)


def _band(kind: str, component: str, code: str) -> Band | None:
    try:
        return scales.band_of(kind, component, code)
    except Refusal:
        return None


def _share(band: Band) -> float:
    low, high = band.nominal or (band.low, band.high)
    return min((low + high) / 200, _MOST)


def _look(kind: str, band: Band) -> Look:
    if kind in _RUST:
        return "rust"
    return "weed" if band.high <= 15 else "shell"


def caption(kind: str, component: str, code: str) -> str:
    """Return what a grade means in a few words, with its share where the scale has one."""
    told = f"card.{kind}.{code}"
    parts = [say(told)] if knows(told) else []
    band = _band(kind, component, code) if kind in _RUST | _GROWTH else None
    if band is not None and band.high > 0:
        parts.append(_span(band))
    return ", ".join(parts) or grade(kind, component, code)


def _span(band: Band) -> str:
    if band.nominal is not None:
        low, high = band.nominal
        text = _plain(low) if low == high else say("card.span", low=_plain(low), high=_plain(high))
        return say("card.about_percent", share=text)
    return say("card.percent", low=_plain(band.low), high=_plain(band.high))


def _plain(value: float) -> str:
    """Write a limit of a scale as the scale has it, without digits that it does not have."""
    return figure(value, len(f"{value:g}".partition(".")[2]))


def in_mm(size: float) -> str:
    """Write a size in mm as it is."""
    return with_unit(_plain(size), "mm")


def size_scene(size: float, width: float, height: float) -> Scene:
    """Draw blisters of a size in mm, to scale, with a bar."""
    bar = _BAR[size]
    return blister_card(
        Blisters(9, size * 0.8, size),
        width,
        height,
        across=_ACROSS[size],
        scale_mm=bar,
        scale_text=in_mm(bar),
    )

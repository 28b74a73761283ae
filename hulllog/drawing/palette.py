"""Colour roles and what they are in the light, the dark, the sun and on paper.

A scene names roles; a painter asks a palette.  Colour is spent on condition only: one hue from
pale to rust, and the grade always stands beside it, so nothing is told by colour alone.
"""

from __future__ import annotations

from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping

STEPS = 5
"""How many condition steps there are: ``condition.0`` to ``condition.4``."""


@dataclass(frozen=True, slots=True)
class Palette:
    """A name and the colour, ``#rrggbb``, of every role."""

    name: str
    roles: Mapping[str, str]

    def colour(self, role: str) -> str:
        """Return the colour of a role; a role that begins with ``#`` is that colour itself.

        Raises KeyError for a role that no palette has.
        """
        return role if role.startswith("#") else self.roles[role]


def channels(colour: str) -> tuple[int, int, int]:
    """Split ``#rrggbb`` into red, green and blue, 0-255.  Raises ValueError on anything else."""
    if len(colour) != 7 or not colour.startswith("#"):
        raise ValueError(colour)
    return int(colour[1:3], 16), int(colour[3:5], 16), int(colour[5:7], 16)


def _linear(channel: int) -> float:
    share = channel / 255
    return share / 12.92 if share <= 0.04045 else ((share + 0.055) / 1.055) ** 2.4


def luminance(colour: str) -> float:
    """Return the relative luminance, 0-1.  Source: WCAG 2.2, definition of relative luminance."""
    red, green, blue = (_linear(c) for c in channels(colour))
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Return the contrast ratio of two colours, 1-21.  Source: WCAG 2.2, contrast ratio."""
    dark, light = sorted((luminance(one), luminance(other)))
    return (light + 0.05) / (dark + 0.05)


def readable_on(colour: str) -> str:
    """Return black or white, whichever reads better on a colour from outside the palettes."""
    return max(("#000000", "#ffffff"), key=lambda text: contrast(text, colour))


def _palette(name: str, steps: str, on_steps: str, series: str, **roles: str) -> Palette:
    colours = dict(roles)
    for index, (step, text) in enumerate(zip(steps.split(), on_steps.split(), strict=True)):
        colours[f"condition.{index}"] = step
        colours[f"on_condition.{index}"] = text
    for number, colour in enumerate(series.split(), start=1):
        colours[f"series.{number}"] = colour
    return Palette(name, MappingProxyType(colours))


LIGHT = _palette(
    "light",
    "#f3dcbc #dfa868 #c67a36 #8f3f17 #4f1d08",
    "#1f2b33 #1f2b33 #16130f #ffffff #ffffff",
    "#1f6180 #9a5b1c #5d5a80",
    paper="#f7f4ee",
    sheet="#fffdf9",
    ink="#1f2b33",
    muted="#556269",
    line="#d8d4c9",
    edge="#8b8878",
    water="#cfe2e8",
    water_deep="#2a657f",
    ashore="#d8c49a",
    ashore_edge="#8f7c4e",
    action="#0f5e6b",
    on_action="#ffffff",
    select="#e0edef",
    hatch="#7d8a90",
    unlooked="#d3d8da",
    ghost="#6b8f9d",
    shore="#92640d",
    thread="#8b8b84",
    card="#ded6c6",
    card_mark="#b39b72",
    card_edge="#7d6842",
    growth="#78875a",
    growth_edge="#4d5b34",
)

DARK = _palette(
    "dark",
    "#4a3825 #7c4f25 #b36b2c #de9750 #fbd7a8",
    "#f4eee2 #fff8ec #12100d #1a120a #1a120a",
    "#79bfdc #dfa062 #b3aee0",
    paper="#12191d",
    sheet="#1a2429",
    ink="#e8e2d6",
    muted="#a0aeb4",
    line="#2c3a41",
    edge="#71808a",
    water="#1f4250",
    water_deep="#6db1cc",
    ashore="#8c7a50",
    ashore_edge="#bda970",
    action="#5fb8c4",
    on_action="#0b1417",
    select="#21363d",
    hatch="#83929a",
    unlooked="#3a464c",
    ghost="#5f8797",
    shore="#d9a441",
    thread="#8c9398",
    card="#4a463c",
    card_mark="#8a7850",
    card_edge="#c9b583",
    growth="#71824f",
    growth_edge="#b6c690",
)

SUN = _palette(
    "sun",
    "#ffe3b8 #eba04a #bd661c #7a2f0c #360f00",
    "#000000 #000000 #000000 #ffffff #ffffff",
    "#004a68 #7a3d00 #3a3570",
    paper="#ffffff",
    sheet="#ffffff",
    ink="#000000",
    muted="#3a444a",
    line="#9a9a94",
    edge="#4d4d48",
    water="#bcdfeb",
    water_deep="#004a68",
    ashore="#d9b45f",
    ashore_edge="#5c4410",
    action="#003f4a",
    on_action="#ffffff",
    select="#cfe8ec",
    hatch="#3f474b",
    unlooked="#cfd3d4",
    ghost="#33606f",
    shore="#7a4f00",
    thread="#6c6c66",
    card="#e6dcc6",
    card_mark="#a98a55",
    card_edge="#4a3a18",
    growth="#62743b",
    growth_edge="#2f3c16",
)

PAPER = _palette(
    "paper",
    "#f3dcbc #dfa868 #c67a36 #8f3f17 #4f1d08",
    "#1f2b33 #1f2b33 #16130f #ffffff #ffffff",
    "#1f6180 #9a5b1c #5d5a80",
    paper="#ffffff",
    sheet="#ffffff",
    ink="#1f2b33",
    muted="#556269",
    line="#d2cec4",
    edge="#87847a",
    water="#d9e8ed",
    water_deep="#2a657f",
    ashore="#dcc9a2",
    ashore_edge="#8f7c4e",
    action="#0f5e6b",
    on_action="#ffffff",
    select="#e6f0f2",
    hatch="#7d8a90",
    unlooked="#d3d8da",
    ghost="#76939d",
    shore="#96680f",
    thread="#8b8b84",
    card="#e4ddcf",
    card_mark="#b39b72",
    card_edge="#7d6842",
    growth="#78875a",
    growth_edge="#4d5b34",
)

# Not in ALL: it tells no condition steps apart, and nothing on that sheet is told by a tint.
YARD = _palette(
    "yard",
    "#ffffff #ffffff #ffffff #ffffff #ffffff",
    "#000000 #000000 #000000 #000000 #000000",
    "#000000 #000000 #000000",
    paper="#ffffff",
    sheet="#ffffff",
    ink="#000000",
    muted="#000000",
    line="#000000",
    edge="#000000",
    water="#ffffff",
    water_deep="#000000",
    ashore="#ffffff",
    ashore_edge="#000000",
    action="#000000",
    on_action="#ffffff",
    select="#ffffff",
    hatch="#000000",
    unlooked="#ffffff",
    ghost="#5c5c5c",
    shore="#000000",
    thread="#000000",
    card="#ffffff",
    card_mark="#ffffff",
    card_edge="#000000",
    growth="#000000",
    growth_edge="#ffffff",
)
ALL = (LIGHT, DARK, SUN, PAPER)

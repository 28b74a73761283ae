"""A picture described once: paths, texts and photographs in millimetres, y downwards.

Painters draw a scene in the window and on paper; a recorder writes it as text for tests.
Colours are roles (``ink``, ``water``, ``condition.3``) that a palette turns into a colour, so one
scene serves light, dark and paper.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

Op = (
    tuple[Literal["M"], float, float]
    | tuple[Literal["L"], float, float]
    | tuple[Literal["C"], float, float, float, float, float, float]
    | tuple[Literal["Z"]]
)
Anchor = Literal["start", "middle", "end"]


@dataclass(frozen=True, slots=True)
class Style:
    """How a path is drawn: colour roles (None draws nothing), widths in mm, dashes in mm."""

    stroke: str | None = "ink"
    fill: str | None = None
    width: float = 0.25
    dash: tuple[float, ...] = ()
    opacity: float = 1.0


@dataclass(frozen=True, slots=True)
class Path:
    """An outline.  ``key`` says what it stands for: ``zone:<code>``, ``spot:4``, ``visit:<id>``."""

    ops: tuple[Op, ...]
    style: Style = Style()
    key: str = ""


@dataclass(frozen=True, slots=True)
class Text:
    """One line of text; (x, y) is on the baseline, ``size`` is the type size in mm."""

    x: float
    y: float
    text: str
    size: float = 3.2
    anchor: Anchor = "start"
    color: str = "ink"
    bold: bool = False
    key: str = ""


@dataclass(frozen=True, slots=True)
class Image:
    """A photograph or drawing, laid with its upper left corner at (x, y).

    ``data`` is a JPEG as it goes to the painters, ``name`` tells it from others in a record.
    """

    x: float
    y: float
    width: float
    height: float
    data: bytes
    name: str
    key: str = ""


Item = Path | Text | Image


@dataclass(frozen=True, slots=True)
class Scene:
    """A picture ``width`` × ``height`` mm; later items lie over earlier ones.

    ``described`` says the picture in words, for screen readers and for the text beside it.
    """

    width: float
    height: float
    items: tuple[Item, ...] = ()
    described: str = ""
    regions: tuple[tuple[str, str], ...] = field(default=())
    """(key, said) for each part that a keyboard or a screen reader can reach, in travel order."""

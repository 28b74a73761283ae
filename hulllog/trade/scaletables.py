"""The tables of the rating scales as data: limits, nominal values and texts' figures.

Areas are in percent.  Where a scale shows one picture with one area for each grade, the limits
between grades are geometric means of neighbours, which is our own rule.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise
from types import MappingProxyType

from hulllog.trade.working import Source


@dataclass(frozen=True, slots=True)
class Bands:
    """A scale that divides a figure by limits.

    ``grades`` run from the smallest figure up; a figure on ``uppers[n]`` still has ``grades[n]``
    (a first limit of 0 keeps the first grade for nought).  The last grade goes up to ``most``.
    """

    kind: str
    component: str
    unit: str
    grades: tuple[str, ...]
    uppers: tuple[float, ...]
    most: float
    source: Source


@dataclass(frozen=True, slots=True)
class Nominals:
    """A scale of pictures or nominal values, from the smallest figure up.

    ``values`` are (low, high), the same twice for a single figure.  A first grade of (0, 0) is for
    nought only.
    """

    kind: str
    component: str
    unit: str
    grades: tuple[str, ...]
    values: tuple[tuple[float, float], ...]
    most: float
    source: Source
    below: str | None = None
    """Grade for what lies below the first value, where the scale itself has none (our own)."""

    @property
    def nought(self) -> bool:
        """Tell whether the first grade is for nought only."""
        return self.values[0][1] == 0

    def middles(self) -> tuple[float, ...]:
        """Return the middle of each nominal value."""
        return tuple((low + high) / 2 for low, high in self.values)

    def limits(self) -> tuple[float, ...]:
        """Return the geometric means between neighbours, 0 where the lower one is nought."""
        middles = self.middles()
        return tuple(math.sqrt(low * high) for low, high in pairwise(middles))


def _single(*values: float) -> tuple[tuple[float, float], ...]:
    return tuple((value, value) for value in values)


D610 = Bands(
    kind="astm-d610-2008",
    component="grade",
    unit="percent",
    grades=("10", "9", "8", "7", "6", "5", "4", "3", "2", "1", "0"),
    uppers=(0.01, 0.03, 0.1, 0.3, 1.0, 3.0, 10.0, 16.0, 33.0, 50.0),
    most=100.0,
    source=Source("published", "ASTM D610-08, Table 1"),
)

ISO_4628_3 = Nominals(
    kind="iso-4628-3-2016",
    component="rust",
    unit="percent",
    grades=("0", "1", "2", "3", "4", "5"),
    values=((0, 0), (0.05, 0.05), (0.5, 0.5), (1, 1), (8, 8), (40, 50)),
    most=100.0,
    source=Source("common practice", "ISO 4628-3, areas as coating guides give them"),
)

EUROPEAN = Nominals(
    kind="european-rust",
    component="rust",
    unit="percent",
    grades=tuple("0123456789"),
    values=(
        *_single(0, 0.05, 0.5, 1, 3, 8),
        (15, 20),
        (40, 50),
        (75, 85),
        (95, 95),
    ),
    most=100.0,
    source=Source("from memory", "European scale of degree of rusting"),
)

ISO_4628_5 = Nominals(
    kind="iso-4628-5-2016",
    component="quantity",
    unit="percent",
    grades=("0", "1", "2", "3", "4", "5"),
    values=_single(0, 0.1, 0.3, 1, 3, 15),
    most=100.0,
    source=Source("from memory", "ISO 4628-5, Table 1"),
)

FLAKE_SIZES = Bands(
    kind="iso-4628-5-2016",
    component="size",
    unit="mm",
    grades=("S1", "S2", "S3", "S4", "S5"),
    uppers=(1, 3, 10, 30),
    most=100_000.0,
    source=Source("from memory", "ISO 4628-5, Table 2"),
)

LEVEL_OF_FOULING = Bands(
    kind="level-of-fouling",
    component="level",
    unit="percent",
    grades=("0", "2", "3", "4", "5"),
    uppers=(0, 5, 15, 40),
    most=100.0,
    source=Source(
        "published", "Level of fouling rank scale; limits between whole percents are our own rule"
    ),
)

IMO_FOULING = Bands(
    kind="imo-fouling-2023",
    component="rating",
    unit="percent",
    grades=("0", "2", "3", "4"),
    uppers=(0, 15, 40),
    most=100.0,
    source=Source("from memory", "IMO MEPC.378(80)"),
)

ISO_2409 = Bands(
    kind="iso-2409",
    component="class",
    unit="percent",
    grades=("0", "1", "2", "3", "4", "5"),
    uppers=(0, 5, 15, 35, 65),
    most=100.0,
    source=Source("published", "ISO 2409, as cross-cut tester manuals give it"),
)

G46_DENSITY = Nominals(
    kind="astm-g46",
    component="density",
    unit="1/m2",
    grades=("A-1", "A-2", "A-3", "A-4", "A-5"),
    values=_single(2.5e3, 1e4, 5e4, 1e5, 5e5),
    most=1e9,
    source=Source("from memory", "ASTM G46-94, Fig. 2"),
    below="isolated",
)

G46_SIZE = Nominals(
    kind="astm-g46",
    component="size",
    unit="mm2",
    grades=("B-1", "B-2", "B-3", "B-4", "B-5"),
    values=_single(0.5, 2.0, 8.0, 12.5, 24.5),
    most=1e6,
    source=Source("from memory", "ASTM G46-94, Fig. 2"),
)

G46_DEPTH = Nominals(
    kind="astm-g46",
    component="depth",
    unit="mm",
    grades=("C-1", "C-2", "C-3", "C-4", "C-5"),
    values=_single(0.4, 0.8, 1.6, 3.2, 6.4),
    most=1e3,
    source=Source("from memory", "ASTM G46-94, Fig. 2"),
)

TABLES: Mapping[tuple[str, str], Bands | Nominals] = MappingProxyType(
    {
        (table.kind, table.component): table
        for table in (
            D610,
            ISO_4628_3,
            EUROPEAN,
            ISO_4628_5,
            FLAKE_SIZES,
            LEVEL_OF_FOULING,
            IMO_FOULING,
            ISO_2409,
            G46_DENSITY,
            G46_SIZE,
            G46_DEPTH,
        )
    }
)
"""(kind, component) -> table."""

SLIME_ONLY: Mapping[str, str] = MappingProxyType({"level-of-fouling": "1", "imo-fouling-2023": "1"})
"""Kind -> the grade for slime without macrofouling, which covers nothing."""

IMO_COATING: Mapping[str, tuple[float, float]] = MappingProxyType(
    {"breakdown": (3.0, 20.0), "hard_scale": (0.0, 10.0), "edges": (20.0, 50.0)}
)
"""Criterion -> percent at which FAIR begins and ends (IMO MSC.1/Circ.1330, 4.1, Table 1)."""

D610_LINES = ((6.0, 2.0), (8.0, 4.0))
"""Grade at 1 % and fall per decade, up to and above 10 % (derived from ASTM D610's text)."""
D610_BEND = 10.0

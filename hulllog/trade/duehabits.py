"""How often fittings are looked at elsewhere: intervals with their source, for an owner to choose.

None of them makes anything due; that is the owner's rule alone.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from hulllog.trade.working import Source

if TYPE_CHECKING:
    from collections.abc import Mapping


@dataclass(frozen=True, slots=True)
class DueHabit:
    """An interval that may be chosen: its code, what is due by it, the interval as it is typed."""

    code: str
    due: str
    number: str
    unit: str
    source: Source


_KEEL = DueHabit(
    "keel", "look", "24", "month", Source("common practice", "offshore racing, keel and rudder")
)
_METAL = DueHabit(
    "metal", "look", "5", "year", Source("our own rule", "after ISO 9093-1, edition not known")
)

DUE_HABITS: Mapping[str, tuple[DueHabit, ...]] = {
    "keel_bolt": (_KEEL,),
    "keel_joint": (_KEEL,),
    "rudder": (_KEEL,),
    "rudder_bearing": (_KEEL,),
    "seacock": (_METAL,),
    "skin_fitting": (_METAL,),
}
"""Sort of gear -> intervals that are offered.

Keel and rudder: common practice, no published source.  Skin fittings: the standard counts 5 years
of service without a defect as resistant to corrosion; to look at them then is our own rule.  For
every other sort no interval is known.
"""


def due_habits(sort: str) -> tuple[DueHabit, ...]:
    """Return the intervals that are offered for a sort of gear; none where none is known."""
    return DUE_HABITS.get(sort, ())

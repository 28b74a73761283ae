"""Leading edges of keels, skegs and rudders, by their length."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hulllog.hull import measure
from hulllog.hull.foils import Foil

if TYPE_CHECKING:
    from hulllog.hull.form import HullForm


def leading_edges(form: HullForm) -> float:
    """Return the length in metres of all leading edges under water; 0 where she has none.

    A rudder behind a skeg leads nothing.
    """
    foils = [one for one in form.foils if isinstance(one, Foil)]
    skeg = any(one.part == "skeg" for one in foils)
    counted = [one for one in foils if not (skeg and one.part == "rudder")]
    return len(form.hands) * sum(measure.length(one.middle[0]) for one in counted)

"""A look while she is afloat: by diver, camera or from the berth, with a potential if read."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from hulllog.records.errors import Refused
from hulllog.records.operations.measuring import Rated, new_set
from hulllog.records.operations.visits import new_visit, written

if TYPE_CHECKING:
    from collections.abc import Mapping

    from hulllog.records.logbook import Logbook
    from hulllog.records.operations import typed as t

AFLOAT = ("diver", "camera", "berth")
POTENTIAL = "hull-potential"


def look_afloat(
    logbook: Logbook,
    *,
    kind: str,
    begins: t.When,
    potential: t.Typed = None,
    conditions: Mapping[str, Any] | None = None,
    **typed: t.Typed,
) -> str:
    """Enter a look afloat as one entry; it stays open until its owner closes it.

    ``potential`` is the hull's, in mV, with the electrode and the shore power as ``conditions``.
    """
    if kind not in AFLOAT:
        raise Refused("choice_wanted", field="kind")
    with logbook.change("visit.start", visit_kind=kind, begins=written(begins)) as book:
        visit = new_visit(book, {"kind": kind, "begins": begins, "ends": begins, **typed})
        if potential:
            figures = {"potential": potential}
            new_set(book, Rated(POTENTIAL, figures, conditions or {}), state="found", visit=visit)
    return visit.id

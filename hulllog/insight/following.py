"""Which series belong to which finding: open findings are followed first, closed ones last."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hulllog.insight.repairs import MENDS

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from hulllog.insight.judging import ZoneJudged
    from hulllog.insight.matters import Matter


def finding_of(
    item: ZoneJudged, matters: Sequence[Matter], zone_of: Mapping[str, str | None]
) -> Matter | None:
    """Return the finding that a series is about, an open one before a closed one.

    ``zone_of`` tells in which zone a spot lies: a finding at a spot is followed in its zone too.
    """
    found = [matter for matter in matters if _about(item, matter, zone_of)]
    return min(found, key=lambda matter: matter.status != "open", default=None)


def _about(item: ZoneJudged, matter: Matter, zone_of: Mapping[str, str | None]) -> bool:
    if item.subject == "gear":
        return item.subject_id in matter.gear_ids
    if MENDS.get(item.kind) != matter.sort:
        return False
    zones = {*matter.zone_ids, *(zone_of.get(spot) for spot in matter.spot_ids)}
    return item.subject_id in (zones if item.subject == "zone" else matter.spot_ids)


def worth(found: Matter | None) -> int:
    """Return the rank of a series by its finding: open, none, closed."""
    if found is None:
        return 1
    return 2 if found.status == "open" else 0

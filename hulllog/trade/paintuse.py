"""What a kind of antifouling brings with it, by how she is used and what she is driven by.

Statements with their source; none is a verdict, and the data sheet and the yard lead.
"""

from __future__ import annotations

from hulllog.trade.compatibility import (
    ABLATIVE,
    COPPER_EPOXY,
    DRIVES,
    HARD,
    NEW_COATINGS,
    POLISHING,
    SILICONE,
    SOFT,
    THIN,
    VINYL,
    Reason,
)
from hulllog.trade.refusal import Refusal
from hulllog.trade.working import Source

_MAKERS = Source("common practice", "makers' pages on choosing an antifouling")
_GUIDES = Source("common practice", "guides on antifouling and haul-outs")
_MEMORY = Source("from memory")

ERODING = frozenset({SOFT, ABLATIVE, POLISHING})
FAST_KNOTS = 25
"""Speed in knots up to which eroding paints are commonly advised."""
LEGS = frozenset({"saildrive", "outdrive", "outboard"})


def consequences(new: str, drive: str = "unknown", material: str = "unknown") -> tuple[Reason, ...]:
    """Return what is said of a new antifouling by use: speed, time ashore, propeller, drive, metal.

    ``new`` is one of ``NEW_COATINGS``, ``drive`` one of ``DRIVES``, ``material`` of the hull.
    Raises Refusal ``new_coating_unknown`` or ``drive_unknown``.
    """
    if new not in NEW_COATINGS:
        raise Refusal("new_coating_unknown", coating=new)
    if drive not in DRIVES:
        raise Refusal("drive_unknown", drive=drive)
    told = (
        (new in ERODING, Reason("eroding_up_to_a_speed", _MAKERS)),
        (new == SOFT, Reason("soft_for_one_season", _GUIDES)),
        (new in (HARD, VINYL, THIN), Reason("hard_for_speed_and_scrubbing", _MAKERS)),
        (new == HARD, Reason("hard_film_ages_in_air", _GUIDES)),
        (new == HARD, Reason("hard_film_builds_up", _GUIDES)),
        (new == SILICONE, Reason("silicone_is_a_system", _MAKERS)),
        (new == COPPER_EPOXY, Reason("copper_epoxy_is_a_system", _GUIDES)),
        (drive not in ("none", "jet"), Reason("propeller_wants_its_own", _MEMORY)),
        (drive in LEGS, Reason("leg_wants_its_own", _MEMORY)),
        (material == "aluminium", Reason("aluminium_over_whole_primer", _MEMORY)),
    )
    return tuple(reason for fits, reason in told if fits)

"""What is said of a zone that nobody looked at after the work: which work, and what for."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hulllog.insight.shades import FOULING
from hulllog.words import formats, say, say_code, say_n, telling

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hulllog.insight.condition import Worked, ZoneState


def left_text(pairs: Sequence[tuple[str, ZoneState]]) -> str:
    """Say the state as left of a zone, by kind, where it is known only as it was found."""
    first = pairs[0][1]
    if not first.work:
        return say("report.not_looked_again")
    said = [worked_text(one) for one in first.work]
    under = "report.left_under_paint" if first.painted_over else "report.left_untreated"
    for mended, code in ((True, "report.left_treated"), (False, under)):
        kinds = [
            telling.kind_name(kind).lower()
            for kind, zone in pairs
            if zone.appearance == "graded" and kind not in FOULING and zone.mended is mended
        ]
        if kinds:
            said.append(say(code, kinds=formats.joined(kinds)))
    return say("report.not_looked_after", work="; ".join(said))


def worked_text(one: Worked) -> str:
    """Name a piece of work: coats by their role and number."""
    if one.sort == "removal":
        return say("report.work.removal", what=say_code("down_to", one.what))
    if one.sort == "treatment":
        return say_code("treatment", one.what)
    coats = say_n("report.work.coat", one.times, role=say_code("coating_role", one.what))
    if one.share < 1:
        return say("report.work.on_part", work=coats, share=formats.share(one.share))
    return coats

"""How the page *Hull* says what it shows: its heading, and the line under it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hulllog.words import knows, say, say_n, telling
from hulllog.words.formats import between, number

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from hulllog.insight.condition import ZoneState
    from hulllog.insight.seeing import HowSeen
    from hulllog.trade.working import Working

MOST_NAMES = 3
_FAMILIES = (
    "topsides", "waterline", "side", "bottom", "garboard", "keel", "bulb", "wing", "transom",
    "skeg", "rudder", "under",
)  # fmt: skip


def heading(kind: str) -> str:
    """Return the heading: the kind, and which of its figures stand in the zones."""
    code = f"hull_page.heading.{kind}"
    return say(code) if knows(code) else telling.kind_name(kind)


def seen_line(edge: str, how: HowSeen, zones: Sequence[ZoneState]) -> str:
    """Say as at when and how the hull was seen, and what is not known."""
    first = [edge, *_circumstances(how)]
    told = [", ".join(first) + "."]
    if how.from_found:
        painted = any(zone.work_done for zone in how.from_found)
        whole = len(how.from_found) == len([z for z in zones if z.inspection_id])
        told.append(_as_found(painted, whole))
    for code, missing in (
        ("not_rated", how.not_rated), ("not_seen", how.not_seen), ("not_looked", how.not_looked),
    ):  # fmt: skip
        if len(missing) == len(zones):
            told.append(say(f"hull_page.all_{code}"))
        elif missing:
            told.append(say(f"hull_page.{code}", zones=named(missing, zones)))
    return " ".join(told)


def _as_found(painted: bool, whole: bool) -> str:
    which = "all" if whole else "some"
    return say(f"hull_page.from_found_{which}" + ("_worked" if painted else ""))


def _circumstances(how: HowSeen) -> list[str]:
    kept = dict(how.conditions)
    if how.hours is not None:
        kept.pop("days_ashore", None)
    told = [days_ashore(kept)] if "days_ashore" in kept else []
    kept.pop("days_ashore", None)
    if kept:
        told.insert(0, telling.conditions(kept))
    if how.hours is not None:
        told.append(hours_text(how.hours))
    return told


def hours_text(hours: Working) -> str:
    """Say how many hours after the lift she was seen."""
    reach = hours.interval
    said = between(reach.low, reach.high, "h") if reach else _hours(hours.value)
    return say("hull_page.hours", hours=said)


def _hours(hours: float) -> str:
    return number(hours, "h", 0 if hours == round(hours) else 1)


def days_ashore(conditions: Mapping[str, object]) -> str:
    """Say how long she had been ashore."""
    days = round(float(str(conditions["days_ashore"])))
    return say_n("hull_page.days_ashore", days) if days else say("hull_page.lift_day")


def conditions(values: Mapping[str, object]) -> str:
    """Say the conditions of a set, the days ashore among them."""
    rest = {name: value for name, value in values.items() if name != "days_ashore"}
    told = [telling.conditions(rest)] if rest else []
    if "days_ashore" in values:
        told.append(days_ashore(values))
    return ", ".join(told)


def named(some: Sequence[ZoneState], zones: Sequence[ZoneState]) -> str:
    """Name zones: a family by its name where all of it is meant, else zone by zone, few of them."""
    codes = {zone.code for zone in some}
    names: list[str] = []
    for family in _FAMILIES:
        whole = [zone for zone in zones if _family(zone.code) == family]
        inside = [zone for zone in whole if zone.code in codes]
        if inside and len(inside) == len(whole) and len(whole) > 1:
            names.append(say(f"hull_page.family.{family}"))
        else:
            names += [zone.name for zone in inside]
    names += [zone.name for zone in some if _family(zone.code) not in _FAMILIES]
    if len(names) > MOST_NAMES:
        more = len(names) - MOST_NAMES + 1
        names = [*names[: MOST_NAMES - 1], say_n("hull_page.more_zones", more)]
    # Names of zones hold commas of their own.
    told = names[-1]
    for name in reversed(names[:-1]):
        told = say("hull_page.list", first=name, rest=told)
    return told


def _family(code: str) -> str:
    words = code.split("-")
    return "under" if words[-1] == "under" else words[0]

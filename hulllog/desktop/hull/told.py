"""What is known of a look at a zone or spot, as pairs of a label and what stands there."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING

from hulllog.desktop.hull.wording import conditions
from hulllog.trade import kinds
from hulllog.words import knows, say, telling
from hulllog.words.formats import joined, share

if TYPE_CHECKING:
    from hulllog.insight.condition import Figure, ZoneState
    from hulllog.insight.matters import Matter
    from hulllog.insight.placed import SpotLook, WorkedOn

Pairs = list[tuple[str, str]]


def zone_pairs(zone: ZoneState, kind: str) -> Pairs:
    """Say a look at a zone: what was seen and how, the figures, and under which conditions."""
    if zone.inspection_id is None:
        return [(say("inspection.coverage"), say("coverage.not_looked"))]
    seen = zone.coverage in ("whole", "part")
    pairs = figure_pairs(zone.kind or kind, zone.figures) if zone.figures else []
    if seen and not pairs:
        pairs.append((say("inspection.result"), say(f"appearance.{zone.appearance}")))
    pairs.append((say("inspection.coverage"), coverage(zone)))
    if zone.methods and seen:
        pairs.append((say("inspection.methods"), joined_codes("method", zone.methods)))
    if zone.conditions:
        pairs.append((say("hull_page.conditions"), conditions(zone.conditions)))
    if zone.looked_for:
        pairs.append((say("inspection.looked_for"), _kinds(zone.looked_for)))
    if zone.spot is not None:
        pairs.append((say("hull_page.shown_by"), say("spot.numbered", number=zone.spot)))
    if zone.as_last_time:
        pairs.append((say("hull_page.entered"), say("inspection.as_last_time")))
    if zone.note:
        pairs.append((say("hull_page.note"), zone.note))
    return pairs


def coverage(zone: ZoneState) -> str:
    """Say how much of a zone was seen, and what hid the rest."""
    told = [say(f"coverage.{zone.coverage}")]
    if zone.share is not None:
        told.append(say("coverage.share", share=share(zone.share)))
    if zone.hidden_by:
        told.append(hidden(zone.hidden_by))
    return ", ".join(told)


def hidden(by: str) -> str:
    """Say what hid a zone: one of our codes, or what a person typed."""
    return say(f"hidden_by.{by}") if knows(f"hidden_by.{by}") else by


def _kinds(looked_for: Sequence[str]) -> str:
    names = [telling.kind_name(kind) for kind in looked_for]
    return joined([names[0], *(name[:1].lower() + name[1:] for name in names[1:])])


def joined_codes(family: str, codes: Sequence[str]) -> str:
    """Say codes of a family one after the other."""
    return ", ".join(say(f"{family}.{code}") if knows(f"{family}.{code}") else code
                     for code in codes)  # fmt: skip


def figure_pairs(kind: str, figures: Mapping[str, Figure]) -> Pairs:
    """Say the figures of a set, each under its name, in the order of the kind."""
    return [
        (capital(telling.component_name(kind, name)), telling.figure(kind, name, figures[name]))
        for name in _ordered(kind, figures)
    ]


def _ordered(kind: str, names: Iterable[str]) -> list[str]:
    known = kinds.kind(kind)
    order = [part.code for part in known.components] if known else []
    given = set(names)
    return [*(name for name in order if name in given), *sorted(given - set(order))]


def changed_pairs(kind: str, before: Mapping[str, Figure], now: Mapping[str, Figure]) -> Pairs:
    """Say the figures of two sets against each other, each under its name."""
    return [
        (capital(telling.component_name(kind, name)), _turned(kind, name, before, now))
        for name in _ordered(kind, [*before, *now])
    ]


def _turned(kind: str, name: str, before: Mapping[str, Figure], now: Mapping[str, Figure]) -> str:
    then, here = (
        telling.figure(kind, name, figures[name]) if name in figures else say("word.not_recorded")
        for figures in (before, now)
    )
    if then == here:
        return say("hull_page.label.same", now=here)
    return say("hull_page.label.changed", before=then, now=here)


def capital(text: str) -> str:
    """Begin a text with a capital letter."""
    return text[:1].upper() + text[1:]


def spot_pairs(look: SpotLook | None, kind: str) -> Pairs:
    """Say what was seen of a spot at one visit."""
    if look is None:
        return [(say("inspection.coverage"), say("hull_page.spot_not_looked"))]
    pairs: Pairs = [(say("inspection.coverage"), say(f"coverage.{look.coverage}"))]
    others = [other for other in look.figures if other != kind]
    for shown in [kind, *others] if kind in look.figures else others:
        pairs += figure_pairs(shown, look.figures[shown])
        if look.conditions[shown]:
            pairs.append((say("hull_page.conditions"), conditions(look.conditions[shown])))
    if not look.figures and look.result:
        pairs.append((say("inspection.result"), say(f"result.{look.result}")))
    if look.text:
        pairs.append((say("hull_page.note"), look.text))
    return pairs


def work_texts(done: Sequence[WorkedOn]) -> list[str]:
    """Say what was done to a zone, one line each."""
    return [say(f"hull_page.work_{one.sort}{'_by' if one.name else ''}",
                what=_work_code(one), name=one.name) for one in done]  # fmt: skip


def _work_code(one: WorkedOn) -> str:
    family = {"removal": "down_to", "treatment": "treatment", "coat": "coating_role"}[one.sort]
    return say(f"{family}.{one.code}") if knows(f"{family}.{one.code}") else one.code


def matter_line(matter: Matter) -> str:
    """Say what must happen with a finding, and how bad it is."""
    if matter.status != "open":
        return say(f"finding_status.{matter.status}")
    return say(
        "hull_page.matter_line",
        must=say(f"must.{matter.must}"),
        severity=say(f"severity.{matter.severity}"),
    )

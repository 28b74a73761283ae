"""Sentences about gear, for window and paper: its age, its looks, when it is due."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hulllog.trade import kinds
from hulllog.words import formats, say, say_code
from hulllog.words.telling import component_name, conditions, figure

if TYPE_CHECKING:
    from datetime import datetime

    from hulllog.insight.gear import GearDue, GearLook, GearStory, Measure


def kind_text(story: GearStory) -> str:
    """Say what it is: sort and material."""
    sort = say_code("gear", story.sort)
    return say("gear.of", sort=sort, material=story.material) if story.material else sort


def age_short(story: GearStory) -> str:
    """Say the age in the fewest words; "age not known" is an answer."""
    if story.age is None:
        return say("gear.age_unknown")
    low, high = _bounds(story)
    if high < 1:
        return say("gear.age_under")
    if high - low >= 1:
        return say("gear.age_between", low=round(low), high=round(high))
    return say("gear.age_years", n=formats.figure(story.age.value, 0))


def age_text(story: GearStory) -> str:
    """Say when it was fitted and how old that makes it."""
    if story.age is None:
        return say("gear.age_unknown")
    return say("gear.fitted", when=formats.anything(story.fitted), age=age_short(story))


def _bounds(story: GearStory) -> tuple[float, float]:
    assert story.age is not None
    interval = story.age.interval
    return (interval.low, interval.high) if interval else (story.age.value, story.age.value)


def last_text(story: GearStory) -> str:
    """Say what the last look showed."""
    last = story.last
    told = look_text(last) if last else say("gear.not_looked")
    alone = pictured_text(story)
    return say("gear.and_pictured", told=told.rstrip("."), pictured=alone) if alone else told


def pictured_text(story: GearStory) -> str:
    """Say that it was photographed since its last look and not examined; empty where it was not."""
    when = story.pictured_since
    return say("gear.pictured", when=formats.anything(when)) if when else ""


def look_text(look: GearLook) -> str:
    """Say one look: when, what was found and measured, and whether it was at the one before."""
    return say("gear.look", when=formats.anything(look.when), told=look_told(look))


def look_told(look: GearLook) -> str:
    """Say one look without its day."""
    parts = []
    if look.before:
        parts.append(say("gear.look_before"))
    if look.result:
        parts.append(say_code("result", look.result))
    parts += [measure_text(measure) for measure in look.measures]
    told = "; ".join(parts)
    if not look.text or not told:
        return look.text or told
    # Words that begin as a sentence stay as they were typed, and are one.
    return f"{told}. {look.text}" if look.text[0].isupper() else f"{told}; {look.text}"


def measure_text(measure: Measure) -> str:
    """Say the figures of one measuring with their units, and how it was done."""
    figures = [_figure_text(measure.kind, code, value) for code, value in measure.figures.items()]
    how = conditions(measure.conditions)
    text = ", ".join(figures)
    return say("gear.how", figures=text, how=how) if how else text


def _figure_text(kind: str, code: str, value: float | str) -> str:
    part = kinds.component(kind, code)
    unit = part.unit if part else None
    return say(
        "telling.pair", name=component_name(kind, code), value=figure(kind, code, value, unit)
    )


def due_text(due: GearDue, now: datetime) -> str:
    """Say when it is due by the owner's rule, and on whose word; past dates are said to be past."""
    every = formats.measured(due.every)
    if due.earliest is None or due.latest is None:
        when = say("gear.due_unknown")
    elif due.latest < now:
        when = say("gear.due_past", when=formats.day(due.latest.date()))
    elif due.earliest != due.latest and (due.latest - due.earliest).days > 1:
        when = say(
            "gear.due_between",
            low=formats.day(due.earliest.date()),
            high=formats.day(due.latest.date()),
        )
    else:
        when = say("gear.due_at", when=formats.day(due.latest.date()))
    source = due.source or say("gear.due_owner")
    return say("gear.due", when=when, every=every, source=source)

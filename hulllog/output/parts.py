"""The table of parts with a limited life, and readings by instrument in words."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hulllog.drawing import geartelling as told
from hulllog.drawing.telling import limit_text
from hulllog.output import blocks
from hulllog.words import formats, say, say_code, telling

if TYPE_CHECKING:
    from reportlab.platypus import Flowable

    from hulllog.insight.gear import GearLook, GearStory
    from hulllog.insight.parts import Metered
    from hulllog.output.body import Frame


def limited_life(frame: Frame) -> list[Flowable]:
    """Return each fitting with its age, what the last look showed, and the owner's rules."""
    story = frame.heading("report.section.parts", "parts")
    found = frame.contents.gear
    if not found:
        return [*story, blocks.paragraph(say("report.no_gear"), blocks.SMALL)]
    rows = [
        [
            part.name,
            say_code("gear", part.sort),
            part.material or say("word.not_recorded"),
            _age(part),
            _seen(frame, part),
        ]
        for part in found
    ]
    header = [
        say("report.part"),
        say("report.sort"),
        say("report.material"),
        say("report.fitted"),
        say("report.last_check"),
    ]
    shown, more = frame.some(rows, "annex-tables")
    return [
        *story,
        blocks.grid(header, shown, frame.width, [1.8, 1.4, 1.2, 2, 3.6], frame.cells),
        *more,
    ]


def _age(part: GearStory) -> str:
    """Say how old a fitting is, or what work is known of one whose age is not."""
    if part.age is not None or part.worked is None:
        return told.age_text(part)
    text = part.worked.text.rstrip(".")
    return say("report.age_from_work", when=part.worked.when, text=text)


def _seen(frame: Frame, part: GearStory) -> str:
    """Say what the last look showed, how far measures lie from the limits, and when it is due."""
    last = part.last
    lines = _look(frame, last) if last else [say("report.gear_no_look")]
    if pictured := told.pictured_text(part):
        lines.append(pictured)
    lines += [bound.rstrip(".") for course in part.courses if (bound := limit_text(course))]
    lines += [
        say(
            "report.gear_due",
            what=say_code("gear_due", due.sort),
            when=told.due_text(due, frame.now),
        )
        for due in part.dues
    ]
    return "; ".join(lines)


def _look(frame: Frame, last: GearLook) -> list[str]:
    by_meter = {
        one.kind: one for one in frame.contents.metered if one.gear_check_id == last.check_id
    }
    result = say_code("result", last.result) if last.result else ""
    lines = [f"{formats.anything(last.when)}: {result}" if result else formats.anything(last.when)]
    lines += [
        metered_text(by_meter[measure.kind])
        if measure.kind in by_meter
        else told.measure_text(measure)
        for measure in last.measures
    ]
    return [*lines, frame.cut(last.text).rstrip(".")] if last.text else lines


def metered_text(one: Metered) -> str:
    """Say the readings of one act of measuring with unit, instrument and conditions."""
    read = [
        say(
            "telling.pair",
            name=telling.component_name(one.kind, code),
            value=", ".join(formats.measured(value) for value in values),
        )
        for code, values, _ in one.figures
    ]
    return f"{', '.join(read)} ({metered_how(one)})"


def metered_where(one: Metered) -> str:
    """Say where it was measured: a zone, a spot, a fitting, or a point and its zone."""
    if one.point is None:
        return one.name
    point = say("hull_page.point", number=one.point)
    return say("report.point_in", point=point, zone=one.name) if one.name else point


def metered_how(one: Metered) -> str:
    """Say with what it was measured and under which conditions, or that this is not on record."""
    parts = []
    if one.instrument:
        parts.append(
            say("report.instrument", name=one.instrument, serial=one.serial)
            if one.serial
            else one.instrument
        )
    elif not one.meter_known:
        parts.append(say("report.meter_unknown"))
    if one.conditions:
        parts.append(telling.conditions(one.conditions))
    if one.original is not None:
        value = formats.measured(one.original)
        parts.append(
            say("report.original_from", value=value, source=one.original_source)
            if one.original_source
            else say("report.original", value=value)
        )
    return ", ".join(parts)

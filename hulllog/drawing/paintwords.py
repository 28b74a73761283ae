"""What the window says of paint: seasons, coats, the air over them, what may go over."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hulllog.drawing.telling import listed
from hulllog.insight.seasons import FEW_LOOKS, FOULING, LEVEL
from hulllog.words import formats, knows, say, say_code, say_n, telling
from hulllog.words.working import figure_of, source_sentence

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hulllog.insight.overcoating import Air, Over, SheetTime
    from hulllog.insight.paint import CoatSeen, Layer
    from hulllog.insight.paintwork import PaintWork
    from hulllog.insight.seasons import PaintSeen, Season
    from hulllog.trade.compatibility import Reason
    from hulllog.trade.working import Working


def layer_text(layer: Layer) -> str:
    """Say a layer in a line: product, what it is, colour, year."""
    parts = [
        layer.product,
        _colour(layer.product, layer.colour),
        say_code("coating_class", layer.coating_class),
        formats.year(layer.when) if layer.when else "",
        say("buildup.part", share=formats.share(layer.share)) if layer.share < 1 else "",
    ]
    return ", ".join(part for part in parts if part)


def _colour(product: str, colour: str | None) -> str:
    """Return a colour unless the name of the product says it already."""
    return "" if colour is None or colour.casefold() in product.casefold() else colour


# Seasons


def season_name(season: Season) -> str:
    """Say from when to when a season was, and in which paint."""
    thread = season.thread
    colour = _colour(thread.product, thread.colour)
    parts = [formats.span(thread.begins, thread.ends), thread.product, colour]
    return ", ".join(part for part in parts if part)


def litres_text(season: Season) -> str:
    """Say the litres used against those computed, or why there are none."""
    thread = season.thread
    if thread.again:
        return say("paint_page.worn_again")
    used = (
        say(
            "paint_page.used" if thread.measured >= len(season.coats) else "paint_page.used_part",
            litres=formats.quantity(thread.litres, "L"),
            measured=thread.measured,
        )
        if thread.litres is not None
        else say("paint_page.used_unknown")
    )
    return " ".join([say_n("paint_page.coats", thread.coats), used, needed_text(season)])


def needed_text(season: Season) -> str:
    """Say the litres computed for the coats of a season, marked typical where they are."""
    if season.needed is None:
        return say(f"paint_page.why_not.{season.why_not}")
    typical = "class_value" in season.needed.cautions
    code = "paint_page.needed_typical" if typical else "paint_page.needed"
    return say(code, litres=figure_of(season.needed, show="L"))


def fouling_text(season: Season) -> str:
    """Say with what fouling a season ended."""
    if season.fouling is None:
        return say("paint_page.not_ended" if season.thread.ends is None else "paint_page.unrated")
    level = level_text(season.fouling.level)
    return say_n("paint_page.fouled", season.fouling.zones, level=level)


def level_text(level: str) -> str:
    """Say a level of fouling by its number and what that looks like."""
    seen = f"card.{FOULING}.{level}"
    number = telling.grade(FOULING, LEVEL, level)
    if not knows(seen):
        return say("paint_page.level", level=number)
    return say("paint_page.level_seen", level=number, seen=say(seen))


def did_lines(paint: PaintSeen) -> list[str]:
    """Say for each season what was found, how long it was worn, immersed and idle."""
    lines = []
    for season in paint.ended:
        found = [fouling_short(season)]
        if season.cover is not None:
            found.append(say("paint_page.cover", cover=formats.measured(season.cover)))
        wet = season.immersed
        lines.append(
            say(
                "paint_page.did",
                span=formats.span(season.thread.begins, season.thread.ends),
                found=formats.joined(found),
                immersed=formats.quantity(wet.days, "d", show="month") if wet else "?",
                idle=figure_of(season.idle) if season.idle else "?",
            )
        )
    return lines


def fouling_short(season: Season) -> str:
    """Say the worst fouling at the end of a season in a word or two."""
    if season.fouling is None:
        return say("paint_page.did_unrated")
    return say("paint_page.level", level=season.fouling.level)


def few_text(paints: Sequence[PaintSeen]) -> str:
    """Say that no order is claimed, where one of the paints was rated too seldom for one."""
    if len(paints) < 2 or not any(paint.few for paint in paints):
        return ""
    return say("paint_page.no_order", needed=FEW_LOOKS)


def paint_text(paint: PaintSeen) -> str:
    """Say what a paint came up with over its seasons, with their number."""
    if not paint.rated:
        return say_n("paint_page.paint_unrated", paint.seasons)
    told = [
        say_n("paint_page.level_times", count, level=level_text(level))
        for level, count in paint.levels
    ]
    return say(
        "paint_page.paint_levels", levels="; ".join(told), rated=paint.rated, seasons=paint.seasons
    )


# Coats and the air


def coat_text(coat: CoatSeen) -> str:
    """Say one coat: its number, litres, tool, day, and who put it on."""
    parts = [
        say("coat.numbered", number=coat.number),
        coat.product,
        formats.quantity(coat.litres, "L") if coat.litres is not None else "",
        say_code("tool", coat.tool) if coat.tool else "",
        formats.partial_date(coat.when) if coat.when else "",
        coat.applied_by or "",
    ]
    return ", ".join(part for part in parts if part)


def weather_text(air: float, humidity: float, hull: float | None, told: Air) -> str:
    """Say the air in one line: what was read, the dew point, and how far the hull was above it."""
    values = {
        "air": formats.quantity(air, "degC"),
        "humidity": formats.number(humidity, "percent"),
        "dew": formats.quantity(told.dew_point.value, told.dew_point.unit),
    }
    if hull is None or told.margin is None:
        return say("paint_page.air", **values)
    values["hull"] = formats.quantity(hull, "degC")
    code = "paint_page.air_above" if told.margin.value >= 0 else "paint_page.air_below"
    margin = formats.quantity(abs(told.margin.value), told.margin.unit)
    return say(code, margin=margin, **values)


def rules_text(told: Air) -> list[str]:
    """Say the rules that painters quote, each with the figure here and its source; no verdict."""
    return [
        say(
            "paint_page.rule",
            rule=say_code("weather_rule", rule.code),
            here=formats.quantity(rule.found, rule.unit)
            if rule.unit != "percent"
            else formats.number(rule.found, rule.unit),
            source=source_sentence(rule.source),
        )
        for rule in told.rules
    ]


def sheet_text(time: SheetTime) -> str:
    """Say a window by the product's own sheet."""
    step = say_code("window_step", time.step)
    over = f" {say('paint_page.sheet_over', over=time.over)}" if time.over else ""
    parts = [
        say("paint_page.at_least", time=_hours(time.window.shortest))
        if time.window.shortest
        else "",
        say("paint_page.at_most", time=_hours(time.window.longest)) if time.window.longest else "",
    ]
    sheet = time.sheet or say("paint_page.own_sheet")
    times = ", ".join(part for part in parts if part)
    return say("paint_page.sheet_time", step=step + over, times=times, sheet=sheet)


def _hours(working: Working) -> str:
    return formats.quantity(working.value, "h", show="d" if working.value >= 72 else "h")


# What may go over


def over_lines(over: Over) -> tuple[str, list[str]]:
    """Say what is to be done before a new coat, and below it why, what is missing and cautions."""
    verdict = over.verdict
    lines = [
        say("paint_page.over_what", coat=layer_text(over.outermost))
        if over.outermost
        else say("paint_page.over_unknown"),
        *reasons_text("paint_reason", verdict.reasons),
    ]
    if verdict.missing:
        facts = formats.joined([say_code("missing_fact", code) for code in verdict.missing])
        lines.append(say("paint_page.missing", facts=facts))
    lines += [say_code("caution", code) for code in verdict.cautions]
    if over.copper is not None:
        lines.append(
            say("paint_page.copper", verdict=say_code("copper_verdict", over.copper.verdict))
        )
        lines += reasons_text("copper_reason", over.copper.reasons)
    lines += reasons_text("paint_use", over.use)
    return say_code("paint_treatment", verdict.treatment), lines


def reasons_text(prefix: str, reasons: Sequence[Reason]) -> list[str]:
    """Say reasons of a family, each with its source."""
    return [
        f"{say_code(prefix, reason.code)} {source_sentence(reason.source)}" for reason in reasons
    ]


# Work


def work_text(work: PaintWork) -> str:
    """Say a removal or a treatment in a line."""
    prefix = "removal" if work.removal else "treatment"
    return say(
        "paint_page.work",
        when=formats.anything(work.when),
        what=say_code(prefix, work.sort),
        where=listed(work.zones) if work.zones else say("coat.whole_bottom"),
    )


def work_detail(work: PaintWork) -> str:
    """Say by whom or how it was done, and under what warranty."""
    parts = [
        work.by or "",
        say("paint_page.warranty", until=work.warranty_until) if work.warranty_until else "",
        work.note or "",
    ]
    return "; ".join(part for part in parts if part)

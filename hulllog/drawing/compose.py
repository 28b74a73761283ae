"""Scenes of insight's answers: trends, anodes, what lies on the skin, with their words."""

from __future__ import annotations

import itertools
from dataclasses import replace
from typing import TYPE_CHECKING

from hulllog.drawing import buildup, charts
from hulllog.drawing import telling as told
from hulllog.drawing.strip import moment
from hulllog.insight.series import SAME_VISIT
from hulllog.words import formats, say, say_code, say_n, telling

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hulllog.drawing.scene import Scene
    from hulllog.insight.anodes import PositionStory
    from hulllog.insight.judging import ZoneJudged
    from hulllog.insight.paint import BuildUp, Layer
    from hulllog.insight.series import Point, Series


# Trends


def trend_scene(item: ZoneJudged, width: float, height: float, *, titled: bool = True) -> Scene:
    """Draw a series: points with the method's error, lines only where like follows like."""
    series = item.judged.series
    chart = charts.Chart(
        series=(charts.Series(tuple(_point(series, point) for point in series.points)),),
        title=told.chart_title(item) if titled else "",
        unit=formats.unit_label(series.unit) if series.unit and series.unit != "1" else "",
        empty=say("chart.empty"),
        described=told.trend_text(item),
        breaks=(*_breaks(series), *_repairs(item)),
        limit=_limit(item),
    )
    if series.scale:
        names = tuple(telling.grade(series.kind, series.component, code) for code in series.scale)
        return charts.grades(chart, names, width, height)
    return charts.trend(chart, width, height)


def _limit(item: ZoneJudged) -> charts.Limit | None:
    limit = item.limit
    if limit is None:
        return None
    value = formats.measured(limit.typed)
    return charts.Limit(limit.value, say("limit.line", value=value, by=limit.set_by))


def _point(series: Series, point: Point) -> charts.Point:
    spread = point.spread or 0.0
    value = told.point_value(series, point)
    apart = {
        name: condition
        for name, condition in point.conditions.items()
        if f"{name}_differs" in point.why_not
    }
    conditions = telling.conditions(apart or point.conditions)
    same = SAME_VISIT in point.why_not
    return charts.Point(
        moment(point.when).middle,
        point.value,
        said=say("chart.point", when=point.when, value=value),
        low=max(point.value - spread, 0.0) if spread else None,
        high=point.value + spread if spread else None,
        open=not point.comparable and _by_conditions(point),
        note=conditions if not point.comparable and _by_conditions(point) and not same else "",
        key=f"visit:{point.visit_id}:found",
    )


_BY_WORK = frozenset({"treated_between", "zone_redrawn", "repaired_between", "repainted_between"})


def _by_conditions(point: Point) -> bool:
    """Tell whether the point differs by how it was seen, not by what was done to the hull since."""
    return any(reason not in _BY_WORK for reason in point.why_not)


def _breaks(series: Series) -> tuple[charts.Break, ...]:
    """Return the cuts that work on the hull made; a point seen otherwise is drawn open instead."""
    cuts = []
    plain = [point for point in series.points if not _by_conditions(point)]
    for before, after in itertools.pairwise(plain):
        changed = [
            # A repair has a mark of its own.
            reason
            for reason in before.why_not
            if reason not in after.why_not and reason != "repaired_between"
        ]
        if changed:
            middle = (moment(before.when).middle + moment(after.when).middle) / 2
            cuts.append(charts.Break(middle, telling.reasons(changed)))
    return tuple(cuts)


_AFTER = 0.04
"""Years from a look to the repair that followed it at the same visit, as it is drawn."""


def _repairs(item: ZoneJudged) -> tuple[charts.Break, ...]:
    """Return a cut after each repair that another look followed."""
    if item.mended is None:
        return ()
    points = item.judged.series.points
    last = max((moment(point.when).middle for point in points), default=0.0)
    cuts = []
    for repair in item.repaired:
        here = [moment(one.when).middle for one in points if one.visit_id == repair.visit_id]
        at = max([*here, moment(repair.when).middle]) + _AFTER
        if repair.sort and at < last:
            cuts.append(charts.Break(at, say("chart.repaired")))
    return tuple(cuts)


# Anodes

_SHORTEST = 0.05
"""Years of shore power at the end of a chart below which there is nothing to see."""


def anode_scene(
    story: PositionStory, width: float, height: float, *, titled: bool = True
) -> Scene | None:
    """Draw the share left of each piece over the years, with shore power under the axis."""
    series = []
    for piece in story.pieces:
        points = []
        if piece.fitted and piece.start is not None:
            low, high = (100 * share for share in piece.start)
            points.append(
                charts.Point(
                    moment(piece.fitted).middle,
                    (low + high) / 2,
                    said=say("chart.anode_moved", when=piece.fitted)
                    if piece.moved
                    else say("chart.anode_fitted", when=piece.fitted),
                    low=low if piece.moved else None,
                    high=high if piece.moved else None,
                    fresh=piece.moved is None,
                )
            )
        for check in piece.checks:
            if check.left is None:
                continue
            low, high = (100 * share for share in check.left)
            points.append(
                charts.Point(
                    moment(check.when).middle,
                    (low + high) / 2,
                    said=told.check_text(check),
                    low=low,
                    high=high,
                    key=f"visit:{check.visit_id}:found",
                    by_eye=check.way == "by_eye",
                )
            )
        if points:
            series.append(charts.Series(tuple(points)))
    if not series:
        return None
    drawn = [point.x for one in series for point in one.points]
    chart_from, chart_to = min(drawn), max(drawn)
    spans = tuple(
        charts.Span(
            max(moment(span.begins).middle if span.begins else chart_from, chart_from),
            moment(span.ends).middle if span.ends else None,
            say("shore_power.plugged_with_isolator" if span.isolator else "shore_power.plugged"),
        )
        for span in story.shore
        if (span.ends is None or moment(span.ends).middle > chart_from)
        and (span.begins is None or moment(span.begins).middle < chart_to - _SHORTEST)
    )
    chart = charts.Chart(
        series=tuple(series),
        title=say("chart.anode", name=story.name) if titled else "",
        unit="%" if titled else say("chart.anode_unit"),
        described=told.wear_text(story),
        spans=spans,
    )
    return charts.anodes(chart, width, height)


# Paint


def build_up_scene(
    section: BuildUp, width: float, height: float | None = None, *, together: bool = False
) -> Scene:
    """Draw the section through the paint of a zone, as put on, as high as it needs or is given.

    ``together`` tells coats that went on alike as one, where each needs no region of its own.
    """
    below = (
        say_code("down_to", section.down_to) if section.down_to else say("buildup.unknown_below")
    )
    return buildup.section(
        buildup.Section(
            below,
            _together(section.layers) if together else tuple(map(_layer, section.layers)),
            empty=say("buildup.empty"),
            described=say("buildup.described", n=len(section.layers)),
        ),
        width,
        height,
    )


def _together(layers: Sequence[Layer]) -> tuple[buildup.Layer, ...]:
    """Return the coats, such as went on alike and one upon the other as one with their number."""
    told: list[buildup.Layer] = []
    for first, alike in itertools.groupby(_layer(layer) for layer in layers):
        count = len(list(alike))
        film = first.micrometres * count if first.micrometres is not None else None
        named = say_n("buildup.coats", count, name=first.name) if count > 1 else first.name
        told.append(replace(first, name=named, micrometres=film))
    return tuple(told)


def _layer(layer: Layer) -> buildup.Layer:
    parts = [
        formats.year(layer.when) if layer.when else "",
        say_code("coating_class", layer.coating_class),
        layer.colour or "",
    ]
    if layer.film_um is not None:
        film = formats.quantity(layer.film_um, "um", show="um")
        parts.append(say(f"buildup.film_{layer.film_from}", film=film))
    if layer.share < 1:
        parts.append(say("buildup.part", share=formats.share(layer.share)))
    return buildup.Layer(
        layer.product,
        ", ".join(part for part in parts if part),
        layer.colour_hex or "muted",
        layer.film_um,
        share=layer.share,
    )

"""Potentials of the hull over time, and what is said of each; in words no verdict."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hulllog.drawing import charts
from hulllog.drawing.strip import moment
from hulllog.words import formats, knows, say, say_code

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hulllog.drawing.scene import Scene
    from hulllog.insight.potentials import PotentialSeen
    from hulllog.trade.potentials import Comparison, PotentialRange


def potential_scene(found: Sequence[PotentialSeen], width: float, height: float) -> Scene:
    """Draw the readings over the years; those beside which no range stands are open."""
    told = next((one.beside[0].range for one in reversed(found) if one.beside), None)
    chart = charts.Chart(
        series=(charts.Series(tuple(map(_point, found))),),
        unit=say("potential.unit"),
        empty=say("potential.none"),
        described=say("potential.described", n=len(found)),
        zero=False,
        band=_band(told) if told is not None else None,
        breaks=(),
    )
    return charts.trend(chart, width, height)


def _point(seen: PotentialSeen) -> charts.Point:
    millivolts = 1000 * (seen.referred.value if seen.referred else seen.read.in_unit("V"))
    return charts.Point(
        moment(seen.when).middle,
        millivolts,
        said=say(
            "potential.point",
            when=seen.when,
            value=formats.quantity(millivolts / 1000, "V", show="mV"),
        ),
        open=not seen.beside,
        note="" if seen.beside else say("potential.not_judged"),
        key=f"visit:{seen.visit_id}:found",
    )


def _band(quoted: PotentialRange) -> charts.Band | None:
    if quoted.least is None or quoted.most is None:
        return None
    return charts.Band(
        1000 * quoted.most,
        1000 * quoted.least,
        say(
            "potential.rule_band",
            rule=say_code("potential_rule", quoted.rule),
            year=str(quoted.year or ""),
        ),
    )


def read_text(seen: PotentialSeen) -> str:
    """Say a reading with its electrode, water and shore power, and what it comes to."""
    told = say(
        "potential.read",
        when=seen.when,
        value=formats.measured(seen.read),
        electrode=_electrode(seen),
        water=say_code("water", seen.water),
        shore=say_code("shore_power", seen.shore),
    )
    if seen.referred is None or seen.electrode == "ag_agcl" or not seen.beside:
        return told
    value = formats.quantity(seen.referred.value, "V", show="mV")
    return f"{told} {say('potential.referred', value=value)}"


def _electrode(seen: PotentialSeen) -> str:
    code = f"condition.electrode.{seen.electrode}"
    return say(code) if knows(code) else say("word.not_recorded")


def beside_lines(seen: PotentialSeen) -> list[str]:
    """Say where it stands beside each range that is quoted, or why nothing is said."""
    if seen.why_not:
        values = {"electrode": _electrode(seen), "material": say_code("material", seen.material)}
        return [say(f"refusal.{seen.why_not}", **values)]
    return [_beside(one) for one in seen.beside]


def over_text(seen: PotentialSeen) -> str:
    """Say that it is more negative than a rule allows such a hull; empty where it is not."""
    return say(f"potential.over.{seen.material}") if seen.over else ""


def _beside(one: Comparison) -> str:
    quoted = one.range
    least, most = (
        formats.quantity(end, "V", show="mV") if end is not None else ""
        for end in (quoted.least, quoted.most)
    )
    ends = (
        say("potential.ends", least=least, most=most)
        if most
        else say("potential.from_least", least=least)
    )
    code = "potential.range" if quoted.year else "potential.range_undated"
    return say(
        code if quoted.current else "potential.range_older",
        rule=say_code("potential_rule", quoted.rule),
        year=str(quoted.year or ""),
        standing=say_code("potential_standing", one.standing),
        ends=ends,
    )

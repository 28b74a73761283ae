"""Corrections in words: what a figure was, and what it is now."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hulllog.trade import kinds
from hulllog.words import formats, knows, say, say_code, telling

if TYPE_CHECKING:
    from hulllog.insight.corrected import Altered


def altered_text(one: Altered) -> str:
    """Say what a correction altered: the old value first."""
    if one.name == "withdrawn":
        return say("altered.withdrawn")
    name = _name(one)
    if one.was is None:
        return say("altered.entered", field=name, now=_value(one, one.now))
    if one.now is None:
        return say("altered.gone", field=name, was=_value(one, one.was))
    return say("altered.was_is", field=name, was=_value(one, one.was), now=_value(one, one.now))


def _name(one: Altered) -> str:
    if one.kind == "particular":
        return say_code("particular", one.name)
    if one.kind is not None:
        return telling.component_name(one.kind, one.name)
    code = f"field.{one.name}"
    return say(code) if knows(code) else one.name.replace("_", " ")


def _value(one: Altered, value: object) -> str:
    if one.kind in (None, "particular") or not isinstance(value, str | int | float):
        return formats.anything(value)
    part = kinds.component(str(one.kind), one.name)
    figure = value if isinstance(value, str) else float(value)
    return telling.figure(str(one.kind), one.name, figure, part.unit if part else None)

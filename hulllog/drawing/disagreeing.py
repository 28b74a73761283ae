"""The sentences of what does not fit together on record: one each, in the window and in print."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING

from hulllog.words import formats, say, say_code, say_n, telling

if TYPE_CHECKING:
    from hulllog.insight.contradictions import Contradiction
    from hulllog.records.values import PartialDate

MOST_NAMES = 3
_PLAIN = {"coat"}
"""Steps that are named by what people wrote; the others by a code with a label."""
_LABELS = {"removal": "down_to", "treatment": "treatment", "stage": "stage"}


def contradiction_text(found: Contradiction) -> str:
    """Say what does not fit together, in one sentence."""
    return text_of(found.code, dict(found.values))


def text_of(code: str, values: dict[str, object]) -> str:
    """Say a code of a contradiction with its values."""
    told = {name: _told(value) for name, value in values.items()}
    if "step" in values:
        told["step"] = _step(str(values["step"]), str(values["what"]))
    for name in ("stage", "other"):
        if name in values:
            told[name] = say_code("stage", str(values[name]))
    if "visit_kind" in values:
        told["visit_kind"] = say_code("visit_kind", str(values["visit_kind"]))
    if "kind" in values:
        told["kind"] = telling.kind_name(str(values["kind"]))
    if code == "contradiction.ends_first":
        told["what"] = say_code("contradiction_span", str(values["span"]))
    elif "begins" in values and "ends" in values:
        told["span"] = formats.span(_date(values["begins"]), _date(values["ends"]))
    if "zones" in values:
        told["zones"] = _some(values["zones"])
        reasons = values["reasons"]
        assert isinstance(reasons, tuple)
        told["reasons"] = formats.joined([say_code("hidden_by", why) for why in reasons])
        if not reasons:
            told["reasons"] = say("word.not_recorded")
    if "n" in values:
        return say_n(code, int(str(values["n"])), **{k: v for k, v in told.items() if k != "n"})
    return say(code, **told)


def _told(value: object) -> object:
    return formats.day(value.date()) if isinstance(value, datetime) else value


def _date(value: object) -> PartialDate | None:
    return value  # type: ignore[return-value]


def _step(sort: str, what: str) -> str:
    named = what if sort in _PLAIN else say_code(_LABELS[sort], what)
    return say(f"contradiction_step.{sort}", what=named)


def _some(names: object) -> str:
    assert isinstance(names, tuple)
    told = formats.joined(names[:MOST_NAMES])
    more = len(names) - MOST_NAMES
    return f"{told} {say_n('word.more', more)}" if more > 0 else told

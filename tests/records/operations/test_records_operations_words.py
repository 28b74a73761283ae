"""Every action and every refusal of the records has its sentence."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

import hulllog.records
from hulllog.records.errors import Refused
from hulllog.records.operations import looks
from hulllog.records.operations.measuring import Rated
from hulllog.words import knows
from hulllog.words.errors import code_of, said

SOURCES = sorted(Path(hulllog.records.__file__).parent.rglob("*.py"))


def first_texts(*names):
    """Return the first argument of every call of these names, where it is written out."""
    found = set()
    for source in SOURCES:
        for node in ast.walk(ast.parse(source.read_text("utf-8"))):
            if isinstance(node, ast.Call):
                called = getattr(node.func, "attr", getattr(node.func, "id", ""))
                if called in names:
                    found |= {
                        arg.value
                        for arg in node.args[:2]
                        if isinstance(arg, ast.Constant) and isinstance(arg.value, str)
                    }
    return found


def test_every_action_has_a_sentence():
    actions = {text for text in first_texts("change", "change_fields", "_answer", "_turn")
               if "." in text}  # fmt: skip
    assert len(actions) > 70
    assert sorted(code for code in actions if not knows(f"action.{code}")) == []


def test_every_refusal_has_a_sentence():
    codes = {code for code in first_texts("Refused") if code.isidentifier()}
    assert len(codes) > 40
    missing = [c for c in codes if not (knows(f"refused.{c}") or knows(f"refusal.{c}"))]
    assert sorted(missing) == []


@pytest.mark.parametrize(
    "figures",
    [{"count": "x"}, {"count": "-1"}, {"count": "1,250"}, {"largest_mm": "3"}, {"smell": "2"}],
)
def test_what_was_refused_is_said_with_what_was_typed(boat, figures):
    with pytest.raises(Refused) as found:
        looks.log_inspection(
            boat.logbook, boat.visit, boat.zones["rudder"],
            ratings=[Rated("laminate-blisters", figures)],
        )  # fmt: skip
    assert code_of(found.value) != "problem.unworded"
    assert "{" not in said(found.value)

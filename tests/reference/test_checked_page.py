"""The page of checks is current, and every check would notice a wrong figure."""

from __future__ import annotations

import ast
import inspect
from pathlib import Path

from checks import Check, agree, counts, run, same
from nudge import REPORT, everything, notices_result, verdict
from write_page import PAGE, PLUMBING, every_check, page, pairs

import hulllog.trade
from hulllog.trade import compatibility, pieces, protection

CHECKS = every_check()


def test_the_page_is_current() -> None:
    written = PAGE.read_text(encoding="utf-8")
    assert written == page(CHECKS), "run: python tests/reference/write_page.py"


def test_there_are_enough_checks_from_enough_sources() -> None:
    counted = [check for check in CHECKS if counts(check)]
    assert len(pairs(CHECKS)) >= 70
    assert len({check.source for check in counted}) >= 35


def test_every_check_fails_when_a_constant_of_its_sum_is_one_percent_off() -> None:
    outcome = everything(CHECKS)
    assert [check.key for check in outcome.deaf] == []
    written = REPORT.read_text(encoding="utf-8")
    assert verdict(outcome) in written, "run: python tests/reference/nudge.py"


def test_a_check_that_compares_what_no_constant_moves_is_deaf() -> None:
    given = Check(compatibility.compatible, "a guide", "", "published", _a_verdict)
    outcome = everything([given])
    assert outcome.deaf == [given]
    assert verdict(outcome) == "**1 checks; 1 do not notice.**"


def test_a_check_with_a_loose_tolerance_is_deaf() -> None:
    given = Check(pieces.cylinder, "a guide", "", "published", _a_loose_area)
    assert everything([given]).deaf == [given]


def test_figures_that_hang_on_no_constant_are_heard_by_their_own_factor() -> None:
    given = Check(protection.anode_output, "a guide", "", "published", _a_quotient)
    outcome = everything([given])
    assert outcome.deaf == []
    assert outcome.ones == [given]


def _a_verdict() -> None:
    same(compatibility.compatible("unknown", "hard_antifouling").treatment, "tie_coat")


def _a_loose_area() -> None:
    agree(pieces.cylinder(0.04, 2).value, "0.25")


def _a_quotient() -> None:
    agree(protection.anode_output(0.25, 0.5).value, 0.5)


def test_each_check_has_a_name_of_its_own() -> None:
    keys = [check.key for check in CHECKS]
    assert len(set(keys)) == len(keys)


def test_each_check_is_of_a_public_sum_of_the_room() -> None:
    for check in CHECKS:
        plain = inspect.unwrap(check.function)
        assert plain.__module__.startswith("hulllog.trade."), check.name
        assert not plain.__name__.startswith("_"), check.name


def test_every_public_sum_has_a_pair_or_stands_among_the_unchecked() -> None:
    text = PAGE.read_text(encoding="utf-8")
    counted, unchecked = text.split("## Not counted")[0], text.split("## Unchecked")[1]
    for name in _public_functions():
        assert (f"| `{name}` |" in counted) != (f"- `{name}`" in unchecked.splitlines()), name


def _public_functions() -> list[str]:
    """Return the room's public functions as the files have them, so that none can be left out."""
    files = sorted(Path(next(iter(hulllog.trade.__path__))).glob("*.py"))
    return [
        f"{file.stem}.{node.name}"
        for file in files
        if file.stem not in PLUMBING
        for node in ast.parse(file.read_text(encoding="utf-8")).body
        if isinstance(node, ast.FunctionDef) and not node.name.startswith("_")
    ]


def test_a_result_one_percent_off_is_noticed_by_every_check_that_compares_figures() -> None:
    deaf = [
        f"{check.name} against {check.source}"
        for check in CHECKS
        if run(check).figures and notices_result(check) is False
    ]
    assert deaf == []

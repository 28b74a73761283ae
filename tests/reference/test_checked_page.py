"""The page of checks is current, and the checks would notice a wrong figure."""

from __future__ import annotations

import inspect

from checks import COUNTED, run
from nudge import notices_result
from write_page import PAGE, every_check, page, pairs

CHECKS = every_check()


def test_the_page_is_current() -> None:
    written = PAGE.read_text(encoding="utf-8")
    assert written == page(CHECKS), "run: python tests/reference/write_page.py"


def test_there_are_enough_checks_from_enough_sources() -> None:
    counted = [check for check in CHECKS if check.tag in COUNTED]
    assert len(pairs(CHECKS)) >= 70
    assert len({check.source for check in counted}) >= 35


def test_each_check_is_of_a_public_sum_of_the_room() -> None:
    for check in CHECKS:
        plain = inspect.unwrap(check.function)
        assert plain.__module__.startswith("hulllog.trade."), check.name
        assert not plain.__name__.startswith("_"), check.name


def test_a_result_one_percent_off_is_noticed_by_every_check_that_compares_figures() -> None:
    deaf = [
        f"{check.name} against {check.source}"
        for check in CHECKS
        if run(check).figures and notices_result(check) is False
    ]
    assert deaf == []

"""The page of checks is current, and the checks would notice a wrong figure."""

from __future__ import annotations

import inspect

from checks import counts, noticed, run
from nudge import REPORT, notices_again, notices_result
from write_page import PAGE, every_check, page, pairs

CHECKS = every_check()


def test_the_page_is_current() -> None:
    written = PAGE.read_text(encoding="utf-8")
    assert written == page(CHECKS), "run: python tests/reference/write_page.py"


def test_there_are_enough_checks_from_enough_sources() -> None:
    counted = [check for check in CHECKS if counts(check)]
    assert len(pairs(CHECKS)) >= 70
    assert len({check.source for check in counted}) >= 35


def test_each_check_that_counts_fails_when_a_constant_of_its_sum_is_one_percent_off() -> None:
    counted = [check for check in CHECKS if counts(check)]
    deaf = [check.key for check in notices_again(counted, noticed())]
    assert deaf == [], "run: python tests/reference/nudge.py, then write_page.py"


def test_what_is_written_of_nudges_is_of_these_checks() -> None:
    keys = [check.key for check in CHECKS]
    assert len(set(keys)) == len(keys)
    assert set(noticed()) <= set(keys)
    total = sum(counts(check) for check in CHECKS)
    assert f"{total} of them fail when a constant of their sum" in REPORT.read_text(
        encoding="utf-8"
    )


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

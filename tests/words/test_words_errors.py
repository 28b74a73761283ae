"""Errors in one sentence."""

from __future__ import annotations

import errno

import pytest

from hulllog.records.errors import LogbookProblem, Refused
from hulllog.trade.refusal import Refusal
from hulllog.words import errors
from hulllog.words.formats import THIN


def test_a_refused_number_says_the_bound_with_its_unit() -> None:
    error = Refused("number_high", field="length", typed="870", unit="m", high=60)
    assert errors.sentence(error) == (
        f"“870” is above 60.0{THIN}m, the most that is possible here; "
        "check the number and its unit."
    )


def test_both_readings_of_a_date_are_offered() -> None:
    error = Refused("date_two_ways", typed="03/04/2020", readings=["2020-04-03", "2020-03-04"])
    assert errors.sentence(error) == (
        "“03/04/2020” can be read two ways: 3 Apr 2020 or 4 Mar 2020. Pick one."
    )


def test_a_problem_with_the_logbook() -> None:
    said = errors.sentence(LogbookProblem("newer_logbook", found=9, known=1))
    assert "format 9" in said
    assert "up to 1" in said


def test_what_was_typed_is_not_read_as_a_field_or_code() -> None:
    said = errors.sentence(Refused("date_unread", typed="{field} <b>&"))
    assert said.startswith("“{field} <b>&”")


def test_a_value_that_is_a_code_is_said() -> None:
    said = errors.sentence(LogbookProblem("read_only", why="in_use"))
    assert "another program has it open" in said


def test_an_error_without_a_sentence_names_its_code() -> None:
    said = errors.sentence(Refusal("not_worded_at_all", value=3))
    assert "not_worded_at_all" in said


@pytest.mark.parametrize("number", [errno.ENOSPC, errno.EACCES, errno.ENOENT, errno.EROFS, 9999])
def test_files(number: int) -> None:
    said = errors.said(OSError(number, "strange", "/media/boat/hull.jpg"))
    assert "/media/boat/hull.jpg" in said
    assert said.endswith(".")


def test_what_was_not_foreseen() -> None:
    assert "ZeroDivisionError" in errors.said(ZeroDivisionError())


def test_a_code_of_another_family_is_said_with_its_values() -> None:
    values = {"high": 60, "unit": "m", "typed": "870"}
    said = errors.sentence_for("refused", "number_high", values)
    assert f"60.0{THIN}m" in said
    assert "strange_code" in errors.sentence_for("refused", "strange_code", {})

"""A computed figure in words, with all that it came from."""

from __future__ import annotations

import pytest

from hulllog.records.values import PartialDate
from hulllog.trade.working import Input, Interval, Source, Working
from hulllog.words import UnknownCode, codes, working
from hulllog.words.formats import THIN


def a_working(**changed: object) -> Working:
    parts: dict[str, object] = {
        "name": "example",
        "value": 0.0124,
        "unit": "m",
        "formula": "d = a · b",
        "inputs": (
            Input("a", 0.31, "m2"),
            Input("b", 2.0, "1", "assumed"),
            Input("c", "brackish"),
        ),
        "source": Source("published", "Example Handbook, section 4"),
        "interval": Interval(0.011, 0.0139, "confidence", 0.9),
    }
    return Working(**{**parts, **changed})  # type: ignore[arg-type]


def test_a_working_is_said_line_by_line() -> None:
    said = working.said(a_working(), show="mm")
    assert said.title == "Example figure"
    assert said.figure == f"12.4{THIN}mm (11.0–13.9)"
    assert said.lines == (
        "Formula: d = a · b",
        f"a = 0.31{THIN}m²",
        "b = 2.00 (assumed)",
        "c = brackish",
        f"It lies between 11.0–13.9{THIN}mm, with a confidence of 90{THIN}%.",
        "Published: Example Handbook, section 4.",
    )


def test_a_count_among_the_inputs_has_no_decimals() -> None:
    assert working.said(a_working(inputs=(Input("n", 6),))).inputs == ("n = 6",)


def test_a_working_without_interval_says_none() -> None:
    said = working.said(a_working(interval=None), show="mm")
    assert said.figure == f"12.4{THIN}mm"
    assert said.interval == ""


@pytest.mark.parametrize(
    "tag", ["published", "common practice", "from memory", "our own rule", "recorded"]
)
@pytest.mark.parametrize("title", ["", "A Table"])
def test_every_source_tag_is_worded(tag: str, title: str) -> None:
    sentence = working.source_sentence(Source(tag, title))  # type: ignore[arg-type]
    assert sentence.endswith(".")
    assert title in sentence


@pytest.mark.parametrize("kind", ["confidence", "prediction", "band", "readings"])
@pytest.mark.parametrize("level", [None, 0.9])
def test_every_kind_of_interval_is_worded(kind: str, level: float | None) -> None:
    said = working.said(a_working(interval=Interval(0.011, 0.0139, kind, level)), show="mm")
    assert "11.0–13.9" in said.interval


def test_a_caution_without_a_sentence_is_refused() -> None:
    with pytest.raises(UnknownCode, match=r"caution\.nowhere"):
        working.said(a_working(cautions=("nowhere",)))


def test_the_example_is_in_the_catalogue() -> None:
    assert "working.example" in codes()


def test_what_is_set_low_is_told_from_the_rest() -> None:
    line = "c = (m₀ − m_i)/t_{n−1}·τ_low"
    assert working.lowered(line) == (
        ("c = (m₀ − m", False),
        ("i", True),
        (")/t", False),
        ("n−1", True),
        ("·τ", False),
        ("low", True),
    )
    assert working.plain(line) == "c = (m₀ − mi)/tn−1·τlow"


def test_a_series_among_the_inputs_is_said_figure_by_figure() -> None:
    said = working.said(
        a_working(inputs=(Input("y", (5.0, 11.0, 17.0)), Input("t", (0.0, 1.018), "year")))
    )
    assert said.inputs == ("y = 5; 11; 17", f"t = 0.00; 1.02{THIN}years")


def test_a_date_among_the_inputs_is_said_as_well_as_it_is_known() -> None:
    said = working.said(a_working(inputs=(Input("t₁", PartialDate.parse("2019-04")),)))
    assert said.inputs == ("t₁ = Apr 2019",)

"""Saying codes: every code has a sentence, and no value is ever read as one."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hulllog.words import UnknownCode, codes, knows, language, say, say_code, say_n, use


def test_a_code_is_said() -> None:
    assert say("page.today") == "Today"


def test_an_unknown_code_is_refused() -> None:
    with pytest.raises(UnknownCode, match=r"no sentence for the code page\.nowhere"):
        say("page.nowhere")


def test_an_unknown_code_is_a_key_error() -> None:
    with pytest.raises(KeyError):
        say_n("page.nowhere", 3)


def test_a_missing_field_is_refused() -> None:
    with pytest.raises(UnknownCode, match=r"spot\.numbered needs a value for number"):
        say("spot.numbered")


@pytest.mark.parametrize(
    ("n", "said"), [(0, "0 photos"), (1, "1 photo"), (2, "2 photos"), (21, "21 photos")]
)
def test_plurals(n: int, said: str) -> None:
    assert say_n("photo.count", n) == said


def test_the_us_words_override_and_the_rest_stays() -> None:
    use("en_US")
    assert language() == "en_US"
    assert say_code("material", "grp") == "fiberglass"
    assert say_n("haul_out.count", 2) == "2 haulouts"
    assert say("page.today") == "Today"


def test_an_unknown_language_is_refused() -> None:
    with pytest.raises(UnknownCode, match="tlh"):
        use("tlh")
    assert language() == "en_GB"


def test_a_stored_code_from_a_newer_version_is_shown_as_it_is() -> None:
    assert say_code("material", "grp") == "GRP"
    assert say_code("material", "graphene") == "“graphene” (from a newer version)"


@given(st.text())
def test_a_value_is_never_read_as_a_field(text: str) -> None:
    assert text in say("record.withdrawn_because", reason=text)


def test_a_value_with_braces_stays_as_it_is() -> None:
    said = say("record.withdrawn_because", reason="{date} {0} {reason.__class__} %s")
    assert "{date} {0} {reason.__class__} %s" in said


def test_codes_are_those_that_can_be_said() -> None:
    assert "page.today" in codes()
    assert knows("photo.count")
    assert not knows("page.nowhere")

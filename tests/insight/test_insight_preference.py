from __future__ import annotations

import pytest

from hulllog.insight.preference import preference
from hulllog.records.logbook import Logbook
from hulllog.records.operations.around import set_setting
from hulllog.words.preference import Preference


@pytest.fixture
def logbook(tmp_path):
    with Logbook.create(tmp_path / "book") as made:
        yield made


def chosen(logbook):
    with logbook.read() as book:
        return preference(book)


def test_a_new_logbook_speaks_as_it_comes(logbook):
    assert chosen(logbook) == Preference()


def test_units_words_and_locale_are_as_the_owner_set_them(logbook):
    set_setting(logbook, "units", {"system": "us"})
    set_setting(logbook, "words", {"language": "en_US"})
    assert chosen(logbook) == Preference(units="us", words="en_US", locale="en_US")
    set_setting(logbook, "locale", {"name": "de"})
    assert chosen(logbook) == Preference(units="us", words="en_US", locale="de")


@pytest.mark.parametrize(
    "value", [{"system": "cubits"}, {"language": "tlh"}, {"name": "xx_no"}, {}]
)
def test_what_is_not_known_here_is_as_it_comes(logbook, value):
    for name in ("units", "words", "locale"):
        set_setting(logbook, name, value)
    assert chosen(logbook) == Preference()

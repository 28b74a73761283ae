"""How the owner wants values and words: the settings that travel with the logbook."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, get_args

from hulllog.records.operations.queries import setting
from hulllog.words.catalogue import Language
from hulllog.words.preference import Preference, System

if TYPE_CHECKING:
    from hulllog.records.book import Book


def preference(book: Book) -> Preference:
    """Return units, words and locale as set; what was never set, or is not known, is as it comes.

    Settings: ``units`` with ``system``, ``words`` with ``language``, ``locale`` with ``name``.
    """
    chosen = Preference()
    units, words, locale = (setting(book, name) or {} for name in ("units", "words", "locale"))
    for system in get_args(System):
        if units.get("system") == system:
            chosen = replace(chosen, units=system)
    for language in get_args(Language):
        if words.get("language") == language:
            chosen = replace(chosen, words=language, locale=language)
    name = locale.get("name")
    return replace(chosen, locale=name) if isinstance(name, str) and _known(name) else chosen


def _known(locale: str) -> bool:
    from babel.core import Locale, UnknownLocaleError

    try:
        Locale.parse(locale)
    except (UnknownLocaleError, ValueError):
        return False
    return True

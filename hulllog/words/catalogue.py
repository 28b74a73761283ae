"""The catalogue: codes in, sentences out.

A code names a sentence, for example ``page.today`` or ``refusal.above_range``.  Sentences are in
``resources/words/<language>/*.po`` and are compiled by ``resources/make_catalogue.py``.
"""

from __future__ import annotations

import gettext
import re
from functools import cache
from typing import TYPE_CHECKING, Literal, TypeAlias, get_args

from hulllog.assets import resource

if TYPE_CHECKING:
    from collections.abc import Mapping

Language: TypeAlias = Literal["en_GB", "en_US"]

_BASE: Language = "en_GB"
_FIELD = re.compile(r"\{([a-z][a-z0-9_]*)\}")


class UnknownCode(KeyError):
    """No sentence stands under this code, or a field of its sentence was not given."""

    def __str__(self) -> str:
        return str(self.args[0])


class _Translations(gettext.GNUTranslations):
    """A compiled catalogue that can also list its codes."""

    def codes(self) -> frozenset[str]:
        catalogue: dict[str | tuple[str, int], str] = self._catalog  # type: ignore[attr-defined]
        found = {key if isinstance(key, str) else key[0] for key in catalogue}
        return frozenset(found - {""})


class _Current:
    """Which language is spoken now."""

    language: Language = _BASE


@cache
def _own(language: Language) -> _Translations:
    with resource(f"locale/{language}/LC_MESSAGES/hulllog.mo").open("rb") as stream:
        return _Translations(stream)


@cache
def _spoken(language: Language) -> _Translations:
    if language == _BASE:
        return _own(_BASE)
    with resource(f"locale/{language}/LC_MESSAGES/hulllog.mo").open("rb") as stream:
        translations = _Translations(stream)
    translations.add_fallback(_own(_BASE))
    return translations


def use(language: str) -> None:
    """Speak this language from now on: ``en_GB`` or ``en_US``; UnknownCode for any other."""
    for known in get_args(Language):
        if known == language:
            _Current.language = known
            return
    raise UnknownCode(f"no catalogue for the language {language}")


def language() -> Language:
    """Return the language that is spoken now."""
    return _Current.language


@cache
def codes() -> frozenset[str]:
    """Return every code that has a sentence."""
    return _own(_BASE).codes()


def knows(code: str) -> bool:
    """Tell whether a sentence stands under the code."""
    return code in codes()


def say(code: str, /, **values: object) -> str:
    """Return the sentence of a code, its named fields filled with ``values``.

    Text goes in as it is: braces in it are never read as fields.  Numbers and dates are written
    by the locale, lists with commas and "and".  Raises UnknownCode for an unknown code or a field
    that was not given; a value that the sentence does not use is let pass.
    """
    sentence = _spoken(_Current.language).gettext(code)
    return _filled(code, sentence, values)


def say_n(code: str, n: int, /, **values: object) -> str:
    """Return the sentence for ``n`` of something; ``{n}`` is one of its fields.

    Raises UnknownCode as ``say`` does.
    """
    sentence = _spoken(_Current.language).ngettext(code, code, n)
    return _filled(code, sentence, {"n": n, **values})


def say_code(prefix: str, code: str) -> str:
    """Return the label of a stored code, for example ``say_code("material", "grp")``.

    A code without a label came from a newer version: it is shown as it is and marked so.
    """
    full = f"{prefix}.{code}"
    return say(full) if knows(full) else say("word.code_not_known_here", code=code)


def _filled(code: str, sentence: str, values: Mapping[str, object]) -> str:
    if sentence == code:
        raise UnknownCode(f"no sentence for the code {code}")

    def fill(field: re.Match[str]) -> str:
        name = field[1]
        if name not in values:
            raise UnknownCode(f"the sentence {code} needs a value for {name}")
        return _shown(values[name])

    return _FIELD.sub(fill, sentence)


def _shown(value: object) -> str:
    if isinstance(value, str):
        return value
    from hulllog.words import formats

    return formats.anything(value)

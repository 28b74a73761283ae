"""What the owner picked: units, words, and the locale of numbers and dates."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, TypeAlias

from hulllog.words.catalogue import Language, use

System: TypeAlias = Literal["metric", "imperial", "us"]


@dataclass(frozen=True, slots=True)
class Preference:
    """What the owner picked: units, words, and the locale of numbers and dates.

    ``locale`` is any that Babel knows, for example ``de`` for a decimal comma.
    """

    units: System = "metric"
    words: Language = "en_GB"
    locale: str = "en_GB"


class _Current:
    preference = Preference()


def prefer(preference: Preference) -> None:
    """Speak and write by this preference from now on."""
    use(preference.words)
    _Current.preference = preference


def preferred() -> Preference:
    """Return the preference that holds now."""
    return _Current.preference

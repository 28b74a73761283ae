"""Every sentence that a person reads, kept in one catalogue and found by its code.

The rooms below hand up codes and values; the rooms above ask here for the wording.
"""

from __future__ import annotations

from hulllog.words.catalogue import (
    Language,
    UnknownCode,
    codes,
    knows,
    language,
    say,
    say_code,
    say_n,
    use,
)

__all__ = [
    "Language",
    "UnknownCode",
    "codes",
    "knows",
    "language",
    "say",
    "say_code",
    "say_n",
    "use",
]

"""Labels read back: the code that a typed word stands for."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from hulllog.words.catalogue import knows, say

if TYPE_CHECKING:
    from collections.abc import Sequence

_BREAKS = re.compile(r"[\s_\-./()]+")


def plain(text: str) -> str:
    """Return a text as it is compared: small letters, words apart by one space."""
    return _BREAKS.sub(" ", text.casefold()).strip()


def listed(code: str) -> tuple[str, ...]:
    """Return the words of a catalogue entry that is a list, as they are compared."""
    return tuple(plain(one) for one in say(code).split(",")) if knows(code) else ()


def words_for(family: str, code: str) -> tuple[str, ...]:
    """Return what may be typed for a code: the code, its label, and ``<family>_also`` words."""
    label = say(f"{family}.{code}") if knows(f"{family}.{code}") else code
    return (plain(code), plain(label), *listed(f"{family}_also.{code}"))


def code_typed(family: str, typed: str, codes: Sequence[str]) -> str | None:
    """Return the code that a typed label means: whole, or the beginning of only one."""
    wanted = plain(typed)
    if not wanted:
        return None
    offered = {code: words_for(family, code) for code in codes}
    for code, words in offered.items():
        if wanted in words:
            return code
    begun = [code for code, words in offered.items() if any(w.startswith(wanted) for w in words)]
    return begun[0] if len(begun) == 1 else None

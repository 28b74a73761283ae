"""A long digest as six words that can be read out over the telephone.

The list of 2,048 words is our own choice and is frozen: a digest printed once must give the same
words for ever.  No two words begin with the same four letters, so four letters are enough.
"""

from __future__ import annotations

from functools import cache

from hulllog.assets import resource

WORDS = 6
_BITS = 11
_HEX_DIGITS = 17  # 68 bits, of which 66 are said
_SPARE = _HEX_DIGITS * 4 - WORDS * _BITS
_ENOUGH = 4


@cache
def word_list() -> tuple[str, ...]:
    """Return the frozen list: 2,048 words in alphabetical order."""
    return tuple(resource("words-2048.txt").read_text(encoding="ascii").split())


def six_words(hex_digest: str) -> str:
    """Say the first 66 bits of a digest in six words; ValueError for one that is too short."""
    if len(hex_digest) < _HEX_DIGITS:
        raise ValueError(f"a digest has at least {_HEX_DIGITS} digits, not {len(hex_digest)}")
    bits = int(hex_digest[:_HEX_DIGITS], 16) >> _SPARE
    places = range((WORDS - 1) * _BITS, -1, -_BITS)
    return " ".join(word_list()[bits >> place & (2**_BITS - 1)] for place in places)


def is_said_by(words: str, hex_digest: str) -> bool:
    """Tell whether words that a person typed or heard say this digest; case does not matter."""
    typed = [word[:_ENOUGH] for word in words.lower().replace("-", " ").split()]
    return typed == [word[:_ENOUGH] for word in six_words(hex_digest).split()]

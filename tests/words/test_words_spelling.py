"""Six words for a digest."""

from __future__ import annotations

import hashlib
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hulllog.assets import resource
from hulllog.words.spelling import is_said_by, six_words, word_list

# The list may never change: heads were printed with it.
FROZEN = "a9455a33a997c2ec53599a94040d221c430718cacc58ffb830177223a276a2a2"


def test_the_list_is_frozen() -> None:
    assert hashlib.sha256(resource("words-2048.txt").read_bytes()).hexdigest() == FROZEN


def test_the_list_is_2048_short_words_told_apart_by_four_letters() -> None:
    words = word_list()
    assert len(words) == 2048
    assert list(words) == sorted(set(words))
    assert all(re.fullmatch("[a-z]{3,8}", word) for word in words)
    assert len({word[:4] for word in words}) == 2048


def test_the_first_and_the_last_word() -> None:
    first, last = word_list()[0], word_list()[-1]
    assert six_words("0" * 64) == " ".join([first] * 6)
    assert six_words("f" * 64) == " ".join([last] * 6)


def test_each_eleven_bits_are_one_word() -> None:
    digest = f"{(1 << 55 | 2 << 44 | 3 << 33 | 4 << 22 | 5 << 11 | 6) << 2:017x}"
    assert six_words(digest) == " ".join(word_list()[1:7])


digests = st.text("0123456789abcdef", min_size=64, max_size=64)


@given(digests)
def test_the_words_hold_66_bits(digest: str) -> None:
    bits = 0
    for word in six_words(digest).split():
        bits = bits << 11 | word_list().index(word)
    assert bits == int(digest, 16) >> (256 - 66)


@given(digests, digests)
def test_words_belong_to_one_digest(one: str, other: str) -> None:
    assert is_said_by(six_words(one).upper(), one)
    assert is_said_by(six_words(one), other) == (one[:16] == other[:16] and _same_66(one, other))


def _same_66(one: str, other: str) -> bool:
    return int(one, 16) >> (256 - 66) == int(other, 16) >> (256 - 66)


def test_four_letters_are_enough() -> None:
    digest = hashlib.sha256(b"a head").hexdigest()
    assert is_said_by("-".join(word[:4] for word in six_words(digest).split()), digest)


def test_a_short_digest_is_refused() -> None:
    with pytest.raises(ValueError, match="at least 17 digits"):
        six_words("abc")

"""Photographs that look alike: put together, never dropped.

Two are alike where their fingerprints (``records.pictures.fingerprint``) differ in few of 64 bits,
and a group is what is alike one to the next.  The rule and its limit are ours: it finds the second
press of the shutter, not the same place a year later.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping

MOST_BITS = 5
"""Bits of 64 up to which two are alike."""


def groups(prints: Mapping[str, int | None]) -> list[list[str]]:
    """Return the groups of two and more, in the order of the photographs."""
    found: list[list[str]] = []
    for key, bits in prints.items():
        if bits is None:
            continue
        near = [group for group in found if any(_near(bits, prints[one]) for one in group)]
        merged = [one for group in near for one in group] + [key]
        if near:
            found[found.index(near[0])] = merged
            found = [group for group in found if not any(group is one for one in near[1:])]
        else:
            found.append(merged)
    order = {key: at for at, key in enumerate(prints)}
    return [sorted(group, key=order.__getitem__) for group in found if len(group) > 1]


def _near(bits: int, other: int | None) -> bool:
    return other is not None and (bits ^ other).bit_count() <= MOST_BITS

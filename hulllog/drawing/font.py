"""The one type family of window and paper, measured from the font's own units.

Widths come from the file, not from a screen, so that a text takes the same room in both painters.
Only the five tables needed for that are read, once, when first asked for.
"""

from __future__ import annotations

import struct
import unicodedata
from dataclasses import dataclass
from functools import cache, lru_cache
from typing import TYPE_CHECKING

from hulllog.assets import resource

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path

FAMILY = "IBM Plex Sans"
REGULAR = "IBMPlexSans-Regular"
SEMIBOLD = "IBMPlexSans-SemiBold"
ELLIPSIS = "…"
SMALL, BODY, HEAD = 2.9, 3.4, 4.2
"""Type sizes in mm: 11, 13 and 16 pixels at 96 to the inch; 8, 10 and 12 points on paper."""
_OPEN, _SHUT = "‹", "›"
_CAP = 0.698
"""The height of a capital as a share of the size, so that layout needs not open the file."""


@dataclass(frozen=True, slots=True)
class Face:
    """What is known of one weight: heights as shares of the type size, glyphs, advances."""

    units: int
    ascent: float
    descent: float
    cap_height: float
    x_height: float
    glyphs: Mapping[int, int]
    advances: tuple[int, ...]

    def advance(self, character: str) -> float:
        """Return the advance of a character as a share of the type size.  KeyError if missing."""
        return self.advances[self.glyphs[ord(character)]] / self.units


def file_of(*, bold: bool = False) -> Path:
    """Return the path of the TTF of a weight."""
    return resource(f"fonts/{name_of(bold=bold)}.ttf")


def name_of(*, bold: bool = False) -> str:
    """Return the PostScript name of a weight."""
    return SEMIBOLD if bold else REGULAR


def licence_file() -> Path:
    """Return the path of the family's licence, the SIL Open Font License 1.1."""
    return resource("fonts/OFL.txt")


def _tables(data: bytes) -> dict[str, bytes]:
    (count,) = struct.unpack_from(">H", data, 4)
    found = {}
    for index in range(count):
        tag, _, offset, length = struct.unpack_from(">4sLLL", data, 12 + 16 * index)
        found[tag.decode("ascii")] = data[offset : offset + length]
    return found


def _segments(cmap: bytes) -> bytes:
    """Return the format 4 subtable: all characters of the basic plane.  ValueError if none."""
    (count,) = struct.unpack_from(">H", cmap, 2)
    for index in range(count):
        _, _, offset = struct.unpack_from(">HHL", cmap, 4 + 8 * index)
        if struct.unpack_from(">H", cmap, offset) == (4,):
            return cmap[offset:]
    raise ValueError("cmap")


def _glyphs(cmap: bytes) -> dict[int, int]:
    part = _segments(cmap)
    count = struct.unpack_from(">H", part, 6)[0] // 2
    ends = struct.unpack_from(f">{count}H", part, 14)
    starts = struct.unpack_from(f">{count}H", part, 16 + 2 * count)
    deltas = struct.unpack_from(f">{count}H", part, 16 + 4 * count)
    at = 16 + 6 * count
    offsets = struct.unpack_from(f">{count}H", part, at)
    found = {}
    for index, (start, end) in enumerate(zip(starts, ends, strict=True)):
        for code in range(start, min(end, 0xFFFE) + 1):
            glyph = code
            if offsets[index]:
                place = at + 2 * index + offsets[index] + 2 * (code - start)
                (glyph,) = struct.unpack_from(">H", part, place)
                if glyph == 0:
                    continue
            glyph = (glyph + deltas[index]) & 0xFFFF
            if glyph:
                found[code] = glyph
    return found


def _advances(hmtx: bytes, measured: int, total: int) -> tuple[int, ...]:
    widths = struct.unpack_from(">" + "Hh" * measured, hmtx)[::2]
    return tuple(widths) + (widths[-1],) * (total - measured)


@cache
def face(*, bold: bool = False) -> Face:
    """Read one weight of the family."""
    tables = _tables(file_of(bold=bold).read_bytes())
    (units,) = struct.unpack_from(">H", tables["head"], 18)
    ascent, descent = struct.unpack_from(">hh", tables["hhea"], 4)
    (measured,) = struct.unpack_from(">H", tables["hhea"], 34)
    (total,) = struct.unpack_from(">H", tables["maxp"], 4)
    x_height, cap_height = struct.unpack_from(">hh", tables["OS/2"], 86)
    return Face(
        units=units,
        ascent=ascent / units,
        descent=-descent / units,
        cap_height=cap_height / units,
        x_height=x_height / units,
        glyphs=_glyphs(tables["cmap"]),
        advances=_advances(tables["hmtx"], measured, total),
    )


def _has(character: str) -> bool:
    return ord(character) in face().glyphs and ord(character) in face(bold=True).glyphs


def _unseen(character: str) -> bool:
    """Say if a character only steers the layout and has no look of its own."""
    return unicodedata.category(character) == "Cf" or "\ufe00" <= character <= "\ufe0f"


def missing(text: str) -> tuple[str, ...]:
    """Return the visible characters of a text that the family lacks, each once, in order."""
    known = unicodedata.normalize("NFC", text)
    lacking = (c for c in known if not _has(c) and not _unseen(c) and not c.isspace())
    return tuple(dict.fromkeys(lacking))


@lru_cache(maxsize=4096)
def _covered(text: str) -> bool:
    return all(_has(character) for character in text)


def printable(text: str) -> str:
    """Return the text with what the family lacks marked by code, as ``‹U+1F6A4›``.

    Neighbours share one mark, ``‹U+6F22 U+5B57›``.  Characters without a look of their own are
    left out; tabs and line ends become spaces.
    """
    if _covered(text):
        return text
    out: list[str] = []
    held: list[str] = []
    for character in unicodedata.normalize("NFC", text):
        if _has(character) or character.isspace():
            out += _mark(held)
            held = []
            out.append(character if _has(character) else " ")
        elif not _unseen(character):
            held.append(character)
    return "".join(out + _mark(held))


def _mark(held: list[str]) -> list[str]:
    if not held:
        return []
    return [_OPEN + " ".join(f"U+{ord(character):04X}" for character in held) + _SHUT]


@lru_cache(maxsize=4096)
def _width(text: str, bold: bool) -> float:
    known = face(bold=bold)
    return sum(known.advance(character) for character in printable(text))


def width(text: str, size: float, *, bold: bool = False) -> float:
    """Return the width of a line in the unit of ``size``; missing characters as their marks."""
    return _width(text, bold) * size


def cap_height(size: float) -> float:
    """Return the height of a capital above the baseline, in the unit of ``size``."""
    return _CAP * size


def fit(text: str, room: float, size: float, *, bold: bool = False) -> str:
    """Return the text, cut with an ellipsis if it is wider than ``room``; empty if nothing fits."""
    if width(text, size, bold=bold) <= room:
        return text
    low, high = 0, len(text)
    while low < high:
        middle = (low + high + 1) // 2
        if width(_cut(text, middle), size, bold=bold) <= room:
            low = middle
        else:
            high = middle - 1
    cut = _cut(text, low)
    return cut if width(cut, size, bold=bold) <= room else ""


def _cut(text: str, count: int) -> str:
    while 0 < count < len(text) and unicodedata.combining(text[count]):
        count -= 1
    return text[:count].rstrip() + ELLIPSIS


def wrap(text: str, room: float, size: float, *, bold: bool = False) -> tuple[str, ...]:
    """Break a text into lines no wider than ``room``; a word that is wider is cut in pieces."""
    lines: list[str] = []
    line = ""
    for word in text.split(" "):
        joined = f"{line} {word}" if line else word
        if width(joined, size, bold=bold) <= room:
            line = joined
            continue
        if line:
            lines.append(line)
        pieces = _pieces(word, room, size, bold)
        lines += pieces[:-1]
        line = pieces[-1]
    return (*lines, line) if line or not lines else tuple(lines)


def _pieces(word: str, room: float, size: float, bold: bool) -> list[str]:
    pieces = [""]
    for character in word:
        if pieces[-1] and width(pieces[-1] + character, size, bold=bold) > room:
            pieces.append(character)
        else:
            pieces[-1] += character
    return pieces

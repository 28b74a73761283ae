"""Following the journal of a file: every digest computed again, every row held against it.

It works on the file as it is, with whatever tables and columns it has, and past the models: this is
the judge of what they wrote.
"""

from __future__ import annotations

import hashlib
import json
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import groupby
from operator import itemgetter
from typing import TYPE_CHECKING, Any

from hulllog.records import sqlite
from hulllog.records.journal import JOURNAL_TABLES, entry_digest
from hulllog.records.types import read_instant

if TYPE_CHECKING:
    import sqlite3

LAST = 1 << 60
"""Place of a problem that belongs to no entry, after those that do."""

_ENTRY_FIELDS = (
    "written", "id", "replica", "sequence", "parent_a", "parent_b", "at", "person", "kind",
    "action", "details_digest", "digest",
)  # fmt: skip
_SQL_ENTRIES = f"SELECT {', '.join(_ENTRY_FIELDS)} FROM journal_entry ORDER BY written"
_SQL_ROWS = (
    "SELECT written, table_name, row_key, operation, before_digest, after_digest"
    " FROM journal_row ORDER BY written, position"
)
_SQL_IMAGES = "SELECT digest, salt, image FROM journal_image"
_NAMES = ("name", "title", "label", "begins_text", "text", "file_name", "code", "number")
_encode = json.JSONEncoder(sort_keys=True, separators=(",", ":"), ensure_ascii=False).encode

RowKey = tuple[str, str]


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing that is wrong: a code, values, and the number of the entry where it shows."""

    code: str
    values: dict[str, Any]
    place: int = LAST


@dataclass(slots=True)
class Chain:
    """What following the journal brought: its shape, what is wrong, how much was seen."""

    problems: list[Problem] = field(default_factory=list)
    parents: dict[str, list[str]] = field(default_factory=dict)
    """Digest of each entry -> the digests of those before it."""
    numbers: dict[str, int] = field(default_factory=dict)
    heads: dict[str, None] = field(default_factory=dict)
    rows: int = 0
    withheld: int = 0
    redacted: bool = False
    _known: dict[RowKey, tuple[str | None, int]] = field(default_factory=dict)
    _wanted: dict[str, int] = field(default_factory=dict)
    _current: dict[str, tuple[RowKey, str, str]] = field(default_factory=dict)
    _lost: dict[str, tuple[RowKey, int]] = field(default_factory=dict)
    _sequences: dict[str, int] = field(default_factory=dict)

    def wrong(self, code: str, place: int = LAST, **values: Any) -> None:
        """Note a problem."""
        self.problems.append(Problem(code, values, place))

    def before(self, digests: list[str]) -> set[str]:
        """Return entries and all those before them."""
        found: set[str] = set()
        left = list(digests)
        while left:
            digest = left.pop()
            if digest in self.parents and digest not in found:
                found.add(digest)
                left += self.parents[digest]
        return found


def follow(connection: sqlite3.Connection) -> Chain:
    """Follow the journal from its first entry, then hold rows and images against it."""
    chain = Chain()
    _objects(chain, connection)
    _entries(chain, connection)
    if len(chain.heads) > 1:
        chain.wrong("heads_several", count=len(chain.heads))
    _records(chain, connection)
    _images(chain, connection)
    return chain


def _objects(chain: Chain, connection: sqlite3.Connection) -> None:
    """Name what a logbook never has: something that acts by itself when it is written to."""
    for name in sqlite.strange_objects(connection):
        chain.wrong("strange_object", name=name)


# Entries


def _entries(chain: Chain, connection: sqlite3.Connection) -> None:
    by_entry = groupby(connection.cursor().execute(_SQL_ROWS), key=itemgetter(0))
    number, group = next(by_entry, (LAST, iter(())))
    for row in connection.cursor().execute(_SQL_ENTRIES):
        entry = dict(zip(_ENTRY_FIELDS, row, strict=True))
        while number < entry["written"]:
            chain.wrong("rows_without_entry", number, entry=number)
            number, group = next(by_entry, (LAST, iter(())))
        touched: list[tuple[Any, ...]] = []
        if number == entry["written"]:
            touched = list(group)
            number, group = next(by_entry, (LAST, iter(())))
        _entry(chain, entry, touched)
    if number != LAST:
        chain.wrong("rows_without_entry", number, entry=number)


def _entry(chain: Chain, entry: dict[str, Any], touched: list[tuple[Any, ...]]) -> None:
    number, digest = entry["written"], entry["digest"]
    told = {"entry": number, "at": _moment(entry["at"]), "action": entry["action"]}
    if entry_digest(entry, [row[1:] for row in touched]) != digest:
        chain.wrong("entry_altered", number, **told)
    parents = [parent for parent in (entry["parent_a"], entry["parent_b"]) if parent]
    for parent in parents:
        if parent not in chain.parents:
            chain.wrong("entry_missing_before", number, **told)
        chain.heads.pop(parent, None)
    if not parents and chain.parents:
        chain.wrong("entry_missing_before", number, **told)
    chain.parents[digest] = parents
    chain.numbers[digest] = number
    chain.heads[digest] = None
    before = chain._sequences.get(entry["replica"], 0)
    if entry["sequence"] != before + 1:
        chain.wrong("sequence_gap", number, missing=before + 1, **told)
    chain._sequences[entry["replica"]] = entry["sequence"]
    chain._wanted[entry["details_digest"]] = number
    chain.redacted = chain.redacted or entry["kind"] == "redaction"
    merging = len(parents) > 1
    for row in touched:
        _touched(chain, told, row, merging=merging)


def _touched(chain: Chain, told: dict[str, Any], row: tuple[Any, ...], *, merging: bool) -> None:
    number, table, key, _operation, before, after = row
    known, _ = chain._known.get((table, key), (None, 0))
    if before != known and not merging:
        chain.wrong("row_altered_before", number, table=table, **told)
    chain._known[table, key] = after, number
    for digest in (before, after):
        if digest:
            chain._wanted.setdefault(digest, number)


def _moment(text: object) -> Any:
    try:
        return read_instant(str(text))
    except ValueError:
        return str(text)


# Rows


def _records(chain: Chain, connection: sqlite3.Connection) -> None:
    """Hold every current row against what the journal knew last."""
    left = {row for row, (digest, _) in chain._known.items() if digest}
    for table in sqlite.table_names(connection):
        if table in JOURNAL_TABLES:
            continue
        for key, name, text in _canonical_rows(connection, table):
            chain.rows += 1
            left.discard((table, key))
            digest, _ = chain._known.get((table, key), (None, 0))
            if digest is None:
                chain.wrong("row_unknown", table=table, name=name)
            else:
                chain._current[digest] = (table, key), name, text
    for table, key in sorted(left):
        digest, number = chain._known[table, key]
        chain._lost[str(digest)] = (table, key), number


def _canonical_rows(connection: sqlite3.Connection, table: str) -> Iterator[tuple[str, str, str]]:
    """Return key, name and canonical text of every row of a table."""
    cursor = connection.execute(f'SELECT * FROM "{table}"')
    columns = [column[0] for column in cursor.description]
    if "id" not in columns:
        return
    named = [columns.index(name) for name in _NAMES if name in columns]
    key = columns.index("id")
    for row in cursor:
        values = [repr(value) if type(value) in (int, float) else value for value in row]
        text = _encode(dict(zip(columns, values, strict=True)))
        if not text.isascii():
            text = unicodedata.normalize("NFC", text)
        name = next((str(row[place]) for place in named if row[place] is not None), row[key])
        yield row[key], name[:120], text


# Images


def _images(chain: Chain, connection: sqlite3.Connection) -> None:
    """Compute the digest of every image again, and compare the rows with theirs."""
    wanted, current = chain._wanted, chain._current
    missing = dict(wanted)
    for digest, salt, image in connection.execute(_SQL_IMAGES):
        missing.pop(digest, None)
        if salt is None or image is None:
            _withheld(chain, digest)
        elif not _is_digest(digest, salt, image):
            chain.wrong("image_altered", wanted.get(digest, LAST), entry=wanted.get(digest, 0))
        elif digest in current:
            (table, key), name, text = current[digest]
            whole = image.startswith(f'{{"row":{text},"schema":') and image.endswith(f'"{table}"}}')
            if not whole:
                number = chain._known[table, key][1]
                chain.wrong("row_altered", number, table=table, name=name, entry=number)
        elif digest in chain._lost:
            (table, key), number = chain._lost.pop(digest)
            name = _name_in(image) or key
            chain.wrong("row_missing", number, table=table, name=name, entry=number)
    for number in sorted(set(missing.values())):
        chain.wrong("image_missing", number, entry=number)
    for (table, key), number in chain._lost.values():
        chain.wrong("row_missing", number, table=table, name=key, entry=number)


def _is_digest(digest: str, salt: str, image: str) -> bool:
    try:
        return hashlib.sha256(bytes.fromhex(salt) + image.encode()).hexdigest() == digest
    except ValueError:
        return False


def _withheld(chain: Chain, digest: str) -> None:
    """Count an image that is kept back; only a redaction may have done that."""
    chain.withheld += 1
    if not chain.redacted:
        number = chain._wanted.get(digest, LAST)
        chain.wrong("image_withheld", number, entry=chain._wanted.get(digest, 0))


def _name_in(image: str) -> str:
    """Return what the record in an image was called; empty for no name."""
    row = json.loads(image)["row"]
    return next((str(row[name])[:120] for name in _NAMES if row.get(name)), "")

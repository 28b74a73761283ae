"""Following the journal of a file: every digest computed again, every row held against it.

It works on the file as it is, with whatever tables and columns it has, and past the models: this is
the judge of what they wrote.
"""

from __future__ import annotations

import hashlib
import json
from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from typing import TYPE_CHECKING, Any

from hulllog.records import sqlite
from hulllog.records.journal import ENTRY_FIELDS, JOURNAL_TABLES, entry_digest
from hulllog.records.types import canonical_json, read_instant

if TYPE_CHECKING:
    import sqlite3

LAST = 1 << 60
"""Place of a problem that belongs to no entry, after those that do."""

_SQL_ENTRIES = (
    f"SELECT {', '.join(ENTRY_FIELDS)}, written, digest FROM journal_entry ORDER BY written"
)
_SQL_ROWS = (
    "SELECT table_name, row_key, operation, before_digest, after_digest, written, position"
    " FROM journal_row ORDER BY written, position"
)
_SQL_IMAGES = (
    "SELECT digest, salt, CAST(image AS BLOB) FROM journal_image"
    " WHERE salt IS NOT NULL AND image IS NOT NULL"
)
_SQL_WITHHELD = "SELECT digest FROM journal_image WHERE salt IS NULL OR image IS NULL"
_BATCH = 500
_NAMES = ("name", "title", "label", "begins_text", "text", "file_name", "code", "number")

Found = tuple[Any, ...]


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
    numbers: dict[str, int] = field(default_factory=dict)
    """Digest of each entry -> its number in this file."""
    branches: dict[str, tuple[str, ...]] = field(default_factory=dict)
    """Digest of an entry -> those before it, where it does not just follow the one written last."""
    heads: list[str] = field(default_factory=list)
    """Digests of the entries that none follows; a whole journal has one."""
    rows: int = 0
    withheld: int = 0
    redacted: bool = False
    known: dict[str, dict[str, str | None]] = field(default_factory=lambda: defaultdict(dict))
    """Table -> key -> the digest under which the journal knew the row last."""
    images: set[str] = field(default_factory=set)
    """Digests of all images that are named."""
    sequences: dict[str, int] = field(default_factory=dict)

    def wrong(self, code: str, place: int = LAST, **values: Any) -> None:
        """Note a problem."""
        self.problems.append(Problem(code, values, place))

    def in_history(self) -> set[str]:
        """Return the digests of the heads and of all entries before them."""
        if not self.branches:
            return set(self.numbers)
        before = self._before()
        found: set[str] = set()
        left = list(self.heads)
        while left:
            digest = left.pop()
            if digest in self.numbers and digest not in found:
                found.add(digest)
                left += before[digest]
        return found

    def find_heads(self) -> None:
        """Look which entries none follows."""
        if not self.branches:
            self.heads = list(self.numbers)[-1:]
            return
        followed = {digest for parents in self._before().values() for digest in parents}
        self.heads = [digest for digest in self.numbers if digest not in followed]
        if len(self.heads) > 1:
            self.wrong("heads_several", count=len(self.heads))

    def _before(self) -> dict[str, tuple[str, ...]]:
        order = list(self.numbers)
        one_by_one = {digest: (before,) for before, digest in pairwise(order)}
        return {**dict.fromkeys(order[:1], ()), **one_by_one, **self.branches}


def follow(connection: sqlite3.Connection) -> Chain:
    """Follow the journal from its first entry, then hold rows and images against it.

    ``connection`` is open for reading and in a transaction, which keeps the file as it is.
    """
    chain = Chain()
    if damage := sqlite.quick_check(connection):
        chain.wrong("file_damaged", 0, detail=damage)
    for name in sqlite.strange_objects(connection):
        chain.wrong("strange_object", name=name)
    _entries(chain, connection)
    chain.find_heads()
    _images(chain, connection, _records(chain, connection))
    return chain


# Entries


def _entries(chain: Chain, connection: sqlite3.Connection) -> None:
    """Compute every entry's digest again, and look whether it follows the ones before it."""
    numbers, images, sequences = chain.numbers, chain.images, chain.sequences
    rows = connection.execute(_SQL_ROWS)
    row = next(rows, None)
    last = None
    for found in connection.execute(_SQL_ENTRIES):
        entry, written, digest = found[:10], found[10], found[11]
        touched: list[Found] = []
        counted = True
        while row is not None and row[5] <= written:
            if row[5] == written:
                counted = counted and row[6] == len(touched)
                touched.append(row[:5])
            else:
                chain.wrong("rows_without_entry", row[5], entry=row[5])
            row = next(rows, None)
        if not counted or entry_digest(entry, touched) != digest:
            chain.wrong("entry_altered", written, **_told(entry, written))
        _, replica, sequence, first, second = found[:5]
        if first != last or second:
            _branch(chain, entry, written, digest)
        if sequence != sequences.get(replica, 0) + 1:
            missing = sequences.get(replica, 0) + 1
            chain.wrong("sequence_gap", written, missing=missing, **_told(entry, written))
        sequences[replica] = sequence
        numbers[digest] = written
        images.add(found[9])
        last = digest
        if found[7] == "redaction":
            chain.redacted = True
        _touched(chain, entry, written, touched)
    if row is not None:
        chain.wrong("rows_without_entry", row[5], entry=row[5])


def _told(entry: Found, number: int) -> dict[str, Any]:
    try:
        at: object = read_instant(str(entry[5]))
    except ValueError:
        at = str(entry[5])
    return {"entry": number, "at": at, "action": entry[8]}


def _branch(chain: Chain, entry: Found, number: int, digest: str) -> None:
    """Look at an entry that does not follow the one written before it."""
    parents = tuple(parent for parent in entry[3:5] if parent)
    if not parents or any(parent not in chain.numbers for parent in parents):
        chain.wrong("entry_missing_before", number, **_told(entry, number))
    chain.branches[digest] = parents


def _touched(chain: Chain, entry: Found, number: int, touched: Sequence[Found]) -> None:
    """Look whether each row was left before this entry as the entry found it."""
    for table, key, _operation, before, after in touched:
        known = chain.known[table]
        if before != known.get(key):
            if entry[4] is None:
                chain.wrong("row_altered_before", number, table=table, **_told(entry, number))
            if before:
                chain.images.add(before)
        known[key] = after
        if after:
            chain.images.add(after)


class _Where:
    """Finds the entry to which an image or a row belongs; only a problem asks for it."""

    def __init__(self, connection: sqlite3.Connection) -> None:
        self._connection = connection
        self._images: dict[str, int] = {}
        self._rows: dict[tuple[str, str], int] = {}

    def image(self, digest: str) -> int:
        """Return the number of the first entry that names an image."""
        self._read()
        return self._images.get(digest, LAST)

    def row(self, table: str, key: str) -> int:
        """Return the number of the last entry that touched a row."""
        self._read()
        return self._rows.get((table, key), LAST)

    def _read(self) -> None:
        if self._images:
            return
        for found in self._connection.execute(_SQL_ENTRIES):
            self._images.setdefault(found[9], found[10])
        rows = self._connection.execute(_SQL_ROWS)
        for table, key, _operation, before, after, number, _ in rows:
            self._rows[table, key] = number
            for digest in (before, after):
                self._images.setdefault(digest, number)


# Rows


@dataclass(slots=True)
class _Expected:
    """What the image behind a digest must hold: a row that is there, or was lost."""

    table: str
    key: str
    name: str = ""
    row: bytes | None = None


def _records(chain: Chain, connection: sqlite3.Connection) -> dict[str, _Expected]:
    """Read every current row; returns by digest what the journal must know it as."""
    expected = {
        digest: _Expected(table, key)
        for table, rows in chain.known.items()
        for key, digest in rows.items()
        if digest
    }
    for table in sqlite.table_names(connection):
        if table in JOURNAL_TABLES:
            continue
        known = chain.known.get(table, {})
        for key, name, text in _canonical_rows(connection, table):
            chain.rows += 1
            digest = known.get(key)
            if digest is None:
                chain.wrong("row_unknown", table=table, name=name)
            else:
                expected[digest].name = name
                expected[digest].row = text.encode()
    return expected


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
        text = canonical_json(dict(zip(columns, values, strict=True)))
        name = next((str(row[place]) for place in named if row[place] is not None), row[key])
        yield row[key], name[:120], text


# Images


def _images(chain: Chain, connection: sqlite3.Connection, expected: dict[str, _Expected]) -> None:
    """Compute the digest of every image again, and compare the rows with theirs."""
    where = _Where(connection)
    missing = chain.images
    cursor = connection.execute(_SQL_IMAGES)
    while batch := cursor.fetchmany(_BATCH):
        missing.difference_update([digest for digest, _, _ in batch])
        for digest in _wrong_digests(batch):
            number = where.image(digest)
            chain.wrong("image_altered", number, entry=number)
        for digest, image in [(found[0], found[2]) for found in batch if found[0] in expected]:
            _compare(chain, where, expected[digest], image)
    for (digest,) in connection.execute(_SQL_WITHHELD):
        missing.discard(digest)
        _withheld(chain, where, digest)
        if digest in expected and expected[digest].row is None:
            _compare(chain, where, expected[digest], b"{}")
    for number in sorted({where.image(digest) for digest in missing}):
        chain.wrong("image_missing", number, entry=number)


def _wrong_digests(batch: Sequence[Found]) -> list[str]:
    sha256, from_hex = hashlib.sha256, bytes.fromhex
    try:
        return [
            digest
            for digest, salt, image in batch
            if sha256(from_hex(salt) + image).hexdigest() != digest
        ]
    except ValueError:  # a salt that is no hex is found one by one
        if len(batch) == 1:
            return [batch[0][0]]
        return [digest for found in batch for digest in _wrong_digests([found])]


def _compare(chain: Chain, where: _Where, row: _Expected, image: bytes) -> None:
    """Name a row that is not as its image, or is not there."""
    if row.row is None:
        number, name = where.row(row.table, row.key), _name_in(image) or row.key
        chain.wrong("row_missing", number, table=row.table, name=name, entry=number)
        return
    end = f'"table":"{row.table}"}}'.encode()
    if not (image.startswith(b'{"row":' + row.row + b',"schema":') and image.endswith(end)):
        number = where.row(row.table, row.key)
        chain.wrong("row_altered", number, table=row.table, name=row.name, entry=number)


def _withheld(chain: Chain, where: _Where, digest: str) -> None:
    """Count an image that is kept back; only a redaction may have done that."""
    chain.withheld += 1
    if not chain.redacted:
        number = where.image(digest)
        chain.wrong("image_withheld", number, entry=number)


def _name_in(image: bytes) -> str:
    """Return what the record in an image was called; empty for no name."""
    row = json.loads(image).get("row", {})
    return next((str(row[name])[:120] for name in _NAMES if row.get(name)), "")

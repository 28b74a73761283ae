"""Old haul-outs from a CSV file: read as text, columns matched, problems named by row and column.

Nothing in a file is trusted or run: a cell is text, whatever it begins with.  ``read_table`` reads
the file, ``matched`` proposes which column is which, ``questions`` says what only the owner knows,
``rows_of`` gives rows for ``operations.oldnotes`` and ``problems_of`` what cannot be kept.
"""

from __future__ import annotations

import codecs
import csv
import io
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal

from hulllog.records.errors import Refused
from hulllog.records.operations import queries
from hulllog.records.operations.oldnotes import COLUMNS, MOST_ROWS, problems
from hulllog.records.values import Order, PartialDate
from hulllog.trade import units
from hulllog.trade.refusal import Refusal
from hulllog.words.labels import listed, plain

if TYPE_CHECKING:
    from pathlib import Path

    from hulllog.records.book import Book

LARGEST_FILE = 2_000_000
"""Bytes up to which a file is read (our own rule): no list of haul-outs is longer."""
MOST_COLUMNS = 60
SEPARATORS = (";", ",", "\t")
DATES, NUMBERS = ("begins", "ends"), ("litres",)
"""Columns of dates and of numbers."""
Sign = Literal[",", "."]

_BOMS = ((codecs.BOM_UTF8, "utf-8-sig"), (codecs.BOM_UTF16_LE, "utf-16"),
         (codecs.BOM_UTF16_BE, "utf-16"))  # fmt: skip
_NO_TEXT = re.compile(r"[\x00-\x08\x0e-\x1f\x7f]")
_HINT = re.compile(r"sep=(.)\r?\n", re.IGNORECASE)
_MIDNIGHT = re.compile(r"[T\s]+00?:00:00(?:\.0+)?$")
"""How a spreadsheet writes a day; a person leaves the seconds out."""
_PART_OF_DATE = re.compile(r"(\d{1,2})[./-](\d{1,2})[./-](\d{4})")


@dataclass(frozen=True, slots=True)
class Table:
    """A file read as text.  ``header`` is empty where the first row is none."""

    header: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    encoding: str
    separator: str

    @property
    def width(self) -> int:
        """How many columns there are."""
        return max((len(row) for row in (self.header, *self.rows)), default=0)

    @property
    def first_row(self) -> int:
        """The number that a spreadsheet gives to the first row of data."""
        return 2 if self.header else 1


Matching = tuple[str | None, ...]
"""For each column of the file the column of the table that it fills, or None."""


@dataclass(frozen=True, slots=True)
class Answers:
    """What the owner answered, by column of the table: the order of dates, the decimal sign."""

    orders: Mapping[str, Order] = field(default_factory=dict)
    signs: Mapping[str, Sign] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Problem:
    """What cannot be kept: the row as a spreadsheet counts, the column's name, and why.

    ``column`` is the number of the column in the file, None for the row as a whole.
    """

    row: int
    column: int | None
    refused: Refused


# Reading the file


def read_table(file: Path) -> Table:
    """Read a CSV file, whatever its encoding and separator.

    Raises Refused ``csv_too_large``, ``csv_not_text``, ``csv_empty``, ``csv_too_wide``,
    ``csv_too_long``, ``csv_quote``, or as for any file that cannot be read.
    """
    text, encoding = _decoded(_whole(file), file.name)
    hint = _HINT.match(text)
    separators = (hint[1],) if hint and hint[1] in SEPARATORS else SEPARATORS
    text = text[hint.end() :] if hint else text
    read = {sign: _cells(text, sign) for sign in separators}
    separator = max(read, key=lambda sign: _likeliness(read[sign][0]))
    rows, broken = read[separator]
    if broken is not None:
        raise broken
    if not any(any(row) for row in rows):
        raise Refused("csv_empty", file=file.name)
    has_header = any(matched(rows[0])) or not any(_is_date(cell) for cell in rows[0])
    table = Table(rows[0] if has_header else (), rows[has_header:], encoding, separator)
    if table.width > MOST_COLUMNS:
        raise Refused("csv_too_wide", file=file.name, limit=MOST_COLUMNS)
    if len(table.rows) > MOST_ROWS:
        raise Refused("csv_too_long", file=file.name, limit=MOST_ROWS, rows=len(table.rows))
    return table


def _whole(file: Path) -> bytes:
    try:
        if not file.is_file():
            raise Refused("file_not_a_file" if file.exists() else "file_gone", file=file.name)
        if file.stat().st_size > LARGEST_FILE:
            limit = LARGEST_FILE // 1_000_000
            raise Refused("csv_too_large", file=file.name, limit=limit)
        return file.read_bytes()
    except OSError as problem:
        raise Refused("file_unreadable", file=file.name, reason=problem.strerror or "") from problem


def _decoded(data: bytes, name: str) -> tuple[str, str]:
    marked = [encoding for bom, encoding in _BOMS if data.startswith(bom)]
    for encoding in marked or ["utf-8", "cp1252"]:
        try:
            text = data.decode(encoding)
        except UnicodeDecodeError:
            continue
        if not _NO_TEXT.search(text):
            return text, encoding
    raise Refused("csv_not_text", file=name)


def _cells(text: str, separator: str) -> tuple[tuple[tuple[str, ...], ...], Refused | None]:
    """Cut a text into rows of cells; returns what came before an open quotation mark, and that."""
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    rows: list[tuple[str, ...]] = []
    broken: Refused | None = None
    try:
        # One by one: what stands before the mark is kept.
        for row in reader:
            rows.append(tuple(" ".join(cell.split()) for cell in row))  # noqa: PERF401
    except csv.Error:
        broken = Refused("csv_quote", row=len(rows) + 1)
    while rows and not any(rows[-1]):
        rows.pop()
    return tuple(rows), broken


def _likeliness(rows: Sequence[Sequence[str]]) -> tuple[int, float, int]:
    """Say how likely rows were cut at the right sign: known names, even rows, many columns."""
    if not rows:
        return (0, 0.0, 0)
    width = len(rows[0])
    known = sum(column is not None for column in matched(rows[0]))
    even = sum(len(row) == width for row in rows) / len(rows)
    return (known, even if width > 1 else 0.0, width)


# Which column is which


def matched(header: Sequence[str]) -> Matching:
    """Propose by the names in the header which column is which; each is proposed once."""
    found: list[str | None] = []
    for name in header:
        means = [
            column for column in COLUMNS if plain(name) in listed(f"old_notes.header.{column}")
        ]
        found.append(means[0] if means and means[0] not in found else None)
    return tuple(found)


# What only the owner knows


@dataclass(frozen=True, slots=True)
class Question:
    """A column that can be read two ways: of dates or of numbers, with an example from it.

    ``proposed`` is what its other cells speak for, or None.
    """

    column: str
    sort: Literal["order", "sign"]
    example: str
    proposed: str | None


def questions(book: Book, table: Table, matching: Matching) -> list[Question]:
    """Return what is to be asked, once a column."""
    asked: list[Question] = []
    for number, column in enumerate(matching):
        cells = [row[number] for row in table.rows if number < len(row)]
        if column in DATES:
            example = next((cell for cell in cells if _two_ways(cell)), None)
            proposed: str | None = queries.date_order(book) or _order_of(cells)
            sort: Literal["order", "sign"] = "order"
        elif column in NUMBERS:
            example = next((cell for cell in cells if _number(cell, None) is None), None)
            proposed, sort = queries.decimal_sign(book) or _sign_of(cells), "sign"
        else:
            continue
        if example is not None:
            asked.append(Question(column, sort, example, proposed))
    return asked


def _two_ways(cell: str) -> bool:
    return _date_code(cell) == "date_two_ways"


def _is_date(cell: str) -> bool:
    return _date_code(cell) in {"", "date_two_ways", "date_impossible"}


def _date_code(cell: str) -> str:
    """Return why a text is no date by itself; empty when it is one."""
    try:
        PartialDate.parse(cell)
    except Refused as refused:
        return refused.code
    return ""


def _order_of(cells: Sequence[str]) -> Order | None:
    """Return the order of dates that every cell which tells speaks for."""
    found: set[Order] = set()
    for cell in cells:
        numbers = _PART_OF_DATE.search(cell)
        if numbers and int(numbers[1]) > 12:
            found.add("day first")
        elif numbers and int(numbers[2]) > 12:
            found.add("month first")
    return found.pop() if len(found) == 1 else None


def _number(cell: str, sign: str | None) -> str | None:
    """Return a number as every owner's setting reads it; None where it can be read two ways."""
    try:
        read = format(units.read_number(cell, sign), "f")
    except Refusal as refusal:
        return None if refusal.code == "number_two_ways" else cell
    whole, point, part = read.partition(".")
    part = part.rstrip("0")
    if not part:
        return whole
    # Three digits after a point could be a group of thousands.
    return f"{whole}{point}{part}0" if len(part) == 3 else f"{whole}{point}{part}"


def _sign_of(cells: Sequence[str]) -> str | None:
    certain = {
        sign
        for cell in cells
        for sign in (",", ".")
        if cell.count(sign) == 1 and _number(cell, None) is not None
    }
    return certain.pop() if len(certain) == 1 else None


# Rows for the table


def rows_of(table: Table, matching: Matching, answers: Answers) -> list[dict[str, str]]:
    """Return the rows as they would be typed; blank ones stay, so that rows can be counted."""
    return [
        {
            column: _typed(column, cell, answers)
            for column, cell in zip(matching, row, strict=False)
            if column is not None and cell
        }
        for row in table.rows
    ]


def _typed(column: str, cell: str, answers: Answers) -> str:
    if column in DATES:
        return _dated(_MIDNIGHT.sub("", cell), answers.orders.get(column))
    if column in NUMBERS:
        return _number(cell, answers.signs.get(column)) or cell
    return cell


def _dated(cell: str, order: Order | None) -> str:
    """Write a date in numbers so that it can be read one way only."""
    numbers = _PART_OF_DATE.search(cell)
    if order is None or numbers is None:
        return cell
    first, second, year = numbers.groups()
    if max(int(first), int(second)) > 12:
        return cell
    day, month = (first, second) if order == "day first" else (second, first)
    return f"{cell[: numbers.start()]}{year}-{int(month):02}-{int(day):02}{cell[numbers.end() :]}"


def problems_of(
    book: Book, table: Table, matching: Matching, rows: Sequence[Mapping[str, str]]
) -> list[Problem]:
    """Return what cannot be kept, by row and column of the file."""
    at = {column: number for number, column in enumerate(matching) if column is not None}
    found = [
        Problem(number, None, Refused("csv_row_long", cells=len(row), columns=len(table.header)))
        for number, row in enumerate(table.rows, table.first_row)
        if table.header and any(row[len(table.header) :])
    ]
    found += [
        Problem(table.first_row + one.row, at.get(one.column), _named(one.column, one.refused))
        for one in problems(book, rows)
    ]
    return sorted(found, key=lambda one: (one.row, -1 if one.column is None else one.column))


def _named(column: str, refused: Refused) -> Refused:
    refused.field = column
    return refused

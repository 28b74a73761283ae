"""Write the frozen logbook of the present schema: ``python make_fixture.py [TARGET]``.

It is small, holds a row of every table, and comes out the same every time: clock, keys and salts
count.  Once a schema was released its file is never written again.
"""

from __future__ import annotations

import shutil
import sys
import tempfile
from datetime import date
from pathlib import Path
from typing import Any

from recordskit import repeatable

from hulllog.records import model, sqlite
from hulllog.records.base import Base, Kept
from hulllog.records.folder import FILE_NAME
from hulllog.records.ladder import SCHEMA_NUMBER
from hulllog.records.logbook import Logbook
from hulllog.records.types import Flag, Instant, Json, Real, Whole
from hulllog.records.values import Measured, PartialDate, Where

TARGET = Path(__file__).parent / "data" / f"schema-{SCHEMA_NUMBER}.sqlite"


def models() -> list[type[Base]]:
    """Return all records in an order in which each refers to earlier ones only."""
    by_table = {getattr(model, name).__table__: getattr(model, name) for name in model.__all__}
    return [by_table[table] for table in Base.metadata.sorted_tables if table in by_table]


def row_of(kind: type[Base], keys: dict[str, str]) -> Base:
    """Return a record with something in every field, referring to what is there."""
    mapper: Any = kind.__mapper__
    composed = {column for one in mapper.composites for column in one.columns}
    values = {one.key: composed_value(one.columns) for one in mapper.composites}
    for column in kind.__table__.columns:
        if column in composed or column.name in Kept.__annotations__:
            continue
        values[column.name] = plain_value(column, keys)
    if kind is model.MeasurementSet:
        for name in ("spot_observation_id", "measuring_point_id", "gear_check_id"):
            values[name] = None
    if kind is model.IssuedHistory:
        values["head"] = ""
    return kind(**values)


def composed_value(columns: list[Any]) -> object:
    """Return a date, a measured value or a place."""
    kinds = {column.name.rsplit("_", 1)[-1] for column in columns}
    if "precision" in kinds:
        return PartialDate.of(date(2014, 4, 14), "Europe/London")
    if "si" in kinds:
        return Measured("12,5", "mm", 0.0125)
    return Where("hull", "port", 0.25, 0.5)


def plain_value(column: Any, keys: dict[str, str]) -> object:
    """Return a value of a column's kind; a reference to what is not there yet stays empty."""
    if column.foreign_keys:
        (reference,) = column.foreign_keys
        return keys.get(reference.column.table.name)
    match column.type:
        case Json():
            return {"a": 1} if "dict" in annotation(column) else ["one", "two"]
        case Flag():
            return False
        case Instant():
            return None if column.name == "closed_at" else PartialDate.of(date(2014, 5, 1)).earliest
        case Real():
            return 0.5
        case Whole():
            return 7
    return f"{column.name} of {column.table.name}: Ærø & <b>"


def annotation(column: Any) -> str:
    """Return how the model annotates a column."""
    for kind in models():
        if kind.__table__ is column.table:
            return str(kind.__annotations__.get(column.name, ""))
    return ""


def main(target: Path = TARGET) -> None:
    """Write the file."""
    place = Path(tempfile.mkdtemp())
    keys: dict[str, str] = {}
    with Logbook.create(place / "book", repeatable(place)) as logbook:
        with logbook.change("fixture.fill", name="Ærø & <b>") as book:
            for kind in models():
                record = book.keep(row_of(kind, keys))
                keys[kind.__tablename__] = record.id
        with logbook.change("fixture.alter") as book:
            book.get_one(model.Vessel, keys["vessel"]).name = "Renamed"
        logbook.undo()
        with logbook.change("fixture.drop") as book:
            book.delete(book.get_one(model.Annotation, keys["annotation"]))
    sqlite.copy_file(place / "book" / FILE_NAME, target)
    shutil.rmtree(place)


if __name__ == "__main__":
    main(*map(Path, sys.argv[1:2]))

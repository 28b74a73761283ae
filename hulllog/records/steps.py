"""The steps of the ladder: what each schema has that the one before it had not.

A step is frozen once logbooks climbed by it: it names its tables and columns itself and never asks
the model, which goes on without it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from sqlalchemy import Connection

_KEPT = (
    "id TEXT NOT NULL, entered_at TEXT NOT NULL, entered_by TEXT NOT NULL, basis TEXT NOT NULL,"
    " withdrawn INTEGER NOT NULL"
)
_LOOKED = (
    "looked_text TEXT, looked_precision TEXT, looked_about INTEGER, looked_earliest TEXT,"
    " looked_latest TEXT"
)


def to_2(connection: Connection) -> None:
    """Add own views, plans, photographs of fittings, and the day of a look, moved anodes."""
    _widen(
        connection,
        "photo_place",
        "photo_id TEXT NOT NULL, place_part TEXT, place_face TEXT, place_u REAL, place_v REAL,"
        " place_given TEXT, spot_id TEXT, zone_id TEXT, anode_position_id TEXT, gear_id TEXT",
        photo_id="photo",
        spot_id="spot",
        zone_id="zone",
        anode_position_id="anode_position",
        gear_id="gear",
    )
    _widen(
        connection,
        "anode_piece",
        "position_id TEXT NOT NULL, metal TEXT NOT NULL, pattern TEXT, mass_new_text TEXT,"
        " mass_new_unit TEXT, mass_new_si REAL, mass_new_from TEXT NOT NULL,"
        " insert_mass_text TEXT, insert_mass_unit TEXT, insert_mass_si REAL, fitted_visit_id TEXT,"
        " fitted_text TEXT, fitted_precision TEXT, fitted_about INTEGER, fitted_earliest TEXT,"
        " fitted_latest TEXT, removed_visit_id TEXT, removed_text TEXT, removed_precision TEXT,"
        " removed_about INTEGER, removed_earliest TEXT, removed_latest TEXT, moved_from_id TEXT",
        position_id="anode_position",
        fitted_visit_id="visit",
        removed_visit_id="visit",
        moved_from_id="anode_piece",
    )
    _widen(
        connection,
        "anode_check",
        f"piece_id TEXT NOT NULL, visit_id TEXT NOT NULL, {_LOOKED}, state TEXT NOT NULL,"
        " way TEXT NOT NULL, mass_text TEXT, mass_unit TEXT, mass_si REAL, left_low REAL,"
        " left_high REAL, contact TEXT, painted_over INTEGER NOT NULL, note TEXT",
        piece_id="anode_piece",
        visit_id="visit",
    )
    _widen(
        connection,
        "gear_check",
        f"gear_id TEXT NOT NULL, visit_id TEXT NOT NULL, {_LOOKED}, state TEXT NOT NULL,"
        " result TEXT, text TEXT",
        gear_id="gear",
        visit_id="visit",
    )
    _make(
        connection,
        "own_view",
        "name TEXT NOT NULL, shows TEXT NOT NULL, sha256 TEXT NOT NULL, media_type TEXT NOT NULL,"
        " size INTEGER NOT NULL, width INTEGER NOT NULL, height INTEGER NOT NULL,"
        " file_name TEXT NOT NULL, scale_marks TEXT NOT NULL, scale_length_text TEXT,"
        " scale_length_unit TEXT, scale_length_si REAL",
    )
    _make(
        connection,
        "own_outline",
        "own_view_id TEXT NOT NULL, zone_version_id TEXT NOT NULL, points TEXT NOT NULL",
        own_view_id="own_view",
        zone_version_id="zone_version",
    )
    _make(
        connection,
        "slot_plan",
        "name TEXT NOT NULL, visit_id TEXT, asked TEXT NOT NULL, verdict TEXT NOT NULL",
        visit_id="visit",
    )
    _make(
        connection,
        "plan_task",
        "plan_id TEXT NOT NULL, code TEXT NOT NULL, area TEXT NOT NULL, number INTEGER NOT NULL,"
        " begins TEXT NOT NULL, ends TEXT NOT NULL",
        plan_id="slot_plan",
    )


def _make(connection: Connection, name: str, columns: str, **references: str) -> None:
    """Make a table with the columns of every record, and an index for each reference."""
    parts = [f"{columns}, {_KEPT}", f"CONSTRAINT pk_{name} PRIMARY KEY (id)"]
    for column, target in references.items():
        parts.append(
            f"CONSTRAINT fk_{name}_{column} FOREIGN KEY({column}) REFERENCES {target} (id)"
            " DEFERRABLE INITIALLY DEFERRED"
        )
    connection.exec_driver_sql(f"CREATE TABLE {name} ( {', '.join(parts)} ) STRICT")
    for column in references:
        connection.exec_driver_sql(f"CREATE INDEX ix_{name}_{column} ON {name} ({column})")


def _widen(connection: Connection, name: str, columns: str, **references: str) -> None:
    """Make a table anew with more columns; its rows stay as they are, the new columns empty."""
    found = connection.exec_driver_sql(f"PRAGMA table_info({name})")
    old = ", ".join(row[1] for row in found)
    aside = f"{name}_before"
    connection.exec_driver_sql(f"CREATE TEMPORARY TABLE {aside} AS SELECT {old} FROM {name}")
    connection.exec_driver_sql(f"DROP TABLE {name}")
    _make(connection, name, columns, **references)
    connection.exec_driver_sql(f"INSERT INTO {name} ({old}) SELECT {old} FROM temp.{aside}")
    connection.exec_driver_sql(f"DROP TABLE temp.{aside}")

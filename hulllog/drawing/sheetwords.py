"""What the boxes of the yard sheet are called, and how last time's figures are written beside them.

The sheet on paper and its rows on the screen say the same.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from hulllog.insight.yardsheet import UNSEEN
from hulllog.words import knows, say, say_code
from hulllog.words.figures import figure, measured, unit_label
from hulllog.words.formats import year
from hulllog.words.telling import component_name, grade, kind_name

if TYPE_CHECKING:
    from hulllog.insight.yardsheet import Box, Row, Sheet


def caption(box: Box) -> str:
    """Return what a box is called, with its unit or the letters that it takes."""
    name = _name(box)
    if box.letters is not None and box.field != UNSEEN:
        keys = list(box.letters.values())
        plain = keys == list(box.letters)
        span = say("sheet.span", first=keys[0], last=keys[-1]) if plain else "/".join(keys)
        return say("sheet.box_of", name=name, unit=span)
    unit = unit_label(box.unit) if box.unit and box.unit != "1" else ""
    return say("sheet.box_of", name=name, unit=unit) if unit else name


def _name(box: Box) -> str:
    code = f"sheet.box.{box.name}"
    if knows(code):
        return say(code)
    if box.family.startswith("condition.") and knows(box.family):
        return say(box.family)
    return component_name(box.kind, box.field)


def last_said(box: Box) -> str:
    """Return the figure of last time; empty where there is none.

    The unit stands in the caption, so the figure is bare where it is in that unit.
    """
    last = box.last
    if last is None:
        return ""
    if isinstance(last, str):
        said = grade(box.kind, box.field, last) if box.kind else last
    elif isinstance(last, int | float):
        said = figure(last, 0) if last == round(last) else figure(last)
    else:
        said = measured(last)
    return say("sheet.when_new", mass=said) if box.field == "mass" else said


def since(box: Box) -> str:
    """Return the year of a figure that is older than last time, else nothing."""
    return say("sheet.since", year=year(box.since)) if box.since and box.last is not None else ""


def subject(row: Row) -> str:
    """Return what a row is about."""
    if row.sort in ("zone", "reading"):
        return say("sheet.zone", number=row.zone_number, name=row.subject)
    if row.sort == "finding":
        return say("sheet.finding", number=row.zone_number, title=row.subject)
    if row.sort == "how":
        if row.subject_id == "second_sweep":
            return say("sheet.row.second_sweep")
        return say("sheet.row.how", kind=kind_name(row.subject))
    if row.sort in ("anode", "gear"):
        return say(f"sheet.row.{row.sort}", name=row.subject)
    if row.sort in ("paint", "note"):
        return say(f"sheet.row.{row.sort}", n=row.subject_id)
    if row.sort == "stage":
        return say(f"haul_out.stage.{row.stage}")
    return say(f"sheet.row.{row.subject_id}")


def letters(box: Box) -> str:
    """Return what the letters of a box stand for, in one line."""
    held = box.letters or {}
    said = [
        say("sheet.letter", letter=key, meaning=say_code(box.family, code))
        for code, key in held.items()
    ]
    return ", ".join(said)


def lettered(sheet: Sheet) -> list[tuple[str, str]]:
    """Return the boxes that take letters, each once: its name and what its letters stand for."""
    found: dict[str, tuple[str, str]] = {}
    for row in sheet.rows:
        for box in row.boxes:
            if box.letters and box.family and box.family not in ("sheet", "word"):
                found.setdefault(box.family, (_name(box), letters(box)))
    return list(found.values())

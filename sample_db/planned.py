"""The next haul-out as it was planned: the last lift before the warranty of the bottom ends."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from hulllog.insight import fitting
from hulllog.insight.fitting import GROUPS, Given, Wanted
from hulllog.records.operations import plans
from hulllog.records.operations.plans import Step
from hulllog.trade.slothours import Day

if TYPE_CHECKING:
    from hulllog.insight.fitting import Fit
    from hulllog.records.book import Book

    from .teller import Teller

NAME = "Spring 2027, before the warranty ends"
FIRST = date(2027, 4, 5)
WRITTEN = date(2025, 11, 22)
"""A November evening by the stove."""
COLOUR = "red"
DAYS = (Day(12, 6, 62, 8, 17), Day(13, 7, 60, 8, 17), Day(11, 6, 70, 8, 17), Day(12, 7, 62, 8, 17),
        Day(13, 7, 60, 8, 17))  # fmt: skip
YARD = {"lift": 9, "back": 16, "washing": 2, "drying": 12, "anodes": 1, "moving": 1, "hanging": 0}
LIGHT = {"first_light": 6, "last_light": 20}
WORK = {"line": (2, 3, 1), "bottom": (4, 2, 3), "under": (0, 1, 1)}
"""Part of the work -> hours of abrading, coats, hours of a coat."""


def plan_next(teller: Teller) -> str:
    """Work out what fits five days in the yard, and keep it."""
    teller.on(WRITTEN)
    paint = teller.product(COLOUR, FIRST.year)
    with teller.logbook.read() as book:
        told, zones = _worked_out(book, paint)
    steps = [
        Step(one.code, one.area, one.number, one.begins, one.ends) for one in fitting.planned(told)
    ]
    asked = {"cells": cells(paint), "zones": zones, "time_zone": told.asked.time_zone}
    key = plans.keep_plan(teller.logbook, name=NAME, asked=asked, verdict=told.verdict, steps=steps)
    teller.clock.move()
    return key


def _worked_out(book: Book, paint: str) -> tuple[Fit, dict[str, list[str]]]:
    zones = fitting.groups(book)
    days = 24 * (len(DAYS) - 1)
    given = Given("yard", FIRST, DAYS, **LIGHT, **{**YARD, "back": days + YARD["back"]})
    works = [
        Wanted(
            group, zones[group], (paint,) * coats, hours, abrading=abrading,
            leading=group == "line", reach="under" if group == "under" else "open",
        )
        for group, (abrading, coats, hours) in WORK.items()
    ]  # fmt: skip
    told = fitting.fit(fitting.ask(book, given, works))
    return told, {group: list(zones[group]) for group in GROUPS}


def cells(paint: str) -> dict[str, str]:
    """Return what the owner typed, cell by cell."""
    typed = {
        "sort": "yard", "first": FIRST.isoformat(), "days": str(len(DAYS)),
        "temperature": "degC", "finish": paint, "first_paint": "", "waters": "",
    }  # fmt: skip
    typed |= {name: str(value) for name, value in (YARD | LIGHT).items()}
    for number, day in enumerate(DAYS):
        told = {
            "opens": day.opens, "closes": day.closes, "highest": day.highest,
            "lowest": day.lowest, "humidity": day.humidity,
        }  # fmt: skip
        typed |= {f"day{number}_{name}": f"{value:g}" for name, value in told.items()}
    for group in GROUPS:
        abrading, coats, hours = WORK.get(group, (0, 0, 1))
        typed |= {
            f"{group}_abrading": str(abrading), f"{group}_coats": str(coats),
            f"{group}_hours": str(hours),
        }  # fmt: skip
    return typed

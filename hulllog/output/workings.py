"""The annex of workings: each figure that the pages print once, grouped as they tell of them."""

from __future__ import annotations

from typing import TYPE_CHECKING, TypeAlias

from hulllog.drawing import telling as told
from hulllog.insight.workings import SECTIONS, registered
from hulllog.output import blocks
from hulllog.words import formats, say, telling
from hulllog.words.working import bracket_sentence, said

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from reportlab.platypus import Flowable

    from hulllog.insight.workings import Printed
    from hulllog.output.contents import Contents
    from hulllog.trade.working import Working
    from hulllog.words.working import SaidWorking

_SHOWN: Mapping[str, str] = {"A": "mA", "um": "um", "L": "L"}
"""The unit in which figures of a unit are read here, where that is not the unit itself."""


def workings(contents: Contents, pages: dict[str, int], width: float) -> list[Flowable]:
    """Return the annex: formula, source and cautions once, and below them a row for each figure."""
    story = blocks.heading(say("report.annex.workings"), "annex-workings", pages)
    story.append(blocks.paragraph(say("report.workings_about"), blocks.SMALL))
    found = printed(contents)
    if not found:
        return [*story, blocks.paragraph(say("word.none"), blocks.SMALL)]
    for section in SECTIONS:
        rows = [one for one in found if one.section == section]
        if rows:
            title = say(f"report.workings.{section}")
            story += blocks.heading(title, f"workings-{section}", pages, 1)
            for same in _alike(_rows(rows)):
                story += _block(same, width)
    return story


def printed(contents: Contents) -> list[Printed]:
    """Return what the pages print: what was never found has no figure there."""
    judged = contents.judged
    empty = told.never_found(judged)
    return registered(
        judged=[item for item in judged if item not in empty],
        anodes=contents.anodes,
        visits=contents.visits,
        last=contents.last_line,
        later=contents.later_line,
        threads=contents.threads,
        sections=[section for _, section in contents.build_ups],
        now=contents.at,
        gear=contents.gear,
    )


Row: TypeAlias = "list[Printed]"
"""Figures of one thing from the same readings."""


def _rows(found: Iterable[Printed]) -> list[Row]:
    """Put what was worked out of one series together, so that its readings stand once."""
    rows: dict[object, Row] = {}
    for number, one in enumerate(found):
        joined = one.section == "trends" and one.working.name.startswith("trend_")
        rows.setdefault((id(one.of), one.before) if joined else number, []).append(one)
    return list(rows.values())


def _alike(rows: Iterable[Row]) -> list[list[Row]]:
    """Put rows of the same formulas and sources together, in the order in which they come."""
    groups: dict[object, list[Row]] = {}
    for row in rows:
        sums = tuple((one.working.name, one.working.formula, one.working.source) for one in row)
        groups.setdefault(sums, []).append(row)
    return [part for group in groups.values() for part in _by_bounds(group)]


def _by_bounds(group: list[Row]) -> list[list[Row]]:
    """Part rows whose brackets mean different things; what has none goes with any."""
    meanings = [{bracket_sentence(one.working) for one in row} - {""} for row in group]
    if len(set().union(*meanings)) < 2:
        return [group]
    parts: dict[object, list[Row]] = {}
    for row, meaning in zip(group, meanings, strict=True):
        parts.setdefault(frozenset(meaning), []).append(row)
    return list(parts.values())


def _block(rows: Sequence[Row], width: float) -> list[Flowable]:
    """Return what holds for all rows of the same formulas, and a table of them."""
    story: list[Flowable] = [blocks.room(30)]
    common: list[str] = []
    for column in zip(*rows, strict=True):
        shown = [said_here(one.working) for one in column]
        cautions = [text for text in shown[0].cautions if all(text in s.cautions for s in shown)]
        bounds = next(filter(None, (bracket_sentence(one.working) for one in column)), "")
        about = " ".join(part for part in (bounds, shown[0].source, *cautions) if part)
        common += cautions
        story += [
            blocks.gap(1.5),
            blocks.paragraph(shown[0].title, blocks.SMALL_BOLD),
            blocks.of_sum(shown[0].formula, blocks.SMALL),
            blocks.paragraph(about, blocks.QUIET),
        ]
    cells = [[_where(row[0]), _figures(row), _from(row, common)] for row in rows]
    return [*story, blocks.grid([], cells, width, [3.2, 2.0, 5.8], _STYLE)]


_STYLE = blocks.TINY


def _figures(row: Row) -> Flowable:
    """Return the figures of a row; where there are several, each under its symbol."""
    told = []
    for one in row:
        symbol = f"{one.working.formula.partition(' ')[0]} = " if len(row) > 1 else ""
        told.append(symbol + said_here(one.working).figure)
    return blocks.of_sum("\n".join(told), _STYLE)


def _from(row: Row, common: Sequence[str]) -> Flowable:
    """Return a line for each series that went in, one for all single figures, and cautions."""
    many: dict[str, None] = {}
    single: dict[str, None] = {}
    cautions: dict[str, None] = {}
    for one in row:
        shown = said_here(one.working)
        for given, text in zip(one.working.inputs, shown.inputs, strict=True):
            (many if isinstance(given.value, tuple) else single)[text] = None
        cautions |= {text: None for text in shown.cautions if text not in common}
    lines = [*many, *([", ".join(single)] if single else []), *cautions]
    return blocks.of_sum("\n".join(lines), _STYLE)


def said_here(working: Working) -> SaidWorking:
    """Say a working in the units in which a history is read."""
    small = working.unit != "A" or abs(working.value) < 1
    return said(working, show=_SHOWN.get(working.unit) if small else None)


def _where(one: Printed) -> str:
    """Say what a figure is of."""
    of, when = one.of, formats.anything(one.when) if one.when else ""
    match one.section:
        case "trends":
            where = f"{told.subject_name(of)}, {telling.component_name(of.kind, of.component)}"
            where = say("report.before_treatment", where=where) if one.before else where
            return say("report.prompt_alone", where=where) if one.prompt else where
        case "anodes" | "gear":
            return ", ".join(part for part in (of.name, when) if part)
        case "visits":
            return formats.span(of.begins, of.ends)
        case "paint":
            return ", ".join(part for part in (when, of.product) if part)
    return when

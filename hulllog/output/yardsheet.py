"""The yard sheet on paper: this boat's drawing, what to look at in what order, boxes to write in.

A4 in black on white.  Its bytes follow from the records and the date.
"""

from __future__ import annotations

import io
from dataclasses import dataclass
from datetime import UTC, date, datetime, time
from typing import TYPE_CHECKING

from hulllog.drawing import sheetrows, sheetviews, sheetwords
from hulllog.drawing.palette import YARD
from hulllog.insight.ownviews import own_views
from hulllog.insight.preference import preference
from hulllog.insight.shape import built
from hulllog.insight.yardsheet import yard_sheet
from hulllog.output import blocks, ownviews
from hulllog.output.canvas import POINTS, SceneFlowable
from hulllog.output.history import archive
from hulllog.output.paper import Document, PageTexts
from hulllog.records.errors import Refused
from hulllog.records.folder import put_whole
from hulllog.records.operations import queries
from hulllog.words import formats, language, say, say_code
from hulllog.words.formats import prefer

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from reportlab.platypus import Flowable

    from hulllog.drawing.scene import Scene
    from hulllog.hull.form import HullForm
    from hulllog.insight.yardsheet import Sheet, SheetStage
    from hulllog.records.logbook import Logbook

_OWN_HIGH = 92.0
"""Height of an own view on the sheet at most, mm."""


@dataclass(frozen=True, slots=True)
class Printed:
    """A sheet that was written.  ``archival`` tells whether it passed PDF/A validation."""

    path: Path
    pages: int
    rows: int
    archival: bool


def write_sheet(logbook: Logbook, path: Path, day: date | None = None) -> Printed:
    """Write the yard sheet of the open haul-out, or of the next one, to ``path``.

    Raises Refused ``no_vessel`` while the logbook has no boat.
    """
    with logbook.read_aside() as book:
        prefer(preference(book))
        sheet = yard_sheet(book)
        form = queries.form_version(book)
        if sheet is None:
            raise Refused("no_vessel")
        hull = built(form.particulars) if form is not None and form.particulars else None
        printed_on = day or queries.day_there(book, logbook.around.now())
        texts = page_texts(sheet.name, sheet.sample, say("sheet.title"), printed_on)
        target = io.BytesIO()
        document = Document(target, texts)
        drawn = [
            ownviews.sheet_scene(logbook, view, sheet, document.inner_width / POINTS, _OWN_HIGH)
            for view in ownviews.wanted(own_views(book))
        ]
        document.write(_story(sheet, hull, drawn, document.inner_width, texts.pages))
        pages = document.page
    data, archival = archive(target.getvalue(), title=texts.title, at=midnight(printed_on))
    put_whole(path, data)
    return Printed(path, pages, len(sheet.rows), archival)


def midnight(day: date) -> datetime:
    """Return the moment that stands in a file that follows from a date alone."""
    return datetime.combine(day, time(), UTC)


def page_texts(name: str, sample: bool, what: str, day: date) -> PageTexts:
    """Return what stands on every page of a sheet for the yard."""
    title = say("sheet.title_of", what=what, name=name)
    return PageTexts(
        title=title,
        author=say("app.name"),
        head_left=title,
        head_right="",
        foot_left=say("sheet.foot", name=name, day=formats.day(day)),
        stamp=say("sample.stamp") if sample else "",
        language=language().replace("_", "-"),
        palette=YARD,
    )


def shown(scene: Scene) -> SceneFlowable:
    """Set a scene at its true size, in black on white."""
    return SceneFlowable(scene, YARD, width=scene.width * POINTS)


def _story(
    sheet: Sheet,
    form: HullForm | None,
    own: Sequence[Scene],
    width: float,
    pages: dict[str, int],
) -> list[Flowable]:
    across = width / POINTS
    story: list[Flowable] = [
        blocks.paragraph(say("sheet.title_of", what=say("sheet.title"), name=sheet.name),
                         blocks.BLACK_SECTION),
        blocks.paragraph(_about(sheet), blocks.BLACK_SMALL),
        blocks.paragraph(say("sheet.how"), blocks.BLACK_SMALL),
    ]  # fmt: skip
    if form is not None:
        story.append(blocks.gap(1))
        story += [
            shown(sheetviews.side(sheet, form, view, across, 70.0)) for view in sheetviews.SIDES
        ]
        half = across / 2 - 2
        story.append(
            blocks.side_by_side(
                [
                    shown(sheetviews.plan(sheet, form, "bottom", 1.3 * half, 42.0)),
                    shown(sheetviews.plan(sheet, form, "stern", 0.65 * half, 42.0)),
                ],
                width,
            )
        )
        story.append(blocks.paragraph(say("sheet.slings"), blocks.BLACK_SMALL))
    for scene in own:
        story += [blocks.gap(1), shown(scene)]
    story.append(_zone_list(sheet, width))
    # In one run: a line each would push the last of them to a page of their own.
    told = (say("sheet.letters", name=n, letters=of) for n, of in sheetwords.lettered(sheet))
    story.append(blocks.paragraph(" · ".join(told), blocks.BLACK_SMALL))
    story.append(blocks.new_page())
    for number, stage in enumerate(sheet.stages, 1):
        story += _stage(number, stage, across, pages)
    story += _cards(across, pages)
    return story


def _about(sheet: Sheet) -> str:
    material = say_code("material", sheet.material)
    if sheet.visit is not None:
        visit = sheet.visit
        when = formats.span(visit.begins, visit.ends, visit.time_zone)
        out = say("sheet.for_visit", when=when, yard=visit.yard or say("word.not_recorded"))
    else:
        out = say("sheet.for_next")
    if sheet.last is None:
        return say("sheet.about_first", out=out, material=material)
    return say("sheet.about", out=out, material=material, last=sheet.last.begins)


def _zone_list(sheet: Sheet, width: float) -> Flowable:
    """List the zones with their numbers in three columns."""
    said = [say("sheet.zone", number=zone.number, name=zone.name) for zone in sheet.zones]
    deep = max(-(-len(said) // 3), 1)
    columns = [
        [blocks.paragraph(text, blocks.BLACK_SMALL) for text in said[n : n + deep]]
        for n in range(0, 3 * deep, deep)
    ]
    return blocks.side_by_side(columns, width)


def _stage(number: int, stage: SheetStage, across: float, pages: dict[str, int]) -> list[Flowable]:
    """Set a stage: its cautions beside it, what goes first, its shots, its rows."""
    title = say("sheet.stage", n=number, title=say(f"haul_out.step.{stage.code}"))
    head = blocks.heading(title, f"stage-{stage.code}", pages, style=blocks.BLACK_SECTION)
    head += [
        shown(sheetrows.caution_scene(say(f"haul_out.caution.{code}"), across))
        for code in stage.cautions
    ]
    head += [
        blocks.paragraph(say(f"sheet.evidence.{code}"), blocks.BLACK_SMALL)
        for code in stage.evidence
    ]
    story: list[Flowable] = [blocks.together(head), blocks.gap(0.8)]
    half = across / 2 - 2
    shots: list[Flowable | list[Flowable]] = [
        shown(sheetrows.shot_scene(shot, half)) for shot in stage.shots
    ]
    for n in range(0, len(shots), 2):
        pair: list[Flowable | list[Flowable]] = [
            shots[n],
            shots[n + 1] if n + 1 < len(shots) else [],
        ]
        story.append(blocks.side_by_side(pair, across * POINTS))
    story.append(blocks.gap(1))
    story += [shown(scene) for scene in sheetrows.pairs(stage.rows, across)]
    return story


def _cards(across: float, pages: dict[str, int]) -> list[Flowable]:
    return [
        blocks.new_page(),
        *blocks.heading(say("sheet.cards"), "cards", pages, style=blocks.BLACK_SECTION),
        blocks.paragraph(say("sheet.cards.sizes"), blocks.BLACK_SMALL),
        blocks.gap(2),
        shown(sheetrows.size_cards(across)),
        blocks.gap(5),
        blocks.paragraph(say("sheet.cards.shares"), blocks.BLACK_SMALL),
        blocks.gap(2),
        shown(sheetrows.share_cards(across)),
    ]

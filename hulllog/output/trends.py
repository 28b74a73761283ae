"""The part of the body that shows what changed and what runs steadily, each in a chart."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from hulllog.drawing import compose
from hulllog.drawing import telling as told
from hulllog.insight.following import finding_of, worth
from hulllog.output import blocks
from hulllog.words import say, say_n

if TYPE_CHECKING:
    from reportlab.platypus import Flowable

    from hulllog.insight.judging import ZoneJudged
    from hulllog.output.body import Frame
    from hulllog.output.contents import Contents


def trends(frame: Frame) -> list[Flowable]:
    """Return the section: findings first, each series once, as many as the reader's copy holds."""
    story = frame.heading("report.section.trends", "trends")
    judged = frame.contents.judged
    telling_ones = _distinct([item for item in judged if told.says_something(item)])
    if not telling_ones:
        return [*story, blocks.paragraph(say("report.no_trends"), blocks.SMALL)]
    telling_ones = _by_finding(frame.contents, telling_ones)
    most = {"insurer": 2, "buyer": 8, "surveyor": 16}[frame.limits.reader]
    shown = telling_ones[: min(most, frame.limits.rows)]
    last = len(shown) - 1
    cells = [
        _trend_cell(frame, item, alone=n == last and n % 2 == 0) for n, item in enumerate(shown)
    ]
    for first in range(0, len(cells), 2):
        pair = cells[first : first + 2]
        alone = len(pair) == 1
        story.append(
            blocks.together(pair[0]) if alone else blocks.side_by_side(pair, frame.width, apart=8)
        )
        story.append(blocks.gap(2))
    if len(telling_ones) > len(shown):
        story.append(
            blocks.paragraph(
                say_n(
                    "report.more_figures",
                    len(telling_ones) - len(shown),
                    rows=len(judged) - len(told.never_found(judged)),
                    pages=frame.pages_of("annex-trends", "annex-notes"),
                ),
                blocks.QUIET,
            )
        )
    page = frame.texts.pages.get("annex-trends", 0)
    story.append(blocks.paragraph(say("report.trend_rule_at", page=page), blocks.QUIET))
    return story


def _by_finding(contents: Contents, items: Sequence[ZoneJudged]) -> list[ZoneJudged]:
    """Put series of open findings first, of closed ones last and one for each of those."""
    about = {id(i): finding_of(i, contents.matters, contents.zone_of_spot) for i in items}
    ordered = sorted(items, key=lambda i: (worth(about[id(i)]), *told.weight(i)), reverse=True)
    kept, closed = [], set()
    for item in ordered:
        matter = about[id(item)]
        if matter and matter.status == "closed":
            if matter.finding_id in closed:
                continue
            closed.add(matter.finding_id)
        kept.append(item)
    return kept


def _distinct(items: Sequence[ZoneJudged]) -> list[ZoneJudged]:
    """Leave out a series that another repeats figure for figure, as a spot does its zone."""
    seen = set()
    kept = []
    for item in items:
        mark = (
            item.kind,
            item.component,
            tuple((point.visit_id, point.value) for point in item.judged.series.points),
        )
        if mark not in seen:
            seen.add(mark)
            kept.append(item)
    return kept


def _trend_cell(frame: Frame, item: ZoneJudged, *, alone: bool) -> list[Flowable]:
    """Draw a chart with its whole title above; one without a neighbour has the whole width."""
    half = frame.width / 2 - 8
    room = frame.width if alone else half
    scene = compose.trend_scene(item, 82 * room / half, 38, titled=False)
    return [
        blocks.paragraph(told.chart_title(item), blocks.SMALL_BOLD),
        blocks.picture(scene, room),
        blocks.paragraph(told.trend_text(item), blocks.SMALL),
    ]

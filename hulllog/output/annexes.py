"""The annexes: visits, paint, notes in full, evidence, workings, contact sheet.  No budget."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

from hulllog.drawing import compose
from hulllog.drawing import telling as told
from hulllog.drawing.correcting import altered_text
from hulllog.drawing.disagreeing import contradiction_text
from hulllog.drawing.geartelling import look_told
from hulllog.insight.paint import worn_once
from hulllog.output import blocks, paper
from hulllog.output.body import during, left_out_lines
from hulllog.output.identity import name
from hulllog.output.parts import metered_how, metered_where
from hulllog.output.workings import workings
from hulllog.words import formats, say, say_code, say_n, telling

if TYPE_CHECKING:
    from collections.abc import Sequence

    from reportlab.platypus import Flowable

    from hulllog.insight.corrected import Corrected
    from hulllog.insight.judging import ZoneJudged
    from hulllog.insight.overview import VisitLine
    from hulllog.insight.paint import Worn
    from hulllog.output.contents import Contents
    from hulllog.output.history import Options
    from hulllog.output.paper import PageTexts
    from hulllog.records.logbook import Logbook
    from hulllog.records.model import Photo


MOST_ISSUES = 5
"""Earlier prints named with their heads; the others are counted."""


def annexes(
    contents: Contents,
    options: Options,
    texts: PageTexts,
    width: float,
    logbook: Logbook,
    head: str,
    words: str,
    tables: Sequence[Flowable] = (),
) -> list[Flowable]:
    """Return all annexes, with the marks from which the body's pages are counted.

    ``tables`` are those of the body in full, where it shows a part of them.
    """
    pages = texts.pages
    story: list[Flowable] = [blocks.new_page(), paper.Bookmark("annexes", "", 0, pages)]
    story += _visits(contents, pages, width)
    story += _paint(contents, pages, width)
    story += _trends(contents, pages, width)
    story += _notes(contents, pages, width)
    story += tables
    story += _evidence(contents, pages, width, head, words)
    story += workings(contents, pages, width)
    if options.contact_sheet:
        from hulllog.output.contactsheet import contact_sheet

        story += contact_sheet(contents, pages, width, logbook)
    story.append(paper.Bookmark("end", "", 0, pages))
    return story


def _visits(contents: Contents, pages: dict[str, int], width: float) -> list[Flowable]:
    story = blocks.heading(say("report.annex.visits"), "annex-visits", pages)
    rows = []
    for line in contents.visits:
        how = [say_code("visit_kind", line.kind)]
        how += [say_code("way", line.way)] if line.way else []
        how += [_slung(line)] if line.slings else []
        how += [name(place) for place in (line.yard, line.location) if place]
        rows.append(
            [
                formats.span(line.begins, line.until),
                ", ".join(how),
                _looked(line.zones_looked, line.zones_not_seen, line.zones, line.anodes_checked),
                "; ".join(_done(line, contents)) or say("word.none"),
                _recorded(line),
            ]
        )
    header = [
        say("report.when"),
        say("report.how"),
        say("report.looked_at"),
        say("report.done"),
        say("report.recorded"),
    ]
    story.append(blocks.grid(header, rows, width, [1.7, 2.4, 2.2, 3.4, 1.9]))
    return story


def _slung(line: VisitLine) -> str:
    """Say how far from the stem the slings bore."""
    aft = [formats.quantity(one, "m") for one in line.slings]
    return say("report.slings_at", aft=formats.joined(aft))


def _recorded(line: VisitLine) -> str:
    basis = say_code("basis", line.basis)
    when = line.looked_at or line.ends or line.begins
    entered = line.looks_entered_at or line.entered_at
    if when is None:
        return basis
    lag = formats.lag(when, entered)
    if line.basis == "at_the_time":
        return say("report.noted_at_the_time", lag=lag)
    return f"{basis}; {lag}"


def _looked(looked: int, not_seen: int, zones: int, anodes: int) -> str:
    parts = [say("report.zones_of", n=looked, zones=zones)]
    if not_seen:
        parts.append(say("report.zones_not_seen", n=not_seen))
    if anodes:
        parts.append(say_n("anode.count", anodes))
    return ", ".join(parts)


def _done(line: VisitLine, contents: Contents) -> list[str]:
    done = [name(text) for text in line.works]
    done += [say_code("treatment", sort) for sort in line.treatments]
    if line.antifouling:
        litres = f", {formats.quantity(line.litres, 'L', show='L')}" if line.litres else ""
        done.append(
            say_n("report.coats", line.coats, product=", ".join(line.antifouling), litres=litres)
        )
    if line.photos:
        done.append(say_n("photo.count", line.photos))
    if line.visit_id in contents.camera_alone:
        done.append(say("report.camera_alone"))
    return done


def _paint(contents: Contents, pages: dict[str, int], width: float) -> list[Flowable]:
    story = blocks.heading(say("report.annex.paint"), "annex-paint", pages)
    if not contents.threads:
        return [*story, blocks.paragraph(say("report.no_paint"), blocks.SMALL)]
    rows = [
        [
            _worn(one),
            name(thread.product),
            say_code("coating_class", thread.coating_class),
            thread.colour or say("word.not_recorded"),
            say_n("report.coats_plain", thread.coats),
            formats.quantity(thread.litres, "L", show="L")
            if thread.litres
            else say("word.not_recorded"),
        ]
        for one in worn_once(contents.threads)
        for thread in (one.thread,)
    ]
    header = [
        say("report.worn"),
        say("report.product"),
        say("report.class"),
        say("report.colour"),
        say("report.coats_head"),
        say("report.litres"),
    ]
    story.append(blocks.grid(header, rows, width, [2.2, 2.4, 2, 1.5, 1, 1.2]))
    seen = set()
    for zone, section in contents.build_ups:
        if section.layers in seen:
            continue
        seen.add(section.layers)
        names = [n for n, s in contents.build_ups if s.layers == section.layers]
        scene = compose.build_up_scene(section, width / blocks.MM, together=True)
        story.append(
            blocks.together(
                [
                    blocks.gap(3),
                    blocks.paragraph(
                        say("report.build_up_of", zones=told.listed(names)), blocks.SMALL_BOLD
                    ),
                    blocks.picture(scene, width),
                ]
            )
        )
        del zone
    return story


def _worn(one: Worn) -> str:
    """Say from when to when coats were worn, and when she was ashore meanwhile."""
    span = formats.span(one.thread.begins, one.ends)
    if not one.ashore:
        return span
    ashore = formats.joined([formats.span(*out) for out in one.ashore])
    return say("report.ashore_inside", span=span, ashore=ashore)


def _metered(contents: Contents, pages: dict[str, int], width: float) -> list[Flowable]:
    """Return the table of what instruments said, each with its unit, meter and conditions."""
    if not contents.metered:
        return []
    rows = [
        [
            formats.anything(one.when),
            metered_where(one),
            telling.kind_name(one.kind),
            "; ".join(
                say(
                    "telling.pair",
                    name=telling.component_name(one.kind, code),
                    value=", ".join(formats.measured(value) for value in read),
                )
                for code, read, _ in one.figures
            ),
            metered_how(one),
        ]
        for one in contents.metered
    ]
    header = [
        say("report.when"),
        say("report.where"),
        say("report.kind"),
        say("report.readings"),
        say("report.how_measured"),
    ]
    table = blocks.grid(header, rows, width, [1.4, 1.8, 1.3, 2.6, 4.3], blocks.TINY)
    return [*blocks.heading(say("report.metered"), "metered", pages, 1), table]


def _trends(contents: Contents, pages: dict[str, int], width: float) -> list[Flowable]:
    story = blocks.heading(say("report.annex.trends"), "annex-trends", pages)
    judged = contents.judged
    empty = told.never_found(judged)
    judged = [item for item in judged if item not in empty]
    if empty:
        story.append(blocks.paragraph(_never_found(empty), blocks.SMALL))
    rows = [
        [
            told.subject_name(item),
            telling.kind_name(item.kind),
            telling.component_name(item.kind, item.component),
            told.points_text(item),
            told.trend_text(item),
        ]
        for item in judged
    ]
    meters = _metered(contents, pages, width)
    if not rows:
        return [*story, blocks.paragraph(say("report.no_trends"), blocks.SMALL), *meters]
    header = [
        say("report.where"),
        say("report.kind"),
        say("report.component"),
        say("report.points"),
        say("report.says"),
    ]
    story.append(blocks.grid(header, rows, width, [1.7, 1.6, 1.3, 3.6, 3.2], blocks.TINY))
    story.append(blocks.paragraph(say("report.trend_rule"), blocks.QUIET))
    story.append(blocks.paragraph(say("report.p_rule"), blocks.QUIET))
    if any(told.has_more_in_a_visit(item) for item in judged):
        story.append(blocks.paragraph(say("series.visit_rule"), blocks.QUIET))
    return [*story, *meters]


def _never_found(items: list[ZoneJudged]) -> str:
    """Say which zones never showed a kind, and at how many looks."""
    looks: dict[tuple[str, str], int] = {}
    for item in items:
        key = (item.kind, item.name)
        looks[key] = max(looks.get(key, 0), len(item.judged.series.points))
    groups: dict[tuple[str, int], list[str]] = {}
    for (kind, zone), times in looks.items():
        groups.setdefault((kind, times), []).append(zone)
    return " ".join(
        say_n("report.never_found", times, kind=telling.kind_name(kind), zones=told.listed(names))
        for (kind, times), names in sorted(groups.items(), key=lambda group: -group[0][1])
    )


def _notes(contents: Contents, pages: dict[str, int], width: float) -> list[Flowable]:
    story = blocks.heading(say("report.annex.notes"), "annex-notes", pages)
    rows = [
        [formats.span(line.begins, line.until), say("report.visit_note"), line.note]
        for line in contents.visits
        if line.note
    ]
    for matter in contents.matters:
        label = say("report.finding_note", number=matter.number, title=name(matter.title))
        raised = during(contents, matter.raised_visit_id, matter.raised)
        rows += [[raised, label, matter.note]] if matter.note else []
        rows += [
            [during(contents, s.visit_id, s.when), label, s.text] for s in matter.seen if s.text
        ]
    rows += _zone_notes(contents, {row[2] for row in rows})
    rows += [["", say("report.section.left_out"), line] for line in left_out_lines(contents)]
    for part in contents.gear:
        rows += [["", part.name, part.note]] if part.note else []
        rows += [[formats.anything(look.when), part.name, look_told(look)] for look in part.looks]
    for note in contents.notes:
        answer = note.answer or say("report.unanswered")
        rows.append(
            [formats.anything(note.raised), say("next_time.note"), f"{note.text}\n{answer}"]
        )
    for event in contents.events:
        rows.append([formats.anything(event.at), say_code("event", event.sort), event.text])
    for berth in contents.berths:
        rows.append(
            [
                formats.span(berth.begins, berth.ends),
                say("report.berth"),
                "; ".join(
                    part
                    for part in (
                        berth.location,
                        say_code("water", berth.water),
                        say("report.shore", what=say_code("shore_power", berth.shore_power)),
                        say("report.immersed", share=formats.share(berth.immersed_share)),
                        berth.note or "",
                    )
                    if part
                ),
            ]
        )
    if not rows:
        return [*story, blocks.paragraph(say("word.none"), blocks.SMALL)]
    header = [say("report.when"), say("report.what"), say("report.text")]
    story.append(blocks.grid(header, rows, width, [1.6, 2.2, 7]))
    return story


def _zone_notes(contents: Contents, told: set[str]) -> list[list[str]]:
    """Return what was found in words in a zone at the last haul-out and stands nowhere yet."""
    when = formats.anything(contents.last.begins) if contents.last else ""
    zones = contents.states[0].found if contents.states else ()
    return [
        [when, name(zone.name), zone.note] for zone in zones if zone.note and zone.note not in told
    ]


def _evidence(
    contents: Contents, pages: dict[str, int], width: float, head: str, words: str
) -> list[Flowable]:
    story = blocks.heading(say("report.annex.evidence"), "annex-evidence", pages)
    about = say("report.evidence_about" if head else "report.evidence_draft")
    story.append(blocks.paragraph(about, blocks.SMALL))
    story.append(blocks.paragraph(say("report.times_in", zone=contents.zone), blocks.SMALL))
    if head:
        story.append(
            blocks.facts([(say("report.head"), head), (say("report.head_words"), words)], width, 1)
        )
    story += _earlier_issues(contents)
    story += blocks.heading(say("report.corrections"), "corrections", pages, 1)
    rows = [
        [
            formats.moment(item.at, contents.zone),
            item.person,
            _corrected_what(item),
            "; ".join(altered_text(one) for one in item.altered),
            item.reason,
        ]
        for item in contents.corrections
    ]
    if rows:
        header = [
            say("report.when"),
            say("report.by"),
            say("report.what"),
            say("report.changed"),
            say("report.reason"),
        ]
        story.append(blocks.grid(header, rows, width, [1.6, 1.2, 1.6, 4, 2.6]))
    else:
        story.append(blocks.paragraph(say("report.no_corrections"), blocks.SMALL))
    story += _contradictions(contents, pages)
    story += blocks.heading(say("report.files"), "files", pages, 1)
    clocks = clock_notes(contents.photos)
    files = [
        [
            captured(photo, contents.zone, clocks),
            say_code("photo", photo.captured_origin) if photo.captured_origin else "",
            formats.moment(photo.imported_at, contents.zone),
            photo.caption or "",
            photo.sha256,
        ]
        for photo in contents.photos
    ]
    files += [
        [
            "",
            say("own.in_files", shows=say_code("own_shows", view.shows)),
            formats.moment(view.entered_at, contents.zone),
            name(view.name),
            view.sha256,
        ]
        for view in contents.own_pictures
    ]
    files += [
        [
            formats.anything(paper.paper_date),
            say_code("document_sort", paper.sort),
            formats.moment(paper.entered_at, contents.zone),
            name(paper.title),
            paper.sha256 or say("report.paper_only"),
        ]
        for paper in contents.documents
    ]
    if files:
        header = [
            say("report.captured"),
            say("report.origin"),
            say("report.imported"),
            say("report.caption"),
            say("report.sha256"),
        ]
        story.append(blocks.grid(header, files, width, [1.5, 1.2, 1.6, 2.8, 3.6], blocks.TINY))
        story += [
            blocks.paragraph(clock_text(n, *clock), blocks.SMALL)
            for n, clock in enumerate(clocks, 1)
        ]
    else:
        story.append(blocks.paragraph(say("report.no_files"), blocks.SMALL))
    return story


def _contradictions(contents: Contents, pages: dict[str, int]) -> list[Flowable]:
    """Say what does not fit together on record, a sentence each."""
    story = blocks.heading(say("report.contradictions"), "contradictions", pages, 1)
    counts = [say_n(f"report.compared.{sort}", n) for sort, n in contents.compared]
    told = [contradiction_text(found) for found in contents.contradictions]
    if not counts:
        told = [say("report.nothing_compared")]
    else:
        told = [
            say("report.compared", what="; ".join(counts)),
            *(told or [say("report.no_contradictions")]),
        ]
    return [*story, *(blocks.paragraph(text, blocks.SMALL) for text in told)]


def _earlier_issues(contents: Contents) -> list[Flowable]:
    """Say which histories left before this one, and why their heads differ."""
    if not contents.issued:
        return []
    earlier = "; ".join(
        say(
            "report.earlier_issue",
            when=formats.moment(one.issued_at, contents.zone),
            reader=say_code("reader", one.reader),
            head=one.head[:12],
        )
        for one in contents.issued[:MOST_ISSUES]
    )
    left = len(contents.issued) - MOST_ISSUES
    more = f"; {say_n('word.more', left)}" if left > 0 else ""
    return [blocks.paragraph(say("report.earlier_issues", listed=earlier + more), blocks.SMALL)]


def clock_notes(photos: Sequence[Photo]) -> list[tuple[int, str]]:
    """Return the corrections of clocks, each once: minutes and reason, numbered by their place."""
    return list(
        dict.fromkeys(
            (photo.clock_correction, photo.clock_reason or say("word.not_recorded"))
            for photo in photos
            if photo.captured and photo.clock_correction
        )
    )


def clock_text(number: int, minutes: int, reason: str) -> str:
    """Say by how much a clock was corrected, and why."""
    signed = f"{minutes:+d}".replace("-", "\N{MINUS SIGN}")
    return say("report.clock_note", number=number, minutes=signed, reason=reason)


def captured(photo: Photo, zone: str, clocks: Sequence[tuple[int, str]]) -> str:
    """Say when a photograph was taken: by the corrected clock, with what was read beside it.

    Why it was corrected stands once below the table, under the number that is given here.
    """
    read = photo.captured
    if read is None:
        return say("photo.no_time")
    if not photo.clock_correction:
        return formats.anything(read)
    reason = photo.clock_reason or say("word.not_recorded")
    corrected = read.earliest + timedelta(minutes=photo.clock_correction)
    return say(
        "report.clock_corrected",
        corrected=formats.moment(corrected, zone),
        read=formats.moment(read.earliest, zone),
        number=1 + clocks.index((photo.clock_correction, reason)),
    )


def _corrected_what(item: Corrected) -> str:
    what = say_code("table", item.table)
    return say("telling.pair", name=what, value=item.subject) if item.subject else what

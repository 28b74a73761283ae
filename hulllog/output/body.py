"""The body: who and what, one page of state, matters, dates, anodes, trends, signature."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING, TypeVar

from hulllog.drawing import compose, zonepictures
from hulllog.drawing import telling as told
from hulllog.drawing.hullparts import Mark
from hulllog.drawing.hullviews import legend_scene
from hulllog.drawing.lefttelling import left_text
from hulllog.drawing.strip import dues_of, dues_said, strip_of
from hulllog.drawing.tidestrip import tide_strip
from hulllog.hull.patches import Place
from hulllog.insight.parts import covered
from hulllog.insight.pictured import before_and_after
from hulllog.insight.shape import built
from hulllog.output import blocks, ownviews, paper
from hulllog.output.asked import recommendations
from hulllog.output.contactsheet import thumbnail
from hulllog.output.identity import identity, name, one_line, record
from hulllog.output.parts import limited_life
from hulllog.output.statement import statement
from hulllog.output.trends import trends
from hulllog.words import formats, say, say_code, say_n, telling

if TYPE_CHECKING:
    from reportlab.lib.styles import ParagraphStyle
    from reportlab.platypus import Flowable

    from hulllog.insight.condition import ZoneState
    from hulllog.insight.matters import Matter
    from hulllog.insight.overview import HowSeen, VisitLine
    from hulllog.output.contents import Contents, State
    from hulllog.output.history import Options
    from hulllog.output.paper import PageTexts
    from hulllog.records.logbook import Logbook
    from hulllog.records.values import PartialDate

T = TypeVar("T")
LONG_TEXT = 300
_ONE_LINE = 36
"""Letters of a boat's name that fit on a line in the largest print."""
FULL = "annex-tables"
"""Mark of the annex that holds the tables of the body in full."""
_BULLETS = (blocks.BULLET, blocks.SMALL_BULLET, blocks.DENSE_BULLET)
_FINDING = 58.0
"""Height that the heading of open findings and the first of them may take, mm."""
FEW_LINES = 10
"""More lines in short are set smaller, so that the first page holds them."""
VIEW = 92.0
HEIGHTS = {"port": 30.0, "starboard": 30.0, "bottom": 38.0}
BROAD = 62.0
"""Width and height of a view on the page of state, mm of its scene, which is shrunk to half a
page; the width is such that its smallest words keep 7 points.  ``BROAD`` is the height of a bottom
that has the whole width."""

OWN_HIGH = 58.0
"""Height of an own view at most, mm of its scene, where there is no form to be drawn."""


@dataclass(frozen=True, slots=True)
class Limits:
    """How much a table of the body may hold before it points at an annex."""

    rows: int
    reader: str
    close: bool = False
    """Whether the tables are set small, so that more of their rows fit."""
    name_length: int = 120
    """Letters that a name is printed with; it stands in full in the annexes."""
    dense: int = 0
    """Steps by which the first page is set closer, until it is one page."""


@dataclass(frozen=True, slots=True)
class Frame:
    """What every section needs: the contents, the limits, the width, the pages known so far."""

    contents: Contents
    limits: Limits
    texts: PageTexts
    width: float
    now: datetime
    logbook: Logbook
    in_full: bool = False
    """Whether tables and texts are printed whole, in an annex, without marks of their own."""

    @property
    def cells(self) -> ParagraphStyle:
        """The style of the cells of a table."""
        return blocks.TINY if self.limits.close else blocks.SMALL

    def cut(self, text: str | None, key: str = "annex-notes") -> str:
        """Shorten a long text of a person, and say where it stands in full."""
        if not text:
            return ""
        if self.in_full or len(text) <= LONG_TEXT:
            return text
        page = self.texts.pages.get(key, 0)
        return say("text.long_cut", text=text[:LONG_TEXT].rstrip(), page=page)

    def some(self, items: Sequence[T], key: str) -> tuple[Sequence[T], list[Flowable]]:
        """Return the rows that fit, and a line that says where the others are."""
        if self.in_full or len(items) <= self.limits.rows:
            return items, []
        left = len(items) - self.limits.rows
        page = self.texts.pages.get(key, 0)
        line = blocks.paragraph(say("report.more_rows", n=left, page=page), blocks.QUIET)
        return items[: self.limits.rows], [line]

    def pages_of(self, key: str, following: str) -> str:
        """Say the pages from one heading up to the one that follows it."""
        first = self.texts.pages.get(key, 0)
        last = max(self.texts.pages.get(following, first), first)
        if first == last:
            return say("format.page", page=first)
        return say("format.pages", first=first, last=last)

    def during(self, visit_id: str | None, when: PartialDate | None) -> str:
        """Say when something was seen at a visit: its span where no day of its own is known."""
        return during(self.contents, visit_id, when)

    def heading(self, code: str, key: str, level: int = 0) -> list[Flowable]:
        """Make a heading of the body."""
        if self.in_full:
            return [blocks.paragraph(say(code), blocks.SUBSECTION)]
        return blocks.heading(say(code), key, self.texts.pages, level)


def during(contents: Contents, visit_id: str | None, when: PartialDate | None) -> str:
    """Say the span of a visit that is longer than a day, else the date."""
    line = next((line for line in contents.visits if line.visit_id == visit_id), None)
    if line is None or line.begins is None:
        return formats.anything(when)
    return formats.span(line.begins, line.until)


def body(
    contents: Contents,
    options: Options,
    limits: Limits,
    texts: PageTexts,
    width: float,
    head: str,
    words: str,
    now: datetime,
    logbook: Logbook,
) -> list[Flowable]:
    """Return the body in the order in which a reader needs it."""
    with blocks.shortened(_short_names(contents, limits.name_length)):
        return _sections(
            Frame(contents, limits, texts, width, now, logbook), options, head, words, now
        )


def _short_names(contents: Contents, length: int) -> dict[str, str]:
    """Return each long name with the shorter one that is printed, the longest first."""
    names = {
        *contents.zone_names.values(),
        *(part.name for part in contents.gear),
        *(matter.title for matter in contents.matters),
        *(anode.name for anode in contents.anodes),
    }
    long = sorted((name for name in names if len(name) > length), key=len, reverse=True)
    return {name: f"{name[: length - 1].rstrip()}…" for name in long}


def _sections(
    frame: Frame, options: Options, head: str, words: str, now: datetime
) -> list[Flowable]:
    sections: list[Callable[[Frame], list[Flowable]]] = [
        _state,
        _open_matters,
        recommendations,
        limited_life,
        _key_dates,
        _anodes,
        trends,
        statement,
    ]
    story = _who_and_what(frame, options, head, words, now)
    for section in sections:
        story += section(frame)
    return story


def tables_in_full(
    contents: Contents,
    limits: Limits,
    texts: PageTexts,
    width: float,
    now: datetime,
    logbook: Logbook,
) -> list[Flowable]:
    """Return an annex with the tables of which the body shows a part; empty where it shows all."""
    matters = [[m for m in contents.matters if m.status == one] for one in ("open", "closed")]
    others = (left_out_lines(contents), contents.asked, contents.gear)
    lengths = [*map(len, matters), *map(len, others)]
    if max(lengths) <= limits.rows:
        return []
    frame = Frame(contents, limits, texts, width, now, logbook, in_full=True)
    story = blocks.heading(say("report.annex.tables"), FULL, texts.pages)
    return [*story, *_open_matters(frame), *recommendations(frame), *limited_life(frame)]


# Who and what


def _who_and_what(
    frame: Frame, options: Options, head: str, words: str, now: datetime
) -> list[Flowable]:
    contents = frame.contents
    her_name = name(contents.vessel.name)
    story: list[Flowable] = [
        paper.Bookmark("title", say("report.title"), 0, frame.texts.pages),
        blocks.paragraph(say("report.title"), blocks.QUIET),
        blocks.paragraph(
            her_name, blocks.TITLE if len(her_name) <= _ONE_LINE else blocks.LONG_TITLE
        ),
        blocks.paragraph(one_line(contents), blocks.BODY),
        blocks.gap(3),
        blocks.facts(identity(contents), frame.width),
        blocks.gap(2),
    ]
    story += frame.heading("report.section.record", "record", 1)
    story.append(blocks.facts(record(contents, options, head, words, now), frame.width, 1))
    story += _years_drawn(frame, now)
    story += frame.heading("report.section.summary", "summary", 1)
    many = len(contents.summary) > FEW_LINES
    in_short = _BULLETS[min(int(many) + frame.limits.dense, 2)]
    story += blocks.bullets([told.summary_text(line) for line in contents.summary], in_short)
    story += frame.heading("report.section.scope", "scope", 1)
    lines = [say(f"report.scope.{n}") for n in range(1, 8)]
    scope = _BULLETS[1 + min(frame.limits.dense, 1)]
    story += blocks.bullets([lines[0], _covered(contents), *lines[1:]], scope)
    return story


def _covered(contents: Contents) -> str:
    """Say what the zones cover and what is on record beside them, and name what nobody saw."""
    lines = [say_n("report.covered.zones", len(contents.zone_names))]
    for group in covered(contents.gear):
        code = f"report.covered.{group.group}"
        if group.looked:
            values = {"looked": group.looked, "when": group.when}
            lines.append(say_n(code, len(group.names), **values))
        if group.earlier:
            named = [say("report.covered.last_of", name=n, when=when) for n, when in group.earlier]
            lines.append(say("report.covered.earlier", parts=told.listed(named)))
        if group.unlooked:
            lines.append(say(f"{code}_unseen", names=told.listed(group.unlooked)))
        if not group.names and group.group != "other":
            lines.append(say(f"{code}_none"))
    return " ".join([*lines, say("report.covered.not")])


def _strip_key(frame: Frame) -> str:
    """Say what the marks of the years mean, those that stand there."""
    contents = frame.contents
    told = [say("report.strip_key")]
    if any(not thread.colour_hex for thread in contents.timeline.threads):
        told.append(say("report.strip_key.no_colour"))
    if any(not visit.out_of_water for visit in contents.timeline.visits):
        told.append(say("report.strip_key.afloat"))
    if contents.dues:
        named = dues_said(contents.dues)
        told.append(say("report.strip_key.due", named=named))
    return " ".join(told)


def _years_drawn(frame: Frame, now: datetime) -> list[Flowable]:
    """Draw her years as a waterline."""
    width = frame.width / blocks.MM
    strip = strip_of(frame.contents.timeline, now, dues=dues_of(frame.contents.dues))
    return [
        blocks.gap(3),
        blocks.picture(tide_strip(strip, width, 22), frame.width),
        blocks.paragraph(_strip_key(frame), blocks.TINY),
    ]


# One page of state


def _state(frame: Frame) -> list[Flowable]:
    contents = frame.contents
    story: list[Flowable] = [blocks.new_page(), *frame.heading("report.section.state", "state")]
    if contents.last is None or not contents.states:
        why = "report.no_haul_out" if contents.last is None else "report.no_look"
        return [*story, blocks.paragraph(say(why), blocks.BODY)]
    line = next(line for line in contents.visits if line.visit_id == contents.last.id)
    story.append(blocks.paragraph(_how_seen(line), blocks.SMALL))
    story.append(blocks.gap(1.5))
    story += _pictures(frame, contents.combined)
    story.append(_zone_table(frame))
    story += [blocks.gap(1.5), blocks.paragraph(_not_seen(contents), blocks.SMALL)]
    return story


def _how_seen(line: VisitLine) -> str:
    return say(
        "report.state_of",
        span=formats.span(line.begins, line.until),
        way=say_code("way", line.way) if line.way else say("way.unknown"),
        looked=line.zones_looked,
        zones=line.zones,
        noted=_noted(line),
    )


def _noted(line: VisitLine) -> str:
    """Say from what it was noted and how much later it was entered here."""
    basis, when = say_code("basis", line.basis), line.looked_at or line.ends or line.begins
    if when is None:
        return basis
    entered = formats.lag(when, line.looks_entered_at or line.entered_at)
    return say("report.noted_entered", basis=basis, entered=entered)


def _pictures(frame: Frame, state: State) -> list[Flowable]:
    form, own = frame.contents.form, ownviews.wanted(frame.contents.own_views)
    if form is None and not own:
        return []
    marks = _finding_marks(frame)
    pair = state.seen_as_left
    columns: list[list[Flowable]] = []
    for code, zones in (("found", state.found), ("left", state.left))[: 2 if pair else 1]:
        title = (
            say(f"report.all_kinds.{code}")
            if state.kind == "*"
            else say("telling.pair", name=telling.kind_name(state.kind), value=say(f"state.{code}"))
        )
        columns.append([blocks.paragraph(title, blocks.SMALL_BOLD)])
        columns[-1] += _views(frame, zones, state.kind, marks, alone=not pair)
    legend = legend_scene(
        zonepictures.legend_of_all() if state.kind == "*" else zonepictures.legend(state.kind),
        frame.width / blocks.MM,
    )
    notes = [] if pair else [say("report.no_look_as_left")]
    if pair and any(zone.from_found for zone in state.left):
        notes.append(say("report.shown_as_found"))
    if marks and form is not None:
        notes.append(say("report.rings"))
    return [
        blocks.side_by_side(columns, frame.width) if pair else blocks.together(columns[0]),
        blocks.picture(legend, frame.width),
        *([blocks.paragraph(" ".join(notes), blocks.QUIET)] if notes else []),
        blocks.gap(1.5),
    ]


def _views(
    frame: Frame, zones: Sequence[ZoneState], kind: str, marks: Sequence[Mark], *, alone: bool
) -> list[Flowable]:
    """Draw all views in one column; ``alone`` the bottom takes the room of both columns."""
    form, own = frame.contents.form, ownviews.wanted(frame.contents.own_views)
    half = frame.width / 2 - 4
    drawn: dict[str, Flowable] = {}
    for view in ("port", "starboard", "bottom") if form is not None else ():
        assert form is not None
        broad = alone and view == "bottom"
        scene = zonepictures.picture(
            built(form.particulars),
            view,
            zones,
            kind,
            width=VIEW * frame.width / half if broad else VIEW,
            height=BROAD if broad else HEIGHTS[view],
            marks=marks,
        ).scene
        drawn[view] = blocks.picture(scene, frame.width if broad else half)
    high = OWN_HIGH if form is None else HEIGHTS["bottom"]
    pictures = [
        blocks.picture(ownviews.state_scene(frame.logbook, seen, zones, kind, VIEW, high), half)
        for seen in own
    ]
    if not alone:
        return [*drawn.values(), *pictures]
    sides = [[drawn[side]] for side in ("port", "starboard") if side in drawn]
    rows = [blocks.side_by_side(sides, frame.width)] if sides else []
    rows += [drawn["bottom"]] if "bottom" in drawn else []
    for first in range(0, len(pictures), 2):
        two: list[list[Flowable]] = [[one] for one in pictures[first : first + 2]]
        rows.append(blocks.side_by_side([*two, []][:2], frame.width))
    return rows


def _finding_marks(frame: Frame) -> list[Mark]:
    """Mark where the spots of open findings lie, each by the number of its finding."""
    found = []
    for matter in frame.contents.matters:
        for spot_id in matter.spot_ids if matter.status == "open" else ():
            spot = frame.contents.spots.get(spot_id)
            if spot is not None and spot.place is not None:
                at = spot.place
                place = Place(at.part, at.face, at.u, at.v)
                key = f"spot:{spot.number}:{matter.number}"
                found.append(Mark(key, str(matter.number), place, "spot", name(matter.title)))
    return found


def _zone_table(frame: Frame) -> Flowable:
    states = frame.contents.states
    groups: dict[tuple[str, str, str], list[str]] = {}
    for place, zone in enumerate(states[0].found):
        told_here = (
            _found_text(frame, place),
            _left_text(frame, [(s.kind, s.left[place]) for s in states]),
            _seen_how(frame.contents.how_seen.get(zone.zone_id)),
        )
        groups.setdefault(told_here, []).append(name(zone.name))
    rows = [["; ".join(names), *told_here] for told_here, names in groups.items()]
    header = [
        say("report.zone"),
        say("state.found"),
        say("state.left"),
        say("report.how_seen"),
    ]
    return blocks.grid(header, rows, frame.width, [3.2, 3.2, 2.4, 1.9], blocks.TINY)


def _found_text(frame: Frame, place: int) -> str:
    """Say what was found in a zone, and what a look during the work saw, each with its day."""
    states = frame.contents.states
    found = [(s.kind, s.found[place]) for s in states]
    during = [(s.kind, s.during[place]) for s in states]
    if all(zone.coverage == "not_looked" and not zone.figures for _, zone in during):
        return _zone_text(frame, found)
    both = (("found", found), ("during", during))
    return "; ".join(_of_state(frame, state, pairs) for state, pairs in both)


def _of_state(frame: Frame, state: str, pairs: Sequence[tuple[str, ZoneState]]) -> str:
    text = _zone_text(frame, pairs)
    if all(zone.coverage == "not_looked" and not zone.figures for _, zone in pairs):
        return say("report.of_state_unseen", state=say(f"state.{state}"), text=text)
    days = {zone.observed for _, zone in pairs if zone.figures}
    seen = days.pop() if len(days) == 1 else None
    last = frame.contents.last
    when = formats.anything(seen) if seen else frame.during(last.id if last else None, None)
    return say("report.of_state", state=say(f"state.{state}"), when=when, text=text)


def _zone_text(frame: Frame, pairs: Sequence[tuple[str, ZoneState]]) -> str:
    """Say what was found of every kind in one zone."""
    first = pairs[0][1]
    if first.coverage == "not_looked" and not any(zone.figures for _, zone in pairs):
        return say("appearance.not_looked")
    if first.coverage == "not_seen":
        why = say_code("hidden_by", first.hidden_by) if first.hidden_by else ""
        return say("report.not_seen_why", why=why) if why else say("appearance.not_seen")
    graded = [
        f"{telling.kind_name(kind)}: {telling.short(kind, zone.figures)}"
        for kind, zone in pairs
        if zone.figures and zone.appearance == "graded"
    ]
    none = [
        telling.kind_name(kind).lower() for kind, zone in pairs if zone.appearance == "none_found"
    ]
    if none:
        graded.append(say("report.looked_for_none", kinds=formats.joined(none)))
    graded += _in_words(frame, [zone for _, zone in pairs])
    if not graded and any(zone.result == "nothing_found" for _, zone in pairs):
        return say("report.nothing_found")
    return "; ".join(graded) or say("appearance.not_rated")


def _in_words(frame: Frame, zones: Sequence[ZoneState]) -> list[str]:
    """Say what was found in a zone and told in words."""
    found = (zone.note for zone in zones if zone.result == "something_found")
    return [
        say("report.found_in_words", text=frame.cut(text)) for text in dict.fromkeys(found) if text
    ]


def _left_text(frame: Frame, pairs: Sequence[tuple[str, ZoneState]]) -> str:
    first = pairs[0][1]
    if first.coverage == "not_looked":
        return say("appearance.not_looked")
    return left_text(pairs) if first.from_found else _zone_text(frame, pairs)


def _seen_how(seen: HowSeen | None) -> str:
    if seen is None:
        return ""
    coverage = say_code("coverage", seen.coverage)
    if seen.share is not None:
        coverage = say("coverage.share", share=formats.share(seen.share))
    methods = formats.joined([say_code("method", method) for method in seen.methods])
    return f"{coverage}, {methods}" if seen.methods else coverage


def _not_seen(contents: Contents) -> str:
    if contents.growth.once:
        return say("report.unseen_once", zones=", ".join(contents.growth.once))
    if not contents.unseen and contents.growth.names:
        code = "report.growth_alone_every" if contents.growth.every else "report.growth_alone"
        return say(code, zones=", ".join(contents.growth.names))
    if not contents.unseen:
        return say("summary.all_seen_once" if contents.growth.single else "report.all_seen_lately")
    told = [
        say("report.never_seen", zone=zone.name)
        if zone.since is None
        else say("report.not_seen_since", zone=zone.name, when=zone.since)
        for zone in contents.unseen
    ]
    return say("report.unseen", zones="; ".join(told))


# Matters


def _open_matters(frame: Frame) -> list[Flowable]:
    open_ones = [m for m in frame.contents.matters if m.status == "open"]
    closed = [m for m in frame.contents.matters if m.status == "closed"]
    # A finding with its words and pictures is high, and its heading does not go before it alone.
    story = [
        blocks.room(_FINDING if open_ones else 0),
        *frame.heading("report.section.open", "open"),
    ]
    if not open_ones:
        story.append(blocks.paragraph(say("report.no_open_matters"), blocks.SMALL))
    else:
        shown, more = frame.some(open_ones, FULL)
        story.append(_matter_table(frame, shown, closed=False))
        story += more
    if closed:
        story += frame.heading("report.section.closed", "closed", 1)
        shown, more = frame.some(closed, FULL)
        story.append(_matter_table(frame, shown, closed=True))
        story += more
    lines = left_out_lines(frame.contents)
    if lines:
        story += frame.heading("report.section.left_out", "left-out", 1)
        few, more = frame.some(lines, FULL)
        story += blocks.bullets([frame.cut(line) for line in few])
        story += more
    return story


def left_out_lines(contents: Contents) -> list[str]:
    """Say of each number that the tables of findings skip why it is not there."""
    told = []
    for one in contents.left_out:
        if one.title is None:
            told.append(say("report.number_unused", number=one.number))
            continue
        told.append(
            say(
                "report.finding_withdrawn",
                number=one.number,
                title=name(one.title),
                raised=formats.anything(one.raised),
                when=formats.moment(one.withdrawn, contents.zone)
                if one.withdrawn
                else say("word.not_recorded"),
                reason=one.reason or say("word.not_recorded"),
            )
        )
    return told


def _matter_table(frame: Frame, matters: Sequence[Matter], *, closed: bool) -> Flowable:
    rows: list[list[blocks.Cell]] = []
    shares = [0.5, 3.0, 4.6, 1.1, 1.5] if closed else [0.5, 3.0, 1.8, 1.7, 1.1, 1.3, 2.8]
    width = frame.width * shares[1] / sum(shares)
    for matter in matters:
        title = _titled(frame, matter, noted=not closed)
        what = [_closed_by(matter)] if closed else [_action(frame, matter), _due_of(frame, matter)]
        rows.append(
            [
                str(matter.number),
                title if closed else _finding(frame, matter, title, width),
                *what,
                say_code("severity", matter.severity),
                frame.during(matter.raised_visit_id, matter.raised),
                *([] if closed else [_last_seen(frame, matter)]),
            ]
        )
    header = [
        say("report.number"),
        say("report.finding"),
        *([say("report.closed_by")] if closed else [say("report.action"), say("report.due_when")]),
        say("finding.severity"),
        say("report.raised"),
        *([] if closed else [say("report.last_seen")]),
    ]
    return blocks.grid(header, rows, frame.width, shares, frame.cells)


def _where(contents: Contents, matter: Matter) -> list[str]:
    """Name where a finding is: its zones with their side, then its spots."""
    spots = [contents.spots[one] for one in matter.spot_ids if one in contents.spots]
    zones = dict.fromkeys([*matter.zone_ids, *(spot.zone_id or "" for spot in spots)])
    named = [contents.zone_names[zone] for zone in zones if zone in contents.zone_names]
    # A label that the title says already is not said twice.
    return named + [
        say("spot.numbered", number=spot.number)
        if spot.label.lower() in matter.title.lower()
        else say("spot.numbered_label", number=spot.number, label=spot.label)
        for spot in spots
    ]


def _finding(frame: Frame, matter: Matter, title: str, width: float) -> blocks.Cell:
    """Set the name of a finding over its photographs, or say that there is none."""
    pair = before_and_after(frame.contents.pictured.get(matter.finding_id, ()))
    if not pair:
        return f"{title}. {say('report.no_photo')}"
    cells = [thumbnail(one, width / 2 - 9, frame.logbook) for one in pair]
    cells += [[]] * (2 - len(cells))
    return [
        blocks.paragraph(title, frame.cells),
        blocks.gap(1),
        blocks.side_by_side(cells, width - 6),
    ]


def _action(frame: Frame, matter: Matter) -> str:
    """Name the recommendation that says what must be done, or say that nobody decided it."""
    asked = [one for one in frame.contents.asked if one.finding_id == matter.finding_id]
    if not asked:
        return say("report.to_be_decided")
    return say("report.as_asked", number=asked[-1].number, when=asked[-1].survey_date)


def _titled(frame: Frame, matter: Matter, *, noted: bool) -> str:
    """Return the name of a finding with what was noted of it, where the name does not say it."""
    title, note = name(matter.title), frame.cut(matter.note)
    where = _where(frame.contents, matter)
    if where:
        title = f"{title} ({told.listed(where)})"
    if not noted or not note or matter.title.startswith(note):
        return title
    return say("report.finding_noted", title=title, note=note)


def _due_of(frame: Frame, matter: Matter) -> str:
    """Say by when it must be done, and by what it is overdue."""
    must, late = say_code("must", matter.must), matter.overdue(frame.now)
    if late is None:
        return must
    since = formats.anything(late.since)
    return f"{must}; {say(f'report.overdue_{late.code}', when=since)}"


def _last_seen(frame: Frame, matter: Matter) -> str:
    if not matter.seen:
        when = frame.during(matter.raised_visit_id, matter.raised)
        once = say("report.seen_once", when=when)
        if matter.found_before:
            days = formats.joined([formats.anything(day) for day in matter.found_before])
            once = say("report.seen_before", when=when, days=days)
        return " ".join(part for part in (once, _work_so_far(matter)) if part)
    last = matter.seen[-1]
    seen = f"{frame.during(last.visit_id, last.when)}: {say_code('seen', last.seen)}."
    parts = [seen, frame.cut(last.text), _work_so_far(matter)]
    return " ".join(part for part in parts if part)


def _work_so_far(matter: Matter) -> str:
    """Say what was last done about an open finding."""
    if not matter.done:
        return ""
    last = matter.done[-1]
    return say_n("report.work_so_far", len(matter.done), when=last.when, text=last.text.rstrip("."))


def _closed_by(matter: Matter) -> str:
    if matter.closed_by is None:
        return formats.anything(matter.closed)
    done = matter.closed_by
    parts = [f"{formats.anything(done.when or matter.closed)}: {done.text.rstrip('.')}"]
    if done.by:
        parts.append(done.by)
    if done.documents:
        parts.append(say("report.proof", what=formats.joined(list(done.documents))))
    if done.photos:
        parts.append(say_n("photo.count", done.photos))
    return "; ".join(parts)


# What surveys asked for


# Dates


def _key_dates(frame: Frame) -> list[Flowable]:
    story = frame.heading("report.section.dates", "dates")
    dates = frame.contents.key_dates
    if not dates:
        return [*story, blocks.paragraph(say("word.not_recorded"), blocks.SMALL)]
    rows = []
    for date in dates:
        values = {
            key: say_code("down_to", v)
            if date.code == "taken_off"
            else say_code("treatment", v)
            if date.code == "treated"
            else v
            for key, v in date.values
        }
        label = say(f"key_date.{date.code}", **values)
        if date.zones:
            label = say("key_date.on_zones", label=label, zones=told.first_of(date.zones))
        if date.but:
            label = say_n("key_date.but", len(date.but), label=label, zones=told.listed(date.but))
        when = formats.span(date.when, date.until) if date.until else formats.anything(date.when)
        if date.code == "surveyed":
            when = say("report.ago", when=when, ago=formats.passed(date.when, frame.now))
        rows.append((label, when))
    return [*story, blocks.facts(rows, frame.width, label=0.62)]


# Anodes


def _anodes(frame: Frame) -> list[Flowable]:
    story = frame.heading("report.section.anodes", "anodes")
    stories = frame.contents.anodes
    if not stories:
        return [*story, blocks.paragraph(say("report.no_anodes"), blocks.SMALL)]
    rows = []
    for anode in stories:
        piece = anode.pieces[-1] if anode.pieces else None
        rows.append(
            [
                name(anode.name),
                say_code("anode", piece.metal) if piece else say("word.not_recorded"),
                told.fitted_text(piece) if piece else "",
                told.last_check_text(anode),
                told.wear_and_whence(anode),
                told.half_text(anode, frame.now),
            ]
        )
    header = [
        say("anode.position"),
        say("report.metal"),
        say("report.fitted"),
        say("report.last_check"),
        say("report.wear"),
        say(
            "report.limit_gone"
            if any(one.limit.by_owner for one in stories)
            else "report.half_gone"
        ),
    ]
    story.append(
        blocks.grid(header, rows, frame.width, [1.5, 1.1, 1.2, 2.3, 3.0, 1.9], frame.cells)
    )
    for anode in stories:
        scene = compose.anode_scene(anode, frame.width / blocks.MM, 34)
        if scene is not None:
            story.append(blocks.together([blocks.gap(2), blocks.picture(scene, frame.width)]))
    looks = [look for anode in stories for piece in anode.pieces for look in piece.checks]
    if any(look.way == "by_eye" for look in looks):
        story.append(blocks.paragraph(say("report.by_eye_dashed"), blocks.QUIET))
    story.append(blocks.paragraph(say("caution.protective_earth"), blocks.QUIET))
    return story

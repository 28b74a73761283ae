"""The body: who and what, one page of state, matters, dates, anodes, trends, signature."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING, TypeVar

from hulllog.drawing import compose, zonepictures
from hulllog.drawing import telling as told
from hulllog.drawing.hullviews import legend_scene
from hulllog.drawing.strip import dues_of, strip_of
from hulllog.drawing.tidestrip import tide_strip
from hulllog.insight.parts import covered
from hulllog.insight.shape import built
from hulllog.output import blocks, paper
from hulllog.words import formats, say, say_code, say_n, telling

if TYPE_CHECKING:
    from reportlab.platypus import Flowable

    from hulllog.insight.condition import ZoneState
    from hulllog.insight.judging import ZoneJudged
    from hulllog.insight.matters import Asked, Matter, ProofSeen
    from hulllog.insight.overview import VisitLine
    from hulllog.insight.parts import Metered, PartSeen
    from hulllog.output.contents import Contents, State
    from hulllog.output.history import Options
    from hulllog.output.paper import PageTexts

T = TypeVar("T")
LONG_TEXT = 300
LONG_NAME = 120
VIEW = 92.0
HEIGHTS = {"port": 30.0, "starboard": 30.0, "bottom": 38.0}
"""Width and height of a view on the page of state, mm of its scene, which is shrunk to half a
page; the width is such that its smallest words keep 7 points."""


@dataclass(frozen=True, slots=True)
class Limits:
    """How much a table of the body may hold before it points at an annex."""

    rows: int
    reader: str


@dataclass(frozen=True, slots=True)
class Frame:
    """What every section needs: the contents, the limits, the width, the pages known so far."""

    contents: Contents
    limits: Limits
    texts: PageTexts
    width: float
    now: datetime

    def cut(self, text: str | None, key: str = "annex-notes") -> str:
        """Shorten a long text of a person, and say where it stands in full."""
        if not text:
            return ""
        if len(text) <= LONG_TEXT:
            return text
        page = self.texts.pages.get(key, 0)
        return say("text.long_cut", text=text[:LONG_TEXT].rstrip(), page=page)

    def some(self, items: Sequence[T], key: str) -> tuple[Sequence[T], list[Flowable]]:
        """Return the rows that fit, and a line that says where the others are."""
        if len(items) <= self.limits.rows:
            return items, []
        left = len(items) - self.limits.rows
        page = self.texts.pages.get(key, 0)
        line = blocks.paragraph(say("report.more_rows", n=left, page=page), blocks.QUIET)
        return items[: self.limits.rows], [line]

    def heading(self, code: str, key: str, level: int = 0) -> list[Flowable]:
        """Make a heading of the body."""
        return blocks.heading(say(code), key, self.texts.pages, level)


def name(text: str) -> str:
    """Cut a name to what a line can hold."""
    return text if len(text) <= LONG_NAME else text[: LONG_NAME - 1] + "…"


def body(
    contents: Contents,
    options: Options,
    limits: Limits,
    texts: PageTexts,
    width: float,
    head: str,
    words: str,
    now: datetime,
) -> list[Flowable]:
    """Return the body in the order in which a reader needs it."""
    frame = Frame(contents, limits, texts, width, now)
    sections: list[Callable[[Frame], list[Flowable]]] = [
        _state,
        _open_matters,
        _asked,
        _limited_life,
        _key_dates,
        _anodes,
        _trends,
        _statement,
    ]
    story = _who_and_what(frame, options, head, words, now)
    for section in sections:
        story += section(frame)
    return story


# Who and what


def _who_and_what(
    frame: Frame, options: Options, head: str, words: str, now: datetime
) -> list[Flowable]:
    contents = frame.contents
    story: list[Flowable] = [
        paper.Bookmark("title", say("report.title"), 0, frame.texts.pages),
        blocks.paragraph(say("report.title"), blocks.QUIET),
        blocks.paragraph(name(contents.vessel.name), blocks.TITLE),
        blocks.paragraph(_one_line(contents), blocks.BODY),
        blocks.gap(3),
        blocks.facts(_identity(contents), frame.width),
        blocks.gap(2),
    ]
    story += frame.heading("report.section.record", "record", 1)
    story.append(blocks.facts(_record(contents, options, head, words, now), frame.width, 1))
    story += _years_drawn(frame, now)
    story += frame.heading("report.section.summary", "summary", 1)
    story += blocks.bullets([told.summary_text(line) for line in contents.summary])
    story += frame.heading("report.section.scope", "scope", 1)
    lines = [say(f"report.scope.{n}") for n in range(1, 8)]
    story += blocks.bullets([lines[0], _covered(contents), *lines[1:]], blocks.SMALL_BULLET)
    return story


def _covered(contents: Contents) -> str:
    """Say what the zones cover and what is on record beside them."""
    told = [say_n("report.covered.zones", len(contents.zone_names))]
    for group in covered(contents.parts):
        code = f"report.covered.{group.group}"
        if group.looked:
            values = {"looked": group.looked, "when": group.when}
            told.append(say_n(code, len(group.names), **values))
        elif group.names:
            told.append(say_n(f"{code}_unseen", len(group.names)))
        elif group.group != "other":
            told.append(say(f"{code}_none"))
    return " ".join([*told, say("report.covered.not")])


def _years_drawn(frame: Frame, now: datetime) -> list[Flowable]:
    """Draw her years as a waterline."""
    width = frame.width / blocks.MM
    strip = strip_of(frame.contents.timeline, now, dues=dues_of(frame.contents.dues))
    return [
        blocks.gap(3),
        blocks.picture(tide_strip(strip, width, 22), frame.width),
        blocks.paragraph(say("report.strip_key"), blocks.TINY),
    ]


def _one_line(contents: Contents) -> str:
    vessel, form = contents.vessel, contents.form
    parts = [
        say_code("material", vessel.material),
        vessel.rig or say_code("hull_kind", vessel.kind),
    ]
    if form and form.length:
        parts.append(formats.measured(form.length))
    if vessel.built:
        parts.append(say("report.built_in", when=vessel.built))
    return ", ".join(parts)


def _identity(contents: Contents) -> list[tuple[str, str]]:
    vessel, form = contents.vessel, contents.form
    rows = [(say("report.name"), name(vessel.name))]
    if contents.former_names:
        rows.append(
            (say("report.former_names"), ", ".join(name(n.name) for n in contents.former_names))
        )
    rows += [
        (say("report.craft_number"), vessel.craft_number or say("word.not_recorded")),
        (
            say("report.registration"),
            ", ".join(f"{r.register} {r.number}" for r in contents.registrations)
            or say("word.not_recorded"),
        ),
        (say("report.builder"), name(vessel.builder or say("word.not_recorded"))),
        (say("report.design"), name(vessel.design or say("word.not_recorded"))),
    ]
    if form:
        for code in ("length", "beam", "draught", "displacement"):
            value = getattr(form, code)
            if value is not None:
                rows.append((say(f"particular.{code}"), formats.measured(value)))
        if form.assumed:
            rows.append(
                (
                    say("report.assumed"),
                    formats.joined([say_code("particular", code) for code in form.assumed]),
                )
            )
    if contents.berths:
        berth = contents.berths[-1]
        rows.append(
            (say("report.berth"), f"{name(berth.location)}, {say_code('water', berth.water)}")
        )
    return rows


def _record(
    contents: Contents, options: Options, head: str, words: str, now: datetime
) -> list[tuple[str, str]]:
    lines = contents.visits
    rows = [
        (
            say("report.kept"),
            say_n(
                "report.kept_from_to",
                len(lines),
                first=lines[0].begins,
                last=lines[-1].ends or lines[-1].begins,
            )
            if lines
            else say("report.no_visits"),
        ),
        (say("report.kept_by"), formats.joined(list(contents.keepers))),
        (say("report.issued" if head else "report.drawn_up"), formats.moment(now)),
        (say("report.for"), _for(options)),
    ]
    if head:
        rows += [(say("report.head"), _spaced(head)), (say("report.head_words"), words)]
    else:
        rows.append((say("report.head"), say("report.no_head")))
    return rows


def _for(options: Options) -> str:
    reader = say_code("reader", options.reader)
    return f"{reader}: {name(options.to_whom)}" if options.to_whom else reader


def _spaced(head: str) -> str:
    """Break the hex into groups of eight, so that it can be read aloud and wrapped."""
    return " ".join(head[n : n + 8] for n in range(0, len(head), 8))


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
    story.append(blocks.paragraph(_not_seen(contents), blocks.SMALL))
    return story


def _how_seen(line: VisitLine) -> str:
    return say(
        "report.state_of",
        span=formats.span(line.begins, line.until),
        way=say_code("way", line.way) if line.way else say("way.unknown"),
        looked=line.zones_looked,
        zones=line.zones,
        basis=say_code("basis", line.basis),
    )


def _pictures(frame: Frame, state: State) -> list[Flowable]:
    form = frame.contents.form
    if form is None:
        return []
    half = frame.width / 2 - 4
    columns = []
    for code, zones in (("found", state.found), ("left", state.left)):
        cells: list[Flowable] = [
            blocks.paragraph(say(f"report.all_kinds.{code}"), blocks.SMALL_BOLD)
        ]
        for view in ("port", "starboard", "bottom"):
            scene = zonepictures.picture(
                built(form.particulars), view, zones, state.kind, width=VIEW, height=HEIGHTS[view]
            ).scene
            cells.append(blocks.picture(scene, half))
        columns.append(cells)
    legend = legend_scene(zonepictures.legend_of_all(), frame.width / blocks.MM)
    after = any(zone.from_found for zone in state.left)
    note = [blocks.paragraph(say("report.shown_as_found"), blocks.QUIET)] if after else []
    return [
        blocks.side_by_side(columns, frame.width),
        blocks.picture(legend, frame.width),
        *note,
        blocks.gap(1.5),
    ]


def _zone_table(frame: Frame) -> Flowable:
    states = frame.contents.states
    groups: dict[tuple[str, str, str], list[str]] = {}
    for place, zone in enumerate(states[0].found):
        told_here = (
            _zone_text(frame, [(s.kind, s.found[place]) for s in states]),
            _left_text(frame, [(s.kind, s.left[place]) for s in states]),
            _seen_how(zone),
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


def _zone_text(frame: Frame, pairs: Sequence[tuple[str, ZoneState]]) -> str:
    """Say what was found of every kind in one zone."""
    first = pairs[0][1]
    if first.coverage == "not_looked":
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
    if first.from_found:
        if not first.work_done:
            return say("report.not_looked_again")
        return say_n("report.not_looked_after", first.work_done)
    return _zone_text(frame, pairs)


def _seen_how(zone: ZoneState) -> str:
    if zone.coverage in ("not_looked", "not_seen"):
        return ""
    coverage = say_code("coverage", zone.coverage)
    if zone.coverage == "part" and zone.share is not None:
        coverage = say("coverage.share", share=formats.share(zone.share))
    methods = formats.joined([say_code("method", method) for method in zone.methods])
    return f"{coverage}, {methods}" if zone.methods else coverage


def _not_seen(contents: Contents) -> str:
    if not contents.unseen and contents.growth.names:
        code = "report.growth_alone_every" if contents.growth.every else "report.growth_alone"
        return say(code, zones=", ".join(contents.growth.names))
    if not contents.unseen:
        return say("report.all_seen_lately")
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
    story = frame.heading("report.section.open", "open")
    if not open_ones:
        story.append(blocks.paragraph(say("report.no_open_matters"), blocks.SMALL))
    else:
        shown, more = frame.some(open_ones, "annex-notes")
        story.append(_matter_table(frame, shown, closed=False))
        story += more
    if closed:
        story += frame.heading("report.section.closed", "closed", 1)
        shown, more = frame.some(closed, "annex-notes")
        story.append(_matter_table(frame, shown, closed=True))
        story += more
    lines = left_out_lines(frame.contents)
    if lines:
        story += frame.heading("report.section.left_out", "left-out", 1)
        few, more = frame.some(lines, "annex-notes")
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
    rows = []
    for matter in matters:
        where = [frame.contents.zone_names.get(zone, "") for zone in matter.zone_ids]
        title = name(matter.title)
        if where:
            title = f"{title} ({told.listed([one for one in where if one])})"
        state = _closed_by(matter) if closed else _last_seen(frame, matter)
        rows.append(
            [
                str(matter.number),
                title,
                _must(frame, matter),
                say_code("severity", matter.severity),
                formats.anything(matter.raised),
                state,
            ]
        )
    header = [
        say("report.number"),
        say("report.finding"),
        say("finding.must"),
        say("finding.severity"),
        say("report.raised"),
        say("report.closed_by") if closed else say("report.last_seen"),
    ]
    return blocks.grid(header, rows, frame.width, [0.5, 3.0, 2.0, 1.1, 1.4, 3.4])


def _must(frame: Frame, matter: Matter) -> str:
    """Say what must happen, and by what it is overdue."""
    must, late = say_code("must", matter.must), matter.overdue(frame.now)
    if late is None:
        return must
    since = formats.anything(late.since)
    return f"{must}; {say(f'report.overdue_{late.code}', when=since)}"


def _last_seen(frame: Frame, matter: Matter) -> str:
    if not matter.seen:
        return frame.cut(matter.note) or say("report.as_raised")
    last = matter.seen[-1]
    seen = f"{formats.anything(last.when)}: {say_code('seen', last.seen)}."
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


def _asked(frame: Frame) -> list[Flowable]:
    items = frame.contents.asked
    story = frame.heading("report.section.asked", "asked")
    if not items:
        return [*story, blocks.paragraph(say("report.no_surveys"), blocks.SMALL)]
    shown, more = frame.some(items, "annex-evidence")
    rows = [
        [_survey(item), f"{item.number}. {frame.cut(item.wording)}", _due(item), _proofs(item)]
        for item in shown
    ]
    header = [
        say("report.survey"),
        say("report.recommendation"),
        say("report.due"),
        say("report.proof_head"),
    ]
    return [*story, blocks.grid(header, rows, frame.width, [1.9, 3.6, 1.3, 3.8]), *more]


def _survey(item: Asked) -> str:
    who = say_code("asked_by", item.asked_by) if item.asked_by else ""
    return ", ".join(part for part in (formats.anything(item.survey_date), who) if part)


def _due(item: Asked) -> str:
    parts = [item.survey_class or "", formats.anything(item.due) if item.due else ""]
    return ", ".join(part for part in parts if part)


def _proofs(item: Asked) -> str:
    """Say each proof with its kind; who accepted all of them on one day is said once."""
    if not item.proofs:
        return say("report.not_proved")
    accepted = {(proof.accepted_by, formats.anything(proof.accepted)) for proof in item.proofs}
    alike = len(accepted) == 1
    parts = "; ".join(_proof(proof, accepted=not alike) for proof in item.proofs)
    by, when = accepted.pop()
    return say("report.accepted", text=parts, by=by, when=when) if alike and by else parts


def _proof(proof: ProofSeen, *, accepted: bool) -> str:
    text = ", ".join(
        part.rstrip(".")
        for part in (formats.anything(proof.when) if proof.when else "", proof.text)
        if part
    ) or say_code("proof", proof.sort)
    if proof.sort != "photo":
        text = say(f"report.proof_is.{proof.kind}", text=text)
    if accepted and proof.accepted_by:
        return say("report.accepted", text=text, by=proof.accepted_by, when=proof.accepted)
    return text


# Parts, dates


def _limited_life(frame: Frame) -> list[Flowable]:
    story = frame.heading("report.section.parts", "parts")
    found = frame.contents.parts
    if not found:
        return [*story, blocks.paragraph(say("report.no_gear"), blocks.SMALL)]
    rows = [
        [
            name(part.gear.name),
            say_code("gear", part.gear.sort),
            part.gear.material or say("word.not_recorded"),
            _age(part),
            _part_seen(frame, part),
        ]
        for part in found
    ]
    header = [
        say("report.part"),
        say("report.sort"),
        say("report.material"),
        say("report.fitted"),
        say("report.last_check"),
    ]
    shown, more = frame.some(rows, "annex-notes")
    return [*story, blocks.grid(header, shown, frame.width, [1.8, 1.4, 1.2, 2, 3.6]), *more]


def _age(part: PartSeen) -> str:
    """Say when a fitting was fitted, or what work is known of one whose age is not."""
    if part.gear.fitted:
        return formats.anything(part.gear.fitted)
    if part.worked is None:
        return say("report.age_unknown")
    text = part.worked.text.rstrip(".")
    return say("report.age_from_work", when=part.worked.when, text=text)


def _part_seen(frame: Frame, part: PartSeen) -> str:
    """Say when a fitting was last looked at, with what was measured and how."""
    if part.last is None:
        return say("report.gear_no_look")
    result = say_code("result", part.last.result) if part.last.result else ""
    lines = [f"{formats.anything(part.when)}: {result}" if result else formats.anything(part.when)]
    lines += [metered_text(one) for one in part.measured]
    lines += [frame.cut(part.last.text).rstrip(".")] if part.last.text else []
    return "; ".join(lines)


def metered_text(one: Metered) -> str:
    """Say the readings of one act of measuring with unit, instrument and conditions."""
    read = [
        say(
            "telling.pair",
            name=telling.component_name(one.kind, code),
            value=", ".join(formats.measured(value) for value in values),
        )
        for code, values, _ in one.figures
    ]
    return f"{', '.join(read)} ({metered_how(one)})"


def metered_how(one: Metered) -> str:
    """Say with what it was measured and under which conditions, or that this is not on record."""
    parts = [] if any(unit != "1" for _, _, unit in one.figures) else [say("report.relative")]
    if one.instrument:
        parts.append(
            say("report.instrument", name=name(one.instrument), serial=one.serial)
            if one.serial
            else name(one.instrument)
        )
    elif not one.meter_known:
        parts.append(say("report.meter_unknown"))
    if one.conditions:
        parts.append(telling.conditions(one.conditions))
    return ", ".join(parts)


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
        when = formats.span(date.when, date.until) if date.until else formats.anything(date.when)
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
        check = next((c for p in reversed(anode.pieces) for c in reversed(p.checks)), None)
        rows.append(
            [
                name(anode.name),
                say_code("anode", piece.metal) if piece else say("word.not_recorded"),
                formats.anything(piece.fitted) if piece else "",
                told.check_text(check) if check else say("word.not_recorded"),
                told.wear_text(anode),
                told.half_text(anode, frame.now),
            ]
        )
    header = [
        say("anode.position"),
        say("report.metal"),
        say("report.fitted"),
        say("report.last_check"),
        say("report.wear"),
        say("report.half_gone"),
    ]
    story.append(blocks.grid(header, rows, frame.width, [1.5, 1.1, 1.2, 2.3, 3.0, 1.9]))
    for anode in stories:
        scene = compose.anode_scene(anode, frame.width / blocks.MM, 38)
        if scene is not None:
            story.append(blocks.together([blocks.gap(2), blocks.picture(scene, frame.width)]))
    story.append(blocks.paragraph(say("caution.protective_earth"), blocks.QUIET))
    return story


# Trends


def _trends(frame: Frame) -> list[Flowable]:
    story = frame.heading("report.section.trends", "trends")
    judged = [*frame.contents.zones_judged, *frame.contents.spots_judged]
    telling_ones = _distinct([item for item in judged if told.says_something(item)])
    if not telling_ones:
        return [*story, blocks.paragraph(say("report.no_trends"), blocks.SMALL)]
    telling_ones.sort(key=told.weight, reverse=True)
    most = {"insurer": 2, "buyer": 8, "surveyor": 16}[frame.limits.reader]
    shown = telling_ones[: min(most, frame.limits.rows)]
    cells = [_trend_cell(frame, item) for item in shown]
    for first in range(0, len(cells), 2):
        pair = cells[first : first + 2]
        if len(pair) == 1:
            pair.append([])
        story.append(blocks.side_by_side(pair, frame.width))
        story.append(blocks.gap(2))
    if len(telling_ones) > len(shown):
        story.append(
            blocks.paragraph(
                say(
                    "report.more_rows",
                    n=len(telling_ones) - len(shown),
                    page=frame.texts.pages.get("annex-trends", 0),
                ),
                blocks.QUIET,
            )
        )
    story.append(blocks.paragraph(say("report.trend_rule"), blocks.QUIET))
    return story


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


def _trend_cell(frame: Frame, item: ZoneJudged) -> list[Flowable]:
    scene = compose.trend_scene(item, 82, 42)
    return [
        blocks.picture(scene, frame.width / 2 - 8),
        blocks.paragraph(told.trend_text(item), blocks.SMALL),
    ]


# Signature


def _statement(frame: Frame) -> list[Flowable]:
    parts: list[Flowable] = [
        *frame.heading("report.section.statement", "statement"),
        blocks.paragraph(say("report.statement"), blocks.SMALL),
        blocks.gap(9),
        blocks.facts(
            [
                (say("report.sign_name"), "…" * 22),
                (say("report.sign_place"), "…" * 22),
                (say("report.sign_signature"), "…" * 22),
                (say("report.sign_date"), "…" * 22),
            ],
            frame.width,
        ),
    ]
    return [blocks.together(parts)]

"""What the window and the print both say of insight's answers: one wording for both."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING, Any

from hulllog.drawing.disagreeing import contradiction_text, text_of
from hulllog.insight.contradictions import Contradiction
from hulllog.insight.judging import WORK
from hulllog.insight.series import SAME_VISIT
from hulllog.insight.shades import FOULING
from hulllog.insight.wear import passed
from hulllog.trade.kinds import component
from hulllog.trade.kinds import kind as find_kind
from hulllog.words import formats, knows, say, say_code, say_n, telling
from hulllog.words.working import figure_of, source_sentence

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hulllog.insight.aftermath import Again
    from hulllog.insight.anodes import CheckSeen, PieceStory, PositionStory
    from hulllog.insight.judging import ZoneJudged
    from hulllog.insight.occasions import Half
    from hulllog.insight.repairs import Dried, Sound
    from hulllog.insight.series import Point, Prompt, Series
    from hulllog.insight.summary import Said
    from hulllog.insight.today import Line
    from hulllog.insight.wear import Stretch
    from hulllog.trade.change import Change
    from hulllog.trade.waters import Suitability
    from hulllog.trade.working import Working


LEAST_P = 0.001
"""A p below this is told as under it."""


def subject_name(item: ZoneJudged) -> str:
    """Return what a judged series is about: a zone by name, a spot by number and label."""
    if item.subject == "spot":
        return say("spot.numbered_label", number=item.number, label=item.name)
    return item.name


def chart_title(item: ZoneJudged) -> str:
    """Name a chart: where, and what, with its kind where the component alone does not tell it."""
    what = telling.component_name(item.kind, item.component)
    if not knows(f"component.{item.kind}.{item.component}"):
        kind = telling.kind_name(item.kind).lower()
        what = what if kind == what.lower() else say("chart.of_kind", kind=kind, what=what)
    return say("chart.title", where=subject_name(item), what=what)


def short_name(item: ZoneJudged) -> str:
    """Return a zone by name, a spot by number alone."""
    if item.subject == "spot":
        return say("spot.numbered", number=item.number)
    return item.name


def point_value(series: Series, point: Point) -> str:
    """Return one figure of a series."""
    value = point.grade if point.grade is not None else point.value
    return telling.figure(series.kind, series.component, value, series.unit)


def points_text(item: ZoneJudged) -> str:
    """Return all figures of a series in a line, what is not comparable in brackets."""
    series = item.judged.series
    told = []
    for point in series.points:
        again = SAME_VISIT in point.why_not
        when = formats.anything(point.when) if again else formats.year(point.when)
        text = f"{when} {point_value(series, point)}".replace(" ", "\N{NO-BREAK SPACE}")
        told.append(text if point.comparable else f"({text})")
    shown = ", ".join(told)
    by = _meter(series)
    return say("telling.read_by", points=shown, by=by) if by else shown


def has_more_in_a_visit(item: ZoneJudged) -> bool:
    """Tell whether a visit has more figures than the one that stands for it."""
    return len(item.judged.series.standing) < len(item.judged.series.points)


def _meter(series: Series) -> str:
    """Name the scale of a figure that is read on the scale of its meter alone."""
    kind = find_kind(series.kind)
    if kind is None or not series.standing:
        return ""
    names = [c.code for c in kind.conditions if c.breaks and c.needed and c.sort == "text"]
    last = series.standing[-1].conditions
    return telling.conditions({name: last[name] for name in names if last.get(name)})


def trend_text(item: ZoneJudged) -> str:
    """Answer both questions in words: changed since last time, and whether there is a trend."""
    if item.first_found:
        when, looks = item.first_found
        new = say_n("changed.first_found", looks, when=formats.anything(when))
        return " ".join(part for part in (new, mended_text(item), limit_text(item)) if part)
    parts = (
        before_text(item),
        changed_text(item),
        steady_text(item),
        mended_text(item),
        dried_text(item),
        limit_text(item),
    )
    return " ".join(part for part in parts if part)


def limit_text(item: ZoneJudged) -> str:
    """Say whether the newest figure lies past the owner's limit, and on whose word it was set."""
    limit, beyond = item.limit, item.beyond_limit
    if limit is None or beyond is None:
        return ""
    source = say("limit.source", source=limit.source) if limit.source else ""
    set_on = say("limit.set_on", when=limit.set_on) if limit.set_on else ""
    return say(
        "limit.beyond" if beyond else "limit.within",
        value=formats.measured(limit.typed),
        by=limit.set_by,
        more=f"{source}{set_on}",
    )


def changed_text(item: ZoneJudged) -> str:
    """Say whether the newest figure differs from the one before by more than the method's error."""
    series, changed = item.judged.series, item.judged.changed
    points = series.comparable
    if changed is None or len(points) < 2:
        return _why_alone(series)
    values = {
        "before": point_value(series, points[-2]),
        "now": point_value(series, points[-1]),
        "when": formats.anything(points[-2].when),
        "until": formats.anything(points[-1].when),
    }
    if points[-2].value == points[-1].value:
        return say("changed.same", **values)
    if series.unit is None and series.scale:
        return _steps_text(changed, values)
    if changed.beyond_error:
        risen = changed.direction == "better" and changed.difference > 0
        return say("changed.better_up" if risen else f"changed.{changed.direction}", **values)
    return say("changed.within", **values)


def _steps_text(changed: Change, values: dict[str, str]) -> str:
    """Say a change of a grade: it is judged by eye, and two people differ by a step."""
    if not changed.beyond_error:
        return say("changed.within_by_eye", **values)
    way = changed.direction + ("" if changed.plainly else "_by_eye")
    return say_n(f"changed.steps_{way}", abs(round(changed.difference)), **values)


def _why_alone(series: Series) -> str:
    if len(series.standing) < 2:
        return say("changed.first_look")
    before = series.standing[-2]
    return say("changed.not_comparable", why=telling.reasons(before.why_not))


def steady_text(item: ZoneJudged) -> str:
    """Say whether there is a steady trend; "too few to say" never stands beside a change."""
    series, steady, changed = item.judged.series, item.judged.trend, item.judged.changed
    n = len(series.comparable)
    if steady is None:
        if changed is not None and changed.beyond_error:
            return ""
        return say_n("trend.too_few", n)
    p = item.judged.adjusted_p
    shown = _p(steady.p if p is None else p, corrected=p is not None)
    p = steady.p if p is None else p
    if p >= 0.05 or steady.direction == "none":
        return say("trend.none", n=n, p=shown)
    if steady.slope is None or series.unit is None:
        told = say(f"trend.{steady.direction}", n=n, p=shown)
    else:
        slope = formats.quantity(abs(steady.slope), series.unit)
        told = say(f"trend.{steady.direction}_by", n=n, p=shown, slope=slope)
    return f"{told} {prompt_text(item.judged.prompt, steady.direction)}".rstrip()


def prompt_text(prompt: Prompt | None, direction: str) -> str:
    """Say whether a trend holds without what was entered later; empty where nothing was."""
    if prompt is None:
        return ""
    later = say_n("trend.later", prompt.n - prompt.left)
    if prompt.trend is None:
        return say_n("trend.later_too_few", prompt.left, later=later)
    code = "trend.later_holds" if prompt.holds(direction) else "trend.later_lost"
    return say(code, later=later, n=prompt.left, p=_p(prompt.trend.p))


def _p(value: float, *, corrected: bool = False) -> str:
    if value < LEAST_P:
        figure = say("format.under", value=formats.figure(LEAST_P, 3))
    else:
        figure = formats.figure(value, 3 if value < 0.01 else 2)
    return say("trend.p_corrected" if corrected else "trend.p_alone", p=figure)


def before_text(item: ZoneJudged) -> str:
    """Say how the series went before the last treatment."""
    before = item.judged.before_treatment
    if before is None or not item.judged.steady_before:
        return ""
    shown = _p(before.p)
    told = say(f"trend.before_{before.direction}", n=before.n, p=shown)
    return f"{told} {prompt_text(item.judged.prompt_before, before.direction)}".rstrip()


def mended_text(item: ZoneJudged) -> str:
    """Say how often it was repaired and how often it came back; empty where it never did."""
    came = item.mended
    if came is None or not came.returned:
        return ""
    values = {"returned": came.returned, "last_seen": formats.anything(came.last_seen)}
    if came.sound and not came.looks:
        return say_n("mended.back_sound", came.times, sound=sound_text(came.sound), **values)
    return say_n("mended.back" if came.looks else "mended.back_unseen", came.times, **values)


def sound_text(sound: Sound) -> str:
    """Say when it was seen sound as left, and whether she was out of the water since."""
    code = "mended.sound_out_since" if sound.out_since else "mended.sound"
    return say(code, when=formats.anything(sound.when))


def dried_text(item: ZoneJudged) -> str:
    """Say how a reading fell before the last treatment; empty where it did not."""
    came = item.dried
    return say("dried.told", **_course(item.judged.series, came)) if came else ""


def _course(series: Series, came: Dried) -> dict[str, str]:
    later = say_n("dried.later", came.later) if came.later else say("dried.not_since")
    return {
        "before": point_value(series, came.first),
        "when": formats.anything(came.first.when),
        "now": point_value(series, came.last),
        "until": formats.anything(came.last.when),
        "later": later,
    }


def course_before(item: ZoneJudged) -> str:
    """Say from what to what a figure went before the last treatment, and whether steadily."""
    series = item.judged.series
    treated = [point for point in series.points if point.why_not in WORK]
    points = [point for point in treated if point.era == treated[-1].era]
    if not points:
        return ""
    first, last = points[0], points[-1]
    values = {"now": point_value(series, last), "until": formats.anything(last.when)}
    if len(points) == 1:
        return say("trend.course_before_one", **values)
    values |= {"before": point_value(series, first), "when": formats.anything(first.when)}
    if first.value == last.value:
        course = say_n(
            "trend.course_before_same", len(points), now=values["now"], until=values["until"],
            when=values["when"],
        )  # fmt: skip
    else:
        course = say_n("trend.course_before", len(points), **values)
    return " ".join(part for part in (course, before_text(item)) if part)


def says_something(item: ZoneJudged) -> bool:
    """Tell whether a series belongs into a body: it changed, rises or falls, or was treated."""
    judged = item.judged
    if judged.series.unit == "1" and max(p.value for p in judged.series.points) <= 1:
        return False
    if judged.changed is not None and judged.changed.beyond_error:
        return True
    if judged.trend is not None and (judged.adjusted_p or judged.trend.p) < 0.05:
        return True
    return len(judged.series.standing) >= 5 and any(
        point.value > 0 for point in judged.series.points
    )


def weight(item: ZoneJudged) -> tuple[int, int, int, int, float]:
    """Order series of one rank for a reader: treated and changed ones first, then the longer."""
    judged = item.judged
    treated = any(point.why_not in WORK for point in judged.series.points)
    beyond = judged.changed is not None and judged.changed.beyond_error
    top = max((point.value for point in judged.series.points), default=0.0)
    of_the_hull = item.kind not in FOULING
    return int(of_the_hull), int(treated), int(beyond), len(judged.series.standing), top


MOST_NAMES = 3
"""Names told before "and n more"."""


def first_of(names: Sequence[str]) -> str:
    """Join the first names, and say how many more there are."""
    if len(names) == MOST_NAMES + 1:
        return listed(names)  # "and 1 more" is no shorter than the name
    told = listed(names[:MOST_NAMES])
    more = len(names) - MOST_NAMES
    return f"{told} {say_n('word.more', more)}" if more > 0 else told


def listed(names: Sequence[str]) -> str:
    """Join names that may hold commas themselves."""
    return "; ".join(names)


def never_found(items: Sequence[ZoneJudged]) -> list[ZoneJudged]:
    """Return the items whose zone or spot never showed anything of their kind, in no figure."""
    shown = {(i.subject_id, i.kind) for i in items if not _all_none(i)}
    return [item for item in items if (item.subject_id, item.kind) not in shown]


def _all_none(item: ZoneJudged) -> bool:
    part = component(item.kind, item.component)
    if part is None or part.nothing is None:
        return False
    if item.subject == "gear" and isinstance(part.nothing, str):
        return False  # how a valve turns is no find: "free" is an answer
    none = part.position(part.nothing) if isinstance(part.nothing, str) else part.nothing
    return all(point.value == none for point in item.judged.series.points)


# Anodes


def check_text(check: CheckSeen) -> str:
    """Say one look at an anode: its mass, or the share left by eye."""
    when = formats.anything(check.when)
    if check.mass_kg is not None:
        mass = formats.quantity(check.mass_kg, "kg", show="g" if check.mass_kg < 1 else None)
        told = say("anode.weighed_at", when=when, mass=mass)
        if check.left is not None:
            code = "anode.left_at_most" if check.at_most else "anode.left_of_it"
            told += ", " + say(code, left=formats.share(check.left[1]))
    elif check.left is not None and check.way == "by_eye":
        told = say("anode.by_eye_at", when=when, left=formats.shares(*check.left))
    else:
        told = say("anode.looked_at", when=when, way=say_code("anode_way", check.way))
    if check.contact in ("loose", "none"):
        told += "; " + say_code("contact", check.contact)
    if check.painted_over:
        told += "; " + say("anode.painted_over")
    return told


def wear_and_whence(story: PositionStory) -> str:
    """Say the wear of a position, and whence its piece came where it was moved here."""
    present = story.present
    if present is None or present.moved is None:
        return wear_text(story)
    return f"{wear_text(story)} {say('anode.moved_here', name=present.moved.name)}"


def fitted_text(piece: PieceStory) -> str:
    """Say when a piece was fitted and, where it is on record, what it weighed then."""
    when, mass = formats.anything(piece.fitted), piece.mass_new_kg
    if mass is None:
        return when
    told = formats.quantity(mass, "kg", show="g" if mass < 1 else None)
    return say("anode.fitted_new", when=when, mass=told)


def last_check_text(story: PositionStory) -> str:
    """Say the last look at the piece that is fitted, or at the one before, and at which."""
    checked = next((piece for piece in reversed(story.pieces) if piece.checks), None)
    if checked is None:
        return say("word.not_recorded")
    text = check_text(checked.checks[-1])
    return text if checked is story.pieces[-1] else say("anode.piece_before", look=text)


def wear_text(story: PositionStory) -> str:
    """Say the last stretch's wear against the position's own past, with what may explain it."""
    if not story.stretches:
        return say("anode.no_wear_yet")
    rate = rate_text(story.stretches[-1])
    if story.ratio is None:
        return rate
    parts = [rate, say("anode.against_past", ratio=formats.figure(story.ratio, 1))]
    if story.unusual:
        parts.append(say(f"anode.unusual_{story.unusual}"))
        causes = [say_code("cause", cause.code) for cause in story.causes]
        parts.append(say("anode.may_explain", causes=formats.joined(causes)))
    return " ".join(parts)


def rate_text(stretch: Stretch) -> str:
    """Say how much wore in a year immersed, with bounds where the looks leave it open."""
    share = formats.share(stretch.share_per_year)
    if stretch.rate.interval is None:
        return say("anode.rate_weighed", share=share)
    low, high = formats.share(stretch.share_low), formats.share(stretch.share_high)
    return say("anode.rate", share=share, low=low, high=high)


def half_text(story: PositionStory, now: datetime | None = None) -> str:
    """Say when half of the present piece is expected to be gone, or by ``now`` may be.

    Where the owner set another limit, which one is said first.
    """
    if story.half_date is None:
        return say("word.too_few")
    if not story.limit.by_owner:
        return _gone_when(story.half_date, now)
    return say(
        "anode.limit_gone",
        share=formats.share(story.limit.share),
        who=story.limit.set_by,
        when=_gone_when(story.half_date, now),
    )


def _gone_when(half_date: Half, now: datetime | None) -> str:
    expected, low, high = half_date
    lies = "ahead" if now is None else passed(half_date, now)
    past = "" if lies == "ahead" else f"_{lies}"
    if high.year - expected.year > 20:
        return say(
            f"anode.half_from{past}", when=formats.day(expected.date()), low=formats.day(low.date())
        )
    return say(
        f"anode.half_between{past}",
        when=formats.day(expected.date()),
        low=formats.day(low.date()),
        high=formats.day(high.date()),
    )


def current_text(current: Working) -> str:
    """Say a mean current in mA, with its interval."""
    return figure_of(current, show="mA")


def suits_text(suits: Suitability) -> str:
    """Say how the metal of an anode suits the water, why, and where that comes from."""
    pair = say(
        "anode.metal_in_water",
        metal=say_code("anode", suits.metal),
        water=say_code("water", suits.water),
        choice=say_code("anode_choice", suits.choice),
    )
    if suits.missing:
        facts = formats.joined([say_code("missing_fact", code) for code in suits.missing])
        return say("anode.metal_not_told", facts=facts)
    reasons = [say_code("anode_reason", reason.code) for reason in suits.reasons]
    sources = dict.fromkeys(source_sentence(reason.source) for reason in suits.reasons)
    return " ".join([pair, *reasons, *sources])


# Summary

_NAMED_IN_FULL = frozenset(
    {"gear_unseen", "gear_unseen_after", "gear_unseen_age", "gear_unseen_age_after"}
)


def summary_text(line: Said) -> str:
    """Say one line of the summary."""
    values: dict[str, Any] = dict(line.values)
    if line.code.startswith("last"):
        _tell_last(values)
    if line.code == "dried":
        values |= _course(values.pop("series"), values.pop("course"))
    if line.code == "newly_found":
        values["seen"] = formats.anything(values["seen"])
    if "sound" in values:
        values["sound"] = sound_text(values["sound"])
    if "kind" in values:
        values["kind"] = telling.kind_name(str(values["kind"]))
    if "event" in values:
        _tell_event(values)
    if "last_seen" in values:
        values["last_seen"] = formats.anything(values["last_seen"])
    if "proofs" in values:
        counts = [say_n(f"proved_by.{kind or 'none'}", n) for kind, n in values["proofs"]]
        values["proofs"] = formats.joined(counts)
    names = values.get("names")
    if isinstance(names, tuple):
        # What nobody looked at is named in full.
        values["names"] = listed(names) if line.code in _NAMED_IN_FULL else first_of(names)
    if "share" in values:
        values["share"] = formats.share(float(values["share"]))
    for name in ("when", "low", "high"):
        moment = values.get(name)
        if isinstance(moment, datetime):
            values[name] = formats.day(moment.date())
    grew = values.pop("grew", None)
    code = f"summary.{line.code}"
    if grew is not None:
        code += "_after_growth" if grew else ""
    for counted in ("n", "looks"):
        if counted in values:
            return say_n(code, int(str(values.pop(counted))), **values)
    return say(code, **values)


def _tell_event(values: dict[str, Any]) -> None:
    """Put words for an event and the first look after it in their place."""
    values["event"] = say_code("event", values["event"])
    values["at"] = formats.anything(values["at"])
    if "text" in values:
        text = values.pop("text").strip().rstrip(".")
        values["struck"] = f" {say('summary.event_text', text=text)}" if text else ""
    if "then" in values:
        then = [_again(one, values["zones"]) for one in values["then"]]
        values["then"] = say("summary.event_then", looks=listed(then)) if then else ""
    if "all_names" in values:
        values["names"] = listed(values.pop("all_names"))
    if "found" in values:
        dated = [say("summary.found_on", title=t, when=when) for t, when in values["found"]]
        values["found"] = listed(dated)
    if "known" in values:
        known = [
            say("summary.raised_on", title=title, when=when, before=before)
            for title, when, before in values["known"]
        ]
        values["known"] = listed(known)
    if "kind_of_look" in values:
        values["first"] = formats.anything(values["first"])
        values["how"] = say_code("visit_kind", values.pop("kind_of_look"))


def _again(look: Again, zones: int) -> str:
    """Say when she was looked at later, and which zones of the first look that left out."""
    code = "summary.event_again_without" if look.without else "summary.event_again"
    without = {"names": formats.joined(list(look.without))} if look.without else {}
    return say(code, when=look.when, seen=look.seen, zones=zones, **without)


def _tell_last(values: dict[str, Any]) -> None:
    """Put words for the dates of the last look in their place."""
    values["span"] = formats.span(values.pop("begins"), values.pop("ends"))
    now, seen = values.pop("now", None), values.pop("seen", None)
    if now is not None:
        values["seen"] = formats.anything(seen)
        values["ago"] = formats.passed(seen, now)
    if "kind_of_look" in values:
        values["how"] = say_code("visit_kind", values.pop("kind_of_look"))


# Today


def line_text(line: Line) -> str:
    """Say one line of *Today*."""
    values = dict(line.values)
    if line.code.startswith("contradiction."):
        return text_of(line.code, values)
    if isinstance(values.get("first"), Contradiction):
        values["first"] = contradiction_text(values["first"])  # type: ignore[arg-type]
    if line.code.startswith("today.changed."):
        return _changed_line(line.code, values)
    for name, prefix in (
        ("cause", "cause"),
        ("must", "must"),
        ("what", "event"),
        ("gear_due", "gear_due"),
        ("visit_kind", "visit_kind"),
    ):
        if name in values:
            values[name] = say_code(prefix, str(values[name]))
    if "component" in values:
        kind, component = str(values.pop("kind")), str(values.pop("component"))
        values["what"] = telling.component_name(kind, component)
    if "ratio" in values:
        values["ratio"] = formats.figure(float(str(values["ratio"])), 1)
    if "share" in values:
        values["share"] = formats.share(float(str(values["share"])))
    for name in ("expected", "low", "high", "at", "when"):
        moment = values.get(name)
        if isinstance(moment, datetime):
            values[name] = formats.day(moment.date())
    if "n" in values:
        return say_n(line.code, int(str(values.pop("n"))), **values)
    return say(line.code, **values)


def _changed_line(code: str, values: dict[str, object]) -> str:
    kind, component = str(values["kind"]), str(values["component"])
    grades, unit = values["grades"], values["unit"]
    assert isinstance(grades, tuple)
    before, now = (
        telling.figure(
            kind,
            component,
            grade if grade is not None else float(str(value)),
            None if unit is None else str(unit),
        )
        for grade, value in zip(grades, (values["before"], values["now"]), strict=True)
    )
    return say(
        code,
        zone=values["zone"],
        what=telling.component_name(kind, component),
        before=before,
        now=now,
        since=values["since"],
        when=values["when"],
    )

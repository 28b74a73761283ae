"""What the sheet at the right shows of a zone, of a spot, and of the whole hull."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hulllog.desktop.buttons import Door, button, link
from hulllog.desktop.edges import edge_said
from hulllog.desktop.figures import worded
from hulllog.desktop.hull import doing, side, told
from hulllog.desktop.hull.pair import PhotoPair, last_of_each_visit
from hulllog.desktop.hull.pictures import change_label, change_text
from hulllog.desktop.hull.wording import days_ashore, hours_text
from hulllog.desktop.labels import Prose, heading
from hulllog.desktop.layout import Doors, boxed, column, facts, line, section
from hulllog.desktop.photos.years import show_years
from hulllog.desktop.theme import BODY
from hulllog.drawing.zonepictures import said as zone_said
from hulllog.insight import shades
from hulllog.insight.comparing import shading_component
from hulllog.insight.judging import (
    ZoneJudged,
    components,
    judge,
    judged_component,
    mends_of_spot,
)
from hulllog.insight.limits import limits
from hulllog.insight.placed import worked_on
from hulllog.insight.series import spot_series
from hulllog.words import say, say_n, telling
from hulllog.words.formats import joined, partial_date

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from PySide6.QtWidgets import QWidget

    from hulllog.desktop.hull.page import HullPage
    from hulllog.insight.condition import Figure, ZoneState
    from hulllog.insight.matters import Matter
    from hulllog.insight.placed import PhotoSeen, SpotSeen
    from hulllog.insight.seeing import HowSeen

MOST_DOORS = 7


def zone_under(page: HullPage, zone: ZoneState) -> str:
    """Return the line under a zone's name: the spots followed in it, else its appearance."""
    inside = [spot for spot in page.shown.spots if spot.zone_id == zone.zone_id]
    if len(inside) == 1:
        return spot_followed(inside[0])
    if inside:
        return say("hull_page.spots_inside", numbers=joined([spot.number for spot in inside]))
    if zone.appearance == "graded":
        return say("hull_page.rated", kind=telling.kind_name(page.shown.kind))
    return say(f"appearance.{zone.appearance}")


def spot_followed(spot: SpotSeen) -> str:
    """Say since when a spot is followed."""
    label = say("spot.numbered_label", number=spot.number, label=spot.label)
    if spot.since is None:
        return label
    return say("hull_page.followed_since", spot=label, when=partial_date(spot.since))


def spot_under(page: HullPage, spot: SpotSeen) -> str:
    """Return the line under a spot: the zone it lies in, and since when it is followed."""
    zone = next((zone for zone in page.shown.zones if zone.zone_id == spot.zone_id), None)
    where = zone.name if zone else say("hull_page.no_zone")
    if spot.since is None:
        return where
    return say("hull_page.followed_since", spot=where, when=partial_date(spot.since))


def zone_widgets(page: HullPage, zone: ZoneState) -> list[QWidget]:
    """Return what is known of a zone, from its pictures to what can be done."""
    shown = page.shown
    inside = {spot.spot_id for spot in shown.spots if spot.zone_id == zone.zone_id}
    photos = [p for p in shown.photos if p.zone_id == zone.zone_id or p.spot_id in inside]
    widgets = _pair(page, zone.name, photos, _words_of_zone(page, zone))
    if shown.compared is not None:
        widgets += _compared(page, zone)
    widgets += _judged_zone(page, zone)
    widgets.append(facts(told.zone_pairs(zone, shown.kind)))
    if zone.from_found:
        widgets.append(_not_after_work(page, zone))
    about = [matter for matter in shown.matters if zone.zone_id in matter.zone_ids]
    doors = _matters(page, about)
    for spot in shown.spots:
        if spot.zone_id == zone.zone_id:
            doors.append(_spot_door(page, spot))
    return [*widgets, *_listed(doors), doing.actions_of_zone(page, zone)]


def spot_widgets(page: HullPage, spot: SpotSeen) -> list[QWidget]:
    """Return what is known of a spot."""
    shown = page.shown
    photos = [photo for photo in shown.photos if photo.spot_id == spot.spot_id]
    words = {look.visit_id: _seen_word(look.conditions.get(shown.kind)) for look in spot.looks}
    name = say("spot.numbered_label", number=spot.number, label=spot.label)
    widgets = _pair(page, name, photos, words)
    widgets += _judged_spot(page, spot)
    look = spot.at(shown.edge.visit_id) if shown.edge else None
    widgets.append(facts(told.spot_pairs(look, shown.kind)))
    about = [matter for matter in shown.matters if spot.spot_id in matter.spot_ids]
    doors = _matters(page, about)
    zone = next((zone for zone in shown.zones if zone.zone_id == spot.zone_id), None)
    if zone is not None:
        doors.append(
            Door(zone.name, zone_said(zone, shown.kind), on=lambda: page.pick(f"zone:{zone.code}"))
        )
    return [*widgets, *_listed(doors), doing.actions_of_spot(page, spot, look)]


def overview_widgets(page: HullPage) -> list[QWidget]:
    """Return what the whole hull says: the zones that say most, and the spots."""
    shown = page.shown
    if shown.edge is None:
        begin = button(say("hull_page.begin"), lambda: page.go.emit("haul_out", ""), primary=True)
        begin.setObjectName("hull/begin")
        begin.setEnabled(not page.state.read_only)
        return [Prose(say("hull_page.nothing_yet"), BODY), boxed(line(begin, None))]
    widgets: list[QWidget] = []
    if shown.how is not None:
        widgets += _since_the_lift(shown.how)
    if shown.compared is not None:
        changed = [c for c in shown.compared.changes if c.changed and c.changed.beyond_error]
        doors = [
            Door(c.now.name, change_label(c, shown.kind),
                 on=_picks(page, c.now.code))
            for c in changed
        ]  # fmt: skip
        title = say_n("hull_page.changed_zones", len(doors))
    else:
        graded = sorted(
            (zone for zone in shown.zones if zone.appearance == "graded"),
            key=lambda zone: -(zone.step or 0),
        )
        doors = [
            Door(zone.name, telling.short(shown.kind, zone.figures or {}),
                 on=_picks(page, zone.code))
            for zone in graded
        ]  # fmt: skip
        none = sum(zone.appearance == "none_found" for zone in shown.zones)
        if doors or none:
            code = "hull_page.found_zones" if doors else "hull_page.none_in_zones"
            title = say_n(code, len(doors) or none)
        else:
            title = say("hull_page.nowhere")
    if not doors:
        widgets.append(Prose(title, BODY))
    else:
        widgets.append(section(title, *_listed(doors)))
    widgets += _unlike(page)
    if shown.spots:
        spots = [_spot_door(page, spot) for spot in shown.spots]
        widgets.append(section(say("hull_page.spots"), *_listed(spots)))
    widgets.append(Prose(say("hull_page.pick_hint"), BODY, role="muted"))
    return [*widgets, doing.actions_of_hull(page)]


def _since_the_lift(how: HowSeen) -> list[QWidget]:
    """Return how long after the lift she was seen, where that was worked out."""
    if how.hours is not None:
        return [worded(told.capital(hours_text(how.hours)), how.hours)]
    if how.ashore is not None:
        return [worded(told.capital(days_ashore(how.conditions)), how.ashore)]
    return []


def _unlike(page: HullPage) -> list[QWidget]:
    """Return the zones whose two looks do not compare and why, and how many were treated since.

    Without them "no zone changed" would read as if nothing had happened there.
    """
    compared, kind = page.shown.compared, page.shown.kind
    changes = compared.changes if compared is not None else ()
    unlike = [c for c in changes if c.answer == "not_comparable"]
    both = [c for c in changes if c.answer not in ("not_seen", "not_rated")]
    treated = sum(c.treated for c in both)
    said: list[QWidget] = []
    if unlike:
        why = telling.reasons(tuple(dict.fromkeys(code for c in unlike for code in c.why_not)))
        doors = [Door(c.now.name, change_label(c, kind), on=_picks(page, c.now.code))
                 for c in unlike]  # fmt: skip
        said.append(section(say_n("hull_page.unlike_zones", len(unlike), why=why), *_listed(doors)))
    if treated:
        said.append(Prose(say_n("hull_page.treated_zones", treated), BODY))
    return said


def _picks(page: HullPage, code: str) -> Callable[[], object]:
    return lambda: page.pick(f"zone:{code}")


def _listed(doors: Sequence[QWidget]) -> list[QWidget]:
    """Return doors as one list, those past the first few behind a door of their own."""
    if not doors:
        return []
    made = Doors()
    for door in doors[:MOST_DOORS]:
        made.add(door)
    rest = list(doors[MOST_DOORS:])
    if rest:

        def show_all() -> None:
            more.hide()
            for door in rest:
                made.add(door)

        more = Door(say_n("word.more", len(rest)), on=show_all)
        made.add(more)
    return [made]


def _spot_door(page: HullPage, spot: SpotSeen) -> Door:
    name = say("spot.numbered_label", number=spot.number, label=spot.label)
    look = spot.at(page.shown.edge.visit_id) if page.shown.edge else None
    figures = look.figures.get(page.shown.kind) if look else None
    detail = _shortly(page.shown.kind, figures) if figures else ""
    return Door(name, detail, on=lambda: page.pick(f"spot:{spot.number}"))


def _shortly(kind: str, figures: Mapping[str, Figure]) -> str:
    if shades.step(kind, figures) is None:
        return say("appearance.none_found")
    return telling.short(kind, figures)


def _matters(page: HullPage, about: Sequence[Matter]) -> list[Door]:
    return [
        Door(
            matter.title,
            told.matter_line(matter),
            say("finding.numbered", number=matter.number),
            strong=matter.status == "open",
            on=_opens(page, matter.finding_id),
        )
        for matter in about
    ]


def _opens(page: HullPage, finding_id: str) -> Callable[[], object]:
    return lambda: page.go.emit("findings", finding_id)


# Photographs


def _pair(
    page: HullPage, what: str, photos: Sequence[PhotoSeen], words: dict[str, str]
) -> list[QWidget]:
    unique = list({photo.photo_id: photo for photo in photos}.values())
    if not unique:
        return []
    first = page.shown.compared.first.visit_id if page.shown.compared else ""
    pair = PhotoPair(page.state, unique, words, page.show_photo, first=first)
    if len(last_of_each_visit(unique)) < 2:
        return [pair]
    years = link(say("years.open"), lambda: show_years(page, what, unique, first))
    years.setObjectName("hull/years")
    return [pair, boxed(line(None, years))]


def _words_of_zone(page: HullPage, zone: ZoneState) -> dict[str, str]:
    item = _item_of_zone(page, zone)
    points = item.judged.series.points if item else ()
    return {point.visit_id: _seen_word(point.conditions) for point in points}


def _seen_word(conditions: object) -> str:
    """Return the one word that tells how a thing was seen: wet or dry."""
    wetness = conditions.get("wetness") if isinstance(conditions, dict) else None
    return say(f"wetness.{wetness}") if wetness in ("wet", "dry") else ""


# Over the years


def _item_of_zone(page: HullPage, zone: ZoneState) -> ZoneJudged | None:
    component = page.component_of(components(page.shown.kind))
    if not component:
        return None
    group = page.remembered(component, lambda: page.state.read(
        lambda book: judged_component(book, page.shown.kind, component, page.shown.edge)
    ))  # fmt: skip
    return next((item for item in group if item.subject_id == zone.zone_id), None)


def _judged_zone(page: HullPage, zone: ZoneState) -> list[QWidget]:
    item = _item_of_zone(page, zone)
    if item is None:
        return []
    offered = _offered(page, zone.figures or {})
    return side.judged(item, offered, page.choose_component, page.state.pick)


def _offered(page: HullPage, figures: object) -> list[str]:
    """Return the components that can be followed, those first that have a figure here."""
    known = components(page.shown.kind)
    told_here = [code for code in known if isinstance(figures, dict) and code in figures]
    return told_here or list(known)


def _judged_spot(page: HullPage, spot: SpotSeen) -> list[QWidget]:
    known = [
        code
        for code in components(page.shown.kind)
        if any(code in look.figures.get(page.shown.kind, {}) for look in spot.looks)
    ]
    component = page.component_of(known)
    if not component:
        return []
    kind = page.shown.kind
    series, limit, mends = page.state.read(
        lambda book: (
            spot_series(book, spot.spot_id, kind, component, page.shown.edge),
            limits(book).get((kind, component)),
            mends_of_spot(book, spot.spot_id, kind, page.shown.edge),
        )
    )
    if not series.points:
        return []
    item = ZoneJudged(
        "spot",
        spot.spot_id,
        spot.label,
        spot.number,
        kind,
        component,
        judge(series, mends),
        limit=limit,
    )
    return side.judged(item, known, page.choose_component, page.state.pick)


def first_component(kind: str, offered: Sequence[str]) -> str:
    """Return the component to begin with: the one that tints the zones, where it is there."""
    tinting = shading_component(kind) or ""
    return tinting if tinting in offered else next(iter(offered), "")


# Compared, and after the work


def _compared(page: HullPage, zone: ZoneState) -> list[QWidget]:
    compared = page.shown.compared
    change = page.shown.change(zone.zone_id)
    before = page.shown.before(zone.zone_id)
    if compared is None or change is None:
        return []
    kind = page.shown.kind
    if before is not None and before.figures and zone.figures:
        pairs = told.changed_pairs(kind, before.figures, zone.figures)
    else:
        states = ((compared.first, before), (compared.second, zone))
        pairs = [(edge_said(page.state, edge), _state_said(one, kind)) for edge, one in states]
    working = change.changed.working if change.changed else None
    sentence = say("hull_page.sentence", text=told.capital(change_text(change, kind)))
    strong = change.changed is not None and change.changed.beyond_error
    return [
        section(say("hull_page.between"), worded(sentence, working, strong=strong), facts(pairs))
    ]


def _state_said(zone: ZoneState | None, kind: str) -> str:
    if zone is None:
        return say("hull_page.not_drawn_then")
    if zone.appearance == "graded" and zone.figures:
        return telling.in_full(kind, zone.figures)
    return say(f"appearance.{zone.appearance}")


def _not_after_work(page: HullPage, zone: ZoneState) -> QWidget:
    edge = page.shown.edge
    done = (
        page.state.read(lambda book: worked_on(book, edge.visit_id, zone.zone_id, zone.code))
        if edge
        else []
    )
    lines = [Prose(text, BODY) for text in told.work_texts(done)]
    sentence = say("hull_page.not_after_work" if done else "hull_page.not_at_relaunch")
    title = heading(say("hull_page.after_work"), BODY)
    return boxed(column(title, Prose(sentence, BODY, role="muted"), *lines))

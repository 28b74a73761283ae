"""What can be done on the page *Hull*: with the whole of her, with a zone, with a spot."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hulllog.desktop.findings.asking import RaiseSheet, TextSheet
from hulllog.desktop.hull.actions import Action, Actions
from hulllog.desktop.hull.asking import SpotLookSheet, ZoneSheet
from hulllog.desktop.hull.points import LaySheet, ReadSheet
from hulllog.insight.points import POINT_KINDS, points_at
from hulllog.records.operations import looks, spots
from hulllog.words import say

if TYPE_CHECKING:
    from hulllog.desktop.hull.page import HullPage
    from hulllog.insight.condition import ZoneState
    from hulllog.insight.placed import SpotLook, SpotSeen

_SORT_OF_KIND = {"laminate-blisters": "blisters", "rust-spots": "rust", "crack": "crack",
                 "damage": "damage", "pit-depth": "corrosion", "soft-wood": "damage",
                 "dull-sound": "damage"}  # fmt: skip
"""Kind -> the sort of finding that it usually becomes."""


def _made(page: HullPage, *actions: Action) -> Actions:
    return Actions(actions, page.why_not())


def actions_of_hull(page: HullPage) -> Actions:
    """Return what can be done with nothing picked."""
    return _made(
        page, _follow_action(page), _tape_action(page), _raise_action(page), *_point_actions(page)
    )


def actions_of_zone(page: HullPage, zone: ZoneState) -> Actions:
    """Return what can be done with a zone."""
    shown = page.shown
    told = zone.set_id is not None or shown.kind in zone.looked_for
    looked = zone.inspection_id is not None and not zone.from_found
    code = "correct" if looked and told else "rate"
    found = [
        Action(code, say(f"hull_page.do.{code}"), "r", lambda: _rate(page, zone)),
    ]
    if not looked and shown.edge is not None:
        visit_id, state = shown.edge.visit_id, shown.edge.state
        found += [
            Action(
                "nothing", say("hull_page.do.nothing"), "n",
                lambda: page.edit(looks.nothing_found, visit_id, zone.zone_id, state=state),
            ),
            Action(
                "last", say("hull_page.do.last"), "l",
                lambda: page.edit(looks.as_last_time, visit_id, zone.zone_id, state=state),
            ),
        ]  # fmt: skip
    return _made(page, *found, _follow_action(page), _tape_action(page), _raise_action(page, zone))


def actions_of_spot(page: HullPage, spot: SpotSeen, look: SpotLook | None) -> Actions:
    """Return what can be done with a spot."""
    here = look if look and page.shown.edge and look.state == page.shown.edge.state else None
    code = "correct_spot" if here else "look_at_spot"
    key = f"spot:{spot.number}"
    return _made(
        page,
        Action(code, say(f"hull_page.do.{code}"), "r", lambda: _look(page, spot, here)),
        Action("move", say("hull_page.do.move"), "m", lambda: page.carry(key)),
        Action("tape", say("hull_page.do.move_by_tape"), "t", lambda: page.tape(key, spot.label)),
        Action("rename", say("hull_page.do.rename"), "e", lambda: _rename(page, spot)),
        _raise_action(page, spot=spot),
    )


def _follow_action(page: HullPage) -> Action:
    return Action("follow", say("hull_page.do.follow"), "p", lambda: page.carry(""))


def _tape_action(page: HullPage) -> Action:
    return Action("tape", say("hull_page.do.tape"), "t", page.tape)


def _point_actions(page: HullPage, zone_id: str = "") -> list[Action]:
    """Return what can be done with measuring points, for a kind that is read at such."""
    edge, kind = page.shown.edge, page.shown.kind
    if kind not in POINT_KINDS or page.shown.form is None or edge is None:
        return []
    lay = Action("lay", say("hull_page.do.lay_points"), "g", lambda: LaySheet(page, zone_id).ask())
    there = page.remembered("points", lambda: page.state.read(lambda b: points_at(b, edge, kind)))
    if not there:
        return [lay]
    read = Action("read", say("hull_page.do.read_points"), "v", lambda: ReadSheet(page, edge).ask())
    return [read, lay]


def _raise_action(
    page: HullPage, zone: ZoneState | None = None, spot: SpotSeen | None = None
) -> Action:
    zone_id = zone.zone_id if zone else (spot.zone_id or "" if spot else "")
    sort = _SORT_OF_KIND.get(page.shown.kind, "other")

    def ask() -> None:
        RaiseSheet(
            page, page.shown.edge, zone_id=zone_id, spot_id=spot.spot_id if spot else "",
            sort=sort,
        ).ask()  # fmt: skip

    return Action("raise", say("hull_page.do.raise"), "f", ask)


def _rate(page: HullPage, zone: ZoneState) -> None:
    if page.shown.edge is not None:
        ZoneSheet(page, page.shown.edge, page.shown.kind, zone).ask()


def _look(page: HullPage, spot: SpotSeen, look: SpotLook | None) -> None:
    if page.shown.edge is not None:
        SpotLookSheet(page, page.shown.edge, page.shown.kind, spot, look).ask()


def _rename(page: HullPage, spot: SpotSeen) -> None:
    sheet = TextSheet(
        page, say("hull_page.rename"), say("hull_page.follow_label"), say("do.save"),
        lambda asked, _text: asked.store(spots.set_label, spot.spot_id, name="label"),
        short=True, value=spot.label,
    )  # fmt: skip
    sheet.ask()

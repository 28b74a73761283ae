"""One position in the sheet: its chart, its wear against its own past, and why."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QSizePolicy, QVBoxLayout, QWidget

from hulllog.desktop.anodes.rows import row
from hulllog.desktop.buttons import Door, link
from hulllog.desktop.edges import edge_of
from hulllog.desktop.figures import working_link
from hulllog.desktop.hull.actions import Action, Actions
from hulllog.desktop.hull.placedpage import PlacedCard
from hulllog.desktop.labels import Prose
from hulllog.desktop.layout import Caution, boxed, column, line, rule
from hulllog.desktop.sceneview import SceneView
from hulllog.desktop.theme import BODY, SMALL, step
from hulllog.drawing import telling as told
from hulllog.drawing.anodeviews import left_in_short
from hulllog.drawing.compose import anode_scene
from hulllog.drawing.scene import Scene
from hulllog.words import formats, say, say_code, say_n

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hulllog.insight.anodes import CheckSeen, Mirror, PieceStory, PositionStory
    from hulllog.insight.wear import Judged

CHART_HEIGHT = 168
MOST_LOOKS = 3
"""Looks that are listed before the rest is asked for."""


class AnodeChart(SceneView):
    """What is left of each piece over the years; a look that is picked takes the strip there."""

    def __init__(self, story: PositionStory) -> None:
        super().__init__(say("anodes_page.chart", name=story.name), zoomable=False)
        self._story = story
        self.setFixedHeight(CHART_HEIGHT)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.draw_by(self._make)

    def _make(self, width: float, height: float) -> Scene:
        return anode_scene(self._story, width, height, titled=False) or Scene(width, height)


class AnodeCard(PlacedCard):
    """A position; the one that is picked shows all, the others what matters most.

    ``then`` is the edge that is compared with, said, and the position as it was there.
    ``wanted`` asks to pick it, ``to_edge`` brings the edge of a look, ``to_look`` a look that is to
    be corrected.
    """

    wanted = Signal(str)
    to_edge = Signal(object)
    to_look = Signal(object, object)

    def __init__(
        self,
        story: PositionStory,
        *,
        picked: bool,
        actions: Sequence[Action] = (),
        why_not: str = "",
        then: tuple[str, PositionStory | None] | None = None,
    ) -> None:
        super().__init__()
        self.story = story
        self._then = then
        self.setProperty("card", True)
        self.setObjectName(f"anodes/{story.position_id}")
        self.setAccessibleName(story.name)
        self.deeds = Actions(actions, why_not)
        self.deeds.setParent(self)
        self.deeds.hide()
        self._rest: list[QWidget] = []
        box = column(space=2)
        box.setContentsMargins(step(2), step(2), step(2), step(3))
        left = left_in_short(story)
        end = say("anodes_page.left", left=left) if left else ""
        self.head = Door(story.name, _in_short(story), end, strong=True)
        self.head.clicked.connect(lambda _checked: self.wanted.emit(story.position_id))
        box.addWidget(self.head)
        self._inside = column(space=2)
        self._inside.setContentsMargins(step(2), 0, step(2), 0)
        box.addLayout(self._inside)
        self.setLayout(box)
        if picked:
            self._fill()
        else:
            self._add(Prose(_wear_in_short(story), BODY, role="muted"))

    def _add(self, *widgets: QWidget) -> None:
        for widget in widgets:
            self._inside.addWidget(widget)

    def _fill(self) -> None:
        story = self.story
        if story.protects:
            parts = formats.joined([say_code("protected", part) for part in story.protects])
            self._add(Prose(say("anodes_page.protects", parts=parts), BODY, role="muted"))
        if story.present is not None and story.present.moved is not None:
            self._add(Prose(_in_short(story), BODY, role="muted"))
        if any(piece.fitted and (piece.start or piece.checks) for piece in story.pieces):
            chart = AnodeChart(story)
            chart.picked.connect(lambda key, _keys: self._go_to_edge(key))
            self._add(chart)
        elif story.present is None or story.present.moved is None:
            self._add(Prose(say("anodes_page.no_chart"), BODY, role="muted"))
        if self._then is not None:
            self._add(row(self._then[0], _then_text(self._then[1]), bold=True))
        self._add(*_wear_rows(story))
        if any(span.begins or span.ends for span in story.shore) or "plugged" in story.shore_now:
            self._add(Caution(say("anodes_page.earth"), say("anodes_page.earth_more")))
        self._add(*_other_rows(story))
        self._add(*_earlier(story))
        self._fill_looks()
        self._add(self.deeds)
        self.deeds.show()

    def _fill_looks(self) -> None:
        looks = [(piece, look) for piece in self.story.pieces for look in piece.checks][::-1]
        if not looks:
            return
        self._add(rule(), Prose(say("anodes_page.looks"), BODY, bold=True))
        rows: QVBoxLayout = column(space=0)
        for number, (piece, look) in enumerate(looks):
            door = Door(told.check_text(look), look.note or "")
            door.clicked.connect(
                lambda _checked, piece=piece, look=look: self.to_look.emit(piece, look)
            )
            held = boxed(line(door, working_link(door, look.used))) if look.used else door
            if number >= MOST_LOOKS:
                held.hide()
                if held is not door:
                    held.setFocusProxy(door)
                self._rest.append(held)
            rows.addWidget(held)
        if self._rest:
            more = link(say("anodes_page.all_looks", n=len(looks)))
            more.clicked.connect(lambda _checked: self._show_rest(more))
            rows.addWidget(more)
        self._inside.addLayout(rows)

    def _show_rest(self, more: QWidget) -> None:
        more.hide()
        for door in self._rest:
            door.show()
        self._rest[0].setFocus()

    def _go_to_edge(self, key: str) -> None:
        edge = edge_of(key)
        if edge is not None:
            self.to_edge.emit(edge)


def _in_short(story: PositionStory) -> str:
    """Say what is fitted: metal, mass when new, since when."""
    present = story.present
    if present is None:
        return say("anodes_page.nothing_fitted")
    text = piece_text(present)
    if present.moved is None:
        return text
    if present.moved.left is None:
        return say("anodes_page.moved_unknown", piece=text, name=present.moved.name)
    left = formats.shares(*present.moved.left)
    return say("anodes_page.moved", piece=text, name=present.moved.name, left=left)


def piece_text(piece: PieceStory) -> str:
    """Say metal, mass when new and since when a piece is fitted."""
    return say(
        "anodes_page.piece",
        metal=say_code("anode", piece.metal),
        mass=_mass_new(piece),
        fitted=formats.anything(piece.fitted),
    )


def _then_text(story: PositionStory | None) -> str:
    """Say what was fitted at another edge, and what was left of it."""
    if story is None:
        return say("anodes_page.nothing_fitted")
    left = left_in_short(story)
    told = say("anodes_page.left", left=left) if left else say("anodes_page.left_unknown")
    return say("anodes_page.then", left=told, piece=_in_short(story))


def _mass_new(piece: PieceStory) -> str:
    if piece.mass_new_kg is None:
        return say("mass_from.unknown")
    mass = formats.quantity(piece.mass_new_kg, "kg", show="g" if piece.mass_new_kg < 1 else None)
    source = say_code("mass_from", piece.mass_new_from)
    return say("anodes_page.piece_mass", mass=mass, source=source)


def _wear_in_short(story: PositionStory) -> str:
    """Say the wear of a position that is not picked in one line."""
    if not story.judged:
        return say("anode.no_wear_yet")
    last = story.judged[-1]
    parts = [told.rate_text(last.stretch)]
    if last.unusual:
        parts.append(say(f"anode.unusual_{last.unusual}"))
    return " ".join(parts)


def _wear_rows(story: PositionStory) -> list[QWidget]:
    if not story.judged:
        return [row(say("anodes_page.wear"), say("anode.no_wear_yet"))]
    last = story.judged[-1]
    wet = last.stretch.immersed.working
    rows = [row(say("anodes_page.wear"), told.rate_text(last.stretch), last.stretch.rate, wet)]
    if last.ratio is not None:
        rows.append(row(say("anodes_page.past"), past_text(last), last.ratio))
    if last.z is not None:
        text = say(f"anodes_page.unusual_{last.unusual}" if last.unusual else "anodes_page.usual")
        rows.append(row("", text, last.z, bold=last.unusual is not None))
    elif last.ratio is not None:
        rows.append(row("", say("anodes_page.few")))
    if story.mirror is not None:
        rows.append(
            row(say("anodes_page.mirror_label"), _mirror_text(story.mirror), story.mirror.ratio)
        )
    if last.causes:
        rows.append(row(say("anodes_page.causes"), causes_text(last), bold=True))
    return rows


def past_text(judged: Judged) -> str:
    """Say how many times the earlier wear a stretch is."""
    assert judged.ratio is not None
    count = judged.ratio.given("k") or 0.0
    ratio = formats.figure(judged.ratio.value, 1)
    return say_n("anodes_page.past_of", int(count), ratio=ratio)


def _mirror_text(mirror: Mirror) -> str:
    if mirror.ratio is None:
        return say("anodes_page.mirror_few", name=mirror.name)
    ratio = formats.figure(mirror.ratio.value, 1)
    return say("anodes_page.mirror_of", ratio=ratio, name=mirror.name)


def causes_text(judged: Judged) -> str:
    """Say what on record may explain an unusual stretch."""
    return formats.joined([say_code("cause", cause.code) for cause in judged.causes])


def _other_rows(story: PositionStory) -> list[QWidget]:
    if not story.pieces:
        return []
    wet = story.current_of.immersed.working if story.current_of else None
    label = "anodes_page.limit" if story.limit.by_owner else "anodes_page.half"
    rows = [
        row(say("anodes_page.current"), _current_text(story), story.current, wet, show="mA"),
        row(say(label), _half_text(story), story.half_loss, story.half_day, show="d"),
    ]
    if story.suits is not None:
        rows.append(row(say("anodes_page.water"), told.suits_text(story.suits)))
    return rows


def _current_text(story: PositionStory) -> str:
    if story.current is None or story.current_of is None:
        return say("anodes_page.no_current")
    capacity = story.current.given("ε")
    return say(
        "anodes_page.current_of",
        current=told.current_text(story.current),
        span=formats.span(story.current_of.begins, story.current_of.ends),
        metal=say_code("anode", story.current_of.metal),
        capacity=formats.quantity(capacity, "Ah/kg") if capacity else "",
    )


def _half_text(story: PositionStory) -> str:
    return told.half_text(story) if story.half_date else say("anodes_page.no_half")


def _earlier(story: PositionStory) -> list[QWidget]:
    """Return the stretches before the last that were out of the ordinary, the newest first."""
    found = [item for item in story.judged[:-1] if item.unusual and item.ratio is not None]
    if not found:
        return []
    rows: list[QWidget] = [Prose(say("anodes_page.before"), SMALL, role="muted")]
    for item in reversed(found):
        assert item.ratio is not None
        text = say(
            "anodes_page.before_line",
            span=formats.span(item.stretch.begins, item.stretch.ends),
            ratio=formats.figure(item.ratio.value, 1),
            causes=causes_text(item),
        )
        rows.append(row("", text, item.ratio, item.z))
    return rows


def look_of(story: PositionStory, check_id: str) -> CheckSeen | None:
    """Return a look of a position by its key."""
    looks = (look for piece in story.pieces for look in piece.checks)
    return next((look for look in looks if look.check_id == check_id), None)

"""The walk: one zone at a time, one key where nothing was found.

An answer is stored in the background and the next zone comes at once; an answer that is refused
brings its zone back.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any, ClassVar

from PySide6.QtCore import Qt

from hulllog.desktop.haul_out.found import FoundPanel
from hulllog.desktop.haul_out.partial import PartPanel, UnseenPanel
from hulllog.desktop.haul_out.section import Section
from hulllog.desktop.haul_out.stoppanel import StopPanel
from hulllog.desktop.haul_out.turning import Turning
from hulllog.desktop.haul_out.walkdone import WalkDone
from hulllog.desktop.haul_out.walkpicture import WalkPicture
from hulllog.desktop.haul_out.walksetup import Walk, WalkSetup
from hulllog.desktop.labels import Prose
from hulllog.desktop.layout import column, line
from hulllog.desktop.owncopies import OwnCopies
from hulllog.desktop.theme import TITLE
from hulllog.insight import walking
from hulllog.insight.occasions import Edge
from hulllog.insight.ownviews import own_views
from hulllog.insight.placed import PhotoSeen, photos_at
from hulllog.insight.shape import form_of
from hulllog.records.operations import queries, visits
from hulllog.records.operations import walking as enter
from hulllog.records.operations.measuring import Rated
from hulllog.words import say, say_n
from hulllog.words.formats import joined
from hulllog.words.telling import conditions as conditions_said
from hulllog.words.telling import kind_name

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from PySide6.QtGui import QKeyEvent
    from PySide6.QtWidgets import QWidget

    from hulllog.desktop.fields import Field
    from hulllog.desktop.pages import Page
    from hulllog.insight.walking import Seen, Stop, WalkPlan
    from hulllog.records.model import Visit
    from hulllog.records.operations.walking import Found, Part
    from hulllog.records.values import PartialDate

_PICTURE_WIDTH = 420


class WalkSection(Section):
    """The walk around her, zone by zone.  ``ask_photos`` is called by the key for a photograph."""

    code: ClassVar[str] = "walk"

    def __init__(self, page: Page, ask_photos: Callable[[], object]) -> None:
        super().__init__(page)
        self._ask_photos = ask_photos
        self.walk: Walk | None = None
        self.stops: list[Stop] = []
        self.at = 0
        self._last: Mapping[str, Sequence[Seen]] = {}
        self._last_of = ""
        self._photos: list[PhotoSeen] = []
        self._pending: set[int] = set()
        self._copies = OwnCopies(page.state, self, self._draw_picture)
        self._make()

    # What the page calls

    def show_visit(self, visit: Visit) -> None:
        """Show the walk of a haul-out; the proposal of a walk while none was begun."""
        if visit.id != self.visit_id:
            self.walk = None
            self.stops = []
            self.setup.plan.show_value(None)
            self.setup.day.give_up()
            self._pending.clear()
        super().show_visit(visit)

    def refresh(self) -> None:
        """Read the zones again; a zone whose answer was taken back comes up."""
        if self.walk is None:
            self.walk = self._walk_begun()
        if self.walk is None:
            if self.panels.currentWidget() is not self.setup or not self.setup.plan.value:
                self._show_setup()
            else:
                self._show_day()
            return
        answered = {n for n, stop in enumerate(self.stops) if stop.entered is not None}
        first = not self.stops
        self._load(fresh=True)
        lost = [n for n in answered if n < len(self.stops) and self.stops[n].entered is None]
        if first:
            self._go(self._next_open(-1))
        elif lost:
            self._go(lost[0])
        else:
            self._show_stop(start=False)

    def start(self) -> QWidget | None:
        """Return what the keyboard starts at."""
        here = self.panels.currentWidget()
        if here is self.setup:
            return self.setup.go if self.setup.plan.value else self.setup.plan
        return self.panel.name if here is self.panel else here

    def press(self, key: str) -> bool:
        """Hand a key to the panel that is shown."""
        pressed: Callable[[str], bool] = {
            id(panel): panel.press
            for panel in (self.setup, self.panel, self.found, self.part, self.unseen, self.done)
        }[id(self.panels.currentWidget())]
        return pressed(key)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Let Esc go back from what is asked of a zone to its answers."""
        asking = self.panels.currentWidget() in (self.found, self.part, self.unseen)
        if event.key() == Qt.Key.Key_Escape and asking:
            self._show_stop(start=True)
        else:
            super().keyPressEvent(event)

    def photos_of(self) -> tuple[str | None, str]:
        """Return the zone that is shown, and the state of the walk.

        What a walk sees while work goes on was found: during the work are the pictures of the work.
        """
        state = "left" if self.walk is not None and self.walk.state == "left" else "found"
        if self.walk is None or self.panels.currentWidget() in (self.setup, self.done):
            return None, state
        return self.stops[self.at].zone_id, state

    def go_to_zone(self, code: str) -> None:
        """Go to a zone by its code."""
        codes = [stop.code for stop in self.stops]
        if code in codes:
            self._go(codes.index(code))

    def take_up(self, plan: str) -> None:
        """Go on with one of the walks, or propose it when another one is under way."""
        if not (self.walk is not None and self.setup.is_plan(plan, self.walk)):
            self._show_setup(plan)
            self.setup.go.setFocus()

    # The walk

    def _walk_begun(self) -> Walk | None:
        """Return the walk that this visit was on last, when it has any answer."""
        assert self.visit is not None
        looked_for = tuple(self.visit.looked_for)
        if not looked_for:
            return None
        for state in ("left", "during", "found"):
            stops = self._read_stops(state, looked_for)
            if any(stop.entered is not None for stop in stops):
                conditions = self._conditions_entered(state)
                return Walk(state, looked_for, tuple(self.visit.methods), conditions)
        return None

    def _conditions_entered(self, state: str) -> dict[str, Any]:
        found = self.state.read(lambda book: walking.conditions_of(book, self.visit_id, state))
        return {code: value for code, value in found.items() if code != "days_ashore"}

    def _begin(self, walk: Walk) -> None:
        assert self.visit is not None
        self.walk = walk
        same = (list(walk.looked_for), list(walk.methods))
        if same != (self.visit.looked_for, self.visit.methods):
            self.page.edit(
                visits.set_looked_for, self.visit_id, walk.looked_for, walk.methods, quietly=True
            )
        self.at = 0  # another walk may have fewer zones
        self._load(fresh=True)
        self._go(self._next_open(-1))

    def _read_stops(self, state: str, looked_for: tuple[str, ...]) -> list[Stop]:
        return self.state.read(
            lambda book: walking.stops(book, self.visit_id, state, looked_for, self._last)
        )

    def _load(self, *, fresh: bool = False) -> None:
        assert self.walk is not None
        state = self.walk.state
        if fresh or self._last_of != self.visit_id:
            self._last = self.state.read(
                lambda book: walking.seen_before(book, self.visit_id, state)
            )
            self._last_of = self.visit_id
        if fresh:
            self._photos = self.state.read(
                lambda book: photos_at(book, Edge(self.visit_id, "left"))
            )
        self.stops = self._read_stops(self.walk.state, self.walk.looked_for)

    def _next_open(self, after: int) -> int:
        """Return the next zone without an answer, or -1."""
        order: list[int] = [*range(after + 1, len(self.stops)), *range(after + 1)]
        for index in order:
            if index not in self._pending and self.stops[index].entered is None:
                return index
        return -1

    def _go(self, index: int) -> None:
        if index < 0:
            self._show_done()
            return
        self.at = index
        self._show_stop(start=True)

    # What is shown

    def _make(self) -> None:
        self.picture = WalkPicture()
        self.picture.setFixedWidth(_PICTURE_WIDTH)
        self.picture.picked.connect(self.go_to_zone)
        self.picture.change.connect(self._change)
        self.setup = WalkSetup(self.state)
        self.setup.begun.connect(self._begin)
        self.panel = StopPanel(self.state)
        self.panel.answered.connect(self._answer)
        self.panel.rated.connect(self._rate)
        self.found = FoundPanel(self.state)
        self.found.answered.connect(self._found)
        self.part = PartPanel()
        self.part.answered.connect(self._part)
        self.unseen = UnseenPanel()
        self.unseen.answered.connect(self._unseen)
        for panel in (self.found, self.part, self.unseen):
            panel.back.connect(lambda: self._show_stop(start=True))
        self.done = WalkDone()
        self.done.again.connect(self._change)
        self.done.leave.connect(lambda: self.go.emit("steps"))
        self.panels = Turning()
        for widget in (
            self.setup, self.panel, self.found, self.part, self.unseen, self.done,
        ):  # fmt: skip
            self.panels.addWidget(widget)
        self.zone_name = Prose("", TITLE, bold=True)
        right = column(self.zone_name, self.panels, space=2)
        right.addStretch(1)
        row = line(space=5)
        row.addWidget(self.picture, 0, Qt.AlignmentFlag.AlignTop)
        row.addLayout(right, 1)
        self.setLayout(row)

    def _show_setup(self, plan: str = "") -> None:
        self.picture.hide()
        offered = self._offered()
        self.setup.offer([one.code for one in offered])
        self._show_day()
        self.setup.propose(plan or self._proposed(offered))
        self._open(self.setup)

    def _offered(self) -> list[WalkPlan]:
        """Return the walks that may be begun now."""
        assert self.visit is not None
        visit, now = self.visit, self.state.logbook.around.now()
        return self.state.read(lambda book: walking.plans_now(book, visit, now))

    def _show_day(self) -> None:
        """Say in the set-up which day a walk is of while none is typed."""
        assert self.visit is not None
        begins, now = self.visit.begins, self.state.logbook.around.now()
        begun = begins.earliest.date() if begins is not None else None
        self.setup.show_day(begun, walking.walked_on(self.visit, now), self.visit.time_zone)

    def _proposed(self, offered: Sequence[WalkPlan]) -> str:
        """Return the first walk of the haul-out that lacks an answer."""
        for plan in offered:
            if any(stop.entered is None for stop in self._read_stops(plan.state, plan.looked_for)):
                return plan.code
        return "as_left"

    def _change(self) -> None:
        if self.walk is not None:
            self.setup.show_walk(self.walk)
        self.setup.offer([one.code for one in self._offered()])
        self._show_day()
        self.picture.hide()
        self._open(self.setup)
        self.setup.start()

    def _show_stop(self, *, start: bool) -> None:
        if not self.stops or self.walk is None:
            return
        if not start and self.panels.currentWidget() not in (self.panel, self.done):
            self._show_picture()
            return
        if not start and self.panels.currentWidget() is self.done:
            return
        stop = self.stops[self.at]
        when = {visit.id: visit.begins for visit in self.state.read(queries.visits)}
        self.panel.show_stop(stop, self.at + 1, len(self.stops), when)
        self.panel.show_photos(self._photos_of(stop))
        self._show_picture()
        self._open(self.panel)
        if start:
            self.panel.start()

    def _photos_of(self, stop: Stop) -> list[PhotoSeen]:
        """Return the photographs of a zone at this visit, then those of the visit before."""
        shown = [photo for photo in self._photos if photo.zone_id == stop.zone_id]
        here = [photo for photo in shown if photo.visit_id == self.visit_id]
        earlier = [photo for photo in shown if photo.visit_id != self.visit_id]
        return [*here, *(one for one in earlier if one.visit_id == earlier[-1].visit_id)]

    def _show_picture(self) -> None:
        self.picture.show()
        self._copies.look_again()
        self._draw_picture()

    def _draw_picture(self) -> None:
        if self.walk is None:
            return
        edge = Edge(self.visit_id, "found")
        form, own = self.state.read(lambda book: (form_of(book, edge), own_views(book, edge)))
        seen = [(view, self._copies.data(view)) for view in own]
        self.picture.show_walk(form, self.stops, self.at, self._told(), seen)

    def _told(self) -> list[tuple[str, str]]:
        """Say what the walk looks for, how, how she is, and how many zones are left."""
        assert self.walk is not None
        left = sum(stop.entered is None for stop in self.stops) - len(self._pending)
        rows = [
            ("state", say(f"state.{self.walk.state}")),
            ("looked_for", joined([kind_name(kind) for kind in self.walk.looked_for])),
            ("methods", joined([say(f"method.{code}") for code in self.walk.methods])),
            ("seen", conditions_said(self.walk.conditions)),
            ("to_do", say_n("haul_out.walk.left", max(left, 0))),
        ]
        return [(say(f"haul_out.walk.{code}"), said) for code, said in rows if said]

    def _show_done(self) -> None:
        self.done.show_stops(self.stops)
        self._show_picture()
        self._open(self.done)
        self.done.start()

    # Answers

    def _answer(self, code: str) -> None:
        stop = self.stops[self.at]
        if code == "nothing":
            self._store(enter.nothing_found)
        elif code == "not_looked":
            self._store(enter.not_looked)
        elif code == "last_time" and stop.last is not None:
            self._store(
                enter.as_last_time, stop.last.inspection_id, self._conditions(), self._day()
            )
        elif code == "found":
            self._ask_found(None)
        elif code == "finding":
            self._ask_found(None)
            self.found.tell_in_words()
        elif code == "part":
            self._open(self.part)
            self.part.begin()
        elif code == "not_seen":
            self._open(self.unseen)
            self.unseen.begin()
        elif code == "photo":
            self._ask_photos()
        elif code == "back" and self.at > 0:
            self._go(self.at - 1)
        elif code == "next" and self.at + 1 < len(self.stops):
            self._go(self.at + 1)
        elif code == "next_open":
            self._go(self._next_open(self.at))

    def _rate(self, kind: str, code: str) -> None:
        """Store a rating by one digit, and go on."""
        assert self.panel.quick is not None
        from hulllog.trade import kinds

        first = kinds.require(kind).components[0].code
        how = enter.declared(kind, self._conditions())
        rated = Rated(kind, {first: code}, how, observed=self._day())
        self._store(enter.something_found, enter.Found(ratings=(rated,)))

    def _ask_found(self, part: Part | None) -> None:
        material, keel = self.state.read(walking.boat_of)
        stop = self.stops[self.at]
        offered = [
            kind
            for kind in walking.offered(material, keel)
            if walking.applies(kind, stop.code, material, keel, dry=stop.dry)
        ]
        self._open(self.found)
        self.found.begin(stop, offered, self._conditions(), part)

    def _open(self, panel: QWidget) -> None:
        """Show a panel; those that ask of a zone stand below its name."""
        asking = panel in (self.found, self.part, self.unseen)
        self.zone_name.setVisible(asking)
        if asking:
            self.zone_name.setText(self.stops[self.at].name)
        self.panels.setCurrentWidget(panel)

    def _found(self, found: Found) -> None:
        day = self._day()
        dated = replace(found, ratings=[replace(one, observed=day) for one in found.ratings])
        self._store(enter.something_found, dated, fields=self.found.fields)

    def _part(self, part: Part, found: bool) -> None:
        if found:
            self._ask_found(part)
        else:
            self._store(enter.nothing_found, part)

    def _unseen(self, why: str) -> None:
        self._store(enter.could_not_see, why)

    def _conditions(self) -> dict[str, Any]:
        """Return the conditions of the day, with the days ashore where they are known."""
        assert self.walk is not None
        assert self.visit is not None
        given, now = self.walk.day, self.state.logbook.around.now()
        days = walking.days_ashore(self.visit, given.earliest if given is not None else now)
        return {**self.walk.conditions, "days_ashore": days}

    def _day(self) -> PartialDate | None:
        """Return the day of the answers: the one that was given, else today's while she is out."""
        assert self.walk is not None
        assert self.visit is not None
        now = self.state.logbook.around.now()
        return self.walk.day or walking.walked_on(self.visit, now)

    def _store(
        self,
        operation: Callable[..., Any],
        *about: Any,
        fields: Mapping[str, Field] | None = None,
    ) -> None:
        """Store an answer; without fields that could refuse it the next zone comes at once."""
        assert self.walk is not None
        index = self.at
        if index in self._pending:
            self.state.tasks.settle()
            self._load()
        stop = self.stops[index]
        where = enter.At(
            visit_id=self.visit_id,
            zone_id=stop.zone_id,
            state=self.walk.state,
            looked_for=stop.looked_for,
            methods=self.walk.methods,
            instead_of=stop.entered.inspection_id if stop.entered else None,
        )
        self._pending.add(index)
        job = self.page.edit(
            operation,
            where,
            *about,
            fields=fields,
            done=lambda _key: self._stored(index, waited=fields is not None),
            quietly=True,
        )
        job.failed.connect(lambda problem: self._refused(index, problem, waited=fields is not None))
        if fields is None:
            self._go(self._next_open(index))

    def _stored(self, index: int, *, waited: bool) -> None:
        self._pending.discard(index)
        if not self._pending:
            self._load()
            if waited:
                self._go(self._next_open(index))
            else:
                self._after_storing()
        elif waited:
            self._go(self._next_open(index))

    def _after_storing(self) -> None:
        # The keyboard stays: whoever was quick is at another part of the page by now.
        if not self.isVisible():
            self.page.update_now()
        if self.panels.currentWidget() is self.done:
            self.done.show_stops(self.stops)
        self._show_picture()

    def _refused(self, index: int, problem: object, *, waited: bool) -> None:
        self._pending.discard(index)
        if waited:
            self.found.show_refused(str(getattr(problem, "field", "")))
        else:
            self._load()
            self._go(index)

"""The page *Findings*: what wants watching or action, the open ones first.

Keys: F raises a finding; arrows go from row to row, Enter opens one, and then the letters of what
can be done stand on its buttons.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtWidgets import QScrollArea, QWidget

from hulllog.desktop.buttons import Door, button, link
from hulllog.desktop.choice import Choice, Option
from hulllog.desktop.commands import PageCommand
from hulllog.desktop.edges import edge_said
from hulllog.desktop.findings.asking import PickOne, RaiseSheet, TextSheet
from hulllog.desktop.findings.listed import Board, Listed, read_board
from hulllog.desktop.findings.row import Row
from hulllog.desktop.findings.sheets import (
    ChangeSheet,
    CloseSheet,
    MergeSheet,
    ObserveSheet,
    SplitSheet,
)
from hulllog.desktop.hull.actions import Action, Actions
from hulllog.desktop.hull.pair import show_photo
from hulllog.desktop.hull.side import bare
from hulllog.desktop.labels import Prose, heading, tip
from hulllog.desktop.layout import EmptyState, boxed, clear, column, flowing, line
from hulllog.desktop.pages import Page
from hulllog.desktop.theme import BODY, LEAD
from hulllog.insight.matters import MUST_ORDER
from hulllog.insight.placed import photos_at
from hulllog.records.operations import matters
from hulllog.words import say, say_code, say_n

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from hulllog.desktop.state import State
    from hulllog.insight.placed import PhotoSeen

MOST_ROWS = 12
"""Rows of a group that are shown at once; the rest stand behind a door."""
GROUPS = ("open", "closed", "withdrawn")

TABLES = frozenset(
    {
        "vessel", "form_version", "zone", "zone_version", "visit", "spot", "photo", "photo_place",
        "finding", "finding_link", "finding_observation", "work", "work_link", "person", "firm",
        "document",
    }
)  # fmt: skip
"""What the page shows."""


class FindingsPage(Page):
    """Shows the findings at the edge that is picked."""

    code = "findings"
    kinds = TABLES

    def __init__(self, state: State) -> None:
        super().__init__(state)
        self.board = Board((), (), None)
        self.rows: list[Row] = []
        self._opened = ""
        self._unfolded: set[str] = set()
        self._zone_id = ""
        self._actions: Actions | None = None

    def subtitle(self) -> str:
        """Say as at when, and how many are open and closed."""
        edge = self.state.edge
        now = self.state.logbook.around.now()
        self.board = self.state.read(lambda book: read_board(book, edge, now))
        opened, closed = (
            sum(row.status == status for row in self.board.rows) for status in ("open", "closed")
        )
        return say(
            "findings_page.subtitle",
            edge=edge_said(self.state, edge),
            opened=say_n("findings_page.open_count", opened),
            closed=say_n("findings_page.closed_count", closed),
        )

    # Parts

    def build(self) -> None:
        """Make the filter and the place of the rows."""
        self.raise_button = button(say("findings_page.raise"), self._raise, primary=True)
        self.raise_button.setObjectName("findings/raise")
        self.tools.addWidget(self.raise_button)
        codes = ("", *MUST_ORDER, "closed", "withdrawn")
        self.must = Choice(
            say("findings_page.filter"),
            [Option(code, _filter_said(code)) for code in codes],
            label_width=0,
        )
        bare(self.must)
        self.must.show_value("")
        self.must.chosen.connect(lambda _code: self._list())
        self._zone_place = column(space=0)
        row = line(self.must, None, space=2)
        row.addLayout(self._zone_place)
        self._filters = boxed(row)
        self._rows = column(space=2)
        self.body.addWidget(self._filters)
        self.body.addLayout(self._rows)
        self.body.addStretch(1)

    def first_focus(self) -> QWidget | None:
        """Start at the first row, else at what raises a finding."""
        return self.rows[0].head if self.rows else self.raise_button

    # Showing

    def refresh(self) -> None:
        """Show what was read."""
        why_not = self._why_not()
        self.raise_button.setEnabled(not why_not)
        tip(self.raise_button, why_not)
        self._filters.setVisible(bool(self.board.rows))
        self._fill_zones()
        self._list()

    def _fill_zones(self) -> None:
        clear(self._zone_place)
        zones = [(zone.zone_id, zone.name) for zone in self.board.zones]
        self.zone = PickOne(
            say("findings_page.zone"), zones, say("findings_page.any_zone"), label_width=0
        )
        self.zone.setObjectName("findings/zone")
        self.zone.show_value(self._zone_id)
        self.zone.chosen.connect(self._choose_zone)
        self._zone_place.addWidget(self.zone)

    def _choose_zone(self, zone_id: str) -> None:
        self._zone_id = zone_id
        self._list()

    def _list(self) -> None:
        """Make the rows that fit the filter, in their groups."""
        clear(self._rows)
        self.rows = []
        self._actions = None
        fitting = self.board.fitting(self.must.value or "", self._zone_id)
        for status in GROUPS:
            group = [row for row in fitting if row.status == status]
            if group:
                self._add_group(status, group)
        if not fitting:
            self._rows.addWidget(self._empty())
        if self._opened:
            self._open(self._opened)

    def _add_group(self, status: str, group: Sequence[Listed]) -> None:
        title = say_n(f"findings_page.group_{status}", len(group))
        self._rows.addWidget(heading(title, LEAD))
        shown = len(group) if status in self._unfolded else MOST_ROWS
        for listed in group[:shown]:
            row = Row(self.state, self.board, listed, self._show_photo)
            row.toggled.connect(self._toggle)
            row.head.stepped.connect(self._step)
            self.rows.append(row)
            self._rows.addWidget(row)
        if len(group) > shown:
            rest = say_n("word.more", len(group) - shown)
            self._rows.addWidget(Door(rest, on=lambda: self._unfold(status)))

    def _unfold(self, status: str) -> None:
        self._unfolded.add(status)
        self._list()

    def _empty(self) -> QWidget:
        if self.board.rows:
            said = Prose(say("findings_page.none_fits"), BODY, role="muted")
            return boxed(line(said, link(say("findings_page.show_all"), self._show_all), None))
        if self._why_not():
            return EmptyState(say("findings_page.none"))
        return EmptyState(say("findings_page.none"), say("findings_page.raise"), self._raise)

    def _show_all(self) -> None:
        self._zone_id = ""
        self.must.show_value("")
        self._fill_zones()
        self._list()

    # Rows

    def _toggle(self, finding_id: str) -> None:
        opened = self._opened == finding_id
        for row in self.rows:
            if row.opened:
                row.shut()
        self._opened = "" if opened else finding_id
        self._actions = None
        if not opened:
            self._open(finding_id)

    def _open(self, finding_id: str) -> None:
        row = next((r for r in self.rows if r.listed.matter.finding_id == finding_id), None)
        if row is None:
            return
        self._actions = Actions(self._actions_of(row.listed), self._why_not())
        row.open(*self._doors(row.listed), self._actions)

    def _doors(self, listed: Listed) -> list[QWidget]:
        """Return the ways to the places that a finding is about."""
        doors: list[QWidget] = [
            link(say("findings_page.show_on_hull", where=zone.name), self._to_hull(zone.zone_id))
            for zone in listed.zones
        ]
        for spot in listed.spots:
            where = say("spot.numbered", number=spot.number)
            said = say("findings_page.show_on_hull", where=where)
            doors.append(link(said, self._to_hull(spot.spot_id)))
        return [flowing(*doors, space=1)] if doors else []

    def _to_hull(self, key: str) -> Callable[[], object]:
        return lambda: self.go.emit("hull", key)

    def _step(self, by: int) -> None:
        heads = [row.head for row in self.rows]
        at = next((n for n, head in enumerate(heads) if head.hasFocus()), 0)
        head = heads[min(max(at + by, 0), len(heads) - 1)]
        head.setFocus()
        self._bring_in_sight(head)

    def _bring_in_sight(self, widget: QWidget) -> None:
        area = next(iter(self.findChildren(QScrollArea)), None)
        if area is not None:
            area.ensureWidgetVisible(widget, 0, 24)

    def go_to(self, key: str) -> None:
        """Open a finding, by its key in the records."""
        found = next((row for row in self.board.rows if row.matter.finding_id == key), None)
        if found is None:
            return
        self._zone_id = ""
        self.must.show_value("withdrawn" if found.status == "withdrawn" else "")
        self._unfolded.add(found.status)
        self._opened = key
        self._list()
        row = next(row for row in self.rows if row.listed.matter.finding_id == key)
        row.head.setFocus()
        self._bring_in_sight(row.head)

    def _show_photo(self, photo: PhotoSeen) -> None:
        show_photo(self, self.state, photo)

    # What can be done

    def _why_not(self) -> str:
        if self.state.read_only:
            return say("desktop.read_only", why=say_code("why", self.state.read_only))
        return ""

    def _actions_of(self, listed: Listed) -> list[Action]:
        """Return what can be done with a finding, by how it stands today."""
        if listed.status_now != "open":
            return [
                Action(
                    "reopen", say("findings_page.do.reopen"), "o",
                    lambda: self._reason(listed, "reopen", matters.reopen_finding),
                )
            ]  # fmt: skip
        looked = [
            Action(seen, say(f"findings_page.do.{seen}"), key, self._observes(listed, seen))
            for seen, key in (("present", "p"), ("not_found", "n"), ("not_seen", "s"))
        ]
        return [
            *(looked if self.state.edge is not None else []),
            Action("close", say("findings_page.do.close"), "c", lambda: self._close(listed)),
            Action(
                "change", say("findings_page.do.change"), "e",
                lambda: ChangeSheet(self, listed).ask(),
            ),
            Action(
                "split", say("findings_page.do.split"), "t",
                lambda: SplitSheet(self, listed).ask(),
            ),
            Action("merge", say("findings_page.do.merge"), "m", lambda: self._merge(listed)),
            Action(
                "withdraw", say("findings_page.do.withdraw"), "w",
                lambda: self._reason(listed, "withdraw", matters.withdraw_finding),
            ),
        ]  # fmt: skip

    def _merge(self, listed: Listed) -> None:
        """Ask with which other open finding it is the same."""
        others = [
            row.listed
            for row in self.rows
            if row.listed.status_now == "open" and row.listed is not listed
        ]
        if others:
            MergeSheet(self, listed, others).ask()
        else:
            self.state.tell(say("findings_page.merge_none"))

    def _observes(self, listed: Listed, seen: str) -> Callable[[], object]:
        def ask() -> None:
            edge = self.state.edge
            if edge is not None:
                ObserveSheet(self, edge, listed, seen, edge_said(self.state, edge)).ask()

        return ask

    def _close(self, listed: Listed) -> None:
        """Ask what was done, with the pictures of this visit and of the finding as proof."""
        edge = self.state.edge
        here = self.state.read(lambda book: photos_at(book, edge))
        at_visit = [p for p in here if edge is not None and p.visit_id == edge.visit_id]
        photos = {p.photo_id: p for p in (*listed.photos, *at_visit) if p.purged is None}
        CloseSheet(self, edge, listed, list(photos.values())).ask()

    def _reason(self, listed: Listed, code: str, operation: Callable[..., object]) -> None:
        TextSheet(
            self,
            say(f"findings_page.{code}", title=listed.matter.title),
            say("desktop.reason.label"),
            say(f"findings_page.do.{code}"),
            lambda sheet, _text: sheet.store(operation, listed.matter.finding_id, name="reason"),
            under=say(f"findings_page.{code}_under"),
        ).ask()

    def _raise(self) -> None:
        RaiseSheet(self, self.state.edge, zone_id=self._zone_id, done=self._raised).ask()

    def _raised(self, finding_id: str) -> None:
        """Open the finding that was just raised."""
        self.update_now()
        self.go_to(finding_id)

    # Keys

    def press(self, key: str) -> bool:
        """Take F, and the letters of the row that is open."""
        if self._actions is not None and self._actions.press(key):
            return True
        if key.lower() == "f" and not self._why_not():
            self._raise()
            return True
        return False

    def commands(self) -> list[PageCommand]:
        """Return what can be done on the page, for its menu."""
        return [PageCommand(say("findings_page.raise"), self._raise, writes=True)]


def _filter_said(code: str) -> str:
    if not code:
        return say("findings_page.all")
    return say(f"must.{code}") if code in MUST_ORDER else say(f"finding_status.{code}")

"""Photographs whose visit their capture time does not tell: asked once, one row for each reason."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt

from hulllog.desktop.buttons import button
from hulllog.desktop.hull.menus import MenuButton
from hulllog.desktop.labels import Prose, unmarked
from hulllog.desktop.layout import Card, boxed, line
from hulllog.desktop.theme import BODY
from hulllog.records.model import Photo
from hulllog.records.operations import queries
from hulllog.records.operations.photos import put_photos
from hulllog.records.sorting import CHANGED, NO_TIME, WHY
from hulllog.words import say, say_code, say_n
from hulllog.words.formats import partial_date, span

if TYPE_CHECKING:
    from collections.abc import Sequence

    from PySide6.QtWidgets import QWidget

    from hulllog.desktop.pages import Page
    from hulllog.records.book import Book
    from hulllog.records.media import ImportReport


class Doubtful(Card):
    """A card that asks for the visit; hidden while nothing is asked."""

    def __init__(self, page: Page) -> None:
        super().__init__(say("photos.doubtful"), margin=3)
        self._page = page
        self._asked: dict[str, list[str]] = {}
        self._visit_id = ""
        shut = button(say("do.close"), self.put_away)
        shut.setAccessibleName(say("photos.doubtful_close"))
        self.shut = shut
        self.head.addWidget(shut)
        self.hide()

    def ask(self, report: ImportReport) -> None:
        """Ask for the visit of what an import left doubtful, beside what is asked already."""
        for why in WHY:
            ids = [photo for photo, because in report.doubtful.items() if because == why]
            if ids:
                self._asked[why] = [*self._asked.get(why, []), *ids]
        self._fill()

    def show_in(self, visit_id: str) -> None:
        """Ask at the haul-out where they came in, nowhere else."""
        if self._asked and self._visit_id and visit_id != self._visit_id:
            self._asked.clear()
        self._visit_id = visit_id
        self._drop_gone()
        self.setVisible(bool(self._asked and visit_id))

    def put_away(self) -> None:
        """Leave them where they are."""
        self._asked.clear()
        self._fill()

    def _drop_gone(self) -> None:
        """Ask no more of photographs that an undo took away."""
        if not self._asked:
            return
        kept = self._page.state.read(lambda book: {one.id for one in queries.kept(book, Photo)})
        left = {why: [key for key in ids if key in kept] for why, ids in self._asked.items()}
        left = {why: ids for why, ids in left.items() if ids}
        if left != self._asked:
            self._asked = left
            self._fill()

    def _fill(self) -> None:
        self.clear()
        if self._asked:
            self.add(Prose(say("photos.doubtful_under"), BODY, role="muted"))
        for why in [why for why in WHY if why in self._asked]:
            self.add(self._row(why, self._asked[why]))
        self.setVisible(bool(self._asked))

    def _row(self, why: str, ids: Sequence[str]) -> QWidget:
        what = self._page.state.read(lambda book: _said(book, why, ids))
        here = button(say("photos.doubtful.here"), partial(self._answered, why))
        none = button(say("photos.doubtful.none"), partial(self._put, why, None))
        other = MenuButton()
        other.setText(say("photos.doubtful.other"))
        for visit_id, text in self._page.state.read(_visits):
            if visit_id != self._visit_id:
                action = other.menu().addAction(unmarked(text))
                action.triggered.connect(lambda _on, visit_id=visit_id: self._put(why, visit_id))
        for made, answer in ((here, "here"), (other, "other"), (none, "none")):
            made.setAccessibleName(
                say("photos.doubtful.for", answer=say(f"photos.doubtful.{answer}"), what=what)
            )
            made.setObjectName(f"doubtful/{why}/{answer}")
        self._page.writes(other, none)
        row = line(space=2)
        row.addWidget(Prose(what, BODY), 1, Qt.AlignmentFlag.AlignVCenter)
        for made in (here, other, none):
            row.addWidget(made, 0, Qt.AlignmentFlag.AlignVCenter)
        return boxed(row)

    def _answered(self, why: str) -> None:
        self._asked.pop(why, None)
        self._fill()

    def _put(self, why: str, visit_id: str | None) -> None:
        ids = self._asked.get(why, [])
        self._answered(why)
        self._page.edit(put_photos, ids, visit_id)


def _visits(book: Book) -> list[tuple[str, str]]:
    """Return key and name of the visits, the newest first."""
    return [
        (
            visit.id,
            say(
                "photos.doubtful.for",
                answer=say_code("visit_kind", visit.kind),
                what=span(visit.begins, visit.ends, visit.time_zone),
            ),
        )
        for visit in reversed(queries.visits(book))
    ]


def _said(book: Book, why: str, ids: Sequence[str]) -> str:
    """Say how many there are, and when the first and the last was taken."""
    if why in (NO_TIME, CHANGED):
        return say_n(f"photos.doubtful.{why}", len(ids))
    times = sorted(
        (photo.captured for key in ids if (photo := book.get(Photo, key)) and photo.captured),
        key=lambda when: when.earliest,
    )
    days = list(dict.fromkeys(when.earliest.date() for when in times))
    when = partial_date(times[0]) if len(days) == 1 else span(times[0], times[-1])
    return say_n(f"photos.doubtful.{why}", len(ids), when=when)

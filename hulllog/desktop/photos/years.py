"""The same place over the years: the newest photograph against an earlier one, shown four ways."""

from __future__ import annotations

from typing import TYPE_CHECKING

import shiboken6
from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtGui import QGuiApplication, QKeyEvent

from hulllog.desktop.buttons import button, icon_button
from hulllog.desktop.choice import Choice, Option
from hulllog.desktop.hull.pair import last_of_each_visit
from hulllog.desktop.labels import Few, Prose
from hulllog.desktop.layout import line
from hulllog.desktop.photos.laid import FLICKER_MS, HOWS, Laid
from hulllog.desktop.sheets import Sheet
from hulllog.desktop.theme import BODY, SMALL
from hulllog.drawing.aligning import far_enough
from hulllog.insight.sameplace import Marks, marks_of
from hulllog.records.operations.photos import align
from hulllog.words import say
from hulllog.words.figures import figure
from hulllog.words.formats import partial_date

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hulllog.desktop.pages import Page
    from hulllog.insight.placed import PhotoSeen

_HOW_KEYS = "1234"


class YearsSheet(Sheet):
    """The newest photograph of a place against each earlier one.

    Keys: 1 to 4 choose how, Page Up and Page Down the earlier photograph; any key ends a flicker.
    """

    def __init__(self, page: Page, what: str, photos: Sequence[PhotoSeen], first: str = "") -> None:
        super().__init__(page, say("years.title", what=what), under=say("years.under"), width=1040)
        self.setObjectName("years")
        self._page = page
        self._visits = last_of_each_visit(photos)
        earlier = [photo.visit_id for photo in self._visits[:-1]]
        self._at = earlier.index(first) if first in earlier else len(earlier) - 1
        self.laid = Laid(page.state)
        self.laid.marked.connect(self._marked)
        self.laid.asked.connect(self._asked)
        self.laid.flickered.connect(self._flickered)
        self.hows = Choice(
            say("years.how"),
            [
                Option(how, say(f"years.how.{how}"), key)
                for how, key in zip(HOWS, _HOW_KEYS, strict=True)
            ],
            label_width=56,
        )
        self.hows.show_value(HOWS[0])
        self.hows.chosen.connect(self._choose)
        self.earlier = icon_button("earlier", say("years.earlier"), lambda: self.step(-1))
        self.later = icon_button("door", say("years.later"), lambda: self.step(1))
        self.flicker = button(say("years.start_flicker"), self._turn_flicker)
        self.align = button(say("years.align"), self._turn_marks, icon="pin")
        self.apart = button(say("years.apart"), self._take_apart)
        page.writes(self.align, self.apart)
        self.told = Prose("", SMALL, role="muted")
        self.lines = (Few(BODY, most=3), Few(BODY, most=3))
        self._lay_out()
        self._show()

    def _lay_out(self) -> None:
        above = line(space=2)
        above.addWidget(self.hows, 1)
        for made in (self.flicker, self.align, self.apart):
            above.addWidget(made, 0, Qt.AlignmentFlag.AlignTop)
        under = line(space=3)
        left = line(self.earlier, self.later, space=1)
        left.addWidget(self.lines[0], 1)
        under.addLayout(left, 1)
        under.addWidget(self.lines[1], 1)
        self.body.addLayout(above)
        self.body.addWidget(self.told)
        self.body.addWidget(self.laid, 1)
        self.body.addLayout(under)
        self.resize(1120, 660)

    # What is shown

    def step(self, by: int) -> None:
        """Hold the newest against an earlier or later one."""
        at = self._at + by
        if 0 <= at < len(self._visits) - 1 and not self.laid.marking:
            self._at = at
            self._show()

    @property
    def then(self) -> PhotoSeen:
        """The earlier photograph that is shown."""
        return self._visits[self._at]

    @property
    def now(self) -> PhotoSeen:
        """The newest photograph."""
        return self._visits[-1]

    def _show(self) -> None:
        then, now = self.then, self.now
        marks = self._page.state.read(lambda book: marks_of(book, then.photo_id, now.photo_id))
        self.laid.show_photos(then, now, (_day(then), _day(now)), marks)
        for told, photo in zip(self.lines, (then, now), strict=True):
            told.setText(_line(photo))
        self.earlier.setEnabled(self._at > 0)
        self.later.setEnabled(self._at < len(self._visits) - 2)
        self.align.setText(say("years.align_again" if marks else "years.align"))
        self.apart.setVisible(marks is not None)
        for made in (self.align, self.apart):
            made.setEnabled(self._page.state.read_only is None)
        self._tell()

    def _tell(self) -> None:
        """Say what the way of showing wants, and how the photographs lie on each other."""
        how = self.laid.how
        self.flicker.setVisible(how == "flicker")
        said = [] if how == "beside" else [say(f"years.how.{how}_more")]
        if how == "flicker":
            said.append(say("years.flicker_caution", times=figure(1000 / FLICKER_MS, 0)))
        if self.laid.laying is not None:
            turned, scale = self.laid.laying.degrees, self.laid.laying.scale
            said.append(say("years.aligned", degrees=figure(turned, 1), scale=figure(scale, 2)))
        elif how != "beside":
            said.append(say("years.not_aligned"))
        self.told.setText(" ".join(said))

    def _choose(self, how: str) -> None:
        self.laid.show_how(how)
        self._tell()
        if how != "beside":
            self.laid.setFocus(Qt.FocusReason.OtherFocusReason)

    # The flicker

    def _turn_flicker(self) -> None:
        if self.laid.flickering:
            self.laid.stop()
        else:
            self.laid.start()

    def _flickered(self, on: bool) -> None:
        self.flicker.setText(say("years.stop_flicker" if on else "years.start_flicker"))
        app = QGuiApplication.instance()
        assert app is not None
        if on:
            app.installEventFilter(self)
        else:
            app.removeEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """End the flicker at any key, wherever the keyboard is; the key does nothing else."""
        if event.type() == QEvent.Type.KeyPress and self.laid.flickering:
            self.laid.stop()
            return True
        if event.type() == QEvent.Type.WindowDeactivate and watched is self:
            self.laid.stop()
        return super().eventFilter(watched, event)

    def done(self, result: int) -> None:
        """End what moves before the sheet goes."""
        self.laid.stop()
        super().done(result)

    # Marks

    def _turn_marks(self) -> None:
        if self.laid.marking:
            self.laid.end_marks()
        else:
            self.laid.ask_marks()

    def _asked(self, which: int) -> None:
        if which < 0:
            self._tell()
            return
        code = "years.mark_now" if which % 2 else "years.mark"
        self.told.setText(say(code, n=which // 2 + 1))

    def _marked(self, then: Marks, now: Marks) -> None:
        sizes = self.laid.sizes()
        if not (far_enough(then, sizes[0]) and far_enough(now, sizes[1])):
            self.told.setText(say("years.too_near"))
            return
        self._keep({self.then.photo_id: then, self.now.photo_id: now})

    def _take_apart(self) -> None:
        self._keep({self.then.photo_id: (), self.now.photo_id: ()})

    def _keep(self, marks: dict[str, Sequence[tuple[float, float]]]) -> None:
        self._page.edit(align, marks, done=self._kept, quietly=True)

    def _kept(self, _none: object) -> None:
        if shiboken6.isValid(self):
            self._show()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Take the keys of the ways and of the earlier photograph."""
        key = event.key()
        if key == Qt.Key.Key_PageUp:
            self.step(-1)
        elif key == Qt.Key.Key_PageDown:
            self.step(1)
        elif not (event.text() and self.hows.press(event.text())):
            super().keyPressEvent(event)


def show_years(page: Page, what: str, photos: Sequence[PhotoSeen], first: str = "") -> YearsSheet:
    """Show a place over the years; there must be photographs of two visits."""
    sheet = YearsSheet(page, what, photos, first)
    sheet.open()
    sheet.laid.setFocus(Qt.FocusReason.OtherFocusReason)
    return sheet


def _day(photo: PhotoSeen) -> str:
    return partial_date(photo.when) if photo.when else say("photo.no_time")


def _line(photo: PhotoSeen) -> str:
    caption = photo.caption or say("hull_page.no_caption")
    if photo.state is None:
        return say("years.line_plain", when=_day(photo), caption=caption)
    return say("years.line", when=_day(photo), state=say(f"state.{photo.state}"), caption=caption)

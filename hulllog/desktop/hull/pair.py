"""Two photographs of the same thing beside each other: then and now."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import QPoint, QRect, QRectF, QSize, Qt
from PySide6.QtGui import QImage, QPainter, QPainterPath, QPaintEvent, QPen, QPixmap, QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QToolButton, QWidget

from hulllog.desktop.buttons import Drawn, icon_button
from hulllog.desktop.labels import elided
from hulllog.desktop.layout import clear, column, line
from hulllog.desktop.sheets import Sheet
from hulllog.desktop.theme import SMALL, step, theme
from hulllog.records.media import SMALL as SMALL_COPY
from hulllog.records.media import thumbnail
from hulllog.records.model import Photo
from hulllog.words import say
from hulllog.words.formats import partial_date

if TYPE_CHECKING:
    from hulllog.desktop.state import State
    from hulllog.insight.placed import PhotoSeen
    from hulllog.records.logbook import Logbook

_LARGE = 1600
_ARROW = 28
RATIO = 4 / 3
"""Width to height of a photograph in a pair; what is longer is cut at its ends."""


class PhotoTile(Drawn):
    """One photograph with its day below, and a word at the end of that line.

    The picture is read in the background; one that is not in this copy says so in its place.
    """

    def __init__(self, state: State, photo: PhotoSeen, word: str = "", *, height: int = 0) -> None:
        self._when = partial_date(photo.when) if photo.when else say("photo.no_time")
        self._word = word
        self._height = height
        caption = photo.caption or say("hull_page.no_caption")
        super().__init__(say("hull_page.photo", when=self._when, caption=caption))
        self.photo = photo
        self._image: QPixmap | None = None
        self._absent = False
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        policy.setHeightForWidth(not height)
        self.setSizePolicy(policy)
        self.setProperty("row", False)
        self.setMinimumHeight(0)
        logbook = state.logbook
        state.tasks.run(lambda _progress: load(logbook, photo.photo_id), self._loaded, owner=self)

    @property
    def loaded(self) -> bool:
        """Whether the picture is there."""
        return self._image is not None

    def hasHeightForWidth(self) -> bool:
        """Say that the height follows from the width, unless it is given."""
        return not self._height

    def heightForWidth(self, width: int) -> int:
        """Return the height of the picture and of the line below."""
        return round(width / RATIO) + _below()

    def sizeHint(self) -> QSize:
        """Ask for half of a side sheet, or for the height that was given."""
        if self._height:
            return QSize(round((self._height - _below()) * RATIO), self._height)
        return QSize(160, self.heightForWidth(160))

    def minimumSizeHint(self) -> QSize:
        """Be content with a thumbnail."""
        return QSize(72, self._height or self.heightForWidth(72))

    def _loaded(self, image: QImage | None) -> None:
        if image is None:
            self._absent = True
            self.setAccessibleDescription(say("photo.awaited"))
        else:
            self._image = QPixmap.fromImage(image)
        self.update()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw the picture with rounded corners and the line below."""
        painter = QPainter(self)
        painter.setRenderHints(
            QPainter.RenderHint.Antialiasing | QPainter.RenderHint.SmoothPixmapTransform
        )
        area = self.rect().adjusted(1, 1, -1, -_below())
        outline = QPainterPath()
        outline.addRoundedRect(QRectF(area), 4, 4)
        painter.fillPath(outline, theme().colour("card"))
        if self._image is not None:
            painter.save()
            painter.setClipPath(outline)
            painter.drawPixmap(area, self._image, _covering(self._image.size(), area.size()))
            painter.restore()
        elif self._absent:
            painter.setPen(theme().colour("ink"))
            painter.setFont(theme().font(SMALL))
            flags = int(Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextWordWrap)
            painter.drawText(area.adjusted(8, 8, -8, -8), flags, say("photo.awaited"))
        self._edge(painter, outline, area)
        self._caption(painter)
        painter.end()

    def _edge(self, painter: QPainter, outline: QPainterPath, area: QRect) -> None:
        """Draw the edge where the keyboard or pointer is, and the mark of a chosen one."""
        width = 3 if self.isChecked() else 2 if self.hasFocus() else 1 if self._hovered else 0
        painter.setBrush(Qt.BrushStyle.NoBrush)
        if width:
            painter.setPen(QPen(theme().colour("action"), width))
            painter.drawPath(outline)
        if self.isChecked():
            mark = QRect(area.right() - 26, area.top() + 4, 22, 22)
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(theme().colour("action"))
            painter.drawRoundedRect(mark, 4, 4)
            theme().icon("check", "on_action").paint(painter, mark.adjusted(2, 2, -2, -2))

    def _caption(self, painter: QPainter) -> None:
        painter.setFont(theme().font(SMALL))
        painter.setPen(theme().colour("muted"))
        area = QRect(0, self.height() - _below(), self.width(), _below())
        metrics = painter.fontMetrics()
        right = int(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        painter.drawText(area, right, self._word)
        area.setRight(area.right() - metrics.horizontalAdvance(self._word) - step(1))
        text = elided(self._when, metrics, area)
        painter.drawText(area, int(Qt.AlignmentFlag.AlignVCenter), text)


def _below() -> int:
    return theme().size(SMALL) + step(2.5)


def _covering(size: QSize, room: QSize) -> QRect:
    """Return the middle part of a picture that has the shape of the room."""
    wanted = room.width() / max(room.height(), 1)
    width, height = size.width(), size.height()
    if width / max(height, 1) > wanted:
        cut = round(height * wanted)
        return QRect(QPoint((width - cut) // 2, 0), QSize(cut, height))
    cut = round(width / wanted)
    return QRect(QPoint(0, (height - cut) // 2), QSize(width, cut))


def load(logbook: Logbook, photo_id: str, size: int = SMALL_COPY) -> QImage | None:
    """Read the small copy of a photograph; None where it is not in this logbook's folder."""
    with logbook.read() as book:
        photo = book.get(Photo, photo_id)
    data = thumbnail(logbook, photo, size) if photo is not None else None
    image = QImage.fromData(data) if data else QImage()
    return None if image.isNull() else image


class PhotoPair(QWidget):
    """The newest photograph of something beside an earlier one; the earlier can be stepped.

    ``words`` says a word for a visit, such as "wet"; ``on`` gets the photograph that was pressed.
    """

    def __init__(
        self,
        state: State,
        photos: Sequence[PhotoSeen],
        words: Mapping[str, str],
        on: Callable[[PhotoSeen], object],
        *,
        first: str = "",
        height: int = 0,
    ) -> None:
        super().__init__()
        self._state, self._words, self._on, self._height = state, words, on, height
        self._visits = last_of_each_visit(photos)
        self._at = _place_of(self._visits, first)
        self._then = column(space=0)
        row = line(space=2)
        if len(self._visits) > 1:
            row.addLayout(self._then, 1)
        self._now = self._tile(self._visits[-1])
        row.addWidget(self._now, 1)
        if len(self._visits) == 1 and not height:
            row.addStretch(1)
        self.setLayout(row)
        self._earlier = _arrow(self, "earlier", say("hull_page.photo_earlier"), self._back)
        self._later = _arrow(self, "door", say("hull_page.photo_later"), self._on_again)
        self._stepping = len(self._visits) > 2 and not height
        self._show()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep the arrows at the sides of the earlier picture."""
        super().resizeEvent(event)
        self._place_arrows()

    def _place_arrows(self) -> None:
        left = (self.width() - step(2)) // 2
        middle = round(left / RATIO / 2) - _ARROW // 2
        self._earlier.setGeometry(step(1), middle, _ARROW, _ARROW)
        self._later.setGeometry(left - _ARROW - step(1), middle, _ARROW, _ARROW)
        for arrow in (self._earlier, self._later):
            arrow.setVisible(self._stepping and arrow.isEnabled())
            arrow.raise_()

    def _tile(self, photo: PhotoSeen) -> PhotoTile:
        word = self._words.get(photo.visit_id or "", "")
        made = PhotoTile(self._state, photo, word, height=self._height)
        made.clicked.connect(lambda _checked: self._on(photo))
        return made

    def _show(self) -> None:
        if len(self._visits) < 2:
            return
        clear(self._then)
        then = self._tile(self._visits[self._at])
        self._then.addWidget(then)
        for one, other in itertools.pairwise((then, self._earlier, self._later, self._now)):
            QWidget.setTabOrder(one, other)
        self._earlier.setEnabled(self._at > 0)
        self._later.setEnabled(self._at < len(self._visits) - 2)
        self._place_arrows()

    def _back(self) -> None:
        self._at -= 1
        self._show()

    def _on_again(self) -> None:
        self._at += 1
        self._show()


def _arrow(pair: PhotoPair, icon: str, text: str, on: Callable[[], object]) -> QToolButton:
    made = icon_button(icon, text, on)
    made.setProperty("flat", False)
    made.setProperty("row", False)
    made.setMinimumHeight(0)
    made.setParent(pair)
    return made


def last_of_each_visit(photos: Sequence[PhotoSeen]) -> list[PhotoSeen]:
    """Return the last photograph of every visit, the oldest visit first."""
    found: dict[str, PhotoSeen] = {}
    for photo in photos:
        found[photo.visit_id or photo.photo_id] = photo
    return list(found.values())


def _place_of(visits: Sequence[PhotoSeen], first: str) -> int:
    """Return where the earlier photograph begins: at a visit, else just before the newest."""
    wanted = [at for at, photo in enumerate(visits[:-1]) if photo.visit_id == first]
    return wanted[0] if wanted else max(len(visits) - 2, 0)


class Large(QWidget):
    """A photograph as large as the room allows."""

    def __init__(self, state: State, photo: PhotoSeen) -> None:
        super().__init__()
        self.setAccessibleName(photo.caption or say("hull_page.no_caption"))
        self.setMinimumSize(640, 440)
        self._image = QPixmap()
        self._told = ""
        logbook = state.logbook
        state.tasks.run(
            lambda _progress: load(logbook, photo.photo_id, _LARGE), self._loaded, owner=self
        )

    def _loaded(self, image: QImage | None) -> None:
        if image is None:
            self._told = say("photo.awaited")
            self.setAccessibleDescription(self._told)
        else:
            self._image = QPixmap.fromImage(image)
        self.update()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw the picture, whole."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
        if self._image.isNull():
            painter.setPen(theme().colour("muted"))
            painter.drawText(self.rect(), Qt.AlignmentFlag.AlignCenter, self._told)
        else:
            size = self._image.size().scaled(self.size(), Qt.AspectRatioMode.KeepAspectRatio)
            area = QRect(QPoint(0, 0), size)
            area.moveCenter(self.rect().center())
            painter.drawPixmap(area, self._image)
        painter.end()


def show_photo(over: QWidget, state: State, photo: PhotoSeen) -> Sheet:
    """Show a photograph in a sheet of its own, with what is known of it."""
    when = partial_date(photo.when) if photo.when else say("photo.no_time")
    under = ", ".join([when, *([say(f"state.{photo.state}")] if photo.state else [])])
    sheet = Sheet(over, photo.caption or say("hull_page.untitled"), under=under, width=700)
    sheet.setObjectName("photo")
    sheet.add(Large(state, photo))
    sheet.open()
    return sheet

"""The page of a printed document: margins, head and foot, page x of y, bookmarks, the stamp."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any, BinaryIO

from hulllog.output.canvas import register_fonts  # first: else an unembedded base font stays

# isort: split
from reportlab import rl_config
from reportlab.lib.colors import HexColor
from reportlab.lib.pagesizes import A4, A5, LETTER, landscape
from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import BaseDocTemplate, Flowable, Frame, PageTemplate

from hulllog.drawing import font
from hulllog.drawing.palette import PAPER, Palette
from hulllog.words import say

register_fonts()
rl_config.useA85 = 0
rl_config.invariant = 1

SIZES = {"a4": A4, "a5": A5, "letter": LETTER, "a4_across": landscape(A4)}
MARGIN = 18 * mm
HEAD = 12 * mm
FOOT = 13 * mm


@dataclass(slots=True)
class PageTexts:
    """What stands on every page.  ``stamp`` lies large and pale across it, or is empty."""

    title: str
    author: str
    head_left: str
    head_right: str
    foot_left: str
    stamp: str = ""
    language: str = "en-GB"
    palette: Palette = PAPER
    pages: dict[str, int] = field(default_factory=dict)
    """Filled while building: key of a heading -> the page it stands on."""


class _CountingCanvas(Canvas):  # type: ignore[misc]
    """Keeps the pages until all are known, so that each can say "page x of y"."""

    texts: PageTexts

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self._kept: list[dict[str, Any]] = []

    def showPage(self) -> None:  # noqa: N802
        self._kept.append(dict(self.__dict__))
        self._startPage()

    def save(self) -> None:
        total = len(self._kept)
        for number, state in enumerate(self._kept, start=1):
            self.__dict__.update(state)
            self._around(number, total)
            super().showPage()
        super().save()

    def _around(self, number: int, total: int) -> None:
        width, height = self._pagesize
        texts = self.texts
        self.saveState()
        self.setFillColor(HexColor(texts.palette.colour("muted")))
        self.setFont(font.REGULAR, 8)
        if number > 1:
            # Beside the stamp in the middle there is room for so much.
            room = width / 2 - MARGIN - font.width(texts.stamp, 10, bold=True) / 2 - 3 * mm
            left, right = (
                font.fit(font.printable(text), room, 8)
                for text in (texts.head_left, texts.head_right)
            )
            self.drawString(MARGIN, height - HEAD, left)
            self.drawRightString(width - MARGIN, height - HEAD, right)
        self.drawString(MARGIN, FOOT - 3 * mm, font.printable(texts.foot_left))
        self.drawRightString(
            width - MARGIN, FOOT - 3 * mm, say("report.page", number=number, total=total)
        )
        if texts.stamp:
            self._stamp(texts.stamp, width, height)
        self.restoreState()

    def _stamp(self, stamp: str, width: float, height: float) -> None:
        """Put the stamp in the head and foot, where it covers no figure."""
        self.setFont(font.SEMIBOLD, 10)
        self.setFillColor(HexColor(self.texts.palette.colour("action")))
        self.drawCentredString(width / 2, height - HEAD, stamp)
        self.drawCentredString(width / 2, FOOT - 3 * mm, stamp)


class Document(BaseDocTemplate):  # type: ignore[misc]
    """One printed document in one frame a page."""

    def __init__(self, target: BinaryIO, texts: PageTexts, size: str = "a4") -> None:
        super().__init__(
            target,
            pagesize=SIZES[size],
            title=texts.title,
            author=texts.author,
            lang=texts.language,
            pageCompression=1,
        )
        self.texts = texts
        width, height = SIZES[size]
        frame = Frame(
            MARGIN,
            FOOT + 4 * mm,
            width - 2 * MARGIN,
            height - HEAD - FOOT - 9 * mm,
            leftPadding=0,
            rightPadding=0,
            topPadding=0,
            bottomPadding=0,
        )
        self.addPageTemplates([PageTemplate("page", [frame])])
        self.inner_width = width - 2 * MARGIN

    def write(self, story: list[Flowable]) -> None:
        """Write the file."""
        texts = self.texts

        class Counting(_CountingCanvas):
            pass

        Counting.texts = texts
        self.build(story, canvasmaker=Counting)


class Bookmark(Flowable):  # type: ignore[misc]
    """Marks a heading: an outline entry, a link target, and the page it fell on."""

    def __init__(self, key: str, title: str, level: int, pages: dict[str, int]) -> None:
        super().__init__()
        self.key, self.title, self.level, self.pages = key, title, level, pages

    def wrap(self, _width: float, _height: float) -> tuple[float, float]:
        """Take no room."""
        return 0, 0

    def draw(self) -> None:
        """Note the page and make the outline entry."""
        self.pages[self.key] = self.canv.getPageNumber()
        self.canv.bookmarkHorizontal(self.key, 0, 14)
        if self.title:
            self.canv.addOutlineEntry(self.title, self.key, self.level, closed=self.level > 0)

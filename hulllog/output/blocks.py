"""The parts a printed document is made of: headings, paragraphs, facts, tables, pictures.

All text is data: it is escaped, and what the font lacks is shown as a marked placeholder.
"""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import contextmanager
from contextvars import ContextVar
from typing import TYPE_CHECKING, TypeAlias
from xml.sax.saxutils import escape

from hulllog.output.paper import Bookmark  # registers the fonts before the style sheets load

# isort: split
from reportlab.lib.colors import HexColor
from reportlab.lib.enums import TA_LEFT
from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import mm
from reportlab.platypus import (
    CondPageBreak,
    Flowable,
    KeepTogether,
    PageBreak,
    Paragraph,
    Spacer,
    Table,
    TableStyle,
)

from hulllog.drawing import font
from hulllog.drawing.palette import PAPER, YARD
from hulllog.output.canvas import SceneFlowable
from hulllog.words.working import lowered

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from hulllog.drawing.scene import Scene

INK = HexColor(PAPER.colour("ink"))
MUTED = HexColor(PAPER.colour("muted"))
LINE = HexColor(PAPER.colour("line"))


def _style(
    name: str, size: float, leading: float, *, bold: bool = False, **more: object
) -> ParagraphStyle:
    return ParagraphStyle(
        name,
        fontName=font.SEMIBOLD if bold else font.REGULAR,
        fontSize=size,
        leading=leading,
        textColor=more.pop("colour", INK),
        alignment=TA_LEFT,
        splitLongWords=1,
        bulletFontName=font.REGULAR,
        **more,
    )


BODY = _style("body", 9.5, 13)
SMALL = _style("small", 8, 10.6)
SMALL_BOLD = _style("small-bold", 8, 10.6, bold=True)
TINY = _style("tiny", 7, 9)
QUIET = _style("quiet", 8, 10.6, colour=MUTED)
LONG_TITLE = _style("long-title", 14, 17, bold=True, spaceAfter=2)
TITLE = _style("title", 24, 30, bold=True)
SECTION = _style("section", 14, 18, bold=True, spaceBefore=10, spaceAfter=3)
SUBSECTION = _style("subsection", 10.5, 14, bold=True, spaceBefore=6, spaceAfter=2)
BULLET = _style("bullet", 9, 12, leftIndent=9, bulletIndent=0)
SMALL_BULLET = _style("small-bullet", 8, 10.2, leftIndent=9, bulletIndent=0)
DENSE_BULLET = _style("dense-bullet", 7.4, 9.2, leftIndent=9, bulletIndent=0)

BLACK = HexColor(YARD.colour("ink"))
BLACK_SMALL = _style("black-small", 8, 10.6, colour=BLACK)
BLACK_SECTION = _style(
    "black-section", 14, 18, bold=True, spaceBefore=10, spaceAfter=3, colour=BLACK
)
"""For sheets that go through a black-and-white printer: anything paler would be dots."""

SMALLEST = 7.0
"""The smallest print, in points; what is set low in a sum is no smaller."""

MM = mm
"""Points in a millimetre."""
SMALLEST = 7.0
"""No print is smaller, in points."""
TALLEST = 235 * mm
"""A row up to this height is kept whole; every page that is offered holds it."""

Cell: TypeAlias = "str | Flowable | list[Flowable]"


_SHORT: ContextVar[Mapping[str, str]] = ContextVar("_SHORT")


@contextmanager
def shortened(names: Mapping[str, str]) -> Iterator[None]:
    """Print names shorter in what is made meanwhile."""
    before = _SHORT.set(names)
    try:
        yield
    finally:
        _SHORT.reset(before)


def safe(text: str) -> str:
    """Make typed text fit for a paragraph: escaped, line ends kept, missing glyphs marked."""
    for name, short in _SHORT.get({}).items():
        text = text.replace(name, short)
    text = text.replace("\N{NARROW NO-BREAK SPACE}", "\N{NO-BREAK SPACE}")  # lines break at it
    lines = text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
    return "<br/>".join(escape(font.printable(line)) for line in lines)


def paragraph(text: str, style: ParagraphStyle = BODY) -> Paragraph:
    """Make a paragraph of plain text."""
    return Paragraph(safe(text), style)


def of_sum(text: str, style: ParagraphStyle = BODY) -> Paragraph:
    """Make a paragraph of a line of a working, what is set low in it drawn low and small."""
    size, depth = max(style.fontSize * 0.72, SMALLEST), style.fontSize * 0.2
    parts = [
        f'<sub size="{size:.1f}" rise="{depth:.1f}">{safe(part)}</sub>' if low else safe(part)
        for part, low in lowered(text)
    ]
    return Paragraph("".join(parts), style)


def heading(
    text: str,
    key: str,
    pages: dict[str, int],
    level: int = 0,
    style: ParagraphStyle | None = None,
) -> list[Flowable]:
    """Make a heading with its bookmark; it does not stand alone at the foot of a page."""
    style = style or (SECTION if level == 0 else SUBSECTION)
    return [
        CondPageBreak(30 * mm),
        Bookmark(key, font.printable(text), level, pages),
        paragraph(text, style),
    ]


def bullets(texts: Sequence[str], style: ParagraphStyle = BULLET) -> list[Flowable]:
    """Make a list with one bullet a text."""
    return [Paragraph(safe(text), style, bulletText="•") for text in texts]


def facts(
    rows: Sequence[tuple[str, str]], width: float, columns: int = 2, label: float | None = None
) -> Table:
    """Set label and value side by side, in one or two columns; ``label`` is the label's share."""
    cells = [[paragraph(label, QUIET), paragraph(value, SMALL)] for label, value in rows]
    height = -(-len(cells) // columns)
    lines = []
    for row in range(height):
        line: list[Cell] = []
        for column in range(columns):
            place = column * height + row
            line += cells[place] if place < len(cells) else ["", ""]
        lines.append(line)
    label = label or (0.30 if columns == 2 else 0.18)
    widths = [width / columns * share for _ in range(columns) for share in (label, 1 - label)]
    table = Table(lines, colWidths=widths)
    table.setStyle(
        TableStyle(
            [
                ("VALIGN", (0, 0), (-1, -1), "TOP"),
                ("LEFTPADDING", (0, 0), (-1, -1), 0),
                ("RIGHTPADDING", (0, 0), (-1, -1), 8),
                ("TOPPADDING", (0, 0), (-1, -1), 1.2),
                ("BOTTOMPADDING", (0, 0), (-1, -1), 1.2),
                ("FONTNAME", (0, 0), (-1, -1), font.REGULAR),
            ]
        )
    )
    return table


class _Grid(Table):  # type: ignore[misc]
    """A table that breaks between rows; within a row only where a whole page cannot hold it."""

    def split(self, width: float, height: float) -> list[Flowable]:
        """Return what fits and the rest; nothing where a new page holds the first row whole."""
        self._calc(width, height)
        if height < sum(self._rowHeights[:2]) <= TALLEST:
            return []
        return list(super().split(width, height))


def grid(
    header: Sequence[str],
    rows: Sequence[Sequence[Cell]],
    width: float,
    shares: Sequence[float],
    style: ParagraphStyle = SMALL,
) -> Table:
    """Make a ruled table whose head is repeated on every page; none for an empty one."""
    head: list[Cell] = [paragraph(text, SMALL_BOLD) for text in header]
    body = [
        [paragraph(cell, style) if isinstance(cell, str) else cell for cell in row] for row in rows
    ]
    whole = sum(shares)
    table = _Grid(
        [head, *body] if head else body,
        colWidths=[width * share / whole for share in shares],
        repeatRows=1 if head else 0,
        splitInRow=1,
    )
    table.setStyle(
        TableStyle(
            [
                ("VALIGN", (0, 0), (-1, -1), "TOP"),
                ("LINEBELOW", (0, 0), (-1, 0), 0.8 if head else 0.3, INK if head else LINE),
                ("LINEBELOW", (0, 1), (-1, -1), 0.3, LINE),
                ("LEFTPADDING", (0, 0), (-1, -1), 0),
                ("RIGHTPADDING", (0, 0), (-1, -1), 5),
                ("TOPPADDING", (0, 0), (-1, -1), 2),
                ("BOTTOMPADDING", (0, 0), (-1, -1), 2),
                ("FONTNAME", (0, 0), (-1, -1), font.REGULAR),
            ]
        )
    )
    return table


def side_by_side(
    cells: Sequence[Flowable | list[Flowable]], width: float, *, apart: float = 4
) -> Table:
    """Set flowables in equal columns, ``apart`` points from one another."""
    table = Table([list(cells)], colWidths=[width / len(cells)] * len(cells))
    table.setStyle(
        TableStyle(
            [
                ("VALIGN", (0, 0), (-1, -1), "TOP"),
                ("LEFTPADDING", (0, 0), (-1, -1), 0),
                ("RIGHTPADDING", (0, 0), (-1, -1), apart),
                ("TOPPADDING", (0, 0), (-1, -1), 0),
                ("BOTTOMPADDING", (0, 0), (-1, -1), 0),
                ("FONTNAME", (0, 0), (-1, -1), font.REGULAR),
            ]
        )
    )
    return table


def picture(scene: Scene, width: float) -> SceneFlowable:
    """Make a scene ``width`` points wide."""
    return SceneFlowable(scene, width=width)


def gap(height: float = 4.0) -> Spacer:
    """Leave room, in mm."""
    return Spacer(1, height * mm)


def new_page() -> PageBreak:
    """Start a page."""
    return PageBreak()


def together(parts: Sequence[Flowable]) -> KeepTogether:
    """Keep parts on one page where they fit."""
    return KeepTogether(list(parts))


def room(height: float) -> CondPageBreak:
    """Start a page unless ``height`` mm are left."""
    return CondPageBreak(height * mm)

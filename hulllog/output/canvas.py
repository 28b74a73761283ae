"""Scenes on paper: the ReportLab painter and the flowable that carries it.

The family is registered here as the base font of the whole library, so this module is imported
before any that loads ReportLab's style sheets: else an unembedded base font stays in the file.
"""

from __future__ import annotations

import io
from typing import TYPE_CHECKING, Any

from reportlab.lib.colors import HexColor
from reportlab.lib.utils import ImageReader
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.platypus.flowables import Flowable

from hulllog.drawing import font
from hulllog.drawing.palette import PAPER
from hulllog.drawing.scene import Image, Text
from hulllog.drawing.shapes import bounds, share_before

if TYPE_CHECKING:
    from collections.abc import Callable

    from reportlab.pdfgen.canvas import Canvas

    from hulllog.drawing.palette import Palette
    from hulllog.drawing.scene import Item, Path, Scene, Style

POINTS = 72 / 25.4
"""Points in a millimetre."""


def register_fonts() -> None:
    """Make the shipped family known to ReportLab, and its base font; twice is harmless."""
    if font.REGULAR in pdfmetrics.getRegisteredFontNames():
        return
    for bold in (False, True):
        name = font.name_of(bold=bold)
        pdfmetrics.registerFont(TTFont(name, str(font.file_of(bold=bold))))
    pdfmetrics.registerFontFamily(
        font.FAMILY, normal=font.REGULAR, bold=font.SEMIBOLD, baseFontFor="all"
    )


register_fonts()


def draw(
    scene: Scene,
    canvas: Canvas,
    palette: Palette = PAPER,
    x: float = 0.0,
    y: float = 0.0,
    scale: float = 1.0,
) -> None:
    """Draw a scene with its lower left corner at (x, y) points, ``scale`` times its size."""
    canvas.saveState()
    canvas.translate(x, y + scene.height * POINTS * scale)
    canvas.scale(POINTS * scale, -POINTS * scale)
    for item in scene.items:
        if isinstance(item, Text):
            _text(item, canvas, palette)
        elif isinstance(item, Image):
            _image(item, canvas)
        else:
            _path(item, canvas, palette)
    canvas.restoreState()


def _image(image: Image, canvas: Canvas) -> None:
    canvas.saveState()
    canvas.translate(image.x, image.y + image.height)
    canvas.scale(1, -1)
    reader = ImageReader(io.BytesIO(image.data))
    canvas.drawImage(reader, 0, 0, image.width, image.height)
    canvas.restoreState()


def _path(path: Path, canvas: Canvas, palette: Palette) -> None:
    style = path.style
    if not path.ops or not (style.stroke or style.fill):
        return
    outline = canvas.beginPath()
    verbs: dict[str, Callable[..., Any]] = {
        "M": outline.moveTo,
        "L": outline.lineTo,
        "C": outline.curveTo,
        "Z": outline.close,
    }
    for op in path.ops:
        verbs[op[0]](*op[1:])
    canvas.saveState()
    _prepare(style, canvas, palette)
    canvas.drawPath(outline, stroke=int(bool(style.stroke)), fill=int(bool(style.fill)), fillMode=0)
    canvas.restoreState()


def _prepare(style: Style, canvas: Canvas, palette: Palette) -> None:
    if style.fill:
        canvas.setFillColor(HexColor(palette.colour(style.fill)))
    if style.stroke:
        canvas.setStrokeColor(HexColor(palette.colour(style.stroke)))
        canvas.setLineWidth(style.width)
        canvas.setLineCap(0 if style.dash else 1)
        canvas.setLineJoin(1)
        canvas.setDash(list(style.dash), 0)
    if style.opacity < 1:
        canvas.setFillAlpha(style.opacity)
        canvas.setStrokeAlpha(style.opacity)


def _text(text: Text, canvas: Canvas, palette: Palette) -> None:
    said = font.printable(text.text)
    width = font.width(said, text.size, bold=text.bold)
    canvas.saveState()
    canvas.translate(text.x - share_before(text) * width, text.y)
    canvas.scale(1, -1)
    canvas.setFillColor(HexColor(palette.colour(text.color)))
    canvas.setFont(font.name_of(bold=text.bold), text.size)
    canvas.drawString(0, 0, said)
    canvas.restoreState()


class SceneFlowable(Flowable):  # type: ignore[misc]
    """Carries a scene through a ReportLab story, shrunk to the frame where it is too wide.

    ``links`` gives for keys of the scene the destination that a click on that part leads to.
    """

    def __init__(
        self,
        scene: Scene,
        palette: Palette = PAPER,
        *,
        width: float | None = None,
        align: str = "LEFT",
        links: dict[str, str] | None = None,
    ) -> None:
        """Take the scene; ``width`` in points, its own size where None."""
        super().__init__()
        self.scene = scene
        self.palette = palette
        self.hAlign = align
        self.links = links or {}
        self._scale = 1.0 if width is None else width / (scene.width * POINTS)

    def wrap(self, availWidth: float, availHeight: float) -> tuple[float, float]:
        """Return the room needed in points, never wider than what there is."""
        self._scale = min(self._scale, availWidth / (self.scene.width * POINTS))
        self.width = self.scene.width * POINTS * self._scale
        self.height = self.scene.height * POINTS * self._scale
        return self.width, self.height

    def draw(self) -> None:
        """Draw the scene where ReportLab has put it, and lay its links over it."""
        draw(self.scene, self.canv, self.palette, scale=self._scale)
        for item in self.scene.items:
            if item.key in self.links:
                self.canv.linkRect("", self.links[item.key], self._box(item), relative=1)

    def _box(self, item: Item) -> tuple[float, float, float, float]:
        left, top, right, bottom = bounds(item)
        unit, height = POINTS * self._scale, self.scene.height
        return left * unit, (height - bottom) * unit, right * unit, (height - top) * unit

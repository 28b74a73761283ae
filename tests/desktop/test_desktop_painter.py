"""A scene in the window: same picture as on paper, and a key under the pointer."""

from __future__ import annotations

import io
import os
import shutil
import subprocess

import pytest

pytest.importorskip("PySide6", reason="the window needs PySide6")
os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PIL import Image, ImageChops, ImageStat
from PySide6.QtGui import QImage, QPainter
from PySide6.QtWidgets import QApplication
from reportlab.pdfgen.canvas import Canvas

from hulllog.desktop import painter
from hulllog.drawing import scene as parts
from hulllog.drawing.palette import LIGHT, PAPER
from hulllog.drawing.scene import Scene, Style, Text
from hulllog.drawing.shapes import circle, hatch, line, polygon, polyline, rect, ring, tick
from hulllog.output import canvas as paper

pytestmark = pytest.mark.window


def quarters():
    """Return a JPEG whose quarters are of four colours, so that no turn of it looks the same."""
    picture = Image.new("RGB", (160, 120), "#d0d8e0")
    for corner, colour in (((0, 0), "#803020"), ((80, 0), "#205080"), ((0, 60), "#207040")):
        picture.paste(colour, (*corner, corner[0] + 80, corner[1] + 60))
    out = io.BytesIO()
    picture.save(out, "JPEG", quality=95)
    return out.getvalue()


ZONE = polygon([(10, 10), (60, 15), (50, 40), (12, 35)], Style("edge", "condition.1"), "zone:a")
SCENE = Scene(
    100,
    60,
    (
        rect(1, 1, 98, 58, Style("line", "sheet"), radius=2),
        parts.Image(62, 42, 12, 9, quarters(), "quarters", "image:1"),
        ZONE,
        hatch(ZONE, 2, Style("hatch", width=0.2)),
        Text(20, 25, "6, to 3 mm, figure AVAVA", 3.2, bold=True, color="on_condition.1"),
        Text(95, 50, "first Øresund 14 Apr 2025", 2.9, "end", "muted"),
        Text(40, 52, "Днище ≥ 3", 5, "middle"),
        line(5, 56, 95, 56, Style("water_deep", width=0.4, dash=(2, 1))),
        circle(75, 40, 4, Style("action", "sheet", 0.5), "spot:4"),
        Text(75, 41.2, "4", 3.4, "middle", "action", bold=True, key="spot:4"),
        tick(80, 15, 4),
        ring(90, 40, 3, 1, Style(None, "action"), "ring:1"),
        rect(70, 5, 20, 10, Style(None, "water_deep", opacity=0.3)),
        polyline([(62, 20), (66, 22), (70, 18)], Style(width=0.3), "line:1"),
    ),
)


@pytest.fixture(scope="module", autouse=True)
def app():
    return QApplication.instance() or QApplication([])


def drawn(scene, palette=LIGHT, scale=4.0):
    image = QImage(
        round(scene.width * scale), round(scene.height * scale), QImage.Format.Format_RGB32
    )
    image.fill(0xFFFFFFFF)
    brush = QPainter(image)
    painter.paint(scene, brush, palette, scale)
    brush.end()
    return image


def as_pillow(image):
    data = image.convertToFormat(QImage.Format.Format_RGB888)
    size = (data.width(), data.height())
    return Image.frombuffer("RGB", size, bytes(data.constBits()), "raw", "RGB", data.bytesPerLine())


@pytest.mark.parametrize(
    ("at", "key"),
    [
        ((75, 40), "spot:4"),
        ((20, 20), "zone:a"),
        ((35, 30), "zone:a"),
        ((5, 5), ""),
        ((90, 40), ""),
        ((92.5, 40), "ring:1"),
        ((66, 22), "line:1"),
        ((66, 20), ""),
        ((63, 50), "image:1"),
    ],
)
def test_what_lies_under_the_pointer(at, key):
    assert painter.hit(SCENE, *at) == key


def test_slack_finds_what_is_near_and_the_exact_hit_comes_first():
    assert painter.hit(SCENE, 75, 45) == ""
    assert painter.hit(SCENE, 75, 45, slack=1.2) == "spot:4"
    near = Scene(20, 20, (rect(0, 0, 10, 10, key="under"), circle(11, 5, 0.5, key="over")))
    assert painter.hit(near, 9.5, 5, slack=2) == "under"


def test_an_unseen_closed_outline_is_hit():
    scene = Scene(20, 20, (rect(0, 0, 10, 10, Style(None), "visit:1:left"),))
    assert painter.hit(scene, 5, 5) == "visit:1:left"


def test_a_text_takes_the_same_room_with_whatever_font_draws_it():
    scene = Scene(60, 10, (Text(30, 7, "漢 ✈ emoji 🚤", 4, "middle"),))
    box = ImageChops.invert(as_pillow(drawn(scene)).convert("L")).getbbox()
    assert box is not None
    assert box[0] >= 0
    assert box[2] <= 240


def test_dashes_are_as_long_as_on_paper():
    dashed = line(0, 5, 60, 5, Style("ink", width=1, dash=(6, 4)))
    row = as_pillow(drawn(Scene(60, 10, (dashed,)), scale=10)).convert("L")
    inked = [row.getpixel((x, 50)) < 128 for x in range(600)]
    assert sum(inked) / len(inked) == pytest.approx(0.6, abs=0.02)
    assert all(inked[5:55])
    assert not any(inked[65:95])


def test_a_picture_can_be_painted_at_another_scale():
    picture = painter.Picture(SCENE)
    images = []
    for scale in (2.0, 5.0):
        image = drawn(Scene(SCENE.width, SCENE.height), scale=scale)
        brush = QPainter(image)
        picture.paint(brush, LIGHT, scale)
        brush.end()
        images.append(image)
    assert images[0] == drawn(SCENE, scale=2.0)
    assert images[1] == drawn(SCENE, scale=5.0)


def test_a_photograph_is_painted_the_right_way_up():
    seen = as_pillow(drawn(SCENE, scale=6.0))
    found = [seen.getpixel((round(6 * x), round(6 * y))) for x, y in ((65, 44), (71, 44), (65, 49))]
    wanted = [(0x80, 0x30, 0x20), (0x20, 0x50, 0x80), (0x20, 0x70, 0x40)]
    for one, other in zip(found, wanted, strict=True):
        assert max(abs(a - b) for a, b in zip(one, other, strict=True)) < 12


def test_the_painter_is_left_as_it_was():
    image = QImage(10, 10, QImage.Format.Format_RGB32)
    brush = QPainter(image)
    before = brush.transform()
    painter.paint(SCENE, brush, LIGHT, 2)
    assert brush.transform() == before
    brush.end()


@pytest.mark.skipif(not shutil.which("pdftoppm"), reason="pdftoppm (poppler-utils) is not here")
def test_window_and_paper_show_the_same_picture(tmp_path):
    out = io.BytesIO()
    canvas = Canvas(out, pagesize=(SCENE.width * paper.POINTS, SCENE.height * paper.POINTS))
    paper.draw(SCENE, canvas)
    canvas.save()
    pdf = tmp_path / "scene.pdf"
    pdf.write_bytes(out.getvalue())
    command = ["pdftoppm", "-r", "152.4", "-png", "-singlefile", str(pdf), str(tmp_path / "page")]
    subprocess.run(command, check=True)
    on_paper = Image.open(tmp_path / "page.png").convert("RGB")
    in_window = as_pillow(drawn(SCENE, PAPER, 6))
    both = (min(on_paper.width, in_window.width), min(on_paper.height, in_window.height))
    apart = ImageChops.difference(on_paper.crop((0, 0, *both)), in_window.crop((0, 0, *both)))
    assert sum(ImageStat.Stat(apart).mean) / 3 < 1.5
    histogram = apart.convert("L").histogram()
    assert sum(histogram[64:]) / sum(histogram) < 0.005

"""A scene on paper: vectors, embedded fonts, text that can be read back."""

from __future__ import annotations

import io
import re

import pytest
from pypdf import PdfReader
from reportlab import rl_config
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import SimpleDocTemplate

from hulllog.drawing import font
from hulllog.drawing.palette import LIGHT, PAPER
from hulllog.drawing.scene import Path, Scene, Style, Text
from hulllog.drawing.shapes import circle, line, rect
from hulllog.output import blocks
from hulllog.output import canvas as paper


def made(scene, palette=PAPER, **place):
    out = io.BytesIO()
    canvas = Canvas(out, pagesize=(200, 200), pageCompression=0)
    paper.draw(scene, canvas, palette, **place)
    canvas.save()
    return out.getvalue()


def content(scene, palette=PAPER, **place):
    page = PdfReader(io.BytesIO(made(scene, palette, **place))).pages[0]
    return page.get_contents().get_data().decode("latin-1")


def test_only_the_shipped_family_is_in_the_file():
    reader = PdfReader(
        io.BytesIO(made(Scene(40, 20, (Text(1, 5, "a"), Text(1, 9, "b", bold=True)))))
    )
    fonts = [font_.get_object() for font_ in reader.pages[0]["/Resources"]["/Font"].values()]
    assert {f["/BaseFont"].split("+")[1] for f in fonts} == {"IBMPlexSans", "IBMPlexSans-SmBld"}
    assert all("/FontFile2" in f["/FontDescriptor"].get_object() for f in fonts)


def test_text_can_be_read_back_and_what_is_missing_is_marked():
    scene = Scene(60, 20, (Text(1, 5, "Größe 3\u202fmm"), Text(1, 15, "Boat 🚤")))
    read = PdfReader(io.BytesIO(made(scene))).pages[0].extract_text()
    assert "Größe 3\u202fmm" in read
    assert "Boat ‹U+1F6A4›" in read


def test_a_dash_is_written_in_mm():
    text = content(Scene(40, 20, (line(0, 0, 9, 0, Style(width=0.4, dash=(2, 1))),)))
    assert "[2 1] 0 d" in text
    assert ".4 w" in text


def test_a_hole_stays_open():
    ring = Path((*circle(9, 9, 5).ops, *circle(9, 9, 3).ops), Style(None, "ink"))
    assert "f*" in content(Scene(40, 20, (ring,))).split()


def test_colours_come_from_the_palette():
    scene = Scene(40, 20, (rect(0, 0, 9, 9, Style(None, "condition.4")),))
    red, green, blue = (int(PAPER.colour("condition.4")[i : i + 2], 16) / 255 for i in (1, 3, 5))
    found = content(scene)
    numbers = [float(n) for n in found.split(" rg")[0].split()[-3:]]
    assert numbers == pytest.approx([red, green, blue], abs=1e-3)
    assert content(scene, LIGHT) == found
    assert content(Scene(9, 9, (rect(0, 0, 9, 9, Style(None, "paper")),)), LIGHT) != content(
        Scene(9, 9, (rect(0, 0, 9, 9, Style(None, "paper")),))
    )


def test_an_unseen_path_leaves_no_mark():
    empty = content(Scene(40, 20))
    assert content(Scene(40, 20, (rect(0, 0, 9, 9, Style(None), "visit:1:left"),))) == empty


def story(*flowables):
    out = io.BytesIO()
    document = SimpleDocTemplate(out, pagesize=(300, 300), title="", author="")
    document.build(list(flowables))
    return PdfReader(io.BytesIO(out.getvalue()))


def test_a_flowable_shrinks_to_its_frame():
    flowable = paper.SceneFlowable(Scene(400, 100))
    assert flowable.wrap(200, 500) == pytest.approx((200, 50))
    small = paper.SceneFlowable(Scene(25.4, 25.4))
    assert small.wrap(500, 500) == pytest.approx((72, 72))
    set_wide = paper.SceneFlowable(Scene(25.4, 25.4), width=144)
    assert set_wide.wrap(500, 500) == pytest.approx((144, 144))


def test_keys_become_links():
    scene = Scene(20, 20, (rect(5, 5, 5, 5, Style(), "zone:a"), rect(1, 1, 2, 2, key="zone:b")))

    class Mark(paper.SceneFlowable):
        def draw(self):
            super().draw()
            self.canv.bookmarkHorizontal("a", 0, 0)

    (link,) = story(Mark(scene, links={"zone:a": "a"})).pages[0]["/Annots"]
    left, bottom, right, top = (float(n) for n in link.get_object()["/Rect"])
    assert right - left == pytest.approx(5 * paper.POINTS, abs=0.1)
    assert top - bottom == pytest.approx(5 * paper.POINTS, abs=0.1)


def test_our_family_is_the_base_font():
    assert rl_config.canvas_basefontname == font.REGULAR
    paper.register_fonts()
    assert rl_config.canvas_basefontname == font.REGULAR


def test_what_a_formula_sets_low_is_drawn_low_and_small():
    target = io.BytesIO()
    document = SimpleDocTemplate(target)
    document.build([blocks.of_sum("m_i + t_{n−1}", blocks.SMALL)])
    sizes = {}

    def keep(text, _cm, _matrix, _font, size):
        sizes[text.strip()] = size

    page = PdfReader(target).pages[0]
    page.extract_text(visitor_text=keep)
    assert sizes["i"] == sizes["n−1"] < sizes["m"] == sizes["+ t"]
    rises = re.findall(rb"(-?[\d.]+) Ts", page.get_contents().get_data())
    assert [float(rise) < 0 for rise in rises][:3] == [True, False, True]

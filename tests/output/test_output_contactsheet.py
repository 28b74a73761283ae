"""The sheet of ten boats: all views, every keel, and not a word on it."""

from __future__ import annotations

import importlib.util
from io import BytesIO
from pathlib import Path

import pytest
from pypdf import PdfReader

from hulllog.drawing.scene import Text
from hulllog.hull import particulars
from hulllog.hull.form import HullForm
from hulllog.hull.views import VIEWS

SCRIPT = Path(__file__).parents[2] / "resources" / "make_contact_sheet.py"


@pytest.fixture(scope="module")
def made():
    spec = importlib.util.spec_from_file_location("make_contact_sheet", SCRIPT)
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_the_fleet_has_every_kind_of_hull_and_keel(made):
    assert len(made.FLEET) == 10
    assert {p.kind for p in made.FLEET} == set(particulars.KINDS)
    assert {p.keel for p in made.FLEET} == set(particulars.KEELS)
    assert {p.rudder for p in made.FLEET} == set(particulars.RUDDERS)


def test_every_boat_is_drawn_in_every_view_at_one_scale_without_a_word(made):
    for boat in made.FLEET:
        form = HullForm.build(boat)
        drawn = [scene for row in made.rows(form) for scene in row]
        assert len(drawn) == len(VIEWS)
        assert not [item for scene in drawn for item in scene.items if isinstance(item, Text)]
        assert drawn[0].width == pytest.approx(drawn[2].width)
        assert sum(scene.height for scene in drawn[2:4]) < made.CELL[1]
        for row in made.rows(form):
            assert sum(scene.width for scene in row) < made.CELL[0]


def test_the_sheet_is_one_page_without_words(made):
    page = PdfReader(BytesIO(made.sheet(made.FLEET[:3]))).pages
    assert len(page) == 1
    assert not page[0].extract_text().strip()


def test_the_key_says_which_boat_is_which(made):
    lines = made.key(made.FLEET).splitlines()
    assert len(lines) == 10
    assert lines[0].startswith("1: hull yacht, keel twin, rudder skeg")

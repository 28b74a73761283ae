"""A boat that her owner draws himself: history and yard sheet show his own picture."""

from __future__ import annotations

import re
from datetime import date
from pathlib import Path

import pytest
from PIL import Image, ImageDraw
from pypdf import PdfReader

from hulllog.insight.ownviews import own_views
from hulllog.output import ownviews as printed
from hulllog.output.history import Options, write_history
from hulllog.output.pocketcard import write_card
from hulllog.output.yardsheet import write_sheet
from hulllog.records.logbook import Logbook
from hulllog.records.media import add_own_view
from hulllog.records.operations import (
    around,
    ownviews,
    queries,
    spots,
    vessel,
    visits,
    walking,
)
from hulllog.records.operations.measuring import Rated

FORE = ((0.08, 0.35), (0.48, 0.35), (0.48, 0.72), (0.16, 0.7))
AFT = ((0.52, 0.35), (0.92, 0.35), (0.88, 0.7), (0.52, 0.72))


def draw_boat(file: Path) -> Path:
    picture = Image.new("RGB", (1600, 700), "#f4f1e8")
    pen = ImageDraw.Draw(picture)
    pen.polygon([(110, 230), (1490, 230), (1420, 500), (260, 500)], outline="#333333", width=5)
    pen.line([(40, 330), (1560, 330)], fill="#4477aa", width=3)
    picture.save(file)
    return file


@pytest.fixture
def odd(tmp_path):
    """A boat without particulars: two zones drawn, one rated, one without a find."""
    with Logbook.create(tmp_path / "book") as logbook:
        ownviews.create_vessel_without_form(logbook, name="Odd Duck", kind="small", material="grp")
        file = draw_boat(tmp_path / "side.png")
        view = add_own_view(logbook, file, name="My drawing of her side", shows="port")
        ownviews.set_scale(logbook, view, [(0.07, 0.33), (0.93, 0.33)], "7.2 m")
        ownviews.draw_zone(logbook, view, FORE, name="Fore body")
        ownviews.draw_zone(logbook, view, AFT, name="After body")
        visit = visits.start_haul_out(logbook, begins="2025-04-02", way="trailer")
        visits.set_looked_for(logbook, visit, looked_for=["laminate-blisters"], methods=["close"])
        with logbook.read() as book:
            fore, aft = (zone.id for zone, _ in queries.zones_at(book))
        walking.nothing_found(
            logbook,
            walking.At(visit_id=visit, zone_id=aft, looked_for=["laminate-blisters"],
                       methods=["close"]),
        )  # fmt: skip
        rated = Rated(
            "laminate-blisters", {"count": "6", "largest_mm": "12 mm"}, {"wetness": "wet"}
        )
        walking.something_found(
            logbook,
            walking.At(visit_id=visit, zone_id=fore, looked_for=["laminate-blisters"],
                       methods=["close"]),
            walking.Found(ratings=[rated]),
        )  # fmt: skip
        yield logbook


def text_of(path):
    pages = [page.extract_text() for page in PdfReader(path).pages]
    return re.sub(r"\s+", " ", " ".join(pages).replace("\u2009", " "))


def images_of(path):
    return [[image.image.size for image in page.images] for page in PdfReader(path).pages]


def test_the_history_shows_the_zones_on_the_owners_picture(odd, tmp_path):
    done = write_history(odd, tmp_path / "history.pdf", Options(draft=True))
    assert done.archival
    assert "My drawing of her side" in text_of(done.path)
    assert any(len(page) >= 1 for page in images_of(done.path))
    with odd.read() as book:
        [view] = own_views(book)
    assert view.sha256 in text_of(done.path).replace(" ", "")


def test_the_yard_sheet_shows_the_numbers_on_the_owners_picture(odd, tmp_path):
    done = write_sheet(odd, tmp_path / "sheet.pdf", date(2025, 4, 1))
    assert done.archival
    text = text_of(done.path)
    assert "Fore body" in text
    assert "My drawing of her side" in text
    assert images_of(done.path)[0]


def test_what_is_marked_on_an_own_view_breaks_no_print(odd, tmp_path):
    with odd.read() as book:
        [view] = own_views(book)
    place = {"part": view.key, "face": "flat", "u": 0.5, "v": 0.1}
    spots.add_spot(odd, label="gouge", place=place)
    around.add_gear(odd, sort="transducer", name="Log impeller", place=place)
    assert write_history(odd, tmp_path / "history.pdf", Options(draft=True)).archival
    assert write_sheet(odd, tmp_path / "sheet.pdf", date(2025, 4, 1)).archival
    write_card(odd, tmp_path / "card.pdf")


def test_a_view_that_shows_only_what_the_form_shows_is_not_printed(tmp_path):
    with Logbook.create(tmp_path / "book") as logbook:
        vessel.create_vessel(
            logbook, name="Plain", kind="yacht", material="grp", keel="fin",
            length="10", beam="3", draught="1.6",
        )  # fmt: skip
        view = add_own_view(logbook, draw_boat(tmp_path / "side.png"), name="Side", shows="port")
        with logbook.read() as book:
            zone, _ = queries.zones_at(book)[0]
        ownviews.draw_zone(logbook, view, FORE, zone_id=zone.id)
        with logbook.read() as book:
            assert printed.wanted(own_views(book)) == []
        ownviews.draw_zone(logbook, view, AFT, name="Sponson")
        with logbook.read() as book:
            assert [one.view_id for one in printed.wanted(own_views(book))] == [view]
        place = {"part": f"own:{view}", "face": "flat", "u": 0.5, "v": 0.1}
        around.add_gear(logbook, sort="transducer", name="Log impeller", place=place)
        done = write_sheet(logbook, tmp_path / "sheet.pdf", date(2025, 4, 1))
        assert any(images_of(done.path))

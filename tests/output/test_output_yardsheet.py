"""The yard sheet, read from the file and measured where a pencil must find its place."""

from __future__ import annotations

import re
from datetime import date
from itertools import pairwise
from pathlib import Path

import pytest
from pypdf import PdfReader

from hulllog.drawing import font, sheetrows, sheetviews
from hulllog.drawing.cards import BLISTER_SIZES
from hulllog.drawing.palette import YARD, channels, contrast
from hulllog.drawing.scene import Path as Outline
from hulllog.drawing.scene import Text
from hulllog.drawing.shapes import bounds
from hulllog.insight.gear import MEASURED
from hulllog.insight.shape import built
from hulllog.insight.yardsheet import yard_sheet
from hulllog.output.yardsheet import write_sheet
from hulllog.records.errors import Refused
from hulllog.records.logbook import Logbook, Surroundings
from hulllog.records.operations import around, queries, vessel, visits

DAY = date(2026, 3, 1)
WIDTH = 174.0


@pytest.fixture
def sheet(logbook):
    with logbook.read() as book:
        return yard_sheet(book)


def text_of(path):
    pages = [page.extract_text() for page in PdfReader(path).pages]
    return re.sub(r"\s+", " ", " ".join(pages).replace("\u2009", " "))


def row_of(sheet, zone, stage):
    return next(r for r in sheet.rows if r.stage == stage and r.subject == zone)


def test_the_rows_are_numbered_without_a_gap_in_the_order_of_the_evidence(sheet):
    assert [row.number for row in sheet.rows] == list(range(1, len(sheet.rows) + 1))
    assert [stage.code for stage in sheet.stages] == [
        "lifted", "washed", "opened_up", "prepared", "coated", "ready", "relaunched",
    ]  # fmt: skip
    zones = [row for row in sheet.rows if row.sort == "zone" and row.stage == "washed"]
    assert [row.zone_number for row in zones] == list(range(1, len(sheet.zones) + 1))


def test_what_is_looked_for_follows_from_the_material_of_the_zone(sheet):
    bottom = row_of(sheet, "Bottom aft, port", "washed")
    keel = row_of(sheet, "Port keel, outboard", "washed")
    assert "laminate-blisters.count" in [box.name for box in bottom.boxes]
    assert "rust-spots.count" in [box.name for box in keel.boxes]
    assert "laminate-blisters.count" not in [box.name for box in keel.boxes]


def test_the_figures_of_last_time_stand_beside_their_boxes(sheet):
    boxes = {box.name: box for box in row_of(sheet, "Bottom aft, port", "washed").boxes}
    assert boxes["laminate-blisters.count"].last == 53
    assert boxes["laminate-blisters.largest_mm"].last == 11
    assert boxes["laminate-blisters.count"].since is None
    row = sheetrows.row_scene(row_of(sheet, "Bottom aft, port", "washed"), WIDTH)
    assert [t.text for t in row.items if isinstance(t, Text) and t.key == "last"] == ["53", "11"]


def test_a_figure_older_than_last_time_has_its_year(logbook):
    visit = visits.start_haul_out(logbook, begins="2025-09-01")
    visits.close(logbook, visit)
    with logbook.read() as book:
        later = yard_sheet(book)
    box = row_of(later, "Bottom aft, port", "washed").boxes[0]
    assert (box.last, box.since.text) == (53, "2025-04-10")
    row = sheetrows.row_scene(row_of(later, "Bottom aft, port", "washed"), WIDTH)
    assert "(2025)" in [t.text for t in row.items if isinstance(t, Text)]


GAUGES = ("moisture_meter", "film_gauge", "plate_gauge")


@pytest.fixture
def fitted(logbook):
    """The ketch with a fitting of each sort that is measured, and an instrument of each sort."""
    for sort in GAUGES:
        around.add_instrument(logbook, name=sort, sort=sort)
    for sort in MEASURED:
        around.add_gear(logbook, sort=sort, name=f"{sort} amidships, port")
    return logbook


def test_fittings_and_instruments_have_boxes_on_paper(fitted, tmp_path):
    with fitted.read() as book:
        sheet = yard_sheet(book)
    boxes = {row.subject.split()[0]: [b.name for b in row.boxes] for row in sheet.rows
             if row.sort == "gear"}  # fmt: skip
    assert boxes["seacock"] == ["result", "valve-action.action", "text"]
    assert boxes["bearing"] == ["result", "play.play", "method", "text"]
    assert boxes["keel_bolt"] == [
        "result", "bolt-diameter.diameter", "seen_how", "bolt-torque.torque", "turned", "text",
    ]  # fmt: skip
    assert boxes["stern_gland"] == ["result", "gland-drip.drops", "turning", "text"]
    taken = {(row.looked_for[0], row.stage) for row in sheet.rows if row.sort == "reading"}
    assert taken == {
        ("moisture", "prepared"), ("film-thickness", "opened_up"), ("film-thickness", "ready"),
        ("plate-thickness", "opened_up"),
    }  # fmt: skip
    assert {row.stage for row in sheet.rows if row.plan == "second_sweep"} == {"prepared"}
    paints = [[b.name for b in row.boxes[-3:]] for row in sheet.rows if row.sort == "paint"]
    assert paints == [["air", "hull", "humidity"]] * 3
    written = write_sheet(fitted, tmp_path / "sheet.pdf", DAY)
    first = PdfReader(written.path).pages[0].extract_text()
    assert "d drawn" in first, "what the letters stand for is beside the zones, on no page apart"


def test_every_box_is_eight_mm_high_and_none_lies_over_another(fitted):
    with fitted.read() as book:
        sheet = yard_sheet(book)
    for row in sheet.rows:
        scene = sheetrows.row_scene(row, WIDTH)
        boxes = [
            bounds(item)
            for item in scene.items
            if isinstance(item, Outline) and item.key.startswith("box:")
        ]
        assert len(boxes) == len(row.boxes)
        for left, top, right, bottom in boxes:
            assert bottom - top == pytest.approx(8.0, abs=0.001)
            assert 0 <= left < right <= WIDTH
        spans = sorted((left, right) for left, _, right, _ in boxes)
        assert all(a[1] < b[0] for a, b in pairwise(spans))
        about = [t for t in scene.items if isinstance(t, Text) and t.size == 3.2]
        assert all(t.x + font.width(t.text, t.size) < spans[0][0] for t in about), row.subject


def test_it_is_black_on_white_and_grey_stands_for_last_figures_alone():
    greys = {role for role, colour in YARD.roles.items() if colour not in ("#000000", "#ffffff")}
    assert greys == {"ghost"}
    red, green, blue = channels(YARD.colour("ghost"))
    assert red == green == blue
    assert contrast(YARD.colour("ghost"), "#ffffff") >= 3


def test_grey_is_used_for_nothing_else(logbook, sheet):
    with logbook.read() as book:
        form = built(queries.form_version(book).particulars)
    scenes = [sheetviews.side(sheet, form, view, WIDTH, 70) for view in ("port", "starboard")]
    scenes += [sheetrows.row_scene(row, WIDTH) for row in sheet.rows]
    scenes += [sheetrows.size_cards(WIDTH), sheetrows.share_cards(WIDTH)]
    for scene in scenes:
        for item in scene.items:
            if isinstance(item, Text):
                assert (item.color == "ghost") == (item.key == "last")
            else:
                assert "ghost" not in (item.style.stroke, item.style.fill)


def test_shots_that_cannot_be_had_later_come_first(sheet):
    shots = next(stage for stage in sheet.stages if stage.code == "lifted").shots
    assert [shot.only_now for shot in shots] == sorted(
        (shot.only_now for shot in shots), reverse=True
    )
    assert sum(shot.only_now for stage in sheet.stages for shot in stage.shots) == 6


def test_slings_of_last_time_and_what_they_must_clear_are_on_both_sides(logbook):
    visit = visits.start_haul_out(logbook, begins="2025-09-01")
    place = {"part": "hull", "face": "port", "u": 0.3, "v": 0.2}
    visits.add_pad(logbook, visit, sort="sling", place=place)
    visits.close(logbook, visit)
    around.add_gear(logbook, sort="transducer", name="Log", place={**place, "u": 0.42})
    with logbook.read() as book:
        sheet = yard_sheet(book)
        form = built(queries.form_version(book).particulars)
    for view in ("port", "starboard"):
        scene = sheetviews.side(sheet, form, view, WIDTH, 70)
        said = [item.text for item in scene.items if isinstance(item, Text)]
        assert "sling last time" in said
        assert "shaft, propeller: keep clear" in said
        assert "Log" in said
        sling = next(i for i in scene.items if i.key == "sling")
        clear = [bounds(i) for i in scene.items if i.key == "clear"]
        at = (bounds(sling)[0] + bounds(sling)[2]) / 2
        assert not any(left < at < right for left, _, right, _ in clear)


def test_the_cards_are_at_their_true_size(tmp_path):
    scene = sheetrows.size_cards(WIDTH)
    widths = [b[2] - b[0] for i in scene.items if isinstance(i, Outline)
              and i.style.fill == "card_mark" for b in [bounds(i)]]  # fmt: skip
    for size in BLISTER_SIZES:
        assert any(width == pytest.approx(size, abs=0.05) for width in widths), (size, widths)
    rule = [bounds(i) for i in scene.items if i.key == "rule"]
    long = max(b[2] - b[0] for b in rule)
    assert long == pytest.approx(100, abs=0.5)


def test_the_file_holds_zones_rows_and_cautions_beside_their_steps(logbook, sheet, tmp_path):
    written = write_sheet(logbook, tmp_path / "sheet.pdf", DAY)
    assert written.archival
    assert written.rows == len(sheet.rows)
    text = text_of(written.path)
    for zone in sheet.zones:
        assert f"{zone.number} {zone.name}" in text
    assert "ONLY NOW: both sides" in text
    for before, after in (
        ("1. Before the wash", "Nobody goes below her while she hangs"),
        ("Nobody goes below her while she hangs", "2. Washed and wet"),
        ("4. Old paint off", "never sand it dry"),
        ("7. Relaunch", "Nobody below her; the slings stay"),
    ):
        assert 0 <= text.index(before) < text.index(after)


def test_its_bytes_follow_from_the_records_and_the_date(logbook, tmp_path):
    one = write_sheet(logbook, tmp_path / "one.pdf", DAY).path.read_bytes()
    assert write_sheet(logbook, tmp_path / "two.pdf", DAY).path.read_bytes() == one
    assert write_sheet(logbook, tmp_path / "3.pdf", date(2026, 3, 2)).path.read_bytes() != one
    around.note_for_next_time(logbook, text="Look at the skeg")
    again = write_sheet(logbook, tmp_path / "4.pdf", DAY).path.read_bytes()
    assert again == one, "a note is no part of the sheet"
    visits.start_haul_out(logbook, begins="2026-01-10", yard="High Yard")
    assert write_sheet(logbook, tmp_path / "5.pdf", DAY).path.read_bytes() != one


def test_all_that_is_printed_is_black_or_the_one_grey(logbook, tmp_path):
    written = write_sheet(logbook, tmp_path / "sheet.pdf", DAY)
    colours = set()
    for page in PdfReader(written.path).pages:
        data = page.get_contents().get_data().decode("latin-1")
        colours |= set(re.findall(r"([\d.]+ [\d.]+ [\d.]+) (?:rg|RG)\b", data))
    grey = " ".join([f"{channels(YARD.colour('ghost'))[0] / 255:.6f}"[1:]] * 3)
    assert colours <= {"0 0 0", "1 1 1", grey}
    assert grey in colours


def test_it_holds_no_picture_but_lines(logbook, tmp_path):
    written = write_sheet(logbook, tmp_path / "sheet.pdf", DAY)
    assert [image for page in PdfReader(written.path).pages for image in page.images] == []


@pytest.mark.parametrize("material", ["grp", "steel", "aluminium", "wood", "ferrocement"])
@pytest.mark.parametrize("keel", ["fin", "long", "none"])
def test_every_boat_has_a_sheet(tmp_path, material, keel):
    with Logbook.create(tmp_path / "b", Surroundings(state_folder=tmp_path / "s")) as book:
        vessel.create_vessel(
            book, name="New", kind="motor", material=material, keel=keel,
            length="11 m", beam="3.6 m", draught="1.2 m",
        )  # fmt: skip
        written = write_sheet(book, tmp_path / "sheet.pdf", DAY)
    assert written.archival
    assert written.rows > 40


def test_without_a_boat_there_is_no_sheet(tmp_path):
    with (
        Logbook.create(tmp_path / "b", Surroundings(state_folder=tmp_path / "s")) as book,
        pytest.raises(Refused, match="no_vessel"),
    ):
        write_sheet(book, Path(tmp_path / "sheet.pdf"), DAY)

"""Own views: a picture taken in as a view, its scale, zones drawn on it by hand, all undone."""

from __future__ import annotations

import io
from pathlib import Path

import pytest
from PIL import Image

from hulllog.insight.shape import form_of
from hulllog.records.backup import backup
from hulllog.records.base import Base
from hulllog.records.check import check
from hulllog.records.errors import Refused
from hulllog.records.journal import JOURNAL_TABLES, each_image
from hulllog.records.logbook import Logbook, Surroundings
from hulllog.records.media import OWN_VIEW, add_own_view, import_photos, media_path, thumbnail
from hulllog.records.model import OwnOutline, OwnView, Vessel, Zone
from hulllog.records.operations import ownviews, queries, vessel, walking
from hulllog.words.errors import sentence

SQUARE = [(0.1, 0.2), (0.5, 0.2), (0.5, 0.6), (0.1, 0.6)]
BOW_TIE = [(0.1, 0.2), (0.5, 0.6), (0.5, 0.2), (0.1, 0.6)]


def picture(folder: Path, kind: str = "PNG", size=(800, 400), exif=None) -> Path:
    file = folder / f"side.{kind.lower()}"
    Image.new("RGB", size, "#c8d4dc").save(file, kind, **({"exif": exif} if exif else {}))
    return file


@pytest.fixture
def view(boat, tmp_path):
    return add_own_view(boat.logbook, picture(tmp_path), name="Side", shows="port")


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "TIFF", "WEBP"])
def test_a_picture_comes_in_unaltered(boat, tmp_path, kind):
    file = picture(tmp_path, kind)
    key = add_own_view(boat.logbook, file, name="Drawing of 1974", shows="starboard")
    kept = boat.get(OwnView, key)
    path = media_path(boat.logbook.folder, kept)
    assert path is not None
    assert path.read_bytes() == file.read_bytes()
    assert (kept.width, kept.height, kept.shows) == (800, 400, "starboard")
    with Image.open(io.BytesIO(thumbnail(boat.logbook, kept, OWN_VIEW))) as copy:
        assert copy.size == (800, 400)


def test_a_heic_comes_in_too(boat):
    file = Path(__file__).parents[1] / "data" / "own-picture.heic"
    key = add_own_view(boat.logbook, file, name="Phone", shows="other")
    assert boat.get(OwnView, key).media_type == "image/heic"


def test_a_photograph_on_its_side_is_as_wide_as_it_is_seen(boat, tmp_path):
    exif = Image.Exif()
    exif[0x0112] = 6
    file = picture(tmp_path, "JPEG", (800, 400), exif)
    kept = boat.get(OwnView, add_own_view(boat.logbook, file, name="Stern", shows="stern"))
    assert (kept.width, kept.height) == (400, 800)


def test_what_is_no_picture_is_refused_and_leaves_nothing(boat, tmp_path):
    text = tmp_path / "notes.jpg"
    text.write_text("not a picture")
    before = boat.entries
    with pytest.raises(Refused, match="not_a_picture") as refused:
        add_own_view(boat.logbook, text, name="Notes", shows="port")
    assert "notes.jpg" in sentence(refused.value)
    with pytest.raises(Refused, match="unknown_choice"):
        add_own_view(boat.logbook, picture(tmp_path), name="Side", shows="keel")
    assert boat.entries == before
    assert list((boat.logbook.folder / "photos").iterdir()) == []


def test_check_and_backup_know_its_file(boat, view, tmp_path):
    done = backup(boat.logbook, tmp_path / "copy")
    assert done is not None
    assert done.proved
    assert [one.parent.name for one in (tmp_path / "copy").rglob("*.png")] == ["photos"]
    path = media_path(boat.logbook.folder, boat.get(OwnView, view))
    path.unlink()
    found = check(boat.logbook.folder)
    assert [(one.code, one.values["table"]) for one in found.problems] == [
        ("media_missing", "own_view")
    ]
    assert thumbnail(boat.logbook, boat.get(OwnView, view), 300) is None


def test_a_picture_that_is_a_photograph_too_keeps_its_file_when_an_import_is_cancelled(
    boat, view, tmp_path
):
    path = media_path(boat.logbook.folder, boat.get(OwnView, view))
    answers = iter([False, True])
    report = import_photos(
        boat.logbook,
        [tmp_path / "side.png", tmp_path / "side.png"],
        boat.visit,
        cancelled=lambda: next(answers),
    )
    assert report.cancelled
    assert path.exists()


def test_the_scale_is_two_marks_and_their_distance(boat, view):
    ownviews.set_scale(boat.logbook, view, [(0.1, 0.5), (0.9, 0.5)], "8,4 m")
    kept = boat.get(OwnView, view)
    assert kept.scale_marks == [[0.1, 0.5], [0.9, 0.5]]
    assert (kept.scale_length.text, kept.scale_length.si) == ("8.4", 8.4)
    for marks, length, code in (
        ([(0.1, 0.5), (0.1, 0.5)], "8 m", "own_marks_close"),
        ([(0.1, 0.5), (1.2, 0.5)], "8 m", "place_outside"),
        ([(0.1, 0.5), (0.9, 0.5)], "", "number_wanted"),
        ([(0.1, 0.5), (0.9, 0.5)], "0", "measure_low"),
    ):
        with pytest.raises(Refused) as refused:
            ownviews.set_scale(boat.logbook, view, marks, length)
        assert refused.value.code in (code, "number_low"), code


def test_a_zone_that_the_form_has_not_is_drawn_and_walked(boat, view):
    ownviews.draw_zone(boat.logbook, view, SQUARE, name="Sponson, port")
    with boat.logbook.read() as book:
        zone, version = queries.zones_at(book)[-1]
    assert (zone.name, zone.code) == ("Sponson, port", "own-below-1")
    at = walking.At(
        visit_id=boat.visit, zone_id=zone.id, looked_for=["damage"], methods=["general"]
    )
    key = walking.nothing_found(boat.logbook, at)
    with boat.logbook.read() as book:
        assert [look.id for look in queries.looks_at(book, zone.id, boat.visit)] == [key]
        assert queries.zone_version_at(book, zone.id, boat.visit).id == version.id


def test_a_zone_of_the_form_gets_an_outline_and_another_in_its_place(boat, view):
    zone_id = next(iter(boat.zones.values()))
    first = ownviews.draw_zone(boat.logbook, view, SQUARE, zone_id=zone_id)
    second = ownviews.draw_zone(boat.logbook, view, SQUARE[:3], zone_id=zone_id)
    assert [one.id for one in boat.all(OwnOutline)] == [second]
    assert boat.get(OwnOutline, first).withdrawn


@pytest.mark.parametrize(
    ("points", "code"),
    [
        (BOW_TIE, "own_crosses_itself"),
        (SQUARE[:2], "own_too_few_corners"),
        ([(0.1, 0.1), (0.5, 0.1), (0.3, 0.1)], "own_crosses_itself"),
        ([*SQUARE, (0.3, 0.2)], "own_crosses_itself"),
        ([(0.1, 0.1), (0.5, -0.1), (0.3, 0.4)], "place_outside"),
        ([(n / 300, 0.5 if n % 2 else 0.4) for n in range(250)], "own_too_many_corners"),
    ],
)
def test_what_is_no_outline_is_refused(boat, view, points, code):
    before = boat.entries
    with pytest.raises(Refused) as refused:
        ownviews.draw_zone(boat.logbook, view, points, name="Tie")
    assert refused.value.code == code
    assert boat.entries == before


def test_corners_move_and_undo_moves_them_back(boat, view):
    key = ownviews.draw_zone(boat.logbook, view, SQUARE, name="Chine")
    moved = [*SQUARE[:3], (0.2, 0.7)]
    ownviews.move_corners(boat.logbook, key, moved)
    assert boat.get(OwnOutline, key).points == [list(point) for point in moved]
    boat.logbook.undo()
    assert boat.get(OwnOutline, key).points == [list(point) for point in SQUARE]
    boat.logbook.redo()
    assert boat.get(OwnOutline, key).points == [list(point) for point in moved]


def test_a_zone_drawn_nowhere_else_goes_with_its_outline_and_with_its_view(boat, view, tmp_path):
    other = add_own_view(boat.logbook, picture(tmp_path, "JPEG"), name="Other", shows="other")
    first = ownviews.draw_zone(boat.logbook, view, SQUARE, name="Chine")
    zone = boat.all(Zone)[-1]
    second = ownviews.draw_zone(boat.logbook, other, SQUARE, zone_id=zone.id)
    ownviews.withdraw_outline(boat.logbook, first)
    assert not boat.get(Zone, zone.id).withdrawn
    ownviews.withdraw_own_view(boat.logbook, other)
    assert boat.get(OwnOutline, second).withdrawn
    assert boat.get(Zone, zone.id).withdrawn
    boat.logbook.undo()
    assert not boat.get(OwnView, other).withdrawn
    assert not boat.get(Zone, zone.id).withdrawn


def test_zones_drawn_by_hand_stay_when_her_form_gets_other_parts(boat, view):
    ownviews.draw_zone(boat.logbook, view, SQUARE, name="Sponson")
    vessel.correct_particulars(boat.logbook, keel="long")
    vessel.convert(boat.logbook, begins="2025-01-01", keel="twin")
    with boat.logbook.read() as book:
        names = [zone.name for zone, _ in queries.zones_at(book)]
    assert "Sponson" in names


def test_a_boat_without_particulars_lives_from_what_is_drawn(logbook, tmp_path):
    ownviews.create_vessel_without_form(logbook, name="Odd Duck", kind="small", material="wood")
    with logbook.read() as book:
        assert queries.zones_at(book) == []
        assert [one.name for one in queries.kept(book, Vessel)] == ["Odd Duck"]
    key = add_own_view(logbook, picture(tmp_path), name="My drawing", shows="port")
    ownviews.draw_zone(logbook, key, SQUARE, name="Planks", below=True)
    ownviews.draw_zone(logbook, key, SQUARE, name="Sheer", below=False)
    with logbook.read() as book:
        found = [(zone.code, zone.name) for zone, _ in queries.zones_at(book)]
    assert found == [("own-below-1", "Planks"), ("own-above-2", "Sheer")]
    with pytest.raises(Refused, match="no_vessel"):
        vessel.correct_particulars(logbook, beam="3 m")


def test_a_factor_is_kept_by_view(boat, view):
    ownviews.set_factor(boat.logbook, view, "1,15")
    with boat.logbook.read() as book:
        assert queries.setting(book, ownviews.FACTORS) == {view: "1.15"}
    with pytest.raises(Refused):
        ownviews.set_factor(boat.logbook, view, "7")
    ownviews.set_factor(boat.logbook, view, None)
    with boat.logbook.read() as book:
        assert queries.setting(book, ownviews.FACTORS) == {}


def everything(logbook):
    """Return every row of every table but the journal's."""
    tables = [one for one in Base.metadata.sorted_tables if one.name not in JOURNAL_TABLES]
    with logbook.read() as book:
        return {table.name: dict(each_image(book.connection(), table)) for table in tables}


def test_all_that_is_done_with_a_view_is_undone_and_redone(boat, tmp_path):
    logbook = boat.logbook
    states = [everything(logbook)]
    view = add_own_view(logbook, picture(tmp_path), name="Side", shows="port")
    states.append(everything(logbook))
    drawn = []
    steps = (
        lambda: ownviews.set_own_view(logbook, view, name="Port side"),
        lambda: ownviews.set_own_view(logbook, view, shows="other"),
        lambda: ownviews.set_scale(logbook, view, [(0.1, 0.5), (0.9, 0.5)], "28 ft"),
        lambda: ownviews.set_factor(logbook, view, "1.1"),
        lambda: drawn.append(ownviews.draw_zone(logbook, view, SQUARE, name="Chine")),
        lambda: ownviews.move_corners(logbook, drawn[0], SQUARE[:3]),
        lambda: ownviews.set_factor(logbook, view, "1.2"),
        lambda: ownviews.withdraw_outline(logbook, drawn[0]),
        lambda: ownviews.withdraw_own_view(logbook, view),
    )
    for step in steps:
        step()
        states.append(everything(logbook))
    for state in states[-2::-1]:
        logbook.undo()
        assert everything(logbook) == state
    for state in states[1:]:
        logbook.redo()
        assert everything(logbook) == state


def test_a_boat_that_was_drawn_by_hand_gets_a_form_and_keeps_her_zones(tmp_path):
    six = {"keel": "fin", "length": "7.2 m", "beam": "2.5 m", "draught": "1.2 m"}
    around = Surroundings(state_folder=tmp_path / "state", cache_folder=tmp_path / "cache")
    with Logbook.create(tmp_path / "odd", around) as logbook:
        with pytest.raises(Refused, match="no_vessel"):
            vessel.enter_particulars(logbook, **six)
        ownviews.create_vessel_without_form(logbook, name="Odd", kind="small", material="grp")
        side = add_own_view(logbook, picture(tmp_path), name="Side", shows="port")
        ownviews.draw_zone(logbook, side, SQUARE, name="Sponson")
        with pytest.raises(Refused) as refused:
            vessel.enter_particulars(logbook, **{**six, "beam": ""})
        assert refused.value.field == "beam"
        vessel.enter_particulars(logbook, **six)
        with logbook.read() as book:
            form = queries.form_version(book)
            zones = [(zone.name, zone.walk_order) for zone, _ in queries.zones_at(book)]
            assert form_of(book) is not None
        assert (form.length.text, form.number, "length" in form.assumed) == ("7.2", 1, False)
        assert zones[-1] == ("Sponson", len(zones))
        assert len(zones) > 5
        with pytest.raises(Refused, match="particulars_there_already"):
            vessel.enter_particulars(logbook, **six)
        vessel.correct_particulars(logbook, beam="2.6 m")
        logbook.undo()
        logbook.undo()
        with logbook.read() as book:
            assert [zone.name for zone, _ in queries.zones_at(book)] == ["Sponson"]
            assert form_of(book) is None
        assert not check(logbook.folder).problems

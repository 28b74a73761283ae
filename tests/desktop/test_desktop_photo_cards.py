from __future__ import annotations

import sys
import threading
from datetime import UTC, datetime
from pathlib import Path

import numpy as np
import pytest
from PySide6.QtWidgets import QApplication, QLabel

sys.path.insert(0, str(Path(__file__).parent))
sys.path.insert(0, str(Path(__file__).parent.parent / "output"))
import cardphotos as made
from yardwindow import Yard

from hulllog.desktop.jobs import JobLine
from hulllog.desktop.photos import cards as cards_module
from hulllog.desktop.photos.cardsheet import CardsSheet
from hulllog.output.zonecards import card_scenes
from hulllog.records.model import Annotation, Photo, PhotoPlace
from hulllog.records.operations import visits

START = datetime(2026, 4, 17, 9, 30, tzinfo=UTC)
STILL = made.Look(scale=5.0, tilt=0, turn=0, blur=0.8, shade=0, noise=3)


@pytest.fixture
def yard(look, qtbot, tmp_path):
    made_yard = Yard(qtbot, tmp_path, keel="fin")
    visits.start_haul_out(made_yard.logbook, begins="2026-04-17", time_zone="UTC")
    made_yard.settle()
    made_yard.open("photos")
    yield made_yard
    made_yard.close()


@pytest.fixture
def cards(yard):
    """Pictures of the cards; the clock card last."""
    with yard.logbook.read() as book:
        return [made.printed(scene) for scene in card_scenes(book, "Ruddy Shore")]


@pytest.fixture
def camera(cards, tmp_path):
    """Give a function that writes a folder: a number is the card of a zone, None a plain picture,
    "torn" a card without its code, "clock" the clock card."""
    folder = tmp_path / "camera"
    folder.mkdir()

    def take(shots, camera="Test 1"):
        rng = np.random.default_rng(42)
        files = []
        for number, shot in enumerate(shots):
            image = made.yard(rng)
            if shot is not None:
                card = cards[-1] if shot == "clock" else cards[1 if shot == "torn" else shot]
                card = torn(card) if shot == "torn" else card
                image = made.paste(image, card, STILL, rng)
            image = made.finish(image, STILL, rng)
            taken = made.minutes(START, number)
            files.append(made.write(image, folder, number, taken, camera))
        return files

    take.folder = folder
    return take


def torn(card):
    scale = made.DPI / 25.4
    gone = card.copy()
    for n in range(3):
        left = (24 + 7 * n) * scale
        box = (round(left), round(16 * scale), round(left + 5 * scale), round(35 * scale))
        gone.paste(255, box)
    return gone


def zones_of(yard):
    """Return file name -> walking number of the zone that its photograph shows."""
    order = {key: n for n, key in enumerate(yard.zones().values())}
    names = {photo.id: photo.file_name for photo in yard.all(Photo)}
    return {names[one.photo_id]: order[one.zone_id] for one in yard.all(PhotoPlace)}


def sheet(yard):
    yard.settle()
    found = [one for one in yard.window.findChildren(CardsSheet) if one.isVisible()]
    return found[0] if found else None


def take(yard, folder):
    yard.page.intake.take([folder])
    yard.settle()
    yard.settle()


def test_a_folder_sorts_itself_by_its_cards(yard, camera):
    files = camera([None, 2, None, 5, None, None])
    take(yard, camera.folder)
    assert len(yard.all(Photo)) == 6
    shown = zones_of(yard)
    assert [shown.get(file.name) for file in files] == [None, 2, 2, 5, 5, 5]
    assert sheet(yard) is None


def test_the_scale_of_a_card_is_kept_with_its_photograph(yard, camera):
    (file,) = camera([2])
    take(yard, camera.folder)
    (scale,) = yard.all(Annotation)
    (photo,) = yard.all(Photo)
    assert (scale.photo_id, scale.sort, scale.length.si) == (photo.id, "scale", 0.1)
    (x1, y1), (x2, y2) = scale.points
    px = np.hypot((x2 - x1) * photo.width, (y2 - y1) * photo.height)
    assert px / 100 == pytest.approx(STILL.scale, rel=0.03)
    assert file.name == photo.file_name


def test_it_is_one_entry_and_one_undo(yard, camera):
    camera([2, None])
    take(yard, camera.folder)
    yard.undo()
    assert yard.all(PhotoPlace) == []
    assert yard.all(Annotation) == []


def test_cards_are_read_off_the_thread_of_the_window(yard, camera, monkeypatch):
    threads = []
    whole = cards_module.read_pictures

    def watched(files, progress):
        threads.append(threading.current_thread())
        return whole(files, progress)

    monkeypatch.setattr(cards_module, "read_pictures", watched)
    camera([2])
    take(yard, camera.folder)
    assert threads
    assert threading.main_thread() not in threads


def test_cancel_leaves_nothing_behind(yard, camera):
    camera([2, None, None, None])
    yard.page.intake.take([camera.folder])
    QApplication.processEvents()
    (job,) = [line for line in yard.page.findChildren(JobLine) if line.isVisible()]
    job.cancel()
    yard.settle()
    assert yard.all(Photo) == []
    assert yard.all(PhotoPlace) == []


def test_a_folder_without_cards_goes_in_as_before(yard, camera):
    camera([None, None])
    take(yard, camera.folder)
    assert len(yard.all(Photo)) == 2
    assert yard.all(PhotoPlace) == []


def test_the_owner_names_the_zone_of_a_card_that_could_not_be_read(yard, camera):
    files = camera([2, None, "torn", None, 4])
    take(yard, camera.folder)
    shown = zones_of(yard)
    assert [shown.get(file.name) for file in files] == [2, 2, None, None, 4]
    asked = sheet(yard)
    yard.type("99\n")
    assert asked.zones[0][1].refused
    asked.zones[0][1].entry.selectAll()
    yard.type("4")
    asked.do.click()
    yard.settle()
    shown = zones_of(yard)
    assert [shown.get(file.name) for file in files] == [2, 2, 3, 3, 4]


def test_the_clock_of_a_camera_is_set_by_its_card(yard, camera):
    camera([2, "clock"])
    take(yard, camera.folder)
    asked = sheet(yard)
    yard.type("10:31")
    asked.do.click()
    yard.settle()
    corrections = {photo.clock_correction for photo in yard.all(Photo)}
    assert corrections == {61}
    assert all("10:31" in photo.clock_reason for photo in yard.all(Photo))


def test_the_card_of_another_boat_is_named_beside_what_was_left_out(yard, camera, monkeypatch):
    (stranger, _) = camera([2, None])
    (camera.folder / "broken.jpg").write_bytes(b"no picture")
    from hulllog.insight import cardsorting

    monkeypatch.setattr(cardsorting, "zone_of", lambda _said, _zones: None)
    take(yard, camera.folder)
    assert yard.all(PhotoPlace) == []
    assert yard.page.left_out.holds
    listed = " ".join(label.text() for label in yard.page.left_out.findChildren(QLabel))
    assert stranger.name in listed
    assert "broken.jpg" in listed

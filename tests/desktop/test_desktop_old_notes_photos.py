"""Old haul-outs from a folder of pictures, through the real window."""

from __future__ import annotations

import sys
import threading
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

sys.path.insert(0, str(Path(__file__).parent))
sys.path.insert(0, str(Path(__file__).parents[1] / "insight"))
from rollpictures import take
from seasonwindow import texts, unnamed
from yardwindow import Yard

from hulllog.desktop.jobs import JobLine
from hulllog.records.media import Batch, files_in
from hulllog.records.model import Photo, Visit
from hulllog.records.operations.oldnotes import keep_old_haul_outs


@pytest.fixture
def yard(look, qtbot, tmp_path):
    made = Yard(qtbot, tmp_path)
    made.window.show_page("old_notes")
    made.settle()
    yield made
    made.close()


@pytest.fixture
def folder(tmp_path):
    made = tmp_path / "roll"
    made.mkdir()
    for number in range(5):
        take(made, f"a{number}", f"2016:04:1{number} 09:00:00")
    take(made, "b", "2019:05:01 09:00:00")
    return made


@pytest.fixture
def show(yard, folder):
    def showing():
        yard.page.show_photos(folder)
        yard.settle()
        return yard.page.photos

    return showing


def test_ticked_named_and_done_in_one_step(yard, folder, show):
    photos = show()
    assert [card.tick.accessibleName() for card in photos.cards] == [
        "10–14 Apr 2016: 5 photos", "1 May 2019: 1 photo",
    ]  # fmt: skip
    assert not photos.keep.isEnabled()
    assert yard.all(Visit) == []
    yard.type("k")
    assert yard.focus is photos.cards[0].fields["yard"].entry
    yard.type("Inlet Boatyard\n")
    assert photos.keep.text() == "Keep 1 haul-out with 5 photos"
    photos.keep.click()
    yard.settle()
    (visit,) = yard.all(Visit)
    assert (visit.yard, visit.basis) == ("Inlet Boatyard", "from_photos")
    assert (visit.begins.text, visit.ends.text) == ("about 10 Apr 2016", "about 14 Apr 2016")
    assert {one.visit_id for one in yard.all(Photo)} == {visit.id}
    assert len(yard.all(Photo)) == 5
    assert yard.focus is yard.page.grid
    yard.undo()
    assert yard.all(Visit) == yard.all(Photo) == []


def test_pictures_inside_a_visit_are_offered_to_it(yard, folder, show):
    (key,) = keep_old_haul_outs(yard.logbook, [{"begins": "2019-05", "yard": "Outer Yard"}])
    yard.settle()
    photos = show()
    inside = photos.cards[-1]
    assert any("Outer Yard" in made.option.said for made in inside.tick.buttons)
    assert inside.fields == {}
    inside.tick.choose("keep")
    photos.keep.click()
    yard.settle()
    assert [(one.file_name, one.visit_id) for one in yard.all(Photo)] == [("b.jpg", key)]


def test_near_and_doubtful_pictures_are_asked_about_once(yard, folder, show):
    take(folder, "c", "2019:05:01 09:00:04", seed="b")
    take(folder, "d", "2012:05:01 09:00:00", by_program=True)
    photos = show()
    assert photos.near.isVisible()
    assert photos.doubtful.isVisible()
    assert "d.jpg" in texts(photos)
    assert [len(card.group.shots) for card in photos.cards] == [5, 2]
    photos.cards[0].tick.choose("keep")
    photos.cards[0].fields["yard"].type_text("Inlet")
    photos.near.choose("one")
    photos.doubtful.choose("trust")
    assert [len(card.group.shots) for card in photos.cards] == [1, 5, 1]
    assert photos.cards[1].kept
    assert photos.cards[1].fields["yard"].text() == "Inlet"
    assert "d.jpg" not in texts(photos)


def test_pictures_without_a_time_and_files_that_are_none_are_told(yard, folder, show):
    take(folder, "undated")
    (folder / "words.jpg").write_text("no picture")
    photos = show()
    told = texts(photos)
    assert "undated.jpg" in told
    assert any("words.jpg" in sentence for sentence in told)
    assert unnamed(photos) == []


def test_a_date_that_cannot_be_kept_is_said_beside_its_field(yard, folder, show):
    photos = show()
    card = photos.cards[0]
    card.tick.choose("keep")
    card.fields["begins"].entry.setText("soon")
    photos.keep.click()
    yard.settle()
    assert "soon" in card.fields["begins"].sentence
    card.fields["begins"].type_text("2016-04-20")
    photos.keep.click()
    yard.settle()
    assert card.fields["ends"].sentence
    assert yard.all(Visit) == []


def test_cancel_keeps_nothing(yard, folder, show, monkeypatch):
    photos = show()
    for card in photos.cards:
        card.tick.choose("keep")
    stopped = threading.Event()
    really = Batch.take

    def held(batch, file):
        really(batch, file)
        stopped.wait(10)

    monkeypatch.setattr(Batch, "take", held)
    photos.keep.click()
    for shown in yard.page.findChildren(JobLine):
        shown.cancel()
    stopped.set()
    yard.settle()
    assert yard.all(Visit) == yard.all(Photo) == []
    assert files_in(yard.logbook.folder / "photos") == []
    assert photos.keep.isEnabled()


def test_today_leads_to_the_photos_of_a_new_vessel(yard):
    yard.window.show_page("today")
    yard.settle()
    next(line for line in yard.page.lines if "photos" in line.sentence).click()
    assert yard.focus is yard.page.door_photos
    QTest.keyClick(yard.focus, Qt.Key.Key_Tab)
    assert yard.window.page.code == "old_notes"


def test_a_folder_without_a_picture_is_one_sentence(yard, tmp_path):
    (tmp_path / "none").mkdir()
    yard.page.show_photos(tmp_path / "none")
    yard.settle()
    assert texts(yard.page.photos) == ["No picture that can be read lies in that folder."]
    assert yard.focus is yard.page.photos.give_up
    yard.page.photos.give_up.click()
    assert yard.focus is yard.page.grid

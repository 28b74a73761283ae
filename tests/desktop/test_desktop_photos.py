from __future__ import annotations

import sys
import threading
from pathlib import Path

import pytest
from PIL import Image
from PySide6.QtCore import QMimeData, QPoint, QPointF, Qt, QUrl
from PySide6.QtGui import QDragEnterEvent, QDropEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QFileDialog, QLabel

sys.path.insert(0, str(Path(__file__).parent))
from yardwindow import Yard

from hulllog.desktop.jobs import JobLine
from hulllog.desktop.photos import intake as intake_module
from hulllog.records.model import Photo, PhotoPlace
from hulllog.records.operations import visits

COPY = Qt.DropAction.CopyAction


@pytest.fixture
def yard(look, qtbot, tmp_path):
    made = Yard(qtbot, tmp_path)
    visits.start_haul_out(made.logbook, begins="2026-04-17")
    made.settle()
    made.open("photos")
    yield made
    made.close()


@pytest.fixture
def camera(tmp_path):
    """Give a function that makes pictures in a folder."""
    folder = tmp_path / "camera"
    folder.mkdir()

    def take(count, *, ending="jpg"):
        start = len(list(folder.iterdir()))
        files = []
        for n in range(start, start + count):
            file = folder / f"yard{n}.{ending}"
            Image.new("RGB", (96, 64), (n * 31 % 255, 90, 120)).save(file)
            files.append(file)
        return files

    return take


def section(yard):
    return yard.section("photos")


def drop(yard, paths, kind=QDropEvent):
    """Drop files on the page."""
    data = QMimeData()
    data.setUrls([QUrl.fromLocalFile(str(path)) for path in paths])
    buttons, modifiers = Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier
    arrived = QDragEnterEvent(QPoint(400, 300), COPY, data, buttons, modifiers)
    QApplication.sendEvent(yard.page, arrived)
    taken = arrived.isAccepted()
    if taken:
        QApplication.sendEvent(
            yard.page, QDropEvent(QPointF(400, 300), COPY, data, buttons, modifiers)
        )
    return taken


def shown(yard, code):
    """Show one side of her on the pin board."""
    board = section(yard).board
    board.sides.choose(code)
    yard.settle()
    return board


# Taking in


def test_dropped_files_are_taken_in_for_this_haul_out(yard, camera):
    assert drop(yard, camera(3))
    yard.settle()
    photos = yard.all(Photo)
    assert len(photos) == 3
    assert {photo.visit_id for photo in photos} == {yard.page._visit.id}
    assert {photo.state for photo in photos} == {"found"}
    assert yard.window.status == "3 photographs taken in."
    assert yard.window.state.undo_text == "Import photographs (3)"


def test_a_dropped_folder_gives_its_files(yard, camera, tmp_path):
    camera(2)
    assert drop(yard, [tmp_path / "camera"])
    yard.settle()
    assert len(yard.all(Photo)) == 2


def test_what_is_no_file_of_this_computer_is_not_taken(yard):
    data = QMimeData()
    data.setUrls([QUrl("https://example.org/a.jpg")])
    arrived = QDragEnterEvent(
        QPoint(1, 1), COPY, data, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier
    )
    QApplication.sendEvent(yard.page, arrived)
    assert not arrived.isAccepted()


def test_nothing_is_taken_in_while_no_haul_out_is_open(yard, camera):
    visits.close(yard.logbook, yard.page._visit.id)
    yard.settle()
    assert not drop(yard, camera(1))


def test_files_are_chosen_and_the_keyboard_comes_back(yard, camera):
    files = camera(2)
    section(yard).files.setFocus()
    section(yard).files.click()
    (dialog,) = yard.window.findChildren(QFileDialog)
    assert dialog.fileMode() == QFileDialog.FileMode.ExistingFiles
    dialog.filesSelected.emit([str(file) for file in files])
    dialog.done(QFileDialog.DialogCode.Accepted)
    yard.settle()
    assert len(yard.all(Photo)) == 2


def test_the_state_that_is_chosen_goes_with_them(yard, camera):
    section(yard).states.choose("left")
    drop(yard, camera(1))
    yard.settle()
    assert [photo.state for photo in yard.all(Photo)] == ["left"]


def test_what_is_no_picture_is_listed_with_one_sentence_and_the_rest_goes_on(
    yard, camera, tmp_path
):
    text = tmp_path / "camera" / "letter.jpg"
    files = camera(1)
    text.write_text("this is a letter")
    drop(yard, [*files, text, tmp_path / "gone.jpg"])
    yard.settle()
    assert len(yard.all(Photo)) == 1
    listed = yard.page.left_out
    assert listed.isVisible()
    said = [made.text() for made in listed.findChildren(QLabel) if made.text()]
    assert any("letter.jpg" in text for text in said)
    assert any("gone.jpg is not there any more" in text for text in said)
    assert "2 files were left out." in yard.window.status
    yard.page.show_section("anodes")
    assert not listed.isVisible()
    yard.page.show_section("photos")
    assert listed.isVisible()
    listed.shut.click()
    assert not listed.isVisible()
    yard.page.show_section("steps")
    yard.page.show_section("photos")
    assert not listed.isVisible()


def test_many_files_left_out_are_counted_after_the_first(yard, tmp_path):
    folder = tmp_path / "texts"
    folder.mkdir()
    for n in range(12):
        (folder / f"letter{n:02}.jpg").write_text("no picture")
    drop(yard, [folder])
    yard.settle()
    said = [made.text() for made in yard.page.left_out.findChildren(QLabel) if made.text()]
    assert "and 4 more" in said


def test_a_second_import_of_the_same_files_keeps_one(yard, camera):
    files = camera(2)
    drop(yard, files)
    yard.settle()
    drop(yard, files)
    yard.settle()
    assert len(yard.all(Photo)) == 2
    assert "2 were here already" in yard.window.status


def test_cancel_leaves_nothing_half_done(yard, camera, monkeypatch):
    reached, go_on = threading.Event(), threading.Event()
    real = intake_module.import_photos

    def slow(logbook, files, visit_id, *, progress, **rest):
        def told(done, of):
            if done == 2:
                reached.set()
                assert go_on.wait(10)
            progress(done, of)

        return real(logbook, files, visit_id, progress=told, **rest)

    monkeypatch.setattr(intake_module, "import_photos", slow)
    drop(yard, camera(5))
    assert reached.wait(10)
    QApplication.processEvents()
    (line,) = (made for made in yard.page.findChildren(JobLine) if made.isVisible())
    line.cancel()
    go_on.set()
    yard.settle()
    assert yard.all(Photo) == []
    assert list((yard.logbook.folder / "photos").iterdir()) == []
    assert yard.window.status == "Cancelled: no photograph was taken in."
    assert not yard.logbook.can_undo or yard.logbook.can_undo[0] == "visit.start"


def test_progress_is_shown_while_they_come(yard, camera, monkeypatch):
    seen = []
    monkeypatch.setattr(JobLine, "show_progress", lambda _line, done, of: seen.append((done, of)))
    drop(yard, camera(3))
    yard.settle()
    assert seen[0] == (0, 3)
    assert seen[-1] == (3, 3)


def test_undo_takes_an_import_back(yard, camera):
    drop(yard, camera(2))
    yard.settle()
    assert len(section(yard).strip.tiles) == 2
    yard.undo()
    assert yard.all(Photo) == []
    assert section(yard).strip.tiles == {}


# The strip


def test_thumbnails_are_read_off_the_windows_thread(yard, camera, monkeypatch):
    from hulllog.desktop.hull import pair

    threads = []
    real = pair.load

    def load(*args):
        threads.append(threading.current_thread() is threading.main_thread())
        return real(*args)

    monkeypatch.setattr(pair, "load", load)
    drop(yard, camera(2))
    yard.settle()
    assert threads == [False, False]
    assert all(tile.loaded for tile in section(yard).strip.tiles.values())


def test_a_tile_that_stays_is_not_read_again(yard, camera):
    drop(yard, camera(2))
    yard.settle()
    before = dict(section(yard).strip.tiles)
    drop(yard, camera(1))
    yard.settle()
    after = section(yard).strip.tiles
    assert all(after[key] is tile for key, tile in before.items())


def test_a_caption_is_kept_when_left(yard, camera):
    drop(yard, camera(2))
    yard.settle()
    second = list(section(yard).strip.tiles.values())[1]
    second.click()
    section(yard)._caption.entry.setFocus()
    yard.type("keel joint, port\t")
    yard.settle()
    captions = {photo.id: photo.caption for photo in yard.all(Photo)}
    assert captions[second.photo.photo_id] == "keel joint, port"
    assert yard.window.state.undo_text.startswith("change what is said of")


# Pins and zones


def test_a_pressed_zone_is_what_the_photo_shows(yard, camera):
    drop(yard, camera(1))
    yard.settle()
    shown(yard, "port").zone_pressed.emit("bottom-aft-port")
    yard.settle()
    (place,) = yard.all(PhotoPlace)
    assert place.zone_id == yard.zones()["bottom-aft-port"]
    assert place.place is None
    section(yard).board.zone_pressed.emit("bottom-aft-port")
    yard.settle()
    assert len(yard.all(PhotoPlace)) == 1


def middle_of(view, key):
    return view.area_of(key).center().toPoint()


def test_a_pin_is_put_by_a_press_on_the_drawing(yard, camera):
    drop(yard, camera(1))
    yard.settle()
    view = shown(yard, "port").view
    section(yard).pin.click()
    assert view.carrying
    at = middle_of(view, "zone:topsides-port")
    QTest.mouseMove(view, at)
    QTest.mouseClick(view, Qt.MouseButton.LeftButton, pos=at)
    yard.settle()
    (place,) = yard.all(PhotoPlace)
    assert (place.place.part, place.place.face) == ("hull", "port")
    assert place.zone_id == yard.zones()["topsides-port"]
    assert 0.2 < place.place.u < 0.8
    assert any(key == f"photo:{place.id}" for key, _ in view.regions)


def test_a_pin_is_dragged_and_keeps_its_photo(yard, camera):
    drop(yard, camera(1))
    yard.settle()
    board = shown(yard, "port")
    where = {"part": "hull", "face": "port", "u": 0.5, "v": 1.5, "given": {"by": "click"}}
    board.pin_put.emit((where, "topsides-port"))
    yard.settle()
    (before,) = yard.all(PhotoPlace)
    view = board.view
    start = middle_of(view, f"photo:{before.id}")
    QTest.mousePress(view, Qt.MouseButton.LeftButton, pos=start)
    QTest.mouseMove(view, start + QPoint(40, 0))
    QTest.mouseMove(view, start + QPoint(80, 0))
    QTest.mouseRelease(view, Qt.MouseButton.LeftButton, pos=start + QPoint(80, 0))
    yard.settle()
    (after,) = yard.all(PhotoPlace)
    assert after.id == before.id
    assert after.place.u > 0.6
    assert yard.window.state.undo_text == "move a photo on the drawing"


def test_a_pin_let_go_beside_her_is_not_put(yard, camera):
    drop(yard, camera(1))
    yard.settle()
    view = shown(yard, "port").view
    section(yard).pin.click()
    QTest.mouseMove(view, QPoint(3, 3))
    QTest.mouseClick(view, Qt.MouseButton.LeftButton, pos=QPoint(3, 3))
    yard.settle()
    assert yard.all(PhotoPlace) == []
    assert "beside her" in yard.window.status


def test_a_pin_is_put_by_keyboard(yard, camera):
    drop(yard, camera(1))
    yard.settle()
    view = shown(yard, "port").view
    section(yard).files.setFocus()
    yard.type("p")
    assert view.carrying
    QTest.keyClick(view, Qt.Key.Key_Return)
    yard.settle()
    assert len(yard.all(PhotoPlace)) == 1


def test_a_pin_taken_up_on_one_side_is_not_let_go_on_another(yard, camera):
    drop(yard, camera(1))
    yard.settle()
    board = shown(yard, "port")
    where = {"part": "hull", "face": "port", "u": 0.5, "v": 1.5, "given": {"by": "click"}}
    board.pin_put.emit((where, "topsides-port"))
    yard.settle()
    section(yard).files.setFocus()
    yard.type("p")
    assert board.view.carrying
    yard.type("2\n")
    yard.settle()
    assert board.sides.value != "port"
    (place,) = yard.all(PhotoPlace)
    assert (place.place.face, place.place.u) == ("port", 0.5)


def test_a_pin_in_a_zone_that_was_named_is_the_same_mark(yard, camera):
    drop(yard, camera(1))
    yard.settle()
    board = section(yard).board
    board.zone_pressed.emit("topsides-port")
    yard.settle()
    where = {"part": "hull", "face": "port", "u": 0.5, "v": 1.5, "given": {"by": "click"}}
    board.pin_put.emit((where, "topsides-port"))
    yard.settle()
    (place,) = yard.all(PhotoPlace)
    assert place.place.u == 0.5


def test_the_picked_photo_is_shown_large(yard, camera):
    from hulllog.desktop.sheets import Sheet

    drop(yard, camera(1))
    yard.settle()
    section(yard).large.click()
    (sheet,) = yard.window.findChildren(Sheet)
    assert sheet.isVisible()
    sheet.reject()
    yard.settle()


def test_what_a_photo_shows_can_be_taken_back(yard, camera):
    from PySide6.QtWidgets import QPushButton

    drop(yard, camera(1))
    yard.settle()
    section(yard).board.zone_pressed.emit("rudder")
    yard.settle()
    (remove,) = (
        made
        for made in section(yard).findChildren(QPushButton)
        if made.accessibleName() == "Remove: Shows: Rudder"
    )
    remove.click()
    yard.settle()
    assert yard.all(PhotoPlace) == []
    assert len(yard.all(Photo)) == 1


# Which visit they belong to


def timed(file, when, colour="teal"):
    exif = Image.Exif()
    exif.get_ifd(0x8769)[0x9003] = when
    Image.new("RGB", (60, 40), colour).save(file, exif=exif)
    return file


def earlier_visit(yard):
    old = visits.start_haul_out(yard.logbook, begins="2024-05-02")
    visits.relaunch(yard.logbook, old, "2024-05-09")
    visits.close(yard.logbook, old)
    yard.settle()
    return old


def asked(yard):
    shown = yard.page.doubtful
    return [made.text() for made in shown.findChildren(QLabel) if made.text() and made.isVisible()]


def answer(yard, name):
    from PySide6.QtWidgets import QWidget

    return yard.page.doubtful.findChild(QWidget, f"doubtful/{name}")


def test_a_photo_of_an_earlier_visit_goes_there_and_that_is_said(yard, camera, tmp_path):
    old = earlier_visit(yard)
    here = yard.page._visit.id
    drop(yard, [timed(tmp_path / "old.jpg", "2024:05:03 10:00:00"),
                timed(tmp_path / "new.jpg", "2026:04:17 11:00:00", "red")])  # fmt: skip
    yard.settle()
    assert {photo.visit_id for photo in yard.all(Photo)} == {old, here}
    assert "1 went to another visit by its capture time." in yard.window.status
    assert not yard.page.doubtful.isVisible()


def test_the_doubtful_are_asked_once_and_put_where_is_said(yard, tmp_path):
    old = earlier_visit(yard)
    here = yard.page._visit.id
    drop(yard, [timed(tmp_path / "a.jpg", "2020:05:03 10:00:00"),
                timed(tmp_path / "b.jpg", "2020:05:05 10:00:00", "red")])  # fmt: skip
    yard.settle()
    assert any("2 photos, taken 3" in text for text in asked(yard))
    assert {photo.visit_id for photo in yard.all(Photo)} == {here}
    menu = answer(yard, "no_visit/other").menu()
    assert len(menu.actions()) == 1
    menu.actions()[0].trigger()
    yard.settle()
    assert {photo.visit_id for photo in yard.all(Photo)} == {old}
    assert not yard.page.doubtful.isVisible()
    assert yard.window.state.undo_text == "say which visit photos belong to (2)"
    yard.undo()
    assert {photo.visit_id for photo in yard.all(Photo)} == {here}
    assert not yard.page.doubtful.isVisible()


def test_photos_without_a_time_can_be_left_or_kept_without_a_visit(yard, camera):
    drop(yard, camera(2))
    yard.settle()
    assert any("2 photos without a capture time." in text for text in asked(yard))
    answer(yard, "no_time/none").click()
    yard.settle()
    assert {photo.visit_id for photo in yard.all(Photo)} == {None}
    drop(yard, camera(1))
    yard.settle()
    answer(yard, "no_time/here").click()
    assert not yard.page.doubtful.isVisible()
    assert yard.page._visit.id in {photo.visit_id for photo in yard.all(Photo)}


def test_an_undone_import_is_asked_about_no_more(yard, camera):
    drop(yard, camera(2))
    yard.settle()
    assert yard.page.doubtful.isVisible()
    yard.undo()
    assert not yard.page.doubtful.isVisible()


# Pasted, and videos


def paste(yard):
    QTest.keyClick(yard.focus or yard.window, Qt.Key.Key_V, Qt.KeyboardModifier.ControlModifier)
    yard.settle()


def test_a_copied_picture_is_pasted(yard, tmp_path):
    from PySide6.QtGui import QImage

    image = QImage(80, 50, QImage.Format.Format_RGB32)
    image.fill(Qt.GlobalColor.darkGreen)
    QApplication.clipboard().setImage(image)
    section(yard).files.setFocus()
    paste(yard)
    (photo,) = yard.all(Photo)
    assert (photo.width, photo.height, photo.media_type) == (80, 50, "image/png")
    assert photo.file_name.startswith("pasted 2026-04-18")
    assert list((yard.logbook.around.cache_folder / "pasted").iterdir()) == []


def test_copied_files_are_pasted(yard, camera):
    data = QMimeData()
    data.setUrls([QUrl.fromLocalFile(str(file)) for file in camera(2)])
    QApplication.clipboard().setMimeData(data)
    paste(yard)
    assert len(yard.all(Photo)) == 2


def test_a_clipboard_with_nothing_to_take_says_so(yard):
    QApplication.clipboard().setText("a text")
    section(yard).files.setFocus()
    paste(yard)
    assert yard.all(Photo) == []
    assert "Nothing to paste" in yard.window.status


def test_text_is_pasted_into_a_caption_and_no_photo_is_taken(yard, camera):
    drop(yard, camera(1))
    yard.settle()
    QApplication.clipboard().setText("keel joint")
    section(yard)._caption.entry.setFocus()
    paste(yard)
    assert section(yard)._caption.typed() == "keel joint"
    assert "Nothing to paste" not in yard.window.status


def test_a_dropped_video_is_kept_among_the_papers(yard, tmp_path):
    from hulllog.records.model import Document

    film = tmp_path / "play.mp4"
    film.write_bytes(b"\x00\x00\x00\x18ftypmp42" + b"\x00" * 900)
    drop(yard, [film])
    yard.settle()
    assert [paper.title for paper in yard.all(Document)] == ["play.mp4"]
    assert "1 video kept among the papers." in yard.window.status


# Those that look alike


def test_photos_that_look_alike_fold_together_and_none_is_dropped(yard, tmp_path):
    scenes = []
    for seed in (1, 2):
        small = Image.frombytes("L", (12, 9), bytes((n * 97 * seed * 31) % 251 for n in range(108)))
        scenes.append(small.resize((240, 180)))
    for n, image in enumerate((scenes[0], scenes[0].point(lambda v: min(v + 4, 255)), scenes[1])):
        image.convert("RGB").save(tmp_path / f"s{n}.jpg")
    drop(yard, sorted(tmp_path.glob("s*.jpg")))
    yard.settle()
    made = section(yard)
    assert len(made.strip.tiles) == 3
    assert made.alike.text() == "2 photos look alike: fold them together"
    made.alike.click()
    # The picked one is in the group: that stays open.
    last = next(key for key in made.strip.tiles if key not in made._groups()[0])
    made.strip.tiles[last].click()
    assert len(made.strip.tiles) == 2
    assert made.count.text().startswith("3 photos")
    made.alike.click()
    assert len(made.strip.tiles) == 3
    assert len(yard.all(Photo)) == 3


# The clock of a camera


def test_a_clock_is_corrected_for_its_camera_with_a_reason(yard, tmp_path):
    from hulllog.desktop.photos.clock import ClockSheet

    for name, model, colour in (("a", "Slow Box", "red"), ("b", "Slow Box", "teal"),
                                ("c", "True Box", "gold")):  # fmt: skip
        exif = Image.Exif()
        exif[0x0110] = model
        exif.get_ifd(0x8769)[0x9003] = "2026:04:17 10:00:00"
        Image.new("RGB", (60, 40), colour).save(tmp_path / f"{name}.jpg", exif=exif)
    drop(yard, sorted(tmp_path.glob("?.jpg")))
    yard.settle()
    section(yard).clock.click()
    yard.settle()
    (sheet,) = yard.window.findChildren(ClockSheet)
    assert "2 photos" in sheet.told.text()
    assert "17" in sheet.told.text()
    yard.type("61")
    sheet.do.click()
    yard.settle()
    assert sheet.isVisible()
    sheet.reason.entry.setFocus()
    yard.type("by the yard clock")
    sheet.do.click()
    yard.settle()
    kept = {photo.file_name: (photo.clock_correction, photo.clock_reason)
            for photo in yard.all(Photo)}  # fmt: skip
    assert kept["a.jpg"] == kept["b.jpg"] == (61, "by the yard clock")
    assert kept["c.jpg"] == (None, None)
    assert {photo.captured.text for photo in yard.all(Photo)} == {"2026-04-17 10:00:00"}


def test_minutes_that_are_no_number_are_refused_beside_their_field(yard, tmp_path):
    from hulllog.desktop.photos.clock import ClockSheet

    exif = Image.Exif()
    exif[0x0110] = "Slow Box"
    exif.get_ifd(0x8769)[0x9003] = "2026:04:17 10:00:00"
    Image.new("RGB", (60, 40), "red").save(tmp_path / "a.jpg", exif=exif)
    drop(yard, [tmp_path / "a.jpg"])
    yard.settle()
    section(yard).clock.click()
    yard.settle()
    (sheet,) = yard.window.findChildren(ClockSheet)
    yard.type("an hour")
    assert sheet.minutes.typed() == "an hour"
    sheet.reason.entry.setFocus()
    yard.type("seen")
    sheet.do.click()
    yard.settle()
    assert sheet.isVisible()
    assert all(photo.clock_correction is None for photo in yard.all(Photo))
    sheet.reject()
    yard.settle()


def test_photos_without_a_camera_offer_no_clock(yard, camera):
    drop(yard, camera(1))
    yard.settle()
    assert not section(yard).clock.isVisible()

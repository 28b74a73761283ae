"""What is said of photographs, beside what the camera said."""

from __future__ import annotations

import pytest
from PIL import ExifTags, Image

from hulllog.records import media
from hulllog.records.model import Annotation, Photo, PhotoPlace
from hulllog.records.operations import anodes, photos, spots, visits

PLACE = {"part": "hull", "face": "port", "u": 0.6, "v": 0.5}


@pytest.fixture
def taken(boat, tmp_path):
    """Two pictures of one camera and one of another, all of the open visit."""
    files = []
    for name, colour, model in (("a", "red", "Old"), ("b", "green", "Old"), ("c", "blue", "New")):
        exif = Image.Exif()
        exif[ExifTags.Base.Model] = model
        inner = exif.get_ifd(ExifTags.IFD.Exif)
        inner[ExifTags.Base.DateTimeOriginal] = "2025:04:14 10:30:00"
        file = tmp_path / f"{name}.jpg"
        Image.new("RGB", (80, 60), colour).save(file, exif=exif)
        files.append(file)
    report = media.import_photos(boat.logbook, files, boat.visit, state="found")
    return [one.photo_id for one in report.done]


def test_a_photo_may_show_several_things(boat, taken):
    spot = spots.add_spot(boat.logbook, label="stain")
    position = anodes.add_position(boat.logbook, name="Shaft")
    photos.place_photo(boat.logbook, taken[0], place=PLACE, zone_id=boat.zones["bottom-aft-port"])
    photos.place_photo(boat.logbook, taken[0], spot_id=spot)
    photos.place_photo(boat.logbook, taken[0], anode_position_id=position)
    assert len(boat.all(PhotoPlace)) == 3
    assert boat.logbook.can_undo == ("photo.place", {"photo": "a.jpg"})


def test_a_mark_that_shows_nothing_is_refused(boat, refuses, taken):
    refuses("choice_wanted", "place", photos.place_photo, taken[0])
    refuses("no_such_record", "spot_id", photos.place_photo, taken[0], spot_id="none")
    refuses("place_outside", "place", photos.place_photo, taken[0], place=PLACE | {"v": 2.5})


def test_a_mark_is_moved_and_taken_off_while_the_photo_stays(boat, taken):
    mark = photos.place_photo(boat.logbook, taken[0], place=PLACE)
    photos.move_photo_place(boat.logbook, mark, PLACE | {"u": 0.7})
    assert boat.get(PhotoPlace, mark).place.u == 0.7
    photos.remove_photo_place(boat.logbook, mark)
    assert boat.all(PhotoPlace) == []
    boat.logbook.undo()
    assert [one.id for one in boat.all(PhotoPlace)] == [mark]
    assert len(boat.all(Photo)) == 3


def test_a_caption_is_written_and_cleared(boat, refuses, taken):
    photos.caption(boat.logbook, taken[0], "Before <b>the</b> wash & after")
    assert boat.get(Photo, taken[0]).caption == "Before <b>the</b> wash & after"
    visits.close(boat.logbook, boat.visit)
    refuses("reason_wanted", "", photos.caption, taken[0], "")
    photos.caption(boat.logbook, taken[0], "", reason="wrong photo")
    assert boat.get(Photo, taken[0]).caption is None


def test_a_photo_that_came_without_a_visit_is_given_one(boat, tmp_path, refuses):
    file = tmp_path / "loose.png"
    Image.new("RGB", (20, 20), "gold").save(file)
    (one,) = media.import_photos(boat.logbook, [file], None).done
    refuses("no_such_record", "visit_id", photos.set_photo, one.photo_id, "visit_id", "none")
    photos.set_photo(boat.logbook, one.photo_id, "visit_id", boat.visit)
    photos.set_photo(boat.logbook, one.photo_id, "state", "left")
    photo = boat.get(Photo, one.photo_id)
    assert (photo.visit_id, photo.state) == (boat.visit, "left")


def test_a_clock_is_corrected_for_one_camera_and_its_reading_stays(boat, refuses, taken):
    refuses("text_wanted", "reason", photos.correct_clock, "Old", 61, reason=" ")
    refuses("no_photo_of_camera", "camera", photos.correct_clock, "None", 61, reason="yard clock")
    assert photos.correct_clock(boat.logbook, "Old", 61, reason="by the yard clock") == 2
    found = {photo.camera: photo.clock_correction for photo in boat.all(Photo)}
    assert found == {"Old": 61, "New": None}
    assert {photo.captured.middle.minute for photo in boat.all(Photo)} == {30}


def test_a_length_drawn_on_a_photo_is_kept_in_shares_of_it(boat, refuses, taken):
    line = [(0.1, 0.2), (0.6, 0.2)]
    photos.annotate(boat.logbook, taken[0], sort="length", points=line, length="35 mm")
    mark = boat.all(Annotation)[0]
    assert mark.points == [[0.1, 0.2], [0.6, 0.2]]
    assert mark.length.si == pytest.approx(0.035)
    refuses(
        "place_outside", "points", photos.annotate, taken[0], sort="length", points=[(1.2, 0.2)]
    )


def test_photographs_are_sorted_into_zones_as_one_entry(boat, taken):
    zone, other = boat.zones["bottom-aft-port"], boat.zones["keel-port-under"]
    photos.place_photo(boat.logbook, taken[0], zone_id=zone)
    rule = ((0.25, 0.5), (0.75, 0.5))
    wanted = {taken[0]: zone, taken[1]: zone, taken[2]: other}
    photos.sort_photos(boat.logbook, wanted, {taken[2]: rule})
    photos.sort_photos(boat.logbook, wanted, {taken[2]: rule})
    assert {one.photo_id: one.zone_id for one in boat.all(PhotoPlace)} == wanted
    assert len(boat.all(PhotoPlace)) == 3, "what was said before is not said twice"
    (scale,) = boat.all(Annotation)
    assert (scale.sort, scale.length.si, scale.photo_id) == ("scale", 0.1, taken[2])
    boat.logbook.undo()
    assert [one.photo_id for one in boat.all(PhotoPlace)] == [taken[0]]
    assert boat.all(Annotation) == []

"""What photographs show, by the corrected clock; findings and dives without any."""

from __future__ import annotations

from PIL import ExifTags, Image

from hulllog.insight.pictured import before_and_after, of_findings, photographs, without_pictures
from hulllog.records import media
from hulllog.records.operations import looks, matters, photos, spots, visits


def taken(made, folder, visit, at, *, state="found", **shows):
    """Take in a picture of its own at a moment, and say what it shows."""
    path = folder / f"{at.replace(':', '')}-{state}.jpg"
    picture = Image.effect_noise((64, 48), 60).convert("RGB")
    exif = picture.getexif()
    exif[ExifTags.Base.Make] = "Made-up"
    exif.get_ifd(ExifTags.IFD.Exif)[ExifTags.Base.DateTimeOriginal] = at.replace("-", ":")
    picture.save(path, exif=exif)
    (done,) = media.import_photos(made.logbook, [path], visit, state=state).done
    photos.place_photo(made.logbook, done.photo_id, **shows)
    return done.photo_id


def test_photographs_of_one_place_stand_together_by_the_corrected_clock(made, tmp_path):
    visit = visits.start_haul_out(made.logbook, begins="2025-04-01")
    zone = made.zones["rudder"]
    spot = spots.add_spot(made.logbook, label="Corner", zone_id=zone, visit_id=visit)
    late = taken(made, tmp_path, visit, "2025-04-01 12:00:00", spot_id=spot, zone_id=zone)
    other = taken(made, tmp_path, visit, "2025-04-01 11:00:00", zone_id=zone)
    early = taken(made, tmp_path, visit, "2025-04-01 10:00:00", spot_id=spot)
    with made.logbook.read() as book:
        found = photographs(book)
    assert [one.photo.id for one in found] == [other, early, late]
    assert [one.subject.sort for one in found] == ["zone", "spot", "spot"]
    photos.correct_clock(made.logbook, "Made-up", 61, visit_id=visit, reason="yard clock")
    with made.logbook.read() as book:
        read = {one.photo.id: one.at.earliest - one.photo.captured.earliest
                for one in photographs(book)}  # fmt: skip
    assert {gap.total_seconds() for gap in read.values()} == {61 * 60}


def test_a_finding_has_the_pictures_of_its_spot_or_none(made, tmp_path):
    visit = visits.start_haul_out(made.logbook, begins="2025-04-01")
    spot = spots.add_spot(
        made.logbook, label="Corner", zone_id=made.zones["rudder"], visit_id=visit
    )
    about = {"sort": "rust", "must": "watch", "severity": "slight", "visit_id": visit}
    seen = matters.raise_finding(made.logbook, title="Rust", spots=[spot], **about)
    bare = matters.raise_finding(made.logbook, title="Play", **about)
    first = taken(made, tmp_path, visit, "2025-04-01 10:00:00", spot_id=spot)
    again = taken(made, tmp_path, visit, "2025-04-02 10:00:00", spot_id=spot)
    with made.logbook.read() as book:
        found = of_findings(book)
    assert [one.photo.id for one in before_and_after(found[seen])] == [first, again]
    assert before_and_after(found[bare]) == ()
    after = taken(made, tmp_path, visit, "2025-04-03 10:00:00", state="during", spot_id=spot)
    with made.logbook.read() as book:
        pair = before_and_after(of_findings(book)[seen])
    assert [one.photo.id for one in pair] == [again, after]


def test_a_dive_with_a_camera_and_no_picture_is_told(made, tmp_path):
    dive = visits.start_visit(made.logbook, kind="diver", begins="2025-09-01", methods=["camera"])
    looks.nothing_found(made.logbook, dive, made.zones["rudder"])
    with made.logbook.read() as book:
        assert without_pictures(book) == {dive}
    taken(made, tmp_path, dive, "2025-09-01 10:00:00", zone_id=made.zones["rudder"])
    with made.logbook.read() as book:
        assert without_pictures(book) == frozenset()

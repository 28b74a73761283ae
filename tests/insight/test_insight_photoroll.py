"""A photo roll: what it speaks of, and keeping it whole or not at all."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest
from rollpictures import take

from hulllog.insight.photoroll import GAP_DAYS, sort_roll
from hulllog.records.errors import Refused
from hulllog.records.logbook import Logbook, Surroundings
from hulllog.records.media import files_in, import_photos
from hulllog.records.model import Photo, Visit
from hulllog.records.operations import queries
from hulllog.records.operations.oldnotes import keep_old_haul_outs
from hulllog.records.roll import Pick, keep_roll, look_through

NOW = datetime(2025, 6, 1, tzinfo=UTC)


@pytest.fixture
def logbook(tmp_path):
    around = Surroundings(state_folder=tmp_path / "state", cache_folder=tmp_path / "cache")
    with Logbook.create(tmp_path / "book", around) as made:
        yield made


@pytest.fixture
def folder(tmp_path):
    made = tmp_path / "roll"
    made.mkdir()
    return made


def sorting(logbook, folder, **more):
    roll = look_through(logbook, files_in(folder))
    with logbook.read() as book:
        return sort_roll(book, roll.shots, NOW, **more)


def kept(logbook, model):
    with logbook.read() as book:
        return list(queries.kept(book, model))


def test_pictures_of_near_days_are_one_haul_out(logbook, folder):
    day = datetime(2016, 4, 14, 9)  # noqa: DTZ001
    for number, days in enumerate((0, 3, 3 + GAP_DAYS, 4 + 2 * GAP_DAYS, 400)):
        take(folder, f"p{number}", (day + timedelta(days=days)).strftime("%Y:%m:%d %H:%M:%S"))
    found = sorting(logbook, folder)
    assert [(one.first.isoformat(), one.last.isoformat(), len(one.shots)) for one in found.new] == [
        ("2016-04-14", "2016-04-27", 3), ("2016-05-08", "2016-05-08", 1),
        ("2017-05-19", "2017-05-19", 1),
    ]  # fmt: skip
    assert (found.new[0].out, found.new[0].back) == ("about 2016-04-14", "about 2016-04-27")
    assert found.new[1].back == ""


def test_four_pictures_are_shown_from_first_to_last(logbook, folder):
    for number in range(11):
        take(folder, f"p{number:02}", f"2016:04:14 09:{number:02}:00")
    (group,) = sorting(logbook, folder).new
    assert [one.file.stem for one in group.tiles] == ["p00", "p03", "p06", "p10"]


def test_pictures_inside_a_visit_are_offered_to_it(logbook, folder):
    rows = [{"begins": "2016"}, {"begins": "2016-04-10", "ends": "2016-04-20", "yard": "Inlet"}]
    _, exact = keep_old_haul_outs(logbook, rows)
    take(folder, "a", "2016:04:14 09:00:00")
    take(folder, "b", "2019:04:14 09:00:00")
    found = sorting(logbook, folder)
    assert [(one.visit_id, one.yard) for one in found.inside] == [(exact, "Inlet")]
    assert [one.first.year for one in found.new] == [2019]


def test_pictures_without_a_time_are_listed_apart(logbook, folder):
    take(folder, "a")
    (folder / "words.jpg").write_text("no picture")
    roll = look_through(logbook, files_in(folder))
    assert [one.code for one in roll.refused] == ["not_a_picture"]
    found = sorting(logbook, folder)
    assert [one.file.stem for one in found.undated] == ["a"]
    assert found.new == ()


def test_nearly_the_same_pictures_are_told_and_can_be_left_out(logbook, folder):
    take(folder, "a", "2016:04:14 09:00:00", seed=1)
    take(folder, "b", "2016:04:14 09:00:05", seed=1)
    take(folder, "c", "2016:04:14 09:00:09", seed=2)
    take(folder, "d", "2016:04:14 15:00:00", seed=1)
    found = sorting(logbook, folder)
    assert [one.file.stem for one in found.near] == ["b"]
    assert len(found.new[0].shots) == 4
    (group,) = sorting(logbook, folder, keep_near=False).new
    assert [one.file.stem for one in group.shots] == ["a", "c", "d"]


def test_doubtful_days_count_only_when_they_are_trusted(logbook, folder):
    take(folder, "program", "2016:04:14 09:00:00", by_program=True)
    take(folder, "reset", "2000:01:01 00:03:00")
    take(folder, "ahead", "2041:04:14 09:00:00")
    take(folder, "true", "2018:04:14 09:00:00")
    found = sorting(logbook, folder)
    assert sorted(one.file.stem for one in found.doubtful) == ["ahead", "program", "reset"]
    assert [one.first.year for one in found.new] == [2018]
    assert len(found.undated) == 3
    trusted = sorting(logbook, folder, trust_doubtful=True)
    assert [one.first.year for one in trusted.new] == [2000, 2016, 2018, 2041]
    assert trusted.undated == ()


def test_what_is_on_record_with_a_visit_is_not_offered_again(logbook, folder):
    (visit,) = keep_old_haul_outs(logbook, [{"begins": "2016"}])
    import_photos(logbook, [take(folder, "a", "2016:04:14 09:00:00")], visit)
    found = sorting(logbook, folder)
    assert (found.new, found.inside, len(found.on_record)) == ((), (), 1)


# Keeping


def picks(logbook, folder):
    found = sorting(logbook, folder)
    return [
        Pick(
            files=tuple(shot.file for shot in one.shots),
            visit_id=one.visit_id,
            typed={} if one.visit_id else {"begins": one.out, "ends": one.back, "yard": "Inlet"},
        )
        for one in [*found.new, *found.inside]
    ]


def test_haul_outs_and_their_pictures_are_one_entry(logbook, folder):
    (old,) = keep_old_haul_outs(logbook, [{"begins": "2012"}])
    files = [
        take(folder, "a", "2016:04:14 09:00:00"), take(folder, "b", "2016:04:16 09:00:00"),
        take(folder, "c", "2012:04:16 09:00:00"),
    ]  # fmt: skip
    before = [file.read_bytes() for file in files]
    report = keep_roll(logbook, picks(logbook, folder))
    assert len(report.done) == 3
    new = next(one for one in kept(logbook, Visit) if one.id != old)
    assert (new.basis, new.yard, new.begins.text) == ("from_photos", "Inlet", "about 2016-04-14")
    owners = {one.file_name: (one.visit_id, one.basis) for one in kept(logbook, Photo)}
    assert owners == {
        "a.jpg": (new.id, "from_photos"), "b.jpg": (new.id, "from_photos"),
        "c.jpg": (old, "from_photos"),
    }  # fmt: skip
    assert [file.read_bytes() for file in files] == before
    assert logbook.can_undo == ("visit.from_photos", {"count": 1, "photos": 3})
    logbook.undo()
    assert [one.id for one in kept(logbook, Visit)] == [old]
    assert kept(logbook, Photo) == []


def test_a_photo_that_belongs_to_no_visit_yet_is_linked(logbook, folder):
    import_photos(logbook, [take(folder, "a", "2016:04:14 09:00:00")], None)
    keep_roll(logbook, picks(logbook, folder))
    (photo,), (visit,) = kept(logbook, Photo), kept(logbook, Visit)
    assert photo.visit_id == visit.id


def test_cancel_leaves_nothing_of_any_haul_out(logbook, folder):
    take(folder, "a", "2016:04:14 09:00:00")
    take(folder, "b", "2018:04:14 09:00:00")

    def stop(done, _of):
        if done == 1:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        keep_roll(logbook, picks(logbook, folder), progress=stop)
    assert kept(logbook, Visit) == kept(logbook, Photo) == []
    assert files_in(logbook.folder / "photos") == []


def test_a_date_that_cannot_be_kept_is_named_before_a_file_is_copied(logbook, folder):
    file = take(folder, "a", "2016:04:14 09:00:00")
    old = keep_old_haul_outs(logbook, [{"begins": "2012"}])
    with pytest.raises(Refused) as refused:
        keep_roll(
            logbook,
            [Pick(files=(), visit_id=old[0]), Pick(files=(file,), typed={"begins": "soon"})],
        )
    assert (refused.value.field, refused.value.code) == ("1.begins", "date_unread")
    assert files_in(logbook.folder / "photos") == []

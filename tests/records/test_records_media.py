"""Taking photographs and papers in: whole files first, one entry a batch, bad files left out."""

from __future__ import annotations

import hashlib
import io
import os
import shutil
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from PIL import ExifTags, Image
from sqlalchemy import func, select

from hulllog.records.check import check
from hulllog.records.errors import LogbookProblem, Refused
from hulllog.records.journal import Entry, each_image
from hulllog.records.logbook import Logbook
from hulllog.records.media import (
    add_document,
    files_in,
    import_photos,
    media_path,
    report_copy,
    thumbnail,
)
from hulllog.records.model import Document, Photo, Visit
from hulllog.words.errors import sentence

if TYPE_CHECKING:
    from collections.abc import Callable

OWN_HEIC = Path(__file__).parent / "data" / "own-picture.heic"


@pytest.fixture
def camera(tmp_path: Path) -> Path:
    """Give a folder with three photographs."""
    folder = tmp_path / "camera"
    folder.mkdir()
    for number, colour in enumerate(("teal", "red", "olive"), 1):
        take(folder / f"photo-{number}.jpg", colour)
    return folder


def take(file: Path, colour: str, when: str | None = "2019:04:14 09:30:12") -> Path:
    """Take a photograph as a phone would, without an offset."""
    exif = Image.Exif()
    exif[ExifTags.Base.Model] = "Ownmake Box 3"
    if when:
        exif.get_ifd(ExifTags.IFD.Exif)[ExifTags.Base.DateTimeOriginal] = when
    Image.new("RGB", (120, 90), colour).save(file, exif=exif)
    return file


@pytest.fixture
def visit_id(logbook: Logbook, new_visit: Callable[..., Visit]) -> str:
    """Give a visit in London."""
    with logbook.change("visit.start") as book:
        return book.keep(new_visit()).id


def photos(logbook: Logbook) -> list[Photo]:
    with logbook.read() as book:
        return list(book.scalars(select(Photo).order_by(Photo.file_name)))


def entries(logbook: Logbook) -> int:
    with logbook.read() as book:
        return int(book.scalar(select(func.count()).select_from(Entry)) or 0)


def kept_files(logbook: Logbook) -> list[str]:
    return sorted(one.name for one in (logbook.folder / "photos").iterdir())


def test_photographs_come_in_as_one_entry_with_their_bytes(
    logbook: Logbook, camera: Path, visit_id: str
) -> None:
    told: list[tuple[int, int]] = []
    report = import_photos(
        logbook,
        files_in(camera),
        visit_id,
        state="found",
        progress=lambda done, of: told.append((done, of)),
    )
    assert [one.file.name for one in report.done] == ["photo-1.jpg", "photo-2.jpg", "photo-3.jpg"]
    assert not report.refused
    assert told == [(0, 3), (1, 3), (2, 3), (3, 3)]
    assert entries(logbook) == 2
    assert logbook.can_undo == ("photo.import", {"count": 3})
    for photo, file in zip(photos(logbook), files_in(camera), strict=True):
        kept = media_path(logbook.folder, photo)
        assert kept is not None
        assert kept.read_bytes() == file.read_bytes()
        assert kept.name == hashlib.sha256(file.read_bytes()).hexdigest() + ".jpg"
        assert (photo.visit_id, photo.state, photo.width, photo.height) == (
            visit_id, "found", 120, 90,
        )  # fmt: skip
        assert photo.size == file.stat().st_size
        assert photo.camera == "Ownmake Box 3"
    assert not check(logbook.folder, deep=True, around=logbook.around).problems


def test_a_time_without_an_offset_is_read_in_the_zone_of_the_visit(
    logbook: Logbook, camera: Path, visit_id: str
) -> None:
    import_photos(logbook, [camera / "photo-1.jpg"], visit_id)
    (photo,) = photos(logbook)
    assert photo.captured is not None
    assert photo.captured.text == "2019-04-14 09:30:12"
    assert photo.captured.earliest.isoformat() == "2019-04-14T08:30:12+00:00"
    assert photo.captured_origin == "camera_local"


def test_a_heic_comes_in_as_it_is(logbook: Logbook, visit_id: str) -> None:
    report = import_photos(logbook, [OWN_HEIC], visit_id)
    assert len(report.done) == 1
    (photo,) = photos(logbook)
    assert (photo.media_type, photo.width, photo.height) == ("image/heic", 480, 320)
    assert photo.captured is not None
    assert photo.captured.text == "2024-04-14 09:30:12"
    assert photo.captured.earliest.isoformat() == "2024-04-14T08:30:12+00:00"
    assert photo.captured_origin == "camera"
    assert kept_files(logbook) == [photo.sha256 + ".heic"]
    assert OWN_HEIC.stat().st_size < 30_000


def test_no_serial_number_is_on_record(logbook: Logbook, visit_id: str) -> None:
    import_photos(logbook, [OWN_HEIC], visit_id)
    with logbook.read() as book:
        kept = dict(each_image(book.connection(), Photo.__table__))
    assert "Ownmake" in repr(kept)
    assert "SERIAL" not in repr(kept)


def test_a_photograph_is_kept_once_whatever_it_is_called(
    logbook: Logbook, camera: Path, visit_id: str
) -> None:
    twin = shutil.copy(camera / "photo-1.jpg", camera / "a twin.jpg")
    first = import_photos(logbook, [camera / "photo-1.jpg", Path(twin)], visit_id)
    assert (len(first.done), len(first.already)) == (1, 1)
    assert first.already[0].photo_id == first.done[0].photo_id
    again = import_photos(logbook, files_in(camera), visit_id)
    assert [one.file.name for one in again.already] == ["a twin.jpg", "photo-1.jpg"]
    assert len(photos(logbook)) == 3
    nothing = import_photos(logbook, files_in(camera), visit_id)
    assert not nothing.done
    assert entries(logbook) == 3, "an import of nothing new leaves no entry"


def test_bad_files_are_left_out_and_the_rest_go_on(
    logbook: Logbook, camera: Path, visit_id: str
) -> None:
    (camera / "text.jpg").write_text("a text, by a person")
    Image.effect_noise((200, 200), 90).save(camera / "cut.jpg")
    (camera / "cut.jpg").write_bytes((camera / "cut.jpg").read_bytes()[:-5000])
    Image.new("RGB", (30_000, 2)).save(camera / "wide.png")
    files = [*files_in(camera), camera / "gone.jpg", camera]
    report = import_photos(logbook, files, visit_id)
    assert [one.file.name for one in report.done] == ["photo-1.jpg", "photo-2.jpg", "photo-3.jpg"]
    assert {one.name: one.code for one in report.refused} == {
        "text.jpg": "not_a_picture",
        "cut.jpg": "picture_broken",
        "wide.png": "picture_too_large",
        "gone.jpg": "file_gone",
        "camera": "file_not_a_file",
    }
    for one in report.refused:
        assert one.name in sentence(Refused(one.code, **one.values))


def test_a_file_that_vanishes_half_way_is_one_refusal(
    logbook: Logbook, camera: Path, visit_id: str
) -> None:
    def progress(done: int, _of: int) -> None:
        if done == 1:
            (camera / "photo-2.jpg").unlink()

    report = import_photos(logbook, files_in(camera), visit_id, progress=progress)
    assert [one.name for one in report.refused] == ["photo-2.jpg"]
    assert len(report.done) == 2


@pytest.mark.skipif(os.name == "nt", reason="an open file cannot be removed there")
def test_a_file_that_goes_once_it_is_open_is_read_to_its_end(
    logbook: Logbook, camera: Path, visit_id: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    from hulllog.records import media

    seen = media.video_type

    def gone_by_then(head: bytes) -> str | None:
        (camera / "photo-1.jpg").unlink(missing_ok=True)
        return seen(head)

    monkeypatch.setattr(media, "video_type", gone_by_then)
    report = import_photos(logbook, files_in(camera), visit_id)
    assert len(report.done) == 3
    assert not report.refused


def test_cancel_leaves_nothing_half_done(logbook: Logbook, camera: Path, visit_id: str) -> None:
    asked = iter([False, False, True])
    report = import_photos(logbook, files_in(camera), visit_id, cancelled=lambda: next(asked))
    assert report.cancelled
    assert not report.done
    assert kept_files(logbook) == []
    assert entries(logbook) == 1


def test_an_error_on_the_way_leaves_nothing_half_done(
    logbook: Logbook, camera: Path, visit_id: str
) -> None:
    def stop(done: int, _of: int) -> None:
        if done == 2:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        import_photos(logbook, files_in(camera), visit_id, progress=stop)
    assert kept_files(logbook) == []
    assert entries(logbook) == 1


def test_cancel_spares_the_file_of_a_photograph_that_is_kept(
    logbook: Logbook, camera: Path, visit_id: str
) -> None:
    import_photos(logbook, [camera / "photo-1.jpg"], visit_id)
    asked = iter([False, False, True])
    import_photos(logbook, files_in(camera), visit_id, cancelled=lambda: next(asked))
    assert len(kept_files(logbook)) == 1


def test_a_full_disk_is_told_and_leaves_nothing(
    logbook: Logbook, camera: Path, visit_id: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    from hulllog.records import media

    whole = media.put_whole

    def put(target: Path, data: bytes) -> None:
        if kept_files(logbook):
            raise OSError(28, "No space left on device", str(target))
        whole(target, data)

    monkeypatch.setattr(media, "put_whole", put)
    with pytest.raises(OSError, match="No space left"):
        import_photos(logbook, files_in(camera), visit_id)
    assert kept_files(logbook) == []
    assert photos(logbook) == []


def test_files_stay_when_only_the_telling_of_the_entry_failed(
    logbook: Logbook, camera: Path, visit_id: str
) -> None:
    def fail(_note: object) -> None:
        raise ZeroDivisionError

    logbook.on_change(fail)
    with pytest.raises(ZeroDivisionError):
        import_photos(logbook, files_in(camera), visit_id)
    assert len(photos(logbook)) == len(kept_files(logbook)) == 3


def test_undo_unlinks_and_redo_finds_the_file(
    logbook: Logbook, camera: Path, visit_id: str
) -> None:
    import_photos(logbook, files_in(camera), visit_id)
    logbook.undo()
    assert photos(logbook) == []
    assert len(kept_files(logbook)) == 3
    logbook.redo()
    assert not check(logbook.folder, deep=True, around=logbook.around).problems


def test_a_lost_file_comes_back_with_a_new_import(
    logbook: Logbook, camera: Path, visit_id: str
) -> None:
    import_photos(logbook, files_in(camera), visit_id)
    photo = photos(logbook)[0]
    lost = media_path(logbook.folder, photo)
    assert lost is not None
    lost.unlink()
    assert thumbnail(logbook, photo, 64) is None
    report = import_photos(logbook, files_in(camera), visit_id)
    assert len(report.already) == 3
    assert thumbnail(logbook, photo, 64) is not None


def test_nothing_comes_into_a_logbook_that_is_read_only(
    logbook: Logbook, camera: Path, folder: Path
) -> None:
    with Logbook.open(folder, logbook.around) as reader:
        with pytest.raises(LogbookProblem, match="read_only"):
            import_photos(reader, files_in(camera), None)
        with pytest.raises(LogbookProblem, match="read_only"):
            add_document(reader, camera / "photo-1.jpg", title="x", sort="other")
    assert kept_files(logbook) == []


def test_an_import_to_no_visit_of_this_logbook_leaves_nothing(
    logbook: Logbook, camera: Path
) -> None:
    with pytest.raises(Refused, match="no_such_record"):
        import_photos(logbook, files_in(camera), "nowhere")
    assert kept_files(logbook) == []


def test_hidden_files_are_no_photographs(camera: Path) -> None:
    (camera / ".trash").mkdir()
    shutil.copy(camera / "photo-1.jpg", camera / ".trash" / "old.jpg")
    (camera / "more").mkdir()
    shutil.copy(camera / "photo-1.jpg", camera / "more" / "photo-4.jpg")
    names = [file.name for file in files_in(camera)]
    assert names == ["photo-4.jpg", "photo-1.jpg", "photo-2.jpg", "photo-3.jpg"]


# Small copies


def test_a_small_copy_is_made_once(logbook: Logbook, camera: Path, visit_id: str) -> None:
    import_photos(logbook, files_in(camera), visit_id)
    photo = photos(logbook)[0]
    first = report_copy(logbook, photo, 60)
    assert first is not None
    assert Image.open(io.BytesIO(first)).size == (60, 45)
    original = media_path(logbook.folder, photo)
    assert original is not None
    original.unlink()
    assert report_copy(logbook, photo, 60) == first
    assert report_copy(logbook, photo, 61) is None


def test_a_cache_that_cannot_be_written_is_no_hindrance(
    logbook: Logbook, camera: Path, visit_id: str
) -> None:
    logbook.around.cache_folder.write_text("a file where the folder should be")
    import_photos(logbook, files_in(camera), visit_id)
    assert thumbnail(logbook, photos(logbook)[0], 64) is not None


def test_a_purged_photograph_is_not_shown_from_the_cache(
    logbook: Logbook, camera: Path, visit_id: str
) -> None:
    import_photos(logbook, files_in(camera), visit_id)
    photo = photos(logbook)[0]
    assert thumbnail(logbook, photo) is not None
    photo.purged_reason = "asked for"
    assert thumbnail(logbook, photo) is None


@pytest.mark.parametrize("sha256", ["../../../outside", "", "A" * 64, "f" * 63])
def test_what_a_stranger_wrote_never_becomes_a_path(logbook: Logbook, sha256: str) -> None:
    photo = Photo(sha256=sha256, media_type="image/jpeg")
    assert media_path(logbook.folder, photo) is None
    assert thumbnail(logbook, photo) is None


def test_an_unknown_kind_of_file_has_an_ending_of_ours(logbook: Logbook) -> None:
    path = media_path(logbook.folder, Document(sha256="f" * 64, media_type="x/../../y"))
    assert path == logbook.folder / "documents" / ("f" * 64 + ".bin")


# Papers


def test_a_paper_comes_in_as_a_file_with_its_entry(
    logbook: Logbook, tmp_path: Path, visit_id: str
) -> None:
    paper = tmp_path / "Invoice 4711.PDF"
    paper.write_bytes(b"%PDF-1.4 not much of one")
    key = add_document(
        logbook, paper, title="Invoice", sort="invoice", visit_id=visit_id, paper_date="2019-05"
    )
    with logbook.read() as book:
        document = book.get_one(Document, key)
    kept = media_path(logbook.folder, document)
    assert kept is not None
    assert kept.suffix == ".pdf"
    assert kept.read_bytes() == paper.read_bytes()
    assert (document.file_name, document.size) == ("Invoice 4711.PDF", paper.stat().st_size)
    assert not check(logbook.folder, deep=True, around=logbook.around).problems


def test_a_refused_paper_leaves_no_file(logbook: Logbook, tmp_path: Path) -> None:
    paper = tmp_path / "invoice.pdf"
    paper.write_bytes(b"%PDF-1.4")
    with pytest.raises(Refused):
        add_document(logbook, paper, title="", sort="invoice")
    with pytest.raises(Refused, match="file_gone"):
        add_document(logbook, tmp_path / "gone.pdf", title="Gone", sort="invoice")
    assert list((logbook.folder / "documents").iterdir()) == []


# Videos


def video(file: Path, brand: bytes = b"mp42") -> Path:
    file.write_bytes(b"\x00\x00\x00\x18ftyp" + brand + b"\x00" * 4000)
    return file


def documents(logbook: Logbook) -> list[Document]:
    with logbook.read() as book:
        return list(book.scalars(select(Document)))


@pytest.mark.parametrize(
    ("brand", "media_type"), [(b"isom", "video/mp4"), (b"qt  ", "video/quicktime")]
)
def test_a_video_is_kept_as_a_document_in_the_same_entry(
    logbook: Logbook, camera: Path, visit_id: str, brand: bytes, media_type: str
) -> None:
    files = [video(camera / "keel.mov", brand), *files_in(camera)]
    before = entries(logbook)
    report = import_photos(logbook, files, visit_id)
    assert entries(logbook) == before + 1
    assert [file.name for file in report.videos] == ["keel.mov"]
    assert not report.refused
    (kept,) = documents(logbook)
    assert (kept.media_type, kept.visit_id, kept.title) == (media_type, visit_id, "keel.mov")
    path = media_path(logbook.folder, kept)
    assert path is not None
    assert path.read_bytes() == files[0].read_bytes()
    import_photos(logbook, files, visit_id)
    assert len(documents(logbook)) == 1


def test_cancel_takes_a_video_back(logbook: Logbook, camera: Path, visit_id: str) -> None:
    files = [video(camera / "a.mp4"), *files_in(camera)]
    told = iter([False, False, True])
    assert import_photos(logbook, files, visit_id, cancelled=lambda: next(told)).cancelled
    assert documents(logbook) == []
    assert list((logbook.folder / "documents").iterdir()) == []


# Sorted to visits


@pytest.fixture
def two_visits(logbook: Logbook) -> tuple[str, str]:
    """Give a closed visit of 2019 and an open one of 2021."""
    from hulllog.records.operations import visits

    old = visits.start_haul_out(logbook, begins="2019-04-14", time_zone="Europe/London")
    visits.relaunch(logbook, old, "2019-04-20")
    visits.close(logbook, old)
    new = visits.start_haul_out(logbook, begins="2021-05-03", time_zone="Europe/London")
    return old, new


def test_photographs_are_sorted_to_the_visits_of_their_capture_time(
    logbook: Logbook, tmp_path: Path, two_visits: tuple[str, str]
) -> None:
    old, new = two_visits
    took = {
        "of-old.jpg": ("red", "2019:04:16 10:00:00", old, ""),
        "evening-before.jpg": ("navy", "2019:04:13 20:00:00", old, ""),
        "of-new.jpg": ("teal", "2021:05:03 12:00:00", new, ""),
        "between.jpg": ("olive", "2020:01:01 12:00:00", new, "no_visit"),
        "bare.jpg": ("gold", None, new, "no_time"),
    }
    files = [take(tmp_path / name, colour, when) for name, (colour, when, _, _) in took.items()]
    report = import_photos(logbook, files, new, state="left", sort=True)
    kept = {photo.file_name: photo for photo in photos(logbook)}
    for name, (_, _, visit, why) in took.items():
        assert kept[name].visit_id == visit, name
        assert report.doubtful.get(kept[name].id, "") == why, name
        assert kept[name].state == ("left" if visit == new else None), name
    assert sorted(report.elsewhere) == sorted(
        kept[name].id for name in ("of-old.jpg", "evening-before.jpg")
    )


def test_a_time_that_two_visits_hold_is_asked(logbook: Logbook, tmp_path: Path) -> None:
    from hulllog.records.operations import visits

    for begins, ends in (("2019-04-10", "2019-04-14"), ("2019-04-14", "2019-04-20")):
        one = visits.start_haul_out(logbook, begins=begins, time_zone="UTC")
        visits.relaunch(logbook, one, ends)
        visits.close(logbook, one)
    here = visits.start_haul_out(logbook, begins="2021-05-03", time_zone="UTC")
    report = import_photos(logbook, [take(tmp_path / "a.jpg", "red")], here, sort=True)
    assert list(report.doubtful.values()) == ["several_visits"]


def test_what_a_program_wrote_is_no_capture_time(
    logbook: Logbook, tmp_path: Path, two_visits: tuple[str, str]
) -> None:
    exif = Image.Exif()
    exif[ExifTags.Base.DateTime] = "2019:04:16 10:00:00"
    file = tmp_path / "edited.jpg"
    Image.new("RGB", (40, 30), "red").save(file, exif=exif)
    report = import_photos(logbook, [file], two_visits[1], sort=True)
    assert list(report.doubtful.values()) == ["changed_file"]
    assert photos(logbook)[0].visit_id == two_visits[1]


# Many, and bad ones among them


def lying_png(width: int, height: int) -> bytes:
    """Return a small PNG whose head says that it is larger."""
    import struct
    import zlib

    stream = io.BytesIO()
    Image.new("RGB", (8, 8), "red").save(stream, "PNG")
    data = bytearray(stream.getvalue())
    data[16:24] = struct.pack(">II", width, height)
    data[29:33] = struct.pack(">I", zlib.crc32(bytes(data[12:29])))
    return bytes(data)


def wide_png() -> bytes:
    stream = io.BytesIO()
    Image.new("1", (30_000, 2)).save(stream, "PNG")
    return stream.getvalue()


def short_tiff() -> bytes:
    stream = io.BytesIO()
    Image.new("RGB", (300, 200), "red").save(stream, "TIFF")
    return stream.getvalue()[:5000]


def test_three_hundred_mixed_files_go_in_and_each_bad_one_is_one_sentence(
    logbook: Logbook, tmp_path: Path, visit_id: str
) -> None:
    folder = tmp_path / "roll"
    folder.mkdir()
    endings = ("jpg", "png", "tif", "webp")
    for n in range(295):
        name = folder / f"p{n:03}.{endings[n % 4]}"
        Image.new("RGB", (48, 36), (n % 256, n // 256 * 90, 40)).save(name)
    shutil.copy(OWN_HEIC, folder / "own.heic")
    bad = {
        "text.jpg": (b"a letter, not a picture", "not_a_picture"),
        "wide.png": (wide_png(), "picture_too_large"),
        "lies.png": (lying_png(900, 700), "picture_broken"),
        "bomb.png": (lying_png(60_000, 60_000), "picture_too_large"),
        "short.tif": (short_tiff(), "picture_broken"),
    }
    for name, (data, _code) in bad.items():
        (folder / name).write_bytes(data)
    files = [*files_in(folder), folder / "gone.jpg"]
    told: list[tuple[int, int]] = []
    before = entries(logbook)
    report = import_photos(
        logbook, files, visit_id, progress=lambda done, of: told.append((done, of))
    )
    assert len(report.done) == 296
    assert {one.name: one.code for one in report.refused} == {
        **{name: code for name, (_data, code) in bad.items()}, "gone.jpg": "file_gone",
    }  # fmt: skip
    for one in report.refused:
        said = sentence(Refused(one.code, **one.values))
        assert one.name in said
    assert entries(logbook) == before + 1
    assert told == [(n, 302) for n in range(303)]
    assert {photo.media_type for photo in photos(logbook)} == {
        "image/jpeg", "image/png", "image/tiff", "image/webp", "image/heic",
    }  # fmt: skip


def test_cancel_of_many_leaves_nothing(logbook: Logbook, tmp_path: Path, visit_id: str) -> None:
    for n in range(120):
        Image.new("RGB", (30, 20), (n, 20, 20)).save(tmp_path / f"m{n}.png")
    done: list[int] = []
    before = entries(logbook)
    report = import_photos(
        logbook, sorted(tmp_path.glob("m*.png")), visit_id,
        progress=lambda at, _of: done.append(at), cancelled=lambda: len(done) > 100,
    )  # fmt: skip
    assert report.cancelled
    assert (photos(logbook), kept_files(logbook), entries(logbook)) == ([], [], before)

"""Killed before every write: opens clean, every finished entry there, no half file for a whole."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest
from killedjobs import EDITS, NOW, STEP
from PIL import Image
from recordskit import repeatable
from sqlalchemy import select

from hulllog.records import ladder
from hulllog.records.backup import backup, last_proven_backup
from hulllog.records.check import check
from hulllog.records.folder import FILE_NAME
from hulllog.records.journal import Entry
from hulllog.records.logbook import Logbook
from hulllog.records.media import import_photos
from hulllog.records.model import Photo, Visit
from hulllog.records.values import PartialDate

pytestmark = pytest.mark.skipif(os.name == "nt", reason="a process is forked for each kill")
HERE = Path(__file__).parent
EVERY = os.environ.get("HULLLOG_EVERY_KILL") == "1"
"""Kill before each and every write; otherwise before some, evenly spread."""


@pytest.fixture
def place(tmp_path: Path) -> Path:
    """Give a folder with a logbook of one visit in ``base``."""
    base = tmp_path / "base"
    base.mkdir()
    begins = PartialDate.parse("2019")
    visit = Visit(kind="haul_out", begins=begins, time_zone="UTC", looked_for=[], methods=[])
    with (
        Logbook.create(base / "book", repeatable(base)) as logbook,
        logbook.change("visit.start") as book,
    ):
        book.keep(visit)
    return tmp_path


def killed(job: str, place: Path, stride: int = 1, inside: str = "between") -> list[Path]:
    """Run a job, killed at every write; returns the folders that were left, the whole one last."""
    stride = 1 if EVERY and inside == "between" and job != "edit_on" else stride
    script = str(HERE / "killedjobs.py")
    done = subprocess.run(
        [sys.executable, script, job, str(place), str(stride), inside],
        env={**os.environ, "PYTHONPATH": f"{HERE}{os.pathsep}{os.environ.get('PYTHONPATH', '')}"},
        capture_output=True,
        text=True,
        check=False,
        stdin=subprocess.DEVNULL,
    )
    assert done.returncode == 0, done.stderr
    left = [one for one in place.iterdir() if one.name.isdigit()]
    return sorted(left, key=lambda one: int(one.name))


def finished(folder: Path) -> list[str]:
    """Return what the child had finished."""
    file = folder / "finished"
    return file.read_text().split() if file.exists() else []


def assert_sound(folder: Path) -> None:
    report = check(folder, around=repeatable(folder))
    assert not report.problems, (folder, report.problems)


def assert_edits(folder: Path) -> int:
    """Open what is left, and look that every finished edit is there."""
    done = finished(folder)
    with Logbook.open(folder / "book", repeatable(folder, begins=500)) as logbook:
        assert logbook.read_only is None, folder
        with logbook.read() as book:
            entries = book.scalars(select(Entry).order_by(Entry.written)).all()
            note = book.scalars(select(Visit.note)).one()
        assert len(entries) - 1 in (len(done), len(done) + 1), folder
        with logbook.change("visit.set") as book:
            book.scalars(select(Visit)).one().note = "written on"
    assert_sound(folder / "book")
    edits = len(entries) - 1
    if 0 < edits <= EDITS:
        assert (note or "").startswith(str(edits - 1))
    return edits


def test_edits_killed_before_every_write(place: Path) -> None:
    left = killed("edit", place, stride=3)
    seen = {assert_edits(folder) for folder in left}
    assert seen == set(range(EDITS + 2)), "some were killed before each of the edits and the undo"
    assert finished(left[-1]) == ["0", "1", "2", "undo"]


def test_edits_killed_inside_a_statement_that_has_written_already(place: Path) -> None:
    left = killed("edit", place, stride=41, inside="inside")
    assert any((one / "book" / f"{FILE_NAME}-journal").exists() for one in left), (
        "some left a journal to be played back"
    )
    for folder in left:
        assert_edits(folder)


def test_edits_killed_from_outside_at_any_instant(place: Path) -> None:
    killed("edit_on", place, stride=8)
    for number in range(1, 9):
        folder = place / f"{number}"
        done = finished(folder)
        with Logbook.open(folder / "book", repeatable(folder, begins=5000)) as logbook:
            assert logbook.read_only is None
            with logbook.read() as book:
                note = int(book.scalars(select(Visit.note)).one() or -1)
        assert note in (len(done) - 1, len(done))
        assert_sound(folder / "book")


def test_an_unfinished_write_is_cleared_away_for_reading_and_checking_too(place: Path) -> None:
    left = killed("edit", place, stride=41, inside="inside")
    cut_off = [one for one in left if (one / "book" / f"{FILE_NAME}-journal").exists()]
    assert_sound(cut_off[0] / "book")
    with Logbook.open(cut_off[-1] / "book", repeatable(place), read_only=True) as reader:
        assert reader.read_only == "asked"


def test_an_import_killed_before_every_write(place: Path) -> None:
    camera = place / "base" / "camera"
    camera.mkdir()
    for number in range(2):
        Image.new("RGB", (64, 48), (number * 80, 90, 30)).save(camera / f"{number}.jpg")
    left = killed("import", place, stride=2)
    for folder in left:
        around = repeatable(folder, begins=500)
        with Logbook.open(folder / "book", around) as logbook:
            with logbook.read() as book:
                photos = len(book.scalars(select(Photo)).all())
            assert photos in (0, 2), "a batch is there or not at all"
            assert photos == 2 or "import" not in finished(folder)
            report = import_photos(logbook, sorted((folder / "camera").iterdir()), None)
            assert len(report.done) + len(report.already) == 2
            assert not report.refused
        assert_sound(folder / "book")
        assert not list((folder / "book" / "photos").glob("*.making"))


def test_a_backup_killed_before_every_write(place: Path) -> None:
    base = place / "base"
    picture = place / "picture.jpg"
    Image.new("RGB", (64, 48), "teal").save(picture)
    with Logbook.open(base / "book", repeatable(base, begins=50)) as logbook:
        assert backup(logbook, base / "copy")
        older = logbook.head
        import_photos(logbook, [picture], None)
        newer = logbook.head
    heads = set()
    for folder in killed("backup", place, stride=3):
        report = check(folder / "copy", around=repeatable(folder))
        assert not report.problems, "the earlier backup stays whole until the later one is"
        heads.add(report.head)
        around = repeatable(folder, begins=500)
        with Logbook.open(folder / "book", around) as logbook:
            proven = last_proven_backup(logbook)
            assert proven is not None
            assert proven.head == older or report.head == newer
            again = backup(logbook, folder / "copy")
            assert again is not None
            assert again.proved
    assert heads == {older, newer}


def test_a_climb_killed_before_every_write(place: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    left = killed("climb", place, stride=23)
    monkeypatch.setattr(ladder, "SCHEMA_NUMBER", NOW + 1)
    monkeypatch.setitem(ladder.STEPS, NOW, STEP)
    for folder in left:
        with Logbook.open(folder / "book", repeatable(folder, begins=500)) as logbook:
            assert logbook.read_only is None
            with logbook.read() as book:
                kinds = book.scalars(select(Entry.kind).order_by(Entry.written)).all()
                tide = book.connection().exec_driver_sql("SELECT tide FROM visit").scalar_one()
        assert (kinds, tide) == (["edit", "schema"], "spring")
        assert_sound(folder / "book")
    assert "climb" in finished(left[-1])


def test_making_a_logbook_killed_before_every_write(place: Path) -> None:
    left = killed("create", place, stride=29)
    for folder in left:
        around = repeatable(folder, begins=500)
        if (folder / "new" / FILE_NAME).exists():
            Logbook.open(folder / "new", around).close()
        else:
            assert finished(folder) == []
            Logbook.create(folder / "new", around).close()
        assert_sound(folder / "new")

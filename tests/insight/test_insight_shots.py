"""The shot list ticks itself by the photographs that are there."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from PIL import ExifTags, Image

from hulllog.insight.shots import CODES, shot_list
from hulllog.records.logbook import Logbook, Surroundings
from hulllog.records.media import import_photos
from hulllog.records.operations import photos, queries, vessel, visits, yardwork
from hulllog.words import say

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path


class Yard:
    """A haul-out, and a hand that takes pictures of it."""

    def __init__(self, folder: Path) -> None:
        around = Surroundings(state_folder=folder / "state", cache_folder=folder / "cache")
        self.folder = folder
        self.book = Logbook.create(folder / "book", around)
        vessel.create_vessel(
            self.book, name="Ruddy Shore", kind="yacht", material="grp", keel="twin",
            length="8.7", beam="2.9", draught="0.95",
        )  # fmt: skip
        self.visit = visits.start_haul_out(
            self.book, begins="2024-04-17", way="hoist", time_zone="UTC"
        )
        with self.book.read() as book:
            self.zones = {zone.code: zone.id for zone, _ in queries.zones_at(book)}
        self.taken = 0

    def take(self, *codes: str, state: str = "found", at: str = "") -> str:
        """Take a picture that shows zones; returns its key."""
        self.taken += 1
        exif = Image.Exif()
        exif[ExifTags.Base.Model] = "Ownmake Box 3"
        if at:
            exif.get_ifd(ExifTags.IFD.Exif)[ExifTags.Base.DateTimeOriginal] = f"2024:04:17 {at}"
        file = self.folder / f"p{self.taken}.jpg"
        Image.new("RGB", (60, 40), (self.taken * 9, 80, 60)).save(file, exif=exif)
        (made,) = import_photos(self.book, [file], self.visit, state=state).done
        for code in codes:
            photos.place_photo(self.book, made.photo_id, zone_id=self.zones[code])
        return made.photo_id

    def shots(self) -> dict[str, tuple[int, str]]:
        with self.book.read() as book:
            return {one.code: (one.have, one.state) for one in shot_list(book, self.visit)}

    def order(self) -> list[str]:
        with self.book.read() as book:
            return [one.code for one in shot_list(book, self.visit)]


@pytest.fixture
def yard(tmp_path: Path) -> Iterator[Yard]:
    made = Yard(tmp_path)
    yield made
    made.book.close()


def test_both_sides_tick_by_what_the_pictures_show(yard: Yard) -> None:
    assert yard.shots()["sides"] == (0, "open")
    yard.take("topsides-port")
    yard.take("topsides-port")
    assert yard.shots()["sides"] == (1, "part")
    yard.take("topsides-starboard")
    assert yard.shots()["sides"] == (2, "done")


def test_a_picture_as_left_is_none_of_before_the_wash(yard: Yard) -> None:
    yard.take("rudder", state="left")
    assert yard.shots()["rudder"] == (0, "open")
    assert yard.shots()["as_left"] == (1, "part")


def test_a_picture_taken_after_the_wash_does_not_count_for_before(yard: Yard) -> None:
    yardwork.set_stage(yard.book, yard.visit, "washed", "2024-04-17 11:00")
    yard.take("rudder", at="12:30:00")
    assert yard.shots()["rudder"] == (0, "gone")
    early = yard.take("rudder", at="10:30:00")
    assert yard.shots()["rudder"] == (1, "done")
    photos.name_shot(yard.book, early, "damage")
    assert yard.shots()["rudder"] == (0, "gone")


def test_a_clock_that_was_fast_is_allowed_for(yard: Yard) -> None:
    yardwork.set_stage(yard.book, yard.visit, "washed", "2024-04-17 11:00")
    yard.take("rudder", at="12:30:00")
    photos.correct_clock(yard.book, "Ownmake Box 3", -120, reason="two hours fast")
    assert yard.shots()["rudder"] == (1, "done")


def test_what_no_record_tells_is_named_and_taken_back(yard: Yard) -> None:
    one = yard.take()
    assert yard.shots()["tins"] == (0, "open")
    photos.name_shot(yard.book, one, "tins")
    assert yard.shots()["tins"] == (1, "done")
    photos.name_shot(yard.book, one, None)
    assert yard.shots()["tins"] == (0, "open")


def test_what_cannot_be_had_later_comes_first_while_it_waits(yard: Yard) -> None:
    assert yard.order()[:3] == ["sides", "quarters", "waterline"]
    assert yard.order().index("joint") < yard.order().index("quarters_washed")
    yard.take("topsides-port")
    yard.take("topsides-starboard")
    assert yard.order()[0] == "quarters"
    assert yard.order().index("sides") > yard.order().index("slings")


def test_slings_are_asked_for_where_she_hung_in_them(yard: Yard) -> None:
    assert "slings" in yard.shots()
    visits.set_visit(yard.book, yard.visit, "way", "slipway")
    assert "slings" not in yard.shots()


def test_every_shot_is_said(yard: Yard) -> None:
    assert all(say(f"shot.{code}") for code in CODES)

"""Pairs of the same place, written for a reader who has only the pictures."""

from __future__ import annotations

import csv
import importlib
import math
import re
from collections import Counter
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest
from PIL import Image
from sqlalchemy import select

from hulllog import assets
from hulllog.records.model import Visit

if TYPE_CHECKING:
    from pathlib import Path

    from hulllog.records.logbook import Logbook


@pytest.fixture
def pairs() -> Any:
    return importlib.import_module(f"{assets.sample().__name__}.pairs")


@pytest.fixture
def written(logbook: Logbook, tmp_path: Path, pairs: Any) -> tuple[Path, list[dict[str, str]]]:
    folder, key = tmp_path / "pictures", tmp_path / "key.csv"
    pairs.write(logbook, folder, key)
    with key.open(encoding="utf-8", newline="") as file:
        return folder, list(csv.DictReader(file))


def test_ten_pairs_of_one_place_each_and_two_years(
    written: tuple[Path, list[dict[str, str]]],
) -> None:
    folder, rows = written
    names = sorted(file.name for file in folder.iterdir())
    assert names == sorted(f"pair-{n:02}-{side}.jpg" for n in range(1, 11) for side in "ab")
    assert sorted(row["file"] for row in rows) == names
    for first, second in zip(rows[::2], rows[1::2], strict=True):
        assert first["place"] == second["place"]
        assert first["begins"] != second["begins"]
        assert {first["order_in_time"], second["order_in_time"]} == {"earlier", "later"}
        later_first = first["order_in_time"] == "later"
        assert (first["begins"] > second["begins"]) is later_first
    assert max(Counter(row["original_sha256"] for row in rows).values()) == 1
    assert {row["order_in_time"] for row in rows[::2]} == {"earlier", "later"}


def test_a_picture_tells_nothing_but_its_pixels(
    written: tuple[Path, list[dict[str, str]]],
) -> None:
    folder, rows = written
    moments = set()
    for file in folder.iterdir():
        moments.add(file.stat().st_mtime)
        with Image.open(file) as image:
            assert not dict(image.getexif())
            assert "comment" not in image.info
        data = file.read_bytes()
        assert not re.search(rb"20[0-2]\d[:-]", data[:600])
        assert b"Ottal" not in data
        assert b"Sandling" not in data
        assert all(row["original_sha256"] not in file.name for row in rows)
    assert len(moments) == 1


def test_the_same_seed_gives_the_same_pairs(
    logbook: Logbook, tmp_path: Path, pairs: Any, written: tuple[Path, list[dict[str, str]]]
) -> None:
    folder, _rows = written
    pairs.write(logbook, tmp_path / "again", tmp_path / "again.csv")
    assert (tmp_path / "again.csv").read_bytes() == (tmp_path / "key.csv").read_bytes()
    for file in folder.iterdir():
        assert (tmp_path / "again" / file.name).read_bytes() == file.read_bytes()


def module(name: str) -> Any:
    return importlib.import_module(f"{assets.sample().__name__}.{name}")


# What the records tell apart


def told(logbook: Logbook) -> list[tuple[str, str, int, str, int, str]]:
    """Return of each pair: place, sort of change, year and state of each of the two."""
    with logbook.read() as book:
        years = {
            visit.id: visit.begins.middle.year for visit in book.scalars(select(Visit))
            if visit.begins
        }  # fmt: skip
        return [
            (
                one.place, one.what,
                years[one.earlier.visit_id or ""], one.earlier.state,
                years[one.later.visit_id or ""], one.later.state,
            )
            for one in module("changes").changes(book)
        ]  # fmt: skip


def of(logbook: Logbook, what: str) -> set[tuple[int, str, int, str]]:
    return {one[2:] for one in told(logbook) if one[1] == what}


def test_an_anode_is_held_against_the_same_piece_only(logbook: Logbook) -> None:
    pairs = of(logbook, "anode lighter")
    assert {(2018, "found", 2020, "found"), (2021, "left", 2024, "found")} <= pairs
    renewed = {2015, 2017, 2020, 2021, 2024}
    for first, state, last, _ in pairs:
        between = range(first + (state == "left"), last)
        assert not renewed & set(between), (first, state, last)


def test_no_blister_is_held_against_one_seen_dry_or_after_the_treatment(logbook: Logbook) -> None:
    pairs = of(logbook, "laminate-blisters worse")
    assert (2015, "found", 2022, "found") in pairs
    assert not [pair for pair in pairs if 2017 in pair or max(pair[0], pair[2]) > 2022]
    assert not of(logbook, "laminate-blisters repaired")


def test_a_repair_is_told_until_its_trace_is_taken_off(logbook: Logbook) -> None:
    assert of(logbook, "rust-spots repaired") == {(2015, "found", 2017, "found")}
    assert of(logbook, "crack repaired") == {
        (year, "found", 2025, "found") for year in (2015, 2017, 2021, 2022)
    }


def test_what_was_mended_between_did_not_grow(logbook: Logbook) -> None:
    # Rust of 2015 was primed, so was that of 2018; the faces were blasted in 2021.
    assert of(logbook, "rust-spots worse") == {(2024, "found", 2025, "found")}
    assert {pair[2] for pair in of(logbook, "crack worse")} == {2017, 2021, 2022}


def test_paint_wears_until_the_next_coat_and_no_longer(logbook: Logbook) -> None:
    assert of(logbook, f"{module('changes').COVER} worse") == {
        (2019, "left", 2020, "found"), (2024, "left", 2025, "found"),
    }  # fmt: skip


def test_the_key_tells_each_change_and_no_two_visits_give_others_away(
    written: tuple[Path, list[dict[str, str]]],
) -> None:
    _, rows = written
    changes = {row["change"] for row in rows}
    assert "the same anode wore from 618 to 262 g" in changes
    assert "crack 24 to 66 mm" in changes
    assert all(one["change"] == other["change"] for one, other in
               zip(rows[::2], rows[1::2], strict=True))  # fmt: skip
    visits = Counter(
        tuple(sorted((one["begins"], other["begins"])))
        for one, other in zip(rows[::2], rows[1::2], strict=True)
        if one["change"].startswith("largest blister")
    )
    assert len(visits) > 1


# Drawn from what is on record


@pytest.mark.parametrize("grams", [618, 488, 331, 214])
def test_a_worn_collar_is_as_large_as_its_mass(grams: int) -> None:
    wide, long = module("closeups").collar(grams, 620)
    assert math.pi / 4 * (wide**2 - 25**2) * long * 7.14e-3 == pytest.approx(grams, rel=1e-3)
    assert wide <= 60


@pytest.mark.parametrize("cover", [0.45, 0.76])
def test_as_much_of_the_old_paint_shows_as_was_recorded(cover: float) -> None:
    picture = module("closeups").waterline(cover, "#000000", "#00ff00", coated=2019, year="x")
    below = np.asarray(picture)[360:780].astype(float)
    through = below[..., 1] > 128
    assert 1 - through.mean() == pytest.approx(cover, abs=0.06)


def test_a_crack_is_as_long_as_it_was_measured() -> None:
    # It is as broad on the whole at any length, so the points it covers grow with it.
    bare, short, long = (
        np.asarray(module("closeups").topsides_crack(mm, year=2015)).astype(int)
        for mm in (0, 24, 66)
    )
    covered = [((bare - one).sum(axis=2) > 60).sum() for one in (short, long)]
    assert covered[1] / covered[0] == pytest.approx(66 / 24, rel=0.2)


def test_the_key_never_lies_among_the_pictures(
    logbook: Logbook, tmp_path: Path, pairs: Any
) -> None:
    with pytest.raises(ValueError, match="among the pictures"):
        pairs.write(logbook, tmp_path / "p", tmp_path / "p" / "key.csv")
    (tmp_path / "full").mkdir()
    (tmp_path / "full" / "notes.txt").write_text("mine")
    with pytest.raises(ValueError, match="not empty"):
        pairs.write(logbook, tmp_path / "full", tmp_path / "key.csv")

"""Pairs of the same place, written for a reader who has only the pictures."""

from __future__ import annotations

import csv
import re
from collections import Counter
from typing import TYPE_CHECKING, Any

import pytest
from PIL import Image

from hulllog import assets

if TYPE_CHECKING:
    from pathlib import Path

    from hulllog.records.logbook import Logbook


@pytest.fixture
def pairs() -> Any:
    import importlib

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


def test_the_key_never_lies_among_the_pictures(
    logbook: Logbook, tmp_path: Path, pairs: Any
) -> None:
    with pytest.raises(ValueError, match="among the pictures"):
        pairs.write(logbook, tmp_path / "p", tmp_path / "p" / "key.csv")
    (tmp_path / "full").mkdir()
    (tmp_path / "full" / "notes.txt").write_text("mine")
    with pytest.raises(ValueError, match="not empty"):
        pairs.write(logbook, tmp_path / "full", tmp_path / "key.csv")

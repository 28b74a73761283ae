"""Importing photographs against reading, hashing, writing with fsync and one small copy of each."""

from __future__ import annotations

import hashlib
import io
import os
import struct
import subprocess
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
from benchtools import by_turns, scratch, surroundings, tell
from PIL import Image

from hulllog.records.logbook import Logbook
from hulllog.records.media import SMALL, import_photos

if TYPE_CHECKING:
    from collections.abc import Sequence

PROMISE = 1.5
PHOTOS, ROUNDS = 12, 5


def pictures(folder: Path) -> list[Path]:
    """Draw pictures of twelve million pixels, as grainy as a phone's."""
    grain = np.random.default_rng(4)
    files = []
    for number in range(PHOTOS):
        coarse = grain.integers(60, 200, (95, 127, 3), dtype=np.uint8)
        large = Image.fromarray(coarse).resize((4000, 3000), Image.Resampling.BICUBIC)
        noise = grain.integers(0, 24, (3000, 4000, 3), dtype=np.uint8)
        picture = Image.fromarray(np.clip(np.asarray(large) + noise, 0, 255).astype(np.uint8))
        files.append(folder / f"picture-{number}.jpg")
        picture.save(files[-1], quality=85)
    return files


class Plain:
    """The least that must be done."""

    def __init__(self, files: Sequence[Path], folder: Path) -> None:
        self.files = files
        self.folder = folder
        self.folder.mkdir()

    def __call__(self) -> None:
        for file in self.files:
            data = file.read_bytes()
            name = hashlib.sha256(data).hexdigest()
            with (self.folder / name).open("wb") as copy:
                copy.write(data)
                copy.flush()
                os.fsync(copy.fileno())
            self.look(data)

    def look(self, data: bytes) -> None:
        """Make the small copy."""
        picture = Image.open(io.BytesIO(data))
        picture.draft("RGB", (SMALL, SMALL))
        picture.thumbnail((SMALL, SMALL))
        picture.save(io.BytesIO(), "JPEG", quality=82)


class HeicPlain(Plain):
    """The same with one whole decoding, which a HEIC wants."""

    def look(self, data: bytes) -> None:
        """Decode once and make the small copy."""
        import pi_heif

        picture = pi_heif.open_heif(data).to_pillow()
        picture.thumbnail((SMALL, SMALL))
        picture.save(io.BytesIO(), "JPEG", quality=82)


class MixedPlain(HeicPlain):
    """Each as its kind wants it."""

    def look(self, data: bytes) -> None:
        """Decode a HEIC once, all else as far as the small copy wants."""
        if data[4:8] == b"ftyp":
            super().look(data)
        else:
            Plain.look(self, data)


class Import:
    """Takes the files into an empty logbook each time; making one is no part of it."""

    def __init__(self, files: Sequence[Path], folder: Path, rounds: int) -> None:
        self.files = files
        self.books: list[Path] = []
        for number in range(rounds):
            self.books.append(folder / f"{number}" / "book")
            Logbook.create(self.books[-1], surroundings(self.books[-1].parent)).close()

    def __call__(self) -> None:
        folder = self.books.pop()
        with Logbook.open(folder, surroundings(folder.parent)) as logbook:
            report = import_photos(logbook, self.files, None)
        assert len(report.done) == len(self.files)


def main() -> None:
    """Print the ratios for JPEG, HEIC (large ones where heif-enc is there) and a mixed roll."""
    with scratch() as folder:
        files = pictures(folder)
        measure("importing 12 JPEG of 12 megapixels", files, Plain, folder / "jpeg")
        heic = [made for file in files[:4] if (made := as_heic(file))]
        if heic:
            measure("importing 4 HEIC of 12 megapixels", heic, HeicPlain, folder / "heic")
        small = own_heic(folder, 40)
        measure("importing 40 small HEIC", small, HeicPlain, folder / "small")
        roll = [*mixed(folder), *small[:20]]
        measure("importing 300 mixed", roll, MixedPlain, folder / "mixed", rounds=2)


def measure(
    what: str, files: Sequence[Path], least: type[Plain], folder: Path, *, rounds: int = ROUNDS
) -> None:
    """Time both by turns."""
    folder.mkdir()
    import_ = Import(files, folder / "ours", rounds)
    plain, ours = by_turns(rounds, least(files, folder / "plain"), import_)
    tell(what, plain, ours, PROMISE)


def own_heic(folder: Path, count: int) -> list[Path]:
    """Return the checkout's own HEIC so many times, each told apart by an empty box at its end."""
    data = (Path(__file__).parents[1] / "records" / "data" / "own-picture.heic").read_bytes()
    files = [folder / f"own-{number}.heic" for number in range(count)]
    for number, file in enumerate(files):
        file.write_bytes(data + struct.pack(">I4sI", 12, b"free", number))
    return files


def mixed(folder: Path) -> list[Path]:
    """Draw 280 pictures of a million pixels: JPEG for the most part, PNG, WebP and TIFF."""
    grain = np.random.default_rng(7)
    endings = ["jpg"] * 220 + ["png"] * 30 + ["webp"] * 15 + ["tif"] * 15
    files = []
    for number, ending in enumerate(endings):
        coarse = grain.integers(60, 200, (40, 54, 3), dtype=np.uint8)
        picture = Image.fromarray(coarse).resize((1224, 918), Image.Resampling.BICUBIC)
        files.append(folder / f"mixed-{number:03}.{ending}")
        picture.save(files[-1], **({"quality": 85} if ending in ("jpg", "webp") else {}))
    return files


def as_heic(file: Path) -> Path | None:
    """Turn a picture into a HEIC with Debian's heif-enc."""
    target = file.with_suffix(".heic")
    try:
        subprocess.run(["heif-enc", "-q", "50", file, "-o", target], check=True)
    except FileNotFoundError:
        return None
    return target


if __name__ == "__main__":
    main()

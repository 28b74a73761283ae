"""The program as the wheel lays it out, run from another folder."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest
from house import ROOT

LEFT_OUT = shutil.ignore_patterns("__pycache__", "*.pyc")


@pytest.fixture(scope="module")
def installed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Lay the package and its files out as the wheel does, by the same table."""
    target = tmp_path_factory.mktemp("installed")
    table = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))
    wheel = table["tool"]["hatch"]["build"]["targets"]["wheel"]
    for package in wheel["packages"]:
        shutil.copytree(ROOT / package, target / package, ignore=LEFT_OUT)
    for source, inside in wheel["force-include"].items():
        shutil.copytree(ROOT / source, target / inside, ignore=LEFT_OUT)
    return target


def _run(installed: Path, folder: Path, *arguments: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, *arguments],
        cwd=folder,
        env={**os.environ, "PYTHONPATH": _path(installed)},
        capture_output=True,
        text=True,
        check=False,
        stdin=subprocess.DEVNULL,
    )


def _path(installed: Path) -> str:
    before = os.environ.get("PYTHONPATH", "")
    return os.pathsep.join(part for part in (str(installed), before) if part)


def test_the_files_are_found_inside_the_package(installed: Path, tmp_path: Path) -> None:
    done = _run(
        installed,
        tmp_path,
        "-c",
        "import hulllog; from hulllog.words import say; from hulllog.assets import resource;"
        "print(hulllog.__file__); print(resource('words-2048.txt')); print(say('page.today'))",
    )
    assert done.returncode == 0, done.stderr
    package, words, said = done.stdout.splitlines()
    assert Path(package).is_relative_to(installed)
    assert Path(words).is_relative_to(installed)
    assert said == "Today"


def test_the_demo_is_built_from_another_folder(installed: Path, tmp_path: Path) -> None:
    done = _run(installed, tmp_path, "-m", "hulllog", "demo", "--no-window")
    assert done.returncode == 0, done.stderr
    assert (tmp_path / "hulllog-demo").is_dir()
    histories = list(tmp_path.glob("*.pdf"))
    assert len(histories) == 1
    assert histories[0].read_bytes().startswith(b"%PDF")

"""The command line, run as a person would: what it prints, writes and answers."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from pypdf import PdfReader

from hulllog import assets, cli
from hulllog.records.logbook import FILE_NAME, Logbook
from hulllog.records.operations.vessel import create_vessel

if TYPE_CHECKING:
    from collections.abc import Callable

COMMANDS = ("open", "demo", "report", "sheet", "cards", "check", "backup")


@pytest.fixture(scope="session")
def shelf(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The sample shelf, built once."""
    folder = tmp_path_factory.mktemp("cli") / "shelf"
    assets.sample().build(folder)
    return folder


@pytest.fixture
def sample(shelf: Path, tmp_path: Path) -> Path:
    """A copy of the sample logbook."""
    logbook = assets.sample().logbook_folder(shelf)
    return Path(shutil.copytree(logbook, tmp_path / "ketch"))


@pytest.fixture
def run(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Callable[..., int]:
    """Run a command in an empty folder; the window only notes that it was asked for."""
    place = tmp_path / "here"
    place.mkdir()
    monkeypatch.chdir(place)

    def go(*arguments: object) -> int:
        opened: list[Path | None] = []
        code = cli.run(
            [str(one) for one in arguments],
            open_window=lambda logbook: opened.append(logbook) or 0,
        )
        go.opened = opened  # type: ignore[attr-defined]
        return code

    return go


@pytest.mark.parametrize("command", COMMANDS)
def test_each_command_tells_what_it_does(
    run: Callable[..., int], capsys: pytest.CaptureFixture[str], command: str
) -> None:
    with pytest.raises(SystemExit) as ended:
        run(command, "--help")
    assert ended.value.code == 0
    assert "usage: hulllog" in capsys.readouterr().out


def test_wrong_usage_is_two(run: Callable[..., int]) -> None:
    with pytest.raises(SystemExit) as ended:
        run("report", "somewhere", "--for", "neighbour")
    assert ended.value.code == 2


def test_the_demo_builds_once_and_gives_the_next_history_a_new_name(
    run: Callable[..., int], shelf: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    shutil.copytree(shelf, "hulllog-demo")
    before = sorted(str(path) for path in Path("hulllog-demo").rglob("*.jpg"))
    assert run("demo", "--no-window") == 0
    assert run("demo", "--no-window") == 0
    said = capsys.readouterr().out
    assert "opened as it is" in said
    assert sorted(path.name for path in Path().glob("*.pdf")) == [
        "hulllog-demo-history-2.pdf",
        "hulllog-demo-history.pdf",
    ]
    assert sorted(str(path) for path in Path("hulllog-demo").rglob("*.jpg")) == before
    assert run.opened == []  # type: ignore[attr-defined]
    for page in PdfReader("hulllog-demo-history.pdf").pages:
        assert "SAMPLE" in page.extract_text()


def test_a_bare_logbook_opens_the_window(run: Callable[..., int], sample: Path) -> None:
    pytest.importorskip(
        "PySide6.QtWidgets", reason="PySide6 cannot be imported", exc_type=ImportError
    )
    assert run(sample) == 0
    assert run.opened == [sample]  # type: ignore[attr-defined]


def whole_process(*arguments: object, **changed: str | None) -> subprocess.CompletedProcess[str]:
    """Run the program as its own process; a variable that is None is taken away."""
    kept = {name: value for name, value in {**os.environ, **changed}.items() if value is not None}
    return subprocess.run(
        [sys.executable, "-m", "hulllog", *map(str, arguments)],
        env=kept,
        capture_output=True,
        text=True,
        check=False,
        stdin=subprocess.DEVNULL,
    )


@pytest.mark.parametrize("trouble", ["libEGL.so.1: cannot open", "No module named 'PySide6'"])
def test_without_qt_the_window_is_one_sentence(sample: Path, tmp_path: Path, trouble: str) -> None:
    hidden = tmp_path / "hidden" / "PySide6"
    hidden.mkdir(parents=True)
    (hidden / "__init__.py").write_text(f"raise ImportError({trouble!r}, name='PySide6')\n")
    done = whole_process(sample, PYTHONPATH=str(hidden.parent))
    assert (done.returncode, done.stdout) == (1, "")
    assert len(done.stderr.strip().splitlines()) == 1
    if "libEGL" in trouble:
        assert "libEGL.so.1 is missing" in done.stderr
        assert "sudo apt-get install" in done.stderr
        assert "untried" in done.stderr
    else:
        assert "needs PySide6" in done.stderr


@pytest.mark.parametrize(
    ("platform", "display", "said"),
    [(None, None, "there is no display here"), ("xcb", ":7654", "cannot use this display")],
)
def test_without_a_display_the_window_is_one_sentence(
    sample: Path, platform: str | None, display: str | None, said: str
) -> None:
    pytest.importorskip(
        "PySide6.QtWidgets", reason="PySide6 cannot be imported", exc_type=ImportError
    )
    done = whole_process(sample, QT_QPA_PLATFORM=platform, DISPLAY=display, WAYLAND_DISPLAY=None)
    assert (done.returncode, done.stdout) == (1, "")
    assert said in done.stderr
    assert len(done.stderr.strip().splitlines()) == 1


def test_the_window_of_a_process_is_drawn_once_and_its_logbook_is_closed(sample: Path) -> None:
    pytest.importorskip(
        "PySide6.QtWidgets", reason="PySide6 cannot be imported", exc_type=ImportError
    )
    done = whole_process(sample, QT_QPA_PLATFORM="offscreen")
    assert (done.returncode, done.stdout, done.stderr) == (0, "", "")
    with Logbook.open(sample) as logbook:
        assert logbook.read_only is None


def test_what_is_no_fault_of_qt_is_not_said_to_be(sample: Path) -> None:
    def broken(_logbook: Path | None) -> int:
        raise ImportError("cannot import name 'something'", name="hulllog.desktop.page")

    with pytest.raises(ImportError, match="something"):
        cli.run([str(sample)], open_window=broken)


def test_without_a_display_the_demo_still_ends_well(
    run: Callable[..., int],
    shelf: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    pytest.importorskip(
        "PySide6.QtWidgets", reason="PySide6 cannot be imported", exc_type=ImportError
    )
    shutil.copytree(shelf, "hulllog-demo")
    for name in ("QT_QPA_PLATFORM", "DISPLAY", "WAYLAND_DISPLAY"):
        monkeypatch.delenv(name, raising=False)
    assert run("demo") == 0
    assert "No window" in capsys.readouterr().out
    assert run.opened == []  # type: ignore[attr-defined]


def test_a_report_is_written_without_qt(sample: Path, tmp_path: Path) -> None:
    code = (
        "import sys; from hulllog import cli;"
        f"code = cli.run(['report', {str(sample)!r}, '--out', 'h.pdf'], open_window=None);"
        "assert 'PySide6' not in sys.modules; sys.exit(code)"
    )
    done = subprocess.run(
        [sys.executable, "-c", code],
        cwd=tmp_path,
        env=dict(os.environ),
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    assert len(PdfReader(tmp_path / "h.pdf").pages) > 4


def test_a_report_never_writes_over_a_file(
    run: Callable[..., int], sample: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    Path("kept.pdf").write_text("mine")
    assert run("report", sample, "--out", "kept.pdf") == 1
    assert "there already" in capsys.readouterr().err
    assert Path("kept.pdf").read_text() == "mine"


def test_a_missing_logbook_is_two_and_one_sentence(
    run: Callable[..., int], capsys: pytest.CaptureFixture[str]
) -> None:
    assert run("check", "nowhere") == 2
    said = capsys.readouterr().err.strip()
    assert len(said.splitlines()) == 1
    assert "Traceback" not in said


def test_another_kind_of_file_is_refused(
    run: Callable[..., int], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = tmp_path / "other"
    folder.mkdir()
    (folder / FILE_NAME).write_text("not a database")
    assert run("report", folder) == 2
    assert len(capsys.readouterr().err.strip().splitlines()) == 1


def test_check_says_yes_and_what_it_cannot_see(
    run: Callable[..., int], sample: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run("check", sample, "--deep") == 0
    said = capsys.readouterr().out
    assert "Nothing wrong found" in said
    assert "Not seen" in said


def test_check_names_a_change_made_past_the_program(
    run: Callable[..., int], sample: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    import sqlite3

    with sqlite3.connect(sample / FILE_NAME) as database:
        database.execute("UPDATE finding SET title = 'All is well' WHERE number = 2")
    database.close()
    assert run("check", sample) == 1
    assert "finding" in capsys.readouterr().out.lower()


def test_check_finds_a_printed_head_and_misses_a_strange_one(
    run: Callable[..., int], sample: Path
) -> None:
    with Logbook.open(sample) as logbook:
        head = logbook.head
    assert run("check", sample, "--head", head) == 0
    assert run("check", sample, "--head", "0" * 64) == 1


def test_a_backup_is_proved(run: Callable[..., int], sample: Path, tmp_path: Path) -> None:
    assert run("backup", sample, tmp_path / "copies") == 0
    (copy,) = [path.parent for path in (tmp_path / "copies").rglob(FILE_NAME)]
    assert run("check", copy, "--deep") == 0


def test_a_backup_of_a_logbook_with_a_lost_file_is_not_proved(
    run: Callable[..., int], sample: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    next((sample / "photos").iterdir()).unlink()
    assert run("backup", sample, tmp_path / "copies") == 1
    assert "not a proven backup" in capsys.readouterr().out


def test_an_empty_logbook_has_no_history(
    run: Callable[..., int], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    Logbook.create(tmp_path / "empty").close()
    assert run("report", tmp_path / "empty") == 2
    assert capsys.readouterr().err.strip()


def test_six_answers_are_enough_for_a_history(run: Callable[..., int], tmp_path: Path) -> None:
    with Logbook.create(tmp_path / "new") as logbook:
        create_vessel(
            logbook,
            name="New Boat",
            kind="motor",
            material="steel",
            keel="none",
            length="11 m",
            beam="3.6 m",
            draught="1.1 m",
        )
    assert run("report", tmp_path / "new", "--out", "new.pdf") == 0
    text = PdfReader("new.pdf").pages[0].extract_text()
    assert "New Boat" in text
    assert "No haul-out is on record yet" in text


def test_the_yard_sheet_is_written_once_and_never_over_a_file(
    run: Callable[..., int], sample: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run("sheet", sample) == 0
    assert "rows to write in" in capsys.readouterr().out
    pages = PdfReader("ketch-sheet.pdf").pages
    assert all("SAMPLE" in page.extract_text() for page in pages)
    assert run("sheet", sample, "--out", "ketch-sheet.pdf") == 1
    assert run("sheet", sample / "nothing") == 2


def test_the_zone_cards_are_written_once_and_never_over_a_file(
    run: Callable[..., int], sample: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run("cards", sample) == 0
    assert "cards" in capsys.readouterr().out
    assert len(PdfReader("ketch-cards.pdf").pages) == 4
    assert run("cards", sample, "--out", "ketch-cards.pdf") == 1
    assert run("cards", sample / "nothing") == 2

"""What holds for every test: an empty home, the same pixels everywhere, no leaks.

The window tests need PySide6.  Where it cannot be imported they are skipped with the reason;
with ``HULLLOG_WINDOW_REQUIRED=1`` a skipped window test is a failure.
"""

from __future__ import annotations

import os
import shutil
import tempfile
import threading
from pathlib import Path
from typing import TYPE_CHECKING, NoReturn

import pytest
from hypothesis import settings

if TYPE_CHECKING:
    from collections.abc import Generator, Iterator

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
os.environ["LC_ALL"] = "C.UTF-8"  # with LC_ALL=C Qt warns in three lines
os.environ["PYTEST_QT_API"] = "pyside6"
for _name in ("QT_SCALE_FACTOR", "QT_STYLE_OVERRIDE", "QT_QPA_PLATFORMTHEME", "QT_FONT_DPI"):
    os.environ.pop(_name, None)

HERE = Path(__file__).parent
WINDOW_TESTS = HERE / "tests" / "desktop"
REQUIRED = os.environ.get("HULLLOG_WINDOW_REQUIRED") == "1"
# Offscreen windows cannot pass on their size limits, and say so for each window.
HARMLESS_QT_LINES = (r"This plugin does not support propagateSizeHints",)

settings.register_profile("ci", derandomize=True, deadline=None, database=None)
settings.register_profile("local", deadline=None)
# The gate repeats the same examples, so that it fails for a change and not for luck; a run by hand
# goes on searching.
settings.load_profile("ci" if os.environ.get("CI") else "local")


def _why_no_window() -> str:
    """Return why PySide6 cannot be imported here, or nothing when it can."""
    # The storage comes first: after PySide6 every further import is slower.
    import sqlalchemy.orm  # noqa: F401

    try:
        import PySide6.QtWidgets  # noqa: F401
    except ImportError as problem:
        return f"PySide6 cannot be imported: {problem}"
    return ""


NO_WINDOW = _why_no_window()
# The command line says -p no:pytest-qt, since that plugin stops everything without Qt.
pytest_plugins = [] if NO_WINDOW else ["pytestqt.plugin"]


class _UnopenedModule(pytest.Module):
    """A module of window tests that is not opened, since its imports would fail."""

    def collect(self) -> NoReturn:
        pytest.skip(NO_WINDOW, allow_module_level=True)


def pytest_configure(config: pytest.Config) -> None:
    if REQUIRED and NO_WINDOW:
        raise pytest.UsageError(f"the window tests are required here, but {NO_WINDOW}")
    folder = tempfile.mkdtemp(prefix="hulllog-home-")
    config.add_cleanup(lambda: shutil.rmtree(folder, ignore_errors=True))
    os.environ.update(_home_variables(Path(folder)))


def pytest_pycollect_makemodule(
    module_path: Path, parent: pytest.Collector
) -> pytest.Module | None:
    if NO_WINDOW and module_path.is_relative_to(WINDOW_TESTS):
        module: pytest.Module = _UnopenedModule.from_parent(parent, path=module_path)
        return module
    return None


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    for item in items:
        if item.path.is_relative_to(WINDOW_TESTS):
            item.add_marker("window")
        if NO_WINDOW and item.get_closest_marker("window"):
            item.add_marker(pytest.mark.skip(reason=NO_WINDOW))
        elif not NO_WINDOW:
            item.add_marker(pytest.mark.qt_log_level_fail("WARNING"))
            item.add_marker(pytest.mark.qt_log_ignore(*HARMLESS_QT_LINES))


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(
    item: pytest.Item,
) -> Generator[None, pytest.TestReport, pytest.TestReport]:
    report = yield
    if REQUIRED and report.skipped and item.get_closest_marker("window"):
        report.outcome = "failed"
        report.longrepr = f"window tests are required here, but this was skipped: {report.longrepr}"
    return report


@pytest.hookimpl(wrapper=True)
def pytest_make_collect_report(
    collector: pytest.Collector,
) -> Generator[None, pytest.CollectReport, pytest.CollectReport]:
    report = yield
    if REQUIRED and report.skipped and collector.path.is_relative_to(WINDOW_TESTS):
        report.outcome = "failed"
        report.longrepr = (
            f"window tests are required here, but a module was skipped: {report.longrepr}"
        )
    return report


def _home_variables(home: Path) -> dict[str, str]:
    return {
        "HOME": str(home),
        "USERPROFILE": str(home),
        "XDG_CONFIG_HOME": str(home / ".config"),
        "XDG_DATA_HOME": str(home / ".local" / "share"),
        "XDG_STATE_HOME": str(home / ".local" / "state"),
        "XDG_CACHE_HOME": str(home / ".cache"),
    }


@pytest.fixture(autouse=True)
def home(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Give each test a home folder of its own with nothing in it."""
    folder = tmp_path_factory.mktemp("home")
    for name, value in _home_variables(folder).items():
        monkeypatch.setenv(name, value)
    return folder


@pytest.fixture(autouse=True)
def same_words() -> Iterator[None]:
    """Begin and end each test with the language and the preferences as they come."""
    from hulllog.words import formats, use

    use("en_GB")
    formats.prefer(formats.Preference())
    yield
    use("en_GB")
    formats.prefer(formats.Preference())


@pytest.fixture(autouse=True)
def no_thread_left() -> Iterator[None]:
    """Fail the test that leaves a thread running."""
    before = set(threading.enumerate())
    yield
    left = [thread for thread in threading.enumerate() if thread not in before]
    for thread in left:
        thread.join(timeout=5)
    running = [thread.name for thread in left if thread.is_alive()]
    assert not running, f"threads left running: {', '.join(running)}; close what started them"


@pytest.fixture(autouse=True)
def no_window_left(request: pytest.FixtureRequest) -> Iterator[None]:
    """Fail the test that leaves a window open or a top-level widget alive."""
    yield
    if NO_WINDOW or not request.node.get_closest_marker("window"):
        return
    from PySide6.QtCore import QCoreApplication, QEvent
    from PySide6.QtWidgets import QApplication

    if QApplication.instance() is None:
        return
    # processEvents() does not carry out deleteLater(); this does.
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete.value)
    left = [f"{type(one).__name__} {one.objectName()!r}" for one in QApplication.topLevelWidgets()]
    assert not left, f"top-level widgets left: {', '.join(left)}; give them to qtbot or close them"

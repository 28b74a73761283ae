"""The way in: each logbook by the name of its boat."""

from __future__ import annotations

import pytest
from PySide6.QtWidgets import QApplication

from hulllog.desktop import app, welcome
from hulllog.desktop.buttons import Door
from hulllog.desktop.preferences import Look, Preferences
from hulllog.records.logbook import FILE_NAME, Logbook
from hulllog.records.operations import vessel, visits


@pytest.fixture
def doors(qtbot, tmp_path):
    """Give a function that returns the names of the logbooks on the page, as they are read out."""
    made = []

    def show(recent=()):
        kept = Preferences(tmp_path / "hulllog.ini")
        kept.look = Look.LIGHT
        kept.shelf = tmp_path / "shelf"
        for folder in recent:
            kept.opened(folder)
        window = app.make_window(None, kept)
        made.append(window)
        window.show()
        QApplication.processEvents()
        return [one.accessibleName() for one in window.findChildren(Door) if one.isVisible()]

    yield show
    for window in made:
        window.close()
        window.deleteLater()


def put(folder, name):
    with Logbook.create(folder) as logbook:
        vessel.create_vessel(
            logbook, name=name, kind="yacht", material="grp", keel="fin",
            length="8.7", beam="2.9", draught="1.4",
        )  # fmt: skip
        visits.start_haul_out(logbook, begins="2024-04-02")


def test_a_logbook_is_listed_by_the_name_of_its_boat(doors, tmp_path):
    put(tmp_path / "shelf" / "boat-1", "Copper <b>& Wren")
    put(tmp_path / "elsewhere" / "old", "Slow Tern")
    first, second = doors(recent=[tmp_path / "elsewhere" / "old"])
    assert first.startswith("Slow Tern, she was last looked at 2 Apr 2024")
    assert str(tmp_path / "elsewhere" / "old") in first
    assert second.startswith("Copper <b>& Wren, ")


def test_one_that_cannot_be_read_is_listed_by_its_folder(doors, tmp_path):
    folder = tmp_path / "shelf" / "broken"
    folder.mkdir(parents=True)
    (folder / FILE_NAME).write_bytes(b"no logbook")
    (only,) = doors()
    assert only.startswith("broken")


def test_a_window_on_a_logbook_reads_no_other_of_the_shelf(doors, tmp_path, monkeypatch):
    put(tmp_path / "shelf" / "boat-1", "Copper Wren")
    put(tmp_path / "shelf" / "boat-2", "Slow Tern")
    looked = []
    seen = welcome.look_at
    monkeypatch.setattr(welcome, "look_at", lambda one: [looked.append(one.name), seen(one)][1])
    kept = Preferences(tmp_path / "hulllog.ini")
    kept.shelf = tmp_path / "shelf"
    window = app.make_window(tmp_path / "shelf" / "boat-1", kept)
    try:
        window.show()
        QApplication.processEvents()
        assert looked == []
        window.state.close()
        assert sorted(looked) == ["boat-1", "boat-2"]
        looked.clear()
    finally:
        window.close()
        window.deleteLater()
    assert looked == []

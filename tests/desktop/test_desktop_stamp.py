"""The stamp over every page of the sample, and the room that its list of pages has."""

from __future__ import annotations

import pytest
from PySide6.QtWidgets import QApplication, QLabel

from hulllog.desktop import app
from hulllog.desktop.buttons import PageButton
from hulllog.desktop.preferences import Look, Preferences
from hulllog.desktop.theme import LEAD, theme
from hulllog.records.model import Vessel


@pytest.fixture
def open_window(tmp_path):
    made = []

    def show(folder, look=Look.LIGHT):
        kept = Preferences(tmp_path / "hulllog.ini")
        kept.look = look
        window = app.make_window(folder, kept)
        made.append(window)
        window.show()
        assert window.state.tasks.settle()
        return window

    yield show
    for window in made:
        window.close()
        window.deleteLater()


def folder_of(new_logbook, *, sample):
    logbook = new_logbook(("2025-04-03", "2025-05-02"))
    with logbook.change("vessel_added", name="") as book:
        book.query(Vessel).one().sample = sample
    logbook.close()
    return logbook.folder


def stamps(window):
    return [
        made for made in window.findChildren(QLabel) if made.text() == "SAMPLE" and made.isVisible()
    ]


def test_every_page_of_a_sample_is_stamped(open_window, new_logbook, look):
    window = open_window(folder_of(new_logbook, sample=True))
    for code in ("today", "hull", "papers"):
        window.show_page(code)
        (stamp,) = stamps(window)
        assert "invented" in stamp.accessibleDescription()
        assert "invented" in stamp.toolTip()


def test_a_boat_of_ones_own_bears_no_stamp(open_window, new_logbook, look):
    assert stamps(open_window(folder_of(new_logbook, sample=False))) == []


@pytest.mark.parametrize("worn", [Look.LIGHT, Look.SUN])
def test_no_name_of_a_page_is_cut_beside_its_number(open_window, new_logbook, look, worn):
    window = open_window(folder_of(new_logbook, sample=False))
    window.wear(worn)
    QApplication.processEvents()
    names = [made for made in window.findChildren(PageButton) if made.isVisible()]
    assert names
    for made in names:
        needed = theme().metrics(LEAD, bold=True).horizontalAdvance(made.accessibleName())
        assert needed + 32 + 34 <= made.width()  # the margins, and a badge of two digits

"""The page Papers, used as its owner would."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from pypdf import PdfReader
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QLabel

sys.path.insert(0, str(Path(__file__).parent))
import ketchbook

from hulllog.desktop import app
from hulllog.desktop.buttons import Door
from hulllog.desktop.papers.forms import Form, ProofForm, RecommendationForm, SurveyForm
from hulllog.desktop.preferences import Look, Preferences
from hulllog.insight.matters import asked
from hulllog.records.logbook import Logbook

LONG = 30_000
"""Milliseconds until a history is written, at most, on a machine that does much else."""


@pytest.fixture
def window(qtbot, tmp_path):
    """The window on a ketch with three haul-outs, at the page Papers."""
    with Logbook.create(tmp_path / "book") as logbook:
        ketchbook.ketch(logbook, years=3)
    kept = Preferences(tmp_path / "hulllog.ini")
    kept.look = Look.LIGHT
    kept.shelf = tmp_path / "shelf"
    made = app.make_window(tmp_path / "book", kept)
    made.show()
    made.show_page("papers")
    yield made
    made.close()
    made.deleteLater()


def settle(window):
    assert window.state.tasks.settle()
    QApplication.processEvents()


def doors(window):
    return [door.accessibleName() for door in window.page.findChildren(Door)]


def form(window, sort):
    return next(one for one in window.findChildren(Form) if isinstance(one, sort))


def test_a_history_is_written_issued_and_listed(window, qtbot, tmp_path):
    page = window.page
    page.choose_file = lambda _proposed: str(tmp_path / "out.pdf")
    page.to_whom.entry.setText("The Insurer")
    qtbot.mouseClick(page.write, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: (tmp_path / "out.pdf").exists() and page.told.isVisible(), timeout=LONG)
    settle(window)
    assert "Ruddy Shore" in PdfReader(tmp_path / "out.pdf").pages[0].extract_text()
    assert "entered as issued" in page.told.text()
    assert any("The Insurer" in name for name in doors(window))


def test_choosing_no_file_writes_nothing(window, qtbot, tmp_path):
    window.page.choose_file = lambda _proposed: ""
    qtbot.mouseClick(window.page.write, Qt.MouseButton.LeftButton)
    settle(window)
    assert not window.page.told.isVisible()
    assert not list(tmp_path.glob("*.pdf"))


def test_a_draft_is_not_listed(window, qtbot, tmp_path):
    page = window.page
    page.choose_file = lambda _proposed: str(tmp_path / "out.pdf")
    page.options.choose("draft")
    qtbot.mouseClick(page.write, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(page.told.isVisible, timeout=LONG)
    settle(window)
    assert "draft" in page.told.text()
    assert not any("insurer" in name.lower() and "26" in name for name in doors(window))


def test_a_recommendation_is_entered_and_proved(window, qtbot):
    page = window.page
    SurveyForm(page).open()
    form(window, SurveyForm).fields["at"].entry.setText("2024-05-02")
    form(window, SurveyForm).do.click()
    settle(window)
    with window.state.logbook.read() as book:
        from hulllog.desktop.papers.page import _surveys

        surveys = _surveys(book)
    RecommendationForm(page, surveys).open()
    sheet = form(window, RecommendationForm)
    sheet.fields["number"].entry.setText("A1")
    sheet.fields["wording"].type_text("Renew the seacock <b>now</b>")
    sheet.do.click()
    settle(window)
    assert any(
        "Renew the seacock <b>now</b>" in name and "no proof" in name for name in doors(window)
    )
    with window.state.logbook.read() as book:
        (item,) = asked(book)
    ProofForm(page, item).open()
    sheet = form(window, ProofForm)
    sheet.fields["text"].type_text("Seacock renewed")
    sheet.do.click()
    settle(window)
    assert any("proved" in name and "no proof" not in name for name in doors(window))


def test_a_refused_date_stays_beside_its_field(window, qtbot):
    SurveyForm(window.page).open()
    sheet = form(window, SurveyForm)
    sheet.fields["at"].entry.setText("03/04/2020")
    sheet.do.click()
    settle(window)
    assert sheet.isVisible()
    assert sheet.fields["at"].refused
    assert "2020" in sheet.fields["at"].sentence
    with window.state.logbook.read() as book:
        assert not asked(book)
    sheet.reject()


def test_everything_said_is_plain_text(window):
    for label in window.page.findChildren(QLabel):
        assert label.textFormat() == Qt.TextFormat.PlainText, label.text()

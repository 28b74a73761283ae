"""The main job through the real window: a new vessel, two haul-outs, and her first printed history.

It knows the program only by its entry, by what is on the screen and how that is named, by the file
on disk and by the printed pages.
"""

from __future__ import annotations

import hashlib
import sqlite3
import sys
from contextlib import closing

import pytest
from pypdf import PdfReader
from PySide6.QtCore import QCoreApplication, QEvent, Qt
from PySide6.QtGui import QColor, QGuiApplication, QImage
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QApplication,
    QFileDialog,
    QLabel,
    QLineEdit,
    QMainWindow,
    QPushButton,
    QToolButton,
    QWidget,
)

from hulllog.__main__ import main

KEYS = {"\n": Qt.Key.Key_Return, "\t": Qt.Key.Key_Tab, " ": Qt.Key.Key_Space}
NOTE = "Scrape round the log next time, growth was thick there"
VESSEL = "Copper Wren"
LONG = 30_000
"""Milliseconds that anything may take."""


class Person:
    """Somebody before the window: presses keys, reads what is there."""

    def __init__(self, qtbot, window, home):
        self.qtbot, self.window, self.home = qtbot, window, home
        self.presses = 0
        self.face_window()

    def face_window(self):
        """Be before the window again after a sheet; no window manager does it here."""
        if not self.window.isActiveWindow():
            with self.qtbot.waitActive(self.window):
                self.window.activateWindow()

    # Keys

    def type(self, text):
        for letter in text:
            where = QApplication.focusWidget() or self.window
            QTest.keyClick(where, KEYS.get(letter, letter))
            self.presses += 1

    def key(self, key):
        QTest.keyClick(QApplication.focusWidget() or self.window, key)
        self.presses += 1

    def control(self, key):
        QTest.keyClick(self.window, key, Qt.KeyboardModifier.ControlModifier)

    def tab_to(self, name, most=60):
        for _ in range(most):
            if self.at.startswith(name):
                return
            self.key(Qt.Key.Key_Tab)
        raise AssertionError(f"no {name!r} by Tab; the keyboard is at {self.at!r}")

    def press(self, name):
        """Press the button of this name."""
        (button,) = [
            one
            for one in self.shown(QPushButton)
            if one.accessibleName() == name and one.isEnabled()
        ]
        button.setFocus()
        QTest.keyClick(button, Qt.Key.Key_Space)

    def show_page(self, name):
        """Choose a page from the list at the left."""
        self.face_window()
        (button,) = [
            one
            for one in self.window.findChild(QWidget, "pages").findChildren(QWidget)
            if one.accessibleName().split(",")[0] == name
        ]
        button.setFocus()
        QTest.keyClick(button, Qt.Key.Key_Space)

    # The screen

    @property
    def at(self):
        """The name of what has the keyboard."""
        focus = QApplication.focusWidget()
        return focus.accessibleName() if focus is not None and focus.isVisible() else ""

    def shown(self, sort):
        return [one for one in self.window.findChildren(sort) if one.isVisible()]

    def texts(self):
        return [one.text() for one in self.shown(QLabel)]

    def reads(self, part):
        return [text for text in self.texts() if part in text]

    def field(self, name):
        (found,) = [one for one in self.shown(QLineEdit) if one.accessibleName() == name]
        return found

    def turn(self, sort):
        """Return what undo or redo says that it would do."""
        return self.turner(sort).accessibleName()

    def turner(self, sort):
        (button,) = [
            one for one in self.shown(QToolButton) if one.accessibleName().startswith(sort)
        ]
        return button

    def until(self, is_so):
        self.qtbot.waitUntil(lambda: bool(is_so()), timeout=LONG)

    # The file

    @property
    def folder(self):
        (file,) = self.home.rglob("logbook.sqlite")
        return file.parent

    def rows(self, query):
        address = f"{(self.folder / 'logbook.sqlite').as_uri()}?mode=ro"
        with closing(sqlite3.connect(address, uri=True)) as book:
            return book.execute(query).fetchall()

    def count(self, table):
        return self.rows(f"SELECT count(*) FROM {table} WHERE NOT withdrawn")[0][0]


@pytest.fixture
def program(qtbot, home, monkeypatch):
    """Run the program from its entry; in place of the event loop a person uses the window."""

    def run(play, *arguments):
        def loop(*_):
            (window,) = [
                one for one in QApplication.topLevelWidgets() if isinstance(one, QMainWindow)
            ]
            try:
                play(Person(qtbot, window, home))
            finally:
                window.close()
                window.deleteLater()
            return 0

        monkeypatch.setattr(sys, "argv", ["hulllog", *map(str, arguments)])
        # Without a screen the program would draw its window once and end.
        monkeypatch.setattr(QGuiApplication, "platformName", staticmethod(lambda: "screen"))
        monkeypatch.setattr(QApplication, "exec", loop)
        assert main() == 0
        QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete.value)
        (log,) = home.rglob("hulllog.log")
        assert "not foreseen" not in log.read_text(encoding="utf-8")

    return run


def test_from_six_questions_to_a_printed_history(program, home, tmp_path, monkeypatch):
    good, bad = pictures(tmp_path / "camera")
    paper = tmp_path / "history.pdf"
    monkeypatch.setattr(
        QFileDialog, "getSaveFileName", staticmethod(lambda *_args, **_more: (str(paper), ""))
    )

    def first_evening(person):
        answer_six_questions(person)
        enter_short_haul_out(person)
        close_haul_out(person)
        walk_round_her(person)
        turn_back_and_forth(person)
        take_photos(person, good, bad)
        close_haul_out(person)
        be_refused_a_date(person)

    def next_morning(person):
        find_the_draft(person)
        print_history(person)

    program(first_evening)
    (file,) = home.rglob("logbook.sqlite")
    program(next_morning, file.parent)
    read_history(paper, file)


def pictures(folder):
    """Make a picture, and a file that only says that it is one."""
    folder.mkdir()
    good, bad = folder / "hull.png", folder / "broken.jpg"
    picture = QImage(64, 48, QImage.Format.Format_RGB32)
    picture.fill(QColor(120, 60, 40))
    assert picture.save(str(good))
    bad.write_text("this is no picture", encoding="utf-8")
    return good, bad


def answer_six_questions(person):
    person.control(Qt.Key.Key_N)
    person.until(lambda: person.at == "Name")
    person.type(VESSEL)
    person.tab_to("Keel")
    while "twin keels" not in person.at:
        person.key(Qt.Key.Key_Right)
    person.type(" ")
    for name, metres in (("Length", "8.7"), ("Beam", "2.9"), ("Draught", "0.95")):
        person.tab_to(name)
        person.type(metres)
    person.tab_to("Make her logbook")
    person.type("\n")
    person.until(lambda: person.reads(VESSEL) and VESSEL in person.window.windowTitle())
    assert person.rows("SELECT name, kind, material, sample FROM vessel") == [
        (VESSEL, "yacht", "grp", 0)
    ]
    assert not person.reads("SAMPLE")


def enter_short_haul_out(person):
    person.show_page("Haul-out")
    person.until(lambda: person.at == "Out")
    person.presses = 0
    content = "2025-04-14 2025-04-16 Inlet Boatyard h shaft h Tidewall 40 2.5 2 b2j1m3" + NOTE
    person.type("2025-04-14\n2025-04-16\nInlet Boatyard\nh")
    assert person.at == "Which"
    person.type("shaft\nh")
    person.tab_to("Product")
    person.type("Tidewall 40\n2.5\n2\n\n")
    assert person.at.startswith("Zones")
    person.type("b2j1m3\n")
    assert person.at == "Note"
    person.type(NOTE + "\n")
    assert person.at == "Keep this haul-out"
    assert person.count("visit") == 0
    person.type("\n")
    person.until(lambda: person.count("visit") == 1)
    assert person.presses <= 150
    assert person.presses - sum(letter.isalnum() for letter in content) <= 40
    assert person.rows("SELECT begins_text, ends_text, yard, way, note FROM visit") == [
        ("2025-04-14", "2025-04-16", "Inlet Boatyard", "hoist", NOTE)
    ]
    assert sorted(person.rows("SELECT code FROM rating")) == [("1",), ("2",), ("3",)]
    assert person.rows("SELECT way, left_low FROM anode_check") == [("by_eye", 0.4)]
    assert person.rows("SELECT name FROM product") == [("Tidewall 40",)]
    assert person.rows("SELECT litres_text FROM coat") == [("1.25",), ("1.25",)]
    person.until(lambda: person.reads("travelling hoist"))
    assert "enter the haul-out of" in person.turn("Undo")


def close_haul_out(person):
    visits = person.count("visit")

    def closed():
        return person.rows("SELECT count(*) FROM visit WHERE closed_at IS NOT NULL") == [(visits,)]

    person.press("Close this haul-out")
    person.until(lambda: closed() or person.reads("Press again to close all the same."))
    if not closed():  # what is open still was told first
        person.press("Close this haul-out")
    person.until(closed)
    person.until(lambda: person.reads("Haul-out closed"))
    person.press("Begin a new haul-out")
    person.until(lambda: person.reads("New haul-out"))
    person.show_page("Haul-out")
    person.until(lambda: person.at == "Out")


def walk_round_her(person):
    person.type("2025-10-03\n\nInlet Boatyard\nc")
    person.tab_to("Walk her zone by zone")
    person.type("\n")
    person.until(lambda: person.count("visit") == 2 and "Washed" in " ".join(named(person)))
    person.type("2\n")
    person.until(lambda: "Nothing found" in " ".join(named(person)))
    looks = person.count("inspection")
    before, person.presses = person.texts(), 0
    person.type("n")
    person.until(lambda: person.count("inspection") == looks + 1)
    assert person.presses == 1
    person.until(lambda: "nothing found at" in person.turn("Undo"))
    zone = person.turn("Undo").partition(" at ")[2]
    assert zone in before
    person.type("s1")
    person.type("12\n4\n8\ngn")
    person.until(lambda: any("next lift" in name for name in named(person)))
    assert person.count("finding") == 0
    person.type("n")
    person.until(lambda: person.count("finding") == 1)
    assert person.rows("SELECT sort, must, status FROM finding") == [
        ("blisters", "next_lift", "open")
    ]
    figures = person.rows("SELECT component, value_text FROM reading ORDER BY component")
    assert figures == [("count", "12"), ("largest_mm", "8"), ("typical_mm", "4")]


def named(person):
    """Return the names of the buttons on the screen."""
    return [one.accessibleName() for one in person.shown(QWidget) if one.accessibleName()]


def turn_back_and_forth(person):
    looks, entries = (
        person.count("inspection"),
        person.rows("SELECT count(*) FROM journal_entry")[0][0],
    )
    # The file has it before the window has heard of it.
    person.until(lambda: "something found" in person.turn("Undo"))
    what = person.turn("Undo").removeprefix("Undo: ")
    person.control(Qt.Key.Key_Z)
    person.until(lambda: person.turn("Redo") == f"Redo: {what}")
    assert person.count("finding") == 0
    assert person.count("inspection") == looks - 1
    person.until(lambda: person.reads(f"Undone: {what}"))
    QTest.mouseClick(person.turner("Redo"), Qt.MouseButton.LeftButton)
    person.until(lambda: person.turn("Undo") == f"Undo: {what}")
    assert person.count("finding") == 1
    assert person.count("inspection") == looks
    # Both are entries of their own; nothing is taken out of the journal.
    assert person.rows("SELECT count(*) FROM journal_entry") == [(entries + 2,)]


def take_photos(person, good, bad):
    click(person, "Walk")
    person.until(lambda: person.at.startswith("What was seen"))
    person.type("a")
    person.until(lambda: person.shown(QFileDialog))
    (dialog,) = person.shown(QFileDialog)
    dialog.setDirectory(str(good.parent))
    name = dialog.findChild(QLineEdit, "fileNameEdit")
    name.setText(f'"{good.name}" "{bad.name}"')
    QTest.keyClick(name, Qt.Key.Key_Return)
    person.until(lambda: person.count("photo") == 1 and person.reads(bad.name))
    (told,) = person.reads(bad.name)
    assert told.endswith(".")
    digest = hashlib.sha256(good.read_bytes()).hexdigest()
    assert person.rows("SELECT sha256, file_name FROM photo") == [(digest, good.name)]
    kept = [one for one in (person.folder / "photos").rglob("*") if one.is_file()]
    assert [hashlib.sha256(one.read_bytes()).hexdigest() for one in kept] == [digest]
    click(person, "Steps")
    person.until(lambda: "Close this haul-out" in named(person))


def click(person, name):
    """Click on what bears this name."""
    (target,) = [one for one in person.shown(QWidget) if one.accessibleName() == name]
    QTest.mouseClick(target, Qt.MouseButton.LeftButton)


def be_refused_a_date(person):
    entries = person.rows("SELECT count(*) FROM journal_entry")
    person.type("03/04/2020\n")
    readings = {"3 Apr 2020", "4 Mar 2020"}
    person.until(lambda: readings <= {one.text() for one in person.shown(QPushButton)})
    (told,) = person.reads("03/04/2020")
    assert told.endswith(".")
    assert person.field("Out").text() == "03/04/2020"
    assert person.rows("SELECT count(*) FROM journal_entry") == entries
    assert person.count("visit") == 2


def find_the_draft(person):
    person.show_page("Haul-out")
    person.until(lambda: person.field("Out").text() == "03/04/2020")
    assert person.reads("03/04/2020")
    assert person.count("visit") == 2


def print_history(person):
    person.show_page("Papers")
    person.until(lambda: "Goes to" in named(person))
    person.press("Write the history…")
    person.until(lambda: person.rows("SELECT count(*) FROM issued_history") == [(1,)])
    person.until(lambda: person.reads("history.pdf"))


def read_history(paper, file):
    text = "\n".join(page.extract_text() for page in PdfReader(paper).pages)
    lines = " ".join(text.split())
    with closing(sqlite3.connect(file)) as book:
        (told,) = book.execute("SELECT head, reader, file_sha256 FROM issued_history").fetchall()
        (title,) = book.execute("SELECT title FROM finding").fetchone()
    head, reader, digest = told
    assert reader == "insurer"
    assert digest == hashlib.sha256(paper.read_bytes()).hexdigest()
    assert VESSEL in text
    assert title.startswith("Laminate blisters")
    assert f"One finding is open: {title}" in lines
    assert "Port keel, inboard Level of fouling level 2025 3" in lines  # the grade typed as m3
    assert "Laminate blisters: 12, to 8 mm" in lines
    assert "SAMPLE" not in text
    assert head in "".join(text.split())

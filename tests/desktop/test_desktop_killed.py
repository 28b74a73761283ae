"""What was typed into a note survives a kill of the process, and is whole on screen and paper."""

from __future__ import annotations

import os
import re
import signal
import subprocess
import sys
from pathlib import Path

import pytest
from pypdf import PdfReader

sys.path.insert(0, str(Path(__file__).parent))
from yardwindow import Yard

from hulllog.output.history import Options, write_history
from hulllog.records.logbook import Logbook
from hulllog.records.model import Visit
from hulllog.records.operations import visits

HERE = Path(__file__).parent
LENGTH = 10_000
START = 'Wet below the tank <b>&" {name} %s, as the yard said: שלום עולם 🚤\n'

pytestmark = pytest.mark.skipif(os.name == "nt", reason="a process is killed by a signal")


def long_text():
    words = (f"frame {number:04} weeps;" for number in range(LENGTH))
    text = START + " ".join(words)
    return text[: LENGTH - 1] + "."


@pytest.fixture
def yard(look, qtbot, tmp_path):
    made = Yard(qtbot, tmp_path)
    visits.start_haul_out(made.logbook, begins="2026-04-14")
    made.settle()
    yield made
    made.close()


def test_a_note_of_ten_thousand_letters_survives_a_kill(yard, tmp_path):
    text = long_text()
    around = yard.logbook.around
    yard.window.state.close()
    (tmp_path / "text").write_text(text, encoding="utf-8")
    done = subprocess.run(
        [sys.executable, str(HERE / "typedandkilled.py"), str(tmp_path)],
        capture_output=True,
        text=True,
        check=False,
        stdin=subprocess.DEVNULL,
    )
    assert done.returncode == -signal.SIGKILL, done.stderr
    assert (tmp_path / "typed").read_text(encoding="utf-8") == text

    yard.window.state.use(Logbook.open(tmp_path / "book", around))
    yard.settle()
    yard.open("steps")
    note = yard.section("steps").facts.note
    (visit,) = yard.all(Visit)
    assert visit.note is None
    assert note.text() == text
    assert note.sentence  # it is said that this was typed and never kept
    note.entry.setFocus()
    yard.section("steps").facts.yard.entry.setFocus()  # leaving keeps it
    yard.settle()
    (visit,) = yard.all(Visit)
    assert visit.note == text

    paper = tmp_path / "history.pdf"
    write_history(yard.logbook, paper, Options(draft=True))
    printed = "\n".join(page.extract_text() for page in PdfReader(paper).pages)
    flat = " ".join(printed.split())
    assert 'Wet below the tank <b>&" {name} %s, as the yard said:' in flat
    assert "U+05E9" in flat  # what the font lacks is marked by its code
    assert "U+1F6A4" in flat
    # By numbers alone: the foot of a page may stand between "frame" and its number.
    frames = set(re.findall(r"\b0\d{3}\b", flat))
    assert frames >= set(re.findall(r"frame (0\d{3}) weeps", text))

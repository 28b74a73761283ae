"""The pocket card, read from paper and from the phone."""

from __future__ import annotations

import re
from html.parser import HTMLParser

import pytest
from pypdf import PdfReader

from hulllog.insight.bearing import bore_at
from hulllog.insight.shape import form_of
from hulllog.output.history import Options, write_history
from hulllog.output.pocketcard import write_card
from hulllog.records.errors import Refused
from hulllog.records.logbook import Logbook
from hulllog.records.operations import anodes, around, visits
from hulllog.records.operations.vessel import set_about

HOSTILE = '<script>alert("x")</script> & <b>bold</b>'
LONG = "a word that goes on " * 40


class Seen(HTMLParser):
    """Tags, attributes and text of a page."""

    def __init__(self):
        super().__init__()
        self.tags, self.attributes, self.texts = [], [], []

    def handle_starttag(self, tag, attrs):
        self.tags.append(tag)
        self.attributes += attrs

    def handle_data(self, data):
        self.texts.append(data)


def seen(path):
    parser = Seen()
    parser.feed(path.read_text("utf-8"))
    return parser


def plain(text):
    return re.sub(r"\s+", " ", text.replace("\u202f", " ").replace("\u00a0", " "))


def both(logbook, folder):
    card = write_card(logbook, folder / "card.pdf")
    paper = " ".join(page.extract_text() for page in PdfReader(card.paper).pages)
    return card, plain(paper), plain(" ".join(seen(card.phone).texts))


def test_paper_and_phone_say_the_same(logbook, tmp_path):
    visit = visits.start_haul_out(logbook, begins="2026-01-02")
    visits.add_pad(
        logbook, visit, sort="sling", note="clear of the log",
        place={"part": "hull", "face": "port", "u": 0.3, "v": 0.5},
    )  # fmt: skip
    around.note_for_next_time(logbook, "Take the long ladder")
    around.add_gear(logbook, sort="transducer", name="Log")
    card, paper, phone = both(logbook, tmp_path)
    assert card.pages == 1
    for said in (
        "Test Ketch", "8.7 m", "Take the long ladder", "Keep clear of: Log", "clear of the log",
        "Never stand, reach or hold a camera under a boat that hangs.", "zinc", "Bottom",
    ):  # fmt: skip
        assert said in paper, said
        assert said in phone, said


def test_a_note_that_was_answered_is_not_on_it(logbook, tmp_path):
    note = around.note_for_next_time(logbook, "Take the long ladder")
    visit = visits.start_haul_out(logbook, begins="2026-01-02")
    around.answer_note(logbook, note, visit, "Taken")
    _card, paper, phone = both(logbook, tmp_path)
    assert "long ladder" not in paper + phone
    assert "No note for next time is open." in phone


def test_the_phone_runs_nothing_and_asks_nobody(logbook, tmp_path):
    set_about(logbook, "name", HOSTILE)
    around.note_for_next_time(logbook, HOSTILE)
    card, _paper, _phone = both(logbook, tmp_path)
    found = seen(card.phone)
    assert set(found.tags) <= {
        "html", "head", "meta", "title", "style", "body", "h1", "h2", "p", "dl", "dt", "dd", "ul",
        "li", "br",
    }  # fmt: skip
    names = {name for name, _ in found.attributes}
    assert names <= {"lang", "charset", "http-equiv", "content", "name", "class"}
    assert not re.search(r"https?:|url\(|@import", card.phone.read_text("utf-8"))
    assert any(HOSTILE in text for text in found.texts)


def test_it_stays_one_page_however_much_there_is(logbook, tmp_path):
    for number in range(30):
        around.note_for_next_time(logbook, f"{number} {LONG}")
        key = anodes.add_position(logbook, name=f"Place {number} {LONG[:100]}", protects=["rudder"])
        anodes.fit_piece(logbook, key, metal="zinc", pattern=LONG[:100], fitted="2025-04-01")
    card, paper, phone = both(logbook, tmp_path)
    assert card.pages == 1
    assert "and 2" in paper
    # The file for the phone has all of it.
    assert f"29 {LONG.strip()}" in phone


def test_a_metal_that_does_not_suit_the_water_is_named(logbook, tmp_path):
    key = anodes.add_position(logbook, name="Skeg", protects=["rudder"])
    anodes.fit_piece(logbook, key, metal="magnesium", fitted="2025-04-01")
    _card, paper, phone = both(logbook, tmp_path)
    assert "magnesium" in paper
    assert suited_text() in phone


def suited_text():
    from hulllog.drawing.telling import suits_text
    from hulllog.trade.waters import metal_in_water

    found = metal_in_water("magnesium", "brackish")
    assert found.choice == "unsuited"
    return plain(suits_text(found))


def test_an_invented_boat_is_stamped(logbook, tmp_path):
    with logbook.change("vessel_added", name="x") as book:
        from sqlalchemy import select

        from hulllog.records.model import Vessel

        book.scalars(select(Vessel)).one().sample = True
    _card, paper, phone = both(logbook, tmp_path)
    assert "SAMPLE" in paper
    assert "SAMPLE" in phone


def test_there_is_none_without_a_boat(tmp_path):
    with Logbook.create(tmp_path / "book") as empty, pytest.raises(Refused, match="no_vessel"):
        write_card(empty, tmp_path / "card.pdf")


def test_where_the_tape_put_a_sling_is_printed_on_card_and_history(logbook, tmp_path):
    visit = visits.start_haul_out(logbook, begins="2026-01-02")
    with logbook.read() as book:
        form = form_of(book)
    places = [bore_at(form, "sling", metres) for metres in ("2.1", "6.3")]
    visits.add_pads(logbook, visit, sort="sling", places=places)
    _card, paper, phone = both(logbook, tmp_path)
    for metres in ("2.10 m from the stem", "6.30 m from the stem"):
        assert metres in paper
        assert metres in phone
    written = write_history(logbook, tmp_path / "h.pdf", Options(draft=True))
    text = plain(" ".join(page.extract_text() for page in PdfReader(written.path).pages))
    assert "slings 2.10 m and 6.30 m from the stem" in text

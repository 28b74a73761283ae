"""The page Plan, used as its owner would."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from icalendar import Calendar
from PySide6.QtCore import QMimeData, QPointF, Qt, QUrl
from PySide6.QtGui import QDropEvent
from PySide6.QtWidgets import QApplication, QPushButton

sys.path.insert(0, str(Path(__file__).parent))
from seasonwindow import built, enter, open_window, seasons, settle, texts, unnamed  # noqa: F401
from sqlalchemy import select

from hulllog.desktop.buttons import Door
from hulllog.desktop.pages import pages_of
from hulllog.desktop.plan.costs import CostColumns
from hulllog.desktop.plan.forms import CostForm, InvoiceForm
from hulllog.desktop.preferences import Look
from hulllog.desktop.sheets import Sheet
from hulllog.insight.buying import wish
from hulllog.insight.litres import past_litres
from hulllog.records.logbook import Logbook
from hulllog.records.model import CostLine, Document
from hulllog.records.operations import around, coatings
from hulllog.words.working import figure_of

LONG = "Quay of a name that does not end " * 3


@pytest.fixture
def window(seasons, open_window):  # noqa: F811
    return open_window(seasons.folder, "plan")


def plain(found):
    return [one.replace("\u202f", " ") for one in found]


def sheet(window, sort=Sheet):
    return next(one for one in window.findChildren(sort) if one.isVisible())


def doors(widget):
    return plain(one.accessibleName() for one in widget.findChildren(Door))


def read(window, question):
    return window.state.read(question)


def test_the_page_stands_in_the_list():
    assert "plan" in [entry.code for entry in pages_of(out=False)]


def test_it_says_what_to_buy_and_when(window):
    shown = plain(texts(window.page.buying))
    # 4.60 L went on what could be reached each time; the whole bottom is a little more.
    assert any(one.startswith("4.63 L") for one in shown)
    assert any("from 15 coats of this class" in one for one in shown)
    assert any("zinc, 620 g" in one for one in shown)
    assert window.page.due.first.text().startswith("First: ")
    assert len(doors(window.page.due)) == 2


def test_the_primer_for_what_was_bared_and_the_last_prices_are_shown(
    seasons,  # noqa: F811
    open_window,  # noqa: F811
):
    zone = seasons.zones["keel-port-outboard"]
    primer = enter(
        seasons.folder, coatings.add_product, name="Under Grey", role="primer",
        coating_class="epoxy_primer",
    )  # fmt: skip
    enter(
        seasons.folder, coatings.add_removal, seasons.visits[2023], down_to="bare_metal",
        zone_ids=[zone],
    )  # fmt: skip
    for what, amount in (("Under Grey, 0.75 L", "31.50"), ("Tidewall 40, 2.5 L", "88.00")):
        enter(
            seasons.folder, around.add_cost, what=what, amount=amount, currency="EUR",
            visit_id=seasons.visits[2023],
        )  # fmt: skip
    page = open_window(seasons.folder, "plan").page
    shown = plain(texts(page.buying))
    assert any(one.startswith("Under Grey, ") for one in shown)
    assert any("Outboard" in one or "outboard" in one for one in shown)
    assert any(one.startswith("31.50 EUR for “Under Grey, 0.75 L”, 14 Apr 2023") for one in shown)
    assert any(one.startswith("88.00 EUR for “Tidewall 40, 2.5 L”") for one in shown)
    # Primed, it is no longer to be bought.
    page.edit(coatings.add_coat, seasons.visits[2023], primer, zones=[zone], number="1")
    settle(page.window())
    assert not any(one.startswith("Under Grey, ") for one in plain(texts(page.buying)))


def test_another_coat_is_one_key_and_stays(window, qtbot):
    window.page.buying.coats.buttons[2].setFocus()
    qtbot.keyClick(window.page.buying.coats.buttons[2], Qt.Key.Key_Space)
    settle(window)
    assert read(window, wish).coats == 3
    assert any(one.startswith("6.95 L") for one in plain(texts(window.page.buying)))
    window.page.buying.extra.choose("rudder")
    settle(window)
    assert read(window, wish).extra == ("rudder",)
    assert any(one.startswith("Rudder, extra: one coat") for one in texts(window.page.buying))


def test_something_due_opens_with_where_it_comes_from(window, qtbot):
    key, _said = window.page.due.axis.regions[0]
    window.page.due.axis.picked.emit(key, Qt.KeyboardModifier.NoModifier)
    shown = " ".join(texts(sheet(window)))
    assert "brackish water" in shown
    assert "Inlet Quay" in shown
    assert "How long the antifouling usually lasts" in shown
    sheet(window).reject()


def test_a_cost_is_entered_and_told_by_visit(window, qtbot):
    qtbot.keyClick(window.page, Qt.Key.Key_A)
    form = sheet(window, CostForm)
    for name, text in (("what", "Lift"), ("amount", "412,50"), ("currency", "eur")):
        form.fields[name].entry.setText(text)
    form.do.click()
    settle(window)
    assert any("412.50 EUR" in one and "14 Apr 2023" in one for one in doors(window.page.costs))
    # The next one begins with the same currency.
    window.page.add_cost()
    assert sheet(window, CostForm).fields["currency"].typed() == "EUR"
    sheet(window, CostForm).reject()


def test_visits_are_drawn_side_by_side_only_where_there_are_several(window, seasons):  # noqa: F811
    logbook = window.state.logbook
    for year in (2021, 2022):
        around.add_cost(
            logbook, what="Lift", amount=str(year), currency="GBP",
            visit_id=seasons.visits[year],
        )  # fmt: skip
    around.add_cost(logbook, what="Stamps", amount="4", currency="EUR")
    window.page.update_now()
    settle(window)
    drawn = window.page.costs.findChildren(CostColumns)
    assert [one.accessibleName() for one in drawn if one.isVisible()] == [
        "Costs in GBP, visit by visit"
    ]
    assert [said.split(".")[0][:4] for _, said in drawn[0].regions] == ["14 A", "14 A"]


def test_a_sum_that_cannot_be_read_is_refused_beside_its_field(window):
    window.page.add_cost()
    form = sheet(window, CostForm)
    form.fields["what"].entry.setText("Lift")
    form.fields["amount"].entry.setText("much")
    form.fields["currency"].entry.setText("EUR")
    form.do.click()
    settle(window)
    assert form.isVisible()
    assert form.fields["amount"].entry.hasFocus()
    form.belong_to("")
    form.fields["amount"].entry.setText("9")
    form.do.click()
    settle(window)
    assert any("Belongs to no visit" in one for one in doors(window.page.costs))


def test_an_invoice_that_is_dropped_is_kept_with_its_sum(window, tmp_path):
    file = tmp_path / "bill of the yard.pdf"
    file.write_bytes(b"%PDF-1.4 a bill")
    data = QMimeData()
    data.setUrls([QUrl.fromLocalFile(str(file))])
    window.page.dropEvent(
        QDropEvent(
            QPointF(5, 5), Qt.DropAction.CopyAction, data, Qt.MouseButton.LeftButton,
            Qt.KeyboardModifier.NoModifier,
        )
    )  # fmt: skip
    form = sheet(window, InvoiceForm)
    assert form.fields["title"].typed() == "bill of the yard"
    for name, text in (("what", "Lift"), ("amount", "99"), ("currency", "GBP")):
        form.fields[name].entry.setText(text)
    form.do.click()
    settle(window)
    (paper,) = read(window, lambda book: list(book.scalars(select(Document))))
    (cost,) = read(window, lambda book: list(book.scalars(select(CostLine))))
    assert (cost.document_id, paper.sort, paper.file_name) == (
        paper.id, "invoice", "bill of the yard.pdf",
    )  # fmt: skip
    window.state.undo()
    settle(window)
    assert read(window, lambda book: list(book.scalars(select(CostLine)))) == []


def test_an_invoice_that_is_refused_leaves_no_file_behind(window, tmp_path):
    file = tmp_path / "bill.pdf"
    file.write_bytes(b"%PDF-1.4 another bill")
    window.page.add_invoice(file)
    form = sheet(window, InvoiceForm)
    form.fields["amount"].entry.setText("no sum")
    form.fields["currency"].entry.setText("GBP")
    form.do.click()
    settle(window)
    assert form.isVisible()
    kept = window.state.logbook.folder / "documents"
    assert not kept.exists() or not list(kept.iterdir())
    form.reject()


def test_the_calendar_is_written_where_it_is_asked(window, qtbot, tmp_path):
    target = tmp_path / "due.ics"
    window.page.choose_file = lambda *_about: str(target)
    qtbot.keyClick(window.page, Qt.Key.Key_C)
    qtbot.waitUntil(target.exists)
    settle(window)
    assert len(Calendar.from_ical(target.read_bytes()).walk("VEVENT")) == 2


def test_the_pocket_card_is_written_for_paper_and_phone(window, qtbot, tmp_path):
    window.page.choose_file = lambda *_about: str(tmp_path / "card.pdf")
    qtbot.keyClick(window.page, Qt.Key.Key_P)
    qtbot.waitUntil((tmp_path / "card.html").exists)
    settle(window)
    assert (tmp_path / "card.pdf").read_bytes().startswith(b"%PDF")


def test_everything_that_takes_the_keyboard_has_a_name(window):
    around.add_cost(window.state.logbook, what="Lift", amount="5", currency="EUR")
    window.page.update_now()
    settle(window)
    assert unnamed(window.page) == []


def test_an_empty_logbook_says_so_in_a_sentence_each(tmp_path, open_window):  # noqa: F811
    with Logbook.create(tmp_path / "empty"):
        pass
    window = open_window(tmp_path / "empty", "plan")
    shown = texts(window.page)
    for sentence in (
        "Nothing on record falls due yet.",
        "No antifouling is on record: enter a paint on the page Paint.",
        "No cost is on record yet.",
    ):
        assert sentence in shown
    assert not window.page.calendar.isEnabled()
    assert not window.page.due.axis.isVisible()


def test_a_logbook_that_is_only_read_offers_nothing_to_enter(seasons, open_window, qtbot):  # noqa: F811
    window = open_window(seasons.folder, "plan", read_only=True)
    page = window.page
    assert not page.costs.adding.isEnabled()
    assert not page.costs.invoice.isEnabled()
    assert not page.buying.product.isEnabled()
    qtbot.keyClick(page, Qt.Key.Key_A)
    assert not window.findChildren(CostForm)
    assert page.calendar.isEnabled()


@pytest.mark.parametrize("look", [Look.DARK, Look.SUN])
def test_long_names_stay_inside_the_page(seasons, open_window, look):  # noqa: F811
    with Logbook.open(seasons.folder) as book:
        key = coatings.add_product(
            book, name=LONG, coating_class="hard_antifouling", role="antifouling"
        )
        around.set_setting(book, "plan", {"product_id": key})
        around.add_cost(book, what=LONG, amount="12345678.90", currency="EUR")
    window = open_window(seasons.folder, "plan", look)
    window.resize(1366, 768)
    QApplication.processEvents()
    page = window.page
    for card in (page.due, page.buying, page.costs):
        assert card.width() <= page.width()


def test_litres_are_told_as_computed_and_as_used(window, seasons):  # noqa: F811
    told = " ".join(texts(window.page.buying))
    assert "8 jobs took" in told
    share = read(window, past_litres).share
    assert figure_of(share) in told
    window.page.findChild(QPushButton, "plan/past").click()
    settle(window)
    opened = sheet(window)
    lines = plain(text for text in texts(opened) if " computed, " in text)
    assert len(lines) == 8
    assert "2023" in lines[0]
    assert "4.60 L used" in lines[0]
    assert "2.30 L used" in next(line for line in lines if "2018" in line)
    opened.reject()

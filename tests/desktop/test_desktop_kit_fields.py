from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible, QAction
from PySide6.QtWidgets import QApplication, QLabel, QPushButton, QVBoxLayout, QWidget

from hulllog.desktop.choice import Choice, Option
from hulllog.desktop.drafts import FieldKey
from hulllog.desktop.fields import AreaField, DateField, TextField
from hulllog.desktop.labels import Prose
from hulllog.desktop.layout import boxed, column, evenly, scrolled
from hulllog.desktop.numbers import NumberField
from hulllog.desktop.preferences import Look
from hulllog.desktop.theme import theme
from hulllog.records.errors import Refused
from hulllog.records.values import Measured, PartialDate
from hulllog.words.formats import reading_label

KEY = FieldKey("visit:1", "begins")
LONG = "ab" * 5000


class Kept(dict):
    """Drafts in a dictionary."""

    def put(self, record, field, text):
        self[record, field] = text

    def get(self, record, field):
        return super().get((record, field))

    def drop(self, record, field):
        self.pop((record, field), None)


@pytest.fixture
def drafts():
    return Kept()


@pytest.fixture
def form(look, qtbot):
    """Give a function that puts fields into one shown window, after a first button."""
    window = QWidget()
    column = QVBoxLayout(window)
    first = QPushButton("first")
    column.addWidget(first)
    qtbot.addWidget(window)

    def show(*fields):
        for field in fields:
            column.addWidget(field)
        window.show()
        window.activateWindow()
        with qtbot.waitActive(window):
            first.setFocus()
        return fields[0] if len(fields) == 1 else fields

    return show


def committed(field):
    values = []
    field.committed.connect(values.append)
    return values


def type_into(qtbot, field, text):
    field.entry.setFocus()
    qtbot.keyClicks(field.entry, text)


def leave(qtbot, field):
    qtbot.keyClick(field.entry, Qt.Key.Key_Tab)


def test_a_field_commits_when_it_is_left(form, qtbot, drafts):
    field = form(TextField("Yard", key=KEY, drafts=drafts))
    values = committed(field)
    type_into(qtbot, field, " Inlet Boatyard ")
    assert values == []
    leave(qtbot, field)
    assert values == ["Inlet Boatyard"]


def test_enter_commits_once_and_goes_on(form, qtbot, drafts):
    one, two = form(TextField("Yard", key=KEY, drafts=drafts), TextField("Way"))
    values = committed(one)
    type_into(qtbot, one, "Inlet")
    qtbot.keyClick(one.entry, Qt.Key.Key_Return)
    assert values == ["Inlet"]
    assert two.entry.hasFocus()


def test_what_was_not_touched_is_not_committed(form, qtbot):
    field = form(TextField("Yard"))
    field.show_value("Inlet")
    values = committed(field)
    field.entry.setFocus()
    leave(qtbot, field)
    assert values == []


def test_what_is_refused_stays_with_its_sentence_and_as_a_draft(form, qtbot, drafts):
    field = form(DateField("Out of the water", key=KEY, drafts=drafts))
    values = committed(field)
    type_into(qtbot, field, "someday")
    leave(qtbot, field)
    assert values == []
    assert field.text() == "someday"
    assert "someday" in field.sentence
    assert field.entry.accessibleDescription() == field.sentence
    assert drafts == {("visit:1", "begins"): "someday"}


def test_a_draft_names_the_key_that_keeps_it(form, qtbot, drafts):
    drafts["visit:1", "begins"] = "Scrape round the log"
    one, more = form(
        TextField("Name", key=KEY, drafts=drafts), AreaField("Note", key=KEY, drafts=drafts)
    )
    for field in (one, more):
        field.show_value("")
    assert ". Enter keeps it" in one.sentence
    assert ". Ctrl+Enter keeps it" in more.sentence


def test_a_draft_is_written_after_the_last_key_without_leaving(form, qtbot, drafts):
    field = form(TextField("Yard", key=KEY, drafts=drafts))
    type_into(qtbot, field, "Inl")
    assert drafts == {}
    qtbot.waitUntil(lambda: drafts == {("visit:1", "begins"): "Inl"}, timeout=3000)


def test_a_draft_is_shown_again_beside_what_refused_it(form, drafts):
    drafts.put("visit:1", "begins", "31 Feb 2020")
    field = form(DateField("Out of the water", key=KEY, drafts=drafts))
    field.show_value("14 Apr 2020")
    assert field.text() == "31 Feb 2020"
    assert field.refused
    assert "31 Feb 2020" in field.sentence
    field.give_up()
    assert (field.text(), field.sentence, drafts) == ("14 Apr 2020", "", {})


def test_a_draft_that_was_never_left_says_that_it_is_not_kept(form, qtbot, drafts):
    drafts.put("visit:1", "begins", "Inlet Boaty")
    field = form(TextField("Yard", key=KEY, drafts=drafts))
    field.show_value("Creek")
    assert not field.refused
    assert "Creek" in field.sentence
    values = committed(field)
    field.entry.setFocus()
    qtbot.keyClick(field.entry, Qt.Key.Key_Return)
    assert values == ["Inlet Boaty"]
    field.accept()
    assert (field.sentence, drafts) == ("", {})


def test_a_refusal_of_the_records_is_shown_and_kept_like_any(form, qtbot, drafts):
    field = form(TextField("Yard", key=KEY, drafts=drafts))
    type_into(qtbot, field, "2020")
    leave(qtbot, field)
    field.refuse(Refused("date_unread", typed="2020"))
    assert field.refused
    assert drafts == {("visit:1", "begins"): "2020"}


def test_what_is_being_typed_is_not_overwritten(form, qtbot):
    field = form(TextField("Yard"))
    field.show_value("Creek")
    type_into(qtbot, field, " and Inlet")
    field.show_value("Cove")
    assert field.text() == "Creek and Inlet"
    field.give_up()
    assert field.text() == "Cove"


def test_escape_goes_back_to_what_was_kept(form, qtbot, drafts):
    field = form(TextField("Yard", key=KEY, drafts=drafts))
    field.show_value("Creek")
    type_into(qtbot, field, "xx")
    qtbot.keyClick(field.entry, Qt.Key.Key_Escape)
    assert field.text() == "Creek"
    assert not field.dirty


def test_a_date_of_two_readings_offers_both(form, qtbot):
    field = form(DateField("Out of the water"))
    values = committed(field)
    field.type_text("03/04/2020")
    offers = {made.accessibleName(): made for made in field.findChildren(QPushButton)}
    third, fourth = reading_label("2020-04-03"), reading_label("2020-03-04")
    assert sorted(offers) == [third, fourth]
    assert values == []
    qtbot.mouseClick(offers[fourth], Qt.MouseButton.LeftButton)
    assert values == [fourth]
    assert PartialDate.parse(fourth).earliest == PartialDate.parse("2020-03-04").earliest


def test_the_readings_of_a_date_stay_while_the_field_is_left_for_them(form, qtbot):
    field = form(DateField("Out of the water"))
    values = committed(field)
    type_into(qtbot, field, "03/04/2020")
    qtbot.keyClick(field.entry, Qt.Key.Key_Return)
    offers = field.findChildren(QPushButton)
    qtbot.waitUntil(lambda: all(made.isVisible() for made in offers))
    third = reading_label("2020-04-03")
    qtbot.mousePress(offers[0], Qt.MouseButton.LeftButton)
    assert offers[0].hasFocus()  # the field was left, and refused once more
    QApplication.processEvents()
    assert [made.text() for made in offers if made.isVisible()] == [made.text() for made in offers]
    qtbot.mouseRelease(offers[0], Qt.MouseButton.LeftButton)
    assert values == [third]
    assert field.text() == third
    assert field.entry.hasFocus()


def test_the_tab_key_goes_from_a_date_to_its_readings(form, qtbot):
    field = form(DateField("Out of the water"))
    values = committed(field)
    type_into(qtbot, field, "03/04/2020")
    qtbot.keyClick(field.entry, Qt.Key.Key_Return)
    offers = field.findChildren(QPushButton)
    qtbot.waitUntil(lambda: all(made.isVisible() for made in offers))
    seen = []
    for _ in range(2):
        qtbot.keyClick(field.window().focusWidget(), Qt.Key.Key_Tab)
        seen.append(field.window().focusWidget())
    assert seen == offers
    qtbot.keyClick(seen[1], Qt.Key.Key_Space)
    assert values == [reading_label("2020-03-04")]


def test_enter_goes_past_the_unit_to_the_next_field(form, qtbot):
    length, beam = NumberField("Length", ("m", "ft")), NumberField("Beam", ("m", "ft"))
    form(length, beam)
    type_into(qtbot, length, "9.1")
    qtbot.keyClick(length.entry, Qt.Key.Key_Return)
    assert beam.entry.hasFocus()


def test_who_types_on_and_on_keeps_a_draft(form, qtbot, drafts):
    field = form(TextField("Yard", key=KEY, drafts=drafts))
    field.show_value("")
    field.entry.setFocus()
    qtbot.keyClicks(field.entry, "In")
    kept = lambda: drafts.get(KEY.record, KEY.field) is not None  # noqa: E731

    def type_on():
        if not kept():
            qtbot.keyClicks(field.entry, "x")
        return kept()

    qtbot.waitUntil(type_on, timeout=5000)


@pytest.mark.parametrize("text", ["2014", "2014-04", "Apr 2014", "about 2014", "14 Apr 2014"])
def test_partial_dates_are_dates(form, text):
    field = form(DateField("Built"))
    values = committed(field)
    field.type_text(text)
    assert values == [text]


def test_a_date_field_may_ask_more_of_a_date(form):
    def not_before(_date):
        raise Refused("date_unread", typed="x")

    field = form(DateField("Back in the water", check=not_before))
    field.type_text("2014")
    assert field.refused


def test_an_emptied_field_commits_nothing_known(form):
    date, number = form(DateField("Built"), NumberField("Beam", ("m",)))
    date.show_value("2014")
    number.show_measured(Measured.parse("2.9", "m"))
    values = committed(date) + committed(number)
    date.committed.connect(values.append)
    number.committed.connect(values.append)
    date.type_text("")
    number.type_text("")
    assert values == ["", ""]


def test_a_number_keeps_what_was_typed_and_its_unit(form):
    field = form(NumberField("Beam", ("m", "ft", "cm"), low=0.5, high=20))
    values = committed(field)
    field.type_text("2.90")
    assert values == [("2.90", "m")]
    field.type_text("290 cm")
    assert values[-1] == "290 cm"


@pytest.mark.parametrize(("text", "refused"), [("0.4", True), ("0.5", False), ("21", True)])
def test_a_number_out_of_its_range_is_refused(form, text, refused):
    field = form(NumberField("Beam", ("m", "ft"), low=0.5, high=20))
    field.type_text(text)
    assert field.refused is refused


def test_the_range_holds_in_the_other_unit_too(form):
    field = form(NumberField("Beam", ("m", "ft"), low=0.5, high=20))
    values = committed(field)
    field.choose_unit("ft")
    field.type_text("60")
    assert values == [("60", "ft")]
    field.accept()
    field.type_text("70")
    assert field.refused


def test_another_unit_commits_the_same_figure_again(form):
    field = form(NumberField("Beam", ("m", "ft")))
    field.show_measured(Measured.parse("9", "m"))
    values = committed(field)
    field.choose_unit("ft")
    assert values == [("9", "ft")]
    field.give_up()
    assert (field.text(), field.unit) == ("9", "m")


def test_the_unit_of_a_draft_comes_back(form, drafts):
    first = form(NumberField("Beam", ("m", "ft"), high=20, key=KEY, drafts=drafts))
    first.choose_unit("ft")
    first.type_text("900")
    second = form(NumberField("Beam", ("m", "ft"), high=20, key=KEY, drafts=drafts))
    second.show_measured(Measured.parse("3", "m"))
    assert (second.text(), second.unit, second.refused) == ("900", "ft", True)


@pytest.mark.parametrize("text", [LONG, '<b>&"', "שלום לך", "🚤⚓", "a\tb"])
def test_any_text_stays_whole(form, qtbot, text):
    line, area = form(TextField("Yard"), AreaField("Note"))
    for field in (line, area):
        values = committed(field)
        field.type_text(text)
        assert values == [text]
        field.accept()
        field.show_value(text)
        assert field.text() == text


def test_lines_of_a_note_stay_and_control_enter_keeps(form, qtbot):
    field = form(AreaField("Note"))
    values = committed(field)
    type_into(qtbot, field, "one")
    qtbot.keyClick(field.entry, Qt.Key.Key_Return)
    qtbot.keyClicks(field.entry, "two")
    qtbot.keyClick(field.entry, Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)
    assert values == ["one\ntwo"]


@pytest.mark.parametrize("make", [TextField, AreaField])
def test_a_field_needs_a_label_and_is_named_by_it(form, make):
    with pytest.raises(ValueError, match="needs a"):
        make(" ")
    field = form(make("Yard & <b>berth</b>"))
    named = QAccessible.queryAccessibleInterface(field.entry)
    assert named.text(QAccessible.Text.Name) == "Yard & <b>berth</b>"


def test_undo_goes_to_the_window_while_nothing_new_stands_in_the_line(form, qtbot):
    field = form(TextField("Yard"))
    field.show_value("Creek")
    undone = []
    action = QAction(field.window())
    action.setShortcut("Ctrl+Z")
    action.triggered.connect(lambda: undone.append("window"))
    field.window().addAction(action)
    control = Qt.KeyboardModifier.ControlModifier
    type_into(qtbot, field, "xx")
    qtbot.keyClick(field.entry, Qt.Key.Key_Z, control)
    assert field.text() == "Creek"
    assert undone == []
    qtbot.keyClick(field.entry, Qt.Key.Key_Z, control)
    assert undone == ["window"]


def test_a_known_text_is_completed_in_the_line(form, qtbot):
    field = form(TextField("Yard", known=["Inlet Boatyard", "Creek"]))
    type_into(qtbot, field, "inl")
    assert field.text() == "inlet Boatyard"


@pytest.mark.parametrize(
    ("kept", "shown"),
    [
        ("4 apr 2026", "4 Apr 2026"),
        ("APR 2026", "Apr 2026"),
        ("2026-04-04", "4 Apr 2026"),
        ("about apr 2014", "about Apr 2014"),
        ("2014", "2014"),
        ("03/04/2020", "03/04/2020"),  # two readings: what was typed is all that is known
    ],
)
def test_a_date_is_shown_as_the_program_writes_dates(qtbot, kept, shown):
    field = DateField("Out")
    qtbot.addWidget(field)
    field.show_value(kept)
    assert field.text() == shown
    assert not field.dirty


def test_a_sentence_below_one_date_leaves_the_other_its_width(form, qtbot):
    begins, ends = DateField("Out of the water"), DateField("In again")
    both = QWidget()
    both.setLayout(evenly(begins, ends))
    form(both)
    both.window().resize(760, 200)
    QApplication.processEvents()
    before = ends.width()
    begins.type_text("31 february 2024")
    QApplication.processEvents()
    assert begins.refused
    assert ends.width() == pytest.approx(before, abs=1)
    tops = [one.entry.mapTo(both, one.entry.rect().topLeft()).y() for one in (begins, ends)]
    assert tops[0] == tops[1]


@pytest.mark.parametrize("look", [Look.LIGHT, Look.SUN, Look.DARK])
def test_a_label_is_level_with_its_field_in_every_look(form, look):
    field = TextField("Yard")
    row = Choice("To be", [Option("look", "seen"), Option("renew", "new")])
    held = column(field, row)
    held.addStretch(1)
    form(boxed(held))
    theme().wear(Look.SUN if look is Look.LIGHT else Look.LIGHT)
    QApplication.processEvents()
    theme().wear(look)
    QApplication.processEvents()
    said = {one.text(): one for one in field.window().findChildren(QLabel)}
    for name, beside in (("Yard", field.entry), ("To be", row.buttons[0])):
        line = said[name].contentsRect()
        top = said[name].mapTo(field.window(), line.topLeft()).y()
        middle = top + said[name].fontMetrics().height() / 2
        there = beside.mapTo(field.window(), beside.rect().center()).y()
        assert abs(middle - there) <= 1.5, name
    theme().wear(Look.LIGHT)


def test_what_refused_a_field_at_the_foot_of_a_page_is_brought_in_sight(form, qtbot):
    field = DateField("When")
    held = QWidget()
    inside = QVBoxLayout(held)
    above = QWidget()
    above.setFixedHeight(200)
    below = QWidget()
    below.setFixedHeight(300)
    for widget in (above, field, below):
        inside.addWidget(widget)
    area = scrolled(held)
    form(area)
    area.window().resize(600, 400)
    area.setFixedHeight(200 + field.entry.height() + 16)
    QApplication.processEvents()
    field.type_text("31 february 2024")
    for _ in range(3):
        QApplication.processEvents()
    (sentence,) = [one for one in field.findChildren(Prose) if one.isVisible()]
    foot = sentence.mapTo(area.viewport(), sentence.rect().bottomLeft()).y()
    assert field.sentence
    assert foot <= area.viewport().height()

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from PySide6.QtCore import QEvent, QPoint, QPointF, Qt
from PySide6.QtGui import QMouseEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLabel

sys.path.insert(0, str(Path(__file__).parent))
from yardwindow import Yard

from hulllog.desktop.buttons import Door
from hulllog.desktop.theme import BODY, step, theme
from hulllog.insight.anodes import positions
from hulllog.records.errors import Refused
from hulllog.records.logbook import Logbook
from hulllog.records.model import (
    AnodeCheck,
    AnodePiece,
    AnodePosition,
    Coat,
    NoteForNextTime,
    Product,
    StageTime,
    Visit,
    Weather,
)
from hulllog.records.operations import anodes, around, coatings, matters, visits, yardwork
from hulllog.words import formats
from hulllog.words.errors import said


@pytest.fixture
def yard(look, qtbot, tmp_path):
    made = Yard(qtbot, tmp_path)
    visits.start_haul_out(made.logbook, begins="2026-04-14", yard="Inlet Boatyard", way="hoist")
    made.settle()
    yield made
    made.close()


def visit(yard):
    (found,) = yard.all(Visit)
    return found


def piece(yard, name, **more):
    """Enter a position with a piece of zinc."""
    position = anodes.add_position(yard.logbook, name=name)
    anodes.fit_piece(
        yard.logbook, position, metal="zinc", **{"mass_new": "1.2 kg", "fitted": "2024", **more}
    )
    yard.settle()
    return position


# Steps


def test_the_steps_come_in_the_order_of_the_evidence_with_cautions_beside_them(yard):
    from hulllog.desktop.layout import Caution

    page = yard.open("steps")
    section = yard.section("steps")
    names = [door.accessibleName() for door in section.doors.values()]
    assert [name[0] for name in names] == list("1234567")
    assert "0 of 16 zones" in names[0]  # growth is looked for where she meets the water
    said = [made.accessibleName() for made in section.findChildren(Caution)]
    assert sum("hangs" in text or "Nobody below her" in text for text in said) == 2
    assert page.subtitle() == "since 14 Apr 2026, Inlet Boatyard, travelling hoist"


def test_no_step_and_no_task_is_cut(yard):
    yard.window.resize(1366, 768)
    yardwork.set_stage(yard.logbook, visit(yard).id, "washed", "15 Apr 2026")
    yard.open("steps")
    section = yard.section("steps")
    tasks = [door for shown in section.lists.values() for door in shown.doors.values()]
    assert tasks
    for door in [*section.doors.values(), *tasks]:
        assert door.height() >= door.heightForWidth(door.width())
        wide = theme().metrics(BODY).horizontalAdvance(door._end)
        assert wide <= (door.width() - step(8)) // 2, door._end


def test_a_caution_opens_on_demand_and_has_no_way_to_put_it_away(yard):
    from PySide6.QtWidgets import QToolButton

    from hulllog.desktop.layout import Caution

    yard.open("steps")
    (hanging, *_) = yard.section("steps").findChildren(Caution)
    (only,) = hanging.findChildren(QToolButton)
    only.click()
    assert hanging.isVisible()
    only.click()
    assert hanging.isVisible()


def test_a_step_is_opened_by_its_number(yard):
    page = yard.open("steps")
    yard.type("3")
    assert page._now == "anodes"


def test_a_step_leads_to_its_walk(yard):
    page = yard.open("steps")
    yard.type("2")
    assert page._now == "walk"
    assert yard.section("walk").setup.plan.value == "after_wash"


def test_function_keys_are_commands_of_the_page(yard):
    page = yard.open("steps")
    yard.window.menus.actions["on_page_3"].trigger()
    assert page._now == "paint"
    assert "F5" in yard.window.menus.actions["on_page_3"].shortcut().toString()


def test_a_bare_stage_time_is_one_of_the_day_out_and_may_be_typed_short(yard):
    yard.open("steps")
    field = yard.section("steps").times["washed"]
    field.entry.setFocus()
    yard.type("10:30\n")
    yard.settle()
    (told,) = yard.all(StageTime)
    assert (told.stage, told.at.text) == ("washed", "14 Apr 2026 10:30")
    assert not field.dirty
    field.type_text("13 Apr 2026")
    yard.settle()
    assert field.refused
    assert "before she was lifted" in field.sentence


def test_a_bare_time_follows_the_step_before_it_and_afloat_the_relaunch(yard):
    yard.open("steps")
    section = yard.section("steps")
    section.times["prepared"].type_text("16 Apr 2026 12:00")
    yard.settle()
    section.times["coated"].type_text("9:30")
    yard.settle()
    section.times["lifted"].type_text("8:15")
    section.facts.ends.type_text("17 Apr 2026")
    yard.settle()
    section.times["relaunched"].type_text("15:00")
    yard.settle()
    assert {told.stage: told.at.text for told in yard.all(StageTime)} == {
        "lifted": "14 Apr 2026 08:15",
        "prepared": "16 Apr 2026 12:00",
        "relaunched": "17 Apr 2026 15:00",
    }
    assert "before the step “prepared” (16 Apr 2026 12:00)" in section.times["coated"].sentence


def test_a_step_after_the_relaunch_is_refused_and_now_is_no_longer_offered(yard):
    yard.open("steps")
    section = yard.section("steps")
    assert section.nows["ready"].isVisible()
    section.nows["washed"].click()
    yard.settle()
    assert section.times["washed"].text().startswith("18 Apr 2026 ")
    section.times["washed"].type_text("14 Apr 2026 10:00")
    section.facts.ends.type_text("16 Apr 2026")
    yard.settle()
    assert not section.nows["ready"].isVisible()
    section.times["ready"].type_text("17 Apr 2026")
    yard.settle()
    assert section.times["ready"].refused
    assert "after she was back in the water (16 Apr 2026)" in section.times["ready"].sentence


def test_what_does_not_fit_together_is_asked_beside_the_steps_and_kept(yard):
    yard.open("steps")
    card = yard.page._section("steps").disagreeing
    assert not card.isVisible()
    paint = coatings.add_product(
        yard.logbook, name="Tidewall", coating_class="unknown", role="antifouling"
    )
    tin = coatings.add_tin(yard.logbook, paint, bought="2026-04-17")
    coatings.add_coat(yard.logbook, visit(yard).id, paint, tin_id=tin, at="2026-04-15")
    yard.settle()
    assert card.isVisible()
    assert any("Tidewall" in label.text() for label in card.findChildren(QLabel))
    assert len(yard.all(Coat)) == 1


def test_facts_are_kept_when_left(yard):
    yard.open("steps")
    facts = yard.section("steps").facts
    facts.ends.entry.setFocus()
    yard.type("18\n")
    yard.settle()
    facts.support.choose("own_keels")
    yard.settle()
    kept = visit(yard)
    assert (kept.ends.text, kept.support) == ("18 Apr 2026", "own_keels")
    facts.ends.type_text("12 Apr 2026")
    yard.settle()
    assert facts.ends.refused
    assert visit(yard).ends.text == "18 Apr 2026"


@pytest.mark.parametrize("key", [" ", "\n"])
def test_after_closing_the_keyboard_is_on_the_page_and_not_on_undo(yard, key):
    yard.open("steps")
    yard.section("steps").facts.close_it.setFocus()
    yard.type(key)
    yard.settle()
    assert visit(yard).closed_at is not None
    assert yard.page.isAncestorOf(yard.focus)


def test_a_refused_date_keeps_the_keyboard_so_that_the_correction_goes_where_it_belongs(yard):
    yard.open("steps")
    facts = yard.section("steps").facts
    facts.ends.entry.setFocus()
    yard.type("1 nov 2025\n")
    yard.settle()
    assert facts.ends.refused
    assert yard.focus is facts.ends.entry
    facts.ends.entry.selectAll()
    yard.type("16 apr\n")
    yard.settle()
    assert (visit(yard).ends.text, visit(yard).yard) == ("16 Apr 2026", "Inlet Boatyard")
    assert yard.focus is facts.yard.entry


def test_a_correction_without_a_reason_is_told_that_one_is_wanted(yard):
    from hulllog.desktop.reasons import Reason

    yard.open("steps")
    yard.section("steps").facts.close_it.click()
    yard.settle()
    yard.page.reopen.click()
    (asked,) = yard.window.findChildren(Reason)
    asked.do.click()
    assert "reason" in asked.reason.sentence
    assert asked.isVisible()
    entry = asked.focusWidget()
    assert entry is asked.reason.entry
    QTest.keyClicks(entry, "forgotten")
    QTest.keyClick(entry, Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)
    assert asked.focusWidget() is asked.do
    QTest.keyClick(asked.do, Qt.Key.Key_Return)
    yard.settle()
    assert visit(yard).closed_at is None


def test_closing_refuses_what_stands_typed_and_cannot_be_kept(yard):
    yard.open("steps")
    facts = yard.section("steps").facts
    facts.scum_line.entry.setFocus()
    yard.type("abc")
    for _ in range(2):
        facts.close_it.click()
        yard.settle()
        assert facts.scum_line.refused
        assert yard.focus is facts.scum_line.entry
    assert visit(yard).closed_at is None
    facts.scum_line.entry.selectAll()
    yard.type("40")
    facts.close_it.click()
    yard.settle()
    assert visit(yard).closed_at is not None
    assert visit(yard).scum_line.text == "40"


def test_a_button_held_while_a_refusal_moves_it_is_pressed(yard):
    yard.open("steps")
    facts = yard.section("steps").facts
    facts.begins.entry.setFocus()
    facts.begins.entry.selectAll()
    yard.type("nonsense")
    clicked = []
    facts.close_it.clicked.connect(lambda: clicked.append(True))
    middle = facts.close_it.rect().center()
    point = facts.close_it.mapToGlobal(middle)
    QTest.mousePress(facts.close_it, Qt.MouseButton.LeftButton, pos=middle)
    QTest.qWait(120)
    yard.settle()
    assert facts.begins.refused
    there = facts.close_it.mapFromGlobal(point)
    assert not facts.close_it.rect().contains(there)
    released = QMouseEvent(
        QEvent.Type.MouseButtonRelease, QPointF(there), QPointF(point), Qt.MouseButton.LeftButton,
        Qt.MouseButton.NoButton, Qt.KeyboardModifier.NoModifier,
    )  # fmt: skip
    QApplication.sendEvent(facts.close_it, released)
    assert clicked == [True]
    QTest.mousePress(facts.close_it, Qt.MouseButton.LeftButton)
    QTest.mouseRelease(facts.close_it, Qt.MouseButton.LeftButton, pos=middle + QPoint(0, 300))
    assert clicked == [True]


def test_coats_that_are_no_whole_number_are_refused_by_an_example_that_fits(yard):
    with pytest.raises(Refused) as refused:
        yardwork.put_on(yard.logbook, visit(yard).id, yardwork.PutOn(coats="1.5"))
    assert "for example 2." in said(refused.value)


def test_a_time_that_no_clock_shows_is_refused_as_a_time(yard):
    yard.open("steps")
    field = yard.section("steps").times["washed"]
    field.entry.setFocus()
    yard.type("25:99\n")
    yard.settle()
    assert "“25:99” is no time of day" in field.sentence
    assert yard.all(StageTime) == []
    assert yard.focus is field.entry


def test_closing_refuses_what_only_the_records_can_refuse(yard):
    yard.open("steps")
    facts = yard.section("steps").facts
    facts.ends.entry.setFocus()
    yard.type("1 nov 2025")
    facts.close_it.click()
    yard.settle()
    assert facts.ends.refused
    assert visit(yard).closed_at is None


def test_a_closed_haul_out_names_what_was_not_done_and_is_lost(yard):
    yard.open("steps")
    facts = yard.section("steps").facts
    facts.scum_line.type_text("40")
    facts.close_it.click()
    yard.settle()
    (told,) = [
        shown.text() for shown in yard.page.closed.findChildren(QLabel)
        if "not to be had later" in shown.text()
    ]  # fmt: skip
    assert "Photograph both sides" in told
    assert "scum line" not in told


def test_close_ends_it_and_reopening_asks_a_reason(yard):
    from hulllog.desktop.reasons import Reason

    page = yard.open("steps")
    yard.section("steps").facts.close_it.click()
    yard.settle()
    assert visit(yard).closed_at is not None
    assert not page.opened
    assert page.title() == "Haul-out closed"
    page.reopen.click()
    (asked,) = yard.window.findChildren(Reason)
    asked.reason.entry.setText("an anode was forgotten")
    asked.do.click()
    yard.settle()
    assert visit(yard).closed_at is None
    assert page.opened


def test_a_finding_open_before_relaunch_is_named_before_closing_and_after(yard):
    matters.raise_finding(
        yard.logbook, title="soft seacock", sort="other", must="before_relaunch",
        severity="severe", visit_id=visit(yard).id,
    )  # fmt: skip
    yard.settle()
    yard.open("steps")
    facts = yard.section("steps").facts
    facts.close_it.click()
    yard.settle()
    assert visit(yard).closed_at is None
    assert [one.isVisible() for one in facts.findChildren(QLabel) if "soft seacock" in one.text()]
    yard.section("steps").facts.close_it.click()
    yard.settle()
    assert visit(yard).closed_at is not None
    told = [one.text() for one in yard.page.closed.findChildren(QLabel)]
    assert any("soft seacock" in text and "before relaunch" in text for text in told)


# Anodes


def test_the_bench_says_a_piece_fitted_when_the_page_of_anodes_does(yard):
    before = visits.start_haul_out(yard.logbook, begins="2024-05-09", ends="2024-05-12")
    position = anodes.add_position(yard.logbook, name="shaft")
    anodes.fit_piece(yard.logbook, position, metal="zinc", visit_id=before)
    visits.close(yard.logbook, before)
    yard.settle()
    yard.open("anodes")
    (story,) = yard.window.state.read(positions)
    fitted = formats.partial_date(story.present.fitted)
    assert fitted == "12 May 2024"
    assert yard.section("anodes").bench.piece.text() == (
        f"zinc, mass when new not known, fitted {fitted}"
    )


def test_an_anode_is_weighed_in_few_keys_and_the_next_comes(yard):
    piece(yard, "shaft")
    piece(yard, "rudder")
    yard.open("anodes")
    bench = yard.section("anodes").bench
    assert "1.2" in bench.piece.text()
    yard.presses = 0
    yard.type("0.83\ntnn\n")
    yard.settle()
    (check,) = yard.all(AnodeCheck)
    assert (check.way, check.mass.text, check.mass.unit, check.contact) == (
        "weighed", "0.83", "kg", "tight",
    )  # fmt: skip
    assert yard.presses <= 10
    assert yard.section("anodes")._rows[yard.section("anodes")._at].name == "rudder"
    assert yard.window.state.undo_text == "the anode on the bench: shaft"


def test_an_anode_is_judged_by_eye_and_renewed(yard):
    position = piece(yard, "shaft")
    yard.open("anodes")
    yard.type("\nhtnyz1.15\n\n")
    yard.settle()
    (check,) = yard.all(AnodeCheck)
    assert (check.way, check.left_low) == ("by_eye", 0.4)
    new = [one for one in yard.all(AnodePiece) if one.fitted_visit_id]
    assert [(one.metal, one.mass_new.text) for one in new] == [("zinc", "1.15")]
    assert new[0].position_id == position


def test_keeping_an_anode_again_changes_nothing_and_shows_what_is_kept(yard):
    piece(yard, "shaft", mass_new="620 g")
    yard.open("anodes")
    yard.type("410 g\ntnyz600 g\n\n")
    yard.settle()
    pieces, checks = yard.all(AnodePiece), yard.all(AnodeCheck)
    assert len(pieces) == 2
    head = yard.logbook.head
    yard.page.show_section("steps")
    yard.open("anodes")
    bench = yard.section("anodes").bench
    assert (bench.mass.text(), bench.metal.value, bench.new_mass.text()) == ("410", "zinc", "600")
    bench.keep.setFocus()
    yard.type("\n")
    yard.settle()
    assert {one.id for one in yard.all(AnodePiece)} == {one.id for one in pieces}
    assert [one.mass.text for one in yard.all(AnodeCheck)] == [one.mass.text for one in checks]
    assert yard.logbook.head == head
    door = yard.section("anodes").findChildren(Door)[0]
    assert "410" in door.accessibleName()


def test_a_mass_is_asked_in_the_unit_of_the_piece(yard):
    piece(yard, "shaft", mass_new="620 g")
    yard.open("anodes")
    yard.type("410\ntnn\n")
    yard.settle()
    (check,) = yard.all(AnodeCheck)
    assert (check.mass.text, check.mass.unit) == ("410", "g")


def test_what_was_kept_of_an_anode_is_put_right_on_the_bench_after_its_renewal(yard):
    piece(yard, "shaft", mass_new="620 g")
    yard.open("anodes")
    yard.type("410 g\ntnyz600 g\n\n")
    yard.settle()
    bench = yard.section("anodes").bench
    bench.mass.entry.setFocus()
    bench.mass.entry.selectAll()
    yard.type("401 g\n")
    bench.new_mass.entry.setFocus()
    bench.new_mass.entry.selectAll()
    yard.type("610 g\n\n")
    yard.settle()
    (check,) = yard.all(AnodeCheck)
    assert (check.mass.text, check.mass.unit) == ("401", "g")
    assert [one.mass_new.text for one in yard.all(AnodePiece)] == ["620", "610"]


def test_heavier_than_new_is_refused_beside_the_mass_and_kept_as_typed(yard):
    piece(yard, "shaft")
    yard.open("anodes")
    yard.type("1.4\ntnn\n")
    yard.settle()
    mass = yard.section("anodes").bench.mass
    assert mass.refused
    assert "1.4 kg is more than the anode weighed when new (1.2 kg)" in mass.sentence
    assert yard.all(AnodeCheck) == []
    assert mass.text() == "1.4"
    assert yard.focus is mass.entry


def test_an_anode_seen_neither_weighed_nor_by_eye_is_not_kept(yard):
    piece(yard, "shaft")
    yard.open("anodes")
    bench = yard.section("anodes").bench
    bench.store()
    yard.settle()
    assert yard.all(AnodeCheck) == []
    assert bench._told.isVisible()
    assert "judge by eye" in bench._told.text()
    assert bench.eye.geometry().bottom() < bench._told.y() < bench.contact.y()
    bench.eye.buttons[0].setFocus()
    yard.type("h")
    assert not bench._told.isVisible()


def test_what_stands_entered_on_the_bench_stays_while_another_is_looked_at(yard):
    shaft, rudder = piece(yard, "shaft"), piece(yard, "rudder")
    yard.open("anodes")
    section = yard.section("anodes")

    def pick(position):
        section.findChild(Door, f"anode.{position}").click()
        yard.settle()

    pick(shaft)
    yard.type("1.4\ntnn\n")
    yard.settle()
    assert section.bench.mass.refused
    section.bench.mass.entry.selectAll()
    yard.type("0.41\n")
    pick(rudder)
    assert (section.bench.mass.text(), section.bench.contact.value) == ("", None)
    pick(shaft)
    assert (section.bench.mass.text(), section.bench.contact.value) == ("0.41", "tight")
    section.bench.keep.setFocus()
    yard.type("\n")
    yard.settle()
    assert [(check.mass.text, check.contact) for check in yard.all(AnodeCheck)] == [
        ("0.41", "tight")
    ]


def test_a_mass_put_right_is_what_comes_back_when_the_window_is_opened_again(yard):
    position = piece(yard, "shaft")
    yard.open("anodes")
    yard.type("abc\n")
    yard.section("anodes").bench.mass.entry.selectAll()
    yard.type("0.41\n")
    record = f"bench:{visit(yard).id}:{position}"
    assert yard.window.state.drafts.get(record, "mass").startswith("0.41")


def test_a_mass_typed_where_a_name_is_asked_is_refused_beside_it(yard):
    yard.open("anodes")
    field = yard.section("anodes").add
    yard.type("0.9\n")
    yard.settle()
    assert yard.all(AnodePosition) == []
    assert field.refused
    assert "“0.9” is a number, not a name" in field.sentence
    assert field.text() == "0.9"


def test_a_first_position_is_named_on_the_spot(yard):
    yard.open("anodes")
    section = yard.section("anodes")
    assert yard.focus is section.add.entry
    yard.type("shaft\n")
    yard.settle()
    assert [one.name for one in yard.all(AnodePosition)] == ["shaft"]
    assert section.bench is not None
    assert yard.focus is section.bench.mass.entry
    section.add.entry.setFocus()
    yard.type("rudder\n")
    yard.settle()
    assert len(yard.all(AnodePosition)) == 2
    assert yard.focus is section.bench.mass.entry
    picked = [one for one in section.findChildren(Door) if "on the bench" in one.accessibleName()]
    assert [one.accessibleName().split(",")[0] for one in picked] == ["rudder"]
    assert picked[0].objectName() == f"anode.{section.bench.position_id}"


# Paint


def test_a_new_paint_is_put_on_with_its_class_and_the_weather(yard):
    yard.open("paint")
    section = yard.section("paint")
    assert section.product.value == "new"
    section.fields["name"].entry.setFocus()
    yard.type("Tidewall 40\nred\na")
    section.coating_class.choose("hard_antifouling")
    yard.type("2.5\n2\n16\n14\n12\n65\n")
    section.keep.setFocus()
    yard.type("\n")
    yard.settle()
    (product,) = yard.all(Product)
    assert (product.name, product.colour, product.coating_class, product.role) == (
        "Tidewall 40", "red", "hard_antifouling", "antifouling",
    )  # fmt: skip
    assert [coat.litres.text for coat in yard.all(Coat)] == ["1.25", "1.25"]
    assert yard.all(Coat)[0].at.text == "16 Apr 2026"
    assert yard.all(Weather)[0].humidity.text == "65"
    assert section.fields["litres"].text() == ""


def test_a_known_paint_is_one_key(yard):
    yard.open("paint")
    section = yard.section("paint")
    section.fields["name"].type_text("Tidewall 40")
    section.fields["coats"].type_text("1")
    section.store()
    yard.settle()
    section.product.setFocus()
    yard.type("1")
    assert yard.focus is section.fields["litres"].entry
    yard.type("3\n\n\n\n\n\n\n")
    yard.settle()
    assert len(yard.all(Product)) == 1
    assert [coat.number for coat in yard.all(Coat)] == [1, 2]


def test_litres_out_of_range_are_refused_beside_the_field(yard):
    yard.open("paint")
    section = yard.section("paint")
    section.fields["name"].type_text("Tidewall 40")
    section.fields["litres"].type_text("-2")
    section.store()
    yard.settle()
    assert section.fields["litres"].refused
    assert yard.all(Coat) == []


# Notes


def test_waiting_notes_are_answered_and_new_ones_raised(yard):
    around.note_for_next_time(yard.logbook, "look at the log", raised="2024")
    yard.open("notes")
    section = yard.section("notes")
    (answer,) = section.answers.values()
    assert yard.focus is answer.entry
    yard.type("renewed\n")
    yard.settle()
    (note,) = yard.all(NoteForNextTime)
    assert (note.answer, note.answered_visit_id) == ("renewed", visit(yard).id)
    assert section.answers == {}
    section.new.entry.setFocus()
    yard.type("bring a longer ladder\t")
    yard.settle()
    texts = [one.text for one in yard.all(NoteForNextTime)]
    assert texts == ["look at the log", "bring a longer ladder"]
    assert section.new.text() == ""


def test_a_note_raised_here_does_not_wait_here(yard):
    around.note_for_next_time(yard.logbook, "longer ladder", visit_id=visit(yard).id)
    yard.open("notes")
    assert yard.section("notes").answers == {}
    yard.page.show_section("steps")
    assert "0 notes" in yard.section("steps").doors["relaunched"].accessibleName()


# The page


def test_everything_that_can_be_focused_has_a_name(yard):
    from PySide6.QtWidgets import QWidget

    piece(yard, "shaft")
    for code in ("steps", "walk", "anodes", "paint", "photos", "notes"):
        page = yard.open(code)
        nameless = [
            f"{code}: {type(one).__name__}"
            for one in page.findChildren(QWidget)
            if one.isVisible()
            and one.focusPolicy() & 0x1
            and not one.accessibleName()
            and not getattr(one, "text", lambda: "")()
        ]
        assert not nameless


def test_what_is_only_read_takes_nothing(look, qtbot, tmp_path):
    made = Yard(qtbot, tmp_path)
    try:
        visits.start_haul_out(made.logbook, begins="2026-04-14")
        folder, around_it = made.logbook.folder, made.logbook.around
        made.window.state.close()
        made.window.state.use(Logbook.open(folder, around_it, read_only=True))
        made.settle()
        page = made.open("walk")
        assert not page._section("walk").setup.go.isEnabled()
        made.page.show_section("steps")
        made.settle()
        facts = made.section("steps").facts
        assert facts.begins.entry.isReadOnly()
        assert not facts.close_it.isEnabled()
    finally:
        made.close()

from __future__ import annotations

import sys
from datetime import timedelta
from pathlib import Path

import pytest
from PIL import Image
from pypdf import PdfReader
from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QFileDialog, QLabel

sys.path.insert(0, str(Path(__file__).parent))
from yardwindow import Yard

from hulllog.output.history import Options, write_history
from hulllog.records.errors import Refused
from hulllog.records.model import (
    Finding,
    FindingLink,
    FindingObservation,
    Inspection,
    MeasurementSet,
    Photo,
    PhotoPlace,
    Visit,
)
from hulllog.records.operations import visits

LOOKED_FOR = ["laminate-blisters", "crack", "damage", "rust-spots"]


@pytest.fixture
def yard(look, qtbot, tmp_path):
    made = Yard(qtbot, tmp_path, keel="fin")
    visits.start_haul_out(made.logbook, begins="2026-04-17", yard="Inlet Boatyard")
    made.settle()
    made.open("walk")
    yield made
    made.close()


def walk(yard):
    return yard.section("walk")


def begin(yard, plan="2"):
    """Begin one of the walks by its number."""
    yard.type(f"{plan}\n")
    yard.settle()
    return walk(yard)


def move(yard, key):
    """Press a key that types nothing."""
    QTest.keyClick(yard.focus, key)


def looks(yard):
    """Return the answers by zone code."""
    codes = {key: code for code, key in yard.zones().items()}
    from hulllog.records.model import ZoneVersion

    with yard.logbook.read() as book:
        return {
            codes[book.get(ZoneVersion, look.zone_version_id).zone_id]: look
            for look in yard.all(Inspection)
        }


def pictures(folder, count, start=0):
    folder.mkdir(exist_ok=True)
    files = []
    for n in range(start, start + count):
        file = folder / f"yard{n}.jpg"
        Image.new("RGB", (64, 48), (n * 40 % 255, 90, 120)).save(file)
        files.append(file)
    return files


def choose(yard, files):
    """Choose files in the dialog that is open, and press Enter there."""
    dialogs = yard.window.findChildren(QFileDialog)
    (dialog,) = (one for one in dialogs if one.isVisible())
    dialog.setOption(QFileDialog.Option.DontUseNativeDialog)
    dialog.selectFile(str(files[0]))
    dialog.filesSelected.emit([str(file) for file in files])
    dialog.done(QFileDialog.DialogCode.Accepted)
    yard.presses += 1
    yard.settle()


# Before the walk


def test_the_walk_is_proposed_by_material_and_by_what_is_done(yard):
    setup = walk(yard).setup
    assert setup.plan.value == "before_wash"
    yard.type("2")
    assert set(setup.kinds.value) == set(LOOKED_FOR)
    assert setup.washed.value == "washed"
    assert setup.wetness.value == "wet"
    assert "hangs" in setup.hanging.accessibleName()


def test_what_is_looked_for_is_kept_with_the_visit(yard):
    begin(yard)
    (visit,) = yard.all(Visit)
    assert set(visit.looked_for) == set(LOOKED_FOR)
    assert visit.methods == ["close", "touched"]


def test_a_walk_without_anything_to_look_for_does_not_begin(yard):
    setup = walk(yard).setup
    setup.kinds.show_value([])
    setup.begin()
    assert walk(yard).walk is None


def test_a_new_haul_out_is_not_walked_as_the_last_one_ended(yard):
    from hulllog.records.operations import queries

    section = walk(yard)
    yard.type("5")
    assert section.setup.plan.value == "as_left"
    with yard.logbook.read() as book:
        (before,) = queries.visits(book)
    visits.set_dates(yard.logbook, before.id, begins="2026-04-10", ends="2026-04-12")
    visits.close(yard.logbook, before.id)
    visits.start_haul_out(yard.logbook, begins="2026-04-17")
    yard.settle()
    yard.open("walk")
    assert section.visit_id != before.id
    assert section.setup.plan.value == "before_wash"
    yard.type("\nn")
    yard.settle()
    assert [look.state for look in yard.all(Inspection)] == ["found"]


# Answers


def test_nothing_found_is_one_key_and_the_next_zone_comes(yard):
    section = begin(yard)
    name = section.panel.name.text()
    yard.presses = 0
    yard.type("n")
    assert section.panel.name.text() != name
    yard.settle()
    (look,) = yard.all(Inspection)
    assert yard.presses == 1
    assert (look.coverage, look.result) == ("whole", "nothing_found")
    assert look.looked_for == ["laminate-blisters", "crack", "damage"]
    assert look.methods == ["close", "touched"]
    assert yard.window.state.undo_text == f"nothing found at {name}"


def test_enter_pressed_again_answers_nothing(yard):
    section = begin(yard)
    yard.type("\n\n\n")
    assert yard.all(Inspection) == []
    assert section.at == 0
    yard.page.show_section("steps")
    QTest.keyClick(yard.window, Qt.Key.Key_F3)  # the walk that is under way
    yard.settle()
    yard.type("\n\n")
    assert yard.all(Inspection) == []
    yard.presses = 0
    yard.type("n")
    assert (len(looks(yard)), yard.presses) == (1, 1)


def test_enter_answers_where_the_arrows_chose_an_answer(yard):
    begin(yard)
    move(yard, Qt.Key.Key_Down)
    yard.type("\n\n")
    assert [look.result for look in looks(yard).values()] == ["nothing_found"] * 2


@pytest.mark.parametrize(
    ("first", "key", "text"),
    [(None, Qt.Key.Key_N, "n"), (Qt.Key.Key_Down, Qt.Key.Key_N, "n"),
     (Qt.Key.Key_Down, Qt.Key.Key_Return, "\r")],
)  # fmt: skip
def test_a_key_held_down_answers_one_zone(yard, first, key, text):
    begin(yard)
    if first is not None:
        move(yard, first)
    for repeat in (False, True, True, True):
        event = QKeyEvent(QEvent.Type.KeyPress, key, Qt.KeyboardModifier.NoModifier, text, repeat)
        QApplication.sendEvent(yard.focus, event)
    assert len(looks(yard)) == 1


def test_keys_typed_faster_than_they_are_stored_each_answer_a_zone(yard):
    begin(yard)
    yard.type("nnnnnn")
    assert len(looks(yard)) == 6


def test_a_walk_of_sixteen_zones_with_two_findings_and_three_photos_takes_few_keys(yard, tmp_path):
    section = begin(yard)
    files = pictures(tmp_path / "camera", 3)
    count = len(section.stops)
    assert count >= 16
    yard.presses = 2  # the two that began it
    yard.type("nn")
    yard.settle()
    yard.type("s")
    yard.type("1")  # laminate blisters
    yard.type("12\n4\n8\ngn")  # count, sizes, depth, fluid
    yard.type("n")  # at the next lift
    yard.settle()
    yard.type("n")
    yard.type("a")
    yard.settle()
    choose(yard, files[:2])
    yard.type("s3")
    yard.type("40\n5\n2w")  # damage: length, width; moderate; watch
    yard.settle()
    yard.type("a")
    yard.settle()
    choose(yard, files[2:])
    yard.type("n" * (count - 5))
    yard.settle()
    assert len(looks(yard)) == count
    assert yard.presses + 16 - count <= 120
    assert yard.presses <= 120
    first, second = yard.all(Finding)
    assert (first.must, first.sort) == ("next_lift", "blisters")
    assert (second.must, second.severity) == ("watch", "moderate")
    assert len(yard.all(Photo)) == 3
    assert section.panels.currentWidget() is section.done


def test_the_figures_come_with_the_conditions_of_the_day(yard):
    begin(yard)
    yard.type("s112\n4\n8\ngnw")
    yard.settle()
    (rated,) = yard.all(MeasurementSet)
    assert rated.kind == "laminate-blisters"
    assert rated.conditions == {"wetness": "wet", "days_ashore": 1}
    with yard.logbook.read() as book:
        kept = book.get(MeasurementSet, rated.id)
        assert {one.component: one.value.text for one in kept.readings} == {
            "count": "12", "typical_mm": "4", "largest_mm": "8",
        }  # fmt: skip
        assert {one.component: one.code for one in kept.ratings} == {
            "depth": "gelcoat", "fluid": "none",
        }  # fmt: skip


def test_a_size_is_taken_from_a_card_by_its_letter(yard):
    begin(yard)
    yard.type("s112\nas")
    yard.settle()
    entry = walk(yard).found.entry
    assert entry.figures()["typical_mm"] == ("3", "mm")
    assert entry.figures()["largest_mm"] == ("10", "mm")


def test_a_finding_is_proposed_a_title_and_asked_what_must_happen(yard):
    section = begin(yard)
    zone = section.stops[0].name
    yard.type("s112\n\n\n\n\n")
    assert section.found._must.title.text() == f"Laminate blisters: {zone}"
    yard.type("b")
    yard.settle()
    (finding,) = yard.all(Finding)
    assert finding.must == "before_relaunch"
    assert yard.window.state.undo_text == f"something found at {zone}"
    yard.undo()
    assert yard.all(Finding) == yard.all(Inspection) == []


def test_only_the_rating_may_be_kept(yard):
    begin(yard)
    yard.type("s112\n\n\n\n\nx")
    yard.settle()
    assert yard.all(Finding) == []
    assert len(yard.all(MeasurementSet)) == 1


def test_several_kinds_may_be_found_in_one_zone(yard):
    begin(yard)
    yard.type("s112\n\n\n\n\nm")
    yard.type("230\n\n")  # a crack of 30 mm
    yard.type("w")
    yard.settle()
    assert sorted(one.kind for one in yard.all(MeasurementSet)) == ["crack", "laminate-blisters"]
    assert len(yard.all(Inspection)) == 1


def test_something_may_be_told_in_words_alone(yard):
    section = begin(yard)
    yard.type("sw")
    assert yard.focus is section.found._must.note.entry
    yard.type("weeps at the joint\t")
    section.found._must.start()
    yard.type("s")
    yard.settle()
    (look,), (finding,) = yard.all(Inspection), yard.all(Finding)
    assert (look.note, look.result) == ("weeps at the joint", "something_found")
    assert finding.must == "this_season"


def test_a_finding_is_raised_by_its_key_and_without_a_pointer(yard):
    section = begin(yard)
    zone = section.stops[0]
    (shown,) = [made for made in section.panel.answers.buttons if made.option.code == "finding"]
    assert (shown.option.said, shown.option.key) == ("Raise a finding", "f")
    yard.type("fweeps at the joint\n")
    yard.type("3b")
    yard.settle()
    (look,), (finding,) = yard.all(Inspection), yard.all(Finding)
    assert (look.note, look.result) == ("weeps at the joint", "something_found")
    assert (finding.must, finding.severity) == ("before_relaunch", "severe")
    assert [link.zone_id for link in yard.all(FindingLink)] == [zone.zone_id]
    assert section.at == 1


def test_the_words_of_a_finding_stay_with_it_and_are_printed(yard, tmp_path):
    begin(yard)
    yard.type("fHairline at the joint\n")
    yard.type("s")
    yard.settle()
    (finding,) = yard.all(Finding)
    assert finding.note == "Hairline at the joint"
    assert finding.title.startswith("Hairline at the joint: ")
    written = write_history(yard.logbook, tmp_path / "history.pdf", Options(draft=True))
    pages = [" ".join(page.extract_text().split()) for page in PdfReader(written.path).pages]
    (zones,) = [page for page in pages if "as found as left" in page]
    assert "found: Hairline at the joint" in zones
    assert sum("Hairline at the joint" in page for page in pages) > 1


def test_the_words_of_a_known_finding_are_those_of_this_time(yard):
    section = begin(yard)
    yard.type("fweeps at the joint\nw")
    yard.settle()
    section.go_to_zone(section.stops[0].code)
    yard.type("fdry this time\n4")
    yard.settle()
    (finding,), (seen,) = yard.all(Finding), yard.all(FindingObservation)
    assert (finding.note, seen.text) == ("weeps at the joint", "dry this time")


def test_a_known_finding_is_seen_again_by_one_key(yard):
    section = begin(yard)
    yard.type("s112\n\n\n\n\nw")
    yard.settle()
    section.go_to_zone(section.stops[0].code)
    assert section.panel.findings.count() == 1
    yard.type("s115\n\n\n\n\n4")
    yard.settle()
    assert len(yard.all(Finding)) == 1
    (seen,) = yard.all(FindingObservation)
    assert seen.seen == "present"


def test_a_part_is_seen_with_its_share_and_what_hid_the_rest(yard):
    begin(yard)
    yard.type("p2gn")
    yard.settle()
    (look,) = yard.all(Inspection)
    assert (look.coverage, look.share, look.hidden_by, look.result) == (
        "part", 0.25, "growth", "nothing_found",
    )  # fmt: skip


def test_something_may_be_found_in_the_part_that_was_seen(yard):
    begin(yard)
    yard.type("p3ss112\n\n\n\n\nx")
    yard.settle()
    (look,) = yard.all(Inspection)
    assert (look.coverage, look.share, look.hidden_by, look.result) == (
        "part", 0.5, "support", "something_found",
    )  # fmt: skip


def test_what_could_not_be_seen_while_she_hangs_is_two_keys(yard):
    begin(yard)
    yard.presses = 0
    yard.type("ch")
    yard.settle()
    (look,) = yard.all(Inspection)
    assert yard.presses == 2
    assert (look.coverage, look.hidden_by, look.result) == ("not_seen", "hanging", None)


def test_not_looked_at_is_kept_as_such(yard):
    section = begin(yard)
    yard.type("o")
    yard.settle()
    (look,) = yard.all(Inspection)
    assert (look.coverage, look.result) == ("not_looked", None)
    assert section.stops[0].entered.coverage == "not_looked"


def test_as_last_time_is_greyed_and_one_key_stored_as_a_new_look(yard):
    section = begin(yard)
    yard.type("s112\n\n\n\n\nx")
    yard.settle()
    (first,) = yard.all(Visit)
    visits.close(yard.logbook, first.id)
    later = visits.start_haul_out(yard.logbook, begins="2026-04-18")
    yard.settle()
    yard.open("walk")
    section = begin(yard)
    assert "12" in section.panel.last.text()
    assert section.panel.last.palette().windowText().color() != section.panel.name.palette().color(
        section.panel.name.foregroundRole()
    )
    yard.presses = 0
    yard.type("=")
    yard.settle()
    assert yard.presses == 1
    made = [look for look in yard.all(Inspection) if look.visit_id == later]
    assert [look.as_last_time for look in made] == [True]


def test_the_second_sweep_shows_what_the_first_found_with_its_day(yard):
    begin(yard)
    yard.type("s112\n\n\n\n\nx")
    yard.settle()
    yard.day += timedelta(days=21)
    yard.page.show_section("steps")
    section = walk(yard)
    yard.open("walk")
    section.take_up("second_sweep")
    section.setup.begin()
    yard.settle()
    section.go_to_zone(section.stops[0].code)
    assert section.walk.state == "during"
    assert "12" in section.panel.last.text()
    assert "18 Apr 2026" in section.panel.last.text()
    yard.type("=")
    yard.settle()
    assert [look.state for look in yard.all(Inspection) if look.as_last_time] == ["during"]


def test_a_walk_of_an_earlier_day_is_kept_with_that_day(yard):
    yard.day += timedelta(days=21)
    yard.open("steps")
    yard.open("walk")
    section = walk(yard)
    yard.type("2")
    assert "9 May 2026" in section.setup.day.entry.placeholderText()
    section.setup.day.type_text("1 jun 2026")
    assert section.setup.day.refused
    section.setup.day.type_text("18 apr")
    section.setup.go.setFocus()
    yard.type("\n")
    yard.settle()
    yard.type("s112\n\n\n\n\nx")
    yard.settle()
    (rated,) = yard.all(MeasurementSet)
    assert rated.observed.text == "18 Apr 2026"
    assert rated.conditions["days_ashore"] == 1


def test_as_last_time_does_nothing_where_there_was_none(yard):
    section = begin(yard)
    yard.type("=")
    yard.settle()
    assert yard.all(Inspection) == []
    assert section.at == 0


def test_back_goes_to_the_zone_before_and_another_answer_takes_its_place(yard):
    section = begin(yard)
    yard.type("n")
    yard.settle()
    yard.type("b")
    assert section.at == 0
    assert "nothing found" in section.panel.entered.text()
    yard.type("o")
    yard.settle()
    (look,) = yard.all(Inspection)
    assert look.coverage == "not_looked"
    assert section.at == 1


def test_a_key_goes_on_without_answering_and_one_to_the_next_unanswered(yard):
    section = begin(yard)
    yard.type("nnbb")
    yard.settle()
    assert section.at == 0
    yard.type("x")
    assert section.at == 1
    yard.type("b")
    yard.type("u")
    assert section.at == 2
    yard.settle()
    assert len(yard.all(Inspection)) == 2


def test_closing_after_a_walk_names_the_zones_without_a_look_as_left(yard):
    section = begin(yard)
    yard.type("n")
    yard.settle()
    zones = len(section.stops)
    yard.open("steps")
    facts = yard.section("steps").facts
    facts.close_it.click()
    yard.settle()
    assert [visit.closed_at for visit in yard.all(Visit)] == [None]
    assert any(f"{zones} zones have no" in one.text() for one in facts.findChildren(QLabel))
    facts.close_it.click()
    yard.settle()
    assert [visit.closed_at is None for visit in yard.all(Visit)] == [False]


def test_what_must_happen_leads_back_to_the_card_as_it_was(yard):
    section = begin(yard)
    yard.type("s112\n\n\n\n\nk")
    assert section.found.entry.isVisible()
    assert section.found.entry.figures()["count"][0] == "12"
    assert yard.all(Inspection) == []


def test_enter_at_a_known_finding_does_not_raise_it_again(yard):
    begin(yard)
    yard.type("s112\n\n\n\n\nb")
    yard.settle()
    section = walk(yard)
    section.go_to_zone(section.stops[0].code)
    yard.type("s112\n\n\n\n\n\n")
    yard.settle()
    assert len(yard.all(Finding)) == 1


@pytest.mark.parametrize("keys", ["s\x1b", "s1\x1b", "p2\x1b", "c\x1b", "sb", "pb", "cb"])
def test_what_was_begun_is_given_up_by_a_key(yard, keys):
    section = begin(yard)
    yard.type(keys)
    assert section.panels.currentWidget() is section.panel
    yard.type("n")
    assert len(looks(yard)) == 1


def test_undo_brings_the_zone_back(yard):
    section = begin(yard)
    yard.type("nn")
    yard.settle()
    assert section.at == 2
    yard.undo()
    assert section.at == 1
    assert section.panel.name.text() == section.stops[1].name


def test_a_digit_is_a_whole_rating_where_only_growth_is_looked_for(yard):
    section = begin(yard, plan="1")
    assert section.panel.quick is not None
    yard.presses = 0
    yard.type("3")
    yard.settle()
    (rated,) = yard.all(MeasurementSet)
    assert yard.presses == 1
    assert (rated.kind, rated.conditions["washed"]) == ("level-of-fouling", "not_washed")
    assert section.at == 1
    yard.type("0")
    yard.settle()
    assert looks(yard)[section.stops[1].code].result == "nothing_found"


def test_the_walk_goes_on_where_it_was_left(yard):
    section = begin(yard)
    yard.type("nnn")
    yard.settle()
    yard.page.show_section("steps")
    yard.page.show_section("walk")
    assert section.at == 3
    yard.page.show_section("steps")
    yard.settle()
    assert "3 of" in yard.section("steps").doors["washed"].accessibleName()


def test_the_walk_as_left_is_another_state(yard):
    begin(yard, plan="5")
    yard.type("n")
    yard.settle()
    (look,) = yard.all(Inspection)
    assert look.state == "left"


def test_a_press_on_a_zone_of_the_drawing_goes_there(yard):
    section = begin(yard)
    section.picture.picked.emit("rudder")
    assert section.panel.name.text() == "Rudder"
    assert ("zone:rudder", "Rudder") in section.picture.view.regions


def test_the_end_names_what_was_not_seen(yard):
    section = begin(yard)
    yard.type("ch")
    yard.type("n" * (len(section.stops) - 1))
    yard.settle()
    assert section.panels.currentWidget() is section.done
    assert section.stops[0].name in section.done.told.text()
    yard.type("s")
    assert yard.page._now == "steps"


# Photographs of the walk


def test_a_photo_added_in_the_walk_is_kept_with_the_zone(yard, tmp_path):
    section = begin(yard)
    (file,) = pictures(tmp_path / "camera", 1)
    yard.type("a")
    yard.settle()
    choose(yard, [file])
    (photo,), (place,) = yard.all(Photo), yard.all(PhotoPlace)
    assert (photo.state, place.zone_id) == ("found", section.stops[0].zone_id)
    assert len(section.panel.photos.tiles) == 1
    yard.type("\n")  # once more, as after a dialog that was slow to go
    assert yard.all(Inspection) == []
    yard.type("n")
    yard.settle()
    assert len(yard.all(Inspection)) == 1


# What is refused


def test_a_figure_out_of_its_range_is_refused_beside_its_field(yard):
    section = begin(yard)
    yard.type("s1-3\n")
    yard.settle()
    field = section.found.entry.fields["figures.count"]
    assert field.refused
    assert yard.all(Inspection) == []
    assert field.text() == "-3"


def test_a_card_without_its_first_figure_comes_back_with_the_sentence(yard):
    section = begin(yard)
    yard.type("s1\n\n\n\n\n")
    yard.type("w")
    yard.settle()
    assert yard.all(Inspection) == []
    assert section.found.entry.fields["figures.count"].refused
    assert section.found.stack.currentWidget() is section.found._card


def test_an_answer_that_cannot_be_stored_brings_its_zone_back(yard, monkeypatch):
    from hulllog.records.operations import walking

    section = begin(yard)

    def refuse(*_args):
        raise Refused("no_such_record", field="zone")

    monkeypatch.setattr(walking, "nothing_found", refuse)
    yard.type("n")
    yard.settle()
    assert section.at == 0
    assert yard.window.status


def test_a_kind_of_keel_and_of_hull_are_looked_for_where_they_apply(yard):
    section = begin(yard)
    by_code = {stop.code: stop.looked_for for stop in section.stops}
    assert by_code["keel-port"] == ("rust-spots", "crack", "damage")
    assert "rust-spots" not in by_code["bottom-aft-port"]


def test_targets_are_high_enough_for_a_cold_finger(yard):
    section = begin(yard)
    yard.settle()
    assert all(made.height() >= 48 for made in section.panel.answers.buttons)
    assert section.panel.answers.buttons[0].focusPolicy() == Qt.FocusPolicy.StrongFocus

"""Findings across visits, the work that closes them, surveys and their proofs."""

from __future__ import annotations

import pytest

from hulllog.records.model import (
    CostLine,
    Finding,
    FindingLink,
    FindingObservation,
    Gear,
    Limit,
    Proof,
    Setting,
    Spot,
    WorkLink,
)
from hulllog.records.operations import around, keeping, matters, spots, visits


@pytest.fixture
def finding(boat):
    return matters.raise_finding(
        boat.logbook, title="Rust on the port keel", sort="rust", must="this_season",
        severity="moderate", visit_id=boat.visit, zones=[boat.zones["keel-port-outboard"]],
    )  # fmt: skip


def test_a_finding_is_numbered_and_says_what_it_is_about(boat, finding):
    second = matters.raise_finding(boat.logbook, title="A leak", sort="leak")
    assert boat.get(Finding, finding).number == 1
    assert boat.get(Finding, second).number == 2
    assert boat.all(FindingLink)[0].zone_id == boat.zones["keel-port-outboard"]


def test_a_finding_wants_a_title_and_known_codes(boat, refuses):
    raising = matters.raise_finding
    refuses("text_wanted", "title", raising, title="", sort="rust")
    refuses("unknown_choice", "must", raising, title="x", sort="rust", must="now")
    refuses("no_such_record", "zone_id", raising, title="x", sort="rust", zones=["none"])


def test_the_last_severity_seen_is_the_findings_own(boat, finding):
    matters.observe_finding(
        boat.logbook, finding, boat.visit, seen="present", severity="severe", text="wider"
    )
    assert boat.get(Finding, finding).severity == "severe"
    assert boat.all(FindingObservation)[0].text == "wider"


def test_work_closes_a_finding_and_is_linked_to_it(boat, refuses, finding):
    invoice = around.add_document(boat.logbook, title="Invoice 12", sort="invoice")
    before = boat.entries
    work = matters.add_work(
        boat.logbook, text="Ground to bright iron, primed.", visit_id=boat.visit,
        done="2025-04-18", closes=[finding], documents=[invoice],
    )  # fmt: skip
    assert boat.entries == before + 1
    closed = boat.get(Finding, finding)
    assert (closed.status, closed.closed_by_work_id) == ("closed", work)
    assert closed.closed_visit_id == boat.visit
    assert {(x.finding_id, x.document_id) for x in boat.all(WorkLink)} == {
        (finding, None), (None, invoice),
    }  # fmt: skip
    refuses("finding_not_open", "", matters.close_by_work, finding, work)


def test_a_finding_that_came_back_is_opened_with_a_reason(boat, refuses, finding):
    matters.add_work(boat.logbook, text="Primed.", visit_id=boat.visit, closes=[finding])
    visits.close(boat.logbook, boat.visit)
    refuses("text_wanted", "reason", matters.reopen_finding, finding, reason="")
    matters.reopen_finding(boat.logbook, finding, reason="rust in the same place")
    assert boat.get(Finding, finding).closed_by_work_id is None
    refuses("finding_open_already", "", matters.reopen_finding, finding, reason="again")


def test_a_finding_that_was_none_is_withdrawn_and_kept(boat, finding):
    matters.withdraw_finding(boat.logbook, finding, reason="a stain, washed off")
    assert boat.get(Finding, finding).status == "withdrawn"


def test_a_finding_splits_with_the_spots_that_go_along(boat):
    spot = spots.add_spot(boat.logbook, label="corner")
    first = matters.raise_finding(boat.logbook, title="Rust", sort="rust", spots=[spot])
    second = matters.split_finding(boat.logbook, first, title="Rust at the corner", spots=[spot])
    assert boat.get(Finding, second).split_from_id == first
    assert [x.finding_id for x in boat.all(FindingLink)] == [second]


def test_a_recommendation_is_met_by_proof(boat, refuses):
    paper = around.add_document(boat.logbook, title="Report", sort="survey")
    surveyor = around.add_person(boat.logbook, name="E. Quill", role="surveyor")
    survey = matters.add_survey(
        boat.logbook, at="2025-03", asked_by="insurer", person_id=surveyor, document_id=paper
    )
    asked = matters.add_recommendation(
        boat.logbook, survey, number="A1", wording="Renew the seacock.", due="2025-06-30"
    )
    refuses("choice_wanted", "work_id", matters.add_proof, asked)
    proof = matters.add_proof(boat.logbook, asked, document_id=paper)
    matters.accept_proof(boat.logbook, proof, by="Insurer's desk", on="2025-05-12")
    assert boat.get(Proof, proof).accepted.text == "2025-05-12"


def test_work_can_be_linked_afterwards(boat, finding):
    work = matters.add_work(boat.logbook, text="Primed.")
    matters.link_work(boat.logbook, work, finding_id=finding)
    matters.link_finding(boat.logbook, finding, zone_id=boat.zones["keel-port-under"])
    assert len(boat.all(FindingLink)) == 2


# Around


def test_money_is_kept_as_on_the_paper(boat, refuses):
    key = around.add_cost(boat.logbook, what="Lift", amount="1 240,50", currency="eur")
    cost = boat.get(CostLine, key)
    assert (cost.amount, cost.currency) == ("1240.50", "EUR")
    refuses("money_unread", "amount", around.add_cost, what="x", amount="ten", currency="EUR")
    refuses("currency_unread", "currency", around.add_cost, what="x", amount="1", currency="€")


def test_gear_limits_and_instruments_are_kept(boat):
    gear = around.add_gear(boat.logbook, sort="seacock", name="Galley seacock", material="bronze")
    around.check_gear(boat.logbook, gear, boat.visit, result="nothing_found", text="turns freely")
    around.add_instrument(boat.logbook, name="Kitchen scale", sort="scale", repeatability="5 g")
    around.set_limit(
        boat.logbook, kind="play", component="play", value="1.5 mm", set_by="owner",
        source="bearing maker's sheet",
    )  # fmt: skip
    around.set_setting(boat.logbook, "words", {"language": "en_US"})
    around.set_setting(boat.logbook, "words", {"language": "en_GB"})
    assert boat.get(Gear, gear).material == "bronze"
    assert boat.all(Limit)[0].value.si == pytest.approx(0.0015)
    assert [s.value for s in boat.all(Setting)] == [{"language": "en_GB"}]


def test_what_is_withdrawn_is_hidden_and_can_come_back(boat, refuses):
    spot = spots.add_spot(boat.logbook, label="stain")
    keeping.withdraw(boat.logbook, Spot, spot)
    assert boat.all(Spot) == []
    refuses("withdrawn_already", "", lambda book: keeping.withdraw(book, Spot, spot))
    keeping.restore(boat.logbook, Spot, spot)
    assert len(boat.all(Spot)) == 1


def test_two_findings_that_are_one_become_one_entry_and_undo_brings_both_back(
    boat, refuses, finding
):
    other = matters.raise_finding(
        boat.logbook, title="Rust again", sort="rust", visit_id=boat.visit,
        zones=[boat.zones["keel-port-inboard"]],
    )  # fmt: skip
    matters.observe_finding(boat.logbook, other, boat.visit, seen="present", text="two spots")
    before = boat.entries
    matters.merge_findings(boat.logbook, finding, other)
    assert boat.entries == before + 1
    assert boat.get(Finding, other).status == "withdrawn"
    zones = {one.zone_id for one in boat.all(FindingLink) if one.finding_id == finding}
    assert zones == {boat.zones["keel-port-outboard"], boat.zones["keel-port-inboard"]}
    assert [one.finding_id for one in boat.all(FindingObservation)] == [finding]
    refuses("same_finding", "other", matters.merge_findings, finding, finding)
    boat.logbook.undo()
    assert boat.get(Finding, other).status == "open"
    assert [one.finding_id for one in boat.all(FindingObservation)] == [other]

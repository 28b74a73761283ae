"""What was particular to a year: findings, surveys, the treatment, a touch of the bottom."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from hulllog.records.operations import (
    around,
    berths,
    coatings,
    looks,
    matters,
    spots,
    visits,
)
from hulllog.records.operations.measuring import Rated

from . import below, haulouts, papers
from .clock import OWNER, ZONE
from .teller import KEEL_LOOK, PLACES, WET_LOOK, blisters, crack, rust
from .years import BLISTERED, BOTTOM, CRACKED, HAUL_OUTS, KEELS, RUSTING, A, B, C

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from .teller import Teller

INSURER = "Moth & Lantern Mutual"


def _spot(teller: Teller, name: str, label: str, zone: str, visit: str) -> None:
    key = spots.add_spot(
        teller.logbook, label=label, place=PLACES[name], zone_id=teller.zones[zone], visit_id=visit
    )
    teller.keep(name, key)


def _see(teller: Teller, name: str, visit: str, severity: str | None, text: str) -> None:
    matters.observe_finding(
        teller.logbook, teller.keys[name], visit, seen="present", severity=severity, text=text
    )
    teller.clock.move()


def _prime_rust(teller: Teller, visit: str, day: str, *, closes: bool = True) -> None:
    """Enter the owner's own cure: ground to bright iron and primed, and what it looked like."""
    teller.on(day)
    found = [teller.keys["rust finding"]]
    primer = teller.primer(int(day[:4]))
    for _ in range(3):
        coatings.add_coat(
            teller.logbook, visit, primer, zones=[teller.zones[RUSTING]], share="4 %", at=day,
            tool="brush", applied_by="owner",
        )  # fmt: skip
        teller.clock.move()
    matters.add_work(
        teller.logbook, text="Ground the corner to bright iron, three coats of epoxy primer.",
        visit_id=visit, done=day, person_id=teller.keys[OWNER],
        findings=found, closes=found if closes else (),
    )  # fmt: skip
    teller.clock.move()
    spots.observe_spot(
        teller.logbook, teller.keys["rust"], visit, state="left",
        ratings=[replace(rust(0), observed=day)], text="Primed, smooth.",
    )  # fmt: skip
    teller.clock.move()


def _2015(teller: Teller, visit: str) -> None:
    _spot(teller, "spot A", "Largest blister beside the port keel", A, visit)
    _spot(teller, "spot B", "Largest blister on the port quarter", B, visit)
    _spot(teller, "spot C", "Largest blister on the starboard quarter", C, visit)
    _spot(teller, "rust", "Rust, lower after corner of the starboard keel", RUSTING, visit)
    _spot(teller, "crack", "Crack in the gelcoat at the scupper, starboard", CRACKED, visit)
    haulouts.observe_spots(teller, visit, HAUL_OUTS[2])
    teller.keep(
        "blister finding",
        matters.raise_finding(
            teller.logbook, title="Blisters in the bottom laminate", sort="blisters",
            visit_id=visit, zones=[teller.zones[zone] for zone in BLISTERED],
            spots=[teller.keys[name] for name in ("spot A", "spot B", "spot C")],
        ),
    )  # fmt: skip
    teller.keep(
        "rust finding",
        matters.raise_finding(
            teller.logbook, title="Rust at the corner of the starboard keel", sort="rust",
            must="this_season", visit_id=visit, zones=[teller.zones[RUSTING]],
            spots=[teller.keys["rust"]],
        ),
    )  # fmt: skip
    teller.keep(
        "crack finding",
        matters.raise_finding(
            teller.logbook, title="Crack in the gelcoat at the starboard scupper", sort="crack",
            visit_id=visit, spots=[teller.keys["crack"]],
        ),
    )  # fmt: skip
    _prime_rust(teller, visit, "2015-04-20")
    below.shaft_bearing(teller, visit, "0.4", "2015-04-19")
    below.rudder(teller, visit, "0.6", "2015-04-19")
    below.seacocks(teller, visit, "2015-04-19")
    below.propeller(teller, visit, "2015-04-19")
    below.joints(teller, visit, "2015-04-17")
    note = "Look at the starboard keel corner first"
    teller.keep("corner note", around.note_for_next_time(teller.logbook, note, visit_id=visit))


def _2016(teller: Teller, visit: str) -> None:
    _see(teller, "blister finding", visit, None, "A few more, and a little larger.")


def _2017(teller: Teller, visit: str) -> None:
    around.answer_note(
        teller.logbook, teller.keys["corner note"], visit, "Sound: the primer has held."
    )
    teller.clock.move()
    _see(teller, "blister finding", visit, None, "Dry: fewer to be felt than last year.")
    _spot(teller, "stain", "Brown mark below the exhaust", "transom", visit)
    key = matters.raise_finding(
        teller.logbook, title="Brown mark on the transom", sort="other", visit_id=visit,
        spots=[teller.keys["stain"]],
    )  # fmt: skip
    teller.clock.move()
    teller.on("2017-04-20")
    matters.withdraw_finding(teller.logbook, key, reason="exhaust soot, washed off")
    spots.withdraw_spot(teller.logbook, teller.keys["stain"])
    below.shaft_bearing(teller, visit, "0.5", "2017-04-18")
    below.seacocks(teller, visit, "2017-04-18")
    below.propeller(teller, visit, "2017-04-18")


def _rust_again(teller: Teller, visit: str, severity: str, text: str) -> None:
    matters.reopen_finding(
        teller.logbook, teller.keys["rust finding"], reason="rust again in the same place"
    )
    teller.clock.move()
    _see(teller, "rust finding", visit, severity, text)


def _2018(teller: Teller, visit: str) -> None:
    _see(teller, "blister finding", visit, None, "Wet again, and plainly more than in 2016.")
    _rust_again(teller, visit, "slight", "Weeping through the primer at the same corner.")
    _prime_rust(teller, visit, "2018-05-07")


def _2019(teller: Teller, visit: str) -> None:
    visits.set_visit(teller.logbook, visit, "lift_weight", "6.3 t")
    teller.clock.move()


def _after_2019(teller: Teller, visit: str) -> None:
    teller.on("2019-06-03")
    visits.set_visit(
        teller.logbook, visit, "lift_weight", "4.3 t",
        reason="typed a 6 for a 4; the dock's slip says 4.3",
    )  # fmt: skip


def _2020(teller: Teller, visit: str) -> None:
    _see(teller, "blister finding", visit, "moderate", "Some as broad as a thumbnail.")
    _rust_again(teller, visit, "moderate", "Scale comes off in flakes.")


def _after_2020(teller: Teller, visit: str) -> None:
    del visit
    berths.add_berth_period(
        teller.logbook, begins="2020-07-25",
        location="Brannet Creek, drying berth with shore power",
        water="brackish", shore_power="plugged", immersed_share="55 %",
        note="The club laid cable along the quay this spring.",
    )  # fmt: skip
    teller.clock.move()


def _survey(teller: Teller, visit: str) -> None:
    teller.on("2021-04-16")
    report = papers.add(
        teller, "survey report", title="Survey report, Ruddy Shore", sort="survey",
        day="2021-04-16", visit=visit, lines=papers.SURVEY,
    )  # fmt: skip
    survey = matters.add_survey(
        teller.logbook, at="2021-04-14", asked_by="insurer", visit_id=visit, document_id=report,
        person_id=teller.keys["T. Quillet"], firm_id=teller.keys["Quillet Survey"],
        reference="QS 21-038",
    )  # fmt: skip
    teller.clock.move()
    for number, wording, due, survey_class, finding in (
        ("1", "Renew the galley seacock before she is relaunched.", "2021-05-31", "A",
         "seacock finding"),
        ("2", "Have the shore power lead checked and an isolator fitted by an electrician.",
         "2021-07-31", "A", "shore finding"),
        ("3", "Take the faces of both iron keels to bright metal and coat them.", "2021-07-31", "B",
         "rust finding"),
        ("4", "Open, dry and treat the blistered bottom laminate.", "2022-12-31", "B",
         "blister finding"),
    ):  # fmt: skip
        key = matters.add_recommendation(
            teller.logbook, survey, number=number, wording=wording, due=due,
            survey_class=survey_class, finding_id=teller.keys[finding],
        )  # fmt: skip
        teller.keep(f"recommendation {number}", key)


def _2021(teller: Teller, visit: str) -> None:
    _see(
        teller,
        "blister finding",
        visit,
        "severe",
        "One opened: sour fluid from within the laminate.",
    )
    _see(teller, "rust finding", visit, "severe", "As broad as a hand now.")
    teller.keep(
        "seacock finding",
        matters.raise_finding(
            teller.logbook, title="Galley seacock stiff, dezincified at the flange",
            sort="corrosion",
            must="before_relaunch", severity="moderate", visit_id=visit,
            gear=[teller.keys["Galley seacock"]],
        ),
    )  # fmt: skip
    teller.keep(
        "shore finding",
        matters.raise_finding(
            teller.logbook, title="Shaft anode wore far faster than ever", sort="corrosion",
            must="this_season", severity="moderate", visit_id=visit,
            anode_positions=[teller.keys["shaft position"]],
        ),
    )  # fmt: skip
    matters.set_finding(teller.logbook, teller.keys["blister finding"], "must", "next_lift")
    below.shaft_bearing(teller, visit, "0.8", "2021-04-11")
    below.rudder(teller, visit, "0.8", "2021-04-11")
    around.set_limit(
        teller.logbook, kind="play", component="play", value="1.5 mm", set_by=OWNER,
        source="what the yard's fitter advised for shaft and rudder alike", set_on="2021-04-11",
    )  # fmt: skip
    below.seacocks(teller, visit, "2021-04-11", ("stiff", "free"))
    below.propeller(teller, visit, "2021-04-11")
    below.joints(teller, visit, "2021-04-10")
    _survey(teller, visit)
    _blast_keels(teller, visit)
    _seacock_and_isolator(teller, visit)


def _prove(teller: Teller, number: str, accepted: str, **proofs: str) -> None:
    """Enter what proves that a recommendation was met: works, papers, photographs."""
    for field, name in proofs.items():
        key = matters.add_proof(
            teller.logbook, teller.keys[f"recommendation {number}"], **{field: teller.keys[name]}
        )
        teller.clock.move()
        teller.keep(f"proof {number} {field} {accepted}", key)


def _accept(teller: Teller, accepted: str) -> None:
    """Enter the insurer's letter that takes the proofs of a batch as sufficient."""
    teller.on(accepted)
    for name, key in tuple(teller.keys.items()):
        if name.startswith("proof ") and name.endswith(accepted):
            matters.accept_proof(teller.logbook, key, by=INSURER, on=accepted)
            teller.clock.move()


def _blast_keels(teller: Teller, visit: str) -> None:
    teller.on("2021-04-28")
    keels = [teller.zones[zone] for zone in KEELS]
    coatings.add_removal(
        teller.logbook, visit, down_to="bare_metal", how="blasted", zones=keels, at="2021-04-26"
    )
    coatings.add_treatment(
        teller.logbook, visit, sort="blasted", zones=keels, contractor="Drystone Hull Care",
        begins="2021-04-26", ends="2021-04-27",
    )  # fmt: skip
    primer = teller.primer(2021)
    for number, hour in enumerate(("16:00", "08:30", "13:00", "17:30"), 1):
        coatings.add_coat(
            teller.logbook, visit, primer, zones=keels, number=str(number), litres="0.4",
            at=f"2021-04-{27 if number == 1 else 28} {hour}", tool="brush", air="11",
            humidity="61 %", hull="10", applied_by="Drystone Hull Care",
        )  # fmt: skip
        teller.clock.move()
    work = matters.add_work(
        teller.logbook, visit_id=visit,
        text="Faces of both keels blasted to bright metal, the last on the 27th after noon; "
        "blasted again where they had turned by then, primed that day; four coats of epoxy primer.",
        done="2021-04-28", firm_id=teller.keys["Drystone Hull Care"],
        closes=[teller.keys["rust finding"]],
    )  # fmt: skip
    teller.on("2021-04-30")
    bill = papers.add(
        teller, "blasting invoice", title="Invoice 2108, blasting of keels", sort="invoice",
        day="2021-04-30", visit=visit, lines=papers.BLASTING,
    )  # fmt: skip
    teller.keep("keel work", work)
    matters.link_work(teller.logbook, work, document_id=bill)
    teller.clock.move()
    spots.observe_spot(teller.logbook, teller.keys["rust"], visit, state="left",
        ratings=[replace(rust(0), observed="2021-04-30")],
    )  # fmt: skip


def _seacock_and_isolator(teller: Teller, visit: str) -> None:
    teller.on("2021-05-06")
    seacock = matters.add_work(
        teller.logbook, text="Galley seacock and its tail renewed in bronze.", visit_id=visit,
        done="2021-05-03", firm_id=teller.keys["Vesk Haven Yard"],
        closes=[teller.keys["seacock finding"]],
    )  # fmt: skip
    around.change_gear(teller.logbook, teller.keys["Galley seacock"], fitted="2021-05-03")
    teller.clock.move()
    bill = papers.add(
        teller, "yard invoice", title="Invoice 21-77, seacock and lift", sort="invoice",
        day="2021-05-05", visit=visit, lines=papers.YARD,
    )  # fmt: skip
    teller.keep("seacock work", seacock)
    matters.link_work(teller.logbook, seacock, document_id=bill)
    teller.clock.move()
    isolator = matters.add_work(
        teller.logbook, visit_id=visit, done="2021-05-05",
        text="Shore lead tested, galvanic isolator fitted by a licensed electrician.",
        closes=[teller.keys["shore finding"]],
    )  # fmt: skip
    paper = papers.add(
        teller, "isolator certificate", title="Electrician's certificate, shore power",
        sort="certificate", day="2021-05-05", visit=visit, lines=papers.ELECTRICIAN,
    )  # fmt: skip
    matters.link_work(teller.logbook, isolator, document_id=paper)
    teller.clock.move()


def _after_2021(teller: Teller, visit: str) -> None:
    del visit
    berths.add_berth_period(
        teller.logbook, begins="2021-05-08",
        location="Brannet Creek, drying berth with shore power",
        water="brackish", shore_power="plugged_with_isolator", immersed_share="55 %",
    )  # fmt: skip
    accepted = "2021-06-02"
    _prove(teller, "1", accepted, work_id="seacock work", document_id="yard invoice")
    _prove(teller, "2", accepted, document_id="isolator certificate")
    _prove(
        teller, "3", accepted, work_id="keel work", document_id="blasting invoice",
        photo_id="photo rust-primed 2021",
    )  # fmt: skip
    _accept(teller, accepted)


def _2022(teller: Teller, visit: str) -> None:
    bottom = [teller.zones[zone] for zone in BOTTOM]
    _see(teller, "blister finding", visit, "severe", "Last look before the planer.")
    below.propeller(teller, visit, "2022-03-05")
    teller.on("2022-03-16")
    coatings.add_removal(
        teller.logbook, visit, down_to="laminate", how="peeled", zones=bottom, at="2022-03-16"
    )
    coatings.add_treatment(
        teller.logbook, visit, sort="peeled", zones=bottom, contractor="Drystone Hull Care",
        begins="2022-03-14", ends="2022-03-16",
    )  # fmt: skip
    teller.on("2022-05-10")
    below.drawn_bolts(teller, visit, "2022-05-10")
    teller.on("2022-05-27")
    _moisture(teller, visit)
    coatings.add_treatment(
        teller.logbook, visit, sort="dried", zones=bottom, contractor="Drystone Hull Care",
        begins="2022-03-17", ends="2022-05-27",
        readings={"before": "21 to 24", "after": "5 to 6", "scale": "relative, no unit"},
    )  # fmt: skip
    _barrier(teller, visit, bottom)
    _fair_crack(teller, visit)
    _as_left_2022(teller, visit)


def _fair_crack(teller: Teller, visit: str) -> None:
    teller.on("2022-06-09")
    matters.add_work(
        teller.logbook, text="Crack at the scupper ground out, filled, faired and painted over.",
        visit_id=visit, done="2022-06-09", person_id=teller.keys[OWNER],
        closes=[teller.keys["crack finding"]],
    )  # fmt: skip
    teller.clock.move()
    spots.observe_spot(
        teller.logbook, teller.keys["crack"], visit, state="left",
        ratings=[replace(crack(0), observed="2022-06-09")], text="Smooth; the patch shows.",
    )  # fmt: skip
    teller.clock.move()


def _moisture(teller: Teller, visit: str) -> None:
    meter = around.add_instrument(
        teller.logbook, name="Moisture meter", sort="moisture_meter",
        serial="0417", checked="2022-03-01", repeatability="1",
    )  # fmt: skip
    for day, ashore, readings in (
        ("2022-03-18", 13, ["24", "22", "21"]), ("2022-04-22", 48, ["12", "11", "10"]),
        ("2022-05-26", 82, ["6", "5", "6"]),
    ):  # fmt: skip
        conditions = {
            "meter": "serial 0417", "mode": "deep", "surface": "laminate",
            "days_ashore": str(ashore),
        }  # fmt: skip
        rated = Rated("moisture", {"reading": readings}, conditions, meter, day)
        looks.log_inspection(
            teller.logbook, visit, teller.zones[A], state="during", looked_for=["moisture"],
            methods=["metered"], ratings=[rated],
        )  # fmt: skip
        teller.clock.move()


def _barrier(teller: Teller, visit: str, bottom: list[str]) -> None:
    dam = coatings.add_product(
        teller.logbook, name="Tamsel Dam", maker="Tamsel Paintworks", role="barrier",
        coating_class="solvent_free_epoxy", colour="pale green", colour_hex="#b9c4b4",
        volume_solids="100 %", film="150 um", sheet="Tamsel Dam, sheet of 2021",
    )  # fmt: skip
    teller.times(dam, "touch_dry", ("10 h", "6 h", "4 h"))
    teller.times(dam, "overcoat_self", ("24 h", "14 h", "8 h"), ("5 d", "3 d", "2 d"))
    teller.times(
        dam, "overcoat_by", ("24 h", "14 h", "8 h"), ("30 d", "21 d", "14 d"), "antifouling"
    )
    teller.times(dam, "launch", ("10 d", "5 d", "3 d"))
    teller.on("2022-06-04")
    for number in range(1, 5):
        coatings.add_coat(
            teller.logbook, visit, dam, zones=bottom, number=str(number), litres="2.3",
            at=f"2022-06-0{number} 10:00", tool="roller", air="19", humidity="58 %", hull="18",
            applied_by="Drystone Hull Care",
        )  # fmt: skip
        teller.clock.move()
    teller.on("2022-06-05")
    coatings.add_treatment(
        teller.logbook, visit, sort="barrier", zones=bottom, contractor="Drystone Hull Care",
        begins="2022-06-01", ends="2022-06-04", warranty_until="2027-06-04",
    )  # fmt: skip
    work = matters.add_work(
        teller.logbook,
        text="Bottom peeled by some 1.5 mm, sounded all over with a hammer: no dull place; dried "
        "under cover, one of six areas metered; hollows filled and faired; four coats of epoxy "
        "barrier.",
        visit_id=visit, done="2022-06-04", firm_id=teller.keys["Drystone Hull Care"],
        closes=[teller.keys["blister finding"]],
    )  # fmt: skip
    teller.keep("bottom work", work)


def _as_left_2022(teller: Teller, visit: str) -> None:
    teller.on("2022-06-14")
    matters.add_work(
        teller.logbook, visit_id=visit, done="2022-06-14", person_id=teller.keys[OWNER],
        text="Barrier washed and abraded all over, since it had stood ten days; antifouling on it.",
    )  # fmt: skip
    teller.clock.move()
    teller.on("2022-06-16")
    for zone in BOTTOM:
        looks.nothing_found(teller.logbook, visit, teller.zones[zone], state="left")
        teller.clock.move()
    looks.log_inspection(
        teller.logbook, visit, teller.zones["keel-starboard-under"], state="during",
        coverage="part", share="60 %", hidden_by="support", looked_for=KEEL_LOOK,
        methods=["close"], result="nothing_found",
    )  # fmt: skip
    teller.clock.move()
    note = around.note_for_next_time(
        teller.logbook,
        "Ask the yard to set the port keel on other pads: its underside was never seen",
        visit_id=visit,
    )
    teller.keep("pads note", note)
    teller.on("2022-06-17")
    paper = papers.add(
        teller, "warranty", title="Warranty of the bottom treatment, five years",
        sort="certificate", day="2022-06-17", visit=visit, lines=papers.WARRANTY,
    )  # fmt: skip
    matters.link_work(teller.logbook, teller.keys["bottom work"], document_id=paper)
    teller.clock.move()


def _after_2022(teller: Teller, visit: str) -> None:
    del visit
    _prove(
        teller, "4", "2022-07-12", work_id="bottom work", document_id="warranty",
        photo_id="photo coated-A 2022",
    )  # fmt: skip
    _accept(teller, "2022-07-12")


def _2023(teller: Teller, visit: str) -> None:
    matters.observe_finding(
        teller.logbook, teller.keys["blister finding"], visit, seen="not_found",
        text="Wet and under the torch: none.",
    )  # fmt: skip
    teller.clock.move()


def _after_2023(teller: Teller, visit: str) -> None:
    del visit
    teller.on("2023-08-19")
    event = berths.add_event(
        teller.logbook, sort="grounding", at="2023-08-19", asks_for_check=True,
        text="Touched a stone in the creek mouth at half tide, port keel, slow.",
    )  # fmt: skip
    teller.on("2023-08-26")
    diver = visits.start_visit(
        teller.logbook, kind="diver", begins="2023-08-26", time_zone=ZONE,
        location="Brannet Creek", looked_for=["damage"], methods=["camera"],
        ends="2023-08-26",
        note="Mika dived with the camera; berth power was off at the quay. Cloudy water: scrapes "
        "and dents would have shown, a crack under the paint would not. No picture kept.",
    )  # fmt: skip
    teller.clock.move()
    for zone in ("keel-port-outboard", "keel-port-inboard", "skeg", "rudder"):
        looks.log_inspection(
            teller.logbook, diver, teller.zones[zone], looked_for=["damage"], methods=["camera"],
            result="nothing_found",
        )  # fmt: skip
        teller.clock.move()
    looks.could_not_see(teller.logbook, diver, teller.zones["keel-port-under"], hidden_by="ground")
    teller.clock.move()
    berths.answer_event(teller.logbook, event, diver)
    visits.close(teller.logbook, diver)


def _2024(teller: Teller, visit: str) -> None:
    # The first look out of the water since she touched.
    for zone in ("keel-port-outboard", "keel-port-inboard"):
        looks.log_inspection(
            teller.logbook, visit, teller.zones[zone], looked_for=KEEL_LOOK,
            methods=["close", "touched"], result="nothing_found",
        )  # fmt: skip
        teller.clock.move()
    below.joints(teller, visit, "2024-05-09", ("Keel joint, port",))
    _rust_again(teller, visit, "slight", "A rusty tear, no larger than a coin.")
    matters.set_finding(teller.logbook, teller.keys["rust finding"], "must", "next_lift")
    teller.clock.move()


def _2025(teller: Teller, visit: str) -> None:
    _see(teller, "rust finding", visit, "moderate", "Three times the area it had on the grid.")
    _spot(teller, "skeg root", "Hairline at the root of the skeg, port side", "skeg", visit)
    spots.observe_spot(
        teller.logbook, teller.keys["skeg root"], visit,
        ratings=[haulouts.on_its_day(haulouts.HAIRLINE, HAUL_OUTS[-1])],
        text="Hair-fine, dry, no stain below it; begins 15 mm abaft the leading edge, 30 mm below "
        "the hull. Skeg and rudder pushed by hand: nothing moves there. The phone was flat.",
    )  # fmt: skip
    teller.clock.move()
    matters.raise_finding(
        teller.logbook, title="Hairline at the root of the skeg, port side", sort="crack",
        must="this_season", severity="moderate",
        note="Have a surveyor look at the root, ashore and chocked, the paint taken off there and "
        "photographed first. It was painted over with the bottom before anybody was asked.",
        visit_id=visit,
        spots=[teller.keys["skeg root"]],
    )  # fmt: skip
    teller.clock.move()
    below.shaft_bearing(teller, visit, "1.2", "2025-04-06")
    teller.keep(
        "bearing finding",
        matters.raise_finding(
            teller.logbook, title="Shaft bearing has play", sort="wear", must="next_lift",
            severity="moderate", visit_id=visit, gear=[teller.keys["Shaft bearing"]],
            note="Still within the limit, but three times what it was in 2015: draw the shaft and "
            "renew the bearing before it reaches it.",
        ),
    )  # fmt: skip
    below.rudder(teller, visit, "0.9", "2025-04-06")
    below.seacocks(teller, visit, "2025-04-06")
    below.propeller(teller, visit, "2025-04-06")
    below.joints(teller, visit, "2025-04-05")
    teller.on("2025-04-16")
    below.tried_bolts(teller, visit, "2025-04-15")
    _prime_rust(teller, visit, "2025-04-15", closes=False)
    for zone in (*BLISTERED, RUSTING):
        looked = WET_LOOK if zone in BLISTERED else KEEL_LOOK
        rated = replace(
            blisters(0, 0, "dry", 10) if zone in BLISTERED else rust(0), observed="2025-04-15"
        )
        looks.log_inspection(
            teller.logbook, visit, teller.zones[zone], state="left", looked_for=looked,
            ratings=[rated],
        )  # fmt: skip
        teller.clock.move()
    around.answer_note(
        teller.logbook, teller.keys["pads note"], visit,
        "Asked: the yard could not shift her that week, and nobody goes under her while she hangs. "
        "Still not seen.",
    )  # fmt: skip
    teller.clock.move()
    for note in (
        "Order a bearing for a 25 mm shaft before the lift",
        "Ask the yard early for pads that leave half the sole of the port keel free at a time",
        "Ask Quillet for a survey after the stone: port keel, joint, studs, root of the skeg",
    ):
        around.note_for_next_time(teller.logbook, note, visit_id=visit)
        teller.clock.move()
    teller.clock.move()


ASHORE: Mapping[int, Callable[[Teller, str], None]] = {
    2015: _2015, 2016: _2016, 2017: _2017, 2018: _2018, 2019: _2019, 2020: _2020, 2021: _2021,
    2022: _2022, 2023: _2023, 2024: _2024, 2025: _2025,
}  # fmt: skip
"""Year -> what happened while she was ashore."""
AFLOAT: Mapping[int, Callable[[Teller, str], None]] = {
    2019: _after_2019, 2020: _after_2020, 2021: _after_2021, 2022: _after_2022, 2023: _after_2023,
}  # fmt: skip
"""Year -> what happened after the relaunch."""

"""What may go over the paint, on twenty written histories: the cell that the records lead to.

Each is told as a boat's keeper would: what went on, what was taken off, which zone is asked about.
"""

from __future__ import annotations

import pytest

from hulllog.insight.overcoating import may_go_over
from hulllog.records.operations import coatings, queries, vessel, visits

SOFT, ERODING, POLISHING = "soft_antifouling", "ablative_antifouling", "self_polishing_antifouling"
HARD, VINYL, THIN = "hard_antifouling", "vinyl_antifouling", "thin_film_antifouling"
SILICONE, EPOXY = "silicone", "copper_epoxy"
BOTTOM = "bottom-aft-port"
ROLES = {"epoxy_primer": "primer", "epoxy_barrier": "barrier", "tie_coat": "tie"}

HISTORIES = [
    # told as, (steps), new coat, treatment, missing beside whether the old film was tested
    ("eroding for years", [ERODING, ERODING, ERODING], ERODING, "direct", ()),
    ("eroding, now polishing", [ERODING, ERODING], POLISHING, "direct", ()),
    ("polishing, now hard", [POLISHING], HARD, "tie_coat", ()),
    ("soft renewed each spring", [SOFT, SOFT, SOFT], SOFT, "direct", ()),
    ("soft, now eroding", [SOFT], ERODING, "tie_coat", ()),
    ("soft, now hard", [SOFT], HARD, "remove", ()),
    ("hard, now polishing", [HARD, HARD], POLISHING, "abrade", ()),
    ("hard under eroding", [HARD, ERODING], ERODING, "direct", ()),
    ("vinyl, now eroding", [VINYL], ERODING, "tie_coat", ()),
    ("hard, now vinyl", [HARD], VINYL, "tie_coat", ()),
    ("thin film, kept", [THIN], THIN, "direct", ()),
    ("eroding, now thin film", [ERODING], THIN, "remove", ()),
    ("silicone, now eroding", [SILICONE], ERODING, "remove", ()),
    ("eroding, now silicone", [ERODING], SILICONE, "remove", ()),
    ("copper epoxy, now soft", [EPOXY], SOFT, "abrade", ()),
    (
        "sealed with a tie coat", [SOFT, "tie_coat"], ERODING,
        "by_the_sheet", ("hours_since_primer",),
    ),
    (
        "taken to the gelcoat and primed", [HARD, "off:gelcoat", "epoxy_primer"], POLISHING,
        "by_the_sheet", ("hours_since_primer",),
    ),
    (
        "taken down to the primer", ["epoxy_primer", SOFT, "off:primer"], POLISHING,
        "by_the_sheet", ("hours_since_primer",),
    ),
    ("nothing on record", [], ERODING, "tie_coat", ("old_coating_class",)),
    ("a paint of unknown kind", [ERODING, "unknown"], HARD, "tie_coat", ("old_coating_class",)),
    ("hard on another zone only", [POLISHING, f"{HARD}@keel"], POLISHING, "direct", ()),
]  # fmt: skip


def told(logbook, steps, new):
    vessel.create_vessel(
        logbook, name="Case", kind="yacht", material="grp", keel="fin", length="9 m",
        beam="3 m", draught="1.5 m",
    )  # fmt: skip
    with logbook.read() as book:
        zones = {zone.code: zone.id for zone, _ in queries.zones_at(book)}
    keel = next(key for code, key in zones.items() if code.startswith("keel"))
    for number, step in enumerate(steps):
        year = 2010 + number
        visit = visits.start_haul_out(logbook, begins=f"{year}-04-14")
        kind, _, where = step.partition("@")
        if kind.startswith("off:"):
            coatings.add_removal(logbook, visit, down_to=kind.removeprefix("off:"))
        else:
            product = coatings.add_product(
                logbook, name=f"Paint {number}", coating_class=kind,
                role=ROLES.get(kind, "antifouling"),
            )  # fmt: skip
            only = {"zones": [keel]} if where else {}
            coatings.add_coat(logbook, visit, product, **only)
        visits.relaunch(logbook, visit, f"{year}-05-02")
    with logbook.read() as book:
        return may_go_over(book, zones[BOTTOM], new)


@pytest.mark.parametrize(
    ("steps", "new", "treatment", "missing"),
    [history[1:] for history in HISTORIES],
    ids=[history[0] for history in HISTORIES],
)
def test_the_records_lead_to_the_cell(logbook, steps, new, treatment, missing):
    over = told(logbook, steps, new)
    assert over.verdict.treatment == treatment
    named = set(over.verdict.missing) - {"old_film_tested"}
    assert named == set(missing)
    assert over.verdict.reasons


def test_what_is_unknown_names_its_fact_and_isolates():
    unknown = [history for history in HISTORIES if "old_coating_class" in history[4]]
    assert len(unknown) == 2
    assert all(history[3] == "tie_coat" for history in unknown)
    assert len(HISTORIES) - len(unknown) >= 18

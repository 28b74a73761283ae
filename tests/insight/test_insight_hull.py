"""What the looks at zones say: appearances, as found and as left, series and where they break."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import TYPE_CHECKING

import pytest

from hulllog.drawing.lefttelling import left_text
from hulllog.drawing.telling import course_before, trend_text
from hulllog.drawing.zonepictures import legend_of_all, zone_drawing
from hulllog.insight import shades
from hulllog.insight.condition import Worked, ZoneState, hull_state
from hulllog.insight.judging import judge, judged_zones
from hulllog.insight.matters import asked, matters
from hulllog.insight.occasions import Edge, immersion, last_edge
from hulllog.insight.overview import unseen, visit_lines
from hulllog.insight.series import zone_series
from hulllog.insight.summary import summary
from hulllog.records.logbook import Logbook, Surroundings
from hulllog.records.operations import (
    berths,
    coatings,
    looks,
    queries,
    spots,
    vessel,
    visits,
)
from hulllog.records.operations import (
    matters as do,
)
from hulllog.records.operations.measuring import Rated
from hulllog.records.values import PartialDate

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

KIND = "laminate-blisters"


@pytest.fixture
def ketch(tmp_path: Path) -> Iterator[Logbook]:
    """A ketch without a past."""
    around = Surroundings(
        now=lambda: datetime(2026, 1, 1, tzinfo=UTC), state_folder=tmp_path / "state"
    )
    with Logbook.create(tmp_path / "book", around) as book:
        vessel.create_vessel(
            book, name="Test", kind="yacht", material="grp", keel="twin",
            length="8.7 m", beam="2.85 m", draught="1.05 m",
        )  # fmt: skip
        yield book


def zone(book: Logbook, code: str) -> str:
    """Return the key of a zone."""
    with book.read() as session:
        return next(z.id for z, _ in queries.zones_at(session) if z.code == code)


def haul_out(book: Logbook, begins: str, ends: str | None = None) -> str:
    """Enter a haul-out that looks for laminate blisters."""
    visit = visits.start_haul_out(book, begins=begins)
    visits.set_looked_for(book, visit, looked_for=[KIND], methods=["close"])
    if ends:
        visits.relaunch(book, visit, ends)
    return visit


def blisters(
    book: Logbook, visit: str, zone_id: str, count: int, mm: float, wet: str = "wet"
) -> None:
    """Rate a zone."""
    figures = {"count": str(count), "largest_mm": f"{mm} mm"}
    looks.log_inspection(book, visit, zone_id, ratings=[Rated(KIND, figures, {"wetness": wet})])


def state_of(book: Logbook, edge: Edge, code: str, kind: str = KIND) -> ZoneState:
    """Return the state of one zone from an edge."""
    with book.read() as session:
        return next(s for s in hull_state(session, edge, kind) if s.code == code)


def test_the_appearances_tell_what_was_not_seen_from_what_was_not_there(ketch: Logbook) -> None:
    visit = haul_out(ketch, "2025-04-10")
    blisters(ketch, visit, zone(ketch, "bottom-aft-port"), 12, 8)
    looks.nothing_found(ketch, visit, zone(ketch, "bottom-aft-starboard"))
    looks.log_inspection(
        ketch, visit, zone(ketch, "keel-port-under"), coverage="not_seen", hidden_by="support"
    )
    looks.log_inspection(
        ketch, visit, zone(ketch, "rudder"), looked_for=["rust-spots"], result="nothing_found"
    )
    edge = Edge(visit, "found")
    assert state_of(ketch, edge, "bottom-aft-port").appearance == "graded"
    assert state_of(ketch, edge, "bottom-aft-port").step == 1
    assert state_of(ketch, edge, "bottom-aft-starboard").appearance == "none_found"
    assert state_of(ketch, edge, "keel-port-under").appearance == "not_seen"
    assert state_of(ketch, edge, "rudder").appearance == "not_rated"
    assert state_of(ketch, edge, "transom").appearance == "not_looked"


def test_as_left_without_a_look_shows_as_found_and_counts_the_work(ketch: Logbook) -> None:
    visit = haul_out(ketch, "2025-04-10")
    aft = zone(ketch, "bottom-aft-port")
    blisters(ketch, visit, aft, 12, 8)
    coatings.add_treatment(ketch, visit, sort="opened_and_filled", zones=[aft])
    left = state_of(ketch, Edge(visit, "left"), "bottom-aft-port")
    assert left.from_found
    assert left.work_done == 1
    assert left.figures == {"count": 12.0, "largest_mm": 8.0}
    looks.nothing_found(ketch, visit, aft, state="left")
    left = state_of(ketch, Edge(visit, "left"), "bottom-aft-port")
    assert not left.from_found
    assert left.appearance == "none_found"
    assert state_of(ketch, Edge(visit, "found"), "bottom-aft-port").appearance == "graded"


def test_coats_are_named_and_mend_nothing(ketch: Logbook) -> None:
    visit = haul_out(ketch, "2025-04-10")
    aft = zone(ketch, "bottom-aft-port")
    blisters(ketch, visit, aft, 12, 8)
    looks.log_inspection(
        ketch, visit, zone(ketch, "keel-port-under"), coverage="not_seen", hidden_by="support"
    )
    paint = coatings.add_product(
        ketch, name="Redweed", coating_class="ablative_antifouling", role="antifouling"
    )
    for _ in range(2):
        coatings.add_coat(ketch, visit, paint)
    left = state_of(ketch, Edge(visit, "left"), "bottom-aft-port")
    assert left.work == (Worked("coat", "antifouling", 2),)
    assert left.painted_over
    assert not left.mended
    assert state_of(ketch, Edge(visit, "left"), "keel-port-under").work == ()
    coatings.add_treatment(ketch, visit, sort="opened_and_filled", zones=[aft])
    assert state_of(ketch, Edge(visit, "left"), "bottom-aft-port").mended


def test_a_look_seen_dry_is_not_held_against_wet_ones(ketch: Logbook) -> None:
    aft = zone(ketch, "bottom-aft-port")
    for year, count, wet in ((2022, 10, "wet"), (2023, 3, "dry"), (2024, 14, "wet")):
        blisters(ketch, haul_out(ketch, f"{year}-04-10"), aft, count, 5, wet)
    with ketch.read() as session:
        series = zone_series(session, aft, KIND, "count", None)
    assert [point.comparable for point in series.points] == [True, False, True]
    assert series.points[1].why_not == ("wetness_differs",)
    assert judge(series).changed is not None


def test_a_treatment_ends_a_series_and_keeps_what_went_before(ketch: Logbook) -> None:
    aft = zone(ketch, "bottom-aft-port")
    for year in range(2014, 2020):
        visit = haul_out(ketch, f"{year}-04-10")
        blisters(ketch, visit, aft, 3 * (year - 2012), year - 2011)
    coatings.add_treatment(ketch, visit, sort="peeled", zones=[aft])
    for year in (2020, 2021):
        looks.nothing_found(ketch, haul_out(ketch, f"{year}-04-10"), aft)
    with ketch.read() as session:
        item = next(
            i for i in judged_zones(session) if i.subject_id == aft and i.component == "count"
        )
        lines = visit_lines(session)
        said = summary(lines[-1], [], [], [item], [], [], datetime(2026, 1, 1, tzinfo=UTC))
    assert item.judged.trend is None
    assert item.judged.grew_before
    told = course_before(item)
    assert told.startswith(
        "Before the treatment it went from 6 (10 Apr 2014) to 21 (10 Apr 2019), over 6 looks."
    )
    assert "steady rise" in told
    assert [point.value for point in item.judged.series.comparable] == [0.0, 0.0]
    treated = next(line for line in said if line.code == "treated_clear")
    assert dict(treated.values)["looks"] == 2


def test_a_steady_rise_is_found_and_corrected_for_many_zones(ketch: Logbook) -> None:
    aft, other = zone(ketch, "bottom-aft-port"), zone(ketch, "bottom-aft-starboard")
    for number, year in enumerate(range(2016, 2023)):
        visit = haul_out(ketch, f"{year}-04-10")
        blisters(ketch, visit, aft, 4 + 6 * number, 3 + number)
        blisters(ketch, visit, other, 5 + number % 2, 3)
    with ketch.read() as session:
        found = {i.subject_id: i for i in judged_zones(session) if i.component == "count"}
    rising, level = found[aft].judged, found[other].judged
    assert rising.trend is not None
    assert rising.trend.direction == "up"
    assert rising.adjusted_p is not None
    assert rising.trend.p <= rising.adjusted_p < 0.05
    assert level.adjusted_p is not None
    assert level.adjusted_p > 0.05


def test_a_zone_missed_twice_running_is_said_with_its_reason(ketch: Logbook) -> None:
    under = zone(ketch, "keel-port-under")
    for year in (2023, 2024):
        looks.log_inspection(
            ketch, haul_out(ketch, f"{year}-04-10"), under, coverage="not_seen",
            hidden_by="support",
        )  # fmt: skip
    with ketch.read() as session:
        missed = {item.code: item for item in unseen(session)}
    assert missed["keel-port-under"].since is None
    assert missed["keel-port-under"].chances == 2
    assert missed["keel-port-under"].reasons == ("support",)
    looks.nothing_found(ketch, haul_out(ketch, "2025-04-10"), under)
    with ketch.read() as session:
        assert "keel-port-under" not in {item.code for item in unseen(session)}


def test_pages_are_read_as_at_an_edge(ketch: Logbook) -> None:
    first = haul_out(ketch, "2023-04-10", "2023-04-14")
    second = haul_out(ketch, "2024-04-10", "2024-04-14")
    do.raise_finding(ketch, title="Crack", sort="crack", must="watch", visit_id=second)
    with ketch.read() as session:
        assert last_edge(session) == Edge(second, "left")
        assert not matters(session, Edge(first, "left"))
        assert len(matters(session, Edge(second, "found"))) == 1
        assert len(visit_lines(session, Edge(first, "left"))) == 1


def test_a_finding_is_closed_by_work_with_its_proof(ketch: Logbook) -> None:
    visit = haul_out(ketch, "2024-04-10")
    finding = do.raise_finding(
        ketch, title="Soft patch", sort="damage", must="this_season", visit_id=visit
    )
    work = do.add_work(ketch, text="Ground out and filled", visit_id=visit, findings=[finding])
    do.close_by_work(ketch, finding, work, visit_id=visit)
    with ketch.read() as session:
        (matter,) = matters(session)
        assert matter.status == "closed"
        assert matter.closed_by is not None
        assert matter.closed_by.text == "Ground out and filled"
        assert matters(session, Edge(visit, "found"))[0].number == matter.number


def test_a_recommendation_is_unproved_until_there_is_proof(ketch: Logbook) -> None:
    visit = haul_out(ketch, "2024-04-10")
    survey = do.add_survey(ketch, at="2024-05-02", asked_by="insurer")
    item = do.add_recommendation(ketch, survey, number="1", wording="Renew the seacock")
    with ketch.read() as session:
        assert not asked(session)[0].proved
    work = do.add_work(ketch, text="Seacock renewed", visit_id=visit)
    do.add_proof(ketch, item, work_id=work)
    with ketch.read() as session:
        (seen,) = asked(session)
        assert seen.proved
        assert seen.proofs[0].text == "Seacock renewed"


def test_days_ashore_and_dry_tides_are_not_immersed(ketch: Logbook) -> None:
    berths.add_berth_period(
        ketch, begins="2020-01-01", location="Hard", water="brackish", shore_power="none",
        immersed_share="0.5",
    )  # fmt: skip
    haul_out(ketch, "2021-04-01", "2021-05-01")
    with ketch.read() as session:
        wet = immersion(session, PartialDate.parse("2021-03-02"), PartialDate.parse("2021-05-31"))
    assert wet.days == pytest.approx(0.5 * (90 - 30), abs=1.0)
    assert wet.low <= wet.days <= wet.high
    assert not wet.assumed


def test_days_without_a_berth_on_record_are_marked(ketch: Logbook) -> None:
    with ketch.read() as session:
        wet = immersion(session, PartialDate.parse("2021-01-01"), PartialDate.parse("2021-01-11"))
    assert wet.assumed
    assert wet.days == pytest.approx(10, abs=0.1)


def test_a_count_of_none_leaves_nothing_to_measure(ketch: Logbook) -> None:
    aft = zone(ketch, "bottom-aft-port")
    blisters(ketch, haul_out(ketch, "2023-04-10"), aft, 8, 12)
    figures = {"count": "0"}
    visit = haul_out(ketch, "2024-04-10")
    looks.log_inspection(ketch, visit, aft, ratings=[Rated(KIND, figures, {"wetness": "wet"})])
    with ketch.read() as session:
        series = zone_series(session, aft, KIND, "largest_mm", None)
    assert [point.value for point in series.points] == [12.0, 0.0]


def test_a_look_with_figures_counts_before_one_that_only_says_none(ketch: Logbook) -> None:
    aft = zone(ketch, "bottom-aft-port")
    visit = haul_out(ketch, "2024-04-10")
    looks.nothing_found(ketch, visit, aft)
    blisters(ketch, visit, aft, 8, 12)
    with ketch.read() as session:
        series = zone_series(session, aft, KIND, "count", None)
    assert [point.value for point in series.points] == [8.0]


def test_a_crack_at_a_spot_is_a_crack_in_its_zone(ketch: Logbook) -> None:
    skeg = zone(ketch, "skeg")
    visit = haul_out(ketch, "2025-04-10")
    looks.log_inspection(ketch, visit, skeg, looked_for=["crack"], result="nothing_found")
    spot = spots.add_spot(ketch, label="Hairline", zone_id=skeg, visit_id=visit)
    spots.observe_spot(ketch, spot, visit, ratings=[Rated("crack", {"length_mm": "40 mm"})])
    told = state_of(ketch, Edge(visit, "found"), "skeg", "crack")
    assert told.appearance == "graded"
    assert told.figures == {"length_mm": 40.0}
    assert told.spot == 1


def test_a_crack_under_new_paint_is_told_as_not_treated(ketch: Logbook) -> None:
    visit = haul_out(ketch, "2025-04-10")
    aft = zone(ketch, "bottom-aft-port")
    blisters(ketch, visit, aft, 12, 8)
    edge = Edge(visit, "left")
    assert left_text([(KIND, state_of(ketch, edge, "bottom-aft-port"))]) == "not looked at again"
    paint = coatings.add_product(
        ketch, name="Redweed", coating_class="ablative_antifouling", role="antifouling"
    )
    coatings.add_coat(ketch, visit, paint)
    assert left_text([(KIND, state_of(ketch, edge, "bottom-aft-port"))]) == (
        "not looked at after the work: antifouling, one coat; laminate blisters: as found, "
        "not treated, now under paint"
    )


def test_the_entry_of_a_long_visit_is_counted_from_the_look_that_waited_longest(
    ketch: Logbook,
) -> None:
    visit = haul_out(ketch, "2025-03-05")
    blisters(ketch, visit, zone(ketch, "bottom-aft-port"), 12, 8)
    visits.relaunch(ketch, visit, "2025-06-18")
    with ketch.read() as session:
        line = visit_lines(session)[-1]
    assert line.looked_at is not None
    assert line.looked_at.text == "2025-03-05"
    assert line.lag is not None
    assert line.looks_entered_at is not None
    waited = (line.looks_entered_at.date() - line.looked_at.earliest.date()).days
    assert line.lag.value == waited
    assert waited > 0


def test_a_look_during_the_work_whose_day_is_unknown_did_not_wait_since_the_lift(
    ketch: Logbook,
) -> None:
    visit = haul_out(ketch, "2025-03-05")
    looks.log_inspection(
        ketch, visit, zone(ketch, "bottom-aft-port"), state="during", looked_for=["damage"],
        result="nothing_found",
    )  # fmt: skip
    with ketch.read() as session:
        assert visit_lines(session)[-1].looked_at is None


@pytest.mark.parametrize(("later", "said"), [
    (
        ("2014", "2015"),
        "It holds without the 2 entered later too (5 looks, p 0.02, not corrected).",
    ),
    (("2014", "2015", "2016"), "Too few to say without the 3 entered later (4 looks)."),
])  # fmt: skip
def test_a_trend_that_rests_on_later_notes_is_told_without_them(
    ketch: Logbook, later: tuple[str, ...], said: str
) -> None:
    aft = zone(ketch, "bottom-aft-port")
    for year in range(2014, 2021):
        basis = "later_from_notes" if str(year) in later else "at_the_time"
        rated = Rated(KIND, {"count": str(3 * (year - 2012))}, {"wetness": "wet"})
        visit = haul_out(ketch, f"{year}-04-10")
        looks.log_inspection(ketch, visit, aft, ratings=[rated], basis=basis)
    with ketch.read() as session:
        (item,) = [i for i in judged_zones(session) if i.component == "count"]
    assert trend_text(item).endswith(said)
    assert "over 7 comparable looks" in trend_text(item)


def test_a_trend_of_what_was_entered_at_the_time_says_no_more(ketch: Logbook) -> None:
    aft = zone(ketch, "bottom-aft-port")
    for year in range(2014, 2021):
        blisters(ketch, haul_out(ketch, f"{year}-04-10"), aft, 3 * (year - 2012), 5)
    with ketch.read() as session:
        (item,) = [i for i in judged_zones(session) if i.component == "count"]
    assert item.judged.prompt is None
    assert "later" not in trend_text(item)


def test_a_crack_on_one_face_is_labelled_on_that_side_alone(ketch: Logbook) -> None:
    visit, skeg = haul_out(ketch, "2025-04-10"), zone(ketch, "rudder")
    crack = Rated("crack", {"length_mm": "40 mm", "width_mm": "0.2 mm"})
    looks.log_inspection(ketch, visit, skeg, looked_for=["crack"], ratings=[crack])
    spot = spots.add_spot(
        ketch, label="Hairline", zone_id=skeg,
        place={"part": "rudder", "face": "port", "u": 0.5, "v": 0.2},
    )  # fmt: skip
    with ketch.read() as session:
        both = {one.code: one for one in hull_state(session, Edge(visit, "found"), "crack")}
    assert both["rudder"].face == ""
    spots.observe_spot(ketch, spot, visit, ratings=[crack])
    with ketch.read() as session:
        (state,) = [
            one
            for one in hull_state(session, Edge(visit, "found"), "crack")
            if one.code == "rudder"
        ]
    assert state.face == "port"
    assert zone_drawing(state, "crack", "port").label
    assert zone_drawing(state, "crack", "bottom").label
    assert not zone_drawing(state, "crack", "starboard").label
    assert zone_drawing(state, "crack", "port").appearance == "graded"
    assert zone_drawing(state, "crack", "starboard").appearance == "not_rated"


def test_a_crack_of_no_length_is_none_and_bears_no_tint(ketch: Logbook) -> None:
    visit, topsides = haul_out(ketch, "2025-04-10"), zone(ketch, "topsides-port")
    for length, appearance in (("0 mm", "none_found"), ("3 mm", "graded")):
        rated = Rated("crack", {"length_mm": length})
        looks.log_inspection(ketch, visit, topsides, looked_for=["crack"], ratings=[rated])
        with ketch.read() as session:
            states = hull_state(session, Edge(visit, "found"), "crack")
        assert {s.code: s.appearance for s in states}["topsides-port"] == appearance


def test_the_key_of_all_kinds_shows_every_tint_that_the_drawing_can_have() -> None:
    tints = [one.condition for one in legend_of_all() if one.appearance == "graded"]
    assert tints == list(range(shades.STEPS))

"""The condition history, read as a reader of the file would."""

from __future__ import annotations

import hashlib
import math
import re
import subprocess
from typing import TYPE_CHECKING

import pytest
from pypdf import PdfReader
from sqlalchemy import select

from hulllog.output.history import BUDGET, Options, write_history
from hulllog.records.errors import Refused
from hulllog.records.logbook import Logbook, Surroundings
from hulllog.records.model import IssuedHistory, Product, Visit
from hulllog.records.operations import (
    around,
    berths,
    coatings,
    gear,
    looks,
    matters,
    oldnotes,
    queries,
    spots,
    vessel,
    visits,
)
from hulllog.records.operations.measuring import Rated
from hulllog.words.spelling import six_words

if TYPE_CHECKING:
    from pathlib import Path

HOSTILE = 'Keel <b>bold</b> & "quoted" <para>'


def text_of(path: Path) -> str:
    """Return the words of all pages, spaces of every width made plain."""
    pages = [page.extract_text() for page in PdfReader(path).pages]
    return re.sub(r"\s+", " ", " ".join(pages).replace("\u2009", " ").replace("\u202f", " "))


def outline_of(path: Path) -> list[str]:
    """Return the titles of the bookmarks, inner ones after their parent."""

    def flat(items: list[object]) -> list[str]:
        return [t for i in items for t in (flat(i) if isinstance(i, list) else [i.title])]

    return flat(PdfReader(path).outline)


def test_an_insurer_reads_who_what_and_state(logbook: Logbook, tmp_path: Path) -> None:
    written = write_history(logbook, tmp_path / "h.pdf", Options(reader="insurer"))
    text = text_of(written.path)
    for said in (
        "Test Ketch",
        "GRP",
        "not a survey",
        "Blister field",
        "at the next lift",
        "Bottom aft, port",
        "53, to 11 mm",
        "never seen",
        "page 1 of",
    ):
        assert said.lower() in text.lower(), said
    assert written.body_pages <= BUDGET["insurer"]
    assert written.archival


def test_it_names_its_reader_without_a_doubled_word(logbook: Logbook, tmp_path: Path) -> None:
    text = text_of(write_history(logbook, tmp_path / "h.pdf", Options(reader="buyer")).path)
    assert "Drawn up for a buyer" in text
    assert "for for" not in text


def test_one_visit_is_told_as_one(tmp_path: Path) -> None:
    with Logbook.create(tmp_path / "b", Surroundings(state_folder=tmp_path / "s")) as book:
        vessel.create_vessel(
            book,
            name="New",
            kind="yacht",
            material="grp",
            keel="fin",
            length="8 m",
            beam="2.5 m",
            draught="1 m",
        )
        visit = visits.start_haul_out(book, begins="2025-04-10", way="hoist", yard="Low Yard")
        visits.relaunch(book, visit, "2025-04-16")
        text = text_of(write_history(book, tmp_path / "h.pdf", Options(draft=True)).path)
    assert "1 visit, from" in text
    assert "1 visits" not in text


def test_a_p_says_whether_it_was_corrected(logbook: Logbook, tmp_path: Path) -> None:
    options = Options(reader="insurer", draft=True)
    text = text_of(write_history(logbook, tmp_path / "h.pdf", options).path)
    table, workings = text.split("Annex F: workings")
    assert re.search(r"\(p [^)]*\d, corrected\)", table)
    alone, corrected = (workings.index(f"Test for a trend, p {how}") for how in (
        "of this series alone, not corrected", "corrected for the number of zones"
    ))  # fmt: skip
    assert alone < corrected
    assert re.search(r"p = [0-9.]+ p′ = [0-9.]+", workings)


def test_a_number_that_is_skipped_says_why(logbook: Logbook, tmp_path: Path) -> None:
    soot = matters.raise_finding(
        logbook, title="Dark patch", sort="other", must="watch", severity="slight"
    )
    matters.raise_finding(logbook, title="Scuff", sort="other", must="watch", severity="slight")
    matters.withdraw_finding(logbook, soot, reason="exhaust soot, washed off")
    text = text_of(write_history(logbook, tmp_path / "h.pdf", Options(draft=True)).path)
    assert "2: “Dark patch”" in text
    assert "exhaust soot, washed off" in text
    assert "1: “" not in text
    assert "3: “" not in text


def test_the_first_line_says_how_old_the_last_look_is(logbook: Logbook, tmp_path: Path) -> None:
    draft = Options(draft=True)
    text = text_of(write_history(logbook, tmp_path / "1.pdf", draft).path)
    assert "Last out of the water 10–16 Apr 2025; 2 of 19 zones" in text
    assert "Not looked at for 9 months." in text
    dived = visits.start_visit(logbook, kind="diver", begins="2025-10-14")
    with logbook.read() as session:
        zone = next(z.id for z, _ in queries.zones_at(session) if z.code == "rudder")
    looks.nothing_found(logbook, dived, zone)
    text = text_of(write_history(logbook, tmp_path / "2.pdf", draft).path)
    assert "Last look 14 Oct 2025 (diver), at 1 of 19 zones, 3 months ago." in text
    assert "Not looked at for" not in text


def test_what_was_never_found_says_at_how_many_looks(logbook: Logbook, tmp_path: Path) -> None:
    with logbook.read() as session:
        zone = next(z.id for z, _ in queries.zones_at(session) if z.code == "rudder")
        last = queries.visits(session)[-1].id
    looks.nothing_found(logbook, last, zone)
    text = text_of(write_history(logbook, tmp_path / "h.pdf", Options(draft=True)).path)
    assert "looked for at 9 looks and never found in Bottom aft, starboard." in text
    assert "looked for once and not found in Rudder." in text


def test_what_is_told_of_a_change_and_of_before_a_treatment_is_worked_out(
    logbook: Logbook, tmp_path: Path
) -> None:
    with logbook.read() as session:
        zone = next(z.id for z, _ in queries.zones_at(session) if z.code == "bottom-aft-port")
    draft = Options(draft=True)
    worse = visits.start_haul_out(logbook, begins="2026-01-05")
    rated = Rated("laminate-blisters", {"count": "300"}, {"wetness": "wet"})
    looks.log_inspection(logbook, worse, zone, ratings=[rated])
    text = text_of(write_history(logbook, tmp_path / "1.pdf", draft).path)
    assert "Change since the last comparable look" in text.split("Annex F: workings")[1]
    coatings.add_treatment(logbook, worse, sort="peeled", zones=[zone])
    visits.relaunch(logbook, worse, "2026-01-08")
    after = visits.start_haul_out(logbook, begins="2026-01-10")
    looks.log_inspection(
        logbook, after, zone, looked_for=["laminate-blisters"], result="nothing_found"
    )
    text = text_of(write_history(logbook, tmp_path / "2.pdf", draft).path)
    workings = text.split("Annex F: workings")[1]
    assert "Slope of the trend" in workings
    assert "Bottom aft, port, blisters counted, before the treatment" in workings


def test_without_a_look_after_the_work_as_left_is_said_and_not_drawn(
    logbook: Logbook, tmp_path: Path
) -> None:
    alone = text_of(write_history(logbook, tmp_path / "a.pdf", Options(draft=True)).path)
    assert alone.count("Bottom, from below") == 1
    assert "As left: no zone was looked at after the work" in alone
    with logbook.read() as book:
        visit = book.scalars(select(Visit.id).order_by(Visit.begins_earliest)).all()[-1]
        zone = next(z.id for z, _ in queries.zones_at(book) if z.code == "bottom-aft-port")
    looks.nothing_found(logbook, visit, zone, state="left")
    both = text_of(write_history(logbook, tmp_path / "b.pdf", Options(draft=True)).path)
    assert both.count("Bottom, from below") == 2
    assert "no zone was looked at after the work" not in both


def test_an_open_finding_says_its_zone_and_spot_and_bears_its_number_on_the_drawing(
    logbook: Logbook, tmp_path: Path
) -> None:
    with logbook.read() as book:
        zone = next(z.id for z, _ in queries.zones_at(book) if z.code == "bottom-aft-port")
    before = text_of(write_history(logbook, tmp_path / "a.pdf", Options(draft=True)).path)
    assert "A number in a ring" not in before
    place = {"part": "hull", "face": "port", "u": 0.8, "v": 0.2}
    spot = spots.add_spot(logbook, label="Abaft the sea cock", place=place, zone_id=zone)
    matters.raise_finding(logbook, title="Soft place", sort="damage", spots=[spot])
    after = text_of(write_history(logbook, tmp_path / "b.pdf", Options(draft=True)).path)
    assert "Soft place (Bottom aft, port; Spot 1, Abaft the sea cock)" in after
    assert "A number in a ring" in after


def test_the_state_says_what_was_noted_and_when_it_was_entered_in_one_sentence(
    logbook: Logbook, tmp_path: Path
) -> None:
    text = text_of(write_history(logbook, tmp_path / "h.pdf", Options(draft=True)).path)
    assert re.search(r"zones looked at\. Noted at the time and entered \d+ months later\.", text)
    assert "Recorded at the time" not in text


def test_the_title_of_a_chart_is_printed_whole(logbook: Logbook, tmp_path: Path) -> None:
    label = "Crack between the strake by the sea cock and the root of the keel, port"
    spot = spots.add_spot(logbook, label=label)
    for begins, length in (("2025-10-01", "10 mm"), ("2025-12-01", "90 mm")):
        visit = visits.start_haul_out(logbook, begins=begins, way="hoist")
        rated = Rated("crack", {"length_mm": length}, {"washed": "washed"})
        spots.observe_spot(logbook, spot, visit, ratings=[rated])
    options = Options(reader="buyer", draft=True)
    text = text_of(write_history(logbook, tmp_path / "h.pdf", options).path)
    body = text[text.index("Changes and trends") : text.index("Annex A")]
    assert f"Spot 1, {label}: " in body


def test_her_keel_and_how_much_of_the_time_she_floats_stand_on_the_first_page(
    logbook: Logbook, tmp_path: Path
) -> None:
    text = text_of(write_history(logbook, tmp_path / "h.pdf", Options(draft=True)).path)
    head = text.split("In short")[0]
    assert "GRP, sailing yacht, twin keels," in head
    assert "of the time immersed" in head


def test_an_open_finding_tells_its_words_action_and_due_apart(
    logbook: Logbook, tmp_path: Path
) -> None:
    with logbook.read() as session:
        last = queries.visits(session)[-1].id
    matters.raise_finding(
        logbook, title="Cracked bush", sort="crack", must="next_lift", severity="slight",
        visit_id=last, note="Worn on its lower half.",
    )  # fmt: skip
    text = text_of(write_history(logbook, tmp_path / "h.pdf", Options(draft=True)).path)
    _, table = text.split("Open findings", 1)
    assert "Action Due Severity" in table
    blisters, bush = table.split("Cracked bush")[:2]
    assert "to be decided" in blisters
    assert "Worn on its lower half" in bush
    assert "to be decided at the next lift" in re.sub(r"\s+", " ", bush)
    assert "10–16 Apr 2025, once only." in bush
    assert "as raised" not in text


def test_every_section_has_a_bookmark(logbook: Logbook, tmp_path: Path) -> None:
    written = write_history(logbook, tmp_path / "h.pdf")
    titles = outline_of(written.path)
    for title in ("State at the last haul-out", "Open findings", "Anodes", "Annex E: evidence"):
        assert title in titles


def test_it_prints_the_head_before_its_own_entry(logbook: Logbook, tmp_path: Path) -> None:
    before = logbook.head
    written = write_history(logbook, tmp_path / "h.pdf", Options(reader="buyer", to_whom="B. Yer"))
    text = text_of(written.path)
    assert written.head == before != logbook.head
    assert before in text.replace(" ", "")
    assert six_words(before) in text
    with logbook.read() as book:
        issued = book.scalars(select(IssuedHistory)).one()
    assert (issued.head, issued.to_whom, issued.reader) == (before, "B. Yer", "buyer")
    assert issued.file_sha256 == hashlib.sha256(written.path.read_bytes()).hexdigest()


def test_a_draft_prints_no_head_and_is_not_entered(logbook: Logbook, tmp_path: Path) -> None:
    before = logbook.head
    written = write_history(logbook, tmp_path / "h.pdf", Options(draft=True))
    text = text_of(written.path)
    assert "DRAFT" in text
    assert before[:12] not in text
    assert "Drawn up 15 Jan 2026" in text
    assert "Issued 15 Jan 2026" not in text
    assert "head below" not in text
    assert "cannot be checked" in text
    assert logbook.head == before


def test_the_same_head_and_options_give_the_same_bytes(logbook: Logbook, tmp_path: Path) -> None:
    one = write_history(logbook, tmp_path / "1.pdf", Options(draft=True))
    two = write_history(logbook, tmp_path / "2.pdf", Options(draft=True))
    assert one.path.read_bytes() == two.path.read_bytes()


@pytest.mark.parametrize("reader", sorted(BUDGET))
def test_the_body_keeps_its_budget_however_much_there_is(
    logbook: Logbook, tmp_path: Path, reader: str
) -> None:
    with logbook.read() as book:
        visit = queries.visits(book)[-1].id
    for number in range(80):
        matters.raise_finding(
            logbook,
            title=f"Finding {number} " + "with a long name " * 6,
            sort="damage",
            must="this_season",
            severity="severe",
            visit_id=visit,
        )
    written = write_history(logbook, tmp_path / "h.pdf", Options(reader=reader, draft=True))
    assert written.body_pages <= BUDGET[reader]
    assert re.search(r"\d+ more on page \d+", text_of(written.path))


def test_typed_text_is_data(logbook: Logbook, tmp_path: Path) -> None:
    with logbook.read() as book:
        visit = queries.visits(book)[-1].id
    matters.raise_finding(
        logbook,
        title=HOSTILE,
        sort="damage",
        must="watch",
        severity="slight",
        visit_id=visit,
        note="Ελληνικά Кириллица \U0001f6a4 שלום " + "long " * 2000,
    )
    written = write_history(logbook, tmp_path / "h.pdf", Options(draft=True))
    text = text_of(written.path)
    assert HOSTILE in text
    assert "Ελληνικά" in text
    assert "Кириллица" in text
    assert "U+1F6A4" in text
    assert "U+05E9" in text
    assert text.count("long ") >= 1990


def test_a_sample_is_stamped_on_every_page(logbook: Logbook, tmp_path: Path) -> None:
    with logbook.change("vessel.sample") as book:
        vessel = queries.vessel(book)
        assert vessel is not None
        vessel.sample = True
    written = write_history(logbook, tmp_path / "h.pdf", Options(draft=True))
    for page in PdfReader(written.path).pages:
        assert "SAMPLE" in page.extract_text()


def test_drawings_are_vector_and_fonts_are_embedded(logbook: Logbook, tmp_path: Path) -> None:
    written = write_history(logbook, tmp_path / "h.pdf", Options(draft=True))
    reader = PdfReader(written.path)
    assert not [image for page in reader.pages for image in page.images]
    fonts = [
        font.get_object()
        for page in reader.pages
        for font in page["/Resources"].get_object().get("/Font", {}).values()
    ]
    assert fonts
    assert all("/FontFile2" in font["/FontDescriptor"].get_object() for font in fonts)


def test_other_readers_of_the_format_find_it_clean(logbook: Logbook, tmp_path: Path) -> None:
    written = write_history(logbook, tmp_path / "h.pdf", Options(draft=True))
    for command in (["qpdf", "--check"], ["pdftotext", "-q"]):
        try:
            done = subprocess.run([*command, str(written.path)], capture_output=True, check=False)
        except FileNotFoundError:
            continue
        assert done.returncode == 0, done.stdout + done.stderr


def test_an_open_haul_out_is_said_to_be_open(logbook: Logbook, tmp_path: Path) -> None:
    visits.start_haul_out(logbook, begins="2026-01-10")
    written = write_history(logbook, tmp_path / "h.pdf", Options(draft=True))
    assert "Out of the water since 10 Jan 2026" in text_of(written.path)


def test_a_logbook_without_a_boat_is_refused(tmp_path: Path) -> None:
    with (
        Logbook.create(tmp_path / "b", Surroundings(state_folder=tmp_path / "s")) as empty,
        pytest.raises(Refused) as refused,
    ):
        write_history(empty, tmp_path / "h.pdf")
    assert refused.value.code == "no_vessel"
    assert not (tmp_path / "h.pdf").exists()


def test_an_unknown_reader_is_refused(logbook: Logbook, tmp_path: Path) -> None:
    with pytest.raises(Refused) as refused:
        write_history(logbook, tmp_path / "h.pdf", Options(reader="neighbour"))
    assert refused.value.field == "reader"


def test_what_does_not_fit_together_stands_with_the_evidence(
    logbook: Logbook, tmp_path: Path
) -> None:
    before = write_history(logbook, tmp_path / "before.pdf", Options(reader="surveyor"))
    assert "What does not fit together" in outline_of(before.path)
    said = " ".join(text_of(before.path).split())
    assert "These checks found nothing; they hold dates and places against one another" in said
    with logbook.read() as book:
        last = queries.visits(book)[-1]
        product = book.scalars(select(Product)).first()
    assert product is not None
    tin = coatings.add_tin(logbook, product.id, bought="2025-12-01")
    coatings.add_coat(logbook, last.id, product.id, tin_id=tin)
    after = write_history(logbook, tmp_path / "after.pdf", Options(reader="surveyor"))
    assert "before its tin was bought" in text_of(after.path)
    assert "These checks found nothing" not in text_of(after.path)


def test_no_print_is_smaller_than_seven_points(logbook: Logbook, tmp_path: Path) -> None:
    with logbook.read() as session:
        zone = next(z.id for z, _ in queries.zones_at(session) if z.code == "skeg")
        last = queries.visits(session)[-1].id
    cracked = Rated("crack", {"length_mm": "40 mm", "width_mm": "0.2 mm"}, {})
    looks.log_inspection(logbook, last, zone, ratings=[cracked])
    written = write_history(logbook, tmp_path / "h.pdf", Options(draft=True))
    small = []

    def seen(text: str, page: list[float], line: list[float], _font: object, size: float) -> None:
        high = abs(size) * math.hypot(line[1], line[3]) * math.hypot(page[1], page[3])
        if text.strip() and high < 6.99:
            small.append((text, high))

    for page in PdfReader(written.path).pages:
        page.extract_text(visitor_text=seen)
    assert not small


def test_the_file_names_its_boat_and_who_kept_the_record(logbook: Logbook, tmp_path: Path) -> None:
    written = write_history(logbook, tmp_path / "h.pdf", Options(draft=True))
    about = PdfReader(written.path).metadata
    assert about is not None
    assert about.title == "Condition history of Test Ketch"
    assert about.author == "A. Keeper"


def test_the_first_page_has_a_key_to_its_strip(logbook: Logbook, tmp_path: Path) -> None:
    written = write_history(logbook, tmp_path / "h.pdf", Options(draft=True))
    first = PdfReader(written.path).pages[0].extract_text()
    assert "posts are times out of the water" in re.sub(r"\s+", " ", first)


def test_a_history_of_old_notes_says_that_nobody_looked_and_not_that_all_was_seen(
    tmp_path: Path,
) -> None:
    with Logbook.create(tmp_path / "book", Surroundings(state_folder=tmp_path / "s")) as logbook:
        vessel.create_vessel(
            logbook, name="Ruddy Shore", kind="yacht", material="grp", keel="fin",
            length="9 m", beam="3 m", draught="1.5 m",
        )  # fmt: skip
        rows = [{"begins": str(year), "found": "few blisters"} for year in range(2010, 2013)]
        oldnotes.keep_old_haul_outs(logbook, rows)
        text = text_of(write_history(logbook, tmp_path / "h.pdf", Options(draft=True)).path)
    assert "No look at any zone is on record" in text
    assert "No haul-out is on record" not in text
    assert "Every zone was seen" not in text
    assert "later, from notes" in text
    assert "few blisters" in text


def test_a_survey_names_who_made_it_or_says_that_nobody_is_on_record(
    logbook: Logbook, tmp_path: Path
) -> None:
    survey = matters.add_survey(logbook, at="2021-04-14", asked_by="insurer")
    matters.add_recommendation(
        logbook, survey, number="1", wording="Renew the hose.", survey_class="A"
    )
    text = text_of(write_history(logbook, tmp_path / "1.pdf", Options(draft=True)).path)
    assert "surveyor: not recorded; report no.: not recorded" in text
    assert "as the survey classed it" in text
    assert "Last survey on record 14 Apr 2021, 4 years 9 months ago" in text
    firm = around.add_firm(logbook, name="Plumb Survey", sort="surveyor")
    other = matters.add_survey(logbook, at="2024-04-14", firm_id=firm, reference="PS 7")
    matters.add_recommendation(logbook, other, number="1", wording="Look at the bolts.")
    text = text_of(write_history(logbook, tmp_path / "2.pdf", Options(draft=True)).path)
    assert "Survey of 14 Apr 2024; surveyor: Plumb Survey; report no.: PS 7" in text


def test_what_stands_in_the_annex_is_told_with_its_true_count(
    logbook: Logbook, tmp_path: Path
) -> None:
    with logbook.read() as session:
        zones = {z.code: z.id for z, _ in queries.zones_at(session)}
        last = queries.visits(session)[-1].id
        before = queries.visits(session)[-2].id
    for visit, size in ((before, "10 mm"), (last, "90 mm")):
        for code in ("skeg", "rudder"):
            cracked = Rated("crack", {"length_mm": size}, {})
            looks.log_inspection(logbook, visit, zones[code], ratings=[cracked])
    written = write_history(logbook, tmp_path / "h.pdf", Options(draft=True))
    text = text_of(written.path)
    told = re.search(r"all (\d+) figures followed stand in the tables on pages? (\d+)", text)
    assert told, text
    page = PdfReader(written.path).pages[int(told[2]) - 1].extract_text()
    assert "Annex C" in page
    rows = text.split("What it says", 1)[1].split("Annex D")[0]
    assert int(told[1]) == len(re.findall(r"Laminate blisters|Cracks", rows))


def test_the_statement_asks_what_befell_her_and_who_signs(logbook: Logbook, tmp_path: Path) -> None:
    text = text_of(write_history(logbook, tmp_path / "1.pdf", Options(draft=True)).path)
    assert "none is on record and none known to me" in text
    assert "Attached, if anything" in text
    berths.add_event(logbook, sort="new_owner", at="Mar 2013", text="Bought.")
    berths.add_event(logbook, sort="grounding", at="2023-08-19", text="Touched.")
    text = text_of(write_history(logbook, tmp_path / "2.pdf", Options(draft=True)).path)
    assert "in my time: grounding, 19 Aug 2023. Others: none known to me" in text
    assert "owner since Mar 2013, by the record" in text


def test_what_was_compared_is_told_with_its_count(logbook: Logbook, tmp_path: Path) -> None:
    draft = Options(draft=True)
    text = text_of(write_history(logbook, tmp_path / "1.pdf", draft).path)
    assert "of the work there: 9 anodes. These checks found nothing" in text
    with logbook.read() as session:
        last = queries.visits(session)[-1].id
    matters.add_work(logbook, text="Greased", done="2025-04-12", visit_id=last)
    text = text_of(write_history(logbook, tmp_path / "2.pdf", draft).path)
    assert "9 anodes; one dated piece of work. These" in text


def test_a_later_print_names_the_head_of_the_one_before(logbook: Logbook, tmp_path: Path) -> None:
    first = write_history(logbook, tmp_path / "1.pdf", Options(reader="buyer"))
    assert "Issued before" not in text_of(first.path)
    second = write_history(logbook, tmp_path / "2.pdf", Options(draft=True))
    assert f"for a buyer, head {first.head[:12]}" in text_of(second.path)


def test_the_key_to_the_strip_names_a_look_afloat_and_an_unknown_colour(
    logbook: Logbook, tmp_path: Path
) -> None:
    draft = Options(draft=True)
    text = text_of(write_history(logbook, tmp_path / "1.pdf", draft).path)
    assert "look afloat" not in text
    assert "hatched band" not in text
    visits.start_visit(logbook, kind="diver", begins="2025-10-14")
    bare = visits.start_haul_out(logbook, begins="2025-11-01")
    coatings.add_coats(
        logbook, bare, coats=1, at="2025-11-02",
        product={"name": "Nameless", "role": "antifouling", "coating_class": "unknown"},
    )  # fmt: skip
    visits.relaunch(logbook, bare, "2025-11-04")
    text = text_of(write_history(logbook, tmp_path / "2.pdf", draft).path)
    assert "below the waterline is a look afloat" in text
    assert "whose colour is not recorded" in text


def test_one_haul_out_with_growth_alone_on_a_few_zones_claims_no_more(tmp_path: Path) -> None:
    with Logbook.create(tmp_path / "book", Surroundings(state_folder=tmp_path / "s")) as logbook:
        vessel.create_vessel(
            logbook, name="Ruddy Shore", kind="yacht", material="grp", keel="fin",
            length="9 m", beam="3 m", draught="1.5 m",
        )  # fmt: skip
        visit = visits.start_haul_out(logbook, begins="2024-04-05", ends="2024-04-06")
        with logbook.read() as book:
            zone = next(z.id for z, _ in queries.zones_at(book) if z.code.startswith("bottom"))
        looks.log_inspection(
            logbook, visit, zone,
            ratings=[Rated("level-of-fouling", {"level": "2"}, {"washed": "not_washed"})],
        )  # fmt: skip
        text = text_of(write_history(logbook, tmp_path / "h.pdf", Options(draft=True)).path)
    assert "Every zone was seen" not in text
    assert "At the one time out of the water that is on record these zones were not seen" in text
    assert "fouling apart" not in text


def test_rows_that_do_not_fit_the_body_stand_in_an_annex(logbook: Logbook, tmp_path: Path) -> None:
    for number in range(30):
        matters.raise_finding(
            logbook, title=f"Matter number {number:02}", sort="damage", must="watch",
            severity="slight", note="A long note. " * 12,
        )  # fmt: skip
    written = write_history(logbook, tmp_path / "h.pdf", Options(draft=True))
    pages = [page.extract_text() for page in PdfReader(written.path).pages]
    assert written.body_pages <= BUDGET["insurer"]
    whole = " ".join(re.sub(r"\s+", " ", page) for page in pages[written.body_pages :])
    for number in range(30):
        assert f"Matter number {number:02}" in whole
    (told,) = re.findall(r"\d+ more on page (\d+)\.", " ".join(pages[: written.body_pages]))[:1]
    assert "of which the body shows a part" in re.sub(r"\s+", " ", pages[int(told) - 1])


def test_the_longest_names_keep_the_body_in_its_pages_and_stand_whole_behind_it(
    logbook: Logbook, tmp_path: Path
) -> None:
    def long(number: int) -> str:
        return f"{number:02} " + "a very long name " * 6 + "end"

    with logbook.read() as book:
        zones = [zone.id for zone, _ in queries.zones_at(book)]
    for number, zone in enumerate(zones):
        vessel.rename_zone(logbook, zone, long(number))
    for number in range(30, 42):
        matters.raise_finding(
            logbook, title=long(number), sort="damage", must="watch", severity="slight",
            zones=zones[:4],
        )  # fmt: skip
    written = write_history(logbook, tmp_path / "h.pdf", Options(draft=True))
    assert written.body_pages <= BUDGET["insurer"]
    pages = [page.extract_text() for page in PdfReader(written.path).pages]
    behind = re.sub(r"\s+", " ", " ".join(pages[written.body_pages :]))
    assert [n for n in range(30, 42) if long(n) not in behind] == []


def test_by_whom_a_proof_was_accepted_stands_in_its_own_column(
    logbook: Logbook, tmp_path: Path
) -> None:
    survey = matters.add_survey(logbook, at="2019-05-01", asked_by="insurer")
    item = matters.add_recommendation(logbook, survey, number="1", wording="Renew the seacock")
    work = matters.add_work(logbook, text="Seacock renewed", done="2019-06-01")
    proof = matters.add_proof(logbook, item, work_id=work)
    matters.accept_proof(logbook, proof, by="A. Mutual", on="2019-07-01")
    text = text_of(write_history(logbook, tmp_path / "h.pdf", Options(draft=True)).path)
    assert "Proof Accepted by" in text
    assert "A. Mutual, 1 Jul 2019, as the keeper states; no letter of that on file" in text
    assert "accepted by A. Mutual" not in text


def test_every_look_at_a_fitting_stands_in_the_annex_with_its_day(
    logbook: Logbook, tmp_path: Path
) -> None:
    bolts = around.add_gear(logbook, sort="keel_bolt", name="Keel bolts", note="Seven of 20 mm")
    with logbook.read() as book:
        first, second = [visit.id for visit in book.scalars(select(Visit))][:2]
    drawn = Rated("bolt-diameter", {"diameter": "19.1 mm"}, {"seen_how": "drawn"})
    gear.look_at_gear(
        logbook, bolts, first, result="nothing_found", measured=[drawn], looked="2017-04-12"
    )
    gear.look_at_gear(logbook, bolts, second, text="Nuts tried", looked="2018-04-13")
    text = text_of(write_history(logbook, tmp_path / "h.pdf", Options(draft=True)).path)
    assert "Keel bolts Seven of 20 mm" in text
    assert "12 Apr 2017 Keel bolts nothing found; diameter 19.1 mm (drawn)" in text
    assert "13 Apr 2018 Keel bolts Nuts tried" in text


def swept(logbook: Logbook) -> str:
    """Enter a field as found, and once more during the work when more blisters were open."""
    with logbook.read() as session:
        zone = next(z.id for z, _ in queries.zones_at(session) if z.code == "rudder")
    visit = visits.start_haul_out(logbook, begins="2026-01-02")
    for state, count, largest, day in (
        ("found", "12", "15 mm", "2026-01-02"), ("during", "20", "22 mm", "2026-01-05")
    ):  # fmt: skip
        figures, seen = {"count": count, "largest_mm": largest}, {"wetness": "wet"}
        looks.log_inspection(
            logbook, visit, zone, state=state, looked_for=["laminate-blisters", "crack"],
            methods=["close"] if state == "found" else ["tapped"],
            ratings=[Rated("laminate-blisters", figures, seen, None, day)],
        )  # fmt: skip
    return visit


def test_a_second_sweep_during_the_work_is_told_beside_what_was_found(
    logbook: Logbook, tmp_path: Path
) -> None:
    swept(logbook)
    text = text_of(write_history(logbook, tmp_path / "h.pdf", Options(draft=True)).path)
    state, rest = text.split("Open findings", 1)
    table = state[state.index("How it was seen") :]
    found, during = "as found (2 Jan 2026): ", "during the work (5 Jan 2026): "
    assert re.search(re.escape(found) + r"[^:]*: 12, to 15 mm", table), table
    assert re.search(re.escape(during) + r"[^:]*: 20, to 22 mm", table), table
    drawn = state[: state.index("How it was seen")].rsplit("as left", 1)[1]
    assert "20, to 22 mm" not in drawn
    assert "(5 Jan 2026 20)" in rest


def test_all_that_was_looked_for_and_all_ways_of_looking_are_told(
    logbook: Logbook, tmp_path: Path
) -> None:
    visit = swept(logbook)
    with logbook.read() as session:
        zones = {z.code: z.id for z, _ in queries.zones_at(session)}
    looks.log_inspection(
        logbook, visit, zones["transom"], looked_for=["crack", "damage"], result="nothing_found"
    )
    looks.log_inspection(logbook, visit, zones["skeg"], looked_for=[], result="nothing_found")
    text = text_of(write_history(logbook, tmp_path / "h.pdf", Options(draft=True)).path)
    table = text.split("How it was seen", 1)[1].split("Open findings", 1)[0]
    assert re.search(r"Transom looked for and none: cracks? and \w+", table), table
    assert "Skeg nothing found" in table
    assert "whole, close look and tapped" in table


def test_an_anode_keeps_what_was_weighed_apart_by_piece(logbook: Logbook, tmp_path: Path) -> None:
    text = text_of(write_history(logbook, tmp_path / "h.pdf", Options(draft=True)).path)
    row = text.split("Last look", 1)[1][:400]
    assert "0.68 kg new" in row or "680 g new" in row, row
    assert re.search(r"None yet of this piece\. The one before it: [^:]*: 530 g", row), row


def test_one_haul_out_is_not_told_as_two_chances_nor_no_work_as_closing(tmp_path: Path) -> None:
    with Logbook.create(tmp_path / "b", Surroundings(state_folder=tmp_path / "s")) as book:
        vessel.create_vessel(
            book, name="New", kind="yacht", material="grp", keel="fin", length="8 m",
            beam="2.5 m", draught="1 m",
        )  # fmt: skip
        visit = visits.start_haul_out(book, begins="2025-04-10")
        with book.read() as session:
            zones = [zone.id for zone, _ in queries.zones_at(session)]
        for zone in zones:
            looks.log_inspection(book, visit, zone, looked_for=["crack"], result="nothing_found")
        matters.raise_finding(
            book, title="Scuff", sort="other", must="watch", severity="slight", visit_id=visit
        )
        text = text_of(write_history(book, tmp_path / "h.pdf", Options(draft=True)).path)
    assert text.count("Every zone was seen at the one time out of the water") == 2
    assert "last two chances" not in text
    assert "0 closed" not in text
    assert "One finding is open: Scuff" in text

"""Zone cards, printed, photographed and read again; every draw has a seed."""

from __future__ import annotations

import io
import shutil
import subprocess
import sys
from datetime import UTC, date, datetime
from pathlib import Path

import numpy as np
import pytest
from PIL import Image, ImageFilter
from pypdf import PdfReader

sys.path.insert(0, str(Path(__file__).parent))
import cardphotos as made

from hulllog.drawing.zonecards import card_scene
from hulllog.insight.cardsorting import Seen, clock_minutes, sort_by_cards
from hulllog.output.zonecards import card_scenes, write_cards
from hulllog.records.cardreading import read_card
from hulllog.records.logbook import Logbook, Surroundings
from hulllog.records.operations import queries
from hulllog.records.pictures import taken_by
from hulllog.records.zonecards import CLOCK, Card, payload, zone_of

DAY = date(2026, 3, 1)
START = datetime(2026, 4, 17, 9, 30, tzinfo=UTC)
PICTURES, WANTED = 60, 0.95


@pytest.fixture
def zones(logbook):
    with logbook.read() as book:
        return [zone.id for zone, _ in queries.zones_at(book)]


@pytest.fixture(scope="module")
def cards(filled, tmp_path_factory):
    """Pictures of the cards, in the order of the zones, the clock card last."""
    folder = tmp_path_factory.mktemp("cards")
    shutil.copytree(filled, folder / "book")
    with (
        Logbook.open(folder / "book", Surroundings(state_folder=folder / "state")) as book,
        book.read() as session,
    ):
        return [made.printed(scene) for scene in card_scenes(session, "Test Ketch")]


def jpeg(image):
    out = io.BytesIO()
    image.save(out, "JPEG", quality=85)
    return out.getvalue()


def photographed(card, rng, **look):
    how = made.Look(
        **{"scale": 6.0, "tilt": 0, "turn": 0, "blur": 0.8, "shade": 0, "noise": 4, **look}
    )
    return jpeg(made.finish(made.paste(made.yard(rng), card, how, rng), how, rng))


def read(file):
    data = file.read_bytes()
    return Seen(file, *taken_by(data), read_card(data))


def test_sixty_pictures_sort_themselves(cards, zones, tmp_path):
    rng = np.random.default_rng(20260417)
    folder = tmp_path / "camera"
    folder.mkdir()
    truth: dict[Path, str] = {}
    order = rng.permutation(len(zones))[:12].tolist()
    for number in range(PICTURES):
        zone = order[number // 5]
        look = made.drawn(rng)
        image = made.yard(rng)
        if number % 5 == 0:
            image = made.paste(image, cards[zone], look, rng)
        taken = made.minutes(START, number)
        file = made.write(made.finish(image, look, rng), folder, number, taken, "Test 1")
        truth[file] = zones[zone]
    found = sort_by_cards([read(file) for file in sorted(folder.iterdir())], zones)
    right = sum(found.zones.get(file) == zone for file, zone in truth.items())
    wrong = sum(found.zones.get(file) not in (zone, None) for file, zone in truth.items())
    share = right / PICTURES
    assert share >= WANTED, (
        f"{share:.1%} sorted right, {wrong} wrong, unread cards {len(found.unread)}"
    )
    assert len(truth) == PICTURES


@pytest.mark.parametrize("turn", [0, 37, 90, 180, 251])
def test_a_card_is_read_any_way_up(cards, zones, turn):
    card = read_card(photographed(cards[2], np.random.default_rng(turn), turn=turn))
    assert zone_of(card.said, tuple(zones)) == zones[2]


@pytest.mark.parametrize(
    "look",
    [
        {"blur": 3.5, "scale": 5.0},
        {"tilt": 50},
        {"shade": 0.75},
        {"scale": 2.6},
        {"noise": 25},
        {"tilt": 35, "shade": 0.6, "blur": 2.0, "noise": 12, "turn": 100},
    ],
    ids=" ".join,
)
def test_a_card_is_read_in_bad_light(cards, zones, look):
    card = read_card(photographed(cards[4], np.random.default_rng(5), **look))
    assert card is not None
    assert card.said == payload(zones[4])


@pytest.mark.parametrize("tilt", [0, 20, 40])
@pytest.mark.parametrize("scale", [4.0, 8.0])
def test_scale_and_tilt_come_from_the_card(cards, scale, tilt):
    rng = np.random.default_rng(round(scale * 10 + tilt))
    card = read_card(photographed(cards[0], rng, scale=scale, tilt=tilt))
    assert card.scale == pytest.approx(scale, rel=0.04)
    assert card.tilt == pytest.approx(tilt, abs=5 if tilt else 12)


def test_the_rule_is_where_its_hundred_millimetres_are(cards):
    rng = np.random.default_rng(8)
    card = read_card(photographed(cards[0], rng, scale=7.0))
    (x1, y1), (x2, y2) = card.rule
    wide, high = made.SIZE
    assert np.hypot((x2 - x1) * wide, (y2 - y1) * high) == pytest.approx(700, rel=0.02)


def test_a_picture_without_a_card_is_no_card():
    rng = np.random.default_rng(3)
    look = made.drawn(rng)
    assert [read_card(jpeg(made.finish(made.yard(rng), look, rng))) for _ in range(6)] == [None] * 6


def test_a_card_too_poor_to_read_is_told_as_one(cards):
    rng = np.random.default_rng(11)
    how = made.Look(scale=5.0, tilt=0, turn=0, blur=0.8, shade=0, noise=4)
    torn = cards[1].copy()
    scale = made.DPI / 25.4
    for n in range(3):  # what makes a code out of three corners is gone
        left = (24 + 7 * n) * scale
        torn.paste(
            255, (round(left), round(16 * scale), round(left + 5 * scale), round(35 * scale))
        )
    card = read_card(jpeg(made.finish(made.paste(made.yard(rng), torn, how, rng), how, rng)))
    assert card == Card(None)


def test_nothing_is_placed_after_a_card_that_could_not_be_read(tmp_path):
    files = [tmp_path / f"{n}.jpg" for n in range(5)]
    said = [payload("a" * 32), None, "unread", None, payload("b" * 32)]
    seen = [
        Seen(file, made.minutes(START, n), "Test 1", None if s is None else
             Card(None if s == "unread" else s))
        for n, (file, s) in enumerate(zip(files, said, strict=True))
    ]  # fmt: skip
    found = sort_by_cards(seen, ["a" * 32, "b" * 32])
    assert found.zones == {files[0]: "a" * 32, files[1]: "a" * 32, files[4]: "b" * 32}
    assert found.unread == [(files[2], [files[3]])]


def test_each_camera_goes_by_its_own_cards(tmp_path):
    one, other, late = (tmp_path / name for name in ("x.jpg", "y.jpg", "z.jpg"))
    found = sort_by_cards(
        [
            Seen(one, made.minutes(START, 0), "Test 1", Card(payload("a" * 32))),
            Seen(other, made.minutes(START, 1), "Test 2"),
            Seen(late, made.minutes(START, 2), "Test 1"),
        ],
        ["a" * 32],
    )
    assert found.zones == {one: "a" * 32, late: "a" * 32}
    assert found.before == [other]


def test_the_card_of_another_boat_places_nothing_and_is_named(tmp_path):
    stranger, after = tmp_path / "1.jpg", tmp_path / "2.jpg"
    found = sort_by_cards(
        [
            Seen(stranger, made.minutes(START, 0), None, Card(payload("c" * 32))),
            Seen(after, made.minutes(START, 1)),
        ],
        ["a" * 32],
    )
    assert (found.zones, found.strangers, found.before) == ({}, [stranger], [after])


def test_the_clock_card_places_nothing_and_ends_nothing(tmp_path):
    files = [tmp_path / f"{n}.jpg" for n in range(3)]
    cards = (Card(payload("a" * 32)), Card(CLOCK), None)
    seen = [
        Seen(file, made.minutes(START, n), "Test 1", card)
        for n, (file, card) in enumerate(zip(files, cards, strict=True))
    ]
    found = sort_by_cards(seen, ["a" * 32])
    assert [one.file for one in found.clocks] == [files[1]]
    assert found.zones == {files[0]: "a" * 32, files[2]: "a" * 32}


@pytest.mark.parametrize(
    ("shown", "typed", "minutes"),
    [
        ("09:30", "10:31", 61),
        ("09:30", "9.20", -10),
        ("23:50", "0:05", 15),
        ("00:05", "23:50", -15),
        ("09:30", "25:00", None),
        ("09:30", "half past nine", None),
    ],
)
def test_the_minutes_of_a_clock_go_by_the_nearest_time(shown, typed, minutes):
    at = datetime.strptime(f"2026-04-17 {shown}", "%Y-%m-%d %H:%M").replace(tzinfo=UTC)
    assert clock_minutes(at, typed) == minutes


@pytest.mark.parametrize("key", ["id-000001", "435bec36-5dad-47a0-97c5-ccb6e6944c43"])
def test_a_code_names_its_zone_whatever_its_key_looks_like(key):
    assert zone_of(payload(key), ("other", key)) == key
    assert zone_of(payload(key), ("other",)) is None


def test_there_is_a_card_for_each_zone_and_one_for_the_clock(logbook, zones, tmp_path):
    written = write_cards(logbook, tmp_path / "cards.pdf", DAY)
    assert written.cards == len(zones) + 1
    assert written.archival
    text = " ".join(page.extract_text() for page in PdfReader(written.path).pages)
    assert "Bottom aft, port" in text
    assert "Clock" in text
    again = write_cards(logbook, tmp_path / "again.pdf", DAY)
    assert again.path.read_bytes() == written.path.read_bytes()


def test_the_rule_of_a_card_is_a_hundred_millimetres():
    scene = card_scene(payload("a" * 32), "1", "Bottom", "Test Ketch")
    (rule, *_) = [item for item in scene.items if item.key == "rule"]
    assert rule.ops[1][1] - rule.ops[0][1] == pytest.approx(100)


def test_a_blurred_print_of_the_sheet_is_no_photograph_of_a_zone():
    grey = Image.new("L", (800, 600), 200).filter(ImageFilter.GaussianBlur(3))
    assert read_card(jpeg(grey)) is None


@pytest.mark.skipif(not shutil.which("pdftoppm"), reason="pdftoppm (poppler-utils) is not here")
def test_the_printed_file_is_read_as_well(logbook, zones, tmp_path):
    pdf = write_cards(logbook, tmp_path / "cards.pdf", DAY).path
    command = ["pdftoppm", "-r", "100", "-png", "-singlefile", str(pdf), str(tmp_path / "page")]
    subprocess.run(command, check=True)
    card = read_card((tmp_path / "page.png").read_bytes())
    assert zone_of(card.said, tuple(zones)) in zones[:6]
    assert card.scale == pytest.approx(100 / 25.4, rel=0.02)

"""A ketch with some years of haul-outs, for tests of the pages that read them."""

from __future__ import annotations

import io
import random
import shutil

import pytest
from PIL import Image, ImageDraw

from hulllog.records import media
from hulllog.records.logbook import Logbook, Surroundings
from hulllog.records.operations import (
    around,
    coatings,
    looks,
    matters,
    photos,
    queries,
    spots,
    vessel,
    visits,
)
from hulllog.records.operations.measuring import Rated

LOOKED_FOR = ("laminate-blisters", "level-of-fouling")
BLISTERED = ("bottom-middle-port", "bottom-aft-port", "bottom-aft-starboard")
SIZES = ((3, 6), (3.5, 9), (4, 11), (5, 14), (5.5, 16), (7, 20), (8, 22))
"""Largest and count at the aft port field, one for each wet visit; other fields follow it."""


def ketch(logbook, *, years=8, pictures=False, still_out=False):
    """Enter the ketch and a haul-out in each of the last ``years`` years up to 2025."""
    vessel.create_vessel(
        logbook, name="Ruddy Shore", kind="yacht", material="grp", keel="twin",
        length="8.7 m", beam="2.9 m", draught="0.95 m", rig="ketch", built="1984",
    )  # fmt: skip
    with logbook.read() as book:
        zones = {zone.code: zone.id for zone, _ in queries.zones_at(book)}
    made = Made(logbook, zones)
    for n, year in enumerate(range(2026 - years, 2026)):
        made.visit(n + max(0, len(SIZES) + 1 - years), year, dry=year == 2024)
    if pictures:
        made.take_pictures()
    last = list(made.visits)[-1]
    for year, visit in made.visits.items():
        if year != last or not still_out:
            visits.relaunch(logbook, visit, f"{year}-05-02")
            visits.close(logbook, visit)
    return made


class Made:
    """What was entered: keys by year, zone code and number."""

    def __init__(self, logbook, zones):
        self.logbook = logbook
        self.zones = zones
        self.visits = {}
        self.spots = {}
        self.findings = {}
        self.paint = coatings.add_product(
            logbook, name="Tidewall 40", coating_class="unknown", role="antifouling",
            colour="red", colour_hex="#7a2b2b",
        )  # fmt: skip

    def visit(self, n, year, *, dry):
        """Enter one haul-out with its looks."""
        book = self.logbook
        visit = visits.start_haul_out(
            book, begins=f"{year}-04-14", time_zone="Europe/Lisbon", way="crane",
            yard="Inlet Yard", looked_for=list(LOOKED_FOR), methods=["close", "touched"],
        )  # fmt: skip
        self.visits[year] = visit
        visits.add_stage(book, visit, "lifted", f"{year}-04-14 09:30")
        wet = "dry" if dry else "wet"
        largest, count = SIZES[min(n - (n > 6), len(SIZES) - 1)]
        for code, zone in self.zones.items():
            if code in BLISTERED:
                self._blistered(visit, code, zone, year, wet, largest, count)
            elif code.endswith("-under"):
                looks.could_not_see(book, visit, zone, hidden_by="ground")
            elif code.startswith("keel"):
                self._fouled(visit, zone, year)
            elif code.startswith("topsides") or code == "transom":
                looks.log_inspection(
                    book, visit, zone, result="nothing_found", looked_for=["damage"]
                )
            elif code != "rudder":
                looks.nothing_found(book, visit, zone)
        coatings.add_coat(book, visit, self.paint, litres="4.5", whole_bottom=True)
        self._follow(n, year, visit, wet, largest, count)

    def _blistered(self, visit, code, zone, year, wet, largest, count):
        back = {"bottom-middle-port": 0.6, "bottom-aft-port": 1, "bottom-aft-starboard": 0.8}[code]
        figures = {
            "count": str(round(count * back)), "largest_mm": f"{largest * back:.1f}",
            "typical_mm": f"{largest * back / 2:.1f}", "depth": "gelcoat", "fluid": "clear",
        }  # fmt: skip
        rated = Rated(
            "laminate-blisters", figures, {"wetness": wet, "days_ashore": "0"},
            observed=f"{year}-04-14 10:30",
        )  # fmt: skip
        looks.log_inspection(self.logbook, visit, zone, ratings=[rated])

    def _fouled(self, visit, zone, year):
        rated = Rated(
            "level-of-fouling", {"level": str(1 + year % 3)}, {"washed": "not_washed"}
        )  # fmt: skip
        looks.log_inspection(
            self.logbook, visit, zone, ratings=[rated], looked_for=["level-of-fouling"]
        )

    def _follow(self, n, year, visit, wet, largest, count):
        book = self.logbook
        if not self.spots:
            for label, code, u, v in (
                ("blister field", "bottom-aft-port", 0.72, 0.72),
                ("single blister", "bottom-middle-port", 0.5, 0.5),
            ):
                self.spots[label] = spots.add_spot(
                    book, label=label, zone_id=self.zones[code], visit_id=visit,
                    place={"part": "hull", "face": "port", "u": u, "v": v},
                )  # fmt: skip
            self._matters(visit)
        rated = Rated(
            "laminate-blisters", {"count": str(count), "largest_mm": str(largest)},
            {"wetness": wet},
        )  # fmt: skip
        spots.observe_spot(book, self.spots["blister field"], visit, ratings=[rated])
        if n % 2:
            matters.observe_finding(
                book, self.findings["blisters"], visit, seen="present",
                text=f"{count} counted in the same tenth of a square metre.",
            )  # fmt: skip

    def _matters(self, visit):
        raised = {
            "blisters": ("Blisters aft, port", "blisters", "next_lift", "moderate"),
            "rust": ("Rust at the foot of the port keel", "rust", "before_relaunch", "severe"),
            "gouge": ("Gouge below the waterline", "damage", "this_season", "slight"),
        }
        zone = {
            "blisters": "bottom-aft-port", "rust": "keel-port-outboard",
            "gouge": "bottom-forward-starboard",
        }  # fmt: skip
        for key, (title, sort, must, severity) in raised.items():
            self.findings[key] = matters.raise_finding(
                self.logbook, title=title, sort=sort, must=must, severity=severity,
                visit_id=visit, zones=[self.zones[zone[key]]],
                spots=[self.spots["blister field"]] if key == "blisters" else [],
            )  # fmt: skip
        paper = around.add_document(
            self.logbook, title="Invoice 118, Inlet Yard", sort="invoice", visit_id=visit
        )
        who = around.add_person(self.logbook, name="I. Fletcher", role="yard_hand")
        matters.add_work(
            self.logbook, text="Ground out, filled with epoxy and faired.", visit_id=visit,
            done="2019-04-20", person_id=who, documents=[paper],
            closes=[self.findings["gouge"]],
        )  # fmt: skip

    def take_pictures(self):
        """Draw one picture of the blister field for every year and put it where it belongs."""
        for year, visit in self.visits.items():
            photo = picture(self.logbook, visit, year)
            photos.place_photo(
                self.logbook, photo, spot_id=self.spots["blister field"],
                zone_id=self.zones["bottom-aft-port"],
            )  # fmt: skip


def picture(logbook, visit, year):
    """Draw a picture and take it in; returns its key."""
    file = logbook.folder.parent / f"yard-{year}.png"
    file.write_bytes(drawn(year))
    (taken,) = media.import_photos(logbook, [file], visit, state="found").done
    return taken.photo_id


def drawn(year):
    """Draw a picture of a blister field that grows with the years."""
    random.seed(7)
    image = Image.new("RGB", (480, 320), (206, 196, 178))
    pen = ImageDraw.Draw(image)
    for n in range(24):
        x, y, size = random.randint(30, 450), random.randint(30, 290), random.randint(4, 10)
        if n < (year - 2015) * 2:
            size += (year - 2018) // 2
            pen.ellipse((x - size, y - size, x + size, y + size), (176, 160, 134), (140, 124, 98))
    pen.text((10, 300), f"SAMPLE {year}", (90, 80, 60))
    data = io.BytesIO()
    image.save(data, "PNG")
    return data.getvalue()


# The window on it


@pytest.fixture(scope="session")
def built(tmp_path_factory):
    """Build each sort of ketch once, and give a function that copies one."""
    made = {}

    def copy(to, **how):
        key = tuple(sorted(how.items()))
        if key not in made:
            folder = tmp_path_factory.mktemp("ketch") / "book"
            around = Surroundings(state_folder=folder.parent / "state")
            with Logbook.create(folder, around) as logbook:
                ketch(logbook, **{"years": 7, **how})
            made[key] = folder
        shutil.copytree(made[key], to)
        return to

    return copy


@pytest.fixture
def on_ketch(qtbot, tmp_path, built):
    """Give a function that opens the window on a ketch, at a page."""
    from hulllog.desktop import app
    from hulllog.desktop.preferences import Look, Preferences

    windows = []

    def show(page, *, read_only=False, folder=None, **how):
        where = folder or built(tmp_path / f"book {len(windows)}", **how)
        kept = Preferences(tmp_path / f"{len(windows)}.ini")
        kept.look, kept.page = Look.LIGHT, page
        app.application()
        window = app.make_window(None, kept)
        windows.append(window)
        around = Surroundings(state_folder=tmp_path / "state", cache_folder=tmp_path / "cache")
        window.state.use(Logbook.open(where, around, read_only=read_only))
        window.resize(1366, 768)
        window.show()
        window.activateWindow()
        qtbot.waitActive(window)
        window.show_page(page)
        settle(window)
        return window

    yield show
    for window in windows:
        window.close()
        window.deleteLater()


def settle(window):
    """Turn the event loop until nothing is under way."""
    from PySide6.QtWidgets import QApplication

    for _ in range(3):
        assert window.state.tasks.settle()
        QApplication.processEvents()
    window.grab()


def texts(widget):
    """Return what stands on a widget and can be seen."""
    from PySide6.QtWidgets import QAbstractButton, QLabel

    found = [one.text() for one in widget.findChildren(QLabel) if one.isVisible()]
    found += [
        one.accessibleName() for one in widget.findChildren(QAbstractButton) if one.isVisible()
    ]
    return [plain(text) for text in found if text]


def plain(text):
    """Return a text with plain spaces for the thin ones before units."""
    return text.replace("\u202f", " ").replace("\u2009", " ")


def sheet_of(window, name):
    """Return the sheet that is open, by its name."""
    from PySide6.QtWidgets import QDialog

    found = [s for s in window.findChildren(QDialog, name) if s.isVisible()]
    assert found, f"no sheet {name} is open"
    return found[-1]


def nameless(window):
    """Return the widgets that the keyboard can reach and that have no name."""
    from PySide6.QtCore import Qt
    from PySide6.QtGui import QAccessible
    from PySide6.QtWidgets import QWidget

    found = []
    for widget in window.findChildren(QWidget):
        if not widget.isVisible() or widget.focusPolicy() == Qt.FocusPolicy.NoFocus:
            continue
        face = QAccessible.queryAccessibleInterface(widget)
        if face is not None and not face.text(QAccessible.Text.Name):
            found.append(widget)
    return found

"""Draw ten invented boats in every view on one sheet, without a word, to be judged by eye.

Usage: ``python resources/make_contact_sheet.py SHEET.png [KEY.txt]``.  The key says which boat is
which, in the order of the sheet: left to right, then down.  Needs poppler's ``pdftoppm``.
"""

from __future__ import annotations

import subprocess
import sys
from dataclasses import replace
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING, Any

from reportlab.pdfgen.canvas import Canvas

from hulllog.drawing.hullviews import ZoneDrawing, hull_scene
from hulllog.drawing.palette import LIGHT
from hulllog.hull import outlines, zones
from hulllog.hull.form import HullForm
from hulllog.hull.particulars import Particulars, assume
from hulllog.output import canvas as paper

if TYPE_CHECKING:
    from hulllog.drawing.scene import Scene

ROWS = (("port", "stern", "starboard"), ("bottom", "expansion"))
COLUMNS = 2
CELL = (300.0, 132.0)
"""Width and height in mm of the room of one boat."""
DOTS = 150


def boat(
    kind: str, keel: str, length: float, beam: float, draught: float, **more: Any
) -> Particulars:
    """Return assumed particulars with some of them given."""
    made, _ = assume(kind, more.pop("material", "grp"), keel, length, beam, draught)
    return replace(made, **more)


FLEET = (
    boat("yacht", "twin", 8.3, 2.75, 0.95, rudder="skeg", displacement=3400.0, lwl=7.0),
    boat("planing", "none", 9.0, 3.0, 0.7, displacement=4800.0),
    boat(
        "yacht", "fin", 10.2, 3.35, 1.75, stern="reverse", displacement=5200.0, lwl=8.6,
        drive="saildrive",
    ),
    boat(
        "catamaran", "fin", 11.6, 6.4, 1.1, bow="plumb", stern="reverse", displacement=8400.0,
    ),
    boat(
        "yacht", "long", 9.4, 2.75, 1.45, bow="spoon", stern="counter", displacement=5400.0,
        lwl=7.2,
    ),
    boat(
        "small", "lifting", 5.2, 1.85, 0.95, material="wood", bow="plumb", displacement=620.0,
    ),
    boat(
        "yacht", "bulb", 12.4, 4.0, 2.2, bow="plumb", rudder="twin", displacement=8200.0,
        lwl=11.6, drive="saildrive",
    ),
    boat(
        "inland", "none", 15.6, 3.7, 0.75, material="steel", bow="plumb", displacement=24000.0,
        lwl=15.1,
    ),
    boat("yacht", "wing", 9.6, 3.2, 1.4, displacement=4700.0),
    boat("motor", "long", 13.2, 4.1, 1.45, displacement=17500.0),
)  # fmt: skip


def rows(form: HullForm) -> list[list[Scene]]:
    """Return the views of one boat in rows, all at one scale."""
    zoned = [
        ZoneDrawing(zone.code, zone, "", appearance="not_rated")
        for zone in zones.default_zones(form)
    ]
    boxes = {view: outlines.bounds(form, view) for row in ROWS for view in row}
    sizes = {
        view: ((1.0 if view in ROWS[1] else 1.07) * (right - left), high - low)
        for view, (left, right, low, high) in boxes.items()
    }
    widest = max(sum(sizes[view][0] for view in row) for row in ROWS)
    highest = sum(max(sizes[view][1] for view in row) for row in ROWS)
    scale = min((CELL[0] - 30) / widest, (CELL[1] - 26) / highest)
    made = []
    for row in ROWS:
        found = []
        for view in row:
            wide, high = sizes[view]
            found.append(
                hull_scene(
                    form, view, zones=zoned, width=scale * wide + 4, height=scale * high + 4,
                    small=True,
                ).scene
            )  # fmt: skip
        made.append(found)
    return made


def sheet(fleet: tuple[Particulars, ...]) -> bytes:
    """Return the sheet as a PDF of one page."""
    lines = -(-len(fleet) // COLUMNS)
    size = (COLUMNS * CELL[0] * paper.POINTS, lines * CELL[1] * paper.POINTS)
    out = BytesIO()
    page = Canvas(out, pagesize=size)
    _ruled(page, lines, size)
    for number, particulars in enumerate(fleet):
        left, top = number % COLUMNS * CELL[0], number // COLUMNS * CELL[1]
        drawn = rows(HullForm.build(particulars))
        spare = (CELL[1] - sum(max(s.height for s in row) for row in drawn)) / (len(drawn) + 1)
        y = top
        for row in drawn:
            high = max(scene.height for scene in row)
            gap = (CELL[0] - sum(scene.width for scene in row)) / (len(row) + 1)
            x, y = left, y + spare
            for scene in row:
                x += gap
                foot = size[1] - (y + (high + scene.height) / 2) * paper.POINTS
                paper.draw(scene, page, LIGHT, x * paper.POINTS, foot)
                x += scene.width
            y += high
    page.showPage()
    page.save()
    return out.getvalue()


def _ruled(page: Canvas, lines: int, size: tuple[float, float]) -> None:
    """Draw the ground and thin lines between the boats."""
    page.setFillColor(LIGHT.colour("paper"))
    page.rect(0, 0, *size, stroke=0, fill=1)
    page.setStrokeColor(LIGHT.colour("line"))
    page.setLineWidth(0.7)
    inset = 8 * paper.POINTS
    for number in range(1, lines):
        y = size[1] - number * CELL[1] * paper.POINTS
        page.line(inset, y, size[0] - inset, y)
    for number in range(1, COLUMNS):
        x = number * CELL[0] * paper.POINTS
        page.line(x, inset, x, size[1] - inset)


def key(fleet: tuple[Particulars, ...]) -> str:
    """Say which boat is which."""
    lines = []
    for number, p in enumerate(fleet, start=1):
        lines.append(
            f"{number}: hull {p.kind}, keel {p.keel}, rudder {p.rudder}, drive {p.drive},"
            f" bow {p.bow}, stern {p.stern}, planking {p.planking}, {p.length} m"
        )
    return "\n".join(lines) + "\n"


def write(target: Path, fleet: tuple[Particulars, ...] = FLEET) -> None:
    """Write the sheet as a PNG."""
    subprocess.run(
        ["pdftoppm", "-png", "-singlefile", "-r", str(DOTS), "-", str(target.with_suffix(""))],
        input=sheet(fleet),
        check=True,
    )


if __name__ == "__main__":
    if len(sys.argv) not in (2, 3):
        sys.exit("usage: make_contact_sheet.py SHEET.png [KEY.txt]")
    write(Path(sys.argv[1]))
    if len(sys.argv) == 3:
        Path(sys.argv[2]).write_text(key(FLEET), encoding="utf-8")

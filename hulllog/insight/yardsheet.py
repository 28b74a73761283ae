"""The yard sheet: what it asks, row by row, in the order in which evidence goes, and what was last.

Rows are numbered through the whole sheet; what is typed afterwards goes by the same numbers.  Which
shots and reminders stand at which stage is our own rule.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import count
from typing import TYPE_CHECKING, Any

from hulllog.insight import sheetmeasures, walking
from hulllog.insight.bearing import last_bore
from hulllog.insight.condition import figures_of
from hulllog.insight.occasions import OUT_OF_WATER, Edge
from hulllog.insight.shape import form_of
from hulllog.insight.yard import bench
from hulllog.records.model import (
    Finding,
    Gear,
    GearCheck,
    PadPosition,
    Visit,
)
from hulllog.records.operations import choices, queries
from hulllog.trade import kinds

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from hulllog.insight.condition import Figure
    from hulllog.insight.walking import Seen, WalkPlan
    from hulllog.records.book import Book
    from hulllog.records.values import Measured, PartialDate, Where

HIDDEN_KEYS = {
    "support": "s", "hanging": "h", "growth": "g", "water": "w", "paint": "p", "fitting": "f",
    "ground": "k", "other": "o",
}  # fmt: skip
EYE_KEYS = {"full": "f", "three_quarters": "t", "half": "h", "quarter": "q", "gone": "g"}
CONTACT_KEYS = {"tight": "t", "loose": "l", "none": "n"}
SEEN_KEYS = {"present": "p", "not_found": "n", "not_seen": "x"}
YES_KEYS = {"yes": "y", "no": "n"}
"""Letters that answer, the same on the sheet, in its rows on the screen and on the walk."""

UNSEEN, CLEAR = "unseen", "clear"
"""Boxes of a zone: why it could not be seen; that it was looked over and nothing was found."""
PAINT_ROWS, NOTE_ROWS = 3, 3
BORE_BOXES = 4
"""How many slings, pads of a side or blocks a row has room for."""

WRITTEN = ("largest_mm",)
"""Components that a kind may leave out and that the sheet asks for all the same."""


@dataclass(frozen=True, slots=True)
class Box:
    """A box to write in: a component of a kind, or a field by its name, and what stood there last.

    ``letters`` are the answers of a box that takes a letter.  ``since`` is the date of the last
    figure where it is not of the last visit.
    """

    field: str
    kind: str = ""
    unit: str = ""
    last: Figure | Measured | None = None
    since: PartialDate | None = None
    letters: Mapping[str, str] | None = None
    family: str = ""
    """The family of codes that says what its letters stand for."""

    @property
    def name(self) -> str:
        """The name of the box within its row."""
        return f"{self.kind}.{self.field}" if self.kind else self.field


@dataclass(frozen=True, slots=True)
class Row:
    """A row of the sheet: what it is about, and its boxes from left to right."""

    number: int
    sort: str
    stage: str
    boxes: tuple[Box, ...]
    subject_id: str = ""
    subject: str = ""
    zone_number: int = 0
    plan: str = ""
    looked_for: tuple[str, ...] = ()
    instrument_id: str | None = None
    """What a reading is taken with, where there is but one on record."""

    @property
    def state(self) -> str:
        """The state in which a zone of this row was seen."""
        if self.plan == "second_sweep":
            return "during"
        return "left" if self.stage == "ready" else "found"


@dataclass(frozen=True, slots=True)
class Shot:
    """A photograph to take; ``only_now`` where it cannot be had later."""

    code: str
    only_now: bool = False


@dataclass(frozen=True, slots=True)
class SheetStage:
    """A stage with its cautions, what goes first, its shots and its rows."""

    code: str
    cautions: tuple[str, ...]
    evidence: tuple[str, ...]
    shots: tuple[Shot, ...]
    rows: tuple[Row, ...]


@dataclass(frozen=True, slots=True)
class SheetZone:
    """A zone with the number it has on the sheet."""

    number: int
    zone_id: str
    code: str
    name: str
    outline: Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Borne:
    """Where a sling bore on her last time, or a fitting that a sling must keep clear of."""

    sort: str
    name: str
    place: Where


@dataclass(frozen=True, slots=True)
class Sheet:
    """All that stands on the sheet, for the open haul-out or for the next one."""

    name: str
    sample: bool
    material: str
    keel: str
    visit: Visit | None
    last: Visit | None
    zones: tuple[SheetZone, ...]
    stages: tuple[SheetStage, ...]
    borne: tuple[Borne, ...]

    @property
    def rows(self) -> tuple[Row, ...]:
        """All rows in the order of the sheet."""
        return tuple(row for stage in self.stages for row in stage.rows)


_SHOTS: Mapping[str, tuple[tuple[str, bool, str], ...]] = {
    "lifted": (
        ("sides", True, ""),
        ("waterline", True, ""),
        ("keel", True, "keel"),
        ("rudder", True, "rudder"),
        ("stern_gear", True, "drive"),
        ("intakes", True, ""),
        ("slings", False, ""),
    ),
    "washed": (
        ("quarters_washed", False, ""),
        ("keel_joint", False, "keel"),
        ("leading_edges", False, ""),
        ("rudder_drip", False, "rudder"),
        ("findings", False, ""),
    ),
    "opened_up": (
        ("supports", False, ""),
        ("fittings", False, ""),
        ("propeller", False, "drive"),
        ("bearing", False, "shaft"),
        ("anodes", False, ""),
        ("inside", False, ""),
    ),
    "prepared": (("patches", False, ""),),
    "coated": (("tins", False, ""),),
    "ready": (("before_relaunch", False, ""),),
    "relaunched": (),
}
"""Stage -> (shot, cannot be had later, what she must have for it).  Our own rule."""

_CAUTIONS: Mapping[str, tuple[str, ...]] = {
    "lifted": ("hanging",),
    "washed": ("hanging", "washing", "blister"),
    "opened_up": ("props", "power"),
    "prepared": ("dust",),
    "coated": ("paint",),
    "ready": ("props",),
    "relaunched": ("launch",),
}

_EVIDENCE: Mapping[str, Mapping[str, tuple[str, ...]]] = {
    "grp": {
        "washed": ("blisters_wet",),
        "opened_up": ("weeps",),
        "prepared": ("moisture_late", "blisters_again"),
    },
    "steel": {"washed": ("rust_wet",), "prepared": ("pits_clean", "bare_soon")},
    "aluminium": {"washed": ("white_powder",), "prepared": ("pits_clean",)},
    "wood": {"washed": ("seams_wet",), "opened_up": ("seams_open",), "relaunched": ("take_up",)},
    "ferrocement": {"washed": ("stains",), "opened_up": ("weeps",)},
}
"""Material -> stage -> what tells only then.  Source: common practice."""


def yard_sheet(book: Book) -> Sheet | None:
    """Return the sheet of the open haul-out, or of the next one; None while there is no boat."""
    vessel = queries.vessel(book)
    if vessel is None:
        return None
    visit = queries.open_haul_out(book)
    earlier = (
        queries.earlier_visits(book, visit.id, OUT_OF_WATER)
        if visit
        else queries.visits(book, OUT_OF_WATER)[::-1]
    )
    material, keel = walking.boat_of(book)
    numbered = count(1)
    zones = tuple(
        SheetZone(number, zone.id, zone.code, zone.name, version.outline)
        for number, (zone, version) in enumerate(
            queries.zones_at(book, visit.id if visit else None), 1
        )
    )
    asked = _Asked(book, visit, earlier, zones)
    stages = tuple(
        SheetStage(
            stage,
            _CAUTIONS[stage],
            _evidence(book, material, keel, stage),
            tuple(_shots(book, keel, stage)),
            tuple(_numbered(asked.rows(stage), numbered)),
        )
        for stage in choices.STAGES
    )
    return Sheet(
        vessel.name,
        vessel.sample,
        material,
        keel,
        visit,
        asked.last,
        zones,
        stages,
        _borne(book, earlier),
    )


def _numbered(rows: Iterator[Row], numbers: Iterator[int]) -> Iterator[Row]:
    from dataclasses import replace

    for row in rows:
        yield replace(row, number=next(numbers))


def _evidence(book: Book, material: str, keel: str, stage: str) -> tuple[str, ...]:
    found = list(_EVIDENCE.get(material, {}).get(stage, ()))
    if stage == "lifted":
        found.insert(0, "from_outside")
    if "moisture_meter" not in sheetmeasures.instruments(book) and "moisture_late" in found:
        found.remove("moisture_late")
    if stage == "prepared" and keel in walking.METAL_KEELS and "bare_soon" not in found:
        found.append("bare_soon")
    return tuple(found)


def _shots(book: Book, keel: str, stage: str) -> Iterator[Shot]:
    """Return the shots of a stage, those that cannot be had later first."""
    form = queries.form_version(book)
    known = form.particulars if form else {}
    drive, rudder = str(known.get("drive", "none")), str(known.get("rudder", "none"))
    has = {
        "": True, "keel": keel != "none", "rudder": rudder != "none", "drive": drive != "none",
        "shaft": drive == "shaft",
    }  # fmt: skip
    listed = sorted(_SHOTS[stage], key=lambda shot: not shot[1])
    return (Shot(code, now) for code, now, needs in listed if has[needs])


def _borne(book: Book, earlier: Sequence[Visit]) -> tuple[Borne, ...]:
    """Return where the slings bore last time they were noted, and the transducers on record."""
    found: list[Borne] = []
    for visit in earlier:
        pads = queries.kept(
            book, PadPosition, PadPosition.visit_id == visit.id, PadPosition.sort == "sling"
        )
        found += [Borne("sling", pad.note or "", pad.place) for pad in pads if pad.place]
        if found:
            break
    for gear in queries.kept(book, Gear, Gear.sort == "transducer"):
        if gear.place is not None:
            found.append(Borne("transducer", gear.name, gear.place))
    return tuple(found)


class _Asked:
    """Makes the rows of a stage; their numbers come later."""

    def __init__(
        self, book: Book, visit: Visit | None, earlier: Sequence[Visit], zones: Sequence[SheetZone]
    ) -> None:
        self.book, self.visit, self.zones = book, visit, zones
        self.last = next(iter(earlier), None)
        form, shape = form_of(book), form_of(book, Edge(visit.id) if visit else None)
        # Without her shape there is no rule to measure along.
        self.bore = last_bore(book, form, earlier) if form else None
        self.visit_id = visit.id if visit else ""
        self.seen = walking.seen_before(book, self.visit_id)
        self.begun = {one.id: one.begins for one in queries.visits(book)}
        self.boat = walking.boat_of(book)
        self.instruments = sheetmeasures.instruments(book)
        self.dry = {
            zone.id
            for zone, version in queries.zones_at(book, self.visit_id or None)
            if walking.lies_dry(shape, zone.code, version.outline)
        }

    def rows(self, stage: str) -> Iterator[Row]:
        """Return the rows of a stage: its time first, then what it asks."""
        yield Row(0, "stage", stage, (Box("at"),), stage)
        made = {
            "lifted": self._lifted,
            "washed": self._washed,
            "opened_up": self._opened_up,
            "prepared": self._prepared,
            "coated": self._coated,
            "ready": self._ready,
            "relaunched": self._relaunched,
        }.get(stage)
        if made is not None:
            yield from made()

    def _lifted(self) -> Iterator[Row]:
        for field, unit in (("lift_weight", "t"), ("scum_line", "mm")):
            last = getattr(self.last, field) if self.last else None
            yield Row(0, "visit", "lifted", (Box(field, unit=unit, last=last),), field)
        yield from self._bore("lifted", "sling")
        yield from self._zones("lifted", "before_wash")

    def _washed(self) -> Iterator[Row]:
        yield from self._zones("washed", "after_wash")
        for finding in queries.kept(self.book, Finding, Finding.status == "open"):
            if finding.raised_visit_id != self.visit_id:
                box = Box("seen", letters=SEEN_KEYS, family="finding_seen")
                subject = finding.title
                yield Row(0, "finding", "washed", (box,), finding.id, subject, finding.number)

    def _zones(self, stage: str, code: str) -> Iterator[Row]:
        """Yield a row for each zone of a walk, where such a boat has that walk."""
        plan = next((one for one in walking.plans(*self.boat) if one.code == code), None)
        if plan is None:
            return
        for zone in self.zones:
            wanted = self._wanted(zone, plan)
            if not wanted:
                continue
            boxes = [box for kind in wanted for box in self._figures(zone, kind, code)]
            boxes.append(Box(UNSEEN, letters=HIDDEN_KEYS, family="hidden_by"))
            yield Row(
                0, "zone", stage, tuple(boxes), zone.zone_id, zone.name, zone.number, code, wanted
            )

    def _wanted(self, zone: SheetZone, plan: WalkPlan) -> tuple[str, ...]:
        """Return what is asked of a zone: what a walk looks for there."""
        dry = zone.zone_id in self.dry
        return tuple(
            kind
            for kind in plan.looked_for
            if walking.applies(kind, zone.code, *self.boat, dry=dry)
        )

    def _figures(self, zone: SheetZone, kind: str, plan: str) -> Iterator[Box]:
        for part in kinds.require(kind).components:
            if part.optional and part.code not in WRITTEN:
                continue
            figure, since = self._last(zone, kind, part.code, plan)
            letters = {code: code for code in part.grades} if part.sort == "grade" else None
            yield Box(part.code, kind, part.unit or "", figure, since, letters)

    def _last(
        self, zone: SheetZone, kind: str, component: str, plan: str
    ) -> tuple[Figure | None, PartialDate | None]:
        """Return the figure of the newest look that tells of a kind, dated where it is older."""
        for look in self.seen.get(zone.zone_id, ()):
            figure = _figure(look, kind, component)
            if figure is not None:
                older = self.last is None or look.visit_id != self.last.id
                return figure, self.begun.get(look.visit_id) if older else None
        return None, None

    def _bore(self, stage: str, *rows: str) -> Iterator[Row]:
        """Ask where something bears on her, metres from the stem, one box each."""
        if self.bore is None:
            return
        for row in rows:
            known = (*self.bore.get(row, ()), *([None] * BORE_BOXES))[:BORE_BOXES]
            boxes = (Box(f"bore_{n}", unit="m", last=last) for n, last in enumerate(known, 1))
            yield Row(0, "bore", stage, tuple(boxes), row)

    def _opened_up(self) -> Iterator[Row]:
        yield from self._zones("opened_up", "sounded")
        yield from self._readings("opened_up")
        yield from self._bore("opened_up", "pad_port", "pad_starboard", "block")
        for row in bench(self.book, self.visit_id):
            boxes = (
                Box("mass", unit="kg", last=row.mass_new),
                Box("left", letters=EYE_KEYS, family="haul_out.eye"),
                Box("contact", letters=CONTACT_KEYS, family="contact"),
                Box("renewed", letters=YES_KEYS, family="word"),
                Box("mass_new", unit="kg"),
            )
            yield Row(0, "anode", "opened_up", boxes, row.position_id, row.name)
        for gear in queries.kept(self.book, Gear):
            yield self._fitting(gear)

    def _fitting(self, gear: Gear) -> Row:
        """Return the row of a fitting: how it was found, its figures and how taken, words."""
        checks = queries.kept(self.book, GearCheck, GearCheck.gear_id == gear.id)
        past = [one for one in checks if one.visit_id != self.visit_id]
        figures = {set_.kind: figures_of(set_) for one in past for set_ in one.sets}
        boxes = [Box("result", letters=sheetmeasures.RESULT_KEYS, family="result")]
        for kind in sheetmeasures.of_fitting(gear.sort):
            for part in sheetmeasures.figures(kind):
                grades = sheetmeasures.letters(part.grades) if part.sort == "grade" else None
                family = f"grade.{kind}" if grades else ""
                last = figures.get(kind, {}).get(part.code)
                boxes.append(Box(part.code, kind, part.unit or "", last, None, grades, family))
            boxes += (
                self._hows(kind, {})
                if any(c.needed for c in kinds.require(kind).conditions)
                else ()
            )
        words = [one.text for one in past if one.text]
        boxes.append(Box("text", last=words[-1] if words else None))
        return Row(0, "gear", "opened_up", tuple(boxes), gear.id, gear.name)

    def _hows(self, kind: str, last: Mapping[str, Any]) -> list[Box]:
        return [
            Box(code, last=last.get(code), letters=keys, family=f"condition.{code}")
            for code, keys in sheetmeasures.hows(kind)
        ]

    def _prepared(self) -> Iterator[Row]:
        if any(plan.code == "second_sweep" for plan in walking.plans(*self.boat)):
            boxes = tuple(self._hows(walking.BLISTERS, {}))
            yield Row(0, "how", "prepared", boxes, "second_sweep", walking.BLISTERS)
        yield from self._zones("prepared", "second_sweep")
        yield from self._readings("prepared")

    def _readings(self, stage: str) -> Iterator[Row]:
        """Yield how a kind is taken, then a row for each zone that has it."""
        for kind in sheetmeasures.TAKEN.get(stage, ()):
            zones = [zone for zone in self.zones if walking.applies(kind, zone.code, *self.boat)]
            if not zones or not self._wants(kind):
                continue
            held = self.instruments.get(sheetmeasures.WITH.get(kind, ""), [])
            instrument = held[0] if len(held) == 1 else None
            yield Row(0, "how", stage, tuple(self._hows(kind, {})), f"{kind}.{stage}", kind)
            for zone in zones:
                boxes = tuple(
                    Box(part.code, kind, part.unit or "", *self._last(zone, kind, part.code, ""))
                    for part in sheetmeasures.figures(kind)
                )
                yield Row(
                    0, "reading", stage, boxes, zone.zone_id, zone.name, zone.number, "", (kind,),
                    instrument,
                )  # fmt: skip

    def _wants(self, kind: str) -> bool:
        """Tell whether a kind is asked: its instrument is there, and for wood one sort of figure.

        Percents by a table are asked of an owner who has taken them before.
        """
        if not sheetmeasures.asked_for(kind, self.instruments):
            return False
        if self.boat[0] != "wood" or kind not in ("moisture", "timber-moisture"):
            return True
        by_table = any(
            "timber-moisture" in look.figures for looks in self.seen.values() for look in looks
        )
        return by_table == (kind == "timber-moisture")

    def _coated(self) -> Iterator[Row]:
        boxes = (
            Box("product"), Box("litres", unit="L"), Box("coats"), Box("at"),
            Box("air", unit="degC"), Box("hull", unit="degC"), Box("humidity", unit="percent"),
        )  # fmt: skip
        for number in range(1, PAINT_ROWS + 1):
            yield Row(0, "paint", "coated", boxes, str(number))

    def _ready(self) -> Iterator[Row]:
        yield from self._readings("ready")
        plan = next(one for one in walking.plans(*self.boat) if one.code == "as_left")
        boxes = (
            Box(CLEAR, letters={"clear": "0"}, family="sheet"),
            Box(UNSEEN, letters=HIDDEN_KEYS, family="hidden_by"),
        )
        for zone in self.zones:
            wanted = self._wanted(zone, plan)
            yield Row(
                0, "zone", "ready", boxes, zone.zone_id, zone.name, zone.number, plan.code, wanted
            )

    def _relaunched(self) -> Iterator[Row]:
        for number in range(1, NOTE_ROWS + 1):
            yield Row(0, "note", "relaunched", (Box("text"),), str(number))


def _figure(look: Seen, kind: str, component: str) -> Figure | None:
    """Return what a look says of a component: its figure, or what stands for none found."""
    if kind in look.figures:
        return look.figures[kind].get(component)
    if look.result == "nothing_found" and kind in look.looked_for:
        return kinds.nothing(kind).get(component)
    return None

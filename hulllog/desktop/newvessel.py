"""A new vessel from a few questions; all else is assumed by type, and shown as assumed.

Name, type and material, keel, length, beam, draught: from these her form is drawn at once.
"""

from __future__ import annotations

import re
import unicodedata
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QWidget

from hulllog.desktop.choice import Choice, KeyedButton, Option
from hulllog.desktop.fields import TextField, refuse_named
from hulllog.desktop.inputs import ENTER
from hulllog.desktop.layout import Card, boxed, column, line
from hulllog.desktop.numbers import NumberField
from hulllog.desktop.sceneview import SceneView
from hulllog.desktop.sheets import Sheet
from hulllog.desktop.theme import step
from hulllog.drawing import font
from hulllog.drawing.hullparts import ZoneDrawing
from hulllog.drawing.hullviews import hull_scene
from hulllog.drawing.scene import Scene, Text
from hulllog.hull.form import HullForm
from hulllog.hull.particulars import KEELS, KINDS, MATERIALS, ParticularsError, assume
from hulllog.hull.zones import default_zones
from hulllog.records.errors import RecordsError
from hulllog.records.logbook import Logbook
from hulllog.records.operations.ownviews import create_vessel_without_form
from hulllog.records.operations.typed import measured
from hulllog.records.operations.vessel import create_vessel, zone_name
from hulllog.trade.refusal import Refusal
from hulllog.words import say

if TYPE_CHECKING:
    from pathlib import Path

    from PySide6.QtGui import QKeyEvent

    from hulllog.desktop.fields import Field
    from hulllog.desktop.window import Window

_WIDTH, _HEIGHT = 920, 680
_UNITS = ("m", "ft")
_KEEL_OF_KIND = {"yacht": "fin", "motor": "long"}
"""The keel that stands there until one is chosen; none for the other types.  Our own rule."""
_UNSAFE = re.compile(r"[^\w-]+")


class NewVessel(Sheet):
    """Asks the six questions, makes the logbook on the shelf and opens it."""

    def __init__(self, window: Window) -> None:
        super().__init__(
            window,
            say("desktop.new_vessel.title"),
            under=say("desktop.new_vessel.under"),
            accept_text=say("desktop.new_vessel.make"),
            on_accept=self._make,
            width=_WIDTH,
        )
        self._window = window
        self.questions = Questions()
        self.add(self.questions)
        self.resize(_WIDTH, _HEIGHT)

    def ask(self) -> NewVessel:
        """Show the questions."""
        self.open()
        self.questions.name.entry.setFocus()
        return self

    def _make(self) -> bool:
        """Make the logbook in the background; the sheet closes when it is there."""
        answers = self.questions.answers()
        shelf = self._window.state.preferences.shelf
        self._window.state.tasks.write(
            lambda _progress: make_logbook(shelf, answers), self._made, self._refused, owner=self
        )
        return False

    def _made(self, folder: Path) -> None:
        self.accept()
        self._window.open_logbook(folder)

    def _refused(self, problem: BaseException) -> None:
        if (named := refuse_named(self.questions.fields, problem)) is not None:
            named.entry.setFocus()
        else:
            self.tell(problem)


class Questions(QWidget):
    """The questions, and her drawing as far as they are answered."""

    def __init__(self) -> None:
        super().__init__()
        self.name = TextField(say("vessel.name"))
        self.kind = _choice("vessel.kind", "hull_kind", KINDS)
        self.material = _choice("vessel.material", "material", MATERIALS)
        self.keel = _choice("vessel.keel", "keel", KEELS)
        self.drawn_by = _choice("vessel.drawn_by", "drawn_by", ("measures", "own"))
        self.measures = {
            field: NumberField(say(f"vessel.{field}"), _UNITS, check=self._nothing, label_width=0)
            for field in ("length", "beam", "draught")
        }
        self.view = SceneView(say("desktop.new_vessel.drawing"), zoomable=False)
        self.view.setMinimumHeight(190)
        self.view.setFocusPolicy(Qt.FocusPolicy.NoFocus)  # it only shows what is asked above it
        self.view.draw_by(self._draw)
        self.kind.show_value(KINDS[0])
        self.material.show_value(MATERIALS[0])
        self.drawn_by.show_value("measures")
        self._keel_chosen = False
        self._follow(KINDS[0])
        self._listen()
        self._sizes = boxed(line(*self.measures.values(), space=4))
        box = column(self.name, self.kind, self.material, self.drawn_by, self.keel, space=2)
        box.addWidget(self._sizes)
        box.addSpacing(step(1))
        box.addWidget(Card(quiet=True, margin=2).add(self.view), 1)
        self.setLayout(box)

    @property
    def fields(self) -> dict[str, Field]:
        """The fields by the name that a refusal gives."""
        return {"name": self.name, **self.measures}

    @property
    def by_hand(self) -> bool:
        """Whether her owner draws her, so that no keel and no measures are asked for."""
        return self.drawn_by.value == "own"

    def _choose_way(self, _code: str) -> None:
        for asked in (self.keel, self._sizes):
            asked.setVisible(not self.by_hand)
        self.view.remake()

    def answers(self) -> dict[str, Any]:
        """Return what was answered, as the operation takes it."""
        about = {
            "name": self.name.typed(),
            "kind": self.kind.value,
            "material": self.material.value,
        }
        if self.by_hand:
            return about
        return {
            **about,
            "keel": self.keel.value,
            **{name: field.typed() for name, field in self.measures.items()},
        }

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Let Enter choose in a row what the arrows went to, and go on."""
        focus = self.window().focusWidget()
        plain = event.modifiers() in (
            Qt.KeyboardModifier.NoModifier, Qt.KeyboardModifier.KeypadModifier,
        )  # fmt: skip
        if event.key() not in ENTER or not plain or not isinstance(focus, KeyedButton):
            super().keyPressEvent(event)
            return
        if not focus.isChecked():
            focus.click()
        self.focusNextPrevChild(True)
        # Who is content with the form of her measures goes by the question who draws her.
        now = self.window().focusWidget()
        if focus not in self.drawn_by.buttons and now in self.drawn_by.buttons:
            self.focusNextPrevChild(True)

    def _follow(self, kind: str) -> None:
        """Show the keel of a type, until a person chose one."""
        if not self._keel_chosen:
            self.keel.show_value(_KEEL_OF_KIND.get(kind, "none"))

    def _choose_keel(self, _code: str) -> None:
        self._keel_chosen = True

    def _listen(self) -> None:
        self.kind.chosen.connect(self._follow)
        self.drawn_by.chosen.connect(self._choose_way)
        self.keel.chosen.connect(self._choose_keel)
        for choice in (self.kind, self.material, self.keel):
            choice.chosen.connect(lambda _code: self.view.remake())
        for field in self.measures.values():
            field.touched.connect(self.view.remake)

    def _draw(self, width: float, height: float) -> Scene:
        form = None if self.by_hand else self._form()
        if form is None:
            not_yet, own = say("desktop.new_vessel.not_yet"), say("desktop.new_vessel.own_under")
            told = own if self.by_hand else not_yet
            lines = font.wrap(told, width - 8, font.BODY)
            top = height / 2 - 2.5 * (len(lines) - 1)
            words = tuple(
                Text(width / 2, top + 5 * n, said, font.BODY, "middle", "muted")
                for n, said in enumerate(lines)
            )
            return Scene(width, height, words, told)
        zones = [
            ZoneDrawing(outline.code, outline, zone_name(outline.code), "not_rated")
            for outline in default_zones(form)
        ]
        return hull_scene(form, "port", zones=zones, width=width, height=height).scene

    def _form(self) -> HullForm | None:
        try:
            sizes = [
                measured(self.measures[name].typed() or ("", "m"), "m", name).si
                for name in ("length", "beam", "draught")
            ]
            answers = (str(self.kind.value), str(self.material.value), str(self.keel.value))
            particulars, _assumed = assume(*answers, *sizes)
        except (RecordsError, Refusal, ParticularsError):
            return None
        return HullForm.build(particulars)

    @staticmethod
    def _nothing(_typed: object) -> None:
        """Leave the check to the operation, which sees all answers."""


def _choice(label: str, family: str, codes: tuple[str, ...]) -> Choice:
    options = [Option(code, say(f"{family}.{code}")) for code in codes]
    return Choice(say(label), options)


def make_logbook(shelf: Path, answers: dict[str, Any]) -> Path:
    """Make a logbook on the shelf from the six answers; a refused one leaves no folder behind."""
    folder = free_folder(shelf, str(answers["name"]))
    try:
        with Logbook.create(folder) as logbook:
            make = create_vessel if "keel" in answers else create_vessel_without_form
            make(logbook, **answers)
    except BaseException:
        remove_new(folder)
        raise
    return folder


def free_folder(shelf: Path, name: str) -> Path:
    """Return a folder on the shelf that is not there yet, named after the vessel."""
    plain = unicodedata.normalize("NFC", name).strip()
    stem = _UNSAFE.sub("-", plain).strip("-_").lower()[:60] or "vessel"
    folder, number = shelf / stem, 1
    while folder.exists():
        number += 1
        folder = shelf / f"{stem}-{number}"
    return folder


def remove_new(folder: Path) -> None:
    """Take away a logbook that was just made and holds nothing."""
    for path in sorted(folder.rglob("*"), reverse=True):
        if path.is_dir():
            path.rmdir()
        else:
            path.unlink()
    folder.rmdir()

"""The sheets of the page *Anodes*: a look, a new piece, a position, taking a piece off."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hulllog.desktop.anodes.questions import Questions
from hulllog.desktop.choice import Choice, Choices, Option
from hulllog.desktop.drafts import FieldKey
from hulllog.desktop.fields import AreaField, DateField, TextField
from hulllog.desktop.hull.storing import store
from hulllog.desktop.labels import Prose
from hulllog.desktop.layout import Caution
from hulllog.desktop.numbers import NumberField
from hulllog.drawing.telling import suits_text
from hulllog.insight.anodes import positions, suits
from hulllog.records.operations import anodes, choices
from hulllog.words import say, say_code

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from hulllog.desktop.fields import Field
    from hulllog.desktop.pages import Page
    from hulllog.insight.anodes import CheckSeen, PieceStory, PositionStory
    from hulllog.insight.occasions import Edge

_WAYS = (("weighed", "w"), ("by_eye", "e"), ("renewed", "r"), ("not_looked", "o"))
_METALS = (("zinc", "z"), ("aluminium", "a"), ("magnesium", "m"), ("unknown", "u"))
_STATES = (("found", "f"), ("left", "l"))
PARTS = (
    "shaft", "propeller", "rudder", "hull", "keel", "saildrive", "outdrive", "thruster", "seacocks",
)  # fmt: skip
"""What an anode may protect, as offered; any other code on record is shown as it stands."""


class CheckSheet(Questions):
    """Asks for a look at an anode, or corrects one."""

    def __init__(
        self,
        page: Page,
        story: PositionStory,
        piece: PieceStory,
        visit_id: str,
        at: str,
        look: CheckSeen | None = None,
    ) -> None:
        super().__init__(
            page,
            say("anodes_page.look_at", name=story.name),
            under=say("anodes_page.look_under", at=at),
            accept_text=say("anodes_page.keep_look"),
            on_accept=self._store,
        )
        self.setObjectName("anodes/look")
        self._page, self._piece, self._visit_id, self._look = page, piece, visit_id, look
        key = look.check_id if look else piece.piece_id
        self._build(f"anode_check/{key}", _mass_units(piece))
        self._show(look)

    def _build(self, record: str, units: tuple[str, ...]) -> None:
        drafts = self._page.state.drafts
        self.way = Choice(
            say("anodes_page.way"), [Option(c, say(f"anode_way.{c}"), k) for c, k in _WAYS]
        )
        self.mass = NumberField(
            say("anode.mass"),
            units,
            check=self._page.state.checker(anodes.CHECK, "mass"),
            key=FieldKey(record, "mass"),
            drafts=drafts,
            hint=say("anodes_page.mass_hint"),
        )
        self.left = Choice(
            say("anode.left"),
            [
                Option(code, say(f"anode_eye.{code}"), str(n))
                for n, code in enumerate(choices.EYE_SHARES, 1)
            ],
        )
        self.contact = Choice(
            say("anodes_page.contact"), [Option(c, say(f"contact.{c}")) for c in choices.CONTACTS]
        )
        self.painted = Choices(
            say("anodes_page.surface"), [Option("painted_over", say("anode.painted_over"), "p")]
        )
        self.state = Choice(
            say("anodes_page.state"), [Option(c, say(f"state.{c}"), k) for c, k in _STATES]
        )
        self.note = AreaField(
            say("anodes_page.note"), rows=2, key=FieldKey(record, "note"), drafts=drafts
        )
        self.way.chosen.connect(lambda _code: self._unfold())
        self.add(
            self.way, self.mass, self.left, self.contact, self.painted, self.state, self.note,
            Caution(say("anodes_page.caution"), say("anodes_page.caution_more")),
        )  # fmt: skip

    def _show(self, look: CheckSeen | None) -> None:
        self.way.show_value(look.way if look else "weighed")
        self.contact.show_value(look.contact if look else None)
        self.painted.show_value(("painted_over",) if look and look.painted_over else ())
        self.state.show_value(look.state if look else "found")
        self.state.setVisible(look is None)
        self.mass.show_measured(look.mass if look else None)
        self.note.show_value((look.note or "") if look else "")
        if look and look.way == "by_eye":
            self.left.show_value(_eye_code(look.left))
        self._unfold()

    def _unfold(self) -> None:
        """Show what the way of looking asks for."""
        self.mass.setVisible(self.way.value in ("weighed", "renewed"))
        self.left.setVisible(self.way.value == "by_eye")

    def ask(self) -> CheckSheet:
        """Show the questions, the keyboard in the first that is open."""
        self.open()
        (self.mass.entry if self.mass.isVisibleTo(self) else self.way).setFocus()
        return self

    @property
    def fields(self) -> dict[str, Field]:
        """The fields by the name that a refusal gives."""
        return {"mass": self.mass, "note": self.note}

    def _store(self) -> bool:
        way = str(self.way.value)
        typed = {
            "way": way,
            "mass": (self.mass.typed() or None) if way in ("weighed", "renewed") else None,
            "contact": self.contact.value,
            "painted_over": bool(self.painted.value),
            "note": self.note.typed(),
        }
        left = self.left.value if way == "by_eye" else None
        if self._look is None:
            store(
                self._page, self, anodes.check_anode, self._piece.piece_id, fields=self.fields,
                visit_id=self._visit_id, left=left, state=self.state.value, **typed,
            )  # fmt: skip
        else:
            if way != "by_eye":
                typed |= {"left_low": None, "left_high": None}
            store(
                self._page, self, anodes.set_check, self._look.check_id, typed,
                fields=self.fields, left=left,
            )  # fmt: skip
        return False


def _eye_code(left: tuple[float, float] | None) -> str | None:
    return next((code for code, share in choices.EYE_SHARES.items() if share == left), None)


def _mass_units(piece: PieceStory | None) -> tuple[str, ...]:
    """Return the units of a mass, the one first in which such anodes are weighed."""
    heavy = piece is not None and piece.mass_new_kg is not None and piece.mass_new_kg >= 2
    return ("kg", "g", "lb") if heavy else ("g", "kg", "lb")


class FitSheet(Questions):
    """Asks for the new anode of a position."""

    def __init__(self, page: Page, story: PositionStory, edge: Edge | None, at: str) -> None:
        super().__init__(
            page,
            say("anodes_page.fit_at", name=story.name),
            under=say("anodes_page.fit_under"),
            accept_text=say("anodes_page.fit_it"),
            on_accept=self._store,
        )
        self.setObjectName("anodes/fit")
        self._page, self._story, self._edge = page, story, edge
        self._build(at)
        self.show_drafts()
        before = story.pieces[-1] if story.pieces else None
        self.metal.show_value(before.metal if before else None)
        self.source.show_value("weighed")
        self.pattern.show_value((before.pattern or "") if before else "")
        self._tell_metal()

    def _build(self, at: str) -> None:
        state, record = self._page.state, f"anode_piece/{self._story.position_id}"
        units = _mass_units(self._story.pieces[-1] if self._story.pieces else None)

        def number(field: str, label: str, hint: str = "") -> NumberField:
            return NumberField(
                label,
                units,
                check=state.checker(anodes.PIECE, field),
                key=FieldKey(record, field),
                drafts=state.drafts,
                hint=hint,
            )

        self.metal = Choice(
            say("anodes_page.metal"), [Option(c, say(f"anode.{c}"), k) for c, k in _METALS]
        )
        self.suits = Prose("", role="muted")
        self.metal.chosen.connect(lambda _code: self._tell_metal())
        self.mass_new = number("mass_new", say("anode.mass_new"))
        self.source = Choice(
            say("anodes_page.mass_from"),
            [Option(c, say(f"mass_from.{c}")) for c in choices.MASS_FROM],
        )
        self.insert = number(
            "insert_mass", say("anodes_page.insert"), say("anodes_page.insert_hint")
        )
        self.pattern = TextField(
            say("anodes_page.pattern"),
            check=state.checker(anodes.PIECE, "pattern"),
            key=FieldKey(record, "pattern"),
            drafts=state.drafts,
        )
        hint = say("anodes_page.fitted_hint", at=at) if self._edge else ""
        self.fitted = DateField(
            say("anodes_page.fitted"),
            check=state.checker(anodes.PIECE, "fitted"),
            key=FieldKey(record, "fitted"),
            drafts=state.drafts,
            hint=hint,
        )
        self.add(
            Prose(say("anodes_page.weigh_first"), role="muted"),
            self.metal, self.suits, self.mass_new, self.source, self.insert, self.pattern,
            self.fitted, Caution(say("anodes_page.caution"), say("anodes_page.caution_more")),
        )  # fmt: skip

    def _tell_metal(self) -> None:
        metal = self.metal.value or "unknown"
        told = self._page.state.read(lambda book: suits(book, metal, self._edge))
        self.suits.setText(suits_text(told))

    def ask(self) -> FitSheet:
        """Show the questions."""
        self.open()
        self.mass_new.entry.setFocus()
        return self

    @property
    def fields(self) -> dict[str, Field]:
        """The fields by the name that a refusal gives."""
        return {
            "mass_new": self.mass_new, "insert_mass": self.insert, "pattern": self.pattern,
            "fitted": self.fitted,
        }  # fmt: skip

    def _store(self) -> bool:
        mass, fitted = self.mass_new.typed() or None, self.fitted.typed() or None
        store(
            self._page, self, anodes.fit_piece, self._story.position_id, fields=self.fields,
            metal=self.metal.value or "unknown",
            visit_id=self._edge.visit_id if self._edge and not fitted else None,
            fitted=fitted, pattern=self.pattern.typed() or None, mass_new=mass,
            mass_new_from=self.source.value if mass else "unknown",
            insert_mass=self.insert.typed() or None,
        )  # fmt: skip
        return False


class PositionSheet(Questions):
    """Asks where an anode sits and what it protects; the place is shown by a press afterwards."""

    def __init__(
        self, page: Page, done: Callable[[str], object], story: PositionStory | None = None
    ) -> None:
        super().__init__(
            page,
            say("anodes_page.edit" if story else "anodes_page.add"),
            under="" if story else say("anodes_page.add_under"),
            accept_text=say("anodes_page.keep" if story else "anodes_page.add_it"),
            on_accept=self._store,
        )
        self.setObjectName("anodes/position")
        self._page, self._done, self._story = page, done, story
        record = f"anode_position/{story.position_id}" if story else "anode_position/new"
        self.name = TextField(
            say("anodes_page.name"),
            check=page.state.checker(anodes.POSITION, "name"),
            key=FieldKey(record, "name"),
            drafts=page.state.drafts,
            hint=say("anodes_page.name_hint"),
        )
        known = [*PARTS, *(code for code in (story.protects if story else ()) if code not in PARTS)]
        self.protects = Choices(
            say("anode.protects"), [Option(code, say_code("protected", code)) for code in known]
        )
        others = [
            one for one in page.state.read(positions) if story is None or one.name != story.name
        ]
        self.mirror = Choice(
            say("anodes_page.mirror"),
            [Option("", say("anodes_page.no_mirror"))]
            + [Option(one.position_id, one.name) for one in others],
        )
        self.limit = NumberField(
            say("anodes_page.own_limit"),
            ("percent",),
            check=page.state.checker(anodes.OWN_LIMIT, "limit"),
            key=FieldKey(record, "limit"),
            drafts=page.state.drafts,
            hint=say("anodes_page.own_limit_hint"),
        )
        self.limit_by = TextField(
            say("anodes_page.own_limit_by"),
            key=FieldKey(record, "limit_by"),
            drafts=page.state.drafts,
        )
        self.add(self.name, self.protects, self.mirror, self.limit, self.limit_by)
        if not others:
            self.mirror.hide()
        self.name.show_value(story.name if story else "")
        self.protects.show_value(story.protects if story else ())
        self.mirror.show_value((story.mirror_id or "") if story else "")
        own = story.limit if story is not None and story.limit.own else None
        self.limit.show_measured(own.typed if own else None)
        self.limit_by.show_value((own.set_by or "") if own else "")

    def ask(self) -> PositionSheet:
        """Show the questions."""
        self.open()
        self.name.entry.setFocus()
        return self

    @property
    def fields(self) -> dict[str, Field]:
        """The fields by the name that a refusal gives."""
        return {"name": self.name, "limit": self.limit, "limit_by": self.limit_by}

    def _store(self) -> bool:
        typed = {
            "name": self.name.typed(),
            "protects": self.protects.value,
            "mirror_id": self.mirror.value or None,
            "limit": self.limit.typed() or None,
            "limit_by": self.limit_by.typed() or None,
        }
        if self._story is None:
            store(
                self._page, self, anodes.add_position, fields=self.fields, then=self._done,
                **typed,
            )  # fmt: skip
        else:
            store(
                self._page, self, anodes.edit_position, self._story.position_id,
                fields=self.fields, **typed,
            )  # fmt: skip
        return False


class MoveSheet(Questions):
    """Asks which piece from another position is fitted here."""

    def __init__(
        self,
        page: Page,
        story: PositionStory,
        offered: Sequence[tuple[str, str]],
        edge: Edge | None,
        at: str,
    ) -> None:
        super().__init__(
            page,
            say("anodes_page.move_at", name=story.name),
            under=say("anodes_page.move_under"),
            accept_text=say("anodes_page.move_it"),
            on_accept=self._store,
        )
        self.setObjectName("anodes/move")
        self._page, self._story, self._edge = page, story, edge
        self.piece = Choice(
            say("anodes_page.move_which"), [Option(key, told) for key, told in offered]
        )
        self.piece.show_value(offered[0][0])
        self.fitted = DateField(
            say("anodes_page.fitted"),
            hint=say("anodes_page.fitted_hint", at=at) if edge else "",
        )
        self.add(
            self.piece, self.fitted,
            Caution(say("anodes_page.caution"), say("anodes_page.caution_more")),
        )  # fmt: skip

    def ask(self) -> MoveSheet:
        """Show the questions."""
        self.open()
        self.piece.setFocus()
        return self

    def _store(self) -> bool:
        fitted = self.fitted.typed() or None
        store(
            self._page, self, anodes.move_piece, self.piece.value, self._story.position_id,
            fields={"fitted": self.fitted}, fitted=fitted,
            visit_id=self._edge.visit_id if self._edge and not fitted else None,
        )  # fmt: skip
        return False


class TakeOffSheet(Questions):
    """Asks when an anode came off without another in its place."""

    def __init__(self, page: Page, story: PositionStory, edge: Edge | None, at: str) -> None:
        super().__init__(
            page,
            say("anodes_page.take_off_at", name=story.name),
            under=say("anodes_page.take_off_under"),
            accept_text=say("anodes_page.take_it_off"),
            on_accept=self._store,
        )
        self.setObjectName("anodes/take_off")
        self._page, self._story, self._edge = page, story, edge
        self.removed = DateField(
            say("anodes_page.removed"),
            hint=say("anodes_page.fitted_hint", at=at) if edge else "",
        )
        self.add(self.removed)

    def ask(self) -> TakeOffSheet:
        """Show the question."""
        self.open()
        self.removed.entry.setFocus()
        return self

    def _store(self) -> bool:
        present, removed = self._story.present, self.removed.typed() or None
        assert present is not None
        store(
            self._page, self, anodes.remove_piece, present.piece_id,
            fields={"removed": self.removed}, removed=removed,
            visit_id=self._edge.visit_id if self._edge and not removed else None,
        )  # fmt: skip
        return False

"""Something found in a zone: which kind, its card, and what must happen."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from hulllog.desktop.buttons import button
from hulllog.desktop.cards.entry import CardEntry
from hulllog.desktop.choice import Option
from hulllog.desktop.drafts import FieldKey
from hulllog.desktop.fields import TextField
from hulllog.desktop.haul_out.answers import (
    MORE,
    MUST_KEYS,
    NO_FINDING,
    SEVERITY_KEYS,
    SORT_OF_KIND,
    BigRow,
)
from hulllog.desktop.haul_out.section import focus_on
from hulllog.desktop.haul_out.turning import Turning
from hulllog.desktop.labels import Prose
from hulllog.desktop.layout import Caution, column, line
from hulllog.desktop.theme import BODY
from hulllog.records.operations.measuring import Rated
from hulllog.records.operations.typed import NAME_LIMIT
from hulllog.records.operations.walking import Found, Matter, declared
from hulllog.words import say
from hulllog.words.telling import kind_name

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from typing import Any

    from hulllog.desktop.fields import Field
    from hulllog.desktop.state import State
    from hulllog.insight.walking import Stop
    from hulllog.records.operations.walking import Part

WORDS = "words"
_DIGITS = "123456789"


class FoundPanel(QWidget):
    """Asks what was found; one thing at a time.  ``answered`` brings a Found; ``back`` gives up."""

    answered = Signal(object)
    back = Signal()

    def __init__(self, state: State) -> None:
        super().__init__()
        self.state = state
        self._stop: Stop | None = None
        self._part: Part | None = None
        self._conditions: Mapping[str, Any] = {}
        self._ratings: list[Rated] = []
        self.entry: CardEntry | None = None
        self._kinds = _Holder()
        self._card = _Holder()
        self._must = MustPanel(state, "")
        self.stack = Turning()
        for part in (self._kinds, self._card, self._must):
            self.stack.addWidget(part)
        self.setLayout(column(self.stack))

    # What the walk calls

    def begin(
        self,
        stop: Stop,
        offered: Sequence[str],
        conditions: Mapping[str, Any],
        part: Part | None = None,
    ) -> None:
        """Ask what was found at a stop; ``offered`` are all kinds that may be rated there."""
        self._stop, self._part, self._conditions = stop, part, conditions
        self._offered = tuple(dict.fromkeys([*stop.looked_for, *offered]))
        self._ratings = []
        self._renew_must(f"walk:{stop.zone_id}")
        if len(stop.looked_for) == 1:
            self._choose_kind(stop.looked_for[0])
        else:
            self._ask_kind()

    @property
    def fields(self) -> dict[str, Field]:
        """The fields by the name that a refusal gives."""
        figures = self.entry.fields if self.entry is not None else {}
        return {**figures, "title": self._must.title, "note": self._must.note}

    def press(self, key: str) -> bool:
        """Take a key that no field took."""
        here = self.stack.currentWidget()
        if here is self._must:
            return self._must.press(key)
        if here is self._card and self.entry is not None and self.entry.press(key):
            return True
        return isinstance(here, _Holder) and here.press(key)

    def show_refused(self, field: str) -> None:
        """Go back to the card where what was refused stands there."""
        if self.entry is not None and field in self.entry.fields:
            self.stack.setCurrentWidget(self._card)
            focus_on(self.entry.fields[field].entry)

    # Steps

    def _ask_kind(self) -> None:
        options = [
            Option(kind, kind_name(kind), key)
            for kind, key in zip(self._offered, _DIGITS, strict=False)
        ]
        options.append(Option(WORDS, say("haul_out.found.words"), "w"))
        options.append(Option("back", say("haul_out.answer.back"), "b"))
        row = BigRow(say("haul_out.found.kind"), options)
        row.chosen.connect(self._kind_chosen)
        self._kinds.hold(row)
        self.stack.setCurrentWidget(self._kinds)
        focus_on(row)

    def _kind_chosen(self, code: str) -> None:
        if code == "back":
            self.back.emit()
        elif code == WORDS:
            self.tell_in_words()
        else:
            self._choose_kind(code)

    def tell_in_words(self) -> None:
        """Ask at once for a finding without a rating."""
        self.entry = None
        self._ask_must("other", say("haul_out.found.something"))
        focus_on(self._must.note.entry)

    def _choose_kind(self, kind: str) -> None:
        zone = self._stop.zone_id if self._stop else ""
        self.entry = CardEntry(kind, drafts=self.state.drafts, record=f"walk:{zone}")
        self.entry.done.connect(self._card_done)
        parts: list[QWidget] = [Prose(kind_name(kind), BODY, bold=True)]
        if kind == "laminate-blisters":
            parts.append(Caution(say("haul_out.caution.blister")))
        go_on = button(say("do.next"), self._card_done, primary=True)
        give_up = button(say("do.back"), self._ask_kind_or_leave)
        parts += [self.entry, _row(give_up, go_on)]
        self._card.hold(*parts)
        self.entry.show_figures({})
        self.stack.setCurrentWidget(self._card)
        self.entry.start()

    def _ask_kind_or_leave(self) -> None:
        if self._stop is not None and len(self._stop.looked_for) == 1:
            self.back.emit()
        else:
            self._ask_kind()

    def _card_done(self) -> None:
        if self.entry is None:
            return
        if not all(field.commit() for field in self.entry.fields.values()):
            return
        self._ask_must(SORT_OF_KIND.get(self.entry.kind, "other"), kind_name(self.entry.kind))

    def _ask_must(self, sort: str, what: str) -> None:
        zone = self._stop.name if self._stop else ""
        title = _title(what, zone)
        known = self._stop.findings if self._stop else ()
        self._must.begin(title, sort, [(one.finding_id, one.number, one.title) for one in known])
        self.stack.setCurrentWidget(self._must)
        self._must.start()

    def _finish(self, matter: Matter | None) -> None:
        words, zone = self._must.note.typed(), self._stop.name if self._stop else ""
        nameless = _title(say("haul_out.found.something"), zone)
        if matter is not None and words and matter.title == nameless:
            matter = replace(matter, title=_title(words, zone))
        ratings = tuple(self._all_ratings())
        note = self._must.note.typed() or None
        self.answered.emit(Found(ratings=ratings, note=note, matter=matter, part=self._part))

    def _all_ratings(self) -> list[Rated]:
        if self.entry is None:
            return self._ratings
        kind = self.entry.kind
        rated = Rated(kind, self.entry.figures(), declared(kind, self._conditions))
        return [*self._ratings, rated]

    def _back_from_must(self) -> None:
        """Go back to the card as it was filled in, or to the kinds where there is none."""
        if self.entry is None:
            self._ask_kind()
            return
        self.stack.setCurrentWidget(self._card)
        self.entry.start()

    def _another(self) -> None:
        """Keep the rating of this card and ask for another kind."""
        self._ratings = self._all_ratings()
        if self.entry is not None:
            self.entry.clear()
        self.entry = None
        self._ask_kind()

    def _renew_must(self, record: str) -> None:
        self.stack.removeWidget(self._must)
        self._must.deleteLater()
        self._must = MustPanel(self.state, record)
        self._must.chosen.connect(self._finish)
        self._must.more.connect(self._another)
        self._must.back.connect(self._back_from_must)
        self.stack.addWidget(self._must)


class MustPanel(QWidget):
    """What must happen: four keys, a known finding, or no finding at all.

    ``chosen`` brings a Matter or None.
    """

    chosen = Signal(object)
    more = Signal()
    back = Signal()

    def __init__(self, state: State, record: str) -> None:
        super().__init__()
        self._sort = "other"
        self._known: dict[str, str] = {}
        self.title = TextField(say("finding.title"))
        self.note = TextField(
            say("haul_out.found.note"), key=FieldKey(record, "note"), drafts=state.drafts
        )
        self.note.show_value("")
        self.severity = BigRow(
            say("finding.severity"),
            [Option(code, say(f"severity.{code}"), key) for code, key in SEVERITY_KEYS.items()],
            stays=True,
        )
        self._rows = column(space=3)
        self.must: BigRow | None = None
        box = column(self.title, self.note, self.severity, space=4)
        box.addLayout(self._rows)
        box.addStretch(1)
        self.setLayout(box)

    def begin(self, title: str, sort: str, known: Sequence[tuple[str, int, str]]) -> None:
        """Ask anew: a title is proposed, findings that are known in this zone are offered."""
        self._sort = sort
        self.title.show_value(title)
        self.severity.show_value("slight")
        self._known = {f"known:{key}": key for key, _, _ in known}
        options = [Option(code, say(f"must.{code}"), key) for code, key in MUST_KEYS.items()]
        options += [
            Option(f"known:{key}", say("haul_out.found.known", number=number, title=text), digit)
            for (key, number, text), digit in zip(known, "456789", strict=False)
        ]
        options.append(Option(NO_FINDING, say("haul_out.found.no_finding"), "x"))
        options.append(Option(MORE, say("haul_out.found.more"), "m"))
        options.append(Option("back", say("haul_out.answer.back"), "k"))
        if self.must is not None:
            self.must.setParent(None)
            self.must.deleteLater()
        self.must = BigRow(say("haul_out.found.must"), options)
        self.must.chosen.connect(self._choose)
        self._rows.addWidget(self.must)

    def start(self) -> None:
        """Put the keyboard on the question."""
        if self.must is None:
            return
        # A finding that is known here comes first: Enter must not raise the same one again.
        known = [one for one in self.must.buttons if one.option.code in self._known]
        focus_on(known[0] if known else self.must)

    def press(self, key: str) -> bool:
        """Take a key that no row took: a severity, or what must happen."""
        return self.severity.press(key) or (self.must is not None and self.must.press(key))

    def _choose(self, code: str) -> None:
        if code == MORE:
            self.more.emit()
        elif code == "back":
            self.back.emit()
        elif code == NO_FINDING:
            self.chosen.emit(None)
        elif code in self._known:
            self.chosen.emit(Matter(known_id=self._known[code]))
        else:
            self.chosen.emit(
                Matter(
                    title=self.title.typed(),
                    sort=self._sort,
                    must=code,
                    severity=self.severity.value or "slight",
                )
            )


class _Holder(QWidget):
    """Holds what is asked now."""

    def __init__(self) -> None:
        super().__init__()
        self._box = column(space=3)
        self._held: list[QWidget] = []
        self.setLayout(self._box)

    def hold(self, *widgets: QWidget) -> None:
        """Show these widgets in place of those before."""
        while self._box.count():
            item = self._box.takeAt(0)
            if item is not None and (widget := item.widget()) is not None:
                widget.hide()
                widget.deleteLater()
        for widget in widgets:
            self._box.addWidget(widget)
        self._box.addStretch(1)
        self._held = list(widgets)

    def press(self, key: str) -> bool:
        """Hand a key to the row that is held."""
        return any(isinstance(one, BigRow) and one.press(key) for one in self._held)


def _title(what: str, zone: str) -> str:
    """Return what a finding is called, no longer than may be kept."""
    title = say("haul_out.found.title", what=what, zone=zone)
    return title if len(title) <= NAME_LIMIT else title[: NAME_LIMIT - 1] + "…"


def _row(*widgets: QWidget) -> QWidget:
    made = QWidget()
    made.setLayout(line(None, *widgets))
    return made

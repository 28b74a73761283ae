"""Choices of a form that is stored later: what was chosen is kept as a draft like typed text."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hulllog.desktop.choice import Choice, Option
from hulllog.desktop.haul_out.lasttime import LAST_KEY
from hulllog.words import say, say_code

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from hulllog.desktop.drafts import Drafts, FieldKey


class KeptChoice(Choice):
    """A row whose choice survives a kill, and that may offer what was so last time."""

    def __init__(
        self,
        text: str,
        options: Sequence[Option],
        *,
        key: FieldKey,
        drafts: Drafts,
        label_width: int = 128,
    ) -> None:
        super().__init__(text, options, label_width=label_width)
        self._key, self._drafts = key, drafts
        self._last: str | None = None
        self.chosen.connect(self._keep)
        draft = drafts.get(key.record, key.field)
        if draft and any(option.code == draft for option in options):
            self.show_value(draft)

    def offer(self, code: str | None) -> None:
        """Offer what was so last time: "=" takes it."""
        self._last = code
        for made in self.buttons:
            if made.option.code == code:
                made.setAccessibleDescription(
                    say("haul_out.as_last_time_is", value=made.option.said)
                )

    def press(self, key: str) -> bool:
        """Choose by key; "=" chooses what was so last time."""
        if key == LAST_KEY and self._last is not None:
            self.choose(self._last)
            return True
        return super().press(key)

    def leave(self) -> None:
        """Go on to what comes after the row, from whichever of its buttons."""
        self.setFocus()  # at the chosen one, which is the only stop of the row
        self.focusNextPrevChild(True)

    def forget(self) -> None:
        """Show nothing chosen and drop the draft: it was stored or given up."""
        self.show_value(None)
        self._drafts.drop(self._key.record, self._key.field)

    def _keep(self, code: str) -> None:
        self._drafts.put(self._key.record, self._key.field, code)


def lettered(family: str, codes: Iterable[str], keys: Mapping[str, str]) -> list[Option]:
    """Return options of a family of codes, each with its key."""
    return [Option(code, say_code(family, code), keys.get(code, "")) for code in codes]

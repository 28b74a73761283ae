"""The files that an import left out, one sentence each, until the person puts the list away."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hulllog.desktop.buttons import button
from hulllog.desktop.labels import Prose
from hulllog.desktop.layout import Card
from hulllog.desktop.theme import BODY
from hulllog.words import say, say_n

if TYPE_CHECKING:
    from collections.abc import Sequence

MOST = 8


class LeftOut(Card):
    """A card that lists what was left out; hidden while there is nothing to list."""

    def __init__(self) -> None:
        super().__init__(say("photos.left_out_title"), margin=3)
        self.shut = button(say("do.close"), self.put_away)
        self.shut.setAccessibleName(say("photos.left_out_close"))
        self.head.addWidget(self.shut)
        self.holds = False
        """Whether there is a list that was not put away."""
        self.hide()

    def show_sentences(self, sentences: Sequence[str]) -> None:
        """List the sentences, the first ones in full and the rest by number."""
        self.clear()
        self.add(*(Prose(text, BODY) for text in sentences[:MOST]))
        if len(sentences) > MOST:
            self.add(Prose(say_n("word.more", len(sentences) - MOST), BODY, role="muted"))
        self.holds = True
        self.show()

    def put_away(self) -> None:
        """Hide the list."""
        self.holds = False
        self.hide()
        self.clear()

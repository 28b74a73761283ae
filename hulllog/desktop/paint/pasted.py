"""The text of a data sheet, pasted: what could be read is offered and taken line by line."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtWidgets import QWidget

from hulllog.desktop.buttons import button
from hulllog.desktop.fields import AreaField
from hulllog.desktop.labels import Prose
from hulllog.desktop.layout import boxed, clear, column, line
from hulllog.desktop.theme import SMALL
from hulllog.trade.datasheet import passed_over, read_sheet
from hulllog.words import formats, say, say_code

if TYPE_CHECKING:
    from collections.abc import Callable

    from hulllog.trade.datasheet import Amount, Offer


class PastedSheet(QWidget):
    """A box for the text and, once read, a row for each offer.

    ``take`` is given an offer that the owner takes and a function to call once it is kept.
    """

    def __init__(self, take: Callable[[Offer, Callable[[], object]], object]) -> None:
        super().__init__()
        self._take = take
        self.text = AreaField(
            say("paint_page.paste"), rows=4, hint=say("paint_page.paste_hint"), label_width=0
        )
        self.reading = button(say("paint_page.paste_read"), self.read)
        self._offers = column(space=2)
        box = column(self.text, space=2)
        box.addLayout(line(self.reading, None))
        box.addLayout(self._offers)
        self.setLayout(box)

    def read(self) -> None:
        """Offer what could be read; nothing of it is taken yet."""
        clear(self._offers)
        found = read_sheet(self.text.text())
        if not found:
            self._offers.addWidget(Prose(say("paint_page.paste_nothing"), role="muted"))
        for offer in found:
            self._offers.addWidget(self._row(offer))
        over = passed_over(self.text.text())
        if over:
            self._offers.addWidget(Prose(say("paint_page.paste_over"), SMALL, bold=True))
        for told in over:
            row = Prose(say("paint_page.paste_line", line=told), SMALL, role="muted")
            self._offers.addWidget(row)
        self.updateGeometry()

    def _row(self, offer: Offer) -> QWidget:
        what = offer_text(offer)
        told = boxed(
            column(
                Prose(what),
                Prose(say("paint_page.paste_line", line=offer.line), SMALL, role="muted"),
                space=0,
            )
        )
        if offer.code == "spreading_rate":
            return told
        taking = button(say("paint_page.paste_take"))
        taking.setAccessibleName(f"{say('paint_page.paste_take')}: {what}")

        def taken() -> None:
            taking.setEnabled(False)
            taking.setText(say("paint_page.paste_taken", what="✓"))
            taking.setAccessibleName(say("paint_page.paste_taken", what=what))

        taking.clicked.connect(lambda _checked: self._take(offer, taken))
        row = line(told, taking, space=2)
        row.setStretch(0, 1)
        return boxed(row)


def offer_text(offer: Offer) -> str:
    """Say what could be read."""
    if offer.code != "time":
        return say(f"paint_page.offer.{offer.code}", value=_written(offer.value))
    times = [
        say("paint_page.at_least", time=_written(offer.shortest)) if offer.shortest else "",
        say("paint_page.at_most", time=_written(offer.longest)) if offer.longest else "",
    ]
    return say(
        "paint_page.offer.time",
        step=say_code("window_step", offer.step),
        temperature=_written(offer.temperature),
        times=", ".join(one for one in times if one),
    )


def _written(amount: Amount) -> str:
    return formats.with_unit(*amount)

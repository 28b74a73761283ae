"""The pocket card: one page of paper and one file for the phone, for the shop and the yard.

Both say the same from the same parts.  The file for the phone holds no script and no link; what was
typed is text in it and nothing else.
"""

from __future__ import annotations

import io
from dataclasses import dataclass
from datetime import UTC
from html import escape
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from hulllog.drawing.palette import PAPER
from hulllog.drawing.planwords import (
    anode_text,
    copper_text,
    litres_text,
    thinner_text,
    tins_text,
    untold_text,
)
from hulllog.drawing.telling import suits_text
from hulllog.insight.pocket import Pocket, pocket
from hulllog.insight.preference import preference
from hulllog.records.errors import Refused
from hulllog.records.folder import put_whole
from hulllog.records.operations import queries
from hulllog.words import formats, language, say, say_code, say_n
from hulllog.words.formats import prefer

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import datetime
    from pathlib import Path

    from reportlab.platypus import Flowable

    from hulllog.insight.buying import PaintWanted
    from hulllog.insight.pocket import Pad
    from hulllog.records.logbook import Logbook

SIZE = "a5"
_ROWS = (16, 10, 7, 5, 4, 3, 2, 1)
"""Entries a part may have on paper, tried in turn until all stands on one page."""
_NAME, _TEXT = 60, 160
"""Characters of a name and of a text on paper; the file for the phone has all of them."""


@dataclass(frozen=True, slots=True)
class Part:
    """A part of the card: pairs of a label and a text, then lines, then a caution."""

    code: str
    title: str
    pairs: tuple[tuple[str, str], ...] = ()
    lines: tuple[str, ...] = ()
    caution: str = ""

    def cut(self, rows: int) -> Part:
        """Return the part with at most so many entries, long texts cut."""
        left = max(rows - len(self.pairs), 1)
        return Part(
            self.code,
            self.title,
            tuple((_cut(one, _NAME), _cut(text, _TEXT)) for one, text in self.pairs[:rows])
            + _more(len(self.pairs) - rows),
            tuple(_cut(line, _TEXT) for line in self.lines[:left])
            + tuple(text for _, text in _more(len(self.lines) - left)),
            self.caution,
        )


def _cut(text: str, most: int) -> str:
    return text if len(text) <= most else text[: most - 1] + "…"


def _more(count: int) -> tuple[tuple[str, str], ...]:
    return (("", say_n("pocket.more", count)),) if count > 0 else ()


@dataclass(frozen=True, slots=True)
class Card:
    """The files that were written, and the pages of the paper."""

    paper: Path
    phone: Path
    pages: int


def write_card(logbook: Logbook, path: Path) -> Card:
    """Write the card to ``path`` as PDF, and beside it as a file for the phone.

    Raises Refused ``no_vessel`` while the logbook has no boat.
    """
    now = logbook.around.now()
    with logbook.read_aside() as book:
        prefer(preference(book))
        now = now.astimezone(ZoneInfo(queries.time_zone(book)))
        found = pocket(book)
        if found is None:
            raise Refused("no_vessel")
        parts = parts_of(found)
        data, pages = _paper(found, parts, now)
        phone = path.with_suffix(".html")
        put_whole(path, data)
        put_whole(phone, _phone(found, parts, now).encode("utf-8"))
    return Card(path, phone, pages)


def parts_of(found: Pocket) -> list[Part]:
    """Return the parts of the card in words."""
    return [_to_buy(found), _anodes(found), _figures(found), _slings(found), _notes(found)]


def _to_buy(found: Pocket) -> Part:
    pairs: list[tuple[str, str]] = []
    for paint in found.buying.paints:
        pairs.append((paint.product, _amount(paint)))
        if paint.thinner is not None:
            pairs.append((say("plan.label.thinner"), thinner_text(paint.thinner)))
    lines = tuple(copper_text(one.copper) for one in found.buying.paints if one.copper)
    lines += tuple(untold_text(one) for one in found.buying.untold)
    nothing = () if pairs or lines else (say("plan.nothing_to_buy"),)
    caution = say("plan.buy_caution")
    return Part("buy", say("pocket.buy"), tuple(pairs), lines + nothing, caution)


def _amount(paint: PaintWanted) -> str:
    said = say("telling.pair", name=f"{litres_text(paint)}:", value=tins_text(paint.tins))
    return f"{said} ({formats.joined(paint.zones)})" if paint.zones else said


def _anodes(found: Pocket) -> Part:
    pairs = tuple((one.name, anode_text(one)) for one in found.buying.anodes)
    lines = [
        say("telling.pair", name=f"{one.name}:", value=suits_text(one.suits))
        for one in found.buying.anodes
        if one.suits is not None and one.suits.choice == "unsuited"
    ]
    if not pairs:
        lines.append(say("plan.no_anodes"))
    return Part("anodes", say("pocket.anodes"), pairs, tuple(lines))


def _figures(found: Pocket) -> Part:
    pairs = [(say("pocket.material"), say_code("material", found.vessel.material))]
    if found.form is not None:
        for code in ("length", "beam", "draught", "displacement"):
            value = getattr(found.form, code)
            if value is not None:
                pairs.append((say(f"particular.{code}"), formats.measured(value)))
    if found.weight is not None:
        value, when = found.weight
        said = formats.measured(value)
        pairs.append((say("pocket.weight"), f"{said}, {formats.anything(when)}" if when else said))
    if found.buying.bottom is not None:
        pairs.append((say("pocket.bottom"), formats.quantity(found.buying.bottom.value, "m2")))
    lines = () if found.form is not None else (say("pocket.no_form"),)
    return Part("figures", say("pocket.figures"), tuple(pairs), lines)


def _slings(found: Pocket) -> Part:
    lines = [_pad(one) for one in found.pads] or [say("pocket.no_slings")]
    if found.clear:
        lines.insert(0, say("pocket.keep_clear", names=formats.joined(found.clear)))
    title = say("pocket.slings")
    return Part("slings", title, (), tuple(lines), say("pocket.hangs"))


def _pad(pad: Pad) -> str:
    where = pad.zone or say("pocket.pad_unplaced")
    if pad.aft is not None:
        aft = formats.quantity(pad.aft, "m")
        where = say("pocket.pad_aft" if pad.zone else "pocket.pad_aft_only", aft=aft, where=where)
    sort = say_code("pad", pad.sort)
    if pad.note:
        return say("pocket.pad_noted", sort=sort, where=where, note=pad.note)
    return say("pocket.pad", sort=sort, where=where)


def _notes(found: Pocket) -> Part:
    lines = tuple(one.text for one in found.notes) or (say("pocket.no_notes"),)
    return Part("notes", say("pocket.notes"), (), lines)


def _stamp(found: Pocket) -> str:
    return say("sample.stamp") if found.vessel.sample else ""


# On paper


def _paper(found: Pocket, parts: Sequence[Part], now: datetime) -> tuple[bytes, int]:
    """Return the file and its pages; entries give way until it is one."""
    from hulllog.output.history import archive
    from hulllog.output.paper import Document, PageTexts

    title = say("pocket.title", name=_cut(found.vessel.name, _NAME))
    data, pages = b"", 0
    for rows in _ROWS:
        texts = PageTexts(
            title=title,
            author=say("app.name"),
            head_left=title,
            head_right="",
            foot_left=formats.day(now.date()),
            stamp=_stamp(found),
            language=language().replace("_", "-"),
        )
        target = io.BytesIO()
        document = Document(target, texts, SIZE)
        cut = [part.cut(rows) for part in parts]
        document.write(_story(title, now, cut, document.inner_width))
        data, pages = target.getvalue(), document.page
        if pages == 1:
            break
    return archive(data, title=title, at=now.astimezone(UTC))[0], pages


def _story(title: str, now: datetime, parts: Sequence[Part], width: float) -> list[Flowable]:
    from hulllog.output import blocks

    story: list[Flowable] = [
        blocks.paragraph(title, blocks.SECTION),
        blocks.paragraph(say("pocket.subtitle", day=formats.day(now.date())), blocks.QUIET),
    ]
    for part in parts:
        story.append(blocks.paragraph(part.title, blocks.SUBSECTION))
        if part.pairs:
            story.append(blocks.facts(part.pairs, width, 1, label=0.34))
        story += blocks.bullets(part.lines, blocks.SMALL_BULLET)
        if part.caution:
            story.append(blocks.paragraph(part.caution, blocks.SMALL_BOLD))
    return story


# On the phone

_SHEET_CSS = """
:root {{ color-scheme: light; }}
body {{ margin: 0 auto; max-width: 40rem; padding: 1rem; background: {paper}; color: {ink};
  font: 1.2rem/1.45 system-ui, sans-serif; overflow-wrap: anywhere; }}
h1 {{ font-size: 1.5rem; margin: 0 0 .2rem; }}
h2 {{ font-size: 1.25rem; margin: 1.4rem 0 .4rem; border-bottom: 3px solid {ink}; }}
dl, ul {{ margin: 0; }}
dt {{ font-weight: 700; margin-top: .6rem; }}
dd {{ margin: 0; }}
li {{ margin: .4rem 0; }}
.caution {{ border: 3px solid {ink}; padding: .5rem .7rem; font-weight: 700; }}
.stamp {{ font-weight: 700; border: 3px solid {ink}; display: inline-block; padding: 0 .5rem; }}
"""
_POLICY_SHEET = "default-src 'none'; style-src 'unsafe-inline'"


def _phone(found: Pocket, parts: Sequence[Part], now: datetime) -> str:
    title = say("pocket.title", name=found.vessel.name)
    style = _SHEET_CSS.format(paper=PAPER.colour("paper"), ink=PAPER.colour("ink"))
    stamp = _stamp(found)
    body = [
        f"<h1>{_text(title)}</h1>",
        f'<p class="stamp">{_text(stamp)}</p>' if stamp else "",
        f"<p>{_text(say('pocket.subtitle', day=formats.day(now.date())))}</p>",
        *(_section(part) for part in parts),
    ]
    return (
        f'<!doctype html>\n<html lang="{language().replace("_", "-")}">\n<head>\n'
        '<meta charset="utf-8">\n'
        f'<meta http-equiv="Content-Security-Policy" content="{_POLICY_SHEET}">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>{_text(title)}</title>\n<style>{style}</style>\n</head>\n<body>\n"
        + "\n".join(line for line in body if line)
        + "\n</body>\n</html>\n"
    )


def _section(part: Part) -> str:
    made = [f"<h2>{_text(part.title)}</h2>"]
    if part.pairs:
        rows = (f"<dt>{_text(one)}</dt><dd>{_text(text)}</dd>" for one, text in part.pairs)
        made.append(f"<dl>{''.join(rows)}</dl>")
    if part.lines:
        made.append(f"<ul>{''.join(f'<li>{_text(line)}</li>' for line in part.lines)}</ul>")
    if part.caution:
        made.append(f'<p class="caution">{_text(part.caution)}</p>')
    return "\n".join(made)


def _text(typed: str) -> str:
    return escape(typed, quote=True).replace("\n", "<br>")

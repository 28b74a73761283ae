"""The condition history: written, made fit for archives, issued.

The body keeps to a budget of pages by reader; annexes have none.  A history that is issued becomes
a record and prints the head of the journal before that record; a draft prints DRAFT and no head.
"""

from __future__ import annotations

import hashlib
import io
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

from hulllog.insight.preference import preference
from hulllog.output.annexes import annexes
from hulllog.output.body import Limits, body, tables_in_full
from hulllog.output.contents import Contents, gather
from hulllog.output.paper import Document, PageTexts
from hulllog.records.errors import Refused
from hulllog.records.folder import put_whole
from hulllog.words import formats, language, say, say_code
from hulllog.words.formats import prefer
from hulllog.words.spelling import six_words

if TYPE_CHECKING:
    from reportlab.platypus import Flowable

    from hulllog.records.logbook import Logbook

BUDGET = {"insurer": 4, "buyer": 8, "surveyor": 16}
"""Pages of the body at most, by reader."""

_STATE_PAGE, _CLOSEST = 2, 2
"""Where the page of state belongs, and how many times the first page is set closer for it."""
_ROWS = (40, 24, 14, 9, 7, 6, 5, 4, 3, 2)
"""Rows a table of the body may have, tried in turn until the body keeps its budget."""
_TRIES = (
    (_ROWS[0], False, 120),
    *((rows, True, 120) for rows in _ROWS),
    *((rows, True, length) for length in (60, 36) for rows in (5, 2)),
)
"""Rows, whether the tables are set small, letters of a name: what gives way, in turn."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Options:
    """What the history is for.  ``contact_sheet`` adds all photographs as an annex."""

    reader: str = "insurer"
    to_whom: str | None = None
    draft: bool = False
    contact_sheet: bool = False
    size: str = "a4"

    def told(self) -> dict[str, Any]:
        """Return the options as the record of issue keeps them."""
        return {"reader": self.reader, "contact_sheet": self.contact_sheet, "size": self.size}


@dataclass(frozen=True, slots=True)
class Written:
    """A history that was written.  ``archival`` tells whether it passed PDF/A validation."""

    path: Path
    pages: int
    body_pages: int
    head: str
    sha256: str
    archival: bool


def write_history(logbook: Logbook, path: Path, options: Options | None = None) -> Written:
    """Write the history to ``path`` and, unless it is a draft, enter it as issued.

    Raises Refused ``no_vessel`` while the logbook has no boat, ``unknown_reader``.
    """
    options = options or Options()
    if options.reader not in BUDGET:
        raise Refused("unknown_reader", field="reader", reader=options.reader)
    draft = options.draft or logbook.read_only is not None
    now = logbook.around.now()
    # From a copy in memory: a print takes long, and who writes meanwhile must not wait for it.
    with logbook.read_aside() as book:
        prefer(preference(book))
        contents = gather(book, now)
        if contents is None:
            raise Refused("no_vessel")
        made = _Maker(logbook, contents, options, "" if draft else book.head, now)
        data, body_pages, pages = made.bytes_in_budget()
    data, archival = archive(data, title=made.texts().title, at=now)
    put_whole(path, data)
    digest = hashlib.sha256(data).hexdigest()
    if not draft:
        from hulllog.records.operations.issuing import record_issue

        record_issue(
            logbook,
            to_whom=options.to_whom,
            reader=options.reader,
            options=options.told(),
            head=made.head,
            file_sha256=digest,
            file_name=path.name,
            issued_at=now,
        )
    return Written(path, pages, body_pages, made.head, digest, archival)


@dataclass(slots=True)
class _Maker:
    logbook: Logbook
    contents: Contents
    options: Options
    head: str
    now: datetime

    def texts(self) -> PageTexts:
        """Return what stands on every page."""
        vessel = self.contents.vessel
        title = say("report.title_of", name=vessel.name)
        if self.head:
            foot = say("report.foot", day=formats.moment(self.now), head=self.head[:12])
        else:
            foot = say("report.foot_draft", day=formats.moment(self.now))
        return PageTexts(
            title=title,
            author=formats.joined(list(self.contents.keepers) or [say("app.name")]),
            head_left=title,
            head_right=say("report.for_reader", reader=say_code("reader", self.options.reader)),
            foot_left=foot,
            stamp=self._stamp(),
            language=language().replace("_", "-"),
        )

    def _stamp(self) -> str:
        stamps = []
        if self.contents.vessel.sample:
            stamps.append(say("sample.stamp"))
        if not self.head:
            stamps.append(say("report.draft"))
        return " · ".join(stamps)

    def bytes_in_budget(self) -> tuple[bytes, int, int]:
        """Return the file, its body pages and all its pages; rows give way until it fits."""
        dense = 0
        for rows, close, length in _TRIES:
            while True:
                limits = Limits(
                    rows=rows, reader=self.options.reader, close=close, name_length=length,
                    dense=dense,
                )  # fmt: skip
                pages = self._tried(limits)
                if pages["state"] <= _STATE_PAGE or dense >= _CLOSEST:
                    break
                dense += 1
            # The body alone is soon laid out; the whole is, once that fits.
            if not self._fits(pages):
                continue
            data, pages = self._build(limits)
            if self._fits(pages):
                return data, pages["annexes"] - 1, pages["end"]
        data, pages = self._build(limits)
        return data, pages["annexes"] - 1, pages["end"]

    def _fits(self, pages: dict[str, int]) -> bool:
        return pages["annexes"] - 1 <= BUDGET[self.options.reader]

    def _tried(self, limits: Limits) -> dict[str, int]:
        """Lay the body out without its annexes, and return the pages as they fall."""
        texts = self.texts()
        document = Document(io.BytesIO(), texts, self.options.size)
        document.write(self._body(limits, texts, document.inner_width))
        return {**texts.pages, "annexes": document.page + 1}

    def _build(self, limits: Limits) -> tuple[bytes, dict[str, int]]:
        """Build twice: the second time the pages that texts refer to are known."""
        pages: dict[str, int] = {}
        data = b""
        for _ in range(2):
            texts = self.texts()
            texts.pages = dict(pages)
            data = self._once(limits, texts)
            pages = texts.pages
        return data, pages

    def _once(self, limits: Limits, texts: PageTexts) -> bytes:
        target = io.BytesIO()
        document = Document(target, texts, self.options.size)
        width = document.inner_width
        story = [
            *self._body(limits, texts, width),
            *annexes(
                self.contents,
                self.options,
                texts,
                width,
                self.logbook,
                self.head,
                self._words(),
                tables_in_full(self.contents, limits, texts, width, self.now, self.logbook),
            ),
        ]
        document.write(story)
        return target.getvalue()

    def _body(self, limits: Limits, texts: PageTexts, width: float) -> list[Flowable]:
        return body(
            self.contents,
            self.options,
            limits,
            texts,
            width,
            self.head,
            self._words(),
            self.now,
            self.logbook,
        )

    def _words(self) -> str:
        return six_words(self.head) if self.head else ""


def archive(data: bytes, *, title: str, at: datetime) -> tuple[bytes, bool]:
    """Make PDF/A-2b of a file; where validation fails, return it tidied and say so."""
    import pikepdf
    from pikepdf import pdfa

    with pikepdf.open(io.BytesIO(data)) as pdf:
        for page in pdf.pages:
            if "/Trans" in page:
                del page["/Trans"]
        stamp = at.strftime("D:%Y%m%d%H%M%S+00'00'")
        pdf.docinfo["/Title"] = title
        pdf.docinfo["/CreationDate"] = stamp
        pdf.docinfo["/ModDate"] = stamp
        target = io.BytesIO()
        pdfa.prepare(pdf, "2b")
        with pdf.open_metadata(set_pikepdf_as_editor=False) as metadata:
            metadata["xmp:MetadataDate"] = at.isoformat()
        try:
            pdfa.save(pdf, target, "2b", repair=False, deterministic_id=True)
        except pdfa.PdfaError:
            target = io.BytesIO()
            pdf.save(target, deterministic_id=True)
            return target.getvalue(), False
    return target.getvalue(), True

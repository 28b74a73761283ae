"""The sheets that change a finding: look at it, close it, change it, split it."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QFileDialog, QGridLayout, QWidget

from hulllog.desktop.buttons import link
from hulllog.desktop.choice import Choice, Choices, Option
from hulllog.desktop.fields import AreaField, DateField, TextField
from hulllog.desktop.findings.asking import WIDTH, options
from hulllog.desktop.findings.closing import change_finding, close_by_new_work, known_names
from hulllog.desktop.hull.pair import PhotoTile
from hulllog.desktop.hull.storing import fitted, store
from hulllog.desktop.layout import boxed, clear, column, section
from hulllog.desktop.sheets import Sheet
from hulllog.desktop.theme import step
from hulllog.records.media import add_document
from hulllog.records.model import Document
from hulllog.records.operations import choices, matters, queries
from hulllog.words import say
from hulllog.words.formats import partial_date

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hulllog.desktop.findings.listed import Listed
    from hulllog.desktop.pages import Page
    from hulllog.insight.occasions import Edge
    from hulllog.insight.placed import PhotoSeen
    from hulllog.records.book import Book

MOST_PAPERS = 8
MOST_PHOTOS = 8


class ObserveSheet(Sheet):
    """Asks what is seen of a finding at this visit."""

    def __init__(self, page: Page, edge: Edge, row: Listed, seen: str, at: str) -> None:
        super().__init__(
            page,
            say("findings_page.observe", title=row.matter.title),
            under=at,
            accept_text=say("findings_page.keep"),
            on_accept=self._store,
            width=WIDTH,
        )
        self.setObjectName("observe")
        self._page, self._edge, self._row = page, edge, row
        told = [Option(code, say(f"findings_page.seen_{code}")) for code in choices.FINDING_SEEN]
        self.seen = Choice(say("findings_page.this_time"), told)
        self.seen.show_value(seen)
        self.severity = Choice(say("finding.severity"), options("severity", choices.SEVERITIES))
        self.severity.show_value(row.matter.severity)
        self.text = AreaField(say("findings_page.what_was_seen"), rows=3)
        self.add(self.seen, self.severity, self.text)
        self.body.addStretch(1)
        self.seen.chosen.connect(lambda _code: self._follow())
        self._follow()

    def ask(self) -> ObserveSheet:
        """Show the questions; the text is what is left to say."""
        self.open()
        fitted(self)
        self.text.entry.setFocus()
        return self

    def _follow(self) -> None:
        """Ask how bad it is only of what is there."""
        self.severity.setVisible(self.seen.value == "present")

    def _store(self) -> bool:
        severity = self.severity.value
        changed = self.seen.value == "present" and severity != self._row.matter.severity
        store(
            self._page, self, matters.observe_finding, self._row.matter.finding_id,
            self._edge.visit_id, fields={"text": self.text}, seen=self.seen.value,
            state=self._edge.state, severity=severity if changed else None,
            text=self.text.typed(),
        )  # fmt: skip
        return False


class CloseSheet(Sheet):
    """Asks what was done, by whom and when, and which papers and pictures prove it."""

    def __init__(self, page: Page, edge: Edge | None, row: Listed, photos: list[PhotoSeen]) -> None:
        super().__init__(
            page,
            say("findings_page.close", title=row.matter.title),
            accept_text=say("findings_page.close_it"),
            on_accept=self._store,
            width=WIDTH,
        )
        self.setObjectName("close")
        self._page, self._edge, self._row = page, edge, row
        self.text = AreaField(say("work.text"), rows=3)
        self.who = TextField(say("work.by"), known=page.state.read(known_names))
        self.done_on = DateField(say("work.done"))
        self._papers = column(space=1)
        self.add_paper = link(say("findings_page.add_paper"), self._ask_paper)
        self._show_papers(())
        self.tiles: list[PhotoTile] = [self._tile(photo) for photo in photos[-MOST_PHOTOS:]]
        self.add(self.text, self.who, self.done_on, boxed(self._papers), self.add_paper)
        if self.tiles:
            self.add(section(say("findings_page.proof_photos"), _in_rows(self.tiles)))
        self.body.addStretch(1)

    def ask(self) -> CloseSheet:
        """Show the questions."""
        self.open()
        fitted(self)
        self.text.entry.setFocus()
        return self

    def _tile(self, photo: PhotoSeen) -> PhotoTile:
        made = PhotoTile(self._page.state, photo, height=88)
        made.setCheckable(True)
        made.toggled.connect(lambda _on: made.update())
        return made

    def _show_papers(self, chosen: tuple[str, ...]) -> None:
        clear(self._papers)
        papers = self._page.state.read(papers_on_record)
        if not papers:
            self.papers: Choices | None = None
            return
        self.papers = Choices(
            say("findings_page.papers"), [Option(key, said) for key, said in papers]
        )
        self.papers.show_value(chosen)
        self._papers.addWidget(self.papers)

    def _ask_paper(self) -> None:
        name, _kind = QFileDialog.getOpenFileName(self, say("findings_page.add_paper"))
        if name:
            self.take_paper(Path(name))

    def take_paper(self, file: Path) -> None:
        """Take a paper in as a file; it is chosen when it is there."""
        visit_id = self._edge.visit_id if self._edge else None
        self._page.state.run(
            lambda logbook: add_document(
                logbook, file, title=file.stem[:120], sort="other", visit_id=visit_id
            ),
            done=self._paper_taken,
            refused=self.tell,
            owner=self,
        )

    def _paper_taken(self, key: str) -> None:
        chosen = self.papers.value if self.papers else ()
        self._show_papers((*chosen, key))

    def _store(self) -> bool:
        photos = [tile.photo.photo_id for tile in self.tiles if tile.isChecked()]
        store(
            self._page, self, close_by_new_work, self._row.matter.finding_id,
            fields={"text": self.text, "done": self.done_on, "name": self.who},
            text=self.text.typed(), who=self.who.typed(), done=self.done_on.typed() or None,
            visit_id=self._edge.visit_id if self._edge else None,
            documents=list(self.papers.value) if self.papers else [], photos=photos,
        )  # fmt: skip
        return False


def _in_rows(tiles: Sequence[QWidget], across: int = 4) -> QWidget:
    grid = QGridLayout()
    grid.setContentsMargins(0, 0, 0, 0)
    grid.setSpacing(step(2))
    for n, tile in enumerate(tiles):
        grid.addWidget(tile, n // across, n % across)
    for column_at in range(across):
        grid.setColumnStretch(column_at, 1)
    return boxed(grid)


def papers_on_record(book: Book) -> list[tuple[str, str]]:
    """Return key and title of the newest papers."""
    papers = queries.kept(book, Document)[-MOST_PAPERS:]
    return [(paper.id, _paper_said(paper)) for paper in reversed(papers)]


def _paper_said(paper: Document) -> str:
    if paper.paper_date is None:
        return paper.title
    return say("findings_page.paper", title=paper.title, when=partial_date(paper.paper_date))


class ChangeSheet(Sheet):
    """Changes what a finding is called, what must happen, how bad it is, and its note."""

    def __init__(self, page: Page, row: Listed) -> None:
        matter = row.matter
        super().__init__(
            page,
            say("findings_page.change", number=matter.number),
            accept_text=say("do.save"),
            on_accept=self._store,
            width=WIDTH,
        )
        self.setObjectName("change")
        self._page, self._row = page, row
        self.title = TextField(say("finding.title"))
        self.title.show_value(matter.title)
        self.must = Choice(say("finding.must"), options("must", choices.MUSTS))
        self.must.show_value(matter.must)
        self.severity = Choice(say("finding.severity"), options("severity", choices.SEVERITIES))
        self.severity.show_value(matter.severity)
        self.sort = Choice(say("finding.sort"), options("finding_sort", choices.FINDING_SORTS))
        self.sort.show_value(matter.sort)
        self.note = AreaField(say("findings_page.note"), rows=3)
        self.note.show_value(matter.note or "")
        self.add(self.title, self.must, self.severity, self.sort, self.note)
        self.body.addStretch(1)

    def ask(self) -> ChangeSheet:
        """Show what is kept."""
        self.open()
        fitted(self)
        self.title.entry.setFocus()
        return self

    def _store(self) -> bool:
        store(
            self._page, self, change_finding, self._row.matter.finding_id,
            fields={"title": self.title, "note": self.note}, title=self.title.typed(),
            must=self.must.value, severity=self.severity.value, sort=self.sort.value,
            note=self.note.typed(),
        )  # fmt: skip
        return False


class SplitSheet(Sheet):
    """Makes a second finding out of one: its title, and which places go with it."""

    def __init__(self, page: Page, row: Listed) -> None:
        super().__init__(
            page,
            say("findings_page.split"),
            under=say("findings_page.split_under", title=row.matter.title),
            accept_text=say("findings_page.split_it"),
            on_accept=self._store,
            width=WIDTH,
        )
        self.setObjectName("split")
        self._page, self._row = page, row
        self.title = TextField(say("finding.title"))
        self.add(self.title)
        places = [Option(f"zone:{zone.zone_id}", zone.name) for zone in row.zones]
        places += [
            Option(
                f"spot:{spot.spot_id}",
                say("spot.numbered_label", number=spot.number, label=spot.label),
            )
            for spot in row.spots
        ]
        self.places: Choices | None = None
        if places:
            self.places = Choices(say("findings_page.goes_along"), places)
            self.add(self.places)
        self.body.addStretch(1)

    def ask(self) -> SplitSheet:
        """Show the questions."""
        self.open()
        fitted(self)
        self.title.entry.setFocus()
        return self

    def _store(self) -> bool:
        chosen = self.places.value if self.places else ()
        store(
            self._page, self, matters.split_finding, self._row.matter.finding_id,
            fields={"title": self.title}, title=self.title.typed(),
            spots=[key.removeprefix("spot:") for key in chosen if key.startswith("spot:")],
            zones=[key.removeprefix("zone:") for key in chosen if key.startswith("zone:")],
        )  # fmt: skip
        return False


class MergeSheet(Sheet):
    """Makes one finding of two that are the same."""

    def __init__(self, page: Page, row: Listed, others: Sequence[Listed]) -> None:
        super().__init__(
            page,
            say("findings_page.merge"),
            under=say("findings_page.merge_under", title=row.matter.title),
            accept_text=say("findings_page.merge_it"),
            on_accept=self._store,
            width=WIDTH,
        )
        self.setObjectName("merge")
        self._page, self._row = page, row
        self.other = Choice(
            say("findings_page.merge_with"),
            [
                Option(
                    other.matter.finding_id,
                    say(
                        "findings_page.numbered",
                        number=other.matter.number,
                        title=other.matter.title,
                    ),
                )
                for other in others
            ],
        )
        self.other.show_value(others[0].matter.finding_id)
        self.add(self.other)
        self.body.addStretch(1)

    def ask(self) -> MergeSheet:
        """Show the question."""
        self.open()
        fitted(self)
        self.other.setFocus()
        return self

    def _store(self) -> bool:
        store(
            self._page, self, matters.merge_findings, self._row.matter.finding_id,
            str(self.other.value),
        )  # fmt: skip
        return False

"""The page *Papers*: the condition history, what was issued, surveys and their proof, documents."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QUrl
from PySide6.QtGui import QDesktopServices
from PySide6.QtWidgets import QFileDialog
from sqlalchemy import select

from hulllog.desktop.buttons import Door, button, link
from hulllog.desktop.choice import Choice, Choices, Option
from hulllog.desktop.fields import TextField
from hulllog.desktop.labels import Prose
from hulllog.desktop.layout import Card, Caution, Doors, boxed, line
from hulllog.desktop.pages import Page
from hulllog.desktop.papers.forms import (
    DocumentForm,
    ProofForm,
    RecommendationForm,
    SurveyForm,
)
from hulllog.desktop.printing import write_cards, write_sheet
from hulllog.desktop.sheets import Sheet
from hulllog.desktop.theme import BODY
from hulllog.insight.matters import Asked, asked
from hulllog.records.history import issued
from hulllog.records.model import Document, Survey
from hulllog.words import formats, say, say_code, say_n
from hulllog.words.spelling import six_words

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hulllog.output.history import Options, Written
    from hulllog.records.book import Book
    from hulllog.records.logbook import Logbook
    from hulllog.records.model import IssuedHistory

READERS = ("insurer", "buyer", "surveyor")


class PapersPage(Page):
    """Prints the history, and keeps what went out and what came in on paper."""

    code = "papers"
    kinds = frozenset(
        {"issued_history", "survey", "recommendation", "proof", "document", "work", "vessel"}
    )

    def subtitle(self) -> str:
        """Say what the page holds."""
        return say("papers.under")

    def build(self) -> None:
        """Make the cards."""
        self.body.addWidget(self._history_card())
        self.body.addWidget(self._sheets_card())
        self._issued = Card(say("papers.issued"))
        self._asked = Card(say("papers.surveys"))
        self._documents = Card(say("papers.documents"))
        for card in (self._issued, self._asked, self._documents):
            self.body.addWidget(card)
        self.body.addStretch(1)

    def _history_card(self) -> Card:
        self.reader = Choice(
            say("papers.reader"), [Option(code, say_code("reader", code)) for code in READERS]
        )
        self.reader.show_value(READERS[0])
        self.to_whom = TextField(say("papers.to_whom"), hint=say("word.optional"))
        self.options = Choices(
            say("papers.with"),
            [Option("photos", say("papers.photos")), Option("draft", say("papers.draft"))],
        )
        self.write = button(say("papers.write"), self._ask_where, primary=True)
        self.told = Prose("", BODY)
        self.told.hide()
        self.show_file = link(say("papers.show"), self._show_written)
        self.show_file.hide()
        self._written: Path | None = None
        return Card(say("report.title")).add(
            Caution(say("papers.not_a_survey")),
            self.reader,
            self.to_whom,
            self.options,
            boxed(line(self.write, self.show_file, None)),
            self.told,
        )

    def _sheets_card(self) -> Card:
        self.write_sheet = button(say("sheet.write"), partial(write_sheet, self))
        self.write_cards = button(say("zone_cards.write"), partial(write_cards, self))
        return Card(say("sheet.for_the_yard")).add(
            Prose(say("sheet.what_for"), BODY, role="muted"),
            boxed(line(self.write_sheet, None)),
            Prose(say("zone_cards.what_for"), BODY, role="muted"),
            boxed(line(self.write_cards, None)),
        )

    # The history

    def choose_file(self, proposed: str) -> str:
        """Ask where to write the history; empty for nowhere."""
        chosen, _ = QFileDialog.getSaveFileName(
            self, say("papers.where"), proposed, say("papers.pdf_files")
        )
        return chosen

    def _ask_where(self) -> None:
        folder = self.state.logbook.folder
        proposed = folder.parent / f"{folder.name}-history.pdf"
        chosen = self.choose_file(str(proposed))
        if chosen:
            self._write(Path(chosen))

    def _write(self, path: Path) -> None:
        from hulllog.output.history import Options, write_history

        picked = self.options.value
        options = Options(
            reader=self.reader.value or READERS[0],
            to_whom=self.to_whom.text().strip() or None,
            draft="draft" in picked or self.state.read_only is not None,
            contact_sheet="photos" in picked,
        )
        logbook = self.state.logbook
        self.write.setEnabled(False)
        self.background_writing(
            say("papers.writing"),
            lambda _progress: write_history(logbook, path, options),
            partial(self._done, options),
            self._failed,
        )

    def _done(self, options: Options, written: Written) -> None:
        self.write.setEnabled(True)
        self._written = written.path
        code = "papers.written_draft" if options.draft or not written.head else "papers.written"
        words = six_words(written.head) if written.head else ""
        told = say(code, file=str(written.path), pages=written.pages, words=words)
        self.told.setText(told if written.archival else f"{told} {say('papers.not_archival')}")
        self.told.show()
        self.show_file.show()
        self.state.tell(told)

    def _failed(self, problem: BaseException) -> None:
        self.write.setEnabled(True)
        self.state.fail(problem)

    def _show_written(self) -> None:
        if self._written is not None:
            QDesktopServices.openUrl(QUrl.fromLocalFile(str(self._written)))

    # What is on record

    def refresh(self) -> None:
        """Show what was issued, asked for and kept."""
        with self.state.logbook.read() as book:
            self._show_issued(issued(book))
            self._show_asked(asked(book), _surveys(book))
            self._show_documents(_documents(book))

    def _show_issued(self, histories: Sequence[IssuedHistory]) -> None:
        self._issued.clear()
        if not histories:
            self._issued.add(Prose(say("papers.none_issued"), BODY, role="muted"))
            return
        rows = Doors()
        for history in reversed(histories):
            to_whom = history.to_whom or say_code("reader", history.reader)
            rows.add(
                Door(
                    say("papers.issued_to", when=formats.moment(history.issued_at), to=to_whom),
                    six_words(history.head),
                    history.file_name,
                    on=partial(self._tell_issued, history),
                )
            )
        self._issued.add(rows)

    def _tell_issued(self, history: IssuedHistory) -> None:
        sheet = Sheet(self, say("papers.issued_one"))
        sheet.add(
            *(
                Prose(say("telling.pair", name=f"{name}:", value=value), BODY)
                for name, value in (
                    (say("report.issued"), formats.moment(history.issued_at)),
                    (say("papers.reader"), history.to_whom or say_code("reader", history.reader)),
                    (say("report.head"), history.head),
                    (say("report.head_words"), six_words(history.head)),
                    (say("report.sha256"), history.file_sha256),
                )
            ),
            Prose(say("papers.what_head_is_for"), BODY, role="muted"),
        )
        sheet.open()

    def _show_asked(self, items: Sequence[Asked], surveys: Sequence[tuple[str, str]]) -> None:
        self._asked.clear()
        add_survey = button(say("papers.add_survey"), lambda: SurveyForm(self).open())
        add_item = button(
            say("papers.add_recommendation"), lambda: RecommendationForm(self, surveys).open()
        )
        add_item.setVisible(bool(surveys))
        self.writes(add_survey, add_item)
        if not surveys:
            self._asked.add(Prose(say("report.no_surveys"), BODY, role="muted"))
        rows = Doors()
        for item in sorted(items, key=lambda item: item.proved):
            rows.add(
                Door(
                    say("papers.item", number=item.number, wording=item.wording),
                    _origin(item),
                    say("papers.proved") if item.proved else say("report.not_proved"),
                    strong=not item.proved,
                    on=partial(self._tell_item, item),
                )
            )
        told = {item.survey_id for item in items}
        for key, name in surveys:
            if key not in told:
                rows.add(Door(name, say("papers.no_items"), on=add_item.click))
        self._asked.add(rows, boxed(line(add_survey, add_item, None)))

    def _tell_item(self, item: Asked) -> None:
        ProofForm(self, item).open()

    def _show_documents(self, papers: Sequence[Document]) -> None:
        self._documents.clear()
        add = button(say("papers.add_document"), lambda: DocumentForm(self).open())
        self.writes(add)
        if not papers:
            self._documents.add(Prose(say("papers.no_documents"), BODY, role="muted"))
        rows = Doors()
        for paper in papers:
            rows.add(
                Door(
                    paper.title,
                    say_code("document_sort", paper.sort),
                    formats.anything(paper.paper_date) if paper.paper_date else "",
                    on=partial(self._show_document, paper),
                )
            )
        self._documents.add(rows, boxed(line(add, None)))

    def _show_document(self, paper: Document) -> None:
        file = document_file(self.state.logbook, paper)
        if file is None:
            self.state.tell(say("report.paper_only"))
        else:
            QDesktopServices.openUrl(QUrl.fromLocalFile(str(file)))

    def go_to(self, key: str) -> None:
        """Show a recommendation first."""
        with self.state.logbook.read() as book:
            item = next((one for one in asked(book) if one.recommendation_id == key), None)
        if item is not None:
            self._tell_item(item)


def document_file(logbook: Logbook, paper: Document) -> Path | None:
    """Return the file of a document; None for one kept on paper only, or not there."""
    if paper.sha256 is None:
        return None
    found = sorted((logbook.folder / "documents").glob(f"{paper.sha256}*"))
    return found[0] if found else None


def _surveys(book: Book) -> list[tuple[str, str]]:
    """Return key and name of the surveys, the newest first."""
    query = select(Survey).where(Survey.withdrawn.is_(False)).order_by(Survey.entered_at.desc())
    return [
        (
            survey.id,
            say(
                "papers.survey_of",
                when=survey.at,
                by=say_code("asked_by", survey.asked_by) if survey.asked_by else "",
            ),
        )
        for survey in book.scalars(query)
    ]


def _documents(book: Book) -> Sequence[Document]:
    query = select(Document).where(Document.withdrawn.is_(False))
    return book.scalars(query.order_by(Document.entered_at.desc())).all()


def _origin(item: Asked) -> str:
    parts = [
        say_code("asked_by", item.asked_by) if item.asked_by else "",
        formats.anything(item.survey_date) if item.survey_date else "",
        say("papers.due", when=item.due) if item.due else "",
        say_n("papers.proofs", len(item.proofs)) if item.proofs else "",
        say("papers.asked_before", when=item.asked_before) if item.asked_before else "",
    ]
    return ", ".join(part for part in parts if part)

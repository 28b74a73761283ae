"""Plain forms: a survey, a recommendation, its proof, a document."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from PySide6.QtWidgets import QFileDialog

from hulllog.desktop.buttons import button
from hulllog.desktop.choice import Choice, Option
from hulllog.desktop.fields import AreaField, DateField, TextField, refuse_named
from hulllog.desktop.labels import Prose
from hulllog.desktop.layout import facts
from hulllog.desktop.sheets import Sheet
from hulllog.desktop.theme import BODY
from hulllog.records.operations import around, matters
from hulllog.words import formats, say, say_code

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from hulllog.desktop.fields import Field
    from hulllog.desktop.pages import Page
    from hulllog.insight.matters import Asked
    from hulllog.records.logbook import Logbook

ASKED_BY = ("insurer", "buyer", "owner", "lender")
DOCUMENT_SORTS = ("invoice", "survey", "data_sheet", "letter", "certificate", "other")


class Form(Sheet):
    """A sheet with fields that runs one operation; it closes when that is stored."""

    def __init__(self, page: Page, title: str) -> None:
        super().__init__(page, title, accept_text=say("do.done"), on_accept=self._store)
        self.page = page
        self.fields: dict[str, Field] = {}

    def field(self, name: str, made: Field) -> Field:
        """Add a field under the name that a refusal gives."""
        self.fields[name] = made
        self.add(made)
        return made

    def operation(self) -> tuple[Callable[..., Any], tuple[Any, ...], Mapping[str, Any]]:
        """Return what to run: an operation of the records, what it is about, what was typed."""
        raise NotImplementedError

    def _store(self) -> bool:
        operation, about, typed = self.operation()
        self.page.state.run(
            lambda logbook: operation(logbook, *about, **typed),
            done=lambda _made: self.accept(),
            refused=self._refused,
            owner=self,
        )
        return False

    def _refused(self, problem: BaseException) -> None:
        if (named := refuse_named(self.fields, problem)) is not None:
            named.entry.setFocus()
        else:
            self.tell(problem)

    def open(self) -> None:
        """Show the form with the keyboard in its first field."""
        super().open()
        if self.fields:
            next(iter(self.fields.values())).entry.setFocus()


def _given(fields: Mapping[str, Field]) -> dict[str, Any]:
    """Return what was typed, fields left blank as None."""
    return {name: field.typed() or None for name, field in fields.items()}


class SurveyForm(Form):
    """A survey: when, for whom, under what reference."""

    def __init__(self, page: Page) -> None:
        super().__init__(page, say("papers.add_survey"))
        self.field("at", DateField(say("papers.survey_date")))
        self.by = Choice(
            say("papers.asked_by"), [Option(code, say_code("asked_by", code)) for code in ASKED_BY]
        )
        self.by.show_value(ASKED_BY[0])
        self.add(self.by)
        self.field("reference", TextField(say("papers.reference"), hint=say("word.optional")))

    def operation(self) -> tuple[Callable[..., Any], tuple[Any, ...], Mapping[str, Any]]:
        """Enter the survey."""
        typed = {**_given(self.fields), "asked_by": self.by.value}
        typed["at"] = typed["at"] or ""
        return matters.add_survey, (), typed


class RecommendationForm(Form):
    """What a survey asked for."""

    def __init__(self, page: Page, surveys: Sequence[tuple[str, str]]) -> None:
        super().__init__(page, say("papers.add_recommendation"))
        self.survey = Choice(say("report.survey"), [Option(key, told) for key, told in surveys])
        self.survey.show_value(surveys[0][0])
        self.add(self.survey)
        self.field("number", TextField(say("report.number")))
        self.field("wording", AreaField(say("papers.wording")))
        self.field("survey_class", TextField(say("papers.class"), hint=say("word.optional")))
        self.field("due", DateField(say("papers.due_date"), hint=say("word.optional")))

    def operation(self) -> tuple[Callable[..., Any], tuple[Any, ...], Mapping[str, Any]]:
        """Enter the recommendation."""
        typed = _given(self.fields)
        typed["number"], typed["wording"] = typed["number"] or "", typed["wording"] or ""
        return matters.add_recommendation, (self.survey.value,), typed


class ProofForm(Form):
    """A recommendation, what proves it, and room for one proof more: work that was done."""

    def __init__(self, page: Page, item: Asked) -> None:
        super().__init__(page, say("papers.item_title", number=item.number))
        self._item = item
        self.add(Prose(item.wording, BODY))
        self.add(facts(_proofs(item)) if item.proofs else Prose(say("report.not_proved"), BODY))
        self.field("text", AreaField(say("papers.work_done")))
        self.field("done", DateField(say("papers.done_when"), hint=say("word.optional")))

    def operation(self) -> tuple[Callable[..., Any], tuple[Any, ...], Mapping[str, Any]]:
        """Enter the work and that it proves the recommendation."""
        return _prove, (self._item.recommendation_id,), _given(self.fields)


def _prove(logbook: Logbook, recommendation_id: str, *, text: str | None, done: str | None) -> str:
    with logbook.change("recommendation.prove", text=text or ""):
        work = matters.add_work(logbook, text=text or "", done=done)
        return matters.add_proof(logbook, recommendation_id, work_id=work)


def _proofs(item: Asked) -> list[tuple[str, str]]:
    return [
        (formats.anything(proof.when) if proof.when else say_code("proof", proof.sort), proof.text)
        for proof in item.proofs
    ]


class DocumentForm(Form):
    """A paper: its title and sort, and its file where there is one."""

    def __init__(self, page: Page) -> None:
        super().__init__(page, say("papers.add_document"))
        self.field("title", TextField(say("papers.document_title")))
        self.sort = Choice(
            say("papers.document_sort"),
            [Option(code, say_code("document_sort", code)) for code in DOCUMENT_SORTS],
        )
        self.sort.show_value(DOCUMENT_SORTS[0])
        self.field("paper_date", DateField(say("papers.paper_date"), hint=say("word.optional")))
        self.file: Path | None = None
        self.choose = button(say("papers.choose_file"), self._choose)
        self.chosen = Prose(say("papers.no_file"), BODY, role="muted")
        self.add(self.sort, self.choose, self.chosen)

    def choose_file(self) -> str:
        """Ask for the file; empty for none."""
        chosen, _ = QFileDialog.getOpenFileName(self, say("papers.choose_file"))
        return chosen

    def _choose(self) -> None:
        chosen = self.choose_file()
        if chosen:
            self.file = Path(chosen)
            self.chosen.setText(self.file.name)

    def operation(self) -> tuple[Callable[..., Any], tuple[Any, ...], Mapping[str, Any]]:
        """Enter the document, with its file if one was chosen."""
        typed = {**_given(self.fields), "sort": self.sort.value}
        typed["title"] = typed["title"] or ""
        if self.file is None:
            return around.add_document, (), typed
        from hulllog.records.media import add_document

        return add_document, (self.file,), typed

"""What surveys asked for: a table for each, with proofs and by whom they were accepted."""

from __future__ import annotations

from itertools import groupby
from typing import TYPE_CHECKING

from hulllog.drawing import telling as told
from hulllog.output import blocks
from hulllog.output.identity import name
from hulllog.words import formats, say, say_code

if TYPE_CHECKING:
    from collections.abc import Sequence

    from reportlab.platypus import Flowable

    from hulllog.insight.matters import Asked, ProofSeen
    from hulllog.output.body import Frame


def recommendations(frame: Frame) -> list[Flowable]:
    """Return what each survey asked for, with its proofs and who accepted them."""
    items = frame.contents.asked
    story = frame.heading("report.section.asked", "asked")
    if not items:
        return [*story, blocks.paragraph(say("report.no_surveys"), blocks.SMALL)]
    shown, more = frame.some(items, "annex-tables")
    header = [say("report.recommendation"), say("report.due"), say("report.proof_head")]
    header.append(say("report.accepted_head"))
    for _, of_one in groupby(shown, key=lambda item: item.survey_id):
        asked_for = list(of_one)
        rows = [
            [
                f"{item.number}. {frame.cut(item.wording)}",
                _due(item),
                _proofs(item),
                _accepted(item),
            ]
            for item in asked_for
        ]
        story.append(blocks.paragraph(_survey(asked_for[0]), blocks.SMALL_BOLD))
        story.append(blocks.grid(header, rows, frame.width, [3.2, 1.3, 4.4, 2.0], frame.cells))
    if any(item.survey_class for item in shown):
        story.append(blocks.paragraph(say("report.class_note"), blocks.QUIET))
    return [*story, *more]


def _survey(item: Asked) -> str:
    """Say when a survey was, for whom, by whom, and the number of its report."""
    missing, when = say("word.not_recorded"), formats.anything(item.survey_date)
    who = say_code("asked_by", item.asked_by) if item.asked_by else ""
    return "; ".join(
        (
            say("report.survey_of", what=", ".join(part for part in (when, who) if part)),
            say("report.surveyor", who=name(item.surveyor) if item.surveyor else missing),
            say("report.survey_no", number=item.reference or missing),
        )
    )


def _due(item: Asked) -> str:
    parts = [item.survey_class or "", formats.anything(item.due) if item.due else ""]
    return ", ".join(part for part in parts if part)


def _proofs(item: Asked) -> str:
    """Say each proof with its kind."""
    if not item.proofs:
        return say("report.not_proved")
    return "; ".join(_proof(proof, item.unlinked) for proof in item.proofs)


def _accepted(item: Asked) -> str:
    """Say by whom the proofs were accepted: for all alike once, else for each that was."""
    if not item.proofs:
        return ""
    accepted = {(proof.accepted_by, formats.anything(proof.accepted)) for proof in item.proofs}
    if len(accepted) == 1:
        return _accepted_by(item, item.proofs[0])
    return "; ".join(
        say(
            "report.accepted_of",
            proof=proof.text.rstrip(".") or say_code("proof", proof.sort),
            accepted=_accepted_by(item, proof),
        )
        for proof in item.proofs
        if proof.accepted_by
    )


def _accepted_by(item: Asked, proof: ProofSeen) -> str:
    if not proof.accepted_by:
        return say("report.not_accepted")
    code = "report.accepted_letter" if item.letter else "report.accepted"
    return say(code, by=proof.accepted_by, when=formats.anything(proof.accepted))


def _work(proof: ProofSeen, text: str) -> str:
    """Say what work was entered, which papers of it are held, and that no invoice is."""
    if proof.kind == "owner":
        return say("report.proof_is.owner", text=text)
    held = say("report.work_papers", papers=told.listed(proof.papers)) if proof.papers else ""
    invoice = "" if proof.invoice else say("report.no_invoice")
    what = " ".join(part for part in (text, held, invoice) if part)
    return say("report.work_entered", what=what)


def _proof(proof: ProofSeen, loose: Sequence[str]) -> str:
    text = ", ".join(
        part.rstrip(".")
        for part in (formats.anything(proof.when) if proof.when else "", proof.text)
        if part
    ) or say_code("proof", proof.sort)
    if proof.sort == "work":
        text = _work(proof, text)
    elif proof.sort != "photo":
        text = say(f"report.proof_is.{proof.kind}", text=text)
    papers = [title for title in proof.unlinked if title in loose]
    return say("report.unlinked", text=text, papers=told.listed(papers)) if papers else text

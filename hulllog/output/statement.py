"""What the owner signs, with room for what is not on record."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hulllog.output import blocks
from hulllog.words import formats, say, say_code

if TYPE_CHECKING:
    from reportlab.platypus import Flowable

    from hulllog.output.body import Frame
    from hulllog.output.contents import Contents

RULE = "…" * 52


def _met(contents: Contents) -> str:
    """Say what befell her by the record, and leave room for what is not on it."""
    met = [one for one in contents.events if one.sort not in ("new_owner", "new_neighbour")]
    if not met:
        return say("report.met_none")
    listed = [say("report.met_one", what=say_code("event", one.sort), when=one.at) for one in met]
    return say("report.met", listed=formats.joined(listed))


def _role(contents: Contents) -> str:
    """Say since when the signer has owned her, where the record tells of a new owner."""
    since = [one.at for one in contents.events if one.sort == "new_owner" and one.at]
    if not since:
        return "…" * 22
    return say("report.role_owner", when=max(since, key=lambda at: at.latest))


def statement(frame: Frame) -> list[Flowable]:
    """Return the statement to sign, kept on one page."""
    ruled = blocks.facts([(say("report.attached"), RULE)], frame.width, 1)
    parts: list[Flowable] = [
        *frame.heading("report.section.statement", "statement"),
        blocks.paragraph(say("report.statement"), blocks.SMALL),
        blocks.paragraph(_met(frame.contents), blocks.SMALL),
        blocks.gap(1),
        ruled,
        blocks.gap(4),
        blocks.facts(
            [
                (say("report.sign_name"), "…" * 22),
                (say("report.sign_role"), _role(frame.contents)),
                (say("report.sign_place"), "…" * 22),
                (say("report.sign_signature"), "…" * 22),
                (say("report.sign_date"), "…" * 22),
            ],
            frame.width,
        ),
    ]
    return [blocks.together(parts)]

"""Sheets that ask and store: refusals stand beside their fields, corrections ask for a reason."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Any

from hulllog.desktop.fields import refuse_named
from hulllog.desktop.reasons import ask_reason
from hulllog.records.errors import Refused

if TYPE_CHECKING:
    from hulllog.desktop.fields import Field
    from hulllog.desktop.pages import Page
    from hulllog.desktop.sheets import Sheet


HIGHEST = 720
_UNDER_WAY = "storing"
"""The property of a sheet that is being stored: a second Enter does not store it twice."""


def fitted(sheet: Sheet) -> None:
    """Make a sheet as high as its lines ask for at its width."""
    layout = sheet.layout()
    if layout is not None:
        layout.activate()
        width = max(sheet.width(), sheet.minimumWidth())
        sheet.resize(width, min(layout.totalHeightForWidth(width), HIGHEST))


def store(
    page: Page,
    sheet: Sheet,
    operation: Callable[..., Any],
    *about: Any,
    fields: Mapping[str, Field] | None = None,
    then: Callable[[Any], object] | None = None,
    **typed: Any,
) -> None:
    """Run an operation for a sheet and close it when stored; what refused it stands in the sheet.

    ``fields`` are those of the sheet by the name that a refusal gives.
    """
    known = fields or {}
    if sheet.property(_UNDER_WAY):
        return

    def stored(result: Any) -> None:
        for field in known.values():
            field.accept()
            field.give_up()
        sheet.accept()
        if then is not None:
            then(result)

    def refused(problem: BaseException) -> None:
        sheet.setProperty(_UNDER_WAY, False)
        wants_reason = isinstance(problem, Refused) and problem.code == "reason_wanted"
        if wants_reason and not typed.get("reason"):
            ask_reason(page, again, lambda: None)
            return
        if (named := refuse_named(known, problem)) is not None:
            named.entry.setFocus()
        else:
            sheet.tell(problem)

    def again(reason: str) -> None:
        store(
            page, sheet, operation, *about, fields=fields, then=then,
            **{**typed, "reason": reason},
        )  # fmt: skip

    sheet.setProperty(_UNDER_WAY, True)
    page.state.run(
        lambda logbook: operation(logbook, *about, **typed),
        done=stored,
        refused=refused,
        owner=sheet,
    )

"""Every code that may be stored has a label of its own."""

from __future__ import annotations

import pytest

from hulllog.records.operations import choices
from hulllog.words import knows

FAMILIES = {
    "gear": choices.GEARS, "gear_due": choices.DUE_SORTS, "must": choices.MUSTS,
    "severity": choices.SEVERITIES, "state": choices.STATES, "coverage": choices.COVERAGES,
    "method": choices.METHODS, "hidden_by": choices.HIDDEN_BY, "result": choices.RESULTS,
    "event": choices.EVENTS, "water": choices.WATERS, "way": choices.WAYS,
    "visit_kind": choices.VISIT_KINDS, "role": choices.ROLES, "document_sort": choices.DOCUMENTS,
    "coating_class": choices.COATING_CLASSES, "treatment": choices.TREATMENTS,
    "firm": choices.FIRMS, "stage": choices.STAGES,
}  # fmt: skip


@pytest.mark.parametrize("family", sorted(FAMILIES))
def test_a_stored_code_has_a_label(family):
    assert [code for code in FAMILIES[family] if not knows(f"{family}.{code}")] == []

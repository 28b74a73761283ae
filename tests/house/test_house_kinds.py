"""The rooms that know nothing of each other say the same of a kind."""

from __future__ import annotations

import pytest

from hulllog.trade import kinds
from hulllog.words import telling


@pytest.mark.parametrize("kind", sorted(kinds.KINDS))
def test_a_figure_is_told_in_the_unit_of_its_kind(kind: str) -> None:
    for part in kinds.KINDS[kind].components:
        if part.unit and not part.grades:
            alone = telling.figure(kind, part.code, 12.0)
            assert alone == telling.figure(kind, part.code, 12.0, part.unit), part.code

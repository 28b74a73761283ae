"""The trade's short notations: read, refused with the reason, written back."""

from __future__ import annotations

import itertools

import pytest

from hulllog.trade import kinds, notation
from hulllog.trade.refusal import Refusal


@pytest.mark.parametrize(
    ("kind", "text", "grades"),
    [
        ("astm-d714-2002", "6M", {"size": "6", "frequency": "M"}),
        ("astm-d714-2002", "2md", {"size": "2", "frequency": "MD"}),
        ("astm-d714-2002", " No. 8 F ", {"size": "8", "frequency": "F"}),
        ("astm-d714-2002", "10", {"size": "10"}),
        ("iso-4628-2-2016", "2(S3)", {"quantity": "2", "size": "S3"}),
        ("iso-4628-2-2016", "blistering 2 (S3)", {"quantity": "2", "size": "S3"}),
        ("iso-4628-2-2016", "2,5(s3)", {"quantity": "2.5", "size": "S3"}),
        ("iso-4628-2-2016", "0(S0)", {"quantity": "0", "size": "S0"}),
        ("iso-4628-3-2016", "Ri 2", {"rust": "2"}),
        ("iso-4628-3-2016", "ri2(S3)", {"rust": "2", "size": "S3"}),
        ("iso-4628-4-2016", "3(S3)b", {"quantity": "3", "size": "S3", "depth": "b"}),
        ("iso-4628-5-2016", "flaking 3(S4)a", {"quantity": "3", "size": "S4", "depth": "a"}),
        ("iso-4628-6-2011", "1.5", {"chalking": "1.5"}),
        ("astm-d610-2008", "7-G", {"grade": "7", "distribution": "G"}),
        ("astm-d610-2008", "7g", {"grade": "7", "distribution": "G"}),
        ("astm-d610-2008", "7", {"grade": "7"}),
        ("astm-d610-2008", "10", {"grade": "10"}),
        ("astm-g46", "A-3, B-2, C-3", {"density": "A-3", "size": "B-2", "depth": "C-3"}),
        ("astm-g46", "c3 a3", {"density": "A-3", "depth": "C-3"}),
        ("astm-d3359", "3B", {"cross_cut": "3B"}),
        ("astm-d3359", "4 a", {"x_cut": "4A"}),
        ("iso-2409", "Gt 2", {"class": "2"}),
        ("european-rust", "Re 5", {"rust": "5"}),
        ("navy-fr", "FR 30", {"rating": "30"}),
        ("navy-pdr", "PDR 60", {"rating": "60"}),
        ("level-of-fouling", "LoF 3", {"level": "3"}),
        ("imo-coating-1330", "Fair", {"condition": "fair"}),
    ],
)
def test_a_notation_is_read(kind: str, text: str, grades: dict[str, str]) -> None:
    assert notation.parse(text, kind).grades == grades


@pytest.mark.parametrize(
    ("kind", "text", "code"),
    [
        ("astm-d610-2008", "10-S", "no_letter_at_grade"),
        ("astm-d610-2008", "0-G", "no_letter_at_grade"),
        ("astm-d610-2008", "11-G", "grade_not_on_scale"),
        ("astm-d610-2008", "7-X", "letter_not_on_scale"),
        ("astm-d610-2008", "7.5-G", "no_half_steps"),
        ("astm-d610-2008", "7--G", "notation_unread"),
        ("astm-d714-2002", "10F", "no_letter_at_grade"),
        ("astm-d714-2002", "6", "letter_missing"),
        ("astm-d714-2002", "6DM", "letter_not_on_scale"),
        ("astm-d714-2002", "12M", "grade_not_on_scale"),
        ("iso-4628-2-2016", "6(S3)", "grade_not_on_scale"),
        ("iso-4628-2-2016", "2.3(S3)", "no_half_steps"),
        ("iso-4628-2-2016", "2(S6)", "size_not_on_scale"),
        ("iso-4628-2-2016", "2(S2.5)", "no_half_steps"),
        ("iso-4628-2-2016", "2(S3)b", "no_letter_on_scale"),
        ("iso-4628-2-2016", "0(S3)", "size_beside_none"),
        ("iso-4628-2-2016", "2(S0)", "size_beside_none"),
        ("iso-4628-2-2016", "2(S3", "notation_unread"),
        ("iso-4628-3-2016", "2", "notation_unread"),
        ("iso-4628-3-2016", "Ri 6", "grade_not_on_scale"),
        ("iso-4628-3-2016", "Ri 2b", "no_letter_on_scale"),
        ("iso-4628-4-2016", "3(S3)d", "letter_not_on_scale"),
        ("iso-4628-4-2016", "0b", "no_letter_at_grade"),
        ("iso-4628-5-2016", "3(S3)c", "letter_not_on_scale"),
        ("iso-4628-6-2011", "2(S3)", "size_not_on_scale"),
        ("astm-g46", "A-6", "grade_not_on_scale"),
        ("astm-g46", "D-3", "letter_not_on_scale"),
        ("astm-g46", "A-3, A-2", "given_twice"),
        ("astm-g46", "A-2.5", "no_half_steps"),
        ("astm-d3359", "3.5B", "no_half_steps"),
        ("astm-d3359", "6B", "grade_not_on_scale"),
        ("astm-d3359", "3C", "notation_unread"),
        ("iso-2409", "2.5", "no_half_steps"),
        ("navy-fr", "FR 35", "grade_not_on_scale"),
        ("navy-pdr", "PDR 0", "grade_not_on_scale"),
        ("imo-coating-1330", "excellent", "notation_unread"),
        ("laminate-blisters", "6M", "no_notation"),
        ("from-a-newer-version", "6M", "kind_unknown"),
        ("astm-d714-2002", "", "notation_unread"),
    ],
)
def test_what_the_standard_does_not_allow_is_refused_with_the_reason(
    kind: str, text: str, code: str
) -> None:
    with pytest.raises(Refusal) as caught:
        notation.parse(text, kind)
    assert caught.value.code == code
    assert caught.value.values["kind"] == kind


def test_a_refused_notation_names_what_was_wrong() -> None:
    with pytest.raises(Refusal) as caught:
        notation.parse("10-S", "astm-d610-2008")
    assert caught.value.values == {
        "kind": "astm-d610-2008",
        "typed": "10-S",
        "grade": "10",
        "letter": "S",
    }


def test_blisters_cracks_and_flakes_are_written_alike() -> None:
    kinds_meant = {found.kind for found in notation.meanings("2(S3)")}
    assert kinds_meant == {"iso-4628-2-2016", "iso-4628-4-2016", "iso-4628-5-2016"}
    assert [found.kind for found in notation.meanings("6M")] == ["astm-d714-2002"]
    assert notation.meanings("<b>&") == ()


WITHOUT_NOTATION = ("iso-8501-1-2007", "valve-action")


def every_set_of_grades() -> list[tuple[str, dict[str, str]]]:
    """Return every set of grades that a kind with a notation allows."""
    found = []
    for kind in kinds.KINDS.values():
        parts = [part for part in kind.components if part.sort == "grade"]
        if len(parts) < len(kind.components) or kind.id in WITHOUT_NOTATION:
            continue
        choices = [(None, *part.grades) for part in parts]
        for chosen in itertools.product(*choices):
            grades = {p.code: g for p, g in zip(parts, chosen, strict=True) if g is not None}
            if grades and not kinds.objections(kind.id, grades):
                found.append((kind.id, grades))
    return found


def test_every_allowed_set_of_grades_goes_there_and_back() -> None:
    without: list[tuple[str, dict[str, str]]] = []
    for kind, grades in every_set_of_grades():
        try:
            written = notation.write(kind, grades)
        except Refusal:
            without.append((kind, grades))
            continue
        assert notation.parse(written, kind).grades == grades
    unwritten = [g for k, g in without if not (k == "astm-d3359" and len(g) == 2)]
    assert all(grades.get("density") == "isolated" for grades in unwritten)


def test_grades_that_do_not_go_together_are_not_written() -> None:
    with pytest.raises(Refusal) as caught:
        notation.write("astm-d610-2008", {"grade": "10", "distribution": "S"})
    assert caught.value.code == "figure_not_allowed"
    with pytest.raises(Refusal) as caught:
        notation.write("iso-8501-1-2007", {"rust": "C"})
    assert caught.value.code == "no_notation"

"""The short notations in which the trade writes grades: ``6M``, ``2(S3)``, ``7-G``, ``A-3, B-2``.

What a standard does not allow is refused with the reason, never bent into the nearest grade.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from hulllog.trade.kinds import objections, require
from hulllog.trade.refusal import Refusal

Figures = dict[str, str]
_N = r"(?P<n>\d+(?:[.,]\d+)?)"
_SIZE = r"(?:\s*\(\s*S?\s*(?P<size>\d+(?:[.,]\d+)?)\s*\))?"
_LETTER = r"(?:\s*(?P<letter>[A-Za-z]))?"


@dataclass(frozen=True, slots=True)
class Notation:
    """Grades read from a notation, component -> grade, of one kind."""

    kind: str
    grades: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class _Form:
    pattern: re.Pattern[str]
    read: Callable[[re.Match[str]], Figures]
    write: Callable[[Mapping[str, str]], str]


def parse(text: str, kind_id: str) -> Notation:
    """Read a notation of one kind.

    Raises Refusal ``kind_unknown``; ``no_notation`` for kinds without one; ``notation_unread`` for
    another form; and by what the standard does not allow: ``grade_not_on_scale``,
    ``no_half_steps``, ``size_not_on_scale``, ``letter_not_on_scale``, ``no_letter_on_scale``,
    ``no_letter_at_grade``, ``letter_missing``, ``size_beside_none``, ``given_twice``.
    """
    require(kind_id)
    form = _FORMS.get(kind_id)
    if form is None:
        raise Refusal("no_notation", kind=kind_id)
    found = form.pattern.fullmatch(" ".join(text.split()))
    if found is None:
        raise Refusal("notation_unread", kind=kind_id, typed=text)
    try:
        grades = form.read(found)
    except Refusal as refusal:
        raise Refusal(refusal.code, kind=kind_id, typed=text, **refusal.values) from None
    return Notation(kind_id, MappingProxyType(grades))


def meanings(text: str) -> tuple[Notation, ...]:
    """Return every kind's reading of a notation; ``2(S3)`` can be blisters, cracks or flakes."""
    found = []
    for kind_id in _FORMS:
        try:
            found.append(parse(text, kind_id))
        except Refusal:
            continue
    return tuple(found)


def write(kind_id: str, grades: Mapping[str, str]) -> str:
    """Write grades in the notation of their kind.

    Raises Refusal ``no_notation``, ``kind_unknown``, and ``figure_not_allowed`` for grades that the
    kind does not allow together.
    """
    wrong = objections(kind_id, grades)
    if wrong:
        raise Refusal("figure_not_allowed", kind=kind_id, component=wrong[0][0])
    form = _FORMS.get(kind_id)
    if form is None:
        raise Refusal("no_notation", kind=kind_id)
    written = form.write(grades)
    if parse(written, kind_id).grades != dict(grades):
        raise Refusal("figure_not_allowed", kind=kind_id, component=next(iter(grades)))
    return written


def _on_scale(kind_id: str, component: str, grade: str, code: str = "grade_not_on_scale") -> str:
    part = require(kind_id).component(component)
    assert part is not None
    if grade in part.grades:
        return grade
    raise Refusal("no_half_steps" if "." in grade else code, grade=grade)


def _tidy(number: str) -> str:
    """Write 2,50 as 2.5 and 3.0 as 3."""
    return f"{float(number.replace(',', '.')):g}"


def _letter(kind_id: str, component: str, found: str) -> str:
    return _on_scale(kind_id, component, found, "letter_not_on_scale")


def _read_d714(found: re.Match[str]) -> Figures:
    size = _on_scale("astm-d714-2002", "size", _tidy(found["n"]))
    letters = (found["letters"] or "").upper()
    if size == "10":
        if letters:
            raise Refusal("no_letter_at_grade", grade=size, letter=letters)
        return {"size": size}
    if not letters:
        raise Refusal("letter_missing", grade=size)
    return {"size": size, "frequency": _letter("astm-d714-2002", "frequency", letters)}


def _read_d610(found: re.Match[str]) -> Figures:
    grade = _on_scale("astm-d610-2008", "grade", _tidy(found["n"]))
    letter = (found["letters"] or "").upper()
    if not letter:
        return {"grade": grade}
    if grade in ("10", "0"):
        raise Refusal("no_letter_at_grade", grade=grade, letter=letter)
    return {"grade": grade, "distribution": _letter("astm-d610-2008", "distribution", letter)}


def _reader_of_iso(
    kind_id: str, component: str, *, sized: bool = True
) -> Callable[[re.Match[str]], Figures]:
    def read(found: re.Match[str]) -> Figures:
        quantity = _on_scale(kind_id, component, _tidy(found["n"]))
        figures = {component: quantity}
        if found["size"] is not None:
            size = "S" + _tidy(found["size"])
            if not sized:
                raise Refusal("size_not_on_scale", size=size)
            figures["size"] = _on_scale(kind_id, "size", size, "size_not_on_scale")
            if (quantity == "0") != (size == "S0"):
                raise Refusal("size_beside_none", grade=quantity, size=size)
        if found["letter"]:
            figures["depth"] = _depth(kind_id, quantity, found["letter"].lower())
        return figures

    return read


def _depth(kind_id: str, quantity: str, letter: str) -> str:
    if require(kind_id).component("depth") is None:
        raise Refusal("no_letter_on_scale", letter=letter)
    if quantity == "0":
        raise Refusal("no_letter_at_grade", grade=quantity, letter=letter)
    return _letter(kind_id, "depth", letter)


def _reader_of_number(kind_id: str, component: str) -> Callable[[re.Match[str]], Figures]:
    def read(found: re.Match[str]) -> Figures:
        return {component: _on_scale(kind_id, component, _tidy(found["n"]))}

    return read


def _read_d3359(found: re.Match[str]) -> Figures:
    method = found["letter"].upper()
    component = "x_cut" if method == "A" else "cross_cut"
    return {component: _on_scale("astm-d3359", component, _tidy(found["n"]) + method)}


_PARTS = {"A": "density", "B": "size", "C": "depth"}


def _read_g46(found: re.Match[str]) -> Figures:
    figures: Figures = {}
    for letter, number in re.findall(r"([A-Za-z])\s*-?\s*(\d+(?:[.,]\d+)?)", found[0]):
        component = _PARTS.get(letter.upper())
        if component is None:
            raise Refusal("letter_not_on_scale", letter=letter)
        if component in figures:
            raise Refusal("given_twice", letter=letter.upper())
        grade = f"{letter.upper()}-{_tidy(number)}"
        figures[component] = _on_scale("astm-g46", component, grade)
    return figures


def _read_words(found: re.Match[str]) -> Figures:
    return {"condition": found[0].lower()}


def _write_iso(component: str, before: str = "") -> Callable[[Mapping[str, str]], str]:
    def written(grades: Mapping[str, str]) -> str:
        size = f"({grades['size']})" if "size" in grades else ""
        return before + grades[component] + size + grades.get("depth", "")

    return written


def _plain(component: str, before: str = "") -> Callable[[Mapping[str, str]], str]:
    return lambda grades: before + grades[component]


def _form(
    pattern: str, read: Callable[[re.Match[str]], Figures], write_: Callable[..., str]
) -> _Form:
    return _Form(re.compile(pattern, re.IGNORECASE | re.ASCII), read, write_)


def _iso(kind_id: str, word: str, component: str = "quantity", *, sized: bool = True) -> _Form:
    pattern = rf"(?:{word}\s*)?{_N}{_SIZE}{_LETTER}"
    return _form(pattern, _reader_of_iso(kind_id, component, sized=sized), _write_iso(component))


def _numbered(kind_id: str, component: str, before: str) -> _Form:
    pattern = rf"(?:{before.strip()}\s*)?{_N}"
    return _form(pattern, _reader_of_number(kind_id, component), _plain(component, before))


_FORMS: Mapping[str, _Form] = MappingProxyType(
    {
        "astm-d714-2002": _form(
            rf"(?:no\.?\s*)?{_N}\s*-?\s*(?P<letters>[A-Za-z]{{0,2}})",
            _read_d714,
            lambda grades: grades["size"] + grades.get("frequency", ""),
        ),
        "iso-4628-2-2016": _iso("iso-4628-2-2016", "blistering"),
        "iso-4628-3-2016": _form(
            rf"Ri\s*{_N}{_SIZE}{_LETTER}",
            _reader_of_iso("iso-4628-3-2016", "rust"),
            _write_iso("rust", "Ri "),
        ),
        "iso-4628-4-2016": _iso("iso-4628-4-2016", "cracking"),
        "iso-4628-5-2016": _iso("iso-4628-5-2016", "flaking"),
        "iso-4628-6-2011": _iso("iso-4628-6-2011", "chalking", "chalking", sized=False),
        "astm-d610-2008": _form(
            rf"{_N}\s*-?\s*(?P<letters>[A-Za-z]?)",
            _read_d610,
            lambda grades: "-".join(grades[c] for c in ("grade", "distribution") if c in grades),
        ),
        "european-rust": _form(
            rf"Re\s*{_N}", _reader_of_number("european-rust", "rust"), _plain("rust", "Re ")
        ),
        "astm-g46": _form(
            r"[A-Z]\s*-?\s*\d+(?:[.,]\d+)?(?:\s*[,;]?\s*[A-Z]\s*-?\s*\d+(?:[.,]\d+)?)*",
            _read_g46,
            lambda grades: ", ".join(grades[c] for c in _PARTS.values() if c in grades),
        ),
        "astm-d3359": _form(
            rf"{_N}\s*(?P<letter>[AB])",
            _read_d3359,
            lambda grades: next(iter(grades.values())),
        ),
        "iso-2409": _numbered("iso-2409", "class", "Gt "),
        "navy-fr": _numbered("navy-fr", "rating", "FR "),
        "navy-pdr": _numbered("navy-pdr", "rating", "PDR "),
        "level-of-fouling": _numbered("level-of-fouling", "level", "LoF "),
        "imo-coating-1330": _form(
            r"good|fair|poor", _read_words, lambda grades: grades["condition"].upper()
        ),
    }
)

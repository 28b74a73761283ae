"""The catalogue itself: compiled, complete, and by the rules."""

from __future__ import annotations

import importlib.util
import re
from collections import Counter
from pathlib import Path
from types import ModuleType

import pytest

ROOT = Path(__file__).parents[2]


@pytest.fixture(scope="module")
def maker() -> ModuleType:
    spec = importlib.util.spec_from_file_location(
        "make_catalogue", ROOT / "resources" / "make_catalogue.py"
    )
    assert spec
    assert spec.loader
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_the_compiled_catalogue_is_current(maker: ModuleType) -> None:
    for language in maker.languages():
        assert maker.target(language).read_bytes() == maker.compiled(language), (
            "run: python resources/make_catalogue.py"
        )


def test_compiling_twice_gives_the_same_bytes(maker: ModuleType) -> None:
    assert maker.compiled("en_GB") == maker.compiled("en_GB")
    assert b"Creation-Date" not in maker.compiled("en_GB")


def test_the_base_comes_first(maker: ModuleType) -> None:
    assert maker.languages()[0] == "en_GB"


def test_an_override_words_only_what_the_base_has_and_with_its_fields(maker: ModuleType) -> None:
    base = maker.messages("en_GB")
    for code, message in maker.worded("en_US").items():
        assert code in base, code
        known = {name for text in maker.texts(base[code][1]) for name in maker.fields(text)}
        used = {name for text in maker.texts(message) for name in maker.fields(text)}
        assert used <= known, code
        assert isinstance(message.id, tuple) == isinstance(base[code][1].id, tuple), code


@pytest.mark.parametrize(
    ("base", "other"),
    [
        ("Colour of the antifouling", "Color of the bottom paint"),
        ("Antifouling, {colour}", "Bottom paint, {colour}"),
        ("three haul-outs, one haul-out", "three haulouts, one haulout"),
        ("GRP and grpx", "fiberglass and grpx"),
        ("colour-coded", "colour-coded"),
    ],
)
def test_terms_are_put_into_sentences_and_not_into_fields(
    maker: ModuleType, base: str, other: str
) -> None:
    assert maker.reworded(base, maker.terms("en_US")) == other


def test_the_us_sentences_hold_no_uk_word(maker: ModuleType) -> None:
    words = maker.terms("en_US")
    for code, message in maker.worded("en_US").items():
        for text in maker.texts(message):
            assert maker.reworded(text, words) == text, code


def test_plural_forms_of_a_sentence_have_the_same_fields(maker: ModuleType) -> None:
    for code, (_path, message) in maker.messages("en_GB").items():
        one, *others = (maker.fields(text) | {"n"} for text in maker.texts(message))
        assert all(other == one for other in others), code


def test_no_sentence_has_stray_spaces(maker: ModuleType) -> None:
    for language in maker.languages():
        for code, (path, message) in maker.messages(language).items():
            for text in maker.texts(message):
                assert text == text.strip(), f"{path.name}: {code}"
                assert "  " not in text, f"{path.name}: {code}"
                assert '"' not in text, f"{path.name}: {code} has straight quotation marks"


def test_every_source_file_is_read(maker: ModuleType) -> None:
    for language in maker.languages():
        written = Counter(
            code
            for path in (maker.SOURCE / language).glob("*.po")
            for code in re.findall(r'^msgid "(.+)"$', path.read_text("utf-8"), re.MULTILINE)
        )
        assert set(written) == set(maker.messages(language))


HEAD = 'msgid ""\nmsgstr "Content-Type: text/plain; charset=utf-8\\n"\n\n'


@pytest.mark.parametrize(
    ("files", "problem"),
    [
        ({"a": 'msgid "x.y"\nmsgstr "One"\n', "b": 'msgid "x.y"\nmsgstr "Two"\n'}, "stands in a"),
        ({"a": 'msgid "x.y"\nmsgstr "One"\n\nmsgid "x.y"\nmsgstr "One"\n'}, "stands twice"),
        ({"a": 'msgid "x.y"\nmsgstr "Give {0}"\n'}, "no named field"),
        ({"a": 'msgid "x.y"\nmsgstr "Give {}"\n'}, "no named field"),
        ({"a": 'msgid "x.y"\nmsgstr "Give {a.b}"\n'}, "no named field"),
        ({"a": 'msgid "x.y"\nmsgstr ""\n'}, "no wording"),
        ({"a": 'msgid "Two words"\nmsgstr "One"\n'}, "is no code"),
    ],
)
def test_what_breaks_a_rule_is_named(
    maker: ModuleType,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    files: dict[str, str],
    problem: str,
) -> None:
    (tmp_path / "en_GB").mkdir()
    for name, text in files.items():
        (tmp_path / "en_GB" / f"{name}.po").write_text(HEAD + text, encoding="utf-8")
    monkeypatch.setattr(maker, "SOURCE", tmp_path)
    with pytest.raises(maker.Wrong, match=problem):
        maker.messages("en_GB")

"""Sentences stand in the catalogue only, and every code that the program says is there."""

from __future__ import annotations

import ast
import re

import pytest
from house import Module, called, calls, docstrings, modules, texts

from hulllog.words import codes
from hulllog.words.catalogue import _own

FIELD = re.compile(r"\{([a-z][a-z0-9_]*)\}")
SENTENCE = re.compile(r"(^|[.!?:] )[A-Z][a-z]+ ([\w’'-]+ ){2,}|\w+ \w+ \w+ \w+[.!?]$")
# Names of documents are data, said as they are; what goes to a developer is no sentence for a
# person: the log, an error of ours, SQL.
TITLE_CALLS = {"Source", "cite"}
TITLE_KEYWORDS = {"source", "standard", "edition"}
FOR_DEVELOPERS = {
    "debug", "info", "warning", "error", "exception", "critical",
    "ValueError", "TypeError", "RuntimeError", "AssertionError", "KeyError", "LookupError",
    "NotImplementedError", "text", "execute", "exec_driver_sql", "CheckConstraint", "UnknownCode",
}  # fmt: skip


def _quiet(tree: ast.Module) -> set[int]:
    """Return the ids of texts that no person reads in the program."""
    quiet = docstrings(tree)
    for call in calls(tree, *TITLE_CALLS, *FOR_DEVELOPERS):
        quiet |= {id(node) for node in ast.walk(call)}
    for node in ast.walk(tree):
        titled = isinstance(node, ast.Assign | ast.AnnAssign) and _is_title(node)
        if titled or (isinstance(node, ast.keyword) and node.arg in TITLE_KEYWORDS):
            quiet |= {id(one) for one in ast.walk(node)}
    return quiet


def _is_title(node: ast.Assign | ast.AnnAssign) -> bool:
    """Tell whether a constant holds titles of documents or SQL, by its name."""
    targets = node.targets if isinstance(node, ast.Assign) else [node.target]
    names = " ".join(ast.unparse(target) for target in targets)
    return bool(re.search(r"(?i)source|title|standard|handbook|sql|style|sheet|css", names))


def test_only_the_catalogue_holds_sentences() -> None:
    found = [
        f"{module.at(node)} {node.value[:60]!r}"
        for module in modules()
        for node in sentences(module.tree)
    ]
    assert not found, "sentences belong in resources/words:\n" + "\n".join(found)


def sentences(tree: ast.Module) -> list[ast.Constant]:
    """Return the texts in a module that look like sentences for a person."""
    quiet = _quiet(tree)
    return [
        node
        for node in ast.walk(tree)
        if isinstance(node, ast.Constant)
        and isinstance(node.value, str)
        and id(node) not in quiet
        and SENTENCE.search(node.value)
    ]


@pytest.mark.parametrize(
    ("source", "how_many"),
    [
        ('label.setText("Nothing was found here")', 1),
        ('raise Refused("The mass is too large")', 1),
        ('what = f"Two zones of {name} were not seen."', 1),
        ('say("page.today")', 0),
        ('"""Return the zone that was picked."""', 0),
        ('log.warning("The window was closed early")', 0),
        ('Source("published", "Test Methods for Anodes in Sea Water")', 0),
        ('Kind(source=published("A Scale of Many Steps, second edition"))', 0),
        ('Kind(label="The mass is too large")', 1),
        ('key = "coat of zone"', 0),
    ],
)
def test_the_check_itself_knows_a_sentence(source: str, how_many: int) -> None:
    assert len(sentences(ast.parse(source))) == how_many


def said() -> list[tuple[Module, ast.Call]]:
    """Return every call that says a code."""
    return [(module, call) for module in modules() for call in calls(module.tree, "say", "say_n")]


def _first_text(call: ast.Call) -> list[str]:
    return list(texts(call.args[0])) if call.args else []


def test_every_code_that_is_said_is_in_the_catalogue() -> None:
    missing = [
        f"{module.at(call)} {code}"
        for module, call in said()
        for code in _first_text(call)
        if code not in codes()
    ]
    assert not missing, "\n".join(missing)


def test_every_family_of_codes_that_is_said_is_in_the_catalogue() -> None:
    families = [
        (module.at(call), _beginning(call.args[0]))
        for module, call in said()
        if call.args and isinstance(call.args[0], ast.JoinedStr)
    ]
    families += [
        (module.at(call), f"{prefix}.")
        for module in modules()
        for call in calls(module.tree, "say_code")
        for prefix in _first_text(call)
    ]
    missing = [
        f"{where} {beginning}"
        for where, beginning in families
        if beginning and not any(code.startswith(beginning) for code in codes())
    ]
    assert not missing, "\n".join(missing)


def _beginning(text: ast.JoinedStr) -> str:
    first = text.values[0]
    return str(first.value) if isinstance(first, ast.Constant) else ""


def test_every_field_of_a_sentence_is_given() -> None:
    wrong = []
    for module, call in said():
        if any(keyword.arg is None for keyword in call.keywords):
            continue
        given = {keyword.arg for keyword in call.keywords}
        given |= {"n"} if called(call) == "say_n" else set()
        for code in _first_text(call):
            wanted = set(FIELD.findall(_wording(code)))
            if wanted - given:
                wrong.append(f"{module.at(call)} {code} wants {sorted(wanted - given)}")
    assert not wrong, "\n".join(wrong)


def _wording(code: str) -> str:
    if code not in codes():
        return ""
    translations = _own("en_GB")
    return translations.gettext(code) + translations.ngettext(code, code, 2)


ERRORS = {
    "Refusal": ("refusal",),
    "Refused": ("refused", "refusal", "problem"),
    "LogbookProblem": ("problem", "refused"),
    "WriteOutside": ("problem",),
}


def test_every_error_has_a_sentence() -> None:
    missing = [
        f"{module.at(call)} {code}"
        for module in modules()
        for name, kinds in ERRORS.items()
        for call in calls(module.tree, name)
        for code in _first_text(call)
        if not any(f"{kind}.{code}" in codes() for kind in kinds)
    ]
    assert not missing, "errors without a sentence:\n" + "\n".join(missing)


def test_every_working_is_worded() -> None:
    missing = [
        f"{module.at(call)} {code}"
        for module in modules()
        for call, code in _codes_of_workings(module.tree)
        if code not in codes()
    ]
    assert not missing, "\n".join(missing)


def _codes_of_workings(tree: ast.Module) -> list[tuple[ast.Call, str]]:
    found = []
    for call in calls(tree, "Working"):
        for keyword in call.keywords:
            if keyword.arg == "name":
                found += [(call, f"working.{name}") for name in texts(keyword.value)]
            if keyword.arg == "cautions" and isinstance(keyword.value, ast.Tuple):
                found += [
                    (call, f"caution.{code}") for one in keyword.value.elts for code in texts(one)
                ]
    for call in calls(tree, "Input"):
        notes = [*call.args[3:4], *(one.value for one in call.keywords if one.arg == "note")]
        found += [(call, f"input.{code}") for note in notes for code in texts(note) if code]
    return found


def test_every_action_has_a_name_to_undo_by() -> None:
    missing = [
        f"{module.at(call)} action.{code}"
        for module in modules()
        if module.room == "records"
        for call in calls(module.tree, "change")
        for code in _first_text(call)
        if f"action.{code}" not in codes()
    ]
    assert not missing, "actions without a name:\n" + "\n".join(missing)

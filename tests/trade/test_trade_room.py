"""What holds for the whole room: what it loads, its units, what each sum says of itself."""

from __future__ import annotations

import ast
import inspect
import subprocess
import sys
from collections.abc import Iterator
from importlib import import_module
from pathlib import Path
from pkgutil import iter_modules
from types import FunctionType, ModuleType

import pytest

import hulllog.trade
from hulllog.trade.units import UNITS

NAMES = sorted(found.name for found in iter_modules(hulllog.trade.__path__))
MODULES = [import_module(f"hulllog.trade.{name}") for name in NAMES]
_UNIT_PLACE = {"Input": 2, "within": 4, "above": 4}


def public(module: ModuleType) -> list[FunctionType]:
    return [
        found
        for name, found in vars(module).items()
        if inspect.isfunction(found) and not name.startswith("_")
        if found.__module__ == module.__name__
    ]


FUNCTIONS = [function for module in MODULES for function in public(module)]


def test_the_room_loads_no_database_no_window_and_no_scipy() -> None:
    everything = "; ".join(f"import hulllog.trade.{name}" for name in NAMES)
    script = f"import sys, hulllog.trade; {everything}; print(*sys.modules)"
    run = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, check=True, timeout=60
    )
    loaded = {name.partition(".")[0] for name in run.stdout.split()}
    unwanted = {"sqlalchemy", "PySide6", "shiboken6", "scipy", "statsmodels", "pandas", "babel"}
    assert not loaded & (unwanted | {"pymannkendall", "psychrolib", "PIL", "reportlab"})


@pytest.mark.parametrize("function", FUNCTIONS, ids=lambda f: f"{f.__module__}.{f.__qualname__}")
def test_each_public_function_is_annotated_and_says_what_it_gives(function: FunctionType) -> None:
    first = (inspect.getdoc(function) or "").partition("\n")[0]
    assert first
    assert first[0].isupper()
    hints = inspect.signature(function)
    assert hints.return_annotation is not inspect.Signature.empty
    assert all(p.annotation is not p.empty for p in hints.parameters.values())


def unit_codes(module: ModuleType) -> Iterator[tuple[int, str]]:
    """Yield the line and text of each unit that a module writes down."""
    tree = ast.parse(Path(str(module.__file__)).read_text(encoding="utf-8"))
    for node in ast.walk(tree):
        if not isinstance(node, ast.Call):
            continue
        called = getattr(node.func, "id", getattr(node.func, "attr", ""))
        place = _UNIT_PLACE.get(called)
        given = [word.value for word in node.keywords if word.arg == "unit"]
        if place is not None and len(node.args) > place:
            given.append(node.args[place])
        for value in given:
            if isinstance(value, ast.Constant) and isinstance(value.value, str):
                yield node.lineno, value.value


@pytest.mark.parametrize("module", MODULES, ids=lambda module: module.__name__)
def test_each_unit_is_known(module: ModuleType) -> None:
    assert [found for found in unit_codes(module) if found[1] not in UNITS] == []


def test_a_slope_of_any_component_has_a_unit() -> None:
    from hulllog.trade.kinds import KINDS

    entries = [part for entry in KINDS.values() for part in entry.components]
    parts = [part for part in entries if part.unit and part.followed]
    assert {f"{part.unit}/year" for part in parts} <= set(UNITS)


def test_a_file_is_short_enough_to_read() -> None:
    lengths = {m.__name__: len(inspect.getsource(m).splitlines()) for m in MODULES}
    assert {name: n for name, n in lengths.items() if n > 500} == {}

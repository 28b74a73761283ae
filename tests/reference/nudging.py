"""What in the room is a constant, and how each is put off: numbers, defaults, dates, π."""

from __future__ import annotations

import ast
import dataclasses
import inspect
import math
import sys
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction
from functools import cache
from pathlib import Path
from types import CodeType, FunctionType, MappingProxyType, ModuleType, SimpleNamespace

FACTORS = (Fraction(101, 100), Fraction(99, 100))
ROOM = "hulllog.trade"
_GUARDS = frozenset({"within", "above", "range", "round", "Refusal", "lru_cache", "Source"})
"""Calls whose numbers bound what is accepted or count steps, and are no part of a formula."""
_LEAST_WHOLE = 50
"""A whole number from here on moves by one: by 2 % at most."""
Figure = (int, float, Fraction, Decimal, date)


@dataclasses.dataclass(frozen=True)
class Constant:
    """A number in the room: in the code of a function, or in a table of a module."""

    module: str
    owner: str
    where: str
    value: str
    guard: bool = False

    def __str__(self) -> str:
        return f"{self.module}.{self.owner} {self.where}: {self.value}"


# Which functions and tables a check can reach


def plain(function: Callable[..., object]) -> FunctionType | None:
    """Return the function behind caches and wrappers, if it belongs to the room."""
    inner = inspect.unwrap(function)
    if isinstance(inner, FunctionType) and inner.__module__.startswith(ROOM):
        return inner
    return None


def names_in(code: CodeType) -> set[str]:
    """Return the global and attribute names in a code object and those nested in it."""
    nested = [const for const in code.co_consts if isinstance(const, CodeType)]
    return set(code.co_names).union(*map(names_in, nested))


def reach(function: FunctionType) -> tuple[list[FunctionType], set[tuple[str, str]]]:
    """Return the functions that a function may call in the room, and the (module, name) tables."""
    found: list[FunctionType] = []
    tables: set[tuple[str, str]] = set()
    waiting = [function]
    while waiting:
        one = waiting.pop()
        if one in found:
            continue
        found.append(one)
        names = names_in(one.__code__)
        for name in names:
            value = one.__globals__.get(name)
            if isinstance(value, ModuleType) and value.__name__.startswith(ROOM):
                waiting += [f for n in names if (f := _function(getattr(value, n, None)))]
            elif (called := _function(value)) is not None:
                waiting.append(called)
            elif isinstance(value, type) and value.__module__.startswith(ROOM):
                waiting += _methods(value, names)
            elif value is not None and list(leaves(value)):
                tables.add((one.__module__, name))
                waiting += [m for kind in _kinds_in(value) for m in _methods(kind, names)]
    return found, tables


def _function(value: object) -> FunctionType | None:
    return plain(value) if callable(value) and not isinstance(value, type) else None


def _methods(kind: type, names: set[str]) -> list[FunctionType]:
    found = []
    for name in names & set(vars(kind)):
        value = vars(kind)[name]
        method = value.fget if isinstance(value, property) else value
        if isinstance(method, FunctionType):
            found.append(method)
    return found


def _kinds_in(value: object) -> set[type]:
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        return {type(value)}
    if isinstance(value, Mapping):
        return set().union(*map(_kinds_in, value.values())) if value else set()
    if isinstance(value, (tuple, list)):
        return set().union(*map(_kinds_in, value)) if value else set()
    return set()


# Numbers in tables


def leaves(value: object, path: tuple[object, ...] = ()) -> Iterator[tuple[object, ...]]:
    """Yield the path of each number or date in a table that is not 0."""
    if isinstance(value, bool):
        return
    if isinstance(value, Figure):
        if value:
            yield path
    elif isinstance(value, Mapping):
        for key, part in value.items():
            yield from leaves(part, (*path, key))
    elif isinstance(value, (tuple, list)):
        for place, part in enumerate(value):
            yield from leaves(part, (*path, place))
    elif dataclasses.is_dataclass(value) and not isinstance(value, type):
        for field in dataclasses.fields(value):
            yield from leaves(getattr(value, field.name), (*path, field.name))


def at(value: object, path: tuple[object, ...]) -> object:
    """Return the number at a path."""
    for key in path:
        if isinstance(value, (Mapping, tuple, list)):
            value = value[key]  # type: ignore[index,call-overload]
        else:
            value = getattr(value, str(key))
    return value


def nudged(value: object, path: tuple[object, ...], factor: Fraction = FACTORS[0]) -> object:
    """Return a copy of a table with the number at the path multiplied."""
    if not path:
        return _scaled(value, factor)
    key, rest = path[0], path[1:]
    if isinstance(value, Mapping):
        copied = {k: nudged(v, rest, factor) if k == key else v for k, v in value.items()}
        return MappingProxyType(copied) if isinstance(value, MappingProxyType) else copied
    if isinstance(value, (tuple, list)):
        parts = [nudged(v, rest, factor) if n == key else v for n, v in enumerate(value)]
        return type(value)(parts)
    new = object.__new__(type(value))
    for field in dataclasses.fields(value):  # type: ignore[arg-type]
        part = getattr(value, field.name)
        part = nudged(part, rest, factor) if field.name == key else part
        object.__setattr__(new, field.name, part)
    return new


def _scaled(value: object, factor: Fraction) -> object:
    if isinstance(value, date):
        return value + timedelta(days=1 if factor > 1 else -1)
    if isinstance(value, Fraction):
        return value * factor
    if isinstance(value, int):
        product = value * factor
        return int(product) if product.denominator == 1 else float(product)
    if isinstance(value, Decimal):
        return value * Decimal(factor.numerator) / Decimal(factor.denominator)
    return float(value) * float(factor)  # type: ignore[arg-type]


def steps(value: object) -> tuple[Fraction, ...]:
    """Return the factors that move a whole number by one, where that is a small step."""
    if not isinstance(value, int) or value < _LEAST_WHOLE:
        return ()
    return Fraction(value + 1, value), Fraction(value - 1, value)


@cache
def _modules(_loaded: int) -> tuple[ModuleType, ...]:
    """Return the modules of the room and of the tests; looked for again when more are loaded."""
    known = [(getattr(one, "__name__", ""), one) for one in list(sys.modules.values())]
    return tuple(one for name, one in known if name.startswith((ROOM, "test_reference_")))


@cache
def _caches(loaded: int) -> tuple[Callable[[], None], ...]:
    found = [value for one in _modules(loaded) for value in vars(one).values()]
    return tuple(value.cache_clear for value in found if hasattr(value, "cache_clear"))


@contextmanager
def replaced(old: object, new: object) -> Iterator[None]:
    """Put one object in the place of another, under every name that a module has for it."""
    touched = []
    for module in _modules(len(sys.modules)):
        for name, value in list(vars(module).items()):
            if value is old and name != "__builtins__":
                touched.append((module, name))
                setattr(module, name, new)
    try:
        yield
    finally:
        for module, name in touched:
            setattr(module, name, old)


# Numbers in code


class Numbers(ast.NodeVisitor):
    """Collect the number nodes of a function, and whether each only guards."""

    def __init__(self) -> None:
        self.found: list[tuple[ast.Constant, bool]] = []
        self.guarded_names: set[str] = set()
        self._guard = 0

    def visit_Constant(self, node: ast.Constant) -> None:
        if isinstance(node.value, (int, float)) and not isinstance(node.value, bool) and node.value:
            self.found.append((node, self._guard > 0))

    def visit_Name(self, node: ast.Name) -> None:
        if self._guard:
            self.guarded_names.add(node.id)

    def visit_Subscript(self, node: ast.Subscript) -> None:
        self.visit(node.value)

    def visit_arguments(self, node: ast.arguments) -> None:
        del node

    def visit_Call(self, node: ast.Call) -> None:
        called = getattr(node.func, "id", getattr(node.func, "attr", ""))
        guards = called in _GUARDS
        self.visit(node.func)
        self._guard += guards
        for part in (*node.args, *node.keywords):
            self.visit(part)
        self._guard -= guards


@dataclasses.dataclass
class Source:
    """A module's syntax tree, and the functions in it by name and line."""

    tree: ast.Module
    path: str
    functions: dict[int, ast.FunctionDef]


_sources: dict[str, Source] = {}


def source_of(module: str) -> Source:
    """Return the syntax tree of a module, read once."""
    if module not in _sources:
        path = str(sys.modules[module].__file__)
        tree = ast.parse(Path(path).read_text(encoding="utf-8"))
        functions = {
            node.lineno: node for node in ast.walk(tree) if isinstance(node, ast.FunctionDef)
        }
        _sources[module] = Source(tree, path, functions)
    return _sources[module]


def node_of(function: FunctionType) -> ast.FunctionDef | None:
    """Return the syntax of a function; decorators come before its line."""
    source = source_of(function.__module__)
    first = function.__code__.co_firstlineno
    near = [line for line in source.functions if first <= line <= first + 8]
    found = [source.functions[line] for line in sorted(near)]
    return next((node for node in found if node.name == function.__name__), None)


def code_in(module_code: CodeType, function: FunctionType) -> CodeType:
    """Return the code of a function out of the code of its module."""
    waiting = [module_code]
    while waiting:
        code = waiting.pop()
        same_place = code.co_firstlineno == function.__code__.co_firstlineno
        if code.co_qualname == function.__code__.co_qualname and same_place:
            return code
        waiting += [const for const in code.co_consts if isinstance(const, CodeType)]
    raise LookupError(function.__qualname__)


@contextmanager
def rewritten(function: FunctionType, node: ast.Constant, factor: Fraction) -> Iterator[None]:
    """Run a function with one of its numbers multiplied."""
    source = source_of(function.__module__)
    old_value, old_code = node.value, function.__code__
    assert isinstance(old_value, (int, float))
    node.value = _scaled(old_value, factor)  # type: ignore[assignment]
    try:
        function.__code__ = code_in(compile(source.tree, source.path, "exec"), function)
    finally:
        node.value = old_value
    try:
        yield
    finally:
        function.__code__ = old_code


@contextmanager
def defaulted(function: FunctionType, name: str, factor: Fraction) -> Iterator[None]:
    """Run a function with one of its defaults multiplied."""
    places, words = function.__defaults__, function.__kwdefaults__
    positional = function.__code__.co_varnames[: function.__code__.co_argcount]
    if words and name in words:
        function.__kwdefaults__ = words | {name: _scaled(words[name], factor)}
    else:
        given = list(places or ())
        place = positional.index(name) - len(positional)
        given[place] = _scaled(given[place], factor)
        function.__defaults__ = tuple(given)
    try:
        yield
    finally:
        function.__defaults__, function.__kwdefaults__ = places, words


def defaults_of(function: FunctionType) -> dict[str, object]:
    """Return the defaults of a function that are numbers and not 0."""
    found = inspect.signature(function).parameters.values()
    return {one.name: one.default for one in found if list(leaves(one.default))}


@contextmanager
def other_pi(module: ModuleType, factor: Fraction) -> Iterator[None]:
    """Run a module with another π."""
    module.math = SimpleNamespace(**{**vars(math), "pi": math.pi * float(factor)})  # type: ignore[attr-defined]
    try:
        yield
    finally:
        module.math = math  # type: ignore[attr-defined]


def forget() -> None:
    """Empty every cache of the room."""
    for clear in _caches(len(sys.modules)):
        clear()

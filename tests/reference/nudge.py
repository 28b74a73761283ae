"""Show that the checks would notice a wrong constant: nudge each by 1 %, up and down, and run them.

    python tests/reference/nudge.py                            # writes NUDGED.md, noticed.json
    python tests/reference/nudge.py test_reference_trend ...   # only tells

Three questions.  Does each check fail when its function's result is 1 % off?
Does each check fail for at least one constant of its function or of a helper?  Which constants can
be 1 % off and no check of any function that uses them fails?
A check that notices no constant does not count.  For the others ``noticed.json`` keeps one that
each notices, so that a test can nudge it again.
"""

from __future__ import annotations

import ast
import dataclasses
import inspect
import json
import sys
from collections.abc import Callable, Collection, Iterator, Mapping
from contextlib import AbstractContextManager, contextmanager
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from types import CodeType, FunctionType, MappingProxyType, ModuleType

HERE = Path(__file__).parent
if str(HERE) not in sys.path:
    sys.path.insert(0, str(HERE))

from checks import COUNTED, NOTICED, Check, run  # noqa: E402
from write_page import every_check  # noqa: E402

REPORT = HERE / "NUDGED.md"
FACTORS = (Fraction(101, 100), Fraction(99, 100))
ROOM = "hulllog.trade"
_GUARDS = frozenset({"within", "above", "range", "round", "Refusal", "lru_cache", "Source"})
"""Calls whose numbers bound what is accepted or count steps, and are no part of a formula."""
_SKIPPED = frozenset({"KINDS", "STANDARD_KINDS", "OWN_KINDS"})
_MOST_LEAVES = 400
Figure = (int, float, Fraction, Decimal)


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
            elif value is not None and name not in _SKIPPED and list(leaves(value)):
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
    """Yield the path of each number in a table that is not 0."""
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
        if isinstance(value, int):
            return float(value * factor)
        return value * factor if isinstance(value, Fraction) else _scaled(value, factor)
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
    if isinstance(value, Decimal):
        return value * Decimal(factor.numerator) / Decimal(factor.denominator)
    return float(value) * float(factor)  # type: ignore[arg-type]


@contextmanager
def replaced(old: object, new: object) -> Iterator[None]:
    """Put one object in the place of another, under every name that a module has for it."""
    touched = []
    for module in list(sys.modules.values()):
        known = getattr(module, "__name__", "")
        if not known.startswith((ROOM, "test_reference_")):
            continue
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


class _Numbers(ast.NodeVisitor):
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
    node.value = float(old_value * float(factor))
    try:
        function.__code__ = code_in(compile(source.tree, source.path, "exec"), function)
    finally:
        node.value = old_value
    try:
        yield
    finally:
        function.__code__ = old_code


# The run


def forget() -> None:
    """Empty every cache of the room."""
    for module in list(sys.modules.values()):
        if getattr(module, "__name__", "").startswith(ROOM):
            for value in vars(module).values():
                clear = getattr(value, "cache_clear", None)
                if clear is not None:
                    clear()


def notices(check: Check) -> bool | None:
    """Tell whether a check fails now; None where the nudge is no figure, such as an index."""
    forget()
    try:
        run(check)
    except (TypeError, KeyError, IndexError):
        return None
    except Exception:  # noqa: BLE001 - a refusal or an overflow is noticed too
        return True
    return False


@contextmanager
def result_off(function: Callable[..., object], touched: list[object]) -> Iterator[None]:
    """Run with the figures of a function's result 1 % too large; ``touched`` collects them."""

    def wrapped(*given: object, **named: object) -> object:
        result = function(*given, **named)
        for path in list(leaves(result)):
            if path and path[0] in ("inputs", "level", "n"):
                continue
            touched.append(path)
            result = nudged(result, path)
        return result

    with replaced(function, wrapped):
        yield


def notices_result(check: Check) -> bool | None:
    """Tell whether a check notices its function's result 1 % off; None without a figure in it."""
    touched: list[object] = []
    with result_off(check.function, touched):
        noticed = notices(check) is not False
    return noticed if touched else None


Nudge = Callable[[Fraction], AbstractContextManager[None]]


def constants(checks: list[Check]) -> dict[Constant, tuple[Nudge, list[Check]]]:
    """Return each number that checks reach, how to nudge it, and the checks that reach it."""
    found: dict[Constant, tuple[Nudge, list[Check]]] = {}
    for check in checks:
        function = plain(check.function)
        assert function is not None, check.name
        functions, tables = reach(function)
        guarded: set[str] = set()
        for one in functions:
            node = node_of(one)
            if node is None:
                continue
            numbers = _Numbers()
            for statement in node.body:
                numbers.visit(statement)
            guarded |= numbers.guarded_names
            for place, (number, guard) in enumerate(numbers.found, 1):
                key = Constant(
                    one.__module__.removeprefix(ROOM + "."),
                    one.__qualname__,
                    f"number {place}",
                    repr(number.value),
                    guard,
                )
                make = _rewriter(one, number)
                found.setdefault(key, (make, []))[1].append(check)
        for module, name in sorted(tables):
            value = getattr(sys.modules[module], name)
            paths = list(leaves(value))
            if len(paths) > _MOST_LEAVES:
                continue
            for path in paths:
                key = Constant(
                    module.removeprefix(ROOM + "."),
                    name,
                    "/".join(map(str, path)),
                    str(at(value, path)),
                    name in guarded and not path,
                )
                found.setdefault(key, (_replacer(value, path), []))[1].append(check)
    return found


def _rewriter(function: FunctionType, node: ast.Constant) -> Nudge:
    return lambda factor: rewritten(function, node, factor)


def _replacer(value: object, path: tuple[object, ...]) -> Nudge:
    return lambda factor: replaced(value, nudged(value, path, factor))


@dataclasses.dataclass
class Outcome:
    """What the run found."""

    checks: list[Check]
    results: dict[int, bool | None]
    noticed: dict[Constant, list[Check]]
    reached: dict[Constant, list[Check]]


def everything(names: Collection[str] = ()) -> Outcome:
    """Nudge what all tests, or those of some modules, reach, and return what was noticed."""
    checks = [c for c in every_check() if not names or c.test.__module__ in names]
    for check in checks:
        run(check)  # a check that fails before any nudge would seem to notice all
    results = {place: notices_result(check) for place, check in enumerate(checks)}
    noticed: dict[Constant, list[Check]] = {}
    reached: dict[Constant, list[Check]] = {}
    for constant, (make, users) in constants(checks).items():
        told: dict[int, bool | None] = {}
        for factor in FACTORS:
            with make(factor):
                told |= {id(c): notices(c) for c in users if not told.get(id(c))}
        if None in told.values() and True not in told.values():
            continue
        reached[constant] = users
        noticed[constant] = [check for check in users if told[id(check)]]
    forget()
    return Outcome(checks, results, noticed, reached)


def witnesses(outcome: Outcome) -> dict[str, str]:
    """Return, by a check's key, one constant that it notices, of its own function if there is one.

    Numbers that only bound what is accepted are no witness.
    """
    found: dict[str, str] = {}
    for check in outcome.checks:
        heard = [c for c, users in outcome.noticed.items() if not c.guard and check in users]
        own = [c for c in heard if f"{c.module}.{c.owner}" == check.name]
        if heard:
            found[check.key] = str((own or heard)[0])
    return found


def notices_again(checks: list[Check], told: Mapping[str, str]) -> list[Check]:
    """Return the checks that do not fail when the constant named for them is 1 % off."""
    makes = {str(constant): make for constant, (make, _) in constants(checks).items()}
    deaf = []
    for check in checks:
        make = makes.get(told[check.key])
        if make is None or not any(_fails(check, make, factor) for factor in FACTORS):
            deaf.append(check)
    forget()
    return deaf


def _fails(check: Check, make: Nudge, factor: Fraction) -> bool:
    with make(factor):
        return notices(check) is True


def report(outcome: Outcome) -> str:
    """Return the report of a run."""
    figured = {n: told for n, told in outcome.results.items() if told is not None}
    formula = {c: users for c, users in outcome.noticed.items() if not c.guard}
    guards = {c: users for c, users in outcome.noticed.items() if c.guard}
    hearing = {id(check) for users in formula.values() for check in users}
    able = {id(c) for constant in formula for c in outcome.reached[constant]}
    deaf = [outcome.checks[n] for n, told in figured.items() if not told]
    silent = [c for c in outcome.checks if id(c) in able and id(c) not in hearing]
    bound = [c for c in outcome.checks if c.tag in COUNTED]
    firm = [c for c in bound if id(c) in hearing]
    told = {id(outcome.checks[n]) for n, noticed in figured.items() if noticed}
    nothing = {id(check) for check in outcome.checks} - told - hearing
    unheard = sorted(str(c) for c, users in formula.items() if not users)
    return "\n".join(
        [
            "# What the checks would notice",
            "",
            "Written by `tests/reference/nudge.py`.  Each number is made 1 % larger, then smaller.",
            "",
            f"- {len(bound)} checks are against sources beyond this project.",
            f"  {len(firm)} of them fail when a constant of their sum is 1 % off, and count;",
            f"  {len(bound) - len(firm)} do not, and do not count.",
            f"- {len(outcome.checks)} checks in all;",
            f"  {len(figured)} of them try a function that gives figures;",
            f"  {len(figured) - len(deaf)} of them fail when its result is 1 % off.",
            f"- {len(able)} checks reach numbers in formulas and tables;",
            f"  {len(able) - len(silent)} of them fail when at least one of these is 1 % off.",
            f"- {len(formula)} numbers in formulas and tables are reached;",
            f"  {len(formula) - len(unheard)} are noticed by at least one check.",
            f"- {len(guards)} numbers only bound what is accepted;",
            f"  {sum(map(bool, guards.values()))} are noticed, the rest is for the room's tests.",
            "",
            "## Checks that do not count, since they notice no constant",
            "",
            *_list([_named(c) for c in bound if id(c) not in hearing]),
            "",
            "## Checks that notice neither their result nor any number",
            "",
            "They compare codes, dates and verdicts alone.",
            "",
            *_list([_named(check) for check in outcome.checks if id(check) in nothing]),
            "",
            "## Checks that do not notice a result 1 % off",
            "",
            *_list([_named(check) for check in deaf]),
            "",
            "## Checks that notice none of the numbers they reach",
            "",
            "What most of these reach are counts, places and caps: 1, 2, the first of a list.",
            "",
            *_list([_named(check) for check in silent]),
            "",
            "## Numbers that no check notices",
            "",
            *_list(unheard),
            "",
        ]
    )


def _named(check: Check) -> str:
    return f"`{check.name}` against {check.source} ({check.tag})"


def _list(lines: list[str]) -> list[str]:
    return [f"- {line}" for line in lines] or ["None."]


if __name__ == "__main__":
    chosen = sys.argv[1:]
    outcome = everything(chosen)
    told = report(outcome)
    if not chosen:
        kept = json.dumps(witnesses(outcome), indent=0, ensure_ascii=False, sort_keys=True)
        NOTICED.write_text(kept + "\n", encoding="utf-8")
        REPORT.write_text(told, encoding="utf-8")
    sys.stdout.write(told)

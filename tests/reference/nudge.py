"""Show that the checks would notice a wrong constant: nudge each by 1 %, up and down, and run them.

    python tests/reference/nudge.py                            # writes NUDGED.md
    python tests/reference/nudge.py test_reference_trend ...   # only tells

Three questions.  Does each check fail for at least one constant of its function or of a helper?
Does each check of figures fail when its function's result is 1 % off?  Which constants can be 1 %
off and no check of any function that uses them fails?

A constant is a number in a formula, in a table or in a default, π, or a date, which is put off by
a day.  A number that can only be whole is moved by one, where that is 2 % at most.  Some sums hold
none: a product, a quotient, a line between two rows.  Where no constant moves any of the figures
that a check compares, and only there, the factor of one before the formula is made 1 % off.

A check that notices none is a failure of the tests and of this run.
"""

from __future__ import annotations

import ast
import dataclasses
import inspect
import math
import sys
from collections.abc import Callable, Collection, Iterator, Mapping
from contextlib import AbstractContextManager, contextmanager
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction
from functools import cache, partial
from pathlib import Path
from types import CodeType, FunctionType, MappingProxyType, ModuleType, SimpleNamespace

HERE = Path(__file__).parent
if str(HERE) not in sys.path:
    sys.path.insert(0, str(HERE))

from checks import COUNTED, Check, run  # noqa: E402
from write_page import every_check  # noqa: E402

REPORT = HERE / "NUDGED.md"
FACTORS = (Fraction(101, 100), Fraction(99, 100))
ROOM = "hulllog.trade"
_GUARDS = frozenset({"within", "above", "range", "round", "Refusal", "lru_cache", "Source"})
"""Calls whose numbers bound what is accepted or count steps, and are no part of a formula."""
_ONLY: Mapping[str, str] = MappingProxyType({"KINDS": "repeatability"})
"""Of a large table, the one part whose numbers are in formulas; its other numbers bound inputs."""
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


# The run


def forget() -> None:
    """Empty every cache of the room."""
    for clear in _caches(len(sys.modules)):
        clear()


def notices(check: Check) -> bool | None:
    """Tell whether a check fails now; None where the nudge is no figure, such as an index."""
    return heard(check)[0]


def heard(check: Check) -> tuple[bool | None, list[object]]:
    """Tell whether a check fails now, and what the room answered; None as in ``notices``."""
    forget()
    try:
        return False, run(check).ours
    except (TypeError, KeyError, IndexError):
        return None, []
    except Exception:  # noqa: BLE001 - a refusal or an overflow is noticed too
        return True, []


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


@dataclasses.dataclass
class Reached:
    """A constant's value, how to nudge it, and the checks that reach it."""

    value: object
    make: Nudge
    users: list[Check]


def constants(checks: list[Check]) -> dict[Constant, Reached]:
    """Return each constant that checks reach."""
    found: dict[Constant, Reached] = {}
    for check in checks:
        function = plain(check.function)
        assert function is not None, check.name
        for key, value, make in _reached(function):
            found.setdefault(key, Reached(value, make, [])).users.append(check)
    return found


def _reached(function: FunctionType) -> Iterator[tuple[Constant, object, Nudge]]:
    functions, tables = reach(function)
    guarded: set[str] = set()
    circles: dict[str, ModuleType] = {}
    for one in functions:
        module, node = one.__module__.removeprefix(ROOM + "."), node_of(one)
        if node is None:
            continue
        if {"math", "pi"} <= names_in(one.__code__):
            circles[module] = sys.modules[one.__module__]
        numbers = _Numbers()
        for statement in node.body:
            numbers.visit(statement)
        guarded |= numbers.guarded_names
        for place, (number, guard) in enumerate(numbers.found, 1):
            where = f"number {place}"
            key = Constant(module, one.__qualname__, where, repr(number.value), guard)
            yield key, number.value, partial(rewritten, one, number)
        for name, value in defaults_of(one).items():
            key = Constant(module, one.__qualname__, f"default of {name}", str(value))
            yield key, value, partial(defaulted, one, name)
    for name, circle in circles.items():
        key = Constant(name, "math.pi", "", str(math.pi))
        yield key, math.pi, partial(other_pi, circle)
    for module, name in sorted(tables):
        table = getattr(sys.modules[module], name)
        short = module.removeprefix(ROOM + ".")
        for path in leaves(table):
            if _ONLY.get(name, "") not in ("", *path):
                continue
            guard = name in guarded and not path
            key = Constant(short, name, "/".join(map(str, path)), str(at(table, path)), guard)
            yield key, at(table, path), _replacer(table, path)


def _replacer(value: object, path: tuple[object, ...]) -> Nudge:
    return lambda factor: replaced(value, nudged(value, path, factor))


@dataclasses.dataclass
class Outcome:
    """What the run found."""

    checks: list[Check]
    results: dict[int, bool | None]
    noticed: dict[Constant, list[Check]]
    reached: dict[Constant, list[Check]]
    still: set[int]
    """The checks whose figures no constant moves."""

    @property
    def hearing(self) -> set[int]:
        """Return the checks that notice a constant; what only bounds inputs is none."""
        formulas = (users for constant, users in self.noticed.items() if not constant.guard)
        return {id(check) for users in formulas for check in users}

    @property
    def ones(self) -> list[Check]:
        """Return the checks of figures that hang on no constant and that notice them 1 % off."""
        return [
            check
            for place, check in enumerate(self.checks)
            if id(check) in self.still - self.hearing and self.results[place]
        ]

    @property
    def deaf(self) -> list[Check]:
        """Return the checks that notice nothing."""
        heard_ = self.hearing | {id(check) for check in self.ones}
        return [check for check in self.checks if id(check) not in heard_]


def everything(checks: list[Check]) -> Outcome:
    """Nudge what the checks reach and return what was noticed."""
    # A check that fails before any nudge would seem to notice all.
    before = {id(check): run(check).ours for check in checks}
    results = {place: notices_result(check) for place, check in enumerate(checks)}
    outcome = Outcome(checks, results, {}, {}, {id(c) for c in checks if run(c).figures})
    for constant, reached in constants(checks).items():
        told = _told(reached, FACTORS, before, outcome.still, constant.guard)
        if True not in told.values() and None in told.values():
            whole = steps(reached.value)
            told = _told(reached, whole, before, outcome.still, constant.guard)
        if not told or (None in told.values() and True not in told.values()):
            continue
        outcome.reached[constant] = reached.users
        outcome.noticed[constant] = [check for check in reached.users if told[id(check)]]
    forget()
    return outcome


def _told(
    reached: Reached,
    factors: Collection[Fraction],
    before: Mapping[int, list[object]],
    still: set[int],
    guard: bool,
) -> dict[int, bool | None]:
    """Return which checks fail for a constant; those whose figures move are no longer still.

    A number that only bounds what is accepted moves no figure: it can but refuse.
    """
    told: dict[int, bool | None] = {}
    for factor in factors:
        with reached.make(factor):
            for check in reached.users:
                if told.get(id(check)):
                    continue
                told[id(check)], ours = heard(check)
                moves = told[id(check)] is False and ours != before[id(check)]
                if not guard and (told[id(check)] or moves):
                    still.discard(id(check))
    return told


def report(outcome: Outcome) -> str:
    """Return the report of a run."""
    formula = {c: users for c, users in outcome.noticed.items() if not c.guard}
    guards = {c: users for c, users in outcome.noticed.items() if c.guard}
    deaf = outcome.deaf
    bound = [check for check in outcome.checks if check.tag in COUNTED]
    figured = {n: noted for n, noted in outcome.results.items() if noted is not None}
    loose = [outcome.checks[n] for n, noted in figured.items() if not noted]
    unheard = sorted(str(c) for c, users in formula.items() if not users)
    return "\n".join(
        [
            "# What the checks would notice",
            "",
            "Written by `tests/reference/nudge.py`.  Each constant is made 1 % larger, then",
            "smaller: numbers in formulas, tables and defaults, and π.  A date is put off by a",
            "day, a number that can only be whole by one where that is 2 % at most.",
            "",
            verdict(outcome),
            "",
            f"- {len(bound)} of the checks are against sources beyond this project.",
            f"- {len(outcome.hearing)} checks fail when a constant is off.",
            f"- {len(outcome.ones)} checks compare figures that hang on no constant, such as a",
            "  quotient.  They fail when the factor of one before the formula is off.",
            f"- {len(figured)} checks try a function that gives figures;",
            f"  {len(figured) - len(loose)} of them fail when its result is 1 % off.",
            f"- {len(formula)} constants are reached;",
            f"  {len(formula) - len(unheard)} are noticed by at least one check.",
            f"- {len(guards)} numbers only bound what is accepted;",
            f"  {sum(map(bool, guards.values()))} are noticed, the rest is for the room's tests.",
            "",
            "## Checks that notice nothing",
            "",
            *_list([_named(check) for check in deaf]),
            "",
            "## Checks of figures that hang on no constant",
            "",
            *_list([_named(check) for check in outcome.ones]),
            "",
            "## Checks that do not notice a result 1 % off",
            "",
            *_list([_named(check) for check in loose]),
            "",
            "## Constants that no check notices",
            "",
            "Most of them are counts, places, caps, the ends of loops, and how well readings of a",
            "kind repeat.",
            "",
            *_list(unheard),
            "",
        ]
    )


def verdict(outcome: Outcome) -> str:
    """Return in one line whether all checks notice."""
    total, deaf = len(outcome.checks), len(outcome.deaf)
    return (
        f"**{total} checks; {deaf} do not notice.**" if deaf else f"**{total} checks, all notice.**"
    )


def _named(check: Check) -> str:
    return f"`{check.name}` against {check.source} ({check.tag})"


def _list(lines: list[str]) -> list[str]:
    return [f"- {line}" for line in lines] or ["None."]


def main(chosen: Collection[str]) -> int:
    """Run all tests or some modules, write or tell, and return how many checks notice nothing."""
    outcome = everything([c for c in every_check() if not chosen or c.test.__module__ in chosen])
    told = report(outcome)
    if not chosen:
        REPORT.write_text(told, encoding="utf-8")
    sys.stdout.write(told)
    return len(outcome.deaf)


if __name__ == "__main__":
    sys.exit(bool(main(sys.argv[1:])))

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

import dataclasses
import math
import sys
from collections.abc import Callable, Collection, Iterator, Mapping
from contextlib import AbstractContextManager, contextmanager
from fractions import Fraction
from functools import partial
from pathlib import Path
from types import FunctionType, MappingProxyType, ModuleType

HERE = Path(__file__).parent
if str(HERE) not in sys.path:
    sys.path.insert(0, str(HERE))

from checks import COUNTED, Check, run  # noqa: E402
from nudging import (  # noqa: E402
    FACTORS,
    ROOM,
    Constant,
    Numbers,
    at,
    defaulted,
    defaults_of,
    forget,
    leaves,
    names_in,
    node_of,
    nudged,
    other_pi,
    plain,
    reach,
    replaced,
    rewritten,
    steps,
)
from write_page import every_check  # noqa: E402

REPORT = HERE / "NUDGED.md"
_ONLY: Mapping[str, str] = MappingProxyType({"KINDS": "repeatability"})
"""Of a large table, the one part whose numbers are in formulas; its other numbers bound inputs."""


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
        numbers = Numbers()
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

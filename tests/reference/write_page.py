"""Run every check and write CHECKED.md: what is checked against what, and how well it agrees.

python tests/reference/write_page.py
"""

from __future__ import annotations

import inspect
import sys
from collections.abc import Callable, Iterable
from importlib import import_module
from pathlib import Path
from pkgutil import iter_modules

HERE = Path(__file__).parent
if str(HERE) not in sys.path:
    sys.path.insert(0, str(HERE))

from checks import REGISTRY, Agreement, Check, counts, run  # noqa: E402

import hulllog.trade  # noqa: E402

PAGE = HERE / "CHECKED.md"
PLUMBING = frozenset(
    {"kindparts", "kinds", "ownkinds", "ranges", "refusal", "standardkinds", "working"}
)
"""Modules that hold no sum: the registry of kinds, refusals, ranges, the shape of a working."""
_STEPS = (1e-9, 1e-6, 1e-4, 1e-3, 1e-2)


def every_check() -> list[Check]:
    """Import all reference tests and return their checks, by function and source."""
    for path in sorted(HERE.glob("test_reference_*.py")):
        import_module(path.stem)
    return sorted(REGISTRY, key=lambda check: (check.name, check.source, check.where))


def public_sums() -> list[str]:
    """Return the dotted names of all public functions of the room that are sums."""
    found = []
    for entry in iter_modules(hulllog.trade.__path__):
        if entry.name in PLUMBING:
            continue
        module = import_module(f"hulllog.trade.{entry.name}")
        found += [
            f"{entry.name}.{name}" for name, value in vars(module).items() if _own(value, module)
        ]
    return sorted(found)


def _own(value: object, module: object) -> bool:
    plain: object = inspect.unwrap(value) if callable(value) else value  # type: ignore[arg-type]
    if not inspect.isfunction(plain) or plain.__name__.startswith("_"):
        return False
    return plain.__module__ == getattr(module, "__name__", "")


def pairs(checks: Iterable[Check]) -> set[tuple[str, str]]:
    """Return the distinct (function, source) pairs that count."""
    return {(check.name, check.source) for check in checks if counts(check)}


def agreement(found: Agreement) -> str:
    """Say how well a check agrees, coarsely enough to read the same on every machine."""
    said = []
    if found.codes:
        said.append(f"{found.codes} the same")
    if found.figures:
        step = next((step for step in _STEPS if found.worst <= step), None)
        near = f"within {step:.0e}" if step else f"within {found.worst:.1%}"
        near = near.replace("e-0", "e-")
        said.append(f"{found.figures} {near}" + (", as printed" if found.printed else ""))
    return "; ".join(said)


def page(checks: list[Check]) -> str:
    """Return the whole page."""
    counted = [check for check in checks if counts(check)]
    others = [check for check in checks if not counts(check)]
    unchecked = sorted(set(public_sums()) - {check.name for check in checks})
    only_others = sorted({c.name for c in others} - {c.name for c in counted} - set(unchecked))
    sources = {check.source for check in counted}
    return "\n".join(
        [
            "# What is checked against what",
            "",
            "Written by `tests/reference/write_page.py`; a test holds it current.",
            "",
            f"{len(pairs(checks))} pairs of a sum and a source count, from {len(sources)} sources",
            'beyond this project.  Figures agree relatively; "as printed" means to half the last',
            "printed digit.  Each check on this page fails when a constant of its sum is 1 % off,",
            "as `NUDGED.md` tells.",
            "",
            *_table(counted),
            "",
            "## Not counted: from memory, by common practice, or by arithmetic",
            "",
            *_table(others),
            "",
            "## Unchecked",
            "",
            "Public functions of the room without a figure from beyond it that was at hand.",
            "",
            "### Only from memory, by common practice, or by arithmetic, as above",
            "",
            *_list(only_others),
            "",
            "### By no figure at all",
            "",
            "They give verdicts, orders and notations, whose rules are tried in `tests/trade`, or",
            "read tables that are checked elsewhere.",
            "",
            *_list(unchecked),
            "",
        ]
    )


def _table(checks: list[Check]) -> list[str]:
    rows = ["| sum | source | where | kind | agreement |", "|---|---|---|---|---|"]
    for check in checks:
        cells = (f"`{check.name}`", check.source, check.where, check.tag, agreement(run(check)))
        rows.append("| " + " | ".join(cell.replace("|", "\\|") for cell in cells) + " |")
    return rows


def _list(names: list[str]) -> list[str]:
    return [f"- `{name}`" for name in names] or ["None."]


def main(say: Callable[[str], object] = sys.stdout.write) -> None:
    """Write the page and tell the counts."""
    checks = every_check()
    PAGE.write_text(page(checks), encoding="utf-8")
    counted = [check for check in checks if counts(check)]
    say(f"{len(pairs(checks))} pairs, {len({check.source for check in counted})} sources\n")


if __name__ == "__main__":
    main()

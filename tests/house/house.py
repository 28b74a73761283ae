"""The program's own source as trees, for the tests of house rules."""

from __future__ import annotations

import ast
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator

ROOT = Path(__file__).parents[2]
PACKAGE = ROOT / "hulllog"
ROOMS = ("trade", "hull", "words", "records", "insight", "drawing", "output", "desktop")


@dataclass(frozen=True)
class Module:
    """One module: its path, its dotted name, the room it stands in, and its tree."""

    path: Path
    name: str
    room: str
    tree: ast.Module
    lines: int

    def at(self, node: ast.AST) -> str:
        """Return where a node stands, as file:line."""
        return f"{self.path.relative_to(ROOT)}:{getattr(node, 'lineno', 1)}"


@cache
def modules() -> tuple[Module, ...]:
    """Return all modules of the program, in order of their paths."""
    return tuple(_module(path) for path in sorted(PACKAGE.rglob("*.py")))


def _module(path: Path) -> Module:
    text = path.read_text("utf-8")
    inside = path.relative_to(PACKAGE).with_suffix("").parts
    name = ".".join(("hulllog", *inside)).removesuffix(".__init__")
    return Module(path, name, inside[0], ast.parse(text), text.count("\n"))


def imports(tree: ast.AST) -> Iterator[tuple[ast.stmt, str]]:
    """Give each import statement and the module that it names, those for type checkers too."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from ((node, alias.name) for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module:
            if node.module == "hulllog":
                yield from ((node, f"hulllog.{alias.name}") for alias in node.names)
            else:
                yield node, node.module


def calls(tree: ast.AST, *names: str) -> Iterator[ast.Call]:
    """Give each call of a function or class by one of these names, as name or attribute."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and called(node) in names:
            yield node


def called(call: ast.Call) -> str:
    """Return the last part of the name that is called."""
    if isinstance(call.func, ast.Attribute):
        return call.func.attr
    return call.func.id if isinstance(call.func, ast.Name) else ""


def texts(node: ast.AST) -> Iterator[str]:
    """Give each text that an expression can be: literals, both sides of a choice."""
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        yield node.value
    elif isinstance(node, ast.IfExp):
        yield from texts(node.body)
        yield from texts(node.orelse)


def docstrings(tree: ast.Module) -> set[int]:
    """Return the ids of the nodes that are docstrings, those below attributes too."""
    found = set()
    for node in ast.walk(tree):
        body = getattr(node, "body", None)
        if isinstance(body, list):
            found |= {
                id(one.value)
                for one in body
                if isinstance(one, ast.Expr) and isinstance(one.value, ast.Constant)
            }
    return found

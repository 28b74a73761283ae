"""Habits that hold in every file of the program."""

from __future__ import annotations

import ast
import re

from house import ROOT, Module, modules

MOST_LINES = 800
# Names that Qt, SQLAlchemy and the standard library give to methods which others fill in.
FILLED_IN = re.compile(
    r"[a-z]+([A-Z][a-z]*)+|paint|event|data|parent|index|flags|text|role|rect|state|child"
    r"|process_(bind_param|result_value)|load_dialect_impl|coerce_compared_value|wrap|draw|emit"
)
LEFT_OVER = re.compile(r"#.*\b(TODO|FIXME|XXX|HACK)\b")


def test_no_file_is_too_long_to_read() -> None:
    files = [*(ROOT / "hulllog").rglob("*.py"), *(ROOT / "tests").rglob("*.py")]
    files += [*(ROOT / "sample_db").rglob("*.py"), *(ROOT / "resources").rglob("*.py")]
    long = [
        f"{path.relative_to(ROOT)}: {count} lines"
        for path in files
        if (count := len(path.read_text("utf-8").splitlines())) > MOST_LINES
    ]
    assert not long, "\n".join(long)


def test_every_public_name_has_a_docstring() -> None:
    bare = [f"{module.at(module.tree)}" for module in modules() if not _described(module)]
    bare += [
        f"{module.at(node)} {node.name}"
        for module in modules()
        for node in _public(module.tree)
        if not ast.get_docstring(node) and not _only_a_shape(node)
    ]
    assert not bare, "without a docstring:\n" + "\n".join(bare)


def _described(module: Module) -> bool:
    return bool(ast.get_docstring(module.tree))


Named = ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef


def _public(parent: ast.Module | ast.ClassDef) -> list[Named]:
    """Return public functions and classes, and the public methods of public classes."""
    found: list[Named] = []
    for node in parent.body:
        if isinstance(node, Named) and not node.name.startswith("_"):
            if not (isinstance(parent, ast.ClassDef) and _inherited(parent, node)):
                found.append(node)
            if isinstance(node, ast.ClassDef):
                found += _public(node)
    return found


def _inherited(owner: ast.ClassDef, node: Named) -> bool:
    """Tell whether a method only fills in one that its base describes: Qt's, or an interface's."""
    if _decorated(node, "setter"):
        return True
    return bool(owner.bases) and bool(FILLED_IN.fullmatch(node.name))


def _decorated(node: Named, name: str) -> bool:
    return any(ast.unparse(one).split("(")[0].endswith(name) for one in node.decorator_list)


def _only_a_shape(node: Named) -> bool:
    """Tell whether a body is only "...": an overload, or a member of a protocol."""
    body = node.body
    return len(body) == 1 and isinstance(body[0], ast.Expr) and ast.unparse(body[0]) == "..."


def test_no_broad_except() -> None:
    broad = [
        module.at(node)
        for module in modules()
        for node in ast.walk(module.tree)
        if isinstance(node, ast.ExceptHandler) and _is_broad(node) and not _raises_again(node)
    ]
    assert not broad, f"a broad except that swallows what it caught: {broad}"


def _is_broad(handler: ast.ExceptHandler) -> bool:
    caught = ast.unparse(handler.type) if handler.type else "Exception"
    return bool({"Exception", "BaseException"} & set(re.findall(r"\w+", caught)))


def _raises_again(handler: ast.ExceptHandler) -> bool:
    last = handler.body[-1]
    return isinstance(last, ast.Raise) and (last.exc is None or last.cause is not None)


def test_nothing_is_left_over() -> None:
    found = [
        f"{path.relative_to(ROOT)}:{number}"
        for folder in ("hulllog", "sample_db", "resources")
        for path in (ROOT / folder).rglob("*.py")
        for number, line in enumerate(path.read_text("utf-8").splitlines(), 1)
        if LEFT_OVER.search(line)
    ]
    assert not found


def test_every_function_says_its_types() -> None:
    bare = [
        f"{module.at(node)} {node.name}"
        for module in modules()
        for node in ast.walk(module.tree)
        if isinstance(node, ast.FunctionDef)
        and (node.returns is None or any(one.annotation is None for one in _arguments(node)))
    ]
    assert not bare, "\n".join(bare)


def _arguments(node: ast.FunctionDef) -> list[ast.arg]:
    own = [*node.args.posonlyargs, *node.args.args]
    if own and own[0].arg in {"self", "cls", "mcs"}:
        own = own[1:]
    return [*own, *node.args.kwonlyargs]

"""Imports run one way, and only the window and the entry reach Qt."""

from __future__ import annotations

from house import Module, imports, modules

BELOW = {
    "trade": set(),
    "hull": set(),
    "words": set(),
    "records": {"trade", "hull", "words"},
    "insight": {"trade", "hull", "words", "records"},
    "drawing": {"trade", "hull", "words", "records", "insight"},
    "output": {"trade", "hull", "words", "records", "insight", "drawing"},
}
BELOW["cli"] = BELOW["desktop"] = {*BELOW["output"], "output"}
BELOW["__main__"] = {*BELOW["cli"], "cli", "desktop"}
QT = {"PySide6", "shiboken6"}
HEAVY = {"sqlalchemy", "reportlab", "PIL", "pikepdf", "numpy"}
FOR_TESTS = {"scipy", "statsmodels", "psychrolib", "pypdf", "pytest", "hypothesis", "skimage"}


def test_imports_run_one_way() -> None:
    wrong = [
        f"{module.at(node)} reaches {name}"
        for module in modules()
        if module.room in BELOW
        for node, name in imports(module.tree)
        if name.startswith("hulllog.") and not _allowed(module, name)
    ]
    assert not wrong, "\n".join(wrong)


def _allowed(module: Module, name: str) -> bool:
    room = name.split(".")[1]
    return room in BELOW[module.room] | {module.room, "assets", "__version__"}


def test_every_room_is_known() -> None:
    assert {module.room for module in modules()} - {"__init__", "assets"} <= set(BELOW)


def _reaching(rooms: set[str], libraries: set[str]) -> list[str]:
    return [
        f"{module.at(node)} imports {name}"
        for module in modules()
        if module.room in rooms
        for node, name in imports(module.tree)
        if name.split(".")[0] in libraries
    ]


def test_only_the_window_reaches_qt() -> None:
    assert not _reaching(set(BELOW) - {"desktop", "__main__"}, QT)


def test_the_sums_and_the_shape_know_no_database_and_no_paper() -> None:
    assert not _reaching({"trade", "hull", "words"}, HEAVY - {"numpy"})


def test_no_library_of_the_tests_is_used_by_the_program() -> None:
    assert not _reaching({*BELOW, "assets"}, FOR_TESTS)

"""Where the program's own files are: beside the package in a checkout, inside it in a wheel."""

from __future__ import annotations

import importlib.util
import sys
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from types import ModuleType

_PACKAGE = Path(__file__).parent


def _folder(installed: str, checkout: str) -> Path:
    inside = _PACKAGE / installed
    return inside if inside.is_dir() else _PACKAGE.parent / checkout


def resource(name: str) -> Path:
    """Return the path of a shipped file, for example ``fonts/IBMPlexSans-Regular.ttf``."""
    return _folder("_resources", "resources") / name


def sample() -> ModuleType:
    """Import the package that builds the sample shelf; it has ``build(folder)``."""
    name = "hulllog_sample"
    if name in sys.modules:
        return sys.modules[name]
    folder = _folder("_sample", "sample_db")
    spec = importlib.util.spec_from_file_location(
        name, folder / "__init__.py", submodule_search_locations=[str(folder)]
    )
    if spec is None or spec.loader is None:
        raise FileNotFoundError(folder)
    module = importlib.util.module_from_spec(spec)
    sys.modules[name] = module
    spec.loader.exec_module(module)
    return module

"""What went wrong, as one sentence that says what to do.

Errors below ``words`` hold a code and values.  What a sum refused is under ``refusal.<code>``, what
was typed and cannot be kept under ``refused.<code>``, what is wrong with a logbook or a file under
``problem.<code>``.
"""

from __future__ import annotations

import errno
from typing import TYPE_CHECKING, Protocol, runtime_checkable

from hulllog.words.catalogue import knows, say, say_code
from hulllog.words.dates import two_readings
from hulllog.words.figures import number, unit_label

if TYPE_CHECKING:
    from collections.abc import Mapping

_KINDS = ("refused", "refusal", "problem")
_BY_CLASS = {"Refused": "refused", "Refusal": "refusal", "LogbookProblem": "problem"}
_CODED = frozenset(
    {"field", "kind", "quantity", "stage", "table", "way", "material", "metal", "why"}
)
"""Values that are codes of ours; every other text was typed by a person and stays as it is."""
_IN_UNIT = frozenset({"low", "high", "value", "limit"})
_FILES = {
    errno.ENOSPC: "disk_full",
    errno.EDQUOT: "disk_full",
    errno.EROFS: "read_only_disk",
    errno.EACCES: "no_access",
    errno.EPERM: "no_access",
    errno.ENOENT: "gone",
    errno.EISDIR: "is_folder",
    errno.ENOTDIR: "is_no_folder",
}


@runtime_checkable
class Coded(Protocol):
    """An error that holds a code and values."""

    @property
    def code(self) -> str:
        """The code under which the error is worded."""

    @property
    def values(self) -> Mapping[str, object]:
        """What fills the sentence."""


def code_of(error: Coded) -> str:
    """Return the full code under which an error is worded, ``problem.unworded`` for none."""
    own = _BY_CLASS.get(type(error).__name__, "problem")
    for kind in (own, *_KINDS):
        if knows(f"{kind}.{error.code}"):
            return f"{kind}.{error.code}"
    return "problem.unworded"


def sentence(error: Coded) -> str:
    """Say an error of ours in one sentence."""
    return say(code_of(error), **_shown(error.code, error.values))


def sentence_for(kind: str, code: str, values: Mapping[str, object]) -> str:
    """Say a code of one family with its values, for example what a check of the logbook found."""
    full = f"{kind}.{code}"
    return say(full if knows(full) else "problem.unworded", **_shown(code, values))


def _shown(code: str, values: Mapping[str, object]) -> dict[str, object]:
    shown = {name: _value(name, value, values) for name, value in values.items()}
    return {"error": code, **shown}


def file_sentence(error: OSError) -> str:
    """Say what went wrong with a file or folder, and what to do."""
    path = str(error.filename or "")
    code = _FILES.get(error.errno or 0)
    if code is None:
        return say("problem.file", path=path, reason=error.strerror or type(error).__name__)
    return say(f"problem.{code}", path=path)


def said(error: BaseException) -> str:
    """Say any error: one of ours, one of a file, or one that was not foreseen."""
    if isinstance(error, Coded):
        return sentence(error)
    if isinstance(error, OSError):
        return file_sentence(error)
    return say("problem.unforeseen", name=type(error).__name__)


def _value(name: str, value: object, values: Mapping[str, object]) -> object:
    unit = values.get("unit")
    if name == "unit":
        return unit_label(str(value))
    if name == "readings" and isinstance(value, list | tuple):
        return two_readings([str(one) for one in value])
    if name in _IN_UNIT and isinstance(value, int | float) and isinstance(unit, str):
        return number(float(value), unit)
    if name in _CODED and isinstance(value, str) and knows(f"{name}.{value}"):
        return say_code(name, value)
    return value

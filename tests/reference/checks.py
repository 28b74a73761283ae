"""Checks of the trade's sums against figures from beyond this project.

A check is an ordinary test that says which public function it tries, against what, and how sure
the figure is::

    @checked(weather.dew_point, "WMO-No. 8", "published", where="Annex 4.B")
    def test_dew_point_of_the_guide() -> None:
        agree(weather.dew_point(293.15, 0.6).value, "285.15")

``write_page.py`` runs every check and writes ``CHECKED.md``; ``nudge.py`` shows that every check
fails when a constant is wrong by 1 %.  What compares no figure, a verdict or a notation, belongs in
``tests/trade``.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Literal, TypeVar

Tag = Literal["published", "library", "data", "from memory", "arithmetic"]
"""published: standard, handbook, paper or worked example that was read.
library: another program's function.  data: an open data set, worked out by another program.
from memory: the source was not at hand.  arithmetic: worked out by hand from the definition.
Only the first three count.  Whatever its tag, every check notices a constant 1 % off."""

COUNTED: frozenset[Tag] = frozenset({"published", "library", "data"})
NUDGE = 0.01
Test = TypeVar("Test", bound=Callable[[], None])


@dataclass(slots=True)
class Check:
    """One test of one function against one source."""

    function: Callable[..., object]
    source: str
    where: str
    tag: Tag
    test: Callable[[], None]

    @property
    def name(self) -> str:
        """Return the function's dotted name inside the room, such as ``films.dew_point``."""
        module = self.function.__module__.removeprefix("hulllog.trade.")
        return f"{module}.{self.function.__qualname__}"

    @property
    def key(self) -> str:
        """Return what tells this check from all others, in words."""
        test = f"{self.test.__module__}.{self.test.__name__}"
        return " | ".join((self.name, self.source, self.where, test))


@dataclass(slots=True)
class Agreement:
    """What the comparisons of one run of a check came to."""

    figures: int = 0
    codes: int = 0
    worst: float = 0.0
    """Largest relative difference of a figure, or the difference itself where the other is 0."""
    printed: bool = False
    """Whether any figure was compared as printed, to half its last digit."""
    ours: list[object] = field(default_factory=list)
    """What the room answered, in the order of comparing."""


@dataclass(slots=True)
class _Run:
    agreement: Agreement = field(default_factory=Agreement)


REGISTRY: list[Check] = []
_run = _Run()


def counts(check: Check) -> bool:
    """Tell whether a check counts: its figure is from beyond the project, and was at hand."""
    return check.tag in COUNTED


def checked(
    function: Callable[..., object], source: str, tag: Tag, *, where: str = ""
) -> Callable[[Test], Test]:
    """Register a test as a check of ``function`` against ``source``.

    Stack it where one comparison tries several functions.  ``source`` names one document, package
    or data set by title or number, always spelled the same way, since distinct sources are
    counted; ``where`` is the table, page or function in it.
    """

    def register(test: Test) -> Test:
        REGISTRY.append(Check(function, source, where, tag, test))
        return test

    return register


def agree(
    ours: float, theirs: str | float, *, rel: float | None = None, abs_: float | None = None
) -> None:
    """Assert that a figure agrees.

    ``theirs`` as text is a printed figure, met to half its last digit.  As a number it is met to
    1e-9 of itself, unless ``rel`` or ``abs_`` says otherwise.  A tolerance of 1 % or more of the
    figure is refused, because a wrong constant could hide in it.
    """
    target = float(theirs)
    allowed = _allowed(theirs, target, rel, abs_)
    difference = abs(ours - target)
    _run.agreement.figures += 1
    _run.agreement.ours.append(ours)
    _run.agreement.printed |= isinstance(theirs, str)
    relative = difference / abs(target) if target else difference
    _run.agreement.worst = max(_run.agreement.worst, relative)
    assert difference <= allowed, f"{ours!r} is not {theirs!r} (allowed {allowed:.3g})"


def same(ours: object, theirs: object) -> None:
    """Assert that a code, grade, count or text is the very same."""
    _run.agreement.codes += 1
    _run.agreement.ours.append(ours)
    assert ours == theirs, f"{ours!r} is not {theirs!r}"


def run(check: Check) -> Agreement:
    """Run a check and return what its comparisons came to; raises what the check raises."""
    _run.agreement = Agreement()
    check.test()
    done = _run.agreement
    assert done.figures + done.codes, f"{check.test.__name__} compares nothing"
    return done


def _allowed(theirs: str | float, target: float, rel: float | None, abs_: float | None) -> float:
    if isinstance(theirs, str):
        last = int(Decimal(theirs).as_tuple().exponent)
        allowed = 0.5 * 10.0**last + 1e-9 * abs(target)
    elif abs_ is not None:
        allowed = abs_
    else:
        allowed = (1e-9 if rel is None else rel) * abs(target) or 1e-12
    if not isinstance(theirs, str) and target:
        assert allowed < NUDGE * abs(target), "the tolerance would hide a wrong constant"
    return allowed

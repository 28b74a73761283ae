"""What the window's tests share: the look, a logbook, and a window that ends well."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

    from pytestqt.qtbot import QtBot

    from hulllog.desktop.tasks import Tasks
    from hulllog.desktop.theme import Theme
    from hulllog.desktop.window import Window
    from hulllog.records.logbook import Logbook


@pytest.fixture
def look(qtbot: QtBot) -> Theme:
    """Put on the light look."""
    from hulllog.desktop.preferences import Look
    from hulllog.desktop.theme import application, put_on

    return put_on(application(), Look.LIGHT)


@pytest.fixture
def tasks(qtbot: QtBot) -> Iterator[Tasks]:
    """Give executors that are closed at the end."""
    from hulllog.desktop.tasks import Tasks

    made = Tasks()
    yield made
    made.close()


@pytest.fixture
def new_logbook(tmp_path: Path) -> Callable[..., Logbook]:
    """Give a function that makes a logbook with one vessel and visits from typed dates."""
    from hulllog.records.logbook import Logbook
    from hulllog.records.model import Vessel, Visit
    from hulllog.records.values import PartialDate

    def make(*visits: tuple[str, str | None], name: str = "Ruddy Shore") -> Logbook:
        logbook = Logbook.create(tmp_path / f"book of {len(list(tmp_path.iterdir()))}")
        with logbook.change("vessel_added", name=name) as book:
            book.add(Vessel(name=name, kind="yacht", material="grp", rig="ketch", sample=False))
            for begins, ends in visits:
                visit = Visit(
                    kind="haul_out",
                    begins=PartialDate.parse(begins),
                    ends=PartialDate.parse(ends) if ends else None,
                    time_zone="UTC",
                    looked_for=[],
                    methods=[],
                )
                book.add(visit)
        with logbook.change("visits_closed") as book:
            from sqlalchemy import select

            for visit in book.scalars(select(Visit)):
                if visit.ends is not None:
                    visit.closed_at = logbook.around.now()
        return logbook

    return make


@pytest.fixture
def book(tmp_path: Path) -> Path:
    """A ketch with two haul-outs."""
    import ketchbook

    from hulllog.records.logbook import Logbook

    with Logbook.create(tmp_path / "book") as logbook:
        ketchbook.ketch(logbook, years=2)
    return tmp_path / "book"


@pytest.fixture
def shown(
    qtbot: QtBot, tmp_path: Path, request: pytest.FixtureRequest
) -> Iterator[Callable[[Path], Window]]:
    """Open the window on a logbook, at the page that the test's file names as PAGE."""
    import ketchwindow

    made: list[Window] = []

    def show(folder: Path) -> Window:
        made.append(ketchwindow.opened(folder, tmp_path, request.module.PAGE))
        return made[-1]

    yield show
    for window in made:
        window.close()
        window.deleteLater()


@pytest.fixture
def window(shown: Callable[[Path], Window], book: Path) -> Window:
    """The window on the ketch."""
    return shown(book)

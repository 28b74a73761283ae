"""The window: the tide strip over everything, the pages at the left, one page in the middle."""

from __future__ import annotations

import logging
from pathlib import Path
from typing import TYPE_CHECKING

import shiboken6
from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QFileDialog,
    QHBoxLayout,
    QMainWindow,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from hulllog.desktop import counts
from hulllog.desktop.buttons import PageButton, press_focused
from hulllog.desktop.commands import Menus
from hulllog.desktop.fields import Field
from hulllog.desktop.keysheet import about_sheet, keys_sheet
from hulllog.desktop.layout import clear, column, rule, upright_rule
from hulllog.desktop.pages import Page, behind_door, page_name, pages_of
from hulllog.desktop.preferences import Look
from hulllog.desktop.theme import application, step, theme
from hulllog.desktop.tide import Strip
from hulllog.desktop.topline import Banner, TopLine
from hulllog.desktop.welcome import Welcome
from hulllog.records.errors import RecordsError
from hulllog.words import say, say_code
from hulllog.words.errors import said

if TYPE_CHECKING:
    from collections.abc import Callable

    from PySide6.QtGui import QCloseEvent, QKeyEvent, QShowEvent

    from hulllog.desktop.newvessel import NewVessel
    from hulllog.desktop.sheets import Sheet
    from hulllog.desktop.state import State

log = logging.getLogger("hulllog.window")

LEFT_WIDTH, LEFT_WIDTH_SUN = 148, 184
"""The width of the list of pages; in the yard its type is larger."""
SIZE = (1366, 768)


class Window(QMainWindow):
    """The main window.  Pages are built when first shown."""

    state: State
    strip: Strip

    def __init__(self, state: State) -> None:
        super().__init__()
        self.state = state
        state.setParent(self)
        self.setWindowTitle(say("app.name"))
        self.resize(*SIZE)
        self._pages: dict[str, Page] = {}
        self._buttons: dict[str, PageButton] = {}
        self._current = ""
        self._top = TopLine(state.undo, state.redo)
        self.setMenuWidget(self._top)
        self.menus = Menus(self, self._top.bar)
        self.strip = Strip(state)
        self._banners = column(space=0)
        self._left = column(space=1)
        self._stack = QStackedWidget()
        self._welcome: Welcome | None = None
        self._ending = False
        self._body = self._lay_out_body()
        self._whole = QStackedWidget()
        self._whole.addWidget(self._body)
        self.setCentralWidget(self._whole)
        self._listen()
        self.menus.update()
        if state.is_open:
            self._logbook_changed()

    # Pages

    @property
    def page(self) -> Page | None:
        """The page that is shown, or None while no logbook is open."""
        return self._pages.get(self._current) if self.state.is_open else None

    @property
    def status(self) -> str:
        """What the status line says."""
        return self._top.status

    def show_page(self, code: str, key: str = "") -> None:
        """Show a page; ``key`` is a record that it should show first, if it can."""
        if not self.state.is_open or not self._leads_to(code):
            return
        page = self._page(code)
        self._commit_field()
        self._current = code
        for other, made in self._buttons.items():
            made.setChecked(other == code)
        self._stack.setCurrentWidget(page)
        page.show_now()
        self.menus.set_page_commands(page.commands())
        if key:
            page.go_to(key)
        if code in self._buttons:
            self.state.preferences.page = code
        page.take_keyboard()

    def _leads_to(self, code: str) -> bool:
        return code in self._buttons or behind_door(code) is not None

    def _page(self, code: str) -> Page:
        if code not in self._pages:
            listed = [entry for entry in pages_of(out=True) if entry.code == code]
            entry = behind_door(code) or listed[0]
            page = entry.load()(self.state)
            page.go.connect(self.show_page)
            self._pages[code] = page
            self._stack.addWidget(page)
        return self._pages[code]

    def _list_pages(self) -> None:
        """List the pages; *This haul-out* leads while one is open."""
        out = self.state.read(counts.haul_out_is_open)
        entries = pages_of(out=out)
        if [entry.code for entry in entries] != list(self._buttons):
            clear(self._left)
            named = [(entry.code, page_name(entry.code, out=out)) for entry in entries]
            self._buttons = {code: self._page_button(code, name) for code, name in named}
            self._left.addStretch(1)
            self.menus.set_pages(named)
        self._count()

    def _count(self) -> None:
        edge = self.state.edge
        for code, count in self.state.read(lambda book: counts.by_page(book, edge)).items():
            if code in self._buttons:
                self._buttons[code].set_count(count.number, count.said)

    def _page_button(self, code: str, name: str) -> PageButton:
        made = PageButton(name, lambda: self.show_page(code))
        made.setChecked(code == self._current)
        self._left.addWidget(made)
        return made

    def _first_page(self) -> str:
        kept = self.state.preferences.page
        return kept if kept in self._buttons else next(iter(self._buttons), "")

    # What changes

    def _listen(self) -> None:
        application().focusChanged.connect(self._keep_keyboard)
        self.strip.tide.asked.connect(lambda year: self.show_page("old_notes", year))
        state = self.state
        state.closing.connect(self._commit_field)
        state.logbook_changed.connect(self._logbook_changed)
        state.records_changed.connect(self._records_changed)
        state.edge_changed.connect(self._edge_changed)
        state.told.connect(self._top.tell)
        state.failed.connect(self._top.tell)

    def _logbook_changed(self) -> None:
        self._drop_pages()
        clear(self._banners)
        is_open = self.state.is_open
        self._show_turns()
        if is_open:
            self._whole.setCurrentWidget(self._body)
        else:
            self.setWindowTitle(say("app.name"))
            self.menus.set_pages([])
            self.menus.set_page_commands([])
            if not self._ending:
                self._welcome_in()
            return
        if self.state.read_only:
            self._show_read_only(self.state.read_only)
        with self.state.together():
            self._name_window()
            self._list_pages()
            self.show_page(self._first_page())

    def _welcome_in(self) -> None:
        """Show the way in; it is made, and the shelf read, when it is seen for the first time."""
        if self._welcome is None:
            self._welcome = Welcome(
                self.state.preferences,
                on_open=self.open_logbook,
                on_browse=self.ask_open,
                on_new=self.ask_new_vessel,
                on_sample=self.open_sample,
            )
            self._whole.addWidget(self._welcome)
        else:
            self._welcome.refresh()
        self._whole.setCurrentWidget(self._welcome)
        self._welcome.first.setFocus()

    def showEvent(self, event: QShowEvent) -> None:
        """Show the way in where no logbook was opened before the window was."""
        self._ending = False
        if not self.state.is_open:
            self._welcome_in()
        super().showEvent(event)

    def _records_changed(self, tables: frozenset[str], initiator: object) -> None:
        self._show_turns()
        self._list_pages()
        if "vessel" in tables:
            self._name_window()
        for page in self._pages.values():
            page.records_changed(tables, initiator)
        if not self._leads_to(self._current):
            self.show_page(self._first_page())

    def _edge_changed(self) -> None:
        self._count()
        for page in self._pages.values():
            page.edge_changed()

    def _show_turns(self) -> None:
        self._top.show_turns(
            self.state.undo_text, self.state.redo_text, ended=self.state.undo_ended
        )
        self.menus.update()

    def _name_window(self) -> None:
        from hulllog.desktop.edges import vessel_lines

        name, _ = self.state.read(vessel_lines)
        self.setWindowTitle(say("desktop.window_title", vessel=name))

    def _show_read_only(self, why: str) -> None:
        retry = say("do.retry")
        if why == "head_missing":
            banner = Banner(
                say("desktop.older_copy"),
                retry,
                lambda: self._open_again(as_it_is=False),
                also=[(say("desktop.do.take_older_copy"), lambda: self._open_again(as_it_is=True))],
            )
        else:
            banner = Banner(
                say("desktop.read_only", why=say_code("why", why)),
                retry,
                lambda: self.open_logbook(self.state.logbook.folder),
            )
        self._banners.addWidget(banner)

    def _open_again(self, *, as_it_is: bool) -> None:
        """Open the same folder again, perhaps as the copy to go on from."""
        self._trying(lambda: self.state.open_again(as_it_is=as_it_is))

    def _drop_pages(self) -> None:
        for page in self._pages.values():
            for field in page.findChildren(Field):
                field.shut()
            self._stack.removeWidget(page)
            page.deleteLater()
        self._pages.clear()
        clear(self._left)
        self._buttons = {}
        self._current = ""

    # What the menus ask for

    def open_logbook(self, folder: Path) -> bool:
        """Open a logbook; when it cannot be, say why and stay where we are."""
        return self._trying(lambda: self.state.open(folder))

    def _trying(self, opening: Callable[[], None]) -> bool:
        try:
            opening()
        except (RecordsError, OSError) as problem:
            log.warning("not opened: %s", type(problem).__name__)
            self._top.tell(said(problem))
            return False
        return True

    def ask_open(self) -> None:
        """Ask for the folder of a logbook."""
        shelf = self.state.preferences.shelf
        folder = QFileDialog.getExistingDirectory(
            self, say("desktop.do.open_logbook"), str(shelf if shelf.is_dir() else Path.home())
        )
        if folder:
            self.open_logbook(Path(folder))

    def ask_new_vessel(self) -> NewVessel:
        """Ask the six questions of a new vessel."""
        from hulllog.desktop.newvessel import NewVessel

        return NewVessel(self).ask()

    def open_sample(self) -> None:
        """Build the sample shelf if it is not there yet, and open its logbook."""
        from hulllog import assets

        shelf = self.state.preferences.shelf / "sample"

        def build(_progress: object) -> Path:
            sample = assets.sample()
            found: Path = sample.logbook_folder(shelf) if shelf.is_dir() else sample.build(shelf)
            return found

        self._top.tell(say("desktop.sample.building"))
        self.state.tasks.run(build, self._sample_built, self.state.fail, owner=self)

    def _sample_built(self, folder: Path) -> None:
        self._top.tell("")
        self.open_logbook(folder)

    def wear(self, look: Look) -> None:
        """Put on another look and keep it."""
        self.state.preferences.look = look
        theme().wear(look)

    def show_keys(self) -> Sheet:
        """Show all keys."""
        return keys_sheet(self, self.menus.key_list())

    def show_about(self) -> Sheet:
        """Show what this program is and is not."""
        return about_sheet(self)

    def _keep_keyboard(self, left: QWidget | None, now: QWidget | None) -> None:
        """Keep the keyboard on the page where what had it goes away.

        Qt takes the next widget, which may be Undo: the next Space would press it.
        """
        page = self.page
        if page is None or left is None or now is None or not shiboken6.isValid(left):
            return
        gone = not (left.isEnabled() and left.isVisibleTo(self))
        if gone and self._top.isAncestorOf(now):
            now.clearFocus()
            page.take_keyboard()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Let Enter press the button that has the keyboard, where nothing else took it."""
        if not press_focused(self, event):
            super().keyPressEvent(event)

    # The end

    def closeEvent(self, event: QCloseEvent) -> None:
        """Commit the field that is being typed in, write what is to be written, then go."""
        self.state.preferences.geometry = self.saveGeometry()
        self._ending = True
        self.state.close()
        self.state.tasks.close()
        self.state.preferences.save()
        super().closeEvent(event)

    def _commit_field(self) -> None:
        """Take what is being typed, as if the field had been left."""
        widget: QWidget | None = self.focusWidget()
        while widget is not None and not isinstance(widget, Field):
            widget = widget.parentWidget()
        if widget is not None:
            widget.commit()

    # Parts

    def _fit_left(self) -> None:
        """Make the list of pages as wide as its type asks for."""
        worn = theme().look
        self._left_side.setFixedWidth(LEFT_WIDTH_SUN if worn is Look.SUN else LEFT_WIDTH)

    def _lay_out_body(self) -> QWidget:
        left = QWidget()
        left.setObjectName("pages")
        left.setProperty("ground", "sheet")
        left.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self._left_side = left
        self._fit_left()
        theme().changed.connect(self._fit_left)
        left.setLayout(self._left)
        self._left.setContentsMargins(step(2), step(4), step(2), step(2))
        row = QHBoxLayout()
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(0)
        row.addWidget(left)
        row.addWidget(upright_rule())
        row.addWidget(self._stack, 1)
        whole = QVBoxLayout()
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(0)
        whole.addWidget(self.strip)
        whole.addWidget(rule())
        whole.addLayout(self._banners)
        whole.addLayout(row, 1)
        made = QWidget()
        made.setObjectName("frame")
        made.setLayout(whole)
        return made

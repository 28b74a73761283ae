"""The same jobs without a window.

Exit codes: 0 done, 1 the answer is no, 2 wrong usage or input that cannot be read.  An error is one
sentence on standard error.
"""

from __future__ import annotations

import argparse
import os
import subprocess
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from hulllog import __version__, assets
from hulllog.records.errors import RecordsError
from hulllog.words import say

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    OpenWindow = Callable[[Path | None], int]

DONE, NO, UNREADABLE = 0, 1, 2
SHELF = "hulllog-demo"
READERS = ("insurer", "buyer", "surveyor")

_TRY_QT = "from PySide6.QtWidgets import QApplication; QApplication([])"


def run(arguments: Sequence[str], *, open_window: OpenWindow) -> int:
    """Run one command and return its exit code."""
    options = _parser().parse_args(_with_command(arguments))
    try:
        return int(options.job(options, open_window))
    except RecordsError as problem:
        return _fail(_said(problem), UNREADABLE)
    except OSError as problem:
        return _fail(say("cli.file_trouble", file=problem.filename or "", why=problem.strerror), 2)


def _with_command(arguments: Sequence[str]) -> list[str]:
    """Let a bare ``hulllog [LOGBOOK]`` mean: open the window."""
    known = {*_COMMANDS, "-h", "--help", "--version"}
    if arguments and arguments[0] in known:
        return list(arguments)
    return ["open", *arguments]


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="hulllog",
        usage="hulllog [LOGBOOK] | hulllog {demo,report,sheet,cards,check,backup} …",
        description=say("cli.about"),
        epilog=say("cli.exit_codes"),
    )
    parser.add_argument("--version", action="version", version=__version__)
    commands = parser.add_subparsers(title=say("cli.commands"), metavar="")
    for name, (build, job) in _COMMANDS.items():
        command = commands.add_parser(
            name,
            help=say(f"cli.{name}.help"),
            description=say(f"cli.{name}.about"),
            epilog=say("cli.exit_codes"),
        )
        build(command)
        command.set_defaults(job=job)
    return parser


def _fail(sentence: str, code: int) -> int:
    print(sentence, file=sys.stderr)
    return code


def _said(problem: RecordsError) -> str:
    from hulllog.words.errors import sentence

    return sentence(problem)


# open


def _build_open(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("logbook", nargs="?", type=Path, help=say("cli.argument.logbook"))


def _open(options: argparse.Namespace, open_window: OpenWindow) -> int:
    # No child process tries Qt first, as for the sample: that would start everything twice.
    try:
        return open_window(options.logbook)
    except ImportError as problem:
        if not _is_of_qt(problem):
            raise
        return _fail(_import_trouble(str(problem)), NO)


def _is_of_qt(problem: ImportError) -> bool:
    return (problem.name or "").startswith(("PySide6", "shiboken6")) or ".so" in str(problem)


def _import_trouble(told: str) -> str:
    """Say what is missing when Qt cannot be imported."""
    if "No module named" in told:
        return say("cli.window.no_qt")
    return say("cli.window.no_library", library=told.partition(":")[0])


def window_trouble() -> str | None:
    """Return the sentence that says why no window can be opened here, or None.

    A child process tries, since Qt ends the whole process when it finds no display.
    """
    tried = subprocess.run(
        [sys.executable, "-c", _TRY_QT],
        capture_output=True,
        text=True,
        check=False,
        stdin=subprocess.DEVNULL,
    )
    if tried.returncode == 0:
        return None
    if "ImportError" in tried.stderr or "No module named" in tried.stderr:
        return _import_trouble(tried.stderr.strip().splitlines()[-1].partition(": ")[2])
    if not (os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY")):
        return say("cli.window.no_display")
    return say("cli.window.no_plugin")


# demo


def _build_demo(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--no-window", action="store_true", help=say("cli.demo.no_window"))


def _demo(options: argparse.Namespace, open_window: OpenWindow) -> int:
    shelf = Path(SHELF)
    if shelf.is_dir():
        logbook = assets.sample().logbook_folder(shelf)
        print(say("cli.demo.opened", folder=str(shelf.absolute())))
    else:
        logbook = assets.sample().build(shelf)
        print(say("cli.demo.built", folder=str(shelf.absolute())))
    written = _write_history(logbook, _new_name(f"{SHELF}-history"), "insurer", None, draft=False)
    print(say("cli.report.written", file=str(written.absolute())))
    if options.no_window:
        return DONE
    trouble = window_trouble()
    if trouble:
        print(trouble)
        return DONE
    return open_window(logbook)


def _new_name(stem: str) -> Path:
    """Return ``stem.pdf``, or the first of ``stem-2.pdf``, ``stem-3.pdf`` … that is not there."""
    path, number = Path(f"{stem}.pdf"), 1
    while path.exists():
        number += 1
        path = Path(f"{stem}-{number}.pdf")
    return path


# report


def _build_report(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("logbook", type=Path, help=say("cli.argument.logbook"))
    parser.add_argument(
        "--for", dest="reader", choices=READERS, default="insurer", help=say("cli.report.for")
    )
    parser.add_argument("--to", help=say("cli.report.to"))
    parser.add_argument("--out", type=Path, help=say("cli.report.out"))
    parser.add_argument("--photos", action="store_true", help=say("cli.report.photos"))
    parser.add_argument("--draft", action="store_true", help=say("cli.report.draft"))


def _report(options: argparse.Namespace, _open_window: OpenWindow) -> int:
    out = options.out or _new_name(f"{options.logbook.absolute().name}-history")
    if out.exists():
        return _fail(say("cli.report.exists", file=str(out)), NO)
    written = _write_history(
        options.logbook, out, options.reader, options.to, draft=options.draft, photos=options.photos
    )
    print(say("cli.report.written", file=str(written.absolute())))
    return DONE


def _write_history(
    folder: Path, out: Path, reader: str, to: str | None, *, draft: bool, photos: bool = False
) -> Path:
    from hulllog.output.history import Options, write_history
    from hulllog.records.logbook import Logbook

    with Logbook.open(folder) as logbook:
        written = write_history(
            logbook,
            out,
            Options(
                reader=reader,
                to_whom=to,
                draft=draft or logbook.read_only is not None,
                contact_sheet=photos,
            ),
        )
    if not written.archival:
        print(say("cli.report.not_archival"), file=sys.stderr)
    return written.path


# sheet


def _build_sheet(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("logbook", type=Path, help=say("cli.argument.logbook"))
    parser.add_argument("--out", type=Path, help=say("cli.report.out"))


def _sheet(options: argparse.Namespace, _open_window: OpenWindow) -> int:
    from hulllog.output.yardsheet import write_sheet
    from hulllog.records.logbook import Logbook

    out = options.out or _new_name(f"{options.logbook.absolute().name}-sheet")
    if out.exists():
        return _fail(say("cli.report.exists", file=str(out)), NO)
    with Logbook.open(options.logbook) as logbook:
        written = write_sheet(logbook, out)
    print(say("cli.sheet.written", file=str(written.path.absolute()), rows=written.rows))
    if not written.archival:
        print(say("cli.report.not_archival"), file=sys.stderr)
    return DONE


# cards


def _cards(options: argparse.Namespace, _open_window: OpenWindow) -> int:
    from hulllog.output.zonecards import write_cards
    from hulllog.records.logbook import Logbook

    out = options.out or _new_name(f"{options.logbook.absolute().name}-cards")
    if out.exists():
        return _fail(say("cli.report.exists", file=str(out)), NO)
    with Logbook.open(options.logbook) as logbook:
        written = write_cards(logbook, out)
    print(say("zone_cards.written", file=str(written.path.absolute()), cards=written.cards))
    if not written.archival:
        print(say("cli.report.not_archival"), file=sys.stderr)
    return DONE


# check


def _build_check(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("logbook", type=Path, help=say("cli.argument.logbook"))
    parser.add_argument("--deep", action="store_true", help=say("cli.check.deep"))
    parser.add_argument("--head", action="append", default=[], help=say("cli.check.head"))


def _check(options: argparse.Namespace, _open_window: OpenWindow) -> int:
    from hulllog.records.check import check
    from hulllog.words.errors import sentence_for

    found = check(options.logbook, deep=options.deep, anchors=tuple(options.head))
    for problem in found.problems:
        print(sentence_for("check", problem.code, problem.values))
    if not found.problems:
        print(say("check.nothing_wrong", entries=found.entries, rows=found.rows))
    for code in found.cannot_see:
        print(say(f"check.cannot_see.{code}"))
    return NO if found.problems else DONE


# backup


def _build_backup(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("logbook", type=Path, help=say("cli.argument.logbook"))
    parser.add_argument("target", type=Path, help=say("cli.backup.target"))


def _backup(options: argparse.Namespace, _open_window: OpenWindow) -> int:
    from hulllog.records.backup import backup
    from hulllog.records.logbook import Logbook
    from hulllog.words.errors import sentence_for

    with Logbook.open(options.logbook) as logbook:
        made = backup(logbook, options.target)
    if made is None:  # only when it was cancelled, which nothing here does
        return NO
    code = "cli.backup.proved" if made.proved else "cli.backup.not_proved"
    print(say(code, folder=str(made.folder.absolute())))
    for problem in made.check.problems:
        print(sentence_for("check", problem.code, problem.values))
    return DONE if made.proved else NO


_COMMANDS = {
    "open": (_build_open, _open),
    "demo": (_build_demo, _demo),
    "report": (_build_report, _report),
    "sheet": (_build_sheet, _sheet),
    "cards": (_build_sheet, _cards),
    "check": (_build_check, _check),
    "backup": (_build_backup, _backup),
}

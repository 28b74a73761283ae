"""The annex of workings, held against the register of what a history prints."""

from __future__ import annotations

import dataclasses
import re
from datetime import UTC, datetime
from typing import TYPE_CHECKING

import pytest
from pypdf import PdfReader

from hulllog import assets
from hulllog.insight.workings import SECTIONS, registered
from hulllog.output.contents import gather
from hulllog.output.history import Options, write_history
from hulllog.output.workings import printed, said_here
from hulllog.records.logbook import Logbook, Surroundings
from hulllog.trade.working import Working
from hulllog.words import say
from hulllog.words.working import plain

if TYPE_CHECKING:
    from collections.abc import Iterator

    from hulllog.insight.workings import Printed
    from hulllog.output.contents import Contents

NOW = datetime(2026, 1, 15, 9, 30, tzinfo=UTC)


@pytest.fixture(scope="module")
def told(tmp_path_factory: pytest.TempPathFactory) -> tuple[Contents, str, list[str]]:
    """The contents of the sample's history, its annex of workings, and the pages of that annex."""
    folder = tmp_path_factory.mktemp("sample")
    ketch = assets.sample().build(folder / "shelf")
    around = Surroundings(now=lambda: NOW, state_folder=folder / "state")
    with Logbook.open(ketch, around, read_only=True) as logbook:
        with logbook.read() as book:
            contents = gather(book, NOW)
        file = write_history(logbook, folder / "h.pdf", Options(reader="buyer", draft=True)).path
    assert contents is not None
    pages = [page.extract_text() for page in PdfReader(file).pages]
    begins = next(n for n, page in enumerate(pages) if say("report.annex.workings") in page)
    return contents, squeezed(" ".join(pages[begins:])), pages[begins:]


def squeezed(text: str) -> str:
    """Leave the spaces out: lines break where they must, and what is set low stands apart."""
    return re.sub(r"\s+", "", text)


def figures(contents: Contents) -> list[Printed]:
    found = printed(contents)
    assert {one.section for one in found} == set(SECTIONS)
    return found


def reached(value: object, seen: set[int]) -> Iterator[Working]:
    """Return every working that can be reached from a value."""
    if id(value) in seen:
        return
    seen.add(id(value))
    if isinstance(value, Working):
        yield value
    elif isinstance(value, tuple | list):
        for one in value:
            yield from reached(one, seen)
    elif dataclasses.is_dataclass(value):
        for field in dataclasses.fields(value):
            yield from reached(getattr(value, field.name), seen)


def test_each_figure_stands_in_the_annex_with_all_that_it_came_from(told) -> None:
    contents, annex, _ = told
    for one in figures(contents):
        shown = said_here(one.working)
        parts = (shown.title, shown.figure, *map(plain, shown.inputs), shown.source)
        for part in (plain(shown.formula), *parts, *shown.cautions):
            assert squeezed(part) in annex, (one.working.name, part)


def test_no_sort_of_figure_that_the_contents_hold_is_left_out(told) -> None:
    contents, _, _ = told
    held = {working.name for working in reached(contents, set())}
    assert len(held) > 10
    assert held == {one.working.name for one in figures(contents)}


def test_each_figure_stands_there_once(told) -> None:
    contents, _, _ = told
    found = figures(contents)
    again = registered(
        judged=[*contents.zones_judged] * 2, anodes=contents.anodes * 2, visits=contents.visits * 2,
        last=contents.last_line, later=contents.later_line, threads=contents.threads * 2,
        sections=[section for _, section in contents.build_ups], now=contents.at,
    )  # fmt: skip
    for section in ("anodes", "visits", "paint"):
        once = [one for one in found if one.section == section]
        assert [one for one in again if one.section == section] == once
    litres = [one.of.visit_id for one in found if one.working.name == "litres_used"]
    assert litres
    assert len(litres) == len(set(litres))


def test_it_is_grouped_as_the_body_is_and_has_no_empty_page(told) -> None:
    _, annex, pages = told
    titles = [squeezed(say(f"report.workings.{section}")) for section in ("anodes", "trends")]
    places = [annex.rindex(title) for title in titles]
    assert places == sorted(places)
    assert len(pages) <= 7
    assert all(len(page.splitlines()) > 8 for page in pages)


def test_no_mark_of_a_letter_set_low_and_no_missing_glyph_is_printed(told) -> None:
    _, annex, _ = told
    assert "yj−yi" in annex
    assert "_" not in annex
    assert "U+" not in annex

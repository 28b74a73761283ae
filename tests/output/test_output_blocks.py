"""The parts of a printed document: what breaks over a page and what does not."""

from __future__ import annotations

import io
import re

from pypdf import PdfReader

from hulllog.output import blocks
from hulllog.output.paper import Document, PageTexts


def pages(story):
    """Return the words of each page."""
    target = io.BytesIO()
    document = Document(target, PageTexts("T", "A", "", "", ""))
    document.write(story(document.inner_width))
    read = PdfReader(io.BytesIO(target.getvalue()))
    return [re.sub(r"\s+", " ", page.extract_text()) for page in read.pages]


def rows(count, words):
    return lambda width: [
        blocks.gap(205),
        blocks.grid(["Head"], [[f"row{n} " + "word " * words + f"end{n}"] for n in range(count)],
                    width, [1]),
    ]  # fmt: skip


def test_a_row_goes_whole_to_the_next_page_under_its_head():
    first, second = pages(rows(3, 340))
    for number in range(3):
        whole = [f"row{number} " in page and f"end{number}" in page for page in (first, second)]
        assert whole.count(True) == 1
    assert "Head" in second


def test_a_row_that_no_page_can_hold_is_broken_all_the_same():
    found = pages(rows(1, 4000))
    assert len(found) > 2
    assert "end0" in found[-1]


def test_a_figure_stays_with_its_unit():
    text = blocks.safe("2015 4\N{NARROW NO-BREAK SPACE}mm")
    assert text == "2015 4\N{NO-BREAK SPACE}mm"

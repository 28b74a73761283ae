"""The papers of the sample: short invented letters and bills, made as PDF files."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hulllog.records import media

if TYPE_CHECKING:
    from pathlib import Path

    from .teller import Teller

SAMPLE = "Sample: this paper and all names in it are invented."
SURVEY = (
    "Vessel: Ruddy Shore, ketch of 8.70 m, glass fibre, twin iron keels.",
    "Seen ashore at Vesk Haven Yard on 14 April 2021, at the request of the insurer.",
    "Asked for: 1 galley seacock, 2 shore power, 3 faces of the iron keels, 4 bottom laminate.",
    "Not seen: the undersides of the keels, which stood on their blocks.",
)
BLASTING = (
    "Faces of two iron keels blasted to bright metal, with disposal       640.00",
    "Undersides left out: they stood on the blocks                           -",
    "Epoxy primer, four coats, labour and material                        310.00",
    "Total, paid on 30 April 2021                                         950.00 GBP",
)
YARD = (
    "Lift, wash, chocking, four weeks ashore                              545.00",
    "Galley seacock in bronze with tail, supplied and fitted              212.00",
    "Total, paid on 5 May 2021                                            757.00 GBP",
)
ELECTRICIAN = (
    "Shore lead and inlet tested: insulation and earth sound.",
    "Galvanic isolator fitted in the protective conductor; the earth was not opened.",
    "Tested after fitting on 5 May 2021.",
)
WARRANTY = (
    "Bottom of Ruddy Shore, six areas, peeled by 1.5 mm, dried for 72 days, four coats put on.",
    "Mean of readings before 22, after 6, on the meter's own relative scale, one area metered.",
    "Warranty against blisters for five years from the end of the work on 4 June 2022,",
    "that is until 4 June 2027.",
)


def add(
    teller: Teller,
    name: str,
    *,
    title: str,
    sort: str,
    day: str,
    visit: str,
    lines: tuple[str, ...],
) -> str:
    """Make a paper, take it into the logbook and return its key."""
    path = made(teller.workshop / f"{name}.pdf", title, lines)
    key = media.add_document(
        teller.logbook, path, title=title, sort=sort, paper_date=day, visit_id=visit
    )
    return teller.keep(name, key)


def made(path: Path, title: str, lines: tuple[str, ...]) -> Path:
    """Write a page of plain lines as PDF, the same bytes each time."""
    from reportlab.lib.pagesizes import A4
    from reportlab.pdfgen.canvas import Canvas

    page = Canvas(str(path), pagesize=A4, invariant=1, pageCompression=1)
    page.setTitle(title)
    page.setFont("Helvetica-Bold", 15)
    page.drawString(64, 760, title)
    page.setFont("Courier", 10)
    for number, line in enumerate((*lines, "", SAMPLE)):
        page.drawString(64, 720 - number * 18, line)
    page.showPage()
    page.save()
    return path

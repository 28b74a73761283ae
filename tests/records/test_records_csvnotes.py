"""A CSV file of old haul-outs: any encoding, separator, decimal sign and order of dates."""

from __future__ import annotations

import csv
import io
from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hulllog.records import csvnotes
from hulllog.records.csvnotes import Answers, matched, problems_of, questions, read_table, rows_of
from hulllog.records.errors import Refused
from hulllog.records.logbook import Logbook, Surroundings
from hulllog.records.operations.oldnotes import COLUMNS, keep_old_haul_outs
from hulllog.records.values import PartialDate
from hulllog.trade import units
from hulllog.words import say, use
from hulllog.words.errors import said


@pytest.fixture
def book(tmp_path):
    around = Surroundings(state_folder=tmp_path / "state")
    with Logbook.create(tmp_path / "book", around) as logbook, logbook.read() as reading:
        yield reading


@pytest.fixture
def read(tmp_path):
    def reading(text, encoding="utf-8"):
        file = tmp_path / "notes.csv"
        file.write_bytes(text if isinstance(text, bytes) else text.encode(encoding))
        return read_table(file)

    return reading


def refusal(read, data):
    with pytest.raises(Refused) as refused:
        read(data)
    assert said(refused.value)
    return refused.value.code


# The file


@pytest.mark.parametrize("separator", [";", ",", "\t"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "cp1252", "utf-16"])
def test_any_separator_and_encoding_is_read(read, separator, encoding):
    text = "Out;Boatyard;Remarks\r\n2014-04;Ångö Båtvarv;“good”\r\n".replace(";", separator)
    table = read(text, encoding)
    assert table.rows == (("2014-04", "Ångö Båtvarv", "“good”"),)
    assert matched(table.header) == ("begins", "yard", "note")


def test_the_hint_of_a_spreadsheet_is_no_row(read):
    table = read("sep=;\r\nOut;Litres\r\n2014;2,5\r\n")
    assert (table.header, table.rows) == (("Out", "Litres"), (("2014", "2,5"),))


def test_a_file_without_a_header_is_all_data(read):
    table = read("2014;Inlet\n2015;Outer\n")
    assert (table.header, len(table.rows), table.first_row) == ((), 2, 1)


@pytest.mark.parametrize(
    ("data", "code"),
    [
        (b"\x89PNG\r\n\x1a\n\x00\x00" * 40, "csv_not_text"),
        (b"Out;In\n" + b"2014;2015\n" * 5_000_000, "csv_too_large"),
        (b"", "csv_empty"),
        (b"\n;;\n", "csv_empty"),
        (b'Out;Note\n2014;"never closed\n2015;x\n', "csv_quote"),
        (b"Out\n" + b"2014\n" * 500, "csv_too_long"),
        (b"Out" + b";x" * 80 + b"\n2014\n", "csv_too_wide"),
    ],
)
def test_a_file_that_cannot_be_read_is_one_sentence(read, data, code):
    assert refusal(read, data) == code


def test_columns_are_matched_in_the_words_of_either_country(read):
    for language in ("en_GB", "en_US"):
        use(language)
        header = [say(f"old_notes.column.{column}") for column in COLUMNS]
        assert matched(header) == COLUMNS
    assert matched(["Date out", "bottom paint", "zincs", "Date", "mood"]) == (
        "begins", "product", "anodes", None, None,
    )  # fmt: skip


# Problems


BAD = """Out;In;Yard;Way;Antifouling;Litres;Known
2012-04;2012-05;Inlet;hoist;Tidewall;2,5;memory
soon;2013;Inlet;hoist;Tidewall;2,5;
2014-05;2014-04;Inlet;hoist;Tidewall;2,5;
2015;2015;Inlet;balloon;Tidewall;2,5;

2016;2016;Inlet;crane;Tidewall;many;
2017;2017;Inlet;crane;;3;hearsay;one too many
2012-04;;Inlet;;;;
"""


def test_each_problem_is_named_by_row_and_column(read, book):
    table = read(BAD)
    matching = matched(table.header)
    rows = rows_of(table, matching, Answers())
    found = problems_of(book, table, matching, rows)
    named = [
        (one.row, None if one.column is None else table.header[one.column], one.refused.code)
        for one in found
    ]
    assert named == [
        (3, "Out", "date_unread"),
        (4, "In", "relaunch_before_lift"),
        (5, "Way", "label_unknown"),
        (7, "Litres", "number_unread"),
        (8, None, "csv_row_long"),
        (8, "Antifouling", "text_wanted"),
        (8, "Known", "label_unknown"),
        (9, "Out", "haul_out_twice"),
    ]
    assert all(said(one.refused) for one in found)


def test_what_looks_like_a_formula_is_data(read, tmp_path):
    table = read("Out;Yard;Note\n2014;=1+1;\"=cmd|' /C calc'!A0\"\n2015;@SUM(A1);+2\n")
    rows = rows_of(table, matched(table.header), Answers())
    assert rows[0] == {"begins": "2014", "yard": "=1+1", "note": "=cmd|' /C calc'!A0"}
    with Logbook.create(tmp_path / "b", Surroundings(state_folder=tmp_path / "s")) as logbook:
        keep_old_haul_outs(logbook, rows, kind="import")
        assert logbook.can_undo == ("visit.old_notes", {"count": 2})


def test_midnight_of_a_spreadsheet_is_no_time_of_day(read):
    table = read("Out;In\n2014-04-14 00:00:00;2014-04-20 09:30\n")
    (row,) = rows_of(table, matched(table.header), Answers())
    assert row == {"begins": "2014-04-14", "ends": "2014-04-20 09:30"}


# Questions


def asked(read, book, text):
    table = read(text)
    return [
        (one.column, one.sort, one.proposed)
        for one in questions(book, table, matched(table.header))
    ]


def test_the_order_of_dates_is_asked_once_a_column_where_it_is_not_told(read, book):
    assert asked(read, book, "Out;In\n03/04/2014;2014\n05/06/2015;07/07/2015\n") == [
        ("begins", "order", None)
    ]
    assert asked(read, book, "Out;In\n03/04/2014;1/2/2014\n25/06/2015;1/25/2015\n") == [
        ("begins", "order", "day first"), ("ends", "order", "month first"),
    ]  # fmt: skip
    assert asked(read, book, "Out;In\n25/04/2014;2014\n") == []


def test_the_decimal_sign_is_asked_where_a_number_can_be_read_two_ways(read, book):
    assert asked(read, book, "Out;Litres\n2014;1,250\n") == [("litres", "sign", None)]
    assert asked(read, book, "Out;Litres\n2014;1,250\n2015;2,5\n") == [("litres", "sign", ",")]
    assert asked(read, book, "Out;Litres\n2014;2,5\n2015;2.25\n") == []


# There and back

DAYS = st.dates(date(1990, 1, 1), date(2024, 12, 31))
FORMS = ["%Y", "%Y-%m", "%Y-%m-%d", "%d/%m/%Y", "%d.%m.%Y", "%Y-%m-%d %H:%M"]
WORDS = st.text(
    st.characters(codec="cp1252", exclude_categories=["C", "Z"]) | st.sampled_from(" ;,\t\"'=+\n"),
    max_size=24,
).map(lambda text: " ".join(text.split()))
LITRES = st.integers(1, 99_999).map(lambda number: Decimal(number) / 1000)


@st.composite
def a_row(draw):
    about = draw(st.sampled_from(["", "about "]))
    row = {"begins": about + draw(DAYS).strftime(draw(st.sampled_from(FORMS)))}
    row |= {column: draw(WORDS) for column in ("yard", "found", "product", "note")}
    row["litres"] = draw(st.none() | LITRES)
    row["way"] = draw(st.sampled_from(["", "crane", "travelling hoist"]))
    return row


def meaning(row):
    """Return what a row means, however it is written."""
    when = PartialDate.parse(row["begins"], order="day first")
    litres = row.get("litres") or None
    if isinstance(litres, str):
        litres = units.read_number(litres)
    rest = [row.get(column) or "" for column in ("yard", "found", "product", "note", "way")]
    return (when.precision, when.about, when.earliest, when.latest, litres, *rest)


@given(
    st.lists(a_row(), min_size=1, max_size=6),
    st.sampled_from(csvnotes.SEPARATORS),
    st.sampled_from([",", "."]),
    st.sampled_from(["utf-8", "utf-8-sig", "cp1252"]),
)
def test_rows_that_are_written_are_read_back_the_same(
    tmp_path_factory, rows, separator, sign, encoding
):
    columns = ["begins", "yard", "found", "product", "note", "litres", "way"]
    stream = io.StringIO(newline="")
    writer = csv.writer(stream, delimiter=separator)
    writer.writerow([say(f"old_notes.column.{column}") for column in columns])
    for row in rows:
        litres = "" if row["litres"] is None else format(row["litres"], "f").replace(".", sign)
        writer.writerow([{**row, "litres": litres}[column] for column in columns])
    file = tmp_path_factory.mktemp("csv") / "notes.csv"
    file.write_bytes(stream.getvalue().encode(encoding))
    table = read_table(file)
    answers = Answers({"begins": "day first"}, {"litres": sign})
    back = rows_of(table, matched(table.header), answers)
    assert [meaning(row) for row in back] == [meaning(row) for row in rows]

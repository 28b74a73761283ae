"""What is read in the pasted text of a data sheet, and what is left alone."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from hulllog.trade.datasheet import passed_over, read_sheet

SHEET = """
INVENTED BOTTOM PAINT   data sheet 3/2024
Solids by volume: 52 ± 2 %
Recommended dry film thickness: 50 µm per coat
Theoretical coverage  10,4 m²/L
Substrate temperature      5°C    15 °C   23 °C
Overcoating, minimum       16 h   10 hours   6 hrs
Overcoating, maximum       30 days 20 days 14 days
Immersion, minimum         36 h    24 h     16 h
Pot life at 20 °C: 2 hours
Touch dry 4 h
"""


def times(found):
    return {
        (one.step, one.temperature): (one.shortest, one.longest)
        for one in found
        if one.code == "time"
    }


def test_figures_and_a_table_of_times_are_read_with_their_lines():
    found = read_sheet(SHEET)
    values = {one.code: one.value for one in found if one.code != "time"}
    assert values == {
        "volume_solids": ("52", "percent"),
        "film": ("50", "um"),
        "spreading_rate": ("10.4", "m2/L"),
    }
    told = times(found)
    assert told["overcoat_self", ("5", "degC")] == (("16", "h"), ("30", "d"))
    assert told["overcoat_self", ("23", "degC")] == (("6", "h"), ("14", "d"))
    assert told["launch", ("15", "degC")] == (("24", "h"), None)
    assert told["pot_life", ("20", "degC")] == (None, ("2", "h"))
    assert found[0].line == "Solids by volume: 52 ± 2 %"


def test_what_a_line_says_of_itself_is_read_without_a_table():
    told = times(read_sheet("Minimum overcoating at 50 °F: 12 hours\nLaunch after 24 h at 10°C"))
    assert told == {
        ("overcoat_self", ("50", "degF")): (("12", "h"), None),
        ("launch", ("10", "degC")): (("24", "h"), None),
    }


def test_times_without_a_temperature_or_of_another_number_are_left_out():
    assert not times(read_sheet("Touch dry 4 h"))
    assert not times(read_sheet("5°C 15°C\nOvercoating minimum 16 h 10 h 6 h"))
    assert not read_sheet("Thin by 5 % at most. Volume of the tin 2.5 L. Store at 5-30 °C.")


def test_lines_with_figures_that_were_not_understood_are_named():
    launch = "Launch: minimum 24 hours, maximum 3 months"
    thin = "Thin by 5 % at most."
    warm = "Application temperature 5-30 °C"
    assert passed_over(f"{SHEET}\n{launch}\n{thin}\n{warm}\nFor fine boats.") == [
        "INVENTED BOTTOM PAINT data sheet 3/2024", "Touch dry 4 h", launch, thin, warm,
    ]  # fmt: skip


@given(st.text(max_size=400))
def test_any_text_is_read_without_harm_and_each_offer_stands_in_it(text):
    for one in read_sheet(text):
        assert all(part in " ".join(text.split()) for part in one.line.split(" / "))

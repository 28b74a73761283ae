"""Every palette can be read, and the five condition steps told apart."""

from __future__ import annotations

from itertools import pairwise

import pytest

from hulllog.drawing.palette import ALL, LIGHT, STEPS, channels, contrast, luminance, readable_on

GROUNDS = ("paper", "sheet")
TEXTS = ("ink", "muted", "action", "water_deep", "series.1", "series.2", "series.3", "shore")


@pytest.fixture(params=ALL, ids=lambda palette: palette.name)
def palette(request):
    return request.param


def ratio(palette, one, other):
    return contrast(palette.colour(one), palette.colour(other))


def _lab(colour):
    """CIE 1976 L*a*b* of an sRGB colour under D65 (IEC 61966-2-1, ISO/CIE 11664-4)."""
    rgb = [c / 255 for c in channels(colour)]
    lin = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in rgb]
    rows = ((0.4124, 0.3576, 0.1805), (0.2126, 0.7152, 0.0722), (0.0193, 0.1192, 0.9505))
    white = (0.95047, 1.0, 1.08883)
    xyz = [sum(m * c for m, c in zip(row, lin, strict=True)) for row in rows]
    f = [
        t ** (1 / 3) if t > (6 / 29) ** 3 else t / (3 * (6 / 29) ** 2) + 4 / 29
        for t in (v / w for v, w in zip(xyz, white, strict=True))
    ]
    return 116 * f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])


def difference(one, other):
    return sum((a - b) ** 2 for a, b in zip(_lab(one), _lab(other), strict=True)) ** 0.5


def test_contrast_of_black_and_white_is_21():
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#ffffff", "#000000") == pytest.approx(21)
    assert contrast("#777777", "#ffffff") == pytest.approx(4.48, abs=0.01)


@pytest.mark.parametrize("ground", GROUNDS)
@pytest.mark.parametrize("text", TEXTS)
def test_text_reads_on_its_ground(palette, text, ground):
    assert ratio(palette, text, ground) >= 4.5


@pytest.mark.parametrize("text", ["ink", "muted", "water_deep"])
def test_text_reads_on_water(palette, text):
    assert ratio(palette, text, "water") >= 4.5


def test_text_reads_on_what_is_picked(palette):
    assert ratio(palette, "ink", "select") >= 4.5
    assert ratio(palette, "action", "select") >= 4.5
    assert ratio(palette, "on_action", "action") >= 4.5


@pytest.mark.parametrize("step", range(STEPS))
def test_the_grade_reads_on_its_tint(palette, step):
    assert ratio(palette, f"on_condition.{step}", f"condition.{step}") >= 4.5


@pytest.mark.parametrize("ground", GROUNDS)
@pytest.mark.parametrize("mark", ["edge", "hatch", "ashore_edge", "thread", "ghost"])
def test_edges_and_marks_stand_out(palette, mark, ground):
    assert ratio(palette, mark, ground) >= 3


def test_shore_power_stands_out_on_water(palette):
    assert ratio(palette, "shore", "water") >= 3


def test_condition_steps_run_one_way_and_are_told_apart(palette):
    colours = [palette.colour(f"condition.{step}") for step in range(STEPS)]
    lights = [luminance(colour) for colour in colours]
    assert lights in (sorted(lights), sorted(lights, reverse=True))
    for one, other in pairwise(colours):
        assert contrast(one, other) >= 1.5
        assert difference(one, other) >= 15


def test_the_palest_step_is_not_taken_for_the_ground(palette):
    assert difference(palette.colour("condition.0"), palette.colour("sheet")) >= 15


def test_what_nobody_looked_at_is_told_from_what_is_blank_and_its_letters_read(palette):
    assert difference(palette.colour("unlooked"), palette.colour("sheet")) >= 10
    assert ratio(palette, "ink", "unlooked") >= 4.5


def test_in_the_sun_text_has_seven_to_one():
    sun = next(palette for palette in ALL if palette.name == "sun")
    for text in ("ink", "muted", "action"):
        assert ratio(sun, text, "sheet") >= 7


def test_all_palettes_have_the_same_roles():
    assert {frozenset(palette.roles) for palette in ALL} == {frozenset(LIGHT.roles)}


def test_a_literal_colour_is_itself_and_an_unknown_role_is_refused():
    assert LIGHT.colour("#12ab34") == "#12ab34"
    with pytest.raises(KeyError):
        LIGHT.colour("pink")


@pytest.mark.parametrize("wrong", ["red", "#12345", "12345678", ""])
def test_what_is_no_colour_is_refused(wrong):
    with pytest.raises(ValueError, match=r".*"):
        channels(wrong)


@pytest.mark.parametrize("ground", ["#7a1f1f", "#f5f5f5", "#1f3a7a", "#808080"])
def test_text_on_an_antifouling_colour_reads(ground):
    assert contrast(readable_on(ground), ground) >= 4.5

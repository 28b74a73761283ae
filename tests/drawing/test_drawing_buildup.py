"""The section through the paint: to scale where it is known, honest where it is not."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hulllog.drawing import scene as drawn
from hulllog.drawing.buildup import Layer, Section, section, section_height
from hulllog.drawing.compose import build_up_scene
from hulllog.drawing.placing import inked, overlap
from hulllog.drawing.recorder import record
from hulllog.drawing.shapes import bounds
from hulllog.insight.paint import BuildUp
from hulllog.insight.paint import Layer as Coat

GOLDEN = Path(__file__).parent / "golden" / "buildup.txt"
COATS = Section(
    "Laminate and gelcoat",
    (
        Layer("Barrier, 5 coats", "350 µm, May 2018", "#c9c6bb", 350, said="barrier said"),
        Layer("Tie coat", "50 µm, May 2018", "#8f9aa0", 50, key="coat:tie"),
        Layer("Antifouling, red", "80 µm, Apr 2019", "#7a2a2a", 80, "thinned"),
        Layer("Antifouling, blue", "taken off, Apr 2021", "#27407a", 60, "gone"),
        Layer("Antifouling, black", "thickness unknown", "#1d2226"),
    ),
    "Bottom, aft",
    "as left",
    described="five coats",
)


def filled(scene, colour):
    found = [i for i in scene.items if isinstance(i, drawn.Path) and i.style.fill == colour]
    return found[0] if found else None


def high(path):
    return bounds(path)[3] - bounds(path)[1]


def texts(scene):
    return [item for item in scene.items if isinstance(item, drawn.Text)]


def test_the_section_is_drawn_as_before():
    """Change the golden file only after looking at the picture."""
    assert record(section(COATS, 110)) == GOLDEN.read_text(encoding="utf-8")


def test_known_films_are_to_one_scale():
    scene = section(COATS, 110)
    assert high(filled(scene, "#c9c6bb")) == pytest.approx(7 * high(filled(scene, "#8f9aa0")))


def test_an_unknown_film_has_broken_edges_and_what_is_gone_no_colour():
    scene = section(COATS, 110)
    assert filled(scene, "#1d2226").style.dash
    assert not filled(scene, "#c9c6bb").style.dash
    assert filled(scene, "#27407a") is None
    assert "Antifouling, blue" in [text.text for text in texts(scene)]


def test_a_thinned_coat_has_an_uneven_face():
    scene = section(COATS, 110)
    tops = {round(op[2], 3) for op in filled(scene, "#7a2a2a").ops[:-3]}
    assert len(tops) > 4
    assert len(filled(scene, "#8f9aa0").ops) == 5


def test_coats_lie_on_one_another_from_the_substrate_out():
    scene = section(COATS, 110)
    ground, barrier = filled(scene, "card"), filled(scene, "#c9c6bb")
    tie = filled(scene, "#8f9aa0")
    assert bounds(barrier)[3] == pytest.approx(bounds(ground)[1])
    assert bounds(tie)[3] == pytest.approx(bounds(barrier)[1])


def test_each_coat_is_said_and_can_be_pressed():
    scene = section(COATS, 110)
    assert scene.regions[0] == ("layer:0", "barrier said")
    assert scene.regions[1] == ("coat:tie", "Tie coat. 50 µm, May 2018")
    assert {key for key, _ in scene.regions} == {item.key for item in scene.items if item.key}
    assert scene.described == "five coats"


def test_no_coat_is_said_in_words():
    scene = section(replace(COATS, layers=(), empty="No coat is recorded here."), 80)
    assert "No coat is recorded here." in [text.text for text in texts(scene)]


def test_where_room_is_short_details_go_first_and_coats_stay():
    small = section(COATS, 110, 42)
    said = [text.text for text in texts(small)]
    assert "Barrier, 5 coats" in said
    assert "350 µm, May 2018" not in said
    assert all(filled(small, la.colour) for la in COATS.layers if la.stand != "gone")


LAYERS = st.lists(
    st.builds(
        Layer,
        st.text("abc ", min_size=1, max_size=40),
        st.sampled_from(["", "70 µm by litres"]),
        st.sampled_from(["#27407a", "#7a2a2a"]),
        st.one_of(st.none(), st.floats(1, 2000)),
        st.sampled_from(["whole", "thinned", "gone"]),
    ),
    min_size=1,
    max_size=14,
)


@given(LAYERS, st.floats(60, 160), st.one_of(st.none(), st.floats(60, 120)))
@settings(max_examples=60, deadline=None)
def test_words_never_touch_and_all_stays_inside(layers, width, height):
    coats = replace(COATS, layers=tuple(layers))
    scene = section(coats, width, height)
    assert scene.height == (height or section_height(coats, width))
    for one, other in combinations(texts(scene), 2):
        assert not overlap(inked(one), inked(other)), (one, other)
    for item in scene.items:
        left, top, right, bottom = bounds(item)
        assert left >= -0.01
        assert right <= width + 0.01
        assert top >= -0.6
        assert bottom <= scene.height + 0.01


def test_no_word_of_a_coat_is_cut_where_the_height_is_its_own():
    long = "2025, self-polishing antifouling, deep inlet blue, 50 µm by the litres, less the loss"
    layers = tuple(Layer(f"Coat {n}", long, "#27407a", 50) for n in range(6))
    scene = section(Section("Laminate", layers), 110)
    said = [item.text for item in texts(scene)]
    assert not [text for text in said if "…" in text]
    assert " ".join(said).count("less the loss") == 6
    boxes = [bounds(item) for item in texts(scene)]
    assert not [pair for pair in combinations(boxes, 2) if overlap(*pair)]


def test_coats_alike_one_upon_the_other_are_one_with_their_number():
    coat = Coat(None, "Blue", "epoxy_primer", "primer", "blue", "#27407a", 50.0, "litres")
    other = replace(coat, product="Red")
    scene = build_up_scene(BuildUp("z", None, None, (coat, coat, other, coat)), 110, together=True)
    said = [item.text for item in texts(scene)]
    assert [text for text in said if "Blue" in text or "Red" in text][:3] == [
        "Blue, 2 coats, each:",
        "Red",
        "Blue",
    ]


def test_a_coat_on_a_part_of_the_zone_is_a_patch():
    def width(layer):
        found = section(replace(COATS, layers=(layer,)), 80)
        paths = [one for one in found.items if isinstance(one, drawn.Path)]
        (path,) = [one for one in paths if one.style.fill == "#27407a"]
        across = [op[1] for op in path.ops if len(op) > 1]
        return max(across) - min(across)

    whole = Layer("Coat", "", "#27407a", 50)
    assert width(replace(whole, share=0.5)) == pytest.approx(width(whole) / 2)
    assert 0 < width(replace(whole, share=0.001)) < width(whole) / 5

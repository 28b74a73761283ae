"""Several coats as one entry, and coats, paints and positions put right as one entry."""

from __future__ import annotations

import pytest

from hulllog.records.model import AnodePosition, Coat, Product
from hulllog.records.operations import anodes, coatings


@pytest.fixture
def product(boat):
    return coatings.add_product(
        boat.logbook, name="Tideguard Red", coating_class="hard_antifouling", role="antifouling"
    )


def test_several_coats_share_their_litres_as_one_entry(boat, product):
    before = boat.entries
    keys = coatings.add_coats(
        boat.logbook, boat.visit, product_id=product, coats="3", litres="5 L", air="14",
        tool="roller",
    )  # fmt: skip
    found = [boat.get(Coat, key) for key in keys]
    assert boat.entries == before + 1
    assert [coat.number for coat in found] == [1, 2, 3]
    assert sum(coat.litres.si for coat in found) == pytest.approx(5e-3, abs=2e-6)
    assert all(coat.whole_bottom and coat.tool == "roller" for coat in found)
    boat.logbook.undo()
    assert boat.all(Coat) == []


def test_a_new_paint_comes_with_its_coats_or_not_at_all(boat, refuses):
    new = {"name": "Brackwater", "coating_class": "unknown", "role": "antifouling"}
    coatings.add_coats(boat.logbook, boat.visit, product=new, zones=[boat.zones["rudder"]])
    (coat,) = boat.all(Coat)
    assert boat.get(Product, coat.product_id).name == "Brackwater"
    assert not coat.whole_bottom
    refuses(
        "number_high", "litres", coatings.add_coats, boat.visit, product={**new, "name": "Two"},
        litres="9000",
    )  # fmt: skip
    refuses("number_high", "coats", coatings.add_coats, boat.visit, product=new, coats="40")
    refuses("text_wanted", "name", coatings.add_coats, boat.visit, product={**new, "name": " "})


def test_coats_and_paints_are_put_right_as_one_entry(boat, product):
    (key,) = coatings.add_coats(boat.logbook, boat.visit, product_id=product, litres="2")
    before = boat.entries
    coatings.edit_coat(boat.logbook, key, litres="2.5", at="2025-04-20", note="second reading")
    coatings.edit_product(boat.logbook, product, {"volume_solids": "50", "film": "45"})
    assert boat.entries == before + 2
    coat = boat.get(Coat, key)
    assert (coat.litres.text, coat.note, coat.at.earliest.hour) == ("2.5", "second reading", 23)
    assert boat.get(Product, product).film.si == pytest.approx(45e-6)


def test_a_position_is_renamed_with_what_it_protects(boat):
    key = anodes.add_position(boat.logbook, name="Shaft", protects=["shaft"])
    before = boat.entries
    anodes.edit_position(boat.logbook, key, name="Shaft, aft", protects=["shaft", "rudder"])
    kept = boat.get(AnodePosition, key)
    assert (kept.name, kept.protects) == ("Shaft, aft", ["shaft", "rudder"])
    assert boat.entries == before + 1


def test_a_corrected_look_wants_its_figure_too(boat, refuses):
    position = anodes.add_position(boat.logbook, name="Shaft")
    piece = anodes.fit_piece(boat.logbook, position, visit_id=boat.visit, mass_new="1 kg")
    look = anodes.check_anode(boat.logbook, piece, visit_id=boat.visit, way="weighed", mass="800 g")
    refuses("number_wanted", "mass", anodes.set_check, look, {"mass": None})

"""What insight works out comes with its working; only what was read or typed is a bare figure."""

from __future__ import annotations

import ast

from house import PACKAGE

PLAIN = {
    # as typed, or as stored
    "CheckSeen.mass_kg", "CheckSeen.left", "PieceStory.mass_new_kg", "PieceStory.insert_kg",
    "Moved.left", "Moved.mass_kg",
    "CoatSeen.litres", "CoatSeen.volume_solids", "CoatSeen.film_um", "CoatSeen.air",
    "CoatSeen.humidity", "CoatSeen.hull", "CoatSeen.shares", "Layer.share", "ZoneState.share",
    "Seen.share", "Worked.share", "Point.value", "LimitSeen.value",
    "Areas.factor", "AreaTold.factor", "PaintWanted.corrected",
    "AnodeLimit.share", "Due.share", "HowSeen.share", "Pad.aft", "VisitLine.slings",
    # an input of a working, or a bound that it has
    "Point.spread", "_Film.mean", "Immersion.low", "Immersion.high", "Stretch.mass_kg",
    "Areas.zones",
    # set out beside it: Layer.film, boat.zone_skin, boat.skin
    "Layer.film_um", "ZoneArea.area",
    # how far a correction moves a mark, told once when it is made
    "Moved.far",
}  # fmt: skip


def test_every_bare_figure_of_insight_is_known_to_be_none_that_is_worked_out() -> None:
    found = set()
    for file in sorted((PACKAGE / "insight").glob("*.py")):
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if isinstance(node, ast.ClassDef):
                found |= {
                    f"{node.name}.{field.target.id}"
                    for field in node.body
                    if isinstance(field, ast.AnnAssign)
                    and isinstance(field.target, ast.Name)
                    and "float" in ast.unparse(field.annotation).replace("Afloat", "")
                }
    assert found == PLAIN

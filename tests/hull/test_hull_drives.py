"""Shafts, legs and tunnels: where they stand and how far down they reach."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hullboats import made

from hulllog.hull import drives, outlines
from hulllog.hull.form import HullForm
from hulllog.hull.particulars import DRIVES, KEELS, KINDS


def boat(kind, drive, keel="none", **more):
    beam = 5.4 if kind == "catamaran" else 3.3
    return HullForm.build(made(kind, keel, 10.0, beam, 0.95, drive=drive, **more))


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("drive", [drive for drive in DRIVES if drive != "none"])
def test_a_drive_is_seen_from_every_side_and_not_far_below_the_draught(kind, drive):
    form = boat(kind, drive, "fin" if kind in ("yacht", "catamaran") else "none")
    for view in ("port", "starboard", "bottom", "stern"):
        shapes = drives.shapes(form, view)
        assert len(shapes) >= 3 * len(form.hands)
        assert all(np.isfinite(points).all() for points in shapes)
    lowest = min(float(points[:, 1].min()) for points in drives.shapes(form, "port"))
    assert -1.45 * form.particulars.draught < lowest < 0
    assert not drives.shapes(form, "expansion")


def test_no_drive_is_not_drawn():
    assert not [
        shape for shape in outlines.silhouettes(boat("small", "none"), "port")
        if shape.name == "drive"
    ]  # fmt: skip


@pytest.mark.parametrize("kind", ["motor", "planing", "inland"])
def test_a_tunnel_houses_the_upper_part_of_its_propeller(kind):
    form = boat(kind, "tunnel")
    tunnel, *_, disc, _hub = drives.shapes(form, "port")
    profile = form.solved.lines.profile
    middle, top = float(disc[:, 0].mean()), float(disc[:, 1].max())
    bottom = float(np.interp(middle, profile.x, profile.z))
    assert disc[:, 1].min() < bottom < top
    near = tunnel[np.abs(tunnel[:, 0] - middle) < 0.5]
    assert near[:, 1].max() > top
    assert tunnel[:, 1].max() < 0.5 * form.particulars.draught
    from_below = drives.shapes(form, "bottom")[0]
    blades = drives.shapes(form, "bottom")[-2]
    assert np.ptp(from_below[:, 1]) > np.ptp(blades[:, 1])
    assert from_below[:, 0].min() < blades[:, 0].min()


@pytest.mark.parametrize("rudder", ["spade", "twin"])
@pytest.mark.parametrize("drive", ["shaft", "tunnel"])
def test_rudders_stand_abaft_the_propeller(rudder, drive):
    form = boat("planing", drive, rudder=rudder)
    disc = drives.shapes(form, "port")[-2]
    for thing in form.foils:
        assert thing.middle[0, :, 0].min() > disc[:, 0].max() - 0.02


def test_a_tunnel_lets_the_hull_be_as_deep_as_the_draught():
    deep, shallow = boat("motor", "tunnel"), boat("motor", "shaft")
    assert deep.solved.depth > shallow.solved.depth
    assert shallow.solved.depth <= 0.80 * shallow.particulars.draught + 1e-9


@pytest.mark.parametrize("keel", KEELS)
def test_a_saildrive_hangs_on_the_bottom(keel):
    form = HullForm.build(
        replace(made("yacht", keel, 10.0, 3.3, 1.6), drive="saildrive", rudder="spade")
    )
    leg = drives.shapes(form, "port")[0]
    profile = form.solved.lines.profile
    gaps = leg[:2, 1] - np.interp(leg[:2, 0], profile.x, profile.z)
    assert np.abs(gaps).max() < 1e-9
    assert np.ptp(leg[:, 1]) > 0.2

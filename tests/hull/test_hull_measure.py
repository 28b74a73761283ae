"""The integrator against shapes whose area and volume are known."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hullboats import form
from scipy import integrate, special

from hulllog.hull import measure, surface


def ellipsoid(a, b, c, rows, columns):
    """Return the lower half of an ellipsoid's side, rows along x."""
    turn = np.linspace(0, np.pi, rows)[:, None]
    down = np.linspace(0, np.pi / 2, columns)[None, :]
    x = -a * np.cos(turn) * np.ones_like(down)
    return np.stack([x, b * np.sin(turn) * np.sin(down), -c * np.sin(turn) * np.cos(down)], axis=-1)


def ellipsoid_area(a, b, c):
    """Return the area of a whole ellipsoid by incomplete elliptic integrals."""
    a, b, c = sorted((a, b, c), reverse=True)
    angle = math.acos(c / a)
    modulus = (a * a * (b * b - c * c)) / (b * b * (a * a - c * c))
    bracket = special.ellipeinc(angle, modulus) * math.sin(angle) ** 2
    bracket += special.ellipkinc(angle, modulus) * math.cos(angle) ** 2
    return 2 * math.pi * c * c + 2 * math.pi * a * b / math.sin(angle) * bracket


@pytest.mark.parametrize("axes", [(4.0, 1.4, 0.5), (5.0, 1.5, 0.8), (5.0, 1.6, 0.5)])
def test_half_ellipsoid(axes):
    a, b, c = axes
    xyz = ellipsoid(a, b, c, 97, 45)
    assert 2 * measure.area(xyz) == pytest.approx(ellipsoid_area(a, b, c) / 2, rel=5e-3)
    volume = 2 * math.pi * a * b * c / 3
    assert 2 * measure.volume_beside_centre(xyz) == pytest.approx(volume, rel=5e-3)


def wigley(length, beam, draught, rows=97, columns=45):
    """Return one side of a Wigley hull, rows along x from stem to stern."""
    x = np.linspace(0, length, rows)[:, None]
    z = np.linspace(-draught, 0, columns)[None, :]
    y = beam / 2 * (1 - (2 * x / length - 1) ** 2) * (1 - (z / draught) ** 2)
    return np.stack([x + 0 * z, y, z + 0 * x], axis=-1)


@pytest.mark.parametrize("hull", [(10.0, 1.0, 0.625), (9.0, 2.6, 0.5)])
def test_wigley_hull(hull):
    length, beam, draught = hull

    xyz = wigley(*hull)
    assert measure.area(xyz) == pytest.approx(wigley_area(*hull), rel=5e-3)
    volume = 4 / 9 * length * beam * draught
    assert 2 * measure.volume_beside_centre(xyz) == pytest.approx(volume, rel=5e-3)


def wigley_area(length, beam, draught):
    """Return the area of one side by adaptive quadrature."""

    def element(z, x):
        along, down = 1 - (2 * x / length - 1) ** 2, 1 - (z / draught) ** 2
        by_x = beam / 2 * (-4 / length) * (2 * x / length - 1) * down
        by_z = beam / 2 * along * (-2 * z / draught**2)
        return math.sqrt(1 + by_x**2 + by_z**2)

    return integrate.dblquad(element, 0, length, -draught, 0, epsabs=1e-6, epsrel=1e-6)[0]


def cone(rows, columns):
    """Return one side of a cone, 4 long and 1 in radius, rows from its point."""
    share, turn = np.meshgrid(
        np.linspace(0, 1, rows), np.linspace(0, np.pi, columns), indexing="ij"
    )
    return np.stack([4 * share, share * np.sin(turn), share * np.cos(turn)], axis=-1)


def box(rows, columns):
    """Return the side of a box 3 long and 1 deep, 0.7 off the middle."""
    x, z = np.meshgrid(np.linspace(0, 3, rows), np.linspace(-1, 0, columns), indexing="ij")
    return np.stack([x, np.full_like(x, 0.7), z], axis=-1)


KNOWN = {
    "ellipsoid": (
        lambda n: ellipsoid(5.0, 1.5, 0.8, n, n),
        ellipsoid_area(5.0, 1.5, 0.8) / 4,
        math.pi * 5.0 * 1.5 * 0.8 / 3,
    ),
    "wigley": (
        lambda n: wigley(9.0, 2.6, 0.5, n, n),
        wigley_area(9.0, 2.6, 0.5),
        2 / 9 * 9.0 * 2.6 * 0.5,
    ),
    "cone": (lambda n: cone(n, n), math.pi * math.hypot(1, 4) / 2, math.pi * 4 / 6),
    "box": (lambda n: box(n, n), 3.0, 2.1),
}


@pytest.mark.parametrize("shape", KNOWN)
def test_known_shapes_at_three_sizes_of_mesh(shape):
    """Half the step, a quarter of the error; the finest within half a per cent."""
    mesh, area, volume = KNOWN[shape]
    for measured, exact in ((measure.area, area), (measure.volume_beside_centre, volume)):
        errors = [abs(measured(mesh(n)) / exact - 1) for n in (13, 25, 49)]
        assert errors[2] <= 5e-3
        assert errors[0] + 1e-9 > 3.2 * errors[1]
        assert errors[1] + 1e-9 > 3.2 * errors[2]


@pytest.mark.parametrize("name", ["fin", "long", "planing", "motor", "inland", "clinker"])
def test_the_mesh_of_a_form_is_fine_enough(name):
    """Her own surface on rows and columns ever closer: what is drawn differs by half a per cent."""
    boat = form(name)
    lines, band = boat.solved.lines, boat.band
    area, volume = [], []
    for rows, piece in ((49, 10), (97, 20), (193, 40)):
        skin = surface.grid(lines, surface.even_rows(rows), piece=piece)
        area.append(measure.area(skin.xyz))
        volume.append(measure.volume_beside_centre(skin.xyz[:, : skin.water + 1]))
    drawn = surface.fine(lines, band)
    assert measure.area(drawn.xyz) == pytest.approx(area[2], rel=5e-3)
    wet = measure.volume_beside_centre(drawn.xyz[:, : drawn.water + 1])
    assert wet == pytest.approx(volume[2], rel=5e-3)
    for found in (area, volume):
        assert abs(found[1] - found[2]) <= abs(found[0] - found[1]) + 1e-6 * found[2]


def test_columns_keep_the_shape_when_laid_anew():
    """Sharing a row out by girth neither loses nor adds skin."""
    xyz = wigley(9.0, 2.6, 0.5)
    length = surface.girth(xyz)
    wanted = length[:, -1:] * np.linspace(0, 1, 45)
    anew = np.stack(surface.along(length, wanted, *np.moveaxis(xyz, 2, 0)), axis=-1)
    assert measure.area(anew) == pytest.approx(measure.area(xyz), rel=5e-4)
    step = np.linalg.norm(np.diff(anew, axis=1), axis=2)
    assert np.ptp(step, axis=1).max() < 1e-3


def test_leading_edges_are_those_of_keels_and_of_a_rudder_that_hangs_free():
    from hulllog.hull.edges import leading_edges
    from hulllog.hull.form import HullForm
    from hulllog.hull.particulars import Particulars

    given = {
        "kind": "yacht", "length": 8.7, "beam": 2.85, "draught": 0.95, "lwl": 7.2,
        "displacement": 4100.0, "keel": "twin", "drive": "shaft", "stern": "upright",
        "bow": "raked", "planking": "none",
    }  # fmt: skip
    skeg, spade = (
        leading_edges(HullForm.build(Particulars.from_json({**given, "rudder": rudder})))
        for rudder in ("skeg", "spade")
    )
    # Two keels and a skeg, each about as deep as she draws below her canoe body.
    assert 1.5 < skeg < 3 * 0.95
    assert spade > 0

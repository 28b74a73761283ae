"""The integrator against shapes whose area and volume are known."""

from __future__ import annotations

import math

import numpy as np
import pytest
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


def test_finer_meshes_come_nearer():
    a, b, c = 5.0, 1.5, 0.8
    exact = ellipsoid_area(a, b, c) / 4
    errors = [abs(measure.area(ellipsoid(a, b, c, n, n)) / exact - 1) for n in (13, 25, 49)]
    assert errors[0] > 3 * errors[1] > 9 * errors[2]
    assert errors[2] < 5e-3


def wigley(length, beam, draught, rows=97, columns=45):
    """Return one side of a Wigley hull, rows along x from stem to stern."""
    x = np.linspace(0, length, rows)[:, None]
    z = np.linspace(-draught, 0, columns)[None, :]
    y = beam / 2 * (1 - (2 * x / length - 1) ** 2) * (1 - (z / draught) ** 2)
    return np.stack([x + 0 * z, y, z + 0 * x], axis=-1)


@pytest.mark.parametrize("hull", [(10.0, 1.0, 0.625), (9.0, 2.6, 0.5)])
def test_wigley_hull(hull):
    length, beam, draught = hull

    def element(z, x):
        along = 1 - (2 * x / length - 1) ** 2
        down = 1 - (z / draught) ** 2
        by_x = beam / 2 * (-4 / length) * (2 * x / length - 1) * down
        by_z = beam / 2 * along * (-2 * z / draught**2)
        return math.sqrt(1 + by_x**2 + by_z**2)

    exact, _ = integrate.dblquad(element, 0, length, -draught, 0, epsabs=1e-4, epsrel=1e-4)
    xyz = wigley(*hull)
    assert measure.area(xyz) == pytest.approx(exact, rel=5e-3)
    volume = 4 / 9 * length * beam * draught
    assert 2 * measure.volume_beside_centre(xyz) == pytest.approx(volume, rel=5e-3)


def test_box_and_cone_are_exact_or_nearly():
    x, z = np.meshgrid(np.linspace(0, 3, 4), np.linspace(-1, 0, 3), indexing="ij")
    side = np.stack([x, np.full_like(x, 0.7), z], axis=-1)
    assert measure.area(side) == pytest.approx(3.0)
    assert measure.volume_beside_centre(side) == pytest.approx(2.1)
    share, turn = np.meshgrid(np.linspace(0, 1, 20), np.linspace(0, np.pi, 61), indexing="ij")
    cone = np.stack([4 * share, share * np.sin(turn), share * np.cos(turn)], axis=-1)
    assert measure.area(cone) == pytest.approx(math.pi * math.hypot(1, 4) / 2, rel=1e-3)
    assert measure.volume_beside_centre(cone) == pytest.approx(math.pi * 4 / 6, rel=2e-3)


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

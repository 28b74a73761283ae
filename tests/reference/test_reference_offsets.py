"""The integrator of the hull against a printed table of offsets.

F. H. Todd, Series 60: Methodical Experiments with Models of Single-Screw Merchant Ships, David
Taylor Model Basin Report 1712 (1963), in the public domain: Table 7, Model 4214W-B4, read from a
typed copy in an open data set.  Half-breadths are shares of the greatest at each waterline;
printed with them are the area of each section below the load waterline, as a share of the fullest,
and the total prismatic coefficient, which is the displaced volume by length and fullest section.
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy.interpolate import PchipInterpolator

from hulllog.hull import measure

LEVELS = (0.0, 0.075, 0.25, 0.50, 0.75, 1.00)
"""Height of the waterlines of the table, as shares of the draught; 0 is the flat of the bottom."""
GREATEST = (0.850, 0.970, 1.000, 1.000, 1.000, 1.000)
TABLE = """
 0    0.000 0.000 0.000 0.000 0.000 0.000  0.000
 0.5  0.053 0.162 0.235 0.258 0.267 0.280  0.243
 1    0.160 0.324 0.435 0.486 0.505 0.522  0.458
 1.5  0.286 0.467 0.581 0.650 0.681 0.700  0.620
 2    0.423 0.591 0.702 0.774 0.808 0.830  0.746
 3    0.696 0.793 0.867 0.921 0.948 0.964  0.901
 4    0.903 0.929 0.962 0.983 0.994 0.999  0.975
 5    0.990 0.991 0.995 0.998 1.000 1.000  0.997
 6    1.000 1.000 1.000 1.000 1.000 1.000  1.000
 7    1.000 1.000 1.000 1.000 1.000 1.000  1.000
 8    1.000 1.000 1.000 1.000 1.000 1.000  1.000
 9    1.000 1.000 1.000 1.000 1.000 1.000  1.000
10    1.000 1.000 1.000 1.000 1.000 1.000  1.000
11    1.000 1.000 1.000 1.000 1.000 1.000  1.000
12    0.996 0.997 1.000 1.000 1.000 1.000  0.999
13    0.958 0.976 0.996 1.000 1.000 1.000  0.995
14    0.858 0.906 0.958 0.991 1.000 1.000  0.974
15    0.686 0.780 0.872 0.941 0.972 0.988  0.915
16    0.486 0.625 0.726 0.831 0.900 0.941  0.806
17    0.302 0.442 0.542 0.656 0.765 0.851  0.649
18    0.146 0.266 0.337 0.427 0.560 0.712  0.449
18.5  0.092 0.185 0.232 0.298 0.425 0.617  0.336
19    0.045 0.105 0.130 0.166 0.263 0.503  0.212
19.5  0.013 0.026 0.032 0.035 0.071 0.353  0.079
20    0.000 0.000 0.000 0.000 0.000 0.160
"""
PRISMATIC = 0.805
LENGTH, BEAM, DRAUGHT = 400.0, 61.5, 24.6
"""In feet, of no weight here: prismatic and shares are the same at every size."""


def read():
    """Return stations, half-breadths and the printed areas of the sections."""
    rows = [[float(one) for one in line.split()] for line in TABLE.strip().splitlines()]
    stations = np.array([row[0] for row in rows]) / 20
    breadths = np.array([row[1:7] for row in rows]) * GREATEST
    return stations, breadths, {row[0]: row[7] for row in rows if len(row) > 7}


def skin(rows, columns, stations=None):
    """Return one side as a mesh through the offsets, fair between them and never beyond them."""
    known, breadths, _ = read()
    x = np.linspace(0, 1, rows) if stations is None else np.asarray(stations)
    z = np.linspace(0, 1, columns)
    across = PchipInterpolator(LEVELS, breadths, axis=1)(z)
    y = PchipInterpolator(known, across, axis=0)(x)
    grid = np.broadcast_arrays(x[:, None] * LENGTH, y * BEAM / 2, z[None, :] * DRAUGHT)
    return np.stack(grid, axis=-1)


def section(station, columns):
    """Return the area of half a section below the load waterline, by a slice of one foot."""
    (fore,) = skin(0, columns, [station / 20])
    return measure.volume_beside_centre(np.stack([fore, np.add(fore, (1.0, 0.0, 0.0))]))


def prismatic(rows, columns):
    return measure.volume_beside_centre(skin(rows, columns)) / (LENGTH * section(10, columns))


def test_the_displacement_of_the_table_is_the_printed_one():
    found = [prismatic(rows, columns) for rows, columns in ((49, 23), (97, 45), (193, 89))]
    assert found[1] == pytest.approx(PRISMATIC, rel=5e-3)
    assert found[2] == pytest.approx(PRISMATIC, rel=5e-3)
    steps = np.abs(np.diff(found))
    assert steps[1] < steps[0] / 2
    assert steps[1] < 5e-4 * PRISMATIC


def test_the_sections_of_the_table_have_their_printed_areas():
    _, _, printed = read()
    for station, share in printed.items():
        # Towards the sternpost the waterlines of the table lie too far apart to say more.
        slack = 0.002 if station <= 18 else 0.006
        got = section(station, 181) / section(10, 181)
        assert got == pytest.approx(share, abs=slack), station


def test_the_wetted_area_of_the_table_settles_as_the_mesh_grows_finer():
    found = [measure.area(skin(rows, columns)) for rows, columns in ((49, 23), (97, 45), (193, 89))]
    assert abs(found[1] / found[2] - 1) < 5e-3
    assert abs(found[2] - found[1]) < abs(found[1] - found[0])

"""Areas of outlines drawn by hand against a figure worked in print, and against exact polygons."""

from __future__ import annotations

import math

from checks import agree, checked
from scipy.spatial import ConvexHull

from hulllog.trade import drawnareas


@checked(drawnareas.drawn_area, "SciPy ConvexHull", "library", where="volume in two dimensions")
def test_convex_outlines_against_another_program() -> None:
    corners = [(120.0, 80.0), (640.0, 40.0), (900.0, 310.0), (720.0, 560.0), (210.0, 470.0)]
    enclosed = float(ConvexHull(corners).volume)
    agree(drawnareas.drawn_area(corners, 100.0, 2.5).value, enclosed * 0.025**2)
    agree(drawnareas.drawn_area(corners[::-1], 800.0, 9.6, 1.1).value, 1.1 * enclosed * 0.012**2)


@checked(drawnareas.drawn_area, "a published worked example", "from memory", where="16.5 squares")
def test_the_pentagon_of_the_worked_example() -> None:
    corners = [(1.0, 6.0), (3.0, 1.0), (7.0, 2.0), (4.0, 4.0), (8.0, 5.0)]
    agree(drawnareas.drawn_area(corners, 1.0, 1.0).value, 16.5)


@checked(drawnareas.drawn_area, "Euclidean geometry", "arithmetic", where="dodecagon: 3·r²")
def test_a_regular_dodecagon_on_a_picture_of_known_scale() -> None:
    radius = 250.0
    corners = [
        (400 + radius * math.cos(n * math.pi / 6), 300 + radius * math.sin(n * math.pi / 6))
        for n in range(12)
    ]
    agree(drawnareas.drawn_area(corners, 500.0, 4.0).value, 3 * 2.0**2)
    agree(drawnareas.drawn_area(corners, 500.0, 4.0, 1.25).value, 15.0)

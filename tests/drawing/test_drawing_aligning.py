"""One photograph laid on another by two marks."""

from __future__ import annotations

import pytest

from hulllog.drawing.aligning import far_enough, laying

SIZE = (400.0, 200.0)


def test_the_same_marks_leave_it_where_it_is() -> None:
    marks = ((0.1, 0.2), (0.9, 0.7))
    made = laying(marks, SIZE, marks, SIZE)
    assert made is not None
    assert made((33, 44)) == pytest.approx((33, 44))
    assert made.scale == pytest.approx(1)
    assert made.degrees == pytest.approx(0)


def test_a_quarter_turn_and_twice_as_large() -> None:
    # (100, 100) and (200, 100) come to (100, 0) and (100, 200): clockwise, twice the length.
    made = laying(((0.25, 0.5), (0.5, 0.5)), SIZE, ((0.25, 0.0), (0.25, 1.0)), SIZE)
    assert made is not None
    assert made.scale == pytest.approx(2)
    assert made.degrees == pytest.approx(90)
    assert made((150, 100)) == pytest.approx((100, 100))


def test_pictures_of_other_sizes_are_laid_in_their_own_pixels() -> None:
    marks = ((0.0, 0.0), (1.0, 1.0))
    made = laying(marks, SIZE, marks, (800.0, 400.0))
    assert made is not None
    assert made.scale == pytest.approx(2)
    assert made.degrees == pytest.approx(0)


@pytest.mark.parametrize("near", [((0.5, 0.5), (0.5, 0.5)), ((0.5, 0.5), (0.51, 0.5))])
def test_marks_too_near_lay_nothing(near: tuple[tuple[float, float], tuple[float, float]]) -> None:
    apart = ((0.1, 0.1), (0.9, 0.9))
    assert not far_enough(near, SIZE)
    assert laying(near, SIZE, apart, SIZE) is None
    assert laying(apart, SIZE, near, SIZE) is None

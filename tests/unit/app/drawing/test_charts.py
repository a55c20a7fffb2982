"""Points told by numbers are found again by them."""

import math

import pytest

from app.drawing.charts import Back, Opposite, Place, Rim, Stretch

POINTS = [(3.0, 4.0), (-7.5, 2.25), (0.5, -9.0)]


@pytest.mark.parametrize("chart", [Place(), Rim((1.0, 1.0)), Stretch((1.0, 1.0)), Opposite((1.0, 1.0))])
@pytest.mark.parametrize("at", POINTS)
def test_a_point_is_found_again_by_its_numbers(chart, at):
    assert chart.point(chart.numbers(at), at) == pytest.approx(at)


@pytest.mark.parametrize(("at", "length"), [((-5.0, 0.0), 5.0), ((-5.0, 7.0), 5.0), ((4.0, 3.0), 0.0), ((0.0, 2.0), 0.0)])
def test_back_counts_what_lies_the_other_way_along_its_line(at, length):
    assert Back((0.0, 0.0), 0.0).numbers(at) == pytest.approx((length,))


def test_the_point_that_lies_back_is_on_the_line_of_its_direction():
    chart = Back((2.0, 1.0), 30.0)
    x, y = chart.point((10.0,), (99.0, 99.0))
    assert (x, y) == pytest.approx((2.0 - 10.0 * math.cos(math.radians(30.0)), 1.0 - 5.0))
    assert chart.numbers((x, y)) == pytest.approx((10.0,))

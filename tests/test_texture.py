"""The texture class of a soil against an open dataset of points, and the table of classes against the whole triangle."""

import pytest

from assistant.calculations.soil import texture_class
from assistant.knowledge_base import load
from assistant.units import Q

ROWS = load().entry("soils.texture_classes.rows")

# (clay, sand, class): the points, and the answers, that the documentation of the R package hydroTools prints for its
# classifier by the USDA triangle (rdrr.io, man/soil_class.html)
POINTS = [
    (5, 90, "sand"),
    (60, 32, "clay"),
    (15, 70, "sandy loam"),
    (5, 70, "sandy loam"),
    (25, 20, "silt loam"),
    (5, 10, "silt"),
    (25, 10, "silt loam"),
    (45, 10, "silty clay"),
    (65, 20, "clay"),
    (75, 10, "clay"),
    (13, 70, "sandy loam"),
    (47, 10, "silty clay"),
]


def classed(sand, clay):
    return texture_class(Q(sand, "percent"), Q(100 - sand - clay, "percent"), Q(clay, "percent"), ROWS)


@pytest.mark.parametrize(("clay", "sand", "found"), POINTS)
def test_a_published_point_is_of_its_class(clay, sand, found):
    assert classed(sand, clay) == found


def test_every_soil_is_of_one_class_whatever_the_order_of_the_table():
    for sand in range(0, 101, 2):
        for clay in range(0, 101 - sand, 2):
            shares = (Q(sand, "percent"), Q(100 - sand - clay, "percent"), Q(clay, "percent"))
            assert texture_class(*shares, ROWS) == texture_class(*shares, ROWS[::-1])


def test_shares_that_make_no_hundred_are_refused():
    with pytest.raises(ValueError, match="100"):
        texture_class(Q(90, "percent"), Q(20, "percent"), Q(30, "percent"), ROWS)

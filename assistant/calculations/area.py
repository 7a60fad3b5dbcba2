"""Area of a lawn from what a tape measures, shape by shape."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from typing import Any

from assistant.units import Q, ureg


class NothingLeft(ValueError):
    """More is taken off than there is."""


@ureg.check("[length]", "[length]")
def rectangle(length: Any, width: Any) -> Any:
    """Area of a rectangle: length x width.

    >>> rectangle(Q(60, "ft"), Q(25, "ft")).to("sq_ft")
    <Quantity(1500.0, 'square_foot')>

    Source: osuokc-calibration (its printed example).
    """
    return length * width


@ureg.check("[length]")
def square(side: Any) -> Any:
    """Area of a square: side x side.

    >>> square(Q(40, "ft"))
    <Quantity(1600, 'foot ** 2')>

    Source: osuokc-calibration.
    """
    return side * side


def total(parts: Iterable[tuple[int, Any]]) -> Any:
    """Area of pieces added (+1) and taken off (-1).

    `parts` are (sign, area) pairs. Raises NothingLeft where what is taken off is as large as the rest.

    >>> total([(1, Q(4800, "sq_ft")), (-1, Q(600, "sq_ft"))])
    <Quantity(4200, 'square_foot')>

    Source: gm-areas (an irregular lawn as pieces added and taken off).
    """
    left = sum((sign * area for sign, area in parts), Q(0, "sq_ft"))
    if left <= Q(0, "sq_ft"):
        raise NothingLeft("Nothing is left: more is taken off than there is. Check the pieces.")
    return left


@ureg.check("[length]", "[length]")
def triangle(base: Any, height: Any) -> Any:
    """Area of a triangle: base x height / 2.

    >>> triangle(Q(30, "ft"), Q(26, "ft"))
    <Quantity(390.0, 'foot ** 2')>

    Source: osuokc-calibration (its printed example).
    """
    return base * height / 2


def triangle_of_sides(sides: Sequence[Any]) -> Any:
    """Area of a triangle from its three sides (Heron's rule).

    >>> round(triangle_of_sides([Q(3, "ft"), Q(4, "ft"), Q(5, "ft")]), 6)
    <Quantity(6.0, 'foot ** 2')>

    Raises ValueError where the sides cannot meet. Source: gm-areas (triangles); the rule is geometry.
    """
    if len(sides) != 3:
        raise ValueError("A triangle has three sides.")
    a, b, c = sides
    half = (a + b + c) / 2
    if half <= max(sides):
        raise ValueError("Three such sides do not meet: the longest is as long as the other two together.")
    return (half * (half - a) * (half - b) * (half - c)) ** 0.5


@ureg.check("[length]")
def circle(diameter: Any) -> Any:
    """Area of a circle: 3.1416 x (diameter / 2) squared.

    >>> round(circle(Q(80, "ft")), 1)
    <Quantity(5026.5, 'foot ** 2')>

    Source: osuokc-calibration (prints 5,024 with 3.14).
    """
    return math.pi * diameter**2 / 4


@ureg.check("[length]")
def circle_of_radius(radius: Any) -> Any:
    """Area of a circle: 3.1416 x radius squared.

    >>> round(circle_of_radius(Q(30, "ft")), 1)
    <Quantity(2827.4, 'foot ** 2')>

    Source: gm-areas (prints 2,826 with 3.14).
    """
    return circle(2 * radius)


@ureg.check("[length]")
def circle_of_circumference(circumference: Any) -> Any:
    """Area of a circle from the way around it: circumference squared / (4 x 3.1416).

    >>> round(circle_of_circumference(Q(94, "ft")), 1)
    <Quantity(703.1, 'foot ** 2')>

    Source: osuokc-calibration (circles); solved for the circumference, arithmetic.
    """
    return circle(circumference / math.pi)


@ureg.check("[length]", "[length]")
def ring(diameter: Any, inner: Any) -> Any:
    """Area of a ring: the circle less the circle inside it, whichever of the two is named first.

    >>> round(ring(Q(20, "ft"), Q(10, "ft")), 1)
    <Quantity(235.6, 'foot ** 2')>

    Source: osuokc-calibration (circles).
    """
    if inner == diameter:
        raise ValueError("The inner circle is as large as the outer one.")
    return abs(circle(diameter) - circle(inner))


@ureg.check("[length]", "[length]")
def ring_of_radii(radius: Any, inner: Any) -> Any:
    """Area of a ring from the middle: 3.1416 x (outer radius squared less inner radius squared).

    >>> round(ring_of_radii(Q(20, "ft"), Q(10, "ft")), 1)
    <Quantity(942.5, 'foot ** 2')>

    Raises ValueError where the two are as large. Source: osuokc-calibration (circles).
    """
    return ring(2 * radius, 2 * inner)


@ureg.check("[length]")
def half_circle(diameter: Any) -> Any:
    """Area of a half circle on its straight edge.

    >>> round(half_circle(Q(40, "ft")), 1)
    <Quantity(628.3, 'foot ** 2')>

    Source: osuokc-calibration (circles).
    """
    return circle(diameter) / 2


@ureg.check("[length]")
def half_circle_of_radius(radius: Any) -> Any:
    """Area of a half circle: half of 3.1416 x radius squared.

    >>> round(half_circle_of_radius(Q(20, "ft")), 1)
    <Quantity(628.3, 'foot ** 2')>

    Source: osuokc-calibration (circles).
    """
    return circle_of_radius(radius) / 2


@ureg.check("[length]")
def quarter_circle(radius: Any) -> Any:
    """Area of a quarter of a circle, a corner lot cut round: a quarter of 3.1416 x radius squared.

    >>> round(quarter_circle(Q(35, "ft")), 1)
    <Quantity(962.1, 'foot ** 2')>

    Source: osuokc-calibration (circles).
    """
    return circle_of_radius(radius) / 4


@ureg.check("[length]", "[length]")
def ring_of_band(inner: Any, band: Any) -> Any:
    """Area of a band all around a circle.

    >>> round(ring_of_band(Q(20, "ft"), Q(10, "ft")), 1)
    <Quantity(942.5, 'foot ** 2')>

    Source: osuokc-calibration (circles).
    """
    return ring(inner + 2 * band, inner)


@ureg.check("[length]")
def circle_by_rule(diameter: Any) -> Any:
    """Area of a circle by the rule of thumb, 0.8 x diameter squared: near 2 % more than the circle.

    >>> circle_by_rule(Q(10, "ft"))
    <Quantity(80.0, 'foot ** 2')>

    Source: osuokc-calibration (circles); the rule is arithmetic.
    """
    return 0.8 * diameter**2


@ureg.check("[length]", "[length]")
def ellipse(length: Any, width: Any) -> Any:
    """Area of an oval: 3.1416 / 4 x length x width.

    >>> round(ellipse(Q(60, "ft"), Q(40, "ft")), 0)
    <Quantity(1885.0, 'foot ** 2')>

    Source: gm-areas (its 0.8 x length x width, exact).
    """
    return math.pi / 4 * length * width


@ureg.check("[length]", "[length]", "[length]")
def trapezoid(first: Any, second: Any, apart: Any) -> Any:
    """Area of a trapezoid: (one parallel side + the other) / 2 x the distance between them.

    >>> trapezoid(Q(50, "ft"), Q(70, "ft"), Q(30, "ft"))
    <Quantity(1800.0, 'foot ** 2')>

    Source: gm-areas (its printed example).
    """
    return (first + second) / 2 * apart


def trapezoid_of(parallel: Sequence[Any], apart: Any) -> Any:
    """The same from the two parallel sides in a row.

    >>> trapezoid_of([Q(50, "ft"), Q(70, "ft")], Q(30, "ft"))
    <Quantity(1800.0, 'foot ** 2')>

    Source: gm-areas.
    """
    if len(parallel) != 2:
        raise ValueError("A trapezoid has two parallel sides.")
    return trapezoid(*parallel, apart)


def offsets(widths: Sequence[Any], spacing: Any) -> Any:
    """Area of an irregular lawn: the sum of widths taken at even steps, times the step.

    >>> offsets([Q(32, "ft"), Q(50, "ft"), Q(45, "ft"), Q(17, "ft")], Q(10, "ft"))
    <Quantity(1440, 'foot ** 2')>

    Source: gm-areas (the offset method, its printed example).
    """
    return sum(widths[1:], widths[0]) * spacing


def average_radius(radii: Sequence[Any]) -> Any:
    """Area of a roundish lawn: 3.1416 x the mean of radii taken from its middle, squared.

    >>> round(average_radius([Q(28, "ft"), Q(32, "ft"), Q(30, "ft")]), 0)
    <Quantity(2827.0, 'foot ** 2')>

    Source: osuokc-calibration (irregular areas by the mean radius).
    """
    return circle_of_radius(sum(radii[1:], radii[0]) / len(radii))


@ureg.check(None, "[length]", None)
def paced(paces: Any, pace: Any, across: Any) -> Any:
    """Area stepped off: paces one way x paces the other x a pace squared.

    >>> paced(Q(20, ""), Q(2.5, "ft"), Q(10, ""))
    <Quantity(1250.0, 'foot ** 2')>

    Source: osuokc-calibration (length x width).
    """
    return paces * pace * across * pace


@ureg.check(None, "[length]")
def paced_length(paces: Any, pace: Any) -> Any:
    """A length stepped off: paces x the length of a pace.

    >>> paced_length(Q(42, ""), Q(2.5, "ft"))
    <Quantity(105.0, 'foot')>

    Source: common practice.
    """
    return paces * pace


@ureg.check("[area]")
def side_of_square(area: Any) -> Any:
    """Side of the square that holds an area: its square root.

    >>> round(side_of_square(Q(1, "acre")).to("ft"), 1)
    <Quantity(208.7, 'foot')>

    Source: vadwr-rates (prints 209 ft).
    """
    return area**0.5


@ureg.check("[area]")
def diameter_of_circle(area: Any) -> Any:
    """Diameter of the circle that holds an area.

    >>> round(diameter_of_circle(Q(1, "acre")).to("ft"), 1)
    <Quantity(235.5, 'foot')>

    Source: vadwr-rates (prints 235 ft).
    """
    return 2 * (area / math.pi) ** 0.5


@ureg.check("[area]", "[length]")
def run_length(area: Any, width: Any) -> Any:
    """Length to walk to cover an area with a band of a width: area / width.

    >>> round(run_length(Q(340, "sq_ft"), Q(20, "inch")).to("ft"), 1)
    <Quantity(204.0, 'foot')>

    Source: msstate-calibration (204 ft for a 20-inch swath).
    """
    return area / width


def around(sides: Sequence[Any]) -> Any:
    """The way around a rectangle, for edging: 2 x (length + width).

    >>> around([Q(60, "ft"), Q(40, "ft")])
    <Quantity(200, 'foot')>

    Raises ValueError where there are not two sides. Source: osuokc-calibration (the sides).
    """
    if len(sides) != 2:
        raise ValueError("A rectangle has a length and a width.")
    return 2 * (sides[0] + sides[1])


@ureg.check("[length]", None)
def around_circle(diameter: Any, pieces: Any = 1) -> Any:
    """The way around a circle, or around several as wide: 3.1416 x diameter x how many.

    >>> round(around_circle(Q(20, "ft")), 1)
    <Quantity(62.8, 'foot')>
    >>> round(around_circle(Q(6, "ft"), Q(3, "")), 1)
    <Quantity(56.5, 'foot')>

    Source: osuokc-calibration (circles).
    """
    return math.pi * diameter * pieces


def polygon(corners: Sequence[Any]) -> Any:
    """Area inside corners given as a row of x and y, one after the other, in order around the lawn.

    >>> polygon([Q(one, "ft") for one in (0, 0, 40, 0, 40, 30, 0, 30)])
    <Quantity(1200.0, 'square_foot')>

    Raises ValueError for less than three corners. Source: gm-areas (irregular shapes); the rule is geometry.
    """
    if len(corners) < 6 or len(corners) % 2:
        raise ValueError("Give at least three corners, each as two numbers.")
    points = list(zip(corners[0::2], corners[1::2], strict=True))
    doubled = sum(
        (x * b - a * y for (x, y), (a, b) in zip(points, points[1:] + points[:1], strict=True)), Q(0, "sq_ft")
    )
    return abs(doubled) / 2


def ring_of_band_radius(radius: Any, band: Any) -> Any:
    """Area of a band all around a circle: pi x ((radius + band)^2 - radius^2).

    >>> round(ring_of_band_radius(Q(11, "ft"), Q(8, "ft")).to("sq_ft"), 1)
    <Quantity(754.0, 'square_foot')>

    Source: osuokc-calibration (a circle less a circle).
    """
    return math.pi * ((radius + band) ** 2 - radius**2)


def around_with_gap(sides: Any, gap: Any) -> Any:
    """The way around a rectangle, less an opening.

    >>> around_with_gap([Q(120, "ft"), Q(85, "ft")], Q(12, "ft"))
    <Quantity(398, 'foot')>

    Source: common practice.
    """
    return around(sides) - gap


def around_of_radius(radius: Any) -> Any:
    """The way around a circle: 2 x pi x radius.

    >>> round(around_of_radius(Q(7.5, "ft")), 2)
    <Quantity(47.12, 'foot')>

    Source: common practice.
    """
    return 2 * math.pi * radius

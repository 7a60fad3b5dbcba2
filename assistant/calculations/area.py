"""Area of a lawn from what a tape measures."""

from __future__ import annotations

from collections.abc import Iterable
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


def total(parts: Iterable[tuple[int, Any]]) -> Any:
    """Area of pieces added (+1) and taken off (-1).

    `parts` are (sign, area) pairs. Raises NothingLeft where what is taken off is as large as the rest.

    >>> total([(1, Q(4800, "sq_ft")), (-1, Q(600, "sq_ft"))])
    <Quantity(4200, 'square_foot')>

    Source: gm-areas (an irregular lawn as pieces added and taken off).
    """
    left = sum((sign * area for sign, area in parts), Q(0, "sq_ft"))
    if left <= Q(0, "sq_ft"):
        raise NothingLeft
    return left

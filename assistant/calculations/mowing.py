"""Mowing: how tall grass may stand before a cut."""

from __future__ import annotations

import math
from typing import Any

from assistant.units import Q, ureg


@ureg.check("[length]", None)
def tallest_before_cut(height: Any, most_of_leaf: float) -> Any:
    """Height that grass may reach before it is cut back to `height`: height / (1 - share of the leaf taken).

    >>> tallest_before_cut(Q(3, "inch"), 1 / 3)
    <Quantity(4.5, 'inch')>

    Source: cornell-one-third-1454 (3 inches: cut at 4.5).
    """
    return height / (1 - most_of_leaf)


@ureg.check("[length]", None)
def growth_allowed(height: Any, most_of_leaf: float) -> Any:
    """Growth above the height of cut that one cut may take.

    >>> growth_allowed(Q(1.5, "inch"), 1 / 3)
    <Quantity(0.75, 'inch')>

    Source: cornell-one-third-f758.
    """
    return tallest_before_cut(height, most_of_leaf) - height


@ureg.check("[length]", None)
def lowest_cut(standing: Any, most_of_leaf: float) -> Any:
    """Lowest height that grass of a height may be cut to: standing height x (1 - share of the leaf taken).

    >>> round(lowest_cut(Q(6, "inch"), 1 / 3), 6)
    <Quantity(4.0, 'inch')>

    Source: cornell-one-third-1454, run backwards.
    """
    return standing * (1 - most_of_leaf)


def mowing_time(area: Any, width: Any, speed: Any, share: Any = None, overlap: Any = None) -> Any:
    """Time to mow an area: area / (width of cut x speed), and / the share of the time that is mowed, where one is told.

    `overlap` is what each pass cuts a second time: a width, or a share of the width.

    >>> round(mowing_time(Q(10000, "sq_ft"), Q(21, "inch"), Q(3, "mph")).to("minute"), 1)
    <Quantity(21.6, 'minute')>

    Source: common practice.
    """
    if overlap is not None:
        width = width - overlap if overlap.check("[length]") else width * (1 - overlap.m_as(""))
    return area / (width * speed) / (share.m_as("") if share is not None else 1)


def hours_at(area: Any, work_rate: Any, passes: Any = 1, machines: Any = 1) -> Any:
    """Hours for an area at so much area an hour, for each pass, shared by so many machines.

    >>> hours_at(Q(14000, "sq_ft"), Q(7000, "sq_ft / hour"), 2)
    <Quantity(4.0, 'hour')>

    Source: common practice.
    """
    return area * passes / work_rate / machines


def area_an_hour(width: Any, speed: Any, share: Any = None) -> Any:
    """Area that a machine does in an hour: width x speed, x the share of the time that it works.

    >>> round(area_an_hour(Q(52, "inch"), Q(4, "mph"), Q(80, "percent")).to("acre / hour"), 2)
    <Quantity(1.68, 'acre / hour')>

    Source: common practice.
    """
    return width * speed * (share.m_as("") if share is not None else 1)


def nitrogen_of_clippings(yearly: Any, returned: Any) -> Any:
    """The nitrogen that clippings left lying give back in a year: the year's nitrogen x the share returned.

    >>> nitrogen_of_clippings(Q(4, "lb"), Q(25, "percent"))
    <Quantity(1.0, 'pound')>

    Source: unl-buffalo.
    """
    return yearly * returned.to("")


def cuts_needed(standing: Any, height: Any, most_of_leaf: Any) -> Any:
    """Cuts that bring grass from one height to another, each taking a share of the leaf at most; not rounded.

    >>> round(cuts_needed(Q(9, "inch"), Q(3, "inch"), Q(1 / 3, "")), 2)
    <Quantity(2.71, 'dimensionless')>

    Source: cornell-one-third-1454, applied again and again.
    """
    if height >= standing:
        return Q(0.0, "")
    return Q(math.log((height / standing).m_as("")) / math.log(1 - most_of_leaf.m_as("")), "")


def days_between(height: Any, growth_rate: Any, most_of_leaf: Any) -> Any:
    """Days until grass has grown as much as one cut may take.

    >>> round(days_between(Q(3, "inch"), Q(0.25, "inch / day"), Q(1 / 3, "")).to("day"), 2)
    <Quantity(6.0, 'day')>

    Source: cornell-one-third-1454.
    """
    return growth_allowed(height, most_of_leaf) / growth_rate


def passes_across(lawn_width: Any, swath: Any) -> Any:
    """Passes that cross a lawn, not rounded.

    >>> round(passes_across(Q(80, "ft"), Q(18, "inch")).to(""), 2)
    <Quantity(53.33, 'dimensionless')>

    Source: common practice.
    """
    return lawn_width / swath

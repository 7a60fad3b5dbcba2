"""Soil: lime, topdressing, mulch, tests."""

from __future__ import annotations

from math import ceil
from typing import Any

from assistant.units import Q


def lime_for_cce(lime_rate: Any, neutralizing: Any) -> Any:
    """Product for a recommendation of pure lime: recommendation / neutralizing value (CCE).

    >>> round(lime_for_cce(Q(5, "lb") / Q(100, "sq_ft"), Q(70, "percent")).m_as("lb / sq_ft") * 100, 2)
    7.14

    Source: psu-plant (75 lb at 80 % CCE is 94 lb).
    """
    return lime_rate / neutralizing.to("")


def lime_product(lime_rate: Any, neutralizing: Any, area: Any) -> Any:
    """Lime product for an area.

    >>> lime_product(Q(50, "lb") / Q(1000, "sq_ft"), Q(80, "percent"), Q(4000, "sq_ft")).to("lb")
    <Quantity(250.0, 'pound')>

    Source: psu-plant.
    """
    return lime_for_cce(lime_rate, neutralizing) * area


def volume_for_depth(depth: Any, area: Any) -> Any:
    """Compost, topsoil or topdressing for a depth over an area: depth x area.

    >>> round(volume_for_depth(Q(2, "inch"), Q(400, "sq_ft")).to("cu_yd"), 2)
    <Quantity(2.47, 'cubic_yard')>

    Source: trade-compost-math (prints 2.48).
    """
    return depth * area


def area_of_volume(volume: Any, depth: Any) -> Any:
    """Area that a volume covers at a depth: volume / depth.

    >>> round(area_of_volume(Q(1, "cu_yd"), Q(3, "inch")).to("sq_ft"), 1)
    <Quantity(108.0, 'square_foot')>

    Source: deschutes-compost (324 sq ft at one inch).
    """
    return volume / depth


def depth_of_volume(volume: Any, area: Any) -> Any:
    """Depth that a volume gives on an area.

    >>> round(depth_of_volume(Q(1, "cu_yd"), Q(324, "sq_ft")).to("inch"), 2)
    <Quantity(1.0, 'inch')>

    Source: deschutes-compost.
    """
    return volume / area


# A furrow slice, the plow layer, weighs about two million pounds an acre.
_PLOW_LAYER: Any = Q(2_000_000, "lb / acre")


def pounds_per_acre(ppm: Any) -> Any:
    """Pounds per acre of the plow layer from parts per million: ppm x 2.

    >>> round(pounds_per_acre(Q(50, "ppm")).to("lb / acre"), 6)
    <Quantity(100.0, 'pound / acre')>

    Source: nofa-conversions.
    """
    return ppm.to("") * _PLOW_LAYER


def pounds_per_ton(ppm: Any) -> Any:
    """Pounds in a ton from parts per million (or percent): ppm / 500.

    >>> round(pounds_per_ton(Q(10, "ppm")).to("lb / ton"), 4)
    <Quantity(0.02, 'pound / ton')>

    Source: nofa-conversions.
    """
    return (ppm.to("") * Q(1, "ton") / Q(1, "ton")).to("lb / ton")


def bales_for(area: Any, bale_rate: Any) -> Any:
    """Straw bales for an area: area x bales per area.

    >>> bales_for(Q(5000, "sq_ft"), Q(2, "") / Q(1000, "sq_ft")).to("")
    <Quantity(10.0, 'dimensionless')>

    Source: ohiosu-2022 (one to two bales per 1,000 sq ft).
    """
    return (area * bale_rate).to("")


def holes_for(spacing: Any, along: Any) -> Any:
    """Aeration holes on a square foot from their spacing both ways.

    >>> holes_for(Q(3, "inch"), Q(2, "inch")).to("1 / sq_ft")
    <Quantity(24.0, '1 / square_foot')>

    Source: ksu-core (holes 2 to 3 inches apart).
    """
    return 1 / (spacing * along)


def machine_hours(area: Any, width: Any, speed: Any, share: Any, passes: Any) -> Any:
    """Hours for a machine: area x passes / (width x speed x efficiency).

    >>> round(machine_hours(Q(10000, "sq_ft"), Q(20, "inch"), Q(2, "mph"), Q(80, "percent"), Q(2, "")).to("hour"), 2)
    <Quantity(1.42, 'hour')>

    Source: common practice.
    """
    return area * passes / (width * speed * share.to(""))


def split(total: Any, most: Any) -> Any:
    """In how many applications an amount goes down under a limit for each, not rounded.

    >>> split(Q(120, "lb") / Q(1000, "sq_ft"), Q(50, "lb") / Q(1000, "sq_ft")).to("")
    <Quantity(2.4, 'dimensionless')>

    Source: common practice (a standing lawn takes lime in portions).
    """
    return (total / most).to("")


def loads(volume: Any, load: Any) -> Any:
    """Truck loads for a volume, not rounded.

    >>> round(loads(Q(10, "cu_yd"), Q(3, "cu_yd")), 2)
    <Quantity(3.33, 'dimensionless')>

    Source: common practice.
    """
    return (volume / load).to("")


def bales_by_cover(area: Any, cover: Any) -> Any:
    """Straw bales where it is known what one covers, not rounded.

    >>> bales_by_cover(Q(5000, "sq_ft"), Q(1000, "sq_ft"))
    <Quantity(5.0, 'dimensionless')>

    Source: common practice.
    """
    return area / cover


def passes_for(wanted: Any, per_pass: Any) -> Any:
    """Passes of an aerator for a density of holes, not rounded.

    >>> passes_for(Q(24, ""), Q(8, ""))
    <Quantity(3.0, 'dimensionless')>

    Source: ksu-core (holes on a square foot).
    """
    return wanted / per_pass


def same_share(share: Any) -> Any:
    """A share, to be told in another measure: 0.04 % is 400 ppm.

    >>> round(same_share(Q(0.04, "percent")).to("ppm"))
    <Quantity(400, 'ppm')>

    Source: nofa-conversions.
    """
    return share


def rental(half_price: Any, day_price: Any, half_hours: Any, needed: Any, day_hours: Any = None) -> Any:
    """Rent of a machine: half a day where that is long enough, else whole days.

    >>> rental(Q(70, "USD"), Q(105, "USD"), Q(4, "hour"), Q(5.5, "hour"), Q(8, "hour"))
    <Quantity(105.0, 'USD')>

    Source: common practice.
    """
    if needed <= half_hours:
        return half_price
    return day_price * float(ceil(needed / day_hours) if day_hours is not None else 1)

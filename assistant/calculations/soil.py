"""Soil: lime, topdressing, mulch, tests."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import pairwise
from math import ceil
from typing import Any

from assistant.calculations.feed import phosphate_of, potash_of
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


def phosphate_per_acre(ppm: Any, wanted: Any = None) -> Any:
    """Phosphate (P2O5) per acre of the plow layer from ppm of phosphorus, or what is short of the ppm wanted: x 2, as P2O5.

    >>> round(phosphate_per_acre(Q(30, "ppm")).to("lb / acre"), 1)
    <Quantity(137.5, 'pound / acre')>

    Raises ValueError where the soil holds what is wanted.
    Source: nofa-conversions.
    """
    return phosphate_of(pounds_per_acre(_short_of(ppm, wanted)))


def potash_per_acre(ppm: Any, wanted: Any = None) -> Any:
    """Potash (K2O) per acre of the plow layer from ppm of potassium, or what is short of the ppm wanted: x 2, as K2O.

    >>> round(potash_per_acre(Q(60, "ppm"), Q(120, "ppm")).to("lb / acre"), 1)
    <Quantity(144.6, 'pound / acre')>

    Raises ValueError where the soil holds what is wanted.
    Source: nofa-conversions.
    """
    return potash_of(pounds_per_acre(_short_of(ppm, wanted)))


def _short_of(ppm: Any, wanted: Any) -> Any:
    if wanted is None:
        return ppm
    if wanted <= ppm:
        raise ValueError("The soil holds what is wanted already; none is short.")
    return wanted - ppm


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


# Mehlich's buffer starts at pH 6.6 and loses a tenth for every 0.4 meq of acidity in 100 cm3 of soil.
_BUFFER_START = 6.6
_ACIDITY_A_POINT = 4


def buffer_acidity(buffer: Any) -> Any:
    """Acidity in meq/100 cm3 from a Mehlich buffer pH: (6.6 - buffer pH) x 4. A plain number of meq.

    >>> round(buffer_acidity(Q(6.3, "")), 2)
    <Quantity(1.2, 'dimensionless')>

    Source: ncda-buffer.
    """
    return (_BUFFER_START - buffer) * _ACIDITY_A_POINT


def lime_for_acidity(acidity: Any, ph: Any, goal: Any) -> Any:
    """Pure lime from a soil's acidity (meq/100 cm3): tons an acre = acidity x (goal - pH) / (6.6 - pH).

    Raises ValueError where the goal lies above what the method knows.

    >>> round(lime_for_acidity(Q(1.2, ""), Q(5.0, ""), Q(6.0, "")).to("ton / acre"), 2)
    <Quantity(0.75, 'ton / acre')>

    Source: ncda-buffer (prints the factor 0.625 and 0.76 ton an acre; 1.2 x 0.625 is 0.75).
    """
    if goal > _BUFFER_START:
        raise ValueError(f"The buffer method reaches to pH {_BUFFER_START}; say a goal at or below it.")
    return acidity * (goal - ph) / (_BUFFER_START - ph) * Q(1, "ton / acre")


def straight_between(points: Sequence[tuple[Any, Any]], at: Any) -> Any:
    """A value between the points of a printed table, on a straight line; beyond its ends, that of the end.

    >>> straight_between([(Q(6.0, ""), Q(35, "lb")), (Q(5.5, ""), Q(75, "lb"))], Q(5.75, ""))
    <Quantity(55.0, 'pound')>

    Source: common practice.
    """
    ordered = sorted(points)
    if at <= ordered[0][0]:
        return ordered[0][1]
    for (low, first), (high, last) in pairwise(ordered):
        if at <= high:
            return first + (last - first) * ((at - low) / (high - low)).to("").magnitude
    return ordered[-1][1]


def lime_between(points: Sequence[tuple[Any, Any]], ph: Any, goal: Any) -> Any:
    """Pure lime from one pH to another, from a table of lime that each pH takes to the same end.

    >>> lime_between([(Q(6.5, ""), Q(0, "lb")), (Q(6.0, ""), Q(35, "lb")), (Q(5.5, ""), Q(75, "lb"))], Q(5.5, ""), Q(6.0, ""))
    <Quantity(40.0, 'pound')>

    Source: common practice.
    """
    return straight_between(points, ph) - straight_between(points, goal)


def sulfur_for(for_one: Any, ph: Any, goal: Any) -> Any:
    """Sulfur that brings a pH down: what one unit of pH takes x the difference.

    >>> sulfur_for(Q(20, "lb") / Q(1000, "sq_ft"), Q(7.5, ""), Q(7.0, "")).to("lb / sq_ft") * Q(1000, "sq_ft")
    <Quantity(10.0, 'pound')>

    Source: common practice (the tables of sulfur are printed by half units of pH).
    """
    return for_one * (ph - goal).to("").magnitude


def loads_for_depth(depth: Any, area: Any, load: Any) -> Any:
    """Loads for a depth over an area, not rounded.

    >>> round(loads_for_depth(Q(2, "inch"), Q(3200, "sq_ft"), Q(4, "cu_yd")), 2)
    <Quantity(4.94, 'dimensionless')>

    Source: common practice.
    """
    return loads(volume_for_depth(depth, area), load)


def weight_for_depth(depth: Any, area: Any, weighs: Any) -> Any:
    """Weight of sand or soil for a depth over an area: depth x area x what a volume weighs.

    >>> round(weight_for_depth(Q(0.125, "inch"), Q(5000, "sq_ft"), Q(2700, "lb / cu_yd")).to("lb"), 1)
    <Quantity(5208.3, 'pound')>

    Source: common practice.
    """
    return volume_for_depth(depth, area) * weighs


def volume_with_extra(depth: Any, area: Any, extra: Any) -> Any:
    """Soil for a depth over an area, with a share added for settling.

    >>> round(volume_with_extra(Q(5, "inch"), Q(216, "sq_ft"), Q(20, "percent")).to("cu_yd"), 2)
    <Quantity(4.0, 'cubic_yard')>

    Source: common practice.
    """
    return volume_for_depth(depth, area) * (1 + extra.to("").magnitude)


def holes_on(grid: Sequence[Any], area: Any) -> Any:
    """Aeration holes on an area, from their spacing both ways.

    >>> holes_on([Q(3, "inch"), Q(4, "inch")], Q(2000, "sq_ft")).to("")
    <Quantity(24000.0, 'dimensionless')>

    Source: ksu-core (holes 2 to 3 inches apart).
    """
    return (area * holes_for(grid[0], grid[1])).to("")


def texture_class(sand: Any, silt: Any, clay: Any, rows: Sequence[Mapping[str, Any]]) -> str:
    """The class of a soil by its shares of sand, silt and clay, which make up a hundred percent: the first row of a table of
    classes all of whose bounds hold.

    >>> rows = [{"class": "sand", "silt_and_clay_and_half": {"below": 15}}, {"class": "clay", "clay": {"from": 40}}]
    >>> texture_class(Q(90, "percent"), Q(5, "percent"), Q(5, "percent"), rows)
    'sand'

    Raises ValueError where the shares do not make up a hundred percent, or no row holds.
    Source: nrcs-texture.
    """
    shares = {"sand": sand.m_as("percent"), "silt": silt.m_as("percent"), "clay": clay.m_as("percent")}
    if abs(sum(shares.values()) - 100) > _ROUNDED or min(shares.values()) < 0:
        raise ValueError("Sand, silt and clay make up 100 %.")
    shares["silt_and_clay_and_half"] = shares["silt"] + 1.5 * shares["clay"]
    shares["silt_and_twice_clay"] = shares["silt"] + 2 * shares["clay"]
    for row in rows:
        if all(_holds(shares[name], bounds) for name, bounds in row.items() if name != "class"):
            return str(row["class"])
    raise ValueError("No class of the table holds.")


_ROUNDED = 1.5  # percent that three rounded shares may be off a hundred


def _holds(value: float, bounds: Mapping[str, float]) -> bool:
    """True where a value is within its bounds: `from` and `to` count, `above` and `below` do not."""
    low = value >= bounds.get("from", value) and value > bounds.get("above", value - 1)
    return low and value <= bounds.get("to", value) and value < bounds.get("below", value + 1)

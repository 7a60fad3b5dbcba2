"""Water: depth, gallons, minutes, uniformity."""

from __future__ import annotations

import math
from collections.abc import Sequence
from math import ceil
from typing import Any

from assistant.units import Q

DAY: Any = Q(1, "day")


def gallons_for_depth(depth: Any, area: Any, plant_factor: Any = 1) -> Any:
    """Water for a depth over an area: depth x area, x the crop coefficient where the depth is evapotranspiration.

    >>> round(gallons_for_depth(Q(1, "inch"), Q(10000, "sq_ft")).to("gal"), 0)
    <Quantity(6234.0, 'gallon')>

    Source: lawn-sense-run-time (prints 6,230 with 0.623).
    """
    return depth * plant_factor * area


def minutes_of_day(depth: Any, precipitation: Any) -> Any:
    """Run time for a depth, or for what is used in a day: depth / precipitation rate.

    >>> minutes_of_day(Q(0.2, "inch"), Q(0.5, "inch / hour")).to("minute")
    <Quantity(24.0, 'minute')>

    Source: lawn-sense-run-time (its printed example).
    """
    if depth.check("[length] / [time]"):  # inches a day: the run of one day
        depth = depth * DAY
    return depth / precipitation


def minutes_from_catch(caught_depth: Any, time: Any, depth: Any) -> Any:
    """Run time for a depth from a test: depth / (caught / time).

    >>> round(minutes_from_catch(Q(0.1, "inch"), Q(10, "minute"), Q(1, "inch")).to("minute"), 6)
    <Quantity(100.0, 'minute')>

    Source: trade-precip-rate (its printed example).
    """
    return depth / (caught_depth / time)


def precipitation_from_catch(caught_depth: Any, time: Any) -> Any:
    """Precipitation rate from a test: depth caught / time.

    >>> precipitation_from_catch(Q(0.25, "inch"), Q(15, "minute")).to("inch / hour")
    <Quantity(1.0, 'inch / hour')>

    Source: umn-audit.
    """
    return caught_depth / time


def precipitation_from_flow(flow: Any, area: Any) -> Any:
    """Precipitation rate of a zone: flow / area; 96.25 x gpm / sq ft in inches an hour.

    >>> round(precipitation_from_flow(Q(5, "gal / minute"), Q(1000, "sq_ft")).to("inch / hour"), 3)
    <Quantity(0.481, 'inch / hour')>

    Source: lawn-sense-run-time (96.25 is the units alone).
    """
    return flow / area


def low_quarter_uniformity(catches: Sequence[Any]) -> Any:
    """Distribution uniformity: mean of the lowest quarter of the cans (rounded up) / mean of all.

    >>> cans = [47, 42, 45, 24, 13, 26, 33, 34, 27, 30, 40, 44, 32, 12, 12]
    >>> round(low_quarter_uniformity([Q(one, "mL") for one in cans]).to("percent"), 2)
    <Quantity(49.62, 'percent')>

    Source: ncsu-du-data (its printed data set).
    """
    low = sorted(catches)[: math.ceil(len(catches) / 4)]
    return uniformity_of_means(_mean(low), _mean(catches))


def uniformity_of_means(low_quarter: Any, mean_depth: Any) -> Any:
    """Distribution uniformity from the two means; the lower one is that of the low quarter, in whichever order they come.

    >>> round(uniformity_of_means(Q(0.68, "inch"), Q(0.70, "inch")).to("percent"), 1)
    <Quantity(97.1, 'percent')>
    >>> round(uniformity_of_means(Q(0.70, "inch"), Q(0.68, "inch")).to("percent"), 1)
    <Quantity(97.1, 'percent')>

    Source: study-guide-du (prints 97 %).
    """
    lower, higher = sorted((low_quarter, mean_depth))
    return (lower / higher).to("percent")


def _mean(values: Sequence[Any]) -> Any:
    return sum(values[1:], values[0]) / len(values)


def depth_for_interval(use: Any, interval: Any, share: Any) -> Any:
    """Water to apply each time: daily use x days between / efficiency.

    >>> round(depth_for_interval(Q(0.2, "inch / day"), Q(2, "day"), Q(75, "percent")).to("inch"), 2)
    <Quantity(0.53, 'inch')>

    Source: uf-fawn-interval (its printed example).
    """
    return use * interval / share.to("")


def each_cycle(total: Any, count: Any) -> Any:
    """Length of each of several cycles: total / cycles.

    >>> each_cycle(Q(15, "minute"), Q(3, ""))
    <Quantity(5.0, 'minute')>

    Source: left-hand-cycle-soak (its printed example).
    """
    return total / count


def time_at_position(total: Any, positions: Any) -> Any:
    """Time at each position of a sprinkler out of the time there is.

    >>> time_at_position(Q(2, "hour"), Q(5, "")).to("minute")
    <Quantity(24.0, 'minute')>

    Source: common practice.
    """
    return each_cycle(total, positions)


def same_rate(precipitation: Any) -> Any:
    """What a kind of head puts down in an hour, to be told in another measure.

    >>> same_rate(Q(1.5, "inch / hour"))
    <Quantity(1.5, 'inch / hour')>

    Source: aurora, snwa.
    """
    return precipitation


def cost_of_water(volume: Any, price: Any) -> Any:
    """Cost of water: gallons x price.

    >>> cost_of_water(Q(6000, "gal"), Q(5, "USD") / Q(1000, "gal"))
    <Quantity(30.0, 'USD')>

    Source: lawn-sense-run-time.
    """
    return (volume * price).to("USD")


def pass_time(area: Any, depth: Any, flow: Any) -> Any:
    """Time that one spigot takes to put a depth on an area: gallons / flow.

    >>> round(pass_time(Q(5200, "sq_ft"), Q(0.1, "inch"), Q(5, "gal / minute")).m_as("minute"))
    65

    Source: common practice (5,200 sq ft at 0.1 in and 5 gpm: 324 gallons, 65 minutes).
    """
    return depth * area / flow


def area_kept_wet(flow: Any, time: Any, depth: Any, passes: Any) -> Any:
    """Area that a spigot keeps wet: flow x hours allowed / (depth x passes).

    >>> round(area_kept_wet(Q(5, "gal / minute"), Q(4, "hour"), Q(0.1, "inch"), Q(3, "")).m_as("sq_ft"))
    6417

    Source: common practice.
    """
    return flow * time / (depth * passes)


def watered_area(volume: Any, need: Any, plant_factor: Any = None) -> Any:
    """Area that so much water a week serves: volume / (weekly need x plant factor).

    >>> round(watered_area(Q(840, "gal"), Q(2, "inch / week"), Q(0.8, "")).to("sq_ft"), 0)
    <Quantity(842.0, 'square_foot')>

    Source: trade-greywater-area (its printed answer does not follow from its figures; 847 with 0.62 does).
    """
    weekly = need * Q(1, "week")
    return volume / (weekly if plant_factor is None else weekly * plant_factor)


def cycles_needed(total: Any, most: Any) -> Any:
    """Cycles of a run time that runs off after some minutes, not rounded.

    >>> cycles_needed(Q(20, "minute"), Q(5, "minute"))
    <Quantity(4.0, 'dimensionless')>

    Source: left-hand-cycle-soak.
    """
    return total / most


def cost_of_depth(depth: Any, area: Any, price: Any) -> Any:
    """Cost of a depth of water on an area.

    >>> round(cost_of_depth(Q(1, "inch"), Q(1000, "sq_ft"), Q(5, "USD") / Q(1000, "gal")).to("USD"), 2)
    <Quantity(3.12, 'USD')>

    Source: lawn-sense-run-time (gallons for a depth).
    """
    return cost_of_water(gallons_for_depth(depth, area), price)


def area_kept_wet_daily(flow: Any, time: Any, need: Any) -> Any:
    """New seed that one spigot keeps wet: flow x hours / what is needed in a day.

    >>> round(area_kept_wet_daily(Q(8, "gal / minute"), Q(3, "hour"), Q(0.15, "inch / day")).to("sq_ft"))
    <Quantity(15400, 'square_foot')>

    Source: common practice (volume / depth).
    """
    return flow * time / (need * Q(1, "day"))


def positions(covers: Any, lawn: Any) -> Any:
    """How often a sprinkler is set to cover a lawn: whole positions along x whole positions across, the better way round;
    of areas whole ones of the one in the other.

    >>> positions([Q(30, "ft"), Q(40, "ft")], [Q(90, "ft"), Q(80, "ft")])
    <Quantity(6.0, 'dimensionless')>
    >>> positions(Q(900, "sq_ft"), Q(5000, "sq_ft"))
    <Quantity(6.0, 'dimensionless')>

    Source: common practice.
    """
    if not (isinstance(covers, Sequence) and isinstance(lawn, Sequence)):
        small, large = (one[0] * one[1] if isinstance(one, Sequence) else one for one in (covers, lawn))
        return Q(float(ceil(large / small)), "")
    ways = (covers, covers[::-1])
    return min(Q(float(ceil(lawn[0] / way[0]) * ceil(lawn[1] / way[1])), "") for way in ways)


def depth_of_water(volume: Any, area: Any) -> Any:
    """Depth that a volume of water comes to on an area.

    >>> round(depth_of_water(Q(6234, "gal"), Q(10000, "sq_ft")).to("inch"), 2)
    <Quantity(1.0, 'inch')>

    Source: lawn-sense-run-time (gallons for a depth, solved for the depth).
    """
    return volume / area


def longest_run(precipitation: Any, intake: Any, storage: Any) -> Any:
    """How long water may fall before it runs off: storage on the surface / (precipitation - what the soil takes in).

    Raises ValueError where the soil takes in all that falls.

    >>> round(longest_run(Q(1.5, "inch / hour"), Q(0.15, "inch / hour"), Q(0.1, "inch")).to("minute"), 1)
    <Quantity(4.4, 'minute')>

    Source: common practice (a water balance of the surface); intake from usda-precip.
    """
    if precipitation <= intake:
        raise ValueError("The soil takes in all that falls.")
    return storage / (precipitation - intake)


def runs_for(depth: Any, precipitation: Any, run: Any) -> Any:
    """How many runs of a length a depth takes, not rounded.

    >>> round(runs_for(Q(0.5, "inch"), Q(1.5, "inch / hour"), Q(6, "minute")).to(""), 2)
    <Quantity(3.33, 'dimensionless')>

    Source: common practice.
    """
    return (depth / (precipitation * run)).to("")


def time_over_positions(depth: Any, precipitation: Any, positions: Any) -> Any:
    """Time for a depth at every position of a sprinkler, one after the other.

    >>> time_over_positions(Q(0.25, "inch"), Q(0.5, "inch / hour"), Q(4, "")).to("hour")
    <Quantity(2.0, 'hour')>

    Source: common practice.
    """
    return minutes_of_day(depth, precipitation) * positions


def precipitation_of_catches(catches: Sequence[Any], time: Any) -> Any:
    """Precipitation rate from the depths in several cans: their mean / time.

    >>> round(precipitation_of_catches([Q(0.2, "inch"), Q(0.24, "inch")], Q(20, "minute")).to("inch / hour"), 2)
    <Quantity(0.66, 'inch / hour')>

    Source: umn-audit.
    """
    return _mean(catches) / time


def minutes_with_loss(depth: Any, precipitation: Any, share: Any) -> Any:
    """Run time for a depth that must arrive: depth / precipitation rate / efficiency.

    >>> round(minutes_with_loss(Q(0.9, "inch"), Q(1.2, "inch / hour"), Q(70, "percent")).to("minute"), 1)
    <Quantity(64.3, 'minute')>

    Source: lawn-sense-run-time.
    """
    return depth / precipitation / share.to("")


def need_of(et: Any, plant_factor: Any, rain: Any = None) -> Any:
    """Water to give: reference evapotranspiration x crop coefficient, less the rain that counts; never below zero.

    >>> round(need_of(Q(1.75, "inch"), Q(0.8, ""), Q(0.5, "inch")), 2)
    <Quantity(0.9, 'inch')>

    Source: fao56.
    """
    if et.check("[length] / [time]"):  # inches a week: that week's
        et = et * Q(7, "day")
    needed = et * plant_factor.to("") - (rain if rain is not None else 0 * et)
    return max(needed, 0 * et)


def refill(roots: Any, holds: Any, share: Any) -> Any:
    """Depth of water that refills a root zone: root depth x water held in a depth of soil x share used up.

    >>> round(refill(Q(6, "inch"), Q(0.15, "inch"), Q(50, "percent")), 2)
    <Quantity(0.45, 'inch')>

    Source: unl-sw (about half is used before watering).
    """
    held = holds / Q(1, "inch") if holds.check("[length]") else holds  # said for an inch of soil
    return (roots * held * share.to("")).to("inch")


def rain_that_counts(rain: Any) -> Any:
    """Rain of an event that reaches the roots: nothing of the first tenth of an inch, all up to an inch, two thirds of
    the second, nothing beyond.

    >>> [round(rain_that_counts(Q(one, "inch")).m_as("inch"), 3) for one in (0.05, 0.5, 1.5, 3)]
    [0.0, 0.4, 1.233, 1.567]

    Source: txet.
    """
    fell = rain.m_as("inch")
    return Q(max(0.0, min(fell, 1.0) - 0.1) + 2 / 3 * max(0.0, min(fell, 2.0) - 1.0), "inch")


def waterings_a_day(et: Any, bare: Any, store: Any) -> Any:
    """How often a bare seedbed dries out in a day: bare soil's loss / what the top layer holds; not rounded.

    >>> round(waterings_a_day(Q(4, "mm / day"), Q(1.2, ""), Q(0.048, "inch")).to("").magnitude, 1)
    3.9

    Source: fao56 (equations 71 to 73, for a quarter inch of soil).
    """
    return (et * DAY * bare / store).to("")


def store_of_roots(roots: Any, held: Any, used_up: Any) -> Any:
    """Water that may be used before watering: root depth x water held x share.

    >>> round(store_of_roots(Q(6, "inch"), Q(2, "inch / ft"), Q(50, "percent")).to("inch"), 2)
    <Quantity(0.5, 'inch')>

    Source: unl-sw.
    """
    return (roots * held * used_up.to("")).to("inch")


def days_to_next(store: Any, et: Any, coefficient: Any) -> Any:
    """Days that a store lasts: store / (reference evapotranspiration x coefficient).

    >>> round(days_to_next(Q(0.5, "inch"), Q(5, "mm / day"), Q(0.8, "")).to("day"), 1)
    <Quantity(3.2, 'day')>

    Source: unl-sw.
    """
    return (store / (et * coefficient)).to("day")

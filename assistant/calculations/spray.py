"""Sprayers: carrier, calibration, tank mixes, active ingredient."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from assistant.calculations.feed import WATER
from assistant.units import Q


def rate_over(quantity: Any, area: Any) -> Any:
    """The rate that an amount over an area comes to: carrier or product, per 1,000 sq ft or per acre.

    >>> round(rate_over(Q(1.5, "gal"), Q(1000, "sq_ft")).to("gal / acre"), 1)
    <Quantity(65.3, 'gallon / acre')>

    Source: nafex-handheld (prints 65).
    """
    return quantity / area


def same_rate(rate: Any) -> Any:
    """A rate in other measures; the printing turns it over.

    >>> round((same_rate(Q(40, "gal / acre")) * Q(1000, "sq_ft")).to("gal"), 2)
    <Quantity(0.92, 'gallon')>

    Source: osuokc-calibration (prints 0.92).
    """
    return rate


def product_per_carrier(rate: Any, carrier: Any) -> Any:
    """Product in each gallon of water: product rate / carrier rate.

    >>> round(product_per_carrier(Q(1, "qt / acre"), Q(40, "gal / acre")).to("floz / gal"), 2)
    <Quantity(0.8, 'fluid_ounce / gallon')>

    Source: extension-128th (prints 0.8 oz per gallon).
    """
    return rate / carrier


def product_in_tank(tank_size: Any, carrier: Any, rate: Any) -> Any:
    """Product for a full tank: tank / carrier rate x product rate.

    >>> product_in_tank(Q(500, "gal"), Q(20, "gal / acre"), Q(3, "pt / acre")).to("pt")
    <Quantity(75.0, 'pint')>

    Source: mu-g1272 (its printed example).
    """
    return tank_size / carrier * rate


def area_of_tank(tank_size: Any, carrier: Any) -> Any:
    """Area that a tank covers: tank / carrier rate.

    >>> round(area_of_tank(Q(25, "gal"), Q(150, "gal / acre")).to("acre"), 3)
    <Quantity(0.167, 'acre')>

    Source: mesa-handgun.
    """
    return tank_size / carrier


def product_at_mix(mix: Any, tank_size: Any) -> Any:
    """Product for a tank at a mix: amount per volume x volume.

    >>> product_at_mix(Q(2, "lb") / Q(100, "gal"), Q(300, "gal")).to("lb")
    <Quantity(6.0, 'pound')>

    Source: pses-mixing (its printed example).
    """
    return mix * tank_size


def same_mix(mix: Any) -> Any:
    """A mix in other measures.

    >>> round(same_mix(Q(1, "lb") / Q(100, "gal")).to("oz / gal"), 2)
    <Quantity(0.16, 'ounce / gallon')>

    Source: uky-pesticide-calc (prints 0.16 oz per gallon).
    """
    return mix


def solution_of(share: Any, tank_size: Any) -> Any:
    """Product for a percent solution by volume: share x tank.

    >>> round(solution_of(Q(0.5, "percent"), Q(2, "gal")).to("floz"), 2)
    <Quantity(1.28, 'fluid_ounce')>

    Source: uiuc-handheld (its printed example).
    """
    return share.to("") * tank_size


def solution_by_weight_of(share: Any) -> Any:
    """Weight in each gallon of water for a percent solution by weight.

    >>> round(solution_by_weight_of(Q(1, "percent")).to("oz / gal"), 2)
    <Quantity(1.34, 'ounce / gallon')>

    Source: vadwr-rates (prints 1.34 oz per gallon).
    """
    return share.to("") * WATER


def liquid_for_active(active_rate: Any, product_strength: Any) -> Any:
    """Liquid product for a rate of active ingredient: active rate / pounds of active in a gallon.

    >>> liquid_for_active(Q(1.5, "lb / acre"), Q(4, "lb / gal")).to("pt / acre")
    <Quantity(3.0, 'pint / acre')>

    Source: mu-g1272 (its printed example).
    """
    return active_rate / product_strength


def dry_for_active(active_rate: Any, share: Any) -> Any:
    """Dry product for a rate of active ingredient: active rate / share of active in it.

    >>> round((dry_for_active(Q(1, "lb / acre"), Q(50, "percent")) * Q(1000, "sq_ft")).to("g"), 1)
    <Quantity(20.8, 'gram')>

    Source: pnw-measures (prints 21 g).
    """
    if active_rate.check("[mass]"):
        active_rate = active_rate / Q(1, "acre")  # a weight alone is meant for an acre
    return active_rate / share.to("")


def from_nozzle(flow: Any, speed: Any, spacing: Any) -> Any:
    """Carrier rate of a boom: flow of one nozzle / (speed x nozzle spacing); 5,940 x gpm / (mph x inches) in US units.

    >>> round(from_nozzle(Q(0.4, "gal / minute"), Q(3, "mph"), Q(20, "inch")).to("gal / acre"), 1)
    <Quantity(39.6, 'gallon / acre')>

    Source: mu-g1272 (5,940 x 0.4 / (3 x 20) = 39.6).
    """
    return flow / (speed * spacing)


def from_boom(nozzles: Any, flow: Any, speed: Any, width: Any) -> Any:
    """Carrier rate of a boom: all its nozzles' flow / (speed x width).

    >>> round(from_boom(Q(15, ""), Q(0.3, "gal / minute"), Q(3, "mph"), Q(15, "ft")).to("gal / acre"), 1)
    <Quantity(49.5, 'gallon / acre')>

    Source: mu-g1272 (5,940 x gpm / (mph x inches), with the spacing as width / nozzles).
    """
    return nozzles * flow / (speed * width)


def flow_needed(carrier: Any, speed: Any, spacing: Any) -> Any:
    """Flow that one nozzle must give for a carrier rate: carrier x speed x spacing.

    >>> round(flow_needed(Q(20, "gal / acre"), Q(3, "mph"), Q(20, "inch")).to("gal / minute"), 3)
    <Quantity(0.202, 'gallon / minute')>

    Source: mu-g1272.
    """
    return carrier * speed * spacing


def flow_at_pressure(flow: Any, pressure: Any, new_pressure: Any) -> Any:
    """Flow of a nozzle at another pressure: flow x square root of (new / old).

    >>> round(flow_at_pressure(Q(0.4, "gal / minute"), Q(40, "psi"), Q(30, "psi")).to("gal / minute"), 3)
    <Quantity(0.346, 'gallon / minute')>

    Source: mu-g1272 (the square-root law of nozzles).
    """
    return flow * (new_pressure / pressure).to("") ** 0.5


def pressure_for_flow(flow: Any, pressure: Any, new_flow: Any) -> Any:
    """Pressure that gives a nozzle another flow: pressure x (new / old) squared.

    >>> round(pressure_for_flow(Q(0.4, "gal / minute"), Q(40, "psi"), Q(0.2, "gal / minute")).to("psi"), 2)
    <Quantity(10.0, 'psi')>

    Source: mu-g1272.
    """
    return pressure * (new_flow / flow).to("") ** 2


def walking_speed_over(distance: Any, time: Any) -> Any:
    """Speed over a measured length: length / time.

    >>> round(walking_speed_over(Q(88, "ft"), Q(20, "second")).to("mph"), 2)
    <Quantity(3.0, 'mile_per_hour')>

    Source: ncsu-backpack (88 ft in 20 s is 3 mph).
    """
    return distance / time


def mean(readings: Sequence[Any]) -> Any:
    """Mean of several readings.

    >>> mean([Q(16, "second"), Q(18, "second")])
    <Quantity(17.0, 'second')>

    Source: ncsu-backpack (its printed example).
    """
    return sum(readings[1:], readings[0]) / len(readings)


def flow_caught_in(quantity: Any, time: Any) -> Any:
    """Flow by a bucket or a jug: amount caught / time.

    >>> flow_caught_in(Q(5, "gal"), Q(1, "minute")).to("gal / minute")
    <Quantity(5.0, 'gallon / minute')>

    Source: extension-128th (catch and time).
    """
    return quantity / time


def tanks_needed(area: Any, carrier: Any, tank_size: Any) -> Any:
    """Tanks for an area: area x carrier / tank, not rounded.

    >>> round(tanks_needed(Q(10000, "sq_ft"), Q(1, "gal") / Q(1000, "sq_ft"), Q(4, "gal")).m_as(""), 2)
    2.5

    Source: mu-g1272.
    """
    return (area * carrier / tank_size).to("")


def carrier_for(area: Any, carrier: Any) -> Any:
    """Spray mix for an area: area x carrier rate.

    >>> carrier_for(Q(10000, "sq_ft"), Q(1, "gal") / Q(1000, "sq_ft")).to("gal")
    <Quantity(10.0, 'gallon')>

    Source: mu-g1272.
    """
    return area * carrier


def hose_end_area(fill: Any, rate: Any) -> Any:
    """Area that a fill of concentrate covers at a rate: fill / rate.

    >>> hose_end_area(Q(32, "floz"), Q(4, "floz") / Q(1000, "sq_ft")).to("sq_ft")
    <Quantity(8000.0, 'square_foot')>

    Source: arizona-equipment.
    """
    return fill / rate


def hose_end_flow(used: Any, volume: Any) -> Any:
    """What a hose-end sprayer really draws: concentrate used / water put out.

    >>> hose_end_flow(Q(8, "floz"), Q(4, "gal")).to("floz / gal")
    <Quantity(2.0, 'fluid_ounce / gallon')>

    Source: arizona-equipment (hose-end metering is rough: measure it).
    """
    return used / volume


def last_part_tank(area: Any, carrier: Any, tank_size: Any) -> Any:
    """Spray mix for the last, part tank of an area; a whole tank where it comes out even.

    >>> last_part_tank(Q(10000, "sq_ft"), Q(1, "gal") / Q(1000, "sq_ft"), Q(4, "gal")).to("gal")
    <Quantity(2.0, 'gallon')>

    Source: mu-g1272 (full tanks first, then the rest).
    """
    whole = carrier_for(area, carrier).to("gal")
    size = tank_size.to("gal")
    left = whole - int((whole / size).m_as("") + 1e-9) * size
    return size if left.m_as("gal") < 1e-9 else left


def product_in_last_tank(area: Any, carrier: Any, tank_size: Any, rate: Any) -> Any:
    """Product for the part tank that is left after the full ones.

    >>> round(product_in_last_tank(Q(9, "acre"), Q(50, "gal / acre"), Q(200, "gal"), Q(24, "floz / acre")), 6)
    <Quantity(24.0, 'fluid_ounce')>

    Source: mu-g1272 (product per gallon of spray x gallons).
    """
    return (last_part_tank(area, carrier, tank_size) / carrier * rate).to((rate * Q(1, "acre")).units)


def weight_at_ppm(ppm: Any, volume: Any) -> Any:
    """Weight of a substance in water at so many parts per million: a milligram in a litre is one.

    >>> round(weight_at_ppm(Q(50, "ppm"), Q(100, "gal")).to("g"), 2)
    <Quantity(18.93, 'gram')>

    Source: cornell-flor-fert (ppm as mg per L).
    """
    return ppm.to("").magnitude * volume * Q(1, "kg / L")


def gallons_of_fill(fill: Any, dial: Any) -> Any:
    """Spray that a hose-end sprayer's fill makes: the fill / what the dial gives to a gallon.

    >>> gallons_of_fill(Q(32, "floz"), Q(2, "floz / gal")).to("gal")
    <Quantity(16.0, 'gallon')>

    Source: uiuc-handheld (product per gallon).
    """
    return fill / dial


def speed_needed(flow: Any, spacing: Any, carrier: Any) -> Any:
    """Speed for a carrier rate: flow of one nozzle / (carrier x spacing).

    >>> round(speed_needed(Q(0.4, "gal / minute"), Q(20, "inch"), Q(39.6, "gal / acre")).to("mph"), 2)
    <Quantity(3.0, 'mile_per_hour')>

    Source: mu-g1272 (5,940 formula, solved for the speed).
    """
    return flow / (carrier * spacing)


def dial_for_area(rate: Any, volume: Any, area: Any) -> Any:
    """Dial of a hose-end sprayer whose gallon covers a known area: rate x area / volume.

    >>> dial_for_area(Q(3, "floz") / Q(1000, "sq_ft"), Q(1, "gal"), Q(500, "sq_ft")).to("floz / gal")
    <Quantity(1.5, 'fluid_ounce / gallon')>

    Source: uiuc-handheld (product per gallon).
    """
    return rate * area / volume


def solution_per_gallon(share: Any) -> Any:
    """Product in a gallon of a percent solution by volume.

    >>> solution_per_gallon(Q(1.5, "percent")).to("floz / gal")
    <Quantity(1.92, 'fluid_ounce / gallon')>

    Source: uiuc-handheld.
    """
    return share.to("").magnitude * Q(1, "gal / gal")


def course_time(distance: Any, speed: Any) -> Any:
    """Time that a course takes at a speed.

    >>> round(course_time(Q(88, "ft"), Q(3, "mph")).to("second"), 1)
    <Quantity(20.0, 'second')>

    Source: ncsu-backpack.
    """
    return distance / speed


def product_by_mix(mix: Any, carrier: Any, area: Any) -> Any:
    """Product for an area from a mix per gallon and a carrier rate: mix x carrier x area.

    >>> product_by_mix(Q(3, "floz / gal"), Q(2, "gal") / Q(1000, "sq_ft"), Q(10000, "sq_ft")).to("floz")
    <Quantity(60.0, 'fluid_ounce')>

    Source: mu-g1272 (product per gallon of spray x gallons).
    """
    return mix * carrier * area


def left_after_rinses(left_volume: Any, rinse: Any, times: Any) -> Any:
    """The strength that is left in a tank: (left / (left + rinse water)) ^ rinses, each emptied to the same rest.

    >>> round(left_after_rinses(Q(1, "gal"), Q(9, "gal"), Q(3, "")).to("percent"), 3)
    <Quantity(0.1, 'percent')>

    Source: common practice (dilution; three tenfold rinses leave a thousandth).
    """
    return (left_volume / (left_volume + rinse)).to("") ** times.to("").magnitude


def rinse_water(rinse: Any, times: Any) -> Any:
    """Water for all rinses.

    >>> rinse_water(Q(0.5, "gal"), Q(3, ""))
    <Quantity(1.5, 'gallon')>

    Source: common practice.
    """
    return rinse * times

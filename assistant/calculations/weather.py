"""Weather: degree days, heat index, humidity, reference evapotranspiration from its printed equations."""

from __future__ import annotations

import math
from datetime import date
from typing import Any

from assistant.units import Q


def degree_days(high: Any, low: Any, base: Any, cap: Any = None, floor: Any = None) -> Any:
    """Growing degree days of a day: mean of high and low less the base, never below zero.

    A high above the cap counts as the cap, a low below the floor as the floor.

    >>> degree_days(*[Q(one, "degF") for one in (93, 47, 50, 86, 50)]).m_as("delta_degF * day")
    18.0

    >>> degree_days(Q(74, "degF"), Q(52, "degF"), Q(50, "degF")).m_as("delta_degF * day")
    13.0

    Source: purdue-gdd (its printed example).
    """
    ends = [one.m_as("degF") for one in (high, low)]
    if cap is not None:
        ends = [min(one, cap.m_as("degF")) for one in ends]
    if floor is not None:
        ends = [max(one, floor.m_as("degF")) for one in ends]
    mean = sum(ends) / 2
    return Q(max(0.0, mean - base.m_as("degF")), "delta_degF * day")


def degree_days_of_mean(mean: Any, base: Any) -> Any:
    """The same from the day's mean.

    >>> degree_days_of_mean(Q(64, "degF"), Q(53, "degF")).m_as("delta_degF * day")
    11.0

    Source: ucipm-degree-days (its printed example).
    """
    return degree_days(mean, mean, base)


def most_degree_days(cap: Any, base: Any) -> Any:
    """The most degree days that one day gives where the high counts up to a cap.

    >>> most_degree_days(Q(86, "degF"), Q(50, "degF")).m_as("delta_degF * day")
    36.0

    Source: isu-gdd (its printed example).
    """
    return degree_days(cap, cap, base)


def heat_index(temperature: Any, humidity: Any) -> Any:
    """Heat index by the National Weather Service regression (shade, light wind), with its two adjustments.

    >>> round(heat_index(Q(96, "degF"), Q(65, "percent")).m_as("degF"))
    121

    Source: nws-heat-index.
    """
    t, r = temperature.m_as("degF"), humidity.m_as("percent")
    simple = 0.5 * (t + 61 + (t - 68) * 1.2 + r * 0.094)
    if (simple + t) / 2 < 80:
        return Q(simple, "degF")
    index = (
        -42.379
        + 2.04901523 * t
        + 10.14333127 * r
        - 0.22475541 * t * r
        - 6.83783e-3 * t * t
        - 5.481717e-2 * r * r
        + 1.22874e-3 * t * t * r
        + 8.5282e-4 * t * r * r
        - 1.99e-6 * t * t * r * r
    )
    if r < 13 and 80 <= t <= 112:
        index -= (13 - r) / 4 * math.sqrt((17 - abs(t - 95)) / 17)
    elif r > 85 and 80 <= t <= 87:
        index += (r - 85) / 10 * (87 - t) / 5
    return Q(index, "degF")


def wet_bulb(temperature: Any, humidity: Any) -> Any:
    """Wet-bulb temperature at sea level by the 2011 fit, good to about half a degree C.

    >>> round(wet_bulb(Q(20, "degC"), Q(50, "percent")).m_as("degC"), 1)
    13.7

    Source: stull.
    """
    t, r = temperature.m_as("degC"), humidity.m_as("percent")
    fitted = (
        t * math.atan(0.151977 * math.sqrt(r + 8.313659))
        + math.atan(t + r)
        - math.atan(r - 1.676331)
        + 0.00391838 * r**1.5 * math.atan(0.023101 * r)
        - 4.686035
    )
    return Q(fitted, "degC")


def delta_t(temperature: Any, humidity: Any) -> Any:
    """Dry bulb less wet bulb, in C.

    >>> round(delta_t(Q(20, "degC"), Q(50, "percent")).m_as("delta_degC"), 1)
    6.3

    Source: stull.
    """
    return temperature.to("degC") - wet_bulb(temperature, humidity)


def saturation_pressure(temperature: Any) -> Any:
    """Saturation vapour pressure: 0.6108 exp(17.27 T / (T + 237.3)) kPa.

    >>> round(saturation_pressure(Q(20, "degC")).m_as("kPa"), 3)
    2.338

    Source: fao56 (equation 11).
    """
    t = temperature.m_as("degC")
    return Q(0.6108 * math.exp(17.27 * t / (t + 237.3)), "kPa")


def slope(temperature: Any) -> Any:
    """Slope of the saturation vapour pressure curve: 4098 es / (T + 237.3) squared.

    >>> round(slope(Q(26.1, "degC")).m_as("kPa / delta_degC"), 4)
    0.1997

    Source: asce-standard-et (its Greeley example prints 0.1996).
    """
    t = temperature.m_as("degC")
    return Q(4098 * saturation_pressure(temperature).m_as("kPa") / (t + 237.3) ** 2, "kPa / delta_degC")


def air_pressure(elevation: Any) -> Any:
    """Mean atmospheric pressure: 101.3 ((293 - 0.0065 z) / 293)^5.26 kPa.

    >>> round(air_pressure(Q(1462.4, "m")).m_as("kPa"), 2)
    85.17

    Source: asce-standard-et (its printed example).
    """
    return Q(101.3 * ((293 - 0.0065 * elevation.m_as("m")) / 293) ** 5.26, "kPa")


def vapour_pressure(dry: Any, wet: Any) -> Any:
    """Vapour pressure from a psychrometer near sea level: es(wet) - 0.000662 x 101.3 kPa x (dry - wet).

    >>> round(vapour_pressure(Q(20, "degC"), Q(12, "degC")).m_as("hPa"), 1)
    8.7

    Source: atsc-humidity (prints 8.7 millibars).
    """
    gap = dry.m_as("degC") - wet.m_as("degC")
    if gap < 0:
        raise ValueError("The wet bulb cannot be warmer than the dry bulb.")
    return saturation_pressure(wet) - Q(0.000662 * 101.3 * gap, "kPa")


def relative_humidity(dry: Any, wet: Any) -> Any:
    """Relative humidity from a psychrometer.

    >>> round(relative_humidity(Q(20, "degC"), Q(12, "degC")).m_as("percent"))
    37

    Source: atsc-humidity.
    """
    return (vapour_pressure(dry, wet) / saturation_pressure(dry)).to("percent")


def day_of_year(day: date, leap: str = "") -> Any:
    """Number of a day in its year; `leap` counts it in a leap year.

    >>> day_of_year(date(2026, 7, 1), "leap").m_as("")
    183

    Source: asce-standard-et (1 July of a leap year is day 183).
    """
    year = 2000 if leap else (day.year if day.year % 4 else 2001)
    return Q(date(year, day.month, day.day).timetuple().tm_yday, "")


def extraterrestrial(latitude: Any, day_number: Any) -> float:
    """Radiation at the top of the air, MJ a square metre a day, for a latitude in degrees (south negative).

    >>> round(extraterrestrial(Q(-23.7951, ""), Q(202, "")), 1)
    23.6

    Source: fao56 (equation 21).
    """
    phi, j = math.radians(latitude.m_as("")), day_number.m_as("")
    distance = 1 + 0.033 * math.cos(2 * math.pi * j / 365)
    declination = 0.409 * math.sin(2 * math.pi * j / 365 - 1.39)
    sunset = math.acos(max(-1.0, min(1.0, -math.tan(phi) * math.tan(declination))))
    across = sunset * math.sin(phi) * math.sin(declination) + math.cos(phi) * math.cos(declination) * math.sin(sunset)
    return 24 * 60 / math.pi * 0.082 * distance * across


def hargreaves(latitude: Any, day_number: Any, high: Any, low: Any, south: str = "") -> Any:
    """Reference evapotranspiration by Hargreaves and Samani with their fixed coefficient, 0.0023.

    >>> round(hargreaves(Q(40, ""), Q(196, ""), Q(31, "degC"), Q(17, "degC")).m_as("mm / day"), 2)
    5.99

    Source: fao56 (equation 52).
    """
    return _hargreaves(latitude, day_number, high, low, south, 0.0023)


def hargreaves_of_range(latitude: Any, day_number: Any, high: Any, low: Any, south: str = "") -> Any:
    """The same with the coefficient that follows the day's range of temperature.

    >>> round(hargreaves_of_range(Q(23.7951, ""), Q(202, ""), Q(21, "degC"), Q(2, "degC"), "south").m_as("mm / day"), 2)
    4.11

    Source: hess-s19 (S19.101 prints 4.1129).
    """
    span = high.m_as("degC") - low.m_as("degC")
    factor = 0.00185 * span**2 - 0.0433 * span + 0.4023
    return _hargreaves(latitude, day_number, high, low, south, 0.0135 * factor)


def _hargreaves(latitude: Any, day_number: Any, high: Any, low: Any, south: str, coefficient: float) -> Any:
    top, bottom = high.m_as("degC"), low.m_as("degC")
    if top < bottom:
        raise ValueError("The high is below the low.")
    radiation = extraterrestrial(-abs(latitude) if south else latitude, day_number)
    return Q(coefficient * math.sqrt(top - bottom) * ((top + bottom) / 2 + 17.8) * 0.408 * radiation, "mm / day")


def priestley_taylor(net: Any, mean: Any, elevation: Any, alpha: Any = None) -> Any:
    """Evapotranspiration by Priestley and Taylor: alpha x slope / (slope + psychrometric constant) x net radiation / 2.45.

    >>> pt = priestley_taylor(Q(8.6401, "MJ / m**2 / day"), Q(11.5, "degC"), Q(546, "m"), Q(1.26, ""))
    >>> round(pt.m_as("mm / day"), 3)
    2.609

    Source: hess-s19 (S19.109 prints 2.6083).
    """
    share = 1.26 if alpha is None else alpha.m_as("")
    rise = slope(mean).m_as("kPa / delta_degC")
    constant = 0.000665 * air_pressure(elevation).m_as("kPa")
    return Q(share * rise / (rise + constant) * net.m_as("MJ / m**2 / day") / 2.45, "mm / day")


def turc(mean: Any, solar: Any, humidity: Any) -> Any:
    """Reference evapotranspiration by Turc; below half humidity with its correction.

    >>> round(turc(Q(11.5, "degC"), Q(17.194, "MJ / m**2 / day"), Q(48, "percent")).m_as("mm / day"), 3)
    2.673

    Source: hess-s19 (S19.99 prints 2.6727).
    """
    t, r = mean.m_as("degC"), humidity.m_as("percent")
    dry = 1 + (50 - r) / 70 if r < 50 else 1.0
    return Q(0.013 * t / (t + 15) * (23.88 * solar.m_as("MJ / m**2 / day") + 50) * dry, "mm / day")


def day_length(latitude: Any, day_number: Any) -> Any:
    """Hours from sunrise to sunset, by the sun's middle: 24 / pi x sunset hour angle; 4 to 11 minutes short of an almanac.

    >>> round(day_length(Q(-20, ""), Q(246, "")).m_as("hour"), 1)
    11.7

    Source: fao56 (equation 34; example 9 prints 11.7).
    """
    phi, j = math.radians(latitude.m_as("")), day_number.m_as("")
    declination = 0.409 * math.sin(2 * math.pi * j / 365 - 1.39)
    return Q(24 / math.pi * math.acos(max(-1.0, min(1.0, -math.tan(phi) * math.tan(declination)))), "hour")


def penman_monteith(
    high: Any,
    low: Any,
    vapour: Any,
    wind: Any,
    sun: Any,
    elevation: Any,
    latitude: Any,
    day_number: Any,
    ground: Any = None,
) -> Any:
    """Reference evapotranspiration of short grass: the FAO form of Penman and Monteith, from the day's high and low, the
    vapour pressure, the wind at 2 m, the sun's radiation, elevation, latitude (degrees) and day of the year.

    >>> uccle = [Q(21.5, "degC"), Q(12.3, "degC"), Q(1.409, "kPa"), Q(2.078, "m/s"), Q(22.07, "MJ / m**2 / day")]
    >>> round(penman_monteith(*uccle, Q(100, "m"), Q(50.8, ""), Q(187, "")).m_as("mm / day"), 2)
    3.88

    Source: fao56 (equation 6; example 18 prints 3.9).
    """
    top, bottom = high.m_as("degC"), low.m_as("degC")
    mean = (top + bottom) / 2
    air = (saturation_pressure(high).m_as("kPa") + saturation_pressure(low).m_as("kPa")) / 2
    actual, u2, shine = vapour.m_as("kPa"), wind.m_as("m/s"), sun.m_as("MJ / m**2 / day")
    clear = (0.75 + 2e-5 * elevation.m_as("m")) * extraterrestrial(latitude, day_number)
    cloud = 1.35 * min(shine / clear, 1.0) - 0.35
    glow = 4.903e-9 * ((top + 273.16) ** 4 + (bottom + 273.16) ** 4) / 2
    net = 0.77 * shine - glow * (0.34 - 0.14 * math.sqrt(actual)) * cloud
    rise = slope(Q(mean, "degC")).m_as("kPa / delta_degC")
    constant = 0.000665 * air_pressure(elevation).m_as("kPa")
    stored = ground.m_as("MJ / m**2 / day") if ground is not None else 0.0
    made = 0.408 * rise * (net - stored) + constant * 900 / (mean + 273) * u2 * (air - actual)
    return Q(made / (rise + constant * (1 + 0.34 * u2)), "mm / day")


def wet_bulb_at(temperature: Any, humidity: Any, pressure: Any) -> Any:
    """Wet-bulb temperature at a pressure, by halving the psychrometer's own equation between -40 °C and the dry bulb.

    >>> round(wet_bulb_at(Q(20, "degC"), Q(50, "percent"), Q(101.325, "kPa")).m_as("degC"), 1)
    13.8

    Source: fao56 (equation 15).
    """
    t, p = temperature.m_as("degC"), pressure.m_as("kPa")
    actual = saturation_pressure(temperature).m_as("kPa") * humidity.m_as("percent") / 100
    cold, warm = -40.0, t
    for _ in range(60):
        middle = (cold + warm) / 2
        left = saturation_pressure(Q(middle, "degC")).m_as("kPa") - 0.000662 * p * (t - middle)
        cold, warm = (cold, middle) if left > actual else (middle, warm)
    return Q((cold + warm) / 2, "degC")

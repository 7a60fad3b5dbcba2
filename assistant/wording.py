"""How a number with its unit is written on the screen, in US or metric measures. It needs no registry of units."""

from __future__ import annotations

# How a unit is written on the screen. Anything not here is written as it is.
WRITTEN = {
    "floz": "fl oz", "gal": "gal", "qt": "qt", "pt": "pt", "tbsp": "tbsp", "tsp": "tsp", "cup": "cups",
    "lb": "lb", "oz": "oz", "ton": "tons", "g": "g", "kg": "kg", "mL": "mL", "L": "L",
    "sq_ft": "sq ft", "sq_yd": "sq yd", "m**2": "sq m", "m**3": "cu m", "acre": "acres", "ha": "ha",
    "ft": "ft", "inch": "in", "yd": "yd", "m": "m", "cm": "cm", "mm": "mm",
    "mph": "mph", "kph": "km/h", "degF": "°F", "degC": "°C", "delta_degF": "°F", "delta_degC": "°C",
    "cu_yd": "cu yd", "cu_ft": "cu ft", "cu_in": "cu in", "sq_in": "sq in",
    "inch / hour": "in per hour", "inch / day": "in per day", "mm / day": "mm per day", "mm / hour": "mm per hour",
    "gallon / minute": "gal per minute", "kPa / delta_degC": "kPa per °C", "delta_degF * day": "°F days",
    "delta_degC * day": "°C days", "1 / sq_in": "per sq in", "1 / sq_ft": "per sq ft", "1 / lb": "per lb",
    "percent": "%", "day": "days", "week": "weeks", "hour": "hours", "minute": "minutes", "month": "months", "year": "years",
    "mowing": "mowings", "second": "seconds", "workday": "working days",
    "bag": "bags", "jug": "jugs", "sack": "sacks", "bale": "bales", "bottle": "bottles", "bucket": "buckets", "pallet": "pallets", "box": "boxes",
}  # fmt: skip

# US unit -> metric unit of the same tool, and from which size on the next larger one is used.
METRIC = {
    "floz": "mL", "gal": "L", "qt": "L", "pt": "mL", "tbsp": "mL", "tsp": "mL", "cup": "mL",
    "lb": "kg", "oz": "g", "ton": "kg", "sq_ft": "m**2", "sq_yd": "m**2", "acre": "ha",
    "ft": "m", "inch": "cm", "yd": "m", "mph": "kph", "degF": "degC", "delta_degF": "delta_degC", "delta_degF * day": "delta_degC * day",
    "1000 sq_ft": "100 m**2", "cu_yd": "m**3", "cu_ft": "L", "inch / hour": "mm / hour",
}  # fmt: skip
US = {"mL": "floz", "L": "gal", "kg": "lb", "g": "oz", "m**2": "sq_ft", "ha": "acre", "m": "ft", "cm": "inch",
       "m**3": "cu_yd", "mm / hour": "inch / hour",
       "mm": "inch", "kph": "mph", "degC": "degF", "delta_degC": "delta_degF", "100 m**2": "1000 sq_ft"}  # fmt: skip


def number(value: float) -> str:
    """A number as a person writes it: four figures at most below 1,000, whole above, three below 1.

    >>> number(50.4), number(10890.0), number(0.098437), number(21.42857)
    ('50.4', '10,890', '0.0984', '21.43')
    """
    size = abs(value)
    if size >= 1000:
        return f"{value:,.0f}"
    text = f"{value:.{3 if size < 1 else 4}g}"
    if "e" in text:
        text = f"{value:.6f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


_IN_TENTHS = {"degC", "delta_degC", "kph", "cm"}  # nobody reads a thermometer to the hundredth


def written(low: float, high: float, unit: str, per: str = "") -> str:
    """A number or a range with its unit in the words of the screen."""
    if unit == "USD":
        small = per and high < 1  # `$0.085 per sq ft`: half a cent counts there
        text = " to ".join(f"${number(one)}" if small else f"${one:,.2f}" for one in dict.fromkeys((low, high)))
    else:
        if unit in _IN_TENTHS:
            low, high = round(low, 1), round(high, 1)
        text = number(low) if number(low) == number(high) else f"{number(low)} to {number(high)}"
        word = WRITTEN.get(unit, unit)
        if text == "1":
            word = _one(word)
        if word and word != "%":
            text += " " + word
        elif word:
            text += word
    if per:
        head, _, unit_of = per.partition(" ")
        text += f" per {number(float(head))} {WRITTEN.get(unit_of, unit_of)}" if unit_of else f" per {_single(per)}"
    return text


def _single(unit: str) -> str:
    return _one(WRITTEN.get(unit, unit))


def _one(word: str) -> str:
    """`bag` of `bags`."""
    if word.endswith("xes"):
        return word[:-2]
    return word[:-1] if word.endswith("s") and len(word) > 3 else word

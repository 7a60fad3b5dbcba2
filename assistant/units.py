"""The one pint registry, and how quantities are printed for the tool in the hand.

Everything with a unit is a pint quantity of this registry from parsing to printing. Loading it costs more than
the rest of a one-shot answer, so it is imported only by code that calculates or prints quantities.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Any

import pint

from knowledge import FOLDER

ureg: Any = pint.UnitRegistry(str(FOLDER / "units.txt"), autoconvert_offset_to_baseunit=False)
Q: Any = ureg.Quantity

# How a unit is written on the screen. Anything not here is written as it is.
WRITTEN = {
    "floz": "fl oz", "gal": "gal", "qt": "qt", "pt": "pt", "tbsp": "tbsp", "tsp": "tsp", "cup": "cups",
    "lb": "lb", "oz": "oz", "ton": "tons", "g": "g", "kg": "kg", "mL": "mL", "L": "L",
    "sq_ft": "sq ft", "sq_yd": "sq yd", "m**2": "sq m", "acre": "acres", "ha": "ha",
    "ft": "ft", "inch": "in", "yd": "yd", "m": "m", "cm": "cm", "mm": "mm",
    "mph": "mph", "kph": "km/h", "degF": "°F", "degC": "°C", "delta_degF": "°F", "delta_degC": "°C",
    "cu_yd": "cu yd", "cu_ft": "cu ft", "cu_in": "cu in", "sq_in": "sq in",
    "inch / hour": "in per hour", "inch / day": "in per day", "mm / day": "mm per day", "mm / hour": "mm per hour",
    "gallon / minute": "gal per minute", "kPa / delta_degC": "kPa per °C", "delta_degF * day": "°F days",
    "delta_degC * day": "°C days", "1 / sq_in": "per sq in", "1 / sq_ft": "per sq ft", "1 / lb": "per lb",
    "percent": "%", "day": "days", "week": "weeks", "hour": "hours", "minute": "minutes", "month": "months", "year": "years",
    "mowing": "mowings", "second": "seconds", "workday": "working days",
}  # fmt: skip
_CLOSE_UP = {"%", "°F", "°C"}

# US unit -> metric unit of the same tool, and from which size on the next larger one is used.
METRIC = {
    "floz": "mL", "gal": "L", "qt": "L", "pt": "mL", "tbsp": "mL", "tsp": "mL", "cup": "mL",
    "lb": "kg", "oz": "g", "ton": "kg", "sq_ft": "m**2", "sq_yd": "m**2", "acre": "ha",
    "ft": "m", "inch": "cm", "yd": "m", "mph": "kph", "degF": "degC", "delta_degF": "delta_degC",
    "1000 sq_ft": "100 m**2",
}  # fmt: skip
_US = {"mL": "floz", "L": "gal", "kg": "lb", "g": "oz", "m**2": "sq_ft", "ha": "acre", "m": "ft", "cm": "inch",
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


@lru_cache(maxsize=4096)  # quantities are never changed in place, and the same few are made over and over
def measured(value: float, unit: str, per: str = "") -> Any:
    """So much of a unit, per what a rate is counted by."""
    made = Q(value, unit)
    return made / quantity_of(per) if per else made


@lru_cache(maxsize=256)
def quantity_of(per: str) -> Any:
    """The quantity written as `1000 sq_ft`, `acre` or `gallon`."""
    head, _, unit = per.partition(" ")
    return Q(float(head), unit) if unit else Q(1, per)


def plain(quantity: Any, unit: str, per: str = "") -> float:
    """The number of `unit` (per `per`) in a quantity: the one door out of pint."""
    if per:
        quantity = quantity * quantity_of(per)
    return float(quantity.m_as(unit))


class Say:
    """Prints quantities in US or metric measures; with None in just the unit given."""

    def __init__(self, metric: bool | None = False) -> None:
        self.metric = metric

    def unit(self, unit: str) -> str:
        """The unit of the system in use that serves for `unit`."""
        if self.metric is None:
            return unit
        return (METRIC if self.metric else _US).get(unit, unit)

    def ends(self, value: Any, unit: str, per: str = "") -> tuple[float, float, str, str]:
        """Low and high number of a quantity or a Range, with unit and denominator, in the system in use."""
        unit, per = self.unit(unit), self.unit(per) if per else ""
        low, high = (value.low, value.high) if hasattr(value, "low") else (value, value)
        return plain(low, unit, per), plain(high, unit, per), unit, per

    def __call__(self, value: Any, unit: str, per: str = "") -> str:
        """`50.4 fl oz`, `12 to 15 fl oz per 1,000 sq ft`, `86 °F`."""
        low, high, unit, per = self.ends(value, unit, per)
        return written(low, high, unit, per)

    def in_hand(self, value: Any, unit: str) -> str:
        """A single amount split into the measures of the tools: jug and cup, or scale. Empty where it adds nothing."""
        if hasattr(value, "low") or self.metric:
            return ""
        if value.check("[volume]") and unit in ("floz", "gal", "qt", "pt"):
            ladder = ("gal", "qt", "pt", "floz") if value >= Q(1, "pt") else ("tbsp", "tsp")
        elif value.check("[mass]") and unit in ("lb", "oz"):
            ladder = ("lb", "oz")
        else:
            return ""
        parts = _split(value, ladder)
        told = sum(plain(Q(n, u), unit) for n, u in parts)
        if abs(told - plain(value, unit)) > 0.1 * plain(value, unit):
            return ""  # too little for the tool's marks
        same = len(parts) == 1 and parts[0][1] == unit
        return "" if same else (" " if ladder == ("lb", "oz") else " + ").join(written(n, n, u) for n, u in parts)


def _split(value: Any, ladder: tuple[str, ...]) -> list[tuple[float, str]]:
    """Whole numbers of each measure of the ladder, the last one to a tenth (weights to the ounce)."""
    last = ladder[-1]
    digits = 0 if last == "oz" else 1
    left = round(plain(value, last), digits)
    parts = []
    for unit in ladder[:-1]:
        size = plain(Q(1, unit), last)
        count = int(left // size + 1e-9)
        left = round(left - count * size, digits)
        if count:
            parts.append((float(count), unit))
    if left or not parts:
        parts.append((left, last))
    return parts


_PLURALS = frozenset(
    [
        "days",
        "weeks",
        "months",
        "years",
        "hours",
        "minutes",
        "acres",
        "tons",
        "cups",
        "mowings",
        "seconds",
        "working days",
    ]
)


def written(low: float, high: float, unit: str, per: str = "") -> str:
    """A number or a range with its unit in the words of the screen."""
    if unit == "USD":
        text = f"${low:,.2f}" if low == high else f"${low:,.2f} to ${high:,.2f}"
    else:
        text = number(low) if number(low) == number(high) else f"{number(low)} to {number(high)}"
        word = WRITTEN.get(unit, unit)
        if word in _PLURALS and text == "1":
            word = word[:-1]
        if word and word != "%":
            text += " " + word
        elif word:
            text += word
    if per:
        head, _, unit_of = per.partition(" ")
        text += f" per {number(float(head))} {WRITTEN.get(unit_of, unit_of)}" if unit_of else f" per {_single(per)}"
    return text


def _single(unit: str) -> str:
    word = WRITTEN.get(unit, unit)
    return word[:-1] if word.endswith("s") and len(word) > 3 else word

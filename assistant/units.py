"""The one pint registry, and how its quantities are printed for the tool in the hand.

Everything with a unit is a pint quantity of this registry from parsing to printing. Loading it costs more than
the rest of a one-shot answer, so it is imported only by code that calculates; numbers that stand in the knowledge
base are printed by `wording` alone.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Any

import pint

from assistant.wording import METRIC, US, written
from knowledge import FOLDER

ureg: Any = pint.UnitRegistry(str(FOLDER / "units.txt"), autoconvert_offset_to_baseunit=False)
Q: Any = ureg.Quantity


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


_LARGER = {"g": "kg", "mL": "L"}  # what a scale or a can shows of so many


class Say:
    """Prints quantities in US or metric measures; with None in just the unit given."""

    def __init__(self, metric: bool | None = False) -> None:
        self.metric = metric

    def unit(self, unit: str) -> str:
        """The unit of the system in use that serves for `unit`."""
        if self.metric is None:
            return unit
        return (METRIC if self.metric else US).get(unit, unit)

    def ends(self, value: Any, unit: str, per: str = "") -> tuple[float, float, str, str]:
        """Low and high number of a quantity or a Range, with unit and denominator, in the system in use."""
        unit, per = self.unit(unit), self.unit(per) if per else ""
        if hasattr(value, "low"):
            return plain(value.low, unit, per), plain(value.high, unit, per), unit, per
        single = plain(value, unit, per)
        return single, single, unit, per

    def __call__(self, value: Any, unit: str, per: str = "") -> str:
        """`50.4 fl oz`, `12 to 15 fl oz per 1,000 sq ft`, `86 °F`."""
        low, high, unit, per = self.ends(value, unit, per)
        return written(low, high, unit, per)

    def weighed_in(self, value: Any, unit: str) -> str:
        """The measure that such an amount is carried in: kilograms where there are a thousand grams and more."""
        large = _LARGER.get(unit)
        return large if large and (value.low if hasattr(value, "low") else value) >= Q(1, large) else unit

    def in_hand(self, value: Any, unit: str) -> str:
        """A single amount split into the measures of the tools: jug and cup, or scale. Empty where it adds nothing."""
        if hasattr(value, "low"):
            return ""
        large = self.weighed_in(value, unit)
        if large != unit:
            return written(*(plain(value, large),) * 2, large)
        if self.metric:
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

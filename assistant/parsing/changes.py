"""A figure said anew: which figure of the question before it replaces."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

from assistant.terms import Amount, Slot

_APART = 1.5  # how much nearer the nearest must be than the next, as a ratio
_REACH = 20.0  # a number farther off than this, as a ratio, is no new value of a figure
_OF_IT = {"a", "of", "the"}
_PLAIN = ("number", "fraction")


def nearest_to(amount: Amount, held: dict[str, Slot]) -> Slot | None:
    """The held slot with the amount as its new value; None where none is near, or two are as near.

    >>> rate = Slot("rate", Amount("rate", 12, 12, ("floz",), "1000 sq_ft"))
    >>> area = Slot("area", (Amount("area", 4200, 4200, ("sq_ft",)),))
    >>> nearest_to(Amount("number", 14, 14), {"rate": rate, "area": area}).amount.per
    '1000 sq_ft'
    """
    if isinstance(amount.low, (tuple, str)):
        return None
    near = []
    for name, slot in held.items():
        old = _figure(slot)
        if old is None or not _comparable(amount, old):
            continue
        apart = abs(math.log(float(amount.low) / float(old.low)))
        if apart <= math.log(_REACH):
            near.append((apart, name, slot, old))
    near.sort(key=lambda one: one[:2])
    if not near or (len(near) > 1 and near[1][0] - near[0][0] < math.log(_APART)):
        return None
    _, name, slot, old = near[0]
    new = replace(old, low=amount.low, high=amount.high, text=amount.text, span=amount.span, bound=amount.bound,
                  assumed=f"taken as {old.unit}" if amount.kind in _PLAIN else "")  # fmt: skip
    return Slot(name, (new,) if isinstance(slot.value, tuple) else new)


def part_of(amount: Amount, behind: list[str], held: dict[str, Slot], specs: dict[str, Any]) -> Slot | None:
    """`half a tank`: that share of the held figure whose word (`words` of its slot) stands behind; None where it is none."""
    if amount.kind != "fraction":
        return None
    what = next((word for word in behind if word not in _OF_IT), "")
    for name, slot in held.items():
        whole = _figure(slot)
        if whole is not None and what in specs.get(name, {}).get("words", ()):
            part = replace(whole, low=whole.low * amount.low, high=whole.high * amount.high, text=amount.text)
            return Slot(name, (part,) if isinstance(slot.value, tuple) else part)
    return None


def _figure(slot: Slot) -> Amount | None:
    """The one figure of a slot, where it is one; pieces of an area count together."""
    amounts = slot.amounts
    if len(amounts) != 1 or isinstance(amounts[0].low, (tuple, str)) or not amounts[0].low > 0:
        return None
    return amounts[0]


def _comparable(amount: Amount, old: Amount) -> bool:
    if not amount.low > 0:
        return False
    if amount.kind in _PLAIN:
        return True
    return amount.kind != "rate" and amount.per in ("", old.per) and bool(set(amount.units) & set(old.units))

"""What cannot be: amounts and days outside of what a lawn ever sees. Refused with the number and the usual range."""

from __future__ import annotations

from typing import Any

from assistant.answer import amount_words
from assistant.knowledge_base import Knowledge
from assistant.parsing import Vocabulary
from assistant.terms import Amount, Now, Parse

_BY_KIND = {"area": "area", "size": "area", "temperature": "temperature", "speed": "wind"}


def impossible(parse: Parse, vocabulary: Vocabulary, knowledge: Knowledge, now: Now) -> str:
    """One sentence about the first amount that cannot be meant as it was said; empty where all can."""
    for amount in parse.amounts:
        if amount.kind == "date" and amount.assumed == "no such day":
            year, month, day = str(amount.low).split("-")
            return f"There is no day {int(month)}/{int(day)}/{year} in the calendar. Which day do you mean? Nothing was recorded."
        if amount.kind == "size" and len(amount.low) > 2 and parse.intent in ("out_of_scope", "area.measure"):
            return (
                f"{amount_words(amount)} are three sides: an area has two. Leave the depth out. Nothing was recorded."
            )
    checked: list[tuple[Amount, dict[str, Any]]] = []
    entry = vocabulary.intents.get(parse.intent)
    for name, slot in parse.slots.items() if entry else ():
        spec = entry["slots"].get(name, {}) if entry else {}
        checked += [(value, spec) for value in slot.amounts if "possible" in spec]
        if "within_days" in spec and slot.amounts:
            away = (slot.amount.day - now.day).days
            if abs(away) > spec["within_days"]:
                when = f"{abs(away) // 365} years {'back' if away < 0 else 'ahead'}"
                return f"{amount_words(slot.amount)} is {when}. Which day do you mean? Nothing was recorded."
    bound = {amount.span for amount, _ in checked}
    loose = vocabulary.bounds
    checked += [
        (amount, loose[_BY_KIND[amount.kind]])
        for amount in parse.amounts
        if amount.kind in _BY_KIND and amount.span not in bound and _BY_KIND[amount.kind] in loose
    ]
    for amount, spec in checked:
        bounds = spec["possible"]
        for bound in bounds if isinstance(bounds, list) else [bounds]:
            if _outside(amount, bound):
                return _words(amount, bound, knowledge)
    return ""


def _outside(amount: Amount, bounds: dict[str, Any]) -> bool:
    if amount.kind == "size":
        return any(side <= 0 for side in amount.low)
    low, high = float(amount.low), float(amount.high)
    if low < 0 <= bounds["low"]:
        return True
    unit, per = bounds["unit"], bounds.get("per", "")
    if (amount.unit, amount.per) == (unit, per):
        return low < bounds["low"] or high > bounds["high"]
    from assistant.units import Q, quantity_of

    least, most = Q(bounds["low"], unit), Q(bounds["high"], unit)
    if per:
        least, most = least / quantity_of(per), most / quantity_of(per)
    value = amount.q
    ends = (value.low, value.high) if hasattr(value, "low") else (value, value)
    if not ends[0].is_compatible_with(least):
        return False
    return bool(ends[0] < least or ends[1] > most)


def _words(amount: Amount, bounds: dict[str, Any], knowledge: Knowledge) -> str:
    what = f" of {amount.of}" if amount.of and amount.of != "product" else ""
    usual = bounds["usual"]
    if "cite" in bounds:
        row = knowledge.rows(bounds["cite"])[0]
        source = knowledge.source(row.source)
        if source:
            usual += f" ({source['publisher']})"
    slip = f" {bounds['slip']}" if "slip" in bounds else ""
    return f"{amount_words(amount)}{what} cannot be right: {usual}.{slip} Nothing was recorded."

"""What a line itself says of its figures: one in place of another, a share taken off, a measure that several have in common.

`5 lb, not 6, per thousand`, `8,400 sq ft minus 1/4`, `3.2 4.1 2.7 5.5k`, `4, 2.5 and 0.75 fl oz per 1000`.
"""

from __future__ import annotations

import re
from dataclasses import replace

from assistant.parsing.readings import Reading
from assistant.terms import Amount

SQUARE = {"ft": "sq_ft", "yd": "sq_yd", "inch": "sq_in"}
_OFF = {"minus", "less", "except", "excluding", "without"}
_BETWEEN_SHARE = _OFF | {"for", "the", "about", "maybe", "roughly"}
_INSTEAD = ({"not"}, {",", "not"})
_SLASHED = re.compile(r"(\d) ?/ ?(\d{1,2})")
_BUT = {",", "but", "it's", "its", "it", "is"}
_WAIT = {"wait", "scratch", "sorry", "actually", "rather"}
_BESIDE_WAIT = {
    "no",
    "it",
    "its",
    "it's",
    "is",
    "was",
    "that",
    "more",
    "like",
    "about",
    "closer",
    "to",
    "i",
    "mean",
    "make",
    "um",
    "uh",
    "well",
    ",",
    ".",
    "-",
}
_THOUSAND = 1000
_SMALL = 100  # thousands of square feet that are said without their sign
_ROW_BETWEEN = {",", "and", "&"}


def revised(readings: list[Reading], words: list[str]) -> list[Reading]:
    """The readings as the line revises them."""
    made: list[Reading] = []
    for reading in readings:
        between = words[made[-1].end : reading.start] if made else []
        instead = _instead(made[-1], reading, between) if made else None
        less = _less_a_share(made[-1], reading, between) if made and not instead else None
        if made and _taken_back(made[-1], reading, words):
            made[-1] = Reading(reading.amount, made[-1].start - 1, reading.end)
            continue
        if made and (put_right := _put_right(made[-1], reading, between)):
            made[-1] = put_right
            continue
        if instead or less:
            made[-1] = instead or less  # type: ignore[assignment]
            continue
        made.append(reading)
    return _with_common_measure(made, words)


def square(unit: str) -> str:
    """The square of a unit of length."""
    return SQUARE.get(unit, f"{unit}**2")


def area_of(size: Amount) -> Amount:
    """Two sides as the area between them."""
    area = size.low[0] * size.low[1]
    return replace(size, kind="area", low=area, high=area, units=(square(size.unit),))


def _joined(first: Reading, second: Reading, amount: Amount) -> Reading:
    span = (first.amount.span[0], second.amount.span[1])
    return Reading(replace(amount, span=span), first.start, second.end)


def _instead(said: Reading, other: Reading, between: list[str]) -> Reading | None:
    """`5 lb not 6 per thousand`: the first figure, in the measure that is told behind the second."""
    a, b = said.amount, other.amount
    if set(between) not in _INSTEAD or ((a.kind == "date") != (b.kind == "date") and b.kind != "number"):
        return None  # `12 September, not 13`: the number is a day too
    if a.kind == b.kind or b.kind == "number":
        return _joined(said, other, a)
    if isinstance(b.low, (tuple, str)):
        return None  # sides, or a day: no one figure takes their place
    if a.kind == "number" or (
        b.kind == "rate" and (a.units == b.units or not set(a.units).isdisjoint(b.units) or not b.units)
    ):
        return _joined(
            said, other, replace(b, low=a.low, high=a.high, units=a.units or b.units, text=f"{a.text} not {b.text}")
        )
    return None


def _taken_back(said: Reading, other: Reading, words: list[str]) -> bool:
    """`not 5k, 6k`: the second figure alone."""
    denied = said.start and words[said.start - 1] == "not" and said.amount.kind != "date"
    return bool(denied) and said.amount.kind == other.amount.kind and set(words[said.end : other.start]) <= _BUT


def _put_right(said: Reading, other: Reading, between: list[str]) -> Reading | None:
    """`1,500 sq ft no wait it's 1,800`: the second figure, in the measure of the first where it has none."""
    if not _WAIT.intersection(between) or not set(between) <= _WAIT | _BESIDE_WAIT:
        return None
    a, b = said.amount, other.amount
    if a.kind == b.kind and (a.per, a.of) == (b.per, b.of):
        return _joined(said, other, b)
    measured = b.kind == "number" and not isinstance(a.low, (tuple, str))
    return _joined(said, other, replace(a, low=b.low, high=b.high, text=b.text)) if measured else None


def _less_a_share(whole: Reading, share: Reading, between: list[str]) -> Reading | None:
    """`8,400 sq ft minus 1/4`: what is left of the area."""
    amount, part = whole.amount, share_of(share.amount)
    if (
        not part
        or not _OFF.intersection(between)
        or not set(between) <= _BETWEEN_SHARE
        or amount.kind not in ("area", "size")
    ):
        return None
    if amount.kind == "size":
        if len(amount.low) != 2:
            return None
        amount = area_of(amount)
    text = f"{whole.amount.text} less {share.amount.text}"
    left = replace(amount, low=amount.low * (1 - part), high=amount.high * (1 - part), text=text)
    return _joined(whole, share, left)


def share_of(amount: Amount) -> float:
    """The part that an amount is, if it is one; 1/4 behind a minus is no day in January."""
    if amount.kind == "fraction" and amount.single:
        return float(amount.low)
    found = _SLASHED.fullmatch(amount.text) if amount.kind == "date" else None
    return int(found[1]) / int(found[2]) if found and int(found[1]) < int(found[2]) else 0.0


def _with_common_measure(readings: list[Reading], words: list[str]) -> list[Reading]:
    """Bare figures right before one with a measure have it too: areas in thousands, rates."""
    made: list[Reading] = []
    for reading in readings:
        row: list[Reading] = []
        while made and _shares(made[-1], row[0] if row else reading, reading.amount, words):
            row.insert(0, made.pop())
        several = len(row) > 1 or (row and not {"and", "&"}.isdisjoint(words[row[-1].end : reading.start]))
        made += [_of_measure(reading.amount, one) for one in row] if several else row
        made.append(reading)
    return made


def _shares(bare: Reading, next_one: Reading, last: Amount, words: list[str]) -> bool:
    """True for a bare figure that stands in a row before one of its measure."""
    if bare.amount.kind != "number" or not bare.amount.single or bare.amount.bound or not last.single:
        return False
    gap = words[bare.end : next_one.start]
    thousands = last.kind == "area" and last.text.endswith("k") and bare.amount.low < _SMALL
    return set(gap) <= _ROW_BETWEEN and (thousands or (last.kind == "rate" and bool(gap)))


def _of_measure(last: Amount, bare: Reading) -> Reading:
    value = bare.amount.low * (_THOUSAND if last.kind == "area" else 1)
    return replace(bare, amount=replace(last, low=value, high=value, text=bare.amount.text, span=bare.amount.span))

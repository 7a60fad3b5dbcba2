"""What is done with amounts once they are read: two that are one put together, rows of values, the pH that is wanted."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from assistant.parsing.tokens import Token
from assistant.terms import Amount


@dataclass(frozen=True, slots=True)
class Reading:
    """An amount with the tokens it was read from. `free` are those in between that name something else."""

    amount: Amount
    start: int
    end: int
    free: tuple[int, ...] = ()

    @property
    def held(self) -> set[int]:
        return set(range(self.start, self.end)) - set(self.free)


def joined(readings: Iterator[Reading], tokens: list[Token]) -> Iterator[Reading]:
    """Puts together what is one amount in two measures: 3 lb 6 oz, 1 qt 1 pt, 2 hours 30 minutes."""
    held: Reading | None = None
    for reading in readings:
        if held is not None:
            joined = _join(held, reading, tokens)
            if joined:
                held = joined
                continue
            yield held
        held = reading
    if held is not None:
        yield held


_SMALLER = {
    "lb": ("oz", "floz"),
    "gal": ("qt", "pt", "floz", "cup"),
    "qt": ("pt", "floz", "cup"),
    "pt": ("floz",),
    "hour": ("minute",),
    "ft": ("inch",),
    "cup": ("tbsp",),
    "tbsp": ("tsp",),
}


_MOST_GALLONS = 5  # of a rate told as gallons and ounces: a tank of 30 gal before it is another figure


def _join(first: Reading, second: Reading, tokens: list[Token]) -> Reading | None:
    a, b = first.amount, second.amount
    gap = [token.text for token in tokens[first.end : second.start]]
    unit = next((one for one in b.units if one in _SMALLER.get(a.unit, ())), None)
    if (
        unit is None
        or a.per
        or not a.single
        or not b.single
        or any(word not in ("and", "+") for word in gap)
        or a.of
        or a.kind not in ("mass", "volume", "duration", "length")
        or (b.per and a.unit == "gal" and a.low > _MOST_GALLONS)
    ):
        return None
    if a.unit == "lb":
        unit = "oz"
    from assistant.units import Q, plain

    total = plain(a.q + Q(b.low, unit), a.unit)
    span = (a.span[0], b.span[1])
    made = replace(
        b,
        low=total,
        high=total,
        units=(a.unit,),
        kind=b.kind if b.per else a.kind,
        span=span,
        text=f"{a.text} {b.text}",
        bound=a.bound,
    )
    return Reading(made, first.start, second.end)


_LISTED = ("number", "length", "volume", "mass", "duration", "depth")
_AND = {"and", "&"}
_BETWEEN = {*_AND, ",", ";", "or", "(", ")"}


def lists_of(readings: list[Reading], words: list[str]) -> list[Reading]:
    """Rows of values put together: `widths of 32, 50, 45 and 17 ft`. Three or more, or two that share one unit."""
    made: list[Reading] = []
    row: list[Reading] = []
    closed = False
    for reading in [*readings, None]:
        gap = words[row[-1].end : reading.start] if reading is not None and row else []
        last = not _AND.isdisjoint(gap)  # `and` stands before the last
        joined = reading is not None and bool(row) and (last or not closed) and _goes_on(row, reading, gap)
        if reading is not None and (joined or not row) and _listable(reading):
            closed = last and ")" not in gap
            row.append(reading)
            continue
        made += _as_list(row, words)
        closed = False
        row = [reading] if reading is not None and _listable(reading) else []
        if reading is not None and not row:
            made.append(reading)
    return made


def _listable(reading: Reading) -> bool:
    amount = reading.amount
    return amount.kind in _LISTED and amount.single and not amount.per and not amount.bound and not amount.of


def _goes_on(row: list[Reading], reading: Reading, gap: list[str]) -> bool:
    last = row[-1]
    if gap and len(row) > 1 and row[-2].end == last.start and last.amount.kind != reading.amount.kind:
        return False  # `.3 .35 .25 .4, 20 min`: a row without commas ends at one
    same = last.amount.kind in ("number", reading.amount.kind) and (
        not last.amount.units or last.amount.units == reading.amount.units or reading.amount.kind == "number"
    )
    alike = last.amount.units == reading.amount.units or last.amount.kind == "number"
    return same and ((not gap and alike) or (0 < len(gap) <= 4 and set(gap) <= _BETWEEN))


def _as_list(row: list[Reading], words: list[str]) -> list[Reading]:
    units = next((reading.amount.units for reading in reversed(row) if reading.amount.units), ())
    shared = len(row) == 2 and bool(row[1].amount.units) and not _AND.isdisjoint(words[row[0].end : row[1].start])
    if len(row) < 3 and not shared:
        return row
    kind = next((reading.amount.kind for reading in row if reading.amount.kind != "number"), "number")
    values = tuple(float(reading.amount.low) for reading in row)
    first, last = row[0].amount, row[-1].amount
    text = " ".join(reading.amount.text for reading in row)
    made = Amount(kind + "s", values, values, units, text=text, span=(first.span[0], last.span[1]))
    return [Reading(made, row[0].start, row[-1].end)]


BUFFER = "buffer"  # what a lab's second pH is of
_BUFFERED = {"buffer", "bph"}
_AIMED = {"to", "target", "goal", "want", "wanted"}
_AIMS = {"target", "goal", "aim", "aiming"}
_PH_BELIEVED = (3, 10)
_NAMED_BEFORE = 5  # words from `ph` to its figure


def wanted_ph(readings: list[Reading], tokens: list[Token]) -> list[Reading]:
    """The second of two pH values is the one wanted: `from pH 5.4 to 6.5`, `pH 5.8, target pH 6.5`; and one is the buffer's:
    `pH 5.6 buffer pH 6.5`."""
    if not any(token.text == "ph" or token.text in _BUFFERED for token in tokens):
        return readings
    told = any(reading.amount.kind == "ph" for reading in readings)
    made: list[Reading] = []
    for reading in readings:
        before = {token.text for token in tokens[max(0, reading.start - 2) : reading.start]}
        amount = reading.amount
        close = tokens[reading.start - 1].text in _AIMED if reading.start else False
        aimed = close or bool(before & _AIMS)
        bare = amount.kind == "number" and _PH_BELIEVED[0] <= amount.low <= amount.high <= _PH_BELIEVED[1]
        named = "ph" in {token.text for token in tokens[max(0, reading.start - _NAMED_BEFORE) : reading.start]}
        if bare and named and not told and not any(one.amount.kind == "ph" for one in made):
            reading = replace(reading, amount=replace(amount, kind="ph"))  # `the ph came in at 5.4 to 5.7`
        elif (bare or amount.kind == "ph") and _of_buffer(reading, tokens):
            reading = replace(reading, amount=replace(amount, kind="ph", of=BUFFER))
        elif aimed and (bare or amount.kind == "ph"):
            reading = replace(reading, amount=replace(amount, kind="ph", of="wanted"))
        made.append(reading)
    return made


def _of_buffer(reading: Reading, tokens: list[Token]) -> bool:
    """True for the pH right behind the word, or right before it where none stands behind: `buffer pH 6.5`, `6.5 buffer`."""
    before = [token.text for token in tokens[max(0, reading.start - 3) : reading.start]]
    while before and before[-1] in ("ph", "is", "of", "was", ":", "=", "at"):
        before.pop()
    if before and before[-1] in _BUFFERED:
        return True
    behind = [token.text for token in tokens[reading.end : reading.end + 2]]
    figure = reading.end + 1 < len(tokens) and tokens[reading.end + 1].kind == "number"
    return bool(behind) and behind[0] in _BUFFERED and not figure and behind[1:] != ["ph"]

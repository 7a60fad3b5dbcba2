"""Amounts in a line, read in one written order; the first rule that fits wins.

Analyses, then dates, sizes, money and pH, ranges and numbers with their unit, denominator and tag. What no rule
takes is a bare number: a latent reading that only a slot with the right role word, or the one open slot, may use.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from assistant.parsing.dates import date_at
from assistant.parsing.numbers import number_at
from assistant.parsing.phrases import Phrases
from assistant.parsing.tokens import Token
from assistant.terms import Amount, Now

_SIZE_MARKS = {"x", "by", "*"}
_BOUNDS = {
    "at most": ("no more than", "not more than", "at most", "under", "less than", "up to", "below", "max", "maximum", "at or below", "not over"),
    "at least": ("at least", "no less than", "not less than", "over", "more than", "above", "minimum", "north of"),
    "about": ("about", "around", "roughly", "approx", "approximately", "~", "maybe", "almost", "nearly", "close to"),
}  # fmt: skip
_BOUND_WORDS = sorted(
    ((tuple(phrase.split()), bound) for bound, phrases in _BOUNDS.items() for phrase in phrases),
    key=lambda entry: -len(entry[0]),
)
_TAGS = {"n": "N", "nitrogen": "N", "p2o5": "P2O5", "phosphate": "P2O5", "phosphorus": "P2O5", "k2o": "K2O", "potash": "K2O", "potassium": "K2O",
         "seed": "seed", "seeds": "seed", "product": "product", "fertilizer": "product", "fert": "product", "water": "water", "lime": "lime", "pls": "PLS"}  # fmt: skip
_TAG_FILLERS = {"of", "actual", "total", "elemental", "quick", "release", "soluble"}
_COUNTED = {"piece", "pieces", "bag", "bags", "sack", "sacks", "jug", "jugs", "tank", "tanks", "tankful", "tankfuls", "bale", "bales", "pallet", "pallets", "roll", "rolls", "load", "loads",
            "can", "cans", "pass", "passes", "hole", "holes", "core", "cores", "spot", "spots", "people", "guys", "bottle", "bottles", "bucket", "buckets", "lawns", "lawn", "yards"}  # fmt: skip
_THOUSANDS = {"k", "m", "ksf", "msf", "thousand", "grand"}
_PER_THOUSAND = "1000 sq_ft"
_GLUE = {"and", "plus", ",", "&", "+"}


@dataclass(frozen=True, slots=True)
class Reading:
    """An amount with the tokens it was read from."""

    amount: Amount
    start: int
    end: int


def amounts_of(tokens: list[Token], measures: Phrases, now: Now, text: str, taken: set[int]) -> list[Reading]:
    """All amounts of a line, in order. `taken` are tokens of protected names."""
    reader = _Reader(tokens, measures, now, text, taken)
    return list(_joined(reader.all(), tokens))


class _Reader:
    def __init__(self, tokens: list[Token], measures: Phrases, now: Now, text: str, taken: set[int]) -> None:
        self.tokens, self.measures, self.now, self.source, self.taken = tokens, measures, now, text, taken
        self.texts = [token.text for token in tokens]

    def all(self) -> Iterator[Reading]:
        i = 0
        while i < len(self.tokens):
            found = None if i in self.taken else self._at(i)
            if found is None:
                i += 1
                continue
            amount, end = found
            start = i
            bound, start = self._bound_before(start)
            span = (self.tokens[start].start, self.tokens[end - 1].end)
            yield Reading(
                replace(amount, bound=amount.bound or bound, span=span, text=self.source[span[0] : span[1]]), start, end
            )
            i = end

    def _at(self, i: int) -> tuple[Amount, int] | None:
        token = self.tokens[i]
        if token.kind == "mark" and token.text not in ("$", "-", "~"):
            return None
        if token.kind == "number":
            analysis = self._analysis(i)
            if analysis:
                return analysis
        if token.text == "-" and self._negative(i):
            found = self._at(i + 1)
            if found and isinstance(found[0].low, float) and isinstance(found[0].high, float):
                return replace(found[0], low=-found[0].low, high=-found[0].high), found[1]
            return None
        if token.text == "$":
            return self._money(i)
        if token.text == "ph":
            return self._ph(i)
        day = self._program_day(i)
        if day:
            return day
        dated = date_at(self.tokens, i, self.now)
        if dated and not self._is_fraction_with_unit(i, dated[1]):
            return dated
        return self._frequency(i) or self._size(i) or self._measured(i)

    # analyses, days, money, pH -------------------------------------------------------------------------------------

    def _analysis(self, i: int) -> tuple[Amount, int] | None:
        """Three numbers by hyphens, slashes or dots: each plausible as a share, together at most 100."""
        if (
            i
            and self.tokens[i - 1].text in ("-", "/", ".")
            and not self.tokens[i].spaced
            and i > 1
            and self.tokens[i - 2].kind == "number"
        ):
            return None
        values, j, mark = [self.tokens[i].value], i + 1, ""
        while len(values) < 3:
            if j + 1 >= len(self.tokens) or self.texts[j] not in ("-", "/") or self.tokens[j + 1].kind != "number":
                return None
            if mark and self.texts[j] != mark:
                return None
            mark = self.texts[j]
            values.append(self.tokens[j + 1].value)
            j += 2
        if mark == "/" and (self.tokens[j - 1].text.startswith("20") and len(self.texts[j - 1]) == 4):
            return None
        if j < len(self.texts) and self.texts[j] == mark and not self.tokens[j].spaced:
            return None
        if any(value > 82 for value in values) or sum(values) > 100 or sum(values) == 0:
            return None
        if (
            mark == "/"
            and 1 <= values[0] <= 12
            and 20 <= values[2] <= 39
            and len(self.texts[i + 4]) == 2
            and values[1] <= 31
            and values[0] + values[1] < 45
        ):
            return None  # 9/12/26 is a day
        return Amount("analysis", tuple(values), tuple(values)), j

    def _program_day(self, i: int) -> tuple[Amount, int] | None:
        """`day 21`: a day of the program, counted from seed day."""
        if (
            self.texts[i] == "day"
            and i + 1 < len(self.tokens)
            and self.tokens[i + 1].kind == "number"
            and self.texts[i + 1].isdigit()
        ):
            value = self.tokens[i + 1].value
            return Amount("count", value, value, ("day",), of="program_day"), i + 2
        return None

    def _money(self, i: int) -> tuple[Amount, int] | None:
        number = number_at(self.tokens, i + 1)
        if not number:
            return None
        value, j = number
        if j < len(self.texts) and self.texts[j] == "k" and not self.tokens[j].spaced:
            value, j = value * 1000, j + 1
        high, j = self._range_end(value, j)
        return self._priced(Amount("money", value, high, ("USD",)), j)

    def _priced(self, amount: Amount, j: int) -> tuple[Amount, int]:
        per, end = self._denominator(j, money=True)
        return (replace(amount, kind="price", per=per), end) if per else (amount, j)

    def _ph(self, i: int) -> tuple[Amount, int] | None:
        j = i + 1
        while j < len(self.texts) and self.texts[j] in (
            "of",
            "is",
            "at",
            ":",
            "was",
            "about",
            "around",
            "reads",
            "came",
            "back",
            "test",
        ):
            j += 1
        number = number_at(self.tokens, j)
        if number and 2 <= number[0] <= 12:
            high, end = self._range_end(number[0], number[1])
            return Amount("ph", number[0], high), end
        return None

    def _frequency(self, i: int) -> tuple[Amount, int] | None:
        """3 times a day, twice a week."""
        fixed = {"once": 1.0, "twice": 2.0}.get(self.texts[i])
        if fixed:
            value, j = fixed, i + 1
        else:
            number = number_at(self.tokens, i)
            if not number or self._word(number[1]) not in ("times", "x", "time"):
                return None
            value, j = number[0], number[1] + 1
        if self._word(j) in ("a", "per", "every", "each", "/"):
            unit = {"day": "day", "week": "week", "month": "month", "year": "year", "season": "year"}.get(
                self._word(j + 1)
            )
            if unit:
                return Amount("frequency", value, value, per=unit), j + 2
        return None

    # sizes ---------------------------------------------------------------------------------------------------------

    def _length(self, i: int) -> tuple[float, str, int] | None:
        """One side: 45, 45 ft, 18'9", with its unit where said."""
        number = number_at(self.tokens, i)
        if not number:
            return None
        value, j = number
        unit = self._unit(j, ("length",))
        if not unit:
            return value, "", j
        name, j = unit[0], unit[1]
        if name == "ft":
            inches = number_at(self.tokens, j)
            if inches and inches[0] < 12:
                behind = self._unit(inches[1], ("length",))
                if behind and behind[0] == "inch":
                    from assistant.units import Q, plain

                    return plain(Q(value, "ft") + Q(inches[0], "inch"), "ft"), "ft", behind[1]
        return value, name, j

    def _size(self, i: int) -> tuple[Amount, int] | None:
        first = self._length(i)
        if not first:
            return None
        sides = [first]
        j = first[2]
        while len(sides) < 3 and self._size_mark(j):
            behind = j + 1
            while self._word(behind) in ("long", "wide", "about", "a"):
                behind += 1
            side = self._length(behind)
            if not side:
                break
            sides.append(side)
            j = side[2]
        if len(sides) < 2:
            return self._long_and_wide(first)
        return self._sides(sides), j

    def _size_mark(self, j: int) -> bool:
        if self._word(j) in ("long", "wide") and self._word(j + 1) in _SIZE_MARKS:
            return False
        return self._word(j) in _SIZE_MARKS

    def _long_and_wide(self, first: tuple[float, str, int]) -> tuple[Amount, int] | None:
        """60 ft long and 25 ft wide."""
        j = first[2]
        if self._word(j) not in ("long", "wide", "deep", "across") or not first[1]:
            return None
        behind = j + 1
        while self._word(behind) in ("and", "by", "x", ",", "about"):
            behind += 1
        second = self._length(behind)
        if (
            not second
            or self._word(second[2]) not in ("wide", "long", "deep", "across")
            or self._word(second[2]) == self._word(j)
        ):
            return None
        return self._sides([first, second]), second[2] + 1

    def _sides(self, sides: list[tuple[float, str, int]]) -> Amount:
        """The last unit said spreads to the left; feet where none was said."""
        units, unit = [""] * len(sides), ""
        for n in range(len(sides) - 1, -1, -1):
            unit = sides[n][1] or unit
            units[n] = unit or "ft"
        values = tuple(side[0] for side in sides)
        if len(set(units)) > 1:
            from assistant.units import Q, plain

            values = tuple(plain(Q(value, one), units[0]) for value, one in zip(values, units, strict=True))
        return Amount("size", values, values, (units[0],), assumed="" if any(side[1] for side in sides) else "feet")

    # a number with its unit ------------------------------------------------------------------------------------------

    def _measured(self, i: int) -> tuple[Amount, int] | None:
        number = number_at(self.tokens, i) or self._one_and_a_share(i)
        if not number:
            return None
        low, j = number
        low, j, thousands = self._times_thousand(low, j)
        unit = self._unit(j)
        if (
            unit
            and self._word(unit[1]) == "and"
            and self._word(unit[1] + 1) == "a"
            and self._word(unit[1] + 2) in ("half", "quarter")
        ):
            low += 0.5 if self._word(unit[1] + 2) == "half" else 0.25
            unit = (unit[0], unit[1] + 3, unit[2])
        if unit and self._range_follows(unit[1]):  # 3 lb to 5 lb
            again = self._measured(unit[1] + 1)
            if again and isinstance(again[0].low, float) and again[0].units == unit[2].units and not again[0].bound:
                return replace(again[0], low=low), again[1]
        high, j_high = self._range_end(low, j)
        if j_high != j:
            j = j_high
            high, j, more = self._times_thousand(high, j)
            if more and not thousands:
                low = low * 1000 if low < high / 100 else low
            thousands = thousands or more
            unit = self._unit(j)
        if not unit:
            return self._without_unit(low, high, j, thousands)
        made = replace(unit[2], low=float(low), high=float(high))
        j = unit[1]
        if made.kind == "money":
            return self._priced(made, j)
        if made.kind in ("mass", "volume"):
            return self._per_and_tag(made, j)
        if (
            made.kind == "length"
            and self._word(j) in ("per", "an", "/", "a")
            and self._word(j + 1) in ("hour", "hr", "h", "day", "week", "min", "minute", "second")
        ):
            per = {"hr": "hour", "h": "hour", "min": "minute"}.get(self._word(j + 1), self._word(j + 1))
            return replace(made, kind="speed", per=per), j + 2
        if made.units == ("ft",) and made.low >= 1000:
            return replace(made, kind="area", units=("sq_ft",), assumed="feet taken as square feet"), j
        if made.kind == "length" and self._word(j) in ("deep", "thick", "of"):
            return replace(made, kind="depth"), j + (self._word(j) != "of")
        return made, j

    def _one_and_a_share(self, i: int) -> tuple[float, int] | None:
        """`a gallon and a half`: the article counts as one only where a share follows its unit."""
        if self._word(i) in ("a", "an"):
            unit = self._unit(i + 1)
            if unit and self._word(unit[1]) == "and" and self._word(unit[1] + 1) == "a":
                return 1.0, i + 1
        if self._word(i) in ("pound", "gallon", "quart", "pint", "kilo"):  # (a) pound of nitrogen per thousand
            end = self._tag(i + 1)[1]
            if self._denominator(end)[0]:
                return 1.0, i
        return None

    def _range_follows(self, j: int) -> bool:
        return (
            self._word(j) in ("to", "-", "through")
            and j + 1 < len(self.tokens)
            and (self.tokens[j + 1].kind == "number")
        )

    def _times_thousand(self, value: float, j: int) -> tuple[float, int, bool]:
        if self._word(j) in ("k", "ksf") and not (self._word(j) == "k" and self._word(j + 1) == "2"):
            return value * 1000, j + 1, True
        return value, j, False

    def _range_end(self, low: float, j: int) -> tuple[float, int]:
        mark = self._word(j)
        if mark in ("to", "-", "or", "through", "and") and (mark != "and" or self._between(j)):
            end = number_at(self.tokens, j + 1)
            if end and end[0] > low and not (mark == "or" and end[0] > 3 * low):
                return end[0], end[1]
        return low, j

    def _between(self, j: int) -> bool:
        return any(self._word(n) == "between" for n in range(max(0, j - 4), j))

    def _without_unit(self, low: float, high: float, j: int, thousands: bool) -> tuple[Amount, int]:
        word = self._word(j)
        if thousands:
            return Amount("area", low, high, ("sq_ft",), assumed="k taken as 1,000 sq ft"), j
        if word in _COUNTED:
            return Amount(
                "count", float(low), float(high), of=word.rstrip("s") if word not in ("pass", "passes") else "pass"
            ), j + 1
        per, end = self._denominator(j)
        if per == _PER_THOUSAND:
            return Amount("rate", float(low), float(high), per=per), end
        if word in ("of", "the") and 0 < low < 1 and low == high:
            return Amount("fraction", low, high), j
        if word == "ph" and 2 <= low <= 12:
            return Amount("ph", low, high), j + 1
        return Amount(
            "fraction"
            if 0 < low < 1 and low == high and self.texts[j - 1] in ("half", "quarter", "third")
            else "number",
            float(low),
            float(high),
        ), j

    def _unit(self, j: int, kinds: tuple[str, ...] = ()) -> tuple[str, int, Amount] | None:
        """The unit at token j as an empty Amount of its kind. An open word brings several units."""
        if (
            self._word(j) == "-"
            and j + 1 < len(self.tokens)
            and not self.tokens[j].spaced
            and not self.tokens[j + 1].spaced
        ):
            j += 1  # 30-lb
        if self._word(j) == "°":
            j += 1
            if j >= len(self.tokens) or self.texts[j] not in ("f", "c"):
                return (
                    ("degF", j, Amount("temperature", 0.0, 0.0, ("degF",), assumed="Fahrenheit")) if not kinds else None
                )
        if (
            self._word(j) in ("of", "a", "an")
            and self._word(j - 1) in ("half", "quarter", "quarters", "couple", "third", "thirds")
        ) or (self._word(j) in ("a", "an") and self._is_share(j)):
            j += 1
            if self._word(j) in ("a", "an"):
                j += 1
        if j >= len(self.tokens) or j in self.taken:
            return None
        found = self.measures.at(self.tokens, j, self.texts)
        if not found:
            return None
        readings, end = found
        readings = [reading for reading in readings if not kinds or reading[0] in kinds]
        if not readings:
            return None
        if len(self.texts[j]) == 1 and self.texts[j].isalpha() and not kinds and self._bad_letter(j, end):
            return None
        if self.texts[j] == "in" and self._in_is_a_preposition(end):
            return None
        kind, unit, per = readings[0]
        units = tuple(reading[1] for reading in readings)
        assumed = (
            "Fahrenheit"
            if kind == "temperature" and self.texts[end - 1] not in ("f", "c", "fahrenheit", "celsius", "centigrade")
            else ""
        )
        return unit, end, Amount(kind, 0.0, 0.0, units, per=per, assumed=assumed)

    def _is_share(self, j: int) -> bool:
        return j >= 3 and self.texts[j - 2] == "/" and self.tokens[j - 1].kind == "number"

    def _bad_letter(self, j: int, end: int) -> bool:
        """A letter is a unit only close behind its number; `s` and `h` never with a blank."""
        return (
            end == j + 1
            and self.tokens[j].spaced
            and self.texts[j] in ("s", "h", "m", "c")
            and not (self.texts[j] == "c" and end == len(self.tokens))
        )

    def _in_is_a_preposition(self, end: int) -> bool:
        """`5 in the back`, `3 in metric`: no inches."""
        return self._word(end) in (
            "the",
            "my",
            "a",
            "front",
            "back",
            "metric",
            "all",
            "our",
            "that",
            "this",
            "it",
            "total",
        )

    def _per_and_tag(self, amount: Amount, j: int) -> tuple[Amount, int]:
        """Denominator and nutrient tag in either order: lb N per 1000, lb per 1000 of N."""
        of, j = self._tag(j)
        per, end = self._denominator(j)
        if per:
            j = end
            if not of:
                of, j = self._tag(j)
            unit_kind = (
                "rate"
                if per in (_PER_THOUSAND, "acre", "ha", "sq_ft", "m**2", "sq_yd")
                or " sq_" in per
                or per.endswith("m**2")
                else "mix"
            )
            if per in ("minute", "hour", "second"):
                unit_kind = "flow"
            if per in ("bag", "day", "week", "month", "year"):
                return replace(amount, of=of), j
            return replace(amount, kind=unit_kind, per=per, of=of), j
        return replace(amount, of=of), j

    def _tag(self, j: int) -> tuple[str, int]:
        n = j
        while self._word(n) in _TAG_FILLERS:
            n += 1
        tag = _TAGS.get(self._word(n), "")
        if tag and not (self._word(n) in ("n",) and self.tokens[n].spaced is False and False):
            return tag, n + 1
        return "", j

    def _denominator(self, j: int, money: bool = False) -> tuple[str, int]:
        """per 1,000, /k, /M, a thousand, per acre, an acre, per 100 sq ft, per gallon, an hour."""
        mark = self._word(j)
        if (
            mark in ("on", "for", "to")
            and self._word(j + 1) in ("every", "each", "the")
            and self._word(j + 2) in ("thousand", "1000", "1,000", "gallon")
        ):
            j, mark = j + 1, "per"
        if mark not in ("/", "per", "a", "an", "each", "every", "the", "p"):
            return "", j
        n = j + 1
        if mark == "the" and self._word(n) != "acre" and self._word(n) != "thousand":
            return "", j
        if self._word(n) in ("a", "each", "every"):
            n += 1
        word = self._word(n)
        if (word in _THOUSANDS and not (word == "m" and self._word(n + 1) == "2")) or word in ("1000", "1,000"):
            if word == "m" and mark == "a":
                return "", j
            end = n + 1
            area = self._area_unit(end)
            if word in ("k", "m", "thousand", "1000", "1,000"):
                end = area[1] if area and area[0] == "sq_ft" else end
                if area and area[0] != "sq_ft":
                    return f"1000 {area[0]}", area[1]
            if self._word(end) in ("ft", "feet", "foot", "square", "sq"):
                end += 1
            return _PER_THOUSAND, end
        if n < len(self.tokens) and self.tokens[n].kind == "number" and mark in ("/", "per"):
            count, end = number_at(self.tokens, n) or (0, n)
            area = self._area_unit(end)
            if area:
                return f"{count:g} {area[0]}", area[1]
            unit = self._unit(end, ("volume", "mass"))
            if unit:
                return f"{count:g} {unit[0]}", unit[1]
            return "", j
        if mark == "a" and word in ("day", "week", "month", "year", "season") and not money:
            return "", j
        unit = self._unit(n, ("area", "volume", "mass", "duration"))
        if unit and word not in ("in", "s"):
            if word == "m" and unit[1] == n + 1:
                return _PER_THOUSAND, n + 1
            return unit[0], unit[1]
        if word == "a" and mark in ("/", "per"):
            return "acre", n + 1
        if word in ("bag", "jug", "bale", "pallet", "roll", "tank", "load", "sack", "man"):
            return word, n + 1
        return "", j

    def _area_unit(self, j: int) -> tuple[str, int] | None:
        unit = self._unit(j, ("area",))
        return (unit[0], unit[1]) if unit else None

    # helpers -------------------------------------------------------------------------------------------------------

    def _word(self, j: int) -> str:
        return self.texts[j] if 0 <= j < len(self.texts) else ""

    def _negative(self, i: int) -> bool:
        """A minus sign that stands before a number and behind no number or word it could join."""
        follows = i + 1 < len(self.tokens) and self.tokens[i + 1].kind == "number" and not self.tokens[i + 1].spaced
        return follows and self.tokens[i].spaced

    def _is_fraction_with_unit(self, i: int, end: int) -> bool:
        """1/2 acre is half an acre, 3/4 in is no day in March."""
        if end - i != 3 or self.texts[i + 1] != "/":
            return False
        number = number_at(self.tokens, i)
        if not number or number[1] != end or number[0] >= 1:
            return False
        return self._unit(end) is not None or self._word(end) in ("of", "a", "an", "the", "cup", "n")

    def _bound_before(self, i: int) -> tuple[str, int]:
        for words, bound in _BOUND_WORDS:
            start = i - len(words)
            if start >= 0 and tuple(self.texts[start:i]) == words:
                return bound, start
        return "", i


def _joined(readings: Iterator[Reading], tokens: list[Token]) -> Iterator[Reading]:
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

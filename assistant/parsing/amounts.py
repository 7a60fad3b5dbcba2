"""Amounts in a line, read in one written order; the first rule that fits wins.

Analyses, then dates, sizes, money and pH, ranges and numbers with their unit, denominator and tag. What no rule
takes is a bare number: a latent reading that only a slot with the right role word, or the one open slot, may use.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace

from assistant.parsing import dates, numbers
from assistant.parsing.dates import date_at
from assistant.parsing.numbers import number_at
from assistant.parsing.phrases import Phrases
from assistant.parsing.readings import Reading, joined, wanted_ph
from assistant.parsing.tape import PER_THOUSAND, Tape
from assistant.parsing.tokens import Token
from assistant.terms import Amount, Now

_STOPS_A_NAME = {
    "for",
    "on",
    "and",
    "is",
    "at",
    "in",
    "to",
    "over",
    "covers",
    "how",
    "what",
    "or",
    "with",
    "a",
    "an",
}
_MOVED = {
    "push",
    "pushed",
    "move",
    "moved",
    "bump",
    "bumped",
    "delay",
    "delayed",
    "postpone",
    "slide",
    "shift",
    "bring",
    "back",
    "forward",
}
_SIZE_MARKS = {"x", "by", "*"}
_BOUNDS = {
    "at most": ("no more than", "not more than", "at most", "under", "less than", "up to", "below", "max", "maximum", "at or below", "not over"),
    "at least": ("at least", "no less than", "not less than", "over", "more than", "above", "minimum", "north of"),
    "about": ("about", "around", "roughly", "approx", "approximately", "~", "maybe", "almost", "nearly", "close to"),
}  # fmt: skip
_BOUND_BEHIND = {
    ("max",): "at most",
    ("maximum",): "at most",
    ("tops",): "at most",
    ("or", "less"): "at most",
    ("at", "most"): "at most",
    ("minimum",): "at least",
    ("or", "more"): "at least",
    ("at", "least"): "at least",
    ("or", "better"): "at least",
}
_BOUND_WORDS = sorted(
    ((tuple(phrase.split()), bound) for bound, phrases in _BOUNDS.items() for phrase in phrases),
    key=lambda entry: -len(entry[0]),
)
COUNTED = {"man", "men", "worker", "workers", "person", "piece", "pieces", "bag", "bags", "sack", "sacks", "jug", "jugs", "tank", "tanks", "tankful", "tankfuls", "bale", "bales", "pallet", "pallets", "roll", "rolls", "load", "loads",
            "can", "cans", "mower", "mowers", "machine", "machines", "sprinkler", "sprinklers", "pass", "passes", "hole", "holes", "core", "cores", "spot", "spots", "people", "guys", "bottle", "bottles", "bucket", "buckets", "lawns", "lawn", "yards", "pace", "paces", "steps", "strides",
            "axes", "sides", "cycle", "cycles", "directions", "corners", "legs", "lots"}  # fmt: skip
_DOTTED = re.compile(r"[1-9]\d{0,2}\.\d{3}")  # 5.000 sq ft has a dot between the thousands
_TWO_OF_THREE = re.compile(r"\d{1,2}\.\d{1,2}")
_HALF_DAYS, _HALF_DAY = ("am", "pm"), 12
_MINUTES = 60  # in an hour
_INCHES = 12  # in a foot
_FROSTY = 30  # degrees: `minus 2` is a cold night, `minus 60` is none
_WHOLE = 100  # percent
# what is bought by the piece: a figure without a measure for one of them is its price
_BOUGHT_BY = {"cu_yd", "sq_ft", "bag", "sack", "bale", "pallet", "ton", "roll", "load", "jug"}
_DEAREST = 1000
_SHOP_PRICE = re.compile(r"\d+\.(?:[4-9]9|9[578])")  # what nothing but a price ends in
_BEFORE_AN_INCH = {"for", "get", "apply", "need", "rained", "fell", "got"}  # `need an inch`
_WORK_AN_HOUR = 1000  # so much `an hour` is ground, less is wages
_MOST_SHARE = 60  # percent of one nutrient, in an analysis that is spoken
_BAGS = {"bag", "bags", "sack", "sacks", "jug", "jugs"}
_APPLICATIONS = ("applications", "apps", "rounds")
_GRASS = {"lawn", "grass", "turf", "sod"}
_DRY = {"powder", "wettable", "granules", "granule", "granular", "dry", "wp", "wdg"}
_GLUE = {"and", "plus", ",", "&", "+"}
_BEGINNINGS = dates.BEGINNINGS | {"minus", "triple", "ph", "p", "every", "once", "twice"}  # words an amount begins with


def one_of(word: str) -> str:
    """`bags` are counted in bags: the singular of what is counted."""
    return "pass" if word in ("pass", "passes") else word.rstrip("s")


def amounts_of(tokens: list[Token], measures: Phrases, now: Now, text: str, taken: set[int]) -> list[Reading]:
    """All amounts of a line, in order. `taken` are tokens of protected names."""
    reader = _Reader(tokens, measures, now, text, taken)
    return wanted_ph(list(joined(reader.all(), tokens)), tokens)


class _Reader:
    def __init__(self, tokens: list[Token], measures: Phrases, now: Now, text: str, taken: set[int]) -> None:
        self.tokens, self.now, self.source = tokens, now, text
        self.tape = Tape(tokens, measures, taken)
        self.free: tuple[int, ...] = ()  # tokens inside the amount in hand that name something

    def all(self) -> Iterator[Reading]:
        i = 0
        while i < len(self.tokens):
            found = None if i in self.tape.taken else self._at(i)
            if found is None:
                i += 1
                continue
            amount, end = found
            if amount.kind == "date" and not self.tape.taken.isdisjoint(range(i, end)):
                i += 1  # `the 2nd feed` is no day
                continue
            start = i
            bound, start = self._bound_before(start)
            if not bound:
                bound, end = self._bound_after(end)
            span = (self.tokens[start].start, self.tokens[end - 1].end)
            made = replace(amount, bound=amount.bound or bound, span=span, text=self.source[span[0] : span[1]])
            free, self.free = self.free, ()
            within = self._analysis_within(free)  # 3 lb of 32-0-4 per 1000
            yield Reading(made, start, end, () if within else free)
            if within:
                yield within
            i = end

    def _analysis_within(self, free: tuple[int, ...]) -> Reading | None:
        """The analysis that stands between an amount and its denominator."""
        for place in free:
            found = self._analysis(place) if self.tokens[place].kind == "number" else None
            if found:
                span = (self.tokens[place].start, self.tokens[found[1] - 1].end)
                return Reading(replace(found[0], span=span, text=self.source[span[0] : span[1]]), place, found[1])
        return None

    def _at(self, i: int) -> tuple[Amount, int] | None:
        token = self.tokens[i]
        if not self._may_begin(token):
            return None
        spoken = self._spoken_analysis(i)
        if spoken:
            return spoken
        if token.kind == "number":
            shares = self._shares(i)
            if shares:
                return shares
            analysis = self._analysis(i)
            if analysis:
                return analysis
        if token.text == "-" and self._negative(i):
            found = self._at(i + 1)
            if found and isinstance(found[0].low, float) and isinstance(found[0].high, float):
                return replace(found[0], low=-found[0].low, high=-found[0].high), found[1]
            return None
        if token.text == "minus" and (not i or self.tokens[i - 1].kind != "number"):
            found = self._at(i + 1) if i + 1 < len(self.tokens) else None
            if found and found[0].kind == "temperature" and float(found[0].high) <= _FROSTY:
                return replace(found[0], low=-float(found[0].high), high=-float(found[0].low)), found[1]
        if token.text == "triple" and i + 1 < len(self.tokens) and self.tokens[i + 1].kind == "number":
            share = self.tokens[i + 1].value
            if 5 <= share <= 20:  # triple 13
                return Amount("analysis", (share,) * 3, (share,) * 3), i + 2
        if token.text == "$":
            return self._money(i)
        if token.text == "ph":
            return self._ph(i)
        if token.text == "p" and self.tape.word(i + 1) == "h" and not self.tape.unit(i + 2):  # dictated
            return self._ph(i + 1)
        day = self._program_day(i)
        if day:
            return day
        if token.text == "0" and self.tape.word(i - 1) == "day":
            return None  # `day 0 was Aug 30` names seed day
        dated = date_at(self.tokens, i, self.now)
        if dated and not self._is_fraction_with_unit(i, dated[1]):
            return dated
        return self._clock(i) or self._frequency(i) or self._size(i) or self._measured(i)

    def _clock(self, i: int) -> tuple[Amount, int] | None:
        """`4pm`, `6:30 am`: a time of the day."""
        token, j = self.tokens[i], i + 1
        minutes = 0.0
        if self.tape.word(j) == ":" and j + 1 < len(self.tokens) and self._minutes(j + 1):
            minutes, j = self.tokens[j + 1].value, j + 2
        half = self.tape.word(j)
        if (
            token.kind != "number"
            or half not in _HALF_DAYS
            or not token.text.isdigit()
            or not 1 <= token.value <= _HALF_DAY
        ):
            return None
        hours = token.value % _HALF_DAY + (_HALF_DAY if half == "pm" else 0) + minutes / _MINUTES
        return Amount("clock", hours, hours), j + 1

    def _may_begin(self, token: Token) -> bool:
        """False for nearly all words: no rule need be tried on them. `gallon per thousand` begins with its unit."""
        if token.kind == "word":
            return token.text in _BEGINNINGS or token.text in self.tape.measures.table
        return token.kind == "number" or token.text in ("$", "-", "~")

    # analyses, days, money, pH -------------------------------------------------------------------------------------

    def _shares(self, i: int) -> tuple[Amount, int] | None:
        """`90/10`, `80/10/10`: two to five numbers by slashes that make a hundred are the parts of a mix."""
        values, j = [self.tokens[i].value], i + 1
        while j + 1 < len(self.tokens) and self.tape.texts[j] == "/" and self.tokens[j + 1].kind == "number":
            values.append(self.tokens[j + 1].value)
            j += 2
        if (
            not 2 <= len(values) <= 5
            or sum(values) != _WHOLE
            or min(values) <= 0
            or (i and self.tape.texts[i - 1] == "/")
        ):
            return None
        shares = tuple(float(value) for value in values)
        return Amount("percents", shares, shares, ("percent",)), j

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
        dotted = self.tokens[i + 1] if i + 1 < len(self.tokens) else None
        if (
            dotted
            and dotted.kind == "number"
            and not dotted.spaced
            and dotted.text[0] == "."
            and _TWO_OF_THREE.fullmatch(self.tokens[i].text)
        ):
            parts = tuple(float(part) for part in f"{self.tokens[i].text}{dotted.text}".split("."))  # 10.10.10
            return (Amount("analysis", parts, parts), i + 2) if 0 < sum(parts) <= _WHOLE else None
        values, j, mark = [self.tokens[i].value], i + 1, ""
        while len(values) < 3:
            if j + 1 >= len(self.tokens) or self.tape.texts[j] not in ("-", "/") or self.tokens[j + 1].kind != "number":
                return None
            if mark and self.tape.texts[j] != mark:
                return None
            mark = self.tape.texts[j]
            values.append(self.tokens[j + 1].value)
            j += 2
        if mark == "/" and (self.tokens[j - 1].text.startswith("20") and len(self.tape.texts[j - 1]) == 4):
            return None
        if j < len(self.tape.texts) and self.tape.texts[j] == mark and not self.tokens[j].spaced:
            return None
        if any(value > 82 for value in values) or sum(values) > 100 or sum(values) == 0:
            return None
        if (
            mark == "/"
            and 1 <= values[0] <= 12
            and 20 <= values[2] <= 39
            and len(self.tape.texts[i + 4]) == 2
            and values[1] <= 31
            and values[0] + values[1] < 45
        ):
            return None  # 9/12/26 is a day
        return Amount("analysis", tuple(values), tuple(values)), j

    def _spoken_analysis(self, i: int) -> tuple[Amount, int] | None:
        """`18 24 12`, `twenty eight zero zero`, `24 oh 6`: three numbers in a row that can be an analysis and nothing else."""
        before = self.tape.word(i - 1)
        if i and (self.tokens[i - 1].kind == "number" or before in numbers.WORDS or before in ("p", "k")):
            return None  # P2O5
        values: list[float] = []
        j = i
        while len(values) < 3:
            number = (0.0, j + 1) if values and self.tape.word(j) in ("oh", "o") else number_at(self.tokens, j)
            if not number or number[0] != int(number[0]) or not 0 <= number[0] <= _MOST_SHARE:
                return None
            if self.tokens[j].text not in numbers.SPELLED and number[1] != j + 1:
                return None
            values.append(number[0])
            j = number[1]
        figures_left = j < len(self.tokens) and (self.tokens[j].kind == "number" or self.tape.word(j) in numbers.WORDS)
        if figures_left or self.tape.unit(j) or not 0 < sum(values) <= _WHOLE or self.tape.word(j) in _SIZE_MARKS:
            return None
        shares = tuple(float(value) for value in values)
        return Amount("analysis", shares, shares), j

    def _program_day(self, i: int) -> tuple[Amount, int] | None:
        """`day 21`: a day of the program, counted from seed day."""
        if (
            self.tape.texts[i] == "day"
            and i + 1 < len(self.tokens)
            and self.tokens[i + 1].kind == "number"
            and self.tape.texts[i + 1].isdigit()
            and self.tape.word(i + 2) not in ("/", "-")
            and not (self.tape.texts[i + 1] == "0" and self.tape.word(i + 2) in ("is", "was", "=", ":"))
        ):
            value = self.tokens[i + 1].value
            return Amount("count", value, value, of="program_day"), i + 2
        return None

    def _money(self, i: int) -> tuple[Amount, int] | None:
        number = number_at(self.tokens, i + 1)
        if not number:
            return None
        value, j = number
        if j < len(self.tape.texts) and self.tape.texts[j] == "k" and not self.tokens[j].spaced:
            value, j = value * 1000, j + 1
        high, j = self._range_end(value, j)
        return self._priced(Amount("money", value, high, ("USD",)), j)

    def _priced(self, amount: Amount, j: int) -> tuple[Amount, int]:
        per, end = self.tape.denominator(j, money=True)
        if per in ("year", "month", "week"):  # what a crew or a lawn costs in a year is a sum
            return amount, end
        if (
            not per
            and self.tape.word(j) in ("a", "per", "/")
            and self.tape.word(j + 1) in ("foot", "ft")
            and self._of_an_area()
        ):
            per, end = "sq_ft", j + 2  # 18k at 45 cents a foot
        if not per:
            per, end = self._a_yard(j)
        return (replace(amount, kind="price", per=per), end) if per else (amount, j)

    def _a_yard(self, j: int) -> tuple[str, int]:
        """`31 a yard` of what is sold loose: a cubic one."""
        loose = self.tape.word(j) in ("a", "per", "/") and self.tape.word(j + 1) in ("yd", "yard")
        return ("cu_yd", j + 2) if loose and "sod" not in self.tape.texts else ("", j)

    def _of_an_area(self) -> bool:
        """True where the line tells an area in thousands, acres or square feet: a foot is a square one there."""
        texts = self.tape.texts
        return any(
            self.tape.area_unit(n) or (texts[n] == "k" and not self.tokens[n].spaced) for n in range(1, len(texts))
        )

    def _ph(self, i: int) -> tuple[Amount, int] | None:
        j = i + 1
        while j < len(self.tape.texts) and self.tape.texts[j] in (
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
            "from",
        ):
            j += 1
        number = number_at(self.tokens, j)
        if number and 2 <= number[0] <= 12:
            low, end = number
            high, end = (low, end) if self.tape.word(end) == "to" else self._range_end(low, end)  # from a pH to another
            return Amount("ph", low, high), end
        return None

    def _frequency(self, i: int) -> tuple[Amount, int] | None:
        """3 times a day, twice a week, every other day."""
        if [self.tape.word(i + n) for n in range(3)] == ["every", "other", "day"]:
            return Amount("duration", 2.0, 2.0, ("day",)), i + 3
        fixed = {"once": 1.0, "twice": 2.0}.get(self.tape.texts[i])
        if fixed:
            value, j = fixed, i + 1
        else:
            number = number_at(self.tokens, i)
            if not number or self.tape.word(number[1]) not in ("times", "x", "time", *_APPLICATIONS):
                return None
            value, j = number[0], number[1] + 1
        if self.tape.word(j) in ("a", "per", "every", "each", "/"):
            unit = {"day": "day", "week": "week", "month": "month", "year": "year", "season": "year"}.get(
                self.tape.word(j + 1)
            )
            if unit:
                return Amount("frequency", value, value, per=unit), j + 2
        if self.tape.word(j - 1) in ("twice", "times", *_APPLICATIONS) and value == int(value) and value > 1:
            return Amount("count", value, value, of="time"), j
        return None

    # sizes ---------------------------------------------------------------------------------------------------------

    def _length(self, i: int) -> tuple[float, str, int] | None:
        """One side: 45, 45 ft, 18'9", with its unit where said."""
        number = number_at(self.tokens, i)
        if not number:
            return None
        value, j = number
        unit = self.tape.unit(j, ("length",))
        if not unit:
            return value, "", j
        name, j = unit[0], unit[1]
        if name == "ft":
            joint = self.tape.word(j) == "-" and not self.tokens[j].spaced
            inches = number_at(self.tokens, j + 1 if joint else j)
            if inches and inches[0] < 12 and (joint or not self.tokens[j].spaced) and not self.tape.unit(inches[1]):
                return value + inches[0] / _INCHES, "ft", inches[1]  # 8-foot-6, 8'6
            if inches and inches[0] < 12:
                behind = self.tape.unit(inches[1], ("length",))
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
            while self.tape.word(behind) in ("long", "wide", "about", "a") and not number_at(self.tokens, behind):
                behind += 1
            side = self._length(behind)
            if not side:
                break
            sides.append(side)
            j = side[2]
        if len(sides) < 2:
            return self._long_and_wide(first)
        if not any(side[1] for side in sides) and self.tape.unit(j, ("mass", "volume", "duration")):
            return None  # 6 x 50 lb bags, 3x 10 min
        return self._sides(sides), j

    def _size_mark(self, j: int) -> bool:
        if self.tape.word(j) in ("long", "wide") and self.tape.word(j + 1) in _SIZE_MARKS:
            return False
        return self.tape.word(j) in _SIZE_MARKS

    def _long_and_wide(self, first: tuple[float, str, int]) -> tuple[Amount, int] | None:
        """60 ft long and 25 ft wide."""
        j = first[2]
        if self.tape.word(j) not in ("long", "wide", "deep", "across") or not first[1]:
            return None
        behind = j + 1
        while self.tape.word(behind) in ("and", "by", "x", ",", "about"):
            behind += 1
        second = self._length(behind)
        if (
            not second
            or self.tape.word(second[2]) not in ("wide", "long", "deep", "across")
            or self.tape.word(second[2]) == self.tape.word(j)
        ):
            return None
        return self._sides([first, second]), second[2] + 1

    def _sides(self, sides: list[tuple[float, str, int]]) -> Amount:
        """The last unit said spreads to the left; feet where none was said."""
        units, unit = [""] * len(sides), next((side[1] for side in reversed(sides) if side[1]), "")
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
        low, j = self._spaced_thousands(*number)
        low, j, thousands = self._times_thousand(low, j)
        if low == 1 and self.tape.word(j) in (":", "to") and "injector" in self.tape.texts:  # a 1:100 injector
            low, j = number_at(self.tokens, j + 1) or (low, j)
        if self.tape.word(j) == "yard" and self.tape.word(j + 1) == "of" and self.tape.word(j + 2) not in _GRASS:
            return Amount("volume", float(low), float(low), ("cu_yd",), assumed="cubic yards"), j + 1
        unit = self.tape.unit(j)
        if (
            unit
            and self.tape.word(unit[1]) == "and"
            and self.tape.word(unit[1] + 1) == "a"
            and self.tape.word(unit[1] + 2) in ("half", "quarter")
        ):
            low += 0.5 if self.tape.word(unit[1] + 2) == "half" else 0.25
            unit = (unit[0], unit[1] + 3, unit[2])
        if unit and self._range_follows(unit[1]):  # 3 lb to 5 lb
            again = self._measured(unit[1] + 1)
            if again and isinstance(again[0].low, float) and again[0].units == unit[2].units and not again[0].bound:
                return replace(again[0], low=low), again[1]
        high, j_high = self._range_end(low, j)
        if j_high != j:
            j = j_high
            high, j, more = self._times_thousand(high, j)
            if (more and not thousands) or self.tape.word(j - 1) in ("thousand", "grand"):
                low = low * 1000 if low < high / 100 else low  # 4 to 5k, 4 to 5 thousand
            thousands = thousands or more
            unit = self.tape.unit(j)
        if not unit and self.tape.word(i) == "one" and j == i + 1 and self.tape.word(j) not in COUNTED:
            return None  # `the liquid one` counts nothing
        counted = "bags" in self.tape.texts or self.tape.word(i - 1) == "many"  # how many 50s
        if self.tape.word(j) == "s" and not self.tokens[j].spaced and counted:
            return Amount(
                "mass", low, high, ("lb",), of="bag", assumed="bags by the pound"
            ), j + 1  # 50s, how many bags
        if unit and thousands and unit[2].units == ("inch",):
            unit = None  # 11.2k in bags of 50
        if not unit:
            return self._without_unit(low, high, j, thousands)
        made = replace(unit[2], low=float(low), high=float(high))
        j = unit[1]
        if made.units == ("hour",) and j < len(self.tokens) and not self.tokens[j].spaced and self._minutes(j):
            hours = low + self.tokens[j].value / _MINUTES
            return replace(made, low=hours, high=hours), j + 1  # 1h30
        if made.units == ("yd",) and self.tape.word(j) == "of" and self.tape.word(j + 1) not in _GRASS:
            return replace(made, kind="volume", units=("cu_yd",), assumed="cubic yards"), j  # a yard of compost
        if made.kind == "money":
            return self._priced(made, j)
        figure = self.tokens[i].text
        if made.units in (("sq_ft",), ("m**2",)) and _DOTTED.fullmatch(figure) and low == high:
            return replace(made, low=low * 1000, high=high * 1000, assumed=f"{figure} taken as {low * 1000:,.0f}"), j
        if made.kind == "percent":
            return self._percent_of(made, j)
        if made.units == ("sq_in",) and made.low == 1:
            return None  # `on one square inch` asks for it
        worked = self.tape.denominator(j + 1 if self.tape.word(j) == "in" else j)
        if made.kind == "area" and worked[0] == "hour":  # an acre an hour, 15,000 sq ft in an hour
            return replace(made, kind="work_rate", per="hour"), worked[1]
        if made.kind in ("mass", "volume"):
            return self._per_and_tag(made, j)
        in_an_hour = self.tape.texts[j : j + 3] in (["in", "a", "hour"], ["in", "an", "hour"], ["in", "one", "hour"])
        j += in_an_hour  # six tenths of an inch in an hour
        if (
            made.kind == "length"
            and (in_an_hour or self.tape.word(j) in ("per", "an", "/", "a"))
            and self.tape.word(j + 1) in ("hour", "hr", "h", "day", "week", "min", "minute", "second")
        ):
            per = {"hr": "hour", "h": "hour", "min": "minute"}.get(self.tape.word(j + 1), self.tape.word(j + 1))
            return replace(made, kind="speed", per=per), j + 2
        if made.units == ("ft",) and made.low >= 1000:
            return replace(made, kind="area", units=("sq_ft",), assumed="feet taken as square feet"), j
        if made.kind == "length" and self.tape.word(j) in ("deep", "thick", "of"):
            return replace(made, kind="depth"), j + (self.tape.word(j) != "of")
        return made, j

    def _percent_of(self, made: Amount, j: int) -> tuple[Amount, int]:
        """`20% P2O5`; a percentage of nitrogen alone is an analysis: `35% nitrogen`."""
        of, end = self.tape.tag(j)
        if of == "N" and made.single:
            share = (float(made.low), 0.0, 0.0)
            return Amount("analysis", share, share, assumed="nitrogen only"), end
        return (replace(made, of=of), end) if of in ("P2O5", "K2O") else (made, j)

    def _is_off_by(self, i: int, j: int) -> bool:
        """`a week later`, `move it back a week`, `postpone the feed a week`: a week that a day is off by."""
        if self.tape.word(j) in ("late", "early", "behind", "ahead", "later", "earlier", "sooner"):
            return True
        often = self.tape.unit(i - 1) or self.tape.word(i - 1) in ("times", "once", "twice")  # an inch a week
        return not often and not _MOVED.isdisjoint(self.tape.texts[:i])

    def _one_and_a_share(self, i: int) -> tuple[float, int] | None:
        """`a gallon and a half`: the article counts as one only where a share follows its unit."""
        if self.tape.word(i) in ("a", "an"):
            unit = self.tape.unit(i + 1)
            if unit and self.tape.word(unit[1]) == "and" and self.tape.word(unit[1] + 1) == "a":
                return 1.0, i + 1
            if unit and unit[2].kind == "duration" and self._is_off_by(i, unit[1]):
                return 1.0, i + 1
            if unit and unit[0] in ("cu_yd", "cu_ft"):  # a cubic yard of compost
                return 1.0, i + 1
            if unit and unit[2].kind == "mass" and self.tape.tag(unit[1])[0] in ("N", "P2O5", "K2O"):  # a pound of N
                return 1.0, i + 1
            after = self.tape.word(unit[1]) if unit else ""
            wanted = after in ("of", "on", "over") or self.tape.word(i - 1) in _BEFORE_AN_INCH
            if unit and unit[0] == "inch" and wanted:  # an inch of water
                return 1.0, i + 1
            if unit and unit[2].kind == "area" and unit[0] in ("acre", "ha"):  # on an acre
                return 1.0, i + 1
            if self.tape.holds_others(i):
                return 1.0, i + 1
        if i == 0 and self.tape.word(1) == "of" and self.tape.word(0) in ("quart", "pint", "gallon"):
            return 1.0, 0  # `quart of product in the jar`
        if self.tape.word(i) in ("pound", "gallon", "quart", "pint", "kilo"):  # (a) pound of nitrogen per thousand
            end = self.tape.tag(i + 1)[1]
            if self.tape.denominator(end)[0]:
                return 1.0, i
        return None

    def _per_behind_a_name(self, j: int) -> tuple[str, int, tuple[int, ...]]:
        """`1 quart of 2,4-D per acre`, `1 lb of wettable powder per 100 gallons`: what it is of stands in between."""
        for n in range(j, min(j + 6, len(self.tokens))):
            each = self.tape.word(n) in ("on", "for", "in") and self.tape.word(n + 1) in ("each", "every")
            if (self.tape.word(n) in ("per", "/") or each) and n > j:
                per, end = self.tape.denominator(n + each)
                return (per, end, tuple(range(j, n))) if per else ("", j, ())
            if self.tokens[n].kind == "number" and self.tape.word(n - 1) == "of" and self._analysis(n):
                return self._per_behind_an_analysis(j, n)
            stop = self.tokens[n].text in _STOPS_A_NAME or (self.tokens[n].kind != "word" and n not in self.tape.taken)
            if stop and not (self.tape.word(n) == "-" and n > j):
                break
        return "", j, ()

    def _per_behind_an_analysis(self, j: int, n: int) -> tuple[str, int, tuple[int, ...]]:
        """`20 oz of 20-10-20 per gallon`."""
        found = self._analysis(n)
        end = found[1] if found else n
        per, stop = self.tape.denominator(end) if self.tape.word(end) in ("per", "/") else ("", j)
        return (per, stop, tuple(range(j, end))) if per else ("", j, ())

    def _range_follows(self, j: int) -> bool:
        return (
            self.tape.word(j) in ("to", "-", "through")
            and j + 1 < len(self.tokens)
            and (self.tokens[j + 1].kind == "number")
        )

    def _spaced_thousands(self, value: float, j: int) -> tuple[float, int]:
        """`4 200 sq ft`: three figures behind a blank belong to the number where an area follows."""
        behind = self.tokens[j] if j < len(self.tokens) else None
        if (
            behind
            and behind.kind == "number"
            and behind.spaced
            and len(behind.text) == 3
            and value == int(value) < 1000
        ):
            if self.tape.area_unit(j + 1):
                return value * 1000 + behind.value, j + 1
        return value, j

    def _times_thousand(self, value: float, j: int) -> tuple[float, int, bool]:
        if self.tape.word(j) == "k" and j + 1 < len(self.tokens) and not self.tokens[j + 1].spaced:
            behind = self.tokens[j + 1]
            if behind.kind == "number" and len(behind.text) == 1 and behind.text not in "2" and value < _WHOLE:
                return value * 1000 + behind.value * 100, j + 2, True  # 4k3
            if behind.text == "2" and self.tape.area_unit(j + 2):
                return value * 1000 + 200, j + 2, True
        if self.tape.word(j) == "m" and not self.tokens[j].spaced and self.tape.word(j + 1) != "2":
            if self.source[self.tokens[j].start] == "M":  # 8M: thousands of square feet, in the trade
                return value * 1000, j + 1, True
        potash = self.tape.word(j) == "k" and self.tape.word(j + 1) == "2" and not self.tokens[j + 1].spaced  # 2 k2o
        if self.tape.word(j) in ("k", "ksf") and not potash:
            return value * 1000, j + 1, True
        return value, j, False

    def _range_end(self, low: float, j: int) -> tuple[float, int]:
        mark = self.tape.word(j)
        if mark in ("to", "-", "or", "through", "and") and (mark != "and" or self._between(j)):
            end = number_at(self.tokens, j + 1)
            if end and self.tokens[j + 1].kind == "number" and self._analysis(j + 1):
                return low, j  # `$36 or 46-0-0`
            if end and end[0] > low and not (mark == "or" and end[0] > 3 * low):
                return end[0], end[1]
        return low, j

    def _between(self, j: int) -> bool:
        return any(self.tape.word(n) == "between" for n in range(max(0, j - 4), j))

    def _without_unit(self, low: float, high: float, j: int, thousands: bool) -> tuple[Amount, int]:
        if self.tape.word(j) == "-" and self.tape.word(j + 1) in COUNTED and not self.tokens[j].spaced:
            j += 1  # 3-man
        word = self.tape.word(j)
        if thousands and self.tape.denominator(j)[0] == "hour":  # 18k/hr
            return Amount("work_rate", low, high, ("sq_ft",), per="hour"), self.tape.denominator(j)[1]
        if thousands:
            return Amount("area", low, high, ("sq_ft",), assumed="k taken as 1,000 sq ft"), j
        may = word == "can" and self.tape.word(j + 1) in ("i", "we", "you", "the", "my", "it", "they")
        if word in COUNTED and not may:  # `soil is 42 can i seed`
            return Amount("count", float(low), float(high), of=one_of(word)), j + 1
        if word in ("cents", "cent", "¢"):
            return self._priced(Amount("money", low / 100, high / 100, ("USD",), assumed="cents"), j + 1)
        ahead = number_at(self.tokens, j + 1 if word == "x" else j)
        if ahead and low == int(low) and 1 < low <= 50:  # three 50 lb sacks
            held = self.tape.unit(ahead[1], ("mass", "volume"))
            if held and self.tape.word(held[1]) in _BAGS:
                return Amount("count", float(low), float(high), of=one_of(self.tape.word(held[1]))), j
        if word == "n" and 0 < high <= 10 and not thousands:  # `at .7 N`: pounds, in the trade
            return self._per_and_tag(Amount("mass", float(low), float(high), ("lb",), assumed="pounds"), j)
        if word in ("seed", "seeds", "seedlings"):  # 227,000 seeds per pound, 10 seeds to the square inch
            behind = j + 2 if self.tape.word(j + 1) in ("of", "land", "in") else j + 1
            per, end = self.tape.denominator(behind)
            if per:
                return Amount("seedlings" if word == "seedlings" else "seeds", float(low), float(high), per=per), end
        per, end = self.tape.denominator(j)
        if per == "hour" and low >= _WORK_AN_HOUR:  # a crew mows 15,000 an hour
            return Amount("work_rate", low, high, ("sq_ft",), per="hour", assumed="square feet"), end
        if per in ("lb", "kg", "hour") and low == high and not self._distance(end):
            return Amount("price", float(low), float(high), ("USD",), per=per, assumed="dollars"), end
        piece, after = (per, end) if per else self._a_yard(j)
        priced = piece in _BOUGHT_BY or piece.startswith("1000 gal")
        if priced and low == high and 0 < low < _DEAREST and not (piece == "sq_ft" and low == int(low)):  # 24 holes
            return Amount("price", float(low), float(high), ("USD",), per=piece, assumed="dollars"), after
        if low == high and _SHOP_PRICE.fullmatch(self.tokens[j - 1].text):  # `20 pounds for 64.99`
            return self._priced(Amount("money", float(low), float(high), ("USD",), assumed="dollars"), j)
        if per == PER_THOUSAND:
            return Amount("rate", float(low), float(high), per=per), end
        if word in ("of", "the") and 0 < low < 1 and low == high:
            return Amount("fraction", low, high), j
        if word == "ph" and 2 <= low <= 12:
            return Amount("ph", low, high), j + 1
        return Amount(
            "fraction"
            if 0 < low < 1 and low == high and self.tape.texts[j - 1] in ("half", "quarter", "third")
            else "number",
            float(low),
            float(high),
        ), j

    def _per_and_tag(self, amount: Amount, j: int) -> tuple[Amount, int]:
        """Denominator and nutrient tag in either order: lb N per 1000, lb per 1000 of N."""
        of, j = self.tape.tag(j)
        if (
            not of
            and amount.kind == "mass"
            and self.tape.word(j) == "p"
            and self.tape.word(j + 1) in ("on", "to", "in", "per", "")
        ):
            of, j, amount = "P2O5", j + 1, replace(amount, assumed="P taken as P2O5")
        per, end = self.tape.denominator(j)
        if not per:
            per, end, self.free = self._per_behind_a_name(j)
            graded = any(self.tape.word(n) in _DRY for n in self.free) or any(
                self.tokens[n].kind == "number" and self.tape.word(n + 1) == "-" for n in self.free
            )
            if graded and amount.units == ("floz", "oz") and per in ("gal", "L"):
                amount = replace(amount, kind="mass", units=("oz",))  # a fertilizer dissolved is weighed
        if per:
            j = end
            if not of:
                of, j = self.tape.tag(j)
            unit_kind = (
                "rate"
                if per in (PER_THOUSAND, "acre", "ha", "sq_ft", "m**2", "sq_yd")
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

    def _minutes(self, j: int) -> bool:
        return self.tokens[j].text.isdigit() and len(self.tokens[j].text) == 2 and self.tokens[j].value < _MINUTES

    def _distance(self, end: int) -> bool:
        """`15000 an hour` mown is no wage."""
        return bool({"mow", "mows", "mowing", "cover", "covers", "acres", "feet", "ft"} & set(self.tape.texts)) or (
            self.tape.word(end) in ("zone", "head")
        )

    # helpers -------------------------------------------------------------------------------------------------------

    def _negative(self, i: int) -> bool:
        """A minus sign that stands before a number and behind no number or word it could join."""
        follows = i + 1 < len(self.tokens) and self.tokens[i + 1].kind == "number" and not self.tokens[i + 1].spaced
        return follows and self.tokens[i].spaced

    def _is_fraction_with_unit(self, i: int, end: int) -> bool:
        """1/2 acre is half an acre, 3/4 in is no day in March."""
        if end - i != 3 or self.tape.texts[i + 1] != "/":
            return False
        number = number_at(self.tokens, i)
        if not number or number[1] != end or number[0] >= 1:
            return False
        return self.tape.unit(end) is not None or self.tape.word(end) in ("of", "a", "an", "the", "cup", "n")

    def _bound_after(self, end: int) -> tuple[str, int]:
        """`30 min max`, `30 or more`."""
        for words, bound in _BOUND_BEHIND.items():
            if self.tape.texts[end : end + len(words)] == list(words):
                return bound, end + len(words)
        return "", end

    def _bound_before(self, i: int) -> tuple[str, int]:
        for words, bound in _BOUND_WORDS:
            start = i - len(words)
            asked = words == ("about",) and self.tape.word(start - 1) in ("what", "how")  # `what about 5,000`
            if start >= 0 and tuple(self.tape.texts[start:i]) == words and not asked:
                return bound, start
        return "", i

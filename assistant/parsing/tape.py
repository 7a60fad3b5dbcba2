"""Units, denominators and tags as they are said: what stands behind a number."""

from __future__ import annotations

from assistant.parsing.dates import MONTHS
from assistant.parsing.numbers import number_at
from assistant.parsing.phrases import Phrases
from assistant.parsing.tokens import Token
from assistant.terms import EACH, FAHRENHEIT, Amount

_ARE_IN = {"are", "there", "is", "go"}  # how many ounces are there in a gallon
_SHARE_WORDS = ("half", "quarter", "quarters", "couple", "third", "thirds", "tenth", "tenths", "eighth", "eighths")
PER_THOUSAND = "1000 sq_ft"
_TAGS = {"n": "N", "nitrogen": "N", "p2o5": "P2O5", "phosphate": "P2O5", "phosphorus": "P2O5", "k2o": "K2O", "potash": "K2O", "potassium": "K2O",
         "seed": "seed", "seeds": "seed", "product": "product", "fertilizer": "product", "fert": "product", "water": "water", "lime": "lime", "pls": "PLS"}  # fmt: skip
_SPELLED_TAGS = (("P2O5", ("p", "2", "o", "5")), ("K2O", ("k", "2", "o")))
_ELEMENTS = {"P2O5": "P", "K2O": "K"}  # actual phosphorus is the element, phosphorus on a bag is the oxide
_OF_ELEMENT = {"phosphorus", "potassium"}
_TAG_FILLERS = {"of", "actual", "total", "elemental", "quick", "release", "soluble"}
_FURTHER = ("additional", "further", "extra")
_ACROSS = {"diameter", "dia", "radius", "across", "wide", "long", "deep", "high", "tall", "x", "by"}
_AFTER_A_MONTH = {"", ",", ".", "?", ";", "and", "so"}  # `0.9 in May`, not `an inch may do`
_THOUSANDS = {"thou", "k", "m", "ksf", "msf", "thousand", "grand"}


_OVER = {"on", "for", "to", "in", "over", "into"}
_GALLON = {"gallon", "gal"}
_VESSELS = {"jug", "jugs", "sprayer", "tank", "bucket", "container", "can", "bottle", "sprayers"}


class Tape:
    """A line's tokens with the units that can be read off them. `taken` are tokens of protected names."""

    def __init__(self, tokens: list[Token], measures: Phrases, taken: set[int]) -> None:
        self.tokens, self.measures, self.taken = tokens, measures, taken
        self.texts = [token.text for token in tokens]

    def word(self, j: int) -> str:
        return self.texts[j] if 0 <= j < len(self.texts) else ""

    def unit(self, j: int, kinds: tuple[str, ...] = ()) -> tuple[str, int, Amount] | None:
        """The unit at token j as an empty Amount of its kind. An open word brings several units."""
        if (
            self.word(j) == "-"
            and j + 1 < len(self.tokens)
            and not self.tokens[j].spaced
            and not self.tokens[j + 1].spaced
        ):
            j += 1  # 30-lb
        if self.word(j) == "°":
            j += 1
            if j >= len(self.tokens) or self.texts[j] not in ("f", "c"):
                return (
                    ("degF", j, Amount("temperature", 0.0, 0.0, ("degF",), assumed=FAHRENHEIT)) if not kinds else None
                )
        if (self.word(j) in ("of", "a", "an") and self.word(j - 1) in {*_SHARE_WORDS, "th"}) or (
            self.word(j) in ("a", "an") and self._is_share(j)
        ):
            j += 1
            if self.word(j) in ("a", "an"):
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
        if (
            self.texts[j] == "in"
            and self._in_is_a_preposition(end)
            and (self.word(end) == "the" or self.word(end + 1) not in ("day", "week", "hour"))
        ):
            return None
        kind, unit, per = readings[0]
        units = tuple(reading[1] for reading in readings)
        assumed = (
            FAHRENHEIT
            if kind == "temperature" and self.texts[end - 1] not in ("f", "c", "fahrenheit", "celsius", "centigrade")
            else ""
        )
        return unit, end, Amount(kind, 0.0, 0.0, units, per=per, assumed=assumed)

    def _is_share(self, j: int) -> bool:
        return j >= 3 and self.texts[j - 2] == "/" and self.tokens[j - 1].kind == "number"

    def _bad_letter(self, j: int, end: int) -> bool:
        """A letter is a unit only close behind its number; `s` seldom with a blank."""
        if self.texts[j] == "m" and self.word(end) in _ACROSS:
            return False  # `4.5 m diameter`
        if self.texts[j] == "h" and j and self.tokens[j - 1].kind == "number":
            return False
        if self.texts[j] == "s" and self.word(j - 2) == "in":
            return False  # `88 ft in 15 s`
        return end == j + 1 and self.tokens[j].spaced and self.texts[j] in ("s", "m")

    def _in_is_a_preposition(self, end: int) -> bool:
        """`5 in the back`, `3 in metric`, `0.9 in June`, `4.2k in acres`: no inches."""
        unit = self.measures.at(self.tokens, end, self.texts) if end < len(self.tokens) else None
        if unit and self.word(unit[1]) in ("", "?"):
            return True
        return self.word(end) in (
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
        ) or (self.word(end) in MONTHS and (self.word(end) != "may" or self.word(end + 1) in _AFTER_A_MONTH))

    def tag(self, j: int) -> tuple[str, int]:
        n = j
        while self.word(n) in _TAG_FILLERS:
            n += 1
        for written, spelled in _SPELLED_TAGS:
            if tuple(self.texts[n : n + len(spelled)]) == spelled:
                return written, n + len(spelled)
        if self.word(n) in ("p", "k") and self.word(n + 1) in ("/", "per"):
            return ("P2O5" if self.word(n) == "p" else "K2O"), n + 1
        tag = _TAGS.get(self.word(n), "")
        if tag in _ELEMENTS and {"actual", "elemental"} & set(self.texts[j:n]) and self.word(n) in _OF_ELEMENT:
            return _ELEMENTS[tag], n + 1
        if tag:
            return tag, n + 1
        return "", j

    def denominator(self, j: int, money: bool = False) -> tuple[str, int]:
        """per 1,000, /k, /M, a thousand, per acre, an acre, per 100 sq ft, per gallon, an hour."""
        mark = self.word(j)
        if mark == "." and not self.tokens[j].spaced and self.word(j + 1) in ("per", "/", "a", "an"):
            j, mark = j + 1, self.word(j + 1)  # lbs. per
        if (mark in _OVER and self._is_over(j + 1)) or (
            mark == "to" and self.word(j + 1) in ("cover", "do", "treat") and self._is_thousand(j + 2)
        ):
            j, mark = j + 1, "per"
        elif self.word(j - 1) in _GALLON and self.word(j - 2) in ("one", "a", "1") and (begins := self._covers(j)):
            j, mark = begins - 1, "per"  # `one gallon covers 500 sq ft`
        elif mark == "acre" and self.unit(j - 1, ("mass", "volume")):
            j, mark = j - 1, "per"  # `2,000 lb acre`
        elif mark == "for" and self.word(j + 1) in ("each", "every") and self.word(j + 2) in _FURTHER:
            j, mark = j + 1, "each"
        if mark not in ("/", "per", "a", "an", "each", "every", "the", "p"):
            return "", j
        n = j + 1
        if mark == "the" and self.word(n) != "acre" and self.word(n) != "thousand":
            return "", j
        if self.word(n) in ("a", "each", "every", *_FURTHER):
            n += 1
        word = self.word(n)
        if (word in _THOUSANDS and not (word == "m" and self.word(n + 1) == "2")) or word in ("1000", "1,000"):
            if word == "m" and mark == "a":
                return "", j
            end = n + 1
            area = self.area_unit(end)
            if word in ("k", "m", "thousand", "1000", "1,000"):
                end = area[1] if area and area[0] == "sq_ft" else end
                if area and area[0] != "sq_ft":
                    return f"1000 {area[0]}", area[1]
            if self.word(end) in ("ft", "feet", "foot", "square", "sq"):
                end += 1
            held = self.unit(end, ("volume", "mass")) if word in ("thousand", "1000", "1,000") and not area else None
            if held and self.word(end) not in ("of", "in"):
                return f"1000 {held[0]}", held[1]  # $6 per 1,000 gallons
            return PER_THOUSAND, end
        if word in ("hundred", "ten", "five") and mark == "per":
            unit = self.unit(n + 1, ("volume", "area", "mass"))
            if unit:
                return f"{ {'hundred': 100, 'ten': 10, 'five': 5}[word] } {unit[0]}", unit[1]
        if n < len(self.tokens) and self.tokens[n].kind == "number" and mark in ("/", "per"):
            count, end = number_at(self.tokens, n) or (0, n)
            if not count:
                return "", j
            if count == 1 and self.word(end) in ("k", "m") and not self.tokens[end].spaced:
                return self.denominator_thousand(end)  # per 1k
            area = self.area_unit(end)
            if area:
                return f"{count:g} {area[0]}", area[1]
            unit = self.unit(end, ("volume", "mass"))
            if unit:
                return f"{count:g} {unit[0]}", unit[1]
            return "", j
        if mark == "a" and word in ("day", "week", "month", "year", "season") and not money:
            return "", j
        unit = self.unit(n, ("area", "volume", "mass", "duration"))
        if unit and word not in ("in", "s"):
            if word == "m" and unit[1] == n + 1:
                return PER_THOUSAND, n + 1
            return unit[0], unit[1]
        if mark in ("/", "per") and "a" in (word, self.word(n - 1)):
            return "acre", n + (word == "a")
        if word in EACH:
            return word, n + 1
        return "", j

    def _is_over(self, j: int) -> bool:
        """`(on) every 600 sq ft`, `(to) a gallon of water`, `(to) a thousand`: what an amount goes over."""
        word, following = self.word(j), self.word(j + 1)
        if word == "a":
            return following in ("thousand", *_GALLON) and self.word(j + 2) not in _VESSELS
        if word not in ("every", "each", "the"):
            return False
        if following in ("thousand", "1000", "1,000", "acre", *_GALLON):
            return True
        counted = j + 1 < len(self.tokens) and self.tokens[j + 1].kind == "number"
        return word != "the" and self.area_unit(j + 1 + counted) is not None

    def _is_thousand(self, j: int) -> bool:
        return self.word(j) in ("1000", "1,000") or (self.word(j) == "a" and self.word(j + 1) == "thousand")

    def _covers(self, j: int) -> int:
        """Where the area begins that `covers`, `does` or `goes over` speaks of; 0 where none does."""
        verb = 2 if (self.word(j), self.word(j + 1)) == ("goes", "over") else int(self.word(j) in ("covers", "does"))
        at = j + verb
        counted = verb and at < len(self.tokens) and self.tokens[at].kind == "number" and self.area_unit(at + 1)
        return at if counted else 0

    def denominator_thousand(self, k: int) -> tuple[str, int]:
        area = self.area_unit(k + 1)
        return PER_THOUSAND, area[1] if area and area[0] == "sq_ft" else k + 1

    def holds_others(self, i: int) -> bool:
        """True for the article of `how many ounces in a gallon`: one gallon, and no rate in each of them."""
        unit = self.unit(i + 1, ("volume", "mass", "length"))
        if not unit or self.word(i - 1) != "in" or self.word(unit[1]) not in ("", "?"):
            return False
        last = i - 2
        while self.word(last) in _ARE_IN:
            last -= 1
        return any(held and held[1] == last + 1 for held in (self.unit(k, (unit[2].kind,)) for k in (last, last - 1)))

    def area_unit(self, j: int) -> tuple[str, int] | None:
        unit = self.unit(j, ("area",))
        return (unit[0], unit[1]) if unit else None

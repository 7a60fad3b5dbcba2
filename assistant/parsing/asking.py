"""What a question asks for: a unit that stands without a number, and a `per` that belongs to no amount.

`How many fluid ounces per gallon`, `what is that per acre`, `what's my GPA` say in which measure the answer is wanted.
"""

from __future__ import annotations

from assistant.parsing import numbers
from assistant.parsing.amounts import COUNTED, one_of
from assistant.parsing.readings import Reading
from assistant.parsing.tape import Tape
from assistant.terms import Name

_BELONGS = {"per", "/", "a", "an", "each", "every", "half", "quarter", "one", "-"} | (numbers.WORDS - {"second"})
_FILLERS = {"of", "more", "total", "full", "the", "pure", "bulk", "actual", "whole", "dry", "lbs"}
_ONE_OF_IT = {"pound", "gallon", "quart", "pint", "kilo"}  # `pound of nitrogen per thousand` is one pound
_OF_A_PACK = {"-", "lb", "gal", "gallon", "pound", "#", "quart", "cu", "cubic", "ft", "foot"}  # `how many 2 cu ft bags`
_LEFT_ALONE = {"in", "sec", "degrees", "degree", "yards", "yd", "bar", "g", "feet", "foot", "second"}

_BEFORE_EACH = {"for", "on", "did", "does", "to", "over", "across", "will"}  # `for each 1,000 sq ft` is no area
_BEFORE_A_THOUSAND = {"that", "this"}  # `how much N is that a thousand` asks for a rate, and gives no area
_SEEDS = {"seed", "seeds", "seedlings"}

Found = tuple[Name, int, int]


def units_asked(tape: Tape, text: str) -> list[Found]:
    """Units without a number, with their denominator; the one behind `how many` comes first."""
    found: list[tuple[int, Found]] = []
    i = 0
    while i < len(tape.texts):
        if tape.word(i) == "#" and tape.word(i + 1) in ("/", "per") and (not i or tape.tokens[i - 1].kind != "number"):
            per, end = tape.denominator(i + 1)
            if per:  # at what #/k
                found.append((0, _name(tape, text, "in_unit.lb", i, end)))
                found.append((0, _name(tape, text, f"asked_per.{per}", i, end)))
                i = end
                continue
        behind_how = _behind_how_many(tape, i)
        mention = tape.measures.at(tape.tokens, i, tape.texts) if tape.tokens[i].kind == "word" else None
        plain = behind_how or bool(mention and (mention[1] > i + 1 or _turned_to(tape, i, mention[1])))
        if mention and not _free(tape, i, plain):
            i = mention[1]
            continue
        if mention:
            readings, end = mention
            kind, unit, per = readings[0]
            of, tagged = tape.tag(end)
            said, stop = tape.denominator(tagged)
            if said and not _figures_between(tape, i, stop) and not tape.holds_others(end + 1):
                per, end = said, stop
                if of in ("N", "P2O5", "K2O"):
                    found.append((1, _name(tape, text, f"nutrient.{of}", tagged - 1, tagged)))
            last = end >= len(tape.texts) or (end == len(tape.texts) - 1 and tape.word(end) == "?")
            if per or behind_how or last or kind != "duration":
                rank = 0 if behind_how else 1
                kind_of = "asked" if behind_how else "in_unit"
                found.append((rank, _name(tape, text, f"{kind_of}.{unit}", i, end)))
                if per:
                    found.append((rank, _name(tape, text, f"asked_per.{per}", i, end)))
            i = end
            continue
        before_how = tape.word(i + 1) in ("needed", "required", "?") or tape.texts[i + 1 : i + 3] == ["how", "many"]
        if behind_how and tape.word(i) == "k":
            found.append((0, _name(tape, text, "asked.sq_ft", i, i + 1)))  # how many k
        if (behind_how or before_how) and tape.word(i) in COUNTED and tape.word(i - 1) != "much":
            found.append((0, _name(tape, text, f"asked.{one_of(tape.word(i))}", i, i + 1)))
        i += 1
    return [one for _, one in sorted(found, key=lambda pair: pair[0])]


def per_asked(tape: Tape, text: str, amounts: list[Reading], taken: set[int]) -> tuple[list[Found], list[Reading]]:
    """A denominator that belongs to no amount: `what is that per acre`, `per 1,000 sq ft`. The area in it is none."""
    found: list[Found] = []
    inside = {place for reading in amounts for place in range(reading.start, reading.end)} | taken
    for i, word in enumerate(tape.texts):
        each = word in ("each", "every") and tape.word(i - 1) in _BEFORE_EACH
        each = each or (word == "a" and tape.word(i + 1) == "thousand" and tape.word(i - 1) in _BEFORE_A_THOUSAND)
        if not (word == "per" or each) or (i in inside and not each) or tape.word(i - 1) in _SEEDS:
            continue
        per, end = tape.denominator(i)
        if per:
            found.append(_name(tape, text, f"asked_per.{per}", i, end))
            amounts = [reading for reading in amounts if not i <= reading.start < end]
    return found, amounts


def _name(tape: Tape, text: str, identifier: str, start: int, end: int) -> Found:
    span = (tape.tokens[start].start, tape.tokens[end - 1].end)
    return Name(identifier, text[span[0] : span[1]], span), start, end


def _free(tape: Tape, i: int, plain: bool) -> bool:
    """True where a unit can stand for itself: no number before it, and not a letter or a word with other uses."""
    token = tape.tokens[i]
    if i in tape.taken or token.kind != "word" or (len(token.text) == 1 and not plain):
        return False
    before = tape.tokens[i - 1] if i else None
    glued = i > 1 and before and before.text == "k" and not before.spaced and tape.tokens[i - 2].kind == "number"
    if glued and tape.area_unit(i):
        return False  # 11k sqft
    if before and (
        before.kind == "number" or before.text in _BELONGS or (before.text == "of" and tape.word(i - 2) in _BELONGS)
    ):
        return False
    return plain or token.text not in _LEFT_ALONE | _ONE_OF_IT


def _turned_to(tape: Tape, i: int, end: int) -> bool:
    """`30 psi to bar`, `86 f in c`, `in l per ha`: the last measure of a line, behind the word that turns an amount into it."""
    return tape.word(i - 1) in ("in", "to", "into", "as") and tape.word(end) in ("", "?", "please", "per", "/")


def _behind_how_many(tape: Tape, i: int) -> bool:
    """`how many pounds`, `how many 50-lb bags`, `how many more gallons`."""
    place = i - 1
    while place >= 0 and (
        tape.word(place) in _FILLERS | numbers.WORDS
        or tape.tokens[place].kind == "number"
        or tape.word(place) in _OF_A_PACK
    ):
        place -= 1
    if tape.word(place) in ("what", "which", "whats", "what's", "my") and place == i - 1:
        return tape.word(place) != "my" or tape.word(place - 1) in ("what's", "whats", "is")  # what's my GPA
    return place >= 1 and tape.word(place) in ("many", "much") and tape.word(place - 1) == "how"


def _figures_between(tape: Tape, start: int, end: int) -> bool:
    """True where a figure stands between unit and denominator that is no part of the latter."""
    per = next((n for n in range(start, end) if tape.word(n) in ("per", "/", "a", "an")), end)
    return any(tape.tokens[n].kind == "number" for n in range(start, per))

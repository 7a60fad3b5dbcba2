"""Which question a line is: cues and slots against what was read. Best match wins, not first match.

The score of a reading is the sum of a few named features, so that `ask --explain` can print why it won:
  cued      it has a cue of this question
  slots     what the line gives for its slots
  strange   words that nobody knows, in the sentences it reads
  foreign   words that only other questions know
  loose     amounts and names that it has no slot for
  again     a second figure, or a second grass, where one counts
  asked     what `how many` asks for is of a kind that it gives, or not
  whole     by its cues it has all that it needs, and every figure has its place
  fits      nothing is missing, nothing is left over, and what it gives is in the measure asked for
  like      how near the line is to what people ask of it; `ahead`: by how much nearer than to anything else
  learned   what its signs say for it and against it, learned of all that is asked (knowledge/learned.txt)
  deed      it names what was done or seen, in a line that asks nothing
  unworded  it is a formula that the line has no cue of
  passed    figures that a sum without a cue would pass over
  asking    it would be kept on the record, and the line asks
  short     it is a turn of a talk, and the line is a story
  told      figures of the line that an entry of the practice passes over
  none      none of ours: with the share of unknown words, words of other trades, nearness to what was refused (`against`
            by what was learned), length
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from math import inf
from typing import Any, NamedTuple

from assistant.knowledge_base.words import OF_INTENTS
from assistant.parsing.line import Line
from assistant.parsing.near import FAR, Near
from assistant.parsing.readings import Reading
from assistant.parsing.revised import area_of
from assistant.parsing.vocabulary import Vocabulary
from assistant.terms import EACH, Amount, Name, Slot, instead_of

# fitted on tests/corpus (asked, dev, short, practice) and the arithmetic, each line against an index and a learning without it (tests/left_out.py):
# not on what is held back
WEIGHTS = {
    "cued": 1.81,
    "slots": 1.4,
    "strange": -2.24,
    "foreign": -0.25,
    "again": -12.0,  # not fitted: half an answer about two figures is worse than none
    "loose": -0.8,  # not fitted: what finds no place speaks against it
    "asked": 0.69,
    "whole": 0.73,
    "fits": 1.19,
    "like": 4.19,
    "deed": 3.0,  # not fitted: what was done is to be kept
    "unworded": -0.8,  # not fitted: a sum needs a word that says which
    "passed": -1.0,  # not fitted: a figure without a place makes it another sum
    "asking": -3.19,
    "short": -3.57,
    "ahead": -0.62,
    "learned": 4.48,
    "told": -1.0,  # not fitted: figures want a sum, not an entry
    "none": 5.68,
    "unknown": 3.71,
    "refused": 3.11,
    "against": 3.8,
    "outside": 1.08,
    "long": -3.54,
}
MOST = {"foreign": 25.0, "loose": 8.0}  # of these more says no more
_LIKE = 1.0  # so near a line must be to others for an intent whose cues it does not have
_LEARNED = -0.3  # or so much learned of it
_VERY_LIKE = 1.4  # and for one that lacks a word it must have
_ALMOST_SAME = 2.6  # and for one that never goes with a word of the line
_MOST_MISSING = 2  # figures that a formula may lack, to be asked for
_SHARE_LIKE = (
    ("loose", 1.0),
    ("again", 1.0),
    ("strange", 0.5),
)  # what counts of these where the angle has counted the words too
_BETWEEN_NO_PIECES = ("rate", "mix", "volume", "speed")
_SIZED = ("area", "size")
_NEVER_LOOSE = {
    "surface",
    "measured_as",
    "place",
    "lawn",
    "site",
    "nutrient",
    "asked",
    "in_unit",
    "asked_per",
    "form",
    "young",
    "others",
    "soil",
    "head",
    "cover",
    "factor",
    "method",
    "state",
    "task",
    "again",
}
_METRIC_AREAS = {"m**2", "ha"}
_LAST_KINDS = {"duration", "percent"}  # of these the one that is left fills the one input that is wanting
_LIGHT_KINDS = ("date", "count", "duration", "clock")  # said in passing more often than not
_ONE_COUNTS = {"rate", "mix", "mass", "money", "price", "analysis"}  # a second of these makes it another question
_MEASURED = {"length", "depth", "volume", "area", "size", "flow", "mix", "rate", "speed"}
OF_SIDES = {"ft", "yd", "m"}
_PASSED_BY = {
    "temp",
    "temps",
    "temperature",
    "to",
    "up",
    "at",
    "of",
    "tonight",
    "today",
    "tomorrow",
    "overnight",
    "is",
    "around",
}  # between a role word and its figure
_REACH = 4  # words that may stand between a role word and its amount, where its slot does not say less
_OF_A_CLASS = ".any_"  # `clover with triclopyr`: a name for a whole class gives way to one of its members
_LIGHT = {
    "~stock_word",
    "~greeting",
    "~it_is",
    "~today",
    "~plus",
    "~minus",
    "~what_if",
    "~planned",
    "~added",
    "~revise",
    "~put_right",
    "~same",
    "~as_well",
    "~doubt",
}  # words that go with any question
_STOPS = {",", ";", "."}
_OF_A_REPORT = {"organic", "matter", "om", "saturation"}
_OF_RAIN = {"rain", "rains", "chance", "storms", "showers", "thunderstorms"}
_NONE_OF_IT = {"no", "zero", "without"}  # `75 and no wind`: no figure is the wind's
_EACH_ONE = {"each", "ea", "apiece"}
_SIDES = (("length", "width"), ("spacing", "along"), ("base", "height"))  # slots that the two sides of a size may go to
_OUTSIDE = {"~elsewhere": 20.0}  # weight of words that belong to no question we can answer
_UNASKED = 1.5  # and of those that no cue uses


@dataclass(frozen=True)
class Candidate:
    """One intent that a line might be, with its slots and the features of its score."""

    intent: str
    slots: dict[str, Slot]
    features: dict[str, float] = field(default_factory=dict)

    @cached_property
    def score(self) -> float:
        """What speaks for it."""
        return sum(WEIGHTS[name] * min(value, MOST.get(name, value)) for name, value in self.features.items())


def with_likeness(
    readings: list[Candidate], line: Line, vocabulary: Vocabulary, found: Mapping[str, Near]
) -> list[Candidate]:
    """The readings by cue with how near the line is to what is asked of each, and those by likeness alone beside them."""
    there, by_cue, asked = _there(line), {one.intent for one in readings}, _asked(line, vocabulary)
    near_as, named = nearness(found), _nutrients(line)
    made: list[Candidate | None] = [
        Candidate(one.intent, one.slots, {**one.features, **near_as(OF_INTENTS + one.intent)}) for one in readings
    ]
    for name, near in found.items():
        intent = name.removeprefix(OF_INTENTS)
        if intent in by_cue or not name.startswith(OF_INTENTS):
            continue
        entry = vocabulary.intents[intent]
        least = _LIKE
        if entry["must"] and there.isdisjoint(entry["must"]):
            if not (line.terms or line.names) and all(one.amount.kind in _SIZED for one in line.amounts):
                continue  # areas alone are not what must have its words
            least = _VERY_LIKE
        if not there.isdisjoint(entry["unless"]):
            least = _ALMOST_SAME
        if named and _of_another_nutrient(named, entry):
            continue
        if near.like >= least or (least == _LIKE and near.learned >= _LEARNED):
            made.append(_by_likeness(line, vocabulary, intent, asked, near_as(name)))
    return [one for one in made if one]


def nearness(found: Mapping[str, Near]) -> Callable[[str], dict[str, float]]:
    """For an entry, how near a line is to it, and by how much its asks are nearer than those of anything else."""
    second, best = sorted((*(one.like for one in found.values()), FAR.like, FAR.like))[-2:]

    def features(entry: str) -> dict[str, float]:
        near = found.get(entry, FAR)
        ahead = max(0.0, near.like - second) if near.like == best else 0.0
        return {"like": near.like, "ahead": ahead, "learned": near.learned}

    return features


def without_veto(one: Candidate) -> float:
    """The score but for a second figure where one counts."""
    return one.score - WEIGHTS["again"] * one.features.get("again", 0.0)


class _Asked(NamedTuple):
    """What a line asks for: a unit, the one behind `how many`, and the kinds of the denominators."""

    unit: str
    kinds: frozenset[str]
    how_many: str
    per: frozenset[str]


def _asked(line: Line, vocabulary: Vocabulary) -> _Asked:
    units = [(name.type, name.id.partition(".")[2]) for name, _, _ in line.names]
    unit = next((unit for kind, unit in units if kind in ("asked", "in_unit")), "")
    per = {unit for kind, unit in units if kind == "asked_per" and unit not in EACH}
    return _Asked(
        unit,
        frozenset(vocabulary.asked_kinds.get(unit, ["count"])) if unit else frozenset(),
        next((unit for kind, unit in units if kind == "asked"), ""),
        frozenset(kind for one in per for kind in _kinds_of_denominator(one, vocabulary)),
    )


def candidates(line: Line, vocabulary: Vocabulary) -> list[Candidate]:
    """Every intent with a cue that fits, or with an answer in the measure that is asked for and all it needs; in no order."""
    found: list[Candidate] = []
    available, asked, there = _available(line), _asked(line, vocabulary), _there(line)
    named = _nutrients(line)
    for intent, worded in _worth_a_look(line, asked, vocabulary).items():
        entry = vocabulary.intents[intent]
        must = entry["must"]
        if (must and there.isdisjoint(must)) or not there.isdisjoint(entry["unless"]):
            continue  # it lacks the words that this goes with, or has one that this never goes with
        if named and _of_another_nutrient(named, entry):
            continue
        cues = [cue for cue in worded if _possible(cue["takes"], available)]
        measured = _measure_fits(asked, vocabulary, entry)
        whole = measured and _possible(entry["takes"], available)
        if not (cues or whole):
            continue
        slots, used = bind(line, entry)
        if _cannot_turn(asked, vocabulary, entry, slots):
            continue
        fits = measured and _whole(line, entry, slots, used)
        fired = [cue for cue in cues if all(_bound(slot, slots) for slot in cue["slots"])]
        if whole and fits and (len(entry["needs"]) > 1 or entry["must"]):
            fired.append({"words": [], "slots": entry["needs"]})
        if fired:
            features = _features(line, vocabulary, entry, fired, slots, used, fits)
            features["asked"] = _asked_kind(asked, vocabulary, entry)
            whole = bool(line.amounts) and not features["loose"] and not _open_needs(entry, slots)
            features |= {"cued": 1.0, "whole": float(whole and bool(entry["needs"]))}
            found.append(Candidate(intent, slots, features))
    return found


def _worth_a_look(line: Line, asked: _Asked, vocabulary: Vocabulary) -> dict[str, list[dict[str, Any]]]:
    """The intents that the line has all words of a cue of, with those cues, and the ones that answer in the measure asked for."""
    found: dict[str, list[dict[str, Any]]] = {}
    for term in ("", *line.terms):
        for intent, cue in vocabulary.cues_with(term):
            if line.terms.issuperset(cue["words"]):
                found.setdefault(intent, []).append(cue)
    for kind in asked.kinds or (vocabulary.by_measure if asked.per else ()):
        for intent in vocabulary.by_measure.get(kind, ()):
            found.setdefault(intent, [])
    return found


def _by_likeness(
    line: Line, vocabulary: Vocabulary, intent: str, asked: _Asked, near: dict[str, float]
) -> Candidate | None:
    """An intent that the line has no cue of: its words are weighed by the angle already, its figures must still fit. None
    where a formula lacks most of what it needs."""
    entry = vocabulary.intents[intent]
    if entry["keeps"] and not (line.names or line.strange or any(meaning.terms for meaning in line.meanings)):
        return None  # figures alone tell nothing that is to be kept
    slots, used = bind(line, entry)
    if entry["works"] and _missing(entry, slots) > _MOST_MISSING:
        return None
    if _cannot_turn(asked, vocabulary, entry, slots):
        return None
    features = _features(line, vocabulary, entry, [{"words": [], "slots": []}], slots, used, False)
    return Candidate(
        intent,
        slots,
        {
            "slots": features["slots"],
            **{name: features[name] * part for name, part in _SHARE_LIKE},
            "foreign": sum(_OUTSIDE.get(term, 0.0) for term in line.terms),
            "unworded": float(bool(entry["works"])),
            "passed": features["loose"] if entry["measures"] else 0.0,
            "asked": _asked_kind(asked, vocabulary, entry),
            **near,
        },
    )


def _nutrients(line: Line) -> set[str]:
    return {name.id.partition(".")[2] for name, _, _ in line.names if name.type == "nutrient"}


def _of_another_nutrient(named: set[str], entry: dict[str, Any]) -> bool:
    """True where of the nutrients that a line names none is one that the intent is about."""
    only = entry["slots"].get("nutrient", {}).get("only")
    return bool(only) and named.isdisjoint(only)


def _missing(entry: dict[str, Any], slots: dict[str, Slot]) -> int:
    """How many inputs it needs that the line does not give, and that cannot be taken from anywhere but the user."""
    elsewhere = {"practice", "program", "lawn"}
    return sum(
        name not in slots and elsewhere.isdisjoint(entry["slots"][name].get("from", ())) for name in entry["needs"]
    )


def _measure_fits(asked: _Asked, vocabulary: Vocabulary, entry: dict[str, Any]) -> bool:
    """True where the line asks for a measure, and an intent of one formula gives its answer in such a measure."""
    if not asked.kinds and not asked.per:
        return False
    if asked.unit not in entry["slots"].get("asked", {}).get("only", [asked.unit]) and asked.unit:
        return False
    return any(
        (kind in asked.kinds or (asked.per and not asked.kinds))
        and bool(of) == bool(asked.per)
        and (not of or bool(asked.per & _kinds_of_denominator(of, vocabulary)))
        for kind, of in entry["measures"]
    )


def _cannot_turn(asked: _Asked, vocabulary: Vocabulary, entry: dict[str, Any], slots: dict[str, Slot]) -> bool:
    """True for an intent that says an amount in another unit, where the one asked for measures something else."""
    turned = slots.get(entry["turns"])
    if turned is None:
        return bool(entry["turns"])
    return asked.kinds.isdisjoint(kind for unit in turned.amount.units for kind in vocabulary.unit_kinds.get(unit, ()))


def _kinds_of_denominator(per: str, vocabulary: Vocabulary) -> set[str]:
    """`1000 sq_ft` is an area; what is no measure, such as a bag, is of its own kind."""
    unit = per.rpartition(" ")[2]
    return set(vocabulary.unit_kinds.get(unit, [unit]))


def _whole(line: Line, entry: dict[str, Any], slots: dict[str, Slot], used: set[int]) -> bool:
    """True where the line gives all that the intent needs, and no amount besides."""
    left = [reading for place, reading in enumerate(line.amounts) if place not in used]
    return not _open_needs(entry, slots) and all(reading.amount.kind in _LIGHT_KINDS for reading in left)


def _open_needs(entry: dict[str, Any], slots: dict[str, Slot]) -> list[str]:
    """The inputs that an intent still needs; none that another one makes needless."""
    return [
        name for name in entry["needs"] if name not in slots and not instead_of(entry["slots"][name]) & slots.keys()
    ]


def _there(line: Line) -> set[str]:
    """The words, and the kinds of names and amounts of a line, as `unless` and `must` write them."""
    words = {term for term in line.terms if term.startswith("~")}  # a unit that is only asked for is no amount
    types = {"{" + name.type + "}" for name, _, _ in line.names}
    return words | types | {f"<{reading.amount.kind}>" for reading in line.amounts}


def _available(line: Line) -> set[str]:
    kinds = {reading.amount.kind for reading in line.amounts} | {name.type for name, _, _ in line.names}
    if "number" in kinds or "fraction" in kinds:
        kinds.add("*")
    return kinds


def _possible(takes: list[list[str]], available: set[str]) -> bool:
    """True where for each slot something is there that could fill it."""
    for kinds in takes:  # noqa: SIM110 (a hundred times a line: a generator costs twice as much)
        if available.isdisjoint(kinds):
            return False
    return True


def _bound(slot: str, slots: dict[str, Slot]) -> bool:
    name, _, only = slot.partition(":")
    return name in slots and (not only or str(slots[name].value).startswith(only + "."))


def _features(
    line: Line,
    vocabulary: Vocabulary,
    entry: dict[str, Any],
    fired: list[dict[str, Any]],
    slots: dict[str, Slot],
    used: set[int],
    fits: bool,
) -> dict[str, float]:
    weights = vocabulary.weights
    lexicon = set(entry["lexicon"])

    def worth(cue: dict[str, Any]) -> float:
        return sum(weights[word] for word in cue["words"]) + 0.5 * len(cue["slots"])

    best = max(fired, key=worth)
    cue_words = set(best["words"])
    extra = {term for term in line.terms if term in lexicon and term not in cue_words}
    clauses = line.clauses
    ours = {clauses[meaning.start] for meaning in line.meanings if set(meaning.terms) & (cue_words | extra)}
    ours |= {clauses[reading.start] for place, reading in enumerate(line.amounts) if place in used}
    names_used = {one for slot in slots.values() for one in slot.values if isinstance(one, str)}
    spans_used = {name.span for name, _, _ in line.names if name.id in names_used}
    foreign = 0.0
    for meaning in line.meanings:
        if (
            not meaning.terms
            or meaning.terms[0].startswith("<")
            or meaning.terms[0] in _LIGHT
            or set(meaning.terms) & lexicon
            or (meaning.end - meaning.start == 1 and line.words[meaning.start] in vocabulary.small)
        ):
            continue
        span = (line.tokens[meaning.start].start, line.tokens[meaning.end - 1].end)
        if span not in spans_used:
            foreign += max((weights.get(term, _OUTSIDE.get(term, _UNASKED)) for term in meaning.terms), default=0.0)
    strange = _share_strange(line, entry, clauses, ours)
    loose, again = _loose(line, entry, slots, used, names_used, spans_used)
    return {
        "slots": 0.6 * sum(1 for name in slots if name not in ("asked", "asked_per")),
        "strange": strange / 2 if fits else strange,  # words in passing, where all figures find their place
        "foreign": foreign,
        "loose": loose,
        "again": again,
        "fits": float(fits),
    }


def _loose(
    line: Line,
    entry: dict[str, Any],
    slots: dict[str, Slot],
    used: set[int],
    names_used: set[str],
    spans_used: set[tuple[int, int]],
) -> tuple[float, float]:
    """How much of what was said finds no slot: amounts and names; and how many figures there are where one counts."""
    each = any(name.type == "again" for name, _, _ in line.names)  # every month, for 3 months
    over = [
        reading.amount
        for place, reading in enumerate(line.amounts)
        if place not in used
        and reading.amount.of != "time"
        and not (each and reading.amount.kind == "duration")
        and not _is_a_chance(line, reading)
    ]
    left = [amount.kind for amount in over]
    lexicon = set(entry["lexicon"])
    meant = {
        (line.tokens[meaning.start].start, line.tokens[meaning.end - 1].end)
        for meaning in line.meanings
        if set(meaning.terms) & lexicon
    }
    types_used = {one.partition(".")[0] for one in names_used}
    never = {
        name.span
        for name, _, _ in line.names
        if name.type in _NEVER_LOOSE or (_OF_A_CLASS in name.id and name.type in types_used)  # clover, with triclopyr
    }
    names = {name.span for name, _, _ in line.names} - spans_used - never - meant
    bound = {one.kind for slot in slots.values() for one in slot.amounts}
    species = {name.id for name, _, _ in line.names if name.type == "species"} if "species" in slots else set()
    loose = sum(1.0 for kind in left if kind not in ("date", "clock")) + 0.7 * len(names)
    again = sum(1 for kind in left if kind == "percent" or (kind in _ONE_COUNTS and kind in bound))
    again += len(species - names_used)
    if entry["works"]:  # a formula that passes over a second length, or what a yard weighs, answers another question
        loose += sum(0.8 for one in over if one.kind in _MEASURED and (one.kind in bound or one.per))
    if entry["needs"] == ["area"]:  # sides that are left over belong to a piece that was not understood
        loose += sum(1.0 for one in over if one.kind == "length" and one.unit in OF_SIDES)
    if entry["works"] and loose >= 2:
        loose *= 1.5  # one figure may be said in passing, two make it another question
    return loose + sum(0.3 for kind in left if kind in _LIGHT_KINDS), float(again)


def _is_a_chance(line: Line, reading: Reading) -> bool:
    """True for the percent of `rain 60%` and `40% chance of storms`, for that rain may come is a sign by itself, and of
    `organic matter 3.2%`, which a report of the soil says beside what is asked."""
    near = {*line.words[max(0, reading.start - 3) : reading.start], *line.words[reading.end : reading.end + 2]}
    return reading.amount.kind == "percent" and not near.isdisjoint(_OF_RAIN | _OF_A_REPORT)


def _asked_kind(asked: _Asked, vocabulary: Vocabulary, entry: dict[str, Any]) -> float:
    """1 where `how many` asks for a kind that the intent gives, -2 where for another, 0 where it cannot be told."""
    if entry["works"] and "asked_per" in entry["slots"] and asked.per:
        if not any(of and asked.per & _kinds_of_denominator(of, vocabulary) for _, of in entry["measures"]):
            return -2.0
    if not asked.how_many or not entry["gives"]:
        return 0.0
    if asked.how_many not in entry["slots"].get("asked", {}).get("only", [asked.how_many]):
        return -2.0
    kinds = vocabulary.asked_kinds.get(asked.how_many, ["count"])
    return 1.0 if set(kinds) & set(entry["gives"]) else -2.0


def _share_strange(line: Line, entry: dict[str, Any], clauses: list[int], ours: set[int]) -> float:
    """The share of words nobody read, in the sentences that this intent reads."""
    roles = entry["roles"]
    strange = sum(
        1 for place in line.strange if (clauses[place] in ours or not ours) and line.words[place] not in roles
    )
    read = len(line.amounts) + len(line.names) + sum(1 for meaning in line.meanings if meaning.terms)
    return strange / max(1, strange + read)


# binding -------------------------------------------------------------------------------------------------------------


def bind(line: Line, entry: dict[str, Any]) -> tuple[dict[str, Slot], set[int]]:
    """Amounts and names to the slots of an intent, by kind, by pounds-of-what, and by the role words beside them."""
    slots: dict[str, Slot] = {}
    used: set[int] = set()
    fits = []
    roles = set(entry.get("roles", ()))
    for order, (name, spec) in enumerate(entry["slots"].items()):
        if spec.get("said") is False:
            continue
        claimed = _claimed(line, spec["words"], spec, roles) if "words" in spec else set()
        claimed |= _beside_an_area(line, **spec["beside"]) if "beside" in spec else set()
        barred = _claimed(line, spec["not_words"], spec, roles) if "not_words" in spec else set()
        for place, reading in enumerate(line.amounts):
            fit = None if place in barred else _fit(reading.amount, spec, place in claimed)
            if fit is not None:
                fits.append((-fit, order, place, name))
        if "names" in spec:
            value = _named(line, spec)
            if value:
                slots[name] = Slot(name, value)
    for _, _, place, name in sorted(fits):
        spec = _metric_where(line, entry["slots"][name])
        if place in used:
            continue
        if name in slots:
            held = slots[name].value
            if spec.get("parts") and isinstance(held, tuple) and _is_a_piece(line, held, place):
                slots[name] = replace(slots[name], value=(*held, line.amounts[place].amount))
                used.add(place)
            elif "row" in spec and isinstance(held, tuple):
                slots[name] = replace(slots[name], value=(*held, taken_as(line.amounts[place].amount, spec)))
                used.add(place)
            elif spec.get("several") and isinstance(held, Amount):
                slots[name] = replace(slots[name], value=_both(held, taken_as(line.amounts[place].amount, spec)))
                used.add(place)
            continue
        amount = taken_as(line.amounts[place].amount, spec)
        slots[name] = Slot(name, (amount,) if spec.get("parts") or "row" in spec else amount)
        used.add(place)
    _drop_short_rows(entry, slots, line, used)
    _take_apart(line, entry, slots, used)
    _take_alone(line, entry, slots, used)
    _take_last(line, entry, slots, used)
    _take_bags(line, entry, slots, used)
    for name, slot in slots.items():
        if isinstance(slot.value, tuple) and slot.value and isinstance(slot.value[0], Amount):
            slots[name] = replace(slot, value=tuple(sorted(slot.value, key=lambda amount: amount.span)))
    return slots, used


def _is_a_piece(line: Line, held: tuple[Any, ...], place: int) -> bool:
    """True for an area that goes with those before it: no rate and no volume stands between them, as in `the tank covers 3k,
    1.5 oz/k for 5k`."""
    if line.amounts[place].amount.kind not in _SIZED:
        return False
    spans = {amount.span for amount in held}
    last = max((n for n, one in enumerate(line.amounts[:place]) if one.amount.span in spans), default=place)
    return all(one.amount.kind not in _BETWEEN_NO_PIECES for one in line.amounts[last + 1 : place])


def _drop_short_rows(entry: dict[str, Any], slots: dict[str, Slot], line: Line, used: set[int]) -> None:
    """A slot of a row of amounts is none where the line has fewer of them than the row must have; weights are taken as
    rates only beside a rate."""
    for name in list(slots):
        spec, amounts = entry["slots"][name], slots[name].amounts
        if "row" not in spec or (
            len(amounts) >= spec["row"] and not (spec.get("bare_per") and all(one.assumed for one in amounts))
        ):
            continue
        spans = {amount.span for amount in slots.pop(name).amounts}
        used -= {place for place, reading in enumerate(line.amounts) if reading.amount.span in spans}


def _take_apart(line: Line, entry: dict[str, Any], slots: dict[str, Slot], used: set[int]) -> None:
    """`50 by 30` for a shape that wants a length and a width, a base and a height, or for holes so far apart either way."""
    sides = next(
        (pair for pair in _SIDES if entry["slots"].keys() >= set(pair) and slots.keys().isdisjoint(pair)), None
    )
    if sides is None:
        return
    for place, reading in enumerate(line.amounts):
        amount = reading.amount
        if amount.kind == "size" and len(amount.low) == 2 and place not in used:
            for name, side in zip(sides, amount.low, strict=True):
                slots[name] = Slot(name, replace(amount, kind="length", low=side, high=side, of=""))
            used.add(place)
            return


def _both(held: Amount, other: Amount) -> Amount:
    """Two of the same, such as the temperature now and the high to come: a range from one to the other."""
    if (held.units, held.per) != (other.units, other.per):
        return held
    if bool(held.bound) != bool(other.bound):
        return other if held.bound else held  # `never over 85, and it's 87 now`: the one is a rule, the other is so
    return replace(
        held, low=min(held.low, other.low), high=max(held.high, other.high), text=f"{held.text} {other.text}"
    )


def _take_alone(line: Line, entry: dict[str, Any], slots: dict[str, Slot], used: set[int]) -> None:
    """The one bare number of a line in the range of a slot that takes such a number without a role word goes to it; as many
    as there are slots of one range go to them in the order of the slots."""
    bare = [
        place
        for place, reading in enumerate(line.amounts)
        if place not in used and reading.amount.kind == "number" and not _is_denominator(line, place)
    ]
    for name, spec in entry["slots"].items():
        if "alone" in spec and name not in slots:
            least, most = spec["alone"]
            free = [n for n in bare if n not in used]
            inside = [n for n in free if least <= line.amounts[n].amount.low and line.amounts[n].amount.high <= most]
            alike = [one for one, other in entry["slots"].items() if other.get("alone") == spec["alone"]]
            if len(alike) == len(inside) == len(free) > 1 and slots.keys().isdisjoint(
                alike
            ):  # `lot 97/85`, in that order
                taken = list(zip(alike, inside, strict=True))
            elif len(inside) == 1 and (len(free) == 1 or "several" in spec):
                taken = [(name, inside[0])]
            else:
                continue
            for one, place in taken:
                slots[one] = Slot(one, taken_as(line.amounts[place].amount, spec))
                used.add(place)


def _take_bags(line: Line, entry: dict[str, Any], slots: dict[str, Slot], used: set[int]) -> None:
    """`3 bags, 50 lb each`, `3 bags of 40 lb`, `1 bag 50 lb`, for an intent that counts no bags: the weight of all of them."""
    name = next((one for one in slots if "each_in" in entry["slots"].get(one, ())), "")
    if not name or {"bags", "pack"} & entry["slots"].keys():
        return
    packs = entry["slots"][name]["each_in"]
    counted = [
        n
        for n, reading in enumerate(line.amounts)
        if n not in used and reading.amount.single and _counts(line, reading, packs)
    ]
    held = slots[name].value
    if len(counted) != 1 or not isinstance(held, Amount):
        return
    bags = line.amounts[counted[0]].amount
    weight = next((one for one in line.amounts if one.amount.span == held.span), None)
    of = weight is not None and line.words[line.amounts[counted[0]].end : weight.start] in ([], ["of"])
    if _EACH_ONE.isdisjoint(line.words) and bags.low != 1 and not of:
        return
    low, high = float(held.low) * float(bags.low), float(held.high) * float(bags.low)
    said = f"{bags.text} of {held.text}"
    span = (min(bags.span[0], held.span[0]), max(bags.span[1], held.span[1]))
    slots[name] = replace(slots[name], value=replace(held, low=low, high=high, assumed=said, span=span))
    used.add(counted[0])


def _counts(line: Line, reading: Reading, packs: list[str]) -> bool:
    """True for `3 bags`, and for `4 heads` where heads are what is counted."""
    if reading.amount.kind == "number":
        return not set(packs).isdisjoint(line.words[reading.end : reading.end + 1])
    return reading.amount.kind == "count" and reading.amount.of in packs


def _is_denominator(line: Line, place: int) -> bool:
    """True for the figure behind `per`, or behind a stroke that no bare number stands before."""
    start = line.amounts[place].start
    over = start and line.words[start - 1] == "/"
    before = line.amounts[place - 1] if place else None
    pair = over and before is not None and before.amount.kind == "number" and before.end == start - 1
    return bool(start and line.words[start - 1] == "per") or bool(over and not pair)


def _take_last(line: Line, entry: dict[str, Any], slots: dict[str, Slot], used: set[int]) -> None:
    """The one input that is still wanting takes the one amount of its kind that is left, whatever stands beside it:
    `24 min, 3 cycles`."""
    wanting = [name for name in entry.get("needs", ()) if name not in slots]
    spec = entry["slots"][wanting[0]] if len(wanting) == 1 else {}
    if not _LAST_KINDS.intersection(spec.get("kind", ())) or spec.get("said") is False or "row" in spec:
        return
    left = [
        place
        for place, reading in enumerate(line.amounts)
        if place not in used and reading.amount.kind in spec["kind"] and _fit(reading.amount, spec, True) is not None
    ]
    if len(left) == 1:
        slots[wanting[0]] = Slot(wanting[0], taken_as(line.amounts[left[0]].amount, spec))
        used.add(left[0])


def _fit(amount: Amount, spec: dict[str, Any], near: bool) -> float | None:
    """How well an amount fits a slot; None where it does not. `near`: a role word of the slot points at it."""
    kinds = spec.get("kind", [])
    if amount.kind == "size" and len(amount.low) > 2:
        return None  # length, width and depth: no area
    if amount.kind in kinds:
        if "units" in spec and amount.unit not in spec["units"]:
            return None
        if "per" in spec and amount.per not in spec["per"]:
            return None
        if "of" in spec and not (amount.of in spec["of"] or (amount.kind in _SIZED)):
            return None
        tagged = bool(amount.of) and "of" in spec
        if amount.kind in spec.get("near", ()) and not (near or (tagged and "bare_per" not in spec)):
            return None  # `40 lb of seed` is a rate only where its place says so
        if (
            amount.kind in ("date", "duration", "count", "percent", "fraction")
            and spec.get("words")
            and not (near or tagged)
        ):
            return None
        return 2.0 + (1.0 if near else 0.0) + (0.5 if amount.of and "of" in spec else 0.0)
    if amount.kind in _bare_kinds(spec) and near and ("unit" in spec) and kinds and _big_enough(amount, spec):
        return 1.5
    return None


def _big_enough(amount: Amount, spec: dict[str, Any]) -> bool:
    """False for a bare number that is too small to be taken in the unit of a slot: 2.6 is a price sooner than an area."""
    return isinstance(amount.low, tuple) or float(amount.high) >= spec.get("least_bare", 0)


def _bare_kinds(spec: dict[str, Any]) -> tuple[str, ...]:
    """What a slot takes without its unit: half of an area says nothing where it is not said of what."""
    return ("number",) if "area" in spec.get("kind", ()) else ("number", "fraction")


def _claimed(line: Line, words: list[str], spec: dict[str, Any], roles: set[str]) -> set[int]:
    """The amounts that the role words of a slot point at: each word at the nearest one, and of two as near at the one
    behind it (`wind 6 gusting 15`), or before it where the line goes that way (`92% pure, 80% germination`)."""
    found: set[int] = set()
    if line.word_set.isdisjoint(words):
        return found
    reach = spec.get("reach", _REACH)
    kinds = {*spec.get("kind", ()), *(("number", "fraction") if "unit" in spec else ())}
    places = [place for place, word in enumerate(line.words) if word in roles] or [0]
    spoken = [reading for reading in line.amounts if reading.amount.kind != "date"]
    turned = any(places[0] - 2 < reading.end <= places[0] for reading in spoken)  # figure first, then its word
    if any(reading.start == places[-1] + 1 and reading.amount.kind == "number" for reading in spoken):
        turned = False  # `72 wind 5`: the last word has its figure behind it
    for place, word in enumerate(line.words):
        if word not in words or (place and line.words[place - 1] in _NONE_OF_IT):
            continue
        held = _held_by(line, place)
        if held is not None and "unit" in spec and line.amounts[held].amount.kind in kinds:
            found.add(held)  # `78 degrees wind 6`: the word is that amount's own, and points at no bare number
            continue
        near = []
        for n, reading in enumerate(line.amounts):
            if reading.amount.kind not in kinds:
                continue
            gap = reading.start - place - 1 if reading.start > place else place - reading.end
            between = (
                line.words[place + 1 : reading.start] if reading.start > place else line.words[reading.end : place]
            )
            if 0 <= gap <= reach and not _STOPS.intersection(between):
                behind = (reading.start > place) != turned
                if reading.start > place and set(between) <= _PASSED_BY:
                    gap = 0  # `68 soil temp 62`, `74 gusts to 14`
                if between == ["at"] and reading.start < place:
                    gap = -1  # `58 at night, 74 in the day`
                near.append((gap, not behind, n))
        if near:
            found.add(min(near)[2])
    return found


def _metric_where(line: Line, spec: dict[str, Any]) -> dict[str, Any]:
    """What the line says elsewhere of its measures: a speed without its unit is in that of the line (`wind 12 km/h gusts 22`),
    and a weight is that of a square metre or of a hectare where the area is in them (`800 m2 at 40 g`)."""
    if spec.get("unit") == "mph" and any("kph" in reading.amount.units for reading in line.amounts):
        return {**spec, "unit": "kph"}
    if "bare_per" in spec:
        areas = {reading.amount.unit for reading in line.amounts if reading.amount.kind == "area"}
        if len(areas) == 1 and not areas.isdisjoint(_METRIC_AREAS):
            return {**spec, "bare_per": areas.pop()}
    return spec


def _beside_an_area(line: Line, units: list[str], most: float = inf) -> set[int]:
    """The amounts in such units, and no larger, that stand right before or behind an area, with no more than its grass between:
    `9.5k 1.3 oz`, `7k tall fescue 8 lb`."""
    grasses = {end: start for name, start, end in line.names if name.type == "species"}
    areas = [other for other in line.amounts if other.amount.kind in _SIZED]
    return {
        n
        for n, reading in enumerate(line.amounts)
        if not set(units).isdisjoint(reading.amount.units)
        and not isinstance(reading.amount.high, tuple)
        and reading.amount.high <= most
        for other in areas
        if other.end in (reading.start, grasses.get(reading.start))
        or reading.end in (other.start, grasses.get(other.start))
    }


def _held_by(line: Line, place: int) -> int | None:
    """The amount whose unit a word is: it stands behind the figure, within the amount."""
    for n, reading in enumerate(line.amounts):
        if reading.start <= place < reading.end:
            return n if any(line.tokens[k].kind == "number" for k in range(reading.start, place)) else None
    return None


def taken_as(amount: Amount, spec: dict[str, Any]) -> Amount:
    """A bare number read as the slot's kind and unit, and said so."""
    kinds = spec.get("kind", [])
    if amount.kind == "size" and spec.get("unit") == "sq_ft" and not spec.get("parts") and len(amount.low) == 2:
        return area_of(amount)
    if amount.kind in ("mass", "volume") and "rate" in kinds and spec.get("bare_per"):
        return replace(amount, kind="rate", per=spec["bare_per"], assumed=f"per {spec['bare_per'].replace('_', ' ')}")
    yards = (amount.kind == "count" and amount.of == "yard") or amount.units == ("yd",)
    if yards and spec.get("unit") == "cu_yd":
        return replace(amount, kind="volume", units=("cu_yd",), of="", assumed="cubic yards")
    if amount.kind == "numbers" and not amount.units and "unit" in spec:
        return replace(amount, units=(spec["unit"],), assumed=f"taken as {spec['unit']}")
    if amount.kind in ("number", "fraction") and amount.kind not in kinds and "unit" in spec:
        return replace(amount, kind=kinds[0], units=(spec["unit"],), assumed=f"taken as {spec['unit']}")
    return amount


def latent(line: Line, spec: dict[str, Any]) -> Amount | None:
    """The one bare number of a line for the one open slot that can take it."""
    acid = spec.get("kind") == ["ph"]  # which has no unit
    bare = ("number",) if acid else _bare_kinds(spec)
    numbers = [reading.amount for reading in line.amounts if reading.amount.kind in bare]
    if len(numbers) != 1 or not (acid or ("unit" in spec and _big_enough(numbers[0], spec))):
        return None
    return replace(numbers[0], kind="ph") if acid else taken_as(numbers[0], spec)


def _named(line: Line, spec: dict[str, Any]) -> Any:
    wanted = spec["names"]
    only = spec.get("only")
    found = [
        name.id for name, _, _ in line.names if name.type in wanted and (not only or name.id.partition(".")[2] in only)
    ]
    if not found:
        return None
    if spec.get("several"):
        return tuple(dict.fromkeys(found))
    for kind in wanted:  # in the order of preference of the slot
        of_kind = [one for one in found if one.startswith(kind + ".")]
        if of_kind:
            return next((one for one in of_kind if _OF_A_CLASS not in one), of_kind[0])
    return None


def is_heavy(name: Name) -> bool:
    """True for a name that makes it another question where no slot takes it: a grass, a product."""
    return name.type not in _NEVER_LOOSE and name.type != "lawn"


def names_of(line: Line) -> tuple[Name, ...]:
    return tuple(name for name, _, _ in line.names)

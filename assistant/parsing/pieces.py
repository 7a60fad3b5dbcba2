"""Two questions in one line, and one question in a long story: where a line is parted, and what stays together.

`how much seed for 4,200 and when do i mow` is two; `60 by 70 and 40 by 30, how much seed` is one.
"""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import replace
from itertools import pairwise
from typing import Any

from assistant.parsing.choosing import NONE, OF_ENTRIES, RECORDED, SHORT_ONES, chosen, close
from assistant.parsing.grounds import AS_ANOTHER
from assistant.parsing.line import Line
from assistant.parsing.matching import OF_SIDES, bind, names_of
from assistant.parsing.reading import read
from assistant.parsing.readings import Reading
from assistant.parsing.vocabulary import Vocabulary
from assistant.terms import Now, Parse, Slot

_ENDS = {"?", "!", ";"}
_PLACES = ("place", "lawn", "site")
_SIZES = ("area", "size")
_IN_ONE = {"~how_much", "~how_big", "~added", "~together_word"}  # words by which places are pieces of one sum
_SIDE = "side yard"  # what a `side` is called by itself
_TOLD_OF_LAWNS = ("plan.tell", "plan.start")
_SIZES_ALONE = ("area.measure",)  # what a lawn with its size is besides
_WITHOUT_JOINT = re.compile(r"(?:[\s,;&]|\band\b)+$")
_JOINTS = {",", "and", ";", "&", "+", "plus"}
_TAGS = {"right", "correct", "yes", "huh", "eh"}  # `it takes 4 lb, right?` asks nothing yet
_JOINS = {"and", ",", "also", "plus", "then", "&", "so", "but"}
_PUT_BY = _JOINTS | _JOINS
_EXPOSED = "~exposed"
_FEWEST = 2  # tokens of a piece
_DEEDS = {"plan.log", "plan.seen", "plan.start", "plan.resown", "plan.not_done"}
_TOLD = {"~did", "~seeded", "~denied", "~skipped"}
_NAMES_OF_DEEDS = {"deed", "sight", "step", "task"}
_NEVER_ALONE = {NONE, "other.greeting", "plan.tell"}
_BEFORE = 3  # sentences before the question of a story that may be needed to understand it
_OF_A_STORY = 0.8  # how sure a story's question is at the most
_NO_DOUBT = 0.9
_LONGEST_CHAIN = 8  # figures of a line that are put to one another
_OF_A_SUM = {"rate", "analysis", "mass", "volume", "mix", "flow"}
_A_SUM = 2
_SHARED = ("area", "species")  # what two questions of a line have in common more often than not
_NAMES_TOLD = ("species", "job", "product", "tank", "state")


def pieces_of(line: Line) -> list[str]:
    """The texts between the places where a sentence ends, or a new question begins behind `and` or a comma."""
    cuts = [0]
    place = 1
    while place < len(line.tokens):
        token, before = line.tokens[place], line.words[place - 1]
        ends = (before in _ENDS and line.words[place - 2] not in _TAGS) or (before == "." and token.spaced)
        begins = before in _JOINS and place in line.starts
        if (ends or begins) and place - cuts[-1] >= _FEWEST:
            start = place
            while begins and not ends and start > cuts[-1] and line.words[start - 1] in _JOINS:
                start -= 1
            if start - cuts[-1] >= _FEWEST:
                cuts.append(start)
        place += 1
    ends_at = [*(line.tokens[cut].start for cut in cuts[1:]), len(line.text)]
    starts = [line.tokens[cut].start if cut else 0 for cut in cuts]
    return [line.text[start:end].strip(" ,") for start, end in zip(starts, ends_at, strict=True)]


def parted(line: Line, whole: Parse, vocabulary: Vocabulary, now: Now) -> tuple[Parse, ...]:
    """The questions of a line one by one, where two at least stand for themselves; a statement goes with the question
    behind it. Empty where the line is one question."""
    texts = pieces_of(line) if _may_be_two(line) else []
    lines = {text: read(_without_join(text), vocabulary, now) for text in texts} if len(texts) > 1 else {}
    alone = {text: chosen(one, vocabulary) for text, one in lines.items() if one.asks or _tells(one)}
    asked_for = sum("asks" in parse.terms for parse in alone.values())
    if sum(map(_stands, alone.values())) < 2 or (asked_for < 2 and _is_a_sum(whole, vocabulary)):
        return ()
    groups: list[str] = []
    asked = False
    for text in texts:
        stands = text in alone and _stands(alone[text])
        if groups and not (asked and stands):
            groups[-1] = f"{groups[-1]} {text}"
        else:
            groups.append(text)
        asked = asked or stands
    parses = tuple(alone[text] if text in alone else _read_alone(text, vocabulary, now) for text in groups)
    parses = _with_whole(parses, whole, vocabulary)
    parses = tuple(_with_shared(parse, line, vocabulary) if "asks" in parse.terms else parse for parse in parses)
    alike = len({parse.intent for parse in parses}) == 1 and not all(_is_full(parse, vocabulary) for parse in parses)
    answered = any(parse.intent != NONE for parse in parses)
    return (
        () if not (all(map(_stands, parses)) and answered) or (alike and parses[0].intent == whole.intent) else parses
    )


def paired(line: Line, whole: Parse, vocabulary: Vocabulary, now: Now) -> tuple[Parse, ...]:
    """One question for each area with its rate, where a line tells them turn by turn: `3.5k at 8 lb, 4k at 4 lb`. Empty
    where it does not."""
    sizes = [reading.amount.kind in _SIZES for reading in line.amounts]
    pairs = list(zip(line.amounts[::2], line.amounts[1::2], strict=False))
    others = {reading.amount.kind for reading, size in zip(line.amounts, sizes, strict=True) if not size}
    if len(pairs) < 2 or sizes not in ([True, False] * len(pairs), [False, True] * len(pairs)) or len(others) > 1:
        return ()
    starts = [pairs[0][0].start]
    for (_, before), (first, _) in pairwise(pairs):
        joint = next((n for n in range(before.end, first.start) if line.words[n] in _JOINTS), None)
        if joint is None:
            return ()
        starts.append(joint + 1)
    ends = [*(start - 1 for start in starts[1:]), pairs[-1][1].end]
    front, behind = line.text[: line.tokens[starts[0]].start], line.text[line.tokens[ends[-1] - 1].end :]
    said = [line.text[line.tokens[a].start : line.tokens[b - 1].end] for a, b in zip(starts, ends, strict=True)]
    parses = tuple(_read_alone(f"{front}{one}{behind}", vocabulary, now) for one in said)
    intents = {parse.intent for parse in parses}
    taken = all(sum(bool(slot.amounts) for slot in parse.slots.values()) > 1 for parse in parses)
    is_one = whole.intent not in (NONE, *intents) and others != {"rate"}  # another question about these figures
    return parses if taken and len(intents) == 1 and not is_one else ()


def chained(line: Line, whole: Parse, vocabulary: Vocabulary, now: Now) -> tuple[Parse, ...]:
    """A sum of money and what is put to it one after the other: `3 cu yd at 31 a yard plus 85 delivery, then 7% tax`, or only
    what is put to the sum before. Empty where one question takes all of it."""
    put = line.terms & vocabulary.put_words
    if not 2 <= len(line.amounts) <= _LONGEST_CHAIN or not put - set(_question(whole, vocabulary).get("lexicon", ())):
        return ()
    joints = [
        max((n for n in range(before.end, behind.start) if line.words[n] in _PUT_BY), default=0)
        for before, behind in pairwise(line.amounts)
    ]
    cuts = [0, *(line.tokens[joint].start for joint in joints if joint), len(line.text)]
    groups: list[str] = []
    for text in (line.text[start:end] for start, end in pairwise(cuts)):
        if groups and put.isdisjoint(read(text, vocabulary, now).terms):
            groups[-1] += text
        else:
            groups.append(text)
    put_to = (f"plus {_without_join(text)}" for text in groups[1:])
    parses = tuple(_read_alone(text, vocabulary, now) for text in (groups[0], *put_to))
    if len(parses) < 2 or not all(_is_full(parse, vocabulary, besides="money") for parse in parses):
        return ()
    leans = [parse.intent in vocabulary.put_to_money and "money" not in parse.slots for parse in parses]
    gives_money = "money" in _question(parses[0], vocabulary)["gives"]
    return parses if all(leans[1:]) and (leans[0] or gives_money) else ()


def placed(line: Line, whole: Parse, vocabulary: Vocabulary, now: Now) -> tuple[Parse, ...]:
    """What is told of several lawns in one line, lawn by lawn: `front is 4,200, back 6,500 less a 10x12 shed, tall fescue`. A
    grass that is named once is that of each. Empty where a place has no area behind it, and where it asks."""
    if line.asks or not line.terms.isdisjoint(_IN_ONE) or whole.intent in OF_ENTRIES:
        return ()
    areas = [reading for reading in line.amounts if reading.amount.kind in (*_SIZES, "number")]
    places = sorted(
        ((name, start, end) for name, start, end in line.names if name.type in _PLACES), key=lambda one: one[1]
    )
    whose = ""
    if len(places) > 1 and places[0][0].type != "place" and not _between(areas, places[0][1], places[1][1]):
        whose, places = f"{places[0][0].text}, ", places[1:]  # `13 birch ct front 1.2k back 3.1k`
    bounds = [*(start for _, start, _ in places), len(line.words)]
    if len(places) < 2 or not areas or areas[0].start < bounds[0]:
        return ()
    if not all(_between(areas, *ends) for ends in pairwise(bounds)):
        return ()
    end_of_sizes = line.tokens[max(one.end for one in areas) - 1].end
    cuts = [*(line.tokens[start].start for _, start, _ in places), end_of_sizes]
    of_all = line.text[end_of_sizes:]
    if any(name.type in _NAMES_TOLD and name.span[1] < end_of_sizes for name, _, _ in line.names):
        cuts[-1], of_all = len(line.text), ""  # each has its own
    called = [f"{whose}{_SIDE if name.id == 'place.side' else name.text}" for name, _, _ in places]
    told = [_with_units(line, line.tokens[end - 1].end, cut) for (_, _, end), cut in zip(places, cuts[1:], strict=True)]
    pieces = [f"{lawn}{_WITHOUT_JOINT.sub('', one)}{of_all}" for lawn, one in zip(called, told, strict=True)]
    own = [lawn for lawn, (name, _, _) in zip(called, places, strict=True) if whose or name.type == "site"]
    words = vocabulary.naming((*vocabulary.lawns, *own)) if own else vocabulary
    parses = tuple(chosen(read(piece, words, now), words, _SIZES_ALONE) for piece in pieces)
    alike = all("area" in parse.slots for parse in parses) and len({parse.intent for parse in parses}) == 1
    return parses if alike and parses[0].intent in _TOLD_OF_LAWNS else ()


def _with_units(line: Line, start: int, end: int) -> str:
    """A part of the text in which a figure that has its unit from another one has it itself: the 1.2 of `1.2 back 3.1k`."""
    text = line.text[start:end]
    for amount in (reading.amount for reading in line.amounts if start <= reading.amount.span[0] < end):
        if amount.assumed.startswith(AS_ANOTHER):
            text = text.replace(amount.text, f"{amount.low:g} {amount.unit.replace('_', ' ')}", 1)
    return text


def _between(areas: list[Reading], start: int, end: int) -> bool:
    """True where one of the areas is told between two places of a line."""
    return any(start < one.start < end for one in areas)


def _with_whole(parses: tuple[Parse, ...], whole: Parse, vocabulary: Vocabulary) -> tuple[Parse, ...]:
    """The pieces, but a line that is one question without doubt stands for the piece that asks it where that is none alone
    (`sprayed 2,4-D on Aug 22, when is it safe to seed`), and for a seed day that is kept with it."""
    asking = [parse for parse in parses if "asks" in parse.terms]
    if len(asking) != 1 or whole.confidence < _NO_DOUBT or whole.intent in (NONE, *RECORDED):
        return parses
    keeps = _question(whole, vocabulary).get("keeps", ())
    kept = {name: slot.value for name, slot in whole.slots.items() if name in keeps}
    needless = [
        parse
        for parse in parses
        if parse.intent == "plan.start"
        and {name: slot.value for name, slot in parse.slots.items()}.items() <= kept.items()
    ]
    question = asking[0]
    if question.confidence < _NO_DOUBT or (needless and question.intent == whole.intent):
        return tuple(whole if parse is question else parse for parse in parses if parse not in needless)
    return parses


def _without_join(text: str) -> str:
    """`also what grass takes shade` as it would be asked alone."""
    words = text.split()
    first = next((n for n, word in enumerate(words) if word.lower().strip(",") not in _JOINS), 0)
    return " ".join(words[first:])


def _is_a_sum(whole: Parse, vocabulary: Vocabulary) -> bool:
    """True for a line that is one sum without doubt: `13,000 sq ft seeded` is a figure of it, and no deed."""
    if whole.confidence < _NO_DOUBT or whole.intent not in vocabulary.intents or whole.intent in RECORDED:
        return False
    entry = vocabulary.intents[whole.intent]
    figures = sum(bool(slot.amounts) for slot in whole.slots.values())
    return bool(entry["works"]) or (figures >= _A_SUM and whole.slots.keys() >= set(entry["needs"]))


def _may_be_two(line: Line) -> bool:
    """True where two questions begin, or a question and a deed: only then are the pieces read one by one. What got on
    somebody is never apart from `what do I do now`."""
    if _EXPOSED in line.terms:
        return False
    begun = len(line.starts) + sum(word == "?" for word in line.words)
    return begun > 1 or bool(begun and _tells(line))


def _tells(line: Line) -> bool:
    """True where a line has words for something done or seen."""
    return bool(line.terms & _TOLD) or any(name.type in _NAMES_OF_DEEDS for name, _, _ in line.names)


def _read_alone(text: str, vocabulary: Vocabulary, now: Now) -> Parse:
    return chosen(read(text, vocabulary, now), vocabulary)


def _stands(parse: Parse) -> bool:
    """True for a piece that is a question or a deed of its own; a question that is ours and not quite understood is one."""
    asks = "asks" in parse.terms
    return (asks and close(parse)) or (parse.intent not in _NEVER_ALONE and (asks or parse.intent in _DEEDS))


def told_at_length(line: Line, whole: Parse, vocabulary: Vocabulary, now: Now) -> Parse:
    """A story with its question at the end: the last sentence that asks, with as much before it as it needs to be understood.
    What it lacks is looked for in the rest, where it is told once, with its unit."""
    texts = pieces_of(line)
    last = next((n for n in range(len(texts) - 1, -1, -1) if _asks(texts[n], vocabulary, now)), len(texts) - 1)
    figures = sum(1 for reading in line.amounts if reading.amount.kind in _OF_A_SUM)
    for first in range(last, max(-1, last - _BEFORE), -1):
        parse = _read_alone(" ".join(texts[first : last + 1]), vocabulary, now)
        if figures >= _A_SUM and parse.intent in OF_ENTRIES:
            continue  # so many figures want a sum
        if parse.intent not in _NEVER_ALONE and parse.intent not in SHORT_ONES - {"plan.next"}:
            told = _with_told(parse, line, vocabulary)
            return replace(told, text=whole.text, confidence=min(parse.confidence, _OF_A_STORY))
    if figures >= _A_SUM and whole.intent in OF_ENTRIES:
        return replace(whole, intent=NONE, topic="other", slots={}, confidence=0.0, score=0.0)
    return whole


def _asks(text: str, vocabulary: Vocabulary, now: Now) -> bool:
    return read(text, vocabulary, now).asks


def _with_told(parse: Parse, line: Line, vocabulary: Vocabulary) -> Parse:
    """The reading with what it needs from the rest of the story: an amount with a unit, the only one of its kind; a name."""
    if not _question(parse, vocabulary):
        return parse
    slots = {**parse.slots, **_told_elsewhere(parse, line, vocabulary)}
    return replace(parse, slots=slots, names=names_of(line), amounts=tuple(reading.amount for reading in line.amounts))


def _with_shared(parse: Parse, line: Line, vocabulary: Vocabulary) -> Parse:
    """A question of a line of two, with the area or the grass that the line tells once: `how much seed and how much starter
    for 3,000 sq ft of tall fescue`."""
    told = _told_elsewhere(parse, line, vocabulary)
    shared = {name: slot for name, slot in told.items() if name in _SHARED}
    return replace(parse, slots={**parse.slots, **shared}) if shared else parse


def _is_full(parse: Parse, vocabulary: Vocabulary, besides: str = "") -> bool:
    """True for a question of ours that lacks nothing, or nothing besides this."""
    needs = _question(parse, vocabulary).get("needs", ())
    return bool(needs) and all(name in parse.slots or name == besides for name in needs)


def _question(parse: Parse, vocabulary: Vocabulary) -> dict[str, Any]:
    """The intent of a reading; empty for an entry of the practice, and where it is none of ours."""
    return {} if parse.intent in OF_ENTRIES else vocabulary.intents.get(parse.intent, {})


def _told_elsewhere(parse: Parse, line: Line, vocabulary: Vocabulary) -> dict[str, Slot]:
    """What the whole line gives for a question in it: an amount with a unit, the only one of its kind; a name."""
    entry = _question(parse, vocabulary)
    if not entry:
        return {}
    found, _ = bind(line, entry)
    kinds = Counter(reading.amount.measures for reading in line.amounts)
    sides = any(reading.amount.kind == "length" and reading.amount.unit in OF_SIDES for reading in line.amounts)
    return {
        name: slot
        for name, slot in found.items()
        if name not in parse.slots
        and all(one.units and not one.assumed and kinds[one.measures] == 1 for one in slot.amounts)
        and (slot.amounts or name in _NAMES_TOLD)
        and not (sides and any(one.kind == "size" for one in slot.amounts))  # one piece of several
    }

"""Which of all readings a line gets: a question of ours, an entry of the practice, or none; and how sure that is.

Every reading has a score of named features (matching.py). The scores become shares of certainty: e to the score of a
reading, over the sum of that for all readings; one weight a feature was fitted for that. A share becomes a confidence
through a short table.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Container, Mapping
from dataclasses import replace
from typing import NamedTuple

from assistant.knowledge_base.words import NONE_OF_OURS, OF_INTENTS
from assistant.parsing.line import Line
from assistant.parsing.matching import Candidate, candidates, latent, names_of, nearness, with_likeness, without_veto
from assistant.parsing.near import FAR, Near, nearest
from assistant.parsing.vocabulary import Vocabulary
from assistant.terms import Amount, Parse, Slot

NONE = "out_of_scope"
RECORDED = {"plan.log", "plan.start", "plan.correct", "plan.seen", "plan.tell", "plan.resown", "plan.stock", "plan.limit", "plan.tool"}  # fmt: skip
SHORT_ONES = {"plan.next", "other.why", "other.working", "other.greeting", "help.topics", "plan.facts", "plan.show"}
_SURE = 0.6  # a reading less sure is offered, not taken
_SURE_ENOUGH = 0.45  # but for a reading with the words of its cue
_CLEARLY = 1.0  # lead of a reading that has two figures where one counts, for asking which
_OFFERED = 0.08  # readings less likely than this are not offered
_MOST_OFFERED = 3
_OURS = 0.7  # so sure it must be that a line is ours, for asking which of its readings is meant
_LEAST_OURS = 0.4  # so likely one reading must be for asking whether it is meant
_WRITTEN = frozenset(".,?!;:'\"()-/%$#&+@*=°x<>~[]")
_ODD, _FEW_ODD = 0.25, 3  # share, and number, of marks that nobody writes in a line of noise
_MOST_OF_ONE = 20  # times that each word of a line may stand in it
_LONG = 20.0  # words of a long line
_LONGEST = 3.0
_SHORT = 20  # words of a line that is no more than a turn of the talk
_MOST_TOLD = 3  # figures of a line that an entry passes over
# share of certainty -> how often such readings were right, each line counted without itself (tests/corpus/asked.yaml)
_CONFIDENCE = ((0.995, 0.94), (0.98, 0.88), (0.9, 0.8), (0.8, 0.74), (_SURE_ENOUGH, 0.62))
_NAMED = 1.4  # entries so near are named where nothing is answered
_ENTRIES = {  # kind of entry -> intent, slot, topic
    "practices": ("practice.answer", "entry", "other"),
    "glossary": ("help.word", "entry", "other"),
    "troubles": ("trouble.diagnose", "complaint", "trouble"),
}
OF_ENTRIES = {intent for intent, _, _ in _ENTRIES.values()}
_DEEDS = {"deed", "step", "sight"}  # what names the deed itself
_WITH_SEED = {"date", "area", "size", "mass"}  # what is told with the seed that went down
_TOO_LOOSE = 1.5  # figures without a place make it a question about work, not the telling of it
_QUESTIONS = ("what", "how", "which")
_ASKING = {"~may_i", "~how_much", "~when", "~why", "~what_if", "~questioned"}


class Weighed(NamedTuple):
    """A reading with its share of certainty; `entry` names the entry that it is."""

    candidate: Candidate
    share: float
    entry: str = ""


def weighed(line: Line, vocabulary: Vocabulary, without: Container[str] = ()) -> list[Weighed]:
    """All readings of a line but those `without`, none among them, the likeliest first."""
    if _is_noise(line):
        return _shares([], line, FAR)
    readings = [one for one in candidates(line, vocabulary) if one.intent not in without]
    found = vocabulary.finder.find(line, [OF_INTENTS + one.intent for one in readings])
    found = {one: score for one, score in found.items() if one.removeprefix(OF_INTENTS) not in without}
    readings = with_likeness(readings, line, vocabulary, found)
    if _tells_a_deed(line, readings):  # what was done is kept, whatever the practice says of such work
        return _shares([(_as_told(one, line), "") for one in readings if one.intent.startswith("plan.")], line, FAR)
    told = float(min(_MOST_TOLD, len(line.amounts)))
    entries = [one for one in found if not one.startswith((OF_INTENTS, NONE_OF_OURS))]
    refused = nearest(near for one, near in found.items() if one.startswith(NONE_OF_OURS))
    near_as = nearness(found)
    by_entry = [(_entry_read(one, near_as(one), told), one) for one in entries]
    return _shares([*((one, "") for one in readings), *by_entry], line, refused)


def _is_noise(line: Line) -> bool:
    """True where most of a line is no words, no figures and no marks that people write between them, or one word over and over."""
    odd = sum(
        token.text not in _WRITTEN and not (token.kind == "word" and (len(token.text) > 1 or token.text in "aikmnp"))
        for token in line.tokens
        if token.kind != "number"
    )
    over_and_over = len(line.words) > _MOST_OF_ONE * len(set(line.words))
    return over_and_over or (odd > _FEW_ODD and odd > _ODD * len(line.tokens))


def _tells_a_deed(line: Line, readings: list[Candidate]) -> bool:
    """True where a line names something done or seen, by the words for it, and asks nothing."""
    if line.asks or line.terms & _ASKING:
        return False
    return any(_names_a_deed(one, line) for one in readings)


def _names_a_deed(one: Candidate, line: Line) -> bool:
    by_cue = one.intent in RECORDED and bool(one.features.get("cued"))
    deed = "deed" in one.slots or "sight" in one.slots or one.features["loose"] < _TOO_LOOSE
    told = one.intent == "plan.log" and "~did" in line.terms
    fed = {"quantity", "analysis"} <= one.slots.keys() and not any(word.startswith(_QUESTIONS) for word in line.words)
    did = told and ("tank" in one.slots or fed)  # sprayed glyphosate today
    kinds = {reading.amount.kind for reading in line.amounts}
    put = "~did" in line.terms and {"species", "seed_day"} <= one.slots.keys()  # put tall fescue in on the 28th
    sown = one.intent == "plan.start" and ("~seeded" in line.terms or put) and kinds <= _WITH_SEED
    return by_cue and ((deed and not _DEEDS.isdisjoint(one.slots)) or did or sown)


def _as_told(one: Candidate, line: Line) -> Candidate:
    return replace(one, features={**one.features, "deed": 1.0}) if _names_a_deed(one, line) else one


def _entry_read(entry: str, near: dict[str, float], told: float) -> Candidate:
    intent, slot, _ = _ENTRIES[entry.partition(".")[0]]
    return Candidate(intent, {slot: Slot(slot, entry)}, {**near, "told": told})


def _shares(readings: list[tuple[Candidate, str]], line: Line, refused: Near) -> list[Weighed]:
    words = len(line.words)
    none = {
        "none": 1.0,
        "unknown": len(line.strange) / max(1, words),
        "refused": refused.like,
        "against": refused.learned,
        "outside": float("~elsewhere" in line.terms),
        "long": min(_LONGEST, words / _LONG),
    }
    asks = float("?" in line.words or line.begins)
    all_of_them = [(_in_its_line(one, words, asks), entry) for one, entry in readings]
    all_of_them.append((Candidate(NONE, {}, none), ""))
    top = max(one.score for one, _ in all_of_them)
    powers = [math.exp(one.score - top) for one, _ in all_of_them]
    whole = sum(powers)
    made = [Weighed(one, power / whole, entry) for (one, entry), power in zip(all_of_them, powers, strict=True)]
    return sorted(made, key=lambda one: (-one.share, one.candidate.intent, one.entry))


def _in_its_line(one: Candidate, words: int, asks: float) -> Candidate:
    """The reading with what its line as a whole says of it."""
    more = {}
    if one.intent in RECORDED and asks:
        more["asking"] = 1.0
    if one.intent in SHORT_ONES and words > _SHORT:
        more["short"] = 1.0
    return replace(one, features={**one.features, **more}) if more else one


def chosen(line: Line, vocabulary: Vocabulary, without: Container[str] = ()) -> Parse:
    """The reading of a line; where none is sure enough, the ones to choose from."""
    word = _word_asked(line, vocabulary)
    readings = weighed(line, vocabulary, without)
    best = readings[0]
    akin = vocabulary.intents[best.candidate.intent]["akin"] if best.candidate.intent in vocabulary.intents else ()
    second = next((one for one in readings[1:] if one.candidate.intent not in akin), None)
    read = Parse(
        text=line.text,
        names=names_of(line),
        amounts=tuple(reading.amount for reading in line.amounts),
        unread=tuple(line.words[place] for place in line.strange),
        corrected=tuple(line.corrected),
        runner_up=(second.entry or second.candidate.intent, round(second.share, 3)) if second else ("", 0.0),
        nearest=tuple(one.candidate.intent for one in readings if one.candidate.intent in vocabulary.intents)[:3],
        terms=frozenset(term[1:] for term in line.terms if term.startswith("~")) | _opening(line),
        rivals=tuple(reading.amount for reading in line.rivals),
    )
    if word and not best.candidate.features.get("cued"):
        return as_entry(read, word, 1.0)
    meant = max(readings, key=lambda one: without_veto(one.candidate))
    clearly = without_veto(meant.candidate) > without_veto(best.candidate) + _CLEARLY
    if meant.candidate.features.get("again") and clearly:
        return replace(read, doubled=_doubled(line))
    easy = best.candidate.features.get("cued") and best.candidate.intent not in RECORDED
    sure = _SURE_ENOUGH if easy else _SURE
    share = best.share + sum(one.share for one in readings if one.candidate.intent in akin)
    if best.candidate.intent != NONE and share >= sure:
        return _taken(read, best, share, line, vocabulary)
    ours = 1.0 - sum(one.share for one in readings if one.candidate.intent == NONE)
    real = [one for one in readings if one.candidate.intent != NONE]
    if ours >= _OURS or (real and real[0].share >= _LEAST_OURS):
        offered = [one for one in real if one.share >= _OFFERED][:_MOST_OFFERED]
        return replace(read, found=tuple(map(_offer, offered)), score=round(ours, 3))
    named = [one for one in real if one.entry and one.candidate.features["like"] >= _NAMED]
    return replace(read, found=tuple(one.entry for one in named[:_MOST_OFFERED]))


def _doubled(line: Line) -> tuple[str, ...]:
    """What was said twice where one counts: the figures of the first such kind, or the grasses."""
    kinds = Counter(reading.amount.kind for reading in line.amounts)
    for kind, count in kinds.items():
        if count > 1 and kind not in ("area", "size", "date"):
            return tuple(reading.amount.text for reading in line.amounts if reading.amount.kind == kind)
    return tuple(name.text for name, _, _ in line.names if name.type == "species")


def _offer(one: Weighed) -> str:
    return one.entry or f"{OF_INTENTS}{one.candidate.intent}"


def _word_asked(line: Line, vocabulary: Vocabulary) -> str:
    """The word of the glossary that a line asks the meaning of."""
    if line.amounts:
        return ""
    word = vocabulary.finder.word(line.text) if vocabulary.defines(line.text) else ""
    return f"glossary.{word}" if word else ""


def _taken(read: Parse, best: Weighed, share: float, line: Line, vocabulary: Vocabulary) -> Parse:
    if best.entry:
        return as_entry(read, best.entry, share)
    return with_intent(read, best.candidate, line, vocabulary, share)


def with_intent(read: Parse, one: Candidate, line: Line, vocabulary: Vocabulary, share: float) -> Parse:
    """The line read as one of our questions, with its slots."""
    entry = vocabulary.intents[one.intent]
    slots = _with_latent(line, one, entry)
    roles = {word for name in slots for word in entry["slots"].get(name, {}).get("words", ())}
    return replace(
        read,
        unread=tuple(word for word in read.unread if word not in roles),  # `wind 4`: the word told which figure it is
        intent=one.intent,
        topic=one.intent.partition(".")[0],
        slots=slots,
        amounts=_as_bound(read.amounts, slots),
        score=round(one.score, 3),
        confidence=confidence(share),
        found=(),
    )


def as_entry(parse: Parse, entry: str, share: float) -> Parse:
    """The line read as what was found, or picked, for it: `practices.x`, `glossary.x` or `troubles.x`."""
    intent, slot, topic = _ENTRIES[entry.partition(".")[0]]
    return replace(
        parse,
        intent=intent,
        topic=topic,
        slots={slot: Slot(slot, entry)},
        found=(),
        score=share,
        confidence=confidence(share),
        runner_up=("", 0.0),
        unread=(),
    )


def confidence(share: float) -> float:
    """How often readings with such a share are right."""
    return next((right for least, right in _CONFIDENCE if share >= least), 0.0)


def close(parse: Parse) -> bool:
    """True where the line is ours, and no reading of it is sure enough: the likeliest are offered."""
    return parse.intent == NONE and bool(parse.found) and parse.score > 0


def _with_latent(line: Line, best: Candidate, entry: Mapping[str, object]) -> dict[str, Slot]:
    """A bare number goes to the one needed slot that is still open and can take it."""
    needs, specs = entry["needs"], entry["slots"]
    open_slots = [name for name in needs if name not in best.slots and "unit" in specs[name]]  # type: ignore[attr-defined,index]
    if len(open_slots) != 1:
        return best.slots
    spec = specs[open_slots[0]]  # type: ignore[index]
    amount = latent(line, spec)
    taken = {one.span for slot in best.slots.values() for one in slot.amounts}
    if amount is None or amount.span in taken:  # a figure is said of one thing
        return best.slots
    value = (amount,) if spec.get("parts") else amount
    return {**best.slots, open_slots[0]: Slot(open_slots[0], value)}


def _as_bound(amounts: tuple[Amount, ...], slots: dict[str, Slot]) -> tuple[Amount, ...]:
    """The amounts as the slots took them, for the echo."""
    bound: dict[tuple[int, int], Amount] = {}
    for slot in slots.values():
        bound |= {value.span: value for value in slot.amounts}
    return tuple(bound.get(amount.span, amount) for amount in amounts)


def _opening(line: Line) -> frozenset[str]:
    """`and 5,000` goes on from what was asked before; whether the line asks at all."""
    first = next((meaning for meaning in line.meanings if meaning.start == 0), None)
    goes_on = {"goes_on"} if first and "~plus" in first.terms else set()
    return frozenset(goes_on | ({"asks"} if line.asks else set()))

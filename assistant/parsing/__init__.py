"""Text to Parse. Never raises, keeps no state, and says what it could not read."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from assistant.parsing.finding import sureness
from assistant.parsing.matching import Candidate, bind, candidates, latent, names_of, taken_as
from assistant.parsing.reading import Line, read
from assistant.parsing.vocabulary import Vocabulary
from assistant.terms import Amount, Name, Now, Parse, Slot

__all__ = ["LONGEST_LINE", "Vocabulary", "explain", "fragment", "parse_line"]

LONGEST_LINE = 4000  # marks; nobody types more into one question
_LEAST = 0.85  # below this score a line is none of ours
_CLOSE = 0.3  # two readings nearer than this are both offered
_FOUND = 0.8  # below this no entry of the practice is taken for the one that is meant
_OFFERED = 0.3  # entries that fit so well are named where none is taken
_UNSURE = 0.55  # from here on the line is taken for one of ours, and it is asked which entry is meant
_WITH_FIGURES = 1.0  # a line with figures wants a sum: an entry must fit it all the better
_OVER_RECORD = 0.9  # so sure an entry must be to stand before a deed
_OVER = 1.25  # and before any other question
_SURE = 1.0
_SHORT = 20  # words of a line that is no more than a turn of the talk
_SHORT_ONES = {"plan.next", "other.why", "other.working", "other.greeting", "help.topics", "plan.facts", "plan.show"}
_RECORDED = {
    "plan.log",
    "plan.start",
    "plan.correct",
    "plan.seen",
    "plan.tell",
    "plan.resown",
    "other.why",
}
_DEEDS = {"deed", "step", "happened_on", "sight", "job"}  # what names the deed itself
_ENTRIES = {  # kind of entry -> intent, slot, topic
    "practices": ("practice.answer", "entry", "other"),
    "glossary": ("help.word", "entry", "other"),
    "troubles": ("trouble.diagnose", "complaint", "trouble"),
}
_NEVER_WORD = ("plan.", "other.", "help.")
_NEVER_PRACTICE = ("practice.", "trouble.", "plan.not_done", "plan.was_done")
# score over the runner-up -> how often such readings are right; fitted on the corpus by a later count
_CONFIDENCE = ((0.3, 0.5), (0.6, 0.8), (1.0, 0.9), (1.6, 0.95))


def parse_line(text: str, vocabulary: Vocabulary, now: Now) -> tuple[Parse, ...]:
    """The readings of a line, in order; one for now."""
    line = read(text[:LONGEST_LINE], vocabulary, now)
    return (_or_practice(_choose(line, candidates(line, vocabulary), vocabulary), line, vocabulary),)


def _or_practice(parse: Parse, line: Line, vocabulary: Vocabulary) -> Parse:
    """An entry of the practice, where no question of ours fits a line and an entry does, or an entry fits far better.

    A line with amounts asks for a sum. One that would be kept on the record is held to more: a question is no deed.
    """
    if not (parse.amounts or parse.slots or parse.intent.startswith(_NEVER_WORD)):
        word = vocabulary.finder.word(parse.text)
        if word:
            return as_entry(parse, f"glossary.{word}", _SURE)
    told = parse.amounts or _DEEDS & parse.slots.keys() or parse.intent.startswith(_NEVER_PRACTICE)
    if parse.intent != "out_of_scope" and told:
        return parse
    found = vocabulary.finder.find(parse.text)
    sure = sureness(found)
    long = len(parse.text.split()) > _SHORT
    of_no_day = parse.topic == "today" and "~today" not in line.terms  # `can i mow wet grass` is asked of no day
    least = _OVER_RECORD if parse.intent in _RECORDED or of_no_day else _OVER
    if parse.intent == "out_of_scope":
        least = _WITH_FIGURES if parse.amounts else _FOUND
    elif (parse.intent in _SHORT_ONES and long) or (parse.intent in _RECORDED and "?" in parse.text):
        least = _FOUND  # a story is no `what now`, and a question no deed
    if sure >= least:
        return as_entry(parse, found[0].entry, sure)
    if long and parse.intent in _SHORT_ONES:
        parse = replace(parse, intent="out_of_scope", topic="other", slots={})
    if parse.intent != "out_of_scope":
        return parse
    offered = tuple(one.entry for one in found if one.entry and one.score >= _OFFERED)[:3]
    return replace(parse, found=offered, score=sure if sure >= _UNSURE else 0.0)


def as_entry(parse: Parse, entry: str, sure: float) -> Parse:
    """The line read as what was found, or picked, for it: `practices.x`, `glossary.x` or `troubles.x`."""
    intent, slot, topic = _ENTRIES[entry.partition(".")[0]]
    return replace(
        parse,
        intent=intent,
        topic=topic,
        slots={slot: Slot(slot, entry)},
        found=(),
        score=sure,
        confidence=0.95 if sure >= _SURE else 0.9,
        runner_up=("", 0.0),
        unread=(),
    )


def _choose(line: Line, found: list[Candidate], vocabulary: Vocabulary) -> Parse:
    amounts = tuple(reading.amount for reading in line.amounts)
    read = Parse(
        text=line.text,
        names=names_of(line),
        amounts=amounts,
        unread=tuple(line.words[place] for place in line.strange),
        corrected=tuple(line.corrected),
        nearest=tuple(candidate.intent for candidate in found[:3]),
    )
    if not found or found[0].score < _LEAST:
        return replace(read, runner_up=(found[0].intent, round(found[0].score, 3)) if found else ("", 0.0))
    best = found[0]
    second = found[1] if len(found) > 1 else None
    slots = _with_latent(line, best, vocabulary.intents[best.intent])
    margin = best.score - (max(second.score, 0) if second else 0)
    roles = {word for name in slots for word in vocabulary.intents[best.intent]["slots"].get(name, {}).get("words", ())}
    return replace(
        read,
        unread=tuple(word for word in read.unread if word not in roles),  # `wind 4`: the word told which figure it is
        intent=best.intent,
        topic=best.intent.partition(".")[0],
        slots=slots,
        amounts=_as_bound(amounts, slots),
        score=round(best.score, 3),
        confidence=confidence(margin),
        runner_up=(second.intent, round(second.score, 3)) if second else ("", 0.0),
    )


def confidence(margin: float) -> float:
    """How sure a reading is by its lead over the next."""
    sure = 0.4
    for least, share in _CONFIDENCE:
        if margin >= least:
            sure = share
    return sure


def close(parse: Parse) -> bool:
    """True where the runner-up is too near to be passed over."""
    return parse.runner_up[0] != "" and parse.runner_up[1] >= _LEAST and parse.score - parse.runner_up[1] < _CLOSE


def _with_latent(line: Line, best: Candidate, entry: dict[str, Any]) -> dict[str, Slot]:
    """A bare number goes to the one needed slot that is still open and can take it."""
    open_slots = [name for name in entry["needs"] if name not in best.slots and "unit" in entry["slots"][name]]
    if len(open_slots) != 1:
        return best.slots
    amount = latent(line, entry["slots"][open_slots[0]])
    if amount is None:
        return best.slots
    value = (amount,) if entry["slots"][open_slots[0]].get("parts") else amount
    return {**best.slots, open_slots[0]: Slot(open_slots[0], value)}


def _as_bound(amounts: tuple[Amount, ...], slots: dict[str, Slot]) -> tuple[Amount, ...]:
    """The amounts as the slots took them, for the echo."""
    bound: dict[tuple[int, int], Amount] = {}
    for slot in slots.values():
        bound |= {value.span: value for value in slot.amounts}
    return tuple(bound.get(amount.span, amount) for amount in amounts)


def fragment(text: str, intent: str, vocabulary: Vocabulary, now: Now, slot: str = "") -> dict[str, Slot]:
    """What a short answer gives for the slots of a question asked before, the one that was asked for first.

    Empty where not every amount and name of it finds a place, or where a word is left that nobody reads.
    """
    line = read(text[:LONGEST_LINE], vocabulary, now)
    entry = vocabulary.intents[intent]
    asked = entry["slots"].get(slot)
    if asked:
        found, used = bind(line, {"slots": {slot: {**asked, "said": True}}})
        amount = None if slot in found else latent(line, asked)
        if amount is not None:
            return {slot: Slot(slot, (amount,) if asked.get("parts") else amount)}
        if slot in found and len(used) == len(line.amounts):
            return found
    found, used = bind(line, entry)
    return found if found and not line.strange and len(used) == len(line.amounts) else {}


def explain(text: str, vocabulary: Vocabulary, now: Now) -> str:
    """Tokens, amounts, names, and every candidate with its features: why the winner won."""
    line = read(text[:LONGEST_LINE], vocabulary, now)
    found = candidates(line, vocabulary)
    rows = ["tokens     " + " | ".join(line.words)]
    rows += [f"amount     {reading.amount.text!r}: {reading.amount.kind} {_span(reading.amount)} {'|'.join(reading.amount.units)}"
             + (f" per {reading.amount.per}" if reading.amount.per else "") + (f" of {reading.amount.of}" if reading.amount.of else "")
             + (f" ({reading.amount.assumed})" if reading.amount.assumed else "") for reading in line.amounts]  # fmt: skip
    rows += [f"name       {name.text!r}: {name.id}" for name, _, _ in line.names]
    rows += [f"corrected  {typed} -> {word}" for typed, word in line.corrected]
    rows += [
        f"meaning    {' '.join(line.words[m.start : m.end])!r}: {' '.join(m.terms)}" for m in line.meanings if m.terms
    ]
    if line.strange:
        rows.append("unread     " + " ".join(line.words[place] for place in line.strange))
    for candidate in found[:6]:
        features = "  ".join(f"{name} {value:.2f}" for name, value in candidate.features.items() if value)
        rows.append(
            f"candidate  {candidate.intent}  {candidate.score:.2f}   {features}   slots: {', '.join(candidate.slots) or 'none'}"
        )
    parse = _choose(line, found, vocabulary)
    if parse.intent == "out_of_scope":
        rows.append(f"outcome    out of scope: no reading reaches {_LEAST}")
    elif close(parse):
        rows.append(f"outcome    unsure: {parse.intent} leads {parse.runner_up[0]} by less than {_CLOSE}")
    else:
        rows.append(
            f"outcome    {parse.intent}, {parse.score:.2f} against {parse.runner_up[1]:.2f} ({parse.runner_up[0] or 'nothing else'})"
        )
    return "\n".join(rows)


def _span(amount: Amount) -> str:
    return f"{amount.low}" if amount.single else f"{amount.low} to {amount.high}"


__all__ += ["Name", "as_entry", "close", "confidence", "taken_as"]

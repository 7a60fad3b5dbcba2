"""Text to Parse. Never raises, keeps no state, and says what it could not read."""

from __future__ import annotations

from collections.abc import Container
from typing import Any

from assistant.knowledge_base.words import OF_INTENTS
from assistant.parsing.changes import nearest_to, part_of
from assistant.parsing.choosing import OF_ENTRIES, as_entry, chosen, close, weighed, with_intent
from assistant.parsing.line import Line
from assistant.parsing.matching import bind, candidates, is_heavy, latent, taken_as, with_likeness
from assistant.parsing.near import Near
from assistant.parsing.pieces import chained, paired, parted, placed, told_at_length
from assistant.parsing.reading import read
from assistant.parsing.vocabulary import Vocabulary
from assistant.terms import Amount, Name, Now, Parse, Slot

__all__ = ["LONGEST_LINE", "OF_ENTRIES", "STORY", "Name", "Vocabulary", "apart_from", "as_entry", "as_intent", "changed", "close", "explain", "fragment", "parse_line", "taken_as"]  # fmt: skip

LONGEST_LINE = 4000  # marks; nobody types more into one question
STORY = 32  # tokens of a line that is a story with a question in it
_WHOLE = 0.7  # so sure a reading of a whole story must be to be taken as it is
_LEANS_ON = {"revise", "same", "goes_on"}
_PICKED = Near(3.0, 1.0)  # a question that was picked
_PASSED_OVER = 3  # words that nobody reads, beside one that says that something is changed


def parse_line(text: str, vocabulary: Vocabulary, now: Now) -> tuple[Parse, ...]:
    """The readings of a line, in order: one, or one for each question that it holds."""
    line = read(text[:LONGEST_LINE], vocabulary, now)
    whole = chosen(line, vocabulary)
    doubtful = whole.confidence < _WHOLE and not _is_complete(whole, vocabulary)
    if len(line.words) > STORY and (doubtful or whole.intent in OF_ENTRIES):
        return (told_at_length(line, whole, vocabulary, now),)
    at_hand = (line, whole, vocabulary, now)
    return parted(*at_hand) or paired(*at_hand) or chained(*at_hand) or placed(*at_hand) or (whole,)


def _is_complete(parse: Parse, vocabulary: Vocabulary) -> bool:
    """True for a formula that the line gives all it needs."""
    entry = vocabulary.intents.get(parse.intent, {})
    return bool(entry.get("works")) and all(name in parse.slots for name in entry["needs"])


def apart_from(parse: Parse, intents: Container[str], vocabulary: Vocabulary, now: Now) -> Parse:
    """The line read as if those of our questions were none."""
    return chosen(read(parse.text[:LONGEST_LINE], vocabulary, now), vocabulary, intents)


def as_intent(parse: Parse, intent: str, vocabulary: Vocabulary, now: Now) -> Parse:
    """The line read as the one of our questions that was picked for it."""
    line = read(parse.text[:LONGEST_LINE], vocabulary, now)
    readings = with_likeness(candidates(line, vocabulary), line, vocabulary, {OF_INTENTS + intent: _PICKED})
    one = next(one for one in readings if one.intent == intent)
    return with_intent(parse, one, line, vocabulary, 1.0)


def fragment(text: str, intent: str, vocabulary: Vocabulary, now: Now, slot: str = "") -> dict[str, Slot]:
    """What a short answer gives for the slots of a question asked before, the one that was asked for first.

    Empty where not every amount and name of it finds a place, or where a word is left that nobody reads.
    """
    line = read(text[:LONGEST_LINE], vocabulary, now)
    entry = vocabulary.intents[intent]
    asked = entry["slots"].get(slot)
    if asked:
        roles = (
            () if "date" in asked.get("kind", ()) else asked.get("words", ())
        )  # a day that was asked for needs no word
        found, used = bind(line, {"slots": {slot: {**asked, "said": True, "near": (), "words": roles}}})
        amount = None if slot in found else latent(line, asked)
        if amount is not None and len(line.amounts) == 1:
            return {slot: Slot(slot, (amount,) if asked.get("parts") else amount)}
        if slot in found and len(used) == len(line.amounts):
            return found
        one = _one_of_unit(line, asked) if slot not in found and not line.amounts else None
        if one is not None:
            return {slot: Slot(slot, one)}
    found, used = bind(line, entry)
    return found if found and not _strange_to(line, entry) and len(used) == len(line.amounts) else {}


def _strange_to(line: Line, entry: dict[str, Any]) -> list[str]:
    """The words that nobody reads, not even the slots of this question."""
    return [line.words[place] for place in line.strange if line.words[place] not in entry["roles"]]


def _one_of_unit(line: Line, spec: dict[str, Any]) -> Amount | None:
    """`quart jugs`: a unit alone, where an amount of its kind was asked for, is one of it."""
    for meaning in line.meanings:
        kinds = [term[1:-1] for term in meaning.terms if term.startswith("<")]
        words = line.words[meaning.start : meaning.end]
        for kind in kinds:
            if kind in spec.get("kind", ()):
                return Amount(kind, 1.0, 1.0, (words[-1],), text=" ".join(words))
    for name, _, _ in line.names:
        if name.type == "in_unit" and set(spec.get("kind", ())) & {"mass", "volume"}:
            unit = name.id.partition(".")[2]
            kind = "mass" if unit in ("lb", "oz", "kg", "g", "ton") else "volume"
            return Amount(kind, 1.0, 1.0, (unit,), text=name.text)
    return None


def changed(text: str, intent: str, held: dict[str, Slot], vocabulary: Vocabulary, now: Now) -> dict[str, Slot]:
    """What a line changes in the slots of a question that was answered: figures, names, or a bare number.

    A bare number goes to the figure that it is nearest to: 14 to a rate of 12, not to an area of 4,200; `9 oz` to a rate
    in ounces. Empty where anything of the line finds no place, or a number is as near to two figures.
    """
    line = read(text[:LONGEST_LINE], vocabulary, now)
    entry = vocabulary.intents[intent]
    found, used = bind(line, entry)
    for place, reading in enumerate(line.amounts):
        amount = reading.amount
        taken = next((name for name, slot in found.items() if amount.span in {one.span for one in slot.amounts}), "")
        if place in used and not (amount.kind == "number" and taken and taken not in held):
            continue
        if any(start <= reading.start < end for _, start, end in line.names):
            continue  # the weeks of `3 weeks old`
        slot = part_of(amount, line.words[reading.end :], held, entry["slots"])
        slot = slot or nearest_to(amount, {name: one for name, one in held.items() if name not in found})
        if slot is None and place not in used:
            return {}
        if slot is not None:
            found.pop(taken, None)
            found[slot.name] = slot
    bound = {value for slot in found.values() for value in slot.values if isinstance(value, str)}
    names = {name.id for name, _, _ in line.names if is_heavy(name)}
    few = 0 if not {term[1:] for term in line.terms} & _LEANS_ON else _PASSED_OVER
    return {} if len(_strange_to(line, entry)) > few or not names <= bound else found


def explain(text: str, vocabulary: Vocabulary, now: Now) -> str:
    """Tokens, amounts, names, and every reading with its features: why the winner won."""
    line = read(text[:LONGEST_LINE], vocabulary, now)
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
    for one in weighed(line, vocabulary)[:6]:
        features = "  ".join(f"{name} {value:.2f}" for name, value in one.candidate.features.items() if value)
        slots = f"   slots: {', '.join(one.candidate.slots)}" if one.candidate.slots and not one.entry else ""
        rows.append(f"reading    {one.share:4.0%}  {one.entry or one.candidate.intent}   {features}{slots}")
    parse = chosen(line, vocabulary)
    if close(parse):
        rows.append(f"outcome    unsure: offered are {', '.join(parse.found)}")
    elif parse.intent == "out_of_scope":
        rows.append("outcome    out of scope: nothing is likely enough")
    else:
        rows.append(
            f"outcome    {parse.intent}, confidence {parse.confidence:.2f}; next {parse.runner_up[0] or 'nothing'}"
        )
    return "\n".join(rows)


def _span(amount: Amount) -> str:
    return f"{amount.low}" if amount.single else f"{amount.low} to {amount.high}"

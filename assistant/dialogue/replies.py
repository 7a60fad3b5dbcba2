"""What is said when a line could not be answered: out of scope, unsure, or not to be worked out.

What is offered instead is worded with the user's own figures, so that it can be picked, or typed as it stands.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from assistant.answer import ANSWERED, OUT_OF_SCOPE, REFUSED, UNSURE, Answer, Figure
from assistant.knowledge_base.words import OF_INTENTS
from assistant.parsing import OF_ENTRIES, STORY, Vocabulary, close
from assistant.parsing.line import LESSER_PART
from assistant.parsing.reading import read
from assistant.terms import Amount, Now, Parse

_ALWAYS = ("seed.amount", "feed.amount", "plan.next")
_NAMES_KEPT = ("species", "product", "place", "ingredients", "state")
_GRASSES = ("species", LESSER_PART)
_NEVER_USED = ("date", "clock")  # the day of work and the like, which a sum needs not
_THINGS = ("species", "product", "tank", "analysis")
_MOST_UNKNOWN = 4
_SURE = 0.7  # confidence below which an answer says what it took the line for


def out_of_scope(parse: Parse, vocabulary: Vocabulary, now: Now) -> Answer:
    """One line that says what it can do instead, with the nearest things to ask."""
    if len(parse.doubled) > 1:
        words = f"You gave {' and '.join(parse.doubled)}; I can take one of them at a time. Which one?"
        return Answer(UNSURE, words)
    unknown = list(dict.fromkeys(parse.unread))[:_MOST_UNKNOWN]
    heard = f" I did not understand: {', '.join(unknown)}." if unknown else ""
    titles = tuple(_title(entry, parse, vocabulary, now) for entry in parse.found)
    if close(parse):
        return Answer(UNSURE, _which(len(titles)), choices=titles)
    if titles:
        return Answer(OUT_OF_SCOPE, f"I can't answer that.{heard} The nearest that I know:", choices=titles)
    known = dict.fromkeys((*parse.nearest, *_ALWAYS))
    near = [one for one in known if vocabulary.intents[one]["say"] and not vocabulary.intents[one]["about"]][:3]
    choices = tuple(_title(f"{OF_INTENTS}{intent}", parse, vocabulary, now) for intent in near)
    return Answer(
        OUT_OF_SCOPE, f"I can't answer that.{heard} I know seeding lawns; the nearest I can do:", choices=choices
    )


def _which(count: int) -> str:
    if count == 1:
        return "I am not sure that I understand. Is it this? Say 1:"
    return "I can read that in two ways. Say the number of the one you mean:" if count == 2 else (
        "I am not sure which of these you ask. Say its number:"
    )  # fmt: skip


def in_doubt(parse: Parse, vocabulary: Vocabulary) -> str:
    """What is said behind an answer to a line that was not quite understood: what it was taken for, and what else it may be."""
    intent, (second, _) = parse.intent, parse.runner_up
    if not 0 < parse.confidence < _SURE or intent in OF_ENTRIES or intent not in vocabulary.intents:
        return ""
    words = f"I took that for: {vocabulary.intents[intent]['does']}."
    if second in vocabulary.intents:
        return f"{words} It may be: {vocabulary.intents[second]['does']}. Say which, in other words, if this is not it."
    return f"{words} Say it in other words if this is not it."


def passed_over(parse: Parse, answer: Answer, kept: bool) -> str:
    """The figures of a line that its sum did not use, or that were not kept of it, said so that a misreading is seen."""
    story = len(parse.text.split()) > STORY
    worked_out = answer.status == ANSWERED and answer.figures
    if not (worked_out or kept) or parse.intent in OF_ENTRIES or story:
        return ""
    taken = [amount for slot in (*parse.slots.values(), *answer.inputs) for amount in slot.amounts]
    left = [
        amount.text
        for amount in parse.amounts
        if amount.kind not in _NEVER_USED and not any(_holds(one, amount) for one in taken)
    ]
    if kept:
        held = {value for slot in parse.slots.values() for value in slot.values}
        left += [name.text for name in parse.names if name.type in _GRASSES and name.id not in held]
    return f"Not {'kept' if kept else 'used'}: {', '.join(dict.fromkeys(left))}." if left else ""


def _holds(taken: Amount, amount: Amount) -> bool:
    """True where a slot's amount is this one, or was made of it."""
    first, last = taken.span
    return (first <= amount.span[0] and amount.span[1] <= last) or amount.text in taken.text


def _title(entry: str, parse: Parse, vocabulary: Vocabulary, now: Now) -> str:
    """What an entry, or a question of ours, is called where it is offered."""
    kind, _, key = entry.partition(".")
    if entry.startswith(OF_INTENTS):
        asked = asked_with(key, parse, vocabulary, now)
        return vocabulary.intents[key]["does"] + (f", for example: {asked}" if asked else "")
    if kind == "troubles":
        return f"What went wrong: {vocabulary.knowledge.entry(f'troubles.complaints.{key}.called')[0]}"
    return str(vocabulary.knowledge.entry(f"{entry}.title"))


def asked_with(intent: str, parse: Parse, vocabulary: Vocabulary, now: Now) -> str:
    """An example of a question with the figures and names of this line in the place of its own."""
    said = vocabulary.intents[intent]["say"]
    if not said:
        return ""
    text = str(said[0])
    given = [(one.measures, one.text) for one in parse.amounts]
    given += [(name.type, name.text) for name in parse.names if name.type in _NAMES_KEPT]
    if not given:
        return text
    line = read(text, vocabulary, now)
    places = [(reading.amount.measures, reading.amount.span) for reading in line.amounts]
    places += [(name.type, name.span) for name, _, _ in line.names if name.type in _NAMES_KEPT]
    swaps = []
    for kind, span in sorted(places, key=lambda one: one[1]):
        mine = next((one for one in given if one[0] == kind), None)
        if mine is not None:
            given.remove(mine)
            swaps.append((span, mine[1]))
    for (start, end), words in reversed(swaps):
        text = text[:start] + words.strip() + text[end:]
    return text


def cannot_tell(problem: Exception) -> Answer:
    """An arithmetic that does not go through; a last resort with a sentence of its own."""
    why = f" ({problem})" if type(problem) is ValueError and str(problem) else ""  # our own sentences only
    return Answer(
        REFUSED,
        f"Those figures do not go together, so I give none{why}. Say them again with their units; nothing was recorded.",
    )


def in_all(given: Sequence[tuple[Parse, Answer]]) -> Figure | None:
    """What the answers to one line come to together, where each says how much of the same thing goes down; else None."""
    firsts = [answer.figures[0] for _, answer in given if answer.status == ANSWERED and answer.figures]
    kinds = {
        (parse.intent, *(parse.slots[name].value for name in _THINGS if name in parse.slots)) for parse, _ in given
    }
    measures = {(figure.label, figure.of, figure.unit, figure.per) for figure in firsts}
    if len(firsts) < max(2, len(given)) or len(kinds) > 1 or len(measures) > 1:
        return None
    first = firsts[0]
    if first.per or not first.of or not first.unit:
        return None
    low, high = sum(figure.low for figure in firsts), sum(figure.high for figure in firsts)
    return replace(first, low=low, high=high, label="both together" if len(firsts) == 2 else "all together")

"""What is said when a line could not be answered: out of scope, unsure, or not to be worked out."""

from __future__ import annotations

from assistant.answer import OUT_OF_SCOPE, REFUSED, UNSURE, Answer
from assistant.parsing import Vocabulary
from assistant.terms import Parse

_ALWAYS = ("seed.amount", "feed.amount", "plan.next")


def out_of_scope(parse: Parse, vocabulary: Vocabulary) -> Answer:
    """One line that says what it can do instead, with the nearest things to ask."""
    unknown = list(dict.fromkeys(parse.unread))[:4]
    heard = f" I did not understand: {', '.join(unknown)}." if unknown else ""
    titles = [_title(entry, vocabulary) for entry in parse.found]
    if titles and parse.score:
        return Answer(UNSURE, "I am not sure which of these you ask. Say its number:", choices=tuple(titles))
    if titles:
        return Answer(OUT_OF_SCOPE, f"I can't answer that.{heard} The nearest that I know:", choices=tuple(titles))
    near = [intent for intent in dict.fromkeys((*parse.nearest, *_ALWAYS)) if intent in vocabulary.intents][:3]
    choices = tuple(
        f"{vocabulary.intents[intent]['does']}, for example: {vocabulary.intents[intent]['say'][0]}"
        for intent in near
        if vocabulary.intents[intent]["say"]
    )
    return Answer(
        OUT_OF_SCOPE, f"I can't answer that.{heard} I know seeding lawns; the nearest I can do:", choices=choices
    )


def _title(entry: str, vocabulary: Vocabulary) -> str:
    """What an entry is called where it is offered."""
    kind, _, key = entry.partition(".")
    if kind == "troubles":
        return f"What went wrong: {vocabulary.knowledge.entry(f'troubles.complaints.{key}.called')[0]}"
    return str(vocabulary.knowledge.entry(f"{entry}.title"))


def two_readings(parse: Parse, vocabulary: Vocabulary) -> Answer:
    """Two readings are close: both are offered, none is taken."""
    choices = []
    for intent in (parse.intent, parse.runner_up[0]):
        entry = vocabulary.intents[intent]
        example = f", for example: {entry['say'][0]}" if entry["say"] else ""
        choices.append(f"{entry['does']}{example}")
    return Answer(
        UNSURE,
        "I can read that in two ways. Which do you mean?",
        choices=tuple(choices),
        topic=parse.topic,
        intent=parse.intent,
    )


def cannot_tell(problem: Exception) -> Answer:
    """An arithmetic that does not go through; a last resort with a sentence of its own."""
    why = f" ({problem})" if type(problem) is ValueError and str(problem) else ""  # our own sentences only
    return Answer(
        REFUSED,
        f"Those figures do not go together, so I give none{why}. Say them again with their units; nothing was recorded.",
    )

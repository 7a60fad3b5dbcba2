"""What is said about the answer before: why, the working, undo, metric."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from assistant.answer import ANSWERED, ASKS, OUT_OF_SCOPE, RECORDED, REFUSED, Answer, Ask, amount_words
from assistant.lawn import events as kinds
from assistant.lawn.events import Event, taken_back
from assistant.skills.turn import Turn
from assistant.terms import Amount, Slot, capital, day_words

_NOTHING = "There is no answer yet to explain. Ask something first."


def why(turn: Turn, figure: Slot | None = None) -> Answer:
    """Where each figure of the last answer came from."""
    if turn.last is None:
        return Answer(OUT_OF_SCOPE, _NOTHING)
    rows = [*turn.last.why, *(_input_line(turn, slot) for slot in turn.last.inputs)]
    rows += list(turn.last.working)
    if not rows:
        return Answer(ANSWERED, "The last answer rests on no figures.", sources=turn.last.sources)
    return Answer(
        ANSWERED,
        "It rests on this:",
        lines=tuple(dict.fromkeys(rows)),
        inputs=turn.last.inputs,
        sources=turn.last.sources,
    )


def _input_line(turn: Turn, slot: Slot) -> str:
    said = ", ".join(
        amount_words(value) if isinstance(value, Amount) else turn.knowledge.name(str(value)) for value in slot.values
    )
    if slot.origin == "lawn":
        return f'{_label(slot)} {said}: you said "{slot.why}" on {day_words(date.fromisoformat(slot.said_on))}.'
    taken = f"; {slot.amount.assumed}" if slot.amounts and slot.amount.assumed else ""
    return f"{_label(slot)} {said}: {turn.input_words(slot)}{taken}."


def _label(slot: Slot) -> str:
    return slot.name.replace("_", " ").capitalize()


def working(turn: Turn) -> Answer:
    """The steps of the last calculation."""
    if turn.last is None:
        return Answer(OUT_OF_SCOPE, _NOTHING)
    rows = turn.last.working or turn.last.why
    return Answer(
        ANSWERED,
        "Step by step:" if rows else "The last answer needed no arithmetic.",
        lines=tuple(rows),
        inputs=turn.last.inputs,
        sources=turn.last.sources,
    )


def undo(turn: Turn) -> Answer:
    """Take back everything that the last line recorded, on this lawn and on those that it named beside it."""
    live = turn.lawn.live if turn.lawn else ()
    if not live:
        return Answer(REFUSED, "There is nothing to take back.")
    everything = turn.events(None)
    turns = _turns_of_a_line(live[-1], kinds.standing(everything))
    taken = [one for one in everything if one.turn in turns]  # and what that line put right
    said = date.fromisoformat(live[-1].said_on)
    if (turn.in_vain or said != turn.now.day) and "anyway" not in turn.parse.text.lower():
        words = (
            f'The last thing on record of {live[-1].lawn or "the shelf"} is of {day_words(said)}: "{live[-1].text}".'
        )
        words = f"Your last line recorded nothing. {words}" if turn.in_vain else words
        return Answer(ASKS, words, asks=Ask("undo", 'To take that back, say "undo anyway".'))
    events = taken_back(taken, turn.now.day)
    of = [event.lawn or "the shelf" for event in events]
    headline = f'{capital(", ".join(of))}: "{live[-1].text}" taken back. Recorded.' if len(of) > 1 else ""
    return Answer(RECORDED, headline, events=events)


def _turns_of_a_line(last: Event, live: list[Event]) -> set[int]:
    """The turns that one line was written in, which told the same of several lawns: of each of them once."""
    turns: dict[int, str] = {last.turn: last.lawn}
    for event in reversed(live):
        if event.turn in turns or event.turn > last.turn:
            continue
        follows = event.turn == min(turns) - 1 and (event.text, event.said_on) == (last.text, last.said_on)
        if not follows or event.lawn in turns.values():
            break
        turns[event.turn] = event.lawn
    return set(turns)


def metric(turn: Turn, measured_as: Slot | None = None) -> Answer:
    """Only reached where there is no answer to turn over; the dialogue asks the last question again."""
    return Answer(OUT_OF_SCOPE, "There is no answer yet to turn over. Ask something first.")


def unsure(turn: Turn) -> Answer:
    """Only reached where no question is open; the dialogue helps with an open one."""
    return Answer(ANSWERED, "That is fine. Tell me what you want to do, or say help to see what I can do.")


def greeting(turn: Turn) -> Answer:
    """A word of greeting or of thanks given back."""
    if "thanks_word" in turn.parse.terms:
        return Answer(ANSWERED, "Any time. What is next?")
    return Answer(ANSWERED, 'Hello. Ask me about seeding a lawn, for example "what do I do next", or say help.')


def shorter(turn: Turn) -> Answer:
    """The last answer's headline; its cautions stay."""
    if turn.last is None:
        return Answer(OUT_OF_SCOPE, _NOTHING)
    return replace(turn.last, lines=(), working=(), sources=(), events=(), changes=(), asks=None, choices=())


def longer(turn: Turn) -> Answer:
    """The last answer in full."""
    if turn.last is None:
        return Answer(OUT_OF_SCOPE, _NOTHING)
    return replace(turn.last, lines=(*turn.last.lines, *turn.last.why), events=(), changes=(), asks=None)


def sources(turn: Turn) -> Answer:
    """Who printed the figures of the last answer, with where to read it."""
    if turn.last is None:
        return Answer(OUT_OF_SCOPE, _NOTHING)
    if not turn.last.sources:
        said = tuple(_input_line(turn, slot) for slot in turn.last.inputs)
        return Answer(ANSWERED, "No printed source: it is arithmetic on what you said.", lines=said)
    rows: list[str] = []
    for source in turn.last.sources:
        entry = turn.knowledge.source(source.key) or {}
        rows.append(" ".join(filter(None, (f"{source.words or source.title}.", entry.get("address")))))
    return Answer(ANSWERED, "It is from:", lines=tuple(rows), sources=())


def doubt(turn: Turn) -> Answer:
    """What the last answer hangs on, so that a figure that was taken wrongly can be put right."""
    if turn.last is None:
        return Answer(OUT_OF_SCOPE, _NOTHING)
    rows = [*(_input_line(turn, slot) for slot in turn.last.inputs), *turn.last.working]
    if not rows:
        return Answer(ANSWERED, "It stands as its source prints it; ask why, or says who.", sources=turn.last.sources)
    said = 'Say what is other, for example "make it 5,000", and I work it out again.'
    return Answer(ANSWERED, "It follows from these:", lines=(*dict.fromkeys(rows), said), sources=turn.last.sources)


def back(turn: Turn) -> Answer:
    """Only reached through the dialogue, which knows the questions of the talk."""
    return Answer(OUT_OF_SCOPE, _NOTHING)


never_mind = back

"""A conversation: what is open, what was said, which lawn it is about. The only writer of the record."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from functools import cache
from typing import NamedTuple

from assistant.answer import (
    ANSWERED,
    ASKS,
    OUT_OF_SCOPE,
    RECORDED,
    REFUSED,
    UNSURE,
    Answer,
    Ask,
    Figure,
    amount_words,
    describe,
)
from assistant.dialogue.facts import facts_told
from assistant.dialogue.filling import ask_for, fill, missing
from assistant.dialogue.following import NO, between, earlier_question, followed, left
from assistant.dialogue.lawns import HOME_LAWN, by_lawn, lawn_meant, stranger
from assistant.dialogue.possible import impossible
from assistant.dialogue.replies import cannot_tell, in_all, in_doubt, out_of_scope, passed_over
from assistant.dialogue.righting import Telling, righted
from assistant.knowledge_base import Knowledge
from assistant.lawn import events as kinds
from assistant.lawn.events import Event, taken_back
from assistant.lawn.state import LawnState, fold, fold_on
from assistant.lawn.store import Store
from assistant.lawn.weather import Weather, place_of
from assistant.parsing import LONGEST_LINE, Vocabulary, parse_line
from assistant.skills import answer_of, meanwhile
from assistant.skills.turn import Turn
from assistant.terms import FAHRENHEIT, HOT_IN_CELSIUS, Amount, Now, Parse, Slot, capital
from assistant.wording import written

_ADD_WEATHER = "weather add "
CARRIED_TURNS = 3  # a slot of an earlier question is taken up for so many turns
# what the next question may need of a figure in such a unit: the name of its slot, and its kind
_NEXT = {
    **dict.fromkeys(("lb", "oz", "kg", "g", "ton"), ("needed", "mass")),
    **dict.fromkeys(("floz", "gal", "gallon", "qt", "L", "mL", "cu_yd", "cu_ft"), ("needed", "volume")),
    **dict.fromkeys(("inch / hour", "mm / hour"), ("precipitation", "speed")),
    "USD": ("money", "money"),
}
_NOTHING_KEPT = (REFUSED, OUT_OF_SCOPE, UNSURE)
_TRAIL = 30  # questions that can be gone back to


class OpenQuestion(NamedTuple):
    """What was asked back, and the reading it belongs to."""

    parse: Parse
    slot: str
    choices: tuple[str, ...] = ()


@dataclass
class Session:
    """One conversation. `keep` says whether what is told is written down; `lawn` is the lawn it is about."""

    knowledge: Knowledge
    store: Store
    now: Now
    keep: bool = True
    given: str = ""  # the lawn that the run was started for
    lawn: str = ""  # the lawn that the talk is about
    open_question: OpenQuestion | None = None
    parked: OpenQuestion | None = None  # one that was left for another question
    trail: list[Parse] = field(default_factory=list)  # the questions of this talk
    told: list[Telling] = field(default_factory=list)  # and what it recorded, as far as that stands
    filled: dict[str, Slot] = field(default_factory=dict)  # the slots of the last question, with where they came from
    context: dict[str, tuple[Slot, int]] = field(default_factory=dict)
    last: tuple[Parse, Answer] | None = None
    earlier: tuple[Parse, Answer] | None = None  # the one before: `why` explains it where the last was taken back
    turns: int = 0
    about: str = ""
    weather: Weather | None = None  # tables of the user's places
    in_vain: bool = False  # whether the last line came to nothing: refused, not understood, or asked back
    taking_back: tuple[Event, ...] = ()  # what the line in hand takes the place of; it counts for nothing any more
    _vocabulary: Vocabulary | None = None
    _lawns: tuple[str, ...] | None = None
    _states: dict[str, LawnState] = field(default_factory=dict)  # as last folded

    def __post_init__(self) -> None:
        self.lawn = self.lawn or self.given

    @property
    def lawns(self) -> tuple[str, ...]:
        if self._lawns is None:
            self._lawns = self.store.lawns()
        return self._lawns

    @property
    def vocabulary(self) -> Vocabulary:
        if self._vocabulary is None:
            self._vocabulary = Vocabulary(self.knowledge, self.lawns)
        elif self._vocabulary.lawns != self.lawns:
            self._vocabulary = self._vocabulary.naming(self.lawns)
        return self._vocabulary

    def afresh(self) -> Session:
        """A session for the next question of a batch: the same record and words, nothing carried over."""
        return Session(
            self.knowledge,
            self.store,
            self.now,
            self.keep,
            self.given,
            weather=self.weather,
            _vocabulary=self.vocabulary,
            _lawns=self.lawns,
            _states=self._states,
        )

    def carried(self) -> dict[str, Slot]:
        """The slots of earlier turns that are still fresh."""
        return {
            name: replace(slot, origin="context")
            for name, (slot, turn) in self.context.items()
            if self.turns - turn <= CARRIED_TURNS
        }

    def carried_to(self, parse: Parse) -> dict[str, Slot]:
        """Those that serve a question: the rate of one grass is none of another that the line names."""
        carried = self.carried()
        grass = next((name.id for name in parse.names if name.type == "species"), "")
        if grass and not ("species" in carried and carried["species"].value == grass):
            carried.pop("seed_rate", None)
        return carried

    def look(self, name: str) -> Turn:
        """What a skill may look at, for a lawn, outside a question."""
        state = self.state(name)
        return Turn(
            self.now,
            self.knowledge,
            Parse(""),
            state,
            lawns=self.lawns,
            weather=place_of(self.weather, name),
            states=cache(self.states),
            shelf_events=self.shelf_events,
            events=self.store.events,
        )

    def shelf_events(self) -> tuple[Event, ...]:
        """What was said of no lawn: the shelf, and notes."""
        return self.store.events("")

    def states(self) -> tuple[LawnState, ...]:
        """Every lawn of the record; one walk through the journal."""
        events: dict[str, list[Event]] = {}
        for event in self.store.events():
            if event.lawn:
                events.setdefault(event.lawn, []).append(event)
        return tuple(fold(name, told) for name, told in events.items())

    def state(self, name: str) -> LawnState | None:
        """A lawn as its events leave it; those that are not new since it was last asked for are not folded again."""
        if not name:
            return None
        if self.taking_back:
            return fold(name, (*self.store.events(name), *taken_back(self.taking_back, self.now.day)))
        self._states[name] = fold_on(self._states.get(name, LawnState(name)), self.store.events(name))
        return self._states[name]


def turn(line: str, session: Session) -> Iterator[tuple[Parse, Answer]]:
    """One line in; its readings and their answers out, in order. What they record is on the disk before they appear."""
    session.turns += 1
    text = line.strip()
    if not text:
        yield (
            Parse(text),
            Answer(
                OUT_OF_SCOPE,
                'The line is empty. Ask something, for example "how much starter for 4,200 sq ft", or say help.',
            ),
        )
        return
    if len(text) > LONGEST_LINE:
        yield (
            Parse(text),
            Answer(
                REFUSED,
                f"That line has {len(text):,} characters and I read up to {LONGEST_LINE:,}. Ask it shorter; nothing was recorded.",
            ),
        )
        return
    if text.lower().startswith("note:"):
        yield _note(text, session)
        return
    if text.lower().startswith(_ADD_WEATHER):
        yield _table(text, session)
        return
    given: list[tuple[Parse, Answer]] = []
    parses = parse_line(text, session.vocabulary, session.now)
    for place, parse in enumerate(parses):
        leads_to = session.last[1].leads_to if session.last else ""
        if parse.intent == "practice.work" and leads_to:
            yield from turn(leads_to, session)
            continue
        each = by_lawn(parse, session)
        for one in each:
            read, answer = _answered(one, session)
            if len(each) > 1 and answer.status == ANSWERED and answer.figures:
                answer = replace(answer, headline=f"{capital(session.about)}: {answer.headline}")
            given.append((read, answer))
            total = in_all(given) if one is each[-1] and place == len(parses) - 1 else None
            yield read, _with_total(answer, total, session) if total else answer


def _with_total(answer: Answer, total: Figure, session: Session) -> Answer:
    """The last of several answers with what all of them come to, which the next question may be about."""
    words = f"{capital(total.label)}: {written(total.low, total.high, total.unit)} of {total.of}"
    needed = _needed(total, words)
    if needed:
        session.context[needed.name] = (needed, session.turns)
    return replace(answer, lines=(*answer.lines, f"{words}."))


def _answered(parse: Parse, session: Session) -> tuple[Parse, Answer]:
    put_right = righted(parse, session)
    if put_right:
        return _give_instead(*put_right, session)
    parse = followed(parse, session)
    if parse.intent == "other.metric" and session.last:
        return parse, _in_other_measures(parse, session)
    if parse.intent == "other.never_mind":
        return parse, Answer(ANSWERED, left(session), topic=parse.topic, intent=parse.intent)
    if parse.intent == "other.back":
        return _gone_back(parse, session)
    if parse.intent == "other.unsure" and session.open_question and session.open_question.slot != "entry":
        return parse, _help_with(session.open_question, session)
    return _give(parse, session)


def _in_other_measures(parse: Parse, session: Session) -> Answer:
    """The last question answered again in metric or US measures; nothing is written a second time."""
    assert session.last is not None
    before, metric = session.last[0], any(name.id == "measured_as.metric" for name in parse.names)
    unit = next((name.id for name in parse.names if name.type == "in_unit"), "")
    if unit and "asked" in session.vocabulary.intents[before.intent]["slots"]:  # `in pounds`, and not in ounces
        before = before.with_slot(Slot("asked", unit))
    name, unclear = lawn_meant(before, session)
    _, answer = _work_out(before, session, session.state(name), unclear, metric)
    headline = answer.headline or "Nothing in that is said in other measures."
    return replace(answer, headline=headline, events=(), topic=before.topic, intent=before.intent)


def _gone_back(parse: Parse, session: Session) -> tuple[Parse, Answer]:
    """An earlier question answered again, or asked again where it is open; nothing is written a second time."""
    earlier = earlier_question(parse, session)
    if earlier is None:
        words = "There is no such question in this talk. Ask it afresh."
        return parse, Answer(OUT_OF_SCOPE, words, topic=parse.topic, intent=parse.intent)
    name, unclear = lawn_meant(earlier, session)
    filled, answer = _work_out(earlier, session, session.state(name), unclear)
    answer = replace(answer, events=(), topic=earlier.topic, intent=earlier.intent)
    _remember(earlier, filled, answer, session)
    return parse, answer


def _help_with(held: OpenQuestion, session: Session) -> Answer:
    """What helps somebody who cannot answer the open question; it stays open."""
    spec = session.vocabulary.intents[held.parse.intent]["slots"].get(held.slot, {})
    words = spec.get("ask", f"What {held.slot.replace('_', ' ')}?")
    hint = spec.get("unsure", "Then I cannot work it out yet; come back when you know.")
    return Answer(
        ASKS, hint, topic=held.parse.topic, intent=held.parse.intent, asks=Ask(held.slot, words, held.choices)
    )


def _give_instead(parse: Parse, events: tuple[Event, ...], session: Session) -> tuple[Parse, Answer]:
    """What is told in the place of what was recorded, which is taken back in the same turn, or stays where nothing comes of it."""
    session.taking_back = events
    try:
        return _give(parse, session)
    finally:
        session.taking_back = ()


def _give(parse: Parse, session: Session) -> tuple[Parse, Answer]:
    name, unclear = lawn_meant(parse, session)
    if name and name not in session.lawns:  # the words of its name are understood by now
        parse = replace(parse, unread=tuple(word for word in parse.unread if word not in name.lower().split()))
    if name != session.about:  # what was said of another lawn is not carried over to this one
        before = {} if session.about else session.context  # of no lawn: a soil test, and then whose it is
        session.context = {slot: held for slot, held in before.items() if slot not in session.vocabulary.facts}
        session.about = name
    state = session.state(name)
    if parse.intent == "other.undo" and not name:
        state = fold("", session.shelf_events())
    filled, answer = _work_out(parse, session, state, unclear)
    answer = replace(answer, topic=parse.topic, intent=parse.intent) if answer.intent == "out_of_scope" else answer
    try:
        asked = answer.asks.slot if answer.asks else ""
        kept = answer.status in (ANSWERED, RECORDED, ASKS) and not unclear
        told = facts_told(filled, session, name, asked) if kept else None
    except ValueError as problem:  # pieces of an area that leave nothing
        return filled, replace(cannot_tell(problem), topic=parse.topic, intent=parse.intent)
    events = ((told,) if told else ()) + answer.events
    if session.taking_back and (events or answer.status in (ANSWERED, RECORDED)):
        events = taken_back(session.taking_back, session.now.day) + events
    doubt = in_doubt(filled, session.vocabulary) if answer.status in (ANSWERED, RECORDED) else ""
    other_size = _other_than_on_record(parse, filled, answer, state)
    said = [line for line in (passed_over(filled, answer, bool(events)), other_size, doubt) if line]
    answer = replace(answer, lines=(*answer.lines, *said)) if said else answer
    answer = _with_corrections(filled, _with_carried(replace(answer, events=events)))
    answer = _committed(answer, events, name, session)
    _remember(parse, filled, answer, session)
    return filled, answer


def _other_than_on_record(parse: Parse, filled: Parse, answer: Answer, state: LawnState | None) -> str:
    """`no 11.8k`, behind a sum for the lawn that is on record with 11.3k: the sum takes it, and the record does not."""
    held, area = state.facts.get("area") if state else None, filled.slots.get("area")
    if held is None or area is None or area.origin != "said" or answer.status != ANSWERED or answer.events:
        return ""
    if not NO.match(parse.text) or len(held.amounts) != 1 or held.value == area.value:
        return ""
    assert state is not None
    return f'On record {state.name} stays at {amount_words(held.amount)}; "{state.name} is ..." with its size puts that right.'


def _work_out(
    parse: Parse, session: Session, state: LawnState | None, unclear: tuple[str, ...], metric: bool | None = None
) -> tuple[Parse, Answer]:
    """The answer to a reading: refused, asked back, offered twice, or given by its skill."""
    wrong = impossible(parse, session.vocabulary, session.knowledge, session.now)
    if wrong:
        return parse, Answer(REFUSED, wrong, topic=parse.topic, intent=parse.intent)
    if parse.intent == "out_of_scope":
        return parse, out_of_scope(parse, session.vocabulary, session.now)
    unknown = stranger(parse, session.vocabulary)
    if unknown:
        known = f"On record: {', '.join(session.lawns)}." if session.lawns else "No lawn is on record yet."
        kept = "" if "asks" in parse.terms else " Nothing was recorded."
        words = f'I know no lawn called "{unknown}". {known}{kept}'
        return parse, Answer(REFUSED, words, topic=parse.topic, intent=parse.intent)
    if unclear:
        return parse, Answer(ASKS, "Which lawn is that about? Say it one lawn a line.", choices=unclear)
    entry = session.vocabulary.intents[parse.intent]
    filled = fill(parse, entry, session.knowledge, session.carried_to(parse), state, session.shelf_events)
    look = Turn(
        session.now,
        session.knowledge,
        filled,
        state,
        session.last[1] if session.last else None,
        _metric(filled) if metric is None else metric,
        session.lawns,
        session.carried(),
        place_of(session.weather, state.name if state else ""),
        cache(session.states),  # every journal is folded once a question
        session.shelf_events,
        session.store.events,
        session.in_vain,
    )
    lacking = missing(filled, entry)
    if lacking == "area" and parse.rivals:
        return filled, replace(ask_for(lacking, filled, entry), asks=between(parse.rivals))
    if lacking:
        return filled, meanwhile(look, entry, ask_for(lacking, filled, entry))
    try:
        return filled, answer_of(look, entry)
    except (ArithmeticError, TypeError, ValueError) as problem:  # pint's own errors are among these
        return filled, cannot_tell(problem)


def _with_carried(answer: Answer) -> Answer:
    """What was taken from earlier in the talk is said, figure by figure."""
    taken = [slot for slot in answer.inputs if slot.origin == "context" and slot.amounts]
    if answer.status != ANSWERED or not taken:
        return answer
    said = ", ".join(f"{slot.name.replace('_', ' ')} {', '.join(map(amount_words, slot.amounts))}" for slot in taken)
    return replace(answer, lines=(*answer.lines, f"From earlier in this talk: {said}."))


def _with_corrections(parse: Parse, answer: Answer) -> Answer:
    """Typing errors that were mended are said back, and words that were passed over, so that a misreading does no harm."""
    answer = _with_scale(parse, _with_unread(parse, answer))
    if not parse.corrected or answer.status == OUT_OF_SCOPE:
        return answer
    said = ", ".join(f'"{typed}" as {word}' for typed, word in dict.fromkeys(parse.corrected))
    return replace(answer, lines=(f"Read {said}.", *answer.lines))


def _with_scale(parse: Parse, answer: Answer) -> Answer:
    """Degrees that could be of either scale are said with the one they were taken for."""
    degrees = [one for slot in parse.slots.values() for one in slot.amounts if one.kind == "temperature"]
    open_ones = [one.text for one in degrees if one.assumed == FAHRENHEIT]
    plain = any(one.high > HOT_IN_CELSIUS or one.assumed != FAHRENHEIT for one in degrees)
    if not open_ones or plain or answer.status == OUT_OF_SCOPE:
        return answer
    said = " and ".join(dict.fromkeys(open_ones))
    return replace(answer, lines=(f"Read {said} as Fahrenheit; for Celsius write C behind it.", *answer.lines))


def _with_unread(parse: Parse, answer: Answer) -> Answer:
    """Words that no rule read are named where something is kept because of that line."""
    if not parse.unread or not answer.events:
        return answer
    return replace(
        answer, lines=(f"Not understood, and not kept: {', '.join(dict.fromkeys(parse.unread))}.", *answer.lines)
    )


def _metric(parse: Parse) -> bool:
    """Metric where it was asked for, or where the question itself is metric."""
    if any(name.id == "measured_as.metric" for name in parse.names):
        return True
    return any(amount.is_metric for amount in parse.amounts)


def _committed(answer: Answer, events: tuple[Event, ...], name: str, session: Session) -> Answer:
    """Writes what the answer proposes, then says so; where nothing is kept, says how to keep it."""
    if not events and answer.status == RECORDED and not answer.headline:
        return replace(answer, status=ANSWERED, headline="Nothing new in that; what was told before stands.")
    if not events:
        return answer
    events = tuple(
        event if event.kind in kinds.OF_USER else replace(event, lawn=event.lawn or name or HOME_LAWN)
        for event in events
    )
    lines = [describe(event) for event in events]
    if not session.keep:
        hint = f'Not kept. To keep it: ligule ask --lawn "{events[0].lawn}" ..., or say it in ligule chat.'
        status = ANSWERED if answer.status == RECORDED else answer.status
        headline = answer.headline or f"{lines[0]}."
        return replace(answer, status=status, headline=headline, lines=(hint, *answer.lines), events=events)
    kept = session.store.append(events)
    if any(event.lawn not in session.lawns for event in kept):
        session._lawns = None
    headline = answer.headline or f"{lines[0]}. Recorded."
    status = (
        RECORDED if answer.status == ASKS else answer.status
    )  # what was told is on the record, whatever is asked next
    return replace(answer, status=status, headline=headline, events=kept, changes=tuple(lines))


def _remember(parse: Parse, filled: Parse, answer: Answer, session: Session) -> None:
    left_open = answer.status == ASKS and parse.intent.startswith("plan.")
    voided = {seq for event in answer.events for seq in event.voids}
    session.told = [one for one in session.told if voided.isdisjoint(event.seq for event in one.answer.events)]
    session.in_vain = (answer.status in _NOTHING_KEPT or left_open) and not answer.events
    if parse.intent == "out_of_scope" and parse.found:
        session.open_question = OpenQuestion(parse, "entry", parse.found)
    elif answer.asks and parse.intent in session.vocabulary.intents:
        carried = {name: slot for name, slot in filled.slots.items() if slot.origin == "context"}
        open_one = replace(parse, slots={**carried, **parse.slots})  # what was at hand when it was asked stays at hand
        session.open_question = OpenQuestion(open_one, answer.asks.slot, answer.asks.choices)
    elif answer.status not in (OUT_OF_SCOPE,):
        held = session.open_question
        if held is not None and held.parse.intent != parse.intent and held.slot not in ("entry", "undo"):
            session.parked = held
        elif session.parked is not None and session.parked.parse.intent == parse.intent:
            session.parked = None
        session.open_question = None
    if parse.intent == "other.undo" and answer.status == RECORDED and session.last and session.last[1].events:
        session.last, session.earlier = session.earlier, None
    if parse.intent.startswith(("other.", "help.")) or parse.intent == "out_of_scope":
        areas = tuple(one for one in parse.amounts if one.kind == "area")
        if len(areas) == 1 and parse.intent == "out_of_scope":  # `field 1.2 ha`, and what is asked of it next
            session.context["area"] = (Slot("area", areas, why=filled.text), session.turns)
        return
    kept = session.vocabulary.intents[parse.intent]["keeps"] if session.keep else ()
    for slot in filled.slots.values():
        if slot.origin == "said" and slot.name not in kept:  # what is on the record is read from the record
            session.context[slot.name] = (replace(slot, why=filled.text), session.turns)
    for slot in _found(answer):
        if slot.name not in kept:
            session.context[slot.name] = (replace(slot, why=filled.text), session.turns)
    if answer.status in (ANSWERED, RECORDED, ASKS):
        session.earlier, session.last = session.last, (parse, answer)
        session.filled = dict(filled.slots)
        session.trail = [*session.trail, parse][-_TRAIL:]
    if any(event.kind != kinds.UNDONE for event in answer.events) and session.keep:
        session.told = [*session.told, Telling(parse, answer, dict(filled.slots))][-_TRAIL:]


def _table(text: str, session: Session) -> tuple[Parse, Answer]:
    """A line that begins `weather add` names a table of weather, and what place it is of: `weather add FILE for NAME`."""
    from pathlib import Path

    from assistant.dialogue.tables import add_weather

    name, _, place = text[len(_ADD_WEATHER) :].strip().partition(" for ")
    parse = Parse(text, intent="timing.add", topic="timing", confidence=1.0)
    if session.weather is None or not session.keep:
        words = "That is kept with: ligule weather add FILE. Nothing was recorded."
        return parse, Answer(REFUSED, words, topic="timing", intent="timing.add")
    answer = add_weather(Path(name.strip().strip("\"'")).expanduser(), session.weather, place.strip())
    return parse, answer


def _found(answer: Answer) -> tuple[Slot, ...]:
    """What an answer worked out and the next question may be about: the area (`how much seed for that`), the amount
    (`how many jugs is that`), what a zone puts down in an hour (`how long for 3 mm`), or the sum of money (`plus 7% tax`)."""
    first = answer.figures[0] if answer.status == ANSWERED and answer.figures else None
    if first is None or first.day or first.per:
        return ()
    if answer.topic == "area" and first.label == "area":
        return (Slot("area", (Amount("area", first.low, first.high, (first.unit,), text=answer.headline),)),)
    needed = _needed(first, answer.headline)
    return (needed,) if needed else ()


def _needed(figure: Figure, text: str) -> Slot | None:
    """A figure that was worked out as what the next question needs; None for one that none takes up."""
    if figure.unit not in _NEXT:
        return None
    name, kind = _NEXT[figure.unit]
    return Slot(name, Amount(kind, figure.low, figure.high, (figure.unit,), text=text))


def _note(text: str, session: Session) -> tuple[Parse, Answer]:
    """A line that begins `note:` is kept as it was said."""
    kept = text[len("note:") :].strip()
    parse = Parse(text, intent="other.note", topic="other", confidence=1.0)
    if not kept:
        return parse, Answer(
            REFUSED, "The note is empty; nothing was recorded. Write it behind note:", intent="other.note"
        )
    name = session.lawn or (session.lawns[0] if len(session.lawns) == 1 else "")
    today = session.now.day.isoformat()
    event = Event(kinds.NOTE, name, kept, today, today)
    written = session.store.append((event,))
    return parse, Answer(
        RECORDED,
        f"Noted{' for ' + name if name else ''}: {kept}",
        intent="other.note",
        events=written,
        changes=(describe(written[0]),),
    )

"""What a line means after the lines before it: an answer to what is open, a change to the last question, or its own."""

from __future__ import annotations

import re
from collections.abc import Container
from dataclasses import replace
from typing import TYPE_CHECKING

from assistant.answer import ANSWERED, Ask
from assistant.dialogue.choices import answer_meant, by_name, picked
from assistant.dialogue.lawns import lawn_called
from assistant.knowledge_base.words import OF_INTENTS
from assistant.parsing import OF_ENTRIES, apart_from, as_entry, as_intent, changed, fragment
from assistant.parsing.revised import share_of
from assistant.terms import SEED_RATE, SEED_WEIGHT, Amount, Name, Parse, Slot

if TYPE_CHECKING:
    from assistant.dialogue.session import OpenQuestion, Session
    from assistant.lawn.state import LawnState

_OWN_QUESTION = 0.8  # a reading so sure is a question of its own
TAKEN_UP = 0.95  # confidence of an answer to the question that was open
_PICKED = 1.0  # how sure an entry is that was picked out of those offered
_A_NAME = 3  # words that are no more than the name of a lawn
_ALWAYS_NEW = ("plan.log", "plan.show", "plan.next", "plan.facts")
_GOES_ON = {"revise", "same", "goes_on", "as_well"}  # words that lean on the last question
AGAIN = {"same", "goes_on", "as_well"}  # of these, what says a deed a second time
_A_BARE_ONE = 3  # words of a line that asks about the last answer and no more
_DAYS = ("seed_day", "first_freeze", "happened_on", "day")  # what a day answers
_WORK = {"water", "mow", "feed", "spray", "aerate"}
_OF_AN_ANSWER = 5  # words of a question that may still be an answer: `is it 5200 or so?`
_BACK = 4  # questions back that a change may mean
_ASKS = {"how_much", "how_big", "when", "may_i", "why", "what_if", "next", "first_cut"}
ASKING = _ASKS | {"asks"}
_OTHER_THINGS = {"how_long", "how_big", "when", "why", "bag", "cost"}
_OF_ANY_DAY = ("tank", "product", "tool", "species", "job", "seed_day", "young", "day")
_SUBJECTS = ("species", "product", "ingredients", "job", "deed", "sight")  # names of what a question is about
_WHAT_WAS_DONE = ("deed", "step", "tank", "product")
_TELLS_WORK = {"plan.log", "plan.start", "plan.seen", "plan.resown"}
_OF_LAWNS = ("lawn", "place", "site")
_ASKED = "asked"  # the slot of the unit that an answer is wanted in
_CONVERT = "spray.convert"  # a rate in other measures
_BY_NAME = ("program", SEED_WEIGHT)  # what is asked for with choices that a word of theirs picks
_TROUBLES = ("sight.patchy", "sight.not_up", "sight.washed")
_ALL_OFF = re.compile(r"(?:and |then |now |ok )*(?:take|taking|minus|less|subtract|deduct|knock)\b", re.IGNORECASE)
NO = re.compile(r"no\b", re.IGNORECASE)
_LEANS = ("area.measure", "plan.tell", "plan.facts")  # what an amount alone is taken for


def followed(parse: Parse, session: Session) -> Parse:
    """The reading of a line in its talk."""
    if _has_nothing_to_lean_on(parse, session):
        parse = _otherwise(parse, session.vocabulary.about_an_answer, session)
    again = _for_another_grass(parse, session) if parse.intent == "plan.what_if" else None
    if again is not None:
        return again
    if parse.intent == "plan.enough" and session.last and not session.last[1].events:
        return as_intent(parse, "other.doubt", session.vocabulary, session.now)  # of a sum, not of what went down
    if parse.intent == "plan.seen" and _is_a_trouble(parse, session):
        parse = _otherwise(parse, {parse.intent}, session)
    if parse.intent == "practice.answer" and _asks_for_its_day(parse, session):
        return as_intent(parse, "plan.next", session.vocabulary, session.now)
    if parse.intent == "plan.log" and _tells_seed_day(parse, session):
        return as_intent(parse, "plan.start", session.vocabulary, session.now)
    if _corrects_seed_day(parse, session):
        return as_intent(parse, "plan.start", session.vocabulary, session.now)
    held = session.open_question
    if held is not None and held.slot == "entry":
        session.open_question = None
        place = picked(parse.text, session.vocabulary, len(held.choices))
        if place is not None:
            return _as_picked(held.choices[place], held.parse, parse, session)
        held = None
    if held is not None and held.parse.intent == "trouble.diagnose":
        return _answered_trouble(parse, held, session)
    if held is not None:
        taken = _answering(parse, held, session)
        if taken is not None:
            return taken
        if _is_new(parse, held.parse.intent, held.slot):
            return parse
    made = (
        _with_a_piece(parse, session)
        or _rate_turned(parse, session)
        or _unit_put_right(parse, session)
        or _in_that_unit(parse, session)
    )
    if made is not None:
        return made
    if session.last:
        lawn = _lawn_picked(parse.text, session)
        if lawn:
            named = replace(parse, names=(Name(f"lawn.{lawn}", lawn, (0, 0)),))
            return _merged(_for_another_lawn(session.last[0], named, session), {}, named)
        taken = _changing(parse, session)
        if taken is not None:
            return taken
    if held is None and session.parked is not None and _is_bare(parse):
        taken = _answering(parse, session.parked, session)
        if taken is not None:
            return taken
    return parse


def _otherwise(parse: Parse, intents: Container[str], session: Session) -> Parse:
    """The line as something else than these questions, where it can be something else."""
    apart = apart_from(parse, intents, session.vocabulary, session.now)
    return apart if apart.intent != "out_of_scope" or apart.found else parse


def _has_nothing_to_lean_on(parse: Parse, session: Session) -> bool:
    """True for what was taken to ask about the last answer, where there is none, or where it names another thing: `why do I
    need starter` is a question of its own, `why that much starter` behind its rate is not."""
    if parse.intent not in session.vocabulary.about_an_answer:
        return False
    if session.last is None:
        return len(parse.text.split()) > _A_BARE_ONE
    known = {name.id for name in session.last[0].names} | {
        str(value) for slot in session.filled.values() for value in slot.values
    }
    return any(name.type in _SUBJECTS and name.id not in known for name in parse.names)


def _for_another_grass(parse: Parse, session: Session) -> Parse | None:
    """`what if i use rye instead`, behind a sum for a grass and with no program to compare: that sum again."""
    grass = next((name.id for name in parse.names if name.type == "species"), "")
    earlier = next((one for one in reversed(session.trail[-_BACK:]) if "species" in one.slots), None)
    if not grass or earlier is None or _has_seed_day(session):
        return None
    return _merged(earlier, {"species": Slot("species", grass)}, parse)


def _asks_for_its_day(parse: Parse, session: Session) -> bool:
    """`when is the second feed`, where a program runs: its date, not what is usual."""
    step = any(name.type == "step" for name in parse.names) and "when" in parse.terms
    state = _in_hand(session) if step else None
    return state is not None and state.program is not None


def _tells_seed_day(parse: Parse, session: Session) -> bool:
    """`i put the seed down this morning`, where no seed day is known: no step is ticked off, that day is it."""
    of_seed = "seeded" in parse.terms or any(amount.of == "seed" for amount in parse.amounts)
    if not of_seed or not any(amount.kind == "date" for amount in parse.amounts):
        return False
    if any(name.type in ("deed", "product", "ingredients") for name in parse.names):
        return False
    return not _has_seed_day(session)


def _corrects_seed_day(parse: Parse, session: Session) -> bool:
    """`actually it was august 24`, right after a seed day was kept: that day, and no deed denied."""
    told = session.last[1].events if session.last else ()
    days = [amount for amount in parse.amounts if amount.kind == "date"]
    only = len(days) == len(parse.amounts) == 1 and days[0].bound == "" and "asks" not in parse.terms
    return only and bool(parse.terms & {"revise", "denied"}) and any(event.tells_seed_day for event in told)


def _is_a_trouble(parse: Parse, session: Session) -> bool:
    """`it came up patchy`, where no seed day is told or known that it could be kept beside: somebody wants help."""
    sight = parse.slots.get("sight")
    if sight is None or sight.value not in _TROUBLES or session.open_question is not None:
        return False
    return "seed_day" not in parse.slots and not _has_seed_day(session)


def _has_seed_day(session: Session) -> bool:
    state = _in_hand(session)
    return state is not None and state.seed_day is not None


def _in_hand(session: Session) -> LawnState | None:
    """The lawn that the talk is about, or the only one on record."""
    return session.state(session.lawn or (session.lawns[0] if len(session.lawns) == 1 else ""))


def _as_picked(choice: str, asked: Parse, parse: Parse, session: Session) -> Parse:
    """The line that was not understood, read as the thing that was picked for it."""
    if choice.startswith(OF_INTENTS):
        return as_intent(asked, choice.removeprefix(OF_INTENTS), session.vocabulary, session.now)
    return as_entry(parse, choice, _PICKED)


def _answering(parse: Parse, held: OpenQuestion, session: Session) -> Parse | None:
    """The held question with what this line gives for it; None where the line is no answer to it."""
    place = picked(parse.text, session.vocabulary, len(held.choices), _sizes(held))
    place = by_name(parse.text, held.choices) if place is None and held.slot in _BY_NAME else place
    if place is not None and held.parse.rivals and held.slot == "area":
        return _merged(replace(held.parse, rivals=()), {"area": Slot("area", (held.parse.rivals[place],))}, parse)
    if place is not None and held.slot == "program":
        form = "liquid" if "light liquid" in held.choices[place].partition(":")[0] else "granular"
        return _merged(held.parse, {held.slot: Slot(held.slot, f"feeding.{form}")}, parse)
    if place is not None and held.slot == SEED_WEIGHT:
        meant = _weight_meant(held.parse.slots[SEED_WEIGHT], place)
        return _merged(_without(held.parse, held.slot), {meant.name: meant}, parse)
    if _tells_another_deed(parse, held) or _tells_all_anew(parse, held, session):
        return None
    found = fragment(parse.text, held.parse.intent, session.vocabulary, session.now, held.slot)
    told = held.slot in found and "asks" not in parse.terms and not parse.terms & _ASKS
    if not told and (_is_new(parse, held.parse.intent, held.slot) or _asks_at_length(parse)):
        return None
    if held.slot not in found and _tells_of_another_lawn(parse, held):
        return None
    before = _without(held.parse, SEED_WEIGHT) if SEED_RATE in found else held.parse
    return _merged(replace(before, rivals=()), found, parse) if found else None


def _weight_meant(seed: Slot, place: int) -> Slot:
    """What was picked of a weight of seed in all and the same as a rate."""
    from assistant.skills.account import IN_ALL, as_seed_rate

    return as_seed_rate(seed) if place else replace(seed, why=IN_ALL)


def _without(parse: Parse, name: str) -> Parse:
    """The reading without a slot."""
    return replace(parse, slots={one: slot for one, slot in parse.slots.items() if one != name})


def _asks_at_length(parse: Parse) -> bool:
    """`what grass is good for half shade`: a question of its own, though none that is understood."""
    return "asks" in parse.terms and len(parse.text.split()) > _OF_AN_ANSWER


def _tells_another_deed(parse: Parse, held: OpenQuestion) -> bool:
    """`mowed the front today`, `i watered today`, where a day is asked for: no answer to it."""
    if held.slot not in _DAYS or "asks" in parse.terms:
        return False
    named = any(name.type in ("deed", "product", "ingredients", "step") for name in parse.names)
    return bool(parse.terms & _WORK) or (named and parse.intent == "plan.log" and parse.confidence >= _OWN_QUESTION)


def _tells_all_anew(parse: Parse, held: OpenQuestion, session: Session) -> bool:
    """`bought a 40 lb bag of starter`, where it is asked which product the 50 lb before were: it tells all that it takes, with
    another figure."""
    if parse.intent != held.parse.intent or parse.topic != "plan":
        return False
    other = any(
        slot.amounts and name != held.slot and held.parse.slots.get(name) != slot for name, slot in parse.slots.items()
    )
    needs = session.vocabulary.intents[parse.intent]["needs"]
    return other and bool(needs) and set(needs) <= parse.slots.keys()


def _tells_of_another_lawn(parse: Parse, held: OpenQuestion) -> bool:
    """`henderson 9/3 seeded 6k kbg`, where the program of another lawn is asked for: a line of its own."""
    known = {name.text.lower() for name in held.parse.names if name.type in _OF_LAWNS}
    named = {name.text.lower() for name in parse.names if name.type in _OF_LAWNS}
    return bool(named - known)


def _sizes(held: OpenQuestion) -> tuple[float, ...]:
    """How big each of the figures is between which it is asked."""
    from assistant.skills.area import total_of
    from assistant.units import plain

    return tuple(plain(total_of(Slot("area", (one,))), "sq_ft") for one in held.parse.rivals)


def _is_bare(parse: Parse) -> bool:
    return (parse.intent == "out_of_scope" or parse.intent in _LEANS) and not parse.terms & _ASKS


def _is_new(parse: Parse, asked_for: str, slot: str) -> bool:
    """True for a line that is a question of its own, not an answer to the one that is open."""
    if parse.intent.startswith(("other.", "help.")) or parse.intent in _ALWAYS_NEW:
        return True
    if parse.intent.startswith("plan.") and parse.terms & ASKING and parse.intent != asked_for:
        return parse.confidence >= _OWN_QUESTION
    if parse.intent in ("out_of_scope", asked_for) or set(parse.slots) <= {slot}:
        return False
    return parse.confidence >= _OWN_QUESTION


def _changing(parse: Parse, session: Session) -> Parse | None:
    """`what about 5,000`, `no, 5200`, `same for the back`: the last question with that figure, name or lawn in it."""
    assert session.last is not None
    before, answer = session.last
    leans = bool(parse.terms & _GOES_ON) or (bool(parse.amounts) and parse.text.lower().startswith("not "))
    unasked = parse.intent in OF_ENTRIES and not parse.terms & ASKING  # `its a new lawn` asks no entry
    if parse.intent != "out_of_scope" and not unasked:
        one = len(parse.amounts) == 1 and not any(name.type == "surface" for name in parse.names)
        alone = one and parse.intent in _LEANS and parse.intent != before.intent and "how_big" not in parse.terms
        told = parse.intent == "plan.tell" and not leans  # `it is 5,100`: kept on the record
        about = parse.intent.startswith(("other.", "help.")) and not ("revise" in parse.terms and parse.amounts)
        if about or told or not (leans or alone) or parse.terms & _ASKS:  # `that's too much, make it 4` is a change
            return None
    if _is_of_its_own(parse, before, session):
        return None
    lawn = any(name.type in ("lawn", "place") for name in parse.names)
    if answer.events and not parse.terms & AGAIN:
        found = changed(parse.text, before.intent, session.filled, session.vocabulary, session.now)
        only = lawn and set(found) <= {"place"} and not (parse.unread or parse.amounts or "?" in parse.text)
        if only and len(parse.text.split()) <= _A_NAME:  # a lawn by its name alone: what is on record of it
            return replace(parse, intent="plan.facts", topic="plan", confidence=TAKEN_UP)
        return None  # what was recorded once is recorded again only where that is said
    if before.intent not in session.vocabulary.intents or _asks_for_another_thing(parse, before):
        return None
    said = _with_unit(parse, session)
    found = changed(said, before.intent, session.filled, session.vocabulary, session.now)
    if answer.events and any(before.slots.get(name) != slot for name, slot in found.items() if name in _WHAT_WAS_DONE):
        return None  # `aerated it too`: of the lime before it goes nothing along
    if not found and not (lawn and not parse.unread and not parse.amounts):
        return _changing_earlier(parse, session) if leans and parse.amounts else None
    kept = _for_another_lawn(before, parse, session).slots if lawn else before.slots
    if "day" in found and before.topic == "today":  # the weather of one day is none of another
        kept = {name: slot for name, slot in kept.items() if name in _OF_ANY_DAY}
    carried = {name: slot for name, slot in session.filled.items() if slot.origin == "context" and name not in found}
    return _merged(replace(before, slots={**carried, **kept} if not lawn else kept), found, parse)


def _is_of_its_own(parse: Parse, before: Parse, session: Session) -> bool:
    """True for a line that has the words another question must have, whatever it leans on: `and the rental 95`."""
    if parse.confidence < _OWN_QUESTION or parse.intent == before.intent:
        return False
    if {parse.intent, before.intent} <= _TELLS_WORK and parse.terms.isdisjoint(AGAIN - {"goes_on"}):
        return True  # `and i overseeded yesterday`, behind an aeration
    must = session.vocabulary.intents.get(parse.intent, {}).get("must", ())
    return parse.intent in OF_ENTRIES or not parse.terms.isdisjoint(term.removeprefix("~") for term in must)


def _with_unit(parse: Parse, session: Session) -> str:
    """`at 3/8`, where the last question held a depth in inches: that share of an inch, and no day."""
    days = [one for one in parse.amounts if one.kind == "date"]
    measured = [one for slot in session.filled.values() for one in slot.amounts if one.kind in ("length", "depth")]
    if len(days) != 1 or not share_of(days[0]) or len(measured) != 1:
        return parse.text
    end = days[0].span[1]
    return f"{parse.text[:end]} {measured[0].unit}{parse.text[end:]}"


def _with_a_piece(parse: Parse, session: Session) -> Parse | None:
    """`minus a 12x20 patio` right after an area, `wait, the shed is 12 by 12` after one that held a shed: that area again,
    with the piece taken off, or in place of the one of its name."""
    pieces = parse.amounts
    if not pieces or any(one.kind not in ("area", "size") for one in pieces) or parse.terms & ASKING:
        return None
    shape = _shape_before(parse, session)
    if shape is not None and len(pieces) == 1:
        piece = replace(pieces[0], sign=-1 if "minus" in parse.terms else 1)
        summed = as_intent(parse, "area.measure", session.vocabulary, session.now)
        return summed.with_slot(Slot("area", (replace(shape, text="what was worked out"), piece)))
    named = {one.of for one in pieces if one.of}
    taken = "minus" in parse.terms and (len(pieces) == 1 or bool(_ALL_OFF.match(parse.text)))
    for earlier in reversed(session.trail[-_BACK:]):
        held = earlier.slots["area"].value if "area" in earlier.slots else None
        if not isinstance(held, tuple):
            continue
        kept = tuple(one for one in held if one.of not in named)
        replaced = len(named) == len(pieces) == len(held) - len(kept)
        if not replaced and not (taken and earlier is session.trail[-1]):
            continue
        taken_off = tuple(replace(one, sign=-1) for one in pieces)
        return _merged(earlier, {"area": Slot("area", (*kept, *taken_off))}, parse)
    return None


def _rate_turned(parse: Parse, session: Session) -> Parse | None:
    """`what is that rate in grams per square metre`: the rate of the last question in those measures."""
    asked = {name.type for name in parse.names}
    of_a_rate = "in_unit" in asked or parse.intent == _CONVERT  # `what is that per acre`
    if parse.amounts or "asked_per" not in asked or not of_a_rate or session.last is None:
        return None
    held = [slot for slot in session.filled.values() for one in slot.amounts if one.kind == "rate" and one.units]
    if len(held) != 1:
        return None
    turned = as_intent(parse, _CONVERT, session.vocabulary, session.now)
    return turned.with_slot(replace(held[0], name="rate", origin="said"))


def _unit_put_right(parse: Parse, session: Session) -> Parse | None:
    """`no that's kg`: the last question, with the figure of it that is measured so taken in that unit."""
    units = [name.id.partition(".")[2] for name in parse.names if name.type == "in_unit"]
    wrong = bool(parse.terms & {"put_right", "revise"}) or bool(NO.match(parse.text))
    if len(units) != 1 or parse.amounts or not wrong or session.last is None or session.last[1].events:
        return None
    kinds = session.vocabulary.asked_kinds
    held = [
        slot
        for slot in session.last[0].slots.values()
        if len(slot.amounts) == 1
        and slot.amount.unit != units[0]
        and kinds.get(slot.amount.unit) == kinds.get(units[0])
    ]
    if len(held) != 1:
        return None
    amount = held[0].amount
    meant = replace(amount, units=(units[0],), text=f"{amount.text}, in {units[0]}")
    return _merged(session.last[0], {held[0].name: replace(held[0], value=meant)}, parse)


def _in_that_unit(parse: Parse, session: Session) -> Parse | None:
    """`in yards`: the last question, answered in that unit."""
    units = [name for name in parse.names if name.type == "in_unit"]
    if len(units) != 1 or parse.amounts or len(parse.text.split()) > _A_BARE_ONE or session.last is None:
        return None
    before = session.last[0]
    entry = session.vocabulary.intents.get(before.intent)
    asked = entry["slots"].get(_ASKED) if entry else None
    if before.intent != parse.intent or asked is None:
        return None
    return _merged(before, {_ASKED: Slot(_ASKED, units[0].id)}, parse)


def _shape_before(parse: Parse, session: Session) -> Amount | None:
    """The area of the shape that the last answer worked out, where a piece is now put to it or taken off."""
    if parse.terms.isdisjoint({"minus", "plus"}) or session.last is None:
        return None
    before, answer = session.last
    held = session.context.get("area")
    worked_out = answer.status == ANSWERED and answer.figures and answer.figures[0].label == "area"
    if before.topic != "area" or before.intent == "area.measure" or not worked_out or held is None:
        return None
    return held[0].amount if len(held[0].amounts) == 1 else None


def _asks_for_another_thing(parse: Parse, before: Parse) -> bool:
    """`how many lb of N in it`, `bags? 40 pounders`: it asks for what the question before did not."""
    asked = {name.id for name in parse.names if name.type == "asked"} - {name.id for name in before.names}
    return bool(asked or (parse.terms - before.terms) & _OTHER_THINGS)


def _changing_earlier(parse: Parse, session: Session) -> Parse | None:
    """What the last question cannot take may belong to one before it: the depth, after the cost was asked."""
    for earlier in reversed(session.trail[-_BACK:-1]):
        if earlier.intent not in session.vocabulary.intents:
            continue
        found = changed(parse.text, earlier.intent, earlier.slots, session.vocabulary, session.now)
        if found and set(found) <= set(earlier.slots):
            return _merged(earlier, found, parse)
    return None


def _for_another_lawn(before: Parse, parse: Parse, session: Session) -> Parse:
    """The last question without what was of its lawn: the area, and the grass where one is on record of the lawn that is named
    now."""
    keys = {name.id.partition(".")[2] for name in parse.names if name.type in ("lawn", "place")}
    state = session.state(lawn_called(keys, session.lawns))
    known = {"area", *(state.facts.keys() & {"species"} if state else ())}
    return replace(before, slots={name: slot for name, slot in before.slots.items() if name not in known})


def _lawn_picked(text: str, session: Session) -> str:
    """`the bigger one`: of the lawns on record, by their areas."""
    if picked(text, session.vocabulary, 1, (0.0,)) is None or len(session.lawns) < 2:
        return ""
    sizes = {state.name: state.facts["area"].amount.low for state in session.states() if "area" in state.facts}
    place = picked(text, session.vocabulary, len(sizes), tuple(sizes.values())) if sizes else None
    bigger_or_smaller = session.vocabulary.picks.get(text.lower().strip(" .!#,?")) in ("bigger", "smaller")
    return list(sizes)[place] if place is not None and bigger_or_smaller else ""


def _merged(held: Parse, found: dict[str, Slot], parse: Parse) -> Parse:
    """The held reading with what this line adds; its words and amounts are those of this line."""
    kept = replace(held, text=parse.text, amounts=parse.amounts, names=parse.names, corrected=parse.corrected)
    return replace(kept, slots={**held.slots, **found}, unread=(), runner_up=("", 0.0), confidence=TAKEN_UP)


def _answered_trouble(parse: Parse, held: OpenQuestion, session: Session) -> Parse:
    """The answer to a question about a trouble, by its number or its words; another question leaves it."""
    answers = session.knowledge.entry(f"troubles.questions.{held.slot}.answers") or {}
    small = session.vocabulary.small
    answer = answer_meant(parse.text, answers, parse.intent == "other.unsure", small)
    own = parse.terms & ASKING and parse.intent not in ("out_of_scope", "trouble.diagnose")
    if answer is None or (own and parse.confidence >= _OWN_QUESTION):
        return parse
    slots = {**held.parse.slots, held.slot: Slot(held.slot, answer)}
    return replace(held.parse, text=parse.text, slots=slots, unread=(), confidence=TAKEN_UP)


def earlier_question(parse: Parse, session: Session) -> Parse | None:
    """The question that `back to the seed` means: one that is still open, then the newest of that subject."""
    subject = parse.terms - {"back_to"}
    named = {name.id for name in parse.names}
    if session.parked is not None and _is_about(session.parked.parse, subject, named):
        return session.parked.parse
    return next((one for one in reversed(session.trail) if _is_about(one, subject, named)), None)


def _is_about(parse: Parse, subject: frozenset[str], named: set[str]) -> bool:
    if not subject and not named:
        return True
    words = {parse.topic, *parse.intent.partition(".")[2].split("_")}
    return bool(subject & words or named & {name.id for name in parse.names})


def between(rivals: tuple[Amount, ...]) -> Ask:
    """Two figures for one thing: which of them it is."""
    said = tuple(one.text for one in rivals)
    return Ask("area", f"You gave two areas that do not agree, {' and '.join(said)}. Which is it?", said)


def left(session: Session) -> str:
    """What is said when the open question is left."""
    open_one = session.open_question or session.parked
    session.open_question = session.parked = None
    if open_one is not None:
        return "Left. Ask on when you like."
    if session.last and session.last[1].changes:
        return "Nothing is open. What was recorded stays on record; say undo to take it back."
    return "Nothing is open. Ask on when you like."

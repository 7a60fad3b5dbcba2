"""What Tab offers: lawns, grasses, products, what is in a tank, topics with questions to ask, and units behind a number.

Each is shown with what it is. Nothing is offered unasked, and nothing goes into the line that nobody chose.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from prompt_toolkit.completion import CompleteEvent, Completer, Completion
from prompt_toolkit.document import Document

from assistant.interfaces.actions import ACTIONS
from assistant.interfaces.printing import safe

if TYPE_CHECKING:
    from assistant.dialogue import Session

_UNIT = re.compile(r"(?:^|\s)[\d.,/]*\d\s*(?P<begun>[a-z/%°]*(?: [a-z]*)?)$", re.IGNORECASE)
_WORDS = 3  # the longest tail of a line that may be the beginning of a name
_QUESTIONS = 6  # of a topic
_LAWNS = 20  # offered at once
_ABOUT_ITSELF = ("other", "help")
_SHORT = 46  # columns of a question beside which there is room to say what it is
_SPELT = {
    "sq_ft": "square feet",
    "sq_in": "square inches",
    "sq_yd": "square yards",
    "m**2": "square meters",
    "ha": "hectares",
    "ft": "feet",
    "inch": "inches",
    "yd": "yards",
    "floz": "fluid ounces",
    "gal": "gallons",
    "qt": "quarts",
    "pt": "pints",
    "tbsp": "tablespoons",
    "tsp": "teaspoons",
    "oz": "ounces on the scale",
    "lb": "pounds",
    "degF": "Fahrenheit",
    "degC": "Celsius",
    "mph": "miles an hour",
    "psi": "of water at the head",
    "gallon / minute": "gallons a minute",
    "gallon / acre": "gallons an acre",
    "gal_per_k": "gallons per 1,000 sq ft",
}
_TOPICS = {
    "area": "how big it is",
    "cost": "what it costs, what to charge",
    "feed": "fertilizer: rate, bag, nitrogen",
    "mow": "height and first cut",
    "plan": "dates, record, what is next",
    "practice": "how it is done",
    "seed": "how much, how pure, how deep",
    "soil": "lime, test, topdressing",
    "species": "what a grass is like",
    "spray": "tank, nozzle, calibration",
    "timing": "frost, season, when to seed",
    "today": "may I, in this weather",
    "trouble": "what went wrong",
    "water": "minutes, inches, rounds",
    "weeds": "waits around seeding",
}


@dataclass(frozen=True, slots=True)
class Offer:
    """A word to take, and what it is."""

    word: str
    what: str


class Offers(Completer):
    """Looks through the record and the knowledge base, only when Tab is pressed."""

    def __init__(self, session: Callable[[], Session | None], unicode: bool = True) -> None:
        self._session = session
        self._unicode = unicode

    def get_completions(self, document: Document, complete_event: CompleteEvent) -> Iterator[Completion]:
        session = self._session()
        if session is None:  # still on its way
            return
        for begun, offer in offers(document.text_before_cursor, session):
            word, what = safe(offer.word, self._unicode), safe(offer.what, self._unicode)
            yield Completion(word, start_position=-len(begun), display_meta=what)


def offers(text: str, session: Session) -> Iterator[tuple[str, Offer]]:
    """(what of the line it stands for, the offer), the likeliest first."""
    line = text.rpartition("\n")[2].lstrip()
    unit = _UNIT.search(line)
    if unit and not any(_lawns(session, begun) for begun in _tails(line)):  # a lawn may be called Elm 12
        begun = unit["begun"]
        yield from ((begun, one) for one in _units(session) if one.word.startswith(begun.lower()))
        return
    if not line.strip():
        yield from ((line, one) for one in _first(session))
        return
    if " " not in line:
        yield from ((line, one) for one in _questions(line.lower(), session))
    for begun in _tails(line):
        found = [*_lawns(session, begun), *(one for one in _names(session) if _begins(one.word, begun))]
        if found:  # `tall fe` is tall fescue, and nothing that begins with fe alone
            yield from ((begun, one) for one in found)
            break
    typed = [Offer(one.typed, one.words) for one in ACTIONS if one.says or one.key]
    yield from ((line, one) for one in typed if _begins(one.word, line))
    if " " not in line:
        yield from ((line, one) for one in _topics(session) if _begins(one.word, line))


def _begins(word: str, begun: str) -> bool:
    return word.casefold().startswith(begun.casefold()) and word != begun


def _tails(line: str) -> list[str]:
    """The last words of a line, the most of them first: `seed tall fe`, `tall fe`, `fe`."""
    words = re.split(r"(?<=\s)(?=\S)", line)
    return ["".join(words[-count:]) for count in range(min(_WORDS, len(words)), 0, -1) if words[-1].strip()]


def _first(session: Session) -> Iterable[Offer]:
    """At an empty line: lawns, then topics."""
    return [*_lawns(session), *_topics(session)]


def _names(session: Session) -> Iterator[Offer]:
    yield from _grasses(session)
    yield from _products(session)
    for entry in session.knowledge.section("ingredients").values():
        yield Offer(entry["name"], _ingredient(entry))


def _lawns(session: Session, begun: str = "") -> list[Offer]:
    """Lawns that begin so, with what is on record of them; only those that are shown are read."""
    made = []
    for name in [one for one in session.lawns if _begins(one, begun)][:_LAWNS]:
        facts = state.facts if (state := session.state(name)) else {}
        known = [_amount(facts["area"].values[0])] if "area" in facts else []
        known += [session.knowledge.name(str(facts["species"].value))] if "species" in facts else []
        made.append(Offer(name, ", ".join(["lawn", *known])))
    return made


def _amount(value: object) -> str:
    from assistant.answer import amount_words
    from assistant.terms import Amount

    return amount_words(value) if isinstance(value, Amount) else str(value)


def _grasses(session: Session) -> list[Offer]:
    made = []
    for entry in session.knowledge.section("species").values():
        habit = {"bunch": "in bunches"}.get(
            str(entry.get("habit", "")), f"by {entry['habit']}" if "habit" in entry else ""
        )
        made.append(
            Offer(entry["name"], ", ".join(one for one in (f"{entry.get('season', '')}-season grass", habit) if one))
        )
    return made


def _products(session: Session) -> list[Offer]:
    """What is on the shelf first, then what the knowledge base names."""
    made: dict[str, Offer] = {}
    shelf = session.look("").shelf
    for key in shelf:
        name = session.knowledge.name(key)
        made[name] = Offer(name, "on the shelf")
    for entry in session.knowledge.section("products").values():
        words = {"dry": "product, granular", "liquid": "product, liquid"}.get(entry.get("form", ""), "product")
        made.setdefault(entry["name"], Offer(entry["name"], words))
    return list(made.values())


def _ingredient(entry: dict[str, object]) -> str:
    kinds = {"preventer": "keeps weeds from coming up", "selective": "kills weeds in grass", "total": "kills all green"}
    return kinds.get(str(entry.get("kind", "")), "in the tank")


def _topics(session: Session) -> list[Offer]:
    found = dict.fromkeys(name.partition(".")[0] for name in session.knowledge.section("intents"))
    return [Offer(topic, f"topic: {_TOPICS.get(topic, 'questions')}") for topic in found if topic not in _ABOUT_ITSELF]


def _questions(topic: str, session: Session) -> list[Offer]:
    """The first short questions of a topic that is typed out."""
    entries = session.knowledge.section("intents").items()
    of_topic = [] if topic in _ABOUT_ITSELF else [one for name, one in entries if name.partition(".")[0] == topic]
    made = [Offer(min(one["say"], key=len), one["does"]) for one in of_topic if one["say"]]
    return ([one for one in made if len(one.word) <= _SHORT] or made)[:_QUESTIONS]


def _units(session: Session) -> list[Offer]:
    """Units as they are written first in the measures of the knowledge base, each with what it measures."""
    made: dict[str, Offer] = {}
    for unit, entry in session.knowledge.section("measures").items():
        word = entry["said"][0]
        what = _SPELT.get(unit, "")
        made.setdefault(word, Offer(word, f"{entry['kind']}{', ' + what if what else ''}"))
    return list(made.values())

"""All that a skill may look at, and the few helpers that every skill needs to word an answer."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING, Any

from assistant.answer import Answer, Figure, Source
from assistant.knowledge_base import Knowledge
from assistant.lawn.events import Event
from assistant.lawn.shelf import Item, shelf_of
from assistant.lawn.state import LawnState
from assistant.lawn.weather import PlaceWeather
from assistant.terms import Now, Parse, Row, Slot

if TYPE_CHECKING:
    from assistant.units import Say

NO_SOURCE = {"common practice": "common practice, no source", "from memory": "from memory, to be confirmed"}


@dataclass(frozen=True)
class Turn:
    """One question's surroundings: the day, the lawn it is about, the answer before it."""

    now: Now
    knowledge: Knowledge
    parse: Parse
    lawn: LawnState | None = None
    last: Answer | None = None
    metric: bool = False
    lawns: tuple[str, ...] = ()
    context: dict[str, Slot] = field(default_factory=dict)
    weather: PlaceWeather | None = None  # of the place that the lawn lies in
    states: Callable[[], tuple[LawnState, ...]] = tuple  # all lawns of the record, folded when they are asked for
    shelf_events: Callable[[], tuple[Event, ...]] = tuple  # what was said of the shelf
    events: Callable[[str | None], tuple[Event, ...]] = lambda lawn: ()  # of a lawn or of all, those taken back too
    in_vain: bool = False  # whether the line before came to nothing: refused, not understood, or asked back

    @cached_property
    def say(self) -> Say:
        from assistant.units import Say

        return Say(self.metric)

    @cached_property
    def shelf(self) -> dict[str, Item]:
        """The products of the user by their ids."""
        return shelf_of(self.shelf_events())

    def figure(self, label: str, value: Any, unit: str, per: str = "", of: str = "", say: Say | None = None) -> Figure:
        """A quantity or a Range as a figure, in the measures of the question or those of `say`."""
        low, high, unit, per = (say or self.say).ends(value, unit, per)
        return Figure(label, of, low, high, unit, per)

    def cite(self, *keys: str) -> tuple[Source, ...]:
        """The sources behind an answer, each once, in order; what has no source is said to have none."""
        made: dict[str, Source] = {}
        for key in keys:
            if key and key not in made:
                made[key] = self._source(key)
        return tuple(made.values())

    def _source(self, key: str) -> Source:
        entry = self.knowledge.source(key)
        if entry is None:
            return Source(key, NO_SOURCE.get(key, key), NO_SOURCE.get(key, key))
        parts = [str(entry[name]) for name in ("publisher", "title", "number", "year") if entry.get(name)]
        return Source(key, entry["title"], ", ".join(parts))

    def short(self, key: str) -> str:
        """A source in brackets: who printed it, and when."""
        entry = self.knowledge.source(key)
        if entry is None:
            return NO_SOURCE.get(key, key)
        who = str(entry.get("publisher") or entry["title"])
        return f"{who}, {entry['year']}" if entry.get("year") else who

    def by(self, source: str, where: str = "", note: str = "") -> str:
        """Who says a figure, and of where."""
        return ": ".join(one for one in (where, note, self.short(source)) if one)

    def row_words(self, row: Row, unit: str = "", per: str = "") -> str:
        """A figure of the knowledge base with its place and source."""
        amount = row.amount
        place = f"{row.where}: " if row.where else ""
        return f"{self.say(amount.q, unit or amount.unit, per or amount.per)} ({place}{self.short(row.source)})"

    def input_words(self, slot: Slot) -> str:
        """Where an input came from, in a few words."""
        return {
            "said": "you said it",
            "context": f'from earlier in this talk, "{slot.why}"',
            "lawn": f'the record: "{slot.why}", said on {slot.said_on}',
            "program": f"the program: {slot.why}",
            "label": "off the label",
            "practice": (f"{slot.why}: " if slot.why else "") + self.short(slot.source),
            "assumed": f"assumed: {slot.why}",
        }[slot.origin]

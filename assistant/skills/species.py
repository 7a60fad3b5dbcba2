"""What a grass is like, as printed: each trait and figure with who says so; where pages disagree, all of them."""

from __future__ import annotations

from typing import Any

from assistant.answer import ANSWERED, Answer, Figure, amount_words
from assistant.knowledge_base import row_of
from assistant.skills.practice import figure_of
from assistant.skills.turn import Turn
from assistant.terms import Row, Slot, capital

_TRAITS = {"shade": "In shade", "traffic": "Under traffic", "drought": "In drought", "cold": "In the cold"}
_FIGURES = {
    "seeding_rate": "Seed, new lawn",
    "days_to_germinate": "Comes up after",
    "mowing_height": "Height of cut",
    "nitrogen_per_year": "Nitrogen in a year",
    "first_cut": "First cut",
    "holds_traffic": "Holds traffic after",
    "seeds_per_pound": "Seeds in a pound",
}
_SPREADS = {"bunch": "grows in bunches; it does not creep", "both": "spreads by rhizomes and stolons"}
_SHOWN = 3  # rows that are printed of one figure


def about(turn: Turn, species: Slot, trait: Slot | None = None) -> Answer:
    """Everything that is on record of a grass, or one trait of it."""
    key = str(species.value).partition(".")[2]
    data = turn.knowledge.entry(f"species.{key}") or {}
    name = str(data.get("name", key))
    name = capital(name)
    sources: list[str] = []
    if trait is not None:
        what = str(trait.value).partition(".")[2]
        words = _trait(turn, data, what, sources)
        headline = f"{name}: {words}" if words else f"Of {data.get('name', key)} I have no page that says so."
        return Answer(
            ANSWERED, headline, topic="seed", inputs=(species, trait), sources=turn.cite(*dict.fromkeys(sources))
        )
    lines = [words for what in ("grown", "spread", *_TRAITS) if (words := _trait(turn, data, what, sources))]
    figures: list[Figure] = []
    for field, label in _FIGURES.items():
        rows = [row_of(row) for row in data.get(field) or ()]
        if rows:
            lines.append(f"{label}: {_spread(turn, rows)}.")
            sources += [row.source for row in rows[:_SHOWN]]
            figures.append(figure_of(label.lower(), rows[0]))
    lines[:] = [capital(line) for line in lines]
    season = "warm-season" if data.get("season") == "warm" else "cool-season"
    started = "" if data.get("from_seed", True) else ", not from seed"
    return Answer(
        ANSWERED,
        f"{name}: a {season} grass{started}",
        topic="seed",
        figures=tuple(figures),
        lines=tuple(lines),
        inputs=(species,),
        sources=turn.cite(*dict.fromkeys(sources)),
    )


def _trait(turn: Turn, data: dict[str, Any], what: str, sources: list[str]) -> str:
    """One trait in words, with who says so; nothing where nobody does."""
    held = data.get(what)
    if not held:
        return ""
    if what == "grown":
        sources.append(held["source"])
        return f"where it grows: {held['text']} ({turn.short(held['source'])})."
    if what == "spread":
        sources.append(held["source"])
        words = _SPREADS.get(held["word"], f"spreads by {held['word']}")
        return f"{words} ({turn.short(held['source'])})."
    rows = held if isinstance(held, list) else [held]
    sources += [row["source"] for row in rows[:_SHOWN]]
    said = "; ".join(f"{row['level']} ({turn.by(row['source'], row.get('where', ''))})" for row in rows[:_SHOWN])
    return f"{_TRAITS[what].lower()} {said}."


def _spread(turn: Turn, rows: list[Row]) -> str:
    shown = [f"{amount_words(row.amount)} ({turn.by(row.source, row.where)})" for row in rows[:_SHOWN]]
    more = len(rows) - _SHOWN
    return "; ".join(shown) + (f"; {more} more {'page' if more == 1 else 'pages'}" if more > 0 else "")

"""An entry of the practice as an answer: the short of it, why, the figures with their sources, and where it leads."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from assistant.answer import ANSWERED, OUT_OF_SCOPE, Answer, Figure, amount_words
from assistant.knowledge_base import row_of
from assistant.skills.turn import Turn
from assistant.terms import Row, Slot, capital, short_day

_YEARS = range(1900, 2100)  # printed without a comma
_NO_UNIT = ("mowing", "workday")  # counts that no registry of units knows


def answer(turn: Turn, entry: Slot, **_: Slot | None) -> Answer:
    """What the practice says: the first row of a figure stands in the text, those that differ stand below it."""
    key = str(entry.value).partition(".")[2]
    data = turn.knowledge.entry(f"practices.{key}")
    if data is None:
        return Answer(OUT_OF_SCOPE, "That entry is not there any more.")
    figures, say = figures_of(turn, data)
    lines = [data["why"].format_map(say)]
    lines += [text.format_map(say) for text in data.get("also") or ()]
    lines += [f"But: {text.format_map(say)}" for text in data.get("exceptions") or ()]
    lines += [words for one in figures.values() for words in one.others]
    lines += _onward(turn, data)
    sources = [*(data.get("sources") or ()), *(source for one in figures.values() for source in one.sources)]
    cautions = turn.knowledge.section("cautions")
    return Answer(
        ANSWERED,
        data["short"].format_map(say),
        topic=data["topic"],
        intent=f"practice.{key}",
        figures=tuple(figure for one in figures.values() for figure in one.made),
        lines=tuple(lines),
        cautions=tuple(cautions[name] for name in data.get("cautions") or ()),
        sources=turn.cite(*dict.fromkeys(sources)),
        why=tuple(words for one in figures.values() for words in one.chain),
        leads_to=str(data.get("leads_to", "")),
    )


def _onward(turn: Turn, data: dict[str, Any]) -> list[str]:
    """The sum it leads to, the entries beside it, and whose entry it is."""
    made = [f'To work it out, ask: {data["leads_to"]}. Or say "work it out".'] if data.get("leads_to") else []
    made += see_also(turn, data)
    return [*made, "This entry is from your own folder."] if data.get("own") else made


def see_also(turn: Turn, data: dict[str, Any]) -> list[str]:
    """The titles of the entries beside it."""
    titles = [turn.knowledge.entry(f"practices.{one}.title") for one in data.get("related") or ()]
    return [f"See also: {'; '.join(title for title in titles if title)}."] if titles else []


def figures_of(turn: Turn, data: dict[str, Any]) -> tuple[dict[str, Figures], dict[str, str]]:
    """The named figures of an entry or a cause, and their words for its texts."""
    figures = {name: Figures(turn, name, held) for name, held in (data.get("figures") or {}).items()}
    return figures, {name: one.words for name, one in figures.items()}


class Figures:
    """One named figure of an entry: its words in the text, the rows that differ, and what stands behind it."""

    def __init__(self, turn: Turn, name: str, held: Any) -> None:
        self._turn = turn
        label = name.replace("_", " ")
        rows = [row for one in (held if isinstance(held, list) else [held]) for row in _pointed_at(turn, one)]
        windows = [row for row in rows if "to" in row]
        if windows:
            self.words = _window(windows[0])
            self.sources = [row["source"] for row in windows]
            said = [f"{_window(row)} ({turn.by(row['source'], row.get('where', ''))})." for row in windows]
            self.others = said[1:]
            self.made: list[Figure] = []
            self.chain = [f"{label}: {words}" for words in said]
            return
        found = [row_of(row) for row in rows]
        self.words = self._say(found[0])
        self.sources = [row.source for row in found]
        self.chain = [
            f"{label.capitalize()}: {self._say(row)} ({turn.by(row.source, row.where, row.note)})." for row in found
        ]
        others = "; ".join(
            f"{self._say(row)} ({turn.by(row.source, row.where)})" for row in found[1:] if self._say(row) != self.words
        )
        self.others = [f"Beside {self.words} others give {others}."] if others else []
        self.made = [figure_of(label, found[0])]

    def _say(self, row: Row) -> str:
        if self._turn.metric and row.amount.unit not in ("", *_NO_UNIT):
            return str(self._turn.say(row.amount.q, row.amount.unit, row.amount.per))
        low, high = float(row.amount.low), float(row.amount.high)
        if row.amount.unit == "" and low == high and low in _YEARS:
            return f"{low:.0f}"
        return amount_words(replace(row.amount, per="") if row.amount.unit == "" else row.amount)


def _pointed_at(turn: Turn, row: dict[str, Any]) -> list[dict[str, Any]]:
    """The rows of a figure: its own, or those of the place in the knowledge base that it points to."""
    if "from" not in row or "to" in row:
        return [row]
    held = turn.knowledge.entry(row["from"])
    return list(held) if isinstance(held, list) else [held]


def _window(row: dict[str, Any]) -> str:
    from datetime import date

    first, last = (short_day(date(2000, *map(int, row[end].split("-")))) for end in ("from", "to"))
    return f"{first} to {last}"


def figure_of(label: str, row: Row) -> Figure:
    """A row as a figure of the answer; a count that no registry knows has no unit."""
    amount = row.amount
    unit = "" if amount.unit in _NO_UNIT else amount.unit
    return Figure(label, amount.of, float(amount.low), float(amount.high), unit, amount.per if unit else "")


def word(turn: Turn, entry: Slot) -> Answer:
    """What a word means, in two lines, with the words beside it."""
    key = str(entry.value).partition(".")[2]
    data = turn.knowledge.entry(f"glossary.{key}") or {}
    beside = [turn.knowledge.entry(f"glossary.{one}.word") for one in data.get("related", ())]
    lines = [f"See also: {', '.join(one for one in beside if one)}."] if beside else []
    if data.get("own"):
        lines.append("This entry is from your own folder.")
    headline = f"{capital(data['word'])}: {data['means']}"
    source = data["source"]
    return Answer(
        ANSWERED,
        headline,
        topic="help",
        intent="help.word",
        lines=tuple(lines),
        inputs=(entry,),
        sources=turn.cite(source),
    )


def work(turn: Turn, place: Slot | None = None) -> Answer:
    """Only reached where the answer before leads to no sum; the dialogue asks that sum itself."""
    return Answer(OUT_OF_SCOPE, "There is nothing to work out yet. Ask something first.")
